"""What the builder asks the router for: exit, pipes to consider, bends, parts with their zones, prices, weights."""

from dataclasses import dataclass, field

from trialfit.findings import Place
from trialfit.vehicle.shape import Amount

Spot = str | tuple[float, float, float]
"""a hardpoint's name, or station, offset, height [mm]"""


@dataclass(frozen=True, slots=True)
class ZoneWish:
    """A box square to the vehicle between two opposite corners. It may be flat; which corner is the
    nearer or the lower one does not matter."""

    corner_a: Spot
    corner_b: Spot
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class ExitWish:
    """Where the pipe may end and which way it points there: ``toward`` is the unit direction (x, y, z)."""

    zone: ZoneWish
    toward: tuple[float, float, float]
    within_rad: float
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class PartWish:
    """A rigid part on a straight leg. ``kind``: muffler, catalyst, resonator, bellows, joint. ``clocks_rad``: allowed
    turns of the wide side about the leg, from level; plus lifts its right edge where the pipe runs rearward. A round
    part has ``width`` and ``height`` alike and the one clock 0. ``zone`` is for the part's middle. ``room_mm`` is
    straight pipe wanted at either end. ``loss`` is its pressure loss in velocity heads."""

    name: str
    kind: str
    length: Amount
    width: Amount
    height: Amount
    zone: ZoneWish | None = None
    clocks_rad: tuple[float, ...] = (0.0,)
    room_mm: float = 0.0
    mass_kg: float = 0.0
    price: float = 0.0
    hours: float = 0.0
    loss: float = 0.0
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class PipeWish:
    """One pipe to consider: outside diameter, wall, price for a metre."""

    diameter: Amount
    wall: Amount
    price_per_m: float = 0.0
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class BendWish:
    """A bend that may be used: centre-line radius, the most it can turn, pieces when it is pie cut (0: a bought bend),
    kerf of a pie cut, price of one.

    ``times`` is above 0 where the radius is so many diameters of whatever pipe it is used in; ``radius`` is then what
    that makes for the route's own pipe, its ``size`` the text ``"1.5 D"``. ``diameter_mm`` is of the only pipe it fits,
    None where it is to be had for every pipe."""

    name: str
    radius: Amount
    most_rad: float
    pieces: int = 0
    kerf_mm: float = 0.0
    price: float = 0.0
    times: float = 0.0
    diameter_mm: float | None = None
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class KeepOut:
    """A box that the pipe may not enter, whatever is there."""

    name: str
    zone: ZoneWish
    gap_mm: float = 0.0
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Worth:
    """What things are worth to the builder, each turned into money: an hour, a kilogram, a kPa of back pressure at the
    stated gas flow, a mm by which the smallest margin falls short of ``wanted_mm``. ``hours_per_weld`` and
    ``hours_per_bend`` are the builder's own pace. ``gas_kg_s`` and ``gas_k`` are the flow for the back pressure."""

    hour: float = 30.0
    kilogram: float = 2.0
    kilopascal: float = 5.0
    gap_mm: float = 1.0
    wanted_mm: float = 5.0
    hours_per_weld: float = 0.25
    hours_per_bend: float = 0.25
    gas_kg_s: float = 0.12
    gas_k: float = 800.0


@dataclass(frozen=True, slots=True)
class RouteWish:
    """The question to the router, under ``find:`` of a route.

    ``end_to_end`` lets bends be welded together without straight pipe between. ``ground_mm`` is wanted under the pipe
    with the axle at bump. ``through`` are places that a straight of the pipe must run through.
    """

    exit: ExitWish
    pipes: tuple[PipeWish, ...]
    bends: tuple[BendWish, ...]
    parts: tuple[PartWish, ...] = ()
    through: tuple[Spot, ...] = ()
    keep_out: tuple[KeepOut, ...] = ()
    ground_mm: float | None = None
    end_to_end: bool = False
    worth: Worth = Worth()
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class LaidPart:
    """A part that a laid route carries: ``leg`` counts from 1 at the outlet, ``start_mm`` is from that leg's first
    point (outlet or corner) to the part's near end, ``clock_rad`` the turn of its wide side from level."""

    name: str
    kind: str
    leg: int
    start_mm: float
    length: Amount
    width: Amount
    height: Amount
    clock_rad: float = 0.0
    where: Place | None = field(default=None, compare=False)
