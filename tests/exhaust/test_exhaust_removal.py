"""Taking sections out: cases with a known clearance, a known way, or a known trap; the way found looked at by another
library."""

import math
import sys
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.exhaust.apart import posed, section_solids
from trialfit.exhaust.caged import ball_is_caged
from trialfit.exhaust.chain import BEND, STRAIGHT, Chain, Element, chain_of, sections
from trialfit.exhaust.joints import with_joint
from trialfit.exhaust.removal import (
    Answer,
    Budget,
    Obstacle,
    Stand,
    findings,
    freeing_finding,
    freeing_place,
    remove,
    remove_all,
)
from trialfit.exhaust.way_out import START, Step, after, path_of
from trialfit.findings import Verdict
from trialfit.geometry.solids import Box, Capsule, Frustum, Prism

EXAMPLES = Path(__file__).parents[2] / "examples"
OUTSIDE = 60.0
QUICK = Budget(plain=300, planner=0, places=0)
X = np.array([1.0, 0.0, 0.0])


def straight(start, length, way=X, name="straight", kind=STRAIGHT, wide=0.0, at=0.0):
    start = np.asarray(start, dtype=float)
    return Element(name, kind, at, length, start, start + length * way, way, way, OUTSIDE, 1.5, 1.0, width_mm=wide,
                   height_mm=wide)


def pipe(length=400.0, joints=()):
    """A straight exhaust along x at height 0 from the origin, with joints of 40 mm that begin at the places given."""
    chain = Chain("main", (straight((0, 0, 0), length),), ())
    for k, at in enumerate(joints):
        chain = with_joint(chain, f"joint {k + 1}", at, 40.0, 80.0)
    return chain


def box(name, low, high, **said):
    low, high = np.array(low, dtype=float), np.array(high, dtype=float)
    return Obstacle(name, (Box((low + high) / 2.0, (high - low) / 2.0),), **said)


def slot(play):
    """Roof and two walls of a slot that is open below, ``play`` wider on each side than the pipe."""
    inside = OUTSIDE / 2.0 + play
    return [box("roof", (-50, -100, 40), (450, 100, 60)), box("left wall", (-50, -100, -200), (450, -inside, 60)),
            box("right wall", (-50, inside, -200), (450, 100, 60))]


# closed form: a round bar in a slot keeps the play it has, all the way down
@pytest.mark.parametrize("play", (2.0, 5.0, 9.0))
def test_a_pipe_drops_out_of_a_slot_with_the_play_it_has(play):
    found = remove(pipe(), 1, slot(play), Stand(), budget=QUICK)
    assert found.answer is Answer.FREE
    assert found.sought == "plain moves"
    assert [s.words.split(" ")[0] for s in found.steps] == ["drop"]
    assert found.gap_mm == pytest.approx(play, abs=1e-3)
    # from its top at +30 to below the walls' -200 by the 3 mm wanted
    assert -found.steps[0].shift[2] == pytest.approx(OUTSIDE / 2.0 + 200.0 + 3.0, abs=1e-6)


def test_a_floor_of_the_slot_narrower_than_the_pipe_holds_it_and_a_wider_one_does_not():
    # closed form: between lips 36 mm apart 60 mm do not pass, at 70 mm they pass with 5 mm on each side
    for apart, free in ((36.0, False), (70.0, True)):
        walls = [*slot(20.0), box("front", (-60, -100, -200), (-20, 100, 60)),
                 box("rear", (420, -100, -200), (460, 100, 60)),
                 box("left lip", (-50, -100, -70), (450, -apart / 2.0, -60)),
                 box("right lip", (-50, apart / 2.0, -70), (450, 100, -60))]
        found = remove(pipe(), 1, walls, Stand(), budget=Budget(150, 0, 30_000))
        assert found.answer is (Answer.FREE if free else Answer.TRAPPED)
        if free:
            assert found.gap_mm == pytest.approx(5.0, abs=1e-3)


def test_a_shelf_below_asks_for_a_slide_past_its_end():
    # closed form: the pipe's front end at 0 must pass the shelf's end at 250
    shelf = box("shelf", (-200, -300, -60), (250, 300, -40))
    roof = box("roof", (-200, -300, 40), (250, 300, 50))
    walls = [box("left wall", (-200, -300, -200), (250, -40, 50)), box("right wall", (-200, 40, -200), (250, 300, 50))]
    found = remove(pipe(), 1, [shelf, roof, *walls], Stand(), budget=QUICK)
    assert found.answer is Answer.FREE
    total = sum(s.shift for s in found.steps)
    assert total[0] >= 250.0
    assert "rearward" in found.words
    assert found.words.endswith("out")


def test_what_the_pipe_meets_where_it_is_fitted_is_named():
    found = remove(pipe(), 1, [box("bracket", (100, -10, 20), (140, 10, 80))], Stand(), budget=QUICK)
    assert found.answer is Answer.MEETS
    assert found.note == "where it is fitted it meets bracket by 10.0 mm"
    told = findings("main", [found])[0]
    assert told.verdict is Verdict.CANNOT_TELL
    assert told.remedy == "mend the gap first, or say that the two are joined"
    bolted = remove(pipe(), 1, [box("engine", (-200, -10, -10), (5, 10, 10), joined_to=(1,))], Stand(), budget=QUICK)
    assert bolted.answer is Answer.FREE
    assert bolted.left_out == ("engine",)
    assert "left out, for it is bolted to it: engine" in findings("main", [bolted])[0].reason


def test_too_little_lift_says_how_much_more():
    # closed form: 60 mm of pipe, 3 mm of gap, 50 mm between the floor and the lowest thing
    walls = [box("beam over it", (-3000, -3000, 40), (3000, 3000, 60)),
             box("sill", (-3000, -3000, -50), (3000, -2900, 60))]
    found = remove(pipe(), 1, walls, Stand(floor_mm=-100.0), budget=Budget(60, 0, 0))
    assert found.answer is Answer.NO_ROOM
    assert found.note.endswith("raise the vehicle by 13 mm or more")
    lifted = remove(pipe(), 1, walls, Stand(floor_mm=-114.0), budget=Budget(60, 0, 0))
    assert lifted.answer is Answer.FREE


def test_sections_are_parted_at_joints_and_not_at_bellows():
    chain = pipe(1000.0, (300.0, 600.0))
    assert [len(s) for s in sections(chain)] == [2, 2, 1]
    flex = straight((200, 0, 0), 100, name="flex", kind="bellows", wide=80.0, at=200.0)
    bellows = Chain("main", (straight((0, 0, 0), 200), flex, straight((300, 0, 0), 200, at=300.0)), ())
    assert len(sections(bellows)) == 1


def test_order_is_tail_first_and_a_neighbour_in_place_is_no_obstacle_once_its_joint_is_open():
    chain = pipe(1000.0, (300.0, 600.0))
    roof = box("roof", (0, -200, 60), (1000, 200, 80))
    turn = remove_all(chain, [roof], Stand(under_mm=-40.0), budget=QUICK)
    assert [r.section for r in turn] == [3, 2, 1]
    assert all(r.answer is Answer.FREE for r in turn)
    alone = remove(chain, 2, [roof], Stand(under_mm=-40.0), alone=True, budget=QUICK)
    assert alone.answer is Answer.FREE
    assert [s.words.split(" ")[0] for s in alone.steps] == ["drop"]


def test_a_slip_joint_is_slid_off_first_and_two_of_them_are_refused():
    chain = pipe(1000.0, (300.0, 600.0))
    slips = {"joint 1": 50.0, "joint 2": 50.0}
    roof = box("roof", (0, -200, 60), (1000, 200, 80))
    tail = remove(chain, 3, [roof], Stand(under_mm=-40.0), slips=slips, budget=QUICK)
    assert tail.answer is Answer.FREE
    assert tail.steps[0].words == "off the slip joint: slide 50 mm rearward"
    assert tail.steps[0].shift == pytest.approx([50.0, 0.0, 0.0])
    middle = remove(chain, 2, [roof], Stand(), alone=True, slips=slips, budget=QUICK)
    assert middle.answer is Answer.NOT_FOUND
    assert middle.note == "slip joints at both of its ends: open the joint behind it first"
    wall = box("wall", (1010, -200, -200), (1030, 200, 60))
    stuck = remove(chain, 3, [roof, wall], Stand(under_mm=-40.0), slips=slips, budget=QUICK)
    assert stuck.answer is Answer.NOT_FOUND
    assert stuck.stopped_by == ("wall",)
    assert stuck.note == "it must first slide 50 mm off its slip joint"


def test_refusals_name_the_range():
    with pytest.raises(ValueError, match="no section 2: main has sections 1 to 1"):
        remove(pipe(), 2, [], Stand())
    with pytest.raises(ValueError, match="gap wanted on the way is 60 mm; it must lie between 0 mm and 50 mm"):
        remove(pipe(), 1, [], Stand(clear_mm=60.0))
    with pytest.raises(ValueError, match="step from place to place is 1 mm"):
        freeing_place(pipe(), [], Stand(), 50.0, step_mm=1.0)


# reference library: scipy's rotations
@pytest.mark.parametrize("degrees", (0.0, 10.0, 40.0, 100.0, 179.0))
def test_the_path_of_a_move_is_the_move(degrees):
    from scipy.spatial.transform import Rotation

    rng = np.random.default_rng(int(degrees))
    axis = rng.normal(size=3)
    axis /= np.linalg.norm(axis)
    step = Step(math.radians(degrees) * axis, rng.normal(size=3) * 500.0, rng.normal(size=3) * 1000.0, "")
    first = (Rotation.from_rotvec(rng.normal(size=3)).as_matrix(), rng.normal(size=3) * 300.0)
    path = path_of(step, first)
    point = rng.normal(size=3) * 2000.0
    for t in np.linspace(0.0, 1.0, 23):
        at = first[0] @ point + first[1]
        there = step.about + t * step.shift + Rotation.from_rotvec(t * step.turn).apply(at - step.about)
        assert path.move(point, (t, 0.0, 0.0)) == pytest.approx(there, abs=1e-7)
    last = after(first, step)
    assert last[0] @ point + last[1] == pytest.approx(there, abs=1e-7)


# closed form: a ball of 40 mm gets through a square hole of more than 40 mm and through no smaller one
@pytest.mark.parametrize("hole, caged", ((30.0, True), (34.0, True), (48.0, False)))
def test_a_ball_leaves_through_a_hole_that_is_wider_than_it(hole, caged):
    half, thick = 45.0, 10.0
    walls = []
    for k, sign in ((0, 1), (0, -1), (1, 1), (1, -1), (2, 1)):
        centre, size = np.zeros(3), np.full(3, half + thick)
        centre[k], size[k] = sign * (half + thick / 2.0), thick / 2.0
        walls.append(Box(centre, size))
    reach = (half + thick - hole / 2.0) / 2.0
    for k, sign in ((0, 1), (0, -1), (1, 1), (1, -1)):
        centre, size = np.array([0.0, 0.0, -half - thick / 2.0]), np.array([half + thick, half + thick, thick / 2.0])
        centre[k], size[k] = sign * (hole / 2.0 + reach), reach
        walls.append(Box(centre, size))
    hull = (np.full(3, -half - thick), np.full(3, half + thick))
    assert ball_is_caged(np.zeros(3), 20.0, walls, hull, 60_000, cell_mm=3.4 if hole == 34.0 else 5.0) is caged
    assert ball_is_caged(np.zeros(3), 20.0, walls, hull, 3) is None
    with pytest.raises(ValueError, match="must be more than 0"):
        ball_is_caged(np.zeros(3), 0.0, walls, hull, 3)


def test_a_section_as_solids_keeps_its_bends():
    # geometry: a quarter bend of radius 100 from the origin ends at (100, 0, -100); its middle is at radius 100
    bend = Element("bend", BEND, 0.0, 50.0 * math.pi, np.zeros(3), np.array([100.0, 0.0, -100.0]), X,
                   np.array([0.0, 0.0, -1.0]), OUTSIDE, 1.5, 1.0, radius_mm=100.0, turn_rad=math.pi / 2.0)
    sticks = section_solids((bend,))
    assert isinstance(sticks[0], Frustum)
    assert isinstance(sticks[1], Capsule)
    for a, b in pairwise(sticks):
        assert b.start == pytest.approx(a.end, abs=1e-9)
    for stick in sticks:
        assert np.linalg.norm(stick.end - (0.0, 0.0, -100.0)) == pytest.approx(100.0, abs=1e-9)
    assert sticks[-1].end == pytest.approx([100.0, 0.0, -100.0], abs=1e-9)


@pytest.fixture(scope="module")
def estate():
    results = run(load(EXAMPLES / "estate" / "build.yaml").build, gaps=False)
    chain = chain_of(results.routes[0], results.cuts[0])
    things = [Obstacle(p.thing.name, posed(p.mover, (0.0, 0.0, 0.0)), aside=p.thing.kind == "tyre")
              for p in results.placed if not p.thing.name.startswith("exhaust") and p.thing.kind != "ground"]
    return chain, things


def _coal_shape(coal, solid):
    def along(a, b):
        way = (b - a) / np.linalg.norm(b - a)
        side = np.cross(way, X if abs(way[0]) < 0.9 else np.array([0.0, 1.0, 0.0]))
        side /= np.linalg.norm(side)
        return np.column_stack((side, np.cross(way, side), way)), (a + b) / 2.0, float(np.linalg.norm(b - a))

    if isinstance(solid, Capsule | Frustum):
        turn, middle, length = along(solid.start, solid.end)
        if isinstance(solid, Capsule):
            return coal.Capsule(solid.radius_mm, length), turn, middle
        if solid.radius_start_mm == solid.radius_end_mm:
            return coal.Cylinder(solid.radius_start_mm, length), turn, middle
        # a taper as the hull of two rings, which lies within it by less than 0.01 mm
        ring = np.linspace(0.0, 2.0 * math.pi, 240, endpoint=False)
        points = coal.StdVec_Vec3s()
        for radius, z in ((solid.radius_start_mm, -length / 2.0), (solid.radius_end_mm, length / 2.0)):
            for a in ring:
                points.append(np.array([radius * math.cos(a), radius * math.sin(a), z]))
        return coal.Convex.convexHull(points, True, "Qt"), turn, middle
    if isinstance(solid, Box):
        return coal.Box(*(2.0 * solid.half_mm)), solid.axes.T, solid.centre
    assert isinstance(solid, Prism)
    points = coal.StdVec_Vec3s()
    for v in solid.vertices():
        points.append(v)
    return coal.Convex.convexHull(points, True, "Qt"), np.eye(3), np.zeros(3)


def least_by_coal(coal, chain, number, things, found, samples):
    """Least distance that the library finds along a way out, at ``samples`` poses of every move."""
    mine = [_coal_shape(coal, s) for s in section_solids(sections(chain)[number - 1])]
    others = [_coal_shape(coal, s) for o in things for s in o.solids]
    least, pose = math.inf, START
    for step in found.steps:
        for t in np.linspace(0.0, 1.0, samples):
            turn, shift = after(pose, Step(t * step.turn, t * step.shift, step.about, ""))
            for shape, own, middle in mine:
                at = coal.Transform3s(turn @ own, turn @ middle + shift)
                for other, its, where in others:
                    if np.linalg.norm(turn @ middle + shift - where) > 2500.0 and not isinstance(other, coal.Convex):
                        continue
                    least = min(least, coal.distance(shape, at, other, coal.Transform3s(its, where),
                                                     coal.DistanceRequest(), coal.DistanceResult()))
        pose = after(pose, step)
    return least


@pytest.mark.parametrize("at, sought", ((2074.5, "plain moves"), (1700.0, "planner")))
def test_another_library_finds_the_way_out_of_the_estate_as_clear_as_told(estate, at, sought):
    coal = pytest.importorskip("coal")
    if sought == "planner":
        pytest.importorskip("ompl")
    chain, things = estate
    parted = with_joint(chain, "band", at, 50.0, 90.0)
    found = remove(parted, 2, things, Stand(floor_mm=-400.0), budget=Budget(600, 6000, 0, 0))
    assert found.answer is Answer.FREE
    assert found.sought == sought
    least = least_by_coal(coal, parted, 2, things, found, 12)
    # samples can only miss the nearest place
    assert least >= found.gap_mm - 1e-3
    if sought == "plain moves":
        assert least == pytest.approx(found.gap_mm, abs=1.0)
    told = findings("main", [found])[0]
    assert told.verdict is Verdict.FITS
    assert told.margin == pytest.approx(found.gap_mm)


def test_the_same_seed_finds_the_same_way(estate):
    pytest.importorskip("ompl")
    chain, things = estate
    parted = with_joint(chain, "band", 1700.0, 50.0, 90.0)
    first, second = (remove(parted, 2, things, Stand(floor_mm=-400.0), budget=Budget(20, 6000, 0, 3)) for _ in range(2))
    assert first.words == second.words
    assert first.checks == second.checks


def test_a_joint_too_far_back_is_moved_to_where_every_section_comes_out(estate):
    chain, things = estate
    parted = with_joint(chain, "band", 2700.0, 50.0, 90.0)
    held = remove(parted, 1, things, Stand(floor_mm=-400.0), budget=Budget(100, 0, 0))
    assert held.answer is Answer.NOT_FOUND
    place = freeing_place(parted, things, Stand(floor_mm=-400.0), 50.0, joint="band", step_mm=150.0, most=9,
                          budget=Budget(100, 0, 0))
    assert place.at_mm is not None
    assert place.at_mm < 2400.0
    assert all(r.answer is Answer.FREE for r in place.removals)
    told = freeing_finding("main", place)
    assert told.verdict is Verdict.FITS_AFTER_WORK
    assert f"{2700.0 - place.at_mm:.0f} mm nearer than now" in told.reason


def test_without_the_planner_s_library_it_says_what_to_install(monkeypatch):
    monkeypatch.setitem(sys.modules, "ompl", None)
    walls = [*slot(20.0), box("front", (-60, -100, -200), (-20, 100, 60)),
             box("rear", (420, -100, -200), (460, 100, 60)), box("bottom", (-50, -100, -80), (450, 100, -60))]
    with pytest.raises(ValueError, match=r"python -m pip install 'trialfit\[removal\]'"):
        remove(pipe(), 1, walls, Stand(), budget=Budget(20, 50, 0))
    # what plain moves free needs no library
    assert remove(pipe(), 1, slot(5.0), Stand()).answer is Answer.FREE
