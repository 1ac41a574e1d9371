"""The editor's schema of parts and joints, and the page's tables of them: both are made from the kinds."""

import importlib.util
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from trialfit.buildfile import read, schema
from trialfit.buildfile.parts_said import ALL_KINDS
from trialfit.buildfile.parts_schema import ask_schema
from trialfit.parts import Ask

sys.path.insert(0, str(Path(__file__).parent))
import test_buildfile_schema as editor
from invented_kinds import KINDS

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
PAGE = ROOT / "docs" / "build-file.md"
HEAD = "trialfit: 1\nreadings:\n  - size hub register 66.9 mm\n"
PARTS = ("parts:\n  hub: {ports: {face: {kind: hub face}, seat: spring seat}}\n  wheel: {kind: wheel centre}\n"
         "  line: {ports: {a: {kind: tube end}, b: {kind: tube end}}}\n")


@pytest.fixture(scope="module")
def tables() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_part_tables", ROOT / "tools" / "make_part_tables.py")
    assert spec is not None
    assert spec.loader is not None
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    return made


@pytest.fixture
def underlined(monkeypatch: pytest.MonkeyPatch) -> Any:
    made = schema(KINDS)
    monkeypatch.setattr(editor, "SCHEMA", made)
    return lambda text: editor.faults(editor.as_editor(text), made)


def test_a_good_file_of_parts_has_nothing_underlined(underlined: Any) -> None:
    text = (HERE / "parts_everything.yaml").read_text(encoding="utf-8").replace("Spring Seat", "spring seat")
    assert underlined(text) == []


@pytest.mark.parametrize("slip", [
    "parts: {hub: {kind: hub fase}}",
    "parts: {hub: {kind: hub face, bore: 3 mm}}",
    "parts: {hub: {material: wood, kind: hub face}}",
    "parts: {hub: {material: steel}}",
    "parts: {hub: {ports: {face: {studs: 5}}}}",
    "parts: {hub: {ports: {face: turnip}}}",
    "parts: {hub: {kind: hub face, ports: {face: {kind: hub face}}}}",
    "parts: {axle: {kind: axle tube}}",
    "parts: {wheel: {kind: wheel centre, nut seat: cone}}",
    "parts: {hub: {kind: hub face, studs: 2}}",
    "parts: {hub: {kind: hub face, studs: 11}}",
    "parts: {seat: {kind: spring seat, holes: 40 mm}}",
    "parts: {seat: {kind: spring seat, holes: [[40 mm, 1 mm, 2 mm]]}}",
    f"{PARTS}mates: [{{wheel on hup: [wheel, hub.face]}}]",
    f"{PARTS}mates: [{{wheel on hub: [wheel]}}]",
    f"{PARTS}mates: [{{wheel on hub: [wheel, hub.face], fit: tight}}]",
    f"{PARTS}mates: [{{end to end: [line.a, line.b], between: {{hat: 7 mm}}}}]",
    f"{PARTS}mates: [{{wheel on hub: [wheel, hub.face], use: brakes}}]",
    f"{PARTS}mates: [{{wheel on hub: [wheel, hub.face], sides: top}}]",
    f"{PARTS}mates: {{wheel on hub: [wheel, hub.face]}}",
    f"{PARTS}chains: [{{from: line.a}}]",
    f"{PARTS}chains: [{{from: line.a, to: line.b, by: rope}}]",
])
def test_a_slip_in_parts_is_underlined_and_refused(slip: str, underlined: Any) -> None:
    assert underlined(HEAD + slip + "\n") != []
    assert read(HEAD + slip + "\n", kinds=KINDS).build is None


def test_the_schema_takes_yes_and_numbers_as_an_editor_does(underlined: Any) -> None:
    assert ask_schema(Ask("x", "text", "whether", choices=("yes", "no")))["enum"] == ["yes", True, "no", False]
    assert ask_schema(Ask("x", "text", "grade", choices=("5", "8.8")))["enum"] == ["5", 5, "8.8", 8.8]
    assert underlined(HEAD + "parts: {line: {kind: tube end, sealed: yes}}\n") == []


def test_every_field_is_described_with_its_range() -> None:
    face = next(p for p in schema(KINDS)["$defs"]["port"]["anyOf"] if "studs" in p.get("properties", {}))
    assert face["properties"]["bolt circle"]["description"] == (
        "diameter of the circle through the studs (a length, 60 mm to 350 mm)")
    assert face["properties"]["studs"]["description"] == "how many studs stand in it (a count, 3 to 10)"
    assert face["required"] == ["kind"]


def test_the_tables_of_the_page_are_those_of_the_kinds(tables: ModuleType) -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert tables.page_with(page, ALL_KINDS) == page, "run tools/make_part_tables.py"


def test_the_tables_name_every_kind_and_key(tables: ModuleType) -> None:
    for kinds in (KINDS, ALL_KINDS):
        text = tables.kinds_tables(kinds)
        for kind in (*kinds.ports, *kinds.mates):
            section = text.partition(f"#### `{kind.name}`\n")[2].partition("\n#### ")[0]
            assert kind.meaning[1:].rstrip(".") in section
            for ask in kind.asks:
                assert f"| `{ask.key}`" in section, f"{kind.name}: {ask.key}"


def test_a_page_without_its_marks_is_refused(tables: ModuleType) -> None:
    with pytest.raises(ValueError, match="the page has no"):
        tables.page_with("# A page\n", KINDS)
