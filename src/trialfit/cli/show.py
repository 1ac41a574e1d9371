"""Tables and sentences on the screen, in the builder's own unit. Quiet when piped: no colour, no boxes."""

import math
import re
from collections.abc import Sequence
from dataclasses import replace

from rich.console import Console
from rich.markup import escape
from rich.table import Table

from trialfit import units
from trialfit.checks import Results, left_out
from trialfit.doubt import Weighed, for_people, pose_words
from trialfit.findings import SURE, Finding, Verdict
from trialfit.survey import Advice, Survey, amount_words
from trialfit.vehicle import Settings

_STYLE = {
    Verdict.FITS: "", Verdict.FITS_AFTER_WORK: "bold", Verdict.DOES_NOT_FIT: "bold reverse",
    Verdict.CANNOT_TELL: "bold underline",
}
_FINE_SHOWN = 5


def _console() -> Console:
    console = Console(highlight=False)
    return console if console.is_terminal else Console(highlight=False, width=160)


def length(mm: float, settings: Settings) -> str:
    """A length in the builder's unit."""
    return units.length_text(mm, settings.units, settings.fraction)


def told(text: str, settings: Settings) -> str:
    """A sentence with its lengths in the builder's unit."""
    return units.retold(text, settings.units, settings.fraction)


def small(mm: float, settings: Settings) -> str:
    return f"{mm:.1f} mm" if settings.units == "metric" else f"{mm / 25.4:.2f} in"


def _table(*columns: str) -> Table:
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="dim")
    for name in columns:
        right = name.startswith(">")
        table.add_column(name.lstrip(">"), justify="right" if right else "left", no_wrap=right)
    return table


def findings(results: Results, found: Sequence[Finding]) -> None:
    """The answer of ``check``: what is open, worst first, then what fits, in short.

    What is said of left and right alike is told once, and so is a caution.
    """
    console = _console()
    settings = results.build.settings
    open_ = twins_joined([f for f in for_people(found) if f.verdict is not Verdict.FITS])
    fine = [f for f in found if f.verdict is Verdict.FITS]
    counts = {v: len(fine) if v is Verdict.FITS else sum(f.verdict is v for f in open_) for v in Verdict}
    cautions: set[str] = set()
    console.print(f"[bold]{escape(results.build.name)}[/bold]  "
                  + ", ".join(f"{n} {v.value}" for v, n in counts.items() if n))
    for f in open_:
        console.print()
        console.print(f"[{_STYLE[f.verdict]}]{f.verdict.value}[/]  {f.name}" if _STYLE[f.verdict]
                      else f"{f.verdict.value}  {f.name}")
        console.print(f"  {told(f.reason, settings)}", markup=False)
        if f.remedy:
            console.print(f"  do: {told(f.remedy, settings)}", markup=False)
        if f.caution and f.caution not in cautions:
            cautions.add(f.caution)
            console.print(f"  caution: {told(f.caution, settings)}", markup=False)
        about = "; ".join(part for part in (f.rule, f.source, "" if f.where is None else str(f.where)) if part)
        if about:
            console.print(f"  ({about})", markup=False, style="dim")
    if fine:
        console.print()
        least = [f for f in fine if f.margin is not None][:_FINE_SHOWN]
        console.print(f"{len(fine)} fit." + (" Closest:" if least else ""))
        table = _table("what", ">margin", ">give or take")
        for f in least:
            assert f.margin is not None
            doubt = "" if f.sd is None else f"{SURE * f.sd:.2f} {f.unit}"
            table.add_row(f.name, told(f"{f.margin:.2f} {f.unit}", settings), told(doubt, settings))
        if least:
            console.print(table)


_LEFT, _RIGHT = re.compile(r"\bleft\b"), re.compile(r"\bright\b")


def _sideless(text: str) -> str:
    return _RIGHT.sub("left", text)


def twins_joined(found: Sequence[Finding]) -> list[Finding]:
    """The findings with left and right of one thing as one, where the same is said of both.

    >>> pair = [Finding(f"mate.wheel-{side}.bore", Verdict.FITS, f"wheel {side}: 1 mm") for side in ("left", "right")]
    >>> [(f.name, f.reason) for f in twins_joined(pair)]
    [('mate.wheel-left.bore, and right', 'wheel, left and right: 1 mm')]
    """
    def said(f: Finding) -> tuple[str, Verdict, str, str]:
        return _sideless(f.name), f.verdict, _sideless(f.reason), _sideless(f.remedy)

    one_side = [f for f in found if bool(_LEFT.search(f.name)) is not bool(_RIGHT.search(f.name))]
    rights = {said(f): f for f in one_side if _RIGHT.search(f.name)}
    lefts = {said(f) for f in one_side if _LEFT.search(f.name)}
    joined: list[Finding] = []
    for f in found:
        twin = rights.get(said(f))
        if twin is None or said(f) not in lefts:
            joined.append(f)
        elif f is not twin:
            joined.append(_both_sides(f, twin))
    return joined


def _both_sides(left: Finding, right: Finding) -> Finding:
    head, colon, rest = left.reason.partition(": ")
    if colon and _LEFT.search(head):
        both = f"{_LEFT.sub('', head).replace('  ', ' ').strip()}, left and right"
        reason = f"{both}: {_either(rest, right.reason.partition(': ')[2])}"
    else:
        reason = f"left and right: {_either(left.reason, right.reason)}"
    return replace(left, name=f"{left.name}, and right", reason=reason, remedy=_either(left.remedy, right.remedy))


def _either(left: str, right: str) -> str:
    """Two texts that differ in the side only, as one; what is "left" in both is what remains of something."""
    words = zip(re.split(r"\b(left|right)\b", left), re.split(r"\b(left|right)\b", right), strict=True)
    return "".join(a if a == b else f"{a} ({b})" for a, b in words)


def survey(solved: Survey, advice: Sequence[Advice]) -> None:
    """The answer of ``survey``."""
    console = _console()
    settings = solved.build.settings
    console.print(f"[bold]{escape(solved.build.name or 'Survey')}[/bold]  {len(solved.readings)} readings, "
                  f"{len(solved.names)} hardpoints")
    for s in solved.suspects:
        where = "" if s.where is None else f"  ({s.where})"
        console.print(f"\n[bold reverse]misread?[/]  {escape(s.reading)}: "
                      f"{told(amount_words(s.off, s.is_angle), settings)}"
                      f", give or take "
                      f"{told(_amount(SURE * s.off_sd, s.is_angle), settings)}{where}")
        if s.guess:
            console.print(f"  guess: {s.guess}", markup=False)
        if s.either_of:
            console.print(f"  it may as well be one of: {', '.join(s.either_of)}", markup=False)
        console.print("  do: read it once more; nothing is corrected by itself")
    for a in solved.ambiguous:
        console.print(f"\n[bold underline]two places[/]  {a.point}: {escape(a.question)}")
    for u in solved.unsolved:
        console.print(f"\n[bold underline]not enough[/]  {escape(u.point)}: {escape(u.measure)}")
    for text in (*solved.ties, *solved.broken_hints):
        console.print(f"\n[bold underline]look[/]  {escape(text)}")
    if solved.names:
        console.print()
        table = _table("hardpoint", ">station", ">offset", ">height", ">give or take", "")
        alone = _unchecked(solved)
        for name in solved.names:
            x, y, z = solved.point(name)
            table.add_row(name, length(x, settings), length(y, settings), length(z, settings),
                          small(SURE * solved.doubt_mm(name), settings),
                          f"nothing checks its {alone[name]}" if name in alone else "")
        console.print(table)
    if solved.sizes:
        table = _table("size", ">", ">give or take")
        for name, (mm, sd) in solved.sizes.items():
            table.add_row(name, length(mm, settings), small(SURE * sd, settings))
        console.print(table)
    for note in solved.notes:
        console.print(f"note: {note}", markup=False)
    if advice:
        console.print("\n[bold]Measure next[/]")
        for offer in advice:
            console.print(f"  {offer.words}: doubt {small(SURE * offer.before_mm, settings)} -> "
                          f"{small(SURE * offer.after_mm, settings)}", markup=False)
    console.print("\nstation rearward, offset to the right, height up; give or take: 95 %", style="dim")


def _unchecked(solved: Survey) -> dict[str, str]:
    """Hardpoint to the readings of it that nothing checks, in words."""
    unseen = set(solved.unchecked_readings)
    found: dict[str, list[str]] = {}
    for reading in solved.build.readings:
        if reading.identity in unseen:
            for point in reading.points:
                kinds = found.setdefault(point, [])
                if reading.kind.value not in kinds:
                    kinds.append(reading.kind.value)
    return {point: ", ".join(kinds) for point, kinds in found.items()}


def _amount(value: float, is_angle: bool) -> str:
    return f"{math.degrees(value):.2f} deg" if is_angle else f"{value:.1f} mm"


def sweep(results: Results, weighed: Sequence[Weighed]) -> None:
    """The answer of ``sweep``."""
    console = _console()
    settings = results.build.settings
    for f in results.findings:
        if f.name.startswith("travel."):
            console.print(f"[bold underline]{f.verdict.value}[/]  {f.reason}\n  do: {f.remedy}")
    if results.travel is not None and results.story is not None:
        travel, story = results.travel, results.story
        console.print(f"[bold]{escape(results.build.name)}[/bold]  heave {length(float(travel.lo[0]), settings)} to "
                      f"{length(float(travel.hi[0]), settings)}, roll "
                      f"{math.degrees(float(travel.hi[1])):.1f} deg each way")
        table = _table(">heave", ">pinion", ">to the right", ">rearward", *(f">{s.name}" for s in story.spans[:4]))
        for row in story.rows:
            table.add_row(small(row.heave_mm, settings), f"{row.pinion_deg:+.2f} deg",
                          small(row.lateral_mm, settings), small(row.fore_aft_mm, settings),
                          *(small(v, settings) for v in row.lengths_mm[:4]))
        console.print(table)
        console.print()
        lengths = _table("between two bodies", ">at ride", ">shortest", ">longest")
        for s in story.spans:
            lengths.add_row(s.name, small(s.ride_mm, settings), small(s.length_mm.least, settings),
                            small(s.length_mm.most, settings))
        console.print(lengths)
        for note in travel.notes:
            console.print(f"note: {note}", markup=False)
    if weighed:
        console.print()
        table = _table("gap", ">never under", ">met", ">wanted", ">give or take", "verdict", "worst")
        order = sorted(weighed, key=lambda w: w.margin_mm)
        for w in order:
            a = w.answer
            table.add_row(f"{a.pair.a.name} / {a.pair.b.name}", small(a.lower_mm, settings),
                          small(a.upper_mm, settings) if a.closed else "-", small(a.pair.required_mm, settings),
                          "" if w.sd_mm is None else small(SURE * w.sd_mm, settings), w.verdict.value,
                          told(pose_words(a.pose), settings) if a.closed else "-")
        console.print(table)
        console.print("\nthe true smallest gap lies between 'never under' and 'met' over the whole "
                      "continuous travel; '-': far enough, the worst pose was not sought", style="dim")
        for a_name, b_name, point in left_out(results.build):
            console.print(f"not asked: {a_name} / {b_name}, both hang on {point}", markup=False, style="dim")
