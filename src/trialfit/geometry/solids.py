"""Solids that a gap is measured between, and how each is packed for the compiled kernels.

Every solid but the triangle mesh is convex: a core (segment, box, flat-ended round, hull of points) grown by a
radius. One packed row holds one solid, see ``ROW_WIDTH`` below.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# Layout of a packed row. Sphere: one that holds the core's middle, used as the first guess of a direction only.
#   0 kind | 1 radius grown | 2 slack | 3 first vertex | 4 count of vertices | 5..7 middle | 8 spare | 9..23 core
#   CAPSULE  9..11 a, 12..14 b                       BOX  9..11 centre, 12..20 axes as rows, 21..23 half lengths
#   ROUND    9..11 a, 12..14 b, 15 radius at a, 16 at b, 17..19 axis
#   HULL     9..17 rotation, 18..20 shift of its vertices        POINTS  vertices as they stand
#   SPAN     9..11 a on the first path, 12..14 b on the second; posed it becomes a CAPSULE
ROW_WIDTH = 24
CAPSULE, BOX, ROUND, HULL, POINTS, SPAN = range(6)

MOST_TRIANGLES = 2_000_000
LARGEST_MM = 1.0e6
"""Coordinates and sizes past this are refused: the rounding margin of the kernels is stated for it."""


def _point(value: ArrayLike, what: str) -> Floats:
    array = np.array(value, dtype=np.float64)
    if array.shape != (3,):
        raise ValueError(f"{what}: three coordinates expected, got shape {array.shape}")
    _checked(array, what)
    return array


def _checked(array: Floats, what: str) -> None:
    if not np.all(np.isfinite(array)) or np.any(np.abs(array) > LARGEST_MM):
        raise ValueError(f"{what}: every value must be finite and within +-{LARGEST_MM:.0f} mm")


def _size(value: float, what: str, least: float = 0.0) -> float:
    if not (np.isfinite(value) and least <= value <= LARGEST_MM):
        raise ValueError(f"{what}: {value} mm is outside {least:g} to {LARGEST_MM:.0f} mm")
    return float(value)


def _axis(start: Floats, end: Floats, what: str) -> Floats:
    along = end - start
    length = float(np.linalg.norm(along))
    if length < 1e-6:
        raise ValueError(f"{what}: its two ends must lie at least 1e-6 mm apart, they are {length:g} mm")
    axis: Floats = along / length
    return axis


@dataclass(frozen=True, slots=True, eq=False)
class Capsule:
    """Round bar with ball ends from ``start`` to ``end`` (3,) [mm]; both ends may be one point: a ball.

    ``slack_mm``: the true thing lies everywhere within this distance of the capsule and reaches every part of it to
    within this distance, as an arc of pipe does when its chord stands in for it (slack = sagitta).
    """

    start: Floats
    end: Floats
    radius_mm: float
    slack_mm: float = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "start", _point(self.start, "capsule start"))
        object.__setattr__(self, "end", _point(self.end, "capsule end"))
        object.__setattr__(self, "radius_mm", _size(self.radius_mm, "capsule radius"))
        object.__setattr__(self, "slack_mm", _size(self.slack_mm, "capsule slack"))


@dataclass(frozen=True, slots=True, eq=False)
class Box:
    """Box about ``centre`` (3,) [mm]: ``half_mm`` (3,) along the unit ``axes`` (3, 3), one axis a row."""

    centre: Floats
    half_mm: Floats
    axes: Floats = field(default_factory=lambda: np.eye(3))

    def __post_init__(self) -> None:
        half = _point(self.half_mm, "box half lengths")
        if np.any(half < 0.0):
            raise ValueError("box half lengths: none may be below 0 mm")
        axes = np.array(self.axes, dtype=np.float64)
        if axes.shape != (3, 3) or not np.allclose(axes @ axes.T, np.eye(3), atol=1e-9):
            raise ValueError("box axes: three unit rows square to each other expected (to 1e-9)")
        object.__setattr__(self, "centre", _point(self.centre, "box centre"))
        object.__setattr__(self, "half_mm", half)
        object.__setattr__(self, "axes", axes)


@dataclass(frozen=True, slots=True, eq=False)
class Frustum:
    """Round taper with flat ends from ``start`` to ``end`` (3,) [mm]."""

    start: Floats
    end: Floats
    radius_start_mm: float
    radius_end_mm: float

    def __post_init__(self) -> None:
        object.__setattr__(self, "start", _point(self.start, "taper start"))
        object.__setattr__(self, "end", _point(self.end, "taper end"))
        object.__setattr__(self, "radius_start_mm", _size(self.radius_start_mm, "taper radius at its start"))
        object.__setattr__(self, "radius_end_mm", _size(self.radius_end_mm, "taper radius at its end"))
        _axis(self.start, self.end, "taper")


def cylinder(start: ArrayLike, end: ArrayLike, radius_mm: float) -> Frustum:
    """Round bar with flat ends from ``start`` to ``end`` (3,) [mm]."""
    return Frustum(np.asarray(start, dtype=np.float64), np.asarray(end, dtype=np.float64), radius_mm, radius_mm)


@dataclass(frozen=True, slots=True, eq=False)
class Prism:
    """Flat convex sheet: the hull of ``corners`` (n, 3) [mm] set off half the thickness both ways.

    Measured corners are seldom in one plane and may bulge inward; the hull then holds more than the sheet does, which
    errs to a smaller gap. The way of the thickness is the mean normal of the corners taken in order.
    """

    corners: Floats
    thickness_mm: float

    def __post_init__(self) -> None:
        corners = np.array(self.corners, dtype=np.float64)
        if corners.ndim != 2 or corners.shape[1] != 3 or not 3 <= len(corners) <= 64:
            raise ValueError("plate: 3 to 64 corners of three coordinates each expected")
        _checked(corners, "plate corners")
        object.__setattr__(self, "corners", corners)
        object.__setattr__(self, "thickness_mm", _size(self.thickness_mm, "plate thickness"))
        self.vertices()

    def vertices(self) -> Floats:
        """The 2 n points (2 n, 3) [mm] whose hull this is; n points when the sheet has no thickness."""
        about = self.corners - self.corners.mean(axis=0)
        normal = np.cross(about, np.roll(about, -1, axis=0)).sum(axis=0)
        reach = float(np.abs(about).max())
        length = float(np.linalg.norm(normal))
        if length <= 1e-9 * max(reach, 1e-6) ** 2:
            raise ValueError("plate: its corners, taken in order, enclose no area")
        if self.thickness_mm == 0.0:
            return self.corners.copy()
        offset = normal / length * (self.thickness_mm / 2.0)
        return np.vstack((self.corners + offset, self.corners - offset))


@dataclass(frozen=True, slots=True, eq=False)
class TriangleMesh:
    """Surface of triangles: ``vertices`` (n, 3) [mm], ``triangles`` (m, 3) indices; m up to 2,000,000.

    It is a skin without an inside: a thing wholly within a closed mesh is not seen as overlapping it; only a crossing
    of the skin is. That errs to a larger gap, so a scan must not be relied on to tell inside from outside. A crossing
    shows as an upper bound of 0 or less; the lower bound is then certain but no measure of how deep.
    """

    vertices: Floats
    triangles: NDArray[np.int64]
    _tree: list[Any] = field(default_factory=list, init=False, repr=False)

    def __post_init__(self) -> None:
        vertices = np.array(self.vertices, dtype=np.float64)
        triangles = np.array(self.triangles, dtype=np.int64)
        if vertices.ndim != 2 or vertices.shape[1] != 3:
            raise ValueError("mesh: vertices of three coordinates each expected")
        if triangles.ndim != 2 or triangles.shape[1] != 3 or not 1 <= len(triangles) <= MOST_TRIANGLES:
            raise ValueError(f"mesh: 1 to {MOST_TRIANGLES} triangles of three indices each expected")
        if triangles.min() < 0 or triangles.max() >= len(vertices):
            raise ValueError(f"mesh: indices must lie in 0 to {len(vertices) - 1}")
        _checked(vertices, "mesh vertices")
        object.__setattr__(self, "vertices", vertices)
        object.__setattr__(self, "triangles", triangles)

    def tree(self) -> Any:
        """Box tree over the triangles, built on first use and kept (a pure function of the mesh)."""
        if not self._tree:
            from trialfit.geometry.triangles import Tree

            self._tree.append(Tree.over(self.vertices, self.triangles))
        return self._tree[0]


Convex = Capsule | Box | Frustum | Prism
Solid = Convex | TriangleMesh


def bounds(solid: Solid) -> tuple[Floats, Floats]:
    """Smallest and largest corner (3,) [mm] of the upright box round a solid, in the frame of its body."""
    if isinstance(solid, Capsule):
        ends = np.array((solid.start, solid.end))
        return ends.min(axis=0) - solid.radius_mm, ends.max(axis=0) + solid.radius_mm
    if isinstance(solid, Box):
        reach = np.abs(solid.axes).T @ solid.half_mm
        return solid.centre - reach, solid.centre + reach
    if isinstance(solid, Frustum):
        # A disc square to the unit axis u reaches radius * sqrt(1 - u_k^2) along coordinate k.
        across = np.sqrt(np.clip(1.0 - _axis(solid.start, solid.end, "taper") ** 2, 0.0, None))
        rims = np.array((solid.radius_start_mm * across, solid.radius_end_mm * across))
        ends = np.array((solid.start, solid.end))
        return (ends - rims).min(axis=0), (ends + rims).max(axis=0)
    points = solid.vertices() if isinstance(solid, Prism) else solid.vertices[solid.triangles.ravel()]
    return points.min(axis=0), points.max(axis=0)


def pack(solids: Sequence[Convex]) -> tuple[Floats, Floats]:
    """Convex solids as rows (n, ROW_WIDTH) and the vertices (m, 3) their hulls draw on, for the kernels."""
    rows = np.zeros((len(solids), ROW_WIDTH))
    pools: list[Floats] = []
    used = 0
    for row, solid in zip(rows, solids, strict=True):
        if isinstance(solid, Capsule):
            row[0:3] = CAPSULE, solid.radius_mm, solid.slack_mm
            row[5:8] = (solid.start + solid.end) / 2.0
            row[9:12], row[12:15] = solid.start, solid.end
        elif isinstance(solid, Box):
            row[0] = BOX
            row[5:8] = row[9:12] = solid.centre
            row[12:21], row[21:24] = solid.axes.ravel(), solid.half_mm
        elif isinstance(solid, Frustum):
            row[0] = ROUND
            row[5:8] = (solid.start + solid.end) / 2.0
            row[9:12], row[12:15] = solid.start, solid.end
            row[15:17] = solid.radius_start_mm, solid.radius_end_mm
            row[17:20] = _axis(solid.start, solid.end, "taper")
        elif isinstance(solid, Prism):
            points = solid.vertices()
            row[0] = HULL
            row[3:5] = used, len(points)
            row[5:8] = points.mean(axis=0)
            row[9:18] = np.eye(3).ravel()
            pools.append(points)
            used += len(points)
        else:
            raise TypeError(f"not a convex solid: {type(solid).__name__}")
    return rows, (np.vstack(pools) if pools else np.zeros((1, 3)))
