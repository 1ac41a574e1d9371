"""Weld lengths against tables of the ellipse, what is refused, and the order of tack of both invented vehicles."""

import itertools
import math
from dataclasses import replace
from pathlib import Path

import pytest

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.exhaust.chain import chain_of, sections
from trialfit.exhaust.pieces import Kind
from trialfit.exhaust.welding import (
    PRACTICE,
    butt_weld_shrinkage,
    fit_up_plan,
    order_of_tack,
    practice_for,
    round_weld_length,
    weld_places,
)

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
    joints = [s.joint for s in steps if not s.joint.startswith("in ")]
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
    doubted = fit_up_plan(cuts, chain, points, "steel", {plan.lengths[0].point: 1.5})
    assert {c.sd_mm for c in doubted.lengths if c.point == plan.lengths[0].point} == {1.5}
    with pytest.raises(ValueError, match="galvanised"):
        fit_up_plan(cuts, chain, points, "galvanised")


def test_wide_tube_takes_more_tacks(made):
    cuts, _, _ = made
    assert {w.tacks for w in weld_places(replace(cuts, diameter_mm=120.0))} == {6}
