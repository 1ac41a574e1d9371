"""The vehicle in two views, with what moves drawn again at its stops and the smallest gaps with their figures.

Third angle: above, the side seen from the car's left, nose to the left; under it, the same vehicle seen from below,
nose to the left, the car's right side at the bottom, as it is for somebody who lies under it.

In: flat outlines that the caller has made, in vehicle coordinates [mm] (x rearward, y right, z up). Nothing here knows
how they came about. Out: one leaf, which ``pdf`` and ``svg`` draw.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from trialfit.findings import Verdict
from trialfit.sheets.drawing import (
    SMALL,
    SMALL_BOLD,
    SMALL_FIGURE,
    SMALL_FIGURE_BOLD,
    TITLE,
    Circle,
    Fill,
    Frame,
    Leaf,
    LineKind,
    Mark,
    Point,
    Stroke,
    Words,
    bounds_of,
    line,
    rectangle,
    scale_for,
)
from trialfit.sheets.labels import Label, place, points_along
from trialfit.sheets.marks import WORD
from trialfit.sheets.paper import fitted

Floats = NDArray[np.float64]


class At(StrEnum):
    """Where the axle is when an outline is drawn."""

    RIDE = "ride height"
    BUMP = "bump stop"
    DROOP = "droop stop"


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed outline, (u, v) points [mm]: u is x; v is z in the side view, y in plan."""

    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Disc:
    """A circle, centre (u, v) and radius [mm]."""

    centre: Point
    radius: float


@dataclass(frozen=True, slots=True)
class Band:
    """Something round that follows a centre line, (u, v) points [mm], ``width`` [mm] across."""

    points: tuple[Point, ...]
    width: float


@dataclass(frozen=True, slots=True)
class Path:
    """An open line, (u, v) points [mm]."""

    points: tuple[Point, ...]


ALTERNATIVE = "alternative"
"""The body of a route that was found but not taken: drawn as a dashed line over everything."""

Flat = Polygon | Disc | Band | Path


@dataclass(frozen=True, slots=True)
class Outline:
    """One named thing in both views. ``body`` is the word ``vehicle`` has for it (frame, engine, axle, shaft,
    wheel-left, wheel-right) or ``exhaust``; ``kind`` what it is to its neighbours (floor, fuel, tyre ...). ``at`` other
    than ride height is drawn as a ghost. ``named`` writes its name beside it."""

    name: str
    body: str
    side: tuple[Flat, ...]
    plan: tuple[Flat, ...]
    kind: str = ""
    at: At = At.RIDE
    named: bool = False


@dataclass(frozen=True, slots=True)
class GapMark:
    """A smallest gap: between ``first`` and ``second`` [mm, xyz at the pose where it is smallest], with ``words`` for
    its figure (``31 ± 6 mm, wanted 25``), ``inch_words`` for the same in inches, and ``between`` for the two things."""

    between: str
    words: str
    verdict: Verdict
    first_mm: tuple[float, float, float]
    second_mm: tuple[float, float, float]
    inch_words: str = ""


@dataclass(frozen=True, slots=True)
class Picture:
    """All of it; ``gaps`` worst first."""

    name: str
    outlines: tuple[Outline, ...]
    gaps: tuple[GapMark, ...] = ()
    note: str = ""


# -- making outlines --------------------------------------------------------------------------------------------


def hull(points: Iterable[Point]) -> tuple[Point, ...]:
    """Convex outline round points, counter-clockwise (monotone chain).

    >>> hull([(0, 0), (2, 0), (1, 1), (2, 2), (0, 2)])
    ((0, 0), (2, 0), (2, 2), (0, 2))
    """
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return tuple(ordered)

    def half(along: Sequence[Point]) -> list[Point]:
        kept: list[Point] = []
        for p in along:
            while len(kept) > 1 and ((kept[-1][0] - kept[-2][0]) * (p[1] - kept[-2][1])
                                     - (kept[-1][1] - kept[-2][1]) * (p[0] - kept[-2][0])) <= 0.0:
                kept.pop()
            kept.append(p)
        return kept

    lower, upper = half(ordered), half(ordered[::-1])
    return tuple(lower[:-1] + upper[:-1])


def _flat(points: Floats, v: int) -> tuple[Point, ...]:
    return tuple((float(p[0]), float(p[v])) for p in points)


def outline_of_points(name: str, body: str, points: Floats, kind: str = "", at: At = At.RIDE,
                      named: bool = False) -> Outline:
    """Outline of the convex thing round ``points``, shape (n, 3) [mm]."""
    return Outline(name, body, (Polygon(hull(_flat(points, 2))),), (Polygon(hull(_flat(points, 1))),), kind, at, named)


def outline_of_pipe(name: str, body: str, centre_line: Floats, diameter_mm: float, kind: str = "", at: At = At.RIDE,
                    named: bool = False) -> Outline:
    """Outline of something round along ``centre_line``, shape (n, 3) [mm]; ``diameter_mm`` [mm]."""
    return Outline(name, body, (Band(_flat(centre_line, 2), diameter_mm),), (Band(_flat(centre_line, 1), diameter_mm),),
                   kind, at, named)


def outline_of_drum(name: str, body: str, centre: Floats, axis: Floats, diameter_mm: float, width_mm: float,
                    kind: str = "", at: At = At.RIDE, named: bool = False) -> Outline:
    """Outline of a short cylinder, ``diameter_mm`` [mm] by ``width_mm`` [mm], about ``centre``, shape (3,) [mm], its
    axle along ``axis``, shape (3,) [-]."""
    along = axis / np.linalg.norm(axis)
    other = np.array([1.0, 0.0, 0.0]) if abs(along[0]) < 0.9 else np.array([0.0, 0.0, 1.0])
    u = np.cross(along, other)
    u /= np.linalg.norm(u)
    w = np.cross(along, u)
    turn = np.linspace(0.0, 2.0 * np.pi, 72, endpoint=False)[:, None]
    ring = centre + diameter_mm / 2.0 * (np.cos(turn) * u + np.sin(turn) * w)
    return outline_of_points(name, body, np.vstack([ring - along * width_mm / 2.0, ring + along * width_mm / 2.0]),
                             kind, at, named)


def joined(outlines: Sequence[Outline]) -> Outline:
    """Outlines of one thing as one; name, body and the rest are the first's."""
    first = outlines[0]
    side = tuple(flat for o in outlines for flat in o.side)
    plan = tuple(flat for o in outlines for flat in o.plan)
    return Outline(first.name, first.body, side, plan, first.kind, first.at, first.named)


# -- drawing ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class View:
    """Vehicle to paper: u to the right, v up (``v_up`` 1) or down (-1), one mm of paper for ``scale`` mm."""

    scale: int
    u0: float
    v0: float
    at: Point
    v_up: int

    def place(self, u: float, v: float) -> Point:
        """A point of the vehicle on paper."""
        return self.at[0] + (u - self.u0) / self.scale, self.at[1] + self.v_up * (v - self.v0) / self.scale


_FILLS = {"exhaust": Fill.DARK, "axle": Fill.TINT, "shaft": Fill.WHITE, "engine": Fill.WHITE}
_ORDER = {"frame": 0, "engine": 2, "shaft": 3, "axle": 4, "exhaust": 5, ALTERNATIVE: 6}


def _marks(flat: Flat, view: View, kind: LineKind | None, fill: Fill) -> list[Mark]:
    if isinstance(flat, Polygon):
        return [Stroke(tuple(view.place(*p) for p in flat.points), kind, True, fill)]
    if isinstance(flat, Disc):
        return [Circle(view.place(*flat.centre), flat.radius / view.scale, kind, fill)]
    if isinstance(flat, Path):
        return [Stroke(tuple(view.place(*p) for p in flat.points), kind)]
    return band([view.place(*p) for p in flat.points], flat.width / view.scale, kind, fill)


def band(points: Sequence[Point], wide: float, kind: LineKind | None = LineKind.OUTLINE,
         fill: Fill = Fill.WHITE) -> list[Mark]:
    """A pipe seen from the side: a black shape with a lighter one inside it, so that it needs no outline of its own
    where the view looks along it. Works for any bend, however tight. A ghost is drawn as straight from end to end."""
    edge = (kind or LineKind.THIN).width_mm / 2.0
    if kind is LineKind.GHOST:
        return [Stroke(_round_ended(points[0], points[-1], wide / 2.0), kind, True)]
    marks: list[Mark] = []
    inside = Fill.WHITE if fill is Fill.NONE else fill
    for radius, ink in ((wide / 2.0 + edge, Fill.BLACK), (max(wide / 2.0 - edge, 0.05), inside)):
        for a, b in pairwise(points):
            marks += _capsule(a, b, radius, ink)
    return marks


def _round_ended(a: Point, b: Point, radius: float) -> tuple[Point, ...]:
    turn = np.linspace(0.0, 2.0 * np.pi, 48, endpoint=False)
    ring = radius * np.column_stack([np.cos(turn), np.sin(turn)])
    return hull((float(c[0] + x), float(c[1] + y)) for c in (a, b) for x, y in ring)


def _capsule(a: Point, b: Point, radius: float, ink: Fill) -> list[Mark]:
    dx, dy = b[0] - a[0], b[1] - a[1]
    long = float(np.hypot(dx, dy))
    marks: list[Mark] = [Circle(a, radius, None, ink), Circle(b, radius, None, ink)]
    if long > 1e-6:
        nx, ny = -dy / long * radius, dx / long * radius
        marks.append(Stroke(((a[0] + nx, a[1] + ny), (b[0] + nx, b[1] + ny), (b[0] - nx, b[1] - ny),
                             (a[0] - nx, a[1] - ny)), None, True, ink))
    return marks


def _extent(outlines: Sequence[Outline], gaps: Sequence[GapMark], plan: bool) -> Frame:
    corners: list[Point] = []
    for outline in outlines:
        for flat in outline.plan if plan else outline.side:
            if isinstance(flat, Disc):
                (u, v), r = flat.centre, flat.radius
                corners += [(u - r, v - r), (u + r, v + r)]
            elif isinstance(flat, Band):
                r = flat.width / 2.0
                corners += [(u + s * r, v + s * r) for u, v in flat.points for s in (-1.0, 1.0)]
            else:
                corners += flat.points
    for gap in gaps:
        corners += [(p[0], p[1] if plan else p[2]) for p in (gap.first_mm, gap.second_mm)]
    return bounds_of(corners)


def _view_marks(picture: Picture, view: View, plan: bool) -> list[Mark]:
    marks: list[Mark] = []
    still = sorted((o for o in picture.outlines if o.at is At.RIDE), key=lambda o: _ORDER.get(o.body, 1))
    for outline in still:
        for flat in outline.plan if plan else outline.side:
            kind = LineKind.OUTLINE if outline.body in ("exhaust", "axle") else LineKind.THIN
            if outline.body == ALTERNATIVE:
                kind = LineKind.HIDDEN
            fill = _FILLS.get(outline.body, Fill.NONE)
            marks += _marks(flat, view, kind, fill)
    for outline in picture.outlines:
        if outline.at is not At.RIDE:
            for flat in outline.plan if plan else outline.side:
                marks += _marks(flat, view, LineKind.GHOST, Fill.NONE)
    return marks


def _gap_anchor(gap: GapMark, view: View, plan: bool) -> tuple[Point, Point, Point]:
    v = 1 if plan else 2
    a, b = (view.place(p[0], p[v]) for p in (gap.first_mm, gap.second_mm))
    return a, b, ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)


def _longer_in_plan(gap: GapMark) -> bool:
    d = np.abs(np.array(gap.second_mm) - np.array(gap.first_mm))
    return bool(d[1] > d[2])


def _annotations(picture: Picture, view: View, plan: bool, frame: Frame, drawn: Sequence[Mark],
                 taken: Sequence[Frame]) -> list[Mark]:
    marks: list[Mark] = []
    full: list[Label] = []
    short: list[Label] = []
    for number, gap in enumerate(picture.gaps, 1):
        a, b, middle = _gap_anchor(gap, view, plan)
        marks.append(line(a, b, LineKind.HEAVY))
        marks += [Circle(p, 0.6, LineKind.THIN, Fill.WHITE) for p in (a, b)]
        if _longer_in_plan(gap) is plan:
            lines = ((WORD[gap.verdict], SMALL_BOLD), (f"{number}  {gap.words}", SMALL_FIGURE_BOLD),
                     (gap.between, SMALL))
            full.append(Label(middle, lines, True, False, None, gap.verdict))
        else:
            short.append(Label(middle, ((str(number), SMALL_FIGURE_BOLD),), True, False))
    labels = [*full, *short, *_names(picture, view, plan)]
    placed = place(labels, frame, points_along([*drawn, *marks]), taken)
    return [*marks, *placed.marks]


def _names(picture: Picture, view: View, plan: bool) -> list[Label]:
    """Names beside their things; two things that hide each other in this view share one label."""
    there: dict[tuple[int, ...], tuple[list[str], Frame, Outline]] = {}
    for outline in picture.outlines:
        if not outline.named or not (outline.plan if plan else outline.side):
            continue
        if outline.at is not At.RIDE and plan:
            continue
        extent = _extent([outline], (), plan)
        words = outline.name if outline.at is At.RIDE else f"{outline.name}, {outline.at}"
        there.setdefault(tuple(round(e / 5.0) for e in extent), ([], extent, outline))[0].append(words)
    labels = []
    for names, (left, low, right, high), outline in there.values():
        a, b = view.place(left, low), view.place(right, high)
        inside = (min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))
        others = tuple(view.place(*p) for flat in (outline.plan if plan else outline.side) for p in _handles(flat))
        middle = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
        if isinstance((outline.plan if plan else outline.side)[0], Band | Path) and others:
            middle = others[len(others) // 2]
        labels.append(Label(middle, ((", ".join(names), SMALL),), inside=inside, others=others))
    return labels


def _handles(flat: Flat) -> list[Point]:
    """Points of an outline that a leader may go to."""
    if isinstance(flat, Disc):
        (u, v), r = flat.centre, flat.radius
        return [(u + r * float(np.cos(a)), v + r * float(np.sin(a))) for a in np.arange(8) * np.pi / 4.0]
    ends = flat.points[1:] + (flat.points[:1] if isinstance(flat, Polygon) else ())
    parts = (0.5,) if len(flat.points) > 12 else (0.25, 0.5, 0.75)
    return [(p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t)
            for p, q in zip(flat.points, ends, strict=False) for t in parts][:: max(1, len(flat.points) // 12)]


def _scale_bar(at: Point, scale: int) -> list[Mark]:
    long = next(n for n in (50, 100, 200, 500, 1000, 2000, 5000) if n / scale >= 18.0 or n == 5000)
    x, y = at
    wide = long / scale
    return [
        rectangle(x, y, x + wide / 2.0, y + 1.6, LineKind.THIN, Fill.BLACK),
        rectangle(x + wide / 2.0, y, x + wide, y + 1.6, LineKind.THIN, Fill.WHITE),
        Words((x + wide + 1.5, y - 0.3), f"{long} mm", SMALL_FIGURE),
    ]


def ghost_words(picture: Picture) -> str:
    """What the ghosts stand for, as a sentence; empty without ghosts."""
    there = {o.at for o in picture.outlines}
    stops = [a.value for a in (At.BUMP, At.DROOP) if a in there]
    return f"Chain lines with two dots: the axle at {' and '.join(stops)}. " if stops else ""


def views(picture: Picture, frame: Frame) -> list[Mark]:
    """Both views within ``frame`` [mm], at one scale that is written beside them.

    Raises ValueError when the picture holds no outline.
    """
    if not picture.outlines:
        raise ValueError("a picture needs at least one outline")
    side, plan = (_extent(picture.outlines, picture.gaps, p) for p in (False, True))
    side = (side[0], min(side[1], 0.0), side[2], side[3])
    u0, u1 = min(side[0], plan[0]), max(side[2], plan[2])
    heads, gap = 6.0, 4.0
    wide, high = frame[2] - frame[0], frame[3] - frame[1]
    label_room = 8.0
    deep = (side[3] - side[1]) + (plan[3] - plan[1])
    scale = scale_for(u1 - u0, deep, wide - 6.0, high - 2 * heads - gap - 2 * label_room - 8.0)
    drawn_wide = (u1 - u0) / scale
    x = frame[0] + (wide - drawn_wide) / 2.0
    spare = (high - deep / scale - 2 * heads - 8.0) / 4.0
    top_side = frame[3] - heads
    side_base = top_side - spare - (side[3] - side[1]) / scale
    middle = side_base - spare
    plan_top = middle - heads - spare
    plan_bottom = plan_top - (plan[3] - plan[1]) / scale
    side_view = View(scale, u0, side[1], (x, side_base), 1)
    plan_view = View(scale, u0, plan[1], (x, plan_top), -1)
    marks: list[Mark] = []
    for view, is_plan, low, up, head in (
        (side_view, False, middle, frame[3], f"From the car's left, 1 : {scale}"),
        (plan_view, True, plan_bottom - spare, middle, f"From below, 1 : {scale}"),
    ):
        words = Words((frame[0], up - 4.6), head, SMALL_BOLD)
        drawn = _view_marks(picture, view, is_plan)
        notes = [words]
        if not is_plan:
            ground = view.place(u0, 0.0)
            marks.append(line((ground[0] - 4.0, ground[1]), (ground[0] + drawn_wide + 4.0, ground[1])))
        if is_plan:
            notes.append(Words((frame[0], low + 1.0), "car's right side", SMALL))
            notes.append(Words((frame[2], up - 4.6), "car's left side", SMALL, "right"))
        else:
            notes.append(Words((frame[2], up - 4.6), "nose to the left", SMALL, "right"))
        marks += [*drawn, *notes]
        marks += _annotations(picture, view, is_plan, (frame[0], low, frame[2], up), drawn, [n.box(0.5) for n in notes])
    marks += _scale_bar((frame[0], frame[1]), scale)
    return marks


def summary_leaf(picture: Picture, width_mm: float = 280.0, height_mm: float = 200.0) -> Leaf:
    """The picture alone on a leaf, for a page of words: title, both views, a line on how to read it."""
    leaf = Leaf(width_mm, height_mm)
    edge = 8.0
    leaf.add(Words((edge, height_mm - edge - 6.0), fitted(picture.name, TITLE, width_mm - 2 * edge), TITLE))
    note = f"{ghost_words(picture)}{picture.note}".strip()
    leaf.add(Words((edge, height_mm - edge - 12.0), fitted(note, SMALL, width_mm - 2 * edge), SMALL))
    leaf.extend(views(picture, (edge, edge, width_mm - edge, height_mm - edge - 15.0)))
    return leaf
