"""The piece sheet: what to buy, where the saw goes on every bend and stick, and each piece with its marks and ends."""

import math
from collections.abc import Sequence

from trialfit.exhaust.nesting import PROVED, BendStock, Nest, Stock, Unit
from trialfit.exhaust.pieces import Clocking, CutList, Kind, Piece, SawMark, StockCut, Way, stock_item
from trialfit.exhaust.saw_marks import NONE_MM, on_shelf, out_of
from trialfit.sheets.cut_list import faces, made_beside
from trialfit.sheets.dimensions import aligned, arc
from trialfit.sheets.drawing import (
    FIGURE,
    FIGURE_BOLD,
    SECTION,
    SMALL,
    SMALL_BOLD,
    SMALL_FIGURE,
    TEXT_BOLD,
    Fill,
    Leaf,
    LineKind,
    Mark,
    Point,
    Stroke,
    Words,
    bounds,
    line,
    rectangle,
    scale_for,
    shifted,
)
from trialfit.sheets.lengths import degrees, inch, minus, pair, wall
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta, Stop, small_number_cell
from trialfit.sheets.pdf import pdf
from trialfit.sheets.pieces import clock_face, true_shape

SHEET = "Piece sheet"
CAUTIONS = (
    ("Measure the bend in your hand before the first cut: radius to the centre line, wall, and both legs. Bends of one "
     "name differ between batches; where the radius differs by more than 1 mm, write it into the build file first."),
    ("Cut on the waste side of every line, square to the centre line there, then file or grind to the line. Take the "
     "burr off inside and outside: a burr inside is a step in the flow and spoils the root of the weld."),
    ("Saw and grinder: tube clamped, guard on, eyes and ears covered, no gloves near a saw blade, no fuel or solvent "
     "within reach of the sparks."),
    "Zinc-coated tube is no stock for an exhaust: its fumes poison when it is welded and when it gets hot.",
)
_HIGH_MM = 70.0
_STICK_HIGH_MM = 7.0
_DRAWING_SPAN = 2.4
_CLOCK_HIGH_MM = 29.0
_ENDS = {
    Kind.STRAIGHT: "both ends square, burr off",
    Kind.BEND: "both ends square to the centre line and round, burr off",
    Kind.PIE_CUT: "both ends square; slopes filed flat until no light shows",
    Kind.PART: "as bought; fit a scrap of the tube into or over its ends before anything is cut",
}


def piece_sheet_leaves(
    cuts: CutList, nest: Nest | None, meta: SheetMeta, stop: Stop, kerf_mm: float = 0.0, refused: str = ""
) -> list[Leaf]:
    """The leaves of :func:`piece_sheet`."""
    flow = Flow(meta, f"{SHEET}, {cuts.route}")
    d, d_in = pair(cuts.diameter_mm, None, meta.fraction)
    flow.title(f"{SHEET}: {cuts.route}",
               f"Round tube {d} ({d_in}) outside, wall {wall(cuts.wall_mm)}. What is cut from what, and where "
               "the saw goes. Downstream is the way the gas goes; joints are lettered that way.")
    flow.stop_bar(stop)
    if nest is None:
        flow.section("From what it is cut", 20.0)
        flow.paragraph(f"No plan of the cuts: {refused or 'no stock is listed in the build file'}. The pieces below "
                       "are right all the same; only where each is cut from is open.")
    else:
        _shopping(flow, nest)
        _left_over(flow, nest)
        for unit in nest.units:
            _unit(flow, unit, cuts, kerf_mm)
    made_beside(flow, cuts)
    _ends_and_marks(flow, cuts)
    for piece in cuts.pieces:
        _piece(flow, cuts, piece)
    flow.section("Before the first cut", 30.0)
    flow.points([*cuts.notes, *CAUTIONS])
    return flow.finish()


def piece_sheet(
    cuts: CutList, nest: Nest | None, meta: SheetMeta, stop: Stop, kerf_mm: float = 0.0, refused: str = ""
) -> bytes:
    """The piece sheet as PDF.

    Parameters
    ----------
    cuts : CutList
        every piece of one route
    nest : Nest or None
        the plan that the pieces' stock was taken from (what is bought, what is left over); None when no stock gives
        them
    meta : SheetMeta
        what the foot says, and on which paper
    stop : Stop
        whether it may be cut from yet
    kerf_mm : float
        what one saw cut takes, as the nest has it [mm]
    refused : str
        why there is no nest

    Raises
    ------
    ValueError
        when the plan is not the one that the pieces' stock was taken from
    """
    return pdf(piece_sheet_leaves(cuts, nest, meta, stop, kerf_mm, refused), f"{meta.build}: pieces, {cuts.route}")


# -- what to buy ------------------------------------------------------------------------------------------------


def _money(amount: float) -> str:
    return f"{amount:.0f}" if abs(amount - round(amount)) < 0.005 else f"{amount:.2f}"


def bound_words(nest: Nest) -> str:
    """How near the plan is to the cheapest there can be, in words."""
    if nest.proven:
        return (f"proved: {PROVED}. Other pieces for the same pipe (a leg cut off, a straight in two) are not "
                "weighed up")
    gap = nest.cost - nest.least
    return (f"not proved: the cheapest plan there can be for these pieces costs {_money(nest.least)} at the least, "
            f"{_money(gap)} ({100.0 * gap / nest.cost:.1f} %) under this one")


def _stock_words(stock: Stock) -> str:
    if isinstance(stock, BendStock):
        return (f"turns {degrees(stock.angle_rad, 0)}, radius {stock.radius_mm:g} mm, legs "
                f"{minus(stock.leg_mm, 0)} mm")
    return f"straight, {minus(stock.length_mm, 0)} mm"


def _shopping(flow: Flow, nest: Nest) -> None:
    flow.section("What to take and what to buy", 26.0)
    kinds: list[Stock] = []
    for unit in nest.units:
        if unit.stock not in kinds:
            kinds.append(unit.stock)
    rows: list[tuple[Cell, ...]] = []
    for stock in sorted(kinds, key=lambda s: s.count is None):
        many = sum(u.stock == stock for u in nest.units)
        there = stock.count is not None
        where = "on the shelf" if there else "buy"
        money = "0" if there else f"{many} \u00d7 {_money(stock.price)} = {_money(many * stock.price)}"
        rows.append((Run(where, TEXT_BOLD), (Run(stock.name), Run(_stock_words(stock), SMALL)),
                     Run(str(many), FIGURE_BOLD), Run(money, FIGURE)))
    rows.append((Run("Together", TEXT_BOLD), f"{bound_words(nest)}.", Run(str(len(nest.units)), FIGURE_BOLD),
                 Run(_money(nest.cost), FIGURE_BOLD)))
    flow.table((Column("", 0.9), Column("Stock, and its sizes", 3.1), Column("How many", 0.7, "right"),
                Column("Money, as in the build file", 1.3, "right")), rows)


def _left_over(flow: Flow, nest: Nest) -> None:
    flow.section("What is left over", 22.0)
    rows: list[tuple[Cell, ...]] = []
    for unit in nest.units:
        legs = [m for m in unit.left_mm if m >= 1.0]
        left = [f"{minus(m, 0)} mm straight" for m in legs]
        if unit.left_rad >= math.radians(1.0):
            left.insert(0, f"{degrees(unit.left_rad)} of bend")
        rows.append((_item(unit), ", ".join(left) or "nothing that can be used"))
    flow.table((Column("From", 2.2), Column("Left, saw cuts taken off", 3.8)), rows)


# -- one unit of stock ------------------------------------------------------------------------------------------


def _item(unit: Unit) -> str:
    return stock_item(unit.stock.name, unit.number, on_shelf(unit))


def _unit(flow: Flow, unit: Unit, cuts: CutList, kerf_mm: float) -> None:
    sawn = out_of(cuts, unit.number)
    if {s.piece for s in sawn} != {c.piece for c in unit.cuts} or any(s.item != _item(unit) for s in sawn):
        raise ValueError(f"{_item(unit)} gives other pieces than the cut list of {cuts.route} says: allot it first")
    head = f"{_item(unit)}: {_stock_words(unit.stock)}"
    if isinstance(unit.stock, BendStock):
        marks, scale = stock_bend_drawing(unit.stock, sawn, cuts.diameter_mm, flow.wide, _HIGH_MM)
    else:
        marks, scale = stock_stick_drawing(unit.stock.length_mm, sawn, flow.wide - 8.0)
    low = bounds(marks)
    high = low[3] - low[1]
    rows = len(sawn) * (2 if isinstance(unit.stock, BendStock) else 1)
    flow.section(f"{head}, drawn 1 : {scale}", min(high + 24.0 + 11.0 * rows, 200.0))
    left = -low[0] if isinstance(unit.stock, BendStock) else 4.0
    flow.drawing([shifted(m, left, -low[1]) for m in marks], high + 1.0)
    if not isinstance(unit.stock, BendStock):
        flow.table((Column("Piece, ends", 1.2), Column("First line, from the stick's first end", 1.6, "right"),
                    Column("Second line, from the same end", 1.6, "right"), Column("Length", 1.6, "right")),
                   [_stick_row(s, flow.meta.fraction) for s in sawn])
        flow.paragraph(f"A saw cut of {minus(kerf_mm, 1)} mm lies between two pieces, on neither.", SMALL)
        return
    flow.table((Column("Piece, its face", 0.75), Column("Where the line goes", 1.35),
                Column("Outside, straight across", 1.3, "right"), Column("Inside, straight across", 1.3, "right"),
                Column("Outside, tape along the curve", 1.3, "right")),
               [_edge_row(s, edge, flow.meta.fraction) for s in sawn for edge in s.edges])
    flow.need(9.0)
    flow.paragraph("Straight across and tape: from where the bend begins to curve at the end that the line names. A "
                   "finished line is the edge of the piece: keep the saw cut "
                   f"({minus(kerf_mm, 1)} mm) on the side that is left over or between two pieces.", SMALL)


def _stick_row(sawn: StockCut, fraction: int) -> tuple[Cell, ...]:
    first, last = sawn.edges
    low, high = first.from_end_mm or 0.0, last.from_end_mm or 0.0
    cells: list[Cell] = [Run(f"{sawn.piece}, {first.joint} to {last.joint}", TEXT_BOLD)]
    for edge, at in ((first, low), (last, high)):
        cells.append(small_number_cell(f"{minus(at, 1)} mm", inch(at, fraction)) if edge.sawn else
                     "the stick's own end")
    cells.append(small_number_cell(f"{minus(high - low, 1)} mm", inch(high - low, fraction)))
    return tuple(cells)


def _edge_row(sawn: StockCut, edge: SawMark, fraction: int) -> tuple[Cell, ...]:
    which = (Run(f"{sawn.piece}, face {edge.joint}", TEXT_BOLD),)
    if edge.at_rad is not None and edge.outside_chord_mm is not None:
        where = (Run(f"where the curve begins at end {edge.end}: leg cut off" if edge.at_rad == 0.0 else
                     f"on the curve, {degrees(edge.at_rad)} from where it begins at end {edge.end}"),)
        if edge.at_rad == 0.0:
            return which, where, "", "", ""
        return (which, where, *(small_number_cell(f"{minus(v or 0.0, 1)} mm", inch(v or 0.0, fraction)) for v in
                                (edge.outside_chord_mm, edge.inside_chord_mm, edge.outside_tape_mm)))
    at = edge.from_end_mm or 0.0
    if not edge.sawn:
        return which, f"the stock's own end {edge.leg}: no cut", "", "", ""
    far = (Run(f"{minus(at, 1)} mm from the free end of the leg at end {edge.leg}", TEXT_BOLD),
           Run(inch(at, fraction), SMALL_FIGURE))
    return which, far, "", "", ""


def stock_bend_drawing(stock: BendStock, sawn: Sequence[StockCut], diameter_mm: float, wide: float, high: float
                       ) -> tuple[list[Mark], int]:  # fmt: skip
    """A bend of stock in its own plane with its pieces: white what is used, tinted what is left over.

    Returns
    -------
    marks, scale : list of Mark, int
        drawn 1 : scale, where end 1 begins to curve at nought, its leg to the left
    """
    r, half, leg = stock.radius_mm, 0.5 * diameter_mm, stock.leg_mm
    outline = _ring(r, half, 0.0, stock.angle_rad, leg, leg)
    box = bounds([Stroke(outline)])
    scale = scale_for(box[2] - box[0], box[3] - box[1], wide - 40.0, high - 12.0)
    n = float(scale)

    def paper(points: Sequence[Point]) -> tuple[Point, ...]:
        return tuple((x / n, y / n) for x, y in points)

    marks: list[Mark] = [Stroke(paper(outline), LineKind.THIN, True, Fill.TINT)]
    words: list[Mark] = []
    for piece in sawn:
        if piece.leg:
            low, far = (e.from_end_mm or 0.0 for e in piece.edges)
            run = _leg_part(stock, half, piece.leg, low, far)
            at, _ = _at(stock, None, piece.leg, 0.5 * (low + far))
            ends = [_at(stock, None, piece.leg, v) for v in (low, far)]
        else:
            first, last = piece.from_rad, piece.to_rad
            run = _ring(r, half, first, last, piece.low_leg_mm, piece.high_leg_mm)
            at, _ = _at(stock, 0.5 * (first + last), 0, 0.0)
            arc_mm = (last - first) * r
            if arc_mm < min(diameter_mm, max(piece.low_leg_mm, piece.high_leg_mm)):
                # too short a curve for its number, which then stands in the leg
                end = 1 if piece.low_leg_mm > piece.high_leg_mm else 2
                at, _ = _at(stock, None, end, leg - 0.5 * max(piece.low_leg_mm, piece.high_leg_mm))
            ends = [_at(stock, first if piece.low_leg_mm < NONE_MM else None, 1, leg - piece.low_leg_mm),
                    _at(stock, last if piece.high_leg_mm < NONE_MM else None, 2, leg - piece.high_leg_mm)]
        marks.append(Stroke(paper(run), LineKind.OUTLINE, True, Fill.WHITE))
        x, y = paper([at])[0]
        words.append(Words((x, y - 1.3), str(piece.piece), TEXT_BOLD, "centre"))
        for edge, (place, outward) in zip(piece.edges, ends, strict=True):
            px, py = place[0] / n, place[1] / n
            reach = half / n + 4.2
            shift = -2.6 if edge is piece.edges[0] else 2.6
            along = (-outward[1], outward[0])
            inside = (px + outward[0] * reach - along[0] * shift, py + outward[1] * reach - along[1] * shift - 1.2)
            words.append(Words(inside, edge.joint, SMALL_BOLD, "centre"))
    for number in (1, 2):
        (x, y), outward = _at(stock, None, number, 0.0)
        away = (-1.0, 0.0) if number == 1 else (-outward[1], outward[0])
        align = "right" if away[0] < -0.5 else "left" if away[0] > 0.5 else "centre"
        words.append(Words((x / n + 3.0 * away[0], y / n + 4.0 * away[1] - 1.1), f"end {number}", SMALL, align))
    start, finish = paper([(0.0, -half)])[0], paper([(0.0, half)])[0]
    marks.append(line((start[0], start[1] - 1.0), (finish[0], finish[1] + 1.0), LineKind.CENTRE))
    return [*marks, *words], scale


def _at(stock: BendStock, angle: float | None, leg: int, from_end_mm: float) -> tuple[Point, Point]:
    """A place on the stock's centre line and the unit way outward there; the bend turns to the left, from the left."""
    r = stock.radius_mm
    if angle is None and leg == 1:
        return (from_end_mm - stock.leg_mm, 0.0), (0.0, -1.0)
    a = stock.angle_rad if angle is None else angle
    outward = (math.sin(a), -math.cos(a))
    x, y = r * math.sin(a), r - r * math.cos(a)
    if angle is None:
        far = stock.leg_mm - from_end_mm
        x, y = x + far * math.cos(a), y + far * math.sin(a)
    return (x, y), outward


def _ring(r: float, half: float, first: float, last: float, low_leg: float, high_leg: float) -> tuple[Point, ...]:
    """Outline of an arc of tube from ``first`` to ``last`` with its legs; nought where end 1 begins to curve."""
    sides = []
    for off in (half, -half):
        run = list(arc((0.0, r), r + off, first - 0.5 * math.pi, last - 0.5 * math.pi, 2.0))
        if low_leg > NONE_MM:
            run.insert(0, (run[0][0] - low_leg * math.cos(first), run[0][1] - low_leg * math.sin(first)))
        if high_leg > NONE_MM:
            run.append((run[-1][0] + high_leg * math.cos(last), run[-1][1] + high_leg * math.sin(last)))
        sides.append(run)
    return (*sides[0], *sides[1][::-1])


def _leg_part(stock: BendStock, half: float, leg: int, low: float, far: float) -> tuple[Point, ...]:
    (ax, ay), (ox, oy) = _at(stock, None, leg, low)
    (bx, by), _ = _at(stock, None, leg, far)
    return ((ax + ox * half, ay + oy * half), (bx + ox * half, by + oy * half), (bx - ox * half, by - oy * half),
            (ax - ox * half, ay - oy * half))


def stock_stick_drawing(length_mm: float, sawn: Sequence[StockCut], wide: float) -> tuple[list[Mark], int]:
    """A stick of stock with its pieces, lengths to scale, its height a sign; its first end at nought."""
    scale = scale_for(length_mm, 1.0, wide, 1.0)
    high = _STICK_HIGH_MM
    marks: list[Mark] = [rectangle(0.0, 0.0, length_mm / scale, high, LineKind.THIN, Fill.TINT)]
    for piece in sawn:
        a, b = ((e.from_end_mm or 0.0) / scale for e in piece.edges)
        marks += [rectangle(a, 0.0, b, high, LineKind.OUTLINE, Fill.WHITE),
                  Words(((a + b) / 2.0, high / 2.0 - 1.3), str(piece.piece), TEXT_BOLD, "centre")]
        low, last = piece.edges
        if b - a > 13.0:
            marks += [Words((a + 1.4, 1.3), low.joint, SMALL_BOLD),
                      Words((b - 1.4, 1.3), last.joint, SMALL_BOLD, "right")]
        marks += aligned((a, 0.0), (b, 0.0), -5.5, minus(((last.from_end_mm or 0.0) - (low.from_end_mm or 0.0)), 1)) \
            if b - a > 20.0 else []
    return marks, scale


# -- pieces -----------------------------------------------------------------------------------------------------


def _ends_and_marks(flow: Flow, cuts: CutList) -> None:
    flow.section("The mark lines", 34.0)
    first = cuts.pieces[0].start if cuts.pieces else "A"
    flow.paragraph("Scribe two kinds of line along the pipe. "
                   f"The start line, from end {first}: {cuts.start.top_means}. "
                   "On every bend its outside line, along the middle of the outside of the curve and on over both "
                   "legs. Every turn is a length round the surface from one of these lines to the next bend's outside "
                   "line, measured with a strip of paper or a soft tape.")
    if cuts.start.clocking is not None:
        _turn(flow, cuts.start.clocking)


def _piece(flow: Flow, cuts: CutList, piece: Piece) -> None:
    rows = _rows(piece, flow.meta.fraction)
    spans = (Column("", 6.0 - _DRAWING_SPAN - 1.45), Column("", 1.45, "right"))
    marks, listed = _beside(flow, rows, spans)
    shape = true_shape(piece, cuts.diameter_mm, flow.column(_DRAWING_SPAN) - flow.left - 5.0, max(38.0, listed - 2.0))
    high = max(shape.height_mm + 3.0, listed + 1.0)
    flow.need(high + 13.0 + (_CLOCK_HIGH_MM + 4.0) * (piece.clocking is not None))
    flow.skip(3.0)
    flow.leaf.add(line((flow.left, flow.y), (flow.right, flow.y), LineKind.OUTLINE))
    flow.skip(6.0)
    what = piece.part.name if piece.part is not None else str(piece.kind)
    flow.leaf.add(Words((flow.left, flow.y), f"Piece {piece.number}: {what}, {piece.start} to {piece.end}", SECTION),
                  Words((flow.right, flow.y), f"drawn 1 : {shape.scale}", SMALL, "right"))
    flow.skip(3.0)
    flow.leaf.extend(shifted(m, flow.left, flow.y - shape.height_mm - 1.0) for m in shape.marks)
    flow.leaf.extend(shifted(m, 0.0, flow.y) for m in marks)
    flow.skip(high)
    if piece.notes:
        flow.points([f"{n[0].upper()}{n[1:]}." for n in piece.notes], SMALL)
    if piece.clocking is not None:
        _turn(flow, piece.clocking)


def _beside(flow: Flow, rows: Sequence[tuple[Cell, Cell]], columns: tuple[Column, Column]) -> tuple[list[Mark], float]:
    marks: list[Mark] = []
    y, left = 0.0, flow.column(_DRAWING_SPAN)
    for number, row in enumerate(rows):
        cells = [flow.cell(cell, column) for cell, column in zip(row, columns, strict=True)]
        if number:
            marks.append(line((left, y), (flow.right, y)))
        for (drawn, _), x in zip(cells, (left, flow.right), strict=True):
            marks += [shifted(m, x, y - 0.6) for m in drawn]
        y -= max(h for _, h in cells) + 2.0
    return marks, -y


def _rows(piece: Piece, fraction: int) -> list[tuple[Cell, Cell]]:
    rows: list[tuple[Cell, Cell]] = []
    if piece.stock is not None:
        rows.append((Run(f"Cut from {piece.stock.place}", TEXT_BOLD), ""))
    elif piece.part is None:
        rows.append(("Cut from", (Run("not said", TEXT_BOLD),)))

    def length(words: str, mm: float) -> None:
        rows.append((words, small_number_cell(f"{minus(mm, 1)} mm", inch(mm, fraction))))

    if piece.kind is Kind.BEND:
        half = 0.5 * piece.outside_arc_mm / piece.bend_angle_rad - 0.5 * piece.inside_arc_mm / piece.bend_angle_rad
        rows.append(("Cut angle: how far it turns", (Run(degrees(piece.bend_angle_rad, 2), FIGURE_BOLD),)))
        chord = 2.0 * math.sin(0.5 * piece.bend_angle_rad)
        length("The same straight across the outside of the curve", chord * (piece.radius_mm + half))
        length("The same with a tape along the outside", piece.outside_arc_mm)
    elif piece.pie is not None:
        pie = piece.pie
        rows.append((f"{pie.pieces} wedges, {pie.joints} joints; saw set from square to",
                     (Run(degrees(pie.cut_face_angle_rad, 2), FIGURE_BOLD),)))
        if pie.pieces > 2:
            length("Whole wedge, long side (outside)", pie.long_side_mm)
            length("Whole wedge, short side (inside)", pie.short_side_mm)
        length(f"End wedge at {piece.start}, long side, leg and all", pie.leg_before_mm + pie.end_long_side_mm)
        length(f"End wedge at {piece.end}, long side, leg and all", pie.leg_after_mm + pie.end_long_side_mm)
        length(f"Straight tube for all of it, {pie.joints} saw cuts between the wedges counted; the square cut that "
               "frees it lies between two pieces of the stick", pie.tube_length_mm)
    if piece.kind is Kind.BEND:
        for leg, joint in ((piece.leg_before_mm, piece.start), (piece.leg_after_mm, piece.end)):
            if leg > NONE_MM:
                length(f"Straight leg at {joint}", leg)
    length("Along the centre line, face to face", piece.length_to_cut_mm)
    rows.append((Run(f"Ends: {_ENDS[piece.kind]}.", SMALL), ""))
    return rows


def _turn(flow: Flow, turn: Clocking) -> None:
    """The turn to the next bend, seen end on and as a length on the surface."""
    if turn.way is Way.STRAIGHT_ON:
        words: tuple[Run, ...] = (Run(f"Mark for piece {turn.to_piece}: its outside line goes on from the "
                                      f"{turn.from_line}. {faces(turn)}"),)
    else:
        way = "half way round" if turn.way is Way.OPPOSITE else f"{degrees(turn.angle_rad)} {turn.way}"
        words = (Run(f"Mark for piece {turn.to_piece}: {way}, {turn.seen_from}", TEXT_BOLD),
                 Run(f"Round the surface from the {turn.from_line} (0 in the end view) to the outside line of piece "
                     f"{turn.to_piece}. {faces(turn)}"))
    cell, high = flow.cell(words, Column("", 3.45))
    tall = max(high + 3.0, 0.0 if turn.way is Way.STRAIGHT_ON else _CLOCK_HIGH_MM)
    flow.need(tall)
    if turn.way is not Way.STRAIGHT_ON:
        flow.leaf.extend(shifted(m, flow.left + 12.0, flow.y - _CLOCK_HIGH_MM / 2.0) for m in clock_face(turn))
        figure, _ = flow.cell(small_number_cell(*pair(turn.arc_mm, None, flow.meta.fraction)),
                              Column("", 1.6, "right"))
        flow.leaf.extend(shifted(m, flow.right, flow.y - 2.0) for m in figure)
    flow.leaf.extend(shifted(m, flow.column(0.95), flow.y - 2.0) for m in cell)
    flow.skip(tall)
