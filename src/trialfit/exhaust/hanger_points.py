"""What the builder says about hanging, where a rod takes hold for each point named, and the records of a choice."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.chain import BEND, STRAIGHT, Chain, Element
from trialfit.exhaust.growth import growth_by_coefficient
from trialfit.exhaust.hanger_rod import Bracket, BracketLoad, NoRod, Rod, RodShape, rod_give, rod_to
from trialfit.exhaust.hanging import Grip, OutletHold, point_on
from trialfit.exhaust.isolators import Isolator
from trialfit.findings import Finding, Place
from trialfit.standards import expansion_per_k, refuse_outside

Floats = NDArray[np.float64]
Xyz = tuple[float, float, float]

WRITTEN_MM = 0.02
"""By how much a place at the end of a rail may lie past it: lengths are written rounded [mm]."""
HEAVY_KINDS = ("muffler", "catalyst", "resonator")
"""Parts beside which a hanger belongs."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A point or hole of the frame that a hanger may use: its place [mm] and its doubt, ``kind`` bolt or weld, whether
    it is ``allowed`` (and why not), what a hanger there costs, the most it may carry [N] (None: as the rubber), and
    its bracket, if it needs one."""

    name: str
    xyz_mm: Xyz
    kind: str
    allowed: bool = True
    why_not: str = ""
    sd_mm: float = 0.0
    price: float = 1.0
    most_n: float | None = None
    bracket: Bracket | None = None
    where: Place | None = field(default=None, compare=False)

    def __post_init__(self) -> None:
        if self.kind not in ("bolt", "weld"):
            raise ValueError(f"{self.name}: kind of hanger is '{self.kind}'; write bolt or weld")
        refuse_outside(f"price of {self.name}", self.price, 0.0, 1e6, "", open_low=True)


@dataclass(frozen=True, slots=True)
class Rail:
    """A stretch of frame on which a hanger may sit anywhere, looked at every ``step_mm`` from ``start_mm`` on."""

    name: str
    start_mm: Xyz
    end_mm: Xyz
    step_mm: float
    kind: str
    allowed: bool = True
    why_not: str = ""
    sd_mm: float = 0.0
    price: float = 1.0
    bracket: Bracket | None = None
    where: Place | None = field(default=None, compare=False)

    def candidates(self) -> tuple[Candidate, ...]:
        """The places along it, both ends included.

        Raises
        ------
        ValueError
            for a step outside 10 to 1000 mm
        """
        return tuple(self.candidate(s) for s in self.steps())

    def steps(self) -> tuple[float, ...]:
        """How far along it the places lie [mm]; errors as :meth:`candidates`."""
        refuse_outside(f"step along {self.name}", self.step_mm, 10.0, 1000.0, "mm")
        length = math.dist(self.start_mm, self.end_mm)
        return (*np.arange(0.0, length - 1.0, self.step_mm).tolist(), length)

    def candidate(self, along_mm: float) -> Candidate:
        """The place so far along it.

        Raises
        ------
        ValueError
            beyond its ends
        """
        length = math.dist(self.start_mm, self.end_mm)
        refuse_outside(f"along {self.name}", along_mm, 0.0, length + WRITTEN_MM, "mm")
        first, last = np.array(self.start_mm), np.array(self.end_mm)
        x, y, z = (float(v) for v in first + (last - first) * (along_mm / length if length else 0.0))
        return Candidate(f"{self.name} at {along_mm:.0f} mm", (x, y, z), self.kind, self.allowed, self.why_not,
                         self.sd_mm, self.price, None, self.bracket, self.where)


@dataclass(frozen=True, slots=True)
class Idle:
    """The engine at idle: slowest and fastest [rpm], cylinders, strokes of its cycle."""

    rpm: tuple[float, float]
    cylinders: int
    strokes: int = 4

    def firing_hz(self) -> tuple[float, float]:
        """Firing frequency, slowest and fastest [Hz].

        Raises
        ------
        ValueError
            outside 200 to 3000 rpm, 1 to 16 cylinders, 2 or 4 strokes
        """
        refuse_outside("idle", self.rpm[0], 200.0, 3000.0, "rpm")
        refuse_outside("idle", self.rpm[1], self.rpm[0], 3000.0, "rpm")
        refuse_outside("cylinders", self.cylinders, 1.0, 16.0, "")
        if self.strokes not in (2, 4):
            raise ValueError(f"strokes is {self.strokes}; write 2 or 4")
        each = self.cylinders / (self.strokes / 2.0) / 60.0
        return self.rpm[0] * each, self.rpm[1] * each


@dataclass(frozen=True, slots=True)
class Growth:
    """What heat does when nothing holds the pipe: every length grows by this share, least and most [-], from the
    outlet, which itself is carried by ``outlet_mm``, the engine's own growth."""

    share: tuple[float, float]
    outlet_mm: Xyz = (0.0, 0.0, 0.0)


def growth_of(metal: str, metal_k: tuple[float, float], cold_k: float = 293.15, outlet_mm: Xyz = (0.0, 0.0, 0.0)
              ) -> Growth:
    """Free growth from the mean temperature of the pipe's own wall, least and most.

    Parameters
    ----------
    metal : str
        grade, a row of the expansion table
    metal_k : pair
        mean over the length, least and most [K]
    cold_k : float
        while it is hung [K]
    outlet_mm : triple
        how far the hot engine carries the outlet [mm]

    Raises
    ------
    ValueError
        for an amount out of range or a grade that is not in the table

    Source: table of linear expansion coefficients of steels; stainless data sheets (from memory).

    >>> round(growth_of("1010", (593.15, 593.15)).share[0] * 3000.0, 2)
    10.98
    """
    low, high = (growth_by_coefficient(1.0, t - cold_k, expansion_per_k(metal)) for t in metal_k)
    return Growth((low, high), outlet_mm)


@dataclass(frozen=True, slots=True)
class HangerWish:
    """What the builder says about hanging: ``most`` hangers at most, the rubber of each candidate by name ("" for all
    others), how rods are made and how far they may reach [mm], give of the outlet joint (None: fixed), rates of the
    bellows along their axis [N/mm] (those left out take the usual range), idle, growth, versions of rules, the most
    that the outlet joint may be bent by [N*mm]."""

    candidates: tuple[Candidate, ...]
    isolators: Mapping[str, Isolator]
    rails: tuple[Rail, ...] = ()
    most: int = 5
    rod: RodShape = field(default_factory=RodShape)
    reach_mm: float = 350.0
    outlet: OutletHold | None = None
    bellows_n_mm: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    idle: Idle | None = None
    growth: Growth | None = None
    versions: Mapping[str, str] = field(default_factory=dict)
    outlet_most_n_mm: float | None = None
    soft_bends: bool = True
    pipe_sd_mm: float = 0.0
    where: Place | None = field(default=None, compare=False)


class NoHangers(ValueError):
    """There is nothing to hang on; the text names the nearest thing that works."""


Range = tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Hanger:
    """A chosen hanger: its candidate, where it holds the pipe, its rod, the force on the rubber upright while cold and
    under the whole weight, least and most [N]; its size cold and hot; the growth that the pipe's end of the rod would
    have if nothing held it, hot (3,) [mm]; the force that growth alone makes, least and most; the bend of the rod and
    what the bracket sees with bumps."""

    candidate: Candidate
    at_mm: float
    foot: Floats
    rod: Rod
    isolator: Isolator
    upright_n: Range
    cold_n: Range
    hot_n: Range
    growth_mm: Floats
    growth_n: Range
    stretch_mm: Range
    rod_mpa: Range
    bracket: BracketLoad | None
    length_sd_mm: float


@dataclass(frozen=True, slots=True)
class WeldLoad:
    """Bending in the pipe at a round weld ("outlet" for the outlet joint): under the weight alone, and with bumps and
    growth [N*mm], least and most; the stress of the latter [MPa]."""

    letter: str
    at_mm: float
    still_n_mm: Range
    worst_n_mm: Range
    stress_mpa: Range


@dataclass(frozen=True, slots=True)
class Dropped:
    """A candidate that no rod can use, and why."""

    candidate: Candidate
    why: str


@dataclass(frozen=True, slots=True)
class Tried:
    """What the search looked at: choices of the candidates that keep the spacing, how many of them were worked, the
    price of the one taken and whether it ``carries`` the pipe, the least that any that carries it can cost (None: there
    is none), whether all this is ``proved``, and whether ``all`` that cost as much were looked at for the smallest use
    and the quietest."""

    choices: int
    worked: int
    price: float
    carries: bool
    bound: float | None
    proved: bool
    all: bool
    decided: bool = False
    """the builder named the places himself, and nothing was looked for"""

    @property
    def gap(self) -> float | None:
        """How much dearer the choice may be than the least dear one that carries; None where it does not carry."""
        return max(self.price - self.bound, 0.0) if self.carries and self.bound is not None else None


@dataclass(frozen=True, slots=True, eq=False)
class HangerPlan:
    """The choice, and what it does. ``modes_hz`` are ranges over the stiffness of rubber and bellows."""

    route: str
    hangers: tuple[Hanger, ...]
    welds: tuple[WeldLoad, ...]
    outlet_n: Range
    sag_mm: Range
    modes_hz: tuple[Range, ...]
    weight_n: float
    dropped: tuple[Dropped, ...]
    tried: Tried
    findings: tuple[Finding, ...]


SLIDES_MM = (0.0, 20.0, -20.0, 40.0, -40.0, 70.0, -70.0)
"""How far along the pipe a rod's weld is moved from the nearest place where its bends need the room [mm]."""


@dataclass(frozen=True, slots=True, eq=False)
class Seat:
    """A candidate with its rod on the pipe."""

    candidate: Candidate
    isolator: Isolator
    at_mm: float
    foot: Floats
    rod: Rod
    grip: Grip


def _standing(element: Element, way: Floats, out: Floats) -> float:
    """From the centre line to the skin of what the rod is welded to, in the unit way ``out``."""
    if not element.is_part or element.wide is None or element.width_mm <= 0.0:
        return 0.5 * max(element.outside_mm, element.width_mm if element.is_part else 0.0)
    up = np.cross(way, element.wide)
    across, high = float(out @ element.wide), float(out @ up)
    return 1.0 / math.hypot(across / (0.5 * element.width_mm), high / (0.5 * element.height_mm))


def _holdable(element: Element) -> bool:
    return element.kind in (STRAIGHT, BEND, *HEAVY_KINDS)


def _nearest(chain: Chain, point: Floats) -> tuple[float, Element] | None:
    """Station nearest to a point on what a rod may be welded to, ends kept clear of."""
    best: tuple[float, float, Element] | None = None
    for element in chain.elements:
        if not _holdable(element) or element.length_mm < 30.0:
            continue
        low, high = 15.0, element.length_mm - 15.0
        if element.turn_rad <= 0.0:
            at = min(max(float((point - element.start) @ element.way_in), low), high)
        else:
            inward = element.way_out - float(element.way_out @ element.way_in) * element.way_in
            inward = inward / np.linalg.norm(inward)
            off = point - element.start - element.radius_mm * inward
            angle = math.atan2(float(off @ element.way_in), -float(off @ inward))
            # beyond half of what the bend leaves of the circle the start is nearer than the end
            angle = angle if angle > 0.5 * element.turn_rad - math.pi else angle + math.tau
            at = min(max(element.radius_mm * angle, low), high)
        s = element.from_mm + at
        far = float(np.linalg.norm(point - point_on(chain, s)[0]))
        if best is None or far < best[0] - 1e-9:
            best = (far, s, element)
    return None if best is None else (best[1], best[2])


def seats_of(chain: Chain, wish: HangerWish) -> tuple[tuple[Seat, ...], tuple[Dropped, ...]]:
    """Every candidate that a rod can use, in order along the pipe, and those that none can.

    A rod is welded to the pipe where it passes nearest to the rubber: on a straight, a drawn bend or a part's body, not
    on bellows, clamp joints or pie cuts.
    """
    found: list[Seat] = []
    dropped: list[Dropped] = []
    everyone = [*wish.candidates, *(c for r in wish.rails for c in r.candidates())]
    names = [c.name for c in everyone]
    twice = sorted({n for n in names if names.count(n) > 1})
    if twice:
        raise ValueError(f"two candidates for hangers are called {', '.join(twice)}; give each a name of its own")
    for candidate in everyone:
        if not candidate.allowed:
            dropped.append(Dropped(candidate, candidate.why_not or "not allowed"))
            continue
        isolator = wish.isolators.get(candidate.name, wish.isolators.get(""))
        if isolator is None:
            raise ValueError(f"no rubber is said for {candidate.name}; say one for it or one for all")
        pin = np.array(candidate.xyz_mm) - np.array([0.0, 0.0, isolator.drop_mm])
        near = _nearest(chain, pin)
        if near is None:
            dropped.append(Dropped(candidate, "the pipe has no straight, bend or body long enough to weld a rod to"))
            continue
        s, element = near
        foot, _ = point_on(chain, s)
        far = float(np.linalg.norm(pin - foot))
        if far > wish.reach_mm:
            dropped.append(Dropped(candidate, f"{far:.0f} mm from the pipe, rods reach {wish.reach_mm:.0f} mm"))
            continue
        try:
            found.append(_seated(chain, wish.rod, candidate, isolator, s, element))
        except NoRod as wrong:
            dropped.append(Dropped(candidate, str(wrong)))
    found.sort(key=lambda seat: (seat.at_mm, seat.candidate.name))
    return tuple(found), tuple(dropped)


def _seated(
    chain: Chain, shape: RodShape, candidate: Candidate, isolator: Isolator, s_mm: float, element: Element
) -> Seat:
    """The rod at the nearest place, or the first one beside it on the same element that leaves room for its bends."""
    pin = np.array(candidate.xyz_mm) - np.array([0.0, 0.0, isolator.drop_mm])
    first: NoRod | None = None
    for slide in SLIDES_MM:
        s = s_mm + slide
        if not element.from_mm + 15.0 - 1e-6 <= s <= element.to_mm - 15.0 + 1e-6:
            continue
        foot, way = point_on(chain, s)
        out = pin - foot
        out = out - float(out @ way) * way
        size = float(np.linalg.norm(out))
        try:
            rod = rod_to(foot, way, _standing(element, way, out / size) if size > 0.0 else 0.0, pin, shape)
        except NoRod as wrong:
            first = first or wrong
            continue
        return Seat(candidate, isolator, s, foot, rod, Grip(s, pin, rod_give(rod)))
    assert first is not None
    raise first
