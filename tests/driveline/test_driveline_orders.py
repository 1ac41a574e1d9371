"""Orders to the shops: what must be known, how well, and what contradicts itself; ring and pinion and their pattern."""

import importlib.util
import itertools
import math
from pathlib import Path

import numpy as np
import pytest

from trialfit.driveline.order import differential_order, shaft_order
from trialfit.driveline.order_fields import DERIVED, SHOP, Given, asked_fields, half_words
from trialfit.driveline.pattern import (
    Along,
    Contact,
    Height,
    Move,
    pattern_rows,
    pinion_shim_change,
    read_pattern,
    shim_place,
    shim_places,
    shim_words,
)
from trialfit.driveline.ring_and_pinion import backlash_findings, ring_and_pinion
from trialfit.findings import SURE, Finding, Verdict
from trialfit.standards import rule, table
from trialfit.units import internal

_spec = importlib.util.spec_from_file_location(
    "invented_orders", Path(__file__).parents[1] / "sheets" / "invented_orders.py")
invented = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(invented)

WHOLE = {
    "slip yoke": (shaft_order, invented.shaft_answers),
    "two pieces": (shaft_order, invented.two_pieces),
    "face to face": (shaft_order, invented.face_to_face),
    "differential": (differential_order, invented.axle_answers),
}
every = pytest.mark.parametrize("which", WHOLE)


def order_of(which, **over):
    make, answers = WHOLE[which]
    return make(answers(**over))


# -- the lists: what the trade's own lists ask for (common practice, no source) -------------------------------------

DRIVESHAFT_SHOP = {
    "kerb weight, axle weights, street/tow/strip, top road speed": "kerb_mass front_axle_mass rear_axle_mass use "
    "top_speed",
    "peak engine torque, first gear, stall, transfer low range, axle ratio, tyre radius": "engine_torque first_gear "
    "stall_ratio transfer_low axle_ratio tyre_radius torque_joint",
    "max shaft speed": "max_shaft_speed",
    "slip yoke: spline count, major diameter, seal surface OD and length, barrel length, bottomed depth":
        "front_end_type spline_count spline_major_diameter seal_surface_diameter seal_surface_length "
        "yoke_barrel_length bottomed_depth bottoms_first",
    "flange: pilot diameter and male/female, bolt circle, hole size, bolt count, face": "front_pilot_diameter "
    "front_pilot_gender front_bolt_circle front_hole_size front_bolt_count front_face rear_pilot_diameter "
    "rear_pilot_gender rear_bolt_circle rear_hole_size rear_bolt_count rear_face",
    "yoke: cap diameter, inside width, retention": "rear_end_type rear_yoke_cap rear_yoke_width rear_retention",
    "joints: series or four sizes, clips, greaseable, double Cardan": "front_joint_series front_joint_cap_a "
    "front_joint_width_a front_joint_cap_b front_joint_width_b front_joint_clips front_joint_greaseable "
    "front_double_cardan rear_joint_series rear_joint_cap_a rear_joint_width_a rear_joint_cap_b rear_joint_width_b "
    "rear_joint_clips rear_joint_greaseable rear_double_cardan",
    "length reference; length at ride height, axle loaded, picture of both tape ends": "length_reference "
    "length_at_ride at_ride_height axle_loaded photographs",
    "bottomed position, pull-back, change at bump and droop": "bottomed_position pull_back plunge_in plunge_out",
    "angles: output, shaft, pinion, side and plan; worst at droop": "output_side output_plan shaft_side shaft_plan "
    "pinion_side pinion_plan front_joint_angle rear_joint_angle droop_joint_angle",
    "tube": "max_tube_diameter tube_wish tube_wall",
    "one or two piece: bearing position, bolt spacing, height, cross member": "pieces bearing_position "
    "bearing_bolt_spacing bearing_height_adjust cross_member_drawing",
    "balance, phasing, paint, yokes by whom": "balance_speed phasing paint yokes_by",
    "quote": "price lead_time returnable remeasure_rule",
    "every sheet: job, contact, vehicle, old part": "job_number contact vehicle old_part_enclosed",
}
DIFFERENTIAL_SHOP = {
    "axle identity": "ring_gear_diameter housing_style tag_numbers build_date photographs",
    "present ratio: teeth, turns": "ring_teeth pinion_teeth turns_test",
    "ratio wanted, carrier break, ring bolts, left thread, thick gear": "ratio_wanted carrier_least carrier_most "
    "ring_bolts ring_bolts_left thick_gear",
    "shafts": "shaft_splines shaft_spline_diameter shaft_retention left_shaft_length right_shaft_length",
    "carrier, additive": "carrier_type clutch_additive",
    "yoke: final choice, splines, series, nut, seal": "yoke yoke_final pinion_splines joint_series pinion_nut "
    "pinion_seal",
    "bearing kit, sleeve": "bearing_kit sleeve",
    "use": "engine_torque tyre towing oil_type use",
    "deliverables": "pattern_photo backlash_found preload_found turning_torque runout_found torque_list",
    "housing": "housing_straight housing_welded ends_checked",
}


@pytest.mark.parametrize("kind, wanted", [("driveshaft", DRIVESHAFT_SHOP), ("differential", DIFFERENTIAL_SHOP)])
def test_every_field_of_the_trade_s_list_is_asked_for(kind, wanted):
    keys = {a.key for a in asked_fields(kind)}
    assert {key for words in wanted.values() for key in words.split()} - keys == set()


@pytest.mark.parametrize("kind", ["driveshaft", "differential"])
def test_the_lists_are_whole(kind):
    keys = {a.key for a in asked_fields(kind)}
    for asked in asked_fields(kind):
        row = asked.row
        assert all(row[word] for word in ("name", "short", "group"))
        if row["kind"] in ("number", "count"):
            assert asked.amount("low") < asked.amount("high")
        if row["tolerance"]:
            assert row["origin"] in ("common practice, no source", "from memory")
        if row["asked"] == "builder":
            assert row["measure"], asked.key
        if row["unit"] == "mm":
            assert row["ends"], asked.key
        for part in filter(None, row["when"].split("&")):
            key, _, words = part.partition("=")
            choices = next(a.choices for a in asked_fields(kind) if a.key == key)
            assert set(words.split("|")) <= set(choices)
        assert set(filter(None, row["instead"].split("&"))) <= keys


# -- what stops an order --------------------------------------------------------------------------------------------


@every
def test_a_whole_order_may_be_ordered_from(which):
    order = order_of(which)
    assert order.may_order
    assert order.missing == ()
    assert order.doubtful == ()
    assert order.stop_reason == ("", "")
    assert [c.holds for c in order.checks] == [True] * max(1, len(order.checks))


def _needed(which):
    order = order_of(which)
    # a joint's four sizes stand for its series; the series is then the question that comes back
    return [f.key for f in order.fields if f.life_critical and f.asked == "builder" and "_joint_" not in f.key]


@pytest.mark.parametrize("which, key", [(w, k) for w in WHOLE for k in _needed(w)])
def test_without_any_life_critical_answer_it_stops(which, key):
    order = order_of(which, **{key: None})
    assert not order.may_order
    assert order.stop_reason[0]
    if key != "front_end_type":
        assert key in [f.key for f in order.missing]
    assert all(f.measure for f in order.missing if f.life_critical)


@pytest.mark.parametrize("which", ["slip yoke", "differential"])
def test_a_comfort_answer_does_not_stop_it(which):
    order = order_of(which, contact=None)
    assert order.may_order
    assert [f.key for f in order.missing] == ["contact"]


@pytest.mark.parametrize("which, key", [(w, f.key) for w in WHOLE for f in order_of(w).fields
                                        if f.tolerance and f.asked == "builder"])
def test_a_doubt_just_above_the_need_is_told_and_just_below_is_not(which, key):
    field = order_of(which).field(key)
    told = {}
    for share in (0.999, 1.001):
        order = order_of(which, **{key: Given(field.value, share * field.tolerance / SURE, "again")})
        told[share] = [d for d in order.doubtful if d.key == key]
        if told[share]:
            assert told[share][0].blocks == field.life_critical
            assert told[share][0].measure
    assert told[0.999] == []
    assert len(told[1.001]) == 1


def test_a_doubt_that_nobody_knows_stops_it():
    order = order_of("slip yoke", length_at_ride=Given(1287.0, None, "told on the telephone"))
    assert not order.may_order
    assert "nobody said how well it is known" in order.stop_reason[0]


@pytest.mark.parametrize("sds", list(itertools.product((0.2, 1.0, 1.7), repeat=2)))
def test_more_doubt_never_lifts_the_stop(sds):
    low, high = sorted(sds)
    fine = order_of("slip yoke", plunge_in=Given(20.0, low, "sweep"))
    worse = order_of("slip yoke", plunge_in=Given(20.0, high, "sweep"))
    assert fine.may_order or not worse.may_order


@pytest.mark.parametrize("over, key, words", [
    ({"plunge_in": Given(30.0, 1.0, "sweep")}, "room_bump", "The slip bottoms"),
    ({"plunge_in": Given(21.5, 1.0, "sweep")}, "room_bump", "Cannot tell"),
    ({"plunge_out": Given(40.0, 1.0, "sweep")}, "engaged_droop", "pulls out too far"),
    ({"droop_joint_angle": invented.degrees(24.0, 0.3)}, "droop_joint_angle", "A plain joint binds"),
    ({"droop_joint_angle": invented.degrees(21.8, 0.4)}, "droop_joint_angle", "Cannot tell"),
    ({"tube_diameter": Given(101.6)}, "tube_diameter", "The tube does not clear"),
    ({"balance_speed": Given(internal(4000.0, "rpm"))}, "balance_speed", "below the greatest shaft speed"),
    ({"axle_loaded": Given("no")}, "at_ride_height", "not taken at ride height with the axle loaded"),
    ({"at_ride_height": Given("no")}, "at_ride_height", "not taken at ride height with the axle loaded"),
    ({"length_reference": Given("face to face")}, "length_reference", "The length goes face to face"),
])
def test_answers_that_contradict_each_other_stop_it(over, key, words):
    order = order_of("slip yoke", **over)
    assert not order.may_order
    (doubt,) = [d for d in order.doubtful if d.key == key]
    assert words in doubt.reason
    assert doubt.measure


@pytest.mark.parametrize("over, key, words", [
    ({"turns_test": Given(1.86, 0.02, "one wheel held")}, "turns_test", "The teeth give a ratio of 3.73"),
    ({"ratio_wanted": Given(3.9)}, "ratio_wanted", "outside what the carrier takes"),
    ({"ratio_wanted": Given(2.5), "thick_gear": Given("yes")}, "ratio_wanted", "outside what the carrier takes"),
    ({"carrier_least": Given(3.6)}, "carrier_least", "the lower figure is the larger one"),
    ({"ends_checked": Given("no")}, "ends_checked", "was welded and its ends were not checked"),
    ({"housing_straight": Given("no")}, "housing_straight", "not straight"),
    ({"yoke_final": Given("no")}, "yoke_final", "comes off once only"),
])
def test_an_axle_that_contradicts_itself_stops_it(over, key, words):
    order = order_of("differential", **over)
    assert not order.may_order
    (doubt,) = [d for d in order.doubtful if d.key == key]
    assert words in doubt.reason


def test_a_thick_gear_makes_up_for_a_carrier_of_lower_ratios():
    assert order_of("differential", ratio_wanted=Given(3.9), thick_gear=Given("yes")).may_order


@pytest.mark.parametrize("verdict, stops", [(Verdict.FITS, False), (Verdict.FITS_AFTER_WORK, False),
                                            (Verdict.CANNOT_TELL, True), (Verdict.DOES_NOT_FIT, True)])
def test_an_open_finding_stops_it(verdict, stops):
    finding = Finding("shaft.whirl", verdict, "the shaft whirls at 5000 rpm", "use a thicker tube")
    order = shaft_order(invented.shaft_answers(), [finding])
    assert order.may_order is not stops
    assert stops == ("the shaft whirls" in order.stop_reason[0])


def test_an_answer_that_belongs_to_another_end_is_told_and_does_not_stop():
    order = order_of("slip yoke", front_bolt_count=Given(4.0))
    assert order.may_order
    assert "is asked only where front end type is flange" in order.doubtful[0].reason


def test_a_rule_s_other_version_can_be_chosen():
    answers = invented.shaft_answers(plunge_out=Given(32.0, 1.0, "sweep"))
    assert not shaft_order(answers).may_order
    assert shaft_order(answers, choices={"spline-engagement": "1 diameter"}).may_order


# -- what is worked out ---------------------------------------------------------------------------------------------


def test_one_shaft_told_from_two_ends_comes_out_the_same():
    centres = order_of("slip yoke")
    seal = order_of("slip yoke", length_reference=Given("seal to joint centre"),
                    length_at_ride=Given(1287.0 + 84.0 + 22.0, 1.4, "tape"))
    for key in ("length_seal", "length_bump", "length_droop", "length_bottomed", "room_bump", "engaged_droop"):
        assert seal.number(key) == pytest.approx(centres.number(key))
    assert seal.number("shaft_length") == pytest.approx(centres.number("length_at_ride"))
    assert centres.number("shaft_length") is None


@every
def test_longest_ride_shortest_and_bottomed_stand_in_order(which):
    order = order_of(which)
    if order.kind == "driveshaft":
        assert order.number("length_bottomed") < order.number("length_bump") < order.number("length_droop")
        between = order.number("length_droop") - order.number("length_bump")
        assert between == pytest.approx(order.number("plunge_in") + order.number("plunge_out"))


def test_doubt_of_what_is_worked_out_against_ten_thousand_drawn_readings():
    """Another route to the answer: the spread of the sums of drawn readings."""
    answers, draw = invented.shaft_answers(), np.random.default_rng(7)
    n = {k: draw.normal(answers[k].value, answers[k].sd, 10_000) for k in (
        "length_at_ride", "bottomed_position", "plunge_in", "plunge_out", "engaged_bottomed")}
    order = shaft_order(answers)
    drawn = {"length_bump": n["length_at_ride"] + n["bottomed_position"] + 22.0 - n["plunge_in"],
             "length_droop": n["length_at_ride"] + n["bottomed_position"] + 22.0 + n["plunge_out"],
             "engaged_droop": n["engaged_bottomed"] - 22.0 - n["plunge_out"], "room_bump": 22.0 - n["plunge_in"]}
    for key, values in drawn.items():
        assert order.number(key) == pytest.approx(values.mean(), abs=0.1)
        assert order.field(key).sd == pytest.approx(values.std(), rel=0.03)


@pytest.mark.parametrize("slip, lower", [(1900.0, 1225.0), (610.0, 610.0), (None, 1225.0)])
def test_the_lower_torque_sets_the_joint(slip, lower):
    """350 N*m in a first gear of 3.5 are 1225 N*m at the shaft: worked by hand."""
    given = None if slip is None else invented.inner(slip, "N*m", 40.0, "grip")
    assert order_of("slip yoke", torque_wheel_slip=given).number("torque_joint") == pytest.approx(lower * 1000.0)


def test_a_length_names_both_ends_and_how_it_was_taken():
    sentence = order_of("slip yoke").field("length_at_ride").sentence
    assert sentence == ("from the centre of joint A to the centre of joint B, axle loaded, at ride height, yoke pulled "
                        "out 22.0 mm")
    hanging = order_of("slip yoke", axle_loaded=Given("no")).field("length_at_ride").sentence
    assert "axle not loaded" in hanging
    assert "face of the rear flange" in order_of("face to face").field("length_at_ride").sentence
    assert "joint C" in order_of("two pieces").field("length_at_ride").sentence
    assert "not said" in shaft_order({"length_at_ride": Given(900.0, 1.0)}).field("length_at_ride").sentence


@every
def test_no_place_is_left_open_in_a_sentence(which):
    assert not any(sign in f.sentence for f in order_of(which).fields for sign in "{}")


# -- what is refused ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("answers, words", [
    ({"length_at_rid": Given(1287.0)}, "no field 'length_at_rid'; nearest: length_at_ride"),
    ({"length_at_ride": Given(12.0)}, r"is 12 mm; it must lie between 150 mm and 4000 mm"),
    ({"length_at_ride": Given(math.nan)}, "is no finite number"),
    ({"length_at_ride": Given("long")}, "must be an amount"),
    ({"length_at_ride": Given(1287.0, -1.0)}, "has a doubt of -1; it must be 0 or more"),
    ({"front_end_type": Given("slipyoke")}, "one of: slip yoke, fixed yoke"),
    ({"front_end_type": Given(3.0)}, "write it in words"),
    ({"paint": Given("x" * 161)}, "has 161 letters; at most 160"),
    ({"spline_count": Given(27.5)}, "must be a whole number"),
    ({"length_droop": Given(1300.0)}, "cannot be given: it is worked out"),
    ({"price": Given("much")}, "cannot be given: the shop fills it in"),
])
def test_what_is_refused_says_why(answers, words):
    with pytest.raises(ValueError, match=words):
        shaft_order(answers)


def test_an_empty_order_asks_and_works_nothing_out():
    for order in (shaft_order({}), differential_order({})):
        assert not order.may_order
        assert all(f.value is None for f in order.fields)
        assert not any(f.asked == DERIVED and f.key != "torque_joint" for f in order.missing)
        assert any(f.asked == SHOP for f in order.fields)


def test_a_field_that_is_not_there():
    with pytest.raises(KeyError, match="no field 'lenght_at_ride'; nearest: length_at_ride"):
        order_of("slip yoke").field("lenght_at_ride")


@pytest.mark.parametrize("half, unit, words", [(5.04, "mm", "6 mm"), (3.0, "mm", "3 mm"), (0.098, "mm", "0.1 mm"),
                                               (0.013, "", "0.02"), (math.radians(0.41), "deg", "0.5 deg")])
def test_a_doubt_is_rounded_up(half, unit, words):
    assert half_words(half, unit) == words


# -- the pattern ----------------------------------------------------------------------------------------------------

ALL = [(Contact(a, b), Contact(c, d)) for a, b, c, d in itertools.product(Along, Height, Along, Height)]
PLACE = "behind the inner cup"
OTHER_WAY = {Move.CLOSER: Move.AWAY, Move.AWAY: Move.CLOSER}


def turned_round(contact):
    along = {Along.TOE: Along.HEEL, Along.HEEL: Along.TOE}.get(contact.along, contact.along)
    height = {Height.TOP: Height.ROOT, Height.ROOT: Height.TOP}.get(contact.height, contact.height)
    return Contact(along, height)


def test_every_pattern_has_an_answer_and_every_row_is_used():
    used = {read_pattern(drive, coast, PLACE).row.name for drive, coast in ALL}
    assert used == {row.name for row in pattern_rows()}


@pytest.mark.parametrize("drive, coast", ALL)
def test_the_opposite_pattern_asks_for_the_opposite_move(drive, coast):
    row = read_pattern(drive, coast, PLACE).row
    other = read_pattern(turned_round(drive), turned_round(coast), PLACE).row
    for move, moved in ((row.pinion, other.pinion), (row.ring_gear, other.ring_gear)):
        assert moved is OTHER_WAY.get(move, move)
    assert row.step_mm == other.step_mm


@pytest.mark.parametrize("drive, coast", ALL)
def test_never_both_at_once_and_no_step_without_a_move(drive, coast):
    row = read_pattern(drive, coast, PLACE).row
    moves = [m for m in (row.pinion, row.ring_gear) if m in OTHER_WAY]
    assert len(moves) <= 1
    assert (row.step_mm > 0.0) == bool(moves)


@pytest.mark.parametrize("height, words", [(Height.TOP, "thicker"), (Height.ROOT, "thinner")])
@pytest.mark.parametrize("along", Along)
def test_a_high_or_low_pattern_as_a_truck_axle_manual_has_it(height, words, along):
    """Published: high contact, more shim between inner bearing cap and case, the pinion goes to the ring gear; low
    contact, less. Truck axle maintenance manual, as quoted."""
    mark = Contact(along, height)
    reading = read_pattern(mark, mark, PLACE, True)
    assert reading.pinion_shim.startswith(words)
    assert reading.finding.verdict is Verdict.FITS_AFTER_WORK


@pytest.mark.parametrize("along, lash", [(Along.HEEL, "less backlash"), (Along.TOE, "more backlash")])
def test_toe_and_heel_as_a_truck_axle_manual_has_it(along, lash):
    """Published: less backlash moves the pattern to the toe, more to the heel. Truck axle maintenance manual."""
    mark = Contact(along, Height.MIDDLE)
    assert lash in read_pattern(mark, mark, PLACE, True).ring_gear


def test_under_a_bolted_retainer_the_shim_works_the_other_way_round():
    """Published by builders: shims between housing and pinion retainer, more moves the pinion away."""
    assert {p.name: p.thicker for p in shim_places()} == {
        "behind the inner cup": Move.CLOSER, "under the inner bearing": Move.CLOSER,
        "under the pinion retainer": Move.AWAY}
    for move in OTHER_WAY:
        ways = {shim_words(move, shim_place(name), 0.1).split()[0]
                for name in ("under the inner bearing", "under the pinion retainer")}
        assert ways == {"thicker", "thinner"}


@pytest.mark.parametrize("right, verdict", [(True, Verdict.FITS), (None, Verdict.CANNOT_TELL),
                                            (False, Verdict.CANNOT_TELL)])
def test_a_good_pattern_counts_only_at_the_right_backlash(right, verdict):
    good = Contact(Along.CENTRE, Height.MIDDLE)
    assert read_pattern(good, good, PLACE, right).finding.verdict is verdict


def test_high_on_one_side_and_low_on_the_other_is_no_matter_of_shims():
    finding = read_pattern(Contact(Along.TOE, Height.TOP), Contact(Along.HEEL, Height.ROOT), PLACE, True).finding
    assert finding.verdict is Verdict.DOES_NOT_FIT
    with pytest.raises(ValueError, match="no place of the pinion shim"):
        shim_place("in the drawer")


@pytest.mark.parametrize("old, new, thicker, change", [
    (2, -2, "closer", 4),   # light-truck manual: old +2, new -2, behind the inner cup: add 0.004 in
    (0, 3, "closer", -3),   # the same: a +3 pinion takes 0.003 in less than one marked 0
    (0, -3, "closer", 3),   # the same: a -3 pinion takes 0.003 in more
    (2, -1, "away", -3),    # army manual TM 5-3895-369-14, table 5-4: old +2, new -1: subtract 0.003 in
    # (its signs are those of a shim that works the other way; the page that shows the shim was not seen)
    (4, -4, "away", -8),    # the same table, its corner
])
def test_pinion_marks_as_published(old, new, thicker, change):
    thou = 0.0254
    assert pinion_shim_change(old * thou, new * thou, thicker) == pytest.approx(change * thou)


def test_pinion_marks_out_of_range():
    with pytest.raises(ValueError, match="old mark is 3 mm; it must lie between -1 mm and 1 mm"):
        pinion_shim_change(3.0, 0.0, "closer")
    with pytest.raises(ValueError, match="write closer or away"):
        pinion_shim_change(0.0, 0.0, "up")


# -- settings -------------------------------------------------------------------------------------------------------

OWN = {"backlash": (0.15, 0.25, "axle's manual (invented)"),
       "preload-new": (1800.0, 2600.0, "axle's manual (invented)")}


def test_the_axle_s_own_figure_goes_first_and_the_others_stay_beside_it():
    found = ring_and_pinion(OWN, "new", "crush sleeve")
    assert found.may_set_up
    setting = found.setting("backlash")
    assert (setting.own.low, setting.own.high) == (0.15, 0.25)
    assert [(s.low, s.high) for s in setting.others] == [(0.13, 0.20), (0.13, 0.23)]
    assert all(s.source for one in found.settings for s in one.others)


@pytest.mark.parametrize("bearings, missing", [("new", "preload-new"), ("used", "preload-used")])
def test_nothing_is_set_up_from_another_axle_s_figure(bearings, missing):
    found = ring_and_pinion({"backlash": OWN["backlash"]}, bearings, "crush sleeve")
    assert not found.may_set_up
    assert [s.name for s in found.missing] == [missing]


def test_published_metric_and_inch_figures_are_one_figure():
    """Published pairs: 20 to 25 lb.in are 2.3 to 2.8 N.m; 0.005 to 0.009 in are 0.13 to 0.23 mm; 15 to 20 miles are
    24 to 32 km, 500 miles 800 km. Truck service manuals; gear shop and magazine."""
    first = ring_and_pinion({}, "new", "crush sleeve").setting("preload-new").others[0]
    assert (first.low, first.high) == pytest.approx((internal(20, "lbf*in"), internal(25, "lbf*in")), rel=0.03)
    last = ring_and_pinion({}, "new", "crush sleeve").setting("backlash").others[-1]
    assert (last.low, last.high) == pytest.approx((0.005 * 25.4, 0.009 * 25.4), abs=0.005)
    for step in ring_and_pinion({}, "new", "crush sleeve").break_in:
        assert step.to_km == pytest.approx(step.to_miles * 1.609344, rel=0.01)


def test_used_bearings_take_less_preload_than_new_ones():
    found = ring_and_pinion({}, "used", "solid spacer")
    assert max(s.high for s in found.setting("preload-used").others) < min(
        s.low for s in found.setting("preload-new").others)


def test_the_crush_sleeve_is_warned_of_only_where_there_is_one():
    assert "Never back the pinion nut off" in ring_and_pinion(OWN, "new", "crush sleeve").sleeve_words[0]
    assert "Never" not in " ".join(ring_and_pinion(OWN, "new", "solid spacer").sleeve_words)


@pytest.mark.parametrize("own, bearings, sleeve, words", [
    ({"backlsh": (0.1, 0.2, "x")}, "new", "crush sleeve", "no setting is called 'backlsh'; nearest: backlash"),
    ({"backlash": (0.25, 0.15, "x")}, "new", "crush sleeve", "the lower figure is the larger one"),
    ({"backlash": (0.15, 2.5, "x")}, "new", "crush sleeve", "must lie between 0.02 mm and 1 mm"),
    ({"backlash": (0.15, 0.25, " ")}, "new", "crush sleeve", "say which sheet"),
    ({}, "old", "crush sleeve", "write new or used"),
    ({}, "new", "sleeve", "write crush sleeve or solid spacer"),
])
def test_settings_that_are_refused(own, bearings, sleeve, words):
    with pytest.raises(ValueError, match=words):
        ring_and_pinion(own, bearings, sleeve)


@pytest.mark.parametrize("readings, sd, within, even", [
    ((0.19, 0.20, 0.21, 0.20), 0.005, Verdict.FITS, Verdict.FITS),
    ((0.16, 0.20, 0.24, 0.20), 0.002, Verdict.FITS, Verdict.DOES_NOT_FIT),
    ((0.10, 0.11, 0.12, 0.11), 0.005, Verdict.DOES_NOT_FIT, Verdict.FITS),
    ((0.19, 0.20, 0.24, 0.20), 0.020, Verdict.CANNOT_TELL, Verdict.CANNOT_TELL),
    ((0.19, 0.20, 0.21), None, Verdict.CANNOT_TELL, Verdict.CANNOT_TELL),
])
def test_backlash_round_the_ring_gear(readings, sd, within, even):
    found = backlash_findings(ring_and_pinion(OWN, "new", "crush sleeve"), [Given(v, sd) for v in readings])
    assert [f.verdict for f in found] == [within, even]


def test_backlash_readings_that_are_refused():
    found = ring_and_pinion(OWN, "new", "crush sleeve")
    with pytest.raises(ValueError, match="three or four places"):
        backlash_findings(found, [Given(0.2, 0.01)] * 2)
    with pytest.raises(ValueError, match="it must be an amount"):
        backlash_findings(found, [Given("some")] * 3)
    with pytest.raises(ValueError, match="between 0 mm and 2 mm"):
        backlash_findings(found, [Given(20.0, 0.01)] * 3)


@pytest.mark.parametrize("name", ["gear_pattern", "pinion_shim_places", "ring_and_pinion"])
def test_every_row_says_where_it_is_from(name):
    assert all(row["origin"] and row["kind"] in ("PUB", "TRADE", "CP") for row in table(name).rows)
    assert rule("ring-gear-backlash").versions
