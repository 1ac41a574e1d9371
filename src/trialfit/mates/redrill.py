"""A new circle of holes in a face that has one already."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from trialfit.mates.answer import Work
from trialfit.mates.figure import Hole, Plate
from trialfit.mates.holes import Face, Webs, on_circle, webs
from trialfit.standards import rule
from trialfit.standards.fits import limits

CAUTION = (
    "Holes in a hub, wheel, axle flange or brake bracket carry lives. Have them laid out and bored on a machine from "
    "the "
    "register, never drilled by hand through a wheel or filed, and have the part looked over by someone licensed where "
    "the law asks for it; some places forbid redrilled hubs and slotted wheel holes altogether."
)


def best_turn_between_rad(count_old: int, count_new: int) -> float:
    """Turn from an old hole to the nearest new one that keeps evenly spaced old and new holes farthest apart.

    The nearest two of the holes can never be farther apart than half the angle that the two counts share: 36 deg for
    5 holes among 5, 9 deg for 5 among 4.

    Returns
    -------
    float
        turn [rad]

    Raises
    ------
    ValueError
        for a count below 1

    Source: geometry.

    >>> [round(math.degrees(best_turn_between_rad(*counts)), 3) for counts in ((5, 5), (4, 5), (6, 5), (4, 8))]
    [36.0, 9.0, 6.0, 22.5]
    """
    if min(count_old, count_new) < 1:
        raise ValueError("a circle has at least 1 hole")
    return math.pi / math.lcm(count_old, count_new)


@dataclass(frozen=True, slots=True)
class Redrilled:
    """A new circle of holes in a face that has one already: the turn from old to new [rad], the metal left, what is
    asked of it [mm], whether it is enough, and the work: redrilling, or a plate in between where only the face is too
    small for it, or None. ``enough`` is None when the size of the face is unknown, so that nobody can say."""

    turn_rad: float
    webs: Webs
    web_asked_mm: float
    edge_asked_mm: float
    enough: bool | None
    reason: str
    work: Work | None


def redrill(
    face: Face,
    count_old: int,
    circle_old_mm: float,
    hole_old_mm: float,
    count_new: int,
    circle_new_mm: float,
    hole_new_mm: float,
    *,
    hole_zone: str = "H13",
    position_mm: float | None = None,
    choices: Mapping[str, str] | None = None,
) -> Redrilled:
    """Where a new circle of holes goes among the old ones, and whether enough metal is left.

    The new circle is turned to where the least web is greatest. Counterbores, seats and the ring of metal behind the
    face are left out, which errs on the unsafe side: look at the back of the flange as well.

    Parameters
    ----------
    face : Face
        what is drilled
    count_old, count_new : int
        numbers of holes [-]
    circle_old_mm, circle_new_mm, hole_old_mm, hole_new_mm : float
        diameters of the circles and of the holes [mm]
    hole_zone : str
        tolerance zone of the new holes; H13 is the medium series for clearance holes
    position_mm : float, optional
        diameter of the zone in which each new middle must lie [mm]; by rule when it is not given

    Raises
    ------
    ValueError
        for a size that is not positive, or a count outside 2 to 20

    Source: geometry; metal asked for by rules hole-web and hole-edge-distance.

    >>> done = redrill(Face("axle flange", "face", round_mm=160.0, bore_mm=60.0), 5, 120.65, 13.0, 5, 114.3, 13.0)
    >>> done.enough, round(math.degrees(done.turn_rad)), round(done.webs.between_mm, 2)
    (True, 36, 23.43)
    """
    for name, count in (("old", count_old), ("new", count_new)):
        if not 2 <= count <= 20:
            raise ValueError(f"there are {count} {name} holes; it must be 2 to 20")
    chosen = choices or {}
    web_rule = rule("hole-web", chosen.get("hole-web")).in_force
    edge_rule = rule("hole-edge-distance", chosen.get("hole-edge-distance")).in_force
    position = position_mm or rule("hole-position", chosen.get("hole-position")).in_force.value
    turn = best_turn_between_rad(count_old, count_new)
    old = [Hole(float(x), float(y), hole_old_mm, "old", old=True) for x, y in on_circle(count_old, circle_old_mm)]
    low, high = limits(hole_new_mm, hole_zone)
    new = [
        Hole(float(x), float(y), hole_new_mm, "new", low_mm=low, high_mm=high, position_mm=position)
        for x, y in on_circle(count_new, circle_new_mm, turn)
    ]
    left = webs(new, face, old)
    web_asked, edge_asked = web_rule.value * hole_new_mm, edge_rule.value * hole_new_mm
    reason, enough = metal_left(left, face, hole_new_mm, web_asked, edge_asked)
    circles = (
        (circle_old_mm, f"old circle {circle_old_mm:.2f} mm"),
        (circle_new_mm, f"new circle {circle_new_mm:.2f} mm"),
    )
    if enough is not False:
        words = (
            f"drill {count_new} holes of {hole_new_mm:.2f} mm on a circle of {circle_new_mm:.2f} mm, turned "
            f"{math.degrees(turn):.1f} deg from the old holes; each within {position:.2f} mm diameter of its place"
        )
        plate = Plate(
            f"{face.part}: {count_new} holes on {circle_new_mm:.2f} mm",
            face.datum,
            face.thickness_mm,
            (*old, *new),
            face.round_mm,
            face.outline,
            face.bore_mm,
            circles=circles,
            shop=face.shop,
        )
        work = Work(
            face.part,
            "redrill",
            face.place,
            words,
            true_to=face.true_to,
            runout_mm=position / 2.0,
            forbidden=face.forbidden,
            figure=plate,
        )
        return Redrilled(turn, left, web_asked, edge_asked, enough, reason, work)
    if left.between_mm is not None and left.between_mm < web_asked:
        return Redrilled(
            turn, left, web_asked, edge_asked, enough, f"{reason}; an adapter plate would have no more", None
        )
    return Redrilled(
        turn, left, web_asked, edge_asked, enough, reason, _adapter(face, old, new, circles, edge_asked, turn)
    )


def _adapter(
    face: Face,
    old: Sequence[Hole],
    new: Sequence[Hole],
    circles: tuple[tuple[float, str], ...],
    edge_mm: float,
    turn_rad: float,
) -> Work:
    """A plate with holes for the old studs and studs of its own, where the face itself has too little metal."""
    round_mm = max(diameter for diameter, _ in circles) + 2.0 * edge_mm
    holes = tuple(replace(hole, old=False, label="for the old stud, nut sunk") for hole in old)
    own = tuple(replace(hole, label="stud of its own") for hole in new)
    figure = Plate(
        f"adapter plate for {face.part}", face.datum, None, (*holes, *own), round_mm, (), face.bore_mm, circles=circles,
        shop=face.shop,
    )  # fmt: skip
    words = (
        f"an adapter plate of at least {round_mm:.1f} mm outside, with {len(old)} holes for the old studs and "
        f"{len(new)} "
        f"studs of its own, turned {math.degrees(turn_rad):.1f} deg; thick enough to sink the old nuts below its "
        "face and "
        "to carry its own studs, centred on the register, with a register of its own; its thickness moves "
        "what is bolted on out by as much"
    )
    return Work(
        face.part,
        "make a plate",
        f"on the {face.place}",
        words,
        true_to="its own bore",
        forbidden=(*face.forbidden, "an adapter that is not centred by the register"),
        figure=figure,
    )


def metal_left(left: Webs, face: Face, hole_mm: float, web_mm: float, edge_mm: float) -> tuple[str, bool | None]:
    """What is left round new holes against what is asked, and whether it is enough; None when it cannot be told."""
    short: list[str] = []
    told: list[str] = []
    unknown: list[str] = []
    between = left.between_mm if left.between_mm is not None else math.inf
    (told if between >= web_mm else short).append(f"{between:.2f} mm between holes where {web_mm:.2f} mm is asked")
    if left.edge_mm is None:
        unknown.append("the edge of the face is not known")
    else:
        middle = left.edge_mm + hole_mm / 2.0
        (told if middle >= edge_mm else short).append(
            f"{middle:.2f} mm from hole middle to edge where {edge_mm:.2f} mm is asked"
        )
    if left.bore_mm is not None:
        (told if left.bore_mm >= web_mm else short).append(
            f"{left.bore_mm:.2f} mm to the bore where {web_mm:.2f} mm is asked"
        )
    if short:
        return "too little metal is left: " + "; ".join(short), False
    if unknown:
        return f"{'; '.join(told)}; but {'; '.join(unknown)}", None
    return "metal left: " + "; ".join(told), True
