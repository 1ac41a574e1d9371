"""Verdict marks, gap bars and lengths in words."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trialfit.findings import Verdict, verdict_on
from trialfit.sheets.drawing import Circle, Fill, Stroke, Words, bounds
from trialfit.sheets.lengths import degrees, inch, pair, to_cut, with_doubt
from trialfit.sheets.marks import (
    BEFORE_ZERO_MM,
    WORD,
    GapBar,
    bar_scale,
    gap_bar,
    gap_words,
    verdict_mark,
    verdict_words,
)

ROOM = 140.0


def test_each_verdict_has_its_own_mark_and_its_word():
    drawn = {v: tuple(verdict_mark(v, (0.0, 0.0))) for v in Verdict}
    assert len(set(drawn.values())) == len(Verdict)
    for verdict in Verdict:
        words = [m.text for m in verdict_words(verdict, (0.0, 0.0)) if isinstance(m, Words)]
        assert words == [WORD[verdict]]
        assert words[0].lower() == str(verdict)


def test_marks_are_the_ones_of_the_house():
    assert verdict_mark(Verdict.FITS, (0.0, 0.0)) == [Circle((0.0, 0.0), 1.8, fill=Fill.BLACK)]
    half = verdict_mark(Verdict.FITS_AFTER_WORK, (0.0, 0.0))[1]
    left, _, right, _ = bounds([half])
    assert left == pytest.approx(-1.8)
    assert right == pytest.approx(0.0, abs=1e-9)
    square, *cross = verdict_mark(Verdict.DOES_NOT_FIT, (0.0, 0.0))
    assert square.closed
    assert len(square.points) == 4
    assert len(cross) == 2
    diamond, dot = verdict_mark(Verdict.CANNOT_TELL, (0.0, 0.0))
    assert diamond.fill is Fill.WHITE
    assert isinstance(dot, Circle)
    assert dot.fill is Fill.BLACK


def _black(marks):
    """The doubt bar's ends on paper [mm]."""
    bars = [m for m in marks
            if isinstance(m, Stroke) and m.kind is None and m.fill is Fill.BLACK and len(m.points) == 4]
    left = min(p[0] for m in bars for p in m.points)
    return left - BEFORE_ZERO_MM, max(p[0] for m in bars for p in m.points) - BEFORE_ZERO_MM


@given(st.floats(5.0, 60.0), st.floats(0.0, 2.0), st.floats(10.0, 50.0), st.floats(0.3, 8.0))
@settings(max_examples=80, deadline=None)
def test_the_bar_says_what_the_verdict_says(lower, more, required, sd):
    """Clear of the hatching: fits; all within it: does not fit; else: cannot tell (the house's rule of decision)."""
    bar = GapBar(lower, lower + more, required, sd)
    left, right = _black(gap_bar(bar, (0.0, 0.0), ROOM, 1))
    verdict = verdict_on(bar.lower_mm, bar.upper_mm, required, sd)
    if verdict is Verdict.FITS:
        assert left >= required - 1e-9
    elif verdict is Verdict.DOES_NOT_FIT:
        assert right < required
    else:
        assert left < required <= right + 1e-9


@pytest.mark.parametrize("bar", [
    GapBar(9.0, 9.5, 25.0, 3.0), GapBar(-90.0, -80.0, 25.0, 3.0), GapBar(400.0, 400.5, 38.0, 4.0),
    GapBar(5.0, 5.0, 0.0, None), GapBar(30.0, 300.0, 25.0, 40.0)])
def test_a_bar_keeps_to_its_room(bar):
    left, low, right, high = bounds(gap_bar(bar, (0.0, 0.0), ROOM, bar_scale([bar], ROOM)))
    assert left >= -1e-9
    assert right <= ROOM + 1e-9
    assert low >= -6.0
    assert high <= 6.0


def test_scale_is_full_size_where_the_wish_goes_in():
    assert bar_scale([GapBar(9.0, 9.5, 25.0, 3.0)], ROOM) == 1
    assert bar_scale([GapBar(9.0, 9.5, 90.0, 3.0)], ROOM) == 2
    assert bar_scale([], ROOM) == 1


@pytest.mark.parametrize("bar, words", [
    (GapBar(31.2, 31.9, 25.0, 3.0), "31 mm, give or take 6; wanted 25"),
    (GapBar(31.2, 31.9, 25.0, None), "31 mm, doubt not known; wanted 25"),
    (GapBar(-14.0, -13.5, 20.0, 2.5), "into each other by 14 mm, give or take 5; wanted 20"),
    (GapBar(-14.0, -13.5, 20.0, None), "into each other by 14 mm, doubt not known; wanted 20"),
])
def test_gap_in_words(bar, words):
    assert gap_words(bar) == words


def test_lengths_say_no_more_than_is_known():
    assert with_doubt(1287.34, 1.3) == "1287 ± 3 mm"
    assert with_doubt(100.0, 0.0) == "100.0 mm"
    assert with_doubt(-0.01, None) == "0.0 mm"
    assert to_cut(399.3, 2.01) == "399.3 ± 4 mm"
    assert pair(88.9) == ("88.9 mm", "3 1/2 in")
    assert inch(1286.6) == "50 21/32 in −0.1 mm"
    assert degrees(-0.5) == "−28.6°"


@given(st.floats(0.01, 40.0))
def test_a_doubt_is_never_rounded_down(sd):
    shown = float(with_doubt(1000.0, sd).split("± ")[1].removesuffix(" mm")) if "±" in with_doubt(1000.0, sd) else 0.05
    assert shown >= 1.959963984540054 * sd - 1e-6
