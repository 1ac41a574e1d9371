"""The commands as a shell runs them: exit codes, JSON contract, refusals, files."""

import json
from pathlib import Path

import pypdfium2
import pytest

from trialfit.cli import main

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
READINGS_ONLY = """readings:
  - station a 1000 mm
  - offset a 400 mm right
  - height a 300 mm
  - station b 1500 mm
  - offset b 400 mm right
  - height b 300 mm
  - tape a b 500 mm
"""


@pytest.fixture
def ask(capsys):
    def asked(*arguments):
        code = main([str(a) for a in arguments])
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        return code, out, err

    return asked


def test_check_json_is_the_contract(ask):
    code, out, _ = ask("check", EXAMPLES / "estate" / "build.yaml", "--json")
    answer = json.loads(out)
    assert code == answer["exit"] == 1
    for f in answer["findings"]:
        assert {"name", "verdict", "margin", "sd", "unit", "where", "remedy", "source"} <= set(f)
        assert f["verdict"] in ("fits", "fits after work", "does not fit", "cannot tell")
    order = ["does not fit", "cannot tell", "fits after work", "fits"]
    ranks = [order.index(f["verdict"]) for f in answer["findings"]]
    assert ranks == sorted(ranks)
    told = answer["driveline"]
    assert {"shaft", "gearing", "orders"} == set(told)
    assert {"pieces", "joints", "rules", "plunge", "whirl", "torque", "tubes", "pinion"} <= set(told["shaft"])
    assert {"gears", "launch", "cruise", "top", "ranking"} <= set(told["gearing"])
    assert [o["kind"] for o in told["orders"]] == ["driveshaft", "differential"]
    gap = next(f for f in answer["findings"] if f["name"].startswith("gap."))
    assert gap["unit"] == "mm"
    assert gap["where"]["line"] > 1


def test_check_says_what_it_leaves_to_make(ask):
    flatbed = EXAMPLES / "flatbed" / "build.yaml"
    _, out, _ = ask("check", flatbed)
    last = out.rstrip().splitlines()[-1]
    assert last.startswith("Not among these: hangers and ways out of exhaust main")
    assert last.endswith(f": trialfit make {flatbed}")
    _, out, _ = ask("check", EXAMPLES / "van" / "build.yaml")
    assert "trialfit make" not in out


def test_survey_json_is_the_contract_and_finds_the_planted_misreads(ask):
    code, out, _ = ask("survey", EXAMPLES / "estate" / "misread.yaml", "--json")
    answer = json.loads(out)
    assert code == 1
    assert answer["suspects"][0]["reading"] == "tape rail.L1-rail.R2"
    assert "swapped" in answer["suspects"][0]["guess"]
    point = answer["hardpoints"]["outlet"]
    assert len(point["xyz_mm"]) == len(point["sd_mm"]) == 3
    assert {"unchecked", "next"} <= set(answer)
    code, out, _ = ask("survey", EXAMPLES / "flatbed" / "misread.yaml", "--json")
    first = json.loads(out)["suspects"][0]
    assert first["reading"] == "tape pad.L-eye.r.L"
    assert "foot" in first["guess"]


def test_the_clean_examples_hold_no_suspect(ask):
    for name in ("estate", "flatbed"):
        _, out, _ = ask("survey", EXAMPLES / name / "build.yaml", "--json")
        answer = json.loads(out)
        assert answer["suspects"] == []
        assert len(answer["hardpoints"]) >= 40


def test_a_file_of_readings_alone_is_good_for_a_survey(ask, tmp_path):
    path = tmp_path / "only.yaml"
    path.write_text(READINGS_ONLY, encoding="utf-8")
    code, out, _ = ask("survey", path, "--json")
    assert code == 0
    assert json.loads(out)["hardpoints"]["a"]["xyz_mm"] == pytest.approx([1000.0, 400.0, 300.0], abs=0.5)
    assert ask("survey", path)[0] == 0
    assert ask("survey", path, "--point", "a")[0] == 0
    code, _, err = ask("survey", path, "--point", "nowhere")
    assert code == 2
    assert "nowhere" in err


def test_sweep_json_is_the_contract(ask):
    code, out, _ = ask("sweep", EXAMPLES / "flatbed" / "build.yaml", "--json")
    answer = json.loads(out)
    assert code == 0
    for gap in answer["gaps"]:
        assert {"pair", "lower_mm", "upper_mm", "required_mm", "pose", "place"} <= set(gap)
        assert gap["lower_mm"] <= gap["upper_mm"] + 1e-9
    assert answer["travel"]["heave_mm"] == pytest.approx([-88.9, 76.2])


@pytest.mark.parametrize("command", ["check", "survey", "sweep"])
def test_plain_text_answers(ask, command):
    code, out, _ = ask(command, EXAMPLES / "estate" / "build.yaml")
    assert code in (0, 1)
    assert "Estate, axle swap" in out


def test_sums_list_explain_and_work(ask):
    code, out, _ = ask("sum")
    assert code == 0
    for name in ("joint-speed-ratio", "tube-whirl", "bend-length", "cut-face-angle", "pie-cut-piece",
                 "cone-pattern-radius", "saddle-cut", "tube-mass", "thermal-growth", "tyre-diameter", "road-speed",
                 "bolt-preload-torque", "tape-error"):
        assert name in out
    code, out, _ = ask("sum", "tube-whirl")
    assert code == 0
    assert "caution" in out
    code, out, _ = ask("sum", "bend-length", "angle=90", "deg", "radius=95.25 mm +- 1 mm", "--json")
    answer = json.loads(out)
    # from memory: quarter circle of 95.25 mm; its doubt is a quarter turn of that of the radius
    assert answer["value"] == pytest.approx(149.618, abs=0.002)
    assert answer["unit"] == "mm"
    assert answer["sd"] == pytest.approx(1.5708 / 1.96, rel=1e-3)
    assert answer["source"]


@pytest.mark.parametrize(
    "words, told",
    [
        (("bend-lenght",), "bend-length"),
        (("bend-length", "angel=90 deg"), "angle"),
        (("bend-length", "angle=90 deg"), "radius"),
        (("bend-length", "angle=90", "radius=95 mm"), "90"),
        (("bend-length", "angle=90 deg", "angle=80 deg"), "twice"),
        (("bend-length", "90 deg"), "key=value"),
        (("bend-length", "angle=90 deg", "radius=-5 mm"), "radius"),
        (("bend-length", "angle=nan deg", "radius=5 mm"), "nan"),
    ],
)
def test_a_sum_refuses_with_the_mend(ask, words, told):
    code, out, err = ask("sum", *words)
    assert code == 2
    assert not out
    assert told in err
    code, out, _ = ask("sum", *words, "--json")
    assert code == 2
    assert told in json.loads(out)["refused"][0]["message"]


def test_new_never_writes_over_a_file(ask, tmp_path):
    path = tmp_path / "mine.yaml"
    assert ask("new", path, "--units", "inch")[0] == 0
    before = path.read_bytes()
    assert ask("survey", path)[0] in (0, 1)
    code, _, err = ask("new", path)
    assert code == 2
    assert "exists" in err
    assert path.read_bytes() == before
    assert ask("new", tmp_path / "no" / "such" / "folder.yaml")[0] == 2


def test_a_broken_file_is_refused_whole_with_places(ask, tmp_path):
    path = tmp_path / "bad.yaml"
    path.write_text("trialfit: 1\nreadings:\n  - tape a b 612\n  - hieght a 3 in\n", encoding="utf-8")
    code, out, err = ask("check", path)
    assert code == 2
    assert not out
    assert "bad.yaml:3:" in err
    assert "bad.yaml:4:" in err
    code, out, _ = ask("check", path, "--json")
    assert code == 2
    refused = json.loads(out)["refused"]
    assert {r["where"]["line"] for r in refused} == {3, 4}
    assert ask("check", tmp_path / "absent.yaml")[0] == 2
    assert ask("check", tmp_path)[0] == 2


def test_wrong_commands_and_options_exit_2(ask):
    assert ask("chekc", "x.yaml")[0] == 2
    assert ask("check")[0] == 2
    assert ask("new", "--units", "cubit")[0] == 2


def test_schema_is_json(ask):
    code, out, _ = ask("schema")
    assert code == 0
    assert json.loads(out)["type"] == "object"


def test_sheets_are_written_whole(ask, tmp_path):
    code, out, _ = ask("sheets", EXAMPLES / "flatbed" / "build.yaml", "--out", tmp_path / "paper", "--json")
    assert code == 0
    files = {Path(f["file"]).name: Path(f["file"]) for f in json.loads(out)["files"]}
    assert set(files) == {
        "summary.pdf", "summary.svg", "survey.pdf", "findings.pdf", "cut-list-main.pdf", "wrap-main.pdf", "shaft.pdf",
        "pieces-main.pdf", "fit-up-main.pdf", "bend-table-main.pdf", "size-heat-main.pdf", "hangers-main.pdf",
        "order-exhaust-shop-main.pdf", "order-exhaust-shop-main.txt", "order-coater-main.pdf", "order-coater-main.txt",
        "gearing.pdf", "order-driveshaft.pdf", "order-driveshaft.txt", "order-differential.pdf",
        "order-differential.txt", "mates.pdf", "order-machine-shop.pdf", "hole-templates.pdf", "fittings-bag.pdf",
        "torque.pdf", "plate-1-spring-plate-four-slots.dxf", "plate-2-damper-ear-hole-for-1-2-13.dxf",
        "plate-3-gearbox-4-holes-on-120-00-mm.dxf"}
    for name, path in files.items():
        if name.endswith(".pdf"):
            page = pypdfium2.PdfDocument(path)[0]
            assert page.get_width() == pytest.approx(612.0, abs=0.1), "the build file asks for Letter"
    assert not [p for p in (tmp_path / "paper").iterdir() if p.name.startswith(".")]
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    assert ask("sheets", EXAMPLES / "flatbed" / "build.yaml", "--out", blocked)[0] == 2


def test_demo_works_every_vehicle(ask, tmp_path, monkeypatch):
    from trialfit.checks.searching import Effort
    from trialfit.cli import demo

    monkeypatch.setattr(demo, "EFFORT", Effort(rounds=2, count=3))
    code, out, _ = ask("demo", "--out", tmp_path)
    assert code == 0
    assert out.count("routes found for exhaust main") == 2
    for words in ("Estate, axle swap", "Flat-bed, spring swap", "Van, one shaft or two", "tape rail.L1-rail.R2",
                  "tape pad.L-eye.r.L", "tape floor.1-floor.3", "keep two pieces", "Look first"):
        assert words in out
    assert (tmp_path / "estate" / "wrap-main.pdf").read_bytes().startswith(b"%PDF")


def test_a_name_with_brackets_is_only_a_name(ask, tmp_path):
    path = tmp_path / "brackets.yaml"
    path.write_text('trialfit: 1\nname: "x [/bold] [red]"\n' + READINGS_ONLY, encoding="utf-8")
    for command in ("survey", "check"):
        _, out, _ = ask(command, path)
        assert "x [/bold] [red]" in out


def test_a_wrong_call_with_json_still_answers_in_json(ask):
    code, out, _ = ask("check", "--json")
    assert code == 2
    assert json.loads(out)["refused"][0]["message"]


def test_sheets_of_a_route_that_is_gone_are_taken_away(ask, tmp_path):
    stale = tmp_path / "cut-list-old.pdf"
    stale.write_bytes(b"%PDF")
    mine = tmp_path / "mine.txt"
    mine.write_text("kept")
    assert ask("sheets", EXAMPLES / "flatbed" / "build.yaml", "--out", tmp_path)[0] == 0
    assert not stale.exists()
    assert mine.exists()


def test_a_fault_of_the_program_is_told_as_one(ask, monkeypatch):
    import trialfit.survey

    def broken(*_):
        raise KeyError("inside")

    monkeypatch.setattr(trialfit.survey, "solve", broken)
    monkeypatch.delenv("TRIALFIT_TRACE", raising=False)
    code, out, err = ask("survey", EXAMPLES / "estate" / "build.yaml")
    assert code == 3
    assert not out
    assert "fault of trialfit" in err
