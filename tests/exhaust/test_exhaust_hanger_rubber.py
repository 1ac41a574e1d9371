"""Rubber of hangers: ranges that widen where less is known."""

import pytest

from trialfit.exhaust.isolators import (
    DYNAMIC,
    Isolator,
    pad_isolator,
    rubber_shear_modulus,
    strand_isolator,
    unknown_isolator,
)


def test_harder_rubber_is_stiffer_and_hardness_out_of_range_is_refused():
    values = [rubber_shear_modulus(float(s)) for s in range(20, 81, 5)]
    assert values == sorted(values)
    for shore in (10.0, 90.0):
        with pytest.raises(ValueError, match="hardness"):
            rubber_shear_modulus(shore)


def test_a_strand_is_stiffer_along_than_across_and_twice_the_strands_twice_as_stiff():
    two, four = (strand_isolator("r", 60.0, 150.0, 35.0, 50.0, strands=n) for n in (2.0, 4.0))
    for end in (0, 1):
        x, y, z = two.stiffness_n_mm(end)
        assert x == y < z
        assert four.stiffness_n_mm(end) == pytest.approx((2 * x, 2 * y, 2 * z))
        assert two.shaken_n_mm(end)[2] == pytest.approx(DYNAMIC[end] * z)


def test_a_flat_pad_is_much_stiffer_in_push_than_in_shear():
    flat, thick = (pad_isolator("p", 50.0, 900.0, t, 40.0) for t in (8.0, 30.0))
    assert flat.y_n_mm[1] / flat.z_n_mm[1] > thick.y_n_mm[1] / thick.z_n_mm[1] > 3.0


def test_rubber_that_nobody_measured_says_so():
    rubber = unknown_isolator(45.0)
    assert not rubber.known
    assert rubber.z_n_mm[1] >= 5.0 * rubber.z_n_mm[0]
    assert rubber.most_n is None


def test_a_range_the_wrong_way_round_is_refused():
    with pytest.raises(ValueError, match="stiffness of r"):
        Isolator("r", (5.0, 2.0), (1.0, 2.0), (1.0, 2.0), 40.0)
