"""The exhaust: one route or several, from the outlet through corners to the end."""

import re

from trialfit.buildfile.amounts import amount, angle, begins_number, in_mm, length, quantity
from trialfit.buildfile.forms import form, point, unknown_key
from trialfit.buildfile.keys import CORNER, ROUTE, STOCK
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.tree import Items, Node, Table, Text, what
from trialfit.vehicle import Amount, Corner, PieCutWish, RoutePlan, StockBend

LONE_ROUTE = "main"
"""Name of a route that stands alone under exhaust, without one of its own."""

Spot = str | tuple[float, float, float]
_AXES = (("station", {"behind": 1.0, "ahead": -1.0}), ("offset", {"right": 1.0, "left": -1.0}),
         ("height", {"above": 1.0, "up": 1.0, "below": -1.0, "down": -1.0}))
_SPOT = "station, offset and height, e.g. [1210 mm, 265 mm right, 310 mm], or a hardpoint"
_TIMES = re.compile(r"([0-9]+(?:[.,][0-9]+)?|\.[0-9]+)\s*[x×*]?\s*[dD]")
_PIECES = re.compile(r"([0-9]{1,3})\s*(?:pieces?|pcs\.?)?", re.IGNORECASE)
MOST_PIECES = 40
MOST_TIMES = 50.0


def routes(ledger: Ledger, node: Node) -> tuple[RoutePlan, ...]:
    """Every route of the section."""
    if not isinstance(node, Table):
        ledger.wrong(
            node, f"{what(node)} in place of keys", "a route under its name, e.g. main: {diameter: 63.5 mm, ...}"
        )
        return ()
    names = [k.name for k in ROUTE]
    if any(key.value in names for key, _ in node.pairs):
        lone = _route(ledger, LONE_ROUTE, node, node)
        return (lone,) if lone is not None else ()
    found: list[RoutePlan] = []
    for key, value in node.pairs:
        if not re.fullmatch(r"[A-Za-z0-9_.-]+(?: [A-Za-z0-9_.-]+)*", key.value):
            ledger.wrong(key, "this cannot name a route", "a name of letters, digits and blanks, e.g. main")
            continue
        if isinstance(value, Text) and not value.nothing:
            unknown_key(ledger, key, names, "a route")
            continue
        made = _route(ledger, key.value, value, key)
        if made is not None:
            found.append(made)
    return tuple(found)


def _route(ledger: Ledger, name: str, node: Node, where: Node) -> RoutePlan | None:
    found = form(ledger, node, ROUTE, "a route")
    if found is None:
        return None
    diameter, wall = amount(ledger, found["diameter"]), amount(ledger, found["wall"])
    outlet = point(ledger, found["outlet"])
    aim: str | None = ""
    if "aim" in found:
        aim = point(ledger, found["aim"])
        if aim is not None and aim == outlet:
            ledger.wrong(
                found["aim"], "the aim is the outlet itself", "a second hardpoint on the outlet's axis, downstream"
            )
            aim = None
    end = spot(ledger, found["end"])
    corners = _corners(ledger, found.get("corners"), diameter)
    least = (
        length(ledger, found["least straight"], zero=True, what="a length from 0 up")
        if "least straight" in found
        else 0.0
    )
    stock = _stock(ledger, found.get("stock"))
    if diameter is not None and wall is not None and diameter.mm > 0.0 and 2.0 * wall.mm >= diameter.mm:
        ledger.wrong(found["wall"], f"a wall of {in_mm(wall.mm)} fills a pipe of {in_mm(diameter.mm)}",
                     f"less than half the diameter, {in_mm(diameter.mm / 2.0)}", "check both numbers and their units")
        return None
    if (diameter is None or wall is None or outlet is None or aim is None or end is None or corners is None
            or least is None or stock is None):
        return None
    return RoutePlan(name, diameter, wall, outlet, aim, corners, end, stock, least, where.place)


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


def _corners(ledger: Ledger, node: Node | None, diameter: Amount | None) -> tuple[Corner, ...] | None:
    if node is None:
        return ()
    if not isinstance(node, Items):
        ledger.wrong(
            node,
            f"{what(node)} in place of a list",
            "each corner in its line, e.g. - {at: bend2, radius: 95 mm}",
            "put a dash before each corner",
        )
        return None
    made = [_corner(ledger, item, diameter) for item in node.items]
    good = [corner for corner in made if corner is not None]
    return tuple(good) if len(good) == len(made) else None


def _corner(ledger: Ledger, node: Node, diameter: Amount | None) -> Corner | None:
    found = form(ledger, node, CORNER, "a corner")
    if found is None:
        return None
    at = spot(ledger, found["at"])
    radius = _radius(ledger, found["radius"], diameter)
    kerf: float | None = 0.0
    if "kerf" in found:
        kerf = length(ledger, found["kerf"], zero=True, what="a length from 0 up")
        if "pie cut" not in found:
            ledger.wrong(found["kerf"], "a kerf where nothing is sawn", "pie cut: 5 pieces, kerf: 1.5 mm",
                         "say of how many pieces the bend is made, or take the kerf out")
            return None
    wish = _pie_cut(ledger, found["pie cut"], kerf or 0.0) if "pie cut" in found else None
    if at is None or radius is None or kerf is None or ("pie cut" in found and wish is None):
        return None
    return Corner(at, radius, wish, node.place)


def _radius(ledger: Ledger, node: Node, diameter: Amount | None) -> Amount | None:
    expected = "a length such as 95 mm, or so many diameters such as 1.5 D"
    text = plain(ledger, node, expected)
    if text is None:
        return None
    said = text.value.strip()
    times = _TIMES.fullmatch(said)
    if times is None:
        read = amount(ledger, node)
        if read is None or diameter is None:
            return read
        return _wide_enough(ledger, node, read, diameter)
    if "," in times[1]:
        ledger.doubt(node, f"the comma is read as a decimal point: {times[1].replace(',', '.')} D")
    factor = float(times[1].replace(",", "."))
    if not 0.0 < factor <= MOST_TIMES:
        ledger.wrong(node, "out of range", f"0.5 D to {MOST_TIMES:g} D")
        return None
    if diameter is None:
        return None
    # where the diameter is a reading of its own, the route keeps to "so many diameters" and not to one number
    radius = Amount(factor * diameter.mm, factor * diameter.sd_mm, f"{factor:g} D" if diameter.size else "")
    return _wide_enough(ledger, node, radius, diameter)


def _wide_enough(ledger: Ledger, node: Node, radius: Amount, diameter: Amount) -> Amount | None:
    if radius.mm >= diameter.mm / 2.0 * (1.0 - 1e-12):
        return radius
    ledger.wrong(
        node,
        f"a bend of {in_mm(radius.mm)} is tighter than half the pipe's diameter",
        f"a radius of the centre line of {in_mm(diameter.mm / 2.0)} or more",
        "check both numbers and their units",
    )
    return None


def _pie_cut(ledger: Ledger, node: Node, kerf: float) -> PieCutWish | None:
    expected = "the number of pieces, its two half ones counted, e.g. 5 pieces"
    text = plain(ledger, node, expected)
    if text is None:
        return None
    read = _PIECES.fullmatch(text.value.strip())
    if read is None:
        ledger.wrong(text, "not a number of pieces", expected)
        return None
    if not 2 <= int(read[1]) <= MOST_PIECES:
        ledger.wrong(text, "out of range", f"2 to {MOST_PIECES} pieces")
        return None
    return PieCutWish(int(read[1]), kerf)


def _stock(ledger: Ledger, node: Node | None) -> tuple[StockBend, ...] | None:
    if node is None:
        return ()
    if not isinstance(node, Items):
        ledger.wrong(
            node,
            f"{what(node)} in place of a list",
            "each bend in its line, e.g. - {name: U-bend, radius: 95 mm, ...}",
            "put a dash before each bend",
        )
        return None
    made = [_stock_bend(ledger, item) for item in node.items]
    good = [bend for bend in made if bend is not None]
    return tuple(good) if len(good) == len(made) else None


def _stock_bend(ledger: Ledger, node: Node) -> StockBend | None:
    found = form(ledger, node, STOCK, "a bend on the shelf")
    if found is None:
        return None
    name = plain(ledger, found["name"], "a text, e.g. U-bend")
    radius, legs, diameter = (length(ledger, found["radius"]),
                              length(ledger, found["legs"], zero=True, what="a length from 0 up"),
                              length(ledger, found["diameter"]))
    turn = angle(ledger, found["angle"], 180.0)
    if name is None or radius is None or legs is None or diameter is None or turn is None:
        return None
    if radius < diameter / 2.0:
        ledger.wrong(
            found["radius"],
            f"a bend of {in_mm(radius)} is tighter than half the pipe's diameter",
            f"a radius of the centre line of {in_mm(diameter / 2.0)} or more",
            "check both numbers and their units",
        )
        return None
    return StockBend(name.value, radius, turn, legs, diameter, node.place)
