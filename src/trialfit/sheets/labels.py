"""Words beside what they name: placed one after the other where they cover least, never on each other."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.findings import Verdict
from trialfit.sheets.drawing import (
    MM_PER_PT,
    SMALL,
    Circle,
    Fill,
    Frame,
    LineKind,
    Mark,
    Point,
    Stroke,
    Style,
    Words,
    line,
    overlap,
    rectangle,
)
from trialfit.sheets.marks import verdict_mark

_DISTANCES = (2.5, 4.0, 6.0, 8.0, 11.0, 14.0, 18.0, 23.0, 29.0, 36.0, 45.0, 56.0, 70.0)
_MARK_ROOM_MM = 5.6
_ANGLES = tuple(math.radians(15.0 * k) for k in range(24))


@dataclass(frozen=True, slots=True)
class Label:
    """Lines of words that belong to the point ``anchor``; ``framed`` draws a thin box round them; ``dot`` marks the
    anchor. Where the words go ``inside`` the thing itself, they need no leader. ``verdict`` sets its mark before the
    first line. ``others`` are further points of the same thing that the leader may go to instead."""

    anchor: Point
    lines: tuple[tuple[str, Style], ...]
    framed: bool = False
    dot: bool = True
    inside: Frame | None = None
    verdict: Verdict | None = None
    others: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class Placed:
    """Where every label went; ``left_over`` holds the indices of those for which there was no free place."""

    marks: tuple[Mark, ...]
    boxes: tuple[Frame, ...]
    left_over: tuple[int, ...]


def points_along(marks: Iterable[Mark], step_mm: float = 1.5) -> NDArray[np.float64]:
    """Points on everything drawn, so that labels can keep off it; shape (n, 2) [mm]."""
    found: list[Point] = []
    for mark in marks:
        if isinstance(mark, Stroke):
            ends = mark.points[1:] + (mark.points[:1] if mark.closed else ())
            for (x0, y0), (x1, y1) in zip(mark.points, ends, strict=False):
                count = max(1, math.ceil(math.hypot(x1 - x0, y1 - y0) / step_mm))
                found += [(x0 + (x1 - x0) * k / count, y0 + (y1 - y0) * k / count) for k in range(count + 1)]
        elif isinstance(mark, Circle):
            count = max(6, math.ceil(2 * math.pi * mark.radius / step_mm))
            found += [(mark.centre[0] + mark.radius * math.cos(2 * math.pi * k / count),
                       mark.centre[1] + mark.radius * math.sin(2 * math.pi * k / count)) for k in range(count)]
    return np.array(found, dtype=np.float64).reshape(-1, 2)


def _size(label: Label) -> tuple[float, float]:
    extra = [0.0 if label.verdict is None else _MARK_ROOM_MM] + [0.0] * len(label.lines)
    wide = max(style.width(text) + room for (text, style), room in zip(label.lines, extra, strict=False))
    return wide + 2.6, sum(_step(style) for _, style in label.lines) + 1.0


def _step(style: Style) -> float:
    return style.size_pt * MM_PER_PT * 1.15


def _inside(points: NDArray[np.float64], box: Frame) -> int:
    x, y = points[:, 0], points[:, 1]
    return int(np.count_nonzero((x > box[0]) & (x < box[2]) & (y > box[1]) & (y < box[3])))


def _holds(outer: Frame, inner: Frame) -> bool:
    return outer[0] <= inner[0] and outer[1] <= inner[1] and inner[2] <= outer[2] and inner[3] <= outer[3]


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0.0 and side(c, d, a) * side(c, d, b) < 0.0


def _through(a: Point, b: Point, box: Frame) -> bool:
    corners = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
    return any(_cross(a, b, p, q) for p, q in zip(corners, corners[1:] + corners[:1], strict=True))


def _nearest(box: Frame, at: Point) -> Point:
    return min(max(at[0], box[0]), box[2]), min(max(at[1], box[1]), box[3])


def place(labels: Sequence[Label], frame: Frame, keep_off: NDArray[np.float64],
          taken: Sequence[Frame] = ()) -> Placed:
    """Place labels in the order given, each as near its anchor as its neighbours let it.

    No label leaves ``frame``, lies on another or on a box in ``taken``; covering what is drawn (``keep_off``) costs,
    as do long leaders and leaders that cross.
    """
    boxes: list[Frame] = []
    leaders: list[tuple[Point, Point]] = []
    marks: list[Mark] = []
    left_over: list[int] = []
    for index, label in enumerate(labels):
        best = _best_box(label, frame, keep_off, [*taken, *boxes], leaders)
        if best is None:
            left_over.append(index)
            continue
        anchor, box = best
        boxes.append(box)
        tip = _nearest(box, anchor)
        leaders.append((anchor, tip))
        marks += _draw(label, anchor, box, tip)
    return Placed(tuple(marks), tuple(boxes), tuple(left_over))


def _best_box(label: Label, frame: Frame, keep_off: NDArray[np.float64], full: Sequence[Frame],
              leaders: Sequence[tuple[Point, Point]]) -> tuple[Point, Frame] | None:
    wide, high = _size(label)
    best: tuple[float, Point, Frame] | None = None
    x, y = label.anchor
    own = (x - wide / 2.0, y - high / 2.0, x + wide / 2.0, y + high / 2.0)
    if label.inside is not None and _holds(label.inside, own) and not any(overlap(own, b) > 0.0 for b in full):
        best = (2.0 * _inside(keep_off, own) + 200.0 * sum(_through(a, b, own) for a, b in leaders), label.anchor, own)
    for anchor in (label.anchor, *label.others):
        x, y = anchor
        crowd = 0.8 * _inside(keep_off, (x - 2.5, y - 2.5, x + 2.5, y + 2.5)) if label.others else 0.0
        for distance in _DISTANCES:
            if best is not None and best[0] <= distance + crowd:
                break
            for angle in _ANGLES:
                c, s = math.cos(angle), math.sin(angle)
                cx, cy = x + c * (distance + wide / 2.0), y + s * (distance + high / 2.0)
                box = (cx - wide / 2.0, cy - high / 2.0, cx + wide / 2.0, cy + high / 2.0)
                grown = (box[0] - 0.8, box[1] - 0.8, box[2] + 0.8, box[3] + 0.8)
                if not _holds(frame, box) or any(overlap(grown, other) > 0.0 for other in full):
                    continue
                tip = _nearest(box, anchor)
                cost = distance + crowd + 2.0 * _inside(keep_off, box)
                cost += 40.0 * sum(_cross(anchor, tip, *other) for other in leaders)
                cost += 200.0 * sum(_through(anchor, tip, other) for other in full)
                cost += 200.0 * sum(_through(a, b, box) for a, b in leaders)
                if best is None or cost < best[0] - 1e-9:
                    best = (cost, anchor, box)
    return None if best is None else (best[1], best[2])


def _draw(label: Label, anchor: Point, box: Frame, tip: Point) -> list[Mark]:
    marks: list[Mark] = []
    covered = box[0] <= anchor[0] <= box[2] and box[1] <= anchor[1] <= box[3]
    if label.dot and not covered:
        marks.append(Circle(anchor, 0.55, None, Fill.BLACK))
    if math.hypot(tip[0] - anchor[0], tip[1] - anchor[1]) > 1.2:
        marks.append(line(anchor, tip))
    marks.append(rectangle(*box, LineKind.THIN if label.framed else None, Fill.WHITE))
    y = box[3] - 0.5
    middle = (box[0] + box[2]) / 2.0
    for number, (text, style) in enumerate(label.lines):
        y -= _step(style)
        base = y + 0.28 * style.size_pt * MM_PER_PT
        if label.verdict is not None and not number:
            left = middle - (style.width(text) + _MARK_ROOM_MM) / 2.0
            marks += verdict_mark(label.verdict, (left + 2.0, base + 1.15), 2.9)
            marks.append(Words((left + _MARK_ROOM_MM, base), text, style))
        else:
            marks.append(Words((middle, base), text, style, "centre"))
    return marks


def plain(anchor: Point, text: str, style: Style = SMALL, dot: bool = True) -> Label:
    """A label of one line."""
    return Label(anchor, ((text, style),), dot=dot)
