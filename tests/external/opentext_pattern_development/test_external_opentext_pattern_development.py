"""Parallel Line Pattern Development, chapter Round Elbow, an open textbook; a school page on the net of a frustum.
Edition: none given.

Place: round elbow; frustum of diameters 8 and 5 in, height 4 in; the bend, pie-cut and saddle rows are from memory
(geometry). Kind of check, row by row: from memory; published example. The saddle rows are answered again by meeting
two cylinders, the bend rows by adding up a drawn arc.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_opentext_pattern_development(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
