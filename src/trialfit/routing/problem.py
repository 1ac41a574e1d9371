"""What the router is asked: where the pipe starts and may end, what it is made of, what it must keep clear of."""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from trialfit.findings import Place
from trialfit.geometry.gaps import Domain, Rigid, Span
from trialfit.geometry.paths import PosePath

Floats = NDArray[np.float64]


class ProblemError(ValueError):
    """A question that no route can answer; ``where`` says where in the build file it stands."""

    def __init__(self, words: str, where: Place | None = None) -> None:
        super().__init__(words)
        self.where = where


@dataclass(frozen=True, slots=True, eq=False)
class Obstacle:
    """Something the pipe must keep ``required_mm`` away from, skin to skin, at every pose.

    ``body`` is at ride height and rides on its path. ``landmark``: whether the side the pipe passes it on tells one
    kind of route from another. ``states`` (n, 3): the poses at which the search looks at it, where fewer than the
    problem's do (the ground is nearest at bump); the certificate looks at all. ``spare_mm`` is how much of
    ``required_mm`` is there for the doubt of its place, beyond what the rule asks.
    """

    name: str
    kind: str
    body: Rigid | Span
    required_mm: float
    source: str = ""
    landmark: bool = True
    states: Floats | None = None
    where: Place | None = field(default=None, compare=False)
    spare_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Bend:
    """A way to turn: centre-line radius, the most it turns, and how it is made (``pieces`` > 0: pie cut of so many)."""

    name: str
    radius_mm: float
    most_rad: float
    pieces: int = 0
    where: Place | None = field(default=None, compare=False)

    @property
    def welds(self) -> int:
        """Round welds that one such bend brings, its two ends counted [-]."""
        return 2 if self.pieces == 0 else self.pieces + 1


@dataclass(frozen=True, slots=True)
class Term:
    """One thing that the builder pays in, as a sum over the route: ``per_mm`` of centre line, ``per_rad`` and
    ``per_bend`` by kind of bend, ``fixed`` for parts and ends; ``weight`` turns it into cost."""

    name: str
    unit: str
    weight: float
    per_mm: float
    per_rad: tuple[float, ...]
    per_bend: tuple[float, ...]
    fixed: float


@dataclass(frozen=True, slots=True)
class Size:
    """One pipe to consider: outside diameter, wall, bends to be had in it, and what it costs."""

    name: str
    diameter_mm: float
    wall_mm: float
    bends: tuple[Bend, ...]
    terms: tuple[Term, ...]

    @property
    def per_mm(self) -> float:
        """Cost of a millimetre of centre line."""
        return math.fsum(t.weight * t.per_mm for t in self.terms)

    @property
    def per_rad(self) -> tuple[float, ...]:
        """Cost of turning by one radian, by kind of bend, beside its length."""
        return tuple(math.fsum(t.weight * t.per_rad[k] for t in self.terms) for k in range(len(self.bends)))

    @property
    def per_bend(self) -> tuple[float, ...]:
        """Cost of one more bend, by kind."""
        return tuple(math.fsum(t.weight * t.per_bend[k] for t in self.terms) for k in range(len(self.bends)))

    @property
    def fixed(self) -> float:
        """Cost that every route has."""
        return math.fsum(t.weight * t.fixed for t in self.terms)


@dataclass(frozen=True, slots=True, eq=False)
class LegPart:
    """A rigid part on a straight leg: muffler, catalyst, resonator, bellows, clamp joint, or a place to pass through.

    ``zone`` (2, 3) [mm] is the box its middle may lie in (None: anywhere). ``clocks_rad`` are the turns of its wide
    side about the leg that are allowed, from level [rad]; one for a round part. ``room_mm`` is straight pipe at either
    end of it. ``frees``: what lies before it rides on the engine, what lies behind on the frame (bellows).

    It is taken as a slab with round edges: length by (width - height), grown by half the height all round, which
    overstates its two ends by half the height and so errs to a smaller gap.
    """

    name: str
    kind: str
    length_mm: float
    width_mm: float
    height_mm: float
    zone: Floats | None = None
    clocks_rad: tuple[float, ...] = (0.0,)
    room_mm: float = 0.0
    welds: int = 2
    frees: bool = False
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, eq=False)
class Exit:
    """Where the centre line may end: box ``low``..``high`` (3,) [mm], pointing along the unit ``aim`` (3,) to within
    ``cone_rad``."""

    low: Floats
    high: Floats
    aim: Floats
    cone_rad: float
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """Everything one search is asked. Pure values; nothing of the build file is needed any more.

    Parameters
    ----------
    obstacles : tuple of Obstacle
    outlet, aim : (3,)
        where the pipe begins [mm] and the unit direction it leaves in
    exit : Exit
    sizes : tuple of Size
        pipes to consider, at least one
    parts : tuple of LegPart
        in their order along the pipe
    bounds : (2, 3)
        box that the centre line stays in [mm]
    domain : Domain
        poses that can be
    states : (n, 3)
        poses the search looks at (the certificate looks at all): heave [mm], roll [rad], rock [rad]
    engine : PosePath or None
        path that the outlet, and the pipe before a freeing part, rides on
    least_straight_mm : float
        straight pipe between two bends, and after the last; 0 lets bends be welded end to end
    first_straight_mm : float
        straight pipe at the outlet
    margin_mm : float
        error of the paths: taken off every gap
    pad_mm : float
        asked for on top of every required gap, to leave room for what the search does not look at
    gap_weight, gap_wanted_mm : float
        cost of each mm by which the smallest margin over what is required falls short of ``gap_wanted_mm``
    most_bends : int
    """

    obstacles: tuple[Obstacle, ...]
    outlet: Floats
    aim: Floats
    exit: Exit
    sizes: tuple[Size, ...]
    bounds: Floats
    domain: Domain
    states: Floats
    parts: tuple[LegPart, ...] = ()
    engine: PosePath | None = None
    least_straight_mm: float = 20.0
    first_straight_mm: float = 0.0
    margin_mm: float = 0.0
    pad_mm: float = 0.3
    gap_weight: float = 0.0
    gap_wanted_mm: float = 0.0
    most_bends: int = 10


@dataclass(frozen=True, slots=True)
class PartAt:
    """Where a part sits: leg (0 is the one from the outlet), start of the part along that leg from the leg's first
    point [mm], turn of its wide side from level [rad]."""

    leg: int
    start_mm: float
    clock_rad: float


@dataclass(frozen=True, slots=True, eq=False)
class Way:
    """A route: ``points`` (n + 2, 3) [mm] outlet, corners, end; for each corner the kind of bend in ``size.bends``;
    for each part its place. ``cost`` is the weighted sum of ``terms`` (name to amount in the term's own unit) and the
    gap's share."""

    size: int
    points: Floats
    bends: tuple[int, ...]
    parts: tuple[PartAt, ...]
    cost: float
    terms: tuple[tuple[str, float], ...]
    length_mm: float
    turn_rad: float
    welds: int
    margin_mm: float
    """smallest gap over what is required, as far as the search looked [mm]"""


@dataclass(frozen=True, slots=True)
class ObstacleGap:
    """Smallest gap of a route to one obstacle less the gap required there, over all poses [mm]: ``lower_mm`` <= true
    <= ``upper_mm``. ``closed`` is False when the search for it was stopped, or the obstacle is far and the bounds were
    left apart on purpose (``far``)."""

    obstacle: str
    required_mm: float
    lower_mm: float
    upper_mm: float
    pose: tuple[float, float, float]
    at: tuple[float, float, float]
    """point of the centre line (or of a part's middle plane) where ``upper_mm`` was met [mm]"""
    closed: bool
    far: bool


@dataclass(frozen=True, slots=True)
class Certificate:
    """Bounds of a whole route: the margin over what is required, worst over all obstacles [mm]."""

    lower_mm: float
    upper_mm: float
    gaps: tuple[ObstacleGap, ...]
    closed: bool
    cells: int

    @property
    def clear(self) -> bool:
        """Whether every gap is certain to be what is required, or more."""
        return self.lower_mm >= 0.0
