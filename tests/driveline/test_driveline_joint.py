"""Universal joints and shafts: symmetry, limits, refusals. The formulas meet their partners in tests/external."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialfit.driveline import (
    joint_compound_angle,
    joint_equivalent_angle,
    joint_output_turn,
    joint_pair_ratio,
    joint_speed_ratio,
    shaft_plunge,
    tube_whirl,
    tube_whirl_length,
)
from trialfit.driveline.joint import joint_acceleration, joint_angle_for_speed, joint_angle_for_swing
from trialfit.sums import find_sum, work

ANGLES = st.floats(0.0, 1.2)


@given(ANGLES, st.floats(-20.0, 20.0))
def test_driven_shaft_keeps_up_over_many_turns(angle, turn):
    out = joint_output_turn(angle, turn)
    assert abs(out - turn) < math.pi / 2.0
    assert math.sin(out) * math.cos(turn) * math.cos(angle) == pytest.approx(
        math.cos(out) * math.sin(turn), abs=1e-9
    )
    assert joint_output_turn(angle, turn + 2.0 * math.pi) == pytest.approx(out + 2.0 * math.pi, abs=1e-9)
    assert joint_output_turn(angle, -turn) == pytest.approx(-out, abs=1e-9)


@given(st.floats(0.0, 0.9), st.floats(0.0, 0.9))
def test_pairs_do_not_care_for_order_or_side(first, second):
    for phase in ("right", "wrong"):
        here = joint_pair_ratio(first, second, phase, "greatest")
        assert here >= 1.0
        assert joint_pair_ratio(second, first, phase, "greatest") == pytest.approx(here)
        assert joint_pair_ratio(-first, second, phase, "greatest") == pytest.approx(here)
        assert joint_pair_ratio(first, second, phase, "least") == pytest.approx(1.0 / here)
        same = joint_speed_ratio(joint_equivalent_angle(first, second, phase), "greatest")
        assert same == pytest.approx(here, rel=1e-9)


@given(ANGLES)
def test_equal_angles_cancel_in_phase_and_double_out_of_it(angle):
    assert joint_pair_ratio(angle, angle, "right", "greatest") == 1.0
    assert joint_pair_ratio(angle, angle, "wrong", "greatest") == pytest.approx(1.0 / math.cos(angle) ** 2)


@given(st.floats(1e-3, 1.2), st.floats(10.0, 600.0))
def test_swing_gives_back_its_angle(angle, speed):
    swing = speed * (1.0 / math.cos(angle) - math.cos(angle))
    assert joint_angle_for_swing(speed, swing) == pytest.approx(angle, rel=1e-6, abs=1e-7)


@given(st.floats(60.0, 600.0))
def test_angle_for_speed_works_the_shaft_at_the_limit(speed):
    try:
        angle = joint_angle_for_speed(speed, 1000.0)
    except ValueError as refusal:
        assert "angle that the speed allows" in str(refusal)  # noqa: PT017
        assert speed < 80.0
        return
    assert speed**2 * math.sin(angle) ** 2 / math.cos(angle) == pytest.approx(1000.0)
    # near it the joint's own peak is the same thing
    assert joint_acceleration(angle, speed) == pytest.approx(1000.0, rel=0.35)


def test_no_angle_no_acceleration():
    assert joint_acceleration(0.0, 500.0) == 0.0


@given(st.floats(-1.0, 1.0), st.floats(-1.0, 1.0))
def test_compound_angle_is_at_least_either(side, plan):
    told = joint_compound_angle(side, plan)
    assert told >= max(abs(side), abs(plan)) - 1e-12
    assert joint_compound_angle(-side, plan) == joint_compound_angle(plan, side) == told


@given(st.floats(800.0, 2000.0), st.floats(-150.0, 150.0), st.floats(-100.0, 100.0), st.floats(-30.0, 30.0))
def test_plunge_is_a_difference_of_two_lengths(length, drop, lift, forward):
    run = math.sqrt(length**2 - drop**2)
    there = math.dist((0.0, drop), (run - forward, lift))
    assert shaft_plunge(length, drop, lift, forward) == pytest.approx(length - there, abs=1e-9)


@given(st.floats(40.0, 100.0), st.floats(1.0, 4.0), st.floats(200.0, 700.0), st.floats(0.5, 1.0))
def test_longest_shaft_whirls_just_there(diameter, wall, speed, share):
    length = tube_whirl_length(diameter, wall, speed, share, "pinned", 207000.0, 7850e-9)
    assert tube_whirl(diameter, wall, length, "pinned", 207000.0, 7850e-9) == pytest.approx(speed / share)


def test_one_per_cent_of_length_is_two_of_speed():
    values = {"diameter": 76.0, "wall": 2.1, "length": 1400.0}
    result = work(find_sum("tube-whirl"), values, {"length": 14.0})
    assert result.sd is not None
    assert result.sd / result.value == pytest.approx(0.02, rel=1e-3)


@pytest.mark.parametrize("name,values,said", [
    ("joint-speed-ratio", {"angle": math.radians(81.0)}, "angle is 81 deg; it must lie between -80 deg and 80 deg"),
    ("joint-speed-ratio", {"angle": 0.1, "which": "most"}, "which is 'most'; write greatest or least"),
    ("joint-pair-ratio", {"first": 0.1, "second": 0.1, "phase": "odd"}, "phase is 'odd'; write right or wrong"),
    ("joint-angle-for-swing", {"speed": 0.0, "swing": 1.0}, "speed is 0 rpm; it must be more than 0 rpm"),
    ("joint-angle-for-swing", {"speed": 100.0, "swing": -1.0}, "swing is -9.5493 rpm; it must lie between 0 rpm"),
    ("joint-secondary-couple", {"torque": 1.0, "angle": 0.1, "shaft": "other"},
     "shaft is 'other'; write driving or driven"),
    ("joint-acceleration", {"angle": 0.1, "speed": 7000.0}, "it must lie between 0 rpm and 60000 rpm"),
    ("joint-compound-angle", {"side": 0.1, "plan": 1.5}, "plan is 85.9437 deg; it must lie between"),
    ("joint-angle-for-speed", {"speed": 10.0}, "angle that the speed allows is"),
    ("tube-whirl", {"diameter": 76.0, "wall": 2.0, "length": 500.0}, "length is 500 mm; it must be at least 608 mm"),
    ("tube-whirl", {"diameter": 76.0, "wall": 40.0, "length": 1500.0}, "wall is 40 mm"),
    ("tube-whirl", {"diameter": 76.0, "wall": 2.0, "length": 1500.0, "ends": "rubber"},
     "ends are 'rubber'; write one of"),
    ("tube-whirl-length", {"diameter": 76.0, "wall": 2.0, "speed": 500.0, "share": 1.5}, "share is 1.5"),
    ("whirl-from-sag", {"sag": 0.0}, "sag is 0 mm; it must be more than 0 mm"),
    ("shaft-plunge", {"length": 100.0, "drop": 101.0, "lift": 0.0}, "drop is 101 mm; it must lie between"),
])  # fmt: skip
def test_refused(name, values, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        work(find_sum(name), values, {})
