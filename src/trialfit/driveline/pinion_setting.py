"""At which angle to tack pinion and spring perches, what half a degree off costs, and the wedge that mends it.

The axle housing is turned about its own cross axis at ride height and the whole row of joints is worked again, at every
heave that counts and over the range of wind that torque brings. What is made small is the mean acceleration left at the
pinion. It goes with the square of the shaft's speed, so one setting is best at every speed and the loss at any speed
follows from that at the greatest.

Source: kinematics of the Hooke joint; common practice, no source, for the choice of what to make small.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.driveline.phasing import acceleration_rad_s2, equivalent_angle_rad, turn_map
from trialfit.driveline.shaft_line import ShaftEnd, ShaftLine, angle_between_rad, nose_up, places
from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.sums import Ask, a_sum
from trialfit.vehicle import Travel

Floats = NDArray[np.float64]
_Cost = Callable[[float], float]
_Left = Callable[[float], Floats]
_RANGE = math.radians(15.0)
_CAUTION = (
    "Tack only, with the vehicle's weight on the springs, and measure again before the last weld. Perches and housings "
    "that are welded wrong can break; a wedge needs a longer centre bolt and new U-bolts, and many places want such "
    "work approved."
)


@dataclass(frozen=True, slots=True)
class SettingLoss:
    """One setting: how far it is off the best and how the pinion then stands (nose up +) [deg], the mean and the
    greatest acceleration left at the pinion over travel and wind [rad/s2], and the joint angles at ride height without
    wind, front to rear [deg]."""

    off_deg: float
    pinion_deg: float
    mean_rad_s2: float
    worst_rad_s2: float
    joints_deg: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class PinionSetting:
    """The setting to tack at.

    ``pinion_deg`` is the pinion's inclination at rest, nose up +; ``turn_deg`` how far that is from where it stands
    now; ``perch_deg`` the angle between the pinion's axis and the spring seat's plane to tack the perch at (None
    without a seat), pinion nose up from the seat +. ``losses`` holds the setting and its neighbours every half degree.
    ``flat_deg`` is the range of settings whose mean is within a tenth of the acceleration limit of the best: inside it
    nobody will feel the difference.
    """

    pinion_deg: float
    turn_deg: float
    perch_deg: float | None
    losses: tuple[SettingLoss, ...]
    flat_deg: tuple[float, float]
    wrap_deg: tuple[float, float]


def turned_axle(line: ShaftLine, pivot_mm: Floats, nose_up_rad: float) -> ShaftLine:
    """The shaft line with the axle's housing turned about its cross axis through ``pivot_mm`` (3,), nose up +."""
    turn = nose_up(nose_up_rad)
    point = turn @ (np.asarray(line.rear.point_mm) - pivot_mm) + pivot_mm
    rear = ShaftEnd(line.rear.body, point, turn @ np.asarray(line.rear.outward), line.rear.offset_mm,
                    line.rear.offset_sd_mm)  # fmt: skip
    return ShaftLine(line.front, rear, line.slip, line.centre, line.double_mm, line.phases_rad)


def pinion_inclination_rad(line: ShaftLine) -> float:
    """How the pinion stands at ride height, nose up + [rad]: rise of its axis out of the housing."""
    out = line.rear.direction
    return math.asin(float(out[2]))


def best_setting(
    line: ShaftLine,
    travel: Travel,
    wrap_rad: tuple[float, float],
    speed_rad_s: float,
    *,
    heave_mm: tuple[float, float] | None = None,
    seat_rad: float | None = None,
    limit_rad_s2: float = 1000.0,
) -> PinionSetting:
    """The pinion angle at rest that leaves least at the pinion, over the travel and a range of wind.

    Every heave in the range and every wind in it count alike; roll is left out. Where two settings leave the same, the
    one with the ends more nearly parallel is told, for it stays even over more of the travel. With springs that wind up
    a great deal under power only, give the range from cruising to full power. The pinion is turned as one with its
    housing; links and springs are taken to follow.

    Parameters
    ----------
    line : ShaftLine
        as it stands now
    travel : Travel
        of the same build
    wrap_rad : two floats
        least and most wind under torque, nose up + [rad]
    speed_rad_s : float
        greatest speed of the shaft [rad/s]
    heave_mm : two floats
        heaves that count [mm]; a quarter of the droop to a quarter of the bump when None
    seat_rad : float
        inclination of the spring seat's plane at ride height, front up + [rad]
    limit_rad_s2 : float
        acceleration that is called felt [rad/s2]

    Raises
    ------
    ValueError
        for a range the wrong way round, wind beyond 15 deg, or a best setting more than 15 deg from where it stands

    Source: see the head of this module.
    """
    low, high = wrap_rad
    if not -_RANGE <= low <= high <= _RANGE:
        raise ValueError(f"wind is {math.degrees(low):.3g} to {math.degrees(high):.3g} deg; it must rise and lie "
                         "between -15 deg and 15 deg")  # fmt: skip
    refuse_not_positive(speed=(speed_rad_s, "rpm"), limit=(limit_rad_s2, ""))
    reach = heave_mm
    if reach is None:
        reach = (0.0, 0.0) if travel.stops is None else (-0.25 * travel.stops.droop_mm, 0.25 * travel.stops.bump_mm)
    if not reach[0] <= reach[1]:
        raise ValueError(f"heaves {reach[0]:.4g} to {reach[1]:.4g} mm do not rise")
    states = np.array([[h, 0.0, 0.0] for h in np.linspace(*reach, 7 if reach[1] > reach[0] else 1)])
    winds = np.linspace(low, high, 7 if high > low else 1)
    every, wound = np.tile(states, (len(winds), 1)), np.repeat(winds, len(states))
    pivot = np.array(travel.reference)

    def left(turn_rad: float) -> Floats:
        turned = turned_axle(line, pivot, turn_rad)
        axes = places(turned, travel, every, wound).axes
        return acceleration_rad_s2(equivalent_angle_rad(turn_map(axes, line.chain_phases_rad)), speed_rad_s)

    def off_parallel(turn_rad: float) -> float:
        axes = places(turned_axle(line, pivot, turn_rad), travel, np.zeros((1, 3)), 0.5 * (low + high)).axes[0]
        return float(angle_between_rad(axes[0], axes[-1]))

    best = _least(lambda turn: float(np.mean(left(turn))), 0.005 * limit_rad_s2, off_parallel)
    if abs(best) > 0.99 * _RANGE:
        raise ValueError("the best setting lies more than 15 deg from where the pinion stands; set it nearer by eye "
                         "and work it again")  # fmt: skip
    stands = math.degrees(pinion_inclination_rad(line))
    turns = [(float(off), best + math.radians(float(off))) for off in np.arange(-2.0, 2.01, 0.5)]
    losses = tuple(_loss(line, pivot, left(turn), turn, off) for off, turn in turns)
    least = losses[4].mean_rad_s2
    flat = tuple(_edge(left, best, side, least + 0.1 * limit_rad_s2) for side in (-1.0, 1.0))
    pinion = stands + math.degrees(best)
    perch = None if seat_rad is None else pinion - math.degrees(seat_rad)
    return PinionSetting(pinion, math.degrees(best), perch, losses, (stands + flat[0], stands + flat[1]),
                         (math.degrees(low), math.degrees(high)))  # fmt: skip


def _loss(line: ShaftLine, pivot: Floats, left: Floats, turn_rad: float, off_deg: float) -> SettingLoss:
    turned = turned_axle(line, pivot, turn_rad)
    bent = places(turned, None, np.zeros((1, 3))).angles_rad[0]
    return SettingLoss(float(off_deg), math.degrees(pinion_inclination_rad(turned)), float(np.mean(left)),
                       float(np.max(left)), tuple(math.degrees(float(b)) for b in bent))  # fmt: skip


def _least(cost: _Cost, same: float, off_parallel: _Cost) -> float:
    """Turn within 15 deg either way with the least cost.

    There can be two hollows, one with the ends of the shaft parallel and one with the ends meeting: a look every
    quarter degree finds both, scipy closes in, and of two that differ by less than ``same`` the one least
    ``off_parallel`` is taken.
    """
    from scipy.optimize import minimize_scalar

    turns = np.linspace(-_RANGE, _RANGE, 121)
    costs = np.array([cost(float(t)) for t in turns])
    walled = np.concatenate([[np.inf], costs, [np.inf]])
    hollows = np.flatnonzero((costs <= walled[:-2]) & (costs <= walled[2:]))
    found = []
    for n in (int(h) for h in hollows):
        around = (float(turns[max(n - 1, 0)]), float(turns[min(n + 1, len(turns) - 1)]))
        best = minimize_scalar(cost, bounds=around, method="bounded", options={"xatol": 1e-6})
        found.append((float(best.fun), float(best.x)))
    lowest = min(value for value, _ in found)
    return min((turn for value, turn in found if value <= lowest + same), key=off_parallel)


def _edge(left: _Left, best: float, side: float, most: float) -> float:
    """How far [deg] one can go to a side before the mean passes ``most``; at most 15 deg."""
    inner, outer = 0.0, _RANGE
    if float(np.mean(left(best + side * outer))) <= most:
        return math.degrees(best + side * outer)
    for _ in range(24):
        middle = 0.5 * (inner + outer)
        if float(np.mean(left(best + side * middle))) <= most:
            inner = middle
        else:
            outer = middle
    return math.degrees(best + side * inner)


@dataclass(frozen=True, slots=True)
class Wedge:
    """The wedge that turns a welded axle: its angle [deg], how much thicker one end is [mm], which end is thick and
    whether that lifts the pinion's nose."""

    angle_deg: float
    rise_mm: float
    thick_end: str
    lifts_nose: bool


def wedge_for(turn_deg: float, pad_length_mm: float, *, spring_over_axle: bool) -> Wedge:
    """The wedge between spring and perch that turns an axle already welded.

    With the axle on top of the spring the perch looks down, and a thick front end lifts the nose; with the spring over
    the axle it drops it.

    Parameters
    ----------
    turn_deg : float
        from where the pinion stands to where it should, nose up +; up to 8 deg either way [deg]
    pad_length_mm : float
        length of the spring pad along the vehicle [mm]
    spring_over_axle : bool
        True when the spring sits on top of the axle tube

    Raises
    ------
    ValueError
        for a larger turn, where the perches must be cut and welded anew, or a pad outside 50 to 400 mm

    Source: geometry.

    >>> wedge_for(2.0, 120.0, spring_over_axle=False).thick_end
    'front'
    """
    refuse_outside("turn", math.radians(turn_deg), math.radians(-8.0), math.radians(8.0), "deg")
    refuse_outside("length of the pad", pad_length_mm, 50.0, 400.0, "mm")
    lifts = turn_deg > 0.0
    front = lifts != spring_over_axle
    return Wedge(abs(turn_deg), pinion_wedge(math.radians(abs(turn_deg)), pad_length_mm), "front" if front else "rear",
                 lifts)  # fmt: skip


@a_sum(
    "pinion-wedge",
    title="Thickness of the wedge that turns a pinion",
    asks=(
        Ask("turn", "angle", "how far the pinion must turn"),
        Ask("pad", "length", "length of the spring pad along the vehicle"),
    ),
    gives="how much thicker one end of the wedge is than the other",
    dimension="length",
    unit="mm",
    words="pad * tan(turn)",
    source="geometry",
    caution=_CAUTION,
)
def pinion_wedge(turn: float, pad: float) -> float:
    """Difference of thickness [mm] between the two ends of a wedge.

    Source: geometry.

    >>> round(pinion_wedge(math.radians(2.0), 120.0), 2)
    4.19
    """
    refuse_outside("turn", turn, 0.0, _RANGE, "deg")
    refuse_not_positive(pad=(pad, "mm"))
    return pad * math.tan(turn)


@a_sum(
    "pinion-at-rest",
    title="Pinion angle at rest for a wind under power",
    asks=(
        Ask("output", "angle", "gearbox output seen from the side, down towards the rear +"),
        Ask("wind", "angle", "wind of the axle under power at cruise, nose up +"),
    ),
    gives="pinion at rest, nose up +, for ends that are parallel under power",
    dimension="angle",
    unit="deg",
    words="output - wind",
    source="common practice, no source",
    caution="For one piece and plain joints only; a double joint in front wants the pinion to point at it. " + _CAUTION,
)
def pinion_at_rest(output: float, wind: float) -> float:
    """Pinion inclination [rad] at rest that stands parallel to the gearbox once the axle has wound up.

    Source: common practice, no source.

    >>> round(math.degrees(pinion_at_rest(math.radians(3.0), math.radians(2.0))), 6)
    1.0
    """
    refuse_outside("output", output, -_RANGE, _RANGE, "deg")
    refuse_outside("wind", wind, -_RANGE, _RANGE, "deg")
    return output - wind
