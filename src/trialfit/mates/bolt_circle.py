"""The circle through evenly spaced holes, from what can be measured of them."""

import math

from trialfit.mates.pattern import CAUTION
from trialfit.parts import Fact
from trialfit.standards import refuse_not_positive
from trialfit.sums import Ask, a_sum

EDGES = ("inner", "outer", "same", "centre to far")
"""Which edges a distance was taken between: the two nearest, the two farthest, the same side of both (which is middle
to middle), or the middle of one and the far edge of the other."""
_COUNT = Ask("count", "number", "number of holes or studs, evenly spaced")
_STEPS = Ask("steps", "number", "1 between neighbours, 2 over one hole; half the count is straight across", 1.0)


@a_sum(
    "bolt-circle-from-chord",
    title="Bolt circle from the distance of two holes, middle to middle",
    asks=(_COUNT, Ask("chord", "length", "distance of two holes, middle to middle"), _STEPS),
    gives="diameter of the circle through the holes",
    dimension="length",
    unit="mm",
    words="chord / sin(180 deg * steps / count); for 5 holes neighbour to neighbour 1.7013 times the chord",
    source="geometry",
    caution=CAUTION,
)
def bolt_circle_from_chord(count: float, chord: float, steps: float) -> float:
    """Diameter [mm] of the circle through evenly spaced holes from the distance of two of them.

    Uneven holes are left out: measure all round and take the mean. An error of the chord grows by the same factor,
    1.7 for neighbours among 5 and 2.6 among 8; the widest chord has the least.

    Raises
    ------
    ValueError
        for a count outside 3 to 20, steps that are no whole number from 1 to half the count, or a chord not positive

    Source: geometry.

    >>> round(bolt_circle_from_chord(5.0, 67.183, 1.0), 2), bolt_circle_from_chord(4.0, 100.0, 2.0)
    (114.3, 100.0)
    """
    refuse_not_positive(chord=(chord, "mm"))
    return chord / math.sin(_half_angle_rad(count, steps))


def _half_angle_rad(count: float, steps: float) -> float:
    if count != int(count) or not 3 <= count <= 20:
        raise ValueError(f"count is {count:g}; it must be a whole number from 3 to 20")
    if steps != int(steps) or not 1 <= steps <= count // 2:
        raise ValueError(
            f"steps is {steps:g}; it must be a whole number from 1 to {int(count // 2)} for {int(count)} holes"
        )
    return math.pi * steps / count


@a_sum(
    "bolt-circle-by-edges",
    title="Bolt circle from the edges of two holes",
    asks=(
        _COUNT,
        Ask("distance", "length", "distance between the edges of two holes or studs"),
        Ask("hole", "length", "diameter of hole or stud where it was measured"),
        Ask("edges", "text", "which edges: inner, outer, same, or centre to far", "inner", EDGES),
        _STEPS,
    ),
    gives="diameter of the circle through the holes",
    dimension="length",
    unit="mm",
    words="chord / sin(180 deg * steps / count); chord = distance + hole for inner edges, distance - hole for outer "
    "ones, "
    "distance for the same ones, distance - hole/2 from the middle to the far edge",
    source="geometry",
    caution=CAUTION,
)
def bolt_circle_by_edges(count: float, distance: float, hole: float, edges: str, steps: float) -> float:
    """Diameter [mm] of the circle through evenly spaced holes of one size from the distance of their edges.

    Raises
    ------
    ValueError
        as :func:`bolt_circle_from_chord`, for an unknown word, or when the hole is as big as the distance

    Source: geometry.

    >>> round(bolt_circle_by_edges(5.0, 55.183, 12.0, "inner", 1.0), 2)
    114.3
    """
    refuse_not_positive(distance=(distance, "mm"), hole=(hole, "mm"))
    if edges not in EDGES:
        raise ValueError(f"edges is '{edges}'; it must be one of: {', '.join(EDGES)}")
    more = {"inner": hole, "outer": -hole, "same": 0.0, "centre to far": -hole / 2.0}[edges]
    if distance + more <= 0.0:
        raise ValueError(f"a hole of {hole:g} mm cannot lie within {distance:g} mm from edge to edge")
    return bolt_circle_from_chord(count, distance + more, steps)


def known_circle(count: int | None, circle: Fact | None, neighbours: Fact | None) -> Fact | None:
    """The bolt circle as written down, or else worked out from the distance of neighbours with its doubt.

    Parameters
    ----------
    count : int or None
        number of holes [-]
    circle : Fact or None
        the circle itself [mm]
    neighbours : Fact or None
        distance of neighbours, middle to middle [mm]

    Source: geometry.

    >>> known_circle(5, None, Fact(67.183, 0.1))
    Fact(value=114.29854..., sd=0.17013..., source='from neighbours, middle to middle')
    """
    if circle is not None or neighbours is None or count is None or not 3 <= count <= 20:
        return circle
    factor = bolt_circle_from_chord(float(count), 1.0, 1.0)
    sd = None if neighbours.sd is None else neighbours.sd * factor
    return Fact(neighbours.value * factor, sd, "from neighbours, middle to middle")
