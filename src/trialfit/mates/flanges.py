"""Flange on flange: pilot, bolts, face and grip of two flanges bolted together."""

import math
from dataclasses import replace
from functools import partial

from trialfit.findings import Verdict
from trialfit.mates.answer import Answer, Work
from trialfit.mates.gauged import added, gauged, layered, not_known
from trialfit.mates.holes import Face
from trialfit.mates.joint import Joint, MateKind
from trialfit.mates.pattern import Redrilled, circle_answer, pattern_answer, redrill
from trialfit.mates.register import Register, register
from trialfit.parts import Ask, Fact, Port
from trialfit.standards import rule, thread_called
from trialfit.standards.thread_pairs import same_thread

_CAUTION = (
    "A flange that is not centred shakes the shaft to pieces, and one drilled too near its edge lets it go. "
    "Have pilots turned and holes drilled on a machine from the bearing's axis, use new bolts of the grade asked "
    "for, and have the shaft balanced. A crush-sleeve axle lets its flange be taken off once: settle the flange "
    "before the gear work."
)
_unknown = partial(not_known, caution=_CAUTION)
_gauged = partial(gauged, caution=_CAUTION)
_FORBIDDEN = (
    "welding old holes shut",
    "filing holes to fit on the vehicle",
    "hardened flanges drilled without a trial",
)


def judge(joint: Joint) -> tuple[Answer, ...]:
    """Every question about two flanges.

    Torque carried by the bolts, balance and run-out of the flange on its shaft are asked elsewhere.
    """
    return (*_pilot(joint), _bolt_circle(joint), _bolt(joint), _face(joint), _grip(joint))


def _pilot(joint: Joint) -> tuple[Answer, ...]:
    question = "pilot form"
    forms = (joint.a.word("pilot form"), joint.b.word("pilot form"))
    for form, part in zip(forms, (joint.a_part, joint.b_part), strict=True):
        if not form:
            return (
                _unknown(
                    question, f"whether the pilot of {part} stands out or is a recess",
                    "look at the flange's middle: male, female or none",
                ),
            )  # fmt: skip
    if "none" in forms:
        who = joint.a_part if forms[0] == "none" else joint.b_part
        return (
            Answer(
                question, Verdict.DOES_NOT_FIT, f"{who} has no pilot: bolts alone do not keep a shaft in its middle",
                remedy="an adapter plate with both pilots, or turn a pilot on the flange between centres",
                source="common practice, no source", caution=_CAUTION,
            ),
        )  # fmt: skip
    if forms[0] == forms[1]:
        return (_alike(joint, question, forms[0]),)
    ok = Answer(
        question, Verdict.FITS, f"{joint.a_part} {forms[0]}, {joint.b_part} {forms[1]}",
        source="common practice, no source", caution=_CAUTION,
    )  # fmt: skip
    male, female = ((joint.a, joint.a_part), (joint.b, joint.b_part))[:: 1 if forms[0] == "male" else -1]
    height = _least(male[0].size("pilot height"), female[0].size("pilot height"))
    fit = register(
        Register(
            "pilot", female[0].size("pilot"), male[0].size("pilot"), bore_part=female[1],
            bore_place="recess of the flange", spigot_part=male[1], spigot_place="pilot of the flange",
            hole_zone="H7", spigot_zone="h6", may_turn=True, may_open=True, may_ring=True, ring_height_mm=height,
            true_to="bearing seats of its shaft", forbidden=("knurling or centre-punching a pilot to fill it",),
            least_wall_mm=None, source="ISO 286-2",
        )
    )  # fmt: skip
    return ok, replace(fit, caution=fit.caution or _CAUTION), _pilot_height(male, female)


def _least(a: Fact | None, b: Fact | None) -> float | None:
    return None if a is None or b is None else min(a.value, b.value)


def _alike(joint: Joint, question: str, form: str) -> Answer:
    words = f"both pilots are {form}: "
    plate = f"an adapter plate with {'two recesses' if form == 'male' else 'two pilots'}"
    if form == "male":
        work = Work(
            joint.b_part, "make a plate", "between the flanges", f"{plate}, thicker than both pilots together",
            forbidden=_FORBIDDEN,
        )  # fmt: skip
        return Answer(
            question, Verdict.FITS_AFTER_WORK, f"{words}the faces do not meet", works=(work,), remedy=work.words,
            source="common practice, no source", caution=_CAUTION,
        )  # fmt: skip
    one, two = joint.a.size("pilot"), joint.b.size("pilot")
    same = one is not None and two is not None and abs(one.value - two.value) <= 0.1
    what = "a plain centring ring in both recesses" if same else "a stepped centring ring, one size in each recess"
    work = Work(
        joint.b_part, "make a ring", "recesses of both flanges", f"{what}, H7/h6 in each; or {plate}",
        forbidden=_FORBIDDEN,
    )  # fmt: skip
    return Answer(
        question, Verdict.FITS_AFTER_WORK, f"{words}nothing centres the one on the other", works=(work,),
        remedy=work.words, source="common practice, no source", caution=_CAUTION,
    )  # fmt: skip


def _pilot_height(male: tuple[Port, str], female: tuple[Port, str]) -> Answer:
    question = "pilot height"
    height, depth = male[0].size("pilot height"), female[0].size("pilot height")
    for size, words in (
        (height, f"how far the pilot of {male[1]} stands out"),
        (depth, f"how deep the recess of {female[1]} is"),
    ):
        if size is None:
            return _unknown(question, words, "measure with the depth rod of a calliper from the face")
    if height is None or depth is None:
        raise AssertionError(question)
    room, sd = added((1.0, depth), (-1.0, height))
    words = f"pilot {height.value:.2f} mm high in a recess {depth.value:.2f} mm deep"
    work = Work(
        male[1], "shorten", "pilot of the flange", f"face {-room + 0.5:.1f} mm off the pilot and chamfer it again",
        found=height, true_to="flange face",
    )  # fmt: skip
    return _gauged(
        question, room, sd, 0.0, math.inf, good=f"{words}: the faces meet",
        bad=f"{words}: it bottoms, and the faces stay {-room:.2f} mm apart", works=(work,),
        measure="measure pilot and recess with the depth rod of a calliper", source="geometry",
    )  # fmt: skip


def _bolt_size(joint: Joint) -> tuple[Fact | None, str]:
    """Diameter of the bolts, and their thread."""
    thread = joint.word("bolt") or joint.a.word("thread") or joint.b.word("thread")
    if not thread:
        return None, ""
    try:
        return Fact(thread_called(thread).diameter_mm, 0.0, thread), thread
    except ValueError:
        return None, thread


def _bolt_circle(joint: Joint) -> Answer:
    question = "bolt circle"
    size, _ = _bolt_size(joint)
    plain = [hole for hole in (joint.a.size("hole"), joint.b.size("hole")) if hole is not None]
    if joint.a.points("points") and joint.b.points("points"):
        holed = joint.a if joint.a.size("hole") is not None else joint.b
        part = joint.a_part if holed is joint.a else joint.b_part
        other = joint.b if holed is joint.a else joint.a
        return pattern_answer(
            question, holed.points("points"), holed.size("hole"), other.points("points"), size,
            _worked_face(holed, part), turned_over=True, choices=joint.choices,
        )  # fmt: skip
    if joint.a.points("points") or joint.b.points("points"):
        even = joint.b if joint.a.points("points") else joint.a
        who = joint.b_part if joint.a.points("points") else joint.a_part
        if even.count("bolts") is None or even.size("bolt circle") is None:
            return _unknown(question, f"the bolt pattern of {who}", "measure the middles of its bolts across and up")
        return Answer(
            question, Verdict.DOES_NOT_FIT,
            f"the bolts of {who} stand on an even circle, those of the other flange do not",
            remedy="an adapter plate with both patterns", source="geometry", caution=_CAUTION,
        )  # fmt: skip
    slack = sum(max(0.0, hole.value - size.value) for hole in plain) if size is not None else 0.0
    done = _circles(joint, slack)
    work = _redrilled(joint, size) if done.verdict is Verdict.DOES_NOT_FIT else None
    done = done if work is None else _circles(joint, slack, work)
    return done if done.verdict is Verdict.FITS else replace(done, caution=_CAUTION)


def _circles(joint: Joint, slack_mm: float, work: Redrilled | None = None) -> Answer:
    a, b = joint.a, joint.b
    return circle_answer(
        "bolt circle", a.count("bolts"), a.size("bolt circle"), b.count("bolts"), b.size("bolt circle"), slack_mm,
        a_words=f"the holes of {joint.a_part}", b_words=f"the bolts of {joint.b_part}", work=work, source="geometry",
        off_words="so that it does not go in, or bends and draws the flanges off centre",
        remedy="an adapter plate with both patterns and both pilots, or a flange of the other's pattern",
    )  # fmt: skip


def _worked_face(port: Port, part: str) -> Face:
    face, thick, pilot = port.size("face diameter"), port.size("thickness"), port.size("pilot")
    return Face(
        part, "flange", round_mm=0.0 if face is None else face.value,
        bore_mm=pilot.value if pilot is not None and port.word("pilot form") == "female" else 0.0,
        thickness_mm=None if thick is None else thick.value, true_to="the pilot, not the old holes",
        forbidden=_FORBIDDEN, shop="it turns with the driveline",
    )  # fmt: skip


def _redrilled(joint: Joint, size: Fact | None) -> Redrilled | None:
    """The flange that has more metal, redrilled to the pattern of the other; None when a size is missing for it."""

    def metal(port: Port) -> float:
        face = port.size("face diameter")
        return 0.0 if face is None else face.value

    first = metal(joint.a) >= metal(joint.b)
    port, part = (joint.a, joint.a_part) if first else (joint.b, joint.b_part)
    other = joint.b if first else joint.a
    counts, circles = (port.count("bolts"), other.count("bolts")), (port.size("bolt circle"), other.size("bolt circle"))
    hole = port.size("hole") or (None if size is None else Fact(size.value + 0.5, 0.0))
    if None in counts or None in circles or hole is None:
        return None
    old, new = (circle.value for circle in circles if circle is not None)
    few, many = (count for count in counts if count is not None)
    return redrill(_worked_face(port, part), few, old, hole.value, many, new, hole.value, choices=joint.choices)


def _other_thread(bolt: str, tapped: str) -> str:
    """Why a bolt is not of the thread of its flange; "" when it is."""
    try:
        alike, why = same_thread(bolt, tapped)
    except ValueError as fault:
        return str(fault)
    return "" if alike else why


def _bolt(joint: Joint) -> Answer:
    question = "bolts"
    threads = [t for t in (joint.a.word("thread"), joint.b.word("thread")) if t]
    bolt = joint.word("bolt")
    if not bolt and not threads:
        return _unknown(
            question, "the thread of the bolts",
            "hold a thread gauge and a calliper to a bolt, and write it as 3/8-24 or M10x1",
        )  # fmt: skip
    if len(threads) == 2:
        return Answer(
            question, Verdict.DOES_NOT_FIT,
            "both flanges are tapped or studded: a bolt cannot draw two threads together",
            remedy="drill the threads of one flange out to a plain hole", source="common practice, no source",
            caution=_CAUTION,
        )  # fmt: skip
    if bolt and threads:
        why = _other_thread(bolt, threads[0])
        if why:
            return Answer(
                question, Verdict.DOES_NOT_FIT, f"bolts {bolt} in a flange tapped {threads[0]}: {why}",
                remedy=f"bolts {threads[0]}", source="ISO 261; ASME B1.1", caution=_CAUTION,
            )  # fmt: skip
    size, name = _bolt_size(joint)
    if size is None:
        return _unknown(question, f"the diameter of a bolt '{name}'", "write the thread as 3/8-24 or M10x1")
    version = rule("flange-bolt-play", joint.choices.get("flange-bolt-play")).in_force
    worst: Answer | None = None
    for port, part in ((joint.a, joint.a_part), (joint.b, joint.b_part)):
        if port.word("thread"):
            continue
        hole = port.size("hole")
        if hole is None:
            how = "measure a hole with a calliper, in two directions"
            return _unknown(question, f"the size of the bolt holes of {part}", how)
        play, sd = added((1.0, hole), (-1.0, size))
        words = f"{name} bolts ({size.value:.2f} mm) in holes of {hole.value:.2f} mm of {part}"
        works = (
            ()
            if play >= 0.0
            else (
                Work(
                    part, "drill", "bolt holes",
                    f"open the holes of {part} to {size.value + 0.5:.1f} mm, on a machine", found=hole,
                    true_to="old middles", forbidden=_FORBIDDEN,
                ),
            )
        )  # fmt: skip
        one = _gauged(
            question, play, sd, 0.0, version.value, good=words,
            bad=f"{words}: {'they do not go through' if play < 0.0 else f'{play:.2f} mm of play'}", works=works,
            measure=f"measure a hole of {part} with a calliper", rule="flange-bolt-play", source=version.source,
        )  # fmt: skip
        if worst is None or _rank(one) < _rank(worst):
            worst = one
    if worst is None:
        raise AssertionError("two tapped flanges were answered above")
    return worst


def _rank(answer: Answer) -> int:
    order = (Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL, Verdict.FITS_AFTER_WORK, Verdict.FITS)
    return order.index(answer.verdict)


def _face(joint: Joint) -> Answer:
    question = "face"
    answers = []
    for port, part in ((joint.a, joint.a_part), (joint.b, joint.b_part)):
        face, circle = port.size("face diameter"), port.size("bolt circle")
        size, _ = _bolt_size(joint)
        hole = port.size("hole") or size
        if face is None or circle is None or hole is None:
            what = "outside" if face is None else "bolt circle" if circle is None else "hole size"
            return _unknown(question, f"the {what} of {part}", f"measure the {what} of the flange with a calliper")
        version = rule("hole-edge-distance", joint.choices.get("hole-edge-distance")).in_force
        asked = version.value * hole.value
        edge, sd = added((0.5, face), (-0.5, circle))
        words = f"{part}: {edge:.2f} mm from bolt to edge, {asked:.2f} mm asked"
        answers.append(
            _gauged(
                question, edge - asked, sd, 0.0, math.inf, good=words, bad=f"{words}: the edge is too near",
                measure=f"measure the outside of {part}'s flange with a calliper", rule="hole-edge-distance",
                source=version.source,
            )
        )  # fmt: skip
    return min(answers, key=_rank)


def _grip(joint: Joint) -> Answer:
    question = "bolt length"
    between, missing = layered(joint.layers)
    if between is None:
        return _unknown(question, f"the thickness of {missing}", f"measure {missing} with a calliper")
    length = joint.size("bolt length")
    tapped = [p for p in (joint.a, joint.b) if p.word("thread")]
    through = [(p, n) for p, n in ((joint.a, joint.a_part), (joint.b, joint.b_part)) if not p.word("thread")]
    for port, part in through:
        if port.size("thickness") is None:
            return _unknown(
                question, f"the thickness of the flange of {part}", "measure it under a bolt head with a calliper"
            )
    size, name = _bolt_size(joint)
    if size is None:
        return _unknown(question, "the thread of the bolts", "write the thread as 3/8-24 or M10x1")
    thick = [t for p, _ in through if (t := p.size("thickness")) is not None]
    grip = Fact(*added(*((1.0, t) for t in thick), (1.0, between)))
    if length is None:
        hold = size.value
        return _unknown(
            question, "the length of the bolts",
            "measure a bolt under its head with a calliper; order at least "
            f"{grip.value + hold:.1f} mm for a grip of {grip.value:.2f} mm",
        )  # fmt: skip
    pitch = thread_called(name).pitch_mm
    version = rule("thread-engagement-steel", joint.choices.get("thread-engagement-steel")).in_force
    asked = version.value * size.value if tapped else 0.8 * size.value + 2.0 * pitch
    room, sd = added((1.0, length), (-1.0, grip))
    where = "of thread in the flange" if tapped else "for the nut and two turns"
    words = (
        f"bolts {length.value:.1f} mm long through {grip.value:.2f} mm leave {room:.2f} mm; {asked:.2f} mm asked "
        f"{where}"
    )
    work = Work(
        joint.name, "exchange", "bolts", f"{name} bolts of at least {grip.value + asked:.1f} mm under the head",
        found=length,
    )  # fmt: skip
    return _gauged(
        question, room - asked, sd, 0.0, math.inf, good=words, bad=words, works=(work,),
        measure="measure a bolt under its head, and both flanges, with a calliper",
        rule="thread-engagement-steel" if tapped else "",
        source=version.source if tapped else "common practice, no source",
    )  # fmt: skip


KINDS: tuple[MateKind, ...] = (
    MateKind(
        "flange on flange", "two flanges bolted together: shaft on pinion, gearbox or transfer box, hub or adapter",
        ("flange",), ("flange",), judge, layered=True,
        asks=(
            Ask("bolt", "thread", "thread of the bolts, such as 3/8-24"),
            Ask("bolt length", "length", "bolt under its head", low=6.0, high=250.0),
        ),
    ),
)  # fmt: skip
