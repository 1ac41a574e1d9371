"""Which two things could meet, and how far apart they must stay."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import combinations

from trialfit.exhaust import BELLOWS
from trialfit.findings import Place
from trialfit.standards import Rule, required_gap
from trialfit.vehicle import Amount, BodyName, Box, Build, Cone, Drum, Mesh, Plate, RoutePlan, Shape, Tube


class Share(StrEnum):
    """Which share of an exhaust route a thing is."""

    PIPE = "pipe"
    """the whole pipe, or what of it lies behind its bellows"""
    BEFORE = "before the bellows"
    """the pipe before the bellows, which rides on the engine"""
    PART = "part"
    """a muffler, catalyst, resonator or joint on it"""


SHAFT = "shaft"
"""Kind of the shaft and of each of its pieces, and the name that each of them answers to."""
GROUND = "ground"
"""Name, kind and body of the ground under the tyres: it rises and tilts against the frame as the axle does."""


@dataclass(frozen=True, slots=True)
class Thing:
    """Something that takes up room: a shape of the build, its shaft, a share of one of its exhaust routes, the ground.

    ``bodies`` are those its points ride on (two for what spans), ``points`` the hardpoints that place it. ``share``
    says what of a route it is, ``part`` which of the route's parts, counted from 0. ``not_held`` are those of its
    points that it is not bolted to.
    """

    name: str
    kind: str
    bodies: frozenset[str]
    points: frozenset[str]
    of: Shape | RoutePlan | None
    where: Place | None = field(default=None, compare=False)
    share: Share = Share.PIPE
    part: int = -1
    not_held: frozenset[str] = frozenset()

    @property
    def names(self) -> tuple[str, ...]:
        """What the builder may call it when asking for a gap: a route's share also answers to the route, a piece of
        the shaft to the shaft."""
        if isinstance(self.of, RoutePlan) and self.name != route_name(self.of):
            return (self.name, route_name(self.of))
        if self.of is None and self.kind == SHAFT and self.name != SHAFT:
            return (self.name, SHAFT)
        return (self.name,)

    @property
    def moves(self) -> bool:
        """Whether any part of it leaves the frame's side."""
        return self.bodies != frozenset({BodyName.FRAME.value})


@dataclass(frozen=True, slots=True)
class Pair:
    """Two things that could meet, the gap asked for between them, and who asks."""

    a: Thing
    b: Thing
    required_mm: float
    rule: str
    source: str
    where: Place | None = field(default=None, compare=False)

    @property
    def name(self) -> str:
        """Stable name of the pair."""
        return f"{slug(self.a.name)}.{slug(self.b.name)}"


def slug(name: str) -> str:
    """A name as it stands inside a finding's name.

    >>> slug("Axle tube, left")
    'axle-tube-left'
    """
    return "-".join("".join(c if c.isalnum() else " " for c in name.lower()).split())


def route_name(route: RoutePlan) -> str:
    """A route's name among the things of a build."""
    return f"exhaust.{route.name}"


def points_of(shape: Shape) -> tuple[str, ...]:
    """The hardpoints that place ``shape``."""
    match shape:
        case Tube() | Cone():
            return (shape.start, shape.end)
        case Drum():
            return (shape.centre, shape.towards) if shape.towards else (shape.centre,)
        case Box():
            return (shape.corner_a, shape.corner_b) if shape.corner_b else (shape.corner_a,)
        case Plate():
            return shape.corners
        case Mesh():
            return tuple(tie.point for tie in shape.ties)
    raise TypeError(f"unknown shape {type(shape).__name__}")


def thing_sizes(thing: Thing, build: Build) -> list[str]:
    """The size readings that say how wide or long a thing is."""
    return list(dict.fromkeys(a.size for a in _amounts(thing, build) if a is not None and a.size))


def _amounts(thing: Thing, build: Build) -> tuple[Amount | None, ...]:
    match thing.of:
        case Tube():
            return (thing.of.diameter,)
        case Cone():
            return (thing.of.diameter_start, thing.of.diameter_end)
        case Drum():
            return (thing.of.diameter, thing.of.width)
        case Box():
            return (thing.of.along_x, thing.of.along_y, thing.of.along_z)
        case Plate():
            return (thing.of.thickness,)
        case RoutePlan() if thing.share is Share.PART:
            part = thing.of.parts[thing.part]
            return (part.length, part.width, part.height)
        case RoutePlan():
            measures = (m for p in thing.of.parts if p.kind == BELLOWS for m in (p.length, p.width, p.height))
            return (thing.of.diameter, *(c.radius for c in thing.of.corners), *measures)
        case None:
            return () if build.shaft is None or thing.kind == GROUND else (build.shaft.diameter,)
    return ()


def things(build: Build) -> list[Thing]:
    """Everything in the build that takes up room, in the order of the file."""
    found: list[Thing] = []
    for shape in build.shapes:
        points = points_of(shape)
        bodies = frozenset({shape.body}) if shape.body else frozenset(build.body_of(p) for p in points)
        found.append(Thing(shape.name, shape.kind, bodies, frozenset(points), shape, shape.where))
    if build.shaft is not None:
        found += [Thing(name, SHAFT, frozenset((front[1], rear[1])), frozenset((front[0], rear[0])), None,
                        build.shaft.where) for name, front, rear in build.shaft_pieces()]
    for route in build.routes:
        if route.laid:
            found += route_things(build, route)
    if any(route.laid and asks_for_ground(route) for route in build.routes):
        found.append(Thing(GROUND, GROUND, frozenset({GROUND}), frozenset(), None))
    return found


def route_things(build: Build, route: RoutePlan) -> list[Thing]:
    """One route as things: the pipe, split where bellows free it from the engine, and every rigid part on it."""
    frame, engine = frozenset({BodyName.FRAME.value}), frozenset({BodyName.ENGINE.value})
    bellows = bellows_of(build, route)
    legs = (route.outlet, *(c.point for c in route.corners), route.end)

    def named(first: int, last: int) -> frozenset[str]:
        return frozenset(p for p in legs[first:last + 1] if isinstance(p, str) and p)

    name, last = route_name(route), len(legs) - 1
    if bellows is None:
        found = [Thing(name, "exhaust", frame, named(0, last), route, route.where)]
    else:
        leg = route.parts[bellows].leg
        found = [
            Thing(name, "exhaust", frame, named(leg - 1, last), route, route.where, not_held=frozenset({route.outlet})),
            Thing(f"{name} {Share.BEFORE}", "exhaust", engine, named(0, leg), route, route.where, Share.BEFORE),
        ]
    for number, part in enumerate(route.parts):
        if number == bellows:
            continue
        before = bellows is not None and (part.leg, part.start_mm) < (
            route.parts[bellows].leg, route.parts[bellows].start_mm)
        near = named(part.leg - 1, part.leg)
        found.append(Thing(f"{name} {part.name}", "exhaust", engine if before else frame, near, route,
                           part.where or route.where, Share.PART, number, near))
    return found


def bellows_of(build: Build, route: RoutePlan) -> int | None:
    """Number of the part, from 0, that frees the pipe before it to ride on the engine: the first bellows along the
    pipe; None without one, or where the engine is not said to move."""
    if build.mounts is None:
        return None
    free = [(p.leg, p.start_mm, k) for k, p in enumerate(route.parts) if p.kind == BELLOWS]
    return min(free)[2] if free else None


def asks_for_ground(route: RoutePlan) -> bool:
    """Whether the builder asks for room between this route and the ground."""
    return route.wish is not None and route.wish.ground_mm is not None


ON_AXLE = frozenset({BodyName.AXLE.value, BodyName.WHEEL_LEFT.value, BodyName.WHEEL_RIGHT.value})
"""The bodies that move as one with the axle."""


_HOLDS_AN_EXHAUST = frozenset({"exhaust", "engine", "gearbox", "other"})


def _joined_at(a: Thing, b: Thing) -> frozenset[str]:
    """Hardpoints that both hang on, which joins them; an exhaust is joined so only to what it can be bolted to."""
    kinds = {a.kind, b.kind}
    if "exhaust" in kinds and not kinds <= _HOLDS_AN_EXHAUST:
        return frozenset()
    return (a.points - a.not_held) & (b.points - b.not_held)


def _one_body(a: Thing, b: Thing) -> bool:
    """Whether the two ride as one, so that nothing can come between them."""
    if len(a.bodies) == 1 and len(b.bodies) == 1 and "exhaust" not in (a.kind, b.kind):
        return a.bodies == b.bodies or (a.bodies | b.bodies) <= ON_AXLE
    return False


def _wish(build: Build, a: Thing, b: Thing) -> tuple[float | None, bool, Place | None] | None:
    """The builder's own word on this pair: by names first, then name and kind, then kinds."""
    best: tuple[int, tuple[float | None, bool, Place | None]] | None = None
    for wish in build.gaps:
        for first, second in ((a, b), (b, a)):
            names_a, names_b = wish.a in first.names, wish.b in second.names
            if (names_a or wish.a == first.kind) and (names_b or wish.b == second.kind):
                rank = int(names_a) + int(names_b)
                if best is None or rank > best[0]:
                    best = (rank, (wish.required_mm, wish.joined, wish.where))
    return None if best is None else best[1]


def pairs(build: Build) -> Iterator[Pair]:
    """Every pair of things that could meet: at least one moves, or one is an exhaust; joined ones left out, and the
    shares of one route among each other."""
    for a, b in combinations(things(build), 2):
        pair = asked_between(build, a, b)
        if pair is not None:
            yield pair


def asked_between(build: Build, a: Thing, b: Thing) -> Pair | None:
    """What two things ask of the gap between them; None when nothing: joined, riding as one, or of one route."""
    if isinstance(a.of, RoutePlan) and isinstance(b.of, RoutePlan) and a.of.name == b.of.name:
        return None
    if GROUND in (a.kind, b.kind):
        route = a.of if b.kind == GROUND else b.of
        if not isinstance(route, RoutePlan) or route.wish is None or route.wish.ground_mm is None:
            return None
        return Pair(a, b, route.wish.ground_mm, "builder's own", "build file", route.wish.where or route.where)
    choices = {choice.rule: choice.version for choice in build.rules}
    exhaust = "exhaust" in (a.kind, b.kind)
    wish = _wish(build, a, b)
    if wish is None and (not (a.moves or b.moves or exhaust) or _one_body(a, b) or _joined_at(a, b)):
        return None
    if wish is not None:
        required, joined, where = wish
        if joined:
            return None
        if required is not None:
            return Pair(a, b, required, "builder's own", "build file", where)
    required_mm, rule = required_gap(a.kind, b.kind, choices)
    return Pair(a, b, required_mm, rule.name, _origin(rule), a.where)


def left_out(build: Build) -> list[tuple[str, str, str]]:
    """Pairs that would be asked for but hang on one hardpoint: both names and that hardpoint."""
    found = []
    for a, b in combinations(things(build), 2):
        if GROUND in (a.kind, b.kind):
            continue
        if (a.moves or b.moves or "exhaust" in (a.kind, b.kind)) and not _one_body(a, b) and not _wish(build, a, b):
            found += [(a.name, b.name, point) for point in sorted(_joined_at(a, b))[:1]]
    return found


def _origin(rule: Rule) -> str:
    version = rule.in_force
    return f"{version.label}: {version.source}"
