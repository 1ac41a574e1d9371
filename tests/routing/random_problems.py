"""Questions put together at random of which the answer is known: some route was there first, or none can be."""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from trialfit.geometry.gaps import Body, Domain, Rigid, Span, certified_gap
from trialfit.geometry.paths import PosePath
from trialfit.geometry.solids import Box, Capsule, Solid, cylinder
from trialfit.routing.pieces import wide_axis
from trialfit.routing.problem import Bend, Exit, LegPart, Obstacle, PartAt, Problem, Size, Term, Way

Floats = NDArray[np.float64]

SPARE_MM = 5.0
"""what a route that was there first keeps over every gap asked for"""
DROOP_MM, BUMP_MM = 60.0, 80.0
DOMAIN = Domain(np.array((-DROOP_MM, 0.0, 0.0)), np.array((BUMP_MM, 0.0, 0.0)))
STATES = np.array([(h, 0.0, 0.0) for h in np.linspace(-DROOP_MM, BUMP_MM, 15)])


def lift(share: float = 1.0) -> PosePath:
    """Straight up by ``share`` of the heave."""
    coefs = np.zeros((2, 1, 1, 12))
    coefs[0, 0, 0, [0, 4, 8]] = 1.0
    coefs[0, 0, 0, 11] = share * (BUMP_MM - DROOP_MM) / 2.0
    coefs[1, 0, 0, 11] = share * (BUMP_MM + DROOP_MM) / 2.0
    return PosePath(coefs, DOMAIN.lo, DOMAIN.hi)


def pipe_size(rng: np.random.Generator, diameter: float, most_deg: float = 120.0, welds: int = 0) -> Size:
    """A pipe with one or two ways of turning; length, turning and welds all cost something."""
    bends = [Bend("wide", diameter * float(rng.uniform(1.2, 2.0)), math.radians(most_deg))]
    if rng.random() < 0.4:
        bends.append(Bend("pie cut", 0.9 * diameter, math.radians(min(most_deg, 90.0)), 3))
    none = (0.0,) * len(bends)
    turning = float(rng.choice([0.0, 1.0, 1.72]))
    return Size(f"{diameter:.1f} mm", diameter, 1.5, tuple(bends), (
        Term("length", "m", 10.0, 0.001, none, none, 0.0),
        Term("turning", "rad", 1.0, 0.0, (turning,) * len(bends), none, 0.0),
        Term("welds", "-", 1.5, 0.0, none, tuple(float(b.welds) for b in bends), float(welds))))


@dataclass(frozen=True)
class _Drawn:
    points: Floats
    turns: Floats
    kinds: tuple[int, ...]
    cuts: Floats


def _direction(rng: np.random.Generator) -> Floats:
    d = rng.normal(size=3)
    d[2] *= 0.6
    unit: Floats = d / np.linalg.norm(d)
    return unit


def _draw(rng: np.random.Generator, size: Size, count: int, least: float) -> _Drawn:
    """Corners of a route with so many bends, each with its straight."""
    u = _direction(rng)
    kinds = tuple(int(k) for k in rng.integers(len(size.bends), size=count))
    turns, cuts = np.zeros(count), np.zeros(count + 2)
    units = [u]
    for k, kind in enumerate(kinds):
        bend = size.bends[kind]
        turns[k] = rng.uniform(math.radians(8.0), min(bend.most_rad, math.radians(110.0)))
        cuts[k + 1] = bend.radius_mm * math.tan(turns[k] / 2.0)
        side = np.cross(units[-1], _direction(rng))
        side /= np.linalg.norm(side)
        units.append(math.cos(turns[k]) * units[-1] + math.sin(turns[k]) * side)
    points = [np.array((0.0, 0.0, 400.0)) + rng.uniform(-50.0, 50.0, 3)]
    for k, unit in enumerate(units):
        free = max(least, float(rng.choice([least, rng.uniform(60.0, 600.0)])))
        points.append(points[-1] + (free + cuts[k] + cuts[k + 1]) * unit)
    return _Drawn(np.array(points), turns, kinds, cuts)


def _route_body(way: Way, size: Size, parts: tuple[LegPart, ...], turns: Floats, grown_mm: float = 0.0) -> Rigid:
    """The whole route as round bars: straights, chords of its arcs, and parts as bars side by side.

    Written without the router's own pieces, so that it can stand against them.
    """
    skin = size.diameter_mm / 2.0 + grown_mm
    points, solids = way.points, []
    units = np.diff(points, axis=0)
    lengths = np.linalg.norm(units, axis=1)
    units /= lengths[:, None]
    cuts = np.array([0.0, *(size.bends[k].radius_mm * math.tan(t / 2.0) for k, t in zip(way.bends, turns)), 0.0])
    for leg in range(len(units)):
        a, b = points[leg] + cuts[leg] * units[leg], points[leg + 1] - cuts[leg + 1] * units[leg]
        solids.append(Capsule(a, b, skin))
        if leg + 1 < len(units):
            radius, turn = size.bends[way.bends[leg]].radius_mm, turns[leg]
            inward = (units[leg + 1] - math.cos(turn) * units[leg]) / math.sin(turn)
            middle = b + radius * inward
            steps = 2 + int(turn / 0.12)
            angles = np.linspace(0.0, turn, steps + 1)
            on = [middle - radius * math.cos(q) * inward + radius * math.sin(q) * units[leg] for q in angles]
            sag = radius * (1.0 - math.cos(turn / steps / 2.0))
            solids += [Capsule(p, q, skin + sag) for p, q in pairwise(on)]
    for part, put in zip(parts, way.parts, strict=True):
        u = units[put.leg]
        wide = wide_axis(u, put.clock_rad)
        half = (part.width_mm - part.height_mm) / 2.0
        start = points[put.leg] + put.start_mm * u
        radius = part.height_mm / 2.0 + grown_mm
        bars = 1 if half == 0.0 else 2 + int(2.0 * half / (0.4 * radius))
        for off in np.linspace(-half, half, bars):
            # bars this close leave grooves of 2 % of the radius
            solids.append(Capsule(start + off * wide, start + part.length_mm * u + off * wide, 1.021 * radius))
    return Rigid(tuple(solids))


def _cost(size: Size, way_length: float, turns: Floats, kinds: tuple[int, ...]) -> float:
    total = 0.0
    for t in size.terms:
        amount = t.fixed + t.per_mm * way_length
        amount += sum(t.per_rad[k] * q + t.per_bend[k] for k, q in zip(kinds, turns))
        total += t.weight * amount
    return total


def _thing(rng: np.random.Generator, at: Floats) -> Solid:
    kind = int(rng.integers(3))
    if kind == 0:
        axes = np.linalg.qr(rng.normal(size=(3, 3)))[0] if rng.random() < 0.5 else np.eye(3)
        return Box(at, rng.uniform(10.0, 150.0, 3), axes)
    run = _direction(rng) * rng.uniform(20.0, 400.0)
    if kind == 1:
        return Capsule(at - run / 2, at + run / 2, float(rng.uniform(8.0, 80.0)))
    return cylinder(at - run / 2, at + run / 2, float(rng.uniform(8.0, 150.0)))


def open_by_construction(seed: int, things: int = 18) -> tuple[Problem, Way]:
    """A question with a route that answers it: the route was drawn first, then things were put round it, fixed and
    moving, each proved to stay ``SPARE_MM`` further away than it asks, over all travel."""
    rng = np.random.default_rng((seed, 1))
    diameter = float(rng.choice([42.4, 50.0, 63.5, 76.1]))
    least = float(rng.choice([0.0, 20.0, 40.0]))
    count = int(rng.integers(1, 5))
    wants_part = bool(rng.random() < 0.6)
    size = pipe_size(rng, diameter, welds=2 * wants_part)
    drawn = _draw(rng, size, count, least)
    lengths = np.linalg.norm(np.diff(drawn.points, axis=0), axis=1)
    free = lengths - drawn.cuts[:-1] - drawn.cuts[1:]
    parts: tuple[LegPart, ...] = ()
    put: tuple[PartAt, ...] = ()
    leg = int(np.argmax(free))
    if wants_part and free[leg] > 140.0:
        long = float(min(0.6 * free[leg], 400.0))
        start = float(drawn.cuts[leg] + 10.0 + rng.uniform(0.0, free[leg] - long - 20.0))
        unit = (drawn.points[leg + 1] - drawn.points[leg]) / lengths[leg]
        middle = drawn.points[leg] + (start + long / 2.0) * unit
        low, high = middle - rng.uniform(10.0, 120.0, 3), middle + rng.uniform(10.0, 120.0, 3)
        height = diameter + float(rng.uniform(5.0, 50.0))
        clocks = (0.0,) if rng.random() < 0.5 else (0.0, math.pi / 2.0)
        parts = (LegPart("box", "muffler", long, height + float(rng.choice([0.0, 60.0])), height,
                         np.array((low, high)), clocks, 10.0, 2),)
        put = (PartAt(leg, start, float(rng.choice(clocks))),)
    way_length = float(free.sum() + sum(size.bends[k].radius_mm * t for k, t in zip(drawn.kinds, drawn.turns)))
    way = Way(0, drawn.points, drawn.kinds, put, _cost(size, way_length, drawn.turns, drawn.kinds), (), way_length,
              float(drawn.turns.sum()), 0, SPARE_MM)
    last = (drawn.points[-1] - drawn.points[-2]) / lengths[-1]
    first = (drawn.points[1] - drawn.points[0]) / lengths[0]
    cone = math.radians(float(rng.uniform(4.0, 15.0)))
    aside = np.cross(last, _direction(rng))
    aim = last + math.tan(0.8 * cone) * aside / np.linalg.norm(aside)
    end = Exit(drawn.points[-1] - rng.uniform(5.0, 60.0, 3), drawn.points[-1] + rng.uniform(5.0, 60.0, 3),
               aim / np.linalg.norm(aim), cone)
    body = _route_body(way, size, parts, drawn.turns)
    bounds = np.array((drawn.points.min(axis=0) - 150.0, drawn.points.max(axis=0) + 150.0))
    obstacles: list[Obstacle] = []
    for tries in range(12 * things):
        if len(obstacles) == things:
            break
        near = drawn.points[int(rng.integers(len(drawn.points)))]
        other = drawn.points[int(rng.integers(len(drawn.points)))]
        at = near + rng.random() * (other - near) + rng.normal(size=3) * 160.0
        required = float(rng.choice([10.0, 15.0, 25.0, 40.0]))
        thing: Body
        draw = rng.random()
        if draw < 0.15:
            run = _direction(rng) * rng.uniform(100.0, 400.0)
            thing = Span(at - run / 2, None, at + run / 2, lift(), float(rng.uniform(8.0, 40.0)))
        else:
            thing = Rigid((_thing(rng, at),), lift(float(rng.choice([1.0, -0.5]))) if draw < 0.4 else None)
        gap = certified_gap(body, thing, DOMAIN, required + SPARE_MM, settle=True)
        if gap.lower_mm >= required + SPARE_MM:
            obstacles.append(Obstacle(f"thing {tries}", "other", thing, required))
    return Problem(tuple(obstacles), drawn.points[0], first, end, (size,), bounds, DOMAIN, STATES, parts,
                   least_straight_mm=least), way


def _wall(axis: int, at: float, bounds: Floats, window: Floats, thick: float, required: float) -> list[Obstacle]:
    """A wall square to an axis right across the bounds, with a window ((2, 3), its other two axes count)."""
    low, high = bounds[0] - 200.0, bounds[1] + 200.0
    low[axis], high[axis] = at - thick / 2.0, at + thick / 2.0
    b, c = (axis + 1) % 3, (axis + 2) % 3
    pieces = []
    for name, which, end in (("wall below", c, 0), ("wall above", c, 1), ("wall before", b, 0), ("wall behind", b, 1)):
        lo, hi = low.copy(), high.copy()
        if end == 0:
            hi[which] = window[0, which]
        else:
            lo[which] = window[1, which]
        if lo[which] >= hi[which]:
            continue
        pieces.append(Obstacle(name, "other", Rigid((Box((lo + hi) / 2, (hi - lo) / 2),)), required))
    return pieces


WAYS_SHUT = ("window", "sealed", "part", "exit", "slot")


def closed_by_construction(seed: int, things: int = 6) -> tuple[Problem, str, float]:
    """A question no route answers, what shuts it (one of ``WAYS_SHUT``), and by how much [mm] (nan: not one number).

    ``window``: a wall with a window less than pipe and gaps need; ``slot``: the same, a slot between two plates;
    ``sealed``: the outlet in a closed box; ``part``: no height for the part anywhere in its zone; ``exit``: something
    fills the exit.
    """
    rng = np.random.default_rng((seed, 2))
    kind = WAYS_SHUT[seed % len(WAYS_SHUT)]
    diameter = float(rng.choice([42.4, 50.0, 63.5]))
    required = float(rng.choice([10.0, 20.0]))
    bounds = np.array(((-300.0, -400.0, 100.0), (1700.0, 400.0, 700.0)))
    size = pipe_size(rng, diameter)
    outlet = np.array((0.0, float(rng.uniform(-150, 150)), float(rng.uniform(300, 500))))
    aim = np.array((1.0, float(rng.uniform(-0.3, 0.3)), float(rng.uniform(-0.3, 0.3))))
    aim /= np.linalg.norm(aim)
    at = np.array((1500.0, float(rng.uniform(-200, 200)), float(rng.uniform(250, 550))))
    end = Exit(at - 40.0, at + 40.0, np.array((1.0, 0.0, 0.0)), math.radians(10.0))
    parts: tuple[LegPart, ...] = ()
    missing = float(rng.uniform(3.0, 20.0))
    obstacles: list[Obstacle] = []
    x = float(rng.uniform(600.0, 900.0))
    if kind in ("window", "slot"):
        hole = diameter + 2.0 * required - 2.0 * missing
        centre = np.array((x, float(rng.uniform(-150, 150)), float(rng.uniform(300, 500))))
        half = np.array((0.0, hole / 2.0 if kind == "window" else 900.0, hole / 2.0))
        obstacles += _wall(0, x, bounds, np.array((centre - half, centre + half)), float(rng.uniform(20, 120)),
                           required)
    elif kind == "sealed":
        reach = float(rng.uniform(180.0, 300.0))
        room = np.array((outlet - reach, outlet + reach))
        for axis in range(3):
            for end_ in (0, 1):
                lo, hi = room[0] - 60.0, room[1] + 60.0
                lo[axis], hi[axis] = room[end_, axis] - 30.0, room[end_, axis] + 30.0
                obstacles.append(Obstacle(f"plate {axis}{end_}", "other", Rigid((Box((lo + hi) / 2, (hi - lo) / 2),)),
                                          required))
        missing = math.nan
    elif kind == "part":
        height = diameter + 60.0
        middle = np.array((x, float(rng.uniform(-100, 100)), float(rng.uniform(350, 450))))
        spread = np.array((150.0, 100.0, 60.0))
        parts = (LegPart("box", "muffler", 300.0, height, height, np.array((middle - spread, middle + spread)),
                         (0.0,), 10.0),)
        # two plates above each other leave the part too little, a pipe enough
        clear = height + 2.0 * required - 2.0 * missing
        for name, sign in (("lower plate", -1.0), ("upper plate", 1.0)):
            centre = middle + np.array((0.0, 0.0, sign * (clear / 2.0 + 100.0)))
            obstacles.append(Obstacle(name, "other", Rigid((Box(centre, np.array((400.0, 380.0, 100.0))),)), required))
    else:
        moving = lift() if rng.random() < 0.5 else None
        obstacles.append(Obstacle("block", "other", Rigid((Box(at, np.array((70.0, 70.0, 70.0))),), moving), required))
        missing = math.nan
    for k in range(things):
        spot = rng.uniform(bounds[0], bounds[1])
        if np.linalg.norm(spot - outlet) > 300.0:
            obstacles.append(Obstacle(f"thing {k}", "other", Rigid((_thing(rng, spot),)), required))
    return Problem(tuple(obstacles), outlet, aim, end, (size,), bounds, DOMAIN, STATES, parts), kind, missing
