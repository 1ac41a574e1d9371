"""A flat part on paper: its face as it is worked, its edge beside it in third angle, and a table of its holes.

Drawn from the numbers of the table beside it. Left out: chamfers and countersinks of holes, and the back of the part.
"""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass

from trialfit.mates import Hole, Plate
from trialfit.mates.holes import Face, Webs, webs
from trialfit.sheets.dimensions import aligned, arc
from trialfit.sheets.drawing import (
    FIGURE,
    FIGURE_BOLD,
    SCALES,
    SMALL,
    SMALL_BOLD,
    SMALL_FIGURE,
    SMALL_FIGURE_BOLD,
    Circle,
    Frame,
    LineKind,
    Mark,
    Point,
    Stroke,
    Words,
    arrowhead,
    bounds_of,
    line,
    rectangle,
)
from trialfit.sheets.labels import Label, place, points_along
from trialfit.sheets.lengths import minus
from trialfit.sheets.paper import Cell, Column, Run

Put = Callable[[Point], Point]
"""From the part's own coordinates to paper."""
_LARGER = (5.0, 2.0)
_AROUND_MM = 26.0
_BELOW_MM = 13.0
_LEFT_MM = 15.0
_EDGE_ON_MM = 31.0
"""Paper for the edge view beside the face, beyond the thickness itself."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawing with its origin at its lower left corner: its marks, its height on paper [mm], millimetres of paper for
    each millimetre of the part, and that scale in words (``1 : 2``)."""

    marks: tuple[Mark, ...]
    height_mm: float
    paper_per_mm: float
    scale: str


# -- numbers ----------------------------------------------------------------------------------------------------


def limits_words(low_mm: float, high_mm: float) -> tuple[str, str]:
    """Limits of a size in millimetres, and in inches rounded inwards, so that nothing allowed there is refused here.

    >>> limits_words(67.1, 67.13)
    ('67.100 to 67.130 mm', '2.6418 to 2.6429 in')
    """
    for digits in (4, 5, 6):
        step = 10.0**digits
        low, high = math.ceil(low_mm / 25.4 * step - 1e-6) / step, math.floor(high_mm / 25.4 * step + 1e-6) / step
        if low <= high:
            break
    return f"{low_mm:.3f} to {high_mm:.3f} mm", f"{low:.{digits}f} to {high:.{digits}f} in"


_SAME_MM, _SAME_RAD = 0.01, 1e-4
_AMOUNT = r"\d+(?:\.\d+)?"
_LENGTHS = re.compile(rf"(?<![\w.,/])({_AMOUNT})(?:( to | \u00b1 )({_AMOUNT}))? mm(?![\w/\u00b2])")


def both(text: str) -> str:
    """A sentence of the program's own with decimal inches in brackets behind every length and range in millimetres, as
    a machine shop reads them.

    >>> both("67.071 to 67.090 mm, 9 mm high, 60.10 \u00b1 0.02 mm")
    '67.071 to 67.090 mm (2.6406 to 2.6413 in), 9 mm (0.354 in) high, 60.10 \u00b1 0.02 mm (2.366 \u00b1 0.001 in)'
    """

    def put(found: re.Match[str]) -> str:
        first, between, second = found.groups()
        if between == " to " and len(second.partition(".")[2]) > 2:
            return f"{found[0]} ({limits_words(float(first), float(second))[1]})"
        ends = [f"{float(v) / 25.4:.3f}" for v in (first, second) if v is not None]
        return f"{found[0]} ({(between or '').join(ends)} in)"

    return _LENGTHS.sub(put, text)


def size_words(mm: float) -> tuple[str, str]:
    """A size as drawn, to a hundredth of a millimetre, and to a thousandth of an inch.

    >>> size_words(-57.15)
    ('\u221257.15', '\u22122.250')
    """
    return minus(mm, 2), minus(mm / 25.4, 3)


def short_size(mm: float) -> str:
    """A size without noughts at its end.

    >>> short_size(67.10), short_size(12.0), short_size(5.25)
    ('67.1', '12', '5.25')
    """
    text = f"{mm:.3f}".rstrip("0").rstrip(".")
    return text or "0"


def scale_that_fits(wide: float, high: float, room_wide: float, room_high: float) -> tuple[float, str]:
    """The largest usual scale at which a thing goes into the room given [mm]: millimetres of paper for each millimetre,
    and the scale in words. Not above 5 : 1.

    Raises ValueError when even 1 : 200 is too large.

    >>> scale_that_fits(190.0, 190.0, 120.0, 120.0)
    (0.5, '1 : 2')
    """
    for larger in _LARGER:
        if wide * larger <= room_wide and high * larger <= room_high:
            return larger, f"{larger:.0f} : 1"
    for n in SCALES:
        if wide <= room_wide * n + 1e-9 and high <= room_high * n + 1e-9:
            return 1.0 / n, f"1 : {n}"
    raise ValueError(f"a part of {wide:.0f} x {high:.0f} mm does not go on paper at 1 : {SCALES[-1]}")


# -- which hole is which ----------------------------------------------------------------------------------------


def numbered(plate: Plate) -> list[tuple[str, Hole]]:
    """Every hole with the name it has on drawing, table and template: new ones 1, 2, ..., old ones old 1, old 2, ..."""
    new = [h for h in plate.holes if not h.old]
    old = [h for h in plate.holes if h.old]
    return [*((str(k), h) for k, h in enumerate(new, 1)), *((f"old {k}", h) for k, h in enumerate(old, 1))]


def hole_outline(hole: Hole, step_mm: float = 0.5) -> tuple[Point, ...]:
    """Closed outline of a hole or slot in the plate's own coordinates [mm], the last point not repeated."""
    r = hole.diameter_mm / 2.0
    if hole.slot_mm <= 0.0:
        return arc((hole.x_mm, hole.y_mm), r, 0.0, 2.0 * math.pi, step_mm)[:-1]
    a = hole.slot_rad
    dx, dy = math.cos(a) * hole.slot_mm / 2.0, math.sin(a) * hole.slot_mm / 2.0
    far = arc((hole.x_mm + dx, hole.y_mm + dy), r, a - math.pi / 2.0, a + math.pi / 2.0, step_mm)
    near = arc((hole.x_mm - dx, hole.y_mm - dy), r, a + math.pi / 2.0, a + 1.5 * math.pi, step_mm)
    return (*far, *near)


def plate_bounds(plate: Plate) -> Frame:
    """Smallest upright box round the part; round its holes and circles where its edge is not known [mm].

    Raises
    ------
    ValueError
        for a plate with no edge, hole, bore or circle
    """
    if plate.outline:
        return bounds_of(plate.outline)
    radius = max((plate.round_mm, plate.bore_mm, *(d for d, _ in plate.circles))) / 2.0
    if plate.round_mm > 0.0:
        return (-radius, -radius, radius, radius)
    points = [p for h in plate.holes for p in hole_outline(h, 2.0)]
    if radius > 0.0:
        points += [(-radius, -radius), (radius, radius)]
    if not points:
        raise ValueError(f"'{plate.title}' has no edge, no hole and no bore: there is nothing to draw")
    return bounds_of(points)


# -- the drawing ------------------------------------------------------------------------------------------------


def plate_drawing(plate: Plate, wide: float, high: float = 150.0) -> Drawn:
    """The face of a flat part with its edge view to the right of it (third angle), in a room of paper.

    New holes are drawn heavy, old ones dashed. Every number on it is one of ``plate``.

    Parameters
    ----------
    plate : Plate
        what is drawn
    wide, high : float
        room on paper [mm]

    Raises
    ------
    ValueError
        for a plate with nothing to draw
    """
    left, low, right, top = plate_bounds(plate)
    thick = plate.thickness_mm or 0.0
    room_wide = wide - _LEFT_MM - 2.0 * _AROUND_MM - (_EDGE_ON_MM if thick else 0.0)
    factor, scale = scale_that_fits(right - left + thick, top - low, room_wide, high - _BELOW_MM - 26.0)
    block = _LEFT_MM + 2.0 * _AROUND_MM + (right - left + thick) * factor + (_EDGE_ON_MM if thick else 0.0)
    origin = ((wide - block) / 2.0 + _LEFT_MM + _AROUND_MM - left * factor, _BELOW_MM + 8.0 - low * factor)
    height = origin[1] + top * factor + 16.0

    def put(p: Point) -> Point:
        return origin[0] + p[0] * factor, origin[1] + p[1] * factor

    marks = _face(plate, put, factor)
    axes = _axes(put, (left, low, right, top))
    sizes = _overall(plate, put, (left, low, right, top), origin, factor)
    side = _edge_on(plate, put, (left, low, right, top), factor)
    frame = (0.0, 0.0, wide - ((_EDGE_ON_MM + thick * factor) if thick else 0.0), height)
    solid = points_along([m for m in (*marks, *axes, *sizes) if not isinstance(m, Words)], 0.3)
    taken = [m.box(0.6) for m in (*axes, *sizes) if isinstance(m, Words)]
    taken += [_grown(bounds_of(m.points), 0.6) for m in sizes if isinstance(m, Stroke)]
    placed = place(_labels(plate, put, factor), frame, solid, taken)
    if placed.left_over:
        raise ValueError(f"'{plate.title}' has too many holes to be told apart on one drawing: {len(plate.holes)}")
    return Drawn((*axes, *marks, *sizes, *side, *placed.marks), height, factor, scale)


def _grown(box: Frame, by: float) -> Frame:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def _face(plate: Plate, put: Put, factor: float) -> list[Mark]:
    marks: list[Mark] = []
    if plate.outline:
        marks.append(Stroke(tuple(put(p) for p in plate.outline), LineKind.OUTLINE, True))
    elif plate.round_mm > 0.0:
        marks.append(Circle(put((0.0, 0.0)), plate.round_mm * factor / 2.0))
    if plate.bore_mm > 0.0:
        new = plate.bore_low_mm is not None
        marks.append(Circle(put((0.0, 0.0)), plate.bore_mm * factor / 2.0, LineKind.HEAVY if new else LineKind.OUTLINE))
    for diameter, _ in plate.circles:
        marks.append(Circle(put((0.0, 0.0)), diameter * factor / 2.0, LineKind.CENTRE))
    for _, hole in numbered(plate):
        kind = LineKind.HIDDEN if hole.old else LineKind.HEAVY
        centre, r = put((hole.x_mm, hole.y_mm)), hole.diameter_mm * factor / 2.0
        if hole.slot_mm > 0.0:
            marks.append(Stroke(tuple(put(p) for p in hole_outline(hole, 0.5 / factor)), kind, True))
        else:
            marks.append(Circle(centre, r, kind))
        marks += _cross(hole, centre, r, factor)
    return marks


def _cross(hole: Hole, centre: Point, r: float, factor: float) -> list[Mark]:
    """Centre lines of a hole, along the slot and across it."""
    turn = hole.slot_rad if hole.slot_mm > 0.0 else math.atan2(hole.y_mm, hole.x_mm)
    long, short = r + hole.slot_mm * factor / 2.0 + 1.6, r + 1.6
    marks: list[Mark] = []
    for reach, angle in ((long, turn), (short, turn + math.pi / 2.0)):
        dx, dy = math.cos(angle) * reach, math.sin(angle) * reach
        marks.append(line((centre[0] - dx, centre[1] - dy), (centre[0] + dx, centre[1] + dy)))
    return marks


def _axes(put: Put, box: Frame) -> list[Mark]:
    """x and y through the datum, beyond the part, with their names."""
    low, high = put((min(box[0], 0.0), min(box[1], 0.0))), put((max(box[2], 0.0), max(box[3], 0.0)))
    zero = put((0.0, 0.0))
    x_end, y_end = (high[0] + 9.0, zero[1]), (zero[0], high[1] + 9.0)
    return [
        line((low[0] - 5.0, zero[1]), x_end, LineKind.CENTRE),
        line((zero[0], low[1] - 5.0), y_end, LineKind.CENTRE),
        arrowhead(x_end, (1.0, 0.0)),
        arrowhead(y_end, (0.0, 1.0)),
        Words((x_end[0] + 1.2, x_end[1] - 1.1), "x", SMALL_BOLD),
        Words((y_end[0] + 1.6, y_end[1] - 1.6), "y", SMALL_BOLD),
    ]


def _overall(plate: Plate, put: Put, box: Frame, origin: Point, factor: float) -> list[Mark]:
    """Outer size under the part, and its height on the left where it is not round."""
    left, low, right, top = box
    if plate.round_mm > 0.0 and not plate.outline:
        a, b = put((left, 0.0)), put((right, 0.0))
        return aligned(a, b, -(plate.round_mm * factor / 2.0 + _BELOW_MM), f"\u00d8 {short_size(plate.round_mm)}")
    if not plate.outline:
        return []
    lowest = min(p[1] for p in plate.outline)
    a, b = put((left, lowest)), put((right, lowest))
    marks = aligned(a, b, -_BELOW_MM, short_size(right - left))
    a, b = put((left, low)), put((left, top))
    return marks + aligned(a, b, _LEFT_MM - 3.0, short_size(top - low))


def _edge_on(plate: Plate, put: Put, box: Frame, factor: float) -> list[Mark]:
    """The part from its right side, to the right of its face; the bore as hidden edges."""
    if not plate.thickness_mm:
        return []
    _, low, right, top = box
    x0 = put((right, 0.0))[0] + 2.0 * _AROUND_MM - 4.0
    x1 = x0 + plate.thickness_mm * factor
    y0, y1 = put((0.0, low))[1], put((0.0, top))[1]
    marks: list[Mark] = [rectangle(x0, y0, x1, y1, LineKind.OUTLINE)]
    zero = put((0.0, 0.0))[1]
    if plate.bore_mm > 0.0:
        half = plate.bore_mm * factor / 2.0
        marks += [line((x0, zero + side * half), (x1, zero + side * half), LineKind.HIDDEN) for side in (1.0, -1.0)]
    marks.append(line((x0 - 4.0, zero), (x1 + 4.0, zero), LineKind.CENTRE))
    return marks + aligned((x0, y0), (x1, y0), -_BELOW_MM, short_size(plate.thickness_mm))


def _labels(plate: Plate, put: Put, factor: float) -> list[Label]:
    """Names of holes, sizes of each group of like new holes, the bore, the pitch circles, the datum."""
    labels: list[Label] = []
    if plate.bore_mm > 0.0:
        r = plate.bore_mm * factor / 2.0
        around = [put_round(put((0.0, 0.0)), r, k * math.pi / 8.0 + math.pi / 16.0) for k in range(16)]
        lines = [(f"bore \u00d8 {short_size(plate.bore_mm)}", SMALL_FIGURE_BOLD)]
        if plate.bore_low_mm is not None and plate.bore_high_mm is not None:
            lines.append((limits_words(plate.bore_low_mm, plate.bore_high_mm)[0], SMALL_FIGURE))
        labels.append(Label(around[5], tuple(lines), others=tuple(around[::4])))
    datum = put_round(put((0.0, 0.0)), plate.bore_mm * factor / 2.0, math.radians(248.0))
    labels.append(Label(datum, (("A", SMALL_BOLD),), framed=True))
    told: set[tuple[float, ...]] = set()
    for name, hole in numbered(plate):
        at = put((hole.x_mm, hole.y_mm))
        r = hole.diameter_mm * factor / 2.0
        edge = tuple(put_round(at, r, k * math.pi / 2.0 + math.pi / 4.0) for k in range(4))
        lines = [(name, SMALL_FIGURE_BOLD if not hole.old else SMALL_FIGURE)]
        kind = _kind_of(hole)
        if kind not in told:
            told.add(kind)
            lines += [(w, SMALL_FIGURE) for w in _callout(hole, sum(_kind_of(h) == kind for h in plate.holes))]
        labels.append(Label(edge[0], tuple(lines), dot=False, others=edge[1:]))
    for number, (diameter, words) in enumerate(plate.circles):
        r = diameter * factor / 2.0
        around = [put_round(put((0.0, 0.0)), r, math.radians(11.0 + 24.0 * k + 7.0 * number)) for k in range(15)]
        free = [p for p in around if not any(_near(plate, put, factor, p))] or around
        labels.append(Label(free[0], ((_pitch(diameter, words), SMALL),), others=tuple(free[1:])))
    return labels


def _near(plate: Plate, put: Put, factor: float, p: Point) -> list[bool]:
    near = []
    for hole in plate.holes:
        x, y = put((hole.x_mm, hole.y_mm))
        near.append(math.hypot(p[0] - x, p[1] - y) < (hole.diameter_mm + hole.slot_mm) * factor / 2.0 + 1.5)
    return near


def put_round(centre: Point, radius: float, angle_rad: float) -> Point:
    """A point on a circle of paper."""
    return centre[0] + radius * math.cos(angle_rad), centre[1] + radius * math.sin(angle_rad)


def _pitch(diameter: float, words: str) -> str:
    size = short_size(diameter)
    return words if size in words or f"{diameter:.2f}" in words else f"{words} \u00d8 {size}".strip()


def _kind_of(hole: Hole) -> tuple[float, ...]:
    def or_none(v: float | None) -> float:
        return -1.0 if v is None else v

    return (float(hole.old), hole.diameter_mm, hole.slot_mm, or_none(hole.low_mm), or_none(hole.high_mm))


def _callout(hole: Hole, count: int) -> list[str]:
    many = f"{count} \u00d7 " if count > 1 else ""
    words = [f"{many}\u00d8 {short_size(hole.diameter_mm)}"]
    return words + ([f"slot, {short_size(hole.diameter_mm + hole.slot_mm)} over all"] if hole.slot_mm > 0.0 else [])


# -- the table --------------------------------------------------------------------------------------------------

HOLE_COLUMNS = (
    Column("Hole", 0.75),
    Column("Diameter", 1.6),
    Column("x", 0.8, "right"),
    Column("y", 0.8, "right"),
    Column("from the datum: out, and turned from x", 1.35, "right"),
    Column("Zone of its middle", 0.7, "right"),
)


def hole_rows(plate: Plate) -> list[tuple[Cell, ...]]:
    """A row for each hole: name, diameter with limits, x and y from the datum, radius and angle, and the diameter of
    the zone its middle must lie in. Millimetres, inches under them."""
    rows: list[tuple[Cell, ...]] = []
    firsts: dict[tuple[float, ...], str] = {}
    for name, hole in numbered(plate):
        x, y = size_words(hole.x_mm), size_words(hole.y_mm)
        far = math.hypot(hole.x_mm, hole.y_mm)
        turn = round(math.degrees(math.atan2(hole.y_mm, hole.x_mm)), 6) % 360.0
        polar = f"{far:.2f}, {turn:.2f}\u00b0" if far > 1e-9 else f"{far:.2f}"
        zone = hole.position_mm
        label = [Run(hole.label, SMALL)] if hole.label and hole.label not in ("old", "new") else []
        if hole.old:
            words = f"\u00d8 {short_size(hole.diameter_mm)} mm"
            rows.append(
                (
                    (Run(name, SMALL), *label),
                    Run(words, SMALL_FIGURE),
                    Run(x[0], SMALL_FIGURE),
                    Run(y[0], SMALL_FIGURE),
                    Run(polar, SMALL_FIGURE),
                    Run("is there", SMALL),
                )
            )
            continue
        rows.append(
            (
                (Run(name, SMALL_BOLD), *label),
                _as_first(firsts, name, hole) or _diameter(hole),
                _pair(x),
                _pair(y),
                Run(polar, FIGURE),
                Run("not said", SMALL)
                if zone is None
                else (Run(f"\u00d8 {short_size(zone)}", FIGURE), Run(f"{zone / 25.4:.4f}", SMALL_FIGURE)),
            )
        )
    return rows


def _as_first(firsts: dict[tuple[float, ...], str], name: str, hole: Hole) -> tuple[Run, ...]:
    """Diameter of a hole like one above; () for the first of its kind."""
    first = firsts.setdefault((*_kind_of(hole), hole.slot_rad), name)
    return (
        () if first == name else (Run(f"\u00d8 {short_size(hole.diameter_mm)} mm", FIGURE), Run(f"as {first}", SMALL))
    )


def _pair(words: tuple[str, str]) -> tuple[Run, ...]:
    return Run(words[0], FIGURE), Run(words[1], SMALL_FIGURE)


def _diameter(hole: Hole) -> tuple[Run, ...]:
    runs = [Run(f"\u00d8 {short_size(hole.diameter_mm)} mm", FIGURE if hole.old else FIGURE_BOLD)]
    if hole.low_mm is not None and hole.high_mm is not None:
        runs += [Run(part, SMALL_FIGURE) for part in limits_words(hole.low_mm, hole.high_mm)]
    else:
        runs.append(Run(f"{hole.diameter_mm / 25.4:.3f} in", SMALL_FIGURE))
    if hole.slot_mm > 0.0:
        turn = math.degrees(hole.slot_rad) % 180.0
        runs.append(
            Run(f"slot: middles of its ends {short_size(hole.slot_mm)} mm apart, {turn:.1f}\u00b0 from x", SMALL)
        )
    return tuple(runs)


def handed(plate: Plate) -> bool:
    """Whether a plate differs from its mirror image, so that left and right of it are two drawings.

    Holes, slots and corners are laid on their image in every line through their middle that could be one of symmetry;
    they count as the same within 0.01 mm.

    >>> from trialfit.mates import Hole
    >>> ear = Plate("ear", "", 5.0, (Hole(0.0, 0.0, 8.0), Hole(30.0, 0.0, 8.0), Hole(30.0, 10.0, 6.0)))
    >>> handed(ear), handed(Plate("ear", "", 5.0, ear.holes[:2]))
    (True, False)
    """
    spots: list[tuple[float, float, tuple[float, float, bool], float | None]] = [
        (h.x_mm, h.y_mm, (h.diameter_mm, h.slot_mm, h.old), h.slot_rad if h.slot_mm > 0.0 else None)
        for h in plate.holes
    ]
    spots += [(x, y, (0.0, 0.0, False), None) for x, y in plate.outline]
    if plate.bore_mm > 0.0 or plate.round_mm > 0.0:
        spots.append((0.0, 0.0, (plate.bore_mm, plate.round_mm, False), None))
    if not spots:
        return False
    x0, y0 = math.fsum(s[0] for s in spots) / len(spots), math.fsum(s[1] for s in spots) / len(spots)
    places = [(x - x0, y - y0) for x, y, *_ in spots]
    lines = {0.0, math.pi / 2.0}
    lines |= {math.atan2(a[1] + b[1], a[0] + b[0]) for a in places for b in places
              if math.hypot(a[0] + b[0], a[1] + b[1]) > _SAME_MM}  # fmt: skip
    lines |= {turn + math.pi / 2.0 for turn in tuple(lines)}

    def mirrored(turn: float) -> bool:
        c, s = math.cos(2.0 * turn), math.sin(2.0 * turn)
        for (x, y), (_, _, size, way) in zip(places, spots, strict=True):
            image = (c * x + s * y, s * x - c * y)
            if not any(
                math.dist(image, place) < _SAME_MM and size == other
                and (way is None or (to is not None and abs(math.sin(2.0 * turn - way - to)) < _SAME_RAD))
                for place, (_, _, other, to) in zip(places, spots, strict=True)
            ):  # fmt: skip
                return False
        return True

    return not any(mirrored(turn) for turn in lines)


def metal_left(plate: Plate) -> Webs | None:
    """The least metal left round the new holes, as this drawing has them; None where there is no new hole.

    An old hole that lies wholly within a new one is gone when that is made. Chamfers and counterbores are left out,
    which errs on the unsafe side.
    """
    new = [h for h in plate.holes if not h.old]
    if not new:
        return None
    old = [h for h in plate.holes if h.old and not any(_swallows(n, h) for n in new)]
    return webs(new, Face("", "", plate.round_mm, plate.outline, plate.bore_mm), old)


def _swallows(new: Hole, old: Hole) -> bool:
    along = (old.x_mm - new.x_mm) * math.cos(new.slot_rad) + (old.y_mm - new.y_mm) * math.sin(new.slot_rad)
    across = (old.y_mm - new.y_mm) * math.cos(new.slot_rad) - (old.x_mm - new.x_mm) * math.sin(new.slot_rad)
    past = max(abs(along) - new.slot_mm / 2.0, 0.0)
    return math.hypot(past, across) + (old.diameter_mm + old.slot_mm) / 2.0 <= new.diameter_mm / 2.0 + 1e-6


def metal_left_words(plate: Plate) -> str:
    """The same in a sentence; "" where there is no new hole."""
    left = metal_left(plate)
    if left is None:
        return ""
    places = (("between two holes", left.between_mm), ("to the edge", left.edge_mm), ("to the bore", left.bore_mm))
    told = [
        f"{where} {mm:.2f} mm" if mm > 0.0 else f"{where} none: they run into each other by {-mm:.2f} mm"
        for where, mm in places
        if mm is not None
    ]
    if left.edge_mm is None:
        told.append("to the edge not known, it was not measured")
    return f"Least metal left round a new hole: {', '.join(told)}."


def third_angle(at: Point) -> list[Mark]:
    """The sign for third angle (ISO 5456-2): the end view of a cone, and the cone to the right of it. ``at`` is its
    left end on the axis; 16 mm wide."""
    x, y = at
    return [
        Circle((x + 3.0, y), 2.6, LineKind.THIN),
        Circle((x + 3.0, y), 1.3, LineKind.THIN),
        Stroke(((x + 8.4, y - 1.3), (x + 14.4, y - 2.6), (x + 14.4, y + 2.6), (x + 8.4, y + 1.3)), LineKind.THIN, True),
        line((x - 0.8, y), (x + 6.8, y), LineKind.CENTRE),
        line((x + 7.4, y), (x + 15.6, y), LineKind.CENTRE),
        line((x + 3.0, y - 3.6), (x + 3.0, y + 3.6), LineKind.CENTRE),
    ]
