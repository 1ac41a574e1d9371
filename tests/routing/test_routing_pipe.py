"""The slope of the penalty against differences, packed candidates against routes, parts on their legs."""

import math

import numpy as np
import pytest
from routing_scenes import muffler, over_the_axle, size

from trialfit.routing import Bend, PartAt
from trialfit.routing.field import prepare
from trialfit.routing.packing import legs_of, packed, priced, way_of
from trialfit.routing.pieces import ARC, pieces, wide_axis
from trialfit.routing.pipe import AT_CLOCK, AT_KIND, AT_LEG, AT_U, AT_X, WIDTH, penalty, slopes, workspace
from trialfit.routing.sides import sampled


@pytest.mark.parametrize("seed", range(6))
def test_the_slope_is_the_derivative(seed: int) -> None:
    part = muffler(clocks_rad=(0.0, 0.6))
    problem = over_the_axle(parts=(part,), gap_weight=0.3 if seed % 2 else 0.0, gap_wanted_mm=8.0)
    fields, par = prepare(problem), packed(problem, 0)
    rng = np.random.default_rng(seed)
    n = 3
    x = np.empty(1 + 3 * n + 1)
    x[0] = 120.0
    for i, t in enumerate((0.3, 0.6, 1.0)):
        aim = problem.outlet + t * (problem.exit.low - problem.outlet)
        x[1 + 3 * i : 4 + 3 * i] = aim + rng.normal(0, 70, 3)
    x[-1] = rng.uniform(0.2, 0.8)
    kind, leg, clock = np.zeros(12, np.int64), np.zeros(8, np.int64), np.zeros(8)
    leg[0], clock[0] = 1, 0.6
    w, out, g = workspace(n), np.empty(8), np.empty(len(x))
    rest = (n, kind, leg, clock, par, fields.frame, fields.engine, 7.0, 0.3, 0.0, 0.05)
    slopes(x, *rest, w, out, g)
    for i in range(len(x)):
        up, down = x.copy(), x.copy()
        up[i] += 1e-5
        down[i] -= 1e-5
        differences = (penalty(up, *rest, w, out) - penalty(down, *rest, w, out)) / 2e-5
        assert g[i] == pytest.approx(differences, rel=2e-3, abs=2e-3 * max(1.0, np.abs(g).max() * 0.01))


def test_length_and_cost_of_a_hand_worked_route() -> None:
    problem = over_the_axle(sizes=(size(60.0, ratio=1.5),))
    points = np.array([[0.0, 200, 300], [500, 200, 300], [500, 200, 600], [900, 200, 600]])
    way = priced(problem, 0, points, (0, 0), (), 1.0)
    quarter = math.pi / 2.0 * 90.0
    assert way.length_mm == pytest.approx(410.0 + quarter + 120.0 + quarter + 310.0)
    assert way.turn_rad == pytest.approx(math.pi)
    assert way.welds == 4
    assert way.cost == pytest.approx(0.01 * way.length_mm + 0.03 * 180.0 + 1.5 * 4)
    assert dict(way.terms)["turning"] == pytest.approx(5.4)


def test_the_pieces_join_up_and_have_the_length() -> None:
    problem = over_the_axle(parts=(muffler(),))
    points = np.array([[0.0, 200, 300], [150, 200, 300], [900, 260, 330], [1500, 230, 520], [2650, 260, 350]])
    way = priced(problem, 0, points, (0, 0, 0), (PartAt(1, 200.0, 0.0),), 1.0)
    rows = pieces(problem, way)
    assert rows[:, 11].sum() == pytest.approx(way.length_mm)
    line = sampled(rows, 5.0)
    assert np.linalg.norm(np.diff(line, axis=0), axis=1).max() < 5.01
    np.testing.assert_allclose(line[0], points[0])
    np.testing.assert_allclose(line[-1], points[-1], atol=1e-9)
    assert (rows[:, 0] == ARC).sum() == 3
    assert rows[rows[:, 18] == 0, 11].sum() == pytest.approx(350.0)


def test_a_packed_candidate_comes_back_as_it_was() -> None:
    problem = over_the_axle(parts=(muffler(clocks_rad=(0.3,)), muffler(name="second", zone=None)))
    row = np.zeros(WIDTH)
    row[0] = 2
    row[AT_X] = 150.0
    row[AT_X + 1 : AT_X + 7] = [1400.0, 250, 330, 2650, 260, 350]
    row[AT_U], row[AT_U + 1] = 0.0, 1.0
    row[AT_LEG], row[AT_LEG + 1] = 1, 1
    row[AT_CLOCK] = 0.3
    row[AT_KIND : AT_KIND + 2] = 0
    way = way_of(problem, 0, row)
    runs, cuts, _ = legs_of(problem, 0, way.points, way.bends)
    first, second = way.parts
    assert first.start_mm == pytest.approx(cuts[1] + 20.0)
    assert second.start_mm + 350.0 + 20.0 == pytest.approx(runs[1] - cuts[2])
    assert first.clock_rad == pytest.approx(0.3)


def test_the_wide_side_is_level_and_turns_with_the_clock() -> None:
    along = np.array([0.6, 0.0, 0.8])
    level = wide_axis(along, 0.0)
    assert level[2] == 0.0
    assert level @ along == pytest.approx(0.0)
    assert wide_axis(along, math.pi / 2)[2] > 0.5
    np.testing.assert_allclose(wide_axis(np.array([0.0, 0, 1.0]), 0.0), [0, 1, 0])


def test_a_pie_cut_bend_has_its_welds() -> None:
    assert Bend("pie", 60.0, 1.5, pieces=4).welds == 5
