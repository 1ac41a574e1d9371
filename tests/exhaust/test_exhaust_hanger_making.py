"""What a hanger is made by: where its rod lies on the pipe, and the words for rod, rubber, bracket and thin shells."""

import math

import numpy as np
import pytest

from trialfit.exhaust.chain import Chain, Element
from trialfit.exhaust.hanger_making import hangers_made
from trialfit.exhaust.hanger_points import Candidate, Hanger
from trialfit.exhaust.hanger_rod import Bracket, RodShape, rod_to
from trialfit.exhaust.isolators import unknown_isolator

SHAPE = RodShape(12.7, 25.4)
BACK = np.array([1.0, 0.0, 0.0])
BAR = Bracket(76.2, 31.75, 6.35, bolts=2, bolt_radius_mm=19.05, thread="5/16-18", grade="5")


def pipe(kind="straight"):
    """A metre of pipe rearward, 400 mm above the floor; its middle is straight pipe or a muffler's body."""
    def one(name, what, at, long, wide=0.0):
        start = np.array([at, 0.0, 400.0])
        return Element(name, what, at, long, start, start + long * BACK, BACK, BACK, 60.0, 1.5, 0.3, width_mm=wide,
                       height_mm=wide)

    return Chain("main", (one("straight", "straight", 0.0, 300.0), one("box", kind, 300.0, 400.0, 60.0),
                          one("straight", "straight", 700.0, 300.0)), ())


def hung(pin, bracket=BAR, kind="bolt"):
    """A hanger 500 mm along it whose rubber is at ``pin``."""
    foot = np.array([500.0, 0.0, 400.0])
    rod = rod_to(foot, BACK, 30.0, np.array(pin), SHAPE)
    none = (0.0, 0.0)
    return Hanger(Candidate("rail.R1", tuple(pin), kind, bracket=bracket), 500.0, foot, rod, unknown_isolator(50.8),
                  none, none, none, np.zeros(3), none, none, none, None, 0.0)


@pytest.mark.parametrize("pin, clock, words", [
    ((500.0, 0.0, 600.0), 0.0, "at the top"),
    # looking rearward down the pipe the vehicle's right side is at the left hand, which is anticlockwise
    ((500.0, 200.0, 400.0), -90.0, "90 deg anticlockwise from the top looking downstream"),
    ((500.0, -200.0, 400.0), 90.0, "90 deg clockwise from the top looking downstream"),
    ((500.0, 150.0, 550.0), -45.0, "45 deg anticlockwise from the top looking downstream"),
])
def test_the_clock_of_the_weld_by_hand(pin, clock, words):
    (made,) = hangers_made(pipe(), [hung(pin)])
    assert math.degrees(made.clock_rad) == pytest.approx(clock, abs=1e-6)
    assert words in made.weld_words


def test_the_weld_lies_behind_the_place_where_the_rod_goes_off():
    hanger = hung((520.0, 150.0, 550.0))
    (made,) = hangers_made(pipe(), [hanger])
    start = hanger.rod.line.point_at(0.0)
    # where the rod's own end lies along the pipe, read off its centre line
    assert sorted((float(start[0]), 500.0)) == pytest.approx(made.weld_mm)
    assert made.to_tail == (start[0] < 500.0)
    assert f"towards the {'tail' if made.to_tail else 'outlet'}" in made.weld_words


def test_all_that_the_bar_and_the_bracket_need_is_said():
    hanger = hung((520.0, 150.0, 550.0))
    (made,) = hangers_made(pipe(), [hanger])
    whole = "; ".join(made.rod_words)
    assert f"round bar 12.7 mm, cut {hanger.rod.length_mm:.0f} mm" in whole
    assert whole.count("on a radius of 25.4 mm") == len(hanger.rod.bends) == 2
    assert "then 40 mm straight" in whole
    assert "drop 50.8 mm" in made.rubber_words
    assert made.bracket_words == ("flat bar 31.75 mm across the load, 6.35 mm along it, arm 76.2 mm from frame to "
                                  "rubber; 2 bolts 5/16-18 grade 5 on a circle of 19.05 mm radius")
    assert "two fillets of 3.0 mm leg, 30 mm each" in hangers_made(
        pipe(), [hung((520.0, 150.0, 550.0), kind="weld")])[0].bracket_words
    assert hangers_made(pipe(), [hung((520.0, 150.0, 550.0), None)])[0].bracket_words == "none said; held by bolts"


def test_a_rod_on_a_mufflers_body_goes_onto_a_saddle_never_onto_the_shell():
    (made,) = hangers_made(pipe("muffler"), [hung((520.0, 150.0, 550.0))])
    assert made.shell == ("box", 300.0, 700.0)
    assert "saddle" in made.shell_words
    assert "never to the bare shell" in made.shell_words
    assert "common practice, no source" in made.shell_words
    assert hangers_made(pipe(), [hung((520.0, 150.0, 550.0))])[0].shell_words == ""
