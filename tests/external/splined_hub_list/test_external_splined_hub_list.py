"""A list of splined hubs, maker withheld. Edition: as quoted.

Place: teeth, nominal outside of the spline and pitch, to ANSI B92.1; two hubs to DIN 5480 (20 mm, module 1.25, 14
teeth; 30 mm, module 2, 14 teeth). Kind of check: published example. Held both ways: from the name to the size, and from
teeth and size to the one pitch they can have.
"""

from collections.abc import Callable
from typing import Any

import pytest

from trialfit.standards.splines import pitches_of, reference_spline


def test_value_of_splined_hub_list(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)


@pytest.mark.parametrize("teeth,inches,pitch", [
    (9, 0.625, "16/32"), (11, 0.75, "16/32"), (12, 0.8125, "16/32"), (13, 0.875, "16/32"), (13, 1.75, "8/16"),
    (14, 1.25, "12/24"), (14, 1.5, "10/20"),
])  # fmt: skip
def test_teeth_and_size_lead_to_the_listed_pitch_first(teeth, inches, pitch):
    assert pitches_of(teeth, 25.4 * inches, 0.02)[0].name == pitch


@pytest.mark.parametrize("name", ["N20x1.25x14", "N30x2x14"])
def test_the_listed_names_by_reference_diameter_belong_together(name):
    assert reference_spline(name).teeth == 14


@pytest.mark.parametrize("name", ["N20x1.25x13", "N30x2x15", "N30x2x12"])
def test_names_beside_them_do_not(name):
    with pytest.raises(ValueError, match="do not belong together"):
        reference_spline(name)
