"""Dimensions after ISO 129-1: narrow lines, closed arrowheads, both ends on something real."""

import math
from collections.abc import Sequence

from trialfit.sheets.drawing import SMALL_FIGURE, LineKind, Mark, Point, Stroke, Style, Words, arrowhead, line

_PAST_MM = 1.6
_CLEAR_MM = 0.8


def _unit(a: Point, b: Point) -> Point:
    size = math.hypot(b[0] - a[0], b[1] - a[1])
    if size == 0.0:
        raise ValueError("a dimension needs two different ends")
    return (b[0] - a[0]) / size, (b[1] - a[1]) / size


def _upright(angle_deg: float) -> float:
    """Turn of words so that they read from below or from the right."""
    turned = (angle_deg + 180.0) % 360.0 - 180.0
    return turned - 180.0 if turned > 90.0 + 1e-6 else turned + 180.0 if turned <= -90.0 + 1e-6 else turned


def aligned(a: Point, b: Point, off_mm: float, words: str, style: Style = SMALL_FIGURE) -> list[Mark]:
    """Dimension from ``a`` to ``b`` along their own direction, ``off_mm`` to the left of the way from a to b (negative:
    to the right), with extension lines from both ends. Where the words do not go between the arrows, the arrows
    stand outside and the words beyond ``b``."""
    ux, uy = _unit(a, b)
    nx, ny = -uy, ux
    side = 1.0 if off_mm >= 0 else -1.0
    p = (a[0] + nx * off_mm, a[1] + ny * off_mm)
    q = (b[0] + nx * off_mm, b[1] + ny * off_mm)
    marks: list[Mark] = []
    for real, far in ((a, p), (b, q)):
        marks.append(line((real[0] + nx * side * _CLEAR_MM, real[1] + ny * side * _CLEAR_MM),
                          (far[0] + nx * side * _PAST_MM, far[1] + ny * side * _PAST_MM)))
    long = math.hypot(b[0] - a[0], b[1] - a[1])
    wide = style.width(words)
    turn = _upright(math.degrees(math.atan2(uy, ux)))
    drop = style.size_pt * 0.36 * 25.4 / 72.0
    if long >= wide + 8.0:
        marks += [line(p, q), arrowhead(p, (-ux, -uy)), arrowhead(q, (ux, uy))]
        middle = ((p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0)
        marks.append(_centred(middle, words, style, turn, drop))
        return marks
    out = wide + 6.0
    marks += [line((p[0] - ux * 6.0, p[1] - uy * 6.0), (q[0] + ux * 4.5, q[1] + uy * 4.5)),
              arrowhead(p, (ux, uy)), arrowhead(q, (-ux, -uy))]
    beyond = (q[0] + ux * (out / 2.0 + 2.5), q[1] + uy * (out / 2.0 + 2.5))
    marks.append(_centred(beyond, words, style, turn, drop))
    return marks


def _centred(at: Point, words: str, style: Style, turn_deg: float, drop: float) -> Words:
    c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return Words((at[0] + s * drop, at[1] - c * drop), words, style, "centre", turn_deg, patch=True)


def leader(tip: Point, knee: Point, words: str, style: Style = SMALL_FIGURE, arrow: bool = True) -> list[Mark]:
    """Words on a short shelf at ``knee`` with a line to ``tip``."""
    right = knee[0] >= tip[0]
    wide = style.width(words)
    end = (knee[0] + (wide + 1.0 if right else -wide - 1.0), knee[1])
    marks: list[Mark] = [Stroke((tip, knee, end), LineKind.THIN)]
    if arrow:
        marks.append(arrowhead(tip, (tip[0] - knee[0], tip[1] - knee[1])))
    marks.append(Words((min(knee[0], end[0]) + 0.5, knee[1] + 0.9), words, style))
    return marks


def arc(centre: Point, radius: float, start_rad: float, end_rad: float, step_mm: float = 0.5) -> tuple[Point, ...]:
    """Points along an arc from ``start_rad`` to ``end_rad`` about ``centre``; chord length about ``step_mm`` [mm]."""
    count = max(2, math.ceil(abs(end_rad - start_rad) * radius / step_mm) + 1)
    return tuple((centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a))
                 for a in (start_rad + (end_rad - start_rad) * k / (count - 1) for k in range(count)))


def chain(points: Sequence[Point], kind: LineKind = LineKind.CENTRE) -> Stroke:
    """A centre line through ``points``."""
    return Stroke(tuple(points), kind)
