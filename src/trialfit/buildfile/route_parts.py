"""Mufflers, catalysts, resonators, bellows and clamp joints: as they are wished for, and as they sit on a laid pipe."""

import math

from trialfit.buildfile.amounts import amount, hours, in_mm, length, money, quantity, ranged
from trialfit.buildfile.forms import choice, form, named, strayed
from trialfit.buildfile.keys import ALSO_CALLED, LAID_PART, PART, PART_KINDS
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.places import zone
from trialfit.buildfile.tree import Items, Node, Text
from trialfit.units import show
from trialfit.vehicle import Amount, LaidPart, PartWish

MOST_PARTS = 20
MOST_TURNS = 24
TOUCHING_MM = 0.05
"""Two parts that overlap by less touch: places are written to 0.01 mm."""
HEAVIEST_KG = 200.0
MOST_LOSS = 100.0
_WISH = "- rear box: {kind: muffler, length: 450 mm, width: 200 mm, height: 120 mm}"
_LAID = "- rear box: {kind: muffler, leg: 3, from: 120 mm, length: 450 mm, width: 200 mm, height: 120 mm}"
_TURNS = "an angle from -180 to 180 deg, or a list of them, e.g. [0 deg, 90 deg]"


def parts_wanted(ledger: Ledger, node: Node) -> tuple[PartWish, ...] | None:
    """The parts that the pipe must carry, in their order from the outlet on."""
    pairs = named(ledger, node, "part", _WISH, MOST_PARTS)
    if pairs is None:
        return None
    made = [_wanted(ledger, key.value, value) for key, value in pairs]
    good = [part for part in made if part is not None]
    return tuple(good) if len(good) == len(made) else None


def _wanted(ledger: Ledger, name: str, node: Node) -> PartWish | None:
    if strayed(ledger, node, PART, LAID_PART, "a part under find has no place on a leg yet",
               "take the key out; between says where its middle may lie"):
        return None
    found = form(ledger, node, PART, "a part")
    if found is None:
        return None
    kind = _kind(ledger, found["kind"])
    sizes = _sizes(ledger, found, node)
    box = zone(ledger, found["between"]) if "between" in found else None
    clocks = _turns(ledger, found["turn"]) if "turn" in found else (0.0,)
    room = length(ledger, found["room"], zero=True, what="a length from 0 up") if "room" in found else 0.0
    mass = (ranged(ledger, found["mass"], "mass", 0.0, HEAVIEST_KG, f"a mass from 0 to {HEAVIEST_KG:g} kg")
            if "mass" in found else 0.0)
    price = money(ledger, found["price"]) if "price" in found else 0.0
    work = hours(ledger, found["hours"]) if "hours" in found else 0.0
    loss = (ranged(ledger, found["loss"], "number", 0.0, MOST_LOSS, f"velocity heads from 0 to {MOST_LOSS:g}")
            if "loss" in found else 0.0)
    if (kind is None or sizes is None or (box is None and "between" in found) or clocks is None or room is None
            or mass is None or price is None or work is None or loss is None
            or not _turnable(ledger, found, sizes[1:])):
        return None
    return PartWish(name, kind, *sizes, box, clocks, room, mass, price, work, loss, node.place)


def laid_parts(ledger: Ledger, node: Node, legs: int | None) -> tuple[LaidPart, ...] | None:
    """The parts that sit on a laid pipe of so many legs (None where its corners could not be read)."""
    pairs = named(ledger, node, "part", _LAID, MOST_PARTS)
    if pairs is None:
        return None
    made = [_laid(ledger, key.value, value, legs) for key, value in pairs]
    good = [part for part in made if part is not None]
    if len(good) < len(made):
        return None
    for i, part in enumerate(good):
        over = next((g for g in good[:i] if g.leg == part.leg and _overlap_mm(g, part) > TOUCHING_MM), None)
        if over is not None:
            ledger.wrong(pairs[i][0], f"it overlaps {over.name}, which runs from {in_mm(over.start_mm)} to "
                         f"{in_mm(over.start_mm + over.length.mm)} of leg {over.leg}",
                         "each part on a piece of the leg of its own", "check from and length of both")
            return None
    return tuple(good)


def _kind(ledger: Ledger, node: Node) -> str | None:
    said = " ".join(node.value.split()).casefold() if isinstance(node, Text) else ""
    if said not in ALSO_CALLED:
        return choice(ledger, node, PART_KINDS)
    ledger.wrong(node, "this word is not known here", f"one of {', '.join(PART_KINDS)}", f"write {ALSO_CALLED[said]}")
    return None


def _overlap_mm(a: LaidPart, b: LaidPart) -> float:
    return min(a.start_mm + a.length.mm, b.start_mm + b.length.mm) - max(a.start_mm, b.start_mm)


def _laid(ledger: Ledger, name: str, node: Node, legs: int | None) -> LaidPart | None:
    if strayed(ledger, node, LAID_PART, PART, "this says what is wanted of a part, and this part is laid already",
               "take the key out, or put it with the part under find"):
        return None
    found = form(ledger, node, LAID_PART, "a part on a laid pipe")
    if found is None:
        return None
    kind = _kind(ledger, found["kind"])
    leg = _leg(ledger, found["leg"], legs)
    start = length(ledger, found["from"], zero=True, what="a length from 0 up")
    sizes = _sizes(ledger, found, node)
    clock: float | None = 0.0
    if "turn" in found:
        clock = _turn(ledger, found["turn"])
    if (kind is None or leg is None or start is None or sizes is None or clock is None
            or not _turnable(ledger, found, sizes[1:])):
        return None
    return LaidPart(name, kind, leg, start, *sizes, clock, node.place)


def _leg(ledger: Ledger, node: Node, legs: int | None) -> int | None:
    most = "a whole number from 1 up" if legs is None else "1" if legs == 1 else f"a whole number from 1 to {legs}"
    expected = f"{most}: 1 is the straight from the outlet to the first corner"
    text = plain(ledger, node, expected)
    if text is None:
        return None
    said = text.value.strip()
    if not (said.isascii() and said.isdigit() and len(said) < 6):
        ledger.wrong(text, "no number of a leg", expected)
        return None
    if int(said) < 1 or (legs is not None and int(said) > legs):
        corners = "" if legs is None else (f"with {legs - 1 or 'no'} corner{'' if legs == 2 else 's'} it has "
                                           f"{legs} leg{'' if legs == 1 else 's'}")
        ledger.wrong(text, "the pipe has no such leg", expected, corners)
        return None
    return int(said)


def _sizes(ledger: Ledger, found: dict[str, Node], node: Node) -> tuple[Amount, Amount, Amount] | None:
    """Length, width and height of a part; both of the latter the diameter of a round one."""
    along = amount(ledger, found["length"])
    if "diameter" in found:
        other = next((key for key in ("width", "height") if key in found), None)
        if other is not None:
            ledger.wrong(found[other], f"a diameter and a {other}", "width and height, or the diameter of a round part",
                         "take one out")
            return None
        across = amount(ledger, found["diameter"])
        return None if along is None or across is None else (along, across, across)
    missing = [key for key in ("width", "height") if key not in found]
    if missing:
        ledger.wrong(node, f"a part without {' and '.join(missing)}", "width and height, or the diameter of a round "
                     "part, e.g. diameter: 95 mm", f"add {' and '.join(missing)}")
        return None
    wide, high = amount(ledger, found["width"]), amount(ledger, found["height"])
    if along is None or wide is None or high is None:
        return None
    if wide.mm < high.mm:
        ledger.wrong(found["width"], f"a width below the height of {in_mm(high.mm)}", "the wider side as width",
                     "swap the two; turn: 90 deg stands the part on its edge")
        return None
    return along, wide, high


def _turnable(ledger: Ledger, found: dict[str, Node], across: tuple[Amount, Amount]) -> bool:
    if "turn" in found and across[0].mm == across[1].mm:
        ledger.wrong(found["turn"], "a round part has no wide side to turn", mend="take turn out")
        return False
    return True


def _turns(ledger: Ledger, node: Node) -> tuple[float, ...] | None:
    items = node.items if isinstance(node, Items) else (node,)
    if not 0 < len(items) <= MOST_TURNS:
        ledger.wrong(node.place, f"{len(items)} turns", f"1 to {MOST_TURNS}, e.g. [0 deg, 90 deg]")
        return None
    made = [_turn(ledger, item) for item in items]
    good = [value for value in made if value is not None]
    if len(good) < len(made):
        return None
    for i, value in enumerate(good):
        same = next((g for g in good[:i] if abs(math.remainder(value - g, math.pi)) < 1e-9), None)
        if same is not None:
            ledger.wrong(items[i], f"this is the same as {show(same, 'deg')}: half a turn brings the wide side back",
                         mend="take one out")
            return None
    return tuple(good)


def _turn(ledger: Ledger, node: Node) -> float | None:
    text = plain(ledger, node, _TURNS)
    if text is None:
        return None
    read = quantity(ledger, text.value, text.place, "angle")
    if read is None:
        return None
    if abs(read.value) > math.pi * (1.0 + 1e-12):
        ledger.wrong(text, "out of range", _TURNS, "check the number and its unit")
        return None
    return read.value
