"""What a shop asks for before it can quote: the fields of an order, what is missing, and what is not known well enough.

The lists are tables in ``standards`` (``order_fields_driveshaft``, ``order_fields_differential``); a field there says
its unit, its range, the doubt that still serves and whose figure that is, and how it is measured.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from trialfit.findings import SURE
from trialfit.standards import nearest, refuse_outside, table
from trialfit.units import internal, show

LISTS = ("driveshaft", "differential", "machine_shop", "exhaust_shop", "coater")
"""Shops whose questions are known."""
WORD_LIMIT = 160
"""Letters that a field in words may have at most."""
BUILDER, IF_KNOWN, DERIVED, SHOP = "builder", "if known", "derived", "shop"
"""Who answers a field: it must be given, may be given, is worked out, or is filled in by the shop."""


@dataclass(frozen=True, slots=True)
class Given:
    """One answer. ``value`` is a word, or a number in the house's internal unit; ``sd`` its standard deviation in the
    same unit, None when it is not known; ``source`` says who measured it, how, or from which sheet it is."""

    value: float | str
    sd: float | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class Field:
    """One line of an order. ``value``, ``sd`` and ``tolerance`` (half width of 95 % that still serves, None where no
    doubt is asked for) are in the internal unit; ``unit`` is the one it is shown in. ``sentence`` names both ends of a
    length. ``short`` is the name in a message. ``measure`` says how to get it, ``origin`` whose figure the tolerance
    is."""

    key: str
    group: str
    name: str
    short: str
    kind: str
    value: float | str | None
    unit: str
    sd: float | None
    source: str
    life_critical: bool
    sentence: str
    measure: str
    tolerance: float | None
    origin: str
    asked: str

    @property
    def is_number(self) -> bool:
        """Whether it has an amount, not words."""
        return isinstance(self.value, float)


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why a field, or several together, cannot be ordered from: ``reason`` and what to ``measure``. ``blocks`` when
    somebody's safety hangs on it."""

    key: str
    reason: str
    measure: str
    blocks: bool


@dataclass(frozen=True, slots=True)
class Check:
    """One thing that was looked at with all doubts counted: ``what`` in words, and whether it holds (None: cannot be
    told)."""

    key: str
    what: str
    holds: bool | None


@dataclass(frozen=True, slots=True)
class Order:
    """An order to one shop, ready to be drawn. ``sketch`` names the fields whose numbers the sketch shows; a field in
    it without a number is drawn as a question. ``layout`` says which sketch."""

    kind: str
    title: str
    fields: tuple[Field, ...]
    missing: tuple[Field, ...]
    doubtful: tuple[Doubt, ...]
    checks: tuple[Check, ...]
    may_order: bool
    sketch: tuple[str, ...]
    layout: str

    def field(self, key: str) -> Field:
        """The field called ``key``.

        Raises
        ------
        KeyError
            when the order has no such field
        """
        for one in self.fields:
            if one.key == key:
                return one
        raise KeyError(f"the {self.kind} order has no field '{key}'; {nearest(key, (f.key for f in self.fields))}")

    def number(self, key: str) -> float | None:
        """Its amount in the internal unit; None when the order has none."""
        found = next((f.value for f in self.fields if f.key == key), None)
        return found if isinstance(found, float) else None

    def word(self, key: str) -> str:
        """Its words; empty when the order has none."""
        found = next((f.value for f in self.fields if f.key == key), None)
        return found if isinstance(found, str) else ""

    @property
    def stop_reason(self) -> tuple[str, str]:
        """Why it may not be ordered from yet, and what would lift that; both empty when it may."""
        stops = [(f"{f.name} is missing.", f"Do: {f.measure}.") for f in self.missing if f.life_critical]
        stops = [(f"{d.reason}.", f"Do: {d.measure}.") for d in self.doubtful if d.blocks] + stops
        if not stops:
            return "", ""
        more = f" {len(stops) - 1} more below." if len(stops) > 1 else ""
        return stops[0][0], f"{stops[0][1]}{more}"


@dataclass(frozen=True, slots=True)
class Asked:
    """A field as its list has it."""

    key: str
    row: Mapping[str, str]

    def amount(self, column: str) -> float:
        """A bound of the range in the internal unit."""
        return internal(float(self.row[column]), self.row["unit"])

    @property
    def choices(self) -> tuple[str, ...]:
        """Words allowed; empty when any are."""
        return tuple(self.row["choices"].split(" / ")) if self.row["choices"] else ()


@cache
def asked_fields(kind: str) -> tuple[Asked, ...]:
    """The list of one shop: a name in :data:`LISTS`.

    Raises
    ------
    ValueError
        when there is no such list

    >>> len(asked_fields("driveshaft")) > 90
    True
    """
    if kind not in LISTS:
        raise ValueError(f"no list of fields is called '{kind}'; known: {', '.join(LISTS)}")
    return tuple(Asked(row["key"], row) for row in table(f"order_fields_{kind}").rows)


def accepted(kind: str, given: Mapping[str, Given]) -> dict[str, Given]:
    """The answers, when every one belongs to the list and lies in its range.

    Raises
    ------
    ValueError
        for a field the list has not, one that is worked out or the shop's, a word where an amount belongs or the other
        way round, an amount out of range, a negative doubt, or words of more than 160 letters
    """
    known = {a.key: a for a in asked_fields(kind)}
    taken = {}
    for key, answer in given.items():
        if key not in known:
            raise ValueError(f"the {kind} order has no field '{key}'; {nearest(key, known)}")
        taken[key] = _answer(known[key], answer)
    return taken


def _answer(asked: Asked, given: Given) -> Given:
    row, name = asked.row, asked.row["name"]
    if row["asked"] == SHOP or (row["asked"] == DERIVED and asked.key != "torque_drive"):
        who = "the shop fills it in" if row["asked"] == SHOP else "it is worked out from the others"
        raise ValueError(f"{name} ({asked.key}) cannot be given: {who}")
    if row["kind"] in ("word", "choice"):
        if not isinstance(given.value, str) or not given.value.strip():
            raise ValueError(f"{name} ({asked.key}) is {given.value!r}; write it in words")
        words = " ".join(given.value.split())
        if asked.choices and words not in asked.choices:
            raise ValueError(f"{name} ({asked.key}) is '{words}'; one of: {', '.join(asked.choices)}")
        if len(words) > WORD_LIMIT:
            raise ValueError(f"{name} ({asked.key}) has {len(words)} letters; at most {WORD_LIMIT}")
        return Given(words, None, given.source)
    if isinstance(given.value, str):
        raise ValueError(f"{name} ({asked.key}) is '{given.value}'; it must be an amount")
    value = float(given.value)
    refuse_outside(f"{name} ({asked.key})", value, asked.amount("low"), asked.amount("high"), row["unit"])
    if row["kind"] == "count" and value != round(value):
        raise ValueError(f"{name} ({asked.key}) is {value:g}; it must be a whole number")
    if given.sd is not None and not (given.sd >= 0.0 and math.isfinite(given.sd)):
        raise ValueError(f"{name} ({asked.key}) has a doubt of {given.sd:g}; it must be 0 or more")
    return Given(value, given.sd, given.source)


def applies(asked: Asked, given: Mapping[str, Given]) -> bool:
    """Whether the field is asked for here: its list may tie it to another answer (``front_end_type=slip yoke``)."""
    for part in filter(None, asked.row["when"].split("&")):
        key, _, words = part.partition("=")
        if key not in given or given[key].value not in words.split("|"):
            return False
    return True


def served(asked: Asked, given: Mapping[str, Given]) -> bool:
    """Whether other answers serve in its place (a joint's series, or its four sizes)."""
    others = [key for key in asked.row["instead"].split("&") if key]
    return bool(others) and all(key in given for key in others)


def made(asked: Asked, answer: Given | None, ends: Mapping[str, str]) -> Field:
    """The field with its answer; ``ends`` fills the names of ends into its sentence."""
    row = asked.row
    value = None if answer is None else answer.value
    sentence = row["ends"]
    for word, text in ends.items():
        sentence = sentence.replace("{" + word + "}", text)
    tolerance = None
    if row["tolerance"]:
        amount, _, percent = row["tolerance"].partition(" ")
        if percent:
            tolerance = float(amount) / 100.0 * abs(value) if isinstance(value, float) else None
        else:
            tolerance = internal(float(amount), row["unit"])
    unit = "" if row["unit"] == "-" else row["unit"]
    return Field(asked.key, row["group"], row["name"], row["short"], row["kind"], value, unit,
                 None if answer is None else answer.sd, "" if answer is None else answer.source,
                 row["life"] == "yes", sentence, row["measure"], tolerance, row["origin"], row["asked"])


def too_doubtful(field: Field) -> Doubt | None:
    """Why the field is not known well enough, if it is not: its 95 % against what the shop needs."""
    if not isinstance(field.value, float) or field.tolerance is None:
        return None
    need = amount_words(field.tolerance, field.unit)
    if field.sd is None:
        return Doubt(field.key, f"{field.name}: nobody said how well it is known, and the shop needs it to {need}",
                     _again(field), field.life_critical)
    if SURE * field.sd > field.tolerance * (1.0 + 1e-9):
        known = half_words(SURE * field.sd, field.unit)
        return Doubt(field.key, f"{field.name} is known to {known}, and the shop needs {need}", _again(field),
                     field.life_critical)
    return None


def _again(field: Field) -> str:
    return field.measure or f"measure {field.name} once more"


def half_words(half: float, unit: str) -> str:
    """Half width of a 95 % interval in its unit, rounded up.

    >>> half_words(5.04, "mm"), half_words(0.03, "mm"), half_words(0.013, "")
    ('6 mm', '0.1 mm', '0.02')
    """
    number, _, name = show(half, unit).partition(" ")
    plain = float(number)
    finest = 1 if unit in ("mm", "deg") else 3
    digits = next((d for d in range(finest) if plain > 0.95 / 10**d), finest)
    up = math.ceil(plain * 10**digits - 1e-6) / 10**digits
    return f"{up:.{digits}f} {name}".strip()


def amount_words(value: float, unit: str) -> str:
    """An amount in its unit, to about three figures.

    >>> amount_words(5.04, "mm"), amount_words(1940000.0, "N*m"), amount_words(0.2, "")
    ('5 mm', '1940 N*m', '0.2')
    """
    number, _, name = show(value, unit).partition(" ")
    plain = float(number)
    digits = 0 if abs(plain) >= 20.0 else 1 if abs(plain) >= 0.95 else 2
    text = f"{plain:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{text} {name}".strip()
