"""A candidate route measured: its cost, how far it breaks the rules, and which way every number should move.

A candidate is a chain of corners. Unknowns ``x``: length of the first leg (its direction is the outlet's), the other
corners and the end (three each), then for each part where along the free length of its leg it sits, 0 to 1. Kind of
bend at each corner, leg and clock angle of each part are fixed while ``x`` moves.

The slope is the exact derivative (adjoint) of the penalty: distances to obstacles are asked for once per sample, and
only the samples that come too near are followed back to the unknowns.
"""

import math

import numpy as np
from numba import njit

from trialfit.routing.field import slope, value

MOST_BENDS = 12
MOST_PARTS = 8

# A candidate, packed: bends, cost, greatest violation [mm], least margin [mm], length [mm], turning [rad], then the
# unknowns, the parts' places, kind of bend per corner, leg per part, clock angle per part [rad].
AT_X = 6
AT_U = AT_X + 1 + 3 * MOST_BENDS
AT_KIND = AT_U + MOST_PARTS
AT_LEG = AT_KIND + MOST_BENDS
AT_CLOCK = AT_LEG + MOST_PARTS
WIDTH = AT_CLOCK + MOST_PARTS

# Scalars of a problem, as the kernels take them.
SKIN, LEAST, FIRST, CONE, PER_MM, FIXED, LEAST_TURN, PARTS, FREEING, GAP_WEIGHT, GAP_WANTED, ROUGH = range(12)
# Columns of the table of bends, and of the table of parts.
B_RADIUS, B_MOST, B_RAD, B_EACH = range(4)
Q_LENGTH, Q_HALF, Q_SKIN, Q_ROOM, Q_LOW, Q_HIGH = 0, 1, 2, 3, 4, 7

LEAST_TURN_RAD = math.radians(5.0)
"""A bend of less is no bend but a wobble [rad]: it is left out or made at least this."""
TURN_PENALTY = 200.0
"""mm of violation for a radian too much or too little."""
ALONG, BENT, SLAB = 0.0, 1.0, 2.0
MOST_SAMPLES = 1500


@njit(nogil=True)
def workspace(n):  # type: ignore[no-untyped-def]
    """Arrays that measuring a candidate of n bends needs: corners, directions, legs, cuts, turns; parts' starts, room
    left over and share; samples that come too near; adjoints of corners, directions, legs, cuts, turns."""
    return (
        np.zeros((n + 2, 3)), np.zeros((n + 1, 3)), np.zeros(n + 1), np.zeros(n + 2), np.zeros(n + 2),
        np.zeros((MOST_PARTS, 4)), np.zeros((MOST_SAMPLES, 8)),
        np.zeros((n + 2, 3)), np.zeros((n + 1, 3)), np.zeros(n + 1), np.zeros(n + 2), np.zeros(n + 2),
        np.zeros(3), np.zeros(3), np.zeros(3), np.zeros(8),
    )


@njit(nogil=True)
def shape_of(x, n, kind, par, w):  # type: ignore[no-untyped-def]
    """Corners, directions, leg lengths, cuts and turns from the unknowns."""
    V, U, L, T, TH = w[0], w[1], w[2], w[3], w[4]
    P0, d0, B = par[0], par[1], par[5]
    for c in range(3):
        V[0, c] = P0[c]
        V[1, c] = P0[c] + x[0] * d0[c]
        U[0, c] = d0[c]
    L[0] = x[0]
    for i in range(2, n + 2):
        for c in range(3):
            V[i, c] = x[1 + 3 * (i - 2) + c]
    for i in range(1, n + 1):
        dx, dy, dz = V[i + 1, 0] - V[i, 0], V[i + 1, 1] - V[i, 1], V[i + 1, 2] - V[i, 2]
        size = math.sqrt(dx * dx + dy * dy + dz * dz) + 1e-12
        L[i] = size
        U[i, 0], U[i, 1], U[i, 2] = dx / size, dy / size, dz / size
    T[0] = T[n + 1] = TH[0] = TH[n + 1] = 0.0
    for i in range(1, n + 1):
        dot = U[i - 1, 0] * U[i, 0] + U[i - 1, 1] * U[i, 1] + U[i - 1, 2] * U[i, 2]
        turn = math.acos(min(1.0, max(-1.0, dot)))
        TH[i] = turn
        T[i] = B[kind[i - 1], B_RADIUS] * math.tan(0.5 * min(turn, B[kind[i - 1], B_MOST]))


@njit(nogil=True)
def _wide(U, i, clock, wide):  # type: ignore[no-untyped-def]
    """Unit vector along the wide side of a part on leg i; returns how nearly level the leg is (0: upright)."""
    level = math.sqrt(U[i, 0] * U[i, 0] + U[i, 1] * U[i, 1])
    if level < 1e-9:
        lx, ly = 0.0, 1.0
    else:
        lx, ly = -U[i, 1] / level, U[i, 0] / level
    c, s = math.cos(clock), math.sin(clock)
    # up = along x level
    ux, uy, uz = -U[i, 2] * ly, U[i, 2] * lx, U[i, 0] * ly - U[i, 1] * lx
    wide[0], wide[1], wide[2] = c * lx + s * ux, c * ly + s * uy, s * uz
    return level


@njit(nogil=True)
def _near(w, kind, i, a, b, part, gap, weight, wanted):  # type: ignore[no-untyped-def]
    """Note a sample that comes too near."""
    S, count = w[6], w[15]
    k = int(count[0])
    if k < MOST_SAMPLES:
        S[k, 0], S[k, 1], S[k, 2], S[k, 3] = kind, i, a, b
        S[k, 4], S[k, 5], S[k, 6] = part, (wanted - gap) * weight, gap
        count[0] = k + 1


@njit(nogil=True)
def measure(x, n, kind, leg, clock, par, F0, F1, step, pad, room, w, out):  # type: ignore[no-untyped-def]
    """Measure a candidate; ``out`` (8,): cost, sum of squares by which geometry and gaps break the rules, the greatest
    of them [mm], least margin [mm], length [mm], turning [rad], samples.

    ``step``: spacing of samples [mm]; ``pad``: asked on top of every gap [mm]; ``room``: on top of every straight, and
    kept within the exit, the zones and the limits of turning [mm].
    """
    shape_of(x, n, kind, par, w)
    V, U, L, T, TH, Q = w[0], w[1], w[2], w[3], w[4], w[5]
    box, d1, S, B, parts = par[2], par[3], par[4], par[5], par[6]
    w[15][0] = 0.0
    np_ = int(S[PARTS])
    slack = room / TURN_PENALTY
    off = 0.0
    worst = 0.0
    turning = 0.0
    cost = S[FIXED]
    for i in range(1, n + 1):
        turn = TH[i]
        turning += turn
        most = B[kind[i - 1], B_MOST] - slack
        if turn > most:
            v = (turn - most) * TURN_PENALTY
            off += v * v
            worst = max(worst, v)
        if turn < S[LEAST_TURN] + slack:
            v = (S[LEAST_TURN] + slack - turn) * TURN_PENALTY
            off += v * v
            worst = max(worst, v)
        cost += B[kind[i - 1], B_RAD] * turn + B[kind[i - 1], B_EACH]
    # parts: room on their legs and places
    k = 0
    length = 0.0
    for i in range(n + 1):
        free = L[i] - T[i] - T[i + 1]
        need = S[LEAST] if i > 0 else S[FIRST]
        first = k
        taken = 0.0
        while k < np_ and leg[k] == i:
            taken += parts[k, Q_LENGTH] + 2.0 * parts[k, Q_ROOM]
            k += 1
        if k > first:
            need = max(need, taken)
        need += room
        if free < need:
            v = need - free
            off += v * v
            worst = max(worst, v)
        if i == 0 and x[0] < 0.0:
            off += x[0] * x[0]
            worst = max(worst, -x[0])
        length += free
        if i >= 1:
            length += B[kind[i - 1], B_RADIUS] * min(TH[i], B[kind[i - 1], B_MOST])
        over = max(free - taken, 0.0)
        base = T[i]
        before = 0.0
        for j in range(first, k):
            u = x[1 + 3 * n + j]
            low = before
            if u < low:
                v = (low - u) * 100.0
                off += v * v
                worst = max(worst, v)
            if u > 1.0:
                v = (u - 1.0) * 100.0
                off += v * v
                worst = max(worst, v)
            share = min(1.0, max(0.0, u))
            before = share
            base += parts[j, Q_ROOM]
            Q[j, 0] = base + share * over  # where the part begins along its leg
            Q[j, 1] = base - T[i]
            Q[j, 2] = share
            Q[j, 3] = over
            base += parts[j, Q_LENGTH] + parts[j, Q_ROOM]
            for c in range(3):
                p = V[i, c] + (Q[j, 0] + 0.5 * parts[j, Q_LENGTH]) * U[i, c]
                inset = min(room, 0.4 * (parts[j, Q_HIGH + c] - parts[j, Q_LOW + c]))
                v = max(parts[j, Q_LOW + c] - p, p - parts[j, Q_HIGH + c]) + inset
                if v > 0.0:
                    off += v * v
                    worst = max(worst, v)
    for c in range(3):
        inset = min(room, 0.4 * (box[1, c] - box[0, c]))
        v = max(box[0, c] - V[n + 1, c], V[n + 1, c] - box[1, c]) + inset
        if v > 0.0:
            off += v * v
            worst = max(worst, v)
    dot = U[n, 0] * d1[0] + U[n, 1] * d1[1] + U[n, 2] * d1[2]
    aside = math.acos(min(1.0, max(-1.0, dot)))
    cone = S[CONE] - min(slack, 0.4 * S[CONE])
    if aside > cone:
        v = (aside - cone) * TURN_PENALTY
        off += v * v
        worst = max(worst, v)
    cost += S[PER_MM] * length

    # gaps
    skin = S[SKIN]
    near = 0.0
    margin = 1e9
    least_kind, least_i, least_a, least_b, least_part = ALONG, 0, 0.0, 0.0, -1
    taken_samples = 0
    free_leg, free_at = -1, 0.0
    if S[FREEING] >= 0:
        q = int(S[FREEING])
        free_leg = leg[q]
        free_at = Q[q, 0] + 0.5 * parts[q, Q_LENGTH]
    for i in range(n + 1):
        free = L[i] - T[i] - T[i + 1]
        if free > 0.0:
            k = int(free / step) + 1
            each = free / k
            weight = each / step
            q = 0
            while q <= k:
                s = T[i] + each * q
                if i < free_leg or (i == free_leg and s < free_at):
                    f = value(F1, V[i, 0] + s * U[i, 0], V[i, 1] + s * U[i, 1], V[i, 2] + s * U[i, 2]) - skin
                else:
                    f = value(F0, V[i, 0] + s * U[i, 0], V[i, 1] + s * U[i, 1], V[i, 2] + s * U[i, 2]) - skin
                taken_samples += 1
                if f < margin:
                    margin, least_kind, least_i, least_a, least_b, least_part = f, ALONG, i, q / k, 0.0, -1
                if f < pad:
                    near += (pad - f) ** 2 * weight
                    worst = max(worst, pad - f)
                    _near(w, ALONG, i, q / k, 0.0, -1.0, f, weight, pad)
                    q += 1
                else:
                    q += 1 + int((f - pad) / each)
        if i < n:
            bend = i + 1
            turn = min(TH[bend], B[kind[i], B_MOST])
            radius = B[kind[i], B_RADIUS]
            if turn > 1e-6 and TH[bend] < 3.1:
                cth, sth = math.cos(TH[bend]), math.sin(TH[bend])
                nx = (U[bend, 0] - cth * U[i, 0]) / sth
                ny = (U[bend, 1] - cth * U[i, 1]) / sth
                nz = (U[bend, 2] - cth * U[i, 2]) / sth
                k = int(radius * turn / step) + 1
                each = radius * turn / k
                weight = each / step
                q = 1
                while q < k or (q == k and k == 1):
                    share = q / k if k > 1 else 0.5
                    along = radius * math.sin(turn * share) - T[bend]
                    inward = radius * (1.0 - math.cos(turn * share))
                    px = V[bend, 0] + along * U[i, 0] + inward * nx
                    py = V[bend, 1] + along * U[i, 1] + inward * ny
                    pz = V[bend, 2] + along * U[i, 2] + inward * nz
                    f = value(F1 if i < free_leg else F0, px, py, pz) - skin
                    taken_samples += 1
                    if f < margin:
                        margin, least_kind, least_i, least_a, least_b, least_part = f, BENT, bend, share, 0.0, -1
                    if f < pad:
                        near += (pad - f) ** 2 * weight
                        worst = max(worst, pad - f)
                        _near(w, BENT, bend, share, 0.0, -1.0, f, weight, pad)
                        q += 1
                    else:
                        q += 1 + int((f - pad) / each)
    wide = w[12]
    for j in range(np_):
        i = leg[j]
        thick, half, run = parts[j, Q_SKIN], parts[j, Q_HALF], parts[j, Q_LENGTH]
        if run <= 0.0:
            continue
        level = _wide(U, i, clock[j], wide)
        if half > 0.0 and level < 0.2:
            v = (0.2 - level) * 100.0  # an upright flat part has no level side
            off += v * v
            worst = max(worst, v)
        rows = int(2.0 * half / (2.0 * step)) + 2 if half > 0.0 else 1
        k = int(run / (1.5 * step)) + 1
        each = run / k
        weight = each / step / rows
        for e in range(rows):
            o = half * (2.0 * e / (rows - 1) - 1.0) if rows > 1 else 0.0
            q = 0
            while q <= k:
                s = Q[j, 0] + each * q
                px = V[i, 0] + s * U[i, 0] + o * wide[0]
                py = V[i, 1] + s * U[i, 1] + o * wide[1]
                pz = V[i, 2] + s * U[i, 2] + o * wide[2]
                if j < S[FREEING] or (j == S[FREEING] and 2 * q <= k):
                    f = value(F1, px, py, pz) - thick
                else:
                    f = value(F0, px, py, pz) - thick
                taken_samples += 1
                if f < margin:
                    margin, least_kind, least_i, least_a, least_b, least_part = f, SLAB, i, q / k, o, j
                if f < pad:
                    near += (pad - f) ** 2 * weight
                    worst = max(worst, pad - f)
                    _near(w, SLAB, i, q / k, o, j, f, weight, pad)
                    q += 1
                else:
                    q += 1 + int((f - pad) / each)
    if S[GAP_WEIGHT] > 0.0 and margin < S[GAP_WANTED]:
        cost += S[GAP_WEIGHT] * (S[GAP_WANTED] - margin)
        _near(w, least_kind, least_i, least_a, least_b, least_part, margin, 0.0, pad)
    out[0], out[1], out[2], out[3] = cost, off, near, worst
    out[4], out[5], out[6], out[7] = margin, length, turning, taken_samples


@njit(nogil=True)
def _leg_point(w, i, s_bar, share, over_bar):  # type: ignore[no-untyped-def]
    """Adjoint of a distance along leg i that is ``T_i + constant + share * (L - T_i - T_i+1 - constant)``."""
    aL, aT = w[9], w[10]
    aT[i] += s_bar * (1.0 - over_bar * share)
    aT[i + 1] -= s_bar * share * over_bar
    aL[i] += s_bar * share * over_bar


@njit(nogil=True)
def penalty(x, n, kind, leg, clock, par, F0, F1, step, pad, room, mu, w, out):  # type: ignore[no-untyped-def]
    """Cost plus ``mu`` times the squares by which rules are broken."""
    measure(x, n, kind, leg, clock, par, F0, F1, step, pad, room, w, out)
    return out[0] + mu * (out[1] + out[2])


@njit(nogil=True)
def slopes(x, n, kind, leg, clock, par, F0, F1, step, pad, room, mu, w, out, g):  # type: ignore[no-untyped-def]
    """The penalty, and its derivative ``g`` by every unknown."""
    S = par[4]
    total = penalty(x, n, kind, leg, clock, par, F0, F1, step, pad, room, mu, w, out)
    V, U, L, T, TH, Q = w[0], w[1], w[2], w[3], w[4], w[5]
    aV, aU, aL, aT, aTH = w[7], w[8], w[9], w[10], w[11]
    box, d1, B, parts = par[2], par[3], par[5], par[6]
    wide, grad, bar = w[12], w[13], w[14]
    np_ = int(S[PARTS])
    slack = room / TURN_PENALTY
    for a in (aV, aU):
        for i in range(a.shape[0]):
            a[i, 0] = a[i, 1] = a[i, 2] = 0.0
    for i in range(n + 2):
        aT[i] = aTH[i] = 0.0
    for i in range(n + 1):
        aL[i] = 0.0
    g[:] = 0.0
    # cost
    for i in range(n + 1):
        aL[i] += S[PER_MM]
        aT[i] -= S[PER_MM]
        aT[i + 1] -= S[PER_MM]
    for i in range(1, n + 1):
        b = kind[i - 1]
        if TH[i] < B[b, B_MOST]:
            aTH[i] += S[PER_MM] * B[b, B_RADIUS]
        aTH[i] += B[b, B_RAD]
        if TH[i] > B[b, B_MOST] - slack:
            aTH[i] += 2.0 * mu * TURN_PENALTY * TURN_PENALTY * (TH[i] - B[b, B_MOST] + slack)
        if TH[i] < S[LEAST_TURN] + slack:
            aTH[i] -= 2.0 * mu * TURN_PENALTY * TURN_PENALTY * (S[LEAST_TURN] + slack - TH[i])
    # room on the legs, places of the parts
    k = 0
    for i in range(n + 1):
        free = L[i] - T[i] - T[i + 1]
        need = S[LEAST] if i > 0 else S[FIRST]
        first = k
        taken = 0.0
        while k < np_ and leg[k] == i:
            taken += parts[k, Q_LENGTH] + 2.0 * parts[k, Q_ROOM]
            k += 1
        if k > first:
            need = max(need, taken)
        need += room
        if free < need:
            v = 2.0 * mu * (need - free)
            aL[i] -= v
            aT[i] += v
            aT[i + 1] += v
        if i == 0 and x[0] < 0.0:
            g[0] += 2.0 * mu * x[0]
        before = 0.0
        for j in range(first, k):
            at = 1 + 3 * n + j
            if x[at] < before:
                v = 2.0 * mu * 1e4 * (before - x[at])
                g[at] -= v
                if j > first and 0.0 < x[at - 1] < 1.0:
                    g[at - 1] += v
            if x[at] > 1.0:
                g[at] += 2.0 * mu * 1e4 * (x[at] - 1.0)
            before = Q[j, 2]
            s = Q[j, 0] + 0.5 * parts[j, Q_LENGTH]
            for c in range(3):
                p = V[i, c] + s * U[i, c]
                v = 0.0
                inset = min(room, 0.4 * (parts[j, Q_HIGH + c] - parts[j, Q_LOW + c]))
                if p < parts[j, Q_LOW + c] + inset:
                    v = 2.0 * mu * (p - parts[j, Q_LOW + c] - inset)
                elif p > parts[j, Q_HIGH + c] - inset:
                    v = 2.0 * mu * (p - parts[j, Q_HIGH + c] + inset)
                if v != 0.0:
                    aV[i, c] += v
                    aU[i, c] += v * s
                    sb = v * U[i, c]
                    _leg_point(w, i, sb, Q[j, 2], 1.0 if Q[j, 3] > 0.0 else 0.0)
                    if 0.0 < x[at] < 1.0:
                        g[at] += sb * Q[j, 3]
    for c in range(3):
        inset = min(room, 0.4 * (box[1, c] - box[0, c]))
        if V[n + 1, c] < box[0, c] + inset:
            aV[n + 1, c] += 2.0 * mu * (V[n + 1, c] - box[0, c] - inset)
        elif V[n + 1, c] > box[1, c] - inset:
            aV[n + 1, c] += 2.0 * mu * (V[n + 1, c] - box[1, c] + inset)
    dot = U[n, 0] * d1[0] + U[n, 1] * d1[1] + U[n, 2] * d1[2]
    aside = math.acos(min(1.0, max(-1.0, dot)))
    cone = S[CONE] - min(slack, 0.4 * S[CONE])
    if aside > cone:
        v = -2.0 * mu * TURN_PENALTY * TURN_PENALTY * (aside - cone) / max(1e-6, math.sin(aside))
        for c in range(3):
            aU[n, c] += v * d1[c]
    # samples that come too near
    free_leg, free_at = -1, 0.0
    if S[FREEING] >= 0:
        q = int(S[FREEING])
        free_leg = leg[q]
        free_at = Q[q, 0] + 0.5 * parts[q, Q_LENGTH]
    R = w[6]
    count = int(w[15][0])
    worst_at = count - 1 if S[GAP_WEIGHT] > 0.0 and out[4] < S[GAP_WANTED] else -1
    for k in range(count):
        i = int(R[k, 1])
        share, o, j = R[k, 2], R[k, 3], int(R[k, 4])
        pull = -2.0 * mu * R[k, 5]
        if k == worst_at:
            pull -= S[GAP_WEIGHT]
        if R[k, 0] == ALONG:
            s = T[i] + share * (L[i] - T[i] - T[i + 1])
            px, py, pz = V[i, 0] + s * U[i, 0], V[i, 1] + s * U[i, 1], V[i, 2] + s * U[i, 2]
            if i < free_leg or (i == free_leg and s < free_at):
                slope(F1, px, py, pz, grad)
            else:
                slope(F0, px, py, pz, grad)
            sb = 0.0
            for c in range(3):
                v = pull * grad[c]
                aV[i, c] += v
                aU[i, c] += v * s
                sb += v * U[i, c]
            _leg_point(w, i, sb, share, 1.0)
            free = L[i] - T[i] - T[i + 1]
            v = mu * (pad - R[k, 6]) * R[k, 5] / free  # a sample speaks for its share of the leg
            aL[i] += v
            aT[i] -= v
            aT[i + 1] -= v
        elif R[k, 0] == BENT:
            b = kind[i - 1]
            radius = B[b, B_RADIUS]
            whole = TH[i] <= B[b, B_MOST]
            turn = min(TH[i], B[b, B_MOST])
            cth, sth = math.cos(TH[i]), max(1e-6, math.sin(TH[i]))
            sa, ca = math.sin(turn * share), math.cos(turn * share)
            along, inward = radius * sa - T[i], radius * (1.0 - ca)
            for c in range(3):
                bar[c] = (U[i, c] - cth * U[i - 1, c]) / sth
            slope(F1 if i - 1 < free_leg else F0, V[i, 0] + along * U[i - 1, 0] + inward * bar[0],
                  V[i, 1] + along * U[i - 1, 1] + inward * bar[1], V[i, 2] + along * U[i - 1, 2] + inward * bar[2],
                  grad)
            for c in range(3):
                v = pull * grad[c]
                aV[i, c] += v
                aT[i] -= v * U[i - 1, c]
                aU[i - 1, c] += v * along
                m = v * inward
                aU[i, c] += m / sth
                aU[i - 1, c] -= m * cth / sth
                aTH[i] += m * (U[i - 1, c] - bar[c] * cth / sth)
                if whole:
                    if c == 0:
                        aTH[i] += mu * (pad - R[k, 6]) * R[k, 5] / turn
                    aTH[i] += v * (radius * share * ca * U[i - 1, c] + radius * share * sa * bar[c])
        else:
            s = Q[j, 0] + share * parts[j, Q_LENGTH]
            level = _wide(U, i, clock[j], wide)
            px = V[i, 0] + s * U[i, 0] + o * wide[0]
            py = V[i, 1] + s * U[i, 1] + o * wide[1]
            pz = V[i, 2] + s * U[i, 2] + o * wide[2]
            if j < S[FREEING] or (j == S[FREEING] and share <= 0.5):
                slope(F1, px, py, pz, grad)
            else:
                slope(F0, px, py, pz, grad)
            sb = 0.0
            for c in range(3):
                v = pull * grad[c]
                aV[i, c] += v
                aU[i, c] += v * s
                sb += v * U[i, c]
            _leg_point(w, i, sb, Q[j, 2], 1.0 if Q[j, 3] > 0.0 else 0.0)
            at = 1 + 3 * n + j
            if 0.0 < x[at] < 1.0:
                g[at] += sb * Q[j, 3]
            if o != 0.0 and level > 1e-6:
                # the wide side follows the leg: wide = cos * level + sin * (along x level)
                cc, ss = math.cos(clock[j]), math.sin(clock[j])
                lx, ly = -U[i, 1] / level, U[i, 0] / level
                bx, by, bz = pull * o * grad[0], pull * o * grad[1], pull * o * grad[2]
                # adjoint of level from both terms; d(along x level).b = level.(b x along) and along.(level x b)
                qx = cc * bx + ss * (by * U[i, 2] - bz * U[i, 1])
                qy = cc * by + ss * (bz * U[i, 0] - bx * U[i, 2])
                aU[i, 0] += ss * ly * bz
                aU[i, 1] += -ss * lx * bz
                aU[i, 2] += ss * (lx * by - ly * bx)
                dot_ = qx * lx + qy * ly
                aU[i, 1] -= (qx - dot_ * lx) / level
                aU[i, 0] += (qy - dot_ * ly) / level
    # back through cuts, turns, directions, corners
    for i in range(1, n + 1):
        b = kind[i - 1]
        if TH[i] < B[b, B_MOST]:
            ch = math.cos(0.5 * TH[i])
            aTH[i] += aT[i] * B[b, B_RADIUS] * 0.5 / (ch * ch)
        v = -aTH[i] / max(1e-6, math.sin(TH[i]))
        for c in range(3):
            aU[i - 1, c] += v * U[i, c]
            aU[i, c] += v * U[i - 1, c]
    for i in range(1, n + 1):
        dot = aU[i, 0] * U[i, 0] + aU[i, 1] * U[i, 1] + aU[i, 2] * U[i, 2]
        for c in range(3):
            v = (aU[i, c] - dot * U[i, c]) / L[i] + aL[i] * U[i, c]
            aV[i + 1, c] += v
            aV[i, c] -= v
    g[0] += aL[0]
    for c in range(3):
        g[0] += aV[1, c] * par[1][c]
        for i in range(2, n + 2):
            g[1 + 3 * (i - 2) + c] += aV[i, c]
    return total
