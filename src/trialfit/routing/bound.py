"""What no route can be cheaper than: a search over all routes at once, of which boxes stand for endless many.

Which routes. Centre lines of straights and arcs: a first straight from the outlet along its aim, then bends, each one
arc of a size's own bends of no more than its ``most_rad``, with the straights between them that are asked for, ending
in the exit's box and cone, inside the bounds; each part on one straight with the middle in its zone, in order; the
whole of it, parts with their width, no nearer to anything than required at every pose of ``problem.states``. Left out
are the poses between the states, the gap's share of the cost and the least turn of a bend: that can only lower the
bound. Of the parts, those without a zone only take up length, and of those with one no more than four are placed.

How a route is written. Its corners, where the lines of two straights meet, and its end. An arc of radius R that turns
by q leaves its corner out: it begins T = R tan(q/2) before it, and saves 2 T - R q of the way along the corner. So a
route of straights l and turns q costs a sum(l) + sum(c + b q - a (2 T - R q)), which is exact, and concave in each
turn: its least over a range of turns is at one of the two ends. A bend of more than 120 degrees is written as two
corners of half the turn each (60 to 90 degrees), for the corner of a half turn lies nowhere.

Why a box of routes costs no less. Corners and end run over boxes, the first corner along the outlet's line. The
shortest chain through boxes is bounded by its dual: for any vectors w of length one or less, sum |x(k+1) - x(k)| >=
sum w(k) . (x(k+1) - x(k)), and the right side is least at a corner of each box. The direction from one box to the
next lies in a cone round the line of their middles that holds the eight corners of the box of differences; the angle
of two legs is at least that of the middles less both half angles. Cones between legs that are not neighbours count
too, for turning adds up to no less than the angle (triangle inequality on the sphere).

Why a box of routes is blocked. A plane square to the line of two middles, between the boxes and clear of both arcs,
is crossed by every leg from the one box to the other, within the shadow of the boxes on it. The distance to a convex
body is a convex function, so its greatest value over that shadow is at a corner: if it is less than required there,
by one body at one pose, every one of these legs is too near to it. (A scan is not convex; there the middle's distance
and the way to the corner serve.) A part of length l needs l without such a plane, on its middle line and on both
edges of its slab.

Routes of very many bends are held by their order alone: the curve passes a part's zone and some planes (gates) that
part the outlet from the exit, in a known order. It is no shorter than the chain through these, and turns no less than
from the aim along the chain's directions to the exit's cone: the convex hull of the tangents on the sphere between
two such points holds the direction of their chord, and a closed curve on the sphere is no shorter than the triangle
in its hull (or else is longer than a great circle, which no triangle is).

Source: interval branch and bound and duality of sums of norms, textbook matter (from memory); total turning of
curves: J. M. Sullivan, Curves of finite total curvature (from memory).
"""

import math
from dataclasses import dataclass
from itertools import combinations_with_replacement, pairwise, product
from typing import Any

import numpy as np
from numba import njit
from numpy.typing import NDArray

from trialfit.geometry import distance, solids
from trialfit.geometry import waiting as queue
from trialfit.geometry.gaps import Domain
from trialfit.geometry.stamp import text_stamp
from trialfit.geometry.waiting import pop, push
from trialfit.routing import field as field_module
from trialfit.routing import point as point_module
from trialfit.routing.field import FAR_MM, SCANS, Fields, nearest_row, prepare, row_gap, value
from trialfit.routing.problem import Bend, Exit, Problem, ProblemError, Size, Term

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

CORNER, PASS, GATE, END = 0, 1, 2, 3
MOST_ITEMS = 12
MOST_CORNERS = 6
WIDEST_RAD = 2.0 * math.pi / 3.0
"""a corner turns by no more than this; a bend of more has two corners"""
LEAST_HALF_RAD = math.pi / 3.0

# A class of routes: size, 1 for many bends, bends, items; then for each item its kind, part, leg, mode of the corner
# (0 a bend, 1 and 2 the two halves of one over 120 degrees); then the field of each leg.
C_SIZE, C_LOOSE, C_BENDS, C_ITEMS = 0, 1, 2, 3
C_KIND = 4
C_PART = C_KIND + MOST_ITEMS
C_LEG = C_PART + MOST_ITEMS
C_MODE = C_LEG + MOST_ITEMS
C_FIELD = C_MODE + MOST_ITEMS
CLASS_WIDTH = C_FIELD + MOST_CORNERS + 2
FRAME, ENGINE, EITHER = 0, 1, 2

# Scalars of a size; columns of bends and of parts.
S_PER_MM, S_FIXED, S_SKIN, S_KINDS, S_AHEAD = range(5)
K_RADIUS, K_MOST, K_RAD, K_EACH = range(4)
P_LENGTH, P_SKIN, P_ROOM, P_HALF, P_CLOCKS = range(5)
MOST_CLOCKS = 8
STEP_MM, STEP_SHARE = 12.0, 0.35
"""step along a leg at least [mm], and as a share of the box's half width"""
PASS_SHARE, ALONG_SHARE = 0.15, 0.3
"""how much a side counts that holds what passes on a leg, and one along the legs, when boxes are cut [-]"""

_TINY = 1e-5
_INSIDE = 1e-6
_BLIND = math.pi


@njit(nogil=True)
def _upper(F0, F1, which, edge, x, y, z):  # type: ignore[no-untyped-def]
    """Upper bound of the field at a point: what its nearest point within the bounds has, and the way there."""
    cx = min(edge[1, 0], max(edge[0, 0], x))
    cy = min(edge[1, 1], max(edge[0, 1], y))
    cz = min(edge[1, 2], max(edge[0, 2], z))
    out = math.sqrt((x - cx) ** 2 + (y - cy) ** 2 + (z - cz) ** 2)
    v = -FAR_MM
    for turn in range(2 if which == EITHER else 1):
        F = F1 if which == ENGINE or turn == 1 else F0
        v = max(v, value(F, cx, cy, cz))
    return v + out


@njit(nogil=True)
def _cone(ca, ha, cb, hb, d):  # type: ignore[no-untyped-def]
    """Direction from one box to another and the half angle that holds all of them; pi when there is none."""
    size = 0.0
    for k in range(3):
        d[k] = cb[k] - ca[k]
        size += d[k] * d[k]
    size = math.sqrt(size)
    if size < 1e-3:
        d[0], d[1], d[2] = 1.0, 0.0, 0.0
        return _BLIND
    hx, hy, hz = ha[0] + hb[0], ha[1] + hb[1], ha[2] + hb[2]
    least = 1.0
    for c in range(8):
        x = d[0] + (hx if c & 1 else -hx)
        y = d[1] + (hy if c & 2 else -hy)
        z = d[2] + (hz if c & 4 else -hz)
        dot = x * d[0] + y * d[1] + z * d[2]
        if dot <= 0.0:
            least = -1.0
            break
        least = min(least, dot / (math.sqrt(x * x + y * y + z * z) * size))
    for k in range(3):
        d[k] /= size
    if least <= 0.0:
        return _BLIND
    return math.acos(min(1.0, least)) + 1e-9


@njit(nogil=True)
def _angle(a, b):  # type: ignore[no-untyped-def]
    x = a[1] * b[2] - a[2] * b[1]
    y = a[2] * b[0] - a[0] * b[2]
    z = a[0] * b[1] - a[1] * b[0]
    return math.atan2(math.sqrt(x * x + y * y + z * z), a[0] * b[0] + a[1] * b[1] + a[2] * b[2])


@njit(nogil=True)
def _one_shut(F, edge, c, h, u, flat, radius, grow):  # type: ignore[no-untyped-def]
    """Whether one field says so, see :func:`box_shut`; and how far its value at the middle is over ``radius``."""
    x = min(edge[1, 0], max(edge[0, 0], c[0]))
    y = min(edge[1, 1], max(edge[0, 1], c[1]))
    z = min(edge[1, 2], max(edge[0, 2], c[2]))
    v = value(F, x, y, z)
    if v >= radius:
        return False, v - radius
    q = nearest_row(F, x, y, z)
    if q < 0:
        return False, 0.0
    if q >= F[1][SCANS]:
        # a scan is not convex
        out = math.sqrt((c[0] - x) ** 2 + (c[1] - y) ** 2 + (c[2] - z) ** 2)
        return v + out + math.sqrt(h[0] ** 2 + h[1] ** 2 + h[2] ** 2) < radius - grow - _TINY, 0.0
    for k in range(8):
        x = h[0] if k & 1 else -h[0]
        y = h[1] if k & 2 else -h[1]
        z = h[2] if k & 4 else -h[2]
        if flat:
            dot = x * u[0] + y * u[1] + z * u[2]
            x, y, z = x - dot * u[0], y - dot * u[1], z - dot * u[2]
        if row_gap(F, q, c[0] + x, c[1] + y, c[2] + z, FAR_MM) >= radius - grow - _TINY:
            return False, 0.0
    return True, 0.0


@njit(nogil=True)
def box_shut(F0, F1, which, edge, c, h, u, flat, radius, grow):  # type: ignore[no-untyped-def]
    """Whether every point of a box about ``c`` (``flat``: of its shadow along u) is nearer than ``radius`` to one
    thing, or beyond the bounds, by ``grow`` at least.

    The distance to a convex body is a convex function, so over a box it is greatest at a corner. Second answer: how
    far the middle's value is over the radius, 0 where it is below.
    """
    out = 0.0
    for k in range(3):
        reach = h[k]
        if flat:
            reach = h[k] + abs(u[k]) * (abs(u[0]) * h[0] + abs(u[1]) * h[1] + abs(u[2]) * h[2])
        out = max(out, edge[0, k] - c[k] - reach - grow, c[k] - reach - grow - edge[1, k])
    if out > _TINY:
        return True, 0.0
    for turn in range(2 if which == EITHER else 1):
        # one call, so that it is compiled once
        F = F1 if which == ENGINE or turn == 1 else F0
        gone, room = _one_shut(F, edge, c, h, u, flat, radius, grow)
        if not gone:
            return False, room
    return True, 0.0


@njit(nogil=True)
def leg_blocked(F0, F1, which, edge, ca, ha, cb, hb, cut_a, cut_b, skin, u, c, h):  # type: ignore[no-untyped-def]
    """Whether every straight from box a to box b, its ends cut off, is nearer than allowed to something."""
    size = 0.0
    for k in range(3):
        u[k] = cb[k] - ca[k]
        size += u[k] * u[k]
    size = math.sqrt(size)
    if size < 1e-3:
        return False
    ea = eb = 0.0
    for k in range(3):
        u[k] /= size
        ea += abs(u[k]) * ha[k]
        eb += abs(u[k]) * hb[k]
    at, last = ea + cut_a, size - eb - cut_b
    if at > last:
        return False
    while True:
        low, high = (at - ea) / (size + eb - ea), (at + ea) / (size - eb + ea)
        for k in range(3):
            c[k] = ca[k] + at * u[k]
            h[k] = ha[k] + (high if hb[k] > ha[k] else low) * (hb[k] - ha[k])
        shut, room = box_shut(F0, F1, which, edge, c, h, u, True, skin, 0.0)
        if shut:
            return True
        if at >= last:
            return False
        at = min(last, at + max(room, STEP_MM, STEP_SHARE * max(h[0], h[1], h[2])))


@njit(nogil=True)
def _wide_axis(u, clock, wide):  # type: ignore[no-untyped-def]
    """Unit vector along a part's wide side; returns the level part of the direction (0: upright)."""
    level = math.sqrt(u[0] * u[0] + u[1] * u[1])
    if level < 1e-9:
        return 0.0
    lx, ly = -u[1] / level, u[0] / level
    cos, sin = math.cos(clock), math.sin(clock)
    wide[0] = cos * lx - sin * u[2] * ly
    wide[1] = cos * ly + sin * u[2] * lx
    wide[2] = sin * (u[0] * ly - u[1] * lx)
    return level


@njit(nogil=True)
def part_blocked(F0, F1, which, edge, ca, ha, cb, hb, tilt, part, zone_c, zone_h, u, c, h, wide):  # type: ignore[no-untyped-def]
    """Whether a part on the straight from box a to box b finds no room with its middle in its zone.

    ``tilt``: greatest angle between such straights and the line of middles [rad].
    """
    size = 0.0
    for k in range(3):
        u[k] = cb[k] - ca[k]
        size += u[k] * u[k]
    size = math.sqrt(size)
    if size < 1e-3 or tilt > 1.0:
        return False
    ea = eb = 0.0
    for k in range(3):
        u[k] /= size
        ea += abs(u[k]) * ha[k]
        eb += abs(u[k]) * hb[k]
    if ea > size - eb:
        return False
    # stretch that middles may lie in: where the line is within the widest spread of the zone
    first, final = -ea, size + eb
    for k in range(3):
        spread = max(ha[k], hb[k]) + abs(u[k]) * max(ea, eb) + zone_h[k]
        low, high = zone_c[k] - spread - ca[k], zone_c[k] + spread - ca[k]
        if abs(u[k]) < 1e-12:
            if low > 0.0 or high < 0.0:
                return True
        else:
            p, q = low / u[k], high / u[k]
            first, final = max(first, min(p, q)), min(final, max(p, q))
    if first > final:
        return True
    half = part[P_HALF]
    for clock in range(int(part[P_CLOCKS])):
        span = part[P_LENGTH] * math.cos(tilt)  # the part crosses the planes of so long a stretch
        lines = 1
        off = 0.0
        if half > 0.0:
            level = _wide_axis(u, part[P_CLOCKS + 1 + clock], wide)
            if level > math.sin(tilt) + 1e-6:
                # how far the wide side may point otherwise: its level turns with the heading
                turn = math.asin(math.sin(tilt) / level)
                off = half * (2.0 * turn + tilt + math.tan(tilt))
                if off < 0.5 * part[P_SKIN]:
                    lines = 3
                    span -= 2.0 * half * math.sin(tilt)
        begin, end = first - 0.5 * span, final + 0.5 * span
        free_from = begin
        fits = False
        at, last = max(begin, ea), min(end, size - eb)
        while at <= last:
            low, high = (at - ea) / (size + eb - ea), (at + ea) / (size - eb + ea)
            shut = False
            least = np.inf
            for line in range(lines):
                side = 0.0 if line == 0 else (half if line == 1 else -half)
                for k in range(3):
                    c[k] = ca[k] + at * u[k] + (side * wide[k] if line > 0 else 0.0)
                    h[k] = ha[k] + (high if hb[k] > ha[k] else low) * (hb[k] - ha[k])
                shut, room = box_shut(
                    F0, F1, which, edge, c, h, u, True, part[P_SKIN], off if line > 0 else 0.0)
                if shut:
                    break
                least = min(least, room)
            if shut:
                least = 0.0
                if at - free_from >= span:
                    fits = True
                    break
                free_from = at
            at += max(least, STEP_MM, STEP_SHARE * max(h[0], h[1], h[2]))
        if fits or end - free_from >= span - _TINY:
            return False
    return True


@njit(nogil=True)
def _chain_turn(dirs, spread, count):  # type: ignore[no-untyped-def]
    """Least total turning [rad] of directions 0..count-1, each known to within its half angle."""
    best = np.zeros(count)
    for k in range(1, count):
        for j in range(k):
            if spread[j] < _BLIND and spread[k] < _BLIND:
                more = _angle(dirs[j], dirs[k]) - spread[j] - spread[k]
                best[k] = max(best[k], best[j] + max(0.0, more))
            else:
                best[k] = max(best[k], best[j])
    return best[count - 1]


@njit(nogil=True)
def _tour(cen, half, first, items, start, aim, t0, on_ray, x, w):  # type: ignore[no-untyped-def]
    """Lower bound [mm] of the shortest chain from the start through boxes ``first``..``items``-1, in that order.

    ``on_ray``: box ``first`` is a stretch of the outlet's line from t0 on, and the chain begins with the way to it.
    """
    count = items - first + 1  # x[0] is the start or the first corner
    for k in range(3):
        x[0, k] = start[k] + (t0 * aim[k] if on_ray else 0.0)
    base = first if on_ray else first - 1  # item of x[i] is base + i
    count = items - base
    for i in range(1, count):
        for k in range(3):
            x[i, k] = cen[base + i, k]
    for _turn in range(4):
        for i in range(1, count):
            item = base + i
            if i == count - 1:
                for k in range(3):
                    x[i, k] = min(cen[item, k] + half[item, k], max(cen[item, k] - half[item, k], x[i - 1, k]))
            else:
                dot = size = 0.0
                for k in range(3):
                    d = x[i + 1, k] - x[i - 1, k]
                    dot += d * (x[i, k] - x[i - 1, k])
                    size += d * d
                share = 0.5
                if size > 1e-12:
                    share = min(1.0, max(0.0, dot / size))
                for k in range(3):
                    y = x[i - 1, k] + share * (x[i + 1, k] - x[i - 1, k])
                    x[i, k] = min(cen[item, k] + half[item, k], max(cen[item, k] - half[item, k], y))
    for i in range(count - 1):
        size = 0.0
        for k in range(3):
            w[i, k] = x[i + 1, k] - x[i, k]
            size += w[i, k] * w[i, k]
        size = math.sqrt(size)
        for k in range(3):
            # shortened by rounding, never over one
            w[i, k] = w[i, k] / size * (1.0 - 1e-12) if size > 1e-9 else 0.0
    total = 0.0
    if count > 1:
        for k in range(3):
            total -= w[0, k] * start[k]
        if on_ray:
            slope = 1.0 - (w[0, 0] * aim[0] + w[0, 1] * aim[1] + w[0, 2] * aim[2])
            total += t0 * slope
        for i in range(1, count):
            item = base + i
            for k in range(3):
                g = w[i - 1, k] - (w[i, k] if i < count - 1 else 0.0)
                total += g * cen[item, k] - abs(g) * half[item, k]
    elif on_ray:
        total = t0
    # and the plain sum of the least distances from box to box
    plain = t0 if on_ray else 0.0
    for i in range(1, count):
        item = base + i
        gap = 0.0
        for k in range(3):
            if i == 1 and not on_ray:
                d = abs(cen[item, k] - start[k]) - half[item, k]
            else:
                d = abs(cen[item, k] - cen[item - 1, k]) - half[item, k] - half[item - 1, k]
            if d > 0.0:
                gap += d * d
        plain += math.sqrt(gap)
    return max(total, plain)


@njit(nogil=True)
def _bend_cost(size, K, lo, hi, mode, out):  # type: ignore[no-untyped-def]
    """Least cost of one corner that turns by lo..hi, beside its legs; the slope over that range; least and most cut.

    ``out`` (4,): least cost, least cost growth per rad from the cost at lo (or -1 where it may fall), least T, most T
    [mm]. False when no bend of the size can.
    """
    least = at_lo = slope = np.inf
    t_lo, t_hi = np.inf, 0.0
    for k in range(int(size[S_KINDS])):
        most = min(K[k, K_MOST], WIDEST_RAD) if mode == 0 else 0.5 * K[k, K_MOST]
        if most < lo - 1e-9:
            continue
        top = min(hi, most)
        low = min(lo, top)
        r, a = K[k, K_RADIUS], size[S_PER_MM]
        each = K[k, K_EACH] if mode == 0 else 0.5 * K[k, K_EACH]
        ta, tb = r * math.tan(0.5 * low), r * math.tan(0.5 * top)
        ha = each + K[k, K_RAD] * low - a * (2.0 * ta - r * low)
        hb = each + K[k, K_RAD] * top - a * (2.0 * tb - r * top)
        least = min(least, min(ha, hb))
        at_lo = min(at_lo, ha)
        slope = min(slope, (hb - ha) / (top - low) if top > low + 1e-9 else 0.0)
        t_lo, t_hi = min(t_lo, ta), max(t_hi, tb)
    if least == np.inf:
        return False
    out[0], out[1], out[2], out[3] = least, slope if slope >= 0.0 else -1.0, t_lo, t_hi
    if slope >= 0.0:
        out[0] = at_lo
    return True


@njit(nogil=True)
def _weigh(box, c, par, work, changed):  # type: ignore[no-untyped-def]
    """Lower bound of the cost of a box of routes; infinity when it holds none. Shrinks the box where it can.

    ``changed``: the item whose box was cut last (-1: all are new), for what else was looked at before stays true.
    """
    F0, F1, edge, start, aim, exit_aim, cone, sizes, bends, parts, least, first = par
    cen, half, dirs, spread, cuts, x, w, out, d = work
    size = sizes[c[C_SIZE]]
    K = bends[c[C_SIZE]]
    items = c[C_ITEMS]
    loose = c[C_LOOSE] == 1
    skin = size[S_SKIN]
    # middles and half extents
    ray_end = -1  # last item on the outlet's line
    if not loose:
        for i in range(items):
            if c[C_LEG + i] == 0:
                ray_end = i
    for i in range(items):
        if box[i, 0] > box[i, 3] or box[i, 1] > box[i, 4] or box[i, 2] > box[i, 5]:
            return np.inf
        if i <= ray_end:
            for k in range(3):
                cen[i, k] = start[k] + 0.5 * (box[i, 0] + box[i, 3]) * aim[k]
                half[i, k] = 0.5 * (box[i, 3] - box[i, 0]) * abs(aim[k])
        else:
            for k in range(3):
                cen[i, k] = 0.5 * (box[i, k] + box[i, 3 + k])
                half[i, k] = 0.5 * (box[i, 3 + k] - box[i, k])
    # places that are blocked whatever the rest is
    for i in range(items):
        kind = c[C_KIND + i]
        if kind == CORNER or (changed >= 0 and changed != i):
            continue
        radius = parts[c[C_PART + i], P_SKIN] if kind == PASS else skin
        which = c[C_FIELD] if loose else c[C_FIELD + c[C_LEG + i]]
        shut, _ = box_shut(F0, F1, which, edge, cen[i], half[i], d, False, radius, 0.0)
        if shut:
            return np.inf

    if loose:
        n = 1
        for k in range(3):
            dirs[0, k] = aim[k]
        spread[0] = 0.0
        for i in range(items):
            if i == 0:
                out[0] = out[1] = out[2] = 0.0
                spread[n] = _cone(start, out, cen[0], half[0], dirs[n])
            else:
                spread[n] = _cone(cen[i - 1], half[i - 1], cen[i], half[i], dirs[n])
            n += 1
        for k in range(3):
            dirs[n, k] = exit_aim[k]
        spread[n] = cone
        turn = _chain_turn(dirs, spread, n + 1)
        length = _tour(cen, half, 0, items, start, aim, 0.0, False, x, w)
        per_rad = per_bend = np.inf
        for k in range(int(size[S_KINDS])):
            per_rad = min(per_rad, K[k, K_RAD])
            per_bend = min(per_bend, K[k, K_EACH])
        return size[S_FIXED] + size[S_PER_MM] * length + per_rad * turn + per_bend * c[C_BENDS]

    # legs: from corner to corner, with what passes on them
    corners = 0
    for i in range(items):
        if c[C_KIND + i] == CORNER:
            corners += 1
    for k in range(3):
        dirs[0, k] = aim[k]
        dirs[corners + 1, k] = exit_aim[k]
    spread[0] = 0.0
    spread[corners + 1] = cone
    begin = -1
    leg = 0
    for i in range(items):
        kind = c[C_KIND + i]
        if kind == PASS:
            continue
        if leg > 0:
            spread[leg] = _cone(cen[begin], half[begin], cen[i], half[i], dirs[leg])
            for j in range(begin + 1, i):
                # what passes lies between the ends of its leg
                for k in range(3):
                    low = min(cen[begin, k] - half[begin, k], cen[i, k] - half[i, k])
                    high = max(cen[begin, k] + half[begin, k], cen[i, k] + half[i, k])
                    box[j, k], box[j, 3 + k] = max(box[j, k], low), min(box[j, 3 + k], high)
                    if box[j, k] > box[j, 3 + k]:
                        return np.inf
                    cen[j, k] = 0.5 * (box[j, k] + box[j, 3 + k])
                    half[j, k] = 0.5 * (box[j, 3 + k] - box[j, k])
                for end in range(2):
                    if end == 0:
                        wide = _cone(cen[begin], half[begin], cen[j], half[j], d)
                    else:
                        wide = _cone(cen[j], half[j], cen[i], half[i], d)
                    known = wide < _BLIND and spread[leg] < _BLIND
                    if known and _angle(d, dirs[leg]) > wide + spread[leg] + 1e-9:
                        return np.inf
                    if wide < spread[leg]:
                        spread[leg] = wide
                        for k in range(3):
                            dirs[leg, k] = d[k]
        else:
            for j in range(i):
                box[j, 3] = min(box[j, 3], box[i, 3])
                box[i, 0] = max(box[i, 0], box[j, 0])
                if box[j, 0] > box[j, 3] or box[i, 0] > box[i, 3]:
                    return np.inf
        begin = i
        leg += 1
    last = corners
    if spread[last] < _BLIND and _angle(dirs[last], exit_aim) > spread[last] + cone + 1e-9:
        return np.inf

    # corners: range of the turn, cost, cuts
    cost = size[S_FIXED]
    sure = 0.0
    slope = np.inf
    cuts[0, 0] = cuts[0, 1] = cuts[corners + 1, 0] = cuts[corners + 1, 1] = 0.0
    at = 0
    for i in range(items):
        if c[C_KIND + i] != CORNER:
            continue
        at += 1
        lo, hi = 0.0, math.pi
        if spread[at - 1] < _BLIND and spread[at] < _BLIND:
            between = _angle(dirs[at - 1], dirs[at])
            lo = max(lo, between - spread[at - 1] - spread[at])
            hi = min(hi, between + spread[at - 1] + spread[at])
        if at == corners and spread[at - 1] < _BLIND:
            between = _angle(dirs[at - 1], exit_aim)
            lo = max(lo, between - spread[at - 1] - cone)
            hi = min(hi, between + spread[at - 1] + cone)
        mode = c[C_MODE + i]
        if mode == 0:
            hi = min(hi, WIDEST_RAD)
        else:
            lo = max(lo, LEAST_HALF_RAD)
            hi = min(hi, 0.5 * math.pi)
        w[at, 0], w[at, 1] = lo, hi
        if mode == 2:
            # the two halves turn alike
            w[at - 1, 0] = w[at, 0] = max(lo, w[at - 1, 0])
            w[at - 1, 1] = w[at, 1] = min(hi, w[at - 1, 1])
    at = 0
    for i in range(items):
        if c[C_KIND + i] != CORNER:
            continue
        at += 1
        mode = c[C_MODE + i]
        lo, hi = w[at, 0], w[at, 1]
        if lo > hi + 1e-9 or not _bend_cost(size, K, lo, max(lo, hi), mode, out):
            return np.inf
        cost += out[0]
        slope = min(slope, out[1])
        sure += lo
        cuts[at, 0], cuts[at, 1] = out[2], out[3]
        # the middle of the arc lies on the pipe
        if changed < 0 or abs(changed - i) <= 1:
            off = 0.0
            for k in range(int(size[S_KINDS])):
                most = min(K[k, K_MOST], WIDEST_RAD) if mode == 0 else 0.5 * K[k, K_MOST]
                off = max(off, K[k, K_RADIUS] * (1.0 / math.cos(0.5 * min(max(lo, hi), most)) - 1.0))
            which = c[C_FIELD + at - 1]
            if c[C_FIELD + at] != which:
                which = EITHER
            shut, _ = box_shut(F0, F1, which, edge, cen[i], half[i], d, False, skin, off)
            if shut:
                return np.inf
    turn = _chain_turn(dirs, spread, corners + 2)
    if slope > 0.0 and slope < np.inf and turn > sure:
        cost += slope * (turn - sure)

    # legs: long enough, and the way
    begin = -1
    leg = 0
    shortest = 0.0
    for i in range(items):
        if c[C_KIND + i] == PASS:
            continue
        need = first if leg == 0 else least
        taken = 0.0
        for j in range(begin + 1, i):
            p = c[C_PART + j]
            taken += parts[p, P_LENGTH] + 2.0 * parts[p, P_ROOM]
        need = max(need, taken)
        if leg > 0 and c[C_KIND + i] == CORNER and c[C_MODE + i] == 2:
            need = 0.0
        need += cuts[leg, 0] + cuts[leg + 1, 0]
        if leg == 0:
            box[i, 0] = max(box[i, 0], need)
            # the first straight runs into something so far ahead
            box[i, 3] = min(box[i, 3], size[S_AHEAD] + cuts[1, 1])
            if box[i, 0] > box[i, 3]:
                return np.inf
            shortest += box[i, 0]
        else:
            far = near = 0.0
            for k in range(3):
                gap = abs(cen[i, k] - cen[begin, k])
                spare = half[i, k] + half[begin, k]
                far += (gap + spare) ** 2
                near += max(0.0, gap - spare) ** 2
            if math.sqrt(far) < need - _TINY:
                return np.inf
            shortest += max(need, math.sqrt(near))
            halves = c[C_KIND + i] == CORNER and c[C_MODE + i] == 2
            if halves and math.sqrt(near) > cuts[leg, 1] + cuts[leg + 1, 1] + _TINY:
                return np.inf
        begin = i
        leg += 1
    on = 0
    while c[C_KIND + on] == PASS and c[C_LEG + on] == 0:
        on += 1
    length = max(shortest, _tour(cen, half, on, items, start, aim, box[on, 0], True, x, w))
    return cost + size[S_PER_MM] * length


@njit(nogil=True)
def _shut(c, par, work, changed):  # type: ignore[no-untyped-def]
    """Whether a leg of a box of routes, as :func:`_weigh` left it in ``work``, is blocked for all of them."""
    F0, F1, edge, start, aim = par[:5]
    sizes, parts = par[7], par[9]
    cen, half, cuts, x, w, out, d = work[0], work[1], work[4], work[5], work[6], work[7], work[8]
    items = c[C_ITEMS]
    skin = sizes[c[C_SIZE], S_SKIN]
    out[0] = out[1] = out[2] = 0.0
    begin = -1
    leg = 0
    for i in range(items):
        if c[C_KIND + i] == PASS:
            continue
        if leg > 0 and (changed < 0 or (begin <= changed <= i)):
            which = c[C_FIELD + leg]
            if leg_blocked(
                F0, F1, which, edge, cen[begin], half[begin], cen[i], half[i], cuts[leg, 1], cuts[leg + 1, 1], skin,
                d, x[0], x[1],
            ):
                return True
            tilt = 0.0
            if begin + 1 < i:
                tilt = _cone(cen[begin], half[begin], cen[i], half[i], d)
            for j in range(begin + 1, i):
                if tilt < _BLIND and part_blocked(
                    F0, F1, which, edge, cen[begin], half[begin], cen[i], half[i], tilt, parts[c[C_PART + j]],
                    cen[j], half[j], d, x[0], x[1], x[2],
                ):
                    return True
        elif leg == 0 and (changed < 0 or changed <= i):
            for j in range(i):
                for k in range(3):
                    w[0, k] = start[k]
                    w[1, k] = start[k] + 10000.0 * aim[k]
                    w[2, k] = 0.0
                if part_blocked(
                    F0, F1, c[C_FIELD], edge, w[0], w[2], w[1], w[2], 0.0, parts[c[C_PART + j]], cen[j], half[j],
                    d, x[0], x[1], x[2],
                ):
                    return True
        begin = i
        leg += 1
    return False


@njit(nogil=True)
def _side_to_cut(box, c, start, aim, work):  # type: ignore[no-untyped-def]
    """Side that says most when it is halved: the longest, each taken as seen square to the legs it moves."""
    cen, u = work[0], work[2]
    items = c[C_ITEMS]
    loose = c[C_LOOSE] == 1
    for i in range(items):
        if not loose and c[C_LEG + i] == 0:
            for k in range(3):
                cen[i, k] = start[k] + 0.5 * (box[i, 0] + box[i, 3]) * aim[k]
        else:
            for k in range(3):
                cen[i, k] = 0.5 * (box[i, k] + box[i, 3 + k])
    # direction to each item from the one before that is no pass
    before = -1
    for i in range(items):
        size = 0.0
        for k in range(3):
            u[i, k] = cen[i, k] - (start[k] if before < 0 else cen[before, k])
            size += u[i, k] ** 2
        size = math.sqrt(size) + 1e-9
        for k in range(3):
            u[i, k] /= size
        if loose or c[C_KIND + i] != PASS:
            before = i
    widest, item, axis = 0.0, -1, 0
    for i in range(items):
        weight = 1.0 if loose or c[C_KIND + i] != PASS else PASS_SHARE
        after = i + 1
        while after < items and not loose and c[C_KIND + after] == PASS:
            after += 1
        ray = not loose and c[C_LEG + i] == 0
        for k in range(1 if ray else 3):
            side = (box[i, 3 + k] - box[i, k]) * weight
            if side <= widest:
                continue
            if ray:
                seen = 0.0
                if after < items:
                    dot = u[after, 0] * aim[0] + u[after, 1] * aim[1] + u[after, 2] * aim[2]
                    seen = math.sqrt(max(0.0, 1.0 - dot * dot))
            else:
                seen = math.sqrt(max(0.0, 1.0 - u[i, k] ** 2))
                if after < items:
                    seen = max(seen, math.sqrt(max(0.0, 1.0 - u[after, k] ** 2)))
            side *= max(seen, ALONG_SHARE)
            if side > widest:
                widest, item, axis = side, i, k
    return widest, item, axis


# Counts that a search carries from call to call: waiting, slots used, boxes weighed, boxes shut.
WAITING, USED, WEIGHED, SHUT, SPARE = range(5)


@njit(nogil=True)
def _search(par, classes, store, budget, limit, known):  # type: ignore[no-untyped-def]
    """Cut boxes in two, cheapest first, until ``budget`` boxes were weighed or the cheapest costs ``limit``.

    Returns 0 budget spent | 1 the cheapest is at the limit | 2 nothing is left | 3 no more room | 4 too small to cut.
    """
    boxes, keys, owner, heap, spare, count = store
    work = (
        np.zeros((MOST_ITEMS + 2, 3)), np.zeros((MOST_ITEMS + 2, 3)), np.zeros((MOST_ITEMS + 3, 3)),
        np.zeros(MOST_ITEMS + 3), np.zeros((MOST_CORNERS + 3, 2)), np.zeros((MOST_ITEMS + 2, 3)),
        np.zeros((MOST_ITEMS + 2, 3)), np.zeros(4), np.zeros(3),
    )
    box = np.zeros((MOST_ITEMS, 6))
    done = 0
    while True:
        waiting = count[WAITING]
        if waiting == 0:
            return 2
        if keys[heap[0]] >= limit:
            return 1
        if done >= budget:
            return 0
        if count[USED] + 2 > boxes.shape[0] and count[SPARE] < 2:
            return 3
        c = classes[owner[heap[0]]]
        items = c[C_ITEMS]
        # the widest side is cut
        top = heap[0]
        widest, item, axis = _side_to_cut(boxes[top], c, par[3], par[4], work)
        if widest < 0.5:
            return 4
        cell, waiting = pop(heap, keys, waiting)
        count[WAITING] = waiting
        middle = 0.5 * (boxes[cell, item, axis] + boxes[cell, item, 3 + axis])
        parent_key, parent_class = keys[cell], owner[cell]
        for part in range(2):
            for i in range(items):
                for k in range(6):
                    box[i, k] = boxes[cell, i, k]
            if part == 0:
                box[item, 3 + axis] = middle
            else:
                box[item, axis] = middle
            done += 1
            count[WEIGHED] += 1
            key = max(_weigh(box, c, par, work, item), parent_key)
            if key == np.inf or (key < known and c[C_LOOSE] == 0 and _shut(c, par, work, item)):
                count[SHUT] += 1
                continue
            if key >= known:
                continue
            if part == 0 and count[SPARE] == 0:
                slot = count[USED]
                count[USED] += 1
            elif count[SPARE] > 0:
                count[SPARE] -= 1
                slot = spare[count[SPARE]]
            else:
                slot = count[USED]
                count[USED] += 1
            for i in range(items):
                for k in range(6):
                    boxes[slot, i, k] = box[i, k]
            keys[slot] = key
            owner[slot] = parent_class
            count[WAITING] = push(heap, keys, count[WAITING], slot)
        spare[count[SPARE]] = cell
        count[SPARE] += 1


@njit(nogil=True)
def _add(par, classes, store, number, box, floor, known):  # type: ignore[no-untyped-def]
    """Put a whole class of routes in the queue; its cost bound, infinity when it holds none."""
    boxes, keys, owner, heap, spare, count = store
    work = (
        np.zeros((MOST_ITEMS + 2, 3)), np.zeros((MOST_ITEMS + 2, 3)), np.zeros((MOST_ITEMS + 3, 3)),
        np.zeros(MOST_ITEMS + 3), np.zeros((MOST_CORNERS + 3, 2)), np.zeros((MOST_ITEMS + 2, 3)),
        np.zeros((MOST_ITEMS + 2, 3)), np.zeros(4), np.zeros(3),
    )
    c = classes[number]
    key = max(floor, _weigh(box, c, par, work, -1))
    if key == np.inf or (c[C_LOOSE] == 0 and _shut(c, par, work, -1)):
        return np.inf
    if key >= known:
        return key
    slot = count[USED]
    if count[SPARE] > 0:
        count[SPARE] -= 1
        slot = spare[count[SPARE]]
    else:
        count[USED] += 1
    for i in range(c[C_ITEMS]):
        for k in range(6):
            boxes[slot, i, k] = box[i, k]
    keys[slot] = key
    owner[slot] = number
    count[WAITING] = push(heap, keys, count[WAITING], slot)
    return key


@njit(nogil=True)
def _gate(par, skin, per_rad, near, far, axis, spots, step, which):  # type: ignore[no-untyped-def]
    """For each plane (axis, spot): least way [mm] from one box through what is free of it to another box."""
    F0, F1, edge = par[0], par[1], par[2]
    b, c = (axis + 1) % 3, (axis + 2) % 3
    nb = math.ceil((edge[1, b] - edge[0, b]) / step)
    nc = math.ceil((edge[1, c] - edge[0, c]) / step)
    hb, hc = 0.5 * (edge[1, b] - edge[0, b]) / nb, 0.5 * (edge[1, c] - edge[0, c]) / nc
    reach = math.sqrt(hb * hb + hc * hc)
    p = np.empty(3)
    d = np.empty(3)
    e = np.empty(3)
    out = np.empty(spots.shape[0])
    for m in range(spots.shape[0]):
        p[axis] = spots[m]
        out[m] = np.inf
        for i in range(nb):
            p[b] = edge[0, b] + (2 * i + 1) * hb
            for j in range(nc):
                p[c] = edge[0, c] + (2 * j + 1) * hc
                first = second = 0.0
                for k in range(3):
                    h = 0.0 if k == axis else (hb if k == b else hc)
                    d[k] = p[k] - 0.5 * (near[0, k] + near[1, k])
                    e[k] = 0.5 * (far[0, k] + far[1, k]) - p[k]
                    first += max(0.0, abs(d[k]) - 0.5 * (near[1, k] - near[0, k]) - h) ** 2
                    second += max(0.0, abs(e[k]) - 0.5 * (far[1, k] - far[0, k]) - h) ** 2
                way = math.sqrt(first) + math.sqrt(second) + per_rad * _angle(d, e)
                if way >= out[m]:
                    continue
                v = _upper(F0, F1, which, edge, p[0], p[1], p[2])
                if v + reach >= skin:
                    out[m] = way
    return out


SEARCH, ADD, STRAIGHT = 0, 1, 2


def _entry(stamp):  # type: ignore[no-untyped-def]
    """The one entry kept in the compiler's cache, keyed by ``stamp`` too (see ``trialfit.geometry.sweep``)."""

    @njit(cache=True, nogil=True)
    def routes(task, par, classes, store, box, number, budget, limit, known):  # type: ignore[no-untyped-def]
        if stamp < 0:
            return 0.0
        if task == 0:
            return float(_search(par, classes, store, budget, limit, known))
        if task == 1:
            return _add(par, classes, store, number, box, limit, known)
        none = np.zeros(3)
        # a single straight, in ``box``: from, to, and the skin
        shut = leg_blocked(par[0], par[1], number, par[2], box[0, :3], none, box[1, :3], none, 0.0, 0.0, box[2, 0],
                           np.zeros(3), np.zeros(3), np.zeros(3))
        return 1.0 if shut else 0.0

    return routes


def _gate_entry(stamp):  # type: ignore[no-untyped-def]
    @njit(cache=True, nogil=True)
    def gates(par, skin, per_rad, near, far, axis, spots, step, which):  # type: ignore[no-untyped-def]
        if stamp < 0:
            return spots
        return _gate(par, skin, per_rad, near, far, axis, spots, step, which)

    return gates


_STAMP = text_stamp(solids, distance, queue, field_module, point_module)
routes = _entry(_STAMP)  # type: ignore[no-untyped-call]
gates = _gate_entry(_STAMP)  # type: ignore[no-untyped-call]

MOST_BOXES = 20_000
"""about 2 s"""
MOST_NODES = 120_000
MOST_CLASSES = 2000
MOST_PASSED = 4
_CHUNK = 500
NEAR_ENOUGH = 0.005
"""share of the cost of a route at hand that the bound may be short of it [-]: closer is not worth the time"""


@dataclass(frozen=True, slots=True)
class Bound:
    """What no buildable route can beat (the family is told in the module's text).

    ``cost`` [-] is below the cost of every route that costs less than ``known`` was given, and ``length_mm``,
    ``turn_rad`` and ``bends`` each hold for every route on their own. Infinite: there is no route at all.
    ``steps`` tell how it was found; ``boxes`` how many boxes of routes were looked at; ``closed``: the search ended
    because nothing cheaper was left, not because enough was looked at.
    """

    cost: float
    length_mm: float
    turn_rad: float
    bends: int
    words: str
    steps: tuple[str, ...]
    boxes: int
    closed: bool

    def short_of(self, cost: float) -> float:
        """By how much of itself a route's cost may lie above the cheapest there is, at most [-]."""
        if not cost > 0.0:
            raise ValueError(f"a route's cost must be above 0, not {cost:g}")
        return max(0.0, 1.0 - self.cost / cost)


def lower_bound(problem: Problem, fields: Fields, *, known: float = math.inf, boxes: int = MOST_BOXES) -> Bound:
    """Cost that no buildable route goes below, over all sizes; what it leaves out errs low.

    Parameters
    ----------
    fields : Fields
        of this very problem (``trialfit.routing.field.prepare``)
    known : float
        cost of a route at hand [-]; what costs more is not looked at, and the bound is not above it
    boxes : int
        boxes of routes to weigh at most [-]; the bound holds whenever it stops, and is the same on every machine

    Raises
    ------
    ProblemError
        a size whose cost falls with length, turning or bends: nothing bounds that from below
    ValueError
        ``boxes`` below 1

    Source: see the module's text.
    """
    if boxes < 1:
        raise ValueError(f"boxes {boxes} must be 1 or more")
    for size in problem.sizes:
        if min(size.per_mm, *size.per_rad, *size.per_bend) < 0.0:
            raise ProblemError(
                f"pipe {size.name}: its cost falls as the route grows longer or turns more; every weight of length, "
                "turning, bends and welds must be 0 or more")
    return _Hunt(problem, fields, known).run(boxes)


class _Store:
    """Boxes of routes that wait, cheapest first."""

    def __init__(self, nodes: int) -> None:
        self.boxes = np.zeros((nodes, MOST_ITEMS, 6))
        self.keys = np.zeros(nodes)
        self.owner = np.zeros(nodes, dtype=np.int64)
        self.heap = np.zeros(nodes, dtype=np.int64)
        self.spare = np.zeros(nodes, dtype=np.int64)
        self.count = np.zeros(5, dtype=np.int64)

    def arrays(self) -> tuple[Any, ...]:
        return (self.boxes, self.keys, self.owner, self.heap, self.spare, self.count)

    @property
    def least(self) -> float:
        return float(self.keys[self.heap[0]]) if self.count[WAITING] else math.inf


class _Hunt:
    """One search for a bound."""

    chains: list[list[tuple[int, int, Floats]]]

    def __init__(self, problem: Problem, fields: Fields, known: float) -> None:
        self.problem, self.fields, self.known = problem, fields, known
        self.passed = [k for k, p in enumerate(problem.parts) if p.zone is not None][:MOST_PASSED]
        freeing = next((k for k, p in enumerate(problem.parts) if p.frees), None)
        self.carried = fields.engine is not fields.frame and freeing is not None
        self.freeing = freeing
        self.classes = np.zeros((MOST_CLASSES, CLASS_WIDTH), dtype=np.int64)
        self.used = 0
        self.bends_of: list[int] = []
        self.store = _Store(MOST_NODES)
        self.most = min(problem.most_bends, 64)
        self.boxes = 0
        # until it is known, the first straight may run right across
        self.ahead = [float(np.linalg.norm(problem.bounds[1] - problem.bounds[0]))] * len(problem.sizes)

    # tables for the kernels

    def par(self, weights: tuple[float, float, float] | None = None) -> tuple[Any, ...]:
        """Everything the kernels take of the problem; ``weights`` (mm, rad, bend) stand in for the costs."""
        q = self.problem
        kinds = max(len(s.bends) for s in q.sizes)
        sizes, bends = np.zeros((len(q.sizes), 5)), np.zeros((len(q.sizes), max(kinds, 1), 4))
        for s, size in enumerate(q.sizes):
            mm, fixed = (size.per_mm, size.fixed) if weights is None else (weights[0], 0.0)
            sizes[s] = mm, fixed, size.diameter_mm / 2.0, len(size.bends), self.ahead[s]
            for k, bend in enumerate(size.bends):
                rad, each = (size.per_rad[k], size.per_bend[k]) if weights is None else weights[1:]
                bends[s, k] = bend.radius_mm, bend.most_rad, rad, each
        parts = np.zeros((max(len(q.parts), 1), P_CLOCKS + 1 + MOST_CLOCKS))
        for p, part in enumerate(q.parts):
            # with more clock angles than are looked at, the width is left out
            clocks = part.clocks_rad if 1 <= len(part.clocks_rad) <= MOST_CLOCKS else (0.0,)
            half = max(part.width_mm - part.height_mm, 0.0) / 2.0 if clocks is part.clocks_rad else 0.0
            parts[p, :P_CLOCKS + 1] = part.length_mm, part.height_mm / 2.0, part.room_mm, half, len(clocks)
            parts[p, P_CLOCKS + 1:P_CLOCKS + 1 + len(clocks)] = clocks
        edge = np.array(q.bounds, dtype=np.float64)
        edge[0] += _INSIDE
        edge[1] -= _INSIDE
        return (self.fields.frame, self.fields.engine, edge, np.array(q.outlet, dtype=np.float64),
                np.array(q.aim, dtype=np.float64), np.array(q.exit.aim, dtype=np.float64), float(q.exit.cone_rad),
                sizes, bends, parts, float(q.least_straight_mm), float(q.first_straight_mm))

    def call(self, task: int, par: tuple[Any, ...], store: _Store, box: Floats, number: int = 0,
             limit: float = math.inf, known: float = math.inf, budget: int = _CHUNK) -> float:
        return float(routes(task, par, self.classes, store.arrays(), box, int(number), int(budget), float(limit),
                            float(known)))

    def row(self, size: int, loose: bool, bends: int, items: list[tuple[int, int, int, int]], legs: int) -> int:
        """A new class of routes: items as (kind, part, leg, mode). Its number."""
        c = self.classes[self.used]
        c[:] = 0
        c[C_SIZE], c[C_LOOSE], c[C_BENDS], c[C_ITEMS] = size, int(loose), bends, len(items)
        for i, (kind, part, leg, mode) in enumerate(items):
            c[C_KIND + i], c[C_PART + i], c[C_LEG + i], c[C_MODE + i] = kind, part, leg, mode
        frees = next((leg for kind, part, leg, _ in items if kind == PASS and part == self.freeing), None)
        for leg in range(legs + 1):
            if not self.carried:
                which = FRAME
            elif frees is None or leg == frees:
                which = EITHER
            else:
                which = ENGINE if leg < frees else FRAME
            c[C_FIELD + leg] = which
        self.used += 1
        self.bends_of.append(bends)
        return self.used - 1

    # routes of many bends

    def gates(self, par: tuple[Any, ...], size: Size) -> list[tuple[int, int, Floats]]:
        """What every curve passes in turn: (kind, part, box (2, 3))."""
        q = self.problem
        stops: list[tuple[int, int, Floats]] = [(GATE, 0, np.array((q.outlet, q.outlet), dtype=np.float64))]
        stops += [(PASS, p, np.array(q.parts[p].zone, dtype=np.float64)) for p in self.passed]
        stops.append((END, 0, np.array((q.exit.low, q.exit.high), dtype=np.float64)))
        turn = min(size.per_rad, default=0.0) / max(size.per_mm, 1e-9)
        chain: list[tuple[int, int, Floats]] = []
        edge = par[2]
        for before, after in pairwise(stops):
            found: list[tuple[float, int, float]] = []
            for axis in range(3):
                low, high = before[2][1, axis], after[2][0, axis]
                if low > high:
                    low, high = after[2][1, axis], before[2][0, axis]
                if high - low < 60.0:
                    continue
                spots = np.linspace(low, high, 2 + min(40, int((high - low) / 60.0)))[1:-1]
                which = EITHER if self.carried else FRAME
                way = gates(par, size.diameter_mm / 2.0, float(turn), before[2], after[2], axis, spots, 50.0, which)
                found += [(float(w), axis, float(x)) for w, x in zip(way, spots, strict=True)]
            picked: list[tuple[float, int, float]] = []
            for way, axis, x in sorted(found, reverse=True):
                if len(picked) < 2 and all(axis == a and abs(x - y) > 250.0 for _, a, y in picked):
                    picked.append((way, axis, x))
            if picked:
                axis = picked[0][1]
                falling = bool(before[2][0, axis] > after[2][1, axis])
                for _, _, x in sorted(picked, key=lambda g: g[2], reverse=falling):
                    box = edge.copy()
                    box[:, axis] = x
                    chain.append((GATE, 0, box))
            chain.append(after)
        return chain

    def free_order(self, boxes: int, weights: tuple[float, float, float] | None = None) -> list[float]:
        """Cost by size that a route has before its bends are counted."""
        par = self.par(weights)
        bounds = []
        for s in range(len(self.problem.sizes)):
            chain = self.chains[s]
            number = self.row(s, True, 0, [(kind, part, 0, 0) for kind, part, _ in chain], 0)
            box = np.zeros((MOST_ITEMS, 6))
            for i, (_, _, limits) in enumerate(chain):
                box[i, :3], box[i, 3:] = limits
            store = _Store(20_000)
            found = self.call(ADD, par, store, box, number, 0.0)
            share = max(boxes // len(self.problem.sizes), 1)
            while math.isfinite(found):
                code = self.call(SEARCH, par, store, box)
                found = store.least
                if code != 0 or store.count[WEIGHED] >= share:
                    break
            self.boxes += int(store.count[WEIGHED])
            bounds.append(found)
        return bounds

    # routes of a few bends

    def free_ahead(self, par: tuple[Any, ...], s: int) -> float:
        """How far a straight out of the outlet is free [mm], at most 0.5 mm too much."""
        q, size = self.problem, self.problem.sizes[s]
        low, high = 0.0, self.ahead[s]
        box = np.zeros((MOST_ITEMS, 6))
        box[0, :3], box[2, 0] = q.outlet, size.diameter_mm / 2.0
        which = EITHER if self.carried else FRAME
        while high - low > 0.5:
            middle = 0.5 * (low + high)
            box[1, :3] = q.outlet + middle * q.aim
            if self.call(STRAIGHT, par, self.store, box, which) > 0.0:
                high = middle
            else:
                low = middle
        return high

    def open(self, par: tuple[Any, ...], s: int, bends: int, floor: float) -> bool:
        """Queue every class of routes with so many bends; False when they have too many corners to be queued."""
        q, size = self.problem, self.problem.sizes[s]
        big = any(b.most_rad > WIDEST_RAD + 1e-9 for b in size.bends)
        patterns = list(product((1, 2), repeat=bends)) if big else [(1,) * bends]
        if max(sum(p) for p in patterns) > MOST_CORNERS:
            return False
        cut = max(b.radius_mm * math.tan(min(b.most_rad, WIDEST_RAD) / 2.0) for b in size.bends)
        far = self.ahead[s] + cut
        spare = max(b.radius_mm for b in size.bends)
        rows: list[list[tuple[int, int, int, int]]] = []
        for pattern in patterns:
            modes = [m for count in pattern for m in ((0,) if count == 1 else (1, 2))]
            n = len(modes)
            inner = {k + 1 for k, m in enumerate(modes) if m == 1}
            for legs in combinations_with_replacement(range(n + 1), len(self.passed)):
                if inner & set(legs):
                    continue
                items: list[tuple[int, int, int, int]] = []
                for leg in range(n + 1):
                    items += [(PASS, p, leg, 0) for p, at in zip(self.passed, legs, strict=True) if at == leg]
                    items.append((CORNER, 0, leg, modes[leg]) if leg < n else (END, 0, n, 0))
                rows.append(items)
        if self.used + len(rows) > MOST_CLASSES or max(len(r) for r in rows) > MOST_ITEMS:
            return False
        for items in rows:
            corners = sum(kind == CORNER for kind, *_ in items)
            number = self.row(s, False, bends, items, corners)
            box = np.zeros((MOST_ITEMS, 6))
            for i, (kind, part, leg, _) in enumerate(items):
                if kind == CORNER:
                    box[i, :3], box[i, 3:] = q.bounds[0] - spare, q.bounds[1] + spare
                elif kind == PASS:
                    zone = q.parts[part].zone
                    assert zone is not None
                    box[i, :3], box[i, 3:] = zone[0], zone[1]
                else:
                    box[i, :3], box[i, 3:] = q.exit.low, q.exit.high
                if leg == 0:
                    low, high = (0.0, far) if kind == CORNER else self.along(box[i, :3], box[i, 3:], far)
                    box[i] = (low, 0.0, 0.0, high, 0.0, 0.0)
            if not np.all(box[:, :3] <= box[:, 3:]):
                continue
            if self.store.count[USED] >= MOST_NODES - 2 and self.store.count[SPARE] == 0:
                return False
            self.call(ADD, par, self.store, box, number, floor, self.known)
        return True

    def along(self, low: Floats, high: Floats, far: float) -> tuple[float, float]:
        """Stretch of the outlet's line that lies in a box; the first above the second when none does [mm]."""
        first, last = 0.0, far
        for k in range(3):
            u, p = float(self.problem.aim[k]), float(self.problem.outlet[k])
            if abs(u) < 1e-12:
                if not low[k] <= p <= high[k]:
                    return 1.0, 0.0
            else:
                a, b = sorted(((low[k] - p) / u, (high[k] - p) / u))
                first, last = max(first, a), min(last, b)
        return first, last

    def straight(self, s: int) -> float:
        """Cost of the route that never bends; infinite where it cannot be."""
        q, size = self.problem, self.problem.sizes[s]
        aside = math.atan2(float(np.linalg.norm(np.cross(q.aim, q.exit.aim))), float(q.aim @ q.exit.aim))
        far = float(np.linalg.norm(q.bounds[1] - q.bounds[0]))
        low, high = self.along(q.exit.low, q.exit.high, far)
        if aside > q.exit.cone_rad + 1e-9 or low > high:
            return math.inf
        need = max(low, q.first_straight_mm, math.fsum(p.length_mm + 2.0 * p.room_mm for p in q.parts))
        if need > high:
            return math.inf
        if need > self.ahead[s]:
            return math.inf
        for p in self.passed:
            zone = q.parts[p].zone
            assert zone is not None
            first, last = self.along(zone[0], zone[1], high)
            if first > last:
                return math.inf
        return size.fixed + size.per_mm * need

    def run(self, boxes: int) -> Bound:
        q = self.problem
        par = self.par()
        self.ahead = [self.free_ahead(par, s) for s in range(len(q.sizes))]
        par = self.par()
        self.chains = [self.gates(par, size) for size in q.sizes]
        few = max(boxes // 8, 1)
        base = self.free_order(few)
        lengths = self.free_order(few // 3, (1.0, 0.0, 0.0))
        turns = self.free_order(few // 3, (0.0, 1.0, 0.0))
        least = [min(size.per_bend, default=math.inf) for size in q.sizes]
        ends = [self.straight(s) for s in range(len(q.sizes))]
        marks = dict.fromkeys(range(len(q.sizes)), 1) if self.most >= 1 else {}
        stuck: set[int] = set()
        self.base, self.least = base, least
        closed = False
        while True:
            floor = {s: base[s] + n * least[s] for s, n in marks.items()}
            limit = min([*floor.values(), *ends, self.known])
            code = int(self.call(SEARCH, par, self.store, np.zeros((MOST_ITEMS, 6)), 0, limit, self.known))
            if code in (1, 2):
                ready = [s for s, f in floor.items() if f <= limit and math.isfinite(f)]
                if not ready or limit >= self.known or min(ends) <= limit:
                    closed = not any(s in stuck for s in ready)
                    break
                s = ready[0]
                if not self.open(par, s, marks[s], floor[s]):
                    stuck.add(s)
                    break
                marks[s] += 1
                if marks[s] > self.most:
                    del marks[s]
            elif code in (3, 4):
                break
            if self.store.count[WEIGHED] >= boxes or min(self.store.least, limit) >= (1.0 - NEAR_ENOUGH) * self.known:
                break
        floor = {s: base[s] + n * least[s] for s, n in marks.items()}
        cost = min([self.store.least, *floor.values(), *ends, self.known])
        self.boxes += int(self.store.count[WEIGHED])
        # fewest bends of what is left
        left = [self.bends_of[self.store.owner[self.store.heap[i]]] for i in range(int(self.store.count[WAITING]))]
        left += [n for s, n in marks.items() if math.isfinite(base[s])]
        left += [0 for e in ends if math.isfinite(e)]
        self.marks = marks
        bends = min(left, default=self.most + 1)
        return self.told(cost, min(lengths), min(turns), bends, closed)

    def told(self, cost: float, length: float, turn: float, bends: int, closed: bool) -> Bound:
        if not math.isfinite(cost):
            words = f"no route of up to {self.problem.most_bends} bends exists: every one of them is blocked"
        else:
            words = f"no route costs less than {cost:.2f}"
        steps = [f"every route is at least {length:.0f} mm long" if math.isfinite(length) else "no curve gets through",
                 f"every route turns by at least {math.degrees(turn):.0f} deg in all" if math.isfinite(turn)
                 else "no curve gets through"]
        if bends > 0:
            what = "every route" if not math.isfinite(self.known) else f"every route cheaper than {self.known:.2f}"
            steps.append(f"{what} has at least {bends} bends")
        steps.append(f"{self.boxes} boxes of routes looked at, {int(self.store.count[SHUT])} of them blocked")
        return Bound(cost, length, turn, bends, words, tuple(steps), self.boxes, closed)


def small_problem() -> Problem:
    """A question without obstacles, to compile with."""
    bend = Bend("any", 50.0, 1.5)
    term = Term("length", "mm", 1.0, 0.01, (0.0,), (1.0,), 0.0)
    end = Exit(np.array((280.0, 80.0, -20.0)), np.array((300.0, 120.0, 20.0)), np.array((1.0, 0.0, 0.0)), 0.2)
    return Problem((), np.zeros(3), np.array((1.0, 0.0, 0.0)), end, (Size("any", 40.0, 1.5, (bend,), (term,)),),
                   np.array(((-50.0, -200.0, -200.0), (400.0, 200.0, 200.0))), Domain(np.zeros(3), np.zeros(3)),
                   np.zeros((1, 3)))


def compile_kernels() -> None:
    """Compile what this module needs, or load it from the cache beside the code."""
    problem = small_problem()
    lower_bound(problem, prepare(problem), boxes=1)
