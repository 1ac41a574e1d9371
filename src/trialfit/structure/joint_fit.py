"""Whether the bolts of a joint go together with it: plain shank, length, thread engaged, nut."""

from trialfit.findings import Verdict, verdict_on
from trialfit.standards import Thread, bolt_grade, stress_area_mm2
from trialfit.standards.fastening import clamped_material
from trialfit.standards.grades import nut_grade_for, nut_proof_load_n
from trialfit.structure.grip import engaged_mm
from trialfit.structure.joint_record import (
    ClampedJoint,
    JointAnswer,
    Nut,
    TappedHole,
    asks_of_stack,
    missing,
    plain_shank_mm,
    range_of,
    rule_for,
    settled_by,
    stack_of,
)
from trialfit.structure.stripping import thread_engagement_mixed


def shank(joint: ClampedJoint, screw: Thread) -> JointAnswer:
    """Whether the thread reaches far enough up that nut or hole does not run on to the plain shank.

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-13, 8-14, where the thread was not measured.
    """
    question = "shank"
    if (gap := asks_of_stack(joint, question)) is not None or joint.length is None:
        return gap or missing(question, "the length of the bolt", "")
    stack, _ = stack_of(joint)
    facts = [*stack, ("the bolt", joint.length)]
    # the length of thread counts once by what it is and once through the shank that it leaves
    if joint.thread_length is not None:
        facts.append(("its thread", joint.thread_length))

    def room(v: tuple[float, ...]) -> tuple[float, float]:
        count = len(stack)
        plain = v[count] - v[count + 1] if joint.thread_length is not None else plain_shank_mm(joint, screw, v[count])
        return (sum(v[:count]) - plain,) * 2

    low, high, sd = range_of(room, [f for _, f in facts])
    grip = sum(f.value for _, f in stack)
    verdict = verdict_on(low, high, 0.0, sd)
    origin = "measured" if joint.thread_length is not None else "by the standard's length of thread"
    reason = f"the plain shank is {grip - low:.2f} mm long ({origin}) and the grip is {grip:.2f} mm"
    remedy = "" if verdict is Verdict.FITS else (
        f"a longer thread, a hard washer of {max(0.0, -low) + screw.pitch_mm:.2f} mm or more, or a shorter bolt: a nut "
        "that runs on to the shank feels tight and clamps nothing"
    )
    measure = settled_by(verdict, low, sd, facts)
    if measure and joint.thread_length is None:
        measure += "; and measure the length of the thread with a calliper"
    return JointAnswer(question, verdict, reason, low, high, sd, "mm", remedy, measure, "",
                       "Shigley's Mechanical Engineering Design, 9th ed., eq. 8-13, 8-14")


def end_of_bolt(joint: ClampedJoint, screw: Thread) -> JointAnswer:
    """Whether enough thread shows past the nut, or a screw stays clear of the bottom of its hole."""
    into = joint.into
    question = "thread showing" if isinstance(into, Nut) else "room below the bolt"
    if (gap := asks_of_stack(joint, question)) is not None or joint.length is None:
        return gap or missing(question, "the length of the bolt", "")
    size = into.height if isinstance(into, Nut) else into.depth
    if isinstance(into, TappedHole) and not into.blind:
        return JointAnswer(question, Verdict.FITS, f"the hole in {into.part} goes through")
    if size is None:
        what = "the height of the nut" if isinstance(into, Nut) else f"the depth of thread in {into.part}"
        how = ("measure the nut with a calliper" if isinstance(into, Nut)
               else f"turn a bolt into {into.part} by hand until it stops and measure how far it went in")
        return missing(question, what, how)
    stack, _ = stack_of(joint)
    facts = [*stack, ("the bolt", joint.length), ("the nut" if isinstance(into, Nut) else "the hole", size)]
    past = isinstance(into, Nut)
    wanted = rule_for(joint, "thread-protrusion" if past else "tapped-hole-rest")
    need = wanted.in_force.value * screw.pitch_mm

    def room(v: tuple[float, ...]) -> tuple[float, float]:
        reach = v[-2] - sum(v[:-2])
        return ((reach - v[-1] if past else v[-1] - reach) - need,) * 2

    low, high, sd = range_of(room, [f for _, f in facts])
    verdict = verdict_on(low, high, 0.0, sd)
    left = low + need
    if past:
        reason = f"{left:.2f} mm of thread past the nut, {left / screw.pitch_mm:.1f} threads; {wanted.in_force.label}"
        remedy = f"a bolt at least {-low:.2f} mm longer" if low < 0.0 else ""
    else:
        reason = (f"{left:.2f} mm of thread free below the bolt; {wanted.in_force.label}, else it bottoms and clamps "
                  "nothing")
        remedy = f"a bolt at least {-low:.2f} mm shorter, or a washer" if low < 0.0 else ""
    return JointAnswer(question, verdict, reason, low, high, sd, "mm", remedy, settled_by(verdict, low, sd, facts),
                       wanted.name, wanted.in_force.source)


def thread_engaged(joint: ClampedJoint, screw: Thread) -> JointAnswer:
    """Whether the bolt breaks before a thread strips.

    Source: ASME B1.1, appendix B, thread shear areas; FED-STD-H28.
    """
    question, into = "thread engaged", joint.into
    if (gap := asks_of_stack(joint, question)) is not None or joint.length is None:
        return gap or missing(question, "the length of the bolt", "")
    size = into.height if isinstance(into, Nut) else into.depth
    if size is None:
        how = f"count the turns from the first bite to tight; turns times {screw.pitch_mm:g} mm is the length engaged"
        return missing(question, "how deep the thread goes", how)
    tensile = bolt_grade(joint.grade, screw.diameter_mm).tensile_mpa
    ratio = rule_for(joint, "thread-shear-ratio")
    # the nut is held against its own proof load; here it is the bolt's thread that must not strip
    inside = tensile if isinstance(into, Nut) else clamped_material(into.material).tensile_mpa
    need = thread_engagement_mixed(joint.thread, tensile, inside, ratio.in_force.value)
    if isinstance(into, Nut):
        alone = "the bolt's own thread"
    else:
        alone = f"the thread in {into.part}" if inside < tensile else "the bolt's own thread"
    stack, _ = stack_of(joint)
    facts = [*stack, ("the bolt", joint.length), ("the nut" if isinstance(into, Nut) else "the hole", size)]

    def room(v: tuple[float, ...]) -> tuple[float, float]:
        grip = sum(v[:-2])
        return (engaged_mm(v[-2], grip, v[-1], screw.pitch_mm) - need,) * 2

    low, high, sd = range_of(room, [f for _, f in facts])
    verdict = verdict_on(low, high, 0.0, sd)
    have = low + need
    strips = stress_area_mm2(screw) * tensile * have / need
    reason = (f"{have:.2f} mm of full thread engaged, {have / screw.pitch_mm:.1f} turns; {need:.2f} mm make the "
              f"bolt break before {alone} strips; as it is, it strips at {strips / 1000.0:.1f} kN")
    remedy = ""
    if verdict is not Verdict.FITS:
        remedy = "a longer bolt, a deeper nut" if isinstance(into, Nut) else (
            "a longer bolt where the hole is deep enough, a thread insert of steel, or a through bolt and nut")
    if need > 1.5 * screw.diameter_mm:
        reason += f"; over 1.5 diameters, {1.5 * screw.diameter_mm:.2f} mm, the far threads carry less than reckoned"
    return JointAnswer(question, verdict, reason, low, high, sd, "mm", remedy, settled_by(verdict, low, sd, facts),
                       ratio.name, "ASME B1.1, appendix B, thread shear areas; FED-STD-H28")


def nut_grade(joint: ClampedJoint, screw: Thread, nut: Nut) -> JointAnswer:
    """Whether the nut is paired with the bolt by the standard: its class must not be below that of the bolt.

    Source: ISO 898-2; SAE J995.
    """
    question, least = "nut grade", nut_grade_for(joint.grade)
    source = "ISO 898-2" if screw.system == "metric" else "SAE J995"
    if not nut.grade:
        return JointAnswer(question, Verdict.CANNOT_TELL, "the nut bears no mark that was read",
                           measure=f"read the mark on the nut's face; it must be {least} or more", source=source)
    if nut.thin:
        return JointAnswer(question, Verdict.DOES_NOT_FIT,
                           "a thin or slotted nut does not hold a bolt tightened to its clamp",
                           remedy=f"a full nut of grade {least}", source=source)
    try:
        known = f"; its proof load is {nut_proof_load_n(nut.grade, screw) / 1000.0:.1f} kN"
    except ValueError as refused:
        if "is of grade" in str(refused):
            raise
        known = "; the lists give no proof load of it"
    enough = float(nut.grade) >= float(least)
    reason = f"nut {nut.grade} on a bolt {joint.grade}, which is paired with {least} or more{known}"
    return JointAnswer(question, Verdict.FITS if enough else Verdict.DOES_NOT_FIT, reason,
                       remedy="" if enough else f"a nut of grade {least}: a weaker one strips without a sign",
                       source=source)
