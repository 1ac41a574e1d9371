"""Wheels, hubs and brakes that look alike: each pair is refused, and for the right reason."""

import math

import pytest

from trialfit.findings import Verdict
from trialfit.mates import Joint
from trialfit.mates.brake_bracket import KINDS as BRACKETS
from trialfit.mates.rotor import KINDS as ROTORS
from trialfit.mates.wheel import KINDS as WHEELS
from trialfit.parts import Fact, Port

JUDGE = {kind.name: kind.judge for kind in (*WHEELS, *ROTORS, *BRACKETS)}


def exact(value):
    return Fact(value, 0.0)


def deg(value):
    return Fact(math.radians(value), 0.0)


def wheel_on_hub(question, wheel=None, hub=None, said=None):
    joint = Joint(said or {}, "w", "wheel on hub", Port(wheel or {}, "road wheel", "pad"),
                  Port(hub or {}, "wheel hub", "flange"), "wheel", "hub")  # fmt: skip
    return next(a for a in JUDGE["wheel on hub"](joint) if a.question == question)


def circle(count, mm):
    return {"holes": exact(count), "studs": exact(count), "bolt circle": exact(mm)}


@pytest.mark.parametrize("count, wheel, hub", [
    (5, 120.0, 120.65), (5, 120.65, 120.0), (5, 100.0, 98.0), (5, 115.0, 114.3), (5, 112.0, 114.3), (5, 110.0, 108.0),
    (5, 130.0, 127.0), (5, 135.0, 139.7), (4, 100.0, 98.0), (4, 100.0, 101.6), (4, 110.0, 108.0), (6, 139.7, 135.0),
    (6, 130.0, 127.0), (8, 165.1, 170.0), (5, 118.0, 120.0), (6, 114.3, 115.0),
])  # fmt: skip
def test_circles_nearly_alike(count, wheel, hub):
    answer = wheel_on_hub("bolt circle", circle(count, wheel), circle(count, hub))
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert f"{wheel:.2f} mm" in answer.reason
    assert f"{hub:.2f} mm" in answer.reason
    assert f"{abs(wheel - hub) / 2.0:.2f} mm off the middle of its hole" in answer.reason
    assert "bend the studs" in answer.reason


@pytest.mark.parametrize("count, wheel, hub", [
    (5, 4.5 * 25.4, 114.3), (5, 4.75 * 25.4, 120.65), (4, 108.0, 4.25 * 25.4), (6, 5.5 * 25.4, 139.7),
    (5, 127.0, 5 * 25.4), (5, 120.7, 120.65),
])  # fmt: skip
def test_one_circle_written_in_two_ways_is_one(count, wheel, hub):
    assert wheel_on_hub("bolt circle", circle(count, wheel), circle(count, hub)).verdict is Verdict.FITS


def test_five_holes_do_not_go_over_six_studs_on_one_circle():
    answer = wheel_on_hub("bolt circle", circle(5, 114.3), circle(6, 114.3))
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert "5 holes" in answer.reason
    assert "do not go over 6" in answer.reason


@pytest.mark.parametrize("sd, verdict, words", [
    (0.05, Verdict.DOES_NOT_FIT, "bend the studs"), (0.3, Verdict.CANNOT_TELL, "5x120 or 5x120.65"),
])  # fmt: skip
def test_measured_at_120_mm_a_fine_calliper_refuses_and_a_coarse_one_does_not_tell(sd, verdict, words):
    wheel = {"holes": exact(5), "bolt circle": Fact(120.0, sd)}
    answer = wheel_on_hub("bolt circle", wheel, circle(5, 120.65))
    assert answer.verdict is verdict
    assert words in answer.reason


@pytest.mark.parametrize("stud, nut, words", [
    ("M12x1.5", "M12x1.25", "same diameter, pitch 1.500 mm against 1.250 mm"),
    ("M12x1.25", "M12x1.5", "same diameter"),
    ("M14x1.5", "M14x2", "same diameter"),
    ("M12x1.5", "1/2-20", "strips under load"),
    ("1/2-20", "M12x1.5", "does not start"),
    ("7/16-20", "M12x1.5", "strips under load"),
    ("M14x1.5", "9/16-18", "binds"),
    ("7/16-20", "1/2-20", "slides in and holds nothing"),
    ("1/2-20", "1/2-20 LH", "left-hand"),
])  # fmt: skip
def test_threads_nearly_alike(stud, nut, words):
    answer = wheel_on_hub("stud thread", hub={"stud thread": stud}, said={"nut thread": nut})
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert words in answer.reason
    assert stud.split(" ")[0] in answer.reason
    assert nut in answer.reason or "left-hand" in answer.reason


@pytest.mark.parametrize("nut, seat, words", [
    ("taper", "ball", "a cone in a ball seat bears on one thin ring"),
    ("ball", "taper", "a ball in a taper seat bears on one thin ring"),
    ("taper", "flat", "wedges into the edge of the hole"),
    ("taper", "shank", "no shank to fill the wide hole"),
    ("flat", "shank", "nothing but friction holds the wheel"),
    ("flat", "taper", "outer edge of the cone"),
    ("shank", "flat", "drilled for the stud, not for a shank"),
    ("ball", "flat", "edge of the hole alone"),
    ("shank", "taper", "outer edge of the cone"),
])  # fmt: skip
def test_seats_that_start_and_do_not_bear(nut, seat, words):
    answer = wheel_on_hub("nut seat", {"seat": seat}, said={"nut seat": nut})
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert f"{nut} nut in a {seat} seat" in answer.reason
    assert words in answer.reason
    assert seat in answer.remedy


def test_cones_of_unlike_angle():
    answer = wheel_on_hub("nut seat", {"seat": "taper", "seat angle": deg(60.0)},
                          said={"nut seat": "taper", "nut seat angle": deg(90.0)})  # fmt: skip
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert "nut 90.0 deg, wheel 60.0 deg" in answer.reason


@pytest.mark.parametrize("nut, seat", [(12.0, 13.0), (13.0, 14.0), (14.0, 13.0), (12.0, 14.0)])
def test_balls_of_unlike_radius(nut, seat):
    answer = wheel_on_hub("nut seat", {"seat": "ball", "seat radius": exact(seat)},
                          said={"nut seat": "ball", "nut seat radius": exact(nut)})  # fmt: skip
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert f"nut {nut:.2f} mm, wheel {seat:.2f} mm" in answer.reason
    assert "a ring at one end of its seat" in answer.reason


@pytest.mark.parametrize("bore, register, kind", [(66.6, 67.1, "turn down"), (72.6, 67.1, "make a ring"),
                                                  (70.1, 70.5, "turn down")])  # fmt: skip
def test_bores_nearly_alike_ask_for_work_and_never_pass(bore, register, kind):
    wheel, hub = {"bore": Fact(bore, 0.02)}, {"wheel register": Fact(register, 0.02)}
    answer = wheel_on_hub("hub register", wheel, hub)
    assert answer.verdict is Verdict.FITS_AFTER_WORK
    assert answer.works[0].kind == kind


def test_a_ring_too_thin_to_make_is_no_work():
    answer = wheel_on_hub("hub register", {"bore": Fact(67.9, 0.02)}, {"wheel register": Fact(67.1, 0.02)})
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert "0.40 mm of wall" in answer.reason


def test_a_nut_that_takes_hold_by_a_few_turns_is_not_enough():
    hub = {"stud thread": "1/2-20", "stud length": Fact(31.0, 0.1)}
    said = {"nut thread length": Fact(18.0, 0.1), "nut material": "steel", "nut end": "open"}
    answer = wheel_on_hub("stud engagement", {"pad thickness": Fact(24.0, 0.1)}, hub, said)
    assert answer.verdict is Verdict.FITS_AFTER_WORK
    assert "7.00 mm of 1/2-20 engaged, 5.5 turns; 12.70 mm, 10.0 turns, are asked" in answer.reason
    assert "the stud is too short" in answer.reason


def test_a_closed_nut_that_bottoms_by_a_thread_reads_as_tight():
    hub = {"stud thread": "M12x1.5", "stud length": Fact(40.0, 0.05)}
    said = {"nut thread length": Fact(25.0, 0.1), "nut material": "steel", "nut end": "closed",
            "nut depth": Fact(27.0, 0.05)}  # fmt: skip
    answer = wheel_on_hub("closed nut", {"pad thickness": Fact(12.0, 0.05)}, hub, said)
    assert answer.verdict is Verdict.FITS_AFTER_WORK
    assert "reads as tight with the wheel loose" in answer.reason


def test_nominal_width_taken_for_the_overall_one():
    # 8 in between the seats is 9 in overall; half of 8 in taken from 4.5 in makes a wheel of no offset one of +12.7
    wheel = {"rim width": exact(203.2), "backspacing": Fact(114.3, 0.3), "offset": exact(12.7)}
    answer = wheel_on_hub("offset", wheel)
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert "give 0.0 mm" in answer.reason
    assert "the nominal width was taken for the overall one" in answer.reason


def test_a_wheel_on_the_rotors_step_and_not_on_the_hat():
    hub = {"rotor register": Fact(72.0, 0.02), "rotor register height": Fact(7.0, 0.05)}
    answer = wheel_on_hub("rotor step below the wheel", {"bore": Fact(67.1, 0.02)}, hub)
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert "the pad would bear on the step" in answer.reason


def test_a_rotor_of_the_right_circle_hanging_on_its_studs():
    rotor = {**circle(5, 114.3), "bore": Fact(74.0, 0.02), "stud hole": exact(12.6), "hat thickness": Fact(6.0, 0.02)}
    hub = {**circle(5, 114.3), "rotor register": Fact(72.0, 0.02), "stud thread": "M12x1.5"}
    joint = Joint({}, "r", "rotor on hub", Port(rotor, "brake rotor", "hat"), Port(hub, "wheel hub", "flange"), "rotor",
                  "hub")  # fmt: skip
    found = {a.question: a for a in JUDGE["rotor on hub"](joint)}
    assert found["hole circle"].verdict is Verdict.FITS
    assert found["rotor register"].verdict is Verdict.DOES_NOT_FIT
    assert "ring" in found["rotor register"].reason


def test_the_bracket_of_the_other_side():
    right = tuple((Fact(x, 0.05), Fact(y, 0.05)) for x, y in ((0.0, 0.0), (82.0, 5.0), (70.0, 60.0), (0.0, 48.0)))
    left = tuple((Fact(-x.value, 0.05), y) for x, y in right)
    bracket = Port({"points": left, "hole": exact(11.0), "pilot bore": exact(80.0)}, "brake bracket", "face")
    end = Port({"points": right, "bolt": exact(10.0)}, "housing end", "flange")
    joint = Joint({}, "b", BRACKETS[0].name, bracket, end, "bracket", "housing")
    answer = next(a for a in BRACKETS[0].judge(joint) if a.question == "bracket pattern")
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert "made for the other side" in answer.reason


def test_4_75_in_and_120_mm_have_a_way_out_and_not_a_caution_alone():
    answer = wheel_on_hub("bolt circle", circle(5, 120.65), circle(5, 120.0))
    assert answer.remedy.startswith("a wheel of 5 on 120.00 mm or a hub of 5 on 120.65 mm")
    assert answer.caution
