"""Sums of one bend: registered, refused out of range, and against integration along the curve."""

import math

import numpy as np
import pytest
from scipy.integrate import quad

from trialfit.geometry import bend
from trialfit.sums import find_sum, work


@pytest.mark.parametrize("radius, degrees", [(95.25, 90.0), (50.0, 12.5), (63.5, 180.0)])
def test_length_is_the_integral_along_the_curve(radius, degrees):
    # reference library: numerical integration of the speed along a parametrised arc
    turn = math.radians(degrees)
    speed = lambda t: math.hypot(-radius * math.sin(t), radius * math.cos(t))  # noqa: E731
    assert bend.bend_length_mm(turn, radius) == pytest.approx(quad(speed, 0.0, turn)[0], rel=1e-12)


def test_sums_are_on_the_register_and_carry_doubt():
    answer = work(find_sum("bend-length"), {"angle": math.radians(90), "radius": 100.0}, {"radius": 1.0})
    assert answer.value == pytest.approx(157.0796, abs=1e-4)
    assert answer.sd == pytest.approx(math.pi / 2)
    face = work(find_sum("cut-face-angle"), {"turn": math.radians(90), "joints": 4.0}, {})
    assert math.degrees(face.value) == pytest.approx(11.25)
    assert "not the turn per joint" in find_sum("cut-face-angle").caution
    assert "sine" in find_sum("pie-cut-piece").caution
    for name in ("bend-set-back", "bend-gain", "bend-outer-wall"):
        assert find_sum(name).dimension == "length"


def test_long_side_is_the_distance_between_the_cut_planes():
    # another route to the answer: two planes through the bend's axis, 2 * face apart, met by a line square to the
    # wedge's middle at the outside of the tube
    radius, diameter, face = 95.0, 63.5, math.radians(11.25)
    reach = radius + 0.5 * diameter
    first = np.array([math.cos(face), math.sin(face)])
    second = np.array([math.cos(face), -math.sin(face)])
    a, b = first * reach / first[0], second * reach / second[0]
    long = bend.pie_cut_piece_mm(radius, diameter, 8 * face, 4)
    assert long == pytest.approx(float(np.linalg.norm(a - b)), abs=1e-9)


@pytest.mark.parametrize(
    "call, words",
    [
        (lambda: bend.bend_length_mm(-0.1, 50.0), "outside 0 to 360 deg"),
        (lambda: bend.bend_length_mm(0.5, 0.0), "radius 0 must be more than 0"),
        (lambda: bend.bend_set_back_mm(math.pi, 50.0), "outside 0 to 170 deg; a U-turn is laid as two corners"),
        (lambda: bend.cut_face_angle_rad(1.0, 2.5), "whole number from 1 up"),
        (lambda: bend.cut_face_angle_rad(3.0, 1), "outside 0 to 45 deg; take more joints"),
        (lambda: bend.pie_cut_piece_mm(30.0, 63.5, 1.0, 3), "must exceed half the diameter, 31.75 mm"),
        (lambda: bend.pie_cut_piece_mm(60.0, 63.5, 1.0, 3, "outer"), "none of long, middle, short"),
        (lambda: bend.outer_wall_mm(1.5, 20.0, 50.0), "must exceed half the diameter, 25 mm"),
    ],
)
def test_out_of_range_is_refused_with_the_range(call, words):
    with pytest.raises(ValueError, match=words):
        call()
