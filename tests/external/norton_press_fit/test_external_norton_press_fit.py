"""Machine Design, An Integrated Approach, R. L. Norton. Edition: 4th.

Place: example 10-5, bearing pressure of an interference fit. Kind: published example.
"""

from collections.abc import Callable
from typing import Any

import trialfit.standards.fits  # noqa: F401


def test_value_of_norton_press_fit(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
