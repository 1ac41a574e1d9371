"""The plate under a spring's U-bolt nuts: whether its holes suit the tube and spring, and how they are slotted."""

import math
from dataclasses import dataclass, replace
from functools import partial

from trialfit.findings import Verdict
from trialfit.mates.answer import Answer, Work
from trialfit.mates.figure import Hole, Plate
from trialfit.mates.gauged import added, not_known
from trialfit.mates.holes import Face, Webs, webs
from trialfit.mates.joint import Joint
from trialfit.mates.judging import within
from trialfit.mates.spring_clamp import CALLIPER, GEOMETRY, OVER, ROUND, asked, rod_of
from trialfit.parts import Fact
from trialfit.standards.u_bolts import CAUTION

_CORNERS = ((1, 1), (-1, 1), (-1, -1), (1, -1))
_unknown = partial(not_known, caution=CAUTION)


@dataclass(frozen=True, slots=True)
class Slots:
    """What a plate's four holes need: how far each is lengthened along and across the vehicle [mm], outward positive;
    what is left of the metal, and the drawing."""

    along_mm: float
    across_mm: float
    left: Webs
    figure: Plate


def slots(
    title: str,
    along_mm: float,
    across_mm: float,
    hole_mm: float,
    grow_along_mm: float,
    grow_across_mm: float,
    face: Face,
) -> Slots:
    """Lengthen four holes at the corners of a rectangle, each by as much, away from or toward the middle.

    A slot begins at the old hole and ends where the new place is: the old metal is not put back.

    Parameters
    ----------
    along_mm, across_mm : float
        hole pitch along and across the vehicle [mm]
    hole_mm : float
        diameter of the holes [mm]
    grow_along_mm, grow_across_mm : float
        how far each hole is lengthened, outward positive [mm]
    face : Face
        the plate they are in, for the metal left

    Returns
    -------
    Slots

    Source: geometry.

    >>> plate = Face("plate", "", outline=((-70.0, -60.0), (70.0, -60.0), (70.0, 60.0), (-70.0, 60.0)))
    >>> done = slots("plate", 90.0, 80.0, 14.0, 6.0, 0.0, plate)
    >>> done.figure.holes[0].x_mm, done.figure.holes[0].slot_mm, done.left.edge_mm
    (48.0, 6.0, 12.0)
    """
    length = math.hypot(grow_along_mm, grow_across_mm)
    holes = []
    for n, (x, y) in enumerate(_CORNERS, start=1):
        step = (x * grow_along_mm, y * grow_across_mm)
        middle = 0.5 * (x * along_mm + step[0]), 0.5 * (y * across_mm + step[1])
        way = math.atan2(step[1], step[0]) if length else 0.0
        holes.append(Hole(*middle, hole_mm, f"slot {n}", slot_mm=length, slot_rad=way))
    olds = [Hole(0.5 * x * along_mm, 0.5 * y * across_mm, hole_mm, "", old=True) for x, y in _CORNERS]
    figure = Plate(title, face.datum, face.thickness_mm, (*holes, *olds), outline=face.outline, bore_mm=face.bore_mm,
                   shop=face.shop)  # fmt: skip
    return Slots(grow_along_mm, grow_across_mm, webs(holes, face), figure)


def plate_holes(joint: Joint) -> Answer:
    """Whether the U-bolts' legs go through the plate's holes, or how far each must be slotted and what metal is left.

    The two legs of one U-bolt stand as far apart as it is bent; the other way the legs have only to clear what lies
    between the two U-bolts.
    """
    question = "plate holes"
    sizes = {
        "the plate's hole pitch along the vehicle": joint.size("plate along"),
        "the plate's hole pitch across the vehicle": joint.size("plate across"),
        "the plate's hole diameter": joint.size("plate hole"),
        "the diameter of the axle tube": joint.a.size("tube diameter"),
        "the width of the spring": joint.b.size("spring width"),
    }
    rod, _ = rod_of(joint)
    for words, size in sizes.items():
        if size is None:
            return _unknown(question, words, f"measure {words} {CALLIPER}; pitch from edge to edge of two holes")
    if rod is None:
        return _unknown(
            question, "the thread of the U-bolts",
            "write the U-bolts' thread as 1/2-20 or M12x1.5, or measure the rod with a calliper",
        )  # fmt: skip
    if not joint.word("u-bolts go"):
        return _unknown(question, "which way the U-bolts go", f"look whether they go {ROUND} or {OVER}")
    along, across, hole, tube, spring = (size for size in sizes.values() if size is not None)
    if hole.value <= rod.value:
        return Answer(
            question, Verdict.DOES_NOT_FIT,
            f"a rod of {rod.value:.2f} mm does not go through holes of {hole.value:.2f} mm",
            remedy="a plate drilled for this rod", source=GEOMETRY, caution=CAUTION,
        )  # fmt: skip
    return _slotted(joint, question, along, across, hole, tube, spring, rod)


def _slotted(
    joint: Joint, question: str, along: Fact, across: Fact, hole: Fact, tube: Fact, spring: Fact, rod: Fact
) -> Answer:
    over = joint.word("u-bolts go") == OVER
    inside = joint.size("inside width") or (spring if over else tube)
    legs, clear = (across, along) if over else (along, across)
    beside = tube if over else spring
    slack, slack_sd = added((1.0, hole), (-1.0, rod))
    off, off_sd = added((1.0, inside), (1.0, rod), (-1.0, legs))
    short, short_sd = added((1.0, beside), (1.0, rod), (-1.0, clear))
    one = within(off, _both(off_sd, slack_sd), -slack, slack)
    two = within(slack - short, _both(short_sd, slack_sd), 0.0, math.inf)
    legs_way, clear_way = ("across", "along") if over else ("along", "across")
    words = (
        f"legs {inside.value + rod.value:.2f} mm apart {legs_way} the vehicle over holes {legs.value:.2f} mm apart; "
        f"{beside.value + rod.value:.2f} mm or more asked {clear_way} it, {clear.value:.2f} mm there; holes "
        f"{hole.value:.2f} mm for a rod of {rod.value:.2f} mm"
    )
    near = one if one.margin <= two.margin else two
    head = Answer(
        question, near.verdict, words, margin=near.margin, sd=near.sd, unit="mm", odds=near.odds, source=GEOMETRY,
        caution=CAUTION,
    )  # fmt: skip
    if one.verdict is Verdict.FITS and two.verdict is Verdict.FITS:
        return replace(head, verdict=Verdict.FITS)
    if Verdict.DOES_NOT_FIT not in (one.verdict, two.verdict):
        how = "measure the plate's holes edge to edge, the tube and the rod with a calliper, or try a U-bolt through it"
        return replace(head, verdict=Verdict.CANNOT_TELL, measure=how)
    grow_legs = 0.5 * off if one.verdict is not Verdict.FITS else 0.0
    grow_clear = max(0.0, 0.5 * short) if two.verdict is not Verdict.FITS else 0.0
    grow = (grow_clear, grow_legs) if over else (grow_legs, grow_clear)
    return _metal(joint, head, along.value, across.value, hole, grow)


def _both(a: float | None, b: float | None) -> float | None:
    return None if a is None or b is None else math.hypot(a, b)


def _metal(joint: Joint, head: Answer, along: float, across: float, hole: Fact, grow: tuple[float, float]) -> Answer:
    done = slots("spring plate, four slots", along, across, hole.value, grow[0], grow[1], _face(joint))
    ways = [
        f"{abs(g):.2f} mm {'outward' if g > 0.0 else 'inward'} {way} the vehicle"
        for g, way in zip(grow, ("along", "across"), strict=True)
        if g
    ]
    each = f"each hole has to be lengthened {' and '.join(ways)}"
    web_rule, edge_rule = asked(joint, "hole-web"), asked(joint, "hole-edge-distance")
    web, edge = web_rule.value * hole.value, edge_rule.value * hole.value
    held = replace(head, reason=f"{head.reason}; {each}", source=edge_rule.source, rule="hole-edge-distance")
    fresh = (
        f"a new plate with holes {along + 2.0 * grow[0]:.1f} mm apart along and {across + 2.0 * grow[1]:.1f} mm "
        "across the vehicle"
    )
    between = math.inf if done.left.between_mm is None else done.left.between_mm
    thin = [f"{between:.2f} mm between slots where {web:.2f} mm is asked"] if between < web else []
    if done.left.bore_mm is not None and done.left.bore_mm < web:
        thin.append(f"{done.left.bore_mm:.2f} mm to the middle hole where {web:.2f} mm is asked")
    to_edge = None if done.left.edge_mm is None else done.left.edge_mm + 0.5 * hole.value
    if to_edge is not None and to_edge < edge:
        thin.append(f"{to_edge:.2f} mm from the slot's end to the edge where {edge:.2f} mm is asked")
    if thin:
        words = f"{held.reason}, which leaves too little metal: {'; '.join(thin)}"
        return replace(held, verdict=Verdict.DOES_NOT_FIT, reason=words, remedy=fresh)
    if to_edge is None:
        return replace(
            held, verdict=Verdict.CANNOT_TELL, reason=f"{held.reason}, and the edge of the plate is not known",
            measure="measure the spring plate's length along and width across the vehicle with a calliper",
        )  # fmt: skip
    work = Work(
        "spring plate", "slot", "its four holes",
        f"{each}; {to_edge:.2f} mm is left from the slot's end to the edge and {between:.2f} mm between slots",
        found=hole, true_to="middle of the four holes", figure=done.figure, feature="width of each hole",
        forbidden=("burning the slots out", "slotting one side only"),
    )  # fmt: skip
    return replace(held, verdict=Verdict.FITS_AFTER_WORK, remedy=work.words, works=(work,))


def _face(joint: Joint) -> Face:
    length, width = joint.size("plate length"), joint.size("plate width")
    thick, bore = joint.size("plate thickness"), joint.size("plate bore")
    outline: tuple[tuple[float, float], ...] = ()
    if length is not None and width is not None:
        x, y = 0.5 * length.value, 0.5 * width.value
        outline = ((-x, -y), (x, -y), (x, y), (-x, y))
    return Face(
        "spring plate", "its four holes", outline=outline, bore_mm=0.0 if bore is None else bore.value,
        thickness_mm=None if thick is None else thick.value, datum="middle of the four holes; x along the vehicle",
        shop="it holds the axle to its spring",
    )  # fmt: skip
