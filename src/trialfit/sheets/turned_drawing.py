"""A turned part on paper: upper half in section, lower half from outside, its axis level, its datum face on the left.

Surfaces to be worked are drawn as a heavy bar. Diameters stand on shelves above, inner ones to the left and outer ones
to the right; lengths under it. Both ends of a dimension lie on the part.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from trialfit.mates import Step, Turned
from trialfit.sheets.dimensions import aligned
from trialfit.sheets.drawing import (
    SMALL_BOLD,
    SMALL_FIGURE,
    Fill,
    LineKind,
    Mark,
    Point,
    Stroke,
    Words,
    arrowhead,
    hatch,
    line,
    rectangle,
)
from trialfit.sheets.paper import broken
from trialfit.sheets.plate_drawing import Drawn, scale_that_fits, short_size

_COLUMN_MM = 8.0
_ROW_MM = 8.0
_LEADING_MM = 4.0
_WORDS_MM = (60.0, 46.0, 32.0)
"""Widths that words beside the part may take, widest first; a narrower one only where the part comes out larger."""
_BAR_MM = 1.2
_BAR_SHARE = 0.3
"""of the wall, so that the hatching of a thin ring is seen"""
_PAST_MM = 1.6
_CLEAR_MM = 0.8


@dataclass(frozen=True, slots=True)
class _Wanted:
    """One diameter to be written: the step it belongs to, whether it is the inner one, its words in lines, and on which
    side its extension lines run out freely (-1 left, 1 right, 0 neither)."""

    step: int
    inner: bool
    lines: tuple[str, ...]
    side: int


def turned_drawing(part: Turned, wide: float, high: float = 90.0) -> Drawn:
    """A turned part in half section, in a room of paper.

    Parameters
    ----------
    part : Turned
        its steps from the datum face on
    wide, high : float
        room on paper, ``high`` for the part alone without its words [mm]

    Raises
    ------
    ValueError
        for a part without steps, a step of no length, or one whose inside is not smaller than its outside
    """
    _check(part)
    long, across = sum(s.length_mm for s in part.steps), max(s.outer_mm for s in part.steps)
    tries = []
    for width in _WORDS_MM:
        wanted = _wanted(part.steps, width)
        left, right, up = ([w for w in wanted if w.side == side] for side in (-1, 1, 0))
        reach_left, reach_right = _reach(left), max(_reach(right), _reach(up))
        room = max(wide - reach_left - reach_right - 12.0, 12.0)
        tries.append((scale_that_fits(long, across, room, high), left, right, up, reach_left, reach_right))
    (factor, scale), left, right, up, reach_left, reach_right = max(tries, key=lambda t: t[0][0])
    rows = _lengths(part.steps)
    below = 7.0 + _ROW_MM * len(rows) + sum(_LEADING_MM * len(w.lines) + 2.0 for w in up if w.inner)
    half = across * factor / 2.0
    block = reach_left + long * factor + reach_right
    x0 = max((wide - block) / 2.0, 1.0) + reach_left
    axis = below + half
    shelf = axis + half + 7.0
    marks = _body(part.steps, x0, axis, factor)
    top = shelf
    for group, side in ((left, -1.0), (right, 1.0)):
        made, reached = _shelves(part.steps, group, side, x0, axis, factor, shelf)
        marks += made
        top = max(top, reached)
    made, top = _straight_up(part.steps, up, x0, axis, factor, top, below)
    marks += made
    # from below upwards: the ground under the words of a row breaks the lines that come down through it
    for number, (start, end, words) in reversed(list(enumerate(rows))):
        marks += aligned(
            (x0 + start * factor, axis - half), (x0 + end * factor, axis - half), -(7.0 + _ROW_MM * number), words
        )
    marks += _datum(part.steps, x0, axis, factor)
    told = scale if lengths_are_true(part.steps) else f"{scale} across, lengths not to scale"
    return Drawn(tuple(marks), top + 2.0, factor, told)


def _check(part: Turned) -> None:
    if not part.steps:
        raise ValueError(f"'{part.title}' has no step: a turned part needs at least 1")
    for number, step in enumerate(part.steps, 1):
        if step.length_mm <= 0.0 or not 0.0 <= step.inner_mm < step.outer_mm:
            raise ValueError(
                f"step {number} of '{part.title}' is {step.length_mm:g} long, {step.inner_mm:g} inside and "
                f"{step.outer_mm:g} outside [mm]; length above 0, inside below outside"
            )
        room = min(step.length_mm / 2.0, (step.outer_mm - step.inner_mm) / 4.0)
        if not 0.0 <= step.chamfer_mm <= room:
            raise ValueError(
                f"step {number} of '{part.title}' has a chamfer of {step.chamfer_mm:g} mm; 0 to {room:g} mm go on it"
            )


# -- the part ---------------------------------------------------------------------------------------------------


def _starts(steps: Sequence[Step]) -> list[float]:
    at, starts = 0.0, []
    for step in steps:
        starts.append(at)
        at += step.length_mm
    return [*starts, at]


def profile(steps: Sequence[Step]) -> tuple[Point, ...]:
    """Outline of the upper half in section, (along the axis, radius) [mm], closed, the last point not repeated."""
    outer, inner = _surfaces(steps)
    points = (*outer, *reversed(inner))
    return tuple(p for p, q in zip(points, points[1:] + points[:1], strict=True) if p != q)


def _surfaces(steps: Sequence[Step]) -> tuple[list[Point], list[Point]]:
    """Points along the outer and along the inner surface, from the datum face on, chamfers among them [mm]."""
    starts = _starts(steps)
    outer: list[Point] = []
    inner: list[Point] = []
    for k, (step, a, b) in enumerate(zip(steps, starts, starts[1:], strict=False)):
        r, bore = step.outer_mm / 2.0, step.inner_mm / 2.0
        before, after = (steps[k - 1] if k else None), (steps[k + 1] if k + 1 < len(steps) else None)
        c = step.chamfer_mm if step.worked in ("outer", "both") else 0.0
        left, right = (c * (n is None or n.outer_mm < step.outer_mm) for n in (before, after))
        outer += [(a, r - left), (a + left, r), (b - right, r), (b, r - right)]
        c = step.chamfer_mm if step.worked in ("inner", "both") and bore > 0.0 else 0.0
        left, right = (c * (n is None or n.inner_mm > step.inner_mm) for n in (before, after))
        inner += [(a, bore + left), (a + left, bore), (b - right, bore), (b, bore + right)]
    return outer, inner


def _body(steps: Sequence[Step], x0: float, axis: float, factor: float) -> list[Mark]:
    starts = _starts(steps)
    half = [(x0 + x * factor, axis + r * factor) for x, r in profile(steps)]
    marks: list[Mark] = [*hatch(half, 1.8)]
    for p, q in zip(half, half[1:] + half[:1], strict=True):
        if not (p[1] == axis and q[1] == axis):
            marks.append(line(p, q, LineKind.OUTLINE))
    below = [(x0 + x * factor, axis - r * factor) for x, r in _surfaces(steps)[0]]
    marks += [line(p, q, LineKind.OUTLINE) for p, q in pairwise(below) if p != q]
    for number, (step, start) in enumerate(zip(steps, starts, strict=False)):
        a, b = x0 + start * factor, x0 + (start + step.length_mm) * factor
        marks += _edges(steps, number, a, axis, factor)
        marks += _worked(step, a, b, axis, factor)
        if step.inner_mm > 0.0:
            bore = axis - step.inner_mm * factor / 2.0
            marks.append(line((a, bore), (b, bore), LineKind.HIDDEN))
    end = x0 + starts[-1] * factor
    marks += _edges(steps, len(steps), end, axis, factor)
    marks.append(line((x0 - 5.0, axis), (end + 5.0, axis), LineKind.CENTRE))
    return marks


def _edges(steps: Sequence[Step], number: int, x: float, axis: float, factor: float) -> list[Mark]:
    """Round edges at the start of a step (the end, after the last) as they are seen: shoulders from outside, and the
    far half of the bore's edges in the section."""
    near = steps[max(number - 1, 0) : number + 1]
    outer, bores = [s.outer_mm * factor / 2.0 for s in near], [s.inner_mm * factor / 2.0 for s in near]
    marks: list[Mark] = []
    if len(near) == 1 or outer[0] != outer[1]:
        marks.append(line((x, axis), (x, axis - max(outer)), LineKind.OUTLINE))
    if min(bores) > 0.0 and (len(near) == 1 or bores[0] != bores[1]):
        marks.append(line((x, axis), (x, axis + min(bores)), LineKind.OUTLINE))
    return marks


def _worked(step: Step, a: float, b: float, axis: float, factor: float) -> list[Mark]:
    """A heavy bar along each surface that is to be worked, on the side of the metal."""
    r, bore = step.outer_mm * factor / 2.0, step.inner_mm * factor / 2.0
    thick, c = min(_BAR_MM, _BAR_SHARE * (r - bore)), step.chamfer_mm * factor
    marks: list[Mark] = []
    if step.worked in ("outer", "both"):
        marks += [
            rectangle(a + c, axis + r - thick, b - c, axis + r, None, Fill.BLACK),
            rectangle(a + c, axis - r, b - c, axis - r + thick, None, Fill.BLACK),
        ]
    if step.worked in ("inner", "both") and bore > 0.0:
        marks.append(rectangle(a + c, axis + bore, b - c, axis + bore + thick, None, Fill.BLACK))
    return marks


def _datum(steps: Sequence[Step], x0: float, axis: float, factor: float) -> list[Mark]:
    """The datum letter on the first face: a filled triangle on it and the letter in a frame."""
    y = axis - steps[0].outer_mm * factor / 2.0 * 0.55
    return [
        Stroke(((x0, y - 1.5), (x0, y + 1.5), (x0 - 2.6, y)), None, True, Fill.BLACK),
        line((x0 - 2.6, y), (x0 - 5.0, y)),
        rectangle(x0 - 10.0, y - 2.5, x0 - 5.0, y + 2.5, LineKind.THIN, Fill.WHITE),
        Words((x0 - 7.5, y - 1.1), "A", SMALL_BOLD, "centre"),
    ]


# -- diameters --------------------------------------------------------------------------------------------------


def _wanted(steps: Sequence[Step], width: float) -> list[_Wanted]:
    found = []
    for number, step in enumerate(steps):
        before, after = steps[:number], steps[number + 1 :]
        if step.outer_words:
            free_right = all(s.outer_mm <= step.outer_mm for s in after)
            free_left = all(s.outer_mm <= step.outer_mm for s in before)
            found.append(
                _Wanted(number, False, _lines(step, "outer", width), 1 if free_right else -1 if free_left else 0)
            )
        if step.inner_words and step.inner_mm > 0.0:
            free_left = all(s.inner_mm >= step.inner_mm for s in before)
            free_right = all(s.inner_mm >= step.inner_mm for s in after)
            found.append(
                _Wanted(number, True, _lines(step, "inner", width), -1 if free_left else 1 if free_right else 0)
            )
    return found


def _lines(step: Step, which: str, width: float) -> tuple[str, ...]:
    words = step.outer_words if which == "outer" else step.inner_words
    shown = words if words.lstrip().startswith("\u00d8") else f"\u00d8 {words}"
    lines = broken(shown, SMALL_FIGURE, width)
    if step.chamfer_mm > 0.0 and step.worked in (which, "both"):
        lines += broken(f"chamfer {short_size(step.chamfer_mm)} \u00d7 45\u00b0", SMALL_FIGURE, width)
    return tuple(lines)


def _reach(group: Sequence[_Wanted]) -> float:
    """Paper that shelves of one side take [mm]."""
    if not group:
        return 12.0
    return 5.0 + _COLUMN_MM * len(group) + max(SMALL_FIGURE.width(t) for w in group for t in w.lines) + 2.0


def _shelves(
    steps: Sequence[Step],
    group: Sequence[_Wanted],
    side: float,
    x0: float,
    axis: float,
    factor: float,
    shelf: float,
) -> tuple[list[Mark], float]:
    """Dimension lines beside the part, the smallest diameter nearest to it and its words on the highest shelf."""
    starts = _starts(steps)
    marks: list[Mark] = []

    def size(w: _Wanted) -> float:
        return steps[w.step].inner_mm if w.inner else steps[w.step].outer_mm

    ordered = sorted(group, key=lambda w: (size(w), w.step))
    level = shelf
    place: list[tuple[_Wanted, float]] = []
    for wanted in reversed(ordered):
        place.append((wanted, level))
        level += _LEADING_MM * len(wanted.lines) + 2.4
    end = x0 if side < 0 else x0 + starts[-1] * factor
    for number, (wanted, at) in enumerate(reversed(place)):
        x = end + side * (12.0 if side < 0 else 7.0) + side * _COLUMN_MM * number
        r = size(wanted) * factor / 2.0
        step = steps[wanted.step]
        real = x0 + (starts[wanted.step] + (step.length_mm if side > 0 else 0.0)) * factor
        for y in (axis + r, axis - r):
            marks.append(line((real + side * _CLEAR_MM, y), (x + side * _PAST_MM, y)))
        marks.append(line((x, axis - r), (x, at - 1.0)))
        marks += [arrowhead((x, axis - r), (0.0, -1.0)), arrowhead((x, axis + r), (0.0, 1.0))]
        long = max(SMALL_FIGURE.width(t) for t in wanted.lines)
        marks.append(line((x, at - 1.0), (x + side * (long + 1.0), at - 1.0)))
        left = x + 0.5 if side > 0 else x - long - 0.5
        for k, text in enumerate(reversed(wanted.lines)):
            marks.append(Words((left, at + _LEADING_MM * k), text, SMALL_FIGURE))
    return marks, level


def _straight_up(
    steps: Sequence[Step], group: Sequence[_Wanted], x0: float, axis: float, factor: float, top: float, below: float
) -> tuple[list[Mark], float]:
    """Diameters that no extension line reaches from the ends (a groove): a leader from the surface, up or down."""
    starts = _starts(steps)
    marks: list[Mark] = []
    down = 2.0
    for wanted in group:
        step = steps[wanted.step]
        x = x0 + (starts[wanted.step] + step.length_mm / 2.0) * factor
        if wanted.inner:
            tip, knee = (x, axis - step.inner_mm * factor / 2.0), (x, down)
            down += _LEADING_MM * len(wanted.lines) + 1.0
        else:
            top += 1.0
            tip, knee = (x, axis + step.outer_mm * factor / 2.0), (x, top)
            top += _LEADING_MM * len(wanted.lines) + 2.4
        long = max(SMALL_FIGURE.width(t) for t in wanted.lines)
        marks += [
            Stroke((tip, knee, (x + long + 1.0, knee[1])), LineKind.THIN),
            arrowhead(tip, (0.0, tip[1] - knee[1])),
        ]
        for k, text in enumerate(reversed(wanted.lines)):
            marks.append(Words((x + 0.5, knee[1] + 1.0 + _LEADING_MM * k), text, SMALL_FIGURE))
    return marks, top


def lengths_are_true(steps: Sequence[Step]) -> bool:
    """Whether every length drawn is a known one: words without a figure (``as found``) stand where none is."""
    return all(not s.length_words or any(c.isdigit() for c in s.length_words) for s in steps)


# -- lengths ----------------------------------------------------------------------------------------------------


def _lengths(steps: Sequence[Step]) -> list[tuple[float, float, str]]:
    """Lengths under the part: the whole in brackets, then from the step farthest from the datum face inwards, so that
    words which stand to the right of their step cross no line of another."""
    starts = _starts(steps)
    rows = [(starts[k], starts[k + 1], s.length_words) for k, s in reversed(list(enumerate(steps))) if s.length_words]
    if len(steps) > 1 and lengths_are_true(steps):
        rows.insert(0, (0.0, starts[-1], f"({short_size(starts[-1])})"))
    return rows
