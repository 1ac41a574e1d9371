"""Limits of fits in makers' tables and worked examples. Edition: none given.

Place: H7 in a page on the standard; h4 to h9 in a tool holder maker's shaft table; m6 of dowel pins; f9 of shoulder
screws (sizes there, less the nominal); 50 H7/s6 in a machine design text, example 3.3; 64 H8/f7 in an examination
question. Kind, row by row.
"""

from collections.abc import Callable
from typing import Any

import trialfit.standards.fits  # noqa: F401


def test_value_of_iso_286_limits(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
