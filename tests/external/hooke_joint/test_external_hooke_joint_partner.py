"""The Hooke joint by another route: yokes turned in space, and the statics of the cross.

Kind of check: another route to the answer. Nothing here uses the joint's formula: the driven yoke's pin is the one
direction square to its own shaft and to the driving yoke's pin, and the turn is read off it.
"""

import math

import numpy as np
import pytest

DEG = math.pi / 180.0


def turned(axis: np.ndarray, vector: np.ndarray, angle: np.ndarray) -> np.ndarray:
    """``vector`` turned about ``axis``, right-handed, one row for each angle."""
    c, s = np.cos(angle)[..., None], np.sin(angle)[..., None]
    return vector * c + np.cross(axis, vector) * s + axis * (axis @ vector) * (1.0 - c)


def shaft(angle: float) -> np.ndarray:
    """Direction of a shaft in the x-y plane."""
    return np.array([math.cos(angle), math.sin(angle), 0.0])


UP, ASIDE = np.array([0.0, 0.0, 1.0]), np.array([0.0, 1.0, 0.0])


def driven_turn(axis_in: np.ndarray, axis_out: np.ndarray, turn: np.ndarray, pin: np.ndarray) -> np.ndarray:
    """Turn of the driven yoke when the driving yoke's pin has turned by ``turn`` from ``pin``.

    The driven turn is counted from where the driven pin stands at turn nought.
    """
    start = np.cross(pin, axis_out)
    now = np.cross(turned(axis_in, pin, np.asarray(turn)), axis_out)
    return np.arctan2(np.cross(start, now) @ axis_out, now @ start)


def swing(first: float, second: float, phase: float) -> tuple[float, float]:
    """Greatest and least ratio behind two joints in one plane that bend one way and back again."""
    axes = [shaft(0.0), shaft(first), shaft(first - second)]
    step = 2.0 * math.pi / 14400
    mid = np.unwrap(driven_turn(axes[0], axes[1], np.arange(-2, 14402) * step, UP))
    # the shaft's first yoke stands where the first joint puts it, its second yoke at ``phase`` from there
    own = np.cross(UP, axes[1])
    out = np.unwrap(driven_turn(axes[1], axes[2], mid, turned(axes[1], own, np.asarray(phase))))
    rate = (out[2:] - out[:-2]) / (2.0 * step)
    return float(rate.max()), float(rate.min())


@pytest.mark.parametrize("turn", [0.0, 17.0, 45.0, 90.0, 133.0, 180.0, 200.0, 270.0, 359.0])
@pytest.mark.parametrize("angle", [3.0, 30.0, 60.0])
def test_turn_of_the_driven_shaft(shell, angle, turn):
    here = float(driven_turn(shaft(0.0), shaft(angle * DEG), np.asarray(turn * DEG), ASIDE)) / DEG
    told = shell("joint-output-turn", f"angle={angle} deg; turn={turn} deg", "deg")
    assert (told - here + 180.0) % 360.0 - 180.0 == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("angle", [3.0, 5.0, 15.0, 30.0])
def test_speed_ratio_and_lead_over_a_turn(shell, angle):
    turns = np.linspace(0.0, 2.0 * math.pi, 7201)
    out = np.unwrap(driven_turn(shaft(0.0), shaft(angle * DEG), turns, ASIDE))
    rate = np.gradient(out, turns)[2:-2]
    assert shell("joint-speed-ratio", f"angle={angle} deg; which=greatest", "") == pytest.approx(rate.max(), abs=2e-6)
    assert shell("joint-speed-ratio", f"angle={angle} deg; which=least", "") == pytest.approx(rate.min(), abs=2e-6)
    assert shell("joint-lead", f"angle={angle} deg", "rad") == pytest.approx((out - turns).max(), abs=1e-7)
    at = turns[1234]
    told = shell("joint-ratio-at", f"angle={angle} deg; turn={at} rad", "")
    assert told == pytest.approx(rate[1234 - 2], abs=1e-6)


@pytest.mark.parametrize("first,second", [(8.0, 5.0), (5.0, 8.0), (8.0, 8.0), (20.0, 20.0), (12.0, 0.5)])
@pytest.mark.parametrize("word", ["right", "wrong"])
def test_two_joints(shell, first, second, word):
    # a shaft whose own two yokes lie in one plane is the right one
    greatest, least = swing(first * DEG, second * DEG, 0.0 if word == "right" else math.pi / 2.0)
    inputs = f"first={first} deg; second={second} deg; phase={word}"
    assert shell("joint-pair-ratio", inputs + "; which=greatest", "") == pytest.approx(greatest, abs=3e-6)
    assert shell("joint-pair-ratio", inputs + "; which=least", "") == pytest.approx(least, abs=3e-6)
    alike = shell("joint-equivalent-angle", inputs, "deg")
    assert shell("joint-speed-ratio", f"angle={alike} deg", "") == pytest.approx(greatest, abs=3e-6)


def test_secondary_couples_by_the_statics_of_the_cross(shell):
    torque, bend = 500.0, 10.0 * DEG
    axis_in, axis_out = shaft(0.0), shaft(bend)
    pin_in = turned(axis_in, UP, np.linspace(0.0, math.pi, 3601))
    pin_out = np.cross(pin_in, axis_out)
    # a pin passes no couple about itself, so what goes through the cross is square to both
    across = np.cross(pin_in, pin_out)
    couple = across * (torque / (across @ axis_in))[:, None]
    on_driving = np.linalg.norm(couple - np.outer(couple @ axis_in, axis_in), axis=1)
    on_driven = np.linalg.norm(couple - np.outer(couple @ axis_out, axis_out), axis=1)
    told = [
        shell("joint-secondary-couple", f"torque=500 N*m; angle=10 deg; shaft={s}", "N*m")
        for s in ("driving", "driven")
    ]
    assert told[0] == pytest.approx(on_driving.max(), abs=1e-4)
    assert told[1] == pytest.approx(on_driven.max(), abs=1e-4)


@pytest.mark.parametrize("angle", [1.0, 3.0, 15.0, 40.0])
def test_acceleration_is_the_second_difference_of_the_turn(shell, angle):
    step = 2.0 * math.pi / 3600
    turns = np.arange(0.0, math.pi + 4 * step, step)
    out = np.unwrap(driven_turn(shaft(0.0), shaft(angle * DEG), turns, ASIDE))
    speed = 3000.0 * math.pi / 30.0
    second = (out[2:] - 2.0 * out[1:-1] + out[:-2]) / step**2 * speed**2
    told = shell("joint-acceleration", f"angle={angle} deg; speed=3000 rpm", "")
    assert told == pytest.approx(second.max(), rel=2e-5)


@pytest.mark.parametrize("side,plan", [(4.0, 3.0), (12.0, 0.0), (0.0, 7.0), (-5.0, 9.0)])
def test_compound_angle_is_the_angle_between_the_directions(shell, side, plan):
    level = np.array([1.0, 0.0, 0.0])
    slanted = np.array([1.0, math.tan(plan * DEG), math.tan(side * DEG)])
    between = math.degrees(math.acos(level @ slanted / np.linalg.norm(slanted)))
    told = shell("joint-compound-angle", f"side={side} deg; plan={plan} deg", "deg")
    assert told == pytest.approx(between, abs=1e-9)


def test_shop_table_of_angle_against_speed(shell):
    # kind: common practice; a shop's joint table, whose rows follow one acceleration only roughly
    table = {5000: 3.25, 4500: 3.67, 4000: 4.25, 3500: 5.0, 3000: 5.83, 2500: 7.0, 2000: 8.67, 1500: 11.5}
    for rpm, degrees in table.items():
        assert shell("joint-angle-for-speed", f"speed={rpm} rpm", "deg") == pytest.approx(degrees, rel=0.07)
