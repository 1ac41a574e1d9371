"""A published list of bolt patterns in inches and in millimetres. Edition: none given.

Place: its one table, raw. Kind of check: published example, row by row. Inches are rounded to a hundredth there, a few
of them carelessly, and 4.75 in is given as 120.7 mm.
"""

import csv
from pathlib import Path

import pytest

from trialfit.standards.wheels import bolt_circles

ROWS = [
    (int(row["count"]), float(row["inch"]), float(row["mm"]))
    for row in csv.DictReader(
        line for line in Path(__file__).with_name("values.csv").read_text(encoding="utf-8").splitlines()
        if not line.startswith("#")
    )
]


@pytest.mark.parametrize("count, inch, mm", ROWS)
def test_circle_of_the_list_is_held(count: int, inch: float, mm: float) -> None:
    nearest = min((c for c in bolt_circles() if c.count == count), key=lambda c: abs(c.circle_mm - mm))
    assert nearest.circle_mm == pytest.approx(mm, abs=0.05001)
    assert nearest.circle_mm / 25.4 == pytest.approx(inch, abs=0.02)
