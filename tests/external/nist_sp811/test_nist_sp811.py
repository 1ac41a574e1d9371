"""NIST Special Publication 811, 2008 edition, "Guide for the Use of the International System of Units", appendix B.8
(factors listed alphabetically) and B.9 (by kind of quantity); temperatures from the relations in B.8.

Kind of check: standard's table, recalled from memory. ``exact`` marks the factors printed in bold there. The row for
the second moment of area is printed in m4; here it stands in cm4 (a power of ten).
"""

import csv
from decimal import Decimal
from pathlib import Path

import pytest

from trialfit.units import in_unit, parse

ROWS = list(csv.DictReader((Path(__file__).parent / "nist_sp811.csv").open(encoding="utf-8")))


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['typed']} ({r['dimension']})")
def test_factor_agrees_to_the_last_printed_digit(row: dict[str, str]) -> None:
    got = in_unit(parse(row["typed"], row["dimension"]).value, row["si_unit"], row["dimension"])
    printed = Decimal(row["si_value"])
    if row["exact"] == "yes":
        assert got == pytest.approx(float(printed), rel=2e-15)
    else:
        half_a_digit = 0.5 * 10.0 ** int(printed.as_tuple().exponent)
        assert abs(got - float(printed)) <= half_a_digit * (1 + 1e-9)
