"""Smallest gap of two moving bodies over a whole box of poses: the compiled branch and bound.

What makes a cell of poses certain. Along a fixed direction n the gap of two body points, n.(b(q) - a(q)), is a
polynomial of the pose q. Over a cell it differs from the multilinear interpolation of its values at the cell's corners
by at most sum_i e_i^2 M_i / 2, where e_i is the half width of the cell along parameter i and M_i bounds the pure second
derivatives of both points (error of linear interpolation, one parameter at a time; from memory). A multilinear function
is least at a corner. So

    gap anywhere in the cell >= min over corners of the support gap along n  -  sum_i e_i^2 M_i / 2

for every direction n, overlapping or not; n is taken from the closest points at one pose of the cell. Sliding along a
face costs nothing here, where a bound on speed alone would cut the cell into thousands.

A scan is not convex: its box tree is walked with the cruder bound (gap at one pose less the greatest displacement in
the cell), and the rule above is used on the triangles that are left.
"""

import math

import numpy as np
from numba import njit

from trialfit.geometry import distance, solids
from trialfit.geometry import waiting as queue
from trialfit.geometry.distance import between, pose_row, support
from trialfit.geometry.solids import BOX, POINTS, ROW_WIDTH, SPAN
from trialfit.geometry.stamp import text_stamp
from trialfit.geometry.waiting import pop, push

MOST_TERMS = 64

# Slots of the state that a search carries: best upper bounds, what pruned pairs are sure of, where the best was met.
_G, _U, _SURE, _AT, _ON_A, _ON_B = 0, 1, 2, 3, 6, 9
STATE = 16
_CELLS, _DONE = 12, 13


@njit(nogil=True)
def shrink(lo, hi, dom):  # type: ignore[no-untyped-def]
    """Cut a cell down to the box round its possible part (stops and roll limit); False when there is none."""
    bump, droop, half, limit = dom[0], dom[1], dom[2], dom[3]
    lo[1] = max(lo[1], -limit)
    hi[1] = min(hi[1], limit)
    if lo[1] > hi[1]:
        return False
    least = 0.0
    if lo[1] > 0.0:
        least = lo[1]
    elif hi[1] < 0.0:
        least = -hi[1]
    rise = math.sin(least) * half
    lo[0] = max(lo[0], -droop + rise)
    hi[0] = min(hi[0], bump - rise)
    if lo[0] > hi[0]:
        return False
    easiest = min(hi[0], max(lo[0], 0.5 * (bump - droop)))
    room = min(bump - easiest, droop + easiest)
    if half > 0.0 and room < half:
        most = math.asin(max(room, 0.0) / half)
        lo[1] = max(lo[1], -most)
        hi[1] = min(hi[1], most)
        if lo[1] > hi[1]:
            # Both ends met in rounding: the one roll left is the least.
            lo[1] = hi[1] = least if lo[1] > 0.0 else -least
    return True


@njit(nogil=True)
def place(lo, hi, dom, q):  # type: ignore[no-untyped-def]
    """A possible pose in a shrunk cell: its middle, or the one at its least roll nearest the middle."""
    for k in range(3):
        q[k] = 0.5 * (lo[k] + hi[k])
    rise = abs(math.sin(q[1])) * dom[2]
    if -dom[1] + rise <= q[0] <= dom[0] - rise:
        return
    q[1] = min(hi[1], max(lo[1], 0.0))
    rise = abs(math.sin(q[1])) * dom[2]
    q[0] = min(dom[0] - rise, max(-dom[1] + rise, q[0]))


@njit(nogil=True)
def poses(coefs, span, lo, hi, q, corners, count, out):  # type: ignore[no-untyped-def]
    """Poses (9, 12) of a path at the cell's corners (bit k of the index: high end of parameter k) and, last, at q."""
    nh, nr, nk = coefs.shape[0], coefs.shape[1], coefs.shape[2]
    if nh == 1 and nr == 1 and nk == 1:
        for c in range(count):
            for m in range(12):
                out[corners[c], m] = coefs[0, 0, 0, m]
        for m in range(12):
            out[8, m] = coefs[0, 0, 0, m]
        return
    t = np.empty((3, 3, max(nh, nr, nk, 2)))
    for axis in range(3):
        wide = span[1, axis] - span[0, axis]
        for v in range(3):
            x = 0.0
            if wide > 0.0:
                at = lo[axis] if v == 0 else (hi[axis] if v == 1 else q[axis])
                x = (2.0 * at - span[0, axis] - span[1, axis]) / wide
            t[axis, v, 0] = 1.0
            t[axis, v, 1] = x
            for k in range(2, coefs.shape[axis]):
                t[axis, v, k] = 2.0 * x * t[axis, v, k - 1] - t[axis, v, k - 2]
    first = np.zeros((3, nr, nk, 12))
    for v in range(3):
        for i in range(nh):
            w = t[0, v, i]
            for j in range(nr):
                for k in range(nk):
                    for m in range(12):
                        first[v, j, k, m] += w * coefs[i, j, k, m]
    for c in range(count + 1):
        if c < count:
            index = corners[c]
            v0, v1, v2 = index & 1, (index >> 1) & 1, (index >> 2) & 1
        else:
            index = 8
            v0 = v1 = v2 = 2
        for m in range(12):
            out[index, m] = 0.0
        for j in range(nr):
            for k in range(nk):
                w = t[1, v1, j] * t[2, v2, k]
                for m in range(12):
                    out[index, m] += w * first[v0, j, k, m]


@njit(nogil=True)
def _reach(row, verts, pose, pose_b, nx, ny, nz):  # type: ignore[no-untyped-def]
    """How far a solid reaches along n at a pose [mm]."""
    if int(row[0]) == SPAN:
        x, y, z = row[9], row[10], row[11]
        a = (
            nx * (pose[0] * x + pose[1] * y + pose[2] * z + pose[9])
            + ny * (pose[3] * x + pose[4] * y + pose[5] * z + pose[10])
            + nz * (pose[6] * x + pose[7] * y + pose[8] * z + pose[11])
        )
        x, y, z = row[12], row[13], row[14]
        b = (
            nx * (pose_b[0] * x + pose_b[1] * y + pose_b[2] * z + pose_b[9])
            + ny * (pose_b[3] * x + pose_b[4] * y + pose_b[5] * z + pose_b[10])
            + nz * (pose_b[6] * x + pose_b[7] * y + pose_b[8] * z + pose_b[11])
        )
        return max(a, b) + row[1]
    dx = pose[0] * nx + pose[3] * ny + pose[6] * nz
    dy = pose[1] * nx + pose[4] * ny + pose[7] * nz
    dz = pose[2] * nx + pose[5] * ny + pose[8] * nz
    x, y, z = support(row, verts, dx, dy, dz)
    return dx * x + dy * y + dz * z + nx * pose[9] + ny * pose[10] + nz * pose[11] + row[1]


@njit(nogil=True)
def _along(a, va, pa, pa2, b, vb, pb, pb2, n, corners, count):  # type: ignore[no-untyped-def]
    """Least support gap along n over the corners of a cell [mm]."""
    least = np.inf
    for c in range(count):
        s = corners[c]
        top = _reach(a, va, pa[s], pa2[s], n[0], n[1], n[2])
        low = -_reach(b, vb, pb[s], pb2[s], -n[0], -n[1], -n[2])
        least = min(least, low - top)
    return least


@njit(nogil=True)
def _shift(points, first, count, pose, corners, ncorners):  # type: ignore[no-untyped-def]
    """Greatest distance [mm] of points first..first+count from where they are at the middle pose, at the corners."""
    most = 0.0
    for p in range(first, first + count):
        x, y, z = points[p, 0], points[p, 1], points[p, 2]
        for c in range(ncorners):
            s = corners[c]
            total = 0.0
            for i in range(3):
                d = (
                    (pose[s, 3 * i] - pose[8, 3 * i]) * x
                    + (pose[s, 3 * i + 1] - pose[8, 3 * i + 1]) * y
                    + (pose[s, 3 * i + 2] - pose[8, 3 * i + 2]) * z
                    + pose[s, 9 + i] - pose[8, 9 + i]
                )
                total += d * d
            most = max(most, total)
    return math.sqrt(most)


@njit(nogil=True)
def _goal(g, lim):  # type: ignore[no-untyped-def]
    """Lower bound [mm] at which a cell needs no more work, given the best upper bound g."""
    if g == np.inf:
        return lim[3]
    return min(g - max(lim[1], lim[2] * abs(g)), lim[3])


@njit(nogil=True)
def _better(state, low, high, slack, q, got):  # type: ignore[no-untyped-def]
    state[_G] = min(state[_G], high - slack)
    if high + slack < state[_U]:
        state[_U] = high + slack
        for k in range(3):
            state[_AT + k] = q[k]
            state[_ON_A + k] = got[5 + k]
            state[_ON_B + k] = got[8 + k]


@njit(nogil=True)
def _box_gap(box, low, high):  # type: ignore[no-untyped-def]
    """Signed gap of two upright boxes: what lies in them can overlap no deeper than that says [mm]."""
    total = 0.0
    most = -np.inf
    for k in range(3):
        d = max(box[k] - high[k], low[k] - box[3 + k])
        most = max(most, d)
        if d > 0.0:
            total += d * d
    return math.sqrt(total) if most > 0.0 else most


@njit(nogil=True)
def _skin(tree, pa, row, body, vb, pb, pb2, j, strayed, rest, q, corners, count, lim, s, got, state):  # type: ignore[no-untyped-def]
    """Lower bound over the cell for a mesh (first) and one convex solid; inf when every triangle is sure of more.

    ``row``: the solid posed at q; ``strayed``: greatest displacement in the cell; ``rest``: second-order term.
    """
    boxes, kids, points = tree
    back = np.empty(12)
    for i in range(3):
        for k in range(3):
            back[3 * i + k] = pa[8, 3 * k + i]
    for i in range(3):
        back[9 + i] = -(back[3 * i] * pa[8, 9] + back[3 * i + 1] * pa[8, 10] + back[3 * i + 2] * pa[8, 11])
    solid = np.empty(ROW_WIDTH)
    pose_row(row, back, back, solid)
    low = np.empty(3)
    high = np.empty(3)
    for k in range(3):
        ex, ey, ez = (1.0 if k == 0 else 0.0), (1.0 if k == 1 else 0.0), (1.0 if k == 2 else 0.0)
        x, y, z = support(solid, vb, ex, ey, ez)
        high[k] = ex * x + ey * y + ez * z + row[1]
        x, y, z = support(solid, vb, -ex, -ey, -ez)
        low[k] = ex * x + ey * y + ez * z - row[1]
    slack = row[2]
    loss = strayed + slack
    tri = np.zeros(ROW_WIDTH)
    tri[0], tri[4] = POINTS, 3.0
    crate = np.zeros(ROW_WIDTH)
    crate[0], crate[12], crate[16], crate[20] = BOX, 1.0, 1.0, 1.0
    n = np.empty(3)
    worst = np.inf
    stack = np.empty(128, np.int64)
    stack[0] = 0
    top = 1
    while top > 0:
        top -= 1
        node = stack[top]
        goal = _goal(state[_G], lim)
        sure = _box_gap(boxes[node], low, high) - loss
        if sure < goal and kids[node, 1] >= 0 and strayed < 1e12:
            for k in range(3):
                crate[9 + k] = 0.5 * (boxes[node, k] + boxes[node, 3 + k])
                crate[21 + k] = 0.5 * (boxes[node, 3 + k] - boxes[node, k])
            between(
                crate, points, solid, vb, solid[5] - crate[9], solid[6] - crate[10], solid[7] - crate[11],
                goal + loss, 0, s, got,
            )
            sure = max(sure, got[0] - loss)
        if sure >= goal:
            state[_SURE] = min(state[_SURE], sure)
            continue
        if kids[node, 1] >= 0:
            near, far = kids[node, 0], kids[node, 1]
            if _box_gap(boxes[near], low, high) > _box_gap(boxes[far], low, high):
                near, far = far, near
            stack[top] = far
            stack[top + 1] = near
            top += 2
            continue
        for t in range(kids[node, 0], kids[node, 0] - kids[node, 1]):
            tri[3] = 3.0 * t
            goal = _goal(state[_G], lim)
            between(
                tri, points, solid, vb, solid[5] - points[3 * t, 0], solid[6] - points[3 * t, 1],
                solid[7] - points[3 * t, 2], goal + loss, 0, s, got,
            )
            sure = got[0] - loss
            if sure < goal:
                for k in range(3):
                    n[k] = pa[8, 3 * k] * got[2] + pa[8, 3 * k + 1] * got[3] + pa[8, 3 * k + 2] * got[4]
                if got[1] + slack < state[_U]:
                    for side in (5, 8):
                        x, y, z = got[side], got[side + 1], got[side + 2]
                        for k in range(3):
                            got[side + k] = (
                                pa[8, 3 * k] * x + pa[8, 3 * k + 1] * y + pa[8, 3 * k + 2] * z + pa[8, 9 + k])
                _better(state, got[0], got[1], slack, q, got)
                goal = _goal(state[_G], lim)
                if sure < goal:
                    plane = _along(tri, points, pa, pa, body[j], vb, pb, pb2, n, corners, count) - rest - slack
                    sure = max(sure, plane)
            if sure >= goal:
                state[_SURE] = min(state[_SURE], sure)
            else:
                worst = min(worst, sure)
                if strayed > 2.0 * lim[1]:
                    # The cell will be cut whatever the rest says; the whole scan's box still bounds it.
                    return min(worst, _box_gap(boxes[0], low, high) - loss)
    return worst


@njit(nogil=True)
def _longer(array, used):  # type: ignore[no-untyped-def]
    grown = np.empty(max(2 * array.shape[0], used + 1), array.dtype)
    grown[: array.shape[0]] = array
    return grown


@njit(nogil=True)
def _taller(array, used):  # type: ignore[no-untyped-def]
    grown = np.empty((2 * used, array.shape[1]), array.dtype)
    grown[:used] = array[:used]
    return grown


@njit(nogil=True)
def _search(first, tree, second, lo0, hi0, active, dom, speed, lim, max_cells, state):  # type: ignore[no-untyped-def]
    """Branch and bound. Bodies are tuples (rows, vertices, path, its box, far path, its box, M per row, box corners).

    ``tree`` (boxes, kids, corners) with more than no nodes makes the first body that mesh and its one row a stand-in.
    ``lim``: required, tolerance, relative tolerance, good enough, 1 to stop once the requirement is settled.
    ``state``: upper less slack, upper, lower, pose, point on each, cells, 1 when the goal was reached / -1 no pose.
    """
    rows_a, va, ca, sa, ca2, sa2, ma, ha = first
    rows_b, vb, cb, sb, cb2, sb2, mb, hb = second
    mesh = tree[0].shape[0] > 0
    na, nb = rows_a.shape[0], rows_b.shape[0]
    state[_G] = state[_U] = state[_SURE] = np.inf
    cap = 256
    cell_lo = np.empty((cap, 3))
    cell_hi = np.empty((cap, 3))
    keys = np.empty(cap)
    spot = np.empty((cap, 2), np.int64)
    heap = np.empty(cap, np.int64)
    waiting = filled = cells = 0
    pairs = np.empty(max(2 * na * nb, 1024), np.int64)
    for p in range(na * nb):
        pairs[p] = p
    used = na * nb
    ways = np.zeros((na * nb, 3))
    posed_a = np.empty((na, ROW_WIDTH))
    posed_b = np.empty((nb, ROW_WIDTH))
    stamp_a = np.full(na, -1)
    stamp_b = np.full(nb, -1)
    corners = np.empty(8, np.int64)
    count = 0
    for c in range(8):
        wanted = True
        for k in range(3):
            if active[k] == 0 and (c >> k) & 1:
                wanted = False
        if wanted:
            corners[count] = c
            count += 1
    pa, pa2, pb, pb2 = np.empty((9, 12)), np.empty((9, 12)), np.empty((9, 12)), np.empty((9, 12))
    s = np.empty((4, 10))
    got = np.empty(11)
    n = np.empty(3)
    q = np.empty(3)
    lo, hi = lo0.copy(), hi0.copy()
    parent_lo, parent_hi = np.empty(3), np.empty(3)
    state[_DONE] = 1.0

    # Each turn of the outer loop cuts one cell in two; the first turn takes the whole box as its only part.
    whole = True
    while True:
        axis = 0
        parent_key = -np.inf
        start, length = 0, na * nb
        if not whole:
            if waiting == 0:
                break
            best = keys[heap[0]]
            if best >= _goal(state[_G], lim):
                break
            if lim[4] > 0.0 and (best >= lim[0] or state[_U] < lim[0]):
                break
            if mesh and state[_G] <= 0.0:
                # Crossing a skin has no depth to close in on.
                state[_DONE] = 0.0
                break
            if cells + 2 > max_cells or used > 40_000_000:
                state[_DONE] = 0.0
                break
            cell, waiting = pop(heap, keys, waiting)
            parent_key = keys[cell]
            start, length = spot[cell, 0], spot[cell, 1]
            widest = 0.0
            for k in range(3):
                parent_lo[k], parent_hi[k] = cell_lo[cell, k], cell_hi[cell, k]
                if active[k] and speed[k] * (parent_hi[k] - parent_lo[k]) > widest:
                    widest = speed[k] * (parent_hi[k] - parent_lo[k])
                    axis = k
            if widest <= 1e-9:
                state[_SURE] = min(state[_SURE], parent_key)
                continue
        for part in range(1 if whole else 2):
            if not whole:
                for k in range(3):
                    lo[k], hi[k] = parent_lo[k], parent_hi[k]
                if part == 0:
                    hi[axis] = 0.5 * (parent_lo[axis] + parent_hi[axis])
                else:
                    lo[axis] = 0.5 * (parent_lo[axis] + parent_hi[axis])
            if not shrink(lo, hi, dom):
                if whole:
                    state[_DONE] = -1.0
                    return
                continue
            place(lo, hi, dom, q)
            if whole:
                # A parameter nothing depends on is held where it leaves the others most room.
                for k in range(3):
                    if active[k] == 0:
                        if k == 0:
                            q[0] = min(hi[0], max(lo[0], 0.5 * (dom[0] - dom[1])))
                        if k == 1:
                            q[1] = min(hi[1], max(lo[1], 0.0))
                        lo[k] = hi[k] = q[k]
                place(lo, hi, dom, q)
                for k in range(3):
                    state[_AT + k] = q[k]
            cells += 1
            poses(ca, sa, lo, hi, q, corners, count, pa)
            poses(ca2, sa2, lo, hi, q, corners, count, pa2)
            poses(cb, sb, lo, hi, q, corners, count, pb)
            poses(cb2, sb2, lo, hi, q, corners, count, pb2)
            low_of_cell = np.inf
            at = used
            for index in range(start, start + length):
                p = pairs[index]
                i, j = p // nb, p % nb
                rest = 0.0
                for k in range(3):
                    e = 0.5 * (hi[k] - lo[k])
                    rest += 0.5 * e * e * (ma[i, k] + mb[j, k])
                if stamp_b[j] != cells:
                    pose_row(rows_b[j], pb[8], pb2[8], posed_b[j])
                    stamp_b[j] = cells
                if mesh:
                    strayed = _shift(ha, 0, 8, pa, corners, count)
                    if int(rows_b[j, 0]) == SPAN:
                        strayed += max(
                            _shift(hb, 8 * j, 1, pb, corners, count), _shift(hb, 8 * j + 1, 1, pb2, corners, count))
                    else:
                        strayed += _shift(hb, 8 * j, 8, pb, corners, count)
                    sure = _skin(
                        tree, pa, posed_b[j], rows_b, vb, pb, pb2, j, strayed + rest, rest, q, corners, count, lim, s,
                        got, state,
                    )
                    if sure == np.inf:
                        continue
                else:
                    slack = rows_a[i, 2] + rows_b[j, 2]
                    if stamp_a[i] != cells:
                        pose_row(rows_a[i], pa[8], pa2[8], posed_a[i])
                        stamp_a[i] = cells
                    for k in range(3):
                        n[k] = ways[p, k]
                    if n[0] == 0.0 and n[1] == 0.0 and n[2] == 0.0:
                        for k in range(3):
                            n[k] = posed_b[j, 5 + k] - posed_a[i, 5 + k]
                        size = math.sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2])
                        if size < 1e-9:
                            n[0], n[1], n[2], size = 1.0, 0.0, 0.0, 1.0
                        for k in range(3):
                            n[k] /= size
                    sure = _along(rows_a[i], va, pa, pa2, rows_b[j], vb, pb, pb2, n, corners, count) - rest - slack
                    if sure < _goal(state[_G], lim):
                        between(
                            posed_a[i], va, posed_b[j], vb, n[0], n[1], n[2], np.inf, 1, s, got)
                        for k in range(3):
                            n[k] = got[2 + k]
                            ways[p, k] = n[k]
                        _better(state, got[0], got[1], slack, q, got)
                        other = _along(rows_a[i], va, pa, pa2, rows_b[j], vb, pb, pb2, n, corners, count)
                        sure = max(sure, other - rest - slack)
                    if sure >= _goal(state[_G], lim):
                        state[_SURE] = min(state[_SURE], sure)
                        continue
                low_of_cell = min(low_of_cell, sure)
                if at >= pairs.shape[0]:
                    pairs = _longer(pairs, at)
                pairs[at] = p
                at += 1
            if at > used:
                if filled == cap:
                    cap *= 2
                    cell_lo = _taller(cell_lo, filled)
                    cell_hi = _taller(cell_hi, filled)
                    spot = _taller(spot, filled)
                    keys = _longer(keys, filled)
                    heap = _longer(heap, filled)
                cell = filled
                filled += 1
                for k in range(3):
                    cell_lo[cell, k], cell_hi[cell, k] = lo[k], hi[k]
                keys[cell] = max(low_of_cell, parent_key)
                spot[cell, 0], spot[cell, 1] = used, at - used
                used = at
                waiting = push(heap, keys, waiting, cell)
        whole = False
    if waiting > 0:
        state[_SURE] = min(state[_SURE], keys[heap[0]])
    state[_CELLS] = cells


def _entry(stamp):  # type: ignore[no-untyped-def]
    """The one entry that is kept in the compiler's cache, keyed by ``stamp`` too.

    The compiler looks at the age of this file alone. Were the kernels it calls cached one by one, a change in another
    file would leave the old code in force here, and with it old bounds.
    """

    @njit(cache=True, nogil=True)
    def search(first, tree, second, lo, hi, active, dom, speed, lim, max_cells, state):  # type: ignore[no-untyped-def]
        if stamp >= 0:
            _search(first, tree, second, lo, hi, active, dom, speed, lim, max_cells, state)

    return search


search = _entry(text_stamp(distance, solids, queue))  # type: ignore[no-untyped-call]
