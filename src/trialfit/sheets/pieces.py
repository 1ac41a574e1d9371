"""The true shape of one piece of pipe, and the run of the whole pipe in space.

A bend is drawn looking along its axis, so every length in the drawing is a true one; the piece starts at the left.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.pieces import Clocking, CutList, Kind, Piece
from trialfit.geometry.turning import turned_about
from trialfit.sheets.dimensions import aligned, arc, leader
from trialfit.sheets.drawing import (
    SCALES,
    SMALL_BOLD,
    SMALL_FIGURE_BOLD,
    TEXT_BOLD,
    Circle,
    Fill,
    LineKind,
    Mark,
    Point,
    Stroke,
    Words,
    arrowhead,
    bounds,
    line,
    shifted,
)
from trialfit.sheets.lengths import degrees, minus

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class TrueShape:
    """A drawing of one piece with its origin at its lower left corner, its size [mm] and its scale 1 : n."""

    marks: tuple[Mark, ...]
    width_mm: float
    height_mm: float
    scale: int


def flat_run(piece: Piece) -> tuple[tuple[Point, ...], tuple[int, int]]:
    """Centre line in the bend's own plane [mm]: start at nought, first leg along +u, turning to the left; and the
    indices where the curved (or pie-cut) part begins and ends."""
    if piece.kind in (Kind.STRAIGHT, Kind.PART):
        return ((0.0, 0.0), (piece.length_to_cut_mm, 0.0)), (0, 1)
    angle, radius = piece.bend_angle_rad, piece.radius_mm
    begin = (piece.leg_before_mm, 0.0)
    if piece.kind is Kind.PIE_CUT and piece.pie is not None:
        pie = piece.pie
        legs = [pie.end_middle_mm, *[pie.middle_mm] * (pie.joints - 1), pie.end_middle_mm]
        points, heading = [begin], 0.0
        for number, leg in enumerate(legs):
            x, y = points[-1]
            points.append((x + leg * math.cos(heading), y + leg * math.sin(heading)))
            heading += pie.turn_per_joint_rad * (number < pie.joints)
        curve: tuple[Point, ...] = tuple(points)
    else:
        curve = arc((begin[0], radius), radius, -math.pi / 2.0, angle - math.pi / 2.0, max(radius * 0.03, 0.5))
    x, y = curve[-1]
    last = (x + piece.leg_after_mm * math.cos(angle), y + piece.leg_after_mm * math.sin(angle))
    run: list[Point] = [(0.0, 0.0)] if piece.leg_before_mm > 1e-6 else []
    first = len(run)
    run += curve
    end = len(run) - 1
    if piece.leg_after_mm > 1e-6:
        run.append(last)
    return tuple(run), (first, end)


def centre_line(piece: Piece) -> Floats:
    """Centre line in the vehicle, shape (n, 3) [mm]."""
    start, end = np.array(piece.start_xyz_mm), np.array(piece.end_xyz_mm)
    if piece.normal is None:
        return np.vstack([start, end])
    run, _ = flat_run(piece)
    axis = np.array(piece.normal) / np.linalg.norm(piece.normal)
    chord = (end - start) / np.linalg.norm(end - start)
    u = turned_about(chord, axis, -math.atan2(run[-1][1], run[-1][0]))
    v = np.cross(axis, u)
    flat = np.array(run)
    line3: Floats = start + flat[:, :1] * u + flat[:, 1:] * v
    return line3


def whole_run(cut_list: CutList) -> Floats:
    """Centre line of the whole pipe, outlet to tail, shape (n, 3) [mm]."""
    return np.vstack([centre_line(p) for p in cut_list.pieces])


def _offset(run: tuple[Point, ...], off: float) -> tuple[Point, ...]:
    """The run moved sideways by ``off`` (left positive), mitred at its corners."""
    out: list[Point] = []
    for k, (x, y) in enumerate(run):
        before = run[k - 1] if k else None
        after = run[k + 1] if k + 1 < len(run) else None
        normals = []
        for p, q in ((before, (x, y)), ((x, y), after)):
            if p is not None and q is not None:
                long = math.hypot(q[0] - p[0], q[1] - p[1])
                normals.append((-(q[1] - p[1]) / long, (q[0] - p[0]) / long))
        nx, ny = (sum(n[0] for n in normals), sum(n[1] for n in normals))
        size = math.hypot(nx, ny)
        nx, ny = nx / size, ny / size
        mitre = nx * normals[0][0] + ny * normals[0][1]
        out.append((x + nx * off / mitre, y + ny * off / mitre))
    return tuple(out)


def true_shape(piece: Piece, diameter_mm: float, room_wide: float, room_high: float) -> TrueShape:
    """Draw one piece as large as the room [mm] lets it, dimensions and end letters included.

    Raises ValueError when it does not go in at 1 : 200.
    """
    for scale in SCALES:
        marks = _at_scale(piece, diameter_mm, scale)
        left, low, right, high = bounds(marks)
        if right - left <= room_wide and high - low <= room_high:
            return TrueShape(tuple(shifted(m, -left, -low) for m in marks), right - left, high - low, scale)
    raise ValueError(f"piece {piece.number} does not go in {room_wide:.0f} x {room_high:.0f} mm at 1 : {SCALES[-1]}")


def _at_scale(piece: Piece, diameter_mm: float, scale: int) -> list[Mark]:
    run, (first, last) = flat_run(piece)
    wide = diameter_mm if piece.part is None else max(piece.part.width.mm, diameter_mm)
    r = wide / 2.0 / scale
    paper = tuple((x / scale, y / scale) for x, y in run)
    marks = _body(paper, r, piece, first, last)
    marks += _end_letters(paper, piece)
    if piece.kind in (Kind.STRAIGHT, Kind.PART):
        marks += aligned(paper[0], paper[-1], -(r + 6.5), f"{minus(piece.length_to_cut_mm, 1)}")
    else:
        marks += _bend_dimensions(paper, r, piece, scale, first, last)
    return marks


def _body(run: tuple[Point, ...], r: float, piece: Piece, first: int, last: int) -> list[Mark]:
    left, right = _offset(run, r), _offset(run, -r)
    marks: list[Mark] = [Stroke((*left, *right[::-1]), LineKind.OUTLINE, True, Fill.WHITE)]
    cross = range(first + 1, last) if piece.kind is Kind.PIE_CUT else ()
    for k in cross:
        marks.append(line(left[k], right[k], LineKind.OUTLINE))
    for k in (first, last):
        if 0 < k < len(run) - 1:
            marks.append(line(left[k], right[k], LineKind.THIN))
    a, b = _beyond(run[1], run[0], 3.0), _beyond(run[-2], run[-1], 3.0)
    marks.append(Stroke((a, *run, b), LineKind.CENTRE))
    return marks


def _beyond(a: Point, b: Point, far: float) -> Point:
    long = math.hypot(b[0] - a[0], b[1] - a[1])
    return b[0] + (b[0] - a[0]) / long * far, b[1] + (b[1] - a[1]) / long * far


def _end_letters(run: tuple[Point, ...], piece: Piece) -> list[Mark]:
    marks: list[Mark] = []
    for letter, a, b in ((piece.start, run[1], run[0]), (piece.end, run[-2], run[-1])):
        x, y = _beyond(a, b, 5.6)
        marks.append(Words((x, y - 1.3), letter, TEXT_BOLD, "centre"))
    return marks


def _bend_dimensions(run: tuple[Point, ...], r: float, piece: Piece, scale: int, first: int, last: int) -> list[Mark]:
    radius = piece.radius_mm / scale
    begin, end = run[first], run[last]
    centre = (begin[0], begin[1] + radius)
    marks: list[Mark] = []
    if piece.pie is not None:
        skin, long = _offset(run, -r), piece.pie.end_long_side_mm
        marks += aligned(skin[first + 1], skin[0], 8.0, minus(piece.leg_before_mm + long, 1))
        marks += aligned(skin[last - 1], skin[-1], -8.0, minus(piece.leg_after_mm + long, 1))
    else:
        if piece.leg_before_mm > 1e-6:
            marks += aligned(begin, run[0], r + 6.0, minus(piece.leg_before_mm, 1))
        if piece.leg_after_mm > 1e-6:
            marks += aligned(end, run[-1], -(r + 6.0), minus(piece.leg_after_mm, 1))
    marks += [Circle(centre, 0.4, None, Fill.BLACK),
              line((centre[0] - 1.5, centre[1]), (centre[0] + 1.5, centre[1])),
              line((centre[0], centre[1] - 1.5), (centre[0], centre[1] + 1.5))]
    angle = piece.bend_angle_rad
    inner = max(radius - r - 1.0, 0.0)
    for at in (begin, end):
        far = math.hypot(at[0] - centre[0], at[1] - centre[1])
        stop = (centre[0] + (at[0] - centre[0]) * inner / far, centre[1] + (at[1] - centre[1]) * inner / far)
        if inner > 2.0:
            marks.append(Stroke((centre, stop), LineKind.THIN))
    marks += _angle(centre, min(inner * 0.8, 9.0), angle)
    middle = angle / 2.0 - math.pi / 2.0
    outward = (math.cos(middle), math.sin(middle))
    node = (centre[0] + outward[0] * radius, centre[1] + outward[1] * radius)
    edge = (centre[0] + outward[0] * (radius + r), centre[1] + outward[1] * (radius + r))
    knee = (edge[0] + max(outward[0] * 10.0, 7.0), edge[1] + min(outward[1] * 9.0, -5.0))
    marks += leader(node, knee, f"R {minus(piece.radius_mm, 1)}")
    return marks


def _angle(centre: Point, radius: float, angle: float) -> list[Mark]:
    words = degrees(angle)
    marks: list[Mark] = []
    if radius > 3.5:
        start, end = -math.pi / 2.0, angle - math.pi / 2.0
        points = arc(centre, radius, start, end)
        marks.append(Stroke(points, LineKind.THIN))
        if radius * angle > 7.0:
            marks += [arrowhead(points[0], (-1.0, 0.0), 2.0, 0.4),
                      arrowhead(points[-1], (-math.sin(end), math.cos(end)), 2.0, 0.4)]
    at = (centre[0] - 2.5, centre[1] + 1.0)
    marks.append(Words(at, words, SMALL_FIGURE_BOLD, "right", patch=True))
    return marks


def clock_face(turn: Clocking, radius: float = 8.0) -> list[Mark]:
    """The pipe seen end on, looking downstream: the line the turn starts at is at the top (0), the arrow goes the way
    of the turn to the next bend's outside line, with that piece's number. Angles are true; centre at nought."""
    marks: list[Mark] = [Circle((0.0, 0.0), radius, LineKind.OUTLINE, Fill.WHITE)]
    angles = (0.0, -turn.signed_rad)
    for angle in angles:
        c, s = math.cos(math.pi / 2.0 + angle), math.sin(math.pi / 2.0 + angle)
        marks.append(line((c * (radius - 2.0), s * (radius - 2.0)), (c * (radius + 1.5), s * (radius + 1.5)),
                          LineKind.OUTLINE))
    where = [math.pi / 2.0 + a for a in angles]
    if abs(angles[1]) > 0.1:
        points = arc((0.0, 0.0), radius - 3.2, where[0], where[1], 0.3)
        sense = 1.0 if angles[1] > 0 else -1.0
        marks += [Stroke(points, LineKind.THIN),
                  arrowhead(points[-1], (-math.sin(where[1]) * sense, math.cos(where[1]) * sense), 2.0, 0.5)]
    apart = radius + 3.8
    marks.append(Words((0.0, apart - 1.2), "0", SMALL_BOLD, "centre"))
    at = (apart * math.cos(where[1]), apart * math.sin(where[1]) - 1.2)
    if math.hypot(at[0], at[1] - apart + 1.2) < 3.6:
        at = (math.copysign(3.8, math.cos(where[1])), at[1] - 0.4)
    marks.append(Words(at, str(turn.to_piece), SMALL_BOLD, "centre"))
    return marks
