"""Distance between two convex solids at one pose: compiled kernels with bounds that hold whatever the rounding.

Along any unit direction n the support gap ``min n.(b - a)`` over the two solids is a lower bound of their signed
distance, and any two points of them give an upper bound of their distance. The closest-point iteration (simplex of the
difference of the two, Gilbert-Johnson-Keerthi 1988, from memory) only *chooses* n and the points, so that a numerical
stumble can make the two bounds part, never cross the truth. When the cores overlap, an expanding polytope (van den
Bergen 2001, from memory) seeks the direction of least depth: the lower bound is again a support gap; the upper bound
is the depth of a polytope inside the difference.

What is left out: plain rounding of sums and products. With coordinates up to 1e5 mm it stays below ``MARGIN_MM``,
which the callers in ``gaps`` take off the lower bound and add to the upper one; past 1e5 mm (allowed to 1e6) take ten
times that.
"""

import math

import numpy as np
from numba import njit

from trialfit.geometry.solids import BOX, CAPSULE, HULL, POINTS, ROUND, ROW_WIDTH, SPAN

MARGIN_MM = 1e-6
CLOSE_REL = 1e-7  # bounds this near to each other (of the distance, and in mm below 1 mm) end the iteration
MOST_STEPS = 96
MOST_FACES = 320
MOST_POINTS = 100


@njit(nogil=True)
def support(row, verts, dx, dy, dz):  # type: ignore[no-untyped-def]
    """Farthest point of a posed core along (dx, dy, dz)."""
    kind = int(row[0])
    if kind == CAPSULE:
        if dx * (row[12] - row[9]) + dy * (row[13] - row[10]) + dz * (row[14] - row[11]) > 0.0:
            return row[12], row[13], row[14]
        return row[9], row[10], row[11]
    if kind == BOX:
        x, y, z = row[9], row[10], row[11]
        for k in range(3):
            ax, ay, az = row[12 + 3 * k], row[13 + 3 * k], row[14 + 3 * k]
            h = row[21 + k]
            if dx * ax + dy * ay + dz * az < 0.0:
                h = -h
            x += h * ax
            y += h * ay
            z += h * az
        return x, y, z
    if kind == ROUND:
        ux, uy, uz = row[17], row[18], row[19]
        along = dx * ux + dy * uy + dz * uz
        px, py, pz = dx - along * ux, dy - along * uy, dz - along * uz
        # Once more, or near the axis the rim point would be lifted off its disc by rounding.
        again = px * ux + py * uy + pz * uz
        px, py, pz = px - again * ux, py - again * uy, pz - again * uz
        across = math.sqrt(px * px + py * py + pz * pz)
        if across < 1e-13 * abs(along):
            across = 0.0
        at_a = dx * row[9] + dy * row[10] + dz * row[11] + across * row[15]
        at_b = dx * row[12] + dy * row[13] + dz * row[14] + across * row[16]
        k = 9 if at_a >= at_b else 12
        grow = 0.0
        if across > 0.0:
            grow = (row[15] if k == 9 else row[16]) / across
        return row[k] + grow * px, row[k + 1] + grow * py, row[k + 2] + grow * pz
    first, count = int(row[3]), int(row[4])
    ex, ey, ez = dx, dy, dz
    if kind == HULL:
        ex = row[9] * dx + row[12] * dy + row[15] * dz
        ey = row[10] * dx + row[13] * dy + row[16] * dz
        ez = row[11] * dx + row[14] * dy + row[17] * dz
    best = first
    most = -np.inf
    for k in range(first, first + count):
        along = ex * verts[k, 0] + ey * verts[k, 1] + ez * verts[k, 2]
        if along > most:
            most = along
            best = k
    x, y, z = verts[best, 0], verts[best, 1], verts[best, 2]
    if kind == HULL:
        return (
            row[9] * x + row[10] * y + row[11] * z + row[18],
            row[12] * x + row[13] * y + row[14] * z + row[19],
            row[15] * x + row[16] * y + row[17] * z + row[20],
        )
    return x, y, z


@njit(nogil=True)
def _turn(pose, row, k, out, m):  # type: ignore[no-untyped-def]
    x, y, z = row[k], row[k + 1], row[k + 2]
    for i in range(3):
        out[m + i] = pose[3 * i] * x + pose[3 * i + 1] * y + pose[3 * i + 2] * z


@njit(nogil=True)
def _move(pose, row, k, out, m):  # type: ignore[no-untyped-def]
    _turn(pose, row, k, out, m)
    for i in range(3):
        out[m + i] += pose[9 + i]


@njit(nogil=True)
def pose_row(row, pose, pose_b, out):  # type: ignore[no-untyped-def]
    """Packed solid at a pose (12: rotation row-major, shift); a span's far end rides on ``pose_b``."""
    for k in range(ROW_WIDTH):
        out[k] = row[k]
    kind = int(row[0])
    if kind == SPAN:
        out[0] = CAPSULE
        _move(pose, row, 9, out, 9)
        _move(pose_b, row, 12, out, 12)
        for k in range(3):
            out[5 + k] = 0.5 * (out[9 + k] + out[12 + k])
        return
    _move(pose, row, 5, out, 5)
    if kind == CAPSULE:
        _move(pose, row, 9, out, 9)
        _move(pose, row, 12, out, 12)
    elif kind == BOX:
        _move(pose, row, 9, out, 9)
        for k in range(3):
            _turn(pose, row, 12 + 3 * k, out, 12 + 3 * k)
    elif kind == ROUND:
        _move(pose, row, 9, out, 9)
        _move(pose, row, 12, out, 12)
        _turn(pose, row, 17, out, 17)
    elif kind == HULL:
        for i in range(3):
            for j in range(3):
                total = 0.0
                for k in range(3):
                    total += pose[3 * i + k] * row[9 + 3 * k + j]
                out[9 + 3 * i + j] = total
        _move(pose, row, 18, out, 18)


@njit(nogil=True)
def sep(a, va, b, vb, nx, ny, nz):  # type: ignore[no-untyped-def]
    """Support gap of two posed cores along the unit direction n, from the first to the second [mm]."""
    ax, ay, az = support(a, va, nx, ny, nz)
    bx, by, bz = support(b, vb, -nx, -ny, -nz)
    return nx * (bx - ax) + ny * (by - ay) + nz * (bz - az)


@njit(nogil=True)
def _on_edge(s, i, j):  # type: ignore[no-untyped-def]
    """Weights of the point of edge i-j nearest the origin."""
    ex, ey, ez = s[j, 0] - s[i, 0], s[j, 1] - s[i, 1], s[j, 2] - s[i, 2]
    ee = ex * ex + ey * ey + ez * ez
    if ee <= 0.0:
        return 1.0, 0.0
    t = -(s[i, 0] * ex + s[i, 1] * ey + s[i, 2] * ez) / ee
    t = min(1.0, max(0.0, t))
    return 1.0 - t, t


@njit(nogil=True)
def _on_face(s, i, j, k):  # type: ignore[no-untyped-def]
    """Weights of the point of triangle i-j-k nearest the origin, and its squared distance.

    The inside is taken only when it truly lies nearer than the three edges: thin triangles lose their normal to
    rounding, their edges do not.
    """
    u, v = _on_edge(s, i, j)
    best = _square2(s, i, j, u, v)
    li, lj, lk = u, v, 0.0
    u, v = _on_edge(s, j, k)
    d = _square2(s, j, k, u, v)
    if d < best:
        best = d
        li, lj, lk = 0.0, u, v
    u, v = _on_edge(s, k, i)
    d = _square2(s, k, i, u, v)
    if d < best:
        best = d
        li, lj, lk = v, 0.0, u
    e1x, e1y, e1z = s[j, 0] - s[i, 0], s[j, 1] - s[i, 1], s[j, 2] - s[i, 2]
    e2x, e2y, e2z = s[k, 0] - s[i, 0], s[k, 1] - s[i, 1], s[k, 2] - s[i, 2]
    nx, ny, nz = e1y * e2z - e1z * e2y, e1z * e2x - e1x * e2z, e1x * e2y - e1y * e2x
    nn = nx * nx + ny * ny + nz * nz
    if nn > 0.0:
        # weight of k from (e1 x -a).n, of j from (-a x e2).n
        px, py, pz = -s[i, 0], -s[i, 1], -s[i, 2]
        wk = (e1y * pz - e1z * py) * nx + (e1z * px - e1x * pz) * ny + (e1x * py - e1y * px) * nz
        wj = (py * e2z - pz * e2y) * nx + (pz * e2x - px * e2z) * ny + (px * e2y - py * e2x) * nz
        wk /= nn
        wj /= nn
        wi = 1.0 - wj - wk
        if wi >= 0.0 and wj >= 0.0 and wk >= 0.0:
            x = wi * s[i, 0] + wj * s[j, 0] + wk * s[k, 0]
            y = wi * s[i, 1] + wj * s[j, 1] + wk * s[k, 1]
            z = wi * s[i, 2] + wj * s[j, 2] + wk * s[k, 2]
            d = x * x + y * y + z * z
            if d < best:
                return wi, wj, wk, d
    return li, lj, lk, best


@njit(nogil=True)
def _square2(s, i, j, u, v):  # type: ignore[no-untyped-def]
    x = u * s[i, 0] + v * s[j, 0]
    y = u * s[i, 1] + v * s[j, 1]
    z = u * s[i, 2] + v * s[j, 2]
    return x * x + y * y + z * z


@njit(nogil=True)
def _beyond(s, i, j, k, m):  # type: ignore[no-untyped-def]
    """Whether the origin lies on the far side of face i-j-k from vertex m, or that cannot be told."""
    e1x, e1y, e1z = s[j, 0] - s[i, 0], s[j, 1] - s[i, 1], s[j, 2] - s[i, 2]
    e2x, e2y, e2z = s[k, 0] - s[i, 0], s[k, 1] - s[i, 1], s[k, 2] - s[i, 2]
    nx, ny, nz = e1y * e2z - e1z * e2y, e1z * e2x - e1x * e2z, e1x * e2y - e1y * e2x
    here = -(nx * s[i, 0] + ny * s[i, 1] + nz * s[i, 2])
    there = nx * (s[m, 0] - s[i, 0]) + ny * (s[m, 1] - s[i, 1]) + nz * (s[m, 2] - s[i, 2])
    length = math.sqrt(nx * nx + ny * ny + nz * nz)
    if abs(there) <= 1e-12 * length * (1.0 + abs(s[i, 0]) + abs(s[i, 1]) + abs(s[i, 2])):
        return True
    return here * there < 0.0


@njit(nogil=True)
def _nearest(s, n):  # type: ignore[no-untyped-def]
    """Shrink the simplex to the corners that carry its point nearest the origin; weights in column 9.

    Returns the count left, or 5 when the origin is inside a tetrahedron.
    """
    w0, w1, w2, w3 = 1.0, 0.0, 0.0, 0.0
    if n == 2:
        w0, w1 = _on_edge(s, 0, 1)
    elif n == 3:
        w0, w1, w2, _ = _on_face(s, 0, 1, 2)
    elif n == 4:
        best = np.inf
        if _beyond(s, 0, 1, 2, 3):
            a, b, c, d = _on_face(s, 0, 1, 2)
            if d < best:
                best = d
                w0, w1, w2, w3 = a, b, c, 0.0
        if _beyond(s, 0, 1, 3, 2):
            a, b, c, d = _on_face(s, 0, 1, 3)
            if d < best:
                best = d
                w0, w1, w2, w3 = a, b, 0.0, c
        if _beyond(s, 0, 2, 3, 1):
            a, b, c, d = _on_face(s, 0, 2, 3)
            if d < best:
                best = d
                w0, w1, w2, w3 = a, 0.0, b, c
        if _beyond(s, 1, 2, 3, 0):
            a, b, c, d = _on_face(s, 1, 2, 3)
            if d < best:
                best = d
                w0, w1, w2, w3 = 0.0, a, b, c
        if best == np.inf:
            return 5
    s[0, 9], s[1, 9], s[2, 9], s[3, 9] = w0, w1, w2, w3
    kept = 0
    for i in range(n):
        if s[i, 9] > 0.0:
            if kept != i:
                for k in range(10):
                    s[kept, k] = s[i, k]
            kept += 1
    return kept


@njit(nogil=True)
def _corner(a, va, b, vb, nx, ny, nz, s, i):  # type: ignore[no-untyped-def]
    """Corner i of the simplex: the point of (second - first) lowest along n, with its two parents."""
    ax, ay, az = support(a, va, nx, ny, nz)
    bx, by, bz = support(b, vb, -nx, -ny, -nz)
    s[i, 0], s[i, 1], s[i, 2] = bx - ax, by - ay, bz - az
    s[i, 3], s[i, 4], s[i, 5] = ax, ay, az
    s[i, 6], s[i, 7], s[i, 8] = bx, by, bz
    return nx * s[i, 0] + ny * s[i, 1] + nz * s[i, 2]


@njit(nogil=True)
def between(a, va, b, vb, nx, ny, nz, above, deep, s, out):  # type: ignore[no-untyped-def]
    """Signed distance of two posed solids: out = lower, upper, n (3, first to second), point of each (3 + 3).

    Starts along n (need not be unit). Returns early once lower > ``above``. ``deep`` 0 gives overlapping cores only the
    cheap directions: lower holds but may be far below, upper is minus the grown radii. ``s``: scratch (4, 10).
    """
    grown = a[1] + b[1]
    length = math.sqrt(nx * nx + ny * ny + nz * nz)
    if length < 1e-12:
        nx, ny, nz, length = 1.0, 0.0, 0.0, 1.0
    nx, ny, nz = nx / length, ny / length, nz / length
    low = _corner(a, va, b, vb, nx, ny, nz, s, 0)
    s[0, 9] = 1.0
    out[2], out[3], out[4] = nx, ny, nz
    n = 1
    high = np.inf
    size = 1.0
    overlap = False
    for _ in range(MOST_STEPS):
        x = y = z = 0.0
        for i in range(n):
            x += s[i, 9] * s[i, 0]
            y += s[i, 9] * s[i, 1]
            z += s[i, 9] * s[i, 2]
            size = max(size, abs(s[i, 0]) + abs(s[i, 1]) + abs(s[i, 2]))
        d = math.sqrt(x * x + y * y + z * z)
        if d >= high:
            break
        high = d
        for k in range(3):
            out[5 + k] = s[0, 9] * s[0, 3 + k]
            out[8 + k] = s[0, 9] * s[0, 6 + k]
            for i in range(1, n):
                out[5 + k] += s[i, 9] * s[i, 3 + k]
                out[8 + k] += s[i, 9] * s[i, 6 + k]
        if d <= 1e-13 * size:
            overlap = True
            break
        nx, ny, nz = x / d, y / d, z / d
        reach = _corner(a, va, b, vb, nx, ny, nz, s, n)
        if reach > low:
            low = reach
            out[2], out[3], out[4] = nx, ny, nz
        if high - low <= CLOSE_REL * max(high, 1.0) or low - grown > above:
            break
        same = False
        for i in range(n):
            if s[i, 0] == s[n, 0] and s[i, 1] == s[n, 1] and s[i, 2] == s[n, 2]:
                same = True
        if same:
            break
        n = _nearest(s, n + 1)
        if n == 5:
            n = 4
            overlap = True
            break
    if overlap or low < 0.0:
        if overlap:
            high = 0.0
        low = _cheap(a, va, b, vb, low, out)
        if deep > 0 and overlap:
            low, high = _expand(a, va, b, vb, s, n, low, out)
    out[0] = low - grown
    out[1] = high - grown
    # The witness points of the grown solids lie one radius out along n.
    for k in range(3):
        out[5 + k] += a[1] * out[2 + k]
        out[8 + k] -= b[1] * out[2 + k]


@njit(nogil=True)
def _cheap(a, va, b, vb, low, out):  # type: ignore[no-untyped-def]
    """Best support gap along the own axes of two overlapping cores."""
    for which in range(2):
        row, verts = (a, va) if which == 0 else (b, vb)
        kind = int(row[0])
        count = 3 if kind == BOX else 1
        for k in range(count):
            if kind == BOX:
                x, y, z = row[12 + 3 * k], row[13 + 3 * k], row[14 + 3 * k]
            elif kind == ROUND:
                x, y, z = row[17], row[18], row[19]
            elif kind in (HULL, POINTS):
                f = int(row[3])
                e1x, e1y, e1z = (
                    verts[f + 1, 0] - verts[f, 0], verts[f + 1, 1] - verts[f, 1], verts[f + 1, 2] - verts[f, 2])
                e2x, e2y, e2z = (
                    verts[f + 2, 0] - verts[f, 0], verts[f + 2, 1] - verts[f, 1], verts[f + 2, 2] - verts[f, 2])
                x, y, z = e1y * e2z - e1z * e2y, e1z * e2x - e1x * e2z, e1x * e2y - e1y * e2x
                if kind == HULL:
                    x, y, z = (
                        row[9] * x + row[10] * y + row[11] * z,
                        row[12] * x + row[13] * y + row[14] * z,
                        row[15] * x + row[16] * y + row[17] * z,
                    )
            else:
                continue
            length = math.sqrt(x * x + y * y + z * z)
            if length < 1e-12:
                continue
            for sign in (-1.0, 1.0):
                nx, ny, nz = sign * x / length, sign * y / length, sign * z / length
                gap = sep(a, va, b, vb, nx, ny, nz)
                if gap > low:
                    low = gap
                    out[2], out[3], out[4] = nx, ny, nz
    return low


@njit(nogil=True)
def _fill(a, va, b, vb, s, n):  # type: ignore[no-untyped-def]
    """Grow a simplex that touches the origin to a tetrahedron; returns 4, or less when the difference is flat."""
    while n < 4:
        done = False
        for trial in range(6):
            if n == 1:
                x = 1.0 if trial // 2 == 0 else 0.0
                y = 1.0 if trial // 2 == 1 else 0.0
                z = 1.0 if trial // 2 == 2 else 0.0
            else:
                e1x, e1y, e1z = s[1, 0] - s[0, 0], s[1, 1] - s[0, 1], s[1, 2] - s[0, 2]
                if n == 2:
                    k = trial // 2
                    x = 0.0 if k == 0 else (-e1z if k == 1 else e1y)
                    y = e1z if k == 0 else (0.0 if k == 1 else -e1x)
                    z = -e1y if k == 0 else (e1x if k == 1 else 0.0)
                else:
                    e2x, e2y, e2z = s[2, 0] - s[0, 0], s[2, 1] - s[0, 1], s[2, 2] - s[0, 2]
                    x, y, z = e1y * e2z - e1z * e2y, e1z * e2x - e1x * e2z, e1x * e2y - e1y * e2x
            length = math.sqrt(x * x + y * y + z * z)
            if length < 1e-9:
                continue
            if trial % 2 == 1:
                length = -length
            _corner(a, va, b, vb, x / length, y / length, z / length, s, n)
            dx, dy, dz = s[n, 0] - s[0, 0], s[n, 1] - s[0, 1], s[n, 2] - s[0, 2]
            if n == 1:
                off = math.sqrt(dx * dx + dy * dy + dz * dz)
            elif n == 2:
                fx, fy, fz = e1y * dz - e1z * dy, e1z * dx - e1x * dz, e1x * dy - e1y * dx
                off = math.sqrt((fx * fx + fy * fy + fz * fz) / (e1x * e1x + e1y * e1y + e1z * e1z))
            else:
                off = abs(x * dx + y * dy + z * dz) / abs(length)
            if off > 1e-7:
                n += 1
                done = True
                break
        if not done:
            break
    return n


@njit(nogil=True)
def _expand(a, va, b, vb, s, n, low, out):  # type: ignore[no-untyped-def]
    """Depth of two overlapping cores by an expanding polytope: (lower, upper) of the signed distance."""
    n = _fill(a, va, b, vb, s, n)
    if n < 4:
        return low, 0.0
    pts = np.empty((MOST_POINTS, 9))
    for i in range(4):
        for k in range(9):
            pts[i, k] = s[i, k]
    used = 4
    mx = 0.25 * (pts[0, 0] + pts[1, 0] + pts[2, 0] + pts[3, 0])
    my = 0.25 * (pts[0, 1] + pts[1, 1] + pts[2, 1] + pts[3, 1])
    mz = 0.25 * (pts[0, 2] + pts[1, 2] + pts[2, 2] + pts[3, 2])
    faces = np.empty((MOST_FACES, 3), np.int64)
    plane = np.empty((MOST_FACES, 4))
    edges = np.empty((3 * MOST_FACES, 2), np.int64)
    count = 0
    for skip in range(4):
        i = 0 if skip != 0 else 1
        j = 2 if skip < 2 else 1
        k = 2 if skip == 3 else 3
        count = _face(pts, faces, plane, count, i, j, k, mx, my, mz)
    high = 0.0
    while count > 0 and used < MOST_POINTS:
        near = 0
        for f in range(1, count):
            if plane[f, 3] < plane[near, 3]:
                near = f
        px, py, pz, dist = plane[near, 0], plane[near, 1], plane[near, 2], plane[near, 3]
        ax, ay, az = support(a, va, -px, -py, -pz)
        bx, by, bz = support(b, vb, px, py, pz)
        wx, wy, wz = bx - ax, by - ay, bz - az
        depth = px * wx + py * wy + pz * wz
        if dist > -high:
            high = -dist
        if -depth > low:
            low = -depth
            out[2], out[3], out[4] = -px, -py, -pz
            _weigh(pts, faces, near, out)
        if depth - dist <= 1e-7 * max(1.0, depth) or high - low <= 1e-4 * -low:
            break
        pts[used, 0], pts[used, 1], pts[used, 2] = wx, wy, wz
        pts[used, 3], pts[used, 4], pts[used, 5] = ax, ay, az
        pts[used, 6], pts[used, 7], pts[used, 8] = bx, by, bz
        # Faces seen from the new point go; the rim they leave is closed with it.
        rim = 0
        f = 0
        while f < count:
            if plane[f, 0] * wx + plane[f, 1] * wy + plane[f, 2] * wz > plane[f, 3] + 1e-11 * (1.0 + abs(depth)):
                for e in range(3):
                    i, j = faces[f, e], faces[f, (e + 1) % 3]
                    found = -1
                    for m in range(rim):
                        if edges[m, 0] == j and edges[m, 1] == i:
                            found = m
                    if found >= 0:
                        rim -= 1
                        edges[found, 0], edges[found, 1] = edges[rim, 0], edges[rim, 1]
                    else:
                        edges[rim, 0], edges[rim, 1] = i, j
                        rim += 1
                count -= 1
                for k in range(3):
                    faces[f, k] = faces[count, k]
                for k in range(4):
                    plane[f, k] = plane[count, k]
            else:
                f += 1
        if rim == 0 or count + rim > MOST_FACES:
            break
        used += 1
        for m in range(rim):
            before = count
            count = _face(pts, faces, plane, count, edges[m, 0], edges[m, 1], used - 1, mx, my, mz)
            if count == before:
                return low, high
    return low, high


@njit(nogil=True)
def _face(pts, faces, plane, count, i, j, k, mx, my, mz):  # type: ignore[no-untyped-def]
    """Add a face turned outward from the inner point m, unless it has no area."""
    e1x, e1y, e1z = pts[j, 0] - pts[i, 0], pts[j, 1] - pts[i, 1], pts[j, 2] - pts[i, 2]
    e2x, e2y, e2z = pts[k, 0] - pts[i, 0], pts[k, 1] - pts[i, 1], pts[k, 2] - pts[i, 2]
    nx, ny, nz = e1y * e2z - e1z * e2y, e1z * e2x - e1x * e2z, e1x * e2y - e1y * e2x
    length = math.sqrt(nx * nx + ny * ny + nz * nz)
    if length < 1e-18:
        return count
    if nx * (pts[i, 0] - mx) + ny * (pts[i, 1] - my) + nz * (pts[i, 2] - mz) < 0.0:
        length = -length
        j, k = k, j
    nx, ny, nz = nx / length, ny / length, nz / length
    faces[count, 0], faces[count, 1], faces[count, 2] = i, j, k
    plane[count, 0], plane[count, 1], plane[count, 2] = nx, ny, nz
    plane[count, 3] = nx * pts[i, 0] + ny * pts[i, 1] + nz * pts[i, 2]
    return count + 1


@njit(nogil=True)
def _weigh(pts, faces, f, out):  # type: ignore[no-untyped-def]
    """Points of both solids at the place of face f nearest the origin."""
    i, j, k = faces[f, 0], faces[f, 1], faces[f, 2]
    wi, wj, wk, _ = _on_face(pts, i, j, k)
    for c in range(3):
        out[5 + c] = wi * pts[i, 3 + c] + wj * pts[j, 3 + c] + wk * pts[k, 3 + c]
        out[8 + c] = wi * pts[i, 6 + c] + wj * pts[j, 6 + c] + wk * pts[k, 6 + c]
