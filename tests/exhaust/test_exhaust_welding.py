"""Weld lengths against tables of the ellipse, what is refused, and the order of tack of both invented vehicles."""

import itertools
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.exhaust.beside import beside_of
from trialfit.exhaust.branch import Branch, branch_cut
from trialfit.exhaust.chain import Chain, Element, chain_of, loose_bellows, section_name, sections
from trialfit.exhaust.pieces import Kind
from trialfit.exhaust.transitions import cone_cut
from trialfit.exhaust.welding import (
    PRACTICE,
    butt_weld_shrinkage,
    fit_up_plan,
    order_of_tack,
    practice_for,
    round_weld_length,
    told_to_trim,
    weld_places,
)
from trialfit.standards import rule

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module", params=("estate", "flatbed"))
def made(request):
    results = run(load(EXAMPLES / request.param / "build.yaml").build, gaps=False)
    return results.cuts[0], chain_of(results.routes[0], results.cuts[0]), results.points


def test_a_slanted_cut_is_an_ellipse():
    """Circumference of an ellipse with half axes 2 and 1: 9.68845 (mathematical tables, from memory); a cut at 60 deg
    through a tube of diameter 2 is that ellipse."""
    assert round_weld_length(2.0, math.radians(60.0)) == pytest.approx(9.68845, abs=2e-5)
    assert round_weld_length(63.5) == pytest.approx(math.pi * 63.5)
    # a chain of short chords round the cut, another route to the same length
    face, r = math.radians(22.5), 30.0
    ring = [(r * math.cos(a), r * math.sin(a), r * math.cos(a) * math.tan(face))
            for a in (math.tau * k / 3000 for k in range(3001))]
    assert round_weld_length(60.0, face) == pytest.approx(
        math.fsum(math.dist(a, b) for a, b in itertools.pairwise(ring)), rel=1e-6)


@pytest.mark.parametrize("bad", [{"diameter": 0.0}, {"diameter": 60.0, "face": 1.45}, {"diameter": 60.0, "face": -0.1}])
def test_a_weld_out_of_range_is_refused(bad):
    with pytest.raises(ValueError):
        round_weld_length(**bad)


def test_shrinkage_by_hand():
    """0.2 * (4 mm * 1.5 mm) / 1.5 mm + 0.05 * 1 mm = 0.85 mm (Spraragen and Ettinger, from memory)."""
    assert butt_weld_shrinkage(4.0, 1.5, 1.0) == pytest.approx(0.85)
    with pytest.raises(ValueError, match="gap"):
        butt_weld_shrinkage(4.0, 1.5, 6.0)


def test_galvanised_is_refused_with_its_danger():
    with pytest.raises(ValueError, match="Zinc fumes"):
        practice_for("galvanised")
    with pytest.raises(ValueError, match="stainless"):
        practice_for("stainles")


def test_every_material_has_a_whole_row():
    for row in PRACTICE.rows:
        if row["refused"] == "yes":
            continue
        told = practice_for(row["material"])
        assert told.tacks >= 4
        assert 0.0 < told.bead[0] < told.bead[1]
        assert all((told.process, told.filler, told.gas, told.preparation, told.caution))
    assert practice_for("stainless").purged
    assert practice_for("titanium").purged
    assert not practice_for("steel").purged


def test_every_joint_is_tacked_once_and_in_order(made):
    cuts, _, _ = made
    steps = order_of_tack(cuts)
    assert [s.number for s in steps] == list(range(1, len(steps) + 1))
    joints = [s.joint for s in steps if s.joint and not s.joint.startswith("in ")]
    assert joints == [*(p.start for p in cuts.pieces), cuts.pieces[-1].end]
    # every bend but none other is turned to a mark, by the arc that its strip of paper has
    marked = [s for s in steps if "outside line" in s.what and s.joint in joints]
    bends = [p for p in cuts.pieces if p.kind in (Kind.BEND, Kind.PIE_CUT)]
    turns = [cuts.start.clocking, *(p.clocking for p in bends[:-1])]
    assert len(marked) == len(bends)
    for step, bend, turn in zip(marked, bends, turns, strict=True):
        assert step.joint == bend.start
        assert turn.to_piece == bend.number
        assert f"{turn.arc_mm:.1f} mm {turn.way}" in step.what


def test_welds_are_those_of_the_cut_list(made):
    cuts, _, _ = made
    welds = weld_places(cuts)
    assert sum(w.count for w in welds) == cuts.welds
    pie = next(p for p in cuts.pieces if p.pie is not None)
    within = next(w for w in welds if w.within)
    assert within.count == pie.pie.joints
    assert within.length_mm > math.pi * cuts.diameter_mm
    assert all(w.length_mm == pytest.approx(math.pi * cuts.diameter_mm) for w in welds if not w.within)


def test_the_plan_has_every_section_and_its_mass(made):
    cuts, chain, points = made
    plan = fit_up_plan(cuts, chain, points, "aluminised steel")
    assert len(plan.sections) == len(sections(chain))
    assert math.fsum(s.mass_kg for s in plan.sections) == pytest.approx(chain.mass_kg)
    # by hand: ring of the tube's section times its length and the density of steel
    d, t = cuts.diameter_mm, cuts.wall_mm
    for part, own in zip(plan.sections, sections(chain), strict=True):
        tube = math.fsum(e.length_mm for e in own if not e.is_part)
        parts = math.fsum(e.mass_kg for e in own if e.is_part)
        assert part.mass_kg == pytest.approx(math.pi * (d - t) * t * tube * 7.85e-6 + parts)
    assert [s.letter for s in plan.slips] == [p.start for p in cuts.pieces]
    count = sum(w.count for w in plan.welds)
    assert plan.shrink_all_mm == pytest.approx(tuple(count * v for v in plan.shrink_mm))
    for check in plan.lengths:
        piece = next(p for p in cuts.pieces if p.end == check.letter)
        assert check.length_mm == pytest.approx(math.dist(piece.end_xyz_mm, points[check.point]), abs=1e-6)
    # alike in every direction, so the doubt along the length is that of any of them
    doubted = fit_up_plan(cuts, chain, points, "steel", {plan.lengths[0].point: 2.25 * np.eye(3)})
    assert {round(c.sd_mm, 9) for c in doubted.lengths if c.point == plan.lengths[0].point} == {1.5}
    with pytest.raises(ValueError, match="galvanised"):
        fit_up_plan(cuts, chain, points, "galvanised")


def test_wide_tube_takes_more_tacks(made):
    cuts, _, _ = made
    assert {w.tacks for w in weld_places(replace(cuts, diameter_mm=120.0))} == {6}


def test_joint_b_is_checked_and_the_last_straight_is_trimmed_before_the_cone(made):
    cuts, chain, points = made
    first = next(s for s in order_of_tack(cuts) if s.joint == cuts.pieces[0].start)
    assert first.what.endswith(f"then check joint {cuts.pieces[0].end}")
    cone = cone_cut("main", "tip", "tail", cuts.diameter_mm, cuts.diameter_mm + 20.0, 1.5, 80.0, 0.0,
                    rule("transition-angle"))
    plan = fit_up_plan(cuts, chain, points, "steel", beside=beside_of(chain, cuts, (), (cone,)))
    assert plan.to_trim is cuts.pieces[-1]
    told = told_to_trim(cuts, plan)
    assert told.pieces[:-1] == cuts.pieces[:-1]
    (note,) = told.pieces[-1].notes[len(cuts.pieces[-1].notes):]
    assert note.startswith(f"cut it {math.ceil(plan.shrink_all_mm[1])} mm longer")
    assert told_to_trim(cuts, None) is cuts
    assert [f"piece {cuts.pieces[-1].number} trimmed" in s.what for s in plan.tacks[-2:]] == [True, False]
    assert plan.tacks[-1].what.startswith("cone tip")
    bare = fit_up_plan(cuts, chain, points, "steel")
    assert plan.weld_count == bare.weld_count + 2
    # once round the pipe, and a seam as long as the cone's side
    more = plan.weld_length_mm - bare.weld_length_mm
    assert more == pytest.approx(math.pi * cuts.diameter_mm + math.hypot(80.0, 10.0))
    assert plan.sections[-1].mass_kg > bare.sections[-1].mass_kg
    assert [s.name for s in plan.sections] == [section_name(p, n) for n, p in enumerate(sections(chain), 1)]
    # trimmed after all: what it is longer by covers all that is drawn in
    assert plan.trim_mm >= plan.shrink_all_mm[1] > plan.trim_mm - 1.0


def test_a_branch_is_tacked_once_the_pipe_stands(made):
    cuts, chain, points = made
    straight = max((e for e in chain.elements if e.kind == "straight"), key=lambda e: e.length_mm)
    at = straight.from_mm + 0.5 * straight.length_mm
    cut = branch_cut(chain, Branch("dump", at, math.pi / 2.0, math.radians(45.0), 40.0, 1.5, 150.0))
    (one,) = beside_of(chain, cuts, (cut,), ())
    assert one.weld_mm == cut.weld_mm
    # ring of the section times length times density of steel
    assert one.mass_kg == pytest.approx(math.pi * 38.5 * 1.5 * 150.0 * 7.85e-6)
    # clock angles of the file look against the flow; on the bench one looks down the pipe
    assert "90.0 deg anticlockwise from the top, looking downstream, to the vehicle's right" in one.words
    plan = fit_up_plan(cuts, chain, points, "steel", beside=(one,))
    tail = next(s for s in plan.tacks if s.joint == cuts.pieces[-1].end)
    assert plan.tacks[tail.number].what.startswith("branch dump onto piece")
    assert all(low - 1e-6 <= v <= high + 1e-6 for end in (cut.start, cut.end)
               for low, v, high in zip(one.low_mm, end, one.high_mm, strict=True))


def test_bellows_come_off_first_only_where_joints_hold_them():
    def one(name, kind, at):
        return Element(name, kind, at, 100.0, *(np.zeros(3),) * 4, 60.0, 1.5, 0.3)

    welded = Chain("main", (one("a", "straight", 0.0), one("flex", "bellows", 100.0), one("band", "joint", 200.0)), ())
    assert loose_bellows(welded) == ()
    held = Chain("main", (one("v1", "joint", 0.0), one("flex", "bellows", 100.0), one("v2", "joint", 200.0),
                          one("tail", "straight", 300.0)), ())
    assert loose_bellows(held) == ("flex",)
    assert [section_name(p, n) for n, p in enumerate(sections(held), 1)] == ["section 1", "section 2 with flex",
                                                                             "section 3"]


def test_a_check_length_has_the_doubt_of_its_point_and_never_less_than_three_mm(made):
    cuts, chain, points = made
    plain = fit_up_plan(cuts, chain, points, "steel").lengths[0]
    joint = next(p for p in cuts.pieces if p.end == plain.letter)
    way = (np.asarray(points[plain.point]) - joint.end_xyz_mm) / plain.length_mm
    assert plain.give_mm is None
    assert plain.limit_mm == 3.0
    # 4 mm along the length and nothing across it
    (known, *_) = fit_up_plan(cuts, chain, points, "steel", {plain.point: 16.0 * np.outer(way, way)}).lengths
    assert known.sd_mm == pytest.approx(4.0, abs=1e-4)
    assert known.limit_mm == pytest.approx(1.96 * 4.0, rel=1e-3)
    across = np.cross(way, [0.3, 0.5, 0.8])
    (known, *_) = fit_up_plan(cuts, chain, points, "steel", {plain.point: np.outer(across, across)}).lengths
    assert known.sd_mm == pytest.approx(0.0, abs=1e-3)
    assert known.limit_mm == 3.0
