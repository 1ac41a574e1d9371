"""Checks from outside, run through the register exactly as the shell runs them.

A test that asks for ``outside_value`` gets every row of the ``values.csv`` beside it. A row names the sum, its inputs
as a builder types them, the value as it stands in the source, its unit, and the tolerance in that unit.
"""

import csv
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

import trialfit.driveline
import trialfit.exhaust.growth
import trialfit.geometry.bend
import trialfit.geometry.unroll
import trialfit.standards
import trialfit.structure  # noqa: F401
from trialfit import units
from trialfit.sums import find_sum, work

KINDS = {
    "published example",
    "standard's table",
    "another route to the answer",
    "common practice (no source)",
    "from memory",
}


@dataclass(frozen=True)
class Row:
    key: str
    sum: str
    inputs: str
    expected: float
    unit: str
    tolerance: float
    kind: str

    def __str__(self) -> str:
        return f"{self.key} {self.sum} {self.inputs}"


def rows_of(file: Path) -> list[Row]:
    lines = [line for line in file.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    found = [
        Row(r["key"], r["sum"], r["inputs"], float(r["expected"]), r["unit"], float(r["tolerance"]), r["kind"])
        for r in csv.DictReader(lines)
    ]
    assert found, f"{file} holds no values"
    for row in found:
        assert row.kind in KINDS, f"{file}: {row.kind}"
        assert row.tolerance <= 0.03 * abs(row.expected) or row.expected == 0.0, f"{file}: {row} tests nothing"
    return found


def shell_value(name: str, inputs: str, unit: str) -> float:
    """Work a sum from ``key=value; key=value`` and give the answer in ``unit``."""
    sum_ = find_sum(name)
    asks = {ask.key: ask for ask in sum_.asks}
    values: dict[str, float | str] = {}
    for part in inputs.split(";"):
        key, _, text = part.strip().partition("=")
        ask = asks[key]
        values[key] = text if ask.dimension == "text" else units.parse(text, ask.dimension).value
    return float(units.in_unit(work(sum_, values, {}).value, unit, sum_.dimension))


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "outside_value" in metafunc.fixturenames:
        rows = rows_of(Path(str(metafunc.module.__file__)).with_name("values.csv"))
        metafunc.parametrize("outside_value", rows, ids=str)


@pytest.fixture
def shell() -> Callable[[str, str, str], float]:
    return shell_value


@pytest.fixture
def agrees() -> Callable[[Row], None]:
    def check(row: Row) -> None:
        assert shell_value(row.sum, row.inputs, row.unit) == pytest.approx(row.expected, abs=row.tolerance, rel=0.0)

    return check


def beam_rates(
    stiffness: list[float], mass: list[float], lengths: list[float], held: set[int], lumps: dict[int, float]
) -> list[float]:
    """Natural rates [rad/s] of a beam of two-node cubic elements with consistent mass: a partner for the formulas.

    ``stiffness`` is E*I, ``mass`` the mass per length and ``lengths`` the length of each element, in one coherent
    system; ``held`` are the freedoms fixed (2n is the sideways movement of node n, 2n + 1 its turning), ``lumps`` maps
    a node to a mass on it.
    """
    import numpy as np

    size = 2 * (len(lengths) + 1)
    k, m = np.zeros((size, size)), np.zeros((size, size))
    for n, (ei, per, h) in enumerate(zip(stiffness, mass, lengths, strict=True)):
        at = slice(2 * n, 2 * n + 4)
        k[at, at] += ei / h**3 * np.array([
            [12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
            [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h],
        ])  # fmt: skip
        m[at, at] += per * h / 420 * np.array([
            [156, 22 * h, 54, -13 * h], [22 * h, 4 * h * h, 13 * h, -3 * h * h],
            [54, 13 * h, 156, -22 * h], [-13 * h, -3 * h * h, -22 * h, 4 * h * h],
        ])  # fmt: skip
    for node, lump in lumps.items():
        m[2 * node, 2 * node] += lump
    free = [i for i in range(size) if i not in held]
    squares = np.linalg.eigvals(np.linalg.solve(m[np.ix_(free, free)], k[np.ix_(free, free)]))
    return [float(r) for r in np.sqrt(np.sort(squares.real))]


@pytest.fixture
def beam() -> Callable[..., list[float]]:
    return beam_rates
