"""Where the saw goes: chords by trigonometry, pieces that do not run into each other, and a saw cut between them."""

import math
from itertools import pairwise
from pathlib import Path

import pytest

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.exhaust.nesting import BendStock, StickStock, nest, wanted_of
from trialfit.exhaust.saw_marks import sawn_pieces

EXAMPLES = Path(__file__).parents[2] / "examples"
KERF = 1.5


@pytest.fixture(scope="module", params=("estate", "flatbed"))
def made(request):
    results = run(load(EXAMPLES / request.param / "build.yaml").build, gaps=False)
    cuts, shelf = results.cuts[0], results.routes[0].plan.stock[0]
    stock = [BendStock(shelf.name, cuts.diameter_mm, cuts.wall_mm, shelf.radius_mm, shelf.angle_rad, shelf.leg_mm,
                       shelf.price),
             StickStock("stick, invented", cuts.diameter_mm, cuts.wall_mm, 2000.0, 22.0),
             StickStock("off-cut, invented", cuts.diameter_mm, cuts.wall_mm, 700.0, 0.0, 1)]
    return cuts, nest(wanted_of(cuts), stock, KERF)


def test_every_piece_lies_in_one_unit_with_both_its_ends(made):
    cuts, plan = made
    seen = [s for unit in plan.units for s in sawn_pieces(unit, cuts)]
    assert sorted(s.piece for s in seen) == sorted(p.number for p in cuts.pieces if p.part is None)
    for sawn in seen:
        piece = cuts.pieces[sawn.piece - 1]
        assert {e.joint for e in sawn.edges} == {piece.start, piece.end}


def test_what_lies_between_the_lines_is_the_piece(made):
    """Legs as marked from the free end, and the arc between the lines, add up to the piece's length."""
    cuts, plan = made
    for unit in plan.units:
        for sawn in sawn_pieces(unit, cuts):
            piece = cuts.pieces[sawn.piece - 1]
            low, high = sawn.edges
            if low.at_rad is None and high.at_rad is None and not isinstance(unit.stock, BendStock):
                want = piece.length_to_cut_mm if piece.pie is None else piece.pie.tube_length_mm
                assert high.from_end_mm - low.from_end_mm == pytest.approx(want)
                continue
            stock = unit.stock
            reach = []
            for edge, whole in ((low, 0.0), (high, stock.angle_rad)):
                at = whole if edge.at_rad is None else edge.at_rad if edge.end == 1 else stock.angle_rad - edge.at_rad
                leg = 0.0 if edge.from_end_mm is None else stock.leg_mm - edge.from_end_mm
                reach.append((at, leg))
            long = (reach[1][0] - reach[0][0]) * stock.radius_mm + reach[0][1] + reach[1][1]
            assert long == pytest.approx(piece.length_to_cut_mm, abs=1e-6)


def test_chords_are_those_of_the_two_places_on_the_circle(made):
    cuts, plan = made
    half, told = 0.5 * cuts.diameter_mm, 0
    for unit in plan.units:
        for edge in (e for s in sawn_pieces(unit, cuts) for e in s.edges if e.at_rad is not None):
            for chord, r in ((edge.outside_chord_mm, unit.stock.radius_mm + half),
                             (edge.inside_chord_mm, unit.stock.radius_mm - half)):
                place = (r * math.sin(edge.at_rad), r - r * math.cos(edge.at_rad))
                assert chord == pytest.approx(math.hypot(*place), abs=1e-9)
            told += 1
    assert told >= 3


def _from_first(sawn, k):
    edge = sawn.edges[k]
    return edge.at_rad if edge.end == 1 else sawn.stock_angle_rad - edge.at_rad


def test_a_saw_cut_lies_between_neighbours(made):
    cuts, plan = made
    neighbours = 0
    for unit in plan.units:
        sawn = list(sawn_pieces(unit, cuts))
        for a, b in pairwise(sawn):
            if a.leg != b.leg:
                continue
            if a.edges[1].from_end_mm is not None and b.edges[0].from_end_mm is not None and not a.low_leg_mm:
                assert b.edges[0].from_end_mm - a.edges[1].from_end_mm >= KERF - 1e-6
            elif a.edges[1].at_rad is not None and b.edges[0].at_rad is not None:
                assert (_from_first(b, 0) - _from_first(a, 1)) * unit.stock.radius_mm >= KERF - 1e-6
            neighbours += 1
    assert neighbours >= 3


def test_a_unit_of_another_cut_list_is_named(made):
    from dataclasses import replace

    cuts, plan = made
    with pytest.raises(ValueError, match="which main has not"):
        sawn_pieces(plan.units[0], replace(cuts, pieces=()))
