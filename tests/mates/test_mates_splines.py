"""A splined shaft in a splined hub: count, pitch, angle, form, diameters and engagement."""

import math

import pytest

from trialfit.findings import Verdict
from trialfit.mates import Joint
from trialfit.mates.splines import judge
from trialfit.parts import Fact, Port
from trialfit.parts.driveline_ports import PORTS

FITS, NOT, OPEN = Verdict.FITS, Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL
M = 25.4 / 24.0


def count(n: int) -> Fact:
    return Fact(float(n), 0.0)


def deg(angle: float) -> Fact:
    return Fact(math.radians(angle), 0.0)


def mm(value: float, sd: float = 0.03) -> Fact:
    return Fact(value, sd)


def shaft(n: int = 28, **more) -> Port:
    values = {"teeth": count(n), "major": mm((n + 1) * M - 0.1), "minor": mm((n - 1.8) * M), "pitch": "24/48",
              "pressure angle": deg(30.0), "form": "involute fillet root", "length": mm(60.0),
              "tooth width": mm(1.6), **more}  # fmt: skip
    return Port({k: v for k, v in values.items() if v is not None}, "external spline", "end")


def hub(n: int = 28, **more) -> Port:
    values = {"teeth": count(n), "major": mm((n + 1.8) * M), "minor": mm((n - 1) * M + 0.1), "pitch": "24/48",
              "pressure angle": deg(30.0), "form": "involute fillet root", "length": mm(50.0),
              "tooth width": mm(1.7), **more}  # fmt: skip
    return Port({k: v for k, v in values.items() if v is not None}, "internal spline", "bore")


def told(a: Port, b: Port, **said) -> dict:
    values = {"slides": "yes", "engaged": mm(50.0, 0.3), **said}
    kept = {k: v for k, v in values.items() if v is not None}
    return {x.question: x for x in judge(Joint(kept, "slip", "spline in spline", a, b, "output shaft", "slip yoke"))}


def test_mates_fit_everywhere():
    answers = told(shaft(), hub())
    assert {a.verdict for a in answers.values()} == {FITS}, answers


def test_the_ports_keys_are_those_of_their_kinds():
    kinds = {p.name: {ask.key for ask in p.asks} for p in PORTS}
    assert set(shaft().values) == kinds["external spline"] == set(hub().values) == kinds["internal spline"]


def test_27_in_28_does_not_mesh_though_the_shaft_slides_in():
    answers = told(shaft(27), hub(28))
    assert answers["teeth"].verdict is NOT
    assert "27 teeth on the shaft and 28 in the hub: they do not mesh" in answers["teeth"].reason
    assert set(answers) == {"teeth"}


def test_30_deg_in_45_deg_is_refused_by_the_angle_alone():
    answers = told(shaft(), hub(**{"pressure angle": deg(45.0)}))
    assert answers["pressure angle"].verdict is NOT
    assert "bears on the tips and edges alone" in answers["pressure angle"].reason
    assert {k for k, a in answers.items() if a.verdict is NOT} == {"pressure angle"}


def test_24_48_in_module_1_is_refused_by_the_step_of_the_teeth():
    answer = told(shaft(), hub(pitch="m1", minor=mm(27.1), major=mm(29.8)))["pitch"]
    assert answer.verdict is NOT
    # pi * 1.0583 and pi * 1
    assert "3.32 mm on the one and 3.14 mm in the other" in answer.reason


def test_module_2_by_pitch_in_a_hub_by_reference_diameter_is_refused_by_its_shift():
    answer = told(shaft(14, pitch="m2", major=mm(30.0)), hub(14, pitch="N30x2x14"))["pitch"]
    assert answer.verdict is NOT
    assert "the teeth are shifted and of another thickness" in answer.reason


@pytest.mark.parametrize("a,b,verdict,words", [
    ("W30x2x14", "N30x2x14", FITS, "W30x2x14 in N30x2x14"),
    ("W30x2x14", "N32x2x14", NOT, "reference diameter 30 and 32 mm"),
    ("W30x2x14", "N30x1.25x22", NOT, "module 2 and 1.25 mm"),
    ("N30x2x14", "N30x2x14", OPEN, "the shaft is named as a hub"),
])  # fmt: skip
def test_splines_by_reference_diameter_go_by_their_whole_name(a, b, verdict, words):
    answer = told(shaft(14, pitch=a), hub(14, pitch=b))["pitch"]
    assert answer.verdict is verdict
    assert words in answer.reason


@pytest.mark.parametrize("form", ["straight sided", "serration"])
def test_involute_teeth_do_not_go_in_another_form(form):
    answer = told(shaft(), hub(form=form))["form"]
    assert answer.verdict is NOT
    assert "the flanks have another shape" in answer.reason


def test_a_flat_root_shaft_goes_in_a_fillet_root_hub():
    assert told(shaft(form="involute flat root"), hub())["form"].verdict is FITS


def test_a_shaft_that_centres_on_its_flanks_in_a_hub_that_centres_on_its_major_diameter_is_open():
    assert told(shaft(), hub(form="major diameter fit"))["form"].verdict is OPEN


def test_without_names_pitch_is_told_from_teeth_and_diameter():
    answers = told(shaft(31, pitch=None), hub(31, pitch=None))
    assert answers["pitch"].verdict is FITS
    assert "24/48 in both (by teeth and diameter" in answers["pitch"].reason


def test_a_pitch_that_the_calliper_contradicts_is_not_believed():
    answer = told(shaft(28, pitch="16/32"), hub())["pitch"]
    assert answer.verdict is OPEN
    assert "so 28 teeth are 46.04 mm outside, but it measures 30.59 mm" in answer.reason


def test_a_hubs_name_is_held_against_its_bore():
    answer = told(shaft(), hub(28, minor=mm(42.9)))["pitch"]
    assert answer.verdict is OPEN
    assert "a hub of 28 teeth is about 28.57 mm inside, but it measures 42.90 mm" in answer.reason


def test_a_pitch_that_is_none_is_answered_with_the_nearest():
    assert "is no spline pitch" in told(shaft(pitch="23/46"), hub())["pitch"].reason


def test_a_worn_or_cut_down_shaft_holds_on_its_tips():
    answer = told(shaft(28, pitch="24/48", major=mm(29.75)), hub())["depth of contact"]
    assert answer.verdict is NOT
    assert "hold on their tips alone" in answer.reason


def test_a_shaft_too_big_for_the_hub_runs_into_its_spaces():
    answer = told(shaft(major=mm(31.9)), hub())["major diameter"]
    assert answer.verdict is NOT
    assert "run into the bottom of the hub's spaces" in answer.reason


@pytest.mark.parametrize("said,verdict,words", [
    (dict(engaged=mm(40.0, 0.3)), NOT, "40.0 mm engaged, 45.9 mm asked"),
    (dict(engaged=mm(40.0, 0.3), slides="no"), FITS, "30.6 mm asked"),
    (dict(engaged=mm(24.0, 0.3), slides="clutch"), FITS, "24.0 mm engaged, 22.9 mm asked (0.75 diameters)"),
    (dict(engaged=mm(20.0, 0.3), slides="clutch"), NOT, "22.9 mm asked"),
    (dict(engaged=mm(46.0, 1.0)), OPEN, "known only to"),
    (dict(engaged=None), OPEN, "no more than 50.0 mm by the teeth there are"),
    (dict(slides=None), OPEN, "whether the spline slides"),
    (dict(engaged=mm(70.0, 0.3)), OPEN, "more than the 60.0 mm of teeth"),
])  # fmt: skip
def test_engagement(said, verdict, words):
    answer = told(shaft(), hub(), **said)["engagement"]
    assert answer.verdict is verdict
    assert words in answer.reason


def test_a_rule_of_the_builders_own_choice():
    kept = {"slides": "yes", "engaged": mm(40.0, 0.3)}
    joint = Joint(kept, "slip", "spline in spline", shaft(), hub(), "s", "h",
        choices={"spline-engagement": "1 diameter"})
    assert next(a for a in judge(joint) if a.question == "engagement").verdict is FITS


def test_a_bare_joint_asks_for_everything():
    bare = Joint({}, "x", "spline in spline", Port({}, "external spline", "a"), Port({}, "internal spline", "b"), "s",
        "h")
    answers = judge(bare)
    assert {a.verdict for a in answers} == {OPEN}
    assert all(a.measure for a in answers)


def test_a_clutch_plate_is_not_warned_of_droop():
    assert "droop" not in told(shaft(), hub(), slides="clutch", engaged=mm(25.0, 0.3))["engagement"].reason
    assert "droop" in told(shaft(), hub())["engagement"].reason


STRAIGHT = {"form": "straight sided", "pitch": None, "pressure angle": None}


@pytest.mark.parametrize("space,verdict,words", [
    (mm(8.05), FITS, "0.10 mm of play"), (mm(7.5), NOT, "they do not enter"), (None, OPEN, "a space of slip yoke"),
])  # fmt: skip
def test_straight_sided_teeth_are_asked_for_their_width_and_for_no_pitch(space, verdict, words):
    a = shaft(6, major=mm(42.0), minor=mm(36.0), **STRAIGHT, **{"tooth width": mm(7.95)})
    b = hub(6, major=mm(42.2), minor=mm(36.2), **STRAIGHT, **{"tooth width": space})
    answers = told(a, b, engaged=mm(45.0, 0.3), slides="no")
    assert "pitch" not in answers
    assert answers["tooth width"].verdict is verdict
    assert words in answers["tooth width"].reason
    # (42 - 36.2) / 2
    assert answers["depth of contact"].reason == "teeth overlap 2.90 mm"


def test_the_pitch_that_is_not_known_is_told_as_a_sentence():
    reason = told(shaft(28, pitch="16/32"), hub())["pitch"].reason
    assert reason.startswith("the pitch of output shaft is not known: it is called 16/32")
    assert not reason.endswith("is not known")
