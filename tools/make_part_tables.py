"""Write the tables of kinds of port and of joint into docs/build-file.md, from the kinds themselves.

Run from the top of the checkout, whenever a kind changes: ``python tools/make_part_tables.py``.
"""

from collections.abc import Iterable
from pathlib import Path

from trialfit.buildfile.names import a_
from trialfit.buildfile.parts_said import ALL_KINDS, Kinds
from trialfit.buildfile.parts_schema import written
from trialfit.parts import Ask

PAGE = Path(__file__).resolve().parent.parent / "docs" / "build-file.md"
BEGIN = "<!-- written by tools/make_part_tables.py: begin -->"
END = "<!-- written by tools/make_part_tables.py: end -->"


def kinds_tables(kinds: Kinds) -> str:
    """Every kind of port with its keys, then every kind of joint with its ends and keys."""
    ports = [f"#### `{kind.name}`\n\n{_sentence(kind.meaning)}\n\n{_keys(kind.asks)}" for kind in kinds.ports]
    joints = []
    for kind in kinds.mates:
        layers = " Things may be clamped `between` them." if kind.layered else ""
        ends = f"Between {_either(kind.first)} and {_either(kind.second)}.{layers}"
        joints.append(f"#### `{kind.name}`\n\n{_sentence(kind.meaning)} {ends}\n\n{_keys(kind.asks)}")
    blocks = ["### Kinds of port\n", *ports, "### Kinds of joint\n", *joints]
    return "\n".join(block for block in blocks if block)


def _sentence(meaning: str) -> str:
    return f"{meaning[:1].upper()}{meaning[1:].rstrip('.')}."


def _either(kinds: Iterable[str]) -> str:
    return " or ".join(a_(kind) for kind in kinds)


def _keys(asks: tuple[Ask, ...]) -> str:
    if not asks:
        return ""
    rows = [f"| `{ask.key}`{' (must)' if ask.must else ''} | {_cell(ask.meaning)} | {_cell(written(ask))} |"
            for ask in asks]
    return "\n".join(["| key | what | written as |", "|---|---|---|", *rows, ""])


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def page_with(page: str, kinds: Kinds) -> str:
    """The page with its tables written afresh.

    Raises
    ------
    ValueError
        when the two marks between which they stand are not there
    """
    head, begun, rest = page.partition(BEGIN)
    _, ended, tail = rest.partition(END)
    if not begun or not ended:
        raise ValueError(f"the page has no {BEGIN} and {END}")
    return f"{head}{BEGIN}\n\n{kinds_tables(kinds)}\n{END}{tail}"


if __name__ == "__main__":
    PAGE.write_text(page_with(PAGE.read_text(encoding="utf-8"), ALL_KINDS), encoding="utf-8")
