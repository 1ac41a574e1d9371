"""Turns tests as three pages tell them.

Works: how-to page on axle ratios; car repair guide; hot-rod notes on checking an axle ratio, whose table is for two
turns of one wheel, the other standing: 2 3/4 turns is 2.73, 3 1/3 is 3.23 or 3.31, 3 3/4 is 3.73. Edition: none given.
Kind of check: published example.
"""

from collections.abc import Callable
from typing import Any

import pytest

from trialfit.driveline import common_axle_ratios, turns_test


def test_value_of_turns_test(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)


@pytest.mark.parametrize("shaft, names", [(2.75, {"2.73"}), (10 / 3, {"3.31", "3.23"}), (3.75, {"3.73"})])
def test_two_turns_of_one_wheel(shaft, names):
    told = turns_test(shaft, 2.0, 0.0).readings[0]
    assert told.differential == "open"
    assert names <= {c.name for c in told.likely}


@pytest.mark.parametrize("common", common_axle_ratios(), ids=lambda c: c.name)
def test_teeth_give_the_ratio_they_are_called_by(common):
    """Kind: another route to the answer; the names are the trade's, the teeth from memory."""
    assert common.ring_teeth / common.pinion_teeth == pytest.approx(float(common.name), abs=0.0051)
