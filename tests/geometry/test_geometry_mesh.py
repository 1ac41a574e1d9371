"""Scans out of bytes and onto hardpoints."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sample_motion import box_mesh, random_rotation

from trialfit.geometry import Rigid, gap_at
from trialfit.geometry.mesh import MeshError, align, mesh_from_bytes
from trialfit.geometry.solids import Box, Capsule

trimesh = pytest.importorskip("trimesh")


def _written(kind: str) -> tuple[bytes, float]:
    whole = trimesh.creation.box((2.0, 3.0, 4.0))
    data = whole.export(file_type=kind)
    return (data.encode() if isinstance(data, str) else data), 2 * (6 + 8 + 12)


@pytest.mark.parametrize("kind", ["stl", "stl_ascii", "obj", "ply", "glb"])
def test_each_file_type_gives_back_the_surface_that_was_written(kind: str) -> None:
    """Kind: reference library writes, its area by hand: 2 (2x3 + 2x4 + 3x4) = 52."""
    data, area = _written(kind)
    raw = mesh_from_bytes(data, kind.removesuffix("_ascii").upper())
    corners = raw.vertices[raw.triangles]
    found = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1).sum() / 2
    assert found == pytest.approx(area, rel=1e-6)
    assert np.ptp(raw.vertices, axis=0) == pytest.approx((2.0, 3.0, 4.0))


def test_scene_of_two_parts_keeps_where_each_stands() -> None:
    scene = trimesh.Scene()
    scene.add_geometry(trimesh.creation.box((1, 1, 1)))
    scene.add_geometry(trimesh.creation.box((1, 1, 1)), transform=trimesh.transformations.translation_matrix((9, 0, 0)))
    raw = mesh_from_bytes(scene.export(file_type="glb"), ".glb")
    assert len(raw.triangles) == 24
    assert raw.vertices[:, 0].min() == pytest.approx(-0.5)
    assert raw.vertices[:, 0].max() == pytest.approx(9.5)


def _stl(count: int, body: bytes = b"") -> bytes:
    return b"scan".ljust(80) + count.to_bytes(4, "little") + body


NOT_A_NUMBER = _stl(1, np.array((0, 0, 1, 0, 0, 0, np.nan, 0, 0, 0, 1, 0), dtype="<f4").tobytes() + b"\0\0")
NO_AREA = _stl(1, np.array((0, 0, 1, 0, 0, 0, 1, 0, 0, 2, 0, 0), dtype="<f4").tobytes() + b"\0\0")


POINTS_ALONE = (
    b"ply\nformat ascii 1.0\nelement vertex 1\nproperty float x\nproperty float y\nproperty float z\n"
    b"end_header\n0 0 0\n"
)


@pytest.mark.parametrize(
    ("data", "kind", "says"),
    [
        (b"", "stl", "file is empty"),
        (b"x", "step", "must be one of stl, obj, ply, glb, not 'step'"),
        (_stl(3_000_000), "stl", "has 3000000 triangles, more than 2000000"),
        (_stl(5), "stl", "promises 5 triangles and breaks off"),
        (NOT_A_NUMBER, "stl", "1 of the scan's 3 corners are not numbers"),
        (NO_AREA, "stl", "without area"),
        (b"ply\nformat ascii 1.0\nelement vertex 3\nelement face 9000000\nend_header\n", "ply", "9000000 triangles"),
        (POINTS_ALONE, "ply", "no triangles"),
        (b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 9\n", "obj", "export it again"),
        (b"hello", "obj", "scan"),
        (b"glTF" + b"\xff" * 40, "glb", "cannot be read as GLB"),
        (b"not at all", "glb", "not a GLB file"),
        (b"\x00" * 100, "ply", "cannot be read as PLY"),
    ],
)
def test_broken_scans_are_refused_in_one_sentence(data: bytes, kind: str, says: str) -> None:
    with pytest.raises(MeshError, match=says):
        mesh_from_bytes(data, kind)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(3, 8), st.booleans())
def test_ties_recover_the_motion_and_scale_that_made_them(seed: int, count: int, told: bool) -> None:
    rng = np.random.default_rng(seed)
    file = rng.normal(size=(count, 3)) + np.eye(3)[np.arange(count) % 3] * 4
    turn, shift, scale = random_rotation(rng), rng.normal(size=3) * 1000, float(rng.uniform(0.5, 1000))
    vehicle = scale * file @ turn.T + shift
    found = align(file, vehicle, scale if told else None)
    assert found.scale == pytest.approx(scale, rel=1e-9)
    assert found.rotation == pytest.approx(turn, abs=1e-6)
    assert found.move(file) == pytest.approx(vehicle, abs=1e-6 * scale)
    assert np.linalg.det(found.rotation) == pytest.approx(1.0)
    assert found.rms_mm < 1e-6 * scale


def test_fit_is_the_library_s_own_with_noise() -> None:
    """Kind: reference library, scipy's Rotation.align_vectors for the turn at given scale."""
    rotations = pytest.importorskip("scipy.spatial.transform")
    rng = np.random.default_rng(3)
    file = rng.normal(size=(6, 3)) * 500
    vehicle = file @ random_rotation(rng).T + 100 + rng.normal(size=(6, 3)) * 3
    found = align(file, vehicle, 1.0)
    theirs, distance = rotations.Rotation.align_vectors(vehicle - vehicle.mean(0), file - file.mean(0))
    assert found.rotation == pytest.approx(theirs.as_matrix(), abs=1e-9)
    assert found.rms_mm == pytest.approx(distance / np.sqrt(6), rel=1e-9)
    assert found.residuals_mm == pytest.approx(np.linalg.norm(found.move(file) - vehicle, axis=1), rel=1e-9)


def test_nearly_flat_ties_with_noise_are_not_taken_for_a_mirror_image() -> None:
    rng = np.random.default_rng(20)
    for _ in range(200):
        flat = rng.uniform(-800, 800, (4, 3)) * (1, 1, 0)
        if np.linalg.svd(flat - flat.mean(0), compute_uv=False)[1] < 100:
            continue
        vehicle = flat @ random_rotation(rng).T + rng.normal(size=(4, 3)) * 4
        assert align(flat, vehicle, 1.0).rms_mm < 15


CORNERS = np.array(((0, 0, 0), (1000, 0, 0), (0, 600, 0), (0, 0, 400.0)))


@pytest.mark.parametrize(
    ("file", "vehicle", "scale", "says"),
    [
        (CORNERS[:2], CORNERS[:2], None, "three or more ties, it has 2"),
        (CORNERS[:3], CORNERS, None, "come in pairs"),
        (np.outer((1, 2, 5.0), (1, 1, 1)), CORNERS[:3], None, "on one line in the file"),
        (CORNERS[:3], np.outer((1, 2, 5.0), (1, 1, 1)), None, "on one line on the vehicle"),
        (np.zeros((3, 3)), CORNERS[:3], None, "on one line"),
        (CORNERS * (1, -1, 1), CORNERS, 1.0, "only as a mirror image"),
        (CORNERS, CORNERS, 0.0, "scale 0.0 must be above 0"),
        (CORNERS * np.nan, CORNERS, 1.0, "finite number"),
    ],
)
def test_ties_that_hold_nothing_are_refused(
    file: np.ndarray, vehicle: np.ndarray, scale: float | None, says: str
) -> None:
    with pytest.raises(MeshError, match=says):
        align(file, vehicle, scale)


def test_scan_laid_on_hardpoints_is_measured_where_it_stands() -> None:
    """By hand: a box face at x = 1000 + 60 from a file in metres, a ball of radius 5 at x = 1100: 35 mm."""
    box = box_mesh(Box(np.zeros(3), np.array((0.06, 0.1, 0.2))))
    data = trimesh.Trimesh(box.vertices, box.triangles, process=False).export(file_type="ply")
    ties = np.array(((0, 0, 0), (0, 0.1, 0), (0, 0, 0.2)))
    raw = mesh_from_bytes(data, "ply")
    laid = raw.laid(align(ties, ties * 1000 + (1000, 0, 0)))
    ball = Rigid((Capsule(np.array((1100.0, 0, 0)), np.array((1100.0, 0, 0)), 5.0),))
    found = gap_at(Rigid((laid,)), ball, (0, 0, 0))
    assert (found.lower_mm, found.upper_mm) == pytest.approx((35.0, 35.0), abs=1e-4)
