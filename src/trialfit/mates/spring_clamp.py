"""U-bolts round an axle tube or over a leaf spring: width, length, thread, and whether they are new."""

import math
from functools import partial

from trialfit.findings import Verdict
from trialfit.mates.answer import Answer, Work
from trialfit.mates.gauged import added, gauged, layered, not_known
from trialfit.mates.joint import Joint
from trialfit.parts import Fact
from trialfit.standards import Version, rule, thread_called
from trialfit.standards.u_bolts import CAUTION, u_bolt_torques

ROUND, OVER = "round the tube", "over the spring"
GEOMETRY = "geometry"
CALLIPER = "with a calliper"
_unknown = partial(not_known, caution=CAUTION)
_gauged = partial(gauged, caution=CAUTION)


def asked(joint: Joint, name: str) -> Version:
    """The version in force of a rule, by the build's own choice or by default."""
    return rule(name, joint.choices.get(name)).in_force


def rod_of(joint: Joint) -> tuple[Fact | None, float | None]:
    """Diameter of the U-bolt's rod, and the pitch of its thread [mm]."""
    thread = joint.word("u-bolt thread")
    rod = joint.size("u-bolt rod")
    if not thread:
        return rod, None
    try:
        screw = thread_called(thread)
    except ValueError:
        return rod, None
    return rod or Fact(screw.diameter_mm, 0.0, thread), screw.pitch_mm


def around_of(joint: Joint) -> tuple[Fact | None, str, str]:
    """What one U-bolt goes round: its size, its name, and how to measure it."""
    if joint.word("u-bolts go") == OVER:
        return joint.b.size("spring width"), "spring", f"measure the main leaf across {CALLIPER}"
    return (
        joint.a.size("tube diameter"),
        "axle tube",
        f"measure the axle tube {CALLIPER}, both ways, where the bolt sits",
    )


def bolt_width(joint: Joint) -> Answer:
    """Whether the U-bolts' legs stand as far apart as what they go round, with no more play than is allowed."""
    question = "u-bolt width"
    if not joint.word("u-bolts go"):
        return _unknown(question, "which way the U-bolts go", f"look whether they go {ROUND} or {OVER}")
    inside, (around, name, how) = joint.size("inside width"), around_of(joint)
    if around is None:
        return _unknown(question, f"the size of the {name}", how)
    if inside is None:
        return _unknown(
            question, "the inside width of the U-bolts",
            f"measure between the legs with a calliper, or leave it to the order: {around.value:.1f} mm inside",
        )  # fmt: skip
    version = asked(joint, "u-bolt-play")
    play, sd = added((1.0, inside), (-1.0, around))
    words = f"U-bolts {inside.value:.2f} mm inside on the {name}, {around.value:.2f} mm"
    bad = (
        f"{words}: they do not go over, and must not be spread"
        if play < 0.0
        else f"{words}: {play:.2f} mm of play where {version.value:.1f} mm may be; the legs pull in and bend"
    )
    work = Work(
        "U-bolts", "exchange", joint.name, _order(joint, around), found=inside,
        forbidden=("heating, bending or spreading a U-bolt",),
    )  # fmt: skip
    return _gauged(
        question, play, sd, 0.0, version.value, good=f"{words}, {play:.2f} mm of play", bad=bad, works=(work,),
        measure=f"measure between the legs and across the {name} {CALLIPER}", rule="u-bolt-play",
        source=version.source,
    )  # fmt: skip


def _order(joint: Joint, around: Fact) -> str:
    bend = "square" if joint.word("u-bolts go") == OVER else "round"
    rod, _ = rod_of(joint)
    thread = joint.word("u-bolt thread")
    size = f"{thread or 'thread to be settled'}" if rod is None else f"{thread or f'{rod.value:.1f} mm rod'}"
    _, need, _ = _length(joint)
    leg = "leg length to be settled" if need is None else f"legs of at least {need.value:.0f} mm"
    return f"four new U-bolts: {size}, {around.value:.1f} mm inside, {leg}, {bend} bend, deep nuts and hard washers"


def _length(joint: Joint) -> tuple[Fact | None, Fact | None, str]:
    """Where the nut seats and how long the leg must be, from the inside of the bend [mm]; and what is not known."""
    between, missing = layered(joint.layers)
    if missing:
        return None, None, f"the thickness of {missing}"
    if not joint.word("u-bolts go"):
        return None, None, "which way the U-bolts go"
    sizes = {
        "the diameter of the axle tube": joint.a.size("tube diameter"),
        "the height of the pad": joint.a.size("pad height"),
        "the thickness of the leaf stack": joint.b.size("stack"),
        "the thickness of the plate": joint.size("plate thickness"),
        "the height of the nut": joint.size("nut height"),
    }
    for words, size in sizes.items():
        if size is None:
            return None, None, words
    _, pitch = rod_of(joint)
    if pitch is None:
        return None, None, "the thread of the U-bolts"
    tube, pad, stack, plate, nut = (size for size in sizes.values() if size is not None)
    washer = joint.size("washer") or Fact(0.0, 0.0)
    turns = asked(joint, "u-bolt-thread-out").value
    parts = [tube, pad, stack, plate, washer, between or Fact(0.0, 0.0)]
    seat = Fact(*added(*((1.0, part) for part in parts)))
    need = Fact(*added((1.0, seat), (1.0, nut), (1.0, Fact(turns * pitch, 0.0))))
    return seat, need, ""


def bolt_length(joint: Joint) -> tuple[Answer, Answer]:
    """Whether the legs reach through everything with thread to spare, and whether the thread runs down far enough.

    An arched leaf stack is thicker before it is pulled flat: measured unclamped it asks for a leg too long (safe side),
    and the thread may then end above the nut's seat once it is clamped.
    """
    one, two = "u-bolt length", "u-bolt thread"
    seat, need, missing = _length(joint)
    if seat is None or need is None:
        how = f"measure {missing} {CALLIPER}" if missing.startswith("the ") else f"look {missing}"
        if missing == "the thread of the U-bolts":
            how = "hold a thread gauge and a calliper to the U-bolt, and write the thread as 1/2-20 or M12x1.5"
        return _unknown(one, missing, how), _unknown(two, missing, how)
    leg, run = joint.size("leg length"), joint.size("thread length")
    version = asked(joint, "u-bolt-thread-out")
    stack = (
        f"tube, pad, leaves, plate{', washer' if joint.size('washer') else ''}"
        f"{''.join(f', {layer.name}' for layer in joint.layers)} come to {seat.value:.1f} mm; with the nut and "
        f"{version.value:.0f} turns of thread {need.value:.1f} mm"
    )
    if leg is None:
        first = _unknown(
            one, "the leg length of the U-bolts",
            f"measure from the inside of the bend to the end of a leg; order at least {need.value:.0f} mm",
            rule="u-bolt-thread-out",
        )  # fmt: skip
        return first, _unknown(
            two, "the leg length of the U-bolts", "measure from the inside of the bend to the end of a leg"
        )
    around, _, _ = around_of(joint)
    works = () if around is None else (Work("U-bolts", "exchange", joint.name, _order(joint, around), found=leg),)
    room, sd = added((1.0, leg), (-1.0, need))
    first = _gauged(
        one, room, sd, 0.0, math.inf, good=f"legs of {leg.value:.1f} mm: {stack}",
        bad=f"legs of {leg.value:.1f} mm are {-room:.1f} mm short: {stack}", works=works,
        measure="measure leg, leaf stack clamped, pad and plate with a calliper", rule="u-bolt-thread-out",
        source=version.source,
    )  # fmt: skip
    if run is None:
        return first, _unknown(
            two, "how far the thread runs down the legs", "measure the thread on a leg with a calliper"
        )
    spare, sd = added((1.0, seat), (-1.0, leg), (1.0, run))
    second = _gauged(
        two, spare, sd, 0.0, math.inf, good=f"the thread runs {spare:.1f} mm on below the nut",
        bad=f"the thread ends {-spare:.1f} mm above the nut's seat: the nut runs out of thread before it clamps",
        works=works, measure="measure leg, thread, leaf stack clamped, pad and plate with a calliper",
        source=GEOMETRY,
    )  # fmt: skip
    return first, second


def bolts_new(joint: Joint) -> Answer:
    """Whether the U-bolts are new, with every torque found for their thread and when they are tightened again."""
    question = "u-bolts new"
    found = rule("u-bolt-retorque", joint.choices.get("u-bolt-retorque"))
    version = found.in_force
    again = "; ".join(v.label for v in found.versions)
    thread = joint.word("u-bolt thread")
    lists = u_bolt_torques(thread, joint.word("u-bolt grade")) if thread else ()
    torque = "; ".join(f"{t.low_nmm / 1e3:.0f} to {t.high_nmm / 1e3:.0f} N*m ({t.words}, {t.source})" for t in lists)
    plan = (
        f"nuts crosswise in steps{f', {torque}' if torque else ''}, the vehicle's own figure first; tightened again "
        f"after {version.value:.0f} km, weight on the springs (versions: {again})"
    )
    said = joint.word("u-bolts used")
    if not said:
        return _unknown(
            question, "whether the U-bolts have been tightened before",
            f"say whether they are new: a U-bolt is tightened once; {plan}", rule="u-bolt-uses",
        )  # fmt: skip
    source = asked(joint, "u-bolt-uses").source
    if said == "new":
        return Answer(
            question, Verdict.FITS, f"new U-bolts; {plan}", rule="u-bolt-uses", source=source, caution=CAUTION
        )
    work = Work(
        "U-bolts", "exchange", joint.name, "new U-bolts, deep nuts and hard washers",
        forbidden=("putting a U-bolt or its nuts on again",),
    )  # fmt: skip
    return Answer(
        question, Verdict.FITS_AFTER_WORK,
        "these U-bolts were tightened before: their thread has stretched into "
        f"the nut and does not hold its pull again; {plan}",
        remedy=work.words, works=(work,), rule="u-bolt-uses", source=source, caution=CAUTION,
    )  # fmt: skip
