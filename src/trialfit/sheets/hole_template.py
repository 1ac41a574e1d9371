"""Drill and slot templates at true size: a flat part's holes on paper, tiled where it is larger than a leaf.

Every page has bars to measure before anything is punched. Paper shrinks, stretches and slips: what must lie nearer than
half a millimetre is bored by its coordinates, and the template then only shows which hole is which.
"""

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from trialfit.mates import Hole, Plate
from trialfit.sheets.drawing import (
    FIGURE,
    SECTION,
    SMALL,
    SMALL_BOLD,
    SMALL_FIGURE,
    SMALL_FIGURE_BOLD,
    TEXT_BOLD,
    Circle,
    Fill,
    Frame,
    Leaf,
    LineKind,
    Mark,
    Point,
    Stroke,
    Words,
    arrowhead,
    line,
    rectangle,
    shifted,
)
from trialfit.sheets.labels import Label, place, points_along
from trialfit.sheets.paper import (
    MARGIN_MM,
    Cell,
    Column,
    Flow,
    Run,
    SheetMeta,
    Stop,
    fitted,
    foot,
    paper_called,
    stop_tag,
)
from trialfit.sheets.pdf import pdf
from trialfit.sheets.plate_drawing import hole_outline, numbered, plate_bounds, put_round, short_size
from trialfit.sheets.wrap import OVERLAP_MM, check_bars, clipped, printable_area, stop_width

SHEET = "Drill and slot templates, full size"
PAPER_MM = 0.5
"""How far a mark through paper may be off; common practice, no source."""
_EDGE_MM = 0.6
_SAME_MM = 0.05
_CROSS_MM = 4.0
_NOTE_MM = 10.4
"""Paper under the head of each page, for two notes."""
_NOTE_STEP_MM = 4.4
_PUNCH = (
    "Punch through the middle of each cross, take the paper off, and measure from mark to mark as in the table "
    "below, before a drill turns. Then a small drill first, clamped, the last drill a little under size where "
    "a limit stands."
)
_HOW = (
    (
        "Print at full size. Lay a steel rule on the bars of every page: 100 mm and 4 in to within half a "
        "millimetre in both directions. If not, the printer has scaled the page: nothing on it is true."
    ),
    (
        "Where a template runs over several pages, lay the crosses of the shared strip on each other, then tape. "
        "Glue it flat on clean metal, its datum on the part's, the printed side as the worked side says."
    ),
    _PUNCH,
    (
        "Dashed holes are there already and only help to lay the paper. Solid ones with a cross are drilled; a slot "
        "is two holes at its ends, then the web between them taken out. What has no cross is neither punched nor "
        "drilled by hand: its page says why."
    ),
    (
        "Part clamped, never held; eye protection; no gloves near a drill. No hole is drilled in a hub, axle, "
        "brake, steering or suspension part by hand: that is a shop's work, its template is only to check the "
        "shop's work against, and local codes decide who may do it."
    ),
)


@dataclass(frozen=True, slots=True)
class Tile:
    """One leaf's share of a template: ``shift`` takes its own coordinates to paper, ``frame`` is what shows [mm]."""

    shift: Point
    frame: Frame
    row: int
    rows: int
    column: int
    columns: int


def hole_template_sheets(
    plates: Sequence[Plate], meta: SheetMeta, stop: Stop, quantities: Mapping[Plate, str] | None = None
) -> bytes:
    """The templates as PDF at 1 : 1, after a page that says how they are used and what to measure.

    Parameters
    ----------
    plates : sequence of Plate
        flat parts with new holes, in the order wanted; at least one that is to be had at true size
    meta : SheetMeta
        what the foot says, and on which paper
    stop : Stop
        whether they may be drilled from
    quantities : mapping, optional
        how many parts there are of a plate and which, in words

    Raises
    ------
    ValueError
        when no plate is to be had at true size
    """
    leaves = hole_template_leaves(plates, meta, stop, quantities)
    return pdf(leaves, f"{meta.build}: drill and slot templates, full size")


def hole_template_leaves(
    plates: Sequence[Plate], meta: SheetMeta, stop: Stop, quantities: Mapping[Plate, str] | None = None
) -> list[Leaf]:
    """The leaves of :func:`hole_template_sheets`."""
    shown = [p for p in plates if p.at_true_size]
    if not shown:
        raise ValueError("no plate is to be printed at true size: 1 at least")
    paper = paper_called(meta.paper)
    left, low, right, top = printable_area(paper)
    area = (left, low, right, top - _NOTE_MM)
    laid = [tiles(plate_bounds(plate), area) for plate in shown]
    told = quantities or {}
    first = len(_how_to(Flow(meta, SHEET), shown, laid, stop, 0, told).leaves)
    leaves = _how_to(Flow(meta, SHEET), shown, laid, stop, first, told).leaves
    for number, (plate, spots) in enumerate(zip(shown, laid, strict=True), 1):
        marks = template_marks(plate)
        for tile in spots:
            leaf = Leaf(paper.width_mm, paper.height_mm)
            _head(leaf, number, plate, tile, stop)
            here = clipped([shifted(m, *tile.shift) for m in marks], tile.frame)
            joins = _joins(tile)
            leaf.extend((*here, *joins, *_names(plate, tile, here, joins), *check_bars(paper)))
            leaves.append(leaf)
    for number, leaf in enumerate(leaves, 1):
        leaf.extend(foot(meta, SHEET, leaf, number, len(leaves)))
    return leaves


def tiles(box: Frame, area: Frame) -> list[Tile]:
    """How a thing of that box is spread over leaves that share strips of 10 mm; one tile where it goes on one leaf.

    >>> [(t.column, t.row) for t in tiles((-10.0, -10.0, 10.0, 10.0), (12.0, 42.0, 197.0, 276.0))]
    [(1, 1)]
    """
    left, low, right, top = box[0] - _EDGE_MM, box[1] - _EDGE_MM, box[2] + _EDGE_MM, box[3] + _EDGE_MM
    wide, high = area[2] - area[0], area[3] - area[1]
    columns, rows = _count(right - left, wide), _count(top - low, high)
    found = []
    for row in range(rows):
        for column in range(columns):
            from_x, from_y = left + column * (wide - OVERLAP_MM), low + row * (high - OVERLAP_MM)
            shift = (area[0] - from_x, area[1] - from_y)
            if columns == rows == 1:
                # in the middle of its leaf, where printers are truest
                shift = ((area[0] + area[2] - left - right) / 2.0, (area[1] + area[3] - low - top) / 2.0)
            frame = (
                area
                if columns == rows == 1
                else (area[0], area[1], min(area[2], right + shift[0]), min(area[3], top + shift[1]))
            )
            found.append(Tile(shift, frame, row + 1, rows, column + 1, columns))
    return found


def _count(long: float, room: float) -> int:
    return 1 if long <= room else math.ceil((long - OVERLAP_MM) / (room - OVERLAP_MM))


def template_marks(plate: Plate) -> list[Mark]:
    """Edge, bore, holes, crosses and axes in the plate's own coordinates, as lines that can be cut at a leaf's edge."""
    marks: list[Mark] = []
    if plate.outline:
        marks.append(Stroke(plate.outline, LineKind.OUTLINE, True))
    rounds = [
        (plate.round_mm if not plate.outline else 0.0, LineKind.OUTLINE),
        (plate.bore_mm, LineKind.OUTLINE),
        *((diameter, LineKind.CENTRE) for diameter, _ in plate.circles),
    ]
    for diameter, kind in rounds:
        if diameter > 0.0:
            marks.append(Stroke(_ring(diameter), kind, True))
    for _, hole in numbered(plate):
        marks.append(Stroke(hole_outline(hole, 0.3), LineKind.HIDDEN if hole.old else LineKind.OUTLINE, True))
    for _, (x, y) in punched(plate):
        marks += [line((x - _CROSS_MM, y), (x + _CROSS_MM, y)), line((x, y - _CROSS_MM), (x, y + _CROSS_MM))]
    left, low, right, top = plate_bounds(plate)
    return [
        *marks,
        line((min(left, 0.0), 0.0), (max(right, 0.0), 0.0), LineKind.CENTRE),
        line((0.0, min(low, 0.0)), (0.0, max(top, 0.0)), LineKind.CENTRE),
    ]


def _middles(hole: Hole) -> list[Point]:
    """Where a drill goes in: the middle of a hole, the middles of both ends of a slot [mm]."""
    c, s = math.cos(hole.slot_rad) * hole.slot_mm / 2.0, math.sin(hole.slot_rad) * hole.slot_mm / 2.0
    if hole.slot_mm <= 0.0:
        return [(hole.x_mm, hole.y_mm)]
    return [(hole.x_mm - c, hole.y_mm - s), (hole.x_mm + c, hole.y_mm + s)]


def _in_air(plate: Plate, at: Point) -> bool:
    """Whether a place lies in a hole that is there already, or in the bore, so that a punch finds no metal."""
    if math.hypot(*at) < plate.bore_mm / 2.0:
        return True
    for hole in plate.holes:
        along, across = math.cos(hole.slot_rad), math.sin(hole.slot_rad)
        dx, dy = at[0] - hole.x_mm, at[1] - hole.y_mm
        past = max(abs(dx * along + dy * across) - hole.slot_mm / 2.0, 0.0)
        if hole.old and math.hypot(past, dy * along - dx * across) < hole.diameter_mm / 2.0:
            return True
    return False


def punched(plate: Plate) -> list[tuple[str, Point]]:
    """Each mark that is punched through the paper, with its name: the middles of new holes, and of both ends of slots
    as 1a and 1b. Left out: everything on a part that only a shop drills, what is too fine for paper, and what lies in a
    hole that is there already."""
    if plate.shop:
        return []
    fine = set(too_fine(plate))
    return [
        (f"{name}{letter if hole.slot_mm > 0.0 else ''}", at)
        for name, hole in numbered(plate)
        if not hole.old and name not in fine
        for letter, at in zip("ab", _middles(hole), strict=False)
        if not _in_air(plate, at)
    ]


def air_note(plate: Plate) -> str:
    """What is said of new holes and slots whose middle lies in a hole that is there already; "" where none does."""
    whole: list[str] = []
    half: list[str] = []
    opened: list[str] = []
    old = [(hole.x_mm, hole.y_mm) for hole in plate.holes if hole.old]
    for name, hole in numbered(plate):
        air = [] if hole.old else [at for at in _middles(hole) if _in_air(plate, at)]
        if air and hole.slot_mm <= 0.0 and any(math.dist(air[0], at) < _SAME_MM for at in old):
            opened.append(name)
        elif air:
            (half if hole.slot_mm > 0.0 and len(air) == 1 else whole).append(name)
    told = [f"{', '.join(opened)}: opened up from the old hole, no punch mark"] if opened else []
    if whole:
        told.append(
            f"{', '.join(whole)}: middle in an old hole, cannot be punched or drilled: mill or file from the old hole "
            "to the line"
        )
    if half:
        told.append(f"{', '.join(half)}: one end in an old hole: drill the other, file the web out to the line")
    return f"{'; '.join(told)}." if told else ""


def notes(plate: Plate) -> list[str]:
    """What the page of a plate says under its head: who drills it, and what cannot be punched."""
    fine = too_fine(plate)
    names = f"{'Holes' if len(fine) > 1 else 'Hole'} {', '.join(fine)}"
    who = ""
    if plate.shop:
        who = f"To be drilled by the shop: {plate.shop}. This paper is only to check the shop's work against."
    elif fine:
        who = f"{names}: bored by coordinates. This paper only shows which is which."
    return [note for note in (who, air_note(plate)) if note]


def _ring(diameter: float) -> tuple[Point, ...]:
    count = max(60, math.ceil(math.pi * diameter / 0.5 / 4.0) * 4)
    return tuple(put_round((0.0, 0.0), diameter / 2.0, 2.0 * math.pi * k / count) for k in range(count))


def _names(plate: Plate, tile: Tile, here: Sequence[Mark], joins: Sequence[Mark]) -> list[Mark]:
    """Name and size beside each hole whose middle lies on this leaf, the datum, and which way x runs."""
    left, low, right, top = tile.frame
    labels = []
    for name, hole in numbered(plate):
        x, y = hole.x_mm + tile.shift[0], hole.y_mm + tile.shift[1]
        if left <= x <= right and low <= y <= top:
            size = f"\u00d8 {short_size(hole.diameter_mm)}"
            lines = ((name, SMALL_FIGURE_BOLD), (size, SMALL_FIGURE)) if not hole.old else ((name, SMALL),)
            r = hole.diameter_mm / 2.0
            edge = tuple(put_round((x, y), r, k * math.pi / 6.0) for k in range(12))
            labels.append(Label(edge[1], lines, dot=False, others=edge[2:]))
    zero = tile.shift
    marks: list[Mark] = [
        Words((x + tile.shift[0] + 0.8, y + tile.shift[1] + 0.8), name, SMALL_FIGURE)
        for name, (x, y) in punched(plate)
        if name[-1] in "ab" and left <= x + tile.shift[0] <= right - 6.0 and low <= y + tile.shift[1] <= top - 4.0
    ]
    if left <= zero[0] <= right - 14.0 and low <= zero[1] <= top - 14.0:
        labels.append(Label(zero, (("A, datum", SMALL_BOLD),)))
        for tip, along, word in (
            ((zero[0] + 12.0, zero[1]), (1.0, 0.0), "x"),
            ((zero[0], zero[1] + 12.0), (0.0, 1.0), "y"),
        ):
            marks += [
                arrowhead(tip, along),
                Words((tip[0] + 1.0, tip[1] + 1.0), word, SMALL_BOLD),
                Circle(zero, 0.7, None, Fill.BLACK),
            ]
    words = [*joins, *marks]
    placed = place(
        labels, tile.frame, points_along([*here, *marks], 0.4), [m.box(0.4) for m in words if isinstance(m, Words)]
    )
    return [*marks, *placed.marks]


def too_fine(plate: Plate) -> list[str]:
    """Names of the new holes whose middle must lie nearer to its place than a mark through paper does."""
    return [
        name
        for name, h in numbered(plate)
        if not h.old and h.position_mm is not None and h.position_mm < 2.0 * PAPER_MM
    ]


def _head(leaf: Leaf, number: int, plate: Plate, tile: Tile, stop: Stop) -> None:
    left, right, y = MARGIN_MM, leaf.width - MARGIN_MM, leaf.height - MARGIN_MM - 5.0
    said = notes(plate)
    tag = stop_tag(Stop(False, stop.work, "") if plate.shop or too_fine(plate) else stop, (right, y))
    where = ""
    if tile.rows * tile.columns > 1:
        where = f", row {tile.row} of {tile.rows} from below, column {tile.column} of {tile.columns}"
    words = f"Template {number}{where}: {plate.title}"
    leaf.add(Words((left, y), fitted(words, SECTION, right - left - stop_width(tag) - 4.0), SECTION), *tag)
    for row, note in enumerate(said, 1):
        leaf.add(Words((left, y - 0.9 - _NOTE_STEP_MM * row), fitted(note, SMALL_BOLD, right - left), SMALL_BOLD))


def _joins(tile: Tile) -> list[Mark]:
    """Where two leaves share a strip: its middle line, and crosses that fall on each other when they lie right."""
    left, low, right, top = tile.frame
    half = OVERLAP_MM / 2.0
    upright = [(left + half, tile.column - 1)] * (tile.column > 1) + [(right - half, tile.column)] * (
        tile.column < tile.columns
    )
    level = [(low + half, tile.row - 1)] * (tile.row > 1) + [(top - half, tile.row)] * (tile.row < tile.rows)
    marks: list[Mark] = []
    for x, seam in upright:
        marks.append(line((x, low), (x, top), LineKind.GHOST))
        for part in (0.2, 0.8):
            marks += _cross((x, low + (top - low) * part), f"c{seam}.{tile.row}")
    for y, seam in level:
        marks.append(line((left, y), (right, y), LineKind.GHOST))
        for part in (0.2, 0.8):
            marks += _cross((left + (right - left) * part, y), f"r{seam}.{tile.column}")
    return marks


def _cross(at: Point, words: str) -> list[Mark]:
    x, y = at
    return [
        line((x - 3.0, y), (x + 3.0, y)),
        line((x, y - 3.0), (x, y + 3.0)),
        Circle(at, 2.0, LineKind.THIN),
        Words((x + 2.4, y + 2.2), words, SMALL),
    ]


def spans(plate: Plate) -> list[tuple[str, str, float]]:
    """What to measure between punch marks: each mark to the next, and the first to the farthest [mm]."""
    new = punched(plate)
    pairs = list(itertools.pairwise(new))
    if len(new) > 2:
        far = max(new[1:], key=lambda n: math.dist(n[1], new[0][1]))
        pairs += [] if (new[0], far) in pairs else [(new[0], far)]
    return [(a[0], b[0], math.dist(a[1], b[1])) for a, b in pairs]


def _how_to(flow: Flow, plates: Sequence[Plate], laid: Sequence[Sequence[Tile]], stop: Stop, before: int,
            quantities: Mapping[Plate, str]) -> Flow:  # fmt: skip
    by_hand = any(punched(plate) for plate in plates)
    flow.title(
        SHEET,
        "Paper to glue on a flat part: punch through it, measure, then drill."
        if by_hand
        else "Nothing here is punched or drilled by hand: paper to lay on a flat part and see which hole is which.",
    )
    flow.stop_bar(stop)
    flow.section("Before a drill turns")
    flow.points([words for words in _HOW if by_hand or words != _PUNCH])
    flow.section("The templates", 30.0)
    rows: list[tuple[Cell, ...]] = []
    page = before
    for number, (plate, spots) in enumerate(zip(plates, laid, strict=True), 1):
        on = f"{page + 1}" if len(spots) == 1 else f"{page + 1} to {page + len(spots)}"
        page += len(spots)
        what = [Run(plate.title, TEXT_BOLD), Run(f"Datum A: {plate.datum}. Seen from the worked side.", SMALL)]
        if plate in quantities:
            what.append(Run(f"Quantity {quantities[plate]}.", SMALL_BOLD))
        fine = too_fine(plate)
        if fine and not plate.shop:
            what.append(
                Run(
                    f"Not from paper: hole{'s' if len(fine) > 1 else ''} {', '.join(fine)}, whose middle must lie in a "
                    f"zone under {2.0 * PAPER_MM:g} mm across; bored by coordinates. Paper is good to half a "
                    "millimetre (common practice, no source).",
                    SMALL_BOLD,
                )
            )
        what += [Run(note, SMALL_BOLD) for note in notes(plate)[0 if plate.shop or not fine else 1 :]]
        rows.append((Run(str(number), SMALL_FIGURE_BOLD), tuple(what), Run(on, SMALL_FIGURE)))
    flow.table((Column("No.", 0.35), Column("Template", 4.75), Column("Page", 0.9, "right")), rows)
    _spans(flow, plates)
    return flow


def _spans(flow: Flow, plates: Sequence[Plate]) -> None:
    box = (rectangle(0.0, -1.6, flow.wide / 6.0 - 6.0, 3.4, LineKind.THIN),)
    rows: list[tuple[Cell, ...]] = []
    for number, plate in enumerate(plates, 1):
        for a, b, mm in spans(plate):
            rows.append(
                (
                    Run(str(number), SMALL_FIGURE_BOLD),
                    f"mark {a} to mark {b}",
                    (Run(f"{mm:.2f} mm", FIGURE),),
                    Run(f"{mm / 25.4:.3f} in", SMALL_FIGURE),
                    box,
                )
            )
    if rows:
        flow.section("Measure from punch mark to punch mark", 24.0)
        flow.table(
            (
                Column("No.", 0.35),
                Column("From and to", 2.25),
                Column("Must be", 1.2, "right"),
                Column("", 1.2, "right"),
                Column("Measured", 1.0),
            ),
            rows,
        )
