"""The question to the router, from a build and its results: what the pipe must clear, and what each route costs."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from trialfit.checks.ground import ground_path
from trialfit.checks.pairs import GROUND, Thing, asked_between, route_name, thing_sizes, things
from trialfit.checks.placing import PlacingError, amount_mm, ground_solid
from trialfit.checks.results import Results
from trialfit.checks.run import domain_of
from trialfit.exhaust import (
    BELLOWS,
    bend_loss,
    bend_loss_line,
    bend_radius_mm,
    bends_for,
    friction_factor,
    velocity_head,
)
from trialfit.findings import SURE, Place
from trialfit.geometry import Domain, PosePath, Rigid, Span, certified_gap, gap_at
from trialfit.geometry.solids import Box as BoxSolid
from trialfit.geometry.solids import Capsule, TriangleMesh, bounds, cylinder
from trialfit.routing.problem import Bend, Exit, LegPart, Obstacle, Problem, ProblemError, Size, Term
from trialfit.standards import density_kg_mm3, rule
from trialfit.structure.tube import tube_bore_mm, tube_mass_per_length
from trialfit.survey import Survey
from trialfit.vehicle import (
    BendWish,
    BodyName,
    Build,
    PartWish,
    PipeWish,
    RoutePlan,
    RouteWish,
    Travel,
    ZoneWish,
)

Floats = NDArray[np.float64]
Spot = str | tuple[float, float, float]

LEAST_STRAIGHT_MM = 20.0
"""Straight pipe between two bends where the builder says nothing [mm]: room for a weld and a clamp beside it; common
practice, no source."""
WELD_MM = 0.5
"""Pipe left between two bends that are welded end to end [mm]: what rounding a corner to a tenth may take away."""
SPARE_MM = 1.0
"""Straight pipe asked for beyond the least, for the same [mm]; beside parts and at the outlet, what the outlet's doubt
may take away comes on top."""
AROUND_MM = 300.0
"""How far beyond everything drawn the pipe may swing out [mm]."""
THROUGH_MM = 2.0
"""Half the box about a place that the pipe must run through [mm]; a tape's give or take."""
CARRIED = 1.1
"""How much of a hardpoint's doubt may reach a gap: a little over all of it, for what the suspension adds [-]. On two
invented builds no gap had more than 1.07 of the greatest doubt of the points that place the thing."""
GROUND_DOUBT_MM = 0.25
"""Standard deviation of the ground under the pipe from the heights of the wheels [mm]: the most met on those builds."""
NO_TURN_RAD = math.radians(1.0)
"""A bend that turns less is none [rad]; common practice."""
STATES = (9, 5, 3)
"""Poses that the search looks at: heaves, rolls, rocks of the engine. The certificate looks at all poses."""
WELDS_OF_A_PART = 2
"""Round welds that a part on a leg brings [-]."""
NOT_LANDMARKS = frozenset({"floor", "body", "ground", "keep-out", "other", "wiring", "rubber"})
"""Kinds whose side says nothing of the kind of route."""


def problem_of(build: Build, plan: RoutePlan, results: Results, *, pad_mm: float = 0.3, spare: bool = True
               ) -> Problem:  # fmt: skip
    """The question that ``find:`` of one route asks, as the router takes it.

    Obstacles are everything placed but the route itself and what it is joined to, the builder's keep-out boxes and the
    ground. Points and sizes are taken as solved; each obstacle asks for room for its own doubt on top, so that a route
    that is found can be told to fit. That room is an estimate from above; the doubt is weighed exactly afterwards, on
    the route that was found.

    Parameters
    ----------
    plan : RoutePlan
        one of ``build.routes``, with a wish
    results : Results
        of the same build; its gaps are not needed
    pad_mm : float
        asked for on top of every required gap, for what the search does not look at [mm]
    spare : bool
        False asks for no room for the doubt of the points

    Raises
    ------
    ProblemError
        when no route can answer: what is missing or in the way, how to mend it, and where it stands in the file
    """
    wish = plan.wish
    if wish is None:
        raise ProblemError(f"exhaust {plan.name} says nothing of what to look for; write find: under it, with exit, "
                           "pipes and bends", plan.where)
    if results.travel is None and build.suspension is not None:
        raise ProblemError("the travel of the axle is not known, so no route can be held against it; mend what "
                           "'trialfit check' says of travel", build.suspension.where)
    survey = results.survey
    outlet, aim = _outlet(plan, survey)
    exit_ = _exit(wish, survey)
    sizes = tuple(_size(wish, pipe, results) for pipe in wish.pipes)
    if not sizes:
        raise ProblemError("no pipe to look for; list one under pipes, e.g. {diameter: 63.5 mm, wall: 1.5 mm}",
                           wish.where or plan.where)
    beside = 2.0 * survey.doubt_mm(plan.outlet) + SPARE_MM
    parts = _parts(plan, wish, outlet, exit_, results, beside)
    _can_turn(wish, aim, exit_)
    travel = results.travel
    engine = None
    if travel is not None and any(p.frees for p in parts):
        engine = travel.paths.get(BodyName.ENGINE.value)
    obstacles = (*_placed_obstacles(build, plan, results), *keep_outs(wish, survey),
                 *_ground(build, wish, plan, travel, outlet))
    if spare:
        obstacles = tuple(_spared(o, build, results) for o in obstacles)
    least = LEAST_STRAIGHT_MM if plan.least_straight_mm <= 0.0 else plan.least_straight_mm
    domain = domain_of(travel)
    problem = Problem(
        obstacles=obstacles, outlet=outlet, aim=aim, exit=exit_, sizes=sizes,
        bounds=_bounds(outlet, exit_, parts, obstacles), domain=domain, states=_states(travel), parts=parts,
        engine=engine, least_straight_mm=WELD_MM if wish.end_to_end else least + SPARE_MM,
        first_straight_mm=beside if wish.end_to_end else least + beside,
        margin_mm=0.0 if travel is None else travel.fit_error_mm, pad_mm=pad_mm, gap_weight=wish.worth.gap_mm,
        gap_wanted_mm=wish.worth.wanted_mm,
    )
    problem = _outlet_let_be(plan, problem)
    _refuse_blocked_places(wish, problem)
    return problem


def not_kept_clear(build: Build, plan: RoutePlan, results: Results) -> list[str]:
    """What the search does not keep the pipe clear of, in words: what it is joined to, and what cannot be placed."""
    placed = {p.thing.name for p in results.placed}
    asking = _asking(plan)
    words = []
    for thing in things(build):
        if thing.kind == GROUND or (isinstance(thing.of, RoutePlan) and thing.of.name == plan.name):
            continue
        if thing.name not in placed:
            words.append(f"{thing.name} cannot be placed, so nothing keeps clear of it")
        elif asked_between(build, asking, thing) is None:
            words.append(f"{thing.name} is joined to this exhaust, so nothing keeps clear of it")
    if results.travel is None:
        words.append("the build has no suspension, so everything stands at ride height")
    return words


def _asking(plan: RoutePlan) -> Thing:
    """The route as a thing that asks for gaps: only its outlet is known to be bolted to anything."""
    held = frozenset({plan.outlet}) if plan.outlet else frozenset()
    return Thing(route_name(plan), "exhaust", frozenset({BodyName.FRAME.value}), held, plan, plan.where)


# -- where it starts and ends -----------------------------------------------------------------------------------


def _spot(spot: Spot, survey: Survey, where: Place | None) -> Floats:
    if not isinstance(spot, str):
        return np.array(spot, dtype=np.float64)
    if not survey.has(spot):
        raise ProblemError(f"hardpoint {spot} has no place: {survey.why_not(spot)}", where)
    return survey.point(spot)


def _outlet(plan: RoutePlan, survey: Survey) -> tuple[Floats, Floats]:
    outlet = _spot(plan.outlet, survey, plan.where)
    if not plan.outlet_aim:
        raise ProblemError(f"exhaust {plan.name}: which way does the outlet point? Write aim: and a second "
                           "hardpoint on its axis, 100 mm or more downstream", plan.where)
    along = _spot(plan.outlet_aim, survey, plan.where) - outlet
    length = float(np.linalg.norm(along))
    if length < 1.0:
        raise ProblemError(f"{plan.outlet} and {plan.outlet_aim} lie {length:.1f} mm apart and give no direction; "
                           "choose a second point on the outlet's axis, 100 mm or more downstream", plan.where)
    return outlet, along / length


def _box(zone: ZoneWish, survey: Survey, where: Place | None) -> Floats:
    corners = [_spot(c, survey, zone.where or where) for c in (zone.corner_a, zone.corner_b)]
    return np.array((np.minimum(*corners), np.maximum(*corners)))


def _exit(wish: RouteWish, survey: Survey) -> Exit:
    asked = wish.exit
    low, high = _box(asked.zone, survey, asked.where or wish.where)
    toward = np.array(asked.toward, dtype=np.float64)
    length = float(np.linalg.norm(toward))
    if length < 1e-9:
        raise ProblemError("the exit points nowhere; say which way, e.g. rearward", asked.where or wish.where)
    return Exit(low, high, toward / length, asked.within_rad, asked.where or wish.where)


def _can_turn(wish: RouteWish, aim: Floats, exit_: Exit) -> None:
    turns = [b for b in wish.bends if b.most_rad >= NO_TURN_RAD]
    if wish.bends and not turns:
        raise ProblemError("none of the bends turns by 1 deg or more; give the most each can turn, e.g. most: 180 deg",
                           wish.bends[0].where or wish.where)
    off = math.acos(max(-1.0, min(1.0, float(aim @ exit_.aim))))
    if not turns and off > exit_.cone_rad:
        raise ProblemError(
            f"the outlet points {math.degrees(off):.0f} deg away from where the exit points, "
            f"{math.degrees(exit_.cone_rad):.0f} deg is allowed, and there is no bend to turn with; list bends",
            exit_.where)


# -- pipes, bends and what they cost ----------------------------------------------------------------------------


def _size(wish: RouteWish, pipe: PipeWish, results: Results) -> Size:
    where = pipe.where or wish.where
    try:
        diameter, wall = amount_mm(pipe.diameter, results.sizes), amount_mm(pipe.wall, results.sizes)
        bore = tube_bore_mm(diameter, wall)
    except (PlacingError, ValueError) as error:
        raise ProblemError(f"a pipe to look for: {error}", where) from None
    if bore <= 0.0:
        raise ProblemError(f"a wall of {wall:g} mm fills a pipe of {diameter:g} mm", where)
    asked = bends_for(wish.bends, diameter)
    if wish.bends and not asked:
        raise ProblemError(f"none of the bends is to be had for a pipe of {diameter:g} mm; list one, or take this pipe "
                           "out", where)
    bends = tuple(_bend(b, diameter, results) for b in asked)
    return Size(f"{diameter:g} x {wall:g} mm", diameter, wall, bends, terms(wish, pipe, diameter, wall, bends))


def _bend(asked: BendWish, diameter: float, results: Results) -> Bend:
    radius = bend_radius_mm(asked, diameter, results.sizes)
    if radius is None:
        raise ProblemError(f"the radius of {asked.name} is the size '{asked.radius.size}', which is not measured",
                           asked.where)
    if radius <= diameter / 2.0:
        raise ProblemError(f"{asked.name} has a radius of {radius:g} mm in a pipe of {diameter:g} mm: it must be more "
                           f"than {diameter / 2.0:g} mm", asked.where)
    return Bend(asked.name, radius, asked.most_rad, asked.pieces, asked.where)


def terms(wish: RouteWish, pipe: PipeWish, diameter: float, wall: float, bends: Sequence[Bend]) -> tuple[Term, ...]:
    """What a route of this pipe costs: money, hours, kilograms, back pressure; each a straight line over its length and
    turns.

    Pipe is paid for along the bends too, and every bend is counted with a weld at either end though a leg may save
    one: both err to a dearer route. The loss of a pie-cut bend is that at its greatest turn, shared out evenly, or a
    smooth bend's where that is more.

    Parameters
    ----------
    diameter, wall : float
        of the pipe [mm]
    bends : sequence of Bend
        those of ``wish.bends`` that are to be had for this pipe, in their order

    Raises
    ------
    ProblemError
        for a gas flow out of range

    Source: EN 10220 for the mass; handbook form of steady pipe flow (from memory) for the pressure; prices and paces
    are the builder's own.
    """
    worth, none = wish.worth, (0.0,) * len(bends)
    parts, asked_bends = wish.parts, bends_for(wish.bends, diameter)
    price = pipe.price_per_m / 1000.0
    kerfs = [asked.kerf_mm * b.pieces * price for asked, b in zip(asked_bends, bends, strict=True)]
    money = Term("money", "", 1.0, price, none,
                 tuple(asked.price + k for asked, k in zip(asked_bends, kerfs, strict=True)),
                 math.fsum(p.price for p in parts))
    hours = Term("work", "h", worth.hour, 0.0, none,
                 tuple(worth.hours_per_bend + b.welds * worth.hours_per_weld for b in bends),
                 math.fsum(p.hours + WELDS_OF_A_PART * worth.hours_per_weld for p in parts))
    mass = Term("mass", "kg", worth.kilogram, tube_mass_per_length(diameter, wall, density_kg_mm3("steel")), none, none,
                math.fsum(p.mass_kg for p in parts))
    return money, hours, mass, _pressure(wish, diameter, wall, bends)


def _pressure(wish: RouteWish, diameter: float, wall: float, bends: Sequence[Bend]) -> Term:
    worth, bore = wish.worth, tube_bore_mm(diameter, wall)
    if worth.gas_kg_s == 0.0 or worth.kilopascal == 0.0:
        none = (0.0,) * len(bends)
        return Term("back pressure", "kPa", worth.kilopascal, 0.0, none, none, 0.0)
    try:
        head = velocity_head(worth.gas_kg_s, worth.gas_k, bore) * 1000.0
        friction = friction_factor(worth.gas_kg_s, worth.gas_k, bore)
        lines = [_loss_line(b, bore) for b in bends]
    except ValueError as error:
        raise ProblemError(f"back pressure: {error}", wish.where) from None
    fixed = head * (1.0 + math.fsum(p.loss for p in wish.parts))
    return Term("back pressure", "kPa", worth.kilopascal, head * friction / bore, tuple(head * r for _, r in lines),
                tuple(head * b for b, _ in lines), fixed)


def _loss_line(bend: Bend, bore: float) -> tuple[float, float]:
    per_bend, per_rad = bend_loss_line(bend.radius_mm, bore)
    if bend.pieces == 0 or bend.most_rad <= 0.0:
        return per_bend, per_rad
    most = min(bend.most_rad, math.pi)
    whole = bend_loss(most, bend.radius_mm, bore, float(bend.pieces))
    return per_bend, max(per_rad, (whole - per_bend) / most)


# -- parts ------------------------------------------------------------------------------------------------------


def _parts(plan: RoutePlan, wish: RouteWish, outlet: Floats, exit_: Exit, results: Results, spare_mm: float
           ) -> tuple[LegPart, ...]:
    """Parts in the file's order, with the room they ask for and some to spare for the doubt of the outlet; places to
    run through stand among them by how far along the way they lie."""
    freed = next((k for k, p in enumerate(wish.parts) if p.kind == BELLOWS), -1)
    found = [_part(p, wish, k == freed, results, spare_mm) for k, p in enumerate(wish.parts)]
    way = (exit_.low + exit_.high) / 2.0 - outlet

    def far(part: LegPart) -> float | None:
        return None if part.zone is None else float((part.zone.mean(axis=0) - outlet) @ way)

    for number, spot in enumerate(wish.through, 1):
        at = _spot(spot, results.survey, wish.where or plan.where)
        name = spot if isinstance(spot, str) else f"place {number}"
        gate = LegPart(name, "through", 0.0, 0.0, 0.0, np.array((at - THROUGH_MM, at + THROUGH_MM)), welds=0,
                       where=wish.where)
        here = far(gate)
        assert here is not None
        behind = next((k for k, p in enumerate(found) if (f := far(p)) is not None and f > here), len(found))
        found.insert(behind, gate)
    return tuple(found)


def _part(asked: PartWish, wish: RouteWish, frees: bool, results: Results, spare_mm: float) -> LegPart:
    where = asked.where or wish.where
    try:
        length, width, height = (amount_mm(a, results.sizes) for a in (asked.length, asked.width, asked.height))
    except PlacingError as error:
        raise ProblemError(f"{asked.name}: {error}", where) from None
    if not min(length, width, height) > 0.0:
        raise ProblemError(f"{asked.name} needs a length, width and height of more than 0 mm", where)
    clocks = tuple(c + quarter_turn(width, height) for c in asked.clocks_rad) or (0.0,)
    zone = None if asked.zone is None else _box(asked.zone, results.survey, where)
    return LegPart(asked.name, asked.kind, length, max(width, height), min(width, height), zone, clocks,
                   asked.room_mm + spare_mm, WELDS_OF_A_PART, frees, where)


def quarter_turn(width_mm: float, height_mm: float) -> float:
    """Turn from a part as its builder measured it to one whose width is the larger [rad]."""
    return math.pi / 2.0 if height_mm > width_mm else 0.0


# -- what it must clear -----------------------------------------------------------------------------------------


def _placed_obstacles(build: Build, plan: RoutePlan, results: Results) -> Iterator[Obstacle]:
    asking = _asking(plan)
    for one in results.placed:
        thing = one.thing
        if thing.kind == GROUND:
            continue
        pair = asked_between(build, asking, thing)
        if pair is not None:
            yield Obstacle(thing.name, thing.kind, one.mover, pair.required_mm, f"{pair.rule} ({pair.source})",
                           thing.kind not in NOT_LANDMARKS, where=thing.where)


def keep_outs(wish: RouteWish, survey: Survey) -> Iterator[Obstacle]:
    """The boxes that the builder keeps the pipe out of.

    Raises
    ------
    ProblemError
        for one on a hardpoint without a place
    """
    for kept in wish.keep_out:
        low, high = _box(kept.zone, survey, kept.zone.where or wish.where)
        yield Obstacle(f"keep-out {kept.name}", "keep-out", Rigid((BoxSolid((low + high) / 2.0, (high - low) / 2.0),)),
                       kept.gap_mm, "builder's own (build file)", False, where=kept.zone.where or wish.where)


def _ground(build: Build, wish: RouteWish, plan: RoutePlan, travel: Travel | None, outlet: Floats
            ) -> Iterator[Obstacle]:
    """The ground: through the travel where the builder asks for room over it, else at ride height by the rule."""
    middle = outlet if travel is None else np.array(travel.reference)
    solid = ground_solid(middle)
    where = wish.where or plan.where
    if wish.ground_mm is not None:
        path: PosePath | None = None if travel is None or travel.stops is None else ground_path(travel)
        yield Obstacle(GROUND, GROUND, Rigid((solid,), path), wish.ground_mm, "builder's own (build file)", False,
                       None if path is None else _highest(_states(travel)), where)
        return
    chosen = rule("ground-clearance", {c.rule: c.version for c in build.rules}.get("ground-clearance"))
    version = chosen.in_force
    yield Obstacle(GROUND, GROUND, Rigid((solid,)), version.value,
                   f"{chosen.name}, at ride height ({version.label}: {version.source})", False, where=where)


def _highest(states: Floats) -> Floats:
    """Of ``states`` (n, 3) those with the most heave at their roll and rock: the ground is nowhere nearer."""
    most: dict[tuple[float, float], Floats] = {}
    for state in states:
        key = (float(state[1]), float(state[2]))
        if key not in most or state[0] > most[key][0]:
            most[key] = state
    return np.array(list(most.values()))


def _states(travel: Travel | None) -> Floats:
    if travel is None:
        return np.zeros((1, 3))
    heaves, rolls, rocks = STATES
    moves = BodyName.ENGINE.value in travel.paths
    if travel.stops is None:
        heaves = rolls = 1
    return np.array(travel.grid(heaves, rolls, rocks if moves else 1), dtype=np.float64)


def _bounds(outlet: Floats, exit_: Exit, parts: Sequence[LegPart], obstacles: Sequence[Obstacle]) -> Floats:
    """Box of everything drawn, and some around it, down to the ground; keep-out boxes make it no larger, so that a wall
    across the vehicle is one."""
    corners = [outlet, exit_.low, exit_.high]
    for part in parts:
        if part.zone is not None:
            corners += [part.zone[0], part.zone[1]]
    for obstacle in obstacles:
        if obstacle.kind in (GROUND, "keep-out"):
            continue
        if isinstance(obstacle.body, Span):
            corners += [obstacle.body.a, obstacle.body.b]
        else:
            for solid in obstacle.body.solids:
                corners += list(bounds(solid))
    box = np.array(corners)
    low, high = box.min(axis=0) - AROUND_MM, box.max(axis=0) + AROUND_MM
    low[2] = max(low[2], min(0.0, float(outlet[2]), float(exit_.low[2])))
    return np.array((low, high))


def _spared(obstacle: Obstacle, build: Build, results: Results) -> Obstacle:
    """The obstacle asking for as much more as the tape may be off where it stands."""
    if obstacle.kind == "keep-out":
        return obstacle
    sd = GROUND_DOUBT_MM
    if obstacle.kind != GROUND:
        thing = next(one.thing for one in results.placed if one.thing.name == obstacle.name)
        points = [p for p in thing.points if results.survey.has(p)]
        widths = [results.sizes[size][1] for size in thing_sizes(thing, build) if size in results.sizes]
        worst = max((results.survey.doubt_mm(p) for p in points), default=0.0)
        sd = math.hypot(CARRIED * worst, *(0.5 * w for w in widths))
    extra = round(SURE * sd, 2)
    return replace(obstacle, required_mm=obstacle.required_mm + extra, spare_mm=extra)


# -- what no route can answer -----------------------------------------------------------------------------------


def _outlet_let_be(plan: RoutePlan, problem: Problem) -> Problem:
    """The problem without spare room beside the outlet's own face where there is none; every route begins there.

    Refused is an outlet that comes nearer to something than the rule asks.
    """
    thin = min(s.diameter_mm for s in problem.sizes) / 2.0
    face = Rigid((cylinder(problem.outlet, problem.outlet + problem.aim, thin),), problem.engine)
    kept: list[Obstacle] = []
    for obstacle in problem.obstacles:
        met = certified_gap(face, obstacle.body, problem.domain, obstacle.required_mm, margin_mm=problem.margin_mm)
        asked = obstacle.required_mm - obstacle.spare_mm
        near = met.upper_mm < obstacle.required_mm + SPARE_MM
        kept.append(replace(obstacle, required_mm=asked, spare_mm=0.0) if near else obstacle)
        if met.upper_mm >= asked:
            continue
        if met.upper_mm <= 0.0:
            words = f"the outlet of {plan.name} lies inside {obstacle.name}, or comes to do so"
        else:
            words = (f"the outlet of {plan.name} comes within {met.upper_mm:.0f} mm of {obstacle.name}, "
                     f"{asked:.0f} mm are asked for")
        raise ProblemError(
            f"{words}: no route can begin there. Check its readings, ask for less under gaps "
            f"('{route_name(plan)} / {obstacle.name} = ... mm'), or write = joined if the two are bolted together",
            plan.where)
    return replace(problem, obstacles=tuple(kept))


def _refuse_blocked_places(wish: RouteWish, problem: Problem) -> None:
    """Refuse an exit, or a zone of a part, that lies wholly too near to one convex obstacle at one pose."""
    exit_ = problem.exit
    asked: list[tuple[str, Floats, float, Place | None]] = [
        ("the exit", np.array((exit_.low, exit_.high)), 0.0, exit_.where or wish.where)]
    asked += [(f"the zone of {p.name}", p.zone, min(p.height_mm, p.length_mm) / 2.0, p.where or wish.where)
              for p in problem.parts if p.zone is not None]
    poses = _few_poses(problem)
    for what, box, radius, where in asked:
        corners = [np.array([box[i][0], box[j][1], box[k][2]]) for i, j, k in product((0, 1), repeat=3)]
        balls = [Rigid((Capsule(c, c, radius),)) for c in corners]
        for obstacle in problem.obstacles:
            for pose, body in product(poses, _convex(obstacle)):
                # what is nearer than so much to a convex thing is convex itself: the corners speak for the whole box
                gaps = [gap_at(ball, body, pose).upper_mm for ball in balls]
                most = max(gaps) + problem.margin_mm
                required = obstacle.required_mm - obstacle.spare_mm
                if most < required:
                    inside = "lies wholly inside" if most <= 0.0 else f"lies wholly within {most:.0f} mm of"
                    raise ProblemError(
                        f"{what} {inside} {obstacle.name}, {required:.0f} mm are asked for: nothing can be "
                        "there. Make it larger or move it", where)


def _convex(obstacle: Obstacle) -> list[Rigid | Span]:
    if isinstance(obstacle.body, Span):
        return [obstacle.body]
    return [Rigid((s,), obstacle.body.path) for s in obstacle.body.solids if not isinstance(s, TriangleMesh)]


def _few_poses(problem: Problem) -> list[Floats]:
    """Ride height, and the two ends of heave without roll."""
    domain: Domain = problem.domain
    poses = [np.zeros(3), *(np.array([h, 0.0, 0.0]) for h in (domain.lo[0], domain.hi[0]))]
    return [p for p in poses if domain.possible(p)]
