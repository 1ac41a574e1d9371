"""Shigley's Mechanical Engineering Design, solutions manual. Edition: 8th.

Place: problems 8-22 to 8-27 and page 221, seen as published copies. Kind of check, row by row: published example.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_shigley_8th_solutions(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
