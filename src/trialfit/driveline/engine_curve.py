"""What torque does the engine give at each speed: from measured points, or from the two peaks of a data sheet?"""

import bisect
import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.sums import Ask, a_sum

_RPM = math.pi / 30.0
_STEPS = 24
_CAUTION = "A curve from two peaks is a guess between them; a sheet from a brake or a roller goes first."


@dataclass(frozen=True, slots=True)
class EngineCurve:
    """Full-throttle torque [N*mm] at rising engine speeds [rad/s], straight between the points. The first point is the
    slowest speed at which the engine pulls, the last the fastest it may turn. ``origin`` says where it comes from."""

    points: tuple[tuple[float, float], ...]
    origin: str = "measured points"

    def __post_init__(self) -> None:
        if len(self.points) < 2:
            raise ValueError("an engine curve needs 2 points or more, such as 1000 rpm: 150 N*m and 6000 rpm: 180 N*m")
        for speed, torque in self.points:
            refuse_outside("engine speed", speed, 100.0 * _RPM, 20000.0 * _RPM, "rpm")
            refuse_not_positive(torque=(torque, "N*m"))
        for (slow, _), (fast, _) in pairwise(self.points):
            if fast <= slow:
                raise ValueError(f"engine speeds must rise; {fast / _RPM:.0f} rpm follows {slow / _RPM:.0f} rpm")

    @property
    def slowest_rad_s(self) -> float:
        """Slowest speed of the curve [rad/s]."""
        return self.points[0][0]

    @property
    def fastest_rad_s(self) -> float:
        """Fastest speed of the curve [rad/s]."""
        return self.points[-1][0]

    def torque_nmm(self, speed_rad_s: float) -> float:
        """Full-throttle torque [N*mm]; a speed beyond the curve's ends is refused."""
        slow, fast = self.slowest_rad_s, self.fastest_rad_s
        refuse_outside("engine speed", speed_rad_s, slow * (1 - 1e-12), fast * (1 + 1e-12), "rpm")
        at = min(max(bisect.bisect_right(self.points, (speed_rad_s, math.inf)), 1), len(self.points) - 1)
        (w0, t0), (w1, t1) = self.points[at - 1], self.points[at]
        return t0 + (t1 - t0) * (speed_rad_s - w0) / (w1 - w0)

    def power_w(self, speed_rad_s: float) -> float:
        """Full-throttle power [W]."""
        return self.torque_nmm(speed_rad_s) * speed_rad_s / 1000.0

    @property
    def torque_peak(self) -> tuple[float, float]:
        """Speed [rad/s] and torque [N*mm] of the greatest torque."""
        return max(self.points, key=lambda p: p[1])

    @property
    def power_peak(self) -> tuple[float, float]:
        """Speed [rad/s] and power [W] of the greatest power, between the points where it lies there."""
        best = max(self.points, key=lambda p: p[0] * p[1])[0]
        for (w0, t0), (w1, t1) in pairwise(self.points):
            slope = (t1 - t0) / (w1 - w0)
            if slope < 0.0:
                # power w * (t0 + slope * (w - w0)) is greatest where its slope is nought
                top = (slope * w0 - t0) / (2.0 * slope)
                if w0 < top < w1 and self.power_w(top) > self.power_w(best):
                    best = top
        return best, self.power_w(best)


def engine_from_points(points: Sequence[tuple[float, float]], origin: str = "measured points") -> EngineCurve:
    """An engine curve from pairs of speed [rad/s] and torque [N*mm], in any order.

    Raises
    ------
    ValueError
        for fewer than two points, the same speed twice, or an amount out of range

    >>> round(engine_from_points([(400.0, 200e3), (200.0, 180e3)]).torque_nmm(300.0))
    190000
    """
    return EngineCurve(tuple(sorted(points)), origin)


def engine_from_peaks(
    torque_nmm: float,
    torque_at_rad_s: float,
    power_w: float,
    power_at_rad_s: float,
    slowest_rad_s: float,
    fastest_rad_s: float,
) -> EngineCurve:
    """A likely curve through the peak torque and the peak power of a data sheet.

    Between the peaks a power of the way from one to the other that leaves power level at its peak; below, a parabola
    that would come to four fifths of the peak torque at no speed; above, power falls as u + u^2 - u^3 of the peak, u
    being the speed over that of peak power. Turbocharging, flat torque and cam timing are left out: below the torque
    peak it can be 20 % out either way.

    Parameters
    ----------
    torque_nmm, torque_at_rad_s : float
        greatest torque [N*mm] and its speed [rad/s]
    power_w, power_at_rad_s : float
        greatest power [W] and its speed [rad/s]
    slowest_rad_s, fastest_rad_s : float
        ends of the curve; the fastest at most 1.4 times the speed of peak power [rad/s]

    Raises
    ------
    ValueError
        when the peaks contradict one another, or the power would peak before its own peak

    Source: from memory, third-degree power polynomial of spark-ignition engines.

    >>> curve = engine_from_peaks(300e3, 367.0, 150e3, 576.0, 100.0, 640.0)
    >>> round(curve.torque_peak[1] / 1e3), round(curve.power_peak[1] / 1e3)
    (300, 150)
    """
    refuse_not_positive(torque=(torque_nmm, "N*m"), power=(power_w, "kW"))
    refuse_outside("speed of peak torque", torque_at_rad_s, 500.0 * _RPM, 20000.0 * _RPM, "rpm")
    refuse_outside("speed of peak power", power_at_rad_s, torque_at_rad_s, 20000.0 * _RPM, "rpm", open_low=True)
    refuse_outside("slowest speed", slowest_rad_s, 100.0 * _RPM, torque_at_rad_s, "rpm")
    refuse_outside("fastest speed", fastest_rad_s, power_at_rad_s, 1.4 * power_at_rad_s, "rpm")
    at_power = 1000.0 * power_w / power_at_rad_s
    if at_power > torque_nmm * (1 + 1e-9):
        raise ValueError(f"{power_w / 1e3:.4g} kW at {power_at_rad_s / _RPM:.0f} rpm is {at_power / 1e3:.4g} N*m, more "
                         f"than the greatest torque {torque_nmm / 1e3:.4g} N*m: one of the four figures is wrong")
    span = power_at_rad_s - torque_at_rad_s

    drop = torque_nmm - at_power
    # the power of s that makes power level at its peak; level torque at the torque peak wants more than 1
    bend = math.inf if drop <= 1e-9 * torque_nmm else at_power * span / (power_at_rad_s * drop)
    if bend < 1.0:
        raise ValueError("between these peaks the torque falls so fast that the power would peak earlier; give points "
                         "of the curve instead, such as 1500 rpm: 180 N*m, 3000 rpm: 240 N*m")

    def at(w: float) -> float:
        if w < torque_at_rad_s:
            return torque_nmm * (1.0 - 0.2 * (1.0 - w / torque_at_rad_s) ** 2)
        if w <= power_at_rad_s:
            return torque_nmm - drop * math.pow((w - torque_at_rad_s) / span, bend)
        u = w / power_at_rad_s
        return at_power * (1.0 + u - u * u)

    stops = (slowest_rad_s, torque_at_rad_s, power_at_rad_s, fastest_rad_s)
    stretches = [(a, b) for a, b in pairwise(stops) if b > a]
    speeds = sorted({a + (b - a) * k / _STEPS for a, b in stretches for k in range(_STEPS + 1)})
    # ends of neighbouring stretches differ in the last bit only
    kept = [speeds[0]] + [b for a, b in pairwise(speeds) if b - a > 1e-9 * b]
    points = tuple((w, at(w)) for w in kept)
    return EngineCurve(points, "two peaks of a data sheet; a guess between and below them")


@a_sum(
    "engine-power",
    title="Engine power from torque and speed",
    asks=(Ask("torque", "torque", "engine torque"), Ask("engine", "rotation", "engine speed")),
    gives="power",
    dimension="power",
    unit="kW",
    words="torque * engine speed",
    source="physics, work over time",
)
def engine_power(torque: float, engine: float) -> float:
    """Power [W] of a torque [N*mm] at a speed [rad/s].

    Source: physics, work over time.

    >>> round(engine_power(300e3, 500.0))
    150000
    """
    refuse_not_positive(torque=(torque, "N*m"), engine=(engine, "rpm"))
    return torque * engine / 1000.0


@a_sum(
    "engine-torque",
    title="Engine torque from power and speed",
    asks=(Ask("power", "power", "engine power"), Ask("engine", "rotation", "engine speed")),
    gives="torque",
    dimension="torque",
    unit="N*m",
    words="power / engine speed",
    source="physics, work over time",
)
def engine_torque(power: float, engine: float) -> float:
    """Torque [N*mm] of a power [W] at a speed [rad/s].

    Source: physics, work over time.

    >>> round(engine_torque(150e3, 500.0))
    300000
    """
    refuse_not_positive(power=(power, "kW"), engine=(engine, "rpm"))
    return 1000.0 * power / engine


@a_sum(
    "engine-torque-from-peaks",
    title="Engine torque at a speed, guessed from the two peaks",
    asks=(
        Ask("engine", "rotation", "engine speed, 500 rpm or more"),
        Ask("torque", "torque", "greatest torque"),
        Ask("torque_at", "rotation", "engine speed of the greatest torque"),
        Ask("power", "power", "greatest power"),
        Ask("power_at", "rotation", "engine speed of the greatest power"),
    ),
    gives="torque at full throttle",
    dimension="torque",
    unit="N*m",
    words="below the torque peak: torque * (1 - 0.2 * (1 - engine / torque at)^2); between the peaks a power of "
    "the way from one to the other, level power at the end; above: power / power at * (1 + u - u^2), u = engine / "
    "power at",
    source="from memory",
    caution=_CAUTION,
)
def engine_torque_from_peaks(engine: float, torque: float, torque_at: float, power: float, power_at: float) -> float:
    """Torque [N*mm] at a speed, by :func:`engine_from_peaks`; up to 20 % out below the torque peak.

    Source: from memory, third-degree power polynomial of spark-ignition engines.

    >>> round(engine_torque_from_peaks(367.0, 300e3, 367.0, 150e3, 576.0) / 1e3)
    300
    """
    refuse_outside("engine", engine, 500.0 * _RPM, 1.4 * power_at, "rpm")
    slow = min(500.0 * _RPM, torque_at)
    return engine_from_peaks(torque, torque_at, power, power_at, slow, 1.4 * power_at).torque_nmm(engine)
