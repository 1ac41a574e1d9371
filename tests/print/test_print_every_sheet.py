"""Every kind of sheet on both papers: within the margins, nothing over anything, faces embedded, not to be scaled."""

from functools import cache

import pytest
from invented_sheets import LETTER, META, findings, laid_cut_list, picture, solved_survey
from measured_pages import keeps_the_rules, pages

from trialfit.exhaust import cone_wrap, saddle_wrap, wraps
from trialfit.findings import Verdict
from trialfit.sheets import (
    GapBar,
    GapLine,
    Stop,
    book,
    cut_list_leaves,
    cut_list_sheet,
    findings_leaves,
    findings_sheet,
    summary_leaves,
    summary_page,
    survey_leaves,
    survey_sheet,
    wrap_sheets,
)
from trialfit.survey import advise

METAS = {"A4": META, "Letter": LETTER}
STOP = Stop(False, "cut", "The gap at the axle is known to 6 mm and 9 are there.",
            "Measure pad.R to floor.4 once more, both ends seen together.")
READY = Stop(True, "cut", "All five findings this leans on fit.", "It stands on 62 readings.")


def gap_lines():
    return [
        GapLine("exhaust to axle tube", GapBar(9.2, 9.9, 25.0, 3.0), Verdict.CANNOT_TELL, "at the bump stop",
                "take tape pad.R floor.4 again", "exhaust to a moving part: common practice, no source"),
        GapLine("exhaust to floor", GapBar(18.1, 18.4, 30.0, 1.5), Verdict.DOES_NOT_FIT, "at ride height"),
        GapLine("exhaust to tank", GapBar(120.1, 120.9, 38.0, 4.5), Verdict.FITS, "at ride height"),
        GapLine("shaft to rail left", GapBar(341.0, 342.0, 20.0, 4.5), Verdict.FITS, "at the droop stop"),
        GapLine("wheel left to rail left", GapBar(-14.0, -13.5, 20.0, 2.5), Verdict.DOES_NOT_FIT, "rolled"),
        GapLine("damper to spring", GapBar(14.0, 14.5, 0.0, None), Verdict.CANNOT_TELL, "rolled"),
    ]


def _cut_list(meta):
    return cut_list_sheet(laid_cut_list()[1], meta, STOP, ["Who welds it"])


def _wraps(meta):
    extra = [cone_wrap(100.0, 300.0, 400.0, "large cone, invented", 10.0),
             *saddle_wrap(76.2, 63.5, 1.0, 5.0, 180.0, "branch, invented")]
    return wrap_sheets([*wraps(laid_cut_list()[1]), *extra], meta, STOP)


def _survey(meta):
    survey = solved_survey()
    return survey_sheet(survey, advise(survey), meta)


def _findings(meta):
    return findings_sheet(findings(), gap_lines(), meta, READY)


def _summary(meta):
    return summary_page(picture(), meta)


def _book(meta):
    return book([("Summary picture", summary_leaves(picture(), meta)),
                 ("Findings", findings_leaves(findings(), gap_lines(), meta)),
                 ("Survey", survey_leaves(solved_survey(), (), meta)),
                 ("Cut list", cut_list_leaves(laid_cut_list()[1], meta, STOP))], meta)


SHEETS = {"cut list": _cut_list, "wraps": _wraps, "survey": _survey, "findings": _findings, "summary": _summary,
          "book": _book}


@cache
def printed(sheet, paper):
    data = SHEETS[sheet](METAS[paper])
    return data, pages(data)


both = pytest.mark.parametrize("paper", METAS)
every = pytest.mark.parametrize("sheet", SHEETS)


@both
@every
def test_the_rules_of_paper(sheet, paper):
    keeps_the_rules(*printed(sheet, paper))


@both
@every
def test_every_foot(sheet, paper):
    meta, found = METAS[paper], printed(sheet, paper)[1]
    for page in found:
        assert meta.digest[:6] in page.text
        assert meta.digest not in page.text
        assert f"rev {meta.revision}" in page.text
        assert meta.date in page.text
        assert "Numbers from a tape: not an approval." in page.text
        assert meta.load_state in page.text
    if sheet != "book":
        assert [f"page {k + 1} of {len(found)}" in p.text for k, p in enumerate(found)] == [True] * len(found)


@every
def test_same_input_same_bytes(sheet):
    assert SHEETS[sheet](META) == printed(sheet, "A4")[0]


@both
@pytest.mark.parametrize("sheet", ["cut list", "wraps"])
def test_no_page_goes_into_the_shop_without_the_stop(sheet, paper):
    assert all("NOT TO BE CUT FROM YET" in p.text for p in printed(sheet, paper)[1])


@both
def test_cautions_on_the_cut_list(paper):
    text = " ".join(p.text for p in printed("cut list", paper)[1]).replace("\n", " ")
    for words in ("fumes", "Carbon monoxide", "stands", "Local codes", "extinguisher"):
        assert words in text
