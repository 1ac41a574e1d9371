"""What is known of a bolted joint and its loads, what is answered, and how doubt of sizes gets into an answer."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from trialfit.findings import SURE, Verdict
from trialfit.parts import Fact
from trialfit.standards import Rule, Thread, rule
from trialfit.structure.bolt import CAUTION
from trialfit.structure.clamp import TorqueFigure
from trialfit.structure.clamped_stack import standard_thread_length_mm


@dataclass(frozen=True, slots=True)
class StackLayer:
    """One thing clamped, with its thickness [mm], None when nobody measured it; ``material`` is a row of the clamped
    materials, empty when unknown."""

    name: str
    thickness: Fact | None
    material: str = ""


@dataclass(frozen=True, slots=True)
class Nut:
    """The nut: grade marked on it (empty when there is no mark), height [mm], ``thin`` for a jam or slotted nut."""

    grade: str
    height: Fact | None
    thin: bool = False


@dataclass(frozen=True, slots=True)
class TappedHole:
    """A tapped hole: full thread in it [mm], its metal (a row of the clamped materials), and whether it is blind."""

    part: str
    depth: Fact | None
    material: str
    blind: bool = True


@dataclass(frozen=True, slots=True)
class ClampedJoint:
    """Bolts, studs or screws that clamp a stack. ``layers`` run from the head to the nut or the tapped part;
    ``length`` is the bolt under its head [mm]; ``count`` how many there are; ``faces`` a row of the friction of joined
    faces, ``rubbing`` how many pairs of faces hold against sliding; ``torque`` what is printed for it, None to reckon
    one; ``choices`` maps a rule, or ``friction dry``, to the version the builder puts in force."""

    name: str
    thread: str
    grade: str
    layers: tuple[StackLayer, ...]
    length: Fact | None
    into: Nut | TappedHole
    count: int = 1
    state: str = "dry"
    tool: str = "click wrench"
    torque: TorqueFigure | None = None
    faces: str = ""
    rubbing: int = 1
    roughness: str = "medium"
    face_mm: float | None = None
    hole_mm: float | None = None
    thread_length: Fact | None = None
    choices: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class JointLoads:
    """What the joint must carry [N]: ``pull`` along each bolt, ``slide`` across the whole joint, ``alternating`` when
    the slide goes to and fro, as on a vehicle it mostly does."""

    pull: Fact | None = None
    slide: Fact | None = None
    alternating: bool = True


@dataclass(frozen=True, slots=True)
class JointAnswer:
    """One question about a bolted joint, answered. The room left lies between ``low`` and ``high`` [in ``unit``],
    negative where there is none; ``sd`` is the doubt of both from the sizes and loads given. ``measure`` says what
    would settle a "cannot tell"."""

    question: str
    verdict: Verdict
    reason: str
    low: float | None = None
    high: float | None = None
    sd: float | None = None
    unit: str = ""
    remedy: str = ""
    measure: str = ""
    rule: str = ""
    source: str = ""
    caution: str = CAUTION


def rule_for(joint: ClampedJoint, name: str) -> Rule:
    """A rule with the version that the builder chose for this joint, or the default one."""
    return rule(name, joint.choices.get(name))


def range_of(at: Callable[[tuple[float, ...]], tuple[float, float]], facts: Sequence[Fact]
            ) -> tuple[float, float, float | None]:
    """Range of a margin with the doubt of the facts carried through to whichever end feels it more."""
    values = tuple(f.value for f in facts)
    low, high = at(values)
    squares = [0.0, 0.0]
    for n, fact in enumerate(facts):
        if fact.sd is None:
            return low, high, None
        if fact.sd > 0.0:
            step = 0.5 * fact.sd
            up, down = (at((*values[:n], values[n] + s, *values[n + 1 :])) for s in (step, -step))
            for end in (0, 1):
                squares[end] += (up[end] - down[end]) ** 2
    return low, high, math.sqrt(max(squares))


def missing(question: str, what: str, measure: str) -> JointAnswer:
    """The answer "cannot tell" for want of something, with what to measure."""
    return JointAnswer(question, Verdict.CANNOT_TELL, f"{what} is not known", measure=measure)


def settled_by(verdict: Verdict, margin: float, sd: float | None, facts: Sequence[tuple[str, Fact]]) -> str:
    """What would settle a "cannot tell" that comes from sizes in mm, naming the vaguest one and the gauge it takes."""
    if verdict is not Verdict.CANNOT_TELL:
        return ""
    if vague := [name for name, fact in facts if fact.sd is None]:
        return f"measure {' and '.join(vague)} with a calliper, or say how well the size given is known"
    name, _ = max(facts, key=lambda f: f[1].sd or 0.0)
    if abs(margin) < 0.05:
        return f"the room is within 0.05 mm of nothing: no calliper settles that; change {name}"
    return (
        f"measure {name} again: all sizes together must be known to {abs(margin) / SURE:.2f} mm, one standard "
        f"deviation, and are to {sd or 0.0:.2f} mm"
    )


def vague_ones(facts: Sequence[tuple[str, Fact]]) -> str:
    """What is asked of the builder where nobody said how well an amount is known; empty when all is said."""
    vague = [name for name, fact in facts if fact.sd is None]
    return f"say how well {' and '.join(vague)} is known" if vague else ""


def stack_of(joint: ClampedJoint) -> tuple[list[tuple[str, Fact]], str]:
    """Thicknesses [mm] of the layers by name, and the names of those that nobody measured."""
    known = [(layer.name, layer.thickness) for layer in joint.layers if layer.thickness is not None]
    gone = [layer.name for layer in joint.layers if layer.thickness is None]
    return known, ", ".join(gone)


def asks_of_stack(joint: ClampedJoint, question: str) -> JointAnswer | None:
    """"Cannot tell" where a layer or the bolt was not measured, None when all of it was."""
    _, gone = stack_of(joint)
    if gone:
        how = f"measure {gone} with a calliper, where the bolt goes through"
        return missing(question, f"the thickness of {gone}", how)
    if joint.length is None:
        return missing(question, "the length of the bolt",
                        "measure the bolt with a calliper from under its head to its end; a stud from the face it "
                        "stands on")
    return None


def plain_shank_mm(joint: ClampedJoint, screw: Thread, length: float) -> float:
    """Plain shank [mm] of the joint's bolt at a length [mm]: as measured, else by the standard's length of thread."""
    if joint.thread_length is not None:
        return length - joint.thread_length.value
    return length - standard_thread_length_mm(screw.diameter_mm, length, screw.system)
