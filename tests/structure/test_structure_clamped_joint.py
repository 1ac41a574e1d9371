"""A bolted joint asked everything: wrong pairs that look alike are refused for the right reason, ranges stay honest."""

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trialfit.findings import Verdict
from trialfit.parts import Fact
from trialfit.structure import (
    ClampedJoint,
    JointLoads,
    Nut,
    StackLayer,
    TappedHole,
    TorqueFigure,
    clamp_range,
    findings_of,
    judge_joint,
    proof_load_n,
)

FITS, NOT, UNSURE = Verdict.FITS, Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL
PLATE = StackLayer("bracket", Fact(12.0, 0.05), "structural steel")
WEB = StackLayer("web", Fact(13.0, 0.05), "structural steel")
GOOD = ClampedJoint(
    "damper bracket", "M10", "8.8", (PLATE, WEB), Fact(40.0, 0.2), Nut("8", Fact(8.4, 0.1)), 4,
    faces="rolled steel clean",
)  # fmt: skip
SCREW = ClampedJoint(
    "caliper", "M10", "8.8", (PLATE,), Fact(30.0, 0.2), TappedHole("upright", Fact(24.0, 0.3), "ductile iron"), 2,
)  # fmt: skip


def asked(joint, question, loads=None):
    found = {answer.question: answer for answer in judge_joint(joint, loads)}
    return found[question]


def test_a_sound_joint_fits_in_every_question():
    answers = judge_joint(GOOD, JointLoads(Fact(3000.0, 100.0), Fact(1500.0, 100.0)))
    assert {a.verdict for a in answers} == {FITS}, [a for a in answers if a.verdict is not FITS]
    assert [a.question for a in answers] == [
        "shank", "thread showing", "thread engaged", "nut grade", "pull at tightening", "pressure under the head",
        "pressure under the nut", "clamp after settling", "opening", "pull with the load", "slip",
    ]  # fmt: skip
    assert all(not a.measure and a.caution for a in answers)


def test_a_sound_screw_fits_too():
    answers = judge_joint(SCREW)
    assert {a.verdict for a in answers} == {FITS}, [a for a in answers if a.verdict is not FITS]
    assert "pressure under the nut" not in {a.question for a in answers}


NEAR = [
    # the length on the packet is right, but the plain shank is longer than the grip
    (replace(GOOD, length=Fact(100.0, 0.2), layers=(PLATE,)), "shank", NOT, "the plain shank is 74.00 mm long"),
    # the same bolt threaded to the head is right
    (replace(GOOD, length=Fact(100.0, 0.2), layers=(PLATE,), thread_length=Fact(98.0, 0.5)), "shank", FITS, "measured"),
    # half a thread short
    (replace(GOOD, length=Fact(34.1, 0.05)), "thread showing", NOT, "0.70 mm of thread past the nut, 0.5 threads"),
    # a grade 5 nut looks like the grade 8 one
    (replace(GOOD, thread="3/8-24", grade="8", into=Nut("5", Fact(8.3, 0.1))), "nut grade", NOT,
     "nut 5 on a bolt 8, which is paired with 8 or more"),
    (replace(GOOD, thread="3/8-24", grade="8", into=Nut("8", Fact(8.3, 0.1))), "nut grade", FITS, "proof load"),
    # class 8 on 10.9
    (replace(GOOD, grade="10.9"), "nut grade", NOT, "nut 8 on a bolt 10.9, which is paired with 10 or more"),
    # a jam nut of the right grade
    (replace(GOOD, into=Nut("8", Fact(5.0, 0.1), thin=True)), "nut grade", NOT, "a thin or slotted nut"),
    (replace(GOOD, into=Nut("8", Fact(5.0, 0.1), thin=True)), "thread engaged", NOT, "5.00 mm of full thread engaged"),
    (replace(GOOD, into=Nut("", Fact(8.4, 0.1))), "nut grade", UNSURE, "bears no mark"),
    # a fine thread has no load in the lists, but its mark pairs it
    (replace(GOOD, thread="M10x1.25"), "nut grade", FITS, "the lists give no proof load of it"),
    # 5 mm too long: it feels tight on the bottom of the hole
    (replace(SCREW, length=Fact(35.0, 0.2)), "room below the bolt", NOT, "else it bottoms and clamps nothing"),
    (replace(SCREW, length=Fact(35.0, 0.2), into=TappedHole("upright", Fact(24.0, 0.3), "ductile iron", blind=False)),
     "room below the bolt", FITS, "goes through"),
    # the same screw in aluminium
    (replace(SCREW, into=TappedHole("upright", Fact(24.0, 0.3), "cast aluminium, heat treated")), "thread engaged", NOT,
     "break before the thread in upright strips"),
    # four turns in iron
    (replace(SCREW, length=Fact(20.0, 0.2)), "thread engaged", NOT, "6.50 mm of full thread engaged, 4.3 turns"),
    # high torque from a list for dry bolts, on oiled ones
    (replace(GOOD, state="oiled", torque=TorqueFigure(50e3, 50e3, "manual")), "pull at tightening", UNSURE, "oiled"),
    (replace(GOOD, torque=TorqueFigure(95e3, 95e3, "manual")), "pull at tightening", NOT, "its length up to 33.6 kN"),
    # soft bracket under a 12.9
    (replace(GOOD, grade="12.9", into=Nut("12", Fact(8.4, 0.1)),
             layers=(StackLayer("lug", Fact(12.0, 0.05), "cast aluminium, sand cast"), WEB)),
     "pressure under the head", NOT, "which bears 220 MPa"),
]


@pytest.mark.parametrize("joint,question,verdict,said", NEAR)
def test_near_misses(joint, question, verdict, said):
    answer = asked(joint, question)
    assert answer.verdict is verdict, answer
    assert said in answer.reason
    assert (verdict is FITS) or answer.remedy or answer.measure


@pytest.mark.parametrize("joint,question,said", [
    (replace(GOOD, length=None), "shank", "measure the bolt with a calliper from under its head"),
    (replace(GOOD, layers=(PLATE, StackLayer("web", None))), "thread showing", "measure web with a calliper"),
    (replace(GOOD, into=Nut("8", None)), "thread showing", "measure the nut with a calliper"),
    (replace(GOOD, into=Nut("8", None)), "thread engaged", "count the turns from the first bite to tight"),
    (replace(SCREW, into=TappedHole("upright", None, "ductile iron")), "room below the bolt", "turn a bolt into"),
    (replace(GOOD, into=Nut("", Fact(8.4, 0.1))), "nut grade", "it must be 8 or more"),
    (replace(GOOD, length=Fact(40.0)), "thread showing", "measure the bolt with a calliper, or say how well"),
    (replace(GOOD, length=Fact(35.1, 0.5)), "thread showing",
     "measure the bolt again: all sizes together must be known to 0.10 mm, one standard deviation, and are to 0.51 mm"),
    (replace(GOOD, layers=(replace(PLATE, material=""), WEB)), "pressure under the head", "find out what bracket is"),
    (replace(GOOD, state="oiled"), "pull at tightening", "measure how much one bolt stretches"),
])  # fmt: skip
def test_what_is_missing_is_asked_for(joint, question, said):
    answer = asked(joint, question)
    assert answer.verdict is UNSURE
    assert said in answer.measure


@pytest.mark.parametrize("question", ["clamp after settling", "opening", "pull with the load", "slip"])
def test_an_unknown_metal_is_not_taken_for_steel(question):
    strange = replace(GOOD, layers=(PLATE, replace(WEB, material="")))
    answer = asked(strange, question, JointLoads(Fact(1e3, 10.0), Fact(1e3, 10.0)))
    assert (answer.verdict, answer.low) == (UNSURE, None)
    assert "find out what web is made of" in answer.measure


def test_slip_of_unknown_faces_is_asked_for():
    answer = asked(replace(GOOD, faces=""), "slip", JointLoads(None, Fact(1000.0, 10.0)))
    assert (answer.verdict, "oily" in answer.measure) == (UNSURE, True)


def test_a_load_nobody_knows_the_doubt_of_is_no_answer():
    answer = asked(GOOD, "opening", JointLoads(Fact(3000.0), None))
    assert (answer.verdict, answer.measure) == (UNSURE, "say how well the pull is known")


def test_the_doubt_of_the_sizes_reaches_the_answer():
    answer = asked(GOOD, "thread showing")
    assert answer.sd == pytest.approx((0.05**2 + 0.05**2 + 0.2**2 + 0.1**2) ** 0.5)
    assert answer.low == pytest.approx(40.0 - 25.0 - 8.4 - 1.5)


def test_more_load_never_helps():
    for question in ("opening", "pull with the load", "slip"):
        light, heavy = (asked(GOOD, question, JointLoads(Fact(f, 0.0), Fact(f, 0.0))) for f in (1000.0, 8000.0))
        assert light.low > heavy.low
        assert light.high > heavy.high


def test_a_pull_takes_from_what_holds_against_sliding():
    alone = asked(GOOD, "slip", JointLoads(None, Fact(1500.0, 10.0)))
    pulled = asked(GOOD, "slip", JointLoads(Fact(5000.0, 10.0), Fact(1500.0, 10.0)))
    assert pulled.low < alone.low


def test_a_load_to_and_fro_asks_for_more():
    steady = asked(GOOD, "slip", JointLoads(None, Fact(1500.0, 10.0), alternating=False))
    swinging = asked(GOOD, "slip", JointLoads(None, Fact(1500.0, 10.0)))
    assert steady.low - swinging.low == pytest.approx(0.6 * 1500.0)
    assert (steady.rule, swinging.rule) == ("slip-factor-steady", "slip-factor-alternating")


def test_the_builder_may_choose_another_version():
    chosen = replace(GOOD, choices={"preload-share": "0.90, stays together", "friction dry": "friction class C"})
    assert clamp_range(chosen).nominal == pytest.approx(0.9 * proof_load_n("M10", "8.8"))
    assert clamp_range(GOOD).nominal == pytest.approx(0.75 * proof_load_n("M10", "8.8"))


@settings(max_examples=25, deadline=None)
@given(st.sampled_from(["dry", "oiled", "zinc plated", "anti-seize", "thread locked"]), st.floats(20e3, 70e3))
def test_the_range_of_the_clamp_holds_its_nominal(state, torque):
    found = clamp_range(replace(GOOD, state=state, torque=TorqueFigure(torque, torque * 1.1, "manual")))
    assert 0.0 < found.low < found.nominal < found.high


def test_a_printed_torque_goes_before_a_reckoned_one_and_names_its_place():
    printed = asked(replace(GOOD, torque=TorqueFigure(40e3, 45e3, "axle maker's sheet 4")), "pull at tightening")
    assert printed.source == "axle maker's sheet 4"


def test_findings_say_the_same():
    answers = judge_joint(GOOD)
    found = findings_of(GOOD, answers)
    assert [f.verdict for f in found] == [a.verdict for a in answers]
    assert found[1].name == "bolts.damper_bracket.thread_showing"
    assert found[1].margin == answers[1].low


def test_a_short_bolt_loses_more_of_its_clamp():
    short = replace(GOOD, layers=(replace(PLATE, thickness=Fact(4.0, 0.05)), replace(WEB, thickness=Fact(4.0, 0.05))),
                    length=Fact(20.0, 0.1))
    lost = [clamp_range(j).low - asked(j, "clamp after settling").low for j in (short, GOOD)]
    assert lost[0] > 2.0 * lost[1]


@pytest.mark.parametrize("change,said", [
    ({"layers": ()}, "damper bracket clamps nothing"),
    ({"count": 0}, "has 0 bolts"),
    ({"grade": "5"}, "grade 5 is for unified bolts and M10 is a metric thread"),
    ({"thread": "M10x1.1"}, "no metric thread 'M10x1.1' is in the table; known: M10x1, M10x1.25, M10x1.5"),
    ({"state": "greased"}, "no state of a thread is called 'greased'"),
    ({"tool": "impact wrench"}, "an impact wrench sets no torque"),
    ({"into": Nut("8.8", Fact(8.4, 0.1))}, "no metric nut is of grade '8.8'; nearest: 8"),
    ({"layers": (replace(PLATE, material="mild stel"),)}, "nearest: mild steel"),
])  # fmt: skip
def test_refused(change, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        judge_joint(replace(GOOD, **change))


@pytest.mark.parametrize("low,high,source,said", [
    (0.0, 1.0, "x", "is no range"), (2.0, 1.0, "x", "is no range"), (1.0, 2.0, "", "must say where it is printed"),
])  # fmt: skip
def test_a_torque_figure_without_range_or_place_is_refused(low, high, source, said):
    with pytest.raises(ValueError, match=said):
        TorqueFigure(low, high, source)
