"""Fillet welds by their throat."""

import math

from trialfit.standards import refuse_not_positive
from trialfit.sums import Ask, a_sum

_BOOK = "Shigley's Mechanical Engineering Design, 9th ed."
_CAUTION = (
    "A weld is only as good as the welder, the joint's fit and the metal. Welding on suspension, steering, chassis or "
    "shafts may need a qualified welder and approval where you live: ask before you strike an arc."
)
_LEG = Ask("leg", "length", "leg of the fillet")


@a_sum(
    "fillet-weld-load",
    title="Load that a fillet weld carries",
    asks=(_LEG, Ask("length", "length", "length of weld"), Ask("stress", "pressure", "allowable shear of the throat")),
    gives="load at the allowable stress",
    dimension="force",
    unit="kN",
    words="0.707 * leg * length * allowable stress",
    source=f"{_BOOK}, example 9-2",
    caution=_CAUTION,
)
def fillet_weld_load(leg: float, length: float, stress: float) -> float:
    """Load [N] at which a straight fillet weld's throat reaches the allowable shear stress.

    Starts and stops, undercut and bending of the throat are left out, which errs on the unsafe side.

    Source: Shigley's Mechanical Engineering Design, 9th ed., example 9-2.
    """
    refuse_not_positive(leg=(leg, "mm"), length=(length, "mm"), stress=(stress, "MPa"))
    return 0.707 * leg * length * stress


@a_sum(
    "ring-weld-second-moment",
    title="Polar second moment of a fillet weld round a tube",
    asks=(_LEG, Ask("radius", "length", "radius of the weld circle")),
    gives="polar second moment of the throat",
    dimension="second-moment",
    unit="mm4",
    words="0.707 * leg * 2 * pi * radius^3",
    source=f"{_BOOK}, table 9-1",
    caution=_CAUTION,
)
def ring_weld_second_moment(leg: float, radius: float) -> float:
    """Polar second moment [mm4] of the throat of a ring weld, the throat taken as a thin line.

    Source: Shigley's Mechanical Engineering Design, 9th ed., table 9-1.
    """
    refuse_not_positive(leg=(leg, "mm"), radius=(radius, "mm"))
    return 0.707 * leg * 2.0 * math.pi * radius**3


@a_sum(
    "ring-weld-stress",
    title="Shear stress of a fillet weld round a tube in torque",
    asks=(
        Ask("torque", "torque", "torque through the weld"),
        _LEG,
        Ask("radius", "length", "radius of the weld circle"),
    ),
    gives="shear stress of the throat",
    dimension="pressure",
    unit="MPa",
    words="torque * radius / (0.707 * leg * 2 * pi * radius^3)",
    source=f"{_BOOK}, table 9-1",
    caution=_CAUTION,
)
def ring_weld_stress(torque: float, leg: float, radius: float) -> float:
    """Shear stress [MPa] of the throat of a ring weld in torque; shock and bending are left out (unsafe side).

    Source: Shigley's Mechanical Engineering Design, 9th ed., table 9-1.
    """
    refuse_not_positive(torque=(torque, "N*m"))
    return torque * radius / ring_weld_second_moment(leg, radius)
