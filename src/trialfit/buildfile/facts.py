"""Amounts of every kind with their give or take, and pieces of a line such as ``400 N*m at 3500 rpm``."""

import re

from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.tree import Items, Node, Text
from trialfit.units import UnitsError, parse_with_doubt
from trialfit.vehicle import Fact

EXAMPLES = {
    "length": "a length such as 67.1 mm or 3 1/2 in", "angle": "an angle such as 2.5 deg",
    "torque": "a torque such as 400 N*m", "power": "a power such as 200 kW or 270 hp",
    "rotation": "a speed of rotation such as 3500 rpm", "speed": "a road speed such as 110 km/h",
    "volume": "a volume such as 3.0 l", "temperature": "a temperature such as 650 degC",
    "mass": "a mass such as 1540 kg", "area": "an area such as 2.1 m2", "ratio": "a ratio such as 3.73",
    "percent": "a share such as 6 %", "number": "a plain number such as 10",
}
RANGES: dict[str, tuple[float, float, str]] = {
    "torque": (1e3, 2e7, "1 N*m to 20000 N*m"), "power": (500.0, 3e6, "0.5 kW to 3000 kW"),
    "rotation": (10.0, 2100.0, "100 rpm to 20000 rpm"), "speed": (1e3, 1.4e5, "4 km/h to 500 km/h"),
    "mass": (1.0, 60000.0, "1 kg to 60000 kg"), "area": (0.3e6, 15e6, "0.3 m2 to 15 m2"),
    "angle": (-3.2, 3.2, "-180 deg to 180 deg"),
}
"""Least and most of each that a road vehicle can have: common practice, no source."""
Piece = tuple[str, int]


def fact_in(ledger: Ledger, text: Text, piece: Piece, dimension: str, span: tuple[float, float, str] | None = None
            ) -> Fact | None:  # fmt: skip
    """A piece of a text as an amount, with its give or take if one is typed; ``span`` is least, most and both in
    words."""
    said, offset = piece
    place = text.at(offset)
    unit = ledger.length_unit if dimension == "length" else None
    try:
        read, sd = parse_with_doubt(said, dimension, unit)
    except UnitsError as bad:
        ledger.wrong(place, bad.problem, bad.expected or EXAMPLES[dimension], bad.mend, said=said)
        return None
    for suspicion in read.suspicions:
        ledger.doubt(place, suspicion, said=said)
    low, high, words = span or RANGES[dimension]
    if not low * (1 - 1e-9) <= read.value <= high * (1 + 1e-9) and not low <= read.value <= high:
        ledger.wrong(place, "out of range", words, "check the number and its unit", said=said)
        return None
    return Fact(read.value, sd)


def fact(ledger: Ledger, node: Node, dimension: str, span: tuple[float, float, str] | None = None) -> Fact | None:
    """A whole text as an amount."""
    text = plain(ledger, node, EXAMPLES[dimension])
    return None if text is None else fact_in(ledger, text, (text.value, 0), dimension, span)


def parts(text: Text, pattern: str) -> list[Piece]:
    """The pieces of a text between what matches, each with where it begins."""
    found: list[Piece] = []
    at = 0
    for cut in re.finditer(pattern, text.value):
        found.append(_trimmed(text.value, at, cut.start()))
        at = cut.end()
    return [*found, _trimmed(text.value, at, len(text.value))]


def _trimmed(value: str, start: int, end: int) -> Piece:
    piece = value[start:end]
    return piece.strip(), start + len(piece) - len(piece.lstrip())


def listed(ledger: Ledger, node: Node, expected: str, most: int, apart: str = r",(?=\s)"
           ) -> list[tuple[Text, Piece]] | None:  # fmt: skip
    """Amounts in a list, or in one line parted by what ``apart`` matches: commas."""
    if isinstance(node, Items):
        found = []
        for item in node.items:
            text = plain(ledger, item, expected)
            if text is None:
                return None
            found.append((text, (text.value, 0)))
    else:
        whole = plain(ledger, node, expected)
        if whole is None:
            return None
        found = [(whole, piece) for piece in parts(whole, apart)]
    if len(found) > most:
        ledger.wrong(node, f"{len(found)} of them are too many", f"at most {most}")
        return None
    return found


def facts(ledger: Ledger, node: Node, dimension: str, expected: str, most: int,
          span: tuple[float, float, str] | None = None) -> tuple[Fact, ...] | None:
    """Amounts in a list, or in one line parted by commas; ratios, which have no unit, by blanks too."""
    pieces = listed(ledger, node, expected, most, r",?\s+" if dimension == "ratio" else r",(?=\s)")
    if pieces is None:
        return None
    made = [fact_in(ledger, text, piece, dimension, span) for text, piece in pieces]
    good = [one for one in made if one is not None]
    return tuple(good) if len(good) == len(made) else None


def two(ledger: Ledger, node: Node, dimension: str, expected: str, span: tuple[float, float, str] | None = None
        ) -> tuple[float, float] | None:  # fmt: skip
    """Two amounts parted by ``to``, the lower one first."""
    text = plain(ledger, node, expected)
    if text is None:
        return None
    pieces = parts(text, r"\s+to\s+")
    if len(pieces) != 2:
        ledger.wrong(text, "not two amounts", expected)
        return None
    low, high = (fact_in(ledger, text, piece, dimension, span) for piece in pieces)
    if low is None or high is None:
        return None
    if low.value > high.value:
        ledger.wrong(text, "the lower amount stands last", expected, "write the lower one first")
        return None
    return low.value, high.value
