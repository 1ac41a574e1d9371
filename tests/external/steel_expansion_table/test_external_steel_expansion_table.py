"""Table of linear expansion coefficients of steels; stainless data sheets. Edition: none given.

Place: mean coefficient 0 to 100 degC; mean to 538 degC (from memory); growth of a 3 m run by textbook coefficients.
Kind of check, row by row: another route to the answer; from memory; standard's table. One metre warmed by 100 K
grows by a tenth of the coefficient.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_steel_expansion_table(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
