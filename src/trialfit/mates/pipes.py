"""Pipe to pipe in an exhaust: butted, slipped, joined by a cone, by a V-band or by a bolted flange."""

import math
from dataclasses import replace

from trialfit.findings import Verdict
from trialfit.mates.answer import Answer, Target, Work
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.joint import Joint, MateKind
from trialfit.mates.judging import apart
from trialfit.mates.pattern import circle_answer
from trialfit.parts import Ask, Fact, Port
from trialfit.parts.pipe_ports import PIPE_MATERIALS
from trialfit.standards import rule
from trialfit.standards.pipe_joints import pipe_size_near, transition_length, v_band_sizes

__all__ = ["KINDS"]

CAUTION = (
    "Exhaust gas kills: joints are checked for leaks before anybody drives or runs the engine indoors. Welding wants "
    "the battery off, the tank and lines away, ventilation, and a watch for fire."
)
_ZINC = (
    "galvanized steel gives off zinc fume when it is welded or gets hot, which makes ill (metal fume fever), and the "
    "zinc gets into the weld"
)
_CHROME = (
    "Welding stainless gives off hexavalent chromium: draw the fume off or wear a respirator for it, and shield the "
    "root with gas."
)
_ROUND = "with a calliper, in two directions, on clean metal"
_WELDABLE = {"mild steel", "aluminised steel", "stainless"}
_BUTTED, _SLIPPED = "butt", "slip"


def pipe_to_pipe(joint: Joint) -> tuple[Answer, ...]:
    """Every question on two pipe ends that are butted or slipped: sizes, walls, overlap, slots, straight, metals."""
    method = _method(joint)
    if method == _SLIPPED:
        outer, inner = _outer_inner(joint)
        answers = [_slip_fit(joint, outer, inner), _overlap(joint, outer, inner)]
        answers += [*_slots(joint, outer), *_straights(joint)]
    else:
        answers = [_butt_outside(joint), _butt_wall(joint)]
    return (*answers, _metals(joint, _metal(joint.a, joint.a_material), _metal(joint.b, joint.b_material),
                              welded=joint.word("welded") != "no" if method == _SLIPPED else True))  # fmt: skip


def _method(joint: Joint) -> str:
    said = joint.word("method")
    if said:
        return said
    forms = {joint.a.word("form"), joint.b.word("form")}
    return _SLIPPED if "socket" in forms else _BUTTED


_Side = tuple[Port, str]


def _outer_inner(joint: Joint) -> tuple[_Side, _Side]:
    a, b = (joint.a, joint.a_part), (joint.b, joint.b_part)
    if joint.a.word("form") == "socket":
        return a, b
    if joint.b.word("form") == "socket":
        return b, a
    return (a, b) if (_bore_value(joint.a) or 0.0) > (_bore_value(joint.b) or 0.0) else (b, a)


def _bore(port: Port) -> Fact | None:
    """The inside diameter as measured, or outside less two walls."""
    bore, outside, wall = port.size("bore"), port.size("outside"), port.size("wall")
    if bore is not None or outside is None or wall is None:
        return bore
    value, sd = added((1.0, outside), (-2.0, wall))
    return Fact(value, sd, "outside less two walls")


def _bore_value(port: Port) -> float | None:
    bore = _bore(port)
    return None if bore is None else bore.value


def _butt_outside(joint: Joint) -> Answer:
    a, b = joint.a.size("outside"), joint.b.size("outside")
    if a is None or b is None:
        part = joint.a_part if a is None else joint.b_part
        return not_known("outside", f"the outside diameter of {part}", f"measure {part} {_ROUND}")
    put = rule("butt-joint-step", joint.choices.get("butt-joint-step"))
    step_mm = put.in_force.value
    # the step is of one side, the diameters differ by twice as much
    difference, sd = apart(a, b)
    step, step_sd = abs(difference) / 2.0, None if sd is None else sd / 2.0
    said = (
        f"{joint.a_part} {a.value:.2f} mm (nearest {pipe_size_near(a.value).name}), {joint.b_part} {b.value:.2f} mm "
        f"(nearest {pipe_size_near(b.value).name}) outside: a step of {step:.2f} mm"
    )
    return gauged("outside", step, step_sd, -math.inf, step_mm, good=f"{said}, {step_mm:.2f} mm may be",
                  bad=f"{said}, {step_mm:.2f} mm may be: nothing to weld on", works=_cones(joint, a, b, "outside"),
                  measure=f"measure both pipes {_ROUND}", rule=put.name, source=put.in_force.source,
                  caution=CAUTION)  # fmt: skip


def _cones(joint: Joint, a: Fact, b: Fact, of: str) -> tuple[Work, ...]:
    """A cone between the two, where they differ enough for one; ``of`` says whether outside or inside was measured."""
    small, large = sorted((a, b), key=lambda fact: fact.value)
    if large.value - small.value < 1.0:
        return ()
    put = rule("transition-angle", joint.choices.get("transition-angle"))
    length = transition_length(small.value, large.value, math.radians(put.in_force.value))
    walls = [wall.value for port in (joint.a, joint.b) if (wall := port.size("wall")) is not None]
    wall_words = f", wall {min(walls):.2f} mm" if walls else ""
    words = (
        f"a cone from {small.value:.2f} mm to {large.value:.2f} mm {of}{wall_words}, {length:.1f} mm long "
        f"({put.in_force.value:.0f} deg included: {put.in_force.label}), a straight collar at each end for the weld"
    )
    low = transition_length(small.value, large.value, math.radians(put.in_force.value * 1.1))
    high = transition_length(small.value, large.value, math.radians(put.in_force.value * 0.9))
    target = Target(length, low, high, "length of the cone, angle within a tenth", put.in_force.source)
    return (Work(joint.a_part, "have made", "between the two pipes", words, target=target,
                 true_to="the axis of both pipes", forbidden=("hammering one pipe over the other",)),)  # fmt: skip


def _butt_wall(joint: Joint) -> Answer:
    a, b = joint.a.size("wall"), joint.b.size("wall")
    if a is None or b is None:
        part = joint.a_part if a is None else joint.b_part
        return not_known("wall", f"the wall of {part}", f"measure the wall of {part} at a clean cut with a calliper")
    put = rule("butt-joint-step", joint.choices.get("butt-joint-step"))
    difference, sd = apart(a, b)
    said = f"walls of {a.value:.2f} mm and {b.value:.2f} mm"
    return gauged("wall", abs(difference), sd, -math.inf, put.in_force.value, good=f"{said}: they weld as one",
                  bad=f"{said}: the thin one burns through before the thick one melts",
                  measure="measure both walls at a clean cut with a calliper", rule=put.name,
                  remedy="a short piece of middling wall between them, or a slip joint", source=put.in_force.source,
                  caution=CAUTION)  # fmt: skip


def _slip_fit(joint: Joint, outer: _Side, inner: _Side) -> Answer:
    bore, outside = _bore(outer[0]), inner[0].size("outside")
    if bore is None or outside is None:
        what = f"the inside of {outer[1]}" if bore is None else f"the outside of {inner[1]}"
        return not_known("slip fit", what, f"measure {what} {_ROUND}")
    most = rule("slip-joint-clearance", joint.choices.get("slip-joint-clearance"))
    least = rule("slip-joint-clearance-least", joint.choices.get("slip-joint-clearance-least"))
    low, high = least.in_force.value, most.in_force.value
    play, sd = apart(bore, outside)
    said = f"{outside.value:.2f} mm outside in {bore.value:.2f} mm inside: {play:.2f} mm of play"
    asked = f"{low:.2f} to {high:.2f} mm is asked"
    works: tuple[Work, ...] = ()
    if play < low and low - play <= 0.08 * bore.value:
        size = outside.value + (low + high) / 2.0
        works = (Work(outer[1], "open up", "socket", f"expand the socket to {size:.2f} mm inside", found=bore,
                      target=Target(size, outside.value + low, outside.value + high, "slip fit", most.in_force.source),
                      forbidden=("expanding over a seam that has split",)),)  # fmt: skip
    wrong = "it does not go in" if play < low else "the clamp cannot close it, it leaks"
    return gauged("slip fit", play, sd, low, high, good=f"{said}, {asked}", works=works,
                  bad=f"{said}, {asked}: {wrong}",
                  measure=f"measure the inside of {outer[1]} and the outside of {inner[1]} {_ROUND}",
                  rule=most.name if play > low else least.name, source=most.in_force.source,
                  remedy="" if works else "a sleeve or a cone between the two", caution=CAUTION)  # fmt: skip


def _overlap(joint: Joint, outer: _Side, inner: _Side) -> Answer:
    depth = joint.size("overlap") or outer[0].size("depth")
    outside = inner[0].size("outside")
    if depth is None:
        return not_known("overlap", f"how deep the pipe goes into {outer[1]}", "push them together and mark the pipe")
    if "slip-joint-overlap-diameters" in joint.choices and outside is not None:
        put = rule("slip-joint-overlap-diameters", joint.choices["slip-joint-overlap-diameters"])
        need = put.in_force.value * outside.value
    else:
        put = rule("slip-joint-overlap", joint.choices.get("slip-joint-overlap"))
        need = put.in_force.value
    said = f"{depth.value:.2f} mm of overlap, {need:.2f} mm is asked ({put.in_force.label})"
    return gauged("overlap", depth.value, depth.sd, need, math.inf, good=said, bad=f"{said}: it works loose",
                  measure="push them together, mark the pipe, and measure the mark with a calliper", rule=put.name,
                  source=put.in_force.source, remedy="a longer socket, or weld the joint", caution=CAUTION)  # fmt: skip


def _slots(joint: Joint, outer: _Side) -> list[Answer]:
    """Slots let the clamp close the socket; past the inner pipe's end they are holes."""
    count, length = outer[0].count("slots"), outer[0].size("slot length")
    depth = joint.size("overlap") or outer[0].size("depth")
    if count == 0 or (count is None and length is None):
        return []
    if length is None or depth is None:
        what = "how long the slots are" if length is None else "how deep the pipe goes in"
        return [not_known("slots", what, "measure from the socket's end with a calliper")]
    left, sd = apart(depth, length)
    answers = [gauged("slots", left, sd, 0.0, math.inf,
                      good=f"slots of {length.value:.2f} mm end {left:.2f} mm before the inner pipe's end",
                      bad=f"slots of {length.value:.2f} mm reach {-left:.2f} mm past the inner pipe's end: they blow",
                      measure="measure slot and overlap with a calliper",
                      remedy="push the pipe in further, or shorter slots", source="common practice, no source",
                      caution=CAUTION)]  # fmt: skip
    width = joint.size("clamp width")
    if width is not None:
        over, over_sd = apart(width, length)
        answers.append(gauged("clamp over slots", over, over_sd, 0.0, math.inf,
                              good=f"a clamp of {width.value:.2f} mm covers slots of {length.value:.2f} mm",
                              bad=f"a clamp of {width.value:.2f} mm leaves {-over:.2f} mm of the slots open: they blow",
                              measure="measure clamp and slot with a calliper", remedy="a wider band clamp",
                              source="common practice, no source", caution=CAUTION))  # fmt: skip
    return answers


def _straights(joint: Joint) -> list[Answer]:
    put = rule("straight-at-clamp", joint.choices.get("straight-at-clamp"))
    need = put.in_force.value
    answers = []
    for port, part in ((joint.a, joint.a_part), (joint.b, joint.b_part)):
        straight = port.size("straight")
        question = f"straight, {part}"
        if straight is None:
            answers.append(not_known(question, f"the straight of {part} next to the joint", "measure it with a rule"))
            continue
        said = f"{straight.value:.2f} mm of straight next to the joint, {need:.2f} mm is asked"
        answers.append(gauged(question, straight.value, straight.sd, need, math.inf, good=said,
                              bad=f"{said}: the clamp sits on a bend and leaks", measure="measure it with a rule",
                              rule=put.name, source=put.in_force.source, caution=CAUTION))  # fmt: skip
    return answers


def _metal(port: Port, material: str) -> str:
    said = port.word("material")
    if said:
        return said
    return {"steel": "mild steel"}.get(material, material if material in PIPE_MATERIALS else "")


def _metals(joint: Joint, a: str, b: str, *, welded: bool) -> Answer:
    """Whether the two metals can be welded to each other, with which filler and which caution."""
    question = "metals"
    if not a or not b:
        part = joint.a_part if not a else joint.b_part
        measure = "try a magnet (austenitic stainless is not drawn), file a corner, look for a zinc bloom"
        return not_known(question, f"the metal of {part}", measure, caution=CAUTION)
    pair = {a, b}
    if "galvanized steel" in pair:
        part = joint.a_part if a == "galvanized steel" else joint.b_part
        return Answer(question, Verdict.DOES_NOT_FIT, f"{part}: {_ZINC}",
                      remedy="bare, aluminised or stainless pipe instead", source="common practice, no source",
                      caution=CAUTION)  # fmt: skip
    if not welded:
        note = "; the mild side rusts first" if pair == {"mild steel", "stainless"} else ""
        return Answer(question, Verdict.FITS, f"{a} and {b}, clamped{note}")
    if not pair <= _WELDABLE and len(pair) > 1:
        return Answer(question, Verdict.DOES_NOT_FIT, f"{a} and {b} do not weld to each other by ordinary means",
                      remedy="a slip joint, a V-band or a flange between them", source="common practice, no source",
                      caution=CAUTION)  # fmt: skip
    if pair == {"cast iron"}:
        return Answer(question, Verdict.DOES_NOT_FIT, "cast iron pipe is bolted, not welded by ordinary means",
                      remedy="a flange", source="common practice, no source", caution=CAUTION)  # fmt: skip
    notes = f"{a} to {b}" if a != b else f"both {a}"
    if "stainless" in pair and a != b:
        notes += ": filler of the 309L kind, and the mild side painted; it rusts first and grows less when hot"
    if "aluminised steel" in pair:
        notes += "; grind the coating off beside the weld and paint it again"
    caution = f"{CAUTION} {_CHROME}" if "stainless" in pair else CAUTION
    return Answer(question, Verdict.FITS, notes, source="common practice, no source", caution=caution)


def v_band(joint: Joint) -> tuple[Answer, ...]:
    """Every question on two V-band halves under one clamp: tube, flange, faces, register, metals."""
    return (_v_band_flanges(joint), _v_band_faces(joint), _v_band_register(joint), _v_band_bores(joint),
            *(_v_band_tube(port, part) for port, part in ((joint.a, joint.a_part), (joint.b, joint.b_part))),
            _metals(joint, _metal(joint.a, joint.a_material), _metal(joint.b, joint.b_material),
                    welded=False))  # fmt: skip


def _v_band_flanges(joint: Joint) -> Answer:
    a, b = joint.a.size("flange"), joint.b.size("flange")
    if a is None or b is None:
        part = joint.a_part if a is None else joint.b_part
        return not_known("flange", f"the outside of {part}'s flange", f"measure it {_ROUND}")
    put = rule("v-band-size-difference", joint.choices.get("v-band-size-difference"))
    difference, sd = apart(a, b)
    said = f"flanges of {a.value:.2f} mm and {b.value:.2f} mm"
    most = put.in_force.value
    return gauged("flange", abs(difference), sd, -math.inf, most, good=f"{said}: one clamp closes on both",
                  bad=f"{said} under one clamp, {most:.2f} mm may be between them: it holds the larger one only",
                  measure=f"measure both flanges {_ROUND}", rule=put.name, source=put.in_force.source,
                  remedy="two halves and a clamp of one maker's set; no standard makes V-bands interchange",
                  caution=CAUTION)  # fmt: skip


def _v_band_faces(joint: Joint) -> Answer:
    a, b = joint.a.word("face"), joint.b.word("face")
    if not a or not b:
        part = joint.a_part if not a else joint.b_part
        return not_known("faces", f"the form of {part}'s face", "look: a step out (male), a step in (female), or flat")
    if {a, b} == {"male", "female"}:
        return Answer("faces", Verdict.FITS, "one step goes into the other")
    if a == b == "flat":
        gasket = joint.word("gasket")
        if gasket == "yes":
            return Answer("faces", Verdict.FITS, "flat faces with a gasket; line them up before the clamp is closed")
        return Answer("faces", Verdict.FITS, "flat faces; line them up by eye, they weep until they are bedded in")
    if a == b:
        wrong = "the steps stand against each other" if a == "male" else "nothing fills the two steps, and it leaks"
        return Answer("faces", Verdict.DOES_NOT_FIT, f"both faces are {a}: {wrong}", remedy="two halves of one set",
                      caution=CAUTION)  # fmt: skip
    step = "male" if "male" in (a, b) else "female"
    reason = "a step out holds a flat face off" if step == "male" else "a step in finds nothing to centre on, and leaks"
    return Answer("faces", Verdict.DOES_NOT_FIT, f"{a} on {b}: {reason}", remedy="two halves of one set",
                  caution=CAUTION)  # fmt: skip


def _v_band_register(joint: Joint) -> Answer:
    if {joint.a.word("face"), joint.b.word("face")} != {"male", "female"}:
        return Answer("register", Verdict.FITS, "no step is to go into a step")
    male, female = (joint.a, joint.b) if joint.a.word("face") == "male" else (joint.b, joint.a)
    out, into = male.size("register"), female.size("register")
    if out is None or into is None:
        which = "the step that stands out" if out is None else "the step it goes into"
        return not_known("register", f"the diameter of {which}", f"measure it {_ROUND}")
    put = rule("v-band-register-play", joint.choices.get("v-band-register-play"))
    play, sd = apart(into, out)
    said = f"{out.value:.2f} mm in {into.value:.2f} mm"
    wrong = "it does not go in" if play < 0.0 else "it centres nothing"
    return gauged("register", play, sd, 0.0, put.in_force.value, good=said, bad=f"{said}: {wrong}",
                  measure=f"measure both steps {_ROUND}", rule=put.name, source=put.in_force.source,
                  remedy="two halves of one set", caution=CAUTION)  # fmt: skip


def _v_band_bores(joint: Joint) -> Answer:
    a, b = joint.a.size("bore"), joint.b.size("bore")
    if a is None or b is None:
        part = joint.a_part if a is None else joint.b_part
        return not_known("bores", f"the inside of {part}", f"measure it {_ROUND}")
    put = rule("butt-joint-step", joint.choices.get("butt-joint-step"))
    difference, sd = apart(a, b)
    step, step_sd = abs(difference) / 2.0, None if sd is None else sd / 2.0
    said = f"bores of {a.value:.2f} mm and {b.value:.2f} mm: a step of {step:.2f} mm"
    return gauged("bores", step, step_sd, -math.inf, put.in_force.value, good=said, works=_cones(joint, a, b, "inside"),
                  bad=f"{said} in the gas; a cone takes it up", measure=f"measure both bores {_ROUND}", rule=put.name,
                  source=put.in_force.source)  # fmt: skip


def _v_band_tube(port: Port, part: str) -> Answer:
    tube = port.size("tube")
    question = f"tube, {part}"
    if tube is None:
        return not_known(question, f"the tube {part}'s half is welded to", f"measure it {_ROUND}")
    near = min(v_band_sizes(), key=lambda s: abs(s.outside_mm - tube.value))
    gap = abs(near.outside_mm - tube.value)
    put = rule("v-band-tube-difference")
    said = f"tube of {tube.value:.2f} mm; the nearest size of V-bands is {near.name} ({near.outside_mm:.2f} mm)"
    return gauged(question, gap, tube.sd, -math.inf, put.in_force.value, good=said,
                  bad=f"{said}: bore the half to the tube, or put a cone between",
                  measure=f"measure the tube {_ROUND}", rule=put.name, source=put.in_force.source,
                  works=(Work(part, "open up", "bore of the half", f"bore the half to {tube.value + 0.2:.2f} mm"),)
                  if near.outside_mm < tube.value else ())  # fmt: skip


def exhaust_flanges(joint: Joint) -> tuple[Answer, ...]:
    """Every question on two bolted exhaust flanges: circle, bolts, openings, faces."""
    holes = [hole for port in (joint.a, joint.b) if (hole := port.size("hole")) is not None]
    bolt = joint.a.size("bolt") or joint.b.size("bolt")
    return (_flange_circle(joint, holes, bolt), _openings(joint), _flange_faces(joint))


def _flange_circle(joint: Joint, holes: list[Fact], bolt: Fact | None) -> Answer:
    if not holes or bolt is None:
        what = "the bolts" if holes else "the bolt holes"
        return not_known("bolt circle", f"the diameter of {what}", f"measure {what} with a calliper")
    hole = min(holes, key=lambda fact: fact.value)
    # with holes in both flanges a bolt may lean out in each; a stud that is fixed in one may not
    play = 2.0 if len(holes) > 1 else 1.0
    slack = hole.value - bolt.value
    if slack < 0.0:
        reason = f"bolts of {bolt.value:.2f} mm do not go through holes of {hole.value:.2f} mm"
        return Answer("bolt circle", Verdict.DOES_NOT_FIT, reason, remedy="smaller bolts, or drill the holes")
    answer = circle_answer("bolt circle", joint.a.count("bolts"), joint.a.size("circle"), joint.b.count("bolts"),
                           joint.b.size("circle"), play * slack, a_words=f"the holes of {joint.a_part}",
                           b_words=f"the holes of {joint.b_part}", source="geometry")  # fmt: skip
    if answer.verdict is not Verdict.DOES_NOT_FIT:
        return replace(answer, caution="")
    plate = Work(joint.a_part, "make a plate", "between the flanges",
                 "weld on a flange of the other's pattern, or an adapter flange with both patterns",
                 forbidden=("slotting into the gasket",))  # fmt: skip
    return replace(answer, verdict=Verdict.FITS_AFTER_WORK, works=(plate,), remedy=plate.words, caution=CAUTION)


def _openings(joint: Joint) -> Answer:
    a, b = joint.a.size("opening"), joint.b.size("opening")
    if a is None or b is None:
        part = joint.a_part if a is None else joint.b_part
        return not_known("opening", f"the gas opening of {part}", f"measure it {_ROUND}")
    put = rule("butt-joint-step", joint.choices.get("butt-joint-step"))
    difference, sd = apart(a, b)
    step, step_sd = abs(difference) / 2.0, None if sd is None else sd / 2.0
    said = f"openings of {a.value:.2f} mm and {b.value:.2f} mm: a step of {step:.2f} mm"
    return gauged("opening", step, step_sd, -math.inf, put.in_force.value, good=said,
                  works=_cones(joint, a, b, "inside"), bad=f"{said} in the gas and under the gasket",
                  measure=f"measure both openings {_ROUND}",
                  rule=put.name, source=put.in_force.source)  # fmt: skip


def _flange_faces(joint: Joint) -> Answer:
    a, b = joint.a.word("face"), joint.b.word("face")
    if not a or not b:
        part = joint.a_part if not a else joint.b_part
        return not_known("faces", f"the form of {part}'s face", "look: flat, a ball that stands out, or a cup")
    if a == b == "flat":
        return Answer("faces", Verdict.FITS, "flat faces; a new gasket between them")
    if {a, b} != {"ball", "cup"}:
        reason = f"{a} on {b}: a ball needs a cup of its own size, a flat face needs a flat one and a gasket"
        return Answer("faces", Verdict.DOES_NOT_FIT, reason, remedy="change one flange", caution=CAUTION)
    first, second = joint.a.size("ball"), joint.b.size("ball")
    if first is None or second is None:
        return not_known("faces", "the size of ball or cup", f"measure the ball outside and the cup's mouth {_ROUND}")
    difference, sd = apart(first, second)
    said = f"ball and cup of {first.value:.2f} mm and {second.value:.2f} mm"
    put = rule("ball-joint-difference", joint.choices.get("ball-joint-difference"))
    return gauged("faces", abs(difference), sd, -math.inf, put.in_force.value, good=f"{said} seat in each other",
                  bad=f"{said}: the ball sits on its edge and leaks", measure=f"measure both {_ROUND}", rule=put.name,
                  source=put.in_force.source, caution=CAUTION)  # fmt: skip


KINDS: tuple[MateKind, ...] = (
    MateKind(
        "pipe to pipe",
        "two pipe ends that are butted and welded, or slipped into one another",
        ("pipe end",),
        ("pipe end",),
        pipe_to_pipe,
        (
            Ask("method", "text", "butted and welded, or slipped; without it a socket says slip", (_BUTTED, _SLIPPED)),
            Ask("welded", "text", "whether a slip joint is welded too", ("yes", "no")),
            Ask("overlap", "length", "overlap of a slip joint as it lies", low=3.0, high=300.0),
            Ask("clamp width", "length", "width of the band clamp on a slip joint", low=8.0, high=200.0),
        ),
    ),
    MateKind(
        "V-band",
        "two V-band halves under one clamp",
        ("V-band half",),
        ("V-band half",),
        v_band,
        (Ask("gasket", "text", "whether there is a gasket", ("yes", "no")),),
    ),
    MateKind(
        "exhaust flange to flange",
        "two bolted flanges of an exhaust",
        ("exhaust flange",),
        ("exhaust flange",),
        exhaust_flanges,
    ),
)
"""Kinds of joint of exhaust pipe."""
