"""Universal joints: what one does to the turning, and what a second one puts right or makes worse.

The turn of the driving yoke is counted from where its pins lie in the plane of the two shafts (there the driven shaft
is fastest), so that tan(driven) = tan(driving) / cos(joint angle).
"""

import math

from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.sums import Ask, a_sum

CAUTION = (
    "A joint that binds or a shaft that shakes can break at speed. Check the angles at full bump and full droop too, "
    "keep within the joint maker's limit, and have the shaft made and balanced by a driveline shop."
)
_BEND_MOST = math.radians(80.0)
_ANGLE = Ask("angle", "angle", "angle between the two shafts of the joint")
_TURN = Ask("turn", "angle", "turn of the driving yoke from where its pins lie in the plane of the shafts")
_FIRST = Ask("first", "angle", "angle of the first joint")
_SECOND = Ask("second", "angle", "angle of the second joint")
_WHICH = Ask("which", "text", "greatest or least over a turn", "greatest", ("greatest", "least"))
_PHASE = Ask("phase", "text", "yokes of the shaft in line (right) or a quarter turn out (wrong)", "right",
             ("right", "wrong"))  # fmt: skip
_HOOKE = "kinematics of the Hooke joint"


def _angle(name: str, angle: float) -> float:
    refuse_outside(name, angle, -_BEND_MOST, _BEND_MOST, "deg")
    return math.cos(angle)


def _pick(greatest: float, which: str) -> float:
    if which not in {"greatest", "least"}:
        raise ValueError(f"which is '{which}'; write greatest or least")
    return greatest if which == "greatest" else 1.0 / greatest


@a_sum(
    "joint-speed-ratio",
    title="Speed swing of one universal joint",
    asks=(_ANGLE, _WHICH),
    gives="driven speed over driving speed",
    dimension="ratio",
    unit="",
    words="greatest 1 / cos(angle), least cos(angle)",
    source=_HOOKE,
    caution=CAUTION,
)
def joint_speed_ratio(angle: float, which: str) -> float:
    """Greatest or least ratio [-] of driven to driving speed over a turn of one joint.

    Play and give of the shaft are left out.

    Parameters
    ----------
    angle : float
        between the shafts, up to 80 deg either way [rad]

    Raises
    ------
    ValueError
        for a larger angle or another word

    Source: kinematics of the Hooke joint.

    >>> round(joint_speed_ratio(math.radians(30.0), "greatest"), 4)
    1.1547
    """
    return _pick(1.0 / _angle("angle", angle), which)


@a_sum(
    "joint-output-turn",
    title="Turn of the driven shaft of one joint",
    asks=(_ANGLE, _TURN),
    gives="turn of the driven shaft",
    dimension="angle",
    unit="deg",
    words="tan(driven) = tan(driving) / cos(angle)",
    source=_HOOKE,
)
def joint_output_turn(angle: float, turn: float) -> float:
    """Turn of the driven shaft [rad], in the same whole turn as the driving one.

    Source: kinematics of the Hooke joint.

    >>> round(math.degrees(joint_output_turn(math.radians(30.0), math.radians(45.0))), 4)
    49.1066
    """
    cos = _angle("angle", angle)
    return turn + _lead_at(turn, cos)


def _lead_at(turn: float, cos: float) -> float:
    # difference of two arctangents, so that whole turns and the quarter turns need no case of their own
    c, s = math.cos(turn), math.sin(turn)
    return math.atan2(s * c * (1.0 - cos), c * c * cos + s * s)


@a_sum(
    "joint-ratio-at",
    title="Speed ratio of one joint at one place of its turn",
    asks=(_ANGLE, _TURN),
    gives="driven speed over driving speed",
    dimension="ratio",
    unit="",
    words="cos(angle) / (1 - sin(angle)^2 * cos(turn)^2)",
    source=_HOOKE,
)
def joint_ratio_at(angle: float, turn: float) -> float:
    """Ratio [-] of driven to driving speed at one turn of the driving yoke.

    Source: kinematics of the Hooke joint.
    """
    cos = _angle("angle", angle)
    return cos / (1.0 - (math.sin(angle) * math.cos(turn)) ** 2)


@a_sum(
    "joint-lead",
    title="Greatest lead or lag of the driven shaft of one joint",
    asks=(_ANGLE,),
    gives="greatest lead; the lag is the same",
    dimension="angle",
    unit="deg",
    words="sin(lead) = (1 - cos(angle)) / (1 + cos(angle))",
    source=f"{_HOOKE} (from memory)",
)
def joint_lead(angle: float) -> float:
    """Greatest angle [rad] by which the driven shaft runs ahead of the driving one over a turn.

    Source: kinematics of the Hooke joint (from memory).
    """
    cos = _angle("angle", angle)
    return math.asin((1.0 - cos) / (1.0 + cos))


@a_sum(
    "joint-angle-for-swing",
    title="Joint angle that gives a speed swing",
    asks=(
        Ask("speed", "rotation", "speed of the driving shaft"),
        Ask("swing", "rotation", "greatest less least speed of the driven shaft"),
    ),
    gives="joint angle",
    dimension="angle",
    unit="deg",
    words="solve speed * (1 / cos(angle) - cos(angle)) = swing",
    source=_HOOKE,
    caution=CAUTION,
)
def joint_angle_for_swing(speed: float, swing: float) -> float:
    """Joint angle [rad] at which the driven speed swings by a given amount.

    Source: kinematics of the Hooke joint.
    """
    refuse_not_positive(speed=(speed, "rpm"))
    refuse_outside("swing", swing, 0.0, 5.0 * speed, "rpm")
    share = swing / speed
    return math.acos((math.sqrt(share * share + 4.0) - share) / 2.0)


@a_sum(
    "joint-torque-swing",
    title="Torque swing behind one joint",
    asks=(Ask("torque", "torque", "steady torque of the driving shaft"), _ANGLE, _WHICH),
    gives="torque of the driven shaft",
    dimension="torque",
    unit="N*m",
    words="greatest torque / cos(angle), least torque * cos(angle)",
    source=f"{_HOOKE}; no friction",
    caution=CAUTION,
)
def joint_torque_swing(torque: float, angle: float, which: str) -> float:
    """Greatest or least torque [N*mm] of the driven shaft over a turn; friction and inertia are left out.

    Source: kinematics of the Hooke joint; no friction.
    """
    refuse_not_positive(torque=(torque, "N*m"))
    return torque * _pick(1.0 / _angle("angle", angle), which)


@a_sum(
    "joint-pair-ratio",
    title="Speed swing behind two joints on one shaft",
    asks=(_FIRST, _SECOND, _PHASE, _WHICH),
    gives="speed behind the second joint over speed before the first",
    dimension="ratio",
    unit="",
    words="yokes in line: cos(larger) and cos(smaller) divided, both ways round; "
    "a quarter turn out: 1 / (cos(first) * cos(second)) and its inverse",
    source=f"{_HOOKE} (from memory)",
    caution=CAUTION,
)
def joint_pair_ratio(first: float, second: float, phase: str, which: str) -> float:
    """Greatest or least ratio [-] behind two joints whose three shafts lie in one plane.

    With the shafts not in one plane the phase angle between the two planes comes in; that is left out and errs small.

    Source: kinematics of the Hooke joint (from memory).

    >>> round(joint_pair_ratio(math.radians(8.0), math.radians(5.0), "right", "greatest"), 5)
    1.00598
    """
    return _pick(_pair(first, second, phase), which)


def _pair(first: float, second: float, phase: str) -> float:
    one, two = _angle("first", first), _angle("second", second)
    if phase == "right":
        return max(one, two) / min(one, two)
    if phase == "wrong":
        return 1.0 / (one * two)
    raise ValueError(f"phase is '{phase}'; write right or wrong")


@a_sum(
    "joint-equivalent-angle",
    title="Angle of the one joint that swings like two",
    asks=(_FIRST, _SECOND, _PHASE),
    gives="equivalent joint angle",
    dimension="angle",
    unit="deg",
    words="yokes in line: cos(equivalent) = cos(larger) / cos(smaller), near the root of "
    "the difference of the squares; a quarter turn out: cos(equivalent) = cos(first) * cos(second)",
    source=f"{_HOOKE} (from memory)",
    caution=CAUTION,
)
def joint_equivalent_angle(first: float, second: float, phase: str) -> float:
    """Angle [rad] of a single joint with the same speed swing as two joints on one shaft.

    Source: kinematics of the Hooke joint (from memory).

    >>> round(math.degrees(joint_equivalent_angle(math.radians(8.0), math.radians(5.0), "right")), 3)
    6.253
    """
    return math.acos(1.0 / _pair(first, second, phase))


@a_sum(
    "joint-compound-angle",
    title="True joint angle from side view and plan view",
    asks=(
        Ask("side", "angle", "angle between the shafts seen from the side"),
        Ask("plan", "angle", "angle between the shafts seen from above"),
    ),
    gives="joint angle",
    dimension="angle",
    unit="deg",
    words="tan(joint)^2 = tan(side)^2 + tan(plan)^2, one of the shafts lying along the vehicle",
    source="SAE AE-7, Universal Joint and Driveshaft Design Manual; geometry (from memory)",
    caution=CAUTION,
)
def joint_compound_angle(side: float, plan: float) -> float:
    """Joint angle [rad] of a shaft that runs down and aside against one that runs level and straight.

    Exact when one shaft lies along the vehicle; otherwise take the angle between the two directions themselves.

    Source: SAE AE-7, Universal Joint and Driveshaft Design Manual; geometry (from memory).

    >>> round(math.degrees(joint_compound_angle(math.radians(4.0), math.radians(3.0))), 3)
    4.994
    """
    refuse_outside("side", side, -_BEND_MOST, _BEND_MOST, "deg")
    refuse_outside("plan", plan, -_BEND_MOST, _BEND_MOST, "deg")
    return math.atan(math.hypot(math.tan(side), math.tan(plan)))


@a_sum(
    "joint-secondary-couple",
    title="Bending couple that a joint puts on its shafts",
    asks=(
        Ask("torque", "torque", "torque of the driving shaft"),
        _ANGLE,
        Ask("shaft", "text", "which shaft it bends", "driving", ("driving", "driven")),
    ),
    gives="greatest bending couple, twice a turn",
    dimension="torque",
    unit="N*m",
    words="driving shaft torque * tan(angle), driven shaft torque * sin(angle), a quarter turn apart",
    source="equilibrium of the cross (from memory)",
    caution=CAUTION,
)
def joint_secondary_couple(torque: float, angle: float, shaft: str) -> float:
    """Greatest bending couple [N*mm] on one shaft of a joint under steady driving torque.

    Source: equilibrium of the cross (from memory).
    """
    refuse_not_positive(torque=(torque, "N*m"))
    _angle("angle", angle)
    if shaft == "driving":
        return torque * math.tan(abs(angle))
    if shaft == "driven":
        return torque * math.sin(abs(angle))
    raise ValueError(f"shaft is '{shaft}'; write driving or driven")


@a_sum(
    "joint-acceleration",
    title="Greatest angular acceleration behind one joint",
    asks=(_ANGLE, Ask("speed", "rotation", "steady speed of the driving shaft")),
    gives="greatest angular acceleration of the driven shaft, in rad/s2",
    dimension="number",
    unit="",
    words="greatest over a turn of speed^2 * cos(b) * sin(b)^2 * sin(2 * turn) / (1 - sin(b)^2 * cos(turn)^2)^2, "
    "near speed^2 * b^2 for a small angle b",
    source=f"{_HOOKE} (from memory)",
    caution=CAUTION,
)
def joint_acceleration(angle: float, speed: float) -> float:
    """Greatest angular acceleration [rad/s2] of the driven shaft at a steady driving speed [rad/s].

    Source: kinematics of the Hooke joint (from memory).

    >>> round(joint_acceleration(math.radians(3.0), 3000 * math.pi / 30), 1)
    270.7
    """
    cos = _angle("angle", angle)
    refuse_outside("speed", speed, 0.0, 2000.0 * math.pi, "rpm")
    bent = 1.0 - cos * cos
    if bent == 0.0:
        return 0.0
    # the greatest value of sin(2a)/(p - q cos(2a))^2 has a closed form in cos(2a)
    p, q = 1.0 - bent / 2.0, bent / 2.0
    twice = 4.0 * q / (p + math.sqrt(p * p + 8.0 * q * q))
    return speed**2 * cos * bent * math.sqrt(1.0 - twice**2) / (p - q * twice) ** 2


@a_sum(
    "joint-angle-for-speed",
    title="Largest joint angle at a shaft speed",
    asks=(
        Ask("speed", "rotation", "greatest speed of the shaft"),
        Ask("limit", "number", "angular acceleration allowed, in rad/s2", 1000.0),
    ),
    gives="largest joint angle",
    dimension="angle",
    unit="deg",
    words="solve speed^2 * sin(angle)^2 / cos(angle) = limit",
    source="drivetrain shop joint table",
    caution=CAUTION,
)
def joint_angle_for_speed(speed: float, limit: float) -> float:
    """Joint angle [rad] at which the shaft's own inertia is worked at ``limit`` [rad/s2].

    The limit of 1000 rad/s2 is what a shop's table of angle against speed comes to, within some 12 % at its rows. It
    bounds shaking, not strength; 3 deg is the usual bound of comfort.

    Source: drivetrain shop joint table.
    """
    refuse_not_positive(speed=(speed, "rpm"), limit=(limit, ""))
    share = limit / speed**2
    cos = (math.sqrt(share * share + 4.0) - share) / 2.0
    angle = math.acos(cos)
    refuse_outside("angle that the speed allows", angle, 0.0, math.radians(25.0), "deg")
    return angle
