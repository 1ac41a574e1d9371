"""Wheels: common bolt circles, seats of nuts, threads of studs."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from trialfit.standards.ranges import refuse_not_positive
from trialfit.standards.table import table

SEAT_FORMS = ("taper", "ball", "flat", "shank")
"""Forms of a wheel nut's seat: cone, part of a ball, flat face or washer, and flat face with a shank in the wheel."""
_WIDE = 2.5758293035489004
"""Half width of the 99 % interval of a normal error, in standard deviations [-]."""


@dataclass(frozen=True, slots=True)
class Circle:
    """A common bolt circle: its designation, number of holes, diameter [mm], and how else it is written."""

    name: str
    count: int
    circle_mm: float
    also_written: str


@dataclass(frozen=True, slots=True)
class Seat:
    """A wheel nut's seat: its name, form, full cone angle [rad] or ball radius [mm], and whether it centres."""

    name: str
    form: str
    angle_rad: float | None
    radius_mm: float | None
    centres: bool


def bolt_circles() -> tuple[Circle, ...]:
    """Every common bolt circle, by number of holes and diameter.

    Source: common practice, no source.
    """
    return tuple(
        Circle(row["circle"], int(row["count"]), float(row["mm"]), row["also_written"])
        for row in table("bolt_circles").rows
    )


def bolt_circle_called(name: str) -> Circle:
    """The bolt circle of that designation, in millimetres or in inches.

    Parameters
    ----------
    name : str
        ``5x120.65``, ``5x4.75``, ``5 on 4 3/4`` is refused: write the decimal

    Raises
    ------
    ValueError
        when it is not among the common ones, naming those with as many holes

    Source: common practice, no source.

    >>> bolt_circle_called("5x4.75").circle_mm, bolt_circle_called("5 x 120").circle_mm
    (120.65, 120.0)
    """
    text = "".join(name.split()).replace("×", "x").replace("X", "x").replace("on", "x")
    count, _, size = text.partition("x")
    try:
        wanted = (int(count), float(size))
    except ValueError:
        raise ValueError(f"'{name}' is no bolt circle; write 5x120.65 or 5x4.75") from None
    known = bolt_circles()
    for circle in known:
        inch = float(circle.also_written.partition("x")[2]) if circle.also_written else None
        if circle.count == wanted[0] and wanted[1] in (circle.circle_mm, inch):
            return circle
    beside = ", ".join(c.name for c in known if c.count == wanted[0]) or "counts 4, 5, 6 and 8"
    raise ValueError(f"'{name}' is not among the common bolt circles; known: {beside}")


def circles_near(count: int, circle_mm: float, sd_mm: float) -> tuple[Circle, ...]:
    """Common circles of that count which a measured one may be, nearest first: those inside its 99 % interval.

    More than one means that the gauge cannot tell them apart. None means an uncommon circle or a misread one.

    Parameters
    ----------
    count : int
        number of holes [-]
    circle_mm, sd_mm : float
        diameter as measured and its standard deviation [mm]

    Raises
    ------
    ValueError
        for an amount that is not positive

    Source: GUM (JCGM 100:2008), interval of a normal error; common practice for the circles.

    >>> [c.name for c in circles_near(5, 120.4, 0.2)]
    ['5x120.65', '5x120']
    >>> [c.name for c in circles_near(5, 120.6, 0.05)]
    ['5x120.65']
    """
    refuse_not_positive(circle=(circle_mm, "mm"), standard_deviation=(sd_mm, "mm"))
    near = [c for c in bolt_circles() if c.count == count and abs(c.circle_mm - circle_mm) <= _WIDE * sd_mm]
    return tuple(sorted(near, key=lambda c: abs(c.circle_mm - circle_mm)))


def nut_seats() -> tuple[Seat, ...]:
    """Every seat of a wheel nut that is known here.

    Source: common practice, no source; radii from memory.
    """
    return tuple(_seat(row) for row in table("nut_seats").rows)


def _seat(row: Mapping[str, str]) -> Seat:
    angle = math.radians(float(row["angle_deg"])) if row["angle_deg"] else None
    radius = float(row["radius_mm"]) if row["radius_mm"] else None
    return Seat(row["seat"], row["form"], angle, radius, row["centres"] == "yes")


def seat_centres(form: str) -> bool:
    """Whether nuts of that form bring the wheel to the middle by themselves.

    Raises
    ------
    ValueError
        for a form that is unknown

    Source: common practice, no source.

    >>> seat_centres("taper"), seat_centres("flat")
    (True, False)
    """
    for seat in nut_seats():
        if seat.form == form:
            return seat.centres
    raise ValueError(f"no seat has the form '{form}'; known: {', '.join(SEAT_FORMS)}")


def wheel_threads() -> tuple[str, ...]:
    """Threads in use on wheel studs of road vehicles.

    Source: from memory.
    """
    return table("wheel_studs").keys()
