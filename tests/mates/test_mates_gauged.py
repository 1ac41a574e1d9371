"""What is said of a size that is missing, and of a question that cannot be judged."""

import pytest

from trialfit.findings import Verdict
from trialfit.mates.answer import Answer
from trialfit.mates.gauged import each, not_known


@pytest.mark.parametrize("what, verb", [
    ("the clutch fingers", "are"), ("the middles of at least two holes", "are"), ("the sizes", "are"),
    ("the pilot of the housing end and the hole of the bracket", "are"), ("the bolt holes of the flange", "are"),
    ("how far the dowels stand out, or how thick they are,", "is"), ("whether the clutch fingers bear", "is"),
    ("the thickness of the leaves", "is"), ("the pad radius", "is"), ("the rotor's offset, hub face to disc,", "is"),
    ("what the line carries", "is"), ("the clamp's range (it closes on 20 mm; sizes 6, 8 reach it)", "is"),
    ("the hose's bore", "is"), ("the series of the yoke", "is"),
    ("the register, one for rotor and wheel of rear hub", "is"), ("the axis", "is"),
])  # fmt: skip
def test_one_is_and_several_are_not_known(what, verb):
    assert not_known("q", what, "measure it").reason == f"{what} {verb} not known"


def test_a_question_that_cannot_be_judged_leaves_the_others_standing():
    def refuse() -> Answer:
        raise ValueError("a pin of 900 mm is outside 4 to 60 mm")

    fine = Answer("pad", Verdict.FITS, "it fits")
    found = each(("pin", refuse), ("pad", lambda: fine), ("both", lambda: (fine, fine)), measure="look",
                 caution="Mind.")  # fmt: skip
    assert [a.question for a in found] == ["pin", "pad", "pad", "pad"]
    assert (found[0].verdict, found[0].measure, found[0].caution) == (Verdict.CANNOT_TELL, "look", "Mind.")
    assert found[0].reason == "it cannot be judged: a pin of 900 mm is outside 4 to 60 mm"
    assert found[1:] == (fine, fine, fine)
