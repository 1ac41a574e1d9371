"""Rotor or drum on hub, rotor in caliper, drum over shoes: invented parts, sound and unsound."""

import pytest

from trialfit.findings import Verdict
from trialfit.mates import WORK_KINDS, Joint
from trialfit.mates.rotor import KINDS
from trialfit.parts import Fact, Port

KIND = {kind.name: kind for kind in KINDS}


def size(value, sd=0.02):
    return Fact(value, sd)


ROTOR = {
    "holes": size(5, 0.0), "bolt circle": size(114.3, 0.0), "bore": size(72.1), "stud hole": size(13.0),
    "hat thickness": size(6.0), "hat inside": size(158.0), "offset": size(30.0), "diameter": size(280.0),
    "thickness": size(20.0), "least thickness": size(18.4, 0.0),
}  # fmt: skip
HUB = {
    "studs": size(5, 0.0), "bolt circle": size(114.3, 0.0), "wheel register": size(67.0),
    "wheel register height": size(14.0), "rotor register": size(72.0), "rotor register height": size(5.0),
    "stud thread": "M12x1.5", "flange diameter": size(150.0),
}  # fmt: skip
CALIPER = {"middle": size(30.2), "gap": size(22.0), "most rotor": size(284.0), "least rotor": size(278.0)}
DRUM = {"inside diameter": size(254.0), "most diameter": size(255.5, 0.0), "depth": size(70.0)}
PLATE = {"shoe circle": size(252.5), "plate distance": size(72.5)}


def judged(kind, a_kind, a, b_kind, b, change_a=None, change_b=None, choices=None):
    def put(before, change):
        return {k: v for k, v in (before | (change or {})).items() if v is not None}

    joint = Joint({}, "brake", kind, Port(put(a, change_a), a_kind, "a"), Port(put(b, change_b), b_kind, "b"), "rotor",
                  "axle shaft", choices=choices or {})  # fmt: skip
    found = {answer.question: answer for answer in KIND[kind].judge(joint)}
    assert all(len(a.caution) > 40 for a in found.values())
    assert all(w.kind in WORK_KINDS for a in found.values() for w in a.works)
    return found


def on_hub(rotor=None, hub=None, **more):
    return judged("rotor on hub", "brake rotor", ROTOR, "wheel hub", HUB, rotor, hub, **more)


def in_caliper(rotor=None, caliper=None, **more):
    return judged("rotor in caliper", "brake rotor", ROTOR, "brake caliper", CALIPER, rotor, caliper, **more)


def over_shoes(drum=None, plate=None, **more):
    return judged("drum over shoes", "brake drum", DRUM, "backing plate", PLATE, drum, plate, **more)


@pytest.mark.parametrize("sound", [on_hub, in_caliper, over_shoes])
def test_sound_parts_fit_in_every_question(sound):
    assert {q: a.verdict for q, a in sound().items()} == dict.fromkeys(sound(), Verdict.FITS)


def test_a_bore_too_small_is_opened_and_the_hub_left_alone():
    found = on_hub({"bore": size(70.0)})["rotor register"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    (work,) = found.works
    assert (work.part, work.kind) == ("rotor", "open up")
    assert (work.target.low_mm, work.target.high_mm) == (pytest.approx(72.05), pytest.approx(72.15))
    assert any("wheel's register of 67.00 mm" in text for text in work.forbidden)


def test_a_bore_too_big_is_rung_not_left_hanging_on_the_studs():
    found = on_hub({"bore": size(78.0)})["rotor register"]
    assert [w.kind for w in found.works] == ["make a ring"]


def test_one_register_for_both_centres_the_rotor_too():
    found = on_hub({"bore": size(67.1)}, {"rotor register": None, "rotor register height": None})
    assert found["rotor register"].verdict is Verdict.FITS
    assert "step in the hat" not in found


def test_a_step_that_stands_out_of_the_hat_is_turned_back_and_the_rest_kept():
    found = on_hub(hub={"rotor register height": size(8.0)})["step in the hat"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    assert "bears on the step, not on the hat" in found.reason
    (work,) = found.works
    stays, turned = work.figure.steps
    assert (stays.outer_mm, stays.length_mm, stays.worked) == (72.0, 5.5, "")
    assert (turned.outer_mm, turned.worked) == (67.0, "outer")
    assert any("it centres the rotor" in text for text in work.forbidden)


def test_a_thick_hat_buries_the_wheels_register():
    found = on_hub({"hat thickness": size(12.0)})["wheel register out of the hat"]
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert "leaves 2.00 mm" in found.reason


def test_plain_holes_may_differ_by_their_play():
    assert on_hub({"bolt circle": size(115.0, 0.0)})["hole circle"].verdict is Verdict.FITS
    assert on_hub({"bolt circle": size(116.0, 0.0)})["hole circle"].verdict is Verdict.DOES_NOT_FIT


def test_small_stud_holes_are_opened():
    found = on_hub({"stud hole": size(11.5)})["hole circle"]
    assert found.works[0].kind == "open up"
    assert "12.50 mm" in found.works[0].words


def test_a_hat_must_go_over_the_flange():
    found = on_hub(hub={"flange diameter": size(157.0)})["hat over flange"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    assert "by 1.00 mm in diameter" in found.works[0].words


def test_a_worn_rotor_is_refused_and_no_work_mends_it():
    found = on_hub({"thickness": size(18.0)})["rotor thickness"]
    assert (found.verdict, found.works) == (Verdict.DOES_NOT_FIT, ())


def test_a_drum_on_the_hub_is_asked_for_its_wear():
    discs = ("thickness", "least thickness", "offset", "diameter")
    drum = {**{k: v for k, v in ROTOR.items() if k not in discs}, **DRUM}
    found = judged("rotor on hub", "brake drum", drum, "wheel hub", HUB)
    assert found["drum wear"].verdict is Verdict.FITS
    worn = judged("rotor on hub", "brake drum", drum, "wheel hub", HUB, {"inside diameter": size(256.0)})
    assert worn["drum wear"].verdict is Verdict.DOES_NOT_FIT


@pytest.mark.parametrize("middle, kind, way", [(33.2, "shim", "outboard"), (26.8, "shim", "inboard"),
                                               (42.0, "have made", "outboard")])  # fmt: skip
def test_a_caliper_off_the_middle_is_shimmed_the_right_way(middle, kind, way):
    found = in_caliper(caliper={"middle": size(middle)})["rotor in the middle"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    assert found.works[0].kind == kind
    assert f"{abs(middle - 30.0):.2f} mm" in found.works[0].words
    assert way in found.works[0].words


def test_another_version_of_the_rule_lets_a_millimetre_pass():
    caliper = {"middle": size(30.8)}
    assert in_caliper(caliper=caliper)["rotor in the middle"].verdict is Verdict.FITS_AFTER_WORK
    loose = in_caliper(caliper=caliper, choices={"rotor-to-caliper-middle": "1 mm"})
    assert loose["rotor in the middle"].verdict is Verdict.FITS


def test_rotor_too_thick_too_big_or_too_small_for_the_caliper():
    assert in_caliper({"thickness": size(24.0)})["rotor in the gap"].verdict is Verdict.DOES_NOT_FIT
    assert in_caliper({"diameter": size(284.0)})["rotor under the caliper"].verdict is Verdict.DOES_NOT_FIT
    small = in_caliper({"diameter": size(270.0)})["pads on the rotor"]
    assert "hang 4.00 mm over the edge" in small.reason


def test_a_drum_lip_is_faced_back_outside_the_track():
    found = over_shoes({"depth": size(72.0)})["drum lip"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    assert found.works[0].target.high_mm == pytest.approx(71.0)
    assert found.works[0].target.low_mm < found.works[0].target.high_mm


def test_shoes_too_big_for_the_drum():
    assert over_shoes(plate={"shoe circle": size(256.0)})["drum over shoes"].verdict is Verdict.DOES_NOT_FIT


@pytest.mark.parametrize("build, end, key, question", [
    (on_hub, 0, "bore", "rotor register"), (on_hub, 1, "rotor register height", "step in the hat"),
    (on_hub, 0, "hat thickness", "hat thickness"), (on_hub, 0, "hat inside", "hat over flange"),
    (on_hub, 1, "flange diameter", "hat over flange"), (on_hub, 0, "thickness", "rotor thickness"),
    (on_hub, 0, "least thickness", "rotor thickness"), (on_hub, 0, "stud hole", "hole circle"),
    (on_hub, 1, "wheel register height", "wheel register out of the hat"),
    (in_caliper, 0, "offset", "rotor in the middle"), (in_caliper, 1, "middle", "rotor in the middle"),
    (in_caliper, 1, "gap", "rotor in the gap"), (in_caliper, 0, "diameter", "rotor under the caliper"),
    (in_caliper, 1, "most rotor", "rotor under the caliper"), (over_shoes, 0, "depth", "drum lip"),
    (over_shoes, 1, "plate distance", "drum lip"), (over_shoes, 1, "shoe circle", "drum over shoes"),
])  # fmt: skip
def test_what_is_missing_is_asked_for(build, end, key, question):
    found = build(*({key: None} if n == end else None for n in (0, 1)))[question]
    assert found.verdict is Verdict.CANNOT_TELL
    assert found.measure
