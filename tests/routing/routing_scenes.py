"""Small invented questions to the router, quick to answer."""

import math
from dataclasses import replace
from functools import cache

import numpy as np

from trialfit.geometry.gaps import Domain, Rigid, Span
from trialfit.geometry.paths import PosePath, fit
from trialfit.geometry.solids import Box, Capsule, Frustum, Prism, TriangleMesh, cylinder
from trialfit.routing import Bend, Exit, LegPart, Obstacle, Problem, Size, Term

LO, HI = np.array([-60.0, -0.05, 0.0]), np.array([70.0, 0.05, 0.0])


@cache
def heave_and_roll() -> PosePath:
    """Up with heave, and a turn by roll about the line along x through y = 0, z = 300."""

    def pose(at: np.ndarray) -> np.ndarray:
        c, s = np.cos(at[:, 1]), np.sin(at[:, 1])
        out = np.zeros((len(at), 12))
        out[:, 0] = 1.0
        out[:, 4], out[:, 5], out[:, 7], out[:, 8] = c, -s, s, c
        out[:, 10] = 300.0 * s
        out[:, 11] = at[:, 0] + 300.0 * (1.0 - c)
        return out

    return fit(pose, LO, HI, axes=(True, True, False)).path


def states() -> np.ndarray:
    return np.array([(h, r, 0.0) for h in np.linspace(LO[0], HI[0], 7) for r in np.linspace(LO[1], HI[1], 5)])


def size(diameter: float = 60.0, *, ratio: float = 1.5, bends: tuple[Bend, ...] | None = None) -> Size:
    """One pipe; cost 0.01 a mm, 0.03 a degree, 3 a bend."""
    kinds = bends if bends is not None else (Bend("bend", ratio * diameter, math.radians(120.0)),)
    rad = tuple(0.03 * math.degrees(1.0) for _ in kinds)
    return Size(f"{diameter:g} mm", diameter, 1.5, kinds, (
        Term("length", "mm", 0.01, 1.0, (0.0,) * len(kinds), (0.0,) * len(kinds), 0.0),
        Term("turning", "", 1.0, 0.0, rad, (0.0,) * len(kinds), 0.0),
        Term("welds", "", 1.5, 0.0, (0.0,) * len(kinds), tuple(float(b.welds) for b in kinds), 0.0)))


def over_the_axle(**changes: object) -> Problem:
    """A pipe from the front that must pass a moving axle to the rear, with solids of every kind in the way."""
    axle = heave_and_roll()
    plate = Prism(np.array([[200.0, -400, 640], [2800, -400, 640], [2800, 400, 640], [200, 400, 640]]), 2.0)
    nose = Frustum(np.array([1440.0, 0, 300]), np.array([1220.0, 0, 310]), 90.0, 50.0)
    things = (
        Obstacle("axle tube", "axle", Rigid((Capsule([1500, -600, 300], [1500, 600, 300], 40.0), nose), axle), 30.0),
        Obstacle("shaft", "shaft", Span(np.array([300.0, 0, 380]), None, np.array([1220.0, 0, 310]), axle, 40.0), 25.0),
        Obstacle("spring left", "spring", Span(np.array([1100.0, -450, 380]), None, np.array([1500.0, -450, 360]), axle,
                                               30.0), 20.0),
        Obstacle("spring right", "spring", Span(np.array([1100.0, 450, 380]), None, np.array([1500.0, 450, 360]), axle,
                                                30.0), 20.0),
        Obstacle("wheel right", "tyre", Rigid((cylinder([1500, 600, 300], [1500, 800, 300], 310.0),), axle), 25.0),
        Obstacle("floor", "floor", Rigid((plate,)), 20.0, landmark=False),
        Obstacle("tank", "fuel", Rigid((Box(np.array([1950.0, -150, 380]), np.array([250.0, 250, 120])),)), 50.0),
        Obstacle("rail right", "frame", Rigid((Box(np.array([1500.0, 500, 560]), np.array([1500.0, 30, 50])),)), 15.0),
    )
    problem = Problem(
        obstacles=things, outlet=np.array([0.0, 200.0, 300.0]), aim=np.array([1.0, 0.0, 0.0]),
        exit=Exit(np.array([2600.0, 100.0, 250.0]), np.array([2700.0, 420.0, 450.0]), np.array([1.0, 0, 0]),
                  math.radians(12.0)),
        sizes=(size(),), bounds=np.array([[-100.0, -700, 100], [2900, 800, 700]]), domain=Domain(LO, HI),
        states=states())
    return replace(problem, **changes)  # type: ignore[arg-type]


def muffler(**changes: object) -> LegPart:
    part = LegPart("box", "muffler", 350.0, 160.0, 100.0, np.array([[300.0, 60, 200], [1000, 400, 450]]), (0.0,), 20.0)
    return replace(part, **changes)  # type: ignore[arg-type]


def bumpy_sheet(count: int = 20) -> TriangleMesh:
    """A wavy sheet above the pipe."""
    x, y = np.meshgrid(np.linspace(100, 2500, count), np.linspace(-300, 500, count), indexing="ij")
    z = 560.0 + 15.0 * np.sin(x / 90.0) * np.cos(y / 70.0)
    points = np.stack((x, y, z), axis=2).reshape(-1, 3)
    cells = []
    for i in range(count - 1):
        for j in range(count - 1):
            a = i * count + j
            cells += [[a, a + 1, a + count], [a + 1, a + count + 1, a + count]]
    return TriangleMesh(points, np.array(cells))
