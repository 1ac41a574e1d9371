"""Clearance holes of ISO 273 and ASME B18.2.8. Edition: 1979; 1999.

Place: a published table after ISO 273; Machinery's Handbook, 31st ed., p. 1741, least hole of the loose fit. Kind:
standard's table.
"""

from collections.abc import Callable
from typing import Any

import trialfit.standards.clearance_holes  # noqa: F401


def test_value_of_iso_273(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
