"""What does the speedometer read after a change of tyre or axle ratio, and what puts it right: teeth or pulses?"""

import math
from dataclasses import dataclass

from trialfit.findings import Verdict, verdict_on
from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.sums import Ask, a_sum

_CAUTION = (
    "Many places forbid a speedometer that reads low at any speed: check the result over a measured distance or "
    "against satellite speed, and have it certified where the law asks."
)
_MANUAL = "pickup service manual, speedometer calibration (maker withheld)"
_KMH = 1000.0 / 3.6
ROUNDINGS = {
    "never-low": "down, so that it never reads low through the rounding",
    "manual": "down under a fraction of 0.6, up from there, as one service manual has it",
    "nearest": "to the nearest tooth",
}
"""How a driven gear's teeth may be rounded to whole ones."""


@dataclass(frozen=True, slots=True)
class GearChoice:
    """One whole number of teeth for the driven gear, and the share by which the speedometer then reads high (negative:
    low) from the teeth alone [-]."""

    teeth: int
    reads_high: float


@dataclass(frozen=True, slots=True)
class DrivenGear:
    """The teeth that would be exact [-], the whole number chosen, the whole numbers on either side, and the rule that
    rounded it."""

    exact: float
    chosen: GearChoice
    beside: tuple[GearChoice, GearChoice]
    rounding: str


@dataclass(frozen=True, slots=True)
class SpeedometerCheck:
    """A reading at a true speed [mm/s] against UN Regulation No. 39: never under the true speed, never over it by more
    than a tenth and 4 km/h. ``low`` and ``high`` are the verdicts on the two sides."""

    shown_mm_s: float
    true_mm_s: float
    most_mm_s: float
    low: Verdict
    high: Verdict

    @property
    def verdict(self) -> Verdict:
        """The worse of the two."""
        order = (Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL, Verdict.FITS)
        return min((self.low, self.high), key=order.index)


@a_sum(
    "speedometer-after-change",
    title="What the speedometer shows after a change of tyre or axle",
    asks=(
        Ask("true", "speed", "true road speed"),
        Ask("old_circumference", "length", "distance that the old tyre rolls in one turn"),
        Ask("new_circumference", "length", "distance that the new tyre rolls in one turn"),
        Ask("old_axle", "ratio", "axle ratio before; 1 when it stays, or when the wheels drive it", 1.0),
        Ask("new_axle", "ratio", "axle ratio after; 1 when it stays, or when the wheels drive it", 1.0),
        Ask("error", "percent", "share by which it read high before; negative reads low", 0.0),
    ),
    gives="speed shown",
    dimension="speed",
    unit="km/h",
    words="true * (1 + error) * old circumference / new circumference * new axle / old axle",
    source="kinematics",
    caution=_CAUTION,
)
def speedometer_after_change(
    true: float, old_circumference: float, new_circumference: float, old_axle: float, new_axle: float, error: float
) -> float:
    """Speed shown [mm/s] at a true speed, the drive of the speedometer being left as it was.

    Parameters
    ----------
    true : float
        true road speed [mm/s]
    old_circumference, new_circumference : float
        distance in one turn of the tyre [mm]
    old_axle, new_axle : float
        axle ratios [-]
    error : float
        share by which it read high before, -0.5 to 0.5 [-]

    Raises
    ------
    ValueError
        for an amount out of range

    Source: kinematics.

    >>> round(speedometer_after_change(100.0, 2000.0, 2200.0, 3.5, 3.85, 0.0), 6)
    100.0
    """
    refuse_not_positive(true=(true, "km/h"))
    for name, mm in (("old circumference", old_circumference), ("new circumference", new_circumference)):
        refuse_outside(name, mm, 900.0, 4700.0, "mm")
    for name, ratio in (("old axle", old_axle), ("new axle", new_axle)):
        refuse_outside(f"{name} ratio", ratio, 1.0, 15.0, "")
    refuse_outside("error", error, -0.5, 0.5, "%")
    return true * (1.0 + error) * old_circumference / new_circumference * new_axle / old_axle


@a_sum(
    "speedometer-gear",
    title="Teeth of the driven gear that put a speedometer right",
    asks=(
        Ask("teeth", "number", "teeth of the driven gear that is in it"),
        Ask("shown", "speed", "speed it shows"),
        Ask("true", "speed", "true speed"),
    ),
    gives="teeth of the driven gear, not yet rounded",
    dimension="number",
    unit="",
    words="teeth * shown / true; more teeth on the driven gear make it read lower",
    source=_MANUAL,
    caution=_CAUTION,
)
def speedometer_gear(teeth: float, shown: float, true: float) -> float:
    """Teeth [-] that would read exactly; whole teeth and what gears are made come next, see :func:`driven_gear`.

    Source: pickup service manual, speedometer calibration (maker withheld).

    >>> speedometer_gear(18.0, 55.0, 60.0)
    16.5
    """
    refuse_outside("teeth", teeth, 5.0, 100.0, "")
    if teeth != round(teeth):
        raise ValueError(f"teeth are {teeth:g}; count whole teeth")
    refuse_not_positive(shown=(shown, "km/h"), true=(true, "km/h"))
    refuse_outside("shown over true", shown / true, 0.3, 3.0, "")
    return teeth * shown / true


def driven_gear(teeth: int, shown_mm_s: float, true_mm_s: float, rounding: str = "never-low") -> DrivenGear:
    """The whole number of teeth for the driven gear, with what the rounding leaves.

    Whether the housing takes a gear of that size is left out: over a range of some six teeth it takes another adapter.

    Parameters
    ----------
    teeth : int
        of the driven gear that is in it [-]
    shown_mm_s, true_mm_s : float
        speed shown and true speed with that gear [mm/s]
    rounding : str
        ``never-low``, ``manual`` or ``nearest``

    Raises
    ------
    ValueError
        for an amount out of range or another rounding

    Source: pickup service manual, speedometer calibration (maker withheld).

    >>> driven_gear(18, 55.0, 60.0).chosen.teeth, driven_gear(18, 60.2, 60.0, "nearest").chosen.teeth
    (16, 18)
    """
    if rounding not in ROUNDINGS:
        raise ValueError(f"rounding is '{rounding}'; write {', '.join(ROUNDINGS)}")
    exact = speedometer_gear(float(teeth), shown_mm_s, true_mm_s)
    below = math.floor(exact + 1e-9)
    fraction = exact - below
    up = {"never-low": False, "manual": fraction >= 0.6, "nearest": fraction >= 0.5}[rounding]
    pair = GearChoice(below, exact / below - 1.0), GearChoice(below + 1, exact / (below + 1) - 1.0)
    return DrivenGear(exact, pair[1] if up else pair[0], pair, rounding)


@a_sum(
    "speedometer-cable-gear",
    title="Teeth of the driven gear from the turns of the cable",
    asks=(
        Ask("driving", "number", "teeth of the driving gear on the output shaft"),
        Ask("axle", "ratio", "axle ratio"),
        Ask("circumference", "length", "distance that the tyre rolls in one turn"),
        Ask("cable", "number", "turns of the cable that the speedometer counts as the distance"),
        Ask("distance", "length", "that distance; 1 mile when left out", 1609344.0),
    ),
    gives="teeth of the driven gear, not yet rounded",
    dimension="number",
    unit="",
    words="driving * axle * distance / (circumference * cable); many speedometers count 1000 or 1001 turns to the mile",
    source="kinematics",
    caution=_CAUTION,
)
def speedometer_cable_gear(driving: float, axle: float, circumference: float, cable: float, distance: float) -> float:
    """Teeth [-] of the driven gear, not yet rounded.

    Source: kinematics.

    >>> round(speedometer_cable_gear(8.0, 3.73, 2000.0, 1000.0, 1609344.0), 2)
    24.01
    """
    refuse_outside("driving teeth", driving, 1.0, 60.0, "")
    if driving != round(driving):
        raise ValueError(f"driving teeth are {driving:g}; count whole teeth")
    refuse_outside("axle ratio", axle, 1.0, 15.0, "")
    refuse_outside("circumference", circumference, 900.0, 4700.0, "mm")
    refuse_not_positive(cable=(cable, ""), distance=(distance, "km"))
    return driving * axle * distance / (circumference * cable)


@a_sum(
    "speedometer-pulses",
    title="Pulses of a speed sensor over a distance",
    asks=(
        Ask("per_turn", "number", "pulses for one turn of what carries the sensor's ring"),
        Ask("circumference", "length", "distance that the tyre rolls in one turn"),
        Ask("axle", "ratio", "axle ratio when the ring is on the shaft; 1 when it is on a wheel", 1.0),
        Ask("distance", "length", "distance; 1 km when left out", 1e6),
    ),
    gives="pulses",
    dimension="number",
    unit="",
    words="pulses a turn * axle * distance / circumference",
    source="vehicle module programming manual (maker withheld)",
    caution=_CAUTION,
)
def speedometer_pulses(per_turn: float, circumference: float, axle: float, distance: float) -> float:
    """Pulses [-] over a distance, not yet rounded.

    Source: vehicle module programming manual (maker withheld).

    >>> round(speedometer_pulses(4.0, 2000.0, 3.5, 1e6), 6)
    7000.0
    """
    refuse_outside("pulses a turn", per_turn, 0.1, 1000.0, "")
    refuse_outside("circumference", circumference, 900.0, 4700.0, "mm")
    refuse_outside("axle ratio", axle, 1.0, 15.0, "")
    refuse_not_positive(distance=(distance, "km"))
    return per_turn * axle * distance / circumference


@dataclass(frozen=True, slots=True)
class PulseSetting:
    """The pulse count to set: exact and rounded down to a whole one, and the share by which it then reads high [-]."""

    exact: float
    pulses: int
    reads_high: float


def pulse_setting(per_turn: float, circumference_mm: float, axle: float, distance_mm: float) -> PulseSetting:
    """The whole number of pulses to set a speedometer to for a distance; too few reads high, so it goes down.

    Parameters
    ----------
    per_turn : float
        pulses for one turn of what carries the ring [-]
    circumference_mm : float
        distance in one turn of the tyre [mm]
    axle : float
        axle ratio, 1 for a ring on a wheel [-]
    distance_mm : float
        distance that the setting counts over [mm]

    Raises
    ------
    ValueError
        for an amount out of range, or a setting under 10 pulses, where one pulse is more than a tenth

    Source: vehicle module programming manual (maker withheld).
    """
    exact = speedometer_pulses(per_turn, circumference_mm, axle, distance_mm)
    refuse_outside("pulses over the distance", exact, 10.0, math.inf, "")
    whole = math.floor(exact + 1e-9)
    return PulseSetting(exact, whole, exact / whole - 1.0)


def speedometer_check(shown_mm_s: float, true_mm_s: float, shown_sd_mm_s: float) -> SpeedometerCheck:
    """A reading against UN Regulation No. 39, with its doubt.

    Other places have other limits: ask the authority.

    Parameters
    ----------
    shown_mm_s, true_mm_s : float
        speed shown and true speed [mm/s]
    shown_sd_mm_s : float
        standard deviation of what is shown at that true speed, from tyre and counting [mm/s]

    Raises
    ------
    ValueError
        for a speed that is not positive or a negative doubt

    Source: UN Regulation No. 39, 5.3 (as quoted).

    >>> str(speedometer_check(104e3 / 3.6, 100e3 / 3.6, 200.0).verdict)
    'fits'
    """
    refuse_not_positive(shown=(shown_mm_s, "km/h"), true=(true_mm_s, "km/h"))
    refuse_outside("doubt of the speed shown", shown_sd_mm_s, 0.0, math.inf, "km/h")
    most = 1.1 * true_mm_s + 4.0 * _KMH
    return SpeedometerCheck(shown_mm_s, true_mm_s, most, verdict_on(shown_mm_s, shown_mm_s, true_mm_s, shown_sd_mm_s),
                            verdict_on(-shown_mm_s, -shown_mm_s, -most, shown_sd_mm_s))
