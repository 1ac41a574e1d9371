"""SAE J429 strength grades, Mechanical Engineering Design, 5th ed., p. 341 (D06-12 to D06-14), ksi. Kind: standard's
table."""

import pytest

from trialfit.standards import bolt_grade

KSI = 6.894757293168361


@pytest.mark.parametrize("grade,diameter_in,proof,yield_,tensile", [
    ("2", 0.25, 55, 57, 74), ("2", 0.75, 55, 57, 74), ("5", 0.25, 85, 92, 120), ("5", 1.0, 85, 92, 120),
    ("8", 0.25, 120, 130, 150), ("8", 1.5, 120, 130, 150),
])  # fmt: skip
def test_strength(grade, diameter_in, proof, yield_, tensile):
    found = bolt_grade(grade, diameter_in * 25.4)
    assert [found.proof_mpa / KSI, found.yield_mpa / KSI, found.tensile_mpa / KSI] == pytest.approx(
        [proof, yield_, tensile]
    )
