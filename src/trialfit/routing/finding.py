"""The search itself: rounds of independent pieces of work, the best of every kind of route kept, proofs at the end.

A round is a fixed list of pieces of work that depends on nothing but the seed and what the rounds before it found.
Each piece is one compiled call that lets others run beside it. So any number of workers finds the same routes in the
same number of rounds, only sooner. The first rounds draw roadmaps; later ones change the best routes of every kind.
"""

import math
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from trialfit.routing import entries
from trialfit.routing.bound import lower_bound
from trialfit.routing.certificate import certify
from trialfit.routing.field import Fields, prepare
from trialfit.routing.packing import packed, scale_of, way_of
from trialfit.routing.pipe import AT_KIND, MOST_BENDS, WIDTH
from trialfit.routing.problem import Certificate, Problem, ProblemError, Way
from trialfit.routing.sides import Landmarks, Sides, along, landmarks, named, sides

if TYPE_CHECKING:
    from trialfit.routing.closed import Blocked

Floats = NDArray[np.float64]
Progress = Callable[[float, float | None, str], None]
Better = Callable[[Way, float], None]
Clock = Callable[[], float]

PIECES = 4
"""Pieces of work in a round."""
PLACES = (70, 100, 100, 140, 140, 200, 200, 240)
"""Places drawn by the first roadmaps; later ones draw any of the greater numbers."""
FEW_BENDS = 2
STRUCK, DRAWN = (0.16, 0.06), (0.08, 0.2)
"""Shares of the work that go into chains of few bends and into roadmaps, where the best has few bends and else."""
KEPT_EARLY, KEPT = 1.3, 1.2
"""A roadmap's chain dearer than the best by more than this is left, in the first rounds and later."""
WORTH_WORK, OTHERS = 1.1, 0.15
"""A pipe whose best is dearer than the best of all by more than this is left; share of work on all but the leader."""
HANDED_ON = frozenset((1, 3, 6, 12, 24, 48, 96))
"""Rounds in which the best pipe's routes are tried in the others."""
FREE = 1e17
"""The compiler's numbers know no infinity of their own kind; this stands for it."""
KINDS_KEPT = 14
OF_A_KIND = 4
CLOSER_MM = 12.0
"""Two candidates of one kind with every corner this near to each other are the same [mm]."""
ALIKE_MM = 90.0
"""A route that strays less than this from a better one is no alternative, whatever sides it passes on [mm]."""
STILL_ALIKE = 0.7
"""A route not drawn tight yet is held against those told already by this share of that distance."""
FINISH_SHARE = 0.06
"""Share of the time kept for the last touches and the proofs."""
MENDS = 4


@dataclass(frozen=True, slots=True, eq=False)
class FoundRoute:
    """A route that was found: its name in words, the side it passes each landmark on, and the proof of its gaps."""

    way: Way
    name: str
    sides: Sides
    certificate: Certificate


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """Routes best first, each the best of its kind; ``bound`` is a cost that no buildable route can be under.

    ``blocked`` says why there is none. ``unproved`` counts kinds left out because their gaps could not be proved.
    """

    routes: tuple[FoundRoute, ...]
    bound: float
    bound_words: str
    blocked: "tuple[Blocked, ...]"
    unproved: int
    seconds: float
    rounds: int
    first_seconds: float | None


@dataclass(slots=True)
class _Kind:
    """The best packed routes of one kind, cheapest first."""

    rows: list[Floats]


class _Pool:
    """What has been found so far for one pipe size."""

    def __init__(self, problem: Problem, number: int, marks: Landmarks) -> None:
        self.problem, self.number, self.marks = problem, number, marks
        self.par = packed(problem, number)
        self.scale = scale_of(problem.sizes[number])
        self.kinds: dict[Sides, _Kind] = {}
        self.best = math.inf

    def take(self, rows: Floats) -> bool:
        """Keep what is new and good; True when the best got better."""
        better = False
        for row in rows:
            cost = float(row[1])
            if cost > 1.6 * self.best:
                continue
            way = way_of(self.problem, self.number, row)
            key = sides(self.marks, along(self.problem, way))
            kind = self.kinds.setdefault(key, _Kind([]))
            alike = [k for k, old in enumerate(kind.rows) if old[0] == row[0] and _apart(old, row) < CLOSER_MM]
            if alike:
                if cost < kind.rows[alike[0]][1]:
                    kind.rows[alike[0]] = row.copy()
            else:
                kind.rows.append(row.copy())
            kind.rows.sort(key=lambda r: float(r[1]))
            del kind.rows[OF_A_KIND:]
            if cost < self.best - 1e-9:
                self.best, better = cost, True
        if len(self.kinds) > KINDS_KEPT:
            order = sorted(self.kinds, key=lambda s: (float(self.kinds[s].rows[0][1]), s))
            self.kinds = {s: self.kinds[s] for s in order[:KINDS_KEPT]}
        return better

    def elite(self, count: int) -> Floats:
        """The cheapest rows of all kinds."""
        rows = [r for kind in self.kinds.values() for r in kind.rows]
        rows.sort(key=lambda r: float(r[1]))
        return np.array(rows[:count]).reshape(-1, WIDTH)

    def fitted(self, rows: Floats) -> Floats:
        """Routes of another pipe as rough chains for this one."""
        mine = rows.copy()
        span = slice(AT_KIND, AT_KIND + MOST_BENDS)
        mine[:, span] = np.minimum(mine[:, span], max(len(self.problem.sizes[self.number].bends) - 1, 0))
        return mine

    def best_of_kinds(self) -> list[tuple[Sides, Floats]]:
        """Best row of every kind, cheapest first."""
        return sorted(((s, k.rows[0]) for s, k in self.kinds.items()), key=lambda p: (float(p[1][1]), p[0]))


def _strays(a: Floats, b: Floats) -> float:
    """How far one line of points strays from another, either way [mm]."""
    apart = np.linalg.norm(a[:, None] - b[None], axis=2)
    return float(max(apart.min(axis=0).max(), apart.min(axis=1).max()))


def _apart(a: Floats, b: Floats) -> float:
    return float(np.abs(a[6 : 6 + 40] - b[6 : 6 + 40]).max())


_NONE = np.zeros((0, WIDTH))


def find(problem: Problem, *, seed: int = 0, seconds: float | None = None, rounds: int | None = None,
         clock: Clock | None = None, workers: int = 1, progress: Progress | None = None,
         stop: Callable[[], bool] | None = None, count: int = 5, on_better: Better | None = None,
         with_bound: bool = True, with_reasons: bool = True) -> Found:
    """Ways for the pipe from outlet to exit, best of every kind, each with its gaps proved.

    Parameters
    ----------
    problem : Problem
    seed : int
        the same seed and number of rounds give the same routes, whatever the number of workers
    seconds : float or None
        time for the search by ``clock`` [s]; the bound, and the reasons when there is no route, come on top
    rounds : int or None
        a fixed amount of work, in place of a time or as its limit
    clock : callable
        tells the time [s]; without one every time handed back is 0
    workers : int
        pieces of work run side by side
    progress : callable
        told (seconds, best cost or None, words) after every round
    stop : callable
        asked after every piece of work; True ends the search and keeps the best
    count : int
        kinds of route to hand back, at most
    on_better : callable
        told (way, seconds) whenever the best got better
    with_bound, with_reasons : bool
        False leaves out the bound on the cost, or the reasons when there is no route

    Raises
    ------
    ProblemError
        when the question is one that no route can answer (outlet inside something, no bends where one is needed)
    ValueError
        without a number of rounds, or a time and a clock
    """
    if rounds is None and (seconds is None or clock is None):
        raise ValueError("say how many rounds, or how many seconds and by which clock")
    clock = clock or _no_clock
    began = clock()
    check(problem)
    fields = prepare(problem)
    marks = landmarks(problem)
    pools = [_Pool(problem, k, marks) for k in range(len(problem.sizes))]
    state = _Search(problem, fields, pools, seed, clock, began, progress, stop, on_better)
    end = math.inf if seconds is None else seconds * (1.0 - FINISH_SHARE)
    with ThreadPoolExecutor(workers) if workers > 1 else _Alone() as crew:
        done = 0
        while not state.stopped and clock() - began < end and (rounds is None or done < rounds):
            state.round(done, crew, end)
            done += 1
    routes, unproved = state.finish(count)
    known = routes[0].way.cost if routes else math.inf
    bound = lower_bound(problem, fields, known=known) if with_bound and routes else None
    blocked: tuple[Blocked, ...] = ()
    if not routes and with_reasons:
        from trialfit.routing.closed import why_closed

        blocked = why_closed(problem, fields)
    cost, words = (0.0, "") if bound is None else (bound.cost, bound.words)
    return Found(tuple(routes), cost, words, blocked, unproved, clock() - began, done, state.first)


def _no_clock() -> float:
    return 0.0


class _Alone:
    """Work done at once, one piece after the other."""

    def __enter__(self) -> "_Alone":
        return self

    def __exit__(self, *_: object) -> None:
        return None


@dataclass(frozen=True, slots=True, eq=False)
class _Piece:
    pool: int
    what: int
    seeds: Floats
    seed: int
    places: int
    tries: int
    give_up: float


class _Search:
    def __init__(self, problem: Problem, fields: Fields, pools: list[_Pool], seed: int, clock: Callable[[], float],
                 began: float, progress: Progress | None, stop: Callable[[], bool] | None,
                 on_better: Better | None) -> None:
        self.problem, self.fields, self.pools, self.seed = problem, fields, pools, seed
        self.clock, self.began, self.progress, self.stop, self.on_better = clock, began, progress, stop, on_better
        self.stopped = False
        self.first: float | None = None
        self.best: float | None = None

    def do(self, piece: _Piece, pad_mm: float | None = None) -> Floats:
        """One piece of work."""
        pad = self.problem.pad_mm if pad_mm is None else pad_mm
        rows: Floats = entries.work(piece.what, piece.seeds, self.pools[piece.pool].par, self.fields.frame,
                                    self.fields.engine, piece.seed, piece.places, piece.tries, pad, piece.give_up)
        return rows

    def plan(self, number: int) -> list[_Piece]:
        """The pieces of a round."""
        rng = np.random.default_rng([self.seed, number])
        pieces: list[_Piece] = []
        if number == 0:
            pieces += [_Piece(k, entries.STRAIGHT, _NONE, 0, 0, 0, math.inf) for k in range(len(self.pools))]
        order = sorted(range(len(self.pools)), key=lambda k: (self.pools[k].best * self.pools[k].scale, k))
        leader = self.pools[order[0]]
        known = not math.isinf(leader.best)
        live = [k for k in order
                if not known or self.pools[k].best * self.pools[k].scale < WORTH_WORK * leader.best * leader.scale]
        if known and number in HANDED_ON:
            rows = leader.elite(3)
            for k in order[1:]:
                pieces.append(_Piece(k, entries.CHAIN, self.pools[k].fitted(rows), 0, 0, 0, FREE))
        for slot in range(PIECES):
            own = int(rng.integers(1 << 31))
            turn = number * PIECES + slot
            if number < 2 and not known:
                at = live[turn // 2 % len(live)]
            else:
                at = live[int(rng.integers(1, len(live)))] if len(live) > 1 and rng.random() < OTHERS else live[0]
            pool = self.pools[at]
            unknown = math.isinf(pool.best)
            roll = rng.random()
            if number < 2 or unknown:
                roll = 0.0 if slot % 2 else 1.0
            bends = 0 if unknown else int(pool.elite(1)[0][0])
            few = 0 if bends <= FEW_BENDS else 1
            if roll < STRUCK[few]:
                most = 3 if unknown else max(1, min(4, bends))
                pieces.append(_Piece(at, entries.STRIKE, _NONE, own, most, 5, FREE if unknown else 1.1 * pool.best))
                continue
            if number < 2 or unknown or roll > 1.0 - DRAWN[few]:
                places = PLACES[turn] if turn < len(PLACES) else int(rng.choice(PLACES[3:]))
                pieces.append(_Piece(at, entries.EXPLORE, _NONE, own, places, 3 if unknown else 5,
                                     FREE if unknown else (KEPT_EARLY if number < 2 else KEPT) * pool.best))
                continue
            kinds = pool.best_of_kinds()
            if rng.random() < 0.65 or len(kinds) == 1:
                pieces.append(_Piece(at, entries.IMPROVE, pool.elite(8), own, 0, 6, 1.01 * pool.best))
            else:
                pick = min(int(rng.exponential(1.5)), len(kinds) - 1)
                rows = np.array(pool.kinds[kinds[pick][0]].rows)
                pieces.append(_Piece(at, entries.IMPROVE, rows, own, 0, 6, 1.01 * float(rows[0][1])))
        return pieces

    def round(self, number: int, crew: "ThreadPoolExecutor | _Alone", end: float) -> None:
        """One round: its pieces, then what they found, in their order."""
        pieces = self.plan(number)
        if isinstance(crew, ThreadPoolExecutor):
            found = list(crew.map(self.do, pieces))
        else:
            found = []
            for piece in pieces:
                if self.asked_to_stop() or (self.first is not None and self.clock() - self.began >= end):
                    break
                rows = self.do(piece)
                found.append(rows)
                self.note(piece, rows)
        for piece, rows in zip(pieces, found):
            pool = self.pools[piece.pool]
            if len(rows):
                self.note(piece, rows)
                pool.take(rows)
        if number % 4 == 3:
            for pool_number, pool in enumerate(self.pools):
                tops = [row for _s, row in pool.best_of_kinds()[:2]]
                if tops:
                    pool.take(self.do(_Piece(pool_number, entries.TIGHTEN, np.array(tops), 0, 0, 0, 1e17)))
                    self.note(_Piece(pool_number, 0, _NONE, 0, 0, 0, 0.0), pool.elite(1))
        self.asked_to_stop()
        if self.progress is not None:
            words = f"round {number + 1}"
            self.progress(self.clock() - self.began, self.best, words)

    def note(self, piece: _Piece, rows: Floats) -> None:
        """Tell of a better route as soon as it is known."""
        if not len(rows):
            return
        pool = self.pools[piece.pool]
        row = rows[int(np.argmin(rows[:, 1]))]
        cost = float(row[1]) * pool.scale
        if self.best is None or cost < self.best - 1e-9:
            self.best = cost
            now = self.clock() - self.began
            if self.first is None:
                self.first = now
            if self.on_better is not None:
                self.on_better(way_of(self.problem, piece.pool, row), now)

    def asked_to_stop(self) -> bool:
        """Whether the builder has had enough."""
        if not self.stopped and self.stop is not None and self.stop():
            self.stopped = True
        return self.stopped

    def finish(self, count: int) -> tuple[list[FoundRoute], int]:
        """The best of every kind drawn tight, proved, mended where the proof found a place too near."""
        routes: list[tuple[float, Sides, Way, Certificate]] = []
        lines: list[Floats] = []
        unproved = 0
        todo = sorted(((float(row[1]) * pool.scale, number, key, row) for number, pool in enumerate(self.pools)
                       for key, row in pool.best_of_kinds()), key=lambda t: (t[0], t[1], t[2]))
        for cost, number, key, row in todo:
            if len(routes) >= count:
                break
            if routes and cost > 2.0 * routes[0][0]:
                break
            if self.told_already(number, key, along(self.problem, way_of(self.problem, number, row)), routes, lines,
                                 STILL_ALIKE * ALIKE_MM):
                continue
            proved = self.proved(number, row)
            if proved is None:
                unproved += 1
                continue
            way, certificate = proved
            # drawing it tight may have moved it to another side
            line = along(self.problem, way)
            key = sides(self.pools[number].marks, line)
            if self.told_already(number, key, line, routes, lines, ALIKE_MM):
                continue
            routes.append((way.cost, key, way, certificate))
            lines.append(line)
        routes.sort(key=lambda t: t[0])
        names = named(self.pools[0].marks, [key for _c, key, _w, _k in routes])
        return [FoundRoute(way, name, key, proof) for (_c, key, way, proof), name in zip(routes, names)], unproved

    def told_already(self, number: int, key: Sides, line: Floats, routes: list[tuple[float, Sides, Way, Certificate]],
                     lines: list[Floats], alike_mm: float) -> bool:
        """Whether a route of the same pipe that passes on the same sides, or hardly strays from it, is among them."""
        return any(key == other[1] or _strays(line, lines[k]) < alike_mm for k, other in enumerate(routes)
                   if other[2].size == number)

    def proved(self, number: int, row: Floats) -> tuple[Way, Certificate] | None:
        """A route with its proof; one that the proof finds too near somewhere is asked for more and tried again."""
        rows = self.do(_Piece(number, entries.TIGHTEN, row[None], 0, 0, 0, 1e17))
        if rows[0][2] > 0.0:
            rows = row[None].copy()
        pad = self.problem.pad_mm
        for _ in range(MENDS):
            way = way_of(self.problem, number, rows[0])
            certificate = certify(self.problem, way)
            if certificate.clear:
                return replace(way, margin_mm=certificate.lower_mm), certificate
            pad += max(-certificate.lower_mm, 0.0) + 0.12
            again = self.do(_Piece(number, entries.CHAIN, rows, 0, 0, 0, 1e17), pad)
            if not len(again):
                return None
            rows = again[int(np.argmin(again[:, 1]))][None].copy()
        return None


def check(problem: Problem) -> None:
    """Refuse what no route can answer.

    Raises
    ------
    ProblemError
        with the place in the build file
    """
    if not problem.sizes:
        raise ProblemError("no pipe to lay: name at least one diameter")
    if not np.isfinite(problem.outlet).all() or abs(float(np.linalg.norm(problem.aim)) - 1.0) > 1e-6:
        raise ProblemError("the outlet's place and direction must be known, the direction a unit vector")
    if bool(np.any(problem.exit.low > problem.exit.high)):
        raise ProblemError("the exit box has its corners crossed", problem.exit.where)
    if abs(float(np.linalg.norm(problem.exit.aim)) - 1.0) > 1e-6:
        raise ProblemError("the exit's direction must be a unit vector", problem.exit.where)
    low, high = problem.bounds
    if bool(np.any(problem.outlet < low)) or bool(np.any(problem.outlet > high)):
        raise ProblemError("the outlet lies outside the room that is looked at")
    if bool(np.any(problem.exit.high < low)) or bool(np.any(problem.exit.low > high)):
        raise ProblemError("the exit lies outside the room that is looked at", problem.exit.where)
    angle = math.acos(max(-1.0, min(1.0, float(problem.aim @ problem.exit.aim)))) - problem.exit.cone_rad
    for size in problem.sizes:
        if angle > 1e-9 and not size.bends:
            raise ProblemError(
                f"the exit points {math.degrees(angle):.0f} deg away from the outlet, but {size.name} has no bends; "
                "name a bend that can turn it, e.g. radius: 1.5 D", problem.exit.where)
        most = max((b.most_rad for b in size.bends), default=0.0) * problem.most_bends
        if angle > most + 1e-9:
            raise ProblemError(
                f"the exit points {math.degrees(angle):.0f} deg away from the outlet; {problem.most_bends} bends of "
                f"{size.name} turn {math.degrees(most):.0f} deg at most", problem.exit.where)
    if len(problem.parts) > 8:
        raise ProblemError(f"{len(problem.parts)} parts on one pipe; at most 8 can be placed", problem.parts[8].where)
