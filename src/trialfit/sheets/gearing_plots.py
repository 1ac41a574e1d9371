"""Two pictures of a gearing: road speed against engine speed by gear, and push against resistance.

In: a gear train and a road load, with what :mod:`trialfit.driveline` works out of them. Out: a leaf for PDF or SVG. No
sum is made here beyond placing points on paper.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from trialfit.driveline import GearTrain, RoadLoad, effort_curve, fastest_in, gear_lines
from trialfit.sheets.drawing import (
    SECTION,
    SMALL,
    SMALL_BOLD,
    SMALL_FIGURE,
    Circle,
    Fill,
    Leaf,
    LineKind,
    Point,
    Stroke,
    Words,
    line,
    overlap,
    rectangle,
)
from trialfit.sheets.paper import fitted

_RPM = math.pi / 30.0
_KMH = 3.6e-3
_MILE = 1.609344
_ROOM = (20.0, 20.0, 8.0, 18.0)
"""white left, below, right and above the frame of the plot [mm]"""
_SETS = (1.0, 2.0, 2.5, 5.0, 10.0)


@dataclass(frozen=True, slots=True)
class Axis:
    """A plain scale from nought: its end, the step between its ticks, and where its ends lie on paper [mm]."""

    end: float
    step: float
    at: float
    to: float

    def place(self, value: float) -> float:
        """Where a value lies on paper [mm]."""
        return self.at + (self.to - self.at) * value / self.end

    def ticks(self) -> tuple[float, ...]:
        """Values of the ticks, nought first."""
        return tuple(self.step * k for k in range(int(self.end / self.step + 1e-6) + 1))


def axis_to(most: float, at: float, to: float, apart_mm: float) -> Axis:
    """A scale from nought to just past ``most``, ticks at round numbers and at least ``apart_mm`` apart on paper.

    Raises ValueError when ``most`` is not positive.

    >>> axis_to(187.0, 0.0, 100.0, 10.0).step
    20.0
    """
    if not 0.0 < most < math.inf:
        raise ValueError(f"a scale must end beyond nought; read {most:g}")
    least = most * apart_mm / (to - at)
    ten = 10.0 ** math.floor(math.log10(least))
    step = next(s * ten for s in _SETS if s * ten >= least * (1 - 1e-9))
    return Axis(step * math.ceil(most / step - 1e-9), step, at, to)


def _frame(leaf: Leaf, title: str, note: str, across: Axis, up: Axis, names: tuple[str, str]) -> None:
    left, right, low, high = across.at, across.to, up.at, up.to
    wide = leaf.width - 16.0
    leaf.add(Words((8.0, leaf.height - 9.0), fitted(title, SECTION, wide), SECTION))
    leaf.add(Words((8.0, leaf.height - 14.0), fitted(note, SMALL, wide), SMALL))
    for tick in across.ticks():
        x = across.place(tick)
        if left < x < right:
            leaf.add(line((x, low), (x, high)))
        leaf.add(Words((x, low - 4.6), f"{tick:g}", SMALL_FIGURE, "centre"))
    for tick in up.ticks():
        y = up.place(tick)
        if low < y < high:
            leaf.add(line((left, y), (right, y)))
        leaf.add(Words((left - 1.6, y - 1.1), f"{tick:g}", SMALL_FIGURE, "right"))
    leaf.add(rectangle(left, low, right, high, LineKind.OUTLINE))
    leaf.add(Words(((left + right) / 2.0, low - 14.6), names[0], SMALL_BOLD, "centre"))
    leaf.add(Words((left - 14.4, (low + high) / 2.0), names[1], SMALL_BOLD, "centre", turn_deg=90.0))


def _miles(leaf: Leaf, across: Axis, low: float) -> None:
    """The same scale in miles an hour, under the first."""
    mile = axis_to(across.end / _MILE, across.at, across.to, 12.0)
    for words, down in (("km/h", 4.6), ("mph", 9.0)):
        leaf.add(Words((across.at - 3.4, low - down), words, SMALL, "right"))
    for tick in mile.ticks():
        x = across.place(tick * _MILE)
        if x <= across.to + 1e-6:
            leaf.add(line((x, low), (x, low - 1.2)), Words((x, low - 9.0), f"{tick:g}", SMALL_FIGURE, "centre"))


def _axes(leaf: Leaf, across: float, up: float) -> tuple[Axis, Axis]:
    left, below, right, above = _ROOM
    return (axis_to(across, left, leaf.width - right, 13.0), axis_to(up, below, leaf.height - above, 9.0))


def speed_by_gear(
    train: GearTrain, title: str, width_mm: float = 186.0, height_mm: float = 125.0, cruise_mm_s: float | None = None
) -> Leaf:
    """Road speed across, speed of the gearbox input up, one line a gear; thin steps show where a shift at the fastest
    engine speed lands. With a clutch the input is the engine; a converter's engine turns faster by its slip.

    Parameters
    ----------
    train : GearTrain
    title : str
        goes over the picture
    width_mm, height_mm : float
        size of the leaf, at least 120 by 90 [mm]
    cruise_mm_s : float or None
        road speed to mark, with the engine speed of top gear [mm/s]

    Raises ValueError for a leaf that is too small.
    """
    leaf = _leaf(width_mm, height_mm)
    fast = train.engine.fastest_rad_s
    lines = gear_lines(train)
    across, up = _axes(leaf, 1.04 * lines[-1].fastest_mm_s * _KMH, 1.14 * fast / _RPM)
    what = "engine" if train.converter is None else "gearbox input"
    note = (f"Dashed: shift up at {fast / _RPM:.0f} rpm of the engine. Tyre {train.tyre.circumference_mm:.0f} mm a "
            f"turn; axle {train.axle:g}.")
    _frame(leaf, title, note, across, up, ("road speed", f"{what} speed, rpm"))
    _miles(leaf, across, up.at)

    def place(gear: int, speed_mm_s: float) -> Point:
        return across.place(speed_mm_s * _KMH), up.place(train.input_rad_s(gear, speed_mm_s) / _RPM)

    names: list[Words] = []
    for gear in lines:
        end = place(gear.gear, gear.fastest_mm_s)
        leaf.add(Stroke(((across.at, up.at), end), LineKind.HEAVY))
        if gear.gear < len(lines):
            down = place(gear.gear + 1, gear.fastest_mm_s)
            leaf.add(Stroke((end, down), LineKind.HIDDEN), Circle(down, 0.9, None, Fill.BLACK))
        names.append(Words((end[0], end[1] + 4.6), f"{gear.gear}: {gear.ratio:.2f}", SMALL_BOLD, "centre", patch=True))
        names.append(Words((end[0], end[1] + 1.2), f"{gear.fastest_mm_s * _KMH:.0f} km/h", SMALL, "centre", patch=True))
    if cruise_mm_s is not None:
        at = place(len(lines), cruise_mm_s)
        turning = train.input_rad_s(len(lines), cruise_mm_s)
        leaf.add(Stroke(((at[0], up.at), at, (across.at, at[1])), LineKind.CENTRE), Circle(at, 1.3, None, Fill.BLACK))
        words = f"{cruise_mm_s * _KMH:.0f} km/h in top gear: {turning / _RPM:.0f} rpm"
        names.append(Words((at[0] + 2.4, at[1] - 4.0), words, SMALL, patch=True))
    leaf.extend(_parted(names))
    return leaf


def _parted(words: Sequence[Words]) -> list[Words]:
    """The same words, highest first, each moved down until it lies on none above it; their order stays that of the
    lines they name."""
    kept: list[Words] = []
    for word in sorted(words, key=lambda w: -w.at[1]):
        now = word
        while any(overlap(now.box(0.3), other.box(0.3)) > 0.0 for other in kept):
            now = replace(now, at=(now.at[0], now.at[1] - 1.1))
        kept.append(now)
    return kept


def effort_and_resistance(
    train: GearTrain,
    load: RoadLoad,
    title: str,
    grades: Sequence[float] = (0.0, 0.06, 0.12),
    slip_n: float | None = None,
    width_mm: float = 186.0,
    height_mm: float = 125.0,
) -> Leaf:
    """Push of the wheels at full throttle in each gear, with what the road asks on each grade and what the tyres hold.

    Parameters
    ----------
    train : GearTrain
    load : RoadLoad
        its own grade is replaced by those of ``grades``
    title : str
        goes over the picture
    grades : sequence of float
        rise over run, one resistance line each [-]
    slip_n : float or None
        push that the driven tyres hold [N]
    width_mm, height_mm : float
        size of the leaf, at least 120 by 90 [mm]

    Raises ValueError for a leaf that is too small.
    """
    leaf = _leaf(width_mm, height_mm)
    curves = [effort_curve(train, g) for g in range(1, len(train.gears) + 1)]
    most = max(e.force_n for c in curves for e in c)
    far = fastest_in(train, len(train.gears))
    across, up = _axes(leaf, 1.06 * far * _KMH, 1.05 * max(most, slip_n or 0.0) / 1000.0)
    note = "Full lines: push at full throttle by gear. Dashed: resistance on the level and uphill."
    if slip_n is not None:
        note += " Chain line: the driven tyres slip."
    _frame(leaf, title, note, across, up, ("road speed", "force at the tyres, kN"))
    _miles(leaf, across, up.at)

    def place(speed_mm_s: float, force_n: float) -> Point:
        return across.place(speed_mm_s * _KMH), up.place(force_n / 1000.0)

    names: list[Words] = []
    for number, curve in enumerate(curves, 1):
        leaf.add(Stroke(tuple(place(e.speed_mm_s, e.force_n) for e in curve), LineKind.HEAVY))
        x, y = place(curve[-1].speed_mm_s, curve[-1].force_n)
        names.append(Words((x + 1.0, y + 0.8), f"{number}: {train.gears[number - 1]:.2f}", SMALL_BOLD, patch=True))
    for grade in sorted(grades, reverse=True):
        hill = load.on_grade(grade)
        points = _within(hill.force_n, far, up.end * 1000.0, place)
        leaf.add(Stroke(tuple(points), LineKind.HIDDEN))
        x, y = points[-1]
        words = "level" if grade == 0.0 else f"{100.0 * grade:g} %"
        names.append(Words((x + 1.0, y + 0.4), words, SMALL, patch=True))
    if slip_n is not None:
        y = up.place(slip_n / 1000.0)
        leaf.add(line((across.at, y), (across.to, y), LineKind.CENTRE))
        words = f"tyres slip at {slip_n / 1000.0:.1f} kN"
        names.append(Words((across.at + 46.0, y + 1.4), words, SMALL, patch=True))
    leaf.extend(_parted(names))
    return leaf


def _within(
    force: Callable[[float], float], far: float, most: float, place: Callable[[float, float], Point]
) -> list[Point]:
    """A line of force over speed as long as it lies on the plot."""
    points = []
    for k in range(81):
        v = far * k / 80
        f = force(v)
        if not 0.0 <= f <= most:
            break
        points.append(place(v, f))
    if len(points) < 2:
        raise ValueError("a resistance line leaves the picture at once; leave out the steepest grade")
    return points


def _leaf(width_mm: float, height_mm: float) -> Leaf:
    if width_mm < 120.0 or height_mm < 90.0:
        raise ValueError(f"a picture of gearing needs 120 by 90 mm or more; read {width_mm:g} by {height_mm:g} mm")
    return Leaf(width_mm, height_mm)
