"""The exhaust taken apart: its pieces in two views and one after the other, each with what saw and welder ask."""

import json

from nicegui import ui

from trialfit import units
from trialfit.exhaust import Clocking, CutList, Kind, Piece, StockCut, Way
from trialfit.findings import SURE
from trialfit.web import look
from trialfit.web.page import Page
from trialfit.web.places import exhaust_views as views
from trialfit.web.places.exhaust_hand import Hand, hand_of


def show(page: Page, hand: Hand) -> None:
    """The pieces."""
    now = hand.base
    if now is None:
        return
    if now.cuts is None:
        look.words("It cannot be bent as it is laid", "h2", tag="h2")
        return
    cuts = now.cuts
    look.words(_sum_words(page, cuts))
    body = []
    for view in (views.SIDE, views.PLAN):
        window = views.whole(view, now.laid.points_mm)
        drawn = views.pieces_drawn(view, cuts, hand.piece)
        worked = page.desk.worked or page.desk.last
        other = views.around(view, () if worked is None else worked.outlines, window)
        body.append(f'<figure><figcaption class="s">{views.TITLE[view]}</figcaption>'
                    f'{views.svg(view, window, other + drawn, f"{cuts.route}, {views.TITLE[view].lower()}")}</figure>')
    drawing = look.put("".join(body), "views long")
    drawing.props(f'id="{VIEWS}" tabindex=0 role=region aria-label="The pipe, outlet at the left"')
    ui.run_javascript(f"import('/assets/exhaust.js').then(m => m.hold({json.dumps(VIEWS)}))")
    for piece in cuts.pieces:
        on = piece.number == hand.piece
        row = look.key(f'<span class="row"><b class="pnum">{piece.number}</b><span class="t">{_head(page, piece)}'
                       f'</span></span>', lambda n=piece.number: choose(page, 0 if hand_of(page).piece == n else n),
                       "rowkey piece on" if on else "rowkey piece", markup=True)
        row.props["aria-expanded"] = "true" if on else "false"
        if on:
            look.put("".join(f"<li>{look.esc(line)}</li>" for line in said(page, cuts, piece)), "more", "ul")
    if cuts.extras:
        look.put("".join(f"<li>{look.esc(page.told(f'{e.name}, a {e.kind}: {e.take}. {look.capital(e.where)}.'))}</li>"
                         for e in cuts.extras), "s", "ul")
    if cuts.notes:
        look.put("".join(f"<li>{look.esc(page.told(n))}</li>" for n in cuts.notes), "s", "ul")
    look.words("Pieces run from the outlet to the tail; lengths are along the middle of the pipe. Measure twice: what "
               "is cut stays cut.", "s")


VIEWS = "exhaust-views"


def choose(page: Page, number: int) -> None:
    """Take a piece in hand."""
    hand_of(page).piece = number
    page.show_place()


def _sum_words(page: Page, cuts: CutList) -> str:
    count = len(cuts.pieces)
    buy = "".join(f"; {there}: " + ", ".join(f"{n} {name}" for name, n in stock) for there, stock in
                  (("on the shelf", cuts.stock_at_hand), ("to buy", cuts.stock_to_buy)) if stock)
    tube = f", {page.length(cuts.straight_tube_mm)} of straight tube" if cuts.straight_tube_mm > 0.0 else ""
    return (f"{count} piece{'' if count == 1 else 's'}, {page.length(cuts.total_length_mm)} along the middle, "
            f"{cuts.all_welds} welds{tube}{buy}.")


def _head(page: Page, piece: Piece) -> str:
    """A piece in one line; its name is the builder's own where it is a part."""
    size = f'<b class="m">{look.esc(page.length(piece.length_to_cut_mm))}</b>'
    ends = f'<span class="s">{look.esc(piece.start)} to {look.esc(piece.end)}</span>'
    return f'{look.esc(kind_words(piece))}<br>{size} {ends}'


def kind_words(piece: Piece) -> str:
    """What a piece is.

    >>> from trialfit.exhaust import Piece
    >>> kind_words(Piece(1, Kind.STRAIGHT, "stick A to B", "A", "B", 300.0, (0.0, 0.0, 0.0), (300.0, 0.0, 0.0)))
    'Straight'
    """
    if piece.kind is Kind.STRAIGHT:
        return "Straight"
    if piece.part is not None:
        return f"{piece.part.name} ({piece.part.kind})" if piece.part.name != piece.part.kind else piece.part.name
    turn = units.show(piece.bend_angle_rad, "deg", 1)
    return f"Pie-cut bend, {turn}" if piece.pie is not None else f"Bend, {turn}"


def said(page: Page, cuts: CutList, piece: Piece) -> list[str]:
    """Everything about one piece, a sentence each."""
    length = page.length
    lines = [f"Cut to {length(piece.length_to_cut_mm)} along its middle"
             + ("." if piece.sd_mm is None else f", give or take {length(SURE * piece.sd_mm)} of the tape.")]
    if piece.part is not None:
        lines = [f"It takes {length(piece.length_to_cut_mm)} of the pipe's run."]
        if piece.clock is not None:
            lines.append("Its wide side lies level." if piece.clock.way is Way.STRAIGHT_ON else
                         f"Turn its wide side {units.show(piece.clock.angle_rad, 'deg', 1)} {piece.clock.way} from "
                         "level, looking downstream.")
    if piece.kind in (Kind.BEND, Kind.PIE_CUT):
        lines.append(f"Turns {units.show(piece.bend_angle_rad, 'deg', 1)} on a radius of {length(piece.radius_mm)}; "
                     f"legs {length(piece.leg_before_mm)} before and {length(piece.leg_after_mm)} after.")
    if piece.stock is not None:
        lines += stock_words(page, piece.stock)
    if piece.pie is not None:
        p = piece.pie
        lines.append(f"{p.pieces} pieces of straight tube, saw set to {units.show(p.cut_face_angle_rad, 'deg', 2)}; "
                     f"whole pieces {length(p.long_side_mm)} on the long side and {length(p.short_side_mm)} on the "
                     f"short; it takes {length(p.tube_length_mm)} of tube, the saw cuts between them counted.")
    if piece.clocking is not None:
        lines.append(clocking_words(page, piece.clocking))
    return [*lines, *(page.told(note) for note in piece.notes)]


def stock_words(page: Page, stock: StockCut) -> list[str]:
    """From which stock a piece is cut, and where the saw goes."""
    length = page.length
    if not stock.is_bend:
        low, high = stock.span_mm
        end = f"the free end of leg {stock.leg}" if stock.leg else "its first end"
        return [f"Cut from {stock.place}: {length(low)} to {length(high)} from {end}."]
    lines = [f"Cut from {stock.place}."]
    for edge in (stock.near, stock.far):
        if edge.at_rad is None:
            lines.append(f"Face {edge.joint}: " + (
                f"saw {length(edge.from_end_mm or 0.0)} from the free end of the bend's leg {edge.leg}." if edge.sawn
                else f"the bend's own end {edge.leg}, no cut."))
        elif edge.at_rad == 0.0:
            lines.append(f"Face {edge.joint}: saw where the curve begins at end {edge.end}, leg cut off.")
        else:
            outside, inside, tape = (length(v or 0.0) for v in (edge.outside_chord_mm, edge.inside_chord_mm,
                                                                edge.outside_tape_mm))
            lines.append(f"Face {edge.joint}: saw {units.show(edge.at_rad, 'deg', 1)} from where the curve begins at "
                         f"end {edge.end}: {outside} straight over the outside, {inside} over the inside, {tape} with "
                         "a tape along the outside.")
    return lines


def clocking_words(page: Page, turn: Clocking) -> str:
    """How far the next bend is turned."""
    if turn.way is Way.STRAIGHT_ON:
        return f"Piece {turn.to_piece} goes on in the same plane: no turn. Its outside faces {turn.points}."
    way = "half round" if turn.way is Way.OPPOSITE else f"{turn.way}, seen from {turn.seen_from}"
    return (f"Then turn {units.show(turn.angle_rad, 'deg', 1)} {way}: {page.length(turn.arc_mm)} round the skin from "
            f"{turn.from_line}, to the outside of piece {turn.to_piece}, which then faces {turn.points}.")
