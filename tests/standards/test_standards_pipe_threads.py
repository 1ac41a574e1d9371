"""Pipe threads: how they are read, their geometry by another route, and refusals."""

import re

import pytest

from trialfit.standards.pipe_threads import is_pipe_thread, pipe_thread, pipe_thread_useful_length
from trialfit.standards.table import table

NPT = table("pipe_threads_npt").rows


@pytest.mark.parametrize("typed,name", [
    ("1/4 NPT", "1/4-18 NPT"), ("1/4-18 NPT", "1/4-18 NPT"), ("NPT 1/4", "1/4-18 NPT"), ("1/8-27 NPTF", "1/8-27 NPTF"),
    ("1/2 NPSM", "1/2-14 NPSM"), ("G1/4", "G1/4"), ("G 1/4 A", "G1/4"), ("1/4 BSPP", "G1/4"), ("1/8 bspt", "R1/8"),
    ("r1/8", "R1/8"), ("rc 3/8", "Rc3/8"), ("Rp1/2", "Rp1/2"), ("1 1/4 NPT", "1-1/4-11.5 NPT"), ("G1-1/4", "G1-1/4"),
    ('1/4" NPT', "1/4-18 NPT"), ("1 NPT", "1-11.5 NPT"),
])  # fmt: skip
def test_a_pipe_thread_is_read(typed, name):
    assert is_pipe_thread(typed)
    assert pipe_thread(typed).name == name


@pytest.mark.parametrize("typed", ["1/4-28", "M10x1", "7/16-20 UNF", "R", "1/4"])
def test_what_is_no_pipe_thread(typed):
    assert not is_pipe_thread(typed)


@pytest.mark.parametrize("typed,said", [
    ("1/4-20 NPT", "'1/4-20 NPT' has 20 threads per inch; 1/4-18 NPT has 18"),
    ("5/16 NPT", "no pipe thread '5/16 NPT' is in the table; nearest: "),
    ("R5/8", "the standard has no R5/8; it has G5/8"),
    ("M10x1", "'M10x1' is no pipe thread; write 1/4 NPT, G1/4, R1/4, Rp1/4 or Rc1/4"),
])  # fmt: skip
def test_a_pipe_thread_is_refused(typed, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        pipe_thread(typed)


@pytest.mark.parametrize("row", NPT, ids=lambda row: row["size"])
def test_the_small_end_comes_out_by_both_formulas_of_the_standard(row):
    # E0 = D - (0.05 D + 1.1) p, and E1 - L1 / 16 from the printed columns
    d, p = float(row["pipe_in"]), 1.0 / float(row["per_inch"])
    small = pipe_thread(f"{row['size']} NPT").small_end_mm / 25.4
    assert small == pytest.approx(d - (0.05 * d + 1.1) * p, abs=3e-5)


def test_a_parallel_thread_has_no_taper_and_no_useful_length():
    assert pipe_thread("G1/4").small_end_mm == pipe_thread("G1/4").pitch_diameter_mm
    assert not pipe_thread("1/4 NPSM").taper
    with pytest.raises(ValueError, match="G1/4 is a parallel thread"):
        pipe_thread_useful_length("G1/4")


@pytest.mark.parametrize("typed", ["G1/8", "G1/4", "G1/2", "Rc1/4", "Rp3/8", "1/8 NPT", "1/4 NPT", "3/8 NPT"])
def test_a_tap_drill_lies_between_the_crests_of_the_hole_and_the_pitch_line(typed):
    thread = pipe_thread(typed)
    deep = 0.8 if thread.angle_deg == 60.0 else 0.640327
    least = thread.pitch_diameter_mm - deep * thread.pitch_mm - (thread.gauge_mm / 16.0 if thread.taper else 0.0)
    assert least - 0.15 < thread.tap_drill_mm < thread.pitch_diameter_mm
