"""Gearbox on engine: pattern by dowels, run-out, pilot bearing, release bearing, converter; worked by hand."""

import math

import pytest

from trialfit.findings import Verdict
from trialfit.mates import Joint, Layer, Plate
from trialfit.mates.gearbox import judge, offset_dowel_left
from trialfit.parts import Fact, Port
from trialfit.parts.engine_ports import PORTS

FITS, WORK, NOT, OPEN = Verdict.FITS, Verdict.FITS_AFTER_WORK, Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL


def mm(value: float, sd: float = 0.05) -> Fact:
    return Fact(value, sd)


def points(*pairs, sd=0.05):
    return tuple((mm(x, sd), mm(y, sd)) for x, y in pairs)


BELL = ((-170.0, 0.0), (-120.0, 150.0), (0.0, 190.0), (120.0, 150.0), (170.0, 0.0), (90.0, -120.0))
PINS = ((-150.0, 60.0), (150.0, 60.0))


def seen_from_the_box(pairs):
    return tuple((-x, y) for x, y in pairs)


ENGINE = {"points": points(*BELL), "thread": "3/8-16", "dowels": points(*PINS, sd=0.002), "dowel": mm(15.85, 0.003),
          "dowel height": mm(14.0), "bell run-out": mm(0.06, 0.01)}  # fmt: skip
BOX = {"points": points(*seen_from_the_box(BELL)), "hole": mm(10.5), "dowels": points(*seen_from_the_box(PINS),
    sd=0.002),
       "dowel hole": mm(15.875, 0.003), "dowel hole depth": mm(20.0)}  # fmt: skip
CLUTCH = (
    {**ENGINE, "pilot bearing": mm(17.10, 0.01), "pilot bearing length": mm(16.0), "pilot bearing face": mm(10.0),
     "pilot bearing room": mm(30.0), "clutch fingers": mm(70.0)},
    # separate bell of 160 mm: tip 164 mm ahead of the face reaches 10 + 164 - 160 = 14 mm into the bearing
    {**BOX, "drive": "clutch", "input tip": mm(164.0), "input nose": mm(17.0, 0.005), "nose length": mm(20.0),
     "release bearing": mm(85.0)},
)  # fmt: skip
CONVERTER = (
    {**ENGINE, "crank flange": mm(15.0), "crank pilot": mm(45.05, 0.003), "crank pilot depth": mm(25.0),
     "spacer": mm(0.0),
     "flex plate": mm(9.6), "converter bolts": Fact(3.0, 0.0), "converter circle": mm(273.0),
         "converter hole": mm(10.2)},
    # 28.6 - 15 - 9.6 = 4.0 mm gap
    {**BOX, "drive": "converter", "converter pads": mm(28.6), "converter bolts": Fact(3.0, 0.0),
     "converter circle": mm(273.0), "converter thread": "3/8-24", "converter nose": mm(45.0, 0.003),
     "converter nose length": mm(20.0)},
)  # fmt: skip
HOUSING = Layer("bell housing", mm(160.0))


def told(base=CONVERTER, engine=None, box=None, layers=(), said=None, choices=None) -> dict:
    a = {k: v for k, v in {**base[0], **(engine or {})}.items() if v is not None}
    b = {k: v for k, v in {**base[1], **(box or {})}.items() if v is not None}
    joint = Joint(said or {}, "main", "gearbox on engine", Port(a, "engine rear face", "rear"),
                  Port(b, "gearbox front face", "front"), "engine", "gearbox", layers=layers, choices=choices or {})
    return {x.question: x for x in judge(joint)}


def test_an_automatic_made_for_its_engine_fits_everywhere():
    answers = told()
    assert {a.verdict for a in answers.values()} == {FITS}, [a for a in answers.values() if a.verdict is not FITS]


def test_a_manual_with_its_bell_as_a_layer_fits_everywhere():
    answers = told(CLUTCH, layers=(HOUSING,), said={"pattern": "bell housing apart"})
    assert {a.verdict for a in answers.values()} == {FITS}, [a for a in answers.values() if a.verdict is not FITS]
    assert "bell pattern" not in answers


def test_the_ports_keys_are_those_of_the_kinds():
    kinds = {p.name: {ask.key for ask in p.asks} for p in PORTS}
    assert set(CLUTCH[0]) | set(CONVERTER[0]) | {"housing"} == kinds["engine rear face"]
    assert set(CLUTCH[1]) | set(CONVERTER[1]) | {"housing"} == kinds["gearbox front face"]


def test_a_bare_joint_asks_for_everything():
    ports = Port({}, "engine rear face", "a"), Port({}, "gearbox front face", "b")
    joint = Joint({}, "x", "gearbox on engine", *ports, "e", "g")
    answers = judge(joint)
    assert {a.verdict for a in answers} == {OPEN}
    assert all(a.measure for a in answers)


@pytest.mark.parametrize("base", [CLUTCH, CONVERTER])
def test_every_missing_size_leaves_something_open(base):
    may_be_left = {"spacer", "nose length", "dowel hole depth"}
    for side, values in (("engine", base[0]), ("box", base[1])):
        for key in set(values) - may_be_left:
            layers = (HOUSING,) if base is CLUTCH else ()
            answers = told(base, **{side: {key: None}}, layers=layers)
            assert OPEN in {a.verdict for a in answers.values()}, key


def test_a_hole_a_little_off_is_seen_on_the_dowels_even_where_the_bolts_alone_could_be_shifted_over():
    # the whole bolt pattern 2 mm to one side of the dowels: the bolts alone would lie down on each other
    moved = tuple((x + 2.0, y) for x, y in seen_from_the_box(BELL))
    answer = told(box={"points": points(*moved)})["bell pattern"]
    assert answer.verdict is WORK
    assert "0 of the 6 holes" in answer.reason
    assert "2.00 mm off" in answer.reason
    free = told(box={"points": points(*moved), "dowels": None})
    assert free["bell pattern"].verdict is FITS
    assert free["dowel places"].verdict is OPEN


def test_another_makers_bell_needs_an_adapter_plate_with_both_patterns():
    other = ((-160.0, 10.0), (-100.0, 160.0), (20.0, 195.0), (130.0, 140.0), (165.0, -20.0), (80.0, -130.0))
    answer = told(box={"points": points(*seen_from_the_box(other))})["bell pattern"]
    assert answer.verdict is WORK
    (work,) = answer.works
    assert work.kind == "make a plate"
    assert isinstance(work.figure, Plate)
    labels = [h.label for h in work.figure.holes]
    assert labels.count("to the engine") == labels.count("tapped, to the gearbox") == 6
    assert labels.count("dowel") == 2
    tapped = sorted((round(h.x_mm, 6), round(h.y_mm, 6)) for h in work.figure.holes if h.label.startswith("tapped"))
    assert tapped == sorted(other)
    assert "moves the gearbox back" in work.words


def test_an_adapter_plate_whose_two_patterns_run_into_each_other_says_so():
    near = tuple((x + 6.0, y) for x, y in BELL)
    (work,) = told(box={"points": points(*seen_from_the_box(near))})["bell pattern"].works
    assert "stand only" in work.words
    assert "two layers" in work.words


def test_a_bell_with_more_holes_than_the_engine_has_threads():
    more = (*BELL, (-90.0, -120.0))
    answer = told(box={"points": points(*seen_from_the_box(more))})["bell pattern"]
    assert answer.verdict is WORK
    assert "1 of its holes have no thread at all" in answer.reason


def test_dowels_of_another_spacing_or_size_do_not_enter():
    wide = ((-150.4, 60.0), (150.4, 60.0))
    answer = told(box={"dowels": points(*seen_from_the_box(wide), sd=0.01)})["dowel places"]
    assert answer.verdict is WORK
    assert "both dowels never enter" in answer.reason
    thick = told(box={"dowel hole": mm(14.29, 0.003)})["dowel size"]
    assert thick.verdict is WORK
    assert thick.works[0].kind == "open up"
    loose = told(box={"dowel hole": mm(20.0, 0.003)})["dowel size"]
    assert loose.works[0].kind == "make a ring"


def test_a_bare_housing_tried_on_settles_what_no_calliper_can():
    coarse = {"dowels": points(*seen_from_the_box(PINS), sd=0.1)}
    assert told(box=coarse)["dowel places"].verdict is OPEN
    assert told(box=coarse, said={"tried on dowels": "goes on"})["dowel places"].verdict is FITS
    assert told(box=coarse, said={"tried on dowels": "does not go on"})["dowel places"].verdict is WORK


def test_dowels_too_short_once_a_plate_lies_between():
    # 14 mm dowels through a 10 mm plate leave 4 mm where 0.5 * 15.85 = 7.9 mm is asked
    answer = told(layers=(Layer("adapter plate", mm(10.0)),))["dowel length"]
    assert answer.verdict is WORK
    assert "4.00 mm through adapter plate" in answer.reason
    assert "7.92 mm asked" in answer.reason


@pytest.mark.parametrize("reading,verdict,words", [
    (0.10, FITS, "0.050 mm off"),
    (0.40, WORK, "0.200 mm off"),
    (1.60, NOT, "no offset dowel brings it in"),
])  # fmt: skip
def test_run_out(reading, verdict, words):
    answer = told(engine={"bell run-out": mm(reading, 0.01)})["bell run-out"]
    assert answer.verdict is verdict
    assert words in answer.reason


def test_the_nearest_offset_dowel_is_taken():
    (work,) = told(engine={"bell run-out": mm(0.40, 0.01)})["bell run-out"].works
    # 0.2 mm off: dowels of 0.007 in (0.178 mm) leave 0.022 mm, a swing of 0.044 mm
    assert "offset dowels of 0.178 mm" in work.words
    assert "swing of about 0.044 mm" in work.words
    assert offset_dowel_left(0.05) == 0.05


@pytest.mark.parametrize("engine,box,question,verdict,words", [
    # tip 14 mm past the bearing's end; 12 mm less leaves 2 mm
    ({}, {"input tip": mm(152.0)}, "pilot bearing", WORK, "2.00 mm past the rear end"),
    ({}, {"input tip": mm(145.0)}, "pilot bearing", WORK, "5.00 mm short of its pilot bearing"),
    ({}, {"input tip": mm(160.05)}, "pilot bearing", OPEN, "known only to"),
    ({"pilot bearing room": mm(15.0)}, {}, "room before the nose", WORK, "1.00 mm from the nose to the bottom"),
    ({}, {"nose length": mm(15.0)}, "room before the nose", WORK, "1.00 mm from the shoulder"),
    ({"pilot bearing": mm(16.99, 0.003)}, {}, "pilot bearing bore", WORK, "it does not go in"),
    ({"pilot bearing": mm(19.05, 0.01)}, {}, "pilot bearing bore", WORK, "2.05 mm of play"),
    ({"pilot bearing": mm(17.1, 0.1)}, {}, "pilot bearing bore", OPEN, "known only to"),
    # 160 - 85 - 70 = 5 mm
    ({}, {"release bearing": mm(89.0)}, "release bearing", WORK, "1.00 mm from release bearing to fingers"),
    ({}, {"release bearing": mm(75.0)}, "release bearing", WORK, "15.00 mm from release bearing to fingers"),
])  # fmt: skip
def test_depths_of_a_clutch(engine, box, question, verdict, words):
    answer = told(CLUTCH, engine, box, layers=(HOUSING,), said={"pattern": "bell housing apart"})[question]
    assert answer.verdict is verdict, answer
    assert words in answer.reason


def test_a_release_bearing_too_far_off_gets_shims_to_the_middle_of_the_band():
    answers = told(CLUTCH, box={"release bearing": mm(75.0)}, layers=(HOUSING,), said={"pattern": "bell housing apart"})
    # 15 mm where 3.2 to 6.4 mm is asked: 10.2 mm brings it to 4.8 mm
    assert "shims of 10.2 mm" in answers["release bearing"].works[0].words


@pytest.mark.parametrize("engine,box,layers,question,verdict,words", [
    ({}, {"converter pads": mm(33.0)}, (), "converter gap", WORK, "8.40 mm off the flex plate"),
    ({}, {"converter pads": mm(25.5)}, (), "converter gap", WORK, "0.90 mm off the flex plate"),
    ({}, {"converter pads": mm(20.0)}, (), "converter gap", WORK, "crushed into the pump"),
    ({}, {"converter pads": mm(27.8)}, (), "converter gap", OPEN, "known only to"),
    ({"spacer": mm(10.0)}, {}, (), "converter gap", WORK, "crushed into the pump"),
    # a 10 mm mid plate moves the gearbox back: 14 mm gap, though the nose still stands 10.4 mm in the crank once pulled
    ({}, {}, (Layer("mid plate", mm(10.0)),), "converter gap", WORK, "14.00 mm off the flex plate"),
    ({}, {"converter nose length": mm(11.0)}, (), "nose in crank", WORK, "1.40 mm in the crank"),
    ({"crank pilot depth": mm(11.0)}, {}, (), "room before the converter's nose", WORK, "0.60 mm from the nose"),
    ({"converter circle": mm(292.1)}, {}, (), "converter circle", NOT, "19.10 mm apart"),
    ({"converter bolts": Fact(4.0, 0.0)}, {}, (), "converter circle", NOT, "4 holes"),
    ({"converter hole": mm(8.5)}, {}, (), "converter bolts", WORK, "they do not go through"),
    ({"crank pilot": mm(51.0, 0.003)}, {}, (), "converter nose", WORK, "6.00 mm clearance"),
    ({"crank pilot": mm(46.0, 0.003)}, {}, (), "converter nose", NOT, "1.00 mm clearance"),
    ({"crank pilot": mm(43.6, 0.003)}, {}, (), "converter nose", NOT, "1.40 mm too small"),
])  # fmt: skip
def test_depths_of_a_converter(engine, box, layers, question, verdict, words):
    answer = told(CONVERTER, engine, box, layers)[question]
    assert answer.verdict is verdict, answer
    assert words in answer.reason


def test_a_ring_centres_a_small_converter_nose():
    (work,) = told(engine={"crank pilot": mm(51.0, 0.003)})["converter nose"].works
    assert work.kind == "make a ring"


def test_the_builders_own_version_of_the_gap():
    pads = {"converter pads": mm(26.8)}
    assert told(box=pads)["converter gap"].verdict is WORK
    # 2.2 mm gap, enough for the version of 1.6 mm
    assert told(box=pads, choices={"converter-pull-out-least": "1.6 mm"})["converter gap"].verdict is FITS


@pytest.mark.parametrize("one,two,verdict,words", [
    ("2", "2", FITS, "pilot 447.68 mm, 12 bolts on 466.72 mm"),
    ("1", "2", WORK, "the engine has number 1"),
    ("3", "3", FITS, "pilot 409.58 mm, 12 bolts on 428.62 mm; from memory"),
    ("3", "4", WORK, "the gearbox number 4"),
    ("5", "5", FITS, "its sizes are not in the table here): measure the pilot bore"),
    ("5", "4", OPEN, "cannot be told without the sizes"),
    ("2", None, OPEN, "the housing number of gearbox"),
])  # fmt: skip
def test_standard_housings_go_by_their_number(one, two, verdict, words):
    answers = told(engine={"housing": one}, box={"housing": two})
    assert answers["housing number"].verdict is verdict
    assert words in answers["housing number"].reason
    assert "dowel places" not in answers


def test_a_pattern_turned_and_shifted_as_a_whole_is_the_same_pattern():
    def carried(pairs, turn=0.7, by=(12.0, -30.0)):
        c, s = math.cos(turn), math.sin(turn)
        return tuple((c * x - s * y + by[0], s * x + c * y + by[1]) for x, y in pairs)

    box = {"points": points(*carried(seen_from_the_box(BELL))),
           "dowels": points(*carried(seen_from_the_box(PINS)), sd=0.002)}  # fmt: skip
    answers = told(box=box)
    assert answers["bell pattern"].verdict is FITS
    assert answers["dowel places"].verdict is FITS
