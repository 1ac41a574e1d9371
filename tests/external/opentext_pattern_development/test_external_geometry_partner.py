"""Saddle cuts by meeting two cylinders, bends by adding up a drawn arc, a pie-cut piece by cutting a tube with two
planes. Kind: another route to the answer."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq


@pytest.mark.parametrize("angle", [45.0, 60.0, 90.0])
@pytest.mark.parametrize("around", [0.0, 37.0, 90.0, 180.0, 250.0])
def test_saddle_point_lies_on_both_cylinders(shell, angle, around):
    run, branch = 30.0, 20.0
    told = shell("saddle-cut", f"run=60 mm; branch=40 mm; angle={angle} deg; around={around} deg", "mm")
    a, phi = math.radians(angle), math.radians(around)
    along = np.array([math.cos(a), 0.0, math.sin(a)])
    # nought around is the side towards the acute angle, where the cut comes highest
    low = np.array([-math.sin(a), 0.0, math.cos(a)])
    aside = np.array([0.0, 1.0, 0.0])

    def outside(s: float) -> float:
        point = s * along + branch * (-math.cos(phi) * low + math.sin(phi) * aside)
        return math.hypot(point[1], point[2]) - run

    here = brentq(outside, 5.0, 200.0, xtol=1e-12)
    assert told == pytest.approx(here, abs=1e-6)


@pytest.mark.parametrize("angle,radius", [(90.0, 95.25), (30.0, 60.0), (135.0, 80.0)])
def test_bend_length_set_back_and_gain_of_a_drawn_arc(shell, angle, radius):
    t = np.linspace(0.0, math.radians(angle), 20001)
    arc = np.c_[radius * np.sin(t), radius * (1.0 - np.cos(t))]
    length = np.linalg.norm(np.diff(arc, axis=0), axis=1).sum()
    end = np.array([math.cos(t[-1]), math.sin(t[-1])])
    # corner: where the end's tangent meets the line y = 0
    corner = arc[-1] - end * arc[-1][1] / end[1]
    inputs = f"angle={angle} deg; radius={radius} mm"
    assert shell("bend-length", inputs, "mm") == pytest.approx(length, abs=1e-4)
    assert shell("bend-set-back", inputs, "mm") == pytest.approx(corner[0], abs=1e-6)
    legs = corner[0] + np.linalg.norm(arc[-1] - corner)
    assert shell("bend-gain", inputs, "mm") == pytest.approx(legs - length, abs=1e-4)
