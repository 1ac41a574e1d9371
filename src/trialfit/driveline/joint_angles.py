"""The angles of the joints over the travel, what they do at speed, and every rule about them."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.driveline.joint import CAUTION, joint_angle_for_speed
from trialfit.driveline.joint_series import joint_angle_for_length
from trialfit.driveline.phasing import Swing, swing
from trialfit.driveline.plunge_range import dense_places
from trialfit.driveline.rule_answers import RuleAnswer, hold
from trialfit.driveline.shaft_line import Places, ShaftLine, places
from trialfit.standards import Rule, Version, refuse_not_positive, refuse_outside, rule
from trialfit.sums import Ask, a_sum
from trialfit.vehicle import PosePoint, Travel

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class JointAngle:
    """One joint: its angle in space at ride height, seen from the side and from above there, and the least and most
    over the travel with the states where they are met [rad]."""

    name: str
    ride_rad: float
    side_rad: float
    plan_rad: float
    least_rad: float
    least_at: PosePoint
    most_rad: float
    most_at: PosePoint


@dataclass(frozen=True, slots=True, eq=False)
class Angles:
    """All joints front to rear, and what they do to an even turning at ride height and at worst over the travel.

    Extremes come from a grid of some 465 states; between them an angle can go further by about a hundredth of a
    degree."""

    joints: tuple[JointAngle, ...]
    ride: Swing
    worst_torsional_rad_s2: float
    worst_torsional_at: PosePoint
    worst_inertial_rad_s2: float
    worst_equivalent_rad: float
    speed_rad_s: float


def joint_names(line: ShaftLine) -> tuple[str, ...]:
    """What the joints are called, front to rear."""
    if line.double_mm is not None:
        return "double joint, front cross", "double joint, rear cross", "rear joint"
    return ("front joint", "rear joint") if line.centre is None else ("front joint", "middle joint", "rear joint")


def angles(line: ShaftLine, travel: Travel | None, speed_rad_s: float, wrap_rad: float = 0.0) -> Angles:
    """Every joint's angle in space over the travel, and the swing of speed that is left at the pinion.

    Parameters
    ----------
    travel : Travel or None
        None for ride height alone
    speed_rad_s : float
        greatest speed of the shaft [rad/s]
    wrap_rad : float
        wind of the axle, nose up + [rad]

    Raises
    ------
    ValueError
        as :func:`places` and :func:`swing`

    Source: kinematics of the Hooke joint; geometry.
    """
    still = np.zeros((1, 3))
    ride = places(line, travel, still, wrap_rad)
    states, over = (still, ride) if travel is None else dense_places(line, travel, wrap_rad)
    bent = over.angles_rad
    told = []
    for n, name in enumerate(joint_names(line)):
        low, high = int(np.argmin(bent[:, n])), int(np.argmax(bent[:, n]))
        told.append(
            JointAngle(name, float(ride.angles_rad[0, n]), float(ride.side_rad[0, n]), float(ride.plan_rad[0, n]),
                       float(bent[low, n]), _state(states[low]), float(bent[high, n]), _state(states[high]))
        )  # fmt: skip
    whole = swing(over.axes, line.chain_phases_rad, speed_rad_s)
    worst = int(np.argmax(whole.torsional_rad_s2))
    inertial = max(float(np.max(a, initial=0.0)) for a in (whole.drive_rad_s2, whole.coast_rad_s2))
    return Angles(
        tuple(told), swing(ride.axes, line.chain_phases_rad, speed_rad_s), float(whole.torsional_rad_s2[worst]),
        _state(states[worst]), inertial, float(np.max(whole.equivalent_rad)), speed_rad_s,
    )  # fmt: skip


def _state(row: Floats) -> PosePoint:
    return PosePoint(*(float(v) for v in row))


@dataclass(frozen=True, slots=True)
class AngleDoubt:
    """Standard deviation of one joint's angle and of the difference of two [rad], None where they are not known; and
    how many readings of a gauge each is made of (0 when they come from hardpoints)."""

    angle_rad: float | None
    difference_rad: float | None
    angle_readings: int = 2
    difference_readings: int = 6


def doubt_from_points(
    make: Callable[[Floats], ShaftLine], coordinates_mm: Floats, covariance_mm2: Floats
) -> AngleDoubt:
    """Doubt of the joint angles at ride height when the line is laid through hardpoints: the worst joint's, and that of
    the difference of the last two. First order: an angle no larger than its own doubt comes out too doubtful.

    Parameters
    ----------
    make : callable
        coordinates (k,) of all hardpoints the line hangs on, in any order, to the line [mm]
    coordinates_mm : (k,)
        as solved [mm]
    covariance_mm2 : (k, k)
        their covariance [mm2]

    Raises
    ------
    ValueError
        for shapes that do not go together

    Source: GUM (JCGM 100:2008) 5.2.2, central differences.
    """
    size = len(coordinates_mm)
    if np.shape(covariance_mm2) != (size, size):
        raise ValueError(f"the covariance must have the shape ({size}, {size}), not {np.shape(covariance_mm2)}")

    def bent(at: Floats) -> Floats:
        found: Floats = places(make(at), None, np.zeros((1, 3))).angles_rad[0]
        return np.append(found, found[-1] - found[-2])

    step_mm = 0.05
    steps = step_mm * np.eye(size)
    slopes = np.array([(bent(coordinates_mm + e) - bent(coordinates_mm - e)) / (2.0 * step_mm) for e in steps]).T
    variances = np.maximum(np.einsum("ai,ij,aj->a", slopes, covariance_mm2, slopes), 0.0)
    return AngleDoubt(math.sqrt(float(np.max(variances[:-1]))), math.sqrt(float(variances[-1])), 0, 0)


def angle_answers(
    line: ShaftLine, found: Angles, doubt: AngleDoubt, length_mm: float, choices: Mapping[str, str] | None = None
) -> tuple[RuleAnswer, ...]:
    """Every rule about the joints' angles, all versions of each, the one in force first.

    The limits for running are held against ride height, the bind against the whole travel. The two crosses of a double
    joint are left out of the difference and of the smallest angle: their coupling always moves.

    Parameters
    ----------
    doubt : AngleDoubt
        of the angles, from the gauge or from the hardpoints
    length_mm : float
        of the rear piece, joint centre to joint centre [mm]
    choices : mapping
        rule name to the label of the version the builder puts in force

    Raises
    ------
    ValueError
        for a choice that is no version of its rule

    Source: rules joint-angle-least, joint-angle-greatest, joint-angle-difference, joint-angle-odd, joint-acceleration,
    joint-angle-bind; shop article on driveline angles.
    """
    chosen = choices or {}

    def the(name: str) -> Rule:
        return rule(name, chosen.get(name))

    def at(value: float) -> tuple[float, float]:
        return value, value

    sd, several = doubt.angle_rad, doubt.angle_readings
    answers: list[RuleAnswer] = []
    odd = found.joints[0] if line.centre is not None else None
    for joint in found.joints:
        name = f"{joint.name} at ride height"
        if joint is odd:
            answers += hold(name, at(joint.ride_rad), sd, the("joint-angle-odd"), at_most=True, readings=several)
            continue
        if not joint.name.startswith("double"):
            answers += hold(name, at(joint.ride_rad), sd, the("joint-angle-least"), at_most=False, readings=several)
        answers += hold(name, at(joint.ride_rad), sd, the("joint-angle-greatest"), at_most=True, readings=several)
        answers += hold(name, at(joint.ride_rad), sd, speed_rule(the("joint-acceleration"), found.speed_rad_s),
                        at_most=True, readings=several)  # fmt: skip
        answers += hold(name, at(joint.ride_rad), sd, length_rule(length_mm, layout_of(line, found)), at_most=True,
                        readings=several)  # fmt: skip
    pair = [j for j in found.joints if j is not odd and not j.name.startswith("double")]
    if len(pair) == 2:
        apart = abs(pair[0].ride_rad - pair[1].ride_rad)
        answers += hold("difference of the two joint angles", at(apart), doubt.difference_rad,
                        the("joint-angle-difference"), at_most=True, readings=doubt.difference_readings)  # fmt: skip
    left = found.ride.torsional_rad_s2[0]
    answers += hold("acceleration left at the pinion at ride height", at(float(left)), _acceleration_sd(found, doubt),
                    the("joint-acceleration"), at_most=True)  # fmt: skip
    for joint in found.joints:
        answers += hold(f"{joint.name} at its worst over the travel", at(joint.most_rad), sd, the("joint-angle-bind"),
                        at_most=True, readings=several)  # fmt: skip
    return tuple(answers)


def _acceleration_sd(found: Angles, doubt: AngleDoubt) -> float | None:
    """First order: the acceleration goes with the square of the equivalent angle, whose square goes with the squares of
    the joint angles, each as doubtful as ``doubt`` says."""
    if doubt.angle_rad is None:
        return None
    squares = math.sqrt(sum((2.0 * j.ride_rad) ** 2 for j in found.joints)) * doubt.angle_rad
    return found.speed_rad_s**2 * max(squares, doubt.angle_rad**2)


def layout_of(line: ShaftLine, found: Angles) -> str:
    """``parallel`` where the two ends of the rear piece bend opposite ways from the side, ``intersecting`` where both
    bend one way; the sign of the plan angles decides where the side view is straight."""
    last, before = found.joints[-1], found.joints[-2]
    product = last.side_rad * before.side_rad
    if abs(product) < 1e-12:
        product = last.plan_rad * before.plan_rad
    return "intersecting" if product > 0.0 and line.double_mm is None else "parallel"


def speed_rule(acceleration: Rule, speed_rad_s: float) -> Rule:
    """The rule of greatest acceleration told as a joint angle at one speed, version by version."""
    refuse_not_positive(speed=(speed_rad_s, "rpm"))
    told = {}
    for version in acceleration.versions:
        try:
            limit = math.degrees(joint_angle_for_speed(speed_rad_s, version.value))
        except ValueError:
            limit = 25.0  # so slow that speed is no matter: the range of the shop's rule ends here
        rpm = speed_rad_s * 30.0 / math.pi
        told[version] = Version(f"{version.label}, at {rpm:.0f} rpm", limit, "deg", version.kind, version.source)
    return Rule("joint-acceleration", "greatest joint angle at the shaft's speed", tuple(told.values()),
                told[acceleration.in_force])  # fmt: skip


def length_rule(length_mm: float, layout: str) -> Rule:
    """A shop's rule of greatest joint angle by the shaft's length, in the form that :func:`hold` takes.

    Source: shop article on driveline angles.
    """
    limit = math.degrees(joint_angle_for_length(length_mm, layout))
    version = Version(f"length / {5 if layout == 'parallel' else 10} in degrees an inch, {layout} ends", limit, "deg",
                      "TRADE", "shop article on driveline angles")  # fmt: skip
    return Rule("joint-angle-length", "greatest joint angle by the length of the shaft", (version,), version)


@dataclass(frozen=True, slots=True)
class BearingLoads:
    """Greatest couples that bend the shafts [N*mm] and the loads that they put on the bearings beside them [N]."""

    front_couple_nmm: float
    rear_couple_nmm: float
    gearbox_n: float
    pinion_n: float
    centre_n: float | None


def bearing_loads(
    over: Places,
    torque_nmm: float,
    gearbox_apart_mm: float,
    pinion_apart_mm: float,
    centre_apart_mm: float | None = None,
) -> BearingLoads:
    """What the joints' secondary couples put on gearbox, pinion and centre bearing at the worst of some states.

    A couple on a shaft held by two bearings is borne as two equal loads. Both couples on the front piece are added as
    if they peaked together, which errs on the large side. Weight and unbalance of the shaft are left out.

    Parameters
    ----------
    over : Places
        the shaft at the states to look at
    torque_nmm : float
        steady torque in the shaft [N*mm]
    gearbox_apart_mm, pinion_apart_mm : float
        distance of the two bearings of the output shaft and of the pinion [mm]
    centre_apart_mm : float
        front joint to centre bearing [mm]; None without one

    Raises
    ------
    ValueError
        for an amount that is not positive

    Source: equilibrium of the cross (from memory).
    """
    refuse_not_positive(torque=(torque_nmm, "N*m"), gearbox_bearings=(gearbox_apart_mm, "mm"),
                        pinion_bearings=(pinion_apart_mm, "mm"))  # fmt: skip
    bent = over.angles_rad
    front, rear = float(np.max(bent[:, 0])), float(np.max(bent[:, -1]))
    on_gearbox, on_pinion = torque_nmm * math.tan(front), torque_nmm * math.sin(rear)
    centre = None
    if centre_apart_mm is not None:
        refuse_not_positive(front_joint_to_centre_bearing=(centre_apart_mm, "mm"))
        both = torque_nmm * (np.sin(bent[:, 0]) + np.tan(bent[:, 1]))
        centre = float(np.max(both)) / centre_apart_mm
    return BearingLoads(on_gearbox, on_pinion, on_gearbox / gearbox_apart_mm, on_pinion / pinion_apart_mm, centre)


@a_sum(
    "joint-bearing-load",
    title="Load that a joint's bending couple puts on a pair of bearings",
    asks=(
        Ask("couple", "torque", "bending couple on the shaft, from joint-secondary-couple"),
        Ask("apart", "length", "distance between the two bearings of that shaft"),
    ),
    gives="load on each of the two bearings, twice a turn",
    dimension="force",
    unit="N",
    words="couple / apart",
    source="equilibrium of the cross",
    caution=CAUTION,
)
def joint_bearing_load(couple: float, apart: float) -> float:
    """Load [N] on each of two bearings from a couple between them.

    Source: equilibrium of the cross.
    """
    refuse_outside("couple", couple, 0.0, math.inf, "N*m")
    refuse_not_positive(apart=(apart, "mm"))
    return couple / apart


@a_sum(
    "joint-inertia-torque",
    title="Torque that a shaft's own inertia swings by",
    asks=(
        Ask("acceleration", "number", "greatest angular acceleration in rad/s2, from joint-acceleration"),
        Ask("inertia", "inertia", "moment of inertia of the shaft about its axis"),
    ),
    gives="torque to and fro, twice a turn",
    dimension="torque",
    unit="N*m",
    words="inertia * acceleration",
    source="SAE AE-7, Universal Joint and Driveshaft Design Manual (from memory)",
    caution=CAUTION,
)
def joint_inertia_torque(acceleration: float, inertia: float) -> float:
    """Torque [N*mm] that swings to and fro because the shaft between two joints cannot turn evenly.

    Source: SAE AE-7, Universal Joint and Driveshaft Design Manual (from memory).
    """
    refuse_outside("acceleration", acceleration, 0.0, math.inf, "")
    refuse_not_positive(inertia=(inertia, "kg*m2"))
    # kg mm2 / s2 is a thousandth of N mm
    return acceleration * inertia / 1000.0
