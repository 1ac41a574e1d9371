"""A new circle among old holes: where it goes, and the metal left, by another route."""

import math

import numpy as np
import pytest

from trialfit.findings import Verdict
from trialfit.mates.holes import Face, on_circle
from trialfit.mates.pattern import circle_answer
from trialfit.mates.redrill import best_turn_between_rad, redrill
from trialfit.parts import Fact

FLANGE = Face("axle flange", "face", round_mm=165.0, bore_mm=62.0, thickness_mm=9.5)


def least_web(count_old, old, hole_old, count_new, new, hole_new, turn):
    far = np.linalg.norm(on_circle(count_old, old)[:, None] - on_circle(count_new, new, turn)[None], axis=2)
    return float(far.min()) - (hole_old + hole_new) / 2.0


@pytest.mark.parametrize("counts", [(5, 5), (4, 5), (5, 4), (6, 5), (4, 8), (6, 6), (3, 4)])
def test_no_other_turn_leaves_more_metal(counts):
    old, new = counts
    best = least_web(old, 114.3, 12.0, new, 120.65, 12.0, best_turn_between_rad(old, new))
    for turn in np.linspace(0.0, 2.0 * math.pi / new, 2001):
        assert least_web(old, 114.3, 12.0, new, 120.65, 12.0, turn) <= best + 1e-9


def test_metal_between_is_that_of_the_law_of_cosines():
    done = redrill(FLANGE, 5, 120.65, 13.0, 5, 114.3, 14.0)
    chord = math.sqrt(60.325**2 + 57.15**2 - 2.0 * 60.325 * 57.15 * math.cos(math.radians(36.0)))
    assert done.webs.between_mm == pytest.approx(chord - 13.5)
    assert done.webs.edge_mm == pytest.approx(82.5 - 57.15 - 7.0)
    assert done.webs.bore_mm == pytest.approx(57.15 - 31.0 - 7.0)


def test_enough_metal_is_redrilled_with_old_holes_marked_and_new_ones_toleranced():
    done = redrill(FLANGE, 5, 120.65, 13.0, 5, 114.3, 14.0)
    assert done.enough
    assert done.work.kind == "redrill"
    old = [hole for hole in done.work.figure.holes if hole.old]
    new = [hole for hole in done.work.figure.holes if not hole.old]
    assert (len(old), len(new)) == (5, 5)
    assert all(hole.low_mm == 14.0 and hole.high_mm > 14.0 and hole.position_mm == 0.2 for hole in new)
    assert {round(2.0 * math.hypot(hole.x_mm, hole.y_mm), 6) for hole in new} == {114.3}
    assert done.work.true_to
    assert any("weld" in text for text in done.work.forbidden)


def test_five_among_four_overlap_and_no_plate_helps():
    done = redrill(FLANGE, 4, 100.0, 12.0, 5, 100.0, 12.0)
    assert done.webs.between_mm < 0.0
    assert (done.enough, done.work) == (False, None)
    assert "adapter plate would have no more" in done.reason


def test_too_small_a_flange_asks_for_an_adapter_plate_big_enough():
    small = Face("hub", "flange", round_mm=130.0, bore_mm=62.0)
    done = redrill(small, 5, 100.0, 12.0, 5, 120.65, 12.0)
    assert done.enough is False
    assert done.work.kind == "make a plate"
    assert done.work.figure.round_mm == pytest.approx(120.65 + 2.0 * 1.5 * 12.0)
    assert not any(hole.old for hole in done.work.figure.holes)


def test_unknown_flange_leaves_it_open_and_the_answer_asks_for_it():
    done = redrill(Face("hub", "flange", bore_mm=62.0), 5, 120.65, 13.0, 5, 114.3, 13.0)
    assert done.enough is None
    answer = circle_answer("circle", 5, Fact(114.3, 0.0), 5, Fact(120.65, 0.0), 0.3, work=done)
    assert answer.verdict is Verdict.CANNOT_TELL
    assert answer.measure == "measure the outside of the flange of hub with a calliper"


def test_the_builder_may_ask_for_more_metal():
    choices = {"hole-edge-distance": "2 hole diameters"}
    assert redrill(FLANGE, 5, 120.65, 13.0, 5, 114.3, 13.0, choices=choices).enough is False


@pytest.mark.parametrize("counts", [(1, 5), (5, 21)])
def test_counts_out_of_range_are_refused(counts):
    with pytest.raises(ValueError, match="it must be 2 to 20"):
        redrill(FLANGE, counts[0], 100.0, 12.0, counts[1], 110.0, 12.0)
