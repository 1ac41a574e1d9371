"""The bolts of every joint: what they are tightened to, and whether the clamp bears what is asked of it."""

import re
from collections.abc import Iterable
from dataclasses import replace

from trialfit.checks.assembly import MateResult
from trialfit.checks.pairs import slug
from trialfit.findings import Finding, Verdict
from trialfit.mates import Joint
from trialfit.parts import Fact
from trialfit.structure import (
    ClampedJoint,
    Fastening,
    JointLoads,
    Nut,
    StackLayer,
    TappedHole,
    TorqueFigure,
    TorqueLine,
    judge_joint,
    torque_list,
)

WHEEL, SPRING, BOLT = "wheel on hub", "axle tube on spring", "bolt through hole"
BY_THE_JOINT = ("shank", "thread engaged", "thread showing", "room below the bolt")
"""Questions about a bolted joint that the joint of bolt and hole answers itself, with the work they ask for."""
_HOLDS = re.compile(r"\b(?:threads?|seats?|engaged|engagement|bottom|nut grade|bolt length)\b")
"""Questions about thread, seat or engagement, by their name: until they are answered no torque means anything."""
_FIRST_CLAUSE = re.compile(r"[:;] ")
U_BOLT_NUTS = 4
"""Nuts on the two U-bolts of one spring [-]."""
METALS = {"steel": "mild steel", "stainless": "stainless", "cast iron": "grey cast iron", "aluminium": "aluminium 6082"}
"""What a part's material counts as where it is clamped: the softest usual kind of it."""


def fastenings(mates: Iterable[MateResult], found: list[Finding]) -> tuple[TorqueLine, ...]:
    """One line of the torque list for each joint whose bolts are known by thread, and a finding for each question about
    the clamp of a bolt through a hole whose grade is known.

    A joint of which anything does not fit is held back on its line, as is one whose thread, seat or engagement cannot
    be told: a torque there strips, cracks or lies. A line that cannot be made is told as a finding.
    """
    lines: list[TorqueLine] = []
    for result in mates:
        joint = result.joint
        thread = _thread(joint)
        if not thread:
            continue
        try:
            (line,) = torque_list(_fastening(joint, thread))
            clamped = _judged(joint, thread) if joint.kind == BOLT and joint.word("bolt grade") else ()
            found += clamped
            lines.append(_held(line, result, clamped))
        except ValueError as error:
            found.append(Finding(
                f"bolt.{slug(joint.name)}", Verdict.CANNOT_TELL, f"{joint.name}: {error}",
                "check thread, grade and torque written for this joint", where=joint.where))
    return tuple(lines)


def _held(line: TorqueLine, result: MateResult, clamped: Iterable[Finding]) -> TorqueLine:
    """The line with what holds its joint back."""
    asked = [(a.question, a.verdict, a.reason) for a in result.answers]
    asked += [(f.name.rpartition(".")[2].replace("-", " "), f.verdict, f.reason.removeprefix(f"{result.joint.name}: "))
              for f in clamped]
    never = [(q, r) for q, v, r in asked if v is Verdict.DOES_NOT_FIT]
    unknown = [(q, r) for q, v, r in asked if v is Verdict.CANNOT_TELL and _HOLDS.search(q)]
    held = tuple(dict.fromkeys(_few(q, r) for q, r in (*never, *unknown)))
    work = dict.fromkeys(f"{w.kind} ({w.place})" for a in result.answers for w in a.works)
    first = f"first its work, see mates: {', '.join(work)}" if work and not held else ""
    return replace(line, held=held, never=bool(never), first=first)


def _few(question: str, reason: str) -> str:
    """A reason in few words.

    >>> _few("thread", "M10x1.25 is no M10x1.5: same diameter"), _few("hole", "hole 17.6 mm on 14 mm; too wide")
    ('thread: M10x1.25 is no M10x1.5', 'hole 17.6 mm on 14 mm')
    """
    first = _FIRST_CLAUSE.split(reason, maxsplit=1)[0]
    return first if first.startswith(question) else f"{question}: {first}"


def _thread(joint: Joint) -> str:
    said = joint.word("bolt thread")
    if said:
        return said
    if joint.kind == WHEEL:
        return joint.b.word("stud thread")
    if joint.kind == SPRING:
        return joint.word("u-bolt thread")
    if joint.kind == BOLT:
        return joint.a.word("thread")
    return joint.word("bolt") if joint.kind == "flange on flange" else ""


def _count(joint: Joint) -> int:
    said = joint.count("bolts")
    if said is None and joint.kind == WHEEL:
        said = joint.b.count("studs")
    if said is None and joint.kind == SPRING:
        said = U_BOLT_NUTS
    if said is None and joint.kind == "flange on flange":
        said = joint.a.count("bolts")
    return said or 1


def _figure(joint: Joint) -> TorqueFigure | None:
    torque = joint.size("torque")
    if torque is None:
        return None
    give = 2.0 * (torque.sd or 0.0)
    return TorqueFigure(torque.value - give, torque.value + give, joint.word("torque from") or "builder's own")


def _fastening(joint: Joint, thread: str) -> Fastening:
    use = "wheel" if joint.kind == WHEEL else "u-bolt" if joint.kind == SPRING else "general"
    grade = joint.word("bolt grade") or (joint.word("u-bolt grade") if joint.kind == SPRING else "")
    return Fastening(joint.name, thread, grade, _count(joint), joint.word("threads are") or "dry",
                     joint.word("tool") or "click wrench", use, _figure(joint), joint.word("fastener"),
                     joint.word("locked by") or "none", choices=joint.choices)


def _metal(material: str) -> str:
    return METALS.get(material, "")


def _judged(joint: Joint, thread: str) -> tuple[Finding, ...]:
    layers = [StackLayer(layer.name, layer.thickness, "mild steel") for layer in joint.layers]
    tapped = joint.b.word("form").startswith("tapped") or (not joint.b.word("form") and bool(joint.b.word("thread")))
    into: Nut | TappedHole
    if tapped:
        into = TappedHole(joint.b_part, joint.b.size("thread depth") or joint.b.size("thickness"),
                          _metal(joint.b_material), joint.b.word("form") == "tapped blind")
    else:
        layers.append(StackLayer(joint.b_part, joint.b.size("thickness"), _metal(joint.b_material)))
        into = Nut(joint.word("nut grade"), joint.size("nut height"))
    washers = joint.size("washers")
    if washers is not None and washers.value > 0.0:
        layers.insert(0, StackLayer("washers", washers, "medium carbon steel"))
    hole = joint.b.size("diameter")
    length, shank = joint.a.size("length"), joint.a.size("shank length")
    threaded = None
    if length is not None and shank is not None:
        sd = None if shank.sd is None else shank.sd
        threaded = Fact(length.value - shank.value, sd)
    clamped = ClampedJoint(
        joint.name, thread, joint.word("bolt grade"), tuple(layers), length, into, _count(joint),
        joint.word("threads are") or "dry", joint.word("tool") or "click wrench", _figure(joint),
        faces=joint.word("faces"), hole_mm=None if hole is None else hole.value, thread_length=threaded,
        choices=joint.choices)
    pull, slide = joint.size("pull"), joint.size("slide")
    loads = JointLoads(pull, slide) if pull is not None or slide is not None else None
    return tuple(
        Finding(f"bolts.{slug(joint.name)}.{slug(a.question)}", a.verdict, f"{joint.name}: {a.reason}",
                a.remedy or a.measure, a.low, a.sd, a.unit, a.rule, a.source, joint.where, a.caution)
        for a in judge_joint(clamped, loads) if a.question not in BY_THE_JOINT)
