"""Candidates made better: descent on the penalty, corners dropped, corners moved about, bends exchanged.

Everything here is compiled and works on packed candidates (see ``pipe``), one call doing many tries, so that several
workers truly run side by side.
"""

import math

import numpy as np
from numba import njit

from trialfit.routing.field import value
from trialfit.routing.pipe import (
    AT_CLOCK,
    AT_KIND,
    AT_LEG,
    AT_U,
    AT_X,
    MOST_BENDS,
    MOST_PARTS,
    PARTS,
    Q_HIGH,
    Q_LENGTH,
    Q_LOW,
    Q_ROOM,
    SKIN,
    WIDTH,
    measure,
    penalty,
    shape_of,
    slopes,
    workspace,
)

MEMORY = 8
FINE_MM = 5.0
"""Spacing at which a candidate is held to be clear (the certificate decides) [mm]."""
HOPELESS_MM = 8.0
"""Still broken by more than this at a penalty that leaves a good chain broken by less than a mm: no use to go on."""
INFEASIBLE = 1e17
EASED_MM = 8.0
"""How much too near a straight may be to be tried."""
LOOSE_MM = 25.0
"""Least step along a straight that is only looked at to draw better."""
NEEDLESS_RAD = math.radians(6.0)
"""A bend that a slack chain turns by less is left out before it is settled [rad]."""
REDRAWN = 6
"""Times that a corner in the way of something is drawn anew."""
DRAWS = 16
"""Ways of laying a stretch anew that are weighed before one is settled."""
LAID = 9
"""Places looked at on every leg for a part."""
NEAR_ZONE_MM = 60.0


@njit(nogil=True)
def descend(x, n, kind, leg, clock, par, F0, F1, step, pad, room, mu, most, give_up, w, out):  # type: ignore[no-untyped-def]
    """Limited-memory quasi-Newton descent on the penalty; stops once it can be seen that it stays above ``give_up``.

    Source: J. Nocedal and S. Wright, Numerical Optimization, 2nd ed., algorithm 7.4 (from memory).
    """
    d = x.shape[0]
    parts_from = 1 + 3 * n
    S = np.zeros((MEMORY, d))
    Y = np.zeros((MEMORY, d))
    rho = np.zeros(MEMORY)
    alpha = np.zeros(MEMORY)
    g = np.empty(d)
    gn = np.empty(d)
    q = np.empty(d)
    xn = np.empty(d)
    unit = np.ones(d)  # a part's share of its leg counts in hundreds of mm
    for i in range(parts_from, d):
        unit[i] = 1.0 / 300.0
    still = 3e-5 if step > 10.0 else 1e-6  # a rough look need not be settled to the last
    k = 0
    f = slopes(x, n, kind, leg, clock, par, F0, F1, step, pad, room, mu, w, out, g)
    for it in range(most):
        kept = min(k, MEMORY)
        for i in range(d):
            q[i] = g[i]
        for a in range(kept):
            j = (k - 1 - a) % MEMORY
            total = 0.0
            for i in range(d):
                total += S[j, i] * q[i]
            alpha[j] = rho[j] * total
            for i in range(d):
                q[i] -= alpha[j] * Y[j, i]
        if kept > 0:
            j = (k - 1) % MEMORY
            yy = 0.0
            for i in range(d):
                yy += Y[j, i] * Y[j, i]
            scale = 1.0 / (rho[j] * yy)
            for i in range(d):
                q[i] *= scale
        else:
            size = 0.0
            for i in range(d):
                q[i] *= unit[i] * unit[i]
                size += (q[i] / unit[i]) ** 2
            scale = 10.0 / max(1e-12, math.sqrt(size))
            for i in range(d):
                q[i] *= scale
        for a in range(kept - 1, -1, -1):
            j = (k - 1 - a) % MEMORY
            total = 0.0
            for i in range(d):
                total += Y[j, i] * q[i]
            for i in range(d):
                q[i] += S[j, i] * (alpha[j] - rho[j] * total)
        fall = 0.0
        for i in range(d):
            fall -= q[i] * g[i]
        if fall >= 0.0:
            k = 0
            fall = 0.0
            for i in range(d):
                q[i] = g[i] * unit[i] * unit[i]
                fall -= q[i] * g[i]
        reach = 0.0
        for i in range(d):
            reach = max(reach, abs(q[i]) / unit[i])
        stride = min(1.0, 60.0 / max(reach, 1e-12))
        found = False
        fn = f
        for _ in range(12):
            for i in range(d):
                xn[i] = x[i] - stride * q[i]
            fn = penalty(xn, n, kind, leg, clock, par, F0, F1, step, pad, room, mu, w, out)
            if fn <= f + 1e-4 * stride * fall:
                found = True
                break
            stride *= 0.4
        if not found:
            if k == 0:
                break
            k = 0
            continue
        fn = slopes(xn, n, kind, leg, clock, par, F0, F1, step, pad, room, mu, w, out, gn)
        j = k % MEMORY
        sy = 0.0
        for i in range(d):
            S[j, i] = xn[i] - x[i]
            Y[j, i] = gn[i] - g[i]
            sy += S[j, i] * Y[j, i]
        if sy > 1e-10:
            rho[j] = 1.0 / sy
            k += 1
        won = f - fn
        for i in range(d):
            x[i] = xn[i]
            g[i] = gn[i]
        f = fn
        if won < still * max(1.0, abs(f)):
            break
        if it > 12 and f - 30.0 * won > give_up:
            break
    return f


@njit(nogil=True)
def settle(x, n, kind, leg, clock, par, F0, F1, pad, most, give_up, firm, w, out):  # type: ignore[no-untyped-def]
    """Take a rough chain to a buildable, clear one if there is one near; True when every rule holds.

    The penalty of a broken rule rises in four steps, of which the first ``firm`` are left out: a chain that is let go
    slack first finds the short way, one that is held firm stays on the side it is on. The penalty's least value can
    only rise with it, so a try whose value is past ``give_up`` is left at once.
    """
    if firm < 1:
        descend(x, n, kind, leg, clock, par, F0, F1, 30.0, pad, 0.0, 1e-4, most // 2, INFEASIBLE, w, out)
    if firm < 2:
        f = descend(x, n, kind, leg, clock, par, F0, F1, 30.0, pad, 0.0, 2e-3, most, INFEASIBLE, w, out)
        if f > give_up:
            return False
    f = descend(x, n, kind, leg, clock, par, F0, F1, 16.0, pad + 0.05, 0.0, 0.08, most, give_up, w, out)
    if f > give_up or out[3] > HOPELESS_MM:
        return False
    descend(x, n, kind, leg, clock, par, F0, F1, 8.0, pad + 0.1, 0.1, 1.5, most, INFEASIBLE, w, out)
    measure(x, n, kind, leg, clock, par, F0, F1, FINE_MM, pad, 0.0, w, out)
    if out[3] > 0.0 and out[3] < 2.0:
        # a little short: harder once more
        descend(x, n, kind, leg, clock, par, F0, F1, FINE_MM, pad + 0.1, 0.1, 30.0, most, INFEASIBLE, w, out)
        measure(x, n, kind, leg, clock, par, F0, F1, FINE_MM, pad, 0.0, w, out)
    return out[3] <= 0.0


@njit(nogil=True)
def straight_clear(F, a, b, skin, least):  # type: ignore[no-untyped-def]
    """Whether the centre line from a to b keeps ``skin`` everywhere, stepping by what is free, at least ``least``."""
    dx, dy, dz = b[0] - a[0], b[1] - a[1], b[2] - a[2]
    run = math.sqrt(dx * dx + dy * dy + dz * dz)
    if run < 1e-9:
        return value(F, a[0], a[1], a[2]) >= skin
    dx, dy, dz = dx / run, dy / run, dz / run
    s = 0.0
    while True:
        f = value(F, a[0] + s * dx, a[1] + s * dy, a[2] + s * dz) - skin
        if f < 0.0:
            return False
        if s >= run:
            return True
        s = min(run, s + max(f, least))


@njit(nogil=True)
def pack(x, n, kind, leg, clock, out, row):  # type: ignore[no-untyped-def]
    """Write a measured candidate into a packed row."""
    row[:] = 0.0
    row[0], row[1], row[2], row[3], row[4], row[5] = n, out[0], out[3], out[4], out[5], out[6]
    for i in range(1 + 3 * n):
        row[AT_X + i] = x[i]
    for k in range(x.shape[0] - 1 - 3 * n):
        row[AT_U + k] = x[1 + 3 * n + k]
        row[AT_LEG + k] = leg[k]
        row[AT_CLOCK + k] = clock[k]
    for i in range(n):
        row[AT_KIND + i] = kind[i]


@njit(nogil=True)
def unpack(row, parts):  # type: ignore[no-untyped-def]
    """Unknowns, bends, kind, leg, clock of a packed row."""
    n = int(row[0])
    x = np.empty(1 + 3 * n + parts)
    for i in range(1 + 3 * n):
        x[i] = row[AT_X + i]
    kind = np.zeros(MOST_BENDS, np.int64)
    leg = np.zeros(MOST_PARTS, np.int64)
    clock = np.zeros(MOST_PARTS)
    for k in range(parts):
        x[1 + 3 * n + k] = row[AT_U + k]
        leg[k] = int(row[AT_LEG + k])
        clock[k] = row[AT_CLOCK + k]
    for i in range(n):
        kind[i] = int(row[AT_KIND + i])
    return x, n, kind, leg, clock


@njit(nogil=True)
def without_corner(x, n, kind, leg, clock, j, P0, d0, parts):  # type: ignore[no-untyped-def]
    """The chain without corner j (1 to n); n is one less. Parts of the two legs that meet there share the new one."""
    y = np.empty(1 + 3 * (n - 1) + parts)
    kind2 = np.zeros(MOST_BENDS, np.int64)
    leg2 = leg.copy()
    if j == 1:
        if n >= 2:
            along = 0.0
            for c in range(3):
                along += (x[1 + c] - P0[c]) * d0[c]
            y[0] = max(20.0, along)
        else:
            y[0] = x[0]
        for i in range(3 * (n - 1)):
            y[1 + i] = x[1 + 3 + i]
    else:
        y[0] = x[0]
        at = 1
        for i in range(2, n + 2):
            if i == j:
                continue
            for c in range(3):
                y[at] = x[1 + 3 * (i - 2) + c]
                at += 1
    at = 0
    for i in range(n):
        if i != j - 1:
            kind2[at] = kind[i]
            at += 1
    for k in range(parts):
        y[1 + 3 * (n - 1) + k] = x[1 + 3 * n + k]
        if leg2[k] >= j:
            leg2[k] -= 1
    for k in range(1, parts):
        if leg2[k] == leg2[k - 1] and y[1 + 3 * (n - 1) + k] < y[1 + 3 * (n - 1) + k - 1]:
            y[1 + 3 * (n - 1) + k] = y[1 + 3 * (n - 1) + k - 1]
    return y, kind2, leg2


@njit(nogil=True)
def with_corner(x, n, kind, leg, clock, j, px, py, pz, parts, after):  # type: ignore[no-untyped-def]
    """The chain with a corner more on leg j (1 to n) at a point; a part of that leg goes on to the half ``after``."""
    y = np.empty(1 + 3 * (n + 1) + parts)
    kind2 = np.zeros(MOST_BENDS, np.int64)
    leg2 = leg.copy()
    y[0] = x[0]
    at = 1
    for i in range(2, n + 3):
        if i == j + 1:
            y[at], y[at + 1], y[at + 2] = px, py, pz
        else:
            old = i if i <= j else i - 1
            for c in range(3):
                y[at + c] = x[1 + 3 * (old - 2) + c]
        at += 3
    for i in range(n + 1):
        kind2[i] = kind[i] if i < j else kind[max(i - 1, 0)]
    for k in range(parts):
        y[1 + 3 * (n + 1) + k] = x[1 + 3 * n + k]
        if leg2[k] > j or (leg2[k] == j and after):
            leg2[k] += 1
    return y, kind2, leg2


@njit(nogil=True)
def keep(found, count, row):  # type: ignore[no-untyped-def]
    """Put a candidate among those found, the dearest falling out when there is no room; returns the count."""
    if count < found.shape[0]:
        found[count] = row
        return count + 1
    dearest = 0
    for k in range(1, count):
        if found[k, 1] > found[dearest, 1]:
            dearest = k
    if row[1] < found[dearest, 1]:
        found[dearest] = row
    return count


@njit(nogil=True)
def try_out(x, n, kind, leg, clock, par, F0, F1, pad, most, give_up, firm, drops, found, count):  # type: ignore[no-untyped-def]
    """Settle a chain; when it holds, keep it and try it again with one of its ``drops`` smallest bends left out.
    Returns the count kept and the cost of the best."""
    w = workspace(n)
    out = np.empty(8)
    row = np.empty(WIDTH)
    parts = int(par[4][PARTS])
    P0, d0 = par[0], par[1]
    best = INFEASIBLE
    if firm == 0:
        # let go slack, it shows which of its bends it does not need
        descend(x, n, kind, leg, clock, par, F0, F1, 30.0, pad, 0.0, 1e-4, most // 2, INFEASIBLE, w, out)
        firm = 1
        shape_of(x, n, kind, par, w)
        while n > 1:
            j = 1 + int(np.argmin(w[4][1 : n + 1]))
            if w[4][j] > NEEDLESS_RAD:
                break
            x, kind, leg = without_corner(x, n, kind, leg, clock, j, P0, d0, parts)
            n -= 1
            w = workspace(n)
            shape_of(x, n, kind, par, w)
    if not settle(x, n, kind, leg, clock, par, F0, F1, pad, most, give_up, firm, w, out):
        return count, best
    best = out[0]
    pack(x, n, kind, leg, clock, out, row)
    count = keep(found, count, row)
    while n >= 1 and drops > 0:
        shape_of(x, n, kind, par, w)
        turns = w[4][1 : n + 1].copy()
        better = False
        order = np.argsort(turns)
        for a in range(min(drops, n)):
            j = int(order[a]) + 1
            if turns[j - 1] > 0.7:
                break
            y, kind2, leg2 = without_corner(x, n, kind, leg, clock, j, P0, d0, parts)
            w2 = workspace(n - 1)
            if settle(y, n - 1, kind2, leg2, clock, par, F0, F1, pad, most, min(give_up, best), 0, w2, out):
                pack(y, n - 1, kind2, leg2, clock, out, row)
                count = keep(found, count, row)
                if out[0] < best:
                    best = out[0]
                    x, kind, leg = y, kind2, leg2
                    n -= 1
                    better = True
                    break
        if not better:
            break
        w = workspace(n)
    return count, best


@njit(nogil=True)
def lay(x, n, kind, leg, clock, par, w):  # type: ignore[no-untyped-def]
    """Put every part anew, at random among the places of the chain that lie in its zone or near it, in their order.

    A part that no leg comes near goes where the chain is nearest to its zone: the descent pulls the rest.
    """
    shape_of(x, n, kind, par, w)
    V, L, T = w[0], w[2], w[3]
    parts = par[6]
    np_ = int(par[4][PARTS])
    share = np.empty(MOST_PARTS)
    before, last = 0, 0.0
    for k in range(np_):
        anywhere = parts[k, Q_LOW] < -1e8
        seen, chosen, at = 0, before, last
        nearest = 1e18
        for i in range(before, n + 1):
            spare = L[i] - T[i] - T[i + 1] - parts[k, Q_LENGTH] - 2.0 * parts[k, Q_ROOM]
            for q in range(LAID):
                t = (q + 0.5) / LAID
                if i == before and t < last:
                    continue
                far = max(0.0, -spare)
                if not anywhere:
                    away = 0.0
                    for c in range(3):
                        p = V[i, c] + t * (V[i + 1, c] - V[i, c])
                        d = max(parts[k, Q_LOW + c] - p, p - parts[k, Q_HIGH + c])
                        if d > 0.0:
                            away += d * d
                    far += math.sqrt(away)
                if far < NEAR_ZONE_MM:
                    # each of those near is as likely as the other
                    seen += 1
                    if np.random.random() * seen < 1.0:
                        chosen, at = i, t
                elif seen == 0 and far < nearest:
                    nearest = far
                    chosen, at = i, t
        leg[k] = chosen
        share[k] = at
        before, last = chosen, at
        options = int(parts[k, 10])
        if options > 1 and np.random.random() < 0.5:
            clock[k] = par[7][k, np.random.randint(options)]
    # where along the chain, as shares of what the parts leave free of their legs
    k = 0
    while k < np_:
        i = leg[k]
        taken, first = 0.0, k
        while k < np_ and leg[k] == i:
            taken += parts[k, Q_LENGTH] + 2.0 * parts[k, Q_ROOM]
            k += 1
        over = max(L[i] - T[i] - T[i + 1] - taken, 1.0)
        gone, least = T[i], 0.0
        for j in range(first, k):
            half = 0.5 * parts[j, Q_LENGTH] + parts[j, Q_ROOM]
            u = (share[j] * L[i] - gone - half) / over
            least = min(1.0, max(u, least))
            x[1 + 3 * n + j] = least
            gone += 2.0 * half


@njit(nogil=True)
def _shaken(x, n, size, share):  # type: ignore[no-untyped-def]
    """Corners and end moved about at random, each with the chance ``share``."""
    if np.random.random() < share:
        x[0] = max(10.0, x[0] + size * np.random.randn())
    for i in range(n):
        if np.random.random() < share:
            for c in range(3):
                x[1 + 3 * i + c] += size * np.random.randn()


@njit(nogil=True)
def _relaid(x, n, kind, leg, clock, par, F0, F1, pad):  # type: ignore[no-untyped-def]
    """A stretch of one to three corners taken out and another put in with fewer of them or as many, the parts laid
    anew; of some such draws the one whose penalty is least."""
    parts = int(par[4][PARTS])
    gone = 1 + min(int(-math.log(1.0 - np.random.random()) * 1.0), 2, n - 1)
    at = 1 + np.random.randint(n - gone + 1)
    back = gone - 1 if np.random.random() < 0.7 else gone
    if np.random.random() < 0.35:
        back = 0
    for _ in range(gone):
        x, kind, leg = without_corner(x, n, kind, leg, clock, at, par[0], par[1], parts)
        n -= 1
    if n == 0:
        back = 0
    on = min(max(at - 1, 1), max(n, 1))
    move = np.random.random() < 0.8
    best = INFEASIBLE
    out = np.empty(8)
    w = workspace(n + back)
    bx, bkind, bleg, bclock = x, kind, leg, clock
    sizes = np.array([0.0, 30.0, 100.0, 200.0])
    skin = par[4][SKIN] - EASED_MM
    for _ in range(DRAWS):
        y, m, kind2, leg2, clock2 = x.copy(), n, kind.copy(), leg.copy(), clock.copy()
        _shaken(y, m, sizes[np.random.randint(4)], 0.7)
        if np.random.random() < 0.3:
            y[0] = max(10.0, y[0] * math.exp(0.8 * np.random.randn()))
        for b in range(back):
            w0 = workspace(m)
            shape_of(y, m, kind2, par, w0)
            j = on + b
            t = 0.1 + 0.8 * np.random.random() if back == 1 else (0.15 + 0.6 * np.random.random()) / (back - b)
            aside = 0.25 * w0[2][j]
            px = py = pz = 0.0
            for _try in range(REDRAWN):
                px = w0[0][j, 0] + t * (w0[0][j + 1, 0] - w0[0][j, 0]) + aside * np.random.randn()
                py = w0[0][j, 1] + t * (w0[0][j + 1, 1] - w0[0][j, 1]) + aside * np.random.randn()
                pz = w0[0][j, 2] + t * (w0[0][j + 1, 2] - w0[0][j, 2]) + aside * np.random.randn()
                if value(F0, px, py, pz) >= skin:
                    break
            y, kind2, leg2 = with_corner(y, m, kind2, leg2, clock2, j, px, py, pz, parts, np.random.random() < 0.5)
            m += 1
        for k in range(parts):
            leg2[k] = min(leg2[k], m)
        if parts > 0 and move:
            lay(y, m, kind2, leg2, clock2, par, w)
        f = penalty(y, m, kind2, leg2, clock2, par, F0, F1, 30.0, pad, 0.0, 0.02, w, out)
        if f < best:
            best = f
            bx, bkind, bleg, bclock = y, kind2, leg2, clock2
    return bx, n + back, bkind, bleg, bclock


@njit(nogil=True)
def improve(seeds, par, F0, F1, seed, tries, pad, give_up):  # type: ignore[no-untyped-def]
    """Change candidates at random and settle them again, ``tries`` times; returns those that hold.

    A stretch is laid anew with fewer corners; a corner is dropped, put in, or all or some are moved about; parts go to
    other legs or turn; a bend is made of another kind.
    """
    np.random.seed(seed)
    parts = int(par[4][PARTS])
    found = np.empty((16, WIDTH))
    count = 0
    kinds = par[5].shape[0]
    best = give_up
    for _ in range(tries):
        pick = min(int(-math.log(1.0 - np.random.random()) * 1.2), seeds.shape[0] - 1)
        x, n, kind, leg, clock = unpack(seeds[pick], parts)
        roll = np.random.random()
        firm = np.random.randint(3)
        drops = 2
        if roll < 0.5 and n >= 2:
            x, n, kind, leg, clock = _relaid(x, n, kind, leg, clock, par, F0, F1, pad)
            firm = 1 + np.random.randint(2)
        elif roll < 0.6 and n >= 2:
            j = 1 + np.random.randint(n)
            x, kind, leg = without_corner(x, n, kind, leg, clock, j, par[0], par[1], parts)
            n -= 1
        elif roll < 0.7 and 1 <= n < MOST_BENDS - 1:
            w = workspace(n)
            shape_of(x, n, kind, par, w)
            j = 1 + np.random.randint(n)
            t = 0.3 + 0.4 * np.random.random()
            px = w[0][j, 0] + t * (w[0][j + 1, 0] - w[0][j, 0]) + 40.0 * np.random.randn()
            py = w[0][j, 1] + t * (w[0][j + 1, 1] - w[0][j, 1]) + 40.0 * np.random.randn()
            pz = w[0][j, 2] + t * (w[0][j + 1, 2] - w[0][j, 2]) + 40.0 * np.random.randn()
            x, kind, leg = with_corner(x, n, kind, leg, clock, j, px, py, pz, parts, np.random.random() < 0.5)
            n += 1
        else:
            # it is near what was looked at before: seldom worth asking again which of its bends can go
            drops = 2 if np.random.random() < 0.2 else 0
            sizes = np.array([8.0, 25.0, 80.0, 160.0])
            _shaken(x, n, sizes[np.random.randint(4)], 1.0 if np.random.random() < 0.4 else 0.3)
            if kinds > 1 and n > 0 and np.random.random() < 0.3:
                kind[np.random.randint(n)] = np.random.randint(kinds)
            if parts > 0 and np.random.random() < 0.3:
                lay(x, n, kind, leg, clock, par, workspace(n))
        for k in range(parts):
            leg[k] = min(leg[k], n)
        count, made = try_out(x, n, kind, leg, clock, par, F0, F1, pad, 45, best + 1e-9, firm, drops,
                              found, count)
        if made < best:
            best = made
    return found[:count].copy()


@njit(nogil=True)
def tighten(rows, par, F0, F1, pad):  # type: ignore[no-untyped-def]
    """Each packed candidate drawn as close to what its rules allow as it goes; never dearer than it was."""
    parts = int(par[4][PARTS])
    out = np.empty(8)
    done = rows.copy()
    for k in range(rows.shape[0]):
        for extra, mu, step in ((0.05, 6.0, FINE_MM), (0.02, 40.0, FINE_MM), (0.01, 200.0, 3.0)):
            x, n, kind, leg, clock = unpack(done[k], parts)
            w = workspace(n)
            descend(x, n, kind, leg, clock, par, F0, F1, step, pad + extra, extra, mu, 80, INFEASIBLE, w, out)
            measure(x, n, kind, leg, clock, par, F0, F1, 3.0, pad, 0.0, w, out)
            if out[3] <= 0.0 and (out[0] < done[k, 1] or done[k, 2] > 0.0):
                pack(x, n, kind, leg, clock, out, done[k])
            elif done[k, 2] <= 0.0:
                # held before on a coarser look: is it still?
                x, n, kind, leg, clock = unpack(done[k], parts)
                measure(x, n, kind, leg, clock, par, F0, F1, 3.0, pad, 0.0, w, out)
                pack(x, n, kind, leg, clock, out, done[k])
    return done


@njit(nogil=True)
def look(rows, par, F0, F1, pad):  # type: ignore[no-untyped-def]
    """Packed candidates measured afresh."""
    parts = int(par[4][PARTS])
    out = np.empty(8)
    done = rows.copy()
    for k in range(rows.shape[0]):
        x, n, kind, leg, clock = unpack(rows[k], parts)
        measure(x, n, kind, leg, clock, par, F0, F1, FINE_MM, pad, 0.0, workspace(n), out)
        pack(x, n, kind, leg, clock, out, done[k])
    return done


@njit(nogil=True)
def settle_chain(rows, par, F0, F1, pad):  # type: ignore[no-untyped-def]
    """Rough packed chains settled, each tried with its smallest bends left out too; those that hold."""
    parts = int(par[4][PARTS])
    found = np.empty((32, WIDTH))
    count = 0
    for k in range(rows.shape[0]):
        x, n, kind, leg, clock = unpack(rows[k], parts)
        count, _best = try_out(x, n, kind, leg, clock, par, F0, F1, pad, 45, INFEASIBLE, 0, 2, found, count)
    return found[:count].copy()
