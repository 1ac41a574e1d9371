"""Amounts as text."""

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialfit.units import UnitsError, both_systems, in_unit, inch_length_text, length_text, parse, show

# Worked by hand from the exact inch.
INCHES = [
    (88.9, 16, "3 1/2 in"), (-88.9, 16, "-3 1/2 in"), (1287.0, 32, "50 21/32 in +0.3 mm"),
    (1287.0, 16, "50 11/16 in -0.5 mm"), (-1287.0, 32, "-50 21/32 in -0.3 mm"), (0.0, 16, "0 in"),
    (0.3, 16, "0 in +0.3 mm"), (-0.3, 16, "0 in -0.3 mm"), (11.1125, 16, "7/16 in"), (25.39, 16, "1 in"),
    (25.4, 16, "1 in"), (304.8, 16, "12 in"), (25.0, 16, "1 in -0.4 mm"), (0.79375, 32, "1/32 in"),
]


@pytest.mark.parametrize("mm, fraction, text", INCHES)
def test_inches_with_the_remainder(mm: float, fraction: int, text: str) -> None:
    assert inch_length_text(mm, fraction) == text


@given(st.floats(-9000.0, 9000.0), st.sampled_from([8, 16, 32, 64]))
def test_fraction_and_remainder_add_up(mm: float, fraction: int) -> None:
    text = inch_length_text(mm, fraction)
    found = re.fullmatch(r"(-?)([0-9 /]+) in(?: ([+-][0-9.]+) mm)?", text)
    assert found is not None
    marks = sum(Fraction(part) for part in found[2].split())
    assert marks.denominator <= fraction
    rest = float(found[3] or 0.0)
    total = float(marks * Fraction("25.4")) * (-1 if found[1] else 1) + rest
    assert total == pytest.approx(mm, abs=0.0501)
    assert abs(rest) <= 25.4 / fraction / 2 + 0.0501
    if marks and not rest:
        assert parse(f"{found[1]}{found[2]} in", "length").suspicions == ()
    mirrored = inch_length_text(-mm, fraction)
    swap = str.maketrans("+-", "-+")
    rests = (text.partition(" in")[2].translate(swap), mirrored.partition(" in")[2])
    assert rests[0] == rests[1]


def test_only_fractions_that_tapes_have() -> None:
    with pytest.raises(ValueError, match="inches are shown in 2, 4, 8, 16, 32 or 64 parts, not 10"):
        inch_length_text(88.9, 10)


def test_the_builders_system_or_both() -> None:
    assert length_text(88.9, "metric") == "88.9 mm"
    assert length_text(88.9, "inch") == "3 1/2 in"
    assert both_systems(1287.0, 32) == ("1287.0 mm", "50 21/32 in +0.3 mm")
    with pytest.raises(ValueError, match="metric or inch, not 'imperial'"):
        length_text(88.9, "imperial")


@pytest.mark.parametrize("value, unit, digits, text", [
    (88.9, "in", None, "3.5 in"), (1.8, "bar", None, "18 bar"), (1.8, "psi", 1, "261.1 psi"),
    (233.15, "degF", None, "-40 degF"), (0.0436332313, "deg", 2, "2.50 deg"), (12.2e-6, "1/K", None, "1.22e-5 1/K"),
    (4.1, "", None, "4.1"),
    (4.1, "-", 2, "4.10"), (0.35, "%", None, "35 %"), (-0.0004, "mm", 1, "0.0 mm"), (-0.0, "mm", None, "0 mm"),
    (47453.62819159901, "ft-lb", 0, "35 lbf*ft"), (314.1592653589793, "rpm", 0, "3000 rpm"),
    (123456.0, "mm", None, "123456 mm"), (1234567.0, "mm", 0, "1234567 mm"),
])
def test_shown_in_a_unit(value: float, unit: str, digits: int | None, text: str) -> None:
    assert show(value, unit, digits) == text


def test_a_difference_of_temperature_is_no_temperature() -> None:
    assert show(5.0, "degF", 1, "temperature-difference") == "9.0 degF"
    assert in_unit(273.15, "degC") == 0.0


@given(st.floats(-1e6, 1e6).filter(lambda v: v == 0.0 or abs(v) > 1e-3),
       st.sampled_from(["mm", "in", "ft", "N", "lbf", "psi", "deg", "rpm", "kg/m3"]))
def test_what_is_shown_is_read_back(value: float, unit: str) -> None:
    assert parse(show(value, unit)).value == pytest.approx(value, rel=6e-6)


def test_an_unknown_unit_is_answered_with_the_nearest() -> None:
    with pytest.raises(UnitsError, match="no unit is called 'lbft'"):
        show(1.0, "lbft")
