"""Directive 2014/32/EU, annex X (MI-008), chapter I. Edition: 2014.

Place: maximum permissible errors. Kind of check, row by row: common practice (no source); standard's table.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_directive_2014_32_eu(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
