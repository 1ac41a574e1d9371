"""Papers: rolled round the laid pipe, their lines land where the pipe is."""

import math

import numpy as np
import pytest

from trialfit.exhaust import Way, angle_cut_wrap, cone_wrap, cut_list, lay, saddle_wrap, wraps
from trialfit.geometry.centreline import Mitred
from trialfit.geometry.unroll import roll
from trialfit.vehicle import Amount, Corner, PieCutWish, RoutePlan, StockBend

OD = 60.0
POINTS = [(0.0, 0.0, 400.0), (500.0, 0.0, 400.0), (800.0, 500.0, 300.0), (1600.0, 500.0, 420.0), (2000.0, 200.0, 420.0)]


def laid_route():
    corners = tuple(
        Corner(p, Amount(90.0), PieCutWish(4, 1.5) if k == 1 else None) for k, p in enumerate(POINTS[1:-1])
    )
    stock = (StockBend("U-bend", 90.0, math.pi, 100.0, OD),)
    return lay(RoutePlan("main", Amount(OD), Amount(1.5), "o", "", corners, POINTS[-1], stock), {"o": POINTS[0]}, {})


def test_pie_papers_rolled_on_the_pipe_meet_the_mitre_planes():
    laid = laid_route()
    cuts = cut_list(laid)
    bend = next(b for b in laid.centreline.bends if isinstance(b, Mitred))
    piece = next(p for p in cuts.pieces if p.pie)
    first, middle, last = (w for w in wraps(cuts) if "wedge" in w.title)
    assert "cut 2" in middle.title
    arc, face = bend.arc, bend.face_rad
    vertices = bend.vertices
    for wrap, wedge, origin, planes in (
        (first, 0, arc.start - piece.leg_before_mm * arc.along, [1]),
        (middle, 1, None, [1, 2]),
        (last, 3, None, [3]),
    ):
        up = arc.direction(2 * wedge * face)
        inward = np.cross(arc.normal, up)
        if origin is None:
            # the paper's height 0 is the lowest point of its lower edge: the long side, half a diameter * tan below
            origin = vertices[wedge] - up * 0.5 * OD * math.tan(face)
        skin = roll(wrap.outline, OD, origin, up, inward)
        for joint in planes:
            # a joint's plane holds the bend's axis and the mitre's centre
            radial = vertices[joint] - arc.centre
            normal = np.cross(arc.normal, radial / np.linalg.norm(radial))
            near = np.abs((skin - vertices[joint]) @ normal) < 1e-6
            assert near.sum() > 30
        spread = (skin - vertices[planes[0]]) @ up
        assert wrap.height_mm == pytest.approx(spread.max() - spread.min(), abs=1e-9)
    assert middle.height_mm == pytest.approx(piece.pie.long_side_mm, abs=1e-9)
    line = middle.lines[0].points
    assert line[1, 1] - line[0, 1] == pytest.approx(piece.pie.long_side_mm, abs=0.05)
    assert line[0, 0] == pytest.approx(0.5 * math.pi * OD)


def test_strip_carries_the_outside_line_to_the_next_bend():
    laid = laid_route()
    cuts = cut_list(laid)
    strips = [w for w in wraps(cuts) if "turn at joint" in w.title]
    bends = laid.centreline.bends
    assert len(strips) == len(bends)
    for strip, one, two in zip(strips[1:], bends, bends[1:], strict=False):
        arc = one.arc if isinstance(one, Mitred) else one
        after = two.arc if isinstance(two, Mitred) else two
        up = after.along
        outward = -np.cross(arc.normal, arc.direction(arc.turn_rad))
        from_x, to_x = strip.lines[0].points[0, 0], strip.lines[1].points[0, 0]
        # turn the paper until its first line lies on the outside line of the bend before
        back = -math.tau * from_x / strip.circumference_mm
        seam = math.cos(back) * outward + math.sin(back) * np.cross(up, outward)
        on_pipe = roll([(to_x, 0.0)], OD, (0, 0, 0), up, seam)[0]
        assert np.allclose(on_pipe / (0.5 * OD), after.out, atol=1e-9)
        assert 0.2 * strip.circumference_mm < min(from_x, to_x)
        assert max(from_x, to_x) < 0.8 * strip.circumference_mm


def test_strip_marks_say_arc_and_way():
    cuts = cut_list(laid_route())
    piece = next(p for p in cuts.pieces if p.clocking)
    strip = next(w for w in wraps(cuts) if w.piece == piece.number and "turn" in w.title)
    step = abs(strip.lines[1].points[0, 0] - strip.lines[0].points[0, 0])
    assert step == pytest.approx(piece.clocking.arc_mm, abs=1e-9)
    assert f"{piece.clocking.arc_mm:.1f} mm" in strip.notes[0]
    assert str(piece.clocking.way) in strip.notes[0]


def test_no_strip_where_nothing_turns():
    corners = (Corner((500.0, 0.0, 0.0), Amount(90.0)), Corner((500.0, 700.0, 0.0), Amount(90.0)))
    plan = RoutePlan("main", Amount(OD), Amount(1.5), "o", "", corners, (0.0, 700.0, 0.0))
    cuts = cut_list(lay(plan, {"o": (0.0, 0.0, 0.0)}, {}))
    assert cuts.pieces[1].clocking.way is Way.STRAIGHT_ON
    assert [w.name for w in wraps(cuts)] == ["main joint A turn"]


def test_papers_lie_in_their_box_and_widen_with_paper():
    cuts = cut_list(laid_route())
    for thin, thick in zip(wraps(cuts), wraps(cuts, 0.1), strict=True):
        assert thin.outline.min() >= -1e-12
        assert thin.outline[:, 0].max() == pytest.approx(thin.circumference_mm)
        assert thin.outline[:, 1].max() == pytest.approx(thin.height_mm)
        assert thin.circumference_mm == pytest.approx(math.pi * OD)
        assert thick.circumference_mm == pytest.approx(math.pi * 60.1)
        assert thick.height_mm == pytest.approx(thin.height_mm)


def test_angle_cut():
    wrap = angle_cut_wrap(63.5, math.radians(15.0), "tail")
    assert wrap.outline[:, 1].max() - 30.0 == pytest.approx(17.015, abs=0.002)  # row D04-06, from memory
    assert "15.00 deg" in wrap.notes[0]


def test_saddle_papers():
    branch, hole = saddle_wrap(60.0, 40.0, math.radians(60.0), 0.0, 120.0, "bung")
    heights = branch.outline[:, 1]
    # rows D04-18, from memory, down from the square end: 46.188 at the acute side, 23.094 at the obtuse one (seam)
    assert heights.min() == 0.0
    assert branch.height_mm - heights[0] == pytest.approx(120.0 - 23.094, abs=0.001)
    assert branch.height_mm - branch.lines[1].points[0, 1] == pytest.approx(120.0 - 46.188, abs=0.02)
    cut = hole.lines[0].points
    assert np.allclose(cut[0], cut[-1])
    # the hole is the branch's slanted section: longest along the run, branch / sin 60 deg
    assert cut[:, 1].max() - cut[:, 1].min() == pytest.approx(40.0 / math.sin(math.radians(60.0)), abs=0.01)
    assert cut[:, 0].max() - cut[:, 0].min() == pytest.approx(2 * 30.0 * math.asin(20.0 / 30.0), abs=0.02)
    with pytest.raises(ValueError, match=r"must exceed 46\.2 mm, where the saddle ends"):
        saddle_wrap(60.0, 40.0, math.radians(60.0), 0.0, 40.0, "bung")


def test_cone_sheet_with_a_lap():
    plain, lapped = cone_wrap(50.0, 76.0, 100.0, "step"), cone_wrap(50.0, 76.0, 100.0, "step", 8.0)
    assert plain.height_mm > 100.0
    assert lapped.outline[:, 0].max() > plain.outline[:, 0].max() + 7.0
    edge = lapped.lines[0].points
    slant = math.hypot(100.0, 13.0)
    assert np.linalg.norm(edge[1] - edge[0]) == pytest.approx(slant, abs=1e-6)
    with pytest.raises(ValueError, match="0 or more"):
        cone_wrap(50.0, 76.0, 100.0, "step", -1.0)
