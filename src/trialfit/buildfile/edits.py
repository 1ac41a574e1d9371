"""One change in the text of a build file, and not a character elsewhere: remarks, order and alignment stay.

The places come from the tree; the change is made in the text itself. Every edit is checked by reading the text
again: its tree must be the old one with the one change, or the edit is refused.
"""

import json
import re
from collections.abc import Sequence

from trialfit.buildfile.limits import USUAL_NAME, refusals
from trialfit.buildfile.syntax import grown
from trialfit.buildfile.tree import Items, Node, Table, Text

Path = tuple[str | int, ...]
_SAFE = re.compile(r"[A-Za-z0-9.½¼¾_/+(-][^#:\[\]{},&*!|>%@`\"\\\x00-\x1f]*(?<! )")
Plain = str | list["Plain"] | dict[str, "Plain"]


class EditError(ValueError):
    """The edit cannot be made in this text; the message says why."""


def edit(text: str, path: Path, value: str) -> str:
    """The text with ``value`` under ``path``; a last key that is not there yet is added to its table.

    Parameters
    ----------
    path : tuple of str and int
        keys and positions in lists, such as ``("shapes", "axle tube", "diameter")`` or ``("readings", 3)``
    value : str
        one line of text

    Raises
    ------
    EditError
        when the text cannot be read, the path leads nowhere or to a list or table, or the value holds a line break

    >>> edit("stops: {bump:  80 mm}  # measured", ("stops", "bump"), "75 mm")
    'stops: {bump:  75 mm}  # measured'
    """
    _one_line(value)
    root = tree_of(text)
    holder, node = _walked(root, path)
    if node is None:
        assert isinstance(holder, Table)
        said = written(value, holder.flow)
        return _checked(text, path, value.strip(), _added(text, holder, str(path[-1]), said))
    if not isinstance(node, Text):
        raise EditError(f"{' > '.join(map(str, path))} is no single text")
    if node.lines > 1:
        raise EditError(f"{' > '.join(map(str, path))} runs over several lines")
    flow = text[: node.start].rstrip(" ").endswith((",", "{", "[")) or _in_flow(root, path)
    said = written(value, flow)
    if node.start == node.end and not text[: node.start].endswith((" ", "\n")):
        said = " " + said
    return _checked(text, path, value.strip(), text[: node.start] + said + text[node.end :])


def edit_list(text: str, path: Path, items: Sequence[str]) -> str:
    """The text with a list of one-line texts under ``path``, in one line; a last key that is not there is added.

    Raises
    ------
    EditError
        when the text cannot be read, the path leads nowhere or to something else than a list, an item holds a line
        break, or a remark stands in a list that would be replaced

    >>> edit_list("hangers: {use: [a]}", ("hangers", "use"), ["b", "c to d at 40 mm"])
    'hangers: {use: [b, c to d at 40 mm]}'
    """
    for item in items:
        _one_line(item)
    said = f"[{', '.join(written(item, flow=True) for item in items)}]"
    wanted: Plain = [item.strip() for item in items]
    holder, node = _walked(tree_of(text), path)
    if node is None:
        assert isinstance(holder, Table)
        return _checked(text, path, wanted, _added(text, holder, str(path[-1]), said))
    if not isinstance(node, Items):
        raise EditError(f"{' > '.join(map(str, path))} is no list")
    start, end = node.start, last_end(node)
    key = holder.key(str(path[-1])) if isinstance(holder, Table) else None
    if key is not None and not node.flow:
        # its dashes stand in lines of their own: what takes their place follows the key
        start, said = text.index(":", key.end) + 1, f" {said}"
    if re.search(r"(?m)(^|\s)#", text[start:end]):
        raise EditError(f"a remark in {' > '.join(map(str, path))} would be lost: move it above the list first")
    return _checked(text, path, wanted, text[:start] + said + text[end:])


def add_reading(text: str, line: str) -> str:
    """The text with one reading more, below the last one; a section readings is begun where there is none.

    Raises
    ------
    EditError
        when the text cannot be read, or ``line`` is empty or holds a line break

    >>> add_reading("readings:\\n  - tape a b 612 mm  # twice\\n\\nname: x\\n", "height a 365 mm")
    'readings:\\n  - tape a b 612 mm  # twice\\n  - height a 365 mm\\n\\nname: x\\n'
    """
    _one_line(line)
    root = tree_of(text)
    if not line.strip():
        raise EditError("the reading is empty")
    line_end = "\r\n" if "\r\n" in text else "\n"
    node = root.get("readings")
    item = f"- {written(line.strip(), flow=False)}"
    if isinstance(node, Items) and node.items and not node.flow:
        last = node.items[-1]
        # the dash of the last item stands in its line, before the text; all dashes of a list stand in one column
        at = line_stop(text, last.end)
        new = f"{line_end}{' ' * (node.place.column - 1)}{item}"
    elif node is None:
        at = len(text)
        new = ("" if not text or text.endswith(("\n", "\r")) else line_end) + f"readings:{line_end}  {item}{line_end}"
    elif isinstance(node, Text) and node.nothing:
        key = root.key("readings")
        at = line_stop(text, key.end if key is not None else node.end)
        new = f"{line_end}  {item}"
    else:
        raise EditError("the readings stand in brackets: give each its own line first")
    made = text[:at] + new + text[at:]
    before, after = plain_of(root), plain_of(tree_of(made))
    kept = before.get("readings") if isinstance(before, dict) else None
    wanted = [*(kept if isinstance(kept, list) else []), line.strip()]
    if not isinstance(before, dict) or after != {**before, "readings": wanted}:
        raise EditError("the reading cannot be added here without changing something else")
    return made


def _one_line(value: str) -> None:
    if re.search(r"[\r\n]", value) or refusals(value, ""):
        raise EditError("one line of printable text is expected")


def tree_of(text: str) -> Table:
    """The tree of a text that is to be changed; an empty table where nothing stands in it yet.

    Raises
    ------
    EditError
        when the text cannot be read
    """
    bad = refusals(text.removeprefix("\ufeff"), "")
    if bad:
        raise EditError(bad[0].message)
    # a byte order mark keeps its place: offsets count from the text as it is given
    result = grown(text, USUAL_NAME)
    if result.problems:
        raise EditError(f"line {result.problems[0].place.line}: {result.problems[0].message}")
    if result.root is None:
        return Table((), _START, 0, 0, False)
    if not isinstance(result.root, Table):
        raise EditError("the file holds no keys")
    return result.root


def _start() -> "Text":
    from trialfit.findings import Place

    return Text("", Place("", 1), 0, 0)


_START = _start().place


def _walked(root: Table, path: Path) -> tuple[Node, Node | None]:
    """What holds the last step of a path, and what stands there: None for a key that can be added to a table."""
    if not path:
        raise EditError("no path to what should change")
    holder: Node = root
    for depth, step in enumerate(path):
        below = _below(holder, step)
        if depth == len(path) - 1 and (below is not None or (isinstance(holder, Table) and isinstance(step, str))):
            return holder, below
        if below is None:
            raise EditError(f"there is no {' > '.join(map(str, path[: depth + 1]))} in the file")
        holder = below
    raise AssertionError("a path has a last step")


def _below(node: Node, step: str | int) -> Node | None:
    if isinstance(node, Table) and isinstance(step, str):
        return node.get(step)
    if isinstance(node, Items) and isinstance(step, int) and 0 <= step < len(node.items):
        return node.items[step]
    return None


def _in_flow(root: Table, path: Path) -> bool:
    node: Node | None = root
    for step in path:
        if isinstance(node, Items | Table) and node.flow:
            return True
        node = _below(node, step) if node is not None else None
    return False


def written(value: str, flow: bool) -> str:
    """A value as the format writes it: plain where that reads back as it is, else in quotes."""
    value = value.strip()
    safe = _SAFE.fullmatch(value) if flow or ":" in value or "#" in value else re.fullmatch(
        r"[A-Za-z0-9.½¼¾_/+(-][^\x00-\x1f\\]*", value)
    if safe and not value.startswith("- ") and value not in ("-", "---", "null"):
        return value
    if "'" not in value:
        return f"'{value}'"
    return json.dumps(value, ensure_ascii=False)


def line_stop(text: str, at: int) -> int:
    """End of the line that offset ``at`` stands in, its line break left out."""
    found = re.compile(r"[\r\n]").search(text, at)
    return found.start() if found else len(text)


def _added(text: str, table: Table, key: str, said: str) -> str:
    line_end = "\r\n" if "\r\n" in text else "\n"
    pair = f"{written(key, table.flow)}: {said}"
    if table.flow:
        last = table.pairs[-1][1].end if table.pairs else table.start + 1
        return text[:last] + (", " if table.pairs else "") + pair + text[last:]
    if not table.pairs:
        return text + ("" if not text or text.endswith(("\n", "\r")) else line_end) + pair + line_end
    at = line_stop(text, last_end(table))
    return text[:at] + line_end + " " * (table.place.column - 1) + pair + text[at:]


def last_end(node: Node) -> int:
    """Where the last text of a node ends; the end of a list or table itself lies beyond the remarks after it."""
    if isinstance(node, Text) or node.flow:
        return node.end
    if isinstance(node, Items):
        return last_end(node.items[-1]) if node.items else node.end
    key, value = node.pairs[-1]
    return max(key.end, last_end(value))


def plain_of(node: Node) -> Plain:
    """What a tree says, without its places."""
    if isinstance(node, Text):
        return node.value
    if isinstance(node, Items):
        return [plain_of(item) for item in node.items]
    return {key.value: plain_of(value) for key, value in node.pairs}


def _checked(old: str, path: Path, value: Plain, made: str) -> str:
    wanted = plain_of(tree_of(old))
    holder: Plain = wanted
    for step in path[:-1]:
        holder = holder[step]  # type: ignore[index]
    holder[path[-1]] = value  # type: ignore[index]
    try:
        same = plain_of(tree_of(made)) == wanted
    except EditError:
        same = False
    if not same:
        raise EditError("the value cannot be written here without changing something else")
    return made
