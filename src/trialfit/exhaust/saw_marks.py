"""Where the saw goes on every bend and stick of stock, told so that it can be marked on the metal.

On a bend a cut is told by its angle from where the first end begins to curve, by the straight distance over the outside
and the inside of the bend from that place, and by the tape along the outside. On a leg or stick it is told from the
free end.
"""

import math
from dataclasses import dataclass

from trialfit.exhaust.nesting import BendStock, Cut, StickStock, Unit
from trialfit.exhaust.pieces import CutList, Piece
from trialfit.standards import refuse_not_positive

NONE_MM = 0.05
"""A leg shorter than this is none [mm]."""


@dataclass(frozen=True, slots=True)
class SawMark:
    """One edge of a piece on its stock: ``joint`` is the piece's end there. On the arc, ``at_rad`` from where end 1
    begins to curve, with chords over outside and inside and the tape along the outside [mm]. On a leg or stick,
    ``from_end_mm`` from the free end of leg ``leg`` (0: a stick's first end). ``sawn`` is false where the stock's own
    end stays."""

    piece: int
    joint: str
    leg: int
    at_rad: float | None
    outside_chord_mm: float | None
    inside_chord_mm: float | None
    outside_tape_mm: float | None
    from_end_mm: float | None
    sawn: bool = True


@dataclass(frozen=True, slots=True)
class SawnPiece:
    """One piece as it lies in its stock: its two edges, the one nearer to the stock's first end first, and whether its
    downstream end looks to that first end."""

    piece: int
    edges: tuple[SawMark, SawMark]
    flipped: bool
    leg: int
    low_leg_mm: float = 0.0
    high_leg_mm: float = 0.0


def sawn_pieces(unit: Unit, cuts: CutList) -> tuple[SawnPiece, ...]:
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
    found = [_sawn(unit, cut, pieces[cut.piece], 0.5 * cuts.diameter_mm) for cut in unit.cuts]
    return tuple(sorted(found, key=lambda s: (s.leg == 2, s.leg == 0, _first(s))))


def _first(sawn: SawnPiece) -> float:
    edge = sawn.edges[0]
    return edge.at_rad if edge.at_rad is not None else edge.from_end_mm or 0.0


def _sawn(unit: Unit, cut: Cut, piece: Piece, half: float) -> SawnPiece:
    stock = unit.stock
    if isinstance(stock, StickStock) or cut.length_mm > 0.0:
        whole = stock.length_mm if isinstance(stock, StickStock) else stock.leg_mm
        own = abs(cut.from_mm + cut.length_mm - whole) < NONE_MM and isinstance(stock, StickStock)
        first = _on_straight(piece, piece.start, cut.leg, cut.from_mm, cut.from_mm > NONE_MM)
        last = _on_straight(piece, piece.end, cut.leg, cut.from_mm + cut.length_mm, not own)
        return SawnPiece(cut.piece, (first, last), False, cut.leg)
    before, after = piece.leg_before_mm, piece.leg_after_mm
    low_leg, high_leg = (after, before) if cut.flipped else (before, after)
    low_joint, high_joint = (piece.end, piece.start) if cut.flipped else (piece.start, piece.end)
    low = _on_bend(stock, piece, low_joint, 1, cut.from_rad, low_leg, half)
    high = _on_bend(stock, piece, high_joint, 2, cut.to_rad, high_leg, half)
    return SawnPiece(cut.piece, (low, high), cut.flipped, 0, low_leg, high_leg)


def _on_straight(piece: Piece, joint: str, leg: int, at_mm: float, sawn: bool) -> SawMark:
    return SawMark(piece.number, joint, leg, None, None, None, None, at_mm, sawn)


def _on_bend(stock: BendStock, piece: Piece, joint: str, leg: int, at_rad: float, kept_mm: float, half: float
             ) -> SawMark:  # fmt: skip
    if kept_mm > NONE_MM:
        from_end = stock.leg_mm - kept_mm
        return SawMark(piece.number, joint, leg, None, None, None, None, max(from_end, 0.0), from_end > NONE_MM)
    chord = 2.0 * math.sin(0.5 * at_rad)
    outside = stock.radius_mm + half
    return SawMark(piece.number, joint, 0, at_rad, chord * outside, chord * (stock.radius_mm - half), at_rad * outside,
                   None)
