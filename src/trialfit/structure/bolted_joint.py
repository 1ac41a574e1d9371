"""Bolts that clamp parts together: who carries the load, and what a circle of bolts sees."""

import math

from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.structure.bolt import CAUTION
from trialfit.sums import Ask, a_sum

_BOOK = "Shigley's Mechanical Engineering Design, 9th ed."
_C = Ask("stiffness_constant", "ratio", "share of an outside load that the bolt feels")
_PROOF = Ask("proof", "pressure", "proof stress of the grade")
_AREA = Ask("area", "area", "tensile stress area")
_PRELOAD = Ask("preload", "force", "pull in the bolt before loading")
_LOAD = Ask("load", "force", "outside load on one bolt, pulling the joint apart")


@a_sum(
    "joint-stiffness-constant",
    title="Share of an outside load that the bolt feels",
    asks=(
        Ask("bolt", "stiffness", "stiffness of the bolt"),
        Ask("members", "stiffness", "stiffness of what it clamps"),
    ),
    gives="joint stiffness constant C",
    dimension="ratio",
    unit="",
    words="bolt / (bolt + members)",
    source=f"{_BOOK}, section 8-7",
    caution=CAUTION,
)
def joint_stiffness_constant(bolt: float, members: float) -> float:
    """Share [-] of an outside load that adds to the bolt's pull; a gasket in the joint raises it a great deal.

    Source: Shigley's Mechanical Engineering Design, 9th ed., section 8-7.
    """
    refuse_not_positive(bolt=(bolt, "N/mm"), members=(members, "N/mm"))
    return bolt / (bolt + members)


@a_sum(
    "bolt-service-stress",
    title="Stress of a tightened bolt under load",
    asks=(_PRELOAD, _LOAD, _C, _AREA),
    gives="tensile stress in the thread",
    dimension="pressure",
    unit="MPa",
    words="(preload + C * load) / stress area",
    source=f"{_BOOK}, section 8-7",
    caution=CAUTION,
)
def bolt_service_stress(preload: float, load: float, stiffness_constant: float, area: float) -> float:
    """Tensile stress [MPa] of a tightened bolt under an outside load; the twist left from tightening is left out.

    Source: Shigley's Mechanical Engineering Design, 9th ed., section 8-7.
    """
    refuse_not_positive(area=(area, "mm2"))
    _check(stiffness_constant, load, preload)
    return (preload + stiffness_constant * load) / area


@a_sum(
    "bolt-yield-factor",
    title="Factor of a tightened bolt against its proof stress",
    asks=(_PRELOAD, _LOAD, _C, _AREA, _PROOF),
    gives="yielding factor",
    dimension="ratio",
    unit="",
    words="proof stress * stress area / (C * load + preload)",
    source=f"{_BOOK}, eq. 8-28",
    caution=CAUTION,
)
def bolt_yield_factor(preload: float, load: float, stiffness_constant: float, area: float, proof: float) -> float:
    """Yielding factor [-] of a tightened bolt.

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-28.
    """
    refuse_not_positive(proof=(proof, "MPa"))
    return proof / bolt_service_stress(preload, load, stiffness_constant, area)


@a_sum(
    "bolt-load-factor",
    title="Factor by which the load may grow before the bolt reaches its proof stress",
    asks=(_PRELOAD, _LOAD, _C, _AREA, _PROOF),
    gives="load factor",
    dimension="ratio",
    unit="",
    words="(proof stress * stress area - preload) / (C * load)",
    source=f"{_BOOK}, eq. 8-29",
    caution=CAUTION,
)
def bolt_load_factor(preload: float, load: float, stiffness_constant: float, area: float, proof: float) -> float:
    """Load factor [-]; below 1 the bolt passes its proof stress.

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-29.
    """
    refuse_not_positive(area=(area, "mm2"), proof=(proof, "MPa"), load=(load, "N"))
    _check(stiffness_constant, load, preload)
    return (proof * area - preload) / (stiffness_constant * load)


@a_sum(
    "joint-separation-factor",
    title="Factor by which the load may grow before the joint opens",
    asks=(_PRELOAD, _LOAD, _C),
    gives="separation factor",
    dimension="ratio",
    unit="",
    words="preload / (load * (1 - C))",
    source=f"{_BOOK}, eq. 8-30",
    caution=CAUTION,
)
def joint_separation_factor(preload: float, load: float, stiffness_constant: float) -> float:
    """Separation factor [-]; below 1 the joint opens and the bolt takes every pulse of the load.

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-30.
    """
    refuse_not_positive(load=(load, "N"))
    _check(stiffness_constant, load, preload)
    return preload / (load * (1.0 - stiffness_constant))


@a_sum(
    "bolt-circle-load",
    title="Sideways load on each bolt of a circle from a torque",
    asks=(
        Ask("torque", "torque", "torque about the middle of the bolts"),
        Ask("radius", "length", "distance of each bolt from the middle"),
        Ask("count", "number", "number of bolts"),
    ),
    gives="sideways load on one bolt",
    dimension="force",
    unit="kN",
    words="torque / (count * radius)",
    source=f"{_BOOK}, example 8-7",
    caution=CAUTION,
)
def bolt_circle_load(torque: float, radius: float, count: float) -> float:
    """Sideways load [N] on each bolt of a circle, all alike and equally far from the middle.

    Friction between the parts carries none of it here, which errs on the safe side; loose holes that let one bolt
    touch first are left out, which errs on the other.

    Source: Shigley's Mechanical Engineering Design, 9th ed., example 8-7.
    """
    refuse_not_positive(radius=(radius, "mm"))
    refuse_outside("torque", torque, 0.0, math.inf, "N*m")
    _check_count(count)
    return torque / (count * radius)


@a_sum(
    "bolt-group-load",
    title="Sideways load on one bolt from a force and its moment",
    asks=(
        Ask("force", "force", "sideways force on the whole group"),
        Ask("moment", "torque", "moment of that force about the middle of the bolts"),
        Ask("radius", "length", "distance of each bolt from the middle"),
        Ask("count", "number", "number of bolts"),
        Ask("between", "angle", "angle between the pull of the force and the pull of the moment on this bolt"),
    ),
    gives="sideways load on that bolt",
    dimension="force",
    unit="kN",
    words="vector sum of force / count and moment / (count * radius)",
    source=f"{_BOOK}, example 8-7",
    caution=CAUTION,
)
def bolt_group_load(force: float, moment: float, radius: float, count: float, between: float) -> float:
    """Sideways load [N] on one bolt of a group equally far from its middle.

    Source: Shigley's Mechanical Engineering Design, 9th ed., example 8-7.
    """
    refuse_outside("force", force, 0.0, math.inf, "kN")
    turned = bolt_circle_load(moment, radius, count)
    direct = force / count
    # written so that equal and opposite pulls give nought and not the root of a negative last bit
    return math.hypot(direct + turned * math.cos(between), turned * math.sin(between))


def _check(stiffness_constant: float, load: float, preload: float) -> None:
    refuse_not_positive(preload=(preload, "N"))
    refuse_outside("load", load, 0.0, math.inf, "N")
    refuse_outside("stiffness constant", stiffness_constant, 0.0, 0.999, "", open_low=True)


def _check_count(count: float) -> None:
    if count < 2 or count != round(count):
        raise ValueError(f"count is {count:g}; it must be a whole number of at least 2 bolts")
