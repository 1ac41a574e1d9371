"""Can each section of the exhaust be taken out, and put back, with the vehicle on stands?

A section is what lies between two joints that come apart. It is moved as one rigid thing past everything else, first by
a few plain moves (slide, drop, turn), then, where they do not free it, by a general motion planner. Every move of an
answer is certified as a whole, not at samples: the smallest gap over the continuous move has a lower bound. What comes
out goes back in by the same moves in reverse.

"Not found" is no proof: a section is called trapped only when a ball that lies inside it cannot leave the space it is
in, which no turning helps.

Source: J. Kuffner and S. LaValle, RRT-Connect, ICRA 2000 (from memory), by the Open Motion Planning Library; the rest
geometry.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.apart import bend_points, moved, posed, section_solids
from trialfit.exhaust.caged import ball_is_caged
from trialfit.exhaust.chain import BEND, JOINT, PIE_CUT, Chain, Element, section_name, sections
from trialfit.exhaust.joints import joint_stretches, moved_joint, with_joint, without_joint
from trialfit.exhaust.way_out import NONE, START, Group, Scene, Step, after, lying, move_words, plain_way, planned_way
from trialfit.findings import Finding, Place, Verdict
from trialfit.geometry import Domain, Rigid, certified_gap
from trialfit.geometry.solids import Box, Solid, TriangleMesh, bounds

__all__ = ["Answer", "Budget", "FreeingPlace", "Obstacle", "Removal", "Stand", "Step", "findings", "freeing_finding",
           "freeing_place", "posed", "remove", "remove_all"]

Floats = NDArray[np.float64]

CAUTION = ("work under a vehicle only on stands on firm level ground, never on a jack alone; let the exhaust cool; "
           "hold or prop a section before its last joint is opened: local rules and licensed practice come first")
TIGHT = 0.5
"""Where a section is fitted nearer to a thing than the gap asked for while it is moved, this share of that gap is asked
for instead."""
AGAIN_MM = 1e-3
"""How far below the gap asked for a way may come out when it is checked again: rounding [mm]."""
_STILL = Domain(np.zeros(3), np.zeros(3))
_FLOOR = "the floor"
_FLOOR_DEEP_MM = 500.0
_FLOOR_WIDE_MM = 20_000.0


class Answer(StrEnum):
    """Whether a section comes out."""

    FREE = "free"
    TRAPPED = "trapped"
    NOT_FOUND = "not found in the budget"
    MEETS = "meets something where it is fitted"
    NO_ROOM = "no room under the vehicle"


@dataclass(frozen=True, slots=True, eq=False)
class Obstacle:
    """Something a section must not touch on its way, its ``solids`` where they are at the pose asked about (see
    :func:`posed`).

    ``aside``: it stands beside the way out and need not be passed below (wheel, tyre, brake drum). ``joined_to`` are
    numbers of sections that are bolted to it: it is left out for those, which errs to too much room.
    """

    name: str
    solids: tuple[Solid, ...]
    aside: bool = False
    joined_to: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Stand:
    """How the vehicle stands while the section comes out.

    ``pose`` is what the answer calls it (``ride height``, ``droop``). ``floor_mm`` is the height of the floor in the
    vehicle's own frame: minus what the stands lift it [mm]; None for no floor, which errs to too much room.
    ``clear_mm`` is the gap wanted on the way [mm]. ``under_mm`` is the height below which a section is out [mm]; None
    for the lowest obstacle that is not aside. ``ease_mm`` is how far the pipes of an opened joint can be sprung apart
    along their axis [mm].
    """

    pose: str = "ride height"
    floor_mm: float | None = None
    clear_mm: float = 3.0
    under_mm: float | None = None
    ease_mm: float = 5.0


@dataclass(frozen=True, slots=True)
class Budget:
    """How long to search: certified moves tried by plain moves, by the planner, and balls' places looked at for a proof
    of being trapped. ``seed`` makes the planner's answer repeatable."""

    plain: int = 1500
    planner: int = 6000
    places: int = 1500
    seed: int = 1


@dataclass(frozen=True, slots=True, eq=False)
class Removal:
    """The answer for one section. ``steps`` take it out, in order; ``gap_mm`` is the least gap on the way, ``sought``
    how it was found (``plain moves``, ``planner``). ``stopped_by`` names what stood in the way most, ``left_out`` what
    it is bolted to. ``checks`` counts certified moves."""

    section: int
    name: str
    pose: str
    alone: bool
    answer: Answer
    steps: tuple[Step, ...] = ()
    gap_mm: float = math.nan
    sought: str = ""
    stopped_by: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    checks: int = 0
    note: str = ""

    @property
    def words(self) -> str:
        """The moves for a person."""
        return ", ".join([*(s.words for s in self.steps), "out"]) if self.steps else ""


def _caged(scene: Scene, part: Sequence[Element], solids: Sequence[Solid], most: int) -> bool:
    convex = [s for s in solids if not isinstance(s, TriangleMesh)]
    if not convex:
        return False
    thick = max(part, key=lambda e: min(e.width_mm, e.height_mm) if e.is_part else e.outside_mm)
    radius = (min(thick.width_mm, thick.height_mm) if thick.is_part else thick.outside_mm) / 2.0
    radius = min(radius, thick.length_mm / 2.0)
    middle = (thick.start + thick.end) / 2.0
    if thick.kind in (BEND, PIE_CUT):
        points, _ = bend_points(thick)
        middle = points[len(points) // 2]
    return radius > 0.0 and ball_is_caged(middle, radius, convex, scene.hull, most) is True


def remove(
    chain: Chain, number: int, obstacles: Sequence[Obstacle], stand: Stand, *, alone: bool = False,
    slips: Mapping[str, float] | None = None, budget: Budget | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> Removal:
    """The moves that take one section out.

    Left out: hangers and their rubbers, wiring and lines on the section, its own weight and the hands that hold it (all
    err to free); bending, and springing beyond ``stand.ease_mm`` (errs to trapped). The motion is of rigid bodies.

    Parameters
    ----------
    chain : Chain
        of the whole route
    number : int
        section, counted from 1 at the outlet, of :func:`~trialfit.exhaust.chain.sections` [-]
    obstacles : sequence of Obstacle
        everything else of the vehicle at the pose asked about
    stand : Stand
    alone : bool
        True leaves the sections behind it in place; else they are gone already
    slips : mapping
        overlap of slip joints by the name of their joint [mm]; every other joint comes apart flat
    budget : Budget or None
    stop : callable
        asked now and then; True ends the search with "not found"

    Raises
    ------
    ValueError
        for a section that is not there, a gap or ease outside 0 to 50 mm, or a missing library

    Source: as the module.
    """
    parts = sections(chain)
    if not 1 <= number <= len(parts):
        raise ValueError(f"there is no section {number}: {chain.route} has sections 1 to {len(parts)}")
    for what, value in (("gap wanted on the way", stand.clear_mm), ("ease of a joint", stand.ease_mm)):
        if not 0.0 <= value <= 50.0:
            raise ValueError(f"{what} is {value:g} mm; it must lie between 0 mm and 50 mm")
    limits = budget or Budget()
    overlaps = dict(slips or {})
    part = parts[number - 1]
    name = section_name(part, number)
    neighbours = [_in_place(parts, k, number, stand) for k in range(1, len(parts) + 1)
                  if k != number and (alone or k < number)]
    left_out = tuple(o.name for o in obstacles if number in o.joined_to)
    others = [o for o in obstacles if number not in o.joined_to]
    base = Removal(number, name, stand.pose, alone, Answer.NOT_FOUND, left_out=left_out)
    forced, exempt = _forced(parts, number, alone, overlaps)
    if forced is None:
        return _with(base, note="slip joints at both of its ends: open the joint behind it first")
    free = [*others, *(n for n in neighbours if n.name not in exempt)]
    scene = _scene(part, free, others, stand)
    if isinstance(scene, Removal):
        return _with(base, answer=scene.answer, stopped_by=scene.stopped_by, note=scene.note)
    lead: tuple[Step, ...] = ()
    checks, least = 0, math.inf
    if exempt:
        # out of the socket first: past everything but the pipe it slides on
        words = f"it must first slide {float(np.linalg.norm(forced.shift)):.0f} mm off its slip joint"
        if not scene.clear(START, forced, blame=True):
            return _with(base, stopped_by=_worst(scene.stops), note=words, checks=scene.checks)
        lead, least, _ = _told(scene, [forced])
        checks = scene.checks
        pushed = after(START, forced)
        scene = _scene(part, [*others, *neighbours], others, stand, tuple(moved(s, pushed) for s in scene.solids))
        if isinstance(scene, Removal):
            return _with(base, stopped_by=scene.stopped_by, note=words, checks=checks)
    steps = plain_way(scene, limits.plain)
    sought = "plain moves"
    if steps is None and limits.planner > 0:
        steps, sought = planned_way(scene, limits.planner, limits.seed, stop), "planner"
    checks += scene.checks
    if steps is None:
        # the other sections might go first: only what stays with the vehicle proves anything
        walls = [s for o in others for s in o.solids]
        caged = limits.places > 0 and _caged(scene, part, walls, limits.places)
        answer = Answer.TRAPPED if caged else Answer.NO_ROOM if scene.note else Answer.NOT_FOUND
        return _with(base, answer=answer, stopped_by=_worst(scene.stops), note=scene.note, checks=checks)
    told, low, kept = _told(scene, steps)
    if not kept:
        return _with(base, checks=checks, note="a way was found that did not stand up to being checked again")
    return _with(base, answer=Answer.FREE, steps=(*lead, *told), gap_mm=min(least, low), sought=sought, checks=checks)


def _with(base: Removal, **changed: Any) -> Removal:
    return replace(base, **changed)


def _worst(stops: Mapping[str, int]) -> tuple[str, ...]:
    return tuple(sorted(stops, key=lambda n: (-stops[n], n))[:3])


def _told(scene: Scene, steps: Sequence[Step]) -> tuple[tuple[Step, ...], float, bool]:
    """The steps with the certain lower bound of the gap in each, the least of them, and whether every gap asked for is
    kept when all of it is checked again.

    The floor does not count for the least: what is laid down touches it."""
    pose = START
    told = []
    kept = True
    for step in steps:
        # where the search settled for the gap asked for, the bound is now closed in on
        lows = list(scene.gap(step, pose, scene.singles, settle=False))
        kept = kept and all(low >= group.need_mm - AGAIN_MM for group, low in lows)
        told.append(replace(step, gap_mm=min((low for group, low in lows if group.names != (_FLOOR,)),
                                             default=math.inf)))
        pose = after(pose, step)
    return tuple(told), min((s.gap_mm for s in told), default=math.inf), kept


def _in_place(parts: Sequence[Sequence[Element]], k: int, number: int, stand: Stand) -> Obstacle:
    """Another section where it is fitted, cut back by the ease on the side that faces the one that moves."""
    part = parts[k - 1]
    ends = (stand.ease_mm + stand.clear_mm if k == number + 1 else 0.0,
            stand.ease_mm + stand.clear_mm if k == number - 1 else 0.0)
    return Obstacle(section_name(part, k), section_solids(part, *ends))


def _forced(parts: Sequence[Sequence[Element]], number: int, alone: bool,
            overlaps: Mapping[str, float]) -> tuple[Step | None, tuple[str, ...]]:
    """The slide that slip joints ask for first, and the sections it is taken past; None when two ask opposite ways."""
    part = parts[number - 1]
    shift = np.zeros(3)
    past: list[str] = []
    if number > 1 and overlaps.get(parts[number - 2][-1].name, 0.0) > 0.0 and parts[number - 2][-1].kind == JOINT:
        shift = overlaps[parts[number - 2][-1].name] * part[0].way_in
        past.append(section_name(parts[number - 2], number - 1))
    if alone and number < len(parts) and part[-1].kind == JOINT and overlaps.get(part[-1].name, 0.0) > 0.0:
        if past:
            return None, ()
        shift = -overlaps[part[-1].name] * part[-1].way_out
        past.append(section_name(parts[number], number + 1))
    if not past:
        return Step(NONE, NONE, NONE, ""), ()
    words = "off the slip joint: " + move_words(NONE, shift)
    return Step(NONE, shift, part[0].start, words), tuple(past)


def _scene(part: Sequence[Element], obstacles: Sequence[Obstacle], over: Sequence[Obstacle], stand: Stand,
           solids: tuple[Solid, ...] | None = None) -> Scene | Removal:
    """The section among its obstacles, or why there is nothing to search."""
    mine = section_solids(part) if solids is None else solids
    body = Rigid(mine)
    plain: list[Solid] = []
    groups: list[Group] = []
    singles: list[Group] = []
    meets: list[str] = []
    for obstacle in obstacles:
        if not obstacle.solids:
            continue
        other = Rigid(obstacle.solids)
        found = certified_gap(body, other, _STILL, 2.0 * stand.clear_mm, tol_mm=0.1, exact=True)
        if found.lower_mm <= 0.0:
            meets.append(f"{obstacle.name} by {-found.lower_mm:.1f} mm" if found.lower_mm < -0.05 else obstacle.name)
            continue
        need = min(stand.clear_mm, TIGHT * found.lower_mm)
        one = Group((obstacle.name,), other, need)
        singles.append(one)
        if need == stand.clear_mm and not any(isinstance(s, TriangleMesh) for s in obstacle.solids):
            plain += obstacle.solids
        else:
            groups.append(one)
    boxes = [bounds(s) for s in mine]
    low, high = np.min([b[0] for b in boxes], axis=0), np.max([b[1] for b in boxes], axis=0)
    if stand.floor_mm is not None and low[2] < stand.floor_mm:
        meets.append(_FLOOR)
    if meets:
        return Removal(0, "", stand.pose, False, Answer.MEETS, stopped_by=tuple(meets),
                       note="where it is fitted it meets " + ", ".join(meets))
    if plain:
        groups.insert(0, Group(("all",), Rigid(tuple(plain)), stand.clear_mm))
    walls = [bounds(s) for o in obstacles for s in o.solids]
    hull = (low, high) if not walls else (np.min([b[0] for b in walls], axis=0), np.max([b[1] for b in walls], axis=0))
    unders = [float(bounds(s)[0][2]) for o in over if not o.aside for s in o.solids]
    under = stand.under_mm if stand.under_mm is not None else min(unders, default=float(low[2]))
    if stand.floor_mm is not None:
        top = stand.floor_mm
        floor = Box(np.array([*((low + high) / 2.0)[:2], top - _FLOOR_DEEP_MM]),
                    np.array([_FLOOR_WIDE_MM, _FLOOR_WIDE_MM, _FLOOR_DEEP_MM]))
        ground = Group((_FLOOR,), Rigid((floor,)), 0.0)
        groups.append(ground)
        singles.append(ground)
    middle = (low + high) / 2.0
    made = Scene(mine, tuple(groups), tuple(singles), middle, float(np.linalg.norm(high - low)) / 2.0, under, hull,
                  stand.clear_mm, part[0].way_in if np.linalg.norm(part[0].way_in) > 0.0 else None)
    if stand.floor_mm is not None:
        thin = min(float(np.ptp([e[2] for e in made.extent((t, np.zeros(3)))])) for t in lying(made))
        room = under - stand.clear_mm - stand.floor_mm
        if thin > room:
            words = (f"lying down it is {thin:.0f} mm high and {room:.0f} mm is free between the floor and the lowest "
                     f"thing over it: raise the vehicle by {thin - room:.0f} mm or more")
            made.note = words
    return made


def remove_all(
    chain: Chain, obstacles: Sequence[Obstacle], stand: Stand, *, slips: Mapping[str, float] | None = None,
    alone: bool = False, budget: Budget | None = None, stop: Callable[[], bool] = lambda: False,
) -> tuple[Removal, ...]:
    """Every section at one pose of the axle, in the order of taking them off, the tail first.

    ``alone`` asks for each with all others in place instead. Parameters and refusals as :func:`remove`.
    """
    count = len(sections(chain))
    return tuple(remove(chain, k, obstacles, stand, alone=alone, slips=slips, budget=budget, stop=stop)
                 for k in range(count, 0, -1))


@dataclass(frozen=True, slots=True)
class FreeingPlace:
    """Where a joint has to begin along the centre line so that every section comes out, and how. ``at_mm`` is None when
    none of the places looked at does; ``from_mm`` is where it is now, None for a joint that is not there yet.
    ``tried_mm`` are the places looked at, the nearest first."""

    joint: str
    from_mm: float | None
    at_mm: float | None
    removals: tuple[Removal, ...]
    tried_mm: tuple[float, ...]


def freeing_place(
    chain: Chain, obstacles: Sequence[Obstacle], stands: Sequence[tuple[Stand, Sequence[Obstacle]]] | Stand,
    straight_mm: float, *, joint: str = "", length_mm: float = 50.0, wide_mm: float = 0.0, step_mm: float = 60.0,
    most: int = 12, slips: Mapping[str, float] | None = None, budget: Budget | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> FreeingPlace:
    """The place for a joint, nearest to where it is, at which every section comes out.

    A joint of that name is moved along the chain; where there is none a new one is put in, places in the middle of the
    chain first. Only places with straight pipe on either side are looked at.

    Parameters
    ----------
    chain : Chain
    obstacles : sequence of Obstacle
        at the pose of ``stands``; not used when that is a sequence of stands, each with its own
    stands : Stand, or sequence of (Stand, obstacles)
        poses of the axle; all of them must let every section out
    straight_mm : float
        straight pipe wanted on either side of the joint [mm]
    joint : str
        name of the joint to move; "" for a new one
    length_mm, wide_mm : float
        of a new joint; a width of 0 takes 1.4 outside diameters, common practice [mm]
    step_mm : float
        from one place looked at to the next [mm]
    most : int
        places to look at [-]

    Raises
    ------
    ValueError
        for a joint that is not there, a step outside 5 to 1000 mm, and as :func:`remove`
    """
    if not 5.0 <= step_mm <= 1000.0:
        raise ValueError(f"step from place to place is {step_mm:g} mm; it must lie between 5 mm and 1000 mm")
    now = next((e for e in chain.elements if e.kind == JOINT and e.name == joint), None) if joint else None
    bare = without_joint(chain, joint) if joint else chain
    length = length_mm if now is None else now.length_mm
    wide = wide_mm or 1.4 * chain.elements[0].outside_mm
    around = chain.length_mm / 2.0 if now is None else now.from_mm
    places: list[float] = []
    for stretch in joint_stretches(bare, length, straight_mm):
        count = max(1, math.ceil((stretch.to_mm - stretch.from_mm) / step_mm))
        places += [stretch.from_mm + (stretch.to_mm - stretch.from_mm) * k / count for k in range(count + 1)]
    # the place it has now is known not to do
    others = {round(p, 6) for p in places if now is None or abs(p - around) > 1.0}
    places = sorted(others, key=lambda p: (abs(p - around), p))
    cases = [(stands, obstacles)] if isinstance(stands, Stand) else list(stands)
    tried = []
    for place in places[:most]:
        if stop():
            break
        tried.append(place)
        other = (with_joint(chain, "new joint", place, length, wide) if now is None else
                 moved_joint(chain, joint, place))
        removals: list[Removal] = []
        for stand, things in cases:
            for number in range(len(sections(other)), 0, -1):
                removals.append(remove(other, number, things, stand, slips=slips, budget=budget, stop=stop))
                if removals[-1].answer is not Answer.FREE:
                    break
            if removals[-1].answer is not Answer.FREE:
                break
        if removals and all(r.answer is Answer.FREE for r in removals):
            return FreeingPlace(joint, None if now is None else now.from_mm, place, tuple(removals), tuple(tried))
    return FreeingPlace(joint, None if now is None else now.from_mm, None, (), tuple(tried))


def freeing_finding(route: str, place: FreeingPlace, where: Place | None = None) -> Finding:
    """Where to set the joint, or that none of the places looked at does."""
    name = f"exhaust.{route}.removal.joint.{place.joint.replace(' ', '-') or 'new'}"
    what = place.joint or "one more joint"
    if place.at_mm is None:
        return Finding(name, Verdict.CANNOT_TELL,
                       f"none of {len(place.tried_mm)} places looked at for {what} was found to let every section out",
                       "leave more straight pipe, part it twice, or search longer", rule=CAUTION, source="geometry",
                       where=where)
    way = "" if place.from_mm is None else (f", {abs(place.at_mm - place.from_mm):.0f} mm "
                                            f"{'further' if place.at_mm > place.from_mm else 'nearer'} than now")
    return Finding(name, Verdict.FITS_AFTER_WORK,
                   f"with {what} beginning {place.at_mm:.0f} mm from the outlet{way}, every section comes out",
                   "lay the route with the joint there", rule=CAUTION, source="geometry", where=where)


def findings(route: str, removals: Sequence[Removal], where: Place | None = None) -> tuple[Finding, ...]:
    """One finding for each answer, with the moves, or what stands in the way."""
    found = []
    for one in removals:
        how = "alone" if one.alone else "in turn"
        name = f"exhaust.{route}.removal.{one.section}.{one.pose.replace(' ', '-')}" + (".alone" if one.alone else "")
        by = f"; in the way: {', '.join(one.stopped_by)}" if one.stopped_by else ""
        left = f"; left out, for it is bolted to it: {', '.join(one.left_out)}" if one.left_out else ""
        if one.answer is Answer.FREE:
            gap = f", {one.gap_mm:.1f} mm clear at the least" if math.isfinite(one.gap_mm) else ""
            found.append(Finding(name, Verdict.FITS,
                                 f"{one.name} comes out {how} at {one.pose}: {one.words or 'it is out already'}"
                                 f"{gap}{left}",
                                 margin=one.gap_mm if math.isfinite(one.gap_mm) else None, unit="mm",
                                 rule=CAUTION, source="geometry", where=where))
        elif one.answer is Answer.TRAPPED:
            found.append(Finding(name, Verdict.DOES_NOT_FIT, f"{one.name} is trapped at {one.pose}{by}",
                                 "move a joint so that it comes apart where there is room", rule=CAUTION,
                                 source="geometry", where=where))
        else:
            remedy = {Answer.NO_ROOM: "raise the vehicle, or part the section once more",
                      Answer.MEETS: "mend the gap first, or say that the two are joined"}.get(
                          one.answer, "try a joint elsewhere, the other pose of the axle, or a longer search")
            note = f": {one.note}" if one.note else ""
            found.append(Finding(name, Verdict.CANNOT_TELL,
                                 f"no way out was found for {one.name} {how} at {one.pose}{note}"
                                 + ("" if one.answer is Answer.MEETS else by), remedy, rule=CAUTION,
                                 source="geometry", where=where))
    return tuple(found)
