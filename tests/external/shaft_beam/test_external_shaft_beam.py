"""The beam model of a shaft against closed forms, textbook examples and two other routes.

Works: Mechanical Engineer's Data Handbook, p. 45 (uniform shafts: 1.57, 3.57, 0.56); Shigley's Mechanical Engineering
Design, 9th ed., example 7-5 (two weights on a shaft: 35 lbf at 7 in, 55 lbf at 20 in, span 31 in; method printed,
124.8 rad/s by Rayleigh from memory and recomputed); worked question 9.6 on a stepped shaft (deflection 3 W L^3 / (256 E
I) printed, 3383 rpm); a textbook problem of a 48 in steel tube, whose printed 5800 rpm is wrong: its own inputs give
8262 rpm. Kinds: standard's table; from memory; published example; another route to the answer (own elements of the
checks, frequency equations solved by scipy).
"""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from trialfit.driveline.whirl import tube_torsion_buckling
from trialfit.driveline.whirl_model import Lump, Piece, Stretch, Support, tube_piece, whirl

pytest.importorskip("skfem", reason="scikit-fem is an extra")
RPM = 30.0 / math.pi
KG_MM = 1e-6 * 7850.0 * 1e-3  # mass per length for 1 mm2 of steel


def test_value_of_shaft_beam(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    assert tube_torsion_buckling
    agrees(outside_value)


def _tube(outside: float, wall: float, modulus: float, density: float) -> tuple[float, float]:
    inside = outside - 2.0 * wall
    return (modulus * math.pi / 64.0 * (outside**4 - inside**4), density * math.pi / 4.0 * (outside**2 - inside**2))


def test_printed_constant_of_a_uniform_shaft():
    stiffness, mass = _tube(76.2, 2.1, 207e3, 7850e-9)
    told = whirl((Piece((Stretch(1300.0, stiffness, mass),), (), (Support(0.0), Support(1300.0))),))
    root = math.sqrt(stiffness * 1e3 / (mass * 1300.0**4))
    assert told.first_rad_s / math.tau / root == pytest.approx(1.57, abs=0.002)
    # higher rates of pinned ends go with the squares of 1, 2, 3 (beam theory)
    assert told.rates_rad_s[1] / told.first_rad_s == pytest.approx(4.0, rel=2e-4)
    assert told.rates_rad_s[2] / told.first_rad_s == pytest.approx(9.0, rel=1e-3)
    np.testing.assert_allclose(told.shape, np.sin(math.pi * told.at_mm / 1300.0), atol=2e-4)


def test_textbook_problem_with_its_right_answer():
    # D02-01 prints 5800 rpm, D02-03 is 8262.3 from the same inputs
    stiffness, mass = _tube(76.2, 3.175, 29e6 * 6.894757e-3, 0.00883 * 14.593903 / 25.4**3)
    told = whirl((Piece((Stretch(48 * 25.4, stiffness, mass),), (), (Support(0.0), Support(48 * 25.4))),))
    assert told.first_rad_s * RPM == pytest.approx(8262.3, abs=5.0)


def test_stepped_shaft_with_a_weight_in_the_middle():
    # D02-15: W = 400 N, L = 1 m, I = 0.3e-6 m4 and twice that in the middle half, E = 200 GPa, the shaft light
    ends, middle = Stretch(250.0, 200e3 * 0.3e6, 1e-8), Stretch(500.0, 200e3 * 0.6e6, 1e-8)
    piece = Piece((ends, middle, ends), (Lump(500.0, 400.0 / 9.80665),), (Support(0.0), Support(1000.0)))
    assert whirl((piece,)).first_rad_s * RPM == pytest.approx(3383.0, rel=2e-3)


def test_shigley_example_7_5_two_weights():
    inch, lbf = 25.4, 4.4482216152605
    stiffness = 30e6 * 6.894757e-3 * math.pi / 64.0 * inch**4
    lumps = tuple(Lump(at * inch, w * lbf / 9.80665) for at, w in ((7.0, 35.0), (20.0, 55.0)))
    piece = Piece((Stretch(31.0 * inch, stiffness, 1e-9),), lumps, (Support(0.0), Support(31.0 * inch)))
    told = whirl((piece,)).first_rad_s
    # by superposition 120.4 (low), by Rayleigh 124.8 (high): the true one lies between
    assert 120.4 < told < 124.8
    # D02-14: the bare shaft, 520.4 rad/s
    bare = Piece((Stretch(31.0 * inch, stiffness, 0.282 * 0.45359237 / inch**3 * math.pi / 4.0 * inch**2),), (),
                 (Support(0.0), Support(31.0 * inch)))  # fmt: skip
    assert whirl((bare,)).first_rad_s == pytest.approx(520.4, abs=1.0)


def _springs_at_both_ends(share: float) -> float:
    """Root of the frequency equation of a free beam on a spring k = share * E I / L^3 at each end, first even shape."""

    # even shape: cos + b cosh about the middle; no bending at the ends, shear there is the spring's force
    def off(x: float) -> float:
        h = x / 2.0
        b = math.cos(h) / math.cosh(h)
        shear = x**3 * (math.sin(h) + b * math.sinh(h))
        return shear - share * (math.cos(h) + b * math.cosh(h))

    return float(brentq(off, 1e-3, math.pi - 1e-9))


@pytest.mark.parametrize("share", [0.5, 5.0, 50.0, 500.0, 5000.0])
def test_give_at_the_ends_by_the_frequency_equation(share):
    stiffness, mass, length = *_tube(76.2, 2.1, 207e3, 7850e-9), 1400.0
    spring = share * stiffness / length**3
    told = whirl((Piece((Stretch(length, stiffness, mass),), (), (Support(0.0, spring), Support(length, spring))),))
    root = _springs_at_both_ends(share)
    rates = [root**2 * math.sqrt(stiffness * 1e3 / (mass * length**4))]
    # a soft pair also lets the shaft tilt: odd shape, bounded from below by the rigid tilt
    assert min(told.rates_rad_s[:2], key=lambda r: abs(r - rates[0])) == pytest.approx(rates[0], rel=1e-5)


@pytest.mark.parametrize("share", [0.0, 0.2, 1.0])
def test_weight_in_the_middle_by_the_frequency_equation(share):
    # even shape of pinned halves: sin and sinh from the end, slope nought in the middle, half the weight's force there
    stiffness, mass, length = *_tube(63.5, 1.65, 207e3, 7850e-9), 1200.0
    lump = share * mass * length

    def off(x: float) -> float:
        h = x / 2.0
        b = -math.cos(h) / math.cosh(h)
        # shear of the half at the middle = half the weight * rate^2 * movement; all over E I (x / L)^3
        shear = math.cos(h) - b * math.cosh(h)
        return shear - 0.5 * share * x * (math.sin(h) + b * math.sinh(h))

    root = float(brentq(off, 1.0, math.pi + 1e-9))
    piece = Piece((Stretch(length, stiffness, mass),), (Lump(600.0, lump),), (Support(0.0), Support(length)))
    rate = root**2 * math.sqrt(stiffness * 1e3 / (mass * length**4))
    assert whirl((piece,)).first_rad_s == pytest.approx(rate, rel=2e-5)


def test_tube_with_yokes_by_the_elements_of_the_checks(beam):
    piece = tube_piece(76.2, 2.108, 1400.0, 207e3, 7850e-9, yokes_kg=(1.2, 0.8), yoke_length_mm=70.0)
    stiffness, mass = _tube(76.2, 2.108, 207e3, 7850e-9)
    parts = [(70.0, 1.2 / 70.0), (630.0, 0.0), (630.0, 0.0), (70.0, 0.8 / 70.0)]
    cut = [(length / 12.0, mass + extra) for length, extra in parts for _ in range(12)]
    rate = beam([stiffness * 1e3] * 48, [m for _, m in cut], [h for h, _ in cut], {0, 96}, {})[0]
    assert whirl((piece,)).first_rad_s == pytest.approx(rate, rel=2e-5)
    assert rate < whirl((tube_piece(76.2, 2.108, 1400.0, 207e3, 7850e-9),)).first_rad_s


def test_two_pieces_held_at_the_joint_whirl_each_for_itself():
    # with the middle joint held hard no bending passes: the longer piece's closed form is the first rate
    a = tube_piece(63.5, 2.108, 700.0, 207e3, 7850e-9)
    b = tube_piece(63.5, 2.108, 950.0, 207e3, 7850e-9)
    told = whirl((Piece(a.stretches, (), (Support(0.0), Support(700.0))), Piece(b.stretches, (), (Support(950.0),))))
    stiffness, mass = _tube(63.5, 2.108, 207e3, 7850e-9)
    for rate, length in zip(told.rates_rad_s, (950.0, 700.0), strict=False):
        assert rate == pytest.approx(math.pi**2 * math.sqrt(stiffness * 1e3 / (mass * length**4)), rel=5e-5)


def test_soft_centre_bearing_by_two_rigid_bars():
    # a soft rubber under two stiff bars joined at the bearing: mass of two bars swinging about their far ends
    stiff, mass, spring = 1e16, 0.003, 50.0
    first = Piece((Stretch(600.0, stiff, mass),), (), (Support(0.0), Support(600.0, spring)))
    second = Piece((Stretch(900.0, stiff, mass),), (), (Support(900.0),))
    swung = mass * (600.0 + 900.0) / 3.0
    assert whirl((first, second)).first_rad_s == pytest.approx(math.sqrt(spring * 1e3 / swung), rel=1e-4)
