"""Putting the pieces together: where every joint comes to lie when each is tacked as marked, and what a slip there does
to the tail.

The pieces are joined in software as they are on the bench: from the start mark on, each straight as long as it was cut,
each bend turned to its mark, nothing taken from the vehicle but the outlet. So it is a second way to the same place.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.pieces import Clocking, CutList, Kind, Piece, Way, Xyz
from trialfit.findings import SURE
from trialfit.geometry.turning import turned_about
from trialfit.standards import refuse_outside

Floats = NDArray[np.float64]

LIMIT_MM = 3.0
"""A check length that is off by less is not looked into [mm]: cut, mark and tack make as much; common practice, no
source."""


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """A joint as tacked: its letter, its middle (3,) [mm], the unit way downstream (3,), and the way from the middle to
    the mark line on the pipe's outside (3,): the start mark, or the outside line of the last bend."""

    letter: str
    place: Floats
    way: Floats
    mark: Floats


@dataclass(frozen=True, slots=True)
class Slip:
    """What one wrong tack does: at joint ``letter``, the end of the pipe comes to lie ``tail_mm`` away, and points
    ``tail_deg`` wrong, for a piece turned by ``turned_deg`` on its mark, or ``gap_mm`` of gap on one side of the joint.
    ``tilt_deg`` is the angle that such a gap makes."""

    letter: str
    turned_deg: float
    turned_tail_mm: float
    turned_tail_deg: float
    gap_mm: float
    tilt_deg: float
    gap_tail_mm: float


@dataclass(frozen=True, slots=True)
class CheckLength:
    """A tape length to check a joint by after tacking: from a named point of the vehicle to the middle of the joint.

    ``sd_mm`` is how well the point is known along it as seen from the outlet that the pipe is tacked on from; None
    where nobody said. That the outlet's axis may point wrong, and the tape's own doubt, are left out, which errs to
    looking once too often."""

    letter: str
    point: str
    length_mm: float
    sd_mm: float | None = None

    @property
    def give_mm(self) -> float | None:
        """Give or take at 95 % [mm]; None where it is not known."""
        return None if self.sd_mm is None else SURE * self.sd_mm

    @property
    def limit_mm(self) -> float:
        """How far it may be off before it is looked into [mm]: its give or take, and never less than 3 mm.

        >>> CheckLength("B", "floor.2", 300.0, 0.5).limit_mm
        3.0
        """
        return max(LIMIT_MM, self.give_mm or 0.0)


def put_together(cuts: CutList, marked_to_mm: float = 0.0) -> tuple[Frame, ...]:
    """Every joint from the outlet to the tail, from the cut list alone.

    Parameters
    ----------
    cuts : CutList
    marked_to_mm : float
        marks and lengths are rounded to this, as a person marks them; 0 for as they are [mm]

    Returns
    -------
    tuple of Frame
        one for every joint letter, the outlet first and the tail last

    Raises
    ------
    ValueError
        for a rounding below 0 mm or above 5 mm

    Source: geometry.
    """
    refuse_outside("rounding of the marks", marked_to_mm, 0.0, 5.0, "mm")
    start = cuts.start
    frames = [Frame(cuts.pieces[0].start if cuts.pieces else "A", np.array(start.xyz_mm), np.array(start.direction),
                    np.array(start.top))]
    pending = _turn_of(start.clocking, cuts.diameter_mm, marked_to_mm)
    for piece in cuts.pieces:
        at = frames[-1]
        if piece.kind in (Kind.STRAIGHT, Kind.PART):
            length = _rounded(piece.length_to_cut_mm, marked_to_mm)
            frames.append(Frame(piece.end, at.place + length * at.way, at.way, at.mark))
            continue
        outside = turned_about(at.mark, at.way, pending)
        frames.append(_bent(piece, at, outside, 0.5 * cuts.diameter_mm, marked_to_mm))
        pending = _turn_of(piece.clocking, cuts.diameter_mm, marked_to_mm)
    return tuple(frames)


def _bent(piece: Piece, at: Frame, outside: Floats, half_mm: float, rounding: float) -> Frame:
    """The joint behind a bend whose outside line lies at ``outside``."""
    before, after = _rounded(piece.leg_before_mm, rounding), _rounded(piece.leg_after_mm, rounding)
    first = at.place + before * at.way
    angle = piece.bend_angle_rad
    if rounding > 0.0:
        # a bend's angle is marked as a length over its outside
        reach = piece.radius_mm + half_mm
        angle = _rounded(angle * reach, rounding) / reach
    inside = -outside
    centre = first + piece.radius_mm * inside
    place = centre + piece.radius_mm * (math.cos(angle) * outside + math.sin(angle) * at.way)
    way = math.cos(angle) * at.way - math.sin(angle) * outside
    mark = math.cos(angle) * outside + math.sin(angle) * at.way
    return Frame(piece.end, place + after * way, way, mark)


def _turn_of(clocking: Clocking | None, diameter_mm: float, rounding: float) -> float:
    if clocking is None or clocking.way is Way.STRAIGHT_ON:
        return 0.0
    if clocking.way is Way.OPPOSITE:
        return math.pi
    arc = _rounded(clocking.arc_mm, rounding)
    return math.copysign(2.0 * arc / diameter_mm, clocking.signed_rad)


def _rounded(value: float, to: float) -> float:
    return value if to <= 0.0 else round(value / to) * to



def slips(cuts: CutList, turned_rad: float = math.radians(0.5), gap_mm: float = 1.0) -> tuple[Slip, ...]:
    """What a wrong tack at each joint does to the tail, worked exactly: the rest of the pipe is swung as one.

    A gap stands on the side that swings the tail furthest.

    Parameters
    ----------
    turned_rad : float
        how far off its mark the piece behind the joint is turned [rad]
    gap_mm : float
        gap on one side of the joint, the other side touching [mm]

    Raises
    ------
    ValueError
        for a turn outside 0 to 0.35 rad, or a gap below 0 or wider than a fifth of the diameter

    Source: geometry.
    """
    refuse_outside("turn", turned_rad, 0.0, 0.35, "deg")
    refuse_outside("gap", gap_mm, 0.0, 0.2 * cuts.diameter_mm, "mm")
    frames = put_together(cuts)
    tail = frames[-1]
    tilt = math.asin(gap_mm / cuts.diameter_mm)
    found = []
    for frame in frames[:-1]:
        reach = tail.place - frame.place
        turned = turned_about(reach, frame.way, turned_rad) - reach
        pointing = turned_about(tail.way, frame.way, turned_rad)
        found.append(Slip(frame.letter, math.degrees(turned_rad), float(np.linalg.norm(turned)),
                          math.degrees(_between(tail.way, pointing)), gap_mm, math.degrees(tilt),
                          _tilted(reach, frame.way, tilt, 0.5 * cuts.diameter_mm)))
    return tuple(found)


def _tilted(reach: Floats, way: Floats, tilt: float, radius: float) -> float:
    """How far the tail goes at most when the joint gapes on one side: it turns about the side that touches [mm]."""
    level = np.cross(way, reach)
    size = float(np.linalg.norm(level))
    first = np.cross(way, [0.0, 0.0, 1.0]) if size < 1e-6 else level / size
    first = np.array([0.0, 1.0, 0.0]) if float(np.linalg.norm(first)) < 1e-6 else first / np.linalg.norm(first)
    worst = 0.0
    for k in range(72):
        axis = turned_about(first, way, math.pi * k / 36.0)
        touching = radius * np.cross(axis, way)
        moved = turned_about(reach - touching, axis, tilt) + touching - reach
        worst = max(worst, float(np.linalg.norm(moved)))
    return worst


def _between(a: Floats, b: Floats) -> float:
    return math.atan2(float(np.linalg.norm(np.cross(a, b))), float(a @ b))


def check_lengths(cuts: CutList, points: Mapping[str, Sequence[float]], each: int = 2,
                  spread_mm2: Mapping[str, Floats] | None = None) -> tuple[CheckLength, ...]:  # fmt: skip
    """Tape lengths to check each joint by, from named points: those nearest to it that stand well apart as seen from
    the joint, so that together they hold it.

    Parameters
    ----------
    points : mapping
        name to (x, y, z) [mm] of what a tape can be hooked on
    each : int
        how many for each joint
    spread_mm2 : mapping or None
        covariance (3, 3) of each point as seen from the outlet, where known [mm2]

    Raises
    ------
    ValueError
        for fewer than 1 a joint

    Source: geometry; doubt by GUM (JCGM 100:2008) 5.2.2, law of propagation.
    """
    if each < 1:
        raise ValueError(f"{each} check lengths for each joint; ask for 1 or more")
    found: list[CheckLength] = []
    for frame in put_together(cuts)[1:]:
        lengths = sorted((float(np.linalg.norm(np.asarray(p) - frame.place)), name) for name, p in points.items())
        chosen: list[tuple[float, str]] = []
        for length, name in lengths:
            way = (np.asarray(points[name]) - frame.place) / max(length, 1e-9)
            ways = [(np.asarray(points[n]) - frame.place) / max(m, 1e-9) for m, n in chosen]
            if length > 50.0 and all(math.radians(40.0) < _between(way, w) < math.radians(140.0) for w in ways):
                chosen.append((length, name))
            if len(chosen) == each:
                break
        for length, name in chosen:
            spread = None if spread_mm2 is None else spread_mm2.get(name)
            way = (np.asarray(points[name]) - frame.place) / length
            sd = None if spread is None else math.sqrt(max(float(way @ spread @ way), 0.0))
            found.append(CheckLength(frame.letter, name, length, sd))
    return tuple(found)


def misses(cuts: CutList, end: Xyz, way: Sequence[float], marked_to_mm: float = 0.0) -> tuple[float, float]:
    """How far the pipe put together from its marks ends from where it should [mm], and how wrong it points [rad]."""
    tail = put_together(cuts, marked_to_mm)[-1]
    return float(np.linalg.norm(tail.place - np.asarray(end))), _between(tail.way, np.asarray(way, dtype=np.float64))
