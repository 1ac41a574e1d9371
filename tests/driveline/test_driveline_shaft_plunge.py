"""Slip over the whole travel: straight lift by hand, invented axles pose by pose, what is left of the spline."""

import math
import sys
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import minimize

sys.path.insert(0, str(Path(__file__).parents[1] / "motion"))
from invented_axles import LEAVES, POINTS, THREE, TRIANGULATED, build

from trialfit.driveline import shaft_plunge
from trialfit.driveline.engagement import SlipJoint, slip_answer, slip_engagement_left, slip_yoke_length
from trialfit.driveline.plunge_range import Bracket, PlungeRange, no_slip_reason, plunge_range
from trialfit.driveline.shaft_line import CentreBearing, ShaftEnd, ShaftLine, Slip, places
from trialfit.findings import Verdict
from trialfit.geometry.paths import fit
from trialfit.motion import pose_of, travel
from trialfit.vehicle import Mounts, PosePoint, Stops, Travel

BODIES = (("axle", ("pinion",)), ("engine", ("gearbox",)))
MOUNTS = Mounts("mount.F", "mount.R", math.radians(2.0), math.radians(3.0))
FRONT = ShaftEnd("engine", POINTS["gearbox"], np.array([1.0, 0.0, -0.05]), 40.0)
REAR = ShaftEnd("axle", POINTS["pinion"], np.array([-1.0, 0.0, 0.05]), 30.0)
YOKE, SPLINE = ShaftLine(FRONT, REAR, Slip.YOKE), ShaftLine(FRONT, REAR, Slip.SHAFT)
TWO = ShaftLine(FRONT, REAR, Slip.SHAFT, CentreBearing(np.array([1700.0, 15.0, 400.0]), 60.0), None, (0.0, 0.0))
DOUBLE = ShaftLine(FRONT, REAR, Slip.SHAFT, None, 70.0)


def _straight(bump: float, droop: float) -> Travel:
    """A travel that lifts the axle straight up and does nothing else."""

    def lifted(parameters):
        twelve = np.zeros((len(parameters), 12))
        twelve[:, [0, 4, 8]] = 1.0
        twelve[:, 11] = parameters[:, 0]
        return twelve

    lo, hi = np.array([-droop, 0.0, 0.0]), np.array([bump, 0.0, 0.0])
    path = fit(lifted, lo, hi, axes=(True, False, False)).path
    return Travel({"axle": path}, lo, hi, Stops(bump, droop, 900.0, 0.0), 0.0, (2600.0, 0.0, 300.0))


def _level(slip: Slip) -> ShaftLine:
    run = math.sqrt(1300.0**2 - 60.0**2)
    rear = ShaftEnd("axle", np.array([1000.0 + run, 0.0, 340.0]), np.array([-1.0, 0.0, 0.0]))
    return ShaftLine(ShaftEnd("frame", np.array([1000.0, 0.0, 400.0]), np.array([1.0, 0.0, 0.0])), rear, slip)


def test_straight_lift_is_the_trades_worked_figure():
    # L5: shaft 1300 mm, drop 60 mm, 75 mm each way: droop pulls out 5.6 mm, bump pushes in 1.3 mm
    told = plunge_range(_level(Slip.SHAFT), _straight(75.0, 75.0))
    assert told.settled
    assert told.out.lower == pytest.approx(5.6, abs=0.05)
    assert told.out.lower == pytest.approx(-shaft_plunge(1300.0, 60.0, -75.0, 0.0), abs=1e-6)
    # bump goes over the top of the arc: the shaft is shortest when level
    assert told.into.lower == pytest.approx(1300.0 - math.sqrt(1300.0**2 - 60.0**2), abs=0.05)
    assert told.into.at.heave == pytest.approx(60.0, abs=8.0)
    for side in (told.out, told.into):
        assert side.lower <= side.upper <= side.lower + 0.06


def test_slip_yoke_slides_along_the_gearbox_and_not_along_the_shaft():
    told = plunge_range(_level(Slip.YOKE), _straight(75.0, 75.0))
    run = math.sqrt(1300.0**2 - 60.0**2)
    droop = run - math.sqrt(1300.0**2 - 135.0**2)
    assert told.out.lower == pytest.approx(droop, abs=1e-6)
    assert told.into.lower == pytest.approx(1300.0 - run, abs=0.05)


@pytest.mark.parametrize("suspension", [THREE, TRIANGULATED, LEAVES], ids=["three", "triangulated", "leaves"])
@pytest.mark.parametrize("line", [YOKE, SPLINE, DOUBLE], ids=["yoke", "spline", "double"])
def test_bounds_hold_the_extreme_that_an_optimiser_finds(suspension, line):
    made = build(suspension, bodies=BODIES, mounts=MOUNTS)
    moved = travel(made, POINTS)
    told = plunge_range(line, moved)
    assert told.settled
    for sign, side in ((1.0, told.out), (-1.0, told.into)):
        best = -math.inf
        for start in moved.grid(5, 3, 3):
            found = minimize(
                lambda q, s=sign: -s * float(places(line, moved, q[None]).slip_mm[0]),
                np.array(start), method="L-BFGS-B", bounds=list(zip(moved.lo, moved.hi, strict=True)),
                options={"maxiter": 6},
            )  # fmt: skip
            if moved.feasible(PosePoint(*found.x)):
                best = max(best, -float(found.fun))
        assert best <= side.upper + 1e-9
        assert side.lower >= best - 0.5
        assert float(places(line, moved, np.array([side.at])).slip_mm[0]) * sign == pytest.approx(side.lower, abs=0.12)
        assert moved.feasible(side.at)


def test_slip_by_poses_solved_one_by_one():
    # another route: the suspension's loops closed at each state, no series between
    made = build(LEAVES, bodies=BODIES, mounts=MOUNTS)
    moved = travel(made, POINTS)
    told = plunge_range(SPLINE, moved)
    start = float(np.linalg.norm(REAR.joint_mm - FRONT.joint_mm))
    for state in moved.grid(5, 5, 3):
        front = pose_of(made, POINTS, "engine", state).move(FRONT.joint_mm)
        rear = pose_of(made, POINTS, "axle", state).move(REAR.joint_mm)
        slip = float(np.linalg.norm(rear - front)) - start
        assert -told.into.upper - 1e-6 <= slip <= told.out.upper + 1e-6
        assert float(places(SPLINE, moved, np.array([state])).slip_mm[0]) == pytest.approx(slip, abs=1e-5)
        # the slip yoke: the shaft keeps its length
        yoke = places(YOKE, moved, np.array([state]))
        assert float(yoke.lengths_mm[0, 0]) == pytest.approx(start, abs=1e-6)


def test_wind_of_the_axle_adds_to_the_slip():
    made = build(LEAVES, bodies=BODIES, mounts=MOUNTS)
    moved = travel(made, POINTS)
    still, wound = plunge_range(SPLINE, moved), plunge_range(SPLINE, moved, (0.0, math.radians(4.0)))
    assert wound.out.upper >= still.out.lower
    assert wound.whole_mm > still.whole_mm
    for wind in np.radians(np.linspace(0.0, 4.0, 9)):
        slips = places(SPLINE, moved, np.array(moved.grid(9, 5, 3)), float(wind)).slip_mm
        assert -wound.into.upper <= float(np.min(slips))
        assert float(np.max(slips)) <= wound.out.upper
    with pytest.raises(ValueError, match="between -15 deg and 15 deg"):
        plunge_range(SPLINE, moved, (0.1, 0.0))


def test_rear_piece_of_a_two_piece_shaft_plunges_more():
    made = build(LEAVES, bodies=BODIES, mounts=MOUNTS)
    moved = travel(made, POINTS)
    one, two = plunge_range(SPLINE, moved), plunge_range(TWO, moved)
    assert two.settled
    dense = places(TWO, moved, np.array(moved.grid(15, 9, 3))).slip_mm
    assert -two.into.upper <= float(np.min(dense))
    assert float(np.max(dense)) <= two.out.upper
    assert two.whole_mm > one.whole_mm


def test_shifting_the_whole_vehicle_changes_nothing():
    away = np.array([150.0, -40.0, 90.0])
    shifted = {name: p + away for name, p in POINTS.items()}
    line = ShaftLine(ShaftEnd("engine", FRONT.point_mm + away, FRONT.outward, 40.0),
                     ShaftEnd("axle", REAR.point_mm + away, REAR.outward, 30.0), Slip.SHAFT)  # fmt: skip
    made = build(THREE, bodies=BODIES, mounts=MOUNTS)
    here, there = plunge_range(SPLINE, travel(made, POINTS)), plunge_range(line, travel(made, shifted))
    assert there.out.lower == pytest.approx(here.out.lower, abs=0.06)
    assert there.into.upper == pytest.approx(here.into.upper, abs=0.06)


def test_a_shaft_fixed_at_both_ends_is_refused_with_the_reason():
    reason = no_slip_reason(_level(Slip.NONE), _straight(75.0, 75.0))
    said = "the shaft is fixed at both ends, but the joints go 5.6 mm further apart and 1.4 mm closer"
    assert reason.startswith(said)
    assert no_slip_reason(_level(Slip.YOKE), _straight(75.0, 75.0)) == ""


AT = PosePoint(-75.0, 0.0, 0.0)
MOVED = PlungeRange(Bracket(20.0, 20.02, AT), Bracket(15.0, 15.02, PosePoint(75.0, 0.0, 0.0)), True, (0.0, 0.0))


def test_what_is_left_of_the_spline_against_each_version():
    joint = SlipJoint(30.0, 60.0, {"barrel at the seal": 25.0, "yoke at the shaft end": 32.0}, 1.0)
    told = slip_answer(joint, MOVED)
    assert told.first_stop == "barrel at the seal"
    assert told.room_mm == pytest.approx((9.98, 10.0))
    assert told.engaged_mm == pytest.approx((39.98, 40.0))
    # 1.5 diameters are 45 mm, 1 diameter is 30 mm
    assert [(a.limit, a.verdict, a.in_force) for a in told.engagement] == [
        (45.0, Verdict.DOES_NOT_FIT, True), (30.0, Verdict.FITS, False)]  # fmt: skip
    assert told.bottoms is Verdict.FITS
    # at ride height 25 mm are asked for, and there is doubt; 19 mm are sure
    assert [(a.limit, a.verdict) for a in told.pull_back] == [(25.0, Verdict.CANNOT_TELL), (19.0, Verdict.FITS)]
    assert told.engagement[0].finding("slip.engagement").verdict is Verdict.DOES_NOT_FIT


def test_the_builders_version_of_the_rule_comes_first_and_bottoming_is_told():
    joint = SlipJoint(30.0, 60.0, {"barrel at the seal": 12.0}, 0.5)
    told = slip_answer(joint, MOVED, {"spline-engagement": "1 diameter"}, plunge_sd_mm=0.5)
    assert told.engagement[0].verdict is Verdict.FITS
    assert told.engagement[0].in_force
    assert told.bottoms is Verdict.DOES_NOT_FIT
    assert "-3.0 mm left before barrel at the seal bottoms, give or take 1.4 mm" in told.bottoms_reason


@pytest.mark.parametrize("made,said", [
    (lambda: SlipJoint(30.0, 60.0, {}, 1.0), "measure at least one room"),
    (lambda: SlipJoint(0.0, 60.0, {"seal": 1.0}, 1.0), "spline diameter is 0 mm"),
    (lambda: SlipJoint(30.0, 60.0, {"seal": -1.0}, 1.0), "room to seal is -1 mm"),
    (lambda: slip_engagement_left(60.0, 800.0, 30.0), "out is 800 mm"),
    (lambda: slip_yoke_length(1300.0, 300.0), "pull back is 300 mm"),
    (lambda: slip_answer(SlipJoint(30.0, 60.0, {"seal": 9.0}, 1.0), MOVED, {"spline-engagement": "2"}), "no version"),
    (lambda: plunge_range(ShaftLine(FRONT, ShaftEnd("axle", np.array([1150.0, 900.0, 400.0]), REAR.outward),
                                    Slip.YOKE), _straight(10.0, 10.0)), "so far to the side"),
])  # fmt: skip
def test_refused(made, said):
    with pytest.raises(ValueError, match=said):
        made()
