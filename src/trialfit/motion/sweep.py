"""From hardpoints to the travel: solve the suspension over the whole box of heave and roll, hand it on as series."""

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from trialfit.geometry.paths import PathError, PosePath, fit
from trialfit.motion.axle import Axle, Sizes, axle_of, solve, solve_pose, why_stuck
from trialfit.motion.engine import rock
from trialfit.motion.error import MotionError
from trialfit.vehicle import (
    IDENTITY,
    BodyName,
    Build,
    Drum,
    FourLinksRod,
    LeafSprings,
    Mounts,
    Pose,
    PosePoint,
    Stops,
    Travel,
)
from trialfit.vehicle.travel import between_stops

Floats = NDArray[np.float64]

MOST_ROLL = math.radians(30.0)
"""greatest roll the program works with; no live axle gets near it; common practice, no source"""
REACH_MM = 1500.0
"""how far from the axle a point that rides on it may be for the fit error to hold [mm]"""
FIT_MM = 1e-6
"""difference between series and closed loops aimed at [mm]"""
WORST_FIT_MM = 0.1
"""difference beyond which the travel is refused [mm]; common practice, no source"""
ROCK_FIT_MM = 1e-9
"""the same for the engine, whose turn is known in closed form [mm]"""


def wheel_centres(build: Build) -> tuple[str, str] | None:
    """Hardpoints at the centres of the left and right wheel, when both are drawn as drums on their bodies."""
    found = {s.body: s.centre for s in build.shapes if isinstance(s, Drum)}
    left, right = found.get(BodyName.WHEEL_LEFT), found.get(BodyName.WHEEL_RIGHT)
    return (left, right) if left and right else None


def roll_limit(stops: Stops) -> float:
    """Greatest roll either way [rad]: that of the build file, or less where the stops end it.

    The stops end it where one side is in bump and the other in droop, ``sin(roll) = (bump + droop) / apart``.

    Raises
    ------
    MotionError
        when bump, droop (0.1 to 500 mm), apart (100 to 3000 mm) or the roll limit (0 to 30 deg) is out of range, or
        the stops alone would let the axle roll beyond 30 deg

    >>> round(math.degrees(roll_limit(Stops(80.0, 90.0, 900.0))), 2)
    10.89
    """
    for name, value, least, most in (
        ("bump", stops.bump_mm, 0.1, 500.0),
        ("droop", stops.droop_mm, 0.1, 500.0),
        ("apart", stops.apart_mm, 100.0, 3000.0),
    ):
        if not least <= value <= most:
            raise MotionError(f"stops: {name} must be {least:g} to {most:g} mm, not {value:.6g} mm")
    if stops.roll_rad is not None and not 0.0 <= stops.roll_rad <= MOST_ROLL:
        raise MotionError(f"stops: roll must be 0 to 30 deg, not {math.degrees(stops.roll_rad):.4g} deg")
    share = (stops.bump_mm + stops.droop_mm) / stops.apart_mm
    by_stops = math.asin(min(1.0, share))
    if stops.roll_rad is not None:
        return min(by_stops, stops.roll_rad)
    if by_stops > MOST_ROLL:
        raise MotionError(
            f"stops: they alone would let the axle roll {math.degrees(by_stops):.3g} deg; give a roll limit, at most "
            "30 deg"
        )
    return by_stops


def travel(build: Build, points: Mapping[str, Floats], sizes: Sizes | None = None) -> Travel:
    """Where axle, wheels and engine of a build go between their stops.

    The axle moves as one rigid body with its wheels; tyres do not deflect and bushes give only where rods fight each
    other. What the bushes add in a hard corner is left out, which errs to too little movement.

    Parameters
    ----------
    build : Build
        its suspension, stops, mounts, and wheels drawn as drums
    points : mapping
        hardpoint name to place at ride height (3,) [mm]
    sizes : mapping
        size name to (length, standard deviation) [mm]

    Returns the travel, with the greatest difference between series and closed loops met in ``fit_error_mm``.

    Raises
    ------
    MotionError
        when something is missing or out of range, the axle is locked or loose, or it sticks before the stops are
        reached: with the part, the heave and the roll

    Source: see ``axle``, ``leaves``, ``closing`` and ``geometry.paths``.
    """
    lo, hi = np.zeros(3), np.zeros(3)
    if build.suspension is not None:
        if build.stops is None:
            raise MotionError("the axle has a suspension but no stops; give bump, droop and apart")
        limit = roll_limit(build.stops)
        lo[:2], hi[:2] = (-build.stops.droop_mm, -limit), (build.stops.bump_mm, limit)
    if build.mounts is not None:
        lo[2], hi[2] = _rock_range(build.mounts)
    paths: dict[str, PosePath] = {}
    error, reference, notes = 0.0, np.zeros(3), []
    if build.suspension is not None and build.stops is not None:
        axle = axle_of(build.suspension, points, sizes, wheel_centres(build))
        reference = axle.reference
        path, error, whole = _axle_path(axle, build.stops, lo, hi)
        for body in (BodyName.AXLE, BodyName.WHEEL_LEFT, BodyName.WHEEL_RIGHT):
            paths[str(body)] = path
        notes = _notes(build, whole, error)
    if build.mounts is not None:
        front, rear = (_mount(points, n) for n in (build.mounts.axis_front, build.mounts.axis_rear))

        def turned(parameters: Floats) -> Floats:
            rotation, shift = rock(front, rear, parameters[:, 2])
            return np.hstack([rotation.reshape(-1, 9), shift])

        engine = fit(
            turned, lo, hi, axes=(False, False, True), centre=front, reach_mm=REACH_MM, tolerance_mm=ROCK_FIT_MM,
            most_degree=16,
        )
        paths[str(BodyName.ENGINE)] = engine.path
        error = max(error, engine.error_mm)
    place = (float(reference[0]), float(reference[1]), float(reference[2]))
    stops = build.stops if build.suspension is not None else None
    return Travel(paths, lo, hi, stops, error, place, tuple(notes))


def pose_of(
    build: Build, points: Mapping[str, Floats], body: str, state: PosePoint, sizes: Sizes | None = None
) -> Pose:
    """Pose of one body at one state straight from the hardpoints, with no series between.

    Cheap (about half a millisecond), so that hardpoints can be shifted one by one to see what a pose owes to each.

    Parameters
    ----------
    build, points, sizes
        as for :func:`travel` [mm]
    body : str
        a body that does not move gives the pose of ride height
    state : PosePoint
        heave [mm], roll [rad], rock [rad]

    Raises
    ------
    MotionError
        as :func:`travel`, for this one state
    """
    if body == BodyName.ENGINE and build.mounts is not None:
        front, rear = (_mount(points, n) for n in (build.mounts.axis_front, build.mounts.axis_rear))
        rotation, shift = rock(front, rear, np.array([state.rock]))
        return Pose(rotation[0], shift[0])
    if body in (BodyName.AXLE, BodyName.WHEEL_LEFT, BodyName.WHEEL_RIGHT) and build.suspension is not None:
        return solve_pose(build.suspension, points, state.heave, state.roll, sizes, wheel_centres(build))
    return IDENTITY


def _rock_range(mounts: Mounts) -> tuple[float, float]:
    for name, value in (("right up", mounts.right_up_rad), ("right down", mounts.right_down_rad)):
        if not 0.0 <= value <= MOST_ROLL:
            raise MotionError(f"engine mounts: {name} must be 0 to 30 deg, not {math.degrees(value):.4g} deg")
    return -mounts.right_down_rad, mounts.right_up_rad


def _mount(points: Mapping[str, Floats], name: str) -> Floats:
    if name not in points:
        raise MotionError(f"engine mounts: hardpoint '{name}' has no place; measure it")
    return np.asarray(points[name], dtype=np.float64)


def _axle_path(axle: Axle, stops: Stops, lo: Floats, hi: Floats) -> tuple[PosePath, float, bool]:
    stuck: list[tuple[float, float, float]] = []

    def wanted(parameters: Floats) -> NDArray[np.bool_]:
        return between_stops(stops, parameters[:, 0], parameters[:, 1])

    def closed(parameters: Floats) -> Floats:
        poses = solve(axle, parameters[:, 0], parameters[:, 1])
        twelve = np.hstack([poses.rotation.reshape(-1, 9), poses.shift])
        lost = poses.reached < 1.0
        twelve[lost] = np.nan
        for n in np.flatnonzero(lost & wanted(parameters))[:1]:
            stuck.append((float(parameters[n, 0]), float(parameters[n, 1]), float(poses.reached[n])))
        return twelve

    _see_that_it_travels(axle, stops, lo, hi)
    try:
        found = fit(
            closed, lo, hi, axes=(True, True, False), centre=axle.reference, reach_mm=REACH_MM, tolerance_mm=FIT_MM,
            wanted=wanted,
        )
    except PathError as error:
        raise MotionError(why_stuck(axle, *stuck[-1]) if stuck else str(error)) from error
    if found.error_mm > WORST_FIT_MM:
        raise MotionError(
            f"the axle comes so near to sticking between the stops that its way cannot be told to {WORST_FIT_MM} mm "
            f"(off by {found.error_mm:.2g} mm): look for a link or shackle near the end of its reach, or set the stops "
            "closer"
        )
    return found.path, found.error_mm, found.whole_box


def _see_that_it_travels(axle: Axle, stops: Stops, lo: Floats, hi: Floats) -> None:
    """Refuse by name before any fit: the rim of the travel and some of its inside, each followed from ride height."""
    rolls = np.linspace(lo[1], hi[1], 21)
    half = np.abs(np.sin(rolls)) * stops.apart_mm / 2.0
    low, high = half - stops.droop_mm, np.maximum(stops.bump_mm - half, half - stops.droop_mm)
    heaves = low + (high - low) * np.linspace(0.0, 1.0, 9)[:, None]
    heave, roll = heaves.ravel(), np.broadcast_to(rolls, heaves.shape).ravel()
    poses = solve(axle, heave, roll)
    stuck = np.flatnonzero(poses.reached < 1.0)
    if len(stuck):
        # pure heave is told first: it is the easiest to see under the car
        first = min(stuck, key=lambda n: (abs(roll[n]) > 1e-12, poses.reached[n]))
        raise MotionError(why_stuck(axle, float(heave[first]), float(roll[first]), float(poses.reached[first])))


def _notes(build: Build, whole: bool, error_mm: float) -> list[str]:
    notes = []
    if isinstance(build.suspension, FourLinksRod):
        notes.append("Four links and a lateral rod fight each other in roll; the bushes give, by least energy.")
    if isinstance(build.suspension, LeafSprings):
        notes.append(
            "Leaf springs as three links (3/4 of the free length); wind under torque and twist in roll are left out."
        )
    if error_mm > FIT_MM:
        notes.append(
            f"The axle comes near to sticking between its stops: its way is told to {error_mm:.1g} mm, which is taken "
            "off every gap."
        )
    if not whole:
        notes.append("The travel holds between the stops only; outside them the suspension cannot follow.")
    return notes
