"""What is said about a choice of hangers, in the four words."""

import itertools
import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.hanger_judging import Setting, least, mode_rank, shaken_by
from trialfit.exhaust.hanger_points import Hanger, HangerPlan, Range
from trialfit.exhaust.hanger_spacing import Window
from trialfit.exhaust.hanging import point_on
from trialfit.exhaust.parts import BELLOWS
from trialfit.findings import Finding, Place, Verdict, verdict_on

Floats = NDArray[np.float64]


class _Told:
    """Findings of one route, each with its limit and its range turned into one of the four words."""

    def __init__(self, route: str, where: Place | None) -> None:
        self.route, self.where = route, where
        self.found: list[Finding] = []

    def under(self, name: str, words: str, value: Range, limit: float, unit: str, remedy: str, rule_words: str = "",
              source: str = "") -> None:
        """A finding on something that may not be over ``limit``."""
        verdict = verdict_on(limit - value[1], limit - value[0], 0.0, 0.0)
        self.say(name, verdict, words, remedy, limit - value[1], unit, rule_words, source)

    def say(self, name: str, verdict: Verdict, words: str, remedy: str, margin: float | None = None, unit: str = "",
            rule_words: str = "", source: str = "") -> None:
        """A finding; what fits needs no remedy."""
        self.found.append(Finding(
            f"exhaust.{self.route}.hanger.{name}", verdict, words, "" if verdict is Verdict.FITS else remedy,
            margin=margin, unit=unit, rule=rule_words, source=source, where=self.where))


def _as_range(value: Range, digits: int = 0) -> str:
    low, high = f"{value[0]:.{digits}f}", f"{value[1]:.{digits}f}"
    return low if low == high else f"{low} to {high}"


def _as_n_m(value: Range) -> str:
    return _as_range((value[0] / 1e3, value[1] / 1e3), 1)


_STIFFNESS = ("measure the rubber: hang a known weight on it, 5 kg say, and read how far it goes down; 49 N over that "
              "is its stiffness")


def findings_of(
    setting: Setting, plan: HangerPlan, windows: Sequence[Window],
    gap_of: Callable[[Floats, float], tuple[float, float | None]] | None,
) -> list[Finding]:
    """Everything that is said about a plan.

    Parameters
    ----------
    setting, plan, windows
        of one route
    gap_of : callable or None
        as for :func:`trialfit.exhaust.hangers.hang`
    """
    told = _Told(plan.route, setting.wish.where)
    names = ", ".join(h.candidate.name for h in plan.hangers)
    _say_choice(told, plan, names)
    _say_spacing(told, setting, plan, windows)
    for k, hanger in enumerate(plan.hangers, start=1):
        _say_hanger(told, setting, hanger, k, gap_of)
    sag = setting.limits["hanger-sag"]
    told.under("sag", f"sags by {_as_range(plan.sag_mm, 1)} mm at most", plan.sag_mm, sag.in_force.value, "mm",
               "take stiffer rubber, lay the pipe higher by as much, or allow one more hanger", sag.in_force.label,
               sag.in_force.source)
    worst = max(plan.welds, key=lambda w: w.stress_mpa[1])
    weld = setting.limits["hanger-weld-bending"]
    place = "the outlet joint" if worst.letter == "outlet" else f"weld {worst.letter}"
    told.under("weld", f"most bending at {place}, {_as_n_m(worst.worst_n_mm)} N*m with bumps and growth, "
               f"{_as_range(worst.stress_mpa)} MPa", worst.stress_mpa, weld.in_force.value,
               "MPa", f"hang it nearer to {place}, take softer rubber against growth, or put a bellows before it",
               weld.in_force.label, weld.in_force.source)
    outlet = plan.welds[0]
    words = (f"the outlet joint carries {_as_range(plan.outlet_n)} N of weight and is bent by "
             f"{_as_n_m(outlet.worst_n_mm)} N*m with bumps and growth")
    if setting.wish.outlet_most_n_mm is None:
        told.say("outlet", Verdict.CANNOT_TELL, words, "say what the joint may be bent by, for example: 30 N*m; a "
                 "turbine's or a manifold's maker tells it", source="common practice, no source")
    else:
        told.under("outlet", words, outlet.worst_n_mm, setting.wish.outlet_most_n_mm, "N*mm",
                   "a hanger nearer to the outlet, or a bellows behind it")
    if setting.wish.growth is None:
        told.say("growth", Verdict.CANNOT_TELL, "how hot the pipe gets is not known, so no growth is counted",
                 "give gas flow and gas temperature, then the mean temperature of the skin is worked")
    for band in shaken_by(setting):
        _say_band(told, plan, *band)
    if setting.wish.idle is None:
        told.say("idle", Verdict.CANNOT_TELL, "idle speed and cylinders are not known", "say for example: idle 750 to "
                 "900 rpm, 4 cylinders")
    guessed = sorted({h.isolator.name for h in plan.hangers if not h.isolator.known})
    if guessed:
        told.say("rubber", Verdict.CANNOT_TELL, f"nobody measured {', '.join(guessed)}: the usual range is taken",
                 _STIFFNESS, source="common practice, no source")
    loose = [e.name for e in setting.chain.elements if e.kind == BELLOWS and e.name not in setting.wish.bellows_n_mm]
    if loose:
        told.say("bellows", Verdict.CANNOT_TELL, f"nobody measured {', '.join(loose)}: the usual rate is taken",
                 "push it together with a known weight on the bench and read how far it goes",
                 source="common practice, no source")
    return told.found


def _say_choice(told: _Told, plan: HangerPlan, names: str) -> None:
    tried = plan.tried
    start = f"hang it on {names}"
    if tried.decided:
        told.say("choice", Verdict.FITS if tried.carries else Verdict.DOES_NOT_FIT,
                 f"you decided to {start}: that {'carries' if tried.carries else 'does not carry'} it",
                 "see the other findings of the hangers, or take use out and have the least dear choice looked for")
    elif tried.bound is None:
        told.say("choice", Verdict.DOES_NOT_FIT, f"none of the {tried.worked} choices that keep the spacing carries "
                 f"it; the least bad is {names}", "see the other findings of the hangers: what is over its limit most "
                 "is to be mended first; name more points, or allow more hangers")
    elif tried.proved:
        told.say("choice", Verdict.FITS, f"{start}: no choice for less than {tried.price:g} carries it, proved over "
                 f"{tried.choices} choices" + ("" if tried.all else f"; {tried.worked} of them were compared"), "")
    else:
        does = (f"{start}: that carries it and costs {tried.price:g}, at most {tried.gap:g} more than need be"
                if tried.carries else f"none that carries it is found yet; the least bad is {names}")
        told.say("choice", Verdict.CANNOT_TELL, f"{does}; {tried.worked} of {tried.choices} choices were tried, and "
                 f"none that carries it costs less than {tried.bound:g}", "name fewer points, take a longer "
                 "step along rails, or allow the search more choices")


def _say_spacing(told: _Told, setting: Setting, plan: HangerPlan, windows: Sequence[Window]) -> None:
    spacing = setting.limits["hanger-spacing"]
    at = [0.0, *(h.at_mm for h in plan.hangers), setting.chain.length_mm]
    steps = [b - a for a, b in itertools.pairwise(at)]
    k = int(np.argmax(steps))
    ends = ["the outlet", *(h.candidate.name for h in plan.hangers), "the tail"]
    told.under("spacing", f"{steps[k]:.0f} mm along the pipe from {ends[k]} to {ends[k + 1]}", (steps[k], steps[k]),
               spacing.in_force.value, "mm", _name_one(setting, 0.5 * (at[k] + at[k + 1])), spacing.in_force.label,
               spacing.in_force.source)
    for n, window in enumerate(windows, start=1):
        low, high = window.low_mm + window.limit.in_force.value, window.high_mm - window.limit.in_force.value
        near = min(max(low - s, s - high, 0.0) for j, s in enumerate(at[:-1]) if j or window.outlet_counts)
        told.under(f"near.{n}", f"{window.name} has its nearest hanger {near:.0f} mm away along the pipe", (near, near),
                   window.limit.in_force.value, "mm", _name_one(setting, 0.5 * (low + high)),
                   window.limit.in_force.label, window.limit.in_force.source)


def _name_one(setting: Setting, s_mm: float) -> str:
    x, y, z = point_on(setting.chain, s_mm)[0]
    side = "right" if y >= 0.0 else "left"
    return (f"name a point or a rail within {setting.wish.reach_mm:.0f} mm of {x:.0f} mm, {abs(y):.0f} mm {side}, "
            f"{z:.0f} mm")


def _say_hanger(told: _Told, setting: Setting, hanger: Hanger, k: int,
                gap_of: Callable[[Floats, float], tuple[float, float | None]] | None) -> None:
    name = hanger.candidate.name
    told.where = hanger.candidate.where or setting.wish.where
    both = (min(hanger.cold_n[0], hanger.hot_n[0]), max(hanger.cold_n[1], hanger.hot_n[1]))
    words = f"{name} carries {_as_range(hanger.cold_n)} N cold and {_as_range(hanger.hot_n)} N hot"
    most = least(hanger.candidate.most_n, hanger.isolator.most_n)
    if math.isfinite(most):
        told.under(f"load.{k}", words, both, most, "N",
                   "share the weight with one more hanger, or take stronger rubber")
    else:
        told.say(f"load.{k}", Verdict.CANNOT_TELL, words, "say what the rubber may carry, for example: 80 N")
    told.say(f"pull.{k}", verdict_on(*hanger.upright_n, 0.0, 0.0),
             f"{name} is pulled down by {_as_range(hanger.upright_n)} N cold",
             "it pushes the pipe down instead of holding it: leave it out or move it", hanger.upright_n[0], "N",
             source="common practice, no source")
    if hanger.isolator.most_mm is not None:
        told.under(f"stretch.{k}", f"{name}'s rubber goes {_as_range(hanger.stretch_mm, 1)} mm", hanger.stretch_mm,
                   hanger.isolator.most_mm, "mm", "take longer rubber, or a hanger where the pipe grows less")
    grown = float(np.linalg.norm(hanger.growth_mm))
    if setting.wish.growth is not None:
        told.say(f"growth.{k}", Verdict.FITS, f"{name} would go {grown:.1f} mm with the hot pipe (fore and aft "
                 f"{hanger.growth_mm[0]:+.1f} mm); holding back, its rubber pulls {_as_range(hanger.growth_n)} N", "",
                 source="physics, linear expansion")
    bar = setting.limits["hanger-bracket-bending"].in_force
    told.under(f"rod.{k}", f"rod to {name}: {hanger.rod.length_mm:.0f} mm of {hanger.rod.diameter_mm:g} mm, "
               f"{_as_range(hanger.rod_mpa)} MPa with bumps", hanger.rod_mpa, bar.value, "MPa",
               "take a thicker rod, or a place nearer to the pipe", bar.label, bar.source)
    if hanger.bracket is not None:
        _say_bracket(told, setting, hanger, k)
    if gap_of is not None:
        gap, sd = gap_of(hanger.rod.line.polyline(), 0.5 * hanger.rod.diameter_mm)
        clears = f"clears everything else by {gap:.0f} mm" if math.isfinite(gap) else "has nothing near it"
        told.say(f"gap.{k}", verdict_on(gap, gap, 0.0, sd), f"rod to {name} {clears}",
                 "turn the rod to the other side of the rubber, or take another point",
                 gap if math.isfinite(gap) else None, "mm")
    told.where = setting.wish.where


def _say_bracket(told: _Told, setting: Setting, hanger: Hanger, k: int) -> None:
    load = hanger.bracket
    assert load is not None
    bar, shear = setting.limits["hanger-bracket-bending"].in_force, setting.limits["hanger-weld-shear"].in_force
    name = hanger.candidate.name
    told.under(f"bracket.{k}", f"bracket at {name}: {load.bar_mpa:.0f} MPa of bending under {load.force_n:.0f} N",
               (load.bar_mpa, load.bar_mpa), bar.value, "MPa", "make its bar deeper or its arm shorter", bar.label,
               bar.source)
    if load.weld_mpa is not None:
        told.under(f"bracket.weld.{k}", f"fillets of the bracket at {name}: {load.weld_mpa:.0f} MPa",
                   (load.weld_mpa, load.weld_mpa), shear.value, "MPa", "weld it longer", shear.label, shear.source)
    if load.bolt_n is not None and load.bolt_most_n is not None:
        told.under(f"bracket.bolt.{k}", f"worst bolt of the bracket at {name}: {load.bolt_n:.0f} N across it",
                   (load.bolt_n, load.bolt_n), load.bolt_most_n, "N", "take a larger thread, or bolts farther apart",
                   source="Shigley's Mechanical Engineering Design, 9th ed., example 8-7")


def _say_band(told: _Told, plan: HangerPlan, name: str, band: Range) -> None:
    shaker = {"idle": "the engine at idle", "axle": "the axle's bounce"}[name]
    near = min(plan.modes_hz, key=lambda m: max(m[0] - band[1], band[0] - m[1]))
    margin = max(near[0] - band[1], band[0] - near[1])
    rank = mode_rank(plan.modes_hz, ((name, band),))
    verdict = (Verdict.FITS, Verdict.CANNOT_TELL, Verdict.DOES_NOT_FIT)[rank]
    inside = [m for m in plan.modes_hz if m[1] > band[0] and m[0] < band[1]] or [near]
    told.say(name, verdict, f"{shaker} shakes at {_as_range(band, 1)} Hz; the pipe rings nearest at "
             f"{', '.join(_as_range(m, 1) for m in inside[:3])} Hz",
             _STIFFNESS if rank == 1 else
             "take softer or stiffer rubber, or move a hanger to where the pipe moves most",
             margin, "Hz", source="common practice, no source")
