"""A laid exhaust at full power: its gas, how hot that makes what is near, how it grows and what is then left of the
gaps."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from trialfit.checks.exhaust_room import others, thing_sd_mm
from trialfit.checks.placing import Placed
from trialfit.checks.results import GapAnswer, Results
from trialfit.exhaust.apart import section_solids
from trialfit.exhaust.chain import Chain
from trialfit.exhaust.gas import flow_range
from trialfit.exhaust.hanger_points import Growth, growth_of
from trialfit.exhaust.hanging import element_at, point_on
from trialfit.exhaust.heat import (
    OUTER_LAYERS,
    Cover,
    EndCone,
    Flow,
    HotRun,
    Merge,
    cover_at,
    heat_on_a_neighbour,
    run_hot,
)
from trialfit.exhaust.parts import BELLOWS
from trialfit.findings import Finding, Verdict, verdict_on
from trialfit.geometry import Domain, GapError, Rigid, certified_gap, gap_at
from trialfit.geometry.solids import Box, Capsule, Frustum, Prism, Solid, TriangleMesh
from trialfit.standards import table
from trialfit.vehicle import GasSaid, MakingSaid, RoutePlan

Floats = NDArray[np.float64]

STEP_MM = 120.0
"""From one place on the pipe to the next, where a neighbour's heat is looked at [mm]."""
BEND_STEP_MM = 20.0
FAR_MM = 500.0
"""Farther from the pipe than this nothing is asked for its heat [mm]; our own choice."""
WARMED_K = 15.0
"""By how much the pipe may have warmed the air about what is near it [K]; common practice, no source."""
STILL = 10.0
"""Heat that the air takes off a thing beside the pipe [W/(m2*K)]; still air, as after a hard drive, for that is when
it gets hottest; from memory."""
MOST_SHIELDS = 2
SHEET_ROOM_MM = 10.0
"""A bright sheet keeps off the pipe, off the thing and off another sheet [mm]; common practice, no source."""
HOT_NEAR_MM = 60.0
"""Gaps that have less than this to spare are looked at again hot [mm]; our own choice: growth moves no point so far."""
COLD_K = 293.15
_LIMITS = table("heat_limits")
_RIDE = (0.0, 0.0, 0.0)
ESTIMATE = "radiation of a long cylinder on a small face turned to it (from memory)"
SHIELD = "keep the shield 10 mm off the pipe and off the thing, open at both ends for air"


@dataclass(frozen=True, slots=True)
class HotNeighbour:
    """Something near the pipe: its name and kind, its distance from the pipe's skin where it is hottest [mm], how hot
    its surface gets, low and high [K], the limit of its kind [K], the verdict, what mends it, and how far along the
    pipe that place is [mm]. ``shields`` are the bright sheets that make it sure, None where ``MOST_SHIELDS`` do not."""

    name: str
    kind: str
    distance_mm: float
    surface_k: tuple[float, float]
    limit_k: float
    verdict: Verdict
    remedy: str = ""
    at_mm: float = 0.0
    shields: int | None = 0


@dataclass(frozen=True, slots=True)
class HotGap:
    """A gap over the travel with the pipe cold and grown, each certain from below [mm], against what is required, with
    an estimate of its standard deviation [mm]."""

    name: str
    a: str
    b: str
    required_mm: float
    cold_mm: float
    hot_mm: float
    hot_most_mm: float
    sd_mm: float


def flows_of(said: MakingSaid, gas: GasSaid, bare: str, merges: tuple[Merge, ...] = (),
             cones: tuple[EndCone, ...] = ()) -> tuple[Flow, Flow]:  # fmt: skip
    """The least and the most gas at full power, all of it leaving at the tail.

    Raises
    ------
    ValueError
        without power or flow, or for an amount out of range
    """
    if gas.flow_kg_s is not None:
        low = high = gas.flow_kg_s
    elif gas.power_w is not None:
        low, high = flow_range(gas.power_w, gas.fuel, gas.mixture)
    else:
        raise ValueError("neither power nor flow of the gas is said")
    covers = tuple(Cover(c.kind, c.from_mm, c.to_mm) for c in said.covers)
    first = Flow(low, gas.outlet_k, gas.outlet_give_k, gas.air_k, covers=covers, bare=bare,
                 merges=merges, cones=cones)
    return first, replace(first, gas_kg_s=high)


def hot_runs(chain: Chain, flows: tuple[Flow, Flow]) -> tuple[HotRun, HotRun]:
    """The pipe at the least and at the most gas.

    Raises
    ------
    ValueError
        as :func:`trialfit.exhaust.heat.run_hot`
    """
    if flows[0].gas_kg_s == flows[1].gas_kg_s:
        run = run_hot(chain, flows[1])
        return run, run
    return run_hot(chain, flows[0]), run_hot(chain, flows[1])


def run_findings(route: str, runs: tuple[HotRun, HotRun], gas: GasSaid) -> list[Finding]:
    """Back pressure against what is wanted, and how fast the gas gets."""
    low, high = runs[0].back_mpa[0], runs[1].back_mpa[1]
    words = f"back pressure {1000.0 * low:.1f} to {1000.0 * high:.1f} kPa at full power"
    if runs[0] is not runs[1]:
        words += ", from the least gas to the most"
    if runs[1].assumed:
        words += f"; the loss of {', '.join(runs[1].assumed)} by the usual range of its kind"
    name = f"exhaust.{route}.back-pressure"
    if gas.wanted_mpa is None:
        return [Finding(name, Verdict.FITS, words, source="Crane Technical Paper 410 (from memory)", where=gas.where)]
    verdict = verdict_on(gas.wanted_mpa - high, gas.wanted_mpa - low, 0.0, 0.0)
    remedy = "" if verdict is Verdict.FITS else (
        "give the loss of the parts by their makers' figures, and the gas by a measured flow"
        if verdict is Verdict.CANNOT_TELL else "take wider tube, rounder bends, or a freer muffler: see the table of "
        "diameters")
    return [Finding(name, verdict, f"{words}, {1000.0 * gas.wanted_mpa:.1f} kPa wanted at most", remedy,
                    1000.0 * (gas.wanted_mpa - high), None, "kPa", source="Crane Technical Paper 410 (from memory)",
                    where=gas.where)]


# -- what is near ---------------------------------------------------------------------------------------------------


def hot_neighbours(results: Results, plan: RoutePlan, chain: Chain, flow: Flow, run: HotRun, domain: Domain
                   ) -> tuple[HotNeighbour, ...]:  # fmt: skip
    """How hot each thing of a kind that heat spoils gets, looked at every 120 mm of the pipe.

    Distances are those at ride height less what the travel takes away from the smallest of them, which errs to too
    hot; so does that the thing is taken to see a long straight pipe. Between two pipes nothing is added up.
    """
    known = {str(row["kind"]) for row in _LIMITS.rows}
    spots = _spots(chain)
    found = []
    for one in others(results, plan):
        kind = _heat_kind(results, one)
        if kind not in known:
            continue
        near = _distances(one, spots, domain, 0.0 if results.travel is None else results.travel.fit_error_mm)
        if not near or min(d for _, d in near) > FAR_MM:
            continue
        limit = _LIMITS.number(kind, "limit_degc") + 273.15
        found.append(_neighbour(one.thing.name, kind, limit, near, chain, flow, run))
    return tuple(found)


def _heat_kind(results: Results, one: Placed) -> str:
    shaft = results.build.shaft
    tube = None if shaft is None else shaft.tube
    wound = one.thing.kind == "shaft" and tube is not None and tube.material == "wound carbon"
    return "shaft-composite" if wound else one.thing.kind


def _spots(chain: Chain) -> list[tuple[float, Solid]]:
    """Short sticks of the pipe, and its parts whole, each with the station of its middle."""
    found: list[tuple[float, Solid]] = []
    for element in chain.elements:
        middle = element.from_mm + 0.5 * element.length_mm
        if element.is_part:
            found += [(middle, s) for s in section_solids((element,))]
            continue
        # a chord of a bend stands inside of its arc: short ones by little
        count = max(1, math.ceil(element.length_mm / (STEP_MM if element.turn_rad <= 0.0 else BEND_STEP_MM)))
        ends = [element.from_mm + element.length_mm * k / count for k in range(count + 1)]
        found += [(0.5 * (a + b), Capsule(point_on(chain, a)[0], point_on(chain, b)[0], 0.5 * element.outside_mm))
                  for a, b in pairwise(ends)]
    return found


def _distances(one: Placed, spots: Sequence[tuple[float, Solid]], domain: Domain, margin_mm: float
               ) -> list[tuple[float, float]]:  # fmt: skip
    """Station and distance [mm] of every piece that is near enough to matter."""
    pipe = Rigid(tuple(solid for _, solid in spots))
    try:
        least = gap_at(pipe, one.mover, _RIDE).lower_mm
        if least > 2.0 * FAR_MM:
            return []
        lost = 0.0
        if one.thing.moves:
            lost = max(0.0, least - certified_gap(pipe, one.mover, domain, FAR_MM, margin_mm=margin_mm).lower_mm)
        return [(s, gap_at(Rigid((solid,)), one.mover, _RIDE).lower_mm - lost) for s, solid in spots]
    except GapError:
        return []


def _neighbour(name: str, kind: str, limit_k: float, near: Sequence[tuple[float, float]], chain: Chain, flow: Flow,
               run: HotRun) -> HotNeighbour:
    worst = max(((*_surface(chain, flow, run, s, max(d, 0.0), 0), s, d) for s, d in near if d <= FAR_MM),
                key=lambda row: row[1])
    low, high, at, distance = worst
    # a sheet keeps off the pipe, off the thing and off the next sheet: where there is no room for that, none helps
    room = max(math.floor(distance / SHEET_ROOM_MM) - 1, 0)
    shields = next((n for n in range(min(MOST_SHIELDS, room) + 1)
                    if _surface(chain, flow, run, at, max(distance, 0.0), n)[1] <= limit_k), None)
    verdict, remedy = Verdict.FITS, ""
    sheets = "one bright sheet" if shields == 1 else f"{shields} bright sheets"
    if high > limit_k:
        # whether it needs the work may be open, but with the work it fits
        if shields:
            verdict, remedy = Verdict.FITS_AFTER_WORK, f"set {sheets} between it and the pipe: {SHIELD}"
            if low <= limit_k:
                remedy += "; or let a strip that shows its greatest temperature, stuck to it for one hard drive, tell "
                remedy += "whether it needs them" if shields > 1 else "whether it needs it"
        elif low <= limit_k:
            verdict = Verdict.CANNOT_TELL
            remedy = ("lay the pipe farther off, or let a strip that shows its greatest temperature, stuck to it for "
                      "one hard drive, tell")
        else:
            verdict, remedy = Verdict.DOES_NOT_FIT, "lay the pipe farther off: shields alone do not do it" + (
                "" if room >= MOST_SHIELDS else f", for {distance:.0f} mm leave room for {room}")
    return HotNeighbour(name, kind, distance, (low, high), limit_k, verdict, remedy, at, shields)


def _surface(chain: Chain, flow: Flow, run: HotRun, at_mm: float, distance_mm: float, shields: int
             ) -> tuple[float, float]:  # fmt: skip
    element = element_at(chain, at_mm)
    kind = cover_at(flow, at_mm)
    row = OUTER_LAYERS.row(kind)
    # what looks at a flat box sees its wider side
    across = max(element.outside_mm, element.width_mm) if element.is_part else element.outside_mm
    across += 2.0 * float(row["thickness_mm"])
    middle = distance_mm + 0.5 * across
    skin = run.skin_at(at_mm)
    ends = ((skin[0], "low", flow.air_k), (skin[1], "high", flow.air_k + WARMED_K))
    low, high = (heat_on_a_neighbour(max(t, 250.0), across, middle, float(row[f"emissivity_{end}"]), air, STILL,
                                     float(shields)) for t, end, air in ends)
    return low, max(low, high)


def neighbour_findings(route: str, plan: RoutePlan, neighbours: Sequence[HotNeighbour]) -> list[Finding]:
    """One finding for each thing that heat spoils."""
    found = []
    for one in neighbours:
        low, high = (t - 273.15 for t in one.surface_k)
        found.append(Finding(
            f"exhaust.{route}.heat.{_slug(one.name)}", one.verdict,
            f"{one.name}, {one.distance_mm:.0f} mm from the skin {one.at_mm:.0f} mm along the pipe, gets {low:.0f} to "
            f"{high:.0f} degC; {one.limit_k - 273.15:.0f} degC is what its kind ({one.kind}) stands", one.remedy,
            one.limit_k - one.surface_k[1], None, "K", "common practice, no source", ESTIMATE, plan.where))
    return found


def _slug(name: str) -> str:
    return "-".join("".join(c if c.isalnum() else " " for c in name.lower()).split())


# -- growth ---------------------------------------------------------------------------------------------------------


def growth_when_hot(material: str, run: HotRun) -> Growth:
    """Free growth of the pipe by the mean temperature of its wall, least and most; where the coefficient of the grade
    is known for little heat alone, the most counts what it falls short by.

    Raises
    ------
    ValueError
        for a material that is not in the table
    """
    row = table("exhaust_tubes").row(material)
    grown = growth_of(str(row["expansion"]), run.mean_metal_k(), COLD_K)
    return Growth((grown.share[0], grown.share[1] * (1.0 + float(row["short_by"]))), grown.outlet_mm)


def scaled(solid: Solid, about: Floats, times: float) -> Solid:
    """A solid grown from a point by so many times, all ways alike."""

    def put(p: Floats) -> Floats:
        moved: Floats = about + times * (p - about)
        return moved

    match solid:
        case Capsule():
            return Capsule(put(solid.start), put(solid.end), times * solid.radius_mm, times * solid.slack_mm)
        case Frustum():
            return Frustum(put(solid.start), put(solid.end), times * solid.radius_start_mm,
                           times * solid.radius_end_mm)
        case Box():
            return Box(put(solid.centre), times * solid.half_mm, solid.axes)
        case Prism():
            return Prism(put(solid.corners), times * solid.thickness_mm)
        case TriangleMesh():
            return TriangleMesh(put(solid.vertices), solid.triangles)


def hot_gaps(results: Results, plan: RoutePlan, growth: Growth, domain: Domain) -> tuple[HotGap, ...]:
    """The gaps of the route that have less than 60 mm to spare, again with the pipe grown.

    All of the pipe is grown from its outlet by the most that it may, as if nothing held it: hangers and bellows keep
    some of that back, which errs to too much movement. Both lengths are looked at, for growth may open a gap.
    """
    outlet = results.points.get(plan.outlet)
    if outlet is None:
        return ()
    placed = {p.thing.name: p for p in results.placed}
    margin = 0.0 if results.travel is None else results.travel.fit_error_mm
    found = []
    for answer in results.gaps:
        a, b = answer.pair.a, answer.pair.b
        ours = [t for t in (a, b) if isinstance(t.of, RoutePlan) and t.of.name == plan.name]
        if not ours or answer.lower_mm > answer.pair.required_mm + HOT_NEAR_MM:
            continue
        pipe, other = placed[ours[0].name], placed[(b if ours[0] is a else a).name]
        assert isinstance(pipe.mover, Rigid)
        lows, highs = [], []
        for share in sorted(set(growth.share)):
            grown = Rigid(tuple(scaled(s, outlet, 1.0 + share) for s in pipe.mover.solids), pipe.mover.path)
            try:
                bound = certified_gap(grown, other.mover, domain, answer.pair.required_mm, margin_mm=margin, exact=True)
            except GapError:
                break
            lows.append(bound.lower_mm)
            highs.append(bound.upper_mm)
        if len(lows) == len(set(growth.share)):
            sd = math.hypot(thing_sd_mm(results, pipe), thing_sd_mm(results, other))
            found.append(HotGap(answer.pair.name, a.name, b.name, answer.pair.required_mm, answer.lower_mm, min(lows),
                                max(min(highs), min(lows)), sd))
    return tuple(found)


def hot_gap_findings(route: str, plan: RoutePlan, gaps: Sequence[HotGap], answers: Sequence[GapAnswer]
                     ) -> list[Finding]:  # fmt: skip
    """One finding for each gap that was looked at hot."""
    rules = {a.pair.name: a.pair for a in answers}
    found = []
    for gap in gaps:
        pair = rules[gap.name]
        verdict = verdict_on(gap.hot_mm, gap.hot_most_mm, gap.required_mm, gap.sd_mm)
        found.append(Finding(
            f"exhaust.{route}.hot-gap.{gap.name}", verdict,
            f"{gap.a} to {gap.b}: {gap.cold_mm:.1f} mm cold, {gap.hot_mm:.1f} mm hot and free to grow, "
            f"{gap.required_mm:.1f} mm asked for", "" if verdict is Verdict.FITS else
            "hold the pipe back with a hanger beside it, put a bellows before it, or lay it farther off",
            gap.hot_mm - gap.required_mm, gap.sd_mm, "mm", pair.rule, pair.source, plan.where))
    return found


def growth_words(chain: Chain, growth: Growth) -> str:
    """How far the free tail goes when hot."""
    reach = chain.elements[-1].end - chain.elements[0].start
    low, high = (share * reach for share in growth.share)
    ways = []
    for k, (plus, minus) in enumerate((("rearward", "forward"), ("to the right", "to the left"), ("up", "down"))):
        if max(abs(low[k]), abs(high[k])) >= 0.5:
            ways.append(f"{abs(low[k]):.1f} to {abs(high[k]):.1f} mm {plus if high[k] >= 0.0 else minus}")
    size = [float(np.linalg.norm(v)) for v in (low, high)]
    told = f": {', '.join(ways)}" if ways else ""
    return f"the free tail goes {size[0]:.1f} to {size[1]:.1f} mm when hot{told}"


def growth_finding(route: str, chain: Chain, growth: Growth, hung: bool, plan: RoutePlan) -> Finding:
    """Where the growth goes."""
    bellows = [e.name for e in chain.elements if e.kind == BELLOWS]
    words = growth_words(chain, growth)
    name = f"exhaust.{route}.growth"
    source = "physics, linear expansion"
    if not hung:
        return Finding(name, Verdict.CANNOT_TELL, f"{words}; what takes it up is not known: no hangers are worked out",
                       "say under hangers where it may hang and in what rubber", source=source, where=plan.where)
    takes = f"{' and '.join(bellows)} and the hangers' rubbers take it up" if bellows else (
        "the hangers' rubbers take it up")
    return Finding(name, Verdict.FITS, f"{words}; {takes}, and what that does to welds, outlet and rubber is in the "
                   "findings of the hangers", source=source, where=plan.where)
