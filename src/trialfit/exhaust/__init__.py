"""What pieces make this exhaust, and what paper goes round them?

In: a hand-laid route (outlet, corners with bend radii, end, bends on the shelf) with its hardpoints and sizes solved.
Out: findings whether it can be bent and of what (:func:`lay`), a centre line for the gaps, a cut list with the turn
from bend to bend (:func:`cut_list`), papers at full size (:func:`wraps`), growth when hot (:func:`thermal_growth`).
Left out: whether it touches anything, gas flow, hangers. Sources: geometry; where a tolerance is the trade's it says
"common practice, no source".

>>> from trialfit.vehicle import Amount, Corner, RoutePlan, StockBend
>>> import math
>>> plan = RoutePlan("main", Amount(50.0), Amount(1.5), "outlet", "", (Corner((500.0, 0.0, 300.0), Amount(75.0)),),
...                  (500.0, 400.0, 300.0), (StockBend("U-bend", 75.0, math.pi, 60.0, 50.0),))
>>> laid = lay(plan, {"outlet": (0.0, 0.0, 300.0)}, {})
>>> [(p.number, str(p.kind), round(p.length_to_cut_mm, 1)) for p in cut_list(laid).pieces]
[(1, 'straight', 365.0), (2, 'bend', 177.8), (3, 'straight', 325.0)]
"""

from trialfit.exhaust.cuts import cut_list
from trialfit.exhaust.growth import growth_by_coefficient, thermal_growth
from trialfit.exhaust.lay import LaidRoute, lay
from trialfit.exhaust.pieces import (
    Clocking,
    CutList,
    Kind,
    Line,
    Mark,
    Piece,
    PieCut,
    StartFrame,
    StockCut,
    Way,
    Wrap,
)
from trialfit.exhaust.wraps import angle_cut_wrap, cone_wrap, saddle_wrap, wraps

__all__ = [
    "Clocking", "CutList", "Kind", "LaidRoute", "Line", "Mark", "PieCut", "Piece", "StartFrame", "StockCut", "Way",
    "Wrap", "angle_cut_wrap", "cone_wrap", "cut_list", "growth_by_coefficient", "lay", "saddle_wrap", "thermal_growth",
    "wraps",
]
