"""Which two things could meet, and how far apart they must stay."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import combinations

from trialfit.findings import Place
from trialfit.standards import Rule, required_gap
from trialfit.vehicle import BodyName, Box, Build, Cone, Drum, Mesh, Plate, RoutePlan, Shape, Tube


@dataclass(frozen=True, slots=True)
class Thing:
    """Something that takes up room: a shape of the build, its shaft, or one of its exhaust routes.

    ``bodies`` are those its points ride on (two for what spans), ``points`` the hardpoints it hangs on.
    """

    name: str
    kind: str
    bodies: frozenset[str]
    points: frozenset[str]
    of: Shape | RoutePlan | None
    where: Place | None = field(default=None, compare=False)

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


def things(build: Build) -> list[Thing]:
    """Everything in the build that takes up room, in the order of the file."""
    found: list[Thing] = []
    for shape in build.shapes:
        points = points_of(shape)
        bodies = frozenset({shape.body}) if shape.body else frozenset(build.body_of(p) for p in points)
        found.append(Thing(shape.name, shape.kind, bodies, frozenset(points), shape, shape.where))
    ends = build.shaft_ends()
    if build.shaft is not None and ends is not None:
        found.append(Thing("shaft", "shaft", frozenset(body for _, body in ends), frozenset(point for point, _ in ends),
                           None, build.shaft.where))
    for route in build.routes:
        named = {p for p in (route.outlet, route.end, *(c.point for c in route.corners)) if isinstance(p, str) and p}
        found.append(Thing(f"exhaust.{route.name}", "exhaust", frozenset({BodyName.FRAME.value}), frozenset(named),
                           route, route.where))
    return found


ON_AXLE = frozenset({BodyName.AXLE.value, BodyName.WHEEL_LEFT.value, BodyName.WHEEL_RIGHT.value})
"""The bodies that move as one with the axle."""


_HOLDS_AN_EXHAUST = frozenset({"exhaust", "engine", "gearbox", "other"})


def _joined_at(a: Thing, b: Thing) -> frozenset[str]:
    """Hardpoints that both hang on, which joins them; an exhaust is joined so only to what it can be bolted to."""
    kinds = {a.kind, b.kind}
    if "exhaust" in kinds and not kinds <= _HOLDS_AN_EXHAUST:
        return frozenset()
    return a.points & b.points


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
            names_a, names_b = wish.a == first.name, wish.b == second.name
            if (names_a or wish.a == first.kind) and (names_b or wish.b == second.kind):
                rank = int(names_a) + int(names_b)
                if best is None or rank > best[0]:
                    best = (rank, (wish.required_mm, wish.joined, wish.where))
    return None if best is None else best[1]


def pairs(build: Build) -> Iterator[Pair]:
    """Every pair of things that could meet: at least one moves, or one is an exhaust; joined ones left out."""
    choices = {choice.rule: choice.version for choice in build.rules}
    for a, b in combinations(things(build), 2):
        exhaust = "exhaust" in (a.kind, b.kind)
        wish = _wish(build, a, b)
        if wish is None and (not (a.moves or b.moves or exhaust) or _one_body(a, b) or _joined_at(a, b)):
            continue
        if wish is not None:
            required, joined, where = wish
            if joined:
                continue
            if required is not None:
                yield Pair(a, b, required, "builder's own", "build file", where)
                continue
        required_mm, rule = required_gap(a.kind, b.kind, choices)
        yield Pair(a, b, required_mm, rule.name, _origin(rule), a.where)


def left_out(build: Build) -> list[tuple[str, str, str]]:
    """Pairs that would be asked for but hang on one hardpoint: both names and that hardpoint."""
    found = []
    for a, b in combinations(things(build), 2):
        if (a.moves or b.moves or "exhaust" in (a.kind, b.kind)) and not _one_body(a, b) and not _wish(build, a, b):
            found += [(a.name, b.name, point) for point in sorted(_joined_at(a, b))[:1]]
    return found


def _origin(rule: Rule) -> str:
    version = rule.in_force
    return f"{version.label}: {version.source}"
