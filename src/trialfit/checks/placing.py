"""Shapes put where the hardpoints are: what the gap check measures between."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trialfit.checks.pairs import GROUND, Share, Thing, bellows_of, route_name
from trialfit.exhaust import LaidRoute, PartSpot, lay, spots_of
from trialfit.geometry import Rigid, Span
from trialfit.geometry.centreline import capsules
from trialfit.geometry.paths import PosePath
from trialfit.geometry.solids import Box as BoxSolid
from trialfit.geometry.solids import Capsule, Frustum, Prism, Solid, TriangleMesh, cylinder
from trialfit.vehicle import Amount, Box, Build, Cone, Drum, Mesh, Plate, RoutePlan, Shape, Tube

Floats = NDArray[np.float64]
Points = Mapping[str, Floats]
Sizes = Mapping[str, tuple[float, float]]
Paths = Mapping[str, PosePath]

SAGITTA_MM = 0.05
"""How far a chord of the exhaust's centre line may leave the arc it stands for [mm]."""


SECTION_CORNERS = 60
"""Corners of the polygon that stands for the section of a part that is wider than high: it lies around the section, by
less than 0.2 % of its height."""

GROUND_SIZE_MM = (12_000.0, 6_000.0, 1_000.0)
"""The ground under the vehicle as a box: length, width, depth [mm]."""


class PlacingError(ValueError):
    """A shape cannot be laid on its hardpoints; the text says which and why."""


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """One thing on its hardpoints at ride height, ready to be moved."""

    thing: Thing
    mover: Rigid | Span


def amount_mm(amount: Amount, sizes: Sizes) -> float:
    """A length as given, or the size that a reading gives [mm]."""
    if not amount.size:
        return amount.mm
    if amount.size not in sizes:
        raise PlacingError(f"no reading gives the size '{amount.size}'")
    return sizes[amount.size][0]


def _at(points: Points, name: str) -> Floats:
    if name not in points:
        raise PlacingError(f"hardpoint {name} is not known: its readings do not fix it")
    return points[name]


def _box(shape: Box, points: Points, sizes: Sizes) -> BoxSolid:
    a = _at(points, shape.corner_a)
    given = [None if v is None else amount_mm(v, sizes) for v in (shape.along_x, shape.along_y, shape.along_z)]
    if not shape.corner_b:
        half = np.array([0.0 if v is None else v / 2.0 for v in given])
        return BoxSolid(a, half)
    b = _at(points, shape.corner_b)
    half = np.array([abs(d) / 2.0 if v is None else v / 2.0 for d, v in zip(b - a, given, strict=True)])
    return BoxSolid((a + b) / 2.0, half)


def solids_of(shape: Shape, points: Points, sizes: Sizes, meshes: Mapping[str, TriangleMesh]) -> tuple[Solid, ...]:
    """The solids of a shape that rides on one body, at ride height.

    Raises
    ------
    PlacingError
        when a hardpoint or size it needs is not known, or it has no extent
    """
    try:
        match shape:
            case Tube():
                r = amount_mm(shape.diameter, sizes) / 2.0
                return (cylinder(_at(points, shape.start), _at(points, shape.end), r),)
            case Cone():
                return (Frustum(_at(points, shape.start), _at(points, shape.end),
                                amount_mm(shape.diameter_start, sizes) / 2.0,
                                amount_mm(shape.diameter_end, sizes) / 2.0),)
            case Drum():
                centre = _at(points, shape.centre)
                axis = np.array([0.0, 1.0, 0.0])
                if shape.towards:
                    along = _at(points, shape.towards) - centre
                    axis = along / np.linalg.norm(along)
                half = amount_mm(shape.width, sizes) / 2.0
                in_ = axis if float(centre[1] * axis[1]) < 0.0 else -axis
                centre = centre + amount_mm(shape.inboard, sizes) * in_
                return (cylinder(centre - half * axis, centre + half * axis, amount_mm(shape.diameter, sizes) / 2.0),)
            case Box():
                return (_box(shape, points, sizes),)
            case Plate():
                corners = np.array([_at(points, p) for p in shape.corners])
                return (Prism(corners, amount_mm(shape.thickness, sizes)),)
            case Mesh():
                return (meshes[shape.name],)
    except PlacingError as error:
        raise PlacingError(f"{shape.name}: {error}") from None
    except ValueError as error:
        raise PlacingError(f"{shape.name}: {error}") from None
    raise TypeError(f"unknown shape {type(shape).__name__}")


Ends = tuple[tuple[str, str], tuple[str, str]]


def span_ends(thing: Thing, build: Build) -> tuple[Ends, Amount]:
    """Both ends (point, body it rides on) and the diameter of something that spans two bodies.

    Raises
    ------
    PlacingError
        for a shape that has no two ends
    """
    if thing.of is None and build.shaft is not None:
        for name, front, rear in build.shaft_pieces():
            if name == thing.name:
                return (front, rear), build.shaft.diameter
    if isinstance(thing.of, Tube | Cone):
        ends = ((thing.of.start, build.body_of(thing.of.start)), (thing.of.end, build.body_of(thing.of.end)))
        if isinstance(thing.of, Tube):
            return ends, thing.of.diameter
        return ends, max(thing.of.diameter_start, thing.of.diameter_end, key=lambda a: a.mm)
    raise PlacingError(
        f"{thing.name}: its hardpoints ride on {' and '.join(sorted(thing.bodies))}; only a tube or a cone can span "
        "two bodies. Say which body it rides on (body: axle)."
    )


def axis_of(build: Build, name: str) -> tuple[tuple[str, ...], Amount]:
    """The axis, housing first, and the offset of the joint whose measured face is hardpoint ``name``; no axis where the
    hardpoint is the joint's centre itself."""
    shaft = build.shaft
    if shaft is not None:
        for end, axis, offset in ((shaft.front, shaft.front_axis, shaft.front_offset),
                                  (shaft.rear, shaft.rear_axis, shaft.rear_offset)):
            if name == end and axis:
                return axis, offset
    return (), Amount(0.0)


def joint_centre(build: Build, name: str, points: Points, sizes: Sizes) -> Floats:
    """Centre (3,) of the shaft's joint at hardpoint ``name`` [mm]: the hardpoint, or so far out along its axis.

    Raises
    ------
    PlacingError
        when a hardpoint or size is not known, or the axis has no direction
    """
    axis, offset = axis_of(build, name)
    at = _at(points, name)
    if not axis:
        return at
    along = _at(points, axis[1]) - _at(points, axis[0])
    length = float(np.linalg.norm(along))
    if length < 1.0:
        raise PlacingError(f"{axis[0]} and {axis[1]} lie {length:.1f} mm apart and give no direction")
    centre: Floats = at + amount_mm(offset, sizes) / length * along
    return centre


def centre_line_of(route: RoutePlan, points: Points, sizes: Sizes) -> LaidRoute | None:
    """A route on its points; None when it cannot be laid."""
    laid = lay(route, points, sizes)
    return None if laid.centreline is None else laid


def part_solid(spot: PartSpot) -> Solid:
    """A part as a solid with flat ends: round, or with flat sides and round edges where it is wider than high.

    A part with sharp edges reaches further out at its corners, by 0.41 of half its height: give it that much wider.
    """
    radius = spot.height_mm / 2.0
    if spot.width_mm <= spot.height_mm:
        return cylinder(spot.start, spot.end, radius)
    up = np.cross(spot.along, spot.wide)
    half = (spot.width_mm - spot.height_mm) / 2.0
    count = SECTION_CORNERS // 2
    # a polygon whose sides touch the round edge: its corners stand out a little
    turn = (np.arange(count) + 0.5) * (math.pi / count) - math.pi / 2.0
    reach = radius / math.cos(math.pi / (2.0 * count))
    middle = (spot.start + spot.end) / 2.0
    side = half * spot.wide + reach * (np.cos(turn)[:, None] * spot.wide + np.sin(turn)[:, None] * up)
    corners = np.vstack((middle + side, middle - side))
    return Prism(corners, spot.length_mm)


def ground_solid(reference: Floats) -> BoxSolid:
    """The ground as a box whose top lies at height 0, its middle under ``reference`` (3,) [mm]."""
    half = np.array(GROUND_SIZE_MM) / 2.0
    return BoxSolid(np.array([reference[0], 0.0, -half[2]]), half)


def _share_of_route(thing: Thing, build: Build, laid: LaidRoute, path: PosePath | None) -> Rigid:
    """The solids of a route's share: all its pipe, the pipe on one side of its bellows with that half of them, or a
    part."""
    assert laid.centreline is not None
    spots = {s.number: s for s in spots_of(laid.plan, laid.points_mm, laid.sizes)[0]}
    if thing.share is Share.PART:
        if thing.part not in spots:
            raise PlacingError(f"{thing.name}: it cannot be put on its leg")
        return Rigid((part_solid(spots[thing.part]),), path)
    sticks = capsules(laid.centreline, laid.radius_mm, SAGITTA_MM)
    pipe = tuple(Capsule(a, b, r, slack) for a, b, r, slack in sticks)
    bellows = bellows_of(build, laid.plan)
    if bellows is None:
        return Rigid(pipe, path)
    if bellows not in spots:
        raise PlacingError(f"{thing.name}: the bellows cannot be put on their leg")
    return Rigid(_freed(pipe, spots[bellows], thing.share is Share.BEFORE), path)


def _freed(pipe: tuple[Capsule, ...], spot: PartSpot, before: bool) -> tuple[Solid, ...]:
    """The pipe on one side of the middle of its bellows, and that half of the bellows."""
    middle = (spot.start + spot.end) / 2.0
    half = replace(spot, start=spot.start if before else middle, length_mm=spot.length_mm / 2.0)
    at = next((k for k, c in enumerate(pipe) if _holds(c, middle)), None)
    if at is None:
        raise PlacingError(f"{spot.part.name} does not lie on a straight of the pipe")
    cut = pipe[at]
    # the stick ends a radius short of the middle: its ball end is what lies within the bellows
    if before:
        kept = (*pipe[:at], Capsule(cut.start, spot.start, cut.radius_mm, cut.slack_mm))
    else:
        kept = (Capsule(spot.end, cut.end, cut.radius_mm, cut.slack_mm), *pipe[at + 1:])
    return (*kept, part_solid(half))


def _holds(stick: Capsule, point: Floats) -> bool:
    along = stick.end - stick.start
    length = float(np.linalg.norm(along))
    share = float((point - stick.start) @ along) / length**2
    off = float(np.linalg.norm(point - stick.start - share * along))
    return 0.0 <= share <= 1.0 and off < 1e-3


def place(thing: Thing, build: Build, points: Points, sizes: Sizes, paths: Paths,
          meshes: Mapping[str, TriangleMesh], lines: Mapping[str, LaidRoute]) -> Placed:
    """One thing as a mover: rigid with a body, or spanning two. ``lines`` are the laid routes by their things' names.

    Raises
    ------
    PlacingError
        when it cannot be laid on its hardpoints
    """
    if isinstance(thing.of, RoutePlan):
        laid = lines.get(route_name(thing.of))
        if laid is None or laid.centreline is None:
            raise PlacingError(f"{thing.name}: its centre line cannot be laid")
        (body,) = thing.bodies
        try:
            return Placed(thing, _share_of_route(thing, build, laid, paths.get(body)))
        except PlacingError:
            raise
        except ValueError as error:
            raise PlacingError(f"{thing.name}: {error}") from None
    if thing.kind == GROUND:
        path = paths.get(GROUND)
        middle = np.mean(list(points.values()), axis=0) if points else np.zeros(3)
        return Placed(thing, Rigid((ground_solid(middle),), path))
    if len(thing.bodies) == 1 and thing.of is not None:
        (body,) = thing.bodies
        return Placed(thing, Rigid(solids_of(thing.of, points, sizes, meshes), paths.get(body)))
    ((start, on_start), (end, on_end)), diameter_of = span_ends(thing, build)
    try:
        if thing.of is None:
            a, b = joint_centre(build, start, points, sizes), joint_centre(build, end, points, sizes)
        else:
            a, b = _at(points, start), _at(points, end)
        radius = amount_mm(diameter_of, sizes) / 2.0
    except PlacingError as error:
        raise PlacingError(f"{thing.name}: {error}") from None
    return Placed(thing, Span(a, paths.get(on_start), b, paths.get(on_end), radius))
