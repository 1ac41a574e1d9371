"""What one more reading does: a square of 600 mm, its diagonals by Pythagoras."""

import pytest

from trialfit.buildfile import read
from trialfit.findings import Verdict
from trialfit.survey import solve
from trialfit.survey.taken import taken

SQUARE = [
    "station a 1000 mm", "offset a 300 mm left", "height a 400 mm", "station b 1600 mm", "offset b 300 mm left",
    "height b 400 mm", "station c 1000 mm", "offset c 300 mm right", "height c 400 mm", "station d 1600 mm",
    "offset d 300 mm right", "height d 400 mm", "tape a c 600 mm", "tape b d 600 mm", "tape b c 848.5 mm",
    "tape a d 848.5 mm",
]


def survey(*more: str):
    return solve(read("readings:\n" + "".join(f"  - {line}\n" for line in (*SQUARE, *more))).build)


def test_one_that_agrees_makes_its_points_surer():
    said = taken(survey(), survey("tape a b 600 mm"), "tape a-b")
    assert said.verdict is Verdict.FITS
    assert said.head == "It agrees."
    assert all(k.after_mm <= k.before_mm for k in said.known)
    # the tape lies level: the heights, now the weakest, are as they were
    assert all("as before" in d for d in said.doubts)
    twice = survey("height a 400 mm")
    again = taken(survey(), twice, twice.build.readings[-1].identity)
    assert "a is now known to" in again.doubts[0]
    assert again.known[0].after_mm < again.known[0].before_mm


def test_one_that_is_98_mm_out_is_told_by_that_much():
    said = taken(survey(), survey("tape a b 698 mm"), "tape a-b")
    assert said.verdict is Verdict.DOES_NOT_FIT
    assert said.suspect is not None
    assert said.suspect.off == pytest.approx(98.0, abs=4.0)
    assert "too long against" in said.says


def test_one_of_two_that_fight_is_not_blamed():
    lines = ["station a 1000 mm", "offset a 0 mm", "height a 400 mm", "station b 1600 mm", "offset b 0 mm",
             "height b 400 mm"]
    before, after = (solve(read("readings:\n" + "".join(f"  - {x}\n" for x in rows)).build)
                     for rows in (lines, [*lines, "tape a b 660 mm"]))
    said = taken(before, after, "tape a-b")
    assert said.verdict is Verdict.CANNOT_TELL
    assert "one of these is wrong" in said.says


def test_a_repeat_that_does_not_repeat_is_told():
    said = taken(survey(), survey("tape a b 600 mm, 660 mm"), "tape a-b")
    assert said.verdict is Verdict.CANNOT_TELL
    assert said.head == "It does not repeat."


def test_a_point_gets_its_place_with_its_last_reading_and_what_is_missing_is_said():
    first = survey("station e 2000 mm")
    said = taken(survey(), first, "station e")
    assert said.verdict is Verdict.CANNOT_TELL
    assert said.next_reading is None
    assert "offset" in said.next_words
    assert "height" in said.next_words
    last = taken(first, survey("station e 2000 mm", "offset e 10 mm right", "height e 300 mm"), "height e")
    assert "e has its place now" in last.doubts[0]
    assert last.head == "Nothing checks it yet."


def test_an_unknown_reading_is_refused():
    with pytest.raises(KeyError, match="tape x-y"):
        taken(None, survey(), "tape x-y")
