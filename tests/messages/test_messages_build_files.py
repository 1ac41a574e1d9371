"""Broken and doubtful build files, each beside exactly what is said about it."""

from pathlib import Path

import pytest

from trialfit.buildfile import load

CASES = sorted(p.parent for p in (Path(__file__).parent / "cases").glob("*/build.yaml"))


def said(case: Path) -> list[str]:
    loaded = load(case / "build.yaml")
    assert (loaded.build is None) == bool(loaded.problems)
    return [*map(str, loaded.problems), *(f"suspicious: {s}" for s in loaded.suspicions)]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_broken_file_gets_exactly_its_message(case: Path) -> None:
    assert said(case) == (case / "expected.txt").read_text(encoding="utf-8").splitlines()


def test_there_are_enough_broken_files() -> None:
    assert sum(load(case / "build.yaml").build is None for case in CASES) >= 85


def test_every_message_says_where_and_none_shows_the_inside_of_the_program() -> None:
    for case in CASES:
        for line in said(case):
            assert line.removeprefix("suspicious: ").startswith("build.yaml:"), line
            assert not any(sign in line for sign in ("Traceback", "Error", "object at", "<class", "ruamel", "None")), (
                line
            )
