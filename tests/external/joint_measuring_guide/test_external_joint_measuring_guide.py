"""A bearing maker's guide to measuring universal joints. Edition: as quoted, maker withheld.

Place: its example of a series. Kind of check: published example.
"""

import csv
from pathlib import Path

import pytest

from trialfit.standards.joint_series import series_called

HERE = Path(__file__).with_name("values.csv")
LINES = [line for line in HERE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]


@pytest.mark.parametrize("row", list(csv.DictReader(LINES)), ids=lambda row: f"{row['series']} {row['what']}")
def test_value_of_the_guide(row):
    ours = series_called(row["series"])
    told = ours.cap_mm if row["what"] == "cap" else ours.span_mm
    assert told / 25.4 == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))
