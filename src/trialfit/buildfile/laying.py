"""A found route put into the text of a build file, in the file's own words, as if it had been laid by hand."""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from trialfit.buildfile.bends import is_times
from trialfit.buildfile.edits import EditError, Path, Plain, edit_list, last_end, line_stop, plain_of, tree_of, written
from trialfit.buildfile.keys import ROUTE
from trialfit.buildfile.places import Spot
from trialfit.buildfile.reader import read
from trialfit.buildfile.routes import LONE_ROUTE
from trialfit.buildfile.tree import Items, Node, Table, Text
from trialfit.units import DOUBT_FACTOR, in_unit, parse
from trialfit.vehicle import Amount, Build, Corner, HungAtSaid, LaidPart, RoutePlan

SAME_MM = 0.006
"""Lengths are written to 0.01 mm, or 0.0001 in: what is read back differs by no more than this."""
_ORDER = [key.name for key in ROUTE]
_SIDES = (("", " ahead"), (" right", " left"), ("", " below"))


@dataclass(frozen=True, slots=True)
class _Said:
    """What stands under one key: one text, or the lines of a list."""

    key: str
    one: str = ""
    lines: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class _Splice:
    start: int
    end: int
    new: str


def write_route(
    text: str,
    route: str,
    corners: Sequence[Corner],
    end: Spot,
    parts: Sequence[LaidPart] = (),
    *,
    diameter: Amount | None = None,
    wall: Amount | None = None,
    found: str = "",
) -> str:
    """The text of a build file with one of its routes laid as given; every other key and every remark stay.

    Replaced are ``corners``, ``end``, ``parts`` and ``found`` of the route, and ``diameter`` and ``wall`` where they
    are given and are others. ``find`` stays, so the route can be looked for again. Remarks between replaced lines move
    above them. Lengths are written to 0.01 mm, or to 0.0001 in where the file shows inches: far finer than a tape, so
    that the pipe is the one whose gaps were worked out. Writing the same route again changes nothing.

    Parameters
    ----------
    text : str
        a build file without problems
    route : str
        its name under ``exhaust``; ``main`` for one that stands there alone
    corners : sequence of Corner
        a radius whose ``size`` is ``"1.5 D"`` is written so
    end : hardpoint's name or (x, y, z)
        in mm
    parts : sequence of LaidPart
        what sits on the pipe
    diameter, wall : Amount or None
        of the pipe; None leaves them
    found : str
        one line that says where the route is from; "" takes an old one out

    Raises
    ------
    EditError
        when the text has problems of its own or no such route, when the route given cannot be laid, or when a remark
        stands where it would be lost

    >>> text = "trialfit: 1\\nreadings:\\n  - height a 3 mm\\nexhaust:\\n  diameter: 60 mm\\n  wall: 2 mm\\n" \\
    ...        "  outlet: a\\n  end: [900 mm, 0 mm, 3 mm]  # at the bumper\\n"
    >>> made = write_route(text, "main", [Corner((500.0, -2.0, 3.0), Amount(90.0))], (800.0, 0.0, 3.0))
    >>> print(made[made.index("  outlet"):])
      outlet: a
      corners:
        - {at: [500.00 mm, 2.00 mm left, 3.00 mm], radius: 90 mm}
      end: [800.00 mm, 0 mm, 3.00 mm]  # at the bumper
    <BLANKLINE>
    """
    before, plan = _known(text, route)
    table = _table(text, route)
    inch = before.settings.units == "inch"
    new = [
        _pipe("diameter", plan.diameter, diameter, inch),
        _pipe("wall", plan.wall, wall, inch),
        _Said("corners", lines=tuple(_corner(c, inch) for c in corners)) if corners else _Said("corners", "[]"),
        _Said("end", _spot(end, inch)),
        _Said("parts", lines=tuple(_part(p, inch) for p in parts)),
        _Said("found", found.strip() and written(found, flow=table.flow)),
    ]
    wanted = [said for said in new if said is not None]
    made = _spliced(text, _changes(text, table, wanted))
    after = _checked(text, made, before, route, [said.key for said in wanted])
    _same(after, corners, end, parts)
    return made


def write_hangers(text: str, route: str, places: Sequence[HungAtSaid]) -> str:
    """The text with the places that a route's hangers were decided on under ``use``; none leaves the choice open.

    Raises
    ------
    EditError
        when the text has problems of its own, says nothing of hangers of that route, or a remark would be lost
    """
    before, plan = _known(text, route)
    if plan.making is None or plan.making.hangers is None:
        raise EditError(f"nothing is said under making, hangers of {route}")
    inch = before.settings.units == "inch"
    said = [p.start if not p.end else f"{p.start} to {p.end} at {_length(p.along_mm, inch)}" for p in places]
    at: Path = ("exhaust", "making") if _lone(tree_of(text), route) else ("exhaust", route, "making")
    made = edit_list(text, (*at, "hangers", "use"), said)
    problems = read(made).problems
    if problems:
        raise EditError(f"these places cannot be written: {problems[0]}")
    return made


def _lone(root: Table, route: str) -> bool:
    """Whether the route stands under exhaust by itself, without a name."""
    exhaust = root.get("exhaust")
    return (isinstance(exhaust, Table) and route == LONE_ROUTE
            and any(key.value in _ORDER for key, _ in exhaust.pairs))


def _known(text: str, route: str) -> tuple[Build, RoutePlan]:
    loaded = read(text)
    if loaded.build is None:
        raise EditError(f"the file has problems of its own, mend them first: {loaded.problems[0]}")
    plan = next((r for r in loaded.build.routes if r.name == route), None)
    if plan is None:
        names = ", ".join(r.name for r in loaded.build.routes) or "none"
        raise EditError(f"the file has no exhaust of the name {route}; it has: {names}")
    return loaded.build, plan


def _table(text: str, route: str) -> Table:
    exhaust = tree_of(text).get("exhaust")
    if isinstance(exhaust, Table):
        found = exhaust if _lone(tree_of(text), route) else exhaust.get(route)
        if isinstance(found, Table):
            return found
    raise EditError(f"the file has no exhaust of the name {route}")


# What is written -----------------------------------------------------------------------------------------------------

def _length(mm: float, inch: bool, *, fixed: bool = False) -> str:
    """A length to 0.01 mm or 0.0001 in, trailing noughts left out unless ``fixed``."""
    text = f"{in_unit(mm, 'in'):.4f}" if inch else f"{mm:.2f}"
    if float(text) == 0.0:
        return "0 in" if inch else "0 mm"
    if not fixed:
        text = text.rstrip("0").rstrip(".")
    unit = " in" if inch else " mm"
    # four decimals may spell a fraction by chance (85.3164): one nought more, and nobody is asked whether they do
    return text + "0" + unit if inch and parse(text + unit, "length").suspicions else text + unit


def _amount(amount: Amount, inch: bool) -> str:
    if amount.size:
        return amount.size
    doubt = f" +- {_length(DOUBT_FACTOR * amount.sd_mm, inch)}" if amount.sd_mm > 0.0 else ""
    return _length(amount.mm, inch) + doubt


def _spot(spot: Spot, inch: bool) -> str:
    if isinstance(spot, str):
        return spot
    said = []
    for value, (plus, minus) in zip(spot, _SIDES, strict=True):
        size = _length(abs(value), inch, fixed=True)
        nought = size.startswith("0 ")
        said.append(size + ("" if nought else plus if value > 0.0 else minus))
    return f"[{', '.join(said)}]"


def _pipe(key: str, old: Amount, new: Amount | None, inch: bool) -> _Said | None:
    """None where the file says so already, in whatever words."""
    if new is None or (abs(new.mm - old.mm) < SAME_MM and new.size in ("", old.size)):
        return None
    return _Said(key, _amount(new, inch))


def _corner(corner: Corner, inch: bool) -> str:
    said = f"{{at: {_spot(corner.point, inch)}, radius: {_amount(corner.radius, inch)}"
    if corner.pie_cut is not None:
        said += f", pie cut: {corner.pie_cut.pieces} pieces"
        said += f", kerf: {_length(corner.pie_cut.kerf_mm, inch)}" if corner.pie_cut.kerf_mm else ""
    return said + "}"


def _part(part: LaidPart, inch: bool) -> str:
    across = (f"diameter: {_amount(part.width, inch)}" if part.width.mm == part.height.mm else
              f"width: {_amount(part.width, inch)}, height: {_amount(part.height, inch)}")
    turn = f", turn: {math.degrees(part.clock_rad):.4f}".rstrip("0").rstrip(".") + " deg" if (
        abs(part.clock_rad) > 1e-9 and part.width.mm != part.height.mm) else ""
    return (f"{written(part.name, flow=True)}: {{kind: {part.kind}, leg: {part.leg}, "
            f"from: {_length(part.start_mm, inch, fixed=True)}, length: {_amount(part.length, inch)}, {across}{turn}}}")


# Where it is written -------------------------------------------------------------------------------------------------

def _changes(text: str, table: Table, wanted: Sequence[_Said]) -> list[_Splice]:
    kept = {key.value for key, _ in table.pairs} - {w.key for w in wanted if not w.one and not w.lines}
    made: list[_Splice] = []
    for said in wanted:
        there = table.key(said.key)
        value = table.get(said.key)
        if there is not None and value is not None:
            if _stands(value, said):
                continue
            if table.flow:
                made.append(_replaced_in_braces(text, table, there, value, said, kept))
            else:
                made.append(_replaced_in_lines(text, table, there, value, said))
        elif said.one or said.lines:
            before = [k for k in _ORDER[: _ORDER.index(said.key)] if k in kept]
            after = table.get(before[-1])
            assert after is not None
            made.append(_added(text, table, after, said))
    return made


def _stands(value: Node, said: _Said) -> bool:
    """Whether it says this already, so that not a character need change."""
    return (said.one or said.lines is not None) and plain_of(value) == _meant(said)


def _meant(said: _Said) -> Plain:
    """A value as the format would read it back."""
    root = tree_of("x: " + said.one if said.one else "x:\n" + "".join(f"- {line}\n" for line in said.lines or ()))
    node = root.get("x")
    return "" if node is None else plain_of(node)


def _in_braces(said: _Said) -> str:
    """The value in one line, for a table in braces."""
    if said.one:
        return said.one
    return f"[{', '.join('{' + line + '}' if said.key == 'parts' else line for line in said.lines or ())}]"


def _in_lines(said: _Said, indent: int, line_end: str) -> str:
    """What follows the colon, for a table in lines."""
    if said.one:
        return " " + said.one
    return "".join(f"{line_end}{' ' * indent}- {line}" for line in said.lines or ())


def _added(text: str, table: Table, after: Node, said: _Said) -> _Splice:
    if table.flow:
        return _Splice(after.end, after.end, f", {said.key}: {_in_braces(said)}")
    at = line_stop(text, _end(text, after))
    line_end = "\r\n" if "\r\n" in text else "\n"
    column = table.place.column - 1
    return _Splice(at, at, f"{line_end}{' ' * column}{said.key}:" + _in_lines(said, column + 2, line_end))


def _replaced_in_braces(text: str, table: Table, key: Text, value: Node, said: _Said, kept: set[str]) -> _Splice:
    if _remarks(text, value.start, value.end, value):
        raise EditError(f"remarks in the braces of {key.value} would be lost; give each key a line of its own")
    if said.one or said.lines:
        return _Splice(value.start, value.end, _in_braces(said))
    at = next(i for i, (name, _) in enumerate(table.pairs) if name is key)
    # a key that goes takes one comma with it: the one before it, unless nothing that stays stands before it
    if any(name.value in kept for name, _ in table.pairs[:at]):
        return _Splice(table.pairs[at - 1][1].end, value.end, "")
    return _Splice(key.start, table.pairs[at + 1][0].start, "")


def _replaced_in_lines(text: str, table: Table, key: Text, value: Node, said: _Said) -> _Splice:
    """A key with its value anew. A remark in the key's own line stays there, the others move above it."""
    line_end = "\r\n" if "\r\n" in text else "\n"
    stop = line_stop(text, _end(text, value))
    first_line = line_stop(text, key.start)
    remarks = _remarks(text, key.end, stop, value)
    own = "".join(r for at, r in remarks if at < first_line)
    column = table.place.column - 1
    above = "".join(f"{r}{line_end}{' ' * column}" for at, r in remarks if at >= first_line)
    if not said.one and not said.lines:
        # the whole line goes, its line break included; what was remarked stays
        above += own + (line_end + " " * column if own else "")
        start = key.start - column
        end = stop + len(line_end) if text.startswith(line_end, stop) else stop
        return _Splice(start, end, " " * column + above[: -column or None] if above else "")
    indent = value.place.column - 1 if isinstance(value, Items) and not value.flow else column + 2
    if own:
        gap = text[: next(at for at, _ in remarks)]
        own = gap[len(gap.rstrip(" \t")) :] + own
    body = _in_lines(said, indent, line_end)
    new = f"{key.value}:" + (body + own if said.one else own + body)
    return _Splice(key.start, stop, above + new)


def _end(text: str, node: Node) -> int:
    """Where a value ends, the blank lines after a block of text left out."""
    end = last_end(node)
    return len(text[:end].rstrip()) if isinstance(node, Text) and node.style in ("|", ">") else end


def _remarks(text: str, start: int, end: int, value: Node) -> list[tuple[int, str]]:
    """Remarks between two offsets, each with where it begins: a # after a blank, outside of every text."""
    spans = sorted(_spans(value))
    found: list[tuple[int, str]] = []
    at = start
    while True:
        mark = re.compile(r"(?<![^\s])#[^\r\n]*").search(text, at, end)
        if mark is None:
            return found
        inside = next((stop for begin, stop in spans if begin <= mark.start() < stop), None)
        if inside is None:
            found.append((mark.start(), mark[0].rstrip()))
            at = mark.end()
        else:
            at = inside


def _spans(node: Node) -> list[tuple[int, int]]:
    if isinstance(node, Text):
        return [(node.start, node.end)]
    if isinstance(node, Items):
        return [span for item in node.items for span in _spans(item)]
    return [span for key, value in node.pairs for span in ((key.start, key.end), *_spans(value))]


def _spliced(text: str, changes: Sequence[_Splice]) -> str:
    made, at = [], 0
    for change in sorted(changes, key=lambda c: (c.start, c.end)):
        if change.start < at:
            raise EditError("the route cannot be written here without changing something else")
        made += [text[at : change.start], change.new]
        at = change.end
    return "".join([*made, text[at:]])


# Whether it is what was meant ----------------------------------------------------------------------------------------

def _checked(old: str, made: str, before: Build, route: str, keys: Sequence[str]) -> RoutePlan:
    """The route as the new text has it; everything else must be what it was."""
    try:
        same = _others(old, route, keys) == _others(made, route, keys)
    except EditError:
        same = False
    if not same:
        raise EditError("the route cannot be written here without changing something else")
    after = read(made)
    if after.build is None:
        raise EditError(f"this route cannot be laid: {after.problems[0]}")
    if replace(after.build, routes=before.routes, digest=before.digest) != before:
        raise EditError("the route cannot be written here without changing something else")
    return next(r for r in after.build.routes if r.name == route)


def _others(text: str, route: str, keys: Sequence[str]) -> Plain:
    """Everything but the keys that change."""
    root = plain_of(tree_of(text))
    holder = root["exhaust"] if isinstance(root, dict) else {}
    lone = isinstance(holder, dict) and any(key in _ORDER for key in holder)
    table = holder if lone else holder[route] if isinstance(holder, dict) else {}
    if isinstance(table, dict):
        for key in keys:
            table.pop(key, None)
    return root


def _same(plan: RoutePlan, corners: Sequence[Corner], end: Spot, parts: Sequence[LaidPart]) -> None:
    good = (plan.laid and len(plan.corners) == len(corners) and len(plan.parts) == len(parts) and _near(plan.end, end)
            and all(_near(a.point, b.point) and (is_times(b.radius.size) or abs(a.radius.mm - b.radius.mm) < SAME_MM)
                    and (a.pie_cut is None) == (b.pie_cut is None) for a, b in zip(plan.corners, corners, strict=True))
            and all((a.name, a.kind, a.leg) == (b.name, b.kind, b.leg) and abs(a.start_mm - b.start_mm) < SAME_MM
                    and (b.width.mm == b.height.mm   # a round part has no turn to write
                         or abs(math.remainder(a.clock_rad - b.clock_rad, math.pi)) < 1e-5)
                    for a, b in zip(plan.parts, parts, strict=True)))
    if not good:
        raise EditError("what was written does not read back as the route that was given")


def _near(a: Spot, b: Spot) -> bool:
    if isinstance(a, str) or isinstance(b, str):
        return a == b
    return all(abs(p - q) < SAME_MM for p, q in zip(a, b, strict=True))
