"""What the driveline of a build came to: the shaft, the gearing, ring and pinion."""

from dataclasses import dataclass

from trialfit.driveline import (
    AngleDoubt,
    Angles,
    BearingLoads,
    Cross,
    Cruise,
    GearLine,
    GearTrain,
    Launch,
    Length,
    OnePiece,
    PinionSetting,
    PlungeRange,
    Ranked,
    RoadLoad,
    Room,
    RuleAnswer,
    ShaftLine,
    SlipAnswer,
    SpeedometerCheck,
    TopSpeed,
    TorqueSeen,
    TubeAnswer,
    TurnsAnswer,
    Tyre,
    Wedge,
    Whirl,
    WhirlMargin,
)
from trialfit.driveline.ranking import Wish
from trialfit.driveline.ring_and_pinion import RingAndPinion
from trialfit.findings import Finding


@dataclass(frozen=True, slots=True)
class Views:
    """Inclinations seen from the side (front end up +) and from above (front end to the right +) of gearbox output,
    rear piece of the shaft and pinion [rad], each with its standard deviation."""

    output: tuple[float, float]
    shaft: tuple[float, float]
    pinion: tuple[float, float]
    sds: tuple[float, float, float, float, float, float]


@dataclass(frozen=True, slots=True, eq=False)
class TorqueAnswer:
    """Torque that the shaft sees with its standard deviation [N*mm]; ``load_n`` is what the driven axle carries."""

    seen: TorqueSeen
    sd_nmm: float
    load_n: float


@dataclass(frozen=True, slots=True, eq=False)
class JointTold:
    """One joint: ``series`` as it is called, "" when it cannot be told; ``cross`` where its sizes told it."""

    name: str
    series: str
    bears_nmm: float | None
    cross: Cross | None


@dataclass(frozen=True, slots=True, eq=False)
class ShaftAnswers:
    """Everything about the shaft. A part that could not be worked out is None or empty, and a finding says why.

    ``droop_rad`` is the greatest angle of a joint with the axle on its droop stops; ``plunge_sd_mm`` of the movement
    out and in. ``whirl_uniform_rad_s`` is the closed form's for the slowest piece, ``whirl`` the beam model's, of whose
    rates ``bending_rad_s`` is the first that bends a tube, and ``bounce_rad_s`` that of the whole on its centre
    bearing's rubber (None where the bearing is stiff).
    """

    line: ShaftLine
    lengths: tuple[Length, ...]
    views: Views
    doubt: AngleDoubt
    angles: Angles
    rules: tuple[RuleAnswer, ...]
    droop_rad: float | None
    top_speed_rad_s: float | None
    plunge: PlungeRange | None
    plunge_sd_mm: tuple[float | None, float | None]
    slip: SlipAnswer | None
    whirl_uniform_rad_s: float | None
    whirl: Whirl | None
    bending_rad_s: float | None
    bounce_rad_s: float | None
    margin: WhirlMargin | None
    torque: TorqueAnswer | None
    rooms: tuple[Room, ...]
    tube: TubeAnswer | None
    tubes: tuple[TubeAnswer, ...]
    one_piece: OnePiece | None
    pinion: PinionSetting | None
    pinion_now_deg: float
    wedge: Wedge | None
    joints: tuple[JointTold, ...]
    loads: BearingLoads | None

    @property
    def whirl_rad_s(self) -> float | None:
        """The lower of the whirling speeds that are known, of the tubes' bending [rad/s]."""
        return min((w for w in (self.whirl_uniform_rad_s, self.bending_rad_s) if w is not None), default=None)


@dataclass(frozen=True, slots=True, eq=False)
class GearingAnswers:
    """Everything about the gearing; None or empty where the file does not say enough. ``slip_n`` is the push that the
    driven tyres hold, weight that moves under power not counted."""

    train: GearTrain
    tyre: Tyre
    load: RoadLoad | None
    slip_n: float | None
    lines: tuple[GearLine, ...]
    launch: Launch
    cruise: Cruise | None
    top: TopSpeed | None
    ranking: tuple[Ranked, ...]
    turns: TurnsAnswer | None
    speedometer: SpeedometerCheck | None
    wishes: tuple[Wish, ...] = ()
    """what the uses ask of an axle ratio, in their order"""


@dataclass(frozen=True, slots=True, eq=False)
class GearSetAnswers:
    """Ring and pinion: the sheet's record, where the shim lies, and what was read."""

    set: RingAndPinion
    shim: str
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, eq=False)
class DrivelineAnswers:
    """The three together."""

    shaft: ShaftAnswers | None
    gearing: GearingAnswers | None
    gear_set: GearSetAnswers | None
