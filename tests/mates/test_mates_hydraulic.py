"""Hydraulic ends: what is asked when a size is missing, flares by calliper, seats by angle, banjo eyes, ways out."""

import math

import pytest

from trialfit.findings import Verdict
from trialfit.mates import Joint, worst
from trialfit.mates.hydraulic import KINDS, end_of, ends_joined_by, judge
from trialfit.parts import Fact, Port
from trialfit.parts.hydraulic_ports import HOSES, PORTS, SEALS, TUBE_MATERIALS
from trialfit.standards.hose_ends import end_families, forbidden, hose_types
from trialfit.units import unmarked


def port(kind="hydraulic end", **values):
    return Port({k.replace("_", " "): v for k, v in values.items()}, kind, "end")


def meet(a, b, use="brake"):
    return Joint({}, "j", "hydraulic end to end", a, b, "pipe", "cylinder", use=use)


def said(joint, question):
    return next(a for a in judge(joint) if a.question == question)


FLARE = dict(seal="inverted flare", gender="male", thread="3/8-24", tube=Fact(4.76, 0.03))
PORT = dict(seal="inverted flare", gender="female", thread="3/8-24")


@pytest.mark.parametrize("key,question,words", [
    ("seal", "sealing form", "raised seat, hollow cone"),
    ("gender", "gender", "male when its own thread"),
    ("thread", "thread", "thread gauge"),
])  # fmt: skip
def test_what_is_missing_is_asked_for(key, question, words):
    for a, b in (({**FLARE}, {**PORT}), ({**PORT}, {**FLARE})):
        del a[key]
        found = said(meet(port(**a), port(**b)), question)
        assert found.verdict is Verdict.CANNOT_TELL
        assert words in found.measure


def test_two_blank_ends_are_asked_for_and_nothing_breaks():
    answers = judge(meet(port(), port(), use=""))
    assert {a.question for a in answers} == {"sealing form", "gender", "thread", "tube", "use"}
    assert all(a.measure for a in answers if a.verdict is Verdict.CANNOT_TELL)
    assert worst(answers) is Verdict.CANNOT_TELL


def test_the_use_is_asked_for_where_a_use_forbids_the_end():
    npt = dict(seal="NPT", thread="1/8-27 NPT")
    found = said(meet(port(gender="male", **npt), port(gender="female", **npt), use=""), "use")
    assert found.verdict is Verdict.CANNOT_TELL
    assert "brake" in found.measure
    assert said(meet(port(**FLARE), port(**PORT), use=""), "use").verdict is Verdict.FITS


def test_a_tube_that_only_follows_from_the_thread_does_not_refuse():
    step_nut = {**FLARE, "thread": "7/16-24"}
    found = said(meet(port(**step_nut), port(**{**PORT, "thread": "7/16-24"})), "tube")
    assert found.verdict is Verdict.CANNOT_TELL
    assert "nuts of that thread are sold for other tube" in found.reason


@pytest.mark.parametrize("a,b,verdict", [
    (Fact(4.80, 0.03), Fact(4.75, 0.0), Verdict.FITS),
    (Fact(6.02, 0.03), Fact(6.35, 0.0), Verdict.DOES_NOT_FIT),
    (Fact(7.97, 0.03), Fact(8.0, 0.0), Verdict.CANNOT_TELL),
    (Fact(7.938, 0.003), Fact(8.0, 0.0), Verdict.DOES_NOT_FIT),
    (Fact(6.2, None), Fact(6.35, 0.0), Verdict.CANNOT_TELL),
])  # fmt: skip
def test_tube_is_known_by_its_nominal_size(a, b, verdict):
    nut, seat = {**FLARE, "tube": a}, {**PORT, "tube": b}
    assert said(meet(port(**nut), port(**seat)), "tube").verdict is verdict


@pytest.mark.parametrize("across,sd,verdict,words", [
    (6.9, 0.03, Verdict.FITS, "6.70 mm to 7.10 mm is right"),
    (6.2, 0.03, Verdict.DOES_NOT_FIT, "the nut pulls over it"),
    (7.5, 0.03, Verdict.DOES_NOT_FIT, "it jams"),
    (6.72, 0.05, Verdict.CANNOT_TELL, "known only to"),
])  # fmt: skip
def test_a_flare_by_calliper(across, sd, verdict, words):
    found = said(meet(port(**FLARE, flare_diameter=Fact(across, sd)), port(**PORT)), "flare diameter, pipe")
    assert found.verdict is verdict
    assert words in found.reason


def test_a_single_flare_as_wide_as_one_should_be_is_still_no_double_one():
    found = judge(meet(port(**FLARE, flare="single", flare_diameter=Fact(6.2, 0.02)), port(**PORT)))
    by = {a.question: a for a in found}
    assert by["flare form, pipe"].verdict is Verdict.DOES_NOT_FIT
    assert by["flare diameter, pipe"].verdict is Verdict.FITS


def test_too_thick_a_wall_is_not_folded():
    found = said(meet(port(**FLARE, wall=Fact(0.89, 0.02)), port(**PORT)), "wall for flare, pipe")
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert "0.71 mm" in found.reason


def test_a_flare_the_table_does_not_hold_is_not_guessed():
    big = {**FLARE, "thread": "5/8-18", "tube": Fact(9.525, 0.0), "flare_diameter": Fact(12.5, 0.03)}
    found = said(meet(port(**big), port(**{**PORT, "thread": "5/8-18"}), "fuel"), "flare diameter, pipe")
    assert found.verdict is Verdict.CANNOT_TELL
    assert "3/8 in" in found.measure


@pytest.mark.parametrize("seal,deg,sd,verdict", [
    ("37 flare", 37.3, 0.5, Verdict.FITS), ("37 flare", 45.0, 0.5, Verdict.DOES_NOT_FIT),
    ("45 flare", 37.0, 0.5, Verdict.DOES_NOT_FIT), ("45 flare", 41.0, 2.0, Verdict.CANNOT_TELL),
    ("inverted flare", 42.0, 0.5, Verdict.FITS), ("inverted flare", 37.0, 0.5, Verdict.DOES_NOT_FIT),
])  # fmt: skip
def test_a_seat_by_its_angle(seal, deg, sd, verdict):
    side = dict(seal=seal, thread="7/16-20", tube=Fact(6.35, 0.0))
    angle = Fact(math.radians(deg), math.radians(sd))
    joint = meet(port(gender="male", seat_angle=angle, **side), port(gender="female", **side), "oil")
    assert said(joint, "seat angle, pipe").verdict is verdict


BANJO = dict(thread="M10x1", hole=Fact(10.2, 0.03), bolt=Fact(9.95, 0.03), thickness=Fact(9.0, 0.03),
             bolt_length=Fact(24.0, 0.03), washers=Fact(2.0, 0.0), washer=Fact(1.5, 0.02))  # fmt: skip
FACE = dict(seal="flat seat", gender="female", thread="M10x1", face="machined", thread_depth=Fact(14.0, 0.1))


def banjo(face=(), **changed):
    return meet(port("banjo eye", **{**BANJO, **changed}), port(**{**FACE, **dict(face)}))


def test_a_whole_banjo_fits():
    assert worst(judge(banjo())) is Verdict.FITS


@pytest.mark.parametrize("changed,face,question,words", [
    (dict(hole=Fact(11.22, 0.03)), {}, "banjo eye", "sit off centre"),
    (dict(hole=Fact(9.6, 0.03)), {}, "banjo eye", "does not go in"),
    (dict(washers=Fact(1.0, 0.0)), {}, "washers", "1 washer:"),
    (dict(washers=Fact(0.0, 0.0)), {}, "washers", "leaks"),
    (dict(bolt_length=Fact(18.0, 0.03)), {}, "bolt engagement", "it strips"),
    (dict(bolt_length=Fact(30.0, 0.03)), {}, "bolt engagement", "bottoms"),
    (dict(thread="3/8-24"), {}, "thread", "3/8-24 is no M10x1"),
    (dict(thread="M10x1.25"), {}, "thread", "pitch"),
    ({}, dict(seal="inverted flare", thread="M10x1"), "sealing form", "the bolt bottoms first"),
    ({}, dict(seal="bubble"), "sealing form", "hollow cone"),
    ({}, dict(face="rough"), "sealing form", "rough"),
])  # fmt: skip
def test_a_banjo_that_nearly_fits(changed, face, question, words):
    found = said(banjo(face, **changed), question)
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert words in found.reason


@pytest.mark.parametrize("key,question", [
    ("hole", "banjo eye"), ("bolt", "banjo eye"), ("washers", "washers"), ("bolt_length", "bolt engagement"),
    ("washer", "bolt engagement"),
])  # fmt: skip
def test_a_banjo_size_that_is_missing(key, question):
    values = {k: v for k, v in BANJO.items() if k != key}
    found = said(meet(port("banjo eye", **values), port(**FACE)), question)
    assert found.verdict is Verdict.CANNOT_TELL
    assert found.measure


def test_a_banjo_bolt_in_a_port_of_unknown_depth_may_bottom():
    face = {k: v for k, v in FACE.items() if k != "thread_depth"}
    found = said(meet(port("banjo eye", **BANJO), port(**face)), "bolt engagement")
    assert found.verdict is Verdict.CANNOT_TELL
    assert "bottom" in found.reason


@pytest.mark.parametrize("a,b,verdict", [
    (7.89, 7.9, Verdict.FITS), (9.49, 7.89, Verdict.DOES_NOT_FIT), (None, 7.89, Verdict.CANNOT_TELL),
])  # fmt: skip
def test_quick_connectors_go_by_their_spigot(a, b, verdict):
    side = dict(seal="quick connect")
    male = port(gender="male", **side, **({} if a is None else {"spigot": Fact(a, 0.02)}))
    joint = meet(male, port(gender="female", spigot=Fact(b, 0.02), **side), "fuel")
    assert said(joint, "spigot").verdict is verdict
    assert "thread" not in {x.question for x in judge(joint)}


def test_a_wrong_pair_comes_with_the_fittings_that_join_it():
    joint = meet(port(seal="bubble", gender="male", thread="M10x1"), port(**PORT))
    found = said(joint, "sealing form")
    told = unmarked(found.remedy)
    assert "adapter (M10x1 female bubble for 4.75 mm) to (3/8-24 male inverted flare for 3/16 in)" in told
    assert ends_joined_by(joint).best[0].joints == 2


def test_no_chain_is_named_for_an_end_that_the_use_forbids():
    joint = meet(port(seal="NPT", gender="male", thread="1/8-27 NPT"), port(**PORT))
    assert ends_joined_by(joint).best == ()
    assert ends_joined_by(joint).refused[0].thing == "NPT"
    assert "fittings" not in said(joint, "sealing form").remedy


def test_an_end_takes_its_tube_from_its_thread_only_where_that_is_plain():
    assert end_of(port(**PORT)).size == "3/16 in"
    assert end_of(port(seal="24 cone", gender="male", thread="M14x1.5")).size == ""
    assert end_of(port(gender="male")) is None


def test_brakes_carry_their_caution():
    joint = meet(port(**{**FLARE, "thread": "M10x1"}), port(**PORT))
    assert "qualified person" in said(joint, "thread").caution


def test_words_of_ports_are_those_of_the_tables():
    assert set(SEALS) <= set(end_families())
    assert set(HOSES) == set(hose_types())
    assert forbidden("copper", "brake") is not None
    assert "copper-nickel" in TUBE_MATERIALS


@pytest.mark.parametrize("kind", KINDS)
def test_kinds_name_ports_that_exist(kind):
    assert set(kind.first) | set(kind.second) <= {p.name for p in PORTS}


def test_a_banjo_at_a_port_nobody_looked_into():
    face = {k: v for k, v in FACE.items() if k not in {"seal", "face"}}
    found = said(meet(port("banjo eye", **BANJO), port(**face)), "sealing form")
    assert found.verdict is Verdict.CANNOT_TELL
    assert "cylinder" in found.reason
    unlooked = said(banjo(dict(face="")), "sealing form")
    assert unlooked.verdict is Verdict.CANNOT_TELL
    assert "bright flat ring" in unlooked.measure


def test_a_thread_that_no_table_holds_is_asked_about_and_not_guessed():
    found = said(meet(port(**{**FLARE, "thread": "31/64-22"}), port(**PORT)), "thread")
    assert found.verdict is Verdict.CANNOT_TELL
    assert "31/64-22" in found.reason


def test_a_use_that_is_not_known_is_asked_about():
    found = said(meet(port(**FLARE), port(**PORT), use="brakes"), "use")
    assert found.verdict is Verdict.CANNOT_TELL
    assert "brake, clutch" in found.measure


def test_made_to_order_after_another_way_reads_as_a_sentence():
    joint = meet(port(seal="37 flare", gender="male", thread="9/16-18", tube=Fact(9.525, 0.0)),
                 port(seal="45 flare", gender="female", thread="9/16-18", tube=Fact(9.525, 0.0)), use="steering")
    found = unmarked(said(joint, "sealing form").remedy)
    assert "none exists" not in found
    assert found.startswith("cut one flare off")
    assert "; or have this made, as no standard fittings join them: one end" in found


@pytest.mark.parametrize("length,words", [
    (Fact(34.0, 0.05), "14.00 mm deep, the bolt bottoms"), (Fact(17.0, 0.05), "it strips"),
])  # fmt: skip
def test_a_banjo_bolt_of_the_wrong_length_is_exchanged(length, words):
    """Eye 10 mm and two washers of 1.5 mm: 13 mm before the port; 14 mm of thread there."""
    eye = port("banjo eye", thread="M10x1", hole=Fact(10.2, 0.02), bolt=Fact(10.0, 0.02), thickness=Fact(10.0, 0.02),
               bolt_length=length, washers=Fact(2.0, 0.0), washer=Fact(1.5, 0.01))
    seat = port(seal="flat seat", gender="female", thread="M10x1", face="machined", thread_depth=Fact(14.0, 0.0))
    found = said(meet(eye, seat), "bolt engagement")
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert words in found.reason
    assert " to 27.00 mm under its head; never another washer" in found.remedy
