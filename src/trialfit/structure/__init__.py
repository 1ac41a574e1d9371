"""Does it hold: bolts, tubes, beams, welds?

In: sizes, loads and grades, in the house's internal units. Out: masses, stresses, loads, torques and frequencies, each
of them a sum that can be worked alone. Left out: fatigue, and everything that needs a drawing of the part. Sources:
Shigley's Mechanical Engineering Design, 9th ed.; Mechanical Engineer's Data Handbook; EN 10220; ISO 898-1; SAE J429.
"""

from trialfit.structure.beam import END_WORDS, end_number, lateral_rate_rad_s, tube_span_frequency
from trialfit.structure.bolt import bolt_preload, bolt_preload_torque, bolt_torque_for_grade, thread_engagement
from trialfit.structure.bolted_joint import bolt_circle_load, bolt_group_load, joint_stiffness_constant
from trialfit.structure.tube import (
    tube_area,
    tube_mass,
    tube_mass_per_length,
    tube_second_moment,
    tube_torsional_stress,
)
from trialfit.structure.weld import fillet_weld_load, ring_weld_stress

__all__ = [
    "END_WORDS",
    "bolt_circle_load",
    "bolt_group_load",
    "bolt_preload",
    "bolt_preload_torque",
    "bolt_torque_for_grade",
    "end_number",
    "fillet_weld_load",
    "joint_stiffness_constant",
    "lateral_rate_rad_s",
    "ring_weld_stress",
    "thread_engagement",
    "tube_area",
    "tube_mass",
    "tube_mass_per_length",
    "tube_second_moment",
    "tube_span_frequency",
    "tube_torsional_stress",
]
