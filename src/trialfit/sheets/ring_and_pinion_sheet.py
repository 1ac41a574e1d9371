"""Ring and pinion on paper: what to set, whose figure that is, how the pattern is read, and how it is run in."""

from trialfit.driveline.pattern import (
    Move,
    PatternRow,
    ShimPlace,
    pattern_rows,
    ring_gear_words,
    shim_place,
    shim_words,
)
from trialfit.driveline.ring_and_pinion import RingAndPinion, Setting, Span
from trialfit.findings import Finding
from trialfit.sheets.drawing import (
    FIGURE_BOLD,
    SMALL,
    SMALL_BOLD,
    SMALL_FIGURE,
    TEXT,
    TEXT_BOLD,
    Circle,
    Fill,
    Leaf,
    LineKind,
    Mark,
    Stroke,
    Words,
    rectangle,
)
from trialfit.sheets.marks import verdict_words
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta, Stop
from trialfit.sheets.pdf import pdf
from trialfit.units import in_unit

SHEET = "Ring and pinion"
_OTHER = {"mm": ("in", 3), "N*m": ("lbf*in", 0)}
_DIGITS = {"mm": 2, "N*m": 1}


def ring_and_pinion_sheet(found: RingAndPinion, meta: SheetMeta, place: str = "",
                          findings: tuple[Finding, ...] = ()) -> bytes:
    """Settings, pattern table, warnings and break-in as PDF.

    Parameters
    ----------
    found : RingAndPinion
        settings and words
    meta : SheetMeta
        what the foot says, and on which paper
    place : str
        where the pinion's shim lies, a key of ``pinion_shim_places``; empty when not known
    findings : tuple of Finding
        what was read already: backlash, pattern

    Raises
    ------
    ValueError
        when no shim place is called so
    """
    return pdf(ring_and_pinion_leaves(found, meta, place, findings), f"{meta.build}: ring and pinion")


def ring_and_pinion_leaves(found: RingAndPinion, meta: SheetMeta, place: str = "",
                           findings: tuple[Finding, ...] = ()) -> list[Leaf]:
    """The leaves of :func:`ring_and_pinion_sheet`."""
    at = shim_place(place) if place else None
    flow = Flow(meta, SHEET)
    flow.title("Ring and pinion", f"Pinion bearings {found.bearings}, {found.sleeve}.")
    flow.stop_bar(_stop(found))
    flow.still_to_fill_in([f"{s.quantity}: figure, and which sheet it stands in" for s in found.missing])
    _settings(flow, found)
    _findings(flow, findings)
    flow.section(f"The {found.sleeve}", 20.0)
    flow.points(found.sleeve_words, TEXT_BOLD if found.sleeve == "crush sleeve" else TEXT)
    _readings(flow)
    _pattern(flow, at)
    flow.section("Oil", 14.0)
    flow.points(found.oil)
    flow.section("The first kilometres", 24.0)
    flow.paragraph(f"From: {found.break_in_source}. The gear maker's own sheet goes first.", SMALL)
    flow.table((Column("From", 0.9, "right"), Column("to", 0.9, "right"), Column("", 0.1), Column("", 4.1)),
               [(_distance(s.from_km, s.from_miles), _distance(s.to_km, s.to_miles), "", s.words)
                for s in found.break_in])
    flow.section("Before you begin", 30.0)
    flow.points(found.cautions)
    return flow.finish()


def _distance(km: float, miles: float) -> tuple[Run, ...]:
    return Run(f"{km:.0f} km", FIGURE_BOLD), Run(f"{miles:.0f} miles", SMALL_FIGURE)


def _stop(found: RingAndPinion) -> Stop:
    if found.may_set_up:
        sources = "; ".join(s.own.source for s in found.settings if s.own is not None)
        return Stop(True, "set up", "Backlash and preload are the axle's own figures.", f"They stand in: {sources}.")
    first = found.missing[0]
    return Stop(False, "set up", f"The axle's own figure is not known: {first.quantity.lower()}.",
                "Find it in the sheet of the axle or of the gear set; figures of other axles are for orientation only.")


def _figures(span: Span, unit: str) -> tuple[str, str]:
    other, digits = _OTHER[unit]

    def told(name: str, decimals: int) -> str:
        low, high = (f"{in_unit(v, name):.{decimals}f}" for v in (span.low, span.high))
        shown = name.replace("*", "\u00b7")
        return f"at most {high} {shown}" if span.low == 0.0 else f"{low} to {high} {shown}"

    return told(unit, _DIGITS[unit]), told(other, digits)


def _settings(flow: Flow, found: RingAndPinion) -> None:
    flow.section("What it is set to", 30.0)
    rows: list[tuple[Cell, ...]] = []
    for setting in found.settings:
        rows.append((Run(setting.quantity, TEXT_BOLD), _own(setting), _others(setting)))
    others = "Other axles, for orientation only"
    columns = (Column("", 1.75), Column("The axle's own figure", 1.65), Column(others, 2.6))
    flow.table(columns, rows)
    flow.paragraph("Backlash at four places round the ring gear. Preload with the pinion turning, no seal drag, no "
                   "ring gear, unless the axle's own sheet says otherwise.", SMALL)


def _own(setting: Setting) -> tuple[Run, ...]:
    if setting.own is None:
        return (Run("not known", TEXT),)
    metric, other = _figures(setting.own, setting.unit)
    return Run(metric, FIGURE_BOLD), Run(other, SMALL_FIGURE), Run(setting.own.source, SMALL)


def _others(setting: Setting) -> tuple[Run, ...]:
    runs: list[Run] = []
    for span in setting.others:
        metric, other = _figures(span, setting.unit)
        runs += [Run(f"{metric}, {other}", SMALL_FIGURE), Run(span.source, SMALL)]
    return tuple(runs) or (Run("", SMALL),)


def _findings(flow: Flow, findings: tuple[Finding, ...]) -> None:
    if not findings:
        return
    flow.section("What was read", 16.0)
    rows: list[tuple[Cell, ...]] = []
    for f in findings:
        told = [Run(f"{f.reason[:1].upper()}{f.reason[1:]}.", TEXT)]
        if f.remedy:
            told.append(Run(f"Do: {f.remedy}.", TEXT_BOLD))
        if f.source:
            told.append(Run(f.source, SMALL))
        rows.append((tuple(verdict_words(f.verdict, (0.0, 0.0))), tuple(told)))
    flow.table((Column("", 1.3), Column("", 4.7)), rows)


def _readings(flow: Flow) -> None:
    flow.section("Backlash, read round the ring gear", 24.0)
    box = (rectangle(0.0, -2.6, flow.column(1.4) - flow.left, 3.4, LineKind.THIN),)
    flow.table((Column("", 1.5), Column("", 1.5), Column("", 1.5), Column("", 1.5)),
               [("At the mark", "A quarter on", "Half on", "Three quarters on"), (box, box, box, box)])


# -- the pattern ------------------------------------------------------------------------------------------------


def _pattern(flow: Flow, at: ShimPlace | None) -> None:
    flow.section("Reading the pattern", 60.0)
    flow.paragraph("Backlash right first. Paint a few teeth of the ring gear, turn it both ways under a light brake, "
                   "and read the mark on both sides of the teeth. Drive side: the one that bulges. Take the first row "
                   "that suits. Toe is the inner end of a tooth, drawn left; heel the outer; top its crest, root its "
                   "foot. Black bar: anywhere along the tooth. For hypoid gears; the gear maker's own table goes "
                   "first.", SMALL)
    where = "not said: look first, it decides which way" if at is None else f"{at.where} ({at.origin})"
    flow.paragraph(f"The pinion's depth shim lies: {where}.", TEXT_BOLD)
    rows: list[tuple[Cell, ...]] = []
    for row in pattern_rows():
        rows.append((tuple(_teeth(row)), (Run(f"{row.words[:1].upper()}{row.words[1:]}.", TEXT),
                                          Run(f"{row.origin}", SMALL)), _todo(row, at)))
    flow.table((Column("Drive   Coast", 1.15), Column("Seen", 2.25), Column("Do", 2.6)), rows)


def _todo(row: PatternRow, at: ShimPlace | None) -> tuple[Run, ...]:
    if row.pinion is Move.CANNOT_TELL:
        return (Run("No shim. Take it apart and look, or take it to a differential shop.", TEXT_BOLD),)
    runs: list[Run] = []
    if row.pinion is not Move.LEAVE:
        if at is not None:
            runs.append(Run(f"Pinion shim {shim_words(row.pinion, at, row.step_mm)}.", TEXT))
        else:
            side = "closer to" if row.pinion is Move.CLOSER else "away from"
            runs.append(Run(f"Pinion {side} the ring gear's axis, {row.step_mm:g} mm first.", TEXT))
        runs.append(Run("Then set the backlash again.", SMALL))
    if row.ring_gear is not Move.LEAVE:
        words = ring_gear_words(row.ring_gear, row.step_mm)
        runs.append(Run(f"{words[:1].upper()}{words[1:]}.", TEXT))
    return tuple(runs) or (Run("Leave it.", TEXT_BOLD),)


_TOOTH_WIDE, _TOOTH_HIGH = 14.0, 6.0


def _teeth(row: PatternRow) -> list[Mark]:
    """Both sides of a tooth with the mark where the row has it; toe at the left."""
    marks: list[Mark] = []
    for left, along, height in ((0.0, row.drive_along, row.drive_height), (17.0, row.coast_along, row.coast_height)):
        marks += _tooth(left, along, height)
    return marks


def _tooth(left: float, along: tuple[str, ...], height: tuple[str, ...]) -> list[Mark]:
    low = -4.6
    # the tooth is lower at its inner end
    outline = ((left, low), (left + _TOOTH_WIDE, low), (left + _TOOTH_WIDE, low + _TOOTH_HIGH),
               (left, low + _TOOTH_HIGH * 0.75))
    marks: list[Mark] = [Stroke(outline, LineKind.OUTLINE, True, Fill.WHITE)]
    wide = {"toe": 0.24, "centre": 0.5, "heel": 0.76}
    tall = {"top": 0.76, "middle": 0.47, "root": 0.2}
    if len(height) != 1:
        return [*marks, Words((left + _TOOTH_WIDE / 2.0, low + 1.6), "/".join(height) or "any", SMALL_BOLD, "centre")]
    for x in along or ("centre",):
        at = wide[x]
        span = 0.40 if not along else 0.18
        marks.append(_mark(left, low, at, tall[height[0]], span))
    return marks


def _mark(left: float, low: float, along: float, height: float, span: float) -> Mark:
    x, y = left + along * _TOOTH_WIDE, low + height * _TOOTH_HIGH * (0.75 + 0.25 * along)
    if span < 0.2:
        return Circle((x, y), 1.1, None, Fill.BLACK)
    half = span * _TOOTH_WIDE
    tilt = height * _TOOTH_HIGH * 0.25 * span
    return Stroke(((x - half, y - tilt - 0.8), (x + half, y + tilt - 0.8), (x + half, y + tilt + 0.8),
                   (x - half, y - tilt + 0.8)), None, True, Fill.BLACK)
