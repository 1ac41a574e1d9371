"""Ends of lines that look alike: each wrong pair is refused, and for the right reason."""

import pytest

from trialfit.findings import Verdict
from trialfit.mates import Joint, worst
from trialfit.mates.hydraulic import judge
from trialfit.parts import Fact, Port

CALLIPER = 0.03


def end(seal, gender, thread, tube=None, sd=0.0, **more):
    values = {"seal": seal, "gender": gender, "thread": thread}
    if tube is not None:
        values["tube"] = Fact(tube, sd)
    values |= {key.replace("_", " "): value for key, value in more.items()}
    return Port({k: v for k, v in values.items() if v}, "hydraulic end", "end")


def meet(a, b, use="brake", **more):
    return Joint({}, "j", "hydraulic end to end", a, b, "pipe", "cylinder", use=use, **more)


def answer(joint, question):
    return next(a for a in judge(joint) if a.question == question)


# what meets what, in which use, the question that must refuse it, and words of the reason
NEAR = [
    # the same thread, another seat
    (end("inverted flare", "male", "M10x1", 4.76), end("bubble", "female", "M10x1", 4.75), "brake", "sealing form",
     "hollow cone for a raised seat"),
    (end("bubble", "male", "M10x1", 4.75), end("inverted flare", "female", "M10x1", 4.76), "brake", "sealing form",
     "nose for a hollow seat"),
    (end("metric double flare", "male", "M10x1", 4.75), end("bubble", "female", "M10x1", 4.75), "brake",
     "sealing form", "the thread does not tell them apart"),
    (end("metric double flare", "male", "M10x1", 4.75), end("inverted flare", "female", "M10x1", 4.75), "brake",
     "sealing form", "differ by 8 deg"),
    (end("37 flare", "male", "7/16-20", 6.35), end("45 flare", "female", "7/16-20", 6.35), "fuel", "sealing form",
     "differ by 8 deg"),
    (end("37 flare", "male", "3/4-16", 12.7), end("45 flare", "female", "3/4-16", 12.7), "oil", "sealing form",
     "screw together all the same"),
    (end("37 flare", "male", "9/16-18", 9.525), end("O-ring boss", "female", "9/16-18"), "oil", "sealing form",
     "no O-ring"),
    (end("37 flare", "male", "7/16-20", 6.35), end("flat seat", "female", "7/16-20"), "oil", "sealing form",
     "does not seal on a flat face"),
    (end("37 flare", "male", "3/8-24", 4.76), end("inverted flare", "female", "3/8-24", 4.76), "brake", "sealing form",
     "under a male nut"),
    (end("45 flare", "male", "3/8-24", 4.76), end("inverted flare", "female", "3/8-24", 4.76), "brake", "sealing form",
     "the angle is the same"),
    (end("metric O-ring", "male", "M14x1.5"), end("flat seat", "female", "M14x1.5"), "oil", "sealing form", "chamfer"),
    (end("flat seat", "male", "M18x1.5"), end("metric O-ring", "female", "M18x1.5"), "oil", "sealing form",
     "washer bridges the chamfer"),
    (end("24 cone", "male", "M16x1.5", 10.0), end("metric O-ring", "female", "M16x1.5"), "oil", "sealing form",
     "24 deg cone"),
    (end("flat seat", "male", "7/16-20"), end("inverted flare", "female", "7/16-20", 6.35), "brake", "sealing form",
     "the bolt bottoms first"),
    (end("compression", "male", "7/16-24", 6.35), end("inverted flare", "female", "7/16-24", 6.35), "oil",
     "sealing form", "no flare to sit on the seat"),
    (end("face seal", "male", "9/16-18", 6.35), end("37 flare", "female", "9/16-18", 9.525), "oil", "sealing form",
     "no cone in a flat face"),
    # taper in parallel, and taper in taper of another kind
    (end("NPT", "male", "1/4-18 NPT"), end("O-ring boss", "female", "9/16-18"), "oil", "sealing form",
     "wedges and splits"),
    (end("NPT", "male", "1/4-18 NPT"), end("parallel pipe", "female", "G1/4"), "oil", "sealing form", "60 deg"),
    (end("NPT", "male", "1/8-27 NPT"), end("BSPT", "female", "Rc1/8"), "oil", "sealing form", "55 deg against 60"),
    (end("BSPT", "male", "R1/4"), end("parallel pipe", "female", "G1/4"), "oil", "sealing form", "two turns"),
    (end("NPT", "male", "1/4-18 NPT"), end("NPTF", "female", "1/4-18 NPTF"), "oil", "sealing form", "needs sealant"),
    (end("NPT", "male", "1/8-27 NPT"), end("flat seat", "female", "M10x1"), "oil", "sealing form", "taper thread"),
    # inch against metric O-ring
    (end("metric O-ring", "male", "M14x1.5"), end("O-ring boss", "female", "9/16-18"), "oil", "sealing form",
     "inch thread, the other a metric"),
    (end("O-ring boss", "male", "7/8-14"), end("metric O-ring", "female", "M22x1.5"), "oil", "sealing form", "strip"),
    # the same seat, a thread that is nearly it
    (end("inverted flare", "male", "M10x1", 4.76), end("inverted flare", "female", "3/8-24", 4.76), "brake", "thread",
     "M10x1 is no 3/8-24"),
    (end("inverted flare", "male", "3/8-24", 4.76), end("inverted flare", "female", "M10x1", 4.76), "brake", "thread",
     "strips under load"),
    (end("inverted flare", "male", "7/16-24", 6.35), end("inverted flare", "female", "7/16-20", 6.35), "brake",
     "thread", "same diameter, pitch"),
    (end("bubble", "male", "M10x1.25", 4.75), end("bubble", "female", "M10x1", 4.75), "brake", "thread", "pitch"),
    (end("flat seat", "male", "M12x1.25"), end("flat seat", "female", "1/2-20"), "oil", "thread", "strips under load"),
    (end("45 flare", "male", "1-1/16-14", 19.05), end("45 flare", "female", "1-1/16-12", 19.05), "oil", "thread",
     "pitch"),
    (end("parallel pipe", "male", "G1/4"), end("parallel pipe", "female", "G3/8"), "oil", "thread", "G1/4"),
    # the same seat and thread, another tube
    (end("24 cone", "male", "M14x1.5", 8.0), end("24 cone", "female", "M14x1.5", 6.0), "oil", "tube", "for 8.00 mm"),
    (end("24 cone", "male", "M18x1.5", 12.0), end("24 cone", "female", "M18x1.5", 10.0), "oil", "tube", "for 12.00"),
    (end("inverted flare", "male", "7/16-24", 4.76), end("inverted flare", "female", "7/16-24", 6.35), "brake", "tube",
     "made for 4.76 mm tube"),
    (end("bubble", "male", "M12x1", 6.0), end("bubble", "female", "M12x1", 6.35), "brake", "tube", "6.35"),
    # two of a kind
    (end("37 flare", "male", "9/16-18", 9.525), end("37 flare", "male", "9/16-18", 9.525), "oil", "gender",
     "both ends are"),
]  # fmt: skip


@pytest.mark.parametrize("a,b,use,question,words", NEAR, ids=lambda x: str(x)[:30] if isinstance(x, str) else "end")
def test_a_pair_that_looks_alike_is_refused(a, b, use, question, words):
    joint = meet(a, b, use)
    found = answer(joint, question)
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert words in found.reason
    assert worst(judge(joint)) is Verdict.DOES_NOT_FIT


@pytest.mark.parametrize("a,b,use,question,words", NEAR, ids=lambda x: str(x)[:30] if isinstance(x, str) else "end")
def test_the_same_pair_the_other_way_round_is_refused_too(a, b, use, question, words):
    found = [x.question for x in judge(meet(b, a, use)) if x.verdict is Verdict.DOES_NOT_FIT]
    assert question in found


def test_enough_pairs_are_held():
    assert len(NEAR) >= 30


# what a use forbids although the two ends agree
BANNED = [
    ("NPT", "1/8-27 NPT", "brake", "not accepted by a certifying engineer", "NPT in brake (TRADE)"),
    ("NPTF", "1/8-27 NPTF", "brake", "taper thread", "NPTF in brake (TRADE)"),
    ("NPT", "1/8-27 NPT", "clutch", "taper thread", "NPT in clutch (CP)"),
    ("compression", "7/16-24", "brake", "friction alone", "compression in brake (CP)"),
    ("compression", "1/2-24", "steering", "shocks", "compression in steering (CP)"),
    ("compression", "7/16-24", "fuel injection", "shaken", "compression in fuel (CP)"),
    ("24 cone", "M12x1.5", "brake", "cutting ring", "24 cone in brake (CP)"),
]


@pytest.mark.parametrize("seal,thread,use,words,rule", BANNED)
def test_what_a_use_forbids(seal, thread, use, words, rule):
    found = answer(meet(end(seal, "male", thread, 6.0), end(seal, "female", thread, 6.0), use), "use")
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert words in found.reason
    assert found.rule == rule
    assert found.source


@pytest.mark.parametrize("metal,use,refused", [
    ("copper", "brake", True), ("copper-nickel", "brake", False), ("aluminium", "brake", True),
    ("nylon", "brake", True), ("copper", "clutch", True), ("copper", "oil", False),
])  # fmt: skip
def test_tube_of_the_wrong_metal(metal, use, refused):
    a = end("inverted flare", "male", "3/8-24", 4.76, tube_material=metal)
    joint = meet(a, end("inverted flare", "female", "3/8-24", 4.76), use)
    found = [x for x in judge(joint) if "material" in x.question]
    assert bool(found) is refused
    if refused:
        assert found[0].verdict is Verdict.DOES_NOT_FIT
        assert metal in found[0].reason


# pairs that go together, so that refusing everything would not pass
GOOD = [
    (end("inverted flare", "male", "3/8-24", 4.76), end("inverted flare", "female", "3/8-24", 4.75), "brake"),
    (end("inverted flare", "male", "7/16-24", 6.35), end("inverted flare", "female", "7/16-24", 6.35), "brake"),
    (end("bubble", "male", "M10x1", 4.76), end("bubble", "female", "M10x1"), "brake"),
    (end("37 flare", "male", "9/16-18", 9.525), end("37 flare", "female", "9/16-18"), "fuel"),
    (end("O-ring boss", "male", "3/4-16"), end("O-ring boss", "female", "3/4-16"), "steering"),
    (end("metric O-ring", "male", "M16x1.5"), end("metric O-ring", "female", "M16x1.5"), "steering"),
    (end("face seal", "male", "13/16-16"), end("face seal", "female", "13/16-16"), "steering"),
    (end("NPT", "male", "1/4-18 NPT"), end("NPT", "female", "1/4-18 NPT"), "gearbox oil"),
]


@pytest.mark.parametrize("a,b,use", GOOD)
def test_a_pair_of_one_family_goes_together(a, b, use):
    assert worst(judge(meet(a, b, use))) is Verdict.FITS
