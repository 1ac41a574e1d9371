"""A route as the pieces that take up room: straights, arcs, and the slabs that stand for parts.

One packed row per piece, for the compiled kernels (``PIECE_WIDTH`` numbers):

    0 kind (STRAIGHT or ARC) | 1..3 start [mm] | 4..6 unit direction there | 7..9 unit towards the bend's centre (ARC)
    10 radius of the bend [mm] (ARC) | 11 length of centre line [mm] | 12 radius of the skin [mm]
    13 half the extra width of a slab [mm], 0 for pipe | 14..16 unit along that width | 17 carrier (FRAME or ENGINE)
    18 number of the part, -1 for pipe | 19 leg or bend it belongs to
"""

import math

import numpy as np
from numpy.typing import NDArray

from trialfit.routing.problem import Problem, Way

Floats = NDArray[np.float64]

PIECE_WIDTH = 20
STRAIGHT, ARC = 0, 1
FRAME, ENGINE = 0, 1


def pieces(problem: Problem, way: Way) -> Floats:
    """Packed rows (k, PIECE_WIDTH) of a route, outlet to end.

    What lies before the first part that frees, and that part's first half, is carried by the engine; without an engine
    path everything is on the frame.
    """
    size = problem.sizes[way.size]
    skin = size.diameter_mm / 2.0
    points = way.points
    count = len(points) - 2
    along = np.diff(points, axis=0)
    length = np.linalg.norm(along, axis=1)
    unit = along / np.maximum(length, 1e-12)[:, None]
    unit[0] = problem.aim
    turn = np.array([math.atan2(float(np.linalg.norm(np.cross(unit[k], unit[k + 1]))), float(unit[k] @ unit[k + 1]))
                     for k in range(count)])
    radius = np.array([size.bends[b].radius_mm for b in way.bends])
    cut = radius * np.tan(turn / 2.0)
    before = np.concatenate(([0.0], cut))
    after = np.concatenate((cut, [0.0]))
    freeing = next((k for k, p in enumerate(problem.parts) if p.frees), None)
    moving = problem.engine is not None and freeing is not None
    rows: list[list[float]] = []

    def straight(start: Floats, u: Floats, run: float, carrier: int, leg: int) -> None:
        if run > 0.0:
            rows.append([STRAIGHT, *start, *u, 0.0, 0.0, 0.0, 0.0, run, skin, 0.0, 0.0, 0.0, 0.0, carrier, -1, leg])

    carrier = ENGINE if moving else FRAME
    for leg in range(count + 1):
        u = unit[leg]
        at, last = float(before[leg]), float(length[leg] - after[leg])
        for k, (part, put) in enumerate(zip(problem.parts, way.parts, strict=True)):
            if put.leg != leg:
                continue
            straight(points[leg] + at * u, u, put.start_mm - at, carrier, leg)
            wide = wide_axis(u, put.clock_rad)
            half = (part.width_mm - part.height_mm) / 2.0
            halves = ((0.0, 0.5), (0.5, 1.0)) if moving and k == freeing else ((0.0, 1.0),)
            for first, second in halves:
                start = points[leg] + (put.start_mm + first * part.length_mm) * u
                rows.append([STRAIGHT, *start, *u, 0.0, 0.0, 0.0, 0.0, (second - first) * part.length_mm,
                             part.height_mm / 2.0, half, *wide, carrier, k, leg])
                if len(halves) == 2:
                    carrier = FRAME
            at = put.start_mm + part.length_mm
        straight(points[leg] + at * u, u, last - at, carrier, leg)
        if leg < count and turn[leg] > 1e-9:
            v = unit[leg + 1]
            inward = (v - math.cos(turn[leg]) * u) / math.sin(turn[leg])
            start = points[leg + 1] - cut[leg] * u
            rows.append([ARC, *start, *u, *inward, radius[leg], radius[leg] * turn[leg], skin, 0.0, 0.0, 0.0, 0.0,
                         carrier, -1, leg])
    return np.array(rows, dtype=np.float64).reshape(-1, PIECE_WIDTH)


def wide_axis(along: Floats, clock_rad: float) -> Floats:
    """Unit vector (3,) square to ``along``: level, to the right of travel, then turned by ``clock_rad`` about it.

    For a leg that stands upright, level has no meaning: the vehicle's y is taken instead.
    """
    level = np.array([-along[1], along[0], 0.0])
    size = float(np.linalg.norm(level))
    if size < 1e-9:
        level, size = np.array([0.0, 1.0, 0.0]), 1.0
    level /= size
    up = np.cross(along, level)
    return math.cos(clock_rad) * level + math.sin(clock_rad) * up
