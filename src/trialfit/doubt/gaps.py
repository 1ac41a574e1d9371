"""The covariance of the hardpoints carried into a gap at its worst pose.

The smallest gap over the travel is a minimum over poses; to first order it changes as the gap at the minimising pose
does, the pose held (envelope theorem), so each hardpoint is shifted a little, the suspension closed again, and the gap
at that one pose measured again.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.checks import GapAnswer, Placed, Results, Thing, place
from trialfit.exhaust import lay
from trialfit.findings import Verdict, verdict_on
from trialfit.geometry import Rigid, Span, gap_at
from trialfit.geometry.paths import PosePath
from trialfit.geometry.solids import Capsule
from trialfit.motion import MotionError, rock, solve_pose, wheel_centres
from trialfit.survey import Advice, advise_for
from trialfit.vehicle import Amount, BodyName, Box, Build, Cone, Drum, Plate, Pose, RoutePlan, Tube, suspension_points

Floats = NDArray[np.float64]

STEP_MM = 0.05
_ON_AXLE = {BodyName.AXLE.value, BodyName.WHEEL_LEFT.value, BodyName.WHEEL_RIGHT.value}


@dataclass(frozen=True, slots=True, eq=False)
class Weighed:
    """One gap with its doubt. ``sd_mm`` is None when it cannot be carried through (a touching pair, a pose that the
    suspension no longer reaches). ``slope`` is the gap's derivative by every unknown of the survey [-]."""

    answer: GapAnswer
    sd_mm: float | None
    slope: Floats | None
    verdict: Verdict
    advice: tuple[Advice, ...]

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
    shifted = _Shifted(results)
    weighed: list[Weighed] = []
    for done, answer in enumerate(results.gaps):
        if progress is not None:
            progress(done, len(results.gaps), f"doubt of {answer.pair.a.name} / {answer.pair.b.name}")
        slope = _slope(results, answer, placed, shifted)
        sd = None
        if slope is not None:
            sd = math.sqrt(max(float(slope @ results.survey.covariance @ slope), 0.0))
        verdict = verdict_on(answer.lower_mm, max(answer.upper_mm, answer.lower_mm), answer.pair.required_mm, sd)
        advice: tuple[Advice, ...] = ()
        if advise and verdict is Verdict.CANNOT_TELL and slope is not None and np.any(slope):
            advice = tuple(advise_for(results.survey, slope, most=1))
        weighed.append(Weighed(answer, sd, slope, verdict, advice))
    return tuple(weighed)


class _Shifted:
    """Poses of axle and engine with one coordinate of one hardpoint shifted, kept per state."""

    def __init__(self, results: Results) -> None:
        self.build: Build = results.build
        self.points = results.points
        self.sizes = results.sizes
        self.wheels = wheel_centres(results.build)
        build = results.build
        self.of_axle: tuple[str, ...] = ()
        if build.suspension is not None and results.travel is not None and results.travel.stops is not None:
            self.of_axle = tuple(dict.fromkeys((*suspension_points(build.suspension), *(self.wheels or ()))))
        self.of_engine: tuple[str, ...] = ()
        if build.mounts is not None and results.travel is not None:
            self.of_engine = (build.mounts.axis_front, build.mounts.axis_rear)
        self._axle: dict[tuple[float, float, str, int, float], Pose] = {}

    def axle(self, heave: float, roll: float, point: str, axis: int, step: float) -> Pose | None:
        """Pose of the axle with the suspension closed again; None where it cannot be."""
        if self.build.suspension is None or not self.of_axle:
            return None
        key = (heave, roll, point, axis, step)
        if key not in self._axle:
            points = _moved(self.points, point, axis, step) if point else self.points
            self._axle[key] = solve_pose(self.build.suspension, points, heave, roll, self.sizes, self.wheels)
        return self._axle[key]

    def engine(self, angle: float, point: str, axis: int, step: float) -> Pose | None:
        """Pose of the engine rocked about the shifted axis."""
        if self.build.mounts is None or not self.of_engine:
            return None
        points = _moved(self.points, point, axis, step) if point else self.points
        rotation, shift = rock(points[self.of_engine[0]], points[self.of_engine[1]], np.array([angle]))
        return Pose(rotation[0], shift[0])

    def paths(self, state: tuple[float, float, float], point: str, axis: int, step: float) -> dict[str, PosePath]:
        """Both bodies held still at one state, as paths that do not depend on anything."""
        held: dict[str, PosePath] = {}
        axle = self.axle(state[0], state[1], point if point in self.of_axle else "", axis, step)
        if axle is not None:
            held.update(dict.fromkeys(_ON_AXLE, _held(axle)))
        engine = self.engine(state[2], point if point in self.of_engine else "", axis, step)
        if engine is not None:
            held[BodyName.ENGINE.value] = _held(engine)
        return held


def _held(pose: Pose) -> PosePath:
    coefs = np.concatenate((pose.rotation.ravel(), pose.shift)).reshape(1, 1, 1, 12)
    return PosePath(coefs, np.zeros(3), np.zeros(3))


def _moved(points: Mapping[str, Floats], name: str, axis: int, step: float) -> dict[str, Floats]:
    put = points[name].copy()
    put[axis] += step
    return {**points, name: put}


def _slope(results: Results, answer: GapAnswer, placed: Mapping[str, Placed], shifted: _Shifted) -> Floats | None:
    """Derivative of the gap by every unknown of the survey, by central differences of 0.05 mm."""
    a, b = placed[answer.pair.a.name], placed[answer.pair.b.name]
    state = (answer.pose.heave, answer.pose.roll, answer.pose.rock)
    width = results.survey.covariance.shape[0]
    slope = np.zeros(width)
    near_a, near_b = _nearest(a, answer.at_a), _nearest(b, answer.at_b)

    def gap(points: Mapping[str, Floats], sizes: Mapping[str, tuple[float, float]], paths: dict[str, PosePath]) -> float:
        first = _again(results, a, near_a, points, sizes, paths)
        second = _again(results, b, near_b, points, sizes, paths)
        found = gap_at(first, second, np.zeros(3))
        return 0.5 * (found.lower_mm + found.upper_mm)

    try:
        for name in _hardpoints(results.build, a.thing, b.thing, shifted):
            if not results.survey.has(name):
                continue
            columns = results.survey.columns([name])
            for axis in range(3):
                high, low = (
                    gap(_moved(results.points, name, axis, s), results.sizes, shifted.paths(state, name, axis, s))
                    for s in (STEP_MM, -STEP_MM))
                slope[columns[axis]] = (high - low) / (2.0 * STEP_MM)
        at_rest = shifted.paths(state, "", 0, 0.0)
        for size in _sizes(a.thing, b.thing, results.build):
            if size not in results.survey.sizes:
                continue
            mm, sd = results.sizes[size]
            high, low = (gap(results.points, {**results.sizes, size: (mm + s, sd)}, at_rest)
                         for s in (STEP_MM, -STEP_MM))
            slope[results.survey.columns([size])[0]] = (high - low) / (2.0 * STEP_MM)
    except MotionError:
        return None
    return slope


def _nearest(one: Placed, at: tuple[float, float, float]) -> int | None:
    """Which capsule of a pipe the nearest point lies on; None when there is one solid only, or no pipe."""
    if isinstance(one.mover, Span) or len(one.mover.solids) < 2:
        return None
    spot = np.array(at)
    best, index = math.inf, None
    for i, solid in enumerate(one.mover.solids):
        if not isinstance(solid, Capsule):
            return None
        along = solid.end - solid.start
        length2 = float(along @ along)
        s = 0.0 if length2 == 0.0 else min(1.0, max(0.0, float((spot - solid.start) @ along) / length2))
        d = float(np.linalg.norm(spot - solid.start - s * along))
        if d < best:
            best, index = d, i
    return index


def _again(results: Results, one: Placed, near: int | None, points: Mapping[str, Floats],
           sizes: Mapping[str, tuple[float, float]], paths: dict[str, PosePath]) -> Rigid | Span:
    """The same thing on shifted hardpoints; of a pipe only the capsule nearest to the gap."""
    lines = {}
    if isinstance(one.thing.of, RoutePlan):
        if not (one.thing.points & _changed(points, results.points)) and sizes is results.sizes:
            return _only(one.mover, near)
        laid = lay(one.thing.of, points, sizes)
        if laid.centreline is None:
            raise MotionError(f"{one.thing.name} cannot be laid when its points are shifted")
        lines[one.thing.name] = (laid.centreline, laid.diameter_mm)
    put = place(one.thing, results.build, points, sizes, paths, results.meshes, lines)
    return _only(put.mover, near)


def _changed(points: Mapping[str, Floats], base: Mapping[str, Floats]) -> set[str]:
    return set() if points is base else {name for name, p in points.items() if p is not base[name]}


def _only(mover: Rigid | Span, near: int | None) -> Rigid | Span:
    if near is None or isinstance(mover, Span) or near >= len(mover.solids):
        return mover
    return Rigid((mover.solids[near],), mover.path)


def _hardpoints(build: Build, a: Thing, b: Thing, shifted: _Shifted) -> list[str]:
    names = dict.fromkeys((*sorted(a.points), *sorted(b.points)))
    bodies = a.bodies | b.bodies
    if bodies & _ON_AXLE:
        names.update(dict.fromkeys(shifted.of_axle))
    if BodyName.ENGINE.value in bodies:
        names.update(dict.fromkeys(shifted.of_engine))
    return list(names)


def _sizes(a: Thing, b: Thing, build: Build) -> list[str]:
    found: dict[str, None] = {}
    for thing in (a, b):
        for amount in _amounts(thing, build):
            if amount is not None and amount.size:
                found.setdefault(amount.size)
    return list(found)


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
        case RoutePlan():
            return (thing.of.diameter, *(c.radius for c in thing.of.corners))
        case None:
            return () if build.shaft is None else (build.shaft.diameter,)
    return ()
