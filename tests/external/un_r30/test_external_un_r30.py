"""UN Regulation No. 30. Edition: revision 3.

Place: 6.1.1.1 (quoted text) and 6.1.2 (from memory). Kind of check, row by row: from memory; standard's table.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_un_r30(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
