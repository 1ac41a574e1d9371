"""Numbers the trade or a regulation asks for, each with every version found, its origin, and the one in force."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

from trialfit.standards.table import nearest, table

ORIGINS: Mapping[str, str] = {
    "PUB": "printed in a regulation, inspection code or service manual",
    "TRADE": "a shop's or builder's figure",
    "STD": "a standard's figure",
    "CP": "common practice, no source",
    "CALC": "worked out from geometry or mechanics",
}
"""What the kind of a version says about where its figure comes from."""


@dataclass(frozen=True, slots=True)
class Version:
    """One figure for a rule: what to call it, the figure in ``unit``, a key of :data:`ORIGINS`, and its source."""

    label: str
    value: float
    unit: str
    kind: str
    source: str


@dataclass(frozen=True, slots=True)
class Rule:
    """A named number with all versions of it that were found. ``in_force`` is one of ``versions``."""

    name: str
    quantity: str
    versions: tuple[Version, ...]
    in_force: Version


def rule(name: str, choice: str | None = None) -> Rule:
    """The rule called ``name``, with the builder's choice of version in force, or the default one.

    Parameters
    ----------
    choice : str or None
        label of a version; capitals and doubled blanks do not matter

    Raises
    ------
    ValueError
        when no rule has that name, or no version that label; both name what is known

    >>> rule("shaft-to-tunnel").in_force.value
    19.0
    >>> rule("exhaust-to-fixed", "10 mm, a finger's width").in_force.value
    10.0
    """
    known = _rules()
    if name not in known:
        raise ValueError(f"no rule is called '{name}'; {nearest(name, known)}")
    found = known[name]
    if choice is None:
        return found
    for version in found.versions:
        if _same(version.label) == _same(choice):
            return replace(found, in_force=version)
    labels = "; ".join(v.label for v in found.versions)
    raise ValueError(f"rule {name} has no version '{choice}'; known: {labels}")


def all_rules() -> tuple[Rule, ...]:
    """Every rule with its default version in force, by name."""
    known = _rules()
    return tuple(known[name] for name in sorted(known))


def _same(label: str) -> str:
    return " ".join(label.split()).casefold()


@cache
def _rules() -> dict[str, Rule]:
    rows: dict[str, list[Mapping[str, str]]] = {}
    for row in table("rules").rows:
        rows.setdefault(row["name"], []).append(row)
    return {name: _rule(name, its) for name, its in rows.items()}


def _rule(name: str, rows: list[Mapping[str, str]]) -> Rule:
    versions = tuple(Version(r["label"], float(r["value"]), r["unit"], r["kind"], r["source"]) for r in rows)
    default = [v for v, r in zip(versions, rows, strict=True) if r["in_force"] == "yes"]
    labels = {_same(v.label) for v in versions}
    if len(default) != 1 or len(labels) != len(versions) or any(v.kind not in ORIGINS for v in versions):
        raise ValueError(f"rule {name} must have one version in force, labels that differ, and known origins")
    if len({r["quantity"] for r in rows}) != 1 or len({v.unit for v in versions}) != 1:
        raise ValueError(f"the versions of rule {name} must be about one quantity in one unit")
    return Rule(name, rows[0]["quantity"], versions, default[0])
