"""ISO 7-1 and ISO 228-1 pipe threads. Edition: none given.

Place: table of basic sizes in Mechanical Engineer's Pocket Book, 4.1.38; an older national table of the parallel
thread, which rounds a thousandth apart. Kind: standard's table.
"""

from collections.abc import Callable
from typing import Any

import trialfit.standards.pipe_threads  # noqa: F401


def test_value_of_iso_7_1(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
