"""Pulses, teeth and the law's band of a speedometer.

Works: pickup service manual, speedometer calibration (maker withheld): new teeth = teeth * shown / true, a fraction
under 0.6 dropped and 0.6 or more rounded up; vehicle module programming manual (maker withheld); forum pages; newspaper
on UN Regulation No. 39 with its five examples. Edition: none given. Kind of check: published example; the rows `manual`
and `teeth` put figures into the manuals' formulas by hand (another route to the answer).
"""

from collections.abc import Callable
from typing import Any

import pytest

from trialfit.driveline import driven_gear, speedometer_check
from trialfit.findings import Verdict

KMH = 1e3 / 3.6


def test_value_of_speedometer(outside_value: Any, agrees: Callable[[Any], None]) -> None:
    agrees(outside_value)


@pytest.mark.parametrize("shown, teeth", [(59.0, 18), (58.6, 17), (58.8, 18), (65.0, 19), (65.4, 20)])
def test_the_manual_rounds_up_from_six_tenths(shown, teeth):
    """18 teeth at a true 60: 17.70, 17.58, 17.64, 19.50 and 19.62, rounded by hand."""
    assert driven_gear(18, shown, 60.0, "manual").chosen.teeth == teeth


@pytest.mark.parametrize("true, most", [(50.0, 59.0), (70.0, 81.0), (90.0, 103.0), (110.0, 125.0), (130.0, 147.0)])
def test_band_of_un_r39(true, most):
    assert speedometer_check(most * KMH, true * KMH, 0.0).verdict is Verdict.FITS
    assert speedometer_check(true * KMH, true * KMH, 0.0).verdict is Verdict.FITS
    assert speedometer_check((most + 0.1) * KMH, true * KMH, 0.0).high is Verdict.DOES_NOT_FIT
    assert speedometer_check((true - 0.1) * KMH, true * KMH, 0.0).low is Verdict.DOES_NOT_FIT
