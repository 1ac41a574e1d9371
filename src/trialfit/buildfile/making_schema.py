"""The part of the editor's schema that is about making an exhaust."""

from collections.abc import Callable
from typing import Any

from trialfit.buildfile import making_keys as keys
from trialfit.buildfile.keys import PIPE, Key
from trialfit.standards import table

Schema = dict[str, Any]
MakeTable = Callable[[tuple[Key, ...], dict[str, Schema], str], Schema]


def making_forms() -> dict[str, Schema]:
    """What each form of a key looks like, beside those of the rest of the file."""

    def amount(about: str) -> Schema:
        return {"type": ["string", "number"], "description": about}

    def listed(name: str) -> Schema:
        return {"type": "array", "items": {"$ref": f"#/$defs/{name}"}}

    def named(one: Schema) -> Schema:
        return {"anyOf": [{"type": "object", "additionalProperties": one},
                          {"type": "array", "items": {"type": "object", "minProperties": 1, "maxProperties": 1,
                                                      "additionalProperties": one}}]}

    kinds = [str(row["covering"]) for row in table("surfaces_hot").rows]
    stretch: Schema = {"type": "string", "description": "from and to, such as 0 mm to 900 mm"}
    return {
        "making": {"$ref": "#/$defs/making"},
        "exhaust tube material": {"enum": _words(str(row["material"]) for row in table("exhaust_tubes").rows)},
        "sticks": listed("stick to buy"),
        "shelf": named({"type": ["string", "integer"]}),
        "carried parts": named({"$ref": "#/$defs/carried part"}),
        "gas": {"$ref": "#/$defs/gas"},
        "covers": {"anyOf": [{"type": "object", "properties": dict.fromkeys(kinds, stretch),
                              "additionalProperties": False},
                             {"type": "array", "items": {"type": "object", "minProperties": 1, "maxProperties": 1,
                                                         "properties": dict.fromkeys(kinds, stretch),
                                                         "additionalProperties": False}}]},
        "tubes": listed("tube to compare"),
        "hangers": {"$ref": "#/$defs/hangers"},
        "hang points": listed("point to hang on"),
        "hang rails": listed("rail to hang on"),
        "hanger places": {"type": "array", "items": {"type": "string"}},
        "hanger rubber": {"$ref": "#/$defs/rubber"},
        "bracket": {"$ref": "#/$defs/bracket of a hanger"},
        "joints parted": named({"type": "string", "pattern": "^ *(?:" + "|".join(
            "".join(f"[{c.upper()}{c.lower()}]" if c.isalpha() else c for c in kind) for kind in keys.APART) + ")"}),
        "stands": {"$ref": "#/$defs/stands"},
        "oxygen sensor": {"$ref": "#/$defs/oxygen sensor"},
        "branches": named({"$ref": "#/$defs/branch of an exhaust"}),
        "cones": named({"$ref": "#/$defs/cone of an exhaust"}),
        "outlet or tail": {"enum": ["outlet", "tail"]},
        "share": amount("a share, such as 50 %"),
        "bolt or weld": {"enum": ["bolt", "weld"]},
        "left or right": {"enum": ["left", "right"]},
        "fuel": {"enum": _words(str(row["fuel"]) for row in table("fuels").rows)},
        "stiffness range": amount("such as 8 N/mm to 12 N/mm, or 10 N/mm +- 2 N/mm"),
        "rotation range": amount("such as 700 rpm to 900 rpm"),
        "temperature with doubt": amount("such as 680 degC +- 60 degC"),
        "power": amount("a power, such as 130 kW or 175 hp"),
        "pressure": amount("a pressure, such as 15 kPa or 2 psi"),
        "force": amount("a force, such as 150 N or 34 lbf"),
    }


def _words(words: Any) -> list[str | int]:
    """The words as they stand, and the numbers that an editor takes those of digits for."""
    found: list[str | int] = []
    for word in words:
        found += [word, int(word)] if word.isdigit() else [word]
    return found


def making_defs(make: MakeTable, forms: dict[str, Schema]) -> dict[str, Schema]:
    """The tables under ``making``."""
    return {
        "making": make(keys.MAKING, forms, "how a route is made, hung and taken apart"),
        "stick to buy": make(keys.STICK, forms, "a straight length of the tube"),
        "carried part": make(keys.CARRIED, forms, "what is known of a part of the route"),
        "gas": make(keys.GAS, forms, "the gas at full power"),
        "tube to compare": make(PIPE, forms, "a tube to compare the laid one with"),
        "hangers": make(keys.HANGERS, forms, "where it may hang and on what"),
        "point to hang on": make(keys.HANG_POINT, forms, "a hardpoint that a hanger may use"),
        "rail to hang on": make(keys.HANG_RAIL, forms, "a stretch on which a hanger may sit anywhere"),
        "bracket of a hanger": make(keys.BRACKET, forms, "the flat bar that holds the rubber"),
        "rubber": make(keys.RUBBER, forms, "what it hangs in"),
        "stands": make(keys.STANDS, forms, "how the vehicle stands while the exhaust is taken out"),
        "oxygen sensor": make(keys.SENSOR, forms, "where an oxygen sensor is wanted"),
        "branch of an exhaust": make(keys.BRANCH, forms, "a pipe let into the route"),
        "cone of an exhaust": make(keys.CONE, forms, "a cone to pipe of another size"),
    }
