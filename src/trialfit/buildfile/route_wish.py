"""What the builder asks the router for: the section ``find`` of a route."""

import math

from trialfit.buildfile.amounts import amount, angle, hours, in_mm, length, money, price_per_m, ranged
from trialfit.buildfile.bends import pie_cut, times, wide_enough
from trialfit.buildfile.forms import choice, form, named, rows, strayed
from trialfit.buildfile.keys import BEND, EXIT, FIND, PIPE, ROUTE, WORTH, ZONE
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.places import Spot, direction, spot, zone
from trialfit.buildfile.route_parts import parts_wanted
from trialfit.buildfile.tree import Items, Node, Text, typed
from trialfit.units import internal
from trialfit.vehicle import (
    Amount,
    BendWish,
    ExitWish,
    KeepOut,
    PartWish,
    PipeWish,
    RouteWish,
    StockBend,
    Worth,
)

MOST_PIPES = 12
MOST_BENDS = 24
MOST_THROUGH = 20
MOST_KEEP_OUT = 50
WITHIN_DEG = 10.0
"""How far the exit may point away where nothing is said."""
GAS_KG_S = (0.001, 5.0)
GAS_K = (250.0, 1500.0)
"""Widest range of exhaust gas that is taken for one: common practice, no source."""


def wish(ledger: Ledger, key: Node, node: Node, diameter: Amount | None, wall: Amount | None,
         stock: tuple[StockBend, ...] | None) -> RouteWish | None:
    """The whole wish under ``key``. ``diameter``, ``wall`` and ``stock`` are the route's own, used where the wish
    names none; None where they could not be read."""
    if strayed(ledger, node, FIND, ROUTE, "this belongs to the route, not to find", "put it beside find, not under it"):
        return None
    found = form(ledger, node, FIND, "find")
    if found is None:
        return None
    leave = _exit(ledger, found["exit"])
    pipes = _pipes(ledger, found.get("pipes"), diameter, wall)
    bends = _bends(ledger, found["bends"], pipes, diameter) if "bends" in found else _of_stock(ledger, key, stock)
    together: str | None = choice(ledger, found["end to end"], ("yes", "no")) if "end to end" in found else "no"
    parts = parts_wanted(ledger, found["parts"]) if "parts" in found else ()
    through = _through(ledger, found["through"]) if "through" in found else ()
    out = _keep_out(ledger, found["keep out"]) if "keep out" in found else ()
    ground = length(ledger, found["ground"], zero=True, what="a length from 0 up") if "ground" in found else None
    worth = _worth(ledger, found["worth"]) if "worth" in found else Worth()
    if (leave is None or pipes is None or bends is None or together is None or parts is None or through is None
            or out is None or (ground is None and "ground" in found) or worth is None):
        return None
    _doubt_thin(ledger, parts, pipes)
    return RouteWish(leave, pipes, bends, parts, through, out, ground, together == "yes", worth, key.place)


def _exit(ledger: Ledger, node: Node) -> ExitWish | None:
    found = form(ledger, node, EXIT, "the exit")
    if found is None:
        return None
    box, to = zone(ledger, found["between"]), direction(ledger, found["towards"])
    within = angle(ledger, found["within"], 90.0, zero=True) if "within" in found else math.radians(WITHIN_DEG)
    if box is None or to is None or within is None:
        return None
    return ExitWish(box, to, within, node.place)


def _pipes(ledger: Ledger, node: Node | None, diameter: Amount | None,
           wall: Amount | None) -> tuple[PipeWish, ...] | None:
    if node is None:
        return None if diameter is None or wall is None else (PipeWish(diameter, wall),)
    lines = rows(ledger, node, "pipe", "- {diameter: 63.5 mm, wall: 1.5 mm, price: 12 per m}", MOST_PIPES)
    if lines is None:
        return None
    if not lines:
        ledger.wrong(node, "no pipe to consider", "- {diameter: 63.5 mm, wall: 1.5 mm}", "name one, or take pipes out: "
                     "then it is the route's own")
        return None
    made = [_pipe(ledger, line) for line in lines]
    good = [pipe for pipe in made if pipe is not None]
    if len(good) < len(made):
        return None
    for i, pipe in enumerate(good):
        if any((p.diameter.mm, p.wall.mm) == (pipe.diameter.mm, pipe.wall.mm) for p in good[:i]):
            ledger.wrong(lines[i], "this pipe stands twice", mend="take one out")
            return None
    return tuple(good)


def _pipe(ledger: Ledger, node: Node) -> PipeWish | None:
    found = form(ledger, node, PIPE, "a pipe")
    if found is None:
        return None
    diameter, wall = amount(ledger, found["diameter"]), amount(ledger, found["wall"])
    price = price_per_m(ledger, found["price"]) if "price" in found else 0.0
    if diameter is None or wall is None or price is None or not hollow(ledger, found["wall"], diameter, wall):
        return None
    return PipeWish(diameter, wall, price, node.place)


def hollow(ledger: Ledger, node: Node, diameter: Amount, wall: Amount) -> bool:
    """Whether the wall leaves a hole in the pipe; told at ``node`` where it does not."""
    if diameter.mm <= 0.0 or 2.0 * wall.mm < diameter.mm:
        return True
    ledger.wrong(node, f"a wall of {in_mm(wall.mm)} fills a pipe of {in_mm(diameter.mm)}",
                 f"less than half the diameter, {in_mm(diameter.mm / 2.0)}", "check both numbers and their units")
    return False


def _of_stock(ledger: Ledger, node: Node, stock: tuple[StockBend, ...] | None) -> tuple[BendWish, ...] | None:
    if stock is None:
        return None
    if not stock:
        ledger.wrong(node, "nothing to bend with: find names no bends, and the route has no stock",
                     "bends: [{radius: 1.5 D, to: 180 deg}]", "add bends to find, or stock to the route")
        return None
    return tuple(BendWish(b.name, Amount(b.radius_mm), b.angle_rad, price=b.price, diameter_mm=b.diameter_mm,
                          where=b.where) for b in stock)


def _bends(ledger: Ledger, node: Node, pipes: tuple[PipeWish, ...] | None,
           diameter: Amount | None) -> tuple[BendWish, ...] | None:
    lines = rows(ledger, node, "bend", "- {radius: 1.5 D, to: 180 deg}", MOST_BENDS)
    if lines is None:
        return None
    if not lines:
        ledger.wrong(node, "no bend to use", "- {radius: 1.5 D, to: 180 deg}", "name one, or take bends out: then they "
                     "are those of stock")
        return None
    made = [_bend(ledger, line, pipes, diameter) for line in lines]
    good = [bend for bend in made if bend is not None]
    if len(good) < len(made):
        return None
    for i, bend in enumerate(good):
        if any((b.times, b.radius.mm, b.pieces, b.diameter_mm, b.most_rad)
               == (bend.times, bend.radius.mm, bend.pieces, bend.diameter_mm, bend.most_rad) for b in good[:i]):
            ledger.wrong(lines[i], "this bend stands twice", mend="take one out")
            return None
    return tuple(good)


def _bend(ledger: Ledger, node: Node, pipes: tuple[PipeWish, ...] | None, own: Amount | None) -> BendWish | None:
    found = form(ledger, node, BEND, "a bend")
    if found is None:
        return None
    said = found["radius"]
    only = length(ledger, found["diameter"]) if "diameter" in found else None
    factor = times(ledger, said)
    most = angle(ledger, found["to"], 180.0)
    good, cut = pie_cut(ledger, found)
    price = money(ledger, found["price"]) if "price" in found else 0.0
    name = plain(ledger, found["name"], "a text, e.g. U-bend") if "name" in found else None
    if (factor is None or most is None or not good or price is None or (only is None and "diameter" in found)
            or (name is None and "name" in found)):
        return None
    if factor > 0.0:
        if factor < 0.5:
            ledger.wrong(said, "a bend tighter than half the pipe's diameter", "0.5 D or more")
            return None
        base = Amount(only) if only is not None else own
        if base is None:
            return None
        radius: Amount | None = Amount(factor * base.mm, factor * base.sd_mm, f"{factor:g} D")
    else:
        radius = _wide_enough(ledger, said, amount(ledger, said), only, pipes)
    if radius is None:
        return None
    pieces = cut.pieces if cut is not None else 0
    called = name.value if name is not None else typed(said) + (f", {pieces} pieces" if pieces else "")
    return BendWish(called, radius, most, pieces, cut.kerf_mm if cut is not None else 0.0, price, factor, only,
                    node.place)


def _wide_enough(ledger: Ledger, node: Node, radius: Amount | None, only: float | None,
                 pipes: tuple[PipeWish, ...] | None) -> Amount | None:
    if radius is None or (only is None and pipes is None):
        return None
    if only is not None:
        return wide_enough(ledger, node, radius, only)
    widest = max(pipe.diameter.mm for pipe in pipes or ())
    if radius.mm >= widest / 2.0 * (1.0 - 1e-12):
        return radius
    ledger.wrong(node, f"a bend of {in_mm(radius.mm)} is tighter than half the diameter of the pipe of {in_mm(widest)}",
                 f"a radius of the centre line of {in_mm(widest / 2.0)} or more",
                 "check both numbers, or add diameter: of the pipe that this bend is made for")
    return None


def _through(ledger: Ledger, node: Node) -> tuple[Spot, ...] | None:
    """Places in a list, or one alone with or without brackets of its own."""
    if not isinstance(node, Items) or (len(node.items) == 3 and all(_coordinate(item) for item in node.items)):
        one = spot(ledger, node)
        return None if one is None else (one,)
    lines = rows(ledger, node, "place", "[1500 mm, 220 mm right, 250 mm]", MOST_THROUGH)
    if lines is None:
        return None
    made = [spot(ledger, line) for line in lines]
    good = [place for place in made if place is not None]
    if len(good) < len(made):
        return None
    double = next((i for i, place in enumerate(good) if place in good[:i]), None)
    if double is not None:
        ledger.wrong(lines[double], "this place stands twice", mend="take one out")
        return None
    return tuple(good)


def _coordinate(node: Node) -> bool:
    return isinstance(node, Text) and node.value.strip()[:1] in tuple("0123456789.+-½¼¾")


def _keep_out(ledger: Ledger, node: Node) -> tuple[KeepOut, ...] | None:
    example = "spare well: {between: [[3050 mm, 300 mm left, 200 mm], [3400 mm, 100 mm right, 500 mm]]}"
    pairs = named(ledger, node, "box", example, MOST_KEEP_OUT)
    if pairs is None:
        return None
    made = [_box(ledger, key.value, value) for key, value in pairs]
    good = [box for box in made if box is not None]
    return tuple(good) if len(good) == len(made) else None


def _box(ledger: Ledger, name: str, node: Node) -> KeepOut | None:
    found = form(ledger, node, ZONE, "a box to keep out of")
    if found is None:
        return None
    box = zone(ledger, found["between"])
    gap = length(ledger, found["gap"], zero=True, what="a length from 0 up") if "gap" in found else 0.0
    return None if box is None or gap is None else KeepOut(name, box, gap, node.place)


_MONEY = {"hour": ("hour", 1.0), "kg": ("kilogram", 1.0), "lb": ("kilogram", internal(1.0, "lb")),
          "kPa": ("kilopascal", 1.0), "psi": ("kilopascal", internal(1.0, "psi") * 1000.0),
          "mm of gap": ("gap_mm", 1.0), "inch of gap": ("gap_mm", 25.4)}
"""Key to the field of ``Worth`` and how many of its units the key's unit is."""


def _worth(ledger: Ledger, node: Node) -> Worth | None:
    found = form(ledger, node, WORTH, "worth")
    if found is None:
        return None
    values: dict[str, float | None] = {}
    for key, (field, size) in _MONEY.items():
        if key not in found:
            continue
        if field in values:
            twin = next(k for k, (f, _) in _MONEY.items() if f == field and k != key)
            ledger.wrong(found[key], f"{key} beside {twin}, which says the same in another unit", mend="take one out")
            return None
        price = money(ledger, found[key])
        values[field] = None if price is None else price / size
    if "wanted gap" in found:
        values["wanted_mm"] = length(ledger, found["wanted gap"], zero=True, what="a length from 0 up")
    for key, field in (("hours for a weld", "hours_per_weld"), ("hours for a bend", "hours_per_bend")):
        if key in found:
            values[field] = hours(ledger, found[key])
    if "gas" in found:
        low, high = GAS_KG_S
        values["gas_kg_s"] = ranged(ledger, found["gas"], "mass-flow", low, high, f"{low:g} kg/s to {high:g} kg/s")
    if "gas temperature" in found:
        low, high = GAS_K
        values["gas_k"] = ranged(ledger, found["gas temperature"], "temperature", low, high,
                                 f"{low:g} K to {high:g} K, which is -23 to 1227 degC")
    good = {field: value for field, value in values.items() if value is not None}
    return Worth(**good) if len(good) == len(values) else None


def _doubt_thin(ledger: Ledger, parts: tuple[PartWish, ...], pipes: tuple[PipeWish, ...]) -> None:
    thinnest = min(pipe.diameter.mm for pipe in pipes)
    for part in parts:
        if part.height.mm < thinnest * (1.0 - 1e-9) and part.where is not None:
            ledger.doubt(part.where, f"{part.name} is {in_mm(part.height.mm)} high, less than the pipe of "
                         f"{in_mm(thinnest)} that runs through it", "check its height or diameter, which are outside "
                         "sizes")
