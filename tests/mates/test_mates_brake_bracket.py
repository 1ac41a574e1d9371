"""A caliper bracket on a housing end: pattern, pilot, plane of the disc, thickness; invented parts."""

import pytest

from trialfit.findings import Verdict
from trialfit.mates import WORK_KINDS, Joint
from trialfit.mates.brake_bracket import KINDS
from trialfit.parts import Fact, Port


def size(value, sd=0.02):
    return Fact(value, sd)


def points(*pairs, sd=0.05):
    return tuple((Fact(x, sd), Fact(y, sd)) for x, y in pairs)


OUTLINE = points((-80.0, -80.0), (80.0, -80.0), (80.0, 80.0), (-80.0, 80.0), sd=0.5)
BRACKET = {
    "points": points((-41.0, -30.0), (41.0, -30.0), (41.0, 30.0), (-41.0, 30.0)), "hole": size(11.0),
    "pilot bore": size(80.1), "thickness": size(12.0), "material": "steel", "middle": size(24.0), "outline": OUTLINE,
}  # fmt: skip
END = {
    "points": points((0.0, 0.0), (82.0, 0.0), (82.0, 60.0), (0.0, 60.0)), "bolt": size(10.0), "pilot": size(80.0),
    "pilot height": size(6.0), "standout": size(63.0),
}  # fmt: skip


def answers(bracket=None, end=None, said=None, choices=None):
    def put(before, change):
        return {k: v for k, v in (before | (change or {})).items() if v is not None}

    values = {"rotor offset": size(39.0)} | (said or {})
    joint = Joint({k: v for k, v in values.items() if v is not None}, "rear brake", KINDS[0].name,
                  Port(put(BRACKET, bracket), "brake bracket", "face"), Port(put(END, end), "housing end", "flange"),
                  "bracket", "housing", choices=choices or {})  # fmt: skip
    found = {answer.question: answer for answer in KINDS[0].judge(joint)}
    assert all("qualified" in a.caution for a in found.values())
    assert all(w.kind in WORK_KINDS for a in found.values() for w in a.works)
    return found


def test_a_sound_bracket_fits():
    found = answers()
    assert {q: a.verdict for q, a in found.items()} == dict.fromkeys(
        ("bracket pattern", "bracket pilot", "caliper over the disc", "plate thickness"), Verdict.FITS
    )


def test_a_circle_of_holes_may_be_given_by_count_and_diameter():
    bracket = {"points": None, "outline": None, "holes": size(4, 0.0), "bolt circle": size(100.0, 0.05),
               "round": size(150.0)}  # fmt: skip
    end = {"points": None, "holes": size(4, 0.0), "bolt circle": size(100.2, 0.05)}
    found = answers(bracket, end)["bracket pattern"]
    assert found.verdict is Verdict.FITS
    assert found.margin == pytest.approx(0.5 - 0.1)


def test_a_wider_housing_pattern_slots_the_bracket_only_where_a_pilot_centres_it():
    wider = {"points": points((0.0, 0.0), (86.0, 0.0), (86.0, 60.0), (0.0, 60.0))}
    slotted = answers(end=wider)["bracket pattern"]
    assert slotted.verdict is Verdict.FITS_AFTER_WORK
    figure = slotted.works[0].figure
    assert [h.slot_mm for h in figure.holes if not h.old] == pytest.approx([1.5] * 4)
    assert len([h for h in figure.holes if h.old]) == 4
    assert figure.shop == "a brake part"
    loose = answers({"pilot bore": None}, end=wider)["bracket pattern"]
    assert loose.verdict is Verdict.DOES_NOT_FIT
    assert answers(end=wider, said={"slot": "no"})["bracket pattern"].verdict is Verdict.DOES_NOT_FIT


def test_a_bracket_for_the_other_side_is_told_from_this_one():
    crooked = ((0.0, 0.0), (82.0, 5.0), (70.0, 60.0), (0.0, 48.0))
    right = answers({"points": points(*crooked)}, {"points": points(*crooked)})["bracket pattern"]
    assert right.verdict is Verdict.FITS
    left = answers({"points": points(*((-x, y) for x, y in crooked))}, {"points": points(*crooked)})["bracket pattern"]
    assert left.verdict is not Verdict.FITS


@pytest.mark.parametrize("standout, kind, amount", [(65.0, "shim", 2.0), (73.0, "make a spacer", 10.0),
                                                    (60.0, "have made", 3.0)])  # fmt: skip
def test_the_caliper_is_brought_over_the_disc(standout, kind, amount):
    # the disc lies standout less 39 from the housing's face, the caliper's middle 24
    found = answers(end={"standout": size(standout)})["caliper over the disc"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    assert found.works[0].kind == kind
    assert f"{amount:.2f} mm" in found.works[0].words


def test_a_small_pilot_bore_is_opened_and_the_housing_left_alone():
    found = answers({"pilot bore": size(78.0)})["bracket pilot"]
    assert (found.works[0].part, found.works[0].kind) == ("bracket", "open up")
    assert any("seat of bearing" in text for text in found.works[0].forbidden)


def test_a_low_pilot_does_not_centre():
    assert answers(end={"pilot height": size(1.0)})["pilot height"].verdict is Verdict.DOES_NOT_FIT


@pytest.mark.parametrize("metal, thick, verdict", [
    ("steel", 8.0, Verdict.FITS_AFTER_WORK), ("steel", 12.0, Verdict.FITS),
    ("aluminium", 12.0, Verdict.FITS_AFTER_WORK),
])  # fmt: skip
def test_thickness_goes_by_the_metal(metal, thick, verdict):
    assert answers({"material": metal, "thickness": size(thick)})["plate thickness"].verdict is verdict


def test_a_backing_plate_is_not_asked_for_thickness():
    found = answers({"thickness": size(2.5)}, said={"carries": "shoes"})["plate thickness"]
    assert found.verdict is Verdict.FITS


@pytest.mark.parametrize("change, question", [
    ({"end": {"standout": None}}, "caliper over the disc"), ({"said": {"rotor offset": None}}, "caliper over the disc"),
    ({"bracket": {"middle": None}}, "caliper over the disc"), ({"bracket": {"points": None}}, "bracket pattern"),
    ({"end": {"bolt": None}}, "bracket pattern"), ({"end": {"pilot": None}}, "bracket pilot"),
    ({"bracket": {"pilot bore": None}, "end": {"pilot": None}}, "bracket pilot"),
    ({"bracket": {"thickness": None}}, "plate thickness"), ({"bracket": {"material": None}}, "plate thickness"),
])  # fmt: skip
def test_what_is_missing_is_asked_for(change, question):
    found = answers(**change)[question]
    assert found.verdict is Verdict.CANNOT_TELL
    assert found.measure


def test_shoes_have_no_disc_to_stand_over():
    found = answers({"middle": None}, {"standout": None}, {"carries": "shoes", "rotor offset": None})
    assert "caliper over the disc" not in found
    assert "caliper over the disc" in answers(said={"carries": "caliper"})


def test_angles_are_told_without_a_sign_of_nought_or_a_whole_turn():
    wider = {"points": points((0.0, 0.0), (86.0, 0.0), (86.0, 60.0), (0.0, 60.0))}
    found = answers(end=wider)["bracket pattern"]
    assert "laid on best, not turned" in found.reason
    assert "360 deg" not in found.reason + found.remedy
    assert "-0.0" not in found.reason + found.remedy
    # the bolts stand 2 mm outside on both sides: holes 1 and 4 grow to the left, 2 and 3 to the right
    assert "hole 2: 1.50 mm towards 0 deg" in found.remedy
    assert "hole 1: 1.50 mm towards 180 deg" in found.remedy


def test_what_is_slotted_is_told_once():
    wider = {"points": points((0.0, 0.0), (86.0, 0.0), (86.0, 60.0), (0.0, 60.0))}
    found = answers(end=wider)["bracket pattern"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    assert "hole 1: 1.50 mm" not in found.reason
