"""A row of joints: what cancels, what doubles, and what does not care which end comes first."""

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialfit.driveline.joint import joint_acceleration, joint_equivalent_angle, joint_speed_ratio
from trialfit.driveline.phasing import (
    acceleration_rad_s2,
    equivalent_angle_rad,
    joint_pair_in_space,
    joint_phase_for_planes,
    swing,
    turn_map,
    turns_behind,
)

SMALL = st.floats(-0.5, 0.5)


def _side(*slopes: float) -> np.ndarray:
    """Shafts seen from the side, each at its slope."""
    return np.array([[[math.cos(a), 0.0, math.sin(a)] for a in slopes]])


def _rows(*pairs: tuple[float, float]) -> np.ndarray:
    axes = np.array([[1.0, math.tan(a), math.tan(b)] for a, b in pairs])
    return (axes / np.linalg.norm(axes, axis=1)[:, None])[None]


@given(SMALL, SMALL, SMALL)
def test_equal_and_opposite_angles_in_phase_give_no_swing(ends, slope, turn):
    # parallel ends, and ends that meet: the shaft splits the angle evenly both ways
    for axes in (_side(ends, slope, ends), _side(ends, slope, 2.0 * slope - ends)):
        told = swing(axes, (0.0,), 500.0)
        assert told.equivalent_rad[0] == pytest.approx(0.0, abs=1e-7)
        assert told.torsional_rad_s2[0] == pytest.approx(0.0, abs=1e-6)
        out, ratio = turns_behind(axes[0], (0.0,), np.array([turn, turn + 0.1]))
        assert ratio == pytest.approx([1.0, 1.0], abs=1e-9)
        assert out[1] - out[0] == pytest.approx(0.1, abs=1e-9)


@given(st.floats(0.01, 0.5), st.floats(100.0, 600.0))
def test_yokes_a_quarter_turn_out_double_it_in_the_known_way(angle, speed):
    axes = _side(0.0, angle, 0.0)
    told = swing(axes, (math.pi / 2.0,), speed)
    assert told.ratio[0] == pytest.approx(1.0 / math.cos(angle) ** 2)
    assert math.cos(told.equivalent_rad[0]) == pytest.approx(math.cos(angle) ** 2)
    # near it: twice the acceleration of one joint, and a swing of speed from peak to peak twice as large
    one = joint_acceleration(angle, speed)
    assert told.torsional_rad_s2[0] == pytest.approx(2.0 * one, rel=2.0 * angle**2 + 1e-6)
    peaks = [r - 1.0 / r for r in (told.ratio[0], joint_speed_ratio(angle, "greatest"))]
    assert peaks[0] == pytest.approx(2.0 * peaks[1], rel=angle**2 + 1e-9)


@given(SMALL, SMALL, SMALL, SMALL, st.floats(-3.0, 3.0))
def test_swapping_the_ends_changes_nothing(a, b, c, d, phase):
    axes = _rows((a, b), (0.0, 0.0), (c, d))
    here = equivalent_angle_rad(turn_map(axes, (phase,)))[0]
    # seen from the other end the yokes are turned the other way about the same axis
    assert equivalent_angle_rad(turn_map(axes[:, ::-1], (-phase,)))[0] == pytest.approx(here, abs=1e-7)
    # nor does looking at every shaft from the other end
    assert equivalent_angle_rad(turn_map(-axes, (-phase,)))[0] == pytest.approx(here, abs=1e-6)


@given(SMALL, SMALL, SMALL, SMALL, st.floats(-3.0, 3.0), st.floats(-3.0, 3.0))
def test_turning_or_mirroring_the_vehicle_changes_nothing(a, b, c, d, phase, turn):
    axes = _rows((a, b), (0.1, -0.2), (c, d))
    here = equivalent_angle_rad(turn_map(axes, (phase,)))[0]
    co, si = math.cos(turn), math.sin(turn)
    spun = axes @ np.array([[co, -si, 0.0], [si, co, 0.0], [0.0, 0.0, 1.0]]).T
    assert equivalent_angle_rad(turn_map(spun, (phase,)))[0] == pytest.approx(here, abs=1e-6)
    mirrored = axes * np.array([1.0, -1.0, 1.0])
    assert equivalent_angle_rad(turn_map(mirrored, (-phase,)))[0] == pytest.approx(here, abs=1e-6)
    # half a turn of a yoke is the same yoke
    assert equivalent_angle_rad(turn_map(axes, (phase + math.pi,)))[0] == pytest.approx(here, abs=1e-6)


@given(st.floats(0.0, 0.8), st.floats(0.0, 0.8))
def test_in_one_plane_it_is_the_sum_for_a_pair(first, second):
    for phase, word in ((0.0, "right"), (math.pi / 2.0, "wrong")):
        told = swing(_side(0.0, first, first - second), (phase,), 300.0).equivalent_rad[0]
        assert told == pytest.approx(joint_equivalent_angle(first, second, word), abs=1e-6)
        assert joint_pair_in_space(first, second, 0.0, phase) == pytest.approx(told, abs=1e-6)


@given(st.floats(0.0, 0.6), st.floats(0.0, 0.6), st.floats(-3.0, 3.0))
def test_the_phase_that_suits_the_planes_is_the_best_there_is(first, second, planes):
    best = joint_pair_in_space(first, second, planes, joint_phase_for_planes(planes))
    assert best == pytest.approx(joint_equivalent_angle(first, second, "right"), abs=1e-6)
    for off in (-0.3, 0.1, 0.7):
        assert joint_pair_in_space(first, second, planes, joint_phase_for_planes(planes) + off) >= best - 1e-9


@given(st.floats(0.0, 1.2))
def test_many_angles_at_once_are_the_sum_one_by_one(angle):
    told = acceleration_rad_s2(np.array([angle, 0.0]), 450.0)
    assert told[0] == pytest.approx(joint_acceleration(angle, 450.0), rel=1e-12, abs=1e-9)
    assert told[1] == 0.0


def test_a_double_joint_hands_on_an_even_turning():
    # two joints at half the angle each, coupling yokes in line, then a straight shaft
    half = math.radians(9.0)
    told = swing(_side(0.0, half, 2.0 * half, 2.0 * half), (0.0, 0.0), 500.0)
    assert told.equivalent_rad[0] == pytest.approx(0.0, abs=1e-7)
    assert told.drive_rad_s2[0] == pytest.approx([joint_acceleration(half, 500.0), 0.0], abs=1e-3)


@given(SMALL, SMALL, SMALL, SMALL, st.floats(-3.0, 3.0), st.floats(-3.0, 3.0))
def test_driving_and_coasting_change_places_when_the_ends_do(a, b, c, d, one, two):
    axes = _rows((a, b), (0.1, 0.0), (c, d), (0.0, -0.1))
    here, there = swing(axes, (one, two), 300.0), swing(axes[:, ::-1], (-two, -one), 300.0)
    assert there.coast_rad_s2[0, ::-1] == pytest.approx(here.drive_rad_s2[0], rel=1e-6, abs=1e-6)
    assert there.drive_rad_s2[0, ::-1] == pytest.approx(here.coast_rad_s2[0], rel=1e-6, abs=1e-6)


def test_a_straight_joint_needs_no_plane():
    for last in (0.0, 0.2):
        told = swing(_side(0.0, 0.0, last), (0.4,), 300.0).equivalent_rad[0]
        assert told == pytest.approx(last, abs=1e-7)


@pytest.mark.parametrize("made,said", [
    (lambda: turn_map(_side(0.0, 0.1, 0.0), ()), "2 joints have 1 shafts between them"),
    (lambda: turn_map(np.zeros((1, 1, 3)), ()), "with two shafts or more"),
    (lambda: turn_map(_side(0.0, 1.5), ()), "a joint is bent by 85.94 deg; it must lie between 0 deg and 80 deg"),
    (lambda: swing(_side(0.0, 0.1, 0.0), (0.0,), 7000.0), "it must lie between 0 rpm and 60000 rpm"),
    (lambda: joint_pair_in_space(1.5, 0.0, 0.0, 0.0), "first is 85.9437 deg; it must lie between -80 deg and 80 deg"),
])  # fmt: skip
def test_refused(made, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        made()
