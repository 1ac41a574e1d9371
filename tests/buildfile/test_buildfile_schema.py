"""The editor's schema: it takes what the reader takes, and underlines slips. Checked by a validator of our own, which
knows the words of JSON Schema (draft 2020-12) that the schema uses and refuses to guess at any other."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from trialfit.buildfile import keys, read, schema, starter

ROOT = Path(__file__).resolve().parents[2]
SCHEMA = schema()
GOOD = [*sorted((ROOT / "examples").glob("*/*.yaml")), Path(__file__).parent / "everything.yaml"]
_TYPES: dict[str, tuple[type, ...]] = {
    "object": (dict,),
    "array": (list,),
    "string": (str,),
    "number": (int, float),
    "integer": (int,),
    "boolean": (bool,),
    "null": (type(None),),
}
_SILENT = {"description", "examples", "title", "$schema", "$defs"}


def faults(value: Any, rule: dict[str, Any], at: str = "") -> list[str]:
    """What the schema finds wrong with a value, as an editor would underline it."""
    found: list[str] = []
    for word, said in rule.items():
        if word in _SILENT:
            continue
        if word == "$ref":
            found += faults(value, SCHEMA["$defs"][said.removeprefix("#/$defs/")], at)
        elif word == "type":
            names = [said] if isinstance(said, str) else said
            fits = any(isinstance(value, _TYPES[n]) and (n == "boolean" or not isinstance(value, bool)) for n in names)
            found += [] if fits else [f"{at}: no {said}"]
        elif word == "enum":
            found += [] if value in said else [f"{at}: not one of {said}"]
        elif word == "anyOf":
            found += [] if any(not faults(value, r, at) for r in said) else [f"{at}: none of the forms"]
        elif word == "pattern":
            found += [] if not isinstance(value, str) or re.search(said, value) else [f"{at}: {value!r} looks wrong"]
        elif word in ("minimum", "maximum"):
            low = word == "minimum"
            found += [] if not isinstance(value, int) or (value >= said if low else value <= said) else [f"{at}: range"]
        elif word in ("minItems", "maxItems", "minProperties", "maxProperties"):
            kind = list if word.endswith("Items") else dict
            if isinstance(value, kind):
                found += (
                    [] if (len(value) >= said if word.startswith("min") else len(value) <= said) else [f"{at}: count"]
                )
        elif word == "items":
            found += [
                f for n, v in enumerate(value if isinstance(value, list) else []) for f in faults(v, said, f"{at}/{n}")
            ]
        elif word == "required":
            found += [f"{at}: no {k}" for k in said if isinstance(value, dict) and k not in value]
        elif word == "properties":
            found += [f for k, r in said.items() if isinstance(value, dict) and k in value
                      for f in faults(value[k], r, f"{at}/{k}")]
        elif word == "propertyNames":
            found += [f for k in (value if isinstance(value, dict) else ()) for f in faults(k, said, f"{at}/{k}")]
        elif word == "additionalProperties":
            known = rule.get("properties", {})
            for k, v in value.items() if isinstance(value, dict) else ():
                if k not in known:
                    found += [f"{at}: unknown {k}"] if said is False else faults(v, said, f"{at}/{k}")
        else:
            raise AssertionError(f"the schema uses {word}, which this test does not know")
    return found


PIPE = "exhaust:\n  diameter: 3 in\n  wall: 2 mm\n  outlet: a\n"


def as_editor(text: str) -> Any:
    return YAML(typ="safe", pure=True).load(text)


@pytest.mark.parametrize("path", GOOD, ids=lambda p: f"{p.parent.name}-{p.stem}")
def test_a_good_file_has_nothing_underlined(path: Path) -> None:
    assert faults(as_editor(path.read_text(encoding="utf-8")), SCHEMA) == []


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_the_starter_has_nothing_underlined(units: str) -> None:
    assert faults(as_editor(starter("Old one", units)), SCHEMA) == []


@pytest.mark.parametrize(
    "slip",
    [
        "nmae: x",
        "trialfit: 9",
        "units: imperial",
        "fraction: 64",
        "readings:\n  - tpae a b 612 mm",
        "readings:\n  - tape a 612",
        "readings:\n  - height: 3 mm",
        "stops: {bump: 80 mm, droop: 90 mm}",
        "stops: {bumb: 80 mm, droop: 90 mm, apart: 1 m}",
        "shapes: {a: {tube: a b, diameter: 3 mm, kind: axel}}",
        "shapes: {a: {kind: axle}}",
        "sides: {a: port}",
        "suspension: {type: leaf springs, links: []}",
        "gaps: [a b = 3 mm]",
        "rules: {exhaust-to-feul: x}",
        "bodies: {wheel: [a]}",
        "exhaust: {main: {diameter: 3 in}}",
        f"{PIPE}  find: {{}}",
        f"{PIPE}  find: {{exit: {{between: [a, b]}}}}",
        f"{PIPE}  find: {{exit: {{between: [a, b], towards: rear}}, ground: 60 mm, pipe: []}}",
        f"{PIPE}  find: {{exit: {{between: [a, b, a], towards: rear}}}}",
        f"{PIPE}  find: {{exit: {{between: [a, b], towards: [1, 0]}}}}",
        f"{PIPE}  find: {{exit: {{between: [a, b], towards: rear}}, bends: []}}",
        f"{PIPE}  find: {{exit: {{between: [a, b], towards: rear}}, end to end: maybe}}",
        f"{PIPE}  find: {{exit: {{between: [a, b], towards: rear}}, parts: [{{x: {{kind: whistle, length: 3 mm}}}}]}}",
        f"{PIPE}  find: {{exit: {{between: [a, b], towards: rear}}, worth: {{hours: 3}}}}",
        f"{PIPE}  end: b\n  parts: [{{x: {{kind: joint, length: 3 mm, diameter: 3 mm}}}}]",
        "instruments: {tape: {undercar: 3 mm}}",
        "- tape a b 612 mm",
    ],
)
def test_a_slip_is_underlined(slip: str) -> None:
    assert faults(as_editor(slip), SCHEMA) != []
    assert read(f"trialfit: 1\nreadings:\n  - tape a b 3 mm\n{slip}\n").build is None


def test_every_key_says_what_it_is_with_an_example_that_fits() -> None:
    tables = [(SCHEMA, keys.TOP), (SCHEMA["$defs"]["stops"], keys.STOPS), (SCHEMA["$defs"]["route"], keys.ROUTE),
              (SCHEMA["$defs"]["chain"], keys.CHAIN),
              (SCHEMA["$defs"]["corner"], keys.CORNER), (SCHEMA["$defs"]["leaf"], keys.LEAF)]
    tables += [(SCHEMA["$defs"][name], rows) for name, rows in (
        ("laid part", keys.LAID_PART), ("find", keys.FIND), ("exit", keys.EXIT), ("pipe", keys.PIPE),
        ("bend", keys.BEND), ("part", keys.PART), ("keep-out box", keys.ZONE), ("worth", keys.WORTH))]
    tables += list(zip(SCHEMA["$defs"]["shape"]["anyOf"], keys.SHAPES.values()))
    for table, rows in tables:
        assert list(table["properties"]) == [row.name for row in rows]
        assert table["additionalProperties"] is False
        for row in rows:
            entry = table["properties"][row.name]
            assert len(entry["description"]) > 10 or row.name in ("thickness", "price")
            assert entry["examples"]
            assert (row.name in table.get("required", [])) == row.must


def test_it_is_plain_json_of_the_draft_named() -> None:
    assert json.loads(json.dumps(SCHEMA)) == SCHEMA
    assert SCHEMA["$schema"].endswith("json-schema.org/draft/2020-12/schema")
    assert schema() is not SCHEMA
