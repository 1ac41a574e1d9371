"""Limits of unified threads after ASME B1.1. Edition: none given.

Place: a tap maker's table of nut threads 2B and 3B in millimetres (maker withheld); a copy of the standard's table of
limits at 5/8 in, external threads. Kind: standard's table. The tolerances allow for the rounding of the inch values.
"""

from collections.abc import Callable
from typing import Any

import trialfit.standards.thread_tolerances  # noqa: F401


def test_value_of_asme_b1_1_classes(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
