"""Shigley's Mechanical Engineering Design, 9th ed.: table A-5 (D02-23, D02-24, D02-26), table 8-15 (D06-22), example
8-7 (D10-10, by adding vectors). Kinds: standard's table, published example, another route to the answer.
"""

import math

import numpy as np
import pytest

from trialfit.standards import modulus_mpa, shear_modulus_mpa, table, torque_factor


@pytest.mark.parametrize("material,printed", [
    ("aluminium", (71.0, 26.2, 0.334, 26.6)), ("stainless", (190.0, 73.1, 0.305, 76.0)),
])  # fmt: skip
def test_table_a5(material, printed):
    row = table("materials")
    assert tuple(row.number(material, c) for c in ("e_gpa", "g_gpa", "poisson", "unit_weight_kn_m3")) == printed


@pytest.mark.parametrize("material", table("materials").keys())
def test_shear_modulus_agrees_with_poisson(material):
    # D02-26: within 2 %; another route to the answer
    poisson = table("materials").number(material, "poisson")
    assert shear_modulus_mpa(material) == pytest.approx(modulus_mpa(material) / (2.0 * (1.0 + poisson)), rel=0.02)


def test_specific_stiffness_of_steel_and_aluminium():
    # D02-27
    row = table("materials")
    steel, light = (row.number(m, "e_gpa") / row.number(m, "unit_weight_kn_m3") for m in ("carbon-steel", "aluminium"))
    assert steel / light == pytest.approx(1.0138, abs=0.001)


@pytest.mark.parametrize(
    "finish,printed", [("plain-black", 0.3), ("zinc", 0.2), ("lubricated", 0.18), ("cadmium", 0.16)]
)
def test_table_8_15(finish, printed):
    assert torque_factor(finish) == printed


def test_example_8_7(shell):
    # V = 16 kN down, M = 6800 N.m, four bolts at (+-75, +-60) mm
    radius, printed = math.hypot(75.0, 60.0), {21.0: 0, 14.8: 0}
    for x, y in ((75, 60), (75, -60), (-75, 60), (-75, -60)):
        direct, turned = np.array([0.0, -1.0]), np.array([y, -x]) / radius
        between = math.degrees(math.acos(direct @ turned))
        told = shell(
            "bolt-group-load", f"force=16 kN; moment=6800 N*m; radius={radius} mm; count=4; between={between} deg", "kN"
        )
        by_vectors = np.linalg.norm(16.0 / 4.0 * direct + 6800.0 / (4.0 * radius) * turned)
        assert told == pytest.approx(by_vectors, rel=1e-9)
        near = min(printed, key=lambda value: abs(value - told))
        assert told == pytest.approx(near, abs=0.06)
        printed[near] += 1
    assert printed == {21.0: 2, 14.8: 2}
