"""The field against plain minima over every posed solid, and against a general collision library."""

from dataclasses import replace

import numpy as np
import pytest
from routing_scenes import bumpy_sheet, heave_and_roll, over_the_axle

from trialfit.geometry.gaps import Rigid, gap_at
from trialfit.geometry.solids import Capsule
from trialfit.routing import Obstacle
from trialfit.routing.entries import field_values
from trialfit.routing.field import N_REACH, prepare


def _points(problem, count, seed=0):
    rng = np.random.default_rng(seed)
    return problem.bounds[0] + rng.random((count, 3)) * (problem.bounds[1] - problem.bounds[0])


def _plain(problem, point):
    """Least signed distance less required gap, by the convex distance kernels of the gap check, pose by pose."""
    ball = Rigid((Capsule(point, point, 0.0),))
    least = np.inf
    for thing in problem.obstacles:
        for state in problem.states:
            bound = gap_at(ball, thing.body, state)
            least = min(least, 0.5 * (bound.lower_mm + bound.upper_mm) - thing.required_mm)
    return least


def test_exact_below_its_reach_and_a_lower_bound_beyond() -> None:
    problem = over_the_axle()
    problem = replace(problem, states=problem.states[::6])
    fields = prepare(problem)
    reach = fields.frame[0][N_REACH]
    points = _points(problem, 60)
    found = field_values(fields.frame, points)
    truth = np.array([_plain(problem, p) for p in points])
    near = (truth < reach) & (truth > -20.0)  # deep inside, depth itself is not what matters
    assert near.sum() > 8
    np.testing.assert_allclose(found[near], truth[near], atol=1e-4)
    far = truth >= reach
    assert far.sum() > 8
    assert np.all(found[far] <= truth[far] + 1e-6)
    assert np.all(found[far] >= reach - 1e-9)


def test_a_scan_is_exact_too() -> None:
    sheet = bumpy_sheet()
    problem = over_the_axle(obstacles=(
        Obstacle("sheet", "floor", Rigid((sheet,), heave_and_roll()), 10.0),
        Obstacle("post", "frame", Rigid((Capsule([500, 0, 100], [500, 0, 500], 20.0),)), 12.0)))
    problem = replace(problem, states=problem.states[::9])
    fields = prepare(problem)
    points = _points(problem, 80, 1)
    found = field_values(fields.frame, points)
    reach = fields.frame[0][N_REACH]
    truth = np.array([_plain(problem, p) for p in points])
    near = truth < reach
    assert near.sum() > 5
    np.testing.assert_allclose(found[near], truth[near], atol=1e-5)
    assert np.all(found[~near] <= truth[~near] + 1e-6)


def test_outside_the_bounds_is_blocked() -> None:
    problem = over_the_axle()
    outside = problem.bounds[1] + np.array([1000.0, 0, 0])
    assert field_values(prepare(problem).frame, outside[None])[0] < 0.0


@pytest.mark.parametrize("side", [25.0, 60.0])
def test_the_side_of_a_block_changes_nothing_near(side: float) -> None:
    problem = over_the_axle()
    points = _points(problem, 3000, 2)
    one, other = field_values(prepare(problem).frame, points), field_values(prepare(problem, side).frame, points)
    reach = prepare(problem).frame[0][N_REACH]
    near = one < reach
    np.testing.assert_allclose(one[near], other[near], atol=1e-9)


def test_nothing_in_the_way() -> None:
    problem = over_the_axle(obstacles=())
    assert field_values(prepare(problem).frame, _points(problem, 10)).min() > 1000.0
