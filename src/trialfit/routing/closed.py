"""Why no route was found: what is in the way, by how much, whether that is proved, and the smallest change that opens.

Three looks at the same space. The widest way: over a grid of places, the path whose narrowest place is widest; that
place names what closes it and how much is missing. The proof: cells of which every point is certainly blocked are
walls; where outlet and exit lie in different rooms of what is left, nothing passes, whatever its bends. And the search
over all routes of ``trialfit.routing.bound``, which ends with nothing left when bends or parts are what cannot be.

What is not proved is said to be so: a way for a point of the centre line is no pipe with its bends yet.

Source: widest path by Dijkstra's order and flood fill over cells, textbook matter (from memory).
"""

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numba import njit
from numpy.typing import NDArray

from trialfit.geometry import distance, solids
from trialfit.geometry import waiting as queue
from trialfit.geometry.stamp import text_stamp
from trialfit.geometry.waiting import put, take
from trialfit.routing import bound as bound_module
from trialfit.routing import field as field_module
from trialfit.routing import point as point_module
from trialfit.routing.bound import EITHER, ENGINE, FRAME, MOST_BOXES, box_shut, leg_blocked, lower_bound
from trialfit.routing.field import AT_OWNERS, FAR_MM, ROWS, Fields, prepare, row_gap, value
from trialfit.routing.problem import LegPart, Problem

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MOST_CELLS = 160_000
"""coarse cells that the bounds are cut into, at most"""
FINE = 4
"""fine cells along a side of a coarse one"""
LEAST_CELL_MM = 16.0
_DEEPER = 2
TIE = 1e-5
MOST_NEAR = 30_000
MOST_NARROWS = 6
"""narrow places of one path that are looked at in small cells"""
_TINY = 1e-5


@dataclass(frozen=True, slots=True)
class Blocked:
    """One reason why there is no route. ``names``: the obstacles that close the place; ``missing_mm``: by how much what
    has to pass is too thick there, each side [mm] (nan: not one number); ``place`` [mm] (None: nowhere in particular);
    ``remedy``: smallest changes that open it: relaxed rules are tried, a pipe's size follows from what is missing, and
    what is neither says so; ``proved``: False: not found, but not proved closed either."""

    words: str
    names: tuple[str, ...]
    missing_mm: float
    place: tuple[float, float, float] | None
    remedy: str
    proved: bool


@njit(nogil=True)
def _at(F0, F1, which, edge, x, y, z):  # type: ignore[no-untyped-def]
    x = min(edge[1, 0], max(edge[0, 0], x))
    y = min(edge[1, 1], max(edge[0, 1], y))
    z = min(edge[1, 2], max(edge[0, 2], z))
    v = -FAR_MM
    for turn in range(2 if which == EITHER else 1):
        F = F1 if which == ENGINE or turn == 1 else F0
        v = max(v, value(F, x, y, z))
    return v


@njit(nogil=True)
def _by_owner(F, x, y, z, out):  # type: ignore[no-untyped-def]
    """Least (distance less required gap) to each obstacle."""
    places = F[1]
    out[:] = FAR_MM
    for q in range(places[ROWS]):
        k = places[places[AT_OWNERS] + q]
        out[k] = min(out[k], row_gap(F, q, x, y, z, FAR_MM))


@njit(nogil=True)
def _deep_shut(F0, F1, which, edge, c, h, u, radius, depth):  # type: ignore[no-untyped-def]
    """Whether a cell is blocked at every point, cut in eight up to ``depth`` times."""
    side = 1 << depth
    p = np.empty(3)
    g = np.empty(3)
    # the corners first: a free one ends it
    for k in range(8):
        x = c[0] + (h[0] if k & 1 else -h[0])
        y = c[1] + (h[1] if k & 2 else -h[1])
        z = c[2] + (h[2] if k & 4 else -h[2])
        if _at(F0, F1, which, edge, x, y, z) >= radius:
            return False
    for k in range(3):
        g[k] = h[k] / side
    for i in range(side):
        for j in range(side):
            for k in range(side):
                p[0] = c[0] + (2 * i + 1 - side) * g[0]
                p[1] = c[1] + (2 * j + 1 - side) * g[1]
                p[2] = c[2] + (2 * k + 1 - side) * g[2]
                gone, _ = box_shut(F0, F1, which, edge, p, g, u, False, radius, 0.0)
                if not gone:
                    return False
    return True


@njit(nogil=True)
def _rooms(F0, F1, which, edge, n, radius, start, goals):  # type: ignore[no-untyped-def]
    """Which goals (k, 2, 3) the start's room touches, of all that is not certainly blocked.

    Cells touch by faces, edges and corners: a curve that leaves one is then in another of the same room. A coarse cell
    that is free as a whole counts as one; the others are looked at in FINE steps a side.
    """
    size = np.empty(3)
    for k in range(3):
        size[k] = (edge[1, k] - edge[0, k]) / n[k]
    fine = size / FINE
    m = n * FINE
    rho = 0.5 * math.sqrt(size[0] ** 2 + size[1] ** 2 + size[2] ** 2)
    coarse = np.zeros((n[0], n[1], n[2]), np.int8)  # 0 not looked at, 1 free, 2 shut, 3 mixed, 4 free and reached
    seen = np.zeros((m[0], m[1], m[2]), np.int8)  # 0 not looked at, 1 reached, 2 shut
    hit = np.zeros(goals.shape[0], np.int64)
    c = np.empty(3)
    h = 0.5 * size
    g = 0.5 * fine
    u = np.zeros(3)
    cap = 1 << 16
    stack = np.empty((cap, 4), np.int64)
    top = 0
    at = np.empty(3, np.int64)
    low = np.empty(3, np.int64)
    high = np.empty(3, np.int64)
    for k in range(3):
        at[k] = min(m[k] - 1, max(0, math.floor((start[k] - edge[0, k]) / fine[k])))
        low[k], high[k] = max(0, at[k] - 1), min(m[k] - 1, at[k] + 1)
    first = True
    while True:
        if not first:
            if top == 0:
                break
            top -= 1
            kind = stack[top, 0]
            for k in range(3):
                at[k] = stack[top, 1 + k]
            # which goals lie in what was reached
            for e in range(goals.shape[0]):
                inside = True
                for k in range(3):
                    step = size[k] if kind == 1 else fine[k]
                    a = edge[0, k] + at[k] * step
                    if a > goals[e, 1, k] or a + step < goals[e, 0, k]:
                        inside = False
                if inside:
                    hit[e] = 1
            if hit.min() == 1:
                break
            # fine cells round it
            for k in range(3):
                if kind == 1:
                    low[k], high[k] = max(0, at[k] * FINE - 1), min(m[k] - 1, at[k] * FINE + FINE)
                else:
                    low[k], high[k] = max(0, at[k] - 1), min(m[k] - 1, at[k] + 1)
        for i in range(low[0], high[0] + 1):
            for j in range(low[1], high[1] + 1):
                for k in range(low[2], high[2] + 1):
                    if seen[i, j, k] != 0:
                        continue
                    ci, cj, ck = i // FINE, j // FINE, k // FINE
                    state = coarse[ci, cj, ck]
                    if state == 2 or state == 4:
                        continue
                    if state == 0:
                        c[0] = edge[0, 0] + (ci + 0.5) * size[0]
                        c[1] = edge[0, 1] + (cj + 0.5) * size[1]
                        c[2] = edge[0, 2] + (ck + 0.5) * size[2]
                        v = _at(F0, F1, which, edge, c[0], c[1], c[2])
                        state = 3
                        if v >= radius + rho:
                            state = 1
                        elif v < radius - rho - _TINY:
                            state = 2
                        elif v < radius:
                            gone, _ = box_shut(F0, F1, which, edge, c, h, u, False, radius, 0.0)
                            if gone:
                                state = 2
                        coarse[ci, cj, ck] = state
                    if state == 2:
                        continue
                    if top + 1 >= cap:
                        longer = np.empty((2 * cap, 4), np.int64)
                        longer[:cap] = stack
                        stack = longer
                        cap *= 2
                    if state == 1:
                        coarse[ci, cj, ck] = 4
                        stack[top, 0], stack[top, 1], stack[top, 2], stack[top, 3] = 1, ci, cj, ck
                        top += 1
                        continue
                    c[0] = edge[0, 0] + (i + 0.5) * fine[0]
                    c[1] = edge[0, 1] + (j + 0.5) * fine[1]
                    c[2] = edge[0, 2] + (k + 0.5) * fine[2]
                    v = _at(F0, F1, which, edge, c[0], c[1], c[2])
                    if v < radius:
                        gone = v < radius - rho / FINE - _TINY
                        if not gone:
                            gone, _ = box_shut(F0, F1, which, edge, c, g, u, False, radius, 0.0)
                        if gone or _deep_shut(F0, F1, which, edge, c, g, u, radius, _DEEPER):
                            seen[i, j, k] = 2
                            continue
                    seen[i, j, k] = 1
                    stack[top, 0], stack[top, 1], stack[top, 2], stack[top, 3] = 0, i, j, k
                    top += 1
        first = False
    return hit


@njit(nogil=True)
def _best_near(F0, F1, which, edge, c, h, turns, out):  # type: ignore[no-untyped-def]
    """Greatest value found in a cell, and its point: the middle, then uphill by halves of the cell."""
    best = _at(F0, F1, which, edge, c[0], c[1], c[2])
    for k in range(3):
        out[k] = min(edge[1, k], max(edge[0, k], c[k]))
    step = 0.5
    p = np.empty(3)
    for _turn in range(turns):
        moved = True
        while moved:
            moved = False
            for k in range(26):
                w = k if k < 13 else k + 1
                for a in range(3):
                    d = (w // (1 if a == 0 else (3 if a == 1 else 9))) % 3 - 1
                    p[a] = min(c[a] + h[a], max(c[a] - h[a], out[a] + d * step * h[a]))
                v = _at(F0, F1, which, edge, p[0], p[1], p[2])
                if v > best + 1e-6:
                    best = v
                    out[:] = p
                    moved = True
        step *= 0.5
    return best


@njit(nogil=True)
def _widest(F0, F1, which, edge, n, start, goal, tight, turns):  # type: ignore[no-untyped-def]
    """Path from a point to a box whose narrowest place is widest, over a grid of ``n`` cells within ``edge``.

    Returns its points, from the goal back, and their values; cells count by the best place found in them where they
    are tight (value below ``tight``), by their middle where not.
    """
    size = np.empty(3)
    for k in range(3):
        size[k] = (edge[1, k] - edge[0, k]) / n[k]
    total = n[0] * n[1] * n[2]
    own = np.full(total, np.nan)
    spot = np.empty((total, 3), np.float32)
    wide = np.full(total, -np.inf)
    back = np.full(total, -1, np.int64)
    done = np.zeros(total, np.int8)
    cap = 1 << 12
    heap = np.empty(cap)
    cells = np.empty(cap, np.int64)
    c = np.empty(3)
    out = np.empty(3)
    half = 0.5 * size
    i = min(n[0] - 1, max(0, int((start[0] - edge[0, 0]) / size[0])))
    j = min(n[1] - 1, max(0, int((start[1] - edge[0, 1]) / size[1])))
    k = min(n[2] - 1, max(0, int((start[2] - edge[0, 2]) / size[2])))
    b = (i * n[1] + j) * n[2] + k
    wide[b] = _at(F0, F1, which, edge, start[0], start[1], start[2])
    own[b] = wide[b]
    for a in range(3):
        spot[b, a] = start[a]
    heap[0], cells[0] = -wide[b], b
    used = 1
    end = -1
    while used > 0:
        _key, b, used = take(heap, cells, used)
        if done[b] == 1:
            continue
        done[b] = 1
        i, j, k = b // (n[1] * n[2]), (b // n[2]) % n[1], b % n[2]
        inside = True
        at3 = (i, j, k)
        for a in range(3):
            low = edge[0, a] + at3[a] * size[a]
            if low > goal[1, a] or low + size[a] < goal[0, a]:
                inside = False
        if inside:
            end = b
            break
        for di in range(-1, 2):
            for dj in range(-1, 2):
                for dk in range(-1, 2):
                    x, y, z = i + di, j + dj, k + dk
                    if x < 0 or y < 0 or z < 0 or x >= n[0] or y >= n[1] or z >= n[2]:
                        continue
                    o = (x * n[1] + y) * n[2] + z
                    if done[o] == 1:
                        continue
                    if math.isnan(own[o]):
                        c[0] = edge[0, 0] + (x + 0.5) * size[0]
                        c[1] = edge[0, 1] + (y + 0.5) * size[1]
                        c[2] = edge[0, 2] + (z + 0.5) * size[2]
                        own[o] = _at(F0, F1, which, edge, c[0], c[1], c[2])
                        out[:] = c
                        if tight - 60.0 < own[o] < tight:
                            own[o] = _best_near(F0, F1, which, edge, c, half, turns, out)
                        for a in range(3):
                            spot[o, a] = out[a]
                    way = min(wide[b], own[o])
                    if way > wide[o]:
                        wide[o] = way
                        back[o] = b
                        if used + 1 >= cap:
                            more = np.empty(2 * cap)
                            more[:cap] = heap
                            heap = more
                            longer = np.empty(2 * cap, np.int64)
                            longer[:cap] = cells
                            cells = longer
                            cap *= 2
                        # past the narrowest place all are alike: the roomier goes first
                        key = -way - TIE * own[o]
                        used = put(heap, cells, used, key, o)
    count = 0
    b = end
    while b >= 0:
        count += 1
        b = back[b]
    found = np.empty((count, 4))
    b = end
    for a in range(count):
        found[a, 0], found[a, 1], found[a, 2], found[a, 3] = spot[b, 0], spot[b, 1], spot[b, 2], own[b]
        b = back[b]
    return found


@njit(nogil=True)
def _roomiest(F0, F1, which, edge, low, high, n, out):  # type: ignore[no-untyped-def]
    """Greatest value found in a box, its point in ``out``; and whether some cell of it is not certainly under it."""
    best = -np.inf
    c = np.empty(3)
    h = np.empty(3)
    p = np.empty(3)
    for k in range(3):
        h[k] = 0.5 * (high[k] - low[k]) / n[k]
    for i in range(n[0]):
        for j in range(n[1]):
            for k in range(n[2]):
                c[0], c[1], c[2] = low[0] + (2 * i + 1) * h[0], low[1] + (2 * j + 1) * h[1], low[2] + (2 * k + 1) * h[2]
                v = _at(F0, F1, which, edge, c[0], c[1], c[2])
                if v + math.sqrt(h[0] ** 2 + h[1] ** 2 + h[2] ** 2) > best:
                    v = _best_near(F0, F1, which, edge, c, h, 4, p)
                    if v > best:
                        best = v
                        out[:] = p
    return best


@njit(nogil=True)
def _all_of_box(F0, F1, which, edge, low, high, n, radius):  # type: ignore[no-untyped-def]
    """Whether a box is certainly blocked all over."""
    c = np.empty(3)
    h = np.empty(3)
    u = np.zeros(3)
    for k in range(3):
        h[k] = 0.5 * (high[k] - low[k]) / n[k]
    for i in range(n[0]):
        for j in range(n[1]):
            for k in range(n[2]):
                c[0], c[1], c[2] = low[0] + (2 * i + 1) * h[0], low[1] + (2 * j + 1) * h[1], low[2] + (2 * k + 1) * h[2]
                gone, _ = box_shut(F0, F1, which, edge, c, h, u, False, radius, 0.0)
                if not gone and not _deep_shut(F0, F1, which, edge, c, h, u, radius, 3):
                    return False
    return True


@njit(nogil=True)
def _best_lie(F0, F1, which, edge, low, high, n, ways, length, half, clocks, out):  # type: ignore[no-untyped-def]
    """Best lie of a part: middle in a box, along one of the directions (k, 3): least value over seven places of its
    length on one to three lines. ``out`` (6,): middle, direction."""
    best = -np.inf
    wide = np.zeros(3)
    for i in range(n[0]):
        for j in range(n[1]):
            for k in range(n[2]):
                x = low[0] + (i + 0.5) * (high[0] - low[0]) / n[0]
                y = low[1] + (j + 0.5) * (high[1] - low[1]) / n[1]
                z = low[2] + (k + 0.5) * (high[2] - low[2]) / n[2]
                if _at(F0, F1, which, edge, x, y, z) <= best:
                    continue
                for w in range(ways.shape[0]):
                    for q in range(clocks.shape[0]):
                        bound_module._wide_axis(ways[w], clocks[q], wide)
                        least = np.inf
                        for a in range(7):
                            s = length * (a / 6.0 - 0.5)
                            for b in range(3 if half > 0.0 else 1):
                                o = half * (0.0 if b == 0 else (1.0 if b == 1 else -1.0))
                                v = _at(F0, F1, which, edge, x + s * ways[w, 0] + o * wide[0],
                                        y + s * ways[w, 1] + o * wide[1], z + s * ways[w, 2] + o * wide[2])
                                least = min(least, v)
                                if least <= best:
                                    break
                            if least <= best:
                                break
                        if least > best:
                            best = least
                            out[0], out[1], out[2] = x, y, z
                            out[3], out[4], out[5] = ways[w, 0], ways[w, 1], ways[w, 2]
    return best


def _entries(stamp: int) -> tuple[Any, ...]:
    """Entries kept in the compiler's cache, keyed by ``stamp`` too (see ``trialfit.geometry.sweep``)."""

    @njit(cache=True, nogil=True)
    def rooms(F0, F1, which, edge, n, radius, start, goals):  # type: ignore[no-untyped-def]
        assert stamp >= 0
        return _rooms(F0, F1, which, edge, n, radius, start, goals)

    @njit(cache=True, nogil=True)
    def widest(F0, F1, which, edge, n, start, goal, tight, turns):  # type: ignore[no-untyped-def]
        assert stamp >= 0
        return _widest(F0, F1, which, edge, n, start, goal, tight, turns)

    @njit(cache=True, nogil=True)
    def boxes(F0, F1, which, edge, low, high, n, radius, out):  # type: ignore[no-untyped-def]
        assert stamp >= 0
        best = _roomiest(F0, F1, which, edge, low, high, n, out)
        return best, best < radius and _all_of_box(F0, F1, which, edge, low, high, n, radius)

    @njit(cache=True, nogil=True)
    def lies(F0, F1, which, edge, low, high, n, ways, length, half, clocks, out):  # type: ignore[no-untyped-def]
        assert stamp >= 0
        return _best_lie(F0, F1, which, edge, low, high, n, ways, length, half, clocks, out)

    @njit(cache=True, nogil=True)
    def owners(F, x, y, z, out):  # type: ignore[no-untyped-def]
        assert stamp >= 0
        _by_owner(F, x, y, z, out)

    @njit(cache=True, nogil=True)
    def free_line(F0, F1, which, edge, start, aim, far, skin):  # type: ignore[no-untyped-def]
        """How far a straight from the start is free [mm], to 0.1 mm."""
        assert stamp >= 0
        none, end = np.zeros(3), np.empty(3)
        low, high = 0.0, far
        while high - low > 0.1:
            middle = 0.5 * (low + high)
            for k in range(3):
                end[k] = start[k] + middle * aim[k]
            if leg_blocked(F0, F1, which, edge, start, none, end, none, 0.0, 0.0, skin, np.zeros(3), np.zeros(3),
                           np.zeros(3)):
                high = middle
            else:
                low = middle
        return high

    return rooms, widest, boxes, lies, owners, free_line


rooms, widest, boxes, lies, owners, free_line = _entries(
    text_stamp(solids, distance, queue, field_module, point_module, bound_module))


class _Space:
    """The room that the centre line has, for one problem and its fields."""

    def __init__(self, problem: Problem, fields: Fields) -> None:
        self.problem, self.fields = problem, fields
        self.edge = np.array(problem.bounds, dtype=np.float64)
        self.edge[0] += 1e-6
        self.edge[1] -= 1e-6
        carried = fields.engine is not fields.frame
        self.which = EITHER if carried else FRAME
        self.at_outlet = ENGINE if carried else FRAME
        sides = self.edge[1] - self.edge[0]
        self.cell = max(LEAST_CELL_MM, float((np.prod(sides) / MOST_CELLS) ** (1.0 / 3.0)))
        self.count = np.maximum(1, np.ceil(sides / self.cell)).astype(np.int64)
        self.exit = np.array((problem.exit.low, problem.exit.high), dtype=np.float64)
        self.ways: dict[tuple[float, ...], tuple[float, Floats]] = {}

    def nearest(self, place: Floats, which: int) -> list[tuple[float, str]]:
        """(value [mm], name) of every obstacle at a place, the nearest first."""
        out = np.empty(max(len(self.fields.names), 1))
        owners(self.fields.engine if which == ENGINE else self.fields.frame, *(float(v) for v in place), out)
        return sorted((float(v), name) for v, name in zip(out, self.fields.names))

    def closers(self, place: Floats, which: int, radius: float) -> tuple[str, ...]:
        """The obstacle that is too near at a place, and the one that keeps the pipe from moving away from it."""
        near = self.nearest(place, which)
        if not near:
            return ()
        best = near[0][0]
        return tuple(name for v, name in near[:2] if v < radius or v < best + 3.0)

    def box(self, box: Floats, radius: float, which: int) -> tuple[float, Floats, bool]:
        """Roomiest place found in a box [mm over], where, and whether it is proved that none has ``radius``."""
        low, high = np.maximum(box[0], self.edge[0]), np.minimum(box[1], self.edge[1])
        out = (low + high) / 2.0
        if np.any(low > high):
            return -math.inf, out, True
        count = np.clip(np.ceil((high - low) / 20.0), 1, 40).astype(np.int64)
        best, gone = boxes(self.fields.frame, self.fields.engine, which, self.edge, low, high, count, radius, out)
        return float(best), out, bool(gone)

    def touches(self, radius: float, goals: list[Floats]) -> list[bool]:
        """Whether the room of the outlet, as far as it is not certainly blocked, holds part of each goal (2, 3)."""
        found = rooms(self.fields.frame, self.fields.engine, self.which, self.edge, self.count, radius,
                      self.problem.outlet.astype(np.float64), np.array(goals))
        return [bool(f) for f in found]

    def way(self, goal: Floats, tight: float) -> tuple[float, Floats] | None:
        """Value and point of the narrowest place on the widest way from the outlet to a box; None when none is seen."""
        narrowest = self.narrowest(goal, tight)
        if narrowest is not None:
            self.ways[_key(goal)] = narrowest
        return narrowest

    def narrowest(self, goal: Floats, tight: float) -> tuple[float, Floats] | None:
        found = self.path(self.edge, self.count, self.problem.outlet.astype(np.float64), goal, tight, 2)
        if not len(found):
            return None
        # the narrowest places once more, in small cells, between where the path comes in and goes out
        values, places = found[:, 3].copy(), found[:, :3].copy()
        looked = np.zeros(len(found), dtype=bool)
        for _ in range(MOST_NARROWS):
            narrow = int(np.argmin(values))
            if looked[narrow]:
                break
            looked[narrow] = True
            # as far as the path stays narrow, and into the open at both ends
            first, last = narrow, narrow
            while first > 0 and values[first] < values[narrow] + self.cell:
                first -= 1
            while last + 1 < len(found) and values[last] < values[narrow] + self.cell:
                last += 1
            if first == last:
                continue
            some = found[first:last + 1, :3]
            edge = np.array((np.maximum(some.min(axis=0) - 2.0 * self.cell, self.edge[0]),
                             np.minimum(some.max(axis=0) + 2.0 * self.cell, self.edge[1])))
            fine = max(self.cell / 6.0, float((np.prod(edge[1] - edge[0]) / MOST_NEAR) ** (1.0 / 3.0)))
            count = np.maximum(1, np.ceil((edge[1] - edge[0]) / fine)).astype(np.int64)
            goal_at = np.array((found[first, :3], found[first, :3]))
            local = self.path(edge, count, found[last, :3].copy(), goal_at, tight, 4)
            if not len(local):
                continue
            at = int(np.argmin(local[:, 3]))
            for k in range(first, last + 1):
                if values[k] < local[at, 3]:
                    values[k], places[k], looked[k] = local[at, 3], local[at, :3], True
        narrow = int(np.argmin(values))
        return float(values[narrow]), places[narrow]

    def path(self, edge: Floats, count: Ints, start: Floats, goal: Floats, tight: float, turns: int) -> Floats:
        found: Floats = widest(self.fields.frame, self.fields.engine, self.which, edge, count, start, goal, tight,
                               turns)
        return found


def _key(box: Floats) -> tuple[float, ...]:
    return tuple(float(v) for v in box.ravel())


def why_closed(problem: Problem, fields: Fields, *, boxes: int = MOST_BOXES) -> tuple[Blocked, ...]:
    """Reasons why no route was found, the proved ones first; the last one says so when nothing is proved.

    Parameters
    ----------
    fields : Fields
        of this very problem (``trialfit.routing.field.prepare``)
    boxes : int
        boxes of routes to weigh in the search over all routes, where simpler looks settle nothing [-]

    Source: see the module's text.
    """
    slim = min(range(len(problem.sizes)), key=lambda k: problem.sizes[k].diameter_mm)
    diameter = problem.sizes[slim].diameter_mm
    space = _Space(problem, fields)
    radius = diameter / 2.0
    reasons = [*_outlet(space, diameter), *_exit(space, diameter)]
    for part in problem.parts:
        reasons += _part(space, part)
    if not any(r.proved for r in reasons):
        reasons += _passage(space, diameter)
    if not any(r.proved for r in reasons):
        found = lower_bound(problem, fields, boxes=boxes)
        if math.isinf(found.cost):
            reasons.append(Blocked(
                f"no route with up to {problem.most_bends} bends gets through: with the bends, straights and parts "
                f"asked for, every one is too near to something ({found.boxes} boxes of routes looked at)",
                (), math.nan, None, "tighter bends, bends welded end to end, or a wider exit cone (not tried)", True))
    reasons.sort(key=lambda r: (not r.proved, not (r.missing_mm > 0.0)))
    if not any(r.proved for r in reasons):
        got = space.ways.get(_key(space.exit)) or space.way(space.exit, radius + 20.0)
        wide = "" if got is None or got[0] < radius else (
            f" A way wide enough for the pipe itself is there ({got[0] - radius:.0f} mm to spare each side at its "
            f"narrowest, {_where(got[1])}), so it is bends, straights or parts that find no room.")
        reasons.append(Blocked(
            "no route was found, but it is not proved that there is none." + wide, (), math.nan, None,
            "more time, tighter bends, or bends welded end to end (not tried)", False))
    return tuple(reasons)


def _where(place: Floats) -> str:
    return f"x {place[0]:.0f}, y {place[1]:.0f}, z {place[2]:.0f} mm"


def _spot(place: Floats) -> tuple[float, float, float]:
    return float(place[0]), float(place[1]), float(place[2])


def _listed(names: tuple[str, ...]) -> str:
    return " and ".join(names) if names else "the edge of the room looked at"


def _relaxed(problem: Problem, name: str, by_mm: float) -> Problem:
    return replace(problem, obstacles=tuple(
        replace(o, required_mm=o.required_mm - by_mm) if o.name == name else o for o in problem.obstacles))


def _rule(problem: Problem, name: str) -> float:
    return next(o.required_mm for o in problem.obstacles if o.name == name)


def _outlet(space: _Space, diameter: float) -> list[Blocked]:
    """The outlet in something, or too little straight before it."""
    problem, radius = space.problem, diameter / 2.0
    near = space.nearest(problem.outlet, space.at_outlet)
    if near and near[0][0] < radius - _TINY:
        missing, name = radius - near[0][0], near[0][1]
        return [Blocked(
            f"the pipe starts too near to {name}: {missing:.1f} mm are missing at the outlet "
            f"({_where(problem.outlet)})",
            (name,), missing, _spot(problem.outlet),
            f"move the outlet {missing:.1f} mm away from {name}, or ask for {missing:.1f} mm less there than "
            f"{_rule(problem, name):.0f} mm", True)]
    far = float(np.linalg.norm(problem.bounds[1] - problem.bounds[0]))
    free = float(free_line(space.fields.frame, space.fields.engine, space.at_outlet, space.edge,
                           problem.outlet.astype(np.float64), problem.aim.astype(np.float64), far, radius))
    ahead = problem.outlet + free * problem.aim
    names = tuple(n for _, n in space.nearest(ahead, space.at_outlet)[:1])
    if free < problem.first_straight_mm - 0.1:
        missing = problem.first_straight_mm - free
        return [Blocked(
            f"straight out of the outlet only {free:.0f} mm are free before {_listed(names)}; "
            f"{problem.first_straight_mm:.0f} mm of straight pipe are asked for", names, missing, _spot(ahead),
            f"ask for no more than {free:.0f} mm of straight pipe at the outlet", True)]
    bends = [b for s in problem.sizes for b in s.bends]
    if bends:
        tight = min(b.radius_mm for b in bends)
        # a quarter turn begun at once reaches one radius ahead
        if free < problem.first_straight_mm + tight:
            return [Blocked(
                f"straight out of the outlet only {free:.0f} mm are free before {_listed(names)}, and the tightest "
                f"bend has a radius of {tight:.0f} mm: a quarter turn begun at once needs that much",
                names, problem.first_straight_mm + tight - free, _spot(ahead),
                "a tighter bend, or an outlet that points elsewhere (not tried)", False)]
    return []


def _exit(space: _Space, diameter: float) -> list[Blocked]:
    """No free place in the exit's box."""
    radius = diameter / 2.0
    best, place, gone = space.box(space.exit, radius, space.which)
    if best >= radius:
        return []
    missing = radius - best
    names = space.closers(place, space.which, radius)
    nearest = _nearest_room(space, space.exit, radius)
    remedy = "move the exit" if nearest is None else (
        f"let the exit reach to {_where(nearest)}, {_away(space.exit, nearest):.0f} mm outside its box, where the pipe "
        "has room")
    return [Blocked(
        f"the exit has no free place: at the best one found ({_where(place)}) {missing:.1f} mm are missing to "
        f"{_listed(names)}", names, missing, _spot(place), remedy, gone)]


def _away(box: Floats, place: Floats) -> float:
    return float(np.linalg.norm(np.maximum(0.0, np.maximum(box[0] - place, place - box[1]))))


def _nearest_room(space: _Space, box: Floats, radius: float) -> Floats | None:
    """Place outside a box with room for a radius, near to it; None within 600 mm."""
    for grow in (50.0, 100.0, 200.0, 400.0, 600.0):
        wide = np.array((box[0] - grow, box[1] + grow))
        low, high = np.maximum(wide[0], space.edge[0]), np.minimum(wide[1], space.edge[1])
        best: tuple[float, Floats] | None = None
        count = np.maximum(1, np.ceil((high - low) / max(25.0, grow / 8.0))).astype(int)
        axes = [np.linspace(low[k], high[k], int(count[k]) + 1) for k in range(3)]
        grid = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
        from trialfit.routing import entries

        out = np.empty(len(grid))
        entries.values(space.fields.frame, np.ascontiguousarray(grid), out)
        for place in grid[out >= radius]:
            far = _away(box, place)
            if far > 0.0 and (best is None or far < best[0]):
                best = far, place
        if best is not None:
            return best[1]
    return None


def _directions(count: int = 80) -> Floats:
    """Directions spread over half the sphere (a part lies alike both ways round)."""
    k = np.arange(count) + 0.5
    z = k / count
    turn = k * math.pi * (3.0 - math.sqrt(5.0))
    flat = np.sqrt(1.0 - z * z)
    half: Floats = np.stack((z, flat * np.cos(turn), flat * np.sin(turn)), axis=1)
    # parts mostly lie along the vehicle, level, or across it: those exactly
    return np.ascontiguousarray(np.vstack((np.eye(3), half)))


def _part(space: _Space, part: LegPart) -> list[Blocked]:
    """No place in a part's zone for its middle, or for its length."""
    if part.zone is None:
        return []
    radius = part.height_mm / 2.0
    zone = np.array(part.zone, dtype=np.float64)
    best, place, gone = space.box(zone, radius, space.which)
    if best < radius:
        missing = radius - best
        names = space.closers(place, space.which, radius)
        room = _nearest_room(space, zone, radius)
        remedy = f"a {part.kind} no more than {2.0 * best:.0f} mm thick" if best > 0.0 else ""
        if room is not None:
            more = (f"a zone that reaches to {_where(room)}, {_away(zone, room):.0f} mm outside this one, where its "
                    "middle has room")
            remedy = f"{remedy}, or {more}" if remedy else more
        return [Blocked(
            f"{part.name} has no place in its zone: at the best one found ({_where(place)}) {missing:.1f} mm are "
            f"missing to {_listed(names)}", names, missing, _spot(place), remedy or "another zone", gone)]
    low, high = np.maximum(zone[0], space.edge[0]), np.minimum(zone[1], space.edge[1])
    count = np.clip(np.ceil((high - low) / 40.0), 1, 16).astype(np.int64)
    half = max(part.width_mm - part.height_mm, 0.0) / 2.0
    out = np.zeros(6)
    lie = float(lies(space.fields.frame, space.fields.engine, space.which, space.edge, low, high, count, _directions(),
                     float(part.length_mm), float(half), np.array(part.clocks_rad, dtype=np.float64), out))
    if lie >= radius:
        return []
    missing = radius - lie
    names = space.closers(out[:3], space.which, radius + 40.0)
    return [Blocked(
        f"{part.name}, {part.length_mm:.0f} mm long, was not found to lie anywhere in its zone: in the best lie tried "
        f"(middle {_where(out[:3])}) {missing:.1f} mm are missing", names, missing, _spot(out[:3]),
        "a shorter or thinner one, or a larger zone (not tried)", False)]


def _passage(space: _Space, diameter: float) -> list[Blocked]:
    """Outlet, zones and exit not joined by a way wide enough."""
    problem, radius = space.problem, diameter / 2.0
    # a way that is wide enough at every cell needs no proof that it is closed
    goals: list[tuple[str, Floats]] = [
        (f"the zone of {p.name}", np.array(p.zone, dtype=np.float64)) for p in problem.parts if p.zone is not None]
    goals.append(("the exit", space.exit))
    for name, goal in goals:
        got = space.way(goal, radius + 20.0)
        if got is not None and got[0] >= radius:
            continue
        open_ = space.touches(radius, [goal])[0]
        if got is None:
            return [Blocked(f"no way leads from the outlet to {name}", (), math.nan, None, "", not open_)]
        narrow, place = got
        missing = radius - narrow
        names = space.closers(place, space.which, radius)
        words = (f"the way from the outlet to {name} is too narrow between {_listed(names)} at {_where(place)}: "
                 f"{missing:.1f} mm are missing each side")
        if missing >= radius:
            words = f"nothing leads from the outlet to {name}: closed by {_listed(names)} at {_where(place)}"
            missing = math.nan
        return [Blocked(words, names, missing, _spot(place), _openings(space, goal, diameter, missing, names),
                        not open_)]
    return []


def _openings(space: _Space, goal: Floats, diameter: float, missing: float, names: tuple[str, ...]) -> str:
    """Smallest changes that open a narrow way, each tried."""
    problem = space.problem
    if not missing > 0.0:
        return "nothing small opens it"
    found = []
    thin = math.floor(diameter - 2.0 * missing)
    if thin > 0:
        found.append(f"a pipe of no more than {thin:d} mm")
    for name in names:
        # where two things close it, one alone must give way for both sides
        share = math.ceil((missing if len(names) == 1 else 2.0 * missing) + 0.5)
        rule = _rule(problem, name)
        if share > rule:
            continue
        eased = _relaxed(problem, name, float(share))
        got = _Space(eased, prepare(eased)).way(goal, diameter / 2.0 + 20.0)
        if got is not None and got[0] >= diameter / 2.0:
            found.append(f"{share} mm less than the {rule:.0f} mm asked for at {name}")
    if len(names) == 2:
        eased = problem
        share = math.ceil(missing + 0.5)
        if all(share <= _rule(problem, n) for n in names):
            for name in names:
                eased = _relaxed(eased, name, float(share))
            got = _Space(eased, prepare(eased)).way(goal, diameter / 2.0 + 20.0)
            if got is not None and got[0] >= diameter / 2.0:
                found.append(f"{share} mm less at both {names[0]} and {names[1]}")
    return ", or ".join(found) if found else "nothing small opens it"


def compile_kernels() -> None:
    """Compile what this module needs, or load it from the cache beside the code."""
    problem = bound_module.small_problem()
    space = _Space(problem, prepare(problem))
    _outlet(space, 40.0)
    _exit(space, 40.0)
    space.touches(20.0, [space.exit])
    space.way(space.exit, 40.0)
    zone = np.array(((50.0, -20.0, -20.0), (100.0, 20.0, 20.0)))
    _part(space, LegPart("any", "muffler", 50.0, 50.0, 50.0, zone))
