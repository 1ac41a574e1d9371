"""Cutting-stock problems whose optimum is known.

Kinds of check: published example (5600 mm bars: figures of the encyclopedia article "Cutting stock problem"); from
memory (100 in rolls: Chvatal, Linear Programming, chapter 13; kerf: arithmetic; 11 sizes in bins of 100: a solver's
guide).
"""

import csv
from itertools import pairwise
from pathlib import Path

import pytest

from trialfit.exhaust.bars import fewest_bars, pieces_from_a_bar, ways_to_cut
from trialfit.exhaust.nesting import StickStock, Wanted, first_fit, nest

HERE = Path(__file__).parent


@pytest.fixture(scope="module")
def article():
    with (HERE / "bars_5600.csv").open(encoding="utf-8") as file:
        rows = [r for r in csv.reader(file) if r and not r[0].startswith("#")]
    return [float(r[0]) for r in rows[2:]], [int(r[1]) for r in rows[2:]]


def test_bars_of_5600_mm(article):
    lengths, counts = article
    assert sum(w * n for w, n in zip(lengths, counts)) == 407160
    assert len(ways_to_cut(lengths, 5600.0)) == 308
    plan = fewest_bars(lengths, counts, 5600.0)
    assert (plan.bars, plan.proven) == (73, True)
    assert 100.0 * plan.left_over_mm / (73 * 5600.0) == pytest.approx(0.401, abs=0.001)
    assert ((plan.times @ plan.patterns) >= counts).all()
    assert (plan.patterns @ lengths <= 5600.0).all()


def test_the_same_bars_nested_piece_by_piece(article):
    lengths, counts = article
    pieces = [w for w, n in zip(lengths, counts) for _ in range(n)]
    wanted = [Wanted(number + 1, f"stick {number + 1}", length) for number, length in enumerate(pieces)]
    stock = [StickStock("bar", 60.0, 1.5, 5600.0, 11.0)]
    plan = nest(wanted, stock)
    assert (len(plan.units), plan.cost, plan.proven) == (73, 73 * 11.0, True)
    cut = [c for u in plan.units for c in u.cuts]
    assert sorted(c.piece for c in cut) == [w.number for w in wanted]
    for unit in plan.units:
        ends = sorted((c.from_mm, c.from_mm + c.length_mm) for c in unit.cuts)
        assert all(a[1] <= b[0] + 1e-9 for a, b in pairwise(ends))
        assert ends[-1][1] <= 5600.0 + 1e-6
    assert first_fit(wanted, stock) >= plan.cost


def test_rolls_of_100_in():
    plan = fewest_bars([45.0, 36.0, 31.0, 14.0], [97, 610, 395, 211], 100.0)
    assert (plan.bars, plan.proven) == (453, True)


def test_eleven_sizes_in_bins_of_100():
    sizes = {48: 1, 30: 2, 19: 1, 36: 3, 27: 1, 42: 2, 24: 1}
    assert fewest_bars([float(s) for s in sizes], list(sizes.values()), 100.0).bars == 4


def test_pieces_from_one_bar_with_kerf():
    assert pieces_from_a_bar(6000.0, 740.0, 3.0) == 8.0
    assert len(ways_to_cut([740.0], 6000.0, 3.0)) == 8


def test_refusals():
    with pytest.raises(ValueError, match="a length of 700 mm is wanted, the bar has 600 mm"):
        fewest_bars([700.0], [1], 600.0)
    with pytest.raises(ValueError, match="whole number of 1 or more"):
        fewest_bars([70.0], [0], 600.0)
    with pytest.raises(ValueError, match="more than 100 ways"):
        ways_to_cut([1.0, 2.0, 3.0], 100.0, most=100)
