"""A marque club's note on backspacing, an owner's account of his own 18x10 wheels, and a car care article.
Edition: none given.

Place: the notes' own examples. Kind of check, row by row: published example. The car care article calls the nominal
8.5 in the overall width; its 4.75 in holds with lips of half an inch.
"""

from collections.abc import Callable
from typing import Any

import trialfit.mates.wheel_place  # noqa: F401


def test_value_of_wheel_offset_texts(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
