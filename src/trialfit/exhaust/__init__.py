"""What pieces make this exhaust, and what paper goes round them?

In: a laid route (outlet, corners with bend radii, end, parts on it, bends on the shelf) with its hardpoints and sizes
solved. Out: findings whether it can be bent and of what (:func:`lay`), a centre line for the gaps, a cut list with the
turn from bend to bend (:func:`cut_list`), papers at full size (:func:`wraps`), growth when hot
(:func:`thermal_growth`), back pressure in a steady flow (:func:`back_pressure`). The whole pipe as one thing after
another is a :class:`Chain`; what is asked of it stands in the module of that subject: ``heat`` and ``sizing``,
``hangers``, ``removal``, ``joints``, ``sensor``, ``branch``, ``nesting``, ``fit_up``, ``bend_table``, ``welding``. Left
out: whether it touches anything but itself. Sources: geometry, handbooks as each sum names them; where a tolerance is
the trade's it says "common practice, no source".

>>> from trialfit.vehicle import Amount, Corner, RoutePlan, StockBend
>>> import math
>>> plan = RoutePlan("main", Amount(50.0), Amount(1.5), "outlet", "", (Corner((500.0, 0.0, 300.0), Amount(75.0)),),
...                  (500.0, 400.0, 300.0), (StockBend("U-bend", 75.0, math.pi, 60.0, 50.0),))
>>> laid = lay(plan, {"outlet": (0.0, 0.0, 300.0)}, {})
>>> [(p.number, str(p.kind), round(p.length_to_cut_mm, 1)) for p in cut_list(laid).pieces]
[(1, 'straight', 365.0), (2, 'bend', 177.8), (3, 'straight', 325.0)]
"""

import trialfit.exhaust.bars
import trialfit.exhaust.branch
import trialfit.exhaust.gas
import trialfit.exhaust.hanger_rod
import trialfit.exhaust.hanging
import trialfit.exhaust.heat
import trialfit.exhaust.isolators
import trialfit.exhaust.joints
import trialfit.exhaust.sensor
import trialfit.exhaust.sizing
import trialfit.exhaust.welding  # noqa: F401
from trialfit.exhaust.chain import Chain, Element, Weld, chain_of, sections
from trialfit.exhaust.cuts import cut_list
from trialfit.exhaust.growth import growth_by_coefficient, thermal_growth
from trialfit.exhaust.lay import LaidRoute, bend_radius_mm, bends_for, lay
from trialfit.exhaust.parts import BELLOWS, PartSpot, spots_of
from trialfit.exhaust.pieces import (
    Clocking,
    CutList,
    Kind,
    Line,
    Mark,
    PartClock,
    Piece,
    PieCut,
    StartFrame,
    StockCut,
    Way,
    Wrap,
)
from trialfit.exhaust.pressure import back_pressure, bend_loss, bend_loss_line, friction_factor, velocity_head
from trialfit.exhaust.wraps import angle_cut_wrap, cone_wrap, saddle_wrap, wraps

__all__ = [
    "BELLOWS", "Chain", "Clocking", "CutList", "Element", "Kind", "LaidRoute", "Line", "Mark", "PartClock", "PartSpot",
    "PieCut", "Piece", "StartFrame", "StockCut", "Way", "Weld", "Wrap", "angle_cut_wrap", "back_pressure", "bend_loss",
    "bend_loss_line", "bend_radius_mm", "bends_for", "chain_of", "cone_wrap", "cut_list", "friction_factor",
    "growth_by_coefficient", "lay", "saddle_wrap", "sections", "spots_of", "thermal_growth", "velocity_head", "wraps",
]
