"""Flat patterns: rolled up they lie on the tube and on the cut, and their chords keep the error stated."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trialfit.geometry.unroll import (
    CHORD_ERROR_MM,
    circumference_mm,
    cone_pattern,
    dense,
    mitre_height_mm,
    roll,
    roll_cone,
    saddle_height_mm,
    saddle_pattern,
    tube_pattern,
)

diameters = st.floats(20.0, 150.0)
faces = st.floats(0.0, math.radians(40.0))
turns = st.floats(-math.pi, math.pi)


def _rolled(flat, diameter, seam_rad, paper_mm=0.0):
    """On a tube standing along z, angles around counted from +x."""
    seam = (math.cos(seam_rad), math.sin(seam_rad), 0.0)
    return roll(flat, diameter, (0, 0, 0), (0, 0, 1), seam, paper_mm)


@given(diameters, faces, faces, turns, turns, st.floats(0.0, 0.3))
@settings(max_examples=60, deadline=None)
def test_rolled_template_lies_on_the_tube_and_in_both_cut_planes(diameter, low, high, clock, seam, paper):
    axis = diameter * (math.tan(low) + math.tan(high)) + 20.0
    pattern = tube_pattern(diameter, axis, low, high, clock, seam, paper)
    for edge, face, direction, middle in (
        (pattern.upper, high, 0.0, axis),
        (pattern.lower, low, clock, 0.0),
    ):
        p = _rolled(edge, diameter, seam, paper)
        assert np.allclose(np.hypot(p[:, 0], p[:, 1]), 0.5 * diameter, atol=1e-9)
        sign = 1.0 if middle else -1.0
        # the cut's plane: tilted by the face angle so that its long side lies at `direction`
        normal = np.array([-sign * math.sin(face) * math.cos(direction), -sign * math.sin(face) * math.sin(direction),
                           math.cos(face)])
        assert np.abs((p - [0.0, 0.0, middle]) @ normal).max() < 1e-6
        assert np.allclose(p[0], p[-1], atol=1e-6)


def test_two_wedges_rolled_up_make_one_joint():
    # the middle wedge's upper edge meets the next one's lower edge when that is turned by the turn per joint
    diameter, face, half = 63.5, math.radians(11.25), 20.0
    wedge = tube_pattern(diameter, 2 * half, face, face)
    upper = _rolled(wedge.upper, diameter, math.pi) - [0, 0, 2 * half]
    lower = _rolled(wedge.lower, diameter, math.pi)
    turn = 2 * face
    # long side at +x, so the bend turns towards -x about -y
    rot = np.array([[math.cos(turn), 0, -math.sin(turn)], [0, 1, 0], [math.sin(turn), 0, math.cos(turn)]])
    assert np.allclose(lower @ rot.T, upper, atol=1e-9)


def test_cuts_that_cross_are_refused_and_the_length_just_enough_is_not():
    face = math.radians(20.0)
    need = 60.0 * math.tan(face)
    with pytest.raises(ValueError, match=r"too short by 1\.00 mm: the two cuts cross"):
        tube_pattern(60.0, need - 1.0, face, face)
    assert tube_pattern(60.0, need, face, face).upper.shape[1] == 2
    # half a turn apart the same two cuts are parallel and need no length
    assert tube_pattern(60.0, 1.0, face, face, clock_rad=math.pi).axis_mm == 1.0


def test_seen_from_outside_with_up_upwards_the_paper_runs_to_the_right():
    # looking along -y at a tube standing along z, from y = +100: the viewer's right is -x
    p = roll([(0.0, 0.0), (5.0, 0.0)], 40.0, (0, 0, 0), (0, 0, 1), (0, 1, 0))
    assert p[1, 0] < p[0, 0]


def test_paper_thickness_widens_by_pi_times_it():
    assert circumference_mm(60.0, 0.1) - circumference_mm(60.0) == pytest.approx(math.pi * 0.1)
    with pytest.raises(ValueError, match="outside 0 to 6 mm"):
        circumference_mm(60.0, 7.0)


def test_pattern_ordinates_repeat_the_sum():
    pattern = tube_pattern(63.5, 50.0, 0.0, 0.3)
    around = math.pi + math.tau * pattern.upper[:, 0] / circumference_mm(63.5)
    sums = [50.0 + mitre_height_mm(63.5, 0.3, a) for a in around]
    assert np.allclose(pattern.upper[:, 1], sums, atol=1e-9)


def _off(chain, truth):
    """Largest distance of dense true points from a chain of chords."""
    worst = 0.0
    a, d = chain[:-1], np.diff(chain, axis=0)
    for p in truth:
        t = np.clip(np.einsum("ij,ij->i", p - a, d) / np.einsum("ij,ij->i", d, d), 0.0, 1.0)
        worst = max(worst, float(np.linalg.norm(p - a - t[:, None] * d, axis=1).min()))
    return worst


@pytest.mark.parametrize("run, branch, angle, offset", [
    (63.5, 63.5, 90.0, 0.0), (63.5, 63.4, 90.0, 0.0), (63.5, 63.5, 35.0, 0.0), (76.2, 50.8, 45.0, 10.0),
    (76.2, 50.8, 120.0, 12.7), (200.0, 20.0, 60.0, -30.0),
])
def test_chords_keep_the_error_stated_on_saddles(run, branch, angle, offset):
    pattern = saddle_pattern(run, branch, math.radians(angle), offset)
    t = np.linspace(0.0, 1.0, 3001)
    heights = [saddle_height_mm(run, branch, math.radians(angle), offset, math.pi + math.tau * v) for v in t]
    truth = np.column_stack([circumference_mm(branch) * t, heights])
    assert _off(pattern.saddle, truth) < CHORD_ERROR_MM
    assert len(pattern.saddle) < 400


def test_chords_keep_the_error_stated_on_mitres_and_cones():
    pattern = tube_pattern(101.6, 200.0, 0.0, math.radians(40.0))
    t = np.linspace(0.0, 1.0, 3001)
    width = circumference_mm(101.6)
    high = 50.8 * math.tan(math.radians(40.0))
    truth = np.column_stack([width * t, 200.0 + high * np.cos(math.pi + math.tau * t)])
    assert _off(pattern.upper, truth) < CHORD_ERROR_MM
    cone = cone_pattern(50.0, 300.0, 40.0)
    angles = (t - 0.5) * cone.angle_rad
    assert _off(cone.outer, cone.outer_radius_mm * np.column_stack([np.sin(angles), np.cos(angles)])) < CHORD_ERROR_MM


@pytest.mark.parametrize("curve, words", [
    (lambda t: np.column_stack([1e5 * t, 50.0 * np.sin(1e7 * t)]), "cannot be followed to 0.02 mm"),
    (lambda t: np.column_stack([t, np.where(t < 0.3, 0.0, np.nan)]), "no finite value"),
])
def test_a_curve_that_cannot_be_followed_is_refused(curve, words):
    with pytest.raises(ValueError, match=words):
        dense(curve, (0.0, 1.0))


@given(st.floats(5.0, 120.0), st.floats(1.0, 120.0), st.floats(5.0, 300.0))
@settings(max_examples=40, deadline=None)
def test_rolled_cone_has_its_diameters_height_and_area(small, more, height):
    large = small + more
    pattern = cone_pattern(small, large, height)
    outer, inner = roll_cone(pattern.outer, pattern), roll_cone(pattern.inner, pattern)
    assert np.allclose(np.hypot(outer[:, 0], outer[:, 1]), 0.5 * large, atol=1e-6)
    assert np.allclose(np.hypot(inner[:, 0], inner[:, 1]), 0.5 * small, atol=1e-6)
    assert np.allclose(outer[:, 2].mean() - inner[:, 2].mean(), height, atol=1e-6)
    assert np.allclose(outer[0], outer[-1], atol=1e-6)
    # along the edge paper neither stretches nor shrinks
    flat = pattern.outer_radius_mm * pattern.angle_rad
    assert flat == pytest.approx(math.pi * large, rel=1e-12)


@given(st.floats(30.0, 120.0), st.floats(0.2, 1.0), st.floats(25.0, 155.0), st.floats(-1.0, 1.0))
@settings(max_examples=60, deadline=None)
def test_saddle_and_hole_rolled_up_lie_on_run_and_branch(run, part, degrees, aside):
    branch = run * part
    offset = aside * 0.5 * (run - branch) * 0.999
    angle = math.radians(degrees)
    pattern = saddle_pattern(run, branch, angle, offset)
    # the run lies along x; the branch passes (0, offset, 0), leaning to +x by its angle; acute side = +x side
    axis = np.array([math.cos(angle), 0.0, math.sin(angle)])
    acute = np.array([math.sin(angle), 0.0, -math.cos(angle)])
    p = roll(pattern.saddle, branch, (0, offset, 0), axis, -acute)
    assert np.abs(np.hypot(p[:, 1], p[:, 2]) - 0.5 * run).max() < 1e-6
    # the run's paper: x = 0 faces the branch (+z), up is +x
    h = roll(pattern.hole, run, (0, 0, 0), (1, 0, 0), (0, 0, 1))
    from_axis = np.cross(h - [0.0, offset, 0.0], axis)
    assert np.abs(np.linalg.norm(from_axis, axis=1) - 0.5 * branch).max() < 1e-6


def test_saddle_set_on_is_cut_to_the_inside_diameter():
    on = saddle_pattern(76.2, 50.8, fit_mm=47.8)
    # seam in the obtuse side: at mid-paper the branch faces the acute side, where square branches are the highest
    assert on.saddle[:, 1].min() == pytest.approx(math.sqrt(38.1**2 - 23.9**2), abs=0.01)
    assert on.saddle[-1, 0] == pytest.approx(math.pi * 50.8)
    with pytest.raises(ValueError, match=r"exceeds the branch, 50\.8 mm"):
        saddle_pattern(76.2, 50.8, fit_mm=51.0)


@pytest.mark.parametrize("arguments, words", [
    ((50.0, 60.0), "stands 5 mm out past the side of the run"),
    ((60.0, 40.0, 1.57, 12.0), "stands 2 mm out past the side"),
    ((60.0, 40.0, 0.2), "outside 20 to 160 deg"),
    ((0.0, 40.0), "must be more than 0"),
])
def test_saddles_that_cannot_be_are_refused(arguments, words):
    with pytest.raises(ValueError, match=words):
        saddle_height_mm(*arguments)


def test_plane_cut_of_a_solid_cylinder_agrees():
    # reference library: manifold3d trims a solid cylinder of 720 sides by the plane
    import manifold3d

    diameter, face, length = 63.5, math.radians(15.0), 100.0
    solid = manifold3d.Manifold.cylinder(300.0, 0.5 * diameter, circular_segments=720)
    normal = (math.sin(face), 0.0, -math.cos(face))  # keeps what lies below a plane that rises towards +x
    cut = solid.trim_by_plane(normal, -length * math.cos(face))
    v = np.asarray(cut.to_mesh().vert_properties)[:, :3].astype(float)
    top = v[v[:, 2] > 50.0]
    around = np.arctan2(top[:, 1], top[:, 0])
    expected = [length + mitre_height_mm(diameter, face, a) for a in around]
    assert len(top) >= 700
    assert np.abs(top[:, 2] - expected).max() < 0.01


@pytest.mark.parametrize("angle, offset", [(90.0, 0.0), (60.0, 0.0), (90.0, 8.0), (50.0, -7.0), (120.0, 5.0)])
def test_solid_difference_of_branch_and_run_agrees(angle, offset):
    # reference library: manifold3d subtracts the run from the branch; the rim's corners lie on both facetted skins
    import manifold3d

    run, branch, n = 60.0, 40.0, 480
    a = math.radians(angle)
    big = manifold3d.Manifold.cylinder(400.0, 0.5 * run, circular_segments=n, center=True).rotate((0.0, 90.0, 0.0))
    # the cylinder stands along z; leaning it by 90 deg - angle about +y points it to (cos a, 0, sin a)
    small = manifold3d.Manifold.cylinder(150.0, 0.5 * branch, circular_segments=n)
    small = small.rotate((0.0, 90.0 - angle, 0.0)).translate((0.0, offset, 0.0))
    v = np.asarray((small - big).to_mesh().vert_properties)[:, :3].astype(float)
    axis = np.array([math.cos(a), 0.0, math.sin(a)])
    acute = np.array([math.sin(a), 0.0, -math.cos(a)])
    d = v - [0.0, offset, 0.0]
    height, side = d @ axis, np.column_stack([d @ acute, d[:, 1]])
    skin = np.abs(np.hypot(side[:, 0], side[:, 1]) - 0.5 * branch) < 0.01
    rim = skin & (height < 149.0)
    around = np.arctan2(side[rim, 1], side[rim, 0])
    expected = [saddle_height_mm(run, branch, a, offset, v) for v in around]
    assert rim.sum() > 100
    assert np.abs(height[rim] - expected).max() < 0.05
