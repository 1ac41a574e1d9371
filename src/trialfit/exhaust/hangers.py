"""Which frame points the exhaust hangs on: the least dear choice of hangers that carries it, and what each then sees.

In: the chain, the candidates (named points and holes of the frame, places along rails), rubber, rod, engine and growth.
Out: a :class:`HangerPlan` with loads, sag, moments, natural frequencies and findings. How the pipe answers is in
:mod:`trialfit.exhaust.hanging`, rods and brackets in :mod:`trialfit.exhaust.hanger_rod`, rubber in
:mod:`trialfit.exhaust.isolators`.

A choice must keep the rules of spacing wherever the candidates allow it; such choices are paths from the outlet to the
tail, looked at in order of price. The first price at which one carries the pipe is the least one, proved, unless the
count of choices ran out first; then the bound and the gap are told.
"""

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.chain import Chain
from trialfit.exhaust.hanger_findings import findings_of
from trialfit.exhaust.hanger_judging import Setting, judged, mode_rank, modes_of, setting_of, shaken_by, uses
from trialfit.exhaust.hanger_points import (
    HEAVY_KINDS,
    Dropped,
    Hanger,
    HangerPlan,
    HangerWish,
    NoHangers,
    Range,
    Tried,
    WeldLoad,
    seats_of,
)
from trialfit.exhaust.hanger_rod import bracket_load
from trialfit.exhaust.hanger_spacing import Ways, Window, by_price, count_of, fewest, ways_of, windows_of
from trialfit.exhaust.hanging import point_on
from trialfit.standards import STANDARD_GRAVITY, refuse_outside

Floats = NDArray[np.float64]

MOST_CHOICES = 20_000
"""Choices of hangers looked at before the search stops and tells its gap [-]."""
MOST_MODES = 400
"""Choices of one price whose natural frequencies are looked at [-]."""
CAUTION = (
    "Hang it with the vehicle on stands on level ground, never on a jack alone, and with the pipe cold. Before welding "
    "or drilling a frame ask what its maker and local rules allow. A pipe that drops on the road or leaks under a cab "
    "can kill: carbon monoxide has no smell."
)


def hang(
    chain: Chain,
    wish: HangerWish,
    gap_of: Callable[[Floats, float], tuple[float, float | None]] | None = None,
    most_choices: int = MOST_CHOICES,
    stop: Callable[[], bool] = lambda: False,
) -> HangerPlan:
    """The least dear choice of hangers that carries the exhaust, and what it does.

    Choices keep the rules of spacing as far as the candidates allow it. Of those of one price that carry the pipe, the
    one is taken that stays clear of idle and axle bounce, then the one whose worst use of a limit is smallest. Where
    none carries it, the one with the smallest worst use is told, and its findings say what is wrong.

    Rods weigh nothing here and the pipe hangs as laid before its weight comes on the rubber. Damping and the give of
    the frame are left out.

    Parameters
    ----------
    chain : Chain
        every part weighed
    wish : HangerWish
    gap_of : callable or None
        from a rod's centre line (n, 3) and its radius [mm] to its smallest gap to anything else and the sd of that [mm]
    most_choices : int
        choices worked before the search stops with a bound and a gap [-]
    stop : callable
        asked now and then; True ends the search with nothing found

    Raises
    ------
    NoHangers
        when there is no candidate that a rod can use, naming the nearest thing that works; when it was stopped
    ValueError
        without the library of frame elements, for a part that nobody weighed, or an amount out of range

    Source: beam theory (from memory); the search is our own.
    """
    rack = rack_of(chain, wish, gap_of)
    ways = ways_of(chain, rack.setting.seats, rack.windows, rack.setting.limit("hanger-spacing"))
    chosen, tried = _search(rack.setting, ways, most_choices, stop)
    return rack.plan(chosen, tried)


@dataclass(frozen=True, slots=True, eq=False)
class Rack:
    """Everything that choices of hangers are judged by, worked once: one more choice then takes milliseconds."""

    setting: Setting
    windows: tuple[Window, ...]
    dropped: tuple[Dropped, ...]
    gap_of: Callable[[Floats, float], tuple[float, float | None]] | None

    def on(self, names: Sequence[str]) -> HangerPlan:
        """The pipe on places that somebody decided on, whether they carry it or not.

        Parameters
        ----------
        names : sequence of str
            of candidates

        Raises
        ------
        NoHangers
            for none at all, one named twice, one that no rod can use, and a name that is none
        """
        known = {seat.candidate.name: k for k, seat in enumerate(self.setting.seats)}
        why = {d.candidate.name: d.why for d in self.dropped}
        if not names:
            raise NoHangers(f"{self.setting.chain.route} hangs on nothing: name a place at least")
        for k, name in enumerate(names):
            if name not in known:
                raise NoHangers(f"{name} cannot be hung on: {why.get(name, 'there is no such place')}")
            if name in names[:k]:
                raise NoHangers(f"{name} is named twice")
        chosen = tuple(sorted(known[name] for name in names))
        price = math.fsum(self.setting.seats[c].candidate.price for c in chosen)
        carries = _batch_uses(self.setting, [chosen])[0] <= 1.0
        return self.plan(chosen, Tried(1, 1, price, carries, price if carries else None, False, True, decided=True))

    def plan(self, chosen: tuple[int, ...], tried: Tried) -> HangerPlan:
        """What the pipe does on a choice of seats, and what is to be said of it."""
        plan = _plan(self.setting, chosen, tried, self.dropped)
        return replace(plan, findings=tuple(findings_of(self.setting, plan, self.windows, self.gap_of)))


def rack_of(chain: Chain, wish: HangerWish,
            gap_of: Callable[[Floats, float], tuple[float, float | None]] | None = None) -> Rack:  # fmt: skip
    """The frame's answers at every place that a rod can use; parameters and errors as :func:`hang`."""
    refuse_outside("hangers at most", wish.most, 1.0, 12.0, "")
    seats, dropped = seats_of(chain, wish)
    if not seats:
        raise NoHangers(_nothing(chain, wish, dropped))
    return Rack(setting_of(chain, wish, seats), tuple(windows_of(chain, wish.versions)), dropped, gap_of)


def _search(setting: Setting, ways: Ways, most_choices: int, stop: Callable[[], bool]
            ) -> tuple[tuple[int, ...], Tried]:  # fmt: skip
    most = min(setting.wish.most, len(setting.seats))
    prices = [s.candidate.price for s in setting.seats]
    if not math.isfinite(fewest(ways)) or fewest(ways) > most:
        raise NoHangers(
            f"{setting.chain.route} needs {fewest(ways):.0f} hangers to keep {ways.spacing:.0f} mm of spacing and one "
            f"near each heavy part and bend, and {most} are allowed; allow {fewest(ways):.0f}, or take a wider rule")
    total = count_of(ways, most)
    worked = 0
    best: tuple[float, float, tuple[int, ...]] | None = None
    bands = shaken_by(setting)
    stream = by_price(ways, prices, most)
    for price, level in itertools.groupby(stream, key=lambda pair: round(pair[0], 9)):
        carrying: list[tuple[float, tuple[int, ...]]] = []
        while worked < most_choices:
            batch = [held for _, held in itertools.islice(level, min(256, most_choices - worked))]
            if not batch:
                break
            if stop():
                raise NoHangers("the search for hangers was ended before it was done")
            worked += len(batch)
            for held, use in zip(batch, _batch_uses(setting, batch)):
                if use <= 1.0:
                    carrying.append((use, held))
                if best is None or use < best[0] - 1e-12:
                    best = (use, price, held)
        if carrying:
            carrying.sort()
            whole = worked < most_choices and len(carrying) <= MOST_MODES
            ranked = min(((mode_rank(modes_of(setting, held), bands), use, held)
                          for use, held in carrying[:MOST_MODES]))
            return ranked[2], Tried(total, worked, price, True, price, True, whole)
        if most_choices <= worked < total:
            assert best is not None
            held, use, more = _added(setting, best[2], most)
            paid = math.fsum(prices[c] for c in held)
            return held, Tried(total, worked + more, paid, use <= 1.0, price, False, False)
    assert best is not None
    return best[2], Tried(total, worked, best[1], False, None, True, True)


def _added(setting: Setting, held: tuple[int, ...], most: int) -> tuple[tuple[int, ...], float, int]:
    """A choice that carries, if one more hanger after the other makes one out of this: each time the one that helps
    most. More hangers never break the spacing. With it its worst use, and how many choices were worked."""
    use, worked = _batch_uses(setting, [held])[0], 1
    while use > 1.0 and len(held) < most:
        tries = [tuple(sorted((*held, c))) for c in range(len(setting.seats)) if c not in held]
        found = _batch_uses(setting, tries)
        worked += len(tries)
        k = int(np.argmin(found))
        held, use = tries[k], found[k]
    return held, use, worked


def _batch_uses(setting: Setting, batch: Sequence[tuple[int, ...]]) -> list[float]:
    found = [0.0] * len(batch)
    for size in {len(held) for held in batch}:
        at = [k for k, held in enumerate(batch) if len(held) == size]
        for k, use in zip(at, uses(setting, np.array([batch[k] for k in at], dtype=np.int64))):
            found[k] = float(use)
    return found


def _nothing(chain: Chain, wish: HangerWish, dropped: Sequence[Dropped]) -> str:
    heavy = [e for e in chain.elements if e.kind in HEAVY_KINDS]
    element = max(heavy, key=lambda e: e.mass_kg or 0.0) if heavy else None
    at = 0.5 * (element.from_mm + element.to_mm) if element is not None else 0.6 * chain.length_mm
    x, y, z = point_on(chain, at)[0]
    beside = f"beside {element.name}" if element is not None else "about the last third of the pipe"
    words = (f"{chain.route} has nothing to hang on: name a frame point or hole, or allow a rail, {beside}, within "
             f"{wish.reach_mm:.0f} mm of {x:.0f} mm, {abs(y):.0f} mm {'right' if y >= 0.0 else 'left'}, {z:.0f} mm")
    if dropped:
        spot = np.array([x, y, z])
        near = min(dropped, key=lambda d: float(np.linalg.norm(np.array(d.candidate.xyz_mm) - spot)))
        words += f"; the nearest now is {near.candidate.name}, which cannot be used: {near.why}"
    return words


@dataclass(frozen=True, slots=True, eq=False)
class _Cases:
    """One choice over every corner of what is not known: rubber of each hanger, bellows, growth."""

    weight_n: Floats
    growth_n: Floats
    sag_mm: Floats
    still: Floats
    worst: Floats
    rod_mpa: Floats
    stretch_mm: Floats
    outlet_n: Floats


def _corners(setting: Setting, chosen: tuple[int, ...]) -> _Cases:
    """One choice in every corner of what is not known."""
    one = np.array([chosen], dtype=np.int64)
    corners = list(itertools.product(setting.reaches, setting.slow, setting.grown))
    rows = [judged(setting, reach, one, springs, grown) for reach, springs, grown in corners]
    outlets = [reach.frame.mass_kg * STANDARD_GRAVITY - float(row.weight_n[0, :, 2].sum())
               for row, (reach, _, _) in zip(rows, corners)]

    def every(name: str) -> Floats:
        return np.array([getattr(row, name)[0] for row in rows])

    return _Cases(every("weight_n"), every("growth_n"), every("sag_mm"), every("still"), every("worst"),
                  every("rod_mpa"), every("stretch_mm"), np.array(outlets))


def _span(values: Floats) -> Range:
    return float(values.min()), float(values.max())


def _plan(setting: Setting, chosen: tuple[int, ...], tried: Tried, dropped: tuple[Dropped, ...]) -> HangerPlan:
    cases = _corners(setting, chosen)
    shock = setting.limit("hanger-shock")
    hangers = []
    for c in chosen:
        seat = setting.seats[c]
        cold, hot = cases.weight_n[:, c], cases.weight_n[:, c] + cases.growth_n[:, c]
        bumps = shock * cases.weight_n[:, c]
        bumped = float(np.linalg.norm([bumps, bumps + cases.growth_n[:, c]], axis=2).max())
        grown = setting.grown[int(np.argmax(np.linalg.norm(setting.grown[:, c], axis=1))), c]
        bracket = seat.candidate.bracket
        hangers.append(Hanger(
            seat.candidate, seat.at_mm, seat.foot, seat.rod, seat.isolator, _span(cold[:, 2]),
            _span(np.linalg.norm(cold, axis=1)), _span(np.linalg.norm(hot, axis=1)), grown,
            _span(np.linalg.norm(cases.growth_n[:, c], axis=1)), _span(cases.stretch_mm[:, c]),
            _span(cases.rod_mpa[:, c]),
            None if bracket is None else bracket_load(bracket, seat.candidate.kind, bumped),
            math.hypot(seat.candidate.sd_mm, setting.wish.pipe_sd_mm)))
    judged_mm = setting.reaches[0].judged_mm
    welds = tuple(
        WeldLoad(letter, float(s), _span(cases.still[:, k]), _span(cases.worst[:, k]),
                 _span(cases.worst[:, k] / setting.section_mm3))
        for k, (letter, s) in enumerate(zip(setting.letters, judged_mm)))
    modes = modes_of(setting, chosen)
    return HangerPlan(setting.chain.route, tuple(hangers), welds, _span(cases.outlet_n), _span(cases.sag_mm), modes,
                      setting.reaches[0].frame.mass_kg * STANDARD_GRAVITY, dropped, tried, ())
