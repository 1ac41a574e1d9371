"""A universal joint's caps in a yoke: sizes, clips, series and combination joints."""

import pytest

from trialfit.findings import Verdict
from trialfit.mates import Joint
from trialfit.mates.yoke_joint import judge
from trialfit.parts import Fact, Port
from trialfit.parts.driveline_ports import PORTS
from trialfit.standards.joint_series import series_called

FITS, WORK, NOT, OPEN = Verdict.FITS, Verdict.FITS_AFTER_WORK, Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL
# series as in the packaged table: cap and span in inches
SIZES = {"1310": (1.062, 3.219), "1330": (1.062, 3.625), "1350": (1.188, 3.625), "1410": (1.188, 4.188)}


def inch(value: float, sd: float = 0.05) -> Fact:
    return Fact(25.4 * value, sd, "calliper")


def ears(series: str, /, **more) -> Port:
    cap, width = SIZES[series]
    values = {"series": series, "cap bore": inch(cap), "width": inch(width), "clips": "outside",
        "retention": "straps", **more}
    return Port({k: v for k, v in values.items() if v is not None}, "yoke", "ears")


def caps(series: str, /, **more) -> Port:
    cap, span = SIZES[series]
    values = {"series": series, "cap": inch(cap), "span": inch(span), "clips": "outside", **more}
    return Port({k: v for k, v in values.items() if v is not None}, "joint caps", "caps")


def told(yoke: Port, cross: Port) -> dict:
    return {a.question: a for a in judge(Joint({}, "rear joint", "joint in yoke", yoke, cross, "pinion yoke", "joint"))}


@pytest.mark.parametrize("series", SIZES)
def test_a_joint_of_the_yokes_series_fits(series):
    assert {a.verdict for a in told(ears(series), caps(series)).values()} == {FITS}


def test_the_ports_keys_are_those_of_their_kinds():
    kinds = {p.name: {ask.key for ask in p.asks} for p in PORTS}
    assert set(ears("1310").values) == kinds["yoke"]
    assert set(caps("1310").values) == kinds["joint caps"]


@pytest.mark.parametrize("yoke,cross,question,words", [
    ("1330", "1310", "span", "slides 10.31 mm endways"),
    ("1310", "1330", "span", "do not go between the tabs"),
    ("1350", "1330", "cap diameter", "3.20 mm loose"),
    ("1330", "1350", "cap diameter", "do not go in"),
])  # fmt: skip
def test_series_that_share_one_size_are_caught_by_the_other(yoke, cross, question, words):
    answers = told(ears(yoke), caps(cross))
    assert answers[question].verdict is WORK
    assert words in answers[question].reason
    other = "cap diameter" if question == "span" else "span"
    assert answers[other].verdict is FITS
    low, high = sorted((yoke, cross))
    assert f"combination joint {low} / {high}" in answers["series"].remedy
    assert "alike" in answers["series"].reason


def test_a_combination_joint_is_named_with_what_it_bears():
    (work,) = told(ears("1350"), caps("1310"))["series"].works
    assert work.kind == "exchange"
    assert "it bears what 1310 bears" in work.words
    assert "welding the caps" in work.forbidden


def test_inside_clips_do_not_go_in_a_yoke_for_outside_ones():
    answers = told(ears("1310"), caps("1310", clips="inside"))
    assert answers["clips"].verdict is NOT
    assert "nothing would hold the caps endways" in answers["clips"].reason


def test_a_name_that_the_calliper_contradicts_is_not_believed():
    answers = told(ears("1310", series="1330"), caps("1330"))
    assert answers["series"].verdict is OPEN
    assert "it is called 1330" in answers["series"].reason
    assert "those of 1310" in answers["series"].reason


def test_without_names_the_sizes_tell_the_series():
    answers = told(ears("1410", series=None), caps("1350", series=None))
    assert "the yoke is 1410, the joint 1350" in answers["series"].reason


def test_a_series_that_is_not_listed_cannot_be_told():
    answers = told(ears("1310", series="7260", width=inch(2.7)), caps("1310"))
    assert answers["series"].verdict is OPEN
    assert "7260 is not in the table" in answers["series"].reason


@pytest.mark.parametrize("gone,question", [("cap bore", "cap diameter"), ("width", "span"), ("clips", "clips"),
                                           ("retention", "retention")])  # fmt: skip
def test_what_is_missing_is_asked_for(gone, question):
    answer = told(ears("1310", **{gone: None}), caps("1310"))[question]
    assert answer.verdict is OPEN
    assert answer.measure


@pytest.mark.parametrize("held,words", [("straps", "used once"), ("u-bolts", "evenly"), ("full round", "pressed")])
def test_retention_says_what_is_replaced(held, words):
    assert words in told(ears("1310", retention=held), caps("1310"))["retention"].reason


def test_a_tape_is_too_coarse_for_a_cap():
    answer = told(ears("1310"), caps("1310", cap=inch(1.062, 0.5)))["cap diameter"]
    assert answer.verdict is OPEN
    assert "it would be settled" in answer.measure


def test_the_table_is_read_in_millimetres():
    assert series_called("1310").cap_mm == pytest.approx(26.97, abs=0.01)
