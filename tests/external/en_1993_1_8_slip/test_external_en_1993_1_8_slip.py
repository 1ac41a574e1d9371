"""EN 1993-1-8, slip resistance of preloaded bolts. Edition: through a steel maker's published table.

Place: 3.9, class 8.8, serviceability. Kind of check, row by row: standard's table.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_en_1993_1_8_slip(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
