"""On which side of each landmark a route passes: what makes one route really different from another, and its name."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.geometry.gaps import Rigid, Span
from trialfit.geometry.solids import TriangleMesh, bounds
from trialfit.routing.pieces import ARC, PIECE_WIDTH, pieces
from trialfit.routing.problem import Problem, Way

Floats = NDArray[np.float64]
Sides = tuple[tuple[str, str], ...]

NEAR_MM = 220.0
"""A landmark farther than this from the pipe's centre line says nothing about it [mm]."""
STEP_MM = 25.0
WORTH = {"axle": 0, "shaft": 1, "fuel": 2, "spring": 3, "damper": 4, "link": 5, "tyre": 6, "gearbox": 7, "engine": 8,
         "frame": 9}
"""Kinds that a builder would name a route after, the most telling first."""
TOLD = 3


@dataclass(frozen=True, slots=True, eq=False)
class Landmarks:
    """Upright boxes round the landmarks at ride height: names, rank of their kind, corners (m, 3) each."""

    names: tuple[str, ...]
    rank: tuple[int, ...]
    low: Floats
    high: Floats


def landmarks(problem: Problem) -> Landmarks:
    """What routes are told apart by: things that a builder would name, but for what lies along the whole vehicle."""
    names: list[str] = []
    rank: list[int] = []
    low: list[Floats] = []
    high: list[Floats] = []
    for thing in problem.obstacles:
        if not thing.landmark or thing.kind not in WORTH:
            continue
        a, b = _box(thing.body)
        size = b - a
        if thing.kind == "frame" and size[1] < 1.5 * size[0]:
            continue  # rails run the way the pipe runs
        names.append(thing.name)
        rank.append(WORTH[thing.kind])
        low.append(a)
        high.append(b)
    if not names:
        return Landmarks((), (), np.zeros((0, 3)), np.zeros((0, 3)))
    return Landmarks(tuple(names), tuple(rank), np.array(low), np.array(high))


def _box(body: Rigid | Span) -> tuple[Floats, Floats]:
    if isinstance(body, Span):
        ends = np.array((body.a, body.b))
        return ends.min(axis=0) - body.radius_mm, ends.max(axis=0) + body.radius_mm
    boxes = [bounds(s) for s in body.solids if not isinstance(s, TriangleMesh)]
    boxes += [bounds(s) for s in body.solids if isinstance(s, TriangleMesh)]
    return np.min([b[0] for b in boxes], axis=0), np.max([b[1] for b in boxes], axis=0)


def along(problem: Problem, way: Way) -> Floats:
    """Points (k, 3) [mm] of the centre line, about every 25 mm."""
    return sampled(pieces(problem, way), STEP_MM)


def sampled(rows: Floats, step_mm: float) -> Floats:
    """Points (k, 3) [mm] along packed pieces, no farther apart than ``step_mm``."""
    points: list[Floats] = []
    for row in rows.reshape(-1, PIECE_WIDTH):
        count = int(row[11] / step_mm) + 2
        s = np.linspace(0.0, row[11], count)[:, None]
        if row[0] == ARC:
            turn = s / row[10]
            points.append(row[1:4] + row[10] * (np.sin(turn) * row[4:7] + (1.0 - np.cos(turn)) * row[7:10]))
        else:
            points.append(row[1:4] + s * row[4:7])
    return np.vstack(points)


def sides(marks: Landmarks, line: Floats) -> Sides:
    """Side of each landmark that comes near a centre line (k, 3), in order of rank: over, under, left of, right of;
    inside or outside of what lies to one side of the vehicle."""
    found: list[tuple[int, str, str]] = []
    for k, name in enumerate(marks.names):
        low, high = marks.low[k], marks.high[k]
        nearest = np.clip(line, low, high)
        away = line - nearest
        apart = np.linalg.norm(away, axis=1)
        at = int(np.argmin(apart))
        if apart[at] > NEAR_MM:
            continue
        x, y, z = away[at]
        if apart[at] < 1e-6:  # within the box that stands for it: by its middle
            x, y, z = (line[at] - (low + high) / 2.0) / np.maximum(high - low, 1.0)
            x = 0.0
        if abs(x) > max(abs(y), abs(z)):
            continue
        if abs(z) >= abs(y):
            side = "over" if z > 0.0 else "under"
        else:
            middle = (low[1] + high[1]) / 2.0
            if abs(middle) > 150.0:
                side = "inside" if y * middle < 0.0 else "outside"
            else:
                side = "right of" if y > 0.0 else "left of"
        found.append((marks.rank[k], name, side))
    found.sort()
    return tuple((name, side) for _rank, name, side in found)


def named(marks: Landmarks, every: Sequence[Sides]) -> list[str]:
    """A name in words for each of several routes, telling the routes apart where the sides do."""
    rank = dict(zip(marks.names, marks.rank, strict=True))
    first = [_telling(own, rank) for own in every]
    names = [_words(f) for f in first]
    for k, own in enumerate(every):
        same = [j for j in range(len(every)) if first[j] == first[k] and j != k]
        if not same:
            continue
        differing = [pair for pair in own if any(pair not in every[j] for j in same) and pair not in first[k]]
        names[k] = _words((*first[k][: TOLD - 1], *differing[:2])) if differing else names[k]
    seen: dict[str, int] = {}
    for k, name in enumerate(names):
        seen[name] = seen.get(name, 0) + 1
        if seen[name] > 1:
            names[k] = f"{name} ({seen[name]})"
    return names


def _telling(own: Sides, rank: dict[str, int]) -> Sides:
    """One side for each kind of landmark, the most telling kinds first."""
    chosen: list[tuple[str, str]] = []
    kinds: set[int] = set()
    for name, side in own:
        if rank[name] not in kinds:
            kinds.add(rank[name])
            chosen.append((name, side))
    return tuple(chosen[:TOLD])


def _words(chosen: Sequence[tuple[str, str]]) -> str:
    if not chosen:
        return "clear of everything"
    return ", ".join(f"{side} the {name}" for name, side in chosen)
