"""What the builder says about making an exhaust: material, stock, gas, hangers, joints, sensor, branches, stands.

Every fact may be missing: what hangs on it is then not worked out.
"""

from dataclasses import dataclass, field

from trialfit.findings import Place
from trialfit.vehicle.shape import Amount


@dataclass(frozen=True, slots=True)
class StickSaid:
    """A straight length of the route's own tube that can be bought, and what one costs."""

    name: str
    length_mm: float
    price: float = 0.0
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class CarriedSaid:
    """What is known of a part of the route beyond its sizes: mass, loss in velocity heads, and for bellows the rate
    along their axis, least and most. None where nobody said."""

    name: str
    mass_kg: float | None = None
    loss: float | None = None
    rate_n_mm: tuple[float, float] | None = None
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class GasSaid:
    """The gas at full power: ``power_w`` with ``fuel`` and ``mixture`` (air over what burns all the fuel), or the
    ``flow_kg_s`` itself; its temperature at the outlet with its give or take at 95 %; the air about the pipe; the back
    pressure that the builder wants to stay under."""

    outlet_k: float
    outlet_give_k: float = 0.0
    power_w: float | None = None
    fuel: str = "petrol"
    mixture: float = 0.88
    flow_kg_s: float | None = None
    air_k: float = 298.15
    wanted_mpa: float | None = None
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class CoverSaid:
    """What is round a stretch of the pipe, a row of the table of hot surfaces; from and to along the centre line."""

    kind: str
    from_mm: float
    to_mm: float
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class TubeSaid:
    """A tube to compare the laid one with, and what a metre of it costs."""

    diameter: Amount
    wall: Amount
    price_per_m: float = 0.0
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class BracketSaid:
    """The flat bar that holds the rubber: how far it stands out, its breadth across the load, its depth along it; leg
    and length of its fillets where it is welded; bolts, their thread and grade, and the radius of their circle where it
    is bolted."""

    arm_mm: float
    breadth_mm: float
    depth_mm: float
    leg_mm: float = 3.0
    weld_mm: float = 30.0
    bolts: int = 2
    radius_mm: float = 15.0
    thread: str = "M8"
    grade: str = "8.8"
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class HangPointSaid:
    """A hardpoint that a hanger may use: ``kind`` bolt or weld, its price, the most it may carry, and why it may not be
    used after all ("" when it may)."""

    point: str
    kind: str
    price: float = 1.0
    most_n: float | None = None
    not_for: str = ""
    bracket: BracketSaid | None = None
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class RailSaid:
    """A stretch of frame between two hardpoints on which a hanger may sit, looked at every ``every_mm``."""

    start: str
    end: str
    every_mm: float
    kind: str
    price: float = 1.0
    bracket: BracketSaid | None = None
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class RubberSaid:
    """The rubber of the hangers. Either its measured ``stiffness_n_mm`` upright, with its give or take, and ``level``
    fore, aft and sideways (None: the usual range); or ``shore`` hardness with the section
    and free length of a strand; or neither. ``drop_mm`` is from the frame's hole down to the rod's."""

    drop_mm: float
    shore: float | None = None
    area_mm2: float | None = None
    length_mm: float | None = None
    strands: int = 2
    stiffness_n_mm: tuple[float, float] | None = None
    level_n_mm: tuple[float, float] | None = None
    most_n: float | None = None
    most_mm: float | None = None
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class HungAtSaid:
    """A place that the builder has decided to hang it on: a hardpoint, or so far [mm] along a rail between two."""

    start: str
    end: str = ""
    along_mm: float = 0.0
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class HangersSaid:
    """What the exhaust may hang on and how. ``idle_rpm`` slowest and fastest, with the number of cylinders, is what
    shakes it; ``outlet_n_mm`` the most its outlet joint may be bent by; ``use`` the places decided on, none while the
    least dear choice is looked for."""

    points: tuple[HangPointSaid, ...] = ()
    rails: tuple[RailSaid, ...] = ()
    at_most: int = 5
    rubber: RubberSaid | None = None
    rod_mm: float = 10.0
    rod_radius_mm: float = 20.0
    reach_mm: float = 350.0
    idle_rpm: tuple[float, float] | None = None
    cylinders: int | None = None
    outlet_n_mm: float | None = None
    use: tuple[HungAtSaid, ...] = ()
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class PartedSaid:
    """How one joint of the route comes apart (clamp, V-band, slip joint, flange), and how far a slip joint goes in."""

    name: str
    apart: str
    overlap: Amount | None = None
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class StandsSaid:
    """How the vehicle stands while the exhaust comes out: lifted so far, with so much gap wanted on the way. ``ease``
    is how far the pipes of an opened joint can be sprung apart."""

    lifted_mm: float
    clear_mm: float = 3.0
    ease_mm: float = 5.0
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class SensorSaid:
    """What an oxygen sensor asks for: behind ``after`` and ahead of ``before`` (parts of the route, "" for outlet and
    tail), so much pipe ahead of the outlet to the ports (None: not measured), the side of its harness."""

    name: str = "oxygen sensor"
    after: str = ""
    before: str = ""
    turbine: bool = False
    ports_mm: float | None = None
    length_mm: float = 80.0
    bung_mm: float = 28.0
    harness: str = ""
    lead_mm: float = 0.0
    plug: str | tuple[float, float, float] | None = None
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class BranchSaid:
    """A pipe let into the route: where, which way it goes off (0 up, plus clockwise looking against the flow), at what
    angle to the flow, how far beside the run's middle, how long from the crossing of the axes."""

    name: str
    at_mm: float
    clock_rad: float
    angle_rad: float
    diameter: Amount
    wall: Amount
    length_mm: float
    offset_mm: float = 0.0
    brings: float = 0.0
    """share of the gas behind it that comes in here; 0 for a pipe that lets gas out"""
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class ConeSaid:
    """A cone ahead of the ``outlet`` or behind the ``tail`` (``at``): outside diameter of its far end, its wall, its
    length along the axis (None: by the rule for its angle), and the lap for its seam [mm]."""

    name: str
    at: str
    diameter: Amount
    wall: Amount
    length_mm: float | None = None
    lap_mm: float = 0.0
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class MakingSaid:
    """All that the builder says of making one route. ``shelf`` counts what is there already by the name of the bend or
    stick; ``tubes`` are those to compare the laid one with."""

    material: str | None = None
    kerf_mm: float | None = None
    sticks: tuple[StickSaid, ...] = ()
    shelf: tuple[tuple[str, int], ...] = ()
    carried: tuple[CarriedSaid, ...] = ()
    gas: GasSaid | None = None
    covers: tuple[CoverSaid, ...] = ()
    tubes: tuple[TubeSaid, ...] = ()
    hangers: HangersSaid | None = None
    parted: tuple[PartedSaid, ...] = ()
    stands: StandsSaid | None = None
    sensor: SensorSaid | None = None
    branches: tuple[BranchSaid, ...] = ()
    cones: tuple[ConeSaid, ...] = ()
    where: Place | None = field(default=None, compare=False)
