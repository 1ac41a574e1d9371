"""What goes into a tube or boss: a dipstick in its tube, that tube in its case, a sensor in its bung."""

import math
from dataclasses import replace

from trialfit.findings import Verdict
from trialfit.mates.answer import Answer, Target, Work
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.joint import Joint, MateKind
from trialfit.mates.judging import apart, within
from trialfit.parts import Fact
from trialfit.standards import rule
from trialfit.standards.fits import limits
from trialfit.standards.hose_ends import threads_agree
from trialfit.standards.pipe_joints import sensor_threads

__all__ = ["KINDS"]

_OIL_CAUTION = (
    "A dipstick in a tube it was not made for shows nothing: fill by measured volume as the maker says, mark the level "
    "then, and check again hot. Overfilled automatic boxes foam and blow oil on the exhaust."
)
_HOT_CAUTION = "An exhaust leak poisons: nobody runs the engine indoors, and the joint is checked for leaks cold."
_CALLIPER = "with a calliper"


def dipstick_in_tube(joint: Joint) -> tuple[Answer, ...]:
    """Every question on a dipstick in a tube: passage, marks, tip, and the seal at its mouth."""
    return (_passes(joint), _mark(joint), _tip(joint), _mouth(joint))


def _passes(joint: Joint) -> Answer:
    width, bore = joint.a.size("width"), joint.b.size("bore")
    if width is None or bore is None:
        what = "the stick's greatest width" if width is None else "the tube's narrowest bore"
        return not_known("stick in bore", what, f"measure {what} {_CALLIPER}")
    put = rule("dipstick-side-play", joint.choices.get("dipstick-side-play"))
    play, sd = apart(bore, width)
    said = f"stick {width.value:.2f} mm wide, tube {bore.value:.2f} mm inside"
    return gauged("stick in bore", play, sd, put.in_force.value, math.inf, good=f"{said}: it slides",
                  bad=f"{said}: {put.in_force.value:.2f} mm of play is asked, it sticks in the bends",
                  measure="measure stick and tube with a calliper, the tube where it is bent", rule=put.name,
                  source=put.in_force.source)  # fmt: skip


def _mark(joint: Joint) -> Answer:
    """The full mark against the oil's level at the right filling, as a share of the span from add to full."""
    full, add, level = joint.a.size("full"), joint.a.size("add"), joint.b.size("level")
    question = "full mark"
    if level is None:
        return not_known(question, "where the oil stands at the right filling",
                         "fill by measured volume, engine or box as its maker says, then measure from the tube's mouth "
                         "along the tube to the oil with a marked wire", caution=_OIL_CAUTION)  # fmt: skip
    if full is None or add is None:
        what = "the full mark" if full is None else "the add mark"
        return not_known(question, what, f"measure from the stop under the handle to {what} with a tape or calliper",
                         caution=_OIL_CAUTION)  # fmt: skip
    span, span_sd = added((1.0, add), (-1.0, full))
    if span <= 0.0:
        reason = f"the add mark ({add.value:.2f} mm) must lie below the full mark ({full.value:.2f} mm) from the stop"
        return Answer(question, Verdict.CANNOT_TELL, reason, measure="measure both marks from the stop again")
    put = rule("dipstick-mark-shift", joint.choices.get("dipstick-mark-shift"))
    allowed = put.in_force.value * span
    shift, sd = apart(full, level)
    # a mark that is too low on the stick lets one overfill, one too high lets one run short: both count alike
    low = shift < 0.0
    oil_mm = level.value
    said = f"full mark {full.value:.2f} mm from the stop, oil {oil_mm:.2f} mm from the mouth: {abs(shift):.2f} mm off"
    wrong = "overfills" if low else "runs it short"
    move = Work(joint.a_part, "exchange", "full mark",
                f"file the old marks off and strike new ones: full at {oil_mm:.1f} mm, add at {oil_mm + span:.1f} mm "
                "from the stop; or use the stick and tube that belong together",
                target=Target(oil_mm, oil_mm - allowed, oil_mm + allowed, "full mark", put.in_force.source),
                forbidden=("grinding into the blade so that it can break off in the case",))  # fmt: skip
    total = None if sd is None or span_sd is None else sd
    return gauged(question, shift, total, -allowed, allowed,
                  good=f"{said}, {allowed:.2f} mm may be", works=(move,),
                  bad=f"{said}, {allowed:.2f} mm may be: filling to the mark {wrong}",
                  measure="measure the marks from the stop, and the level with a marked wire, again", rule=put.name,
                  source=put.in_force.source, caution=_OIL_CAUTION)  # fmt: skip


def _tip(joint: Joint) -> Answer:
    tip, bottom = joint.a.size("tip"), joint.b.size("bottom")
    if tip is None or bottom is None:
        what = "the stick's length from its stop" if tip is None else "the depth below the tube's mouth"
        how = "push a soft wire down until it touches, and measure it" if bottom is None else "measure it with a tape"
        return not_known("tip", what, how)
    put = rule("dipstick-tip-gap", joint.choices.get("dipstick-tip-gap"))
    gap, sd = apart(bottom, tip)
    asked = put.in_force.value
    cut_to = bottom.value - 2.0 * asked
    add = joint.a.size("add")
    cut = Work(joint.a_part, "shorten", "tip", f"shorten to {cut_to:.1f} mm from the stop",
               forbidden=("cutting above the add mark",))  # fmt: skip
    said = f"the tip comes to {gap:.2f} mm of what lies under it, {asked:.2f} mm is asked"
    return gauged("tip", gap, sd, asked, math.inf, good=said, bad=f"{said}: it can touch a turning part",
                  works=(cut,) if add is not None and cut_to > add.value else (),
                  measure="push a soft wire down the tube until it touches, and measure it", rule=put.name,
                  source=put.in_force.source)  # fmt: skip


def _mouth(joint: Joint) -> Answer:
    plug, mouth = joint.a.size("plug"), joint.b.size("mouth")
    if plug is None or mouth is None:
        what = "the seal under the stick's handle" if plug is None else "the tube's mouth"
        return not_known("mouth seal", what, f"measure across {what} {_CALLIPER}")
    put = rule("dipstick-seal-squeeze", joint.choices.get("dipstick-seal-squeeze"))
    tight, sd = apart(plug, mouth)
    said = f"seal {plug.value:.2f} mm in a mouth of {mouth.value:.2f} mm"
    return gauged("mouth seal", tight, sd, 0.0, put.in_force.value, good=f"{said}: it seals",
                  bad=f"{said}: " + ("loose, oil blows out" if tight < 0.0 else "too tight, it does not go home"),
                  measure="measure seal and mouth with a calliper", rule=put.name, source=put.in_force.source,
                  remedy="a seal or tube of the right size")  # fmt: skip


def tube_in_case(joint: Joint) -> tuple[Answer, ...]:
    """Whether a dipstick's tube is held tight in the hole of its case: a press fit, or an O-ring in clearance."""
    outside, hole, seal = joint.a.size("outside"), joint.b.size("diameter"), joint.b.word("seal")
    question = "tube in case"
    if not seal:
        measure = "look: a bare press fit, or a groove with an O-ring"
        return (not_known(question, "how the tube is held tight", measure),)
    if outside is None or hole is None:
        what = "the tube's outside" if outside is None else "the hole"
        return (not_known(question, what, f"measure {what} {_CALLIPER}, in two directions"),)
    return (_case_fit(joint, outside, hole, seal),)


def _case_fit(joint: Joint, outside: Fact, hole: Fact, seal: str) -> Answer:
    play, sd = apart(hole, outside)
    # p6 in H7 is the usual light press; an O-ring takes a running clearance f7 in H8
    hole_zone, shaft_zone = ("H7", "p6") if seal == "press" else ("H8", "f7")
    hole_low, hole_high = limits(hole.value, hole_zone)
    shaft_low, shaft_high = limits(hole.value, shaft_zone)
    low, high = hole_low - shaft_high, hole_high - shaft_low
    said = f"tube {outside.value:.2f} mm in a hole of {hole.value:.2f} mm"
    asked = f"{low:.3f} to {high:.3f} mm of play ({hole_zone}/{shaft_zone}; less than nought is a press fit)"
    ring = Work(joint.a_part, "make a ring", "lower end of the tube",
                f"a sleeve {outside.value:.2f} mm inside, {hole.value:.2f} mm outside, soldered on the tube",
                target=Target(hole.value, shaft_low, shaft_high, f"{hole.value:.2f} {shaft_zone}",
                              "ISO 286-1"))  # fmt: skip
    return gauged("tube in case", play, sd, low, high, good=f"{said}; {asked}", works=(ring,) if play > high else (),
                  bad=f"{said}; {asked}: " + ("it falls out or leaks" if play > high else "it does not go in"),
                  measure="measure tube and hole with a micrometer or a bore gauge: a calliper is too coarse for a fit",
                  source="ISO 286-1")  # fmt: skip


def sensor_in_bung(joint: Joint) -> tuple[Answer, ...]:
    """Every question on a sensor in its bung: thread, seat, reach, tip, spanner room, tilt."""
    answers = [_sensor_thread(joint), _seat(joint), _reach(joint), _tip_in_pipe(joint), _room(joint)]
    if joint.a.word("what") == "oxygen":
        answers.append(_tilt(joint))
    return tuple(answers)


def _sensor_thread(joint: Joint) -> Answer:
    a, b = joint.a.word("thread"), joint.b.word("thread")
    if not a or not b:
        part = joint.a_part if not a else joint.b_part
        measure = "lay a thread gauge in it and measure over it with a calliper"
        return not_known("thread", f"the thread of {part}", measure)
    same, reason = threads_agree(a, b)
    if same is None:
        measure = "lay a thread gauge in both and write the designation as the tables hold it"
        return not_known("thread", f"whether {a} is {b} ({reason})", measure)
    if not same:
        return Answer("thread", Verdict.DOES_NOT_FIT, reason,
                      remedy=f"weld in a bung of {a}; never chase one thread to the other",
                      caution=_HOT_CAUTION)  # fmt: skip
    usual = next((s for s in sensor_threads() if s.thread == a and s.name == "oxygen"), None)
    words = f"{a} in {b}"
    if joint.a.word("what") == "oxygen" and usual is not None:
        put = rule("oxygen-sensor-torque", joint.choices.get("oxygen-sensor-torque"))
        words += f"; tighten to {put.in_force.value:.0f} N*m ({put.in_force.label}), or as the sensor's maker says"
    return Answer("thread", Verdict.FITS, words)


def _seat(joint: Joint) -> Answer:
    a, b = joint.a.word("seat"), joint.b.word("seat")
    if not a or not b:
        part = joint.a_part if not a else joint.b_part
        measure = "look: a captive washer on a flat face, a cone, or a taper thread"
        return not_known("seat", f"how {part} seals", measure)
    if a == b:
        return Answer("seat", Verdict.FITS, f"both seal by {a}")
    why = {
        ("gasket", "taper"): "a washer on a cone touches on a ring and leaks",
        ("taper", "gasket"): "a cone in a flat face touches on an edge and leaks; a washer under it does not help",
    }.get((a, b), "a taper thread seals on its flanks, a parallel one on its seat: the two do not agree")
    return Answer("seat", Verdict.DOES_NOT_FIT, f"{a} on {joint.a_part}, {b} in {joint.b_part}: {why}",
                  remedy="a bung for that seat", caution=_HOT_CAUTION)  # fmt: skip


def _reach(joint: Joint) -> Answer:
    reach, length = joint.a.size("reach"), joint.b.size("length")
    if reach is None or length is None:
        what = "the sensor's reach" if reach is None else "the bung's length"
        return not_known("reach", what, f"measure {what} from its seat {_CALLIPER}")
    proud = rule("sensor-thread-proud", joint.choices.get("sensor-thread-proud"))
    short = rule("sensor-thread-short", joint.choices.get("sensor-thread-short"))
    out, sd = apart(reach, length)
    said = f"thread of {reach.value:.2f} mm in a bung of {length.value:.2f} mm"
    if out < 0.0:
        wrong = f"{-out:.2f} mm of the bung's thread stay empty and fill with soot, {short.in_force.value:.2f} mm may"
    else:
        wrong = f"{out:.2f} mm of thread stand in the gas, {proud.in_force.value:.2f} mm may: they burn and seize"
    other = Work(joint.b_part, "exchange", "bung", f"a bung {reach.value:.1f} mm long from seat to pipe's inside")
    return gauged("reach", out, sd, -short.in_force.value, proud.in_force.value, good=f"{said}: flush enough",
                  bad=f"{said}: {wrong}", measure="measure both from their seats with a calliper's depth rod",
                  works=(other,), rule=proud.name if out > 0.0 else short.name,
                  source=proud.in_force.source)  # fmt: skip


def _tip_in_pipe(joint: Joint) -> Answer:
    tip, length, bore = joint.a.size("tip"), joint.b.size("length"), joint.b.size("pipe bore")
    if tip is None or length is None or bore is None:
        what = "the sensor's tip" if tip is None else ("the bung's length" if length is None else "the pipe's bore")
        return not_known("tip in pipe", what, f"measure {what} {_CALLIPER}")
    put = rule("sensor-tip-to-wall", joint.choices.get("sensor-tip-to-wall"))
    left, sd = added((1.0, bore), (1.0, length), (-1.0, tip))
    inside = tip.value - length.value
    if inside <= 0.0:
        reason = f"the tip stays {-inside:.2f} mm back in the bung, out of the gas"
        return Answer("tip in pipe", Verdict.DOES_NOT_FIT, reason, remedy="a shorter bung or a longer sensor")
    said = f"the tip stands {inside:.2f} mm into the pipe, {left:.2f} mm from the far wall"
    return gauged("tip in pipe", left, sd, put.in_force.value, math.inf, good=said,
                  bad=f"{said}, {put.in_force.value:.2f} mm is asked",
                  measure="measure tip, bung and bore with a calliper", rule=put.name,
                  source=put.in_force.source)  # fmt: skip


def _room(joint: Joint) -> Answer:
    room, across = joint.b.size("room"), joint.a.size("hex")
    if room is None:
        measure = "measure from the bung's middle to what is nearest with a rule, and take twice that"
        return not_known("spanner room", "the room round the bung", measure)
    put = rule("sensor-wrench-room", joint.choices.get("sensor-wrench-room"))
    # a socket is never narrower than the hexagon over its corners
    need = max(put.in_force.value, 0.0 if across is None else 2.0 / math.sqrt(3.0) * across.value)
    return gauged("spanner room", room.value, room.sd, need, math.inf,
                  good=f"{room.value:.2f} mm are free round it, {need:.2f} mm are asked",
                  bad=f"{room.value:.2f} mm are free round it, {need:.2f} mm are asked: no socket goes on",
                  measure="measure from the bung's middle to what is nearest with a rule, and take twice that",
                  remedy="move the bung round or along the pipe before it is welded", rule=put.name,
                  source=put.in_force.source)  # fmt: skip


def _tilt(joint: Joint) -> Answer:
    tilt = joint.b.size("tilt")
    if tilt is None:
        measure = "lay an angle gauge along the sensor, as fitted, vehicle level"
        return not_known("tilt", "the bung's tilt above the horizontal", measure)
    put = rule("oxygen-sensor-tilt", joint.choices.get("oxygen-sensor-tilt"))
    deg, sd = math.degrees(tilt.value), None if tilt.sd is None else math.degrees(tilt.sd)
    judged = within(deg, sd, put.in_force.value, math.inf)
    said = f"{deg:.1f} deg above the horizontal, {put.in_force.value:.0f} deg is asked"
    answer = Answer("tilt", judged.verdict, said, margin=math.radians(judged.margin), sd=tilt.sd, unit="deg",
                    odds=judged.odds, rule=put.name, source=put.in_force.source)  # fmt: skip
    if judged.verdict is Verdict.DOES_NOT_FIT:
        return replace(answer, reason=f"{said}: water stands in the sensor and cracks it when it heats",
                       remedy="turn the bung towards the top of the pipe")  # fmt: skip
    if judged.verdict is Verdict.CANNOT_TELL:
        return replace(answer, measure="lay a finer angle gauge along the sensor, vehicle level")
    return answer


KINDS: tuple[MateKind, ...] = (
    MateKind("dipstick and tube", "a dipstick in the tube that it reads through", ("dipstick",), ("dipstick tube",),
             dipstick_in_tube),
    MateKind("dipstick tube in case", "a dipstick's tube in the hole of its case", ("dipstick tube",),
             ("dipstick hole",), tube_in_case),
    MateKind("sensor in bung", "a sensor screwed into a boss of a pipe", ("sensor",), ("sensor bung",), sensor_in_bung),
)  # fmt: skip
"""Kinds of joint of tubes and bosses that something goes into."""
