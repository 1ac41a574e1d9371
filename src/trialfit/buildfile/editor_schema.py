"""The format as a schema (JSON Schema, draft 2020-12) that text editors use to offer keys and underline slips.

It knows the shape of the file and of each line; what only the reader can know (does a reading name this hardpoint?)
it leaves alone, so it never underlines what the reader takes.
"""

from typing import Any

from trialfit.buildfile import keys
from trialfit.buildfile.driveline_schema import driveline_defs, driveline_forms
from trialfit.buildfile.keys import Key
from trialfit.buildfile.making_schema import making_defs, making_forms
from trialfit.buildfile.parts_said import ALL_KINDS, Kinds
from trialfit.buildfile.parts_schema import parts_defs, parts_forms
from trialfit.standards import KINDS, all_rules
from trialfit.vehicle import BodyName, ReadingKind

Schema = dict[str, Any]

_NAME = r"[A-Za-z_][A-Za-z0-9_.\-]*"
_WORD = r"\S+"
_READING = (
    "^ *(?:"
    f"[Tt][Aa][Pp][Ee] +{_WORD} +{_WORD}"
    f"|(?:[Hh][Ee][Ii][Gg][Hh][Tt]|[Oo][Ff][Ff][Ss][Ee][Tt]|[Ss][Tt][Aa][Tt][Ii][Oo][Nn]) +{_WORD}"
    f"|[Aa][Nn][Gg][Ll][Ee] +{_WORD} +{_WORD}(?: +/ +{_WORD} +{_WORD})?"
    r"|[Ss][Ii][Zz][Ee] +\S.*"
    ") +[^ ].*$"
)


def _amount_form(about: str) -> Schema:
    return {"type": ["string", "number"], "description": about}


def _named(thing: str) -> Schema:
    """Things under their names: keys, or a list of one key each."""
    one: Schema = {"$ref": f"#/$defs/{thing}"}
    return {
        "anyOf": [
            {"type": "object", "additionalProperties": one},
            {
                "type": "array",
                "items": {"type": "object", "minProperties": 1, "maxProperties": 1, "additionalProperties": one},
            },
        ]
    }


def _forms() -> dict[str, Schema]:
    """What each ``form`` of a key looks like."""
    text: Schema = {"type": ["string", "number", "boolean"]}
    points: Schema = {"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}
    coordinate: Schema = {"type": ["string", "number"]}
    spot: Schema = {"anyOf": [{"type": "string"}, {"type": "array", "items": coordinate, "minItems": 3, "maxItems": 3}]}
    return {
        "version": {"type": "integer", "minimum": 1, "maximum": keys.VERSION},
        "text": text,
        "block": text,
        "system": {"enum": ["metric", "inch"]},
        "length unit": {"type": "string"},
        "fraction": {"enum": [16, 32]},
        "paper": {"enum": ["A4", "Letter"]},
        "measures": {"enum": ["length", "angle", "size"]},
        "length": _amount_form("a length, such as 67.1 mm or 3 1/2 in"),
        "angle": _amount_form("an angle, such as 2.5 deg"),
        "length or angle": _amount_form("a length or an angle with its unit"),
        "stiffness": _amount_form("a stiffness, such as 2000 N/mm"),
        "amount": _amount_form("a length such as 76 mm, or the name of a size reading"),
        "radius": _amount_form("a length such as 95 mm, or so many diameters such as 1.5 D"),
        "two lengths": {
            "anyOf": [{"type": "string"}, {"type": "array", "items": coordinate, "minItems": 2, "maxItems": 2}]
        },
        "scale": {"type": ["string", "number"]},
        "money": {"type": ["string", "number"], "description": "a plain number, in your own money"},
        "price by length": {"type": "string", "description": "such as 12 per m or 4 per ft"},
        "hours": {"type": ["string", "number"], "description": "hours such as 0.25, or an amount such as 15 min"},
        "number": {"type": ["string", "number"]},
        "whole number": {"type": ["string", "integer"]},
        "mass": _amount_form("a mass, such as 5 kg or 11 lb"),
        "mass flow": _amount_form("a mass flow, such as 0.12 kg/s"),
        "temperature": _amount_form("a temperature, such as 800 K or 530 degC"),
        "yes or no": {"enum": ["yes", "no", True, False]},
        "turns": {"anyOf": [coordinate, {"type": "array", "items": coordinate, "minItems": 1}]},
        "direction": {
            "anyOf": [{"type": "string"}, {"type": "array", "items": coordinate, "minItems": 3, "maxItems": 3}]
        },
        "zone": {"anyOf": [{"type": "string"}, {"type": "array", "items": spot, "minItems": 2, "maxItems": 2}]},
        "through": {"anyOf": [spot, {"type": "array", "items": spot}]},
        "part kind": {"enum": list(keys.PART_KINDS)},
        "laid parts": _named("laid part"),
        "parts": _named("part"),
        "keep out": _named("keep-out box"),
        "find": {"$ref": "#/$defs/find"},
        "exit": {"$ref": "#/$defs/exit"},
        "pipes": {"type": "array", "items": {"$ref": "#/$defs/pipe"}, "minItems": 1},
        "bends": {"type": "array", "items": {"$ref": "#/$defs/bend"}, "minItems": 1},
        "worth": {"$ref": "#/$defs/worth"},
        "pieces": {"type": ["string", "integer"]},
        "point": {"type": "string", "pattern": f"^ *{_NAME} *$"},
        "two points": points,
        "one or two points": points,
        "points": points,
        "spot": spot,
        "mesh file": {"type": "string", "pattern": r"\.[A-Za-z]{3}$"},
        "kind": {"enum": sorted(KINDS), "description": "; ".join(f"{k}: {v}" for k, v in KINDS.items())},
        "body": {"enum": [str(b) for b in BodyName]},
        "suspension type": {"enum": list(keys.SUSPENSION_TYPES)},
        "leaf": {"$ref": "#/$defs/leaf"},
        "link": {"$ref": "#/$defs/link"},
        "links": {"$ref": "#/$defs/links"},
        "corners": {"type": "array", "items": {"$ref": "#/$defs/corner"}},
        "stock": {"type": "array", "items": {"$ref": "#/$defs/stock"}},
        "ties": {
            "type": "object",
            "minProperties": 3,
            "propertyNames": {"pattern": f"^{_NAME}$"},
            "additionalProperties": {"type": "array", "items": {"type": "number"}, "minItems": 3, "maxItems": 3},
        },
        "instruments": {"type": "object", "additionalProperties": {"$ref": "#/$defs/instrument"}},
        "readings": {"type": ["array", "null"], "items": {"$ref": "#/$defs/reading"}},
        "sides": {
            "type": "object",
            "additionalProperties": {
                "anyOf": [{"$ref": "#/$defs/side"}, {"type": "array", "items": {"$ref": "#/$defs/side"}}]
            },
        },
        "bodies": {"type": "object", "properties": {str(b): points for b in BodyName}, "additionalProperties": False},
        "suspension": {"anyOf": [{"$ref": "#/$defs/links suspension"}, {"$ref": "#/$defs/leaf suspension"}]},
        "stops": {"$ref": "#/$defs/stops"},
        "mounts": {"$ref": "#/$defs/mounts"},
        "shapes": {"type": "object", "additionalProperties": {"$ref": "#/$defs/shape"}},
        "exhaust": {
            "anyOf": [{"$ref": "#/$defs/route"}, {"type": "object", "additionalProperties": {"$ref": "#/$defs/route"}}]
        },
        "gaps": {"type": "array", "items": {"$ref": "#/$defs/gap"}},
        "rules": {
            "type": "object",
            "additionalProperties": False,
            "properties": {
                r.name: {
                    "enum": [v.label for v in r.versions],
                    "description": f"{r.quantity}; in force if nothing is said: {r.in_force.label}",
                }
                for r in all_rules()
            },
        },
    }


def _table(rows: tuple[Key, ...], forms: dict[str, Schema], about: str) -> Schema:
    properties: Schema = {}
    for key in rows:
        shape = dict(forms[key.form])
        more = shape.pop("description", "")
        properties[key.name] = {**shape, "description": f"{key.about} ({more})" if more else key.about,
                                "examples": [key.example]}
    made: Schema = {"type": "object", "description": about, "properties": properties, "additionalProperties": False}
    needed = [key.name for key in rows if key.must]
    if needed:
        made["required"] = needed
    return made


def schema(kinds: Kinds = ALL_KINDS) -> Schema:
    """The schema of a build file, every key with what it says and an example; a new one at each call. ``kinds`` are
    those of ports and joints that a file may name.

    >>> schema()["properties"]["units"]["enum"]
    ['metric', 'inch']
    """
    forms = {**_forms(), **driveline_forms(), **parts_forms(kinds), **making_forms()}
    top = _table(keys.TOP, forms, "a build file of trialfit")
    link = _table(keys.LINK, forms, "a link: its hardpoint on the frame, then the one on the axle")
    link_form: Schema = {"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}, link]}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Build file of trialfit",
        **top,
        "$defs": {
            "reading": {
                "type": "string",
                "pattern": _READING,
                "description": "one reading: "
                + ", ".join(str(k) for k in ReadingKind)
                + "; its hardpoints; what was read, "
                "repeats after commas; +- how sure you are; by and the instrument",
                "examples": [
                    "tape eye.L pad.L 612 mm",
                    "offset eye.L 462 mm left",
                    "angle nose tail 3.5 deg up",
                    "size axle tube 76.2 mm",
                    "tape eye.R nose 1605 mm +- 4 mm by tape-blind",
                ],
            },
            "side": {
                "type": "string",
                "pattern": f"^ *(?i:{'|'.join(keys.SIDES)})".replace("(?i:", "(?:"),
                "description": "left, right, ahead, behind, above or below; of another hardpoint where it is named",
                "examples": ["left", "ahead of pad.L"],
            },
            "gap": {
                "type": "string",
                "pattern": "^[^/=]+/[^/=]+=.+$",
                "description": "two names or kinds parted by /, then = and a length or joined",
                "examples": ["exhaust.main / floor = 30 mm", "axle tube / spring left = joined"],
            },
            "instrument": _table(keys.INSTRUMENT, forms, "how far a tape or gauge errs"),
            "link": link_form,
            "links": _named("link"),
            "leaf": _table(keys.LEAF, forms, "one leaf spring"),
            "links suspension": _table(
                keys.LINKS,
                {**forms, "suspension type": {"enum": [t for t in keys.SUSPENSION_TYPES if t != "leaf springs"]}},
                "an axle on links",
            ),
            "leaf suspension": _table(
                keys.LEAVES, {**forms, "suspension type": {"enum": ["leaf springs"]}}, "an axle on leaf springs"
            ),
            "stops": _table(keys.STOPS, forms, "how far the axle goes from ride height"),
            "mounts": _table(keys.MOUNTS, forms, "how far the engine rocks"),
            **driveline_defs(_table, forms),
            **parts_defs(_table, forms, kinds),
            **making_defs(_table, forms),
            "shape": {
                "description": "a thing that takes up room",
                "anyOf": [_table(rows, forms, f"a {name}") for name, rows in keys.SHAPES.items()],
            },
            "route": _table(keys.ROUTE, forms, "one exhaust"),
            "corner": _table(keys.CORNER, forms, "where two straight centre lines would meet"),
            "stock": _table(keys.STOCK, forms, "a bend that lies on the shelf"),
            "laid part": _table(keys.LAID_PART, forms, "a part that sits on a laid pipe"),
            "find": _table(keys.FIND, forms, "what to look for, to have corners and end found"),
            "exit": _table(keys.EXIT, forms, "where the pipe may end, and which way it points there"),
            "pipe": _table(keys.PIPE, forms, "a pipe to consider"),
            "bend": _table(keys.BEND, forms, "a bend that may be used"),
            "part": _table(keys.PART, forms, "a part that must sit on the pipe"),
            "keep-out box": _table(keys.ZONE, forms, "a box that the pipe may not enter"),
            "worth": _table(keys.WORTH, forms, "what things are worth to you, in your own money"),
        },
    }
