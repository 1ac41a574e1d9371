"""The survey and the findings on paper, and what flows down a page."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from invented_sheets import META, findings, solved_survey
from measured_pages import pages

from trialfit.findings import Verdict, worst_first
from trialfit.sheets import GapBar, GapLine, Stop, findings_sheet, survey_sheet
from trialfit.sheets.drawing import TEXT, bounds
from trialfit.sheets.lengths import inch, minus
from trialfit.sheets.paper import Column, Flow, Run, broken, fitted, paper_called
from trialfit.survey import advise


@cache
def survey():
    return solved_survey()


@cache
def survey_pages():
    return pages(survey_sheet(survey(), advise(survey()), META))


def _flat(found):
    return " ".join(" ".join(p.text for p in found).split())


def test_misread_stands_first_with_its_guess_and_a_box():
    page = survey_pages()[0]
    (suspect,) = survey().suspects
    assert suspect.reading in page.text
    assert "A likely slip: one foot too long." in page.text
    heads = {w.text: w.box[3] for w in page.words}
    assert heads["Take these again first"] > heads["Still missing"] > heads["What to read next, best first"]


def test_every_hardpoint_in_both_systems():
    text = _flat(survey_pages())
    for name in survey().names:
        x, y, z = survey().point(name)
        side = "right" if y > 0 else "left"
        assert f"{minus(x, 1)} mm" in text
        assert f"{minus(abs(y), 1)} mm {side}" in text
        assert f"{minus(z, 1)} mm" in text
        assert all(inch(abs(v), 32) in text for v in (x, y, z))


def test_unsolved_unchecked_and_advice_are_named():
    text = _flat(survey_pages())
    assert "measure offset bat.c and station bat.c" in text
    assert advise(survey())[0].words in text
    assert "tank.a" in text
    assert "axle tube" in text
    assert "76.2" in text


def test_survey_without_anything_is_one_page_that_says_so():
    from trialfit.survey import solve
    from trialfit.vehicle import Build, Settings

    (page,) = pages(survey_sheet(solve(Build("empty", "", Settings(), ())), (), META))
    assert "0 hardpoints from 0 readings" in page.text


def test_findings_worst_first_with_marks_words_and_counts():
    found = pages(findings_sheet(findings(), (), META))
    names = [w.text for p in found for w in sorted(p.words, key=lambda w: -w.box[3]) if w.face.endswith("Mono-Regular")]
    told = [n for n in names if "." in n and not n.startswith(("rev", "page"))]
    assert told == [f.name for f in worst_first(findings())]
    text = _flat(found)
    assert "Do: Measure a height and an offset of bat.c." in text
    assert "bat.c stands on one reading only." in text
    assert "estate.yaml:212:5" in text


def test_the_head_counts_what_stands_on_the_list_of_joints_too():
    fit = sum(f.verdict is Verdict.FITS for f in findings())
    words = " ".join(pages(findings_sheet(findings(), (), META, elsewhere=40))[0].text.split())
    assert f" Fits {fit + 40} " in words
    assert "40 of those that fit are about joints" in words
    assert "are about joints" not in pages(findings_sheet(findings(), (), META))[0].text


def test_gaps_worst_first_by_what_is_missing():
    lines = [GapLine("a to b", GapBar(30.0, 30.5, 25.0, 1.0), Verdict.FITS),
             GapLine("c to d", GapBar(10.0, 10.5, 25.0, 1.0), Verdict.DOES_NOT_FIT),
             GapLine("e to f", GapBar(24.0, 26.0, 25.0, 3.0), Verdict.CANNOT_TELL),
             GapLine("g to h", GapBar(-5.0, -4.0, 25.0, 1.0), Verdict.DOES_NOT_FIT)]
    (page,) = pages(findings_sheet((), lines, META))
    height = {w.text: w.box[3] for w in page.words}
    assert height["g to h"] > height["c to d"] > height["e to f"] > height["a to b"]
    assert "Drawn full size" in page.text


def test_findings_without_any_say_so():
    (page,) = pages(findings_sheet((), (), META))
    assert "Nothing has been looked at yet" in page.text


def test_unknown_paper_is_refused_by_name():
    with pytest.raises(ValueError, match="'A3' is not known: one of A4, Letter"):
        paper_called("A3")


@pytest.mark.parametrize("stop, head", [
    (Stop(False, "cut", "No."), "NOT TO BE CUT FROM YET"), (Stop(True, "welded", "Yes."), "READY TO BE WELDED FROM")])
def test_stop_bar_has_its_height_and_comes_again_on_each_page(stop, head):
    flow = Flow(META, "invented")
    flow.stop_bar(stop)
    (bar,) = [m for m in flow.leaf.marks if hasattr(m, "closed")]
    left, low, right, high = bounds([bar])
    assert high - low == pytest.approx(14.0, abs=0.9)
    assert right - left == pytest.approx(flow.wide, abs=0.9)
    flow.next_leaf()
    assert head in [getattr(m, "text", "") for m in flow.leaf.marks]


def test_a_long_reason_makes_the_bar_taller_not_the_words_longer():
    flow = Flow(META, "invented")
    flow.stop_bar(Stop(False, "cut", "word " * 80))
    assert all(w.style.width(w.text) <= flow.wide for w in flow.leaf.marks if hasattr(w, "text"))
    (bar,) = [m for m in flow.leaf.marks if hasattr(m, "closed")]
    assert bounds([bar])[3] - bounds([bar])[1] > 18.0


def test_breaking_loses_no_word():
    text = "from the centre of the front cap to the centre of the rear cap, axle loaded at ride height " * 3
    lines = broken(text, TEXT, 60.0)
    assert " ".join(lines).split() == text.split()
    assert all(TEXT.width(part) <= 60.0 for part in lines)
    assert "".join(broken("x" * 300, TEXT, 30.0)) == "x" * 300
    assert TEXT.width(fitted(text, TEXT, 50.0)) <= 50.0


def test_a_table_brings_its_head_to_every_page():
    flow = Flow(META, "invented")
    flow.table((Column("Reading", 4.0), Column("mm", 2.0, "right")), [(f"row {k}", Run("12.0")) for k in range(120)])
    leaves = flow.finish()
    assert len(leaves) > 2
    for leaf in leaves:
        assert sum(getattr(m, "text", "") == "Reading" for m in leaf.marks) == 1
    rows = [m.text for leaf in leaves for m in leaf.marks if getattr(m, "text", "").startswith("row ")]
    assert rows == [f"row {k}" for k in range(120)]


def test_letter_and_a4_say_the_same():
    words = []
    for paper in ("A4", "Letter"):
        found = pages(survey_sheet(survey(), advise(survey()), replace(META, paper=paper)))
        words.append(sorted({w for p in found for w in " ".join(p.text.split()).split()
                             if w not in ("page", "of", "continued", "Survey,") and not w.isdigit()}))
    assert words[0] == words[1]
    assert np.all([len(w) > 50 for w in words])
