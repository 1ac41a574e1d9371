"""Saving: whole or not at all, and never over a change made elsewhere."""

import os
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest

from trialfit.buildfile import load, save
from trialfit.buildfile import saving as rooms_saving
from trialfit.buildfile.reader import digest_of

ROOT = Path(__file__).resolve().parents[2]
OLD = "trialfit: 1\nreadings:\n  - tape a b 612 mm  # old\n"
NEW = "trialfit: 1\nreadings:\n  - tape a b 613 mm  # new\n"


def test_saved_text_is_what_is_read_next(tmp_path: Path) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(OLD, encoding="utf-8")
    saved = save(path, NEW, load(path).digest)
    assert saved.done
    assert path.read_bytes() == NEW.encode()
    assert load(path).digest == saved.digest == digest_of(NEW.encode())
    again = save(path, OLD, saved.digest)
    assert again.done
    assert list(tmp_path.iterdir()) == [path]


def test_a_change_made_elsewhere_is_not_written_over(tmp_path: Path) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(OLD, encoding="utf-8")
    digest = load(path).digest
    path.write_text(OLD + "# theirs\n", encoding="utf-8")
    saved = save(path, NEW, digest)
    assert not saved.done
    assert saved.reason == ("not saved: the file on the disk has changed since it was read; "
                            "read it again and repeat the change")
    assert path.read_text(encoding="utf-8") == OLD + "# theirs\n"
    assert list(tmp_path.iterdir()) == [path]


def test_a_change_made_while_the_new_text_is_being_written_is_seen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(OLD, encoding="utf-8")
    digest = load(path).digest
    sync = os.fsync

    def meanwhile(handle: int) -> None:
        sync(handle)
        path.write_text("theirs: 1\n", encoding="utf-8")

    monkeypatch.setattr(rooms_saving.os, "fsync", meanwhile)
    assert not save(path, NEW, digest).done
    assert path.read_text(encoding="utf-8") == "theirs: 1\n"
    assert list(tmp_path.iterdir()) == [path]


def test_a_new_file_never_takes_the_place_of_another(tmp_path: Path) -> None:
    path = tmp_path / "build.yaml"
    made = save(path, NEW, "")
    assert made.done
    assert not save(path, OLD, "").done
    assert path.read_text(encoding="utf-8") == NEW
    path.unlink()
    gone = save(path, OLD, made.digest)
    assert not gone.done
    assert "gone from the disk" in gone.reason
    assert not path.exists()


def test_line_ends_and_byte_order_mark_stay(tmp_path: Path) -> None:
    path = tmp_path / "build.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + OLD.replace("\n", "\r\n").encode())
    loaded = load(path)
    assert save(path, loaded.text.replace("612", "613").replace("old", "new"), loaded.digest).done
    assert path.read_bytes() == b"\xef\xbb\xbf" + NEW.replace("\n", "\r\n").encode()
    # a text field of a page hands back plain line ends
    assert save(path, OLD, load(path).digest).done
    assert path.read_bytes() == b"\xef\xbb\xbf" + OLD.replace("\n", "\r\n").encode()


@pytest.mark.skipif(os.name != "posix", reason="permissions and links as this system knows them")
def test_permissions_and_links_stay(tmp_path: Path) -> None:
    path, link = tmp_path / "real" / "build.yaml", tmp_path / "link.yaml"
    path.parent.mkdir()
    path.write_text(OLD, encoding="utf-8")
    path.chmod(0o640)
    link.symlink_to(path)
    assert save(link, NEW, load(link).digest).done
    assert link.is_symlink()
    assert path.read_text(encoding="utf-8") == NEW
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_what_cannot_be_written_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(OLD, encoding="utf-8")
    digest = load(path).digest

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(rooms_saving.os, "fsync", full)
    saved = save(path, NEW, digest)
    assert not saved.done
    assert "No space left on device" in saved.reason
    assert path.read_text(encoding="utf-8") == OLD
    assert list(tmp_path.iterdir()) == [path]
    assert "not saved" in save(tmp_path / "no-such-folder" / "build.yaml", NEW, "").reason
    assert "not saved" in save("a\0b", NEW, "").reason


def test_a_text_that_could_not_be_read_again_is_not_saved(tmp_path: Path) -> None:
    path = tmp_path / "build.yaml"
    for bad in ("name: \x07", "x" * 500_000, "\ud800"):
        assert not save(path, bad, "").done
    assert list(tmp_path.iterdir()) == []
    # half-finished work is kept although it has problems
    assert save(path, "trialfit: 1\nreadings:\n  - tape a\n", "").done


_SAVES_FOR_EVER = """
import sys
sys.path.insert(0, sys.argv[2])
from trialfit.buildfile import load, save
path, digest, n = sys.argv[1], load(sys.argv[1]).digest, 0
texts = ["trialfit: 1\\nreadings:\\n" + "  - tape a b %d mm\\n" % k * 5000 for k in (612, 613)]
print("ready", flush=True)
while True:
    n += 1
    saved = save(path, texts[n % 2], digest)
    assert saved.done, saved.reason
    digest = saved.digest
"""


@pytest.mark.skipif(os.name != "posix", reason="kills as this system knows it")
def test_killed_at_any_moment_the_file_is_whole(tmp_path: Path) -> None:
    path = tmp_path / "build.yaml"
    whole = {("trialfit: 1\nreadings:\n" + f"  - tape a b {k} mm\n" * 5000).encode() for k in (612, 613)}
    path.write_bytes(next(iter(whole)))
    for n in range(6):
        child = subprocess.Popen([sys.executable, "-c", _SAVES_FOR_EVER, str(path), str(ROOT / "src")],
                                 stdout=subprocess.PIPE)
        assert child.stdout is not None
        assert child.stdout.readline() == b"ready\n"
        time.sleep(0.02 + 0.0137 * n)
        child.send_signal(signal.SIGKILL)
        assert child.wait() == -signal.SIGKILL  # it was still saving: no error of its own ended it
        child.stdout.close()
        assert path.read_bytes() in whole
    assert load(path).digest in {digest_of(w) for w in whole}
