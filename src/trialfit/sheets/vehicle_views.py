"""The vehicle of one build as flat outlines: results in, a :class:`~trialfit.sheets.picture.Picture` out."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from trialfit.checks import GROUND, Placed, Results
from trialfit.doubt import Weighed
from trialfit.findings import RANK, SURE
from trialfit.geometry import Rigid, Span
from trialfit.geometry.solids import Box, Capsule, Frustum, Prism, Solid
from trialfit.sheets.marks import GapBar, gap_words_inch
from trialfit.sheets.picture import (
    ALTERNATIVE,
    At,
    GapMark,
    Outline,
    Path,
    Picture,
    joined,
    outline_of_pipe,
    outline_of_points,
)
from trialfit.vehicle import BodyName, Drum, Plate, PosePoint, Travel

Floats = NDArray[np.float64]

_GHOSTS = {BodyName.AXLE.value, BodyName.WHEEL_LEFT.value, BodyName.WHEEL_RIGHT.value}
_MOST_GAPS = 6
_MOST_MESH_POINTS = 4000


def _corners(solid: Solid) -> Floats:
    """Points (n, 3) [mm] whose convex outline is the solid's."""
    if isinstance(solid, Box):
        signs = np.array(np.meshgrid([-1.0, 1.0], [-1.0, 1.0], [-1.0, 1.0])).reshape(3, -1).T
        corners: Floats = solid.centre + (signs * solid.half_mm) @ solid.axes
        return corners
    if isinstance(solid, Prism):
        return solid.vertices()
    if isinstance(solid, Frustum | Capsule):
        if isinstance(solid, Frustum):
            radii = (solid.radius_start_mm, solid.radius_end_mm)
        else:
            radii = (solid.radius_mm, solid.radius_mm)
        along = solid.end - solid.start
        along = along / np.linalg.norm(along)
        other = np.array([0.0, 0.0, 1.0]) if abs(along[2]) < 0.9 else np.array([1.0, 0.0, 0.0])
        u = np.cross(along, other)
        u /= np.linalg.norm(u)
        w = np.cross(along, u)
        turn = np.linspace(0.0, 2.0 * np.pi, 48, endpoint=False)[:, None]
        ring = np.cos(turn) * u + np.sin(turn) * w
        return np.vstack((solid.start + radii[0] * ring, solid.end + radii[1] * ring))
    step = max(1, len(solid.vertices) // _MOST_MESH_POINTS)
    return solid.vertices[::step]


def _outline(one: Placed, at: At, state: PosePoint, named: bool) -> Outline:
    body = "exhaust" if one.thing.kind == "exhaust" else next(iter(sorted(one.thing.bodies)))
    if one.thing.kind == "shaft":
        body = "shaft"
    name, kind = one.thing.name, one.thing.kind
    if isinstance(one.mover, Span):
        ends = np.array([
            p if path is None else path.move(p, state)
            for p, path in ((one.mover.a, one.mover.path_a), (one.mover.b, one.mover.path_b))])
        return outline_of_pipe(name, body, ends, 2.0 * one.mover.radius_mm, kind, at, named)
    path = one.mover.path
    drawn: list[Outline] = []
    pipe = [s for s in one.mover.solids if isinstance(s, Capsule)]
    if pipe:
        line = np.array([pipe[0].start, *(s.end for s in pipe)])
        if path is not None:
            line = path.move(line, state)
        drawn.append(outline_of_pipe(name, body, line, 2.0 * pipe[0].radius_mm, kind, at, named))
    rest = [s for s in one.mover.solids if not isinstance(s, Capsule)]
    if rest:
        points = np.vstack([_corners(s) for s in rest])
        if path is not None:
            points = path.move(points, state)
        drawn.append(outline_of_points(name, body, points, kind, at, named))
    return joined(drawn)


def _thin(name: str, line: Floats) -> Outline:
    """A route that was found but not taken, as a thin line (n, 3) [mm]."""
    side, plan = (Path(tuple((float(p[0]), float(p[v])) for p in line)) for v in (2, 1))
    return Outline(name, ALTERNATIVE, (side,), (plan,), "exhaust")


def _states(travel: Travel | None) -> list[tuple[At, PosePoint]]:
    if travel is None or travel.stops is None:
        return []
    stops = travel.stops
    return [(At.BUMP, PosePoint(stops.bump_mm, 0.0, 0.0)), (At.DROOP, PosePoint(-stops.droop_mm, 0.0, 0.0))]


def _worth_drawing(weighed: Sequence[Weighed]) -> list[Weighed]:
    """The worst gaps, one for each thing that moves near the exhaust or the frame, worst first."""
    ranked = sorted((w for w in weighed if w.answer.upper_mm > -1e9), key=lambda w: (RANK[w.verdict], w.margin_mm))
    return ranked[:_MOST_GAPS]


def _mark(w: Weighed) -> GapMark:
    a = w.answer
    if a.upper_mm <= 0.0:
        words = f"overlap, wanted {a.pair.required_mm:.0f}"
    else:
        doubt = "" if w.sd_mm is None else f" ± {SURE * w.sd_mm:.0f}"
        least = "" if a.closed else "at least "
        words = f"{least}{a.upper_mm if a.closed else a.lower_mm:.0f}{doubt} mm, wanted {a.pair.required_mm:.0f}"
    inch = gap_words_inch(GapBar(a.lower_mm, a.upper_mm, a.pair.required_mm, w.sd_mm))
    return GapMark(f"{a.pair.a.name} to {a.pair.b.name}", words, w.verdict, a.at_a, a.at_b, inch)


def picture_of(results: Results, weighed: Sequence[Weighed]) -> Picture:
    """Side and plan view of a build: everything at ride height, the axle again at its stops, the worst gaps.

    Left out: roll and engine rock in the ghosts; a gap is drawn at its own worst pose all the same. Other routes that
    were found are thin lines.
    """
    ride = PosePoint(0.0, 0.0, 0.0)
    outlines = [_thin(name, line) for name, line in results.alternatives]
    placed = [p for p in results.placed if p.thing.kind != GROUND]
    for one in placed:
        named = one.thing.kind == "exhaust" or one.thing.kind in ("gearbox", "fuel", "shaft") or (isinstance(
            one.thing.of, Drum | Plate) and one.thing.kind in ("tyre", "floor", "body"))
        outlines.append(_outline(one, At.RIDE, ride, named))
    for at, state in _states(results.travel):
        for one in placed:
            if isinstance(one.mover, Rigid) and one.thing.bodies & _GHOSTS:
                outlines.append(_outline(one, at, state, False))
    drawn = _worth_drawing(weighed)
    left_out = len(weighed) - len(drawn)
    notes = [f"{len(drawn)} smallest margins of {len(weighed)} gaps drawn"] if left_out > 0 else []
    if results.alternatives:
        notes.append("dashed lines: centre lines of other routes that were found")
    note = "; ".join(notes)
    return Picture(results.build.name, tuple(outlines), tuple(_mark(w) for w in drawn), note)
