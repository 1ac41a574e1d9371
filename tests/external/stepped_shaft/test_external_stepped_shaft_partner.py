"""Worked question 9.6 on a stepped shaft, by finite elements. Kind: another route to the answer."""

import math

import pytest


def test_light_stepped_shaft_with_a_weight_in_the_middle(shell, beam):
    parts, weight = 24, 400.0
    stiffness = [200e9 * 0.3e-6 * (2.0 if parts // 4 <= n < 3 * parts // 4 else 1.0) for n in range(parts)]
    # the shaft itself is taken as light in the question: a hair of mass keeps the elements regular
    rate = beam(stiffness, [1e-5] * parts, [1.0 / parts] * parts, {0, 2 * parts}, {parts // 2: weight / 9.80665})[0]
    told = shell("whirl-from-sag", "sag=0.078125 mm", "rpm")
    assert told == pytest.approx(rate * 30.0 / math.pi, rel=1e-4)
