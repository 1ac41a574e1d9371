"""Pipes, hoses, dipsticks and sensors that nearly fit: each is refused for the right reason, and a right one fits."""

import math

import pytest

from trialfit.findings import Verdict
from trialfit.mates import Joint, worst
from trialfit.mates.hose import KINDS as HOSE
from trialfit.mates.pipes import KINDS as PIPES
from trialfit.mates.tube_entry import KINDS as ENTRIES
from trialfit.parts import Fact, Port
from trialfit.parts.hydraulic_ports import PORTS as LINE_PORTS
from trialfit.parts.pipe_ports import PORTS as PIPE_PORTS

KINDS = {kind.name: kind for kind in (*HOSE, *PIPES, *ENTRIES)}
ASKS = {port.name: {ask.key for ask in port.asks} for port in (*LINE_PORTS, *PIPE_PORTS)}


def said(value):
    return Fact(float(value[0]), value[1]) if isinstance(value, tuple) else (
        Fact(float(value), 0.03) if isinstance(value, (int, float)) else value
    )  # fmt: skip


def port(kind, values):
    assert set(values) <= ASKS[kind], set(values) - ASKS[kind]
    return Port({k: said(v) for k, v in values.items()}, kind, "end")


def judged(kind, a, b, use="", choices=(), **own):
    way = KINDS[kind]
    assert {k.replace("_", " ") for k in own} <= {ask.key for ask in way.asks}
    values = {k.replace("_", " "): said(v) for k, v in own.items()}
    joint = Joint(values, "j", kind, port(way.first[0], a), port(way.second[0], b), "A", "B", use=use,
                  choices=dict(choices))  # fmt: skip
    return way.judge(joint)


RIGHT = {
    "butt": ("pipe to pipe", dict(outside=63.5, wall=1.6, material="mild steel"),
             dict(outside=63.6, wall=1.5, material="mild steel"), {}),
    "slip": ("pipe to pipe", dict(bore=63.9, form="socket", depth=55, slots=(2, 0.0), material="stainless", straight=80,
                                  **{"slot length": 30}),
             dict(outside=63.5, straight=70, material="stainless"), dict(clamp_width=45)),
    "v-band": ("V-band", dict(tube=76.2, flange=91.4, face="male", bore=73.0, register=78.0, material="stainless"),
               dict(tube=76.2, flange=91.5, face="female", bore=73.1, register=78.4, material="stainless"), {}),
    "flange": ("exhaust flange to flange",
               dict(bolts=(3, 0.0), circle=100.0, hole=10.5, bolt=10.0, opening=63.5, face="flat"),
               dict(bolts=(3, 0.0), circle=100.2, opening=63.0, face="flat"), {}),
    "hose": ("hose on barb", dict(print="30R9", bore=7.9, outside=15.0),
             dict(form="beaded", diameter=8.6, pipe=8.0, length=28), dict(pressure=(0.4, 0.0), clamp_least=(12, 0.0),
             clamp_greatest=(18, 0.0), use="fuel injection")),
    "dipstick": ("dipstick and tube", dict(full=600.0, add=620.0, tip=650.0, width=7.0, plug=18.4),
                 dict(bore=9.0, mouth=18.0, level=601.0, bottom=690.0), {}),
    "sensor": ("sensor in bung", dict(what="oxygen", thread="M18x1.5", seat="gasket", reach=11.0, tip=28.0, hex=22.0),
               {"thread": "M18x1.5", "seat": "gasket", "length": 11.5, "pipe bore": 60.0, "room": 60.0,
                "tilt": (math.radians(30.0), math.radians(1.0))}, {}),
}  # fmt: skip


def changed(name, side, **more):
    kind, a, b, own = RIGHT[name]
    a, b, own = dict(a), dict(b), dict(own)
    target = {"a": a, "b": b, "own": own}[side]
    for key, value in more.items():
        name = key if side == "own" else key.replace("_", " ")
        if value is None:
            target.pop(name, None)
        else:
            target[name] = value
    use = own.pop("use", "")
    return judged(kind, a, b, use, **own)


@pytest.mark.parametrize("name", RIGHT)
def test_a_right_pair_fits(name):
    answers = changed(name, "a")
    assert worst(answers) is Verdict.FITS, [a for a in answers if a.verdict is not Verdict.FITS]


NEAR = [
    # butt: sizes called alike, metals that look alike
    ("butt", "b", dict(outside=60.3), "outside", Verdict.FITS_AFTER_WORK, "2-3/8 in"),
    ("butt", "b", dict(outside=76.2), "outside", Verdict.FITS_AFTER_WORK, "3 in"),
    ("butt", "b", dict(wall=3.2), "wall", Verdict.DOES_NOT_FIT, "burns through"),
    ("butt", "b", dict(material="galvanized steel"), "metals", Verdict.DOES_NOT_FIT, "zinc fume"),
    ("butt", "a", dict(material="galvanized steel"), "metals", Verdict.DOES_NOT_FIT, "zinc fume"),
    ("butt", "b", dict(material="aluminium"), "metals", Verdict.DOES_NOT_FIT, "do not weld to each other"),
    ("butt", "b", dict(material="cast iron"), "metals", Verdict.DOES_NOT_FIT, "do not weld to each other"),
    # slip: same nominal size outside and inside
    ("slip", "b", dict(outside=63.9), "slip fit", Verdict.FITS_AFTER_WORK, "does not go in"),
    ("slip", "b", dict(outside=76.2), "slip fit", Verdict.DOES_NOT_FIT, "does not go in"),
    ("slip", "b", dict(outside=60.3), "slip fit", Verdict.DOES_NOT_FIT, "clamp cannot close"),
    ("slip", "a", dict(depth=38), "overlap", Verdict.DOES_NOT_FIT, "works loose"),
    ("slip", "a", dict(slot_length=60), "slots", Verdict.DOES_NOT_FIT, "past the inner pipe's end"),
    ("slip", "own", dict(clamp_width=20), "clamp over slots", Verdict.DOES_NOT_FIT, "slots open"),
    ("slip", "b", dict(straight=30), "straight, B", Verdict.DOES_NOT_FIT, "on a bend"),
    # V-band
    ("v-band", "b", dict(flange=93.0), "flange", Verdict.DOES_NOT_FIT, "larger one only"),
    ("v-band", "b", dict(face="male"), "faces", Verdict.DOES_NOT_FIT, "against each other"),
    ("v-band", "a", dict(face="female"), "faces", Verdict.DOES_NOT_FIT, "nothing fills"),
    ("v-band", "b", dict(face="flat"), "faces", Verdict.DOES_NOT_FIT, "holds a flat face off"),
    ("v-band", "b", dict(register=77.8), "register", Verdict.DOES_NOT_FIT, "does not go in"),
    ("v-band", "b", dict(register=80.0), "register", Verdict.DOES_NOT_FIT, "centres nothing"),
    ("v-band", "b", dict(bore=66.0), "bores", Verdict.FITS_AFTER_WORK, "step of 3.50 mm"),
    # bolted flange
    ("flange", "b", dict(circle=104.0), "bolt circle", Verdict.FITS_AFTER_WORK, "104.00 mm"),
    ("flange", "b", dict(bolts=(2, 0.0)), "bolt circle", Verdict.FITS_AFTER_WORK, "do not go over"),
    ("flange", "a", dict(bolt=12.0), "bolt circle", Verdict.DOES_NOT_FIT, "do not go through"),
    ("flange", "b", dict(face="cup"), "faces", Verdict.DOES_NOT_FIT, "a ball needs a cup"),
    ("flange", "b", dict(opening=76.2), "opening", Verdict.FITS_AFTER_WORK, "under the gasket"),
    # hose
    ("hose", "a", dict(print="30R7"), "what it carries", Verdict.DOES_NOT_FIT, "not for fuel injection"),
    ("hose", "a", dict(print="J20"), "what it carries", Verdict.DOES_NOT_FIT, "made for coolant"),
    ("hose", "own", dict(pressure=(1.5, 0.0)), "pressure", Verdict.DOES_NOT_FIT, "takes 12.4 bar (180 psi)"),
    ("hose", "own", dict(use="brake"), "what it carries", Verdict.DOES_NOT_FIT, "marked assembly"),
    ("hose", "own", dict(use="steering"), "what it carries", Verdict.DOES_NOT_FIT, "return only"),
    ("hose", "b", dict(diameter=7.5), "barb in hose", Verdict.DOES_NOT_FIT, "leaks however tight"),
    ("hose", "b", dict(diameter=9.9), "barb in hose", Verdict.DOES_NOT_FIT, "splits"),
    ("hose", "b", dict(length=12), "length pushed on", Verdict.DOES_NOT_FIT, "sits on the end"),
    ("hose", "own", dict(clamp_greatest=(14, 0.0)), "clamp", Verdict.DOES_NOT_FIT, "does not go round"),
    ("hose", "own", dict(clamp_least=(17, 0.0), clamp_greatest=(32, 0.0)), "clamp", Verdict.DOES_NOT_FIT, "too large"),
    ("hose", "b", dict(form="plain"), "hold", Verdict.DOES_NOT_FIT, "slide off"),
    # dipstick
    ("dipstick", "b", dict(level=640.0), "full mark", Verdict.FITS_AFTER_WORK, "overfills"),
    ("dipstick", "b", dict(level=560.0), "full mark", Verdict.FITS_AFTER_WORK, "runs it short"),
    ("dipstick", "b", dict(bore=7.2), "stick in bore", Verdict.DOES_NOT_FIT, "sticks in the bends"),
    ("dipstick", "b", dict(bottom=652.0), "tip", Verdict.FITS_AFTER_WORK, "turning part"),
    ("dipstick", "b", dict(bottom=628.0), "tip", Verdict.DOES_NOT_FIT, "turning part"),
    ("dipstick", "b", dict(mouth=19.0), "mouth seal", Verdict.DOES_NOT_FIT, "blows out"),
    # sensor
    ("sensor", "b", dict(thread="M18x2.5"), "thread", Verdict.DOES_NOT_FIT, "pitch"),
    ("sensor", "a", dict(thread="M14x1.5"), "thread", Verdict.DOES_NOT_FIT, "M14x1.5 is no M18x1.5"),
    ("sensor", "b", dict(seat="taper"), "seat", Verdict.DOES_NOT_FIT, "touches on a ring"),
    ("sensor", "a", dict(seat="taper"), "seat", Verdict.DOES_NOT_FIT, "touches on an edge"),
    ("sensor", "a", dict(seat="thread"), "seat", Verdict.DOES_NOT_FIT, "taper thread"),
    ("sensor", "a", dict(reach=16.0), "reach", Verdict.FITS_AFTER_WORK, "burn and seize"),
    ("sensor", "a", dict(reach=6.0), "reach", Verdict.FITS_AFTER_WORK, "fill with soot"),
    ("sensor", "a", dict(tip=64.0), "tip in pipe", Verdict.DOES_NOT_FIT, "far wall"),
    ("sensor", "a", dict(tip=9.0), "tip in pipe", Verdict.DOES_NOT_FIT, "out of the gas"),
    ("sensor", "b", dict(room=25.0), "spanner room", Verdict.DOES_NOT_FIT, "no socket"),
    ("sensor", "b", dict(tilt=(math.radians(-5.0), math.radians(1.0))), "tilt", Verdict.DOES_NOT_FIT, "water"),
]  # fmt: skip


@pytest.mark.parametrize("name,side,more,question,verdict,words", NEAR)
def test_what_nearly_fits_is_refused_for_its_reason(name, side, more, question, verdict, words):
    answers = changed(name, side, **more)
    found = next(a for a in answers if a.question == question)
    assert found.verdict is verdict
    assert words in found.reason
    wrong = {a.question for a in answers if a.verdict in {Verdict.DOES_NOT_FIT, Verdict.FITS_AFTER_WORK}}
    assert question in wrong
    assert (found.verdict is Verdict.FITS_AFTER_WORK) is bool(found.works)


ASKED = [
    (name, side, key)
    for name, (_, a, b, own) in RIGHT.items()
    for side, values in (("a", a), ("b", b), ("own", own))
    for key in values
    if key not in {"form", "slots", "clamp_width", "what", "hex"}
]


@pytest.mark.parametrize("name,side,key", ASKED)
def test_a_size_that_is_missing_is_asked_for(name, side, key):
    if (name, key) in {("butt", "material"), ("slip", "material"), ("v-band", "material")}:
        words = "metals"
    else:
        words = ""
    answers = changed(name, side, **{key: None})
    unknown = [a for a in answers if a.verdict is Verdict.CANNOT_TELL]
    assert unknown, f"{key} is not asked for"
    assert all(a.measure for a in unknown)
    assert any(words in a.question for a in unknown)


@pytest.mark.parametrize("name,side,key,value,question", [
    ("butt", "b", "outside", (65.4, 0.5), "outside"), ("slip", "b", "outside", (63.75, 0.2), "slip fit"),
    ("v-band", "b", "flange", (91.8, 0.3), "flange"), ("hose", "b", "diameter", (8.1, 0.1), "barb in hose"),
    ("dipstick", "b", "level", (606.0, 3.0), "full mark"), ("sensor", "a", "reach", (13.4, 0.3), "reach"),
])  # fmt: skip
def test_a_gauge_that_is_too_coarse_leaves_it_open(name, side, key, value, question):
    found = next(a for a in changed(name, side, **{key: value}) if a.question == question)
    assert found.verdict is Verdict.CANNOT_TELL
    assert "standard deviation" in found.measure or "finer" in found.measure


def test_a_cone_is_as_long_as_its_rule_says():
    found = next(a for a in changed("butt", "b", outside=76.2) if a.question == "outside")
    assert "60.4 mm long" in found.works[0].words
    kind, a, b, _ = RIGHT["butt"]
    wide = judged(kind, a, {**b, "outside": 76.2}, choices={"transition-angle": "30 deg, where room is short"}.items())
    assert "23.7 mm long" in next(x for x in wide if x.question == "outside").works[0].words


def test_the_overlap_goes_by_the_version_that_was_chosen():
    kind, a, b, own = RIGHT["slip"]
    for choices, verdict in (
        ({"slip-joint-overlap": "40 mm"}, Verdict.FITS), ({}, Verdict.DOES_NOT_FIT),
        ({"slip-joint-overlap-diameters": "1 diameter"}, Verdict.DOES_NOT_FIT),
    ):  # fmt: skip
        answers = judged(kind, {**a, "depth": 45}, b, choices=choices.items(), **own)
        found = next(x for x in answers if x.question == "overlap")
        assert found.verdict is verdict
    assert "63.50 mm is asked" in found.reason


def test_stainless_to_mild_names_filler_and_fume():
    found = next(a for a in changed("butt", "b", material="stainless") if a.question == "metals")
    assert found.verdict is Verdict.FITS
    assert "309L" in found.reason
    assert "chromium" in found.caution


@pytest.mark.parametrize("name,side,key", [("butt", "a", "outside"), ("sensor", "a", "reach")])
def test_a_size_of_unknown_doubt_settles_nothing(name, side, key):
    question = key
    value = RIGHT[name][1][key]
    found = next(a for a in changed(name, side, **{key: (value, None)}) if a.question == question)
    assert found.verdict is Verdict.CANNOT_TELL
    assert "not known how well" in found.reason


@pytest.mark.parametrize("outside,hole,seal,sd,verdict,words", [
    (20.03, 20.01, "press", 0.002, Verdict.FITS, "H7/p6"),
    (20.3, 20.0, "press", 0.01, Verdict.DOES_NOT_FIT, "does not go in"),
    (19.6, 20.0, "press", 0.01, Verdict.FITS_AFTER_WORK, "falls out"),
    (19.95, 20.0, "O-ring", 0.003, Verdict.FITS, "H8/f7"),
    (20.03, 20.01, "press", 0.03, Verdict.CANNOT_TELL, "known only"),
])  # fmt: skip
def test_a_dipstick_tube_in_its_case(outside, hole, seal, sd, verdict, words):
    answers = judged("dipstick tube in case", dict(outside=(outside, sd)), dict(diameter=(hole, sd), seal=seal))
    assert answers[0].verdict is verdict
    assert words in answers[0].reason


@pytest.mark.parametrize("bore,limit", [(9.525, 50.0), (12.7, 35.0)])
def test_old_fuel_hose_takes_less_the_wider_it_is(bore, limit):
    """30R7: 50 psi up to 3/8 in, 35 psi over it, as a hose maker says."""
    hose = dict(print="30R7", bore=(bore, 0.0), outside=bore + 7.0)
    barb = dict(form="barbed", diameter=bore * 1.08, length=30)
    for psi, verdict in ((limit - 1.0, Verdict.FITS), (limit + 1.0, Verdict.DOES_NOT_FIT)):
        answers = judged("hose on barb", hose, barb, "fuel", pressure=(psi * 6.894757e-3, 0.0))
        assert next(a for a in answers if a.question == "pressure").verdict is verdict


@pytest.mark.parametrize("hole,verdict", [(None, Verdict.FITS_AFTER_WORK), (10.5, Verdict.FITS)])
def test_a_fixed_stud_forgives_half_of_what_a_through_bolt_does(hole, verdict):
    kind, a, b, _ = RIGHT["flange"]
    other = {**b, "circle": 100.8} | ({} if hole is None else {"hole": hole})
    found = next(x for x in judged(kind, a, other) if x.question == "bolt circle")
    assert found.verdict is verdict


def test_a_cone_for_openings_is_measured_inside():
    found = next(x for x in changed("flange", "b", opening=76.2) if x.question == "opening")
    assert "76.20 mm inside" in found.works[0].words
