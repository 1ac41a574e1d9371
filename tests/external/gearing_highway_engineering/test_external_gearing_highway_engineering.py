"""F. L. Mannering and S. S. Washburn, Principles of Highway Engineering and Traffic Analysis. Edition: 5th, 2013.

Place: chapter 2, examples 2.1 to 2.3. Kind of check: from memory. The book prints 133 ft/s for 2.1; its rolling
resistance 0.01 * (1 + V / 147 ft/s) is a growth of 62 % by 100 km/h.
"""

from collections.abc import Callable
from typing import Any


def test_value_of_highway_engineering(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
