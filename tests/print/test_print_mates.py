"""Sheets of mates as they come out on paper: within the margins, nothing over anything, drawn true to their scale.

Sizes that are measured back are those of the invented parts; expected lengths follow from them by plane geometry, the
inch by its definition, paper by ISO 216 and ANSI/ASME Y14.1.
"""

import math
from dataclasses import replace
from functools import cache

import pytest
from invented_mates import (
    ADAPTER,
    ANSWERS,
    AXLE,
    BAG,
    DAMPER,
    FLANGE,
    PARTS,
    RING,
    SMALL_RING,
    TORQUES,
    mate_lines,
)
from invented_sheets import LETTER, META
from measured_pages import extent, keeps_the_rules, pages

from trialfit.sheets.fittings_bag import fittings_bag_sheet
from trialfit.sheets.hole_template import hole_template_sheets
from trialfit.sheets.machine_order import machine_order_sheet
from trialfit.sheets.mates_list import mates_list_sheet
from trialfit.sheets.paper import Stop
from trialfit.sheets.torque_sheet import torque_sheet

METAS = {"A4": META, "Letter": LETTER}
STOP = Stop(False, "drilled", "The thickness is not known.", "Measure it.")
SHEETS = {
    "order": lambda meta: machine_order_sheet(PARTS, meta, ANSWERS),
    "bare order": lambda meta: machine_order_sheet(
        (replace(AXLE, said={}, features=("stud", "rotor")), *PARTS[1:]), meta
    ),
    "templates": lambda meta: hole_template_sheets((FLANGE, DAMPER, ADAPTER, SMALL_RING), meta, STOP),
    "mates": lambda meta: mates_list_sheet(mate_lines(), meta),
    "no mates": lambda meta: mates_list_sheet((), meta),
    "bag": lambda meta: fittings_bag_sheet(BAG, meta, {"B3": "rear axle, left (invented)"}),
    "torques": lambda meta: torque_sheet(TORQUES, meta),
}
both = pytest.mark.parametrize("paper", METAS)
every = pytest.mark.parametrize("sheet", SHEETS)


@cache
def printed(sheet, paper):
    data = SHEETS[sheet](METAS[paper])
    return data, pages(data)


@both
@every
def test_the_rules_of_paper(sheet, paper):
    keeps_the_rules(*printed(sheet, paper))


@every
def test_same_input_same_bytes(sheet):
    assert SHEETS[sheet](META) == printed(sheet, "A4")[0]


@both
@pytest.mark.parametrize(
    "sheet, words", [("bare order", "NOT TO BE ORDERED FROM YET"), ("templates", "NOT TO BE DRILLED FROM YET")]
)
def test_no_page_goes_into_a_shop_without_the_stop(sheet, words, paper):
    assert all(words in p.text for p in printed(sheet, paper)[1])


def centre(path):
    xs, ys = zip(*path, strict=True)
    return (max(xs) + min(xs)) / 2.0, (max(ys) + min(ys)) / 2.0


def template_pages(plate, paper):
    return [
        p for p in pages(hole_template_sheets((plate,), METAS[paper], STOP)) if "4 in" in {w.text for w in p.words}
    ]


def circles(page, diameter, slack=0.05):
    """Places of closed round paths of that diameter."""
    return [
        centre(p)
        for p in page.paths
        if len(p) > 12 and abs(extent(p)[0] - diameter) < slack and abs(extent(p)[1] - diameter) < slack
    ]


@both
def test_bars_on_every_template_page(paper):
    for plate in (FLANGE, ADAPTER):
        for page in template_pages(plate, paper):
            sizes = [extent(p) for p in page.paths]
            assert any(abs(w - 100.0) < 0.1 and h < 2.0 for w, h in sizes)
            assert any(abs(w - 101.6) < 0.1 and h < 2.0 for w, h in sizes)
            assert any(abs(h - 100.0) < 0.1 and w < 2.0 for w, h in sizes)


@both
def test_holes_of_a_template_lie_where_the_part_has_them(paper):
    """Five holes on a circle: neighbours are D sin(180 deg / 5) apart, all D / 2 from the bore's middle (geometry)."""
    (page,) = template_pages(FLANGE, paper)
    (bore,) = circles(page, 60.0)
    holes = circles(page, 13.0)
    assert len(holes) == 10
    new = [h for h in holes if abs(math.dist(h, bore) - 114.3 / 2.0) < 0.05]
    old = [h for h in holes if abs(math.dist(h, bore) - 120.65 / 2.0) < 0.05]
    assert len(new) == len(old) == 5
    chords = sorted(math.dist(a, b) for k, a in enumerate(new) for b in new[k + 1 :])
    assert chords[:5] == pytest.approx([114.3 * math.sin(math.pi / 5.0)] * 5, abs=0.05)
    assert len(circles(page, 150.0)) == 1


@both
def test_a_slot_is_as_long_as_it_says(paper):
    """A slot is its diameter wide and its diameter and the way between its ends long: 14.5 by 23.5 mm."""
    (page,) = template_pages(DAMPER, paper)
    slots = [extent(p) for p in page.paths if len(p) > 20 and abs(extent(p)[1] - 23.5) < 0.05]
    assert len(slots) == 4
    assert all(w == pytest.approx(14.5, abs=0.05) for w, _ in slots)
    assert any(extent(p) == pytest.approx((120.0, 170.0), abs=0.05) for p in page.paths)


@both
def test_tiles_lie_on_each_other_by_their_crosses(paper):
    """Two tiles of one row: their shared crosses differ by one shift, and so do holes seen on neighbours."""
    found = template_pages(ADAPTER, paper)
    assert len(found) == 4
    marks = []
    for page in found:
        there = {}
        for word in page.words:
            if word.text[:1] in "cr" and "." in word.text and len(word.text) < 6:
                there.setdefault(word.text, []).append(word.box[:2])
        marks.append({name: sorted(at) for name, at in there.items()})
    shift, waiting = {0: (0.0, 0.0)}, [0]
    while waiting:
        k = waiting.pop()
        for other in range(len(found)):
            shared = set(marks[k]) & set(marks[other])
            if other in shift or not shared:
                continue
            moves = [
                (a[0] - b[0], a[1] - b[1])
                for name in shared
                for a, b in zip(marks[k][name], marks[other][name], strict=True)
            ]
            assert all(m == pytest.approx(moves[0], abs=0.05) for m in moves)
            shift[other] = (shift[k][0] + moves[0][0], shift[k][1] + moves[0][1])
            waiting.append(other)
    assert len(shift) == 4
    holes = [(x + shift[k][0], y + shift[k][1]) for k, page in enumerate(found) for x, y in circles(page, 10.5)]
    want = [(h.x_mm, h.y_mm) for h in ADAPTER.holes if h.label == "bell"]

    def all_there(anchor):
        laid = [(x - want[0][0] + anchor[0], y - want[0][1] + anchor[1]) for x, y in want]
        return all(any(math.dist(p, h) < 0.1 for h in holes) for p in laid)

    assert any(all_there(anchor) for anchor in holes)


@both
def test_the_drawing_of_a_flange_is_true_to_its_scale(paper):
    """At 1 : 2 an edge of 150 mm is 75 mm on paper, a hole of 13 mm 6.5 mm, their circle 57.15 mm."""
    found = pages(machine_order_sheet((AXLE,), METAS[paper], ANSWERS))
    (page,) = [p for p in found if "5 holes on 114.3 mm" in p.text and "Zone" in p.text]
    assert "scale 1 : 2" in page.text
    (edge,) = circles(page, 75.0)
    holes = [h for h in circles(page, 6.5) if abs(math.dist(h, edge) - 114.3 / 4.0) < 0.05]
    assert len(holes) == 5
    assert any(extent(p) == pytest.approx((6.0, 75.0), abs=0.05) for p in page.paths)


@both
def test_a_rings_dimension_lines_are_as_long_as_its_diameters(paper):
    found = pages(machine_order_sheet((PARTS[1],), METAS[paper], ANSWERS))
    (page,) = [p for p in found if f"{RING.title}, scale" in p.text]
    assert "scale 1 : 1" in page.text
    tips = [p for p in page.paths if len(p) == 4 and extent(p)[0] == pytest.approx(1.1, abs=0.02)]
    heights = sorted(max(y for _, y in p) if k % 2 else min(y for _, y in p) for k, p in enumerate(tips))
    for diameter in (67.115, 73.07):
        assert any(abs(b - a - diameter) < 0.1 for k, a in enumerate(heights) for b in heights[k + 1 :])


@both
def test_forty_joints_stand_on_one_page_worst_first(paper):
    first, *_ = printed("mates", paper)[1]
    text = first.text
    order = [text.index(w) for w in ("Measure this first", "Every joint, worst first")]
    assert order == sorted(order)
    below = text[order[1] :]
    for mate in mate_lines():
        assert mate.joint.removesuffix(" left").removesuffix(" right").removesuffix(", left").removesuffix(
            ", right") in below
    behind = " ".join(page.text for page in printed("mates", paper)[1][1:])
    names = ["wheel on studs", "flare in hose", "dowels", "outer register"]
    assert [behind.index(n) for n in names] == sorted(behind.index(n) for n in names)
    assert behind.index("Cautions") > behind.index("outer register")
    assert "bracket 0" not in behind

