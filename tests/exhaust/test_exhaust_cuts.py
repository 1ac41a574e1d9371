"""Cut list: it adds up, it can be built back, and it mirrors."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from trialfit.checks.stocking import stock_plan
from trialfit.exhaust import Kind, Way, cut_list, lay
from trialfit.exhaust.cuts import letter
from trialfit.vehicle import Amount, Corner, PieCutWish, RoutePlan, StockBend

U_BEND = StockBend("U-bend", 90.0, math.pi, 100.0, 60.0)
QUARTER = StockBend("quarter", 90.0, math.pi / 2, 80.0, 60.0)


def route(points, pies=(), stock=(U_BEND,), least=0.0, radius=90.0):
    corners = tuple(
        Corner(tuple(p), Amount(radius), PieCutWish(pies[k], 1.5) if k < len(pies) and pies[k] else None)
        for k, p in enumerate(points[1:-1])
    )
    plan = RoutePlan("main", Amount(60.0), Amount(1.5), "o", "", corners, tuple(points[-1]), stock, least)
    return lay(plan, {"o": tuple(points[0])}, {})


SQUARE = [(0.0, 0.0, 0.0), (500.0, 0.0, 0.0), (500.0, 700.0, 0.0), (500.0, 700.0, 600.0)]


def _turned(v, axis, angle):
    return v * math.cos(angle) + np.cross(axis, v) * math.sin(angle) + axis * (axis @ v) * (1.0 - math.cos(angle))


def rebuilt(cuts):
    """Ends of every piece, from the start frame, lengths, bends and clockings alone."""
    here, along = np.array(cuts.start.xyz_mm), np.array(cuts.start.direction)
    outside = np.array(cuts.start.top)
    if cuts.start.clocking:
        outside = _turned(outside, along, cuts.start.clocking.signed_rad)
    ends = []
    for piece in cuts.pieces:
        if piece.kind is Kind.STRAIGHT:
            here = here + piece.length_to_cut_mm * along
        else:
            here = here + piece.leg_before_mm * along
            axis = np.cross(along, -outside)
            if piece.pie is None:
                centre = here - piece.radius_mm * outside
                here = centre + _turned(here - centre, axis, piece.bend_angle_rad)
                along, outside = (_turned(v, axis, piece.bend_angle_rad) for v in (along, outside))
            else:
                pie = piece.pie
                here = here + pie.end_middle_mm * along
                for joint in range(pie.joints):
                    along, outside = (_turned(v, axis, 2.0 * pie.cut_face_angle_rad) for v in (along, outside))
                    here = here + (pie.middle_mm if joint < pie.joints - 1 else pie.end_middle_mm) * along
            here = here + piece.leg_after_mm * along
            if piece.clocking:
                outside = _turned(outside, along, piece.clocking.signed_rad)
        ends.append(here)
    return np.array(ends)


step = st.tuples(st.floats(-1.0, 1.0), st.floats(-1.0, 1.0), st.floats(-1.0, 1.0), st.floats(400.0, 900.0))
chains = st.lists(step, min_size=2, max_size=7)


def _walk(steps):
    points = [np.array([1000.0, 250.0, 400.0])]
    for *d, length in steps:
        d = np.array(d)
        if np.linalg.norm(d) < 0.05:
            d = np.array([1.0, 0.0, 0.0])
        points.append(points[-1] + length * d / np.linalg.norm(d))
    return points


@given(chains, st.lists(st.sampled_from([0, 0, 2, 4, 5]), max_size=6), st.sampled_from([0.0, 30.0]))
@example([(0.0, 0.0, 1.0, 400.0), (1.0, 5.4e-08, 0.0, 400.0)], [], 0.0)
@settings(max_examples=80, deadline=None)
def test_route_is_built_back_from_the_cut_list_alone(steps, pies, least):
    points = _walk(steps)
    laid = route(points, pies, least=least)
    if laid.centreline is None:
        assert any(f.verdict == "does not fit" for f in laid.findings)
        return
    cuts = cut_list(laid)
    assert np.abs(rebuilt(cuts)[-1] - points[-1]).max() < 1e-6
    assert np.abs(rebuilt(cuts) - np.array([p.end_xyz_mm for p in cuts.pieces])).max() < 1e-6
    assert math.fsum(p.length_to_cut_mm for p in cuts.pieces) == pytest.approx(cuts.total_length_mm, abs=1e-9)
    assert cuts.total_length_mm == pytest.approx(laid.centreline.length_mm, abs=1e-9)
    for one, two in zip(cuts.pieces, cuts.pieces[1:], strict=False):
        assert (one.end, one.end_xyz_mm) == (two.start, two.start_xyz_mm)
    assert all(p.length_to_cut_mm > 0.0 for p in cuts.pieces)
    for p in stocked(laid).pieces:
        assert min(p.leg_before_mm, p.leg_after_mm) >= 0.0
        if p.stock:
            assert max(p.leg_before_mm, p.leg_after_mm) <= p.stock.stock_leg_mm + 1e-9


@given(chains)
@settings(max_examples=30, deadline=None)
def test_mirror_flips_every_way_and_nothing_else(steps):
    points = _walk(steps)
    laid = route(points)
    if laid.centreline is None:
        return
    ours = cut_list(laid)
    theirs = cut_list(route([p * [1.0, -1.0, 1.0] for p in points]))
    other = {Way.CLOCKWISE: Way.ANTICLOCKWISE, Way.ANTICLOCKWISE: Way.CLOCKWISE}
    for a, b in zip(ours.pieces, theirs.pieces, strict=True):
        assert a.length_to_cut_mm == pytest.approx(b.length_to_cut_mm, abs=1e-9)
        assert a.bend_angle_rad == pytest.approx(b.bend_angle_rad, abs=1e-9)
        if a.clocking:
            assert b.clocking.angle_rad == pytest.approx(a.clocking.angle_rad, abs=1e-6)
            assert b.clocking.way is other.get(a.clocking.way, a.clocking.way)


def test_way_is_as_a_person_sees_it():
    # rearward, then to the right, then up. After the first bend the outside line faces rearward (+x); the second
    # bend turns up, so its outside faces down. Looking the way the pipe runs (+y) with up above, rearward (+x) is on
    # the viewer's right, at three o'clock; down is at six: a quarter turn clockwise.
    cuts = cut_list(route(SQUARE))
    first = next(p for p in cuts.pieces if p.corner == 1)
    assert first.clocking.way is Way.CLOCKWISE
    assert math.degrees(first.clocking.angle_rad) == pytest.approx(90.0, abs=1e-9)
    assert first.clocking.arc_mm == pytest.approx(math.pi * 60.0 / 4, abs=1e-9)
    assert first.clocking.seen_from == f"looking downstream through joint {first.end}, from the outlet's side"
    assert first.clocking.to_piece == next(p.number for p in cuts.pieces if p.corner == 2)
    # at the outlet the top line faces up and the first bend goes right, so its outside faces left: looking rearward
    # (+x) with up above, the vehicle's left is on the viewer's right: from twelve to three o'clock, clockwise
    assert cuts.start.top == (0.0, 0.0, 1.0)
    assert cuts.start.clocking.way is Way.CLOCKWISE


@pytest.mark.parametrize("end, way", [
    ((900.0, 700.0, 0.0), Way.OPPOSITE), ((100.0, 700.0, 0.0), Way.STRAIGHT_ON),
    ((500.0, 700.0, -600.0), Way.ANTICLOCKWISE),
])
def test_s_bend_u_bend_and_the_other_way(end, way):
    cuts = cut_list(route([*SQUARE[:3], end]))
    clocking = next(p for p in cuts.pieces if p.corner == 1).clocking
    assert clocking.way is way
    expected = {Way.OPPOSITE: math.pi * 30.0, Way.STRAIGHT_ON: 0.0}.get(way, math.pi * 15.0)
    assert clocking.arc_mm == pytest.approx(expected, abs=1e-6)


def test_a_vertical_outlet_counts_from_the_front():
    cuts = cut_list(route([(0.0, 0.0, 900.0), (0.0, 0.0, 400.0), (600.0, 0.0, 400.0)]))
    assert cuts.start.top == pytest.approx((-1.0, 0.0, 0.0))
    assert "front" in cuts.start.top_means
    assert cuts.start.clocking.way is Way.STRAIGHT_ON  # turning rearward, its outside faces forward


def test_cut_out_bends_keep_one_leg_and_sticks_fill_the_rest():
    cuts = cut_list(route(SQUARE))
    # straights 410, 520, 510: both bends cut from U-bends; first keeps its leg after, second before (both beside 520)
    assert [(p.kind, round(p.leg_before_mm, 6), round(p.leg_after_mm, 6)) for p in cuts.pieces if p.corner] == [
        (Kind.BEND, 0.0, 100.0), (Kind.BEND, 100.0, 0.0),
    ]
    sticks = [p.length_to_cut_mm for p in cuts.pieces if p.kind is Kind.STRAIGHT]
    assert sticks == pytest.approx([410.0, 320.0, 510.0])
    assert cuts.straight_tube_mm == pytest.approx(1240.0)


def stocked(laid):
    return stock_plan(laid, cut_list(laid), {}, {}).cuts


def test_cut_position_on_the_stock_bend_by_angle_and_chord():
    first = next(p for p in stocked(route(SQUARE)).pieces if p.corner == 1)
    mark = first.stock.far
    assert math.degrees(mark.at_rad) == pytest.approx(90.0)
    # another route to the answer: two points at 90 deg on a circle of 120 mm are 120 * root 2 apart
    assert mark.outside_chord_mm == pytest.approx(120.0 * math.sqrt(2.0))
    assert mark.inside_chord_mm == pytest.approx(60.0 * math.sqrt(2.0))
    assert mark.outside_tape_mm == first.outside_arc_mm == pytest.approx(math.pi * 60.0)
    assert first.inside_arc_mm == pytest.approx(math.pi * 30.0)


def test_whole_stock_bends_keep_both_legs_and_each_counts():
    cuts = stocked(route(SQUARE, stock=(U_BEND, QUARTER)))
    bends = [p for p in cuts.pieces if p.corner]
    assert [(p.leg_before_mm, p.leg_after_mm) for p in bends] == [(80.0, 80.0), (80.0, 80.0)]
    assert all(p.stock.whole and not any(e.sawn for e in p.stock.edges) for p in bends)
    assert [p.stock.place for p in bends] == [f"quarter number {k}, the whole of it" for k in (1, 2)]
    assert cuts.stock_to_buy == (("quarter", 2),)


def test_two_short_bends_come_from_the_two_ends_of_one():
    flat = [(0.0, 0.0, 0.0), (500.0, 0.0, 0.0), (1000.0, 400.0, 0.0), (1600.0, 400.0, 0.0), (2100.0, 0.0, 0.0)]
    cuts = stocked(route(flat))
    stocks = [p.stock for p in cuts.pieces if p.corner]
    # three of some 39 deg, each with a leg: an end each, so two bends
    assert {s.number for s in stocks} == {1, 2}
    assert len({(s.number, s.from_end) for s in stocks}) == 3
    assert cuts.stock_to_buy == (("U-bend", 2),)
    # two of 90 deg leave no room for the saw in one of 180
    assert stocked(route(SQUARE)).stock_to_buy == (("U-bend", 2),)


def test_the_bare_pieces_say_nothing_of_stock():
    cuts = cut_list(route(SQUARE))
    assert (cuts.stock_to_buy, cuts.stock_at_hand) == ((), ())
    assert all(p.stock is None for p in cuts.pieces)


def test_straight_shorter_than_both_legs_has_no_stick():
    close = [(0.0, 0.0, 0.0), (500.0, 0.0, 0.0), (500.0, 330.0, 0.0), (500.0, 330.0, 200.0)]
    cuts = cut_list(route(close, stock=(QUARTER,)))
    one, two = (p for p in cuts.pieces if p.corner)
    assert (one.leg_after_mm, two.leg_before_mm) == pytest.approx((80.0, 70.0))
    assert one.end == two.start
    assert one.clocking.to_piece == two.number == one.number + 1


def test_a_stick_that_would_be_too_short_takes_from_the_legs():
    close = [(0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 350.0, 0.0), (300.0, 350.0, 200.0)]
    sticks = [p.length_to_cut_mm for p in cut_list(route(close, stock=(QUARTER,))).pieces if not p.corner]
    assert sticks[1] == pytest.approx(10.0)
    cuts = cut_list(route(close, stock=(QUARTER,), least=40.0))
    one, two = (p for p in cuts.pieces if p.corner)
    assert cuts.pieces[one.number].length_to_cut_mm == pytest.approx(40.0)
    assert one.leg_after_mm + two.leg_before_mm == pytest.approx(130.0)


def test_pie_cut_by_hand():
    cuts = cut_list(route(SQUARE[:3], pies=(5,)))
    piece = next(p for p in cuts.pieces if p.corner == 1)
    pie = piece.pie
    assert piece.kind is Kind.PIE_CUT
    assert (pie.pieces, pie.joints) == (5, 4)
    assert math.degrees(pie.turn_per_joint_rad) == pytest.approx(22.5)
    assert math.degrees(pie.cut_face_angle_rad) == pytest.approx(11.25)
    tangent = math.tan(math.radians(11.25))
    assert pie.long_side_mm == pytest.approx(2 * 120.0 * tangent)
    assert pie.short_side_mm == pytest.approx(2 * 60.0 * tangent)
    assert pie.end_long_side_mm == pytest.approx(120.0 * tangent)
    # four wedges' worth of middles, legs of one diameter, four slanted kerfs: the square cut is the stick's
    kerfs = 1.5 * 4 / math.cos(math.radians(11.25))
    assert pie.tube_length_mm == pytest.approx(8 * 90.0 * tangent + 120.0 + kerfs)
    assert piece.length_to_cut_mm == pytest.approx(8 * 90.0 * tangent + 120.0)
    assert any("sine" in note for note in cuts.notes)
    assert stocked(route(SQUARE[:3], pies=(5,))).stock_to_buy == ()


def test_no_bend_listed_means_bent_to_order():
    cuts = cut_list(route(SQUARE, stock=()))
    bends = [p for p in cuts.pieces if p.corner]
    assert all("order it bent" in p.notes[0] and p.stock is None for p in bends)


def test_doubt_of_the_lengths():
    laid = route(SQUARE)
    plan = replace(laid.plan, end="tail")
    points = {"o": SQUARE[0], "tail": SQUARE[-1]}
    cuts = cut_list(lay(plan, points, {}, np.diag([9.0, 9.0, 9.0, 4.0, 4.0, 4.0])))
    # the outlet's x alone moves the first stick, the end's z alone the last one (sideways moves turn, second order in
    # the leg but first order in the set-back: 90 mm * tan' = 90 mm per rad of turn)
    first, last = cuts.pieces[0].sd_mm, cuts.pieces[-1].sd_mm
    assert first == pytest.approx(math.hypot(3.0, 3.0 * 90.0 / 500.0), rel=0.01)
    assert last == pytest.approx(math.hypot(2.0, 2.0 * 90.0 / 600.0), rel=0.01)
    assert cut_list(laid).pieces[0].sd_mm is None


def test_a_route_that_cannot_be_laid_has_no_cut_list():
    laid = route([(0.0, 0.0, 0.0), (50.0, 0.0, 0.0), (50.0, 500.0, 0.0)])
    with pytest.raises(ValueError, match="cannot be laid"):
        cut_list(laid)


def test_only_a_straight():
    (piece,) = cut_list(route([(0.0, 0.0, 0.0), (0.0, 300.0, 400.0)])).pieces
    assert (piece.kind, piece.length_to_cut_mm, piece.start, piece.end) == (Kind.STRAIGHT, 500.0, "A", "B")


def test_letters_go_on_past_z():
    assert [letter(i) for i in (0, 25, 26, 51, 52, 701, 702)] == ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]
