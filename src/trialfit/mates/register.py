"""A spigot in a bore: what centres a wheel, a rotor, a flange or a gearbox, and what makes it fit when it does not.

Two sizes, the fit wanted, and what may be done to either. The spigot may be turned down, the bore opened, or a ring
made to fill the gap; each work carries its target, the surface it runs true to, what must not be done, and a drawing.
"""

from dataclasses import dataclass

from trialfit.findings import SURE, Verdict
from trialfit.mates.answer import Answer, Sized, Target, Work
from trialfit.mates.figure import Step, Turned
from trialfit.mates.gauged import gauged, not_known
from trialfit.mates.judging import apart
from trialfit.parts import Fact
from trialfit.standards import rule
from trialfit.standards.fits import fit, limits

CAUTION = (
    "A register carries and centres what turns. Have it worked in a lathe by a machine shop, never by hand, and have a "
    "wheel, brake or driveline part looked over by someone licensed where the law asks for it."
)
NEVER = (
    "building up with weld: hubs and axle shafts must not be welded on",
    "heating the part",
    "filing, or grinding by hand",
)
"""What must not be done to a register, whatever the part."""
_AS_FOUND_MM = 10.0
"""length drawn where the length is as found and nobody said it"""


@dataclass(frozen=True, slots=True)
class Register:
    """One spigot in one bore, and what may be done to them.

    ``clearance_mm`` is least and most clearance on the diameter; None takes what ``hole_zone`` and ``spigot_zone``
    give together. ``keep`` is a register beside the spigot's that must stay as it is, nearer to the flange,
    ``keep_height_mm`` how high; ``hollow`` the hole inside the spigot; ``web`` the metal from the bore's edge to the
    nearest hole. ``least_wall_mm`` must be left of the spigot's wall (when it is turned), of the web (when the bore is
    opened), and of the ring; a wall that is asked for and unknown cannot be told.
    """

    question: str
    bore: Fact | None
    spigot: Fact | None
    bore_part: str
    bore_place: str
    spigot_part: str
    spigot_place: str
    hole_zone: str = "H7"
    spigot_zone: str = "h6"
    clearance_mm: tuple[float, float] | None = None
    may_turn: bool = False
    may_open: bool = False
    may_ring: bool = False
    ring_height_mm: float | None = None
    true_to: str = ""
    forbidden: tuple[str, ...] = ()
    least_wall_mm: float | None = None
    source: str = ""
    hollow: Fact | None = None
    keep: Fact | None = None
    keep_place: str = "register beside it"
    keep_height_mm: float | None = None
    height_mm: float | None = None
    web: Fact | None = None
    ring_material: str = "aluminium"
    runout_mm: float | None = None
    datum: str = "face of the flange"
    rule: str = ""
    caution: str = CAUTION


def register(r: Register) -> Answer:
    """Whether a spigot goes into its bore with the clearance wanted, or after which work.

    Form is left out: a bore or spigot that is not round can measure right and still bind or wobble (unsafe side), so
    both want measuring in two directions.

    Parameters
    ----------
    r : Register
        sizes [mm] and what may be done

    Returns
    -------
    Answer
        margin: clearance beyond what is asked [mm]

    Raises
    ------
    ValueError
        for a size or zone that the fits do not hold, or crossed clearances

    Source: ISO 286-1 for fits; GUM (JCGM 100:2008) for the doubt.

    >>> wheel = Register("bore", Fact(67.10, 0.01), Fact(70.50, 0.01), "wheel", "bore", "hub", "wheel register",
    ...                  may_turn=True, clearance_mm=(0.05, 0.15))
    >>> answer = register(wheel)
    >>> answer.verdict.value, answer.works[0].kind, round(answer.works[0].target.high_mm, 3)
    ('fits after work', 'turn down', 67.05)
    """
    if r.bore is None:
        return not_known(r.question, f"the {r.bore_place} of {r.bore_part}", _measure_bore(r), caution=r.caution)
    if r.spigot is None:
        return not_known(r.question, f"the {r.spigot_place} of {r.spigot_part}", _measure_spigot(r), caution=r.caution)
    least, most = _wanted(r, r.bore.value)
    gap, sd = apart(r.bore, r.spigot)
    sizes = f"{r.bore_place} {r.bore.value:.2f} mm on {r.spigot_place} {r.spigot.value:.2f} mm"
    asked = f"{least:.2f} to {most:.2f} mm is wanted"
    words = f"{gap:.2f} mm clearance" if gap >= 0.0 else f"{-gap:.2f} mm too small"
    tight = gap < least
    works, why_not = _works(r, r.bore, r.spigot, tight)
    answer = gauged(
        r.question, gap, sd, least, most,
        good=f"{sizes}: {words}, {asked}", bad=f"{sizes}: {words}, {asked}{'; ' if why_not else ''}{why_not}",
        measure=f"{_measure_bore(r)}; {_measure_spigot(r)}", works=works, rule=r.rule,
        source=r.source or "ISO 286-1", caution=r.caution,
        remedy="" if works else "exchange one of the two parts for one of the right size",
    )  # fmt: skip
    if answer.verdict is Verdict.FITS_AFTER_WORK and (open_ := _left(r, works[0])) is not None:
        return open_
    return answer


def _wanted(r: Register, nominal_mm: float) -> tuple[float, float]:
    if r.clearance_mm is not None:
        least, most = r.clearance_mm
        if least > most:
            raise ValueError(f"the least clearance {least:g} mm lies above the greatest {most:g} mm")
        return least, most
    made = fit(nominal_mm, r.hole_zone, r.spigot_zone)
    return made.least_mm, made.most_mm


def _measure_bore(r: Register) -> str:
    return (
        f"measure the {r.bore_place} of {r.bore_part} with an inside micrometer or calliper, in two directions across, "
        "on clean bare metal"
    )


def _measure_spigot(r: Register) -> str:
    return (
        f"measure the {r.spigot_place} of {r.spigot_part} with a micrometer or calliper, in two directions, on clean "
        "bare metal below the chamfer"
    )


def _works(r: Register, bore: Fact, spigot: Fact, tight: bool) -> tuple[tuple[Work, ...], str]:
    """The work that makes it fit, () when there is none; and why not."""
    if tight:
        if r.may_turn:
            return (_turn_down(r, bore, spigot),), ""
        if r.may_open:
            return (_open_up(r, bore, spigot),), ""
        return (), "neither may be worked"
    wall = (bore.value - spigot.value) / 2.0
    if not r.may_ring:
        return (), "nothing fills the gap here"
    thinnest = r.least_wall_mm if r.least_wall_mm is not None else rule("ring-wall").in_force.value
    if wall < thinnest:
        return (), f"a ring would have {wall:.2f} mm of wall, {thinnest:.2f} mm at least is asked"
    return (_ring(r, bore, spigot),), ""


def _turn_down(r: Register, bore: Fact, spigot: Fact) -> Work:
    least, most = _wanted(r, bore.value)
    target = _target(bore.value, bore.value - most, bore.value - least, r.spigot_zone, r)
    words = f"turn the {r.spigot_place} down from {spigot.value:.2f} mm to {_span(target)}"
    if r.keep is not None and r.keep.value > target.high_mm:
        words += f", which leaves a step of {(r.keep.value - target.high_mm) / 2.0:.2f} mm to the {r.keep_place}"
    if r.hollow is None:
        words += f"; first measure the hole inside it: {_least_wall(r):.1f} mm of wall at least must be left"
    keep = (f"touching the {r.keep_place}: it stays as it is",) if r.keep is not None else ()
    hollow = 0.0 if r.hollow is None else r.hollow.value
    steps = []
    if r.keep is not None:
        steps.append(Step(
            r.keep_height_mm or _AS_FOUND_MM, r.keep.value, hollow, f"{r.keep.value:.2f} stays, do not touch",
            length_words=_length(r.keep_height_mm),
        ))  # fmt: skip
    steps.append(Step(
        r.height_mm or _AS_FOUND_MM, target.nominal_mm, hollow, f"{target.low_mm:.3f} to {target.high_mm:.3f}",
        worked="outer", length_words=_length(r.height_mm),
    ))  # fmt: skip
    title = f"{r.spigot_part}: {r.spigot_place} turned down"
    return Work(
        r.spigot_part, "turn down", r.spigot_place, words + _bring(r.bore_part, r.bore_place, bore, least, most),
        spigot, target, _true_to(r), _runout(r), (*r.forbidden, *keep, *NEVER), Turned(title, r.datum, tuple(steps)),
    )  # fmt: skip


def _open_up(r: Register, bore: Fact, spigot: Fact) -> Work:
    least, most = _wanted(r, spigot.value)
    target = _target(spigot.value, spigot.value + least, spigot.value + most, r.hole_zone, r)
    words = f"open the {r.bore_place} from {bore.value:.2f} mm to {_span(target)}"
    outside = target.nominal_mm + (30.0 if r.web is None else 2.0 * r.web.value)
    step = Step(
        r.height_mm or _AS_FOUND_MM, outside, target.nominal_mm, "",
        f"{target.low_mm:.3f} to {target.high_mm:.3f}", worked="inner", length_words=_length(r.height_mm),
    )  # fmt: skip
    title = f"{r.bore_part}: {r.bore_place} opened"
    return Work(
        r.bore_part, "open up", r.bore_place, words + _bring(r.spigot_part, r.spigot_place, spigot, least, most),
        bore, target, _true_to(r), _runout(r), (*r.forbidden, *NEVER), Turned(title, "mounting face", (step,)),
    )  # fmt: skip


def _ring(r: Register, bore: Fact, spigot: Fact) -> Work:
    least, most = _wanted(r, bore.value)
    # the clearance wanted is shared by the two sides of the ring
    outside = _target(bore.value, bore.value - most / 2.0, bore.value - least / 2.0, r.spigot_zone, r)
    inside = _target(spigot.value, spigot.value + least / 2.0, spigot.value + most / 2.0, r.hole_zone, r)
    wall = (bore.value - spigot.value) / 2.0
    height = "" if r.ring_height_mm is not None else "; its height is still to be measured: that of the register"
    words = f"make a ring of {r.ring_material}: outside {_span(outside)}, inside {_span(inside)}, "
    words += f"which leaves {least:.2f} to {most:.2f} mm on both together; wall {wall:.2f} mm{height}"
    step = Step(
        r.ring_height_mm or _AS_FOUND_MM, outside.nominal_mm, inside.nominal_mm,
        f"{outside.low_mm:.3f} to {outside.high_mm:.3f}, {outside.fit}",
        f"{inside.low_mm:.3f} to {inside.high_mm:.3f}, {inside.fit}", worked="both",
        length_words=f"{r.ring_height_mm:.2f}" if r.ring_height_mm is not None else "to be measured",
    )  # fmt: skip
    return Work(
        r.bore_part, "make a ring", f"between {r.bore_place} and {r.spigot_place}",
        words + _bring(r.bore_part, r.bore_place, bore, least, most), bore, outside, "bore of the ring", _runout(r),
        (*r.forbidden, "gluing or welding the ring in", "a ring that stands proud of the mounting face"),
        Turned(f"ring between {r.bore_part} and {r.spigot_part}", "either face", (step,)),
        f"outside, in the {r.bore_place} of {r.bore_part}",
        (Sized(f"inside, on the {r.spigot_place} of {r.spigot_part}", spigot, inside),),
    )  # fmt: skip


def _target(nominal_mm: float, low_mm: float, high_mm: float, zone: str, r: Register) -> Target:
    """The zone where it lies wholly within what the clearance allows; else what the clearance allows, and of the zone
    no more than its limits: it is then that zone no longer."""
    zone_low, zone_high = limits(nominal_mm, zone)
    both_low, both_high = max(low_mm, zone_low), min(high_mm, zone_high)
    if (both_low, both_high) == (zone_low, zone_high):
        return Target(nominal_mm, both_low, both_high, f"{nominal_mm:.2f} {zone}", "ISO 286-1")
    if r.clearance_mm is None and both_high > both_low:
        return Target(nominal_mm, both_low, both_high, _own(nominal_mm, both_low, both_high), "ISO 286-1")
    return Target(nominal_mm, low_mm, high_mm, _own(nominal_mm, low_mm, high_mm), r.source or "clearance wanted")


def _own(nominal_mm: float, low_mm: float, high_mm: float) -> str:
    """The clearance of one diameter to the mate whose size is its nominal, in words."""
    ends = sorted((abs(low_mm - nominal_mm), abs(high_mm - nominal_mm)))
    # to a hundredth, or to a thousandth where one of the two needs it
    digits = 2 if all(abs(100.0 * end - round(100.0 * end)) < 0.05 for end in ends) else 3
    return f"clearance {ends[0]:.{digits}f} to {ends[1]:.{digits}f} mm"


def _span(target: Target) -> str:
    return f"between {target.low_mm:.3f} mm and {target.high_mm:.3f} mm ({target.fit})"


def _bring(part: str, place: str, mate: Fact, least: float, most: float) -> str:
    """What to do first when the mate's own size is not known well enough to work to."""
    if mate.sd is not None and SURE * mate.sd <= (most - least) / 2.0:
        return ""
    known = "" if mate.sd is None else f", known to {SURE * mate.sd:.2f} mm either way only"
    return (
        f"; take {part} along to the shop and work to its {place} as measured there with a micrometer{known} (the fit "
        f"leaves {(most - least) / 2.0:.3f} mm either way)"
    )


def _length(height_mm: float | None) -> str:
    return "as found" if height_mm is None else f"{height_mm:.2f} as found"


def _true_to(r: Register) -> str:
    return r.true_to or "the part's own bearing seats and mounting face"


def _runout(r: Register) -> float:
    return rule("register-runout").in_force.value if r.runout_mm is None else r.runout_mm


def _least_wall(r: Register) -> float:
    return rule("register-wall").in_force.value if r.least_wall_mm is None else r.least_wall_mm


def _left(r: Register, work: Work) -> Answer | None:
    """The answer when too little metal would be left, or when that cannot be told; None when enough is."""
    if work.target is None or work.found is None:
        return None
    least = 0.0 if r.least_wall_mm is None else r.least_wall_mm
    if work.kind == "turn down":
        what, known = "wall of the spigot", r.hollow
        left = None if known is None else (work.target.low_mm - known.value) / 2.0
        measure = f"measure the hole inside the {r.spigot_place} of {r.spigot_part} with an inside calliper"
        share = 0.5
        least = _least_wall(r)
    elif work.kind == "open up":
        what, known = "web to the nearest hole", r.web
        left = None if known is None else known.value - (work.target.high_mm - work.found.value) / 2.0
        measure = f"measure from the edge of the {r.bore_place} of {r.bore_part} to the edge of the nearest hole"
        share = 1.0
    else:
        return None
    if known is None or left is None:
        return None if r.least_wall_mm is None else not_known(
            r.question, f"how much of the {what} would be left after the work", measure, source=r.source,
            caution=r.caution,
        )  # fmt: skip
    sd = None if known.sd is None else share * known.sd
    found = gauged(
        r.question, left, sd, least, float("inf"), good=f"{left:.2f} mm of the {what} would be left",
        bad=f"{work.words}: {left:.2f} mm of the {what} would be left, {least:.2f} mm at least is asked",
        measure=measure, rule=r.rule, source=r.source, caution=r.caution,
        remedy="exchange one of the two parts for one of the right size",
    )  # fmt: skip
    return None if found.verdict is Verdict.FITS else found
