"""Rods from pipe to rubber, and brackets: they reach what they must, and their bends close on it."""

import math

import numpy as np
import pytest

from trialfit.exhaust.hanger_rod import Bracket, NoRod, RodShape, bracket_load, rod_give, rod_to
from trialfit.geometry.turning import turned_about

SHAPE = RodShape()
FOOT, WAY = np.array([1000.0, 200.0, 250.0]), np.array([1.0, 0.0, 0.0])
PINS = [(1000.0, 200.0, 400.0), (1010.0, 330.0, 360.0), (940.0, 90.0, 420.0), (1000.0, 360.0, 255.0),
        (1080.0, 250.0, 500.0)]


@pytest.mark.parametrize("pin", PINS)
def test_a_rod_leaves_along_the_pipe_and_ends_level_in_the_rubber(pin):
    rod = rod_to(FOOT, WAY, 31.75, np.array(pin), SHAPE)
    line = rod.line
    assert abs(float(line.tangent_at(0.0) @ WAY)) == pytest.approx(1.0)
    # welded along the pipe's skin: half the pipe and half the rod from its centre line, for the whole weld
    for s in (0.0, 15.0, 30.0):
        off = line.point_at(s) - FOOT
        off = off - float(off @ WAY) * WAY
        assert float(np.linalg.norm(off)) == pytest.approx(31.75 + 5.0)
    assert float(np.linalg.norm(line.point_at(30.0) - rod.saddle)) == pytest.approx(0.0, abs=1e-6)
    end = line.tangent_at(line.length_mm)
    assert end[2] == pytest.approx(0.0, abs=1e-9)
    np.testing.assert_allclose(line.point_at(line.length_mm - 20.0), pin, atol=1e-6)
    np.testing.assert_allclose(line.tangent_at(line.length_mm - 39.9), end, atol=1e-9)
    assert rod.length_mm == pytest.approx(float(np.linalg.norm(np.diff(line.polyline(0.001), axis=0), axis=1).sum()),
                                          rel=1e-4)


@pytest.mark.parametrize("pin", PINS)
def test_lengths_turns_and_rotations_close_on_the_pin(pin):
    rod = rod_to(FOOT, WAY, 31.75, np.array(pin), SHAPE)
    first = next(s for s in rod.line.stretches if hasattr(s, "normal"))
    at, way, axis, walked = rod.line.point_at(0.0), rod.line.tangent_at(0.0), first.normal, 0.0
    for bend in rod.bends:
        at = at + (bend.at_mm - walked) * way
        axis = turned_about(axis, way, bend.rotation_rad)
        inward = np.cross(axis, way)
        at = at + SHAPE.radius_mm * (math.sin(bend.turn_rad) * way + (1.0 - math.cos(bend.turn_rad)) * inward)
        way = turned_about(way, axis, bend.turn_rad)
        walked = bend.at_mm + SHAPE.radius_mm * bend.turn_rad
    at = at + (rod.length_mm - walked - 20.0) * way
    np.testing.assert_allclose(at, pin, atol=1e-6)


def test_a_longer_or_thinner_rod_gives_more():
    near, far = (rod_give(rod_to(FOOT, WAY, 31.75, np.array([1000.0, 200.0, z]), SHAPE)) for z in (400.0, 500.0))
    assert (np.diag(far) > np.diag(near)).all()
    thin = rod_give(rod_to(FOOT, WAY, 31.75, np.array([1000.0, 200.0, 400.0]), RodShape(8.0)))
    # the fourth power of the diameter, but for the little that the saddle moves
    assert thin[0, 0] / near[0, 0] == pytest.approx((10.0 / 8.0) ** 4, rel=0.05)


def test_no_rod_where_the_rubber_sits_on_the_pipe():
    with pytest.raises(NoRod, match="35 mm from the pipe's centre line, on top of the pipe; a rod needs 47 mm or more"):
        rod_to(FOOT, WAY, 31.75, np.array([1000.0, 200.0, 285.0]), SHAPE)
    with pytest.raises(NoRod, match="bend it tighter, or take a place farther from the pipe"):
        rod_to(FOOT, WAY, 31.75, np.array([1000.0, 200.0, 315.0]), RodShape(radius_mm=60.0))


def test_a_rod_is_refused_out_of_range():
    with pytest.raises(ValueError, match="rod"):
        RodShape(diameter_mm=40.0)
    with pytest.raises(ValueError, match="radius"):
        RodShape(diameter_mm=12.0, radius_mm=8.0)


def test_brackets_by_weld_and_by_bolt():
    bracket = Bracket(60.0, 30.0, 6.0)
    weld, bolt = bracket_load(bracket, "weld", 200.0), bracket_load(bracket, "bolt", 200.0)
    assert weld.bar_mpa == bolt.bar_mpa
    assert weld.bolt_n is None
    assert bolt.weld_mpa is None
    # two M8 of 8.8, 30 mm apart: half of the force and its moment over 30 mm
    assert bolt.bolt_n == pytest.approx(100.0 + 200.0 * 60.0 / 30.0)
    assert bolt.bolt_n < bolt.bolt_most_n
    one = bracket_load(Bracket(60.0, 30.0, 6.0, bolts=1), "bolt", 200.0)
    assert one.bolt_n == pytest.approx(math.hypot(200.0, 800.0))
    with pytest.raises(ValueError, match="kind of hanger is 'glue'; write bolt or weld"):
        bracket_load(bracket, "glue", 200.0)
