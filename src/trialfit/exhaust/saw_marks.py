"""Which stock each piece is cut from and where the saw goes, told so that it can be marked on the metal.

The plan of :mod:`trialfit.exhaust.nesting` decides; it is written into the pieces once, and every paper tells what
stands there. On a bend a cut is told by its angle from where the bend begins to curve at the end that the piece is cut
from, by the straight distance over the outside and the inside of the bend from that place, and by the tape along the
outside. On a leg or stick it is told from the free end.
"""

import math
from collections.abc import Iterable
from dataclasses import replace

from trialfit.exhaust.nesting import BendStock, Cut, Nest, StickStock, Unit
from trialfit.exhaust.pieces import CutList, Kind, Piece, SawMark, StockCut
from trialfit.standards import refuse_not_positive

NONE_MM = 0.05
"""A leg shorter than this is none [mm]."""
_NO_ARC_RAD = 1e-9


def allotted(cuts: CutList, nest: Nest) -> CutList:
    """The cut list with the stock that each piece is cut from, and what is to be bought.

    Parameters
    ----------
    cuts : CutList
    nest : Nest
        of these pieces, or of some of them

    Raises
    ------
    ValueError
        when the nest gives a piece that the cut list has not, or one twice

    Source: geometry.
    """
    found: dict[int, StockCut] = {}
    counts: tuple[dict[str, int], dict[str, int]] = ({}, {})
    for unit in nest.units:
        for sawn in sawn_pieces(unit, cuts):
            if sawn.piece in found:
                raise ValueError(f"piece {sawn.piece} of {cuts.route} is cut from {found[sawn.piece].item} and from "
                                 f"{sawn.item}")
            found[sawn.piece] = sawn
        kind = counts[on_shelf(unit)]
        kind[unit.stock.name] = kind.get(unit.stock.name, 0) + 1
    bought, there = (tuple(sorted(c.items())) for c in counts)
    return replace(cuts, pieces=tuple(replace(p, stock=found.get(p.number)) for p in cuts.pieces),
                   stock_to_buy=bought, stock_at_hand=there)


def on_shelf(unit: Unit) -> bool:
    """Whether it is there already."""
    return unit.stock.count is not None


def sawn_pieces(unit: Unit, cuts: CutList) -> tuple[StockCut, ...]:
    """How each piece lies in one unit of stock, from its first end on.

    Parameters
    ----------
    unit : Unit
        of a nest of these pieces
    cuts : CutList

    Raises
    ------
    ValueError
        when the unit gives a piece that the cut list has not

    Source: geometry.
    """
    pieces = {p.number: p for p in cuts.pieces}
    missing = [c.piece for c in unit.cuts if c.piece not in pieces]
    if missing:
        raise ValueError(f"{unit.stock.name} number {unit.number} gives piece {missing[0]}, which {cuts.route} has not")
    refuse_not_positive(diameter=(cuts.diameter_mm, "mm"))
    return _along(_sawn(unit, cut, pieces[cut.piece], 0.5 * cuts.diameter_mm) for cut in unit.cuts)


def out_of(cuts: CutList, number: int) -> tuple[StockCut, ...]:
    """What the pieces of an allotted cut list take from the bend or stick of that number, from its first end on."""
    return _along(p.stock for p in cuts.pieces if p.stock is not None and p.stock.number == number)


def _along(sawn: Iterable[StockCut]) -> tuple[StockCut, ...]:
    return tuple(sorted(sawn, key=lambda s: (s.leg == 2, s.leg == 0, s.from_rad, s.span_mm)))


def as_sawn(cuts: CutList) -> CutList:
    """The cut list with every piece as its marks on the stock make it: angle and legs from the two edges alone, each
    leg at the joint that is named at that edge. What has no stock, and what is made of wedges, stays. A bend that is
    used whole is sprung to the piece's angle, and radii that the nest takes for one are one.

    Source: geometry.
    """
    return replace(cuts, pieces=tuple(_rebuilt(p) for p in cuts.pieces))


def _rebuilt(piece: Piece) -> Piece:
    sawn = piece.stock
    if sawn is None or piece.kind not in (Kind.STRAIGHT, Kind.BEND):
        return piece
    low, high = sawn.edges
    if piece.kind is Kind.STRAIGHT:
        first, last = sawn.span_mm
        return replace(piece, length_to_cut_mm=last - first)
    ends = []
    for edge, whole in ((low, 0.0), (high, sawn.stock_angle_rad)):
        at = whole if edge.at_rad is None else edge.at_rad if edge.end == 1 else sawn.stock_angle_rad - edge.at_rad
        ends.append((at, 0.0 if edge.from_end_mm is None else sawn.stock_leg_mm - edge.from_end_mm))
    legs = {low.joint: ends[0][1], high.joint: ends[1][1]}
    angle = piece.bend_angle_rad if sawn.whole else ends[1][0] - ends[0][0]
    before, after = legs[piece.start], legs[piece.end]
    return replace(piece, bend_angle_rad=angle, leg_before_mm=before, leg_after_mm=after,
                   length_to_cut_mm=before + angle * piece.radius_mm + after)


def _sawn(unit: Unit, cut: Cut, piece: Piece, half: float) -> StockCut:
    stock = unit.stock
    name, shelf = stock.name, on_shelf(unit)
    if isinstance(stock, StickStock) or cut.length_mm > 0.0:
        whole = stock.length_mm if isinstance(stock, StickStock) else stock.leg_mm
        own = abs(cut.from_mm + cut.length_mm - whole) < NONE_MM and isinstance(stock, StickStock)
        first = SawMark(piece.start, cut.leg, None, None, None, None, cut.from_mm, cut.from_mm > NONE_MM)
        last = SawMark(piece.end, cut.leg, None, None, None, None, cut.from_mm + cut.length_mm, not own)
        size = {"stick_mm": stock.length_mm} if isinstance(stock, StickStock) else {
            "stock_angle_rad": stock.angle_rad, "stock_radius_mm": stock.radius_mm, "stock_leg_mm": stock.leg_mm}
        return StockCut(cut.piece, name, unit.number, shelf, (first, last), max(cut.leg, 1), cut.leg, **size)
    before, after = piece.leg_before_mm, piece.leg_after_mm
    low_leg, high_leg = (after, before) if cut.flipped else (before, after)
    low_joint, high_joint = (piece.end, piece.start) if cut.flipped else (piece.start, piece.end)
    # marks count from the end that is kept, so that what a bend turns by beyond its name does not come in
    end = 2 if high_leg > NONE_MM >= low_leg else 1
    low = _on_bend(stock, low_joint, 1, cut.from_rad, low_leg, half, end)
    high = _on_bend(stock, high_joint, 2, cut.to_rad, high_leg, half, end)
    return StockCut(cut.piece, name, unit.number, shelf, (low, high), end, 0, cut.from_rad, cut.to_rad, low_leg,
                    high_leg, 0.0, stock.angle_rad, stock.radius_mm, stock.leg_mm)


def _on_bend(stock: BendStock, joint: str, leg: int, at_rad: float, kept_mm: float, half: float, end: int) -> SawMark:
    """The edge at ``at_rad`` from end 1, towards ``leg`` of the stock."""
    if kept_mm > NONE_MM:
        from_end = stock.leg_mm - kept_mm
        return SawMark(joint, leg, None, None, None, None, max(from_end, 0.0), from_end > NONE_MM)
    for own, at in ((1, at_rad), (2, stock.angle_rad - at_rad)):
        if at < _NO_ARC_RAD:
            return SawMark(joint, 0, 0.0, 0.0, 0.0, 0.0, None, end=own)
    at = at_rad if end == 1 else stock.angle_rad - at_rad
    chord = 2.0 * math.sin(0.5 * at)
    outside = stock.radius_mm + half
    return SawMark(joint, 0, at, chord * outside, chord * (stock.radius_mm - half), at * outside, None, end=end)
