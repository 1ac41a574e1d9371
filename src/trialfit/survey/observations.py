"""From lines of the notebook to numbers with a standard deviation, and the lines that cannot be used."""

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from trialfit.estimation import LOCAL_LIMIT
from trialfit.findings import Place
from trialfit.vehicle import Reading, ReadingKind

PRIOR_FREEDOM = 2.0
"""How many spare readings the instrument's own "under car" figure is worth against the spread of the repeats [-]:
it is believed to about 50 %, and GUM G.4.2 turns that into 1 / (2 * 0.5**2)."""

_POINTS = {
    ReadingKind.TAPE: (2,), ReadingKind.HEIGHT: (1,), ReadingKind.OFFSET: (1,), ReadingKind.STATION: (1,),
    ReadingKind.ANGLE: (2, 4), ReadingKind.SIZE: (0,),
}


@dataclass(frozen=True, slots=True)
class Observation:
    """One reading ready for the adjustment: the mean of its repeats and the standard deviation of that mean.

    ``again_sd`` is the standard deviation that the mean would have after one more repeat. ``dropped`` holds repeats
    that lie off the others by more than chance; ``split`` is true when they disagree and none can be dropped.
    """

    identity: str
    kind: ReadingKind
    points: tuple[str, ...]
    size: str
    value: float
    sd: float
    again_sd: float
    repeats: int
    typed: str
    dropped: tuple[float, ...] = ()
    split: bool = False
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Problem:
    """A reading that cannot be used, why, and how to mend it."""

    reading: str
    reason: str
    remedy: str
    where: Place | None = field(default=None, compare=False)


def reading_sd(reading: Reading) -> tuple[float, float]:
    """The two parts of one reading's standard deviation: what a repeat keeps, and what a repeat averages out.

    The printed limit of the instrument (scale, end hook) is the same each time: taking the reading again does not
    shrink it. The "under car" part (parallax, sag, reaching round) differs each time. A "give or take" by the
    builder stands for both together; as much of it as the printed limit explains is taken as kept.

    Parameters
    ----------
    reading : Reading
        with at least one value

    Returns
    -------
    tuple
        kept part and averaged part [mm] or, for an angle, [rad]

    Source: GUM (JCGM 100:2008) 4.3.7 for limits, 3.3.3 and E.3 for a systematic part that repeats do not reduce.

    >>> from trialfit.vehicle import DEFAULT_INSTRUMENTS
    >>> one = Reading("tape a-b", ReadingKind.TAPE, ("a", "b"), (1500.0,), DEFAULT_INSTRUMENTS["tape"])
    >>> [round(part, 3) for part in reading_sd(one)]
    [0.52, 1.155]
    """
    instrument = reading.instrument
    metres = math.ceil(max(abs(v) for v in reading.values) / 1000.0)
    printed = (instrument.limit + instrument.limit_per_m * metres + instrument.hook) / math.sqrt(3.0)
    if reading.sd is None:
        return printed, instrument.under_car / math.sqrt(3.0)
    kept = min(printed, reading.sd)
    return kept, math.sqrt(max(reading.sd**2 - kept**2, 0.0))


def observe(reading: Reading) -> Observation:
    """Mean of a reading's repeats with its standard deviation.

    The random part is pooled: the instrument's figure counts for ``PRIOR_FREEDOM`` spare readings, the spread of
    ``k`` repeats for ``k - 1``; an instrument without a random part leaves the spread alone to speak. The mean then
    has ``sqrt(kept**2 + random**2 / k)``, so no number of repeats gets below the printed limit. With three or more
    repeats, those off the median by more than 3.29 standard deviations of a difference are left out, as long as more
    than half remain.

    Parameters
    ----------
    reading : Reading
        with at least one finite value

    Source: GUM (JCGM 100:2008) 4.2.3, 4.3.7, G.4.2; pooling H.3.6 (variances weighted by their degrees of freedom).

    >>> from trialfit.vehicle import DEFAULT_INSTRUMENTS
    >>> thrice = Reading("tape a-b", ReadingKind.TAPE, ("a", "b"), (612.0, 613.0, 611.0), DEFAULT_INSTRUMENTS["tape"])
    >>> seen = observe(thrice)
    >>> seen.value, round(seen.sd, 3)
    (612.0, 0.743)
    """
    kept, random = reading_sd(reading)
    values = list(reading.values)
    if reading.kind is ReadingKind.ANGLE and len(reading.points) == 4:
        values = [abs(v) for v in values]
    gate = LOCAL_LIMIT * math.sqrt(2.0) * max(random, 0.5 * kept)
    dropped: list[float] = []
    split = len(values) == 2 and abs(values[0] - values[1]) > gate
    if len(values) >= 3:
        middle = statistics.median(values)
        near = [v for v in values if abs(v - middle) <= gate]
        if 2 * len(near) > len(values):
            dropped = [v for v in values if abs(v - middle) > gate]
            values = near
        else:
            split = True
    k = len(values)
    variance, freedom = random**2, PRIOR_FREEDOM if random > 0.0 else 0.0
    if k >= 2:
        variance = (freedom * variance + (k - 1) * statistics.variance(values)) / (freedom + k - 1)
    if split:
        # half the difference is the least by which one of them is wrong; the mean must own up to it
        variance = max(variance, k * (0.5 * (max(values) - min(values))) ** 2)
    return Observation(
        reading.identity, reading.kind, reading.points, reading.size, math.fsum(values) / k,
        math.sqrt(kept**2 + variance / k), math.sqrt(kept**2 + variance / (k + 1)), k, reading.typed,
        tuple(dropped), split, reading.where,
    )


def sort_out(readings: Sequence[Reading]) -> tuple[list[Observation], list[Problem]]:
    """Every reading as an observation, or as a problem that says why it cannot be one.

    Parameters
    ----------
    readings : sequence of Reading
        in the order of the notebook
    """
    good: list[Observation] = []
    bad: list[Problem] = []
    taken: set[str] = set()
    for reading in readings:
        identity, number = reading.identity, 1
        while identity in taken:
            number += 1
            identity = f"{reading.identity} #{number}"
        taken.add(identity)
        fault = _fault(reading)
        if fault is None:
            good.append(observe(replace(reading, identity=identity)))
        else:
            bad.append(Problem(identity, *fault, where=reading.where))
    return good, bad


def _fault(reading: Reading) -> tuple[str, str] | None:
    """Reason and remedy when a reading cannot be used."""
    kind, values = reading.kind, reading.values
    if not values:
        return "it has no value", "write the value down or take the line out"
    if not all(math.isfinite(v) for v in values):
        return "its value is not a finite number", "read it again and write the number down"
    wanted = _POINTS[kind]
    if len(reading.points) not in wanted:
        many = " or ".join(map(str, wanted))
        return f"it names {len(reading.points)} hardpoints, {kind} takes {many}", "name those it was taken between"
    if any(not point for point in reading.points):
        return "a hardpoint's name is empty", "name the hardpoints it was taken between"
    if kind is ReadingKind.SIZE and not reading.size:
        return "it does not say what was measured", "name the thing, such as 'size axle tube 76.2 mm'"
    pairs = [reading.points[i : i + 2] for i in range(0, len(reading.points), 2)] if len(reading.points) > 1 else []
    for pair in pairs:
        if pair[0] == pair[1]:
            return f"it goes from {pair[0]} to itself", "name the two different hardpoints it was taken between"
    if kind is ReadingKind.TAPE and min(values) <= 0.0:
        return "a tape between two hardpoints reads more than 0", "give points that coincide one name, or read it again"
    if kind is ReadingKind.SIZE and min(values) <= 0.0:
        return "a size is more than 0", "measure it again"
    if kind is ReadingKind.ANGLE:
        most = math.pi / 2 if len(reading.points) == 2 else math.pi
        if max(abs(v) for v in values) > most + 1e-9:
            return f"it lies beyond {math.degrees(most):.0f} deg", "check the unit and read the angle again"
    if reading.sd is not None and not (math.isfinite(reading.sd) and reading.sd > 0.0):
        return "its give or take is not above 0", "write the give or take as a length or angle above 0"
    if not (math.isfinite(sum(reading_sd(reading))) and max(reading_sd(reading)) > 0.0):
        return f"instrument {reading.instrument.name} has no limit above 0", "give the instrument a limit above 0"
    return None
