"""The strip at the top: the vehicle from below, nose to the left, cut into six bays, each with its worst mark."""

from dataclasses import dataclass

from trialfit.findings import RANK, Finding, Verdict
from trialfit.sheets.picture import Band, Disc, Flat, Path, Polygon
from trialfit.survey import Survey
from trialfit.vehicle import Build
from trialfit.web.look import esc, mark, tag_mark
from trialfit.web.working import Worked

BAYS = 6
_MARGIN = 0.04
_HALF_MM = 900.0
_EDGE_MM = 60.0
_OPEN_KINDS = ("floor", "body", "frame")


@dataclass(frozen=True, slots=True)
class Bays:
    """Six equal stretches of the vehicle from ``front_mm`` to ``rear_mm``, with a name each."""

    front_mm: float
    rear_mm: float
    names: tuple[str, ...]

    def of(self, station_mm: float) -> int:
        """Which bay a station lies in; what lies beyond the ends counts to the end bays.

        >>> Bays(0.0, 600.0, ("a",) * 6).of(250.0)
        2
        """
        part = (station_mm - self.front_mm) / (self.rear_mm - self.front_mm)
        return min(max(int(part * BAYS), 0), BAYS - 1)

    def ends_mm(self, bay: int) -> tuple[float, float]:
        """Where a bay begins and ends [mm]."""
        step = (self.rear_mm - self.front_mm) / BAYS
        return self.front_mm + bay * step, self.front_mm + (bay + 1) * step


def bays_of(build: Build | None, survey: Survey | None) -> Bays | None:
    """The six bays of a build, cut from its own hardpoints; None while fewer than two have a place."""
    if build is None or survey is None or len(survey.names) < 2:
        return None
    stations = survey.xyz_mm[:, 0]
    front, rear = float(stations.min()), float(stations.max())
    room = max((rear - front) * _MARGIN, 50.0)
    bays = Bays(front - room, rear + room, ("",) * BAYS)
    bodies = dict(build.bodies)

    def middle(names: tuple[str, ...]) -> int | None:
        known = [float(survey.point(p)[0]) for p in names if survey.has(p)]
        return bays.of(sum(known) / len(known)) if known else None

    axle, engine = middle(tuple(bodies.get("axle", ()))), middle(tuple(bodies.get("engine", ())))
    names = [_name(i, engine, axle) for i in range(BAYS)]
    doubles = {n for n in names if names.count(n) > 1}
    counts: dict[str, int] = {}
    for i, name in enumerate(names):
        if name in doubles:
            counts[name] = counts.get(name, 0) + 1
            names[i] = f"{name} {counts[name]}"
    return Bays(bays.front_mm, bays.rear_mm, tuple(names))


def _name(bay: int, engine: int | None, axle: int | None) -> str:
    if bay == axle:
        return "Axle"
    if bay == engine:
        return "Engine"
    if axle is not None and bay > axle:
        return "Tail"
    if engine is not None and bay < engine:
        return "Nose"
    if axle is not None and engine is not None:
        return "Shaft"
    return ("Nose", "Front", "Middle", "Middle", "Rear", "Tail")[bay]


def station_of(worked: Worked, finding: Finding) -> float | None:
    """Where on the vehicle a finding belongs [mm]; None when nothing says so."""
    return worked.stations.get(finding.name)


def worst_by_bay(worked: Worked, bays: Bays) -> dict[int, Verdict]:
    """The worst verdict in each bay; a bay without any is left out."""
    found: dict[int, Verdict] = {}
    for f in worked.findings:
        if f.name.startswith("survey.unchecked"):
            continue
        station = station_of(worked, f)
        if station is None:
            continue
        bay = bays.of(station)
        if bay not in found or RANK[f.verdict] < RANK[found[bay]]:
            found[bay] = f.verdict
    return found


def plan_svg(worked: Worked | None, bays: Bays | None) -> str:
    """The vehicle in plan as seen lying under it: nose to the left, its right side at the bottom; what has not been
    measured is not drawn."""
    if bays is None:
        return ('<svg class="car" viewBox="0 0 600 54" preserveAspectRatio="none" aria-hidden="true"><path '
                'd="M20 27H580" stroke="var(--ink)" stroke-width="2" stroke-dasharray="14 4 3 4" fill="none" '
                'vector-effect="non-scaling-stroke"/><path d="M100 14v26" stroke="var(--ink)" stroke-width="3" '
                'vector-effect="non-scaling-stroke"/></svg>')
    wide = bays.rear_mm - bays.front_mm
    half, body = (_HALF_MM, "") if worked is None else _shapes(worked)
    return (f'<svg class="car" viewBox="{bays.front_mm:.0f} {-half:.0f} {wide:.0f} {2 * half:.0f}" '
            f'preserveAspectRatio="none" aria-hidden="true">{body}</svg>')


def _shapes(worked: Worked) -> tuple[float, str]:
    """How far to the side the drawing reaches [mm], and what is in it."""
    drawn: list[tuple[int, str]] = []
    half = 0.0
    for one in worked.outlines:
        if one.body == "exhaust":
            style, rank = 'fill="none" stroke="var(--ink)" stroke-width="3" stroke-dasharray="7 4"', 2
        elif one.kind in _OPEN_KINDS:
            style, rank = 'fill="none" stroke="var(--line)" stroke-width="1.5"', 0
        elif one.kind == "tyre":
            style, rank = 'fill="var(--line)"', 0
        else:
            style, rank = 'fill="var(--ink)"', 1
        for flat in one.plan:
            half = max(half, _reach_mm(flat))
            drawn.append((rank, _flat(flat, style, one.body == "exhaust")))
    return half + _EDGE_MM, "".join(text for _, text in sorted(drawn, key=lambda d: d[0]))


def _reach_mm(flat: Flat) -> float:
    if isinstance(flat, Disc):
        return abs(flat.centre[1]) + flat.radius
    return max(abs(v) for _, v in flat.points)


def _flat(flat: Flat, style: str, line: bool) -> str:
    thin = 'vector-effect="non-scaling-stroke"'
    if isinstance(flat, Disc):
        return f'<circle cx="{flat.centre[0]:.0f}" cy="{flat.centre[1]:.0f}" r="{flat.radius:.0f}" {style} {thin}/>'
    points = " ".join(f"{u:.0f},{v:.0f}" for u, v in flat.points)
    if isinstance(flat, Polygon):
        return f'<polygon points="{points}" {style} {thin}/>'
    if isinstance(flat, Band) and not line:
        ink = "var(--line)" if "var(--line)" in style else "var(--ink)"
        return (f'<polyline points="{points}" fill="none" stroke="{ink}" stroke-width="{flat.width:.0f}"/>')
    assert isinstance(flat, Band | Path)
    return f'<polyline points="{points}" {style if line else "fill=" + chr(34) + "none" + chr(34)} {thin}/>'


def bay_label(name: str, worst: Verdict | None, tags: list[bool]) -> str:
    """What stands in one bay: its worst mark, its tag, its name."""
    marks = (mark(worst, 20) if worst is not None else "") + (tag_mark(all(tags)) if tags else "")
    return f'<span class="mk">{marks}</span><span class="nm">{esc(name)}</span>'
