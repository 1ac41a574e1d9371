"""An axle ratio tried on at the page takes its place among those of the build."""

from pathlib import Path

import pytest

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.web.places.bench_driveline import tried

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def gearing():
    return run(load(EXAMPLES / "estate" / "build.yaml").build).driveline.gearing


def test_a_ratio_of_the_build_stands_where_the_build_has_it(gearing):
    got = tried(gearing, gearing.train.axle, 30e3)
    assert [(r.axle, r.place) for r in got.ranking] == [(r.axle, r.place) for r in gearing.ranking]


def test_another_ratio_takes_a_place_and_keeps_the_order_of_the_rest(gearing):
    own = [r.axle for r in sorted(gearing.ranking, key=lambda r: r.place)]
    got = tried(gearing, 9.0, 30e3)
    order = [r.axle for r in sorted(got.ranking, key=lambda r: r.place)]
    assert sorted(order) == sorted([*own, 9.0])
    assert [a for a in order if a != 9.0] == own
    # an axle that turns the engine more than twice as fast as any on offer is the worst of them for cruising
    assert order[-1] == 9.0
