"""ASME B1.1 values in a table of UNF threads. Edition: none given.

Place: tensile stress area. Kind of check, row by row: standard's table.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_asme_b1_1(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
