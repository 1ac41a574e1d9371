"""Pairs of driveline, axle and engine parts that look alike or start to go together, each refused for its own reason.

Every row: what it is, the kind of joint, the sizes of both ends, what is said of the joint, the question that catches
it, the words of the reason, and (where a work would mend it) the kind of work. Sizes are nominal, known exactly.
"""

import math

import pytest

from trialfit.findings import Verdict
from trialfit.mates import Joint
from trialfit.mates.flanges import KINDS as FLANGES
from trialfit.mates.gearbox import KINDS as GEARBOX
from trialfit.mates.mounts import KINDS as MOUNTS
from trialfit.mates.splines import KINDS as SPLINES
from trialfit.mates.spring_seat import KINDS as SPRINGS
from trialfit.mates.yoke_joint import KINDS as YOKES
from trialfit.parts import Fact, Port

KINDS = {kind.name: kind for kind in (*FLANGES, *GEARBOX, *MOUNTS, *SPLINES, *SPRINGS, *YOKES)}
INCH = 25.4


def facts(values: dict) -> dict:
    return {k: Fact(float(v), 0.0) if isinstance(v, (int, float)) else v for k, v in values.items()}


def judged(kind: str, a: dict, b: dict, said: dict):
    made = KINDS[kind]
    ends = Port(facts(a), made.first[0], "one"), Port(facts(b), made.second[0], "two")
    return {x.question: x for x in made.judge(Joint(facts(said), "j", kind, *ends, "first part", "second part"))}


SPLINE = "spline in spline"
YOKE = "joint in yoke"
FLANGE = "flange on flange"
SPRING = "axle tube on spring"
BOX = "gearbox on engine"
MOUNT = "mount on bracket"
DEG = math.radians

NEAR = [
    ("1310 joint in a 1330 yoke: one cap size", YOKE, {"cap bore": 1.062 * INCH, "width": 3.625 * INCH},
     {"cap": 1.062 * INCH, "span": 3.219 * INCH}, {}, "span", "slides 10.31 mm endways", "exchange"),
    ("1330 joint in a 1350 yoke: one span", YOKE, {"cap bore": 1.188 * INCH, "width": 3.625 * INCH},
     {"cap": 1.062 * INCH, "span": 3.625 * INCH}, {}, "cap diameter", "3.20 mm loose", "exchange"),
    ("inside clips in a yoke with tabs", YOKE, {"clips": "outside"}, {"clips": "inside"}, {}, "clips",
     "nothing would hold the caps endways", ""),
    ("27 splines in 28", SPLINE, {"teeth": 27, "major": 28 / 24 * INCH}, {"teeth": 28, "major": 29.8 / 24 * INCH}, {},
     "teeth", "a burred end may start", ""),
    ("30 splines in 31, nearly of one size", SPLINE, {"teeth": 30}, {"teeth": 31}, {}, "teeth", "do not mesh", ""),
    ("30 deg in 45 deg, count and pitch alike", SPLINE, {"teeth": 30, "pitch": "24/48", "pressure angle": DEG(30.0)},
     {"teeth": 30, "pitch": "24/48", "pressure angle": DEG(45.0)}, {}, "pressure angle", "it starts", ""),
    ("30 deg in 37.5 deg", SPLINE, {"pressure angle": DEG(30.0)}, {"pressure angle": DEG(37.5)}, {}, "pressure angle",
     "37.5 deg in the hub", ""),
    ("12/24 in module 2", SPLINE, {"teeth": 20, "pitch": "12/24"}, {"teeth": 20, "pitch": "m2"}, {}, "pitch",
     "steps 6.65 mm on the one and 6.28 mm in the other", ""),
    ("20/40 in module 1.25", SPLINE, {"teeth": 24, "pitch": "20/40"}, {"teeth": 24, "pitch": "m1.25"}, {}, "pitch",
     "steps 3.99 mm on the one and 3.93 mm in the other", ""),
    ("module 2 in a hub by reference diameter", SPLINE, {"teeth": 14, "pitch": "m2"}, {"teeth": 14,
     "pitch": "N30x2x14"}, {},
     "pitch", "starts, and jams or rattles", ""),
    ("W28x2x13 in N30x2x14: one module", SPLINE, {"pitch": "W28x2x13"}, {"pitch": "N30x2x14"}, {}, "pitch",
     "reference diameter 28 and 30 mm, 13 and 14 teeth", ""),
    ("ten straight-sided keys in ten involute teeth", SPLINE, {"teeth": 10, "form": "straight sided"},
     {"teeth": 10, "form": "involute flat root"}, {}, "form", "the flanks have another shape", ""),
    ("4.75 in against 120 mm, holes with little play", FLANGE, {"bolts": 5, "bolt circle": 4.75 * INCH, "hole": 9.6},
     {"bolts": 5, "bolt circle": 120.0, "hole": 9.6}, {"bolt": "3/8-24"}, "bolt circle",
      "0.65 mm apart, 0.15 mm may be",
     None),
    ("M10x1 bolt in a flange tapped 3/8-24", FLANGE, {"thread": "3/8-24"}, {"hole": 10.2}, {"bolt": "M10x1"}, "bolts",
     "M10x1 in a flange tapped 3/8-24", ""),
    ("7/16-20 bolt in a flange tapped M12x1.25", FLANGE, {"thread": "M12x1.25"}, {"hole": 12.5}, {"bolt": "7/16-20"},
     "bolts", "7/16-20 in a flange tapped M12x1.25", ""),
    ("M10 bolt through a 3/8 in hole", FLANGE, {"hole": 9.8}, {"thread": "M10"}, {"bolt": "M10"}, "bolts",
     "they do not go through", "drill"),
    ("2.25 in pilot in a 57 mm recess", FLANGE, {"pilot": 57.15, "pilot form": "male", "pilot height": 2.0},
     {"pilot": 57.0, "pilot form": "female", "pilot height": 2.5}, {}, "pilot", "0.15 mm too small", "turn down"),
    ("two male pilots of one size", FLANGE, {"pilot": 57.0, "pilot form": "male"}, {"pilot": 57.0,
     "pilot form": "male"}, {},
     "pilot form", "both pilots are male", "make a plate"),
    ("U-bolts for a 3 in tube on 3 1/4 in", SPRING, {"tube diameter": 82.55}, {}, {"u-bolts go": "round the tube",
     "inside width": 76.6}, "u-bolt width", "must not be spread", "exchange"),
    ("U-bolts for 2 1/2 in springs over 57 mm ones", SPRING, {}, {"spring width": 57.2},
     {"u-bolts go": "over the spring",
     "inside width": 64.0}, "u-bolt width", "6.80 mm of play", "exchange"),
    ("2 1/2 in spring on a 60 mm pad", SPRING, {"pad width": 60.0}, {"spring width": 63.5}, {}, "pad width",
     "the spring hangs over its pad by 3.50 mm", "exchange"),
    ("pad for a 3 in tube on a 3 1/4 in tube", SPRING, {"pad radius": 38.1, "tube diameter": 82.55}, {}, {},
     "pad radius",
     "bears on its edges", "exchange"),
    ("1/2 in rod through 12.5 mm holes", SPRING, {"tube diameter": 76.2}, {"spring width": 63.5}, {
        "u-bolts go": "round the tube", "u-bolt thread": "1/2-20", "plate along": 88.9, "plate across": 76.5,
        "plate hole": 12.5}, "plate holes", "12.70 mm does not go through holes of 12.50 mm", ""),
    ("16 mm dowels in 5/8 in holes", BOX, {"dowel": 16.0}, {"dowel hole": 15.875}, {}, "dowel size",
     "0.12 mm too small",
     "open up"),
    ("19/32 in nose in a 15 mm pilot bearing", BOX, {"pilot bearing": 15.0}, {"input nose": 15.08, "drive": "clutch"},
     {},
     "pilot bearing bore", "it does not go in", "have made"),
    ("converter on 11 1/2 in pads, flex plate of 10 3/4 in", BOX, {"converter bolts": 3,
     "converter circle": 10.75 * INCH,
     "converter hole": 10.0}, {"drive": "converter", "converter bolts": 3, "converter circle": 11.5 * INCH,
     "converter thread": "3/8-24"}, {}, "converter circle", "19.05 mm apart", ""),
    ("M10 converter bolts in 3/8 in holes", BOX, {"converter hole": 9.8}, {"drive": "converter",
     "converter thread": "M10"},
     {}, "converter bolts", "they do not go through", "drill"),
    ("housing 1 on housing 2", BOX, {"housing": "1"}, {"housing": "2"}, {}, "housing number",
     "the engine has number 1 (pilot 511.18 mm", "make a plate"),
    ("M10 mount in a 3/8 in bracket", MOUNT, {"thread": "M10"}, {"hole": 9.8}, {}, "bolt in hole",
     "does not go through",
     "drill"),
    ("60 mm mount on a 2 1/2 in bracket", MOUNT, {"bolts": 2, "spacing": 60.0, "thread": "M10"},
     {"spacing": 63.5, "hole": 10.5}, {}, "bolt spacing", "0.50 mm may be", "slot"),
]  # fmt: skip


@pytest.mark.parametrize("what,kind,a,b,said,question,words,work", NEAR, ids=[row[0] for row in NEAR])
def test_a_near_pair_is_refused_for_the_right_reason(what, kind, a, b, said, question, words, work):
    answer = judged(kind, a, b, said)[question]
    assert words in answer.reason, answer
    if work is None:
        assert answer.verdict is not Verdict.FITS
    else:
        assert [w.kind for w in answer.works][:1] == ([work] if work else [])
        assert answer.verdict is (Verdict.FITS_AFTER_WORK if work else Verdict.DOES_NOT_FIT)


def test_there_are_pairs_enough():
    assert len(NEAR) >= 25
