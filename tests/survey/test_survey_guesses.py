"""The slip behind a deviation: given when one explains it, both when two do, none when it might be anything."""

import math

import pytest
from invented_vehicle import K, reading

from trialfit.survey import observe
from trialfit.survey.guesses import guess, twin


def seen(kind, value, typed, points=("a", "b")):
    return observe(reading(kind, points, value, typed=typed))


@pytest.mark.parametrize(
    "value, typed, off, words",
    [
        (1500.0, "tape a b 1500 mm", 304.6, "one foot too long"),
        (1500.0, "tape a b 1500 mm", -26.0, "one inch too short"),
        (1500.0, "tape a b 1500 mm", 9.6, "10 mm too long"),
        (1500.0, "tape a b 1500 mm", -1000.7, "1000 mm too short"),
        (1500.0, "tape a b 1500 mm", 99.0, "100 mm too long, as when measured from the 100 mm mark"),
        (1500.0, "tape a b 1500 mm", -73.0, "the length of the tape's case left out"),
        (752.0, "tape a b 752 mm", 752.0 - 572.0, "swapped digits (752 for 572)"),
        (752.0, "tape a b 752 mm", 752.0 - 725.0, "swapped digits (752 for 725)"),
        (31 * 25.4, "tape a b 31 in", 18 * 25.4, "swapped digits (31 for 13)"),
        (40 * 25.4, "tape a b 40 in", 254.0, "10 in too long, as when measured from the 10 in mark"),
        (3.875 * 25.4, "tape a b 3 7/8 in", -0.25 * 25.4, "the fraction counted down from the inch mark"),
        (61.2, "tape a b 61.2 mm", 61.2 - 612.0, "cm written as mm, or a digit left out"),
        (24.0, "tape a b 24 mm", 24.0 - 24.0 * 25.4, "inches written as mm"),
    ],
)
def test_one_slip_explains_it(value, typed, off, words):
    assert words in guess(seen(K.TAPE, value, typed), off, 0.9)


def test_two_slips_are_both_named():
    # 27 mm for the swapped 752 and 25.4 mm for an inch lie 1.6 mm apart
    text = guess(seen(K.TAPE, 752.0, "tape a b 752 mm"), 26.3, 1.5)
    assert text.startswith("either ")
    assert "one inch too long" in text
    assert "swapped digits (752 for 725)" in text


@pytest.mark.parametrize("off, off_sd", [(47.0, 1.0), (2.0, 1.5), (100.0, math.inf), (300.0, 200.0), (140.0, 30.0)])
def test_no_guess_without_an_explanation(off, off_sd):
    assert guess(seen(K.TAPE, 1500.0, "tape a b 1500 mm"), off, off_sd) == ""


def test_inch_tape_is_not_read_in_millimetre_steps():
    assert guess(seen(K.TAPE, 20 * 25.4, "tape a b 20 in"), 100.0, 1.0) == ""
    assert guess(seen(K.TAPE, 20 * 25.4, "tape a b 20 in"), 10.0, 1.0) == ""


def test_number_in_a_hardpoint_name_is_no_reading():
    assert guess(seen(K.TAPE, 500.0, "tape p12 q7 500 mm", ("p12", "q7")), 12.0 - 21.0, 0.3) == ""


def test_signs():
    assert guess(seen(K.OFFSET, 462.0, "offset a 462 mm right", ("a",)), 924.0, 2.0) == "the sign: left for right"
    assert guess(seen(K.STATION, 210.0, "station a 210 mm", ("a",)), 420.0, 2.0) == "the sign: ahead for behind"
    up = seen(K.ANGLE, math.radians(3.5), "angle a b 3.5 deg")
    assert guess(up, math.radians(7.0), math.radians(0.2)) == "the sign: up for down"
    assert "other end of the scale" in guess(
        seen(K.ANGLE, math.radians(80.0), "angle a b 80 deg"), math.radians(70.0), 0.005
    )


def test_height_has_no_sign_to_mistake():
    assert guess(seen(K.HEIGHT, 231.0, "height a 231 mm", ("a",)), 462.0, 2.0) == ""


def test_twin_on_the_other_side_explains_it():
    words = ("taken at eye.R instead of eye.L", 47.0, 1.0)
    assert guess(seen(K.TAPE, 1500.0, "tape eye.L b 1500 mm", ("eye.L", "b")), 47.5, 1.0, (words,)) == words[0]


@pytest.mark.parametrize(
    "name, other",
    [
        ("eye.L", "eye.R"),
        ("R_pad", "L_pad"),
        ("rail left front", "rail right front"),
        ("spring-LH", "spring-RH"),
        ("pinion", None),
        ("L", None),
        ("Lever", None),
    ],
)
def test_twin_names(name, other):
    assert twin(name) == other
