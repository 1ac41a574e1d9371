"""Cones to pipe of another size: length, angle, sheet."""

import math

import numpy as np
import pytest

from trialfit.exhaust.transitions import cone_cut, cone_finding, cone_mass_kg, cone_room_finding
from trialfit.findings import Verdict
from trialfit.geometry.solids import Frustum
from trialfit.standards import rule

MOST = rule("transition-angle")


def test_a_3_in_outlet_into_three_and_a_half_inch_pipe():
    """Common case named by the trade; radii of the flat sheet by school geometry, from the apex."""
    cone = cone_cut("main", "outlet cone", "outlet", 88.9, 76.2, 1.5, 60.0, 0.0, MOST)
    assert math.degrees(cone.angle_rad) == pytest.approx(2.0 * math.degrees(math.atan(6.35 / 60.0)))
    mean = (76.2 - 1.5, 88.9 - 1.5)
    slant = math.hypot((mean[1] - mean[0]) / 2.0, 60.0)
    far = slant * mean[1] / (mean[1] - mean[0])
    sheet = cone.paper.outline
    # the long edge of the sheet is as long as the large end is round
    turned = math.pi * mean[1] / far
    wide = 2.0 * far * math.sin(turned / 2.0) if turned < math.pi else 2.0 * far
    assert np.ptp(sheet[:, 0]) == pytest.approx(wide, abs=0.05)
    assert cone.paper.name == "main outlet cone"
    assert cone_finding("main", cone, MOST).verdict is Verdict.FITS_AFTER_WORK


def test_without_a_length_it_has_the_angle_of_the_rule():
    cone = cone_cut("main", "tip", "tail", 63.5, 76.2, 1.5, None, 8.0, MOST)
    assert math.degrees(cone.angle_rad) == pytest.approx(MOST.in_force.value)
    assert cone.length_mm == pytest.approx(60.4, abs=0.1)
    found = cone_finding("main", cone, MOST)
    assert found.verdict is Verdict.FITS
    assert found.rule == "transition-angle"


@pytest.mark.parametrize("far,wall,length,lap,words", [
    (63.7, 1.5, 60.0, 0.0, "which is one size: butt the pipes"),
    (76.2, 1.5, 0.0, 0.0, "length must be positive|length is 0"),
    (76.2, 80.0, 60.0, 0.0, "mm"),
    (76.2, 1.5, 60.0, -1.0, "lap -1 mm must be 0 or more"),
])  # fmt: skip
def test_what_cannot_be_made_is_refused(far, wall, length, lap, words):
    with pytest.raises(ValueError, match=words):
        cone_cut("main", "tip", "tail", 63.5, far, wall, length, lap, MOST)


@pytest.mark.parametrize("gap, height, verdict, words", [
    (12.0, 300.0, Verdict.FITS, "12 mm clear"), (-4.0, 300.0, Verdict.DOES_NOT_FIT, "meets something by 4 mm"),
    (math.inf, 300.0, Verdict.FITS, "nothing near"), (50.0, 30.0, Verdict.DOES_NOT_FIT, "the ground"),
])
def test_a_cone_needs_room_and_stays_off_the_ground(gap, height, verdict, words):
    cone = cone_cut("main", "tip", "tail", 63.5, 76.2, 1.5, 90.0, 0.0, MOST)
    solid = Frustum(np.array([0.0, 0.0, height]), np.array([90.0, 0.0, height]), 31.75, 38.1)
    found = cone_room_finding("main", cone, solid, lambda _: gap, 0.23)
    assert found.verdict is verdict
    assert words in found.reason
    assert found.margin is None or math.isfinite(found.margin)


def test_a_cone_weighs_what_a_pipe_of_its_mean_size_and_slant_weighs():
    # Pappus: the sheet's middle goes round at half the mean diameter
    cone = cone_cut("main", "tip", "tail", 63.5, 76.2, 1.5, 90.0, 0.0, MOST)
    slant = math.hypot(90.0, (76.2 - 63.5) / 2.0)
    mean = (63.5 + 76.2) / 2.0 - 1.5
    assert cone_mass_kg(cone, 7850.0) == pytest.approx(math.pi * mean * slant * 1.5 * 7850.0e-9)
