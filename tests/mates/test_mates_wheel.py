"""Wheel on hub and wheel over brake: invented wheels and hubs, sound and unsound."""

import ast
import math
from dataclasses import replace
from pathlib import Path

import pytest

import trialfit.mates.wheel as home
from trialfit.findings import Verdict
from trialfit.mates import WORK_KINDS, Joint, Layer, worst
from trialfit.mates.wheel import KINDS
from trialfit.parts import Fact, Port
from trialfit.parts.brake_ports import PORTS as BRAKE_PORTS
from trialfit.parts.wheel_ports import HUB, WHEEL
from trialfit.parts.wheel_ports import PORTS as WHEEL_PORTS

KIND = {kind.name: kind for kind in KINDS}
CALLIPER = 0.02


def size(value, sd=CALLIPER):
    return Fact(value, sd)


WHEEL_SIZES = {
    "holes": size(5, 0.0), "bolt circle": size(114.3, 0.0), "bore": size(67.1), "pad thickness": size(12.0),
    "stud hole": size(14.0), "seat": "taper", "seat angle": size(math.radians(60.0), 0.0), "offset": size(20.0, 0.0),
    "rim width": size(177.8, 0.0), "backspacing": size(121.6, 0.3),
}  # fmt: skip
HUB_SIZES = {
    "studs": size(5, 0.0), "bolt circle": size(114.3, 0.0), "wheel register": size(67.0),
    "wheel register height": size(14.0), "rotor register": size(72.0), "rotor register height": size(5.0),
    "stud thread": "M12x1.5", "stud length": size(40.0, 0.1), "stud shoulder": size(4.0, 0.1),
    "flange diameter": size(150.0), "flange thickness": size(10.0), "stud hole": size(13.0),
}  # fmt: skip
NUTS = {
    "nut thread": "M12x1.5", "nut seat": "taper", "nut seat angle": size(math.radians(60.0), 0.0),
    "nut material": "steel", "nut end": "open", "nut thread length": size(20.0, 0.1), "nut lead": size(1.5, 0.1),
}  # fmt: skip
HAT = Layer("rotor hat", Fact(6.0, CALLIPER))


def joint(wheel=None, hub=None, nuts=None, layers=(HAT,), choices=None, kind="wheel on hub"):
    def put(before, change):
        return {k: v for k, v in (before | (change or {})).items() if v is not None}

    a = Port(put(WHEEL_SIZES, wheel), "road wheel", "pad")
    b = Port(put(HUB_SIZES, hub), "wheel hub", "flange")
    return Joint(put(NUTS, nuts), "rear left", kind, a, b, "wheel", "axle shaft", layers=tuple(layers),
                 choices=choices or {})  # fmt: skip


def answers(**changes):
    asked = joint(**changes)
    return {answer.question: answer for answer in KIND[asked.kind].judge(asked)}


def over_brake(wheel, brake, layers=(), kind="brake caliper", choices=None):
    asked = Joint({}, "w", "wheel over brake", Port(wheel, "road wheel", "pad"), Port(brake, kind, "c"), "wheel",
                  "brake", layers=tuple(layers), choices=choices or {})  # fmt: skip
    return {answer.question: answer for answer in KIND["wheel over brake"].judge(asked)}


def test_a_sound_wheel_fits_in_every_question():
    found = answers()
    assert {q: a.verdict for q, a in found.items()} == dict.fromkeys(found, Verdict.FITS)
    assert set(found) >= {"bolt circle", "hub register", "register height", "rotor step below the wheel", "stud thread",
                          "stud engagement", "stud shoulder", "nut seat", "stud holes", "offset"}  # fmt: skip


def test_every_answer_carries_a_caution_and_every_work_a_known_kind():
    found = answers(wheel={"bore": size(66.0)}, hub={"stud length": size(25.0)})
    assert all(len(a.caution) > 40 for a in found.values())
    works = [w for a in found.values() for w in a.works]
    assert works
    assert all(w.kind in WORK_KINDS for w in works)


def test_outer_register_is_turned_down_to_the_wheel_and_the_inner_one_stays():
    found = answers(hub={"wheel register": size(70.5)})["hub register"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    (work,) = found.works
    assert (work.part, work.kind) == ("axle shaft", "turn down")
    assert work.target.low_mm == pytest.approx(66.95)
    assert work.target.high_mm == pytest.approx(67.05)
    inner, outer = work.figure.steps
    assert (inner.outer_mm, inner.worked, inner.length_mm) == (72.0, "", 5.0)
    assert (outer.worked, outer.length_mm) == ("outer", pytest.approx(9.0))
    assert any("rotor's register" in text for text in work.forbidden)


def test_bore_too_big_asks_for_a_ring():
    found = answers(wheel={"bore": size(72.6)})["hub register"]
    assert [w.kind for w in found.works] == ["make a ring"]
    assert "say centring: nuts" in found.remedy
    flat = answers(wheel={"bore": size(72.6), "seat": "flat"}, nuts={"nut seat": "flat"})["hub register"]
    assert "centring" not in flat.remedy


def test_nuts_may_centre_a_wheel_with_a_big_bore_when_their_seat_does():
    found = answers(wheel={"bore": size(72.6)}, nuts={"centring": "nuts"})["hub register"]
    assert found.verdict is Verdict.FITS
    flat = answers(wheel={"bore": size(72.6), "seat": "flat"}, nuts={"centring": "nuts", "nut seat": "flat"})
    assert flat["hub register"].verdict is Verdict.DOES_NOT_FIT
    assert "flat seat does not centre" in flat["hub register"].reason


def test_a_bore_too_small_for_the_hub_does_not_fit_whatever_centres():
    found = answers(wheel={"bore": size(66.0)}, nuts={"centring": "nuts"})["hub register"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    assert found.works[0].kind == "turn down"


def test_sizes_read_off_paper_that_agree_to_the_tenth_are_one_size():
    found = answers(wheel={"bore": size(67.1, 0.0)}, hub={"wheel register": size(67.06, 0.0)})["hub register"]
    assert found.verdict is Verdict.FITS
    other = answers(wheel={"bore": size(67.1, 0.0)}, hub={"wheel register": size(66.6, 0.0)})["hub register"]
    assert other.verdict is not Verdict.FITS


def test_spacers_eat_the_register():
    found = answers(layers=(HAT, Layer("spacer", Fact(6.0, CALLIPER))))
    assert found["register height"].verdict is Verdict.DOES_NOT_FIT
    assert "leave 2.00 mm" in found["register height"].reason


def test_engagement_counts_every_layer_and_tells_turns():
    # 40 out of the flange, less 6 hat, 12 pad and 1.5 lead: 20.5 beyond; the nut has 20
    found = answers()["stud engagement"]
    assert "20.00 mm of M12x1.5 engaged, 13.3 turns; 12.00 mm, 8.0 turns, are asked" in found.reason
    assert found.margin == pytest.approx(8.0)
    spaced = answers(layers=(HAT, Layer("spacer", Fact(10.0, CALLIPER))))["stud engagement"]
    assert spaced.verdict is Verdict.FITS_AFTER_WORK
    assert "10.50 mm of M12x1.5 engaged, 7.0 turns" in spaced.reason
    (work,) = spaced.works
    assert work.target.nominal_mm == pytest.approx(41.5)


def test_aluminium_nuts_ask_for_half_as_much_again():
    found = answers(hub={"stud length": size(35.0)}, nuts={"nut material": "aluminium"})["stud engagement"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    assert "18.00 mm, 12.0 turns, are asked" in found.reason


def test_material_is_asked_for_only_where_it_decides():
    assert "nut material" not in answers(nuts={"nut material": None})
    near = answers(hub={"stud length": size(35.0)}, nuts={"nut material": None})["nut material"]
    assert near.verdict is Verdict.CANNOT_TELL
    assert "magnet" in near.measure


def test_a_short_nut_is_named_and_not_the_stud():
    found = answers(nuts={"nut thread length": size(9.0)})["stud engagement"]
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert "the nut is too short" in found.reason
    assert found.works == ()


def test_closed_nut_bottoms_before_the_wheel_is_clamped():
    deep = answers(nuts={"nut end": "closed", "nut depth": size(30.0)})["closed nut"]
    assert deep.verdict is Verdict.FITS
    assert deep.margin == pytest.approx(30.0 - 22.0 - 2.0)
    short = answers(nuts={"nut end": "closed", "nut depth": size(20.0)})["closed nut"]
    assert short.verdict is Verdict.FITS_AFTER_WORK
    assert "2.00 mm before the wheel is clamped" in short.reason
    assert short.works[0].kind == "exchange"


def test_shoulder_inside_the_nut_clamps_nothing():
    found = answers(hub={"stud shoulder": size(22.0)})["stud shoulder"]
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert "clamps nothing" in found.reason


def test_a_race_club_wants_a_turn_standing_out():
    choices = {"wheel-stud-through-nut": "one whole turn, asked by one race club"}
    assert "stud out of the nut" not in answers()
    assert answers(choices=choices)["stud out of the nut"].verdict is Verdict.DOES_NOT_FIT


def test_wheel_bolts_are_counted_in_the_hub():
    bolts = {"held by": "bolts", "bolt length": size(40.0, 0.1)}
    found = answers(hub={"thread depth": size(15.0)}, nuts=bolts)
    assert found["stud engagement"].verdict is Verdict.FITS
    assert "15.00 mm of M12x1.5 engaged" in found["stud engagement"].reason
    assert found["bolt behind the flange"].verdict is Verdict.CANNOT_TELL
    short = answers(hub={"thread depth": size(15.0)}, nuts=bolts | {"bolt length": size(28.0, 0.1)})["stud engagement"]
    assert short.works[0].words.startswith("wheel bolts at least 2.00 mm longer")
    shallow = answers(hub={"thread depth": size(9.0)}, nuts=bolts)["stud engagement"]
    assert shallow.verdict is Verdict.DOES_NOT_FIT
    assert "the hub has too little thread" in shallow.remedy


def test_shank_must_not_reach_the_hub_and_must_fill_its_hole():
    shank = {"nut seat": "shank", "nut shank": size(10.0), "nut shank diameter": size(17.3)}
    wheel = {"seat": "shank", "stud hole": size(17.5)}
    found = answers(wheel=wheel, nuts=shank)
    assert found["nut shank"].verdict is Verdict.FITS
    assert found["shank in hole"].verdict is Verdict.FITS
    assert "stud holes" not in found
    long = answers(wheel=wheel, nuts=shank | {"nut shank": size(13.0)})["nut shank"]
    assert long.verdict is Verdict.DOES_NOT_FIT
    assert "before the washer clamps the wheel" in long.reason
    loose = answers(wheel=wheel | {"stud hole": size(19.0)}, nuts=shank)["shank in hole"]
    assert "is loose in a hole" in loose.reason


def test_shank_reaches_the_stud_sooner():
    shank = {"nut seat": "shank", "nut shank": size(10.0), "nut shank diameter": size(17.3)}
    short = {"stud length": size(26.0, 0.1)}
    wheel = {"seat": "shank", "stud hole": size(17.5)}
    # 26 out, less 6 hat, 12 pad and 1.5 lead, and the nut reaches 10 in
    assert "16.50 mm of M12x1.5 engaged" in answers(wheel=wheel, hub=short, nuts=shank)["stud engagement"].reason


def test_socket_must_turn_in_its_well():
    assert answers(wheel={"well": size(30.0)}, nuts={"socket": size(27.0)})["nut head room"].verdict is Verdict.FITS
    tight = answers(wheel={"well": size(27.5)}, nuts={"socket": size(27.0)})["nut head room"]
    assert tight.verdict is Verdict.DOES_NOT_FIT
    assert answers(wheel={"well": size(30.0)})["nut head room"].verdict is Verdict.CANNOT_TELL


def test_offset_backspacing_and_width_must_agree():
    # 7 in between the seats, half an inch of lip: 88.9 + 12.7 + 20 = 121.6
    assert answers()["offset"].verdict is Verdict.FITS
    wrong = answers(wheel={"backspacing": size(108.9, 0.3)})["offset"]
    assert wrong.verdict is Verdict.DOES_NOT_FIT
    assert "backspacing and width give 7.3 mm" in wrong.reason
    over = answers(wheel={"overall width": size(203.2, 0.3)})["offset"]
    assert "which gives 20.0 mm" in over.reason
    worked_out = answers(wheel={"offset": None, "overall width": size(203.2, 0.3)})["offset"]
    assert "offset 20.0 mm, worked out" in worked_out.reason
    deep = answers(wheel={"backspacing": size(250.0, 0.3), "overall width": size(203.2, 0.3)})["offset"]
    assert deep.verdict is Verdict.CANNOT_TELL
    assert "cannot belong to one wheel: backspacing is 250 mm" in deep.reason
    nothing = answers(wheel={"offset": None, "backspacing": None})["offset"]
    assert nothing.verdict is Verdict.CANNOT_TELL


def test_studs_must_end_below_the_face_of_a_spacer():
    spacer = {"outer face": size(25.0)}
    long = answers(wheel=spacer)["studs below the outer face"]
    assert long.verdict is Verdict.FITS_AFTER_WORK
    assert long.works[0].kind == "shorten"
    assert answers(wheel=spacer, hub={"stud length": size(28.0)})["studs below the outer face"].verdict is Verdict.FITS


def test_cap_and_load():
    found = answers(wheel={"cap hole": size(60.0), "load": size(600.0, 0.0)}, hub={"cap diameter": size(62.0)},
                    nuts={"wheel load": size(450.0, 10.0)})  # fmt: skip
    assert found["hub cap"].verdict is Verdict.DOES_NOT_FIT
    assert found["load"].verdict is Verdict.FITS
    over = answers(wheel={"load": size(600.0, 0.0)}, nuts={"wheel load": size(650.0, 10.0)})["load"]
    assert over.verdict is Verdict.DOES_NOT_FIT


def test_circle_from_neighbours_carries_the_doubt_of_the_chord():
    chord = 114.3 / (1.0 / math.sin(math.pi / 5.0))
    fine = answers(hub={"bolt circle": None, "neighbour distance": size(chord, 0.02)})["bolt circle"]
    assert fine.verdict is Verdict.FITS
    assert fine.sd == pytest.approx(0.02 * 1.7013, rel=1e-4)
    coarse = answers(hub={"bolt circle": None, "neighbour distance": size(chord, 0.5)})["bolt circle"]
    assert coarse.verdict is Verdict.CANNOT_TELL
    assert "5x114.3 or 5x115" in coarse.reason
    assert "standard deviation" in coarse.measure


def test_redrilling_is_only_offered_when_allowed():
    other = {"bolt circle": size(120.65, 0.0), "flange diameter": size(160.0)}
    assert answers(hub=other)["bolt circle"].verdict is Verdict.DOES_NOT_FIT
    allowed = answers(hub=other, nuts={"redrill": "hub"})["bolt circle"]
    assert allowed.verdict is Verdict.FITS_AFTER_WORK
    (work,) = allowed.works
    assert work.kind == "redrill"
    assert (work.figure.round_mm, work.figure.bore_mm) == (160.0, 72.0)
    assert "rotor or drum on this flange need the new circle" in allowed.remedy


@pytest.mark.parametrize("port, key, question, gauge", [
    ("wheel", "holes", "bolt circle", "count"), ("wheel", "bolt circle", "bolt circle", "1.7013"),
    ("hub", "bolt circle", "bolt circle", "calliper"), ("wheel", "bore", "hub register", "calliper"),
    ("hub", "wheel register", "hub register", "micrometer"),
    ("hub", "wheel register height", "register height", "depth rod"),
    ("hub", "rotor register height", "rotor step below the wheel", "depth rod"),
    ("hub", "stud thread", "stud thread", "thread gauge"), ("nuts", "nut thread", "stud thread", "thread gauge"),
    ("wheel", "pad thickness", "stud engagement", "calliper"), ("hub", "stud length", "stud engagement", "depth rod"),
    ("nuts", "nut thread length", "stud engagement", "thread in the nut"), ("nuts", "nut end", "nut end", "look"),
    ("wheel", "seat", "nut seat", "look"), ("nuts", "nut seat", "nut seat", "look"),
    ("wheel", "seat angle", "nut seat", "angle gauge"), ("nuts", "nut seat angle", "nut seat", "angle gauge"),
])  # fmt: skip
def test_what_is_missing_is_asked_for_with_its_gauge(port, key, question, gauge):
    found = answers(**{port: {key: None}})[question]
    assert found.verdict is Verdict.CANNOT_TELL
    assert gauge in found.measure


def test_layer_of_unknown_thickness_is_named():
    found = answers(layers=(Layer("drum web", None),))
    assert "drum web" in found["stud engagement"].reason
    assert "drum web" in found["register height"].reason


def test_sizes_of_unknown_doubt_are_not_told():
    found = answers(wheel={"bore": Fact(67.1)})["hub register"]
    assert found.verdict is Verdict.CANNOT_TELL


def test_caliper_under_the_rim_with_weights_taken_off():
    wheel = {"barrel": size(330.0, 0.5), "spoke face": size(40.0, 0.3)}
    brake = {"swept radius": size(150.0, 0.3), "standout": size(30.0, 0.3)}
    found = over_brake(wheel, brake)
    assert found["barrel gap"].margin == pytest.approx(165.0 - 150.0 - 5.0 - 3.0)
    assert found["spoke gap"].margin == pytest.approx(40.0 - 30.0 - 3.0)
    assert worst(found.values()) is Verdict.FITS


def test_spokes_that_touch_ask_for_a_spacer_of_what_is_missing():
    wheel = {"barrel": size(330.0, 0.5), "spoke face": size(28.0, 0.1)}
    brake = {"swept radius": size(150.0, 0.3), "standout": size(30.0, 0.1)}
    found = over_brake(wheel, brake)["spoke gap"]
    assert found.verdict is Verdict.FITS_AFTER_WORK
    assert "at least 5.00 mm" in found.works[0].words
    assert over_brake(wheel, brake, (Layer("rotor hat", Fact(7.0, 0.05)),))["spoke gap"].verdict is Verdict.FITS


def test_no_work_makes_a_rim_bigger():
    found = over_brake({"barrel": size(300.0, 0.5)}, {"swept radius": size(150.0, 0.3)})["barrel gap"]
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert "never grind a caliper" in found.remedy


def test_a_wheel_shop_asks_for_twice_the_gap():
    wheel = {"barrel": size(326.0, 0.2), "spoke face": size(36.0, 0.2)}
    brake = {"swept radius": size(153.0, 0.1), "standout": size(30.0, 0.1)}
    assert over_brake(wheel, brake)["barrel gap"].verdict is Verdict.FITS
    strict = over_brake(wheel, brake, choices={"wheel-to-brake": "6.4 mm to any brake or suspension part"})
    assert strict["barrel gap"].verdict is Verdict.DOES_NOT_FIT


def test_a_drum_has_no_standout():
    found = over_brake({"barrel": size(330.0, 0.5)}, {"outside diameter": size(290.0, 0.5)}, kind="brake drum")
    assert set(found) == {"barrel gap"}
    assert found["barrel gap"].margin == pytest.approx(165.0 - 145.0 - 5.0 - 3.0)


def test_every_key_that_is_judged_can_be_written():
    known = {a.key for p in (*WHEEL_PORTS, *BRAKE_PORTS) for a in p.asks} | {a.key for k in KINDS for a in k.asks}
    known |= {"rotor offset", "slot", "carries"}
    folder = Path(home.__file__).parent
    names = ("wheel", "wheel_nut", "wheel_over_brake", "stud", "rotor", "rotor_in_caliper", "drum_over_shoes",
             "brake_bracket")  # fmt: skip
    asked = set()
    for name in names:
        for node in ast.walk(ast.parse((folder / f"{name}.py").read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.args:
                word = node.args[0]
                if node.func.attr in {"size", "word", "count", "points"} and isinstance(word, ast.Constant):
                    asked.add(word.value)
    assert len(asked) > 40
    assert asked <= known


def test_asks_bound_what_is_a_slip():
    for kind in (WHEEL, HUB):
        for ask in kind.asks:
            assert ask.meaning
            if ask.dimension == "length":
                assert ask.high <= 700.0
    assert HUB.ask("bolt circle").low > 4.75 * 2.54


def test_the_same_joint_gives_the_same_answers():
    one = joint()
    assert KIND["wheel on hub"].judge(one) == KIND["wheel on hub"].judge(replace(one))
