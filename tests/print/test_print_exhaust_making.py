"""Sheets for making an exhaust, on both papers: nothing over anything, and drawings measured back from the file."""

import math
from functools import cache

import numpy as np
import pytest
from invented_making import KERF, STOP, making
from measured_pages import extent, keeps_the_rules, pages

from trialfit.exhaust.nesting import BendStock, StickStock
from trialfit.exhaust.saw_marks import sawn_pieces
from trialfit.sheets.bender_sheet import bender_sheet
from trialfit.sheets.coater_order import coater_order_sheet
from trialfit.sheets.exhaust_order import exhaust_order_sheet
from trialfit.sheets.exhaust_size_sheet import exhaust_size_sheet
from trialfit.sheets.fit_up_sheet import fit_up_sheet
from trialfit.sheets.piece_sheet import piece_sheet

SHEETS = {
    "pieces": lambda m: piece_sheet(m.cuts, m.plan, m.meta, STOP, KERF),
    "no plan": lambda m: piece_sheet(m.cuts, None, m.meta, STOP, KERF, "no stick is listed"),
    "fit-up": lambda m: fit_up_sheet(m.fit_up, m.meta, STOP),
    "bender": lambda m: bender_sheet(m.tube, m.bends, m.cuts.route, m.cuts.diameter_mm, m.cuts.wall_mm, m.meta, STOP,
                                     1),
    "size": lambda m: exhaust_size_sheet(m.size, m.meta),
    "exhaust order": lambda m: exhaust_order_sheet(m.shop_order, m.with_box, m.bends, m.meta, m.tube),
    "coating order": lambda m: coater_order_sheet(m.coat_order, m.meta),
}
VEHICLES = ("estate", "flatbed")


@cache
def printed(which, vehicle):
    data = SHEETS[which](making(vehicle))
    return data, pages(data)


@pytest.mark.parametrize("vehicle", VEHICLES)
@pytest.mark.parametrize("which", SHEETS)
def test_nothing_over_anything_and_nothing_scaled(which, vehicle):
    data, found = printed(which, vehicle)
    wide, high = (210.0, 297.0) if vehicle == "estate" else (215.9, 279.4)
    for page in found:
        assert (page.width, page.height) == pytest.approx((wide, high), abs=0.05)
    keeps_the_rules(data, found, 10.0)


@pytest.mark.parametrize("which", SHEETS)
def test_the_same_input_gives_the_same_bytes(which):
    assert SHEETS[which](making("estate")) == printed(which, "estate")[0]


@pytest.mark.parametrize("which", ["pieces", "fit-up", "bender", "exhaust order", "coating order"])
def test_every_page_says_that_it_is_stopped(which):
    for page in printed(which, "flatbed")[1]:
        assert "NOT TO BE" in page.text


def _scales(page, head):
    """Scale 1 : n of every head on the page that begins so."""
    return [int(w.text.rsplit("1 : ", 1)[1]) for w in page.words if w.text.startswith(head) and "1 : " in w.text]


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_a_bend_of_stock_measures_what_it_is(vehicle):
    """Outline of a U-bend on paper times its scale: leg + radius + half the tube long, twice radius and half high."""
    m = making(vehicle)
    stock = next(u.stock for u in m.plan.units if isinstance(u.stock, BendStock))
    half = 0.5 * m.cuts.diameter_mm
    want = (stock.leg_mm + stock.radius_mm + half, 2.0 * (stock.radius_mm + half))
    seen = 0
    for page in printed("pieces", vehicle)[1]:
        for scale in _scales(page, stock.name):
            close = [p for p in page.paths if len(p) > 40
                     and np.allclose(np.array(extent(p)) * scale, want, atol=0.02 * scale)]
            seen += bool(close)
    assert seen == sum(u.stock == stock for u in m.plan.units)


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_a_piece_on_its_bend_spans_the_chord_that_stands_beside_it(vehicle):
    """The outside of a piece as drawn, from where it begins to curve to the saw line, against the printed chord."""
    m = making(vehicle)
    found = printed("pieces", vehicle)[1]
    text = "\n".join(p.text for p in found)
    told = 0
    for unit in m.plan.units:
        if not isinstance(unit.stock, BendStock):
            continue
        for sawn in sawn_pieces(unit, m.cuts):
            low, high = sawn.edges
            if low.at_rad is not None or high.at_rad is None:
                continue
            chord = high.outside_chord_mm
            assert f"{chord:.1f} mm" in text
            drawn = []
            for page in found:
                for scale in _scales(page, unit.stock.name):
                    for p in page.paths:
                        # leg's end, where it begins to curve, the outside's arc, then across the saw line
                        drawn += [math.dist(p[1], p[k]) * scale for k in range(2, len(p) - 2)
                                  if abs(math.dist(p[k], p[k + 1]) * scale - m.cuts.diameter_mm) < 0.1]
            assert min(abs(d - chord) for d in drawn) < 0.15
            told += 1
    assert told >= 1


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_pieces_on_a_stick_measure_what_is_cut(vehicle):
    m = making(vehicle)
    for unit in m.plan.units:
        if not isinstance(unit.stock, StickStock):
            continue
        page = next(p for p in printed("pieces", vehicle)[1]
                    if _scales(p, f"{unit.stock.name} number {unit.number}"))
        scales = _scales(page, f"{unit.stock.name} number {unit.number}")
        boxes = [extent(p) for p in page.paths if len(p) in (4, 5)]
        for cut in unit.cuts:
            want = cut.length_mm / scales[0]
            assert any(w == pytest.approx(want, abs=0.02) and h == pytest.approx(7.0, abs=0.02) for w, h in boxes)


@pytest.mark.parametrize("which, head, name", [("bender", "The points from two sides", "bends"),
                                               ("exhaust order", "The route", "with_box")])
@pytest.mark.parametrize("vehicle", VEHICLES)
def test_the_route_in_two_views_is_to_scale(which, head, name, vehicle):
    """Centre lines on paper times the scale, against the points of the vehicle: along and up, along and across."""
    m = making(vehicle)
    points = m.bends.points
    page = next(p for p in printed(which, vehicle)[1] if _scales(p, head))
    scale = _scales(page, head)[0]
    spans = np.ptp(points, axis=0) / scale
    whole = [extent(p) for p in page.paths if extent(p)[0] == pytest.approx(spans[0], abs=0.05)]
    tall = sorted({round(h, 2) for _, h in whole})
    slack = 0.05 if which == "bender" else 1.0
    # a bend cuts its corner, so the smooth line may stand a little lower than the corners
    for v in (1, 2):
        assert any(spans[v] - slack <= h <= spans[v] + 0.05 for h in tall), (spans, tall)
