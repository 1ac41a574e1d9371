"""EN 10220, mass formula. Edition: 2002.

Place: M = 0.0246615 (D - T) T. Kind of check, row by row: from memory.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_en_10220(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
