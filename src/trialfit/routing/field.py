"""How far a point of the centre line is from everything that it must keep away from, at every pose looked at.

``value(F, x, y, z)`` is the least of (signed distance - required gap) over all obstacles and poses. Space is cut into
blocks; each block keeps only those posed solids that can be the nearest somewhere within it, so that the answer is
exact where it is below the field's reach and a true lower bound beyond: there is no interpolation and no error of a
grid. A block where nothing is within reach keeps one number, the distance at its middle, from which the distance of
any other point follows by the triangle inequality.

Two fields are made where an engine carries the first part of the pipe: one seen from the frame, one from the engine.
"""

import math
from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

from trialfit.geometry.gaps import Rigid, Span
from trialfit.geometry.paths import PosePath
from trialfit.geometry.solids import BOX, CAPSULE, HULL, ROUND, ROW_WIDTH, SPAN, Capsule, Convex, TriangleMesh
from trialfit.routing.point import RECORD, pack_points, point_gap, pose_points, skin_way
from trialfit.routing.problem import Obstacle, Problem

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

BLOCK_MM = 45.0
COARSE = 8
"""Blocks are found in four steps: of 8, 4, 2 and 1 blocks a side."""
ENGINE_BLOCK = 1.5
"""Blocks of the engine's field are wider by this: only the first of the pipe asks it, and values are the same."""
OUTSIDE_MM = -50.0
"""Value beyond the bounds: blocked, by more than rounding."""
SPARE_MM = 6.0
"""Reach of the field past the widest skin."""
FAR_MM = 1e8
STEP_MM = 0.02

# A field is two flat arrays, so that a call hands over little (a tuple of twenty arrays costs more than the distance):
# numbers: 0..2 low corner, 3 block side, 4 reach, then from where ``places`` says: rows (ROW_WIDTH each, required gap
#   in the row's spare slot), middle values, sheets' records, trees' boxes and corners, inverse poses of scans
# places: 0..2 blocks each way, 3 rows that are no scans, 4 rows; where in ``numbers`` rows, middles, records, boxes,
#   corners, poses begin (5..10); where in ``places`` offsets, lists, kids, roots, owners begin (11..15); how many
#   records, boxes, corners there are (16..18)
N_LOW, N_SIDE, N_REACH, N_HEAD = 0, 3, 4, 5
SCANS, ROWS, AT_ROWS, AT_MIDDLE, AT_RECORDS, AT_BOXES, AT_CORNERS, AT_POSES = 3, 4, 5, 6, 7, 8, 9, 10
AT_OFFSETS, AT_LISTS, AT_KIDS, AT_ROOTS, AT_OWNERS, OF_RECORDS, OF_BOXES, OF_CORNERS = 11, 12, 13, 14, 15, 16, 17, 18
P_HEAD = 19
OF_ROW, TOLD_MM = 24, 1.0 / 16.0
"""An entry of a list: in its last ``OF_ROW`` bits the row, in the rest what the row is at least at the block's middle,
in steps of ``TOLD_MM``. Each list goes from the nearest on, so that most rows need no asking."""
_ROW = (1 << OF_ROW) - 1
GAP = 8
"""slot of a row that holds the gap required"""
Packed = tuple[Floats, Ints]


@dataclass(frozen=True, slots=True, eq=False)
class Fields:
    """``frame``: seen by pipe fixed to the frame; ``engine``: by pipe riding on the engine (the same when none does).
    ``names``: obstacle of each number the kernels hand back; ``rows``: posed solids in all."""

    frame: Packed
    engine: Packed
    names: tuple[str, ...]
    rows: int


def prepare(problem: Problem, block_mm: float = BLOCK_MM) -> Fields:
    """Fields of a problem; about 0.1 s at 45 poses.

    Parameters
    ----------
    block_mm : float
        side of a block [mm]
    """
    widest = max(s.diameter_mm for s in problem.sizes) / 2.0
    for part in problem.parts:
        widest = max(widest, part.height_mm / 2.0)
    reach = widest + max(problem.gap_wanted_mm, problem.pad_mm) + problem.margin_mm + SPARE_MM
    frame = _packed(problem, None, reach, block_mm)
    carried = problem.engine is not None and any(p.frees for p in problem.parts)
    engine = _packed(problem, problem.engine, reach, ENGINE_BLOCK * block_mm) if carried else frame
    return Fields(frame, engine, tuple(o.name for o in problem.obstacles), int(frame[1][ROWS]))


def _used(path: PosePath | None) -> NDArray[np.bool_]:
    return np.zeros(3, dtype=bool) if path is None else np.array(path.coefs.shape[:3]) > 1


def _twelve(path: PosePath | None, states: Floats) -> Floats:
    if path is None:
        still = np.zeros((len(states), 12))
        still[:, [0, 4, 8]] = 1.0
        return still
    turns, shifts = path.poses(states)
    return np.hstack((turns.reshape(-1, 9), shifts))


def _seen_from(carrier: PosePath | None, twelve: Floats, states: Floats) -> Floats:
    """Poses (n, 12) as seen from a body on ``carrier``."""
    if carrier is None:
        return twelve
    turns, shifts = carrier.poses(states)
    own, moved = twelve[:, :9].reshape(-1, 3, 3), twelve[:, 9:]
    back = np.linalg.inv(turns)
    return np.hstack(((back @ own).reshape(-1, 9), np.einsum("nij,nj->ni", back, moved - shifts)))


def _states(every: Floats, used: NDArray[np.bool_]) -> Floats:
    """The states that differ in what matters to a body."""
    if not used.any():
        return every[:1]
    seen: dict[tuple[float, ...], Floats] = {}
    for state in every:
        seen.setdefault(tuple(state[used]), state)
    return np.array(list(seen.values()))


def _packed(problem: Problem, carrier: PosePath | None, reach: float, block_mm: float) -> Packed:
    from trialfit.routing import entries

    rows: list[Floats] = []
    gaps: list[float] = []
    owner: list[int] = []
    polygons: list[Floats] = []
    scans: list[tuple[TriangleMesh, Floats, float, int]] = []
    taken = 0
    for number, obstacle in enumerate(problem.obstacles):
        gap = obstacle.required_mm + problem.margin_mm
        body = obstacle.body
        convex, first, second, states = _posed(problem, obstacle, carrier)
        if convex:
            packed, outline = pack_points(convex)
            packed[packed[:, 0] == HULL, 3] += taken
            if isinstance(body, Span):
                packed[:, 0] = SPAN
            polygons.append(outline)
            taken += len(outline)
            posed = entries.pose_all(packed, first, second)
            rows.append(posed)
            gaps += [gap] * len(posed)
            owner += [number] * len(posed)
        if isinstance(body, Rigid):
            for solid in body.solids:
                if isinstance(solid, TriangleMesh):
                    scans += [(solid, first[k], gap, number) for k in range(len(states))]
    table = np.vstack(rows) if rows else np.zeros((0, ROW_WIDTH))
    boxes, kids, corners, roots, poses = _trees(scans)
    first_scan = len(table)
    if scans:
        table = np.vstack((table, np.zeros((len(scans), ROW_WIDTH))))
        gaps += [s[2] for s in scans]
        owner += [s[3] for s in scans]
    table[:, GAP] = gaps
    low = problem.bounds[0].astype(np.float64)
    count = np.maximum(np.ceil((problem.bounds[1] - low) / block_mm), 1).astype(np.int64)
    count = (count + COARSE - 1) // COARSE * COARSE
    outlines = np.vstack(polygons) if polygons else np.zeros((1, RECORD))

    def joined(offsets: Ints, listed: Ints, middles: Floats) -> Packed:
        numbers = [np.array([*low, block_mm, reach])]
        places = np.zeros(P_HEAD, dtype=np.int64)
        places[:3], places[SCANS], places[ROWS] = count, first_scan, len(table)
        used = N_HEAD
        for slot, array in ((AT_ROWS, table), (AT_MIDDLE, middles), (AT_RECORDS, outlines), (AT_BOXES, boxes),
                            (AT_CORNERS, corners), (AT_POSES, poses)):
            places[slot] = used
            numbers.append(array.ravel())
            used += array.size
        whole = [places]
        used = P_HEAD
        for slot, ints in ((AT_OFFSETS, offsets), (AT_LISTS, listed), (AT_KIDS, kids), (AT_ROOTS, roots),
                           (AT_OWNERS, np.array(owner, dtype=np.int64))):
            places[slot] = used
            whole.append(ints.ravel())
            used += ints.size
        places[OF_RECORDS], places[OF_BOXES], places[OF_CORNERS] = len(outlines), len(boxes), len(corners)
        return np.concatenate(numbers), np.concatenate(whole)

    empty = np.zeros(1, dtype=np.int64)
    return joined(*entries.lists(joined(empty, empty, np.zeros(1))))


def _posed(problem: Problem, obstacle: Obstacle, carrier: PosePath | None,
           ) -> tuple[tuple[Convex, ...], Floats, Floats, Floats]:
    """Convex solids of an obstacle and the poses of its (two) carriers at the states that matter to it."""
    body = obstacle.body
    paths = (body.path, body.path) if isinstance(body, Rigid) else (body.path_a, body.path_b)
    used = _used(paths[0]) | _used(paths[1]) | _used(carrier)
    if isinstance(body, Rigid) and body.path is carrier:
        used = np.zeros(3, dtype=bool)
    states = _states(problem.states if obstacle.states is None else obstacle.states, used)
    first = _seen_from(carrier, _twelve(paths[0], states), states)
    second = _seen_from(carrier, _twelve(paths[1], states), states)
    if isinstance(body, Span):
        return (Capsule(body.a, body.b, body.radius_mm),), first, second, states
    return tuple(s for s in body.solids if not isinstance(s, TriangleMesh)), first, second, states


def _trees(scans: list[tuple[TriangleMesh, Floats, float, int]]) -> tuple[Floats, Ints, Floats, Ints, Floats]:
    """The trees of all scans in one: boxes, kids, corners; root and inverse pose of every posed scan."""
    boxes: list[Floats] = []
    kids: list[Ints] = []
    corners: list[Floats] = []
    roots: dict[int, int] = {}
    starts = np.zeros(max(len(scans), 1), dtype=np.int64)
    poses = np.zeros((max(len(scans), 1), 12))
    nodes = triangles = 0
    for k, (mesh, pose, _gap, _number) in enumerate(scans):
        if id(mesh) not in roots:
            tree = mesh.tree()
            own = tree.kids.copy()
            leaf = own[:, 1] < 0
            own[leaf, 0] += triangles
            own[~leaf] += nodes
            roots[id(mesh)] = nodes
            boxes.append(tree.boxes)
            kids.append(own)
            corners.append(tree.corners)
            nodes += len(tree.boxes)
            triangles += len(tree.corners) // 3
        starts[k] = roots[id(mesh)]
        turn, shift = pose[:9].reshape(3, 3), pose[9:]
        back = np.linalg.inv(turn)
        poses[k, :9], poses[k, 9:] = back.ravel(), -back @ shift
    if not scans:
        return np.zeros((1, 6)), np.zeros((1, 2), dtype=np.int64), np.zeros((3, 3)), starts, poses
    return np.vstack(boxes), np.vstack(kids), np.vstack(corners), starts, poses


@njit(nogil=True)
def pose_all(rows, first, second):  # type: ignore[no-untyped-def]
    """Every row at every pose, pose by pose."""
    out = np.empty((rows.shape[0] * first.shape[0], rows.shape[1]))
    at = 0
    for k in range(first.shape[0]):
        for i in range(rows.shape[0]):
            pose_points(rows[i], first[k], second[k], out[at])
            at += 1
    return out


@njit(nogil=True)
def solid_gap(A, P, q, x, y, z, above):  # type: ignore[no-untyped-def]
    """``point.point_gap`` of row q less its required gap, written out for what a route meets most; for a sheet it may
    be any number from ``above`` up that is no more than the truth."""
    r = P[AT_ROWS] + q * ROW_WIDTH
    kind = A[r]
    if kind == CAPSULE:
        ux, uy, uz = A[r + 12] - A[r + 9], A[r + 13] - A[r + 10], A[r + 14] - A[r + 11]
        px, py, pz = x - A[r + 9], y - A[r + 10], z - A[r + 11]
        uu = ux * ux + uy * uy + uz * uz
        t = 0.0
        if uu > 0.0:
            t = (px * ux + py * uy + pz * uz) / uu
            if t < 0.0:
                t = 0.0
            elif t > 1.0:
                t = 1.0
        px -= t * ux
        py -= t * uy
        pz -= t * uz
        return math.sqrt(px * px + py * py + pz * pz) - A[r + 1] - A[r + GAP]
    if kind == BOX:
        px, py, pz = x - A[r + 9], y - A[r + 10], z - A[r + 11]
        a = abs(px * A[r + 12] + py * A[r + 13] + pz * A[r + 14]) - A[r + 21]
        b = abs(px * A[r + 15] + py * A[r + 16] + pz * A[r + 17]) - A[r + 22]
        c = abs(px * A[r + 18] + py * A[r + 19] + pz * A[r + 20]) - A[r + 23]
        most = max(a, max(b, c))
        if most > 0.0:
            total = 0.0
            if a > 0.0:
                total += a * a
            if b > 0.0:
                total += b * b
            if c > 0.0:
                total += c * c
            most = math.sqrt(total)
        return most - A[r + 1] - A[r + GAP]
    if kind == ROUND and A[r + 15] == A[r + 16]:
        px, py, pz = x - A[r + 9], y - A[r + 10], z - A[r + 11]
        h = px * A[r + 17] + py * A[r + 18] + pz * A[r + 19]
        run = ((A[r + 12] - A[r + 9]) * A[r + 17] + (A[r + 13] - A[r + 10]) * A[r + 18]
               + (A[r + 14] - A[r + 11]) * A[r + 19])
        rr = px * px + py * py + pz * pz - h * h
        side = (math.sqrt(rr) if rr > 0.0 else 0.0) - A[r + 15]
        end = abs(h - 0.5 * run) - 0.5 * run
        if side <= 0.0 and end <= 0.0:
            gap = max(side, end)
        else:
            total = 0.0
            if side > 0.0:
                total += side * side
            if end > 0.0:
                total += end * end
            gap = math.sqrt(total)
        return gap - A[r + 1] - A[r + GAP]
    if kind == HULL:
        # no point is nearer to a convex body than to the farthest of its faces' planes
        px, py, pz = x - A[r + 18], y - A[r + 19], z - A[r + 20]
        u = A[r + 9] * px + A[r + 12] * py + A[r + 15] * pz
        v = A[r + 10] * px + A[r + 13] * py + A[r + 16] * pz
        w = A[r + 11] * px + A[r + 14] * py + A[r + 17] * pz
        at = P[AT_RECORDS] + int(A[r + 3]) * RECORD
        end = at + int(A[r + 4]) * RECORD
        most = -FAR_MM
        face = at
        while at < end:
            d = A[at] * u + A[at + 1] * v + A[at + 2] * w - A[at + 3]
            if d > most:
                most = d
                face = at
            at += (1 + int(A[at + 4])) * RECORD
        grown = A[r + 1] + A[r + GAP]
        if most - grown >= above or most < 0.0:
            return most - grown
        # and as near as that, when the foot of the plumb line lies within that face
        u, v, w = u - most * A[face], v - most * A[face + 1], w - most * A[face + 2]
        inside = True
        for e in range(1, int(A[face + 4]) + 1):
            k = face + e * RECORD
            if (u - A[k]) * A[k + 3] + (v - A[k + 1]) * A[k + 4] + (w - A[k + 2]) * A[k + 5] > 0.0:
                inside = False
                break
        if inside:
            return most - grown
    records = A[P[AT_RECORDS] : P[AT_RECORDS] + P[OF_RECORDS] * RECORD].reshape((P[OF_RECORDS], RECORD))
    return point_gap(A[r : r + ROW_WIDTH], records, x, y, z) - A[r + GAP]


@njit(nogil=True)
def scan_gap(A, P, q, x, y, z, above):  # type: ignore[no-untyped-def]
    """Distance to one posed scan less its required gap, or a number from ``above`` up that is no more than it."""
    gap = A[P[AT_ROWS] + q * ROW_WIDTH + GAP]
    if above + gap <= 0.0:
        return -gap  # a skin has no inside: it is not the nearest
    k = q - P[SCANS]
    p = P[AT_POSES] + 12 * k
    u = A[p] * x + A[p + 1] * y + A[p + 2] * z + A[p + 9]
    v = A[p + 3] * x + A[p + 4] * y + A[p + 5] * z + A[p + 10]
    w = A[p + 6] * x + A[p + 7] * y + A[p + 8] * z + A[p + 11]
    boxes = A[P[AT_BOXES] : P[AT_BOXES] + 6 * P[OF_BOXES]].reshape((P[OF_BOXES], 6))
    kids = P[P[AT_KIDS] : P[AT_KIDS] + 2 * P[OF_BOXES]].reshape((P[OF_BOXES], 2))
    corners = A[P[AT_CORNERS] : P[AT_CORNERS] + 3 * P[OF_CORNERS]].reshape((P[OF_CORNERS], 3))
    return skin_way(boxes, kids, corners, P[P[AT_ROOTS] + k], u, v, w, above + gap, np.empty(3)) - gap


@njit(nogil=True)
def row_gap(F, q, x, y, z, above):  # type: ignore[no-untyped-def]
    """Signed distance less required gap to one posed row; a scan may answer anything over ``above`` once past it."""
    A, P = F
    if q < P[SCANS]:
        return solid_gap(A, P, q, x, y, z, above)
    return scan_gap(A, P, q, x, y, z, above)


@njit(nogil=True)
def value(F, x, y, z):  # type: ignore[no-untyped-def]
    """Least of (signed distance - required gap): exact below the field's reach, else a true lower bound [mm]."""
    A, P = F
    side = A[N_SIDE]
    i = math.floor((x - A[0]) / side)
    j = math.floor((y - A[1]) / side)
    k = math.floor((z - A[2]) / side)
    if i < 0 or j < 0 or k < 0 or i >= P[0] or j >= P[1] or k >= P[2]:
        return OUTSIDE_MM
    b = (i * P[1] + j) * P[2] + k
    dx = x - A[0] - (i + 0.5) * side
    dy = y - A[1] - (j + 0.5) * side
    dz = z - A[2] - (k + 0.5) * side
    reach = A[N_REACH]
    away = math.sqrt(dx * dx + dy * dy + dz * dz)
    bound = A[P[AT_MIDDLE] + b] - away
    at = P[AT_OFFSETS] + b
    first, end = P[AT_LISTS] + P[at], P[AT_LISTS] + P[at + 1]
    if bound >= reach or first == end:
        return bound
    scans = P[SCANS]
    least = reach
    for a in range(first, end):
        if (P[a] >> OF_ROW) * TOLD_MM - away >= least:
            break
        q = P[a] & _ROW
        if q < scans:
            v = solid_gap(A, P, q, x, y, z, least)
        else:
            v = scan_gap(A, P, q, x, y, z, least)
        if v < least:
            least = v
    if least >= reach:
        return max(reach, bound)
    return least


@njit(nogil=True)
def nearest_row(F, x, y, z):  # type: ignore[no-untyped-def]
    """Row that gives the field's value at a point, -1 where nothing is within reach."""
    A, P = F
    side = A[N_SIDE]
    i = math.floor((x - A[0]) / side)
    j = math.floor((y - A[1]) / side)
    k = math.floor((z - A[2]) / side)
    if i < 0 or j < 0 or k < 0 or i >= P[0] or j >= P[1] or k >= P[2]:
        return -1
    at = P[AT_OFFSETS] + (i * P[1] + j) * P[2] + k
    dx = x - A[0] - (i + 0.5) * side
    dy = y - A[1] - (j + 0.5) * side
    dz = z - A[2] - (k + 0.5) * side
    away = math.sqrt(dx * dx + dy * dy + dz * dz)
    least = A[N_REACH]
    best = -1
    for a in range(P[AT_LISTS] + P[at], P[AT_LISTS] + P[at + 1]):
        if (P[a] >> OF_ROW) * TOLD_MM - away >= least:
            break
        q = P[a] & _ROW
        v = row_gap(F, q, x, y, z, least)
        if v < least:
            least = v
            best = q
    return best


@njit(nogil=True)
def slope(F, x, y, z, g):  # type: ignore[no-untyped-def]
    """Gradient (3,) of the field where something is within reach; 0 beyond. Returns the row it belongs to."""
    q = nearest_row(F, x, y, z)
    g[0] = g[1] = g[2] = 0.0
    if q < 0:
        return q
    h = STEP_MM
    far = FAR_MM
    g[0] = (row_gap(F, q, x + h, y, z, far) - row_gap(F, q, x - h, y, z, far)) / (2.0 * h)
    g[1] = (row_gap(F, q, x, y + h, z, far) - row_gap(F, q, x, y - h, z, far)) / (2.0 * h)
    g[2] = (row_gap(F, q, x, y, z + h, far) - row_gap(F, q, x, y, z - h, far)) / (2.0 * h)
    return q


@njit(nogil=True)
def _finer(F, side, n, parent_n, ratio, p_off, p_list, p_value, p_mid, first_step):  # type: ignore[no-untyped-def]
    """Lists of blocks of ``side`` from those of the blocks round them.

    A row is kept when it can be the least somewhere in the block and is within reach there:
    its value at the middle is at most min(least there + 2 rho, reach + rho), rho half the diagonal, for values change
    by no more than the way gone. A row dropped for being beyond reach only matters to the middle's value, which is
    kept apart. ``p_value``: the rows' values at the parents' middles, least first, which tell of many that they need no
    asking.
    """
    A, P = F
    reach = A[N_REACH]
    scans = P[SCANS]
    total = n[0] * n[1] * n[2]
    rho = 0.5 * side * math.sqrt(3.0)
    off = np.zeros(total + 1, np.int64)
    mid = np.empty(total)
    cap = max(1024, p_list.shape[0] * 4)
    out = np.empty(cap, np.int64)
    told = np.empty(cap)
    used = 0
    most = 1
    for b in range(p_off.shape[0] - 1):
        most = max(most, p_off[b + 1] - p_off[b])
    f = np.empty(most)
    for i in range(n[0]):
        for j in range(n[1]):
            for k in range(n[2]):
                b = (i * n[1] + j) * n[2] + k
                parent = ((i // ratio) * parent_n[1] + (j // ratio)) * parent_n[2] + k // ratio
                x = A[0] + (i + 0.5) * side
                y = A[1] + (j + 0.5) * side
                z = A[2] + (k + 0.5) * side
                first, end = p_off[parent], p_off[parent + 1]
                # what the parent left out is at least so far: by its middle's value, and by why it was left out
                ps = side * ratio
                px = A[0] + (i // ratio + 0.5) * ps - x
                py = A[1] + (j // ratio + 0.5) * ps - y
                pz = A[2] + (k // ratio + 0.5) * ps - z
                away = math.sqrt(px * px + py * py + pz * pz)
                at_least = p_mid[parent] - away
                dropped = FAR_MM if first_step else reach + 0.5 * ps * math.sqrt(3.0) - away
                least = FAR_MM
                # the one that was nearest at the parent's middle first: it spares the rest most
                for a in range(first, end):
                    above = min(least + 2.0 * rho, reach + rho)  # sheets and scans stop counting past that
                    known = p_value[a] - away
                    if known > above and known >= least:
                        f[a - first] = known
                        continue
                    q = p_list[a]
                    if q < scans:
                        v = solid_gap(A, P, q, x, y, z, above)
                    else:
                        v = scan_gap(A, P, q, x, y, z, above)
                    f[a - first] = v
                    if v < least:
                        least = v
                keep = min(least + 2.0 * rho, reach + rho)
                if used + end - first > cap:
                    cap = 2 * cap + end - first
                    more = np.empty(cap, np.int64)
                    more[:used] = out[:used]
                    out = more
                    also = np.empty(cap)
                    also[:used] = told[:used]
                    told = also
                own = used
                for a in range(first, end):
                    v = f[a - first]
                    if v <= keep:
                        # into its place, the nearest first: they come nearly so
                        at = used
                        while at > own and told[at - 1] > v:
                            out[at], told[at] = out[at - 1], told[at - 1]
                            at -= 1
                        out[at], told[at] = p_list[a], v
                        used += 1
                off[b + 1] = used
                mid[b] = max(min(least, dropped), at_least)
    return off, out[:used].copy(), told[:used].copy(), mid


@njit(nogil=True)
def lists(F):  # type: ignore[no-untyped-def]
    """Offsets, entries and middle values of every block of a field."""
    A, P = F
    n = P[:3].copy()
    side = A[N_SIDE]
    rows = P[ROWS]
    off = np.array([0, rows], np.int64)
    every = np.arange(rows)
    told = np.full(rows, -FAR_MM)
    mid = np.array([-FAR_MM])
    parent_n = np.ones(3, np.int64)
    whole = n.max()
    one = np.empty(3, np.int64)
    step = COARSE
    while step > 0:
        for c in range(3):
            one[c] = n[c] // step
        up = whole if step == COARSE else 2
        off, every, told, mid = _finer(F, side * step, one, parent_n, up, off, every, told, mid, step == COARSE)
        parent_n = one.copy()
        step //= 2
    for a in range(every.shape[0]):
        every[a] |= math.floor(told[a] / TOLD_MM) << OF_ROW
    return off, every, mid
