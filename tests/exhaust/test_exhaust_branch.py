"""Branches: saddle, hole and weld against closed forms, an elliptic integral, and rays through a cylinder."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.special import ellipe

from trialfit.exhaust.branch import (
    Branch,
    branch_axis,
    branch_cut,
    branch_findings,
    branch_hole_length,
    branch_hole_width,
    branch_solid,
    branch_weld_length,
    meeting_curve,
    saddle_depth,
)
from trialfit.exhaust.chain import BEND, STRAIGHT, Chain, Element, Weld
from trialfit.findings import Verdict
from trialfit.geometry.unroll import saddle_height_mm

X = np.array([1.0, 0.0, 0.0])
DUMP = Branch("dump", 300.0, math.radians(135.0), math.radians(45.0), 50.0, 1.5, 150.0)


def chain(length=600.0, outside=76.2, kind=STRAIGHT, welds=()):
    start, end = np.zeros(3), length * X
    pipe = Element("pipe", kind, 0.0, length, start, end, X, X, outside, 1.6, 1.0)
    return Chain("main", (pipe,), tuple(Weld("A", at, at * X, X) for at in welds))


# geometry of two cylinders, from memory, values worked out apart; sizes are radii there
@pytest.mark.parametrize("run, branch, depth, within", ((30.0, 20.0, 7.639, 1e-3), (31.75, 31.75, 31.75, 1e-6)))
def test_depth_of_a_square_saddle(run, branch, depth, within):
    assert saddle_depth(2.0 * run, 2.0 * branch) == pytest.approx(depth, abs=within)


def test_depth_of_a_slanted_and_of_an_offset_saddle():
    # from memory: R 30, r 20, 60 deg: 46.188 at the acute side, 23.094 opposite, and least a little past it
    around = np.linspace(0.0, 2.0 * math.pi, 200_001)
    a = math.radians(60.0)
    heights = (np.sqrt(900.0 - (20.0 * np.sin(around)) ** 2) + 20.0 * np.cos(around) * math.cos(a)) / math.sin(a)
    assert heights.max() == pytest.approx(46.188, abs=1e-3)
    assert saddle_depth(60.0, 40.0, a) == pytest.approx(np.ptp(heights), abs=1e-6)
    # R 30, r 15, e 10, square: from 16.583 to the full radius, where offset and branch cancel
    assert saddle_depth(60.0, 30.0, math.pi / 2.0, 10.0) == pytest.approx(30.0 - 16.583, abs=1e-3)


# another route: where a line along the branch's skin runs into the run, a quadratic in space
@pytest.mark.parametrize("angle_deg, offset", ((90.0, 0.0), (45.0, 0.0), (60.0, 8.0), (130.0, -5.0)))
def test_the_saddle_is_where_rays_along_the_branch_meet_the_run(angle_deg, offset):
    a, big, small = math.radians(angle_deg), 38.1, 25.0
    axis = np.array([math.cos(a), 0.0, math.sin(a)])
    acute = np.array([math.sin(a), 0.0, -math.cos(a)])
    for k, around in enumerate(np.arange(24) * math.tau / 24):
        foot = offset * np.array([0.0, 1.0, 0.0]) + small * (
            math.cos(around) * acute + math.sin(around) * np.array([0.0, 1.0, 0.0]))
        # |(foot + s axis) less its part along x| = R, the farther root
        p, q = foot[1:], axis[1:]
        roots = np.roots([q @ q, 2.0 * p @ q, p @ p - big**2])
        s = float(np.max(roots.real))
        assert saddle_height_mm(2 * big, 2 * small, a, offset, float(around)) == pytest.approx(s, abs=1e-6)
        assert meeting_curve(2 * big, 2 * small, a, offset, 24)[k] == pytest.approx(foot + s * axis, abs=1e-6)


# closed form: the hole is as long as the branch's slanted section, and as wide as the arc that it covers
def test_hole_of_a_branch():
    assert branch_hole_length(76.2, 50.0, math.radians(45.0)) == pytest.approx(50.0 / math.sin(math.radians(45.0)))
    assert branch_hole_length(76.2, 50.0) == pytest.approx(50.0)
    assert branch_hole_width(76.2, 76.2) == pytest.approx(math.pi * 38.1)
    assert branch_hole_width(60.0, 30.0, 5.0) == pytest.approx(30.0 * (math.asin(20 / 30) + math.asin(10 / 30)))


# reference library (scipy): equal pipes square to each other meet in two half ellipses of axes r and r times root 2
def test_weld_of_equal_pipes_is_an_ellipse():
    r = 31.75
    assert branch_weld_length(2 * r, 2 * r) == pytest.approx(4.0 * math.sqrt(2.0) * r * ellipe(0.5), rel=1e-5)


def test_papers_hole_and_place_of_a_branch():
    cut = branch_cut(chain(), DUMP)
    assert [p.name for p in cut.papers] == ["main dump branch", "main dump hole"]
    # geometry: set on, so cut to the bore of 47 mm
    assert cut.hole_length_mm == pytest.approx(47.0 / math.sin(math.radians(45.0)))
    assert cut.area_share == pytest.approx((47.0 / 73.0) ** 2)
    drawn = next(line for line in cut.papers[1].lines if line.kind == "cut").points
    assert np.ptp(drawn[:, 1]) == pytest.approx(cut.hole_length_mm, abs=0.05)
    assert np.ptp(drawn[:, 0]) == pytest.approx(cut.hole_width_mm, abs=0.05)
    # clock 135 deg to the right of the top, leaving with the flow
    root = math.sqrt(0.5)
    start, axis = branch_axis(chain(), DUMP)
    assert start == pytest.approx([300.0, 0.0, 0.0])
    assert axis == pytest.approx([root, 0.5, -0.5])
    assert cut.end == pytest.approx(start + 150.0 * axis)
    solid = branch_solid(chain(), DUMP)
    assert solid.end == pytest.approx(cut.end)


def test_offset_goes_towards_plus_clock():
    up = replace(DUMP, clock_rad=0.0, angle_rad=math.pi / 2, offset_mm=7.0)
    start, axis = branch_axis(chain(), up)
    assert start == pytest.approx([300.0, 7.0, 0.0])
    assert axis == pytest.approx([0.0, 0.0, 1.0])


@pytest.mark.parametrize("changed, name, verdict, part", (
    ({"diameter_mm": 90.0}, "size", Verdict.DOES_NOT_FIT, "76.2 mm at most"),
    ({"offset_mm": 20.0}, "size", Verdict.DOES_NOT_FIT, "pass 13.1 mm beside the run's at most"),
    ({"diameter_mm": 75.0}, "size", Verdict.FITS_AFTER_WORK, "grind them back"),
    ({"angle_rad": math.radians(15.0)}, "angle", Verdict.DOES_NOT_FIT, "20 to 160 deg"),
    ({"angle_rad": math.radians(25.0), "length_mm": 200.0}, "angle", Verdict.FITS_AFTER_WORK, "open the angle"),
    ({"length_mm": 80.0}, "length", Verdict.DOES_NOT_FIT, "make it"),
    # closed form: the hole begins R - r / sin 45 deg = 2.7 mm behind the crossing of the axes, and wants 15 mm
    ({"at_mm": 5.0}, "straight", Verdict.DOES_NOT_FIT, "move it to 12 mm"),
))
def test_what_does_not_do_is_told_with_what_would(changed, name, verdict, part):
    branch = replace(DUMP, **changed)
    found = {f.name.rsplit(".", 1)[-1]: f for f in branch_findings(chain(), branch)}
    assert found[name].verdict is verdict
    assert part in found[name].remedy


def test_a_branch_that_does_and_one_on_a_bend_or_a_weld():
    assert all(f.verdict is Verdict.FITS for f in branch_findings(chain(), DUMP, lambda solid: 30.0))
    met = branch_findings(chain(), DUMP, lambda solid: -4.0)[-1]
    assert met.verdict is Verdict.DOES_NOT_FIT
    assert met.reason == "dump meets something by 4 mm"
    bent = branch_findings(chain(kind=BEND), DUMP)
    assert [f.verdict for f in bent] == [Verdict.DOES_NOT_FIT]
    assert "a saddle is cut for straight pipe" in bent[0].reason
    welded = branch_findings(chain(welds=(310.0,)), DUMP)[-1]
    assert welded.verdict is Verdict.DOES_NOT_FIT


def test_doubt_of_the_diameter_makes_a_narrow_fit_untold():
    found = branch_findings(chain(), replace(DUMP, diameter_mm=76.0, diameter_sd_mm=0.5))[0]
    assert found.verdict is Verdict.CANNOT_TELL
    assert found.sd == pytest.approx(0.25)


def test_refusals():
    with pytest.raises(ValueError, match="closed curve takes 3 points"):
        meeting_curve(60.0, 40.0, 1.5, 0.0, 2)
    with pytest.raises(ValueError, match="stands 5 mm out past the side"):
        saddle_depth(60.0, 70.0)
    with pytest.raises(ValueError, match="place of the branch is 700 mm"):
        branch_axis(chain(), replace(DUMP, at_mm=700.0))
