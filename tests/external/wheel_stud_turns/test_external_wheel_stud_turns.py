"""Owners' forum accounts of wheel studs, and a tyre shop's page quoting a least engagement of one diameter.
Edition: none given.

Place: turns counted for one and one and a half diameters. Kind of check, row by row: published example; another route
to the answer (turns per inch times inches).
"""

from collections.abc import Callable
from typing import Any

import trialfit.mates.stud  # noqa: F401


def test_value_of_wheel_stud_turns(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
