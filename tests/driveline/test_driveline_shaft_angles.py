"""Joint angles over the travel, each rule in each version, and gauges too coarse to tell."""

import math
import re
import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "motion"))
from invented_axles import LEAVES, POINTS, build

from trialfit.driveline.joint_angles import (
    AngleDoubt,
    angle_answers,
    angles,
    bearing_loads,
    doubt_from_points,
    joint_bearing_load,
    joint_inertia_torque,
    layout_of,
    length_rule,
    speed_rule,
)
from trialfit.driveline.joint_series import joint_angle_for_length
from trialfit.driveline.rule_answers import gauge_sd_rad, hold, settling_gauge
from trialfit.driveline.shaft_line import CentreBearing, ShaftEnd, ShaftLine, Slip, places
from trialfit.findings import Verdict
from trialfit.motion import pose_of, travel
from trialfit.standards import rule
from trialfit.vehicle import Mounts

RAD = math.radians
SPEED = 3000.0 * math.pi / 30.0
BODIES = (("axle", ("pinion",)), ("engine", ("gearbox",)))
MOUNTS = Mounts("mount.F", "mount.R", RAD(2.0), RAD(3.0))


def _line(front_deg: float, rear_deg: float, drop: float = 60.0, **more: object) -> ShaftLine:
    """Gearbox output and pinion at their slopes, down to the rear +, on a shaft that falls by ``drop`` in 1300 mm."""
    front, rear = (np.array([math.cos(RAD(a)), 0.0, -math.sin(RAD(a))]) for a in (front_deg, rear_deg))
    run = math.sqrt(1300.0**2 - drop**2)
    ends = (ShaftEnd("engine", np.array([1000.0, 0.0, 400.0]), front),
            ShaftEnd("axle", np.array([1000.0 + run, 0.0, 400.0 - drop]), -rear))  # fmt: skip
    return ShaftLine(*ends, Slip.SHAFT, **more)


def _by(answers, rule_name, part=""):
    return [a for a in answers if a.rule == rule_name and part in a.what]


SLOPE = math.degrees(math.asin(60.0 / 1300.0))


def test_angles_are_differences_of_slopes_in_the_side_view():
    found = angles(_line(1.0, 0.5), None, SPEED)
    assert [math.degrees(j.ride_rad) for j in found.joints] == pytest.approx([SLOPE - 1.0, SLOPE - 0.5])
    assert [j.name for j in found.joints] == ["front joint", "rear joint"]
    # the shaft behind dives away from the gearbox, the pinion comes up again
    assert math.degrees(found.joints[0].side_rad) == pytest.approx(1.0 - SLOPE)
    assert layout_of(_line(1.0, 0.5), found) == "parallel"
    meets = _line(1.0, 2.0 * SLOPE)
    assert layout_of(meets, angles(meets, None, SPEED)) == "intersecting"


def test_angles_over_the_travel_hold_every_state_solved_by_itself():
    made = build(LEAVES, bodies=BODIES, mounts=MOUNTS)
    moved = travel(made, POINTS)
    line = ShaftLine(ShaftEnd("engine", POINTS["gearbox"], np.array([1.0, 0.0, -0.05])),
                     ShaftEnd("axle", POINTS["pinion"], np.array([-1.0, 0.0, 0.05])), Slip.YOKE)  # fmt: skip
    found = angles(line, moved, SPEED)
    for state in moved.grid(5, 3, 3):
        engine, axle = (pose_of(made, POINTS, b, state).rotation for b in ("engine", "axle"))
        told = places(line, moved, np.array([state]))
        ends = told.joints_mm[0]
        shaft = (ends[1] - ends[0]) / np.linalg.norm(ends[1] - ends[0])
        ways = [engine @ line.front.direction, shaft, -(axle @ line.rear.direction)]
        for n, joint in enumerate(found.joints):
            bent = math.acos(min(1.0, float(ways[n] @ ways[n + 1])))
            assert float(told.angles_rad[0, n]) == pytest.approx(bent, abs=1e-6)
            assert joint.least_rad - RAD(0.02) <= bent <= joint.most_rad + RAD(0.02)
    assert found.worst_torsional_rad_s2 >= found.ride.torsional_rad_s2[0]


def test_each_rule_in_each_version_the_one_in_force_first():
    line = _line(1.0, 0.5)
    told = angle_answers(line, angles(line, None, SPEED), AngleDoubt(RAD(0.01), RAD(0.01)), 1300.0)
    least = _by(told, "joint-angle-least", "front")
    assert [(a.version.label, a.in_force) for a in least] == [("0.5 deg", True), ("1 deg", False)]
    assert {a.rule for a in told} == {
        "joint-angle-least", "joint-angle-greatest", "joint-acceleration", "joint-angle-length",
        "joint-angle-difference", "joint-angle-bind"}  # fmt: skip
    assert all(a.verdict is Verdict.FITS for a in told if a.in_force)
    # one builder's 0.5 deg of difference is just met by 0.5 deg: it cannot be told
    assert [a.verdict for a in _by(told, "joint-angle-difference")] == [Verdict.FITS, Verdict.CANNOT_TELL]
    chosen = angle_answers(line, angles(line, None, SPEED), AngleDoubt(RAD(0.01), RAD(0.01)), 1300.0,
                           {"joint-angle-least": "1 deg"})  # fmt: skip
    assert _by(chosen, "joint-angle-least")[0].limit == 1.0


def test_steep_at_speed_fails_and_says_so():
    line = _line(-3.0, -3.2)
    told = angle_answers(line, angles(line, None, 5000.0 * math.pi / 30.0), AngleDoubt(RAD(0.05), RAD(0.1)), 1300.0)
    assert {a.verdict for a in _by(told, "joint-angle-greatest")} == {Verdict.DOES_NOT_FIT}
    speed = _by(told, "joint-acceleration", "front joint")[0]
    assert speed.verdict is Verdict.DOES_NOT_FIT
    assert speed.limit == pytest.approx(3.46, abs=0.02)
    said = "front joint at ride height 5.65 deg, give or take 0.098; at most 3.46 deg asked for"
    assert speed.reason.startswith(said)
    left = _by(told, "joint-acceleration", "pinion")[0]
    assert left.unit == "rad/s2"
    assert left.sd is not None
    assert left.sd > 0.0


def test_a_gauge_too_coarse_cannot_tell_and_the_answer_names_one_that_could():
    line = _line(1.0, 0.6)
    found = angles(line, None, SPEED)
    coarse = AngleDoubt(gauge_sd_rad("dial", 2), gauge_sd_rad("dial", 6))
    told = _by(angle_answers(line, found, coarse, 1300.0), "joint-angle-difference")[0]
    assert told.verdict is Verdict.CANNOT_TELL
    assert "digital" in told.gauge
    assert told.finding("shaft.difference", "set the pinion").remedy == told.gauge
    fine = AngleDoubt(gauge_sd_rad("digital", 2), gauge_sd_rad("digital", 6))
    again = _by(angle_answers(line, found, fine, 1300.0), "joint-angle-difference")[0]
    assert again.verdict is Verdict.FITS
    assert again.finding("shaft.difference", "set the pinion").remedy == "set the pinion"
    unknown = angle_answers(line, found, AngleDoubt(None, None), 1300.0)
    assert {a.verdict for a in unknown} == {Verdict.CANNOT_TELL}


def test_doubt_of_angles_from_hardpoints_by_chance():
    # gearbox: back face and a mark 150 mm ahead; pinion: flange and a mark 200 mm behind
    spots = np.array([1000.0, 0.0, 400.0, 850.0, 0.0, 405.0, 2300.0, 10.0, 340.0, 2500.0, 10.0, 335.0])

    def make(at):
        box, ahead, pinion, behind = at.reshape(4, 3)
        return ShaftLine(ShaftEnd("engine", box, box - ahead), ShaftEnd("axle", pinion, pinion - behind), Slip.SHAFT)

    chance = np.random.default_rng(3)
    half = 0.03 * chance.normal(size=(12, 12))
    told = doubt_from_points(make, spots, half @ half.T)
    drawn = np.array([places(make(spots + half @ chance.normal(size=12)), None, np.zeros((1, 3))).angles_rad[0]
                      for _ in range(4000)])  # fmt: skip
    assert told.angle_rad == pytest.approx(max(np.std(drawn, axis=0)), rel=0.06)
    assert told.difference_rad == pytest.approx(np.std(drawn[:, 1] - drawn[:, 0]), rel=0.06)
    with pytest.raises(ValueError, match="the covariance must have the shape"):
        doubt_from_points(make, spots, np.eye(3))


def test_settling_gauge_goes_from_coarse_to_fine_to_several_readings_to_none():
    assert "dial" in settling_gauge(RAD(3.0), 2)
    assert "digital" in settling_gauge(RAD(0.8), 6)
    assert "mean of 3 readings with digital" in settling_gauge(RAD(0.2), 2)
    assert "any gauge at hand" in settling_gauge(RAD(0.01), 2)
    assert "any gauge at hand" in settling_gauge(0.0, 2)


def test_front_joint_of_two_pieces_has_a_rule_of_its_own():
    centre = CentreBearing(np.array([1600.0, 0.0, 380.0]), 40.0)
    line = _line(1.0, 3.0, centre=centre, phases_rad=(0.0, 0.0))
    told = angle_answers(line, angles(line, None, SPEED), AngleDoubt(RAD(0.05), RAD(0.1)), 700.0)
    assert {a.what for a in _by(told, "joint-angle-odd")} == {"front joint at ride height"}
    assert not _by(told, "joint-angle-least", "front joint")
    assert _by(told, "joint-angle-least", "middle joint")


def test_double_joint_is_left_out_of_difference_and_least():
    line = _line(1.0, SLOPE, double_mm=70.0)
    found = angles(line, None, SPEED)
    told = angle_answers(line, found, AngleDoubt(RAD(0.05), RAD(0.1)), 1300.0)
    assert not _by(told, "joint-angle-difference")
    assert not _by(told, "joint-angle-least", "double")
    # the pinion points at it: next to nothing is left
    assert found.ride.torsional_rad_s2[0] < 1.0


def test_bind_is_held_against_the_whole_travel():
    line = _line(1.0, -20.0)
    told = _by(angle_answers(line, angles(line, None, SPEED), AngleDoubt(0.0, 0.0), 1300.0), "joint-angle-bind")
    assert [a.verdict for a in told] == [Verdict.FITS, Verdict.DOES_NOT_FIT]


def test_rules_made_from_speed_and_length():
    assert speed_rule(rule("joint-acceleration"), 20.0).in_force.value == 25.0
    assert length_rule(762.0, "intersecting").in_force.value == pytest.approx(3.0)
    with pytest.raises(ValueError, match="write parallel or intersecting"):
        joint_angle_for_length(700.0, "crossed")
    with pytest.raises(ValueError, match="length is 50 mm"):
        joint_angle_for_length(50.0, "parallel")


def test_couples_and_the_loads_they_make():
    line = _line(-6.0, -4.0)
    over = places(line, None, np.zeros((1, 3)))
    told = bearing_loads(over, 500e3, 150.0, 60.0)
    front, rear = RAD(SLOPE + 6.0), RAD(SLOPE + 4.0)
    assert told.front_couple_nmm == pytest.approx(500e3 * math.tan(front))
    assert told.pinion_n == pytest.approx(500e3 * math.sin(rear) / 60.0)
    assert told.centre_n is None
    centre = CentreBearing(np.array([1600.0, 0.0, 380.0]), 40.0)
    two = places(_line(1.0, 3.0, centre=centre, phases_rad=(0.0, 0.0)), None, np.zeros((1, 3)))
    a, b, _ = two.angles_rad[0]
    told = bearing_loads(two, 500e3, 150.0, 60.0, 600.0)
    assert told.centre_n == pytest.approx(500e3 * (math.sin(a) + math.tan(b)) / 600.0)
    assert joint_bearing_load(60e3, 150.0) == 400.0
    # 1000 rad/s2 on 0.01 kg m2 is 10 N m
    assert joint_inertia_torque(1000.0, 0.01e6) == pytest.approx(10e3)


@pytest.mark.parametrize("made,said", [
    (lambda: gauge_sd_rad("tape", 2), "no angle gauge is called 'tape'; known: digital, dial"),
    (lambda: gauge_sd_rad("dial", 0), "at least one reading"),
    (lambda: settling_gauge(0.1, 0), "at least one reading"),
    (lambda: hold("x", (1.0, 0.0), 0.1, rule("joint-angle-least"), at_most=True), "exceeds upper bound"),
    (lambda: hold("x", (0.0, 1.0), 0.1, rule("oxygen-sensor-torque"), at_most=True), "no unit of a shaft rule"),
    (lambda: angle_answers(_line(1.0, 0.5), angles(_line(1.0, 0.5), None, SPEED), AngleDoubt(0.0, 0.0), 1300.0,
                           {"joint-angle-least": "9 deg"}), "has no version '9 deg'"),
])  # fmt: skip
def test_refused(made, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        made()
