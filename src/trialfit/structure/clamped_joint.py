"""One bolted joint asked everything: length, thread, clamp, opening, slip, pressure; each answered with a range."""

from collections.abc import Sequence

from trialfit.findings import Finding
from trialfit.standards import thread_called
from trialfit.standards.fastening import thread_friction
from trialfit.structure.clamp import Spread, clamp_from_torque, proof_load_n, torque_for_clamp
from trialfit.structure.joint_fit import end_of_bolt, nut_grade, shank, thread_engaged
from trialfit.structure.joint_hold import loaded, opens, pressures, pulled, settles, slips
from trialfit.structure.joint_record import ClampedJoint, JointAnswer, JointLoads, Nut, rule_for


def judge_joint(joint: ClampedJoint, loads: JointLoads | None = None) -> tuple[JointAnswer, ...]:
    """Every question about a bolted joint, answered as far as the sizes given allow.

    Bending of the bolt, prying, heat and fatigue are left out (unsafe side). A size that is missing is answered "cannot
    tell" with what to measure; scatter of friction is carried as a range, so that "fits" holds at its worst end.

    Parameters
    ----------
    joint : ClampedJoint
        sizes in mm
    loads : JointLoads or None
        loads in N

    Returns
    -------
    tuple of JointAnswer

    Raises
    ------
    ValueError
        for an unknown thread, grade, material, state or tool, a grade of the other system, or a joint that clamps
        nothing

    Source: Shigley's Mechanical Engineering Design, 9th ed., chapter 8; VDI 2230; ASME B1.1, appendix B.

    >>> from trialfit.parts import Fact
    >>> from trialfit.structure.joint_record import StackLayer
    >>> plate = StackLayer("plate", Fact(12.5, 0.1), "mild steel")
    >>> joint = ClampedJoint("bracket", "M10", "8.8", (plate, plate), Fact(40.0, 0.2), Nut("8", Fact(8.4, 0.1)), 4)
    >>> {answer.question: answer.verdict.value for answer in judge_joint(joint)}["thread showing"]
    'fits'
    """
    screw = thread_called(joint.thread)
    proof = proof_load_n(joint.thread, joint.grade)
    if not joint.layers:
        raise ValueError(f"{joint.name} clamps nothing; give the layers between head and nut")
    if joint.count < 1 or joint.rubbing < 1:
        raise ValueError(f"{joint.name} has {joint.count} bolts and {joint.rubbing} rubbing faces; at least 1 of each")
    clamp = clamp_range(joint)
    found = [shank(joint, screw), end_of_bolt(joint, screw), thread_engaged(joint, screw)]
    if isinstance(joint.into, Nut):
        found.append(nut_grade(joint, screw, joint.into))
    found += [pulled(joint, clamp, proof), *pressures(joint, screw, clamp), settles(joint, screw, clamp)]
    if loads is not None and loads.pull is not None:
        found += [opens(joint, screw, clamp, loads.pull), loaded(joint, screw, clamp, proof, loads.pull)]
    if loads is not None and loads.slide is not None:
        found.append(slips(joint, screw, clamp, loads, loads.slide))
    return tuple(found)


def clamp_range(joint: ClampedJoint) -> Spread:
    """Clamp [N] of one bolt after tightening, before anything has settled.

    The torque is the one printed, or one reckoned from the share of the proof load in force; a reckoned torque is that
    of the nominal friction.

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-27, 8-31; nut factors and friction classes.
    """
    friction = thread_friction(joint.state, joint.choices.get(f"friction {joint.state}"))
    if joint.torque is not None:
        low, high = joint.torque.low_nmm, joint.torque.high_nmm
    else:
        share = rule_for(joint, "preload-share").in_force.value
        low = high = torque_for_clamp(joint.thread, share * proof_load_n(joint.thread, joint.grade), friction).nominal
    return clamp_from_torque(joint.thread, low, high, friction, joint.tool)


def findings_of(joint: ClampedJoint, answers: Sequence[JointAnswer]) -> tuple[Finding, ...]:
    """The same answers in the words every room shares; the margin is the worst of the range."""
    stem = joint.name.replace(" ", "_")
    return tuple(
        Finding(
            f"bolts.{stem}.{a.question.replace(' ', '_')}", a.verdict, a.reason, a.remedy or a.measure, a.low, a.sd,
            a.unit, a.rule, a.source,
        )
        for a in answers
    )  # fmt: skip
