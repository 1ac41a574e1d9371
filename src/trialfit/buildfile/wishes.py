"""What the builder decides: sides of hardpoints, own gaps, versions of rules."""

import re

from trialfit.buildfile.amounts import quantity
from trialfit.buildfile.forms import words_in
from trialfit.buildfile.keys import SIDES
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.tree import Items, Node, Table, Text, what
from trialfit.standards import KINDS, all_rules, rule
from trialfit.vehicle import GapWish, Hint, RoutePlan, RuleChoice, Shape

_SIDE = "left, right, ahead, behind, above or below, alone or of another hardpoint, e.g. ahead of pad.L"


def sides(ledger: Ledger, node: Node) -> tuple[Hint, ...]:
    """Every hint of the section; one hardpoint may have several, in a list."""
    if not isinstance(node, Table):
        ledger.wrong(node, f"{what(node)} in place of keys", "each hardpoint with its side, e.g. eye.L: left")
        return ()
    found: list[Hint] = []
    for key, value in node.pairs:
        name = ledger.point(key.value, key.place)
        for item in value.items if isinstance(value, Items) else (value,):
            made = _side(ledger, key.value, item)
            if made is not None and name is not None:
                found.append(made)
    return tuple(found)


def _side(ledger: Ledger, name: str, node: Node) -> Hint | None:
    text = plain(ledger, node, _SIDE)
    if text is None:
        return None
    words = words_in(text)
    side = words[0][0].casefold() if words else ""
    if side not in SIDES:
        ledger.wrong(text, "no side has this name", _SIDE, ledger.guess(side, SIDES, 1))
        return None
    rest = words[1:]
    if rest and rest[0][0].casefold() == "of":
        rest = rest[1:]
        if not rest:
            ledger.wrong(text, "of what?", _SIDE)
            return None
    if len(rest) > 1:
        ledger.wrong(text, "more than one hardpoint after the side", _SIDE)
        return None
    other = ""
    if rest:
        known = ledger.point(rest[0][0], text.at(rest[0][1]))
        if known is None:
            return None
        if known == name:
            ledger.wrong(text, f"{name} on a side of itself", _SIDE)
            return None
        other = known
    return Hint(name, side, other, node.place)


_GAP = "two names parted by /, then = and a length or joined, e.g. exhaust.main / floor = 30 mm"


def gaps(ledger: Ledger, node: Node, shapes: tuple[Shape, ...], routes: tuple[RoutePlan, ...],
         named: set[str]) -> tuple[GapWish, ...]:
    """The builder's own gaps. ``named`` holds the names of shapes and routes that could not be read: they are known."""
    if not isinstance(node, Items):
        ledger.wrong(node, f"{what(node)} in place of a list", f"each gap in its line, e.g. - {_GAP.split('e.g. ')[1]}",
                     "put a dash before each gap")
        return ()
    known = {s.name for s in shapes} | {f"exhaust.{r.name}" for r in routes} | named | set(KINDS) | {"shaft", "exhaust"}
    found: list[GapWish] = []
    seen: dict[frozenset[str], int] = {}
    for item in node.items:
        made = _gap(ledger, item, sorted(known))
        if made is None:
            continue
        pair = frozenset((made.a, made.b))
        if pair in seen:
            ledger.wrong(item, f"a second gap for the same two, first in line {seen[pair]}", mend="keep one of them")
            continue
        seen[pair] = item.place.line
        found.append(made)
    return tuple(found)


def _gap(ledger: Ledger, node: Node, known: list[str]) -> GapWish | None:
    text = plain(ledger, node, _GAP)
    if text is None:
        return None
    parts = re.fullmatch(r"\s*([^/=]+?)\s*/\s*([^/=]+?)\s*=\s*(.+?)\s*", text.value)
    if parts is None:
        ledger.wrong(text, "not a gap", _GAP)
        return None
    good = True
    for part in (1, 2):
        if parts[part] not in known:
            ledger.wrong(text.at(parts.start(part)), "no shape, route or kind has this name",
                         mend=ledger.guess(parts[part], tuple(known)), said=parts[part])
            good = False
    if parts[3].casefold() == "joined":
        return GapWish(parts[1], parts[2], None, True, node.place) if good else None
    read = quantity(ledger, parts[3], text.at(parts.start(3)), "length")
    if read is None:
        return None
    if read.value < 0.0:
        ledger.wrong(text.at(parts.start(3)), "out of range", "a length from 0 up, or joined", said=parts[3])
        return None
    return GapWish(parts[1], parts[2], read.value, False, node.place) if good else None


def rules(ledger: Ledger, node: Node) -> tuple[RuleChoice, ...]:
    """The versions of rules that the builder puts in force, by their own labels."""
    if not isinstance(node, Table):
        ledger.wrong(
            node, f"{what(node)} in place of keys", "each rule with the version in force, e.g. shaft-to-tunnel: ..."
        )
        return ()
    names = [r.name for r in all_rules()]
    found: list[RuleChoice] = []
    for key, value in node.pairs:
        if key.value not in names:
            ledger.wrong(
                key, "no rule has this name", mend=ledger.guess(key.value, names) or f"known: {', '.join(names)}"
            )
            continue
        labels = [v.label for v in rule(key.value).versions]
        text = _label(ledger, value, labels)
        if text is None:
            continue
        try:
            chosen = rule(key.value, text.value)
        except ValueError:
            ledger.wrong(text, f"rule {key.value} has no version of this name", f"one of: {'; '.join(labels)}",
                         ledger.guess(text.value, labels, 1))
            continue
        found.append(RuleChoice(key.value, chosen.in_force.label, key.place))
    return tuple(found)


def _label(ledger: Ledger, node: Node, labels: list[str]) -> Text | None:
    return plain(ledger, node, f"one of: {'; '.join(labels)}")
