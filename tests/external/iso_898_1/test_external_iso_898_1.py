"""ISO 898-1, Mechanical properties of fasteners. Edition: 2013, through published copies of its tables.

Place: property classes; minimum ultimate tensile loads, coarse thread; tightening torques after it. Kind of check,
row by row: standard's table. Torques are from a table after the standard, whose K is about 0.18; the tolerance
allows for that.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_iso_898_1(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
