"""The gearing of a build: numbers worked by hand, and what a finding says of axle ratio, turns and speedometer."""

import math
from dataclasses import replace
from pathlib import Path

import pytest

from trialfit.buildfile import load
from trialfit.checks.gearing import engine_of, gearing, top_shaft_rad_s, torque_of, train_of
from trialfit.findings import Verdict
from trialfit.vehicle import Fact, StallFacts, TurnsFacts, Use

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
RPM = math.pi / 30.0
KMH = 1e6 / 3600.0


@pytest.fixture(scope="module")
def build():
    return load(EXAMPLES / "estate" / "build.yaml").build


def worked(build, limit=None, **change):
    found = []
    answers = gearing(replace(build, power=replace(build.power, **change)), limit, found)
    return answers, {f.name: f for f in found}


def test_speed_and_revolutions_by_hand(build):
    answers, _ = worked(build)
    turn = 9660.0 / 5.0
    assert answers.tyre.circumference_mm == pytest.approx(turn)
    assert answers.lines[3].fastest_mm_s == pytest.approx(5800.0 / 60.0 / 3.31 * turn)
    assert answers.cruise.engine_rad_s == pytest.approx(110.0 * KMH / turn * 60.0 * 3.31 * RPM)
    assert answers.launch.ratio == pytest.approx(3.5 * 3.31)
    assert answers.slip_n == pytest.approx(0.9 * 720.0 * 9.80665)


def test_top_speed_is_where_push_and_resistance_meet(build):
    """Another route: with so much drag power alone holds the speed; both sides worked from their formulas."""
    answers, _ = worked(build, cd=0.6)
    top = answers.top
    assert top.limit == "power"
    drag = 0.5 * 1.225e-9 * 0.6 * 2.05e6 * top.speed_mm_s**2 / 1000.0 + 1540.0 * 9.80665 * 0.013
    power = engine_of(build.power).power_w(top.engine_rad_s) * 0.85 * 0.95
    assert drag * top.speed_mm_s / 1000.0 == pytest.approx(power, rel=1e-3)


def test_the_engine_ends_at_its_fastest_speed(build):
    curve = engine_of(replace(build.power, fastest_rad_s=4500.0 * RPM))
    assert curve.fastest_rad_s == pytest.approx(4500.0 * RPM)
    assert curve.torque_peak[1] == pytest.approx(270e3, rel=1e-3)


def test_an_axle_ratio_that_suits_fits_and_another_is_work_to_do(build):
    _, found = worked(build)
    assert found["gearing.axle-ratio"].verdict is Verdict.FITS
    _, found = worked(build, axle=Fact(3.73))
    other = found["gearing.axle-ratio"]
    assert other.verdict is Verdict.FITS_AFTER_WORK
    assert other.remedy.startswith("take 3.31")
    _, found = worked(build, axle=Fact(4.1), choices=())
    assert found["gearing.axle-ratio"].verdict is Verdict.DOES_NOT_FIT


def test_a_ratio_that_turns_the_shaft_too_fast_stands_last(build):
    at_170 = 170.0 * KMH / (9660.0 / 5.0) * 60.0 * RPM
    answers, found = worked(build, limit=3.5 * at_170)
    assert [r.breaks_shaft for r in answers.ranking] == [False, True, True]
    assert found["gearing.axle-ratio"].verdict is Verdict.FITS
    _, found = worked(build)
    assert "gearing.shaft-limit" in found, "without a known limit the wish cannot be held"


def test_turns_that_nobody_watched_cannot_be_told(build):
    _, found = worked(build, turns=TurnsFacts(18.6, 10.0, None))
    assert found["gearing.turns-test"].verdict is Verdict.CANNOT_TELL
    _, found = worked(build, turns=TurnsFacts(18.6, 10.0, 0.0))
    assert found["gearing.turns-test"].verdict is Verdict.FITS
    _, found = worked(build, turns=TurnsFacts(3.0, 10.0, 10.0))
    assert found["gearing.turns-test"].verdict is Verdict.CANNOT_TELL


def test_the_speedometer_by_hand(build):
    answers, found = worked(build)
    # 185/65R15 is 621.5 mm across and rolls 3.05 of it in a turn; it was right with 3.64
    shown = 100.0 * (621.5 * 3.05) / (9660.0 / 5.0) * 3.31 / 3.64
    assert answers.speedometer.shown_mm_s == pytest.approx(shown * KMH, rel=1e-6)
    told = found["gearing.speedometer"]
    assert told.verdict is Verdict.FITS_AFTER_WORK
    assert f"{math.floor(19 * shown / 100.0)} teeth" in told.remedy


def test_a_converter_raises_the_torque_and_one_that_does_not_suit_is_told(build):
    power = replace(build.power, box="automatic", converter=StallFacts(2200.0 * RPM, Fact(2.1), None, True))
    seen = torque_of(power, train_of(power)).seen
    assert seen.low_gear_nmm == pytest.approx(270e3 * 3.5 * 0.80 * 2.1, rel=1e-3)
    answers, found = worked(build, box="automatic", converter=StallFacts(9000.0 * RPM, Fact(2.1), 10e3))
    assert answers is None
    assert found["gearing.train"].verdict is Verdict.CANNOT_TELL


def test_without_a_mass_on_the_axle_no_torque_is_told(build):
    power = replace(build.power, rear_mass=None)
    assert torque_of(power, train_of(power)) is None


def test_a_transfer_box_slows_the_shaft(build):
    assert top_shaft_rad_s(replace(build.power, transfer=1.2)) == pytest.approx(5800.0 / 1.2 * RPM)


def test_a_tow_wish_without_drag_is_told(build):
    _, found = worked(build, cd=None, uses=(Use("tow", 80.0 * KMH, grade=0.06, trailer_kg=1200.0),))
    assert found["gearing.axle-ratio"].verdict is Verdict.CANNOT_TELL
