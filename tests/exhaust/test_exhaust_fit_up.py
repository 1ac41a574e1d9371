"""The pipe put together from its marks lands where it was laid; a slip does what turning the rest of it does."""

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.exhaust import cut_list, lay
from trialfit.exhaust.bend_table import bender_table, closes_mm, from_points, points_of
from trialfit.exhaust.fit_up import check_lengths, misses, put_together, slips
from trialfit.geometry.centreline import centreline
from trialfit.vehicle import Amount, Corner, PieCutWish, RoutePlan

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module", params=("estate", "flatbed"))
def laid(request):
    results = run(load(EXAMPLES / request.param / "build.yaml").build, gaps=False)
    return results.routes[0], results.cuts[0], results.points


def test_put_together_weld_by_weld_it_lands_on_the_end(laid):
    route, cuts, _ = laid
    line = route.centreline
    way = line.tangent_at(line.length_mm)
    off, wrong = misses(cuts, tuple(line.point_at(line.length_mm)), way)
    assert off < 1e-6
    assert math.degrees(wrong) < 1e-7
    here = 0.0
    for frame, piece in zip(put_together(cuts)[1:], cuts.pieces):
        here += piece.length_to_cut_mm
        assert frame.letter == piece.end
        assert np.allclose(frame.place, line.point_at(min(here, line.length_mm)), atol=1e-6)
    # lengths and marks written to a twentieth of a millimetre
    off, wrong = misses(cuts, tuple(line.point_at(line.length_mm)), way, 0.05)
    assert off < 2.0
    assert math.degrees(wrong) < 0.1


step = st.tuples(st.floats(-1.0, 1.0), st.floats(-1.0, 1.0), st.floats(-1.0, 1.0), st.floats(500.0, 900.0))


@settings(max_examples=40, deadline=None)
@given(st.lists(step, min_size=2, max_size=6), st.booleans())
def test_any_chain_lands_on_its_end(steps, pie):
    points = [np.array([1000.0, 250.0, 400.0])]
    for *d, length in steps:
        way = np.array(d)
        way = np.array([1.0, 0.0, 0.0]) if np.linalg.norm(way) < 0.05 else way / np.linalg.norm(way)
        points.append(points[-1] + length * way)
    cut = PieCutWish(4, 1.5) if pie else None
    corners = tuple(Corner(tuple(p), Amount(75.0), cut) for p in points[1:-1])
    plan = RoutePlan("main", Amount(50.0), Amount(1.5), "o", "", corners, tuple(points[-1]))
    route = lay(plan, {"o": tuple(points[0])}, {})
    if route.centreline is None:
        return
    cuts = cut_list(route)
    line = route.centreline
    off, wrong = misses(cuts, tuple(points[-1]), line.tangent_at(line.length_mm))
    assert off < 0.1
    assert math.degrees(wrong) < 0.05
    if line.bends:
        assert closes_mm(bender_table(line), line) < 1e-6


def test_a_turn_at_the_outlet_swings_the_tail_by_its_lever(laid):
    _, cuts, _ = laid
    first = slips(cuts)[0]
    frames = put_together(cuts)
    reach = frames[-1].place - frames[0].place
    lever = np.linalg.norm(reach - (reach @ frames[0].way) * frames[0].way)
    assert first.turned_tail_mm == pytest.approx(2.0 * lever * math.sin(math.radians(0.25)))
    assert first.turned_deg == pytest.approx(0.5)
    # the last weld has only the last stick behind it
    assert slips(cuts)[-1].gap_tail_mm < first.gap_tail_mm
    with pytest.raises(ValueError, match="gap"):
        slips(cuts, gap_mm=50.0)


@pytest.mark.parametrize("diameter,tilt", ((76.0, 0.75), (63.5, 0.90), (50.8, 1.13)))
def test_a_millimetre_of_gap_is_the_angle_that_the_trade_works_with(diameter, tilt):
    """Trade rule E14 (calculated): 0.75, 0.90, 1.13 deg (for its 51 mm, 2 in), and 13 to 20 mm at 1 m."""
    plan = RoutePlan("main", Amount(diameter), Amount(1.5), "o", "",
                     (Corner((300.0, 0.0, 0.0), Amount(100.0)),), (300.0, 1100.0, 0.0))
    cuts = cut_list(lay(plan, {"o": (0.0, 0.0, 0.0)}, {}))
    slip = slips(cuts)[-1]
    assert slip.tilt_deg == pytest.approx(tilt, abs=0.006)
    assert 13.0 <= slip.gap_tail_mm <= 20.5


def test_check_lengths_hold_a_joint_from_two_sides(laid):
    _, cuts, points = laid
    named = {name: tuple(p) for name, p in points.items()}
    found = check_lengths(cuts, named)
    frames = {f.letter: f for f in put_together(cuts)}
    assert {c.letter for c in found} == set(frames) - {cuts.pieces[0].start}
    for c in found:
        assert c.length_mm == pytest.approx(np.linalg.norm(np.array(named[c.point]) - frames[c.letter].place))
    with pytest.raises(ValueError, match="ask for 1 or more"):
        check_lengths(cuts, named, 0)


def test_the_benders_table_of_a_known_line():
    """Geometry, from memory (D04-14, D04-15): two bends of 90 deg, 90 deg apart, 282.832 mm of tube."""
    table = from_points([(0, 0, 0), (100, 0, 0), (100, 100, 0), (100, 100, 100)], [20.0, 20.0])
    assert table.tube_mm == pytest.approx(282.832, abs=0.002)
    assert [math.degrees(r.bend_rad) for r in table.rows] == pytest.approx([90.0, 90.0])
    assert abs(math.degrees(table.rows[1].rotation_rad)) == pytest.approx(90.0)
    assert [r.feed_mm for r in table.rows] == pytest.approx([80.0, 60.0])
    made = points_of(table, (0, 0, 0), (1, 0, 0), (0, 0, 1))
    assert np.allclose(made, [(0, 0, 0), (100, 0, 0), (100, 100, 0), (100, 100, 100)])
    with pytest.raises(ValueError, match="has no bends"):
        bender_table(centreline([(0, 0, 0), (100, 0, 0)], []))
    with pytest.raises(ValueError, match="three points"):
        from_points([(0, 0, 0), (1, 0, 0)], [])
