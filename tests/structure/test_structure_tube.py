"""Tubes: properties that hold for any size, and what is refused."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialfit.standards import modulus_mpa, shear_modulus_mpa
from trialfit.structure import tube_area, tube_mass, tube_mass_per_length, tube_second_moment, tube_torsional_stress
from trialfit.structure.tube import tube_twist
from trialfit.sums import find_sum, work

SIZES = st.tuples(st.floats(10.0, 200.0), st.floats(0.01, 0.5)).map(lambda t: (t[0], t[0] * t[1]))


@given(SIZES)
def test_area_is_what_is_left_of_the_round_bar(size):
    diameter, wall = size
    bore = diameter - 2.0 * wall
    hole = tube_area(bore, bore / 2.0) if bore > 0.0 else 0.0
    assert tube_area(diameter, wall) == pytest.approx(tube_area(diameter, diameter / 2.0) - hole, rel=1e-9, abs=1e-9)
    # mean circumference times wall, as EN 10220 has it
    assert tube_area(diameter, wall) == pytest.approx(math.pi * (diameter - wall) * wall, rel=1e-9)


@given(SIZES, st.floats(1.0, 5000.0), st.floats(0.1, 10.0))
def test_mass_scales_with_length_and_density(size, length, times):
    here = tube_mass(*size, length, 7850e-9)
    assert tube_mass(*size, length * times, 7850e-9) == pytest.approx(here * times)
    assert tube_mass(*size, length, 7850e-9 * times) == pytest.approx(here * times)
    assert tube_mass_per_length(*size, 7850e-9) * length == pytest.approx(here)


@given(SIZES, st.floats(1e3, 1e7), st.floats(100.0, 3000.0))
def test_twist_and_stress_tell_the_same_strain(size, torque, length):
    # the outer fibre's shear strain is twist * radius / length
    strain = tube_twist(torque, *size, length, 79300.0) * size[0] / 2.0 / length
    assert strain * 79300.0 == pytest.approx(tube_torsional_stress(torque, *size))


@pytest.mark.parametrize("diameter,wall", [(40.0, 2.0), (20.0, 10.0)])
def test_second_moment_by_summing_strips(diameter, wall):
    inner, outer, count = diameter / 2.0 - wall, diameter / 2.0, 20000
    step = 2.0 * outer / count
    total = 0.0
    for n in range(count):
        y = -outer + (n + 0.5) * step
        width = 2.0 * (math.sqrt(outer**2 - y**2) - (math.sqrt(inner**2 - y**2) if abs(y) < inner else 0.0))
        total += width * y * y * step
    assert tube_second_moment(diameter, wall) == pytest.approx(total, rel=1e-5)


@pytest.mark.parametrize("name,values,said", [
    ("tube-mass", {"diameter": 50.0, "wall": 26.0, "length": 1.0},
     "wall is 26 mm; it must be more than 0 mm and at most 25 mm"),
    ("tube-mass", {"diameter": 50.0, "wall": 0.0, "length": 1.0}, "wall is 0 mm"),
    ("tube-mass", {"diameter": -50.0, "wall": 1.0, "length": 1.0}, "diameter is -50 mm; it must be more than 0 mm"),
    ("tube-mass", {"diameter": 50.0, "wall": 1.0, "length": 0.0}, "length is 0 mm; it must be more than 0 mm"),
    ("tube-mass", {"diameter": 50.0, "wall": 1.0, "length": 1.0, "density": 0.0}, "density is 0 kg/m3"),
    ("tube-torsional-stress", {"torque": -1.0, "diameter": 50.0, "wall": 1.0}, "torque is -0.001 N*m"),
    ("tube-twist", {"torque": 1.0, "diameter": 50.0, "wall": 1.0, "length": 1.0, "shear_modulus": 0.0},
     "shear modulus is 0 GPa"),
    ("tube-mass", {"diameter": float("nan"), "wall": 1.0, "length": 1.0}, "diameter is no finite number"),
])  # fmt: skip
def test_refused(name, values, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        work(find_sum(name), values, {})


def test_doubt_of_the_wall_rules_the_doubt_of_the_mass():
    values = {"diameter": 63.5, "wall": 1.5, "length": 1000.0}
    result = work(find_sum("tube-mass"), values, {"wall": 0.1})
    assert result.sd is not None
    # mass goes nearly with the wall: 0.1 in 1.5
    assert result.sd / result.value == pytest.approx(0.1 / 1.5, rel=0.05)
    assert work(find_sum("tube-mass"), values, {}).sd is None


def test_a_solid_bar_may_carry_doubt():
    result = work(find_sum("tube-second-moment"), {"diameter": 20.0, "wall": 9.99}, {"diameter": 0.02})
    assert result.sd is not None
    assert result.sd / result.value == pytest.approx(4.0 * 0.02 / 20.0, rel=0.01)


def test_steel_is_what_a_tube_is_made_of_when_nothing_is_said():
    defaults = {ask.key: ask.default for ask in find_sum("tube-twist").asks}
    assert defaults["shear_modulus"] == shear_modulus_mpa("carbon-steel")
    assert {a.key: a.default for a in find_sum("tube-span-frequency").asks}["modulus"] == modulus_mpa("carbon-steel")
