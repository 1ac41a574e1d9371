"""Engine mount on its bracket: spacing, holes, height and offset."""

import pytest

from trialfit.findings import Verdict
from trialfit.mates import Joint, Layer
from trialfit.mates.mounts import judge
from trialfit.parts import Fact, Port
from trialfit.parts.engine_ports import PORTS

FITS, WORK, NOT, OPEN = Verdict.FITS, Verdict.FITS_AFTER_WORK, Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL


def mm(value: float, sd: float = 0.05) -> Fact:
    return Fact(value, sd)


MOUNT = {"bolts": Fact(2.0, 0.0), "spacing": mm(60.0), "thread": "M10", "height": mm(45.0)}
BRACKET = {"spacing": mm(60.2), "hole": mm(11.0), "slot": mm(0.0), "room": mm(45.2), "offset": mm(0.5)}


def told(mount=None, bracket=None, layers=()) -> dict:
    a = {k: v for k, v in {**MOUNT, **(mount or {})}.items() if v is not None}
    b = {k: v for k, v in {**BRACKET, **(bracket or {})}.items() if v is not None}
    joint = Joint({}, "left mount", "mount on bracket", Port(a, "mount", "base"), Port(b, "mount bracket", "seat"),
                  "mount", "bracket", layers=layers)  # fmt: skip
    return {x.question: x for x in judge(joint)}


def test_a_mount_made_for_its_bracket_fits():
    assert {a.verdict for a in told().values()} == {FITS}


def test_the_ports_keys_are_those_of_the_kinds():
    kinds = {p.name: {ask.key for ask in p.asks} for p in PORTS}
    assert set(MOUNT) == kinds["mount"]
    assert set(BRACKET) == kinds["mount bracket"]


def test_a_bare_joint_asks_for_everything():
    answers = judge(Joint({}, "x", "mount on bracket", Port({}, "mount", "a"), Port({}, "mount bracket", "b"), "m",
        "k"))
    assert {a.verdict for a in answers} == {OPEN}
    assert all(a.measure for a in answers)


@pytest.mark.parametrize("mount,bracket,layers,question,verdict,words", [
    ({"spacing": mm(63.5)}, {}, (), "bolt spacing", WORK, "1.00 mm may be"),
    ({"spacing": mm(63.5)}, {"slot": mm(4.0)}, (), "bolt spacing", FITS, "5.00 mm may be"),
    ({"bolts": Fact(1.0, 0.0), "spacing": None}, {}, (), "bolt spacing", FITS, "one bolt"),
    ({"thread": "M12"}, {}, (), "bolt in hole", WORK, "it does not go through"),
    ({"thread": "M8"}, {}, (), "bolt in hole", NOT, "the mount creeps"),
    ({}, {"room": mm(49.0)}, (), "height", WORK, "4.0 mm to fill"),
    ({}, {"room": mm(60.0)}, (), "height", WORK, "shims may come to 6 mm"),
    ({}, {"room": mm(41.0)}, (), "height", NOT, "4.0 mm too high"),
    ({}, {"room": mm(49.0)}, (Layer("heat shield", mm(4.0)),), "height", FITS, "on 4.0 mm"),
    ({}, {"offset": mm(-6.0)}, (), "sideways", WORK, "6.0 mm beside each other"),
])  # fmt: skip
def test_each_question(mount, bracket, layers, question, verdict, words):
    answer = told(mount, bracket, layers)[question]
    assert answer.verdict is verdict, answer
    assert words in answer.reason


def test_slots_of_a_bracket_reach_from_the_old_hole_to_the_new_place():
    (work,) = told({"spacing": mm(63.2)})["bolt spacing"].works
    # 3 mm too wide, 1 mm of play: 1 mm a hole, outward
    one, two, *old = work.figure.holes
    assert one.slot_mm == pytest.approx(1.0)
    assert (one.x_mm, two.x_mm) == pytest.approx((30.1 + 0.5, -30.6))
    assert all(hole.old for hole in old)


def test_shims_and_blocks_are_of_the_size_of_the_gap():
    assert "shims of 4.0 mm" in told(bracket={"room": mm(49.0)})["height"].works[0].words
    assert told(bracket={"room": mm(60.0)})["height"].works[0].kind == "make a spacer"
