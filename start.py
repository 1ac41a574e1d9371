#!/usr/bin/env python3
"""Sets Trialfit up on first use, then runs it or its tests. Standard library only.

    python3 start.py demo                 works the two example builds and says where the sheets are
    python3 start.py check mybuild.yaml   or any other trialfit command
    python3 start.py test                 runs every check of the program itself

On first use, and whenever a list of packages changes, it makes ``.venv`` beside this file and installs the
pinned list into it. An earlier ``.venv`` is put aside meanwhile and comes back if anything fails.
"""

from __future__ import annotations

import contextlib
import hashlib
import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

LEAST_PYTHON = (3, 11)
ROOT = Path(__file__).resolve().parent
RUN_LIST = "requirements.txt"
TEST_LIST = "requirements-test.txt"
STAMP = "trialfit-stamp.json"
NO_ENSUREPIP = (
    "this Python cannot make environments (its ensurepip part is missing). On Debian and its relatives:\n"
    "    sudo apt install python3-venv"
)

Say = Callable[[str], None]


class SetUpFailed(Exception):
    """Set-up did not work; the text says why, for a person."""


def say(line: str) -> None:
    """One plain line of progress, on stderr so that ``--json`` output stays clean."""
    print(line, file=sys.stderr, flush=True)


def python_of(venv: Path) -> Path:
    """The interpreter inside an environment."""
    return venv / "Scripts" / "python.exe" if os.name == "nt" else venv / "bin" / "python"


def program_of(venv: Path, name: str) -> Path:
    """A console program inside an environment."""
    return venv / "Scripts" / f"{name}.exe" if os.name == "nt" else venv / "bin" / name


def base_python() -> str:
    """The interpreter that environments are made from, also when this runs inside one."""
    return str(getattr(sys, "_base_executable", None) or sys.executable)


def digest(root: Path, names: Sequence[str]) -> str:
    """What an environment depends on: the lists, the package's own description, the Python, where it stands."""
    total = hashlib.sha256(f"{sys.version_info[:2]} {root}".encode())
    for name in (*names, "pyproject.toml"):
        path = root / name
        total.update(b"\0" + name.encode() + b"\0" + (path.read_bytes() if path.exists() else b""))
    return total.hexdigest()


def stamped(venv: Path) -> dict[str, str]:
    """What was installed into an environment, by list; empty when it is missing or was never finished."""
    if not python_of(venv).exists():
        return {}
    try:
        stamp = json.loads((venv / STAMP).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return {str(k): str(v) for k, v in stamp.items()} if isinstance(stamp, dict) else {}


def _try_lock(handle: int) -> bool:
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


@contextlib.contextmanager
def only_one(root: Path, tell: Say = say) -> Iterator[None]:
    """Holds a lock that the operating system gives back even if this program is killed."""
    place = root / ".venv.lock"
    place.mkdir(exist_ok=True)
    handle = os.open(place / "held", os.O_RDWR | os.O_CREAT)
    try:
        waited = False
        while not _try_lock(handle):
            if not waited:
                tell("another start.py is setting up; waiting for it")
            waited = True
            time.sleep(0.3)
        yield
    finally:
        os.close(handle)


def _remove(path: Path) -> None:
    for _ in range(5):
        shutil.rmtree(path, ignore_errors=True)
        if not path.exists():
            return
        time.sleep(0.2)  # a virus scanner may still hold a file open
    raise SetUpFailed(f"{path} cannot be removed: close whatever uses it, then try again")


def _put_aside(path: Path, aside: Path) -> None:
    try:
        path.rename(aside)
    except OSError as error:
        raise SetUpFailed(f"{path} is in use ({error.strerror}): close whatever uses it, then try again") from None


def useful_lines(log: Sequence[str], most: int = 12) -> str:
    """The lines of an installer's log that say why it failed.

    >>> print(useful_lines(["Collecting a", "ERROR: no wheel for a", "  tail"]))
    ERROR: no wheel for a
    """
    wrong = [line for line in log if re.match(r"\s*(error|fatal|.*Error:)", line, re.IGNORECASE)]
    return "\n".join((wrong or [line for line in log if line.strip()])[-most:])


def _pip(venv: Path, options: Sequence[str], doing: str, total: int, tell: Say) -> None:
    command = [str(python_of(venv)), "-m", "pip", "install", "--disable-pip-version-check", "--no-input",
               "--progress-bar", "off", *options]
    log: list[str] = []
    count = 0
    env = {**os.environ, "PYTHONIOENCODING": "utf-8"}
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, encoding="utf-8",
                          errors="replace", env=env) as running:
        assert running.stdout is not None
        try:
            for line in running.stdout:
                log.append(line.rstrip())
                fetched = re.match(r"Collecting ([A-Za-z0-9._-]+)", line)
                if fetched and total:
                    count += 1
                    tell(f"  {count} of about {total}: {fetched[1]}")
                elif line.startswith("Installing collected packages"):
                    tell("  unpacking (the longest step)")
        except BaseException:
            running.kill()
            raise
    if running.returncode != 0:
        raise SetUpFailed(f"{doing} failed:\n{useful_lines(log)}")


def _listed(path: Path) -> int:
    return sum(bool(re.match(r"[A-Za-z0-9]", line)) for line in path.read_text(encoding="utf-8").splitlines())


def _install_list(root: Path, venv: Path, name: str, options: Sequence[str], tell: Say) -> None:
    path = root / name
    if not path.exists():
        raise SetUpFailed(f"{name} is missing beside start.py: this copy of Trialfit is not whole")
    tell(f"installing what {name} lists")
    _pip(venv, ["--require-hashes", "--only-binary", ":all:", *options, "-r", str(path)],
         f"installing {name}", _listed(path), tell)


def _make(root: Path, venv: Path, options: Sequence[str], tell: Say) -> None:
    tell("making .venv (first use, or the list of packages changed)")
    made = subprocess.run([base_python(), "-m", "venv", str(venv)], capture_output=True, text=True, check=False)
    if made.returncode != 0:
        told = made.stdout + made.stderr
        if "ensurepip" in told:
            raise SetUpFailed(NO_ENSUREPIP)
        raise SetUpFailed(f"making .venv failed:\n{useful_lines(told.splitlines())}")
    _install_list(root, venv, RUN_LIST, options, tell)
    tell("installing trialfit itself")
    _pip(venv, ["--no-deps", "--no-build-isolation", "--no-index", "--editable", str(root)],
         "installing trialfit", 0, tell)


def _warm(venv: Path, tell: Say) -> None:
    """Compile the kernels now, with a progress bar, where the program brings the step along."""
    python = str(python_of(venv))
    look = "import importlib.util, sys; sys.exit(importlib.util.find_spec('trialfit.cli.warm') is None)"
    if subprocess.run([python, "-c", look], capture_output=True, check=False).returncode != 0:
        return
    # progress of a set-up is no output of the command that follows, so it goes to stderr too
    if subprocess.run([python, "-m", "trialfit.cli.warm"], stdout=sys.stderr, check=False).returncode != 0:
        tell("compiling ahead did not work; it will happen on first use")


def _recover(venv: Path, aside: Path, tell: Say) -> None:
    """Mend what a set-up that was killed left behind."""
    if not aside.exists():
        return
    if stamped(venv):
        _remove(aside)
        return
    tell("an earlier set-up was cut off; putting the environment before it back")
    if venv.exists():
        _remove(venv)
    _put_aside(aside, venv)


def set_up(root: Path = ROOT, *, tests: bool = False, pip_options: Sequence[str] = (), tell: Say = say) -> Path:
    """Make sure that ``root/.venv`` holds what the lists say, and return it.

    Raises
    ------
    SetUpFailed
        with the reason; the ``.venv`` that was there before, if any, is there again
    """
    venv, aside = root / ".venv", root / ".venv.before"
    want_run, want_test = digest(root, [RUN_LIST]), digest(root, [RUN_LIST, TEST_LIST])

    def ready() -> bool:
        have = stamped(venv)
        return have.get("run") == want_run and (not tests or have.get("test") == want_test)

    if ready() and not aside.exists():
        return venv
    if importlib.util.find_spec("ensurepip") is None:
        raise SetUpFailed(NO_ENSUREPIP)
    with only_one(root, tell):
        _recover(venv, aside, tell)
        if ready():
            return venv
        stamp = {"run": want_run}
        if stamped(venv).get("run") != want_run:
            had = venv.exists()
            if had:
                _put_aside(venv, aside)
            try:
                _make(root, venv, pip_options, tell)
                _warm(venv, tell)
                if tests:
                    _install_list(root, venv, TEST_LIST, pip_options, tell)
                    stamp["test"] = want_test
                _write_stamp(venv, stamp)
            except BaseException:
                if venv.exists():
                    _remove(venv)
                if had:
                    _put_aside(aside, venv)
                raise
            if had:
                _remove(aside)
        else:
            # The tools of the tests go on top: their list is resolved together with the other, so nothing that the
            # program runs on changes, and the installer fetches all of it before it touches anything.
            _install_list(root, venv, TEST_LIST, pip_options, tell)
            _write_stamp(venv, {**stamp, "test": want_test})
    tell("set up")
    return venv


def _write_stamp(venv: Path, stamp: dict[str, str]) -> None:
    half = venv / (STAMP + ".new")
    half.write_text(json.dumps(stamp), encoding="utf-8")
    half.replace(venv / STAMP)


def run(command: Sequence[str], cwd: Path | None = None) -> int:
    """Run a command, hand its exit code on; an interrupt reaches it too and is waited for."""
    with subprocess.Popen(command, cwd=cwd) as running:
        while True:
            try:
                return running.wait()
            except KeyboardInterrupt:
                continue


def run_tests(root: Path, venv: Path, more: Sequence[str]) -> int:
    """Run every check; 1 when one of them fails, and say which. ``more`` goes to pytest."""
    python = str(python_of(venv))
    # the matrices are small, and two workers' threads would only get in each other's way
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    steps = [
        ("ruff", [python, "-m", "ruff", "check", "."]),
        ("mypy", [python, "-m", "mypy"]),
        ("import contract", [str(program_of(venv, "lint-imports"))]),
        ("tests and examples in the text", [python, "-m", "pytest", "-n", "2", *more]),
    ]
    failed = []
    for name, command in steps:
        say(f"--- {name}")
        if run(command, cwd=root) != 0:
            failed.append(name)
    say(f"FAILED: {', '.join(failed)}" if failed else "all checks passed")
    return 1 if failed else 0


def main(words: Sequence[str]) -> int:
    """Set up if need be, then do what was asked."""
    if not words or words[0] in ("-h", "--help"):
        print("python3 start.py demo                 works the two example builds and says where the sheets are")
        print("python3 start.py COMMAND ...          any trialfit command: new, check, survey, sweep, sheets, sum ...")
        print("python3 start.py test                 runs every check of the program itself")
        return 0
    tests = words[0] == "test"
    try:
        venv = set_up(tests=tests)
    except SetUpFailed as failure:
        say(f"Trialfit could not be set up: {failure}")
        return 1
    except KeyboardInterrupt:
        say("stopped; nothing was left half made")
        return 130
    if tests:
        return run_tests(ROOT, venv, words[1:])
    return run([str(python_of(venv)), "-m", "trialfit", *words])


if __name__ == "__main__":
    if sys.version_info < LEAST_PYTHON:
        sys.exit("Trialfit needs Python {}.{} or newer; this is {}.{}.".format(*LEAST_PYTHON, *sys.version_info[:2]))
    sys.exit(main(sys.argv[1:]))
