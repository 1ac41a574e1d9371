"""Shigley's Mechanical Engineering Design, solutions manual, 8th ed., problems 8-22 and 8-24 with 8-26: whole joints
from thickness to load factor, each step fed by the one before. Kind: published example, seen.
"""

import math

import pytest

from trialfit.structure import ClampedLayer, bolt_preload, bolt_stiffness, joint_stiffness_constant
from trialfit.structure.bolted_joint import bolt_load_factor
from trialfit.structure.clamped_stack import member_stiffness_n_mm, standard_thread_length_mm

GPA, PSI, INCH = 1000.0, 6.894757293168361e-3, 25.4
KIP = 4448.2216152605


def joint_of(layers, d, area, length, system, proof, load, modulus, face):
    grip = sum(layer.thickness_mm for layer in layers)
    plain = length - standard_thread_length_mm(d, length, system)
    bolt = bolt_stiffness(d, area, plain, grip - plain, modulus)
    share = joint_stiffness_constant(bolt, member_stiffness_n_mm(layers, d, face))
    preload = bolt_preload(area, proof, 0.75)
    return share, preload, bolt_load_factor(preload, load, share, area, proof)


def test_problem_8_22():
    # ten M12 8.8 bolts 60 mm long, 20 mm of steel on 25 mm of cast iron, 6 MPa on 150 mm
    layers = (ClampedLayer("head", 20.0, 207 * GPA), ClampedLayer("cylinder", 25.0, 100 * GPA))
    load = math.pi / 4.0 * 150.0**2 * 6.0 / 10.0
    assert load == pytest.approx(10600.0, abs=10.0)
    share, preload, factor = joint_of(layers, 12.0, 84.3, 60.0, "metric", 600.0, load, 207 * GPA, 18.0)
    assert share == pytest.approx(0.253, abs=0.0006)
    assert preload == pytest.approx(37900.0, abs=60.0)
    assert factor == pytest.approx(4.73, abs=0.02)


def test_problem_8_23_with_its_slip_of_the_pen_mended():
    # cap screw through 20 mm of steel, 6 mm of cast iron in the grip; the manual adds up 55 620 where it found 15 620
    layers = (ClampedLayer("head", 20.0, 207 * GPA), ClampedLayer("block", 6.0, 100 * GPA))
    by_its_frusta = 1.0 / (1.0 / 5316.0 + 1.0 / 15620.0 + 1.0 / 3887.0)
    assert member_stiffness_n_mm(layers, 12.0, 18.0) / 1000.0 == pytest.approx(by_its_frusta, rel=0.001)


def test_problems_8_24_and_8_26():
    # ten 1/2-13 grade 5 bolts 1 3/4 in long, washer under the nut; frusta of 8-24, load of 8-26
    layers = (ClampedLayer("steel", 0.5 * INCH, 30e6 * PSI), ClampedLayer("iron", 0.625 * INCH, 14.5e6 * PSI),
              ClampedLayer("washer", 0.095 * INCH, 30e6 * PSI, washer=True))
    load = math.pi / 4.0 * 4.25**2 * 1.5 / 10.0 * KIP
    share, preload, factor = joint_of(layers, 0.5 * INCH, 0.1419 * INCH**2, 1.75 * INCH, "unified", 85e3 * PSI, load,
                                      30e6 * PSI, 0.75 * INCH)
    assert share == pytest.approx(0.267, abs=0.0006)
    assert preload / KIP == pytest.approx(9.046, abs=0.001)
    assert factor == pytest.approx(5.31, abs=0.02)


@pytest.mark.parametrize("diameter,length,system,printed", [
    (12.0, 60.0, "metric", 30.0), (12.7, 44.45, "unified", 31.75),
    # a solved question: 5/8-11 x 2 1/4 has 1.5 in of thread, M10 x 40 has 26 mm
    (15.875, 57.15, "unified", 38.1), (10.0, 40.0, "metric", 26.0),
])  # fmt: skip
def test_length_of_thread(diameter, length, system, printed):
    assert standard_thread_length_mm(diameter, length, system) == pytest.approx(printed)
