"""The shaft of a build as a line that the trade can work on, and the doubt that the readings leave it."""

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from trialfit.checks.driveline_answers import Views
from trialfit.checks.placing import PlacingError, amount_mm
from trialfit.driveline import AngleDoubt, CentreBearing, ShaftEnd, ShaftLine, Slip, doubt_from_points, places
from trialfit.driveline.shaft_line import nose_up, yoke_slip_mm
from trialfit.motion import MotionError, pose_of, reference_point, wheel_centres
from trialfit.survey import Survey
from trialfit.vehicle import Amount, Build, PosePoint, suspension_points

Floats = NDArray[np.float64]
Points = Mapping[str, Floats]
Sizes = Mapping[str, tuple[float, float]]

STEP_MM = 0.05


def amount_sd(amount: Amount, sizes: Sizes) -> float:
    """Standard deviation of a length as given, or of the size that a reading gives [mm]."""
    return sizes[amount.size][1] if amount.size in sizes else amount.sd_mm


def line_of(build: Build, points: Points, sizes: Sizes) -> ShaftLine:
    """The shaft's line at ride height.

    Raises
    ------
    PlacingError
        when a hardpoint or size is not known
    ValueError
        when the parts do not go together
    """
    shaft, ends = build.shaft, build.shaft_ends()
    assert shaft is not None
    assert ends is not None

    def at(name: str) -> Floats:
        if name not in points:
            raise PlacingError(f"shaft: hardpoint {name} is not known: its readings do not fix it")
        return points[name]

    def end(name: str, body: str, axis: tuple[str, ...], offset: Amount) -> ShaftEnd:
        return ShaftEnd(body, at(name), at(axis[1]) - at(axis[0]), amount_mm(offset, sizes), amount_sd(offset, sizes))

    centre = None
    if shaft.centre is not None:
        behind = shaft.centre.joint_behind
        centre = CentreBearing(at(shaft.centre.point), amount_mm(behind, sizes), amount_sd(behind, sizes),
                               build.body_of(shaft.centre.point))  # fmt: skip
    phases = tuple(p.value for p in shaft.phases) or ((0.0,) if centre is None else (0.0, 0.0))
    return ShaftLine(
        end(*ends[0], shaft.front_axis, shaft.front_offset), end(*ends[1], shaft.rear_axis, shaft.rear_offset),
        Slip(shaft.slip), centre, None if shaft.double is None else amount_mm(shaft.double, sizes), phases,
    )  # fmt: skip


def _views(line: ShaftLine) -> Floats:
    """Six inclinations [rad]: output, shaft, pinion; each from the side, front end up +, then from above, front end to
    the right +."""
    found = places(line, None, np.zeros((1, 3)))
    rows = [line.front.direction, found.axes[0, -2], -line.rear.direction]
    views: Floats = np.array([-math.atan2(v, row[0]) for row in rows for v in (row[2], row[1])])
    return views


def views_of(build: Build, survey: Survey, points: Points, sizes: Sizes) -> Views:
    """Inclinations of output, rear piece and pinion with their doubt."""
    line = line_of(build, points, sizes)
    names = _names(build)
    cov = survey.covariance_of(names)
    slopes = []
    for name in names:
        for axis in range(3):
            high, low = (_views(line_of(build, _moved(points, name, axis, step), sizes))
                         for step in (STEP_MM, -STEP_MM))  # fmt: skip
            slopes.append((high - low) / (2.0 * STEP_MM))
    by = np.array(slopes)
    sds = np.sqrt(np.maximum(np.einsum("ia,ij,ja->a", by, cov, by), 0.0))
    v = [float(x) for x in _views(line)]
    sd = [float(x) for x in sds]
    return Views((v[0], v[1]), (v[2], v[3]), (v[4], v[5]), (sd[0], sd[1], sd[2], sd[3], sd[4], sd[5]))


def _names(build: Build) -> tuple[str, ...]:
    assert build.shaft is not None
    return build.shaft.points()


def _moved(points: Points, name: str, axis: int, step: float) -> dict[str, Floats]:
    put = points[name].copy()
    put[axis] += step
    return {**points, name: put}


def angle_doubt(build: Build, survey: Survey, points: Points, sizes: Sizes) -> AngleDoubt:
    """Doubt of the joint angles from the readings. Two readings of a gauge would make one angle anew, six the
    difference of two: by these the gauge is named that could settle what cannot be told."""
    names = _names(build)

    def make(coordinates: Floats) -> ShaftLine:
        put = {name: coordinates[3 * i : 3 * i + 3] for i, name in enumerate(names)}
        return line_of(build, {**points, **put}, sizes)

    found = doubt_from_points(make, np.concatenate([points[n] for n in names]), survey.covariance_of(names))
    return AngleDoubt(found.angle_rad, found.difference_rad, 2, 6)


def length_covariance(build: Build, survey: Survey) -> Floats:
    """Covariance of front point, rear point and centre bearing, in that order [mm2]."""
    shaft = build.shaft
    assert shaft is not None
    centre = [] if shaft.centre is None else [shaft.centre.point]
    return survey.covariance_of([shaft.front, shaft.rear, *centre])


def slip_sd_mm(build: Build, survey: Survey, points: Points, sizes: Sizes, state: PosePoint, wrap_rad: float
               ) -> float | None:  # fmt: skip
    """Standard deviation of how far the slip has moved at a state, from every hardpoint that it hangs on: those of the
    shaft, of the suspension and of the mounts, correlations kept; None where the suspension no longer closes.

    Doubt of the stops themselves and give of rubber are left out (unsafe side).

    Source: GUM (JCGM 100:2008) 5.2.2, central differences.
    """
    held = () if build.suspension is None else (*suspension_points(build.suspension), *(wheel_centres(build) or ()))
    mounts = () if build.mounts is None else (build.mounts.axis_front, build.mounts.axis_rear)
    names = tuple(n for n in dict.fromkeys((*_names(build), *held, *mounts)) if survey.has(n))
    slope = []
    try:
        for name in names:
            for axis in range(3):
                high, low = (_slip_mm(build, _moved(points, name, axis, step), sizes, state, wrap_rad)
                             for step in (STEP_MM, -STEP_MM))  # fmt: skip
                slope.append((high - low) / (2.0 * STEP_MM))
    except (MotionError, PlacingError, ValueError):
        return None
    by = np.array(slope)
    return math.sqrt(max(float(by @ survey.covariance_of(names) @ by), 0.0))


def _slip_mm(build: Build, points: Points, sizes: Sizes, state: PosePoint, wrap_rad: float) -> float:
    """How far the slip stands beyond ride height at one state, straight from the hardpoints [mm]."""
    line = line_of(build, points, sizes)
    front_pose = pose_of(build, points, line.front.body, state, sizes)
    rear_pose = pose_of(build, points, line.rear.body, state, sizes)
    rear_ride, front_ride = line.rear.joint_mm, line.front.joint_mm
    rear = rear_ride
    if wrap_rad and build.suspension is not None:
        pivot = reference_point(build.suspension, points, wheel_centres(build))
        rear = nose_up(wrap_rad) @ (rear - pivot) + pivot
    rear, front = rear_pose.move(rear), front_pose.move(front_ride)
    if line.slip is Slip.YOKE:
        way = front_pose.rotation @ line.front.direction
        long = float(np.linalg.norm(rear_ride - front_ride))
        return float(yoke_slip_mm(front[None], way[None], rear[None], long)[0])
    if line.centre is not None:
        return _behind(line, front, rear) - _behind(line, front_ride, rear_ride)
    return float(np.linalg.norm(rear - front) - np.linalg.norm(rear_ride - front_ride))


def _behind(line: ShaftLine, front: Floats, rear: Floats) -> float:
    """Length of the piece behind the centre bearing [mm]."""
    assert line.centre is not None
    bearing = np.asarray(line.centre.point_mm)
    along = bearing - front
    middle = bearing + line.centre.joint_behind_mm / float(np.linalg.norm(along)) * along
    return float(np.linalg.norm(rear - middle))
