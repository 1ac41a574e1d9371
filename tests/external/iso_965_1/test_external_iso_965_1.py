"""Limits of metric threads after ISO 965-1 and ASME B1.13M. Edition: none given.

Place: chart of external threads M profile; a tap maker's table of pitch diameter tolerances 4H, 5H, 6H, 6G (maker
withheld), each added to the basic pitch diameter printed in the same maker's list of sizes. Kind: standard's table.
"""

from collections.abc import Callable
from typing import Any

import trialfit.standards.thread_tolerances  # noqa: F401


def test_value_of_iso_965_1(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
