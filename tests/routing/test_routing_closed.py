"""Why there is no route: what closes it and by how much, against walls whose windows were drawn too small on purpose;
and never called closed where a route was there first."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest
from random_problems import DOMAIN, STATES, closed_by_construction, lift, open_by_construction

from trialfit.geometry.gaps import Rigid
from trialfit.geometry.solids import Box
from trialfit.routing.bound import lower_bound, small_problem
from trialfit.routing.closed import Blocked, why_closed
from trialfit.routing.field import prepare
from trialfit.routing.problem import Obstacle, Problem


def _why(problem: Problem) -> tuple[Blocked, ...]:
    return why_closed(problem, prepare(problem), boxes=20_000)


def _shut(seed: int) -> None:
    """One question closed by construction, alone and among other things."""
    problem, kind, missing = closed_by_construction(seed, things=0)
    first = _why(problem)[0]
    assert first.proved
    assert first.place is not None
    if kind in ("window", "slot"):
        # by hand: half the pipe and the gap asked for, less half the window
        assert first.missing_mm == pytest.approx(missing, abs=1.0)
        assert all(name.startswith("wall") for name in first.names)
        assert len(first.names) == 2
        assert "from the outlet to the exit is too narrow between" in first.words
        thin = re.search(r"a pipe of no more than (\d+) mm", first.remedy)
        assert thin is not None
        rule = problem.obstacles[0].required_mm
        hole = problem.sizes[0].diameter_mm + 2.0 * rule - 2.0 * missing
        assert hole - 2.0 * rule - 3.0 <= float(thin[1]) <= hole - 2.0 * rule
    elif kind == "sealed":
        assert first.words.startswith("nothing leads from the outlet to the exit: closed by plate")
    elif kind == "part":
        assert first.missing_mm == pytest.approx(missing, abs=0.2)
        assert set(first.names) == {"lower plate", "upper plate"}
        assert first.words.startswith("box has no place in its zone: at the best one found (x ")
        thick = re.search(r"a muffler no more than (\d+) mm thick", first.remedy)
        assert thick is not None
        assert float(thick[1]) == pytest.approx(problem.parts[0].height_mm - 2.0 * missing, abs=1.0)
    else:
        assert first.names == ("block",)
        assert first.words.startswith("the exit has no free place: at the best one found (x ")
    crowded, _, _ = closed_by_construction(seed)
    assert any(r.proved for r in _why(crowded))


@pytest.mark.parametrize("seed", range(10))
def test_what_was_shut_on_purpose_is_proved_closed(seed: int) -> None:
    _shut(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(10, 50))
def test_more_that_was_shut_on_purpose_is_proved_closed(seed: int) -> None:
    _shut(seed)


@pytest.mark.parametrize("seed", range(12))
def test_where_a_route_was_there_first_nothing_is_proved_closed(seed: int) -> None:
    problem, _way = open_by_construction(seed)
    reasons = _why(problem)
    assert not any(r.proved for r in reasons)
    assert reasons[-1].words.startswith("no route was found, but it is not proved that there is none.")


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(60, 120))
def test_more_where_a_route_was_there_first(seed: int) -> None:
    problem, _way = open_by_construction(seed)
    assert not any(r.proved for r in _why(problem))


def _slot(gap_mm: float, required_mm: float = 10.0, moving: bool = False) -> Problem:
    """A 40 mm pipe, and two plates that leave a level slot."""
    problem = small_problem()
    path = lift() if moving else None
    things = []
    for name, sign in (("lower plate", -1.0), ("upper plate", 1.0)):
        middle = np.array((180.0, 0.0, sign * (gap_mm / 2.0 + 200.0)))
        things.append(Obstacle(name, "other", Rigid((Box(middle, np.array((20.0, 400.0, 200.0))),), path), required_mm))
    return replace(problem, obstacles=tuple(things), domain=DOMAIN, states=STATES)


def test_what_opens_a_slot_is_what_arithmetic_says() -> None:
    # 40 of pipe and 10 at either side take 60; the slot has 50
    first = _why(_slot(50.0))[0]
    assert first.proved
    assert first.missing_mm == pytest.approx(5.0, abs=0.6)
    assert first.names in (("lower plate", "upper plate"), ("upper plate", "lower plate"))
    thin = re.match(r"a pipe of no more than (\d+) mm, or ", first.remedy)
    assert thin is not None
    assert 29 <= int(thin[1]) <= 30
    eased = re.search(r"(\d+) mm less at both (lower|upper) plate and (lower|upper) plate", first.remedy)
    assert eased is not None
    assert 5 <= int(eased[1]) <= 7
    # and it is open with that
    assert not any(r.proved for r in _why(_slot(50.0, 10.0 - int(eased[1]))))
    assert not any(r.proved for r in _why(_slot(62.0)))


def test_plates_that_move_close_what_they_pass_over() -> None:
    # the lift runs from 60 down to 80 up: no level is free all the while
    first = _why(_slot(120.0, moving=True))[0]
    assert first.proved
    assert not any(r.proved for r in _why(_slot(220.0, moving=True)))


def _with_block(low: tuple[float, float, float], high: tuple[float, float, float], required: float = 10.0) -> Problem:
    a, b = np.array(low), np.array(high)
    thing = Obstacle("block", "other", Rigid((Box((a + b) / 2.0, (b - a) / 2.0),)), required)
    return replace(small_problem(), obstacles=(thing,))


def test_an_outlet_too_near_to_something() -> None:
    # 20 of pipe and 10 of gap are wanted from its middle, 24 are there
    first = _why(_with_block((-40.0, -100.0, -100.0), (30.0, 100.0, -24.0)))[0]
    assert first.words == (
        "the pipe starts too near to block: 6.0 mm are missing at the outlet (x 0, y 0, z 0 mm)")
    assert first.remedy == "move the outlet 6.0 mm away from block, or ask for 6.0 mm less there than 10 mm"
    assert first.names == ("block",)
    assert first.proved


def test_too_little_straight_before_the_outlet() -> None:
    problem = replace(_with_block((130.0, -150.0, -150.0), (160.0, 60.0, 150.0)), first_straight_mm=120.0)
    first = _why(problem)[0]
    # the block begins at 130; 30 of them are pipe and gap
    assert first.words == ("straight out of the outlet only 100 mm are free before block; 120 mm of straight pipe are "
                           "asked for")
    assert first.missing_mm == pytest.approx(20.0, abs=0.2)
    assert first.remedy == "ask for no more than 100 mm of straight pipe at the outlet"
    assert first.proved


def test_something_right_before_the_outlet_is_told_but_not_called_closed() -> None:
    reasons = _why(_with_block((60.0, -15.0, -15.0), (70.0, 15.0, 15.0)))
    assert reasons[0].words == (
        "straight out of the outlet only 30 mm are free before block, and the tightest bend has a radius of 50 mm: a "
        "quarter turn begun at once needs that much")
    assert not reasons[0].proved
    assert reasons[0].names == ("block",)


def test_bends_that_cannot_turn_enough_close_it_though_the_way_is_wide() -> None:
    problem = small_problem()
    bend = replace(problem.sizes[0].bends[0], most_rad=math.radians(10.0))
    aside = replace(problem.exit, aim=np.array((0.0, 1.0, 0.0)), cone_rad=0.1)
    stiff = replace(problem, sizes=(replace(problem.sizes[0], bends=(bend,)),), exit=aside, most_bends=2)
    assert math.isinf(lower_bound(stiff, prepare(stiff), boxes=40_000).cost)
    reasons = _why(stiff)
    assert reasons[0].proved
    assert reasons[0].words.startswith(
        "no route with up to 2 bends gets through: with the bends, straights and parts asked for, every one is too ")
