"""Flange on flange: pilots, patterns, bolts, edges and grip."""

import math

import pytest

from trialfit.findings import Verdict
from trialfit.mates import Joint, Layer
from trialfit.mates.flanges import judge
from trialfit.parts import Fact, Port
from trialfit.parts.driveline_ports import PORTS

FITS, WORK, NOT, OPEN = Verdict.FITS, Verdict.FITS_AFTER_WORK, Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL


def mm(value: float, sd: float = 0.02) -> Fact:
    return Fact(value, sd)


def count(n: int) -> Fact:
    return Fact(float(n), 0.0)


MALE = {"pilot": mm(57.15, 0.002), "pilot form": "male", "pilot height": mm(2.0), "bolts": count(4),
    "bolt circle": mm(95.25),
        "hole": mm(10.0), "face diameter": mm(130.0), "thickness": mm(9.0)}  # fmt: skip
FEMALE = {**MALE, "pilot": mm(57.175, 0.002), "pilot form": "female", "pilot height": mm(2.6)}
SAID = {"bolt": "3/8-24", "bolt length": mm(40.0, 0.2)}


def flange(base, change) -> Port:
    return Port({k: v for k, v in {**base, **(change or {})}.items() if v is not None}, "flange", "face")


def told(a=None, b=None, said=None, layers=(), choices=None) -> dict:
    kept = {k: v for k, v in {**SAID, **(said or {})}.items() if v is not None}
    joint = Joint(kept, "rear flange", "flange on flange", flange(MALE, a), flange(FEMALE, b), "shaft", "pinion flange",
                  layers=layers, choices=choices or {})  # fmt: skip
    return {x.question: x for x in judge(joint)}


def test_flanges_made_for_each_other_fit_everywhere():
    answers = told()
    assert {a.verdict for a in answers.values()} == {FITS}, answers
    assert set(answers) == {"pilot form", "pilot", "pilot height", "bolt circle", "bolts", "face", "bolt length"}


def test_the_ports_keys_are_those_of_the_kind():
    kind = next(p for p in PORTS if p.name == "flange")
    assert {ask.key for ask in kind.asks} - set(MALE) == {"points", "thread"}


def test_a_bare_joint_asks_for_everything():
    joint = Joint({}, "x", "flange on flange", Port({}, "flange", "a"), Port({}, "flange", "b"), "s", "p")
    answers = judge(joint)
    assert {a.verdict for a in answers} == {OPEN}
    assert all(a.measure for a in answers)


def test_4_75_in_on_120_mm_is_seen_and_redrilled_on_the_flange_with_more_metal():
    answer = told(
        a={"bolt circle": mm(120.65), "face diameter": mm(150.0)}, b={"bolt circle": mm(120.0),
            "face diameter": mm(170.0)}
    )["bolt circle"]  # fmt: skip
    # holes of 10 mm over bolts of 9.525 mm: 0.475 mm in either flange, 0.95 mm together: 0.65 mm lies within it
    assert answer.verdict is FITS
    tight = told(
        a={"bolt circle": mm(120.65), "face diameter": mm(150.0), "hole": mm(9.6)},
        b={"bolt circle": mm(120.0), "face diameter": mm(170.0), "hole": mm(9.6)},
    )["bolt circle"]  # fmt: skip
    assert tight.verdict is WORK
    assert "0.65 mm apart, 0.15 mm may be" in tight.reason
    assert tight.works[0].part == "pinion flange"
    assert "120.65 mm" in tight.works[0].words


def test_5_bolts_on_4_do_not_go_together_until_redrilled():
    answer = told(a={"bolts": count(5)})["bolt circle"]
    assert answer.verdict in {WORK, NOT}
    assert "5 holes (the holes of shaft) do not go over 4" in answer.reason


def test_a_male_pilot_too_big_is_turned_down_and_one_too_small_gets_a_ring():
    big = told(a={"pilot": mm(57.5, 0.002)})["pilot"]
    assert big.verdict is WORK
    assert big.works[0].kind in {"turn down", "open up"}
    small = told(b={"pilot": mm(62.0, 0.002)})["pilot"]
    assert small.verdict is WORK
    assert small.works[0].kind == "make a ring"


def test_a_pilot_measured_with_a_tape_stays_open():
    assert told(a={"pilot": mm(57.15, 0.5)})["pilot"].verdict is OPEN


@pytest.mark.parametrize("a,b,verdict,kind,words", [
    ("male", "male", WORK, "make a plate", "the faces do not meet"),
    ("female", "female", WORK, "make a ring", "nothing centres the one on the other"),
    ("none", "female", NOT, "", "bolts alone do not keep a shaft in its middle"),
])  # fmt: skip
def test_pilots_of_the_wrong_kind(a, b, verdict, kind, words):
    answer = told(a={"pilot form": a}, b={"pilot form": b})["pilot form"]
    assert answer.verdict is verdict
    assert words in answer.reason
    assert [w.kind for w in answer.works] == ([kind] if kind else [])


def test_a_pilot_that_bottoms_is_shortened():
    answer = told(a={"pilot height": mm(3.1)})["pilot height"]
    assert answer.verdict is WORK
    assert "the faces stay 0.50 mm apart" in answer.reason
    assert answer.works[0].kind == "shorten"


@pytest.mark.parametrize("a,b,said,verdict,words", [
    ({"thread": "3/8-24", "hole": None}, {}, {"bolt": "M10x1"}, NOT, "M10x1 in a flange tapped 3/8-24"),
    ({"thread": "M10x1", "hole": None}, {}, {"bolt": "3/8-24"}, NOT, "3/8-24 in a flange tapped M10x1"),
    ({"thread": "3/8-24", "hole": None}, {"thread": "3/8-24", "hole": None}, {}, NOT, "a bolt cannot draw two threads"),
    ({}, {}, {"bolt": "7/16-20"}, WORK, "they do not go through"),
    ({}, {"hole": mm(12.0)}, {}, NOT, "2.48 mm of play"),
    ({"hole": None}, {}, {}, OPEN, "the size of the bolt holes of shaft is not known"),
    ({}, {}, {"bolt": "3/8-25"}, OPEN, "the diameter of a bolt '3/8-25'"),
])  # fmt: skip
def test_bolts(a, b, said, verdict, words):
    answer = told(a=a, b=b, said=said)["bolts"]
    assert answer.verdict is verdict, answer
    assert words in answer.reason


def test_a_flange_with_its_bolts_too_near_the_edge():
    answer = told(a={"face diameter": mm(118.0)})["face"]
    # (118 - 95.25) / 2 = 11.375 mm where 1.5 * 10 = 15 mm is asked
    assert answer.verdict is NOT
    assert "11.38 mm from bolt to edge, 15.00 mm asked" in answer.reason


def test_bolts_too_short_for_the_grip_are_exchanged():
    answer = told(said={"bolt length": mm(22.0, 0.2)})["bolt length"]
    assert answer.verdict is WORK
    assert "leave 4.00 mm" in answer.reason
    thicker = told(layers=(Layer("spacer", mm(25.0)),))["bolt length"]
    assert thicker.verdict is WORK
    assert "through 43.00 mm" in thicker.reason


def test_a_layer_of_unknown_thickness_is_named():
    assert "the thickness of spacer is not known" in told(layers=(Layer("spacer", None),))["bolt length"].reason


def test_uneven_patterns_are_laid_on_each_other_face_to_face():
    def points(*pairs):
        return tuple((mm(x), mm(y)) for x, y in pairs)

    one = points((-40.0, 0.0), (40.0, 0.0), (0.0, 30.0))
    mirrored = points((40.0, 0.0), (-40.0, 0.0), (0.0, 30.0))
    gone = {"bolts": None, "bolt circle": None}
    assert told(a={**gone, "points": one}, b={**gone, "points": mirrored})["bolt circle"].verdict is FITS
    skew = points((40.0, 0.0), (-40.0, 0.0), (0.0, 34.0))
    assert told(a={**gone, "points": one}, b={**gone, "points": skew})["bolt circle"].verdict is not FITS
    assert told(a={**gone, "points": one})["bolt circle"].verdict is NOT


def test_redrilled_holes_stand_between_the_old_ones():
    answer = told(a={"bolt circle": mm(88.9), "face diameter": mm(170.0)},
        b={"face diameter": mm(130.0)})["bolt circle"]
    assert answer.verdict is WORK
    figure = answer.works[0].figure
    old = [math.atan2(h.y_mm, h.x_mm) for h in figure.holes if h.old]
    new = [math.atan2(h.y_mm, h.x_mm) for h in figure.holes if not h.old]
    assert min(abs((a - b + math.pi) % (2 * math.pi) - math.pi) for a in old for b in new) == pytest.approx(math.pi / 4)


def test_flanges_are_told_in_words_of_flanges_and_not_of_wheels():
    far = told(a={"bolt circle": mm(90.0), "hole": mm(9.6)}, b={"hole": mm(9.6)})["bolt circle"]
    assert far.verdict in (WORK, NOT)
    assert "draws the flanges off centre" in far.reason
    for text in (far.reason, far.remedy, far.caution, *(w.words for w in far.works)):
        assert "wheel" not in text
        assert "stud" not in text.replace("bolt or stud", "")


def test_a_circle_that_cannot_be_redrilled_still_has_a_way_out():
    blank = {"face diameter": None, "hole": None, "thread": "3/8-24"}
    answer = told(a={"bolt circle": mm(120.0), "hole": mm(9.6), "bolts": count(5)}, b=blank)["bolt circle"]
    assert answer.verdict is not FITS
    assert answer.remedy or answer.measure
