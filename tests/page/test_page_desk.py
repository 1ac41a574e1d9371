"""The build file as every tab sees it: nobody's change is lost, and a reading sent twice counts once."""

import shutil
import threading
from pathlib import Path

import pytest

from trialfit.buildfile import load
from trialfit.findings import Verdict
from trialfit.web.desk import Desk

ESTATE = Path(__file__).resolve().parents[2] / "examples" / "estate" / "build.yaml"
SMALL = """\
trialfit: 1
name: Small, invented
readings:
  - station a 1000 mm   # chalked
  - offset a 300 mm left
  - height a 400 mm
  - station b 1600 mm
  - offset b 300 mm left
  - height b 400 mm
"""


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    (tmp_path / "build.yaml").write_text(SMALL, encoding="utf-8")
    return Desk(tmp_path / "build.yaml", watching=False)


def on_disk(desk: Desk) -> str:
    return desk.path.read_text(encoding="utf-8")


def test_a_reading_is_on_the_disk_before_it_is_answered(desk):
    answer = desk.add_reading("tape a b 600 mm", "aaaa0001")
    assert answer.counted
    assert answer.taken is not None
    assert answer.taken.verdict is Verdict.FITS
    assert "tape a b 600 mm" in on_disk(desk)
    assert "# chalked" in on_disk(desk)


def test_a_reading_sent_twice_counts_once(desk):
    desk.add_reading("tape a b 600 mm", "aaaa0001")
    desk.add_reading("tape a b 600 mm", "aaaa0001")
    assert on_disk(desk).count(" 600 mm") == 1
    # and after the server was started anew
    again = Desk(desk.path, watching=False).add_reading("tape a b 600 mm", "aaaa0001")
    assert again.counted
    assert again.again
    assert on_disk(desk).count(" 600 mm") == 1


def test_the_same_reading_twice_becomes_a_repeat(desk):
    desk.add_reading("tape a b 600 mm", "aaaa0001")
    desk.add_reading("tape a b 601 mm", "aaaa0002")
    build = load(desk.path).build
    assert build is not None
    assert [r.values for r in build.readings if r.identity == "tape a-b"] == [(600.0, 601.0)]
    # with another instrument it is a reading of its own
    desk.add_reading("tape a b 601 mm by tape-blind", "aaaa0003")
    assert sum(r.kind.value == "tape" for r in load(desk.path).build.readings) == 2


def test_a_misread_tape_is_told_and_gives_way(desk):
    # a square of 600 mm on the floor plan, its diagonals by Pythagoras
    for k, line in enumerate(("station c 1000 mm", "offset c 300 mm right", "height c 400 mm", "station d 1600 mm",
                              "offset d 300 mm right", "height d 400 mm", "tape a c 600 mm", "tape b d 600 mm",
                              "tape b c 848.5 mm", "tape a d 848.5 mm")):
        assert desk.add_reading(line, f"bbbb000{k}").counted
    answer = desk.add_reading("tape a b 660 mm", "aaaa0001")
    assert answer.taken.verdict is Verdict.DOES_NOT_FIT
    assert answer.taken.suspect.reading == "tape a-b"
    assert answer.taken.suspect.off == pytest.approx(60.0, abs=3.0)
    mended = desk.add_reading("tape a b 600 mm", "aaaa0002", instead_of="tape a-b")
    assert mended.taken.verdict is Verdict.FITS
    assert "660 mm" not in on_disk(desk)


@pytest.mark.parametrize("line", [
    "tape a b 3 1/0 in", "tape a b 612", "tape a", "hight a 3 mm", "", "tape a b 3 mm\nx: 1"])
def test_what_is_no_reading_is_refused_and_changes_nothing(desk, line):
    before = on_disk(desk)
    answer = desk.add_reading(line, "aaaa0001")
    assert not answer.counted
    assert answer.reason
    assert on_disk(desk) == before


def test_a_mark_of_the_wrong_kind_is_refused(desk):
    with pytest.raises(ValueError, match="8 to 32 small letters"):
        desk.add_reading("tape a b 600 mm", "../../x")


def test_two_tabs_at_once_lose_nothing(desk):
    threads = [threading.Thread(target=desk.add_reading, args=(f"height p{k} {300 + k} mm", f"cccc000{k}"))
               for k in range(6)]
    for t in threads:
        t.start()
    for t in threads:
        t.join()
    assert all(f"height p{k} {300 + k} mm" in on_disk(desk) for k in range(6))


def test_a_change_from_an_older_text_is_shown_three_ways(desk):
    seen, began = desk.revision, desk.text
    desk.add_reading("tape a b 600 mm", "aaaa0001")
    mine = began.replace("Small", "Mine")
    clash = desk.apply(mine, seen=seen)
    assert clash is not None
    assert (clash.base, clash.mine, clash.theirs) == (began, mine, desk.text)
    assert "tape a b 600 mm" in on_disk(desk)


def test_a_change_on_the_disk_is_not_written_over(desk):
    began = desk.text
    theirs = began.replace("400 mm", "401 mm")
    desk.path.write_text(theirs, encoding="utf-8")
    clash = desk.apply(began.replace("Small", "Mine"))
    assert clash is not None
    assert clash.theirs == theirs == on_disk(desk) == desk.text
    # a reading goes into what stands there now
    assert desk.add_reading("tape a b 600 mm", "aaaa0001").counted
    assert "401 mm" in on_disk(desk)


def test_undo_and_redo_are_on_the_disk(desk):
    began = desk.text
    desk.add_reading("tape a b 600 mm", "aaaa0001")
    changed = desk.text
    assert desk.undo() is None
    assert on_disk(desk) == began
    assert desk.redo() is None
    assert on_disk(desk) == changed
    assert desk.rub_out("aaaa0001") == ""
    assert on_disk(desk) == began


def test_rubbing_out_what_is_not_the_last_change_is_refused(desk):
    desk.add_reading("tape a b 600 mm", "aaaa0001")
    desk.add_reading("height c 3 mm", "aaaa0002")
    assert desk.rub_out("aaaa0001")
    assert " 600 mm" in on_disk(desk)


def test_looking_takes_over_what_another_program_wrote(desk):
    desk.path.write_text(SMALL.replace("Small", "Theirs"), encoding="utf-8")
    assert desk.look()
    assert desk.build.name == "Theirs, invented"
    assert not desk.look()


@pytest.mark.slow
def test_the_work_is_done_beside_and_told(tmp_path):
    shutil.copy(ESTATE, tmp_path / "build.yaml")
    desk = Desk(tmp_path / "build.yaml")
    try:
        assert desk.findings is None
        desk.add_reading("tape rail.L1 rail.R2 1265 mm", "aaaa0001")
        assert desk.wait(50.0)
        assert desk.fault == ""
        assert desk.worked.revision == desk.revision
        assert desk.findings
        assert desk.worked.gates
        assert desk.worked.acts
    finally:
        desk.close()


def test_the_first_reading_goes_into_an_empty_notebook(tmp_path):
    for k, text in enumerate(("trialfit: 1\nname: New, invented\nreadings:\n", "trialfit: 1\nname: New, invented\n")):
        path = tmp_path / f"build{k}.yaml"
        path.write_text(text, encoding="utf-8")
        desk = Desk(path, watching=False)
        assert not desk.has_readings
        assert desk.add_reading("height a 400 mm", "aaaa0001").counted
        assert desk.has_readings
        assert load(path).build is not None
