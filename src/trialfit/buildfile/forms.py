"""Tables with known keys: unknown ones are answered with the nearest known, missing ones are told."""

from collections.abc import Sequence

from trialfit.buildfile.keys import Key
from trialfit.buildfile.ledger import Ledger, plain
from trialfit.buildfile.tree import Items, Node, Table, Text, what


def form(ledger: Ledger, node: Node, keys: Sequence[Key], title: str) -> dict[str, Node] | None:
    """Values by key of one table; None when it is no table or a key it cannot do without is missing.

    A key with nothing after it counts as missing and is told.
    """
    if not isinstance(node, Table):
        empty = isinstance(node, Text) and node.nothing
        message = "nothing stands after this key" if empty else f"{what(node)} in place of keys"
        ledger.wrong(node, message, f"{title} with keys, e.g. {_example(keys)}")
        return None
    known = {k.name: k for k in keys}
    found: dict[str, Node] = {}
    good = True
    for name, value in node.pairs:
        if name.value not in known:
            unknown_key(ledger, name, list(known), title)
            # a key that may be the misspelt needed one has been told already
            good = False
            continue
        if isinstance(value, Text) and value.nothing:
            ledger.wrong(name, "nothing stands after this key", f"{name.value}: {known[name.value].example}",
                         "fill it in or take the key out")
            good = False
            continue
        found[name.value] = value
    missing = [k for k in keys if k.must and node.key(k.name) is None]
    if missing and good:
        first = missing[0]
        more = f" (also missing: {', '.join(k.name for k in missing[1:])})" if len(missing) > 1 else ""
        ledger.wrong(node, f"{title} without {first.name}", f"{first.name}: {first.example}",
                     f"add {first.name}, {first.about}{more}")
    return found if good and not missing else None


def _example(keys: Sequence[Key]) -> str:
    """The first keys that a table needs, as they may be typed."""
    needed = [k for k in keys if k.must] or list(keys[:2])
    more = ", ..." if len(needed) > 2 else ""
    return "{" + ", ".join(f"{k.name}: {k.example}" for k in needed[:2]) + more + "}"


def strayed(ledger: Ledger, node: Node, keys: Sequence[Key], others: Sequence[Key], message: str, mend: str) -> bool:
    """Whether a key stands here that belongs in another table (``others``); told with its own words."""
    here, there = {k.name for k in keys}, {k.name for k in others}
    bad = [key for key, _ in node.pairs if key.value in there - here] if isinstance(node, Table) else []
    for key in bad:
        ledger.wrong(key, message, mend=mend)
    return bool(bad)


def unknown_key(ledger: Ledger, name: Text, known: list[str], title: str) -> None:
    """Tell a key that nothing knows, with the nearest known one and what a missing space may have done to it."""
    glued = next((k for k in known if name.value.startswith(f"{k}:")), None)
    if glued is not None:
        ledger.wrong(name, "no space after the colon", f"{glued}: {name.value[len(glued) + 1:].strip() or '...'}",
                     "put a space after the colon")
        return
    mend = ledger.guess(name.value, known) or f"known: {', '.join(known)}"
    ledger.wrong(name, f"no key of {title} has this name", mend=mend)


def rows(ledger: Ledger, node: Node, thing: str, example: str, most: int) -> tuple[Node, ...] | None:
    """The lines of a list, each with a dash; at most ``most`` of them."""
    if not isinstance(node, Items):
        ledger.wrong(node, f"{what(node)} in place of a list", f"each {thing} in its line, e.g. {example}",
                     f"put a dash before each {thing}")
        return None
    return node.items if _few(ledger, node, len(node.items), thing, most) else None


def named(ledger: Ledger, node: Node, thing: str, example: str, most: int) -> list[tuple[Text, Node]] | None:
    """Names with what stands under each, one a line with a dash, or as keys; no name twice, at most ``most``."""
    pairs: list[tuple[Text, Node]] = []
    if isinstance(node, Table):
        pairs = list(node.pairs)
    elif isinstance(node, Items):
        for item in node.items:
            if not isinstance(item, Table) or len(item.pairs) != 1:
                ledger.wrong(item, f"a {thing} is its name, a colon, and its keys in braces", example)
                return None
            pairs += item.pairs
    else:
        ledger.wrong(node, f"{what(node)} in place of a list", f"each {thing} in its line, e.g. {example}")
        return None
    if not _few(ledger, node, len(pairs), thing, most):
        return None
    names = [key.value for key, _ in pairs]
    double = next((key for i, (key, _) in enumerate(pairs) if key.value in names[:i]), None)
    if double is not None:
        ledger.wrong(double, f"a second {thing} of this name", mend="give one another name")
        return None
    return pairs


def _few(ledger: Ledger, node: Node, count: int, thing: str, most: int) -> bool:
    if count > most:
        ledger.wrong(node.place, f"{count} of them are too many", f"at most {most}, each a {thing}")
        return False
    return True


def choice(ledger: Ledger, node: Node, allowed: Sequence[str], expected: str = "") -> str | None:
    """One of a few words, capitals as they may."""
    text = plain(ledger, node, expected or f"one of {', '.join(allowed)}")
    if text is None:
        return None
    flat = " ".join(text.value.split()).casefold()
    for word in allowed:
        if word.casefold() == flat:
            return word
    ledger.wrong(text, "this word is not known here", expected or f"one of {', '.join(allowed)}",
                 ledger.guess(flat, list(allowed), 1))
    return None


def words_in(text: Text) -> list[tuple[str, int]]:
    """The words of a text with where each begins; commas part words too."""
    import re

    return [(m.group(), m.start()) for m in re.finditer(r"[^\s,]+", text.value)]


def points(ledger: Ledger, node: Node, least: int, most: int, example: str) -> tuple[str, ...] | None:
    """Hardpoints, as a list or as words in one line, each of which some reading names."""
    wanted = {(1, 1): "one hardpoint", (2, 2): "two hardpoints", (1, 2): "one or two hardpoints"}.get(
        (least, most), f"{least} or more hardpoints")
    expected = f"{wanted}, e.g. {example}"
    if isinstance(node, Items):
        pieces = []
        for item in node.items:
            text = plain(ledger, item, "a hardpoint's name, e.g. eye.L")
            if text is None:
                return None
            pieces += [(word, text, at) for word, at in words_in(text)]
    else:
        whole = plain(ledger, node, expected)
        if whole is None:
            return None
        pieces = [(word, whole, at) for word, at in words_in(whole)]
    if not least <= len(pieces) <= most:
        ledger.wrong(node, f"{len(pieces)} name{'' if len(pieces) == 1 else 's'} where {wanted} should stand", expected)
        return None
    names = [ledger.point(word, text.at(at)) for word, text, at in pieces]
    good = [name for name in names if name is not None]
    if len(good) < len(names):
        return None
    double = next((name for i, name in enumerate(good) if name in good[:i]), None)
    if double is not None:
        ledger.wrong(node, f"{double} stands in it twice", expected)
        return None
    return tuple(good)


def point(ledger: Ledger, node: Node) -> str | None:
    """One hardpoint that some reading names."""
    found = points(ledger, node, 1, 1, "eye.L")
    return None if found is None else found[0]
