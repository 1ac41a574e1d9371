"""Signed distance of a point to a solid: what a pipe, a curve with a radius, is measured by.

Rows have the layout of ``geometry.solids`` (posed by ``pose_points``), but for a sheet: its slots 3 and 4 name its
first record in ``polygons`` and their count. One sheet there is, face after face, a record of the face and one of each
of its edges (``RECORD`` numbers):

    face  0..2 outward unit normal | 3 its distance from the origin [mm] | 4 count of edges that follow
    edge  0..2 where it starts [mm] | 3..5 unit normal of the edge in the face, outward | 6 length [mm]

all in the frame that the row's rotation (9..17) and shift (18..20) carry to where the sheet is. A flat sheet of no
thickness has two faces, back to back.

The distances are exact, inside and out: capsule, box, round and taper by their closed forms; for a convex body of flat
faces the distance inside is that of the nearest face, outside that of the nearest point of a face turned to the point.
The slack of a capsule (slot 2) is left to the caller.

Source: C. Ericson, Real-Time Collision Detection, 2005, ch. 5 (from memory); hull by Qhull as it comes with SciPy.
"""

import math
from collections.abc import Sequence

import numpy as np
from numba import njit

from trialfit.geometry.distance import pose_row
from trialfit.geometry.solids import BOX, CAPSULE, HULL, ROUND, Convex, Floats, Prism, pack

RECORD = 8

pose_points = pose_row
"""``pose_points(row, pose, pose_b, out)``: packed row at a pose (12,), the far end of a span at ``pose_b``."""


def pack_points(solids: Sequence[Convex]) -> tuple[Floats, Floats]:
    """Convex solids as rows (n, ROW_WIDTH) and the polygons (m, RECORD) their sheets draw on, for ``point_gap``."""
    rows, _ = pack(solids)
    pools: list[Floats] = []
    used = 0
    for row, solid in zip(rows, solids, strict=True):
        if isinstance(solid, Prism):
            records = _faces(solid.vertices())
            row[3:5] = used, len(records)
            pools.append(records)
            used += len(records)
    return rows, (np.vstack(pools) if pools else np.zeros((1, RECORD)))


def _faces(points: Floats) -> Floats:
    """Records (m, RECORD) of the faces of the hull of points (n, 3) [mm]."""
    middle = points.mean(axis=0)
    about = points - middle
    size = float(np.abs(about).max())
    _, spread, ways = np.linalg.svd(about, full_matrices=False)
    if spread[2] <= 1e-9 * size:
        loop = _ring(about, ways[2])
        return np.vstack([_face(loop[::turn] + middle, turn * ways[2]) for turn in (1, -1)])
    from scipy.spatial import ConvexHull

    hull = ConvexHull(about)
    left = list(range(len(hull.simplices)))
    faces: list[Floats] = []
    while left:
        first = hull.equations[left[0]]
        # Pieces of one flat face carry one plane; only rounding may part them.
        same = [k for k in left if np.abs(hull.equations[k, :3] - first[:3]).max() < 1e-9
                and abs(hull.equations[k, 3] - first[3]) < 1e-9 * size]
        left = [k for k in left if k not in same]
        corners = about[np.unique(hull.simplices[same])]
        faces.append(_face(_ring(corners, first[:3]) + middle, first[:3]))
    return np.vstack(faces)


def _ring(points: Floats, normal: Floats) -> Floats:
    """Outline (n, 3) of flat points, turning to the left seen from the tip of ``normal``."""
    from scipy.spatial import ConvexHull

    side = np.cross(normal, np.eye(3)[int(np.argmin(np.abs(normal)))])
    side /= np.linalg.norm(side)
    flat = np.stack((points @ side, points @ np.cross(normal, side)), axis=1)
    ring: Floats = points if len(points) == 3 else points[ConvexHull(flat).vertices]
    if float(np.cross(ring[1] - ring[0], ring[2] - ring[1]) @ normal) < 0.0:
        ring = ring[::-1]
    return ring


def _face(loop: Floats, normal: Floats) -> Floats:
    along = np.roll(loop, -1, axis=0) - loop
    length = np.linalg.norm(along, axis=1)
    records = np.zeros((len(loop) + 1, RECORD))
    # The face reaches as far as its farthest corner: what rounding leaves is on the side of a smaller gap.
    records[0, :5] = *normal, float((loop @ normal).max()), len(loop)
    records[1:, 0:3] = loop
    records[1:, 3:6] = np.cross(along, normal) / length[:, None]
    records[1:, 6] = length
    return records


@njit(nogil=True)
def point_gap(row, polygons, x, y, z):  # type: ignore[no-untyped-def]
    """Signed distance [mm] of a point to a posed solid, below 0 inside; slack left out."""
    kind = int(row[0])
    if kind == CAPSULE:
        ux, uy, uz = row[12] - row[9], row[13] - row[10], row[14] - row[11]
        px, py, pz = x - row[9], y - row[10], z - row[11]
        uu = ux * ux + uy * uy + uz * uz
        t = 0.0
        if uu > 0.0:
            t = min(1.0, max(0.0, (px * ux + py * uy + pz * uz) / uu))
        px, py, pz = px - t * ux, py - t * uy, pz - t * uz
        return math.sqrt(px * px + py * py + pz * pz) - row[1]
    if kind == BOX:
        px, py, pz = x - row[9], y - row[10], z - row[11]
        total = 0.0
        most = -np.inf
        for k in range(3):
            d = abs(px * row[12 + 3 * k] + py * row[13 + 3 * k] + pz * row[14 + 3 * k]) - row[21 + k]
            if d > 0.0:
                total += d * d
            if d > most:
                most = d
        return (math.sqrt(total) if most > 0.0 else most) - row[1]
    if kind == ROUND:
        ux, uy, uz = row[17], row[18], row[19]
        px, py, pz = x - row[9], y - row[10], z - row[11]
        length = (row[12] - row[9]) * ux + (row[13] - row[10]) * uy + (row[14] - row[11]) * uz
        h = px * ux + py * uy + pz * uz
        px, py, pz = px - h * ux, py - h * uy, pz - h * uz
        r = math.sqrt(px * px + py * py + pz * pz)
        d, _, _ = _taper(r, h, row[15], row[16], length)
        return d - row[1]
    if kind == HULL:
        px, py, pz = x - row[18], y - row[19], z - row[20]
        return _polytope(
            polygons, int(row[3]), int(row[4]),
            row[9] * px + row[12] * py + row[15] * pz,
            row[10] * px + row[13] * py + row[16] * pz,
            row[11] * px + row[14] * py + row[17] * pz,
        )[0] - row[1]
    return np.nan


@njit(nogil=True)
def point_way(row, polygons, x, y, z, out):  # type: ignore[no-untyped-def]
    """As ``point_gap``, with the unit direction from the solid to the point in ``out`` (3,)."""
    kind = int(row[0])
    if kind == CAPSULE:
        ux, uy, uz = row[12] - row[9], row[13] - row[10], row[14] - row[11]
        px, py, pz = x - row[9], y - row[10], z - row[11]
        uu = ux * ux + uy * uy + uz * uz
        t = 0.0
        if uu > 0.0:
            t = min(1.0, max(0.0, (px * ux + py * uy + pz * uz) / uu))
        px, py, pz = px - t * ux, py - t * uy, pz - t * uz
        d = math.sqrt(px * px + py * py + pz * pz)
        if d > 1e-9:
            out[0], out[1], out[2] = px / d, py / d, pz / d
        else:
            _square(ux, uy, uz, out)
        return d - row[1]
    if kind == BOX:
        px, py, pz = x - row[9], y - row[10], z - row[11]
        total = 0.0
        most = -np.inf
        out[0] = out[1] = out[2] = 0.0
        near = 0
        side = 1.0
        for k in range(3):
            at = px * row[12 + 3 * k] + py * row[13 + 3 * k] + pz * row[14 + 3 * k]
            d = abs(at) - row[21 + k]
            if d > 0.0:
                total += d * d
                if at < 0.0:
                    d = -d
                for i in range(3):
                    out[i] += d * row[12 + 3 * k + i]
                d = abs(d)
            if d > most:
                most = d
                near = k
                side = -1.0 if at < 0.0 else 1.0
        if most > 1e-9:
            d = math.sqrt(total)
            for i in range(3):
                out[i] /= d
            return d - row[1]
        for i in range(3):
            out[i] = side * row[12 + 3 * near + i]
        return most - row[1]
    if kind == ROUND:
        ux, uy, uz = row[17], row[18], row[19]
        px, py, pz = x - row[9], y - row[10], z - row[11]
        length = (row[12] - row[9]) * ux + (row[13] - row[10]) * uy + (row[14] - row[11]) * uz
        h = px * ux + py * uy + pz * uz
        px, py, pz = px - h * ux, py - h * uy, pz - h * uz
        r = math.sqrt(px * px + py * py + pz * pz)
        d, nr, nh = _taper(r, h, row[15], row[16], length)
        if r > 1e-9:
            px, py, pz = px / r, py / r, pz / r
        else:
            _square(ux, uy, uz, out)
            px, py, pz = out[0], out[1], out[2]
        out[0], out[1], out[2] = nr * px + nh * ux, nr * py + nh * uy, nr * pz + nh * uz
        return d - row[1]
    if kind == HULL:
        px, py, pz = x - row[18], y - row[19], z - row[20]
        d, nx, ny, nz = _polytope(
            polygons, int(row[3]), int(row[4]),
            row[9] * px + row[12] * py + row[15] * pz,
            row[10] * px + row[13] * py + row[16] * pz,
            row[11] * px + row[14] * py + row[17] * pz,
        )
        for k in range(3):
            out[k] = row[9 + 3 * k] * nx + row[10 + 3 * k] * ny + row[11 + 3 * k] * nz
        return d - row[1]
    return np.nan


@njit(nogil=True)
def point_reach(row, polygons, nx, ny, nz):  # type: ignore[no-untyped-def]
    """How far a posed solid reaches along the direction n [mm]; with n of length 1, ``n.p - reach`` is never above the
    signed distance of p."""
    kind = int(row[0])
    if kind == CAPSULE:
        a = nx * row[9] + ny * row[10] + nz * row[11]
        b = nx * row[12] + ny * row[13] + nz * row[14]
        return max(a, b) + row[1]
    if kind == BOX:
        total = nx * row[9] + ny * row[10] + nz * row[11] + row[1]
        for k in range(3):
            total += row[21 + k] * abs(nx * row[12 + 3 * k] + ny * row[13 + 3 * k] + nz * row[14 + 3 * k])
        return total
    if kind == ROUND:
        along = nx * row[17] + ny * row[18] + nz * row[19]
        px, py, pz = nx - along * row[17], ny - along * row[18], nz - along * row[19]
        across = math.sqrt(px * px + py * py + pz * pz)
        a = nx * row[9] + ny * row[10] + nz * row[11] + across * row[15]
        b = nx * row[12] + ny * row[13] + nz * row[14] + across * row[16]
        return max(a, b) + row[1]
    if kind == HULL:
        ex = row[9] * nx + row[12] * ny + row[15] * nz
        ey = row[10] * nx + row[13] * ny + row[16] * nz
        ez = row[11] * nx + row[14] * ny + row[17] * nz
        most = -np.inf
        k = int(row[3])
        last = k + int(row[4])
        while k < last:
            edges = int(polygons[k, 4])
            for i in range(k + 1, k + 1 + edges):
                most = max(most, ex * polygons[i, 0] + ey * polygons[i, 1] + ez * polygons[i, 2])
            k += edges + 1
        return most + nx * row[18] + ny * row[19] + nz * row[20] + row[1]
    return np.nan


@njit(nogil=True)
def _square(ux, uy, uz, out):  # type: ignore[no-untyped-def]
    """Any unit vector square to u; z when u has no length."""
    out[0] = out[1] = out[2] = 0.0
    if abs(ux) <= abs(uy) and abs(ux) <= abs(uz):
        out[1], out[2] = -uz, uy
    elif abs(uy) <= abs(uz):
        out[0], out[2] = uz, -ux
    else:
        out[0], out[1] = -uy, ux
    size = math.sqrt(out[0] * out[0] + out[1] * out[1] + out[2] * out[2])
    if size <= 0.0:
        out[2], size = 1.0, 1.0
    for k in range(3):
        out[k] /= size


@njit(nogil=True)
def _taper(r, h, ra, rb, length):  # type: ignore[no-untyped-def]
    """Signed distance in the half plane (r >= 0, h) to a taper of radii ra at h = 0 and rb at ``length``, with the
    direction (along r, along h) to the point."""
    slope = math.sqrt((rb - ra) * (rb - ra) + length * length)
    nr, nh = length / slope, (ra - rb) / slope
    wall = (r - ra) * nr + h * nh
    if wall <= 0.0 and 0.0 <= h <= length:
        if wall >= -h and wall >= h - length:
            return wall, nr, nh
        if h < length - h:
            return -h, 0.0, -1.0
        return h - length, 0.0, 1.0
    # Outside: nearest of the two ends and the wall.
    best = np.inf
    br = bh = 0.0
    if h < 0.0:
        dr, dh = max(r - ra, 0.0), h
        best, br, bh = dr * dr + dh * dh, dr, dh
    if h > length:
        dr, dh = max(r - rb, 0.0), h - length
        d = dr * dr + dh * dh
        if d < best:
            best, br, bh = d, dr, dh
    if wall > 0.0:
        along = min(slope, max(0.0, (r - ra) * (rb - ra) / slope + h * length / slope))
        dr, dh = r - ra - along * (rb - ra) / slope, h - along * length / slope
        d = dr * dr + dh * dh
        if d < best:
            best, br, bh = d, dr, dh
    d = math.sqrt(best)
    if d > 1e-9:
        return d, br / d, bh / d
    # On the skin to within rounding.
    if wall >= -1e-9:
        return d, nr, nh
    return d, 0.0, (-1.0 if h < 0.5 * length else 1.0)


@njit(nogil=True)
def _polytope(polygons, first, count, x, y, z):  # type: ignore[no-untyped-def]
    """Signed distance to a convex body of flat faces, with the direction to the point."""
    deepest = -np.inf
    dx = dy = dz = 0.0
    best = np.inf
    bx = by = bz = 0.0
    k = first
    while k < first + count:
        edges = int(polygons[k, 4])
        h = polygons[k, 0] * x + polygons[k, 1] * y + polygons[k, 2] * z - polygons[k, 3]
        if h > deepest:
            deepest = h
            dx, dy, dz = polygons[k, 0], polygons[k, 1], polygons[k, 2]
        if h >= 0.0:
            over = True
            for i in range(k + 1, k + 1 + edges):
                px, py, pz = x - polygons[i, 0], y - polygons[i, 1], z - polygons[i, 2]
                mx, my, mz = polygons[i, 3], polygons[i, 4], polygons[i, 5]
                if mx * px + my * py + mz * pz > 0.0:
                    over = False
                    # Way of the edge: normal of the face crossed with that of the edge.
                    ex = polygons[k, 1] * mz - polygons[k, 2] * my
                    ey = polygons[k, 2] * mx - polygons[k, 0] * mz
                    ez = polygons[k, 0] * my - polygons[k, 1] * mx
                    t = min(polygons[i, 6], max(0.0, px * ex + py * ey + pz * ez))
                    px, py, pz = px - t * ex, py - t * ey, pz - t * ez
                    d = px * px + py * py + pz * pz
                    if d < best:
                        best, bx, by, bz = d, px, py, pz
            if over:
                return h, polygons[k, 0], polygons[k, 1], polygons[k, 2]
        k += edges + 1
    if best == np.inf:
        return deepest, dx, dy, dz
    d = math.sqrt(best)
    if d <= 1e-9:
        return d, dx, dy, dz
    return d, bx / d, by / d, bz / d


@njit(nogil=True)
def triangle_way(corners, t, x, y, z, out):  # type: ignore[no-untyped-def]
    """Vector from triangle t of ``corners`` (3 m, 3) to a point in ``out`` (3,); returns its squared length."""
    i = 3 * t
    ax, ay, az = corners[i, 0], corners[i, 1], corners[i, 2]
    ux, uy, uz = corners[i + 1, 0] - ax, corners[i + 1, 1] - ay, corners[i + 1, 2] - az
    vx, vy, vz = corners[i + 2, 0] - ax, corners[i + 2, 1] - ay, corners[i + 2, 2] - az
    px, py, pz = x - ax, y - ay, z - az
    uu = ux * ux + uy * uy + uz * uz
    uv = ux * vx + uy * vy + uz * vz
    vv = vx * vx + vy * vy + vz * vz
    pu = px * ux + py * uy + pz * uz
    pv = px * vx + py * vy + pz * vz
    det = uu * vv - uv * uv
    if det > 1e-14 * uu * vv:
        s = (vv * pu - uv * pv) / det
        w = (uu * pv - uv * pu) / det
        if s >= 0.0 and w >= 0.0 and s + w <= 1.0:
            out[0], out[1], out[2] = px - s * ux - w * vx, py - s * uy - w * vy, pz - s * uz - w * vz
            return out[0] * out[0] + out[1] * out[1] + out[2] * out[2]
    # Off the face, or too thin to tell: the nearest of three edges.
    best = np.inf
    for e in range(3):
        j = i + e
        m = i + (e + 1) % 3
        ex, ey, ez = corners[m, 0] - corners[j, 0], corners[m, 1] - corners[j, 1], corners[m, 2] - corners[j, 2]
        px, py, pz = x - corners[j, 0], y - corners[j, 1], z - corners[j, 2]
        ee = ex * ex + ey * ey + ez * ez
        s = 0.0
        if ee > 0.0:
            s = min(1.0, max(0.0, (px * ex + py * ey + pz * ez) / ee))
        px, py, pz = px - s * ex, py - s * ey, pz - s * ez
        d = px * px + py * py + pz * pz
        if d < best:
            best = d
            out[0], out[1], out[2] = px, py, pz
    return best


@njit(nogil=True)
def crate_gap2(boxes, node, x, y, z):  # type: ignore[no-untyped-def]
    """Squared distance [mm2] of a point to a node's box of a triangle tree."""
    total = 0.0
    d = max(boxes[node, 0] - x, x - boxes[node, 3])
    if d > 0.0:
        total += d * d
    d = max(boxes[node, 1] - y, y - boxes[node, 4])
    if d > 0.0:
        total += d * d
    d = max(boxes[node, 2] - z, z - boxes[node, 5])
    if d > 0.0:
        total += d * d
    return total


@njit(nogil=True)
def skin_gap(boxes, kids, corners, x, y, z, above):  # type: ignore[no-untyped-def]
    """Distance [mm] of a point to the nearest triangle of a tree (``geometry.triangles.Tree``), never below 0;
    ``above`` when no triangle is nearer than that."""
    way = np.empty(3)
    return skin_way(boxes, kids, corners, 0, x, y, z, above, way)


@njit(nogil=True)
def skin_way(boxes, kids, corners, root, x, y, z, above, out):  # type: ignore[no-untyped-def]
    """As ``skin_gap``, of the tree that starts at node ``root``, with the vector from the skin to the point."""
    best = above * above
    v = np.empty(3)
    stack = np.empty(128, np.int64)
    far = np.empty(128)
    stack[0] = root
    far[0] = crate_gap2(boxes, root, x, y, z)
    top = 1
    while top > 0:
        top -= 1
        if far[top] >= best:
            continue
        node = stack[top]
        if kids[node, 1] < 0:
            for t in range(kids[node, 0], kids[node, 0] - kids[node, 1]):
                d = triangle_way(corners, t, x, y, z, v)
                if d < best:
                    best = d
                    out[0], out[1], out[2] = v[0], v[1], v[2]
            continue
        one, other = kids[node, 0], kids[node, 1]
        d_one = crate_gap2(boxes, one, x, y, z)
        d_other = crate_gap2(boxes, other, x, y, z)
        if d_one < d_other:
            one, other, d_one, d_other = other, one, d_other, d_one
        if d_one < best:
            stack[top], far[top] = one, d_one
            top += 1
        if d_other < best:
            stack[top], far[top] = other, d_other
            top += 1
    return math.sqrt(best)
