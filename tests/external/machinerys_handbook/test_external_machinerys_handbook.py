"""Machinery's Handbook steel-shaft formula, as quoted in a supplier's design note. Edition: none given.

Place: first critical speed of a uniform simply supported shaft. Kind of check, row by row: another route to the
answer. The printed constants are 4 768 668 d/L^2 (solid) and 19 074 672.75 k/L^2 (by radius of gyration), inches
and rpm.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_machinerys_handbook(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
