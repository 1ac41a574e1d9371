"""What the editor's schema says of parts, joints and chains: made from the kinds of port and joint."""

from collections.abc import Callable
from typing import Any

from trialfit.buildfile.fields import UNBOUNDED, example, span_words
from trialfit.buildfile.keys import CHAIN, FITTED_PART, JOINT_SAID, PORT_KIND, RUNS, USES, Key
from trialfit.buildfile.limits import MOST_LAYERS, MOST_LISTED
from trialfit.buildfile.mates_said import SIDES
from trialfit.buildfile.names import a_
from trialfit.buildfile.parts_said import Kinds, materials
from trialfit.mates import MateKind
from trialfit.parts import LISTS, Ask, PortKind
from trialfit.units.dimension import DIMENSIONS

Schema = dict[str, Any]
_Table = Callable[[tuple[Key, ...], dict[str, Schema], str], Schema]
_AMOUNT: Schema = {"type": ["string", "number"]}


def parts_forms(kinds: Kinds) -> dict[str, Schema]:
    """What each ``form`` of a key of these sections looks like."""
    pair: Schema = {"anyOf": [{"type": "string"},
                              {"type": "array", "items": _AMOUNT, "minItems": 2, "maxItems": 2}]}
    return {
        "fitted parts": _named("fitted part"),
        "ports": _named("port"),
        "mates": {"type": "array", "items": {"$ref": "#/$defs/mate"}},
        "chains": {"type": "array", "items": {"$ref": "#/$defs/chain"}},
        "material": {"enum": list(materials())},
        "port kind": {"enum": [kind.name for kind in kinds.ports]},
        "port of a part": {"type": ["string", "number"]},
        "two ports": pair,
        "layers": {"type": "object", "minProperties": 1, "maxProperties": MOST_LAYERS, "additionalProperties": _AMOUNT},
        "joint use": {"enum": list(USES)},
        "joint sides": {"anyOf": [{"type": "string", "pattern": f"^ *(?:{'|'.join(SIDES)})"},
                                  {"type": "array", "items": {"enum": list(SIDES)}}]},
        "chain run": {"enum": list(RUNS)},
    }


def parts_defs(table: _Table, forms: dict[str, Schema], kinds: Kinds) -> dict[str, Schema]:
    """The tables of these sections; ``table`` makes one from its keys."""
    ports = [_port(kind, ()) for kind in kinds.ports]
    lone = [_port(kind, tuple(key for key in FITTED_PART if key.name != "ports" and kind.ask(key.name) is None), table,
                  forms) for kind in kinds.ports]  # fmt: skip
    bare: Schema = {"enum": [kind.name for kind in kinds.ports]}
    several = table(FITTED_PART, forms, "a part with several ports, each under its name")
    several["required"] = ["ports"]
    return {
        "port": {"description": "where a part meets another", "anyOf": [bare, *ports]},
        "fitted part": {"description": "a part that is to be joined", "anyOf": [several, *lone]},
        "mate": {"description": "a joint between two ports",
                 "anyOf": [_mate(kind, table, forms) for kind in kinds.mates] or [{"type": "object"}]},
        "chain": table(CHAIN, forms, "two ends between which a chain of standard fittings is wanted"),
    }


def _named(thing: str) -> Schema:
    one: Schema = {"$ref": f"#/$defs/{thing}"}
    return {"anyOf": [
        {"type": "object", "additionalProperties": one},
        {"type": "array", "items": {"type": "object", "minProperties": 1, "maxProperties": 1,
                                    "additionalProperties": one}}]}


def _port(kind: PortKind, own: tuple[Key, ...], table: _Table | None = None, forms: dict[str, Schema] | None = None
          ) -> Schema:  # fmt: skip
    beside = table(own, forms, "")["properties"] if table is not None and forms is not None else {}
    return _with(kind.meaning, {"kind": {"enum": [kind.name], "description": PORT_KIND.about}, **beside},
                 kind.asks, ["kind"])


def _mate(kind: MateKind, table: _Table, forms: dict[str, Schema]) -> Schema:
    own = tuple(key for key in JOINT_SAID if kind.layered or key.name != "between")
    head = {**forms["two ports"], "description": f"{kind.meaning}: {_either(kind.first)}, and {_either(kind.second)}"}
    return _with(kind.meaning, {kind.name: head, **table(own, forms, "")["properties"]}, kind.asks, [kind.name])


def _either(kinds: tuple[str, ...]) -> str:
    return " or ".join(a_(kind) for kind in kinds)


def _with(about: str, properties: Schema, asks: tuple[Ask, ...], must: list[str]) -> Schema:
    return {"type": "object", "description": about, "additionalProperties": False,
            "properties": {**properties, **{ask.key: ask_schema(ask) for ask in asks}},
            "required": [*must, *(ask.key for ask in asks if ask.must)]}


def ask_schema(ask: Ask) -> Schema:
    """One field of a port or a joint."""
    if ask.dimension == "points":
        point = {"anyOf": [{"type": "string"}, {"type": "array", "items": _AMOUNT, "minItems": 2, "maxItems": 2}]}
        shape: Schema = {"type": "array", "items": point, "minItems": 1, "maxItems": MOST_LISTED}
    elif ask.dimension == "lengths":
        shape = {"anyOf": [_AMOUNT, {"type": "array", "items": _AMOUNT, "minItems": 1, "maxItems": MOST_LISTED}]}
    elif ask.choices:
        shape = {"enum": [value for word in ask.choices for value in _as_typed(word)]}
    elif ask.dimension == "count":
        shape = {"type": ["string", "integer"], "minimum": int(ask.low)}
        if ask.high < UNBOUNDED:
            shape["maximum"] = int(ask.high)
    else:
        shape = {"type": ["string", "number", "boolean"] if ask.dimension == "text" else ["string", "number"]}
    return {**shape, "description": f"{ask.meaning} ({written(ask)})", "examples": [example(ask)]}


def _as_typed(word: str) -> list[Any]:
    """A word as an editor may take it: a number, or yes and no, have other values of their own."""
    if word in ("yes", "no"):
        return [word, word == "yes"]
    try:
        return [word, int(word)] if word.isascii() and word.isdigit() else [word, float(word)]
    except ValueError:
        return [word]


def written(ask: Ask) -> str:
    """How a field is written, in words: for the schema and for the page about the build file."""
    if ask.choices:
        return ", ".join(ask.choices)
    span = span_words(ask)
    if ask.dimension == "text":
        return "words"
    if ask.dimension == "thread":
        return "a thread"
    if ask.dimension == "count":
        return f"a count, {span}"
    noun = {"lengths": "lengths", "points": "points, each [across, up]"}.get(
        ask.dimension, "" if ask.dimension in LISTS else DIMENSIONS[ask.dimension].noun if ask.dimension in DIMENSIONS
        else ask.dimension)
    return f"{noun}, {span}" if span and ask.high < UNBOUNDED else noun
