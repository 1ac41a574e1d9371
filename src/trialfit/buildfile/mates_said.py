"""Joints between the ports of parts, and chains of fittings that are wanted between two of them."""

from collections.abc import Sequence

from trialfit.buildfile.fields import MOST_LETTERS, amount_said
from trialfit.buildfile.forms import choice, form, rows
from trialfit.buildfile.keys import CHAIN, JOINT_SAID, RUNS, USES, Key
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.limits import MOST_CHAINS, MOST_LAYERS, MOST_MATES
from trialfit.buildfile.names import LONGEST_THING, a_, slug
from trialfit.buildfile.parts_said import ALL_LISTED, Kinds, Known, keys_of, values_said
from trialfit.buildfile.tree import Items, Node, Table, Text, what
from trialfit.mates import MateKind
from trialfit.parts import Ask, Fact, SizeRead
from trialfit.vehicle import ChainWish, Instrument, LayerSaid, MateSaid, PortAt

SIDES = ("left", "right")
THICKNESS = Ask("thickness", "length", "how thick it is", low=0.0, high=500.0)
RUN_LENGTH = Ask("length", "length", "of the hose or pipe", low=1.0, high=20_000.0)
_EXAMPLE = "- wheel on hub: [wheel, rear hub.face]"
_PORT = "a part and its port parted by a dot, e.g. rear hub.face"
_OWN = tuple(key.name for key in JOINT_SAID)


def mates(ledger: Ledger, node: Node, kinds: Kinds, known: Known, gauges: dict[str, Instrument]
          ) -> tuple[MateSaid, ...]:  # fmt: skip
    """Every joint of the section, those with two sides twice."""
    items = rows(ledger, node, "joint", _EXAMPLE, MOST_MATES)
    found: list[MateSaid] = []
    pairs: dict[tuple[str, frozenset[PortAt]], int] = {}
    named: dict[str, str] = {}
    for item in items or ():
        if ledger.full:
            break
        for mate in _mate(ledger, item, kinds, known, gauges, pairs):
            short = slug(mate.name)
            if short in named:
                ledger.wrong(item, f"too like the name of another joint, {named[short]}",
                             mend="give one another name", said=mate.name)
                continue
            named[short] = mate.name
            found.append(mate)
    return tuple(found)


def _mate(ledger: Ledger, item: Node, kinds: Kinds, known: Known, gauges: dict[str, Instrument],
          pairs: dict[tuple[str, frozenset[PortAt]], int]) -> tuple[MateSaid, ...]:
    kind = _kind(ledger, item, kinds)
    if kind is None or not isinstance(item, Table):
        return ()
    if not kind.layered and (stray := item.key("between")) is not None:
        ledger.wrong(stray, f"nothing is clamped between the two ends of {a_(kind.name)}", mend="take it out")
        return ()
    head = Key(kind.name, "two ports", kind.meaning, "[part.port, part.port]", must=True)
    found = form(ledger, item, (head, *JOINT_SAID, *keys_of(kind.asks)), a_(kind.name))
    if found is None:
        return ()
    ends = _ends(ledger, found[kind.name], kind, known)
    layers = _layers(ledger, found["between"], gauges) if "between" in found else ()
    use = choice(ledger, found["use"], USES) if "use" in found else ""
    sides = _sides(ledger, found["sides"]) if "sides" in found else ("",)
    title = _title(ledger, found["name"]) if "name" in found else ""
    values = values_said(ledger, kind.asks, found, gauges)
    if ends is None or layers is None or use is None or sides is None or title is None or values is None:
        return ()
    pair = kind.name, frozenset(ends)
    if pair in pairs:
        ledger.wrong(item, f"this joint stands twice, first in line {pairs[pair]}",
                     mend="keep one of them; sides: left right makes two of one")
        return ()
    pairs[pair] = item.place.line
    name = title or f"{kind.name}: {_short(ends[0], known)} / {_short(ends[1], known)}"
    return tuple(MateSaid(f"{name} {side}".strip(), kind.name, ends[0], ends[1], values, layers, use, item.place)
                 for side in sides)


def _kind(ledger: Ledger, item: Node, kinds: Kinds) -> MateKind | None:
    """The kind that a joint's line names, as one of its keys."""
    if not isinstance(item, Table):
        ledger.wrong(item, f"{what(item)} in place of keys", f"a kind of joint with its two ports, e.g. {_EXAMPLE}",
                     "put a colon and a blank after the kind, and the two ports in brackets")
        return None
    heads = [(key, kind) for key, _ in item.pairs if (kind := kinds.mate(key.value)) is not None]
    if len(heads) > 1:
        ledger.wrong(heads[1][0], f"two kinds of joint in one: {heads[0][0].value} and {heads[1][0].value}",
                     "one of the two", "make two joints of it, each with a dash of its own")
        return None
    if heads:
        return heads[0][1]
    others = [(key, value) for key, value in item.pairs if key.value not in _OWN]
    # what looks like two ports stands after the kind
    key = next((key for key, value in others if isinstance(value, Items) and len(value.items) == 2),
               others[0][0] if others else None)
    if key is None:
        ledger.wrong(item, "no kind of joint is named", _EXAMPLE, ALL_LISTED)
        return None
    ledger.wrong(key, "no kind of joint has this name", f"a kind of joint with its two ports, e.g. {_EXAMPLE}",
                 ledger.guess(key.value, [k.name for k in kinds.mates]) or ALL_LISTED)
    return None


def _pieces(ledger: Ledger, node: Node, expected: str) -> list[tuple[Text, str, int]] | None:
    """The texts of a list, or those parted by commas in one line, each with where it begins."""
    if isinstance(node, Items):
        texts = [plain(ledger, item, _PORT) for item in node.items]
        return None if None in texts else [(t, t.value.strip(), 0) for t in texts if t is not None]
    whole = plain(ledger, node, expected)
    if whole is None:
        return None
    found, at = [], 0
    for piece in whole.value.split(","):
        found.append((whole, piece.strip(), at + len(piece) - len(piece.lstrip())))
        at += len(piece) + 1
    return found


def _ends(ledger: Ledger, node: Node, kind: MateKind, known: Known) -> tuple[PortAt, PortAt] | None:
    """The two ports in the order of the kind's ends."""
    expected = f"two ports in brackets, e.g. {kind.name}: [part.port, other part.port]"
    pieces = _pieces(ledger, node, expected)
    if pieces is None:
        return None
    if len(pieces) != 2:
        ledger.wrong(node, f"{len(pieces)} port{'' if len(pieces) == 1 else 's'} where two should stand", expected)
        return None
    a, b = (port_at(ledger, text, said, at, known) for text, said, at in pieces)
    if a is None or b is None:
        return None
    if a == b:
        ledger.wrong(node, f"both ends are {a}", expected)
        return None
    kinds = _kind_at(a, known), _kind_at(b, known)
    if "" in kinds or (kinds[0] in kind.first and kinds[1] in kind.second):
        return a, b
    if kinds[1] in kind.first and kinds[0] in kind.second:
        return b, a
    _unfit(ledger, node, kind, ((a, kinds[0]), (b, kinds[1])), known)
    return None


def _unfit(ledger: Ledger, node: Node, kind: MateKind, ends: tuple[tuple[PortAt, str], tuple[PortAt, str]],
           known: Known) -> None:
    fitting = (*kind.first, *kind.second)
    bad = [(port, said) for port, said in ends if said not in fitting]
    if bad:
        told = " and ".join(f"'{_short(port, known)}' is {a_(said)}" for port, said in bad)
    else:
        (a, said), (b, other_said) = ends
        so = f"so is '{_short(b, known)}'" if said == other_said else f"'{_short(b, known)}' is {a_(other_said)}"
        told = f"'{_short(a, known)}' is {a_(said)}, and {so}"
    mend = ""
    for port, _ in bad:
        other = [PortAt(port.part, name) for name, said in (known.parts[port.part] or {}).items() if said in fitting]
        if other and not mend:
            mend = f"did you mean {' or '.join(map(str, other[:3]))}?"
    ledger.wrong(node, f"{a_(kind.name)} joins {_either(kind.first)} and {_either(kind.second)}; {told}", mend=mend or
                 "name other ports, or another kind of joint")


def _either(kinds: Sequence[str]) -> str:
    return " or ".join(a_(kind) for kind in kinds)


def _kind_at(port: PortAt, known: Known) -> str:
    """Kind of a port that stands in the file, "" where it could not be read."""
    return (known.parts.get(port.part) or {}).get(port.port, "")


def _short(port: PortAt, known: Known) -> str:
    return port.part if len(known.parts.get(port.part) or {}) == 1 else str(port)


def port_at(ledger: Ledger, text: Text, said: str, offset: int, known: Known) -> PortAt | None:
    """The port that ``part.port`` names, or the part alone where it has one port only."""
    name, place = " ".join(said.split()), text.at(offset)
    if name in known.parts:
        ports = known.parts[name]
        if ports is None:
            return None  # its part has been told
        if len(ports) == 1:
            return PortAt(name, next(iter(ports)))
        ledger.wrong(place, f"this part has {len(ports)} ports", f"one of them, e.g. {name}.{next(iter(ports))}",
                     f"its ports: {', '.join(list(ports)[:8])}", said=said)
        return None
    part, dot, port = name.rpartition(".")
    part, port = part.strip(), port.strip()
    if dot and part in known.parts:
        ports = known.parts[part]
        if ports is None or port in ports:
            return None if ports is None else PortAt(part, port)
        ledger.wrong(place, f"{part} has no port of this name", f"one of: {', '.join(list(ports)[:8])}",
                     ledger.guess(port, ports), said=said)
        return None
    if ledger.whole:
        mend = ledger.guess(part if dot else name, known.parts) or "add it under parts:"
        ledger.wrong(place, "no part has this name", _PORT, mend, said=said)
    return None


def _layers(ledger: Ledger, node: Node, gauges: dict[str, Instrument]) -> tuple[LayerSaid, ...] | None:
    shown = "each thing with its thickness, e.g. {rotor hat: 7 mm +- 0.1 mm}"
    if not isinstance(node, Table) or not node.pairs:
        ledger.wrong(node, f"{what(node)} in place of keys", shown, "write unknown for one that was not measured")
        return None
    if len(node.pairs) > MOST_LAYERS:
        ledger.wrong(node, f"{len(node.pairs)} of them are too many", f"at most {MOST_LAYERS}")
        return None
    layers: list[LayerSaid] = []
    for key, value in node.pairs:
        name = " ".join(key.value.split())
        if not name or len(name) > LONGEST_THING:
            ledger.wrong(key, "this cannot name a layer", shown)
            continue
        if isinstance(value, Text) and value.nothing:
            ledger.wrong(key, "nothing stands after this key", f"{name}: 7 mm, or {name}: unknown")
            continue
        text = plain(ledger, value, shown)
        if text is None:
            continue
        if text.value.strip().casefold() == "unknown":
            layers.append(LayerSaid(name, None))
            continue
        thick = amount_said(ledger, THICKNESS, text, (text.value, 0), gauges)
        if thick is not None:
            layers.append(LayerSaid(name, thick))
    return tuple(layers) if len(layers) == len(node.pairs) else None


def _sides(ledger: Ledger, node: Node) -> tuple[str, ...] | None:
    pieces = _pieces(ledger, node, "left right")
    if pieces is None:
        return None
    words = [word.casefold() for _, piece, _ in pieces for word in piece.split()]
    if not words or any(word not in SIDES for word in words) or len(set(words)) != len(words):
        ledger.wrong(node, "no sides of a vehicle", "left right, for two joints that are alike")
        return None
    return tuple(words)


def _title(ledger: Ledger, node: Node) -> str | None:
    text = plain(ledger, node, "what the joint is called, e.g. left front wheel")
    if text is None:
        return None
    name = " ".join(text.value.split())
    if not slug(name) or len(name) > MOST_LETTERS:
        ledger.wrong(text, "this cannot name a joint",
                     f"a name with a letter or digit, of at most {MOST_LETTERS} signs, e.g. left front wheel")
        return None
    return name


def chains(ledger: Ledger, node: Node, known: Known, gauges: dict[str, Instrument]) -> tuple[ChainWish, ...]:
    """Every chain of fittings that is wanted."""
    items = rows(ledger, node, "chain", "- {from: caliper.inlet, to: hard line.end, use: brake}", MOST_CHAINS)
    found: list[ChainWish] = []
    lines: dict[frozenset[PortAt], int] = {}
    for item in items or ():
        if ledger.full:
            break
        chain = _chain(ledger, item, known, gauges)
        if chain is None:
            continue
        ends = frozenset((chain.start, chain.end))
        if ends in lines:
            ledger.wrong(item, f"a second chain between the same two, first in line {lines[ends]}",
                         mend="keep one of them")
            continue
        lines[ends] = item.place.line
        found.append(chain)
    return tuple(found)


def _chain(ledger: Ledger, item: Node, known: Known, gauges: dict[str, Instrument]) -> ChainWish | None:
    found = form(ledger, item, CHAIN, "a chain")
    if found is None:
        return None
    ends: list[PortAt | None] = []
    for key in ("from", "to"):
        text = plain(ledger, found[key], _PORT)
        ends.append(None if text is None else port_at(ledger, text, text.value, 0, known))
    use = choice(ledger, found["use"], USES) if "use" in found else ""
    by = choice(ledger, found["by"], RUNS) if "by" in found else "none"
    long: Fact | SizeRead | None = None
    if "length" in found:
        text = plain(ledger, found["length"], "a length, e.g. 300 mm")
        long = None if text is None else amount_said(ledger, RUN_LENGTH, text, (text.value, 0), gauges)
    start, end = ends
    if start is None or end is None or use is None or by is None or ("length" in found and long is None):
        return None
    if start == end:
        ledger.wrong(item, f"both ends are {start}", "two ports")
        return None
    if long is not None and by == "none":
        ledger.wrong(found["length"], "a length without hose or pipe", "by: hose or by: pipe",
                     "say what it is the length of, or take it out")
        return None
    return ChainWish(start, end, use, by, long, item.place)
