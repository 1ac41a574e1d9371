"""Questions drawn at random round a route that is known to be there: each must be answered with a proved route."""

import pytest
from random_problems import open_by_construction

from trialfit.routing import find
from trialfit.routing.problem import Problem


def _found(problem: Problem):
    """The first route that comes, proved."""
    known: list[float] = []
    return find(problem, rounds=40, on_better=lambda way, _s: known.append(way.cost), stop=lambda: bool(known), count=3,
                with_bound=False)


def _answered(seed: int) -> None:
    problem, way = open_by_construction(seed)
    answer = _found(problem)
    assert answer.routes, f"seed {seed}: {way.cost:.1f} is there with {len(way.bends)} bends, nothing was found"
    assert answer.routes[0].certificate.clear


@pytest.mark.parametrize("seed", range(200))
def test_a_route_that_is_there_is_found(seed: int) -> None:
    _answered(seed)
