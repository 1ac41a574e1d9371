"""Joint centres, lengths and slip of a shaft: geometry by hand, refusals, doubt."""

import math

import numpy as np
import pytest

from trialfit.driveline.shaft_line import (
    CentreBearing,
    ShaftEnd,
    ShaftLine,
    Slip,
    angle_between_rad,
    places,
    ride_lengths,
)

STILL = np.zeros((1, 3))
FRONT = ShaftEnd("engine", np.array([1000.0, 0.0, 400.0]), np.array([1.0, 0.0, 0.0]), 50.0, 0.5)
REAR = ShaftEnd("axle", np.array([2400.0, 30.0, 340.0]), np.array([-1.0, 0.0, 0.0]), 80.0, 0.7)


def test_joint_centres_sit_out_along_the_axes_of_their_parts():
    found = places(ShaftLine(FRONT, REAR, Slip.SHAFT), None, STILL)
    np.testing.assert_allclose(found.joints_mm[0], [[1050.0, 0.0, 400.0], [2320.0, 30.0, 340.0]])
    assert found.lengths_mm[0, 0] == pytest.approx(math.dist((1050.0, 0.0, 400.0), (2320.0, 30.0, 340.0)))
    assert found.slip_mm[0] == pytest.approx(0.0, abs=1e-9)
    # seen from the side and from above, and in space
    side, plan = math.atan2(60.0, 1270.0), math.atan2(30.0, 1270.0)
    assert found.side_rad[0] == pytest.approx([-side, side])
    assert found.plan_rad[0] == pytest.approx([plan, -plan])
    assert np.tan(found.angles_rad[0]) ** 2 == pytest.approx([math.tan(side) ** 2 + math.tan(plan) ** 2] * 2)


def test_flange_faces_further_out_make_the_shaft_shorter():
    longer = ShaftLine(FRONT, REAR, Slip.SHAFT)
    flange = ShaftEnd("engine", FRONT.point_mm, FRONT.outward, 60.0)
    shorter = ShaftLine(flange, REAR, Slip.SHAFT)
    lengths = [ride_lengths(line)[0].mm for line in (longer, shorter)]
    assert lengths[0] - lengths[1] == pytest.approx(10.0 * 1270.0 / lengths[0], abs=0.02)


def test_middle_joint_lies_in_line_behind_the_bearing():
    centre = CentreBearing(np.array([1700.0, 10.0, 380.0]), 60.0)
    found = places(ShaftLine(FRONT, REAR, Slip.SHAFT, centre, None, (0.0, 0.0)), None, STILL)
    front, middle, rear = found.joints_mm[0]
    along = (middle - front) / np.linalg.norm(middle - front)
    np.testing.assert_allclose(np.linalg.norm(np.cross(centre.point_mm - front, along)), 0.0, atol=1e-9)
    assert np.linalg.norm(middle - centre.point_mm) == pytest.approx(60.0)
    assert found.lengths_mm[0] == pytest.approx([np.linalg.norm(middle - front), np.linalg.norm(rear - middle)])
    assert found.axes.shape == (1, 4, 3)


def test_coupling_of_a_double_joint_halves_the_angle():
    found = places(ShaftLine(FRONT, REAR, Slip.SHAFT, None, 70.0), None, STILL)
    first, second, _ = found.angles_rad[0]
    assert first == pytest.approx(second, rel=1e-9)
    # all three directions in one plane
    assert np.linalg.det(found.axes[0, :3]) == pytest.approx(0.0, abs=1e-12)
    apart = np.diff(found.joints_mm[0], axis=0)
    assert np.linalg.norm(apart[0]) == pytest.approx(70.0)
    # the coupling points where it is taken to point, the shaft runs from its rear cross to the axle
    np.testing.assert_allclose(apart[0] / 70.0, found.axes[0, 1], atol=1e-12)
    np.testing.assert_allclose(apart[1] / np.linalg.norm(apart[1]), found.axes[0, 2], atol=1e-12)


def test_turning_the_axle_lifts_the_pinion():
    found = places(ShaftLine(FRONT, REAR, Slip.SHAFT), None, STILL, math.radians(3.0))
    # about the joint itself when there is no travel: the nose goes up, so the pinion climbs less to the rear
    assert found.joints_mm[0, 1] == pytest.approx(REAR.joint_mm)
    nose = -found.axes[0, -1]
    assert math.degrees(math.asin(nose[2])) == pytest.approx(3.0)


@pytest.mark.parametrize("line", [
    ShaftLine(FRONT, REAR, Slip.SHAFT),
    ShaftLine(FRONT, REAR, Slip.SHAFT, CentreBearing(np.array([1700.0, 10.0, 380.0]), 0.0), None, (0.0, 0.0)),
    ShaftLine(FRONT, REAR, Slip.SHAFT, None, 70.0),
])  # fmt: skip
def test_doubt_of_the_length_by_chance(line):
    chance = np.random.default_rng(7)
    size = 9 if line.centre is not None else 6
    half = chance.normal(size=(size, size))
    covariance = half @ half.T
    told = ride_lengths(line, covariance)
    moves = chance.multivariate_normal(np.zeros(size), covariance, 4000)
    offsets = chance.normal(size=(4000, 2)) * [0.5, 0.7]
    drawn = []
    for move, (a, b) in zip(moves, offsets, strict=True):
        front = ShaftEnd("engine", FRONT.point_mm + move[:3], FRONT.outward, 50.0 + a)
        rear = ShaftEnd("axle", REAR.point_mm + move[3:6], REAR.outward, 80.0 + b)
        centre = None if line.centre is None else CentreBearing(line.centre.point_mm + move[6:], 0.0)
        moved = ShaftLine(front, rear, Slip.SHAFT, centre, line.double_mm, line.phases_rad)
        drawn.append(places(moved, None, STILL).lengths_mm[0])
    for told_one, sd in zip(told, np.std(drawn, axis=0), strict=True):
        assert told_one.sd_mm == pytest.approx(sd, rel=0.05)
    assert ride_lengths(line)[0].sd_mm is None


def test_angles_of_small_and_large_directions():
    assert angle_between_rad(np.array([1.0, 0.0, 0.0]), np.array([1.0, 1e-9, 0.0])) == pytest.approx(1e-9)
    assert angle_between_rad(np.array([2.0, 0.0, 0.0]), np.array([0.0, 0.0, 5.0])) == pytest.approx(math.pi / 2.0)


@pytest.mark.parametrize("made,said", [
    (lambda: ShaftLine(FRONT, REAR, Slip.YOKE, CentreBearing(np.array([1700.0, 10.0, 380.0]), 60.0), None, (0.0, 0.0)),
     "the rear piece needs a slip of its own"),
    (lambda: ShaftLine(FRONT, REAR, Slip.YOKE, None, 70.0), "a double joint sits on a flange or fixed yoke"),
    (lambda: ShaftLine(FRONT, REAR, Slip.SHAFT, CentreBearing(np.array([1700.0, 10.0, 380.0]), 60.0)),
     "2 piece"),
    (lambda: ShaftLine(FRONT, REAR, Slip.SHAFT, CentreBearing(np.array([1700.0, 10.0, 380.0]), 60.0), 70.0,
                       (0.0, 0.0)), "not worked out"),
    (lambda: ShaftLine(FRONT, REAR, Slip.SHAFT, None, 5.0), "must lie between 20 mm and 200 mm"),
    (lambda: ShaftLine(FRONT, ShaftEnd("axle", REAR.point_mm, np.zeros(3)), Slip.SHAFT), "has no direction"),
    (lambda: ShaftLine(ShaftEnd("engine", np.zeros(2), np.ones(3)), REAR, Slip.SHAFT), "three numbers each"),
    (lambda: ride_lengths(ShaftLine(FRONT, REAR, Slip.SHAFT), np.eye(9)), r"must have the shape \(6, 6\)"),
])  # fmt: skip
def test_refused(made, said):
    with pytest.raises(ValueError, match=said):
        made()
