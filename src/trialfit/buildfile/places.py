"""Places, boxes and directions, as routes and wishes for them name them."""

import math
import re

from trialfit.buildfile.amounts import begins_number, quantity
from trialfit.buildfile.forms import point, words_in
from trialfit.buildfile.keys import DIRECTIONS
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.tree import Items, Node, Text
from trialfit.vehicle import ZoneWish

Spot = str | tuple[float, float, float]
XYZ = tuple[float, float, float]
_AXES = (("station", {"behind": 1.0, "ahead": -1.0}), ("offset", {"right": 1.0, "left": -1.0}),
         ("height", {"above": 1.0, "up": 1.0, "below": -1.0, "down": -1.0}))
_SPOT = "station, offset and height, e.g. [1210 mm, 265 mm right, 310 mm], or a hardpoint"
_ZONE = "two opposite corners, e.g. [[3500 mm, 200 mm right, 250 mm], [3600 mm, 420 mm right, 420 mm]]"
_TURNED = re.compile(r"(.+?)\s+(rear|front|right|left|up|down)\s+of\s+(rear|front|right|left|up|down)", re.IGNORECASE)
_DIRECTION = f"{', '.join(DIRECTIONS)}, or e.g. 30 deg right of rear, or [1, 0.5, -0.2]"
_NUMBER = re.compile(r"[-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)")
_LARGEST = 1e6


def spot(ledger: Ledger, node: Node) -> Spot | None:
    """A place: three coordinates with their sides, or the name of a hardpoint [mm]."""
    if isinstance(node, Items):
        pieces: list[tuple[str, Text, int]] = []
        for item in node.items:
            text = plain(ledger, item, f"{_SPOT}")
            if text is None:
                return None
            pieces.append((text.value.strip(), text, 0))
    else:
        whole = plain(ledger, node, _SPOT)
        if whole is None:
            return None
        if not begins_number(whole.value):
            return point(ledger, node)
        pieces = []
        start = 0
        for part in re.split(r"(?<![0-9]),|,(?![0-9])", whole.value):
            pieces.append((part.strip(), whole, start + len(part) - len(part.lstrip())))
            start += len(part) + 1
    if len(pieces) != 3:
        mend = "a name stands without brackets" if len(pieces) == 1 and not begins_number(pieces[0][0]) else ""
        ledger.wrong(
            node, f"{len(pieces)} coordinate{'' if len(pieces) == 1 else 's'} where three should stand", _SPOT, mend
        )
        return None
    values: list[float] = []
    for (said, text, at), (axis, words) in zip(pieces, _AXES):
        value = _coordinate(ledger, said, text, at, axis, words)
        if value is None:
            return None
        values.append(value)
    return values[0], values[1], values[2]


def _coordinate(ledger: Ledger, said: str, text: Text, at: int, axis: str, words: dict[str, float]) -> float | None:
    last = re.search(r"(?<![a-z])(left|right|ahead|behind|above|below|up|down)$", said, re.IGNORECASE)
    sign = 1.0
    number = said
    if last:
        word = last[1].casefold()
        if word not in words:
            ledger.wrong(text.at(at), f"{axis} takes no {word}", f"{' or '.join(words)}, or no word", "the order is "
                         "station, offset, height", said=said)
            return None
        sign, number = words[word], said[: last.start()].strip()
    read = quantity(ledger, number, text.at(at), "length")
    if read is None:
        return None
    if last and read.value < 0.0:
        ledger.wrong(
            text.at(at), f"a minus sign and {last[1]} together", "one of the two", "take the minus sign out", said=said
        )
        return None
    if axis == "offset" and not last and read.value > 0.0 and not number.startswith("+"):
        ledger.doubt(text.at(at), "neither left nor right: it is read as right", "write left or right after the amount",
                     said=said)
    return sign * read.value if read.value else 0.0


def zone(ledger: Ledger, node: Node) -> ZoneWish | None:
    """A box between two opposite corners; it may be flat, but not a mere line or point, which nothing made by hand
    would meet."""
    if isinstance(node, Items):
        ends: list[Node] = list(node.items)
        if len(ends) == 3 and all(isinstance(end, Text) and begins_number(end.value) for end in ends):
            ledger.wrong(node, "one corner where two should stand", _ZONE,
                         "put each corner in brackets of its own, and both in brackets together")
            return None
    else:
        text = plain(ledger, node, _ZONE)
        if text is None:
            return None
        # a piece of the text is a text of its own that stands where it stands
        ends = [Text(word, text.at(at), text.start, text.end) for word, at in words_in(text)]
    if len(ends) != 2:
        ledger.wrong(node, f"{len(ends)} corner{'' if len(ends) == 1 else 's'} where two should stand", _ZONE)
        return None
    a, b = spot(ledger, ends[0]), spot(ledger, ends[1])
    if a is None or b is None:
        return None
    if isinstance(a, str) or isinstance(b, str):
        if a == b:
            ledger.wrong(node, f"both corners are {a}", _ZONE)
            return None
    elif sum(p == q for p, q in zip(a, b)) > 1:
        ledger.wrong(node, "a line or a point, not a box: its corners differ in one of station, offset and height at "
                     "most", _ZONE, "open it by what the hand needs, e.g. 10 mm")
        return None
    return ZoneWish(a, b, node.place)


def direction(ledger: Ledger, node: Node) -> XYZ | None:
    """A unit direction (x, y, z): a word, a word turned towards another, or three plain numbers."""
    if isinstance(node, Items):
        return _numbers(ledger, node)
    text = plain(ledger, node, _DIRECTION)
    if text is None:
        return None
    said = " ".join(text.value.split()).casefold()
    if said in DIRECTIONS:
        return DIRECTIONS[said]
    turned = _TURNED.fullmatch(text.value.strip())
    if turned is None:
        both = said.replace("-", " ").split()
        halfway = len(both) == 2 and all(word in DIRECTIONS for word in both)
        ledger.wrong(text, "no direction", _DIRECTION, f"write 45 deg {both[0]} of {both[1]} for halfway between them"
                     if halfway else ledger.guess(said, DIRECTIONS, 1))
        return None
    read = quantity(ledger, turned[1], text.place, "angle")
    if read is None:
        return None
    if not 0.0 <= read.value <= math.pi / 2.0 * (1.0 + 1e-12):
        ledger.wrong(text, "out of range", "an angle from 0 to 90 deg, e.g. 30 deg right of rear", "turn from the "
                     "nearer of the two words", said=turned[1])
        return None
    to, of = DIRECTIONS[turned[2].casefold()], DIRECTIONS[turned[3].casefold()]
    if any(p and q for p, q in zip(to, of)):
        ledger.wrong(text, f"{turned[2]} is no turn from {turned[3]}", "two directions square to each other, "
                     "e.g. 30 deg right of rear")
        return None
    c, s = math.cos(read.value), math.sin(read.value)
    return c * of[0] + s * to[0], c * of[1] + s * to[1], c * of[2] + s * to[2]


def _numbers(ledger: Ledger, node: Items) -> XYZ | None:
    expected = "three plain numbers: rearward, right, up, e.g. [1, 0.5, -0.2]"
    texts = [plain(ledger, item, expected) for item in node.items]
    given = [text for text in texts if text is not None]
    if len(given) < len(texts):
        return None
    if len(given) != 3:
        ledger.wrong(node, f"{len(given)} number{'' if len(given) == 1 else 's'} where three should stand", expected)
        return None
    bad = next((t for t in given if not _NUMBER.fullmatch(t.value.strip()) or len(t.value) > 20), None)
    if bad is not None:
        ledger.wrong(bad, "no plain number", expected, "a direction has no unit" if begins_number(bad.value) else "")
        return None
    x, y, z = (float(t.value) for t in given)
    size = math.hypot(x, y, z)
    if not 1e-6 <= size <= _LARGEST:
        ledger.wrong(node, "this points nowhere" if size < 1e-6 else "out of range", expected)
        return None
    return x / size, y / size, z / size
