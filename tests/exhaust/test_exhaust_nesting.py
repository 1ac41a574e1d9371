"""Which stock is bought and which piece is cut from where: never dearer than the plain rule, never impossible."""

import itertools
import math
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.exhaust.nesting import (
    BendStock,
    NestingError,
    StickStock,
    Wanted,
    first_fit,
    nest,
    wanted_of,
)

EXAMPLES = Path(__file__).parents[2] / "examples"
U_BEND = BendStock("U-bend", 63.5, 1.5, 95.25, math.pi, 100.0, 18.0)
NINETY = BendStock("90", 63.5, 1.5, 95.25, math.pi / 2.0, 100.0, 11.0)
STICK = StickStock("stick", 63.5, 1.5, 2000.0, 22.0)
KERF = 2.0


def bend(number, deg, before=0.0, after=0.0, radius=95.25):
    return Wanted(number, f"bend {number}", 0.0, math.radians(deg), radius, before, after)


def stick(number, mm):
    return Wanted(number, f"stick {number}", mm)


def hold(plan, wanted, kerf):
    """Every piece once, of its own size, no two in one place, a kerf between any two cuts."""
    assert sorted(c.piece for u in plan.units for c in u.cuts) == sorted(p.number for p in wanted)
    known = {p.number: p for p in wanted}
    for unit in plan.units:
        s = unit.stock
        bar = isinstance(s, StickStock)
        arcs = sorted((c for c in unit.cuts if c.to_rad > c.from_rad), key=lambda c: c.from_rad)
        for a, b in itertools.pairwise(arcs):
            assert b.from_rad - a.to_rad >= kerf / s.radius_mm - 1e-6
        used = [[], []]
        for c in arcs:
            piece = known[c.piece]
            assert c.to_rad - c.from_rad == pytest.approx(piece.angle_rad, abs=math.radians(0.51))
            assert -1e-9 <= c.from_rad <= c.to_rad <= s.angle_rad + 1e-9
            before, after = piece.leg_before_mm, piece.leg_after_mm
            if c.flipped:
                before, after = after, before
            if before:
                assert c.from_rad <= 1e-9
                used[0].append((s.leg_mm - before, s.leg_mm))
            if after:
                assert c.to_rad >= s.angle_rad - 1e-9
                used[1].append((s.leg_mm - after, s.leg_mm))
        for c in unit.cuts:
            if c.to_rad == c.from_rad:
                assert c.length_mm == known[c.piece].length_mm
                used[max(c.leg - 1, 0)].append((c.from_mm, c.from_mm + c.length_mm))
        for spans in used:
            spans.sort()
            assert not spans or (spans[0][0] >= -1e-9 and spans[-1][1] <= (s.length_mm if bar else s.leg_mm) + 1e-6)
            for a, b in itertools.pairwise(spans):
                assert b[0] - a[1] >= kerf - 1e-6


def test_two_bends_of_seventy_come_from_one_u_bend_and_their_legs_give_the_short_sticks():
    wanted = (bend(1, 70.0, before=80.0), bend(2, 70.0, after=60.0), stick(3, 30.0))
    plan = nest(wanted, (U_BEND, NINETY, STICK), KERF)
    assert [u.stock.name for u in plan.units] == ["U-bend"]
    assert (plan.cost, plan.proven) == (18.0, True)
    hold(plan, wanted, KERF)
    assert plan.of(3)[1].leg in (1, 2)
    assert math.degrees(plan.units[0].left_rad) == pytest.approx(40.0 - 2 * math.degrees(KERF / 95.25), abs=0.01)


def test_the_kerf_decides_whether_two_nineties_come_from_a_u_bend():
    wanted = (bend(1, 90.0), bend(2, 90.0))
    assert nest(wanted, (U_BEND,), 0.0).cost == 18.0
    assert nest(wanted, (U_BEND,), KERF).cost == 36.0


def test_a_bend_that_keeps_both_legs_takes_a_whole_stock_bend():
    both = bend(1, 90.0, 100.0, 50.0)
    plan = nest((both,), (U_BEND, NINETY), KERF)
    assert plan.units[0].stock is NINETY
    hold(plan, (both,), KERF)
    with pytest.raises(NestingError, match="keeps both legs, so it needs a stock bend of just that angle") as caught:
        nest((both,), (U_BEND,), KERF)
    assert caught.value.pieces == (1,)


def test_the_shelf_goes_first_and_runs_out():
    shelf = BendStock("90 on the shelf", 63.5, 1.5, 95.25, math.pi / 2.0, 100.0, 0.0, 1)
    wanted = (bend(1, 60.0), bend(2, 60.0))
    plan = nest(wanted, (shelf, NINETY), KERF)
    assert sorted(u.stock.name for u in plan.units) == ["90", "90 on the shelf"]
    assert plan.cost == 11.0
    with pytest.raises(NestingError, match="list more bends or sticks"):
        nest(wanted, (shelf,), KERF)


def test_what_no_stock_gives_is_named_with_the_nearest_that_would():
    for piece, words in (
        (stick(4, 2500.0), "stick 4 (piece 4) is 2500.0 mm long and the longest straight in stock 2000 mm"),
        (bend(5, 40.0, radius=63.5), "at a radius of 63.5 mm, and the nearest is U-bend at 95.25 mm"),
        (bend(6, 181.0), "U-bend turns 180 deg: list a wider bend or weld two"),
        (bend(7, 45.0, before=120.0), "keeps a leg of 120.0 mm; the longest leg in stock is 100 mm"),
    ):
        with pytest.raises(NestingError) as caught:
            nest((piece,), (U_BEND, STICK), KERF)
        assert words in str(caught.value)
        assert caught.value.pieces == (piece.number,)
    with pytest.raises(NestingError, match="no bend is in stock"):
        nest((bend(1, 30.0),), (STICK,), KERF)
    with pytest.raises(ValueError, match="a kerf of 25 mm is out of range"):
        nest((stick(1, 30.0),), (STICK,), 25.0)
    assert nest((), (STICK,), KERF).units == ()


pieces = st.lists(st.one_of(
    st.tuples(st.just("stick"), st.floats(10.0, 600.0)),
    st.tuples(st.just("bend"), st.floats(5.0, 90.0), st.sampled_from((0.0, 0.0, 35.0, 100.0)), st.booleans()),
), min_size=1, max_size=7)


def made(drawn):
    found = []
    for number, one in enumerate(drawn, 1):
        if one[0] == "stick":
            found.append(stick(number, one[1]))
        else:
            found.append(bend(number, one[1], *((one[2], 0.0) if one[3] else (0.0, one[2]))))
    return tuple(found)


@settings(max_examples=40, deadline=None)
@given(pieces)
def test_the_plan_can_be_cut_is_proved_and_never_dearer_than_the_plain_rule(drawn):
    wanted, stock = made(drawn), (U_BEND, NINETY, STICK)
    plan = nest(wanted, stock, KERF)
    hold(plan, wanted, KERF)
    assert plan.proven
    assert plan.cost <= first_fit(wanted, stock, KERF) + 1e-9


def brute_sticks(lengths, bar, kerf):
    """Fewest bars by trying every way to share the pieces out."""
    best = len(lengths)
    for shares in itertools.product(range(len(lengths)), repeat=len(lengths)):
        bins = {}
        for length, share in zip(lengths, shares):
            bins[share] = bins.get(share, -kerf) + length + kerf
        if all(v <= bar + 1e-9 for v in bins.values()):
            best = min(best, len(bins))
    return best


@settings(max_examples=15, deadline=None)
@given(st.lists(st.floats(100.0, 1100.0), min_size=1, max_size=6))
def test_sticks_agree_with_trying_everything(lengths):
    wanted = tuple(stick(k, v) for k, v in enumerate(lengths, 1))
    assert len(nest(wanted, (STICK,), KERF).units) == brute_sticks(lengths, 2000.0, KERF)


@pytest.mark.parametrize("example", ("estate", "flatbed"))
def test_the_examples_cut_lists_are_nested_to_proof(example):
    cuts = run(load(EXAMPLES / example / "build.yaml").build, gaps=False).cuts[0]
    wanted = wanted_of(cuts)
    d, w = cuts.diameter_mm, cuts.wall_mm
    radii = sorted({p.radius_mm for p in wanted if p.is_bend})
    bends = (BendStock(f"U {r:g}", d, w, r, math.pi, 120.0, 18.0) for r in radii)
    stock = (*bends, StickStock("stick", d, w, 2000.0, 22.0))
    plan = nest(wanted, stock, KERF)
    hold(plan, wanted, KERF)
    assert plan.proven
    assert plan.cost <= first_fit(wanted, stock, KERF)
