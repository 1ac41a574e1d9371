"""Review notes on machine design. Edition: as published.

Place: problem M1a. Kind of check, row by row: published example.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_machine_design_review(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
