"""Orders to the exhaust shop and the coater: what is missing or dangerous stops them, the rest goes out."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.checks.exhaust_orders import (
    ExhaustForOrder,
    coater_order,
    exhaust_shop_order,
    way_words,
)
from trialfit.driveline.order_fields import Given, accepted, asked_fields
from trialfit.exhaust.bend_table import bender_table
from trialfit.exhaust.chain import chain_of, sections
from trialfit.exhaust.heat import Flow, run_hot
from trialfit.findings import Finding, Verdict

EXAMPLES = Path(__file__).parents[2] / "examples"
WORDS = {"contact": "A. Builder (invented), 000 000", "charging": "none", "fuel": "petrol", "material": "stainless",
         "zinc": "no", "fixed_points": "axle tube, tank, fuel line; see the gap sheet",
         "outlet_flange": "two bolts M10, 86 mm apart, bore 58 mm", "outlet_gasket": "ring", "sensors": "no",
         "beyond_cabin": "yes", "finish": "bare", "removal": "tail for the axle", "purge": "yes",
         "hanger_rubber": "two holes, 40 mm apart", "part_ends": "in the middle, arrow rearward"}
ASKED = {key: Given(words) for key, words in WORDS.items()} | {
    "displacement": Given(2.4e6), "power": Given(95e3), "cylinders": Given(4.0)}
COAT = {key: Given(words) for key, words in {
    "contact": "A. Builder (invented)", "process": "ceramic exhaust coating", "colour": "grey, 30 um",
    "part": "exhaust, three sections", "material": "mild steel tube", "old_finish": "oil", "blast": "yes, with masks",
    "masks": "sealing faces of the outlet", "remove_before": "sensor, rubbers", "closed_tubes": "none",
    "signed_off": "yes", "hardened": "no", "brake_parts": "no", "wheels": "no"}.items()} | {
    "coating_limit": Given(1073.15), "cure_temperature": Given(523.15)}


@pytest.fixture(scope="module", params=("estate", "flatbed"))
def known(request):
    results = run(load(EXAMPLES / request.param / "build.yaml").build, gaps=False)
    chain = chain_of(results.routes[0], results.cuts[0])
    return ExhaustForOrder(chain, bender_table(results.routes[0].centreline), (("axle tube", 31.2, 3.0),),
                           ("rail.R1",), run_hot(chain, Flow(0.12, 950.0, 40.0)), "two people, half a tank", "invented")


def test_all_answered_it_may_be_ordered(known):
    order = exhaust_shop_order(known, ASKED)
    assert order.may_order
    assert order.missing == ()
    assert order.number("outside") == known.chain.elements[0].outside_mm
    assert order.word("sections").count("mm") == len(sections(known.chain))


@pytest.mark.parametrize("key", [a.key for a in asked_fields("exhaust_shop") if a.row["life"] == "yes"
                                 and a.row["asked"] == "builder" and not a.row["when"] and a.key != "load_state"])
def test_without_one_answer_that_lives_hang_on_it_is_not_to_be_ordered_from(known, key):
    order = exhaust_shop_order(known, {k: v for k, v in ASKED.items() if k != key})
    assert not order.may_order
    assert [f.key for f in order.missing if f.life_critical] == [key]
    assert order.stop_reason[0].endswith("is missing.")


def test_a_comfort_answer_does_not_stop_it(known):
    order = exhaust_shop_order(known, {k: v for k, v in ASKED.items() if k != "finish"})
    assert order.may_order
    assert [f.key for f in order.missing] == ["finish"]


@pytest.mark.parametrize("key, word, told", [("zinc", "yes", "fumes poison"),
                                             ("beyond_cabin", "no", "carbon monoxide")])
def test_what_poisons_stops_it(known, key, word, told):
    order = exhaust_shop_order(known, {**ASKED, key: Given(word)})
    assert not order.may_order
    assert told in order.stop_reason[0]


def test_an_open_finding_stops_it(known):
    order = exhaust_shop_order(known, ASKED, [Finding("exhaust.main.gap", Verdict.CANNOT_TELL, "the gap is open", "x")])
    assert not order.may_order
    assert not exhaust_shop_order(known, ASKED, [Finding("a", Verdict.DOES_NOT_FIT, "it touches", "x")]).may_order
    assert exhaust_shop_order(known, ASKED, [Finding("a", Verdict.FITS, "clear")]).may_order


def test_sensors_are_asked_about_only_when_wanted(known):
    keys = {f.key for f in exhaust_shop_order(known, ASKED).fields}
    assert "sensor_thread" not in keys
    order = exhaust_shop_order(known, {**ASKED, "sensors": Given("yes")})
    assert {"sensor_thread", "sensor_place", "sensor_harness"} <= {f.key for f in order.missing}


def test_a_catalyst_needs_its_mark(known):
    first = known.chain.elements[0]
    chain = replace(known.chain, elements=(replace(first, kind="catalyst", name="catalyst", width_mm=120.0,
                                                   height_mm=90.0), *known.chain.elements[1:]))
    order = exhaust_shop_order(replace(known, chain=chain), ASKED)
    assert not order.may_order
    assert [f.key for f in order.missing if f.life_critical] == ["catalyst_mark"]
    assert "120 x 90" in order.word("parts")


@pytest.mark.parametrize("given, told", [
    ({"materiel": Given("steel")}, "no field 'materiel'"), ({"material": Given("galvanised")}, "one of"),
    ({"outside": Given(63.5)}, "worked out"), ({"price": Given("100")}, "the shop fills it in"),
    ({"power": Given("strong")}, "must be an amount"), ({"cylinders": Given(3.5)}, "whole number"),
    ({"power": Given(5e6)}, "2000 kW"), ({"finish": Given("  ")}, "in words"), ({"finish": Given("a" * 161)}, "160"),
    ({"power": Given(95e3, -1.0)}, "0 or more"),
])
def test_an_answer_that_cannot_be_is_refused(given, told):
    with pytest.raises(ValueError, match=told):
        accepted("exhaust_shop", given)


def test_no_other_list():
    with pytest.raises(ValueError, match="exhaust_shop, coater"):
        asked_fields("spring_shop")


def test_ways_in_words():
    assert way_words((1.0, 0.0, 0.0)) == "rearward"
    assert way_words((0.0, 1.0, 0.0)) == "rearward and 90 deg to the right"
    assert way_words((-1.0, -1.0, 0.0)) == "forward and 45 deg to the left"


# -- coater -----------------------------------------------------------------------------------------------------


def test_a_coating_that_stands_the_heat_may_be_ordered(known):
    order = coater_order(known, COAT)
    assert order.may_order
    hottest = max(s.metal_k[1] for s in known.run.stations)
    assert order.number("skin_temperature") == hottest
    assert order.number("mass") == pytest.approx(known.chain.mass_kg)


def test_the_box_holds_every_end_of_the_pipe(known):
    words = coater_order(known, COAT).word("envelope").split(" mm")[0]
    box = sorted(float(v) for v in words.split(" x "))
    ends = [(p, max(e.outside_mm, e.width_mm, e.height_mm) / 2.0) for e in known.chain.elements
            for p in (e.start, e.end)]
    low, high = (np.array([p + way * r for p, r in ends]) for way in (-1.0, 1.0))
    spans = sorted(high.max(axis=0) - low.min(axis=0))
    assert all(b >= s for b, s in zip(box, spans, strict=True))
    assert all(b - s < 11.0 for b, s in zip(box, spans, strict=True))


@pytest.mark.parametrize("change, told", [
    ({"coating_limit": Given(573.15)}, "coating stands 300 degC"),
    ({"process": Given("zinc plating")}, "zinc gives off fumes"),
    ({"process": Given("powder coating")}, "burns off"),
    ({"closed_tubes": Given("not vented")}, "bursts"), ({"signed_off": Given("no")}, "not signed off"),
    ({"brake_parts": Given("yes")}, "not coated"), ({"hardened": Given("yes")}, "brittle"),
    ({"wheels": Given("yes, not asked")}, "maker"),
])
def test_what_must_not_be_coated_stops_it(known, change, told):
    order = coater_order(known, {**COAT, **change})
    assert not order.may_order
    assert any(told in d.reason and d.blocks for d in order.doubtful)


@pytest.mark.parametrize("key", [a.key for a in asked_fields("coater") if a.row["life"] == "yes"
                                 and a.row["asked"] == "builder"])
def test_a_coating_order_misses_every_answer_that_lives_hang_on(known, key):
    order = coater_order(known, {k: v for k, v in COAT.items() if k != key})
    assert not order.may_order
    assert key in [f.key for f in order.missing if f.life_critical]


def test_another_part_says_its_own_heat():
    order = coater_order(None, {**COAT, "skin_temperature": Given(350.0), "mass": Given(3.0)})
    assert order.may_order
    assert not coater_order(None, COAT).may_order
    with pytest.raises(ValueError, match="must be an amount"):
        coater_order(None, {**COAT, "mass": Given("light")})
    with pytest.raises(ValueError, match="500 kg"):
        coater_order(None, {**COAT, "mass": Given(900.0)})


def test_heat_that_nobody_knows_stops_the_exhaust(known):
    order = coater_order(replace(known, run=None), COAT)
    assert not order.may_order
    assert "skin_temperature" in [f.key for f in order.missing]
