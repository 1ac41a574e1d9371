"""What a machining drawing shows: a flat plate with holes, or a turned part in section."""

from dataclasses import dataclass
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class Hole:
    """A hole at (x, y) [mm] from the figure's datum, seen from the worked side; x to the right, y up. ``old`` is one
    that is there already. ``slot_mm`` is how much longer than its diameter it is, along ``slot_rad`` from x; the place
    is then the middle of the slot. ``position_mm`` is the diameter of the zone its middle must lie in."""

    x_mm: float
    y_mm: float
    diameter_mm: float
    label: str = ""
    old: bool = False
    slot_mm: float = 0.0
    slot_rad: float = 0.0
    low_mm: float | None = None
    high_mm: float | None = None
    position_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Plate:
    """A flat part or the face of one. Its edge is a circle of ``round_mm``, or ``outline`` (closed, not repeated);
    ``bore_mm`` is the hole in the middle, 0 for none. ``datum`` says in words where (0, 0) is and what x points to.
    ``circles`` are pitch circles to be drawn: diameter [mm] and words."""

    title: str
    datum: str
    thickness_mm: float | None
    holes: tuple[Hole, ...]
    round_mm: float = 0.0
    outline: tuple[tuple[float, float], ...] = ()
    bore_mm: float = 0.0
    bore_low_mm: float | None = None
    bore_high_mm: float | None = None
    circles: tuple[tuple[float, str], ...] = ()
    at_true_size: bool = True
    """whether it is a template or DXF at 1:1 as well, not only a dimensioned drawing"""
    shop: str = ""
    """what it is where only a machine shop drills it, such as "a brake part"; "" where a careful builder may"""


@dataclass(frozen=True, slots=True)
class Step:
    """One length of a turned part: from outer to inner diameter [mm] (``inner_mm`` 0 for solid), with what is drawn
    beside each: ``outer_words`` and ``inner_words`` ("" for a size that does not matter). ``worked`` says which of the
    two surfaces is to be worked: outer, inner, both or "". ``chamfer_mm`` breaks every free edge of those at 45 deg, 0
    where none is asked for."""

    length_mm: float
    outer_mm: float
    inner_mm: float
    outer_words: str = ""
    inner_words: str = ""
    worked: str = ""
    length_words: str = ""
    chamfer_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Turned:
    """A turned part in half section: its steps one after the other along the axis, the first at the datum face."""

    title: str
    datum: str
    steps: tuple[Step, ...]


Figure: TypeAlias = Plate | Turned
