"""Joints of a build: sizes filled in, each joint judged by its kind, refusals told, findings named once each."""

import math
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from trialfit.buildfile import load, read
from trialfit.checks.assembly import assembled, chains_asked, joints_of, mate_findings
from trialfit.findings import Verdict
from trialfit.mates import Answer, Joint, Layer, MateKind, Work
from trialfit.parts import Fact, SizeRead
from trialfit.survey import solve
from trialfit.vehicle import Build

sys.path.insert(0, str(Path(__file__).parents[1] / "buildfile"))
from invented_kinds import KINDS

FILES = Path(__file__).parents[1] / "buildfile"

HEAD = "trialfit: 1\nreadings:\n  - size hub register 66.9 mm\n"
TWO = "parts:\n  hub: {kind: hub face, register: hub register, material: steel}\n  wheel: {kind: wheel centre"


@pytest.fixture(scope="module")
def everything() -> Build:
    build = load(FILES / "parts_everything.yaml", KINDS).build
    assert build is not None
    return build


def one(text: str, sizes: dict[str, tuple[float, float]] | None = None) -> Joint:
    build = read(HEAD + text, kinds=KINDS).build
    assert build is not None
    return joints_of(build, {"hub register": (66.9, 0.065)} if sizes is None else sizes, {})[0]


def test_size_readings_are_filled_in_from_the_survey(everything: Build) -> None:
    sizes = dict(solve(everything).sizes)
    left = joints_of(everything, sizes, {"shaft-to-tunnel": "shop rule"})[0]
    # 66.9 mm and 67.1 mm
    register = left.b.size("register")
    assert register is not None
    assert register.value == pytest.approx(67.0)
    assert register.sd == sizes["hub register"][1]
    assert register.source == "size reading hub register"
    assert left.a.size("bore") == Fact(67.3, sizes["bored"][1], "size reading bored")
    assert left.layers == (Layer("rotor hat", Fact(7.0, pytest.approx(0.1 / 1.96), "build file")),
                           Layer("plate", Fact(67.3, sizes["bored"][1], "size reading bored")), Layer("shim", None))
    assert (left.a_part, left.b_part, left.a_material, left.b_material) == ("wheel", "rear hub", "aluminium", "steel")
    assert left.choices == {"shaft-to-tunnel": "shop rule"}
    assert left.word("fit") == "snug"
    assert left.where is not None
    assert left.where.line == 28


def test_what_was_written_outright_stays_as_it_is(everything: Build) -> None:
    face = joints_of(everything, dict(solve(everything).sizes), {})[0].b
    assert face.size("stud length") == Fact(38.0, pytest.approx(0.03 / math.sqrt(3.0)), "my-gauge")
    assert face.word("stud") == "1/2-20"


def test_a_size_whose_reading_gave_nothing_is_unknown() -> None:
    joint = one(f"{TWO}, bore: 67.1 mm}}\nmates:\n  - wheel on hub: [wheel, hub]\n", {})
    assert joint.b.size("register") is None
    answer = assembled([joint], KINDS.mates)[0].answers[0]
    assert (answer.verdict, answer.measure[:7]) == (Verdict.CANNOT_TELL, "measure")


def test_chains_have_their_ports_filled_in(everything: Build) -> None:
    first, second = chains_asked(everything, {})
    assert (first.name, first.a.word("thread"), first.b.word("thread")) == (
        "line.b to hose", "M10x1 LH", "1/8-27 NPT")
    assert (first.length, second.length) == (Fact(300.0, None, "build file"), None)
    wish = replace(everything.chains[0], length=SizeRead("bored"))
    build = replace(everything, chains=(wish,))
    assert chains_asked(build, {"bored": (301.0, 0.5)})[0].length == Fact(301.0, 0.5, "size reading bored")
    assert chains_asked(build, {})[0].length is None
    with pytest.raises(ValueError, match="the build has no port"):
        chains_asked(replace(build, parts=()), {})


def test_the_verdict_is_that_of_the_worst_answer() -> None:
    between = "{hat: 7 mm, shim: unknown}"
    text = f"{TWO}, bore: 67.1 mm}}\nmates:\n  - {{wheel on hub: [wheel, hub], between: {between}}}\n"
    result = assembled([one(text)], KINDS.mates)[0]
    assert [a.verdict for a in result.answers] == [Verdict.FITS, Verdict.CANNOT_TELL]
    assert result.verdict is Verdict.CANNOT_TELL
    small = assembled([one(text.replace("67.1 mm", "66.1 mm"))], KINDS.mates)[0]
    assert small.verdict is Verdict.DOES_NOT_FIT


def test_what_a_kind_refuses_to_judge_cannot_be_told() -> None:
    joint = one(f"{TWO}, bore: 240 mm}}\nmates:\n  - wheel on hub: [wheel, hub]\n")
    result = assembled([joint], KINDS.mates)[0]
    assert result.verdict is Verdict.CANNOT_TELL
    assert "a bore of 240 mm is beyond the 220 mm of the table" in result.answers[0].reason
    finding = mate_findings([result])[0]
    assert finding.remedy.startswith("check the sizes")
    assert finding.name == "mate.wheel-on-hub-wheel-hub.sizes"


def test_arithmetic_that_fails_is_told_and_a_fault_of_the_program_is_not_hidden() -> None:
    joint = one(f"{TWO}}}\nmates:\n  - wheel on hub: [wheel, hub]\n")

    def divides(_: Joint) -> tuple[Answer, ...]:
        raise ZeroDivisionError("division by zero")

    def faulty(_: Joint) -> tuple[Answer, ...]:
        raise TypeError("a fault")

    kind = KINDS.mates[0]
    told = assembled([joint], [replace(kind, judge=divides)])[0]
    assert told.verdict is Verdict.CANNOT_TELL
    with pytest.raises(TypeError):
        assembled([joint], [replace(kind, judge=faulty)])


def test_a_kind_without_an_answer_cannot_tell(everything: Build) -> None:
    ends = joints_of(everything, dict(solve(everything).sizes), {})[-1]
    result = assembled([ends], KINDS.mates)[0]
    assert (result.verdict, len(result.answers)) == (Verdict.CANNOT_TELL, 1)


def test_findings_have_a_name_each_and_say_what_to_do(everything: Build) -> None:
    joints = joints_of(everything, dict(solve(everything).sizes), {})
    found = mate_findings(assembled([*joints, *joints], KINDS.mates))
    names = [f.name for f in found]
    assert len(set(names)) == len(names)
    assert "mate.wheel-on-hub-wheel-rear-hub-face-left.register" in names
    assert "mate.wheel-on-hub-wheel-rear-hub-face-left-2.register" in names
    register = found[0]
    assert register.margin == pytest.approx(0.3)
    assert (register.unit, register.remedy, register.caution) == ("mm", "", "done up by hand first")
    assert register.reason.startswith("wheel on hub: wheel / rear hub.face left: ")
    assert register.where == joints[0].where
    tilt = next(f for f in found if f.name == "mate.the-spring.tilt")
    assert (tilt.margin, tilt.unit) == (pytest.approx(1.0), "deg")


def test_two_answers_to_one_question_are_two_findings() -> None:
    joint = one(f"{TWO}}}\nmates:\n  - wheel on hub: [wheel, hub]\n")
    kind: MateKind = replace(KINDS.mates[0], judge=lambda _: (Answer("bore", Verdict.FITS, "a"),
                                                             Answer("Bore", Verdict.FITS, "b")))
    assert [f.name.rpartition(".")[2] for f in mate_findings(assembled([joint], [kind]))] == ["bore", "bore-2"]


def test_a_kind_or_port_that_is_not_there_is_a_fault_of_the_program(everything: Build) -> None:
    joint = one(f"{TWO}}}\nmates:\n  - wheel on hub: [wheel, hub]\n")
    with pytest.raises(ValueError, match="no kind of joint is called 'wheel on hub'"):
        assembled([joint], KINDS.mates[1:])
    with pytest.raises(ValueError, match="the build has no port wheel"):
        joints_of(replace(everything, parts=everything.parts[:1]), {}, {})


def test_a_caution_stands_apart_and_work_is_told_in_its_words() -> None:
    joint = one(f"{TWO}}}\nmates:\n  - wheel on hub: [wheel, hub]\n")
    turn = Work("hub", "turn down", "register", "turn the register down to 67.0 mm")
    answers = (Answer("a", Verdict.CANNOT_TELL, "", measure="measure it", remedy="or leave it", caution="mind it"),
               Answer("b", Verdict.FITS_AFTER_WORK, "", works=(turn,), caution="mind it"),
               Answer("c", Verdict.FITS, "", caution="mind that"))
    kind: MateKind = replace(KINDS.mates[0], judge=lambda _: answers)
    found = mate_findings(assembled([joint, joint], [kind]))
    assert [f.remedy for f in found] == 2 * ["measure it; or leave it", "turn the register down to 67.0 mm", ""]
    assert [f.caution for f in found] == 2 * ["mind it", "mind it", "mind that"]
