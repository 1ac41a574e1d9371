"""Texts and solved questions on the Hooke joint. Edition: none given.

Place: speed ratio and turn; swing of 100 rpm at 1200 rpm (the page prints 16.2 deg, its own cosine gives 16.42);
two joints wrongly phased, 500 rpm and 20 deg, 566.25 rpm printed. Kind of check, row by row: another route to the
answer; from memory; published example. What is from memory is answered again by turning yokes in space and by the
statics of the cross.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_hooke_joint(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
