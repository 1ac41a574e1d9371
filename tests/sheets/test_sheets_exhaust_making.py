"""Sheets for making an exhaust: figures as they were worked out, plots read back, and which way plus is."""

import math
from dataclasses import replace

import numpy as np
import pytest
from invented_making import COAT, KERF, SHOP, STOP, making

from trialfit.checks.exhaust_orders import coater_order, exhaust_shop_order
from trialfit.exhaust.bend_table import BenderRow, all_tube_mm, from_points
from trialfit.exhaust.beside import Beside
from trialfit.exhaust.heat import Cover, run_hot
from trialfit.exhaust.nesting import Nest
from trialfit.exhaust.saw_marks import on_shelf
from trialfit.findings import Finding, Verdict
from trialfit.geometry.turning import turned_about
from trialfit.sheets.bender_sheet import bender_leaves, sense_of
from trialfit.sheets.coater_order import coater_order_leaves
from trialfit.sheets.drawing import Fill, Stroke, Words
from trialfit.sheets.exhaust_order import exhaust_order_leaves, route_picture
from trialfit.sheets.exhaust_size_sheet import exhaust_size_leaves, pressure_plot, temperature_plot
from trialfit.sheets.fit_up_sheet import fit_up_leaves
from trialfit.sheets.order_text import MESSAGE_LIMIT, order_messages
from trialfit.sheets.piece_sheet import bound_words, piece_sheet_leaves

VEHICLES = ("estate", "flatbed")
vehicles = pytest.mark.parametrize("vehicle", VEHICLES)


def words(leaves):
    return [m.text for leaf in leaves for m in leaf.marks if isinstance(m, Words)]


def text(leaves):
    return " ".join(words(leaves))


# -- pieces -----------------------------------------------------------------------------------------------------


@vehicles
def test_the_shelf_comes_first_and_the_cost_is_proven(vehicle):
    m = making(vehicle)
    told = words(piece_sheet_leaves(m.cuts, m.plan, m.meta, STOP, KERF))
    whole = " ".join(told)
    assert "proved: for these pieces, with the legs they keep, no plan costs less. Other pieces for the same" in whole
    assert f"{m.plan.cost:g}" in told
    if any(on_shelf(u) for u in m.plan.units):
        assert told.index("on the shelf") < told.index("buy")
    for piece in m.cuts.pieces:
        if piece.clocking is not None and piece.clocking.arc_mm > 0.05:
            assert f"{piece.clocking.arc_mm:.1f} mm" in told
        assert any(t.startswith(f"Piece {piece.number}:") for t in told)


def test_a_plan_that_is_not_proven_says_how_far_it_may_be_off():
    m = making("estate")
    worse = Nest(m.plan.units, 100.0, 90.0)
    assert bound_words(worse) == ("not proved: the cheapest plan there can be for these pieces costs 90 at the least, "
                                  "10 (10.0 %) under this one")
    assert "no plan costs less" not in text(piece_sheet_leaves(m.cuts, worse, m.meta, STOP, KERF))


def test_without_stock_the_pieces_stand_all_the_same():
    m = making("estate")
    bare = replace(m.cuts, pieces=tuple(replace(p, stock=None) for p in m.cuts.pieces))
    told = text(piece_sheet_leaves(bare, None, m.meta, STOP, 0.0, "piece 6 comes from none"))
    assert "piece 6 comes from none" in told
    assert "not said" in told


def test_a_plan_that_the_pieces_do_not_come_from_is_refused():
    m = making("estate")
    bare = replace(m.cuts, pieces=tuple(replace(p, stock=None) for p in m.cuts.pieces))
    with pytest.raises(ValueError, match="gives other pieces than the cut list of main says: allot it first"):
        piece_sheet_leaves(bare, m.plan, m.meta, STOP, KERF)


@vehicles
def test_what_is_left_and_what_is_used_make_up_the_stock(vehicle):
    m = making(vehicle)
    told = text(piece_sheet_leaves(m.cuts, m.plan, m.meta, STOP, KERF))
    for unit in m.plan.units:
        if unit.left_rad > math.radians(1.0):
            assert f"{math.degrees(unit.left_rad):.1f}\u00b0 of bend" in told


# -- fit-up -----------------------------------------------------------------------------------------------------


@vehicles
def test_fit_up_shows_every_check_slip_and_weld(vehicle):
    m = making(vehicle)
    told = words(fit_up_leaves(m.fit_up, m.meta, STOP))
    for check in m.fit_up.lengths:
        assert any(w.startswith(f"{check.length_mm:.1f} mm") for w in told)
        assert check.point in told
    for slip in m.fit_up.slips:
        assert f"{slip.turned_tail_mm:.1f} mm" in told
        assert f"{slip.gap_tail_mm:.1f} mm" in told
    whole = " ".join(told)
    assert "zinc fumes poison" in whole
    for caution in ("Stands:", "Fire:", "Battery:", "Fumes:", "carbon monoxide"):
        assert caution in whole
    assert ("Argon inside the tube" in whole) == (m.fit_up.practice.material == "stainless")


def test_fit_up_without_points_asks_for_them():
    m = making("estate")
    assert "No hardpoint" in text(fit_up_leaves(replace(m.fit_up, lengths=()), m.meta, STOP))


# -- bend table -------------------------------------------------------------------------------------------------


def machine(table):
    """Points of the pipe that a bender makes of the table: pipe fed along +x with its outlet ahead, the pipe turned
    right-handed about the feed (clockwise from behind), every bend swung the same way about the die."""
    ahead = np.zeros((1, 3))
    for row in table.rows:
        ahead = np.array([turned_about(p, np.array([1.0, 0.0, 0.0]), row.rotation_rad) for p in ahead])
        ahead = ahead + np.array([row.feed_mm, 0.0, 0.0])
        middle = np.array([0.0, row.radius_mm, 0.0])
        axis = np.array([0.0, 0.0, 1.0])
        ahead = np.array([middle + turned_about(p - middle, axis, row.bend_rad) for p in ahead])
        corner = np.array([row.radius_mm * math.tan(0.5 * row.bend_rad), 0.0, 0.0])
        ahead = np.vstack([ahead, corner])
    ahead = ahead + np.array([table.last_mm, 0.0, 0.0])
    return np.vstack([ahead, np.zeros(3)])


def hands(points):
    """Signed volumes of four points after each other: their sign tells a shape from its mirror image."""
    return np.array([np.linalg.det(np.array([points[k + 1] - points[k], points[k + 2] - points[k],
                                             points[k + 3] - points[k]])) for k in range(len(points) - 3)])


@vehicles
def test_a_bender_that_turns_the_pipe_as_the_sheet_says_makes_this_pipe(vehicle):
    table = making(vehicle).bends
    made = machine(table)
    there = np.linalg.norm(table.points[:, None] - table.points[None], axis=2)
    assert np.linalg.norm(made[:, None] - made[None], axis=2) == pytest.approx(there, abs=1e-6)
    assert hands(made) == pytest.approx(hands(table.points), rel=1e-6, abs=1e-3)
    assert np.abs(hands(made)).max() > 1e6


def test_plus_is_clockwise_looking_downstream_by_hand():
    """Rearward, a bend to the left, a bend up. Looking downstream behind the first bend its outside is at nine o'clock
    and that of the bend up at six: a quarter anticlockwise. Mirrored to the right: a quarter clockwise."""
    left = from_points([(0, 0, 0), (500, 0, 0), (500, -500, 0), (500, -500, 500)], [100, 100])
    assert left.rows[1].rotation_rad == pytest.approx(-math.pi / 2)
    assert sense_of(left.rows[1]) == "anticlockwise"
    right = from_points([(0, 0, 0), (500, 0, 0), (500, 500, 0), (500, 500, 500)], [100, 100])
    assert right.rows[1].rotation_rad == pytest.approx(math.pi / 2)
    assert sense_of(right.rows[1]) == "clockwise"
    assert sense_of(left.rows[0]) == "none"
    assert sense_of(BenderRow(2, 1.0, 0.0, 1.0, 1.0)) == "none"


@vehicles
def test_the_table_turns_as_the_cut_list_does(vehicle):
    m = making(vehicle)
    turns = [p.clocking.signed_rad for p in m.cuts.pieces if p.clocking is not None]
    assert [r.rotation_rad for r in m.bends.rows[1:]] == pytest.approx(turns, abs=1e-9)
    told = words(bender_leaves(m.tube, m.bends, m.cuts.route, 63.5, 1.5, m.meta, STOP))
    for run in m.tube:
        for row in run.table.rows:
            assert f"{math.degrees(row.bend_rad):.2f}\u00b0" in told
            assert f"{row.feed_mm:.1f} mm" in told
        assert f"{run.table.tube_mm:.1f} mm" in told
        assert any(w.startswith(f"Run {run.number}, from {run.before} to {run.after}") for w in told)
    # what lies between the runs is no tube
    together = f"{all_tube_mm(m.tube):.1f} mm"
    assert together in told
    assert f"{m.bends.tube_mm:.1f} mm" not in told
    for v in m.bends.points.ravel():
        assert f"{v:.1f} mm".replace("-", "\u2212") in told


# -- size and heat ----------------------------------------------------------------------------------------------


def scale_of(marks, upright=True):
    """Paper to value, by two ticks of the plot's own figures."""
    ticks = {}
    for mark in marks:
        if isinstance(mark, Words) and mark.turn_deg == 0.0:
            try:
                value = float(mark.text)
            except ValueError:
                continue
            side = mark.align == "right"
            if side is upright:
                ticks[value] = mark.at[1] + 1.1 if upright else mark.at[0]
    low, high = min(ticks), max(ticks)
    return lambda at: low + (at - ticks[low]) * (high - low) / (ticks[high] - ticks[low])


@vehicles
def test_pressure_read_from_the_plot_is_the_tables(vehicle):
    m = making(vehicle)
    marks = pressure_plot(m.size, 186.0, 76.0)
    value, across = scale_of(marks), scale_of(marks, False)
    bars = [s for s in marks if isinstance(s, Stroke) and s.closed and
            abs(max(p[0] for p in s.points) - min(p[0] for p in s.points) - 3.2) < 1e-6]
    rows = [r for r in m.size.rows if r.back_mpa is not None]
    assert len(bars) == len(rows) < len(m.size.rows)
    for bar, row in zip(sorted(bars, key=lambda s: s.points[0][0]), rows, strict=True):
        ys = [p[1] for p in bar.points]
        assert value(min(ys)) == pytest.approx(1000.0 * row.back_mpa[0], abs=1e-6)
        assert value(max(ys)) == pytest.approx(1000.0 * row.back_mpa[1], abs=1e-6)
        middle = 0.5 * (bar.points[0][0] + bar.points[1][0])
        assert across(middle) == pytest.approx(row.choice.outside_mm, abs=0.05)
    laid = [s for s in bars if s.fill is Fill.BLACK]
    assert len(laid) == 1


@vehicles
def test_temperature_read_from_the_plot_is_the_runs(vehicle):
    m = making(vehicle)
    marks = temperature_plot(m.size, 186.0, 92.0)
    value, across = scale_of(marks), scale_of(marks, False)
    stations = m.size.run.stations
    runs = [s for s in marks if isinstance(s, Stroke) and len(s.points) == len(stations)]
    told = [[s.skin_k[0] for s in stations], [s.skin_k[1] for s in stations], [s.gas_k[0] for s in stations],
            [s.gas_k[1] for s in stations]]
    assert len(runs) == 4
    for run, kelvin in zip(runs, told, strict=True):
        assert [value(y) + 273.15 for _, y in run.points] == pytest.approx(kelvin, abs=1e-6)
        assert [across(x) for x, _ in run.points] == pytest.approx([s.at_mm for s in stations], abs=1e-6)
    named = {w.text for w in marks if isinstance(w, Words)}
    assert {"flex", "small box"} <= named


@vehicles
def test_the_worst_neighbour_stands_first_and_has_its_remedy(vehicle):
    m = making(vehicle)
    told = words(exhaust_size_leaves(m.size, m.meta))
    assert told.index("floor") < told.index("fuel line") < told.index("brake line rear")
    assert "2 of 3: fuel line, floor" in " ".join(told)
    assert "not reckoned: bend" in " ".join(told)
    clear = replace(m.size, neighbours=tuple(replace(n, verdict=Verdict.FITS) for n in m.size.neighbours))
    assert "none needed" in words(exhaust_size_leaves(clear, m.meta))
    assert "nobody named it" in text(exhaust_size_leaves(replace(m.size, neighbours=()), m.meta))


# -- orders -----------------------------------------------------------------------------------------------------


@vehicles
def test_orders_on_paper_and_in_words_say_the_same(vehicle):
    m = making(vehicle)
    leaves = exhaust_order_leaves(m.shop_order, m.with_box, m.bends, m.meta, m.tube)
    told = words(leaves)
    assert "NOT TO BE ORDERED FROM YET" in told
    parts = order_messages(m.shop_order, m.meta)
    assert all(len(p) < MESSAGE_LIMIT for p in parts)
    whole = "\n".join(parts)
    assert "STILL MISSING, no order without" in whole
    for run in m.tube:
        assert f"run {run.number}, {run.before} to {run.after}, {run.table.tube_mm:.1f} mm of tube" in whole
        for row in run.table.rows:
            assert f"{row.feed_mm:.1f} mm / {math.degrees(row.rotation_rad):+.1f} deg" in whole
    assert f"all tube {all_tube_mm(m.tube):.1f} mm, parts left out" in whole
    assert f"{all_tube_mm(m.tube):.1f} mm" in told
    assert "small box (muffler) from 220 to 400 mm, body 180 x 110 mm" in whole
    assert "220 to 400 mm" in told
    coat = order_messages(m.coat_order, m.meta)[0]
    assert "NOT TO BE ORDERED FROM YET" in coat
    assert "coating stands 200 degC" in coat


def test_what_is_welded_on_beside_the_pipe_stands_on_the_order_and_weighs_at_the_coater():
    m = making("estate")
    tip = Beside("tip", "cone", m.with_box.length_mm, 0.4, 2, 300.0, (2000.0, 0.0, 0.0), (6000.0, 1.0, 1.0),
                 "tip: cone at the tail, 63.5 to 76.2 mm outside over 90 mm", "cone tip: welded onto the tail")
    whole = replace(m.with_box, elements=tuple(replace(e, mass_kg=1.0) for e in m.with_box.elements))
    known = replace(m.known, chain=whole, beside=(tip,))
    order = exhaust_shop_order(known, SHOP)
    told = text(exhaust_order_leaves(order, whole, m.bends, m.meta, m.tube, (tip,)))
    assert "cone at the tail, 63.5 to 76.2 mm" in told
    assert "0.40 kg" in told
    assert "tip on it" in order.word("sections")
    bare, coat = coater_order(replace(known, beside=()), COAT), coater_order(known, COAT)
    assert coat.number("mass") - bare.number("mass") == pytest.approx(0.4)
    # the box is as long as from the outlet, 567 mm rearward, less its own radius, to the cone's end
    assert float(coat.word("envelope").split(" x ")[0]) > 5400.0 > float(bare.word("envelope").split(" x ")[0])
    fitted = text(fit_up_leaves(replace(m.fit_up, beside=(tip,)), m.meta, STOP))
    assert "tip (cone) and its seam" in fitted


def test_what_the_file_says_twice_stops_the_order():
    m = making("estate")
    clash = Finding("order.exhaust-shop.main.cylinders", Verdict.CANNOT_TELL, "cylinders: 4 here, 6 there", "mend it")
    order = exhaust_shop_order(replace(m.known, clashes=(clash,)), SHOP)
    assert any(d.blocks and "4 here, 6 there" in d.reason for d in order.doubtful)
    assert not order.may_order
    assert "4 here, 6 there" in text(exhaust_order_leaves(order, m.chain, m.bends, m.meta, m.tube))


def test_where_the_pipe_is_wrapped_the_sheet_says_so_and_gives_the_steel():
    m = making("estate")
    assert "Skin of the pipe at the outlet" in text(exhaust_size_leaves(m.size, m.meta))
    flow = replace(m.size.flow, covers=(Cover("wrapped", 0.0, 500.0),))
    run_ = run_hot(m.size.chain, flow)
    told = text(exhaust_size_leaves(replace(m.size, flow=flow, run=run_), m.meta))
    assert "Outside of the wrap at the outlet" in told
    assert "Skin of the pipe at the outlet" not in told
    assert f"{run_.stations[0].metal_k[0] - 273.15:.0f} to {run_.stations[0].metal_k[1] - 273.15:.0f}" in told
    assert "Wrapped from 0 to 500 mm" in told


def test_what_the_welds_draw_in_is_trimmed_at_the_tail_and_no_gap_is_left():
    plan = making("estate").fit_up
    told = text(fit_up_leaves(plan, making("estate").meta, STOP))
    piece = plan.cuts.pieces[-1]
    assert f"Cut the last straight, piece {piece.number} ({piece.length_to_cut_mm:.1f} mm" in told
    assert f"{plan.trim_mm:.0f} mm longer" in told
    assert "mark its length from the cut list on it" in told
    assert "gap before each joint larger" not in told
    assert "before the tail is cut off" not in told
    assert "come off first" not in told
    loose = text(fit_up_leaves(replace(plan, loose=("flex",)), making("estate").meta, STOP))
    assert "Flex (bellows, held by joints), sensors and rubber hangers come off first" in loose
    held = text(fit_up_leaves(replace(plan, welded_in=("flex",)), making("estate").meta, STOP))
    assert "Flex is a bellows that is welded in" in held


def test_a_sheet_refuses_the_order_of_another_shop():
    m = making("estate")
    with pytest.raises(ValueError, match="coater order"):
        exhaust_order_leaves(m.coat_order, m.chain, m.bends, m.meta)
    with pytest.raises(ValueError, match="exhaust_shop order"):
        coater_order_leaves(m.shop_order, m.meta)


def test_the_route_fits_the_width_and_names_its_parts():
    m = making("estate")
    picture = route_picture(m.with_box, 186.0)
    named = [w.text for w in picture.marks if isinstance(w, Words)]
    assert named.count("small box") == named.count("flex") == named.count("tail") == 2
