"""How much thread of a wheel stud or bolt is engaged, after everything that is clamped in between."""

import math
import re
from collections.abc import Iterator
from dataclasses import replace

from trialfit.findings import Verdict
from trialfit.mates.answer import Answer, Target, Work
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.joint import Joint
from trialfit.parts import Fact, Port
from trialfit.standards import Thread, Version, refuse_not_positive, refuse_outside, rule, thread_called
from trialfit.sums import Ask, a_sum

CAUTION = (
    "Too little thread in a wheel nut strips it or snaps the stud and the wheel comes off. Count the turns of every "
    "nut, "
    "follow the vehicle's torque, and tighten again after the first kilometres."
)
_LEFT = re.compile(r"[\s-]*LH\s*$", re.IGNORECASE)
_DEPTH = "with a calliper's depth rod"


@a_sum(
    "stud-engagement",
    title="Thread of a wheel stud engaged in its nut",
    asks=(
        Ask("stud", "length", "from the hub's face to the end of the stud"),
        Ask("clamped", "length", "everything between hub and nut: hat, spacers, pad of the wheel to the nut's seat"),
        Ask("nut", "length", "full thread in the nut"),
        Ask("shank", "length", "how far the nut reaches into the wheel", 0.0),
        Ask("lead", "length", "from the nut's inner end to its first full thread", 0.0),
    ),
    gives="thread engaged",
    dimension="length",
    unit="mm",
    words="stud - clamped + shank - lead, at most the thread in the nut; negative when the nut does not reach the stud",
    source="geometry",
    caution=CAUTION,
)
def stud_engagement(stud: float, clamped: float, nut: float, shank: float, lead: float) -> float:
    """Thread [mm] of a stud engaged in its nut; the chamfer at its end is counted in, about one turn (unsafe side).

    Raises
    ------
    ValueError
        for a stud, a nut or clamped parts that are not positive, or a negative shank or lead

    Source: geometry.

    >>> stud_engagement(40.0, 22.0, 20.0, 0.0, 2.0)
    16.0
    """
    refuse_not_positive(stud=(stud, "mm"), clamped=(clamped, "mm"), nut=(nut, "mm"))
    refuse_outside("shank", shank, 0.0, 60.0, "mm")
    refuse_outside("lead", lead, 0.0, 60.0, "mm")
    return min(stud - clamped + shank - lead, nut)


@a_sum(
    "turns-of-thread",
    title="Turns of a nut for a length of thread engaged",
    asks=(Ask("engaged", "length", "thread engaged"), Ask("thread", "text", "thread, such as M12x1.5 or 1/2-20")),
    gives="turns from first bite to tight",
    dimension="number",
    unit="",
    words="engaged / pitch",
    source="geometry",
    caution=CAUTION,
)
def turns_of_thread(engaged: float, thread: str) -> float:
    """Turns of a nut from first bite to tight for a length of thread engaged.

    Raises
    ------
    ValueError
        for a length that is not positive, or a thread that is in no table

    Source: geometry.

    >>> turns_of_thread(12.0, "M12x1.5"), round(turns_of_thread(12.7, "1/2-20"), 6)
    (8.0, 10.0)
    """
    refuse_not_positive(engaged=(engaged, "mm"))
    return engaged / thread_called(thread).pitch_mm


@a_sum(
    "thread-by-turns",
    title="Length of thread engaged by the turns of a nut",
    asks=(Ask("turns", "number", "turns from first bite to tight"), Ask("thread", "text", "thread, such as M12x1.5")),
    gives="thread engaged",
    dimension="length",
    unit="mm",
    words="turns * pitch",
    source="geometry",
    caution=CAUTION,
)
def thread_by_turns(turns: float, thread: str) -> float:
    """Thread [mm] engaged, from the turns counted by hand; the last part of a turn under the wrench is counted in.

    Raises
    ------
    ValueError
        for turns that are not positive, or a thread that is in no table

    Source: geometry.

    >>> thread_by_turns(8.0, "M12x1.5")
    12.0
    """
    refuse_not_positive(turns=(turns, ""))
    return turns * thread_called(thread).pitch_mm


def thread_or_none(designation: str) -> Thread | None:
    """The thread of that designation, left-hand or not; None when it is unknown or in no table."""
    try:
        return thread_called(_LEFT.sub("", designation)) if designation else None
    except ValueError:
        return None


def engagement_answers(joint: Joint, pad: Fact | None, hub: Port) -> Iterator[Answer]:
    """Thread engaged, shoulder and closed end of a nut on a hub's stud; or a wheel bolt in the hub's thread.

    ``pad`` is what the wheel puts between its own back and the nut's seat. What lies between are the joint's layers.
    """
    thread = thread_or_none(hub.word("stud thread"))
    missing = [layer.name for layer in joint.layers if layer.thickness is None]
    if pad is None or missing or thread is None:
        what = (
            "the thread of the studs"
            if thread is None
            else ("the thickness of the pad under the nut" if pad is None else f"the thickness of {missing[0]}")
        )
        gauge = "gauge it with a thread gauge" if thread is None else "measure it with a calliper"
        yield not_known("stud engagement", what, gauge, caution=CAUTION)
        return
    value, sd = added((1.0, pad), *((1.0, la.thickness) for la in joint.layers if la.thickness is not None))
    clamped = Fact(value, sd)
    if joint.word("held by") == "bolts":
        yield from _bolt(joint, hub, thread, clamped)
    else:
        yield from _nut(joint, hub, thread, clamped)


def _asked(joint: Joint) -> tuple[str, Version]:
    metal = joint.word("nut material") or "steel"
    name = f"thread-engagement-{metal}"
    return name, rule(name, joint.choices.get(name)).in_force


def _told(engaged: float, thread: Thread, asked_mm: float) -> str:
    return (
        f"{engaged:.2f} mm of {thread.name} engaged, {engaged / thread.pitch_mm:.1f} turns; {asked_mm:.2f} mm, "
        f"{asked_mm / thread.pitch_mm:.1f} turns, are asked"
    )


def _nut(joint: Joint, hub: Port, thread: Thread, clamped: Fact) -> Iterator[Answer]:
    stud, full = hub.size("stud length"), joint.size("nut thread length")
    name, asked = _asked(joint)
    asked_mm = asked.value * thread.diameter_mm
    if stud is None:
        yield not_known(
            "stud engagement",
            "how far the studs stand out of the flange",
            f"measure from the flange's face to the end of the thread {_DEPTH}",
            rule=name,
            source=asked.source,
            caution=CAUTION,
        )
        return
    none = Fact(0.0, 0.0)
    lead, shank = joint.size("nut lead") or none, joint.size("nut shank") or none
    reach, sd = added((1.0, stud), (-1.0, clamped), (1.0, shank), (-1.0, lead))
    yield _engaged(joint, thread, reach, sd, full, name, asked, asked_mm, stud)
    yield from _material(joint, thread, min(reach, full.value) if full else reach)
    yield from _shoulder(joint, hub, clamped, shank, lead)
    if joint.word("nut end") == "closed":
        yield _bottom(joint, stud, clamped, shank)
    elif joint.word("nut end") == "":
        yield not_known("nut end", "whether the nuts are open or closed at the end", "look through the nut")
    else:
        yield from _through(joint, thread, reach, sd, full)


def _material(joint: Joint, thread: Thread, engaged: float) -> Iterator[Answer]:
    """Asks what the nuts are of where it matters: enough thread for steel, too little for aluminium."""
    steel, soft = (
        rule(n, joint.choices.get(n)).in_force.value * thread.diameter_mm
        for n in ("thread-engagement-steel", "thread-engagement-aluminium")
    )
    if joint.word("nut material") == "" and steel <= engaged < soft:
        reason = f"{engaged:.2f} mm of thread is enough for nuts of steel, {soft:.2f} mm is asked of nuts of aluminium"
        yield Answer(
            "nut material",
            Verdict.CANNOT_TELL,
            reason,
            rule="thread-engagement-aluminium",
            caution=CAUTION,
            measure="try a magnet on the nuts: it holds on steel and not on aluminium",
        )


def _engaged(
    joint: Joint,
    thread: Thread,
    reach: float,
    sd: float | None,
    full: Fact | None,
    name: str,
    asked: Version,
    asked_mm: float,
    stud: Fact,
) -> Answer:
    by_nut = full is not None and full.value < reach
    engaged, doubt = (full.value, full.sd) if full is not None and by_nut else (reach, sd)
    more = asked_mm - reach
    longer = Work(
        joint.b_part,
        "exchange",
        "wheel studs",
        f"studs that stand at least {more:.2f} mm farther out, {stud.value + more:.2f} mm from the flange's face, of "
        "the same "
        "thread and knurl; press them in, never draw them in with a nut",
        found=stud,
        target=Target(stud.value + more, stud.value + more, stud.value + more + 5.0, "length", "geometry"),
        forbidden=("welding studs in", "thread inserts"),
    )
    answer = gauged(
        "stud engagement",
        engaged,
        doubt,
        asked_mm,
        math.inf,
        rule=name,
        source=asked.source,
        caution=CAUTION,
        good=_told(engaged, thread, asked_mm),
        bad=_told(max(engaged, 0.0), thread, asked_mm)
        + ("; the nut is too short" if by_nut else "; the stud is too short"),
        measure=f"count the turns from first bite to tight on every stud, or measure stud and layers {_DEPTH}",
        works=() if by_nut and reach >= asked_mm else (longer,),
        remedy="nuts with more thread" if by_nut and reach >= asked_mm else "",
    )
    if answer.verdict is Verdict.FITS and full is None:
        return replace(
            answer,
            verdict=Verdict.CANNOT_TELL,
            odds=None,
            reason=f"the stud reaches far enough, {reach:.2f} mm, but the thread in the nut is not known",
            measure="measure the full thread in the nut, or count its turns on a long stud",
        )
    return answer


def _shoulder(joint: Joint, hub: Port, clamped: Fact, shank: Fact, lead: Fact) -> Iterator[Answer]:
    plain = hub.size("stud shoulder")
    if plain is None:
        return
    room, sd = added((1.0, clamped), (-1.0, shank), (1.0, lead), (-1.0, plain))
    yield gauged(
        "stud shoulder",
        room,
        sd,
        0.0,
        math.inf,
        source="geometry",
        caution=CAUTION,
        good=f"the stud's thread begins {room:.2f} mm before the nut's",
        bad=f"the plain part of the stud ends {-room:.2f} mm inside the nut: the nut comes to rest on it and clamps "
        "nothing",
        measure=f"measure the plain part of the stud {_DEPTH}",
        remedy="studs threaded nearer to the flange; or the layers that were left out put back",
    )


def _bottom(joint: Joint, stud: Fact, clamped: Fact, shank: Fact) -> Answer:
    depth = joint.size("nut depth")
    asked = rule("wheel-nut-bottom-room", joint.choices.get("wheel-nut-bottom-room")).in_force
    if depth is None:
        return not_known(
            "closed nut",
            "how deep the closed nut is",
            f"measure from its inner end to its bottom {_DEPTH}",
            rule="wheel-nut-bottom-room",
            source=asked.source,
            caution=CAUTION,
        )
    room, sd = added((1.0, depth), (-1.0, stud), (1.0, clamped), (-1.0, shank))
    short = asked.value - room
    work = Work(
        joint.b_part,
        "exchange",
        "nuts",
        f"open nuts, or closed ones at least {depth.value + short:.2f} mm deep",
        forbidden=("washers under a taper or ball seat",),
    )
    return gauged(
        "closed nut",
        room,
        sd,
        asked.value,
        math.inf,
        rule="wheel-nut-bottom-room",
        source=asked.source,
        caution=CAUTION,
        good=f"the stud ends {room:.2f} mm short of the bottom of the nut",
        bad=f"the stud ends {room:.2f} mm short of the bottom of the nut where {asked.value:.2f} mm is asked: it "
        "reads as "
        "tight with the wheel loose"
        if room > 0.0
        else f"the stud reaches the bottom of the closed nut {-room:.2f} mm before the wheel is clamped: it reads as "
        "tight with "
        "the wheel loose",
        measure=f"measure nut, stud and layers {_DEPTH}",
        works=(work,),
    )


def _through(joint: Joint, thread: Thread, reach: float, sd: float | None, full: Fact | None) -> Iterator[Answer]:
    asked = rule("wheel-stud-through-nut", joint.choices.get("wheel-stud-through-nut")).in_force
    if asked.value == 0.0 or full is None:
        return
    out = reach - full.value
    doubt = None if sd is None or full.sd is None else math.hypot(sd, full.sd)
    yield gauged(
        "stud out of the nut",
        out,
        doubt,
        asked.value * thread.pitch_mm,
        math.inf,
        rule="wheel-stud-through-nut",
        source=asked.source,
        caution=CAUTION,
        good=f"{out:.2f} mm of thread stand out of the nut",
        bad=f"{out:.2f} mm of thread stand out of the nut; {asked.value:.0f} turn is asked",
        measure="look at every nut when it is tight",
        remedy="longer studs, or shorter nuts with thread enough",
    )


def _bolt(joint: Joint, hub: Port, thread: Thread, clamped: Fact) -> Iterator[Answer]:
    length, depth = joint.size("bolt length"), hub.size("thread depth")
    asked = rule("thread-engagement-steel", joint.choices.get("thread-engagement-steel")).in_force
    asked_mm = asked.value * thread.diameter_mm
    if length is None:
        yield not_known(
            "stud engagement",
            "the length of the wheel bolts",
            "measure from the small end of the bolt's seat to its end with a calliper",
            rule="thread-engagement-steel",
            source=asked.source,
            caution=CAUTION,
        )
        return
    reach, sd = added((1.0, length), (-1.0, clamped))
    by_hub = depth is not None and depth.value < reach
    engaged, doubt = (depth.value, depth.sd) if depth is not None and by_hub else (reach, sd)
    more = asked_mm - reach
    short_hub = by_hub and reach >= asked_mm
    work = Work(
        joint.a_part,
        "exchange",
        "wheel bolts",
        f"wheel bolts at least {more:.2f} mm longer, of the same seat",
        found=length,
    )
    answer = gauged(
        "stud engagement",
        engaged,
        doubt,
        asked_mm,
        math.inf,
        rule="thread-engagement-steel",
        source=asked.source,
        caution=CAUTION,
        good=_told(engaged, thread, asked_mm),
        bad=_told(max(engaged, 0.0), thread, asked_mm)
        + ("; the thread in the hub is too short" if short_hub else "; the bolt is too short"),
        measure="count the turns from first bite to tight on every bolt",
        works=() if short_hub else (work,),
        remedy="no longer bolt helps: the hub has too little thread" if short_hub else "",
    )
    if depth is None and answer.verdict is Verdict.FITS:
        answer = replace(
            answer,
            verdict=Verdict.CANNOT_TELL,
            odds=None,
            reason=f"the bolt reaches far enough, {reach:.2f} mm, but the thread in the hub is not known",
            measure=f"measure the depth of thread in the hub {_DEPTH}",
        )
    yield answer
    if depth is not None and reach > depth.value:
        yield Answer(
            "bolt behind the flange",
            Verdict.CANNOT_TELL,
            f"the bolt comes {reach - depth.value:.2f} mm out of the back of the flange",
            caution=CAUTION,
            measure="turn the hub by hand with every bolt tight and look behind the flange for what the ends may touch",
            source="geometry",
        )
