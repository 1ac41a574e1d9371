"""Lengths and angles of one bend in round tube, drawn in one arc or made of wedges."""

import math

from trialfit.sums import Ask, a_sum

U_TURN = math.radians(170.0)
"""Largest turn a corner may make [rad]: beyond it the two centre lines meet too far off to be measured or laid."""


def _in_turn(angle_rad: float, most: float = math.tau) -> None:
    if not 0.0 < angle_rad <= most:
        raise ValueError(f"bend angle {math.degrees(angle_rad):g} deg is outside 0 to {math.degrees(most):g} deg")


def _at_corner(angle_rad: float) -> None:
    if not 0.0 < angle_rad <= U_TURN:
        raise ValueError(
            f"bend angle {math.degrees(angle_rad):g} deg is outside 0 to {math.degrees(U_TURN):g} deg; "
            "a U-turn is laid as two corners"
        )


def _positive(**lengths: float) -> None:
    for name, value in lengths.items():
        if not (value > 0.0 and math.isfinite(value)):
            raise ValueError(f"{name} {value:g} must be more than 0")


def _whole_joints(joints: float) -> int:
    if joints < 1 or joints != int(joints):
        raise ValueError(f"joints {joints:g} must be a whole number from 1 up")
    return int(joints)


@a_sum(
    "bend-length",
    title="Length of tube in a bend",
    asks=(
        Ask("angle", "angle", "how far the pipe turns"),
        Ask("radius", "length", "centre-line radius of the bend"),
    ),
    gives="length of the bend along its centre line, legs not counted",
    dimension="length",
    unit="mm",
    words="radius times angle (in radians)",
    source="geometry, from memory",
    caution="The centre line neither stretches nor shrinks here; a real bender's centre line can shift a little "
    "towards the inside. Measure one real bend.",
)
def bend_length_mm(angle: float, radius: float) -> float:
    """Length of tube in a bend, along its centre line.

    Leaves out the shift of the neutral line of a drawn bend; either side.

    Parameters
    ----------
    angle : float
        turn of the pipe [rad]
    radius : float
        centre-line radius [mm]

    Raises
    ------
    ValueError
        when the angle is outside 0 to 360 deg or the radius is not more than 0

    Source: geometry, from memory.

    >>> round(bend_length_mm(math.radians(90.0), 100.0), 3)
    157.08
    """
    _in_turn(angle)
    _positive(radius=radius)
    return radius * angle


@a_sum(
    "bend-set-back",
    title="Set-back of a bend",
    asks=(
        Ask("angle", "angle", "how far the pipe turns"),
        Ask("radius", "length", "centre-line radius of the bend"),
    ),
    gives="distance from the corner, where the two centre lines meet, to where the bend begins",
    dimension="length",
    unit="mm",
    words="radius times the tangent of half the angle",
    source="geometry, from memory",
    caution="Taken up on both legs of the corner.",
)
def bend_set_back_mm(angle: float, radius: float) -> float:
    """Distance from the corner point to either end of the bend.

    Parameters
    ----------
    angle : float
        turn of the pipe [rad]
    radius : float
        centre-line radius [mm]

    Raises
    ------
    ValueError
        when the angle is outside 0 to 170 deg or the radius is not more than 0

    Source: geometry, from memory.

    >>> round(bend_set_back_mm(math.radians(90.0), 100.0), 9)
    100.0
    """
    _at_corner(angle)
    _positive(radius=radius)
    return radius * math.tan(0.5 * angle)


@a_sum(
    "bend-gain",
    title="Gain of a bend",
    asks=(
        Ask("angle", "angle", "how far the pipe turns"),
        Ask("radius", "length", "centre-line radius of the bend"),
    ),
    gives="how much shorter the bent tube is than the two legs measured to the corner",
    dimension="length",
    unit="mm",
    words="twice the set-back, less the length of the bend",
    source="geometry, from memory",
)
def bend_gain_mm(angle: float, radius: float) -> float:
    """What a bend saves against going to the corner and on.

    Parameters
    ----------
    angle : float
        turn of the pipe [rad]
    radius : float
        centre-line radius [mm]

    Raises
    ------
    ValueError
        when the angle is outside 0 to 170 deg or the radius is not more than 0

    Source: geometry, from memory.
    """
    return 2.0 * bend_set_back_mm(angle, radius) - bend_length_mm(angle, radius)


@a_sum(
    "bend-outer-wall",
    title="Wall left on the outside of a drawn bend",
    asks=(
        Ask("wall", "length", "wall of the straight tube"),
        Ask("radius", "length", "centre-line radius of the bend"),
        Ask("diameter", "length", "outside diameter of the tube"),
    ),
    gives="estimated wall on the outside of the bend",
    dimension="length",
    unit="mm",
    words="wall times radius over (radius plus half the diameter): the outside stretches, the volume stays",
    source="constant-volume estimate, from memory",
    caution="An estimate: a pushed bend thins less, a bend without a mandrel flattens as well. Measure a cut end.",
)
def outer_wall_mm(wall: float, radius: float, diameter: float) -> float:
    """Wall on the outside of a drawn bend, by constant volume.

    Leaves out flow from the inside of the bend and pushing by the bender, so it errs thin (the safe side).

    Parameters
    ----------
    wall : float
        wall of the straight tube [mm]
    radius : float
        centre-line radius [mm]
    diameter : float
        outside diameter [mm]

    Raises
    ------
    ValueError
        when a length is not more than 0, or the radius does not exceed half the diameter

    Source: from memory, constant-volume estimate.
    """
    _positive(wall=wall, radius=radius, diameter=diameter)
    if radius <= 0.5 * diameter:
        raise ValueError(f"centre-line radius {radius:g} mm must exceed half the diameter, {0.5 * diameter:g} mm")
    return wall * radius / (radius + 0.5 * diameter)


@a_sum(
    "cut-face-angle",
    title="Saw setting for a pie-cut bend",
    asks=(
        Ask("turn", "angle", "how far the whole bend turns"),
        Ask("joints", "number", "number of welded joints: pieces less one, the half pieces at the ends counted"),
    ),
    gives="cut-face angle: what the saw is set to, from a square cut",
    dimension="angle",
    unit="deg",
    words="the turn divided by the joints is the turn per joint; the cut face has half of that",
    source="geometry, common practice",
    caution="The cut-face angle is not the turn per joint: each joint has two cut faces and each takes half of the "
    "turn. Pieces are one more than joints.",
)
def cut_face_angle_rad(turn: float, joints: float) -> float:
    """Angle of each cut face from square, half the turn per joint.

    Parameters
    ----------
    turn : float
        turn of the whole bend [rad]
    joints : float
        number of joints [-]

    Raises
    ------
    ValueError
        when the turn is outside 0 to 360 deg, joints is no whole number from 1 up, or the face would be 45 deg or more

    Source: geometry, common practice.

    >>> round(math.degrees(cut_face_angle_rad(math.radians(90.0), 3)), 9)
    15.0
    """
    _in_turn(turn)
    face = 0.5 * turn / _whole_joints(joints)
    if face > math.radians(45.0) + 1e-12:
        raise ValueError(
            f"cut-face angle {math.degrees(face):g} deg is outside 0 to 45 deg; take more joints"
        )
    return face


@a_sum(
    "pie-cut-piece",
    title="Side of a full pie-cut piece",
    asks=(
        Ask("radius", "length", "centre-line radius of the bend"),
        Ask("diameter", "length", "outside diameter of the tube"),
        Ask("turn", "angle", "how far the whole bend turns"),
        Ask("joints", "number", "number of welded joints: pieces less one"),
        Ask("side", "text", "which side of the piece", "long", ("long", "middle", "short")),
    ),
    gives="length of a full piece along that side; the half pieces at the ends have half of it",
    dimension="length",
    unit="mm",
    words="twice (radius plus half the diameter) times the tangent of the cut-face angle; middle: the radius alone; "
    "short: the radius less half the diameter",
    source="geometry, from memory",
    caution="The tangent, not the sine that is often handed on: the sine cuts each piece short, by 0.9 % at a face "
    "of 7.5 deg and 3.4 % at 15 deg. Finished size: the saw's kerf comes on top.",
)
def pie_cut_piece_mm(radius: float, diameter: float, turn: float, joints: float, side: str = "long") -> float:
    """Length of a full wedge of a pie-cut bend along one of its sides.

    The wedges touch the arc of ``radius`` where they are cut half through, so the centre line goes round outside it.

    Parameters
    ----------
    radius : float
        centre-line radius of the arc the bend stands for [mm]
    diameter : float
        outside diameter [mm]
    turn : float
        turn of the whole bend [rad]
    joints : float
        number of joints [-]
    side : str
        ``long`` (outside of the bend), ``middle`` or ``short`` [-]

    Raises
    ------
    ValueError
        when the radius does not exceed half the diameter, or as :func:`cut_face_angle_rad`

    Source: geometry, from memory.

    >>> round(pie_cut_piece_mm(100.0, 50.0, math.radians(90.0), 1), 6)
    250.0
    """
    _positive(radius=radius, diameter=diameter)
    if radius <= 0.5 * diameter:
        raise ValueError(f"centre-line radius {radius:g} mm must exceed half the diameter, {0.5 * diameter:g} mm")
    reach = {"long": radius + 0.5 * diameter, "middle": radius, "short": radius - 0.5 * diameter}
    if side not in reach:
        raise ValueError(f"side '{side}' is none of long, middle, short")
    return 2.0 * reach[side] * math.tan(cut_face_angle_rad(turn, joints))
