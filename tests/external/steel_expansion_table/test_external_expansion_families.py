"""Ranges of two families of stainless steel from another table (D05-30): austenitic 9 to 10.2, ferritic 5.8 to 6.0,
millionths per degF. Kind: standard's table. The half unit allows for rounding in the one table or the other."""

import pytest

from trialfit.standards import expansion_per_k


@pytest.mark.parametrize("metal,low,high", [("304", 9.0, 10.2), ("316", 8.8, 10.2), ("405", 5.8, 6.0)])
def test_family(metal, low, high):
    assert low - 0.05 <= expansion_per_k(metal) * 5.0 / 9.0 * 1e6 <= high + 0.05
