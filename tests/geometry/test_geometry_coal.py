"""Signed distance of convex solids and scans against a general collision library.

Work: coal (3.0, BSD-3). Kind: reference library. It has no build for Windows, where this file is skipped.
Its own answer for round solids stops at its solver's tolerance, which sets the tolerance here.
"""

import numpy as np
import pytest
from sample_motion import box_mesh, random_rotation

from trialfit.geometry import Rigid, gap_at
from trialfit.geometry.solids import Box, Capsule, Prism, TriangleMesh, cylinder

coal = pytest.importorskip("coal")

KINDS = ("capsule", "box", "cylinder", "plate")
PAIRS = [(a, b) for i, a in enumerate(KINDS) for b in KINDS[i:]]


def _both(rng: np.random.Generator, kind: str, where: np.ndarray, size: float) -> tuple:  # type: ignore[type-arg]
    """The same solid here and in the library."""
    turn = random_rotation(rng)
    placed = coal.Transform3s(turn, where)
    if kind == "box":
        half = rng.uniform(0.02, 1.0, 3) * size
        return Box(where, half, turn.T), coal.Box(*(2 * half)), placed
    if kind == "plate":
        count = int(rng.integers(3, 7))
        angles = np.arange(count) * 2 * np.pi / count + rng.uniform(0.0, 0.8, count)
        flat = np.stack((np.cos(angles), np.sin(angles), 0 * angles), axis=1) * size
        plate = Prism(flat @ turn.T + where, float(rng.uniform(0.01, 0.3) * size))
        points = coal.StdVec_Vec3s()
        for vertex in plate.vertices():
            points.append(vertex)
        return plate, coal.Convex.convexHull(points, True, "Qt"), coal.Transform3s(np.eye(3), np.zeros(3))
    length, radius = rng.uniform(0.1, 2.0) * size, rng.uniform(0.05, 0.8) * size
    half_axis = turn[:, 2] * length / 2
    if kind == "capsule":
        return Capsule(where - half_axis, where + half_axis, radius), coal.Capsule(radius, length), placed
    return cylinder(where - half_axis, where + half_axis, radius), coal.Cylinder(radius, length), placed


def _library(a: tuple, b: tuple) -> float:  # type: ignore[type-arg]
    request = coal.DistanceRequest()
    request.enable_signed_distance = True
    request.gjk_tolerance = 1e-9
    request.epa_tolerance = 1e-9
    return float(coal.distance(a[1], a[2], b[1], b[2], request, coal.DistanceResult()))


@pytest.mark.parametrize(("kind_a", "kind_b"), PAIRS)
def test_signed_distance_agrees_with_the_library(kind_a: str, kind_b: str) -> None:
    rng = np.random.default_rng([KINDS.index(kind_a), KINDS.index(kind_b)])
    round_ones = "cylinder" in (kind_a, kind_b)
    apart = overlapping = 0
    for trial in range(60):
        size = float(rng.choice((5.0, 100.0, 800.0)))
        reach = size * rng.choice((0.3, 1.2, 2.0, 8.0))
        a = _both(rng, kind_a, rng.normal(size=3) * 100, size)
        away = rng.normal(size=3)
        b = _both(rng, kind_b, a[2].getTranslation() + away / np.linalg.norm(away) * reach, size)
        if kind_a == "plate":
            b = _both(rng, kind_b, a[0].corners.mean(axis=0) + away / np.linalg.norm(away) * reach, size)
        got = gap_at(Rigid((a[0],)), Rigid((b[0],)), (0, 0, 0))
        theirs = _library(a, b)
        assert got.lower_mm <= got.upper_mm
        if theirs > 0:
            apart += 1
            near = (2e-5 if round_ones else 1e-6) * max(1.0, theirs)
            assert got.upper_mm - got.lower_mm < 2e-6 + 5e-6 * max(1.0, theirs)
        else:
            overlapping += 1
            near = 2e-4 * max(1.0, -theirs) if round_ones else 1e-4 * max(1.0, -theirs)
        assert got.lower_mm - near <= theirs <= got.upper_mm + near, (trial, got, theirs)
    assert apart > 10
    assert overlapping > 5


def test_scan_agrees_with_the_library_on_capsules() -> None:
    rng = np.random.default_rng(5)
    u, v = np.meshgrid(np.linspace(0, 1, 40), np.linspace(0, 1, 40), indexing="ij")
    vertices = np.stack((u * 900, v * 600, 60 * np.sin(5 * u) * np.cos(4 * v)), axis=2).reshape(-1, 3)
    first = (np.arange(39)[:, None] * 40 + np.arange(39)).ravel()
    triangles = np.vstack((np.stack((first, first + 1, first + 41), 1), np.stack((first, first + 41, first + 40), 1)))
    scan = Rigid((TriangleMesh(vertices, triangles),))
    tree = coal.BVHModelOBBRSS()
    tree.beginModel(len(triangles), len(vertices))
    for triangle in triangles:
        tree.addTriangle(*vertices[triangle])
    tree.endModel()
    for _ in range(60):
        where = rng.uniform((-100, -100, -250), (1000, 700, 250))
        solid = _both(rng, "capsule", where, 60.0)
        theirs = coal.distance(
            tree, coal.Transform3s(), solid[1], solid[2], coal.DistanceRequest(), coal.DistanceResult()
        )
        got = gap_at(scan, Rigid((solid[0],)), (0, 0, 0))
        if theirs > 0:
            assert got.lower_mm - 1e-6 <= theirs <= got.upper_mm + 1e-6
        else:
            assert got.upper_mm <= 1e-5


def test_scan_of_a_box_is_as_far_as_the_box() -> None:
    """Another route: the library is not needed, the convex kernel answers for the surface."""
    rng = np.random.default_rng(8)
    box = Box(np.array((50.0, -20.0, 300.0)), np.array((200.0, 90.0, 40.0)), random_rotation(rng).T)
    scan, solid = Rigid((box_mesh(box, 5),)), Rigid((box,))
    seen = 0
    for kind in KINDS:
        for _ in range(15):
            thing = Rigid((_both(rng, kind, box.centre + rng.normal(size=3) * 400, 70.0)[0],))
            whole, skin = gap_at(solid, thing, (0, 0, 0)), gap_at(scan, thing, (0, 0, 0))
            if whole.lower_mm > 0:
                seen += 1
                assert skin.lower_mm == pytest.approx(whole.lower_mm, abs=1e-5, rel=1e-6)
                assert skin.upper_mm == pytest.approx(whole.upper_mm, abs=1e-5, rel=1e-6)
    assert seen > 30
