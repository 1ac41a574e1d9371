"""Which readings do not belong: one after the other, the worst first, each looked at again once the others are out."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trialfit.estimation import LOCAL_LIMIT, Adjustment, Underdetermined, assess, descend, normal_limit
from trialfit.survey.equations import Equations

Floats = NDArray[np.float64]
Marks = NDArray[np.bool_]

_ALIKE = 9.0
"""Two readings are not told apart when the misfit drops by amounts this near each other [-]."""
_GROSS = 8.0


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """Readings of which one is wrong; ``off`` and ``off_sd`` for each, were it the one; ``w`` its test."""

    rows: tuple[int, ...]
    off: tuple[float, ...]
    off_sd: tuple[float, ...]
    w: tuple[float, ...]
    redundancy: tuple[float, ...]

    def of(self, pick: list[int]) -> "Group":
        """Some of its readings."""

        def some(part: tuple[float, ...]) -> tuple[float, ...]:
            return tuple(part[k] for k in pick)

        return Group(tuple(self.rows[k] for k in pick), some(self.off), some(self.off_sd), some(self.w),
                     some(self.redundancy))


@dataclass(frozen=True, slots=True, eq=False)
class Sifted:
    """The adjustment without the misread readings; ``out`` are left out, ``groups`` are kept with their doubt
    grown by ``stretch`` (m,)."""

    unknowns: Floats
    adjustment: Adjustment
    kept: NDArray[np.int64]
    out: tuple[int, ...]
    groups: tuple[Group, ...]
    stretch: Floats


def local_limit(readings: int) -> float:
    """Standardised residual beyond which a reading is suspect.

    3.29 as Baarda has it, but never so low that a survey without a misread raises more than one false alarm in twenty
    surveys: among 2,000 readings two would pass 3.29 by chance alone.

    Parameters
    ----------
    readings : int
        how many are looked at, at least 1 [-]

    Source: Baarda 1968 (from memory); chance shared between readings after Bonferroni (from memory).

    >>> round(local_limit(20), 2), round(local_limit(2000), 2)
    (3.29, 4.21)
    """
    return max(LOCAL_LIMIT, normal_limit(0.05 / max(readings, 1)))


def solve_with(
    eqs: Equations, x: Floats, active: Marks, stretch: Floats, tolerance: float = 1e-7, most_steps: int = 60
) -> tuple[Floats, Adjustment]:
    """Adjust the readings that ``active`` marks, their doubt grown by ``stretch``, from ``x``.

    Raises
    ------
    Underdetermined
        they do not hold every unknown
    """
    part = replace(eqs, sd=eqs.sd * stretch).only(active)
    x, steps, settled = descend(part.model, part.value, part.sd, x, most_steps=most_steps,
                                tolerance=tolerance)
    return x, assess(part.model, part.value, part.sd, x, steps=steps, converged=settled)


def predicted(eqs: Equations, x: Floats, adjustment: Adjustment, rows: NDArray[np.int64]) -> tuple[Floats, Floats]:
    """How far readings that took no part are off, and the standard deviation of that."""
    if not len(rows):
        return np.zeros(0), np.zeros(0)
    mark = np.zeros(eqs.value.size, dtype=bool)
    mark[rows] = True
    part = eqs.only(mark)
    order = np.argsort(np.argsort(rows))
    computed, slopes = part.model(x)
    spread = np.asarray(slopes.multiply(slopes @ adjustment.covariance).sum(axis=1)).ravel()
    return (part.value - computed)[order], np.sqrt(part.sd**2 + np.maximum(spread, 0.0))[order]


def sift(eqs: Equations, start: Floats) -> Sifted:
    """Leave out misread readings until no residual is beyond chance.

    Readings that a robust start already shows as gross go out first; then the largest standardised residual beyond
    3.29, time and again; after each, those left out are looked at again and taken back if they agree by now. Where the
    misfit would drop as much by leaving out another reading, neither goes: both stay, each with its doubt grown to as
    far as it would be off, so the hardpoints on them own up to it.

    Parameters
    ----------
    eqs : Equations
        the readings
    start : array
        robust solution [mm]

    Raises
    ------
    Underdetermined
        the readings do not hold every unknown

    Source: Baarda 1968 (from memory), iterated data snooping; the rule for what cannot be told apart is our own.
    """
    m = eqs.value.size
    limit = local_limit(m)
    active, stretch = np.ones(m, dtype=bool), np.ones(m)
    out: list[int] = []
    groups: list[Group] = []
    grouped: set[int] = set()
    x = start
    rough = np.abs(eqs.value - eqs.computed(x)) / eqs.sd
    spare = max(m - eqs.width, 0)
    most = max(3, spare // 3)
    gross = [int(i) for i in np.argsort(-rough) if rough[i] > _GROSS][: min(most, spare)]
    active[gross] = False
    try:
        x, fit = solve_with(eqs, x, active, stretch)
        out = gross
    except Underdetermined:
        active[:] = True
        x, fit = solve_with(eqs, x, active, stretch)
    returned: set[int] = set()
    for _ in range(2 * most + 4):
        # those that agree by now come back
        back = True
        while back and out:
            off, off_sd = predicted(eqs, x, fit, np.array(out, dtype=np.int64))
            scores = np.abs(off / off_sd)
            come = [i for i, s in zip(out, scores, strict=True) if s < limit and i not in returned]
            back = bool(come)
            if come:
                returned.update(come)
                out = [i for i in out if i not in come]
                active[come] = True
                x, fit = solve_with(eqs, x, active, stretch)
        kept = np.flatnonzero(active)
        scores = np.abs(fit.w)
        scores[[k for k, row in enumerate(kept) if row in grouped]] = 0.0
        worst = int(np.argmax(scores)) if scores.size else 0
        if not scores.size or scores[worst] <= limit or len(out) + len(groups) >= most:
            break
        row = int(kept[worst])
        found = _group(eqs, fit, kept, worst, grouped)
        if len(found.rows) > 1:
            groups.append(found)
            grouped.update(found.rows)
            _own_up(stretch, eqs, found)
        else:
            active[row] = False
            try:
                solve_with(eqs, x, active, stretch)
                out.append(row)
            except Underdetermined:
                active[row] = True
                groups.append(found)
                grouped.add(row)
                _own_up(stretch, eqs, found)
        x, fit = solve_with(eqs, x, active, stretch)
    # what went out must also stand apart from those that stayed
    for row in list(out):
        active[row] = True
        kept = np.flatnonzero(active)
        place = int(np.searchsorted(kept, row))
        if _stands_alone(eqs, x, active, stretch, place):
            active[row] = False
            continue
        _, with_it = solve_with(eqs, x, active, stretch)
        found = _group(eqs, with_it, kept, place, grouped)
        # a large blunder bends the equations: what leaving each rival out really gains decides
        rivals = [r for r in found.rows if r == row or _as_good(eqs, x, active, stretch, row, r)]
        if len(rivals) > 1:
            pick = [found.rows.index(r) for r in rivals]
            groups.append(found.of(pick))
            grouped.update(rivals)
            _own_up(stretch, eqs, groups[-1])
            out.remove(row)
        else:
            active[row] = False
    x, fit = solve_with(eqs, x, active, stretch, tolerance=1e-11)
    return Sifted(x, fit, np.flatnonzero(active), tuple(out), tuple(groups), stretch)


def _own_up(stretch: Floats, eqs: Equations, group: Group) -> None:
    """Grow the doubt of each reading of a group to as far as the reading is off, were it the wrong one."""
    for row, off in zip(group.rows, group.off, strict=True):
        stretch[row] = max(float(stretch[row]), float(np.hypot(1.0, off / eqs.sd[row])))


def _stands_alone(
    eqs: Equations, x: Floats, active: Marks, stretch: Floats, place: int
) -> bool:
    """Whether no other reading could take the blame, from the geometry alone: what is left of the misfit when the
    reading most alike goes out in its place is too much for chance. ``x`` is the solution without it."""
    part = replace(eqs, sd=eqs.sd * stretch).only(active)
    fit = assess(part.model, part.value, part.sd, x)
    r = float(fit.redundancy[place])
    if r < 1e-6:
        return False
    # without it the residual is the whole blunder; with it only the share r would remain
    w = float(fit.residuals[place]) * r**0.5 / float(part.sd[place])
    alike = np.abs(fit.alike(place))
    alike[place] = 0.0
    return bool(w * w * (1.0 - float(alike.max(initial=0.0)) ** 2) > 4.0 * _ALIKE)


def _as_good(eqs: Equations, x: Floats, active: Marks, stretch: Floats, row: int, rival: int) -> bool:
    """Whether leaving ``rival`` out in place of ``row`` fits about as well. ``active`` has both."""
    costs = []
    for gone in (row, rival):
        part = active.copy()
        part[gone] = False
        try:
            _, fit = solve_with(eqs, x, part, stretch)
        except Underdetermined:
            return False
        costs.append(fit.test.squares)
    return costs[1] - costs[0] < _ALIKE


def _group(eqs: Equations, fit: Adjustment, kept: NDArray[np.int64], worst: int, taken: set[int]) -> Group:
    """The reading at ``worst`` with those that cannot be told from it, itself first."""
    alike = np.abs(fit.alike(worst))
    w = np.abs(fit.w)
    near = (w[worst] ** 2 - w**2 < _ALIKE) & (w > LOCAL_LIMIT) & (alike > 0.5)
    near[worst] = True
    others = [int(k) for k in np.argsort(-w, kind="stable") if near[k] and k != worst and int(kept[k]) not in taken]
    order = [worst, *others]
    blunders = [fit.blunder(k) for k in order]
    return Group(
        tuple(int(kept[k]) for k in order), tuple(b[0] for b in blunders), tuple(b[1] for b in blunders),
        tuple(float(fit.w[k]) for k in order), tuple(float(fit.redundancy[k]) for k in order),
    )
