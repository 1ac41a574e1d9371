"""Limits of chance against a general library of distributions."""

import math

import pytest
from scipy import stats

from trialfit.estimation import global_test, left_out, normal_limit, smallest_showing, tau_limit


@pytest.mark.parametrize("freedom", [1, 5, 40, 1100])
def test_global_limits(freedom):
    """Kind: reference library."""
    test = global_test(float(freedom), freedom)
    assert test.low == pytest.approx(stats.chi2.ppf(0.025, freedom))
    assert test.high == pytest.approx(stats.chi2.ppf(0.975, freedom))
    assert test.sigma0 == pytest.approx(1.0)
    assert not test.too_wide
    assert global_test(test.high * 1.01, freedom).too_wide
    assert global_test(test.low * 0.99, freedom).too_close


@pytest.mark.parametrize("chance", [0.5, 0.05, 0.001])
def test_normal_limit(chance):
    assert 2 * stats.norm.sf(normal_limit(chance)) == pytest.approx(chance)


@pytest.mark.parametrize("freedom, of", [(3, 1), (10, 60), (200, 2000)])
def test_tau_shares_its_chance(freedom, of):
    each = 1 - 0.95 ** (1 / of)
    assert 2 * stats.t.sf(left_out(tau_limit(freedom, 0.05, of), freedom), freedom - 1) == pytest.approx(each, rel=1e-6)


def test_smallest_showing_blunder():
    """A blunder of that size does show in 80 of 100: non-central normal of the library."""
    size = smallest_showing(2.0, 0.4)
    shift = size * math.sqrt(0.4) / 2.0
    assert stats.norm.sf(normal_limit(0.001) - shift) == pytest.approx(0.8, abs=1e-6)
    assert smallest_showing(2.0, 0.0) == math.inf


@pytest.mark.parametrize(
    "call",
    [
        lambda: normal_limit(0.0),
        lambda: tau_limit(1),
        lambda: tau_limit(5, 0.05, 0),
        lambda: left_out(3.0, 5),
        lambda: global_test(-1.0, 3),
        lambda: global_test(1.0, -1),
        lambda: smallest_showing(1.0, 0.5, 1.5),
    ],
)
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError, match=r"not|negative|between"):
        call()
