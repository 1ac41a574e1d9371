"""Compiled loop closure: follows the axle from ride height to a pose, Newton's method at every step.

Unknown are four movements of the axle, in mm: rearward, to the right, yaw times ``ARM``, pitch times ``ARM``. Heave
[mm] and roll [rad] are given. The axle turns by ``Rz(yaw) Ry(pitch) Rx(roll)`` about its reference point. Every
equation has a value in mm and a row of six derivatives: by the four unknowns, by heave, by roll.

Two kinds of equations. Rods: the distance between a point on the axle and one on the frame less the rod's length.
Leaves: four equations that ``leaves`` derives. With four equations the loops are closed; with more, the energy of the
bushes is made smallest (Gauss-Newton, which converges because bushes give little against a rod's length).

Following in steps, with the tangent as first guess and a limit on how far Newton's method may correct it, keeps to the
assembly that is there at ride height: before another one could be reached the equations turn singular, the smallest
pivot falls to zero or the determinant changes sign, and the follower stops and says where.

Source: E. L. Allgower and K. Georg, Introduction to Numerical Continuation Methods, SIAM 2003, ch. 2 (from memory).
"""

import math
from collections.abc import Callable
from typing import TypeVar, cast

import numpy as np
from numba import njit
from numpy.typing import NDArray

Floats = NDArray[np.float64]
_F = TypeVar("_F", bound=Callable[..., object])

ARM = 500.0
"""arm that turns yaw and pitch into millimetres, about that of a real axle's rods [mm]"""
RODS = 0
LEAVES = 1
ROD_WIDTH = 8
"""a rod: point on the axle from the reference (3), point on the frame (3), length, weight"""
LEAF_WIDTH = 28
"""a leaf: see leaves.pack"""

_STEP_HEAVE = 30.0
_STEP_ROLL = 0.05
_SHORTEST = 5e-4
_PIVOT = 1e-4


def _compiled(function: _F) -> _F:
    return cast(_F, njit(cache=True)(function))


@_compiled
def _turn(arm: Floats, trig: Floats, out: Floats) -> None:
    """Turned arm (row 0) and its derivatives by yaw, pitch, roll (rows 1 to 3)."""
    cy, sy, cp, sp, cr, sr = trig[0], trig[1], trig[2], trig[3], trig[4], trig[5]
    x1 = arm[0]
    y1 = cr * arm[1] - sr * arm[2]
    z1 = sr * arm[1] + cr * arm[2]
    x2 = cp * x1 + sp * z1
    z2 = -sp * x1 + cp * z1
    out[0, 0] = cy * x2 - sy * y1
    out[0, 1] = sy * x2 + cy * y1
    out[0, 2] = z2
    out[1, 0] = -out[0, 1]
    out[1, 1] = out[0, 0]
    out[1, 2] = 0.0
    out[2, 0] = cy * z2
    out[2, 1] = sy * z2
    out[2, 2] = -x2
    # roll acts first: ex x (x1, y1, z1) = (0, -z1, y1), then pitch, then yaw
    x3 = sp * y1
    out[3, 0] = cy * x3 + sy * z1
    out[3, 1] = sy * x3 - cy * z1
    out[3, 2] = cp * y1


@_compiled
def _rods(data: Floats, ref: Floats, q: Floats, heave: float, trig: Floats, res: Floats, jac: Floats) -> bool:
    turned = np.empty((4, 3))
    for i in range(data.shape[0]):
        _turn(data[i, 0:3], trig, turned)
        vx = ref[0] + q[0] + turned[0, 0] - data[i, 3]
        vy = ref[1] + q[1] + turned[0, 1] - data[i, 4]
        vz = ref[2] + heave + turned[0, 2] - data[i, 5]
        length = math.sqrt(vx * vx + vy * vy + vz * vz)
        if length < 1e-6:
            return False
        ux, uy, uz = vx / length, vy / length, vz / length
        res[i] = length - data[i, 6]
        jac[i, 0] = ux
        jac[i, 1] = uy
        jac[i, 2] = (ux * turned[1, 0] + uy * turned[1, 1]) / ARM
        jac[i, 3] = (ux * turned[2, 0] + uy * turned[2, 1] + uz * turned[2, 2]) / ARM
        jac[i, 4] = uz
        jac[i, 5] = ux * turned[3, 0] + uy * turned[3, 1] + uz * turned[3, 2]
    return True


@_compiled
def _in_plane(side: Floats, start: int, ref: Floats, q: Floats, heave: float, trig: Floats, out: Floats) -> None:
    """Point of the axle in the plane of a leaf: row 0 along and up, rows 1 to 6 its derivatives."""
    turned = np.empty((4, 3))
    _turn(side[start : start + 3], trig, turned)
    ex, ey = side[0], side[1]
    out[0, 0] = ex * (ref[0] + q[0] + turned[0, 0]) + ey * (ref[1] + q[1] + turned[0, 1])
    out[0, 1] = ref[2] + heave + turned[0, 2]
    out[1, 0] = ex
    out[1, 1] = 0.0
    out[2, 0] = ey
    out[2, 1] = 0.0
    out[3, 0] = (ex * turned[1, 0] + ey * turned[1, 1]) / ARM
    out[3, 1] = turned[1, 2] / ARM
    out[4, 0] = (ex * turned[2, 0] + ey * turned[2, 1]) / ARM
    out[4, 1] = turned[2, 2] / ARM
    out[5, 0] = 0.0
    out[5, 1] = 1.0
    out[6, 0] = ex * turned[3, 0] + ey * turned[3, 1]
    out[6, 1] = turned[3, 2]


@_compiled
def _leaves(data: Floats, ref: Floats, q: Floats, heave: float, trig: Floats, res: Floats, jac: Floats) -> bool:
    front = np.empty((7, 2))
    rear = np.empty((7, 2))
    seat = np.empty((7, 2))
    along = np.empty((4, 3))
    eye = np.empty((7, 2))
    for row in range(4):
        res[row] = 0.0
        for column in range(6):
            jac[row, column] = 0.0
    for i in range(2):
        side = data[i]
        _in_plane(side, 11, ref, q, heave, trig, front)
        _in_plane(side, 14, ref, q, heave, trig, rear)
        _in_plane(side, 17, ref, q, heave, trig, seat)
        _turn(side[20:23], trig, along)
        # front link
        vs, vz = front[0, 0] - side[3], front[0, 1] - side[4]
        length = math.hypot(vs, vz)
        if length < 1e-6:
            return False
        res[i] = length - side[7]
        for k in range(6):
            jac[i, k] = (vs * front[k + 1, 0] + vz * front[k + 1, 1]) / length
        # rear eye: rear link and shackle meet, on the side they meet at ride height
        ds, dz = side[5] - rear[0, 0], side[6] - rear[0, 1]
        apart = math.hypot(ds, dz)
        if apart < 1e-6:
            return False
        foot = (side[8] ** 2 - side[9] ** 2 + apart**2) / (2.0 * apart)
        square = side[8] ** 2 - foot**2
        if square <= 0.0:
            return False
        tall = side[10] * math.sqrt(square)
        eye[0, 0] = rear[0, 0] + (foot * ds - tall * dz) / apart
        eye[0, 1] = rear[0, 1] + (foot * dz + tall * ds) / apart
        ls, lz = eye[0, 0] - rear[0, 0], eye[0, 1] - rear[0, 1]
        ss, sz = eye[0, 0] - side[5], eye[0, 1] - side[6]
        cross = ls * sz - lz * ss
        if abs(cross) < 0.02 * side[8] * side[9]:
            return False
        for k in range(1, 7):
            pull = ls * rear[k, 0] + lz * rear[k, 1]
            eye[k, 0] = pull * sz / cross
            eye[k, 1] = -pull * ss / cross
        # seat wind: deflection of both tips across the seat
        ts = side[0] * along[0, 0] + side[1] * along[0, 1]
        tz = along[0, 2]
        size = math.hypot(ts, tz)
        ns, nz = -tz / size, ts / size
        fs, fz = side[3] - seat[0, 0], side[4] - seat[0, 1]
        rs, rz = eye[0, 0] - seat[0, 0], eye[0, 1] - seat[0, 1]
        res[2] += side[25] * (side[23] - fs * ns - fz * nz) - side[26] * (side[24] - rs * ns - rz * nz)
        for k in range(6):
            dts = dtz = 0.0
            if k == 2 or k == 3 or k == 5:
                row = 1 if k == 2 else (2 if k == 3 else 3)
                arm = 1.0 if k == 5 else ARM
                dts = (side[0] * along[row, 0] + side[1] * along[row, 1]) / arm
                dtz = along[row, 2] / arm
            # the normal turns as the tangent does: dn = -t (n . dt) / |t|
            turn = (ns * dts + nz * dtz) / size
            dns, dnz = -turn * ts / size, -turn * tz / size
            dfront = seat[k + 1, 0] * ns + seat[k + 1, 1] * nz - fs * dns - fz * dnz
            drear = (
                (seat[k + 1, 0] - eye[k + 1, 0]) * ns + (seat[k + 1, 1] - eye[k + 1, 1]) * nz - rs * dns - rz * dnz
            )
            jac[2, k] += side[25] * dfront - side[26] * drear
        # sideways: the mean of both seats stays
        _turn(side[17:20], trig, along)
        cx, cy = -0.5 * side[1], 0.5 * side[0]
        res[3] += cx * (q[0] + along[0, 0] - side[17]) + cy * (q[1] + along[0, 1] - side[18])
        jac[3, 0] += cx
        jac[3, 1] += cy
        jac[3, 2] += (cx * along[1, 0] + cy * along[1, 1]) / ARM
        jac[3, 3] += (cx * along[2, 0] + cy * along[2, 1]) / ARM
        jac[3, 5] += cx * along[3, 0] + cy * along[3, 1]
    return True


@_compiled
def equations(
    kind: int, data: Floats, ref: Floats, q: Floats, heave: float, roll: float, res: Floats, jac: Floats
) -> bool:
    """Fill ``res`` (m,) [mm] and ``jac`` (m, 6); False where a rod vanishes or a shackle is in line with its leaf."""
    trig = np.empty(6)
    trig[0], trig[1] = math.cos(q[2] / ARM), math.sin(q[2] / ARM)
    trig[2], trig[3] = math.cos(q[3] / ARM), math.sin(q[3] / ARM)
    trig[4], trig[5] = math.cos(roll), math.sin(roll)
    if kind == 0:
        return _rods(data, ref, q, heave, trig, res, jac)
    return _leaves(data, ref, q, heave, trig, res, jac)


@_compiled
def _solve(matrix: Floats, right: Floats, least: float) -> float:
    """Solve 4 x 4 for two right-hand sides in place (partial pivots); the determinant, 0 if a pivot is below
    ``least``."""
    det = 1.0
    for k in range(4):
        best = k
        for i in range(k + 1, 4):
            if abs(matrix[i, k]) > abs(matrix[best, k]):
                best = i
        if abs(matrix[best, k]) < least:
            return 0.0
        if best != k:
            det = -det
            for j in range(4):
                matrix[k, j], matrix[best, j] = matrix[best, j], matrix[k, j]
            for j in range(2):
                right[k, j], right[best, j] = right[best, j], right[k, j]
        det *= matrix[k, k]
        for i in range(k + 1, 4):
            factor = matrix[i, k] / matrix[k, k]
            for j in range(k + 1, 4):
                matrix[i, j] -= factor * matrix[k, j]
            for j in range(2):
                right[i, j] -= factor * right[k, j]
    for j in range(2):
        for i in range(3, -1, -1):
            total = right[i, j]
            for k in range(i + 1, 4):
                total -= matrix[i, k] * right[k, j]
            right[i, j] = total / matrix[i, i]
    return det


@_compiled
def _newton(
    data: Floats, res: Floats, jac: Floats, heave: float, roll: float, matrix: Floats, right: Floats
) -> float:
    """Newton step (column 0) and tangent along (heave, roll) (column 1) into ``right``; the determinant."""
    count = jac.shape[0]
    if count == 4:
        for i in range(4):
            for j in range(4):
                matrix[i, j] = jac[i, j]
            right[i, 0] = -res[i]
            right[i, 1] = -(jac[i, 4] * heave + jac[i, 5] * roll)
        return _solve(matrix, right, _PIVOT)
    for i in range(4):
        for j in range(4):
            total = 0.0
            for m in range(count):
                total += data[m, 7] * jac[m, i] * jac[m, j]
            matrix[i, j] = total
        pull = drive = 0.0
        for m in range(count):
            pull += data[m, 7] * jac[m, i] * res[m]
            drive += data[m, 7] * jac[m, i] * (jac[m, 4] * heave + jac[m, 5] * roll)
        right[i, 0] = -pull
        right[i, 1] = -drive
    return _solve(matrix, right, _PIVOT * _PIVOT)


@_compiled
def follow(kind: int, data: Floats, ref: Floats, states: Floats, unknowns: Floats, reached: Floats) -> int:
    """Follow the axle to every state (n, 2) heave [mm], roll [rad]; fill ``unknowns`` (n, 4) and ``reached`` (n,), the
    share of the way that could be gone (1 = arrived). Returns the number of Newton steps taken."""
    count = data.shape[0] if kind == 0 else 4
    res = np.empty(count)
    jac = np.empty((count, 6))
    matrix = np.empty((4, 4))
    right = np.empty((4, 2))
    q = np.empty(4)
    trial = np.empty(4)
    tangent = np.empty(4)
    taken = 0
    last = 1e-7 if count == 4 else 1e-11
    most = 12 if count == 4 else 60
    for n in range(states.shape[0]):
        heave, roll = states[n, 0], states[n, 1]
        q[:] = 0.0
        share = 0.0
        step = 1.0 / max(1.0, math.ceil(max(abs(heave) / _STEP_HEAVE, abs(roll) / _STEP_ROLL)))
        sign = 0.0
        ok = equations(kind, data, ref, q, 0.0, 0.0, res, jac)
        if ok:
            sign = _newton(data, res, jac, heave, roll, matrix, right)
        if not ok or sign == 0.0:
            reached[n] = 0.0
            unknowns[n, :] = q
            continue
        for j in range(4):
            tangent[j] = right[j, 1]
        while share < 1.0:
            aim = 1.0 if share + step > 1.0 - 1e-9 else share + step
            length = 0.0
            for j in range(4):
                trial[j] = q[j] + (aim - share) * tangent[j]
                length += ((aim - share) * tangent[j]) ** 2
            allowed = 0.3 * math.sqrt(length) + 0.1 * (abs(heave) + ARM * abs(roll)) * (aim - share) + 1e-6
            gone = 0.0
            before = math.inf
            arrived = False
            for _ in range(most):
                if not equations(kind, data, ref, trial, aim * heave, aim * roll, res, jac):
                    break
                det = _newton(data, res, jac, heave, roll, matrix, right)
                taken += 1
                if det * sign <= 0.0:
                    break
                size = 0.0
                for j in range(4):
                    trial[j] += right[j, 0]
                    size += right[j, 0] ** 2
                size = math.sqrt(size)
                gone += size
                if not gone <= allowed:
                    break
                # steps this small that no longer shrink are rounding
                if size < last or (size < 1e-7 and size > 0.5 * before):
                    arrived = True
                    break
                before = size
            if arrived:
                share = aim
                for j in range(4):
                    q[j] = trial[j]
                    tangent[j] = right[j, 1]
            else:
                step *= 0.5
                if step < _SHORTEST:
                    break
        reached[n] = share
        unknowns[n, :] = q
    return taken
