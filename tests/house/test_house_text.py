"""What holds for every file: no machine's paths, no hosts, no empty docstrings, lists that agree with each other."""

import ast
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "trialfit"
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]

# Names of vocabularies that file formats demand word for word; they are never fetched.
VOCABULARIES = ("www.w3.org/", "json-schema.org/draft", "purl.org/dc")
ADDRESS = re.compile("[a-z]{3,5}:" + "//[^ \"'>)]*")
NO_HOSTS = ("127.0.0.1", "localhost", "0.0.0.0", "[::1]", "testserver", ":" + "//{", "192.168.", ".example", ".invalid")
"""This machine, a place to be filled in, and names that are kept free for examples."""
MACHINE_PATH = re.compile(r"(?<![\w./:-])/" + "(home|root|tmp|Users|opt|mnt|work|var|private)/" + r"|[A-Z]:\\+Users")
REQUIREMENT_LISTS = ("requirements.txt", "requirements-test.txt")


def kept_files() -> list[Path]:
    """Every file that a clone holds or will hold."""
    listed = subprocess.run(["git", "-C", str(ROOT), "ls-files", "-co", "--exclude-standard", "-z"],
                            capture_output=True, check=False)
    if listed.returncode == 0:
        names = [n for n in listed.stdout.decode().split("\0") if n]
        return [ROOT / n for n in names if (ROOT / n).is_file()]
    skipped = {".git", "__pycache__", "out", "dist", "build"}
    return [p for p in ROOT.rglob("*") if p.is_file() and not any(
        part in skipped or part.startswith(".venv") or part.endswith((".egg-info", "_cache")) for part in p.parts)]


def python_files() -> list[Path]:
    return [p for p in kept_files() if p.suffix == ".py"]


def lines_of_text() -> list[tuple[str, int, str]]:
    rows = []
    for path in kept_files():
        data = path.read_bytes()
        # a licence of others travels word for word, addresses and all
        if path.name in REQUIREMENT_LISTS or path.name.startswith("LICENSE_FONT") or b"\0" in data[:4096]:
            continue
        text = data.decode("utf-8", "replace")
        rows += [(str(path.relative_to(ROOT)), n, line) for n, line in enumerate(text.splitlines(), 1)]
    return rows


def test_no_address_in_any_file() -> None:
    found = [(name, n, hit) for name, n, line in lines_of_text() for hit in ADDRESS.findall(line)
             if not any(v in hit for v in (*VOCABULARIES, *NO_HOSTS)) and not hit.endswith(":" + "//")]
    assert found == []


def test_no_path_of_a_machine_in_any_file() -> None:
    found = [(name, n, line.strip()[:100]) for name, n, line in lines_of_text() if MACHINE_PATH.search(line)]
    assert found == []


def test_the_two_patterns_do_find_what_they_look_for() -> None:
    assert ADDRESS.search("see https:" + "//example.invalid/x")
    assert MACHINE_PATH.search("open('" + "/ho" + "me/someone/x')")
    assert not MACHINE_PATH.search("#!/usr/bin/env python3")
    assert not MACHINE_PATH.search("src/trialfit/work/x")


def test_every_module_says_what_it_is() -> None:
    silent = [str(p.relative_to(ROOT)) for p in python_files()
              if not ast.get_docstring(ast.parse(p.read_text(encoding="utf-8")))]
    assert silent == []


def test_modules_are_named_for_their_subject() -> None:
    empty = {"util", "utils", "helper", "helpers", "manager", "base", "common", "misc"}
    assert [p for p in SOURCE.rglob("*.py") if p.stem in empty] == []


def test_names_of_test_files_are_unique_and_folders_are_no_packages() -> None:
    tests = [p for p in python_files() if p.is_relative_to(ROOT / "tests")]
    assert [p for p in tests if p.name == "__init__.py"] == []
    names = [p.name for p in tests if p.name.startswith("test_")]
    assert sorted(names) == sorted(set(names))


# From doubt and plan down nothing touches disk, network, clock, screen or unseeded chance.
PURE = ("checks", "doubt", "driveline", "estimation", "exhaust", "findings", "geometry", "brakes", "lines", "mates",
        "motion", "parts", "plan", "routing", "structure", "sums", "survey", "units", "vehicle", "standards", "sheets")
IMPURE_MODULES = {"time", "datetime", "random", "secrets", "socket", "urllib", "http", "subprocess", "tempfile",
                  "shutil", "os", "pathlib", "threading", "multiprocessing", "rich", "cyclopts", "logging"}
IMPURE_CALLS = {"print", "open", "input", "eval", "exec"}


def imported_names(tree: ast.AST) -> set[str]:
    names = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {a.name.split(".")[0] for a in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            names.add(node.module.split(".")[0])
    return names


@pytest.mark.parametrize("room", PURE)
def test_pure_rooms_stay_pure(room: str) -> None:
    wrong = []
    for path in (SOURCE / room).rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        wrong += [f"{path.name} imports {m}" for m in sorted(imported_names(tree) & IMPURE_MODULES)]
        wrong += [f"{path.name}:{node.lineno} calls {node.func.id}" for node in ast.walk(tree)
                  if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in IMPURE_CALLS]
    assert wrong == []


def pins(name: str) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for line in (ROOT / name).read_text(encoding="utf-8").splitlines():
        pin = re.match(r"([a-z0-9-]+)==([^ ;\\]+)", line)
        if pin:
            found.setdefault(pin[1], set()).add(pin[2])
    return found


def plain(requirement: str) -> str:
    return re.sub("[._]", "-", re.split(r"[ ;<>=!\[]", requirement)[0].lower())


@pytest.mark.parametrize("name", REQUIREMENT_LISTS)
def test_pinned_lists_name_no_place_and_hash_everything(name: str) -> None:
    text = (ROOT / name).read_text(encoding="utf-8")
    for word in ("://", "--index", "--extra", "--find-links", "--trusted", "file:", "@", "/"):
        assert word not in text, word
    for block in re.split(r"\n(?=[a-z])", text.strip()):
        assert re.match(r"[a-z0-9-]+==", block), block[:60]
        assert "--hash=sha256:" in block, block[:60]


def test_the_two_lists_agree_and_hold_what_is_declared() -> None:
    run, test = pins("requirements.txt"), pins("requirements-test.txt")
    assert {k: (run[k], test[k]) for k in run.keys() & test.keys() if run[k] != test[k]} == {}
    assert {plain(d) for d in PROJECT["dependencies"]} <= run.keys()
    wanted = [line for line in (ROOT / "requirements-test.in").read_text(encoding="utf-8").splitlines()
              if re.match("[a-z]", line)]
    assert {plain(w) for w in wanted} <= test.keys()


def test_the_program_imports_only_what_it_declares() -> None:
    by_import = {"ruamel": "ruamel-yaml", "OCP": "cadquery-ocp-novtk"}
    extras = [d for group in PROJECT["optional-dependencies"].values() for d in group]
    declared = {plain(d) for d in (*PROJECT["dependencies"], *extras)}
    strange = {}
    for path in SOURCE.rglob("*.py"):
        names = imported_names(ast.parse(path.read_text(encoding="utf-8")))
        names -= {*sys.stdlib_module_names, "trialfit"}
        missing = {n for n in names if by_import.get(n, n.lower().replace("_", "-")) not in declared}
        if missing:
            strange[path.name] = missing
    assert strange == {}
