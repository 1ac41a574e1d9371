"""A route that the search finds with room for the tape's doubt is told to fit, by the exact doubt of every gap."""

import time
from dataclasses import replace
from pathlib import Path

import pytest

from trialfit.buildfile import load
from trialfit.checks import plan_of, problem_of, run
from trialfit.doubt import weigh
from trialfit.findings import Verdict
from trialfit.routing import find

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.mark.slow
@pytest.mark.parametrize("example", ("estate", "flatbed"))
def test_every_gap_of_a_found_route_fits(example):
    build = load(EXAMPLES / example / "build.yaml").build
    plan = next(r for r in build.routes if r.wish is not None)
    problem = problem_of(build, plan, run(build, gaps=False))
    found = find(problem, seconds=4.0, clock=time.process_time, with_bound=False)
    laid = plan_of(problem, found.routes[0].way, plan)
    results = run(replace(build, routes=tuple(laid if r.name == plan.name else r for r in build.routes)))
    theirs = [w for w in weigh(results, advise=False) if "exhaust" in (w.answer.pair.a.kind, w.answer.pair.b.kind)]
    assert len(theirs) > 50
    assert [w.answer.pair.name for w in theirs if w.verdict is not Verdict.FITS] == []
