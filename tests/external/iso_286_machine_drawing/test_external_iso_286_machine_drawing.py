"""ISO 286-1 as printed in Machine Drawing, K. L. Narayana, P. Kannaiah, K. Venkata Reddy. Edition: none given.

Place: tables 15.1, 15.2, 15.3 (the upper deviations with delta added from the same table). Kind: standard's table.
"""

from collections.abc import Callable
from typing import Any

import trialfit.standards.fits  # noqa: F401


def test_value_of_iso_286_machine_drawing(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
