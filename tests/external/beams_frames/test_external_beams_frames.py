"""The exhaust as beams on springs against textbook beams, printed natural frequencies and a library's own analysis.

Works: W. T. Thomson, Vibration Theory and Applications, 1965 (cantilever of 80 in, E = 30e6 psi, I = 1.3333 in4, 1.124
lb/in, as quoted: 10.247, 64.221 and 179.82 Hz; published example); Mechanical Engineer's Data Handbook, p. 45 (1.57,
3.57, 0.56; standard's table); check rows D10-04 (tip mass, 33/140 rule) and D10-05 (pinned pipe); Shigley's Mechanical
Engineering Design, 9th ed., example 8-7 (worst bolt 21.0 kN; published example); P. B. Lindley, Engineering Design with
Natural Rubber (table of moduli by hardness, from memory); Th. von Karman, 1911 (first term of the flexibility of a thin
bend, from memory); beam formulas of handbooks (from memory); PyNiteFEA (reference library).
"""

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad

from trialfit.exhaust.chain import Chain, Element
from trialfit.exhaust.hanger_rod import Bracket, RodShape, bracket_load, bracket_weld_stress, rod_give, rod_to
from trialfit.exhaust.hanging import (
    Grip,
    OutletHold,
    answers,
    bend_flexibility,
    frame_of,
    modes_hz,
    moments_of,
    reach_of,
)
from trialfit.exhaust.isolators import shear_modulus_range_mpa

pytest.importorskip("Pynite", reason="PyNiteFEA is an extra")

E, G, RHO, GRAVITY = 207e3, 79.3e3, 7850e-9, 9.80665
D, T = 63.5, 1.5
AREA = math.pi * (D - T) * T
SECOND = math.pi / 64.0 * (D**4 - (D - 2.0 * T) ** 4)
FREE = np.zeros((3, 3))


def test_value_of_beams_frames(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    assert bracket_load
    agrees(outside_value)


def straight(length: float, outside: float = D, wall: float = T, start: float = 0.0) -> Element:
    way = np.array([1.0, 0.0, 0.0])
    kg = RHO * math.pi * (outside - wall) * wall * length
    ends = start * way, (start + length) * way
    return Element("straight", "straight", start, length, *ends, way, way, outside, wall, kg)


def pipe(length: float) -> Chain:
    return Chain("pipe", (straight(length),), ())


def grip(at: float, off: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> Grip:
    return Grip(at, np.array([at, 0.0, 0.0]) + np.array(off), FREE)


def springs(*rows: tuple[float, float, float]) -> np.ndarray:
    return np.array(rows)


def natural(length: float, held: OutletHold | None = None, at: tuple[Grip, ...] = (), stiff: Any = None) -> np.ndarray:
    reach = reach_of(frame_of(pipe(length), [g.at_mm for g in at], held), at, [0.0])
    if not at:
        return np.sqrt(reach.rates) / math.tau
    return modes_hz(reach, range(len(at)), stiff)


def root(length: float) -> float:
    return math.sqrt(E * SECOND * 1e3 / (RHO * AREA * length**4))


def test_printed_frequencies_of_a_cantilever():
    # 30e6 psi, 1.3333 in4, 1.124 lb/in at 386.4 in/s2, 80 in
    printed = math.sqrt(30e6 * 1.3333 * 386.4 / (1.124 * 80.0**4))
    told = natural(3000.0)[::2]  # each bends both ways
    for ours, theirs in zip(told, (10.247, 64.221, 179.82)):
        assert ours / root(3000.0) == pytest.approx(theirs / printed, rel=2e-3)


def test_constant_of_a_handbook_for_one_end_held():
    assert natural(1250.0)[0] / root(1250.0) == pytest.approx(0.56, abs=0.002)


PINNED = OutletHold(1e7, 1e7, 1e2, 1e9)


def test_pipe_on_two_pins():
    # D10-05: 117.67 Hz at 190 GPa, 1.2 m; handbook constant 1.57
    told = natural(1200.0, held=PINNED, at=(grip(1200.0),), stiff=springs((1e-3, 1e7, 1e7)))
    assert told[0] * math.sqrt(190.0 / 207.0) == pytest.approx(117.67, rel=2e-3)
    assert told[0] / root(1200.0) == pytest.approx(1.57, abs=0.004)


def test_handbook_constant_for_both_ends_built_in():
    # two stiff grips close to the end hold it as if built in
    at = (grip(1200.0), grip(1210.0))
    told = natural(1210.0, at=at, stiff=springs((1e-3, 1e9, 1e9), (1e-3, 1e9, 1e9)))
    assert told[0] / root(1200.0) == pytest.approx(3.57, rel=0.015)


def test_weight_on_the_end_of_a_cantilever():
    # D10-04: 20.822 Hz; the weight as a clamp joint of 2 mm
    tube = straight(499.0, 31.75, 1.65)
    way = np.array([1.0, 0.0, 0.0])
    joint = Element("weight", "joint", 499.0, 2.0, 499.0 * way, 501.0 * way, way, way, 31.75, 1.65, 5.0, width_mm=1.0,
                    height_mm=1.0)
    frame = frame_of(Chain("pipe", (tube, joint), ()))
    assert math.sqrt(reach_of(frame, (), [0.0]).rates[0]) / math.tau == pytest.approx(20.822, rel=2e-3)


def hung(length: float, stiff: float, at: float | None = None):
    at = length if at is None else at
    reach = reach_of(frame_of(pipe(length), [at]), (grip(at),), [0.0])
    return reach, answers(reach, np.array([[0]]), springs((1e-6, 1e-6, stiff)), np.zeros((1, 3)))


def test_propped_cantilever_under_its_weight():
    # 3/8 of the weight on the prop, w L^2 / 8 at the wall
    length = 2000.0
    weight = RHO * AREA * length * GRAVITY
    reach, got = hung(length, 1e9)
    assert got.weight_n[0, 0, 2] == pytest.approx(0.375 * weight, rel=1e-4)
    still, _ = moments_of(reach, got.weight_n, got.growth_n, 1.0)
    assert still[0, 0] == pytest.approx(weight * length / 8.0, rel=1e-3)
    # greatest sag w L^4 / (185 E I)
    assert got.sag_mm[0] == pytest.approx(weight * length**3 / (185.0 * E * SECOND), rel=0.01)


@pytest.mark.parametrize("share", [0.1, 1.0, 6.0, 100.0])
def test_cantilever_whose_end_rests_on_a_spring(share):
    # force method: (w L^4 / 8 E I) / (1 / k + L^3 / 3 E I)
    length = 1500.0
    stiff = share * E * SECOND / length**3
    load = RHO * AREA * GRAVITY
    expected = load * length**4 / (8.0 * E * SECOND) / (1.0 / stiff + length**3 / (3.0 * E * SECOND))
    assert hung(length, stiff)[1].weight_n[0, 0, 2] == pytest.approx(expected, rel=1e-4)


def test_prop_part_way_along():
    # unit-load table: deflection at a of a cantilever in even load, w a^2 (6 L^2 - 4 L a + a^2) / 24 E I
    length, at = 2000.0, 1400.0
    load = RHO * AREA * GRAVITY
    free = load * at**2 * (6.0 * length**2 - 4.0 * length * at + at**2) / (24.0 * E * SECOND)
    expected = free / (at**3 / (3.0 * E * SECOND))
    assert hung(length, 1e9, at)[1].weight_n[0, 0, 2] == pytest.approx(expected, rel=1e-4)


def test_end_pushed_aside_by_growth():
    # 3 E I d / L^3
    reach = reach_of(frame_of(pipe(900.0), [900.0]), (grip(900.0),), [0.0])
    got = answers(reach, np.array([[0]]), springs((1e-6, 1e9, 1e-6)), np.array([[0.0, 2.0, 0.0]]))
    assert -got.growth_n[0, 0, 1] == pytest.approx(3.0 * E * SECOND * 2.0 / 900.0**3, rel=1e-4)


def quarter(soft: bool) -> tuple[Any, float]:
    """A quarter circle in the level plane, held at one end."""
    radius = 400.0
    turn = 0.5 * math.pi
    kg = RHO * AREA * radius * turn
    bend = Element("bend", "bend", 0.0, radius * turn, np.zeros(3), np.array([radius, radius, 0.0]),
                   np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), D, T, kg, radius_mm=radius, turn_rad=turn)
    frame = frame_of(Chain("pipe", (bend,), ()), [radius * turn], soft_bends=soft)
    at = Grip(radius * turn, np.array([radius, radius, 0.0]), FREE)
    return reach_of(frame, (at,), [0.0]), radius


def test_quarter_circle_loaded_across_its_plane():
    # handbook: P R^3 (pi/4 / E I + (3 pi/4 - 2) / G J)
    reach, radius = quarter(False)
    expected = radius**3 * (math.pi / 4.0 / (E * SECOND) + (0.75 * math.pi - 2.0) / (G * 2.0 * SECOND))
    assert reach.give[2, 2] == pytest.approx(expected, rel=5e-3)


def test_quarter_circle_loaded_in_its_plane():
    # along the chord's two ways: R^3 / E I times the integrals of the squared arms
    reach, radius = quarter(False)
    along_x = quad(lambda a: (1.0 - (1.0 - math.cos(a))) ** 2, 0.0, 0.5 * math.pi)[0]
    along_y = quad(lambda a: (1.0 - math.sin(a)) ** 2, 0.0, 0.5 * math.pi)[0]
    pull = radius * math.pi / 4.0 / (E * AREA)
    assert reach.give[0, 0] == pytest.approx(along_x * radius**3 / (E * SECOND) + pull, rel=5e-3)
    assert reach.give[1, 1] == pytest.approx(along_y * radius**3 / (E * SECOND) + pull, rel=5e-3)


def test_a_thin_bend_is_softer_by_its_factor():
    stiff, radius = quarter(False)
    soft, _ = quarter(True)
    factor = bend_flexibility(D, T, radius, "smooth")
    assert factor > 2.5
    assert soft.give[0, 0] / stiff.give[0, 0] == pytest.approx(factor, rel=5e-3)


@pytest.mark.parametrize("h", [0.34, 0.4, 0.5, 0.6])
def test_factor_of_a_bend_against_the_first_theory_of_it(h):
    # (10 + 12 h^2) / (1 + 12 h^2), good from about h = 0.33 on
    radius = h * (0.5 * (D - T)) ** 2 / T
    first = (10.0 + 12.0 * h**2) / (1.0 + 12.0 * h**2)
    assert bend_flexibility(D, T, radius, "smooth") == pytest.approx(first, rel=0.04)


LINDLEY = {35.0: 0.37, 40.0: 0.45, 45.0: 0.54, 50.0: 0.64, 55.0: 0.81, 60.0: 1.06, 65.0: 1.37, 70.0: 1.73}


@pytest.mark.parametrize("shore", LINDLEY)
def test_range_of_rubber_holds_the_handbook_table(shore):
    low, high = shear_modulus_range_mpa(shore)
    assert low < LINDLEY[shore] < high
    assert high < 3.2 * low


def test_worst_bolt_of_a_textbook_group():
    # 16 kN at 425 mm, four bolts 96 mm from their middle: 21.0 kN printed. Ours lets both pulls go the same way.
    bracket = Bracket(425.0, 60.0, 100.0, bolts=4, bolt_radius_mm=96.0, thread="M16")
    told = bracket_load(bracket, "bolt", 16e3).bolt_n
    assert 21.0e3 <= told <= (4.0 + 17.75) * 1e3


def test_bracket_welds_by_adding_up_their_throats():
    # stress along two lines of weld, put together from 2000 small pieces
    force, arm, leg, length = 700.0, 55.0, 4.0, 45.0
    n = 2000
    ds, throat = length / n, 0.707 * leg
    spots = (np.arange(n) + 0.5) * ds - 0.5 * length
    second = 2.0 * throat * float((spots**2).sum()) * ds
    area = 2.0 * throat * length
    assert bracket_weld_stress(force, arm, leg, length) == pytest.approx(
        math.hypot(force / area, force * arm * 0.5 * length / second), rel=1e-3)


def test_give_of_a_bent_rod_by_fine_steps():
    shape = RodShape(10.0, 10.0, 30.0, 10.0)
    foot, way = np.zeros(3), np.array([0.0, 1.0, 0.0])
    rod = rod_to(foot, way, 31.75, np.array([0.0, 300.0, 200.0]), shape, [np.array([0.0, 1.0, 0.0])])
    give = rod_give(rod)
    second = math.pi / 64.0 * 10.0**4
    assert np.allclose(give, give.T)
    assert (np.linalg.eigvalsh(give) > 0.0).all()
    # by Castigliano along the same centre line in steps of a thousandth
    points = np.array([rod.line.point_at(s) for s in np.linspace(30.0, rod.length_mm - 5.0, 2001)])
    middle = 0.5 * (points[1:] + points[:-1])
    step = np.linalg.norm(np.diff(points, axis=0), axis=1)
    ways = np.diff(points, axis=0) / step[:, None]
    for axis in range(3):
        moment = np.cross(rod.pin - middle, np.eye(3)[axis])
        twist = np.einsum("ij,ij->i", moment, ways)
        total = ((moment**2).sum(axis=1) - twist**2) / (E * second) + twist**2 / (G * 2.0 * second)
        assert give[axis, axis] == pytest.approx(float(total @ step), rel=5e-3)


def test_library_solves_the_same_pipe_with_springs_of_its_own():
    """A pipe on two springs, given to the library as a whole: its supports, its loads, its solver."""
    from trialfit.exhaust import hanging

    a, b = straight(700.0), replace(straight(500.0, start=700.0))
    chain = Chain("pipe", (a, b), ())
    frame = frame_of(chain, [450.0, 1100.0])
    grips = (grip(450.0), grip(1100.0))
    reach = reach_of(frame, grips, [0.0])
    stiff = springs((3.0, 5.0, 12.0), (3.0, 5.0, 8.0))
    got = answers(reach, np.array([[0, 1]]), stiff, np.zeros((2, 3)))
    members = [(float(s), float(e), hanging._Section(E, AREA, SECOND, 2.0 * SECOND, RHO * AREA))
               for s, e in zip(frame.stations_mm[:-1], frame.stations_mm[1:])]
    model = hanging.library_model(frame.places, members, G / E)
    model.def_support("N0", *(True,) * 6)
    for k, g in enumerate(grips):
        node = f"N{frame.node_at(g.at_mm)}"
        for axis, name in enumerate(("DX", "DY", "DZ")):
            model.def_support_spring(node, name, float(stiff[k, axis]))
    model.analyze_linear(check_stability=False)
    for k, g in enumerate(grips):
        moved = model.nodes[f"N{frame.node_at(g.at_mm)}"].DZ["weight"]
        assert got.weight_n[0, k, 2] == pytest.approx(-moved * stiff[k, 2], rel=1e-5)
    still, _ = moments_of(reach, got.weight_n, got.growth_n, 1.0)
    assert still[0, 0] == pytest.approx(abs(model.nodes["N0"].RxnMY["weight"]), rel=1e-5)
    # its own frequencies, with the settings that make weight into mass
    model.analyze_modal(num_modes=6, mass_combo_name="weight", mass_direction="Z", gravity=9806.65)
    theirs = sorted(float(f) for f in model.frequencies)
    np.testing.assert_allclose(modes_hz(reach, (0, 1), stiff, 6), theirs[:6], rtol=1e-3)
