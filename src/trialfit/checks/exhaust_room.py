"""What stands round an exhaust while it is hung, opened and taken out: room for a tool, lines, obstacles, rods."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from trialfit.checks.pairs import GROUND, asked_between, route_things, thing_sizes
from trialfit.checks.placing import Placed
from trialfit.checks.results import Results
from trialfit.exhaust.apart import posed
from trialfit.exhaust.joints import LineAt
from trialfit.exhaust.removal import Obstacle
from trialfit.geometry import Domain, GapError, Rigid, certified_gap, gap_at
from trialfit.geometry.solids import Capsule, Solid, TriangleMesh, bounds
from trialfit.vehicle import RoutePlan, Tube

Floats = NDArray[np.float64]

NEAR_MM = 300.0
"""Things farther than this are only looked at where nothing nearer stands [mm]."""
LINES = ("fuel", "brake-line")
ASIDE = ("tyre", "brake")
"""Kinds that stand beside the way out of an exhaust."""
HOLDS = ("frame", "body", "floor")
"""Kinds that a hanger is fixed to, so that its rod may come as near to them as it likes."""
CARRIED = 1.1
"""How much of a hardpoint's doubt may reach a gap, as the router counts it too [-]."""
_RIDE = (0.0, 0.0, 0.0)


def others(results: Results, plan: RoutePlan) -> tuple[Placed, ...]:
    """Everything placed but the route itself and the ground."""
    return tuple(p for p in results.placed if p.thing.kind != GROUND
                 and not (isinstance(p.thing.of, RoutePlan) and p.thing.of.name == plan.name))


def thing_sd_mm(results: Results, placed: Placed) -> float:
    """How far the tape may be off where a thing stands, standard deviation [mm]: the greatest doubt of its hardpoints
    and of its sizes together, which errs to too much."""
    thing = placed.thing
    worst = max((results.survey.doubt_mm(p) for p in thing.points if results.survey.has(p)), default=0.0)
    widths = [results.sizes[s][1] for s in thing_sizes(thing, results.build) if s in results.sizes]
    return math.hypot(CARRIED * worst, *(0.5 * w for w in widths))


@dataclass(frozen=True, slots=True, eq=False)
class Surroundings:
    """Everything round a route at one pose, ready to be asked how much room a solid has."""

    convex: tuple[Solid, ...]
    meshes: tuple[TriangleMesh, ...]
    boxes: Floats
    _bodies: dict[bytes, Rigid] = field(default_factory=dict, init=False, repr=False)
    """of those near one place, kept: many solids are asked about that stand side by side"""

    def room(self, solid: Solid) -> float:
        """From a solid to the nearest thing [mm], below 0 inside it; without anything, infinite."""
        low, high = bounds(solid)
        best = math.inf
        probe = Rigid((solid,))
        if len(self.convex):
            near = np.all((self.boxes[:, 0] - NEAR_MM <= high) & (low <= self.boxes[:, 1] + NEAR_MM), axis=1)
            if near.any():
                best = gap_at(probe, self._of(near), _RIDE).lower_mm
            if best > NEAR_MM:
                best = gap_at(probe, self._of(np.ones(len(near), dtype=bool)), _RIDE).lower_mm
        for mesh in self.meshes:
            best = min(best, gap_at(probe, Rigid((mesh,)), _RIDE).lower_mm)
        return best

    def _of(self, near: NDArray[np.bool_]) -> Rigid:
        key = near.tobytes()
        if key not in self._bodies:
            self._bodies[key] = Rigid(tuple(s for s, n in zip(self.convex, near) if n))
        return self._bodies[key]


def surroundings(results: Results, plan: RoutePlan, heave_mm: float = 0.0) -> Surroundings:
    """Everything round a route with the axle at a heave [mm], level, the engine at rest."""
    solids = [s for p in others(results, plan) for s in posed(p.mover, (heave_mm, 0.0, 0.0))]
    convex = tuple(s for s in solids if not isinstance(s, TriangleMesh))
    boxes = np.array([bounds(s) for s in convex]) if convex else np.zeros((0, 2, 3))
    return Surroundings(convex, tuple(s for s in solids if isinstance(s, TriangleMesh)), boxes)


@dataclass(frozen=True, slots=True, eq=False)
class ThroughTravel:
    """How much room something fixed to the exhaust has over the whole travel."""

    around: tuple[Placed, ...]
    domain: Domain
    margin_mm: float
    sds_mm: tuple[float, ...]

    def gap(self, solids: Sequence[Solid]) -> tuple[float, float, str]:
        """Smallest gap, certain from below [mm], to whatever decides once its doubt counts; the sd of that [mm] and its
        name. Without anything, infinite."""
        found = (math.inf, 0.0, "")
        body = Rigid(tuple(solids))
        for one, sd in zip(self.around, self.sds_mm, strict=True):
            try:
                least = certified_gap(body, one.mover, self.domain, 0.0, margin_mm=self.margin_mm).lower_mm
            except GapError:
                continue
            if least - sd < found[0] - found[1]:
                found = (least, sd, one.thing.name)
        return found

    def room(self, solid: Solid) -> float:
        """The same for one solid, the gap alone [mm]."""
        return self.gap((solid,))[0]

    def rod(self, line: Floats, radius_mm: float) -> tuple[float, float | None]:
        """Smallest gap of a rod round a chain of points (n, 3) [mm], and its sd [mm]."""
        gap, sd, _ = self.gap([Capsule(a, b, radius_mm) for a, b in pairwise(line)
                               if float(np.linalg.norm(b - a)) > 1e-6])
        return gap, sd

    def without(self, kinds: Sequence[str]) -> "ThroughTravel":
        """The same with things of some kinds left out."""
        kept = [(p, sd) for p, sd in zip(self.around, self.sds_mm, strict=True) if p.thing.kind not in kinds]
        return replace(self, around=tuple(p for p, _ in kept), sds_mm=tuple(sd for _, sd in kept))


def through_travel(results: Results, plan: RoutePlan, domain: Domain) -> ThroughTravel:
    """Everything round a route over the whole travel."""
    around = others(results, plan)
    margin = 0.0 if results.travel is None else results.travel.fit_error_mm
    return ThroughTravel(around, domain, margin, tuple(thing_sd_mm(results, p) for p in around))


def lines_near(results: Results, plan: RoutePlan) -> tuple[LineAt, ...]:
    """Fuel and brake lines that are drawn as tubes, at ride height."""
    found = []
    for one in others(results, plan):
        shape = one.thing.of
        if one.thing.kind in LINES and isinstance(shape, Tube):
            ends = [results.points[n] for n in (shape.start, shape.end) if n in results.points]
            if len(ends) == 2:
                found.append(LineAt(one.thing.name, np.array(ends)))
    return tuple(found)


def obstacles(results: Results, plan: RoutePlan, heave_mm: float, sections: int) -> tuple[Obstacle, ...]:
    """What a section must be taken past at a heave of the axle [mm]. What the route is joined to at its outlet is left
    out for the first section; what the builder calls joined, for all of them."""
    mine = route_things(results.build, plan)
    found = []
    for one in others(results, plan):
        joined = [t for t in mine if asked_between(results.build, t, one.thing) is None]
        numbers: tuple[int, ...] = ()
        if joined:
            numbers = (1,) if plan.outlet in one.thing.points else tuple(range(1, sections + 1))
        found.append(Obstacle(one.thing.name, posed(one.mover, (heave_mm, 0.0, 0.0)), one.thing.kind in ASIDE, numbers))
    return tuple(found)
