"""A number held against every version of a rule, with its doubt, and the gauge that could settle it."""

import math
from dataclasses import dataclass

from trialfit.findings import SURE, Finding, Place, Verdict, verdict_on
from trialfit.standards import ORIGINS, Rule, Version
from trialfit.vehicle import DEFAULT_INSTRUMENTS

_FACTOR = {"deg": math.pi / 180.0, "mm": 1.0, "rad/s2": 1.0, "-": 1.0, "": 1.0, "rpm": math.pi / 30.0}


@dataclass(frozen=True, slots=True)
class RuleAnswer:
    """One number against one version of one rule. ``lower``, ``upper``, ``sd`` and ``limit`` are in ``unit`` (that of
    the rule); ``margin`` is the room beyond the limit, counted from the worse bound."""

    what: str
    lower: float
    upper: float
    sd: float | None
    limit: float
    unit: str
    at_most: bool
    rule: str
    version: Version
    in_force: bool
    verdict: Verdict
    gauge: str = ""

    @property
    def margin(self) -> float:
        """Room left beyond the limit, in ``unit``; negative where it is passed."""
        return self.limit - self.upper if self.at_most else self.lower - self.limit

    @property
    def reason(self) -> str:
        """The answer as a sentence."""
        doubt = "" if self.sd is None else f", give or take {_shown(SURE * self.sd)}"
        side = "at most" if self.at_most else "at least"
        met = _shown(self.upper if self.at_most else self.lower)
        unit = "" if self.unit in {"-", ""} else f" {self.unit}"
        told = f"{self.what} {met}{unit}{doubt}; {side} {_shown(self.limit)}{unit} asked for ({self.version.label}, "
        return f"{told}{ORIGINS[self.version.kind]})"

    def finding(self, name: str, remedy: str = "", where: Place | None = None) -> Finding:
        """The same as a finding; where it cannot be told the remedy is the gauge that could."""
        mend = self.gauge if self.verdict is Verdict.CANNOT_TELL and self.gauge else remedy
        return Finding(name, self.verdict, self.reason, mend, self.margin, self.sd, self.unit, self.rule,
                       self.version.source, where)  # fmt: skip


def _shown(value: float) -> str:
    return f"{value:.3g}" if abs(value) < 1000.0 else f"{value:.0f}"


def hold(
    what: str,
    bounds: tuple[float, float],
    sd: float | None,
    rule: Rule,
    *,
    at_most: bool,
    scale: float = 1.0,
    readings: int = 0,
) -> tuple[RuleAnswer, ...]:
    """Hold a number against every version of a rule, the one in force first.

    Parameters
    ----------
    what : str
        what the number is, for the sentence
    bounds : two floats
        least and most that it can be, in the house's internal unit
    sd : float or None
        its standard deviation from the readings, in the same unit; None when it is not known
    rule : Rule
        with the version that the builder chose in force
    at_most : bool
        True for an upper limit, False for a lower one
    scale : float
        what the rule's figure is multiplied by where it counts in something else (spline diameters [mm]) [-]
    readings : int
        how many readings of an angle gauge went into the number, for the gauge that could settle it; 0 names none

    Raises
    ------
    ValueError
        when the bounds are the wrong way round or the rule's unit is not one of deg, mm, rad/s2, rpm or none
    """
    answers = []
    for version in sorted(rule.versions, key=lambda v: v != rule.in_force):
        if version.unit not in _FACTOR:
            raise ValueError(f"rule {rule.name} counts in {version.unit}, which is no unit of a shaft rule")
        unit = "mm" if scale != 1.0 and version.unit in {"-", ""} else version.unit
        factor = _FACTOR[unit]
        low, high = bounds[0] / factor, bounds[1] / factor
        doubt, limit = None if sd is None else sd / factor, version.value * scale
        verdict = verdict_on(-high, -low, -limit, doubt) if at_most else verdict_on(low, high, limit, doubt)
        gauge = ""
        if verdict is Verdict.CANNOT_TELL:
            short = limit - high if at_most else low - limit
            gauge = settling_gauge(short * factor, readings) if unit == "deg" and readings else _finer(short, unit)
        answers.append(
            RuleAnswer(what, low, high, doubt, limit, unit, at_most, rule.name, version, version == rule.in_force,
                       verdict, gauge)
        )  # fmt: skip
    return tuple(answers)


def _finer(short: float, unit: str) -> str:
    return f"measure it with a standard deviation of no more than {_shown(abs(short) / SURE)} {unit}".rstrip(" -")


def settling_gauge(margin_rad: float, readings: int) -> str:
    """Which angle gauge could settle a margin made of so many readings, the coarsest first; or how fine it must be.

    Parameters
    ----------
    margin_rad : float
        room to the limit, on either side of it [rad]
    readings : int
        readings that add up to the angle: 2 for the angle of one joint; sqrt(readings) times one reading's doubt

    Raises
    ------
    ValueError
        for no reading

    >>> settling_gauge(math.radians(0.5), 2)
    'cannot tell with this gauge: take it with digital (give or take 0.2 deg a reading)'
    """
    if readings < 1:
        raise ValueError("an angle takes at least one reading")
    need = abs(margin_rad) / (SURE * math.sqrt(readings))
    gauges = sorted((i for i in DEFAULT_INSTRUMENTS.values() if i.measures == "angle"), key=lambda i: -i.limit)
    for gauge in gauges:
        if gauge.sd(0.0) <= need:
            return (f"cannot tell with this gauge: take it with {gauge.name} (give or take "
                    f"{math.degrees(gauge.limit):.3g} deg a reading)")  # fmt: skip
    finest = gauges[-1]
    times = math.ceil((finest.sd(0.0) / need) ** 2) if need > 0.0 else 0
    if 2 <= times <= 16:
        return (f"cannot tell with this gauge: take the mean of {times} readings with {finest.name}, turned about "
                "between them")  # fmt: skip
    return (f"cannot tell with any gauge at hand: the angle lies within {math.degrees(abs(margin_rad)):.2g} deg of the "
            "limit; keep away from it")  # fmt: skip


def gauge_sd_rad(instrument: str, readings: int) -> float:
    """Standard deviation [rad] of an angle that is the sum or difference of so many readings of one gauge.

    An operating angle takes 2, the difference of two operating angles that share the shaft's reading counts it twice:
    1 + 4 + 1 = 6 where both joints bend the same way about it.

    Raises
    ------
    ValueError
        for an instrument that measures no angle, or no reading

    >>> round(math.degrees(gauge_sd_rad("dial", 2)), 3)
    0.816
    """
    found = DEFAULT_INSTRUMENTS.get(instrument)
    if found is None or found.measures != "angle":
        known = ", ".join(i.name for i in DEFAULT_INSTRUMENTS.values() if i.measures == "angle")
        raise ValueError(f"no angle gauge is called '{instrument}'; known: {known}")
    if readings < 1:
        raise ValueError("an angle takes at least one reading")
    return found.sd(0.0) * math.sqrt(readings)
