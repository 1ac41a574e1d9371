"""ASME B1.20.1, basic dimensions of taper pipe threads. Edition: 1983.

Place: a pipe supplier's copy of the table of basic dimensions (supplier withheld); its 0.0478 for 3/8 is a slip, its
other copy says 0.4078. Kind: standard's table.
"""

from collections.abc import Callable
from typing import Any

import trialfit.standards.pipe_threads  # noqa: F401


def test_value_of_asme_b1_20_1(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
