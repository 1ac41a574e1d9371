"""The exhaust: one route or several, from the outlet through corners to the end."""

import re

from trialfit.buildfile.amounts import amount, angle, length, money
from trialfit.buildfile.bends import pie_cut, radius, wide_enough
from trialfit.buildfile.forms import form, point, strayed, unknown_key
from trialfit.buildfile.keys import CORNER, FIND, ROUTE, STOCK
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.making import making
from trialfit.buildfile.places import spot
from trialfit.buildfile.route_parts import laid_parts
from trialfit.buildfile.route_wish import hollow, wish
from trialfit.buildfile.tree import Items, Node, Table, Text, what
from trialfit.vehicle import Amount, Corner, LaidPart, MakingSaid, RoutePlan, RouteWish, StockBend

LONE_ROUTE = "main"
"""Name of a route that stands alone under exhaust, without one of its own."""


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
    if strayed(ledger, node, ROUTE, FIND, "this belongs under find", "put it under find, not beside it"):
        return None
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
    laid = not ("find" in found and "corners" not in found and "end" not in found)
    if laid and "end" not in found:
        key = next(k for k in ROUTE if k.name == "end")
        ledger.wrong(node, "a route without end", f"end: {key.example}", f"add end, {key.about}; or take corners out "
                     "and have it found" if "find" in found else f"add end, {key.about}")
    if "find" in found and "end" in found and "corners" not in found:
        ledger.doubt(found["end"], "an end without corners: it is read as a pipe laid straight from outlet to end",
                     "take the end out to have the pipe found, or write corners: [] if it is straight")
    end = spot(ledger, found["end"]) if "end" in found else None if laid else ""
    corners = _corners(ledger, found.get("corners"), diameter)
    parts = _parts(ledger, found.get("parts"), laid, corners)
    least = (
        length(ledger, found["least straight"], zero=True, what="a length from 0 up")
        if "least straight" in found
        else 0.0
    )
    stock = _stock(ledger, found.get("stock"))
    source = plain(ledger, found["found"], "a text, e.g. found by trialfit") if "found" in found else None
    asked = _asked(ledger, node, found["find"], diameter, wall, stock) if "find" in found else None
    made = _making(ledger, found) if "making" in found else None
    if diameter is not None and wall is not None and not hollow(ledger, found["wall"], diameter, wall):
        return None
    if (diameter is None or wall is None or outlet is None or aim is None or end is None or corners is None
            or parts is None or least is None or stock is None or (asked is None and "find" in found)
            or (source is None and "found" in found) or (made is None and "making" in found)):
        return None
    return RoutePlan(name, diameter, wall, outlet, aim, corners, end, stock, least, parts, asked, laid,
                     source.value if source is not None else "", where.place, made)


def _asked(ledger: Ledger, node: Node, found: Node, diameter: Amount | None, wall: Amount | None,
           stock: tuple[StockBend, ...] | None) -> RouteWish | None:
    key = node.key("find") if isinstance(node, Table) else None
    return wish(ledger, key or found, found, diameter, wall, stock)


def _making(ledger: Ledger, found: dict[str, Node]) -> MakingSaid | None:
    wished = found.get("find")
    carried = _names(found.get("parts")) + _names(wished.get("parts") if isinstance(wished, Table) else None)
    shelf = found.get("stock")
    bends = [bend.get("name") for bend in shelf.items if isinstance(bend, Table)] if isinstance(shelf, Items) else []
    return making(ledger, found["making"], carried, [name.value for name in bends if isinstance(name, Text)])


def _names(node: Node | None) -> list[str]:
    """Names of parts as they stand, whether or not the parts could be read."""
    if isinstance(node, Table):
        return [key.value for key, _ in node.pairs]
    if isinstance(node, Items):
        return [key.value for item in node.items if isinstance(item, Table) for key, _ in item.pairs]
    return []


def _parts(ledger: Ledger, node: Node | None, laid: bool,
           corners: tuple[Corner, ...] | None) -> tuple[LaidPart, ...] | None:
    if node is None:
        return ()
    if not laid:
        ledger.wrong(node, "parts on a pipe that is not laid yet", "corners and end for parts to sit between, or parts "
                     "under find", "move parts under find to have them placed")
        return None
    return laid_parts(ledger, node, None if corners is None else len(corners) + 1)


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
    bend = radius(ledger, found["radius"], diameter)
    good, cut = pie_cut(ledger, found)
    if at is None or bend is None or not good:
        return None
    return Corner(at, bend, cut, node.place)


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
    bend, legs, diameter = (length(ledger, found["radius"]),
                            length(ledger, found["legs"], zero=True, what="a length from 0 up"),
                            length(ledger, found["diameter"]))
    price = money(ledger, found["price"]) if "price" in found else 0.0
    turn = angle(ledger, found["angle"], 180.0)
    if name is None or bend is None or legs is None or diameter is None or turn is None or price is None:
        return None
    if wide_enough(ledger, found["radius"], Amount(bend), diameter) is None:
        return None
    return StockBend(name.value, bend, turn, legs, diameter, price, node.place)
