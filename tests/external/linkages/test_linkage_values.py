"""Linkages against values from outside.

Work: the rows of values.csv beside this file.
  D09-01  Design of Machinery, four-bar position problem; edition and page not known (from memory); published example
  D09-19  lateral rod, circle geometry (from memory)
  D09-20  SAE HS-788 Spring Design Manual, three-link equivalent, page not known (from memory)
  D09-21  circle geometry (from memory)
Second opinions, kind "another route to the answer": beam and elastica integration by scipy, beam elements by numpy.
"""

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq, fsolve

from trialfit.motion import (
    MotionError,
    axle_of,
    lateral_rod_step,
    leaf_arc_length,
    seat_path_radius,
    seat_wind_rate,
    solve,
)
from trialfit.vehicle import Amount, FourLinksRod, LeafSpring, LeafSprings, Link, ThreeLinksRod

ROWS = {r["row"]: r for r in csv.DictReader((Path(__file__).parent / "values.csv").open(encoding="utf-8"))}


def _expected(row):
    return [float(v) for v in ROWS[row]["expected"].split(";")], float(ROWS[row]["tolerance"])


# D09-01: the side view of three links is a four-bar; crank = lower links, coupler = axle, follower = upper link

GROUND, CRANK, COUPLER, FOLLOWER = 100.0, 40.0, 120.0, 80.0


def _bar_angles(crank, guess):
    def apart(q):
        return [
            CRANK * math.cos(crank) + COUPLER * math.cos(q[0]) - GROUND - FOLLOWER * math.cos(q[1]),
            CRANK * math.sin(crank) + COUPLER * math.sin(q[0]) - FOLLOWER * math.sin(q[1]),
        ]

    return fsolve(apart, guess, xtol=1e-13)


def _bar_points(crank, coupler):
    a = CRANK * np.array([math.cos(crank), math.sin(crank)])
    return a, a + COUPLER * np.array([math.cos(coupler), math.sin(coupler)])


@pytest.mark.parametrize("branch", ["open", "crossed"])
@pytest.mark.parametrize("start_deg", [30.0, 48.0])
def test_three_links_in_side_view_are_the_four_bar_of_the_book(branch, start_deg):
    values, tolerance = _expected("D09-01")
    coupler, follower = np.radians(values[:2] if branch == "open" else values[2:])
    crank = math.radians(40.0)
    # other end of the travel by scipy, the book's state by its own angles
    start = _bar_angles(math.radians(start_deg), [coupler, follower])
    a0, b0 = _bar_points(math.radians(start_deg), start[0])
    a1, b1 = _bar_points(crank, coupler)
    points = {"c.L": [0, -500, 0], "c.R": [0, 500, 0], "f": [GROUND, 0, 0], "b": [b0[0], 0, b0[1]],
              "a.L": [a0[0], -500, a0[1]], "a.R": [a0[0], 500, a0[1]],
              # a rod so long that it only holds the axle sideways
              "far": [a0[0], -1e6, a0[1]], "near": [a0[0], -500, a0[1]]}
    points = {n: np.array(p, float) for n, p in points.items()}
    suspension = ThreeLinksRod(
        (Link("left", "c.L", "a.L"), Link("right", "c.R", "a.R"), Link("upper", "f", "b")), Link("rod", "far", "near")
    )
    rise = (2.0 * (a1 - a0)[1] + (b1 - b0)[1]) / 3.0
    poses = solve(axle_of(suspension, points), np.array([rise]), np.array([0.0]))
    assert poses.reached[0] == 1.0
    move = lambda p: poses.rotation[0] @ points[p] + poses.shift[0]  # noqa: E731
    along = move("b") - move("a.R")
    back = move("b") - points["f"]
    assert math.degrees(math.atan2(along[2], along[0])) == pytest.approx(math.degrees(coupler), abs=tolerance)
    assert math.degrees(math.atan2(back[2], back[0])) == pytest.approx(math.degrees(follower), abs=tolerance)
    assert math.degrees(math.atan2(move("a.L")[2], move("a.L")[0])) == pytest.approx(40.0, abs=tolerance)


# D09-19


def test_lateral_rod_step_is_the_book_s():
    (step,), tolerance = _expected("D09-19")
    assert lateral_rod_step(800.0, 75.0) == pytest.approx(step, abs=tolerance)
    assert lateral_rod_step(800.0, -75.0) == pytest.approx(step, abs=tolerance)
    with pytest.raises(MotionError, match="less than 800 mm"):
        lateral_rod_step(800.0, 800.0)


def test_an_axle_on_a_level_lateral_rod_walks_by_the_book_s_step():
    (step,), tolerance = _expected("D09-19")
    # links so long that the axle hardly moves fore and aft
    points = {"rf": [0, 400, 300], "ra": [0, -400, 300]}
    links = []
    for name, y, z in (("ll", -450, 250), ("lr", 450, 250), ("ul", -450, 450), ("ur", 450, 450)):
        points |= {f"{name}.f": [-1e6, y, z], f"{name}.a": [0, y, z]}
        links.append(Link(name, f"{name}.f", f"{name}.a"))
    points = {n: np.array(p, float) for n, p in points.items()}
    axle = axle_of(FourLinksRod(tuple(links), Link("rod", "rf", "ra")), points)
    poses = solve(axle, np.array([75.0, -75.0]), np.zeros(2))
    assert poses.walk_mm[:, 1] == pytest.approx([step, step], abs=tolerance)


# D09-20


def test_leaf_path_radius_is_three_quarters():
    (radius,), tolerance = _expected("D09-20")
    assert seat_path_radius(600.0) == pytest.approx(radius, abs=tolerance)


def _springs(clamp):
    return LeafSprings(*(LeafSpring(s, f"eye.{s}", f"pad.{s}", f"rear.{s}", f"hanger.{s}", clamp) for s in "LR"))


def test_an_axle_on_even_leaf_springs_moves_on_that_radius():
    (radius,), _ = _expected("D09-20")
    points = {}
    for s, y in (("L", -500.0), ("R", 500.0)):
        points |= {f"eye.{s}": [0, y, 0], f"pad.{s}": [600, y, 0], f"rear.{s}": [1200, y, 0],
                   f"hanger.{s}": [1200, y, 1e5]}  # a shackle so long that the rear eye keeps its height
    points = {n: np.array(p, float) for n, p in points.items()}
    springs = _springs(Amount(0.0))
    heave = np.array([5.0, 60.0, -90.0])
    poses = solve(axle_of(springs, points), heave, np.zeros(3))
    # hinge on the axle 150 mm ahead of the seat: with no pitch the seat's path is that circle, shifted rearward
    assert np.abs(poses.pitch_rad) == pytest.approx(0.0, abs=1e-4)
    seen = np.hypot(poses.walk_mm[:, 0] + radius, heave)
    assert seen == pytest.approx(np.full(3, radius), abs=0.01)


def _half_spring(tip_slope, even_stress):
    """Elastica of a half spring of length 1 under an end load, from the tip to the clamp; load found so that the
    clamp is level. Returns deflection and draw-in of the tip."""

    def bent(load):
        def slope(s, state):
            angle, x, _ = state
            arm = (x / s if s > 0.0 else math.cos(angle)) if even_stress else x
            return [-load * arm, math.cos(angle), math.sin(angle)]

        return solve_ivp(slope, (0.0, 1.0), [tip_slope, 0.0, 0.0], rtol=1e-10, atol=1e-12).y[:, -1]

    load = brentq(lambda p: bent(p)[0], 1e-3, 20.0, xtol=1e-12)
    _, x, y = bent(load)
    return y, 1.0 - x


@pytest.mark.parametrize("tip_slope", [0.1, 0.25, 0.4])
def test_a_bent_half_spring_draws_in_as_the_link_does(tip_slope):
    # kind: another route (elastica integrated by scipy). Even stress: 3 % up to 0.2 of the length. A bar of even
    # section: the link draws in more, by at most an eighth; a real pack lies between
    deflection, draw = _half_spring(tip_slope, even_stress=True)
    assert deflection < 0.21
    link = 0.75 - math.sqrt(0.75**2 - deflection**2)
    assert link == pytest.approx(draw, rel=0.03)
    deflection, draw = _half_spring(tip_slope, even_stress=False)
    link = 0.75 - math.sqrt(0.75**2 - deflection**2)
    assert 1.0 < link / draw < 1.125 + 0.03


def _seat_turn_by_beam_elements(front, rear, clamp, taper):
    """Pitch per heave of a spring on two supports, by Euler-Bernoulli elements; the clamp is rigid; the load is on the
    seat without torque. Kind: another route."""
    lengths, stiff = [], []
    for half, inward in ((front, False), (rear, True)):
        edges = np.linspace(0.0, half, 61)
        share = 0.5 * (edges[1:] + edges[:-1]) / half
        share = share[::-1] if inward else share
        lengths += [half / 60] * 60
        stiff += list((share if taper else np.ones(60)) * 1e9)
        if not inward:
            lengths += [clamp / 2.0] * 2
            stiff += [1e15] * 2
    count = len(lengths) + 1
    k = np.zeros((2 * count, 2 * count))
    for n, (long, ei) in enumerate(zip(lengths, stiff, strict=True)):
        one, two, four = 6 * long, 2 * long * long, 4 * long * long
        part = ei / long**3 * np.array([[12, one, -12, one], [one, four, -one, two],
                                        [-12, -one, 12, -one], [one, two, -one, four]])
        k[2 * n : 2 * n + 4, 2 * n : 2 * n + 4] += part
    free = [i for i in range(2 * count) if i not in (0, 2 * count - 2)]
    load = np.zeros(2 * count)
    seat = 61
    load[2 * seat] = 1000.0
    moved = np.zeros(2 * count)
    moved[free] = np.linalg.solve(k[np.ix_(free, free)], load[free])
    # a slope that rises rearward drops the nose
    return -moved[2 * seat + 1] / moved[2 * seat]


@pytest.mark.parametrize("taper", [False, True])
@pytest.mark.parametrize(("front", "rear", "clamp"), [
    (500.0, 700.0, 100.0), (700.0, 500.0, 60.0), (550.0, 800.0, 120.0),
])
def test_seat_wind_is_that_of_a_beam(front, rear, clamp, taper):
    # the elements are of even section in steps: 60 a half come within a thousandth
    assert _seat_turn_by_beam_elements(front, rear, clamp, taper) == pytest.approx(
        seat_wind_rate(front, rear, clamp), rel=1e-3
    )


def test_an_axle_on_uneven_springs_winds_as_the_beam_does():
    points = {}
    for s, y in (("L", -500.0), ("R", 500.0)):
        points |= {f"eye.{s}": [0, y, 0], f"pad.{s}": [550, y, 0], f"rear.{s}": [1300, y, 0],
                   f"hanger.{s}": [1300, y, 1e5]}
    points = {n: np.array(p, float) for n, p in points.items()}
    springs = _springs(Amount(100.0))
    poses = solve(axle_of(springs, points), np.array([1.0, -1.0]), np.zeros(2))
    rate = (poses.pitch_rad[0] - poses.pitch_rad[1]) / 2.0
    assert rate == pytest.approx(_seat_turn_by_beam_elements(500.0, 700.0, 100.0, taper=False), rel=2e-3)


# D09-21


def test_arc_length_of_a_cambered_leaf():
    (radius, length), tolerance = _expected("D09-21")
    assert leaf_arc_length(1200.0, 100.0) == pytest.approx(length, abs=tolerance)
    # reference library: the same arc by quadrature
    by_quad, _ = quad(lambda x: radius / math.sqrt(radius**2 - x**2), -600.0, 600.0, epsabs=1e-10)
    assert leaf_arc_length(1200.0, 100.0) == pytest.approx(by_quad, abs=1e-6)
    assert leaf_arc_length(1200.0, 0.0) == 1200.0
    assert leaf_arc_length(1200.0, 600.0) == pytest.approx(600.0 * math.pi)
    with pytest.raises(MotionError, match=r"^camber must be 0 to 600 mm"):
        leaf_arc_length(1200.0, 601.0)
