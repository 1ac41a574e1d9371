"""Is a route buildable and clear, and what does it cost? Worked out apart from the router, for both contestants alike.

Nothing of the router's own measuring is used but the field's ``value``, which is held against a general library in
``throughput.py``. Samples at every pose of the problem's grid; what lies between them is for the certificate.
"""

import math
from dataclasses import dataclass

import numpy as np
from numba import njit

from trialfit.routing.field import Fields, value
from trialfit.routing.pieces import ENGINE, pieces
from trialfit.routing.problem import Problem, Way

SAMPLE_MM = 5.0
SLACK = 1e-6


@dataclass(frozen=True, slots=True)
class Judgement:
    """``broken``: rules that do not hold, in words; ``margin_mm``: least gap over what is required at the samples."""

    cost: float
    length_mm: float
    turn_rad: float
    bends: int
    welds: int
    margin_mm: float
    broken: tuple[str, ...]


@njit(nogil=True)
def least_margin(rows, F0, F1, step):  # type: ignore[no-untyped-def]
    """Least gap over what is required along packed pieces, sampled every ``step`` mm or as far as the gap lets skip."""
    least = 1e9
    for q in range(rows.shape[0]):
        row = rows[q]
        run, skin, half = row[11], row[12], row[13]
        lanes = int(2.0 * half / step) + 2 if half > 0.0 else 1
        F = F1 if row[17] == ENGINE else F0
        for lane in range(lanes):
            aside = half * (2.0 * lane / (lanes - 1) - 1.0) if lanes > 1 else 0.0
            s = 0.0
            while True:
                if row[0] == 1.0:
                    turn = s / row[10]
                    a, b = row[10] * math.sin(turn), row[10] * (1.0 - math.cos(turn))
                else:
                    a, b = s, 0.0
                gap = value(F, row[1] + a * row[4] + b * row[7] + aside * row[14],
                            row[2] + a * row[5] + b * row[8] + aside * row[15],
                            row[3] + a * row[6] + b * row[9] + aside * row[16]) - skin
                if gap < least:
                    least = gap
                if s >= run:
                    break
                s = min(run, s + max(step, gap - least))
    return least


def turns_of(points: np.ndarray) -> np.ndarray:
    """Turn at each corner (n,) [rad]."""
    along = np.diff(points, axis=0)
    unit = along / np.maximum(np.linalg.norm(along, axis=1), 1e-12)[:, None]
    across = np.linalg.norm(np.cross(unit[:-1], unit[1:]), axis=1)
    return np.arctan2(across, np.einsum("ij,ij->i", unit[:-1], unit[1:]))


def judge(problem: Problem, fields: Fields, way: Way, pad_mm: float = 0.0) -> Judgement:
    """Every rule of the problem held against a route, and its cost from its own length, turns and welds."""
    size, points = problem.sizes[way.size], way.points
    along = np.diff(points, axis=0)
    legs = np.linalg.norm(along, axis=1)
    unit = along / np.maximum(legs, 1e-12)[:, None]
    turns = turns_of(points)
    kinds = [size.bends[b] for b in way.bends]
    radii = np.array([k.radius_mm for k in kinds])
    broken: list[str] = []
    if not np.allclose(points[0], problem.outlet, atol=1e-6):
        broken.append("does not begin at the outlet")
    if len(turns) and legs[0] > 1e-6 and unit[0] @ problem.aim < 1.0 - 1e-9:
        broken.append("does not leave along the outlet")
    if len(turns) > problem.most_bends:
        broken.append(f"{len(turns)} bends")
    for k, (turn, bend) in enumerate(zip(turns, kinds, strict=True)):
        if turn > bend.most_rad + SLACK:
            broken.append(f"bend {k + 1} turns {math.degrees(turn):.1f} deg")
    cut = radii * np.tan(np.minimum(turns, 3.0) / 2.0)
    before, after = np.concatenate(([0.0], cut)), np.concatenate((cut, [0.0]))
    free = legs - before - after
    for leg, run in enumerate(free):
        need = problem.first_straight_mm if leg == 0 else problem.least_straight_mm
        at = before[leg]
        for part, put in zip(problem.parts, way.parts, strict=True):
            if put.leg != leg:
                continue
            if put.start_mm < at + part.room_mm - SLACK:
                broken.append(f"{part.name} begins {at + part.room_mm - put.start_mm:.2f} mm too early")
            at = put.start_mm + part.length_mm + part.room_mm
            middle = points[leg] + (put.start_mm + part.length_mm / 2.0) * unit[leg]
            zone = middle[None] if part.zone is None else part.zone
            if np.any(middle < zone[0] - SLACK) or np.any(middle > zone[-1] + SLACK):
                broken.append(f"{part.name} out of its zone")
            if min(abs(put.clock_rad - c) for c in part.clocks_rad) > 1e-9:
                broken.append(f"{part.name} turned")
        if at > legs[leg] - after[leg] + SLACK:
            broken.append(f"leg {leg} has no room for its parts")
        if run < need - SLACK:
            broken.append(f"straight {leg} is {run:.1f} mm")
    order = [put.leg for put in way.parts]
    if order != sorted(order):
        broken.append("parts out of order")
    end = problem.exit
    if np.any(points[-1] < end.low - SLACK) or np.any(points[-1] > end.high + SLACK):
        broken.append("ends outside the exit")
    if math.acos(min(1.0, float(unit[-1] @ end.aim))) > end.cone_rad + SLACK:
        broken.append("points out of the exit's cone")
    margin = -math.inf
    if not any("turns" in b or "straight" in b for b in broken):
        margin = float(least_margin(pieces(problem, way), fields.frame, fields.engine, SAMPLE_MM))
        if margin < pad_mm:
            broken.append(f"too near by {pad_mm - margin:.2f} mm")
    length = float(free.sum() + (radii * turns).sum())
    cost = length * size.per_mm + size.fixed
    cost += sum(size.per_rad[b] * t + size.per_bend[b] for b, t in zip(way.bends, turns, strict=True))
    if problem.gap_weight > 0.0:
        cost += problem.gap_weight * max(0.0, problem.gap_wanted_mm - margin)
    welds = sum(k.welds for k in kinds) + sum(p.welds for p in problem.parts)
    return Judgement(float(cost), length, float(turns.sum()), len(turns), welds, margin, tuple(broken))
