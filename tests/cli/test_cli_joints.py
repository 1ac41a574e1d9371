"""What ``check`` says of joints: twins and cautions once, lengths whole in inches, and the contract for a machine."""

import json
import re
from pathlib import Path

import pytest

from trialfit.cli import main
from trialfit.cli.show import twins_joined
from trialfit.findings import Finding, Verdict, worst_first

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
NOT, OPEN = Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL


@pytest.fixture(scope="module")
def told():
    """Text and JSON of ``check`` for both examples, by name."""
    import contextlib
    import io

    known = {}
    for name in ("estate", "flatbed"):
        for option in ((), ("--json",)):
            out = io.StringIO()
            with contextlib.redirect_stdout(out):
                main(["check", str(EXAMPLES / name / "build.yaml"), *option])
            known[name, bool(option)] = json.loads(out.getvalue()) if option else " ".join(out.getvalue().split())
    return known


def test_each_caution_is_told_once(told):
    for name in ("estate", "flatbed"):
        cautions = {f["caution"] for f in told[name, True]["findings"] if f["caution"]}
        # a bracket's caution begins with that of every other hole
        shown = [c for c in cautions if c in told[name, False] and not any(c != d and c in d for d in cautions)]
        assert shown
        for caution in shown:
            assert told[name, False].count(f"caution: {caution}") == 1
            assert told[name, False].count(caution) == 1


def test_left_and_right_are_told_as_one(told):
    text = told["flatbed", False]
    assert text.count("M14x1.5 is no 9/16-18") == 1
    assert "rear wheel, left and right: M14x1.5 is no 9/16-18" in text
    assert not re.search(r"\bleft \(right\) (?:from|between|where)", text)


@pytest.mark.parametrize("wrong", [
    r"\d to \d+\.\d+ mm", r"\d in in \d", r"in [+-]0\.\d mm and ", r"[LS] in\b", r"5/16 in \+0\.1 mm L", "\u00a0",
    r"-0\.0 deg", r"s is not known: the", r"\bor none exists",
])
def test_an_inch_builder_reads_whole_lengths(told, wrong):
    found = re.search(wrong, told["flatbed", False])
    assert found is None, found and found.string[found.start() - 60: found.end() + 60]


def test_machined_sizes_keep_their_tolerance_in_inches(told):
    # the register is turned to 121.16 mm less 0.05 to 0.15 mm: 121.01 to 121.11 mm
    assert "between 4.7641 in and 4.7680 in (clearance 0.002 to 0.006 in)" in told["flatbed", False]
    assert "for 8 mm L" in told["flatbed", False]


def test_a_size_that_fits_nothing_always_has_a_way_on(told):
    for name in ("estate", "flatbed"):
        for f in told[name, True]["findings"]:
            if f["name"].startswith(("mate.", "chain.")) and f["verdict"] != "fits":
                assert f["remedy"], f["name"]
                assert f["caution"] not in f["remedy"] or not f["caution"]


def test_joints_are_in_the_contract(told):
    for name in ("estate", "flatbed"):
        answer = told[name, True]
        assert len(answer["mates"]) >= 40
        for mate in answer["mates"]:
            assert set(mate) == {"name", "kind", "parts", "use", "verdict", "where", "answers"}
            assert mate["verdict"] in {a["verdict"] for a in mate["answers"]}
            for a in mate["answers"]:
                assert set(a) == {"question", "verdict", "margin", "sd", "unit", "odds", "reason", "measure", "remedy",
                                  "works", "rule", "source", "caution"}  # fmt: skip
                assert a["odds"] is None or 0.0 <= a["odds"] <= 1.0
        assert answer["chains"]
        assert answer["torques"]
        for line in answer["torques"]:
            if line["torque"] is not None:
                assert line["torque"]["low_nm"] <= line["torque"]["nominal_nm"] <= line["torque"]["high_nm"]


def test_work_carries_its_target(told):
    mate = next(m for m in told["flatbed", True]["mates"] if m["name"] == "front wheel left")
    (work,) = next(a for a in mate["answers"] if a["question"] == "hub register")["works"]
    assert work["kind"] == "turn down"
    # 4.77 in is 121.158 mm; the wheel is to go on with 0.05 to 0.15 mm
    assert work["target"]["low_mm"] == pytest.approx(4.77 * 25.4 - 0.15, abs=0.01)
    assert work["target"]["high_mm"] == pytest.approx(4.77 * 25.4 - 0.05, abs=0.01)
    assert work["forbidden"]


def test_chains_come_with_their_bag(told):
    chains = told["flatbed", True]["chains"]
    assert [c["number"] for c in chains] == [1, 2, 3]
    assert [(b["line"], b["end"], b["thread"]) for b in chains[1]["bag"]] == [
        ("2", "1 in", "1/4-18 NPT"), ("2", "1 out", "9/16-18")]
    assert chains[2]["made"].startswith("none exists: have this made: one end M14x1.5 female 24 cone for 8 mm L")
    assert chains[0]["best"] == []


def test_twins_that_differ_stay_two():
    pair = [Finding("mate.wheel-left.bore", NOT, "wheel left: 1 mm"), Finding("mate.wheel-right.bore", NOT,
                                                                              "wheel right: 2 mm")]  # fmt: skip
    assert twins_joined(pair) == pair
    alone = [Finding("mate.wheel-left.bore", NOT, "wheel left: what is left"),
             Finding("mate.wheel-right.bore", NOT, "wheel right: what is left")]
    assert [f.reason for f in twins_joined(alone)] == ["wheel, left and right: what is left"]
    work = [Finding(f"mate.{side}-arm.bore", NOT, f"{side} arm: bore", f"open the arm {side}")
            for side in ("right", "left")]
    (arm,) = twins_joined(work)
    assert (arm.reason, arm.remedy) == ("arm, left and right: bore", "open the arm left (right)")


def test_chains_stand_behind_what_is_worse():
    found = [Finding("chain.a-to-b", NOT, ""), Finding("mate.z.thread", NOT, ""), Finding("chain.a", OPEN, ""),
             Finding("mate.a", OPEN, "", margin=-1.0)]
    assert [f.name for f in worst_first(found)] == ["mate.z.thread", "chain.a-to-b", "chain.a", "mate.a"]
