"""The paper itself: sizes, margins, six columns, a 4 mm base line, and what flows down it.

A4 and Letter come from one description. :class:`Flow` fills leaves from the top; everything it sets keeps inside the
margins, and the foot goes on when all leaves are known.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trialfit.sheets.drawing import (
    CUT_NUMBER,
    FIGURE,
    SECTION,
    SMALL,
    SMALL_BOLD,
    SMALL_FIGURE,
    TEXT,
    TEXT_BOLD,
    TITLE,
    Fill,
    Frame,
    Leaf,
    LineKind,
    Mark,
    Stroke,
    Style,
    Words,
    bounds,
    line,
    rectangle,
    shifted,
)
from trialfit.sheets.faces import Face

MARGIN_MM = 12.0
EDGE_MM = 5.0
"""Nothing is drawn nearer to the paper's edge than this: printers leave it white."""
BASE_MM = 4.0
COLUMNS = 6
FOOT_MM = 16.0
STOP_BAR_MM = 14.0
NOT_AN_APPROVAL = "Numbers from a tape: not an approval. Local codes and licensed practice come first."


@dataclass(frozen=True, slots=True)
class Paper:
    """One size of paper, upright [mm]."""

    name: str
    width_mm: float
    height_mm: float


PAPERS = {p.name: p for p in (Paper("A4", 210.0, 297.0), Paper("Letter", 215.9, 279.4))}
"""ISO 216 A4; ANSI/ASME Y14.1 A (Letter)."""


def paper_called(name: str) -> Paper:
    """The paper of that name.

    Raises ValueError when it is neither A4 nor Letter.
    """
    if name not in PAPERS:
        raise ValueError(f"paper '{name}' is not known: one of {', '.join(PAPERS)}")
    return PAPERS[name]


@dataclass(frozen=True, slots=True)
class SheetMeta:
    """What the foot of every page says. ``digest`` is of the build file; the first six digits are printed. ``date`` is
    handed in, so that the same build gives the same file. ``fraction`` is the inch denominator, 16 or 32."""

    build: str
    revision: str
    digest: str
    date: str
    load_state: str = ""
    paper: str = "A4"
    fraction: int = 32


@dataclass(frozen=True, slots=True)
class Stop:
    """Whether a sheet may be worked from. ``work`` is CUT, WELDED, ORDERED ...; ``reason`` is one line; ``lift`` names
    the reading that would lift it, or, when ``ready``, what it stands on."""

    ready: bool
    work: str
    reason: str
    lift: str = ""

    @property
    def head(self) -> str:
        """What the bar says in capitals."""
        return f"READY TO BE {self.work.upper()} FROM" if self.ready else f"NOT TO BE {self.work.upper()} FROM YET"


@dataclass(frozen=True, slots=True)
class Run:
    """A run of words in one style, broken into lines where the cell ends."""

    text: str
    style: Style = TEXT


Cell = str | Run | tuple[Run, ...] | tuple[Mark, ...]
"""A table's cell: words, several runs under each other, or a small drawing (its origin the cell's left on the first
base line)."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table: its head, how many of the six columns it takes, and on which side its words stand."""

    head: str
    span: float
    align: str = "left"


def leading(style: Style) -> float:
    """From one base line to the next [mm]: whole steps of 4 mm, or half steps for large type."""
    if style.size_pt <= 11.0:
        return BASE_MM + 0.4 * (style.size_pt > 9.5)
    return 6.0 if style.size_pt <= 16.0 else 10.0


def broken(text: str, style: Style, wide: float) -> list[str]:
    """Break ``text`` into lines no longer than ``wide`` [mm]; a word too long for a line is broken where it must."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        now = ""
        for word in paragraph.split():
            trial = f"{now} {word}" if now else word
            if style.width(trial) <= wide:
                now = trial
                continue
            if now:
                lines.append(now)
            while style.width(word) > wide and len(word) > 1:
                cut = len(word) - 1
                while cut > 1 and style.width(word[:cut]) > wide:
                    cut -= 1
                lines.append(word[:cut])
                word = word[cut:]
            now = word
        lines.append(now)
    return lines


def fitted(text: str, style: Style, wide: float) -> str:
    """``text``, shortened with an ellipsis when it is longer than ``wide`` [mm]."""
    if style.width(text) <= wide:
        return text
    while text and style.width(text + "\u2026") > wide:
        text = text[:-1]
    return text.rstrip() + "\u2026"


class Flow:
    """Fills leaves from the top down; ``y`` is the last base line set, counted up from the paper's lower edge [mm]."""

    def __init__(self, meta: SheetMeta, sheet: str) -> None:
        self.meta = meta
        self.sheet = sheet
        self.paper = paper_called(meta.paper)
        self.left = MARGIN_MM
        self.right = self.paper.width_mm - MARGIN_MM
        self.bottom = MARGIN_MM + FOOT_MM
        self.leaves: list[Leaf] = []
        self.stop: Stop | None = None
        self.y = 0.0
        self._new_leaf()

    # -- places on the paper ------------------------------------------------------------------------------------

    @property
    def leaf(self) -> Leaf:
        """The leaf being filled."""
        return self.leaves[-1]

    @property
    def wide(self) -> float:
        """Width between the margins [mm]."""
        return self.right - self.left

    def column(self, number: float) -> float:
        """Left edge of column ``number``, from 0 [mm]."""
        return self.left + self.wide * number / COLUMNS

    def _new_leaf(self) -> None:
        self.leaves.append(Leaf(self.paper.width_mm, self.paper.height_mm))
        self.y = self.paper.height_mm - MARGIN_MM

    def next_leaf(self) -> None:
        """Go on at the top of a new leaf, which says whose it is."""
        self._new_leaf()
        self.y -= 5.0
        tag = [] if self.stop is None else stop_tag(self.stop, (self.right, self.y))
        room = self.wide - (bounds(tag)[2] - bounds(tag)[0] + 4.0 if tag else 0.0)
        self.leaf.add(Words((self.left, self.y), fitted(f"{self.sheet}, continued", SECTION, room), SECTION), *tag)
        self.y -= BASE_MM

    def need(self, height: float) -> bool:
        """Begin a new leaf unless ``height`` [mm] is left on this one; True when it did."""
        if self.y - height >= self.bottom:
            return False
        self.next_leaf()
        return True

    def skip(self, height: float) -> None:
        """Leave white."""
        self.y -= height

    # -- words --------------------------------------------------------------------------------------------------

    def title(self, words: str, under: str = "") -> None:
        """The sheet's title, and a line on what it is about."""
        for part in broken(words, TITLE, self.wide):
            self.y -= 8.0
            self.leaf.add(Words((self.left, self.y), part, TITLE))
        self.y -= 1.0
        if under:
            self.paragraph(under)
        self.y -= 2.0

    def section(self, words: str, keep_mm: float = 16.0) -> None:
        """A section's head, kept with at least ``keep_mm`` of what follows."""
        lines = broken(words, SECTION, self.wide)
        self.need(8.0 * len(lines) + keep_mm)
        self.y -= 3.0
        for part in lines:
            self.y -= 6.0
            self.leaf.add(Words((self.left, self.y), part, SECTION))
        self.y -= 1.6

    def paragraph(self, text: str, style: Style = TEXT, indent: float = 0.0) -> None:
        """Words from margin to margin."""
        step = leading(style)
        for part in broken(text, style, self.wide - indent):
            self.need(step)
            self.y -= step
            self.leaf.add(Words((self.left + indent, self.y), part, style))
        self.y -= 1.0

    def points(self, texts: Sequence[str], style: Style = TEXT) -> None:
        """A list, each with a short dash before it."""
        for text in texts:
            lines = broken(text, style, self.wide - 4.0)
            step = leading(style)
            self.need(step * len(lines))
            for number, part in enumerate(lines):
                self.y -= step
                if not number:
                    self.leaf.add(Words((self.left, self.y), "\u2013", style))
                self.leaf.add(Words((self.left + 4.0, self.y), part, style))
            self.y -= 1.0

    # -- bars and boxes -----------------------------------------------------------------------------------------

    def stop_bar(self, stop: Stop) -> None:
        """Whether the sheet may be worked from: white on black while not, black on white in a heavy frame when so."""
        self.stop = stop
        words = f"{stop.reason} {stop.lift}".strip()
        lines = broken(words, SMALL, self.wide - 8.0)
        high = STOP_BAR_MM + BASE_MM * max(0, len(lines) - 1)
        self.need(high + 2.0)
        top = self.y - 2.0
        box: Frame = (self.left, top - high, self.right, top)
        if stop.ready:
            self.leaf.add(rectangle(box[0] + 0.4, box[1] + 0.4, box[2] - 0.4, box[3] - 0.4, LineKind.HEAVY))
        else:
            self.leaf.add(rectangle(*box, None, Fill.BLACK))
        white = not stop.ready
        self.leaf.add(Words((self.left + 4.0, top - 6.2), stop.head, Style(Face.WORDS_BOLD, 15.0), white=white))
        for number, part in enumerate(lines):
            self.leaf.add(Words((self.left + 4.0, top - 11.2 - BASE_MM * number), part, SMALL, white=white))
        self.y = top - high

    def still_to_fill_in(self, questions: Sequence[str]) -> None:
        """What is missing, each with a box to write in with a pencil."""
        if not questions:
            return
        self.section("Still to fill in", 10.0)
        for question in questions:
            lines = broken(question, TEXT, self.column(3) - self.left - 3.0)
            high = max(8.0, leading(TEXT) * len(lines) + 3.6)
            self.need(high + 1.0)
            self.y -= 1.0
            for number, part in enumerate(lines):
                self.leaf.add(Words((self.left, self.y - 5.0 - leading(TEXT) * number), part, TEXT))
            self.leaf.add(rectangle(self.column(3), self.y - high, self.right, self.y))
            self.y -= high

    # -- tables and drawings ------------------------------------------------------------------------------------

    def table(self, columns: Sequence[Column], rows: Sequence[Sequence[Cell]]) -> None:
        """A table with a rule over every row; its head comes again on every new leaf.

        Raises
        ------
        ValueError
            for columns that take more than the leaf has
        """
        if math.fsum(c.span for c in columns) > COLUMNS + 1e-9:
            raise ValueError(f"columns of {math.fsum(c.span for c in columns):g} on a leaf of {COLUMNS}")
        heads = any(c.head for c in columns)
        first = True
        for row in rows:
            cells = [self.cell(cell, column) for cell, column in zip(row, columns, strict=True)]
            high = max(h for _, h in cells) + 2.4
            before, y = self.leaf, self.y
            turned = self.need(high + (7.0 if first and heads else 0.0))
            if turned and not first:
                before.add(line((self.left, y), (self.right, y)))
            if turned or first:
                if heads:
                    self._heads(columns)
                first = False
            self.leaf.add(line((self.left, self.y), (self.right, self.y)))
            at = 0.0
            for (marks, _), column in zip(cells, columns, strict=True):
                x = self.column(at) if column.align == "left" else self.column(at + column.span) - _GUTTER_MM
                if column.align == "right" and at + column.span >= COLUMNS - 1e-9:
                    x = self.right
                self.leaf.extend(shifted(m, x, self.y - 0.8) for m in marks)
                at += column.span
            self.y -= high
        if rows:
            self.leaf.add(line((self.left, self.y), (self.right, self.y)))
            self.y -= 1.0

    def _heads(self, columns: Sequence[Column]) -> None:
        tall = 1
        at = 0.0
        placed: list[tuple[list[str], float, str]] = []
        for column in columns:
            lines = broken(column.head, SMALL_BOLD, self.wide * column.span / COLUMNS - _GUTTER_MM)
            end = self.right if at + column.span >= COLUMNS - 1e-9 else self.column(at + column.span) - _GUTTER_MM
            placed.append((lines, self.column(at) if column.align == "left" else end, column.align))
            tall = max(tall, len(lines))
            at += column.span
        for lines, x, align in placed:
            for number, part in enumerate(reversed(lines)):
                y = self.y - BASE_MM * (tall - number)
                if part:
                    self.leaf.add(Words((x, y), part, SMALL_BOLD, align))
        self.y -= BASE_MM * tall + 1.4

    def cell(self, cell: Cell, column: Column) -> tuple[list[Mark], float]:
        """Marks with their origin at the cell's top, and the height they take [mm]."""
        if isinstance(cell, tuple) and cell and not isinstance(cell[0], Run):
            small: list[Mark] = [shifted(m, 0.0, -leading(TEXT)) for m in cell if not isinstance(m, Run)]
            return small, max(leading(TEXT), -bounds(small)[1] + 0.6)
        runs = (Run(cell),) if isinstance(cell, str) else (cell,) if isinstance(cell, Run) else cell
        wide = self.wide * column.span / COLUMNS - _GUTTER_MM
        marks: list[Mark] = []
        y = 0.0
        for run in runs:
            if not isinstance(run, Run):
                continue
            for part in broken(run.text, run.style, wide):
                y -= leading(run.style)
                if part:
                    marks.append(Words((0.0, y), part, run.style, column.align))
        return marks, -y

    def drawing(self, marks: Sequence[Mark], height: float) -> None:
        """A drawing whose origin is the left margin at its lower edge, ``height`` [mm] tall."""
        self.need(height)
        self.y -= height
        self.leaf.extend(shifted(m, self.left, self.y) for m in marks)

    # -- the end ------------------------------------------------------------------------------------------------

    def finish(self) -> list[Leaf]:
        """All leaves, each with its foot."""
        for number, leaf in enumerate(self.leaves, 1):
            leaf.extend(foot(self.meta, self.sheet, leaf, number, len(self.leaves)))
        return self.leaves


_GUTTER_MM = 3.0


def stop_tag(stop: Stop, right_end: tuple[float, float]) -> list[Mark]:
    """The stop bar's head in small, for every further page; its words end at ``right_end`` on the base line."""
    x, y = right_end
    wide = SMALL_BOLD.width(stop.head)
    frame = rectangle(x - wide - 4.0, y - 1.8, x, y + 3.6, LineKind.OUTLINE, Fill.WHITE if stop.ready else Fill.BLACK)
    return [frame, Words((x - 2.0, y - 0.2), stop.head, SMALL_BOLD, "right", white=not stop.ready)]


def foot(meta: SheetMeta, sheet: str, leaf: Leaf, number: int, of: int) -> list[Mark]:
    """What stands at the foot of every page, in three lines above the lower margin."""
    left, right = MARGIN_MM, leaf.width - MARGIN_MM
    y = MARGIN_MM + 1.0
    page = f"page {number} of {of}"
    stamp = f"rev {meta.revision}   file {meta.digest[:6] or 'none'}   {meta.date}"
    room = right - left - SMALL_FIGURE.width(stamp) - 6.0
    load = fitted(meta.load_state or "load state not written down", SMALL, room)
    name = fitted(f"{meta.build}: {sheet}", SMALL_BOLD, right - left - SMALL_FIGURE.width(page) - 6.0)
    return [
        line((left, MARGIN_MM + 12.8), (right, MARGIN_MM + 12.8)),
        Words((left, y + 8.0), name, SMALL_BOLD),
        Words((right, y + 8.0), page, SMALL_FIGURE, "right"),
        Words((left, y + 4.0), stamp, SMALL_FIGURE),
        Words((right, y + 4.0), load, SMALL, "right"),
        Words((left, y), NOT_AN_APPROVAL, SMALL),
    ]


def number_cell(metric: str, inch: str) -> tuple[Run, ...]:
    """A length to cut to: large metric figures, inches under them."""
    return Run(metric, CUT_NUMBER), Run(inch, SMALL_FIGURE)


def small_number_cell(metric: str, inch: str) -> tuple[Run, ...]:
    """A length to know: metric figures at text size, inches under them."""
    return Run(metric, FIGURE), Run(inch, SMALL_FIGURE)


__all__ = [
    "BASE_MM", "EDGE_MM", "FOOT_MM", "MARGIN_MM", "NOT_AN_APPROVAL", "PAPERS", "STOP_BAR_MM", "TEXT_BOLD", "Cell",
    "Column", "Flow", "Paper", "Run", "SheetMeta", "Stop", "Stroke", "broken", "fitted", "foot", "leading",
    "number_cell", "paper_called", "stop_tag", "small_number_cell",
]
