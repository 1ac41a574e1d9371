"""Tyres by old codes and rollout, engine curves, converters, gear by gear, top speed: sizes that must hold together."""

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trialfit.driveline import (
    Converter,
    EngineCurve,
    GearTrain,
    RoadLoad,
    converter_from_stall,
    cruise,
    effort_at,
    effort_curve,
    engine_from_peaks,
    engine_from_points,
    gear_lines,
    launch,
    old_code_diameter_mm,
    rolling_rule,
    stall_speed,
    top_speed,
    top_speed_in,
    tyre_from_code,
    tyre_from_rollout,
    tyre_layout,
    wheel_slip_effort,
)
from trialfit.driveline.whirl import shaft_speed_from_road
from trialfit.sums import find_sum, work

RPM = math.pi / 30.0
KMH = 1e3 / 3.6
FLAT = EngineCurve(((100.0, 300e3), (600.0, 300e3)))
TYRE = tyre_from_rollout(20000.0, 10.0, 5.0)


def train(**changes) -> GearTrain:
    settings_ = dict(engine=FLAT, gears=(3.0, 2.0, 1.0), axle=4.0, tyre=TYRE, shares=(0.9,))
    return GearTrain(**{**settings_, **changes})


@pytest.mark.parametrize("code, mm, layout", [
    ("6.70-15", 710.0, "bias"), ("6.70 - 15", 710.0, "bias"), ("7.50R16", 802.0, "radial"),
    ("7.50 R 16 C", 802.0, "radial"),
    ("165SR13", 596.0, "radial"), ("165 HR 13 82H", 596.0, "radial"), ("7.50-16", 806.0, "bias"),
])  # fmt: skip
def test_old_codes_are_looked_up(code, mm, layout):
    assert old_code_diameter_mm(code) == (mm, layout)
    tyre = tyre_from_code(code)
    assert tyre.diameter_mm == mm
    assert tyre.circumference_mm == pytest.approx(mm * (3.05 if layout == "radial" else 2.99))
    assert work(find_sum("tyre-diameter"), {"code": code}, {}).value == mm


@pytest.mark.parametrize("code, said", [
    ("6.71-15", "does not hold '6.71-15' (nearest: 6.70-15"), ("H78-15", "begins with a letter for its load"),
    ("HR78-15", "begins with a letter for its load"), ("225/45R17", "is no old tyre code; write it as on the sidewall"),
])  # fmt: skip
def test_old_code_is_refused(code, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        old_code_diameter_mm(code)


@pytest.mark.parametrize("code, layout", [
    ("225/45ZR17", "radial"), ("225/45-17", "bias"), ("31x10.50-15LT", "bias"), ("31x10.50R15LT", "radial"),
    ("225/45B17", "bias"), ("P235/75R15", "radial"), ("225/45 ZR17 94W", "radial"),
])  # fmt: skip
def test_layout_is_read_from_the_code(code, layout):
    assert tyre_layout(code) == layout


def test_every_version_of_the_rolling_rule_is_kept_and_one_can_be_chosen():
    tyre = tyre_from_code("225/45R17")
    assert len(tyre.versions) == 4
    assert tyre.versions[0][1] == tyre.circumference_mm
    other = tyre_from_code("225/45R17", "The bare circle  with no load")
    assert other.circumference_mm == pytest.approx(math.pi * 634.3)
    assert {mm for _, mm in other.versions} == {mm for _, mm in tyre.versions}
    with pytest.raises(ValueError, match=r"the rolling rule has no version 'mine'; known: 3\.05 for a radial"):
        rolling_rule("radial", "mine")
    with pytest.raises(ValueError, match="layout is 'square'; write radial, bias or circle"):
        rolling_rule("square")


def test_doubt_of_a_rollout_comes_from_tape_and_mark():
    tyre = tyre_from_rollout(20000.0, 10.0, 5.0, 0.01)
    assert tyre.sd_mm == pytest.approx(math.hypot(5.0 / 10.0, 2000.0 * 0.01 / 10.0))
    assert tyre_from_rollout(20000.0, 10.0, 5.0, 0.01).sd_mm < tyre_from_rollout(2000.0, 1.0, 5.0, 0.01).sd_mm
    with pytest.raises(ValueError, match="distance in one turn is 300 mm; it must lie between 900 mm and 4700 mm"):
        tyre_from_rollout(3000.0, 10.0, 5.0)


def test_curve_is_straight_between_points_and_refuses_beyond():
    curve = engine_from_points([(400.0, 200e3), (200.0, 100e3), (600.0, 150e3)])
    assert curve.torque_nmm(300.0) == pytest.approx(150e3)
    assert curve.torque_peak == (400.0, 200e3)
    with pytest.raises(ValueError, match=re.escape("engine speed is 6684.51 rpm; it must lie between")):
        curve.torque_nmm(700.0)


def test_power_peak_between_points_is_found():
    curve = EngineCurve(((300.0, 210e3), (400.0, 200e3), (790.0, 50e3)))
    at, power = curve.power_peak
    assert 400.0 < at < 790.0
    assert all(curve.power_w(400.0 + k) <= power * (1 + 1e-12) for k in range(390))


@pytest.mark.parametrize("points, said", [
    (((200.0, 1e5),), "an engine curve needs 2 points or more"),
    (((200.0, 1e5), (200.0, 1e5)), "engine speeds must rise; 1910 rpm follows 1910 rpm"),
    (((5.0, 1e5), (200.0, 1e5)), "engine speed is 47.7465 rpm"),
    (((100.0, 0.0), (200.0, 1e5)), "torque is 0 N*m"),
])  # fmt: skip
def test_curve_is_refused(points, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        EngineCurve(points)


def test_peaks_of_a_data_sheet_come_out_again():
    curve = engine_from_peaks(400e3, 3200 * RPM, 190e3, 5000 * RPM, 700 * RPM, 5600 * RPM)
    assert curve.torque_peak == (pytest.approx(3200 * RPM), pytest.approx(400e3))
    assert curve.power_peak[0] == pytest.approx(5000 * RPM, rel=0.01)
    assert curve.power_peak[1] == pytest.approx(190e3, rel=0.001)
    assert 0.8 * 400e3 < curve.torque_nmm(700 * RPM) < 400e3


@given(st.floats(150.0, 400.0), st.floats(1.1, 2.5), st.floats(0.5, 1.0), st.floats(1.0, 1.4))
def test_no_point_of_a_guessed_curve_passes_either_peak(at, apart, share, beyond):
    power = share * 300.0 * at * apart
    try:
        curve = engine_from_peaks(300e3, at, power, at * apart, 0.3 * at, at * apart * beyond)
    except ValueError as why:
        assert "give points of the curve" in str(why)  # noqa: PT017
        return
    assert max(t for _, t in curve.points) <= 300e3 * (1 + 1e-9)
    assert max(w * t for w, t in curve.points) <= 1000.0 * power * (1 + 1e-9)


@pytest.mark.parametrize("peaks, said", [
    ((200e3, 300.0, 150e3, 500.0), "150 kW at 4775 rpm is 300 N*m, more than the greatest torque 200 N*m"),
    ((400e3, 500.0, 150e3, 400.0), "speed of peak power is 3819.72 rpm"),
    ((400e3, 160.0, 80e3, 420.0), "give points of the curve instead"),
])  # fmt: skip
def test_peaks_that_contradict_one_another_are_refused(peaks, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        engine_from_peaks(*peaks, 100.0, peaks[3] * 1.1)


def test_stall_is_where_the_converter_takes_all_the_torque():
    curve = engine_from_peaks(400e3, 3200 * RPM, 190e3, 5000 * RPM, 700 * RPM, 5600 * RPM)
    converter = converter_from_stall(2.0, 2400 * RPM, 390e3)
    stall = stall_speed(curve, converter.size_factor)
    assert stall == pytest.approx(converter.size_factor * math.sqrt(curve.torque_nmm(stall)), rel=1e-9)
    with pytest.raises(ValueError, match="the stall speed is over the curve"):
        stall_speed(curve, 2.0)
    with pytest.raises(ValueError, match="are those of no converter for a road vehicle"):
        Converter(2.0, 9.0)


def test_effort_with_a_converter_starts_at_stall_and_never_beats_the_engine_s_power():
    converter = converter_from_stall(2.2, 250.0, 300e3)
    automatic = train(converter=converter)
    first = effort_at(automatic, 1, 0.0)
    assert first is not None
    assert first.engine_rad_s == pytest.approx(250.0)
    assert first.force_n == pytest.approx(2.2 * 300e3 * 12.0 * 0.9 / TYRE.radius_mm)
    for effort in effort_curve(automatic, 1):
        assert effort.force_n * effort.speed_mm_s <= 0.9 * 300e3 * effort.engine_rad_s * (1 + 1e-9)
    assert launch(automatic).raised_ratio == pytest.approx(2.2 * 12.0)
    assert launch(train()).stall_rad_s is None


def test_engine_speed_goes_on_smoothly_where_the_converter_couples():
    automatic = train(converter=converter_from_stall(2.2, 250.0, 300e3))
    at = automatic.road_speed_mm_s(1, 0.9 * 250.0)
    below, above = effort_at(automatic, 1, at * 0.9999), effort_at(automatic, 1, at * 1.0001)
    assert below is not None
    assert above is not None
    assert above.engine_rad_s == pytest.approx(below.engine_rad_s, rel=1e-3)
    assert above.force_n == pytest.approx(below.force_n, rel=2e-3)


def test_gear_by_gear():
    lines = gear_lines(train(), slip_n=9000.0)
    assert [g.overall for g in lines] == [12.0, 8.0, 4.0]
    # one turn of the wheel is 2 m
    assert lines[2].per_1000_rpm_mm_s == pytest.approx(1000 / 60 / 4.0 * 2000.0)
    assert lines[0].after_shift_rad_s == pytest.approx(400.0)
    assert lines[0].drop_rad_s == pytest.approx(200.0)
    assert lines[2].after_shift_rad_s is None
    assert lines[0].push_n == pytest.approx(300e3 * 12 * 0.9 / (1000.0 / math.pi))
    assert [g.slips for g in lines] == [True, False, False]
    for g in lines:
        # the torque at which it slips, put back through the train, is the push the tyres hold
        assert g.slip_torque_nmm * g.overall * 0.9 / TYRE.radius_mm == pytest.approx(9000.0)
    assert gear_lines(train())[0].slips is None


def test_transfer_box_and_low_range():
    boxed = train(transfer=1.2, low_range=2.5)
    assert launch(boxed).ratio == pytest.approx(14.4)
    assert launch(boxed).low_ratio == pytest.approx(30.0)
    with pytest.raises(ValueError, match="there is no low range"):
        train().overall(1, low=True)


def test_overdrive_turns_the_shaft_faster_than_the_engine():
    over = train(gears=(3.0, 1.0, 0.7))
    found = cruise(over, RoadLoad(1500.0, 0.4, 2.0e6), 100 * KMH)
    assert found.shaft_rad_s == pytest.approx(found.engine_rad_s / 0.7)
    assert found.shaft_rad_s == pytest.approx(shaft_speed_from_road(100 * KMH, 4.0, 2000.0 / math.pi))
    assert found.load == pytest.approx(found.needed_nmm / 300e3)


def test_converter_slips_at_a_cruise_unless_it_locks():
    load = RoadLoad(1500.0, 0.4, 2.0e6)
    slipping = cruise(train(converter=converter_from_stall(2.0, 250.0, 300e3)), load, 100 * KMH)
    locked = cruise(train(converter=converter_from_stall(2.0, 250.0, 300e3, locks=True)), load, 100 * KMH)
    assert locked.engine_rad_s == pytest.approx(cruise(train(), load, 100 * KMH).engine_rad_s)
    assert 1.0 < slipping.engine_rad_s / locked.engine_rad_s < 1.1


@settings(max_examples=40, deadline=None)
@given(st.floats(0.25, 0.6), st.floats(1.6e6, 3.0e6), st.floats(900.0, 2500.0), st.floats(2.5, 5.0))
def test_at_top_speed_push_and_resistance_balance_or_the_engine_is_at_its_fastest(cd, area, mass, axle):
    geared, load = train(axle=axle), RoadLoad(mass, cd, area)
    best = top_speed(geared, load)
    push = effort_at(geared, best.gear, best.speed_mm_s)
    assert push is not None
    if best.limit == "power":
        assert push.force_n == pytest.approx(load.force_n(best.speed_mm_s), rel=1e-6)
    else:
        assert best.engine_rad_s == pytest.approx(600.0)
        assert push.force_n >= load.force_n(best.speed_mm_s) * (1 - 1e-9)
    assert all(best.speed_mm_s >= t.speed_mm_s for g in (1, 2, 3) if (t := top_speed_in(geared, load, g)))


def test_no_gear_holds_a_wall():
    with pytest.raises(ValueError, match="no gear can hold a steady speed"):
        top_speed(train(), RoadLoad(20000.0, 0.4, 2e6, grade=0.5))


def test_more_weight_moves_back_on_a_rear_drive_and_off_a_front_one():
    even = dict(mass=1000.0, driven=0.5, grip=0.8, height=500.0, wheelbase=2500.0, rolling=0.0)
    rear, front = wheel_slip_effort(**even, drive="rear"), wheel_slip_effort(**even, drive="front")
    flat = 0.8 * 0.5 * 1000.0 * 9.80665
    assert front < flat < rear
    # the weight on the driven axle with what has moved, times grip, is the push itself
    assert rear == pytest.approx(0.8 * (0.5 * 9806.65 + rear * 0.2))
    assert front == pytest.approx(0.8 * (0.5 * 9806.65 - front * 0.2))
    with pytest.raises(ValueError, match="lift the nose"):
        wheel_slip_effort(1000.0, 0.6, 2.0, 1000.0, 2500.0, "rear", 0.0)
    with pytest.raises(ValueError, match="drive is 'both'; write rear, front or all"):
        wheel_slip_effort(1000.0, 0.6, 1.0, 500.0, 2500.0, "both", 0.0)


@given(st.floats(300.0, 9000.0), st.floats(800.0, 3000.0), st.floats(0.0, 0.03))
def test_a_grade_that_is_climbed_takes_all_the_push(effort, mass, rolling):
    if not rolling < effort / (mass * 9.80665) < 0.95:
        return
    grade = work(find_sum("grade-climbed"), {"effort": effort, "mass": mass, "rolling": rolling}, {}).value
    along = math.atan(grade)
    assert mass * 9.80665 * (math.sin(along) + rolling * math.cos(along)) == pytest.approx(effort)


@pytest.mark.parametrize("changes, said", [
    ({"gears": (1.0, 2.0)}, "gear ratios must fall from first gear up, such as 3.2, 1.9, 1.3, 1.0; read 1, 2"),
    ({"gears": ()}, "a gearbox has 1 to 18 forward gears; 0 are given"),
    ({"shares": (0.9, 0.8)}, "shares must be one figure or one for each of the 3 gears; 2 are given"),
    ({"shares": (1.2,)}, "share handed on is 1.2"), ({"axle": 41.0}, "axle ratio is 41; it must lie between 1 and 15"),
    ({"low_range": 0.5}, "low range is 0.5"),
])  # fmt: skip
def test_train_is_refused(changes, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        train(**changes)


@pytest.mark.parametrize("name, values, said", [
    ("top-speed", {"power": 5e6, "mass": 1000.0, "cd": 0.3, "frontal": 2e6}, "would drive this past 500 km/h"),
    ("air-drag", {"speed": -1.0, "cd": 0.3, "frontal": 2e6}, "speed is -0.0036 km/h; it must lie between"),
    ("rolling-resistance", {"speed": 1.0, "mass": 0.0}, "mass is 0 kg"),
    ("converter-stall", {"stall": 250.0, "torque": 1e5, "engine": 1e6}, "engine torque over known torque is 10"),
    ("converter-torque-ratio", {"stall_ratio": 2.0, "speed_ratio": 1.2}, "speed ratio is 1.2"),
    ("grade-climbed", {"effort": 10.0, "mass": 1000.0}, "does not overcome the rolling resistance"),
    ("tractive-effort", {"torque": 1e5, "overall": 1000.0, "radius": 300.0}, "overall is 1000"),
    ("rpm-after-shift", {"engine": 0.0, "from_gear": 3.0, "to_gear": 2.0}, "engine is 0 rpm"),
    ("overdrive-cruise", {"speed": 1e4, "axle": 4.0, "circumference": 100.0}, "circumference is 100 mm"),
])  # fmt: skip
def test_sum_is_refused(name, values, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        work(find_sum(name), values, {})


def test_doubt_goes_through_top_speed():
    values = {"power": 1e5, "mass": 1400.0, "cd": 0.4, "frontal": 2.0e6}
    sure = work(find_sum("top-speed"), values, {"cd": 0.04})
    # nearly all drag: a tenth of cd is a thirtieth of the speed
    assert sure.sd == pytest.approx(sure.value / 30.0, rel=0.15)
