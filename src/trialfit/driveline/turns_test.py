"""What ratio has an unknown axle, from turns of wheel and shaft counted under the vehicle?

Whatever the differential, the ring gear turns by the mean of the two wheels' turns: the side gears of an open one share
out the rest, a locked one turns both alike. So the turns of the *other* wheel decide, and must be watched.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from trialfit.findings import SURE, Verdict
from trialfit.standards import refuse_not_positive, refuse_outside, table
from trialfit.sums import Ask, a_sum

_CAUTION = (
    "Chock the wheels that stay down, gearbox in neutral, parking brake off, engine off, and the axle on stands: never "
    "under a jack alone."
)
_LEAST, _MOST = 1.8, 8.0
"""axle ratios of road vehicles lie between these two [-]; common practice, no source"""


@dataclass(frozen=True, slots=True)
class CommonRatio:
    """A ratio that was often made, with the teeth that give it."""

    name: str
    ratio: float
    ring_teeth: int
    pinion_teeth: int


@dataclass(frozen=True, slots=True)
class AxleTold:
    """One reading of a turns test: ratio, its standard deviation [-], which differential it takes for granted (``open``
    or ``locked``), the common ratios that lie within 95 % of the doubt, nearest first, and the nearest in any case."""

    ratio: float
    sd: float
    differential: str
    likely: tuple[CommonRatio, ...]
    nearest: CommonRatio


@dataclass(frozen=True, slots=True)
class TurnsAnswer:
    """What a turns test tells. ``readings`` holds one, or two when nobody watched the other wheel; ``verdict`` is fits
    for a single common ratio, cannot tell for several or for two readings, does not fit for none. ``remedy`` is the
    test that would settle it, with ``turns_needed`` of the wheel where counting more turns would (None where not)."""

    readings: tuple[AxleTold, ...]
    verdict: Verdict
    reason: str
    remedy: str
    turns_needed: int | None


def common_axle_ratios() -> tuple[CommonRatio, ...]:
    """Every ratio of the packaged shortlist, lowest number first.

    >>> [c.name for c in common_axle_ratios()][:3]
    ['2.73', '3.08', '3.23']
    """
    return tuple(
        CommonRatio(r["ratio"], ring / pinion, ring, pinion)
        for r in table("axle_ratios").rows
        for ring, pinion in ((int(r["ring_teeth"]), int(r["pinion_teeth"])),)
    )


@a_sum(
    "axle-ratio-from-turns",
    title="Axle ratio from counted turns",
    asks=(
        Ask("shaft", "number", "turns of the propeller shaft"),
        Ask("wheel", "number", "turns of the wheel that is turned"),
        Ask("other", "number", "turns of the other wheel: 0 when it stood still, the same when both turned alike, "
            "minus when it turned backward", 0.0),
    ),
    gives="axle ratio",
    dimension="ratio",
    unit="",
    words="shaft / ((wheel + other) / 2): half the turns when the other wheel stands, all of them when both turn alike",
    source="kinematics",
    caution=_CAUTION,
)
def axle_ratio_from_turns(shaft: float, wheel: float, other: float) -> float:
    """Ratio [-] from turns counted; play in shaft and axle is left out (take it up before the first mark).

    Parameters
    ----------
    shaft : float
        turns of the shaft, 0.5 or more, either way round counts positive [-]
    wheel : float
        turns of the wheel that is turned, 0.5 or more [-]
    other : float
        turns of the other wheel, backward negative [-]

    Raises
    ------
    ValueError
        for an amount out of range, or wheels that turned against each other so that the shaft hardly moved

    Source: kinematics.

    >>> axle_ratio_from_turns(36.0, 10.0, 10.0), axle_ratio_from_turns(18.0, 10.0, 0.0)
    (3.6, 3.6)
    """
    refuse_outside("shaft turns", shaft, 0.0, 10000.0, "")
    refuse_outside("wheel turns", wheel, 0.5, 1000.0, "")
    refuse_outside("turns of the other wheel", other, -wheel, wheel, "")
    ring = 0.5 * (wheel + other)
    if ring < 0.05 * wheel or shaft < 0.5:
        raise ValueError("the other wheel turned backward and the shaft stood: that is an open differential and tells "
                         "no ratio; hold the other wheel still and turn this one again")
    return shaft / ring


def turns_test(
    shaft_turns: float,
    wheel_turns: float,
    other_turns: float | None,
    shaft_sd: float = 0.05,
    wheel_sd: float = 0.02,
) -> TurnsAnswer:
    """What a turns test tells of an axle, with the doubt of the counted turns.

    A viscous or worn limited slip differential that lets the other wheel drag is told right as long as its turns are
    counted. A differential that is welded or full of sticky plates reads as locked.

    Parameters
    ----------
    shaft_turns, wheel_turns : float
        counted turns of shaft and of the wheel that was turned [-]
    other_turns : float or None
        turns of the other wheel, backward negative; None when nobody watched it [-]
    shaft_sd, wheel_sd : float
        standard deviation of a count: 0.05 of the shaft is 18 deg, 0.02 of a wheel 7 deg [-]

    Returns
    -------
    TurnsAnswer
        with one reading, or with both when the other wheel was not watched

    Raises
    ------
    ValueError
        for an amount out of range, or when no differential makes it a ratio of 1.8 to 8

    Source: kinematics; GUM (JCGM 100:2008) 5.1.2.

    >>> answer = turns_test(18.6, 10.0, 0.0)
    >>> answer.readings[0].differential, answer.readings[0].likely[0].name
    ('open', '3.73')
    """
    refuse_not_positive(doubt_of_shaft_turns=(shaft_sd, ""), doubt_of_wheel_turns=(wheel_sd, ""))
    cases = (0.0, wheel_turns) if other_turns is None else (other_turns,)
    readings = []
    for other in cases:
        ratio = axle_ratio_from_turns(shaft_turns, wheel_turns, other)
        if _LEAST <= ratio <= _MOST:
            readings.append(_told(ratio, shaft_turns, wheel_turns, other, shaft_sd, wheel_sd, other_turns is not None))
    if not readings:
        shown = " or ".join(f"{axle_ratio_from_turns(shaft_turns, wheel_turns, o):.2f}" for o in cases)
        raise ValueError(f"these turns give an axle ratio of {shown}; it must lie between {_LEAST:g} and {_MOST:g}: "
                         "count again, and watch the other wheel")
    return _answer(tuple(readings), wheel_turns)


def _told(
    ratio: float, shaft: float, wheel: float, other: float, shaft_sd: float, wheel_sd: float, watched: bool
) -> AxleTold:
    # the other wheel's doubt counts too, unless it was held or tied to the first
    alike = abs(other - wheel) < 0.1 * wheel
    ring_sd = wheel_sd if alike else 0.5 * math.hypot(wheel_sd, wheel_sd if watched and other != 0.0 else 0.0)
    sd = ratio * math.hypot(shaft_sd / shaft, ring_sd / (0.5 * (wheel + other)))
    common = sorted(common_axle_ratios(), key=lambda c: abs(c.ratio - ratio))
    return AxleTold(ratio, sd, "locked" if alike else "open",
                    tuple(c for c in common if abs(c.ratio - ratio) <= SURE * sd), common[0])


def _answer(readings: tuple[AxleTold, ...], wheel: float) -> TurnsAnswer:
    if len(readings) == 2:
        shown = "; ".join(f"{r.ratio:.2f} if the differential is {r.differential}" for r in readings)
        return TurnsAnswer(readings, Verdict.CANNOT_TELL, f"nobody watched the other wheel: {shown}",
                           "turn one wheel and watch the other: same way is locked, still or backward is open", None)
    told = readings[0]
    doubt = f"{told.ratio:.3f}, give or take {SURE * told.sd:.3f}, differential {told.differential}"
    if len(told.likely) == 1:
        only = told.likely[0]
        teeth = f"{only.name} ({only.ring_teeth} by {only.pinion_teeth} teeth)"
        return TurnsAnswer(readings, Verdict.FITS, f"{doubt}: {teeth}", "count the teeth before ordering gears", None)
    if not told.likely:
        none = f"{doubt}: no ratio of the shortlist, nearest {told.nearest.name}"
        return TurnsAnswer(readings, Verdict.DOES_NOT_FIT, none,
                           "count again, or count the teeth: many other ratios were made", None)
    names = ", ".join(c.name for c in told.likely)
    spread = sorted(c.ratio for c in told.likely)
    gap = min(b - a for a, b in pairwise(spread))
    # the doubt falls with the number of turns, and each neighbour must be a whole interval away
    needed = math.ceil(wheel * 2.0 * SURE * told.sd / gap)
    if needed > 100:
        return TurnsAnswer(readings, Verdict.CANNOT_TELL, f"{doubt}: could be {names}",
                           f"counting turns will not part them ({needed} turns of the wheel); count the teeth", None)
    return TurnsAnswer(readings, Verdict.CANNOT_TELL, f"{doubt}: could be {names}",
                       f"turn the wheel {needed} times and count again", needed)
