"""The order to a machine shop: for each part what is done to it, its drawing, what must not be done, and the check.

What is missing stands first. The order says NOT TO BE ORDERED FROM YET while a size it needs is unknown, or known by
nobody-said-how-well, or an open joint hangs on the part.
"""

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from trialfit.driveline.order_fields import BUILDER, DERIVED, SHOP
from trialfit.findings import Verdict
from trialfit.mates import SIDES, Answer, Figure, Joint, Plate, Target, Turned, Work, both_sides, side_of
from trialfit.parts import Fact
from trialfit.sheets.drawing import (
    FIGURE,
    FIGURE_BOLD,
    SECTION,
    SMALL,
    SMALL_BOLD,
    SMALL_FIGURE,
    TEXT,
    TEXT_BOLD,
    Leaf,
    LineKind,
    Mark,
    Words,
    rectangle,
)
from trialfit.sheets.paper import Cell, Column, Flow, Run, SheetMeta, Stop, broken, leading
from trialfit.sheets.pdf import pdf
from trialfit.sheets.plate_drawing import (
    HOLE_COLUMNS,
    Drawn,
    both,
    handed,
    hole_rows,
    limits_words,
    metal_left,
    metal_left_words,
    numbered,
    plate_drawing,
    short_size,
    third_angle,
)
from trialfit.sheets.turned_drawing import turned_drawing
from trialfit.standards import nearest, table

SHEET = "Machine-shop order"
FIELDS = "order_fields_machine_shop"
JOB = "Job"
"""Group of the fields that all parts share."""
FEATURES = ("holes", "register", "bore", "ring", "stud", "face", "rotor")
"""What a part may have that the shop asks more about."""
HOME_KINDS = ("shim", "exchange")
"""Work that needs no machine shop."""
LENGTH = "length"
"""The fit of a target that is a length, not a diameter."""
_LIMITS = re.compile(r"(\d+\.\d+) to (\d+\.\d+)")
_RING_OF = re.compile(r"\bring of ([a-z ]+?)[:;,]")
_SIZED = ("turn down", "open up", "make a ring")
_DRAWN = (*_SIZED, "redrill", "slot", "make a plate", "make a spacer", "drill", "have made")
_HOLES = ("redrill", "slot", "drill", "make a plate")
_ROUND_A_DRAWING_MM = 24.0
"""Paper that the title of a drawing and the words under it take."""
_MADE = ("make a plate", "make a spacer")
READING = (
    (
        "Third angle. Sizes in a drawing are millimetres; inches stand in the tables. Scale as stated and true when "
        "printed at full size, but sizes are taken from the figures, never from the paper."
    ),
    "Heavy: surfaces and holes to be worked. Dashed: hidden edges, and old holes. A in a frame: the datum.",
    "Sizes without limits: ISO 2768-1, medium. Edges broken 0.2 to 0.5 mm where no chamfer stands; free of burrs.",
)
"""How the drawings are read, and what holds where no limit stands (the broken edge: common practice, no source)."""
CAUTIONS = (
    (
        "Hubs, axle flanges, rotors, wheels and steering parts carry lives. A part that is bored off centre, too "
        "thin or was heated breaks on the road. The shop's word on wall, web and material goes before this sheet."
    ),
    (
        "The shop measures the part and its mate again before it cuts. Where its figure differs from the one found "
        "here, it stops and asks."
    ),
    (
        "When fitted: clean bare metal on both faces, nuts and bolts as on the torque sheet, and again after the "
        "first drive. Turn the wheel by hand and look for rubbing, wheels chocked and the vehicle on stands on "
        "firm level ground."
    ),
    "Eye protection at every machine, no gloves and no loose sleeves near anything that turns, the part clamped.",
    "Local codes decide who may change and approve hubs, brakes and axles. Ask before ordering.",
)


@dataclass(frozen=True, slots=True)
class PartToWork:
    """One part that goes to the shop. ``place`` is where on the vehicle; ``works`` what is done to it; ``open_answers``
    what is not settled at its joints, each with the joint's name; ``said`` the builder's words by key of the shop's
    list; ``features`` words of :data:`FEATURES` beyond those that its works tell; ``asked_by`` for each of the works
    the joints that ask for it, from which it is told how many parts it is done to."""

    part: str
    place: str
    works: tuple[Work, ...]
    material: str = ""
    sent_along: tuple[str, ...] = ()
    said: Mapping[str, str] = field(default_factory=dict)
    features: tuple[str, ...] = ()
    open_answers: tuple[tuple[str, Answer], ...] = ()
    asked_by: tuple[tuple[str, ...], ...] = ()

    @property
    def sides(self) -> tuple[str, ...]:
        """The sides on which it stands, () where it is one part in the middle or nobody said."""
        names = [name for names in self.asked_by for name in names] or [self.place]
        return tuple(side for side in SIDES if side in {side_of(name) for name in names})

    @property
    def quantity(self) -> str:
        """How many of it are worked, and which, in words."""
        if len(self.sides) < 2:
            return ", ".join(("1", *self.sides))
        hand = any(isinstance(w.figure, Plate) and handed(w.figure) for w in self.works)
        return f"2, left and right{': drawn is the left one, the right one mirrored' if hand else ''}"

    def only_on(self, work: Work) -> str:
        """On which side alone a work is done where the part stands on both, "" for both."""
        if len(self.sides) < 2 or work not in self.works:
            return ""
        mine = {side_of(name) for name in self.asked_by[self.works.index(work)]}
        return "" if mine >= set(SIDES) or "" in mine else f"the {mine.pop()} one only"


@dataclass(frozen=True, slots=True)
class AskedField:
    """One line of the shop's list with its answer, "" when there is none yet; ``asked`` as in the table."""

    key: str
    group: str
    name: str
    answer: str
    asked: str
    life_critical: bool
    measure: str

    @property
    def missing(self) -> bool:
        """Whether the builder still has to answer it."""
        return not self.answer and self.asked == BUILDER


# -- from joints to parts ---------------------------------------------------------------------------------------


def parts_to_work(
    judged: Iterable[tuple[Joint, Sequence[Answer]]],
    said: Mapping[str, Mapping[str, str]] | None = None,
    features: Mapping[str, tuple[str, ...]] | None = None,
) -> tuple[PartToWork, ...]:
    """Every part that a joint sends to the machine shop, in the order in which the joints name them.

    Parameters
    ----------
    judged : iterable of (joint, its answers)
        every joint of the build
    said : mapping, optional
        part to the builder's words by key of the shop's list
    features : mapping, optional
        part to words of :data:`FEATURES`
    """
    found: dict[str, PartToWork] = {}
    pairs = [(joint, tuple(answers)) for joint, answers in judged]
    for joint, answers in pairs:
        for work in (w for answer in answers for w in answer.works if w.kind not in HOME_KINDS):
            mine, other = (joint.a_part, joint.b_part) if work.part != joint.b_part else (joint.b_part, joint.a_part)
            material = {joint.a_part: joint.a_material, joint.b_part: joint.b_material}.get(work.part, "")
            part = found.get(work.part) or PartToWork(
                work.part,
                joint.name,
                (),
                material,
                (),
                (said or {}).get(work.part, {}),
                (features or {}).get(work.part, ()),
            )
            along = other if work.part == mine else " and ".join(p for p in (joint.a_part, joint.b_part) if p)
            works = part.works if work in part.works else (*part.works, work)
            asked_by = (*part.asked_by, *((),) * (len(works) - len(part.works)))
            at = works.index(work)
            names = tuple(dict.fromkeys((*asked_by[at], joint.name)))
            asked_by = (*asked_by[:at], names, *asked_by[at + 1 :])
            found[work.part] = replace(
                part,
                works=works,
                asked_by=asked_by,
                place="; ".join(both_sides(n for names in asked_by for n in names)),
                material=part.material or material,
                sent_along=tuple(dict.fromkeys((*part.sent_along, along))),
            )
    for joint, answers in pairs:
        for name in (joint.a_part, joint.b_part):
            if name in found:
                doubts = tuple(
                    (joint.name, a)
                    for a in answers
                    if a.verdict is Verdict.CANNOT_TELL or (a.verdict is Verdict.DOES_NOT_FIT and not a.works)
                )
                found[name] = replace(found[name], open_answers=(*found[name].open_answers, *doubts))
    return tuple(found.values())


def plates_of(parts: Sequence[PartToWork]) -> tuple[Plate, ...]:
    """Every flat figure of the parts that is to be had at true size, once each: for templates and DXF."""
    figures = [work.figure for part in parts for work in part.works]
    return tuple(dict.fromkeys(f for f in figures if isinstance(f, Plate) and f.at_true_size))


def quantities_of(parts: Sequence[PartToWork]) -> dict[Plate, str]:
    """How many of each of those plates there are, in words."""
    return {work.figure: part.quantity for part in parts for work in part.works if isinstance(work.figure, Plate)}


# -- what the shop asks, and what stops the order ---------------------------------------------------------------


def part_features(part: PartToWork) -> frozenset[str]:
    """Which features the shop asks about: those its works tell, and those that were said."""
    found = set(part.features)
    for work in part.works:
        found |= {
            "turn down": {"register", "face"},
            "open up": {"bore"},
            "make a ring": {"ring"},
            "make a spacer": {"face"},
        }.get(work.kind, set())
        if isinstance(work.figure, Plate) and any(not h.old for h in work.figure.holes):
            found.add("holes")
    unknown = found - set(FEATURES)
    if unknown:
        raise ValueError(f"no feature of a part is called '{min(unknown)}'; {nearest(min(unknown), FEATURES)}")
    return frozenset(found)


def asked_fields(part: PartToWork, job: Mapping[str, str]) -> tuple[AskedField, ...]:
    """The shop's list for one part, answered as far as it is known; ``job`` holds the answers that all parts share.

    Raises
    ------
    ValueError
        for an answer to a field that the list has not, that is worked out, or that the shop fills in; or a word that is
        none of the field's choices
    """
    rows = table(FIELDS).rows
    known = {row["key"]: row for row in rows}
    given = {**job, **part.said}
    for key, words in given.items():
        if key not in known:
            raise ValueError(f"the machine shop's list has no field '{key}'; {nearest(key, known)}")
        if known[key]["asked"] in (DERIVED, SHOP):
            who = "the shop fills it in" if known[key]["asked"] == SHOP else "it is worked out from the joints"
            raise ValueError(f"{known[key]['name']} ({key}) cannot be given: {who}")
        choices = known[key]["choices"].split(" / ") if known[key]["choices"] else []
        if choices and words not in choices:
            raise ValueError(f"{known[key]['name']} ({key}) is '{words}'; one of: {', '.join(choices)}")
    derived = _derived(part)
    features = part_features(part)
    return tuple(
        AskedField(
            row["key"],
            row["group"],
            row["name"],
            (given.get(row["key"]) or derived.get(row["key"], "")).strip(),
            row["asked"],
            row["life"] == "yes",
            row["measure"],
        )
        for row in rows
        if not row["when"] or features & set(row["when"].split("|"))
    )


def _derived(part: PartToWork) -> dict[str, str]:
    works = part.works
    figures = [w.figure for w in works if w.figure is not None]
    plates = [f for f in figures if isinstance(f, Plate)]
    told = {
        "material": part.material,
        "sent_along": ", ".join(part.sent_along),
        "datum": _joined(f"A: {f.datum}" for f in figures),
        "set_up_true_to": _joined(w.true_to for w in works),
        "forbidden": _joined(f for w in works for f in w.forbidden),
        "face_runout": _joined(
            f"{w.runout_mm:.2f} mm to {w.true_to or 'the datum'}" for w in works if w.runout_mm is not None
        ),
        "bolt_circle": _joined(_new_holes(p) for p in plates),
        "old_circle": _joined(_old_holes(p) for p in plates),
        "old_to_new": _joined(_nearest_angle(p) for p in plates),
        "metal_left": _joined(
            metal_left_words(p).removeprefix("Least metal left round a new hole: ").rstrip(".") for p in plates
        ),
    }
    for kind, key in (("turn down", "register_size"), ("open up", "bore_new"), ("make a ring", "ring_fit")):
        told[key] = _joined(
            f"{feature or w.place}: {limits_words(target.low_mm, target.high_mm)[0]} ({target.fit})"
            for w in works
            if w.kind == kind
            for feature, _, target in _features(w)
            if target is not None
        )
    told["ring_material"] = _joined(m[1] for w in works if (m := _RING_OF.search(w.words)))
    told["bore_old"] = _joined(_shown(w.found) for w in works if w.kind == "open up" and w.found is not None)
    return told


def _joined(parts: Iterable[str]) -> str:
    return "; ".join(dict.fromkeys(p for p in parts if p))


def _features(work: Work) -> list[tuple[str, Fact | None, Target | None]]:
    """Each feature that the work has a size for: its name ("" for the place itself), found and wanted."""
    return [(work.feature, work.found, work.target), *((s.feature, s.found, s.target) for s in work.sizes)]


def _new_holes(plate: Plate) -> str:
    kinds: dict[str, int] = {}
    for hole in plate.holes:
        if not hole.old:
            far = math.hypot(hole.x_mm, hole.y_mm)
            circle = any(abs(2.0 * far - diameter) < 0.01 for diameter, _ in plate.circles)
            where = f"on a circle of {2.0 * far:.2f} mm" if circle else f"{far:.2f} mm from the datum"
            words = f"\u00d8 {short_size(hole.diameter_mm)} mm {where}"
            kinds[words] = kinds.get(words, 0) + 1
    return ", ".join(f"{count} of {words}" for words, count in kinds.items())


def _old_holes(plate: Plate) -> str:
    old = [h for h in plate.holes if h.old]
    circles = [words for _, words in plate.circles if "old" in words]
    return f"{len(old)} there already{', ' + ', '.join(circles) if circles else ', places in the table'}" if old else ""


def _nearest_angle(plate: Plate) -> str:
    def turns(old: bool) -> list[float]:
        return [
            math.degrees(math.atan2(h.y_mm, h.x_mm))
            for h in plate.holes
            if h.old is old and math.hypot(h.x_mm, h.y_mm) > 1e-6
        ]

    gaps = [abs((a - b + 180.0) % 360.0 - 180.0) for a in turns(False) for b in turns(True)]
    return f"{min(gaps):.1f}\u00b0, seen from the datum" if gaps and plate.circles else ""


def work_doubts(work: Work) -> list[tuple[str, str]]:
    """Why nobody can work from this yet: each reason, and what lifts it. Empty when every size it needs is there."""
    doubts = []
    where = f"{work.part}, {work.place}"
    if work.kind in _SIZED and work.target is None:
        doubts.append((f"{where}: the size to work to is not known.", "Measure the part that it has to fit."))
    for feature, found, _ in _features(work):
        if found is not None and found.sd is None:
            what = f"{where}, {feature}" if feature else where
            reason = f"{what}: found {found.value:.2f} mm, and nobody said how well that is known."
            doubts.append((reason, "Measure it again and write down with which gauge."))
    if work.kind in _DRAWN and work.figure is None:
        doubts.append(
            (f"{where}: it has no drawing, a size is missing for it.", "Measure what the mates list asks for.")
        )
    if isinstance(work.figure, Plate) and (left := metal_left(work.figure)) is not None:
        webs = [mm for mm in (left.between_mm, left.edge_mm, left.bore_mm) if mm is not None]
        if webs and min(webs) <= 0.0:
            doubts.append(
                (
                    f"{where}: as drawn a new hole runs into another hole, the bore or the edge.",
                    "Have a plate made between the two parts, or choose another part.",
                )
            )
    if isinstance(work.figure, Turned) and any("to be measured" in s.length_words for s in work.figure.steps):
        doubts.append((f"{where}: a length in its drawing is still to be measured.", "Measure it with a depth gauge."))
    if work.kind in _MADE and isinstance(work.figure, Plate) and work.figure.thickness_mm is None:
        doubts.append((f"{where}: the thickness to make it to is not known.", "Say how thick it is to be."))
    return doubts


def order_doubts(parts: Sequence[PartToWork], job: Mapping[str, str]) -> list[tuple[str, str]]:
    """Everything that stops the order, worst first: joints that do not fit, sizes that are unknown or doubtful, joints
    that cannot be told, and answers missing that a life hangs on; each with what lifts it."""
    broken_, cannot, sizes, missing = [], [], [], []
    for part in parts:
        for joint, answer in part.open_answers:
            reason = f"{part.part}, {joint}: {answer.reason.rstrip('.')}."
            if answer.verdict is Verdict.CANNOT_TELL:
                cannot.append((reason, _sentence(answer.measure or answer.remedy)))
            else:
                broken_.append((reason, _sentence(answer.remedy or answer.measure)))
        sizes += [doubt for work in part.works for doubt in work_doubts(work)]
        missing += [
            (f"{part.part}: {f.name[:1].lower()}{f.name[1:]} is missing.", _sentence(f.measure))
            for f in asked_fields(part, job)
            if f.missing and f.life_critical
        ]
    return [*dict.fromkeys((*broken_, *sizes, *cannot, *missing))]


def _missing(part: PartToWork, f: AskedField) -> str:
    return f"{part.part}: {f.name[:1].lower()}{f.name[1:]} is missing."


def _sentence(text: str) -> str:
    text = text.strip()
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith('.') else '.'}" if text else ""


def machine_stop(parts: Sequence[PartToWork], job: Mapping[str, str]) -> Stop:
    """Whether the order may be given."""
    doubts = order_doubts(parts, job)
    if doubts:
        more = f" {len(doubts) - 1} more below." if len(doubts) > 1 else ""
        return Stop(False, "ordered", both(doubts[0][0]), f"{both(doubts[0][1])}{more}".strip())
    works = sum(len(p.works) for p in parts)
    return Stop(
        True,
        "ordered",
        f"Every size that {works} piece{'s' if works > 1 else ''} of work need{'' if works > 1 else 's'} "
        "is known, with its doubt.",
        "The shop measures again before it cuts.",
    )


# -- the sheet --------------------------------------------------------------------------------------------------


def machine_order_sheet(parts: Sequence[PartToWork], meta: SheetMeta, job: Mapping[str, str] | None = None) -> bytes:
    """The order as PDF: what is missing first, then each part with its drawings.

    Parameters
    ----------
    parts : sequence of PartToWork
        at least one
    meta : SheetMeta
        what the foot says, and on which paper
    job : mapping, optional
        answers that all parts share, by key of the shop's list (contact, vehicle)

    Raises
    ------
    ValueError
        without a part, or for an answer that the list does not know
    """
    return pdf(machine_order_leaves(parts, meta, job), f"{meta.build}: machine-shop order")


def machine_order_leaves(
    parts: Sequence[PartToWork], meta: SheetMeta, job: Mapping[str, str] | None = None
) -> list[Leaf]:
    """The leaves of :func:`machine_order_sheet`."""
    if not parts:
        raise ValueError("no part goes to the machine shop: 1 at least")
    shared = dict(job or {})
    fields = [asked_fields(part, shared) for part in parts]
    flow = Flow(meta, SHEET)
    flow.title(SHEET, shared.get("vehicle", "") or "Vehicle: not said.")
    flow.stop_bar(machine_stop(parts, shared))
    doubts = order_doubts(parts, shared)
    open_fields = [(part, f) for part, asked in zip(parts, fields, strict=True) for f in asked if f.missing]
    flow.still_to_fill_in(
        _questions([(p, f) for p, f in open_fields if f.life_critical or f.group == JOB], len(parts) > 1)
    )
    more = sum(not f.life_critical and f.group != JOB for _, f in open_fields)
    if more:
        flow.skip(2.0)
        flow.paragraph(
            f"{more} more question{'s' if more > 1 else ''}, on which no life hangs, with boxes at the parts: What "
            "the shop asks.",
            SMALL,
        )
    told = {_missing(p, f) for p, f in open_fields}
    rest = [d for d in doubts if d[0] not in told]
    if rest:
        flow.section("Not known well enough", 16.0)
        flow.points([f"STOPS THE ORDER: {both(reason)} {both(lift)}".strip() for reason, lift in rest])
    shared_rows: list[tuple[Cell, ...]] = [
        (Run(f.name, SMALL), Run(both(f.answer), SMALL_BOLD)) for f in fields[0] if f.group == JOB and f.answer
    ]
    if shared_rows:
        flow.section("For whom", 16.0)
        flow.table((Column("", 2.3), Column("", 3.7)), shared_rows)
    flow.section("The parts", 24.0)
    flow.table(
        (Column("No.", 0.4), Column("Part", 2.3), Column("What is done to it", 3.3)),
        [
            (
                Run(str(n), FIGURE_BOLD),
                (Run(p.part, TEXT_BOLD), Run(f"Quantity {p.quantity}", SMALL_BOLD), Run(p.place, SMALL)),
                tuple(
                    Run(f"{w.kind}: {w.place}{', ' if p.only_on(w) else ''}{p.only_on(w)}", TEXT) for w in p.works
                ),
            )
            for n, p in enumerate(parts, 1)
        ],
    )
    flow.section("How to read the drawings", 20.0)
    flow.points(READING, SMALL)
    for number, (part, asked) in enumerate(zip(parts, fields, strict=True), 1):
        _part(flow, part, asked, number, len(parts))
    flow.section("For the shop to fill in", 12.0)
    box = (rectangle(0.0, -2.6, flow.right - flow.column(3.0), 3.4, LineKind.THIN),)
    flow.table((Column("", 3.0), Column("", 3.0)), [(f.name, box) for f in fields[0] if f.asked == SHOP])
    flow.section("Before it is ordered and fitted", 24.0)
    flow.points(CAUTIONS)
    return flow.finish()


def _questions(missing: Sequence[tuple[PartToWork, AskedField]], several: bool) -> list[str]:
    """What the builder has to answer; a question that several parts share stands once."""
    asked: dict[AskedField, list[str]] = {}
    for part, f in missing:
        asked.setdefault(f, []).append(part.part)
    return [
        f"{f.name}{' (' + '; '.join(dict.fromkeys(names)) + ')' if several and f.group != JOB else ''}"
        f"{'. Do: ' + f.measure + '.' if f.measure else ''}"
        for f, names in asked.items()
    ]


def _part(flow: Flow, part: PartToWork, asked: Sequence[AskedField], number: int, of: int) -> None:
    flow.next_leaf()
    flow.section(f"Part {number} of {of}: {part.part}")
    where = f"{part.place}. " if part.place else ""
    flow.paragraph(f"{where}{'Made of ' + part.material + '.' if part.material else 'Material: not said.'}")
    flow.paragraph(f"Quantity: {part.quantity}.", TEXT_BOLD)
    _works(flow, part)
    drawn: list[Figure] = []
    for work in part.works:
        if work.figure is not None and work.figure not in drawn:
            drawn.append(work.figure)
            _figure(flow, work.figure)
    _forbidden(flow, part)
    _inspection(flow, part)
    _answers(flow, asked)


def _works(flow: Flow, part: PartToWork) -> None:
    rows: list[tuple[Cell, ...]] = []
    for work in part.works:
        what = [
            Run(f"{work.kind[:1].upper()}{work.kind[1:]}: {work.place}", TEXT_BOLD),
            Run(both(_sentence(work.words)), TEXT),
        ]
        what += [Run(both(_sentence(words)), TEXT_BOLD) for words in work.others]
        if only := part.only_on(work):
            what.append(Run(f"On {only}.", TEXT_BOLD))
        if work.true_to:
            what.append(Run(_true(work), TEXT))
        if not work.feature:
            rows.append((tuple(what), _found(work, work.found), _wanted(work, work.target)))
            continue
        # a size of something else than the place gets a row of its own, so that each row is of one feature
        rows.append((tuple(what), "", ""))
        rows += [
            (Run(f"\u2013 {feature}", TEXT_BOLD), _found(work, found), _wanted(work, target))
            for feature, found, target in _features(work)
        ]
    flow.table((Column("Work", 2.5), Column("Found", 1.4, "right"), Column("Wanted", 2.1, "right")), rows)


def _true(work: Work) -> str:
    """Which surface it runs true to, and how true, in words."""
    holes = work.kind in _HOLES
    if work.runout_mm is None:
        return f"{'Set up' if holes else 'To run'} true to {work.true_to}."
    most = f"{work.runout_mm:.2f} mm ({work.runout_mm / 25.4:.4f} in)"
    if holes:
        return f"Set up true to {work.true_to}, within {most}."
    return f"To run true to {work.true_to}: a dial gauge moves no more than {most} in one whole turn."


def _found(work: Work, found: Fact | None) -> Cell:
    if found is None:
        return Run("not measured" if work.kind in ("turn down", "open up") else "", FIGURE)
    source = (Run(found.source, SMALL),) if found.source else ()
    return (Run(_shown(found), FIGURE), Run(f"{found.value / 25.4:.3f} in", SMALL_FIGURE), *source)


def _shown(found: Fact) -> str:
    if found.sd is None:
        return f"{found.value:.2f} mm, doubt not known"
    return f"{found.value:.2f} \u00b1 {1.96 * found.sd:.2f} mm" if found.sd else f"{found.value:.2f} mm"


def _wanted(work: Work, target: Target | None) -> Cell:
    if target is None:
        return Run("? not known" if work.kind in _SIZED else "as drawn", FIGURE_BOLD)
    metric, inches = limits_words(target.low_mm, target.high_mm)
    return (Run(metric, FIGURE_BOLD), Run(inches, SMALL_FIGURE), Run(f"{target.fit}, {target.source}", SMALL))


def _figure(flow: Flow, figure: Figure) -> None:
    drawn = _drawn(figure, flow.wide, flow.y - flow.bottom - _ROUND_A_DRAWING_MM)
    _head(flow, figure, drawn)
    flow.drawing(drawn.marks, drawn.height_mm)
    flow.paragraph(f"A: {figure.datum}.", SMALL)
    if isinstance(figure, Plate):
        if figure.thickness_mm is None:
            flow.paragraph("Thickness: not known, its edge is not drawn.", SMALL_BOLD)
        flow.skip(2.0)
        flow.paragraph("Seen from the worked side, x to the right, y up. mm, inches under them.", SMALL)
        flow.table(HOLE_COLUMNS, hole_rows(figure))
        left = metal_left_words(figure)
        if left:
            flow.paragraph(both(left), SMALL_BOLD)
    elif any(s.worked for s in figure.steps):
        told = "Upper half in section, lower half from outside. Heavy: surfaces to be worked."
        if any(not s.outer_words for s in figure.steps):
            told += " An outside without a size is only sketched."
        flow.paragraph(told, SMALL)


def _drawn(figure: Figure, wide: float, room: float) -> Drawn:
    """A figure as large as it comes, or smaller where only that goes under what stands on the leaf already."""
    largest: Drawn | None = None
    for high in (150.0, 120.0, 100.0) if isinstance(figure, Plate) else (90.0, 65.0, 45.0):
        draw = plate_drawing(figure, wide, high) if isinstance(figure, Plate) else turned_drawing(figure, wide, high)
        largest = largest or draw
        if draw.height_mm <= room:
            return draw
    assert largest is not None
    return largest


def _head(flow: Flow, figure: Figure, drawn: Drawn) -> None:
    """The figure's title with its scale, and the sign for third angle at the right end; kept with the drawing."""
    words = f"{figure.title}, scale {drawn.scale}"
    lines = broken(words, SECTION, flow.wide - 22.0)
    flow.need(8.0 * len(lines) + drawn.height_mm + 10.0)
    flow.skip(3.0)
    for k, part in enumerate(lines):
        flow.skip(6.0)
        flow.leaf.add(Words((flow.left, flow.y), part, SECTION))
        if not k:
            flow.leaf.extend(third_angle((flow.right - 16.0, flow.y + 1.6)))
    flow.skip(2.0)


def _forbidden(flow: Flow, part: PartToWork) -> None:
    texts = list(dict.fromkeys(t for w in part.works for t in w.forbidden))
    if not texts:
        return
    lines = [line for text in texts for line in broken(f"\u2013 {both(_sentence(text))}", TEXT_BOLD, flow.wide - 8.0)]
    high = 9.0 + leading(TEXT) * len(lines) + 2.0
    flow.need(high + 3.0)
    flow.skip(3.0)
    top = flow.y
    flow.leaf.add(
        rectangle(flow.left + 0.4, top - high, flow.right - 0.4, top, LineKind.HEAVY),
        Words((flow.left + 4.0, top - 6.0), "Not allowed on this part", SECTION),
    )
    for k, text in enumerate(lines, 1):
        flow.leaf.add(Words((flow.left + 4.0, top - 6.6 - leading(TEXT) * k), text, TEXT_BOLD))
    flow.skip(high)


def tick_box() -> tuple[Mark, ...]:
    """A box to tick, on the base line of its row."""
    return (rectangle(0.0, -0.6, 3.6, 3.0, LineKind.OUTLINE),)


def inspection_lines(part: PartToWork) -> list[tuple[str, str, str]]:
    """What the shop checks and writes down: what, the limits in mm, and in inches ("" where there are none)."""
    lines: list[tuple[str, str, str]] = []
    for work in part.works:
        for feature, _, target in _features(work):
            if target is not None:
                lines.append((_checked(work, feature, target), *limits_words(target.low_mm, target.high_mm)))
        if work.runout_mm is not None:
            how = "set up true to" if work.kind in _HOLES else "run-out, one whole turn, to"
            lines.append(
                (
                    f"{work.place}: {how} {work.true_to or 'the datum'}, dial gauge",
                    f"0 to {work.runout_mm:.2f} mm",
                    f"0 to {work.runout_mm / 25.4:.4f} in",
                )
            )
        if isinstance(work.figure, Plate):
            lines += _plate_lines(work.figure)
        elif work.figure is not None:
            lines += [line for line in _turned_lines(work.figure) if line[1] not in {known for _, known, _ in lines}]
    return list(dict.fromkeys(lines))


def _checked(work: Work, feature: str, target: Target) -> str:
    """What is measured against the target: a length where the target says so, else a diameter."""
    what = feature or work.place
    if target.fit == LENGTH:
        return f"{what}, length"
    return f"{what}, diameter, in two directions" if work.kind in _SIZED else what


def _turned_lines(part: Turned) -> list[tuple[str, str, str]]:
    """Worked diameters of a turned part whose limits stand on its drawing."""
    lines: list[tuple[str, str, str]] = []
    for step in part.steps:
        for side, words in (("outer", step.outer_words), ("inner", step.inner_words)):
            found = _LIMITS.search(words) if step.worked in (side, "both") else None
            if found:
                what = f"{part.title}, {'outside' if side == 'outer' else 'inside'} diameter, in two directions"
                lines.append((what, *limits_words(float(found[1]), float(found[2]))))
    return lines


def _plate_lines(plate: Plate) -> list[tuple[str, str, str]]:
    lines: list[tuple[str, str, str]] = []
    if plate.bore_low_mm is not None and plate.bore_high_mm is not None:
        lines.append(("bore, diameter, in two directions", *limits_words(plate.bore_low_mm, plate.bore_high_mm)))
    sized: dict[tuple[float, float] | str, list[str]] = {}
    placed: dict[float, list[str]] = {}
    for name, hole in numbered(plate):
        if hole.old:
            continue
        if hole.low_mm is not None and hole.high_mm is not None:
            sized.setdefault((hole.low_mm, hole.high_mm), []).append(name)
        else:
            sized.setdefault(f"{short_size(hole.diameter_mm)} mm", []).append(name)
        if hole.slot_mm > 0.0:
            sized.setdefault(f"slot {short_size(hole.diameter_mm + hole.slot_mm)} mm over all", []).append(name)
        if hole.position_mm is not None:
            placed.setdefault(hole.position_mm, []).append(name)
    for size, names in sized.items():
        if isinstance(size, str):
            lines.append((f"{_holes(names)}: as drawn, within ISO 2768-1, medium", size, ""))
        else:
            lines.append((f"{_holes(names)}: diameter", *limits_words(*size)))
    for zone, names in placed.items():
        lines.append(
            (
                f"{_holes(names)}: middle off its place in the table",
                f"0 to {zone / 2.0:.3f} mm",
                f"0 to {zone / 50.8:.4f} in",
            )
        )
    return lines


def _holes(names: Sequence[str]) -> str:
    return f"hole{'s' if len(names) > 1 else ''} {', '.join(names)}"


def _inspection(flow: Flow, part: PartToWork) -> None:
    lines = inspection_lines(part)
    flow.section(
        "Inspection: measured by the shop, written down, sent back with the part",
        min(14.0 + 11.2 * (len(lines) + 2), 150.0),
    )
    span = flow.wide / 6.0
    box = (rectangle(0.0, -2.8, 1.15 * span, 3.6, LineKind.THIN),)
    rows: list[tuple[Cell, ...]] = [
        (tick_box(), what, (Run(metric, FIGURE), *([Run(inches, SMALL_FIGURE)] if inches else [])), box)
        for what, metric, inches in lines
    ]
    rows.append((tick_box(), "no burrs, no cracks seen, nothing heated or welded", "", box))
    rows.append(("", Run("Checked by, and date", TEXT_BOLD), "", box))
    flow.table((Column("", 0.3), Column("What", 2.75), Column("Limits", 1.75), Column("Measured", 1.2)), rows)


def _answers(flow: Flow, asked: Sequence[AskedField]) -> None:
    """The shop's whole list but what is said once for all parts; a box where the builder has still to answer."""
    span = flow.wide / 6.0
    box = (rectangle(0.0, -2.6, 3.7 * span, 3.4, LineKind.THIN),)
    mine = [f for f in asked if f.group != JOB and f.asked != SHOP and f.key != "forbidden"]
    rows: list[tuple[Cell, ...]] = [
        (Run(f.name, SMALL), Run(both(f.answer), SMALL_BOLD) if f.answer else box)
        for f in mine
        if f.answer or f.missing
    ]
    flow.section("What the shop asks", 20.0)
    flow.table((Column("", 2.3), Column("", 3.7)), rows)
    rest = [f.name for f in mine if not f.answer and not f.missing]
    if rest:
        flow.paragraph(
            f"Not known here; the shop asks if it needs it: {'; '.join(r[:1].lower() + r[1:] for r in rest)}.", SMALL
        )
