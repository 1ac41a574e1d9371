"""What there is to see of a build: where bodies and hardpoints are at a pose, how far a hardpoint may be off, where the
smallest gaps lie, how a gap goes along the travel, what a cut across the vehicle meets, and what hangs on a thing.

In: :class:`~trialfit.checks.results.Results`. Out: numbers in the vehicle's frame [mm; x rearward, y right, z up], with
no colour, no scale and no words for a screen.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.checks.pairs import GROUND, Pair, Thing, points_of, route_name, slug, thing_sizes
from trialfit.checks.placing import Placed
from trialfit.checks.results import GapAnswer, Results
from trialfit.findings import SURE, Finding, Place, Verdict, verdict_on, worst_first
from trialfit.geometry import Span, gap_at
from trialfit.geometry.solids import Box, Capsule, Frustum, Prism, Solid, TriangleMesh
from trialfit.survey import Checked
from trialfit.vehicle import PosePoint, RoutePlan, Shape

Floats = NDArray[np.float64]

SIDES = 64
"""Flat sides that stand for a round when it is cut: they leave it by 0.12 % of its radius at most."""
STEPS = 33
"""Heaves at which a gap is looked at from stop to stop."""
RIDE = PosePoint(0.0, 0.0, 0.0)


def body_at(results: Results, body: str, pose: PosePoint = RIDE) -> Floats:
    """Matrix (4, 4) that moves what rides on ``body`` from ride height to a pose [mm]; a body that does not move, or
    whose travel is not known, stays.

    Raises
    ------
    trialfit.geometry.paths.PathError
        when the pose lies outside the travel, with its range
    """
    matrix = np.eye(4)
    if results.travel is not None:
        moved = results.travel.pose(body, pose)
        matrix[:3, :3], matrix[:3, 3] = moved.rotation, moved.shift
    return matrix


# -- hardpoints ---------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, eq=False)
class Doubt:
    """A hardpoint at ride height and how far it may be off: the ellipsoid about ``at_mm`` (3,) with the half lengths
    ``half_mm`` (3,) along the columns of ``ways`` (3, 3), longest first, right-handed. In any one direction the true
    place lies within it 19 times in 20; in all three at once less often."""

    name: str
    body: str
    at_mm: Floats
    half_mm: Floats
    ways: Floats


def doubts(results: Results) -> tuple[Doubt, ...]:
    """Every hardpoint whose place is known, with its doubt, in the order of the survey.

    Source: GUM (JCGM 100:2008), expanded uncertainty at 95 %.
    """
    survey = results.survey
    found = []
    for name in survey.names:
        values, ways = np.linalg.eigh(survey.covariance_of([name]))
        values, ways = values[::-1], ways[:, ::-1].copy()
        if np.linalg.det(ways) < 0.0:
            ways[:, 2] = -ways[:, 2]
        half = SURE * np.sqrt(np.maximum(values, 0.0))
        found.append(Doubt(name, results.build.body_of(name), survey.point(name), half, ways))
    return tuple(found)


# -- gaps ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, eq=False)
class GapLine:
    """The smallest gap of a pair as a line from ``first_mm`` (3,) to ``second_mm`` (3,) where the two things are at its
    worst ``pose``; ``gap_mm`` is the guaranteed smallest gap, below 0 where they overlap."""

    name: str
    pair: Pair
    first_mm: Floats
    second_mm: Floats
    pose: PosePoint
    gap_mm: float

    @property
    def station_mm(self) -> float:
        """Where along the vehicle it is [mm]."""
        return float(0.5 * (self.first_mm[0] + self.second_mm[0]))


def gap_lines(results: Results) -> tuple[GapLine, ...]:
    """The smallest gap of each pair, at its worst pose. Pairs far apart are left out: their smallest gap is not sought
    once it is certain that it is large enough."""
    return tuple(
        GapLine(a.pair.name, a.pair, np.array(a.at_a), np.array(a.at_b), a.pose, a.lower_mm)
        for a in results.gaps if a.closed)


@dataclass(frozen=True, slots=True, eq=False)
class AlongHeave:
    """The gap of one pair from droop to bump stop at one roll and rock: ``least_mm`` and ``most_mm`` (n,) bracket it at
    ``heave_mm`` (n,)."""

    heave_mm: Floats
    least_mm: Floats
    most_mm: Floats
    roll_rad: float
    rock_rad: float


def gap_along_heave(results: Results, answer: GapAnswer, roll_rad: float = 0.0, rock_rad: float = 0.0,
                    steps: int = STEPS) -> AlongHeave:
    """How the gap of a pair goes with the heave; at ride height alone where nothing moves.

    Between the heaves looked at the gap may be smaller; the guaranteed smallest one is that of the answer. The error
    of the travel's paths is left out (``Travel.fit_error_mm``), which errs to too wide a gap by so much.

    Parameters
    ----------
    answer : GapAnswer
        of the pair
    roll_rad, rock_rad : float
        held meanwhile [rad]
    steps : int
        heaves looked at, 2 or more [-]

    Raises
    ------
    ValueError
        for fewer than 2 steps, or a roll or rock beyond the travel, with the range
    """
    if steps < 2:
        raise ValueError(f"a gap along the travel needs 2 or more heaves to look at, not {steps}")
    low, high = heave_range(results, roll_rad)
    if results.travel is not None and not results.travel.lo[2] <= rock_rad <= results.travel.hi[2]:
        lo, hi = np.degrees(results.travel.lo[2]), np.degrees(results.travel.hi[2])
        raise ValueError(f"rock {np.degrees(rock_rad):.3g} deg is beyond the mounts: {lo:.3g} to {hi:.3g} deg")
    heaves = np.linspace(low, high, steps) if high > low else np.array([low])
    first, second = (placed_named(results, t.name).mover for t in (answer.pair.a, answer.pair.b))
    near = [gap_at(first, second, (heave, roll_rad, rock_rad)) for heave in heaves]
    return AlongHeave(heaves, np.array([n.lower_mm for n in near]), np.array([n.upper_mm for n in near]), roll_rad,
                      rock_rad)


@dataclass(frozen=True, slots=True)
class GapNow:
    """The gap of a pair at one pose, bracketed [mm], and what is to be said of it with its doubt."""

    least_mm: float
    most_mm: float
    verdict: Verdict


def gap_now(results: Results, answer: GapAnswer, pose: PosePoint, sd_mm: float | None) -> GapNow:
    """The gap of a pair at a pose; the error of the travel's paths is left out, as in :func:`gap_along_heave`.

    Parameters
    ----------
    sd_mm : float or None
        standard deviation of the gap, None when it is not known [mm]

    Raises
    ------
    trialfit.geometry.GapError
        when the pose lies outside the travel, with its range
    """
    first, second = (placed_named(results, t.name).mover for t in (answer.pair.a, answer.pair.b))
    near = gap_at(first, second, tuple(pose))
    most = max(near.lower_mm, near.upper_mm)
    return GapNow(near.lower_mm, most, verdict_on(near.lower_mm, most, answer.pair.required_mm, sd_mm))


def heave_range(results: Results, roll_rad: float = 0.0) -> tuple[float, float]:
    """Lowest and highest heave [mm] that the stops leave at a roll; both 0 where nothing moves.

    Raises
    ------
    ValueError
        for a roll beyond the limit, with the limit
    """
    if results.travel is None:
        if roll_rad != 0.0:
            raise ValueError("the travel of this build is not known, so it has no roll")
        return 0.0, 0.0
    return results.travel.heave_range(roll_rad)


def placed_named(results: Results, name: str) -> Placed:
    """The thing called ``name`` where it was put.

    Raises
    ------
    KeyError
        when there is none
    """
    for one in results.placed:
        if one.thing.name == name:
            return one
    raise KeyError(f"nothing called {name!r} lies on known hardpoints")


# -- cuts across the vehicle --------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """What a cut across the vehicle meets of one thing: ``faces`` are outlines (n, 2) of y and z [mm], each convex,
    which together cover the cut; ``bores`` are taken out of them; ``lines`` (m, 2, 2) is the skin of a scan, which has
    no inside. A face of two points is a sheet without thickness."""

    thing: Thing
    faces: tuple[Floats, ...]
    bores: tuple[Floats, ...]
    lines: Floats


_NO_LINES = np.zeros((0, 2, 2))


def cut_at(results: Results, station_mm: float, pose: PosePoint = RIDE) -> tuple[Cut, ...]:
    """Everything that the plane across the vehicle at ``station_mm`` [mm] meets at a pose, in the order of the file;
    the ground is left out. Round things are cut as if they had 64 flat sides.

    Raises
    ------
    trialfit.geometry.paths.PathError
        when the pose lies outside the travel, with its range
    """
    walls = {r.plan.name: r.wall_mm for r in results.routes}
    cuts = []
    for one in results.placed:
        if one.thing.kind == GROUND:
            continue
        wall = walls.get(one.thing.of.name, 0.0) if isinstance(one.thing.of, RoutePlan) else 0.0
        cut = _cut(one, float(station_mm), pose, wall)
        if cut.faces or len(cut.lines):
            cuts.append(cut)
    return tuple(cuts)


def _cut(one: Placed, x: float, pose: PosePoint, wall: float) -> Cut:
    mover = one.mover
    if isinstance(mover, Span):
        a, b = (p if path is None else path.move(p, pose)
                for p, path in ((mover.a, mover.path_a), (mover.b, mover.path_b)))
        face = _round(a, b, mover.radius_mm, mover.radius_mm, x)
        return Cut(one.thing, () if face is None else (face,), (), _NO_LINES)
    turn, shift = (np.eye(3), np.zeros(3)) if mover.path is None else mover.path.pose(*pose)
    faces: list[Floats] = []
    bores: list[Floats] = []
    lines: list[Floats] = []
    for k, solid in enumerate(mover.solids):
        if isinstance(solid, TriangleMesh):
            # only how far along the vehicle its corners stand is needed of the whole scan
            along = solid.vertices @ turn[0] + (shift[0] - x)
            lines.append(_skin(solid, along, turn, shift))
        elif isinstance(solid, Capsule):
            follows = k > 0 and _joins(mover.solids[k - 1], solid)
            a, b, r = turn @ solid.start + shift, turn @ solid.end + shift, solid.radius_mm
            faces += _stick(a, b, r, x, follows)
            if 0.0 < wall < r:
                bores += _stick(a, b, r - wall, x, follows)
        else:
            face = _face(solid, turn, shift, x)
            faces += [] if face is None else [face]
    return Cut(one.thing, tuple(faces), tuple(bores), np.concatenate(lines) if lines else _NO_LINES)


def _joins(before: Solid, after: Capsule) -> bool:
    return isinstance(before, Capsule) and bool(np.array_equal(before.end, after.start))


def _stick(a: Floats, b: Floats, r: float, x: float, follows: bool) -> list[Floats]:
    """A stick of a pipe with flat ends, and the ball that fills the corner to the stick before it."""
    found: list[Floats] = []
    if abs(a[0] - x) > r and abs(b[0] - x) > r and (a[0] - x) * (b[0] - x) > 0.0:
        return found
    if np.linalg.norm(b - a) > 1e-9:
        face = _round(a, b, r, r, x)
        found += [] if face is None else [face]
    off = float(a[0] - x)
    if follows and abs(off) < r:
        found.append(a[1:] + np.sqrt(r * r - off * off) * _circle())
    return found


def _circle() -> Floats:
    turn = 2.0 * np.pi * np.arange(SIDES) / SIDES
    return np.column_stack([np.cos(turn), np.sin(turn)])


def _face(solid: Box | Frustum | Prism, turn: Floats, shift: Floats, x: float) -> Floats | None:
    if isinstance(solid, Frustum):
        a, b = turn @ solid.start + shift, turn @ solid.end + shift
        return _round(a, b, solid.radius_start_mm, solid.radius_end_mm, x)
    if isinstance(solid, Box):
        signs = np.array([[i, j, k] for i in (-1.0, 1.0) for j in (-1.0, 1.0) for k in (-1.0, 1.0)])
        points = solid.centre + (signs * solid.half_mm) @ solid.axes
    else:
        points = solid.vertices()
    points = points @ turn.T + shift
    # a convex thing is cut where the lines between its corners are
    first, second = np.triu_indices(len(points), 1)
    return _outline(_crossed(points[first], points[second], x))


def _round(a: Floats, b: Floats, radius_a: float, radius_b: float, x: float) -> Floats | None:
    along = (b - a) / np.linalg.norm(b - a)
    helper = np.eye(3)[int(np.argmin(np.abs(along)))]
    first = np.cross(helper, along)
    first /= np.linalg.norm(first)
    spokes = _circle() @ np.vstack([first, np.cross(along, first)])
    ring_a, ring_b = a + radius_a * spokes, b + radius_b * spokes
    starts = np.vstack([ring_a, ring_b, ring_a])
    ends = np.vstack([np.roll(ring_a, -1, axis=0), np.roll(ring_b, -1, axis=0), ring_b])
    return _outline(_crossed(starts, ends, x))


def _crossed(starts: Floats, ends: Floats, x: float) -> Floats:
    """Where the lines from ``starts`` (n, 3) to ``ends`` (n, 3) pass the plane, (m, 2) of y and z."""
    before, after = starts[:, 0] - x, ends[:, 0] - x
    through = ((before <= 0.0) != (after <= 0.0))
    a, b = starts[through], ends[through]
    share = before[through] / (before[through] - after[through])
    crossed: Floats = (a + share[:, None] * (b - a))[:, 1:]
    return crossed


def _outline(points: Floats) -> Floats | None:
    """Convex outline of points (n, 2); two points where they lie in a line, None for none."""
    from scipy.spatial import ConvexHull

    if len(points) < 2:
        return None
    middle = points.mean(axis=0)
    _, sizes, ways = np.linalg.svd(points - middle, full_matrices=False)
    if len(points) < 3 or sizes[-1] < 1e-6:
        along = (points - middle) @ ways[0]
        return points[[int(np.argmin(along)), int(np.argmax(along))]]
    outline: Floats = points[ConvexHull(points).vertices]
    return outline


def _skin(mesh: TriangleMesh, along: Floats, turn: Floats, shift: Floats) -> Floats:
    """The cut through a mesh as lines (m, 2, 2) of y and z: each triangle that is passed gives one. ``along`` (n,) is
    how far each corner stands behind the plane [mm]."""
    over = along > 0.0
    first, second, third = (over[mesh.triangles[:, k]] for k in range(3))
    met = mesh.triangles[(first != second) | (second != third)]
    if not len(met):
        return _NO_LINES
    sides = over[met]
    # the corner that stands alone on its side comes first
    alone = np.argmax(sides == (sides.sum(axis=1) == 1)[:, None], axis=1)
    corners = np.take_along_axis(met, (alone[:, None] + np.arange(3)) % 3, axis=1)
    places = (mesh.vertices[corners] @ turn.T + shift)[:, :, 1:]
    off = along[corners]
    share = off[:, :1] / (off[:, :1] - off[:, 1:])
    lines: Floats = places[:, :1] + share[:, :, None] * (places[:, 1:] - places[:, :1])
    return lines


# -- what hangs on a thing ----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Subject:
    """One thing or one hardpoint somebody points at. ``kind`` is what it is to its neighbours, "hardpoint" for one;
    ``bodies`` what it rides on, ``points`` the hardpoints that place it, ``sizes`` the size readings that say how large
    it is, ``on`` the things that hang on a hardpoint."""

    name: str
    kind: str
    bodies: tuple[str, ...]
    points: tuple[str, ...]
    sizes: tuple[str, ...] = ()
    on: tuple[str, ...] = ()


HARDPOINT = "hardpoint"


def subject(results: Results, name: str) -> Subject:
    """What is called ``name``: a thing before a hardpoint.

    Raises
    ------
    KeyError
        when nothing is called so
    """
    for one in results.placed:
        thing = one.thing
        if thing.name == name:
            points = points_of(thing.of) if isinstance(thing.of, Shape) else tuple(sorted(thing.points))
            return Subject(name, thing.kind, tuple(sorted(thing.bodies)), tuple(dict.fromkeys(points)),
                           tuple(thing_sizes(thing, results.build)))
    if name in results.points:
        on = tuple(p.thing.name for p in results.placed if name in p.thing.points)
        return Subject(name, HARDPOINT, (results.build.body_of(name),), (name,), (), on)
    raise KeyError(f"neither a thing nor a hardpoint is called {name!r}")


def readings_of(results: Results, one: Subject) -> tuple[Checked, ...]:
    """The readings that place or size it, in the order of the notebook."""
    points, sizes = set(one.points), set(one.sizes)
    return tuple(c for c in results.survey.readings
                 if points & set(c.observation.points) or c.observation.size in sizes)


def findings_of(results: Results, one: Subject, findings: Iterable[Finding]) -> list[Finding]:
    """What was found about it, worst first: its gaps, and what is said of it by name."""
    ours = {f"gap.{a.pair.name}" for a in results.gaps if one.name in (a.pair.a.name, a.pair.b.name)}
    starts, wheres = _names(results, one)
    return worst_first(
        f for f in findings
        if f.name in ours or f.name in starts or any(f.name.startswith(f"{s}.") for s in starts)
        or (f.where is not None and f.where in wheres and not f.name.startswith("gap.")))


def _names(results: Results, one: Subject) -> tuple[set[str], set[Place]]:
    if one.kind == HARDPOINT:
        named = {f.name for f in results.findings
                 if f.name.startswith("survey.") and f.name.endswith(f".{one.name}")}
        suspects = {f"survey.suspect.{s.reading}" for s in results.survey.suspects
                    if one.name in s.reading.replace("-", " ").split()}
        return named | suspects, set()
    thing = placed_named(results, one.name).thing
    starts = {f"{start}.{slug(one.name)}" for start in ("scan", "shape")}
    if isinstance(thing.of, RoutePlan):
        starts |= {f"exhaust.{slug(thing.of.name)}", slug(route_name(thing.of))}
    return starts, set() if thing.where is None else {thing.where}


def subjects(results: Results) -> tuple[str, ...]:
    """Every name that :func:`subject` knows, things first, each once; the ground is left out."""
    things = (p.thing.name for p in results.placed if p.thing.kind != GROUND)
    return tuple(dict.fromkeys((*things, *results.points)))


def reach_of(results: Results, name: str) -> tuple[float, float]:
    """From where to where along the vehicle something lies at ride height [mm], by its hardpoints.

    Raises
    ------
    KeyError
        when nothing is called so, or none of its hardpoints is known
    """
    stations = [float(results.points[p][0]) for p in subject(results, name).points if p in results.points]
    if not stations:
        raise KeyError(f"no hardpoint of {name!r} is known")
    return min(stations), max(stations)


__all__ = [
    "AlongHeave", "Cut", "Doubt", "GapLine", "GapNow", "Subject", "body_at", "cut_at", "doubts", "findings_of",
    "gap_along_heave", "gap_lines", "gap_now", "heave_range", "placed_named", "reach_of", "readings_of",
    "subject", "subjects",
]
