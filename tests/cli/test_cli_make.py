"""``trialfit make``: what is printed for a machine and for a person, and its exit codes. The vehicle is invented."""

import json
from pathlib import Path

import pytest

from trialfit.cli.make import made

BUILD = """trialfit: 1
readings:
  - station outlet 500 mm
  - offset outlet 200 mm right
  - height outlet 250 mm
  - station aim 900 mm
  - offset aim 200 mm right
  - height aim 250 mm
exhaust:
  main:
    diameter: 60 mm
    wall: 1.5 mm
    outlet: outlet
    aim: aim
    corners:
      - {at: [1600 mm, 200 mm right, 250 mm], radius: 90 mm}
    end: [2600 mm, 700 mm right, 250 mm]
    stock: [{name: U-bend, radius: 90 mm, angle: 180 deg, legs: 100 mm, diameter: 60 mm, price: 18}]
    making:
      kerf: 2 mm
      sticks: [{name: stick, length: 2 m, price: 22}]
      gas: {power: 100 kW, at the outlet: 650 degC, wanted: 60 kPa}
      stands: {lifted: 500 mm}
"""


@pytest.fixture
def build(tmp_path: Path) -> Path:
    path = tmp_path / "build.yaml"
    path.write_text(BUILD, encoding="utf-8")
    return path


def test_a_machine_gets_everything_that_was_asked(build, capsys):
    code = made(build, None, True)
    answer = json.loads(capsys.readouterr().out)
    (one,) = answer["makings"]
    assert answer["exit"] == code
    # 2 sticks of 2 m at 22, for 1.1 m and 1.1 m of pipe do not come from one, and 1 bend at 18: the file
    assert one["stock"]["cost"] == 62.0
    assert one["stock"]["proven"] is True
    assert one["route"] == "main"
    assert one["hangers"] is None
    assert one["sensor"] is None
    assert one["gas"]["back_pressure_kpa"][0] < one["gas"]["back_pressure_kpa"][1] < 60.0
    assert one["removals"][0]["answer"] == "free"
    # nothing says what takes the growth up, for no hangers are said: that cannot be told
    assert code == 1
    assert {f["name"] for f in one["findings"] if f["verdict"] == "cannot tell"} == {"exhaust.main.growth"}


def test_a_person_gets_tables_and_cautions(build, capsys):
    made(build, "main", False)
    text = capsys.readouterr().out
    proof = "62 to pay; for these pieces, with the legs they keep, no plan costs less"
    for words in ("exhaust main", "U-bend number 1", proof, "back pressure", "section 1", "free",
                  "caution: Work under a vehicle only on stands"):
        assert words in text, text


def test_an_unknown_route_is_refused_with_those_that_are_laid(build, capsys):
    assert made(build, "mian", False) == 2
    assert "no exhaust called mian is laid; laid are: main" in capsys.readouterr().err


def test_a_build_without_a_laid_exhaust_is_refused(tmp_path, capsys):
    path = tmp_path / "build.yaml"
    path.write_text("trialfit: 1\nreadings:\n  - tape a b 300 mm\n", encoding="utf-8")
    assert made(path, None, True) == 2
    assert "no exhaust that is laid" in json.loads(capsys.readouterr().out)["refused"][0]["message"]
