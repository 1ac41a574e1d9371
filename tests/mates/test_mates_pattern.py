"""One hole pattern on another: least squares against a general optimiser, and by symmetry."""

import math

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment, minimize

from trialfit.findings import Verdict
from trialfit.mates.figure import Hole, Plate
from trialfit.mates.holes import Face, match, on_circle, webs
from trialfit.mates.pattern import CAUTION, circle_answer, hole_pattern_offset, how_to_measure_circle, pattern_answer
from trialfit.parts import Fact

EXACT = 0.0


def facts(points, sd=0.0):
    return tuple((Fact(float(x), sd), Fact(float(y), sd)) for x, y in points)


def moved(points, turn, shift):
    c, s = math.cos(turn), math.sin(turn)
    return points @ np.array([[c, s], [-s, c]]) + np.array(shift)


def brute(have, want):
    """Least sum of squares over turn, shift and pairing, by a general optimiser from many starts."""
    def left(x):
        far = ((have[:, None] - moved(want, x[0], x[1:])[None]) ** 2).sum(axis=2)
        rows, cols = linear_sum_assignment(far)
        return far[rows, cols].sum()

    best = math.inf
    for turn in np.linspace(-math.pi, math.pi, 48, endpoint=False):
        start = [turn, *(have.mean(axis=0) - moved(want, turn, (0.0, 0.0)).mean(axis=0))]
        best = min(best, minimize(left, start, method="Nelder-Mead", options={"xatol": 1e-7, "fatol": 1e-10}).fun)
    return best


@pytest.mark.parametrize("seed, n, m", [(1, 3, 3), (2, 4, 4), (3, 5, 5), (4, 4, 6), (5, 5, 3), (6, 6, 6)])
def test_least_squares_are_those_of_a_general_optimiser(seed, n, m):
    rng = np.random.default_rng(seed)
    have, want = rng.uniform(-60.0, 60.0, (n, 2)), rng.uniform(-60.0, 60.0, (m, 2))
    found = match(have, want)
    mine = sum(d * d for d in found.off_mm)
    assert len(found.pairs) == min(n, m)
    if n == m:
        assert mine == pytest.approx(brute(have, want), rel=1e-4)
    else:
        assert mine <= brute(have, want) * (1.0 + 1e-4)


def test_big_patterns_are_sought_by_assignment_and_found_again():
    rng = np.random.default_rng(7)
    want = rng.uniform(-80.0, 80.0, (10, 2))
    have = moved(want, 2.1, (30.0, -12.0))[rng.permutation(10)] + rng.normal(0.0, 0.2, (10, 2))
    found = match(have, want)
    assert found.turn_rad == pytest.approx(2.1, abs=0.02)
    assert found.worst_mm < 1.0


@pytest.mark.parametrize("seed", range(6))
def test_assignment_finds_what_trying_every_pairing_finds(seed, monkeypatch):
    rng = np.random.default_rng(100 + seed)
    have, want = rng.uniform(-50.0, 50.0, (6, 2)), rng.uniform(-50.0, 50.0, (6, 2))
    every = match(have, want)
    monkeypatch.setattr("trialfit.mates.holes._ALL_PAIRINGS", 0)
    sought = match(have, want)
    assert sought.pairs == every.pairs
    assert sought.rms_mm == pytest.approx(every.rms_mm)


@pytest.mark.parametrize("turn, shift", [(0.3, (4.0, -7.0)), (-1.2, (0.0, 0.0)), (3.0, (100.0, 50.0))])
def test_turned_and_shifted_pattern_is_laid_back_on_itself(turn, shift):
    points = np.array([[0.0, 0.0], [70.0, 3.0], [64.0, 51.0], [-8.0, 40.0]])
    found = match(moved(points, turn, shift), points)
    assert found.worst_mm == pytest.approx(0.0, abs=1e-9)
    assert math.remainder(found.turn_rad - turn, 2.0 * math.pi) == pytest.approx(0.0, abs=1e-9)
    assert found.shift_mm == pytest.approx(shift, abs=1e-9)
    assert found.placed(points) == pytest.approx(moved(points, turn, shift))


def test_shift_of_either_pattern_changes_no_offset():
    rng = np.random.default_rng(11)
    have, want = rng.uniform(-50.0, 50.0, (5, 2)), rng.uniform(-50.0, 50.0, (5, 2))
    a = match(have, want)
    b = match(moved(have, 0.7, (9.0, -3.0)), moved(want, -0.4, (-20.0, 5.0)))
    assert sorted(a.off_mm) == pytest.approx(sorted(b.off_mm), abs=1e-8)
    assert a.pairs == b.pairs


def test_mirrored_pattern_fits_only_when_turned_over():
    points = np.array([[0.0, 0.0], [80.0, 0.0], [80.0, 30.0], [20.0, 55.0]])
    flipped = points * (-1.0, 1.0)
    assert match(flipped, points).worst_mm > 5.0
    assert match(flipped, points, mirrored=True).worst_mm == pytest.approx(0.0, abs=1e-9)


def test_both_mirrored_give_the_mirrored_answer():
    rng = np.random.default_rng(13)
    have, want = rng.uniform(-50.0, 50.0, (5, 2)), rng.uniform(-50.0, 50.0, (5, 2))
    a, b = match(have, want), match(have * (-1.0, 1.0), want * (-1.0, 1.0))
    assert b.turn_rad == pytest.approx(-a.turn_rad)
    assert b.off_mm == pytest.approx(a.off_mm)


def test_of_equal_turns_of_a_round_pattern_the_least_is_taken():
    found = match(on_circle(6, 100.0), on_circle(6, 100.0, math.radians(50.0)))
    assert math.degrees(found.turn_rad) == pytest.approx(10.0)


def test_two_circles_apart_leave_half_their_difference_at_every_hole():
    found = match(on_circle(5, 120.65), on_circle(5, 120.0, 1.0))
    assert found.off_mm == pytest.approx([0.325] * 5)


def test_four_bolts_find_their_places_among_five_holes():
    five = np.vstack((on_circle(4, 90.0, 0.4), [[70.0, 10.0]]))
    found = match(five, on_circle(4, 90.0))
    assert sorted(i for i, _ in found.pairs) == [0, 1, 2, 3]
    assert found.worst_mm == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("bad, words", [
    (np.zeros((1, 2)), "2 to 40 points"), (np.zeros((3, 3)), "two coordinates"), (np.full((3, 2), np.nan), "no finite"),
])  # fmt: skip
def test_what_is_no_pattern_is_refused(bad, words):
    with pytest.raises(ValueError, match=words):
        match(bad, on_circle(3, 50.0))


def test_pattern_in_words_and_in_inches():
    assert hole_pattern_offset("0in,0in 4in,0in 4in,3in", "0,0 101.6,0 101.6,76.2") == pytest.approx(0.0, abs=1e-9)
    with pytest.raises(ValueError, match="write each middle as across,up"):
        hole_pattern_offset("0 0 80 0", "0,0 80,0")
    with pytest.raises(ValueError, match="is no pattern"):
        hole_pattern_offset("0,a 80,0", "0,0 80,0")


def plate(**changes):
    return Face("damper plate", "face", outline=((-60.0, -50.0), (140.0, -50.0), (140.0, 110.0), (-60.0, 110.0)),
                thickness_mm=8.0, **changes)  # fmt: skip


SQUARE = [(0.0, 0.0), (80.0, 0.0), (80.0, 60.0), (0.0, 60.0)]
WIDER = [(0.0, 0.0), (86.0, 0.0), (86.0, 60.0), (0.0, 60.0)]


def test_bolts_within_the_play_fit_with_the_room_that_is_left():
    answer = pattern_answer("plate", facts(SQUARE), Fact(13.0, EXACT), facts(SQUARE), Fact(12.0, EXACT), plate())
    assert answer.verdict is Verdict.FITS
    assert answer.margin == pytest.approx(0.5)


def test_a_wider_pattern_is_slotted_and_each_slot_reaches_its_bolt():
    answer = pattern_answer("plate", facts(SQUARE), Fact(13.0, EXACT), facts(WIDER), Fact(12.0, EXACT), plate())
    assert answer.verdict is Verdict.FITS_AFTER_WORK
    (work,) = answer.works
    assert work.kind == "slot"
    assert answer.caution == CAUTION
    # 6 mm wider leaves 3 mm on either side, half a millimetre of it is in the play already
    slots = [hole for hole in work.figure.holes if not hole.old]
    assert [hole.slot_mm for hole in slots] == pytest.approx([2.5] * 4)
    # the holes that the slots start from are drawn where they are
    there = sorted((hole.x_mm, hole.y_mm, hole.diameter_mm) for hole in work.figure.holes if hole.old)
    assert there == sorted((float(x), float(y), 13.0) for x, y in SQUARE)
    for hole in slots:
        out = -1.0 if hole.x_mm < 40.0 else 1.0
        end = hole.x_mm + out * hole.slot_mm / 2.0
        bolt = -3.0 if out < 0.0 else 83.0
        assert abs(end - bolt) == pytest.approx(0.5)
        assert hole.y_mm == pytest.approx(0.0 if hole.y_mm < 30.0 else 60.0)


def test_slots_that_would_reach_the_edge_make_it_a_new_plate():
    narrow = Face("damper plate", "face", outline=((-18.0, -30.0), (98.0, -30.0), (98.0, 90.0), (-18.0, 90.0)))
    answer = pattern_answer("plate", facts(SQUARE), Fact(13.0, EXACT), facts(WIDER), Fact(12.0, EXACT), narrow)
    assert [work.kind for work in answer.works] == ["make a plate"]
    assert "Too little metal" in answer.reason
    assert "19.50 mm is asked" in answer.reason
    assert not any(hole.old or hole.slot_mm for hole in answer.works[0].figure.holes)


def test_holes_that_must_not_be_slotted_do_not_fit():
    answer = pattern_answer("plate", facts(SQUARE), Fact(13.0, EXACT), facts(WIDER), Fact(12.0, EXACT), plate(),
                            may_slot=False)  # fmt: skip
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert answer.reason.endswith("must not be slotted or drilled")


def test_a_bolt_without_a_hole_is_drilled_where_it_stands():
    more = [*SQUARE, (40.0, 85.0)]
    answer = pattern_answer("plate", facts(SQUARE), Fact(13.0, EXACT), facts(more), Fact(12.0, EXACT), plate())
    assert [work.kind for work in answer.works] == ["drill"]
    new = [hole for hole in answer.works[0].figure.holes if not hole.old]
    assert [(h.x_mm, h.y_mm) for h in new] == [(pytest.approx(40.0), pytest.approx(85.0))]


def test_coarse_points_cannot_be_told_and_say_which_gauge_would_do():
    coarse = facts(SQUARE, 0.5)
    answer = pattern_answer("plate", coarse, Fact(13.0, 0.05), coarse, Fact(12.0, EXACT), plate())
    assert answer.verdict is Verdict.CANNOT_TELL
    assert "calliper" in answer.measure
    assert "standard deviation" in answer.measure


@pytest.mark.parametrize("given, words", [
    ({"have": ()}, "middles of at least two holes"), ({"want": ()}, "middles of at least two of the bolts"),
    ({"hole": None}, "diameter of the holes"), ({"bolt": None}, "diameter of the bolts"),
])  # fmt: skip
def test_what_is_unknown_is_to_be_measured(given, words):
    sizes = {"have": facts(SQUARE), "hole": Fact(13.0, 0.0), "want": facts(SQUARE), "bolt": Fact(12.0, 0.0)} | given
    answer = pattern_answer("plate", sizes["have"], sizes["hole"], sizes["want"], sizes["bolt"], plate())
    assert answer.verdict is Verdict.CANNOT_TELL
    assert words in answer.measure


def test_edge_unknown_leaves_the_slots_open():
    bare = Face("plate", "")
    answer = pattern_answer("plate", facts(SQUARE), Fact(13.0, EXACT), facts(WIDER), Fact(12.0, EXACT), bare)
    assert answer.verdict is Verdict.CANNOT_TELL
    assert "edge of plate" in answer.measure


def test_metal_between_two_slots_is_that_between_their_nearest_ends():
    left = webs([Hole(0.0, 0.0, 10.0, slot_mm=6.0), Hole(30.0, 0.0, 10.0, slot_mm=4.0)], Face("bar", ""))
    assert left.between_mm == pytest.approx(30.0 - 3.0 - 2.0 - 10.0)
    assert (left.edge_mm, left.bore_mm) == (None, None)


def test_slots_that_cross_have_no_metal_between_them():
    crossed = [Hole(0.0, 0.0, 10.0, slot_mm=20.0), Hole(0.0, 0.0, 10.0, slot_mm=20.0, slot_rad=math.pi / 2.0)]
    assert webs(crossed, Face("bar", "")).between_mm == -10.0


def test_hole_outside_the_outline_has_negative_metal():
    triangle = Face("gusset", "", outline=((0.0, 0.0), (100.0, 0.0), (0.0, 100.0)))
    assert webs([Hole(20.0, 20.0, 10.0)], triangle).edge_mm == pytest.approx(15.0)
    assert webs([Hole(60.0, 60.0, 10.0)], triangle).edge_mm == pytest.approx(-(20.0 / math.sqrt(2.0)) - 5.0)


def test_count_of_holes_that_is_a_multiple_goes_over():
    answer = circle_answer("circle", 8, Fact(100.0, 0.0), 4, Fact(100.0, 0.0), 0.3)
    assert answer.verdict is Verdict.FITS
    assert "4 of the 8 holes stay empty" in answer.reason


def test_how_to_measure_goes_by_the_count():
    assert "straight across" in how_to_measure_circle("studs", 4)
    assert "1.7013" in how_to_measure_circle("studs", 5)
    assert "middle to middle" in how_to_measure_circle("studs", None)


def test_the_plate_of_the_figure_is_the_face():
    answer = pattern_answer("plate", facts(SQUARE), Fact(13.0, EXACT), facts(WIDER), Fact(12.0, EXACT), plate())
    figure = answer.works[0].figure
    assert isinstance(figure, Plate)
    assert (figure.outline, figure.thickness_mm) == (plate().outline, 8.0)
