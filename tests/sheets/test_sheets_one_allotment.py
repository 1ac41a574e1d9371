"""Every output says the same of each piece: which bend or stick, which end, from where to where, where the saw goes.

What is expected is worked out here from the plan of the cuts and by trigonometry; the outputs are the cut list, the
piece sheet, ``trialfit make`` in words and for machines, the table for other programs, and the page.
"""

import csv
import io
import math
import re
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from invented_sheets import META

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.checks.dragging import standing
from trialfit.checks.making import makings
from trialfit.checks.run import domain_of
from trialfit.checks.stocking import stock_plan
from trialfit.cli import make
from trialfit.exhaust import Kind, cut_list, lay, wraps
from trialfit.exhaust.fit_up import misses
from trialfit.exhaust.nesting import BendStock
from trialfit.exhaust.saw_marks import allotted, as_sawn
from trialfit.sheets.cut_list import cut_list_leaves
from trialfit.sheets.drawing import Words
from trialfit.sheets.paper import Stop
from trialfit.sheets.piece_sheet import piece_sheet_leaves
from trialfit.sheets.tables_csv import cut_list_csv
from trialfit.vehicle import Amount, Corner, MakingSaid, PieCutWish, RoutePlan, StockBend
from trialfit.vehicle.making import StickSaid
from trialfit.web.places.exhaust_pieces import stock_words

EXAMPLES = Path(__file__).parents[2] / "examples"
STOP = Stop(True, "cut", "invented", "invented")
PAGE = SimpleNamespace(length=lambda mm: f"{mm:.1f} mm")


def expected(nest, cuts):
    """For each piece: its item, its end, where it lies in degrees from that end or mm, and each curved mark (end,
    degrees, outside, inside, tape)."""
    known = {p.number: p for p in cuts.pieces}
    out = {}
    for unit in nest.units:
        s = unit.stock
        item = f"{s.name} number {unit.number}" + (" (on the shelf)" if s.count is not None else "")
        for cut in unit.cuts:
            piece = known[cut.piece]
            if not isinstance(s, BendStock) or cut.length_mm:
                place = f"{item}, its leg {cut.leg}" if cut.leg else item
                out[cut.piece] = (place, None, (cut.from_mm, cut.from_mm + cut.length_mm), [])
                continue
            before, after = piece.leg_before_mm > 0.05, piece.leg_after_mm > 0.05
            low, high = (after, before) if cut.flipped else (before, after)
            end = 2 if high and not low else 1
            marks = []
            for kept, at in ((low, cut.from_rad), (high, cut.to_rad)):
                if kept or at < 1e-9 or s.angle_rad - at < 1e-9:
                    continue
                angle = at if end == 1 else s.angle_rad - at
                outer, inner = (s.radius_mm + k * cuts.diameter_mm / 2.0 for k in (1.0, -1.0))
                chord = [math.dist((0.0, 0.0), (r * math.sin(angle), r - r * math.cos(angle))) for r in (outer, inner)]
                marks.append((end, math.degrees(angle), *chord, angle * outer))
            spans = (cut.from_rad, cut.to_rad) if end == 1 else (s.angle_rad - cut.to_rad, s.angle_rad - cut.from_rad)
            place = f"{item}, its end {end}" if marks else f"{item}, the whole of it"
            out[cut.piece] = (place, end, tuple(math.degrees(v) for v in spans), marks)
    return out


def sections(leaves):
    """The words about each piece."""
    words = [m.text for leaf in leaves for m in leaf.marks if isinstance(m, Words)]
    words = [w for w in words if not w.startswith(("Cut list", "Piece sheet"))]
    found = re.split(r"Piece (\d+): ", " ".join(words))
    return {int(n): text for n, text in zip(found[1::2], found[2::2], strict=True)}


def items_in(text):
    return {int(n) for n in re.findall(r" number (\d+)", text)}


def agree(cuts, nest, kerf_mm):
    """Hold every output of one exhaust against the plan."""
    want = expected(nest, cuts)
    assert {p.number for p in cuts.pieces if p.stock is not None} == set(want)
    listed = sections(cut_list_leaves(cuts, META, STOP))
    leaves = piece_sheet_leaves(cuts, nest, META, STOP, kerf_mm)
    sheet, whole = sections(leaves), " ".join(m.text for leaf in leaves for m in leaf.marks if isinstance(m, Words))
    rows = list(csv.DictReader(io.StringIO(cut_list_csv(cuts, "steel").decode())))
    table = {int(r["piece"]): r for r in rows[1:]}
    made = SimpleNamespace(cuts=cuts, nest=nest)
    told = {c["piece"]: c for u in nest.units for c in make._unit(u, made)["cuts"]}
    assert set(told) == set(want)
    for number, (place, end, (low, high), marks) in want.items():
        piece, row, plain = cuts.pieces[number - 1], table[number], told[number]
        page = " ".join(stock_words(PAGE, piece.stock))
        spoken = make._cut(piece.stock, SimpleNamespace(units="metric", fraction=32))
        stock = int(re.search(r" number (\d+)", place)[1])
        for text in (listed[number], sheet[number], page):
            assert f"Cut from {place}" in text
            assert items_in(text) == {stock}
        assert row["cut from"] == plain["place"] == place
        assert spoken.startswith(f"{number} (")
        if end is None:
            for mm, key in ((low, "from_mm"), (high, "to_mm")):
                assert plain[key] == pytest.approx(mm)
                assert f"{mm:.1f} mm" in page
            assert float(row["straight from"]) == pytest.approx(low, abs=1e-3)
            assert low < 0.06 or f"{low:.1f} mm" in listed[number]
            continue
        assert (plain["end"], int(row["end of the bend"])) == (end, end)
        assert (plain["from_deg"], plain["to_deg"]) == pytest.approx((low, high))
        assert float(row["arc to"]) == pytest.approx(high, abs=1e-3)
        assert f"{low:.1f} to {high:.1f} deg" in spoken
        assert ("whole" in spoken) == (not marks)
        assert marks == [] or f"end {end}," in spoken
        for of_end, degrees, *lengths in marks:
            for text in (listed[number], page):
                assert f"begins at end {of_end}" in text
                assert f"begins at end {3 - of_end}" not in text
            assert f"on the curve, {degrees:.1f}\u00b0 from where it begins at end {of_end}" in whole
            plainly = next(m for m in plain["marks"] if m["at_deg"] == pytest.approx(degrees))
            assert [plainly[k] for k in ("outside_mm", "inside_mm", "tape_mm")] == pytest.approx(lengths)
            assert plainly["end"] == of_end
            for mm in lengths:
                assert all(f"{mm:.1f} mm" in text for text in (listed[number], whole, page))
                assert any(v and " mark " in k and float(v) == pytest.approx(mm, abs=1e-3)
                           for k, v in row.items())
    numbers = [u.number for u in nest.units]
    assert numbers == list(range(1, len(numbers) + 1))


@cache
def built(name):
    return run(load(EXAMPLES / name / "build.yaml").build, gaps=False)


@pytest.mark.parametrize("name", ["estate", "flatbed"])
def test_both_examples_say_the_same_everywhere(name):
    results = built(name)
    (cuts,), plan = results.cuts, results.stock_plan("main")
    assert plan.nest.proven
    agree(cuts, plan.nest, plan.kerf_mm)
    # what the page lays out, and what making goes by, are the same pieces
    assert standing(results, "main").cuts.pieces == cuts.pieces
    (made,) = makings(results, domain_of(results.travel), full=False)
    assert made.cuts is cuts
    assert made.nest is plan.nest


@pytest.mark.parametrize("name", ["estate", "flatbed"])
def test_the_pieces_as_sawn_end_at_the_laid_tail(name):
    """Angle and legs from the saw marks alone, put together in software; one bend laid the other way round misses."""
    results = built(name)
    (cuts,), line = results.cuts, results.routes[0].centreline
    tail, way = line.point_at(line.length_mm), line.tangent_at(line.length_mm)
    off, turned = misses(as_sawn(cuts), tail, way)
    assert (off, turned) == pytest.approx((0.0, 0.0), abs=1e-6)
    kept = [p for p in cuts.pieces if p.kind is Kind.BEND and p.leg_before_mm + p.leg_after_mm > 1.0]
    assert len(kept) >= 2
    for piece in kept:
        low, high = piece.stock.edges
        wrong = replace(piece.stock, edges=(replace(low, joint=high.joint), replace(high, joint=low.joint)))
        turned_round = replace(cuts, pieces=tuple(replace(p, stock=wrong) if p is piece else p for p in cuts.pieces))
        assert misses(as_sawn(turned_round), tail, way)[0] > 1.0


U_BEND = StockBend("U-bend", 90.0, math.pi, 100.0, 60.0, 18.0)
QUARTER = StockBend("quarter", 90.0, math.pi / 2.0, 80.0, 60.0, 11.0)
MAKING = MakingSaid(kerf_mm=2.0, sticks=(StickSaid("stick", 2000.0, 22.0), StickSaid("short stick", 800.0, 12.0)),
                    shelf=(("U-bend", 1),))
step = st.tuples(st.floats(-1.0, 1.0), st.floats(-1.0, 1.0), st.floats(-1.0, 1.0), st.floats(400.0, 900.0))


@settings(max_examples=15, deadline=None, phases=(Phase.explicit, Phase.reuse, Phase.generate))
@given(st.lists(step, min_size=2, max_size=5), st.lists(st.sampled_from([0, 0, 4]), max_size=4),
       st.sampled_from([(U_BEND,), (U_BEND, QUARTER)]))
def test_random_pieces_say_the_same_everywhere_and_close(steps, pies, shelf):
    points = [np.array([1000.0, 250.0, 400.0])]
    for *d, length in steps:
        d = np.array(d) if np.linalg.norm(d) > 0.05 else np.array([1.0, 0.0, 0.0])
        points.append(points[-1] + length * d / np.linalg.norm(d))
    corners = tuple(Corner(tuple(p), Amount(90.0), PieCutWish(pies[k], 1.5) if k < len(pies) and pies[k] else None)
                    for k, p in enumerate(points[1:-1]))
    route = RoutePlan("main", Amount(60.0), Amount(1.65), "o", "", corners, tuple(points[-1]), shelf, 0.0,
                      making=MAKING)
    laid = lay(route, {"o": tuple(points[0])}, {})
    if laid.centreline is None:
        return
    plan = stock_plan(laid, cut_list(laid), {}, {})
    if plan.nest is None:
        assert [str(f.verdict) for f in plan.findings] == ["does not fit"]
        assert all(p.stock is None for p in plan.cuts.pieces)
        return
    agree(plan.cuts, plan.nest, plan.kerf_mm)
    line = laid.centreline
    off, turned = misses(as_sawn(plan.cuts), points[-1], line.tangent_at(line.length_mm))
    assert (off, turned) == pytest.approx((0.0, 0.0), abs=1e-5)


def test_a_piece_that_two_units_give_is_refused():
    results = built("estate")
    plan = results.stock_plan("main")
    first, second = plan.nest.units[:2]
    doubled = replace(plan.nest, units=(first, replace(second, cuts=first.cuts)))
    with pytest.raises(ValueError, match="is cut from U-bend number 1 and from U-bend number 2"):
        allotted(plan.bare, doubled)


def test_what_is_proved_is_said_of_these_pieces():
    for name in ("estate", "flatbed"):
        plan = built(name).stock_plan("main")
        (words,) = [f.reason for f in plan.findings if f.name == "exhaust.main.stock"]
        assert words.endswith("; for these pieces, with the legs they keep, no plan costs less")
    worse = replace(plan.nest, cost=100.0, least=90.0)
    assert worse.proof == "for these pieces no plan costs less than 90"


def test_the_square_cut_that_frees_a_pie_cut_is_counted_once():
    """The estate's bend of four wedges: 3 slanted cuts of 1.5 mm in its own length; on the stick one cut of the saw
    (2 mm) lies between it and each neighbour, as between any two pieces."""
    plan = built("estate").stock_plan("main")
    (piece,) = [p for p in plan.cuts.pieces if p.pie is not None]
    wedges = piece.length_to_cut_mm + 3.0 * 1.5 / math.cos(piece.pie.cut_face_angle_rad)
    assert piece.pie.tube_length_mm == pytest.approx(wedges, abs=1e-9)
    unit, cut = plan.nest.of(piece.number)
    spans = sorted((c.from_mm, c.from_mm + c.length_mm) for c in unit.cuts)
    assert cut.length_mm == pytest.approx(wedges)
    assert [b[0] - a[1] for a, b in pairwise(spans)] == pytest.approx([2.0] * (len(spans) - 1))


def test_branch_and_cone_are_listed_with_hole_place_and_welds():
    (estate,), (truck,) = built("estate").cuts, built("flatbed").cuts
    (dump,), (tip,) = estate.extras, truck.extras
    # 1200 mm along: the first piece is longer than that. 50 mm tube, 1.5 mm wall, set on at 40 deg to the flow
    assert estate.pieces[0].length_to_cut_mm > 1200.0
    assert dump.take.startswith("tube 50.0 mm outside, wall 1.50 mm, ")
    assert "hole in piece 1: the axes cross 1200.0 mm from its joint A" in dump.where
    assert "90.0 deg anticlockwise from the top, looking downstream, to the vehicle's right" in dump.where
    # an elliptic hole of the bore: along a run cut at 40 deg the bore reaches 47 / sin 40 deg at the least
    along = float(re.search(r"hole is ([\d.]+) mm along", dump.where)[1])
    assert along == pytest.approx(47.0 / math.sin(math.radians(40.0)), abs=0.1)
    assert (dump.welds, tip.welds) == (1, 2)
    assert estate.all_welds == estate.welds + 1
    assert tip.kind == "cone"
    assert f"behind the tail, at joint {truck.pieces[-1].end}" in tip.where
    for cuts, extra in ((estate, dump), (truck, tip)):
        plan = built("estate" if cuts is estate else "flatbed").stock_plan("main")
        for leaves in (cut_list_leaves(cuts, META, STOP), piece_sheet_leaves(cuts, plan.nest, META, STOP, 2.0)):
            text = " ".join(m.text for leaf in leaves for m in leaf.marks if isinstance(m, Words))
            assert "Made or bought beside the pieces" in text
            assert f"{extra.name} {extra.kind}" in text


def test_papers_look_downstream_and_name_the_side():
    for name in ("estate", "flatbed"):
        results = built(name)
        (made,) = makings(results, domain_of(results.travel), full=False)
        notes = " ".join(n for w in (*wraps(results.cuts[0]), *made.papers) for n in w.notes)
        assert "against the flow" not in notes
        turns = [c for c in (results.cuts[0].start.clocking, *(p.clocking for p in results.cuts[0].pieces)) if c]
        assert turns
        for turn in turns:
            assert turn.points
            assert f"The outside of piece {turn.to_piece} then faces {turn.points}" in notes or turn.arc_mm == 0.0
    (made,) = makings(built("estate"), domain_of(built("estate").travel), full=False)
    (dump,) = made.branches
    # 0 is up and plus is clockwise looking against the flow, so a quarter is to the right of a car seen from above
    assert dump.end[1] > dump.start[1] + 50.0
    assert all("looking downstream, to the vehicle's right" in " ".join(w.notes) for w in dump.papers)
    assert dump.papers[1].up == "along the run, downstream"


def test_walls_are_printed_alike():
    cuts = replace(built("flatbed").cuts[0], wall_mm=1.65)
    plan = built("flatbed").stock_plan("main")
    for leaves in (cut_list_leaves(cuts, META, STOP), piece_sheet_leaves(cuts, plan.nest, META, STOP, 2.0)):
        assert "wall 1.65 mm" in " ".join(m.text for leaf in leaves for m in leaf.marks if isinstance(m, Words))
