"""The shaft's and the gearing's sheet as they come out on paper, and the orders of whole builds: every dimension of the
sketch is a number of the order."""

import re
from functools import cache
from pathlib import Path

import pytest
from invented_sheets import LETTER, META
from measured_pages import keeps_the_rules, pages

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.sheets import gearing_sheet, order_messages, shaft_order_sheet, shaft_sheet
from trialfit.sheets.order_text import MESSAGE_LIMIT, amount

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
METAS = {"A4": META, "Letter": LETTER}
both = pytest.mark.parametrize("paper", METAS)
every = pytest.mark.parametrize("sheet", ["shaft", "gearing", "order"])


@cache
def van():
    return run(load(EXAMPLES / "van" / "build.yaml").build)


@cache
def printed(sheet, paper):
    found = van()
    if sheet == "order":
        data = shaft_order_sheet(found.orders[0], METAS[paper])
    elif sheet == "shaft":
        data = shaft_sheet(found.driveline.shaft, METAS[paper])
    else:
        data = gearing_sheet(found.driveline.gearing, METAS[paper])
    return data, pages(data)


@both
@every
def test_the_rules_of_paper(sheet, paper):
    keeps_the_rules(*printed(sheet, paper))


def text_of(sheet):
    return re.sub(r"\s+", " ", " ".join(p.text for p in printed(sheet, "A4")[1]))


def test_the_shaft_sheet_has_every_tube_and_every_setting():
    text, shaft = text_of("shaft"), van().driveline.shaft
    for tube in shaft.tubes:
        assert tube.tube.name in text
    for loss in shaft.pinion.losses:
        assert f"{loss.mean_rad_s2:.0f}" in text
    assert "keep two pieces" in text


def test_the_gearing_sheet_has_every_ratio_in_its_place():
    text, found = text_of("gearing"), van().driveline.gearing
    for line in found.lines:
        assert f"{line.overall:.2f}" in text
    assert [r.place for r in found.ranking] == [1, 2, 3]
    for one in found.ranking:
        assert f"{one.axle:.2f}" in text


def test_every_dimension_of_the_vans_sketch_is_a_number_of_its_order():
    order, text = van().orders[0], text_of("order")
    assert order.layout == "two pieces"
    for key in order.sketch:
        if order.number(key) is not None:
            assert amount(order.field(key))[0].split(" mm")[0] in text, key


def test_the_vans_message_can_be_sent_and_says_that_it_may_not_be_ordered_from():
    parts = order_messages(van().orders[0], META)
    assert all(len(part) < MESSAGE_LIMIT and "NOT TO BE ORDERED FROM YET" in part for part in parts)
