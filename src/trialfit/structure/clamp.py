"""From torque to clamp and back, as a range: friction and wrench between them leave half the clamp open."""

import math
from dataclasses import dataclass

from trialfit.standards import bolt_grade, refuse_not_positive, refuse_outside, stress_area_mm2, thread_called
from trialfit.standards.fastening import ThreadFriction, thread_friction, thread_states, torque_tools, wrench_scatter
from trialfit.structure.bolt import CAUTION, bolt_preload_torque
from trialfit.sums import Ask, a_sum

_BOOK = "Shigley's Mechanical Engineering Design, 9th ed."
_THREAD = Ask("thread", "text", "thread, such as M10, M10x1.25 or 7/16-20")
_TORQUE = Ask("torque", "torque", "tightening torque, without the drag of a locking nut")
_STATE = Ask("state", "text", "state of the thread", "dry", thread_states())
_TOOL = Ask("tool", "text", "what it is tightened with", "click wrench", torque_tools())
_BEARING = 1.3
"""Mean diameter of rubbing under a standard head, in bolt diameters: between bore 1.1 and face 1.5 [-]."""


@dataclass(frozen=True, slots=True)
class Spread:
    """An amount that lies somewhere between ``low`` and ``high``, most likely near ``nominal``; one unit for all."""

    low: float
    nominal: float
    high: float

    def times(self, factor: float) -> "Spread":
        """The spread of a positive multiple of the amount [in the unit of both]."""
        return Spread(self.low * factor, self.nominal * factor, self.high * factor)


@dataclass(frozen=True, slots=True)
class TorqueFigure:
    """A torque that somebody printed [N*mm], with where."""

    low_nmm: float
    high_nmm: float
    source: str

    def __post_init__(self) -> None:
        if not 0.0 < self.low_nmm <= self.high_nmm:
            raise ValueError(f"a torque from {self.low_nmm:g} to {self.high_nmm:g} N*mm is no range")
        if not self.source:
            raise ValueError("a torque figure must say where it is printed")


@a_sum(
    "bolt-clamp-from-torque",
    title="Clamp that a torque gives",
    asks=(_TORQUE, Ask("diameter", "length", "nominal diameter"),
          Ask("factor", "ratio", "torque factor K: 0.18 to 0.27 dry, 0.10 to 0.26 oiled", 0.2)),
    gives="pull in the bolt",
    dimension="force",
    unit="kN",
    words="torque / (K * diameter)",
    source=f"{_BOOK}, eq. 8-27",
    caution=CAUTION,
)  # fmt: skip
def bolt_clamp_from_torque(torque: float, diameter: float, factor: float) -> float:
    """Pull [N] in a bolt from its torque at one K; the range is in bolt-clamp-least and bolt-clamp-most.

    Raises
    ------
    ValueError
        for an amount that is not positive, or K outside 0.05 to 0.5

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-27.

    >>> round(bolt_clamp_from_torque(50000.0, 10.0, 0.2))
    25000
    """
    refuse_not_positive(torque=(torque, "N*m"), diameter=(diameter, "mm"))
    refuse_outside("factor", factor, 0.05, 0.5, "")
    return torque / (factor * diameter)


@a_sum(
    "bolt-nut-factor",
    title="Torque factor K from friction",
    asks=(
        _THREAD,
        Ask("thread_friction", "ratio", "coefficient of friction in the thread"),
        Ask("head_friction", "ratio", "coefficient of friction under head or nut"),
        Ask("bearing", "length", "mean diameter of rubbing under head or nut"),
    ),
    gives="torque factor K",
    dimension="ratio",
    unit="",
    words="(0.159 pitch + 0.577 thread friction * pitch diameter + head friction * bearing / 2) / diameter",
    source="VDI 2230, tightening torque from friction",
    caution=CAUTION,
)
def bolt_nut_factor(thread: str, thread_friction: float, head_friction: float, bearing: float) -> float:
    """Torque factor K [-] from the friction in the thread and under the head; flanks of 60 degrees.

    Raises
    ------
    ValueError
        for a friction outside 0 to 1, or a bearing diameter no bigger than the bolt

    Source: VDI 2230, tightening torque from friction.

    >>> round(bolt_nut_factor("M10", 0.12, 0.12, 13.0), 3)
    0.164
    """
    screw = thread_called(thread)
    refuse_outside("thread friction", thread_friction, 0.0, 1.0, "")
    refuse_outside("head friction", head_friction, 0.0, 1.0, "")
    if bearing <= screw.diameter_mm:
        raise ValueError(f"bearing is {bearing:g} mm; it must be bigger than the bolt, {screw.diameter_mm:g} mm")
    slope = screw.pitch_mm / (2.0 * math.pi)
    rub = thread_friction * (screw.diameter_mm - 0.649519 * screw.pitch_mm) / (2.0 * math.cos(math.radians(30.0)))
    return (slope + rub + head_friction * bearing / 2.0) / screw.diameter_mm


def nut_factor(thread: str, friction: ThreadFriction, bearing_mm: float | None = None) -> Spread:
    """Torque factor K [-] of a thread in one state, as a range.

    Parameters
    ----------
    bearing_mm : float or None
        mean diameter of rubbing under head or nut, 1.3 diameters where nobody measured it [mm]

    Source: VDI 2230, tightening torque from friction; nut factors and friction classes.

    >>> k = nut_factor("M10", thread_friction("anti-seize"))
    >>> round(k.low, 3), round(k.high, 3)
    (0.118, 0.211)
    """
    if friction.kind == "K":
        return Spread(friction.low, friction.nominal, friction.high)
    bearing = _BEARING * thread_called(thread).diameter_mm if bearing_mm is None else bearing_mm
    low, nominal, high = (
        bolt_nut_factor(thread, mu, mu, bearing) for mu in (friction.low, friction.nominal, friction.high)
    )
    return Spread(low, nominal, high)


def clamp_from_torque(
    thread: str, low_nmm: float, high_nmm: float, friction: ThreadFriction, tool: str, bearing_mm: float | None = None
) -> Spread:
    """Clamp [N] that a torque gives: least with the roughest thread and the wrench that reads high, most with the
    slipperiest and the one that reads low.

    Both ends are taken at once, so the true range is a little narrower (safe side). A locking nut's own drag must be
    taken off the torque first.

    Parameters
    ----------
    low_nmm, high_nmm : float
        torque printed or set; the same twice for one figure [N*mm]
    tool : str
        a row of the tightening tools

    Raises
    ------
    ValueError
        for a torque that is not positive, an unknown thread or tool

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-27; nut factors and friction classes; ISO 6789.

    >>> found = clamp_from_torque("M10", 50e3, 50e3, thread_friction("dry"), "click wrench")
    >>> [round(f) for f in (found.low, found.nominal, found.high)]
    [17778, 25000, 28889]
    """
    refuse_not_positive(torque=(low_nmm, "N*m"))
    k, d = nut_factor(thread, friction, bearing_mm), thread_called(thread).diameter_mm
    return Spread(
        low_nmm * (1.0 - wrench_scatter(tool, low_nmm)) / (k.high * d),
        0.5 * (low_nmm + high_nmm) / (k.nominal * d),
        high_nmm * (1.0 + wrench_scatter(tool, high_nmm)) / (k.low * d),
    )


def torque_for_clamp(thread: str, clamp_n: float, friction: ThreadFriction, bearing_mm: float | None = None) -> Spread:
    """Torque [N*mm] that a clamp takes: the range says what friction leaves open.

    Raises
    ------
    ValueError
        for a clamp that is not positive

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-27; nut factors and friction classes.

    >>> round(torque_for_clamp("M10", 25e3, thread_friction("dry")).nominal)
    50000
    """
    k, d = nut_factor(thread, friction, bearing_mm), thread_called(thread).diameter_mm
    low, nominal, high = (bolt_preload_torque(clamp_n, d, factor) for factor in (k.low, k.nominal, k.high))
    return Spread(low, nominal, high)


def proof_load_n(thread: str, grade: str) -> float:
    """Load [N] from which a bolt still comes back to its length.

    Raises
    ------
    ValueError
        for an unknown thread or grade, or a grade of the other system

    Source: ISO 898-1; SAE J429.

    >>> round(proof_load_n("M10", "8.8"))
    33634
    """
    screw = thread_called(thread)
    strength = bolt_grade(grade, screw.diameter_mm)
    if strength.system != screw.system:
        raise ValueError(f"grade {grade} is for {strength.system} bolts and {thread} is a {screw.system} thread")
    return stress_area_mm2(screw) * strength.proof_mpa


@a_sum(
    "bolt-clamp-least",
    title="Least clamp that a torque leaves, by the state of the thread",
    asks=(_THREAD, _TORQUE, _STATE, _TOOL),
    gives="least pull in the bolt",
    dimension="force",
    unit="kN",
    words="torque * (1 - wrench scatter) / (greatest K of that state * diameter)",
    source=f"{_BOOK}, eq. 8-27; nut factors and friction classes",
    caution=CAUTION,
)
def bolt_clamp_least(thread: str, torque: float, state: str, tool: str) -> float:
    """Least pull [N] that a torque may leave in a bolt whose thread is in that state.

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-27; nut factors and friction classes.
    """
    return clamp_from_torque(thread, torque, torque, thread_friction(state), tool).low


@a_sum(
    "bolt-clamp-most",
    title="Greatest clamp that a torque may give, by the state of the thread",
    asks=(_THREAD, _TORQUE, _STATE, _TOOL),
    gives="greatest pull in the bolt",
    dimension="force",
    unit="kN",
    words="torque * (1 + wrench scatter) / (least K of that state * diameter)",
    source=f"{_BOOK}, eq. 8-27; nut factors and friction classes",
    caution=CAUTION,
)
def bolt_clamp_most(thread: str, torque: float, state: str, tool: str) -> float:
    """Greatest pull [N] that a torque may give a bolt whose thread is in that state.

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-27; nut factors and friction classes.
    """
    return clamp_from_torque(thread, torque, torque, thread_friction(state), tool).high
