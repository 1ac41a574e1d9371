"""Tables packaged as CSV: a header that says where they come from, a units row, and refusals that name what is known.

The file opens with comment lines ``# source:``, ``# edition:``, ``# table:``, ``# status:`` (and ``# note:`` where
needed), then the column names, then one row of units (``-`` for none), then the values as they stand in the source.
"""

import csv
import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

_MUST = ("source", "edition", "table", "status")


@dataclass(frozen=True, slots=True)
class Table:
    """One table as it stands in its source: ``units`` and every row map a column name to its text."""

    name: str
    source: str
    edition: str
    table: str
    status: str
    note: str
    columns: tuple[str, ...]
    units: Mapping[str, str]
    rows: tuple[Mapping[str, str], ...]

    def row(self, key: str) -> Mapping[str, str]:
        """The row whose first column is ``key``.

        Raises
        ------
        ValueError
            when the table has no such row, naming the nearest; nothing is interpolated
        """
        return self.rows[self._place(key)]

    def number(self, key: str, column: str) -> float:
        """Value of ``column`` [as the table's units row says] in the row ``key``.

        Raises
        ------
        ValueError
            when there is no such row or column, or the source gives no figure there
        """
        row = self.row(key)
        if column not in row:
            raise ValueError(f"{self.table} has no column '{column}'; known: {', '.join(self.columns)}")
        if row[column] == "":
            raise ValueError(f"{self.table} gives no {column} for '{key}'")
        return float(row[column])

    def keys(self) -> tuple[str, ...]:
        """First column of every row, in the table's order."""
        return tuple(row[self.columns[0]] for row in self.rows)

    def _place(self, key: str) -> int:
        keys = self.keys()
        if key in keys:
            return keys.index(key)
        raise ValueError(f"{self.table} has no {self.columns[0]} '{key}'; {nearest(key, keys)}")


def nearest(word: str, known: Iterable[str]) -> str:
    """The end of a refusal: the known names most like ``word``, or all of them when none is.

    >>> nearest("exhaust-to-feul", ("exhaust-to-fuel", "line-to-tyre"))
    'nearest: exhaust-to-fuel'
    """
    names = tuple(known)
    near = difflib.get_close_matches(word, names, n=3, cutoff=0.5)
    return f"nearest: {', '.join(near)}" if near else f"known: {', '.join(names)}"


@cache
def table(name: str) -> Table:
    """The packaged table called ``name`` (its file name without ``.csv``).

    Raises
    ------
    ValueError
        when there is no such table, or its file breaks the form above

    >>> table("tube_gauge_bwg").number("16", "wall_in")
    0.065
    """
    home = files("trialfit.standards") / "tables"
    known = table_names()
    if name not in known:
        raise ValueError(f"no table is called '{name}'; {nearest(name, known)}")
    return read(name, (home / f"{name}.csv").read_text(encoding="utf-8"))


@cache
def table_names() -> tuple[str, ...]:
    """Every packaged table's name, sorted."""
    home = files("trialfit.standards") / "tables"
    return tuple(sorted(f.name.removesuffix(".csv") for f in home.iterdir() if f.name.endswith(".csv")))


def read(name: str, text: str) -> Table:
    """Read a table from its text.

    Raises
    ------
    ValueError
        when the header lacks a line, a row has another number of cells than the column names, or a key comes twice
    """
    lines = text.splitlines()
    head: dict[str, str] = {}
    while lines and lines[0].startswith("#"):
        word, _, rest = lines.pop(0).lstrip("# ").partition(":")
        head[word.strip()] = rest.strip()
    missing = [word for word in _MUST if not head.get(word)]
    if missing:
        raise ValueError(f"table {name} does not say its {', '.join(missing)}")
    cells = [row for row in csv.reader(lines) if row]
    if len(cells) < 3:
        raise ValueError(f"table {name} needs column names, a units row and values")
    columns = tuple(cells[0])
    for row in cells[1:]:
        if len(row) != len(columns):
            raise ValueError(f"table {name} has {len(row)} cells where {len(columns)} stand in its head: {row}")
    first = [row[0] for row in cells[2:]]
    if len(set(first)) != len(first) and name != "rules":
        raise ValueError(f"table {name} has the same {columns[0]} twice")
    return Table(
        name,
        head["source"],
        head["edition"],
        head["table"],
        head["status"],
        head.get("note", ""),
        columns,
        dict(zip(columns, cells[1], strict=True)),
        tuple(dict(zip(columns, row, strict=True)) for row in cells[2:]),
    )
