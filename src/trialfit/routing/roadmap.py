"""First routes: places drawn at random where the pipe has room, joined by straights that are clear, searched for the
cheapest chain of straights and bends.

The search runs over directed straights, not places, because what a bend costs and how much straight it eats depends on
both its legs. It knows how many of the parts have been placed so far, and is led by what the straights and bends still
to come cost at least and by the turning still owed (never more than the truth, so nothing cheaper is overlooked).
Gaps are eased by a few mm and the descent that follows restores them: places drawn at random miss a narrow passage,
but seldom by much.
"""

import math

import numpy as np
from numba import njit

from trialfit.geometry.waiting import put, take
from trialfit.routing.field import value
from trialfit.routing.pipe import (
    B_EACH,
    B_MOST,
    B_RAD,
    B_RADIUS,
    CONE,
    FIRST,
    LEAST,
    MOST_BENDS,
    MOST_PARTS,
    PARTS,
    PER_MM,
    Q_HALF,
    Q_HIGH,
    Q_LENGTH,
    Q_LOW,
    Q_ROOM,
    Q_SKIN,
    SKIN,
    WIDTH,
    _wide,
    penalty,
    workspace,
)
from trialfit.routing.refine import EASED_MM, INFEASIBLE, LOOSE_MM, REDRAWN, lay, pack, settle, straight_clear, try_out

FREE, RAY, END, OUTLET = 0, 1, 2, 3
UNSEEN, OPEN, CLOSED = 0, 1, 2
EASED_ROOM_MM = 15.0
STRIDE_MM = 12.0
"""Least step along a straight between two places: what lies between is for the descent."""
LOOKED_AT = (0.5, 0.25, 0.75, 0.37, 0.63)
"""Shares of a straight looked at before the whole of it."""
LONGEST_MM, SHORTEST_MM = 4000.0, 40.0
END_PLACES = 7
MOST_LIES, FEWEST_LIES = 24, 8
"""Lies of parts in their zones that a roadmap draws, all of them together, and of each at least."""
RAY_PLACES = 20
ALSO_KEPT = 1.25
"""A chain that settles dearer than the best of its roadmap by more than this is left on the way."""
SHRINKS = 1.2
"""A chain of places may be dearer by this than what is worth keeping: settling makes it shorter."""
MOST_GOALS = 24
WORTH_A_LOOK = 1.25
"""A chain dearer than the cheapest by more than this is left."""
APART_MM = 70.0
STRIKES = 80
"""Chains of few bends drawn for each one that is settled."""


@njit(nogil=True)
def slab_clear(F, x, y, z, U, i, clock, run, half, skin, wide):  # type: ignore[no-untyped-def]
    """Whether a part with its middle there, lying along U[i], is clear."""
    level = _wide(U, i, clock, wide)
    if half > 0.0 and level < 0.2:
        return False
    k = int(run / 40.0) + 1
    for q in range(k + 1):
        s = run * (q / k - 0.5)
        for e in range(-1, 2):
            if half <= 0.0 and e != 0:
                continue
            o = half * e
            if value(F, x + s * U[i, 0] + o * wide[0], y + s * U[i, 1] + o * wide[1],
                     z + s * U[i, 2] + o * wide[2]) < skin:
                return False
    return True


@njit(nogil=True)
def _direction(toward, spread, u):  # type: ignore[no-untyped-def]
    """A unit vector drawn about ``toward``."""
    size = 0.0
    for c in range(3):
        u[c] = toward[c] + spread * np.random.randn()
        size += u[c] * u[c]
    size = math.sqrt(size) + 1e-12
    for c in range(3):
        u[c] /= size


@njit(nogil=True)
def places(F, par, count):  # type: ignore[no-untyped-def]
    """Places (m, 3), what each is, pairs of them that a part lies between, and the part of each pair."""
    P0, d0, box, d1, S, B, parts, clocks, bounds = par
    skin = S[SKIN]
    np_ = int(S[PARTS])
    room = count + 2 * MOST_LIES * MOST_PARTS + 2 * END_PLACES + RAY_PLACES + 2
    X = np.empty((room, 3))
    what = np.zeros(room, np.int64)
    pairs = np.empty((room, 3), np.int64)
    paired = 0
    X[0] = P0
    what[0] = OUTLET
    c = 1
    tightest = B[:, B_RADIUS].min() if B.shape[0] > 0 else 50.0
    t = max(S[FIRST], 0.0) + 0.15 * tightest
    while t < 1200.0 and c < RAY_PLACES:
        if t > 60.0 and value(F, P0[0] + t * d0[0], P0[1] + t * d0[1], P0[2] + t * d0[2]) < skin - EASED_MM:
            break
        for k in range(3):
            X[c, k] = P0[k] + t * d0[k]
        what[c] = RAY
        c += 1
        t += 30.0 + 50.0 * np.random.random()
    a, e, u = np.empty(3), np.empty(3), np.empty(3)
    ends = 0
    for _ in range(500):
        if ends >= END_PLACES:
            break
        for k in range(3):
            e[k] = box[0, k] + np.random.random() * (box[1, k] - box[0, k])
        if value(F, e[0], e[1], e[2]) < skin - EASED_MM:
            continue
        _direction(d1, 0.6 * math.tan(min(S[CONE], 1.2)), u)
        if u[0] * d1[0] + u[1] * d1[1] + u[2] * d1[2] < math.cos(S[CONE]):
            for k in range(3):
                u[k] = d1[k]
        back = S[LEAST] + 0.4 * tightest + np.random.random() ** 2 * 700.0
        for k in range(3):
            a[k] = e[k] - back * u[k]
        if value(F, a[0], a[1], a[2]) < skin - EASED_MM or not straight_clear(F, a, e, skin - EASED_MM, 2.0):
            continue
        X[c], X[c + 1] = a, e
        what[c + 1] = END
        pairs[paired, 0], pairs[paired, 1], pairs[paired, 2] = c, c + 1, -1
        paired += 1
        c += 2
        ends += 1
    flow = np.empty(3)
    size = 0.0
    for k in range(3):
        flow[k] = 0.5 * (box[0, k] + box[1, k]) - P0[k]
        size += flow[k] ** 2
    for k in range(3):
        flow[k] /= math.sqrt(size) + 1e-12
    U = np.empty((1, 3))
    wide = np.empty(3)
    zoned = 0
    for j in range(np_):
        if parts[j, Q_LOW] >= -1e8:
            zoned += 1
    lies = max(FEWEST_LIES, MOST_LIES // max(zoned, 1))
    for j in range(np_):
        if parts[j, Q_LOW] < -1e8:
            continue  # it may lie anywhere: no place of its own
        made = 0
        for tried in range(4000):
            if made >= lies:
                break
            for k in range(3):
                a[k] = parts[j, Q_LOW + k] + np.random.random() * (parts[j, Q_HIGH + k] - parts[j, Q_LOW + k])
            if value(F, a[0], a[1], a[2]) < parts[j, Q_SKIN] - EASED_MM:
                continue
            _direction(flow, 0.25 if tried % 3 != 0 else 1.0, u)
            for k in range(3):
                U[0, k] = u[k]
            clock = clocks[j, np.random.randint(int(parts[j, 10]))]
            if not slab_clear(F, a[0], a[1], a[2], U, 0, clock, parts[j, Q_LENGTH], parts[j, Q_HALF],
                              parts[j, Q_SKIN] - 1.5 * EASED_MM, wide):
                continue
            half = 0.5 * parts[j, Q_LENGTH] + max(parts[j, Q_ROOM], 0.0)
            one = half + (0.1 + 0.9 * np.random.random()) * tightest
            two = half + (0.1 + 0.9 * np.random.random()) * tightest
            for k in range(3):
                X[c, k] = a[k] - one * u[k]
                X[c + 1, k] = a[k] + two * u[k]
            if not straight_clear(F, X[c], X[c + 1], skin - EASED_MM, 3.0):
                continue
            what[c] = what[c + 1] = FREE
            pairs[paired, 0], pairs[paired, 1], pairs[paired, 2] = c, c + 1, j
            paired += 1
            c += 2
            made += 1
    goal = c + count
    p = np.empty(3)
    for _ in range(200 * count + 1000):
        if c >= goal:
            break
        for k in range(3):
            p[k] = bounds[0, k] + np.random.random() * (bounds[1, k] - bounds[0, k])
        f = value(F, p[0], p[1], p[2])
        if f < skin - EASED_MM:
            if f < skin - 100.0 or np.random.random() < 0.2:
                continue
            # pushed out of what is in the way: narrow passages fill up
            for _push in range(8):
                h = 0.5
                gx = (value(F, p[0] + h, p[1], p[2]) - f) / h
                gy = (value(F, p[0], p[1] + h, p[2]) - f) / h
                gz = (value(F, p[0], p[1], p[2] + h) - f) / h
                size = math.sqrt(gx * gx + gy * gy + gz * gz)
                if size < 0.2:
                    break
                go = min(40.0, skin - f + 3.0) / size
                p[0] += go * gx
                p[1] += go * gy
                p[2] += go * gz
                f = value(F, p[0], p[1], p[2])
                if f >= skin:
                    break
            if f < skin - EASED_MM:
                continue
        X[c] = p
        what[c] = FREE
        c += 1
    return X[:c].copy(), what[:c].copy(), pairs[:paired].copy()


@njit(nogil=True)
def joined(F, X, what, pairs, skin):  # type: ignore[no-untyped-def]
    """Which places see each other (m, m)."""
    m = X.shape[0]
    A = np.zeros((m, m), np.bool_)
    limit = skin - EASED_MM
    for i in range(m):
        if what[i] == OUTLET:
            continue
        for j in range(i + 1, m):
            if what[i] == END or what[j] == END or (what[i] == RAY and what[j] == RAY):
                continue
            dx, dy, dz = X[i, 0] - X[j, 0], X[i, 1] - X[j, 1], X[i, 2] - X[j, 2]
            apart = math.sqrt(dx * dx + dy * dy + dz * dz)
            if apart > LONGEST_MM or apart < SHORTEST_MM:
                continue
            blocked = False
            for t in LOOKED_AT:
                if value(F, X[i, 0] + t * (X[j, 0] - X[i, 0]), X[i, 1] + t * (X[j, 1] - X[i, 1]),
                         X[i, 2] + t * (X[j, 2] - X[i, 2])) < limit:
                    blocked = True
                    break
            if blocked:
                continue
            if straight_clear(F, X[i], X[j], limit, STRIDE_MM):
                A[i, j] = A[j, i] = True
    for k in range(pairs.shape[0]):
        A[pairs[k, 0], pairs[k, 1]] = True
        if pairs[k, 2] >= 0:
            A[pairs[k, 1], pairs[k, 0]] = True
    # an end is only come to from other places, never left
    for j in range(m):
        if what[j] == RAY:
            A[0, j] = True
        if what[j] == END:
            for i in range(m):
                if what[i] != OUTLET and i != j and what[i] != END and not A[i, j]:
                    dx, dy, dz = X[j, 0] - X[i, 0], X[j, 1] - X[i, 1], X[j, 2] - X[i, 2]
                    apart = math.sqrt(dx * dx + dy * dy + dz * dz)
                    if SHORTEST_MM <= apart <= LONGEST_MM and straight_clear(F, X[i], X[j], limit, STRIDE_MM):
                        A[i, j] = True
    return A


@njit(nogil=True)
def _stretch(par, X, U, e, src, run, j):  # type: ignore[no-untyped-def]
    """Where the middle of part j can be along straight e within its zone: from, to [mm]; to < from where it cannot."""
    parts = par[6]
    spare = run - parts[j, Q_LENGTH] - 2.0 * parts[j, Q_ROOM]
    if spare < -EASED_ROOM_MM:
        return 0.0, -1.0
    first = 0.5 * parts[j, Q_LENGTH] + parts[j, Q_ROOM]
    last = first + max(spare, 0.0)
    for c in range(3):
        a = parts[j, Q_LOW + c] - EASED_MM - X[src, c]
        b = parts[j, Q_HIGH + c] + EASED_MM - X[src, c]
        if abs(U[e, c]) < 1e-9:
            if a > 0.0 or b < 0.0:
                return 0.0, -1.0
            continue
        t0, t1 = a / U[e, c], b / U[e, c]
        if t0 > t1:
            t0, t1 = t1, t0
        first, last = max(first, t0), min(last, t1)
    return first, last


@njit(nogil=True)
def _part_on(F, par, X, U, e, src, run, j, wide):  # type: ignore[no-untyped-def]
    """Clock angle number at which part j can lie on straight e within its zone, -1 if it cannot; and where, 0 to 1."""
    parts, clocks = par[6], par[7]
    first, last = _stretch(par, X, U, e, src, run, j)
    if last < first:
        return -1, 0.5
    low = 0.5 * parts[j, Q_LENGTH] + parts[j, Q_ROOM]
    spare = max(run - 2.0 * low, 0.0)
    tries = 3 if last - first > 60.0 else 1
    for q in range(tries):
        s = first + (0.5 if tries == 1 else q / (tries - 1.0)) * (last - first)
        for k in range(int(parts[j, 10])):
            if slab_clear(F, X[src, 0] + s * U[e, 0], X[src, 1] + s * U[e, 1], X[src, 2] + s * U[e, 2], U, e,
                          clocks[j, k], parts[j, Q_LENGTH], parts[j, Q_HALF], parts[j, Q_SKIN] - 1.5 * EASED_MM, wide):
                return k, (s - low) / spare if spare > 1e-9 else 0.5
    return -1, 0.5


@njit(nogil=True)
def _floor(par):  # type: ignore[no-untyped-def]
    """Least that a bend costs whatever it turns, and least on top of that for each radian, cut corner and all."""
    S, B = par[4], par[5]
    each, owing = 1e18, 1e18
    for b in range(B.shape[0]):
        each = min(each, B[b, B_EACH])
        for k in range(1, 181):
            turn = B[b, B_MOST] * k / 180.0
            saved = S[PER_MM] * B[b, B_RADIUS] * (2.0 * math.tan(0.5 * turn) - turn)
            owing = min(owing, B[b, B_RAD] - saved / turn)
    if owing < 0.0:
        # cutting corners pays: count on the most it can
        for b in range(B.shape[0]):
            each = min(each, B[b, B_EACH] + owing * B[b, B_MOST])
        owing = 0.0
    return (0.0, 0.0) if each > 1e17 else (each, owing)


@njit(nogil=True, inline="always")
def _betters(G, stage, t, g):  # type: ignore[no-untyped-def]
    """Whether cost g is less than what state t has been come to at, if it has."""
    return stage[t] == UNSEEN or (stage[t] == OPEN and g < G[t] - 1e-9)


@njit(nogil=True)
def _useful(G, H, stage, f, mode, modes, g, owed, v, limit):  # type: ignore[no-untyped-def]
    """Whether coming to straight f at cost g betters anything that may still be worth it."""
    for to in range(mode, modes):
        t = f * modes + to
        if _betters(G, stage, t, g) and g + H[v, to] + owed <= limit:
            return True
    return False


@njit(nogil=True)
def search(F, par, X, what, A, most, worth):  # type: ignore[no-untyped-def]
    """Cheapest chains over directed straights; returns goals, parents, source and end of each straight, kinds, parts'
    clock numbers and places. Nothing dearer than ``worth`` is followed up."""
    d1, S, B, parts = par[3], par[4], par[5], par[6]
    skin = S[SKIN]
    m = X.shape[0]
    np_ = int(S[PARTS])
    modes = np_ + 1
    kinds = B.shape[0]
    first = np.zeros(m + 1, np.int64)
    for i in range(m):
        c = 0
        for j in range(m):
            if A[i, j]:
                c += 1
        first[i + 1] = first[i] + c
    E = first[m]
    src = np.empty(E, np.int32)
    dst = np.empty(E, np.int32)
    run = np.empty(E)
    U = np.empty((E, 3))
    c = 0
    for i in range(m):
        for j in range(m):
            if A[i, j]:
                src[c], dst[c] = i, j
                dx, dy, dz = X[j, 0] - X[i, 0], X[j, 1] - X[i, 1], X[j, 2] - X[i, 2]
                size = math.sqrt(dx * dx + dy * dy + dz * dz)
                run[c] = size
                U[c, 0], U[c, 1], U[c, 2] = dx / size, dy / size, dz / size
                c += 1
    wide = np.empty(3)
    fits = np.full((E, max(np_, 1)), -2, np.int8)
    share = np.empty((E, max(np_, 1)))  # read where a part has been laid, and written there first
    # cost to go from every place, by parts still to come: every further straight is come to by a bend
    each, owing = _floor(par)
    H = np.full((m, modes), 1e18)
    keys = np.empty(8 * E + 1000)
    items = np.empty(8 * E + 1000, np.int64)
    for mode in range(np_, -1, -1):
        n = 0
        if mode == np_:
            for i in range(m):
                if what[i] == END:
                    H[i, mode] = 0.0
                    n = put(keys, items, n, 0.0, i)
        elif parts[mode, Q_LOW] < -1e8:
            for i in range(m):
                H[i, mode] = H[i, mode + 1]
            continue
        else:
            for e in range(E):
                # by length and zone alone: whether it is clear there is asked of the few that the search comes to
                low, high = _stretch(par, X, U, e, src[e], run[e], mode)
                if high < low:
                    fits[e, mode] = -1
                    continue
                go = H[dst[e], mode + 1]
                j = mode + 1
                while j < np_ and fits[e, j] != -1:
                    go = min(go, H[dst[e], j + 1])
                    j += 1
                go += S[PER_MM] * run[e] + each
                if go < 1e17 and go < H[src[e], mode]:
                    H[src[e], mode] = go
            for i in range(m):
                if H[i, mode] < 1e17:
                    n = put(keys, items, n, H[i, mode], i)
        while n > 0:
            key, v, n = take(keys, items, n)
            if key > H[v, mode]:
                continue
            for j in range(m):
                if A[j, v]:
                    dx, dy, dz = X[j, 0] - X[v, 0], X[j, 1] - X[v, 1], X[j, 2] - X[v, 2]
                    go = key + S[PER_MM] * math.sqrt(dx * dx + dy * dy + dz * dz) + each
                    if go < H[j, mode] and n < keys.shape[0] - 1:
                        H[j, mode] = go
                        n = put(keys, items, n, go, j)
    states = E * modes
    # most states are never come to: what holds them is not written to before, so that it takes no memory until then
    G = np.empty(states)
    TU = np.empty(states)
    PA = np.empty(states, np.int32)
    KD = np.empty(states, np.int8)
    stage = np.zeros(states, np.int8)
    keys = np.empty(400000)
    items = np.empty(400000, np.int64)
    n = 0
    owed = np.empty(E)
    for e in range(E):
        dot = U[e, 0] * d1[0] + U[e, 1] * d1[1] + U[e, 2] * d1[2]
        turn = math.acos(min(1.0, max(-1.0, dot))) - S[CONE]
        owed[e] = owing * max(0.0, turn)
    for e in range(first[0], first[1]):
        s = e * modes
        G[s], TU[s], PA[s], stage[s] = S[PER_MM] * run[e], 0.0, -1, OPEN
        h = H[dst[e], 0]
        if h < 1e17:
            n = put(keys, items, n, G[s] + h + owed[e], s)
    goals = np.empty(MOST_GOALS, np.int64)
    reached = 0
    looked = 0
    limit = worth
    final = math.cos(min(math.pi, S[CONE] + 0.03))
    while n > 0 and reached < MOST_GOALS and looked < most:
        key, s, n = take(keys, items, n)
        if key > limit:
            break
        if stage[s] == CLOSED:
            continue
        stage[s] = CLOSED
        looked += 1
        e, mode = s // modes, s % modes
        v = dst[e]
        before = PA[s] % modes if PA[s] >= 0 else 0
        need = S[LEAST]
        if what[src[e]] == OUTLET:
            need = S[FIRST]
        if mode > before:
            need = 0.0
            for j in range(before, mode):
                need += parts[j, Q_LENGTH] + 2.0 * parts[j, Q_ROOM]
            need = max(need, S[LEAST])
        spare = run[e] - TU[s] - need + EASED_ROOM_MM
        if spare < 0.0:
            continue
        if what[v] == END:
            if mode == np_ and U[e, 0] * d1[0] + U[e, 1] * d1[1] + U[e, 2] * d1[2] >= final:
                if reached == 0:
                    limit = min(limit, WORTH_A_LOOK * key)
                goals[reached] = s
                reached += 1
            continue
        for f in range(first[v], first[v + 1]):
            cth = U[e, 0] * U[f, 0] + U[e, 1] * U[f, 1] + U[e, 2] * U[f, 2]
            if cth < -0.95:
                continue
            # is it any use, were the bend the cheapest there is?
            if not _useful(G, H, stage, f, mode, modes, G[s] + S[PER_MM] * run[f] + each, owed[f], dst[f], limit):
                continue
            half = math.sqrt(max(0.0, (1.0 - cth) / (1.0 + cth)))
            turn = -1.0
            best = 1e18
            which = -1
            for b in range(kinds):
                cut = B[b, B_RADIUS] * half
                if cut > spare or cut > run[f] - S[LEAST] + EASED_ROOM_MM:
                    continue
                if turn < 0.0:
                    turn = 2.0 * math.atan(half)
                if turn > B[b, B_MOST]:
                    continue
                price = S[PER_MM] * (B[b, B_RADIUS] * turn - 2.0 * cut) + B[b, B_RAD] * turn + B[b, B_EACH]
                if price < best:
                    best, which = price, b
            if which < 0:
                continue
            g = G[s] + S[PER_MM] * run[f] + best
            if not _useful(G, H, stage, f, mode, modes, g, owed[f], dst[f], limit):
                continue
            if turn > 0.3:
                d = B[which, B_RADIUS] * (1.0 / math.cos(0.5 * turn) - 1.0)
                bx, by, bz = U[f, 0] - U[e, 0], U[f, 1] - U[e, 1], U[f, 2] - U[e, 2]
                size = math.sqrt(bx * bx + by * by + bz * bz)
                d /= size
                if value(F, X[v, 0] + d * bx, X[v, 1] + d * by, X[v, 2] + d * bz) < skin - EASED_MM:
                    continue
            to = mode
            while True:
                h = H[dst[f], to]
                t = f * modes + to
                if _betters(G, stage, t, g) and g + h + owed[f] <= limit:
                    G[t], stage[t] = g, OPEN
                    TU[t] = B[which, B_RADIUS] * half
                    PA[t] = s
                    KD[t] = which
                    if n < keys.shape[0] - 2:
                        n = put(keys, items, n, g + h + owed[f], t)
                if to >= np_:
                    break
                if fits[f, to] == -2:
                    k, at = _part_on(F, par, X, U, f, src[f], run[f], to, wide)
                    fits[f, to], share[f, to] = k, at
                if fits[f, to] < 0:
                    break
                to += 1
    return goals[:reached].copy(), PA, KD, src, dst, fits, share, looked


@njit(nogil=True)
def explore(par, F0, F1, seed, count, tries, pad, give_up):  # type: ignore[no-untyped-def]
    """One roadmap of ``count`` places, and the up to ``tries`` unlike chains it yields, settled; those that hold."""
    np.random.seed(seed)
    S = par[4]
    np_ = int(S[PARTS])
    modes = np_ + 1
    found = np.empty((16, WIDTH))
    kept = 0
    X, what, pairs = places(F0, par, count)
    A = joined(F0, X, what, pairs, S[SKIN])
    goals, PA, KD, src, dst, fits, share, _looked = search(F0, par, X, what, A, 120000, min(SHRINKS * give_up, 1e16))
    shapes = np.empty((tries, 40, 3))
    taken = 0
    best = give_up
    chain = np.empty(64, np.int64)
    for q in range(goals.shape[0]):
        if taken >= tries:
            break
        # from the goal back to the outlet
        m = 0
        s = goals[q]
        while s >= 0 and m < 64:
            chain[m] = s
            m += 1
            s = PA[s]
        n = m - 1
        if n < 1 or n > MOST_BENDS or m >= 64:
            continue
        points = np.empty((n + 2, 3))
        points[0] = X[src[chain[m - 1] // modes]]
        for i in range(m):
            points[i + 1] = X[dst[chain[m - 1 - i] // modes]]
        # unlike those before?
        whole = 0.0
        for i in range(n + 1):
            d = points[i + 1] - points[i]
            whole += math.sqrt((d * d).sum())
        leg_at, gone = 0, 0.0
        d = points[1] - points[0]
        leg_run = math.sqrt((d * d).sum())
        for k in range(40):
            want = whole * k / 39.0
            while leg_at < n and gone + leg_run < want:
                gone += leg_run
                leg_at += 1
                d = points[leg_at + 1] - points[leg_at]
                leg_run = math.sqrt((d * d).sum())
            t = min(1.0, (want - gone) / max(leg_run, 1e-9))
            for c in range(3):
                shapes[taken, k, c] = points[leg_at, c] + t * (points[leg_at + 1, c] - points[leg_at, c])
        unlike = True
        for other in range(taken):
            far = 0.0
            for k in range(40):
                for c in range(3):
                    far = max(far, abs(shapes[taken, k, c] - shapes[other, k, c]))
            if far < APART_MM:
                unlike = False
                break
        if not unlike:
            continue
        taken += 1
        x = np.empty(1 + 3 * n + np_)
        kind = np.zeros(MOST_BENDS, np.int64)
        leg = np.zeros(MOST_PARTS, np.int64)
        clock = np.zeros(MOST_PARTS)
        d = points[1] - points[0]
        x[0] = math.sqrt((d * d).sum())
        for i in range(2, n + 2):
            for c in range(3):
                x[1 + 3 * (i - 2) + c] = points[i, c]
        mode = 0
        for i in range(m):
            s = chain[m - 1 - i]
            if i > 0:
                kind[i - 1] = KD[s]
            e, to = s // modes, s % modes
            for j in range(mode, to):
                leg[j] = i
                clock[j] = par[7][j, max(fits[e, j], 0)]
                x[1 + 3 * n + j] = min(1.0, max(0.0, share[e, j]))
                if j > mode:
                    x[1 + 3 * n + j] = max(x[1 + 3 * n + j], x[1 + 3 * n + j - 1])
            mode = to
        kept, made = try_out(x, n, kind, leg, clock, par, F0, F1, pad, 45, min(give_up, ALSO_KEPT * best), taken % 2,
                             2, found, kept)
        if made < best:
            best = made
        if kept > 0 and give_up >= INFEASIBLE:
            break  # nothing was known before: what has been found is told at once
    return found[:kept].copy()


@njit(nogil=True)
def strike(par, F0, F1, seed, most, tries, pad, give_up):  # type: ignore[no-untyped-def]
    """Chains of one to ``most`` bends drawn at random, without a roadmap: of many draws the one whose penalty is least
    is settled, ``tries`` times; returns those that hold.

    With so few bends there is little to draw, and a way that needs long straights through narrow places is seldom met
    by places drawn for a roadmap.
    """
    np.random.seed(seed)
    P0, d0, box, d1, S, B, bounds = par[0], par[1], par[2], par[3], par[4], par[5], par[8]
    np_ = int(S[PARTS])
    found = np.empty((16, WIDTH))
    kept = 0
    kinds = B.shape[0]
    if kinds == 0:
        return found[:0].copy()
    limit = S[SKIN] - EASED_MM
    far = 60.0
    while far < LONGEST_MM and value(F0, P0[0] + far * d0[0], P0[1] + far * d0[1], P0[2] + far * d0[2]) >= limit:
        far += 20.0
    out = np.empty(8)
    end, u, last, before, p = np.empty(3), np.empty(3), np.empty(3), np.empty(3), np.empty(3)
    best = give_up
    for _ in range(tries):
        n = 1 + np.random.randint(most) if np.random.random() < 0.3 else max(1, most - np.random.randint(2))
        w = workspace(n)
        x = np.empty(1 + 3 * n + np_)
        bx = np.empty(1 + 3 * n + np_)
        kind = np.zeros(MOST_BENDS, np.int64)
        leg, clock = np.zeros(MOST_PARTS, np.int64), np.zeros(MOST_PARTS)
        bleg, bclock = leg.copy(), clock.copy()
        for k in range(np_):
            clock[k] = par[7][k, np.random.randint(int(par[6][k, 10]))]
        least = 1e18
        redrawn = REDRAWN if np.random.random() < 0.5 else 1
        for _draw in range(STRIKES):
            x[0] = S[FIRST] + 20.0 + np.random.random() * max(far - S[FIRST], 40.0)
            for c in range(3):
                before[c] = P0[c] + x[0] * d0[c]
            for _try in range(redrawn):
                for c in range(3):
                    end[c] = box[0, c] + np.random.random() * (box[1, c] - box[0, c])
                _direction(d1, 0.6 * math.tan(min(S[CONE], 1.2)), u)
                back = S[LEAST] + 50.0 + np.random.random() * 1500.0
                for c in range(3):
                    last[c] = end[c] - back * u[c]
                if n == 1 or straight_clear(F0, last, end, limit, LOOSE_MM):
                    break
            for c in range(3):
                x[1 + 3 * (n - 1) + c] = end[c]
                if n >= 2:
                    x[1 + 3 * (n - 2) + c] = last[c]
            for i in range(n - 2):
                run = 0.0
                for c in range(3):
                    run += (last[c] - before[c]) ** 2
                run = math.sqrt(run)
                for _try in range(redrawn):
                    # on the way to the last corner, or anywhere
                    t = (0.1 + 0.8 * np.random.random()) / (n - 2 - i)
                    wild = np.random.random() < 0.3
                    for c in range(3):
                        if wild:
                            p[c] = bounds[0, c] + np.random.random() * (bounds[1, c] - bounds[0, c])
                        else:
                            p[c] = before[c] + t * (last[c] - before[c]) + 0.2 * run * np.random.randn()
                    if value(F0, p[0], p[1], p[2]) >= limit and straight_clear(F0, before, p, limit, LOOSE_MM):
                        break
                for c in range(3):
                    x[1 + 3 * i + c] = before[c] = p[c]
            lay(x, n, kind, leg, clock, par, w)
            f = penalty(x, n, kind, leg, clock, par, F0, F1, 40.0, pad, 0.0, 0.02, w, out)
            if f < least:
                least = f
                bx[:] = x
                bleg[:], bclock[:] = leg, clock
        kept, made = try_out(bx, n, kind, bleg, bclock, par, F0, F1, pad, 45, best, 1 + np.random.randint(2), 2,
                             found, kept)
        if made < best:
            best = made
    return found[:kept].copy()


@njit(nogil=True)
def straight_out(par, F0, F1, pad):  # type: ignore[no-untyped-def]
    """The route without a bend, when the outlet's axis meets the exit."""
    S = par[4]
    np_ = int(S[PARTS])
    P0, d0, box = par[0], par[1], par[2]
    found = np.empty((1, WIDTH))
    x = np.empty(1 + np_)
    x[0] = 0.0
    for c in range(3):
        x[0] += (0.5 * (box[0, c] + box[1, c]) - P0[c]) * d0[c]
    for k in range(np_):
        x[1 + k] = (k + 0.5) / np_
    kind = np.zeros(MOST_BENDS, np.int64)
    leg = np.zeros(MOST_PARTS, np.int64)
    clock = np.zeros(MOST_PARTS)
    for k in range(np_):
        clock[k] = par[7][k, 0]
    w = workspace(0)
    out = np.empty(8)
    if x[0] > 0.0 and settle(x, 0, kind, leg, clock, par, F0, F1, pad, 40, INFEASIBLE, 0, w, out):
        pack(x, 0, kind, leg, clock, out, found[0])
        return found
    return found[:0].copy()
