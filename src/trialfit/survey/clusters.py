"""Hardpoints that only hang together among themselves: laid out in a frame of their own, then fitted in as one."""

import itertools
import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from trialfit.survey.placing import Ties, place_all

Floats = NDArray[np.float64]


def lay_out(ties: Mapping[str, Ties], members: Sequence[str]) -> dict[str, Floats]:
    """Lay out as many of ``members`` as their mutual tapes allow, in a frame of their own.

    Parameters
    ----------
    ties : mapping
        hardpoint to its ties
    members : sequence of str
        hardpoints without a place

    Returns
    -------
    dict
        hardpoint to place [mm]; empty when no three of them make a triangle
    """
    inside = set(members)
    far = {(p, q): d for p in members for q, d, _ in ties[p].spheres if q in inside}
    shape_only = {
        p: Ties([], [s for s in ties[p].spheres if s[0] in inside], []) for p in members
    }
    best: dict[str, Floats] = {}
    triangles = [
        (a, b, c) for a, b, c in itertools.combinations(sorted(inside), 3)
        if (a, b) in far and (b, c) in far and (a, c) in far
    ] if len(inside) <= 60 else []
    triangles.sort(key=lambda t: -_area(far[t[0], t[1]], far[t[1], t[2]], far[t[0], t[2]]))
    for a, b, c in triangles[:6]:
        ab, bc, ac = far[a, b], far[b, c], far[a, c]
        along = (ab**2 + ac**2 - bc**2) / (2.0 * ab)
        up = math.sqrt(max(ac**2 - along**2, 1.0))
        known = {a: np.zeros(3), b: np.array([ab, 0.0, 0.0]), c: np.array([along, up, 0.0])}
        places, _ = place_all(shape_only, (), known)
        if len(places) > len(best):
            best = places
        if len(best) == len(inside):
            break
    return best


def _area(a: float, b: float, c: float) -> float:
    half = 0.5 * (a + b + c)
    return half * (half - a) * (half - b) * (half - c)


def poses() -> list[tuple[Floats, float]]:
    """The 24 quarter turns of a cube with both hands, as (rotation, hand): spread starts for fitting a cluster in."""
    turns: list[Floats] = []
    for order in itertools.permutations(range(3)):
        for signs in itertools.product((1.0, -1.0), repeat=3):
            turn = np.zeros((3, 3))
            for row, (column, sign) in enumerate(zip(order, signs, strict=True)):
                turn[row, column] = sign
            turns.append(turn)
    return [(turn, float(np.linalg.det(turn))) for turn in turns]
