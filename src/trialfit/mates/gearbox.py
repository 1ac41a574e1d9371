"""Gearbox on engine: bolt pattern, dowels, run-out of the bell housing, and how deep things reach."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

import numpy as np

from trialfit.findings import Verdict
from trialfit.mates.answer import Answer, Work
from trialfit.mates.figure import Hole, Plate
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.gearbox_depths import CAUTION, clutch_answers, converter_answers
from trialfit.mates.holes import Face, Floats, match, webs
from trialfit.mates.joint import Joint, MateKind
from trialfit.mates.judging import within
from trialfit.mates.register import Register, register
from trialfit.parts import Ask, Fact
from trialfit.standards import refuse_outside, rule, table, thread_called
from trialfit.sums import Ask as SumAsk
from trialfit.sums import a_sum

_HERE, _APART = "on this joint", "bell housing apart"
_THIN_MM = 12.0
"""a layer up to so thick is taken as a plate that the dowels pass through; a thicker one holds them itself"""
_unknown = partial(not_known, caution=CAUTION)
_gauged = partial(gauged, caution=CAUTION)


def judge(joint: Joint) -> tuple[Answer, ...]:
    """Every question about a gearbox on an engine.

    Balance, starter and flywheel size, and the clutch's strength are left out; the clutch plate on the input shaft is a
    joint of its own (spline in spline).
    """
    return (*_seated(joint), _run_out(joint), *_driven(joint))


def _seated(joint: Joint) -> tuple[Answer, ...]:
    if joint.word("pattern") == _APART:
        return ()
    if joint.a.word("housing") or joint.b.word("housing"):
        return (_housing(joint),)
    return (_pattern(joint), _dowel_places(joint), _dowel_size(joint), _dowel_length(joint))


def _housing(joint: Joint) -> Answer:
    """Two standard housings by their number: the pilot bore centres them, and there are no dowels."""
    question = "housing number"
    one, two = joint.a.word("housing"), joint.b.word("housing")
    if not one or not two:
        who = joint.a_part if not one else joint.b_part
        return _unknown(
            question, f"the housing number of {who}",
            f"measure the pilot bore and the bolt circle of {who} with a long calliper, and count the holes",
        )  # fmt: skip
    rows = {row["housing"]: row for row in table("housings_sae_j617").rows}
    told = [_housing_words(name, rows.get(name)) for name in (one, two)]
    source = table("housings_sae_j617").source
    if one == two:
        words = f"both are number {told[0]}"
        if one not in rows:
            words += ": measure the pilot bore, the spigot and the bolt circle of both before anything is ordered"
        return Answer(question, Verdict.FITS, words, source=source, caution=CAUTION)
    strange = [name for name in (one, two) if name not in rows]
    if strange:
        return Answer(
            question, Verdict.CANNOT_TELL,
            f"the engine has number {told[0]}, the gearbox number {told[1]}: they differ, but what goes between them "
            "cannot be told without the sizes", source=source, caution=CAUTION,
            measure=f"measure pilot bore, bolt circle and bolts of number {strange[0]} with a long calliper",
        )  # fmt: skip
    work = Work(joint.b_part, "make a plate", "between engine and gearbox",
                f"an adapter from number {one} to number {two}, true to the pilot bore; the gearbox moves back by its "
                "thickness", true_to="crank's axis", runout_mm=0.13)  # fmt: skip
    return Answer(question, Verdict.FITS_AFTER_WORK, f"the engine has number {told[0]}, the gearbox number {told[1]}",
                  works=(work,), remedy=work.words, source=source, caution=CAUTION)  # fmt: skip


def _housing_words(name: str, row: Mapping[str, str] | None) -> str:
    if row is None:
        return f"{name} (its sizes are not in the table here)"
    doubt = "" if row["status"] == "seen" else f"; {row['status']}"
    size = f"pilot {float(row['pilot_mm']):.2f} mm, {row['holes']} bolts on {float(row['circle_mm']):.2f} mm"
    return f"{name} ({size}{doubt})"


def _driven(joint: Joint) -> tuple[Answer, ...]:
    drive = joint.b.word("drive")
    if drive == "clutch":
        return clutch_answers(joint)
    if drive == "converter":
        return converter_answers(joint)
    return (_unknown("drive", "what drives the gearbox", "say whether it has a clutch or a converter"),)


@dataclass(frozen=True, slots=True)
class Laid:
    """The gearbox's face laid on the engine's: by the dowels where both have two, else by the bolts alone. ``bolts``
    and ``dowels`` are the gearbox's in the engine's axes [mm]; ``spacing_mm`` how much its dowel spacing is off, None
    without dowels."""

    bolts: Floats
    dowels: Floats
    spacing_mm: float | None


def _flat(points: tuple[tuple[Fact, Fact], ...]) -> Floats:
    return np.array([[x.value, y.value] for x, y in points], dtype=float).reshape(-1, 2)


def laid(engine: Floats, engine_dowels: Floats, gearbox: Floats, gearbox_dowels: Floats) -> Laid:
    """Lay a gearbox's pattern, measured looking at its own face, on an engine's.

    Dowels rule: they say where the gearbox sits, and the bolts follow. The dowels may be the one way round or the
    other; the way that brings the bolts nearer is taken.

    Source: geometry.

    >>> engine = np.array([[-100.0, 0.0], [100.0, 0.0], [0.0, 150.0]])
    >>> box = np.array([[100.0, 0.0], [-100.0, 0.0], [0.0, 150.0]])
    >>> found = laid(engine, engine[:2], box, box[:2])
    >>> found.bolts.round(6).tolist(), found.spacing_mm
    ([[-100.0, 0.0], [100.0, 0.0], [0.0, 150.0]], 0.0)
    """
    turned = gearbox * (-1.0, 1.0)
    pins = gearbox_dowels * (-1.0, 1.0)
    if len(engine_dowels) != 2 or len(pins) != 2:
        found = match(engine, gearbox, mirrored=True)
        return Laid(found.placed(gearbox), np.empty((0, 2)), None)
    best: Laid | None = None
    least = math.inf
    for order in ((0, 1), (1, 0)):
        placed = _by_dowels(engine_dowels, pins[list(order)], np.vstack((turned, pins)))
        bolts = placed[: len(turned)]
        off = float(np.sum(_nearest(engine, bolts)[1] ** 2))
        if off < least:
            spacing = float(np.linalg.norm(pins[1] - pins[0]) - np.linalg.norm(engine_dowels[1] - engine_dowels[0]))
            best, least = Laid(bolts, placed[len(turned) :], spacing), off
    if best is None:
        raise AssertionError("one of two ways round is always nearer")
    return best


def _by_dowels(have: Floats, want: Floats, points: Floats) -> Floats:
    a, b = have[:, 0] + 1j * have[:, 1], want[:, 0] + 1j * want[:, 1]
    turn = np.angle((a[1] - a[0]) / (b[1] - b[0]))
    moved = (points[:, 0] + 1j * points[:, 1] - b.mean()) * np.exp(1j * turn) + a.mean()
    return np.column_stack((moved.real, moved.imag))


def _nearest(have: Floats, want: Floats) -> tuple[list[tuple[int, int]], Floats]:
    from scipy.optimize import linear_sum_assignment  # late: it takes longer to load than a sum to work

    far = np.linalg.norm(have[:, None, :] - want[None, :, :], axis=2)
    rows, cols = linear_sum_assignment(far**2)
    return list(zip(rows.tolist(), cols.tolist(), strict=True)), far[rows, cols]


def _pattern(joint: Joint) -> Answer:
    question = "bell pattern"
    engine, box = joint.a.points("points"), joint.b.points("points")
    for points, part in ((engine, joint.a_part), (box, joint.b_part)):
        if len(points) < 3:
            return _unknown(
                question, f"the bolt pattern of {part}",
                "measure the middles of all its bolts and dowels across "
                "and up from one dowel, looking at its face; or take a rubbing on card",
            )  # fmt: skip
    hole, bolt = joint.b.size("hole"), _bolt(joint)
    if hole is None:
        return _unknown(question, f"the size of the bolt holes of {joint.b_part}", "measure a hole with a calliper")
    if bolt is None:
        return _unknown(
            question, f"the thread of {joint.a_part}", "hold a thread gauge to a bolt, and write 3/8-16 or M10"
        )
    found = laid(_flat(engine), _flat(joint.a.points("dowels")), _flat(box), _flat(joint.b.points("dowels")))
    _, off = _nearest(_flat(engine), found.bolts)
    slack, slack_sd = added((0.5, hole), (-0.5, bolt))
    sds = [f.sd for point in (*engine, *box) for f in point]
    sd = None
    if slack_sd is not None and not any(s is None for s in sds):
        sd = math.sqrt(slack_sd**2 + 2.0 * sum((s or 0.0) ** 2 for s in sds) / len(sds))
    worst = int(np.argmax(off))
    spare = slack - float(off[worst])
    judged = within(spare, sd, 0.0, math.inf)
    how = "on its dowels" if found.spacing_mm is not None else "laid on best, no dowels known"
    good = int(np.sum(off <= slack))
    words = (
        f"{how}, {good} of the {len(box)} holes of {joint.b_part} meet a thread of {joint.a_part}; the worst pair "
        f"stands {off[worst]:.2f} mm off where {slack:.2f} mm may be"
    )
    verdict, measure = judged.verdict, ""
    works: tuple[Work, ...] = ()
    if len(box) > len(engine):
        verdict = Verdict.DOES_NOT_FIT
        words += f"; {len(box) - len(engine)} of its holes have no thread at all"
    if verdict is Verdict.CANNOT_TELL:
        measure = "measure both patterns again from a dowel with a long calliper, or try the bare housing on the engine"
    if verdict is Verdict.DOES_NOT_FIT:
        verdict, works = Verdict.FITS_AFTER_WORK, (_adapter(joint, found, hole.value, bolt.value),)
    return Answer(
        question, verdict, words, margin=judged.margin, sd=sd, unit="mm", odds=judged.odds,
        remedy="; ".join(w.words for w in works), measure=measure, works=works, source="geometry", caution=CAUTION,
    )  # fmt: skip


def _bolt(joint: Joint) -> Fact | None:
    word = joint.a.word("thread")
    try:
        return Fact(thread_called(word).diameter_mm, 0.0, word) if word else None
    except ValueError:
        return None


def _adapter(joint: Joint, found: Laid, hole_mm: float, bolt_mm: float) -> Work:
    """A plate between the two: plain holes where the engine's threads are, tapped ones where its holes are."""
    engine = [Hole(float(x), float(y), hole_mm, "to the engine") for x, y in _flat(joint.a.points("points"))]
    box = [Hole(float(x), float(y), bolt_mm, "tapped, to the gearbox", position_mm=0.2) for x, y in found.bolts]
    pin = joint.a.size("dowel")
    places = () if pin is None else _flat(joint.a.points("dowels"))
    dowels = [Hole(float(x), float(y), 0.0 if pin is None else pin.value, "dowel", position_mm=0.05) for x, y in places]
    plate = Plate(
        f"adapter plate {joint.a_part} to {joint.b_part}", "axes of the engine's pattern, looking at the engine", None,
        (*engine, *box, *dowels),
    )  # fmt: skip
    words = (
        "an adapter plate with both patterns and dowels for both, its middle true to the crank; its thickness moves "
        "the gearbox back, so pilot, clutch and converter depths change by as much"
    )
    web = rule("hole-web", joint.choices.get("hole-web")).in_force.value * hole_mm
    left = webs(box, Face(joint.b_part, "adapter plate"), (*engine, *dowels)).between_mm
    if left is not None and left < web:
        words += (
            f"; some of its holes stand only {left:.1f} mm apart where {web:.1f} mm is asked: turn the gearbox, or "
            "make the plate in two layers"
        )
    return Work(
        joint.b_part, "make a plate", "between engine and gearbox", words, true_to="crank's axis", runout_mm=0.13,
        forbidden=("slotting a bell housing", "leaving dowels out"), figure=plate,
    )  # fmt: skip


def _dowel_places(joint: Joint) -> Answer:
    question = "dowel places"
    if tried := joint.word("tried on dowels"):
        if tried == "goes on":
            return Answer(question, Verdict.FITS, "the bare housing was tried and goes on both dowels", source="trial",
                          caution=CAUTION)  # fmt: skip
        work = _dowel_plate(joint)
        return Answer(question, Verdict.FITS_AFTER_WORK, "the bare housing was tried and does not go on both dowels",
                      works=(work,), remedy=work.words, source="trial", caution=CAUTION)  # fmt: skip
    one, two = joint.a.points("dowels"), joint.b.points("dowels")
    for points, part in ((one, joint.a_part), (two, joint.b_part)):
        if len(points) != 2:
            return _unknown(
                question, f"where the two dowels of {part} are",
                "measure their middles across and up, in the same axes as the bolts",
            )  # fmt: skip
    spacing = [math.dist([f.value for f in p], [f.value for f in q]) for p, q in (one, two)]
    sds = [f.sd for point in (*one, *two) for f in point]
    sd = None if any(s is None for s in sds) else math.sqrt(4.0 * sum((s or 0.0) ** 2 for s in sds) / len(sds))
    hole, pin = joint.b.size("dowel hole"), joint.a.size("dowel")
    slack = 0.1 if hole is None or pin is None else max(0.0, hole.value - pin.value)
    off = spacing[1] - spacing[0]
    words = f"dowels {spacing[0]:.2f} mm apart on the engine, {spacing[1]:.2f} mm in the gearbox; {slack:.2f} mm may be"
    work = _dowel_plate(joint)
    return _gauged(
        question, off, sd, -slack, slack, good=words, bad=f"{words}: both dowels never enter", works=(work,),
        measure="measure over both dowels and inside both holes with a long calliper, and reckon to their middles",
        source="geometry",
    )  # fmt: skip


def _dowel_plate(joint: Joint) -> Work:
    return Work(
        joint.b_part, "make a plate", "between engine and gearbox", "an adapter plate with dowels for both",
        true_to="crank's axis", forbidden=("leaving a dowel out", "filing a dowel hole long"),
    )  # fmt: skip


def _dowel_size(joint: Joint) -> Answer:
    return register(
        Register(
            "dowel size", joint.b.size("dowel hole"), joint.a.size("dowel"), bore_part=joint.b_part,
            bore_place="dowel holes", spigot_part=joint.a_part, spigot_place="dowels", clearance_mm=(0.0, 0.05),
            may_turn=False, may_open=True, may_ring=True, true_to="crank's axis",
            forbidden=("a housing left to be centred by its bolts",), source="common practice, no source",
            caution=CAUTION, ring_material="steel",
            ring_height_mm=None if (depth := joint.b.size("dowel hole depth")) is None else depth.value,
        )
    )  # fmt: skip


def _dowel_length(joint: Joint) -> Answer:
    question = "dowel length"
    height, pin, depth = joint.a.size("dowel height"), joint.a.size("dowel"), joint.b.size("dowel hole depth")
    if height is None or pin is None:
        return _unknown(
            question, "how far the dowels stand out, or how thick they are,", "measure a dowel with a calliper"
        )
    plates = [layer for layer in joint.layers if layer.thickness is None or layer.thickness.value <= _THIN_MM]
    for layer in plates:
        if layer.thickness is None:
            return _unknown(question, f"the thickness of {layer.name}", f"measure {layer.name} with a calliper")
    version = rule("dowel-engagement", joint.choices.get("dowel-engagement")).in_force
    inside, sd = added((1.0, height), *((-1.0, layer.thickness) for layer in plates if layer.thickness is not None))
    asked = version.value * pin.value
    through = f" through {', '.join(layer.name for layer in plates)}" if plates else ""
    words = f"dowels reach {inside:.2f} mm{through} into what they hold; {asked:.2f} mm asked"
    work = Work(
        joint.a_part, "exchange", "dowels", f"dowels that stand out {asked - inside + height.value:.1f} mm or more"
    )
    if depth is not None and inside > depth.value:
        return Answer(
            question, Verdict.FITS_AFTER_WORK,
            f"dowels {inside:.2f} mm long in holes {depth.value:.2f} mm deep: the faces do not meet",
            remedy="shorter dowels",
            works=(
                Work(
                    joint.a_part, "shorten", "dowels",
                    f"to stand out {depth.value - 1.0 + height.value - inside:.1f} mm",
                ),
            ),
            source="geometry", caution=CAUTION,
        )  # fmt: skip
    return _gauged(
        question, inside - asked, sd, 0.0, math.inf, good=words, bad=words, works=(work,),
        measure="measure dowels and plates with a calliper", rule="dowel-engagement", source=version.source,
    )  # fmt: skip


@a_sum(
    "bell-off-centre",
    title="How far a bell housing's bore stands off the crank's axis",
    asks=(SumAsk("reading", "length", "whole swing of the dial once round"),),
    gives="distance of the two axes",
    dimension="length",
    unit="mm",
    words="reading / 2",
    source="geometry",
    caution=CAUTION,
)
def bell_off_centre(reading: float) -> float:
    """Distance [mm] of a bore's axis from the crank's: half the dial's whole swing. A bore out of round is left out.

    Source: geometry.
    """
    refuse_outside("dial reading", reading, 0.0, 10.0, "mm")
    return 0.5 * reading


@a_sum(
    "offset-dowel-left",
    title="What offset dowels leave of a bell housing's error",
    asks=(SumAsk("off", "length", "distance of the bore's axis from the crank's"),),
    gives="distance left with the best dowel that is sold, turned right",
    dimension="length",
    unit="mm",
    words="least of |off - 0.007 in|, |off - 0.014 in|, |off - 0.021 in| and off itself",
    source="builder's account of lining up a bell housing",
    caution=CAUTION,
)
def offset_dowel_left(off: float) -> float:
    """Distance [mm] left when the best of the dowels that are sold is turned against the error.

    Source: builder's account of lining up a bell housing.
    """
    refuse_outside("distance", off, 0.0, 5.0, "mm")
    return min(abs(off - size) for size in (0.0, *_dowels_sold()))


def _dowels_sold() -> tuple[float, ...]:
    return tuple(25.4 * float(row["offset_in"]) for row in table("offset_dowels").rows)


def _run_out(joint: Joint) -> Answer:
    question = "bell run-out"
    reading = joint.a.size("bell run-out")
    if reading is None:
        return _unknown(
            question, "the run-out of the bell housing's bore",
            "bolt the bare housing on its dowels, set a dial "
            "gauge from the crank flange on the bore, and turn once round",
            rule="bell-runout",
        )  # fmt: skip
    version = rule("bell-runout", joint.choices.get("bell-runout")).in_force
    off = bell_off_centre(reading.value)
    best = min(_dowels_sold(), key=lambda size: abs(off - size))
    left = 2.0 * abs(off - best)
    words = f"the dial swings {reading.value:.3f} mm, {off:.3f} mm off the crank's axis; {version.value:.2f} mm may be"
    works: tuple[Work, ...] = ()
    if left <= version.value:
        works = (
            Work(
                joint.a_part, "exchange", "dowels",
                f"offset dowels of {best:.3f} mm, both turned against the high side; "
                f"that leaves a swing of about {left:.3f} mm: measure again",
                found=reading, true_to="crank's axis", runout_mm=version.value,
            ),
        )  # fmt: skip
    return _gauged(
        question, reading.value, reading.sd, -math.inf, version.value, good=words,
        bad=words if works else f"{words}; no offset dowel brings it in: bore the housing or exchange it",
        works=works, measure="read the dial again, three times round, housing clean and bolts tight",
        rule="bell-runout", source=version.source,
    )  # fmt: skip


KINDS: tuple[MateKind, ...] = (
    MateKind(
        "gearbox on engine", "a gearbox on an engine: housing, dowels, clutch or converter", ("engine rear face",),
        ("gearbox front face",), judge, layered=True,
        asks=(
            Ask(
                "pattern", "text",
                "whether this joint has the bell pattern, or a separate bell housing has it as a layer",
                choices=(_HERE, _APART),
            ),
            Ask("tried on dowels", "text", "the bare housing, tried on both dowels",
                choices=("goes on", "does not go on")),
        ),
    ),
)  # fmt: skip
