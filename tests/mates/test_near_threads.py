"""Threads that look alike: each pair refused for the right reason, each right pair let through."""

import math
import re

import pytest

from trialfit.standards.table import table
from trialfit.standards.thread_pairs import same_thread, thread_form, thread_pair

NEAR = [
    # outer, inner, what must be said
    ("M10x1", "3/8-24", "1.058 mm: its flanks are 0.25 mm too big even at its least: it does not start; forced"),
    ("3/8-24", "M10x1", "it starts and binds after about 8 turns and holds on 56 % of its depth only: it strips under"),
    ("M10x1", "M10x1.25", "same diameter, pitch 1.000 mm against 1.250 mm: it catches less than a turn"),
    ("M10x1.25", "M10x1", "same diameter, pitch 1.250 mm against 1.000 mm: it starts and binds after about one turn"),
    ("M10x1.25", "M10x1.5", "same diameter, pitch 1.250 mm against 1.500 mm"),
    ("M12x1.25", "M12x1.5", "same diameter, pitch 1.250 mm against 1.500 mm"),
    ("M12x1.5", "M12x1.75", "same diameter, pitch 1.500 mm against 1.750 mm"),
    ("M14x1.5", "M14x2", "same diameter, pitch 1.500 mm against 2.000 mm"),
    ("7/16-24", "7/16-20", "same diameter, pitch 1.058 mm against 1.270 mm: it catches less than a turn"),
    ("7/16-20", "7/16-24", "same diameter, pitch 1.270 mm against 1.058 mm: it starts and binds after about one turn"),
    ("3/8-24", "3/8-16", "same diameter, pitch 1.058 mm against 1.587 mm"),
    ("1/2-20", "1/2-13", "same diameter, pitch 1.270 mm against 1.954 mm"),
    ("1/2-20", "M12x1.25", "its flanks are 0.37 mm too big even at its least: it does not start; forced, it crosses"),
    ("M12x1.25", "1/2-20", "it turns in to the end and holds on 50 % of its depth only: it strips under load"),
    ("1/2-20", "M12x1.5", "it does not start"),
    ("M12x1.5", "1/2-20", "it starts and binds after about 3 turns and holds on 49 % of its depth only: it strips"),
    ("M12x1.75", "1/2-13", "it starts and binds after about 3 turns"),
    ("5/16-24", "M8x1", "it starts and binds after about 4 turns"),
    ("M8x1", "5/16-24", "it starts and binds after about 2 turns"),
    ("M8x1.25", "5/16-18", "it catches less than a turn"),
    ("5/16-18", "M8x1.25", "it starts and binds after about 2 turns"),
    ("M6x1", "1/4-28", "holds on 64 % of its depth only: it strips under load"),
    ("1/4-20", "M6x1", "it catches less than a turn"),
    ("9/16-18", "M14x1.5", "it does not start"),
    ("M14x1.5", "9/16-18", "it starts and binds after about 4 turns"),
    ("M16x1.5", "5/8-18", "it starts and binds after about 2 turns"),
    ("M18x1.5", "3/4-16", "holds on 41 % of its depth only: it strips under load"),
    ("7/16-20", "M12x1.5", "holds on 54 % of its depth only: it strips under load"),
    ("M6x1", "M8x1.25", "it slides in and holds nothing"),
    ("1/8 NPT", "G1/8", "taper in parallel, flanks of 60 in 55 deg"),
    ("G1/8", "1/8 NPT", "parallel in taper, flanks of 55 in 60 deg"),
    ("1/8 NPT", "M10x1", "taper in parallel, diameter 10.24 mm against 10.00 mm, pitch 0.941 mm against 1.000 mm"),
    ("M10x1", "1/8 NPT", "pitch 1.000 mm against 0.941 mm: it starts and binds after about 2 turns, and leaks"),
    ("G1/8", "M10x1", "flanks of 55 in 60 deg, diameter 9.73 mm against 10.00 mm, pitch 0.907 mm against 1.000 mm"),
    ("M10x1", "G1/8", "flanks of 60 in 55 deg"),
    ("1/4 NPT", "G1/4", "taper in parallel, flanks of 60 in 55 deg"),
    ("G1/4", "1/4 NPT", "it starts and binds after about 2 turns, and leaks"),
    ("1/4 NPT", "M14x1.5", "taper in parallel"),
    ("G1/4", "M14x1.5", "holds on 54 % of its depth only: it strips under load, and leaks"),
    ("1/2 NPT", "Rc1/2", "flanks of 60 in 55 deg"),
    ("1/2 NPT", "Rp1/2", "taper in parallel, flanks of 60 in 55 deg"),
    ("R1/4", "G1/4", "R1/4 is taper and G1/4 parallel and not made to seal: it jams on its first threads, leaks, and"),
    ("G1/4", "Rp1/4", "G1/4 has no seal on its thread and Rp1/4 no face for a washer: it screws in and leaks"),
    ("G1/4", "Rc1/4", "G1/4 is parallel and Rc1/4 taper: it jams in the mouth and leaks"),
    ("1/4 NPT", "1/4 NPSM", "1/4-18 NPT is taper and 1/4-18 NPSM parallel: it jams on its first threads"),
    ("1/4 NPSM", "1/4 NPT", "1/4-18 NPSM is parallel and 1/4-18 NPT taper"),
    ("1/8 NPT", "1/4 NPT", "it slides in and holds nothing"),
    ("1/4 NPT", "1/8 NPT", "it does not start"),
    ("M12x1.5 LH", "M12x1.5", "M12x1.5 is left-hand and M12x1.5 right-hand: it does not start"),
    ("1/2-20", "1/2-20 left hand", "1/2-20 is right-hand and 1/2-20 left-hand: it does not start"),
    ("Rc1/4", "Rc1/4", "Rc1/4 is an inner thread only; the outer thread of that joint is R"),
    ("R1/4", "R1/4", "R1/4 is an outer thread only; say Rp (parallel) or Rc (taper) for the inner one"),
]  # fmt: skip


@pytest.mark.parametrize("outer,inner,said", NEAR, ids=lambda v: v if len(v) < 18 else "")
def test_threads_that_look_alike_are_refused_for_the_right_reason(outer, inner, said):
    same, words = same_thread(outer, inner)
    assert not same
    assert said in words


@pytest.mark.parametrize("outer,inner,said", [
    ("M10x1", "M10x1", ""), ("M10", "M10x1.5", ""), ("7/16-20 UNF", "7/16-20", ""), ("M12x1.5-6g", "M12x1.5-6H", ""),
    ("1/2-20-2A", "1/2-20 UNF 3B", ""), ("M12x1.5 LH", "M12x1.5 left-hand", ""), ("NPTF 1/4", "1/4-18 NPTF", ""),
    ("1/4 NPT", "1/4 NPT", "taper threads seal with sealant on the thread only"),
    ("1/4 NPT", "1/4 NPTF", "only NPTF in NPTF seals dry; this pair needs sealant"),
    ("1/4 NPTF", "1/4 NPT", "only NPTF in NPTF seals dry"),
    ("G1/4", "G1/4", "the thread does not seal; the washer or seat does"),
    ("R1/4", "Rc1/4", "seals on the thread, with sealant"), ("R1/4", "Rp1/4", "seals on the thread, with sealant"),
])  # fmt: skip
def test_one_thread_is_let_through_whatever_way_it_is_written(outer, inner, said):
    same, words = same_thread(outer, inner)
    assert same
    assert (words == "") if said == "" else (said in words)


BOLTS = [row["thread"] for name in ("threads_metric", "threads_unified") for row in table(name).rows]


@pytest.mark.parametrize("thread", BOLTS)
def test_a_thread_is_itself_and_no_other(thread):
    assert same_thread(thread, thread) == (True, "")
    others = [other for other in BOLTS if other != thread]
    assert not any(same_thread(thread, other)[0] for other in others)


def turns_tried(outer: str, inner: str) -> float:
    """Another route: lay the ridges of the bolt in the grooves of the nut one after the other, each with the play along
    the axis that the play on the pitch diameter leaves, until no place is left that serves them all."""
    a, b = thread_form(outer, inside=False), thread_form(inner, inside=True)
    play = (b.mouth_mm - a.lead_mm) / 2.0 * math.tan(math.radians(30.0))
    low, high = -play, play
    for n in range(1, 200):
        off = n * (a.pitch_mm - b.pitch_mm)
        low, high = max(low, off - play), min(high, off + play)
        if low > high:
            return n - 1
    return math.inf


@pytest.mark.parametrize("outer,inner", [
    ("3/8-24", "M10x1"), ("M12x1.25", "1/2-20"), ("M12x1.5", "1/2-20"), ("5/16-24", "M8x1"), ("M14x1.5", "9/16-18"),
    ("M18x1.5", "3/4-16"), ("M10x1.25", "M10x1"), ("7/16-24", "7/16-20"), ("M12x1.75", "1/2-13"),
])  # fmt: skip
def test_the_turns_come_out_when_ridges_are_laid_in_grooves_one_by_one(outer, inner):
    assert math.floor(thread_pair(outer, inner).turns) == turns_tried(outer, inner)


@pytest.mark.parametrize("typed", ["M11x7", "7/16-22", "1/4", "PG7"])
def test_what_is_no_thread_is_refused_and_not_judged(typed):
    with pytest.raises(ValueError, match=re.escape(typed)):
        same_thread("M10x1", typed)
