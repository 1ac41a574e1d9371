"""Tyre codes as people write them, and road speeds."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialfit.driveline import (
    axle_ratio_for_speed,
    engine_speed,
    road_speed,
    rolling_circumference,
    tyre_diameter,
    tyre_size,
)
from trialfit.sums import find_sum, work


@pytest.mark.parametrize("typed", [
    "225/45R17", "225/45 R17", "225/45ZR17", "225/45r17", " 225/45 R 17 94W ", "225/45R17 94W XL", "225/45 ZR17 (94Y)",
    "P225/45R17", "225/45-17", "225/45B17", "225/45R17C",
])  # fmt: skip
def test_spellings_of_one_size(typed):
    assert tyre_diameter(typed, "none") == pytest.approx(634.3)


@pytest.mark.parametrize("typed,mm", [
    ("31x10.50R15", 787.4), ("31X10.50R15LT", 787.4), ("33x12.50-15LT", 838.2), ("35 x 12.5 R 17", 889.0),
    ("31x10.50R15LT 109S", 787.4),
])  # fmt: skip
def test_flotation_code_gives_the_diameter_itself(typed, mm):
    assert tyre_diameter(typed, "none") == pytest.approx(mm)
    with pytest.raises(ValueError, match="UN R30's rounding does not hold"):
        tyre_diameter(typed, "un-r30")


@pytest.mark.parametrize("typed,said", [
    ("225/45", "tyre code '225/45' has no rim diameter; write it as on the sidewall: 225/45R17"),
    ("205R16", "tyre code '205R16' has no aspect ratio, so it does not tell the diameter"),
    ("7.00R16", "tyre code '7.00R16' has neither aspect ratio nor diameter"),
    ("225/45R9", "'225/45R9' is no tyre code; write it as on the sidewall"),
    ("225/45R99", "rim in '225/45R99' is 99; it must lie between 10 and 26"),
    ("999/45R17", "section width in '999/45R17' is 999 mm; it must lie between 125 mm and 395 mm"),
    ("225/99R17", "aspect in '225/99R17' is 99; it must lie between 25 and 95"),
    ("225/05R17", "aspect in '225/05R17' is 5"),
    ("60x10.50R15", "diameter in '60x10.50R15' is 60 in; it must lie between 22 in and 44 in"),
    ("31x30.50R15", "width in '31x30.50R15' is 30.5 in"),
    ("23x10.50R22", "diameter in '23x10.50R22' is 23 in; it must be at least"),
    ("225/45R17; rm", "is no tyre code"), ("", "'' is no tyre code"), ("45/225R17", "is no tyre code"),
    ("2 2 5", "is no tyre code"), ("225/45RR17", "is no tyre code"), ("२२५/45R17", "is no tyre code"),
])  # fmt: skip
def test_code_is_refused(typed, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        tyre_size(typed)


def test_rounding_is_refused_where_the_table_stops():
    with pytest.raises(ValueError, match=r"has no code '17\.5'"):
        tyre_diameter("225/75R17.5", "un-r30")
    with pytest.raises(ValueError, match="rounding is 'up'; write none or un-r30"):
        tyre_diameter("225/45R17", "up")


@given(st.integers(26, 78).map(lambda n: 5 * n), st.integers(5, 16).map(lambda n: 5 * n), st.integers(12, 22))
def test_rounded_and_plain_diameter_stay_close(width, aspect, rim):
    code = f"{width}/{aspect}R{rim}"
    assert abs(tyre_diameter(code, "un-r30") - tyre_diameter(code, "none")) <= 1.5


@given(st.floats(50.0, 700.0), st.floats(2.0, 6.0), st.floats(400.0, 900.0), st.floats(0.5, 4.0), st.floats(0.5, 3.0))
def test_speed_engine_speed_and_axle_ratio_undo_one_another(engine, axle, diameter, gear, transfer):
    speed = road_speed(engine, axle, diameter, gear, transfer)
    assert engine_speed(speed, axle, diameter, gear, transfer) == pytest.approx(engine)
    assert axle_ratio_for_speed(engine, speed, diameter, gear, transfer) == pytest.approx(axle)


def test_one_turn_of_the_wheel_is_one_circumference():
    # one turn a second, everything one to one
    from math import pi

    assert road_speed(2.0 * pi, 1.0, 600.0, 1.0, 1.0) == pytest.approx(rolling_circumference(600.0, "circle"))


def test_a_loaded_tyre_rolls_less_than_its_circle():
    assert rolling_circumference(634.0, "bias") < rolling_circumference(634.0, "radial")
    assert rolling_circumference(634.0, "radial") < rolling_circumference(634.0, "circle")


@pytest.mark.parametrize("name,values,said", [
    ("road-speed", {"engine": 300.0, "axle": 41.0, "diameter": 600.0},
     "axle ratio is 41; it must lie between 0.2 and 20"),
    ("road-speed", {"engine": 0.0, "axle": 4.1, "diameter": 600.0}, "engine is 0 rpm; it must be more than 0 rpm"),
    ("axle-ratio-for-speed", {"engine": 1.0, "speed": 0.0, "diameter": 600.0}, "speed is 0 km/h"),
    ("gear-ratio-from-teeth", {"driven": 41.5, "driving": 10.0}, "driven teeth are 41.5; count whole teeth"),
    ("gear-ratio-from-teeth", {"driven": 41.0, "driving": 0.0}, "driving teeth is 0; it must lie between 5 and 150"),
    ("speedometer-error", {"shown": 100.0, "true": 0.0}, "true is 0 km/h; it must be more than 0 km/h"),
    ("rolling-circumference", {"diameter": 100.0}, "diameter is 100 mm; it must lie between 300 mm and 1500 mm"),
    ("rolling-circumference", {"diameter": 600.0, "layout": "square"},
     "layout is 'square'; write radial, bias or circle"),
    ("section-width-on-rim", {"width": 225.0, "rim": 300.0, "measuring_rim": 190.0},
     "rim less measuring rim is 110 mm"),
    ("tyre-turns", {"distance": 1.0, "circumference": 0.0}, "circumference is 0 mm"),
    ("tyre-circumference-from-turns", {"distance": 1.0, "turns": 0.0}, "turns is 0; it must be more than 0"),
])  # fmt: skip
def test_refused(name, values, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        work(find_sum(name), values, {})
