"""Centre lines: continuity, lengths, refusals, and capsules that hold the pipe."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trialfit.geometry.centreline import (
    Arc,
    CentrelineError,
    Mitred,
    Straight,
    capsules,
    centreline,
    faults,
    legs,
    turns_rad,
)

ROUTE = [(0, 0, 0), (500, 40, 10), (700, 300, -120), (1300, 310, 150), (1800, -60, 80)]
RADII = [95.0, 76.0, 120.0]

coordinate = st.floats(-2000.0, 2000.0)
chains = st.lists(st.tuples(coordinate, coordinate, coordinate), min_size=3, max_size=7)


def _fitting(points):
    """Radii that fit any chain without folds: each bend takes at most 0.45 of its shorter leg."""
    p = np.asarray(points, dtype=float)
    length = np.linalg.norm(np.diff(p, axis=0), axis=1)
    turn = turns_rad(p)
    return [0.45 * min(a, b) / max(math.tan(0.5 * t), 0.05) for a, b, t in zip(length, length[1:], turn, strict=False)]


def _sane(points):
    p = np.asarray(points, dtype=float)
    return np.linalg.norm(np.diff(p, axis=0), axis=1).min() > 5.0 and turns_rad(p).max() < 2.9


@given(chains.filter(_sane))
@settings(max_examples=60, deadline=None)
def test_pieces_join_smoothly_and_length_is_legs_less_gains(points):
    radii = _fitting(points)
    line = centreline(points, radii)
    ends = [(s.point_at(0.0), s.point_at(s.length_mm)) for s in line.stretches]
    for (_, stop), (start, _) in itertools.pairwise(ends):
        assert np.linalg.norm(stop - start) < 1e-6
    for one, two in itertools.pairwise(line.stretches):
        assert one.tangent_at(one.length_mm) @ two.tangent_at(0.0) == pytest.approx(1.0, abs=1e-9)
    # another route to the answer: legs less two set-backs plus an arc at each corner
    shape = legs(points, radii)
    gains = sum(2 * b - r * t for b, r, t in zip(shape.set_back_mm, radii, shape.turn_rad, strict=True))
    assert line.length_mm == pytest.approx(float(shape.length_mm.sum()) - gains, abs=1e-6)
    assert np.allclose(line.point_at(line.length_mm), points[-1], atol=1e-6)


def test_length_by_numerical_integration_of_the_points():
    # another route to the answer: the sum of 20,000 chords
    line = centreline(ROUTE, RADII)
    s = np.linspace(0.0, line.length_mm, 20_001)
    p = np.array([line.point_at(v) for v in s])
    assert np.linalg.norm(np.diff(p, axis=0), axis=1).sum() == pytest.approx(line.length_mm, abs=1e-3)


def test_tangent_is_the_slope_of_the_points():
    line = centreline(ROUTE, RADII, [0, 4, 0])
    for s in np.linspace(3.0, line.length_mm - 3.0, 97):
        slope = (line.point_at(s + 1e-5) - line.point_at(s - 1e-5)) / 2e-5
        if np.linalg.norm(slope) > 0.999999:  # not across a mitre
            assert line.tangent_at(s) @ slope == pytest.approx(1.0, abs=1e-6)


def test_datum_shift_changes_nothing():
    moved = np.array(ROUTE) + np.array([1234.5, -77.0, 12.25])
    assert centreline(moved, RADII).length_mm == pytest.approx(centreline(ROUTE, RADII).length_mm, abs=1e-9)


def test_a_corner_that_does_not_turn_has_no_bend():
    line = centreline([(0, 0, 0), (100, 0, 0), (300, 0, 0)], [50.0])
    assert [type(s) for s in line.stretches] == [Straight, Straight]
    assert line.length_mm == 300.0


def test_two_points_make_one_straight():
    assert centreline([(0, 0, 0), (0, 3, 4)], []).length_mm == 5.0


@pytest.mark.parametrize(
    "points, radii, words",
    [
        (
            [(0, 0, 0), (200, 0, 0), (200, 88, 0), (400, 88, 0)], [50.0, 50.0],
            "corner 1 and 2: the straight between them is 12.0 mm too short",
        ),
        ([(0, 0, 0), (40, 0, 0), (40, 200, 0)], [50.0], "the outlet and corner 1: the straight between them is 10.0"),
        ([(0, 0, 0), (90, 0, 0), (90, 45, 0)], [50.0], "corner 1 and the end: the straight between them is 5.0 mm"),
        ([(0, 0, 0), (90, 0, 0), (90, 0, 0), (90, 99, 0)], [50.0, 50.0], "corner 1 and 2 are the same point"),
        ([(0, 0, 0), (0, 0, 0), (90, 99, 0)], [50.0], "the outlet and corner 1 are the same point"),
        ([(0, 0, 0), (500, 0, 0), (10, 20, 0)], [10.0], "corner 1 turns 177.7 deg, more than 170 deg"),
        ([(0, 0, 0), (500, 0, 0), (10, 0, 0)], [10.0], "corner 1 turns 180.0 deg, more than 170 deg"),
        ([(0, 0, 0), (500, 0, 0), (500, 90, 0)], [0.0], "corner 1: the radius 0 mm must be more than 0"),
    ],
)
def test_what_does_not_fit_is_refused_by_name(points, radii, words):
    found = faults(points, radii)
    assert words in "; ".join(f.words for f in found)
    assert all(f.remedy for f in found)
    with pytest.raises(CentrelineError, match="corner"):
        centreline(points, radii)


def test_u_turn_is_mended_by_two_corners():
    (fault,) = faults([(0, 0, 0), (500, 0, 0), (0, 20, 0)], [60.0])
    assert "two corners" in fault.remedy
    assert not faults([(0, 0, 0), (500, 0, 0), (500, 120, 0), (0, 120, 0)], [60.0, 60.0])


def test_all_faults_at_once():
    found = faults([(0, 0, 0), (40, 0, 0), (40, 60, 0), (100, 60, 0), (100, 70, 0)], [50.0, 50.0, 50.0])
    assert [f.leg for f in found] == [0, 1, 2, 3]


@pytest.mark.parametrize("radii, points", [([1.0], [(0, 0, 0), (1, 0, 0)]), ([], [(0, 0, 0)])])
def test_shapes_that_do_not_match_are_refused(radii, points):
    with pytest.raises(ValueError, match=r"radii|two or more"):
        legs(points, radii)


def _to_sticks(points, sticks):
    """Distance from points (n, 3) to the axes of sticks, less radius + slack; the least over the sticks (n,)."""
    best = np.full(len(points), np.inf)
    for a, b, radius, slack in sticks:
        d = b - a
        t = np.clip((points - a) @ d / (d @ d), 0.0, 1.0)
        best = np.minimum(best, np.linalg.norm(points - a - t[:, None] * d, axis=1) - radius - slack)
    return best


@pytest.mark.parametrize("sagitta", [0.05, 0.5, 5.0])
@pytest.mark.parametrize("joints", [None, [3, 0, 1]])
def test_capsules_hold_every_point_of_the_pipes_skin(sagitta, joints):
    line, radius = centreline(ROUTE, RADII, joints), 31.75
    sticks = capsules(line, radius, sagitta)
    skin = []
    for stretch in line.stretches:
        for s in np.linspace(0.0, stretch.length_mm, 60):
            t, p = stretch.tangent_at(s), stretch.point_at(s)
            side = np.cross(t, [0.3, 0.5, 0.8])
            side /= np.linalg.norm(side)
            around = np.linspace(0.0, math.tau, 24)[:, None]
            skin.append(p + radius * (np.cos(around) * side + np.sin(around) * np.cross(t, side)))
    assert _to_sticks(np.vstack(skin), sticks).max() < 1e-9
    assert all(slack <= sagitta + 1e-12 for *_, slack in sticks) or joints


def test_mitre_slack_reaches_its_sharp_outside_corner():
    line = centreline([(0, 0, 0), (300, 0, 0), (300, 300, 0)], [90.0], [2])
    bend = line.bends[0]
    assert isinstance(bend, Mitred)
    radius = 30.0
    vertex = bend.vertices[1]
    outward = vertex - bend.arc.centre
    corner = vertex + radius / math.cos(bend.face_rad) * outward / np.linalg.norm(outward)
    gap = _to_sticks(corner[None, :], capsules(line, radius))[0]
    assert gap == pytest.approx(0.0, abs=1e-9)


def test_mitred_bend_starts_and_ends_where_the_arc_does_and_touches_it():
    arc_line = centreline(ROUTE, RADII)
    line = centreline(ROUTE, RADII, [0, 4, 0])
    arc, mitred = arc_line.bends[1], line.bends[1]
    assert isinstance(arc, Arc)
    assert isinstance(mitred, Mitred)
    assert np.allclose([arc.start, arc.end], [mitred.start, mitred.end], atol=1e-9)
    chain = np.array(mitred.vertices)
    assert np.linalg.norm(np.diff(chain, axis=0), axis=1).sum() == pytest.approx(mitred.length_mm, abs=1e-9)
    for k in range(1, mitred.joints):
        touch = mitred.point_at(2 * k * mitred.half_mm)
        assert np.linalg.norm(touch - arc.centre) == pytest.approx(arc.radius_mm, abs=1e-9)


def test_polyline_stays_within_its_sagitta():
    line = centreline(ROUTE, RADII)
    chain = line.polyline(0.1)
    sticks = [(a, b, 0.0, 0.1) for a, b in itertools.pairwise(chain)]
    points = np.array([line.point_at(s) for s in np.linspace(0.0, line.length_mm, 1500)])
    assert _to_sticks(points, sticks).max() < 1e-9


def test_beyond_the_ends_is_refused():
    line = centreline(ROUTE, RADII)
    with pytest.raises(ValueError, match="outside the centre line, 0 to"):
        line.point_at(line.length_mm + 1.0)
