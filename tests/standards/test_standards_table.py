"""The packaged tables: form, refusals, nothing interpolated."""

import re

import pytest

from trialfit.standards import nearest, table, table_names
from trialfit.standards.table import read

HEAD = "# source: a\n# edition: b\n# table: c\n# status: d\n"


@pytest.mark.parametrize("name", table_names())
def test_every_table_says_where_it_comes_from(name):
    found = table(name)
    assert all((found.source, found.edition, found.table, found.status))
    assert found.rows
    assert len(found.units) == len(found.columns)
    for row in found.rows:
        for column, unit in found.units.items():
            # a column with a unit holds numbers only
            if unit not in {"-", "as unit"} and row[column] != "":
                float(row[column])


@pytest.mark.parametrize("name", [n for n in table_names() if n != "rules"])
def test_keys_are_unique(name):
    keys = table(name).keys()
    assert len(set(keys)) == len(keys)


def test_an_unknown_row_is_refused_with_the_nearest():
    with pytest.raises(ValueError, match=r"tube wall by BWG has no gauge '17'; nearest: 1"):
        table("tube_gauge_bwg").row("17")
    with pytest.raises(ValueError, match="has no material 'alumnium'; nearest: aluminium"):
        table("materials").row("alumnium")


def test_an_unknown_table_and_column_are_refused():
    with pytest.raises(ValueError, match="no table is called 'material'; nearest: materials"):
        table("material")
    with pytest.raises(ValueError, match="has no column 'wall'; known: gauge, wall_in, wall_mm"):
        table("tube_gauge_bwg").number("16", "wall")


def test_an_empty_cell_is_unknown_and_not_nought():
    with pytest.raises(ValueError, match="c gives no b for 'x'"):
        read("t", HEAD + "a,b\n-,mm\nx,\n").number("x", "b")


@pytest.mark.parametrize("text,said", [
    ("a,b\n-,-\n1,2\n", "does not say its source, edition, table, status"),
    ("# source: a\n# edition:\n# table: c\n# status: d\na,b\n-,-\n1,2\n", "does not say its edition"),
    (HEAD + "a,b\n-,-\n", "needs column names, a units row and values"),
    (HEAD + "a,b\n-,-\n1,2,3\n", "has 3 cells where 2 stand in its head"),
    (HEAD + "a,b\n-,-\n1,2\n1,3\n", "has the same a twice"),
])  # fmt: skip
def test_a_broken_table_is_refused(text, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        read("t", text)


def test_nothing_near_names_everything():
    assert nearest("zzz", ("16", "18")) == "known: 16, 18"
