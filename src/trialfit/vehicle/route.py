"""An exhaust, laid or still to be found: outlet, corners with bend radii, end, parts, and the bends on the shelf."""

from dataclasses import dataclass, field

from trialfit.findings import Place
from trialfit.vehicle.making import MakingSaid
from trialfit.vehicle.shape import Amount
from trialfit.vehicle.wanted import LaidPart, RouteWish


@dataclass(frozen=True, slots=True)
class PieCutWish:
    """Make this bend from straight tube: ``pieces`` counts every piece of the bend, the two half ones at its ends
    included, so there are ``pieces - 1`` joints."""

    pieces: int
    kerf_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Corner:
    """Where two centre lines meet: a hardpoint's name, or coordinates in mm; and the bend's centre-line radius."""

    point: str | tuple[float, float, float]
    radius: Amount
    pie_cut: PieCutWish | None = None
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class StockBend:
    """A bend that can be bought: centre-line radius, angle, the straight legs either side, and what one costs."""

    name: str
    radius_mm: float
    angle_rad: float
    leg_mm: float
    diameter_mm: float
    price: float = 0.0
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class RoutePlan:
    """The pipe from ``outlet`` to ``end`` through ``corners``. ``outlet_aim`` is a second point on the outlet's axis,
    downstream ("" when the first leg sets the direction). While it is not ``laid`` there are no ``corners`` and no
    ``parts``, and ``end`` is ""."""

    name: str
    diameter: Amount
    wall: Amount
    outlet: str
    outlet_aim: str
    corners: tuple[Corner, ...]
    end: str | tuple[float, float, float]
    stock: tuple[StockBend, ...] = ()
    least_straight_mm: float = 0.0
    parts: tuple[LaidPart, ...] = ()
    wish: RouteWish | None = None
    """what the router is asked for; None for a route laid by hand alone"""
    laid: bool = True
    """False while nothing but the wish is written down: no corners and no end yet"""
    found: str = ""
    """who found the route and when, as the finder wrote it into the file; "" for one laid by hand"""
    where: Place | None = field(default=None, compare=False)
    making: MakingSaid | None = None
    """what the builder says of making it; None where nothing is asked"""
