"""Weight sheet of a steel tube supplier. Edition: none given.

Place: weights by outside diameter and wall. Kind of check, row by row: published example.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_tube_weight_sheet(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
