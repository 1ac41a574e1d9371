"""Fastener catalogue, recommended length of thread engaged in tapped holes. Edition: as published, seen.

Place: class 8.8, coarse thread, trials with M6 to M16. Kind of check, row by row: published example. The house goes by
a shear ratio of 0.5 and so asks for a fifth more.
"""

from collections.abc import Callable
from typing import Any

from trialfit.standards import rule
from trialfit.structure import thread_engagement_mixed


def test_value_of_tapped_hole_lengths(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)


def test_the_rule_in_force_asks_for_more_than_the_trials() -> None:
    ratio = rule("thread-shear-ratio").in_force.value
    assert thread_engagement_mixed("M10", 800.0, 360.0, ratio) > 10.0
    assert thread_engagement_mixed("M10", 800.0, 180.0, ratio) > 20.0
