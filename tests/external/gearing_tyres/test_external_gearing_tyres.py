"""Tyre sizes and turns from pages of the trade, and minimum size factors of FMVSS 109 from two letters of its
authority.

Edition: letters of 1974 and 1976; none given for the rest. Place: 7.60-15 (section 7.90, factor 36.05 in) and 175R13
(6.75, 30.30 in); 12.00R20 of a programming manual, 470 turns a mile. Kind of check, row by row: published example; from
memory; standard's table.
"""

from collections.abc import Callable
from typing import Any

import pytest

from trialfit.driveline import tyre_from_code
from trialfit.standards import table


def test_value_of_tyres(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)


@pytest.mark.parametrize("code, factor_in, width_in", [("7.60-15", 36.05, 7.90), ("175R13", 30.30, 6.75)])
def test_old_sizes_stand_just_over_the_least_size_factor_of_fmvss_109(code, factor_in, width_in):
    """The factor is diameter plus section width; a tyre must reach it, and designs lie some 2 % over it."""
    rows = table("tyres_old_codes")
    designed = (rows.number(code, "diameter_mm") + rows.number(code, "width_mm")) / 25.4
    assert factor_in <= designed <= 1.03 * factor_in
    assert rows.number(code, "width_mm") / 25.4 == pytest.approx(width_in, rel=0.05)


def test_a_lorry_tyre_turns_as_often_as_its_maker_says():
    """A new 12.00 R 20 turns 470 times a mile."""
    assert 1609344.0 / tyre_from_code("12.00R20").circumference_mm == pytest.approx(470.0, abs=2.0)


def test_flat_under_load_as_an_engineering_page_works_it():
    """P215/65R15: radius 330.25 mm, 0.96 of the circle, 1991.01 mm with 3.14 for pi."""
    found = tyre_from_code("P215/65R15", "0.96 of the circle for the flat under load")
    assert found.circumference_mm == pytest.approx(1991.01, rel=0.001)
