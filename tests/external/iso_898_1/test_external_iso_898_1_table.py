"""ISO 898-1, property classes (D06-08, D06-09 seen in a published copy; D06-11 from memory), and a table of tightening
torques after it (D06-27). Kinds: standard's table; from memory for the proof stress; common practice for the torques.
"""

import pytest

from trialfit.standards import bolt_grade


@pytest.mark.parametrize("grade,diameter,tensile,yield_", [
    ("8.8", 10.0, 800.0, 640.0), ("8.8", 16.0, 800.0, 640.0), ("8.8", 18.0, 830.0, 660.0),
    ("10.9", 10.0, 1040.0, 940.0), ("12.9", 10.0, 1220.0, 1100.0),
])  # fmt: skip
def test_strength(grade, diameter, tensile, yield_):
    found = bolt_grade(grade, diameter)
    assert (found.tensile_mpa, found.yield_mpa) == (tensile, yield_)


@pytest.mark.parametrize("grade,proof", [("10.9", 830.0), ("12.9", 970.0)])
def test_proof_stress_from_memory(grade, proof):
    assert bolt_grade(grade, 12.0).proof_mpa == proof


@pytest.mark.parametrize(
    "thread,grade,torque", [("M8", "8.8", 23.0), ("M10", "8.8", 46.0), ("M10", "10.9", 65.0), ("M10", "12.9", 78.0)]
)
def test_tightening_torque_within_what_k_leaves_open(shell, thread, grade, torque):
    told = shell("bolt-torque-for-grade", f"thread={thread}; grade={grade}; share=0.75; factor=0.18", "N*m")
    assert told == pytest.approx(torque, rel=0.12)
