"""Wrap templates at true size: what goes round the pipe, packed or tiled, with bars to measure before anything is cut.

A template is never scaled. It is turned by a quarter where that saves paper; one that fits on no leaf is cut into
tiles that share a strip of 10 mm, with match marks on both.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.pieces import Wrap
from trialfit.sheets.drawing import (
    SECTION,
    SMALL,
    SMALL_BOLD,
    SMALL_FIGURE,
    SMALL_FIGURE_BOLD,
    TEXT_BOLD,
    Circle,
    Frame,
    Leaf,
    LineKind,
    Mark,
    Point,
    Stroke,
    Style,
    Words,
    arrowhead,
    bounds_of,
    line,
    overlap,
    rectangle,
    shifted,
)
from trialfit.sheets.labels import points_along
from trialfit.sheets.lengths import inch
from trialfit.sheets.paper import (
    FOOT_MM,
    MARGIN_MM,
    Cell,
    Column,
    Flow,
    Paper,
    Run,
    SheetMeta,
    Stop,
    broken,
    fitted,
    foot,
    paper_called,
    small_number_cell,
    stop_tag,
)
from trialfit.sheets.pdf import pdf

SHEET = "Wrap templates, full size"
OVERLAP_MM = 10.0
BAR_MM = 100.0
BAR_IN_MM = 4 * 25.4
_HEAD_MM = 9.0
_BARS_MM = 14.0
_APART_MM = 6.0

_PRINTING = (
    "Print at full size. Lay a steel rule on the bars of every page: 100 mm and 4 in to within half a millimetre in "
    "both directions. If not, the printer has scaled the page: nothing on it is true."
)
_JOINING = (
    "Cut the paper along the middle of the outer line. Where a template runs over several pages, lay the crosses of "
    "the shared strip on each other, then tape."
)
_WRAPPING = (
    "Wrap it with the printed side out and the arrow as it says. Its two ends must just meet at the seam: if they "
    "overlap or gape, the pipe is not the size the template is made for; measure it round with a tape."
)
_SAWING = (
    "Saw on the waste side, eye protection on, the pipe held in a vice or on stands. Coated pipe: fumes when welded. "
    "Gas-tight joints: exhaust gas holds carbon monoxide."
)

_KINDS = {"cut": LineKind.OUTLINE, "mark": LineKind.HIDDEN, "fold": LineKind.CENTRE}

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class _Spot:
    """A template, or one tile of it, on a leaf: ``shift`` takes the (turned) template to paper."""

    number: int
    turned: bool
    shift: Point
    frame: Frame
    row: int = 1
    rows: int = 1
    column: int = 1
    columns: int = 1


def wrap_sheets(wraps: Sequence[Wrap], meta: SheetMeta, stop: Stop) -> bytes:
    """The templates as PDF at 1 : 1, after a page that says how each is used.

    Parameters
    ----------
    wraps : sequence of Wrap
        flat outlines, in the order wanted; at least one
    meta : SheetMeta
        what the foot says, and on which paper
    stop : Stop
        whether the pipe may be cut yet, and why

    Raises
    ------
    ValueError
        when there is no template
    """
    return pdf(wrap_leaves(wraps, meta, stop), f"{meta.build}: wrap templates, full size")


def wrap_leaves(wraps: Sequence[Wrap], meta: SheetMeta, stop: Stop) -> list[Leaf]:
    """The leaves of :func:`wrap_sheets`."""
    if not wraps:
        raise ValueError("no wrap template to print: 1 at least")
    paper = paper_called(meta.paper)
    area = printable_area(paper)
    pages = _packed(wraps, area)
    flow = Flow(meta, SHEET)
    _how_to(flow, wraps, pages, stop, 0)
    first = len(flow.leaves)
    flow = Flow(meta, SHEET)
    _how_to(flow, wraps, pages, stop, first)
    leaves = flow.leaves
    turned = {spot.number: spot.turned for page in pages for spot in page}
    drawn = {number: template(wraps[number - 1], number, _tiles_of(number, pages), -90.0 if turned[number] else 90.0)
             for number in turned}
    for page in pages:
        leaf = Leaf(paper.width_mm, paper.height_mm)
        _head(leaf, wraps, page, stop)
        for spot in page:
            marks = drawn[spot.number]
            if spot.turned:
                marks = [_quarter(m) for m in marks]
            leaf.extend(clipped([shifted(m, *spot.shift) for m in marks], spot.frame))
            leaf.extend(_match_marks(spot))
        leaf.extend(check_bars(paper))
        leaves.append(leaf)
    for number, leaf in enumerate(leaves, 1):
        leaf.extend(foot(meta, SHEET, leaf, number, len(leaves)))
    return leaves


# -- places on the paper ----------------------------------------------------------------------------------------


def printable_area(paper: Paper) -> Frame:
    """Where templates may lie: between the margins, under the head, above the bars and the foot [mm]."""
    return (MARGIN_MM, MARGIN_MM + FOOT_MM + _BARS_MM, paper.width_mm - MARGIN_MM - 1.0,
            paper.height_mm - MARGIN_MM - _HEAD_MM)


def _size(wrap: Wrap) -> tuple[float, float]:
    left, low, right, high = bounds_of([(float(x), float(y)) for x, y in wrap.outline])
    return right - left, high - low


def _tiles(long: float, room: float) -> int:
    return 1 if long <= room + 1e-9 else math.ceil((long - OVERLAP_MM) / (room - OVERLAP_MM) - 1e-9)


def _packed(wraps: Sequence[Wrap], area: Frame) -> list[list[_Spot]]:
    """Pages of spots: whole templates side by side in rows as they come, larger ones tiled on leaves of their own."""
    wide, high = area[2] - area[0], area[3] - area[1]
    pages: list[list[_Spot]] = []
    x = y = row_high = math.inf
    for number, wrap in enumerate(wraps, 1):
        w, h = _size(wrap)
        turned = _tiles(w, high) * _tiles(h, wide) < _tiles(w, wide) * _tiles(h, high)
        across, up = (h, w) if turned else (w, h)
        if _tiles(across, wide) * _tiles(up, high) > 1:
            pages += _tiled(number, wrap, turned, area)
            x = y = row_high = math.inf
            continue
        if x + across > wide + 1e-9:
            x, y = 0.0, y + row_high + _APART_MM
            row_high = 0.0
        if not pages or y + up > high + 1e-9:
            pages.append([])
            x = y = row_high = 0.0
        pages[-1].append(_spot(number, wrap, turned, (area[0] + x, area[3] - y - up), across, up))
        x += across + _APART_MM
        row_high = max(row_high, up)
    return pages


def _spot(number: int, wrap: Wrap, turned: bool, corner: Point, across: float, up: float) -> _Spot:
    left, low, _, _ = _turned_bounds(wrap, turned)
    frame = (corner[0] - 0.6, corner[1] - 0.6, corner[0] + across + 0.6, corner[1] + up + 0.6)
    return _Spot(number, turned, (corner[0] - left, corner[1] - low), frame)


def _turned_bounds(wrap: Wrap, turned: bool) -> Frame:
    return bounds_of([(-float(y), float(x)) if turned else (float(x), float(y)) for x, y in wrap.outline])


def _tiled(number: int, wrap: Wrap, turned: bool, area: Frame) -> list[list[_Spot]]:
    wide, high = area[2] - area[0], area[3] - area[1]
    left, low, right, top = _turned_bounds(wrap, turned)
    columns, rows = _tiles(right - left, wide), _tiles(top - low, high)
    pages = []
    for row in range(rows):
        for column in range(columns):
            from_x, from_y = left + column * (wide - OVERLAP_MM), low + row * (high - OVERLAP_MM)
            shift = (area[0] - from_x, area[1] - from_y)
            frame = (area[0] - 0.6 * (column == 0), area[1] - 0.6 * (row == 0),
                     min(area[2], right + shift[0] + 0.6), min(area[3], top + shift[1] + 0.6))
            pages.append([_Spot(number, turned, shift, frame, row + 1, rows, column + 1, columns)])
    return pages


def _tiles_of(number: int, pages: Sequence[Sequence[_Spot]]) -> list[Frame]:
    """The tiles of one template in its own coordinates: words keep within one of them."""
    frames = []
    for page in pages:
        for spot in page:
            if spot.number == number:
                strip = OVERLAP_MM + 1.0
                left, low, right, top = spot.frame
                left, right = left + strip * (spot.column > 1), right - strip * (spot.column < spot.columns)
                low, top = low + strip * (spot.row > 1), top - strip * (spot.row < spot.rows)
                corners = [(x - spot.shift[0], y - spot.shift[1]) for x in (left, right) for y in (low, top)]
                if spot.turned:
                    corners = [(y, -x) for x, y in corners]
                frames.append(bounds_of(corners))
    return frames


def _quarter(mark: Mark) -> Mark:
    if isinstance(mark, Stroke):
        return replace(mark, points=tuple((-y, x) for x, y in mark.points))
    if isinstance(mark, Circle):
        return replace(mark, centre=(-mark.centre[1], mark.centre[0]))
    return replace(mark, at=(-mark.at[1], mark.at[0]), turn_deg=mark.turn_deg + 90.0)


# -- clipping ---------------------------------------------------------------------------------------------------


def clipped(marks: Sequence[Mark], frame: Frame) -> list[Mark]:
    """What of ``marks`` lies within ``frame``: lines are cut at it, words and circles stay only whole."""
    kept: list[Mark] = []
    for mark in marks:
        if isinstance(mark, Stroke):
            kept += _cut_stroke(mark, frame)
        elif _within(mark, frame):
            kept.append(mark)
    return kept


def _within(mark: Circle | Words, frame: Frame) -> bool:
    if isinstance(mark, Words):
        box = mark.box()
    else:
        (x, y), r = mark.centre, mark.radius
        box = (x - r, y - r, x + r, y + r)
    return box[0] >= frame[0] and box[1] >= frame[1] and box[2] <= frame[2] and box[3] <= frame[3]


def _cut_stroke(mark: Stroke, frame: Frame) -> list[Stroke]:
    box = bounds_of(mark.points)
    if box[0] >= frame[0] and box[1] >= frame[1] and box[2] <= frame[2] and box[3] <= frame[3]:
        return [mark]
    if mark.kind is None:
        return []
    points = mark.points + (mark.points[:1] if mark.closed else ())
    runs: list[list[Point]] = []
    for a, b in pairwise(points):
        part = _cut_segment(a, b, frame)
        if part is None:
            continue
        if runs and runs[-1][-1] == part[0]:
            runs[-1].append(part[1])
        else:
            runs.append(list(part))
    return [Stroke(tuple(run), mark.kind) for run in runs]


def _cut_segment(a: Point, b: Point, frame: Frame) -> tuple[Point, Point] | None:
    dx, dy = b[0] - a[0], b[1] - a[1]
    t0, t1 = 0.0, 1.0
    for step, room in ((-dx, a[0] - frame[0]), (dx, frame[2] - a[0]), (-dy, a[1] - frame[1]), (dy, frame[3] - a[1])):
        if step == 0.0:
            if room < 0.0:
                return None
        elif step < 0.0:
            t0 = max(t0, room / step)
        else:
            t1 = min(t1, room / step)
    if t0 > t1:
        return None
    start = a if t0 == 0.0 else (a[0] + dx * t0, a[1] + dy * t0)
    return start, b if t1 == 1.0 else (a[0] + dx * t1, a[1] + dy * t1)


# -- the template itself ----------------------------------------------------------------------------------------


def template(wrap: Wrap, number: int, tiles: Sequence[Frame], upright_deg: float = 90.0) -> list[Mark]:
    """One template in its own coordinates: edge, lines, marks, up arrow, seam and words, each word inside the edge
    and inside one of ``tiles``. ``upright_deg`` is how words across the template are turned."""
    edge = tuple((float(x), float(y)) for x, y in wrap.outline)
    marks: list[Mark] = [Stroke(edge, LineKind.OUTLINE, True)]
    for drawn in wrap.lines:
        marks.append(Stroke(tuple((float(x), float(y)) for x, y in drawn.points), _KINDS[drawn.kind]))
    for mark in wrap.marks:
        x, y = mark.along_mm, mark.height_mm
        marks += [line((x - 2.0, y), (x + 2.0, y)), line((x, y - 2.0), (x, y + 2.0))]
    room = _Room(edge, marks, tiles, upright_deg)
    words: list[Mark] = []
    across = [float(drawn.points[:, 0].mean()) for drawn in wrap.lines]
    for number_of, drawn in enumerate(wrap.lines):
        x, y = (float(v) for v in drawn.points.mean(axis=0))
        others = [other for k, other in enumerate(across) if k != number_of and abs(other - x) > 0.5]
        words += room.near((x, y), drawn.label, SMALL, others)
    for mark in wrap.marks:
        if mark.label not in {drawn.label for drawn in wrap.lines}:
            words += room.near((mark.along_mm, mark.height_mm), mark.label, SMALL)
    words += _up_arrow(room, wrap)
    words += _best(room, _names(wrap, number))
    left, low, right, high = bounds_of(edge)
    for x in (left, right):
        words += room.near((x, (low + high) / 2.0), "seam", SMALL)
    words += _best(room, [[(f"seam: {wrap.seam}", SMALL), (f"cut: {wrap.cut_edges}", SMALL)]])
    return [*marks, *words]


def _names(wrap: Wrap, number: int) -> list[list[tuple[str, Style]]]:
    """Ways to say which template this is, fullest first."""
    choices: list[list[tuple[str, Style]]] = []
    for wide in (90.0, 60.0, 44.0, 34.0):
        lines = [(part, SMALL_BOLD) for part in broken(f"{number}  {wrap.title}", SMALL_BOLD, wide)]
        choices.append(lines + [(part, SMALL) for note in wrap.notes[:1] for part in broken(note, SMALL, wide)])
        choices.append(lines)
    choices.append([(f"{number}", TEXT_BOLD)])
    return choices


class _Room:
    """Where words may still stand inside a template."""

    def __init__(self, edge: tuple[Point, ...], marks: Sequence[Mark], tiles: Sequence[Frame],
                 upright_deg: float) -> None:
        self.edge = np.array(edge)
        self.points = points_along(marks, 1.0)
        self.tiles = tiles
        self.upright_deg = upright_deg
        self.full: list[Frame] = []

    def free(self, box: Frame) -> bool:
        """Whether ``box`` lies inside the edge and one tile, and on nothing."""
        if not any(t[0] <= box[0] and t[1] <= box[1] and t[2] >= box[2] and t[3] >= box[3] for t in self.tiles):
            return False
        if any(overlap(box, other) > 0.0 for other in self.full):
            return False
        x, y = self.points[:, 0], self.points[:, 1]
        if bool(((x > box[0]) & (x < box[2]) & (y > box[1]) & (y < box[3])).any()):
            return False
        middle = ((box[0] + box[2]) / 2.0, (box[1] + box[3]) / 2.0)
        return all(self._inside(p) for p in ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]),
                                             middle))

    def _inside(self, p: Point) -> bool:
        a, b = self.edge, np.roll(self.edge, -1, axis=0)
        over = (a[:, 1] <= p[1]) != (b[:, 1] <= p[1])
        with np.errstate(divide="ignore", invalid="ignore"):
            cross = a[:, 0] + (p[1] - a[:, 1]) * (b[:, 0] - a[:, 0]) / (b[:, 1] - a[:, 1])
        return bool(np.count_nonzero(over & (cross > p[0])) % 2)

    def find(self, wide: float, high: float, cost: Callable[[Point], float]) -> Frame | None:
        """The free box of that size whose middle costs least, on a grid of 2 mm; it is then taken."""
        left, low = (float(v) for v in self.edge.min(axis=0))
        right, top = (float(v) for v in self.edge.max(axis=0))
        spots = [(x, y) for x in np.arange(left + wide / 2.0, right - wide / 2.0 + 1e-9, 2.0)
                 for y in np.arange(low + high / 2.0, top - high / 2.0 + 1e-9, 2.0)]
        for x, y in sorted(spots, key=cost):
            box = (float(x) - wide / 2.0, float(y) - high / 2.0, float(x) + wide / 2.0, float(y) + high / 2.0)
            if self.free(box):
                self.full.append(box)
                return box
        return None

    def near(self, at: Point, text: str, style: Style, others: Sequence[float] = ()) -> list[Mark]:
        """``text`` beside ``at``: level or upright, whole or in several lines, whichever comes nearer; nothing when
        there is no room near. ``others`` are places along the paper that the words must not seem to belong to."""
        best: tuple[float, Frame, float, list[str]] | None = None
        for lines in _ways(text, style):
            long = max(style.width(part) for part in lines) + 2.0
            deep = 4.0 * len(lines) + 0.6
            for w, h, turn in ((long, deep, 0.0), (deep, long, self.upright_deg)):
                for dx in (w / 2.0 + 0.7, -w / 2.0 - 0.7):
                    low, high = at[0] + dx - w / 2.0, at[0] + dx + w / 2.0
                    if any(low - _CLEAR_MM < x < high + _CLEAR_MM for x in others):
                        continue
                    for dy in (0.0, 6.0, -6.0, 12.0, -12.0, 18.0, -18.0, 26.0, -26.0):
                        box = (low, at[1] + dy - h / 2.0, high, at[1] + dy + h / 2.0)
                        cost = abs(dy) + 0.1 * abs(dx) + 3.0 * len(lines)
                        if (best is None or cost < best[0]) and self.free(box):
                            best = (cost, box, turn, lines)
        if best is None:
            return self.near(at, text, style) if others else []
        self.full.append(best[1])
        return _in_box(best[1], best[3], style, best[2])


_CLEAR_MM = 9.0
"""Words beside one line end this far from the next [mm]."""


def _ways(text: str, style: Style) -> list[list[str]]:
    ways = [broken(text, style, wide) for wide in (math.inf, 40.0, 28.0)]
    return [w for k, w in enumerate(ways) if w not in ways[:k]]


def _in_box(box: Frame, lines: Sequence[str], style: Style, turn: float) -> list[Mark]:
    x, y = (box[0] + box[2]) / 2.0, (box[1] + box[3]) / 2.0
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    marks: list[Mark] = []
    for number, part in enumerate(lines):
        down = 4.0 * (number - (len(lines) - 1) / 2.0) + style.size_pt * 0.25 * 25.4 / 72.0
        marks.append(Words((x + s * down, y - c * down), part, style, "centre", turn))
    return marks


def _best(room: _Room, choices: Sequence[Sequence[tuple[str, Style]]]) -> list[Mark]:
    middle = tuple(float(v) for v in (room.edge.min(axis=0) + room.edge.max(axis=0)) / 2.0)
    for lines in choices:
        wide = max(style.width(text) for text, style in lines) + 3.0
        high = 4.0 * len(lines) + 1.6
        box = room.find(wide, high, lambda p: abs(p[1] - middle[1]) + 0.5 * abs(p[0] - middle[0]))
        if box is not None:
            return [Words(((box[0] + box[2]) / 2.0, box[3] - 0.8 - 4.0 * k - 2.9), text, style, "centre")
                    for k, (text, style) in enumerate(lines)]
    return []


def _up_arrow(room: _Room, wrap: Wrap) -> list[Mark]:
    """An arrow towards +y, with what up means where there is room for it."""
    low, top = float(room.edge[:, 1].min()), float(room.edge[:, 1].max())
    words = f"up: {wrap.up}"
    for long in (18.0, 12.0, 8.0, 6.0):
        for text in (words, "up"):
            wide = SMALL.width(text) + 6.0
            box = room.find(wide, long, lambda p: abs(p[1] - (low + top) / 2.0) + 0.3 * abs(p[0]))
            if box is not None:
                x = box[0] + 2.0
                return [line((x, box[1] + 0.5), (x, box[3] - 1.0), LineKind.OUTLINE),
                        arrowhead((x, box[3] - 0.5), (0.0, 1.0), 3.4, 1.0),
                        Words((x + 2.6, (box[1] + box[3]) / 2.0 - 1.1), text, SMALL)]
    return []


# -- what goes round it -----------------------------------------------------------------------------------------


def check_bars(paper: Paper) -> list[Mark]:
    """A bar of 100 mm and one of 4 in along the lower edge, and one of 100 mm up the right edge."""
    x, y = MARGIN_MM, MARGIN_MM + FOOT_MM + 6.4
    marks: list[Mark] = [rectangle(x, y, x + BAR_MM, y + 1.6), rectangle(x, y - 5.0, x + BAR_IN_MM, y - 3.4)]
    marks += [line((x + 10.0 * k, y), (x + 10.0 * k, y + 1.6)) for k in range(1, 10)]
    marks += [line((x + 25.4 * k, y - 5.0), (x + 25.4 * k, y - 3.4)) for k in range(1, 4)]
    marks += [Words((x + BAR_MM + 3.0, y), "100 mm", SMALL_FIGURE_BOLD),
              Words((x + BAR_IN_MM + 1.4, y - 5.0), "4 in", SMALL_FIGURE_BOLD)]
    far = paper.width_mm - MARGIN_MM
    words = "Measure these bars before you cut:", "print at full size, never fitted to the page."
    marks += [Words((far, y), words[0], SMALL_BOLD, "right"), Words((far, y - 4.4), words[1], SMALL, "right")]
    right, low = paper.width_mm - MARGIN_MM + 2.6, MARGIN_MM + FOOT_MM + _BARS_MM
    marks += [rectangle(right, low, right + 1.6, low + BAR_MM),
              *(line((right, low + 10.0 * k), (right + 1.6, low + 10.0 * k)) for k in range(1, 10)),
              Words((right + 1.6, low + BAR_MM + 2.0), "100 mm", SMALL_FIGURE_BOLD, "left", 90.0)]
    return marks


def _head(leaf: Leaf, wraps: Sequence[Wrap], page: Sequence[_Spot], stop: Stop) -> None:
    left, right, y = MARGIN_MM, leaf.width - MARGIN_MM, leaf.height - MARGIN_MM - 5.0
    tag = stop_tag(stop, (right, y))
    numbers = ", ".join(str(s.number) for s in page)
    spot = page[0]
    if spot.rows * spot.columns > 1:
        words = f"Template {numbers}: row {spot.row} of {spot.rows} from below, column {spot.column} of {spot.columns}"
    else:
        words = f"Template{'s' if len(page) > 1 else ''} {numbers}, full size"
    room = right - left - (stop_width(tag) + 4.0)
    leaf.add(Words((left, y), fitted(words, SECTION, room), SECTION), *tag)


def stop_width(tag: Sequence[Mark]) -> float:
    """Width of a stop tag [mm]."""
    frame = tag[0]
    assert isinstance(frame, Stroke)
    box = bounds_of(frame.points)
    return box[2] - box[0]


def _match_marks(spot: _Spot) -> list[Mark]:
    """Crosses in the middle of the strip that two tiles share; they fall on each other when the tiles lie right."""
    marks: list[Mark] = []
    left, low, right, top = spot.frame
    half = OVERLAP_MM / 2.0
    for there, x, letter, number in ((spot.column > 1, left + half, "c", spot.column - 1),
                                     (spot.column < spot.columns, right - half, "c", spot.column)):
        if there:
            marks.append(line((x, low), (x, top), LineKind.GHOST))
            marks += [m for part in (0.2, 0.8)
                      for m in _cross((x, low + (top - low) * part), f"{letter}{number}.{spot.row}")]
    for there, y, letter, number in ((spot.row > 1, low + half, "r", spot.row - 1),
                                     (spot.row < spot.rows, top - half, "r", spot.row)):
        if there:
            marks.append(line((left, y), (right, y), LineKind.GHOST))
            marks += [m for part in (0.2, 0.8)
                      for m in _cross((left + (right - left) * part, y), f"{letter}{number}.{spot.column}")]
    return marks


def _cross(at: Point, words: str) -> list[Mark]:
    x, y = at
    return [line((x - 3.0, y), (x + 3.0, y)), line((x, y - 3.0), (x, y + 3.0)), Circle(at, 2.0, LineKind.THIN),
            Words((x + 2.4, y + 2.2), words, SMALL, patch=False)]


def _how_to(flow: Flow, wraps: Sequence[Wrap], pages: Sequence[Sequence[_Spot]], stop: Stop,
            before: int) -> None:
    flow.title(SHEET, "Paper to wrap round the pipe: mark with a scriber along its edge and lines, then cut the pipe "
               "to the mark.")
    flow.stop_bar(stop)
    flow.section("Before you cut")
    flow.points((_PRINTING, _JOINING, _WRAPPING, _SAWING))
    flow.section("The templates", 30.0)
    rows: list[tuple[Cell, ...]] = []
    for number, wrap in enumerate(wraps, 1):
        there = [before + k for k, page in enumerate(pages, 1) if any(s.number == number for s in page)]
        on = f"{there[0]}" if len(there) == 1 else f"{there[0]} to {there[-1]}"
        round_mm = wrap.circumference_mm
        edges = f"Cut edges: {wrap.cut_edges}. Seam: {wrap.seam}. Arrow: {wrap.up}."
        what = [Run(wrap.title, TEXT_BOLD), Run(edges, SMALL)]
        what += [Run(note, SMALL) for note in wrap.notes]
        rows.append((Run(str(number), SMALL_FIGURE_BOLD), tuple(what),
                     small_number_cell(f"{round_mm:.2f} mm", inch(round_mm, flow.meta.fraction)),
                     Run(on, SMALL_FIGURE)))
    flow.table((Column("No.", 0.35), Column("Template", 3.65), Column("Goes round", 1.3, "right"),
                Column("Page", 0.7, "right")), rows)
