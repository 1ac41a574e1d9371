"""Every source that a sum, a table or a rule names stands in docs/sources.md."""

import importlib
import pkgutil
import re
from pathlib import Path

import pytest

import trialfit
from trialfit.standards import all_rules, table, table_names
from trialfit.sums import Sum, all_sums

DOCS = Path(__file__).parents[2] / "docs" / "sources.md"

for _room in pkgutil.walk_packages(trialfit.__path__, "trialfit."):
    if not _room.name.startswith(("trialfit.cli", "trialfit.web", "trialfit.sheets")):
        importlib.import_module(_room.name)

SUMS = all_sums()


def works() -> list[str]:
    rows = [line for line in DOCS.read_text(encoding="utf-8").splitlines() if line.startswith("|")]
    first = [row.split("|")[1].strip() for row in rows]
    return [name.casefold() for name in first if name not in {"work", ""} and not set(name) <= {"-"}]


def is_listed(source: str, listed: list[str]) -> bool:
    # one part may hold a further remark ("no friction"), but the source as a whole must name a listed work
    parts = [part.strip().casefold() for part in source.split(";")]
    return bool(parts[0]) and any(name in parts[0] for name in listed)


def test_the_page_lists_works_once_and_is_not_empty():
    listed = works()
    assert len(listed) > 40
    assert len(set(listed)) == len(listed)


@pytest.mark.parametrize("sum_", SUMS, ids=lambda s: s.name)
def test_source_of_each_sum(sum_: Sum):
    assert is_listed(sum_.source, works()), f"{sum_.name}: '{sum_.source}' is not in docs/sources.md"


@pytest.mark.parametrize("name", table_names())
def test_source_of_each_table(name: str):
    if name == "rules":
        assert table(name).source == "each row names its own"
    else:
        assert is_listed(table(name).source, works()), f"{name}: '{table(name).source}' is not in docs/sources.md"


@pytest.mark.parametrize("rule", all_rules(), ids=lambda r: r.name)
def test_source_of_each_version_of_a_rule(rule):
    for version in rule.versions:
        assert is_listed(version.source, works()), f"{rule.name}: '{version.source}' is not in docs/sources.md"


def test_a_source_that_is_nowhere_is_found_out():
    assert not is_listed("Handbook of Nothing, 3rd ed.", works())
    assert not is_listed("", works())


@pytest.mark.parametrize("text", [DOCS.read_text(encoding="utf-8"), *(s.source for s in SUMS)])
def test_no_web_address_stands_in_for_a_work(text: str):
    assert not re.search(r"https?:|www\.|\.(com|org|net|io)\b", text)
