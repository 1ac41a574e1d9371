"""ISO 965-1 and ASME B1.1, limits of threads. Edition: through published lists, seen.

The lists round the minor diameter of inch nuts to a thousandth. Kind: standard's table.
"""

import csv
from pathlib import Path

import pytest

from trialfit.standards import thread_called
from trialfit.standards.thread_tolerances import class_limits, usual_class

LINES = [
    line
    for line in Path(__file__).with_name("values.csv").read_text(encoding="utf-8").splitlines()
    if not line.startswith("#")
]


@pytest.mark.parametrize("row", list(csv.DictReader(LINES)), ids=lambda r: f"{r['thread']} {r['size']}")
def test_limit(row):
    inside = "inside" in row["size"]
    limits = class_limits(row["thread"], usual_class(thread_called(row["thread"]), inside))
    pitch = "pitch" in row["size"]
    if inside:
        found = limits.pitch_high_mm if pitch else limits.crest_high_mm
    else:
        found = limits.pitch_low_mm if pitch else limits.crest_low_mm
    inch = 25.4 if row["unit"] == "in" else 1.0
    assert found / inch == pytest.approx(float(row["printed"]), abs=float(row["tolerance"]))
