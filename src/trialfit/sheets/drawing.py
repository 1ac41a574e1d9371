"""What is to be drawn, apart from who draws it: lines, circles and words on a leaf of paper.

Coordinates are mm from the leaf's lower left corner, y up. ``pdf`` and ``svg`` are the two back ends.
Line kinds after ISO 128-2 (lengths of dashes from memory: dash 12 d, long dash 24 d, gap 3 d).
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum

from trialfit.sheets.faces import Face, width_mm

Point = tuple[float, float]
Frame = tuple[float, float, float, float]
"""left, bottom, right, top [mm]"""

MM_PER_PT = 25.4 / 72.0


class LineKind(Enum):
    """A line by what it means; value is its width [mm] and its dashes and gaps [mm]."""

    OUTLINE = (0.5, ())
    """01.2 continuous wide: visible edges"""
    HEAVY = (0.8, ())
    """frames and rules that must be seen first"""
    THIN = (0.25, ())
    """01.1 continuous narrow: dimensions, leaders, hatching"""
    HIDDEN = (0.25, (3.0, 0.75))
    """02.1 dashed narrow: hidden edges, marks that are not cut"""
    CENTRE = (0.25, (6.0, 0.75, 0.3, 0.75))
    """04.1 long dash, dot, narrow: axes"""
    GHOST = (0.25, (3.0, 0.6, 0.3, 0.6, 0.3, 0.6))
    """05.1 long dash, two dots, narrow: the other positions of what moves"""

    @property
    def width_mm(self) -> float:
        """Width of the line [mm]."""
        return float(self.value[0])

    @property
    def dashes_mm(self) -> tuple[float, ...]:
        """Dashes and gaps in turn [mm]; empty when unbroken."""
        return tuple(float(v) for v in self.value[1])


class Fill(Enum):
    """What lies inside an outline; value is its blackness [-]. No grey lighter than a quarter: it would not print."""

    NONE = -1.0
    WHITE = 0.0
    TINT = 0.25
    DARK = 0.6
    BLACK = 1.0


@dataclass(frozen=True, slots=True)
class Style:
    """How words are set: face and size [pt]."""

    face: Face
    size_pt: float

    def width(self, text: str) -> float:
        """Length of ``text`` on paper [mm]."""
        return width_mm(text, self.face, self.size_pt)


TITLE = Style(Face.WORDS_BOLD, 22.0)
SECTION = Style(Face.WORDS_BOLD, 13.0)
TEXT = Style(Face.WORDS, 10.5)
TEXT_BOLD = Style(Face.WORDS_BOLD, 10.5)
SMALL = Style(Face.WORDS, 9.0)
SMALL_BOLD = Style(Face.WORDS_BOLD, 9.0)
CUT_NUMBER = Style(Face.FIGURES_BOLD, 16.0)
FIGURE = Style(Face.FIGURES, 10.5)
FIGURE_BOLD = Style(Face.FIGURES_BOLD, 10.5)
SMALL_FIGURE = Style(Face.FIGURES, 9.0)
SMALL_FIGURE_BOLD = Style(Face.FIGURES_BOLD, 9.0)


@dataclass(frozen=True, slots=True)
class Stroke:
    """A run of straight lines; ``kind`` None leaves only the fill."""

    points: tuple[Point, ...]
    kind: LineKind | None = LineKind.OUTLINE
    closed: bool = False
    fill: Fill = Fill.NONE


@dataclass(frozen=True, slots=True)
class Circle:
    """A full circle."""

    centre: Point
    radius: float
    kind: LineKind | None = LineKind.OUTLINE
    fill: Fill = Fill.NONE


@dataclass(frozen=True, slots=True)
class Words:
    """One line of words on its base line. ``align`` is ``left``, ``centre`` or ``right`` of ``at``; ``turn_deg`` turns
    it counter-clockwise about ``at``; ``patch`` lays a white ground under it."""

    at: Point
    text: str
    style: Style = TEXT
    align: str = "left"
    turn_deg: float = 0.0
    white: bool = False
    patch: bool = False

    def corners(self, grow_mm: float = 0.0) -> tuple[Point, Point, Point, Point]:
        """Corners of the box round the letters, from descender to capital height, grown all round by ``grow_mm``."""
        size = self.style.size_pt * MM_PER_PT
        w = self.style.width(self.text)
        left = {"left": 0.0, "centre": -w / 2.0, "right": -w}[self.align]
        a, b = left - grow_mm, left + w + grow_mm
        low, high = -0.22 * size - grow_mm, 0.72 * size + grow_mm
        c, s = math.cos(math.radians(self.turn_deg)), math.sin(math.radians(self.turn_deg))
        x, y = self.at
        p, q, r, t = ((x + c * u - s * v, y + s * u + c * v) for u, v in ((a, low), (b, low), (b, high), (a, high)))
        return p, q, r, t

    def box(self, grow_mm: float = 0.0) -> Frame:
        """Upright box round the words."""
        return bounds_of(self.corners(grow_mm))


Mark = Stroke | Circle | Words


@dataclass(slots=True)
class Leaf:
    """One side of paper, ``width`` by ``height`` [mm], and what is drawn on it in order."""

    width: float
    height: float
    marks: list[Mark] = field(default_factory=list)

    def add(self, *marks: Mark) -> None:
        """Draw over what is there already."""
        self.marks.extend(marks)

    def extend(self, marks: Iterable[Mark]) -> None:
        """Draw many."""
        self.marks.extend(marks)


def line(a: Point, b: Point, kind: LineKind = LineKind.THIN) -> Stroke:
    """A straight line from ``a`` to ``b``."""
    return Stroke((a, b), kind)


def rectangle(left: float, bottom: float, right: float, top: float, kind: LineKind | None = LineKind.THIN,
              fill: Fill = Fill.NONE) -> Stroke:
    """An upright rectangle."""
    return Stroke(((left, bottom), (right, bottom), (right, top), (left, top)), kind, True, fill)


def arrowhead(tip: Point, along: Point, length: float = 3.0, half_width: float = 0.55) -> Stroke:
    """Filled arrowhead with its point at ``tip``, pointing along ``along`` (ISO 129-1: narrow, closed)."""
    size = math.hypot(*along)
    ux, uy = along[0] / size, along[1] / size
    bx, by = tip[0] - ux * length, tip[1] - uy * length
    return Stroke((tip, (bx - uy * half_width, by + ux * half_width), (bx + uy * half_width, by - ux * half_width)),
                  None, True, Fill.BLACK)


def hatch(polygon: Sequence[Point], step_mm: float = 1.6, angle_deg: float = 45.0) -> list[Stroke]:
    """Thin parallel lines inside ``polygon`` (any simple outline), ``step_mm`` apart."""
    c, s = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    turned = [(x * c + y * s, -x * s + y * c) for x, y in polygon]
    low, high = min(v for _, v in turned), max(v for _, v in turned)
    strokes: list[Stroke] = []
    level = math.floor(low / step_mm) * step_mm + step_mm / 2.0
    while level < high:
        hits = []
        for (u0, v0), (u1, v1) in zip(turned, turned[1:] + turned[:1], strict=True):
            if (v0 <= level) != (v1 <= level):
                hits.append(u0 + (level - v0) * (u1 - u0) / (v1 - v0))
        hits.sort()
        for u0, u1 in zip(hits[::2], hits[1::2], strict=False):
            strokes.append(line((u0 * c - level * s, u0 * s + level * c), (u1 * c - level * s, u1 * s + level * c)))
        level += step_mm
    return strokes


def bounds_of(points: Iterable[Point]) -> Frame:
    """Smallest upright box round ``points``."""
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def bounds(marks: Iterable[Mark]) -> Frame:
    """Smallest upright box round everything drawn, line widths left out."""
    corners: list[Point] = []
    for mark in marks:
        if isinstance(mark, Stroke):
            corners.extend(mark.points)
        elif isinstance(mark, Circle):
            (x, y), r = mark.centre, mark.radius
            corners.extend(((x - r, y - r), (x + r, y + r)))
        else:
            corners.extend(mark.corners())
    return bounds_of(corners)


def shifted(mark: Mark, dx: float, dy: float) -> Mark:
    """The same mark, moved [mm]."""
    if isinstance(mark, Stroke):
        return replace(mark, points=tuple((x + dx, y + dy) for x, y in mark.points))
    if isinstance(mark, Circle):
        return replace(mark, centre=(mark.centre[0] + dx, mark.centre[1] + dy))
    return replace(mark, at=(mark.at[0] + dx, mark.at[1] + dy))


def overlap(a: Frame, b: Frame) -> float:
    """Area that two upright boxes share [mm2].

    >>> overlap((0, 0, 10, 10), (5, 5, 20, 20))
    25.0
    """
    w = min(a[2], b[2]) - max(a[0], b[0])
    h = min(a[3], b[3]) - max(a[1], b[1])
    return float(w * h) if w > 0.0 and h > 0.0 else 0.0


SCALES = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200)
"""Reductions that a drawing may take, 1 : n (ISO 5455 has 1, 2, 5, 10, 20, 50; the rest fill the paper better)."""


def scale_for(width: float, height: float, room_wide: float, room_high: float) -> int:
    """The largest drawing that fits: n of 1 : n for a thing ``width`` by ``height`` [mm] in the room given [mm].

    Raises ValueError when even 1 : 200 is too large.
    """
    for n in SCALES:
        if width <= room_wide * n + 1e-9 and height <= room_high * n + 1e-9:
            return n
    raise ValueError(f"a thing of {width:.0f} x {height:.0f} mm does not go on paper at 1 : {SCALES[-1]}")
