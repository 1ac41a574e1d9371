"""Does it hold: bolts, tubes, beams, welds?

In: sizes, loads and grades, in the house's internal units. Out: masses, stresses, loads, torques and frequencies, each
of them a sum that can be worked alone; of a bolted joint also the answers to every question about it, as ranges, and
the torque list of a build. Left out: fatigue, and everything that needs a drawing of the part. Sources: Shigley's
Mechanical Engineering Design, 9th ed.; Mechanical Engineer's Data Handbook; EN 10220; ISO 898-1; SAE J429; ASME B1.1;
VDI 2230.
"""

from trialfit.structure.beam import END_WORDS, end_number, lateral_rate_rad_s, tube_span_frequency
from trialfit.structure.bolt import bolt_preload, bolt_preload_torque, bolt_torque_for_grade, thread_engagement
from trialfit.structure.bolted_joint import bolt_circle_load, bolt_group_load, joint_stiffness_constant
from trialfit.structure.clamp import Spread, TorqueFigure, clamp_from_torque, nut_factor, proof_load_n, torque_for_clamp
from trialfit.structure.clamped_joint import clamp_range, findings_of, judge_joint
from trialfit.structure.clamped_stack import ClampedLayer, bolt_stiffness, member_stiffness_n_mm
from trialfit.structure.grip import bolt_length_wanted, bolt_threads_showing, engaged_mm
from trialfit.structure.joint_record import ClampedJoint, JointAnswer, JointLoads, Nut, StackLayer, TappedHole
from trialfit.structure.slip import joint_clamp_left, joint_embedding_loss, joint_slip_load, joint_slip_torque
from trialfit.structure.stripping import Stripping, stripping, thread_engagement_mixed, turns_engaged
from trialfit.structure.torque_list import Fastening, TorqueLine, fastening_of, torque_line, torque_list
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
    "ClampedJoint",
    "ClampedLayer",
    "Fastening",
    "JointAnswer",
    "JointLoads",
    "Nut",
    "Spread",
    "StackLayer",
    "Stripping",
    "TappedHole",
    "TorqueFigure",
    "TorqueLine",
    "bolt_circle_load",
    "bolt_group_load",
    "bolt_length_wanted",
    "bolt_preload",
    "bolt_preload_torque",
    "bolt_stiffness",
    "bolt_threads_showing",
    "bolt_torque_for_grade",
    "clamp_from_torque",
    "clamp_range",
    "end_number",
    "engaged_mm",
    "fillet_weld_load",
    "fastening_of",
    "findings_of",
    "joint_clamp_left",
    "joint_embedding_loss",
    "joint_slip_load",
    "joint_slip_torque",
    "joint_stiffness_constant",
    "judge_joint",
    "lateral_rate_rad_s",
    "member_stiffness_n_mm",
    "nut_factor",
    "proof_load_n",
    "ring_weld_stress",
    "stripping",
    "thread_engagement",
    "thread_engagement_mixed",
    "torque_for_clamp",
    "torque_line",
    "torque_list",
    "tube_area",
    "tube_mass",
    "tube_mass_per_length",
    "tube_second_moment",
    "tube_span_frequency",
    "tube_torsional_stress",
    "turns_engaged",
]
