"""Mechanics of Materials, chapter 13, example 13.1; torsion formula of a lesson on torsion. Edition: none given.

Place: example 13.1: steel tube, radii 75 and 70 mm, 7.2 m, 200 GPa. Kind of check, row by row: another route to the
answer; published example.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_mechanics_of_materials(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
