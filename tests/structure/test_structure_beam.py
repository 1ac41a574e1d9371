"""Beams: roots, order of the end conditions, scaling, refusals."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialfit.structure import END_WORDS, end_number, lateral_rate_rad_s
from trialfit.sums import find_sum, work

CHARACTERISTIC = {
    "pinned": math.sin,
    "built-in": lambda x: math.cos(x) * math.cosh(x) - 1.0,
    "built-in-pinned": lambda x: math.tan(x) - math.tanh(x),
    "free": lambda x: math.cos(x) * math.cosh(x) + 1.0,
}


@pytest.mark.parametrize("ends", END_WORDS)
def test_end_number_is_a_root_of_its_frequency_equation(ends):
    # frequency equations of a uniform beam, from memory; a sign change shows that the root is simple
    root, equation = end_number(ends), CHARACTERISTIC[ends]
    assert abs(equation(root)) < 1e-12
    assert equation(root - 1e-6) * equation(root + 1e-6) < 0.0
    # and it is the first one: no sign change below it
    below = [equation(0.05 + n * (root - 0.1) / 500) for n in range(501)]
    assert all(b * below[0] > 0.0 for b in below) or ends == "built-in-pinned"


def test_stiffer_ends_ring_higher():
    numbers = [end_number(w) for w in ("free", "pinned", "built-in-pinned", "built-in")]
    assert numbers == sorted(numbers)


@given(st.floats(0.3, 3.0), st.sampled_from(END_WORDS))
def test_twice_as_long_rings_four_times_lower(length, ends):
    here = lateral_rate_rad_s(1e9, 1e-3, length * 1000.0, ends)
    assert lateral_rate_rad_s(1e9, 1e-3, length * 2000.0, ends) == pytest.approx(here / 4.0)
    assert lateral_rate_rad_s(4e9, 1e-3, length * 1000.0, ends) == pytest.approx(here * 2.0)


def test_a_strut_designed_for_a_load_buckles_at_it():
    values = {"load": 88e3, "length": 1500.0}
    d = work(find_sum("column-diameter"), values, {}).value
    load = work(find_sum("tube-buckling-load"), {"diameter": d, "wall": d / 2.0, "length": 1500.0}, {}).value
    assert load == pytest.approx(88e3)


TUBE = {"diameter": 50.0, "wall": 2.0, "length": 1000.0}


@pytest.mark.parametrize("name,values,said", [
    ("tube-span-frequency", {**TUBE, "ends": "loose"},
     "ends are 'loose'; write one of pinned, built-in, built-in-pinned, free"),
    ("tube-span-frequency", {**TUBE, "length": -1.0}, "length is -1 mm; it must be more than 0 mm"),
    ("cantilever-tip-frequency", {**TUBE, "tip_mass": -1.0}, "tip mass is -1 kg; it must be at least 0 kg"),
    ("tube-buckling-load", {**TUBE, "length": 500.0}, "the strut is too short for the formula"),
    ("tube-buckling-load", {**TUBE, "length": 3000.0, "end_factor": 5.0},
     "end factor is 5; it must lie between 0.25 and 4"),
    ("column-diameter", {"load": 0.0, "length": 1000.0}, "load is 0 N; it must be more than 0 N"),
])  # fmt: skip
def test_refused(name, values, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        work(find_sum(name), values, {})
