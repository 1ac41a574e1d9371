"""Whole searches: routes that hold, alike for any number of workers, mirrored, shifted, in any order of obstacles."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from routing_scenes import bumpy_sheet, muffler, over_the_axle, size

from trialfit.geometry.gaps import Rigid
from trialfit.geometry.solids import Box
from trialfit.routing import Bend, Exit, Obstacle, ProblemError, find
from trialfit.routing.packing import legs_of
from trialfit.routing.sides import along


def _holds(problem, way) -> None:
    """The rules of a buildable route, worked out apart from the search."""
    runs, cuts, turns = legs_of(problem, way.size, way.points, way.bends)
    size_ = problem.sizes[way.size]
    free = runs - cuts[:-1] - cuts[1:]
    assert np.all(free[1:] >= problem.least_straight_mm - 1e-6)
    assert free[0] >= problem.first_straight_mm - 1e-6
    for turn, kind in zip(turns, way.bends, strict=True):
        assert math.radians(4.999) <= turn <= size_.bends[kind].most_rad + 1e-6
    end, last = way.points[-1], way.points[-1] - way.points[-2]
    assert np.all(end >= problem.exit.low - 1e-6)
    assert np.all(end <= problem.exit.high + 1e-6)
    assert last @ problem.exit.aim / np.linalg.norm(last) >= math.cos(problem.exit.cone_rad) - 1e-9
    first = way.points[1] - way.points[0]
    np.testing.assert_allclose(np.cross(first, problem.aim), 0.0, atol=1e-6)
    before = -1
    for part, put in zip(problem.parts, way.parts, strict=True):
        assert put.leg >= before
        before = put.leg
        assert put.start_mm >= cuts[put.leg] + part.room_mm - 1e-6
        assert put.start_mm + part.length_mm + part.room_mm <= runs[put.leg] - cuts[put.leg + 1] + 1e-6
        leg = (way.points[put.leg + 1] - way.points[put.leg]) / runs[put.leg]
        middle = way.points[put.leg] + (put.start_mm + part.length_mm / 2.0) * leg
        if part.zone is not None:
            assert np.all(middle >= part.zone[0] - 1e-6)
            assert np.all(middle <= part.zone[1] + 1e-6)


@pytest.fixture(scope="module")
def found():
    problem = over_the_axle(parts=(muffler(),))
    return problem, find(problem, seed=1, rounds=3)


def test_every_route_is_buildable_and_proved(found) -> None:
    problem, answer = found
    assert answer.routes
    for route in answer.routes:
        _holds(problem, route.way)
        assert route.certificate.clear
        assert route.certificate.closed
        assert route.certificate.upper_mm - route.certificate.lower_mm <= 0.1 + 1e-6


def test_best_first_none_twice_and_none_under_the_bound(found) -> None:
    _, answer = found
    costs = [r.way.cost for r in answer.routes]
    assert costs == sorted(costs)
    assert len({r.name for r in answer.routes}) == len(costs)
    assert 0.0 < answer.bound <= costs[0] + 1e-9


def test_any_number_of_workers_finds_the_same(found) -> None:
    problem, answer = found
    other = find(problem, seed=1, rounds=3, workers=3)
    assert [r.name for r in other.routes] == [r.name for r in answer.routes]
    for a, b in zip(answer.routes, other.routes, strict=True):
        np.testing.assert_array_equal(a.way.points, b.way.points)


def test_the_same_seed_gives_the_same_and_another_is_near(found) -> None:
    problem, answer = found
    again = find(problem, seed=1, rounds=3)
    assert again.routes[0].way.cost == answer.routes[0].way.cost
    other = find(problem, seed=8, rounds=3)
    assert other.routes[0].way.cost == pytest.approx(answer.routes[0].way.cost, rel=0.05)


def _mirrored(problem):
    from trialfit.geometry.gaps import Span
    from trialfit.geometry.paths import PosePath
    from trialfit.geometry.solids import Capsule, Frustum, Prism

    flip = np.array([1.0, -1.0, 1.0])

    def path(p):
        if p is None:
            return None
        # left and right change places, and so does the sign of roll
        coefs = p.coefs.copy()
        coefs[:, 1::2] *= -1.0
        coefs[..., [1, 3, 5, 7, 10]] *= -1.0
        return PosePath(coefs, p.lo, p.hi)

    def solid(s):
        if isinstance(s, Capsule):
            return Capsule(s.start * flip, s.end * flip, s.radius_mm)
        if isinstance(s, Frustum):
            return Frustum(s.start * flip, s.end * flip, s.radius_start_mm, s.radius_end_mm)
        if isinstance(s, Box):
            return Box(s.centre * flip, s.half_mm)
        return Prism(s.corners * flip, s.thickness_mm)

    def body(b):
        if isinstance(b, Span):
            return Span(b.a * flip, path(b.path_a), b.b * flip, path(b.path_b), b.radius_mm)
        return Rigid(tuple(solid(s) for s in b.solids), path(b.path))

    low, high = problem.exit.low * flip, problem.exit.high * flip
    bounds = np.sort(problem.bounds * flip, axis=0)
    return replace(problem, obstacles=tuple(replace(o, body=body(o.body)) for o in problem.obstacles),
                   outlet=problem.outlet * flip, aim=problem.aim * flip,
                   exit=Exit(np.minimum(low, high), np.maximum(low, high), problem.exit.aim * flip,
                             problem.exit.cone_rad), bounds=bounds)


def _same_answer(one, other, move) -> None:
    """Both searches end at the same route but for the movement."""
    a, b = find(one, seed=3, rounds=6), find(other, seed=4, rounds=6)
    assert b.routes[0].way.cost == pytest.approx(a.routes[0].way.cost, rel=0.003)
    assert len(a.routes[0].way.bends) == len(b.routes[0].way.bends)
    line, moved = along(one, a.routes[0].way), move(along(other, b.routes[0].way))
    apart = np.linalg.norm(line[:, None] - moved[None], axis=2).min(axis=1)
    assert np.median(apart) < 25.0


def test_a_mirrored_vehicle_gives_the_mirrored_route() -> None:
    problem = over_the_axle()
    _same_answer(problem, _mirrored(problem), lambda p: p * np.array([1.0, -1.0, 1.0]))


def test_the_order_of_obstacles_changes_nothing() -> None:
    problem = over_the_axle()
    _same_answer(problem, replace(problem, obstacles=problem.obstacles[::-1]), lambda p: p)


def test_a_scan_in_the_way_is_kept_clear_of() -> None:
    problem = over_the_axle()
    sheet = Obstacle("scan", "floor", Rigid((bumpy_sheet(30),)), 15.0)
    answer = find(replace(problem, obstacles=(*problem.obstacles, sheet)), rounds=3)
    assert answer.routes
    assert any(g.obstacle == "scan" for g in answer.routes[0].certificate.gaps)


def test_a_pie_cut_is_taken_only_where_it_pays() -> None:
    tight = Bend("pie", 60.0, math.radians(90.0), pieces=4)
    bought = Bend("bend", 90.0, math.radians(120.0))
    answer = find(over_the_axle(sizes=(size(bends=(bought, tight)),)), rounds=3)
    assert answer.routes
    assert all(b == 0 for b in answer.routes[0].way.bends)  # five welds in place of two are dearer


def test_of_two_pipes_the_cheaper_is_best() -> None:
    dear = size(50.0)
    dear = replace(dear, terms=tuple(replace(t, weight=2.0 * t.weight) for t in dear.terms))
    answer = find(over_the_axle(sizes=(dear, size(60.0))), rounds=4)
    assert answer.routes[0].way.size == 1


def test_a_first_route_is_in_the_way_of_a_second() -> None:
    problem = over_the_axle()
    first = find(problem, rounds=3).routes[0].way
    line = along(problem, first)
    from trialfit.geometry.solids import Capsule

    sticks = tuple(Capsule(a, b, 30.0) for a, b in pairwise(line) if np.linalg.norm(a - b) > 1)
    second = replace(problem, obstacles=(*problem.obstacles, Obstacle("first pipe", "exhaust", Rigid(sticks), 15.0)),
                     outlet=problem.outlet + np.array([0.0, 120.0, 0.0]))
    answer = find(second, rounds=4)
    assert answer.routes
    apart = np.linalg.norm(along(second, answer.routes[0].way)[:, None] - line[None], axis=2).min()
    assert apart >= 60.0 + 15.0 - 12.5  # the line is sampled every 25 mm


def test_what_rides_on_the_engine_moves_with_it() -> None:
    from trialfit.geometry.gaps import Domain
    from trialfit.geometry.paths import PosePath

    lo, hi = np.array([0.0, 0.0, -1.0]), np.array([0.0, 0.0, 1.0])
    coefs = np.zeros((1, 1, 2, 12))
    coefs[0, 0, 0, [0, 4, 8]] = 1.0
    coefs[0, 0, 1, 10] = 15.0  # the engine goes 15 mm left and right
    engine = PosePath(coefs, lo, hi)
    half = np.array([400.0, 10, 200])
    walls = (Obstacle("wall left", "frame", Rigid((Box(np.array([400.0, 85.0, 300]), half),)), 5.0),
             Obstacle("wall right", "frame", Rigid((Box(np.array([400.0, 335.0, 300]), half),)), 5.0))
    flex = muffler(name="flex", kind="bellows", length_mm=120.0, width_mm=70.0, height_mm=70.0, frees=True,
                   zone=np.array([[300.0, 100, 200], [700, 320, 400]]))
    problem = over_the_axle(obstacles=walls, parts=(flex,), engine=engine, domain=Domain(lo, hi),
                            states=np.array([[0.0, 0, -1.0], [0, 0, 0], [0, 0, 1.0]]))
    answer = find(problem, rounds=2)
    assert answer.routes
    # 125 mm from the outlet to either face, less half of 60 mm of pipe, 15 mm of rock and 5 mm asked: 75 mm at most
    assert answer.routes[0].certificate.upper_mm <= 115.0 - 30.0 - 15.0 - 5.0 + 0.2


@pytest.mark.parametrize("change, words", [
    ({"sizes": ()}, "no pipe to lay"),
    ({"aim": np.array([2.0, 0.0, 0.0])}, "unit vector"),
    ({"outlet": np.array([9e5, 0.0, 0.0])}, "outside the room"),
    ({"exit": Exit(np.array([2600.0, 0, 0]), np.array([2500.0, 1, 1]), np.array([1.0, 0, 0]), 0.1)}, "corners crossed"),
    ({"exit": Exit(np.array([2600.0, 100, 250]), np.array([2700.0, 300, 450]), np.array([0.0, 1.0, 0]), 0.1),
      "sizes": (size(bends=()),)}, "has no bends"),
    ({"exit": Exit(np.array([2600.0, 100, 250]), np.array([2700.0, 300, 450]), np.array([0.0, 1.0, 0]), 0.1),
      "sizes": (size(bends=(Bend("slight", 90.0, math.radians(5.0)),)),), "most_bends": 4}, "turn 20 deg at most"),
])
def test_what_no_route_can_answer_is_refused(change, words) -> None:
    with pytest.raises(ProblemError, match=words):
        find(over_the_axle(**change), rounds=1)


def test_stopping_keeps_the_best() -> None:
    calls = []

    def stop() -> bool:
        calls.append(1)
        return len(calls) > 3

    answer = find(over_the_axle(), rounds=50, stop=stop)
    assert answer.rounds < 50
    assert answer.routes


def test_progress_is_told_and_costs_only_fall() -> None:
    told = []
    find(over_the_axle(), rounds=3, progress=lambda s, cost, words: told.append((s, cost)))
    assert len(told) == 3
    costs = [c for _, c in told if c is not None]
    assert costs == sorted(costs, reverse=True)
