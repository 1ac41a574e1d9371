"""Shapes put where the hardpoints are: what the gap check measures between."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.checks.pairs import Thing
from trialfit.exhaust import lay
from trialfit.geometry import Rigid, Span
from trialfit.geometry.centreline import Centreline, capsules
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
    shaft = build.shaft_ends()
    if thing.of is None and build.shaft is not None and shaft is not None:
        return shaft, build.shaft.diameter
    if isinstance(thing.of, Tube | Cone):
        ends = ((thing.of.start, build.body_of(thing.of.start)), (thing.of.end, build.body_of(thing.of.end)))
        if isinstance(thing.of, Tube):
            return ends, thing.of.diameter
        return ends, max(thing.of.diameter_start, thing.of.diameter_end, key=lambda a: a.mm)
    raise PlacingError(
        f"{thing.name}: its hardpoints ride on {' and '.join(sorted(thing.bodies))}; only a tube or a cone can span "
        "two bodies. Say which body it rides on (body: axle)."
    )


def centre_line_of(route: RoutePlan, points: Points, sizes: Sizes) -> tuple[Centreline, float] | None:
    """Centre line and outside diameter [mm] of a route; None when it cannot be laid."""
    laid = lay(route, points, sizes)
    return None if laid.centreline is None else (laid.centreline, laid.diameter_mm)


def place(thing: Thing, build: Build, points: Points, sizes: Sizes, paths: Paths,
          meshes: Mapping[str, TriangleMesh], lines: Mapping[str, tuple[Centreline, float]]) -> Placed:
    """One thing as a mover: rigid with a body, or spanning two.

    Raises
    ------
    PlacingError
        when it cannot be laid on its hardpoints
    """
    if isinstance(thing.of, RoutePlan):
        if thing.name not in lines:
            raise PlacingError(f"{thing.name}: its centre line cannot be laid")
        line, diameter = lines[thing.name]
        sticks = capsules(line, diameter / 2.0, SAGITTA_MM)
        return Placed(thing, Rigid(tuple(Capsule(a, b, r, slack) for a, b, r, slack in sticks), None))
    if len(thing.bodies) == 1 and thing.of is not None:
        (body,) = thing.bodies
        return Placed(thing, Rigid(solids_of(thing.of, points, sizes, meshes), paths.get(body)))
    ((start, on_start), (end, on_end)), diameter_of = span_ends(thing, build)
    try:
        a, b = _at(points, start), _at(points, end)
        radius = amount_mm(diameter_of, sizes) / 2.0
    except PlacingError as error:
        raise PlacingError(f"{thing.name}: {error}") from None
    return Placed(thing, Span(a, paths.get(on_start), b, paths.get(on_end), radius))
