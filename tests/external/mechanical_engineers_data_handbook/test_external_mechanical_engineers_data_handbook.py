"""Mechanical Engineer's Data Handbook. Edition: as published.

Place: p. 45. Kind of check, row by row: another route to the answer. The constants are printed; the two speeds were
worked from them apart from this program.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_mechanical_engineers_data_handbook(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
