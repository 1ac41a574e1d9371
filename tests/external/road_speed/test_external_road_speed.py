"""Engineering page on vehicle speed and a post that works it; a tyre and gearing formula page; a forum question.
Edition: none given.

Place: v = 0.06 n U / (iG iv iA); 3000 rpm, 0.280 m, 43/11; 60 mph, 28 in, 4.10. Kind of check, row by row: another
route to the answer; from memory; published example.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_road_speed(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
