"""Two joints on one shaft: a solved question, rules of thumb, a shop's table. Edition: none given.

Place: 500 rpm, 20 deg, yokes a quarter turn out: 566.25 rpm printed; length of the shaft over 5 or 10: examples of
15 in and 30 in printed. Kinds: published example; from memory. The matrix of a row of joints is answered again by
turning yokes in space (another route to the answer), and a shop's table of angle against speed by the inertia limit
(common practice).
"""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from trialfit.driveline.joint import joint_acceleration, joint_angle_for_speed
from trialfit.driveline.joint_angles import joint_bearing_load, speed_rule
from trialfit.driveline.phasing import equivalent_angle_rad, swing, turn_map, turns_behind
from trialfit.standards import rule

TABLE = {5000: 3.25, 4500: 3.67, 4000: 4.25, 3500: 5.0, 3000: 5.83, 2500: 7.0, 2000: 8.67, 1500: 11.5}


def test_value_of_hooke_chain(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    assert joint_bearing_load
    agrees(outside_value)


def _turned(axis: np.ndarray, vector: np.ndarray, angle: float) -> np.ndarray:
    c, s = math.cos(angle), math.sin(angle)
    return vector * c + np.cross(axis, vector) * s + axis * (axis @ vector) * (1.0 - c)


def _by_yokes(axes: np.ndarray, phases: tuple[float, ...], turn: float) -> float:
    """Turn of the last yoke's pin when the first yoke's pin has turned by ``turn``: pins followed in space, no formula
    of the joint. The first pin starts in the plane of the first two shafts, the last turn counts from its place then.
    """
    pins = []
    for angle in (0.0, turn):
        normal = np.cross(axes[0], axes[1])
        pin = _turned(axes[0], np.cross(normal / np.linalg.norm(normal), axes[0]), angle)
        for n in range(len(axes) - 1):
            pin = np.cross(axes[n + 1], pin)  # square to its own shaft and to the pin before it
            pin /= np.linalg.norm(pin)
            if n < len(phases):
                pin = _turned(axes[n + 1], pin, phases[n])
        pins.append(pin)
    return math.atan2(np.cross(pins[0], pins[1]) @ axes[-1], pins[0] @ pins[1])


def _random_row(seed: int, joints: int) -> tuple[np.ndarray, tuple[float, ...]]:
    chance = np.random.default_rng(seed)
    axes = np.array([1.0, 0.0, 0.0]) + chance.uniform(-0.35, 0.35, (joints + 1, 3)) * np.array([0.0, 1.0, 1.0])
    return axes / np.linalg.norm(axes, axis=1)[:, None], tuple(chance.uniform(-2.0, 2.0, joints - 1))


@pytest.mark.parametrize("seed,joints", [(1, 1), (2, 2), (3, 2), (4, 2), (5, 3), (6, 3), (7, 4)])
def test_row_of_joints_by_yokes_turned_in_space(seed, joints):
    axes, phases = _random_row(seed, joints)
    turns = np.radians(np.arange(0.0, 361.0, 5.0))
    told, ratio = turns_behind(axes, phases, turns)
    for turn, out in zip(turns, told - told[0], strict=True):
        assert math.remainder(out - _by_yokes(axes, phases, float(turn)), math.tau) == pytest.approx(0.0, abs=1e-9)
    step = 1e-5
    for turn, rate in list(zip(turns, ratio, strict=True))[::9]:
        near = [_by_yokes(axes, phases, float(turn) + side) for side in (-step, step)]
        assert rate == pytest.approx(math.remainder(near[1] - near[0], math.tau) / (2.0 * step), rel=1e-6)


@pytest.mark.parametrize("seed,joints", [(11, 2), (12, 3), (13, 2), (14, 3)])
def test_greatest_ratio_and_acceleration_by_going_round(seed, joints):
    axes, phases = _random_row(seed, joints)
    turns = np.linspace(0.0, math.tau, 7201)
    out, ratio = turns_behind(axes, phases, turns)
    speed = 400.0
    told = swing(axes[None], phases, speed)
    assert told.ratio[0] == pytest.approx(ratio.max(), rel=1e-6)
    assert 1.0 / told.ratio[0] == pytest.approx(ratio.min(), rel=1e-6)
    second = np.gradient(np.gradient(out, turns), turns)[3:-3] * speed**2
    assert told.torsional_rad_s2[0] == pytest.approx(np.abs(second).max(), rel=2e-4)
    assert told.torsional_rad_s2[0] == pytest.approx(joint_acceleration(float(told.equivalent_rad[0]), speed), rel=1e-9)


@pytest.mark.parametrize("seed", range(20, 26))
def test_shaft_of_a_pair_driven_from_either_end(seed):
    axes, phases = _random_row(seed, 2)
    told = swing(axes[None], phases, 300.0)
    for worked, first, second in ((told.drive_rad_s2, 0, 1), (told.coast_rad_s2, 2, 1)):
        bend = math.acos(float(axes[first] @ axes[second]))
        assert worked[0, 0] == pytest.approx(joint_acceleration(bend, 300.0), rel=1e-9)


@pytest.mark.parametrize("rpm,degrees", TABLE.items())
def test_shops_table_is_the_inertia_limit_within_12_per_cent(rpm, degrees):
    # kind: common practice; drivetrain shop joint table
    speed = rpm * math.pi / 30.0
    acceleration = speed**2 * math.sin(math.radians(degrees)) ** 2 / math.cos(math.radians(degrees))
    limit = rule("joint-acceleration").in_force.value
    assert acceleration == pytest.approx(limit, rel=0.12)
    assert 880.0 < acceleration < 1030.0
    angle = math.degrees(joint_angle_for_speed(speed, limit))
    assert angle == pytest.approx(degrees, rel=0.12)
    assert speed_rule(rule("joint-acceleration"), speed).in_force.value == pytest.approx(angle)


def test_equal_angles_in_different_planes_need_the_yokes_turned_by_as_much():
    # kind: another route to the answer; the phase that cancels is looked for by brute force
    down, aside = math.radians(6.0), math.radians(6.0)
    axes = np.array([
        [math.cos(down), 0.0, math.sin(down)], [1.0, 0.0, 0.0], [math.cos(aside), math.sin(aside), 0.0],
    ])  # fmt: skip
    phases = np.radians(np.arange(-90.0, 90.0, 0.5))
    left = [float(equivalent_angle_rad(turn_map(axes[None], (float(p),)))[0]) for p in phases]
    assert abs(math.degrees(phases[int(np.argmin(left))])) == pytest.approx(90.0)
    assert min(left) == pytest.approx(0.0, abs=1e-7)
