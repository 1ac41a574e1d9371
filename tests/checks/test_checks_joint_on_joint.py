"""What the work at one joint does to another, on joints invented for it."""

from dataclasses import replace

from trialfit.checks.assembly import assembled
from trialfit.checks.joint_on_joint import told_of_each_other
from trialfit.findings import Verdict
from trialfit.mates import Answer, Joint, Layer, MateKind, Target, Work
from trialfit.parts import Fact, Port


def port(kind, name="face", **values):
    return Port({key.replace("_", " "): value for key, value in values.items()}, kind, name)


def kind(name, judge):
    return MateKind(name, "", (), (), judge)


def sized(joint):
    """Fits with a pin under 10 mm in its hole; wider than that it needs a ring, and wider than 20 it is past help."""
    hole = joint.b.size("hole").value
    said = f"hole {hole:.2f} mm; as measured"
    if hole <= 10.0:
        return (Answer("hole", Verdict.FITS, said),)
    if hole <= 20.0:
        ring = Work("pin", "make a ring", "round the pin", "a ring")
        return (Answer("hole", Verdict.FITS_AFTER_WORK, said, works=(ring,)),)
    return (Answer("hole", Verdict.DOES_NOT_FIT, said),)


def opening(high):
    """A joint that asks for the same hole to be opened."""

    def judge(joint):
        found = joint.b.size("hole")
        work = Work("ear", "open up", "hole", "open it", found, Target(high, high - 0.2, high, "as asked", "invented"))
        return (Answer("bolt", Verdict.FITS_AFTER_WORK, "too small", works=(work,), remedy="open it"),)

    return judge


def told(opened_to, name="bolt", other="pin", other_port="face"):
    ear = port("bolt hole", hole=Fact(9.0, 0.01))
    kinds = (kind("open", opening(opened_to)), kind("sized", sized))
    joints = (
        Joint({}, name, "open", port("bolt"), ear, "bolt", "ear"),
        Joint({}, other, "sized", port("bolt"), replace(ear, name=other_port), "pin", "ear"),
    )
    return told_of_each_other(assembled(joints, kinds), kinds)


def test_a_hole_opened_for_one_bolt_is_judged_again_for_the_other():
    bolt, pin = told(15.0)
    (answer,) = bolt.answers
    words = "after this pin needs a ring round the pin: hole 14.90 mm"
    assert answer.remedy == f"open it; {words}"
    assert answer.works[0].others == (words,)
    assert pin.verdict is Verdict.FITS_AFTER_WORK
    said = "after the work asked for at bolt it needs a ring round the pin: hole 14.90 mm"
    assert pin.answers[0].reason.endswith(said)
    assert pin.answers[0].works[0].kind == "make a ring"


def test_what_no_work_can_help_then_does_not_fit():
    bolt, pin = told(25.0)
    assert "after this pin does not fit: hole 24.90 mm" in bolt.answers[0].remedy
    assert pin.verdict is Verdict.DOES_NOT_FIT


def test_a_joint_that_still_fits_elsewhere_or_on_the_other_side_is_left_alone():
    for bolt, pin in (told(9.8), told(25.0, other_port="other face"), told(25.0, "bolt left", "pin right")):
        assert bolt.answers[0].remedy == "open it"
        assert pin.verdict is Verdict.FITS
    assert "after this pin, this side does not fit" in told(25.0, "bolt left", "pin left")[0].answers[0].remedy


def shimmed(joint):
    at_bracket = joint.kind == "bracket"
    moves = joint.a_part if at_bracket else joint.b_part
    shim = Work(moves, "shim", "face", "shim it", moves=moves)
    return (Answer("middle", Verdict.FITS_AFTER_WORK, "off", works=(shim,)),)


def brakes(*more, offset=40.0, disc=40.0):
    kinds = (kind("bracket", shimmed), kind("caliper", shimmed),
             kind("bolted", lambda joint: (Answer("bolt", Verdict.FITS, ""),)))  # fmt: skip
    bracket = Joint({"rotor offset": Fact(offset, 0.05)}, "bracket left", "bracket", port("brake bracket"),
                    port("housing end"), "plate", "axle")  # fmt: skip
    caliper = Joint({}, "caliper left", "caliper", port("brake rotor", offset=Fact(disc, 0.05)), port("brake caliper"),
                    "disc", "calliper body")  # fmt: skip
    return told_of_each_other(assembled((bracket, caliper, *more), kinds), kinds)


def same(results):
    words = [result.answers[0].remedy for result in results[:2]]
    assert ("same offset" in words[0]) is ("same offset" in words[1])
    return "same offset" in words[0]


def bolts(part, layer):
    layers = (Layer(layer, None),) if layer else ()
    return Joint({}, "bolts left", "bolted", port("bolt"), port("bolt hole"), "screw", part, layers=layers)


def test_a_caliper_and_the_bracket_that_its_bolts_clamp_have_one_offset():
    """Found from what meets in a joint; the rotor's offset counts only where no joint says what the bracket carries."""
    assert same(brakes(bolts("calliper body", "plate"), disc=10.0))
    assert same(brakes())
    assert not same(brakes(disc=41.0))
    other = Joint({}, "other left", "bolted", port("brake rotor"), port("brake caliper"), "rotor", "other caliper")
    assert not same(brakes(bolts("other caliper", "plate"), other))


def test_the_words_are_the_same_on_both_sides_of_the_vehicle():
    first, second = brakes()[:2]
    assert first.answers[0].remedy == (
        "shim it; the same offset as at caliper, this side: do one of the two, then measure again")
    assert second.answers[0].remedy == (
        "shim it; the same offset as at bracket, this side: do one of the two, then measure again")
