"""A builder's account of lining up a bell housing. Edition: as quoted.

Place: its limit on the dial, and its worked example of an offset dowel. Kind of check: published example.
"""

from collections.abc import Callable
from typing import Any

import trialfit.mates.gearbox  # noqa: F401


def test_value_of_bell_housing_account(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
