"""SAE J429, in Mechanical Engineering Design. Edition: 5th edition of the book.

Place: p. 341; and a solved question on six 1/2-13 grade 8 bolts (D06-21). Kind of check, row by row: published
example.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_sae_j429(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
