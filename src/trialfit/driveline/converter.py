"""What does a torque converter do to torque and engine speed, from standstill to coupling?"""

import math
from dataclasses import dataclass
from functools import lru_cache

from trialfit.driveline.engine_curve import EngineCurve
from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.sums import Ask, a_sum

_SOURCE = "similarity law of hydrodynamic machines"
_CAUTION = (
    "At stall all the power turns to heat: hold it for no more than five seconds, wheels chocked, brakes sound, nobody "
    "in front of or behind the vehicle."
)
_K_LOW, _K_HIGH = 0.03, 3.0
COUPLING = 0.9
"""speed ratio at which the torque is no longer raised; 0.85 to 0.92 in most three-part converters (from memory)"""


@dataclass(frozen=True, slots=True)
class Converter:
    """A torque converter: torque ratio at stall [-], size factor [rad/s per root of N*mm], speed ratio at which it
    begins to couple [-], and whether a clutch locks it at a cruise."""

    stall_ratio: float
    size_factor: float
    coupling: float = COUPLING
    locks: bool = False

    def __post_init__(self) -> None:
        refuse_outside("stall torque ratio", self.stall_ratio, 1.0, 5.0, "")
        refuse_outside("coupling speed ratio", self.coupling, 0.7, 0.97, "")
        if not _K_LOW <= self.size_factor <= _K_HIGH:
            raise ValueError("this stall speed and torque are those of no converter for a road vehicle; stall lies "
                             "near 1500 to 5500 rpm at full torque")

    def torque_ratio(self, speed_ratio: float) -> float:
        """Torque out over torque in: falls in a straight line from the stall ratio to 1 at coupling."""
        refuse_outside("speed ratio", speed_ratio, 0.0, 1.0, "")
        if speed_ratio >= self.coupling:
            return 1.0
        return self.stall_ratio - (self.stall_ratio - 1.0) * speed_ratio / self.coupling

    def stall_rad_s(self, engine: EngineCurve) -> float:
        """Speed [rad/s] at which this engine at full throttle is held by the converter, its output standing still.

        Raises
        ------
        ValueError
            when it lies beyond the curve's ends
        """
        return stall_speed(engine, self.size_factor)

    def engine_rad_s(self, turbine_rad_s: float, torque_nmm: float) -> float:
        """Engine speed [rad/s] that carries a torque [N*mm] once coupled: slip falls with torque and rises with
        size."""
        slip = (1.0 - self.coupling) * self.size_factor**2 * torque_nmm
        return 0.5 * (turbine_rad_s + math.sqrt(turbine_rad_s**2 + 4.0 * slip))


def converter_from_stall(
    stall_ratio: float, stall_rad_s: float, torque_nmm: float, coupling: float = COUPLING, locks: bool = False
) -> Converter:
    """A converter from the stall speed that was measured or rated, and the engine torque it was rated behind.

    Parameters
    ----------
    stall_ratio : float
        torque out over torque in at stall, 1 to 5 [-]
    stall_rad_s : float
        [rad/s]
    torque_nmm : float
        engine torque at that speed, at full throttle [N*mm]
    coupling : float
        speed ratio at which the torque is no longer raised [-]
    locks : bool
        whether a clutch locks it at a cruise

    Raises
    ------
    ValueError
        for an amount out of range

    Source: similarity law of hydrodynamic machines.

    >>> round(converter_from_stall(2.0, 250.0, 300e3).size_factor, 4)
    0.4564
    """
    refuse_not_positive(stall_speed=(stall_rad_s, "rpm"), torque=(torque_nmm, "N*m"))
    return Converter(stall_ratio, stall_rad_s / math.sqrt(torque_nmm), coupling, locks)


@lru_cache(maxsize=64)
def stall_speed(engine: EngineCurve, size_factor: float) -> float:
    """Speed [rad/s] at which the engine's torque is what the converter takes with its output held.

    Raises
    ------
    ValueError
        when the engine is too weak to reach it above its slowest speed, or runs past its fastest

    Source: similarity law of hydrodynamic machines.
    """

    def over(w: float) -> float:
        return w - size_factor * math.sqrt(engine.torque_nmm(w))

    low, high = engine.slowest_rad_s, engine.fastest_rad_s
    if over(low) > 0.0 or over(high) < 0.0:
        raise ValueError("this converter and engine meet outside the engine's speeds: the stall speed is "
                         f"{'under' if over(low) > 0.0 else 'over'} the curve; check stall, its torque and the curve")
    for _ in range(80):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if over(middle) < 0.0 else (low, middle)
    return 0.5 * (low + high)


@a_sum(
    "converter-stall",
    title="Stall speed of a converter behind another engine",
    asks=(
        Ask("stall", "rotation", "stall speed that is known"),
        Ask("torque", "torque", "engine torque it was known at"),
        Ask("engine", "torque", "torque of the other engine near the speed looked for"),
    ),
    gives="stall speed",
    dimension="rotation",
    unit="rpm",
    words="stall * square root of (engine / torque); work it again with the torque at the speed found",
    source=_SOURCE,
    caution=_CAUTION,
)
def converter_stall(stall: float, torque: float, engine: float) -> float:
    """Stall speed [rad/s] behind another engine; blades that flex and heat make it a tenth out either way.

    Source: similarity law of hydrodynamic machines.

    >>> round(converter_stall(200.0, 200e3, 450e3))
    300
    """
    refuse_not_positive(stall=(stall, "rpm"), torque=(torque, "N*m"), engine=(engine, "N*m"))
    refuse_outside("engine torque over known torque", engine / torque, 0.2, 5.0, "")
    return stall * math.sqrt(engine / torque)


@a_sum(
    "converter-torque-ratio",
    title="Torque ratio of a converter at a speed ratio",
    asks=(
        Ask("stall_ratio", "ratio", "torque ratio at stall"),
        Ask("speed_ratio", "ratio", "output speed over engine speed"),
        Ask("coupling", "ratio", "speed ratio at which it couples", COUPLING),
    ),
    gives="torque out over torque in",
    dimension="ratio",
    unit="",
    words="stall ratio - (stall ratio - 1) * speed ratio / coupling; 1 from coupling on",
    source="from memory",
)
def converter_torque_ratio(stall_ratio: float, speed_ratio: float, coupling: float) -> float:
    """Torque ratio [-] on the straight line from stall to coupling; true ones sag or bulge by some 3 %.

    Source: from memory.

    >>> converter_torque_ratio(2.0, 0.45, 0.9)
    1.5
    """
    return Converter(stall_ratio, 0.5, coupling).torque_ratio(speed_ratio)
