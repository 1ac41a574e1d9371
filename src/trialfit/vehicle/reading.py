"""What the builder wrote down, and what it was read with."""

import math
from dataclasses import dataclass, field
from enum import StrEnum

from trialfit.findings import Place


class ReadingKind(StrEnum):
    """The six kinds of reading."""

    TAPE = "tape"
    """distance between two hardpoints"""
    HEIGHT = "height"
    """of a hardpoint above the floor (z)"""
    OFFSET = "offset"
    """of a hardpoint from the chalked centre line, right positive (y)"""
    STATION = "station"
    """of a hardpoint along the centre line, rearward positive (x)"""
    ANGLE = "angle"
    """inclination of the line from the first point to the second, up positive; or, with four points, the
    unsigned angle between two lines"""
    SIZE = "size"
    """of a thing, by calliper or rule; tied to no hardpoint"""


@dataclass(frozen=True, slots=True)
class Instrument:
    """What a reading was taken with, and how far it errs.

    A maker's limit is taken as the half width of an even spread, so its standard deviation is limit / sqrt 3
    (GUM, JCGM 100:2008, 4.3.7). For a length ``L`` in whole metres, rounded up, the limit is
    ``limit + limit_per_m * ceil(L) + hook``; ``under_car`` is a second, independent limit for parallax, sag and
    reaching round things. Lengths in mm, angles in rad.
    """

    name: str
    measures: str
    """``length``, ``angle`` or ``size``"""
    limit: float
    limit_per_m: float = 0.0
    hook: float = 0.0
    under_car: float = 0.0
    source: str = ""

    def sd(self, value: float) -> float:
        """Standard deviation of one reading of ``value`` (mm or rad) [mm or rad].

        >>> round(DEFAULT_INSTRUMENTS["tape"].sd(1500.0), 3)
        1.266
        """
        metres = math.ceil(abs(value) / 1000.0)
        printed = self.limit + self.limit_per_m * metres + self.hook
        return math.hypot(printed, self.under_car) / math.sqrt(3.0)


_TAPE = dict(limit=0.3, limit_per_m=0.2, hook=0.2)
_TAPE_SOURCE = "Directive 2014/32/EU annex X (MI-008), class II, plus end hook"

DEFAULT_INSTRUMENTS: dict[str, Instrument] = {
    i.name: i
    for i in (
        Instrument("tape", "length", under_car=2.0, **_TAPE,
                   source=f"{_TAPE_SOURCE}; under the car 2 mm: common practice, no source"),
        Instrument("tape-blind", "length", under_car=4.0, **_TAPE,
                   source=f"{_TAPE_SOURCE}; ends not seen together 4 mm: common practice, no source"),
        Instrument("tape-bench", "length", under_car=0.5, **_TAPE,
                   source=f"{_TAPE_SOURCE}; part on the bench 0.5 mm: common practice, no source"),
        Instrument("plumb", "length", under_car=2.0, **_TAPE,
                   source=f"{_TAPE_SOURCE}; plumb bob to floor mark 2 mm: common practice, no source"),
        Instrument("rule", "size", limit=0.5, source="common practice, no source"),
        Instrument("calliper", "size", limit=0.05, under_car=0.1,
                   source="ISO 13385-1 (from memory); rusty part 0.1 mm: common practice, no source"),
        Instrument("digital", "angle", limit=math.radians(0.2), source="common practice, no source"),
        Instrument("dial", "angle", limit=math.radians(1.0), source="common practice, no source"),
    )
}
"""Instruments that need no entry in the build file. Keys are the names used there."""

DEFAULT_FOR_KIND: dict[ReadingKind, str] = {
    ReadingKind.TAPE: "tape",
    ReadingKind.HEIGHT: "tape",
    ReadingKind.OFFSET: "plumb",
    ReadingKind.STATION: "plumb",
    ReadingKind.ANGLE: "digital",
    ReadingKind.SIZE: "calliper",
}
"""Instrument taken when a reading names none."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One line of the notebook. ``values`` holds every repeat, mm or rad, signed as the kind says.

    ``identity`` is stable across edits elsewhere in the file: kind and names (``tape eye.L-pad.L``), with
    ``#2`` after the second of the same. ``sd`` is the builder's own "give or take" as a standard deviation, or None.
    """

    identity: str
    kind: ReadingKind
    points: tuple[str, ...]
    """TAPE 2, HEIGHT OFFSET STATION 1, ANGLE 2 or 4, SIZE 0 names"""
    values: tuple[float, ...]
    instrument: Instrument
    size: str = ""
    """name of the size, for SIZE only"""
    sd: float | None = None
    typed: str = ""
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Hint:
    """A sign the builder gives so that a mirror image is not taken: ``point`` lies on ``side`` of ``of``.

    ``side`` is one of left, right, ahead, behind, above, below. ``of`` is another hardpoint; "" means the
    centre line for left and right, the datum for ahead and behind, the floor for above and below.
    """

    point: str
    side: str
    of: str = ""
    where: Place | None = field(default=None, compare=False)
