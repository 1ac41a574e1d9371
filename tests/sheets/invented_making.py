"""What the sheets for making an exhaust are tried on: the laid routes of the two invented vehicles."""

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
from invented_sheets import LETTER, META

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.checks.exhaust_orders import ExhaustForOrder, coater_order, exhaust_shop_order
from trialfit.driveline.order_fields import Given
from trialfit.exhaust.bend_table import BenderTable, TubeRun, bender_table, tube_runs
from trialfit.exhaust.chain import Chain, Element, chain_of
from trialfit.exhaust.heat import Flow, run_hot
from trialfit.exhaust.nesting import BendStock, Nest, StickStock, nest, wanted_of
from trialfit.exhaust.pieces import CutList
from trialfit.exhaust.saw_marks import allotted
from trialfit.exhaust.sizing import PipeChoice, by_diameter
from trialfit.exhaust.welding import FitUpPlan, fit_up_plan
from trialfit.findings import Verdict
from trialfit.sheets.exhaust_size_sheet import HotNeighbour, SizeAndHeat
from trialfit.sheets.paper import SheetMeta, Stop

EXAMPLES = Path(__file__).parents[2] / "examples"
KERF = 1.5
STOP = Stop(False, "cut", "The gap at the axle is known to 6 mm and 9 are there.",
            "Measure pad.R to floor.4 once more, both ends seen together.")
TUBES = tuple(PipeChoice(d, 1.5, 10.0 + 0.1 * d) for d in (38.0, 50.0, 60.0, 60.3, 63.5, 76.2, 250.0))
NEAR = (
    HotNeighbour("fuel line", "fuel", 62.0, (330.0, 371.0), 333.15, Verdict.CANNOT_TELL,
                 "one bright sheet 10 mm off, or 40 mm more room"),
    HotNeighbour("floor", "floor", 35.0, (358.0, 420.0), 353.15, Verdict.DOES_NOT_FIT, "one bright sheet between"),
    HotNeighbour("brake line rear", "brake-line", 180.0, (305.0, 318.0), 373.15, Verdict.FITS),
)
SHOP = {"contact": Given("A. Builder (invented), 000 000"), "displacement": Given(2.4e6), "zinc": Given("no"),
        "material": Given("stainless"), "sensors": Given("yes")}
COAT = {"process": Given("powder coating"), "coating_limit": Given(473.15), "closed_tubes": Given("none")}


@dataclass(frozen=True)
class Making:
    """One vehicle's exhaust with everything that its sheets are made from."""

    meta: SheetMeta
    cuts: CutList
    chain: Chain
    with_box: Chain
    plan: Nest
    fit_up: FitUpPlan
    bends: BenderTable
    tube: tuple[TubeRun, ...]
    size: SizeAndHeat
    known: ExhaustForOrder

    @property
    def shop_order(self):
        return exhaust_shop_order(self.known, SHOP)

    @property
    def coat_order(self):
        return coater_order(self.known, COAT)


def boxed(chain: Chain) -> Chain:
    """The chain with a muffler and a bellows set into its first straight (invented)."""
    first = chain.elements[0]
    way, found, at = first.way_in, [], 0.0

    def add(name, kind, long, **more):
        nonlocal at
        start = first.start + at * way
        found.append(Element(name, kind, at, long, start, start + long * way, way, way, first.outside_mm, first.wall_mm,
                             **more))
        at += long

    add("straight", "straight", 120.0, mass_kg=0.3)
    add("flex", "bellows", 100.0, mass_kg=None, width_mm=82.0, height_mm=82.0)
    add("small box", "muffler", 180.0, mass_kg=4.5, width_mm=180.0, height_mm=110.0, wide=np.array([0.0, 1.0, 0.0]))
    rest = replace(first, from_mm=at, length_mm=first.length_mm - at, start=first.start + at * way)
    return replace(chain, elements=(*found, rest, *chain.elements[1:]))


@cache
def making(name: str) -> Making:
    """``estate`` on A4 or ``flatbed`` on Letter."""
    results = run(load(EXAMPLES / name / "build.yaml").build, gaps=False)
    cuts, route = results.cuts[0], results.routes[0]
    chain = chain_of(route, cuts)
    shelf = route.plan.stock[0]
    stock = [BendStock(shelf.name, cuts.diameter_mm, cuts.wall_mm, shelf.radius_mm, shelf.angle_rad, shelf.leg_mm,
                       shelf.price),
             StickStock("stick, invented", cuts.diameter_mm, cuts.wall_mm, 2000.0, 22.0),
             StickStock("off-cut, invented", cuts.diameter_mm, cuts.wall_mm, 700.0, 0.0, 1)]
    flow, box, bends = Flow(0.12, 950.0, 40.0), boxed(chain), bender_table(route.centreline)
    hot = run_hot(box, flow)
    size = SizeAndHeat(box, flow, hot, by_diameter(box, flow, TUBES), NEAR, 0.015)
    # the box is drawn over what the flat-bed carries itself, so its tube is parted by its own parts
    own = chain if any(e.is_part for e in chain.elements) else box
    tube = tube_runs(route.centreline, [e for e in own.elements if e.is_part])
    meta = META if name == "estate" else LETTER
    known = ExhaustForOrder(box, bends, (("axle tube", 31.2, 3.0), ("fuel line", 62.0, None)), ("rail.R1, rod 10 mm",),
                            hot, meta.load_state, meta.build, tube=tube)
    material = "stainless" if name == "estate" else "aluminised steel"
    plan = nest(wanted_of(cuts), stock, KERF)
    return Making(meta, allotted(cuts, plan), chain, box, plan,
                  fit_up_plan(cuts, chain, results.points, material), bends, tube, size,
                  known)
