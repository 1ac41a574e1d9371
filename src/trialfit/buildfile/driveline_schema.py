"""What the editor's schema says of the sections about the driveline."""

from collections.abc import Callable
from typing import Any

from trialfit.buildfile import driveline, driveline_keys, orders, power
from trialfit.buildfile.driveline_keys import ORDERS, order_example, typed_fields
from trialfit.buildfile.keys import Key
from trialfit.driveline import Along, Height, listed_series, shim_places
from trialfit.driveline.order_fields import Asked

Schema = dict[str, Any]
_Table = Callable[[tuple[Key, ...], dict[str, Schema], str], Schema]


def _amount(about: str) -> Schema:
    return {"type": ["string", "number"], "description": about}


def _several(about: str) -> Schema:
    return {"anyOf": [{"type": ["string", "number"]}, {"type": "array", "items": {"type": ["string", "number"]}}],
            "description": about}


def driveline_forms() -> dict[str, Schema]:
    """What each ``form`` of a key of these sections looks like."""
    plain: Schema = {"type": ["string", "number"]}
    return {
        "slip": {"enum": list(driveline.SLIPS)},
        "tube material": {"enum": list(driveline.MATERIALS)},
        "spring place": {"enum": list(driveline.SPRINGS)},
        "box": {"enum": list(power.BOXES)},
        "sleeve": {"enum": list(orders.SLEEVES)},
        "bearings": {"enum": ["new", "used"]},
        "shim place": {"enum": [p.name for p in shim_places()]},
        "contact": {"type": "string", "pattern": "^ *[A-Za-z]+ +[A-Za-z]+ *$",
                    "description": f"{', '.join(Along)}; then {', '.join(Height)}"},
        "phases": _several("an angle such as 0 deg for each piece"),
        "two angles": _amount("two angles parted by to"),
        "two masses": _several("two masses such as 1.2 kg, 0.9 kg"),
        "two torques": _amount("two torques parted by to"),
        "lengths": _several("lengths parted by commas"),
        "names": {"anyOf": [plain, {"type": "array", "items": plain}]},
        "rooms": {"type": "object", "minProperties": 1, "maxProperties": driveline.MOST_ROOMS,
                  "additionalProperties": plain},
        "curve": {"type": "object", "minProperties": 2, "maxProperties": power.MOST_POINTS,
                  "additionalProperties": {"type": "string"}},
        "peak": _amount("an amount and the engine speed where it is, parted by at"),
        "rotation": _amount("a speed of rotation, such as 3500 rpm"),
        "torque": _amount("a torque, such as 350 N*m"),
        "speed": _amount("a road speed, such as 170 km/h"),
        "area": _amount("an area, such as 2.1 m2"),
        "ratio": _amount("a ratio, such as 3.73 or 41:11"),
        "ratios": _several("ratios parted by commas"),
        "tyre code": _amount("such as 225/70R15, 31x10.50R15 or 6.70-15"),
        "rollout": {"type": "string", "description": "such as 10.04 m in 5 turns"},
        "shaft joint": {"anyOf": [{"enum": [*(s.name for s in listed_series()),
                                            *(int(s.name) for s in listed_series())]}, {"$ref": "#/$defs/joint"}]},
        **{form: {"$ref": f"#/$defs/{form}"} for form in (
            "shaft", "centre bearing", "bearings apart", "spline", "shaft tube", "shaft joints", "spring seat",
            "power section", "converter", "use", "turns test", "speedometer", "gear set", *ORDERS)},
    }


def driveline_defs(table: _Table, forms: dict[str, Schema]) -> dict[str, Schema]:
    """The tables of these sections; ``table`` makes one from its keys."""
    keys = driveline_keys
    return {
        "shaft": table(keys.SHAFT, forms, "the shaft between gearbox and axle"),
        "bearings apart": table(keys.APART, forms, "distance of two bearings, of the gearbox's output and the pinion"),
        "centre bearing": table(keys.CENTRE, forms, "the centre bearing of a shaft in two pieces"),
        "spline": table(keys.SPLINE, forms, "the slip as it stands at ride height"),
        "shaft tube": table(keys.TUBE, forms, "what the tube is"),
        "shaft joints": table(keys.JOINTS, forms, "the joints, front to rear"),
        "joint": table(keys.JOINT, forms, "one joint by its series or its sizes"),
        "spring seat": table(keys.SEAT, forms, "the spring seat on the axle"),
        "power section": table(keys.POWER, forms, "engine, gearbox, axle ratio, tyre, and what they are for"),
        "converter": table(keys.CONVERTER, forms, "the torque converter"),
        "use": table(keys.USE, forms, "what the gearing is for, the most wanted first"),
        "turns test": table(keys.TURNS, forms, "turns counted under the vehicle"),
        "speedometer": table(keys.SPEEDOMETER, forms, "what the speedometer was right for before"),
        "gear set": table(keys.GEAR_SET, forms, "ring and pinion"),
        **{section: _order(section, kind) for section, kind in ORDERS.items()},
    }


def _order(section: str, kind: str) -> Schema:
    return {"type": "object", "additionalProperties": False,
            "description": f"answers for the {section}: what the program does not work out itself",
            "properties": {name: _field(asked) for name, asked in typed_fields(kind).items()}}


def _field(asked: Asked) -> Schema:
    row = asked.row
    about = row["name"] if not row["measure"] else f"{row['name']}: {row['measure']}"
    shape: Schema = {"type": ["string", "number", "boolean"]}
    if asked.choices:
        shape = {"enum": [*asked.choices, *([True, False] if asked.choices == ("yes", "no") else [])]}
    return {**shape, "description": about, "examples": [order_example(asked)]}
