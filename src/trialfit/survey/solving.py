"""From the readings of a build to its survey."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.estimation import (
    Adjustment,
    GlobalTest,
    Underdetermined,
    fixing_readings,
    global_test,
    held_covariance,
    smallest_showing,
)
from trialfit.survey.guesses import guess, twin
from trialfit.survey.mirrors import choose
from trialfit.survey.misreads import Sifted, predicted, sift, solve_with
from trialfit.survey.observations import Observation, Problem, sort_out
from trialfit.survey.placing import meets
from trialfit.survey.result import Ambiguous, Checked, Survey, Suspect, Unsolved
from trialfit.survey.start import (
    LOOSE_MM,
    PRIOR_MM,
    Net,
    find_start,
    loose_by_kind,
    loose_points,
    net_of,
    settle,
)
from trialfit.vehicle import Build, Hint, ReadingKind

Floats = NDArray[np.float64]

UNCHECKED = 0.05
"""A reading with a smaller redundancy than this is checked by nothing [-]."""
_HANGS = 0.3
"""Share of a blunder in an unchecked reading that reaches a hardpoint which then counts as hanging on it [-]."""
_HANGS_PER_DEG_MM = 3.0
_KINDS = ("station", "offset", "height")


def solve(build: Build) -> Survey:
    """Hardpoints, sizes and their common covariance from every reading of a build; and which readings to doubt.

    Solves the largest part that can be solved; what cannot is named with what to measure. Never raises for what the
    readings say: contradictory, missing or unusable ones become suspects, unsolved hardpoints and problems. Readings
    are taken as independent of each other; errs on the side of too little doubt where one hook or one badly chalked
    line spoils several.

    Parameters
    ----------
    build : Build
        its readings and hints; nothing else is looked at

    Source: GUM (JCGM 100:2008); Baarda 1968 and Pope 1976 (from memory), by way of the estimation room.

    >>> from trialfit.vehicle import DEFAULT_INSTRUMENTS, Reading, Settings
    >>> tape = DEFAULT_INSTRUMENTS["tape"]
    >>> lines = [(ReadingKind.HEIGHT, 300.0), (ReadingKind.OFFSET, -450.0), (ReadingKind.STATION, 1200.0)]
    >>> readings = tuple(Reading(f"{kind} eye.L", kind, ("eye.L",), (value,), tape) for kind, value in lines)
    >>> [round(float(v)) for v in solve(Build("invented", "", Settings(), readings)).point("eye.L")]
    [1200, -450, 300]
    """
    observations, problems = sort_out(build.readings)
    hints = build.hints
    named = list(dict.fromkeys(p for o in observations for p in o.points))
    unsolved: list[Unsolved] = [
        Unsolved(p, f"{p}: none of its readings can be used; measure its height, its offset and its station")
        for p in build.hardpoint_names() if p not in named
    ]
    net = net_of(observations, named)
    net, loose, ties = _solvable(net)
    unsolved.extend(loose)
    unknowns, questions, hanging = np.zeros(0), list[Ambiguous](), set[str]()
    sifted: Sifted | None = None
    while net.observations:
        start, choices, rivals = find_start(net, hints)
        unknowns = settle(net, start)
        unknowns, questions, hanging = choose(net, unknowns, choices, rivals, hints)
        unknowns = settle(net, unknowns)
        covariance = held_covariance(net.eqs.model(unknowns)[1], net.eqs.sd, PRIOR_MM)
        weak = loose_points(net, covariance, LOOSE_MM)
        if not weak:
            try:
                sifted = sift(net.eqs, unknowns)
                break
            except Underdetermined as fault:
                weak = {net.names[k // 3] for k in fault.unknowns if k < 3 * len(net.names)}
                if not weak:
                    break
        unsolved.extend(_what_to_measure(net, covariance, weak, LOOSE_MM))
        net, more, more_ties = _solvable(net.without(weak))
        unsolved.extend(more)
        ties.extend(more_ties)
    return _survey(build, net, sifted, _Open(tuple(unsolved), tuple(questions), frozenset(hanging), tuple(ties)),
                   hints, observations, tuple(problems))


def _solvable(net: Net) -> tuple[Net, list[Unsolved], list[str]]:
    """The part of a net whose readings are enough in number and kind."""
    unsolved: list[Unsolved] = []
    ties: list[str] = []
    first = True
    while net.names:
        loose, covariance = loose_by_kind(net)
        if not loose:
            break
        untied: dict[str, str] = {}
        if first:
            ties, untied = _missing_ties(net, covariance, loose)
        unsolved.extend(Unsolved(u.point, untied.get(u.point, u.measure))
                        for u in _what_to_measure(net, covariance, loose, 2000.0))
        net = net.without(loose)
        first = False
    return net, unsolved, ties


def _groups(net: Net, members: set[str]) -> list[list[str]]:
    """``members`` in groups that readings hang together."""
    parent = {n: n for n in net.names}

    def root(n: str) -> str:
        while parent[n] != n:
            parent[n] = parent[parent[n]]
            n = parent[n]
        return n

    for o in net.observations:
        for p in o.points[1:]:
            parent[root(p)] = root(o.points[0])
    groups: dict[str, list[str]] = {}
    for n in net.names:
        groups.setdefault(root(n), []).append(n)
    return [g for g in groups.values() if members.issuperset(g) and len(g) > 1]


def _missing_ties(net: Net, covariance: Floats, loose: set[str]) -> tuple[list[str], dict[str, str]]:
    """What would tie whole groups that hang together, but to nothing else; in words for the group and for each."""
    words: list[str] = []
    each: dict[str, str] = {}
    for group in _groups(net, loose):
        at = {n: i for i, n in enumerate(net.names)}
        columns = [3 * at[n] + axis for axis in (2, 1, 0) for n in group]
        needed = fixing_readings(covariance, columns, 2000.0)
        to = {0: "the datum", 1: "the centre line", 2: "the floor"}
        missing = [to[a] for a in (2, 1, 0) if any(k % 3 == a for k in needed)]
        readings = [f"{_KINDS[k % 3]} {net.names[k // 3]}" for k in needed]
        who = _list(group) if len(group) <= 4 else f"{', '.join(group[:3])} and {len(group) - 3} more"
        words.append(f"nothing ties {who} fully to {_list(missing)}: measure {_list(readings)}")
        for n in group:
            others = [m for m in group if m != n]
            with_ = _list(others) if len(others) <= 3 else f"{', '.join(others[:2])} and {len(others) - 2} more"
            each[n] = f"{n}: it hangs together with {with_}, but not with {_list(missing)}; measure {_list(readings)}"
    return words, each


def _what_to_measure(net: Net, covariance: Floats, points: set[str], limit_mm: float) -> list[Unsolved]:
    answers: list[Unsolved] = []
    solid = [n for n in net.names if n not in points]
    for i, name in enumerate(net.names):
        if name not in points:
            continue
        needed = fixing_readings(covariance, [3 * i + 2, 3 * i + 1, 3 * i], limit_mm)
        kinds = [_KINDS[k % 3] for k in needed]
        taped = {p for o in net.observations if o.kind is ReadingKind.TAPE and name in o.points for p in o.points}
        free = [s for s in solid if s not in taped]
        verb = "is" if len(kinds) == 1 else "are"
        text = f"{name}: {_list([f'its {k}' for k in kinds])} {verb} missing; measure "
        text += _list([f"{k} {name}" for k in kinds])
        if len(free) >= len(kinds) and kinds:
            some = _list(free[: max(3, len(kinds))], "or") if len(free) > len(kinds) else _list(free[: len(kinds)])
            number = ("a tape to one of", "tapes to two of", "tapes to three of")[len(kinds) - 1]
            text += f", or {number} {some}" if len(free) > len(kinds) else f", or a tape to {some}"
        hangs = sorted(points.intersection(q for o in net.observations if name in o.points for q in o.points) - {name})
        if hangs:
            verb = "is" if len(hangs) == 1 else "are"
            text += f" (it also hangs on {_list(hangs[:3])}, which {verb} not solved either)"
        answers.append(Unsolved(name, text))
    return answers


def _list(words: Sequence[str], joint: str = "and") -> str:
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {joint} {words[-1]}"


@dataclass(frozen=True, slots=True)
class _Open:
    """What stays open."""

    unsolved: tuple[Unsolved, ...]
    ambiguous: tuple[Ambiguous, ...]
    hanging: frozenset[str]
    ties: tuple[str, ...]


def _survey(
    build: Build, net: Net, sifted: Sifted | None, still: _Open, hints: Sequence[Hint],
    observations: Sequence[Observation], problems: tuple[Problem, ...],
) -> Survey:
    nothing = global_test(0.0, 0)
    notes = [
        f"{o.identity}: {' and '.join(f'{v:.6g} mm' for v in o.dropped)} lies off the other repeats and was left out"
        for o in observations if o.dropped and o.kind is not ReadingKind.ANGLE
    ]
    notes += [f"{o.identity}: its repeats disagree by more than chance; take it once more"
              for o in observations if o.split]
    if sifted is None:
        return Survey(build, (), np.zeros((0, 3)), np.zeros((0, 0)), (), {}, (), nothing, nothing,
                      unsolved=still.unsolved, ambiguous=still.ambiguous, ties=still.ties,
                      problems=problems, notes=tuple(notes))
    fit = sifted.adjustment
    n = len(net.names)
    keep = [i for i, name in enumerate(net.names) if name not in still.hanging]
    columns = np.array([3 * i + a for i in keep for a in range(3)] + list(range(3 * n, net.eqs.width)), dtype=np.int64)
    names = tuple(net.names[i] for i in keep)
    xyz = sifted.unknowns[: 3 * n].reshape(-1, 3)[keep]
    spread = np.sqrt(np.maximum(np.diag(fit.covariance), 0.0))
    sizes = {s: (float(sifted.unknowns[3 * n + k]), float(spread[3 * n + k])) for k, s in enumerate(net.sizes)}
    checked = _checked(net, sifted)
    suspects = _suspects(net, sifted)
    unchecked, points = _unchecked(net, sifted)
    test_all = _with_everything(net, sifted)
    broken: list[str] = []
    places = net.places(sifted.unknowns)
    for h in hints:
        if h.point not in still.hanging and meets(h, places) is False:
            of = f" of {h.of}" if h.of and h.side not in ("above", "below") else f" {h.of}" if h.of else ""
            broken.append(f"{h.point} is said to be {h.side}{of}, the readings put it on the other side")
    return Survey(
        build, names, np.ascontiguousarray(xyz), np.ascontiguousarray(fit.covariance[np.ix_(columns, columns)]),
        net.sizes, sizes, checked, fit.test, test_all, suspects, unchecked,
        tuple(p for p in points if p in names), still.unsolved, still.ambiguous, tuple(broken), still.ties,
        problems, tuple(notes),
    )


def _with_everything(net: Net, sifted: Sifted) -> GlobalTest:
    if not sifted.out and not sifted.groups:
        return sifted.adjustment.test
    m = len(net.observations)
    try:
        return solve_with(net.eqs, sifted.unknowns, np.ones(m, dtype=bool), np.ones(m), 1e-5, 12)[1].test
    except Underdetermined:
        return sifted.adjustment.test


def _checked(net: Net, sifted: Sifted) -> tuple[Checked, ...]:
    fit: Adjustment = sifted.adjustment
    place = {int(row): k for k, row in enumerate(sifted.kept)}
    doubted = {row for g in sifted.groups for row in g.rows}
    rows = np.array(sifted.out, dtype=np.int64)
    off, off_sd = predicted(net.eqs, sifted.unknowns, fit, rows)
    answers: list[Checked] = []
    for row, o in enumerate(net.observations):
        if row in place:
            k = place[row]
            r = float(fit.redundancy[k])
            blunder, blunder_sd = fit.blunder(k)
            answers.append(Checked(
                o, o.value - float(fit.residuals[k]), float(fit.residuals[k]), r, float(fit.w[k]),
                None if fit.studentised is None else float(fit.studentised[k]), blunder, blunder_sd,
                smallest_showing(o.sd, r), "doubted" if row in doubted else "used"))
        else:
            k = sifted.out.index(row)
            o_off, o_sd = float(off[k]), float(off_sd[k])
            r = min(o.sd**2 / o_sd**2, 1.0)
            sigma0 = fit.test.sigma0
            answers.append(Checked(o, o.value - o_off, o_off, r, o_off / o_sd,
                                   o_off / o_sd / sigma0 if sigma0 and fit.test.freedom >= 2 else None,
                                   o_off, o_sd, smallest_showing(o.sd, r), "out"))
    return tuple(answers)


def _suspects(net: Net, sifted: Sifted) -> tuple[Suspect, ...]:
    rows = np.array(sifted.out, dtype=np.int64)
    off, off_sd = predicted(net.eqs, sifted.unknowns, sifted.adjustment, rows)
    found: list[tuple[float, list[Suspect]]] = []

    def suspect(row: int, much: float, sd: float, w: float, r: float, others: tuple[str, ...]) -> Suspect:
        o = net.observations[row]
        text = guess(o, much, sd, _twins(net, sifted, o))
        return Suspect(o.identity, much, sd, o.kind is ReadingKind.ANGLE, w, r, text, others, o.where)

    for row, much, sd in zip(sifted.out, off, off_sd, strict=True):
        alone = suspect(row, float(much), float(sd), float(much / sd), min(net.eqs.sd[row] ** 2 / sd**2, 1.0), ())
        found.append((abs(alone.w), [alone]))
    for g in sifted.groups:
        together = tuple(net.observations[row].identity for row in g.rows)
        members = [suspect(row, g.off[k], g.off_sd[k], g.w[k], g.redundancy[k], together if len(together) > 1 else ())
                   for k, row in enumerate(g.rows)]
        # among equals, the one that a common slip explains is the likelier
        members.sort(key=lambda s: s.guess == "")
        found.append((abs(g.w[0]), members))
    found.sort(key=lambda pair: -pair[0])
    return tuple(s for _, members in found for s in members)


def _twins(net: Net, sifted: Sifted, o: Observation) -> tuple[tuple[str, float, float], ...]:
    """What the reading would be off by, had it been taken at the twin of one of its hardpoints."""
    at = {n: i for i, n in enumerate(net.names)}
    answers: list[tuple[str, float, float]] = []
    spread = np.diag(sifted.adjustment.covariance)
    for k, point in enumerate(o.points):
        other = twin(point)
        if other is None or other not in at or other in o.points:
            continue
        swapped = (*o.points[:k], other, *o.points[k + 1 :])
        pair = []
        for points in (o.points, swapped):
            seen = Observation(o.identity, o.kind, points, "", o.value, o.sd, o.sd, 1, "")
            pair.append(float(net_of_same(net, [seen]).eqs.computed(sifted.unknowns)[0]))
        own = float(np.sqrt(spread[3 * at[other] : 3 * at[other] + 3].max()))
        if o.kind is ReadingKind.ANGLE:
            own = own / 300.0
        answers.append((f"taken at {other} instead of {point}", pair[1] - pair[0], own))
    return tuple(answers)


def net_of_same(net: Net, observations: Sequence[Observation]) -> Net:
    """Other readings on the very unknowns of ``net``."""
    from trialfit.survey.equations import equations

    return Net(tuple(observations), net.names, net.sizes, equations(observations, net.names, net.sizes))


def _unchecked(net: Net, sifted: Sifted) -> tuple[tuple[str, ...], tuple[str, ...]]:
    fit = sifted.adjustment
    rows = [k for k in range(len(sifted.kept)) if fit.redundancy[k] < UNCHECKED]
    readings: list[str] = []
    points: set[str] = set()
    slopes = fit.derivatives.tocsr()
    for k in rows:
        o = net.observations[int(sifted.kept[k])]
        if o.kind is ReadingKind.SIZE and o.repeats > 1:
            continue
        readings.append(o.identity)
        pull = fit.covariance @ slopes[k].toarray()[0] / fit.sd[k] ** 2
        reach = np.linalg.norm(pull[: 3 * len(net.names)].reshape(-1, 3), axis=1)
        limit = _HANGS_PER_DEG_MM / math.radians(1.0) if o.kind is ReadingKind.ANGLE else _HANGS
        points.update(net.names[i] for i in np.flatnonzero(reach > limit))
    return tuple(readings), tuple(n for n in net.names if n in points)

