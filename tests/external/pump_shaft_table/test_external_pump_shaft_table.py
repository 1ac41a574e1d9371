"""A table of standard pump shafts, maker withheld. Edition: as quoted.

Place: sizes A, B, C, D and F, teeth, pitch and outside of the spline. Kind of check, row by row: published example.
"""

from collections.abc import Callable
from typing import Any

import trialfit.standards.splines  # noqa: F401


def test_value_of_pump_shaft_table(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
