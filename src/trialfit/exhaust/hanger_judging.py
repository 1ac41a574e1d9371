"""What a choice of hangers does against every limit, many choices at once."""

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.chain import Chain
from trialfit.exhaust.hanger_points import Growth, HangerWish, Range, Seat
from trialfit.exhaust.hanging import (
    USUAL_BELLOWS_N_MM,
    Reach,
    answers,
    frame_of,
    modes_hz,
    moments_of,
    reach_of,
)
from trialfit.exhaust.parts import BELLOWS
from trialfit.standards import STANDARD_GRAVITY, Rule, rule
from trialfit.structure.tube import tube_second_moment

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MOST_KINDS = 4
"""Kinds of rubber with a range of stiffness that are worked together [-]."""


@dataclass(frozen=True, slots=True, eq=False)
class Setting:
    """Everything that a choice is judged by. ``reaches`` for soft and stiff bellows (one where there are none),
    ``slow`` the rubber in every corner of soft and stiff (r, c, 3), ``shaken`` soft and stiff (2, c, 3) [N/mm],
    ``grown`` least and most (g, c, 3) [mm]. Rubbers of one name are soft or stiff together, as from one lot."""

    chain: Chain
    wish: HangerWish
    seats: tuple[Seat, ...]
    reaches: tuple[Reach, ...]
    slow: Floats
    shaken: Floats
    grown: Floats
    most_n: Floats
    most_mm: Floats
    limits: Mapping[str, Rule]
    section_mm3: float
    rod_section_mm3: float
    letters: tuple[str, ...]

    def limit(self, name: str) -> float:
        """The figure of a rule in force."""
        return self.limits[name].in_force.value


RULES = ("hanger-spacing", "hanger-near-heavy", "hanger-near-bend", "hanger-shock", "hanger-sag",
         "hanger-weld-bending", "hanger-bracket-bending", "hanger-weld-shear", "hanger-mode-separation",
         "axle-bounce-low", "axle-bounce-high")
"""The rules that hangers are judged by; each has versions."""


def setting_of(chain: Chain, wish: HangerWish, seats: Sequence[Seat]) -> Setting:
    """The frame's answers at every seat, worked once.

    Raises
    ------
    trialfit.exhaust.hanging.ExtraMissing
        without the library of frame elements
    trialfit.exhaust.hanging.NotWeighed
        when a part's mass is unknown
    """
    soft, stiff = ({e.name: wish.bellows_n_mm.get(e.name, USUAL_BELLOWS_N_MM)[end] for e in chain.elements
                    if e.kind == BELLOWS} for end in (0, 1))
    grips = [s.grip for s in seats]
    judged = sorted({0.0, *(w.at_mm for w in chain.welds)})
    letters = {w.at_mm: w.letter for w in chain.welds}
    reaches = []
    for rates in ([soft] if soft == stiff else [soft, stiff]):
        frame = frame_of(chain, [s.at_mm for s in seats], wish.outlet, rates, wish.soft_bends)
        reaches.append(reach_of(frame, grips, judged))
    kinds = sorted({s.isolator.name for s in seats if s.isolator.stiffness_n_mm(0) != s.isolator.stiffness_n_mm(1)})
    if len(kinds) > MOST_KINDS:
        raise ValueError(f"{len(kinds)} kinds of rubber whose stiffness is a range; {MOST_KINDS} at most can be worked "
                         "together: measure some of them")
    corners = [dict(zip(kinds, ends)) for ends in itertools.product((0, 1), repeat=len(kinds))]
    slow = np.array([[s.isolator.stiffness_n_mm(ends.get(s.isolator.name, 0)) for s in seats] for ends in corners])
    shaken = np.array([[s.isolator.shaken_n_mm(end) for s in seats] for end in (0, 1)])
    growth = wish.growth or Growth((0.0, 0.0))
    start = chain.elements[0].start
    shares = sorted(set(growth.share))
    grown = np.array([[share * (s.foot - start) + np.array(growth.outlet_mm) for s in seats] for share in shares])
    pipe = chain.elements[0]
    rod = wish.rod.diameter_mm
    return Setting(
        chain, wish, tuple(seats), tuple(reaches), slow, shaken, grown,
        np.array([least(s.candidate.most_n, s.isolator.most_n) for s in seats]),
        np.array([least(s.isolator.most_mm, None) for s in seats]),
        {name: rule(name, wish.versions.get(name)) for name in RULES},
        tube_second_moment(pipe.outside_mm, pipe.wall_mm) / (0.5 * pipe.outside_mm), math.pi * rod**3 / 32.0,
        tuple("outlet" if s == 0.0 else letters[s] for s in judged))


def least(*limits: float | None) -> float:
    return min((v for v in limits if v is not None), default=math.inf)


@dataclass(frozen=True, slots=True, eq=False)
class Judged:
    """What a batch of choices does in one case: forces under the weight and by growth (b, c, 3), sag (b,), moments
    (b, k) still and worst, stress of the rods (b, c), stretch of the rubber (b, c), and use (b, m): each thing that may
    not be over its limit as a share of it."""

    weight_n: Floats
    growth_n: Floats
    sag_mm: Floats
    still: Floats
    worst: Floats
    rod_mpa: Floats
    stretch_mm: Floats
    use: Floats


def judged(setting: Setting, reach: Reach, chosen: Ints, springs: Floats, grown: Floats) -> Judged:
    """What a batch of choices (b, k) does in one case of rubber (c, 3) and growth (c, 3)."""
    got = answers(reach, chosen, springs, grown)
    shock = setting.limit("hanger-shock")
    still, worst = moments_of(reach, got.weight_n, got.growth_n, shock)
    cold, hot = got.weight_n, got.weight_n + got.growth_n
    size = np.maximum(np.linalg.norm(cold, axis=2), np.linalg.norm(hot, axis=2))
    stretch = np.maximum(np.linalg.norm(cold / springs, axis=2), np.linalg.norm(hot / springs, axis=2))
    levers = np.array([s.rod.lever for s in setting.seats])
    bumps = shock * got.weight_n
    rod = np.maximum(np.linalg.norm(np.cross(levers[None], bumps), axis=2),
                     np.linalg.norm(np.cross(levers[None], bumps + got.growth_n), axis=2)) / setting.rod_section_mm3
    slack = np.maximum(-np.minimum(cold[:, :, 2], hot[:, :, 2]), 0.0).max(axis=1)
    weight = reach.frame.mass_kg * STANDARD_GRAVITY
    stress = worst / setting.section_mm3
    outlet = math.inf if setting.wish.outlet_most_n_mm is None else setting.wish.outlet_most_n_mm
    use = np.stack([
        (size / setting.most_n).max(axis=1),
        (stretch / setting.most_mm).max(axis=1),
        np.where(slack > 1e-6 * weight, 1.0 + slack / weight, 0.0),
        got.sag_mm / setting.limit("hanger-sag"),
        stress.max(axis=1) / setting.limit("hanger-weld-bending"),
        worst[:, 0] / outlet,
        rod.max(axis=1) / setting.limit("hanger-bracket-bending"),
    ], axis=1)
    return Judged(got.weight_n, got.growth_n, got.sag_mm, still, worst, rod, stretch, use)


def uses(setting: Setting, chosen: Ints) -> Floats:
    """The worst use (b,) of a batch of choices over soft and stiff rubber and bellows, least and most growth."""
    worst = np.zeros(len(chosen))
    for reach, springs, grown in itertools.product(setting.reaches, setting.slow, setting.grown):
        worst = np.maximum(worst, judged(setting, reach, chosen, springs, grown).use.max(axis=1))
    return worst


def modes_of(setting: Setting, chosen: Sequence[int], most: int = 10) -> tuple[Range, ...]:
    """The lowest natural frequencies [Hz], each from softest to stiffest rubber and bellows: a stiffer spring never
    lowers one."""
    low = modes_hz(setting.reaches[0], chosen, setting.shaken[0], most)
    high = modes_hz(setting.reaches[-1], chosen, setting.shaken[1], most)
    return tuple((float(a), float(max(a, b))) for a, b in zip(low, high))


def shaken_by(setting: Setting) -> tuple[tuple[str, Range], ...]:
    """What shakes the pipe: its name and the band [Hz] to stay out of."""
    found = []
    if setting.wish.idle is not None:
        apart = setting.limit("hanger-mode-separation") / 100.0
        low, high = setting.wish.idle.firing_hz()
        found.append(("idle", (low * (1.0 - apart), high * (1.0 + apart))))
    found.append(("axle", (setting.limit("axle-bounce-low"), setting.limit("axle-bounce-high"))))
    return tuple(found)


def mode_rank(modes: Sequence[Range], bands: Sequence[tuple[str, Range]]) -> int:
    """0 when every band is clear, 1 when it depends on the rubber, 2 when a mode is in a band whatever the rubber."""
    rank = 0
    for low, high in modes:
        for _, band in bands:
            if band[0] <= low and high <= band[1]:
                return 2
            if high > band[0] and low < band[1]:
                rank = 1
    return rank
