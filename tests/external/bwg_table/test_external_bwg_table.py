"""Birmingham wire gauge, as listed in engineering tables. Edition: none given.

Place: wall by gauge number. Kind of check, row by row: standard's table.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_bwg_table(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
