"""The cut list: a laid route taken apart into pieces, with the turn from each bend to the next.

How straights are shared out. A bend off the shelf that is used whole keeps the legs it has on both sides; one that is
cut out of a longer bend keeps one leg, on the side where the longer straight adjoins (upstream when equal). A pie-cut
bend keeps up to one diameter of straight on both end wedges, to hold and clamp them. Legs are used first, from the
outlet on; what is left of a straight is a stick of tube of its own. Where that stick would be shorter than the least
straight asked for, the legs are cut shorter instead, as far as they go. A part (muffler, bellows ...) splits its
straight: there is pipe before it and behind it. What is shorter than a weld's gap is no piece of its own: it is left to
the bend beside it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.lay import WHOLE_RAD, LaidRoute, doubt_of
from trialfit.exhaust.parts import PartSpot, spots_of
from trialfit.exhaust.pieces import (
    Clocking,
    CutList,
    Kind,
    PartClock,
    Piece,
    PieCut,
    StartFrame,
    Way,
    Xyz,
)
from trialfit.exhaust.sides import pointing
from trialfit.geometry.bend import pie_cut_piece_mm
from trialfit.geometry.centreline import Arc, Bend, Mitred, Straight
from trialfit.vehicle import Amount, StockBend

Floats = NDArray[np.float64]

WELD_GAP_MM = 1.0
"""Pipe shorter than this between two bends is the gap of their weld [mm]; common practice, no source."""
_SAME_WAY_RAD = 1e-10
_NO_LENGTH_MM = 1e-9


def letter(index: int) -> str:
    """Joint's letter: A at the outlet, after Z comes AA.

    >>> letter(0), letter(25), letter(26)
    ('A', 'Z', 'AA')
    """
    text = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        text = chr(ord("A") + rest) + text
    return text


def turn_about(first: Floats, second: Floats, axis: Floats) -> float:
    """Turn from one direction to another about an axis square to both, right-handed, -pi to pi [rad]."""
    return math.atan2(float(axis @ np.cross(first, second)), float(first @ second))


@dataclass(frozen=True, slots=True)
class _Share:
    """Legs kept on one bend [mm]."""

    before: float
    after: float


@dataclass(frozen=True, slots=True)
class _Part:
    """One piece before it is named: a straight, bend number ``bend`` with its legs, or a part."""

    length: float
    bend: int = -1
    share: _Share = _Share(0.0, 0.0)
    spot: PartSpot | None = None


def cut_list(laid: LaidRoute) -> CutList:
    """Take a laid route apart into pieces, outlet to end.

    The pieces' lengths add up to the centre line. Which stock each is cut from is not settled here: see
    :func:`trialfit.exhaust.saw_marks.allotted`. With the route's covariance known each piece carries the doubt of
    its length; slip joints and what a flange adds are left out, so allow for them at the ends.

    Parameters
    ----------
    laid : LaidRoute
        with a centre line

    Raises
    ------
    ValueError
        when the route has no centre line; its findings say why
    """
    line = laid.centreline
    if line is None:
        raise ValueError(f"{laid.plan.name} cannot be laid, so there is nothing to cut; see its findings")
    bends = line.bends
    stock = [laid.stock[b.corner - 1] for b in bends]
    parts = _parts(laid)
    sds = _length_doubts(laid, len(parts))
    numbers = {p.bend: i + 1 for i, p in enumerate(parts) if p.bend >= 0}
    pieces: list[Piece] = []
    here = 0.0
    for i, part in enumerate(parts):
        there = min(here + part.length, line.length_mm)
        base = Piece(
            number=i + 1, kind=Kind.STRAIGHT, name=f"stick {letter(i)} to {letter(i + 1)}", start=letter(i),
            end=letter(i + 1), length_to_cut_mm=part.length, start_xyz_mm=_xyz(line.point_at(here)),
            end_xyz_mm=_xyz(line.point_at(there)), sd_mm=None if sds is None or part.spot is not None else sds[i],
        )
        if part.spot is not None:
            pieces.append(_part_piece(base, part.spot))
        else:
            pieces.append(base if part.bend < 0 else _bend_piece(laid, base, part, bends, stock, numbers))
        here = there
    straight = math.fsum(
        p.length_to_cut_mm if p.kind is Kind.STRAIGHT else p.pie.tube_length_mm if p.pie else 0.0 for p in pieces
    )
    return CutList(
        laid.plan.name, laid.diameter_mm, laid.wall_mm, _start(laid, bends, numbers), tuple(pieces), line.length_mm,
        straight, (), _notes(pieces), laid.plan.where,
        len(pieces) - 1 + sum(p.pie.joints for p in pieces if p.pie is not None),
    )


def _part_piece(base: Piece, spot: PartSpot) -> Piece:
    clock = None
    level = math.hypot(float(spot.along[0]), float(spot.along[1]))
    if spot.width_mm > spot.height_mm and level > math.cos(math.radians(85.0)):
        turn = math.remainder(spot.clock_rad, math.pi)
        way = Way.STRAIGHT_ON if abs(turn) < 1e-6 else Way.CLOCKWISE if turn > 0.0 else Way.ANTICLOCKWISE
        clock = PartClock(abs(turn), way)
    part = replace(spot.part, length=Amount(spot.length_mm), width=Amount(spot.width_mm), height=Amount(spot.height_mm),
                   clock_rad=spot.clock_rad)
    return replace(base, kind=Kind.PART, name=f"{spot.part.name}, {base.start} to {base.end}", part=part, clock=clock)


def _straights(laid: LaidRoute) -> list[float]:
    """Straight before the first bend, between each two, and after the last [mm]; a corner without a turn joins two."""
    assert laid.centreline is not None
    out = [0.0]
    for stretch in laid.centreline.stretches:
        if isinstance(stretch, Straight):
            out[-1] += stretch.length_mm
        else:
            out.append(0.0)
    return out


def _wishes(laid: LaidRoute, bends: Sequence[Bend], straights: Sequence[float]) -> list[_Share]:
    wishes = []
    for k, bend in enumerate(bends):
        stock = laid.stock[bend.corner - 1]
        if isinstance(bend, Mitred):
            wishes.append(_Share(laid.diameter_mm, laid.diameter_mm))
        elif stock is None:
            wishes.append(_Share(0.0, 0.0))
        elif _whole(stock, bend):
            wishes.append(_Share(stock.leg_mm, stock.leg_mm))
        elif straights[k + 1] > straights[k]:
            wishes.append(_Share(0.0, stock.leg_mm))
        else:
            wishes.append(_Share(stock.leg_mm, 0.0))
    return wishes


def _whole(stock: StockBend, bend: Bend) -> bool:
    return abs(stock.angle_rad - bend.turn_rad) <= WHOLE_RAD


def _parts(laid: LaidRoute) -> list[_Part]:
    assert laid.centreline is not None
    bends = laid.centreline.bends
    straights = _straights(laid)
    wishes = _wishes(laid, bends, straights)
    seated = _seated(laid, straights)
    before, after = [0.0] * len(bends), [0.0] * len(bends)
    runs: list[list[_Part]] = []
    for k, length in enumerate(straights):
        spots = seated[k]
        # free pipe: up to the first part, between parts, behind the last
        edges = [0.0, *(e for at, spot in spots for e in (at, at + spot.length_mm)), length]
        free = [edges[2 * i + 1] - edges[2 * i] for i in range(len(spots) + 1)]
        wanted_up = wishes[k - 1].after if k > 0 else None
        wanted_down = wishes[k].before if k < len(bends) else None
        least = laid.plan.least_straight_mm
        if not spots:
            up, rest, down = _shared(length, wanted_up, wanted_down, least)
            run = [_Part(rest)] if rest > 0.0 else []
        else:
            up, first, _ = _shared(free[0], wanted_up, None, least)
            _, last, down = _shared(free[-1], None, wanted_down, least)
            run = []
            for i, (_, spot) in enumerate(spots):
                stick = first if i == 0 else free[i]
                run += [_Part(stick)] if stick > _NO_LENGTH_MM else []
                run.append(_Part(spot.length_mm, spot=spot))
            run += [_Part(last)] if last > 0.0 else []
        if k > 0:
            after[k - 1] = up
        if k < len(bends):
            before[k] = down
        runs.append(run)
    parts: list[_Part] = []
    for k, run in enumerate(runs):
        parts += run
        if k < len(bends):
            parts.append(_Part(before[k] + bends[k].length_mm + after[k], k, _Share(before[k], after[k])))
    return parts


def _shared(length: float, wanted_up: float | None, wanted_down: float | None, least: float
            ) -> tuple[float, float, float]:
    """Free pipe shared out: leg of the bend before it, stick of its own, leg of the bend behind it [mm]; None where
    there is no bend on that side."""
    up = min(wanted_up or 0.0, length)
    down = min(wanted_down or 0.0, length - up)
    rest = length - up - down
    least = min(least, length)
    if _NO_LENGTH_MM < rest < least:
        give = min(least - rest, down)
        down -= give
        up -= least - rest - give
        rest = least
    small = _NO_LENGTH_MM if wanted_up is None or wanted_down is None else WELD_GAP_MM
    if rest <= small and not (wanted_up is None and wanted_down is None and rest > _NO_LENGTH_MM):
        # what rounding or the weld's gap leaves over goes to a leg, so that the pieces still add up
        if wanted_up is not None and (up > 0.0 or wanted_down is None or rest > _NO_LENGTH_MM):
            up = length - down
        elif wanted_down is not None:
            down = length - up
        rest = 0.0
    return up, rest, down


def _seated(laid: LaidRoute, straights: Sequence[float]) -> list[list[tuple[float, PartSpot]]]:
    """For each straight the parts on it in order, each with its distance from the straight's start [mm]. A part that
    is not clear of bends and other parts is left out; a finding tells of it."""
    assert laid.centreline is not None
    spots, _ = spots_of(laid.plan, laid.points_mm, laid.sizes)
    begins, which = _legs_in_straights(laid)
    seated: list[list[tuple[float, PartSpot]]] = [[] for _ in straights]
    for spot in sorted(spots, key=lambda s: (s.leg, s.start_mm)):
        if spot.leg not in begins:
            continue
        k, at = which[spot.leg], begins[spot.leg] + spot.start_mm
        free_from = seated[k][-1][0] + seated[k][-1][1].length_mm if seated[k] else 0.0
        at = max(at, free_from) if at > free_from - _TOUCH_MM else at
        far = at + spot.length_mm
        if at < free_from or far > straights[k] + _TOUCH_MM:
            continue
        seated[k].append((min(at, straights[k] - spot.length_mm), spot))
    return seated


def _legs_in_straights(laid: LaidRoute) -> tuple[dict[int, float], dict[int, int]]:
    """For each leg, where its first point lies from the start of the straight it is in [mm] (below 0: within the bend
    before it), and that straight's number."""
    line = laid.centreline
    assert line is not None
    begins: dict[int, float] = {}
    which: dict[int, int] = {}
    k, run = 0, 0.0
    for stretch in line.stretches:
        if isinstance(stretch, Straight):
            along = stretch.tangent_at(0.0)
            begins[stretch.leg] = run + float((laid.points_mm[stretch.leg] - stretch.start) @ along)
            which[stretch.leg] = k
            run += stretch.length_mm
        else:
            k, run = k + 1, 0.0
    return begins, which


_TOUCH_MM = 1e-6


def _length_doubts(laid: LaidRoute, count: int) -> list[float] | None:
    """Standard deviations [mm] of the pieces' lengths; None when there is no covariance or the pieces would change."""

    def lengths(other: LaidRoute) -> Floats | None:
        if other.centreline is None or other.stock != laid.stock:
            return None
        parts = _parts(other)
        return np.array([p.length for p in parts]) if len(parts) == count else None

    spread = doubt_of(laid, lengths)
    return None if spread is None else [math.sqrt(max(v, 0.0)) for v in np.diag(spread)]


def _bend_piece(
    laid: LaidRoute,
    base: Piece,
    part: _Part,
    bends: Sequence[Bend],
    stock: Sequence[StockBend | None],
    numbers: dict[int, int],
) -> Piece:
    k, bend, half = part.bend, bends[part.bend], laid.radius_mm
    pie = _pie(bend, part.share, laid) if isinstance(bend, Mitred) else None
    outside, inside = (bend.radius_mm + half) * bend.turn_rad, (bend.radius_mm - half) * bend.turn_rad
    if pie is not None:
        outside, inside = pie.joints * pie.long_side_mm, pie.joints * pie.short_side_mm
    shelf = stock[k]
    kind = Kind.BEND if pie is None else Kind.PIE_CUT
    word = "bend" if pie is None else "pie-cut bend"
    notes = []
    if pie is None and shelf is None:
        notes.append(
            "no bend off the shelf: order it bent, with straight ends for the bender to grip, and cut to length"
        )
    return replace(
        base, kind=kind, name=f"{word} at corner {bend.corner}, {base.start} to {base.end}", corner=bend.corner,
        bend_angle_rad=bend.turn_rad, radius_mm=bend.radius_mm, leg_before_mm=part.share.before,
        leg_after_mm=part.share.after, outside_arc_mm=outside, inside_arc_mm=inside, normal=_xyz(bend.normal),
        clocking=_clocking(laid, bends, k, base, numbers), pie=pie, notes=tuple(notes),
    )


def _pie(bend: Mitred, share: _Share, laid: LaidRoute) -> PieCut:
    wish = laid.plan.corners[bend.corner - 1].pie_cut
    kerf = wish.kerf_mm if wish is not None else 0.0

    def side(which: str) -> float:
        return pie_cut_piece_mm(bend.radius_mm, laid.diameter_mm, bend.turn_rad, bend.joints, which)

    # along the tube's axis a slanted cut takes more than the blade is wide; the square cut that frees the bend lies
    # between two pieces of the stick, and is counted there
    kerfs = kerf * bend.joints / math.cos(bend.face_rad)
    return PieCut(
        pieces=bend.joints + 1, joints=bend.joints, turn_per_joint_rad=2.0 * bend.face_rad,
        cut_face_angle_rad=bend.face_rad, long_side_mm=side("long"), middle_mm=side("middle"),
        short_side_mm=side("short"), end_long_side_mm=0.5 * side("long"), end_middle_mm=0.5 * side("middle"),
        end_short_side_mm=0.5 * side("short"), leg_before_mm=share.before, leg_after_mm=share.after, kerf_mm=kerf,
        tube_length_mm=share.before + bend.length_mm + share.after + kerfs,
    )


def _outside(bend: Bend, at_start: bool) -> Floats:
    arc = _arc(bend)
    return arc.out if at_start else _outward_at_end(arc)


def _arc(bend: Bend) -> Arc:
    return bend.arc if isinstance(bend, Mitred) else bend


def _outward_at_end(arc: Arc) -> Floats:
    outward: Floats = math.cos(arc.turn_rad) * arc.out + math.sin(arc.turn_rad) * arc.along
    return outward


def _clock(turn: float, diameter: float, seen_from: str, from_line: str, to_piece: int, outside: Floats) -> Clocking:
    side = pointing(outside)
    if abs(turn) < _SAME_WAY_RAD:
        return Clocking(0.0, 0.0, Way.STRAIGHT_ON, seen_from, from_line, to_piece, side)
    if math.pi - abs(turn) < _SAME_WAY_RAD:
        return Clocking(math.pi, 0.5 * math.pi * diameter, Way.OPPOSITE, seen_from, from_line, to_piece, side)
    way = Way.CLOCKWISE if turn > 0.0 else Way.ANTICLOCKWISE
    return Clocking(abs(turn), 0.5 * diameter * abs(turn), way, seen_from, from_line, to_piece, side)


def _clocking(
    laid: LaidRoute, bends: Sequence[Bend], k: int, base: Piece, numbers: dict[int, int]
) -> Clocking | None:
    if k + 1 >= len(bends):
        return None
    arc = _arc(bends[k])
    axis = arc.direction(arc.turn_rad)
    turn = turn_about(_outside(bends[k], at_start=False), _outside(bends[k + 1], at_start=True), axis)
    return _clock(
        turn, laid.diameter_mm, f"looking downstream through joint {base.end}, from the outlet's side",
        f"outside line of piece {base.number}, carried straight along the pipe", numbers[k + 1],
        _outside(bends[k + 1], at_start=True),
    )


def _start(laid: LaidRoute, bends: Sequence[Bend], numbers: dict[int, int]) -> StartFrame:
    assert laid.centreline is not None
    first = laid.centreline.stretches[0]
    along = first.tangent_at(0.0) if isinstance(first, Straight) else _arc(first).along
    up, means = np.array([0.0, 0.0, 1.0]), "top of the pipe at the outlet, vehicle level at ride height"
    if abs(along[2]) > 0.98:
        up, means = np.array([-1.0, 0.0, 0.0]), "front of the pipe at the outlet, towards the vehicle's nose"
    top = up - (up @ along) * along
    top /= np.linalg.norm(top)
    clocking = None
    if bends:
        turn = turn_about(top, _outside(bends[0], at_start=True), along)
        clocking = _clock(
            turn, laid.diameter_mm, "looking downstream through joint A, from the outlet", means, numbers[0],
            _outside(bends[0], at_start=True),
        )
    return StartFrame(_xyz(first.start), _xyz(along), _xyz(top), means, clocking)


def _notes(pieces: Sequence[Piece]) -> tuple[str, ...]:
    notes = [
        "Lengths run along the centre line, joint face to joint face; add what a slip joint or flange takes up.",
        "Measure one real bend's radius and legs before cutting the others.",
    ]
    if any(p.kind is Kind.BEND for p in pieces):
        notes.append("Cut bends square to the centre line, so that the end stays round.")
    if any(p.pie is not None for p in pieces):
        notes.append(
            "Pie cuts: set the saw to the cut-face angle, half of the turn per joint, and turn every second piece end "
            "for end. Sides come from the tangent of that angle; the sine that is often handed on cuts short."
        )
    notes.append(
        "Tack, refit on the vehicle, then weld. Exhaust gas holds carbon monoxide: no leak may reach the cabin; "
        "follow local codes, and leave welding to someone trained for it."
    )
    return tuple(notes)


def _xyz(point: Floats) -> Xyz:
    return (float(point[0]), float(point[1]), float(point[2]))
