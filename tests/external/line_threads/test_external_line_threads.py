"""Threads of tube and hose ends, from published charts and standards. Kind of check, row by row, in ``threads.csv``."""

import csv
from pathlib import Path

import pytest

from trialfit.standards.hose_ends import end_family, standard_end, standard_ends
from trialfit.standards.thread_pairs import same_thread

LINES = Path(__file__).with_name("threads.csv").read_text(encoding="utf-8").splitlines()
ROWS = list(csv.DictReader(line for line in LINES if not line.startswith("#")))
KINDS = {"standard's table", "from memory"}


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['key']} {r['family']} {r['tube']} {r['thread']}")
def test_thread_of_a_family(row):
    assert row["kind"] in KINDS
    if row["tube"]:
        assert standard_end(row["family"], row["tube"], "male").thread == row["thread"]
    else:
        assert row["thread"] in {e.thread for e in standard_ends() if e.family == row["family"]}


def test_a_chart_holds_all_threads_of_its_family():
    """D08-01 and D08-02 list every size of the two families that is made; nothing else may be held."""
    for key, family in (("D08-01", "45 flare"), ("D08-02", "inverted flare")):
        listed = {r["thread"] for r in ROWS if r["key"] == key}
        assert {e.thread for e in standard_ends() if e.family == family} <= listed


def test_enough_is_checked():
    assert sum(r["kind"] == "standard's table" for r in ROWS) >= 45


@pytest.mark.parametrize("family,deg", [("45 flare", 45.0), ("inverted flare", 45.0), ("37 flare", 37.0)])
def test_cone_of_a_family(family, deg):
    """D08-10: SAE double flare 45 deg, 37 deg systems 37 deg."""
    assert end_family(family).cone_deg == deg


@pytest.mark.parametrize("outside,inside", [("M10x1", "3/8-24"), ("3/8-24", "M10x1")])
def test_the_brake_nuts_that_cross_thread(outside, inside):
    """D08-08 and a supplier's text: either nut can be started in the other's hole and strips there."""
    same, reason = same_thread(outside, inside)
    assert not same
    assert "strip" in reason or "cuts both threads" in reason


@pytest.mark.parametrize("size", ["1/8 in", "3/16 in", "1/4 in", "5/16 in", "1/2 in", "5/8 in"])
def test_sizes_where_37_and_45_deg_fittings_screw_together(size):
    """A forum of instrument makers, on SAE J514 and J512: -02, -03, -04, -05, -08 and -10 have the same threads."""
    assert standard_end("37 flare", size, "male").thread == standard_end("45 flare", size, "male").thread


@pytest.mark.parametrize("size", ["3/8 in", "3/4 in"])
def test_sizes_where_they_do_not(size):
    assert standard_end("37 flare", size, "male").thread != standard_end("45 flare", size, "male").thread


@pytest.mark.parametrize("size", ["1/4 in", "3/8 in", "1/2 in", "3/4 in", "1 in"])
def test_37_deg_and_o_ring_boss_have_one_thread(size):
    """SAE J514 as listed in a supplier's chart: one thread column for both."""
    assert standard_end("37 flare", size, "male").thread == standard_end("O-ring boss", size, "male").thread
