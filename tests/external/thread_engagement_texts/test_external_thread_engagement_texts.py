"""Two generic texts on thread engagement after FED-STD-H28. Edition: none given.

Place: arithmetic examples, not real bolts. Kind of check, row by row: published example.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_thread_engagement_texts(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
