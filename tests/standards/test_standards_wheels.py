"""Wheel tables: forms of a designation, circles that a measured one may be, seats, threads."""

import math

import pytest

from trialfit.parts.wheel_ports import SEATS
from trialfit.standards import table, thread_called
from trialfit.standards.wheels import (
    SEAT_FORMS,
    bolt_circle_called,
    bolt_circles,
    circles_near,
    nut_seats,
    seat_centres,
    wheel_threads,
)  # fmt: skip


def test_inches_are_exactly_as_many_millimetres():
    for row in table("bolt_circles").rows:
        count, _, size = row["circle"].partition("x")
        assert (count, float(size)) == (row["count"], float(row["mm"]))
        if row["in"]:
            assert float(row["mm"]) == pytest.approx(float(row["in"]) * 25.4, abs=1e-9)


@pytest.mark.parametrize("name, circle", [
    ("5x4.75", "5x120.65"), ("5x120", "5x120"), ("5 X 120.65", "5x120.65"), ("6x5.5", "6x139.7"),
    ("5 on 4.5", "5x114.3"),
    ("4x4.25", "4x107.95"), ("4×108", "4x108"),
])  # fmt: skip
def test_a_circle_by_either_of_its_names(name, circle):
    assert bolt_circle_called(name).name == circle


@pytest.mark.parametrize("name, words", [
    ("5x121", "known: 5x98"), ("7x120", "counts 4, 5, 6 and 8"), ("wheel", "write 5x120.65"),
    ("5x4 3/4", "write 5x120.65"),
])  # fmt: skip
def test_what_is_no_circle_is_refused(name, words):
    with pytest.raises(ValueError, match=words):
        bolt_circle_called(name)


def test_circles_that_a_coarse_gauge_cannot_tell_apart():
    assert [c.name for c in circles_near(5, 114.6, 0.3)] == ["5x114.3", "5x115"]
    assert [c.name for c in circles_near(5, 114.35, 0.05)] == ["5x114.3"]
    assert circles_near(5, 123.0, 0.2) == ()


def test_seats_are_those_of_the_port():
    assert SEATS == SEAT_FORMS
    assert {seat.form for seat in nut_seats()} == set(SEAT_FORMS)
    assert [seat_centres(form) for form in SEAT_FORMS] == [True, True, False, False]
    with pytest.raises(ValueError, match="no seat has the form 'cone'"):
        seat_centres("cone")
    taper = next(seat for seat in nut_seats() if seat.name == "taper 60")
    assert taper.angle_rad == pytest.approx(math.pi / 3.0)


def test_threads_of_wheels_are_threads():
    assert {thread_called(name).system for name in wheel_threads()} == {"metric", "unified"}


def test_common_circles_of_one_count_stand_in_order_and_apart():
    for count in {c.count for c in bolt_circles()}:
        sizes = [c.circle_mm for c in bolt_circles() if c.count == count]
        assert sizes == sorted(set(sizes))
