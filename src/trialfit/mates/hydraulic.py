"""Hydraulic end to end: sealing form, thread and tube must all three agree, and the use must allow them."""

import math
from dataclasses import replace

from trialfit.findings import Verdict
from trialfit.mates.answer import Answer
from trialfit.mates.chain import Chains, cheapest_chains
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.joint import Joint, MateKind
from trialfit.mates.judging import apart, within
from trialfit.parts import Fact, Port
from trialfit.standards import rule, thread_called
from trialfit.standards.hose_ends import (
    CAUTION,
    TAPER_THREADS,
    USES,
    End,
    FlareLimits,
    end_family,
    flare_limits,
    forbidden,
    seats_go_together,
    standard_ends,
    threads_agree,
    tube_of,
)
from trialfit.standards.tube_sizes import tubes_like

__all__ = ["KINDS", "end_of", "ends_joined_by"]

BANJO = "banjo eye"
_NO_TUBE = (*TAPER_THREADS, "parallel pipe", "flat seat", "O-ring boss", "metric O-ring", "quick connect")
"""Families whose thread or spigot is their size: no tube is asked for."""
_CONES = ("inverted flare", "metric double flare", "45 flare", "37 flare")
_SEAT_REACH_DEG = 2.0
"""A seat within that of its family's angle is of that family; 37 and 45 deg lie 8 deg apart. Common practice."""
_REFLARED = ("inverted flare", "bubble", "metric double flare", "45 flare", "37 flare")
_SURE_SD = 2.0
"""A size lies within so many standard deviations of its reading, near enough [-]."""


def end_of(port: Port) -> End | None:
    """What is known of a port as an end of a line; None when its sealing form or gender is not known.

    Parameters
    ----------
    port : Port
        a hydraulic end or a banjo eye, whose bolt is then the end

    Returns
    -------
    End or None
        its size is the nominal tube that was measured, or the one its family's table gives for the thread
    """
    if port.kind == BANJO:
        return End("flat seat", "", "male", port.word("thread"))
    family, gender, thread = port.word("seal"), port.word("gender"), port.word("thread")
    if not family or not gender:
        return None
    return End(family, _size_of(port, family, thread), gender, thread)


def _size_of(port: Port, family: str, thread: str) -> str:
    tube = port.size("tube")
    sizes = [e.size for e in standard_ends() if e.family == family and thread and _same(e.thread, thread, e.gender)]
    if tube is not None:
        reach = max(0.1, _SURE_SD * (tube.sd or 0.0))
        beside = [s for s in sizes if (known := tube_of(s)) and abs(known.outside_mm - tube.value) <= reach]
        near = tubes_like(tube.value, reach)
        return beside[0] if beside else (near[0].name if near else "")
    return sizes[0] if len(set(sizes)) == 1 else ""


def _same(held: str, typed: str, gender: str) -> bool:
    outside, inside = (held, typed) if gender == "male" else (typed, held)
    return threads_agree(outside, inside)[0] is True


def ends_joined_by(joint: Joint) -> Chains | None:
    """The cheapest chains of fittings between the two ends of a joint; None when too little is known of one."""
    a, b = end_of(joint.a), end_of(joint.b)
    if a is None or b is None or not (a.thread or a.family == "quick connect"):
        return None
    if not (b.thread or b.family == "quick connect"):
        return None
    return cheapest_chains(a, b, joint.use)


def judge(joint: Joint) -> tuple[Answer, ...]:
    """Every question on two hydraulic ends: form, gender, thread, tube, use, material, flare; a banjo's own."""
    if joint.a.kind == BANJO:
        answers = [_banjo_seat(joint), _thread(joint), *_banjo(joint), _use(joint)]
    else:
        answers = [_form(joint), _gender(joint), *_by_size(joint), _use(joint)]
        for port, part in ((joint.a, joint.a_part), (joint.b, joint.b_part)):
            answers += [*_material(joint, port, part), *_flare(port, part), *_angle(port, part)]
    return tuple(_with_way_out(joint, answers))


def _by_size(joint: Joint) -> list[Answer]:
    if "quick connect" in (joint.a.word("seal"), joint.b.word("seal")):
        return [_spigot(joint)]
    return [_thread(joint), _tube(joint)]


def _form(joint: Joint) -> Answer:
    for port, part in ((joint.a, joint.a_part), (joint.b, joint.b_part)):
        if not port.word("seal"):
            return not_known(
                "sealing form", f"how {part} ({port.name}) seals",
                f"look into {part} ({port.name}) with a light: raised seat, hollow cone, flat face, chamfer with "
                "O-ring or taper thread; a photo beside a known fitting settles it; the thread alone does not",
                caution=CAUTION,
            )  # fmt: skip
    a, b = joint.a.word("seal"), joint.b.word("seal")
    same, reason = seats_go_together(a, b)
    if same:
        family = end_family(a)
        words = f"both are {a}, sealing on {family.seals_on}"
        return Answer("sealing form", Verdict.FITS, words, source=family.standard)
    words = f"{a} on {joint.a_part}, {b} on {joint.b_part}: {reason}"
    return Answer("sealing form", Verdict.DOES_NOT_FIT, words, caution=CAUTION,
                  source=f"{end_family(a).standard}; {end_family(b).standard}")  # fmt: skip


def _gender(joint: Joint) -> Answer:
    a, b = joint.a.word("gender"), joint.b.word("gender")
    for word, port, part in ((a, joint.a, joint.a_part), (b, joint.b, joint.b_part)):
        if not word:
            measure = f"look at {part} ({port.name}): male when its own thread is on the outside"
            return not_known("gender", f"whether {part} ({port.name}) is male or female", measure)
    if a != b:
        return Answer("gender", Verdict.FITS, "one thread is outside, the other inside")
    return Answer("gender", Verdict.DOES_NOT_FIT, f"both ends are {a}: neither screws into the other")


def _thread(joint: Joint) -> Answer:
    a, b = joint.a.word("thread"), joint.b.word("thread")
    for word, port, part in ((a, joint.a, joint.a_part), (b, joint.b, joint.b_part)):
        if not word:
            return not_known(
                "thread", f"the thread of {part} ({port.name})",
                f"lay a thread gauge in {part} ({port.name}) and take the diameter over the thread with a calliper; a "
                "gauge that nearly fits is the wrong one", caution=CAUTION,
            )  # fmt: skip
    banjo = joint.a.kind == BANJO
    female_first = not banjo and joint.a.word("gender") == "female"
    outside, inside = (b, a) if female_first else (a, b)
    same, reason = threads_agree(outside, inside)
    if same is None:
        return not_known("thread", f"whether {outside} is {inside} ({reason})",
                         "lay a thread gauge in both and write the designation as the tables hold it", caution=CAUTION)
    if same:
        words = f"{outside} in {inside}" + (f"; {reason}" if reason else "")
        return Answer("thread", Verdict.FITS, words)
    return Answer("thread", Verdict.DOES_NOT_FIT, reason, caution=CAUTION)


def _tube_fact(port: Port) -> tuple[Fact | None, bool]:
    """The tube an end is made for, and whether it was only taken from the family's table."""
    tube = port.size("tube")
    if tube is not None:
        return tube, False
    end = end_of(port)
    known = tube_of(end.size) if end is not None and end.size else None
    if known is None:
        return None, False
    return Fact(known.outside_mm, 0.0, end_family(port.word("seal")).standard), True


def _tube(joint: Joint) -> Answer:
    families = {joint.a.word("seal"), joint.b.word("seal")}
    if families <= set(_NO_TUBE) and families != {""}:
        return Answer("tube", Verdict.FITS, "the thread gives the size of such ends; no tube is held by them")
    (a, a_looked_up), (b, b_looked_up) = _tube_fact(joint.a), _tube_fact(joint.b)
    for fact, port, part in ((a, joint.a, joint.a_part), (b, joint.b, joint.b_part)):
        if fact is None:
            measure = f"measure the tube of {part} ({port.name}) with a calliper, or the bore of its nut"
            return not_known("tube", f"the tube that {part} ({port.name}) is made for", measure)
    if a is None or b is None:
        raise AssertionError("both tubes are known here")
    put = rule("tube-size-same", joint.choices.get("tube-size-same"))
    reach_mm = put.in_force.value
    apart_mm, sd = apart(_as_made(a, reach_mm), _as_made(b, reach_mm))
    said = f"{joint.a_part} is made for {a.value:.2f} mm tube, {joint.b_part} for {b.value:.2f} mm"
    answer = gauged(
        "tube", abs(apart_mm), sd, -math.inf, reach_mm, good=f"{said}: one size",
        bad=f"{said}: the flare does not sit on the seat and the nut does not hold the tube",
        measure="measure both tubes with a calliper on clean round metal", rule=put.name, source=put.in_force.source,
        caution=CAUTION,
    )  # fmt: skip
    if answer.verdict is Verdict.DOES_NOT_FIT and (a_looked_up or b_looked_up):
        part = joint.a_part if a_looked_up else joint.b_part
        return replace(
            answer, verdict=Verdict.CANNOT_TELL,
            reason=f"{said}, which only follows from its thread; nuts of that thread are sold for other tube too",
            measure=f"measure the bore of the nut or the seat of {part} with a calliper",
        )  # fmt: skip
    return answer


def _as_made(fact: Fact, reach_mm: float) -> Fact:
    """Tube is made in sizes: a reading that leaves but one of them open stands for that size, without doubt."""
    if not fact.sd:
        return fact
    near = tubes_like(fact.value, max(0.1, _SURE_SD * fact.sd))
    if not near or max(t.outside_mm for t in near) - min(t.outside_mm for t in near) > reach_mm:
        return fact
    return Fact(near[0].outside_mm, 0.0, fact.source)


def _spigot(joint: Joint) -> Answer:
    a, b = joint.a.size("spigot"), joint.b.size("spigot")
    for fact, port, part in ((a, joint.a, joint.a_part), (b, joint.b, joint.b_part)):
        if fact is None:
            measure = f"measure the spigot of {part} ({port.name}) with a calliper, or read the size on the socket"
            return not_known("spigot", f"the spigot size of {part} ({port.name})", measure, source="SAE J2044")
    if a is None or b is None:
        raise AssertionError("both spigots are known here")
    put = rule("quick-connector-difference", joint.choices.get("quick-connector-difference"))
    difference, sd = apart(a, b)
    said = f"{joint.a_part} {a.value:.2f} mm, {joint.b_part} {b.value:.2f} mm"
    return gauged("spigot", abs(difference), sd, -math.inf, put.in_force.value, rule=put.name,
                  good=f"{said}: one size of quick connector",
                  bad=f"{said}: the O-rings are not squeezed or the latch does not close", source="SAE J2044",
                  measure="measure the spigot with a calliper in front of its bead", caution=CAUTION)  # fmt: skip


def _use(joint: Joint) -> Answer:
    families = [joint.a.word("seal") or ("flat seat" if joint.a.kind == BANJO else ""), joint.b.word("seal")]
    if not joint.use:
        might = sorted({u for f in families if f for u in USES if forbidden(f, u)})
        if might:
            return not_known("use", "what the line carries", f"say what it serves (use: {', '.join(USES)})",
                             caution=CAUTION)  # fmt: skip
        return Answer("use", Verdict.FITS, "nothing held forbids these ends in any use")
    if joint.use not in USES:
        return not_known("use", f"what '{joint.use}' carries", f"write one of {', '.join(USES)}")
    for family, part in zip(families, (joint.a_part, joint.b_part), strict=True):
        ban = forbidden(family, joint.use)
        if ban is not None:
            words = f"{part}: {family} in a {ban.use} line: {ban.reason}"
            return Answer("use", Verdict.DOES_NOT_FIT, words, caution=CAUTION, source=ban.source,
                          rule=f"{family} in {ban.use} ({ban.kind})",
                          remedy="have the port changed by the part's maker, or use another part")  # fmt: skip
    return Answer("use", Verdict.FITS, f"nothing held forbids these ends for {joint.use}; local rules come first")


def _material(joint: Joint, port: Port, part: str) -> list[Answer]:
    metal = port.word("tube material")
    ban = forbidden(metal, joint.use) if metal and joint.use in USES else None
    if ban is None:
        return []
    return [Answer(f"tube material, {part}", Verdict.DOES_NOT_FIT, f"{metal} tube in a {ban.use} line: {ban.reason}",
                   remedy="lay new tube of steel or copper-nickel", source=ban.source, caution=CAUTION,
                   rule=f"{metal} in {ban.use} ({ban.kind})")]  # fmt: skip


def _flare(port: Port, part: str) -> list[Answer]:
    """The finished flare by calliper, and whether it was folded as its family asks."""
    family, across = port.word("seal"), port.size("flare diameter")
    form = port.word("flare")
    answers: list[Answer] = []
    if family == "inverted flare" and form == "single":
        reason = "an inverted-flare seat under brake and fuel pressure asks for a double flare; a single one splits"
        answers.append(Answer(f"flare form, {part}", Verdict.DOES_NOT_FIT, reason, source="SAE J512", caution=CAUTION,
                              remedy="cut the flare off and fold a double one; allow for the length lost"))  # fmt: skip
    if family not in {"inverted flare", "45 flare"} or (across is None and port.size("wall") is None):
        return answers
    end = end_of(port)
    which = form or ("double" if family == "inverted flare" else "single")
    try:
        limits = flare_limits(end.size if end is not None else "", which)
    except ValueError as error:
        return [*answers, not_known(f"flare diameter, {part}", "the standard's flare for that tube",
                                    f"look the flare up in the standard itself ({error})",
                                    source="SAE J533")]  # fmt: skip
    return answers + _flare_against(port, part, which, limits)


def _flare_against(port: Port, part: str, form: str, limits: FlareLimits) -> list[Answer]:
    answers: list[Answer] = []
    across, wall = port.size("flare diameter"), port.size("wall")
    least, greatest, thick = limits.least_mm, limits.greatest_mm, limits.greatest_wall_mm
    if across is not None:
        said = f"the {form} flare measures {across.value:.2f} mm, {least:.2f} mm to {greatest:.2f} mm is right"
        wrong = "too small, the nut pulls over it" if across.value < least else "too large, it jams and its edge cracks"
        answers.append(gauged(
            f"flare diameter, {part}", across.value, across.sd, least, greatest, good=said, bad=f"{said}: {wrong}",
            measure="measure across the finished flare with a calliper, twice at right angles",
            remedy="cut it off and flare again", source="SAE J533", caution=CAUTION,
        ))  # fmt: skip
    if wall is not None:
        answers.append(gauged(
            f"wall for flare, {part}", wall.value, wall.sd, 0.0, thick,
            good=f"the wall of {wall.value:.2f} mm folds into a {form} flare",
            bad=f"a wall of {wall.value:.2f} mm is over {thick:.2f} mm: a {form} flare of it cracks or stands proud",
            measure="measure the wall at a clean cut with a calliper", source="SAE J533", caution=CAUTION,
        ))  # fmt: skip
    return answers


def _angle(port: Port, part: str) -> list[Answer]:
    """A seat angle that was measured, against the family's own."""
    family, angle = port.word("seal"), port.size("seat angle")
    if angle is None or family not in _CONES:
        return []
    want = end_family(family).cone_deg
    if want is None:
        return []
    deg, sd = math.degrees(angle.value), None if angle.sd is None else math.degrees(angle.sd)
    # the raised seat of an inverted flare is cut 42 deg, so that the flare takes its form when it is pulled up
    low = 42.0 if family == "inverted flare" else want
    judged = within(deg, sd, low - _SEAT_REACH_DEG, want + _SEAT_REACH_DEG)
    answer = Answer(f"seat angle, {part}", judged.verdict, f"{deg:.1f} deg measured; {family} has {want:g} deg",
                    unit="deg", margin=math.radians(judged.margin), sd=angle.sd, odds=judged.odds)  # fmt: skip
    if judged.verdict is Verdict.CANNOT_TELL:
        measure = "lay a seat gauge (37 and 45 deg) on the cone and look for light"
        return [replace(answer, reason=f"{answer.reason}; too near to say", measure=measure)]
    if judged.verdict is Verdict.DOES_NOT_FIT:
        other = "37 deg" if abs(deg - 37.0) < abs(deg - 45.0) else "45 deg"
        return [replace(answer, reason=f"{answer.reason}: it is nearer to a {other} form", caution=CAUTION,
                        remedy="say which form it is by a seat gauge, or cut it off and flare it again")]  # fmt: skip
    return [answer]


def _banjo_seat(joint: Joint) -> Answer:
    seal, face = joint.b.word("seal"), joint.b.word("face")
    if not seal:
        return _form(replace(joint, a=replace(joint.a, values={"seal": "flat seat"})))
    if seal not in {"flat seat", "parallel pipe"}:
        _, reason = seats_go_together("flat seat", seal)
        return Answer("sealing form", Verdict.DOES_NOT_FIT, f"banjo washers on {seal} of {joint.b_part}: {reason}",
                      source=end_family(seal).standard, caution=CAUTION)  # fmt: skip
    if face == "rough":
        reason = f"the face of {joint.b_part} is rough: a washer does not seal on it"
        return Answer("sealing form", Verdict.DOES_NOT_FIT, reason,
                      remedy="have the face spot-faced square to the thread by the part's maker or a machine shop",
                      caution=CAUTION)  # fmt: skip
    if not face:
        measure = f"look at {joint.b_part} round the thread: a bright flat ring wider than the washer"
        return not_known("sealing form", f"whether the face of {joint.b_part} is machined", measure, caution=CAUTION)
    return Answer("sealing form", Verdict.FITS, "washers on a machined flat face", source="ISO 9974")


def _banjo(joint: Joint) -> list[Answer]:
    return [_eye(joint), _washers(joint), _bolt_engaged(joint)]


def _eye(joint: Joint) -> Answer:
    hole, bolt = joint.a.size("hole"), joint.a.size("bolt")
    if hole is None or bolt is None:
        what = "the eye's hole" if hole is None else "the bolt's diameter in the eye"
        return not_known("banjo eye", what, f"measure {what} with a calliper")
    put = rule("banjo-hole-clearance", joint.choices.get("banjo-hole-clearance"))
    play, sd = apart(hole, bolt)
    said = f"bolt {bolt.value:.2f} mm, eye {hole.value:.2f} mm"
    wrong = "it does not go in" if play < 0.0 else f"{play:.2f} mm of play: the washers sit off centre and leak"
    return gauged(
        "banjo eye", play, sd, 0.0, put.in_force.value, good=f"{said}: it fills the eye", bad=f"{said}: {wrong}",
        measure="measure the eye's hole and the bolt's neck with a calliper", rule=put.name, source=put.in_force.source,
        caution=CAUTION,
    )  # fmt: skip


def _washers(joint: Joint) -> Answer:
    count = joint.a.count("washers")
    if count is None:
        return not_known("washers", "how many washers there are", "count them: one on each side of the eye, new ones")
    if count < 2:
        reason = f"{count} washer{'s' if count != 1 else ''}: the eye leaks at the bolt's head or at the port"
        return Answer("washers", Verdict.DOES_NOT_FIT, reason, remedy="two new washers of copper or as the maker says",
                      caution=CAUTION)  # fmt: skip
    return Answer("washers", Verdict.FITS, f"{count} washers; use new ones each time")


def _bolt_engaged(joint: Joint) -> Answer:
    said = {key: joint.a.size(key) for key in ("bolt length", "thickness", "washer")}
    lacking = [key for key, fact in said.items() if fact is None]
    count = joint.a.count("washers")
    length, eye, washer = said["bolt length"], said["thickness"], said["washer"]
    thread = joint.a.word("thread")
    if length is None or eye is None or washer is None or count is None or not thread:
        what = lacking[0] if lacking else ("the count of washers" if count is None else "the thread")
        return not_known("bolt engagement", what, "measure bolt under its head, eye and washer with a calliper")
    left, sd = added((1.0, length), (-1.0, eye), (-float(count), washer))
    put = rule("banjo-bolt-engagement", joint.choices.get("banjo-bolt-engagement"))
    bolt = joint.a.size("bolt")
    diameter = bolt.value if bolt is not None else _diameter(thread)
    if diameter is None:
        return not_known("bolt engagement", "the bolt's diameter", "measure over the thread with a calliper")
    depth = joint.b.size("thread depth")
    need = put.in_force.value * diameter
    high = depth.value if depth is not None else math.inf
    if high < need:
        reason = f"the port has {high:.2f} mm of thread where {need:.2f} mm is asked"
        return Answer("bolt engagement", Verdict.DOES_NOT_FIT, reason, rule=put.name,
                      remedy="another port, or the part exchanged: a shallow thread cannot be made deeper by the bolt",
                      source=put.in_force.source, caution=CAUTION)  # fmt: skip
    strips = f"{need:.2f} mm is asked, it strips"
    under, _ = added((1.0, eye), (float(count), washer))
    most = f" to {under + high:.2f} mm" if math.isfinite(high) else " mm or more, by the port's depth"
    bottoms = f"the port is {high:.2f} mm deep, the bolt bottoms before the washers are tight"
    answer = gauged(
        "bolt engagement", left, sd, need, high, good=f"{left:.2f} mm of bolt in the port, {need:.2f} mm is asked",
        bad=f"{left:.2f} mm of bolt for the port: " + (strips if left < need else bottoms),
        remedy=f"a banjo bolt of {under + need:.2f}{most} under its head; never another washer to take up the length",
        measure="measure bolt, eye, washers and the port's depth with a calliper", rule=put.name,
        source=put.in_force.source, caution=CAUTION,
    )  # fmt: skip
    if depth is None and answer.verdict is Verdict.FITS:
        return replace(answer, verdict=Verdict.CANNOT_TELL, odds=None,
                       reason=f"{answer.reason}, but the port's depth is not known: the bolt may bottom",
                       measure="measure the port's full thread from its face with a calliper's depth rod")  # fmt: skip
    return answer


def _diameter(thread: str) -> float | None:
    try:
        return thread_called(thread).diameter_mm
    except ValueError:
        return None


def _with_way_out(joint: Joint, answers: list[Answer]) -> list[Answer]:
    """The cheapest chain of fittings as the remedy of the first question that came out wrong."""
    wrong = [i for i, a in enumerate(answers) if a.verdict is Verdict.DOES_NOT_FIT and a.question in _MENDED]
    if not wrong:
        return answers
    chains = ends_joined_by(joint)
    words = _way_out(joint, chains) if chains is not None else _known_first(joint)
    first = answers[wrong[0]].question
    told = {i: words if i == wrong[0] else answers[i].remedy or f"as for the {first}" for i in wrong if words}
    return [replace(a, remedy=told.get(i, a.remedy)) for i, a in enumerate(answers)]


_MENDED = ("sealing form", "gender", "thread", "tube")


def _known_first(joint: Joint) -> str:
    return "a chain of fittings can be sought once seal, gender and thread of both ends are known"


def _way_out(joint: Joint, chains: Chains) -> str:
    ways: list[str] = []
    a, b = joint.a.word("seal"), joint.b.word("seal")
    turned = joint.a.word("gender") != joint.b.word("gender")
    if a == b and a in _REFLARED and turned:
        ways.append("cut the flare off and make it again under the port's nut, on tube of the port's size")
    elif a in _REFLARED and b in _REFLARED and turned:
        ways.append(f"cut one flare off and make the other's ({a} or {b}) with its nut, where the tube is long enough")
    if chains.best:
        ways.append("; ".join(w for w in (f"with fittings: {chains.best[0].words()}", chains.note) if w))
    elif chains.made is not None:
        made = chains.made.words
        alone = made.removeprefix("none exists: have this made: ")
        ways.append(f"have this made, as no standard fittings join them: {alone}" if ways else made)
    return "; or ".join(ways)


_SIDES = ("hydraulic end", BANJO)
KINDS: tuple[MateKind, ...] = (
    MateKind(
        "hydraulic end to end",
        "two ends of a brake, clutch, fuel, steering or oil line, or an end in its port",
        _SIDES,
        ("hydraulic end",),
        judge,
    ),
)
"""Kinds of joint of hydraulic lines."""
