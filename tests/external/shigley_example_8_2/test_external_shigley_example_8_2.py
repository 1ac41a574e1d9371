"""Shigley's Mechanical Engineering Design. Edition: 9th.

Place: example 8-2; the page with its dimensions was seen, its answers are from memory.
Kind of check, row by row: from memory.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_shigley_example_8_2(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
