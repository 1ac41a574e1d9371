"""Joints: straight pipe beside them, sizes, overlap, spanner, lines below, and where they let a muffler be changed."""

import math
from dataclasses import replace

import numpy as np
import pytest

from trialfit.exhaust.chain import BEND, STRAIGHT, Chain, Element, sections
from trialfit.exhaust.joints import (
    Apart,
    JointSaid,
    LineAt,
    clock_way,
    exchange_findings,
    exchanges,
    joint_findings,
    joint_stretches,
    lines_below,
    moved_joint,
    nut_clocks,
    runs,
    slip_joint_overlap,
    straight_beside_mm,
    v_band_for,
    with_joint,
    without_joint,
)
from trialfit.findings import Verdict
from trialfit.geometry.solids import bounds

X, Z = np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0])
OUTSIDE = 63.5


def element(name, kind, at, length, start, way=X, wide=0.0, **more):
    start = np.asarray(start, dtype=float)
    return Element(name, kind, at, length, start, start + length * way, way, way, OUTSIDE, 1.5, 0.003 * length,
                   width_mm=wide, height_mm=wide, **more)


def chain(muffler=False):
    """600 mm straight, a quarter bend up of radius 100, 400 mm straight; or 400 straight, muffler 300, 200 straight."""
    if muffler:
        return Chain("main", (element("straight", STRAIGHT, 0.0, 400.0, (0, 0, 300)),
                              element("box", "muffler", 400.0, 300.0, (400, 0, 300), wide=150.0),
                              element("straight", STRAIGHT, 700.0, 200.0, (700, 0, 300))), ())
    arc = 50.0 * math.pi
    bend = Element("bend", BEND, 600.0, arc, np.array([600.0, 0.0, 300.0]), np.array([700.0, 0.0, 400.0]), X, Z,
                   OUTSIDE, 1.5, 0.5, radius_mm=100.0, turn_rad=math.pi / 2.0)
    return Chain("main", (element("straight", STRAIGHT, 0.0, 600.0, (0, 0, 300)), bend,
                          element("straight", STRAIGHT, 600.0 + arc, 400.0, (700, 0, 400), Z)), ())


def of(found, ending):
    return next(f for f in found if f.name.endswith(ending))


# geometry
def test_a_joint_may_begin_where_it_and_its_straights_lie_between_bends():
    arc = 50.0 * math.pi
    assert [v for r in runs(chain()) for v in (r.from_mm, r.to_mm)] == pytest.approx(
        [0.0, 600.0, 600.0 + arc, 1000.0 + arc])
    places = joint_stretches(chain(), 40.0, 50.0)
    assert [v for s in places for v in (s.from_mm, s.to_mm)] == pytest.approx([50.0, 510.0, 650.0 + arc, 910.0 + arc])
    assert joint_stretches(chain(), 40.0, 281.0) == ()
    with pytest.raises(ValueError, match="straight beside the joint is -1 mm"):
        joint_stretches(chain(), 40.0, -1.0)


def test_a_joint_put_in_and_moved_keeps_length_and_mass_of_the_pipe():
    put = with_joint(chain(), "band", 200.0, 40.0, 90.0, 0.3)
    assert put.length_mm == pytest.approx(chain().length_mm)
    # what 40 mm of pipe weighed is gone, what the joint weighs is there
    assert put.mass_kg == pytest.approx(chain().mass_kg - 40.0 * 0.003 + 0.3)
    for a, b in zip(put.elements, put.elements[1:]):
        assert b.start == pytest.approx(a.end)
        assert b.from_mm == pytest.approx(a.to_mm)
    assert straight_beside_mm(put, "band") == pytest.approx((200.0, 360.0))
    assert [len(s) for s in sections(put)] == [2, 3]
    again = moved_joint(put, "band", 800.0)
    assert again.elements[-2].start == pytest.approx([700.0, 0.0, 400.0 + 800.0 - 600.0 - 50.0 * math.pi])
    assert without_joint(put, "band").mass_kg == pytest.approx(chain().mass_kg)
    assert [e.kind for e in without_joint(put, "band").elements] == [STRAIGHT, BEND, STRAIGHT]


def test_a_joint_in_a_bend_is_refused_with_where_it_could_be():
    with pytest.raises(ValueError, match=r"cannot begin at 590 mm.*it can begin at 0 to 560 mm; 757 to 1117 mm"):
        with_joint(chain(), "band", 590.0, 40.0, 90.0)
    with pytest.raises(ValueError, match="no part called 'bend'; it has no parts"):
        without_joint(chain(), "bend")
    with pytest.raises(ValueError, match="box is a muffler and no joint"):
        without_joint(chain(muffler=True), "box")


# common practice, from memory: 40 to 50 mm of straight beside a clamp, in the rules with both versions
@pytest.mark.parametrize("at, choice, verdict", (
    (200.0, None, Verdict.FITS), (515.0, None, Verdict.DOES_NOT_FIT), (515.0, "40 mm", Verdict.FITS),
))
def test_straight_beside_a_joint_by_its_rule(at, choice, verdict):
    put = with_joint(chain(), "band", at, 40.0, 90.0)
    choices = {} if choice is None else {"straight-at-clamp": choice}
    found = of(joint_findings(put, [JointSaid("band", Apart.CLAMP)], choices=choices), ".straight")
    assert found.verdict is verdict
    if verdict is Verdict.DOES_NOT_FIT:
        assert found.margin == pytest.approx(-5.0)
        assert found.remedy == "let it begin 510 mm from the outlet, 5 mm nearer"


def test_doubt_of_the_length_leaves_a_narrow_straight_untold():
    put = with_joint(chain(), "band", 509.0, 40.0, 90.0)
    assert of(joint_findings(put, [], doubt_mm=3.0), ".straight").verdict is Verdict.CANNOT_TELL
    assert of(joint_findings(put, [], doubt_mm=0.1), ".straight").verdict is Verdict.FITS
    assert of(joint_findings(put, []), ".kind").remedy == "say clamp, V-band, slip joint or flange"


# the table of V-bands; 2-1/2 in is 63.5 mm by the definition of the inch
def test_v_band_by_the_pipe():
    assert v_band_for(2.5 * 25.4)[0].name == "2-1/2 in"
    assert v_band_for(2.5 * 25.4)[1] == pytest.approx(0.0)
    put = with_joint(chain(), "band", 200.0, 40.0, 90.0)
    assert of(joint_findings(put, [JointSaid("band", Apart.V_BAND)]), ".v-band").verdict is Verdict.FITS
    odd = replace(put, elements=tuple(replace(e, outside_mm=60.3) for e in put.elements))
    found = of(joint_findings(odd, [JointSaid("band", Apart.V_BAND)]), ".v-band")
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert "2-1/4 in, for 57.15 mm" in found.reason


# common practice, from memory: 40 to 50 mm or one diameter
@pytest.mark.parametrize("overlap, verdict", (
    (None, Verdict.CANNOT_TELL), (30.0, Verdict.DOES_NOT_FIT), (55.0, Verdict.FITS),
))
def test_overlap_of_a_slip_joint(overlap, verdict):
    put = with_joint(chain(), "slip", 200.0, 60.0, 70.0)
    found = of(joint_findings(put, [JointSaid("slip", Apart.SLIP, overlap, 1.0)]), ".overlap")
    assert found.verdict is verdict
    assert slip_joint_overlap(OUTSIDE, 1.0) == OUTSIDE
    with pytest.raises(ValueError, match=r"times is 4; it must lie between 0\.5 and 3"):
        slip_joint_overlap(OUTSIDE, 4.0)


def test_clock_counts_from_the_top_to_the_right_on_a_pipe_that_runs_rearward():
    assert clock_way(X, 0.0) == pytest.approx(Z)
    assert clock_way(X, math.pi / 2) == pytest.approx([0.0, 1.0, 0.0])
    # on a pipe to the right, against the flow means looking left: clockwise from the top is forward of the vehicle
    assert clock_way(np.array([0.0, 1.0, 0.0]), math.pi / 2) == pytest.approx([-1.0, 0.0, 0.0])
    assert clock_way(Z, 0.0) == pytest.approx([-1.0, 0.0, 0.0])


def test_a_floor_above_the_joint_leaves_the_nut_at_the_sides():
    put = with_joint(chain(), "band", 200.0, 40.0, 90.0)
    band = put.elements[1]

    # geometry: the top of the tool must stay below a floor 60 mm over the pipe's axis
    def under_floor(solid):
        return 360.0 - float(bounds(solid)[1][2])

    clocks = nut_clocks(band, under_floor)
    # the tool's rim is highest at the nut: 45 + 15 + 13 + 13 mm from the axis, times the cosine
    first = math.degrees(math.acos(60.0 / 86.0))
    wanted = [10.0 * k for k in range(-17, 19) if first <= abs(10.0 * k) <= 135.0]
    assert [math.degrees(c) for c in clocks] == pytest.approx(wanted)
    found = joint_findings(put, [JointSaid("band", Apart.CLAMP)], room=under_floor)
    assert of(found, ".spanner").verdict is Verdict.FITS
    none = joint_findings(put, [JointSaid("band", Apart.CLAMP)], room=lambda solid: -1.0)
    assert of(none, ".spanner").verdict is Verdict.DOES_NOT_FIT
    # without anything round it only the lowest quarter is left out: 27 of 36 steps
    assert len(nut_clocks(band, lambda solid: 1.0)) == 27


def test_lines_below_a_joint():
    below = LineAt("fuel line", np.array([[0.0, 30.0, 200.0], [1000.0, 30.0, 200.0]]))
    above = LineAt("brake pipe", np.array([[0.0, 30.0, 400.0], [1000.0, 30.0, 400.0]]))
    beside = LineAt("return", np.array([[0.0, 130.0, 200.0], [1000.0, 130.0, 200.0]]))
    assert lines_below(np.array([500.0, 0.0, 300.0]), (below, above, beside), 100.0) == ("fuel line",)
    put = with_joint(chain(), "band", 200.0, 40.0, 90.0)
    found = of(joint_findings(put, [], lines=(below,)), ".line-below")
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert found.reason == "band lies above fuel line"
    assert of(joint_findings(put, [], lines=(beside,)), ".line-below").verdict is Verdict.FITS


# geometry: nearest joints of 40 mm with 50 mm of straight: 310 and 750 mm, 400 mm of pipe between
def test_two_joints_let_a_muffler_be_changed_for_straight_pipe():
    (one,) = exchanges(chain(muffler=True), 40.0, 50.0)
    assert (one.before_mm, one.after_mm, one.pipe_mm, one.bends) == pytest.approx((310.0, 750.0, 400.0, 0))
    assert exchange_findings(chain(muffler=True), 40.0)[0].verdict is Verdict.FITS
    short = exchange_findings(chain(muffler=True), 120.0)[0]
    assert short.verdict is Verdict.DOES_NOT_FIT
    assert short.remedy == "leave 220 mm of straight pipe before and behind it"


def test_a_joint_that_is_not_there_is_named():
    with pytest.raises(ValueError, match="no part called 'clamp 2'"):
        joint_findings(chain(), [JointSaid("clamp 2", Apart.CLAMP)])
    with pytest.raises(ValueError, match="box of main is no joint"):
        joint_findings(chain(muffler=True), [JointSaid("box", Apart.CLAMP)])
