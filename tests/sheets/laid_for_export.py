"""An invented route with every kind of piece: sticks, a bend off the shelf, one to order, a pie cut, round and flat
parts."""

import math

import numpy as np

from trialfit.exhaust import cut_list, lay
from trialfit.vehicle import Amount, Corner, LaidPart, PieCutWish, RoutePlan, StockBend

SHELF = StockBend("U-bend", 95.25, math.pi, 100.0, 63.5)
PARTS = (
    LaidPart("flex", "bellows", 1, 120.0, Amount(110.0), Amount(82.0), Amount(82.0)),
    LaidPart("box", "muffler", 2, 400.0, Amount(400.0), Amount(180.0), Amount(110.0), math.radians(20.0)),
    LaidPart("band", "joint", 2, 950.0, Amount(40.0), Amount(92.0), Amount(92.0)),
)
POINTS = {"outlet": np.array([820.0, 180.0, 420.0]), "outlet.aim": np.array([900.0, 196.0, 398.0])}


def plan(name="main", parts=PARTS):
    """The route's plan."""
    return RoutePlan(
        name, Amount(63.5, 0.05), Amount(1.5), "outlet", "outlet.aim",
        (Corner((1210.0, 265.0, 310.0), Amount(95.25)), Corner((2480.0, 330.0, 300.0), Amount(95.25)),
         Corner((2690.0, 380.0, 560.0), Amount(127.0)),
         Corner((3090.0, 440.0, 560.0), Amount(120.0), PieCutWish(5, 1.5))),
        (3390.0, 520.0, 300.0), (SHELF,), 20.0, parts)


def laid_route(name="main", parts=PARTS):
    """The route laid on its points, its readings doubtful by 2 mm, and its cut list."""
    laid = lay(plan(name, parts), POINTS, {}, np.diag([4.0] * 6))
    assert laid.centreline is not None, [f for f in laid.findings if f.verdict.value != "fits"]
    return laid, cut_list(laid)
