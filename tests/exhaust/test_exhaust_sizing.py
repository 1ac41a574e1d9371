"""Back pressure against diameter: less the wider, and what each step costs beside it."""

from dataclasses import replace
from pathlib import Path

import pytest

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.exhaust.chain import chain_of
from trialfit.exhaust.heat import OUTLET, EndCone, Flow, run_hot
from trialfit.exhaust.pressure import cone_pressure_loss
from trialfit.exhaust.sizing import PipeChoice, by_diameter, noted, with_pipe

EXAMPLES = Path(__file__).parents[2] / "examples"
FLOW = Flow(0.12, 950.0, 40.0)
TUBES = tuple(PipeChoice(d, 1.5, 10.0 + 0.1 * d) for d in (76.1, 50.0, 57.0, 63.5))


@pytest.fixture(scope="module")
def chain():
    results = run(load(EXAMPLES / "estate" / "build.yaml").build, gaps=False)
    return chain_of(results.routes[0], results.cuts[0])


def test_wider_pipes_push_back_less_and_cost_room_and_money(chain):
    rows = by_diameter(chain, FLOW, TUBES)
    assert [r.choice.outside_mm for r in rows] == [50.0, 57.0, 63.5, 76.1]
    backs = [r.back_mpa[1] for r in rows]
    assert backs == sorted(backs, reverse=True)
    # the fourth power of the bore and more: friction and heads both go with the square of the speed
    assert backs[0] / backs[-1] > (73.1 / 47.0) ** 4 * 0.7
    assert [r.gap_lost_mm for r in rows] == pytest.approx([-6.75, -3.25, 0.0, 6.3])
    assert [r.money for r in rows] == sorted(r.money for r in rows)
    assert by_diameter(chain, FLOW, (PipeChoice(57.0, 1.5),))[0].money is None  # nobody said a price: not nothing
    own = next(r for r in rows if r.choice.outside_mm == 63.5)
    assert own.back_mpa == run_hot(chain, FLOW).back_mpa


@pytest.mark.parametrize("bore_mm", [50.0, 90.0])
def test_the_laid_tube_behind_a_cone_takes_what_the_run_takes(chain, bore_mm):
    flow = replace(FLOW, cones=(EndCone("cone", OUTLET, bore_mm, 60.0),))
    rows = by_diameter(chain, flow, TUBES)
    own = next(r for r in rows if r.choice.outside_mm == 63.5)
    assert own.back_mpa == run_hot(chain, flow).back_mpa
    # a tube of the outlet's own bore needs no cone
    plain = by_diameter(chain, flow, (PipeChoice(bore_mm + 3.0, 1.5),))[0]
    assert plain.back_mpa == run_hot(with_pipe(chain, PipeChoice(bore_mm + 3.0, 1.5)), FLOW).back_mpa


def test_a_pipe_that_cannot_be_reckoned_says_why_in_its_row(chain):
    rows = by_diameter(chain, Flow(0.3, 1100.0), (PipeChoice(38.0, 1.5), PipeChoice(89.0, 2.0)))
    assert "take a wider pipe" in rows[0].refused
    assert rows[0].back_mpa is None
    assert rows[1].refused == ""
    wide = by_diameter(chain, FLOW, (PipeChoice(250.0, 2.0),))[0]
    assert "less than half the pipe" in wide.refused
    with pytest.raises(ValueError, match="at least one tube"):
        by_diameter(chain, FLOW, ())


def test_another_tube_weighs_what_its_section_says(chain):
    same = with_pipe(chain, PipeChoice(63.5, 1.5))
    assert same.mass_kg == pytest.approx(chain.mass_kg) if chain.mass_kg is not None else True
    first, double = chain.elements[0], with_pipe(chain, PipeChoice(63.5, 3.0)).elements[0]
    assert double.mass_kg / first.mass_kg == pytest.approx(60.5 * 3.0 / (62.0 * 1.5))


def test_a_cone_against_the_step_it_replaces():
    """D05-15 (Borda-Carnot, from memory): 50 to 63.5 mm bore, 0.144399 without a cone."""
    assert cone_pressure_loss(50.0, 63.5, 0.0) == pytest.approx(0.144399, abs=1e-6)
    assert cone_pressure_loss(50.0, 63.5, 60.0) < 0.144399
    assert cone_pressure_loss(50.0, 63.5, 60.0, 0.0) < cone_pressure_loss(50.0, 63.5, 0.0, 0.0)
    assert cone_pressure_loss(50.0, 50.0, 10.0) == 0.0
    with pytest.raises(ValueError, match="wide is 40 mm"):
        cone_pressure_loss(50.0, 40.0, 10.0)


def test_what_a_reader_must_know_is_noted(chain):
    assert "steady flow" in noted(run_hot(chain, FLOW))[0]
