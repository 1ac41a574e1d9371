"""The survey on paper: what to read again and what next, then every hardpoint in both systems with its doubt."""

import math
from collections.abc import Sequence

from trialfit.findings import SURE
from trialfit.sheets.drawing import (
    FIGURE,
    FIGURE_BOLD,
    SMALL,
    SMALL_FIGURE,
    TEXT,
    TEXT_BOLD,
    Leaf,
    LineKind,
    Mark,
    rectangle,
)
from trialfit.sheets.lengths import give_or_take, inch, minus, with_doubt
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta
from trialfit.sheets.pdf import pdf
from trialfit.survey import Advice, Survey, Suspect

SHEET = "Survey"


def survey_sheet(survey: Survey, advice: Sequence[Advice], meta: SheetMeta) -> bytes:
    """The survey as PDF.

    Parameters
    ----------
    survey : Survey
        as solved
    advice : sequence of Advice
        readings to take next, best first; may be empty
    meta : SheetMeta
        what the foot says, and on which paper
    """
    return pdf(survey_leaves(survey, advice, meta), f"{meta.build}: survey")


def survey_leaves(survey: Survey, advice: Sequence[Advice], meta: SheetMeta) -> list[Leaf]:
    """The leaves of :func:`survey_sheet`."""
    flow = Flow(meta, SHEET)
    flow.title("Survey: where everything is", _in_short(survey))
    _suspects(flow, survey)
    _missing(flow, survey)
    _next(flow, advice)
    _unchecked(flow, survey)
    _hardpoints(flow, survey)
    _sizes(flow, survey)
    return flow.finish()


def _count(n: int, one: str, many: str = "") -> str:
    return f"{n} {one if n == 1 else many or one + 's'}"


def _in_short(survey: Survey) -> str:
    told = f"{_count(len(survey.names), 'hardpoint')} from {_count(len(survey.readings), 'reading')}."
    if survey.test_all.freedom == 0:
        return f"{told} There is not one reading to spare, so nothing is checked."
    spare = f"{told} {_count(round(survey.test_all.freedom), 'reading')} to spare."
    if survey.suspects:
        return f"{spare} {_count(len(survey.suspects), 'reading does', 'readings do')} not belong: take again first."
    if survey.test_all.too_wide:
        return f"{spare} They fight each other more than their instruments promise, and no single one stands out."
    return f"{spare} They agree with each other as well as their instruments promise."


def _box() -> tuple[Mark, ...]:
    """A box to write the new reading in."""
    return (rectangle(0.0, -2.4, 38.0, 3.2, LineKind.THIN),)


def _off(suspect: Suspect) -> str:
    if suspect.is_angle:
        return f"{minus(abs(math.degrees(suspect.off)), 1)}\u00b0 too {'much' if suspect.off > 0 else 'little'}"
    return f"{minus(abs(suspect.off), 1)} mm too {'much' if suspect.off > 0 else 'little'}"


def _suspects(flow: Flow, survey: Survey) -> None:
    if not survey.suspects:
        return
    flow.section("Take these again first", 24.0)
    rows: list[tuple[Cell, ...]] = []
    for suspect in survey.suspects:
        why = [Run(suspect.reading, FIGURE_BOLD), Run(f"read {_off(suspect)} if the others are right", TEXT)]
        if suspect.guess:
            why.append(Run(f"A likely slip: {suspect.guess}.", TEXT))
        if suspect.either_of:
            why.append(Run(f"One of these is wrong and nothing tells which: {', '.join(suspect.either_of)}.", TEXT))
        if suspect.where is not None:
            why.append(Run(str(suspect.where), SMALL))
        rows.append((tuple(why), _box()))
    flow.table((Column("Reading", 4.65), Column("Read again", 1.35)), rows)


def _missing(flow: Flow, survey: Survey) -> None:
    told = [u.measure for u in survey.unsolved]
    told += [a.question for a in survey.ambiguous]
    told += [*survey.ties, *survey.broken_hints]
    told += [f"{p.reading} cannot be used: {p.reason}. {p.remedy}" for p in survey.problems]
    told += survey.notes
    if told:
        flow.section("Still missing", 16.0)
        flow.points(told)


def _next(flow: Flow, advice: Sequence[Advice]) -> None:
    if not advice:
        return
    flow.section("What to read next, best first", 24.0)
    rows: list[tuple[Cell, ...]] = [
        (Run(a.words, TEXT), Run(f"{_doubt(a.before_mm)} to {_doubt(a.after_mm)} mm", FIGURE), _box()) for a in advice]
    flow.table((Column("Reading", 3.35), Column("Give or take goes from", 1.3), Column("Read", 1.35)), rows)


def _doubt(sd: float) -> str:
    return f"{SURE * sd:.2f}"


def _unchecked(flow: Flow, survey: Survey) -> None:
    if not survey.unchecked_points:
        return
    flow.section("Nothing checks these", 16.0)
    flow.paragraph("A slip in one reading would move them and nobody would see it. One more tape to each, from a "
                   "hardpoint that is well tied.", SMALL)
    flow.paragraph(", ".join(survey.unchecked_points), FIGURE)


def _hardpoints(flow: Flow, survey: Survey) -> None:
    if not survey.names:
        return
    flow.section("Hardpoints", 30.0)
    flow.paragraph("Station rearward of the datum, offset from the centre line, height above the floor. Doubt: give or "
                   "take in the worst direction, 95 of 100 cases.", SMALL)
    rows: list[tuple[Cell, ...]] = []
    fraction = flow.meta.fraction
    for name in survey.names:
        x, y, z = (float(v) for v in survey.point(name))
        side = "" if abs(y) < 0.05 else " right" if y > 0 else " left"
        half, decimals = give_or_take(survey.doubt_mm(name))
        rows.append((
            Run(name, FIGURE_BOLD),
            (Run(f"{minus(x, 1)} mm", FIGURE), Run(inch(x, fraction), SMALL_FIGURE)),
            (Run(f"{minus(abs(y), 1)} mm{side}", FIGURE), Run(inch(abs(y), fraction), SMALL_FIGURE)),
            (Run(f"{minus(z, 1)} mm", FIGURE), Run(inch(z, fraction), SMALL_FIGURE)),
            Run(f"\u00b1 {half:.{decimals}f} mm", FIGURE),
        ))
    flow.table((Column("Hardpoint", 0.95), Column("Station", 1.45, "right"), Column("Offset", 1.45, "right"),
                Column("Height", 1.4, "right"), Column("Doubt", 0.75, "right")), rows)


def _sizes(flow: Flow, survey: Survey) -> None:
    if not survey.sizes:
        return
    flow.section("Sizes", 20.0)
    rows: list[tuple[Cell, ...]] = [
        (Run(name, TEXT_BOLD), Run(with_doubt(mm, sd), FIGURE), Run(inch(mm, flow.meta.fraction), SMALL_FIGURE))
        for name, (mm, sd) in survey.sizes.items()]
    flow.table((Column("Size", 2.6), Column("", 1.8, "right"), Column("", 1.6, "right")), rows)
