"""One point of a laid exhaust taken elsewhere: what must follow, and what must stay."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from trialfit.buildfile import load, read, write_route
from trialfit.checks import domain_of, run
from trialfit.checks.dragging import DraggingError, dragged, moved, standing
from trialfit.exhaust import Kind
from trialfit.findings import Verdict
from trialfit.geometry import gap_at
from trialfit.vehicle import (
    DEFAULT_INSTRUMENTS,
    Amount,
    Box,
    Build,
    Corner,
    KeepOut,
    LaidPart,
    Reading,
    ReadingKind,
    RoutePlan,
    RouteWish,
    Settings,
    ZoneWish,
)
from trialfit.vehicle.wanted import ExitWish

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
TAPE = DEFAULT_INSTRUMENTS["tape"]
PIPE = RoutePlan("main", Amount(50.0), Amount(1.5), "outlet", "", (Corner((500.0, 0.0, 300.0), Amount(75.0)),),
                 (500.0, 400.0, 300.0))


def hardpoint(name, x, y, z):
    return tuple(Reading(f"{kind} {name}", kind, (name,), (mm,), TAPE) for kind, mm in (
        (ReadingKind.STATION, x), (ReadingKind.OFFSET, y), (ReadingKind.HEIGHT, z)))


def small_build(**more):
    """A pipe that runs rearward, turns right at (500, 0, 300), and passes a block beyond the corner."""
    readings = hardpoint("outlet", 0.0, 0.0, 300.0) + hardpoint("block", 700.0, 200.0, 300.0)
    block = Box("block", "frame", "frame", corner_a="block", along_x=Amount(100.0), along_y=Amount(600.0),
                along_z=Amount(100.0))
    return replace(Build("", "", Settings(), readings, shapes=(block,), routes=(PIPE,)), **more)


@pytest.fixture(scope="module")
def small():
    return run(small_build())


@pytest.fixture(scope="module")
def estate():
    text = (EXAMPLES / "estate" / "build.yaml").read_text()
    build = load(EXAMPLES / "estate" / "build.yaml").build
    return text, run(build, {})


def test_pieces_follow_the_corner_by_hand(small):
    # right angle, R 75 mm, both straights shorter by 75 mm: another route to the answer, plane geometry
    now = dragged(small, "main", 1, (600.0, 0.0, 300.0))
    turn = math.acos(-100.0 / math.hypot(100.0, 400.0))  # from +x to the way to the end
    tangent = 75.0 * math.tan(turn / 2.0)
    lengths = [p.length_to_cut_mm for p in now.cuts.pieces]
    assert [p.kind for p in now.cuts.pieces] == [Kind.STRAIGHT, Kind.BEND, Kind.STRAIGHT]
    assert lengths == pytest.approx([600.0 - tangent, 75.0 * turn, math.hypot(100.0, 400.0) - tangent], abs=1e-6)


def test_gap_follows_the_corner_by_hand(small):
    # the pipe after the corner runs along y at x = 500: its skin lies at 525, the block's face at 650
    was = dragged(small, "main", 1, (500.0, 0.0, 300.0)).gaps[0]
    assert was.thing == "block"
    assert was.lower_mm <= 125.0 <= was.upper_mm
    both = moved(moved(PIPE, 1, (560.0, 0.0, 300.0)), 2, (560.0, 400.0, 300.0))
    again = run(small_build(routes=(both,)))
    now = dragged(again, "main", 1, (560.0, 0.0, 300.0)).gaps[0]
    assert now.lower_mm <= 65.0 <= now.upper_mm
    assert now.upper_mm - now.lower_mm < 3.1


def test_verdict_of_the_points_as_measured(small):
    near = moved(moved(PIPE, 1, (620.0, 0.0, 300.0)), 2, (620.0, 400.0, 300.0))
    gap = dragged(run(small_build(routes=(near,))), "main", 1, (620.0, 0.0, 300.0)).gaps[0]
    assert gap.verdict is Verdict.DOES_NOT_FIT  # 5 mm of air
    assert gap.spare_mm[0] < 0.0
    assert gap.at_thing[0] == pytest.approx(650.0, abs=2.0)
    assert dragged(small, "main", 1, (500.0, 0.0, 300.0)).gaps[0].verdict is Verdict.FITS


def test_agrees_with_the_whole_build_written_and_worked_out_anew(estate):
    # another route to the answer: into the file, read back, every trade run over it
    text, was = estate
    at = (2840.0, 240.0, 520.0)
    now = dragged(was, "main", 3, at)
    plan = now.plan
    again = run(read(write_route(text, "main", plan.corners, plan.end, plan.parts)).build, {})
    assert again.routes[0].points_mm[3] == pytest.approx(at)
    whole = {g.pair.name: (g.lower_mm, g.upper_mm) for g in again.gaps if g.pair}
    assert len(now.gaps) > 20
    for gap in (g for g in now.gaps if g.pair):
        assert (gap.lower_mm, gap.upper_mm) == pytest.approx(whole[gap.pair.name], abs=1e-6)
    assert [p.length_to_cut_mm for p in now.cuts.pieces] == pytest.approx(
        [p.length_to_cut_mm for p in again.cuts[0].pieces])
    assert [p.sd_mm for p in now.cuts.pieces] == pytest.approx([p.sd_mm for p in again.cuts[0].pieces])
    assert {f.name: f.verdict for f in now.findings} == {
        f.name: f.verdict for f in again.routes[0].findings}


@pytest.mark.parametrize("need, verdict", [(20.0, Verdict.FITS), (40.0, Verdict.DOES_NOT_FIT)])
def test_a_box_that_the_search_keeps_out_of_counts_as_a_thing(small, need, verdict):
    # the pipe behind the corner runs along y at x = 500: its skin lies at 525, the box's face at 560
    box = KeepOut("spare wheel", ZoneWish((560.0, 150.0, 200.0), (640.0, 400.0, 400.0)), need)
    wish = RouteWish(ExitWish(ZoneWish(PIPE.end, PIPE.end), (0.0, 1.0, 0.0), 0.2), (), (), keep_out=(box,))
    wanted = replace(small, build=replace(small.build, routes=(replace(PIPE, wish=wish),)))
    gap = next(g for g in dragged(wanted, "main", 1, (500.0, 0.0, 300.0)).gaps if g.thing == "keep-out spare wheel")
    assert gap.lower_mm <= 35.0 <= gap.upper_mm
    assert (gap.required_mm, gap.pair, gap.verdict) == (need, None, verdict)
    assert gap.at_thing[0] == pytest.approx(560.0, abs=0.1)


def test_standing_is_what_the_whole_build_says(estate):
    _, was = estate
    now = standing(was, "main")
    whole = {g.pair.name: (g.lower_mm, g.upper_mm) for g in was.gaps if g.pair}
    assert {g.pair.name: (g.lower_mm, g.upper_mm) for g in now.gaps if g.pair}.items() <= whole.items()
    assert [p.length_to_cut_mm for p in now.cuts.pieces] == [p.length_to_cut_mm for p in was.cuts[0].pieces]
    assert now.gaps[0].spare_mm == min(g.spare_mm for g in now.gaps)


def test_quick_bounds_hold_about_the_certain_ones_and_about_poses_of_the_travel(estate):
    _, was = estate
    at = (2460.0, 230.0, 505.0)
    sure = {g.thing: g for g in dragged(was, "main", 2, at).gaps}
    quick = dragged(was, "main", 2, at, quick=True)
    assert quick.about
    assert all(not g.settled for g in quick.gaps)
    assert {g.thing for g in quick.gaps} == set(sure)
    domain = domain_of(was.travel)
    rng = np.random.default_rng(7)
    poses = [p for p in rng.uniform(domain.lo, domain.hi, (40, 3)) if domain.possible(p)]
    assert len(poses) > 10
    others = {p.thing.name: p.mover for p in was.placed}
    changed = run(replace(was.build, routes=(moved(was.routes[0].plan, 2, at),)), gaps=False)
    pipe = next(p.mover for p in changed.placed if p.thing.name == "exhaust.main")
    for gap in quick.gaps:
        assert gap.lower_mm <= sure[gap.thing].upper_mm
        assert sure[gap.thing].lower_mm <= gap.upper_mm
        if gap.pair is not None:
            met = min(gap_at(pipe, others[gap.thing], p).upper_mm for p in poses)
            assert gap.lower_mm <= met + 1e-6


def test_worst_of_every_share_of_a_route_with_a_part(small):
    box = LaidPart("box", "muffler", 2, 150.0, Amount(200.0), Amount(180.0), Amount(110.0))
    now = dragged(run(small_build(routes=(replace(PIPE, parts=(box,)),))), "main", 1, (500.0, 0.0, 300.0))
    (gap,) = now.gaps
    assert gap.share == "exhaust.main box"
    assert gap.lower_mm <= 150.0 - 90.0 <= gap.upper_mm + 1e-6  # its flat side, 90 mm from the centre line at x = 500


def test_a_route_that_cannot_be_bent_says_why_and_gives_no_pieces(small):
    now = dragged(small, "main", 1, (500.0, 390.0, 300.0))
    assert now.cuts is None
    assert now.gaps == ()
    assert any(f.verdict is Verdict.DOES_NOT_FIT and "too short" in f.reason for f in now.findings)


def test_a_hardpoint_becomes_a_place_of_its_own_and_the_finder_is_forgotten():
    plan = replace(PIPE, corners=(Corner("mid", Amount(75.0)),), found="by trialfit route")
    now = moved(plan, 1, (510.004, 0.0, -0.001))
    assert now.corners[0].point == (510.0, 0.0, 0.0)
    assert math.copysign(1.0, now.corners[0].point[2]) == 1.0
    assert now.corners[0].radius == Amount(75.0)
    assert now.found == ""
    assert plan.corners[0].point == "mid"


@pytest.mark.parametrize(("name", "corner", "xyz", "words"), [
    ("other", 1, (0.0, 0.0, 0.0), "no exhaust of the name other; it has: main"),
    ("main", 0, (0.0, 0.0, 0.0), "the outlet of main stays where the engine has it: measure outlet again"),
    ("main", 3, (0.0, 0.0, 0.0), "has no point 3; its corners are 1 to 1 and its end is 2"),
    ("main", -1, (0.0, 0.0, 0.0), "has no point -1"),
    ("main", 1, (math.nan, 0.0, 0.0), "station nan mm is no place"),
    ("main", 1, (0.0, 20000.1, 0.0), "offset 20000.1 mm is no place on a vehicle; it must lie within 20000 mm"),
    ("main", 2, (0.0, 0.0, -math.inf), "height"),
])
def test_refusals(small, name, corner, xyz, words):
    with pytest.raises(DraggingError, match=words):
        dragged(small, name, corner, xyz)


def test_a_route_that_is_not_laid_is_refused():
    with pytest.raises(DraggingError, match="not laid yet"):
        moved(replace(PIPE, laid=False, corners=(), end=""), 1, (0.0, 0.0, 0.0))
    with pytest.raises(DraggingError, match="not laid yet"):
        standing(run(small_build(routes=(replace(PIPE, laid=False, corners=(), end=""),))), "main")
