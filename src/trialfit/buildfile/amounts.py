"""Lengths, angles and other amounts of the build file, as ``units`` reads them, told where they stand."""

import math
import re

from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.tree import Node, Text
from trialfit.findings import Place
from trialfit.units import Quantity, UnitsError, parse, parse_with_doubt, show
from trialfit.vehicle import Amount

LONGEST_MM = 100_000.0
"""No length on a vehicle or in its garage reaches 100 m."""

_EXAMPLE = {"length": "a length such as 67.1 mm or 3 1/2 in", "angle": "an angle such as 2.5 deg",
            "stiffness": "a stiffness such as 2000 N/mm", "mass": "a mass such as 5 kg or 11 lb",
            "mass-flow": "a mass flow such as 0.12 kg/s", "temperature": "a temperature such as 800 K or 530 degC",
            "number": "a plain number such as 2", "time": "a time such as 15 min"}
_PRICE_BY_LENGTH = re.compile(r"(.*?)(?:\s+(?:per|a)\s+|\s*/\s*)(metre|meter|m|foot|ft)\.?", re.IGNORECASE)
_MM = {"m": 1000.0, "metre": 1000.0, "meter": 1000.0, "ft": 304.8, "foot": 304.8}
MOST_MONEY = 1e6
MOST_HOURS = 1000.0
NUMBER_BEGINS = tuple("0123456789½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞")


def begins_number(text: str) -> bool:
    """Whether a piece of text is meant as a number: it begins with a digit, a ready-made fraction, a sign or a point
    before one.

    >>> [begins_number(t) for t in ("612", "-4", ".5", "½", "eye.L", "-eye")]
    [True, True, True, True, False, False]
    """
    return text.lstrip("+-−–").lstrip(".").startswith(NUMBER_BEGINS)


def quantity(ledger: Ledger, said: str, place: Place, dimension: str) -> Quantity | None:
    """One amount, its suspicions noted; or None and a problem."""
    try:
        read = parse(said, dimension, ledger.length_unit if dimension == "length" else None)
    except UnitsError as bad:
        ledger.wrong(place, bad.problem, bad.expected or _EXAMPLE.get(dimension, ""), bad.mend, said=said)
        return None
    return _checked(ledger, read, said, place)


def quantity_with_doubt(ledger: Ledger, said: str, place: Place, dimension: str) -> tuple[Quantity, float] | None:
    """One amount and its give or take as a standard deviation, 0 when none is typed."""
    try:
        read, sd = parse_with_doubt(said, dimension, ledger.length_unit if dimension == "length" else None)
    except UnitsError as bad:
        ledger.wrong(place, bad.problem, bad.expected or _EXAMPLE.get(dimension, ""), bad.mend, said=said)
        return None
    checked = _checked(ledger, read, said, place)
    return None if checked is None else (checked, sd or 0.0)


def _checked(ledger: Ledger, read: Quantity, said: str, place: Place) -> Quantity | None:
    for suspicion in read.suspicions:
        ledger.doubt(place, suspicion, said=said)
    if read.dimension == "length" and abs(read.value) > LONGEST_MM:
        ledger.wrong(place, "out of range", "a length up to 100 m", "check the number and its unit", said=said)
        return None
    return read


def length(ledger: Ledger, node: Node, *, zero: bool = False, what: str = "a length above 0") -> float | None:
    """A length above 0 (or from 0 up when ``zero``) [mm]."""
    return _positive(ledger, node, "length", zero, what)


def angle(ledger: Ledger, node: Node, most_deg: float, *, zero: bool = False) -> float | None:
    """An angle above 0 (or from 0 up when ``zero``) and up to ``most_deg`` [rad]."""
    value = _positive(ledger, node, "angle", zero, f"an angle {'from 0' if zero else 'above 0'} to {most_deg:g} deg")
    if value is not None and value > math.radians(most_deg) * (1 + 1e-12):
        ledger.wrong(node, "out of range", f"an angle up to {most_deg:g} deg", "check the number and its unit")
        return None
    return value


def stiffness(ledger: Ledger, node: Node) -> float | None:
    """A stiffness above 0 [N/mm]."""
    return _positive(ledger, node, "stiffness", False, "a stiffness above 0")


def ranged(ledger: Ledger, node: Node, dimension: str, low: float, high: float, what: str) -> float | None:
    """An amount of any dimension from ``low`` to ``high``, both in its internal unit; ``what`` says the range."""
    text = plain(ledger, node, _EXAMPLE[dimension])
    if text is None:
        return None
    read = quantity(ledger, text.value, text.place, dimension)
    if read is None:
        return None
    if not low <= read.value <= high:
        ledger.wrong(node, "out of range", what, "check the number" if dimension == "number" else
                     "check the number and its unit")
        return None
    return read.value


def money(ledger: Ledger, node: Node) -> float | None:
    """A price, 0 or more, a plain number: it is the builder's own money."""
    expected = f"a plain number from 0 to {MOST_MONEY:,.0f}, e.g. 80"
    text = plain(ledger, node, expected)
    return None if text is None else _money(ledger, text, text.value, expected)


def _money(ledger: Ledger, text: Text, said: str, expected: str) -> float | None:
    try:
        read = parse(said, "number")
    except UnitsError:
        ledger.wrong(text, "not a price", expected, "write the number alone, in your own money: a sign or a unit of "
                     "money is not read")
        return None
    for suspicion in read.suspicions:
        ledger.doubt(text, suspicion)
    if not 0.0 <= read.value <= MOST_MONEY:
        ledger.wrong(text, "out of range", expected, "type it without the minus sign" if read.value < 0.0 else "")
        return None
    return read.value


def price_per_m(ledger: Ledger, node: Node) -> float | None:
    """A price by length, by the metre or the foot [1/m]."""
    expected = "a price by length, e.g. 12 per m or 4 per ft"
    text = plain(ledger, node, expected)
    if text is None:
        return None
    read = _PRICE_BY_LENGTH.fullmatch(text.value.strip())
    if read is None:
        said = text.value.strip()
        mend = f"write {said} per m, if that is the price of a metre" if begins_number(said) else ""
        ledger.wrong(text, "it does not say what length it is the price of", expected, mend)
        return None
    value = _money(ledger, text, read[1], expected)
    return None if value is None else value * 1000.0 / _MM[read[2].casefold()]


def hours(ledger: Ledger, node: Node) -> float | None:
    """Working time: a plain number of hours, or an amount with its unit [h]."""
    expected = "hours from 0 to 1000, e.g. 0.25 or 15 min"
    text = plain(ledger, node, expected)
    if text is None:
        return None
    with_unit = any(c.isalpha() for c in text.value)
    read = quantity(ledger, text.value, text.place, "time" if with_unit else "number")
    if read is None:
        return None
    value = read.value / 3600.0 if with_unit else read.value
    if not 0.0 <= value <= MOST_HOURS:
        ledger.wrong(text, "out of range", expected, "check the number and its unit")
        return None
    return value


def _positive(ledger: Ledger, node: Node, dimension: str, zero: bool, what: str) -> float | None:
    text = plain(ledger, node, _EXAMPLE[dimension])
    if text is None:
        return None
    read = quantity(ledger, text.value, text.place, dimension)
    if read is None:
        return None
    if read.value < 0.0 or (read.value == 0.0 and not zero):
        mend = "type it without the minus sign" if read.value < 0.0 else ""
        ledger.wrong(node, "out of range", what, mend)
        return None
    return read.value


def amount(ledger: Ledger, node: Node, *, zero: bool = False) -> Amount | None:
    """A length with its give or take, or the name of a size reading."""
    text = plain(ledger, node, "a length such as 76 mm, or the name of a size reading")
    return None if text is None else amount_in(ledger, text, text.value, 0, zero=zero)


def amount_in(ledger: Ledger, text: Text, said: str, offset: int, *, zero: bool = False) -> Amount | None:
    """The same for a piece of a text that begins at ``offset`` of it."""
    place = text.at(offset)
    if not begins_number(said):
        name = " ".join(said.split())
        if name in ledger.sizes:
            return Amount(ledger.sizes[name], 0.0, name)
        if ledger.whole:
            mend = ledger.guess(name, ledger.sizes) or f"add a reading such as: size {name} 76.2 mm"
            if not any(c.isalpha() for c in name):
                mend = ""
            ledger.wrong(
                place,
                "no size reading has this name",
                "a length such as 76 mm, or the name of a size reading",
                mend,
                said=said,
            )
        return None
    both = quantity_with_doubt(ledger, said, place, "length")
    if both is None:
        return None
    read, sd = both
    if read.value < 0.0 or (read.value == 0.0 and not zero):
        ledger.wrong(place, "out of range", "a length above 0", said=said)
        return None
    return Amount(read.value, sd)


def in_mm(mm: float) -> str:
    """A length as messages say it."""
    return show(mm, "mm")
