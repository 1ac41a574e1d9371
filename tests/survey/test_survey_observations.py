"""Repeats, standard deviations, and lines that cannot be used; expected values worked by hand from the GUM's rules."""

import math

import pytest
from invented_vehicle import K, reading

from trialfit.survey import observe, reading_sd
from trialfit.survey.observations import sort_out
from trialfit.vehicle import Instrument, Reading


def test_printed_limit_and_under_car_part_add_up_to_the_instrument():
    one = reading(K.TAPE, ("a", "b"), 1500.0)
    kept, averaged = reading_sd(one)
    assert math.hypot(kept, averaged) == pytest.approx(one.instrument.sd(1500.0))
    # class II, 2 m begun: 0.3 + 2 * 0.2 mm, hook 0.2 mm
    assert kept == pytest.approx(0.9 / math.sqrt(3.0))


def test_own_give_or_take_replaces_the_instrument():
    assert observe(reading(K.TAPE, ("a", "b"), 1500.0, sd=2.5)).sd == pytest.approx(2.5)


def test_repeats_average_the_under_car_part_only():
    kept, averaged = reading_sd(reading(K.TAPE, ("a", "b"), 600.0))
    many = observe(reading(K.TAPE, ("a", "b"), *([600.0] * 200)))
    assert many.sd > kept
    assert many.sd == pytest.approx(kept, rel=0.05)
    # two equal repeats: pooled variance 2 / 3 of the instrument's, halved for the mean
    assert observe(reading(K.TAPE, ("a", "b"), 600.0, 600.0)).sd == pytest.approx(
        math.sqrt(kept**2 + averaged**2 / 3.0)
    )


def test_wide_spread_counts():
    tight = observe(reading(K.TAPE, ("a", "b"), 600.0, 600.5, 599.5))
    wide = observe(reading(K.TAPE, ("a", "b"), 600.0, 604.0, 596.0))
    assert wide.sd > 1.5 * tight.sd
    # variance of 600, 604, 596 is 16; pooled with 4 / 3 that counts twice
    kept, averaged = reading_sd(reading(K.TAPE, ("a", "b"), 604.0))
    assert wide.sd == pytest.approx(math.sqrt(kept**2 + (2.0 * averaged**2 + 2.0 * 16.0) / 4.0 / 3.0))


def test_one_more_repeat_tells_more():
    seen = observe(reading(K.TAPE, ("a", "b"), 600.0, 601.0))
    assert seen.again_sd < seen.sd


def test_odd_repeat_is_left_out():
    seen = observe(reading(K.TAPE, ("a", "b"), 612.0, 613.0, 912.0))
    assert seen.dropped == (912.0,)
    assert seen.value == pytest.approx(612.5)
    assert not seen.split


def test_two_repeats_that_disagree_own_up_to_it():
    seen = observe(reading(K.TAPE, ("a", "b"), 612.0, 712.0))
    assert seen.split
    assert seen.sd >= 50.0


def test_angle_gauge_without_a_random_part():
    once = observe(reading(K.ANGLE, ("a", "b"), math.radians(3.5)))
    twice = observe(reading(K.ANGLE, ("a", "b"), math.radians(3.5), math.radians(3.5)))
    assert once.sd == pytest.approx(math.radians(0.2) / math.sqrt(3.0))
    assert twice.sd == pytest.approx(once.sd)


def test_angle_between_two_lines_has_no_sign():
    assert observe(reading(K.ANGLE, ("a", "b", "c", "d"), -0.07)).value == pytest.approx(0.07)


@pytest.mark.parametrize(
    "bad, reason",
    [
        (reading(K.TAPE, ("a", "b")), "it has no value"),
        (reading(K.TAPE, ("a", "b"), math.nan), "its value is not a finite number"),
        (reading(K.TAPE, ("a", "b"), 0.0), "a tape between two hardpoints reads more than 0"),
        (reading(K.TAPE, ("a", "b"), 500.0, -1.0), "a tape between two hardpoints reads more than 0"),
        (reading(K.TAPE, ("a", "a"), 10.0), "it goes from a to itself"),
        (reading(K.ANGLE, ("a", "b", "c", "c"), 0.1), "it goes from c to itself"),
        (reading(K.TAPE, ("a",), 10.0), "it names 1 hardpoints, tape takes 2"),
        (reading(K.ANGLE, ("a", "b", "c"), 0.1), "it names 3 hardpoints, angle takes 2 or 4"),
        (reading(K.HEIGHT, ("",), 10.0), "a hardpoint's name is empty"),
        (reading(K.ANGLE, ("a", "b"), 1.6), "it lies beyond 90 deg"),
        (reading(K.ANGLE, ("a", "b", "c", "d"), 3.2), "it lies beyond 180 deg"),
        (reading(K.SIZE, (), -1.0, size="tube"), "a size is more than 0"),
        (reading(K.SIZE, (), 1.0), "it does not say what was measured"),
        (reading(K.TAPE, ("a", "b"), 10.0, sd=0.0), "its give or take is not above 0"),
        (
            Reading("tape a-b", K.TAPE, ("a", "b"), (10.0,), Instrument("perfect", "length", 0.0)),
            "instrument perfect has no limit above 0",
        ),
    ],
)
def test_unusable_line_says_why(bad, reason):
    good, problems = sort_out([bad])
    assert good == []
    (problem,) = problems
    assert problem.reason == reason
    assert problem.remedy


def test_lines_of_one_name_are_kept_apart():
    one = reading(K.HEIGHT, ("a",), 10.0)
    good, _ = sort_out([one, one, one])
    assert [o.identity for o in good] == ["height a", "height a #2", "height a #3"]
