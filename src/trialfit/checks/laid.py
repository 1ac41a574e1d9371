"""A route that was found, written as one that is laid by hand: corners, end, parts on their legs."""

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from trialfit.checks.asked import quarter_turn
from trialfit.exhaust import bends_for
from trialfit.routing.problem import Problem, Way
from trialfit.vehicle import Amount, BendWish, Corner, LaidPart, PartWish, PieCutWish, RoutePlan

Floats = NDArray[np.float64]
Xyz = tuple[float, float, float]

DECIMALS = 2
"""A corner is written to so many decimals of a millimetre, as the build file does."""


def plan_of(problem: Problem, way: Way, plan: RoutePlan) -> RoutePlan:
    """The plan with the way that was found laid into it; the wish stays, so that it can be looked for again.

    Corners are rounded to a hundredth of a millimetre. Whatever the plan had laid before is replaced.

    Parameters
    ----------
    problem : Problem
        what was asked, as ``problem_of`` made it from this very plan
    way : Way
        what was found

    Raises
    ------
    ValueError
        when the plan has no wish, or the way does not belong to it
    """
    wish = plan.wish
    if wish is None:
        raise ValueError(f"exhaust {plan.name} asks for nothing, so nothing can have been found for it")
    size = problem.sizes[way.size]
    asked = {p.name: p for p in wish.parts}
    bends = bends_for(wish.bends, size.diameter_mm)
    if len(size.bends) != len(bends) or len(problem.sizes) != len(wish.pipes) or any(
            p.kind != "through" and p.name not in asked for p in problem.parts):
        raise ValueError(f"the way was not found for exhaust {plan.name}")
    pipe = wish.pipes[way.size]
    points = [_rounded(p) for p in way.points]
    corners = tuple(
        _corner(point, bends[bend], size.bends[bend].radius_mm)
        for point, bend in zip(points[1:-1], way.bends, strict=True))
    parts = tuple(
        _part(asked[part.name], put.leg, put.start_mm, put.clock_rad)
        for part, put in zip(problem.parts, way.parts, strict=True) if part.kind != "through")
    return replace(plan, diameter=pipe.diameter, wall=pipe.wall, corners=corners, end=points[-1], parts=parts,
                   laid=True, found="")


def _rounded(point: Floats) -> Xyz:
    x, y, z = (round(float(v), DECIMALS) + 0.0 for v in point)
    return x, y, z


def _corner(point: Xyz, bend: BendWish, radius_mm: float) -> Corner:
    pie = PieCutWish(bend.pieces, bend.kerf_mm) if bend.pieces else None
    if bend.times > 0.0:
        return Corner(point, Amount(radius_mm, 0.0, f"{bend.times:g} D"), pie)
    return Corner(point, Amount(radius_mm, bend.radius.sd_mm, bend.radius.size), pie)


def _part(asked: PartWish, leg: int, start_mm: float, clock_rad: float) -> LaidPart:
    clock = clock_rad - quarter_turn(asked.width.mm, asked.height.mm)
    return LaidPart(asked.name, asked.kind, leg + 1, round(start_mm, DECIMALS), asked.length, asked.width, asked.height,
                    math.remainder(clock, math.tau), asked.where)
