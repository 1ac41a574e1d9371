"""Series of poses against motions known in closed form."""

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from trialfit.geometry.paths import PathError, PosePath, fit, pose_difference_mm, still

LO, HI = np.array([-90.0, -0.1, -0.05]), np.array([80.0, 0.1, 0.03])


def _known(parameters):
    """A screw in heave, a turn in roll, a turn in rock; scipy's rotations, not the program's."""
    heave, roll, rock = parameters.T
    turn = Rotation.from_euler("ZYX", np.stack([0.002 * heave, rock, roll], axis=1))
    shift = np.stack([np.sqrt(600.0**2 - heave**2), 10.0 * np.sin(5.0 * roll), heave], axis=1)
    return np.hstack([turn.as_matrix().reshape(-1, 9), shift])


def _states(count, seed=1):
    return np.random.default_rng(seed).uniform(LO, HI, (count, 3))


def test_a_known_motion_is_met_everywhere_in_the_box():
    found = fit(_known, LO, HI, centre=np.array([2000.0, 0.0, 300.0]))
    states = _states(2000)
    apart = pose_difference_mm(found.path, states, _known(states), np.array([2000.0, 0.0, 300.0]), 1500.0)
    assert apart <= 1e-6
    assert found.error_mm <= 1e-6
    assert found.whole_box
    assert found.checked > 1000


def test_one_pose_many_poses_and_moved_points_agree():
    path = fit(_known, LO, HI).path
    states = _states(7)
    rotations, _ = path.poses(states)
    points = np.array([[1.0, 2.0, 3.0], [500.0, -40.0, 20.0]])
    for n, state in enumerate(states):
        rotation, shift = path.pose(*state)
        assert rotation == pytest.approx(rotations[n], abs=1e-14)
        assert path.move(points, tuple(state)) == pytest.approx(points @ rotation.T + shift)
        assert path.move(points[0], tuple(state)) == pytest.approx(path.move(points, tuple(state))[0])


def test_an_axis_without_effect_has_size_one_and_takes_any_value():
    def only_heave(parameters):
        return _known(parameters * [1.0, 0.0, 0.0])

    path = fit(only_heave, LO, HI, axes=(True, False, False)).path
    assert path.coefs.shape[1:3] == (1, 1)
    assert path.pose(20.0, 9.0, 9.0)[1] == pytest.approx(path.pose(20.0, 0.0, 0.0)[1])


def test_a_box_of_no_width_is_an_axis_of_size_one():
    flat = fit(_known, LO * [1.0, 0.0, 0.0], HI * [1.0, 0.0, 0.0])
    assert flat.path.coefs.shape[1:3] == (1, 1)
    assert flat.error_mm <= 1e-6


def _corner_lost(parameters):
    values = _known(parameters * [1.0, 1.0, 0.0])
    unit = (2.0 * parameters - LO - HI) / (HI - LO)
    values[np.abs(unit[:, 0]) + np.abs(unit[:, 1]) > 1.3] = np.nan
    return values


def _rhombus(parameters):
    unit = (2.0 * parameters - LO - HI) / (HI - LO)
    return np.abs(unit[:, 0]) + np.abs(unit[:, 1]) <= 1.0


def test_a_motion_lost_in_the_corners_is_fitted_where_it_is_wanted():
    found = fit(_corner_lost, LO, HI, axes=(True, True, False), wanted=_rhombus, centre=np.zeros(3))
    assert not found.whole_box
    states = _states(3000) * [1.0, 1.0, 0.0]
    states = states[_rhombus(states)]
    assert pose_difference_mm(found.path, states, _known(states), np.zeros(3), 1500.0) < 2e-6


def test_a_motion_lost_where_it_is_wanted_is_refused_with_the_place():
    with pytest.raises(PathError, match=r"^the body cannot be placed at heave .* mm, roll .* rad, rock -0.01 rad$"):
        fit(_corner_lost, LO, HI, axes=(True, True, False))


@pytest.mark.parametrize("state", [(80.1, 0.0, 0.0), (0.0, -0.101, 0.0), (0.0, 0.0, 0.04), (np.inf, 0.0, 0.0)])
def test_outside_the_box_is_refused_with_the_box(state):
    path = fit(_known, LO, HI).path
    with pytest.raises(PathError, match=r"outside the range -90\.\.80 mm, -0\.1\.\.0\.1 rad, -0\.05\.\.0\.03 rad"):
        path.pose(*state)


def test_no_number_is_no_pose():
    with pytest.raises(PathError, match="nan"):
        fit(_known, LO, HI).path.pose(np.nan, 0.0, 0.0)


def test_a_motion_too_wild_for_the_degree_says_how_far_off_it_is():
    def wild(parameters):
        values = _known(parameters)
        values[:, 9] += 20.0 * np.abs(parameters[:, 0])
        return values

    found = fit(wild, LO, HI, axes=(True, False, False))
    assert found.error_mm > 1.0
    assert found.path.coefs.shape[0] == 27


def test_a_still_body_stays():
    rotation, shift = still(LO, HI).pose(10.0, 0.05, 0.0)
    assert np.array_equal(rotation, np.eye(3))
    assert not shift.any()


def test_malformed_paths_are_refused():
    with pytest.raises(PathError, match=r"\(nh, nr, nk, 12\)"):
        PosePath(np.zeros((2, 2, 12)), LO, HI)
    with pytest.raises(PathError, match="above its upper end"):
        PosePath(np.zeros((1, 1, 1, 12)), HI, LO)
