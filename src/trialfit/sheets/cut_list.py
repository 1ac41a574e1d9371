"""The cut list: the whole pipe to scale, every piece in a table, then a true drawing of each with what to do to it."""

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from trialfit import units
from trialfit.exhaust.parts import wide_way
from trialfit.exhaust.pieces import Clocking, CutList, Kind, Piece, PieCut, SawMark, StockCut, Way
from trialfit.sheets.drawing import (
    FIGURE,
    FIGURE_BOLD,
    SECTION,
    SMALL,
    SMALL_BOLD,
    SMALL_FIGURE,
    TEXT,
    TEXT_BOLD,
    Fill,
    Frame,
    Leaf,
    LineKind,
    Mark,
    Point,
    Stroke,
    Words,
    line,
    scale_for,
    shifted,
)
from trialfit.sheets.labels import Label, place, points_along
from trialfit.sheets.lengths import degrees, inch, minus, pair, to_cut, wall, with_doubt
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta, Stop, number_cell, small_number_cell
from trialfit.sheets.pdf import pdf
from trialfit.sheets.picture import View, band, hull
from trialfit.sheets.pieces import centre_line, clock_face, true_shape, whole_run

_WELDING = (
    "Welding: zinc and other coatings give off fumes that poison; grind them well back or leave the job to a welder "
    "who may. Mask for eyes and skin, fresh air, no fuel or brake cleaner near, a second person and an extinguisher "
    "within reach, and look again after half an hour for what smoulders."
)
_GAS = (
    "Carbon monoxide cannot be smelt and kills. Every joint must be tight ahead of and under the cabin, and the outlet "
    "must end beyond it. Never run the engine indoors."
)
CAUTIONS = (
    _WELDING,
    _GAS,
    "Vehicle on stands on firm level ground before anybody goes under it: never on a jack alone.",
    "Local codes decide on noise, emissions, where the outlet ends and who may change it. Ask before cutting.",
)

Floats = NDArray[np.float64]


def cut_list_leaves(cut_list: CutList, meta: SheetMeta, stop: Stop, questions: Sequence[str] = ()) -> list[Leaf]:
    """The leaves of :func:`cut_list_sheet`."""
    flow = Flow(meta, f"Cut list, {cut_list.route}")
    d, d_in = pair(cut_list.diameter_mm, None, meta.fraction)
    flow.title(f"Cut list: {cut_list.route}",
               f"Round pipe {d} ({d_in}) outside, wall {wall(cut_list.wall_mm)}. Pieces are numbered from the "
               "outlet to the tail, joints lettered the same way; downstream is the way the gas goes.")
    flow.stop_bar(stop)
    flow.still_to_fill_in(questions)
    _to_buy(flow, cut_list)
    _sketch(flow, cut_list)
    _pieces_table(flow, cut_list)
    made_beside(flow, cut_list)
    _joints_table(flow, cut_list)
    _start(flow, cut_list)
    for piece in cut_list.pieces:
        _piece(flow, cut_list, piece)
    flow.section("Before you cut and weld", 30.0)
    flow.points([*cut_list.notes, *CAUTIONS])
    return flow.finish()


def cut_list_sheet(cut_list: CutList, meta: SheetMeta, stop: Stop, questions: Sequence[str] = ()) -> bytes:
    """The cut list as PDF.

    Parameters
    ----------
    cut_list : CutList
        every piece of one route
    meta : SheetMeta
        what the foot says, and on which paper
    stop : Stop
        whether the pipe may be cut yet, and why
    questions : sequence of str
        what the builder must still fill in
    """
    return pdf(cut_list_leaves(cut_list, meta, stop, questions), f"{meta.build}: cut list, {cut_list.route}")


# -- first page -------------------------------------------------------------------------------------------------


def _to_buy(flow: Flow, cut_list: CutList) -> None:
    flow.section("What it takes", 14.0)
    fraction = flow.meta.fraction
    rows: list[tuple[Cell, ...]] = []
    if cut_list.straight_tube_mm > 0.0:
        what = ("all straight pieces and pie cuts end to end, saw cuts between wedges counted, between pieces not")
        rows.append(("Straight tube", what, small_number_cell(*pair(cut_list.straight_tube_mm, None, fraction))))
    for there, stock in (("on the shelf", cut_list.stock_at_hand), ("to buy", cut_list.stock_to_buy)):
        rows += [(name, there, Run(f"{count}", FIGURE_BOLD)) for name, count in stock]
    ends = (f"along its centre line, from the outlet face {cut_list.pieces[0].start} to the tail "
            f"{cut_list.pieces[-1].end}")
    rows.append(("Finished pipe", ends, small_number_cell(*pair(cut_list.total_length_mm, None, fraction))))
    rows += [(p.part.name, p.part.kind, Run("1", FIGURE_BOLD)) for p in cut_list.pieces if p.part is not None]
    rows += [(e.name, f"{e.kind}: {_both_ways(e.take)}", Run("1", FIGURE_BOLD)) for e in cut_list.extras]
    if cut_list.all_welds:
        more = "".join(f"; {e.welds} of {e.name}: {_both_ways(e.welded)}" for e in cut_list.extras)
        what = f"{cut_list.welds} between the pieces and within pie cuts{more}; the outlet's own not counted"
        rows.append(("Welds", what, Run(f"{cut_list.all_welds}", FIGURE_BOLD)))
    flow.table((Column("", 1.15), Column("", 3.45), Column("", 1.4, "right")),
               [(Run(str(a), TEXT_BOLD), b, c) for a, b, c in rows])


def _sketch(flow: Flow, cut_list: CutList) -> None:
    run = whole_run(cut_list)
    r = cut_list.diameter_mm / 2.0
    spans = [(float(run[:, v].min()) - r, float(run[:, v].max()) + r) for v in range(3)]
    room = 14.0
    deep = (spans[2][1] - spans[2][0]) + (spans[1][1] - spans[1][0])
    scale = scale_for(spans[0][1] - spans[0][0], deep, flow.wide - 24.0, 150.0 - 4 * room)
    high = (deep / scale) + 4 * room
    flow.section(f"The whole pipe, scale 1 : {scale}", high + 4.0)
    x = (flow.wide - (spans[0][1] - spans[0][0]) / scale) / 2.0
    side_base = high - room - (spans[2][1] - spans[2][0]) / scale
    middle = side_base - room
    side = View(scale, spans[0][0], spans[2][0], (x, side_base), 1)
    plan = View(scale, spans[0][0], spans[1][0], (x, middle - room), -1)
    marks: list[Mark] = []
    marks += _one_view(cut_list, side, 2, (0.0, middle, flow.wide, high), "From the car's left, nose to the left")
    marks += _one_view(cut_list, plan, 1, (0.0, 0.0, flow.wide, middle),
                       "From below, nose to the left, car's right side at the bottom")
    flow.drawing(marks, high)


def _one_view(cut_list: CutList, view: View, v: int, frame: Frame, head: str) -> list[Mark]:
    words = Words((frame[0], frame[3] - 3.6), head, SMALL)
    wide = cut_list.diameter_mm / view.scale
    marks: list[Mark] = []
    joints: list[Mark] = []
    labels: list[Label] = []
    axis: list[Point] = []
    for piece in cut_list.pieces:
        points = [view.place(float(p[0]), float(p[v])) for p in centre_line(piece)]
        axis += points
        labels.append(Label(_halfway(points), ((str(piece.number), SMALL_BOLD),), dot=False, framed=True))
    for piece in cut_list.pieces:
        points = [view.place(float(p[0]), float(p[v])) for p in centre_line(piece)]
        labels.append(Label(points[0], ((piece.start, TEXT_BOLD),), dot=False))
        joints += _face(points[0], points[1], wide)
    labels.append(Label(axis[-1], ((cut_list.pieces[-1].end, TEXT_BOLD),), dot=False))
    joints += _face(points[-1], points[-2], wide)
    marks += [*band(axis, wide), *_parts_seen(cut_list, view, v), *joints]
    placed = place(labels, frame, points_along(marks, 1.0), [words.box(0.5)])
    return [words, *marks, *placed.marks]


def _parts_seen(cut_list: CutList, view: View, v: int) -> list[Mark]:
    """Every part as it looks from this side: as long as it is, and as wide as it reaches out there."""
    marks: list[Mark] = []
    for piece in cut_list.pieces:
        if piece.part is None:
            continue
        start, end = np.array(piece.start_xyz_mm), np.array(piece.end_xyz_mm)
        along = (end - start) / np.linalg.norm(end - start)
        wide, high = piece.part.width.mm, piece.part.height.mm
        way = wide_way(along, piece.part.clock_rad)
        up = np.cross(along, way)
        ring = [start + x * (end - start) + s * (wide - high) / 2.0 * way
                + high / 2.0 * (math.cos(a) * way + math.sin(a) * up)
                for x in (0.0, 1.0) for s in (-1.0, 1.0) for a in np.linspace(0.0, math.tau, 36, endpoint=False)]
        seen = hull(view.place(float(p[0]), float(p[v])) for p in ring)
        marks.append(Stroke(seen, LineKind.OUTLINE, True, Fill.TINT))
    return marks


def _face(at: Point, towards: Point, wide: float) -> list[Mark]:
    """A short line across the pipe where two pieces meet; none where the view looks along the pipe."""
    long = math.hypot(towards[0] - at[0], towards[1] - at[1])
    if long < 0.05:
        return []
    nx, ny = -(towards[1] - at[1]) / long * (wide / 2.0 + 0.8), (towards[0] - at[0]) / long * (wide / 2.0 + 0.8)
    return [line((at[0] - nx, at[1] - ny), (at[0] + nx, at[1] + ny), LineKind.OUTLINE)]


def _halfway(points: Sequence[Point]) -> Point:
    steps = [math.hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points)]
    rest = sum(steps) / 2.0
    for (a, b), step in zip(pairwise(points), steps, strict=True):
        if rest <= step and step > 0.0:
            t = rest / step
            return a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t
        rest -= step
    return points[0]


def _kind_words(piece: Piece) -> str:
    if piece.kind is Kind.STRAIGHT:
        return "straight"
    if piece.part is not None:
        return f"{piece.part.name} ({piece.part.kind})" if piece.part.name != piece.part.kind else piece.part.kind
    if piece.pie is not None:
        return f"pie-cut bend, {piece.pie.pieces} pieces"
    return "bend"


def _pieces_table(flow: Flow, cut_list: CutList) -> None:
    flow.section("Pieces, outlet to tail", 30.0)
    rows: list[tuple[Cell, ...]] = []
    for piece in cut_list.pieces:
        turn: Cell = "" if piece.kind in (Kind.STRAIGHT, Kind.PART) else (
            Run(degrees(piece.bend_angle_rad), FIGURE), Run(f"R {minus(piece.radius_mm, 1)} mm", SMALL_FIGURE))
        then: Cell = ""
        if piece.clocking is not None:
            then = _clocking_short(piece.clocking)
        what = (Run(_kind_words(piece)), Run(f"joint {piece.start} to {piece.end}", SMALL))
        long = piece.length_to_cut_mm
        rows.append((Run(str(piece.number), FIGURE_BOLD), what, turn, then,
                     number_cell(to_cut(long, piece.sd_mm), inch(long, flow.meta.fraction))))
    flow.table((Column("No.", 0.35), Column("What", 1.35), Column("Turns by, radius", 0.95),
                Column("Then turn the pipe", 1.35), Column("Along the centre line, joint to joint", 2.0, "right")),
               rows)


def made_beside(flow: Flow, cut_list: CutList) -> None:
    """What is made beside the pieces, and where it goes."""
    if not cut_list.extras:
        return
    flow.section("Made or bought beside the pieces", 30.0)
    flow.table((Column("", 1.15), Column("What it takes", 2.0), Column("Where it goes", 2.85)),
               [((Run(e.name, TEXT_BOLD), Run(e.kind, SMALL)), _both_ways(e.take), _both_ways(e.where))
                for e in cut_list.extras])


def _both_ways(words: str) -> str:
    return units.retold(words, "metric", both=True)


def _clocking_short(turn: Clocking) -> tuple[Run, ...]:
    faces = f"outside of {turn.to_piece} faces {turn.points}"
    if turn.way is Way.STRAIGHT_ON:
        return Run("none", TEXT), Run(faces, SMALL)
    way = "half round" if turn.way is Way.OPPOSITE else str(turn.way)
    return (Run(f"{degrees(turn.angle_rad)} {way}", TEXT), Run(f"{minus(turn.arc_mm, 1)} mm on the surface", SMALL),
            Run(faces, SMALL))


def _joints_table(flow: Flow, cut_list: CutList) -> None:
    flow.section("Where the joints lie, at the pipe's centre", 30.0)
    flow.paragraph("Station is rearward of the datum, offset from the chalked centre line, height above the floor; "
                   "vehicle in the load state at the foot of the page.", SMALL)
    places = [(p.start, p.start_xyz_mm) for p in cut_list.pieces]
    places.append((cut_list.pieces[-1].end, cut_list.pieces[-1].end_xyz_mm))
    rows: list[tuple[Cell, ...]] = []
    fraction = flow.meta.fraction
    for letter, (x, y, z) in places:
        side = "on the line" if abs(y) < 0.05 else "right" if y > 0 else "left"
        rows.append((Run(letter, TEXT_BOLD), *(_both(f"{minus(v, 1)} mm{word}", v, fraction) for v, word in
                                               ((x, ""), (abs(y), f" {side}"), (z, "")))))
    flow.table((Column("Joint", 0.6), Column("Station", 1.8, "right"), Column("Offset", 1.8, "right"),
                Column("Height", 1.8, "right")), rows)


def _both(metric: str, mm: float, fraction: int) -> tuple[Run, ...]:
    return Run(metric, FIGURE), Run(inch(mm, fraction), SMALL_FIGURE)


# -- one piece --------------------------------------------------------------------------------------------------


_DRAWING_SPAN = 2.6
_FIGURE_SPAN = 1.4
_LEAST_HIGH_MM = 40.0
_CLOCK_HIGH_MM = 30.0


def _start(flow: Flow, cut_list: CutList) -> None:
    start = cut_list.start
    flow.section("At the outlet", 34.0)
    flow.paragraph(f"Scribe a line along the pipe from end {cut_list.pieces[0].start}: {start.top_means}. Everything "
                   "after it is turned from that line.")
    if start.clocking is not None:
        _clocking(flow, start.clocking)


def _piece(flow: Flow, cut_list: CutList, piece: Piece) -> None:
    rows = _piece_rows(piece, flow.meta.fraction)
    columns = (Column("", 6.0 - _DRAWING_SPAN - _FIGURE_SPAN), Column("", _FIGURE_SPAN, "right"))
    listed = _side_table(flow, rows, columns)
    shape = true_shape(piece, cut_list.diameter_mm, flow.column(_DRAWING_SPAN) - flow.left - 5.0,
                       max(_LEAST_HIGH_MM, listed[1] - 2.0))
    high = max(shape.height_mm + 3.0, listed[1] + 1.0)
    flow.need(high + 13.0 + (_CLOCK_HIGH_MM + 6.0) * (piece.clocking is not None))
    head = f"Piece {piece.number}: {_kind_words(piece)}, from joint {piece.start} to joint {piece.end}"
    flow.skip(3.0)
    flow.leaf.add(line((flow.left, flow.y), (flow.right, flow.y), LineKind.OUTLINE))
    flow.skip(6.0)
    flow.leaf.add(Words((flow.left, flow.y), head, SECTION),
                  Words((flow.right, flow.y), f"drawn 1 : {shape.scale}", SMALL, "right"))
    flow.skip(3.0)
    drop = flow.y - shape.height_mm - 1.0
    flow.leaf.extend(shifted(m, flow.left, drop) for m in shape.marks)
    flow.leaf.extend(shifted(m, 0.0, flow.y) for m in listed[0])
    flow.skip(high)
    if piece.notes:
        flow.points([f"{n[0].upper()}{n[1:]}." for n in piece.notes])
    if piece.clocking is not None:
        flow.leaf.add(line((flow.left, flow.y), (flow.right, flow.y)))
        _clocking(flow, piece.clocking)


def _clocking(flow: Flow, turn: Clocking) -> None:
    """The turn to the next bend: the pipe seen end on, the turn in words, and as a length on the surface."""
    face_span = 0.95
    words, high = flow.cell(_clocking_words(turn), Column("", 6.0 - face_span - 1.6))
    figures, _ = flow.cell(_clocking_figure(turn, flow.meta.fraction), Column("", 1.6, "right"))
    high = max(high + 3.0, _CLOCK_HIGH_MM if turn.way is not Way.STRAIGHT_ON else 0.0)
    flow.need(high)
    if turn.way is not Way.STRAIGHT_ON:
        flow.leaf.extend(shifted(m, flow.left + 12.0, flow.y - _CLOCK_HIGH_MM / 2.0) for m in clock_face(turn))
    flow.leaf.extend(shifted(m, flow.column(face_span), flow.y - 1.6) for m in words)
    flow.leaf.extend(shifted(m, flow.right, flow.y - 1.6) for m in figures)
    flow.skip(high)


def _clocking_words(turn: Clocking) -> tuple[Run, ...]:
    if turn.way is Way.STRAIGHT_ON:
        return (Run(f"Turn to piece {turn.to_piece}: none. Its outside line goes on from the {turn.from_line}. "
                    f"{faces(turn)}"),)
    way = "half way round" if turn.way is Way.OPPOSITE else f"{degrees(turn.angle_rad)} {turn.way}"
    return (Run(f"Turn to piece {turn.to_piece}: {way}, {turn.seen_from}", TEXT_BOLD),
            Run(f"Along the pipe's surface, from the {turn.from_line} (0 in the end view), to the outside line of "
                f"piece {turn.to_piece} ({turn.to_piece} in the end view). {faces(turn)}"))


def faces(turn: Clocking) -> str:
    """To which side of the vehicle the next bend's outside faces."""
    return f"As the vehicle stands, that outside faces {turn.points}." if turn.points else ""


def _clocking_figure(turn: Clocking, fraction: int) -> tuple[Run, ...]:
    return number_cell(*pair(turn.arc_mm, None, fraction))


def _side_table(flow: Flow, rows: Sequence[tuple[Cell, Cell]],
                columns: tuple[Column, Column]) -> tuple[list[Mark], float]:
    """Rows to the right of the drawing: marks with their top at nought, and the height they take."""
    marks: list[Mark] = []
    y = 0.0
    left = flow.column(_DRAWING_SPAN)
    for number, row in enumerate(rows):
        cells = [flow.cell(cell, column) for cell, column in zip(row, columns, strict=True)]
        high = max(h for _, h in cells) + 2.0
        if number:
            marks.append(line((left, y), (flow.right, y)))
        for (drawn, _), x in zip(cells, (left, flow.right), strict=True):
            marks += [shifted(m, x, y - 0.6) for m in drawn]
        y -= high
    return marks, -y


def _row(words: str, mm: float, fraction: int, sd: float | None = None, large: bool = False) -> tuple[Cell, Cell]:
    metric, inches = with_doubt(mm, None), inch(mm, fraction)
    doubt = with_doubt(mm, sd).partition("\u00b1 ")[2]
    if doubt:
        words = f"{words} (give or take {doubt})"
    return words, (number_cell if large else small_number_cell)(metric, inches)


def _piece_rows(piece: Piece, fraction: int) -> list[tuple[Cell, Cell]]:
    a, b = piece.start, piece.end
    rows: list[tuple[Cell, Cell]] = []
    if piece.kind is Kind.STRAIGHT:
        rows.append(_row(f"Cut square at both ends: from the face at {a} to the face at {b}", piece.length_to_cut_mm,
                         fraction, piece.sd_mm, True))
        rows += _stock_rows(piece.stock, fraction)
    elif piece.part is not None:
        rows += _part_rows(piece, fraction)
    else:
        rows.append((f"How far the pipe turns from {a} to {b}", (Run(degrees(piece.bend_angle_rad), FIGURE_BOLD),)))
        rows += _stock_rows(piece.stock, fraction)
        if piece.pie is not None:
            rows += _pie_rows(piece, piece.pie, fraction)
        elif piece.stock is not None:
            rows += _leg_rows(piece.leg_before_mm, piece.leg_after_mm, piece, fraction)
        else:
            rows += _bend_rows(piece, fraction)
        rows.append(_row(f"Along the centre line, from the face at {a} to the face at {b}", piece.length_to_cut_mm,
                         fraction, piece.sd_mm))
    return rows


def _part_rows(piece: Piece, fraction: int) -> list[tuple[Cell, Cell]]:
    part = piece.part
    assert part is not None
    rows = [_row(f"Bought or made as one: from the face at {piece.start} to the face at {piece.end}",
                 piece.length_to_cut_mm, fraction, None, True)]
    if part.width.mm == part.height.mm:
        rows.append(_row("Diameter it was reckoned with", part.width.mm, fraction))
        return rows
    rows.append(_row("Width it was reckoned with", part.width.mm, fraction))
    rows.append(_row("Height it was reckoned with, edges rounded", part.height.mm, fraction))
    if piece.clock is not None:
        turned = "level" if piece.clock.way is Way.STRAIGHT_ON else (
            f"{degrees(piece.clock.angle_rad)} {piece.clock.way} from level")
        rows.append(("How its width stands, vehicle level at ride height, looking downstream",
                     (Run(turned, FIGURE_BOLD),)))
    return rows


def _bend_rows(piece: Piece, fraction: int) -> list[tuple[Cell, Cell]]:
    rows = _leg_rows(piece.leg_before_mm, piece.leg_after_mm, piece, fraction)
    rows.append(_row("Along the outside of the curve, on the surface, from where it begins to where it ends",
                     piece.outside_arc_mm, fraction))
    rows.append(_row("Along the inside of the curve, the same way", piece.inside_arc_mm, fraction))
    return rows


def _leg_rows(before: float, after: float, piece: Piece, fraction: int) -> list[tuple[Cell, Cell]]:
    rows = []
    if before > 0.05:
        rows.append(_row(f"Straight leg: from the face at {piece.start} to where the curve begins", before, fraction,
                         None, True))
    if after > 0.05:
        rows.append(_row(f"Straight leg: from where the curve ends to the face at {piece.end}", after, fraction, None,
                         True))
    return rows


def _stock_rows(stock: StockCut | None, fraction: int) -> list[tuple[Cell, Cell]]:
    """From what it is cut and where the saw goes, by the piece's own record; nothing where stock is not settled."""
    if stock is None:
        return []
    if not stock.is_bend:
        from_ = f"the free end of leg {stock.leg}" if stock.leg else "the stick's first end"
        low, _ = stock.span_mm
        rows: list[tuple[Cell, Cell]] = [(f"Cut from {stock.place}", "")]
        if low > 0.05:
            rows.append(_row(f"Its first line, from {from_}", low, fraction))
        return rows
    rows = [(f"Cut from {stock.place}. The whole of it turns by", (Run(degrees(stock.stock_angle_rad), FIGURE),))]
    for edge in (stock.near, stock.far):
        rows += _mark_rows(edge, fraction)
    return rows


def _mark_rows(edge: SawMark, fraction: int) -> list[tuple[Cell, Cell]]:
    if edge.at_rad is None:
        if not edge.sawn:
            return [(f"Face {edge.joint}: the bend's own end {edge.leg}, no cut", "")]
        return [_row(f"Face {edge.joint}: saw mark on the leg, from the free end of the bend's leg {edge.leg}",
                     edge.from_end_mm or 0.0, fraction, None, True)]
    if edge.at_rad == 0.0:
        return [(f"Face {edge.joint}: saw where the curve begins at end {edge.end}, leg cut off", "")]
    return [
        (f"Face {edge.joint}: on the curve, from where it begins at end {edge.end}",
         (Run(degrees(edge.at_rad), FIGURE_BOLD),)),
        _row("Saw mark on the outside: straight across between these two places", edge.outside_chord_mm or 0.0,
             fraction, None, True),
        _row("Saw mark on the inside: straight across, the same way", edge.inside_chord_mm or 0.0, fraction, None,
             True),
        _row("To check: the same outside mark with a tape along the curve", edge.outside_tape_mm or 0.0, fraction),
    ]


def _pie_rows(piece: Piece, pie: PieCut, fraction: int) -> list[tuple[Cell, Cell]]:
    middles = pie.pieces - 2
    rows: list[tuple[Cell, Cell]] = [
        (f"How far the pipe turns at each of {pie.joints} joints (not the saw's angle)",
         (Run(degrees(pie.turn_per_joint_rad, 2), FIGURE_BOLD),)),
        ("Cut-face angle: what the saw is set to, from square. Half of the turn",
         (Run(degrees(pie.cut_face_angle_rad, 2), FIGURE_BOLD),)),
    ]
    if middles > 0:
        many = "wedge" if middles == 1 else "wedges"
        rows.append(_row(f"{middles} whole {many}: long side, from slope to slope along the outside", pie.long_side_mm,
                         fraction, None, True))
        rows.append(_row("Whole wedge: short side, along the inside", pie.short_side_mm, fraction, None, True))
    for which, leg, end in (("First end piece", pie.leg_before_mm, piece.start),
                            ("Last end piece", pie.leg_after_mm, piece.end)):
        rows.append(_row(f"{which}: from the square face at {end} to the slope, along the outside",
                         leg + pie.end_long_side_mm, fraction, None, True))
        rows.append(_row(f"{which}: from the face at {end} to the slope, along the inside",
                         leg + pie.end_short_side_mm, fraction, None, True))
    rows.append(_row(f"Straight tube for the whole bend, every second wedge turned end for end, {pie.joints} saw cuts "
                     f"of {minus(pie.kerf_mm, 1)} mm between them counted; the square cut that frees it from the stick "
                     "is not", pie.tube_length_mm, fraction))
    return rows
