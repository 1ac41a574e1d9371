"""A wheel repairer's ratios of stud circle to stud distance, a trailer tyre page's chart of 5-stud patterns, and a
wheel seller's factor for 5 studs. Edition: none given.

Place: the pages' own tables. Kind of check, row by row: published example; another route to the answer. The chart is
rounded to an eighth of an inch, so its tolerance is the circle's share of half an eighth. The repairer's ratio for 10
studs has a slip in its last digit (3.23604 for 3.23607).
"""

from collections.abc import Callable
from typing import Any

import trialfit.mates.bolt_circle  # noqa: F401


def test_value_of_wheel_stud_circles(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
