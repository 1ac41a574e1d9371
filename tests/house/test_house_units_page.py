"""The page on units tells the truth: every dimension stands there with its internal unit, every example is read."""

import re
from pathlib import Path

import pytest

from trialfit.units import DIMENSIONS, UnitsError, parse

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "units-and-axes.md").read_text(encoding="utf-8")
ROWS = [[cell.strip() for cell in line.strip("|").split("|")] for line in PAGE.splitlines() if line.startswith("| ")]
BY_NAME = {re.split(r" \(", row[0])[0]: row for row in ROWS if len(row) == 3}


@pytest.mark.parametrize("name", sorted(DIMENSIONS))
def test_the_table_holds_every_dimension(name: str) -> None:
    row = BY_NAME[name]
    if DIMENSIONS[name].internal:
        assert row[1] == DIMENSIONS[name].internal
    examples = re.findall("`([^`]+)`", row[2])
    assert examples
    for example in examples:
        got = parse(example, name)
        assert (got.dimension, got.suspicions) == (name, ())


def test_what_is_doubted_is_doubted() -> None:
    doubted = re.findall(r"^\| `([^`]+)` \| ", PAGE, re.MULTILINE)
    assert len(doubted) == 5
    for typed in doubted:
        assert parse(typed).suspicions


def test_what_is_refused_is_refused() -> None:
    section = PAGE.partition("### Refused")[2].partition("##")[0].replace("(write `3 1/2 in`)", "")
    refused = re.findall("`([^`]+)`", section)
    assert len(refused) == 9
    for typed in refused:
        with pytest.raises(UnitsError):
            parse(typed)
