"""The question to the router, and its answer laid back into the build."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from trialfit.buildfile import load
from trialfit.checks import GROUND, not_kept_clear, plan_of, problem_of, run
from trialfit.checks.asked import quarter_turn
from trialfit.checks.ground import ground_path
from trialfit.checks.placing import part_solid
from trialfit.exhaust import lay, spots_of
from trialfit.findings import Place, Verdict
from trialfit.geometry import Rigid, gap_at
from trialfit.geometry.solids import Capsule, Prism, cylinder
from trialfit.routing.entries import field_values
from trialfit.routing.field import prepare
from trialfit.routing.pieces import FRAME, pieces
from trialfit.routing.problem import PartAt, ProblemError, Way
from trialfit.vehicle import (
    Amount,
    BendWish,
    ExitWish,
    GapWish,
    KeepOut,
    PartWish,
    PipeWish,
    PosePoint,
    RouteWish,
    RuleChoice,
    Worth,
    ZoneWish,
)

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
HERE = Place("build.yaml", 77)
EXIT = ExitWish(ZoneWish((3450.0, 250.0, 300.0), (3600.0, 420.0, 400.0)), (1.0, 0.0, 0.0), math.radians(15.0), HERE)
PIPE = PipeWish(Amount(63.5), Amount(1.5), 12.0)
BEND = BendWish("U-bend", Amount(95.25), math.pi, price=14.0, where=HERE)
BELLOWS = PartWish("bellows", "bellows", Amount(120.0), Amount(90.0), Amount(90.0))
MUFFLER = PartWish("muffler", "muffler", Amount(400.0), Amount(150.0), Amount(90.0),
                   ZoneWish((1400.0, 150.0, 200.0), (1900.0, 300.0, 300.0)), (0.0, math.pi / 2.0), 20.0, 6.0, 80.0, 0.5,
                   2.5, HERE)


@pytest.fixture(scope="module")
def estate():
    build = load(EXAMPLES / "estate" / "build.yaml").build
    plan = replace(build.routes[0], laid=False, corners=(), end="", parts=(), wish=None)
    return replace(build, routes=(plan,))


@pytest.fixture(scope="module")
def solved(estate):
    return run(estate, gaps=False)


def wished(build, **more):
    given = dict(exit=EXIT, pipes=(PIPE,), bends=(BEND,), where=Place("build.yaml", 70))
    plan = replace(build.routes[0], wish=RouteWish(**{**given, **more}))
    return replace(build, routes=(plan,)), plan


def asked(build, solved, gaps=(), **more):
    other, plan = wished(build, **more)
    other = replace(other, gaps=(*other.gaps, *gaps))
    return problem_of(other, plan, replace(solved, build=other), spare=False), plan


def way_of(problem, parts=()):
    points = np.array([problem.outlet, problem.outlet + 1600.0 * problem.aim, [2450, 218, 512], [2830, 222, 512],
                       [3010, 300, 372], [3560, 330, 352]], dtype=float)
    return Way(0, points, (0, 0, 0, 0), tuple(parts), 100.0, (), 3000.0, 2.0, 10, 1.0)


# -- what is asked ----------------------------------------------------------------------------------------------


def test_everything_placed_is_an_obstacle_with_the_gap_its_rule_asks(estate, solved):
    problem, _ = asked(estate, solved)
    wanted = {o.name: (o.required_mm, o.kind) for o in problem.obstacles}
    assert wanted["tank"] == (38.0, "fuel")
    assert wanted["axle tube"] == (25.0, "axle")
    assert wanted["wheel right"] == (50.0, "tyre")
    assert wanted["rail left"] == (15.0, "frame")
    assert {p.thing.name for p in solved.placed} <= set(wanted)
    for o in problem.obstacles:
        assert o.source


def test_every_obstacle_asks_for_room_for_the_doubt_of_its_own_points(estate, solved):
    """95 % of the greatest doubt of the points that place it, at least; where the outlet stands too near, none."""
    bare, plan = asked(estate, solved)
    other, _ = wished(estate)
    spared = problem_of(other, plan, replace(solved, build=other))
    more = {o.name: o.required_mm - b.required_mm for o, b in zip(spared.obstacles, bare.obstacles, strict=True)}
    assert more == {o.name: pytest.approx(o.spare_mm) for o in spared.obstacles}
    assert more["axle tube"] > 1.96 * max(solved.survey.doubt_mm(p) for p in ("tube.L", "tube.R"))
    assert max(more.values()) < 4.0
    # gearbox and outlet, nearer and nearer to what is asked for, until no route could begin there at all
    spare = []
    for asked_for in range(30, 300):
        nearer = replace(other, gaps=(*other.gaps, GapWish("exhaust.main", "gearbox", float(asked_for))))
        try:
            found = problem_of(nearer, plan, replace(solved, build=nearer))
        except ProblemError:
            break
        spare.append(next(o for o in found.obstacles if o.name == "gearbox").spare_mm)
    assert spare[0] == pytest.approx(more["gearbox"])
    assert spare[-1] == 0.0


def test_the_builders_own_gaps_and_rules_hold_for_the_search_too(estate, solved):
    wishes = (GapWish("exhaust.main", "tank", 60.0), GapWish("exhaust", "frame", 10.0),
              GapWish("gearbox", "exhaust.main", None, True))
    problem, plan = asked(estate, solved, wishes)
    wanted = {o.name: o.required_mm for o in problem.obstacles}
    assert (wanted["tank"], wanted["rail left"]) == (60.0, 10.0)
    assert "gearbox" not in wanted
    other, _ = wished(estate)
    joined = not_kept_clear(replace(other, gaps=wishes), plan, solved)
    assert [w for w in joined if w.startswith("gearbox")]
    chosen = replace(other, rules=(RuleChoice("exhaust-to-fixed", "10 mm, a finger's width"),))
    problem = problem_of(chosen, plan, solved, spare=False)
    assert next(o for o in problem.obstacles if o.name == "rail right").required_mm == 10.0


def test_a_laid_route_is_in_the_way_of_the_next_and_never_of_itself(estate):
    laid = load(EXAMPLES / "estate" / "build.yaml").build.routes[0]
    # it begins where a fuel line hangs, which stands for any free place under the left of the car
    plan = replace(estate.routes[0], name="second", outlet="fuel.1", outlet_aim="fuel.2",
                   wish=RouteWish(EXIT, (PIPE,), (BEND,)))
    both = replace(estate, routes=(laid, plan), gaps=(*estate.gaps, GapWish("exhaust.second", "fuel line", None, True)))
    names = {o.name: o.required_mm for o in problem_of(both, plan, run(both, gaps=False), spare=False).obstacles}
    assert names["exhaust.main"] == 15.0
    assert "exhaust.second" not in names
    again = replace(laid, wish=RouteWish(EXIT, (PIPE,), (BEND,)))
    once = replace(estate, routes=(again,))
    assert "exhaust.main" not in {o.name for o in problem_of(once, again, run(once, gaps=False)).obstacles}


def test_keep_out_boxes_and_the_ground(estate, solved):
    kept = KeepOut("jack", ZoneWish((1500.0, 400.0, 100.0), (1400.0, 500.0, 300.0)), 8.0)
    problem, _ = asked(estate, solved, keep_out=(kept,), ground_mm=100.0)
    box = next(o for o in problem.obstacles if o.name == "keep-out jack")
    assert box.required_mm == 8.0
    assert box.body.solids[0].centre == pytest.approx([1450.0, 450.0, 200.0])
    ground = next(o for o in problem.obstacles if o.kind == "ground")
    assert ground.required_mm == 100.0
    ball = Rigid((Capsule([2000.0, 0.0, 300.0], [2000.0, 0.0, 300.0], 10.0),))
    # with the axle 60 mm in bump the ground is 60 mm nearer, whatever else
    assert gap_at(ball, ground.body, (0, 0, 0)).upper_mm == pytest.approx(290.0, abs=0.01)
    assert gap_at(ball, ground.body, (60, 0, 0)).upper_mm == pytest.approx(230.0, abs=0.01)
    without, _ = asked(estate, solved)
    still = next(o for o in without.obstacles if o.kind == "ground")
    assert still.required_mm == 76.0, "the rule, and that at ride height alone"
    assert gap_at(ball, still.body, (60, 0, 0)).upper_mm == pytest.approx(290.0, abs=0.01)


def test_the_ground_tilts_with_the_axle(solved):
    path = ground_path(solved.travel)
    roll = math.radians(3.0)
    x, y, z = solved.travel.reference
    moved = path.move(np.array([[x, y + 500.0, z], [x, y - 500.0, z]]), PosePoint(20.0, roll, 0.0))
    # right wheel up: what is right of the axle's middle rises
    assert moved[0] == pytest.approx([x, y + 500.0 * math.cos(roll), z + 20.0 + 500.0 * math.sin(roll)], abs=1e-4)
    assert moved[1] == pytest.approx([x, y - 500.0 * math.cos(roll), z + 20.0 - 500.0 * math.sin(roll)], abs=1e-4)


def test_looking_at_the_ground_where_it_is_highest_loses_nothing(estate, solved):
    problem, _ = asked(estate, solved, parts=(BELLOWS, MUFFLER), ground_mm=100.0)
    ground = next(o for o in problem.obstacles if o.name == "ground")
    assert 0 < len(ground.states) < len(problem.states)
    alone = replace(problem, obstacles=(replace(ground, states=None),))
    fewer = replace(problem, obstacles=(ground,))
    rng = np.random.default_rng(5)
    points = problem.bounds[0] + rng.random((2000, 3)) * (problem.bounds[1] - problem.bounds[0]) * [1.0, 1.0, 0.35]
    one, other = prepare(alone), prepare(fewer)
    reach = one.frame[0][4]
    for side in ("frame", "engine"):
        all_, some = (field_values(getattr(f, side), points) for f in (one, other))
        near = all_ < reach
        assert near.sum() > 200
        np.testing.assert_allclose(some[near], all_[near], atol=1e-6)


def test_poses_bounds_and_engine(estate, solved):
    problem, _ = asked(estate, solved, parts=(BELLOWS, MUFFLER))
    assert problem.engine is solved.travel.paths["engine"]
    assert [p.frees for p in problem.parts] == [True, False]
    assert all(problem.domain.possible(s) for s in problem.states)
    assert len(problem.states) == 9 * 5 * 3
    assert asked(estate, solved, parts=(MUFFLER,))[0].engine is None
    low, high = problem.bounds
    assert np.all(low < problem.outlet)
    assert np.all(problem.exit.high < high)
    assert low[2] == 0.0, "nothing is looked for under the ground"
    wall = KeepOut("wall", ZoneWish((2300.0, -9000.0, -9000.0), (2320.0, 9000.0, 9000.0)), 5.0)
    walled, _ = asked(estate, solved, keep_out=(wall,))
    assert np.array_equal(walled.bounds, asked(estate, solved)[0].bounds), "no way round a wall across the vehicle"


def test_places_to_run_through_stand_among_the_parts_by_how_far_they_lie(estate, solved):
    problem, _ = asked(estate, solved, parts=(MUFFLER,), through=((1000.0, 240.0, 250.0), (2700.0, 220.0, 512.0)))
    assert [p.kind for p in problem.parts] == ["through", "muffler", "through"]
    assert problem.parts[0].zone.mean(axis=0) == pytest.approx([1000.0, 240.0, 250.0])
    assert [p.welds for p in problem.parts] == [0, 2, 0]


def test_a_part_measured_upright_is_laid_on_its_side(estate, solved):
    upright = replace(MUFFLER, width=Amount(90.0), height=Amount(150.0), clocks_rad=(0.0,))
    problem, plan = asked(estate, solved, parts=(upright,))
    (part,) = problem.parts
    assert (part.width_mm, part.height_mm, part.clocks_rad) == (150.0, 90.0, (math.pi / 2.0,))
    laid = plan_of(problem, way_of(problem, [PartAt(0, 800.0, math.pi / 2.0)]), plan)
    assert laid.parts[0].clock_rad == pytest.approx(0.0)
    assert quarter_turn(150.0, 90.0) == 0.0


def test_costs_add_up_by_hand(estate, solved):
    worth = Worth(hour=40.0, kilogram=3.0, kilopascal=6.0, hours_per_weld=0.5, hours_per_bend=0.2)
    pie = BendWish("pie", Amount(120.0), math.pi / 2, 4, 2.0, 0.0)
    problem, _ = asked(estate, solved, parts=(MUFFLER,), bends=(BEND, pie), worth=worth)
    size = problem.sizes[0]
    of = {t.name: t for t in size.terms}
    assert of["money"].per_mm == pytest.approx(0.012)
    assert of["money"].per_bend == pytest.approx((14.0, 4 * 2.0 * 0.012))
    assert of["money"].fixed == 80.0
    # a bought bend: two welds; four pie-cut pieces: three between them and two at the ends
    assert of["work"].per_bend == pytest.approx((0.2 + 2 * 0.5, 0.2 + 5 * 0.5))
    assert of["work"].fixed == pytest.approx(0.5 + 2 * 0.5)
    # EN 10220: 0.0246615 (D - T) T kg/m
    assert of["mass"].per_mm * 1000.0 == pytest.approx(0.0246615 * 62.0 * 1.5, rel=1e-4)
    assert of["mass"].fixed == 6.0
    head = of["back pressure"].fixed / (1.0 + 2.5)
    assert head == pytest.approx(1.974, abs=0.01)
    assert of["back pressure"].per_rad[1] >= of["back pressure"].per_rad[0]
    assert [t.weight for t in size.terms] == [1.0, 40.0, 3.0, 6.0]


def test_bends_are_those_to_be_had_for_each_pipe(estate, solved):
    thick = PipeWish(Amount(76.2), Amount(1.6))
    bends = (replace(BEND, diameter_mm=63.5), replace(BEND, name="wide", times=1.5, radius=Amount(95.25)))
    problem, plan = asked(estate, solved, pipes=(PIPE, thick), bends=bends)
    assert [[b.name for b in s.bends] for s in problem.sizes] == [["U-bend", "wide"], ["wide"]]
    assert [round(b.radius_mm, 3) for b in problem.sizes[1].bends] == [114.3]
    laid = plan_of(problem, replace(way_of(problem), size=1), plan)
    assert laid.diameter == thick.diameter
    assert laid.corners[0].radius == Amount(pytest.approx(114.3), 0.0, "1.5 D")


# -- what has no answer -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "more, told, line",
    [
        (dict(exit=replace(EXIT, zone=ZoneWish((3000.0, -300.0, 350.0), (3300.0, 50.0, 450.0)))), "tank", 77),
        (dict(exit=replace(EXIT, zone=ZoneWish((3400.0, 200.0, 10.0), (3500.0, 300.0, 60.0))), ground_mm=90.0),
         "ground", 77),
        (dict(exit=replace(EXIT, zone=ZoneWish("nowhere", (3500.0, 300.0, 60.0)))), "nowhere", 77),
        (dict(exit=replace(EXIT, toward=(0.0, 1.0, 0.0)), bends=()), "no bend to turn with", 77),
        (dict(bends=(replace(BEND, most_rad=0.001),)), "most each can turn", 77),
        (dict(bends=(replace(BEND, radius=Amount(30.0)),)), "31.75 mm", 77),
        (dict(bends=(replace(BEND, diameter_mm=50.0),)), "63.5 mm", 70),
        (dict(pipes=()), "no pipe", 70),
        (dict(pipes=(PipeWish(Amount(63.5), Amount(40.0)),)), "wall", 70),
        (dict(parts=(replace(MUFFLER, zone=ZoneWish((3050.0, -200.0, 380.0), (3250.0, 0.0, 430.0))),)),
         "the zone of muffler", 77),
        (dict(parts=(replace(MUFFLER, height=Amount(0.0)),)), "more than 0 mm", 77),
        (dict(parts=(replace(MUFFLER, height=Amount(0.0, 0.0, "never read")),)), "never read", 77),
        (dict(worth=Worth(gas_k=3000.0)), "back pressure", 70),
        (dict(keep_out=(KeepOut("all", ZoneWish((3400.0, 200.0, 250.0), (3700.0, 500.0, 450.0)), 5.0),)),
         "keep-out all", 77),
    ],
)
def test_what_has_no_answer_is_named_at_its_line(estate, solved, more, told, line):
    with pytest.raises(ProblemError, match=told) as refused:
        asked(estate, solved, **more)
    assert refused.value.where.line == line


def test_an_outlet_that_touches_something_is_named_with_its_gap(estate, solved):
    with pytest.raises(ProblemError, match=r"outlet of main comes within .* mm of gearbox, 90 mm are asked") as refused:
        asked(estate, solved, (GapWish("exhaust.main", "gearbox", 90.0),))
    assert refused.value.where == estate.routes[0].where
    box = KeepOut("round it", ZoneWish((500.0, 150.0, 200.0), (650.0, 350.0, 300.0)), 0.0)
    with pytest.raises(ProblemError, match="lies inside keep-out round it"):
        asked(estate, solved, keep_out=(box,))


def test_what_is_missing_from_the_route_is_named(estate, solved):
    with pytest.raises(ProblemError, match="find:"):
        problem_of(estate, estate.routes[0], solved)
    other, plan = wished(estate)
    with pytest.raises(ProblemError, match="aim:"):
        problem_of(other, replace(plan, outlet_aim=""), solved)
    with pytest.raises(ProblemError, match="lost"):
        problem_of(other, replace(plan, outlet="lost"), solved)
    with pytest.raises(ProblemError, match="travel"):
        problem_of(other, plan, replace(solved, travel=None))
    none = replace(other, suspension=None, stops=None, mounts=None)
    assert len(problem_of(none, plan, run(none, gaps=False)).states) == 1


# -- the answer laid --------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def laid(estate, solved):
    problem, plan = asked(estate, solved, parts=(BELLOWS, MUFFLER), ground_mm=100.0)
    way = way_of(problem, [PartAt(0, 200.0, 0.0), PartAt(0, 800.0, math.radians(10.0))])
    done = plan_of(problem, way, plan)
    build = replace(estate, routes=(done,))
    return problem, way, build, run(build)


def test_a_way_becomes_a_laid_plan_that_keeps_its_wish(laid):
    problem, way, build, results = laid
    plan = build.routes[0]
    assert plan.laid
    assert plan.wish is not None
    assert [p.name for p in plan.parts] == ["bellows", "muffler"]
    assert plan.parts[1].leg == 1
    assert results.routes[0].centreline is not None
    assert results.routes[0].points_mm == pytest.approx(way.points, abs=0.01)
    rows = pieces(problem, way)
    assert results.routes[0].centreline.length_mm == pytest.approx(rows[:, 11].sum(), abs=0.05)


def test_shares_of_the_route_ride_where_they_belong(laid):
    _, _, _, results = laid
    placed = {p.thing.name: p for p in results.placed}
    front, rear = placed["exhaust.main before the bellows"], placed["exhaust.main"]
    assert front.mover.path is results.travel.paths["engine"]
    assert rear.mover.path is None
    assert placed["exhaust.main muffler"].mover.path is None
    assert "exhaust.main bellows" not in placed, "half of the bellows goes with either side"
    # the two halves of the bellows meet in its middle, 260 mm down the outlet's axis
    halves = [next(s for s in p.mover.solids if not isinstance(s, Capsule)) for p in (front, rear)]
    outlet = results.points["outlet"]
    assert np.linalg.norm(halves[0].end - outlet) == pytest.approx(260.0, abs=0.01)
    assert halves[1].start == pytest.approx(halves[0].end)


def test_parts_are_held_against_everything_but_their_own_pipe(laid):
    _, _, _, results = laid
    names = {frozenset((a.pair.a.name, a.pair.b.name)) for a in results.gaps}
    for other in ("floor", "shaft", "axle tube", GROUND):
        assert frozenset(("exhaust.main muffler", other)) in names
    assert frozenset(("exhaust.main before the bellows", "rail right")) in names
    assert not [n for n in names if all(x.startswith("exhaust.main") for x in n)]
    ground = next(a for a in results.gaps if {a.pair.a.name, a.pair.b.name} == {"exhaust.main", GROUND})
    assert ground.pair.required_mm == 100.0
    assert ground.pose.heave == pytest.approx(results.travel.stops.bump_mm, abs=8.0)
    plain = replace(results.build.routes[0], wish=None)
    assert GROUND not in {p.thing.name for p in run(replace(results.build, routes=(plain,)), gaps=False).placed}


def test_the_gap_to_the_ground_is_that_of_the_lowest_point(laid):
    _, _, _, results = laid
    answer = next(a for a in results.gaps if {a.pair.a.name, a.pair.b.name} == {"exhaust.main muffler", GROUND})
    spot = next(s for s in spots_of(results.build.routes[0], results.routes[0].points_mm, {})[0] if s.number == 1)
    up = np.cross(spot.along, spot.wide)
    half = (spot.width_mm - spot.height_mm) / 2.0
    low = np.inf
    states = results.travel.grid(21, 9)
    for end in (spot.start, spot.end):
        for side in (-1.0, 1.0):
            centre = end + side * half * spot.wide
            # the lowest point of a disc square to the leg
            down = -math.hypot(spot.wide[2], up[2]) * spot.height_mm / 2.0
            for s in states:
                point = centre + np.array([0.0, 0.0, down])
                about = np.array(results.travel.reference)
                # height above a plane that has risen by heave and tilted by roll about the axle's middle
                tilted = (point - about - [0.0, 0.0, s.heave]) @ np.array([0.0, -math.sin(s.roll), math.cos(s.roll)])
                low = min(low, tilted + about[2])
    assert answer.lower_mm <= low + 0.3
    assert answer.upper_mm == pytest.approx(low, abs=0.06 * low)


def test_a_part_as_the_spine_has_it_lies_within_the_one_the_router_clears(laid):
    problem, way, build, results = laid
    rows = pieces(problem, way)
    slab = next(r for r in rows if r[18] == 1)
    start, along, wide = slab[1:4], slab[4:7], slab[14:17]
    spot = spots_of(build.routes[0], results.routes[0].points_mm, {})[0][1]
    solid = part_solid(spot)
    assert isinstance(solid, Prism)
    for corner in solid.vertices():
        off = corner - start
        u = np.clip(off @ along, 0.0, slab[11])
        v = np.clip(off @ wide, -slab[13], slab[13])
        assert np.linalg.norm(off - u * along - v * wide) <= slab[12] * 1.002 + 0.05
    assert any(r[17] != FRAME for r in rows)


def test_a_flat_part_stands_for_a_section_with_round_edges():
    laid = lay(replace(load(EXAMPLES / "estate" / "build.yaml").build.routes[0], outlet="o", outlet_aim="",
                       diameter=Amount(60.0)), {"o": np.array([0.0, 218.0, 246.0])}, {})
    plan = replace(laid.plan, parts=(replace_part(),))
    (spot,), _ = spots_of(plan, laid.points_mm, {})
    solid = part_solid(spot)
    edge = spot.start + 100.0 * spot.along + 75.0 * spot.wide
    up = np.cross(spot.along, spot.wide)
    top = spot.start + 100.0 * spot.along + 45.0 * up
    corner = spot.start + 100.0 * spot.along + 75.0 * spot.wide + 45.0 * up
    for at, gap in ((edge + 10.0 * spot.wide, 10.0), (top + 10.0 * up, 10.0), (corner, 45.0 * (math.sqrt(2.0) - 1.0))):
        ball = Rigid((Capsule(at, at, 0.0),))
        assert gap_at(Rigid((solid,)), ball, (0, 0, 0)).upper_mm == pytest.approx(gap, abs=0.15)
    round_ = replace_part(width=90.0)
    (one,), _ = spots_of(replace(plan, parts=(round_,)), laid.points_mm, {})
    assert type(part_solid(one)) is type(cylinder([0, 0, 0], [1, 0, 0], 1.0))


def replace_part(width=150.0):
    from trialfit.vehicle import LaidPart

    return LaidPart("box", "muffler", 1, 300.0, Amount(200.0), Amount(width), Amount(90.0), 0.2)


def test_a_route_not_laid_yet_is_one_finding_and_no_error_anywhere(estate):
    other, _ = wished(estate, ground_mm=100.0)
    results = run(other)
    told = [f for f in results.findings if f.name.startswith("exhaust.")]
    assert [f.name for f in told] == ["exhaust.main.not-laid"]
    assert told[0].verdict is Verdict.CANNOT_TELL
    assert not [p for p in results.placed if p.thing.kind in ("exhaust", GROUND)]
    assert results.cuts == ()


def test_a_way_of_another_question_is_refused(laid):
    problem, way, build, _ = laid
    plan = build.routes[0]
    with pytest.raises(ValueError, match="not found for"):
        plan_of(problem, way, replace(plan, wish=replace(plan.wish, parts=())))
    with pytest.raises(ValueError, match="asks for nothing"):
        plan_of(problem, way, replace(plan, wish=None))
