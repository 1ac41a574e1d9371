"""How near a route comes to each obstacle over the whole of the travel, with bounds that are certain.

The centre line is taken as it is (straights, true arcs, the middle planes of slabs), the poses as the whole box that
the stops leave. What makes a cell (a run of one piece times a box of poses) certain:

Every motion is turned round, so that the obstacle stands still in its own frame and the pipe moves past it. There a
unit direction n and how far the solid reaches along it make a plane that the solid lies behind, so ``n.p - reach`` is
never above the signed distance of a point p. Along a straight it is linear; over poses it is a polynomial, which
differs from its tangent by at most ``sum_ij e_i e_j M_ij / 2``, where e are the half widths of the cell and M bounds
the second derivatives (sum of the lengths of the Chebyshev coefficients). The least of the tangent over the part of the
box that the stops leave, a polygon, lies at one of its corners. n is taken from the nearest point of the piece at the
cell's middle pose, so that a pipe along a flat face, or past a bar, costs one cell whatever its length.

A link is turned round on a frame that goes with it: the plane stays square to the link while it swings. A scan is
walked through its box tree, with one plane for each triangle that is near.

What is left out: plain rounding of sums and products, below ``ROUNDING_MM``, which is taken off below and added above,
with what is trimmed off the motions (``TRIM_MM``) and what their rotations lack in being square.

Source: branch and bound, mean value form: R. E. Moore, R. B. Kearfott and M. J. Cloud, Introduction to Interval
Analysis, 2009 (from memory); J. P. Boyd, Chebyshev and Fourier Spectral Methods, 2nd ed. (from memory).
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numba import njit
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from trialfit.geometry import distance, solids
from trialfit.geometry import waiting as queue
from trialfit.geometry.gaps import Domain, GapError, Rigid, Span
from trialfit.geometry.paths import PosePath
from trialfit.geometry.solids import CAPSULE, ROW_WIDTH, SPAN, Capsule, TriangleMesh, bounds
from trialfit.geometry.stamp import text_stamp
from trialfit.geometry.waiting import pop, push
from trialfit.routing import point
from trialfit.routing.pieces import ARC, ENGINE, PIECE_WIDTH, pieces
from trialfit.routing.point import (
    RECORD,
    crate_gap2,
    pack_points,
    point_reach,
    point_way,
    skin_way,
    triangle_way,
)
from trialfit.routing.problem import Certificate, ObstacleGap, Problem, ProblemError, Way

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

ROUNDING_MM = 1e-6
TRIM_MM = 1e-3
"""what may be trimmed off a motion's series, at a point of the problem's bounds [mm]"""
FAR_MM, FARTHER_MM = 50.0, 20.0
"""an obstacle is far when the margin to it is at least the first, and the second more than the route's smallest"""
DEEP_SHARE = 0.1
"""share of an overlap deeper than the pipe's radius that its bounds are left apart"""
FAR_SHARE = 0.02
"""share of its margin that the bounds of an obstacle are left apart, of what it is above the route's smallest"""
MOST_CELLS = 60_000
MOST_TERMS = 64
MOST_WEIGHED = 4
ALIKE = 0.9
"""cosine above which two planes are not worth weighing together"""
MOST_TRIANGLES_NEAR = 24
BLOCK_MM = 600.0
"""edge of the blocks that bounds of second derivatives are kept for"""
BEYOND_MM = 500.0
"""how far a piece may leave the problem's bounds, outlet and exit"""

_TERMS = 15  # rotation row by row, shift, far end of a span


# ---------------------------------------------------------------------------------------------------------------------
# Kernels. Poses are given in unit coordinates: -1..1 over the box of possible poses.


@njit(nogil=True)
def _basis(x, n, t, d):  # type: ignore[no-untyped-def]
    """Chebyshev polynomials of degree below n at x, and their derivatives."""
    t[0], d[0] = 1.0, 0.0
    if n > 1:
        t[1], d[1] = x, 1.0
    for k in range(2, n):
        t[k] = 2.0 * x * t[k - 1] - t[k - 2]
        d[k] = 2.0 * t[k - 1] + 2.0 * x * d[k - 1] - d[k - 2]


@njit(nogil=True)
def _tangent(pool, lengths, motion, x, work, out):  # type: ignore[no-untyped-def]
    """A motion at pose x (3,) and its three derivatives: out (4, 15). ``lengths``: how many numbers of each degree in
    heave are kept."""
    start, nh, nr, nk = motion[0], motion[1], motion[2], motion[3]
    if nh * nr * nk == 1:
        for m in range(_TERMS):
            out[0, m] = pool[start + m]
            out[1, m] = out[2, m] = out[3, m] = 0.0
        return
    basis, first = work
    _basis(x[0], nh, basis[0], basis[1])
    _basis(x[1], nr, basis[2], basis[3])
    _basis(x[2], nk, basis[4], basis[5])
    size = nr * nk * _TERMS
    for m in range(size):
        first[0, m] = first[1, m] = 0.0
    for i in range(nh):
        w, d = basis[0, i], basis[1, i]
        at = start + i * size
        for m in range(lengths[motion[5] + i]):
            first[0, m] += w * pool[at + m]
            first[1, m] += d * pool[at + m]
    for m in range(_TERMS):
        out[0, m] = out[1, m] = out[2, m] = out[3, m] = 0.0
    for j in range(nr):
        for k in range(nk):
            w = basis[2, j] * basis[4, k]
            dr = basis[3, j] * basis[4, k]
            dk = basis[2, j] * basis[5, k]
            at = (j * nk + k) * _TERMS
            for m in range(_TERMS):
                value = first[0, at + m]
                out[0, m] += w * value
                out[1, m] += w * first[1, at + m]
                out[2, m] += dr * value
                out[3, m] += dk * value


@njit(nogil=True)
def _bend(bend_table, grid, motion, piece, ends, out):  # type: ignore[no-untyped-def]
    """Bounds (6,) of the second derivatives of a piece's points in the body's frame: 00 11 22 01 02 12.

    They are convex in the point: the most at the corners of a block of the grid speaks for all within. False when the
    piece leaves the grid.
    """
    for k in range(6):
        out[k] = 0.0
    if motion[1] * motion[2] * motion[3] == 1:
        return True
    ny, nz = int(grid[7]), int(grid[8])
    low, high = np.empty(3, np.int64), np.empty(3, np.int64)
    count = _hull(piece, ends)
    for k in range(3):
        least, most = np.inf, -np.inf
        for p in range(count):
            least, most = min(least, ends[p, k]), max(most, ends[p, k])
        blocks = int(grid[6 + k])
        step = (grid[3 + k] - grid[k]) / blocks
        if least < grid[k] or most > grid[3 + k]:
            return False
        low[k] = min(blocks, int((least - grid[k]) / step))
        # One more than need be where it falls on a node: rounding then cannot leave a corner out.
        high[k] = min(blocks, int((most - grid[k]) / step) + 1)
    for i in range(low[0], high[0] + 1):
        for j in range(low[1], high[1] + 1):
            for m in range(low[2], high[2] + 1):
                at = motion[4] + (i * (ny + 1) + j) * (nz + 1) + m
                for k in range(6):
                    out[k] = max(out[k], bend_table[at, k])
    return True


@njit(nogil=True)
def _hull(piece, out):  # type: ignore[no-untyped-def]
    """Points (up to 4) whose hull holds a whole piece's centre line or middle plane; returns their count."""
    length, wide = piece[11], piece[13]
    if int(piece[0]) == ARC:
        turn = length / piece[10]
        cut = piece[10] * math.tan(0.5 * turn)
        for k in range(3):
            out[0, k] = piece[1 + k]
            out[1, k] = piece[1 + k] + cut * piece[4 + k]
            out[2, k] = (piece[1 + k] + piece[10] * math.sin(turn) * piece[4 + k]
                         + piece[10] * (1.0 - math.cos(turn)) * piece[7 + k])
        return 3
    for k in range(3):
        out[0, k] = piece[1 + k] - wide * piece[14 + k]
        out[1, k] = out[0, k] + length * piece[4 + k]
        out[2, k] = piece[1 + k] + wide * piece[14 + k]
        out[3, k] = out[2, k] + length * piece[4 + k]
    return 4 if wide > 0.0 else 2


@njit(nogil=True)
def _span_of(cell, piece, out):  # type: ignore[no-untyped-def]
    """Points (up to 4) whose hull holds a cell's run of a piece; returns their count."""
    s0, s1 = cell[0], cell[1]
    if int(piece[0]) == ARC:
        r = piece[10]
        a, b = s0 / r, s1 / r
        m = 0.5 * (a + b)
        sag = r * (1.0 - math.cos(0.5 * (b - a)))
        for k in range(3):
            u, v = piece[4 + k], piece[7 + k]
            out[0, k] = piece[1 + k] + r * (math.sin(a) * u + (1.0 - math.cos(a)) * v)
            out[1, k] = piece[1 + k] + r * (math.sin(b) * u + (1.0 - math.cos(b)) * v)
            bulge = sag * (math.sin(m) * u - math.cos(m) * v)
            out[2, k] = out[0, k] + bulge
            out[3, k] = out[1, k] + bulge
        return 4
    for k in range(3):
        out[0, k] = piece[1 + k] + s0 * piece[4 + k] + cell[2] * piece[14 + k]
        out[1, k] = out[0, k] + (s1 - s0) * piece[4 + k]
    if cell[3] > cell[2]:
        for k in range(3):
            out[2, k] = out[0, k] + (cell[3] - cell[2]) * piece[14 + k]
            out[3, k] = out[1, k] + (cell[3] - cell[2]) * piece[14 + k]
        return 4
    return 2


@njit(nogil=True)
def _rise(roll, half):  # type: ignore[no-untyped-def]
    return abs(math.sin(roll)) * half


@njit(nogil=True)
def _allow(x, dom):  # type: ignore[no-untyped-def]
    """Move a pose to a possible one at the same roll; False when the stops leave none."""
    x[1] = min(1.0, max(-1.0, x[1]))
    x[2] = min(1.0, max(-1.0, x[2]))
    rise = _rise(dom[2] + dom[3] * x[1], dom[6])
    low = max(dom[0] - dom[1], -dom[5] + rise)
    high = min(dom[0] + dom[1], dom[4] - rise)
    if low > high:
        if low > high + 1e-9:
            return False
        low = high = 0.5 * (low + high)
    heave = min(high, max(low, dom[0] + dom[1] * x[0]))
    x[0] = (heave - dom[0]) / dom[1] if dom[1] > 0.0 else 0.0
    return True


@njit(nogil=True)
def _cut(cell, dom, corners, spare):  # type: ignore[no-untyped-def]
    """Corners (n, 2), offsets from the cell's middle in heave and roll, of a polygon that holds every possible pose of
    the cell; returns their count, 0 when there is none."""
    eh, er = 0.5 * (cell[5] - cell[4]), 0.5 * (cell[7] - cell[6])
    ch, cr = 0.5 * (cell[5] + cell[4]), 0.5 * (cell[7] + cell[6])
    corners[0, 0], corners[0, 1] = -eh, -er
    corners[1, 0], corners[1, 1] = eh, -er
    corners[2, 0], corners[2, 1] = eh, er
    corners[3, 0], corners[3, 1] = -eh, er
    n = 4
    heave, roll = dom[0] + dom[1] * ch, dom[2] + dom[3] * cr
    wide = dom[3] * er
    half = dom[6]
    most = max(_rise(roll - wide, half), _rise(roll + wide, half))
    top, low = heave + dom[1] * eh, heave - dom[1] * eh
    if top + most <= dom[4] and low - most >= -dom[5]:
        return n
    # sin(roll) from below: tangent less half the width squared times the most it can bend.
    off = half * (0.5 * wide * wide * math.sin(min(0.5 * math.pi, abs(roll) + wide))) + 1e-9
    at, slope = half * math.sin(roll), half * math.cos(roll) * dom[3]
    for which in range(4):
        side = 1.0 if which % 2 == 0 else -1.0
        # side * rise(roll) + heave <= bump, or - heave <= droop: a h + b r <= c for the offsets h, r.
        b = side * slope
        if which < 2:
            a, c = dom[1], dom[4] - heave - side * at + off
        else:
            a, c = -dom[1], dom[5] + heave - side * at + off
        kept = 0
        for i in range(n):
            j = i + 1 if i + 1 < n else 0
            here = a * corners[i, 0] + b * corners[i, 1] - c
            there = a * corners[j, 0] + b * corners[j, 1] - c
            if here <= 0.0:
                spare[kept, 0], spare[kept, 1] = corners[i, 0], corners[i, 1]
                kept += 1
            if (here < 0.0 < there) or (there < 0.0 < here):
                w = here / (here - there)
                spare[kept, 0] = corners[i, 0] + w * (corners[j, 0] - corners[i, 0])
                spare[kept, 1] = corners[i, 1] + w * (corners[j, 1] - corners[i, 1])
                kept += 1
        n = kept
        if n == 0:
            return 0
        for i in range(n):
            corners[i, 0], corners[i, 1] = spare[i, 0], spare[i, 1]
    return n


@njit(nogil=True)
def _plane(n, reach, reach_far, tan, piece, cell, ends, count, corners, ncorners, bend, swing, worst):  # type: ignore[no-untyped-def]
    """Least over the cell of ``n.p - reach``, p in the body's frame. ``reach_far`` is finite for a span, whose far end
    moves: its reach is then ``reach`` at the near end and that plus n.end at the far one.

    ``worst`` (8,): which end point, corner, sign of rock were least; then what each parameter's width may cost: s, o,
    heave, roll, rock.
    """
    eh, er, ek = 0.5 * (cell[5] - cell[4]), 0.5 * (cell[7] - cell[6]), 0.5 * (cell[9] - cell[8])
    for k in range(4):
        for i in range(3):
            swing[k, i] = n[0] * tan[k, i] + n[1] * tan[k, 3 + i] + n[2] * tan[k, 6 + i]
        swing[k, 3] = n[0] * tan[k, 9] + n[1] * tan[k, 10] + n[2] * tan[k, 11]
        swing[k, 4] = n[0] * tan[k, 12] + n[1] * tan[k, 13] + n[2] * tan[k, 14]
    rest = 0.5 * (eh * eh * bend[0] + er * er * bend[1] + ek * ek * bend[2]) + (
        eh * er * bend[3] + eh * ek * bend[4] + er * ek * bend[5])
    least = np.inf
    moved = np.inf
    for far in range(2 if reach_far else 1):
        for p in range(count):
            x, y, z = ends[p, 0], ends[p, 1], ends[p, 2]
            f = swing[0, 0] * x + swing[0, 1] * y + swing[0, 2] * z + swing[0, 3] - reach
            gh = swing[1, 0] * x + swing[1, 1] * y + swing[1, 2] * z + swing[1, 3]
            gr = swing[2, 0] * x + swing[2, 1] * y + swing[2, 2] * z + swing[2, 3]
            gk = swing[3, 0] * x + swing[3, 1] * y + swing[3, 2] * z + swing[3, 3]
            if far == 1:
                f -= swing[0, 4]
                gh -= swing[1, 4]
                gr -= swing[2, 4]
                gk -= swing[3, 4]
            low = np.inf
            corner = 0
            for c in range(ncorners):
                value = gh * corners[c, 0] + gr * corners[c, 1]
                if value < low:
                    low = value
                    corner = c
            low -= abs(gk) * ek
            moved = min(moved, low)
            if f + low < least:
                least = f + low
                worst[0], worst[1], worst[2] = p, corner, (-1.0 if gk > 0.0 else 1.0)
                worst[5], worst[6], worst[7] = abs(gh) * eh, abs(gr) * er, abs(gk) * ek
    run = 0.5 * (cell[1] - cell[0])
    side = 0.5 * (cell[3] - cell[2])
    if int(piece[0]) == ARC:
        # The arc itself at the middle pose, and the most that the poses take off it.
        r = piece[10]
        a, b = cell[0] / r, cell[1] / r
        along = r * (swing[0, 0] * piece[4] + swing[0, 1] * piece[5] + swing[0, 2] * piece[6])
        inward = r * (swing[0, 0] * piece[7] + swing[0, 1] * piece[8] + swing[0, 2] * piece[9])
        base = swing[0, 0] * piece[1] + swing[0, 1] * piece[2] + swing[0, 2] * piece[3] + swing[0, 3] - reach
        if reach_far:
            base -= max(0.0, swing[0, 4])
        low = min(along * math.sin(a) - inward * math.cos(a), along * math.sin(b) - inward * math.cos(b))
        at = math.atan2(-along, inward)
        if a <= at <= b or a <= at + 2.0 * math.pi <= b:
            low = -math.sqrt(along * along + inward * inward)
        least = max(least, base + inward + low + moved)
        m = 0.5 * (a + b)
        ux = math.cos(m) * piece[4] + math.sin(m) * piece[7]
        uy = math.cos(m) * piece[5] + math.sin(m) * piece[8]
        uz = math.cos(m) * piece[6] + math.sin(m) * piece[9]
        sag = r * (1.0 - math.cos(run / r))
    else:
        ux, uy, uz = piece[4], piece[5], piece[6]
        sag = 0.0
    worst[3] = abs(swing[0, 0] * ux + swing[0, 1] * uy + swing[0, 2] * uz) * run + sag
    worst[4] = abs(swing[0, 0] * piece[14] + swing[0, 1] * piece[15] + swing[0, 2] * piece[16]) * side
    for k in range(1, 4):
        e = eh if k == 1 else (er if k == 2 else ek)
        cross = abs(swing[k, 0] * ux + swing[k, 1] * uy + swing[k, 2] * uz) * run * e
        worst[3] += cross
        worst[4 + k] += 0.5 * cross
        if side > 0.0:
            cross = abs(swing[k, 0] * piece[14] + swing[k, 1] * piece[15] + swing[k, 2] * piece[16]) * side * e
            worst[4] += cross
            worst[4 + k] += 0.5 * cross
    worst[5] += 0.5 * (eh * eh * bend[0] + eh * er * bend[3] + eh * ek * bend[4])
    worst[6] += 0.5 * (er * er * bend[1] + eh * er * bend[3] + er * ek * bend[5])
    worst[7] += 0.5 * (ek * ek * bend[2] + eh * ek * bend[4] + er * ek * bend[5])
    return least - rest


@njit(nogil=True)
def _keep(n, reach, trial, held_n, worst):  # type: ignore[no-untyped-def]
    held_n[0], held_n[1], held_n[2], held_n[3] = n[0], n[1], n[2], reach
    for k in range(8):
        worst[k] = trial[k]


@njit(nogil=True)
def _weigh(  # type: ignore[no-untyped-def]
    n, reach, held_n, low, span, tan, piece, cell, ends, count, corners, ncorners, bend, swing, trial, worst, mix,
):
    """Weigh the plane (n, reach) with the one held, by halving the interval of weights; returns the best bound."""
    a0, a1, a2, ra = held_n[0], held_n[1], held_n[2], held_n[3]
    left, middle, right = 0.0, 0.5, 1.0
    best = -np.inf
    for step in range(9):
        if step == 0:
            w = middle
        else:
            w = 0.5 * (left + middle) if step % 2 == 1 else 0.5 * (middle + right)
        mix[0], mix[1], mix[2] = a0 + w * (n[0] - a0), a1 + w * (n[1] - a1), a2 + w * (n[2] - a2)
        both = ra + w * (reach - ra)
        value = _plane(mix, both, span, tan, piece, cell, ends, count, corners, ncorners, bend, swing, trial)
        if value > low:
            low = value
            _keep(mix, both, trial, held_n, worst)
        if step == 0:
            best = value
        elif step % 2 == 1:
            if value > best:
                best = value
                right, middle = middle, w
            else:
                left = w
        elif value > best:
            best = value
            left, middle = middle, w
        else:
            right = w
    return low


@njit(nogil=True)
def _carry(tan, piece, frame):  # type: ignore[no-untyped-def]
    """A piece's start and two directions in the body's frame: frame (3, 3)."""
    second = 7 if int(piece[0]) == ARC else 14
    for i in range(3):
        a, b, c = tan[0, 3 * i], tan[0, 3 * i + 1], tan[0, 3 * i + 2]
        frame[0, i] = a * piece[1] + b * piece[2] + c * piece[3] + tan[0, 9 + i]
        frame[1, i] = a * piece[4] + b * piece[5] + c * piece[6]
        frame[2, i] = a * piece[second] + b * piece[second + 1] + c * piece[second + 2]


@njit(nogil=True)
def _at(frame, piece, s, o, out):  # type: ignore[no-untyped-def]
    """Point of a carried piece and, in out 3..5, the unit direction along it."""
    if int(piece[0]) == ARC:
        r = piece[10]
        sn, cs = math.sin(s / r), math.cos(s / r)
        for k in range(3):
            out[k] = frame[0, k] + r * (sn * frame[1, k] + (1.0 - cs) * frame[2, k])
            out[3 + k] = cs * frame[1, k] + sn * frame[2, k]
        return
    for k in range(3):
        out[k] = frame[0, k] + s * frame[1, k] + o * frame[2, k]
        out[3 + k] = frame[1, k]


@njit(nogil=True)
def _gap(frame, piece, s, o, row, polygons, here, n):  # type: ignore[no-untyped-def]
    """Distance of the point at (s, o), with the direction to it in n; here: the point and direction along."""
    _at(frame, piece, s, o, here)
    return point_way(row, polygons, here[0], here[1], here[2], n)


@njit(nogil=True)
def _slide(frame, piece, cell, s, o, row, polygons, here, n, best):  # type: ignore[no-untyped-def]
    """Slide along the run (and across, for a slab) towards the nearest point; best: gap, s, o, n of the nearest met.

    On a straight past a convex solid the gap is convex along the run, so its slope says which way to go.
    """
    best[0] = _gap(frame, piece, s, o, row, polygons, here, n)
    best[1], best[2], best[3], best[4], best[5] = s, o, n[0], n[1], n[2]
    wide = cell[3] > cell[2]
    for turn in range(4 if wide else 1):
        across = turn % 2 == 1
        slope = 0.0
        for k in range(3):
            slope += n[k] * (frame[2, k] if across else here[3 + k])
        if across:
            a, end = o, (cell[2] if slope > 0.0 else cell[3])
        else:
            a, end = s, (cell[0] if slope > 0.0 else cell[1])
        if abs(end - a) * abs(slope) < 1e-4:
            continue
        b = end
        g_a, g_b = slope, 0.0
        for step in range(6):
            # First the far end of the run, then between the two by the slopes.
            at = end if step == 0 else a + (b - a) * min(0.95, max(0.05, g_a / (g_a - g_b)))
            if across:
                o = at
            else:
                s = at
            gap = _gap(frame, piece, s, o, row, polygons, here, n)
            if gap < best[0]:
                best[0] = gap
                best[1], best[2], best[3], best[4], best[5] = s, o, n[0], n[1], n[2]
            slope = 0.0
            for k in range(3):
                slope += n[k] * (frame[2, k] if across else here[3 + k])
            if step == 0:
                if slope * g_a >= 0.0:
                    break
                g_b = slope
            elif slope * g_a > 0.0:
                a, g_a = at, slope
                g_b *= 0.7
            else:
                b, g_b = at, slope
                g_a *= 0.7
            if abs(slope) < 1e-3:
                break
        s, o = best[1], best[2]
        if wide:
            _at(frame, piece, s, o, here)
            n[0], n[1], n[2] = best[3], best[4], best[5]


@njit(nogil=True)
def _stand_in(row, tan, out):  # type: ignore[no-untyped-def]
    """A span in its own frame, as a capsule from the origin to its far end."""
    for k in range(ROW_WIDTH):
        out[k] = 0.0
    out[0], out[1] = CAPSULE, row[1]
    for k in range(3):
        out[12 + k] = tan[0, 12 + k]


@njit(nogil=True)
def _slope(tan, frame, piece, best, span, x, x2):  # type: ignore[no-untyped-def]
    """How fast the gap at the point that ``best`` tells grows on the way from pose x to x2 [mm]."""
    p = np.empty(6)
    _at(frame, piece, best[1], best[2], p)
    # Back to the pipe's own frame: the rotation's transpose is near enough for a slope.
    total = 0.0
    y = np.empty(3)
    for i in range(3):
        y[i] = 0.0
        for k in range(3):
            y[i] += tan[0, 3 * k + i] * (p[k] - tan[0, 9 + k])
    for k in range(1, 4):
        step = x2[k - 1] - x[k - 1]
        if step != 0.0:
            for i in range(3):
                d = tan[k, 3 * i] * y[0] + tan[k, 3 * i + 1] * y[1] + tan[k, 3 * i + 2] * y[2] + tan[k, 9 + i]
                total += best[3 + i] * d * step
    return total


@njit(nogil=True)
def _skin(tree, root, tan, piece, cell, ends, count, corners, ncorners, bend, swing, worst, goal, middle, gap, trial):  # type: ignore[no-untyped-def]
    """Lower bound of the distance of a cell's run to a scan's skin (radius not taken off), when the middle is ``gap``
    away; what it may be worth to cut is left in ``worst``."""
    boxes, kids, points = tree
    e0, e1, e2 = 0.5 * (cell[5] - cell[4]), 0.5 * (cell[7] - cell[6]), 0.5 * (cell[9] - cell[8])
    stray = 0.0
    for k in range(8):
        worst[k] = 0.0
    for p in range(count):
        off = 0.0
        shift = np.zeros(3)
        for i in range(3):
            at = tan[0, 3 * i] * ends[p, 0] + tan[0, 3 * i + 1] * ends[p, 1] + tan[0, 3 * i + 2] * ends[p, 2]
            at += tan[0, 9 + i] - middle[i]
            off += at * at
            for k in range(1, 4):
                d = tan[k, 3 * i] * ends[p, 0] + tan[k, 3 * i + 1] * ends[p, 1] + tan[k, 3 * i + 2] * ends[p, 2]
                d += tan[k, 9 + i]
                shift[k - 1] += d * d
        h, r, k2 = math.sqrt(shift[0]) * e0, math.sqrt(shift[1]) * e1, math.sqrt(shift[2]) * e2
        worst[5], worst[6], worst[7] = max(worst[5], h), max(worst[6], r), max(worst[7], k2)
        stray = max(stray, math.sqrt(off) + h + r + k2)
    worst[3] = 0.5 * (cell[1] - cell[0])
    worst[4] = 0.5 * (cell[3] - cell[2])
    stray += 0.5 * (e0 * e0 * bend[0] + e1 * e1 * bend[1] + e2 * e2 * bend[2]) + (
        e0 * e1 * bend[3] + e0 * e2 * bend[4] + e1 * e2 * bend[5])
    plain = gap - stray
    if plain >= goal:
        return plain
    low = np.inf
    looked = 0
    n = np.empty(3)
    stack = np.empty(128, np.int64)
    stack[0] = root
    top = 1
    while top > 0:
        top -= 1
        node = stack[top]
        sure = math.sqrt(crate_gap2(boxes, node, middle[0], middle[1], middle[2])) - stray
        if sure >= goal:
            low = min(low, sure)
            continue
        if kids[node, 1] >= 0:
            stack[top], stack[top + 1] = kids[node, 0], kids[node, 1]
            top += 2
            continue
        for t in range(kids[node, 0], kids[node, 0] - kids[node, 1]):
            d = math.sqrt(triangle_way(points, t, middle[0], middle[1], middle[2], n))
            if d - stray >= goal or d < 1e-9:
                low = min(low, d - stray)
                continue
            looked += 1
            if looked > MOST_TRIANGLES_NEAR:
                return plain
            for k in range(3):
                n[k] /= d
            reach = -np.inf
            for c in range(3 * t, 3 * t + 3):
                reach = max(reach, n[0] * points[c, 0] + n[1] * points[c, 1] + n[2] * points[c, 2])
            plane = _plane(n, reach, False, tan, piece, cell, ends, count, corners, ncorners, bend, swing, trial)
            low = min(low, max(plane, d - stray))
    return max(low, plain)


@njit(nogil=True)
def _taller(array):  # type: ignore[no-untyped-def]
    grown = np.empty((2 * array.shape[0], array.shape[1]), array.dtype)
    grown[: array.shape[0]] = array
    return grown


@njit(nogil=True)
def _longer(array):  # type: ignore[no-untyped-def]
    grown = np.empty(2 * array.shape[0], array.dtype)
    grown[: array.shape[0]] = array
    return grown


@njit(nogil=True)
def _note(found, j, gap, i, s, o, x):  # type: ignore[no-untyped-def]
    """Keep the smallest gap met for an obstacle, with its place."""
    if gap < found[j, 0]:
        found[j, 0] = gap
        found[j, 1], found[j, 2], found[j, 3] = i, s, o
        found[j, 4], found[j, 5], found[j, 6] = x[0], x[1], x[2]


@njit(nogil=True)
def _goal(upper, eps, smallest, lim):  # type: ignore[no-untyped-def]
    """Lower bound at which a cell of an obstacle needs no more work; ``eps``: width, overlap past which it is deep."""
    if upper == np.inf:
        return max(lim[0], smallest + lim[1])
    apart = max(eps[0], lim[3] * (upper - max(smallest, 0.0)), lim[4] * -upper if upper < -eps[1] else 0.0)
    return min(upper - apart, max(lim[0], smallest + lim[1]))


@njit(nogil=True)
def _run(route, crates, scene, moves, tree, dom, rest_x, eps, lim, most_cells, found, sure, tally):  # type: ignore[no-untyped-def]
    """Branch and bound over all pieces and obstacles at once, the least certain cell first.

    ``scene``: rows, polygons, numbers of the rows (box over travel, required), indices (motion for a piece on the
    frame, on the engine, root of the scan or -1, obstacle). ``dom``: heave middle, half, roll middle, half, bump,
    droop, half the stops' distance apart. ``lim``: far, farther, stop below, share left apart far off, and
    deep inside. ``found`` (m, 7): upper, piece, s, o, pose; ``sure`` (m,): lower; ``tally``: cells, 1 when a piece left
    the grid of bends.
    """
    rows, polygons, facts, index = scene
    motions, pool, lengths, table, grid = moves
    nrows, npieces = rows.shape[0], route.shape[0]
    nobst = found.shape[0]
    smallest = np.inf
    for j in range(nobst):
        found[j, 0] = sure[j] = np.inf
    cap = 1024
    cells = np.empty((cap, 10))
    pair = np.empty((cap, 3), np.int64)
    keys = np.empty(cap)
    heap = np.empty(cap, np.int64)
    free = np.empty(cap, np.int64)
    filled = waiting = spare_cells = 0
    widest = 1
    for m in range(motions.shape[0]):
        widest = max(widest, motions[m, 2] * motions[m, 3] * _TERMS)
    work = (np.empty((6, MOST_TERMS)), np.empty((2, widest)))
    bends = np.full((npieces, motions.shape[0], 6), np.nan)
    tan, tan2, swing = np.empty((4, _TERMS)), np.empty((4, _TERMS)), np.empty((4, 5))
    frame, frame2, ends = np.empty((3, 3)), np.empty((3, 3)), np.empty((4, 3))
    corners, spare = np.empty((16, 2)), np.empty((16, 2))
    n, here, best, x, x2 = np.empty(3), np.empty(6), np.empty(6), np.empty(3), np.empty(3)
    worst, trial = np.zeros(8), np.zeros(8)
    held, held_n, pair_n = np.empty(ROW_WIDTH), np.empty(4), np.empty(3)
    cell = np.empty(10)
    parent = np.empty(10)
    looked = 0

    # Pairs in the order of the gap of their boxes, which is a lower bound to begin with.
    gaps = np.empty(npieces * nrows)
    for i in range(npieces):
        for r in range(nrows):
            total = 0.0
            for k in range(3):
                d = max(crates[i, k] - facts[r, 3 + k], facts[r, k] - crates[i, 3 + k])
                if d > 0.0:
                    total += d * d
            # Boxes that overlap say nothing of how deep the centre line may lie in a solid.
            gaps[i * nrows + r] = math.sqrt(total) - facts[r, 6] - route[i, 12] if total > 0.0 else -np.inf
    order = np.argsort(gaps)
    next_pair = 0
    axis = 0
    stopped = False
    while True:
        # Roots first; then the cell of which least is sure is cut in two.
        parts = 1
        key = -np.inf
        if next_pair < order.shape[0]:
            p = order[next_pair]
            next_pair += 1
            i, r = p // nrows, p % nrows
            j = index[r, 3]
            if gaps[p] >= _goal(found[j, 0], eps[j], smallest, lim) and found[j, 0] < np.inf:
                sure[j] = min(sure[j], gaps[p])
                continue
            key = gaps[p]
            motion = index[r, 1] if int(route[i, 17]) == ENGINE else index[r, 0]
            parent[0], parent[1] = 0.0, route[i, 11]
            parent[2], parent[3] = -route[i, 13], route[i, 13]
            for k in range(3):
                if motions[motion, 1 + k] > 1:
                    parent[4 + 2 * k], parent[5 + 2 * k] = -1.0, 1.0
                else:
                    parent[4 + 2 * k] = parent[5 + 2 * k] = rest_x[k]
        else:
            if waiting == 0:
                break
            if looked + 2 > most_cells or stopped:
                break
            at, waiting = pop(heap, keys, waiting)
            i, r = pair[at, 0], pair[at, 1]
            axis = pair[at, 2]
            j = index[r, 3]
            key = keys[at]
            free[spare_cells] = at
            spare_cells += 1
            if key >= _goal(found[j, 0], eps[j], smallest, lim):
                sure[j] = min(sure[j], key)
                continue
            for k in range(10):
                parent[k] = cells[at, k]
            motion = index[r, 1] if int(route[i, 17]) == ENGINE else index[r, 0]
            parts = 2
        piece = route[i]
        row = rows[r]
        offset = facts[r, 6] + piece[12]
        bend = bends[i, motion]
        if not bend[0] >= 0.0 and not _bend(table, grid, motions[motion], piece, ends, bend):
            tally[1] = 1.0
            return
        span = int(row[0]) == SPAN
        scan = index[r, 2] >= 0
        for part in range(parts):
            for k in range(10):
                cell[k] = parent[k]
            if parts == 2:
                middle = 0.5 * (parent[2 * axis] + parent[2 * axis + 1])
                cell[2 * axis + 1 - part] = middle
            looked += 1
            count = _span_of(cell, piece, ends)
            ncorners = _cut(cell, dom, corners, spare)
            if ncorners == 0:
                continue
            for k in range(3):
                x[k] = 0.5 * (cell[4 + 2 * k] + cell[5 + 2 * k])
            _tangent(pool, lengths, motions[motion], x, work, tan)
            _carry(tan, piece, frame)
            if span:
                _stand_in(row, tan, held)
                row_here = held
            else:
                row_here = row
            goal = _goal(found[j, 0], eps[j], smallest, lim)
            s, o = 0.5 * (cell[0] + cell[1]), 0.5 * (cell[2] + cell[3])
            for k in range(3):
                x2[k] = x[k]
            possible = _allow(x2, dom) and abs(x2[0] - x[0]) <= 1e-12
            if scan:
                _at(frame, piece, s, o, here)
                reached = skin_way(tree[0], tree[1], tree[2], index[r, 2], here[0], here[1], here[2], 1e9, n)
                if possible:
                    _note(found, j, reached - offset, i, s, o, x)
                low = _skin(tree, index[r, 2], tan, piece, cell, ends, count, corners, ncorners, bend, swing, worst,
                            _goal(found[j, 0], eps[j], smallest, lim) + offset, here, reached, trial)
                low = max(low, 0.0) - offset
            else:
                reached = _gap(frame, piece, s, o, row_here, polygons, here, n)
                if possible:
                    _note(found, j, reached - offset, i, s, o, x)
                reach = row[1] if span else point_reach(row_here, polygons, n[0], n[1], n[2])
                low = _plane(
                    n, reach, span, tan, piece, cell, ends, count, corners, ncorners, bend, swing, worst) - offset
                held_n[0], held_n[1], held_n[2], held_n[3] = n[0], n[1], n[2], reach
                goal = _goal(found[j, 0], eps[j], smallest, lim)
                if low < goal or found[j, 0] == np.inf:
                    _slide(frame, piece, cell, s, o, row_here, polygons, here, n, best)
                    if best[1] != s or best[2] != o:
                        if possible:
                            _note(found, j, best[0] - offset, i, best[1], best[2], x)
                            goal = _goal(found[j, 0], eps[j], smallest, lim)
                        for k in range(3):
                            n[k] = best[3 + k]
                        reach = row[1] if span else point_reach(row_here, polygons, n[0], n[1], n[2])
                        other = _plane(n, reach, span, tan, piece, cell, ends, count, corners, ncorners, bend,
                                       swing, trial) - offset
                        if other > low:
                            low = other
                            _keep(n, reach, trial, held_n, worst)
            low = max(low, key)
            if low < goal or found[j, 0] == np.inf:
                # Where the planes say it is nearest, look.
                c = int(worst[1])
                x2[0] = x[0] + corners[c, 0]
                x2[1] = x[1] + corners[c, 1]
                x2[2] = x[2] + worst[2] * 0.5 * (cell[9] - cell[8])
                good = _allow(x2, dom)
                if not good and found[j, 0] == np.inf:
                    for k in range(3):
                        x2[k] = rest_x[k]
                    good = _allow(x2, dom)
                before = 0.0
                if not scan:
                    before = _slope(tan, frame, piece, best, span, x, x2)
                if good and not (possible and x2[0] == x[0] and x2[1] == x[1] and x2[2] == x[2]):
                    _tangent(pool, lengths, motions[motion], x2, work, tan2)
                    _carry(tan2, piece, frame2)
                    if scan:
                        _at(frame2, piece, s, o, here)
                        reached = skin_way(tree[0], tree[1], tree[2], index[r, 2], here[0], here[1], here[2], 1e9, n)
                        _note(found, j, reached - offset, i, s, o, x2)
                    else:
                        for step in range(2):
                            if span:
                                _stand_in(row, tan2, held)
                            _slide(frame2, piece, cell, s, o, row_here, polygons, here, n, best)
                            _note(found, j, best[0] - offset, i, best[1], best[2], x2)
                            # The way there is as good a plane for the whole cell, and better where the nearest pose of
                            # the cell is far from its middle.
                            if span:
                                _stand_in(row, tan, held)
                            for k in range(3):
                                n[k] = best[3 + k]
                            reach = row[1] if span else point_reach(row_here, polygons, n[0], n[1], n[2])
                            other = _plane(n, reach, span, tan, piece, cell, ends, count, corners, ncorners, bend,
                                           swing, trial) - offset
                            if other > low:
                                low = other
                                _keep(n, reach, trial, held_n, worst)
                            if low >= _goal(found[j, 0], eps[j], smallest, lim) or step == 1:
                                break
                            # Where the slope from the middle to there turns round, it is nearer still.
                            there = _slope(tan2, frame2, piece, best, span, x, x2)
                            if there <= 0.0 or before >= 0.0:
                                break
                            w = min(0.95, max(0.05, before / (before - there)))
                            for k in range(3):
                                x2[k] = x[k] + w * (x2[k] - x[k])
                            if not _allow(x2, dom):
                                break
                            _tangent(pool, lengths, motions[motion], x2, work, tan2)
                            _carry(tan2, piece, frame2)
            if not scan and low < _goal(found[j, 0], eps[j], smallest, lim):
                # Two planes weighed together are a plane as sure, flat where the gap has a ridge (within a solid).
                for _ in range(MOST_WEIGHED):
                    p, c = int(worst[0]), int(worst[1])
                    x2[0] = x[0] + corners[c, 0]
                    x2[1] = x[1] + corners[c, 1]
                    x2[2] = x[2] + worst[2] * 0.5 * (cell[9] - cell[8])
                    _tangent(pool, lengths, motions[motion], x2, work, tan2)
                    _carry(tan2, piece, frame2)
                    if span:
                        _stand_in(row, tan2, held)
                    across = cell[3] if p >= 2 and int(piece[0]) != ARC else cell[2]
                    _gap(frame2, piece, cell[p % 2], across, row_here, polygons, here, n)
                    if span:
                        _stand_in(row, tan, held)
                    if n[0] * held_n[0] + n[1] * held_n[1] + n[2] * held_n[2] > ALIKE:
                        break
                    reach = row[1] if span else point_reach(row_here, polygons, n[0], n[1], n[2])
                    before = low
                    low = _weigh(n, reach, held_n, low + offset, span, tan, piece, cell, ends, count, corners, ncorners,
                                 bend, swing, trial, worst, pair_n) - offset
                    goal = _goal(found[j, 0], eps[j], smallest, lim)
                    if low >= goal or low - before < 0.05 * (goal - before):
                        break
                low = max(low, key)
            smallest = min(smallest, found[j, 0])
            if found[j, 0] < lim[2]:
                stopped = True
            if low >= _goal(found[j, 0], eps[j], smallest, lim):
                sure[j] = min(sure[j], low)
                continue
            widest_of = 0
            for k in range(1, 5):
                if worst[3 + k] > worst[3 + widest_of]:
                    widest_of = k
            if not cell[2 * widest_of + 1] - cell[2 * widest_of] > 1e-12:
                sure[j] = min(sure[j], low)
                continue
            if spare_cells > 0:
                spare_cells -= 1
                at = free[spare_cells]
            else:
                if filled == cap:
                    cap *= 2
                    cells = _taller(cells)
                    pair = _taller(pair)
                    keys = _longer(keys)
                    heap = _longer(heap)
                    free = _longer(free)
                at = filled
                filled += 1
            for k in range(10):
                cells[at, k] = cell[k]
            pair[at, 0], pair[at, 1], pair[at, 2] = i, r, widest_of
            keys[at] = low
            waiting = push(heap, keys, waiting, at)
    for k in range(waiting):
        at = heap[k]
        j = index[pair[at, 1], 3]
        sure[j] = min(sure[j], keys[at])
    tally[0] = looked


def _entry(stamp):  # type: ignore[no-untyped-def]
    """The one entry that is kept in the compiler's cache, keyed by ``stamp`` too (see ``geometry.sweep``)."""

    @njit(cache=True, nogil=True)
    def run(route, crates, scene, moves, tree, dom, rest_x, eps, lim, most_cells, found, sure, tally):  # type: ignore[no-untyped-def]
        if stamp >= 0:
            _run(route, crates, scene, moves, tree, dom, rest_x, eps, lim, most_cells, found, sure, tally)

    return run


_search = _entry(text_stamp(point, distance, solids, queue))  # type: ignore[no-untyped-call]


# ---------------------------------------------------------------------------------------------------------------------
# What the kernels are given.


@dataclass(slots=True)
class _Motion:
    """A series over the box of possible poses, and how far it may be off: ``still_mm`` + ``per_mm`` * distance from
    the middle of the problem's bounds."""

    coefs: Floats
    still_mm: float
    per_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class _Scene:
    rows: Floats
    polygons: Floats
    facts: Floats
    index: Ints
    slack: Floats
    moves: tuple[Ints, Floats, Ints, Floats, Floats]
    """table of motions, series, how much of them is kept, bounds of second derivatives, grid of those"""
    tree: tuple[Floats, Ints, Floats]
    dom: Floats
    rest_x: Floats
    off: Floats
    """(m, 2) of the motions: still, per mm"""
    middle: Floats
    engine: _Motion | None


def possible_box(domain: Domain) -> tuple[Floats, Floats]:
    """Lower and upper end (3,) of the box round the poses that the stops leave: heave [mm], roll, rock [rad].

    Raises
    ------
    GapError
        when they leave none
    """
    lo, hi = domain.lo.copy(), domain.hi.copy()
    half = domain.apart / 2.0
    lo[1], hi[1] = max(lo[1], -domain.roll_limit), min(hi[1], domain.roll_limit)
    least = max(lo[1], -hi[1], 0.0)
    rise = math.sin(least) * half if lo[1] <= hi[1] else math.inf
    lo[0], hi[0] = max(lo[0], -domain.droop + rise), min(hi[0], domain.bump - rise)
    if lo[1] > hi[1] or lo[0] > hi[0]:
        raise GapError("the domain holds no possible pose: look at the stops and the roll limit")
    bump, droop = min(domain.bump, 1e9), min(domain.droop, 1e9)
    easiest = min(hi[0], max(lo[0], (bump - droop) / 2.0))
    room = min(bump - easiest, droop + easiest)
    if half > 0.0 and room < half:
        most = max(math.asin(max(room, 0.0) / half), least)
        lo[1], hi[1] = max(lo[1], -most), min(hi[1], most)
    return lo, hi


def _easiest(domain: Domain, lo: Floats, hi: Floats) -> Floats:
    """The pose that leaves most room to the stops [mm, rad]."""
    bump, droop = min(domain.bump, 1e9), min(domain.droop, 1e9)
    return np.array((min(hi[0], max(lo[0], (bump - droop) / 2.0)), min(hi[1], max(lo[1], 0.0)), (lo[2] + hi[2]) / 2.0))


class _Builder:
    """Turns motions round and writes them as series over the box of possible poses."""

    def __init__(self, problem: Problem) -> None:
        self.lo, self.hi = possible_box(problem.domain)
        self.domain = problem.domain
        corners = np.vstack((problem.bounds, problem.outlet, problem.exit.low, problem.exit.high))
        self.middle = (corners.min(axis=0) + corners.max(axis=0)) / 2.0
        self.low, self.high = corners.min(axis=0) - BEYOND_MM, corners.max(axis=0) + BEYOND_MM
        self.reach = float(np.linalg.norm(self.high - self.middle))

    def nodes(self, counts: tuple[int, ...]) -> Floats:
        """Parameters (n, 3) at Chebyshev nodes of the box, the last axis fastest."""
        columns = []
        for k, count in enumerate(counts):
            unit = _unit_nodes(count)
            columns.append((self.lo[k] + self.hi[k]) / 2.0 + (self.hi[k] - self.lo[k]) / 2.0 * unit)
        return np.stack([g.ravel() for g in np.meshgrid(*columns, indexing="ij")], axis=1)

    def series(self, values: Floats, counts: tuple[int, ...]) -> Floats:
        """Coefficients (*counts, terms) of the polynomial through values at the nodes."""
        coefs = values.reshape(*counts, -1)
        for axis, count in enumerate(counts):
            if count > 1:
                analysis = chebyshev.chebvander(_unit_nodes(count), count - 1).T * (2.0 / count)
                analysis[0] *= 0.5
                coefs = np.moveaxis(np.tensordot(analysis, coefs, axes=(1, axis)), 0, axis)
        return np.ascontiguousarray(coefs)

    def degrees(self, path: PosePath | None) -> tuple[int, int, int]:
        if path is None:
            return (0, 0, 0)
        shape = path.coefs.shape
        return tuple(shape[k] - 1 if self.hi[k] > self.lo[k] else 0 for k in range(3))  # type: ignore[return-value]

    def poses(self, path: PosePath | None, at: Floats) -> tuple[Floats, Floats]:
        if path is None:
            return np.broadcast_to(np.eye(3), (len(at), 3, 3)), np.zeros((len(at), 3))
        return path.poses(at)

    def possible(self, at: Floats) -> NDArray[np.bool_]:
        rise = np.abs(np.sin(at[:, 1])) * self.domain.apart / 2.0
        out: NDArray[np.bool_] = (at[:, 0] + rise <= self.domain.bump + 1e-9) & (
            at[:, 0] - rise >= -self.domain.droop - 1e-9)
        return out

    def defect(self, turn: Floats, at: Floats) -> float:
        """How far rotations (n, 3, 3) are from square over the possible nodes, as the most they stretch [-]."""
        good = turn[self.possible(at)]
        if not len(good):
            good = turn
        return 1.5 * float(np.linalg.norm(np.einsum("nki,nkj->nij", good, good) - np.eye(3), axis=(1, 2)).max())

    def turned(self, path: PosePath | None, carrier: PosePath | None, reach_mm: float) -> _Motion:
        """Point of the pipe, at ride height on ``carrier``, to the frame of a body on ``path`` whose points lie within
        ``reach_mm`` of the origin."""
        if path is carrier:
            path = carrier = None
        one, two = self.degrees(path), self.degrees(carrier)
        counts = tuple(2 * a + b + 1 for a, b in zip(one, two))
        at = self.nodes(counts)
        turn, shift = self.poses(path, at)
        carried, moved = self.poses(carrier, at)
        values = np.zeros((len(at), _TERMS))
        values[:, :9] = np.einsum("nki,nkj->nij", turn, carried).reshape(-1, 9)
        values[:, 9:12] = np.einsum("nki,nk->ni", turn, moved - shift)
        lost = self.defect(turn, at) if path is not None else 0.0
        return self.trimmed(self.series(values, counts), lost * (reach_mm + self.reach))

    def along(self, span: Span, carrier: PosePath | None) -> _Motion:
        """Point of the pipe to a frame that goes with a span: origin at its near end, z towards the far end."""
        first = np.asarray(span.b, dtype=np.float64) - np.asarray(span.a, dtype=np.float64)
        size = float(np.linalg.norm(first))
        start = first / size if size > 1e-9 else np.array((0.0, 0.0, 1.0))
        one, two = self.degrees(span.path_a), self.degrees(span.path_b)
        deg = tuple(max(a, b) for a, b in zip(one, two))
        base = _onto(np.array((0.0, 0.0, 1.0))[None], start[None])[0]
        for more in (3, 6):
            counts = tuple(d + more + 1 if d > 0 else 1 for d in deg)
            swung = self.series(self.swing(span, start, base, self.nodes(counts)).reshape(-1, 9), counts)
            between = tuple(c + 1 if c > 1 else 1 for c in counts)
            lost = self.defect(self.at_nodes(swung, between).reshape(-1, 3, 3), self.nodes(between))
            if lost <= 1e-9:
                break
        else:
            # It swings too far for its length: a frame that does not swing with it is as certain, if less near.
            counts, lost = (1, 1, 1), 0.0
            swung = base.reshape(1, 1, 1, 9)
        third = self.degrees(carrier)
        counts = tuple(c - 1 + max(d, e) + 1 for c, d, e in zip(counts, deg, third))
        at = self.nodes(counts)
        turn = self.at_nodes(swung, counts).reshape(-1, 3, 3)
        (ra, ta), (rb, tb) = self.poses(span.path_a, at), self.poses(span.path_b, at)
        near = ra @ np.asarray(span.a, dtype=np.float64) + ta
        far = rb @ np.asarray(span.b, dtype=np.float64) + tb
        carried, moved = self.poses(carrier, at)
        values = np.zeros((len(at), _TERMS))
        values[:, :9] = np.einsum("nki,nkj->nij", turn, carried).reshape(-1, 9)
        values[:, 9:12] = np.einsum("nki,nk->ni", turn, moved - near)
        values[:, 12:15] = np.einsum("nki,nk->ni", turn, far - near)
        return self.trimmed(self.series(values, counts), lost * (2.0 * self.reach + size))

    def swing(self, span: Span, start: Floats, base: Floats, at: Floats) -> Floats:
        (ra, ta), (rb, tb) = self.poses(span.path_a, at), self.poses(span.path_b, at)
        along = rb @ np.asarray(span.b, dtype=np.float64) + tb - ra @ np.asarray(span.a, dtype=np.float64) - ta
        size = np.linalg.norm(along, axis=1)
        along = np.where(size[:, None] > 1e-9, along / np.maximum(size, 1e-9)[:, None], start)
        return _onto(np.broadcast_to(start, along.shape), along) @ base

    def at_nodes(self, coefs: Floats, counts: tuple[int, ...]) -> Floats:
        """Values (n, terms) of a series at the nodes of ``counts``, one parameter after the other, as ``nodes`` has
        them."""
        out = coefs
        for axis, count in enumerate(counts):
            unit = _unit_nodes(count)
            basis = chebyshev.chebvander(unit, coefs.shape[axis] - 1)
            out = np.moveaxis(np.tensordot(basis, out, axes=(1, axis)), 0, axis)
        return np.ascontiguousarray(out).reshape(-1, coefs.shape[3])

    def trimmed(self, coefs: Floats, lost_mm: float) -> _Motion:
        """A motion without what its high degrees do not bring, which is kept as its error."""
        turn = np.linalg.norm(coefs[..., :9], axis=-1)
        shifted = coefs[..., :9].reshape(*coefs.shape[:3], 3, 3) @ self.middle + coefs[..., 9:12]
        still = np.linalg.norm(shifted, axis=-1) + np.linalg.norm(coefs[..., 12:15], axis=-1)
        price = still + turn * self.reach
        # What goes is a far corner of the table: all degrees past it are dearer to keep than it is.
        tail = price
        for axis in range(3):
            tail = np.flip(np.maximum.accumulate(np.flip(tail, axis), axis), axis)
        inward = np.argsort(tail, axis=None)
        spent = np.cumsum(price.ravel()[inward])
        last = int(np.searchsorted(spent, TRIM_MM))
        gone = np.zeros(price.size, dtype=bool)
        gone[inward[:last]] = True
        gone = gone.reshape(price.shape)
        gone[0, 0, 0] = False
        kept = ~gone
        rest = ((1, 2), (0, 2), (0, 1))
        shape = [int(np.nonzero(kept.any(axis=rest[axis]))[0][-1]) + 1 for axis in range(3)]
        cut = np.where(gone[..., None], 0.0, coefs)[: shape[0], : shape[1], : shape[2]]
        if max(shape) > MOST_TERMS:
            raise ProblemError(f"a motion needs {max(shape)} terms along one parameter; at most {MOST_TERMS} are taken")
        return _Motion(np.ascontiguousarray(cut), float(still[gone].sum()) + lost_mm, float(turn[gone].sum()))


def _unit_nodes(count: int) -> Floats:
    """Chebyshev nodes (count,) from -1 to 1; the middle where there is one."""
    if count == 1:
        return np.zeros(1)
    return np.asarray(np.cos((np.arange(count) + 0.5) * (np.pi / count)))


def _onto(one: Floats, other: Floats) -> Floats:
    """Least rotations (n, 3, 3) that carry unit vectors ``one`` (n, 3) onto ``other`` (n, 3)."""
    axis = np.cross(one, other)
    cosine = np.einsum("ni,ni->n", one, other)
    out = np.zeros((len(axis), 3, 3))
    cross = np.zeros_like(out)
    cross[:, 0, 1], cross[:, 0, 2], cross[:, 1, 2] = -axis[:, 2], axis[:, 1], -axis[:, 0]
    cross -= cross.transpose(0, 2, 1)
    whole = 1.0 + cosine
    safe = np.where(whole > 1e-9, whole, 1.0)
    out = np.eye(3) + cross + cross @ cross / safe[:, None, None]
    for k in np.nonzero(whole <= 1e-9)[0]:
        side = np.cross(one[k], np.eye(3)[int(np.argmin(np.abs(one[k])))])
        side /= np.linalg.norm(side)
        out[k] = 2.0 * np.outer(side, side) - np.eye(3)
    return out


def _second(coefs: Floats, points: Floats) -> Floats:
    """Bounds (n, 6) of the second derivatives of points (n, 3) in the body's frame: 00 11 22 01 02 12; of the near
    and the far end of a span, the larger."""
    out = np.zeros((len(points), 6))
    for which, (first, second) in enumerate(((0, 0), (1, 1), (2, 2), (0, 1), (0, 2), (1, 2))):
        block: Floats = coefs
        for axis in (first, second):
            slope = chebyshev.chebder(block, axis=axis) if block.shape[axis] > 1 else np.zeros((1, 1, 1, _TERMS))
            block = np.asarray(slope, dtype=np.float64)
        flat = block.reshape(-1, _TERMS)
        near = (flat[:, :9].reshape(-1, 3) @ points.T).reshape(len(flat), 3, -1) + flat[:, 9:12, None]
        out[:, which] = np.sqrt(np.square(near).sum(axis=1)).sum(axis=0)
        if np.any(flat[:, 12:15]):
            far = near - flat[:, 12:15, None]
            out[:, which] = np.maximum(out[:, which], np.sqrt(np.square(far).sum(axis=1)).sum(axis=0))
    return out


def _swept(points: Floats, path: PosePath | None, builder: _Builder) -> tuple[Floats, Floats]:
    """Corners of the upright box that points (n, 3) stay in over the possible poses."""
    if path is None:
        return points.min(axis=0), points.max(axis=0)
    counts = tuple(d + 1 for d in builder.degrees(path))
    at = builder.nodes(counts)
    turn, shift = path.poses(at)
    coefs = builder.series(np.concatenate((turn.reshape(-1, 9), shift), axis=1), counts).reshape(-1, 12)
    moved = np.einsum("cij,pj->cpi", coefs[:, :9].reshape(-1, 3, 3), points) + coefs[:, None, 9:]
    swing = np.abs(moved[1:]).sum(axis=0)
    return (moved[0] - swing).min(axis=0), (moved[0] + swing).max(axis=0)


@lru_cache(maxsize=6)
def _scene(problem: Problem) -> _Scene:
    """All that does not hang on the route; kept for the last few problems."""
    builder = _Builder(problem)
    convex: list[Any] = []
    motions: list[_Motion] = []
    known: dict[tuple[int, int], int] = {}
    starts: list[int] = []
    facts: list[list[float]] = []
    index: list[list[int]] = []
    scans: list[tuple[int, Any]] = []
    slack: list[float] = []

    def motion_of(path: PosePath | None, carrier: PosePath | None, reach_mm: float) -> int:
        key = (0, 0) if path is carrier else (id(path), id(carrier))
        if key not in known:
            known[key] = len(motions)
            motions.append(builder.turned(path, carrier, reach_mm))
        return known[key]

    farthest = max((float(np.abs(np.array(bounds(s))).max()) * 2.0 for o in problem.obstacles
                    if isinstance(o.body, Rigid) for s in o.body.solids), default=0.0)
    motion_of(None, None, farthest)
    engine = problem.engine
    for j, obstacle in enumerate(problem.obstacles):
        body = obstacle.body
        if isinstance(body, Span):
            bar = Capsule(body.a, body.b, body.radius_mm)
            if body.path_a is body.path_b:
                body = Rigid((bar,), body.path_a)
        if isinstance(body, Span):
            low_a, high_a = _swept(bar.start[None], body.path_a, builder)
            low_b, high_b = _swept(bar.end[None], body.path_b, builder)
            box = (np.minimum(low_a, low_b) - bar.radius_mm, np.maximum(high_a, high_b) + bar.radius_mm)
            motions.append(builder.along(body, None))
            places = [len(motions) - 1] * 2
            if engine is not None:
                motions.append(builder.along(body, engine))
                places[1] = len(motions) - 1
            convex.append(bar)
            facts.append([*box[0], *box[1], obstacle.required_mm])
            index.append([*places, -1, j])
            slack.append(0.0)
            starts.append(1)
            continue
        places = [motion_of(body.path, None, farthest)] * 2
        if engine is not None:
            places[1] = motion_of(body.path, engine, farthest)
        for solid in body.solids:
            low, high = bounds(solid)
            picks = np.array([[(c >> k) & 1 for k in range(3)] for c in range(8)], dtype=bool)
            box = _swept(np.where(picks, high, low), body.path, builder)
            root = -1
            if isinstance(solid, TriangleMesh):
                scans.append((len(convex), solid.tree()))
                solid = Capsule(low, low, 0.0)
                root = 0
            convex.append(solid)
            facts.append([*box[0], *box[1], obstacle.required_mm])
            index.append([*places, root, j])
            slack.append(solid.slack_mm if isinstance(solid, Capsule) else 0.0)
            starts.append(0)
    rows, polygons = pack_points(convex)
    rows[np.array(starts, dtype=bool), 0] = SPAN
    boxes, kids, corners = [np.zeros((1, 6))], [np.zeros((1, 2), np.int64)], [np.zeros((3, 3))]
    used, points = 1, 1
    for r, tree in scans:
        moved = tree.kids.copy()
        leaf = moved[:, 1] < 0
        moved[leaf, 0] += points
        moved[~leaf] += used
        boxes.append(tree.boxes)
        kids.append(moved)
        corners.append(tree.corners)
        index[r][2] = used
        used += len(tree.boxes)
        points += len(tree.corners) // 3
    lo, hi = builder.lo, builder.hi
    rest = _easiest(problem.domain, lo, hi)
    half = (hi - lo) / 2.0
    rest_x = np.where(half > 0.0, (rest - (lo + hi) / 2.0) / np.where(half > 0.0, half, 1.0), 0.0)
    blocks = np.maximum(1, np.ceil((builder.high - builder.low) / BLOCK_MM)).astype(int)
    grid = np.concatenate((builder.low, builder.high, blocks))
    nodes = np.stack([g.ravel() for g in np.meshgrid(
        *(np.linspace(builder.low[k], builder.high[k], blocks[k] + 1) for k in range(3)), indexing="ij")], axis=1)
    table: list[list[int]] = []
    lengths: list[int] = []
    at = 0
    for k, motion in enumerate(motions):
        table.append([at, *motion.coefs.shape[:3], k * len(nodes), len(lengths)])
        at += motion.coefs.size
        lengths += [int(np.nonzero(row)[0][-1]) + 1 if np.any(row) else 0 for row in
                    np.repeat(np.any(motion.coefs != 0.0, axis=(2, 3)), motion.coefs.shape[2] * _TERMS, axis=1)]
    moves = (np.array(table, dtype=np.int64), np.concatenate([m.coefs.ravel() for m in motions]),
             np.array(lengths, dtype=np.int64), np.vstack([_second(m.coefs, nodes) for m in motions]), grid)
    dom = np.array(((lo[0] + hi[0]) / 2.0, half[0], (lo[1] + hi[1]) / 2.0, half[1],
                    min(problem.domain.bump, 1e9), min(problem.domain.droop, 1e9), problem.domain.apart / 2.0))
    return _Scene(
        rows, polygons, np.array(facts, dtype=np.float64).reshape(-1, 7),
        np.array(index, dtype=np.int64).reshape(-1, 4), np.array(slack), moves,
        (np.vstack(boxes), np.vstack(kids), np.vstack(corners)), dom, rest_x,
        np.array([[m.still_mm, m.per_mm] for m in motions]), builder.middle,
        builder.turned(None, engine, 0.0) if engine is not None else None,
    )


def certify(
    problem: Problem, way: Way, *, width_mm: float = 0.1, most_cells: int = MOST_CELLS, stop_below: float | None = None,
) -> Certificate:
    """Bounds of a route's smallest margin over what is required, at every pose that the stops leave.

    The bounds hold for the motions as given: how far those may be off is ``problem.margin_mm``. It comes off the lower
    and onto the upper bound, as do the slack of bars that stand for arcs and what this module lets go by
    (``ROUNDING_MM``, ``TRIM_MM``, the latter counted in the width). A scan has no inside (``TriangleMesh``): a pipe
    wholly within one is not seen, which errs to a larger gap, and where the centre line crosses its skin the gap is
    minus the pipe's radius, however deep. A part is a slab with round edges, which errs to a smaller gap.

    Parameters
    ----------
    problem : Problem
    way : Way
    width_mm : float
        how near the bounds come to each other [mm], 0.01 or more; for an obstacle farther than the nearest one 2 % of
        what its margin is more than that one's (or than 0) is enough, for one that the pipe overlaps by more than its
        radius 10 % of that
    most_cells : int
        cells to look at before giving up with bounds that hold but have not closed [-]
    stop_below : float
        stop as soon as a margin below this is met [mm]; the bounds hold but need not have closed

    Returns
    -------
    Certificate
        with one ``ObstacleGap`` for each obstacle, in the problem's order; its ``at`` is in the vehicle's frame at its
        pose, a pipe that rides on the engine carried along

    Raises
    ------
    ProblemError
        width below 0.01 mm; a way without length, or one that leaves the bounds by more than 500 mm
    GapError, PathError
        no possible pose; poses outside the box of a path

    Source: branch and bound, as told at the head of this module.

    Examples
    --------
    >>> from trialfit.geometry.gaps import Domain, Rigid
    >>> from trialfit.geometry.solids import Capsule
    >>> from trialfit.routing.problem import Exit, Obstacle, Size
    >>> post = Obstacle("post", "made up", Rigid((Capsule([500, 100, 0], [500, 100, 300], 20.0),)), 15.0)
    >>> end = Exit(np.array([990.0, -10, -10]), np.array([1010.0, 10, 10]), np.array([1.0, 0, 0]), 0.1)
    >>> asked = Problem((post,), np.zeros(3), np.array([1.0, 0, 0]), end, (Size("50 x 1.5", 50.0, 1.5, (), ()),),
    ...                 np.array([[-100.0, -200, -200], [1100, 200, 200]]), Domain([0, 0, 0], [0, 0, 0]),
    ...                 np.zeros((1, 3)))
    >>> straight = Way(0, np.array([[0.0, 0, 0], [1000, 0, 0]]), (), (), 0.0, (), 1000.0, 0.0, 0, 0.0)
    >>> found = certify(asked, straight)
    >>> round(found.lower_mm, 3), round(found.upper_mm, 3), found.closed
    (40.0, 40.0, True)
    """
    if not 0.01 <= width_mm < math.inf:
        raise ProblemError(f"the width of a certificate, {width_mm:g} mm, must be 0.01 mm or more")
    rows = np.ascontiguousarray(pieces(problem, way))
    if not len(rows):
        raise ProblemError("the route has no length: there is nothing to certify")
    scene = _scene(problem)
    count = len(problem.obstacles)
    if count == 0:
        return Certificate(math.inf, math.inf, (), True, 0)
    crates, farthest = _crates(rows, scene)
    error = scene.off[:, 0] + scene.off[:, 1] * farthest
    of_row = np.maximum(error[scene.index[:, 0]], error[scene.index[:, 1]])
    off, slack = np.zeros(count), np.zeros(count)
    np.maximum.at(off, scene.index[:, 3], of_row)
    np.maximum.at(slack, scene.index[:, 3], scene.slack)
    eps = np.stack((np.maximum(width_mm - 2.0 * off, 0.2 * width_mm),
                    np.array([o.required_mm for o in problem.obstacles]) + float(rows[:, 12].min())), axis=1)
    found, sure, tally = np.zeros((count, 7)), np.zeros(count), np.zeros(2)
    lim = np.array((FAR_MM, FARTHER_MM, -math.inf if stop_below is None else stop_below - problem.margin_mm, FAR_SHARE,
                    DEEP_SHARE))
    _search(rows, crates, (scene.rows, scene.polygons, scene.facts, scene.index), scene.moves, scene.tree,
            scene.dom, scene.rest_x, eps, lim, int(most_cells), found, sure, tally)
    if tally[1] > 0.0:
        raise ProblemError(f"the route leaves the problem's bounds by more than {BEYOND_MM:g} mm")
    own = off + slack + problem.margin_mm + ROUNDING_MM
    least = float(found[:, 0].min())
    far_at = max(FAR_MM, least + FARTHER_MM)
    gaps = []
    for j, obstacle in enumerate(problem.obstacles):
        low = min(float(sure[j]), float(found[j, 0]))
        enough = max(eps[j, 0], -DEEP_SHARE * found[j, 0] if found[j, 0] < -eps[j, 1] else 0.0)
        closed = bool(found[j, 0] - low <= enough + 1e-9)
        unit = found[j, 4:7]
        pose = (float(scene.dom[0] + scene.dom[1] * unit[0]), float(scene.dom[2] + scene.dom[3] * unit[1]),
                float(_rock(problem.domain, unit[2])))
        apart = FAR_SHARE * (found[j, 0] - max(least, 0.0))
        gaps.append(ObstacleGap(
            obstacle.name, obstacle.required_mm, float(low - own[j]), float(found[j, 0] + own[j]), pose,
            _place(problem, rows[int(found[j, 1])], found[j, 2], found[j, 3], pose), closed,
            bool(not closed and (low >= far_at or found[j, 0] - low <= apart + 1e-9)),
        ))
    return Certificate(min(g.lower_mm for g in gaps), min(g.upper_mm for g in gaps), tuple(gaps),
                       all(g.closed or g.far for g in gaps), int(tally[0]))


def _rock(domain: Domain, unit: float) -> float:
    return float((domain.lo[2] + domain.hi[2]) / 2.0 + (domain.hi[2] - domain.lo[2]) / 2.0 * unit)


def _place(
    problem: Problem, piece: Floats, s: float, o: float, pose: tuple[float, float, float]
) -> tuple[float, float, float]:
    if int(piece[0]) == ARC:
        angle = s / piece[10]
        at = piece[1:4] + piece[10] * (math.sin(angle) * piece[4:7] + (1.0 - math.cos(angle)) * piece[7:10])
    else:
        at = piece[1:4] + s * piece[4:7] + o * piece[14:17]
    if int(piece[17]) == ENGINE and problem.engine is not None:
        at = problem.engine.move(at, pose)
    return float(at[0]), float(at[1]), float(at[2])


def _crates(rows: Floats, scene: _Scene) -> tuple[Floats, float]:
    """Upright boxes (k, 6) that the pieces' centre lines stay in over travel, and how far from the middle of the
    problem's bounds they come at ride height [mm]."""
    ends = np.empty((len(rows), 4, 3))
    start, along, length = rows[:, 1:4], rows[:, 4:7], rows[:, 11:12]
    arc = rows[:, 0] == ARC
    side = rows[:, 13:14] * rows[:, 14:17]
    ends[:, 0], ends[:, 1] = start - side, start + side
    ends[:, 2], ends[:, 3] = ends[:, 0] + length * along, ends[:, 1] + length * along
    if np.any(arc):
        radius = rows[arc, 10:11]
        turn = length[arc] / radius
        ends[arc, 1] = start[arc] + radius * np.tan(turn / 2.0) * along[arc]
        ends[arc, 2] = ends[arc, 3] = start[arc] + radius * (
            np.sin(turn) * along[arc] + (1.0 - np.cos(turn)) * rows[arc, 7:10])
    farthest = float(np.linalg.norm(ends - scene.middle, axis=2).max())
    low, high = ends.min(axis=1), ends.max(axis=1)
    riding = rows[:, 17] == ENGINE
    if scene.engine is not None and np.any(riding):
        coefs = scene.engine.coefs.reshape(-1, _TERMS)
        moved = np.einsum("cij,kpj->ckpi", coefs[:, :9].reshape(-1, 3, 3), ends[riding]) + coefs[:, None, None, 9:12]
        swing = np.abs(moved[1:]).sum(axis=0) + scene.engine.still_mm + scene.engine.per_mm * farthest
        low[riding], high[riding] = (moved[0] - swing).min(axis=1), (moved[0] + swing).max(axis=1)
    return np.ascontiguousarray(np.concatenate((low, high), axis=1)), farthest


def compile_kernels() -> None:
    """Compile the search, or load it from the cache beside the code; later calls never wait for the compiler."""
    from numba import typeof

    call = (
        np.zeros((1, PIECE_WIDTH)), np.zeros((1, 6)),
        (np.zeros((1, ROW_WIDTH)), np.zeros((1, RECORD)), np.zeros((1, 7)), np.zeros((1, 4), np.int64)),
        (np.zeros((1, 6), np.int64), np.zeros(_TERMS), np.zeros(1, np.int64), np.zeros((1, 6)), np.zeros(9)),
        (np.zeros((1, 6)), np.zeros((1, 2), np.int64), np.zeros((3, 3))),
        np.zeros(7), np.zeros(3), np.zeros((1, 2)), np.zeros(5), 1, np.zeros((1, 7)), np.zeros(1), np.zeros(2),
    )
    _search.compile(tuple(typeof(argument) for argument in call))  # type: ignore[no-untyped-call]
