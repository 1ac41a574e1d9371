"""Parts and their ports: what the builder knows of each place where one part meets another."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from trialfit.buildfile.fields import example, field_said
from trialfit.buildfile.forms import choice, form, named
from trialfit.buildfile.keys import FITTED_PART, PORT_KIND, Key
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.limits import MOST_PARTS, MOST_PORTS
from trialfit.buildfile.names import LONGEST_THING, a_, slug
from trialfit.buildfile.tree import Node, Table, Text, what
from trialfit.mates import MateKind
from trialfit.mates.gathered import MATE_KINDS
from trialfit.parts import Ask, Part, Port, PortKind, Value
from trialfit.parts.gathered import PORT_KINDS
from trialfit.standards import table
from trialfit.vehicle import Instrument

ALL_LISTED = "docs/build-file.md and 'trialfit schema' list them all"
_PART_EXAMPLE = "rear hub: {kind: wheel hub, ...}"


@dataclass(frozen=True, slots=True)
class Kinds:
    """The kinds of port and of joint that a file may name."""

    ports: tuple[PortKind, ...] = PORT_KINDS
    mates: tuple[MateKind, ...] = MATE_KINDS

    def port(self, name: str) -> PortKind | None:
        """The kind of port of that name; None when there is none."""
        return next((kind for kind in self.ports if kind.name == name), None)

    def mate(self, name: str) -> MateKind | None:
        """The kind of joint of that name; None when there is none."""
        return next((kind for kind in self.mates if kind.name == name), None)


ALL_KINDS = Kinds()


@dataclass(slots=True)
class Known:
    """Names of parts and ports as they stand in the file, whether or not they could be read, for the joints: part to
    port to its kind. A kind is "" where it could not be read, a part's ports None where none of them could."""

    parts: dict[str, dict[str, str] | None] = field(default_factory=dict)


def materials() -> tuple[str, ...]:
    """Words for what a part may be made of."""
    return table("densities").keys()


@lru_cache(maxsize=1024)
def keys_of(asks: tuple[Ask, ...]) -> tuple[Key, ...]:
    """The keys of a port or joint, from what its kind asks."""
    return tuple(Key(ask.key, ask.dimension, ask.meaning, example(ask), ask.must) for ask in asks)


def thing_named(ledger: Ledger, key: Text, thing: str, alike: dict[str, str], example_: str) -> str | None:
    """A name for a part, port or joint that no other has, with blanks squeezed; None and a problem otherwise."""
    name = " ".join(key.value.split())
    short = slug(name)
    if not short or len(name) > LONGEST_THING:
        ledger.wrong(key, f"this cannot name a {thing}",
                     f"a name with a letter or digit, of at most {LONGEST_THING} signs, e.g. {example_}")
        return None
    if short in alike:
        ledger.wrong(key, f"too like the name of another {thing}, {alike[short]}", mend="give one another name")
        return None
    alike[short] = name
    return name


def parts(ledger: Ledger, node: Node, kinds: Kinds, gauges: dict[str, Instrument]) -> tuple[tuple[Part, ...], Known]:
    """Every part of the section, and every name that stands in it."""
    known = Known()
    pairs = named(ledger, node, "part", _PART_EXAMPLE, MOST_PARTS)
    if pairs is None:
        ledger.whole = False
        return (), known
    made: list[Part] = []
    alike: dict[str, str] = {}
    for key, value in pairs:
        squeezed = " ".join(key.value.split())
        known.parts[squeezed] = None
        name = thing_named(ledger, key, "part", alike, "rear hub")
        part = _part(ledger, key, squeezed, value, kinds, gauges, known)
        if part is not None and name is not None:
            made.append(part)
    return tuple(made), known


def _part(ledger: Ledger, key: Text, name: str, node: Node, kinds: Kinds, gauges: dict[str, Instrument],
          known: Known) -> Part | None:  # fmt: skip
    if not isinstance(node, Table):
        ledger.wrong(key if isinstance(node, Text) and node.nothing else node, f"{what(node)} in place of keys",
                     f"a part with its ports, e.g. {_PART_EXAMPLE}")
        return None
    lone, several = node.key("kind"), node.key("ports")
    if lone is not None and several is not None:
        ledger.wrong(lone, "a kind of port beside ports", "one of the two",
                     "give this port a name and put it under ports too")
        return None
    if lone is None and several is None:
        ledger.wrong(key, "a part without ports", f"where it meets other parts, e.g. {_PART_EXAMPLE}",
                     "write kind: and what is known of its port, or ports: and each under its name")
        return None
    ports = _lone(ledger, node, kinds, gauges, known, name) if lone is not None else None
    found: Mapping[str, Node] | None
    if lone is not None:
        found = {k.value: v for k, v in node.pairs if k.value in ("material", "note")}
        if ports is not None and "material" in ports[0].values:
            # its kind has words of its own for what it is made of
            said = ports[0].word("material")
            return Part(name, ports, said if said in materials() else "", _note(ledger, found.get("note")) or "",
                        key.place)  # fmt: skip
    else:
        found = form(ledger, node, FITTED_PART, "a part")
        if several is not None:
            ports = _ports(ledger, several, node.get("ports"), kinds, gauges, known, name)
    if found is None:
        return None
    material = choice(ledger, found["material"], materials()) if "material" in found else ""
    note = _note(ledger, found.get("note"))
    if ports is None or material is None or note is None:
        return None
    return Part(name, ports, material, note, key.place)


def _note(ledger: Ledger, node: Node | None) -> str | None:
    if node is None:
        return ""
    if not isinstance(node, Text):
        ledger.wrong(node, f"{what(node)} in place of a text", "a text", "put the text in quotes")
        return None
    return node.value.strip()


def _lone(ledger: Ledger, node: Table, kinds: Kinds, gauges: dict[str, Instrument], known: Known, name: str
          ) -> tuple[Port, ...] | None:  # fmt: skip
    """The one port of a part whose fields stand beside its own."""
    kind = _kind(ledger, node.get("kind"), kinds)
    if kind is None:
        return None
    known.parts[name] = {kind.name: kind.name}
    port = _port(ledger, kind.name, kind, node, gauges, FITTED_PART[:2])
    return None if port is None else (port,)


def _ports(ledger: Ledger, key: Text, node: Node | None, kinds: Kinds, gauges: dict[str, Instrument], known: Known,
           part: str) -> tuple[Port, ...] | None:  # fmt: skip
    example_ = "face: {kind: wheel hub, ...}"
    if node is None or (isinstance(node, Text) and node.nothing):
        return None  # told with the keys of the part
    pairs = named(ledger, node, "port", example_, MOST_PORTS)
    if pairs is None:
        return None
    if not pairs:
        ledger.wrong(key, "a part without ports", f"each port under its name, e.g. {example_}")
        return None
    ports: list[Port] = []
    alike: dict[str, str] = {}
    names: dict[str, str] = {}
    known.parts[part] = names
    for title, value in pairs:
        squeezed = " ".join(title.value.split())
        names[squeezed] = ""
        name = thing_named(ledger, title, "port", alike, "face")
        if name is not None and "." in name:
            ledger.wrong(title, "a dot in the name of a port", "a name without a dot: it parts port from part",
                         "write a blank in its place")
            name = None
        kind = _kind(ledger, value if isinstance(value, Text) else value.get("kind") if isinstance(value, Table)
                     else value, kinds, title)  # fmt: skip
        if kind is None:
            continue
        names[squeezed] = kind.name
        port = _port(ledger, squeezed, kind, value, gauges)
        if port is not None and name is not None:
            ports.append(port)
    return tuple(ports) if len(ports) == len(pairs) else None


def _kind(ledger: Ledger, node: Node | None, kinds: Kinds, title: Text | None = None) -> PortKind | None:
    """The kind of port that a text names."""
    if title is not None and (node is None or (isinstance(node, Text) and node.nothing)):
        ledger.wrong(title, "a port without kind", f"{PORT_KIND.name}: {PORT_KIND.example}",
                     f"add {PORT_KIND.name}, {PORT_KIND.about}")
        return None
    if node is None:
        return None
    text = plain(ledger, node, f"a kind of port, e.g. {PORT_KIND.example}")
    if text is None:
        return None
    said = " ".join(text.value.split()).casefold()
    kind = next((k for k in kinds.ports if k.name.casefold() == said), None)
    if kind is None:
        ledger.wrong(text, "no kind of port has this name", f"a kind of port, e.g. {PORT_KIND.example}",
                     ledger.guess(said, [k.name for k in kinds.ports]) or ALL_LISTED)
    return kind


def _port(ledger: Ledger, name: str, kind: PortKind, node: Node, gauges: dict[str, Instrument],
          own: tuple[Key, ...] = ()) -> Port | None:  # fmt: skip
    """A port of a known kind; ``own`` are keys of its part that stand beside its own."""
    must = [ask for ask in kind.asks if ask.must]
    if isinstance(node, Text):
        if must:
            ledger.wrong(node, f"{a_(kind.name)} without {must[0].key}",
                         f"{{kind: {kind.name}, {must[0].key}: {example(must[0])}}}", f"add {must[0].key}, "
                         f"{must[0].meaning}")
            return None
        return Port({}, kind.name, name, node.place)
    beside = (key for key in own if kind.ask(key.name) is None)
    found = form(ledger, node, (PORT_KIND, *keys_of(kind.asks), *beside), a_(kind.name))
    if found is None:
        return None
    values = values_said(ledger, kind.asks, found, gauges)
    return None if values is None else Port(values, kind.name, name, node.place)


def values_said(ledger: Ledger, asks: tuple[Ask, ...], found: Mapping[str, Node], gauges: dict[str, Instrument]
                ) -> dict[str, Value] | None:  # fmt: skip
    """What is said under each asked key; None when one of them could not be read."""
    values: dict[str, Value] = {}
    good = True
    for ask in asks:
        if ask.key in found:
            value = field_said(ledger, ask, found[ask.key], gauges)
            good = good and value is not None
            if value is not None:
                values[ask.key] = value
    return values if good else None
