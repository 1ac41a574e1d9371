"""What a build came to: every answer of every trade, before the doubt of the tape is weighed."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from trialfit.checks.assembly import MateResult
from trialfit.checks.driveline_answers import DrivelineAnswers
from trialfit.checks.fittings import ChainResult
from trialfit.checks.pairs import Pair
from trialfit.checks.placing import Placed
from trialfit.checks.stocking import StockPlan
from trialfit.driveline import Order
from trialfit.exhaust import CutList, LaidRoute, Wrap
from trialfit.findings import Finding
from trialfit.geometry.gaps import FAR_MM
from trialfit.geometry.solids import TriangleMesh
from trialfit.motion import Story
from trialfit.structure import TorqueLine
from trialfit.survey import Survey
from trialfit.vehicle import Build, PosePoint, Travel

if TYPE_CHECKING:
    from trialfit.checks.making import Making

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class GapAnswer:
    """The smallest gap of one pair over the whole travel, bracketed: ``lower_mm <= true <= upper_mm``.

    Negative means overlap. ``pose`` is where the smallest gap was met, ``at_a`` and ``at_b`` the nearest points of the
    two things there [mm, vehicle frame]. ``settled`` is False when the search stopped at its limit of cells: the bounds
    hold all the same. ``through_travel`` is False when one of the two moves and the travel is not known: the bounds are
    then those at ride height only.
    """

    pair: Pair
    lower_mm: float
    upper_mm: float
    pose: PosePoint
    at_a: tuple[float, float, float]
    at_b: tuple[float, float, float]
    cells: int
    settled: bool
    through_travel: bool = True

    @property
    def closed(self) -> bool:
        """Whether the smallest gap itself was sought; far above what is wanted the search stops at once, with
        ``upper_mm`` only one gap met and ``pose`` not the worst."""
        return self.lower_mm < self.pair.required_mm + FAR_MM


@dataclass(frozen=True, slots=True)
class MeshFit:
    """How well a scan lies on its hardpoints [mm]."""

    name: str
    scale: float
    rms_mm: float
    residuals_mm: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Results:
    """Everything worked out about one build. A part that could not be worked out is None or empty, and a finding
    says why."""

    build: Build
    survey: Survey
    points: Mapping[str, Floats]
    sizes: Mapping[str, tuple[float, float]]
    travel: Travel | None
    story: Story | None
    routes: tuple[LaidRoute, ...]
    cuts: tuple[CutList, ...]
    wraps: tuple[Wrap, ...]
    placed: tuple[Placed, ...]
    meshes: Mapping[str, TriangleMesh]
    mesh_fits: tuple[MeshFit, ...]
    gaps: tuple[GapAnswer, ...]
    findings: tuple[Finding, ...]
    """all findings but those of the gaps, which wait for their doubt"""
    alternatives: tuple[tuple[str, Floats], ...] = ()
    """other routes that were found, by name, as chains of points (n, 3) [mm]: for the picture alone"""
    driveline: DrivelineAnswers | None = None
    orders: tuple[Order, ...] = ()
    """orders to the driveshaft and to the differential shop, ready or not"""
    mates: tuple[MateResult, ...] = ()
    """joints between parts, in the order of the file, each judged"""
    chains: tuple[ChainResult, ...] = ()
    """lines whose ends do not meet, with the fittings between them"""
    torques: tuple[TorqueLine, ...] = ()
    """the torque list: one line for each joint whose bolts are known by thread"""
    stock_plans: tuple[StockPlan, ...] = ()
    """which stock the pieces of each laid exhaust are cut from; ``cuts`` has it written into the pieces"""
    makings: "tuple[Making, ...]" = ()
    """how each laid exhaust is made; hangers and ways out only where they were asked for"""

    def stock_plan(self, route: str) -> StockPlan:
        """What the pieces of one laid exhaust are cut from.

        Raises
        ------
        LookupError
            for an exhaust that is not laid
        """
        found = next((p for p in self.stock_plans if p.cuts.route == route), None)
        if found is None:
            raise LookupError(f"no exhaust called {route} is laid")
        return found
