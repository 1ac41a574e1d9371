"""ISO 898-1, loads of coarse threads. Edition: 2013, through published copies of its tables.

Place: proof loads and least breaking loads. Kind of check, row by row: standard's table.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_iso_898_1_loads(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
