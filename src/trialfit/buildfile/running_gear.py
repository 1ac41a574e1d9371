"""Bodies, suspension, stops and engine mounts: from the file to the vehicle's records."""

from collections.abc import Mapping

from trialfit.buildfile.amounts import amount, angle, length, stiffness
from trialfit.buildfile.forms import choice, form, point, points, words_in
from trialfit.buildfile.keys import LEAF, LEAVES, LINK, LINKS, MOUNTS, STOPS, SUSPENSION_TYPES
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.tree import Items, Node, Table, Text, what
from trialfit.findings import Place
from trialfit.vehicle import (
    Amount,
    BodyName,
    FourLinksRod,
    LeafSpring,
    LeafSprings,
    Link,
    Mounts,
    Stops,
    Suspension,
    ThreeLinksRod,
    TriangulatedLinks,
)

BODY_NAMES = [str(b) for b in BodyName]
Bodies = tuple[tuple[str, tuple[str, ...]], ...]


def bodies(ledger: Ledger, node: Node) -> Bodies:
    """Each body with the hardpoints that ride on it; a hardpoint rides on one body only."""
    if not isinstance(node, Table):
        ledger.wrong(node, f"{what(node)} in place of keys", "each body with its hardpoints, e.g. axle: [pad.L, pad.R]")
        return ()
    found: list[tuple[str, tuple[str, ...]]] = []
    rider: dict[str, str] = {}
    for key, value in node.pairs:
        if key.value not in BODY_NAMES:
            mend = ledger.guess(key.value, BODY_NAMES, 1)
            ledger.wrong(key, "no body has this name", f"one of {', '.join(BODY_NAMES)}", mend)
            continue
        if isinstance(value, Text) and value.nothing:
            ledger.wrong(
                key, "a body with no hardpoints", "a list, e.g. axle: [pad.L, pad.R]", "name them or take the key out"
            )
            continue
        good = _riders(ledger, key.value, value, rider)
        found.append((key.value, tuple(good)))
    return tuple(found)


def _riders(ledger: Ledger, body: str, node: Node, rider: dict[str, str]) -> list[str]:
    texts = list(node.items) if isinstance(node, Items) else [node]
    good: list[str] = []
    for item in texts:
        if ledger.full:
            break
        text = plain(ledger, item, "a hardpoint's name, e.g. pad.L")
        if text is None:
            continue
        for word, at in words_in(text):
            name = ledger.point(word, text.at(at))
            if name is None:
                continue
            if name in rider:
                where = "twice in it" if rider[name] == body else f"on {rider[name]} already"
                ledger.wrong(
                    text.at(at),
                    f"{name} stands {where}",
                    "each hardpoint on one body",
                    "take it out of one list",
                    said=word,
                )
                continue
            rider[name] = body
            good.append(name)
    return good


class Riding:
    """Which body each hardpoint rides on, to hold the ends of links and springs against."""

    def __init__(self, found: Bodies) -> None:
        self._of: Mapping[str, str] = {name: body for body, names in found for name in names}
        self.said = bool(self._of)

    def on(self, name: str) -> str:
        """Body of a hardpoint."""
        return self._of.get(name, "frame")

    def check(self, ledger: Ledger, node: Node | Place, name: str, allowed: tuple[str, ...], role: str) -> bool:
        """Tell a hardpoint that rides on the wrong body for what it does."""
        if self.on(name) in allowed:
            return True
        if not ledger.whole:
            return True
        wanted = " or ".join(allowed)
        mend = (f"add {name} to bodies under {allowed[0]}, or name the right hardpoint" if allowed[0] != "frame"
                else f"take {name} out of bodies under {self.on(name)}, or name the right hardpoint")
        ledger.wrong(
            node, f"{role} {name} rides on the {self.on(name)}", f"a hardpoint on the {wanted}", mend, said=name
        )
        return False


def suspension(ledger: Ledger, node: Node, riding: Riding) -> Suspension | None:
    """What holds the axle, of one of four types."""
    if not isinstance(node, Table):
        ledger.wrong(node, f"{what(node)} in place of keys", "a suspension with keys, e.g. type: leaf springs")
        return None
    kind = node.get("type")
    types = list(SUSPENSION_TYPES)
    if kind is None:
        ledger.wrong(node, "a suspension without type", f"type: one of {', '.join(types)}", "say which type it is")
        return None
    name = choice(ledger, kind, types)
    if name is None:
        return None
    if name == "leaf springs":
        return _leaf_springs(ledger, node, riding)
    return _links(ledger, node, name, riding)


def _links(ledger: Ledger, node: Table, name: str, riding: Riding) -> Suspension | None:
    count, with_rod = SUSPENSION_TYPES[name]
    found = form(ledger, node, LINKS, "the suspension")
    if found is None:
        return None
    links = _link_list(ledger, found["links"], riding)
    if with_rod and "rod" not in found:
        ledger.wrong(
            node,
            f"{name} without rod",
            "rod: its hardpoint on the frame, then the one on the axle, e.g. rod.f rod.a",
            "add the lateral rod",
        )
        return None
    if not with_rod and "rod" in found:
        ledger.wrong(
            found["rod"], f"{name} have no lateral rod", mend="take the rod out, or choose the type that has one"
        )
        return None
    rod = _link(ledger, "lateral rod", found["rod"], riding) if with_rod else None
    if links is None or (with_rod and rod is None):
        return None
    if len(links) != count:
        ledger.wrong(found["links"], f"{len(links)} links where {name} has {count}", f"{count} links",
                     "add or take out links, or choose another type")
        return None
    if rod is not None and any({g.frame, g.axle} == {rod.frame, rod.axle} for g in links):
        ledger.wrong(found["rod"], "the lateral rod lies on a link: both have the same two hardpoints",
                     "two hardpoints of its own", "name its own hardpoints")
        return None
    if name.startswith("triangulated"):
        return TriangulatedLinks((links[0], links[1], links[2], links[3]), node.place)
    assert rod is not None
    if count == 3:
        return ThreeLinksRod((links[0], links[1], links[2]), rod, node.place)
    return FourLinksRod((links[0], links[1], links[2], links[3]), rod, node.place)


def _link_list(ledger: Ledger, node: Node, riding: Riding) -> list[Link] | None:
    pairs: list[tuple[Text, Node]] = []
    if isinstance(node, Table):
        pairs = list(node.pairs)
    elif isinstance(node, Items):
        for item in node.items:
            if not isinstance(item, Table) or len(item.pairs) != 1:
                ledger.wrong(
                    item, "a link is its name, a colon and its two hardpoints", "- lower left: lower.f.L lower.a.L"
                )
                return None
            pairs += item.pairs
    else:
        ledger.wrong(
            node, f"{what(node)} in place of a list", "each link in its line, e.g. - lower left: lower.f.L lower.a.L"
        )
        return None
    made = [_link(ledger, key.value, value, riding) for key, value in pairs]
    good = [link for link in made if link is not None]
    if len(good) < len(made):
        return None
    names = [link.name for link in good]
    for i, (key, _) in enumerate(pairs):
        if key.value in names[:i]:
            ledger.wrong(key, "a second link of this name", mend="give one another name")
            return None
        twin = next((g for g in good[:i] if {g.frame, g.axle} == {good[i].frame, good[i].axle}), None)
        if twin is not None:
            ledger.wrong(key, f"it lies on {twin.name}: both go from {twin.frame} to {twin.axle}",
                         "two hardpoints of its own", "name its own hardpoints")
            return None
    return good


def _link(ledger: Ledger, name: str, node: Node, riding: Riding) -> Link | None:
    rate = 2000.0
    if isinstance(node, Table):
        found = form(ledger, node, LINK, "a link")
        if found is None:
            return None
        frame, axle = point(ledger, found["from"]), point(ledger, found["to"])
        if "stiffness" in found:
            read = stiffness(ledger, found["stiffness"])
            if read is None:
                return None
            rate = read
        if frame is None or axle is None:
            return None
        if frame == axle:
            ledger.wrong(node, f"both ends of it are {frame}", "a hardpoint on the frame and one on the axle")
            return None
    else:
        ends = points(ledger, node, 2, 2, "lower.f.L lower.a.L")
        if ends is None:
            return None
        frame, axle = ends
    if riding.on(frame) == "axle" and riding.on(axle) == "frame" and ledger.whole:
        ledger.wrong(node, "the end on the axle stands first", "the hardpoint on the frame, then the one on the axle",
                     f"write {axle} {frame}")
        return None
    one = riding.check(ledger, node, frame, ("frame",), "the frame end")
    other = riding.check(ledger, node, axle, ("axle",), "the axle end")
    return Link(name, frame, axle, rate) if one and other else None


def _leaf_springs(ledger: Ledger, node: Table, riding: Riding) -> LeafSprings | None:
    found = form(ledger, node, LEAVES, "a suspension on leaf springs")
    if found is None:
        return None
    left, right = (_leaf(ledger, side, found[side], riding) for side in ("left", "right"))
    return None if left is None or right is None else LeafSprings(left, right, node.place)


def _leaf(ledger: Ledger, side: str, node: Node, riding: Riding) -> LeafSpring | None:
    found = form(ledger, node, LEAF, "a leaf spring")
    if found is None:
        return None
    roles = {"front eye": ("frame",), "pad": ("axle",), "rear eye": ("frame", "axle"), "shackle": ("frame",)}
    names: list[str] = []
    good = True
    for role, allowed in roles.items():
        name = point(ledger, found[role])
        if name is None:
            good = False
            continue
        if name in names:
            ledger.wrong(found[role], f"{name} stands in this spring twice", "four different hardpoints")
            good = False
        good = riding.check(ledger, found[role], name, allowed, f"the {role}") and good
        names.append(name)
    clamp: Amount | None = Amount(0.0)
    if "clamp" in found:
        clamp = amount(ledger, found["clamp"], zero=True)
    if not good or clamp is None:
        return None
    return LeafSpring(side, names[0], names[1], names[2], names[3], clamp)


def stops(ledger: Ledger, node: Node) -> Stops | None:
    """How far the axle goes. Bump and droop are both typed above 0."""
    found = form(ledger, node, STOPS, "stops")
    if found is None:
        return None
    what_is = "a length from 0 up: both stops count from ride height"
    bump = length(ledger, found["bump"], zero=True, what=what_is)
    droop = length(ledger, found["droop"], zero=True, what=what_is)
    apart = length(ledger, found["apart"])
    roll = angle(ledger, found["roll"], 30.0) if "roll" in found else None
    if bump is None or droop is None or apart is None or ("roll" in found and roll is None):
        return None
    return Stops(bump, droop, apart, roll, node.place)


def mounts(ledger: Ledger, node: Node) -> Mounts | None:
    """How far the engine rocks, and about which line."""
    found = form(ledger, node, MOUNTS, "engine mounts")
    if found is None:
        return None
    axis = points(ledger, found["axis"], 2, 2, "mount.F mount.R")
    up = angle(ledger, found["right up"], 30.0, zero=True)
    down = angle(ledger, found["right down"], 30.0, zero=True)
    if axis is None or up is None or down is None:
        return None
    return Mounts(axis[0], axis[1], up, down, node.place)
