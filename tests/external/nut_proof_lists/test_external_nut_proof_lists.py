"""ISO 898-2 and SAE J995 through published lists, SAE J429 through a supplier's copy of its table. Kind: standard's
table. The loads of class 8 nuts are also held against the stress printed for galvanised ones by ISO 10684: a nut tapped
oversize must carry less.
"""

import pytest

from trialfit.standards import bolt_grade, stress_area_mm2, thread_called
from trialfit.standards.grades import nut_proof_load_n

KSI = 6.894757293168361


@pytest.mark.parametrize("grade,thread,printed", [
    ("8", "M8", 31800.0), ("8", "M12", 74200.0), ("10", "M10", 60300.0), ("12", "M16", 186800.0), ("5", "M10", 34200.0),
    ("6", "M20", 176400.0),
])  # fmt: skip
def test_metric_nut(grade, thread, printed):
    assert nut_proof_load_n(grade, thread_called(thread)) == printed


@pytest.mark.parametrize("grade,thread,ksi", [
    ("2", "1/2-13", 90.0), ("5", "1/2-13", 120.0), ("5", "1/2-20", 109.0), ("8", "1/2-13", 150.0),
    ("8", "5/8-18", 150.0),
])  # fmt: skip
def test_inch_nut(grade, thread, ksi):
    screw = thread_called(thread)
    assert nut_proof_load_n(grade, screw) / stress_area_mm2(screw) / KSI == pytest.approx(ksi)


@pytest.mark.parametrize("thread,grade,oversize", [
    ("M8", "8", 25500.0), ("M10", "8", 42200.0), ("M8", "10", 30600.0), ("M10", "10", 50400.0),
])  # fmt: skip
def test_a_nut_tapped_oversize_carries_less(thread, grade, oversize):
    assert nut_proof_load_n(grade, thread_called(thread)) > oversize


@pytest.mark.parametrize("grade,diameter_in,proof,yield_,tensile", [
    ("1", 0.5, 33, 36, 60), ("2", 1.0, 33, 36, 60), ("5", 1.25, 74, 81, 105), ("8", 1.0, 120, 130, 150),
])  # fmt: skip
def test_inch_grades(grade, diameter_in, proof, yield_, tensile):
    found = bolt_grade(grade, diameter_in * 25.4)
    assert [found.proof_mpa / KSI, found.yield_mpa / KSI, found.tensile_mpa / KSI] == pytest.approx(
        [proof, yield_, tensile]
    )
