"""What the travel does to links, dampers, shaft, wheelbase and pinion, as a table and as extremes."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.motion.axle import rods_of
from trialfit.motion.error import MotionError
from trialfit.motion.sweep import wheel_centres
from trialfit.vehicle import BodyName, Build, LeafSprings, PosePoint, Travel, Tube

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Reach:
    """Least and most of one quantity over the travel and the states where they are met."""

    least: float
    least_at: PosePoint
    most: float
    most_at: PosePoint

    @property
    def greatest(self) -> float:
        """The one further from zero, with its sign."""
        return self.most if self.most >= -self.least else self.least


@dataclass(frozen=True, slots=True)
class SpanStory:
    """Length of one thing that spans two bodies: a link, rod, damper or the shaft, between its two joint centres.

    ``kind`` is ``link``, ``shaft`` or the kind of the shape. For a link, the change of length is what its bushes give.
    """

    name: str
    kind: str
    ride_mm: float
    length_mm: Reach

    @property
    def shorter_mm(self) -> float:
        """How much shorter than at ride height it gets [mm]."""
        return self.ride_mm - self.length_mm.least

    @property
    def longer_mm(self) -> float:
        """How much longer than at ride height it gets [mm]."""
        return self.length_mm.most - self.ride_mm

    @property
    def give_mm(self) -> float:
        """Greatest change of length either way [mm]."""
        return max(self.shorter_mm, self.longer_mm)


@dataclass(frozen=True, slots=True)
class StoryRow:
    """One state, engine at rest. Changes count from ride height; ``lengths_mm`` stands in the order of the spans."""

    heave_mm: float
    roll_deg: float
    pinion_deg: float
    """change of the pinion's inclination, nose up +; equal to the pitch of the axle"""
    yaw_deg: float
    """turn of the axle seen from above, left wheel rearward +"""
    lateral_mm: float
    """walk of the axle's reference point to the right"""
    fore_aft_mm: float
    """walk of the axle's reference point rearward: the mean change of the wheelbase"""
    wheelbase_left_mm: float
    wheelbase_right_mm: float
    lengths_mm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Story:
    """The table and the extremes. Extremes come from a grid of states, not from a bound; between its states a length
    can go further by about a thousandth of its range."""

    spans: tuple[SpanStory, ...]
    rows: tuple[StoryRow, ...]
    lateral_mm: Reach
    fore_aft_mm: Reach
    pinion_deg: Reach

    def span(self, name: str) -> SpanStory:
        """The span called ``name``.

        Raises
        ------
        KeyError
            when there is none, with those there are
        """
        for span in self.spans:
            if span.name == name:
                return span
        raise KeyError(f"no span is called '{name}'; there are: {', '.join(s.name for s in self.spans)}")


@dataclass(frozen=True, slots=True, eq=False)
class _Span:
    name: str
    kind: str
    first: Floats
    first_body: str
    second: Floats
    second_body: str


def story(
    travel: Travel,
    build: Build,
    points: Mapping[str, Floats],
    *,
    heaves_mm: Sequence[float] | None = None,
    rolls_rad: Sequence[float] = (0.0,),
) -> Story:
    """Tell the travel of a build: pinion angle, walk of the axle, lengths of all that spans two bodies.

    Parameters
    ----------
    travel : Travel
        from :func:`motion.travel` of the same build
    build : Build
        gives links, rod, shaft, and the shapes that span two bodies
    points : mapping
        hardpoint name to place at ride height (3,) [mm]
    heaves_mm : sequence
        heaves of the table [mm]; 11 from droop to bump when None; those that the stops forbid at a roll are left out
    rolls_rad : sequence
        rolls of the table, right wheel up + [rad]

    Raises
    ------
    MotionError
        when the travel moves no axle, or a spanning hardpoint has no place
    """
    if travel.stops is None:
        raise MotionError("the travel moves no axle: there is no story to tell")
    spans = _spans(build, points)
    grid = np.array(travel.grid(61, 41, 3 if travel.hi[2] > travel.lo[2] else 1))
    lengths = _lengths(travel, spans, grid)
    ride = _lengths(travel, spans, np.zeros((1, 3)))[0]
    told = tuple(
        SpanStory(s.name, s.kind, float(ride[i]), _reach(lengths[:, i], grid)) for i, s in enumerate(spans)
    )
    walk, pitch, _ = _axle(travel, grid)
    heaves = np.linspace(-travel.stops.droop_mm, travel.stops.bump_mm, 11) if heaves_mm is None else heaves_mm
    states = np.array([[h, r, 0.0] for r in rolls_rad for h in heaves]).reshape(-1, 3)
    states = states[travel.feasible_states(states)]
    rows = _rows(travel, build, points, spans, states) if len(states) else ()
    return Story(
        told, rows, _reach(walk[:, 1], grid), _reach(walk[:, 0], grid), _reach(np.degrees(pitch), grid)
    )


def _spans(build: Build, points: Mapping[str, Floats]) -> list[_Span]:
    asked: list[tuple[str, str, str, str, str, str]] = []
    if build.suspension is not None and not isinstance(build.suspension, LeafSprings):
        asked += [
            (rod.name, "link", rod.frame, BodyName.FRAME, rod.axle, BodyName.AXLE) for rod in rods_of(build.suspension)
        ]
    asked += [(name, "shaft", *front, *rear) for name, front, rear in build.shaft_pieces() if front[1] != rear[1]]
    told = {frozenset((start, end)) for _, _, start, _, end, _ in asked}
    for shape in build.shapes:
        if isinstance(shape, Tube) and not shape.body:
            bodies = build.body_of(shape.start), build.body_of(shape.end)
            if bodies[0] != bodies[1] and frozenset((shape.start, shape.end)) not in told:
                asked.append((shape.name, shape.kind, shape.start, bodies[0], shape.end, bodies[1]))
    spans = []
    for name, kind, start, start_body, end, end_body in asked:
        for point in (start, end):
            if point not in points:
                raise MotionError(f"{kind} {name}: hardpoint '{point}' has no place; measure it")
        first, second = (np.asarray(points[p], dtype=np.float64) for p in (start, end))
        spans.append(_Span(name, kind, first, str(start_body), second, str(end_body)))
    return spans


def _lengths(travel: Travel, spans: list[_Span], states: Floats) -> Floats:
    placed = {body: travel.poses(body, states) for s in spans for body in (s.first_body, s.second_body)}
    lengths = np.empty((len(states), len(spans)))
    for i, span in enumerate(spans):
        turned, moved = placed[span.first_body]
        first = turned @ span.first + moved
        turned, moved = placed[span.second_body]
        lengths[:, i] = np.linalg.norm(turned @ span.second + moved - first, axis=1)
    return lengths


def _axle(travel: Travel, states: Floats) -> tuple[Floats, Floats, Floats]:
    rotation, shift = travel.poses(BodyName.AXLE, states)
    reference = np.array(travel.reference)
    walk: Floats = rotation @ reference + shift - reference
    pitch: Floats = -np.arcsin(np.clip(rotation[:, 2, 0], -1.0, 1.0))
    yaw: Floats = np.arctan2(rotation[:, 1, 0], rotation[:, 0, 0])
    return walk, pitch, yaw


def _reach(values: Floats, states: Floats) -> Reach:
    low, high = int(np.argmin(values)), int(np.argmax(values))
    least_at, most_at = (PosePoint(*(float(v) for v in states[n])) for n in (low, high))
    return Reach(float(values[low]), least_at, float(values[high]), most_at)


def _rows(
    travel: Travel, build: Build, points: Mapping[str, Floats], spans: list[_Span], states: Floats
) -> tuple[StoryRow, ...]:
    walk, pitch, yaw = _axle(travel, states)
    lengths = _lengths(travel, spans, states)
    rotation, shift = travel.poses(BodyName.AXLE, states)
    wheels = wheel_centres(build)
    if wheels is not None and all(w in points for w in wheels):
        ends = [np.asarray(points[w], dtype=np.float64) for w in wheels]
    else:
        assert travel.stops is not None
        half = np.array([0.0, travel.stops.apart_mm / 2.0, 0.0])
        ends = [np.array(travel.reference) - half, np.array(travel.reference) + half]
    base = [(rotation @ end + shift - end)[:, 0] for end in ends]
    return tuple(
        StoryRow(
            heave_mm=float(state[0]),
            roll_deg=math.degrees(state[1]),
            pinion_deg=math.degrees(pitch[n]),
            yaw_deg=math.degrees(yaw[n]),
            lateral_mm=float(walk[n, 1]),
            fore_aft_mm=float(walk[n, 0]),
            wheelbase_left_mm=float(base[0][n]),
            wheelbase_right_mm=float(base[1][n]),
            lengths_mm=tuple(float(v) for v in lengths[n]),
        )
        for n, state in enumerate(states)
    )
