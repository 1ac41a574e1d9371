"""The command that writes a build for other programs: which files, exit codes, refusals that write nothing."""

import csv
import io
import json
import sys

import pytest

from trialfit.cli.export import Formats, exported

BUILD = """trialfit: 1
name: Export (invented)
readings:
  - station outlet 800 mm
  - offset outlet 180 mm right
  - height outlet 420 mm
  - station rail.a 900 mm
  - offset rail.a 480 mm right
  - height rail.a 400 mm
  - station rail.b 2600 mm
  - offset rail.b 480 mm right
  - height rail.b 400 mm
shapes:
  rail: {box: rail.a rail.b, along y: 60 mm, along z: 80 mm, kind: frame}
"""
EXHAUST = """exhaust:
  main:
    diameter: 63.5 mm
    wall: 1.5 mm
    outlet: outlet
    corners:
      - {at: [1300 mm, 180 mm right, 300 mm], radius: 95.25 mm, pie cut: 4 pieces, kerf: 1.5 mm}
    end: [2300 mm, 200 mm right, 290 mm]
"""


def _build(folder, text):
    path = folder / "build.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def _files(folder):
    return sorted(p.name for p in folder.iterdir()) if folder.exists() else []


def test_tables_are_written_and_say_whether_they_may_be_cut_from(tmp_path, capsys):
    path, out = _build(tmp_path, BUILD + EXHAUST), tmp_path / "out"
    assert exported(path, Formats(csv=True), out, "ride", "steel", False) == 0
    assert _files(out) == ["bender-main.csv", "cut-list-main.csv", "hardpoints.csv", "points-main.csv"]
    rows = list(csv.DictReader(io.StringIO((out / "cut-list-main.csv").read_text(encoding="utf-8"))))
    # the bend's leg leaves an unchecked survey and no travel: something is open, and the table says so
    assert rows[1]["may be cut"].startswith("NOT TO BE CUT FROM YET")
    assert "cut-list-main.csv  pieces; NOT TO BE CUT FROM YET" in capsys.readouterr().out


def test_a_scene_needs_no_library_and_no_exhaust(tmp_path, capsys):
    path, out = _build(tmp_path, BUILD), tmp_path / "out"
    assert exported(path, Formats(glb=True), out, "ride", "steel", True) == 0
    (file,) = json.loads(capsys.readouterr().out)["files"]
    assert file["what"] == "the vehicle at ride height, to look at"
    assert (out / "vehicle.glb").read_bytes()[:4] == b"glTF"


def test_nothing_named_is_everything(tmp_path):
    pytest.importorskip("OCP")
    pytest.importorskip("ezdxf")
    path, out = _build(tmp_path, BUILD + EXHAUST), tmp_path / "out"
    assert exported(path, Formats(), out, "ride", "steel", True) == 0
    assert _files(out) == ["bend-line-main.dxf", "bender-main.csv", "cut-list-main.csv", "exhaust-main.step",
                           "hardpoints.csv", "points-main.csv", "vehicle.glb", "wraps-main.dxf"]
    first = {p.name: p.read_bytes() for p in out.iterdir()}
    assert exported(path, Formats(), out, "ride", "steel", True) == 0
    assert {p.name: p.read_bytes() for p in out.iterdir()} == first
    assert not any(str(tmp_path).encode() in data for data in first.values())


def test_a_missing_library_is_told_before_anything_is_written(tmp_path, capsys, monkeypatch):
    monkeypatch.setitem(sys.modules, "OCP", None)
    monkeypatch.setitem(sys.modules, "OCP.gp", None)
    path, out = _build(tmp_path, BUILD + EXHAUST), tmp_path / "out"
    assert exported(path, Formats(step=True, csv=True), out, "ride", "steel", False) == 2
    assert 'pip install "trialfit[cad]"' in capsys.readouterr().err
    assert _files(out) == []


@pytest.mark.parametrize("text, formats, at, material, words", [
    (BUILD, Formats(dxf=True), "ride", "steel", "no exhaust is laid"),
    (BUILD, Formats(glb=True), "bump", "steel", "the travel of this build is not known"),
    (BUILD + EXHAUST, Formats(csv=True), "ride", "stele", "steel"),
    ("trialfit: 1\nreadings:\n  - stashun a 100 mm\n", Formats(csv=True), "ride", "steel", "stashun"),
])
def test_what_cannot_be_written_is_refused_and_nothing_is(tmp_path, capsys, text, formats, at, material, words):
    if formats.dxf:
        pytest.importorskip("ezdxf")
    out = tmp_path / "out"
    assert exported(_build(tmp_path, text), formats, out, at, material, False) == 2
    assert words in capsys.readouterr().err
    assert _files(out) == []


def test_a_file_of_a_route_that_is_gone_is_left_and_told(tmp_path, capsys):
    path, out = _build(tmp_path, BUILD + EXHAUST), tmp_path / "out"
    out.mkdir()
    (out / "cut-list-old.csv").write_text("x", encoding="utf-8")
    assert exported(path, Formats(csv=True), out, "ride", "steel", False) == 0
    assert (out / "cut-list-old.csv").exists()
    assert "cut-list-old.csv was there before and is not of this export: do not cut from it" in capsys.readouterr().err


def test_a_folder_that_is_a_file_is_refused(tmp_path, capsys):
    path, out = _build(tmp_path, BUILD), tmp_path / "out"
    out.write_text("", encoding="utf-8")
    assert exported(path, Formats(glb=True), out, "ride", "steel", False) == 2
    assert "cannot be written" in capsys.readouterr().err
