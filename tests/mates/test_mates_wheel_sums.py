"""Sums about wheels: circles from chords and edges, offset, thread engaged; round trips and refusals."""

import math

import pytest

from trialfit.mates.bolt_circle import EDGES, bolt_circle_by_edges, bolt_circle_from_chord, known_circle
from trialfit.mates.stud import stud_engagement, thread_by_turns, turns_of_thread
from trialfit.mates.wheel_place import (
    wheel_backspacing,
    wheel_inner_edge,
    wheel_offset_by_overall_width,
    wheel_offset_from_backspacing,
    wheel_outer_edge,
)  # fmt: skip
from trialfit.parts import Fact


@pytest.mark.parametrize("count", range(3, 11))
def test_circle_from_chord_undoes_the_chord_between_points(count):
    for steps in range(1, count // 2 + 1):
        across = math.dist((60.0, 0.0), (60.0 * math.cos(t := 2.0 * math.pi * steps / count), 60.0 * math.sin(t)))
        assert bolt_circle_from_chord(float(count), across, float(steps)) == pytest.approx(120.0)


@pytest.mark.parametrize("count, steps, words", [
    (2.0, 1.0, "from 3 to 20"), (5.5, 1.0, "whole number"), (5.0, 3.0, "1 to 2"), (5.0, 0.0, "1 to 2"),
])  # fmt: skip
def test_impossible_chords_are_refused(count, steps, words):
    with pytest.raises(ValueError, match=words):
        bolt_circle_from_chord(count, 60.0, steps)


def test_edges_all_lead_to_one_circle():
    chord, hole = 114.3 * math.sin(math.pi / 5.0), 14.0
    taken = {"inner": chord - hole, "outer": chord + hole, "same": chord, "centre to far": chord + hole / 2.0}
    assert set(taken) == set(EDGES)
    for edges, distance in taken.items():
        assert bolt_circle_by_edges(5.0, distance, hole, edges, 1.0) == pytest.approx(114.3)
    with pytest.raises(ValueError, match="one of: inner, outer"):
        bolt_circle_by_edges(5.0, 60.0, hole, "near", 1.0)
    with pytest.raises(ValueError, match="cannot lie within"):
        bolt_circle_by_edges(5.0, 10.0, hole, "outer", 1.0)


def test_the_circle_written_down_goes_before_the_chord():
    assert known_circle(5, Fact(114.3, 0.0), Fact(50.0, 0.1)) == Fact(114.3, 0.0)
    assert known_circle(None, None, Fact(50.0, 0.1)) is None
    assert known_circle(5, None, Fact(50.0)).sd is None


@pytest.mark.parametrize("offset", [-75.0, -12.0, 0.0, 35.0, 60.0])
def test_backspacing_and_offset_undo_one_another(offset):
    back = wheel_backspacing(203.2, offset, 12.7)
    assert wheel_offset_from_backspacing(back, 203.2, 12.7) == pytest.approx(offset)
    assert wheel_inner_edge(203.2, offset, 12.7, 0.0, 0.0) == pytest.approx(back)


def test_a_wide_tyre_reaches_farther_in_than_the_rim():
    assert wheel_inner_edge(177.8, 30.0, 12.7, 245.0, 0.0) == pytest.approx(152.5)


@pytest.mark.parametrize("sizes, words", [((7.0, 0.0, 12.7), "rim width"), ((177.8, 200.0, 12.7), "offset"),
                                          ((177.8, 0.0, 40.0), "lip")])  # fmt: skip
def test_wheels_out_of_range_are_refused_with_the_range(sizes, words):
    with pytest.raises(ValueError, match=words):
        wheel_backspacing(*sizes)


def test_inner_and_outer_edge_are_the_width_apart():
    sizes = (203.2, 15.0, 12.7, 0.0, 8.0)
    assert wheel_inner_edge(*sizes) + wheel_outer_edge(*sizes) == pytest.approx(203.2 + 25.4)


def test_a_spacer_moves_the_wheel_out_and_nothing_else():
    bare, spaced = (203.2, 15.0, 12.7, 225.0, 0.0), (203.2, 15.0, 12.7, 225.0, 10.0)
    assert wheel_inner_edge(*bare) - wheel_inner_edge(*spaced) == pytest.approx(10.0)
    assert wheel_outer_edge(*spaced) - wheel_outer_edge(*bare) == pytest.approx(10.0)


@pytest.mark.parametrize("function, sizes, words", [
    (wheel_inner_edge, (203.2, 0.0, 12.7, 50.0, 0.0), "section width"),
    (wheel_outer_edge, (203.2, 0.0, 12.7, 0.0, 150.0), "spacer"),
    (wheel_offset_by_overall_width, (250.0, 203.0), "backspacing"),
    (wheel_offset_by_overall_width, (100.0, 700.0), "overall width"),
    (stud_engagement, (0.0, 10.0, 20.0, 0.0, 0.0), "stud"), (stud_engagement, (40.0, 10.0, 20.0, -1.0, 0.0), "shank"),
    (turns_of_thread, (0.0, "M12x1.5"), "engaged"), (thread_by_turns, (5.0, "M12x1.3"), "M12x1.25"),
])  # fmt: skip
def test_sums_refuse_what_cannot_be(function, sizes, words):
    with pytest.raises(ValueError, match=words):
        function(*sizes)


def test_a_nut_that_does_not_reach_the_stud_has_negative_engagement():
    assert stud_engagement(20.0, 25.0, 20.0, 0.0, 0.0) == -5.0


def test_turns_and_length_undo_one_another():
    assert turns_of_thread(thread_by_turns(7.5, "7/16-20"), "7/16-20") == pytest.approx(7.5)
