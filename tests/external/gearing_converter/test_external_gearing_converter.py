"""Drag racer's page on converters, and a forum question with a converter's measured table. Edition: none given.

Place: 460 lb-ft at 2.3; stall at 2800, 3900 and 4800 rpm on 180, 395 and 460 lb-ft; torque ratio against speed ratio.
Kind of check: published example (measured).
"""

from collections.abc import Callable
from typing import Any

import pytest

Shell = Callable[[str, str, str], float]


def test_value_of_converter(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)


@pytest.mark.parametrize("torque, measured", [(395, 3900.0), (460, 4800.0)])
def test_stall_rises_with_the_root_of_torque_within_the_tenth_that_is_owned_up_to(torque, measured, shell: Shell):
    found = shell("converter-stall", f"stall=2800 rpm; torque=180 lbf*ft; engine={torque} lbf*ft", "rpm")
    assert found == pytest.approx(measured, rel=0.10)


@pytest.mark.parametrize("share, size", [(0.1, 137.06), (0.2, 135.86), (0.3, 135.66)])
def test_engine_stands_at_stall_as_long_as_the_measured_size_factor_hardly_moves(share, size):
    """The table's size factor is 137.46 at stall; with flat torque the engine's speed goes as it does."""
    from trialfit.driveline import EngineCurve, GearTrain, converter_from_stall, effort_at, tyre_from_code

    flat = EngineCurve(((100.0, 300e3), (600.0, 300e3)))
    converter = converter_from_stall(2.23, 250.0, 300e3)
    train = GearTrain(flat, (1.0,), 3.5, tyre_from_code("225/45R17"), (0.9,), converter=converter)
    found = effort_at(train, 1, train.road_speed_mm_s(1, share * 250.0))
    assert found is not None
    assert found.engine_rad_s / 250.0 == pytest.approx(size / 137.46, rel=0.02)
