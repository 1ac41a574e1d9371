"""Worked question 9.6 on a stepped shaft. Edition: none given.

Place: deflection formula printed: 3 W L^3 / (256 E I); W = 400 N, L = 1 m, I = 0.3e-6 m4 at the ends and twice that
in the middle, E = 200 GPa. Kind of check, row by row: another route to the answer. Answered again by a beam of
finite elements.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_stepped_shaft(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
