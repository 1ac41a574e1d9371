"""A laid exhaust as one thing after another along its centre line: straights, bends and parts, with its round welds.

Everything that asks how the exhaust flows, heats, hangs or comes apart takes this record.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.lay import LaidRoute
from trialfit.exhaust.parts import BELLOWS, PartSpot, spots_of
from trialfit.exhaust.pieces import CutList
from trialfit.geometry.centreline import Mitred, Straight
from trialfit.standards import density_kg_mm3
from trialfit.structure.tube import tube_mass_per_length

Floats = NDArray[np.float64]

NEAR_MM = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class Element:
    """One thing of the chain.

    ``kind`` is straight, bend, pie-cut bend, or the kind of the part (muffler, catalyst, resonator, bellows, joint).
    ``from_mm`` and ``length_mm`` count along the centre line from the outlet. ``start``, ``end`` (3,) [mm] are its
    ends, ``way_in``, ``way_out`` (3,) the unit ways downstream there. ``outside_mm`` and ``wall_mm`` are the pipe's;
    ``width_mm`` and ``height_mm`` a part's body, ``wide`` (3,) the unit way of its width. ``radius_mm``, ``turn_rad``
    and ``joints`` (mitres of a pie cut) belong to bends. ``mass_kg`` is None for a part that nobody weighed; ``loss``
    a part's pressure loss in velocity heads, None where nobody said.
    """

    name: str
    kind: str
    from_mm: float
    length_mm: float
    start: Floats
    end: Floats
    way_in: Floats
    way_out: Floats
    outside_mm: float
    wall_mm: float
    mass_kg: float | None
    radius_mm: float = 0.0
    turn_rad: float = 0.0
    joints: int = 0
    width_mm: float = 0.0
    height_mm: float = 0.0
    wide: Floats | None = None
    loss: float | None = None

    @property
    def to_mm(self) -> float:
        """Where it ends along the centre line [mm]."""
        return self.from_mm + self.length_mm

    @property
    def is_part(self) -> bool:
        """Whether it is a part on the pipe and no pipe itself."""
        return self.kind not in (STRAIGHT, BEND, PIE_CUT)


STRAIGHT, BEND, PIE_CUT = "straight", "bend", "pie-cut bend"
JOINT = "joint"
"""kind of a part that comes apart by hand"""


@dataclass(frozen=True, slots=True, eq=False)
class Weld:
    """A round weld: its letter on the cut list, where it is along the centre line, its place and the way downstream."""

    letter: str
    at_mm: float
    place: Floats
    way: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Chain:
    """The whole exhaust, outlet to tail."""

    route: str
    elements: tuple[Element, ...]
    welds: tuple[Weld, ...]
    material: str = "steel"

    @property
    def length_mm(self) -> float:
        """Length along the centre line [mm]."""
        return self.elements[-1].to_mm

    @property
    def mass_kg(self) -> float | None:
        """Mass of all of it [kg]; None while a part's is unknown."""
        masses = [e.mass_kg for e in self.elements]
        return None if any(m is None for m in masses) else math.fsum(m for m in masses if m is not None)


def chain_of(laid: LaidRoute, cuts: CutList, material: str = "steel") -> Chain:
    """The chain of a laid route.

    Parts that cannot be placed are left out; the route's findings name them. Mass and loss of a part are those of the
    wish of the same name.

    Parameters
    ----------
    laid : LaidRoute
        with a centre line
    cuts : CutList
        of the same route
    material : str
        of the pipe, a row of the density table

    Raises
    ------
    ValueError
        when the route has no centre line, or the material is not known
    """
    line = laid.centreline
    if line is None:
        raise ValueError(f"{laid.plan.name} cannot be laid, so it is no chain; see its findings")
    spots, _ = spots_of(laid.plan, laid.points_mm, laid.sizes)
    left = sorted(spots, key=lambda s: (s.leg, s.start_mm))
    per_mm = tube_mass_per_length(laid.diameter_mm, laid.wall_mm, density_kg_mm3(material))
    wishes = {} if laid.plan.wish is None else {p.name: p for p in laid.plan.wish.parts}
    found: list[Element] = []

    def pipe(name: str, length: float, start: Floats, end: Floats, ways: tuple[Floats, Floats], **bend: float) -> None:
        here = found[-1].to_mm if found else 0.0
        kind = STRAIGHT if "radius_mm" not in bend else PIE_CUT if bend.get("joints") else BEND
        found.append(Element(name, kind, here, length, start, end, *ways, laid.diameter_mm, laid.wall_mm,
                             per_mm * length, radius_mm=bend.get("radius_mm", 0.0), turn_rad=bend.get("turn_rad", 0.0),
                             joints=int(bend.get("joints", 0))))

    for stretch in line.stretches:
        if not isinstance(stretch, Straight):
            joints = stretch.joints if isinstance(stretch, Mitred) else 0
            ways = stretch.tangent_at(0.0), stretch.tangent_at(stretch.length_mm)
            pipe(f"bend at corner {stretch.corner}", stretch.length_mm, stretch.start, stretch.end, ways,
                 radius_mm=stretch.radius_mm, turn_rad=stretch.turn_rad, joints=joints)
            continue
        way = stretch.tangent_at(0.0)
        at = stretch.start
        while left and (offset := _on(left[0], at, way, stretch.end)) is not None:
            spot = left.pop(0)
            if offset > NEAR_MM:
                pipe(f"straight before {spot.part.name}", offset, at, spot.start, (way, way))
            wish = wishes.get(spot.part.name)
            here = found[-1].to_mm if found else 0.0
            found.append(Element(
                spot.part.name, spot.part.kind, here, spot.length_mm, spot.start, spot.end, way, way, laid.diameter_mm,
                laid.wall_mm, wish.mass_kg if wish is not None and wish.mass_kg > 0.0 else None,
                width_mm=spot.width_mm, height_mm=spot.height_mm, wide=spot.wide,
                loss=None if wish is None else wish.loss))
            at = spot.end
        rest = float((stretch.end - at) @ way)
        if rest > NEAR_MM:
            pipe("straight", rest, at, stretch.end, (way, way))
    return Chain(laid.plan.name, tuple(found), _welds(laid, cuts), material)


def _on(spot: PartSpot, at: Floats, way: Floats, end: Floats) -> float | None:
    """How far ahead of ``at`` a part begins on the straight to ``end``; None when it is not on it."""
    ahead = spot.start - at
    offset = float(ahead @ way)
    off = float(np.linalg.norm(ahead - offset * way))
    here = offset >= -NEAR_MM and float((end - spot.start) @ way) >= spot.length_mm - NEAR_MM
    return max(offset, 0.0) if here and off <= NEAR_MM and float(spot.along @ way) > 0.999 else None


def _welds(laid: LaidRoute, cuts: CutList) -> tuple[Weld, ...]:
    line = laid.centreline
    assert line is not None
    welds = []
    here = 0.0
    for piece in cuts.pieces[:-1]:
        here = min(here + piece.length_to_cut_mm, line.length_mm)
        welds.append(Weld(piece.end, here, line.point_at(here), line.tangent_at(here)))
    return tuple(welds)


def sections(chain: Chain) -> tuple[tuple[Element, ...], ...]:
    """What comes off in one piece: the chain parted at its joints, each of which stays with what lies before it.

    Nothing else parts it: a weld cannot be undone, and a bellows is welded in unless a joint stands on either side of
    it."""
    found: list[list[Element]] = [[]]
    for element in chain.elements:
        found[-1].append(element)
        if element.kind == JOINT:
            found.append([])
    return tuple(tuple(part) for part in found if part)


def section_name(part: Sequence[Element], number: int) -> str:
    """What a section is called on every paper: its number and the parts on it.

    >>> section_name((), 2)
    'section 2'
    """
    parts = [e.name for e in part if e.is_part and e.kind != JOINT]
    return f"section {number}" + (f" with {' and '.join(parts)}" if parts else "")


def loose_bellows(chain: Chain) -> tuple[str, ...]:
    """Names of the bellows with a joint on either side, which come off alone; the others are welded in."""
    kinds = ["", *(e.kind for e in chain.elements), ""]
    return tuple(e.name for n, e in enumerate(chain.elements, 1)
                 if e.kind == BELLOWS and kinds[n - 1] == kinds[n + 1] == JOINT)
