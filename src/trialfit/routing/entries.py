"""The compiled entries of the router, each kept in the compiler's cache.

The compiler's cache looks at the age of one file alone, so an entry is keyed by a stamp over the text of every module
whose kernels it calls: a change in any of them compiles anew. All work of a search goes through one entry, ``work``,
so that what it shares is compiled once.
"""

from typing import Any

import numpy as np
from numba import njit

from trialfit.geometry import distance, solids
from trialfit.geometry import waiting as queue
from trialfit.geometry.stamp import text_stamp
from trialfit.routing import field, pipe, point, refine, roadmap

EXPLORE, IMPROVE, STRAIGHT, TIGHTEN, LOOK, CHAIN, STRIKE = range(7)

_STAMP = text_stamp(solids, distance, queue, point, field, pipe, refine, roadmap)


def _kept(stamp: int) -> tuple[Any, ...]:
    @njit(cache=True, nogil=True)
    def pose_all(rows, first, second):  # type: ignore[no-untyped-def]
        assert stamp >= 0
        return field.pose_all(rows, first, second)

    @njit(cache=True, nogil=True)
    def lists(F):  # type: ignore[no-untyped-def]
        assert stamp >= 0
        return field.lists(F)

    @njit(cache=True, nogil=True)
    def work(what, seeds, par, F0, F1, seed, count, tries, pad, give_up):  # type: ignore[no-untyped-def]
        assert stamp >= 0
        if what == EXPLORE:
            return roadmap.explore(par, F0, F1, seed, count, tries, pad, give_up)
        if what == IMPROVE:
            return refine.improve(seeds, par, F0, F1, seed, tries, pad, give_up)
        if what == STRIKE:
            return roadmap.strike(par, F0, F1, seed, count, tries, pad, give_up)
        if what == STRAIGHT:
            return roadmap.straight_out(par, F0, F1, pad)
        if what == TIGHTEN:
            return refine.tighten(seeds, par, F0, F1, pad)
        if what == LOOK:
            return refine.look(seeds, par, F0, F1, pad)
        return refine.settle_chain(seeds, par, F0, F1, pad)

    @njit(cache=True, nogil=True)
    def values(F, points, out):  # type: ignore[no-untyped-def]
        assert stamp >= 0
        for k in range(points.shape[0]):
            out[k] = field.value(F, points[k, 0], points[k, 1], points[k, 2])

    return pose_all, lists, work, values


pose_all, lists, work, values = _kept(_STAMP)


def field_values(packed: field.Packed, points: np.ndarray[Any, np.dtype[np.float64]]) -> Any:
    """Field values (n,) [mm] at points (n, 3) [mm], as ``field.value``."""
    out = np.empty(len(points))
    values(packed, np.ascontiguousarray(points, dtype=np.float64), out)
    return out
