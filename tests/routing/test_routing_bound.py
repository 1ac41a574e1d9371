"""The bound under the cost of every route: against answers in closed form, against routes laid out one by one, and
against routes that were there before the question."""

import math
from dataclasses import replace
from itertools import pairwise, product

import numpy as np
import pytest
from random_problems import DOMAIN, STATES, closed_by_construction, open_by_construction
from scipy.optimize import brentq, minimize_scalar

from trialfit.geometry.gaps import Rigid
from trialfit.geometry.solids import Box
from trialfit.routing.bound import lower_bound
from trialfit.routing.field import prepare
from trialfit.routing.finding import find
from trialfit.routing.problem import Bend, Exit, LegPart, Obstacle, Problem, ProblemError, Size, Term

PER_MM, PER_RAD, PER_BEND, RADIUS = 0.01, 1.5, 3.0, 80.0
AHEAD = np.array((1.0, 0.0, 0.0))
ROOM = np.array(((-800.0, -900.0, -700.0), (2000.0, 900.0, 700.0)))


def _size(most_deg: float = 120.0, per_bend: float = PER_BEND, diameter: float = 50.0, per_mm: float = PER_MM) -> Size:
    return Size("pipe", diameter, 1.5, (Bend("bend", RADIUS, math.radians(most_deg)),), (
        Term("length", "-", 1.0, per_mm, (0.0,), (0.0,), 0.0),
        Term("turning", "-", 1.0, 0.0, (PER_RAD,), (0.0,), 0.0),
        Term("welds", "-", 1.0, 0.0, (0.0,), (per_bend,), 2.0)))


def _ask(at: tuple[float, float, float], aim: tuple[float, float, float], cone_deg: float = 0.05, half: float = 0.05,
         obstacles: tuple[Obstacle, ...] = (), size: Size | None = None, parts: tuple[LegPart, ...] = (),
         room: np.ndarray = ROOM, least: float = 0.0) -> Problem:
    end = Exit(np.array(at) - half, np.array(at) + half, np.array(aim) / np.linalg.norm(aim), math.radians(cone_deg))
    return Problem(obstacles, np.zeros(3), AHEAD, end, (size or _size(),), room, DOMAIN, STATES, parts,
                   least_straight_mm=least)


def _bound(problem: Problem, boxes: int = 6000, **more: float):
    return lower_bound(problem, prepare(problem), boxes=boxes, **more)


def _corner(turn: float) -> float:
    """What a corner of so much turn costs beside the lines that meet in it."""
    return PER_BEND + PER_RAD * turn - PER_MM * (2.0 * RADIUS * math.tan(turn / 2.0) - RADIUS * turn)


def _solid(name: str, low: tuple[float, float, float], high: tuple[float, float, float],
           required: float = 15.0) -> Obstacle:
    a, b = np.array(low), np.array(high)
    return Obstacle(name, "other", Rigid((Box((a + b) / 2.0, (b - a) / 2.0),)), required)


def test_straight_ahead_costs_its_length() -> None:
    found = _bound(_ask((700.0, 0.0, 0.0), (1, 0, 0), 5.0, 10.0))
    assert found.cost == pytest.approx(2.0 + PER_MM * 690.0, rel=1e-9)
    assert found.closed
    assert found.bends == 0


@pytest.mark.parametrize("turn_deg", [25.0, 60.0, 100.0])
def test_one_bend(turn_deg: float) -> None:
    # another route to the answer: the corner lies where the two lines meet
    turn, first, second = math.radians(turn_deg), 300.0, 400.0
    way = np.array((math.cos(turn), 0.0, math.sin(turn)))
    found = _bound(_ask(tuple(first * AHEAD + second * way), tuple(way)))
    exact = 2.0 + PER_MM * (first + second) + _corner(turn)
    assert found.cost <= exact + 1e-9
    assert found.cost == pytest.approx(exact, rel=2e-3)
    assert found.bends == 1
    assert found.turn_rad == pytest.approx(turn, abs=0.01)


def test_sideways_takes_two_bends() -> None:
    # another route to the answer: the turn of both bends is the one unknown left
    long, aside = 900.0, 260.0

    def cost(turn: float) -> float:
        slant = aside / math.sin(turn)
        return 2.0 + PER_MM * (long - aside / math.tan(turn) + slant) + 2.0 * _corner(turn)

    # the bends must fit on what runs along the vehicle
    least = brentq(lambda q: long - aside / math.tan(q) - 2.0 * RADIUS * math.tan(q / 2.0), 0.1, 1.0)
    exact = minimize_scalar(cost, bounds=(least, 1.5), method="bounded", options={"xatol": 1e-9}).fun
    found = _bound(_ask((long, aside, 0.0), (1, 0, 0)), boxes=20_000)
    assert found.bends == 2
    assert found.cost <= exact + 1e-6
    assert found.cost == pytest.approx(exact, rel=2e-3)


def test_back_again_is_one_bend_of_more_than_a_corner_can_hold() -> None:
    turn = math.radians(170.0)
    out = np.array((math.cos(turn), math.sin(turn), 0.0))
    after = 200.0 * AHEAD + RADIUS * np.array((math.sin(turn), 1.0 - math.cos(turn), 0.0))
    at = after + 150.0 * out
    found = _bound(_ask(tuple(at), tuple(out), size=_size(175.0)), boxes=100_000)
    exact = 2.0 + PER_MM * (350.0 + RADIUS * turn) + PER_BEND + PER_RAD * turn
    assert found.cost <= exact + 1e-9
    assert found.cost == pytest.approx(exact, rel=0.015)
    # bends of no more than 120 degrees need two for that
    two = _bound(_ask(tuple(at), tuple(out)), boxes=20_000)
    assert two.bends == 2
    assert two.cost >= 2.0 + 2.0 * PER_BEND + PER_RAD * (turn - 0.002) + PER_MM * (float(np.linalg.norm(at)) - 0.1)


def test_a_wall_in_the_way_takes_more_bends() -> None:
    clear = _bound(_ask((900.0, 0.0, 0.0), (1, 0, 0), 8.0, 20.0))
    wall = _solid("wall", (400.0, -150.0, -700.0), (450.0, 150.0, 700.0))
    stopped = _bound(_ask((900.0, 0.0, 0.0), (1, 0, 0), 8.0, 20.0, (wall,)), boxes=20_000)
    # round the wall's edge: 150 of wall, 15 of gap and the pipe's own 25 aside
    round_it = 2.0 * math.hypot(425.0, 190.0)
    assert clear.bends == 0
    assert stopped.bends >= 2
    assert stopped.length_mm >= 0.97 * round_it
    assert stopped.cost >= clear.cost + 2.0 * PER_BEND


def test_a_part_must_be_passed_in_its_zone() -> None:
    zone = np.array(((300.0, 200.0, -20.0), (500.0, 240.0, 20.0)))
    part = LegPart("box", "muffler", 200.0, 80.0, 80.0, zone)
    found = _bound(_ask((900.0, 0.0, 0.0), (1, 0, 0), 8.0, 20.0, parts=(part,)), boxes=12_000)
    least = min(math.hypot(x, 200.0) + math.hypot(880.0 - x, 180.0) for x in np.linspace(300.0, 500.0, 201))
    assert found.length_mm == pytest.approx(least, rel=0.01)
    assert found.length_mm <= least + 1e-6
    assert found.bends >= 2


def _arc_and_legs(points: np.ndarray, step: float = 10.0) -> np.ndarray | None:
    """Points of a route with one radius, no two further apart than ``step``; None where its bends find no room."""
    units = np.diff(points, axis=0)
    lengths = np.linalg.norm(units, axis=1)
    if lengths.min() < 1.0:
        return None
    units /= lengths[:, None]
    turns = [math.acos(max(-1.0, min(1.0, float(a @ b)))) for a, b in pairwise(units)]
    if any(q < 1e-3 or q > math.radians(120.0) for q in turns):
        return None
    cuts = [0.0, *(RADIUS * math.tan(q / 2.0) for q in turns), 0.0]
    rows = []
    for k, u in enumerate(units):
        if lengths[k] < cuts[k] + cuts[k + 1] - 1e-9:
            return None
        run = np.linspace(cuts[k], lengths[k] - cuts[k + 1], 2 + int((lengths[k] - cuts[k] - cuts[k + 1]) / step))
        rows.append(points[k] + run[:, None] * u)
        if k < len(turns):
            inward = (units[k + 1] - math.cos(turns[k]) * u) / math.sin(turns[k])
            middle = points[k + 1] - cuts[k + 1] * u + RADIUS * inward
            angles = np.linspace(0.0, turns[k], 2 + int(RADIUS * turns[k] / step))
            rows.append(middle + RADIUS * (np.sin(angles)[:, None] * u - np.cos(angles)[:, None] * inward))
    return np.vstack(rows)


@pytest.mark.parametrize("seed", range(1, 7))
def test_no_route_of_a_lattice_beats_it(seed: int) -> None:
    """Every route with one or two bends whose corners lie on a lattice, tried one by one."""
    rng = np.random.default_rng(seed)
    boxes = []
    for _ in range(3):
        middle, half = rng.uniform((250, -150, -100), (650, 150, 100)), rng.uniform(20.0, 110.0, 3)
        boxes.append((middle - half, middle + half))
    things = tuple(_solid(f"thing {k}", tuple(a), tuple(b)) for k, (a, b) in enumerate(boxes))
    at = np.array((880.0, rng.uniform(-200, 200), 0.0))
    room = np.array(((-50.0, -400.0, -250.0), (950.0, 400.0, 250.0)))
    problem = _ask(tuple(at), (1, 0, 0), 20.0, 40.0, things, room=room)
    corners = [np.array(p) for p in product(range(150, 800, 65), range(-300, 301, 75), (-160.0, 0.0, 160.0))]
    ends = [at + np.array(d) for d in product((-39.0, 0.0), (-30.0, 0.0, 30.0), (0.0,))]
    best = math.inf
    cone = math.cos(math.radians(20.0))
    for first in range(60, 500, 55):
        for end in ends:
            for second in [None, *corners]:
                points = np.array([np.zeros(3), first * AHEAD, *(() if second is None else (second,)), end])
                last = points[-1] - points[-2]
                if last[0] < cone * np.linalg.norm(last):
                    continue
                units = np.diff(points, axis=0)
                lengths = np.linalg.norm(units, axis=1)
                cost = 2.0 + PER_MM * float(lengths.sum()) + PER_BEND * (len(points) - 2)
                if cost - 1.0 >= best:
                    continue
                line = _arc_and_legs(points)
                if line is None:
                    continue
                units /= lengths[:, None]
                turns = np.arccos(np.clip((units[:-1] * units[1:]).sum(axis=1), -1.0, 1.0))
                cost = 2.0 + PER_MM * float(lengths.sum()) + sum(_corner(float(q)) for q in turns)
                if cost >= best or np.any(np.abs(line[:, 1]) > 400.0) or np.any(np.abs(line[:, 2]) > 250.0):
                    continue
                # points are 10 mm apart at most: 5 mm more than asked for at each leaves nothing too near between
                if all(np.linalg.norm(np.maximum(0.0, np.maximum(a - line, line - b)), axis=1).min() >= 45.0
                       for a, b in boxes):
                    best = cost
    assert math.isfinite(best)
    found = _bound(problem, boxes=12_000)
    assert found.cost <= best + 1e-9
    assert found.cost >= 0.75 * best


@pytest.mark.parametrize("seed", range(24))
def test_no_route_that_was_there_first_beats_it(seed: int) -> None:
    problem, way = open_by_construction(seed)
    found = _bound(problem, boxes=5000)
    assert found.cost <= way.cost + 1e-9
    assert found.length_mm <= way.length_mm + 1e-6
    assert found.turn_rad <= way.turn_rad + 1e-9
    assert found.bends <= len(way.bends)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(100, 160))
def test_no_route_that_was_there_first_beats_it_however_long_it_runs(seed: int) -> None:
    problem, way = open_by_construction(seed)
    found = _bound(problem, boxes=40_000)
    assert found.cost <= way.cost + 1e-9
    assert found.length_mm <= way.length_mm + 1e-6
    assert found.turn_rad <= way.turn_rad + 1e-9
    assert found.bends <= len(way.bends)


def _moved(problem: Problem, sign: float, shift: np.ndarray) -> Problem:
    """A question of fixed upright boxes, mirrored across the vehicle's middle (sign -1) and then shifted."""
    flip = np.array((1.0, sign, 1.0))

    def box(low: np.ndarray, high: np.ndarray) -> np.ndarray:
        both = np.array((low * flip + shift, high * flip + shift))
        return np.array((both.min(axis=0), both.max(axis=0)))

    things = []
    for o in problem.obstacles:
        assert isinstance(o.body, Rigid)
        solid = o.body.solids[0]
        assert isinstance(solid, Box)
        things.append(replace(o, body=Rigid((Box(solid.centre * flip + shift, solid.half_mm),))))
    end = box(problem.exit.low, problem.exit.high)
    return replace(problem, obstacles=tuple(things), outlet=problem.outlet * flip + shift, aim=problem.aim * flip,
                   exit=Exit(end[0], end[1], problem.exit.aim * flip, problem.exit.cone_rad),
                   bounds=box(problem.bounds[0], problem.bounds[1]))


@pytest.mark.parametrize("sign, shift", [(-1.0, (0.0, 0.0, 0.0)), (1.0, (1000.0, -300.0, 250.0))])
def test_mirrored_or_shifted_it_is_the_same(sign: float, shift: tuple[float, float, float]) -> None:
    wall = _solid("wall", (400.0, -350.0, -700.0), (450.0, 150.0, 700.0))
    block = _solid("block", (500.0, 200.0, -100.0), (600.0, 400.0, 100.0))
    problem = _ask((900.0, 60.0, 0.0), (1, 0.2, 0), 8.0, 20.0, (wall, block))
    a, b = _bound(problem, boxes=15_000), _bound(_moved(problem, sign, np.array(shift)), boxes=15_000)
    # boxes that cost the same come out of the queue in another order
    assert b.cost == pytest.approx(a.cost, rel=5e-3)
    assert b.length_mm == pytest.approx(a.length_mm, rel=5e-3)
    assert b.bends == a.bends


def test_the_cheapest_of_sizes_counts() -> None:
    wall = _solid("wall", (400.0, -880.0, -700.0), (450.0, 880.0, -40.0))
    thin, thick = _size(per_mm=0.02), _size(diameter=60.0)
    problem = _ask((900.0, 0.0, 0.0), (1, 0, 0), 8.0, 20.0, (wall,))
    both = _bound(replace(problem, sizes=(thin, thick)))
    each = [_bound(replace(problem, sizes=(s,))).cost for s in (thin, thick)]
    assert both.cost <= min(each) + 1e-9
    assert both.cost == pytest.approx(min(each), rel=0.03)


def test_what_is_closed_has_no_cost() -> None:
    for seed in (0, 3, 8):
        problem, _kind, _missing = closed_by_construction(seed, things=0)
        found = _bound(problem, boxes=40_000)
        assert math.isinf(found.cost)
        assert found.closed
        assert found.words == "no route of up to 10 bends exists: every one of them is blocked"


def test_a_route_at_hand_bounds_the_search() -> None:
    problem = _ask((900.0, 260.0, 0.0), (1, 0, 0))
    free = _bound(problem, boxes=12_000)
    known = _bound(problem, boxes=12_000, known=free.cost - 1.0)
    assert known.cost == pytest.approx(free.cost - 1.0)
    assert known.closed
    assert known.short_of(known.cost) == 0.0


def test_wrong_questions_are_refused() -> None:
    problem = _ask((900.0, 260.0, 0.0), (1, 0, 0), size=_size(per_bend=-1.0))
    with pytest.raises(ProblemError, match=r"pipe pipe: its cost falls as the route grows longer or turns more; every"):
        _bound(problem)
    with pytest.raises(ValueError, match="boxes 0 must be 1 or more"):
        lower_bound(problem, prepare(problem), boxes=0)
    with pytest.raises(ValueError, match="a route's cost must be above 0, not 0"):
        _bound(_ask((700.0, 0.0, 0.0), (1, 0, 0), 5.0, 10.0)).short_of(0.0)


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 4, 9, 16])
def test_no_route_that_the_search_finds_beats_it(seed: int) -> None:
    problem, _way = open_by_construction(seed)
    found = find(problem, rounds=3, with_bound=False)
    assert found.routes
    bound = _bound(problem, boxes=40_000)
    assert bound.cost <= min(r.way.cost for r in found.routes) + 1e-9
    assert bound.bends <= min(len(r.way.bends) for r in found.routes)
