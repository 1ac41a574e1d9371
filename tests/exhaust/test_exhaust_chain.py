"""A laid route as a chain: nothing lost, nothing twice, ends that meet."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.exhaust.chain import chain_of, sections
from trialfit.vehicle import Amount, LaidPart

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module", params=("estate", "flatbed"))
def laid(request):
    results = run(load(EXAMPLES / request.param / "build.yaml").build, gaps=False)
    return results.routes[0], results.cuts[0]


def test_elements_follow_one_another_and_add_up_to_the_centre_line(laid):
    route, cuts = laid
    chain = chain_of(route, cuts)
    assert chain.length_mm == pytest.approx(route.centreline.length_mm)
    for a, b in zip(chain.elements, chain.elements[1:]):
        assert np.allclose(a.end, b.start, atol=1e-6)
        assert np.allclose(a.way_out, b.way_in, atol=1e-9)
        assert b.from_mm == pytest.approx(a.to_mm)
    assert math.fsum(e.turn_rad for e in chain.elements) == pytest.approx(
        math.fsum(b.turn_rad for b in route.centreline.bends))
    assert [w.letter for w in chain.welds] == [p.end for p in cuts.pieces[:-1]]
    for weld, piece in zip(chain.welds, cuts.pieces):
        assert np.allclose(weld.place, piece.end_xyz_mm, atol=1e-6)


def test_parts_stand_where_they_were_laid_and_the_pipe_between_them_is_weighed(laid):
    route, cuts = laid
    if route.centreline.stretches[0].length_mm < 700.0:
        pytest.skip("too short a first leg to put two parts on")
    part = LaidPart("box", "muffler", 1, 300.0, Amount(200.0), Amount(120.0), Amount(90.0))
    joint = LaidPart("band", "joint", 1, 600.0, Amount(50.0), Amount(90.0), Amount(90.0))
    other = replace(route, plan=replace(route.plan, parts=(joint, part)))
    chain = chain_of(other, cuts)
    kinds = [e.kind for e in chain.elements]
    assert kinds[:5] == ["straight", "muffler", "straight", "joint", "straight"]
    box = chain.elements[1]
    assert (box.from_mm, box.length_mm, box.width_mm, box.height_mm) == pytest.approx((300.0, 200.0, 120.0, 90.0))
    assert box.mass_kg is None
    assert chain.mass_kg is None
    steel = 7850e-9 * math.pi * (route.diameter_mm - route.wall_mm) * route.wall_mm
    pipe = [e for e in chain.elements if not e.is_part]
    assert math.fsum(e.mass_kg for e in pipe) == pytest.approx(steel * (chain.length_mm - 250.0), rel=1e-3)
    assert len(sections(chain)[0]) == 4
    assert sum(len(s) for s in sections(chain)) == len(chain.elements)


def test_a_route_that_is_not_laid_is_no_chain(laid):
    route, cuts = laid
    with pytest.raises(ValueError, match="cannot be laid"):
        chain_of(replace(route, centreline=None), cuts)
