"""Any pattern of holes on any other: whether bolts go through, and what has to be slotted, drilled or put between."""

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TypeAlias

import numpy as np

from trialfit.findings import SURE, Verdict
from trialfit.mates.answer import Answer, Work
from trialfit.mates.figure import Hole, Plate
from trialfit.mates.holes import Face, Floats, Match, Webs, match, on_circle, webs
from trialfit.mates.judging import apart, within
from trialfit.mates.redrill import CAUTION, Redrilled, best_turn_between_rad, metal_left, redrill
from trialfit.parts import Fact
from trialfit.standards import rule
from trialfit.sums import Ask, a_sum
from trialfit.units import UnitsError, parse

__all__ = [
    "CAUTION",
    "Face",
    "Match",
    "Redrilled",
    "Webs",
    "best_turn_between_rad",
    "circle_answer",
    "hole_pattern_offset",
    "match",
    "on_circle",
    "pattern_answer",
    "redrill",
    "webs",
]

_DRILLED_PLAY_MM = 0.5
"""Play on the diameter that a hole is drilled with when its bolt is thicker than it [mm]."""
Points: TypeAlias = Sequence[tuple[Fact, Fact]]


def circle_answer(
    question: str,
    count_a: int | None,
    circle_a: Fact | None,
    count_b: int | None,
    circle_b: Fact | None,
    hole_slack_mm: float,
    *,
    a_words: str = "the holes",
    b_words: str = "the studs",
    off_words: str = "so that it does not go in, or is bent as it is drawn up",
    remedy: str = "",
    work: Redrilled | None = None,
    rule_name: str = "",
    source: str = "",
) -> Answer:
    """Whether evenly spaced holes (a) go over evenly spaced studs (b).

    Both circles are taken as concentric and their holes as true to place; errors of place are left out, which errs on
    the unsafe side when the slack is nearly used up.

    Parameters
    ----------
    question : str
        short name of the question
    count_a, count_b : int or None
        numbers of holes and of studs, None when unknown [-]
    circle_a, circle_b : Fact or None
        diameters of their circles [mm]
    hole_slack_mm : float
        greatest difference of the two circles that may be: for plain holes their diameter less the stud's [mm]
    a_words, b_words : str
        what they are called in the reason
    off_words : str
        what comes of a bolt or stud that stands off the middle of its hole
    remedy : str
        what to do where redrilling is out; "" for another part of the same pattern
    work : Redrilled or None
        how the one of them could be redrilled; None when it must not be

    Returns
    -------
    Answer

    Source: geometry.

    >>> circle_answer("bolt circle", 5, Fact(120.0, 0.0), 5, Fact(120.65, 0.0), 0.3).verdict.value
    'does not fit'
    """
    if count_a is None or count_b is None:
        who = a_words if count_a is None else b_words
        return Answer(
            question,
            Verdict.CANNOT_TELL,
            f"it is not known how many {who} there are",
            measure=f"count {who}",
            source=source,
        )
    if count_a % count_b:
        reason = f"{count_a} holes ({a_words}) do not go over {count_b} ({b_words})"
        answer = Answer(question, Verdict.DOES_NOT_FIT, reason, source=source, caution=CAUTION, remedy=remedy or _alike(
            count_b, circle_b))  # fmt: skip
        return _worked(answer, work)
    if circle_a is None or circle_b is None:
        who, count = (a_words, count_a) if circle_a is None else (b_words, count_b)
        return Answer(
            question,
            Verdict.CANNOT_TELL,
            f"the circle of {who} is not known",
            measure=how_to_measure_circle(who, count),
            source=source,
        )
    difference, sd = apart(circle_a, circle_b)
    judged = within(difference, sd, -hole_slack_mm, hole_slack_mm)
    said = (
        f"{a_words} stand on {circle_a.value:.2f} mm, {b_words} on {circle_b.value:.2f} mm: {abs(difference):.2f} mm "
        f"apart, {hole_slack_mm:.2f} mm may be"
    )
    answer = Answer(
        question,
        judged.verdict,
        said,
        margin=judged.margin,
        sd=judged.sd,
        unit="mm",
        odds=judged.odds,
        rule=rule_name,
        source=source,
    )
    if judged.verdict is Verdict.FITS:
        spare = f"; {count_a - count_b} of the {count_a} holes stay empty" if count_a > count_b else ""
        return replace(answer, reason=said + spare)
    if judged.verdict is Verdict.CANNOT_TELL:
        coarse = circle_a if (circle_a.sd is None or circle_a.sd >= (circle_b.sd or 0.0)) else circle_b
        who, count = (a_words, count_a) if coarse is circle_a else (b_words, count_b)
        need = f"; known to {abs(judged.margin) / SURE:.2f} mm (standard deviation) it would be settled"
        return replace(answer, measure=how_to_measure_circle(who, count) + need)
    return _worked(
        replace(
            answer,
            caution=CAUTION,
            remedy=remedy or _alike(count_b, circle_b),
            reason=f"{said}; each bolt or stud would stand {abs(difference) / 2.0:.2f} mm off the middle of its hole, "
            f"{off_words}",
        ),
        work,
    )


def _alike(count: int, circle: Fact | None) -> str:
    where = "" if circle is None else f" on a circle of {circle.value:.2f} mm"
    return f"a part with {count} holes{where}, or an adapter with both patterns; never forced on"


def how_to_measure_circle(what: str, count: int | None) -> str:
    """What to measure so that a circle is known, by its number of holes.

    >>> how_to_measure_circle("the wheel's holes", 5)[:60]
    "measure the wheel's holes with a calliper, middle to middle "
    """
    if count is not None and count % 2 == 0:
        way = "straight across, inner edge to inner edge plus one diameter; two pairs, and take the mean"
    else:
        factor = f" and multiply by {1.0 / math.sin(math.pi / count):.4f}" if count else ""
        way = f"middle to middle of neighbours{factor}; all round, and take the mean"
    return f"measure {what} with a calliper, {way}"


def _worked(answer: Answer, work: Redrilled | None) -> Answer:
    if work is None:
        return answer
    reason = f"{answer.reason}. Redrilling: {work.reason}"
    if work.work is None:
        return replace(answer, reason=reason)
    if work.enough is None:
        return replace(
            answer,
            verdict=Verdict.CANNOT_TELL,
            reason=reason,
            measure=f"measure the outside of the {work.work.place} of {work.work.part} with a calliper",
        )
    return replace(
        answer,
        verdict=Verdict.FITS_AFTER_WORK,
        reason=reason,
        remedy=work.work.words,
        works=(work.work,),
        caution=CAUTION,
    )


def pattern_answer(
    question: str,
    have: Points,
    hole: Fact | None,
    want: Points,
    bolt: Fact | None,
    face: Face,
    *,
    may_slot: bool = True,
    turned_over: bool = False,
    want_words: str = "the bolts",
    choices: Mapping[str, str] | None = None,
    source: str = "",
) -> Answer:
    """Whether bolts in any pattern go through holes in any other, and how far each hole must be slotted or drilled.

    The wanted pattern may turn and shift as it likes; where a pilot holds the parts this errs on the unsafe side, and
    the pilot is then asked about apart. Holes are taken as square to the face.

    Parameters
    ----------
    have, want : sequence of (Fact, Fact)
        middles of the holes that are there and of the bolts, across and up [mm]
    hole, bolt : Fact or None
        diameters [mm]
    face : Face
        what the holes are in, for the metal left
    may_slot : bool
        whether the holes may be slotted
    turned_over : bool
        whether the wanted pattern was measured looking at the other face

    Returns
    -------
    Answer

    Raises
    ------
    ValueError
        as :func:`match`

    Source: geometry; metal asked for by rules hole-web and hole-edge-distance.
    """
    missing = [
        words
        for words, there in (
            ("the middles of at least two holes", len(have) >= 2),
            (f"the middles of at least two of {want_words}", len(want) >= 2),
            ("the diameter of the holes", hole is not None),
            (f"the diameter of {want_words}", bolt is not None),
        )
        if not there
    ]
    if missing or hole is None or bolt is None:
        return Answer(
            question,
            Verdict.CANNOT_TELL,
            f"not known: {'; '.join(missing)}",
            source=source,
            measure=f"measure {missing[0]} with a calliper; middles across and up from one edge or hole",
        )
    flat_have, flat_want = _flat(have), _flat(want)
    found = match(flat_have, flat_want, mirrored=turned_over)
    worst = int(np.argmax(found.off_mm))
    slack_mm, slack_sd = _half(apart(hole, bolt))
    spare = slack_mm - found.worst_mm
    sd = _all_sd(slack_sd, *(f.sd for p in (*have, *want) for f in p))
    judged = within(spare, sd, 0.0, math.inf)
    said = (
        f"laid on best, {_turned(found.turn_rad)}, {want_words} stand up to {found.worst_mm:.2f} "
        "mm off "
        f"the middle of their holes (hole {found.pairs[worst][0] + 1}); half the slack of a {bolt.value:.2f} mm bolt "
        "in a "
        f"{hole.value:.2f} mm hole is {slack_mm:.2f} mm"
    )
    answer = Answer(question, judged.verdict, said, margin=spare, sd=sd, unit="mm", odds=judged.odds, source=source)
    if judged.verdict is Verdict.CANNOT_TELL:
        return replace(
            answer,
            measure=(
                "measure the middles of both patterns again with a calliper, edge to edge of neighbours"
                + (f"; known to {abs(spare) / SURE:.2f} mm (standard deviation) it would be settled" if spare else "")
            ),
        )
    extra = len(want) - len(have)
    if judged.verdict is Verdict.FITS and extra <= 0:
        return answer
    if match(flat_have, flat_want, mirrored=not turned_over).worst_mm <= slack_mm < found.worst_mm:
        return replace(
            answer,
            verdict=Verdict.DOES_NOT_FIT,
            reason=f"{said}; turned over it would go on: it is made for the other side, or one pattern was measured "
            "from the other face",
            remedy="the part of the other hand, or measure both patterns from the same face",
        )
    return _slotted(answer, found, flat_want, flat_have, hole.value, bolt.value, face, may_slot, choices or {})


def _turned(turn_rad: float) -> str:
    degrees = round(math.degrees(turn_rad), 1)
    return f"turned {degrees:.1f} deg" if degrees else "not turned"


def _flat(points: Points) -> Floats:
    return np.array([[x.value, y.value] for x, y in points])


def _half(pair: tuple[float, float | None]) -> tuple[float, float | None]:
    return pair[0] / 2.0, None if pair[1] is None else pair[1] / 2.0


def _all_sd(slack_sd: float | None, *sds: float | None) -> float | None:
    """Doubt of the worst offset: that of one point of each pattern across its offset, and of the slack."""
    if slack_sd is None or any(sd is None for sd in sds):
        return None
    mean_square = sum((sd or 0.0) ** 2 for sd in sds) / len(sds)
    return math.sqrt(slack_sd**2 + 2.0 * mean_square)


def _slotted(
    answer: Answer, found: Match, want: Floats, have: Floats, hole_mm: float, bolt_mm: float, face: Face,
    may_slot: bool, choices: Mapping[str, str],
) -> Answer:  # fmt: skip
    """The work: slots where bolts stand off, holes where there are none; a plate where too little is left."""
    if not may_slot:
        reason = f"{answer.reason}; these holes must not be slotted or drilled"
        return replace(answer, verdict=Verdict.DOES_NOT_FIT, reason=reason, caution=CAUTION)
    width_mm = hole_mm if hole_mm >= bolt_mm else bolt_mm + _DRILLED_PLAY_MM
    placed = found.placed(want)
    worked, told = _worked_holes(found, have, hole_mm, width_mm, (width_mm - bolt_mm) / 2.0)
    used = {i for i, _ in found.pairs}
    idle = [
        Hole(float(x), float(y), hole_mm, f"hole {n + 1}", old=True)
        for n, (x, y) in enumerate(have) if n not in used
    ]  # fmt: skip
    for j in sorted(set(range(len(want))) - {j for _, j in found.pairs}):
        worked.append(Hole(float(placed[j][0]), float(placed[j][1]), width_mm, f"drill {j + 1}"))
        told.append(("drill", f"a new hole of {width_mm:.2f} mm for bolt {j + 1}"))
    left = webs(worked, face, idle)
    web = rule("hole-web", choices.get("hole-web")).in_force.value * width_mm
    edge = rule("hole-edge-distance", choices.get("hole-edge-distance")).in_force.value * width_mm
    words, enough = metal_left(left, face, width_mm, web, edge)
    reason = f"{answer.reason}. {words[0].upper() + words[1:]}"
    if enough is None:
        work = "; ".join(text for _, text in told)
        return replace(answer, verdict=Verdict.CANNOT_TELL, reason=f"{answer.reason}. {work}. {words}",
                       measure=f"measure from the holes to the edge of {face.part} with a calliper")  # fmt: skip
    # the hole that a slot starts from is there already, as is one that is opened
    there = [Hole(float(have[i][0]), float(have[i][1]), hole_mm, "", old=True)
             for (i, _), hole in zip(found.pairs, worked, strict=False) if not hole.old]  # fmt: skip
    figure = Plate(f"{face.part}: {answer.question}", face.datum, face.thickness_mm, (*worked, *idle, *there),
                   face.round_mm, face.outline, face.bore_mm, shop=face.shop)  # fmt: skip
    if enough:
        works = tuple(
            Work(face.part, kind, face.place, "; ".join(text for k, text in told if k == kind), true_to=face.true_to,
                 forbidden=face.forbidden, figure=figure)
            for kind in ("slot", "open up", "drill") if kind in {k for k, _ in told}
        )  # fmt: skip
    else:
        works = (_fresh_plate(face, figure, placed, width_mm),)
    return replace(answer, verdict=Verdict.FITS_AFTER_WORK, reason=reason, works=works, caution=CAUTION,
                   remedy="; ".join(work.words for work in works))  # fmt: skip


def _worked_holes(
    found: Match, have: Floats, hole_mm: float, width_mm: float, slack_mm: float
) -> tuple[list[Hole], list[tuple[str, str]]]:
    """Each hole that a bolt goes through, slotted, opened or left as it is; and what is done to it in words."""
    holes: list[Hole] = []
    told: list[tuple[str, str]] = []
    for (i, _), off, way in zip(found.pairs, found.off_mm, found.off_rad, strict=True):
        x, y = (float(c) for c in have[i])
        longer = off - slack_mm
        if longer > 0.0:
            at = f"{round(math.degrees(way)) % 360} deg"
            holes.append(Hole(x + longer / 2.0 * math.cos(way), y + longer / 2.0 * math.sin(way), width_mm,
                              f"slot {i + 1}", slot_mm=longer, slot_rad=way))  # fmt: skip
            told.append(("slot", f"hole {i + 1}: {longer:.2f} mm towards {at}, {width_mm:.2f} mm wide"))
        elif width_mm > hole_mm:
            holes.append(Hole(x, y, width_mm, f"open {i + 1}"))
            told.append(("open up", f"hole {i + 1}: from {hole_mm:.2f} mm to {width_mm:.2f} mm"))
        else:
            holes.append(Hole(x, y, hole_mm, f"hole {i + 1}", old=True))
    return holes, told


def _fresh_plate(face: Face, figure: Plate, placed: Floats, hole_mm: float) -> Work:
    holes = tuple(Hole(float(x), float(y), hole_mm, f"bolt {n + 1}") for n, (x, y) in enumerate(placed))
    words = "a new plate drilled for the bolts as they stand; the old one would be left with too little metal"
    return Work(face.part, "make a plate", face.place, words, forbidden=face.forbidden,
                figure=replace(figure, title=f"plate for {face.part}", holes=holes))  # fmt: skip


@a_sum(
    "hole-pattern-offset",
    title="How far bolts stand off their holes when one pattern is laid best on another",
    asks=(
        Ask("have", "text", "middles of the holes, each across,up: 0,0 80,0 80,60 0,60 in mm, or 0in,3.5in"),
        Ask("want", "text", "middles of the bolts, in the same form"),
    ),
    gives="greatest distance of a bolt from the middle of its hole",
    dimension="length",
    unit="mm",
    words="turn and shift with the least sum of squares over all pairings; greatest of the distances left",
    source="K. S. Arun, T. S. Huang, S. D. Blostein; linear assignment",
    caution=CAUTION,
)
def hole_pattern_offset(have: str, want: str) -> float:
    """Greatest distance [mm] of a bolt from the middle of its hole, patterns laid on each other as :func:`match` does.

    Raises
    ------
    ValueError
        when a pattern cannot be read, or as :func:`match`

    Source: K. S. Arun, T. S. Huang, S. D. Blostein.

    >>> round(hole_pattern_offset("0,0 80,0 80,60 0,60", "10,10 90,10 90,74 10,74"), 6)
    2.0
    """
    return match(_read(have), _read(want)).worst_mm


def _read(text: str) -> Floats:
    points = [part.split(",") for part in re.split(r"[\s;]+", text.strip())]
    if any(len(p) != 2 for p in points):
        raise ValueError(f"'{text}' is no pattern; write each middle as across,up with blanks between: 0,0 80,0 80,60")
    try:
        return np.array([[parse(c, "length", "mm").value for c in p] for p in points])
    except UnitsError as fault:
        raise ValueError(f"'{text}' is no pattern: {fault}") from fault
