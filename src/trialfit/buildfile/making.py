"""How a route is made, hung and taken apart: from the file to the vehicle's record."""

import math
import re
from collections.abc import Callable, Mapping, Sequence
from typing import TypeVar

from trialfit.buildfile.amounts import (
    LONGEST_MM,
    amount,
    amount_in,
    money,
    price_per_m,
    quantity,
    quantity_with_doubt,
)
from trialfit.buildfile.facts import parts as pieces_of
from trialfit.buildfile.forms import choice, form, named, point, rows
from trialfit.buildfile.keys import PIPE, Key
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.making_keys import (
    APART,
    BRACKET,
    BRANCH,
    CARRIED,
    CONE,
    GAS,
    HANG_POINT,
    HANG_RAIL,
    HANGERS,
    MAKING,
    RUBBER,
    SENSOR,
    STANDS,
    STICK,
)
from trialfit.buildfile.places import spot
from trialfit.buildfile.tree import Items, Node, Table, Text, what
from trialfit.findings import SURE, Place
from trialfit.standards import bolt_grade, table, thread_called
from trialfit.units import in_unit, show
from trialfit.units.dimension import expected_text
from trialfit.vehicle import Amount
from trialfit.vehicle.making import (
    BracketSaid,
    BranchSaid,
    CarriedSaid,
    ConeSaid,
    CoverSaid,
    GasSaid,
    HangersSaid,
    HangPointSaid,
    HungAtSaid,
    MakingSaid,
    PartedSaid,
    RailSaid,
    RubberSaid,
    SensorSaid,
    StandsSaid,
    StickSaid,
    TubeSaid,
)

MOST_STICKS = 40
MOST_ON_SHELF = 200
MOST_COVERS = 40
MOST_TUBES = 20
MOST_POINTS = 60
MOST_RAILS = 10
MOST_BRANCHES = 10
MOST_CONES = 2
_UNITS = {"length": "mm", "angle": "deg", "mass": "kg", "temperature": "degC", "power": "kW", "force": "N",
          "torque": "N*m", "area": "mm2", "pressure": "kPa", "stiffness": "N/mm", "mass-flow": "kg/s",
          "rotation": "rpm", "number": "", "ratio": ""}
_STEP = {"rotation": math.pi / 30.0}
Span = tuple[float, float]
One = TypeVar("One")
Default = TypeVar("Default", float, float | None)


def making(ledger: Ledger, node: Node, carried: Sequence[str], stocked: Sequence[str]) -> MakingSaid | None:
    """All that stands under ``making``. ``carried`` are the names of the route's parts, laid and wanted, ``stocked``
    those of its bends on the shelf."""
    read = _Fields.of(ledger, node, MAKING, "making")
    if read is None:
        return None
    found = read.found
    material = read.choice("material", [str(r["material"]) for r in table("exhaust_tubes").rows])
    kerf = read.amount("kerf", "length", (0.0, 19.9), None)
    sticks = _listed(ledger, found.get("sticks"), "stick", STICK, MOST_STICKS, _stick)
    names = [*stocked, *(s.name for s in sticks or ())]
    shelf = _shelf(ledger, found["on the shelf"], names) if "on the shelf" in found else ()
    weights = _carried(ledger, found["parts"], carried) if "parts" in found else ()
    gas = _gas(ledger, found["gas"]) if "gas" in found else None
    covers = _covers(ledger, found["covers"]) if "covers" in found else ()
    tubes = _listed(ledger, found.get("compare"), "tube", PIPE, MOST_TUBES, _tube)
    hangers = _hangers(ledger, found["hangers"]) if "hangers" in found else None
    parted = _parted(ledger, found["joints"], carried) if "joints" in found else ()
    stands = _stands(ledger, found["stands"]) if "stands" in found else None
    sensor = _sensor(ledger, found["sensor"], carried) if "sensor" in found else None
    branches = _branches(ledger, found["branches"]) if "branches" in found else ()
    cones = _cones(ledger, found["cones"]) if "cones" in found else ()
    told = {"sticks": sticks, "on the shelf": shelf, "parts": weights, "gas": gas, "covers": covers, "compare": tubes,
            "hangers": hangers, "joints": parted, "stands": stands, "sensor": sensor, "branches": branches,
            "cones": cones}
    if not read.good or any(value is None for key, value in told.items() if key in found):
        return None
    return MakingSaid(material, kerf, sticks or (), shelf or (), weights or (), gas, covers or (), tubes or (), hangers,
                      parted or (), stands, sensor, branches or (), cones or (), node.place)


class _Fields:
    """The values of one table, read one after another; ``good`` is False once one of them was wrong."""

    def __init__(self, ledger: Ledger, node: Node, found: dict[str, Node]) -> None:
        self.ledger, self.node, self.found, self.good = ledger, node, found, True

    @classmethod
    def of(cls, ledger: Ledger, node: Node, keys: Sequence[Key], title: str) -> "_Fields | None":
        found = form(ledger, node, keys, title)
        return None if found is None else cls(ledger, node, found)

    def _noted(self, value: One | None) -> One | None:
        self.good &= value is not None
        return value

    def amount(self, key: str, dimension: str, span: Span, default: Default) -> float | Default:
        """An amount within a span, both in the internal unit."""
        if key not in self.found:
            return default
        value = self._noted(_within(self.ledger, self.found[key], dimension, span))
        return default if value is None else value

    def count(self, key: str, low: int, high: int, default: int) -> int:
        """A whole number."""
        if key not in self.found:
            return default
        value = self._noted(_count(self.ledger, self.found[key], low, high))
        return default if value is None else value

    def span(self, key: str, dimension: str, span: Span) -> Span | None:
        """Two amounts parted by ``to``, or one with its give or take."""
        return self._noted(_span(self.ledger, self.found[key], dimension, span)) if key in self.found else None

    def choice(self, key: str, allowed: Sequence[str], default: str | None = None) -> str | None:
        """One of a few words."""
        return self._noted(choice(self.ledger, self.found[key], allowed)) if key in self.found else default

    def words(self, key: str, example: str) -> str:
        """A text in one line."""
        if key not in self.found:
            return ""
        text = self._noted(plain(self.ledger, self.found[key], f"a text, e.g. {example}"))
        return "" if text is None else " ".join(text.value.split())

    def money(self, key: str, default: float) -> float:
        """A price."""
        if key not in self.found:
            return default
        value = self._noted(money(self.ledger, self.found[key]))
        return default if value is None else value


def _range_words(dimension: str, span: Span) -> str:
    unit = _UNITS[dimension]
    low, high = (f"{in_unit(v, unit, dimension):.6g} {unit}" if unit else f"{v:g}" for v in span)
    return f"{low} to {high}"


def _within(ledger: Ledger, node: Node, dimension: str, span: Span, piece: tuple[Text, str, int] | None = None
            ) -> float | None:  # fmt: skip
    text = plain(ledger, node, expected_text(dimension))
    if text is None:
        return None
    said, place = (text.value, text.place) if piece is None else (piece[1], piece[0].at(piece[2]))
    read = quantity(ledger, said, place, dimension)
    return None if read is None or not _inside(ledger, read.value, said, place, dimension, span) else read.value


def _inside(ledger: Ledger, value: float, said: str, place: Place, dimension: str, span: Span) -> bool:
    if span[0] - 1e-9 <= value <= span[1] * (1.0 + 1e-9):
        return True
    ledger.wrong(place, "out of range", _range_words(dimension, span),
                 "check the number" if dimension == "number" else "check the number and its unit", said=said)
    return False


def _span(ledger: Ledger, node: Node, dimension: str, span: Span) -> Span | None:
    unit = _UNITS[dimension]
    example = "700 rpm to 900 rpm" if unit == "rpm" else f"8 {unit} to 12 {unit}, or 10 {unit} +- 2 {unit}"
    text = plain(ledger, node, example)
    if text is None:
        return None
    two = pieces_of(text, r"\s+to\s+")
    if len(two) > 2:
        ledger.wrong(text, "more than two amounts", example)
        return None
    if len(two) == 2:
        low, high = (_within(ledger, node, dimension, span, (text, said, at)) for said, at in two)
        if low is None or high is None:
            return None
        if low > high:
            ledger.wrong(text, "the lower amount stands last", example, "write the lower one first")
            return None
        return low, high
    both = quantity_with_doubt(ledger, text.value, text.place, dimension)
    if both is None or not _inside(ledger, both[0].value, text.value, text.place, dimension, span):
        return None
    give = SURE * both[1]
    low, high = both[0].value - give, both[0].value + give
    if low < span[0]:
        ledger.wrong(text, "its give or take reaches past what can be", _range_words(dimension, span),
                     "check the number after +-")
        return None
    return low, high


def _count(ledger: Ledger, node: Node, low: int, high: int) -> int | None:
    expected = f"a whole number from {low} to {high}"
    text = plain(ledger, node, expected)
    if text is None:
        return None
    said = text.value.strip()
    if not (said.isascii() and said.isdigit() and len(said) < 6):
        ledger.wrong(text, "no whole number", expected)
        return None
    if not low <= int(said) <= high:
        ledger.wrong(text, "out of range", expected)
        return None
    return int(said)


def _listed(ledger: Ledger, node: Node | None, thing: str, keys: Sequence[Key], most: int,
            make: Callable[[Ledger, Node], One | None]) -> tuple[One, ...] | None:
    """Records of a list, made one by one by ``make``; None when one is wrong, empty where there is no list."""
    if node is None:
        return ()
    lines = rows(ledger, node, thing, "- {" + ", ".join(f"{k.name}: {k.example}" for k in keys[:2]) + ", ...}", most)
    if lines is None:
        return None
    made = [make(ledger, line) for line in lines]
    good = [one for one in made if one is not None]
    return tuple(good) if len(good) == len(made) else None


def _stick(ledger: Ledger, node: Node) -> StickSaid | None:
    read = _Fields.of(ledger, node, STICK, "a stick")
    if read is None:
        return None
    name = read.words("name", "stick")
    long = read.amount("length", "length", (10.0, 20_000.0), 0.0)
    price = read.money("price", 0.0)
    return StickSaid(name, long, price, node.place) if read.good else None


def _shelf(ledger: Ledger, node: Node, names: Sequence[str]) -> tuple[tuple[str, int], ...] | None:
    pairs = named(ledger, node, "bend or stick", "{U-bend: 1}", MOST_STICKS)
    if pairs is None:
        return None
    found: list[tuple[str, int]] = []
    for key, value in pairs:
        if key.value not in names:
            if ledger.whole:
                mend = ledger.guess(key.value, names) or _known(names, "list it under stock or sticks first")
                ledger.wrong(key, "no bend of stock and no stick has this name", mend=mend)
            continue
        count = _count(ledger, value, 0, MOST_ON_SHELF)
        if count is not None:
            found.append((key.value, count))
    return tuple(found) if len(found) == len(pairs) else None


def _known(names: Sequence[str], otherwise: str) -> str:
    return f"known: {', '.join(dict.fromkeys(names))}" if names else otherwise


def _part_named(ledger: Ledger, place: Text, name: str, carried: Sequence[str]) -> bool:
    """Whether a part of the route has the name; told with the nearest where none has."""
    if name in carried:
        return True
    ledger.wrong(place, "no part of this route has this name", mend=ledger.guess(name, carried) or _known(
        carried, "give the route parts first, laid or under find"))
    return False


def _carried(ledger: Ledger, node: Node, carried: Sequence[str]) -> tuple[CarriedSaid, ...] | None:
    pairs = named(ledger, node, "part", "- rear box: {mass: 4.5 kg}", MOST_STICKS)
    if pairs is None:
        return None
    made: list[CarriedSaid] = []
    for key, value in pairs:
        known = _part_named(ledger, key, key.value, carried)
        read = _Fields.of(ledger, value, CARRIED, "a part")
        if read is None:
            continue
        one = CarriedSaid(key.value, read.amount("mass", "mass", (0.001, 200.0), None),
                          read.amount("loss", "number", (0.0, 100.0), None),
                          read.span("rate", "stiffness", (0.01, 1e4)), value.place)
        if read.good and known:
            made.append(one)
    return tuple(made) if len(made) == len(pairs) else None


def _gas(ledger: Ledger, node: Node) -> GasSaid | None:
    read = _Fields.of(ledger, node, GAS, "gas")
    if read is None:
        return None
    hot = _with_give(ledger, read.found["at the outlet"])
    power = read.amount("power", "power", (1e3, 2e6), None)
    flow = read.amount("flow", "mass-flow", (0.001, 3.0), None)
    fuel = read.choice("fuel", [str(r["fuel"]) for r in table("fuels").rows], "petrol")
    mixture = read.amount("mixture", "number", (0.6, 4.0), 0.88)
    air = read.amount("air", "temperature", (230.0, 350.0), 298.15)
    wanted = read.amount("wanted", "pressure", (1e-5, 0.5), None)
    if power is not None and flow is not None:
        ledger.wrong(read.found["flow"], "a power and a flow", "one of the two", "take one out")
        return None
    if hot is None or fuel is None or not read.good:
        return None
    return GasSaid(*hot, power, fuel, mixture, flow, air, wanted, node.place)


def _with_give(ledger: Ledger, node: Node) -> tuple[float, float] | None:
    """Temperature of the gas with its give or take, both in kelvin; 100 degC to 1050 degC."""
    text = plain(ledger, node, "a temperature such as 680 degC +- 60 degC")
    if text is None:
        return None
    both = quantity_with_doubt(ledger, text.value, text.place, "temperature")
    span = (373.15, 1323.15)
    if both is None or not _inside(ledger, both[0].value, text.value, text.place, "temperature", span):
        return None
    give = SURE * both[1]
    if both[0].value - give < span[0] or both[0].value + give > span[1] + 76.0:
        ledger.wrong(text, "its give or take reaches past what can be", _range_words("temperature", span),
                     "check the number after +-")
        return None
    return both[0].value, give


def _covers(ledger: Ledger, node: Node) -> tuple[CoverSaid, ...] | None:
    kinds = [str(r["covering"]) for r in table("surfaces_hot").rows]
    pairs: list[tuple[Text, Node]] = []
    if isinstance(node, Table):
        pairs = list(node.pairs)
    elif isinstance(node, Items):
        for item in node.items:
            if not isinstance(item, Table) or len(item.pairs) != 1:
                ledger.wrong(item, "a cover is its kind, a colon, and from where to where", "- wrapped: 0 mm to 900 mm")
                return None
            pairs += item.pairs
    else:
        ledger.wrong(node, f"{what(node)} in place of a list", "each cover in its line, e.g. - wrapped: 0 mm to 900 mm")
        return None
    if len(pairs) > MOST_COVERS:
        ledger.wrong(node.place, f"{len(pairs)} of them are too many", f"at most {MOST_COVERS}, each a cover")
        return None
    made: list[CoverSaid] = []
    for key, value in pairs:
        kind = choice(ledger, key, kinds)
        stretch = _span(ledger, value, "length", (0.0, LONGEST_MM))
        if kind is None or stretch is None:
            continue
        over = next((c for c in made if c.from_mm < stretch[1] and stretch[0] < c.to_mm), None)
        if over is not None:
            ledger.wrong(value, f"it lies over the {over.kind} stretch", "each place under one cover",
                         "end one where the other begins")
            continue
        made.append(CoverSaid(kind, *stretch, value.place))
    return tuple(made) if len(made) == len(pairs) else None


def _tube(ledger: Ledger, node: Node) -> TubeSaid | None:
    found = form(ledger, node, PIPE, "a tube")
    if found is None:
        return None
    tube = _outside_and_wall(ledger, found)
    price = price_per_m(ledger, found["price"]) if "price" in found else 0.0
    return None if tube is None or price is None else TubeSaid(*tube, price, node.place)


def _outside_and_wall(ledger: Ledger, found: Mapping[str, Node]) -> tuple[Amount, Amount] | None:
    """``diameter`` and ``wall`` of a tube; refused where the wall leaves no bore."""
    wide, wall = amount(ledger, found["diameter"]), amount(ledger, found["wall"])
    if wide is None or wall is None:
        return None
    if 2.0 * wall.mm >= wide.mm:
        ledger.wrong(found["wall"], "this wall leaves no bore", f"less than {show(wide.mm / 2.0, 'mm')}")
        return None
    return wide, wall


def _hangers(ledger: Ledger, node: Node) -> HangersSaid | None:
    read = _Fields.of(ledger, node, HANGERS, "hangers")
    if read is None:
        return None
    found = read.found
    points = _listed(ledger, found.get("points"), "point", HANG_POINT, MOST_POINTS, _hang_point)
    rails = _listed(ledger, found.get("rails"), "rail", HANG_RAIL, MOST_RAILS, _hang_rail)
    rubber = _rubber(ledger, found["rubber"]) if "rubber" in found else None
    most = read.count("at most", 1, 12, 5)
    rod = read.amount("rod", "length", (4.0, 25.0), 10.0)
    bends = read.amount("rod bends", "length", (rod, 200.0), max(2.0 * rod, 10.0))
    reach = read.amount("reach", "length", (50.0, 1000.0), 350.0)
    idle = read.span("idle", "rotation", (200.0 * _STEP["rotation"], 3000.0 * _STEP["rotation"]))
    cylinders = read.count("cylinders", 1, 16, 0)
    outlet = read.amount("outlet", "torque", (100.0, 1e7), None)
    if points is None or rails is None or (rubber is None and "rubber" in found) or not read.good:
        return None
    use = _used(ledger, found["use"], points, rails) if "use" in found else ()
    if use is None:
        return None
    if use and read.good and len(use) > most:
        ledger.wrong(found["use"], f"{len(use)} places, and at most {most} hangers are allowed",
                     mend=f"write at most: {len(use)}, or take places out")
        return None
    twice = next((p for k, p in enumerate(points) if p.point in [q.point for q in points[:k]]), None)
    if twice is not None:
        ledger.wrong(twice.where or node.place, f"{twice.point} stands among the points twice", mend="take one out")
        return None
    if (idle is None) != (cylinders == 0):
        gone, there = ("cylinders", "idle") if idle is not None else ("idle", "cylinders")
        ledger.wrong(found[there], f"{there} without {gone}", "both, e.g. idle: 700 rpm to 900 rpm, cylinders: 6",
                     f"add {gone}")
        return None
    speeds = None if idle is None else (round(idle[0] / _STEP["rotation"], 6), round(idle[1] / _STEP["rotation"], 6))
    return HangersSaid(points, rails, most, rubber, rod, bends, reach, speeds, cylinders or None, outlet, use,
                       node.place)


def _used(ledger: Ledger, node: Node, points: Sequence[HangPointSaid], rails: Sequence[RailSaid]
          ) -> tuple[HungAtSaid, ...] | None:  # fmt: skip
    """The places decided on: named points, or ``a to b at 400 mm`` along a rail that is named."""
    form_said = "a point of the points, or so far along a rail, e.g. [hook.1, rail.R1 to rail.R2 at 400 mm]"
    items = rows(ledger, node, "place to hang on", "[hook.1, rail.R1 to rail.R2 at 400 mm]", 12)
    if items is None:
        return None
    known = [*(p.point for p in points), *(f"{r.start} to {r.end}" for r in rails)]
    made: list[HungAtSaid] = []
    for item in items:
        text = plain(ledger, item, form_said)
        if text is None:
            continue
        name, _, far = (part.strip() for part in text.value.partition(" at "))
        name = " ".join(name.split())
        if name not in known:
            turned = " to ".join(reversed(name.split(" to ")))
            mend = (f"count from the other end: {turned} at ..." if turned in known else
                    ledger.guess(name, known, 1) or "name it under points or rails first")
            ledger.wrong(text, "no point and no rail named here is called so", form_said, mend)
            continue
        rail = next((r for r in rails if f"{r.start} to {r.end}" == name), None)
        if (rail is None) == bool(far):
            ledger.wrong(text, "how far along the rail is not said" if rail else "a point with a length", form_said,
                         f"{name} at 400 mm" if rail else "take the length out")
            continue
        along = amount_in(ledger, text, far, text.value.rindex(far), zero=True) if rail else Amount(0.0)
        if along is None:
            continue
        if along.size or along.sd_mm:
            ledger.wrong(text, "a place along a rail is a plain length", form_said, f"{name} at 400 mm")
            continue
        said = HungAtSaid(name, "", 0.0, text.place) if rail is None else HungAtSaid(rail.start, rail.end, along.mm,
                                                                                      text.place)
        if any((m.start, m.end) == (said.start, said.end) and abs(m.along_mm - said.along_mm) < 1.0 for m in made):
            ledger.wrong(text, "it stands there twice", mend="take one out")
            continue
        made.append(said)
    return tuple(made) if len(made) == len(items) else None


def _hang_point(ledger: Ledger, node: Node) -> HangPointSaid | None:
    read = _Fields.of(ledger, node, HANG_POINT, "a point to hang on")
    if read is None:
        return None
    at, kind, bracket, price = _fixed(ledger, read, "at")
    most = read.amount("most", "force", (1.0, 1e5), None)
    why = read.words("not", "petrol filler above it")
    if at is None or kind is None or not read.good:
        return None
    return HangPointSaid(at, kind, price, most, why, bracket, node.place)


def _hang_rail(ledger: Ledger, node: Node) -> RailSaid | None:
    read = _Fields.of(ledger, node, HANG_RAIL, "a rail to hang on")
    if read is None:
        return None
    start, kind, bracket, price = _fixed(ledger, read, "from")
    end = point(ledger, read.found["to"])
    every = read.amount("every", "length", (10.0, 1000.0), 100.0)
    if start is None or end is None or kind is None or not read.good:
        return None
    if start == end:
        ledger.wrong(read.found["to"], f"the rail ends where it begins, at {start}", "a second hardpoint on it")
        return None
    return RailSaid(start, end, every, kind, price, bracket, node.place)


def _fixed(ledger: Ledger, read: _Fields, key: str) -> tuple[str | None, str | None, BracketSaid | None, float]:
    """Where a hanger is fixed, how, by which bracket, and what it costs, which is more than nothing."""
    at = point(ledger, read.found[key])
    kind = read.choice("by", ("bolt", "weld"))
    price = read.money("price", 1.0)
    if read.good and price <= 0.0:
        ledger.wrong(read.found["price"], "a hanger that costs nothing", "a plain number above 0, e.g. 6",
                     "count your own time: the cheapest choice is looked for")
        read.good = False
    bracket = None
    if "bracket" in read.found:
        bracket = _bracket(ledger, read.found["bracket"])
        read.good &= bracket is not None
    return at, kind, bracket, price


def _bracket(ledger: Ledger, node: Node) -> BracketSaid | None:
    read = _Fields.of(ledger, node, BRACKET, "a bracket")
    if read is None:
        return None
    arm, breadth, depth, leg, weld = (read.amount(key, "length", (0.5, 1000.0), default) for key, default in (
        ("arm", 40.0), ("breadth", 30.0), ("depth", 5.0), ("fillet", 3.0), ("weld", 30.0)))
    bolts = read.count("bolts", 1, 8, 2)
    radius = read.amount("bolt radius", "length", (1.0, 500.0), 15.0)
    thread, grade = read.words("thread", "M8") or "M8", read.words("grade", "8.8") or "8.8"
    try:
        sized = thread_called(thread)
    except ValueError as unknown:
        ledger.wrong(read.found["thread"], str(unknown), "thread: M8")
        return None
    try:
        bolt_grade(grade, sized.diameter_mm)
    except ValueError as unknown:
        ledger.wrong(read.found.get("grade", read.found.get("thread", node)), str(unknown), "grade: \"8.8\"")
        return None
    if not read.good:
        return None
    return BracketSaid(arm, breadth, depth, leg, weld, bolts, radius, thread, grade, node.place)


def _rubber(ledger: Ledger, node: Node) -> RubberSaid | None:
    read = _Fields.of(ledger, node, RUBBER, "rubber")
    if read is None:
        return None
    drop = read.amount("drop", "length", (0.0, 300.0), 0.0)
    shore = read.amount("shore", "number", (25.0, 75.0), None)
    area = read.amount("area", "area", (10.0, 5000.0), None)
    long = read.amount("length", "length", (2.0, 300.0), None)
    strands = read.count("strands", 1, 12, 2)
    upright, level = (read.span(key, "stiffness", (0.01, 1e5)) for key in ("stiffness", "level"))
    most = read.amount("most", "force", (1.0, 1e5), None)
    stretch = read.amount("stretch", "length", (0.5, 200.0), None)
    if not read.good:
        return None
    found = read.found
    if "stiffness" in found and "shore" in found:
        ledger.wrong(found["shore"], "a stiffness and a hardness", "one of the two", "keep the one that was measured")
        return None
    shaped = [key for key in ("shore", "area", "length") if key in found]
    if 0 < len(shaped) < 3:
        gone = [key for key in ("shore", "area", "length") if key not in found]
        ledger.wrong(found[shaped[0]], f"{shaped[0]} without {' and '.join(gone)}", "shore, area and length together, "
                     "e.g. shore: 55, area: 150 mm2, length: 35 mm", f"add {' and '.join(gone)}")
        return None
    if "level" in found and "stiffness" not in found:
        ledger.wrong(found["level"], "a level stiffness without an upright one", "both, or neither", "add stiffness")
        return None
    return RubberSaid(drop, shore, area, long, strands, upright, level, most, stretch, node.place)


def _parted(ledger: Ledger, node: Node, carried: Sequence[str]) -> tuple[PartedSaid, ...] | None:
    pairs = named(ledger, node, "joint", "{band: V-band}", MOST_STICKS)
    if pairs is None:
        return None
    made: list[PartedSaid] = []
    for key, value in pairs:
        known = _part_named(ledger, key, key.value, carried)
        one = _apart(ledger, key.value, value)
        if known and one is not None:
            made.append(one)
    return tuple(made) if len(made) == len(pairs) else None


def _apart(ledger: Ledger, name: str, node: Node) -> PartedSaid | None:
    expected = f"one of {', '.join(APART)}; a slip joint may say how far it goes in, e.g. slip joint 50 mm"
    text = plain(ledger, node, expected)
    if text is None:
        return None
    found = re.match(r"([A-Za-z -]*[A-Za-z])\s*(.*)", text.value.strip(), re.DOTALL)
    flat = " ".join(found[1].split()).casefold() if found else ""
    kind = next((k for k in APART if k.casefold() == flat), None)
    if kind is None or found is None:
        ledger.wrong(text, "this word is not known here", expected, ledger.guess(flat, APART, 1))
        return None
    if not found[2]:
        return PartedSaid(name, kind, None, node.place)
    if kind != "slip joint":
        ledger.wrong(text, f"a {kind} with a length", expected, "take the length out")
        return None
    deep = amount_in(ledger, text, found[2], text.value.index(found[2]))
    return None if deep is None else PartedSaid(name, kind, deep, node.place)


def _stands(ledger: Ledger, node: Node) -> StandsSaid | None:
    read = _Fields.of(ledger, node, STANDS, "stands")
    if read is None:
        return None
    lifted = read.amount("lifted", "length", (0.0, 2500.0), 0.0)
    clear = read.amount("clear", "length", (0.0, 50.0), 3.0)
    ease = read.amount("ease", "length", (0.0, 50.0), 5.0)
    return StandsSaid(lifted, clear, ease, node.place) if read.good else None


def _sensor(ledger: Ledger, node: Node, carried: Sequence[str]) -> SensorSaid | None:
    read = _Fields.of(ledger, node, SENSOR, "a sensor")
    if read is None:
        return None
    ends = {key: read.words(key, "flex") for key in ("after", "before")}
    for key, name in ends.items():
        value = read.found.get(key)
        if name and isinstance(value, Text) and not _part_named(ledger, value, name, carried):
            read.good = False
    turbine = read.choice("turbine", ("yes", "no"), "no")
    ports = read.amount("ports", "length", (0.0, 3000.0), None)
    harness = read.choice("harness", ("left", "right"), "")
    long = read.amount("length", "length", (10.0, 300.0), 80.0)
    bung = read.amount("bung", "length", (10.0, 60.0), 28.0)
    lead = read.amount("lead", "length", (50.0, 5000.0), 0.0)
    plug = spot(ledger, read.found["plug"]) if "plug" in read.found else None
    if not read.good or (plug is None and "plug" in read.found):
        return None
    if ("lead" in read.found) != ("plug" in read.found):
        gone = "plug" if "lead" in read.found else "lead"
        there = "lead" if gone == "plug" else "plug"
        ledger.wrong(read.found[there], f"{there} without {gone}", "both, e.g. lead: 500 mm, plug: loom.1",
                     f"add {gone}")
        return None
    return SensorSaid("oxygen sensor", ends["after"], ends["before"], turbine == "yes", ports, long, bung,
                      harness or "", lead, plug, node.place)


def _branches(ledger: Ledger, node: Node) -> tuple[BranchSaid, ...] | None:
    pairs = named(ledger, node, "branch", "- dump: {at: 1200 mm, clock: 90 deg, ...}", MOST_BRANCHES)
    if pairs is None:
        return None
    made: list[BranchSaid] = []
    for key, value in pairs:
        read = _Fields.of(ledger, value, BRANCH, "a branch")
        if read is None:
            continue
        at = read.amount("at", "length", (0.0, LONGEST_MM), 0.0)
        clock = read.amount("clock", "angle", (-math.pi, math.pi), 0.0)
        angle = read.amount("angle", "angle", (math.radians(5.0), math.radians(175.0)), 0.0)
        long = read.amount("length", "length", (1.0, 5000.0), 0.0)
        offset = read.amount("offset", "length", (-500.0, 500.0), 0.0)
        tube = _outside_and_wall(ledger, read.found)
        brings = read.amount("brings", "ratio", (0.02, 0.98), 0.0)
        if brings and read.good and not math.pi / 2.0 <= angle <= math.pi - math.radians(15.0):
            ledger.wrong(read.found["angle"], "gas that comes in comes from ahead, so the branch goes away against the "
                         "flow", "90 deg to 165 deg", "180 deg less the angle at which it joins")
            continue
        if read.good and tube is not None:
            made.append(BranchSaid(key.value, at, clock, angle, *tube, long, offset, brings, value.place))
    return tuple(made) if len(made) == len(pairs) else None


def _cones(ledger: Ledger, node: Node) -> tuple[ConeSaid, ...] | None:
    pairs = named(ledger, node, "cone", "- outlet cone: {at: outlet, diameter: 76.2 mm, ...}", MOST_CONES)
    if pairs is None:
        return None
    made: list[ConeSaid] = []
    for key, value in pairs:
        read = _Fields.of(ledger, value, CONE, "a cone")
        if read is None:
            continue
        at = read.choice("at", ("outlet", "tail"))
        long = read.amount("length", "length", (1.0, 1000.0), None)
        lap = read.amount("lap", "length", (0.0, 50.0), 0.0)
        tube = _outside_and_wall(ledger, read.found)
        if at is not None and any(c.at == at for c in made):
            ledger.wrong(read.found["at"], f"two cones at the {at}", "one at the outlet and one at the tail at most",
                         "make one of them out of the two")
            continue
        if read.good and at is not None and tube is not None:
            made.append(ConeSaid(key.value, at, *tube, long, lap, value.place))
    return tuple(made) if len(made) == len(pairs) else None
