"""The starter, and the pages about the format, are themselves good build files."""

import re
from pathlib import Path

import pytest

from trialfit.buildfile import driveline_keys, keys, read, starter
from trialfit.standards import KINDS
from trialfit.vehicle import DEFAULT_INSTRUMENTS

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "docs" / "build-file.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```yaml\n(.*?)```", PAGE, re.DOTALL)


@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize(
    "name", ["Estate", "Old one: my #1", 'the "big" one', "- dash", "", "null", "123", "a\nb: c\x07", "é ½"]
)
def test_the_starter_reads_without_a_word(name: str, units: str) -> None:
    loaded = read(starter(name, units))
    assert [str(p) for p in (*loaded.problems, *loaded.suspicions)] == []
    assert loaded.build is not None
    assert loaded.build.settings.units == units
    assert len(loaded.build.readings) >= 6
    kept = " ".join("".join(c if c.isprintable() else " " for c in name).split())
    assert loaded.build.name == (kept or "My build")
    assert "INVENTED" in starter(name, units)


def test_both_starters_tell_of_the_same_vehicle() -> None:
    metric, inch = read(starter("x", "metric")).build, read(starter("x", "inch")).build
    assert metric is not None
    assert inch is not None
    for a, b in zip(metric.readings, inch.readings):
        assert a.identity == b.identity
        assert a.values == pytest.approx(b.values, abs=6.0)


def test_what_the_starter_keeps_back_reads_too_once_the_points_are_there() -> None:
    lines = starter().splitlines()
    kept = next(n for n, line in enumerate(lines) if line.startswith("# bodies:"))
    text = "\n".join([*lines[:kept], *(line[2:] for line in lines[kept:])])
    used = (
        "pad.R",
        "pinion",
        "eye.R",
        "rear.L",
        "rear.R",
        "shackle.L",
        "shackle.R",
        "tube.L",
        "tube.R",
        "tank.a",
        "tank.b",
    )
    more = "readings:\n" + "".join(f"  - height {name} 30{n} mm\n" for n, name in enumerate(used))
    loaded = read(text.replace("readings:\n", more, 1))
    assert [str(p) for p in loaded.problems] == []
    assert loaded.build is not None
    assert len(loaded.build.shapes) == 2


def test_a_system_of_units_that_is_none() -> None:
    with pytest.raises(ValueError, match="metric or inch"):
        starter("x", "furlongs")


@pytest.mark.parametrize("number", range(len(BLOCKS)))
def test_each_block_of_the_page_reads_without_a_word(number: int) -> None:
    loaded = read(BLOCKS[number])
    assert [str(p) for p in (*loaded.problems, *loaded.suspicions)] == []


def test_the_page_shows_what_it_says_of_broken_lines() -> None:
    rows = re.findall(r"^\| `(- .*?)` \| `(.*?)` \|$", PAGE, re.MULTILINE)
    assert len(rows) >= 5
    for line, message in rows:
        loaded = read(f"trialfit: 1\nreadings:\n  {line}\n")
        said = [str(p) for p in (*loaded.problems, *loaded.suspicions)]
        assert said == [message]


def test_the_page_names_every_key_kind_and_instrument() -> None:
    tables = (
        keys.TOP,
        keys.INSTRUMENT,
        keys.LINK,
        keys.LINKS,
        keys.LEAF,
        keys.STOPS,
        keys.MOUNTS,
        *(rows for rows in vars(driveline_keys).values() if isinstance(rows, tuple) and rows
          and all(isinstance(row, keys.Key) for row in rows)),
        keys.ROUTE,
        keys.CORNER,
        keys.STOCK,
        keys.LAID_PART,
        keys.FIND,
        keys.EXIT,
        keys.PIPE,
        keys.BEND,
        keys.PART,
        keys.ZONE,
        keys.WORTH,
        keys.FITTED_PART,
        keys.JOINT_SAID,
        keys.CHAIN,
        (keys.PORT_KIND,),
        *keys.SHAPES.values(),
    )
    wanted = {key.name for table in tables for key in table} | set(KINDS) | set(DEFAULT_INSTRUMENTS)
    wanted |= {*keys.PART_KINDS, *keys.DIRECTIONS, *keys.USES}
    wanted |= {name for kind in driveline_keys.ORDERS.values() for name in driveline_keys.typed_fields(kind)}
    assert [name for name in sorted(wanted) if f"`{name}`" not in PAGE and f"{name}:" not in PAGE] == []
