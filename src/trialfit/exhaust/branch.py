"""A branch on a pipe: dump, bypass, second tail. Does it sit, how deep is its saddle, how long the hole and the weld?

The papers come from :func:`trialfit.exhaust.wraps.saddle_wrap`; here is what decides whether the cut can be made, and
where the branch lies in the vehicle. Left out: the weld's gap and pull, the wall's thickness where the branch is set on
at a slant. Source: geometry of two cylinders, from memory.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.chain import STRAIGHT, Chain, Element
from trialfit.exhaust.joints import Room, clock_way
from trialfit.exhaust.pieces import Wrap
from trialfit.exhaust.sides import clock_words, pointing
from trialfit.exhaust.wraps import saddle_wrap
from trialfit.findings import Finding, Place, Verdict, verdict_on
from trialfit.geometry.solids import Frustum, cylinder
from trialfit.geometry.unroll import saddle_height_mm
from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.sums import Ask, a_sum

Floats = NDArray[np.float64]

GEOMETRY = "geometry of two cylinders, from memory"
PRACTICE = "common practice, no source"
CROTCH_DEG = 30.0
"""Below this angle a torch does not reach the root of the weld on the acute side [deg]; common practice, no source."""
FEATHER_MM = 2.0
"""Where the run's wall is nearer than this to the tangent of the branch's side, the cut runs out to a feather edge
[mm]; common practice, no source."""
WELD_APART_MM = 15.0
"""From the hole's edge to the next weld, bend or part [mm]; common practice, no source."""
HOLD_MM = 25.0
"""Branch that must be left behind its saddle, to hold and to clamp [mm]; common practice, no source."""
CAUTION = ("an open dump blows hot gas and carbon monoxide under the vehicle: it may not point at fuel, brake lines, "
           "tyres or the floor, and local rules on noise and on where an exhaust ends come first")

_AROUND = (
    Ask("run", "length", "outside diameter of the run (the pipe branched into)"),
    Ask("branch", "length", "diameter of the branch that meets the run"),
    Ask("angle", "angle", "angle between the two axes", math.radians(90.0)),
    Ask("offset", "length", "how far the branch's axis passes beside the run's", 0.0),
)


def _extremes(value: Callable[[float], float]) -> tuple[float, float]:
    """Least and greatest of a smooth function of an angle round the branch."""
    from scipy.optimize import minimize_scalar  # late: it takes longer to load than a sum to work

    samples = np.linspace(0.0, math.tau, 145)
    values = np.array([value(float(a)) for a in samples])
    step = float(samples[1])
    found = []
    for sign in (1.0, -1.0):
        best = float(samples[int(np.argmin(sign * values))])
        near = minimize_scalar(lambda a, s=sign: s * value(float(a)), bounds=(best - step, best + step),
                               method="bounded", options={"xatol": 1e-10})
        found.append(sign * min(float(near.fun), float((sign * values).min())))
    return found[0], found[1]


@a_sum(
    "saddle-depth",
    title="Depth of a saddle cut",
    asks=_AROUND,
    gives="from the highest to the lowest place of the branch's cut, along the branch",
    dimension="length",
    unit="mm",
    words="greatest less least of the saddle's distance along the branch, all round it (sum saddle-cut)",
    source=GEOMETRY,
)
def saddle_depth(run: float, branch: float, angle: float = math.pi / 2, offset: float = 0.0) -> float:
    """Depth [mm] of the saddle, along the branch.

    Parameters
    ----------
    run, branch : float
        diameters [mm]
    angle : float
        between the axes, 20 to 160 deg [rad]
    offset : float
        distance between the axes where they pass [mm]

    Raises
    ------
    ValueError
        as :func:`trialfit.geometry.unroll.saddle_height_mm`

    Source: geometry of two cylinders, from memory.

    >>> round(saddle_depth(60.0, 40.0), 3)
    7.639
    """
    low, high = _extremes(lambda a: saddle_height_mm(run, branch, angle, offset, a))
    return high - low


@a_sum(
    "branch-hole-length",
    title="Length of the hole for a branch",
    asks=_AROUND,
    gives="length of the hole along the run",
    dimension="length",
    unit="mm",
    words="greatest less least place along the run of the curve in which the two pipes meet",
    source=GEOMETRY,
)
def branch_hole_length(run: float, branch: float, angle: float = math.pi / 2, offset: float = 0.0) -> float:
    """Length [mm] of the hole along the run.

    Parameters
    ----------
    run, branch : float
        diameters [mm]
    angle : float
        between the axes, 20 to 160 deg [rad]
    offset : float
        distance between the axes where they pass [mm]

    Raises
    ------
    ValueError
        as :func:`saddle_depth`

    Source: geometry of two cylinders, from memory.

    >>> round(branch_hole_length(60.0, 40.0, math.radians(30.0)), 6)
    80.0
    """
    low, high = _extremes(lambda a: _along_run(run, branch, angle, offset, a))
    return high - low


def _along_run(run: float, branch: float, angle: float, offset: float, around: float) -> float:
    height = saddle_height_mm(run, branch, angle, offset, around)
    return height * math.cos(angle) + branch / 2.0 * math.cos(around) * math.sin(angle)


@a_sum(
    "branch-hole-width",
    title="Width of the hole for a branch, round the run",
    asks=(_AROUND[0], _AROUND[1], _AROUND[3]),
    gives="width of the hole along the run's outside, round it",
    dimension="length",
    unit="mm",
    words="half the run * (asin((offset + branch/2) / (run/2)) - asin((offset - branch/2) / (run/2)))",
    source=GEOMETRY,
)
def branch_hole_width(run: float, branch: float, offset: float = 0.0) -> float:
    """Width [mm] of the hole, measured round the run's outside.

    Parameters
    ----------
    run, branch : float
        diameters [mm]
    offset : float
        distance between the axes where they pass [mm]

    Raises
    ------
    ValueError
        as :func:`saddle_depth`

    Source: geometry of two cylinders, from memory.

    >>> round(branch_hole_width(60.0, 60.0), 3)
    94.248
    """
    saddle_height_mm(run, branch, math.pi / 2.0, offset)
    big = run / 2.0

    def side(at: float) -> float:
        return math.asin(max(-1.0, min(1.0, at / big)))

    return big * (side(offset + branch / 2.0) - side(offset - branch / 2.0))


@a_sum(
    "branch-weld-length",
    title="Length of the weld round a branch",
    asks=_AROUND,
    gives="length of the curve in which the two pipes meet",
    dimension="length",
    unit="mm",
    words="the curve in space, added up in 3600 chords",
    source=GEOMETRY,
)
def branch_weld_length(run: float, branch: float, angle: float = math.pi / 2, offset: float = 0.0) -> float:
    """Length [mm] of the weld, as the curve in which the branch's outside meets the run's.

    Parameters
    ----------
    run, branch : float
        outside diameters [mm]
    angle : float
        between the axes, 20 to 160 deg [rad]
    offset : float
        distance between the axes where they pass [mm]

    Raises
    ------
    ValueError
        as :func:`saddle_depth`

    Source: geometry of two cylinders, from memory.

    >>> round(branch_weld_length(1000.0, 20.0), 2)
    62.83
    """
    points = meeting_curve(run, branch, angle, offset, 3600)
    return float(np.linalg.norm(np.diff(np.vstack((points, points[:1])), axis=0), axis=1).sum())


def meeting_curve(run_mm: float, branch_mm: float, angle_rad: float, offset_mm: float, count: int) -> Floats:
    """Points (count, 3) [mm] of the curve in which the outsides meet: x along the run towards the acute side, z towards
    the branch, y across, the crossing of the axes at the origin.

    Raises
    ------
    ValueError
        as :func:`saddle_depth`, or for fewer than 3 points
    """
    if count < 3:
        raise ValueError(f"a closed curve takes 3 points or more, not {count}")
    axis = np.array([math.cos(angle_rad), 0.0, math.sin(angle_rad)])
    acute = np.array([math.sin(angle_rad), 0.0, -math.cos(angle_rad)])
    side = np.array([0.0, 1.0, 0.0])
    points = []
    for around in np.arange(count) * (math.tau / count):
        height = saddle_height_mm(run_mm, branch_mm, angle_rad, offset_mm, float(around))
        out = math.cos(around) * acute + math.sin(around) * side
        points.append(offset_mm * side + height * axis + branch_mm / 2.0 * out)
    return np.array(points)


@dataclass(frozen=True, slots=True)
class Branch:
    """A branch on a chain.

    ``at_mm`` is where the axes cross (or pass) along the centre line, ``clock_rad`` the way it goes off (see
    :func:`trialfit.exhaust.joints.clock_way`), ``angle_rad`` the angle between its axis and the way downstream: below
    90 deg it leaves with the flow. ``offset_mm`` is how far its axis passes beside the run's, towards plus clock. It
    goes ``length_mm`` from the crossing of the axes to its square end. ``set_on``: it sits on the run's outside and is
    cut to its inside diameter; else it is let into the hole.
    """

    name: str
    at_mm: float
    clock_rad: float
    angle_rad: float
    diameter_mm: float
    wall_mm: float
    length_mm: float
    offset_mm: float = 0.0
    set_on: bool = True
    diameter_sd_mm: float = 0.0
    where: Place | None = None


@dataclass(frozen=True, slots=True, eq=False)
class BranchCut:
    """A branch as it is cut: papers of the branch and of the hole, depth of the saddle, hole, weld [mm], share of the
    run's bore that it takes [-], and where it lies: crossing of the axes ``start`` and square ``end`` (3,) [mm], and
    in words which way it goes off."""

    branch: Branch
    papers: tuple[Wrap, ...]
    depth_mm: float
    hole_length_mm: float
    hole_width_mm: float
    weld_mm: float
    area_share: float
    start: Floats
    end: Floats
    goes_off: str


def _element_at(chain: Chain, at_mm: float) -> Element:
    refuse_outside("place of the branch", at_mm, 0.0, chain.length_mm, "mm")
    return next(e for e in chain.elements if at_mm <= e.to_mm + 1e-9)


def branch_axis(chain: Chain, branch: Branch) -> tuple[Floats, Floats]:
    """Where a branch's axis passes the run's (3,) [mm] and its unit way outward (3,).

    Raises
    ------
    ValueError
        when it does not sit on straight pipe; the straights are named
    """
    element = _element_at(chain, branch.at_mm)
    if element.kind != STRAIGHT:
        straights = "; ".join(f"{e.from_mm:.0f} to {e.to_mm:.0f} mm" for e in chain.elements if e.kind == STRAIGHT)
        raise ValueError(f"{branch.name} sits on the {element.kind} {element.name}; a saddle is cut for straight pipe, "
                         f"which there is at {straights or 'no place'}")
    way = element.way_in
    place = element.start + (branch.at_mm - element.from_mm) * way
    out = clock_way(way, branch.clock_rad)
    aside = np.cross(out, way)
    axis: Floats = math.cos(branch.angle_rad) * way + math.sin(branch.angle_rad) * out
    return place + branch.offset_mm * aside, axis


def branch_solid(chain: Chain, branch: Branch) -> Frustum:
    """The branch outside the run as a round bar with flat ends, from the lowest place of its saddle to its end.

    Raises
    ------
    ValueError
        as :func:`branch_axis`, or as the saddle's cut
    """
    start, axis = branch_axis(chain, branch)
    run = _element_at(chain, branch.at_mm).outside_mm
    low, _ = _extremes(lambda a: saddle_height_mm(run, branch.diameter_mm, branch.angle_rad, branch.offset_mm, a))
    return cylinder(start + max(low, 0.0) * axis, start + branch.length_mm * axis, branch.diameter_mm / 2.0)


def branch_cut(chain: Chain, branch: Branch, paper_mm: float = 0.0) -> BranchCut:
    """The papers and figures of a branch.

    Parameters
    ----------
    chain : Chain
    branch : Branch
    paper_mm : float
        thickness of the paper [mm]

    Raises
    ------
    ValueError
        when it does not sit on straight pipe, is larger than the run, does not reach past its saddle, or its angle is
        outside 20 to 160 deg; :func:`branch_findings` says what would do
    """
    refuse_not_positive(branch=(branch.diameter_mm, "mm"), wall=(branch.wall_mm, "mm"))
    start, axis = branch_axis(chain, branch)
    run = _element_at(chain, branch.at_mm)
    bore, run_bore = branch.diameter_mm - 2.0 * branch.wall_mm, run.outside_mm - 2.0 * run.wall_mm
    if bore <= 0.0:
        raise ValueError(f"a wall of {branch.wall_mm:g} mm cannot be in a branch of {branch.diameter_mm:g} mm")
    fit = bore if branch.set_on else None
    shape = (run.outside_mm, branch.diameter_mm, branch.angle_rad, branch.offset_mm)
    met = branch.diameter_mm if fit is None else fit
    way = run.way_in
    side = pointing(clock_way(way, branch.clock_rad))
    goes_off = f"{clock_words(branch.clock_rad, way)}, to the vehicle's {side}" if side in ("left", "right") else \
        f"{clock_words(branch.clock_rad, way)}, {side}"
    place = (f"Axes cross {branch.at_mm:.1f} mm from the outlet along the middle of the pipe, in {run.name}; the "
             f"branch goes off {goes_off}.")
    pipe, hole_in = saddle_wrap(*shape, branch.length_mm, f"{chain.route} {branch.name}", fit, paper_mm)
    acute = "downstream" if branch.angle_rad <= 0.5 * math.pi + 1e-9 else "upstream, against the flow"
    papers = (replace(pipe, notes=(*pipe.notes, place)),
              replace(hole_in, up=f"along the run, {acute}", notes=(*hole_in.notes, place)))
    hole = (run.outside_mm, met, branch.angle_rad, branch.offset_mm)
    return BranchCut(branch, papers, saddle_depth(*hole), branch_hole_length(*hole),
                     branch_hole_width(run.outside_mm, met, branch.offset_mm), branch_weld_length(*shape),
                     (bore / run_bore) ** 2, start, start + branch.length_mm * axis, goes_off)


def branch_findings(chain: Chain, branch: Branch, room: Room | None = None) -> tuple[Finding, ...]:
    """Whether a branch can be cut, welded and held, and what would do where it cannot.

    Parameters
    ----------
    chain : Chain
    branch : Branch
    room : callable or None
        room of a solid against everything but this exhaust [mm]; None leaves out whether it touches anything

    Source: geometry of two cylinders, from memory; common practice, no source.
    """
    base = f"exhaust.{chain.route}.branch.{branch.name.replace(' ', '-')}"
    where = branch.where
    try:
        branch_axis(chain, branch)
    except ValueError as refused:
        return (Finding(f"{base}.place", Verdict.DOES_NOT_FIT, str(refused), "move it on to a straight",
                        source=GEOMETRY, where=where),)
    run = _element_at(chain, branch.at_mm)
    found = [_size(base, branch, run), *_angle(base, branch)]
    if any(f.verdict is Verdict.DOES_NOT_FIT for f in found):
        return tuple(found)
    heights = _extremes(lambda a: saddle_height_mm(run.outside_mm, branch.diameter_mm, branch.angle_rad,
                                                   branch.offset_mm, a))
    spare = branch.length_mm - heights[1] - HOLD_MM
    found.append(Finding(
        f"{base}.length", Verdict.FITS if spare >= 0.0 else Verdict.DOES_NOT_FIT,
        f"{branch.length_mm - heights[1]:.1f} mm of {branch.name} are left behind its saddle",
        "" if spare >= 0.0 else
        f"make it {branch.length_mm - spare:.0f} mm long or more, from the crossing of the axes",
        spare, None, "mm", f"at least {HOLD_MM:g} mm behind the saddle", PRACTICE, where))
    found.append(_on_straight(base, chain, branch, run))
    if room is not None:
        left = room(branch_solid(chain, branch))
        found.append(Finding(
            f"{base}.room", Verdict.FITS if left > 0.0 else Verdict.DOES_NOT_FIT,
            f"{branch.name} has nothing near it" if math.isinf(left) else
            f"{branch.name} is {left:.0f} mm clear" if left > 0.0 else
            f"{branch.name} meets something by {-left:.0f} mm",
            "" if left > 0.0 else "turn it round the pipe, or make it shorter",
            left if math.isfinite(left) else None, None, "mm",
            "clear of everything", GEOMETRY, where, caution=CAUTION))
    return tuple(found)


def _size(base: str, branch: Branch, run: Element) -> Finding:
    """The branch must not stand out past the side of the run."""
    spare = (run.outside_mm - branch.diameter_mm) / 2.0 - abs(branch.offset_mm)
    # half the difference of the diameters: half the doubt of the branch's
    sd = branch.diameter_sd_mm / 2.0
    verdict = verdict_on(spare, spare, 0.0, sd)
    words = f"{branch.name} of {branch.diameter_mm:.1f} mm on pipe of {run.outside_mm:.1f} mm"
    if branch.offset_mm:
        words += f", {abs(branch.offset_mm):.1f} mm beside its axis"
    remedy = ""
    if branch.diameter_mm > run.outside_mm:
        remedy = f"a branch of {run.outside_mm:.1f} mm at most sits on this pipe; reduce it with a cone"
    elif spare < 0.0:
        most = (run.outside_mm - branch.diameter_mm) / 2.0
        remedy = f"let its axis pass {most:.1f} mm beside the run's at most"
    if verdict is Verdict.FITS and spare < FEATHER_MM:
        verdict = Verdict.FITS_AFTER_WORK
        remedy = "the sides of the cut run out thin: grind them back to the full wall before welding"
    return Finding(f"{base}.size", verdict, words + (f": it stands out {-spare:.1f} mm past its side" if spare < 0.0
                                                     else f": {spare:.1f} mm inside its side"),
                   remedy, spare, sd, "mm", "the branch stays within the run's width", GEOMETRY, branch.where)


def _angle(base: str, branch: Branch) -> list[Finding]:
    degrees = math.degrees(branch.angle_rad)
    sharp = min(degrees, 180.0 - degrees)
    name = f"{base}.angle"
    if sharp < 20.0:
        return [Finding(name, Verdict.DOES_NOT_FIT, f"{branch.name} leaves at {degrees:.1f} deg",
                        "the saddle is reckoned and cut from 20 to 160 deg: open the angle", sharp - 20.0, None,
                        "deg", source=GEOMETRY, where=branch.where)]
    if sharp < CROTCH_DEG:
        return [Finding(name, Verdict.FITS_AFTER_WORK, f"{branch.name} leaves at {degrees:.1f} deg",
                        f"below {CROTCH_DEG:g} deg the torch does not reach the root on the acute side: weld that side "
                        "from within, through the hole, or open the angle", sharp - CROTCH_DEG, None, "deg",
                        source=PRACTICE, where=branch.where)]
    return [Finding(name, Verdict.FITS, f"{branch.name} leaves at {degrees:.1f} deg", margin=sharp - CROTCH_DEG,
                    unit="deg", source=PRACTICE, where=branch.where)]


def _on_straight(base: str, chain: Chain, branch: Branch, run: Element) -> Finding:
    """The hole must lie on the straight, clear of its ends and of the welds."""
    met = branch.diameter_mm
    low, high = _extremes(lambda a: _along_run(run.outside_mm, met, branch.angle_rad, branch.offset_mm, a))
    first, last = branch.at_mm + low, branch.at_mm + high
    marks = [run.from_mm, run.to_mm, *(w.at_mm for w in chain.welds if run.from_mm < w.at_mm < run.to_mm)]
    before = max((m for m in marks if m <= branch.at_mm), default=run.from_mm)
    behind = min((m for m in marks if m >= branch.at_mm), default=run.to_mm)
    apart = min(first - before, behind - last)
    spare = apart - WELD_APART_MM
    remedy = ""
    if spare < 0.0:
        low_at, high_at = before + WELD_APART_MM - low, behind - WELD_APART_MM - high
        remedy = (f"move it to {min(max(branch.at_mm, low_at), high_at):.0f} mm along the centre line"
                  if low_at <= high_at else
                  f"this straight is {low_at - high_at:.0f} mm too short for it: take a longer one")
    return Finding(f"{base}.straight", Verdict.FITS if spare >= 0.0 else Verdict.DOES_NOT_FIT,
                   f"{branch.name} reaches from {first:.0f} to {last:.0f} mm along the pipe, {apart:.1f} mm from the "
                   "next weld, bend or part", remedy, spare, None, "mm",
                   f"at least {WELD_APART_MM:g} mm from weld, bend, part", PRACTICE, branch.where)
