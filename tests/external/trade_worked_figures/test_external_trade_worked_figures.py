"""Figures worked from geometry and mechanics when the trade rules were gathered. Edition: none given.

Place: slip joint travel; whirling of thin tube; joint angle against speed. Kind of check, row by row: another route
to the answer. The table of joint angle against speed is a shop's; it follows a steady acceleration only within 7 %,
so it is tested apart.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_trade_worked_figures(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
