"""Whether a clamped joint slips, opens, settles, or is crushed under the head."""

import math

from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.structure.bolt import CAUTION
from trialfit.sums import Ask, a_sum

_STATICS = "bolted joint statics, textbook"
_CLAMP = Ask("clamp", "force", "clamp of one bolt, what it has lost taken off")
_FRICTION = Ask("friction", "ratio", "friction between the faces")
_COUNT = Ask("count", "number", "number of bolts")
_FACES = Ask("faces", "number", "pairs of faces that rub: 1 for a lap, 2 when held from both sides", 1.0)


@a_sum(
    "joint-slip-load",
    title="Sideways load that makes a clamped joint slip",
    asks=(_CLAMP, _FRICTION, _COUNT, _FACES),
    gives="sideways load at slip",
    dimension="force",
    unit="kN",
    words="count * faces * friction * clamp",
    source=_STATICS,
    caution=CAUTION,
)
def joint_slip_load(clamp: float, friction: float, count: float, faces: float) -> float:
    """Sideways load [N] at which a joint of like bolts slips; shanks that touch their holes carry none of it here.

    Raises
    ------
    ValueError
        for a negative clamp, friction outside 0 to 1, or a count that is no whole number of at least 1

    Source: bolted joint statics, textbook.

    >>> joint_slip_load(20000.0, 0.15, 4.0, 1.0)
    12000.0
    """
    refuse_outside("clamp", clamp, 0.0, math.inf, "kN")
    refuse_outside("friction", friction, 0.0, 1.0, "", open_low=True)
    for name, value in (("count", count), ("faces", faces)):
        if value < 1 or value != round(value):
            raise ValueError(f"{name} is {value:g}; it must be a whole number of at least 1")
    return count * faces * friction * clamp


@a_sum(
    "joint-slip-factor",
    title="How far a clamped joint is from slipping",
    asks=(_CLAMP, _FRICTION, _COUNT, _FACES, Ask("load", "force", "sideways load on the whole joint")),
    gives="friction the joint holds over the load",
    dimension="ratio",
    unit="",
    words="count * faces * friction * clamp / load",
    source=_STATICS,
    caution=CAUTION,
)
def joint_slip_factor(clamp: float, friction: float, count: float, faces: float, load: float) -> float:
    """Factor [-] against slip; below 1 the joint slips and its bolts are shorn and bent.

    Source: bolted joint statics, textbook.
    """
    refuse_not_positive(load=(load, "kN"))
    return joint_slip_load(clamp, friction, count, faces) / load


@a_sum(
    "joint-slip-torque",
    title="Torque that makes a bolted flange or wheel slip",
    asks=(_CLAMP, _FRICTION, _COUNT, Ask("radius", "length", "mean radius at which the faces rub")),
    gives="torque at slip",
    dimension="torque",
    unit="N*m",
    words="count * friction * clamp * radius",
    source=_STATICS,
    caution=CAUTION,
)
def joint_slip_torque(clamp: float, friction: float, count: float, radius: float) -> float:
    """Torque [N*mm] about the middle of a bolt circle at which a flange or a wheel slips on its face.

    Source: bolted joint statics, textbook.

    >>> joint_slip_torque(20000.0, 0.15, 4.0, 50.0)
    600000.0
    """
    refuse_not_positive(radius=(radius, "mm"))
    return joint_slip_load(clamp, friction, count, 1.0) * radius


@a_sum(
    "joint-clamp-left",
    title="Clamp left in a joint that is pulled apart",
    asks=(
        Ask("clamp", "force", "clamp of one bolt before loading"),
        Ask("load", "force", "outside load on one bolt, pulling the joint apart"),
        Ask("stiffness_constant", "ratio", "share of an outside load that the bolt feels"),
    ),
    gives="clamp left, negative once the joint has opened",
    dimension="force",
    unit="kN",
    words="clamp - (1 - C) * load",
    source="Shigley's Mechanical Engineering Design, 9th ed., eq. 8-25",
    caution=CAUTION,
)
def joint_clamp_left(clamp: float, load: float, stiffness_constant: float) -> float:
    """Clamp [N] left between the parts of one bolt; at nought the joint opens.

    The load is taken as central: prying by a flange that bends opens a joint sooner (unsafe side).

    Raises
    ------
    ValueError
        for a negative load, or C outside 0 to 1

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-25.

    >>> joint_clamp_left(20000.0, 10000.0, 0.25)
    12500.0
    """
    refuse_outside("load", load, 0.0, math.inf, "kN")
    refuse_outside("stiffness constant", stiffness_constant, 0.0, 1.0, "")
    return clamp - (1.0 - stiffness_constant) * load


@a_sum(
    "joint-embedding-loss",
    title="Clamp lost when the faces of a joint settle",
    asks=(
        Ask("settling", "length", "how much the faces settle in all: about 0.01 mm for bare machined steel"),
        Ask("bolt", "stiffness", "stiffness of the bolt"),
        Ask("members", "stiffness", "stiffness of what it clamps"),
    ),
    gives="clamp lost",
    dimension="force",
    unit="kN",
    words="settling / (1 / bolt + 1 / members)",
    source="VDI 2230, loss of preload by embedding",
    caution=CAUTION,
)
def joint_embedding_loss(settling: float, bolt: float, members: float) -> float:
    """Clamp [N] lost when the faces settle; a short bolt loses most.

    Raises
    ------
    ValueError
        for a negative settling or a stiffness that is not positive

    Source: VDI 2230, loss of preload by embedding.

    >>> round(joint_embedding_loss(0.01, 300000.0, 900000.0))
    2250
    """
    refuse_outside("settling", settling, 0.0, math.inf, "mm")
    refuse_not_positive(bolt=(bolt, "N/mm"), members=(members, "N/mm"))
    return settling / (1.0 / bolt + 1.0 / members)


@a_sum(
    "bolt-bearing-pressure",
    title="Pressure under a bolt head or nut",
    asks=(
        Ask("clamp", "force", "greatest pull in the bolt"),
        Ask("face", "length", "diameter of the face under head, nut or washer"),
        Ask("hole", "length", "diameter of the hole, its chamfer counted in"),
    ),
    gives="pressure under the face",
    dimension="pressure",
    unit="MPa",
    words="clamp / (pi/4 * (face^2 - hole^2))",
    source=_STATICS,
    caution=CAUTION,
)
def bolt_bearing_pressure(clamp: float, face: float, hole: float) -> float:
    """Mean pressure [MPa] under a head; a slotted hole leaves less face than this reckons (unsafe side).

    Raises
    ------
    ValueError
        for an amount that is not positive, or a face no bigger than the hole

    Source: bolted joint statics, textbook.

    >>> round(bolt_bearing_pressure(25000.0, 16.0, 11.0))
    236
    """
    refuse_not_positive(clamp=(clamp, "kN"), face=(face, "mm"), hole=(hole, "mm"))
    if face <= hole:
        raise ValueError(f"the face is {face:g} mm; it must be bigger than the hole, {hole:g} mm")
    return clamp / (math.pi / 4.0 * (face**2 - hole**2))
