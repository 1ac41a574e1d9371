"""Pinion angle to tack at: where it must come out by reason, what half a degree costs, and the wedge."""

import math
import re

import numpy as np
import pytest

from trialfit.driveline.pinion_setting import (
    best_setting,
    pinion_at_rest,
    pinion_inclination_rad,
    pinion_wedge,
    turned_axle,
    wedge_for,
)
from trialfit.driveline.shaft_line import ShaftEnd, ShaftLine, Slip
from trialfit.vehicle import Travel

RAD = math.radians
SPEED = 4000.0 * math.pi / 30.0
STILL = Travel({}, np.zeros(3), np.zeros(3), None, 0.0, (2550.0, 0.0, 330.0))


def _line(front_deg: float, pinion_deg: float, **more: object) -> ShaftLine:
    """Gearbox output down to the rear by ``front_deg``, pinion nose up by ``pinion_deg``."""
    front = np.array([math.cos(RAD(front_deg)), 0.0, -math.sin(RAD(front_deg))])
    rear = np.array([-math.cos(RAD(pinion_deg)), 0.0, math.sin(RAD(pinion_deg))])
    return ShaftLine(ShaftEnd("engine", np.array([1000.0, 0.0, 400.0]), front),
                     ShaftEnd("axle", np.array([2300.0, 0.0, 340.0]), rear), Slip.SHAFT, **more)  # fmt: skip


def test_without_wind_the_pinion_is_set_parallel_to_the_gearbox():
    told = best_setting(_line(3.0, 1.0), STILL, (0.0, 0.0), SPEED)
    assert told.pinion_deg == pytest.approx(3.0, abs=0.01)
    assert told.turn_deg == pytest.approx(2.0, abs=0.01)
    assert told.losses[4].off_deg == 0.0
    assert told.losses[4].mean_rad_s2 == pytest.approx(0.0, abs=0.5)
    assert told.perch_deg is None
    assert told.flat_deg[0] < told.pinion_deg < told.flat_deg[1]


@pytest.mark.parametrize("wind", [0.5, 2.0, 4.0])
def test_a_steady_wind_is_taken_off(wind):
    told = best_setting(_line(3.0, 3.0), STILL, (RAD(wind), RAD(wind)), SPEED)
    assert told.pinion_deg == pytest.approx(3.0 - wind, abs=0.02)
    assert told.pinion_deg == pytest.approx(math.degrees(pinion_at_rest(RAD(3.0), RAD(wind))), abs=0.02)


def test_a_range_of_wind_is_met_near_its_middle_and_half_degrees_cost_more_and_more():
    told = best_setting(_line(3.0, 3.0), STILL, (0.0, RAD(3.0)), SPEED, seat_rad=RAD(0.5))
    assert 3.0 - 3.0 < told.pinion_deg < 3.0
    assert told.perch_deg == pytest.approx(told.pinion_deg - 0.5)
    means = [loss.mean_rad_s2 for loss in told.losses]
    assert [loss.off_deg for loss in told.losses] == [-2.0, -1.5, -1.0, -0.5, 0.0, 0.5, 1.0, 1.5, 2.0]
    assert means[4] == min(means)
    assert means[4:] == sorted(means[4:])
    assert means[4::-1] == sorted(means[:5])
    assert all(loss.worst_rad_s2 >= loss.mean_rad_s2 for loss in told.losses)
    assert told.losses[6].pinion_deg == pytest.approx(told.pinion_deg + 1.0, abs=1e-6)


def test_the_speed_does_not_move_the_best_but_scales_the_loss():
    slow, fast = (best_setting(_line(3.0, 2.0), STILL, (0.0, RAD(2.0)), SPEED * f) for f in (0.5, 1.0))
    assert slow.pinion_deg == pytest.approx(fast.pinion_deg, abs=1e-3)
    for a, b in zip(slow.losses, fast.losses, strict=True):
        assert b.mean_rad_s2 == pytest.approx(4.0 * a.mean_rad_s2, rel=1e-2, abs=1e-6)


def test_with_a_double_joint_in_front_the_pinion_points_at_it():
    line = _line(3.0, 0.0, double_mm=70.0)
    told = best_setting(line, STILL, (0.0, 0.0), SPEED)
    assert told.losses[4].joints_deg[-1] == pytest.approx(0.0, abs=0.02)
    # the line from the turned pinion's joint to the double joint
    turned = turned_axle(line, np.array(STILL.reference), RAD(told.turn_deg))
    away = line.front.joint_mm - turned.rear.joint_mm
    assert told.pinion_deg == pytest.approx(math.degrees(math.asin(away[2] / np.linalg.norm(away))), abs=0.05)


def test_the_axle_turns_about_its_own_middle():
    pivot = np.array(STILL.reference)
    line = _line(3.0, 1.0)
    turned = turned_axle(line, pivot, RAD(2.0))
    assert math.degrees(pinion_inclination_rad(turned)) == pytest.approx(3.0)
    assert np.linalg.norm(turned.rear.joint_mm - pivot) == pytest.approx(np.linalg.norm(line.rear.joint_mm - pivot))
    assert turned.rear.joint_mm[2] > line.rear.joint_mm[2]


@pytest.mark.parametrize("turn,over,end,lifts", [
    (2.0, False, "front", True), (-2.0, False, "rear", False), (2.0, True, "rear", True), (-2.0, True, "front", False),
])  # fmt: skip
def test_thick_end_of_the_wedge(turn, over, end, lifts):
    told = wedge_for(turn, 120.0, spring_over_axle=over)
    assert (told.thick_end, told.lifts_nose) == (end, lifts)
    assert told.rise_mm == pytest.approx(120.0 * math.tan(RAD(2.0)))
    assert told.angle_deg == 2.0


@pytest.mark.parametrize("made,said", [
    (lambda: best_setting(_line(3.0, 3.0), STILL, (0.1, 0.0), SPEED), "it must rise and lie between"),
    (lambda: best_setting(_line(3.0, 3.0), STILL, (0.0, 0.0), SPEED, heave_mm=(5.0, -5.0)), "do not rise"),
    (lambda: best_setting(_line(3.0, 3.0), STILL, (0.0, 0.0), 0.0), "speed is 0 rpm"),
    (lambda: best_setting(_line(30.0, 8.0), STILL, (0.0, 0.0), SPEED), "more than 15 deg from where the pinion"),
    (lambda: wedge_for(9.0, 120.0, spring_over_axle=True), "turn is 9 deg; it must lie between -8 deg and 8 deg"),
    (lambda: wedge_for(2.0, 20.0, spring_over_axle=True), "length of the pad is 20 mm"),
    (lambda: pinion_wedge(0.5, 120.0), "turn is 28.6479 deg"),
    (lambda: pinion_at_rest(0.5, 0.0), "output is 28.6479 deg"),
])  # fmt: skip
def test_refused(made, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        made()
