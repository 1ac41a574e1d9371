"""Lengths, angles and other amounts of the build file, as ``units`` reads them, told where they stand."""

import math

from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.tree import Node, Text
from trialfit.findings import Place
from trialfit.units import Quantity, UnitsError, parse, parse_with_doubt, show
from trialfit.vehicle import Amount

LONGEST_MM = 100_000.0
"""No length on a vehicle or in its garage reaches 100 m."""

_EXAMPLE = {"length": "a length such as 67.1 mm or 3 1/2 in", "angle": "an angle such as 2.5 deg",
            "stiffness": "a stiffness such as 2000 N/mm"}
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
