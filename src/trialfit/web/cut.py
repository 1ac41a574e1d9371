"""A cut across the vehicle as a drawing."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from trialfit.checks import Results
from trialfit.checks.showing import Cut, GapLine
from trialfit.web import look

Floats = NDArray[np.float64]
_Box = tuple[float, float, float, float]


def cut_svg(results: Results, cuts: Iterable[Cut], chosen: str, gaps: Iterable[tuple[GapLine, str]],
            wide_px: float) -> str:
    """A cut across the vehicle as a drawing, seen from behind: its right side is at the right. Every name in it is
    escaped; each thing carries its own in ``data-thing``."""
    cuts = list(cuts)
    places = list(results.points.values())
    half = max((abs(float(p[1])) for p in places), default=500.0) + 160.0
    high = max((float(p[2]) for p in places), default=500.0) + 140.0
    pixel = 2.0 * half / wide_px
    dashes = " ".join(f"{n * pixel:.0f}" for n in (14, 4, 3, 4))
    centre = f'stroke="var(--line)" stroke-width="{1.5 * pixel:.1f}" stroke-dasharray="{dashes}"'
    parts = [f'<path d="M{-half:.0f} 0H{half:.0f}" stroke="var(--ink)" stroke-width="{3 * pixel:.1f}"/>',
             f'<path d="M0 {-high:.0f}V0" {centre}/>']
    labels: list[str] = []
    taken: list[_Box] = []
    for cut in cuts:
        strong = cut.thing.name == chosen
        tone = "var(--acc)" if strong else {"exhaust": "var(--ink)", "tyre": "var(--line)", "floor": "var(--soft)"}.get(
            cut.thing.kind, "var(--soft)")
        faces = " ".join(_path(f) for f in cut.faces)
        bores = " ".join(_path(b) for b in cut.bores)
        skin = " ".join(f"M{a[0]:.1f} {-a[1]:.1f}L{b[0]:.1f} {-b[1]:.1f}" for a, b in cut.lines)
        edge = "var(--ink)" if strong else "var(--bg)"
        parts.append(
            f'<g data-thing="{look.esc(cut.thing.name)}"><title>{look.esc(cut.thing.name)}</title>'
            f'<path d="{faces}" fill="{tone}" stroke="{edge}" stroke-width="{4 * pixel:.1f}" stroke-linejoin="round"/>'
            f'<path d="{faces}" fill="{tone}" stroke="{tone}" stroke-width="{pixel:.1f}"/>'
            + (f'<path d="{bores}" fill="var(--floor)"/>' if bores else "")
            + (f'<path d="{skin}" fill="none" stroke="{tone}" stroke-width="{2.5 * pixel:.1f}"/>' if skin else "")
            + "</g>")
        label = _label(cut, pixel, half, high, taken)
        if label:
            labels.append(label)
    for g, text in gaps:
        (_, y0, z0), (_, y1, z1) = g.first_mm, g.second_mm
        labels.append(f'<path d="M{y0:.1f} {-z0:.1f}L{y1:.1f} {-z1:.1f}" stroke="var(--no)" '
                      f'stroke-width="{5 * pixel:.1f}"/>' + _text(0.5 * (y0 + y1) + 12 * pixel, 0.5 * (z0 + z1), text,
                                                                  pixel, "start", 700))
    said = ", ".join(cut.thing.name for cut in cuts) or "nothing"
    return (f'<svg viewBox="{-half:.0f} {-high:.0f} {2 * half:.0f} {high + max(30 * pixel, 110.0):.0f}" role="img" '
            f'aria-label="Cut across the vehicle; it meets {look.esc(said)}">{"".join(parts)}{"".join(labels)}'
            f'{_text(-half + 8 * pixel, -22 * pixel, "left", pixel, "start", 700)}'
            f'{_text(half - 8 * pixel, -22 * pixel, "right", pixel, "end", 700)}</svg>')


def _path(face: Floats) -> str:
    return "M" + "L".join(f"{y:.1f} {-z:.1f}" for y, z in face) + ("Z" if len(face) > 2 else "")


def _label(cut: Cut, pixel: float, half: float, high: float, taken: list[_Box]) -> str:
    """The thing's name beside it, where there is room; "" where there is none."""
    outline = [p for f in cut.faces for p in f] or [p for line in cut.lines for p in line]
    left, right = min(float(p[0]) for p in outline), max(float(p[0]) for p in outline)
    low, top = min(float(p[1]) for p in outline), max(float(p[1]) for p in outline)
    wide, tall = 8.2 * pixel * len(cut.thing.name), 19.0 * pixel
    middle = 0.5 * (left + right)
    for x, z in ((middle, top + 6 * pixel), (middle, low - tall - 2 * pixel), (right + 8 * pixel + wide / 2, low),
                 (left - 8 * pixel - wide / 2, low)):
        x = min(max(x, -half + wide / 2), half - wide / 2)
        box = (x - wide / 2, z, x + wide / 2, z + tall)
        inside = box[3] < high and box[1] > 0.0
        if inside and all(box[2] < t[0] or box[0] > t[2] or box[3] < t[1] or box[1] > t[3] for t in taken):
            taken.append(box)
            return _text(x, z + 4 * pixel, cut.thing.name, pixel, "middle", 400)
    return ""


def _text(y: float, z: float, text: str, pixel: float, anchor: str, weight: int) -> str:
    return (f'<text x="{y:.0f}" y="{-z:.0f}" font-size="{16 * pixel:.0f}" font-weight="{weight}" '
            f'text-anchor="{anchor}" fill="var(--ink)" stroke="var(--floor)" stroke-width="{4 * pixel:.1f}" '
            f'paint-order="stroke" pointer-events="none">{look.esc(text)}</text>')
