"""The driveline of whole builds: numbers worked again by another route, and what stops an order."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from trialfit.buildfile import load
from trialfit.checks import run, things
from trialfit.checks.pairs import points_of
from trialfit.driveline import plunge_range
from trialfit.driveline.whirl import tube_whirl
from trialfit.findings import SURE, Verdict
from trialfit.geometry import gap_at
from trialfit.motion import pose_of
from trialfit.parts import Fact
from trialfit.structure import tube_mass
from trialfit.vehicle import Amount, OrderAnswer, OrderSaid, suspension_points

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
RPM = math.pi / 30.0


def slim(build, *names):
    """The build with its wheels and a few more shapes only, and the readings that its driveline hangs on: fewer gaps
    and a smaller survey, the same driveline."""
    kept = tuple(s for s in build.shapes if s.name in ("wheel left", "wheel right", *names))
    gaps = tuple(g for g in build.gaps if {g.a, g.b} <= {s.name for s in kept} | {"shaft"})
    needed = {*suspension_points(build.suspension), *build.shaft.points(), build.mounts.axis_front,
              build.mounts.axis_rear, *(p for shape in kept for p in points_of(shape))}
    readings = tuple(r for r in build.readings if set(r.points) <= needed)
    bodies = tuple((body, tuple(p for p in points if p in needed)) for body, points in build.bodies)
    hints = tuple(h for h in build.hints if h.point in needed)
    return replace(build, shapes=kept, routes=(), gaps=gaps, readings=readings, bodies=bodies, hints=hints)


@pytest.fixture(scope="module")
def build():
    return slim(load(EXAMPLES / "estate" / "build.yaml").build, "floor")


@pytest.fixture(scope="module")
def estate(build):
    return run(build)


@pytest.fixture(scope="module")
def van():
    return run(load(EXAMPLES / "van" / "build.yaml").build)


def finding(results, name):
    return next(f for f in results.findings if f.name == name)


def names(results):
    return {f.name for f in results.findings}


def unit(v):
    return v / np.linalg.norm(v)


def joints_by_hand(results):
    p = results.points
    out, nose = unit(p["box.out"] - p["box.back"]), unit(p["pinion"] - p["diff.front"])
    return p["box.out"] + 55.0 * out, p["pinion"] + 48.0 * nose, out, nose


def test_length_and_angles_are_those_of_vectors_by_hand(estate):
    """Another route: joint centres laid out from faces and axes, angles by the arc cosine."""
    front, rear, out, nose = joints_by_hand(estate)
    shaft = estate.driveline.shaft
    assert shaft.lengths[0].mm == pytest.approx(np.linalg.norm(rear - front), abs=1e-9)
    along = unit(rear - front)
    assert shaft.angles.joints[0].ride_rad == pytest.approx(math.acos(out @ along), abs=1e-7)
    assert shaft.angles.joints[1].ride_rad == pytest.approx(math.acos(-nose @ along), abs=1e-7)


def test_the_doubt_of_an_angle_is_that_of_many_drawn_surveys(estate):
    """Another route: hardpoints drawn from their covariance, the angle of each draw by vectors."""
    survey, rng = estate.survey, np.random.default_rng(4)
    used = ["box.back", "box.out", "diff.front", "pinion"]
    mean = np.concatenate([survey.point(n) for n in used])
    drawn = rng.multivariate_normal(mean, survey.covariance_of(used), 4000).reshape(-1, 4, 3)
    out = drawn[:, 1] - drawn[:, 0]
    out /= np.linalg.norm(out, axis=1)[:, None]
    nose = drawn[:, 3] - drawn[:, 2]
    nose /= np.linalg.norm(nose, axis=1)[:, None]
    along = drawn[:, 3] + 48.0 * nose - drawn[:, 1] - 55.0 * out
    along /= np.linalg.norm(along, axis=1)[:, None]
    bent = np.arccos(np.sum(out * along, axis=1)), np.arccos(-np.sum(nose * along, axis=1))
    assert estate.driveline.shaft.doubt.angle_rad == pytest.approx(max(np.std(b) for b in bent), rel=0.08)


def slip_by_hand(results, state):
    """A slip yoke of fixed shaft: how far its joint has slid along the output, from poses of closed loops."""
    front, rear, out, _ = joints_by_hand(results)
    long = np.linalg.norm(rear - front)
    engine = pose_of(results.build, results.points, "engine", state, results.sizes)
    axle = pose_of(results.build, results.points, "axle", state, results.sizes)
    start, way, end = engine.move(front), engine.rotation @ out, axle.move(rear)
    along = (end - start) @ way
    return along - math.sqrt(long**2 - np.linalg.norm(end - start) ** 2 + along**2)


def test_no_pose_moves_the_slip_beyond_its_bounds(estate):
    travel, wound = estate.travel, estate.driveline.shaft.plunge
    plunge = plunge_range(estate.driveline.shaft.line, travel)
    seen = [slip_by_hand(estate, s) for s in travel.grid(9, 5, 3)]
    assert max(seen) <= plunge.out.upper <= wound.out.upper + 0.1
    assert -min(seen) <= plunge.into.upper <= wound.into.upper + 0.1
    assert plunge.out.upper - max(seen) < 0.3
    assert plunge.into.upper - -min(seen) < 0.3


def test_slip_answers_are_the_lengths_less_the_movement(estate):
    slip, plunge = estate.driveline.shaft.slip, estate.driveline.shaft.plunge
    assert slip.engaged_mm[0] == pytest.approx(72.0 - plunge.out.upper)
    assert slip.room_mm[0] == pytest.approx(29.0 - plunge.into.upper)
    assert finding(estate, "shaft.slip.engagement").verdict is Verdict.FITS
    assert finding(estate, "shaft.slip.bottoms").verdict is Verdict.FITS


def test_torque_is_the_lower_of_gear_and_grip_by_hand(estate):
    seen = estate.driveline.shaft.torque.seen
    assert seen.low_gear_nmm == pytest.approx(270e3 * 3.5 * 0.85, rel=1e-3)
    radius = 9660.0 / 5.0 / (2.0 * math.pi)
    assert seen.wheel_slip_nmm == pytest.approx(0.9 * 720.0 * 9.80665 * radius / (3.31 * 0.95), rel=1e-6)
    assert seen.governs == "wheel slip"
    assert seen.torque_nmm == seen.wheel_slip_nmm


def test_the_shaft_turns_as_fast_as_the_engine_in_the_smallest_ratio(estate, build):
    assert estate.driveline.shaft.top_speed_rad_s == pytest.approx(5800.0 * RPM)
    geared = run(replace(build, power=replace(build.power, gears=(*build.power.gears, 0.8))))
    assert geared.driveline.shaft.top_speed_rad_s == pytest.approx(5800.0 / 0.8 * RPM)
    assert geared.driveline.shaft.margin.share == pytest.approx(estate.driveline.shaft.margin.share / 0.8)


def test_a_room_is_never_more_than_any_pose_leaves(estate):
    shaft = next(p.mover for p in estate.placed if p.thing.kind == "shaft")
    placed = {p.thing.name: p.mover for p in estate.placed}
    for room in estate.driveline.shaft.rooms:
        seen = min(gap_at(shaft, placed[room.name], np.array(s)).upper_mm for s in estate.travel.grid(7, 5, 3))
        assert room.room_mm <= seen + 38.1 + 1e-6


def test_every_version_of_a_rule_is_told_and_one_finding_for_each_question(estate):
    told = estate.driveline.shaft.rules
    assert {a.version.label for a in told if a.rule == "joint-angle-least"} == {"0.5 deg", "1 deg"}
    assert sum(f.name.startswith("shaft.front-joint-at-ride-height.angle-least") for f in estate.findings) == 1
    other = next(f for f in estate.findings if f.name.endswith(".angle-difference"))
    assert "by other versions: 0.5 deg, felt by one builder" in other.reason


def test_a_coarser_gauge_is_told_with_the_one_that_could(build):
    """The same notebook with its angles read by a dial: the rule can then not be told, and a finer gauge is named."""
    dial = next(r.instrument for r in build.readings if r.instrument.name == "dial")
    readings = tuple(replace(r, instrument=dial) if r.kind.value == "angle" else r for r in build.readings)
    coarse = run(replace(build, readings=readings))
    open_ = [f for f in coarse.findings if f.name.startswith("shaft.") and f.verdict is Verdict.CANNOT_TELL
             and f.unit == "deg"]
    assert open_
    assert all("gauge" in f.remedy for f in open_)


def test_a_shaft_without_axes_says_what_to_write(build):
    bare = run(replace(build, shaft=replace(build.shaft, front_axis=(), rear_axis=())))
    assert bare.driveline.shaft is None
    assert finding(bare, "shaft.axes").verdict is Verdict.CANNOT_TELL
    assert not bare.orders[0].may_order


def test_a_shaft_fixed_at_both_ends_is_refused_with_its_movement(build):
    fixed = run(replace(build, shaft=replace(build.shaft, slip="none")))
    told = finding(fixed, "shaft.slip")
    assert told.verdict is Verdict.DOES_NOT_FIT
    assert "mm" in told.reason
    assert not fixed.orders[0].may_order


def test_without_power_nothing_that_hangs_on_speed_is_told(build):
    still = run(replace(build, power=None))
    assert {"shaft.speed", "shaft.tube"} <= names(still)
    assert not any(a.rule == "joint-acceleration" for a in still.driveline.shaft.rules)
    assert still.driveline.gearing is None
    assert still.driveline.shaft.margin is None


def test_without_travel_the_slip_cannot_be_told(build):
    fixed = run(replace(build, suspension=None, stops=None, mounts=None))
    assert finding(fixed, "shaft.slip").verdict is Verdict.CANNOT_TELL
    assert fixed.driveline.shaft.plunge is None
    assert not fixed.orders[0].may_order


def test_yokes_that_nobody_looked_at_stop_the_order(build, estate):
    blind = run(replace(build, shaft=replace(build.shaft, phases=())))
    assert finding(blind, "shaft.phase").verdict is Verdict.CANNOT_TELL
    assert not blind.orders[0].may_order
    crossed = run(replace(build, shaft=replace(build.shaft, phases=(Fact(math.pi / 2.0),))))
    wrong = next(f for f in crossed.findings if f.name.endswith(".phase"))
    assert wrong.verdict is Verdict.DOES_NOT_FIT
    # a quarter turn out adds what it should take away
    assert (crossed.driveline.shaft.angles.ride.torsional_rad_s2[0]
            > 3.0 * estate.driveline.shaft.angles.ride.torsional_rad_s2[0])


def test_the_orders_of_the_estate_want_the_pinion_set_and_no_answer_more(estate, build):
    assert [o.may_order for o in estate.orders] == [False, True]
    assert [d.key for d in estate.orders[0].doubtful if d.blocks] == ["pinion"]
    assert not any(f.life_critical for f in estate.orders[0].missing)
    for kind, key in (("driveshaft", "axle_loaded"), ("differential", "yoke_final")):
        orders = tuple(OrderSaid(o.kind, tuple(a for a in o.answers if (o.kind, a.key) != (kind, key)), o.where)
                       for o in build.orders)
        less = run(replace(build, orders=orders))
        missing = {o.kind: [f.key for f in o.missing if f.life_critical] for o in less.orders}
        assert missing == {o.kind: [key] if o.kind == kind else [] for o in less.orders}
        assert finding(less, f"order.{kind}").verdict is Verdict.CANNOT_TELL
        assert not next(o for o in less.orders if o.kind == kind).may_order


def test_an_order_says_first_that_the_pinion_has_still_to_be_turned(estate):
    turn = finding(estate, "pinion.angle")
    first = next(o for o in estate.orders if o.kind == "driveshaft").doubtful[0]
    assert turn.verdict is Verdict.FITS_AFTER_WORK
    assert turn.reason in first.reason
    assert "set the pinion first" in first.measure


@pytest.mark.parametrize(("wanted_deg", "told"), [(2.0, False), (3.0, True), (2.0 + 180.0, True)])
def test_a_pad_angle_that_is_not_the_shafts_is_noticed(wanted_deg, told):
    flatbed = replace(load(EXAMPLES / "flatbed" / "build.yaml").build, routes=())
    mates = tuple(replace(m, values={**m.values, "pad angle wanted": Fact(math.radians(wanted_deg))})
                  if m.name == "axle on spring left" else m for m in flatbed.mates)
    assert [m.name for m in mates].count("axle on spring left") == 1
    results = run(replace(flatbed, mates=mates))
    named = [f for f in results.findings if f.name == "pinion.pad.axle-on-spring-left"]
    assert bool(named) is told
    perch = results.driveline.shaft.pinion.perch_deg
    assert all(f"{abs(perch):.1f} deg" in f.remedy and f.verdict is Verdict.CANNOT_TELL for f in named)


def test_a_slip_too_short_stops_the_order(build):
    short = replace(build.shaft.spline, engaged=Amount(40.0, 0.5))
    found = run(replace(build, shaft=replace(build.shaft, spline=short)))
    assert finding(found, "shaft.slip.engagement").verdict is Verdict.DOES_NOT_FIT
    assert not found.orders[0].may_order


def test_an_answer_that_the_build_contradicts_is_told(build, estate):
    mm = estate.driveline.shaft.lengths[0].mm
    for off, told in ((20.0, True), (0.5, False)):
        orders = tuple(
            OrderSaid(o.kind, (*o.answers, OrderAnswer("length_at_ride", mm + off, 1.0, "tape")), o.where)
            if o.kind == "driveshaft" else o for o in build.orders)
        found = run(replace(build, orders=orders))
        assert ("order.driveshaft.length-at-ride" in names(found)) is told
        assert found.orders[0].number("length_at_ride") == pytest.approx(mm + off)


def test_the_thickest_tube_leaves_every_gap_that_is_asked(estate):
    most = estate.orders[0].number("max_tube_diameter")
    for room in estate.driveline.shaft.rooms:
        assert room.room_mm - SURE * room.sd_mm - most / 2.0 >= room.required_mm - 1e-9


# -- the van: one piece or two ----------------------------------------------------------------------------------


def test_the_van_keeps_two_pieces_for_whirl_and_for_room(van):
    told = finding(van, "shaft.one-piece")
    assert told.verdict is Verdict.DOES_NOT_FIT
    assert "keep two pieces" in told.reason
    assert "cross member" in told.reason
    shaft = van.driveline.shaft
    front, rear = shaft.line.front.joint_mm, shaft.line.rear.joint_mm
    one = np.linalg.norm(rear - front)
    # closed form of a pinned tube (Mechanical Engineer's Data Handbook, p. 45), worked here for the largest steel tube
    d, t = 101.6, 2.108
    inertia = math.pi / 64.0 * (d**4 - (d - 2.0 * t) ** 4)
    mass = 7850e-9 * math.pi / 4.0 * (d**2 - (d - 2.0 * t) ** 2)
    rate = math.pi**2 * math.sqrt(1000.0 * 207000.0 * inertia / mass) / one**2
    assert 0.75 * rate < shaft.top_speed_rad_s
    assert all(a.verdict is not Verdict.FITS for a in shaft.one_piece.answers)


def test_the_vans_two_pieces_fit(van):
    assert finding(van, "shaft.whirl").verdict is Verdict.FITS
    assert finding(van, "shaft.tube").verdict is Verdict.FITS
    assert [t.name for t in things(van.build) if t.kind == "shaft"] == ["shaft front piece", "shaft rear piece"]
    assert not any("hanger-bracket" in g.pair.name and "shaft" in g.pair.name for g in van.gaps)


def test_the_bounce_on_the_bearing_is_that_of_two_stiff_rods(van):
    """Another route: two uniform rods with yokes at their ends, hinged at their far ends, on one spring."""
    shaft, said = van.driveline.shaft, van.build.shaft
    mass = 0.0
    for piece, length in enumerate(one.mm for one in shaft.lengths):
        rod = tube_mass(76.2, 2.1, length, 7850e-9)
        yoke = said.tube.yokes_kg[1] if piece == 0 else said.tube.yokes_kg[0]
        mass += rod / 3.0 + yoke * (1.0 - 32.5 / length) ** 2
    lever = 1.0 - 62.0 / shaft.lengths[0].mm
    rate = math.sqrt(1000.0 * 350.0 * lever**2 / mass)
    assert shaft.bounce_rad_s == pytest.approx(rate, rel=0.05)
    assert finding(van, "shaft.bearing-bounce").verdict is Verdict.FITS_AFTER_WORK


def test_a_stiff_bearing_leaves_bending_alone(van):
    stiff = replace(van.build.shaft.centre, stiffness_n_mm=None)
    found = run(replace(slim(van.build), shaft=replace(van.build.shaft, centre=stiff)))
    assert found.driveline.shaft.bounce_rad_s is None
    longest = max(one.mm for one in found.driveline.shaft.lengths)
    alone = tube_whirl(76.2, 2.1, longest, "pinned", 207000.0, 7850e-9)
    assert found.driveline.shaft.bending_rad_s == pytest.approx(alone, rel=0.25)


def test_the_van_asks_no_question_about_one_piece_unless_it_is_asked(van):
    quiet = replace(van.build.shaft.centre, to_one_piece=False)
    found = run(replace(slim(van.build), shaft=replace(van.build.shaft, centre=quiet)))
    assert "shaft.one-piece" not in names(found)




# -- what a builder may write -----------------------------------------------------------------------------------


@pytest.mark.parametrize("change", [
    dict(power=dict(gears=(7.0,))), dict(power=dict(gears=(3.0, 0.45))), dict(power=dict(fastest_rad_s=20.0)),
    dict(shaft=dict(double=Amount(500.0))), dict(shaft=dict(front_axis=("box.out", "box.back"))),
    dict(shaft=dict(rear_axis=("pinion", "diff.front"))), dict(shaft=dict(diameter=Amount(400.0))),
    dict(shaft=dict(front_offset=Amount(0.0, 400.0))), dict(shaft=dict(wrap_rad=(0.2, 0.26))),
])
def test_nothing_raises_for_what_a_builder_may_write(build, change):
    odd = build
    for part, fields in change.items():
        odd = replace(odd, **{part: replace(getattr(odd, part), **fields)})
    found = run(odd)
    assert any(f.verdict is not Verdict.FITS and f.name.startswith(("shaft", "gearing", "order"))
               for f in found.findings)
