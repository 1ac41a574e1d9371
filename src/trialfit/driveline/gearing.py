"""What does the whole train do: road speed, shift, launch, cruise, top speed and wheel slip, gear by gear?

A :class:`GearTrain` holds engine, box, transfer box, axle and tyre. Speeds leave tyre slip out (1 to 3 % under power:
the true road speed is lower). All effort is at full throttle and a steady speed.
"""

import math
from dataclasses import dataclass, replace
from itertools import pairwise

from trialfit.driveline.converter import Converter
from trialfit.driveline.engine_curve import EngineCurve
from trialfit.driveline.road_load import RoadLoad, tractive_effort
from trialfit.driveline.speed import engine_speed, road_speed
from trialfit.driveline.tyre import Tyre
from trialfit.standards import refuse_outside
from trialfit.sums import Ask, a_sum

_RPM = math.pi / 30.0
_FINE = 160
_CAUTION = "Keep engine, shaft, tyres and brakes within their own limits whatever the sum gives."


@dataclass(frozen=True, slots=True)
class GearTrain:
    """From flywheel to road: full-throttle curve, gearbox ratios from first gear up, axle ratio, tyre, what the train
    hands on of the torque (one figure, or one for each gear), transfer box ratio of the road range and of the low range
    (None without one), and the converter (None with a clutch)."""

    engine: EngineCurve
    gears: tuple[float, ...]
    axle: float
    tyre: Tyre
    shares: tuple[float, ...]
    transfer: float = 1.0
    low_range: float | None = None
    converter: Converter | None = None

    def __post_init__(self) -> None:
        if not 1 <= len(self.gears) <= 18:
            raise ValueError(f"a gearbox has 1 to 18 forward gears; {len(self.gears)} are given")
        for ratio in self.gears:
            refuse_outside("gear ratio", ratio, 0.4, 20.0, "")
        if any(b >= a for a, b in pairwise(self.gears)):
            raise ValueError(f"gear ratios must fall from first gear up, such as 3.2, 1.9, 1.3, 1.0; read "
                             f"{', '.join(f'{g:g}' for g in self.gears)}")
        refuse_outside("axle ratio", self.axle, 1.0, 15.0, "")
        refuse_outside("transfer box ratio", self.transfer, 0.5, 3.0, "")
        if self.low_range is not None:
            refuse_outside("low range", self.low_range, 1.0, 10.0, "")
        if len(self.shares) not in {1, len(self.gears)}:
            raise ValueError(f"shares must be one figure or one for each of the {len(self.gears)} gears; "
                             f"{len(self.shares)} are given")
        for share in self.shares:
            refuse_outside("share handed on", share, 0.3, 1.0, "")

    def share(self, gear: int) -> float:
        """Share of the torque that the train hands on in a gear [-]."""
        return self.shares[0] if len(self.shares) == 1 else self.shares[self._index(gear)]

    def overall(self, gear: int, low: bool = False) -> float:
        """Turns of the engine (of the converter's output) for one turn of the wheels [-]; ``low`` in low range.

        Raises
        ------
        ValueError
            for a gear that the box does not have, or low range without one
        """
        if low and self.low_range is None:
            raise ValueError("there is no low range; give the transfer box's low ratio")
        return self.gears[self._index(gear)] * (self.low_range if low and self.low_range else self.transfer) * self.axle

    def _index(self, gear: int) -> int:
        if not 1 <= gear <= len(self.gears):
            raise ValueError(f"gear {gear} is not in the box; it has 1 to {len(self.gears)}")
        return gear - 1

    def road_speed_mm_s(self, gear: int, turning_rad_s: float) -> float:
        """Road speed [mm/s] at a speed of the gearbox input [rad/s]."""
        ratio = self.gears[self._index(gear)]
        return road_speed(turning_rad_s, self.axle, 2.0 * self.tyre.radius_mm, ratio, self.transfer)

    def input_rad_s(self, gear: int, speed_mm_s: float) -> float:
        """Speed of the gearbox input [rad/s] at a road speed [mm/s]; with a clutch this is the engine."""
        ratio = self.gears[self._index(gear)]
        return engine_speed(speed_mm_s, self.axle, 2.0 * self.tyre.radius_mm, ratio, self.transfer)

    def shaft_rad_s(self, speed_mm_s: float) -> float:
        """Speed of the propeller shaft to the axle [rad/s] at a road speed [mm/s]."""
        return engine_speed(speed_mm_s, self.axle, 2.0 * self.tyre.radius_mm, 1.0, 1.0)

    def with_axle(self, axle: float) -> "GearTrain":
        """The same train with another axle ratio."""
        return replace(self, axle=axle)


@dataclass(frozen=True, slots=True)
class Effort:
    """Full-throttle push of the wheels [N] at a road speed [mm/s] with the engine speed [rad/s] that gives it."""

    speed_mm_s: float
    force_n: float
    engine_rad_s: float


def effort_at(train: GearTrain, gear: int, speed_mm_s: float) -> Effort | None:
    """Full-throttle push in a gear at a road speed; None where the engine would turn outside its curve.

    With a converter the engine stands at its stall speed until the output nears it, then slips less and less; a lock-up
    clutch is left out at full throttle.

    Raises
    ------
    ValueError
        for a gear that the box does not have, or a negative speed
    """
    refuse_outside("speed", speed_mm_s, 0.0, math.inf, "km/h")
    turning = train.input_rad_s(gear, speed_mm_s) if speed_mm_s > 0.0 else 0.0
    engine, raised = turning, 1.0
    if train.converter is not None:
        engine = _behind(train.engine, train.converter, turning)
        if engine <= train.engine.fastest_rad_s:
            raised = train.converter.torque_ratio(min(turning / engine, 1.0))
    low, high = train.engine.slowest_rad_s, train.engine.fastest_rad_s
    if not low * (1 - 1e-9) <= engine <= high * (1 + 1e-9):
        return None
    engine = min(max(engine, low), high)  # the last bit only
    torque, radius = train.engine.torque_nmm(engine), train.tyre.radius_mm
    push = tractive_effort(torque, train.overall(gear), radius, train.share(gear), raised)
    return Effort(speed_mm_s, push, engine)


def _behind(curve: EngineCurve, converter: Converter, turbine_rad_s: float) -> float:
    """Engine speed at full throttle for a speed of the converter's output; more than the fastest when it runs out."""
    stall = converter.stall_rad_s(curve)
    if turbine_rad_s <= converter.coupling * stall:
        return stall
    slip = (1.0 - converter.coupling) * converter.size_factor**2

    def over(w: float) -> float:
        return w - slip * curve.torque_nmm(w) / w - turbine_rad_s

    low, high = stall, curve.fastest_rad_s
    if over(high) < 0.0:
        return math.inf
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if over(middle) < 0.0 else (low, middle)
    return 0.5 * (low + high)


def effort_curve(train: GearTrain, gear: int, steps: int = 60) -> tuple[Effort, ...]:
    """Full-throttle push over the speeds of a gear, slowest first.

    Raises
    ------
    ValueError
        for a gear that the box does not have
    """
    slow = 0.0 if train.converter is not None else train.road_speed_mm_s(gear, train.engine.slowest_rad_s)
    fast = fastest_in(train, gear)
    found = (effort_at(train, gear, slow + (fast - slow) * k / steps) for k in range(steps + 1))
    return tuple(e for e in found if e is not None)


def fastest_in(train: GearTrain, gear: int) -> float:
    """Road speed [mm/s] in a gear at the engine's fastest speed, converter slip at full throttle taken off."""
    turning = fast = train.engine.fastest_rad_s
    if train.converter is not None:
        slip = (1.0 - train.converter.coupling) * train.converter.size_factor**2 * train.engine.torque_nmm(fast) / fast
        turning = fast - slip
    return train.road_speed_mm_s(gear, turning)


@dataclass(frozen=True, slots=True)
class GearLine:
    """One gear: its ratio and overall ratio [-], road speed for each 1000 rpm and at the engine's fastest [mm/s],
    engine speed after shifting up at the fastest and the drop [rad/s] (None in top), greatest push [N], the push that
    the tyres hold [N] (None when not asked), whether they slip, and the engine torque at which they would [N*mm]."""

    gear: int
    ratio: float
    overall: float
    per_1000_rpm_mm_s: float
    fastest_mm_s: float
    after_shift_rad_s: float | None
    drop_rad_s: float | None
    push_n: float
    slip_n: float | None
    slips: bool | None
    slip_torque_nmm: float | None


def gear_lines(train: GearTrain, slip_n: float | None = None) -> tuple[GearLine, ...]:
    """Every gear of the train, first to top.

    Parameters
    ----------
    train : GearTrain
    slip_n : float or None
        push that the driven tyres hold, from :func:`wheel_slip_effort` [N]

    Raises
    ------
    ValueError
        for a push that is not positive, or a converter that meets the engine outside its curve
    """
    if slip_n is not None:
        refuse_outside("push the tyres hold", slip_n, 0.0, math.inf, "N", open_low=True)
    fast = train.engine.fastest_rad_s
    lines = []
    for gear, ratio in enumerate(train.gears, 1):
        overall = train.overall(gear)
        after = None if gear == len(train.gears) else rpm_after_shift(fast, ratio, train.gears[gear])
        push = max(e.force_n for e in effort_curve(train, gear))
        held = None if slip_n is None else slip_n * train.tyre.radius_mm / (overall * train.share(gear))
        lines.append(
            GearLine(gear, ratio, overall, train.road_speed_mm_s(gear, 1000.0 * _RPM), fastest_in(train, gear), after,
                     None if after is None else fast - after, push, slip_n,
                     None if slip_n is None else push > slip_n, held)
        )
    return tuple(lines)


@dataclass(frozen=True, slots=True)
class Launch:
    """Overall ratio at the start [-] in road range and in low range (None without one), the same raised by the
    converter's stall ratio, and the speed [rad/s] that the converter holds the engine at (None with a clutch)."""

    ratio: float
    low_ratio: float | None
    raised_ratio: float
    stall_rad_s: float | None


def launch(train: GearTrain) -> Launch:
    """What the train starts off with; a slipping clutch raises nothing.

    Raises
    ------
    ValueError
        when converter and engine meet outside the engine's curve
    """
    ratio = train.overall(1)
    low = None if train.low_range is None else train.overall(1, low=True)
    raised = ratio if train.converter is None else ratio * train.converter.stall_ratio
    return Launch(ratio, low, raised, None if train.converter is None else train.converter.stall_rad_s(train.engine))


@dataclass(frozen=True, slots=True)
class Cruise:
    """One gear at a steady road speed: engine and shaft speed [rad/s], torque that it takes and that there is [N*mm].
    ``load`` is the one over the other: over 1 the gear cannot hold the speed, near 1 it shifts down at every hill."""

    gear: int
    speed_mm_s: float
    engine_rad_s: float
    shaft_rad_s: float
    needed_nmm: float
    there_is_nmm: float | None
    load: float | None


def cruise(train: GearTrain, load: RoadLoad, speed_mm_s: float, gear: int | None = None) -> Cruise:
    """Engine speed and load at a steady speed, in top gear unless another is named; a lock-up clutch is closed.

    Raises
    ------
    ValueError
        for a speed that is not positive, or a gear that the box does not have
    """
    refuse_outside("speed", speed_mm_s, 0.0, math.inf, "km/h", open_low=True)
    number = len(train.gears) if gear is None else gear
    turning = train.input_rad_s(number, speed_mm_s)
    push = load.force_n(speed_mm_s)
    needed = push * train.tyre.radius_mm / (train.overall(number) * train.share(number))
    engine = turning
    if train.converter is not None and not train.converter.locks:
        engine = train.converter.engine_rad_s(turning, max(needed, 0.0))
    low, high = train.engine.slowest_rad_s, train.engine.fastest_rad_s
    there = train.engine.torque_nmm(engine) if low <= engine <= high else None
    return Cruise(number, speed_mm_s, engine, train.shaft_rad_s(speed_mm_s), needed, there,
                  None if there is None else needed / there)


@dataclass(frozen=True, slots=True)
class TopSpeed:
    """Fastest steady speed in a gear [mm/s] with its engine and shaft speed [rad/s]. ``limit`` is ``power`` where
    resistance stops it, ``engine speed`` where push is left over at the engine's fastest."""

    gear: int
    speed_mm_s: float
    engine_rad_s: float
    shaft_rad_s: float
    limit: str


def top_speed_in(train: GearTrain, load: RoadLoad, gear: int) -> TopSpeed | None:
    """Fastest steady speed in one gear; None when the gear cannot hold any.

    Raises
    ------
    ValueError
        for a gear that the box does not have
    """
    curve = effort_curve(train, gear, _FINE)
    over = [e.force_n - load.force_n(e.speed_mm_s) for e in curve]
    held = [k for k, spare in enumerate(over) if spare >= 0.0]
    if not held:
        return None
    last = held[-1]
    if last == len(curve) - 1:
        best = curve[-1]
        return TopSpeed(gear, best.speed_mm_s, best.engine_rad_s, train.shaft_rad_s(best.speed_mm_s), "engine speed")
    low, high = curve[last].speed_mm_s, curve[last + 1].speed_mm_s
    for _ in range(50):
        middle = 0.5 * (low + high)
        there = effort_at(train, gear, middle)
        low, high = (middle, high) if there and there.force_n >= load.force_n(middle) else (low, middle)
    turning = train.input_rad_s(gear, low) if train.converter is None else _behind(
        train.engine, train.converter, train.input_rad_s(gear, low))
    return TopSpeed(gear, low, turning, train.shaft_rad_s(low), "power")


def top_speed(train: GearTrain, load: RoadLoad) -> TopSpeed:
    """Fastest steady speed of the vehicle, in the gear that reaches it.

    Parameters
    ----------
    train : GearTrain
    load : RoadLoad

    Raises
    ------
    ValueError
        when no gear can hold any speed on this grade

    Source: F. L. Mannering and S. S. Washburn, Principles of Highway Engineering and Traffic Analysis, chapter 2.
    """
    found = [t for g in range(1, len(train.gears) + 1) if (t := top_speed_in(train, load, g)) is not None]
    if not found:
        raise ValueError("no gear can hold a steady speed against this load; check grade, mass and engine curve")
    return max(found, key=lambda t: t.speed_mm_s)


def best_effort(train: GearTrain, speed_mm_s: float) -> tuple[int, Effort] | None:
    """The gear with the most push at a road speed, and that push; None when no gear has the engine within its curve."""
    numbers = range(1, len(train.gears) + 1)
    found = [(g, e) for g in numbers if (e := effort_at(train, g, speed_mm_s)) is not None]
    return max(found, key=lambda pair: pair[1].force_n, default=None)


@a_sum(
    "rpm-after-shift",
    title="Engine speed after a shift",
    asks=(
        Ask("engine", "rotation", "engine speed before the shift"),
        Ask("from_gear", "ratio", "ratio of the gear left"),
        Ask("to_gear", "ratio", "ratio of the gear taken"),
    ),
    gives="engine speed",
    dimension="rotation",
    unit="rpm",
    words="engine speed * to / from, the road speed being the same",
    source="kinematics",
    caution="A shift down at too high a road speed turns the engine past its limit.",
)
def rpm_after_shift(engine: float, from_gear: float, to_gear: float) -> float:
    """Engine speed [rad/s] after a shift with no loss of road speed; converter slip is left out (the drop is smaller).

    Source: kinematics.

    >>> rpm_after_shift(600.0, 3.0, 2.0)
    400.0
    """
    refuse_outside("engine", engine, 0.0, 20000.0 * _RPM, "rpm", open_low=True)
    refuse_outside("from gear", from_gear, 0.2, 20.0, "")
    refuse_outside("to gear", to_gear, 0.2, 20.0, "")
    return engine * to_gear / from_gear


@a_sum(
    "launch-ratio",
    title="Launch ratio",
    asks=(
        Ask("gear", "ratio", "first gear ratio"),
        Ask("axle", "ratio", "axle ratio"),
        Ask("transfer", "ratio", "transfer box ratio; its low range for the crawl ratio", 1.0),
    ),
    gives="turns of the engine for one turn of the wheels",
    dimension="ratio",
    unit="",
    words="gear * transfer * axle",
    source="kinematics",
    caution="A high launch ratio loads shaft, joints and axle: work the shaft torque too.",
)
def launch_ratio(gear: float, axle: float, transfer: float) -> float:
    """Overall ratio [-] at the start; tyre size is not in it, so compare it only on tyres of one size.

    Source: kinematics.

    >>> round(launch_ratio(2.9, 3.73, 1.0), 3)
    10.817
    """
    for name, ratio in (("gear", gear), ("axle", axle), ("transfer", transfer)):
        refuse_outside(f"{name} ratio", ratio, 0.2, 20.0, "")
    return gear * axle * transfer


@a_sum(
    "overdrive-cruise",
    title="Engine speed at a cruise, with the slip of a converter",
    asks=(
        Ask("speed", "speed", "road speed"),
        Ask("axle", "ratio", "axle ratio"),
        Ask("circumference", "length", "distance that the tyre rolls in one turn"),
        Ask("gear", "ratio", "gearbox ratio", 1.0),
        Ask("transfer", "ratio", "transfer box ratio", 1.0),
        Ask("slip", "percent", "slip of the converter; 0 with a clutch or locked", 0.0),
    ),
    gives="engine speed",
    dimension="rotation",
    unit="rpm",
    words="2 * pi * speed / circumference * gear * transfer * axle / (1 - slip)",
    source="kinematics",
    caution=_CAUTION,
)
def overdrive_cruise(
    speed: float, axle: float, circumference: float, gear: float, transfer: float, slip: float
) -> float:
    """Engine speed [rad/s] at a steady road speed.

    Source: kinematics.

    >>> round(overdrive_cruise(30000.0, 4.0, 2000.0, 0.75, 1.0, 0.0) / math.pi * 30)
    2700
    """
    refuse_outside("circumference", circumference, 900.0, 4700.0, "mm")
    refuse_outside("slip", slip, 0.0, 0.5, "%")
    return engine_speed(speed, axle, circumference / math.pi, gear, transfer) / (1.0 - slip)
