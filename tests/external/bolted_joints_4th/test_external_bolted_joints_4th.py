"""Introduction to the Design and Behavior of Bolted Joints. Edition: 4th.

Place: table of stress and shear areas of metric threads, seen in a published copy.
Kind of check, row by row: standard's table.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_bolted_joints_4th(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
