"""Worked example and formula of two tyre trade pages. Edition: none given.

Place: 225/45R17 worked through; diameter = 2 * section height + rim; revolutions per mile. Kind of check, row by
row: another route to the answer; from memory; published example.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_tyre_size_code(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
