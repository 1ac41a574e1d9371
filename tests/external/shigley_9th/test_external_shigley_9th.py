"""Shigley's Mechanical Engineering Design. Edition: 9th.

Place: example 4-17; example 7-5; table 8-15; examples 8-3, 8-4, 8-7, 9-2; table 9-1; figure 3-25. Kind of check,
row by row: from memory; published example. The critical speed of the bare shaft of example 7-5 is from memory of
the book.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_shigley_9th(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
