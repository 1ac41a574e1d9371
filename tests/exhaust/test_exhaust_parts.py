"""Parts on a laid route: where they sit, how they split the cut list, and whether the pipe meets itself or them."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trialfit.exhaust import Kind, Way, cut_list, lay, spots_of
from trialfit.exhaust.contact import contact_mm, segment_distances_mm
from trialfit.findings import Verdict
from trialfit.geometry.centreline import centreline
from trialfit.vehicle import (
    Amount,
    BendWish,
    Corner,
    ExitWish,
    LaidPart,
    PartWish,
    PipeWish,
    RoutePlan,
    RouteWish,
    StockBend,
    ZoneWish,
)

U_BEND = StockBend("U-bend", 90.0, math.pi, 60.0, 60.0)
POINTS = [(0.0, 0.0, 0.0), (900.0, 0.0, 0.0), (900.0, 800.0, 0.0), (900.0, 800.0, 700.0)]


def part(name, leg, start, length=200.0, width=150.0, height=90.0, clock=0.0, kind="muffler"):
    return LaidPart(name, kind, leg, start, Amount(length), Amount(width), Amount(height), clock)


def a_wish(**more):
    given_ = dict(exit=ExitWish(ZoneWish((0, 0, 0), (1, 1, 1)), (1.0, 0.0, 0.0), 0.2),
                  pipes=(PipeWish(Amount(60.0), Amount(1.5)),), bends=(BendWish("bend", Amount(90.0), math.pi),))
    return RouteWish(**{**given_, **more})


def route(parts=(), points=POINTS, stock=(U_BEND,), wish=None, laid=True, radius=90.0, least=0.0):
    corners = tuple(Corner(tuple(p), Amount(radius)) for p in points[1:-1])
    plan = RoutePlan("main", Amount(60.0), Amount(1.5), "o", "", corners, tuple(points[-1]), stock, least, tuple(parts),
                     wish, laid)
    return lay(plan, {"o": tuple(points[0])}, {})


def finding(laid, name):
    return next(f for f in laid.findings if f.name == f"exhaust.main.{name}")


def test_a_part_is_laid_on_its_leg_with_its_wide_side_level_until_it_is_turned():
    laid = route([part("box", 2, 300.0, clock=math.radians(30))])
    (spot,), untold = spots_of(laid.plan, laid.points_mm, {})
    assert not untold
    assert spot.start == pytest.approx([900.0, 300.0, 0.0])
    assert spot.end == pytest.approx([900.0, 500.0, 0.0])
    # the leg runs to the right: level is fore and aft, a right-handed turn about it lifts what lies ahead
    assert spot.wide == pytest.approx([-math.cos(math.radians(30)), 0.0, math.sin(math.radians(30))])
    rearward = spots_of(route([part("box", 1, 100.0, clock=0.2)]).plan, laid.points_mm, {})[0][0]
    assert rearward.wide[1] > 0.9, "level, to the right"
    assert rearward.wide[2] > 0.0, "plus lifts its right edge"


def test_a_part_measured_upright_is_the_same_as_one_lying_turned_by_a_quarter():
    up = spots_of(route([part("box", 1, 100.0, width=90.0, height=150.0)]).plan, np.array(POINTS), {})[0][0]
    turned = spots_of(route([part("box", 1, 100.0, clock=math.pi / 2)]).plan, np.array(POINTS), {})[0][0]
    assert (up.width_mm, up.height_mm) == (150.0, 90.0)
    assert up.wide == pytest.approx(turned.wide)


@pytest.mark.parametrize(
    "start, margin",
    [(0.0, 0.0), (100.0, 100.0), (610.0, 0.0), (620.0, -10.0)],
)
def test_room_for_a_part_ends_where_the_bend_begins(start, margin):
    # leg 1 is 900 long and its bend of a right angle takes 90 off it
    found = finding(route([part("box", 1, start)]), "part.1")
    assert found.margin == pytest.approx(margin)
    assert found.verdict is (Verdict.FITS if margin >= 0.0 else Verdict.DOES_NOT_FIT)
    assert found.remedy or margin >= 0.0


def test_two_parts_on_one_leg_must_clear_each_other_and_room_asked_for_counts():
    apart = route([part("first", 1, 100.0), part("second", 1, 340.0)])
    assert finding(apart, "part.2").margin == pytest.approx(40.0)
    overlap = finding(route([part("first", 1, 100.0), part("second", 1, 250.0)]), "part.2")
    assert overlap.margin == pytest.approx(-50.0)
    wanting = a_wish(parts=(PartWish("first", "muffler", Amount(200.0), Amount(150.0), Amount(90.0), room_mm=120.0),))
    assert finding(route([part("first", 1, 100.0)], wish=wanting), "part.1").margin == pytest.approx(-20.0)


def test_a_part_off_the_route_or_of_unknown_size_is_told():
    assert finding(route([part("box", 4, 0.0)]), "part.1").verdict is Verdict.DOES_NOT_FIT
    unknown = LaidPart("box", "muffler", 1, 100.0, Amount(200.0), Amount(0.0, 0.0, "never read"), Amount(90.0))
    told = finding(route([unknown]), "part.1")
    assert told.verdict is Verdict.CANNOT_TELL
    assert "never read" in told.reason


def test_a_route_that_is_not_laid_is_told_and_nothing_else_is_asked():
    plan = RoutePlan("main", Amount(60.0), Amount(1.5), "o", "aim", (), "", wish=a_wish(), laid=False)
    laid = lay(plan, {}, {}, np.zeros((0, 0)))
    (told,) = laid.findings
    assert told.verdict is Verdict.CANNOT_TELL
    assert "trialfit route" in told.remedy
    assert laid.centreline is None


def test_parts_split_the_straight_they_sit_on():
    cuts = cut_list(route([part("box", 1, 250.0), part("second", 1, 500.0, length=100.0)], stock=()))
    assert [(p.kind, round(p.length_to_cut_mm, 6)) for p in cuts.pieces[:5]] == [
        (Kind.STRAIGHT, 250.0), (Kind.PART, 200.0), (Kind.STRAIGHT, 50.0), (Kind.PART, 100.0), (Kind.STRAIGHT, 210.0)]
    assert cuts.pieces[1].part.name == "box"
    assert cuts.pieces[1].start_xyz_mm == pytest.approx((250.0, 0.0, 0.0))
    # the parts themselves are no tube to buy
    assert cuts.straight_tube_mm == pytest.approx(250.0 + 50.0 + 210.0 + 620.0 + 610.0)
    # five pieces up to the first bend, bend, straight, bend, straight: eight joints
    assert cuts.welds == 8


def test_a_leg_of_a_bend_ends_where_the_part_begins():
    cuts = cut_list(route([part("box", 1, 570.0, length=200.0)]))
    box = next(p for p in cuts.pieces if p.kind is Kind.PART)
    bend = cuts.pieces[box.number]
    assert bend.kind is Kind.BEND
    assert bend.leg_before_mm == pytest.approx(40.0), "of the 60 mm leg of the stock bend no more than 40 mm have room"


def test_the_wide_side_is_told_as_seen_downstream():
    def clock(turn, width=150.0):
        cuts = cut_list(route([part("box", 1, 100.0, width=width, clock=turn)]))
        return cuts.pieces[1].clock

    assert clock(0.3).way is Way.CLOCKWISE
    assert clock(-0.3).way is Way.ANTICLOCKWISE
    assert clock(-0.3).angle_rad == pytest.approx(0.3)
    assert clock(0.0).way is Way.STRAIGHT_ON
    assert clock(0.3, width=90.0) is None, "a round part has no wide side"


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(1, 3), st.floats(100.0, 500.0), st.floats(20.0, 120.0)), max_size=4),
       st.sampled_from([(), (U_BEND,)]), st.sampled_from([0.0, 25.0]))
def test_with_parts_the_pieces_still_add_up_and_follow_each_other(placed, stock, least):
    laid = route([part(f"p{k}", leg, start, length) for k, (leg, start, length) in enumerate(placed)], stock=stock,
                 least=least)
    cuts = cut_list(laid)
    assert math.fsum(p.length_to_cut_mm for p in cuts.pieces) == pytest.approx(laid.centreline.length_mm)
    for one, two in zip(cuts.pieces, cuts.pieces[1:], strict=False):
        assert one.end == two.start
        assert one.end_xyz_mm == pytest.approx(two.start_xyz_mm)
    for p in cuts.pieces:
        assert p.length_to_cut_mm > 0.0
        if p.part is not None:
            # a part stands where it was put, measured along its leg
            leg = np.array(POINTS[p.part.leg - 1])
            assert np.linalg.norm(np.array(p.start_xyz_mm) - leg) == pytest.approx(p.part.start_mm, abs=1e-5)


def test_bends_that_a_wish_lists_count_as_bends_on_the_shelf():
    without = finding(route(stock=()), "stock.1")
    assert without.verdict is Verdict.CANNOT_TELL
    with_ = finding(route(stock=(), wish=a_wish()), "stock.1")
    assert with_.verdict is Verdict.FITS
    other = a_wish(bends=(BendWish("bend", Amount(90.0), math.pi, diameter_mm=76.2),))
    assert finding(route(stock=(), wish=other), "stock.1").verdict is Verdict.CANNOT_TELL


def test_bends_welded_end_to_end_leave_no_sliver_of_tube():
    points = [(0.0, 0.0, 0.0), (500.0, 0.0, 0.0), (500.0, 180.4, 0.0), (500.0, 180.4, 600.0)]
    laid = route(points=points, stock=(), wish=a_wish(end_to_end=True), least=20.0)
    assert finding(laid, "tangent.2").margin is None
    assert "end to end" in finding(laid, "tangent.2").reason
    assert not [f for f in laid.findings if f.name.startswith("exhaust.main.least-straight")]
    assert [p.kind for p in cut_list(laid).pieces] == [Kind.STRAIGHT, Kind.BEND, Kind.BEND, Kind.STRAIGHT]


# -- the pipe against itself ------------------------------------------------------------------------------------


def turned_back(apart):
    """Out along x, across by ``apart``, and back: two right angles of 90 mm radius."""
    return [(0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, apart, 0.0), (0.0, apart, 0.0)]


@pytest.mark.parametrize("apart", [181.0, 250.0, 400.0])
def test_two_legs_that_run_back_past_each_other_are_as_far_apart_as_drawn(apart):
    met = contact_mm(centreline(turned_back(apart), [90.0, 90.0]), 30.0)
    # bends are reckoned as chords, of which the one that ends the half turn reaches a little into it
    assert apart - 60.0 - 3.0 <= met.room_mm <= apart - 60.0 + 1e-9
    assert finding(route(points=turned_back(apart)), "self-contact").verdict is Verdict.FITS


def test_a_pipe_that_never_turns_half_round_is_not_asked():
    line = centreline([(0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, 400.0, 0.0)], [90.0])
    assert contact_mm(line, 30.0) is None
    assert not [f for f in route(points=[(0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, 400.0, 0.0)]).findings
                if f.name.endswith("self-contact")]


def test_a_loop_that_crosses_its_own_way_is_found():
    loop = [(0.0, 0.0, 0.0), (800.0, 0.0, 0.0), (800.0, 500.0, 20.0), (300.0, 500.0, 40.0), (300.0, -400.0, 40.0)]
    found = finding(route(points=loop), "self-contact")
    # the last leg crosses the first 40 mm above it; two pipes of 60 mm need 60
    assert found.margin == pytest.approx(-20.0, abs=0.5)
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert found.remedy


def test_a_pipe_that_comes_back_beside_its_muffler_is_found():
    points = turned_back(200.0)
    found = finding(route([part("box", 1, 100.0, length=300.0, width=300.0, height=100.0)], points=points),
                    "self-contact")
    # the muffler reaches 150 mm to the side, the pipe's near skin lies at 170
    assert found.margin == pytest.approx(20.0, abs=1.0)
    assert "box" in found.reason


def test_segment_distances_against_a_plain_search():
    random = np.random.default_rng(5)
    a, b, c, d = (random.normal(size=(12, 3)) * 100.0 for _ in range(4))
    b[0] = a[0]
    got = segment_distances_mm(a, b, c, d)
    share = np.linspace(0.0, 1.0, 201)
    for i in range(12):
        for j in range(12):
            p = a[i] + share[:, None] * (b[i] - a[i])
            q = c[j] + share[:, None] * (d[j] - c[j])
            plain = np.linalg.norm(p[:, None] - q[None], axis=2).min()
            assert plain - 1.5 <= got[i, j] <= plain + 1e-9
