"""One field of a port or a joint, read as its kind asks: an amount, a word, a count, a thread, a list."""

import math
import re

from trialfit.buildfile.amounts import LONGEST_MM, begins_number
from trialfit.buildfile.facts import Piece, listed, parts
from trialfit.buildfile.forms import choice
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.limits import MOST_LISTED
from trialfit.buildfile.tree import Items, Node, Text
from trialfit.parts import LISTS, Ask, Fact, SizeRead, Value
from trialfit.standards.thread_pairs import thread_form
from trialfit.units import UnitsError, is_of_tapes, parse_with_doubt, show
from trialfit.units.dimension import DIMENSIONS, expected_text
from trialfit.vehicle import Instrument

MOST_LETTERS = 80
UNBOUNDED = 1e9
"""An upper bound from here on is none."""
NOMINAL = "nominal"
"""After an amount that is printed or stamped: taken as exact."""

_BY = re.compile(r"\s+by\s+(\S+)(?=\s*(?:[+±]|$))")
_NOMINAL = re.compile(r"\s+(nominal)$", re.IGNORECASE)
_SHOWN = {"angle": "deg", "torque": "N*m", "temperature": "degC", "rotation": "rpm", "speed": "km/h", "percent": "%"}
"""Units in which a range is told where the internal one is no one's."""
_THREAD = "a thread such as M12x1.5, 1/2-20, G 1/4 or 1/8 NPT"
_DEFAULT_LOW = 0.0


def field_said(ledger: Ledger, ask: Ask, node: Node, gauges: dict[str, Instrument]) -> Value | None:
    """What stands in one field; None and a problem when it is not what the field asks for."""
    if ask.dimension == "text":
        return choice(ledger, node, ask.choices) if ask.choices else _words(ledger, ask, node)
    if ask.dimension == "thread":
        return _thread(ledger, node)
    if ask.dimension == "count":
        return _count(ledger, ask, node)
    if ask.dimension == "lengths":
        return _list(ledger, ask, node, gauges)
    if ask.dimension == "points":
        return _points(ledger, ask, node, gauges)
    text = plain(ledger, node, expected(ask))
    return None if text is None else amount_said(ledger, ask, text, (text.value, 0), gauges)


def amount_said(ledger: Ledger, ask: Ask, text: Text, piece: Piece, gauges: dict[str, Instrument]
                ) -> Fact | SizeRead | None:  # fmt: skip
    """An amount with its give or take, ``by`` an instrument, or ``nominal``; a length may be the name of a size."""
    if dimension_of(ask) == "length" and not begins_number(piece[0]):
        return _size(ledger, ask, text, piece)
    return _fact(ledger, ask, text, piece, gauges)


def _size(ledger: Ledger, ask: Ask, text: Text, piece: Piece) -> SizeRead | None:
    name, place = " ".join(piece[0].split()), text.at(piece[1])
    if name not in ledger.sizes:
        if ledger.whole:
            mend = ledger.guess(name, ledger.sizes)
            if not mend and any(c.isalpha() for c in name):
                mend = f"add a reading such as: size {name} {example(ask)}"
            ledger.wrong(place, "no size reading has this name",
                         f"{expected(ask)}, or the name of a size reading", mend, said=piece[0])
        return None
    if not _inside(ask, ledger.sizes[name]):
        ledger.wrong(place, "out of range", span_words(ask), "check the reading of this size", said=piece[0])
        return None
    return SizeRead(name)


def _fact(ledger: Ledger, ask: Ask, text: Text, piece: Piece, gauges: dict[str, Instrument]) -> Fact | None:
    said, offset = piece
    dimension, place = dimension_of(ask), text.at(offset)
    by, nominal = _BY.search(said), _NOMINAL.search(said)
    gauge: Instrument | None = None
    if by is not None:
        gauge = _gauge(ledger, text, (by[1], offset + by.start(1)), dimension, gauges)
        if gauge is None:
            return None
        said = said[: by.start()] + said[by.end():]
    elif nominal is not None:
        said = said[: nominal.start()]
    try:
        read, sd = parse_with_doubt(said, dimension, ledger.length_unit if dimension == "length" else None)
    except UnitsError as bad:
        ledger.wrong(place, bad.problem, bad.expected or expected(ask), bad.mend, said=said)
        return None
    for suspicion in read.suspicions:
        if gauge is None or gauge.measures != "size" or not is_of_tapes(suspicion):
            ledger.doubt(place, suspicion, said=said)
    if not math.isfinite(read.value) or not _inside(ask, read.value):
        ledger.wrong(place, "out of range", span_words(ask), _mend(ask), said=said)
        return None
    if nominal is not None and by is None:
        if sd is not None:
            ledger.wrong(text.at(offset + nominal.start(1)), "nominal after a give or take: it is one or the other",
                         f"{example(ask)} nominal, for what is printed or stamped; or the give or take", said=NOMINAL)
            return None
        return Fact(read.value, 0.0, NOMINAL)
    if gauge is not None:
        return Fact(read.value, gauge.sd(read.value) if sd is None else sd, gauge.name)
    return Fact(read.value, sd, "build file")


def _gauge(ledger: Ledger, text: Text, piece: Piece, dimension: str, gauges: dict[str, Instrument]
           ) -> Instrument | None:  # fmt: skip
    measures = {"angle": ("angle",), "length": ("length", "size")}.get(dimension, ())
    gauge = gauges.get(piece[0])
    if gauge is not None and gauge.measures in measures:
        return gauge
    known = [g.name for g in gauges.values() if g.measures in measures]
    ledger.wrong(text.at(piece[1]), "no instrument for this has this name",
                 f"one of {', '.join(known[:12])}" if known else "the amount without by",
                 ledger.guess(piece[0], known, 1), said=piece[0])
    return None


def _count(ledger: Ledger, ask: Ask, node: Node) -> Fact | None:
    text = plain(ledger, node, expected(ask))
    if text is None:
        return None
    said = text.value.strip()
    if not re.fullmatch(r"\+?[0-9]{1,9}", said, re.ASCII):
        ledger.wrong(text, "no whole number", expected(ask), "count again")
        return None
    if not _inside(ask, float(said)):
        ledger.wrong(text, "out of range", span_words(ask), "count again")
        return None
    return Fact(float(said), 0.0, "counted")


def _words(ledger: Ledger, ask: Ask, node: Node) -> str | None:
    text = plain(ledger, node, f"words: {ask.meaning}")
    if text is None:
        return None
    words = " ".join(text.value.split())
    if not words or len(words) > MOST_LETTERS:
        ledger.wrong(text, f"{len(words)} letters", f"1 to {MOST_LETTERS}", "say it shorter" if words else "")
        return None
    return words


def _thread(ledger: Ledger, node: Node) -> str | None:
    text = plain(ledger, node, _THREAD)
    if text is None:
        return None
    said = " ".join(text.value.split())
    if len(said) > MOST_LETTERS:
        ledger.wrong(text, "no thread is written so", _THREAD)
        return None
    try:
        thread_form(said, inside=False)
    except ValueError as bad:
        why, _, hint = str(bad).partition("; ")
        ledger.wrong(text, why, _THREAD, hint if hint.startswith(("known", "nearest")) else "")
        return None
    return said


def _list(ledger: Ledger, ask: Ask, node: Node, gauges: dict[str, Instrument]) -> tuple[Fact, ...] | None:
    pieces = listed(ledger, node, expected(ask), MOST_LISTED)
    if pieces is None:
        return None
    if not pieces:
        ledger.wrong(node, "an empty list", expected(ask), "fill it in or take the key out")
        return None
    made = [_fact(ledger, ask, text, piece, gauges) for text, piece in pieces]
    good = tuple(one for one in made if one is not None)
    return good if len(good) == len(made) else None


def _points(ledger: Ledger, ask: Ask, node: Node, gauges: dict[str, Instrument]
            ) -> tuple[tuple[Fact, Fact], ...] | None:  # fmt: skip
    if not isinstance(node, Items) or not node.items:
        ledger.wrong(node, "not a list of points", expected(ask), "write each point in brackets: across, up")
        return None
    if len(node.items) > MOST_LISTED:
        ledger.wrong(node, f"{len(node.items)} of them are too many", f"at most {MOST_LISTED}")
        return None
    made = [_point(ledger, ask, item, gauges) for item in node.items]
    good = tuple(one for one in made if one is not None)
    return good if len(good) == len(made) else None


def _point(ledger: Ledger, ask: Ask, node: Node, gauges: dict[str, Instrument]) -> tuple[Fact, Fact] | None:
    wanted = "two lengths, across and up, e.g. [40 mm, 12 mm]"
    pieces: list[tuple[Text, Piece]] = []
    for item in node.items if isinstance(node, Items) else (node,):
        text = plain(ledger, item, wanted)
        if text is None:
            return None
        pieces += [(text, piece) for piece in parts(text, r",(?=\s)")]
    if len(pieces) != 2:
        ledger.wrong(node, f"{len(pieces)} lengths in a point" if len(pieces) != 1 else "one length in a point",
                     wanted)
        return None
    across, up = (_fact(ledger, ask, text, piece, gauges) for text, piece in pieces)
    return None if across is None or up is None else (across, up)


def dimension_of(ask: Ask) -> str:
    """Dimension of ``units`` that one amount of the field has."""
    return LISTS.get(ask.dimension, ask.dimension)


def _low(ask: Ask) -> float:
    """Coordinates lie on either side of the datum: where nothing else is said, as far down as up."""
    return -ask.high if ask.dimension == "points" and ask.low == _DEFAULT_LOW else ask.low


def _high(ask: Ask) -> float:
    return min(ask.high, LONGEST_MM) if dimension_of(ask) == "length" else ask.high


def _inside(ask: Ask, value: float) -> bool:
    """Whether an amount lies in the range, the last bit of a conversion not counted."""
    low, high = max(_low(ask), -_high(ask)), _high(ask)
    slack = 1e-9 * max(abs(low), abs(high)) if high < UNBOUNDED else 0.0
    return low - slack <= value <= high + slack


def _mend(ask: Ask) -> str:
    return "check the number" if ask.dimension in ("number", "count", "ratio") else "check the number and its unit"


def _told(ask: Ask, value: float) -> str:
    if ask.dimension == "count":
        return f"{value:g}"
    dimension = dimension_of(ask)
    unit = _SHOWN.get(dimension, DIMENSIONS[dimension].internal)
    amount, _, name = show(value, unit, dimension=dimension).partition(" ")
    return f"{float(f'{float(amount):.4g}'):g} {name}".strip()


def span_words(ask: Ask) -> str:
    """The range of a field in words, "" when it has none.

    >>> span_words(Ask("bore", "length", "inside diameter", low=10.0, high=200.0))
    '10 mm to 200 mm'
    """
    if ask.dimension in ("text", "thread"):
        return ""
    low = max(_low(ask), -_high(ask))
    return f"{_told(ask, low)} to {_told(ask, _high(ask))}" if _high(ask) < UNBOUNDED else (
        f"{_told(ask, low)} or more" if low > -UNBOUNDED else "")


def example(ask: Ask) -> str:
    """What may stand in a field.

    >>> example(Ask("studs", "count", "how many", low=3, high=10)), example(Ask("bore", "length", "of it", high=200.0))
    ('5', '100 mm')
    """
    if ask.choices:
        return ask.choices[0]
    if ask.dimension == "text":
        return "as it is stamped"
    if ask.dimension == "thread":
        return "M12x1.5"
    if ask.dimension == "count":
        return f"{min(max(5.0, ask.low), ask.high):.0f}"
    one = _amount_example(ask)
    if ask.dimension == "points":
        return f"[[0 mm, 0 mm], [{one}, 0 mm]]"
    return f"[{one}, {one}]" if ask.dimension == "lengths" else one


def _amount_example(ask: Ask) -> str:
    low, high = max(ask.low, -_high(ask)), ask.high
    dimension = dimension_of(ask)
    usual = re.split(" or ", DIMENSIONS[dimension].example)[0]
    if high >= UNBOUNDED:
        return usual
    middle = math.sqrt(low * high) if low > 0.0 else 0.5 * (low + high)
    unit = _SHOWN.get(dimension, DIMENSIONS[dimension].internal)
    for digits in range(1, 7):
        text = show(float(f"{middle:.{digits}g}") if unit == DIMENSIONS[dimension].internal else middle, unit,
                    dimension=dimension)
        number, _, name = text.partition(" ")
        short = f"{float(number):.{digits}g}"
        rounded = f"{float(short):g}" + (f" {name}" if name else "")
        value = parse_with_doubt(rounded, dimension)[0].value
        if _inside(ask, value):
            return rounded
    return text


def expected(ask: Ask) -> str:
    """What a message says was expected of a field, with an example."""
    if ask.dimension == "count":
        return f"a count, e.g. {example(ask)}"
    if ask.dimension == "lengths":
        return f"lengths, e.g. {example(ask)}"
    if ask.dimension == "points":
        return f"points, each [across, up], e.g. {example(ask)}"
    if ask.dimension == "thread":
        return _THREAD
    if ask.dimension == "text":
        return f"one of {', '.join(ask.choices)}" if ask.choices else "words"
    return expected_text(ask.dimension)
