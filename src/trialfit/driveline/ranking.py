"""Which of the axle ratios on offer suits the use that the builder names, and why each stands where it does?"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trialfit.driveline.gearing import GearTrain, best_effort, cruise
from trialfit.driveline.road_load import RoadLoad
from trialfit.standards import Version, refuse_outside, table

_RPM = math.pi / 30.0
SHAFT = "shaft speed"


@dataclass(frozen=True, slots=True)
class Band:
    """A band that the trade asks for: its label, low and high end (engine speed in rad/s, or a ratio), and its origin
    as a version whose value is the low end."""

    low: float
    high: float
    version: Version


@dataclass(frozen=True, slots=True)
class CruiseWish:
    """Engine speed within ``low_rad_s`` to ``high_rad_s`` at a road speed [mm/s] in top gear."""

    speed_mm_s: float
    low_rad_s: float
    high_rad_s: float

    def __post_init__(self) -> None:
        refuse_outside("cruising speed", self.speed_mm_s, 0.0, 1.4e5, "km/h", open_low=True)
        refuse_outside("low end of the band", self.low_rad_s, 300.0 * _RPM, 20000.0 * _RPM, "rpm")
        refuse_outside("high end of the band", self.high_rad_s, self.low_rad_s, 20000.0 * _RPM, "rpm", open_low=True)


@dataclass(frozen=True, slots=True)
class LaunchWish:
    """Overall ratio in first gear [-] of at least ``least``, and at most ``most`` where more is of no use;
    ``low_range`` when the transfer box's low range is meant."""

    least: float
    most: float = math.inf
    low_range: bool = False

    def __post_init__(self) -> None:
        refuse_outside("least launch ratio", self.least, 1.0, 300.0, "")
        if self.most < self.least:
            raise ValueError(f"most launch ratio {self.most:g} is under the least {self.least:g}")


@dataclass(frozen=True, slots=True)
class TowWish:
    """Hold a road speed [mm/s] on a grade [-] with a trailer's mass [kg] behind, in any gear, with a share of the push
    kept in hand [-]."""

    speed_mm_s: float
    grade: float
    trailer_kg: float
    in_hand: float = 0.1

    def __post_init__(self) -> None:
        refuse_outside("towing speed", self.speed_mm_s, 0.0, 1.4e5, "km/h", open_low=True)
        refuse_outside("grade", self.grade, 0.0, 0.5, "%")
        refuse_outside("trailer", self.trailer_kg, 0.0, 40000.0, "kg")
        refuse_outside("share kept in hand", self.in_hand, 0.0, 1.0, "%")


@dataclass(frozen=True, slots=True)
class ShaftWish:
    """Propeller shaft no faster than ``limit_rad_s`` (share of its whirling speed) at the fastest road speed that will
    be driven [mm/s]. A ratio that breaks it stands behind every one that does not."""

    speed_mm_s: float
    limit_rad_s: float

    def __post_init__(self) -> None:
        refuse_outside("fastest road speed", self.speed_mm_s, 0.0, 1.4e5, "km/h", open_low=True)
        refuse_outside("shaft limit", self.limit_rad_s, 500.0 * _RPM, 20000.0 * _RPM, "rpm")


Wish = CruiseWish | LaunchWish | TowWish | ShaftWish


@dataclass(frozen=True, slots=True)
class Held:
    """How one ratio meets one wish. ``short`` is nought when met, else the share by which it misses [-]; ``off`` how
    far it lies from the middle of a band that it meets [-]."""

    wish: str
    short: float
    off: float
    reason: str


@dataclass(frozen=True, slots=True)
class Ranked:
    """One axle ratio in its place, 1 the best; ``score`` is the sum of what it misses, each wish counting less than the
    one named before it; ``breaks_shaft`` puts it behind all others; ``reason`` says why it stands here."""

    place: int
    axle: float
    score: float
    breaks_shaft: bool
    held: tuple[Held, ...]
    reason: str


def trade_bands(what: str) -> tuple[Band, ...]:
    """Every band that the trade gives for ``cruise`` [rad/s], ``launch`` or ``crawl`` [-].

    Raises
    ------
    ValueError
        for another word

    Source: restoration supplier's chart of axle ratios; common practice, no source.

    >>> [round(b.low / math.pi * 30) for b in trade_bands("cruise")]
    [2300, 2000]
    """
    rows = [r for r in table("gearing_bands").rows if r["what"] == what]
    if not rows:
        raise ValueError(f"no band is called '{what}'; known: cruise, launch, crawl")
    return tuple(
        Band(float(r["low"]) * factor, float(r["high"]) * factor,
             Version(r["label"], float(r["low"]), r["unit"], r["kind"], r["source"]))
        for r in rows
        for factor in (_RPM if r["unit"] == "rpm" else 1.0,)
    )


def rank_axle_ratios(
    train: GearTrain, ratios: Sequence[float], wishes: Sequence[Wish], load: RoadLoad | None = None
) -> tuple[Ranked, ...]:
    """Put axle ratios in order for a use, best first, each with the reason for its place.

    Price, strength, noise and what fits the carrier are left out. What a ratio misses counts whole for the wish named
    first, half for the second, a third for the third and so on; ties go to the one nearest the middle of the bands,
    then to the one that turns the engine slower.

    Parameters
    ----------
    train : GearTrain
        with any axle ratio; the others are put in its place
    ratios : sequence of float
        on offer, 1 to 15 [-]
    wishes : sequence
        what the use asks, the most wanted first
    load : RoadLoad or None
        needed for a tow wish

    Raises
    ------
    ValueError
        with no ratio or no wish, the same ratio twice, or a tow wish without a load

    Source: rule of decision is our own.
    """
    if not ratios:
        raise ValueError("name at least one axle ratio, such as 3.31, 3.73, 4.10")
    if not wishes:
        raise ValueError("say what the axle is for: cruise, launch, tow or shaft speed")
    if len(set(ratios)) != len(ratios):
        raise ValueError("an axle ratio is named twice")
    rows = []
    for axle in ratios:
        held = tuple(_held(train.with_axle(axle), wish, load) for wish in wishes)
        score = sum(h.short / n for n, h in enumerate(held, 1))
        breaks = any(h.short > 0.0 for h, w in zip(held, wishes, strict=True) if isinstance(w, ShaftWish))
        rows.append((breaks, round(score, 12), round(sum(h.off for h in held), 12), axle, held))
    rows.sort(key=lambda row: row[:4])
    return tuple(
        Ranked(place, axle, score, breaks, held, _why(place, rows, held, breaks))
        for place, (breaks, score, _, axle, held) in enumerate(rows, 1)
    )


def _why(place: int, rows: Sequence[tuple[bool, float, float, float, tuple[Held, ...]]], held: tuple[Held, ...],
         breaks: bool) -> str:
    missed = [h for h in held if h.short > 0.0]
    if breaks:
        # the shaft is why it stands last, so it is told first
        missed.sort(key=lambda h: h.wish != SHAFT)
    told = "; ".join(h.reason for h in (missed or held))
    if breaks:
        return f"behind every ratio that keeps the shaft within its limit: {told}"
    if missed:
        return f"misses {', '.join(h.wish for h in missed)}: {told}"
    tied = sum(1 for row in rows if not row[0] and row[1] == 0.0) > 1
    if not tied:
        return f"the only one that meets every wish: {told}"
    return f"meets every wish, {'nearest' if place == 1 else 'further from'} the middle of what is asked: {told}"


def _held(train: GearTrain, wish: Wish, load: RoadLoad | None) -> Held:
    if isinstance(wish, CruiseWish):
        return _held_cruise(train, wish, load)
    if isinstance(wish, LaunchWish):
        return _held_launch(train, wish)
    if isinstance(wish, ShaftWish):
        turning = train.shaft_rad_s(wish.speed_mm_s)
        short = max(0.0, turning / wish.limit_rad_s - 1.0)
        return Held(SHAFT, short, 0.0, f"shaft {turning / _RPM:.0f} rpm at {_kmh(wish.speed_mm_s)}, at most "
                    f"{wish.limit_rad_s / _RPM:.0f} rpm")
    if load is None:
        raise ValueError("a tow wish needs the road load: mass, drag coefficient and frontal area")
    return _held_tow(train, wish, load)


def _held_cruise(train: GearTrain, wish: CruiseWish, load: RoadLoad | None) -> Held:
    top = len(train.gears)
    if load is None:
        turning = train.input_rad_s(top, wish.speed_mm_s)
    else:
        turning = cruise(train, load, wish.speed_mm_s).engine_rad_s
    low, high = wish.low_rad_s, wish.high_rad_s
    short = max(0.0, 1.0 - turning / low, turning / high - 1.0)
    middle = 0.5 * (low + high)
    word = "under" if turning < low else "over" if turning > high else "within"
    return Held("cruise", short, abs(turning / middle - 1.0) if short == 0.0 else 0.0,
                f"{turning / _RPM:.0f} rpm at {_kmh(wish.speed_mm_s)} in top gear, {word} {low / _RPM:.0f} to "
                f"{high / _RPM:.0f} rpm")


def _held_launch(train: GearTrain, wish: LaunchWish) -> Held:
    ratio = train.overall(1, low=wish.low_range)
    short = max(0.0, 1.0 - ratio / wish.least, ratio / wish.most - 1.0)
    asked = f"at least {wish.least:g}" if math.isinf(wish.most) else f"{wish.least:g} to {wish.most:g}"
    off = 0.0 if math.isinf(wish.most) or short > 0.0 else abs(2.0 * ratio / (wish.least + wish.most) - 1.0)
    return Held("crawl" if wish.low_range else "launch", short, off,
                f"overall {ratio:.2f} in first gear{' and low range' if wish.low_range else ''}, {asked} asked for")


def _held_tow(train: GearTrain, wish: TowWish, load: RoadLoad) -> Held:
    hill = load.on_grade(wish.grade, wish.trailer_kg)
    needed = hill.force_n(wish.speed_mm_s) * (1.0 + wish.in_hand)
    found = best_effort(train, wish.speed_mm_s)
    where = f"{_kmh(wish.speed_mm_s)} up {100.0 * wish.grade:.3g} %"
    if found is None:
        return Held("tow", 1.0, 0.0, f"no gear turns the engine within its curve at {_kmh(wish.speed_mm_s)}")
    gear, push = found
    short = max(0.0, 1.0 - push.force_n / needed)
    return Held("tow", short, 0.0, f"{push.force_n:.0f} N in gear {gear} at {push.engine_rad_s / _RPM:.0f} rpm where "
                f"{where} takes {needed:.0f} N with {100.0 * wish.in_hand:.0f} % in hand")


def _kmh(speed_mm_s: float) -> str:
    return f"{speed_mm_s * 3.6e-3:.0f} km/h"
