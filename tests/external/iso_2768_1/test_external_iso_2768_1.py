"""ISO 2768-1 general tolerances. Edition: 1989.

Place: tables of linear and angular sizes, in published copies; one copy prints 0.15 and 0.2 mm for the two smallest
steps of c, two print 0.2 and 0.3. Kind: standard's table.
"""

from collections.abc import Callable
from typing import Any

import trialfit.standards.general_tolerances  # noqa: F401


def test_value_of_iso_2768_1(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
