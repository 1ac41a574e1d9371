"""A hand-laid route held against geometry and the shelf: can it be bent, and of which bends."""

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trialfit.exhaust.contact import contact_mm
from trialfit.exhaust.parts import PartSpot, part_findings, spots_of
from trialfit.findings import SURE, Finding, Place, Verdict, verdict_on
from trialfit.geometry.bend import outer_wall_mm, pie_cut_piece_mm
from trialfit.geometry.centreline import Centreline, CentrelineError, Fault, FaultKind, centreline, faults, legs
from trialfit.vehicle import Amount, BendWish, Corner, RoutePlan, StockBend

Floats = NDArray[np.float64]
Sizes = Mapping[str, tuple[float, float]]

PRACTICE = "common practice, no source"
GEOMETRY = "geometry, from memory"
OUTLET_GAP_MM = 2.0
"""How far a joint may stand open on one side when the outlet and the first leg do not line up [mm]; common practice."""
RADIUS_MATCH_MM = 1.0
"""How far the radius of a bend off the shelf may be from the one laid [mm]; common practice."""
DIAMETER_MATCH_MM = 0.5
"""How far its diameter may be from the pipe's [mm]; common practice."""
WHOLE_RAD = math.radians(0.5)
"""A bend within this of a stock bend's angle uses it whole, with both legs; the pipe is sprung by the rest [rad];
common practice."""
SMALL_TURN_RAD = math.radians(1.0)
"""Below this a corner is a wobble of the tape rather than a bend [rad]; common practice."""
WELDED_MM = 1.0
"""Two bends this near each other count as welded end to end, where that is allowed [mm]; common practice."""
_TIMES_DIAMETER = re.compile(r"\s*(\d+(?:\.\d+)?)\s*D\s*")


@dataclass(frozen=True, slots=True, eq=False)
class LaidRoute:
    """A route with its points and sizes known. ``centreline`` is None when it cannot be laid, or is not laid yet;
    ``findings`` say why.

    ``points_mm`` (n, 3) are outlet, corners and end; ``stock`` has for every corner the bend off the shelf it can be
    cut from, or None. ``points``, ``sizes`` and ``covariance`` are what it was laid from.
    """

    plan: RoutePlan
    diameter_mm: float
    wall_mm: float
    points_mm: Floats
    radii_mm: tuple[float, ...]
    stock: tuple[StockBend | None, ...]
    centreline: Centreline | None
    findings: tuple[Finding, ...]
    points: Mapping[str, Floats]
    sizes: Sizes
    covariance: Floats | None = None

    @property
    def radius_mm(self) -> float:
        """Half the outside diameter [mm]."""
        return 0.5 * self.diameter_mm


def lay(
    route: RoutePlan, points: Mapping[str, ArrayLike], sizes: Sizes, covariance: ArrayLike | None = None
) -> LaidRoute:
    """Lay a route through its corners and say whether it can be made.

    Leaves out whether it touches anything but itself. Without ``covariance`` the points are taken as wanted
    places: findings carry a margin but no doubt, and the verdict is that of the margin alone.

    Parameters
    ----------
    route : RoutePlan
        outlet, corners, end, stock
    points : mapping
        hardpoint name to (3,) [mm]
    sizes : mapping
        name of a size to its value and standard deviation [mm]
    covariance : array or None
        of all hardpoints (x, y, z each) then all sizes, in the order of ``points`` and ``sizes`` [mm2]

    Raises
    ------
    ValueError
        when the covariance is not of that shape
    """
    known = {name: np.asarray(p, dtype=np.float64) for name, p in points.items()}
    laid = _lay(route, known, sizes)
    if covariance is None:
        return laid
    cov = np.asarray(covariance, dtype=np.float64)
    wanted = 3 * len(known) + len(sizes)
    if cov.shape != (wanted, wanted):
        raise ValueError(f"covariance of {len(known)} points and {len(sizes)} sizes must be {wanted} square")
    laid = replace(laid, covariance=cov)
    margins = {f.name: f.margin for f in laid.findings if f.margin is not None and not f.name.endswith("outlet-angle")}
    names = list(margins)

    def watch(other: LaidRoute) -> Floats | None:
        found = {f.name: f.margin for f in other.findings}
        values = [found.get(name) for name in names]
        return None if None in values else np.array(values, dtype=np.float64)

    spread = doubt_of(laid, watch)
    sds = {} if spread is None else dict(zip(names, np.sqrt(np.maximum(np.diag(spread), 0.0)), strict=True))
    sideways = doubt_of(laid, _sideways)
    if sideways is not None:
        # the angle has no slope at zero: take the widest direction of the sideways error, which errs to "cannot tell"
        sds[f"exhaust.{route.name}.outlet-angle"] = math.degrees(math.sqrt(max(np.linalg.eigvalsh(sideways)[-1], 0.0)))
    return replace(laid, findings=tuple(_with_doubt(f, sds.get(f.name)) for f in laid.findings))


def doubt_of(laid: LaidRoute, watch: Callable[[LaidRoute], Floats | None]) -> Floats | None:
    """Covariance of what ``watch`` reads off a laid route, by central differences of 0.01 mm over every point and size.

    Parameters
    ----------
    laid : LaidRoute
        with its covariance
    watch : callable
        route to (k,) values, or None where there is nothing to read

    Returns
    -------
    array or None
        (k, k); None without a covariance or where ``watch`` has no answer on either side

    Source: GUM (JCGM 100:2008) 5.2.2, law of propagation.
    """
    at = watch(laid)
    if laid.covariance is None or at is None:
        return None
    used = _used(laid.plan)
    slope = np.zeros((len(at), laid.covariance.shape[0]))
    step = 0.01
    places = [(name, axis) for name in laid.points for axis in range(3)]
    for column, (name, axis) in enumerate(places):
        if name not in used:
            continue
        sides = []
        for sign in (1.0, -1.0):
            moved = laid.points[name].copy()
            moved[axis] += sign * step
            sides.append(watch(_lay(laid.plan, {**laid.points, name: moved}, laid.sizes)))
        if sides[0] is None or sides[1] is None:
            return None
        slope[:, column] = (sides[0] - sides[1]) / (2.0 * step)
    for column, (name, (mm, sd)) in enumerate(laid.sizes.items(), start=len(places)):
        if name not in used:
            continue
        sides = [
            watch(_lay(laid.plan, laid.points, {**laid.sizes, name: (mm + sign * step, sd)})) for sign in (1.0, -1.0)
        ]
        if sides[0] is None or sides[1] is None:
            return None
        slope[:, column] = (sides[0] - sides[1]) / (2.0 * step)
    spread: Floats = slope @ laid.covariance @ slope.T
    return spread


def _used(plan: RoutePlan) -> set[str]:
    names = {plan.outlet, plan.outlet_aim, plan.diameter.size, plan.wall.size}
    for part in plan.parts:
        names |= {part.length.size, part.width.size, part.height.size}
    for corner in plan.corners:
        names.add(corner.radius.size)
        if isinstance(corner.point, str):
            names.add(corner.point)
    if isinstance(plan.end, str):
        names.add(plan.end)
    return names


def _sideways(laid: LaidRoute) -> Floats | None:
    plan = laid.plan
    if not plan.outlet_aim or plan.outlet_aim not in laid.points or len(laid.points_mm) < 2:
        return None
    aim = laid.points[plan.outlet_aim] - laid.points_mm[0]
    leg = laid.points_mm[1] - laid.points_mm[0]
    if min(np.linalg.norm(aim), np.linalg.norm(leg)) < 1e-6:
        return None
    return np.cross(aim / np.linalg.norm(aim), leg / np.linalg.norm(leg))


def _with_doubt(finding: Finding, sd: float | None) -> Finding:
    if sd is None or finding.margin is None:
        return finding
    verdict = verdict_on(finding.margin, finding.margin, 0.0, float(sd))
    remedy = finding.remedy
    if verdict is Verdict.CANNOT_TELL and not remedy:
        again = "measure again what it hangs on"
        remedy = f"leave {SURE * sd - finding.margin:.1f} mm more, or {again}" if finding.unit == "mm" else again
    return replace(finding, sd=float(sd), verdict=verdict, remedy=remedy)


def _judge(name: str, margin: float, unit: str, where: Place | None, good: str, bad: str, remedy: str) -> Finding:
    fits = margin >= 0.0
    return Finding(
        name, Verdict.FITS if fits else Verdict.DOES_NOT_FIT, good if fits else bad, "" if fits else remedy,
        margin=float(margin), unit=unit, source=GEOMETRY, where=where,
    )


def _not_laid(route: RoutePlan) -> Finding:
    return Finding(
        f"exhaust.{route.name}.not-laid", Verdict.CANNOT_TELL,
        f"exhaust {route.name} is not laid yet: nothing but what is looked for is written down",
        f"run: trialfit route FILE --name '{route.name}'", where=route.where,
    )


def _lay(route: RoutePlan, points: Mapping[str, Floats], sizes: Sizes) -> LaidRoute:
    if not route.laid:
        nothing = np.zeros((0, 3))
        return LaidRoute(route, math.nan, math.nan, nothing, (), (), None, (_not_laid(route),), points, sizes)
    missing: list[Finding] = []

    def known(finding: Finding | Floats | float) -> Floats | float:
        if isinstance(finding, Finding):
            missing.append(finding)
            return math.nan
        return finding

    diameter = float(known(_amount(route, "diameter", route.diameter, sizes, route.where)))
    wall = float(known(_amount(route, "wall", route.wall, sizes, route.where)))
    places: list[tuple[str, str | tuple[float, float, float], Place | None]] = [
        ("outlet", route.outlet, route.where),
        *((f"corner {k}", c.point, c.where or route.where) for k, c in enumerate(route.corners, start=1)),
        ("end", route.end, route.where),
    ]
    xyz = [known(_point(route, points, *spot)) for spot in places]
    radii = tuple(float(known(_radius(route, k, c, diameter, sizes))) for k, c in enumerate(route.corners, start=1))
    if not missing and not diameter > 0.0:
        missing.append(
            Finding(
                f"exhaust.{route.name}.diameter", Verdict.CANNOT_TELL,
                f"the pipe's diameter is {diameter:g} mm; it must be more than 0",
                "measure the outside diameter with a calliper", where=route.where,
            )
        )
    none: tuple[StockBend | None, ...] = (None,) * len(route.corners)
    if missing:
        rows = np.zeros((0, 3))
        return LaidRoute(route, diameter, wall, rows, radii, none, None, tuple(missing), points, sizes)
    at = np.array(xyz, dtype=np.float64)
    found = [*_outlet_angle(route, at, points, diameter)]
    wrong = faults(at, radii)
    found += [_fault_finding(route, f, len(at)) for f in wrong if f.kind is not FaultKind.TOO_SHORT]
    if found and any(f.kind is not FaultKind.TOO_SHORT for f in wrong):
        return LaidRoute(route, diameter, wall, at, radii, none, None, tuple(found), points, sizes)
    shape = legs(at, radii)
    found += _tangents(route, shape.straight_mm, wrong, shape.turn_rad)
    shelf = (*route.stock, *_wished(route, diameter, sizes))
    stock: list[StockBend | None] = []
    for k, corner in enumerate(route.corners):
        turn = float(shape.turn_rad[k])
        if turn < SMALL_TURN_RAD:
            found.append(_wobble(route, k + 1, corner, turn))
        finding, bend = _supply(route, shelf, k + 1, corner, turn, radii[k], diameter)
        stock.append(bend)
        if finding is not None:
            found.append(finding)
    found.append(_wall(route, wall, diameter, radii, shape.turn_rad))
    line = None
    barred = (f"exhaust.{route.name}.pie-cut.", f"exhaust.{route.name}.radius.")
    if not any(f.verdict is Verdict.DOES_NOT_FIT and f.name.startswith(barred) for f in found):
        joints = [c.pie_cut.pieces - 1 if c.pie_cut else 0 for c in route.corners]
        try:
            line = centreline(at, radii, joints)
        except CentrelineError:
            line = None
    laid = LaidRoute(route, diameter, wall, at, radii, tuple(stock), line, tuple(found), points, sizes)
    if line is None:
        return laid
    spots, untold = spots_of(route, at, sizes)
    more = [*untold, *part_findings(route, spots, shape), *_self_contact(laid, spots)]
    return replace(laid, findings=(*laid.findings, *more))


def _self_contact(laid: LaidRoute, spots: Sequence[PartSpot]) -> list[Finding]:
    """Whether the pipe comes back on to itself or on to a part it carries; nothing when it never turns far enough."""
    assert laid.centreline is not None
    met = contact_mm(laid.centreline, laid.radius_mm, spots)
    if met is None:
        return []
    route, room, what = laid.plan, met.room_mm, met.words
    return [_judge(
        f"exhaust.{route.name}.self-contact", room, "mm", route.where, f"{what}: {room:.0f} mm apart",
        f"{what}: they meet, by {-room:.0f} mm", "move the corners between them apart, or turn less",
    )]


def _wished(route: RoutePlan, diameter: float, sizes: Sizes) -> list[StockBend]:
    """Bends that the wish lists, as bends on the shelf without legs; pie cuts are made, not bought."""
    if route.wish is None:
        return []
    found = []
    for bend in bends_for(route.wish.bends, diameter):
        radius = bend_radius_mm(bend, diameter, sizes)
        if bend.pieces == 0 and radius is not None:
            found.append(StockBend(bend.name, radius, bend.most_rad, 0.0, diameter, bend.price, bend.where))
    return found


def bends_for(bends: Sequence[BendWish], diameter_mm: float) -> tuple[BendWish, ...]:
    """Those of the wished bends that are to be had for a pipe of this diameter [mm]."""
    return tuple(b for b in bends
                 if b.diameter_mm is None or abs(b.diameter_mm - diameter_mm) <= DIAMETER_MATCH_MM)


def bend_radius_mm(bend: BendWish, diameter_mm: float, sizes: Sizes) -> float | None:
    """Centre-line radius of a wished bend in a pipe of this diameter [mm]; None when no reading gives it."""
    if bend.times > 0.0:
        return bend.times * diameter_mm
    return times_diameter(bend.radius, diameter_mm, sizes)


def times_diameter(amount: Amount, diameter_mm: float, sizes: Sizes) -> float | None:
    """A radius as given, as so many diameters ("1.5 D"), or as the size that a reading gives [mm]; None when no reading
    gives it."""
    if not amount.size:
        return amount.mm
    if amount.size in sizes:
        return sizes[amount.size][0]
    times = _TIMES_DIAMETER.fullmatch(amount.size)
    return float(times.group(1)) * diameter_mm if times else None


def _amount(route: RoutePlan, what: str, amount: Amount, sizes: Sizes, where: Place | None) -> float | Finding:
    if not amount.size:
        return amount.mm
    if amount.size in sizes:
        return sizes[amount.size][0]
    return Finding(
        f"exhaust.{route.name}.{what.replace(' ', '-')}", Verdict.CANNOT_TELL,
        f"the {what} of {route.name} is the size '{amount.size}', which is not measured",
        f"add a reading: size {amount.size} ...", where=where,
    )


def _radius(route: RoutePlan, number: int, corner: Corner, diameter: float, sizes: Sizes) -> float | Finding:
    radius = times_diameter(corner.radius, diameter, sizes)
    if radius is not None:
        return radius
    return _amount(route, f"radius {number}", corner.radius, sizes, corner.where or route.where)


def _point(
    route: RoutePlan,
    points: Mapping[str, Floats],
    what: str,
    spot: str | tuple[float, float, float],
    where: Place | None,
) -> Floats | Finding:
    if not isinstance(spot, str):
        return np.array(spot, dtype=np.float64)
    if spot in points:
        return points[spot]
    return Finding(
        f"exhaust.{route.name}.point.{what.replace(' ', '-')}", Verdict.CANNOT_TELL,
        f"the {what} of {route.name} is the hardpoint '{spot}', whose place is not known",
        f"take readings that fix {spot}", where=where,
    )


def _outlet_angle(route: RoutePlan, at: Floats, points: Mapping[str, Floats], diameter: float) -> list[Finding]:
    if not route.outlet_aim:
        return []
    name = f"exhaust.{route.name}.outlet-angle"
    if route.outlet_aim not in points:
        return [
            Finding(
                name, Verdict.CANNOT_TELL, f"the place of {route.outlet_aim}, on the outlet's axis, is not known",
                f"take readings that fix {route.outlet_aim}", unit="deg", where=route.where,
            )
        ]
    aim, leg = points[route.outlet_aim] - at[0], at[1] - at[0]
    reach = float(np.linalg.norm(aim))
    if reach < 1e-6 or np.linalg.norm(leg) < 1e-6:
        return [
            Finding(
                name, Verdict.CANNOT_TELL, f"{route.outlet} and {route.outlet_aim} give no direction",
                "choose a second point on the outlet's axis, 100 mm or more downstream", unit="deg", where=route.where,
            )
        ] if reach < 1e-6 else []
    axis = aim / reach
    along = float(leg @ axis)
    angle = math.atan2(float(np.linalg.norm(np.cross(axis, leg))), along)
    allowed = math.atan(OUTLET_GAP_MM / diameter)
    next_name = "corner 1" if route.corners else "the end"
    on_axis = at[0] + max(along, 0.0) * axis
    if angle > 0.5 * math.pi:
        remedy = f"{next_name} lies behind the outlet's face: check which of {route.outlet} and {route.outlet_aim} is "
        remedy += f"downstream, or start with a corner on the outlet's axis before {next_name}"
    else:
        x, y, z = on_axis
        away = float(np.linalg.norm(at[1] - on_axis))
        remedy = (
            f"move {next_name} by {away:.0f} mm on to the outlet's axis, to station {x:.0f}, "
            f"offset {y:.0f} (right +), height {z:.0f} mm, or put a corner on the axis before it"
        )
    words = f"the first leg leaves the outlet's axis by {math.degrees(angle):.1f} deg"
    limit = f"{math.degrees(allowed):.1f} deg opens the joint by {OUTLET_GAP_MM:g} mm on one side"
    finding = _judge(
        name, math.degrees(allowed - angle), "deg", route.where, f"{words}; {limit}", f"{words}; {limit}", remedy
    )
    return [replace(finding, rule=f"joint open {OUTLET_GAP_MM:g} mm at most on one side", source=PRACTICE)]


def _fault_finding(route: RoutePlan, fault: Fault, count: int) -> Finding:
    corner = fault.corner or min(fault.leg + 1, count - 2)
    label = {FaultKind.U_TURN: "turn", FaultKind.RADIUS: "radius", FaultKind.SAME_POINT: "same-point"}[fault.kind]
    where = route.corners[corner - 1].where if 0 < corner <= len(route.corners) else None
    return Finding(
        f"exhaust.{route.name}.{label}.{corner}", Verdict.DOES_NOT_FIT, fault.words, fault.remedy,
        source=GEOMETRY, where=where or route.where,
    )


def _tangents(route: RoutePlan, straight: Floats, wrong: tuple[Fault, ...], turns: Floats) -> list[Finding]:
    found: list[Finding] = []
    welded = route.wish is not None and route.wish.end_to_end
    by_leg = {f.leg: f for f in wrong}
    count = len(straight)
    for leg, room in enumerate(straight):
        if count == 1:
            break
        last = leg == count - 1
        label = "end" if last else str(leg + 1)
        first = "the outlet" if leg == 0 else f"corner {leg}"
        second = "the end" if last else f"corner {leg + 1}"
        where = route.corners[min(leg, len(route.corners) - 1)].where or route.where
        good = f"{room:.1f} mm of straight between {first} and {second}"
        fault = by_leg.get(leg)
        bad = fault.words if fault else good
        remedy = fault.remedy if fault else ""
        if welded and 0 < leg < count - 1 and -1e-9 <= room < WELDED_MM:
            # no question of room: the two bends are dressed until they meet
            found.append(Finding(f"exhaust.{route.name}.tangent.{label}", Verdict.FITS,
                                 f"the bends at {first} and {second} are welded end to end", source=GEOMETRY,
                                 where=where))
            continue
        found.append(_judge(f"exhaust.{route.name}.tangent.{label}", float(room), "mm", where, good, bad, remedy))
        least = 0.0 if welded else route.least_straight_mm
        beside = turns[max(leg - 1, 0) : leg + 1] if not last else turns[-1:]
        if least > 0.0 and room >= -1e-9 and bool(np.any(beside >= SMALL_TURN_RAD)):
            short = f"{good}, {least - room:.1f} mm less than the {least:g} mm asked for"
            finding = _judge(
                f"exhaust.{route.name}.least-straight.{label}", float(room - least), "mm", where,
                f"{good}; {least:g} mm asked for", short,
                f"move {first} and {second} apart, take a smaller radius, or make both bends one piece of bent tube",
            )
            found.append(replace(finding, rule=f"least straight {least:g} mm", source="the build file"))
    return found


def _wobble(route: RoutePlan, number: int, corner: Corner, turn: float) -> Finding:
    return Finding(
        f"exhaust.{route.name}.small-turn.{number}", Verdict.FITS_AFTER_WORK,
        f"corner {number} turns only {math.degrees(turn):.2f} deg",
        "leave this corner out, or spring the pipe by hand; a bend of less than 1 deg cannot be cut",
        source=PRACTICE, where=corner.where or route.where,
    )


def _supply(
    route: RoutePlan, shelf: Sequence[StockBend], number: int, corner: Corner, turn: float, radius: float,
    diameter: float,
) -> tuple[Finding | None, StockBend | None]:
    where = corner.where or route.where
    if turn < SMALL_TURN_RAD:
        return None, None
    degrees = math.degrees(turn)
    if corner.pie_cut is not None:
        return _pie(route, number, corner.pie_cut.pieces, turn, radius, diameter, where), None
    name = f"exhaust.{route.name}.stock.{number}"
    ask = f"corner {number} turns {degrees:.1f} deg on a radius of {radius:.1f} mm in {diameter:.1f} mm tube"
    if radius <= 0.5 * diameter:
        reason = f"{ask}: the inside of the bend vanishes, the radius must exceed {0.5 * diameter:.1f} mm"
        return Finding(f"exhaust.{route.name}.radius.{number}", Verdict.DOES_NOT_FIT, reason,
                       f"take a radius of {diameter:.1f} mm (1 D) or more", source=GEOMETRY, where=where), None
    pie = f"make it of pie cuts (pie cut: 5 pieces) or have it bent to order: {degrees:.1f} deg, radius {radius:.1f} mm"
    if not shelf:
        reason = f"{ask}; no bend off the shelf is listed"
        return Finding(name, Verdict.CANNOT_TELL, reason, f"list the bends you can get under stock, {pie}",
                       where=where), None
    same_tube = [s for s in shelf if abs(s.diameter_mm - diameter) <= DIAMETER_MATCH_MM]
    if not same_tube:
        reason = f"{ask}; no bend listed has that diameter"
        return Finding(name, Verdict.DOES_NOT_FIT, reason, f"list a bend of {diameter:.1f} mm tube, or {pie}",
                       where=where), None
    same_radius = [s for s in same_tube if abs(s.radius_mm - radius) <= RADIUS_MATCH_MM]
    if not same_radius:
        near = min(same_tube, key=lambda s: abs(s.radius_mm - radius))
        reason = f"{ask}; no bend listed has that radius within {RADIUS_MATCH_MM:g} mm"
        remedy = f"lay the corner on the {near.radius_mm:.1f} mm of {near.name}, or {pie}"
        return Finding(name, Verdict.DOES_NOT_FIT, reason, remedy, rule="measure the real bend's radius",
                       source=PRACTICE, where=where), None
    enough = [s for s in same_radius if s.angle_rad + WHOLE_RAD >= turn]
    longest = max(same_radius, key=lambda s: s.angle_rad)
    best = min(enough, key=lambda s: (s.angle_rad, -s.leg_mm)) if enough else longest
    finding = _judge(
        name, math.degrees(best.angle_rad + WHOLE_RAD - turn), "deg", where, f"{ask}; cut it from {best.name}",
        f"{ask}; the longest bend listed, {best.name}, turns {math.degrees(best.angle_rad):g} deg",
        f"weld two together with the cut square, make the turn of two corners, or {pie}",
    )
    return finding, best if enough else None


def _pie(
    route: RoutePlan, number: int, pieces: int, turn: float, radius: float, diameter: float, where: Place | None
) -> Finding:
    name = f"exhaust.{route.name}.pie-cut.{number}"
    ask = f"corner {number}, {math.degrees(turn):.1f} deg of {pieces} pie-cut pieces on a radius of {radius:.1f} mm"
    if pieces < 2:
        return Finding(name, Verdict.DOES_NOT_FIT, f"{ask}: a bend needs two pieces or more",
                       "count every piece, the half ones at the ends too", where=where)
    room = radius - 0.5 * diameter
    try:
        short = pie_cut_piece_mm(radius, diameter, turn, pieces - 1, "short")
    except ValueError as refused:
        why = str(refused)
        remedy = "take a larger radius" if room <= 0.0 else "take more pieces"
        return Finding(name, Verdict.DOES_NOT_FIT, f"{ask}: {why}", remedy, source=GEOMETRY, where=where)
    face = math.degrees(0.5 * turn / (pieces - 1))
    return _judge(
        name, short, "mm", where,
        f"{ask}: saw set to {face:.2f} deg, each joint turns {2.0 * face:.2f} deg, short side {short:.1f} mm",
        f"{ask}: the short side vanishes", "take a larger radius",
    )


def _wall(route: RoutePlan, wall: float, diameter: float, radii: tuple[float, ...], turns: Floats) -> Finding:
    name = f"exhaust.{route.name}.wall"
    if not 0.0 < wall < 0.5 * diameter:
        return Finding(
            name, Verdict.CANNOT_TELL,
            f"a wall of {wall:g} mm cannot be in tube of {diameter:.1f} mm", "measure the wall at a cut end",
            where=route.where,
        )
    drawn = [
        r for r, turn, c in zip(radii, turns, route.corners, strict=True)
        if turn >= SMALL_TURN_RAD and c.pie_cut is None and r > 0.5 * diameter
    ]
    reason = f"wall {wall:.2f} mm"
    if drawn:
        left = outer_wall_mm(wall, min(drawn), diameter)
        reason += f"; on the outside of the tightest bend about {left:.2f} mm is left (estimate)"
    return Finding(name, Verdict.FITS, reason, source="constant-volume estimate, from memory", where=route.where)
