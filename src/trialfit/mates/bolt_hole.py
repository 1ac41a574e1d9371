"""Bolt through hole: thread, room round it, shank, thread engaged after everything clamped, bottom and edge."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

from trialfit.findings import Verdict
from trialfit.mates.answer import Answer, Target, Work
from trialfit.mates.figure import Hole, Plate
from trialfit.mates.gauged import added, each, gauged, layered, not_known
from trialfit.mates.joint import Joint, MateKind
from trialfit.parts import Ask, Fact
from trialfit.standards import Thread, Version, rule
from trialfit.standards.clearance_holes import FITS, GRADE, ClearanceHole, clearance_hole
from trialfit.standards.fits import limits
from trialfit.standards.thread_pairs import plain_thread, same_thread

CAUTION = (
    "A bolt of brakes, steering, suspension, seats or belts carries a life: use the grade and length that the part's "
    "maker asks for, new where he says so, and have the work looked over by someone licensed where the law asks for it."
)
ENGAGEMENT = {
    "steel": "bolt-engagement-steel",
    "stainless": "bolt-engagement-steel",
    "cast iron": "bolt-engagement-iron",
    "iron": "bolt-engagement-iron",
    "aluminium": "bolt-engagement-aluminium",
}
"""Which rule says how far a bolt must be screwed into a tapped hole of that material."""
_NOUGHT_MM = 0.005
"""Less than that is printed as nought."""
_DEPTH_ROD = "with the depth rod of a calliper"
_GEOMETRY = "geometry"
_HOW_MANY = (
    "say how many bolts hold it, as in bolts: 2, or bolts: 1 where this one alone does; or the hole wanted, as in "
    "fit: medium"
)
_HOW_THREAD = "measure over the thread with a calliper and hold a thread gauge of both systems on it"
_HOW_HOLE = "measure the hole with a calliper in two directions, or try drills in it"
_HOW_GRIP = "measure everything that is clamped, with a calliper, each by itself"
_HOW_LENGTH = "measure from under the head to the end with a calliper"
_HOW_SHANK = f"measure from under the head to the first full thread {_DEPTH_ROD}; 0 when it is threaded to the head"
_HOW_DEEP = "screw in by hand a bolt that is known to be long enough, and measure how far it goes"
_HOW_METAL = "hold a magnet on it and file a corner nobody sees: steel, cast iron or aluminium"
_HOW_EDGE = "measure from the edge to the hole with a calliper and add half the hole"
_HOW_NUT = "measure the nut across its faces with a calliper"
_SPREAD = "bush the hole or take the next size of bolt; a thick plate washer spreads the load but places nothing"


@dataclass(frozen=True, slots=True)
class _Clamped:
    """What lies between the head and the place where thread begins to count: None with the name of what is missing."""

    grip: Fact | None
    missing: str


def judge(joint: Joint) -> tuple[Answer, ...]:
    """Every question about a bolt in its hole, answered.

    The strength of the bolt is left out, as are holes of the plates between, which are taken to be as good as this one.
    """
    tapped = joint.b.word("form").startswith("tapped")
    if joint.b.word("form") == "":
        tapped = joint.b.word("thread") != ""
    grip = _clamped(joint, tapped)
    questions: list[tuple[str, Callable[[], Answer]]] = [("thread", partial(_thread, joint, tapped))]
    if not tapped:
        questions.append(("hole", partial(_room, joint)))
    questions.append(("shank", partial(_shank, joint, grip, tapped)))
    questions.append(("thread engaged", partial(_engaged if tapped else _through_nut, joint, grip)))
    if joint.b.word("form") == "tapped blind":
        questions.append(("bottom", partial(_bottom, joint, grip)))
    questions.append(("edge distance", partial(_edge, joint, tapped)))
    return each(*questions, measure="check thread and sizes, and take that size from the part's drawing",
                caution=CAUTION)  # fmt: skip


def _clamped(joint: Joint, tapped: bool) -> _Clamped:
    layers, missing = layered(joint.layers)
    if layers is None:
        return _Clamped(None, f"the thickness of {missing}")
    parts = [(1.0, layers)]
    if (washers := joint.size("washers")) is not None:
        parts.append((1.0, washers))
    if tapped:
        if (mouth := joint.b.size("counterbore")) is not None:
            parts.append((1.0, mouth))
    else:
        thickness = joint.b.size("thickness")
        if thickness is None:
            return _Clamped(None, f"the thickness of {joint.b_part} at the hole")
        parts.append((1.0, thickness))
    value, sd = added(*parts)
    return _Clamped(Fact(value, sd), "")


def _bolt_thread(joint: Joint) -> Thread | None:
    """None when it is not known, or cannot be read; ``_thread`` says which."""
    try:
        return plain_thread(joint.a.word("thread"))
    except ValueError:
        return None


def _no_thread(question: str, joint: Joint) -> Answer:
    return not_known(question, f"the thread of {joint.a_part}", _HOW_THREAD, caution=CAUTION)


def _thread(joint: Joint, tapped: bool) -> Answer:
    question = "thread"
    bolt = joint.a.word("thread")
    if not bolt:
        return _no_thread(question, joint)
    other = joint.b.word("thread") if tapped else joint.word("nut thread")
    place = f"the thread in {joint.b_part}" if tapped else "the thread of the nut"
    if not other:
        how = (
            "screw in by hand a clean bolt whose thread is known: it must go in to the end by the fingers alone"
            if tapped else "hold a thread gauge on the bolt, and run the nut down its whole length by the fingers alone"
        )  # fmt: skip
        return not_known(question, place, how, caution=CAUTION)
    try:
        same, words = same_thread(bolt, other)
    except ValueError as unread:
        return Answer(question, Verdict.CANNOT_TELL, str(unread), measure=_HOW_THREAD, caution=CAUTION)
    source = "ISO 261; ASME B1.1; ASME B1.20.1; ISO 228-1; ISO 7-1"
    if same:
        return Answer(question, Verdict.FITS, words or f"{bolt} in {other}: one thread", source=source)
    return Answer(question, Verdict.DOES_NOT_FIT, words, source=source, caution=CAUTION,
                  remedy=f"take a bolt of {other}" if tapped else f"take a nut of {bolt}")  # fmt: skip


def _room(joint: Joint) -> Answer:
    question = "hole"
    thread, hole, shank = _bolt_thread(joint), joint.b.size("diameter"), joint.a.size("shank diameter")
    if thread is None:
        return _no_thread(question, joint)
    if hole is None:
        return not_known(question, f"the hole in {joint.b_part}", _HOW_HOLE, caution=CAUTION)
    fit = joint.word("fit") or ("medium" if (joint.count("bolts") or 1) > 1 else "fine")
    thick = thread.diameter_mm if shank is None else max(thread.diameter_mm, shank.value)
    wanted = _round(clearance_hole(thread), thick - thread.diameter_mm)
    sd = hole.sd if shank is None or shank.value <= thread.diameter_mm else added((1.0, hole), (-1.0, shank))[1]
    gap = hole.value - thick
    words = f"hole {hole.value:.2f} mm on {thick:.2f} mm, {wanted.of(fit):.2f} mm is the {fit} hole for {thread.name}"
    most = _most(wanted, fit)
    work: tuple[Work, ...] = ()
    remedy, bad = _SPREAD, f"{words}: {most:.2f} mm at most, the bolt cannot hold the part in its place"
    if gap < 0.0:
        work, remedy = (_drill(joint, hole, wanted, fit, thread),), ""
        bad = f"{words}: the bolt does not go through"
    found = gauged(
        question, gap, sd, 0.0, most - thick, good=words, bad=bad, works=work, remedy=remedy,
        measure=_HOW_HOLE, source=wanted.source, caution=CAUTION,
    )  # fmt: skip
    untold = joint.count("bolts") is None and not joint.word("fit")
    if found.verdict is Verdict.DOES_NOT_FIT and untold and hole.value <= _most(wanted, "medium"):
        return replace(
            found, verdict=Verdict.CANNOT_TELL, remedy="", measure=_HOW_MANY,
            reason=f"{words}: {most:.2f} mm at most for a bolt that locates its part alone, as in a link, damper or "
            f"spring, {_most(wanted, 'medium'):.2f} mm for one of several; it is not said which it is",
        )  # fmt: skip
    return found


def _round(wanted: ClearanceHole, more_mm: float) -> ClearanceHole:
    """The holes of a bolt whose shank is thicker than its thread: as much room round the shank."""
    if more_mm <= 0.0:
        return wanted
    return replace(wanted, fine_mm=wanted.fine_mm + more_mm, medium_mm=wanted.medium_mm + more_mm,
                   coarse_mm=wanted.coarse_mm + more_mm)  # fmt: skip


def _most(wanted: ClearanceHole, fit: str) -> float:
    """The widest hole that passes: of the coarse series, but for a bolt that locates of the fine one [mm]."""
    widest = "fine" if fit == "fine" else "coarse"
    return limits(wanted.of(widest), GRADE[widest])[1]


def _drill(joint: Joint, hole: Fact, wanted: ClearanceHole, fit: str, thread: Thread) -> Work:
    size_mm = wanted.of(fit)
    low, high = limits(size_mm, GRADE[fit])
    at = Hole(0.0, 0.0, size_mm, f"{size_mm:.2f}", low_mm=low, high_mm=high)
    there = Hole(0.0, 0.0, hole.value, old=True)
    thickness, edge = joint.b.size("thickness"), joint.b.size("edge distance")
    side = edge.value if edge is not None else 2.0 * size_mm
    around = ((-side, -side), (side, -side), (side, side), (-side, side))
    title = f"{joint.b_part}: hole for {thread.name}"
    return Work(
        joint.b_part, "drill", "bolt hole", f"drill the hole from {hole.value:.2f} mm to {size_mm:.2f} mm", hole,
        Target(size_mm, low, high, f"{size_mm:.2f} {GRADE[fit]}", wanted.source), "middle of the old hole", None,
        ("drilling where the edge or a neighbouring hole is nearer than the rule allows", "burning the hole out"),
        Plate(title, "middle of the hole; the edge drawn is the nearest one, on all sides", None if thickness is None
              else thickness.value, (at, there), outline=around, shop="its bolt carries a life"),
    )  # fmt: skip


def _shank(joint: Joint, grip: _Clamped, tapped: bool) -> Answer:
    question = "shank"
    shank = joint.a.size("shank length")
    if shank is None:
        return not_known(question, f"the plain length of {joint.a_part}", _HOW_SHANK, caution=CAUTION)
    if grip.grip is None:
        return _no_grip(question, grip)
    room, sd = added((1.0, grip.grip), (-1.0, shank))
    words = f"plain for {shank.value:.2f} mm, clamped {grip.grip.value:.2f} mm"
    what = "the tapped hole" if tapped else "the nut"
    return gauged(
        question, room, sd, 0.0, math.inf, good=f"{words}: {what} stays on full thread",
        bad=f"{words}: {what} runs onto the shank {_before(room)} anything is clamped, though it feels tight",
        measure=f"measure plain length and everything clamped {_DEPTH_ROD}", source=_GEOMETRY, caution=CAUTION,
        works=(_other_bolt(joint, f"with at most {grip.grip.value:.1f} mm of plain shank"),),
    )  # fmt: skip


def _before(room_mm: float) -> str:
    return "just as" if room_mm > -_NOUGHT_MM else f"{-room_mm:.2f} mm before"


def _other_bolt(joint: Joint, words: str) -> Work:
    never = ("cutting more thread on a hardened bolt", "packing with a stack of loose washers")
    return Work(joint.a_part, "exchange", "bolt", f"take a bolt {words}", forbidden=never)


def _no_grip(question: str, grip: _Clamped) -> Answer:
    return not_known(question, grip.missing, _HOW_GRIP, caution=CAUTION)


def _reach(joint: Joint, grip: Fact) -> tuple[float, float | None] | None:
    """How far the bolt's end stands beyond what is clamped, point and all."""
    length = joint.a.size("length")
    return None if length is None else added((1.0, length), (-1.0, grip))


def _no_length(question: str, joint: Joint) -> Answer:
    return not_known(question, f"the length of {joint.a_part}", _HOW_LENGTH, caution=CAUTION)


def _engaged(joint: Joint, grip: _Clamped) -> Answer:
    question = "thread engaged"
    thread = _bolt_thread(joint)
    if thread is None:
        return _no_thread(question, joint)
    if grip.grip is None:
        return _no_grip(question, grip)
    reach = _reach(joint, grip.grip)
    if reach is None:
        return _no_length(question, joint)
    blind = joint.b.word("form") == "tapped blind"
    deep = joint.b.size("thread depth" if blind else "thickness")
    if deep is None:
        return not_known(question, f"the depth of thread in {joint.b_part}", _HOW_DEEP, caution=CAUTION)
    name = ENGAGEMENT.get(joint.b_material.strip().lower())
    if name is None:
        metal = joint.b_material.strip().lower()
        if metal:
            return Answer(question, Verdict.CANNOT_TELL,
                          f"no rule here says how far a bolt must be screwed into {metal}",
                          measure=f"take the length of thread for {metal} from the maker of {joint.b_part}, or fit a "
                          "steel insert", caution=CAUTION)  # fmt: skip
        return not_known(question, f"what {joint.b_part} is made of", _HOW_METAL, caution=CAUTION)
    version = rule(name, joint.choices.get(name)).in_force
    point = joint.a.size("point") or Fact(thread.pitch_mm, 0.0, "one pitch, taken as the point")
    in_bolt, sd = added((1.0, Fact(*reach)), (-1.0, point))
    mouth = joint.b.size("counterbore")
    available = deep.value - (0.0 if mouth is None else mouth.value)
    if available < in_bolt:
        in_bolt, sd = available, deep.sd
    needed = version.value * thread.diameter_mm
    turns = in_bolt / thread.pitch_mm
    words = f"{max(in_bolt, 0.0):.2f} mm engaged, {max(turns, 0.0):.1f} turns of {thread.name}"
    words += f"; {needed:.2f} mm is asked"
    longer = f"{grip.grip.value + point.value + needed:.1f} mm long or longer"
    works = (_other_bolt(joint, longer),) if available >= needed else ()
    return gauged(
        question, in_bolt, sd, needed, math.inf, good=words, bad=words if works or available >= needed else
        f"{words}, and the hole has only {available:.2f} mm of thread", works=works, rule=name, source=version.source,
        measure="count the turns from first bite to tight by hand, and measure the bolt and what is clamped with a "
        "calliper", caution=CAUTION, remedy="" if works else "tap the hole deeper where there is metal, or fit a steel "
        "insert",
    )  # fmt: skip


def _through_nut(joint: Joint, grip: _Clamped) -> Answer:
    question = "thread engaged"
    thread = _bolt_thread(joint)
    if thread is None:
        return _no_thread(question, joint)
    if grip.grip is None:
        return _no_grip(question, grip)
    reach = _reach(joint, grip.grip)
    if reach is None:
        return _no_length(question, joint)
    nut = joint.size("nut height")
    if nut is None:
        return not_known(question, "the height of the nut", _HOW_NUT, caution=CAUTION)
    version = rule("thread-protrusion", joint.choices.get("thread-protrusion")).in_force
    past, sd = added((1.0, Fact(*reach)), (-1.0, nut))
    needed = version.value * thread.pitch_mm
    turns = past / thread.pitch_mm
    words = (
        f"{past:.2f} mm of {thread.name} stand past the nut, {turns:.1f} turns" if past > _NOUGHT_MM
        else f"{thread.name} ends flush with the nut's face" if past > -_NOUGHT_MM
        else f"{thread.name} ends {-past:.2f} mm inside the nut, {-turns:.1f} turns short of its face"
    )  # fmt: skip
    longer = f"{grip.grip.value + nut.value + needed:.1f} mm long or longer"
    return gauged(
        question, past, sd, needed, math.inf, good=f"{words}: the nut is full",
        bad=f"{words}; {_shown(version)} is asked",
        measure="measure the bolt, the nut and what is clamped with a calliper", works=(_other_bolt(joint, longer),),
        rule="thread-protrusion", source=version.source, caution=CAUTION,
    )  # fmt: skip


def _shown(version: Version) -> str:
    return f"{version.value:g} full thread{'' if version.value == 1.0 else 's'} past it"


def _bottom(joint: Joint, grip: _Clamped) -> Answer:
    question = "bottom"
    thread, deep = _bolt_thread(joint), joint.b.size("thread depth")
    if thread is None:
        return _no_thread(question, joint)
    if grip.grip is None:
        return _no_grip(question, grip)
    reach = _reach(joint, grip.grip)
    if reach is None:
        return _no_length(question, joint)
    if deep is None:
        return not_known(question, f"the depth of thread in {joint.b_part}", _HOW_DEEP, caution=CAUTION)
    version = rule("tapped-hole-rest", joint.choices.get("tapped-hole-rest")).in_force
    # the mouth without thread is part of what is clamped, and the depth of thread is counted below the face
    mouth = joint.b.size("counterbore") or Fact(0.0, 0.0)
    room, sd = added((1.0, deep), (-1.0, mouth), (-1.0, Fact(*reach)))
    needed = version.value * thread.pitch_mm
    words = (
        f"{room:.2f} mm of thread free below the bolt" if room >= 0.0
        else f"the bolt reaches {-room:.2f} mm past the last full thread: it bottoms and clamps nothing, though tight"
    )  # fmt: skip
    most = joint.a.size("length")
    shorter = 0.0 if most is None else most.value - (needed - room)
    return gauged(
        question, room, sd, needed, math.inf, good=f"{words}, {needed:.2f} mm is asked",
        bad=f"{words}, {needed:.2f} mm is asked", works=(_other_bolt(joint, f"{shorter:.1f} mm long or shorter"),),
        measure=f"measure the bolt and the hole {_DEPTH_ROD}", rule="tapped-hole-rest", source=version.source,
        caution=CAUTION,
    )  # fmt: skip


def _edge(joint: Joint, tapped: bool) -> Answer:
    question = "edge distance"
    edge = joint.b.size("edge distance")
    if edge is None:
        what = f"how far it is from the hole to the edge of {joint.b_part}"
        return not_known(question, what, _HOW_EDGE, caution=CAUTION)
    thread, hole = _bolt_thread(joint), joint.b.size("diameter")
    if tapped or hole is None:
        if thread is None:
            return _no_thread(question, joint)
        hole = Fact(thread.diameter_mm, 0.0)
    version = rule("hole-edge-distance", joint.choices.get("hole-edge-distance")).in_force
    needed = version.value * hole.value
    words = f"{edge.value:.2f} mm from the middle of the hole to the edge, {needed:.2f} mm is asked"
    return gauged(
        question, edge.value, edge.sd, needed, math.inf, good=words, bad=f"{words}: the edge can tear out",
        measure=_HOW_EDGE, rule="hole-edge-distance",
        source=version.source, caution=CAUTION, remedy="move the hole, or take a smaller bolt of higher grade",
    )  # fmt: skip


KINDS: tuple[MateKind, ...] = (
    MateKind(
        "bolt through hole",
        "a bolt through a hole with a nut, or into a tapped hole, with everything that is clamped between",
        ("bolt",),
        ("bolt hole",),
        judge,
        (
            Ask("nut thread", "thread", "thread of the nut"),
            Ask("nut height", "length", "height of the nut", low=2.0, high=60.0),
            Ask("washers", "length", "thickness of all washers together; none when not said", low=0.0, high=30.0),
            Ask("fit", "text", "fit of the hole; when not said medium for several bolts, fine for one alone", FITS),
        ),
        layered=True,
    ),
)
