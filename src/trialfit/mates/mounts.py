"""Engine or gearbox mount on its bracket: bolt spacing, holes, height, sideways offset."""

from functools import partial

from trialfit.findings import Verdict
from trialfit.mates.answer import AGAIN, Answer, Work
from trialfit.mates.figure import Hole, Plate
from trialfit.mates.gauged import added, gauged, layered, not_known
from trialfit.mates.joint import Joint, MateKind
from trialfit.parts import Fact
from trialfit.standards import rule, thread_called

CAUTION = (
    "Mounts hold engine and gearbox against torque and in a crash. Support the engine on a stand or hoist, never on "
    "the mount being worked on, and have cut or welded brackets looked over by someone licensed where the law "
    "asks for it."
)
_RUBBER_MM = 0.5
"""what the rubber takes up without a shim; common practice, no source"""
_unknown = partial(not_known, caution=CAUTION)
_gauged = partial(gauged, caution=CAUTION)


def judge(joint: Joint) -> tuple[Answer, ...]:
    """Every question about a mount on its bracket.

    The rubber's stiffness, and the room the engine needs when it rocks, are asked elsewhere.
    """
    return (_spacing(joint), _bolt(joint), _height(joint), _offset(joint))


def _thread(joint: Joint) -> Fact | None:
    word = joint.a.word("thread")
    try:
        return Fact(thread_called(word).diameter_mm, 0.0, word) if word else None
    except ValueError:
        return None


def _spacing(joint: Joint) -> Answer:
    question = "bolt spacing"
    if joint.a.count("bolts") == 1:
        return Answer(question, Verdict.FITS, "one bolt: there is nothing to space", source="count", caution=CAUTION)
    mount, bracket = joint.a.size("spacing"), joint.b.size("spacing")
    for size, part in ((mount, joint.a_part), (bracket, joint.b_part)):
        if size is None:
            return _unknown(
                question, f"the bolt spacing of {part}",
                "measure middle to middle with a calliper; write bolts: 1 for a mount with a single one",
            )  # fmt: skip
    bolt, hole = _thread(joint), joint.b.size("hole")
    if mount is None or bracket is None or bolt is None or hole is None:
        what, how = (
            ("the thread of the mount", "write it as 3/8-16 or M10")
            if bolt is None
            else ("the hole size of the bracket", "measure one across with a calliper")
        )
        return _unknown(question, what, how)
    slot = joint.b.size("slot") or Fact(0.0, 0.0)
    off, sd = added((1.0, mount), (-1.0, bracket))
    slack = max(0.0, hole.value - bolt.value) + slot.value
    words = f"mount {mount.value:.2f} mm, bracket {bracket.value:.2f} mm between bolts; {slack:.2f} mm may be"
    grow = 0.5 * (abs(off) - slack)
    each = 1.0 if off > 0.0 else -1.0
    length = slot.value + max(0.0, grow)
    half = 0.5 * bracket.value + 0.5 * each * max(0.0, grow)
    figure = Plate(
        f"{joint.b_part}: slots for the mount", "middle between the two holes; x along them", None,
        (
            Hole(half, 0.0, hole.value, "slot 1", slot_mm=length),
            Hole(-half, 0.0, hole.value, "slot 2", slot_mm=length),
            Hole(0.5 * bracket.value, 0.0, hole.value, "", old=True, slot_mm=slot.value),
            Hole(-0.5 * bracket.value, 0.0, hole.value, "", old=True, slot_mm=slot.value),
        ),
    )  # fmt: skip
    way = "outward" if off > 0.0 else "inward"
    work = Work(
        joint.b_part, "slot", "holes of the bracket",
        f"lengthen each hole by {grow:.2f} mm {way}, with a thick washer over it", found=bracket, figure=figure,
        feature="from hole to hole, middle to middle",
        forbidden=("slots that break out of the bracket's edge",),
    )  # fmt: skip
    return _gauged(
        question, off, sd, -slack, slack, good=words, bad=words, works=(work,),
        measure="measure both middle to middle with a calliper, or try the mount in the bracket", source="geometry",
    )  # fmt: skip


def _bolt(joint: Joint) -> Answer:
    question = "bolt in hole"
    bolt, hole = _thread(joint), joint.b.size("hole")
    if bolt is None:
        return _unknown(question, "the thread of the mount", "hold a thread gauge to it, and write it as 3/8-16 or M10")
    if hole is None:
        return _unknown(question, "the hole size of the bracket", "measure one across with a calliper")
    version = rule("bell-bolt-play", joint.choices.get("bell-bolt-play")).in_force
    play, sd = added((1.0, hole), (-1.0, bolt))
    words = f"{joint.a.word('thread')} ({bolt.value:.2f} mm) in a hole {hole.value:.2f} mm wide"
    works: tuple[Work, ...] = ()
    bad = f"{words}: {play:.2f} mm of play; the mount creeps"
    if play < 0.0:
        bad = f"{words}: it does not go through"
        works = (
            Work(joint.b_part, "drill", "holes of the bracket", f"open them to {bolt.value + 0.5:.1f} mm", found=hole),
        )
    return _gauged(
        question, play, sd, 0.0, version.value, good=words, bad=bad, works=works,
        measure="measure the hole across with a calliper", rule="bell-bolt-play", source=version.source,
    )  # fmt: skip


def _height(joint: Joint) -> Answer:
    question = "height"
    height, room = joint.a.size("height"), joint.b.size("room")
    between, name = layered(joint.layers)
    if between is None:
        return _unknown(question, f"the thickness of {name}", f"measure {name} with a calliper")
    if height is None:
        return _unknown(
            question, "the height of the mount under load",
            "load the mount with its share of the engine and "
            "measure its height with a calliper; unloaded rubber stands higher",
        )  # fmt: skip
    if room is None:
        return _unknown(
            question, "the room for the mount",
            "hang the engine at its planned place and measure between bracket and seat with a calliper or inside rule",
        )  # fmt: skip
    version = rule("mount-shims", joint.choices.get("mount-shims")).in_force
    gap, sd = added((1.0, room), (-1.0, height), (-1.0, between))
    on = f" on {between.value:.1f} mm" if joint.layers else ""
    words = f"mount {height.value:.1f} mm high{on} in {room.value:.1f} mm"
    allowed = _RUBBER_MM
    if -allowed <= gap <= version.value + allowed:
        work = Work(joint.b_part, "shim", "seat of the mount", f"shims of {gap:.1f} mm, full size of the seat{AGAIN}")
        return _gauged(
            question, gap, sd, -allowed, allowed, good=words, bad=f"{words}: {gap:.1f} mm to fill", works=(work,),
            measure="measure the room again with the engine hung at its place", rule="mount-shims",
            source=version.source,
        )  # fmt: skip
    bad = (
        f"{words}: {-gap:.1f} mm too high: it lifts the engine and turns the shaft's angle"
        if gap < 0.0
        else f"{words}: {gap:.1f} mm to fill, and shims may come to {version.value:.0f} mm"
    )
    works = (
        ()
        if gap < 0.0
        else (
            Work(
                joint.b_part, "make a spacer", "seat of the mount",
                f"a block of {gap:.1f} mm, bolted through, the full size of the seat",
            ),
        )
    )  # fmt: skip
    remedy = "" if works else "set the bracket lower, or take a lower mount; then look at the joint angles again"
    return _gauged(
        question, gap, sd, -allowed, allowed, good=words, bad=bad, works=works, remedy=remedy,
        measure="measure the room again with the engine hung at its place", rule="mount-shims", source=version.source,
    )  # fmt: skip


def _offset(joint: Joint) -> Answer:
    question = "sideways"
    offset = joint.b.size("offset")
    if offset is None:
        return _unknown(
            question, "how far the mount stands beside its bracket",
            "hang the engine at its planned place, square and level, and measure between the two middles",
        )  # fmt: skip
    version = rule("mount-offset", joint.choices.get("mount-offset")).in_force
    words = f"mount and bracket stand {abs(offset.value):.1f} mm beside each other; {version.value:.1f} mm may be"
    work = Work(
        joint.b_part, "slot", "holes of the bracket",
        f"move the holes {abs(offset.value):.1f} mm sideways, or set the bracket over",
        forbidden=("pulling the rubber over with the bolts",),
    )  # fmt: skip
    return _gauged(
        question, offset.value, offset.sd, -version.value, version.value, good=words,
        bad=f"{words}: the rubber would be pulled sideways and tear", works=(work,),
        measure="measure between the two middles again, engine hung at its place", rule="mount-offset",
        source=version.source,
    )  # fmt: skip


KINDS: tuple[MateKind, ...] = (
    MateKind(
        "mount on bracket", "a rubber mount of engine or gearbox on its bracket", ("mount",), ("mount bracket",),
        judge, layered=True,
    ),
)  # fmt: skip
