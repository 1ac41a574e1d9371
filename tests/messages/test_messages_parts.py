"""Broken parts, joints and chains, each beside exactly what is said about them; the kinds they name are invented."""

import sys
from pathlib import Path

import pytest

from trialfit.buildfile import load

sys.path.insert(0, str(Path(__file__).parents[1] / "buildfile"))
from invented_kinds import KINDS

CASES = sorted(p.parent for p in (Path(__file__).parent / "parts_cases").glob("*/build.yaml"))


def said(case: Path) -> list[str]:
    loaded = load(case / "build.yaml", KINDS)
    assert (loaded.build is None) == bool(loaded.problems)
    return [*map(str, loaded.problems), *(f"suspicious: {s}" for s in loaded.suspicions)]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_broken_parts_get_exactly_their_message(case: Path) -> None:
    assert said(case) == (case / "expected.txt").read_text(encoding="utf-8").splitlines()


def test_there_are_enough_of_them() -> None:
    assert sum(load(case / "build.yaml", KINDS).build is None for case in CASES) >= 85


def test_each_says_where_and_none_shows_the_inside_of_the_program() -> None:
    for case in CASES:
        lines = said(case)
        assert lines
        for line in lines:
            assert line.removeprefix("suspicious: ").startswith("build.yaml:"), line
            assert not any(sign in line for sign in ("Traceback", "Error", "object at", "<class", "ruamel", "None")), (
                line
            )
