"""The exhaust as drawn on the page: from the side and from below, nose to the left, pieces and points on it.

Drawn in millimetres of the vehicle; only the window is chosen here. What must keep its size on the screen (grips,
letters) is told how many millimetres a pixel is by ``--u``, which the browser sets.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.checks.dragging import RouteGap
from trialfit.exhaust import CutList, Kind, LaidRoute, Piece
from trialfit.exhaust.parts import wide_way
from trialfit.findings import Verdict
from trialfit.sheets.picture import Band, Disc, Flat, Outline, Polygon
from trialfit.sheets.pieces import centre_line
from trialfit.web import look

Floats = NDArray[np.float64]

SIDE, PLAN = "side", "plan"
TITLE = {SIDE: "From the left side", PLAN: "From below, its right side at the bottom"}
ROOM_MM = 90.0
"""Room round what is drawn [mm]."""
NEAR_WIDE_MM, NEAR_HIGH_MM = 900.0, 410.0
"""What the near view shows round a point [mm]."""
_USUAL_PX = 358.0
_OPEN = frozenset({"floor", "body", "ground", "scan"})


@dataclass(frozen=True, slots=True)
class Window:
    """What of a view is shown: left, top, width, height [mm of the drawing, downward]."""

    left: float
    top: float
    wide: float
    high: float


def flat(view: str, p: Sequence[float] | Floats) -> tuple[float, float]:
    """A point (x, y, z) [mm] in a view, downward as the screen is."""
    return (float(p[0]), -float(p[2])) if view == SIDE else (float(p[0]), float(p[1]))


def whole(view: str, points: Iterable[Sequence[float] | Floats]) -> Window:
    """The window that shows all of these points."""
    at = np.array([flat(view, p) for p in points])
    low, high = at.min(axis=0) - ROOM_MM, at.max(axis=0) + ROOM_MM
    return Window(float(low[0]), float(low[1]), float(high[0] - low[0]), float(high[1] - low[1]))


def near(view: str, point: Sequence[float] | Floats) -> Window:
    """The window round one point."""
    u, v = flat(view, point)
    return Window(u - NEAR_WIDE_MM / 2.0, v - NEAR_HIGH_MM / 2.0, NEAR_WIDE_MM, NEAR_HIGH_MM)


def svg(view: str, window: Window, body: str, label: str, *, hold: bool = False) -> str:
    """One view. ``hold``: its grip can be dragged, and it takes the arrow keys."""
    box = f"{window.left:.1f} {window.top:.1f} {window.wide:.1f} {window.high:.1f}"
    kind = 'tabindex="0" role="group"' if hold else 'role="img"'
    return (f'<svg class="pipeview" data-view="{view}" viewBox="{box}" width="100%" {kind} '
            f'style="--u:{window.wide / _USUAL_PX:.4f}" aria-label="{look.esc(label)}">{body}</svg>')


def around(view: str, outlines: Iterable[Outline], window: Window) -> str:
    """Everything else at ride height, as far as the window reaches."""
    out: list[str] = []
    for one in outlines:
        if one.body == "exhaust":
            continue
        fill = "none" if one.kind in _OPEN else "var(--floor)"
        for shape in one.side if view == SIDE else one.plan:
            drawn = _shape(view, shape, fill, window)
            if drawn:
                out.append(f"<g><title>{look.esc(one.name)}</title>{drawn}</g>")
    return "".join(out)


def _shape(view: str, shape: Flat, fill: str, window: Window) -> str:
    sign = -1.0 if view == SIDE else 1.0
    style = f'fill="{fill}" stroke="var(--line)" stroke-width="1.5" vector-effect="non-scaling-stroke"'
    if isinstance(shape, Disc):
        u, v, r = shape.centre[0], sign * shape.centre[1], shape.radius
        if not _seen(window, (u - r, u + r), (v - r, v + r)):
            return ""
        return f'<circle cx="{u:.0f}" cy="{v:.0f}" r="{r:.0f}" {style}/>'
    points = [(u, sign * v) for u, v in shape.points]
    us, vs = [u for u, _ in points], [v for _, v in points]
    if not _seen(window, (min(us), max(us)), (min(vs), max(vs))):
        return ""
    said = " ".join(f"{u:.0f},{v:.0f}" for u, v in points)
    if isinstance(shape, Polygon):
        return f'<polygon points="{said}" {style}/>'
    if isinstance(shape, Band):
        wide = max(shape.width, 1.0)
        return (f'<polyline points="{said}" fill="none" stroke="var(--line)" stroke-width="{wide:.0f}" '
                'stroke-opacity=".45"/>')
    return f'<polyline points="{said}" {style.replace(fill, "none", 1)}/>'


def _seen(window: Window, u: tuple[float, float], v: tuple[float, float]) -> bool:
    return (u[1] >= window.left and u[0] <= window.left + window.wide
            and v[1] >= window.top and v[0] <= window.top + window.high)


def _path(view: str, points: Floats) -> str:
    at = [flat(view, p) for p in points]
    return "M" + "L".join(f"{u:.1f} {v:.1f}" for u, v in at)


def pieces_drawn(view: str, cuts: CutList, chosen: int) -> str:
    """Every piece by itself with its number, a line where two meet; the chosen one filled."""
    body: list[str] = []
    labels: list[str] = []
    last = None
    for piece in cuts.pieces:
        line = centre_line(piece)
        wide = _wide_mm(view, cuts, piece)
        on = piece.number == chosen
        ink = "var(--acc)" if on else "var(--ink)" if piece.kind in (Kind.STRAIGHT, Kind.PART) else "var(--soft)"
        edge = (f'<path d="{_path(view, line)}" stroke="var(--ink)" stroke-width="{wide + 24:.1f}"/>' if on else "")
        mark = " data-on=1" if on else ""
        body.append(f'<g data-piece="{piece.number}"{mark} fill="none" stroke-linejoin="round">{edge}'
                    f'<path d="{_path(view, line)}" stroke="{ink}" stroke-width="{wide:.1f}"/></g>')
        body.append(f'<path data-piece="{piece.number}" class="reach" d="{_path(view, line)}"/>')
        middle = line[len(line) // 2] if len(line) > 2 else line.mean(axis=0)
        u, v = flat(view, middle)
        if on or last is None or abs(u - last) > 1.0:
            labels.append(f'<text class="pn" x="{u:.0f}" y="{v - wide / 2.0:.0f}">{piece.number}</text>')
            last = u
    return "".join(body) + "".join(labels)


def pipe_drawn(view: str, laid: LaidRoute, cuts: CutList | None, gaps: Sequence[RouteGap]) -> str:
    """The pipe as it lies, its axis, and a line across each of the gaps."""
    out: list[str] = []
    if cuts is not None:
        for piece in cuts.pieces:
            out.append(f'<path d="{_path(view, centre_line(piece))}" fill="none" stroke="var(--ink)" '
                       f'stroke-width="{_wide_mm(view, cuts, piece):.1f}" stroke-opacity=".78" '
                       'stroke-linejoin="round"/>')
    if len(laid.points_mm):
        out.append(f'<path data-axis="1" d="{_path(view, laid.points_mm)}" class="axis{"" if cuts else " wrong"}"/>')
    for gap in gaps:
        (a, b), (c, d) = flat(view, gap.at_route), flat(view, gap.at_thing)
        ink = "var(--no)" if gap.verdict is Verdict.DOES_NOT_FIT else "var(--ink)"
        out.append(f'<path d="M{a:.1f} {b:.1f}L{c:.1f} {d:.1f}" class="between" stroke="{ink}"/>')
    return "".join(out)


def _wide_mm(view: str, cuts: CutList, piece: Piece) -> float:
    """How wide a piece looks from here, in the middle of the pipe's run [mm]."""
    part = piece.part
    if part is None:
        return cuts.diameter_mm
    along = np.array(piece.end_xyz_mm) - np.array(piece.start_xyz_mm)
    wide = wide_way(along / np.linalg.norm(along), part.clock_rad)
    seen = abs(float(wide[2 if view == SIDE else 1]))
    return part.height.mm + (part.width.mm - part.height.mm) * seen


def points_drawn(view: str, points: Floats, chosen: int) -> str:
    """The points where the legs meet, the chosen one as a grip."""
    out: list[str] = []
    for number, p in enumerate(points):
        u, v = flat(view, p)
        if number not in (0, chosen):
            out.append(f'<circle class="corner" data-corner="{number}" cx="{u:.1f}" cy="{v:.1f}"/>')
    u, v = flat(view, points[chosen])
    before = flat(view, points[chosen - 1])
    legs = [before, (u, v)]
    if chosen + 1 < len(points):
        legs.append(flat(view, points[chosen + 1]))
    said = " ".join(f"{a:.1f},{b:.1f}" for a, b in legs)
    out.append(f'<polyline class="legs" data-legs="1" points="{said}"/>')
    out.append(f'<g data-grip="1" data-u="{u:.2f}" data-v="{v:.2f}" transform="translate({u:.2f} {v:.2f})">'
               '<circle class="grip"/><circle class="dot"/></g>')
    return "".join(out)
