"""Random motions and solids for the tests of gaps; not a test itself."""

from collections.abc import Callable

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from trialfit.geometry.paths import PosePath
from trialfit.geometry.solids import Box, Capsule, Frustum, Prism, Solid, TriangleMesh, cylinder

Floats = NDArray[np.float64]
RANGE_LO = np.array((-80.0, -0.07, -0.05))
RANGE_HI = np.array((70.0, 0.07, 0.06))


def rotation(vector: Floats) -> Floats:
    """Rotation (3, 3) about ``vector`` by its length [rad]."""
    angle = float(np.linalg.norm(vector))
    if angle < 1e-14:
        return np.eye(3)
    x, y, z = vector / angle
    cross = np.array(((0, -z, y), (z, 0, -x), (-y, x, 0)))
    turned: Floats = np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross
    return turned


def random_rotation(rng: np.random.Generator) -> Floats:
    return rotation(rng.normal(size=3) * 2.0)


def path_of(function: Callable[[Floats], tuple[Floats, Floats]], uses: tuple[bool, bool, bool], terms: int) -> PosePath:
    """Path through a motion at Chebyshev nodes, by numpy's own transform."""
    counts = [terms if use else 1 for use in uses]
    nodes = [chebyshev.chebpts1(n) if n > 1 else np.zeros(1) for n in counts]
    values = np.empty((*counts, 12))
    for i, x in enumerate(nodes[0]):
        for j, y in enumerate(nodes[1]):
            for k, z in enumerate(nodes[2]):
                unit = np.array((x, y, z))
                turn, shift = function(RANGE_LO + (unit + 1) / 2 * (RANGE_HI - RANGE_LO))
                values[i, j, k, :9], values[i, j, k, 9:] = turn.ravel(), shift
    for axis in range(3):
        inverse = np.linalg.inv(chebyshev.chebvander(nodes[axis], counts[axis] - 1))
        values = np.moveaxis(np.tensordot(inverse, values, axes=(1, axis)), 0, axis)
    return PosePath(np.ascontiguousarray(values), RANGE_LO, RANGE_HI)


def random_path(rng: np.random.Generator, uses: tuple[bool, bool, bool] = (True, True, False)) -> PosePath:
    """An axle-like motion: mostly up and down, an arc fore and aft, roll about a drifting axis, some rock."""
    centre = rng.normal(size=3) * 150.0
    lift = np.array((rng.normal() * 0.15, rng.normal() * 0.15, 1.0))
    bow = rng.normal(size=3) * 6e-4
    turn = np.array((1.0, 0.0, 0.0)) + rng.normal(size=3) * 0.2
    lean = rng.normal(size=3) * 4e-4
    rock = rng.normal(size=3)

    def motion(q: Floats) -> tuple[Floats, Floats]:
        heave, roll, rocking = (value if use else 0.0 for value, use in zip(q, uses, strict=True))
        r = rotation(turn * roll + lean * heave) @ rotation(rock * rocking)
        return r, centre - r @ centre + lift * heave + bow * heave * heave

    return path_of(motion, uses, 7)


def random_solid(rng: np.random.Generator, kind: str, where: Floats, size: float = 100.0) -> Solid:
    turn = random_rotation(rng)
    half = turn[:, 2] * rng.uniform(0.1, 1.0) * size
    if kind == "capsule":
        return Capsule(where - half, where + half, rng.uniform(0.0, 0.4) * size)
    if kind == "box":
        return Box(where, rng.uniform(0.01, 1.0, 3) * size, turn.T)
    if kind == "cylinder":
        return cylinder(where - half, where + half, rng.uniform(0.05, 1.0) * size)
    if kind == "frustum":
        return Frustum(where - half, where + half, rng.uniform(0.05, 1.0) * size, rng.uniform(0.0, 0.5) * size)
    if kind == "plate":
        count = int(rng.integers(3, 7))
        angles = np.arange(count) * 2 * np.pi / count + rng.uniform(0.0, 0.8, count)
        flat = np.stack((np.cos(angles), np.sin(angles), 0 * angles), axis=1) * rng.uniform(0.3, 2.0) * size
        return Prism(flat @ turn.T + where, float(rng.choice((0.0, 2.0, 0.3 * size))))
    raise ValueError(kind)


KINDS = ("capsule", "box", "cylinder", "frustum", "plate")


def box_mesh(box: Box, cuts: int = 1) -> TriangleMesh:
    """The six faces of a box in triangles, each face cut into ``cuts`` x ``cuts`` squares."""
    vertices: list[Floats] = []
    triangles: list[tuple[int, int, int]] = []
    grid = np.linspace(-1.0, 1.0, cuts + 1)
    for axis in range(3):
        for side in (-1.0, 1.0):
            for i in range(cuts):
                for j in range(cuts):
                    first = len(vertices)
                    for u, v in ((i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)):
                        local = np.empty(3)
                        local[axis] = side
                        local[(axis + 1) % 3], local[(axis + 2) % 3] = grid[u], grid[v]
                        vertices.append(box.centre + (local * box.half_mm) @ box.axes)
                    triangles += [(first, first + 1, first + 2), (first, first + 2, first + 3)]
    return TriangleMesh(np.array(vertices), np.array(triangles))
