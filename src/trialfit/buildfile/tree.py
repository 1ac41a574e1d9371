"""The build file as a tree of texts, lists and tables, each of which knows where it stands.

The parser hands out events; nothing is ever constructed from them but the three records here, so nothing in a file
can run, and what is read is what was typed (``on``, ``1:30`` and ``0123`` stay texts). Anchors, aliases, tags and a
second document are refused, duplicate keys are told.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Any

from trialfit.buildfile.limits import DEEPEST, MOST_ENTRIES
from trialfit.buildfile.problem import Problem, shown
from trialfit.findings import Place


@dataclass(frozen=True, slots=True)
class Text:
    """A piece of text. ``start`` and ``end`` are offsets in the file, quotes included; ``style`` is the quote sign,
    ``|`` or ``>`` for a block of text, "" for plain; ``lines`` is how many lines it runs over."""

    value: str
    place: Place
    start: int
    end: int
    style: str = ""
    lines: int = 1

    @property
    def nothing(self) -> bool:
        """Nothing typed after the key or the dash."""
        return not self.style and self.value in ("", "~", "null")

    def at(self, offset: int) -> Place:
        """Place of the character at ``offset`` of the value."""
        if self.lines > 1 or self.style not in ("", "'", '"'):
            return self.place
        return Place(self.place.file, self.place.line, self.place.column + offset + (1 if self.style else 0))


@dataclass(frozen=True, slots=True)
class Items:
    """A list: lines that begin with a dash, or ``[a, b]`` when ``flow``."""

    items: "tuple[Node, ...]"
    place: Place
    start: int
    end: int
    flow: bool


@dataclass(frozen=True, slots=True)
class Table:
    """Keys with their values: lines ``key: value``, or ``{key: value}`` when ``flow``. Of a key given twice only the
    first counts."""

    pairs: "tuple[tuple[Text, Node], ...]"
    place: Place
    start: int
    end: int
    flow: bool

    def get(self, key: str) -> "Node | None":
        """Value under ``key``."""
        return next((value for name, value in self.pairs if name.value == key), None)

    def key(self, key: str) -> Text | None:
        """The key itself as it stands in the file."""
        return next((name for name, _ in self.pairs if name.value == key), None)


Node = Text | Items | Table


def what(node: Node) -> str:
    """A node in words, for messages."""
    if isinstance(node, Items):
        return "a list"
    if isinstance(node, Table):
        return "a table of keys"
    return "nothing" if node.nothing else "a text"


def typed(node: Node) -> str:
    """A node as a message repeats it."""
    if isinstance(node, Text):
        return shown(node.value)
    if isinstance(node, Items):
        return "[...]" if node.flow else "- ..."
    if node.flow:
        return "{...}"
    return shown(f"{node.pairs[0][0].value}: ...") if node.pairs else "{}"


class Refused(Exception):
    """The file asks for something that a build file has no use for; carries the problem."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


@dataclass(slots=True)
class _Open:
    """A list or table that is still being read."""

    table: bool
    place: Place
    start: int
    flow: bool
    children: list[Node] = field(default_factory=list)


def _events(text: str) -> Iterator[Any]:
    from ruamel.yaml import YAML

    yield from YAML(typ="safe", pure=True).parse(text)


def _refused(event: Any, file: str, text: str, message: str, mend: str) -> Refused:
    start = event.start_mark
    place = Place(file, start.line + 1, start.column + 1)
    piece = text[start.index : start.index + 80].splitlines()
    return Refused(Problem(place, shown(piece[0]) if piece else "", message, mend=mend, weight=0))


def planted(text: str, file: str) -> tuple[Node | None, list[Problem]]:
    """The tree of ``text`` and its duplicate keys; None for a file without content.

    Raises
    ------
    Refused
        anchors, aliases, tags, directives, a second document, too deep or too many entries
    ruamel.yaml.error.MarkedYAMLError
        where the text is no YAML
    """
    problems: list[Problem] = []
    stack: list[_Open] = []
    root: Node | None = None
    count = documents = 0
    for event in _events(text):
        kind = type(event).__name__
        count += 1
        if count > MOST_ENTRIES:
            raise _refused(event, file, text, f"more than {MOST_ENTRIES:,} entries", "is this the build file?")
        if kind in ("StreamStartEvent", "StreamEndEvent", "DocumentEndEvent"):
            continue
        if kind == "DocumentStartEvent":
            documents += 1
            if documents > 1:
                raise _refused(event, file, text, "a second document begins here",
                               "keep one vehicle in one file and take the line --- out")
            if event.version or event.tags:
                # the mark of a document stands at its ---, the guilty line above it
                at = next((n for n, line in enumerate(text.splitlines(), 1) if line.startswith("%")), 1)
                raise Refused(Problem(Place(file, at), "%", "a line that begins with % orders the reader about",
                                      mend="take it out", weight=0))
            continue
        if kind == "AliasEvent" or getattr(event, "anchor", None):
            raise _refused(event, file, text, "anchors (&) and aliases (*) are not read here",
                           "write the value out, or put the text in quotes if it is meant as it stands")
        if getattr(event, "tag", None):
            raise _refused(event, file, text, "tags (!) are not read here",
                           "take it out, or put the text in quotes if it is meant as it stands")
        if kind in ("MappingStartEvent", "SequenceStartEvent"):
            mark = event.start_mark
            if len(stack) >= DEEPEST:
                raise _refused(event, file, text, f"nested more than {DEEPEST} deep",
                               "look for brackets or dashes too many")
            stack.append(_Open(kind[0] == "M", Place(file, mark.line + 1, mark.column + 1), mark.index,
                               bool(event.flow_style)))
            continue
        node: Node
        if kind == "ScalarEvent":
            first, last = event.start_mark, event.end_mark
            node = Text(event.value, Place(file, first.line + 1, first.column + 1), first.index, last.index,
                        event.style or "", last.line - first.line + 1)
        else:
            node = _closed(stack.pop(), event.end_mark.index, problems, text)
        if stack:
            stack[-1].children.append(node)
        else:
            root = node
    if isinstance(root, Text) and root.nothing:
        root = None
    return root, problems


def _closed(done: _Open, end: int, problems: list[Problem], text: str) -> Node:
    if not done.table:
        return Items(tuple(done.children), done.place, done.start, end, done.flow)
    pairs: list[tuple[Text, Node]] = []
    seen: dict[str, Text] = {}
    for key, value in zip(done.children[::2], done.children[1::2]):
        if not isinstance(key, Text):
            problems.append(
                Problem(
                    key.place,
                    typed(key),
                    f"{what(key)} where a key should stand",
                    "a name and a colon",
                    "a text that begins with [ or { needs quotes",
                    weight=0,
                )
            )
        elif key.value in seen:
            problems.append(Problem(key.place, shown(key.value),
                                    f"this key stands twice, first in line {seen[key.value].place.line}",
                                    mend="put both together or give one another name", weight=0))
        else:
            seen[key.value] = key
            pairs.append((key, _beside(key, value, text)))
    return Table(tuple(pairs), done.place, done.start, end, done.flow)


def _beside(key: Text, value: Node, text: str) -> Node:
    """A value that is not there stands after its key's colon, wherever the parser went on reading."""
    if not isinstance(value, Text) or value.start != value.end:
        return value
    colon = text.find(":", key.end, key.end + 100)
    at = colon + 1 if colon >= 0 else key.end
    return replace(value, place=key.place, start=at, end=at)
