"""The shaft between gearbox and axle, what drives it, and what the builder answers for the orders.

Every field that names a point holds a hardpoint's name. Lengths [mm], angles [rad], torque [N*mm], mass [kg], speeds
[rad/s] and [mm/s].
"""

from dataclasses import dataclass, field

from trialfit.findings import Place
from trialfit.parts import Fact
from trialfit.vehicle.shape import Amount


@dataclass(frozen=True, slots=True)
class ShaftBearing:
    """The centre bearing of a two-piece shaft: its middle ``point``, how far behind it the middle joint sits, its
    rubber's stiffness sideways (None where it is taken as stiff), whether the shaft may become one piece, and the
    names of shapes that could then go."""

    point: str
    joint_behind: Amount
    stiffness_n_mm: float | None = None
    to_one_piece: bool = False
    may_go: tuple[str, ...] = ()
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class ShaftSpline:
    """The slip at ride height: outer diameter of the spline, length engaged, and the room before each thing that can
    bottom, by name."""

    diameter: Amount
    engaged: Amount
    rooms: tuple[tuple[str, Amount], ...]
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class ShaftTubeWish:
    """The tube: ``material`` is steel, aluminium or wound carbon; ``winding_rad`` the angle of the latter's fibres.
    ``yokes_kg`` is what the front and rear yoke weigh beyond the tube they stand for, ``yoke_length_mm`` from joint
    centre to weld. ``strength`` is how many times the torque it must bear before it yields."""

    material: str
    wall: Amount
    yokes_kg: tuple[float, float] = (0.0, 0.0)
    yoke_length_mm: float = 0.0
    winding_rad: float | None = None
    strength: float = 1.0
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class ShaftJoint:
    """One joint (``front``, ``middle`` or ``rear``): its series, or the sizes of its two pairs of caps by calliper;
    None for a size that was not taken."""

    name: str
    series: str = ""
    caps: tuple[Amount | None, Amount | None] = (None, None)
    spans: tuple[Amount | None, Amount | None] = (None, None)
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class SpringSeat:
    """The spring seat on the axle: two hardpoints along it, front first; the pad's length; whether the spring sits on
    top of the axle tube."""

    front: str
    rear: str
    length_mm: float
    over_axle: bool
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Shaft:
    """The shaft from ``front`` (engine) to ``rear`` (axle).

    Without offsets both are joint centres; with them they are the faces that were measured, and the joint centre lies
    so far out along the axis. An axis is two hardpoints, the one in the housing first; () when it is not known.
    ``slip`` is slip-yoke, slip-in-shaft or none. ``phases`` are the turns from front to rear yoke of each piece, ()
    when nobody looked. ``bearings_apart_mm`` are those of gearbox output and pinion.
    """

    front: str
    rear: str
    diameter: Amount
    where: Place | None = field(default=None, compare=False)
    slip: str = "slip-in-shaft"
    front_axis: tuple[str, ...] = ()
    rear_axis: tuple[str, ...] = ()
    front_offset: Amount = Amount(0.0)
    rear_offset: Amount = Amount(0.0)
    centre: ShaftBearing | None = None
    double: Amount | None = None
    phases: tuple[Fact, ...] = ()
    wrap_rad: tuple[float, float] = (0.0, 0.0)
    spline: ShaftSpline | None = None
    tube: ShaftTubeWish | None = None
    joints: tuple[ShaftJoint, ...] = ()
    seat: SpringSeat | None = None
    bearings_apart_mm: tuple[float, float] | None = None

    @property
    def told(self) -> bool:
        """Whether both axes are known, so that angles and slip can be worked out."""
        return bool(self.front_axis and self.rear_axis)

    def points(self) -> tuple[str, ...]:
        """Every hardpoint that it hangs on, each once; the spring seat's not counted."""
        centre = () if self.centre is None else (self.centre.point,)
        return tuple(dict.fromkeys((self.front, self.rear, *self.front_axis, *self.rear_axis, *centre)))


@dataclass(frozen=True, slots=True)
class Peak:
    """Greatest torque or power of an engine, and the speed where it is."""

    most: Fact
    at_rad_s: float


@dataclass(frozen=True, slots=True)
class StallFacts:
    """A torque converter: stall speed, torque ratio at stall, the engine torque it was rated behind (None: this
    engine's greatest), and whether a clutch locks it at a cruise."""

    stall_rad_s: float
    ratio: Fact
    behind_nmm: float | None = None
    locks: bool = False


@dataclass(frozen=True, slots=True)
class TyreFacts:
    """The tyre by its size code, by its measured way over some turns, or both; the way goes first."""

    code: str = ""
    rolled: Fact | None = None
    turns: float = 1.0


@dataclass(frozen=True, slots=True)
class Use:
    """One thing the gearing is for: ``cruise`` (speed, engine speeds from ``low`` to ``high``), ``launch`` or ``crawl``
    (overall ratio from ``low`` to ``high``, None for no end), ``tow`` (speed, grade, trailer) or ``shaft`` (fastest
    road speed)."""

    kind: str
    speed_mm_s: float = 0.0
    low: float = 0.0
    high: float | None = None
    grade: float = 0.0
    trailer_kg: float = 0.0


@dataclass(frozen=True, slots=True)
class TurnsFacts:
    """Turns counted under the vehicle: of the shaft, of the wheel that was turned, of the other wheel (backward
    negative; None when nobody watched it)."""

    shaft: float
    wheel: float
    other: float | None


@dataclass(frozen=True, slots=True)
class SpeedometerFacts:
    """Tyre and axle ratio for which the speedometer was right, and the teeth of its driven gear (None without one)."""

    tyre: TyreFacts
    axle: float
    teeth: int | None = None


@dataclass(frozen=True, slots=True)
class Power:
    """From engine to road. The engine is a ``curve`` of speeds and torques, or the two peaks. ``axle`` is the ratio
    that is in or wanted, ``choices`` those on offer. ``factor`` multiplies the torque that the shaft sees,
    ``factor_origin`` says whose it is."""

    gears: tuple[float, ...]
    box: str
    axle: Fact
    tyre: TyreFacts
    fastest_rad_s: float
    curve: tuple[tuple[float, float], ...] = ()
    torque: Peak | None = None
    power: Peak | None = None
    slowest_rad_s: float | None = None
    converter: StallFacts | None = None
    transfer: float = 1.0
    low_range: float | None = None
    choices: tuple[float, ...] = ()
    mass: Fact | None = None
    front_mass: Fact | None = None
    rear_mass: Fact | None = None
    cd: float | None = None
    frontal_mm2: float | None = None
    rolling: float | None = None
    grip: Fact | None = None
    factor: float = 1.0
    factor_origin: str = ""
    uses: tuple[Use, ...] = ()
    turns: TurnsFacts | None = None
    speedometer: SpeedometerFacts | None = None
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class OrderAnswer:
    """One answer to a shop's question: words, or an amount in its internal unit with its standard deviation (None when
    it was not said)."""

    key: str
    value: float | str
    sd: float | None = None
    source: str = ""
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class OrderSaid:
    """What the builder answers for one order: ``kind`` is driveshaft or differential."""

    kind: str
    answers: tuple[OrderAnswer, ...]
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class GearSetSaid:
    """Ring and pinion: bearings new or used, crush sleeve or solid spacer, the axle's own figures (name, low, high) and
    the sheet they stand in, oil, place of the pinion's shim, backlash read round the ring gear, and where the contact
    marks lie (along, height) on both sides; () when they were not read."""

    bearings: str
    sleeve: str
    own: tuple[tuple[str, float, float], ...] = ()
    sheet: str = ""
    oil: str = ""
    shim: str = ""
    backlash: tuple[Fact, ...] = ()
    drive: tuple[str, str] | tuple[()] = ()
    coast: tuple[str, str] | tuple[()] = ()
    where: Place | None = field(default=None, compare=False)
