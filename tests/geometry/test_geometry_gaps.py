"""Gaps over continuous travel: no pose, however chosen, may come nearer than the lower bound says."""

import itertools
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sample_motion import (
    KINDS,
    RANGE_HI,
    RANGE_LO,
    box_mesh,
    path_of,
    random_path,
    random_rotation,
    random_solid,
    rotation,
)

from trialfit.geometry import Domain, GapError, PosePath, Rigid, Span, certified_gap, compile_all, gap_at
from trialfit.geometry.solids import Box, Capsule, Frustum, Prism, Solid, TriangleMesh, cylinder

AT_REST = (0.0, 0.0, 0.0)
STILL = Domain(np.zeros(3), np.zeros(3))
STOPS = Domain(RANGE_LO, RANGE_HI, bump=65.0, droop=75.0, apart=900.0, roll_limit=0.06)


def lifting(per_mm: tuple[float, float, float] = (0.0, 0.0, 1.0)) -> PosePath:
    return path_of(lambda q: (np.eye(3), q[0] * np.array(per_mm)), (True, False, False), 3)


def rolling() -> PosePath:
    """Rises with heave and rolls about the x axis of the datum."""
    return path_of(
        lambda q: (rotation(np.array((q[1], 0.0, 0.0))), np.array((0.0, 0.0, q[0]))), (True, True, False), 9
    )


def some_body(rng: np.random.Generator, about: np.ndarray, scan: bool) -> Rigid | Span:
    if rng.random() < 0.3:
        paths = [random_path(rng) if rng.random() < 0.7 else None for _ in range(2)]
        ends = about + rng.normal(size=(2, 3)) * 200
        return Span(ends[0], paths[0], ends[1], paths[1], rng.uniform(0, 40))
    uses = ((True, True, False), (True, True, True), (False, False, True), None)[rng.integers(4)]
    path = random_path(rng, uses) if uses else None
    if scan and rng.random() < 0.3:
        return Rigid((box_mesh(Box(about, rng.uniform(5, 150, 3), random_rotation(rng).T), 4),), path)
    solids = (random_solid(rng, str(rng.choice(KINDS)), about + rng.normal(size=3) * 50) for _ in range(2))
    return Rigid(tuple(solids), path)


@pytest.mark.parametrize("seed", range(24))
def test_dense_sampling_never_comes_below_the_lower_bound_nor_stays_far_above_the_upper(seed: int) -> None:
    rng = np.random.default_rng([seed, 2])
    first = some_body(rng, np.zeros(3), scan=True)
    away = rng.normal(size=3)
    second = some_body(rng, away / np.linalg.norm(away) * rng.uniform(150, 500), scan=False)
    domain = STOPS if seed % 2 else Domain(RANGE_LO, RANGE_HI)
    exact = seed % 3 == 0
    found = certified_gap(first, second, domain, required_mm=20.0, exact=exact)
    assert found.settled
    assert domain.possible(found.pose)
    assert found.lower_mm <= found.upper_mm
    there = gap_at(first, second, found.pose)
    assert there.lower_mm - 1e-3 <= found.upper_mm
    poses = rng.uniform(RANGE_LO, RANGE_HI, (150, 3))
    at_edge = rng.random(poses.shape) < 0.25
    poses = np.where(at_edge, np.where(rng.random(poses.shape) < 0.5, RANGE_LO, RANGE_HI), poses)
    near = found.pose + rng.normal(size=(50, 3)) * (RANGE_HI - RANGE_LO) * 0.02
    for pose in np.vstack((poses, np.clip(near, RANGE_LO, RANGE_HI))):
        if domain.possible(pose):
            here = gap_at(first, second, pose)
            assert here.lower_mm <= here.upper_mm
            assert found.lower_mm <= here.upper_mm
            if exact and found.upper_mm > 0:
                assert found.upper_mm - 1.01 <= here.upper_mm


@pytest.mark.parametrize("seed", range(12))
def test_bounds_hold_for_fast_spans_near_a_thing(seed: int) -> None:
    """Ends that run 400 mm up and down past a post, the far one bowing and turning with roll."""
    rng = np.random.default_rng([seed, 3])
    reach = rng.normal(size=3)
    fast = path_of(
        lambda q: (
            rotation(np.array((q[1] * 3.0, q[0] * 2e-3, 0.0))),
            q[0] * 3.0 * reach + np.array((0.0, 0.02 * q[0] ** 2, 0.0)),
        ),
        (True, True, False),
        12,
    )
    span = Span(rng.normal(size=3) * 150, None if seed % 3 else fast, rng.normal(size=3) * 300, fast, 15.0)
    post = Rigid((random_solid(rng, KINDS[seed % 5], rng.normal(size=3) * 250, 60.0),))
    found = certified_gap(post, span, STOPS, required_mm=10.0, tol_mm=0.5, exact=True)
    least = np.inf
    for heave in np.linspace(-75, 65, 121):
        for roll in np.linspace(-0.06, 0.06, 9):
            if STOPS.possible((heave, roll, 0)):
                least = min(least, gap_at(post, span, (heave, roll, 0)).upper_mm)
    assert found.settled
    assert found.lower_mm <= least
    # An overlap is reported at least as deep as any met; apart, no nearer than sampling at such speed can tell.
    assert found.upper_mm <= max(least, 0.0) + 0.5 + 1e-3


def test_axle_under_a_floor_comes_as_near_as_bump_takes_it() -> None:
    """By hand: floor underside at 400, tube of radius 40 at 250, bump 65: 400 - 250 - 40 - 65 = 45 mm."""
    floor = Rigid((Box(np.array((0.0, 0.0, 405.0)), np.array((500.0, 500.0, 5.0))),))
    tube = Rigid((cylinder((0.0, -300.0, 250.0), (0.0, 300.0, 250.0), 40.0),), lifting())
    found = certified_gap(floor, tube, Domain(RANGE_LO, RANGE_HI, bump=65.0, droop=75.0), 25.0, exact=True)
    assert found.lower_mm == pytest.approx(45.0, abs=1.0 + 1e-5)
    assert found.lower_mm <= 45.0 <= found.upper_mm
    assert found.settled
    assert found.point_first[2] == pytest.approx(400.0, abs=1e-4)


def test_rolled_axle_end_meets_the_stops_before_the_floor() -> None:
    """By hand: a ball 600 mm out on the axle and stops 900 mm apart. At heave h and roll a the ball rises
    h + 600 sin a; the stops allow h = 65 - 450 sin a, so it rises most at the roll limit: 65 + 150 sin 0.06."""
    ball = Rigid((Capsule(np.array((0.0, 600.0, 0.0)), np.array((0.0, 600.0, 0.0)), 30.0),), rolling())
    floor = Rigid((Box(np.array((0.0, 0.0, 260.0)), np.array((900.0, 900.0, 10.0))),))
    expected = 250.0 - 30.0 - (65.0 + 150.0 * np.sin(0.06))
    found = certified_gap(floor, ball, STOPS, 20.0, tol_mm=0.05, exact=True)
    assert found.lower_mm <= expected <= found.upper_mm
    assert found.upper_mm - found.lower_mm <= 0.05 + 1e-5
    assert found.pose[1] == pytest.approx(0.06, abs=1e-3)
    free = certified_gap(floor, ball, Domain(RANGE_LO, RANGE_HI), 20.0, tol_mm=0.05, exact=True)
    assert free.lower_mm <= 250.0 - 30.0 - 70.0 - 600.0 * np.sin(0.07) <= free.upper_mm


def test_sliding_along_a_face_takes_few_cells() -> None:
    wheel = Rigid((cylinder((0.0, 700.0, 0.0), (0.0, 900.0, 0.0), 320.0),), lifting())
    rail = Rigid((Box(np.array((0.0, 400.0, 50.0)), np.array((900.0, 30.0, 50.0))),))
    found = certified_gap(rail, wheel, Domain(RANGE_LO, RANGE_HI), 20.0, tol_mm=0.01, exact=True)
    assert found.lower_mm == pytest.approx(270.0, abs=0.011)
    assert found.cells <= 3


def test_a_crossing_between_two_clear_ends_is_found() -> None:
    """A thin rod passes right through a thin plate half way up; both ends of the travel are clear by 40 mm or more."""
    plate = Rigid((Prism(np.array(((-50, -50, 5), (50, -50, 5), (50, 50, 5), (-50, 50, 5.0))), 0.0),))
    rod = Rigid((Capsule(np.array((-200.0, 0, 0)), np.array((200.0, 0, 0)), 0.5),), lifting())
    found = certified_gap(plate, rod, Domain(RANGE_LO, RANGE_HI), 10.0)
    assert found.upper_mm < 0.5
    assert found.lower_mm <= -0.5


PAIRS: list[tuple[Solid, Solid, float]] = [
    (Prism(np.array(((0, 0, 0), (1000, 0, 0), (0, 1000, 0.0))), 0.0), Capsule(np.full(3, 90.0), np.full(3, 90.0), 0.0),
     90.0),
    (Box(np.zeros(3), np.zeros(3)), Box(np.array((3.0, 4.0, 0.0)), np.zeros(3)), 5.0),
    (Box(np.zeros(3), np.full(3, 5e5)), Capsule(np.array((6e5, 0, 0)), np.array((6e5, 1e5, 0)), 1.0), 1e5 - 1.0),
    (Box(np.zeros(3), np.full(3, 1e-3)), Box(np.array((1.0, 0, 0)), np.full(3, 1e-3)), 0.998),
    (cylinder((0, 0, 0), (0, 0, 10), 50.0), cylinder((0, 0, 12), (0, 0, 20), 50.0), 2.0),
    (Frustum(np.zeros(3), np.array((0, 0, 10.0)), 50.0, 0.0), cylinder((0, 0, 13), (0, 0, 20), 0.0), 3.0),
    (Capsule(np.zeros(3), np.array((100.0, 0, 0)), 10.0), Capsule(np.array((0, 30.0, 0)), np.array((99.0, 30, 0)), 5.0),
     15.0),
    (Capsule(np.zeros(3), np.zeros(3), 10.0), Capsule(np.zeros(3), np.zeros(3), 5.0), -15.0),
    (Box(np.zeros(3), np.full(3, 10.0)), Box(np.array((15.0, 2.0, -3.0)), np.full(3, 10.0)), -5.0),
    (Box(np.zeros(3), np.full(3, 10.0)), Box(np.array((20.0, 0.0, 0.0)), np.full(3, 10.0)), 0.0),
]


@pytest.mark.parametrize(("first", "second", "by_hand"), PAIRS)
def test_degenerate_tiny_huge_touching_and_overlapping_pairs(first: Solid, second: Solid, by_hand: float) -> None:
    for a, b in ((first, second), (second, first)):
        found = gap_at(Rigid((a,)), Rigid((b,)), AT_REST)
        near = 3e-6 * max(1.0, abs(by_hand))
        assert by_hand - near <= found.lower_mm <= by_hand <= found.upper_mm <= by_hand + near


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32 - 1), st.sampled_from(KINDS), st.sampled_from(KINDS))
def test_order_of_the_two_and_moving_both_alike_change_nothing(seed: int, kind_a: str, kind_b: str) -> None:
    rng = np.random.default_rng(seed)
    a = random_solid(rng, kind_a, rng.normal(size=3) * 100)
    b = random_solid(rng, kind_b, rng.normal(size=3) * 300)
    turn, shift = random_rotation(rng), rng.normal(size=3) * 500
    coefs = np.concatenate((turn.ravel(), shift)).reshape(1, 1, 1, 12)
    there = PosePath(coefs, np.zeros(3), np.zeros(3))
    again = PosePath(coefs.copy(), np.zeros(3), np.zeros(3))
    here = gap_at(Rigid((a,)), Rigid((b,)), AT_REST)
    near = 2e-6 + (1e-6 if here.lower_mm > 0 else 2e-4) * max(1.0, abs(here.lower_mm))
    for other in (gap_at(Rigid((b,)), Rigid((a,)), AT_REST), gap_at(Rigid((a,), there), Rigid((b,), again), AT_REST)):
        assert other.lower_mm <= here.upper_mm + 1e-6
        assert here.lower_mm <= other.upper_mm + 1e-6
        assert other.lower_mm == pytest.approx(here.lower_mm, abs=near)


def test_witness_points_lie_on_the_two_and_the_gap_apart() -> None:
    crate = Rigid((Box(np.zeros(3), np.array((10.0, 20.0, 30.0))),))
    ball = Rigid((Capsule(np.array((50.0, 5.0, 5.0)), np.array((50.0, 5.0, 5.0)), 8.0),))
    found = gap_at(crate, ball, AT_REST)
    assert found.point_first == pytest.approx(np.array((10.0, 5.0, 5.0)), abs=1e-9)
    assert found.point_second == pytest.approx(np.array((42.0, 5.0, 5.0)), abs=1e-9)
    swapped = gap_at(ball, Rigid((box_mesh(crate.solids[0]),)), AT_REST)  # type: ignore[arg-type]
    assert swapped.point_first == pytest.approx(np.array((42.0, 5.0, 5.0)), abs=1e-6)


def test_two_bodies_on_one_path_keep_their_gap() -> None:
    rng = np.random.default_rng(4)
    path = random_path(rng)
    a, b = random_solid(rng, "box", np.zeros(3)), random_solid(rng, "cylinder", np.array((0.0, 400.0, 0.0)))
    found = certified_gap(Rigid((a,), path), Rigid((b,), path), STOPS, 20.0, exact=True)
    rest = gap_at(Rigid((a,)), Rigid((b,)), AT_REST)
    assert found.cells == 1
    assert found.lower_mm == pytest.approx(rest.lower_mm, abs=1e-4)
    assert STOPS.possible(found.pose)


def test_slack_and_margin_open_both_bounds() -> None:
    wall = Rigid((Box(np.array((0.0, 100.0, 0.0)), np.array((500.0, 10.0, 500.0))),))
    ends = (np.zeros(3), np.array((0.0, 0.0, 100.0)))
    plain = certified_gap(wall, Rigid((Capsule(*ends, 20.0),)), STILL, 10.0)
    loose = certified_gap(wall, Rigid((Capsule(*ends, 20.0, slack_mm=3.0),)), STILL, 10.0, margin_mm=0.5)
    assert (plain.lower_mm, plain.upper_mm) == pytest.approx((70.0, 70.0), abs=1e-4)
    assert (loose.lower_mm, loose.upper_mm) == pytest.approx((66.5, 73.5), abs=1e-4)


def test_pipe_of_chords_with_sagitta_as_slack_holds_the_arc() -> None:
    """By hand: pipe of radius 30 bent at 150 mm about the z axis, a wall at x = 250: gap 250 - 180 = 70 mm."""
    angles = np.linspace(-0.8, 0.8, 17)
    points = np.stack((150 * np.cos(angles), 150 * np.sin(angles), 0 * angles), axis=1)
    sagitta = 150 * (1 - np.cos((angles[1] - angles[0]) / 2))
    pipe = Rigid(tuple(Capsule(p, q, 30.0, sagitta) for p, q in itertools.pairwise(points)))
    wall = Rigid((Box(np.array((255.0, 0.0, 0.0)), np.array((5.0, 500.0, 500.0))),))
    found = certified_gap(pipe, wall, STILL, 10.0)
    assert found.lower_mm <= 70.0 <= found.upper_mm
    assert found.upper_mm - found.lower_mm <= 2 * sagitta + 1e-4


def test_cells_running_out_leaves_bounds_that_hold() -> None:
    rng = np.random.default_rng(6)
    a = Rigid((random_solid(rng, "box", np.zeros(3)),), random_path(rng))
    b = Rigid((random_solid(rng, "cylinder", np.array((150.0, 200.0, 50.0))),), random_path(rng, (True, True, True)))
    full = certified_gap(a, b, STOPS, 30.0, tol_mm=1e-3, exact=True)
    required = (full.lower_mm + full.upper_mm) / 2
    short = certified_gap(a, b, STOPS, required, tol_mm=1e-3, max_cells=5, exact=True)
    assert full.settled
    assert not short.settled
    assert short.cells <= 5
    assert short.lower_mm <= full.lower_mm
    assert short.upper_mm >= full.upper_mm - 1e-3


def test_settling_early_decides_the_same_with_fewer_cells() -> None:
    rng = np.random.default_rng(9)
    a = Rigid((random_solid(rng, "box", np.zeros(3)),), random_path(rng))
    b = Rigid((random_solid(rng, "box", np.array((0.0, 500.0, 60.0))),))
    full = certified_gap(a, b, STOPS, 0.0, tol_mm=0.05, exact=True)
    for required in (full.lower_mm - 15.0, full.upper_mm + 15.0):
        quick = certified_gap(a, b, STOPS, required, tol_mm=0.05, exact=True, settle=True)
        assert quick.settled
        assert quick.cells < full.cells
        assert (quick.lower_mm >= required) == (full.lower_mm >= required)
        assert quick.lower_mm <= full.upper_mm
        assert quick.upper_mm >= full.lower_mm


def test_far_pairs_cost_one_cell() -> None:
    a = Rigid((Capsule(np.zeros(3), np.array((900.0, 0, 0)), 30.0),), rolling())
    b = Rigid((Box(np.array((0.0, 0.0, 2000.0)), np.full(3, 100.0)),))
    found = certified_gap(a, b, STOPS, 25.0)
    assert found.cells == 1
    assert found.settled
    assert 125.0 <= found.lower_mm <= found.upper_mm < 2000.0


def test_moving_scan_of_a_box_brackets_the_box() -> None:
    rng = np.random.default_rng(12)
    box = Box(np.array((0.0, 300.0, 0.0)), np.array((60.0, 80.0, 40.0)), random_rotation(rng).T)
    path = random_path(rng)
    for moving, other in ((path, None), (None, path)):
        rod = Rigid((random_solid(rng, "cylinder", np.zeros(3)),), other)
        whole = certified_gap(Rigid((box,), moving), rod, STOPS, 20.0, tol_mm=0.2, exact=True)
        skin = certified_gap(Rigid((box_mesh(box, 6),), moving), rod, STOPS, 20.0, tol_mm=0.2, exact=True)
        assert whole.lower_mm > 0
        assert skin.settled
        assert skin.upper_mm - skin.lower_mm <= 0.2 + 1e-4
        assert skin.lower_mm <= whole.upper_mm
        assert whole.lower_mm <= skin.upper_mm


def test_crossing_a_scan_is_settled_at_once() -> None:
    scan = Rigid((box_mesh(Box(np.array((0.0, 300.0, 0.0)), np.full(3, 90.0)), 6),))
    for solid in (Box(np.zeros(3), np.array((50.0, 250.0, 20.0))), Capsule(np.zeros(3), np.array((0, 300.0, 0)), 9.0)):
        found = certified_gap(scan, Rigid((solid,), lifting()), STOPS, 20.0, exact=True)
        assert found.settled
        assert found.cells <= 3
        assert found.lower_mm < 0.0
        assert found.upper_mm <= 1e-5


@pytest.mark.parametrize("seed", [*range(10), 30, 98, 220, 240])
def test_bounds_hold_where_a_thing_dips_through_a_scan(seed: int) -> None:
    """Seeds 2, 8, 30, 98, 220, 240 once came out too high: an overlapping box of the tree passed for a gap of 0."""
    rng = np.random.default_rng([seed, 7])
    box = Box(np.array((0.0, 200.0, 0.0)), rng.uniform(20, 120, 3), random_rotation(rng).T)
    scan = Rigid((box_mesh(box, 5),), random_path(rng) if seed % 2 else None)
    if seed % 3:
        where = box.centre + rng.normal(size=3) * 110
        ends = where + rng.normal(size=(2, 3)) * 40
        thing: Rigid | Span = Span(ends[0], random_path(rng), ends[1], None, 25.0)
    else:
        thing = Rigid((random_solid(rng, KINDS[seed % 5], box.centre + rng.normal(size=3) * 130),), random_path(rng))
    for exact in (False, True):
        found = certified_gap(scan, thing, STOPS, 20.0, exact=exact)
        for pose in rng.uniform(RANGE_LO, RANGE_HI, (60, 3)):
            if STOPS.possible(pose):
                assert found.lower_mm <= gap_at(scan, thing, pose).upper_mm


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: Rigid(()), "at least one solid"),
        (lambda: Domain((0, 0, 0), (1, -1, 0)), "lo not above hi"),
        (lambda: Domain((0, 0, 0), (1, 1, 0), roll_limit=2.0), "outside 0 to pi/2"),
        (lambda: Domain((0, 0, 0), (1, 1, 0), apart=-1.0), "must be 0 or more"),
        (lambda: _ask(domain=Domain((-500, 0, 0), (0, 0, 0))), "heave -500 to 0 goes past the path's -80 to 70"),
        (lambda: _ask(domain=Domain((10, 0, 0), (20, 0, 0), bump=5.0)), "no possible pose"),
        (lambda: _ask(tol_mm=0.0), "tolerance 0.0 mm must be above 0"),
        (lambda: _ask(margin_mm=-1.0), "margin must be 0 mm or more"),
        (lambda: _ask(required_mm=np.nan), "finite number"),
        (lambda: gap_at(SCAN, SCAN, AT_REST), "a scan against a scan"),
    ],
)
def test_what_cannot_be_answered_is_refused(ask: Callable[[], object], says: str) -> None:
    with pytest.raises(GapError, match=says):
        ask()


SCAN = Rigid((TriangleMesh(np.eye(3), np.array([[0, 1, 2]])),))


def _ask(**changed: object) -> object:
    ball = Capsule(np.zeros(3), np.zeros(3), 1.0)
    wishes: dict[str, object] = {"domain": STOPS, "required_mm": 1.0} | changed
    return certified_gap(Rigid((ball,), lifting()), Rigid((ball,)), **wishes)  # type: ignore[arg-type]


def test_everything_is_compiled_beforehand_and_nothing_later() -> None:
    from trialfit.geometry import sweep, triangles

    steps: list[tuple[int, int]] = []
    compile_all(lambda done, total, what: steps.append((done, total)))
    assert steps == [(0, 2), (1, 2), (2, 2)]
    frozen = PosePath(rolling().coefs.copy(), RANGE_LO, RANGE_HI)
    frozen.coefs.flags.writeable = False
    box = Box(np.array((0.0, 300.0, 0.0)), np.full(3, 20.0))
    for second in (Rigid((box,), frozen), Rigid((box_mesh(box),)), Span(np.zeros(3), None, np.ones(3), frozen, 2.0)):
        certified_gap(Rigid((Capsule(np.zeros(3), np.ones(3), 3.0),), rolling()), second, STOPS, 10)
    for kernel in (sweep.search, triangles.build):
        assert len(kernel.signatures) == 1
