"""What is welded onto a laid pipe beside its own pieces: branches and end cones, with their mass, room and welds.

In: the chain, the cuts of branch and cone. Out: a record of each, for whoever weighs, boxes, tacks or orders the pipe.
Left out: the hole that a branch needs, whose steel counts as if it were still there, and the saddle's own depth.
Source: geometry.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from trialfit.exhaust.branch import BranchCut
from trialfit.exhaust.chain import Chain, Element
from trialfit.exhaust.pieces import CutList, Xyz
from trialfit.exhaust.transitions import ConeCut, cone_mass_kg, cone_solid
from trialfit.standards import density_kg_mm3
from trialfit.structure.tube import tube_mass_per_length

CONE, BRANCH = "cone", "branch"


@dataclass(frozen=True, slots=True)
class Beside:
    """One thing welded on. ``at_mm`` is where along the centre line (a cone: the end of the pipe it sits on);
    ``welds`` and ``weld_mm`` how many and how long together, a cone's seam among them; ``low_mm`` and ``high_mm`` the
    box it takes; ``words`` what it is, for an order; ``tack`` what is done to put it on."""

    name: str
    kind: str
    at_mm: float
    mass_kg: float
    welds: int
    weld_mm: float
    low_mm: Xyz
    high_mm: Xyz
    words: str
    tack: str


def beside_of(chain: Chain, cuts: CutList, branches: Sequence[BranchCut], cones: Sequence[ConeCut]
              ) -> tuple[Beside, ...]:
    """Branches, then cones, as they are put onto a pipe.

    Parameters
    ----------
    chain : Chain
    cuts : CutList
        of the same route
    branches, cones : sequence
    """
    density = density_kg_mm3(chain.material)
    return (*(_branch(chain, cuts, b, density) for b in branches), *(_cone(chain, c, density) for c in cones))


def _box(points: Sequence[ArrayLike], reach: float) -> tuple[Xyz, Xyz]:
    all_ = np.asarray(points, dtype=np.float64)
    low, high = (all_.min(axis=0) - reach).tolist(), (all_.max(axis=0) + reach).tolist()
    return (low[0], low[1], low[2]), (high[0], high[1], high[2])


def _branch(chain: Chain, cuts: CutList, cut: BranchCut, density: float) -> Beside:
    b = cut.branch
    piece, along = cuts.at(b.at_mm)
    low, high = _box([cut.start, cut.end], 0.5 * b.diameter_mm)
    words = (f"{b.name}: branch of {b.diameter_mm:.1f} mm at {b.at_mm:.0f} mm, {cut.goes_off}, "
             f"at {math.degrees(b.angle_rad):.0f} deg to the flow, {b.length_mm:.0f} mm long")
    tack = (f"branch {b.name} onto piece {piece.number}, its axis through that of the pipe {along:.1f} mm behind joint "
            f"{piece.start}, {cut.goes_off}: hole and end by their papers, grit out of the pipe, tack, clear through "
            "the travel, then weld")
    mass = tube_mass_per_length(b.diameter_mm, b.wall_mm, density) * b.length_mm
    return Beside(b.name, BRANCH, b.at_mm, mass, 1, cut.weld_mm, low, high, words, tack)


def _cone(chain: Chain, cut: ConeCut, density: float) -> Beside:
    solid = cone_solid(cut, chain)
    low, high = _box([solid.start, solid.end], 0.5 * max(cut.pipe_mm, cut.far_mm))
    slant = math.hypot(cut.length_mm, 0.5 * (cut.far_mm - cut.pipe_mm))
    words = (f"{cut.name}: cone at the {cut.at}, {cut.pipe_mm:.1f} to {cut.far_mm:.1f} mm outside over "
             f"{cut.length_mm:.0f} mm")
    tack = f"cone {cut.name}: rolled by its paper, seam welded on the bench, tacked and welded onto the {cut.at}"
    return Beside(cut.name, CONE, 0.0 if cut.at == "outlet" else chain.length_mm, cone_mass_kg(cut, 1e9 * density), 2,
                  math.pi * cut.pipe_mm + slant, low, high, words, tack)


def on_section(parts: Sequence[Sequence[Element]], number: int, beside: Sequence[Beside]) -> tuple[Beside, ...]:
    """What of it goes with section ``number``, counted from 1; at the very joint it goes with what lies before."""

    def section(one: Beside) -> int:
        return next((n for n, p in enumerate(parts, 1) if one.at_mm <= p[-1].to_mm + 1e-6), len(parts))

    return tuple(b for b in beside if section(b) == number)
