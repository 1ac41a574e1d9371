"""Bores of hose and tube by dash number, from two suppliers' charts and AN924. Kind of check: standard's table."""

from collections.abc import Callable
from typing import Any

import pytest

import trialfit.standards.tube_sizes  # noqa: F401
from trialfit.standards.hose_ends import hose_types


def test_value_of_hose_lists(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)


@pytest.mark.parametrize("hose,bore_mm,psi", [
    ("30R7", 9.525, 50.0), ("30R7", 12.7, 35.0), ("30R9", 7.9, 180.0), ("30R14", 7.9, 50.0), ("J189", 12.7, 100.0),
])  # fmt: skip
def test_pressure_of_hose_on_a_clamp(hose, bore_mm, psi):
    """30R7 and 30R9: a hose maker's text; 30R14: owners' accounts; J189: scope of SAE J189 (D08-17, D08-18)."""
    assert hose_types()[hose].limit_mpa(bore_mm) == pytest.approx(psi / 145.0377, rel=1e-4)


def test_return_hose_pressure_in_the_standards_own_unit():
    assert hose_types()["J189"].pressure_mpa == pytest.approx(0.69, abs=0.005)
