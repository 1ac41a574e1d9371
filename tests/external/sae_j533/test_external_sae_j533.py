"""SAE J533, Flares for Tubing. Edition: 2024, as excerpted. Kind of check: standard's table."""

from collections.abc import Callable
from typing import Any

import trialfit.standards.hose_ends  # noqa: F401


def test_value_of_sae_j533(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)
