"""The covariance of the hardpoints carried into a gap at its worst pose.

The smallest gap over the travel is a minimum over poses and over pairs of points; to first order it changes as the
distance of those two points along their common normal does, pose and points held (envelope theorem). So the normal is
taken at the worst pose, and the three ways in which a hardpoint can reach the gap are added up: it places the shape,
it moves the axle through the suspension, it moves the engine through the mounts.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.checks import (
    ON_AXLE,
    GapAnswer,
    Placed,
    PlacingError,
    Results,
    axis_of,
    centre_line_of,
    place,
    route_name,
    span_ends,
    thing_sizes,
)
from trialfit.checks.placing import amount_mm
from trialfit.findings import Verdict, verdict_on
from trialfit.geometry import Rigid, Span, gap_at
from trialfit.geometry.carried import carried
from trialfit.geometry.mesh import align
from trialfit.geometry.solids import Capsule, TriangleMesh
from trialfit.motion import Axle, MotionError, axle_of, axle_pose, rock, wheel_centres
from trialfit.survey import Advice, advise_for
from trialfit.vehicle import (
    Amount,
    BodyName,
    Build,
    Mesh,
    PosePoint,
    RoutePlan,
    suspension_points,
)

Floats = NDArray[np.float64]
Points = Mapping[str, Floats]

STEP_MM = 0.05
_SIZE = 3
"""Stands where an axis would, for a size."""


@dataclass(frozen=True, slots=True, eq=False)
class Weighed:
    """One gap with its doubt. ``sd_mm`` is None when it cannot be carried through (two things that overlap, a pose that
    the suspension no longer reaches). ``slope`` is the gap's derivative by every unknown of the survey [-]."""

    answer: GapAnswer
    sd_mm: float | None
    slope: Floats | None
    verdict: Verdict
    advice: tuple[Advice, ...]
    misread: bool = False
    """the readings are in question and the doubt could not be carried through: nothing is said of this gap"""

    @property
    def margin_mm(self) -> float:
        """Room beyond the requirement, counted from the guaranteed lower bound [mm]."""
        return self.answer.lower_mm - self.answer.pair.required_mm


def weigh(results: Results, *, advise: bool = True,
          progress: Callable[[int, int, str], None] | None = None) -> tuple[Weighed, ...]:
    """Put a doubt and a verdict on every gap of a build, and for those that cannot be told the reading that helps most.

    Left out: bends of the pipe as made, give of bushes, errors of amounts typed without a reading. All err to too
    little doubt.

    Parameters
    ----------
    advise : bool
        False leaves out what to measure again
    progress : callable
        told (done, of, what)
    """
    placed = {p.thing.name: p for p in results.placed}
    movement = _Movement(results)
    weighed: list[Weighed] = []
    for done, answer in enumerate(results.gaps):
        if progress is not None:
            progress(done, len(results.gaps), f"doubt of {answer.pair.a.name} / {answer.pair.b.name}")
        slope = _slope(results, answer, placed, movement)
        sd = None
        if slope is not None:
            sd = math.sqrt(max(float(slope @ results.survey.covariance @ slope), 0.0))
        verdict = verdict_on(answer.lower_mm, max(answer.upper_mm, answer.lower_mm), answer.pair.required_mm, sd)
        advice: tuple[Advice, ...] = ()
        misread = sd is None and bool(results.survey.suspects)
        if misread:
            verdict = Verdict.CANNOT_TELL
        elif not answer.through_travel:
            verdict = Verdict.CANNOT_TELL if verdict is Verdict.FITS else verdict
        elif advise and verdict is Verdict.CANNOT_TELL and slope is not None and np.any(slope):
            advice = tuple(advise_for(results.survey, slope, most=1))
        weighed.append(Weighed(answer, sd, slope, verdict, advice, misread))
    return tuple(weighed)


class _Movement:
    """How axle and engine move when a hardpoint of the suspension or the mounts is shifted, kept for each state."""

    def __init__(self, results: Results) -> None:
        self.results = results
        build: Build = results.build
        self.wheels = wheel_centres(build)
        self.of_axle: tuple[str, ...] = ()
        if build.suspension is not None and results.travel is not None and results.travel.stops is not None:
            self.of_axle = tuple(dict.fromkeys((*suspension_points(build.suspension), *(self.wheels or ()))))
        self.of_engine: tuple[str, ...] = ()
        if build.mounts is not None and results.travel is not None:
            self.of_engine = (build.mounts.axis_front, build.mounts.axis_rear)
        self._kept: dict[tuple[str, float, float], tuple[Floats, Floats]] = {}
        self._shapes: dict[tuple[str, str, int, float], Rigid] = {}
        self._axles: dict[tuple[str, int, float], Axle] = {}

    def names(self, body: str) -> tuple[str, ...]:
        """Hardpoints that move ``body`` by moving what holds it."""
        if body in ON_AXLE:
            return self.of_axle
        return self.of_engine if body == BodyName.ENGINE.value else ()

    def change(self, body: str, state: PosePoint) -> tuple[Floats, Floats]:
        """Derivative of the body's rotation (n, 3, 3, 3) and shift (n, 3, 3) by each coordinate of each of its names.

        Raises
        ------
        MotionError
            when the suspension does not close with a hardpoint shifted
        """
        axle = body in ON_AXLE
        key = ("axle", state.heave, state.roll) if axle else ("engine", state.rock, 0.0)
        if key not in self._kept:
            names = self.of_axle if axle else self.of_engine
            rotations, shifts = np.zeros((len(names), 3, 3, 3)), np.zeros((len(names), 3, 3))
            for i, name in enumerate(names):
                for axis in range(3):
                    high, low = (self._pose(axle, state, name, axis, step) for step in (STEP_MM, -STEP_MM))
                    rotations[i, axis] = (high[0] - low[0]) / (2.0 * STEP_MM)
                    shifts[i, axis] = (high[1] - low[1]) / (2.0 * STEP_MM)
            self._kept[key] = rotations, shifts
        return self._kept[key]

    def shape(self, one: Placed, name: str, axis: int, step: float) -> Rigid:
        """A thing that rides on one body, on one hardpoint shifted along ``axis`` or (``_SIZE``) with one size changed.

        Raises
        ------
        MotionError
            when a route cannot be laid like that
        """
        key = (one.thing.name, name, axis, step)
        if key not in self._shapes:
            results, points, sizes = self.results, self.results.points, self.results.sizes
            if axis == _SIZE:
                mm, sd = sizes[name]
                sizes = {**sizes, name: (mm + step, sd)}
            else:
                points = _moved(points, name, axis, step)
            lines = {}
            if isinstance(one.thing.of, RoutePlan):
                laid = centre_line_of(one.thing.of, points, sizes)
                if laid is None:
                    raise MotionError(f"{one.thing.name} cannot be laid when its points are shifted")
                lines[route_name(one.thing.of)] = laid
            put = place(one.thing, results.build, points, sizes, {}, results.meshes, lines).mover
            assert isinstance(put, Rigid)
            self._shapes[key] = put
        return self._shapes[key]

    def _pose(self, axle: bool, state: PosePoint, name: str, axis: int, step: float) -> tuple[Floats, Floats]:
        """Rotation and shift of axle or engine at a state with one hardpoint shifted along ``axis``."""
        if axle:
            key = (name, axis, step)
            if key not in self._axles:
                build = self.results.build
                assert build.suspension is not None
                self._axles[key] = axle_of(build.suspension, _moved(self.results.points, name, axis, step),
                                           self.results.sizes, self.wheels)
            pose = axle_pose(self._axles[key], state.heave, state.roll)
            return pose.rotation, pose.shift
        points = _moved(self.results.points, name, axis, step)
        front, rear = self.of_engine
        rotation, shift = rock(points[front], points[rear], np.array([state.rock]))
        return rotation[0], shift[0]


def _moved(points: Points, name: str, axis: int, step: float) -> dict[str, Floats]:
    put = points[name].copy()
    put[axis] += step
    return {**points, name: put}


@dataclass(frozen=True, slots=True, eq=False)
class _Contact:
    """One side of a gap: the thing, the nearest point of it ``at`` (3,) [mm], and the unit way ``out`` (3,) from it
    towards the other thing, both in the frame of the vehicle at the worst pose."""

    one: Placed
    at: Floats
    out: Floats


def _slope(results: Results, answer: GapAnswer, placed: Mapping[str, Placed], movement: _Movement) -> Floats | None:
    """Derivative of the gap by every unknown of the survey; None where there is none."""
    a, b = placed[answer.pair.a.name], placed[answer.pair.b.name]
    near = gap_at(a.mover, b.mover, np.array(answer.pose))
    between = near.point_second - near.point_first
    length = float(np.linalg.norm(between))
    if near.upper_mm <= 1e-6 or length <= 1e-6:
        return None
    out = between / length
    slope = np.zeros(results.survey.covariance.shape[0])
    try:
        for contact in (_Contact(a, near.point_first, out), _Contact(b, near.point_second, -out)):
            _add_side(results, contact, answer.pose, movement, slope)
    except (MotionError, PlacingError):
        return None
    return slope


def _add_side(results: Results, c: _Contact, state: PosePoint, movement: _Movement, slope: Floats) -> None:
    """Take off the slope how far the side's surface comes out towards the other thing."""
    mover = c.one.mover
    if isinstance(mover, Span):
        ends, _ = span_ends(c.one.thing, results.build)
        spots = [p if path is None else path.move(p, state) for p, path in
                 ((mover.a, mover.path_a), (mover.b, mover.path_b))]
        along = spots[1] - spots[0]
        share = min(1.0, max(0.0, float((c.at - spots[0]) @ along / (along @ along))))
        for (name, body), point, path, part in zip(
                ends, (mover.a, mover.b), (mover.path_a, mover.path_b),
                (1.0 - share, share), strict=True):
            turn = np.eye(3) if path is None else path.pose(*state)[0]
            way = part * (c.out @ turn)
            line, offset = axis_of(results.build, name) if c.one.thing.of is None else ((), Amount(0.0))
            slope[results.survey.columns([name])] -= way
            if line:
                # the joint's centre stands out from the face: a turn of its axis swings it
                run = results.points[line[1]] - results.points[line[0]]
                length = float(np.linalg.norm(run))
                swing = (way - (way @ run) * run / length**2) * amount_mm(offset, results.sizes) / length
                slope[results.survey.columns([line[1]])] -= swing
                slope[results.survey.columns([line[0]])] += swing
                if offset.size and offset.size in results.survey.sizes:
                    slope[results.survey.columns([offset.size])[0]] -= float(way @ run) / length
            _add_body(results, body, point, part * c.out, state, movement, slope)
        for size in thing_sizes(c.one.thing, results.build):
            if size in results.survey.sizes:
                slope[results.survey.columns([size])[0]] -= 0.5
        return
    rotation, shift = (np.eye(3), np.zeros(3)) if mover.path is None else mover.path.pose(*state)
    here, way = rotation.T @ (c.at - shift), rotation.T @ c.out
    (body,) = c.one.thing.bodies
    _add_body(results, body, here, c.out, state, movement, slope)
    for name in sorted(c.one.thing.points):
        if results.survey.has(name):
            columns = results.survey.columns([name])
            for axis in range(3):
                slope[columns[axis]] -= _comes(results, movement, c.one, here, way, (name, axis))
    for size in thing_sizes(c.one.thing, results.build):
        if size in results.survey.sizes:
            slope[results.survey.columns([size])[0]] -= _comes(results, movement, c.one, here, way, (size, _SIZE))


def _add_body(results: Results, body: str, point: Floats, out: Floats, state: PosePoint, movement: _Movement,
              slope: Floats) -> None:
    """Take off how far ``point`` of ``body``, at ride height, comes along ``out`` when what holds the body shifts."""
    names = movement.names(body)
    if not names:
        return
    rotations, shifts = movement.change(body, state)
    comes = (rotations @ point + shifts) @ out
    for name, by_axis in zip(names, comes, strict=True):
        slope[results.survey.columns([name])] -= by_axis


def _comes(results: Results, movement: _Movement, one: Placed, here: Floats, way: Floats,
           shift: tuple[str, int]) -> float:
    """How far the thing's own point at ``here`` comes along ``way`` for each mm that a hardpoint or size shifts [-]."""
    name, axis = shift
    ends = []
    for step in (STEP_MM, -STEP_MM):
        if isinstance(one.thing.of, Mesh):
            at = _on_scan(results, one.thing.of, here, _moved(results.points, name, axis, step))
        else:
            put = movement.shape(one, name, axis, step)
            assert isinstance(one.mover, Rigid)
            near = _nearest(one.mover, here)
            before, after = one.mover.solids[near], put.solids[min(near, len(put.solids) - 1)]
            assert not isinstance(before, TriangleMesh)
            assert not isinstance(after, TriangleMesh)
            at = carried(before, after, here)
        ends.append(float(way @ at))
    return (ends[0] - ends[1]) / (2.0 * STEP_MM)


def _on_scan(results: Results, shape: Mesh, here: Floats, points: Points) -> Floats:
    """Where the scan's point that lies at ``here`` goes when its ties shift."""
    ties = np.array([t.xyz for t in shape.ties])
    as_is = align(ties, np.array([results.points[t.point] for t in shape.ties]), scale=shape.scale)
    shifted = align(ties, np.array([points[t.point] for t in shape.ties]), scale=shape.scale)
    in_file = as_is.rotation.T @ (here - as_is.shift) / as_is.scale
    moved: Floats = shifted.scale * (shifted.rotation @ in_file) + shifted.shift
    return moved


def _nearest(mover: Rigid, here: Floats) -> int:
    """Which capsule of a pipe a point lies on; 0 when there is one solid only."""
    pipe = [s for s in mover.solids if isinstance(s, Capsule)]
    if len(pipe) < 2:
        return 0
    starts, ends = np.array([s.start for s in pipe]), np.array([s.end for s in pipe])
    along = ends - starts
    share = np.clip(np.einsum("ij,ij->i", here - starts, along) / np.einsum("ij,ij->i", along, along), 0.0, 1.0)
    return int(np.argmin(np.linalg.norm(here - starts - share[:, None] * along, axis=1)))
