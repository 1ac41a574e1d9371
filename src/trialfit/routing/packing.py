"""A problem and its routes as the numbers that the compiled kernels take, and back."""

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trialfit.routing import pipe
from trialfit.routing.problem import PartAt, Problem, Size, Way

Floats = NDArray[np.float64]

ANYWHERE_MM = 1e9
MOST_CLOCKS = 8
STEEPEST_RAD = math.radians(165.0)
"""The sharpest bend one corner can stand for [rad]: past it the corner runs away. A U-turn takes two corners."""
COST_PER_MM = 0.01
"""What a mm costs inside the kernels; every other cost is scaled alike, so that one set of penalties serves all."""


def scale_of(size: Size) -> float:
    """What one unit of cost inside the kernels is worth in the builder's terms."""
    typical = max(size.per_mm, 1e-3 * max((*size.per_bend, *size.per_rad, 1e-9)))
    return typical / COST_PER_MM


def packed(problem: Problem, number: int) -> tuple[Any, ...]:
    """The tuple of arrays that the kernels take for one pipe size."""
    size = problem.sizes[number]
    scale = scale_of(size)
    scalars = np.zeros(12)
    scalars[pipe.SKIN] = size.diameter_mm / 2.0
    scalars[pipe.LEAST] = problem.least_straight_mm
    scalars[pipe.FIRST] = problem.first_straight_mm
    scalars[pipe.CONE] = problem.exit.cone_rad
    scalars[pipe.PER_MM] = size.per_mm / scale
    scalars[pipe.FIXED] = size.fixed / scale
    scalars[pipe.LEAST_TURN] = pipe.LEAST_TURN_RAD
    scalars[pipe.PARTS] = len(problem.parts)
    freeing = next((k for k, p in enumerate(problem.parts) if p.frees), -1) if problem.engine is not None else -1
    scalars[pipe.FREEING] = freeing
    scalars[pipe.GAP_WEIGHT] = problem.gap_weight / scale
    scalars[pipe.GAP_WANTED] = problem.gap_wanted_mm
    bends = np.zeros((len(size.bends), 4))
    for k, bend in enumerate(size.bends):
        bends[k] = (bend.radius_mm, min(bend.most_rad, STEEPEST_RAD), size.per_rad[k] / scale, size.per_bend[k] / scale)
    rows = max(len(problem.parts), 1)
    parts = np.zeros((rows, 11))
    clocks = np.zeros((rows, MOST_CLOCKS))
    for k, part in enumerate(problem.parts):
        parts[k, pipe.Q_LENGTH] = part.length_mm
        parts[k, pipe.Q_HALF] = (part.width_mm - part.height_mm) / 2.0
        parts[k, pipe.Q_SKIN] = part.height_mm / 2.0
        parts[k, pipe.Q_ROOM] = part.room_mm
        zone = part.zone if part.zone is not None else np.array([[-ANYWHERE_MM] * 3, [ANYWHERE_MM] * 3])
        parts[k, pipe.Q_LOW : pipe.Q_LOW + 3], parts[k, pipe.Q_HIGH : pipe.Q_HIGH + 3] = zone[0], zone[1]
        turns = part.clocks_rad[:MOST_CLOCKS] or (0.0,)
        parts[k, 10] = len(turns)
        clocks[k, : len(turns)] = turns
    box = np.array((problem.exit.low, problem.exit.high), dtype=np.float64)
    return (np.array(problem.outlet, dtype=np.float64), np.array(problem.aim, dtype=np.float64), box,
            np.array(problem.exit.aim, dtype=np.float64), scalars, bends, parts, clocks,
            np.array(problem.bounds, dtype=np.float64))


def way_of(problem: Problem, number: int, row: Floats) -> Way:
    """A packed candidate as a route, its cost worked out afresh in the builder's terms."""
    n = int(row[0])
    points = np.empty((n + 2, 3))
    points[0] = problem.outlet
    points[1] = problem.outlet + row[pipe.AT_X] * problem.aim
    if n:
        points[2:] = row[pipe.AT_X + 1 : pipe.AT_X + 1 + 3 * n].reshape(n, 3)
    kinds = tuple(int(k) for k in row[pipe.AT_KIND : pipe.AT_KIND + n])
    runs, cuts, _turns = legs_of(problem, number, points, kinds)
    places: list[PartAt] = []
    for leg in range(n + 1):
        here = [k for k in range(len(problem.parts)) if int(row[pipe.AT_LEG + k]) == leg]
        taken = sum(problem.parts[k].length_mm + 2.0 * problem.parts[k].room_mm for k in here)
        over = max(runs[leg] - cuts[leg] - cuts[leg + 1] - taken, 0.0)
        base = cuts[leg]
        for k in here:
            part = problem.parts[k]
            base += part.room_mm
            share = min(1.0, max(0.0, float(row[pipe.AT_U + k])))
            places.append(PartAt(leg, float(base + share * over), float(row[pipe.AT_CLOCK + k])))
            base += part.length_mm + part.room_mm
    return priced(problem, number, points, kinds, tuple(places), float(row[3]))


def legs_of(problem: Problem, number: int, points: Floats, kinds: tuple[int, ...]) -> tuple[Floats, Floats, Floats]:
    """Length of every leg, what the bends cut off it at each point (0 at outlet and end), turn at each corner."""
    size = problem.sizes[number]
    along = np.diff(points, axis=0)
    runs = np.linalg.norm(along, axis=1)
    unit = along / np.maximum(runs, 1e-12)[:, None]
    unit[0] = problem.aim
    n = len(points) - 2
    turns = np.array([math.atan2(float(np.linalg.norm(np.cross(unit[k], unit[k + 1]))), float(unit[k] @ unit[k + 1]))
                      for k in range(n)])
    radii = np.array([size.bends[k].radius_mm for k in kinds])
    cuts = np.zeros(n + 2)
    cuts[1 : n + 1] = radii * np.tan(turns / 2.0)
    return runs, cuts, turns


def priced(problem: Problem, number: int, points: Floats, kinds: tuple[int, ...], places: tuple[PartAt, ...],
           margin_mm: float) -> Way:
    """A route with its length, turning, welds and cost in the builder's terms."""
    size = problem.sizes[number]
    runs, cuts, turns = legs_of(problem, number, points, kinds)
    radii = np.array([size.bends[k].radius_mm for k in kinds])
    length = float((runs - cuts[:-1] - cuts[1:]).sum() + (radii * turns).sum())
    terms = []
    cost = 0.0
    for term in size.terms:
        amount = term.fixed + term.per_mm * length
        for k, turn in zip(kinds, turns, strict=True):
            amount += term.per_rad[k] * float(turn) + term.per_bend[k]
        terms.append((term.name, amount))
        cost += term.weight * amount
    if problem.gap_weight > 0.0:
        short = max(0.0, problem.gap_wanted_mm - margin_mm)
        terms.append(("gap short", short))
        cost += problem.gap_weight * short
    welds = sum(size.bends[k].welds for k in kinds) + sum(p.welds for p in problem.parts)
    return Way(number, points, kinds, places, cost, tuple(terms), length, float(turns.sum()), welds, margin_mm)
