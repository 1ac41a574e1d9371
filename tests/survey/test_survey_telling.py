"""The contract of the plain numbers and the names of the findings."""

import json
import math

import pytest
from invented_vehicle import K, build, notebook, reading, spoil

from trialfit.findings import Verdict
from trialfit.survey import findings, solve
from trialfit.survey import plain as as_plain


@pytest.fixture(scope="module")
def survey():
    readings = [
        *spoil(notebook(seed=1), "tape eye.L-pad.L", by=304.8),
        reading(K.TAPE, ("nose", "tip"), 400.0),
        reading(K.TAPE, ("nose", "tail"), math.nan, number=2),
        reading(K.SIZE, (), 76.2, size="tube"),
    ]
    readings += [
        reading(K.HEIGHT, ("eye.X",), 364.0),
        reading(K.TAPE, ("nose", "eye.X"), 900.0),
        reading(K.TAPE, ("tail", "eye.X"), 700.0),
    ]
    return solve(build(readings))


def test_plain_numbers(survey):
    plain = json.loads(json.dumps(as_plain(survey), allow_nan=False))
    assert set(plain["hardpoints"]["nose"]) == {"xyz_mm", "sd_mm"}
    assert plain["hardpoints"]["nose"]["xyz_mm"] == pytest.approx(list(survey.point("nose")), abs=1e-4)
    assert plain["hardpoints"]["nose"]["sd_mm"] == pytest.approx(list(survey.sd("nose")), abs=1e-4)
    worst = plain["suspects"][0]
    assert worst["reading"] == "tape eye.L-pad.L"
    assert worst["guess"].startswith("one foot")
    assert worst["off_mm"] == pytest.approx(304.8, abs=6.0)
    assert "size tube" in plain["unchecked"]["readings"]
    assert "nose" not in plain["unchecked"]["hardpoints"]
    assert [u["hardpoint"] for u in plain["unsolved"]] == ["tip"]
    assert [a["hardpoint"] for a in plain["ambiguous"]] == ["eye.X"]
    assert [p["reading"] for p in plain["problems"]] == ["tape nose-tail #2"]
    assert plain["sizes"]["tube"]["mm"] == pytest.approx(76.2)
    assert plain["global"]["all"]["freedom"] == plain["global"]["without_suspects"]["freedom"] + 1


def test_findings_have_stable_names_once_each(survey):
    told = findings(survey)
    names = [f.name for f in told]
    assert len(set(names)) == len(names)
    assert {
        "survey.global",
        "survey.suspect.tape eye.L-pad.L",
        "survey.unsolved.tip",
        "survey.ambiguous.eye.X",
        "survey.reading.tape nose-tail #2",
    } <= set(names)
    by = {f.name: f for f in told}
    assert by["survey.suspect.tape eye.L-pad.L"].verdict is Verdict.DOES_NOT_FIT
    assert by["survey.suspect.tape eye.L-pad.L"].margin == pytest.approx(-304.8, abs=6.0)
    assert by["survey.global"].verdict is Verdict.DOES_NOT_FIT
    assert by["survey.unsolved.tip"].remedy.startswith("measure height tip")
    assert all(f.remedy for f in told if f.verdict is not Verdict.FITS)


def test_clean_survey_fits():
    told = findings(solve(build(notebook(seed=1))))
    assert told[0].name == "survey.global"
    assert told[0].verdict is Verdict.FITS
    assert {f.name.rsplit(".", 2)[0] for f in told[1:]} <= {"survey.unchecked"}


def test_nothing_read_nothing_told():
    assert findings(solve(build([]))) == []


def test_repeats_that_disagree_are_told():
    told = findings(solve(build([reading(K.SIZE, (), 50.0, 60.0, size="tube")])))
    (split,) = [f for f in told if f.name.startswith("survey.repeats")]
    assert "disagree by more than chance" in split.reason
