"""Everything about making one laid exhaust: size and heat, stock, fit-up, hangers, joints, ways out, sensor, branches.

In: the results of a build and what its file says under ``making:``. Out: a :class:`Making` for each laid route, with
findings ``exhaust.<route>.<subject>``. What the file does not say is not worked out, and nothing is said of it.
"""

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trialfit.checks.exhaust_room import (
    lines_near,
    obstacles,
    surroundings,
    through_travel,
)
from trialfit.checks.hot_exhaust import (
    HotGap,
    HotNeighbour,
    flows_of,
    growth_finding,
    growth_when_hot,
    hot_gap_findings,
    hot_gaps,
    hot_neighbours,
    hot_runs,
    neighbour_findings,
    run_findings,
)
from trialfit.checks.hung_exhaust import hung
from trialfit.checks.placing import PlacingError, amount_mm
from trialfit.checks.results import Results
from trialfit.checks.said_twice import said_twice
from trialfit.checks.stocking import branch_said, cone_said
from trialfit.exhaust.bend_table import BenderTable, TubeRun, bender_table, tube_runs
from trialfit.exhaust.beside import Beside, beside_of
from trialfit.exhaust.branch import BranchCut, branch_cut, branch_findings
from trialfit.exhaust.chain import JOINT, Chain, chain_of
from trialfit.exhaust.fit_up import misses
from trialfit.exhaust.hanger_points import Growth, HangerPlan
from trialfit.exhaust.heat import EndCone, Flow, HotRun, Merge
from trialfit.exhaust.joints import (
    Apart,
    Exchange,
    JointSaid,
    exchange_findings,
    exchanges,
    joint_findings,
    nut_clocks,
    spoken_clocks,
)
from trialfit.exhaust.lay import LaidRoute
from trialfit.exhaust.nesting import Nest
from trialfit.exhaust.pieces import CutList, Wrap
from trialfit.exhaust.removal import (
    Answer,
    Budget,
    FreeingPlace,
    Removal,
    Stand,
    freeing_finding,
    freeing_place,
    remove_all,
)
from trialfit.exhaust.removal import findings as removal_findings
from trialfit.exhaust.saw_marks import as_sawn
from trialfit.exhaust.sensor import SensorPlaces, sensor_findings, sensor_places
from trialfit.exhaust.sensor import SensorSaid as SensorAsked
from trialfit.exhaust.sizing import PipeChoice, SizeRow, by_diameter
from trialfit.exhaust.transitions import (
    ConeCut,
    cone_finding,
    cone_mass_kg,
    cone_room_finding,
    cone_solid,
)
from trialfit.exhaust.welding import FitUpPlan, fit_up_plan
from trialfit.findings import Finding, Verdict
from trialfit.geometry import Domain
from trialfit.geometry.centreline import legs
from trialfit.standards import density_kg_mm3, rule, table
from trialfit.structure.tube import tube_bore_mm
from trialfit.vehicle import Amount, MakingSaid, RoutePlan

Floats = NDArray[np.float64]

MATERIAL = "mild steel"
"""What the tube is taken for where nobody said."""
MARKED_MM = 1.0
"""How finely a person marks lengths on a pipe [mm]; common practice, no source."""
LANDS_MM, LANDS_RAD = 0.1, math.radians(0.05)
"""How near the pieces as cut must come to the tail that was laid."""
BUDGET = Budget(plain=600, planner=1500, places=600)
"""Search for a way out, for each section and pose."""
FREEING = Budget(plain=400, planner=0, places=0)
"""The same for each other place of a joint."""
MOST_FREEING = 6
JOINT_MM = 50.0
"""Length of a joint along the pipe where the route has none to go by [mm]; common practice, no source."""

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True, eq=False)
class Making:
    """All about making one route. What was not asked for, or could not be worked out, is None or empty; a finding says
    why it could not.

    ``material`` is a row of the table of exhaust tubes; ``kerf_mm`` what the saw takes; ``lands_mm`` and ``lands_rad``
    how far the pieces put together from the cut list end from the laid tail, ``marked_mm`` the same with lengths and
    marks rounded as a person marks them. ``runs`` are the least and the most gas at full power.
    """

    plan: RoutePlan
    said: MakingSaid
    material: str
    laid: LaidRoute
    cuts: CutList
    chain: Chain
    kerf_mm: float
    nest: Nest | None = None
    bends: BenderTable | None = None
    tube: tuple[TubeRun, ...] = ()
    fit_up: FitUpPlan | None = None
    lands_mm: float | None = None
    lands_rad: float | None = None
    marked_mm: float | None = None
    flow: Flow | None = None
    runs: tuple[HotRun, HotRun] | None = None
    sizes: tuple[SizeRow, ...] = ()
    neighbours: tuple[HotNeighbour, ...] = ()
    growth: Growth | None = None
    hot_gaps: tuple[HotGap, ...] = ()
    hangers: HangerPlan | None = None
    joints: tuple[JointSaid, ...] = ()
    exchanges: tuple[Exchange, ...] = ()
    removals: tuple[Removal, ...] = ()
    freeing: FreeingPlace | None = None
    sensor: SensorPlaces | None = None
    branches: tuple[BranchCut, ...] = ()
    cones: tuple[ConeCut, ...] = ()
    beside: tuple[Beside, ...] = ()
    findings: tuple[Finding, ...] = ()
    waiting: bool = False
    """hangers or ways out are asked for and not worked out yet; see :func:`finished`"""

    @property
    def route(self) -> str:
        """Name of the route."""
        return self.plan.name

    @property
    def papers(self) -> tuple[Wrap, ...]:
        """Papers of branches and cones."""
        return (*(w for b in self.branches for w in b.papers), *(c.paper for c in self.cones))

    @property
    def run(self) -> HotRun | None:
        """The pipe at the most gas."""
        return None if self.runs is None else self.runs[1]


def makings(results: Results, domain: Domain, *, full: bool = True,
            progress: Progress | None = None) -> tuple[Making, ...]:
    """The making of every laid route of a build.

    Parameters
    ----------
    results : Results
        of the build; without its gaps the hot ones are left out
    domain : Domain
        the travel that the gaps are held over
    full : bool
        False leaves out hangers and ways out, which take most of the time
    progress : callable or None
        told (done, of, what)
    """
    cuts = {c.route: c for c in results.cuts}
    laid = [r for r in results.routes if r.plan.name in cuts]
    made = []
    for done, route in enumerate(laid):
        if progress is not None:
            progress(done, len(laid), f"making {route.plan.name}")
        made.append(making_of(results, route, cuts[route.plan.name], domain, full=full))
    return tuple(made)


def making_of(results: Results, laid: LaidRoute, cuts: CutList, domain: Domain, *, full: bool = True) -> Making:
    """The making of one laid route; parameters as :func:`makings`. Nothing raises for what a builder may have written.
    """
    plan = laid.plan
    said = plan.making or MakingSaid()
    asked = plan.making is not None
    material = said.material or MATERIAL
    row = table("exhaust_tubes").row(material)
    chain = _weighed(chain_of(laid, cuts, str(row["density"])), said)
    choices = {choice.rule: choice.version for choice in results.build.rules}
    found: list[Finding] = []
    plan_of_cuts = results.stock_plan(plan.name)
    made = Making(plan, said, material, laid, cuts, chain, plan_of_cuts.kerf_mm, plan_of_cuts.nest)
    found += plan_of_cuts.findings
    made = _cut_and_joined(made, results, found)
    off = _not_on_the_pipe(laid, chain) if asked else []
    found += off
    if said.cones:
        made = _coned(made, results, domain, choices, found)
    if said.gas is not None:
        made = _heated(made, results, domain, found)
    if asked and (said.parted or any(e.kind == JOINT for e in chain.elements)):
        made = _joined(made, results, choices, found)
    if said.sensor is not None:
        made = _sensed(made, results, choices, found)
    if said.branches:
        made = _branched(made, results, domain, found)
    made = _fitted_up(made, results, found)
    found += said_twice(results.build, plan)
    if not asked:
        found = []
    made = replace(made, findings=tuple(found), waiting=said.hangers is not None or said.stands is not None)
    if full and made.waiting:
        return finished(results, made, domain)
    if made.growth is not None and not made.waiting and asked:
        made = replace(made, findings=(*found, growth_finding(plan.name, chain, made.growth, False, plan)))
    return made


def finished(results: Results, made: Making, domain: Domain, stop: Callable[[], bool] = lambda: False) -> Making:
    """The same with hangers and ways out, where they are asked for and were left out.

    Parameters
    ----------
    stop : callable
        asked now and then while ways out are looked for; True ends that search with "not found"
    """
    if not made.waiting:
        return made
    plan, said = made.plan, made.said
    choices = {choice.rule: choice.version for choice in results.build.rules}
    found = list(made.findings)
    off = _not_on_the_pipe(made.laid, made.chain)
    if off:
        found.append(Finding(f"exhaust.{plan.name}.making", Verdict.CANNOT_TELL,
                             f"hangers and ways out of {plan.name} wait for its parts: "
                             f"{'; '.join(f.reason for f in off)}", "mend the parts first", where=said.where))
    else:
        if said.hangers is not None:
            around = through_travel(results, plan, domain)
            plan_found = hung(results, plan, said, made.chain, made.growth, around, choices, found, stop)
            made = replace(made, hangers=plan_found)
        if said.stands is not None:
            made = _taken_out(made, results, choices, found, stop)
    if made.growth is not None:
        found.append(growth_finding(plan.name, made.chain, made.growth, made.hangers is not None, plan))
    return replace(made, findings=tuple(found), waiting=False)


def _weighed(chain: Chain, said: MakingSaid) -> Chain:
    """The chain with what the builder says of its parts."""
    told = {c.name: c for c in said.carried}
    elements = tuple(
        e if not e.is_part or e.name not in told else
        replace(e, mass_kg=e.mass_kg if told[e.name].mass_kg is None else told[e.name].mass_kg,
                loss=e.loss if told[e.name].loss is None else told[e.name].loss)
        for e in chain.elements)
    return replace(chain, elements=elements)


def _not_on_the_pipe(laid: LaidRoute, chain: Chain) -> list[Finding]:
    """Parts that do not lie on their straight, each with the straight that would hold it."""
    there = {e.name for e in chain.elements if e.is_part}
    shape = legs(laid.points_mm, laid.radii_mm)
    back = np.concatenate(([0.0], shape.set_back_mm, [0.0]))
    straights = [(float(shape.length_mm[k]) - float(back[k]) - float(back[k + 1]), k + 1, float(back[k]))
                 for k in range(len(shape.length_mm))]
    found = []
    for part in laid.plan.parts:
        if part.name in there:
            continue
        length = laid.sizes[part.length.size][0] if part.length.size in laid.sizes else part.length.mm
        fits = [s for s in straights if s[0] >= length]
        longest = max(straights)
        own = next((s for s in straights if s[1] == part.leg), None)
        words = f"{part.name} is {length:.0f} mm long and does not lie on the straight of leg {part.leg}"
        if own is not None:
            words += f", which is {own[0]:.0f} mm from {own[2]:.0f} mm on"
        if own is not None and own in fits:
            most = own[2] + own[0] - length
            remedy = f"let it begin {min(max(part.start_mm, own[2]), most):.0f} mm from where that leg begins"
        elif fits:
            near = min(fits, key=lambda s: (abs(s[1] - part.leg), -s[0]))
            remedy = f"put it on leg {near[1]}, which has {near[0]:.0f} mm of straight from {near[2]:.0f} mm on"
        else:
            remedy = (f"no straight holds it: the longest is that of leg {longest[1]} with {longest[0]:.0f} mm; take a "
                      f"part of {max(longest[0], 0.0):.0f} mm or less, or lay a longer straight")
        found.append(Finding(f"exhaust.{laid.plan.name}.making.{_slug(part.name)}", Verdict.DOES_NOT_FIT, words, remedy,
                             source="geometry", where=part.where or laid.plan.where))
    return found


def _slug(name: str) -> str:
    return "-".join("".join(c if c.isalnum() else " " for c in name.lower()).split())


# -- stock, bend table, fit-up --------------------------------------------------------------------------------------


def _cut_and_joined(made: Making, results: Results, found: list[Finding]) -> Making:
    laid = made.laid
    if laid.centreline is not None and laid.centreline.bends:
        bends = bender_table(laid.centreline)
        made = replace(made, bends=bends,
                       tube=tube_runs(laid.centreline, [e for e in made.chain.elements if e.is_part]))
    return _landed(made, found)


def _fitted_up(made: Making, results: Results, found: list[Finding]) -> Making:
    """Order of tack, check lengths and welds, once it is known what is welded on beside the pieces."""
    plan, cuts = made.plan, made.cuts
    beside = beside_of(made.chain, cuts, made.branches, made.cones)
    made = replace(made, beside=beside)
    # what the first piece is as long as checks nothing, so the outlet itself is no place to measure from
    fixed = {n: p.tolist() for n, p in results.points.items()
             if results.build.body_of(n) == "frame" and n != plan.outlet}
    try:
        weld = str(table("exhaust_tubes").row(made.material)["welding"])
        return replace(made, fit_up=fit_up_plan(cuts, made.chain, fixed, weld, _seen_from_outlet(results, plan, fixed),
                                                beside, _nuts(made, results)))
    except ValueError as refused:
        found.append(Finding(f"exhaust.{plan.name}.weld", Verdict.DOES_NOT_FIT, str(refused),
                             "choose bare steel or stainless tube", source="common practice, no source",
                             where=made.said.where))
        return made


def _seen_from_outlet(results: Results, plan: RoutePlan, points: Iterable[str]) -> dict[str, Floats]:
    """Covariance (3, 3) of each point less the outlet [mm2], of those that the readings settle."""
    survey = results.survey
    if not survey.has(plan.outlet):
        return {}
    seen: dict[str, Floats] = {}
    for name in points:
        if survey.has(name):
            both = survey.covariance_of([name, plan.outlet])
            seen[name] = both[:3, :3] + both[3:, 3:] - both[:3, 3:] - both[3:, :3]
    return seen


def _nuts(made: Making, results: Results) -> dict[str, str]:
    """How each joint of the pipe is turned so that its nut can be reached, in words; nothing of those where nobody
    looked."""
    told: dict[str, str] = {}
    if not made.joints or not results.placed:
        return told
    room = surroundings(results, made.plan).room
    for element in made.chain.elements:
        if element.kind == JOINT:
            # the finding counts against the flow, as one looks at the tail; the bench looks downstream
            clocks = nut_clocks(element, room)
            told[element.name] = ("no place for its nut leaves room for a tool: see the findings" if not clocks else
                                  f"its nut at {spoken_clocks(sorted(-c for c in clocks))} from the top, plus "
                                  "clockwise looking downstream")
    return told


def _landed(made: Making, found: list[Finding]) -> Making:
    """The closed loop: pieces as cut and marked, put together, against the tail that was laid."""
    line = made.laid.centreline
    if line is None:
        return made
    tail, way = line.point_at(line.length_mm), line.tangent_at(line.length_mm).tolist()
    end = (float(tail[0]), float(tail[1]), float(tail[2]))
    sawn = as_sawn(made.cuts)
    off, turned = misses(sawn, end, way)
    marked, _ = misses(sawn, end, way, MARKED_MM)
    good = off <= LANDS_MM and turned <= LANDS_RAD
    found.append(Finding(
        f"exhaust.{made.route}.fit-up.lands", Verdict.FITS if good else Verdict.DOES_NOT_FIT,
        f"the pieces put together as cut and marked end {off:.2f} mm and {math.degrees(turned):.3f} deg from the laid "
        f"tail; with lengths and marks to {MARKED_MM:g} mm, {marked:.1f} mm",
        "" if good else "do not cut by this list: it does not close", LANDS_MM - off, None, "mm",
        f"within {LANDS_MM:g} mm and {math.degrees(LANDS_RAD):g} deg", "geometry", made.plan.where))
    return replace(made, lands_mm=off, lands_rad=turned, marked_mm=marked)


# -- gas, heat, growth ----------------------------------------------------------------------------------------------


def _heated(made: Making, results: Results, domain: Domain, found: list[Finding]) -> Making:
    plan, said, gas = made.plan, made.said, made.said.gas
    assert gas is not None
    row = table("exhaust_tubes").row(made.material)
    if gas.power_w is None and gas.flow_kg_s is None and results.build.power is not None:
        peak = results.build.power.power
        gas = gas if peak is None else replace(gas, power_w=peak.most.value)
    try:
        flows = flows_of(said, gas, str(row["surface"]), *_joining(made, results))
        runs = hot_runs(made.chain, flows)
    except ValueError as refused:
        found.append(Finding(f"exhaust.{plan.name}.heat", Verdict.CANNOT_TELL,
                             f"heat and back pressure of {plan.name} cannot be worked out: {refused}",
                             "mend what is named, under gas, branches or cones" if made.cones or made.said.branches else
                             "give gas under making: power or flow, and the temperature at the outlet",
                             where=gas.where))
        return made
    found += run_findings(plan.name, runs, gas)
    growth = growth_when_hot(made.material, runs[1])
    near = hot_neighbours(results, plan, made.chain, flows[1], runs[1], domain)
    found += neighbour_findings(plan.name, plan, near)
    gaps = hot_gaps(results, plan, growth, domain)
    found += hot_gap_findings(plan.name, plan, gaps, results.gaps)
    return replace(made, flow=flows[1], runs=runs, growth=growth, neighbours=near, hot_gaps=gaps,
                   sizes=_sizes(made, results, flows[1]))


def _joining(made: Making, results: Results) -> tuple[tuple[Merge, ...], tuple[EndCone, ...]]:
    """What brings gas to the pipe on its way, and the cones at its ends."""
    merges = tuple(
        Merge(b.name, b.at_mm,
              tube_bore_mm(amount_mm(b.diameter, results.sizes), amount_mm(b.wall, results.sizes)), b.brings,
              math.pi - b.angle_rad)
        for b in made.said.branches if b.brings > 0.0)
    return merges, tuple(EndCone(c.name, c.at, tube_bore_mm(c.far_mm, c.wall_mm), c.length_mm) for c in made.cones)


def _sizes(made: Making, results: Results, flow: Flow) -> tuple[SizeRow, ...]:
    """Back pressure against diameter, the laid tube among the choices."""
    pipes: list[tuple[Amount, Amount, float]] = [(t.diameter, t.wall, t.price_per_m) for t in made.said.tubes]
    if not pipes and made.plan.wish is not None:
        pipes = [(p.diameter, p.wall, p.price_per_m) for p in made.plan.wish.pipes]
    choices: list[PipeChoice] = []
    for wide, wall, price in [*pipes, (made.plan.diameter, made.plan.wall, 0.0)]:
        try:
            one = PipeChoice(amount_mm(wide, results.sizes), amount_mm(wall, results.sizes), price)
        except PlacingError:
            continue
        if 2.0 * one.wall_mm < one.outside_mm and not any(
                abs(c.outside_mm - one.outside_mm) < 0.3 and abs(c.wall_mm - one.wall_mm) < 0.05 for c in choices):
            choices.append(one)
    return by_diameter(made.chain, flow, choices) if choices else ()


# -- joints, ways out -----------------------------------------------------------------------------------------------


def _joints_said(made: Making, results: Results) -> tuple[JointSaid, ...]:
    """What is said of the joints that are on the laid pipe."""
    there = {e.name for e in made.chain.elements if e.kind == JOINT}
    told = []
    for one in made.said.parted:
        if one.name not in there:
            continue
        overlap, sd = None, 0.0
        if one.overlap is not None:
            known = results.sizes.get(one.overlap.size, (one.overlap.mm, one.overlap.sd_mm))
            overlap, sd = known
        told.append(JointSaid(one.name, Apart(one.apart), overlap, sd, one.where))
    return tuple(told)


def _joined(made: Making, results: Results, choices: Mapping[str, str], found: list[Finding]) -> Making:
    plan, chain = made.plan, made.chain
    joints = _joints_said(made, results)
    sds = [p.sd_mm for p in made.cuts.pieces if p.sd_mm is not None]
    outside = results.sizes.get(plan.diameter.size, (plan.diameter.mm, plan.diameter.sd_mm))[1]
    long = max((e.length_mm for e in chain.elements if e.kind == JOINT), default=JOINT_MM)
    straight = rule("straight-at-clamp", choices.get("straight-at-clamp")).in_force.value
    try:
        found += joint_findings(chain, joints, room=surroundings(results, plan).room, lines=lines_near(results, plan),
                                choices=choices, doubt_mm=max(sds, default=None), outside_sd_mm=outside,
                                where=made.said.where)
        found += exchange_findings(chain, long, choices, made.said.where)
        return replace(made, joints=joints, exchanges=exchanges(chain, long, straight))
    except ValueError as refused:
        found.append(Finding(f"exhaust.{plan.name}.joint", Verdict.CANNOT_TELL,
                             f"the joints of {plan.name} cannot be judged: {refused}", "mend what is named",
                             where=made.said.where))
        return replace(made, joints=joints)


def _taken_out(made: Making, results: Results, choices: Mapping[str, str], found: list[Finding],
               stop: Callable[[], bool]) -> Making:
    said, plan, chain = made.said.stands, made.plan, made.chain
    assert said is not None
    slips = {j.name: j.overlap_mm for j in made.joints if j.apart is Apart.SLIP and j.overlap_mm is not None}
    count = 1 + sum(1 for e in chain.elements if e.kind == JOINT)
    poses = [("ride height", 0.0)]
    if results.travel is not None and results.travel.stops is not None:
        poses.append(("droop", -results.travel.stops.droop_mm))
    cases = []
    removals: list[Removal] = []
    try:
        for name, heave in poses:
            stand = Stand(name, -said.lifted_mm, said.clear_mm, None, said.ease_mm)
            things = obstacles(results, plan, heave, count)
            cases.append((stand, things))
            removals += remove_all(chain, things, stand, slips=slips, budget=BUDGET, stop=stop)
        found += removal_findings(plan.name, removals, said.where)
        freeing = None
        stuck = [r for r in removals if r.answer in (Answer.TRAPPED, Answer.NOT_FOUND)]
        if stuck:
            straight = rule("straight-at-clamp", choices.get("straight-at-clamp")).in_force.value
            joint = next((e.name for e in chain.elements if e.kind == JOINT), "")
            freeing = freeing_place(chain, (), cases, straight, joint=joint, most=MOST_FREEING, slips=slips,
                                    budget=FREEING, stop=stop)
            found.append(freeing_finding(plan.name, freeing, said.where))
    except ValueError as refused:
        found.append(Finding(f"exhaust.{plan.name}.removal", Verdict.CANNOT_TELL,
                             f"no way out of {plan.name} was looked for: {refused}", "mend what is named",
                             where=said.where))
        return made
    return replace(made, removals=tuple(removals), freeing=freeing)


# -- sensor, branches, cones ----------------------------------------------------------------------------------------


def _sensed(made: Making, results: Results, choices: Mapping[str, str], found: list[Finding]) -> Making:
    said, plan, chain = made.said.sensor, made.plan, made.chain
    assert said is not None
    name = f"exhaust.{plan.name}.sensor.{_slug(said.name)}"
    there = {e.name for e in chain.elements if e.is_part}
    gone = [n for n in (said.after, said.before) if n and n not in there]
    plug: tuple[float, float, float] | None = None
    if isinstance(said.plug, str):
        if not results.survey.has(said.plug):
            gone.append(said.plug)
        else:
            x, y, z = (float(v) for v in results.points[said.plug])
            plug = (x, y, z)
    else:
        plug = said.plug
    if gone:
        found.append(Finding(name, Verdict.CANNOT_TELL, f"the {said.name} goes by {' and '.join(gone)}, which the laid "
                             "pipe or the notebook does not have", "lay it first, or take it out of sensor",
                             where=said.where))
        return made
    asked = SensorAsked(said.name, said.after, said.before, said.turbine, said.ports_mm, said.length_mm, said.bung_mm,
                        said.harness, plug, said.lead_mm, said.where)
    gas: Callable[[float], float] | None = None
    if made.run is not None:
        at = np.array([s.at_mm for s in made.run.stations])
        hot = np.array([s.gas_k[1] for s in made.run.stations])

        def gas_at(s_mm: float) -> float:
            return float(np.interp(s_mm, at, hot))

        gas = gas_at
    try:
        places = sensor_places(chain, asked, room=surroundings(results, plan).room, lines=lines_near(results, plan),
                               gas_k=gas, choices=choices)
    except ValueError as refused:
        found.append(Finding(name, Verdict.CANNOT_TELL, f"no place for the {said.name} was looked for: {refused}",
                             "mend what is named", where=said.where))
        return made
    found += sensor_findings(chain, places, said.where)
    return replace(made, sensor=places)


def _branched(made: Making, results: Results, domain: Domain, found: list[Finding]) -> Making:
    around = through_travel(results, made.plan, domain)
    cut = []
    for said in made.said.branches:
        name = f"exhaust.{made.route}.branch.{said.name.replace(' ', '-')}"
        try:
            one = branch_said(said, made.chain, results.sizes)
            found += branch_findings(made.chain, one, around.room)
            cut.append(branch_cut(made.chain, one))
        except ValueError as refused:
            if not any(f.name.startswith(name) and f.verdict is Verdict.DOES_NOT_FIT for f in found):
                found.append(Finding(name, Verdict.DOES_NOT_FIT, str(refused), "mend it under branches",
                                     where=said.where))
    return replace(made, branches=tuple(cut))


def _coned(made: Making, results: Results, domain: Domain, choices: Mapping[str, str], found: list[Finding]
           ) -> Making:  # fmt: skip
    around = through_travel(results, made.plan, domain)
    density = density_kg_mm3(str(table("exhaust_tubes").row(made.material)["density"])) * 1e9
    most = rule("transition-angle", choices.get("transition-angle"))
    cones = []
    for said in made.said.cones:
        try:
            cone = cone_said(made.route, said, made.cuts.diameter_mm, results.sizes, most)
        except ValueError as refused:
            found.append(Finding(f"exhaust.{made.route}.cone.{said.at}", Verdict.DOES_NOT_FIT, str(refused),
                                 "mend it under cones", where=said.where))
            continue
        found.append(cone_finding(made.route, cone, most, said.where))
        found.append(cone_room_finding(made.route, cone, cone_solid(cone, made.chain), around.room,
                                       cone_mass_kg(cone, density), said.where))
        cones.append(cone)
    return replace(made, cones=tuple(cones))
