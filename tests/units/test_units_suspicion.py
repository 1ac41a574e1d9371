"""Lengths that stand alone among their like."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialfit.units import neighbours_suspicion


@pytest.mark.parametrize("value, others, sentence", [
    (24.1, [612.0, 613.0], ("24.1 mm is 25.4 times smaller than its neighbours (about 612.5 mm): "
                           "were inches read as millimetres?")),
    (15544.8, [612.0, 613.0], ("15544.8 mm is 25.4 times larger than its neighbours (about 612.5 mm): "
                              "were millimetres read as inches?")),
    (61.2, [612.0, 640.0], ("61.2 mm is 10 times smaller than its neighbours (about 626 mm): "
                           "is a digit missing, or were centimetres read as millimetres?")),
    (-6120.0, [-612.0, 640.0], ("-6120 mm is 10 times larger than its neighbours (about 626 mm): "
                               "is there a digit too many?")),
    (24.1, [612.0], ("24.1 mm is 25.4 times smaller than its neighbours (about 612 mm): "
                    "were inches read as millimetres?")),
])
def test_named_aloud(value: float, others: list[float], sentence: str) -> None:
    assert neighbours_suspicion(value, others) == sentence


@pytest.mark.parametrize("value, others", [
    (611.0, [612.0, 613.0]), (300.0, [612.0, 613.0]), (1800.0, [612.0, 613.0]), (0.0, [612.0]), (612.0, []),
    (24.1, [24.0, 612.0]), (60.0, [100.0, 3000.0]), (24.1, [0.0]), (3.0, [612.0, 613.0]),
])
def test_left_in_peace(value: float, others: list[float]) -> None:
    assert neighbours_suspicion(value, others) is None


@given(st.floats(50.0, 5000.0), st.lists(st.floats(0.95, 1.05), min_size=1, max_size=6))
def test_a_slip_of_25_4_is_always_seen_and_the_truth_never_blamed(true: float, spread: list[float]) -> None:
    others = [true * s for s in spread]
    assert neighbours_suspicion(true, others) is None
    for slipped, word in ((true / 25.4, "25.4 times smaller"), (true * 25.4, "25.4 times larger"),
                          (true / 10.0, "10 times smaller"), (true * 10.0, "10 times larger")):
        told = neighbours_suspicion(slipped, others)
        assert told is not None
        assert word in told
