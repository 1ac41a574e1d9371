"""What the builder says of hanging an exhaust, put where the hardpoints are, and the choice of hangers it comes to."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from trialfit.checks.exhaust_room import HOLDS, ThroughTravel
from trialfit.checks.results import Results
from trialfit.exhaust.chain import Chain
from trialfit.exhaust.hanger_points import (
    Candidate,
    Growth,
    HangerPlan,
    HangerWish,
    Idle,
    NoHangers,
    Rail,
    Xyz,
    seats_of,
)
from trialfit.exhaust.hanger_rod import Bracket, RodShape
from trialfit.exhaust.hangers import Rack, hang, rack_of
from trialfit.exhaust.hanging import ExtraMissing, NotWeighed
from trialfit.exhaust.isolators import USUAL_LEVEL_N_MM, Isolator, strand_isolator, unknown_isolator
from trialfit.findings import Finding, Verdict
from trialfit.geometry.solids import Capsule
from trialfit.vehicle import BracketSaid, HangersSaid, HungAtSaid, MakingSaid, RoutePlan, RubberSaid

MOST_PLACES = 60
"""Places looked at for hangers, at most [-]."""
USUAL_DROP_MM = 50.0
"""From the frame's hole down to the rod's, where nobody said [mm]; common practice, no source."""


def rubber_of(said: RubberSaid | None) -> Isolator:
    """The rubber as the frame model takes it: measured, by hardness, or the usual range."""
    if said is None:
        return unknown_isolator(USUAL_DROP_MM)
    if said.stiffness_n_mm is not None:
        level = said.level_n_mm or USUAL_LEVEL_N_MM
        return Isolator("rubber", level, level, said.stiffness_n_mm, said.drop_mm, said.most_n, said.most_mm)
    if said.shore is not None and said.area_mm2 is not None and said.length_mm is not None:
        return strand_isolator("rubber", said.shore, said.area_mm2, said.length_mm, said.drop_mm, float(said.strands),
                               said.most_n, said.most_mm)
    usual = unknown_isolator(said.drop_mm)
    return Isolator(usual.name, usual.x_n_mm, usual.y_n_mm, usual.z_n_mm, said.drop_mm, said.most_n, said.most_mm,
                    known=False)


def _bracket(said: BracketSaid | None) -> Bracket | None:
    if said is None:
        return None
    return Bracket(said.arm_mm, said.breadth_mm, said.depth_mm, said.leg_mm, said.weld_mm, said.bolts, said.radius_mm,
                   said.thread, said.grade)


def _places(results: Results, plan: RoutePlan, said: HangersSaid, found: list[Finding]
            ) -> tuple[tuple[Candidate, ...], tuple[Rail, ...]]:  # fmt: skip
    def at(name: str, where: object) -> tuple[Xyz, float] | None:
        if not results.survey.has(name):
            found.append(Finding(
                f"exhaust.{plan.name}.hanger.point.{name}", Verdict.CANNOT_TELL,
                f"hardpoint {name} has no place, so nothing is hung there: {results.survey.why_not(name)}",
                f"take a reading of {name}", where=said.where))
            return None
        x, y, z = (float(v) for v in results.points[name])
        return (x, y, z), results.survey.doubt_mm(name)

    points, rails = [], []
    for p in said.points:
        known = at(p.point, p.where)
        if known is not None:
            points.append(Candidate(p.point, known[0], p.kind, not p.not_for, p.not_for, known[1], p.price, p.most_n,
                                    _bracket(p.bracket), p.where))
    for r in said.rails:
        first, last = at(r.start, r.where), at(r.end, r.where)
        if first is not None and last is not None:
            # steps of one length, none longer than asked: a rest of a few mm would be one place twice
            far = math.dist(first[0], last[0])
            step = min(max(far / max(math.ceil(far / r.every_mm), 1), 10.0), 1000.0)
            rails.append(Rail(f"{r.start} to {r.end}", first[0], last[0], step, r.kind, True, "",
                              max(first[1], last[1]), r.price, _bracket(r.bracket), r.where))
    return tuple(points), tuple(rails)


def _reachable(chain: Chain, wish: HangerWish, around: ThroughTravel) -> HangerWish:
    """The wish with its places told one by one; one whose rod would be hit in the travel is not allowed."""
    places = (*wish.candidates, *(c for r in wish.rails for c in r.candidates()))
    hit: dict[str, str] = {}
    for seat in seats_of(chain, wish)[0]:
        rod = seat.rod
        line = rod.line.polyline()
        gap, _, name = around.gap([Capsule(a, b, 0.5 * rod.diameter_mm) for a, b in pairwise(line)
                                   if math.dist(a, b) > 1e-6])
        if gap <= 0.0:
            hit[seat.candidate.name] = f"its rod would meet {name} by {-gap:.0f} mm"
    return replace(wish, rails=(), candidates=tuple(
        replace(c, allowed=False, why_not=hit[c.name]) if c.name in hit else c for c in places))


def hung(results: Results, plan: RoutePlan, making: MakingSaid, chain: Chain, growth: Growth | None,
         around: ThroughTravel, choices: Mapping[str, str], found: list[Finding],
         stop: Callable[[], bool] = lambda: False) -> HangerPlan | None:
    """The choice of hangers of a route; None, and a finding why, where there is none. ``stop`` is asked now and then;
    True ends the search."""
    said = making.hangers
    if said is None:
        return None
    try:
        wish = _wish(results, plan, making, growth, choices, found)
        free = around.without(HOLDS)
        if said.use:
            decided = tuple(_decided(wish, one) for one in said.use)
            wish = _reachable(chain, replace(wish, candidates=decided, rails=()), free)
            unused = seats_of(chain, wish)[1]
            if unused:
                raise NoHangers("not to be hung on where you decided: "
                                + "; ".join(f"{d.candidate.name}, {d.why}" for d in unused))
            made = rack_of(chain, wish, free.rod).on([c.name for c in decided])
        else:
            made = hang(chain, _reachable(chain, wish, free), free.rod, stop=stop)
    except _REFUSALS as refused:
        found.append(_refused(plan, said, refused))
        return None
    found += made.findings
    return made


@dataclass(frozen=True, slots=True, eq=False)
class InHand:
    """What hangers are judged by while somebody tries one place after the other; ``places`` by the name of each
    candidate what the build file calls it."""

    rack: Rack
    places: Mapping[str, HungAtSaid]


def in_hand(results: Results, plan: RoutePlan, making: MakingSaid, chain: Chain, growth: Growth | None,
            around: ThroughTravel, choices: Mapping[str, str]) -> InHand | Finding:
    """Every place for hangers, those decided on among them, ready for any choice to be asked; a finding where that
    cannot be had.

    Parameters
    ----------
    making : MakingSaid
        with its hangers
    """
    said = making.hangers
    assert said is not None
    try:
        wish = _wish(results, plan, making, growth, choices, [])
        known = {c.name: (c, HungAtSaid(c.name)) for c in wish.candidates}
        for one in said.use:
            place = _decided(wish, one)
            known[place.name] = (place, one)
        for rail in wish.rails:
            start, _, end = rail.name.partition(" to ")
            for along in rail.steps():
                place = rail.candidate(along)
                known.setdefault(place.name, (place, HungAtSaid(start, end, along)))
        wish = replace(wish, candidates=tuple(c for c, _ in known.values()), rails=())
        free = around.without(HOLDS)
        rack = rack_of(chain, _reachable(chain, wish, free), free.rod)
        return InHand(rack, {name: one for name, (_, one) in known.items()})
    except _REFUSALS as refused:
        return _refused(plan, said, refused)


_REFUSALS = (NoHangers, NotWeighed, ExtraMissing, ValueError)


def _refused(plan: RoutePlan, said: HangersSaid, why: Exception) -> Finding:
    verdict, reason, remedy, about = Verdict.CANNOT_TELL, str(why), "mend what is named", "choice"
    match why:
        case NoHangers():
            verdict = Verdict.DOES_NOT_FIT
            remedy = "name another place under use, or take use out" if said.use else (
                "name such a point or rail under hangers")
        case NotWeighed():
            reason = f"{plan.name} cannot be hung on paper: {why}"
            remedy, about = f"weigh them, and write under making, parts: {{{why.names[0]}: {{mass: 4.5 kg}}}}", "mass"
        case ExtraMissing():
            remedy, about = "set it up, or hang the pipe by trial", "library"
        case _TooMany():
            remedy = f"name {MOST_PLACES} at most: take a longer step along the rails, or shorter stretches of them"
        case _:
            reason = f"{plan.name} cannot be hung on paper: {why}"
    return Finding(f"exhaust.{plan.name}.hanger.{about}", verdict, reason, remedy, where=said.where)


class _TooMany(ValueError):
    """More places than can be worked."""


def _decided(wish: HangerWish, one: HungAtSaid) -> Candidate:
    """The place that the builder decided on."""
    if not one.end:
        known = next((c for c in wish.candidates if c.name == one.start), None)
    else:
        rail = next((r for r in wish.rails if r.name == f"{one.start} to {one.end}"), None)
        try:
            known = None if rail is None else rail.candidate(one.along_mm)
        except ValueError as beyond:
            raise NoHangers(f"not to be hung on where you decided: {beyond}") from beyond
    if known is None:
        raise NoHangers(f"{one.start}, which you decided on, has no place yet: take a reading of it")
    return known


def _wish(results: Results, plan: RoutePlan, making: MakingSaid, growth: Growth | None, choices: Mapping[str, str],
          found: list[Finding]) -> HangerWish:  # fmt: skip
    """What the builder says of hanging it, where the hardpoints are."""
    said = making.hangers
    assert said is not None
    points, rails = _places(results, plan, said, found)
    count = len(points) + sum(len(r.candidates()) for r in rails)
    if count > MOST_PLACES:
        raise _TooMany(f"{count} places to hang {plan.name} on are more than can be worked")
    idle = None
    if said.idle_rpm is not None and said.cylinders is not None:
        idle = Idle(said.idle_rpm, said.cylinders)
    rates = {c.name: c.rate_n_mm for c in making.carried if c.rate_n_mm is not None}
    sd = results.survey.doubt_mm(plan.outlet) if results.survey.has(plan.outlet) else 0.0
    return HangerWish(
        points, {"": rubber_of(said.rubber)}, rails, said.at_most, RodShape(said.rod_mm, said.rod_radius_mm),
        said.reach_mm, None, rates, idle, growth, choices, said.outlet_n_mm, pipe_sd_mm=sd, where=said.where)
