"""Where the exhaust may come apart: straight pipe for the clamp, room for the spanner, size of the joint, and where two
joints let a muffler be changed for straight pipe.

In: the chain of the route, how each joint comes apart, and, from outside, how much room a solid has there. Out:
findings for the joints there are, stretches where joints may sit, the chain with a joint moved. Left out: whether a
section can be taken out past what is round it, which is :mod:`trialfit.exhaust.removal`. Sources: the rules, each with
its own; geometry.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.chain import JOINT, STRAIGHT, Chain, Element
from trialfit.findings import Finding, Place, Verdict, verdict_on
from trialfit.geometry.solids import Frustum, Solid, cylinder
from trialfit.standards import refuse_not_positive, refuse_outside, rule
from trialfit.standards.pipe_joints import PipeSize, v_band_sizes
from trialfit.sums import Ask, a_sum

Floats = NDArray[np.float64]
Room = Callable[[Solid], float]
"""How far a solid in the vehicle's frame is from the nearest thing that is not this exhaust [mm], below 0 inside it."""

EXCHANGED = ("muffler", "resonator", "catalyst")
PRACTICE = "common practice, no source"
WRENCH_MM = 120.0
"""How long the tool on a clamp's nut is reckoned [mm]; common practice, no source."""
WRENCH_WIDE_MM = 26.0
"""Diameter that the tool on a clamp's nut takes up [mm]; common practice, no source."""
NUT_OUT_MM = 15.0
"""How far outside the joint's body the middle of a clamp's nut lies [mm]; common practice, no source."""
LOWEST_DEG = 45.0
"""A nut nearer to the bottom than this is the first thing to touch the ground [deg]; common practice, no source."""
BESIDE_LINE_MM = 50.0
"""How far beside a joint or a sensor, seen from above, a line still counts as below it [mm]; common practice, no
source."""
_CLOCKS = 36
_NEAR_MM = 1e-6


class Apart(StrEnum):
    """How a joint comes apart."""

    CLAMP = "clamp"
    V_BAND = "V-band"
    SLIP = "slip joint"
    FLANGE = "flange"


@dataclass(frozen=True, slots=True)
class JointSaid:
    """What the builder says of one joint of the chain: its name there, how it comes apart, and for a slip joint how far
    one pipe goes into the other [mm] with its standard deviation, None where nobody said."""

    name: str
    apart: Apart
    overlap_mm: float | None = None
    overlap_sd_mm: float = 0.0
    where: Place | None = None


@dataclass(frozen=True, slots=True, eq=False)
class LineAt:
    """A fuel or brake line as a chain of points (n, 3) [mm]."""

    name: str
    points: Floats


@dataclass(frozen=True, slots=True)
class Stretch:
    """From and to along the centre line, counted from the outlet [mm]."""

    from_mm: float
    to_mm: float


@dataclass(frozen=True, slots=True)
class Exchange:
    """How a part is changed for straight pipe: joints that begin at ``before_mm`` and ``after_mm`` along the centre
    line, and the pipe to put between them, ``pipe_mm`` long along it. ``bends`` between the joints go with the part."""

    part: str
    before_mm: float
    after_mm: float
    pipe_mm: float
    bends: int


def runs(chain: Chain) -> tuple[Stretch, ...]:
    """Stretches of straight round pipe, between bends and parts.

    A corner that does not turn parts nothing."""
    found: list[Stretch] = []
    for element in chain.elements:
        if element.kind != STRAIGHT:
            continue
        if found and abs(found[-1].to_mm - element.from_mm) < _NEAR_MM:
            found[-1] = Stretch(found[-1].from_mm, element.to_mm)
        else:
            found.append(Stretch(element.from_mm, element.to_mm))
    return tuple(found)


def straight_beside_mm(chain: Chain, name: str) -> tuple[float, float]:
    """Straight round pipe before and behind a joint or part [mm].

    Raises
    ------
    ValueError
        when the chain has nothing of that name
    """
    element = _named(chain, name)
    before = sum(r.to_mm - r.from_mm for r in runs(chain) if abs(r.to_mm - element.from_mm) < _NEAR_MM)
    behind = sum(r.to_mm - r.from_mm for r in runs(chain) if abs(r.from_mm - element.to_mm) < _NEAR_MM)
    return float(before), float(behind)


def _named(chain: Chain, name: str) -> Element:
    for element in chain.elements:
        if element.is_part and element.name == name:
            return element
    parts = ", ".join(e.name for e in chain.elements if e.is_part) or "no parts"
    raise ValueError(f"{chain.route} has no part called '{name}'; it has {parts}")


def joint_stretches(chain: Chain, length_mm: float, straight_mm: float) -> tuple[Stretch, ...]:
    """Where a joint of that length may begin: on straight pipe with so much of it left on both sides.

    Parameters
    ----------
    chain : Chain
    length_mm : float
        of the joint along the pipe [mm]
    straight_mm : float
        straight pipe wanted on either side [mm]

    Raises
    ------
    ValueError
        for a length or a straight below 0 mm or above 1000 mm
    """
    refuse_outside("length of the joint", length_mm, 0.0, 1000.0, "mm")
    refuse_outside("straight beside the joint", straight_mm, 0.0, 1000.0, "mm")
    found = []
    for run in runs(chain):
        first, last = run.from_mm + straight_mm, run.to_mm - straight_mm - length_mm
        if last >= first - _NEAR_MM:
            found.append(Stretch(first, max(first, last)))
    return tuple(found)


def with_joint(chain: Chain, name: str, at_mm: float, length_mm: float, wide_mm: float,
               mass_kg: float | None = None) -> Chain:
    """The chain with a joint more, which begins ``at_mm`` from the outlet, on straight pipe. The welds stay as they
    were: lay the route anew for its cut list.

    Parameters
    ----------
    chain : Chain
    name : str
    at_mm : float
        where it begins along the centre line [mm]
    length_mm, wide_mm : float
        length and outside diameter of the joint [mm]
    mass_kg : float or None
        of the joint, None while nobody weighed it [kg]

    Raises
    ------
    ValueError
        when it does not lie on one straight; the stretches that would do are named
    """
    refuse_not_positive(length_of_the_joint=(length_mm, "mm"), width_of_the_joint=(wide_mm, "mm"))
    for k, element in enumerate(chain.elements):
        inside = (element.kind == STRAIGHT and element.from_mm - _NEAR_MM <= at_mm
                  and at_mm + length_mm <= element.to_mm + _NEAR_MM)
        if not inside:
            continue
        off = max(at_mm - element.from_mm, 0.0)
        way = element.way_in
        start = element.start + off * way
        end = start + length_mm * way
        per_mm = None if element.mass_kg is None else element.mass_kg / element.length_mm
        put: list[Element] = []
        if off > _NEAR_MM:
            put.append(_piece(element, element.from_mm, off, element.start, start, per_mm))
        put.append(replace(element, name=name, kind=JOINT, from_mm=at_mm, length_mm=length_mm, start=start, end=end,
                           mass_kg=mass_kg, width_mm=wide_mm, height_mm=wide_mm,
                           wide=_across(way), loss=None))
        rest = element.to_mm - at_mm - length_mm
        if rest > _NEAR_MM:
            put.append(_piece(element, at_mm + length_mm, rest, end, element.end, per_mm))
        return replace(chain, elements=(*chain.elements[:k], *put, *chain.elements[k + 1:]))
    places = "; ".join(f"{s.from_mm:.0f} to {s.to_mm:.0f} mm" for s in joint_stretches(chain, length_mm, 0.0))
    raise ValueError(f"a joint of {length_mm:g} mm cannot begin at {at_mm:.0f} mm: it would leave the straight; "
                     + (f"it can begin at {places}" if places else "no straight of the pipe is long enough"))


def _across(way: Floats) -> Floats:
    level = np.cross(way, (0.0, 0.0, 1.0))
    size = float(np.linalg.norm(level))
    across: Floats = np.array([0.0, 1.0, 0.0]) if size < 1e-9 else level / size
    return across


def _piece(element: Element, from_mm: float, length: float, start: Floats, end: Floats,
           per_mm: float | None) -> Element:
    return replace(element, from_mm=from_mm, length_mm=length, start=start, end=end,
                   mass_kg=None if per_mm is None else per_mm * length)


def without_joint(chain: Chain, name: str) -> Chain:
    """The chain with plain pipe in place of a joint.

    Raises
    ------
    ValueError
        when there is no such joint
    """
    element = _named(chain, name)
    if element.kind != JOINT:
        raise ValueError(f"{name} is a {element.kind} and no joint")
    k = next(i for i, e in enumerate(chain.elements) if e is element)
    first = last = k
    pipes = [e for e in (chain.elements[k - 1] if k else None,
                         chain.elements[k + 1] if k + 1 < len(chain.elements) else None)
             if e is not None and e.kind == STRAIGHT]
    if k and chain.elements[k - 1].kind == STRAIGHT:
        first = k - 1
    if k + 1 < len(chain.elements) and chain.elements[k + 1].kind == STRAIGHT:
        last = k + 1
    a, b = chain.elements[first], chain.elements[last]
    weighed = [e for e in chain.elements if e.kind == STRAIGHT and e.mass_kg is not None and e.length_mm > 0.0]
    length = b.to_mm - a.from_mm
    mass = weighed[0].mass_kg / weighed[0].length_mm * length if weighed and weighed[0].mass_kg is not None else None
    pipe = replace(element, name=pipes[0].name if pipes else "straight", kind=STRAIGHT, from_mm=a.from_mm,
                   length_mm=length, start=a.start, end=b.end, mass_kg=mass, width_mm=0.0, height_mm=0.0, wide=None,
                   loss=None)
    return replace(chain, elements=(*chain.elements[:first], pipe, *chain.elements[last + 1:]))


def moved_joint(chain: Chain, name: str, to_mm: float) -> Chain:
    """The chain with a joint moved along it, to begin ``to_mm`` from the outlet; raises as :func:`with_joint`."""
    old = _named(chain, name)
    return with_joint(without_joint(chain, name), name, to_mm, old.length_mm, old.width_mm, old.mass_kg)


@a_sum(
    "slip-joint-overlap",
    title="Overlap of a slip joint by the diameter",
    asks=(
        Ask("outside", "length", "outside diameter of the pipe that goes in"),
        Ask("times", "number", "how many diameters go in", 1.0),
    ),
    gives="how far one pipe goes into the other",
    dimension="length",
    unit="mm",
    words="outside diameter * times",
    source=PRACTICE,
    caution="Slots in the socket must end under the clamp, or the joint leaks exhaust gas: carbon monoxide kills.",
)
def slip_joint_overlap(outside: float, times: float) -> float:
    """Overlap [mm] of a slip joint as a multiple of the pipe's diameter.

    Parameters
    ----------
    outside : float
        outside diameter [mm]
    times : float
        0.5 to 3 [-]

    Raises
    ------
    ValueError
        for an amount out of range

    Source: common practice, no source.

    >>> slip_joint_overlap(63.5, 1.0)
    63.5
    """
    refuse_not_positive(outside=(outside, "mm"))
    refuse_outside("times", times, 0.5, 3.0, "")
    return outside * times


def v_band_for(outside_mm: float) -> tuple[PipeSize, float]:
    """The V-band made for the tube nearest to an outside diameter, and how much its tube is larger [mm].

    Parameters
    ----------
    outside_mm : float
        outside diameter of the pipe [mm]

    Raises
    ------
    ValueError
        for a diameter that is not more than 0 mm

    >>> size, step = v_band_for(63.4)
    >>> size.name, round(step, 2)
    ('2-1/2 in', 0.1)
    """
    refuse_not_positive(outside=(outside_mm, "mm"))
    size = min(v_band_sizes(), key=lambda p: abs(p.outside_mm - outside_mm))
    return size, size.outside_mm - outside_mm


def clock_way(way: Floats, clock_rad: float) -> Floats:
    """Unit direction (3,) square to the pipe at a clock angle [rad]: 0 is up, plus is clockwise looking against the
    flow, which is towards the vehicle's right on a pipe that runs rearward. On a pipe that stands upright, 0 is towards
    the vehicle's front.

    >>> clock_way(np.array([1.0, 0.0, 0.0]), math.pi / 2).round(6).tolist()
    [0.0, 1.0, 0.0]
    """
    up = np.array([0.0, 0.0, 1.0]) - way[2] * way
    size = float(np.linalg.norm(up))
    if size < 1e-6:
        up = np.array([-1.0, 0.0, 0.0]) + way[0] * way
        size = float(np.linalg.norm(up))
    up = up / size
    direction: Floats = math.cos(clock_rad) * up + math.sin(clock_rad) * np.cross(up, way)
    return direction


def nut_tool(element: Element, clock_rad: float, wrench_mm: float = WRENCH_MM) -> Frustum:
    """What the tool on a clamp's nut takes up: a round bar along the tangent, the nut at one end of it.

    Parameters
    ----------
    element : Element
        the joint
    clock_rad : float
        where the nut is, see :func:`clock_way` [rad]
    wrench_mm : float
        length of the tool [mm]
    """
    out = clock_way(element.way_in, clock_rad)
    reach = max(element.width_mm, element.outside_mm) / 2.0 + NUT_OUT_MM + WRENCH_WIDE_MM / 2.0
    nut = (element.start + element.end) / 2.0 + reach * out
    along = np.cross(element.way_in, out)
    return cylinder(nut, nut + wrench_mm * along, WRENCH_WIDE_MM / 2.0)


def nut_clocks(element: Element, room: Room, wrench_mm: float = WRENCH_MM) -> tuple[float, ...]:
    """Clock angles, in steps of 10 deg [rad], at which a tool has room on the nut and the nut is not the lowest thing.
    The nut may be turned either way round; the better of the two is taken."""
    found = []
    for k in range(_CLOCKS):
        clock = math.radians(10.0 * k - 170.0)
        if abs(clock) > math.pi - math.radians(LOWEST_DEG) + 1e-9:
            continue
        tool = nut_tool(element, clock, wrench_mm)
        other = cylinder(tool.start, 2.0 * tool.start - tool.end, WRENCH_WIDE_MM / 2.0)
        if max(room(tool), room(other)) >= 0.0:
            found.append(clock)
    return tuple(found)


def lines_below(place: Floats, lines: Sequence[LineAt], reach_mm: float) -> tuple[str, ...]:
    """Lines that run below a place, within ``reach_mm`` of it seen from above [mm]."""
    found = []
    for line in lines:
        a, b = line.points[:-1], line.points[1:]
        along = b - a
        flat = np.maximum(np.sum(along[:, :2] ** 2, axis=1), 1e-12)
        t = np.clip(np.sum((place[:2] - a[:, :2]) * along[:, :2], axis=1) / flat, 0.0, 1.0)
        near = a + t[:, None] * along
        aside = np.linalg.norm(near[:, :2] - place[:2], axis=1)
        if np.any((aside <= reach_mm) & (np.minimum(np.minimum(a[:, 2], b[:, 2]), near[:, 2]) < place[2])):
            found.append(line.name)
    return tuple(found)


def spoken_clocks(clocks: Sequence[float], step_deg: float = 10.0) -> str:
    """Clock angles as ranges for a person, degrees from the top, plus clockwise looking against the
    flow.

    >>> spoken_clocks([math.radians(v) for v in (-20, -10, 0, 30)])
    '-20 to 0 deg, 30 deg'
    """
    degrees = sorted(round(math.degrees(c)) for c in clocks)
    ranges: list[list[int]] = []
    for value in degrees:
        if ranges and value - ranges[-1][1] <= step_deg + 0.5:
            ranges[-1][1] = value
        else:
            ranges.append([value, value])
    return ", ".join(f"{a} deg" if a == b else f"{a} to {b} deg" for a, b in ranges)


def joint_findings(
    chain: Chain, said: Sequence[JointSaid], *, room: Room | None = None, lines: Sequence[LineAt] = (),
    choices: Mapping[str, str] | None = None, doubt_mm: float | None = 0.0, outside_sd_mm: float = 0.0,
    where: Place | None = None,
) -> tuple[Finding, ...]:
    """What can be told of every joint of a chain.

    Parameters
    ----------
    chain : Chain
    said : sequence of JointSaid
        how each comes apart; a joint that nobody speaks of is a clamp or V-band that cannot be told
    room : callable or None
        room of a solid against everything but this exhaust; None leaves the spanner's room untold
    lines : sequence of LineAt
        fuel and brake lines
    choices : mapping
        rule to version
    doubt_mm : float or None
        standard deviation of a length along the centre line, None when it is not known [mm]
    outside_sd_mm : float
        standard deviation of the pipe's diameter [mm]

    Raises
    ------
    ValueError
        when somebody speaks of a joint that is not there, or a rule has no such version
    """
    chosen = dict(choices or {})
    told = {s.name: s for s in said}
    joints = [e for e in chain.elements if e.kind == JOINT]
    for one in said:
        if one.name not in {e.name for e in joints}:
            _named(chain, one.name)
            raise ValueError(f"{one.name} of {chain.route} is no joint")
    found: list[Finding] = []
    for element in joints:
        known = told.get(element.name)
        place = where if known is None else known.where or where
        base = f"exhaust.{chain.route}.joint.{element.name.replace(' ', '-')}"
        found.append(_straight(chain, element, base, chosen, doubt_mm, place))
        if known is None:
            found.append(Finding(f"{base}.kind", Verdict.CANNOT_TELL,
                                 f"nobody says how {element.name} comes apart",
                                 "say clamp, V-band, slip joint or flange", where=place))
        elif known.apart is Apart.V_BAND:
            found.append(_v_band(element, base, chosen, outside_sd_mm, place))
        elif known.apart is Apart.SLIP:
            found.append(_overlap(element, known, base, chosen, place))
        if room is not None:
            found.append(_spanner(element, room, base, place))
        below = lines_below((element.start + element.end) / 2.0, lines,
                            max(element.width_mm, element.outside_mm) / 2.0 + BESIDE_LINE_MM)
        if lines:
            words = (f"{element.name} lies above {' and '.join(below)}" if below else
                     f"no line runs below {element.name}")
            found.append(Finding(
                f"{base}.line-below", Verdict.DOES_NOT_FIT if below else Verdict.FITS, words,
                "move the joint: a leak there blows hot gas at the line" if below else "",
                rule=f"no joint within {BESIDE_LINE_MM:g} mm above a fuel or brake line", source=PRACTICE, where=place))
    return tuple(found)


def _straight(chain: Chain, element: Element, base: str, chosen: Mapping[str, str], doubt: float | None,
              where: Place | None) -> Finding:
    asked = rule("straight-at-clamp", chosen.get("straight-at-clamp"))
    before, behind = straight_beside_mm(chain, element.name)
    least = min(before, behind)
    margin = least - asked.in_force.value
    verdict = verdict_on(least, least, asked.in_force.value, doubt)
    others = "; ".join(f"{v.label}: {'enough' if least >= v.value else 'too short'}"
                       for v in asked.versions if v != asked.in_force)
    places = joint_stretches(without_joint(chain, element.name), element.length_mm, asked.in_force.value)
    remedy = ""
    if verdict is not Verdict.FITS:
        near = _nearest(places, element.from_mm)
        remedy = ("no straight of this pipe is long enough: lay a longer one" if near is None else
                  f"let it begin {near:.0f} mm from the outlet, {abs(near - element.from_mm):.0f} mm "
                  f"{'further' if near > element.from_mm else 'nearer'}")
    return Finding(f"{base}.straight", verdict,
                   f"{element.name} has {before:.0f} mm of straight pipe before it and {behind:.0f} mm behind it, "
                   f"{asked.in_force.label} asked for" + (f" ({others})" if others else ""),
                   remedy, margin, doubt, "mm", asked.quantity, asked.in_force.source, where)


def _nearest(places: Sequence[Stretch], at_mm: float) -> float | None:
    """The allowed beginning nearest to ``at_mm``."""
    if not places:
        return None
    return min((min(max(at_mm, s.from_mm), s.to_mm) for s in places), key=lambda v: abs(v - at_mm))


def _v_band(element: Element, base: str, chosen: Mapping[str, str], sd: float, where: Place | None) -> Finding:
    asked = rule("v-band-tube-difference", chosen.get("v-band-tube-difference"))
    size, step = v_band_for(element.outside_mm)
    margin = asked.in_force.value - abs(step)
    verdict = verdict_on(margin, margin, 0.0, sd)
    return Finding(
        f"{base}.v-band", verdict,
        f"the nearest V-band for pipe of {element.outside_mm:.1f} mm is {size.name}, for {size.outside_mm:g} mm",
        "" if verdict is Verdict.FITS else
        f"set a cone or an expanded end between, or ask for halves made for {element.outside_mm:.1f} mm",
        margin, sd, "mm", asked.quantity, asked.in_force.source, where)


def _overlap(element: Element, said: JointSaid, base: str, chosen: Mapping[str, str], where: Place | None) -> Finding:
    asked = rule("slip-joint-overlap", chosen.get("slip-joint-overlap"))
    name = f"{base}.overlap"
    if said.overlap_mm is None:
        return Finding(name, Verdict.CANNOT_TELL, f"nobody says how far the pipe goes into {element.name}",
                       "measure it, or mark it on the pipe that goes in", unit="mm", where=where)
    times = rule("slip-joint-overlap-diameters", chosen.get("slip-joint-overlap-diameters")).in_force
    by_size = slip_joint_overlap(element.outside_mm, times.value)
    verdict = verdict_on(said.overlap_mm, said.overlap_mm, asked.in_force.value, said.overlap_sd_mm)
    versions = "; ".join([*(v.label for v in asked.versions if v != asked.in_force),
                          f"{times.label}: {by_size:.0f} mm"])
    return Finding(name, verdict,
                   f"{said.overlap_mm:.0f} mm of pipe go into {element.name}, {asked.in_force.label} asked for "
                   f"({versions})",
                   "" if verdict is Verdict.FITS else
                   f"let the pipe go in {asked.in_force.value:g} mm; end the slots under the clamp",
                   said.overlap_mm - asked.in_force.value, said.overlap_sd_mm, "mm", asked.quantity,
                   asked.in_force.source, where)


def _spanner(element: Element, room: Room, base: str, where: Place | None) -> Finding:
    clocks = nut_clocks(element, room)
    name, rule_ = f"{base}.spanner", f"{WRENCH_MM:g} mm of tool, {WRENCH_WIDE_MM:g} mm across, along the tangent"
    if clocks:
        return Finding(name, Verdict.FITS,
                       f"the nut of {element.name} can be reached at {spoken_clocks(clocks)} from the top, plus "
                       "clockwise looking against the flow", "turn the clamp so before it is tightened", rule=rule_,
                       source=PRACTICE, where=where)
    return Finding(name, Verdict.DOES_NOT_FIT, f"no place for the nut of {element.name} leaves room for a tool",
                   "move the joint along the pipe", rule=rule_, source=PRACTICE, where=where)


def exchanges(chain: Chain, joint_mm: float, straight_mm: float) -> tuple[Exchange, ...]:
    """For every muffler, resonator and catalyst, the nearest places for a joint before and behind it.

    Where a place on the part's own straight is to be had it is taken, so that what goes in instead is straight pipe.

    Parameters
    ----------
    chain : Chain
    joint_mm : float
        length of a joint along the pipe [mm]
    straight_mm : float
        straight pipe wanted on either side of it [mm]

    Raises
    ------
    ValueError
        as :func:`joint_stretches`
    """
    places = joint_stretches(chain, joint_mm, straight_mm)
    found = []
    for element in chain.elements:
        if element.kind not in EXCHANGED:
            continue
        before = max((s.to_mm for s in places if s.to_mm + joint_mm <= element.from_mm + _NEAR_MM), default=None)
        behind = min((s.from_mm for s in places if s.from_mm >= element.to_mm - _NEAR_MM), default=None)
        if before is None or behind is None:
            continue
        between = [e for e in chain.elements
                   if e.from_mm >= before and e.to_mm <= behind and not e.is_part and e.kind != STRAIGHT]
        found.append(Exchange(element.name, before, behind, behind - before - joint_mm, len(between)))
    return tuple(found)


def exchange_findings(chain: Chain, joint_mm: float, choices: Mapping[str, str] | None = None,
                      where: Place | None = None) -> tuple[Finding, ...]:
    """For every muffler, resonator and catalyst, whether two joints can be set so that straight pipe takes its place;
    parameters as :func:`exchanges`, the straight by its rule."""
    asked = rule("straight-at-clamp", dict(choices or {}).get("straight-at-clamp"))
    known = {e.part: e for e in exchanges(chain, joint_mm, asked.in_force.value)}
    found = []
    for element in chain.elements:
        if element.kind not in EXCHANGED:
            continue
        name = f"exhaust.{chain.route}.exchange.{element.name.replace(' ', '-')}"
        one = known.get(element.name)
        if one is None:
            short = joint_mm + 2.0 * asked.in_force.value
            found.append(Finding(name, Verdict.DOES_NOT_FIT,
                                 f"{element.name} cannot be changed for pipe: there is no straight of {short:.0f} mm "
                                 "on both sides of it", f"leave {short:.0f} mm of straight pipe before and behind it",
                                 rule=asked.quantity, source=asked.in_force.source, where=where))
            continue
        bends = f"with {one.bends} bends" if one.bends > 1 else "with 1 bend" if one.bends else "straight"
        found.append(Finding(name, Verdict.FITS,
                             f"with joints that begin {one.before_mm:.0f} mm and {one.after_mm:.0f} mm from the "
                             f"outlet, {element.name} is changed for {one.pipe_mm:.0f} mm of pipe, {bends}",
                             rule=asked.quantity, source=asked.in_force.source, where=where))
    return tuple(found)
