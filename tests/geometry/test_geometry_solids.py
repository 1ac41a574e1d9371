"""Solids: what is refused, and that the boxes round them hold them."""

import numpy as np
import pytest
from sample_motion import KINDS, random_solid

from trialfit.geometry import solids
from trialfit.geometry.distance import support


@pytest.mark.parametrize("kind", KINDS)
def test_bounds_are_met_by_the_farthest_points_along_the_axes(kind: str) -> None:
    rng = np.random.default_rng(11)
    for _ in range(20):
        solid = random_solid(rng, kind, rng.normal(size=3) * 300)
        low, high = solids.bounds(solid)
        rows, vertices = solids.pack([solid])
        for axis in range(3):
            along = np.eye(3)[axis]
            assert support(rows[0], vertices, *along)[axis] + rows[0, 1] == pytest.approx(high[axis], abs=1e-9)
            assert support(rows[0], vertices, *-along)[axis] - rows[0, 1] == pytest.approx(low[axis], abs=1e-9)


def test_support_point_of_a_disc_stays_on_its_disc_when_asked_nearly_along_the_axis() -> None:
    axis = np.array((0.36, 0.48, 0.8))
    rows, vertices = solids.pack([solids.cylinder(np.zeros(3), 500 * axis, 300.0)])
    across = np.array((0.8, -0.6, 0.0))
    for tilt in 10.0 ** np.arange(-16, -3):
        point = np.array(support(rows[0], vertices, *(axis + tilt * across)))
        assert point @ axis == pytest.approx(500.0, abs=1e-9)
        assert np.linalg.norm(point - 500 * axis) <= 300.0 + 1e-9


def test_plate_without_thickness_keeps_its_corners_and_a_warped_one_holds_them_all() -> None:
    square = np.array(((0, 0, 0), (100, 0, 0), (100, 80, 0), (0, 80, 0)), dtype=float)
    assert np.array_equal(solids.Prism(square, 0.0).vertices(), square)
    square[2, 2] = 6.0
    vertices = solids.Prism(square, 4.0).vertices()
    assert len(vertices) == 8
    assert np.allclose(np.linalg.norm(vertices[:4] - vertices[4:], axis=1), 4.0)
    assert np.allclose((vertices[:4] + vertices[4:]) / 2, square)


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: solids.Capsule(np.zeros(3), np.zeros(3), -1.0), "capsule radius: -1.0 mm is outside 0 to 1000000 mm"),
        (lambda: solids.Capsule(np.zeros(3), np.array((0, np.nan, 0)), 1.0), "every value must be finite"),
        (lambda: solids.Capsule(np.zeros(2), np.zeros(3), 1.0), "three coordinates expected"),
        (lambda: solids.Capsule(np.zeros(3), np.zeros(3), 1.0, np.inf), "capsule slack"),
        (lambda: solids.Box(np.zeros(3), np.array((1, -2, 3))), "none may be below 0 mm"),
        (lambda: solids.Box(np.zeros(3), np.ones(3), 2 * np.eye(3)), "unit rows square to each other"),
        (lambda: solids.cylinder(np.ones(3), np.ones(3), 5.0), "two ends must lie at least 1e-6 mm apart"),
        (lambda: solids.Frustum(np.zeros(3), np.ones(3), 5.0, 2e6), "radius at its end: 2000000.0 mm is outside"),
        (lambda: solids.Prism(np.zeros((2, 3)), 1.0), "3 to 64 corners"),
        (lambda: solids.Prism(np.array(((0, 0, 0), (1, 1, 1), (3, 3, 3.0))), 1.0), "enclose no area"),
        (lambda: solids.TriangleMesh(np.eye(3), np.array([[0, 1, 3]])), "indices must lie in 0 to 2"),
        (lambda: solids.TriangleMesh(np.eye(3), np.zeros((0, 3))), "1 to 2000000 triangles"),
        (lambda: solids.TriangleMesh(np.eye(3) * np.inf, np.array([[0, 1, 2]])), "finite"),
    ],
)
def test_what_is_no_solid_is_refused(make, says: str) -> None:  # type: ignore[no-untyped-def]
    with np.errstate(invalid="ignore"), pytest.raises(ValueError, match=says.replace("(", r"\(")):
        make()
