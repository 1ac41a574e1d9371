"""Set-up: standard library only, nothing half made, two at once do no harm, exit codes handed on. No network."""

import ast
import importlib.util
import subprocess
import sys
import time
from pathlib import Path
from types import ModuleType

import pytest

START = Path(__file__).resolve().parents[2] / "start.py"


def loaded() -> ModuleType:
    spec = importlib.util.spec_from_file_location("trialfit_start", START)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


start = loaded()


def quiet(line: str) -> None:
    """Takes a line of progress and does nothing with it."""


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "requirements.txt").write_text("one==1.0 --hash=sha256:00\n")
    (tmp_path / "requirements-test.txt").write_text("two==1.0 --hash=sha256:00\n")
    (tmp_path / "pyproject.toml").write_text("")
    return tmp_path


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Stands in for the slow steps; tells which were taken."""
    steps: list[str] = []

    def make(root: Path, venv: Path, options: object, tell: object) -> None:
        steps.append("make")
        start.python_of(venv).parent.mkdir(parents=True)
        start.python_of(venv).touch()

    def install(root: Path, venv: Path, name: str, options: object, tell: object) -> None:
        steps.append(name)

    monkeypatch.setattr(start, "_make", make)
    monkeypatch.setattr(start, "_install_list", install)
    monkeypatch.setattr(start, "_warm", lambda venv, tell: None)
    return steps


def test_only_the_standard_library() -> None:
    tree = ast.parse(START.read_text(encoding="utf-8"))
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {a.name.split(".")[0] for a in node.names}
        elif isinstance(node, ast.ImportFrom):
            names.add((node.module or "").split(".")[0])
    assert names - set(sys.stdlib_module_names) == set()


def test_an_old_python_can_read_the_file_as_far_as_the_sentence() -> None:
    ast.parse(START.read_text(encoding="utf-8"), feature_version=(3, 8))


def test_set_up_once_and_again_only_when_a_list_changed(root: Path, made: list[str]) -> None:
    start.set_up(root, tell=quiet)
    start.set_up(root, tell=quiet)
    assert made == ["make"]
    start.set_up(root, tests=True, tell=quiet)
    start.set_up(root, tests=True, tell=quiet)
    assert made == ["make", "requirements-test.txt"]
    (root / "requirements.txt").write_text("one==1.1 --hash=sha256:00\n")
    start.set_up(root, tests=True, tell=quiet)
    assert made == ["make", "requirements-test.txt", "make", "requirements-test.txt"]
    (root / "requirements-test.txt").write_text("two==1.1 --hash=sha256:00\n")
    start.set_up(root, tell=quiet)
    assert len(made) == 4
    assert not (root / ".venv.before").exists()


@pytest.mark.parametrize("fault", [start.SetUpFailed("no"), KeyboardInterrupt(), OSError("disk full")])
def test_the_environment_before_comes_back(root: Path, made: list[str], monkeypatch: pytest.MonkeyPatch,
                                           fault: BaseException) -> None:
    venv = start.set_up(root, tell=quiet)
    (venv / "mine.txt").write_text("kept")
    stamp = (venv / start.STAMP).read_text()
    (root / "requirements.txt").write_text("changed==1 --hash=sha256:00\n")

    def half(root: Path, venv: Path, options: object, tell: object) -> None:
        (venv / "half").mkdir(parents=True)
        raise fault

    monkeypatch.setattr(start, "_make", half)
    with pytest.raises(type(fault)):
        start.set_up(root, tell=quiet)
    assert (venv / "mine.txt").read_text() == "kept"
    assert (venv / start.STAMP).read_text() == stamp
    assert not (venv / "half").exists()
    assert not (root / ".venv.before").exists()


def test_a_first_set_up_that_fails_leaves_no_environment(root: Path, made: list[str],
                                                         monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(root: Path, venv: Path, name: str, options: object, tell: object) -> None:
        raise start.SetUpFailed("no")

    monkeypatch.setattr(start, "_install_list", fail)
    with pytest.raises(start.SetUpFailed):
        start.set_up(root, tests=True, tell=quiet)
    assert sorted(p.name for p in root.iterdir()) == [
        ".venv.lock", "pyproject.toml", "requirements-test.txt", "requirements.txt"]


def test_a_set_up_that_was_killed_is_mended(root: Path, made: list[str]) -> None:
    venv = start.set_up(root, tell=quiet)
    (venv / "mine.txt").write_text("kept")
    venv.rename(root / ".venv.before")
    venv.mkdir()
    told: list[str] = []
    start.set_up(root, tell=told.append)
    assert (venv / "mine.txt").read_text() == "kept"
    assert made == ["make"]
    assert any("cut off" in line for line in told)


def test_a_real_install_that_cannot_work_says_why_and_leaves_nothing(root: Path) -> None:
    digits = "0" * 64
    (root / "requirements.txt").write_text(f"trialfit-no-such-package==1.0 --hash=sha256:{digits}\n")
    (root / ".venv").mkdir()
    (root / ".venv" / "mine.txt").write_text("kept")
    with pytest.raises(start.SetUpFailed) as caught:
        start.set_up(root, pip_options=("--no-index", "--find-links", str(root)), tell=quiet)
    assert str(caught.value).startswith("installing requirements.txt failed:\nERROR")
    assert "trialfit-no-such-package" in str(caught.value)
    assert [p.name for p in (root / ".venv").iterdir()] == ["mine.txt"]
    assert not (root / ".venv.before").exists()


def test_a_list_that_is_missing_is_named(root: Path) -> None:
    with pytest.raises(start.SetUpFailed, match=r"requirements\.txt is missing beside start\.py"):
        start._install_list(root / "elsewhere", root / ".venv", "requirements.txt", (), quiet)


def test_a_python_without_ensurepip_is_told_what_to_install(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(start.importlib.util, "find_spec", lambda name: None)
    with pytest.raises(start.SetUpFailed, match="apt install python3-venv"):
        start.set_up(root, tell=quiet)


HOLD = """
import importlib.util, pathlib, sys, time
spec = importlib.util.spec_from_file_location("s", sys.argv[1])
s = importlib.util.module_from_spec(spec); spec.loader.exec_module(s)
with s.only_one(pathlib.Path(sys.argv[2]), print):
    print("in", time.monotonic(), flush=True)
    time.sleep(0.4)
    print("out", time.monotonic(), flush=True)
"""


def test_two_at_once_take_turns_and_a_killed_one_holds_nobody_up(tmp_path: Path) -> None:
    command = [sys.executable, "-c", HOLD, str(START), str(tmp_path)]
    both = [subprocess.Popen(command, stdout=subprocess.PIPE, text=True) for _ in range(2)]
    spans = []
    for process in both:
        words = [line.split() for line in process.communicate(timeout=30)[0].splitlines()]
        times = {w[0]: float(w[1]) for w in words if w[0] in ("in", "out")}
        spans.append((times["in"], times["out"]))
    spans.sort()
    assert spans[0][1] <= spans[1][0]
    killed = subprocess.Popen([sys.executable, "-c", HOLD.replace("0.4", "60"), str(START), str(tmp_path)],
                              stdout=subprocess.PIPE, text=True)
    assert killed.stdout is not None
    assert killed.stdout.readline().startswith("in")
    killed.kill()
    killed.communicate()
    began = time.monotonic()
    with start.only_one(tmp_path, quiet):
        assert time.monotonic() - began < 5.0


@pytest.mark.parametrize("code", [0, 1, 2, 7])
def test_exit_codes_are_handed_on(code: int) -> None:
    assert start.run([sys.executable, "-c", f"raise SystemExit({code})"]) == code


def test_the_checks_name_what_failed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
                                     capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(start, "run", lambda command, cwd=None: int("mypy" in command))
    assert start.run_tests(tmp_path, tmp_path / ".venv", ["-k", "x"]) == 1
    assert "FAILED: mypy\n" in capsys.readouterr().err
    monkeypatch.setattr(start, "run", lambda command, cwd=None: 0)
    assert start.run_tests(tmp_path, tmp_path / ".venv", []) == 0


def test_without_words_it_says_what_it_can_do(capsys: pytest.CaptureFixture[str]) -> None:
    assert start.main([]) == 0
    assert len(capsys.readouterr().out.splitlines()) == 3
