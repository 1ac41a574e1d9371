"""One point of a laid exhaust taken elsewhere: that route laid again, its pieces, and what it comes near to now; and
its hangers, to be asked one choice after the other.

Everything else of the build stays as its results have it, so that an answer comes while the hand still moves.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trialfit.checks.asked import keep_outs
from trialfit.checks.exhaust_room import through_travel
from trialfit.checks.hung_exhaust import InHand, in_hand
from trialfit.checks.pairs import Pair, asked_between, route_name, route_things, things
from trialfit.checks.placing import Placed, PlacingError, place
from trialfit.checks.results import Results
from trialfit.checks.run import bounded_gap, domain_of
from trialfit.checks.stocking import stock_plan
from trialfit.exhaust import CutList, LaidRoute, cut_list, lay
from trialfit.findings import Finding, Verdict
from trialfit.geometry import Domain, GapError, Rigid, Span, certified_gap
from trialfit.routing.problem import Obstacle, ProblemError
from trialfit.vehicle import RoutePlan

Floats = NDArray[np.float64]
Xyz = tuple[float, float, float]

QUICK_CELLS = 100
"""Boxes of poses looked at for each obstacle while the hand still moves [-]: the bounds hold all the same, only wider.
On the invented estate car the two bounds of the near gaps are then up to 8 mm apart."""
REACH_MM = 20_000.0
"""How far from the datum a point of the exhaust may be taken [mm], along each axis."""
DECIMALS = 2
"""A point is kept to so many decimals of a millimetre, as the build file writes it."""


class DraggingError(ValueError):
    """A point that cannot be taken there; the text says why and what the range is."""


@dataclass(frozen=True, slots=True)
class RouteGap:
    """The smallest gap of a route to one thing over the whole travel: ``lower_mm <= true <= upper_mm``, points as
    measured.

    ``share`` names which share of the route it is (pipe, pipe before the bellows, a part). ``at_route`` and
    ``at_thing`` are the nearest points met [mm, vehicle frame]. ``settled`` is False where the bounds were left apart
    for speed.
    """

    thing: str
    share: str
    required_mm: float
    lower_mm: float
    upper_mm: float
    at_route: Xyz
    at_thing: Xyz
    settled: bool
    pair: Pair | None = None
    """None for a box that only the search keeps out of"""

    @property
    def spare_mm(self) -> tuple[float, float]:
        """How far it lies beyond what is asked for, at least and at most [mm]; negative: too near."""
        return self.lower_mm - self.required_mm, self.upper_mm - self.required_mm

    @property
    def verdict(self) -> Verdict:
        """Of the points as measured; the doubt of the tape is not weighed."""
        low, high = self.spare_mm
        return Verdict.FITS if low >= 0.0 else Verdict.DOES_NOT_FIT if high < 0.0 else Verdict.CANNOT_TELL


@dataclass(frozen=True, slots=True, eq=False)
class Dragged:
    """One route with a point moved. ``cuts`` is None and ``gaps`` are empty where it cannot be laid; ``findings`` say
    why. ``gaps`` hold the worst for each thing, nearest to what is asked first. ``about``: the bounds were left wide
    for speed, and neither the doubt of the pieces nor the stock they are cut from is worked out."""

    laid: LaidRoute
    cuts: CutList | None
    gaps: tuple[RouteGap, ...]
    findings: tuple[Finding, ...]
    about: bool

    @property
    def plan(self) -> RoutePlan:
        """The route as it would be written into the build file."""
        return self.laid.plan


def dragged(results: Results, route_name: str, corner: int, xyz: Xyz, *, quick: bool = False) -> Dragged:
    """One point of a route taken elsewhere: its pieces and its gaps, the rest of the build as it is.

    The doubt of the tape is left out of the gaps, which errs to "fits": weigh the whole build before anything is cut.
    Boxes that the search keeps out of count as things. A point that was a hardpoint becomes a place of its own. Parts
    keep their distance from the first point of their leg.

    Parameters
    ----------
    results : Results
        of the whole build; the route is the one of ``results.build``
    route_name : str
        of a route that is laid
    corner : int
        number of the corner, from 1; one more than there are corners for the end [-]
    xyz : tuple
        where it is taken: station, offset (right +), height [mm]
    quick : bool
        while the hand moves: wider bounds on the gaps (they still hold) and no doubt of the pieces

    Raises
    ------
    DraggingError
        for a route or point that is not there, a route that is not laid, and a place outside 20 m along each axis

    Source: geometry.

    >>> from trialfit.checks import run
    >>> from trialfit.vehicle import DEFAULT_INSTRUMENTS, Amount, Build, Corner, Reading, ReadingKind, Settings
    >>> tape = DEFAULT_INSTRUMENTS["tape"]
    >>> at = [Reading(f"{kind} outlet", kind, ("outlet",), (mm,), tape) for kind, mm in (
    ...     (ReadingKind.STATION, 0.0), (ReadingKind.OFFSET, 0.0), (ReadingKind.HEIGHT, 300.0))]
    >>> pipe = RoutePlan("main", Amount(50.0), Amount(1.5), "outlet", "", (Corner((500.0, 0.0, 300.0), Amount(75.0)),),
    ...                  (500.0, 400.0, 300.0))
    >>> was = run(Build("", "", Settings(), tuple(at), routes=(pipe,)))
    >>> now = dragged(was, "main", 1, (450.0, 0.0, 300.0))
    >>> [(str(p.kind), round(p.length_to_cut_mm, 1)) for p in now.cuts.pieces]
    [('straight', 383.8), ('bend', 108.5), ('straight', 336.9)]
    """
    return _answer(results, moved(_plan(results, route_name), corner, xyz), quick)


def standing(results: Results, route_name: str, *, quick: bool = False) -> Dragged:
    """A route as :func:`dragged` tells it, with no point moved: what an answer to a move is held against.

    Leaves out what :func:`dragged` leaves out.

    Parameters
    ----------
    results : Results
        of the whole build; the route is the one of ``results.build``
    quick : bool
        as there

    Raises
    ------
    DraggingError
        for a route that is not there or not laid
    """
    plan = _plan(results, route_name)
    if not plan.laid:
        raise DraggingError(f"exhaust {plan.name} is not laid yet; have it found first")
    return _answer(results, plan, quick)


def _answer(results: Results, plan: RoutePlan, quick: bool) -> Dragged:
    laid = lay(plan, results.points, results.sizes, None if quick else results.survey.covariance)
    if laid.centreline is None:
        return Dragged(laid, None, (), laid.findings, quick)
    gaps, untold = _gaps(results, laid, quick)
    return Dragged(laid, _cut(results, laid, quick), gaps, (*laid.findings, *untold), quick)


def _cut(results: Results, laid: LaidRoute, quick: bool) -> CutList:
    """The pieces with the stock they are cut from; while the hand moves without, since it changes all the time."""
    cuts = cut_list(laid)
    if quick:
        return cuts
    was = next((p for p in results.stock_plans if p.cuts.route == cuts.route), None)
    if was is not None and was.bare == cuts and was.plan == laid.plan:
        return was.cuts
    choices = {choice.rule: choice.version for choice in results.build.rules}
    return stock_plan(laid, cuts, results.sizes, choices).cuts


def moved(plan: RoutePlan, corner: int, xyz: Xyz) -> RoutePlan:
    """The plan with one corner, or its end, at another place; whoever found it before, it is laid by hand now.

    Parameters
    ----------
    corner : int
        as for :func:`dragged` [-]
    xyz : tuple
        the new place [mm]

    Raises
    ------
    DraggingError
        for a point that is not there, a route that is not laid, and a place outside 20 m along each axis
    """
    if not plan.laid:
        raise DraggingError(f"exhaust {plan.name} is not laid yet: there is no point to move; have it found first")
    last = len(plan.corners) + 1
    if corner == 0:
        raise DraggingError(f"the outlet of {plan.name} stays where the engine has it: measure {plan.outlet} again "
                            "where it is wrong")
    if not 1 <= corner <= last:
        raise DraggingError(f"exhaust {plan.name} has no point {corner}; its corners are 1 to {last - 1} and its end "
                            f"is {last}")
    for axis, value in zip(("station", "offset", "height"), xyz, strict=True):
        if not math.isfinite(value) or abs(value) > REACH_MM:
            raise DraggingError(f"{axis} {value:g} mm is no place on a vehicle; it must lie within "
                                f"{REACH_MM:.0f} mm of the datum")
    x, y, z = (round(value, DECIMALS) + 0.0 for value in xyz)
    if corner == last:
        return replace(plan, end=(x, y, z), found="")
    corners = tuple(replace(c, point=(x, y, z)) if k == corner else c for k, c in enumerate(plan.corners, 1))
    return replace(plan, corners=corners, found="")


def hangers_in_hand(results: Results, route_name: str) -> InHand | Finding:
    """What the hangers of a route are judged by, worked once, so that any choice of them can be asked while a hand
    moves one; a finding where it cannot be had.

    Raises
    ------
    DraggingError
        for a route that is not there or not laid, and one of which nothing is said under hangers
    """
    plan = _plan(results, route_name)
    made = next((m for m in results.makings if m.route == plan.name), None)
    if made is None or made.said.hangers is None:
        raise DraggingError(f"nothing is said of hangers of {plan.name}: write under making, hangers, which points and "
                            "rails it may hang on")
    choices = {choice.rule: choice.version for choice in results.build.rules}
    around = through_travel(results, plan, domain_of(results.travel))
    return in_hand(results, plan, made.said, made.chain, made.growth, around, choices)


def _plan(results: Results, name: str) -> RoutePlan:
    plan = next((r for r in results.build.routes if r.name == name), None)
    if plan is None:
        known = ", ".join(r.name for r in results.build.routes) or "none"
        raise DraggingError(f"the build has no exhaust of the name {name}; it has: {known}")
    return plan


def _gaps(results: Results, laid: LaidRoute, quick: bool) -> tuple[tuple[RouteGap, ...], list[Finding]]:
    travel = results.travel
    domain, margin = domain_of(travel), 0.0 if travel is None else travel.fit_error_mm
    routes = tuple(laid.plan if r.name == laid.plan.name else r for r in results.build.routes)
    known = replace(results, build=replace(results.build, routes=routes))
    untold: list[Finding] = []
    mine = _placed(known, laid, untold)
    others = {p.thing.name: p for p in results.placed}
    worst: dict[str, RouteGap] = {}
    for pair in _pairs(known, laid.plan):
        ours = pair.a.name in mine and pair.a.of is laid.plan
        us, them = (pair.a, pair.b) if ours else (pair.b, pair.a)
        if us.name not in mine or them.name not in others:
            continue
        try:
            found = _gap(pair, mine[us.name], others[them.name], us.name, them.name, domain, margin, quick)
        except GapError as error:
            untold.append(Finding(f"gap.{pair.name}", Verdict.CANNOT_TELL, f"{pair.a.name} to {pair.b.name}: {error}",
                                  "draw one of the two as a box, tube or plate", rule=pair.rule, source=pair.source,
                                  where=pair.where))
            continue
        so_far = worst.get(them.name)
        if so_far is None or found.spare_mm < so_far.spare_mm:
            worst[them.name] = found
    for box in _boxes(known, laid.plan, untold):
        near = [_between(one, box.body, box.required_mm, us, box.name, domain, margin, quick, ours_first=True)
                for us, one in ((name, put.mover) for name, put in mine.items())]
        if near:
            worst[box.name] = min(near, key=lambda g: g.spare_mm)
    return tuple(sorted(worst.values(), key=lambda g: g.spare_mm)), untold


def _boxes(results: Results, plan: RoutePlan, untold: list[Finding]) -> list[Obstacle]:
    """The boxes that the builder keeps a search out of."""
    if plan.wish is None:
        return []
    try:
        return list(keep_outs(plan.wish, results.survey))
    except ProblemError as error:
        untold.append(Finding(f"{route_name(plan)}.keep-out", Verdict.CANNOT_TELL, str(error), "take a reading of it",
                              where=error.where))
        return []


def _placed(results: Results, laid: LaidRoute, untold: list[Finding]) -> dict[str, Placed]:
    """The shares of the route, put where it runs now."""
    paths = {} if results.travel is None else dict(results.travel.paths)
    lines = {route_name(laid.plan): laid}
    found: dict[str, Placed] = {}
    for thing in route_things(results.build, laid.plan):
        try:
            found[thing.name] = place(thing, results.build, results.points, results.sizes, paths, results.meshes, lines)
        except PlacingError as error:
            untold.append(Finding(f"shape.{thing.name}", Verdict.CANNOT_TELL, str(error),
                                  "mend it: no gap to it can be told", where=thing.where))
    return found


def _pairs(results: Results, plan: RoutePlan) -> Iterator[Pair]:
    """What the route's shares ask of everything else, in the order of the build."""
    every = things(results.build)
    ours = [t.of is plan for t in every]
    for i, first in enumerate(every):
        for j in range(i + 1, len(every)):
            if ours[i] != ours[j]:
                pair = asked_between(results.build, first, every[j])
                if pair is not None:
                    yield pair


def _gap(pair: Pair, mine: Placed, other: Placed, us: str, them: str, domain: Domain, margin_mm: float, quick: bool
         ) -> RouteGap:  # fmt: skip
    found = _between(mine.mover, other.mover, pair.required_mm, us, them, domain, margin_mm, quick,
                     ours_first=pair.a.name == us)
    return replace(found, pair=pair)


def _between(mine: Rigid | Span, other: Rigid | Span, need: float, us: str, them: str, domain: Domain, margin_mm: float,
             quick: bool, *, ours_first: bool) -> RouteGap:  # fmt: skip
    first, second = (mine, other) if ours_first else (other, mine)
    if quick:
        bound = certified_gap(first, second, domain, need, max_cells=QUICK_CELLS, margin_mm=margin_mm)
    else:
        bound = bounded_gap(first, second, domain, need, margin_mm)
    a, b = _xyz(bound.point_first), _xyz(bound.point_second)
    return RouteGap(them, us, need, float(bound.lower_mm), float(bound.upper_mm), *((a, b) if ours_first else (b, a)),
                    bool(bound.settled) and not quick)


def _xyz(p: Floats) -> Xyz:
    return float(p[0]), float(p[1]), float(p[2])
