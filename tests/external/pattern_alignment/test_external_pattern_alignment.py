"""One hole pattern on another against a general library's solution of Wahba's problem. Edition: scipy as installed.

Place: scipy.spatial.transform.Rotation.align_vectors, and scipy.spatial.procrustes for the rest. Kind of
check: reference library. Patterns are drawn at random, their order known, so that no pairing is needed.
"""

import math

import numpy as np
import pytest
from scipy.spatial import procrustes
from scipy.spatial.transform import Rotation

from trialfit.mates.holes import match


def pattern(seed: int, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Holes, and bolts that stand a millimetre or so off them, turned and shifted, in the same order."""
    rng = np.random.default_rng(seed)
    have = rng.uniform(-90.0, 90.0, (count, 2))
    turn = rng.uniform(-math.pi, math.pi)
    c, s = math.cos(turn), math.sin(turn)
    want = (have + rng.normal(0.0, 0.8, (count, 2))) @ np.array([[c, s], [-s, c]]) + rng.uniform(-50.0, 50.0, 2)
    return have, want


@pytest.mark.parametrize("seed, count", list(zip(range(20, 30), (3, 4, 5, 6, 4, 5, 3, 6, 5, 4), strict=True)))
def test_turn_and_rest_are_those_of_the_library(seed: int, count: int) -> None:
    have, want = pattern(seed, count)
    flat = [np.column_stack((p - p.mean(axis=0), np.zeros(count))) for p in (have, want)]
    # a stiff third axis keeps the turn in the plane
    up = np.array([[0.0, 0.0, 1.0]])
    turned, _ = Rotation.align_vectors(np.vstack((flat[0], up)), np.vstack((flat[1], up)),
                                       weights=[*([1.0] * count), np.inf])  # fmt: skip
    rest = flat[0] - turned.apply(flat[1])
    found = match(have, want)
    assert found.pairs == tuple((n, n) for n in range(count))
    assert math.remainder(found.turn_rad - turned.as_rotvec()[2], 2.0 * math.pi) == pytest.approx(0.0, abs=1e-7)
    assert found.off_mm == pytest.approx(np.linalg.norm(rest, axis=1), abs=1e-6)


@pytest.mark.parametrize("seed", [40, 41, 42])
def test_rest_follows_from_the_librarys_disparity(seed: int) -> None:
    # the library scales the second pattern as well: 1 - disparity is the square of lever / (|a| |b|), and without
    # scaling |a|^2 + |b|^2 - 2 lever is left
    have, want = pattern(seed, 5)
    a, b = (float(np.linalg.norm(p - p.mean(axis=0))) for p in (have, want))
    lever = a * b * math.sqrt(1.0 - procrustes(have, want)[2])
    ours = sum(d * d for d in match(have, want).off_mm)
    assert ours == pytest.approx(a * a + b * b - 2.0 * lever, abs=1e-6)
