"""Torque that decides the joint series, and slip: a service manual's formulas in its own units. Edition: none given.

Place: driveshaft torque (maker withheld); the formulas are printed, the figures were worked from them by hand. Kind:
another route to the answer.
"""

from collections.abc import Callable
from typing import Any

import trialfit.driveline.engagement
import trialfit.driveline.torque_seen  # noqa: F401


def test_value_of_shaft_trade(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
