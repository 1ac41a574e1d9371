"""Verdict marks and the bar that shows a gap with its doubt. No mark stands without its word."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trialfit.findings import SURE, Verdict
from trialfit.geometry.gaps import FAR_MM
from trialfit.sheets.drawing import (
    SMALL_FIGURE,
    TEXT,
    TEXT_BOLD,
    Circle,
    Fill,
    LineKind,
    Mark,
    Point,
    Stroke,
    Style,
    Words,
    hatch,
    line,
    rectangle,
)
from trialfit.sheets.lengths import with_doubt

WORD = {
    Verdict.FITS: "Fits",
    Verdict.FITS_AFTER_WORK: "Fits after work",
    Verdict.DOES_NOT_FIT: "Does not fit",
    Verdict.CANNOT_TELL: "Cannot tell",
}
MEANING = {
    Verdict.FITS: "there is room, the doubt counted",
    Verdict.FITS_AFTER_WORK: "there is room once the work named is done",
    Verdict.DOES_NOT_FIT: "there is no room, even with the doubt in its favour",
    Verdict.CANNOT_TELL: "the readings do not settle it: take the one named again",
}


def verdict_mark(verdict: Verdict, centre: Point, size: float = 3.6) -> list[Mark]:
    """Filled disc: fits. Half-filled disc: fits after work. Crossed square: does not fit. Open diamond with a dot:
    cannot tell. ``size`` is its width [mm]."""
    x, y = centre
    r = size / 2.0
    if verdict is Verdict.FITS:
        return [Circle(centre, r, LineKind.OUTLINE, Fill.BLACK)]
    if verdict is Verdict.FITS_AFTER_WORK:
        half = tuple((x + r * math.cos(a), y + r * math.sin(a))
                     for a in (math.pi / 2 + math.pi * k / 24 for k in range(25)))
        return [Circle(centre, r, LineKind.OUTLINE, Fill.WHITE), Stroke(half, None, True, Fill.BLACK)]
    if verdict is Verdict.DOES_NOT_FIT:
        return [rectangle(x - r, y - r, x + r, y + r, LineKind.OUTLINE, Fill.WHITE),
                line((x - r, y - r), (x + r, y + r), LineKind.OUTLINE),
                line((x - r, y + r), (x + r, y - r), LineKind.OUTLINE)]
    d = r * 1.25
    return [Stroke(((x - d, y), (x, y - d), (x + d, y), (x, y + d)), LineKind.OUTLINE, True, Fill.WHITE),
            Circle(centre, 0.5, None, Fill.BLACK)]


def verdict_words(verdict: Verdict, at: Point, style: Style = TEXT_BOLD) -> list[Mark]:
    """The mark with its word to the right, on the base line ``at``."""
    up = style.size_pt * 0.36 * 25.4 / 72.0
    return [*verdict_mark(verdict, (at[0] + 2.3, at[1] + up)), Words((at[0] + 6.6, at[1]), WORD[verdict], style)]


@dataclass(frozen=True, slots=True)
class GapBar:
    """A smallest gap, known to lie between ``lower_mm`` and ``upper_mm`` by the calculation, give or take the doubt
    of the readings ``sd_mm`` (None: not known), against what is wanted."""

    lower_mm: float
    upper_mm: float
    required_mm: float
    sd_mm: float | None


BEFORE_ZERO_MM = 20.0
"""Room on paper left of nought, where bodies run into each other."""


def bar_scale(bars: Sequence[GapBar], room_mm: float) -> int:
    """One scale for all bars of a sheet: n of 1 : n. Chosen so that what is wanted takes at most half of the room;
    a gap that runs on beyond the edge ends in an arrow."""
    wanted = max((b.required_mm for b in bars), default=0.0)
    for n in (1, 2, 5, 10):
        if wanted / n <= (room_mm - BEFORE_ZERO_MM) / 2.0:
            return n
    return 20


def gap_bar(bar: GapBar, at: Point, room_mm: float, scale: int) -> list[Mark]:
    """A rule from nought to the right with the wanted gap as a hatched block, the smallest gap as a tall tick, and 95 %
    of the doubt as a bar through it. Takes 5 mm above and 3 mm below ``at``, the left end of the rule."""
    x, y = at
    zero = x + BEFORE_ZERO_MM
    end = x + room_mm

    def place(mm: float) -> float:
        return zero + mm / scale

    marks: list[Mark] = [line((x, y), (end, y))]
    if bar.required_mm > 0.0:
        block = ((zero, y), (place(bar.required_mm), y), (place(bar.required_mm), y + 4.6), (zero, y + 4.6))
        marks += [*hatch(block, 1.5), Stroke(block, LineKind.THIN, True)]
        marks.append(line((place(bar.required_mm), y - 1.0), (place(bar.required_mm), y + 5.0), LineKind.OUTLINE))
    marks.append(line((zero, y - 1.4), (zero, y + 5.0), LineKind.OUTLINE))
    marks.append(Words((zero, y - 4.2), "0", SMALL_FIGURE, "centre"))
    if bar.required_mm / scale > 6.0:
        marks.append(Words((place(bar.required_mm), y - 4.2), f"{bar.required_mm:g}", SMALL_FIGURE, "centre"))
    half = 0.0 if bar.sd_mm is None else SURE * bar.sd_mm
    low, high = place(bar.lower_mm - half), place(bar.upper_mm + half)
    shown_low, shown_high = min(max(low, x + 3.0), end - 6.0), max(min(high, end - 3.0), x + 6.0)
    middle = y + 2.3
    if bar.sd_mm is not None and shown_high > shown_low:
        marks.append(rectangle(shown_low - 0.6, middle - 1.4, shown_high + 0.6, middle + 1.4, None, Fill.WHITE))
        marks.append(rectangle(shown_low, middle - 0.7, shown_high, middle + 0.7, None, Fill.BLACK))
    if low < x + 3.0:
        marks.append(Stroke(((x, middle), (x + 3.0, middle + 1.2), (x + 3.0, middle - 1.2)), None, True, Fill.BLACK))
    if high > end - 3.0:
        marks.append(Stroke(((end, middle), (end - 3.0, middle + 1.2), (end - 3.0, middle - 1.2)), None, True,
                            Fill.BLACK))
    for value in dict.fromkeys((bar.lower_mm, bar.upper_mm if bar.upper_mm - bar.lower_mm > 1.0 else bar.lower_mm)):
        tick = place(value)
        if x + 3.0 <= tick <= end - 3.0:
            marks.append(rectangle(tick - 0.9, y + 0.2, tick + 0.9, y + 5.6, None, Fill.WHITE))
            marks.append(line((tick, y - 0.6), (tick, y + 5.6), LineKind.HEAVY))
            if bar.sd_mm is not None:
                marks.append(rectangle(max(tick - 1.0, shown_low), middle - 0.7, min(tick + 1.0, shown_high),
                                       middle + 0.7, None, Fill.BLACK))
    return marks


def gap_words(bar: GapBar) -> str:
    """The gap in words, as it stands under its bar.

    >>> gap_words(GapBar(31.2, 31.9, 25.0, 3.0))
    '31 mm, give or take 6; wanted 25'
    """
    wanted = f"wanted {bar.required_mm:g}"
    if bar.lower_mm < 0.0:
        depth = -bar.lower_mm
        if bar.sd_mm is None:
            return f"into each other by {depth:.0f} mm, doubt not known; {wanted}"
        return f"into each other by {with_doubt(depth, bar.sd_mm, ', give or take ')}; {wanted}"
    if bar.sd_mm is None:
        return f"{math.floor(bar.lower_mm)} mm, doubt not known; {wanted}"
    least = "" if _closed(bar) else "at least "
    return f"{least}{with_doubt(bar.lower_mm, bar.sd_mm, ', give or take ')}; {wanted}"


def _closed(bar: GapBar) -> bool:
    """Whether the smallest gap itself was sought; far above what is wanted only the lower bound says anything."""
    return bar.lower_mm < bar.required_mm + FAR_MM


def gap_words_inch(bar: GapBar) -> str:
    """The same figures in inches, for the line under it.

    >>> gap_words_inch(GapBar(31.2, 31.9, 25.0, 3.0))
    '1.23 in, give or take 0.23 in; wanted 0.98 in'
    """
    size = "into each other by " if bar.lower_mm < 0.0 else "" if _closed(bar) else "at least "
    doubt = "doubt not known" if bar.sd_mm is None else f"give or take {SURE * bar.sd_mm / 25.4:.2f} in"
    return f"{size}{abs(bar.lower_mm) / 25.4:.2f} in, {doubt}; wanted {bar.required_mm / 25.4:.2f} in"


def legend(at: Point) -> list[Mark]:
    """The four marks with their words and meaning, one under the other, first base line at ``at``."""
    marks: list[Mark] = []
    for number, verdict in enumerate(Verdict):
        base = (at[0], at[1] - 5.0 * number)
        marks += verdict_words(verdict, base)
        marks.append(Words((base[0] + 40.0, base[1]), MEANING[verdict], TEXT))
    return marks
