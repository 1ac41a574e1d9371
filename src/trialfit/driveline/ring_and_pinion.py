"""What ring and pinion are set to, whose figure that is, and how a new set is run in.

The figure of the axle or of the gear set goes before everything else; what other axles' manuals say is kept beside it,
for orientation, and nothing may be set up from that alone.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from trialfit.driveline.order_fields import Given
from trialfit.findings import Finding, Verdict, verdict_on
from trialfit.standards import nearest, refuse_outside, rule, table
from trialfit.units import internal

_QUANTITY = {
    "backlash": ("Backlash, at the outer end of a ring gear tooth", "mm", 0.02, 1.0),
    "backlash-variation": ("Greatest difference of backlash round the ring gear", "mm", 0.005, 0.5),
    "preload-new": ("Preload of the pinion bearings, new: torque to keep the pinion turning", "N*m", 0.1, 15.0),
    "preload-used": ("Preload of the pinion bearings, used: torque to keep the pinion turning", "N*m", 0.1, 15.0),
}

CRUSH_SLEEVE = (
    ("Never back the pinion nut off to get less preload. A sleeve once crushed too far gives no clamp any more: take "
     "it out and begin again with a new one."),
    "Tighten in small steps and turn the pinion between them: preload comes suddenly at the end.",
    ("With a crush sleeve the pinion flange comes off once only after assembly, then a new sleeve goes in. So choose "
     "the yoke or flange before the gear job."),
)
"""Source: truck service manuals, ring and pinion; service manual, pinion flange run-out; the second from memory."""
SOLID_SPACER = (
    ("Preload is set by the thickness of the shims beside the solid spacer: thinner gives more. The nut goes to its "
     "full torque every time."),
)
"""Source: from memory."""
OIL = (
    ("Oil: type, thickness and amount from the axle's own sheet, for this carrier; with clutches the additive they ask "
     "for (common practice, no source)."),
    ("Fill with the vehicle level, up to the lower edge of the fill hole unless the axle's sheet says otherwise "
     "(common practice, no source). Never run a dry axle, not even on stands."),
)
CAUTIONS = (
    ("A pinion bearing set too tight runs hot and can seize at speed; one set too loose lets the gears climb. Where "
     "the axle's own figure is not at hand, or the pattern does not come right, give the work to a differential shop."),
    ("Vehicle on stands on firm level ground, both ends held: never on a jack alone. Heavy carrier: lift it with "
     "help."),
    ("Fingers and rags away from turning gears. Eye protection when bearings are pressed or driven. Hot bearings "
     "burn."),
    ("Tighten ring gear and cap bolts in the order and to the torque of the axle's own sheet; look whether ring gear "
     "bolts have a left-hand thread. Mark caps left and right: they are no pair."),
    ("Wheels off the ground do turn: nobody under the vehicle, and brakes and wheel nuts done before the first run. "
     "Local codes and licensed practice come first."),
)


@dataclass(frozen=True, slots=True)
class Span:
    """A figure from ``low`` to ``high`` in the internal unit, with its origin and source."""

    low: float
    high: float
    origin: str
    source: str


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting: its own figure if the builder has it, and what manuals of other axles say."""

    name: str
    quantity: str
    unit: str
    own: Span | None
    others: tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class BreakInStep:
    """One stage of the first kilometres."""

    name: str
    from_km: float
    to_km: float
    from_miles: float
    to_miles: float
    words: str


@dataclass(frozen=True, slots=True)
class RingAndPinion:
    """Everything the sheet says. ``missing`` names the settings without a figure of their own that must have one."""

    settings: tuple[Setting, ...]
    bearings: str
    sleeve: str
    sleeve_words: tuple[str, ...]
    oil: tuple[str, ...]
    break_in: tuple[BreakInStep, ...]
    break_in_source: str
    cautions: tuple[str, ...]
    missing: tuple[Setting, ...]

    @property
    def may_set_up(self) -> bool:
        """Whether every setting that must have the axle's own figure has it."""
        return not self.missing

    def setting(self, name: str) -> Setting:
        """The setting called ``name``.

        Raises
        ------
        KeyError
            when there is none
        """
        for one in self.settings:
            if one.name == name:
                return one
        raise KeyError(f"no setting is called '{name}'; {nearest(name, _QUANTITY)}")


def ring_and_pinion(own: Mapping[str, tuple[float, float, str]], bearings: str, sleeve: str,
                    oil: str = "") -> RingAndPinion:
    """Settings, warnings and break-in of one axle.

    Parameters
    ----------
    own : mapping of str to (low, high, source)
        the axle's or gear set's own figures for ``backlash``, ``backlash-variation``, ``preload-new``,
        ``preload-used`` in the internal units (mm, N*mm), and the sheet they stand in
    bearings : str
        ``new`` or ``used``: which preload must be known
    sleeve : str
        ``crush sleeve`` or ``solid spacer``
    oil : str
        the oil by the axle's own sheet, as the builder wrote it

    Returns
    -------
    RingAndPinion
        it may not be set up from while a figure of the axle's own is missing

    Raises
    ------
    ValueError
        for a setting that is not known, a figure out of range or without its source, or another word

    Source: truck service manuals, ring and pinion; gear shop and magazine advice on break-in.

    >>> found = ring_and_pinion({"backlash": (0.15, 0.25, "axle's manual, invented")}, "new", "crush sleeve")
    >>> found.may_set_up, [s.name for s in found.missing]
    (False, ['preload-new'])
    """
    if bearings not in ("new", "used"):
        raise ValueError(f"bearings are '{bearings}'; write new or used")
    if sleeve not in ("crush sleeve", "solid spacer"):
        raise ValueError(f"between the pinion bearings is '{sleeve}'; write crush sleeve or solid spacer")
    for name in own:
        if name not in _QUANTITY:
            raise ValueError(f"no setting is called '{name}'; {nearest(name, _QUANTITY)}")
    settings = tuple(Setting(name, quantity, unit, _own(name, own.get(name)), _others(name))
                     for name, (quantity, unit, _, _) in _QUANTITY.items())
    must = {"backlash", f"preload-{bearings}"}
    steps = tuple(BreakInStep(r["key"], float(r["from"]), float(r["to"]), float(r["from_miles"]),
                              float(r["to_miles"]), r["words"])
                  for r in table("gear_break_in").rows)
    lines = (f"Oil of this axle: {oil}.", *OIL[1:]) if oil else OIL
    return RingAndPinion(settings, bearings, sleeve, CRUSH_SLEEVE if sleeve == "crush sleeve" else SOLID_SPACER, lines,
                         steps, table("gear_break_in").source, CAUTIONS,
                         tuple(s for s in settings if s.name in must and s.own is None))


def _own(name: str, figure: tuple[float, float, str] | None) -> Span | None:
    if figure is None:
        return None
    low, high, source = figure
    quantity, unit, least, most = _QUANTITY[name]
    # what must stay under a figure has nought for its low end
    for amount in (high,) if low == 0.0 and name == "backlash-variation" else (low, high):
        refuse_outside(quantity, amount, internal(least, unit), internal(most, unit), unit)
    if low > high:
        raise ValueError(f"{quantity}: the lower figure is the larger one; write the lower one first")
    if not source.strip():
        raise ValueError(f"{quantity}: say which sheet the figure stands in")
    return Span(low, high, "the axle's own", source.strip())


def _others(name: str) -> tuple[Span, ...]:
    if name == "backlash":
        # the rule keeps one low end and two high ends: one span for each high end
        versions = sorted(rule("ring-gear-backlash").versions, key=lambda v: v.value)
        return tuple(Span(versions[0].value, v.value, v.kind, v.source) for v in versions[1:])
    if name == "backlash-variation":
        versions = list(rule("ring-gear-backlash-variation").versions)
        return tuple(Span(0.0, v.value, v.kind, v.source) for v in versions)
    source = table("ring_and_pinion").source
    return tuple(Span(internal(float(r["low"]), r["unit"]), internal(float(r["high"]), r["unit"]), r["kind"],
                      f"{source}: {r['origin']}")
                 for r in table("ring_and_pinion").rows if r["setting"] == name)


def backlash_findings(found: RingAndPinion, readings: Sequence[Given]) -> list[Finding]:
    """Whether backlash, read round the ring gear, lies within the axle's own figure and is even.

    Two of the places with the least and the greatest reading decide; the dial gauge's error counts in full.

    Parameters
    ----------
    found : RingAndPinion
        with the axle's own figure
    readings : sequence of Given
        backlash at three places or more round the ring gear, with doubt [mm]

    Raises
    ------
    ValueError
        for fewer than three readings, or one that is no amount of 0 mm to 2 mm

    Source: truck service manuals, ring and pinion, for the variation.
    """
    if len(readings) < 3:
        raise ValueError(f"{len(readings)} readings of backlash; take three or four places round the ring gear")
    values = []
    for reading in readings:
        if isinstance(reading.value, str):
            raise ValueError(f"a backlash reading is '{reading.value}'; it must be an amount, such as 0.18 mm")
        refuse_outside("backlash", reading.value, 0.0, 2.0, "mm")
        values.append((reading.value, reading.sd))
    least, most = min(values), max(values)
    return [_within(found.setting("backlash"), least, most), _even(found.setting("backlash-variation"), least, most)]


_Reading = tuple[float, float | None]


def _within(setting: Setting, least: _Reading, most: _Reading) -> Finding:
    name = "ring-and-pinion.backlash"
    if setting.own is None:
        return Finding(name, Verdict.CANNOT_TELL, "the axle's own backlash is not known", "find the axle's own figure",
                       unit="mm", source=setting.others[0].source)
    span = setting.own
    low, high = least[0] - span.low, span.high - most[0]
    margin, sd = (low, least[1]) if low <= high else (high, most[1])
    verdict = verdict_on(margin, margin, 0.0, sd)
    reason = (f"backlash {least[0]:.2f} to {most[0]:.2f} mm round the ring gear, wanted {span.low:.2f} to "
              f"{span.high:.2f} mm")
    remedy = "" if verdict is Verdict.FITS else (
        "move the ring gear closer to the pinion for less, away for more" if verdict is Verdict.DOES_NOT_FIT
        else "read it again with a finer dial gauge, at four places")
    return Finding(name, verdict, reason, remedy, margin, sd, "mm", "axle's own figure", span.source)


def _even(setting: Setting, least: _Reading, most: _Reading) -> Finding:
    span = setting.own or setting.others[0]
    sd = None if least[1] is None or most[1] is None else (least[1] ** 2 + most[1] ** 2) ** 0.5
    difference = most[0] - least[0]
    verdict = verdict_on(span.high - difference, span.high - difference, 0.0, sd)
    remedy = "" if verdict is Verdict.FITS else (
        "take the ring gear off, clean its seat, look for burrs and measure the run-out of the carrier"
        if verdict is Verdict.DOES_NOT_FIT else "read it again with a finer dial gauge, at four places")
    return Finding("ring-and-pinion.backlash-variation", verdict,
                   f"backlash differs by {difference:.2f} mm round the ring gear, at most {span.high:.2f} mm wanted",
                   remedy, span.high - difference, sd, "mm", "ring-gear-backlash-variation", span.source)
