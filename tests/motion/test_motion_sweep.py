"""Travel as series against the closed loops, its feasible states, and its refusals."""

import math
import re
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))
from invented_axles import ALL, EXACT, LEAVES, POINTS, STOPS, THREE, TRIANGULATED, build

from trialfit.geometry.paths import PathError, pose_difference_mm
from trialfit.motion import MotionError, axle_of, joint_closure, pose_of, roll_limit, solve, travel
from trialfit.vehicle import Amount, Drum, Link, Mounts, PosePoint, Stops, ThreeLinksRod

MOUNTS = Mounts("mount.F", "mount.R", math.radians(2.0), math.radians(3.0))


@pytest.mark.parametrize("name", ALL)
def test_series_follow_the_closed_loops_between_their_nodes(name):
    found = travel(build(ALL[name]), POINTS)
    axle = axle_of(ALL[name], POINTS)
    draw = np.random.default_rng(4)
    states = np.stack([draw.uniform(found.lo[i], found.hi[i], 4000) for i in range(3)], axis=1)
    states = states[found.feasible_states(states)]
    assert len(states) > 1000
    poses = solve(axle, states[:, 0], states[:, 1])
    twelve = np.hstack([poses.rotation.reshape(-1, 9), poses.shift])
    apart = pose_difference_mm(found.paths["axle"], states, twelve, axle.reference, 1500.0)
    assert apart < 1e-6
    assert found.fit_error_mm < 1e-6
    if name in EXACT:
        assert joint_closure(axle, states[:, 0], *found.poses("axle", states)).max() < 1e-6


def test_wheels_ride_with_the_axle_and_the_frame_stays():
    found = travel(build(TRIANGULATED), POINTS)
    state = PosePoint(50.0, 0.03, 0.0)
    for wheel in ("wheel-left", "wheel-right"):
        assert np.array_equal(found.pose(wheel, state).shift, found.pose("axle", state).shift)
    for body in ("frame", "engine"):
        assert np.array_equal(found.pose(body, state).rotation, np.eye(3))
        assert not found.pose(body, state).shift.any()
    rotations, shifts = found.poses("frame", np.zeros((5, 3)))
    assert rotations.shape == (5, 3, 3)
    assert shifts.shape == (5, 3)


def test_rest_is_rest():
    found = travel(build(THREE, mounts=MOUNTS), POINTS)
    for body in found.paths:
        pose = found.pose(body, PosePoint(0.0, 0.0, 0.0))
        assert pose.move(POINTS["pinion"]) == pytest.approx(POINTS["pinion"], abs=1e-6)


def test_the_engine_turns_about_its_mounts_right_side_up():
    found = travel(build(None, None, mounts=MOUNTS), POINTS)
    assert list(found.paths) == ["engine"]
    assert found.stops is None
    assert found.fit_error_mm < 1e-9
    assert found.feasible(PosePoint(0.0, 0.0, math.radians(1.9)))
    assert not found.feasible(PosePoint(0.0, 0.0, math.radians(2.1)))
    up = found.pose("engine", PosePoint(0.0, 0.0, MOUNTS.right_up_rad))
    for n in ("mount.F", "mount.R"):
        assert up.move(POINTS[n]) == pytest.approx(POINTS[n], abs=1e-9)
    side = POINTS["mount.F"] + [0.0, 300.0, 0.0]
    rise = up.move(side)[2] - side[2]
    assert rise == pytest.approx(300.0 * math.sin(MOUNTS.right_up_rad), rel=0.01)
    swapped = replace(MOUNTS, axis_front="mount.R", axis_rear="mount.F")
    other = travel(build(None, None, mounts=swapped), POINTS).pose("engine", PosePoint(0.0, 0.0, 0.03))
    assert other.rotation == pytest.approx(found.pose("engine", PosePoint(0.0, 0.0, 0.03)).rotation, abs=1e-12)


def test_feasible_states_are_those_the_stops_leave():
    found = travel(build(THREE), POINTS)
    assert found.feasible(PosePoint(80.0, 0.0, 0.0))
    assert found.feasible(PosePoint(-90.0, 0.0, 0.0))
    assert not found.feasible(PosePoint(79.0, math.radians(1.0), 0.0))
    assert found.feasible(PosePoint(-5.0, found.hi[1], 0.0))
    assert not found.feasible(PosePoint(20.0, found.hi[1], 0.0))
    with pytest.raises(ValueError, match=r"^roll 12 deg is beyond the limit of 10\.9$"):
        found.heave_range(math.radians(12.0))
    grid = found.grid(9, 5)
    assert all(found.feasible(s) for s in grid)
    assert len(grid) == 9 * 3 + 2  # at the greatest roll either way one heave is left
    assert {(80.0, 0.0, 0.0), (-90.0, 0.0, 0.0)} <= {tuple(s) for s in grid}
    assert found.grid(1, 1) == [PosePoint(0.0, 0.0, 0.0)]
    with pytest.raises(ValueError, match="at least one state"):
        found.grid(0, 1)


def test_a_state_outside_the_box_is_refused_with_the_box():
    found = travel(build(THREE), POINTS)
    with pytest.raises(PathError, match=r"heave 81 mm.*outside the range -90\.\.80 mm"):
        found.pose("axle", PosePoint(81.0, 0.0, 0.0))


def test_a_roll_limit_of_the_build_narrows_the_box():
    found = travel(build(THREE, replace(STOPS, roll_rad=math.radians(4.0))), POINTS)
    assert math.degrees(found.hi[1]) == pytest.approx(4.0)
    assert found.heave_range(0.02)[1] == pytest.approx(80.0 - 450.0 * math.sin(0.02))
    none = travel(build(THREE, replace(STOPS, roll_rad=0.0)), POINTS)
    assert none.paths["axle"].coefs.shape[1] == 1
    assert len(none.grid(5, 3)) == 5


def test_the_shackle_may_stop_the_corners_that_the_stops_forbid_anyway():
    found = travel(build(LEAVES), POINTS)
    assert any("between the stops only" in n for n in found.notes)
    assert np.isnan(_corner(LEAVES, found))


def _corner(suspension, found):
    poses = solve(axle_of(suspension, POINTS), np.array([found.lo[0]]), np.array([found.hi[1]]))
    return math.nan if poses.reached[0] < 1.0 else 0.0


def test_wheels_drawn_as_drums_are_the_reference():
    drums = tuple(
        Drum(f"wheel {s}", "tyre", f"wheel-{w}", centre=f"wheel.{s}", diameter=Amount(640.0), width=Amount(215.0))
        for s, w in (("L", "left"), ("R", "right"))
    )
    found = travel(build(THREE, shapes=drums), POINTS)
    assert found.reference == pytest.approx((2620.0, 0.0, 320.0))
    state = PosePoint(60.0, 0.02, 0.0)
    direct = pose_of(build(THREE, shapes=drums), POINTS, "axle", state)
    assert direct.move(POINTS["pinion"]) == pytest.approx(found.pose("axle", state).move(POINTS["pinion"]), abs=1e-6)
    ends = [found.pose("axle", state).move(POINTS[f"wheel.{s}"]) for s in "LR"]
    assert 0.5 * (ends[0] + ends[1])[2] == pytest.approx(380.0, abs=1e-6)


def test_a_single_pose_agrees_with_the_travel_for_every_body():
    made = build(LEAVES, mounts=MOUNTS)
    found = travel(made, POINTS)
    state = PosePoint(-40.0, 0.03, -0.04)
    for body in ("axle", "wheel-left", "engine", "frame"):
        here, there = pose_of(made, POINTS, body, state), found.pose(body, state)
        assert here.move(POINTS["gearbox"]) == pytest.approx(there.move(POINTS["gearbox"]), abs=2e-6)


@pytest.mark.parametrize(("stops", "message"), [
    (None, r"^the axle has a suspension but no stops; give bump, droop and apart$"),
    (Stops(0.0, 90.0, 900.0), r"^stops: bump must be 0\.1 to 500 mm, not 0 mm$"),
    (Stops(80.0, -90.0, 900.0), r"^stops: droop must be 0\.1 to 500 mm, not -90 mm$"),
    (Stops(80.0, 90.0, math.nan), r"^stops: apart must be 100 to 3000 mm, not nan mm$"),
    (Stops(80.0, 90.0, 900.0, 0.7), r"^stops: roll must be 0 to 30 deg, not 40\.11 deg$"),
    (Stops(80.0, 90.0, 300.0), r"^stops: they alone would let the axle roll 34\.5 deg; give a roll limit"),
])
def test_stops_out_of_range_are_refused_with_the_range(stops, message):
    with pytest.raises(MotionError, match=message):
        travel(build(THREE, stops), POINTS)


def test_the_roll_limit_is_one_side_in_bump_and_the_other_in_droop():
    assert math.sin(roll_limit(STOPS)) * 900.0 == pytest.approx(170.0)


@pytest.mark.parametrize(("mounts", "points", "message"), [
    (replace(MOUNTS, right_up_rad=-0.1), {}, r"^engine mounts: right up must be 0 to 30 deg, not -5\.73 deg$"),
    (MOUNTS, {"mount.R": [300.0, 900.0, 500.0]}, r"more than 60 deg off the vehicle's length; at most 60 deg$"),
    (MOUNTS, {"mount.R": [300.0, 0.0, 500.0]}, r"the axis are 0 mm apart; at least 10 mm needed$"),
    (replace(MOUNTS, axis_front="lost"), {}, r"^engine mounts: hardpoint 'lost' has no place; measure it$"),
])
def test_mounts_that_say_nothing_are_refused(mounts, points, message):
    with pytest.raises(MotionError, match=message):
        travel(build(None, None, mounts=mounts), {**POINTS, **{n: np.array(p) for n, p in points.items()}})


def test_a_suspension_that_sticks_before_its_stops_is_refused_by_part_and_heave():
    points = {**POINTS, "rod.near": np.array([2700.0, 400.0, 310.0])}
    with pytest.raises(MotionError, match=r"^rod cannot reach: the axle sticks at heave -?[67]\d\.\d mm, roll 0\.00"):
        travel(build(ThreeLinksRod(THREE.links, Link("rod", "rod.near", "rod.a"))), points)


def _short_shackles(drop):
    points = dict(POINTS)
    for s, y in (("L", -520.0), ("R", 520.0)):
        points[f"hanger.{s}"] = np.array([3310.0, y, 400.0 + drop])
    return points


def test_an_axle_near_sticking_is_told_with_its_error_and_past_it_is_refused():
    stops = replace(STOPS, roll_rad=0.03)
    errors = []
    for drop in (110.0, 70.0, 60.0, 50.0, 45.0, 40.0, 35.0, 30.0, 25.0, 22.0):
        try:
            found = travel(build(LEAVES, stops), _short_shackles(drop))
        except MotionError as error:
            assert "shackle" in str(error)  # noqa: PT017
            break
        errors.append(found.fit_error_mm)
        assert any("near to sticking" in n for n in found.notes) == (found.fit_error_mm > 1e-6)
    else:
        pytest.fail("a shackle of 22 mm was not refused")
    assert errors[0] < 1e-6 < errors[-1]


def test_hardpoints_thrown_about_are_solved_or_refused_in_words():
    draw = np.random.default_rng(11)
    seen = set()
    for n in range(60):
        suspension = list(ALL.values())[n % 4]
        spread = (5.0, 60.0, 400.0)[n % 3]
        points = {k: p + draw.normal(0.0, spread, 3) for k, p in POINTS.items()}
        try:
            found = travel(build(suspension, replace(STOPS, roll_rad=0.08)), points)
        except MotionError as error:
            assert re.search(r"spring|upper|lower|rod|axle", str(error))  # noqa: PT017
            seen.add("refused")
        else:
            assert found.fit_error_mm <= 0.1
            states = np.array(found.grid(5, 3))
            rotation, _ = found.poses("axle", states)
            assert rotation @ np.swapaxes(rotation, 1, 2) == pytest.approx(np.broadcast_to(np.eye(3), rotation.shape),
                                                                           abs=2e-4)
            seen.add("solved")
    assert seen == {"refused", "solved"}
