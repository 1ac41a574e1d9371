"""A sheet of sizes worked after DIN 5480. Edition: 2006 standard, the sheet as published.

Place: reference diameter 6 mm, module 0.8 mm, 6 teeth. Kind of check: published example.
"""

import csv
from pathlib import Path

import pytest

from trialfit.standards.splines import reference_spline

SHAFT, HUB = reference_spline("W6x0.8x6"), reference_spline("N6x0.8x6")
TOLD = {
    "profile shift times module": SHAFT.shift * SHAFT.module_mm,
    "pitch diameter": SHAFT.module_mm * SHAFT.teeth,
    "tip of the shaft": SHAFT.tip_mm,
    "root of the shaft (broached or hobbed)": SHAFT.root_mm,
    "tip of the hub": HUB.tip_mm,
    "root of the hub": HUB.root_mm,
}
HERE = Path(__file__).with_name("values.csv")
LINES = [line for line in HERE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
ROWS = list(csv.DictReader(LINES))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["what"])
def test_value_of_the_sheet(row):
    assert TOLD[row["what"]] == pytest.approx(float(row["expected"]), abs=0.0005)


def test_every_value_is_held():
    assert {row["what"] for row in ROWS} == set(TOLD)
