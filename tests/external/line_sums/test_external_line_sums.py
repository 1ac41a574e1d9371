"""Single worked figures for lines and exhaust joints. Kind of check, row by row."""

from collections.abc import Callable
from typing import Any

import trialfit.standards.pipe_joints
import trialfit.standards.tube_sizes  # noqa: F401


def test_value_of_line_sums(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
