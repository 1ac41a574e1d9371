"""T. D. Gillespie, Fundamentals of Vehicle Dynamics. Edition: 1st, 1992.

Place: chapter 2, example on the tractive effort in first and fifth gear. Kind of check: from memory.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_vehicle_dynamics(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
