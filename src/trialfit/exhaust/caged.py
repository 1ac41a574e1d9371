"""Whether a ball is shut in: what proves that a thing which holds such a ball is trapped, however it is turned.

Source: geometry; the gap changes by no more than the ball moves.
"""

import heapq
import itertools
import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from trialfit.geometry import Domain, Rigid, certified_gap
from trialfit.geometry.solids import Capsule, Solid

Floats = NDArray[np.float64]

_STILL = Domain(np.zeros(3), np.zeros(3))


def ball_is_caged(
    at: Floats, radius_mm: float, solids: Sequence[Solid], hull: tuple[Floats, Floats], most_places: int,
    cell_mm: float | None = None,
) -> bool | None:
    """Whether a ball is shut in by solids so that it cannot get out of the box round them.

    Space is cut in cubes. A cube is shut when the ball overlaps a solid wherever in it its middle is; the ball is caged
    when the cubes that are not shut, from its own on, all lie inside the box. That proves it: no motion at all gets a
    thing out that holds such a ball. The other way it proves nothing.

    Parameters
    ----------
    at : array
        middle of the ball (3,) [mm]
    radius_mm : float
        its radius [mm]
    solids : sequence of Solid
        scans have no inside: only what stands for a wall is seen
    hull : pair of arrays
        least and greatest corner of the box [mm]
    most_places : int
        cubes to look at before giving up [-]
    cell_mm : float or None
        edge of a cube; a third of the radius when None [mm]

    Returns
    -------
    bool or None
        None when it gave up

    Raises
    ------
    ValueError
        for a radius or an edge that is not more than 0 mm

    >>> from trialfit.geometry.solids import Box
    >>> wall = Box([0, 0, -50], [100, 100, 5])
    >>> ball_is_caged(np.zeros(3), 20.0, [wall], (np.array([-100., -100, -55]), np.array([100., 100, -45])), 5000)
    False
    """
    edge = radius_mm / 3.0 if cell_mm is None else cell_mm
    if not (radius_mm > 0.0 and edge > 0.0):
        raise ValueError(f"a ball of radius {radius_mm:g} mm in cubes of {edge:g} mm: both must be more than 0")
    body = Rigid(tuple(solids))
    shut = edge * math.sqrt(3.0) / 2.0
    low, high = hull[0] - radius_mm - edge, hull[1] + radius_mm + edge
    middle = (hull[0] + hull[1]) / 2.0

    def outward(cube: tuple[int, int, int]) -> tuple[float, tuple[int, int, int]]:
        # outermost first: a ball that can leave is soon seen to
        return -float(np.abs(at + edge * np.array(cube) - middle).max()), cube

    waiting = [outward((0, 0, 0))]
    seen = {(0, 0, 0)}
    looked = 0
    while waiting:
        _, cube = heapq.heappop(waiting)
        looked += 1
        if looked > most_places:
            return None
        place = at + edge * np.array(cube)
        if np.any(place < low) or np.any(place > high):
            return False
        for k, sign in itertools.product(range(3), (1, -1)):
            x, y, z = (c + sign * (i == k) for i, c in enumerate(cube))
            beside = (x, y, z)
            if beside in seen:
                continue
            seen.add(beside)
            there = at + edge * np.array(beside)
            # the upper bound: overlap by more than the ball can move within the cube shuts it
            point = Rigid((Capsule(there, there, radius_mm),))
            found = certified_gap(point, body, _STILL, 0.0, tol_mm=0.5, settle=False, max_cells=1)
            if found.upper_mm <= -shut:
                continue
            heapq.heappush(waiting, outward(beside))
    return True
