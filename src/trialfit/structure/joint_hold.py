"""Whether a tightened joint holds: pull in the bolt, pressure under the head, settling, opening, slip."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from trialfit.findings import Verdict, verdict_on
from trialfit.parts import Fact
from trialfit.standards import Thread, stress_area_mm2
from trialfit.standards.fastening import clamped_material, embedding_mm, faces_friction
from trialfit.structure.bolted_joint import joint_stiffness_constant
from trialfit.structure.clamp import Spread
from trialfit.structure.clamped_stack import ClampedLayer, bolt_stiffness, member_stiffness_n_mm
from trialfit.structure.joint_record import (
    ClampedJoint,
    JointAnswer,
    JointLoads,
    Nut,
    TappedHole,
    asks_of_stack,
    missing,
    plain_shank_mm,
    range_of,
    rule_for,
    stack_of,
    vague_ones,
)
from trialfit.structure.slip import bolt_bearing_pressure, joint_clamp_left, joint_embedding_loss, joint_slip_load

_STEEL = 207000.0
_FACE = 1.5
_HOLE = 1.1


def pulled(joint: ClampedJoint, clamp: Spread, proof: float) -> JointAnswer:
    """Whether tightening leaves the bolt below its proof load, even with the slipperiest thread.

    Source: ISO 898-1; SAE J429.
    """
    low, high = proof - clamp.high, proof - clamp.low
    verdict = verdict_on(low, high, 0.0, 0.0)
    reason = (f"clamp {clamp.low / 1000.0:.1f} to {clamp.high / 1000.0:.1f} kN, {joint.state}; the bolt keeps its "
              f"length up to {proof / 1000.0:.1f} kN")
    remedy = ""
    if verdict is not Verdict.FITS:
        remedy = (f"with {proof / clamp.high:.2f} of that torque it stays below even with the slipperiest thread; "
                  "check which state of thread the torque is meant for")
    return JointAnswer("pull at tightening", verdict, reason, low, high, 0.0, "N", remedy, _stretch(verdict), "",
                       joint.torque.source if joint.torque is not None else "ISO 898-1; SAE J429")


def pressures(joint: ClampedJoint, screw: Thread, clamp: Spread) -> list[JointAnswer]:
    """Whether the metal under head and nut bears the greatest clamp.

    Source: VDI 2230, limiting pressure under the head.
    """
    face = joint.face_mm if joint.face_mm is not None else _FACE * screw.diameter_mm
    hole = joint.hole_mm if joint.hole_mm is not None else _HOLE * screw.diameter_mm
    ends = [("pressure under the head", joint.layers[0])]
    if isinstance(joint.into, Nut):
        ends.append(("pressure under the nut", joint.layers[-1]))
    found = []
    for question, layer in ends:
        if not layer.material:
            found.append(missing(question, f"the metal of {layer.name}", f"find out what {layer.name} is made of"))
            continue
        allowed = clamped_material(layer.material)
        most, least = (bolt_bearing_pressure(c, face, hole) for c in (clamp.high, clamp.low))
        low, high = allowed.bearing_mpa - most, allowed.bearing_mpa - least
        verdict = verdict_on(low, high, 0.0, 0.0)
        reason = (f"{least:.0f} to {most:.0f} MPa on {layer.name}, {layer.material}, which bears "
                  f"{allowed.bearing_mpa:.0f} MPa (face {face:.2f} mm, hole {hole:.2f} mm)")
        remedy = "" if verdict is Verdict.FITS else (
            "a hard washer or a flanged head: the face sinks in and the clamp is lost")
        found.append(JointAnswer(question, verdict, reason, low, high, 0.0, "MPa", remedy, _stretch(verdict), "",
                                 allowed.source))
    return found


@dataclass(frozen=True, slots=True)
class _Springs:
    share: float
    loss_n: float


def _springs(joint: ClampedJoint, screw: Thread, values: Sequence[float], length: float, load: str) -> _Springs:
    d = screw.diameter_mm
    layers = [
        ClampedLayer(layer.name, value, clamped_material(layer.material).modulus_mpa)
        for layer, value in zip(joint.layers, values, strict=True)
    ]
    grip = sum(values)
    if isinstance(joint.into, TappedHole):
        # a screw takes hold half a diameter deep
        layers.append(ClampedLayer(joint.into.part, 0.5 * d, clamped_material(joint.into.material).modulus_mpa))
        grip += 0.5 * d
    plain = min(max(plain_shank_mm(joint, screw, length), 0.0), grip)
    bolt = bolt_stiffness(d, stress_area_mm2(screw), plain, grip - plain, _STEEL)
    members = member_stiffness_n_mm(layers, d, joint.face_mm if joint.face_mm is not None else _FACE * d)
    settling = embedding_mm(joint.roughness, load, len(joint.layers) - (1 if isinstance(joint.into, Nut) else 0))
    return _Springs(joint_stiffness_constant(bolt, members), joint_embedding_loss(settling, bolt, members))


def _with_springs(
    joint: ClampedJoint, screw: Thread, question: str, load: str, extra: Sequence[tuple[str, Fact]],
    room: Callable[[_Springs, tuple[float, ...]], tuple[float, float]],
) -> JointAnswer | tuple[float, float, float | None, str]:  # fmt: skip
    if (gap := asks_of_stack(joint, question)) is not None or joint.length is None:
        return gap or missing(question, "the length of the bolt", "")
    if strange := [layer.name for layer in joint.layers if not layer.material]:
        names = " and ".join(strange)
        return missing(question, f"the metal of {names}", f"find out what {names} is made of: its stiffness counts")
    stack, _ = stack_of(joint)
    facts = [*stack, ("the bolt", joint.length), *extra]

    def at(v: tuple[float, ...]) -> tuple[float, float]:
        count = len(stack)
        return room(_springs(joint, screw, v[:count], v[count], load), v[count + 1 :])

    low, high, sd = range_of(at, [f for _, f in facts])
    return low, high, sd, vague_ones(facts)


def settles(joint: ClampedJoint, screw: Thread, clamp: Spread) -> JointAnswer:
    """What clamp is left once the faces have settled.

    Source: VDI 2230, loss of preload by embedding, its guide values from memory.
    """
    worked = _with_springs(joint, screw, "clamp after settling", "pull", (),
                           lambda s, _: (clamp.low - s.loss_n, clamp.high - s.loss_n))
    if isinstance(worked, JointAnswer):
        return worked
    low, high, sd, unsure = worked
    loss = clamp.low - low
    verdict = verdict_on(low, high, 0.0, sd)
    reason = (f"about {loss / 1000.0:.1f} kN of clamp is lost as the faces settle, leaving {low / 1000.0:.1f} to "
              f"{high / 1000.0:.1f} kN")
    remedy = "" if loss < 0.2 * clamp.low else (
        "that is much of the least clamp: a longer bolt (a sleeve under the head), fewer and finer faces, bare metal, "
        "and tightening again after the first drive")
    measure = unsure or _stretch(verdict)
    return JointAnswer("clamp after settling", verdict, reason, low, high, sd, "N", remedy, measure, "",
                       "VDI 2230, loss of preload by embedding, its guide values from memory")


def opens(joint: ClampedJoint, screw: Thread, clamp: Spread, pull: Fact) -> JointAnswer:
    """Whether the joint stays closed under a pull [N] on each bolt.

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-25, 8-30.
    """
    wanted = rule_for(joint, "opening-factor")

    def room(s: _Springs, v: tuple[float, ...]) -> tuple[float, float]:
        asked = wanted.in_force.value * v[0]
        low, high = (joint_clamp_left(start - s.loss_n, asked, s.share) for start in (clamp.low, clamp.high))
        return low, high

    worked = _with_springs(joint, screw, "opening", "pull", (("the pull", pull),), room)
    if isinstance(worked, JointAnswer):
        return worked
    low, high, sd, unsure = worked
    verdict = verdict_on(low, high, 0.0, sd)
    reason = (f"pulled apart by {pull.value / 1000.0:.1f} kN on each bolt, times {wanted.in_force.value:g}, the joint "
              f"is left with {low / 1000.0:.1f} to {high / 1000.0:.1f} kN of clamp")
    return JointAnswer("opening", verdict, reason, low, high, sd, "N", _more(verdict), unsure or _stretch(verdict),
                       wanted.name, wanted.in_force.source)


def loaded(joint: ClampedJoint, screw: Thread, clamp: Spread, proof: float, pull: Fact) -> JointAnswer:
    """Whether the bolt keeps its length when its share of a pull [N] comes on top of the clamp.

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-24.
    """
    def room(s: _Springs, v: tuple[float, ...]) -> tuple[float, float]:
        return proof - clamp.high - s.share * v[0], proof - clamp.low - s.share * v[0]

    worked = _with_springs(joint, screw, "pull with the load", "pull", (("the pull", pull),), room)
    if isinstance(worked, JointAnswer):
        return worked
    low, high, sd, unsure = worked
    verdict = verdict_on(low, high, 0.0, sd)
    reason = (f"clamp and the bolt's share of the load come to {(proof - high) / 1000.0:.1f} to "
              f"{(proof - low) / 1000.0:.1f} kN; the bolt keeps its length up to {proof / 1000.0:.1f} kN")
    remedy = "" if verdict is Verdict.FITS else (
        "a higher grade, a bigger thread, more bolts, or a state of thread that scatters less")
    measure = unsure or _stretch(verdict)
    return JointAnswer("pull with the load", verdict, reason, low, high, sd, "N", remedy, measure, "",
                       "Shigley's Mechanical Engineering Design, 9th ed., eq. 8-24")


def slips(joint: ClampedJoint, screw: Thread, clamp: Spread, loads: JointLoads, slide: Fact) -> JointAnswer:
    """Whether friction of the clamped faces holds a slide [N] across the whole joint; a pull takes from it.

    Source: bolted joint statics, textbook.
    """
    question = "slip"
    if not joint.faces:
        return missing(question, "what the faces are",
                        "say what the clamped faces are: machined or as rolled, clean or oily; paint comes off first")
    least, most, source = faces_friction(joint.faces)
    wanted = rule_for(joint, "slip-factor-alternating" if loads.alternating else "slip-factor-steady")
    extra = [("the slide", slide)]
    if loads.pull is not None:
        extra.append(("the pull", loads.pull))

    def room(s: _Springs, v: tuple[float, ...]) -> tuple[float, float]:
        pull = v[1] if loads.pull is not None else 0.0
        ends = []
        for start, friction in ((clamp.low, least), (clamp.high, most)):
            left = max(0.0, joint_clamp_left(start - s.loss_n, pull, s.share))
            ends.append(joint_slip_load(left, friction, joint.count, joint.rubbing) - wanted.in_force.value * v[0])
        return ends[0], ends[1]

    worked = _with_springs(joint, screw, question, "slide", extra, room)
    if isinstance(worked, JointAnswer):
        return worked
    low, high, sd, unsure = worked
    verdict = verdict_on(low, high, 0.0, sd)
    asked = wanted.in_force.value * slide.value
    reason = (f"{joint.count} bolts hold {(low + asked) / 1000.0:.1f} to {(high + asked) / 1000.0:.1f} kN by friction "
              f"of {least:g} to {most:g}; {wanted.in_force.value:g} times the slide is {asked / 1000.0:.1f} kN")
    remedy = "" if verdict is Verdict.FITS else (
        "more or bigger bolts, clean bare faces, or a spigot, dowels or fitted bolts that take the slide")
    measure = unsure or _stretch(verdict)
    return JointAnswer(question, verdict, reason, low, high, sd, "N", remedy, measure, wanted.name,
                       f"{wanted.in_force.source}; {source}")


def _stretch(verdict: Verdict) -> str:
    """What settles a clamp that friction leaves open."""
    if verdict is not Verdict.CANNOT_TELL:
        return ""
    return ("measure how much one bolt stretches while it is tightened, with a micrometer over both ends: that tells "
            "the clamp whatever the friction")


def _more(verdict: Verdict) -> str:
    if verdict is Verdict.FITS:
        return ""
    if verdict is Verdict.CANNOT_TELL:
        return "friction leaves it open: a thread state that scatters less, a measured stretch, or more bolts"
    return "a bigger thread, a higher grade tightened to its own torque, or more bolts"
