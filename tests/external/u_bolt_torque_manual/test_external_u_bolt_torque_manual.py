"""A truck maintenance manual and a spring shop's list of U-bolt torques in N*m. Edition: as quoted, makers withheld.

Place: torque of high nuts on spring U-bolts; greatest torque plated and bare. Kind of check: published example.
"""

import csv
from pathlib import Path

import pytest

from trialfit.standards.u_bolts import u_bolt_torques

HERE = Path(__file__).with_name("values.csv")
LINES = [line for line in HERE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]


@pytest.mark.parametrize("row", list(csv.DictReader(LINES)), ids=lambda row: f"{row['thread']} {row['words']}")
def test_torque_as_printed(row):
    (told,) = [t for t in u_bolt_torques(row["thread"], row["grade"]) if t.words == row["words"]]
    assert told.low_nmm / 1e3 == pytest.approx(float(row["low"]), abs=float(row["tolerance"]))
    assert told.high_nmm / 1e3 == pytest.approx(float(row["high"]), abs=float(row["tolerance"]))
