"""Introduction to the Design and Behavior of Bolted Joints, table of metric stress areas; ISO 898-1 for the fine
pitches. Edition: 4th.

Place: stress area table (its M12 pitch is misprinted as 1; the area is that of 1.75). Kind of check, row by row:
from memory; standard's table.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_iso_261_stress_area(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
