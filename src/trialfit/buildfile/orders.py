"""What the builder answers for the orders, and what is known of ring and pinion."""

import re

from trialfit.buildfile.amounts import begins_number, length
from trialfit.buildfile.driveline_keys import GEAR_SET, ORDERS, dimension_of, order_example, typed_fields
from trialfit.buildfile.facts import EXAMPLES, fact_in, facts, two
from trialfit.buildfile.forms import choice, form, unknown_key
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.tree import Node, Table, Text, what
from trialfit.driveline import Along, Height, shim_places
from trialfit.driveline.order_fields import SHOP, WORD_LIMIT, Asked, asked_fields
from trialfit.vehicle import Fact, GearSetSaid, Instrument, OrderAnswer, OrderSaid

SLEEVES = ("crush sleeve", "solid spacer")
MOST_READINGS = 16
_BY = re.compile(r"\s+by\s+(\S+)$")
_LASH = (0.0, 2.0, "0 mm to 2 mm")
_PRELOAD = (100.0, 15000.0, "0.1 N*m to 15 N*m")


def order(ledger: Ledger, name: str, node: Node, gauges: dict[str, Instrument]) -> OrderSaid | None:
    """The answers of one section, such as ``driveshaft order``."""
    kind = ORDERS[name]
    fields = typed_fields(kind)
    if not isinstance(node, Table):
        ledger.wrong(node, f"{what(node)} in place of keys", f"answers to the shop's questions, e.g. "
                     f"contact: {order_example(fields['contact'])}")
        return None
    answers: list[OrderAnswer] = []
    good = True
    for key, value in node.pairs:
        if key.value not in fields:
            _unknown(ledger, name, key, fields)
            good = False
            continue
        asked = fields[key.value]
        if isinstance(value, Text) and value.nothing:
            ledger.wrong(key, "nothing stands after this key", f"{key.value}: {order_example(asked)}",
                         "fill it in or take the key out")
            good = False
            continue
        made = _answer(ledger, asked, key, value, gauges)
        good = good and made is not None
        if made is not None:
            answers.append(made)
    return OrderSaid(kind, tuple(answers), node.place) if good else None


def _unknown(ledger: Ledger, name: str, key: Text, fields: dict[str, Asked]) -> None:
    """A key that is no question to the builder: worked out, the shop's, or none at all."""
    others = {a.key.replace("_", " "): a for a in asked_fields(ORDERS[name])}
    if key.value in others:
        shops = others[key.value].row["asked"] == SHOP
        ledger.wrong(key, "the shop fills this in" if shops else "this is worked out from the others",
                     mend="take it out")
    elif ledger.guess(key.value, fields) or any(key.value.startswith(f"{f}:") for f in fields):
        unknown_key(ledger, key, list(fields), f"the {name}")
    else:
        ledger.wrong(key, f"no key of the {name} has this name", f"a key such as {', '.join(list(fields)[1:4])}",
                     "docs/build-file.md and 'trialfit schema' list them all")


def _answer(ledger: Ledger, asked: Asked, key: Text, node: Node, gauges: dict[str, Instrument]) -> OrderAnswer | None:
    kind = asked.row["kind"]
    if kind == "choice":
        word = choice(ledger, node, asked.choices)
        return None if word is None else OrderAnswer(asked.key, word, where=key.place)
    text = plain(ledger, node, f"{'words' if kind == 'word' else 'an amount'}, e.g. {order_example(asked)}")
    if text is None:
        return None
    if kind == "word":
        words = " ".join(text.value.split())
        if len(words) > WORD_LIMIT:
            ledger.wrong(text, f"{len(words)} letters", f"at most {WORD_LIMIT}", "say it shorter")
            return None
        return OrderAnswer(asked.key, words, where=key.place)
    span = asked.amount("low"), asked.amount("high"), f"{asked.row['low']} to {asked.row['high']}" + (
        "" if asked.row["unit"] == "-" else f" {asked.row['unit']}")
    if kind == "count":
        return _count(ledger, asked, text, span)
    return _amount(ledger, asked, text, span, gauges)


def _count(ledger: Ledger, asked: Asked, text: Text, span: tuple[float, float, str]) -> OrderAnswer | None:
    read = fact_in(ledger, text, (text.value, 0), "number", span)
    if read is None:
        return None
    if read.value != round(read.value):
        ledger.wrong(text, "no whole number", f"a count, e.g. {order_example(asked)}", "count again")
        return None
    return OrderAnswer(asked.key, read.value, None, "counted", text.place)


def _amount(ledger: Ledger, asked: Asked, text: Text, span: tuple[float, float, str],
            gauges: dict[str, Instrument]) -> OrderAnswer | None:
    dimension = dimension_of(asked)
    said = text.value
    if dimension == "length" and not begins_number(said):
        return _size(ledger, asked, text, span)
    by = _BY.search(said)
    gauge: Instrument | None = None
    if by is not None:
        gauge = gauges.get(by[1])
        measures = ("angle",) if dimension == "angle" else ("length", "size") if dimension == "length" else ()
        if gauge is None or gauge.measures not in measures:
            known = [g.name for g in gauges.values() if g.measures in measures]
            ledger.wrong(text.at(by.start(1)), "no instrument for this has this name",
                         f"one of {', '.join(known)}" if known else "the amount without by",
                         ledger.guess(by[1], known, 1), said=by[1])
            return None
        said = said[: by.start()]
    read = fact_in(ledger, text, (said, 0), dimension, span)
    if read is None:
        return None
    sd, source = read.sd, "build file"
    if gauge is not None:
        source = gauge.name
        sd = gauge.sd(read.value) if sd is None else sd
    return OrderAnswer(asked.key, read.value, sd, source, text.place)


def _size(ledger: Ledger, asked: Asked, text: Text, span: tuple[float, float, str]) -> OrderAnswer | None:
    """The name of a size reading: its figure and doubt are those of the survey."""
    name = " ".join(text.value.split())
    if name not in ledger.sizes:
        if ledger.whole:
            ledger.wrong(text, "no size reading has this name", f"{EXAMPLES['length']}, or the name of a size reading",
                         ledger.guess(name, ledger.sizes))
        return None
    if not span[0] <= ledger.sizes[name] <= span[1]:
        ledger.wrong(text, "out of range", span[2], "check the reading of this size")
        return None
    return OrderAnswer(asked.key, ledger.sizes[name], None, f"size {name}", text.place)


def gear_set(ledger: Ledger, node: Node) -> GearSetSaid | None:
    """Ring and pinion."""
    found = form(ledger, node, GEAR_SET, "ring and pinion")
    if found is None:
        return None
    bearings, sleeve = choice(ledger, found["bearings"], ("new", "used")), choice(ledger, found["sleeve"], SLEEVES)
    own: list[tuple[str, float, float]] = []
    good = True
    if "backlash" in found:
        both = two(ledger, found["backlash"], "length", "two lengths parted by to, e.g. 0.15 mm to 0.25 mm",
                   (0.02, 1.0, "0.02 mm to 1 mm"))
        good = both is not None
        own += [] if both is None else [("backlash", *both)]
    if "backlash variation" in found:
        most = length(ledger, found["backlash variation"])
        if most is not None and not 0.005 <= most <= 0.5:
            ledger.wrong(found["backlash variation"], "out of range", "0.005 mm to 0.5 mm")
            most = None
        good = good and most is not None
        own += [] if most is None else [("backlash-variation", 0.0, most)]
    if "preload" in found:
        span = two(ledger, found["preload"], "torque", "two torques parted by to, e.g. 1.8 N*m to 2.6 N*m", _PRELOAD)
        good = good and span is not None
        own += [] if span is None or bearings is None else [(f"preload-{bearings}", *span)]
    words = {key: plain(ledger, found[key], "a text") for key in ("figures from", "oil") if key in found}
    shim = choice(ledger, found["shim"], [p.name for p in shim_places()]) if "shim" in found else ""
    read: tuple[Fact, ...] | None = ()
    if "backlash read" in found:
        read = facts(ledger, found["backlash read"], "length", "lengths, e.g. 0.18 mm, 0.20 mm, 0.17 mm",
                     MOST_READINGS, _LASH)
        if read is not None and len(read) < 3:
            ledger.wrong(found["backlash read"], f"{len(read)} of them", "three or more, round the ring gear",
                         "read it at three or four places")
            read = None
    drive = _contact(ledger, found["drive"]) if "drive" in found else ()
    coast = _contact(ledger, found["coast"]) if "coast" in found else ()
    if (bearings is None or sleeve is None or not good or None in words.values() or shim is None or read is None
            or drive is None or coast is None):
        return None
    if own and "figures from" not in found:
        ledger.wrong(node, "figures of the axle without figures from", "figures from: axle's own manual",
                     "say which sheet they stand in")
        return None
    if bool(drive) != bool(coast):
        there, lacking = ("drive", "coast") if drive else ("coast", "drive")
        ledger.wrong(found[there], f"{there} without {lacking}", "the marks on both sides of the teeth",
                     f"look at the other side, and add {lacking}")
        return None
    sheet, oil = words.get("figures from"), words.get("oil")
    return GearSetSaid(bearings, sleeve, tuple(own), sheet.value if sheet else "", oil.value if oil else "", shim, read,
                       drive, coast, node.place)  # fmt: skip


def _contact(ledger: Ledger, node: Node) -> tuple[str, str] | None:
    along, height = [str(a) for a in Along], [str(h) for h in Height]
    expected = f"{', '.join(along[:-1])} or {along[-1]}, then {', '.join(height[:-1])} or {height[-1]}"
    text = plain(ledger, node, expected)
    if text is None:
        return None
    words = text.value.casefold().split()
    if len(words) != 2 or words[0] not in along or words[1] not in height:
        ledger.wrong(text, "no place on a tooth", expected, "write e.g. toe root")
        return None
    return words[0], words[1]
