"""The contestant: a general motion planner (RRT-Connect and path simplifying of OMPL), its paths rounded into bends.

It plans for a point that must keep half a pipe's width off the router's own field, leg by leg between places that are
found for it: a point on the outlet's axis, clear places for the parts, a tail that ends in the exit. It is started anew
with other places until its time is over. ``raw``: the simplified path with its corners rounded, kept when every rule
holds. ``finished``: the same paths given our descent and our dropping of corners, which is the fair contest.

Made as strong as could be: one compiled call checks a whole edge, the simplifier runs with and without spline
smoothing, corners are rounded with each kind of bend, and small wobbles (below 2 deg) are straightened out for it.

Run alone: python general_planner.py CASE SEED SECONDS. Always as a process of its own: the planner has been seen to
hang.
Source: J. Kuffner and S. LaValle, RRT-Connect, ICRA 2000 (from memory); OMPL, the Open Motion Planning Library.
"""

import argparse
import json
import math
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from judge import judge, turns_of
from numba import njit
from numba.typed import List
from scenarios import cases

from trialfit.routing import entries, packing, pipe, refine
from trialfit.routing.field import Fields, prepare, value
from trialfit.routing.pieces import wide_axis
from trialfit.routing.problem import PartAt, Problem, Way

LEG_SECONDS = 0.2
SIMPLIFY_SECONDS = 0.1
STRAIGHT_RAD = math.radians(2.0)
EDGE_MM = 1.0
NO_LIMIT = 1e17
UNIT_MM = 200.0
"""The planner works in this unit: its simplifier cuts paths in steps of one unit, and a step of 1 mm takes for ever."""


def held(F) -> List:
    """A field as the callbacks take it: handed over as one object, which costs a third of the time of its arrays."""
    packed = List()
    packed.append(F)
    return packed


@njit(nogil=True)
def clear_point(held_field, x, y, z, skin):  # type: ignore[no-untyped-def]
    return value(held_field[0], x, y, z) >= skin


@njit(nogil=True)
def clear_edge(held_field, ax, ay, az, bx, by, bz, skin):  # type: ignore[no-untyped-def]
    """Whether a straight keeps off, walked in steps as wide as the gap lets."""
    F = held_field[0]
    dx, dy, dz = bx - ax, by - ay, bz - az
    run = math.sqrt(dx * dx + dy * dy + dz * dz)
    s = 0.0
    while True:
        t = s / run if run > 0.0 else 0.0
        gap = value(F, ax + t * dx, ay + t * dy, az + t * dz) - skin
        if gap < 0.0:
            return False
        if s >= run:
            return True
        s = min(run, s + max(EDGE_MM, gap))


@njit(nogil=True)
def clear_slab(held_field, start, along, wide, run, half, thick):  # type: ignore[no-untyped-def]
    F = held_field[0]
    steps = int(run / 25.0) + 1
    lanes = 5 if half > 0.0 else 1
    for e in range(lanes):
        o = half * (2.0 * e / (lanes - 1) - 1.0) if lanes > 1 else 0.0
        for k in range(steps + 1):
            s = run * k / steps
            if value(F, start[0] + s * along[0] + o * wide[0], start[1] + s * along[1] + o * wide[1],
                     start[2] + s * along[2] + o * wide[2]) < thick:
                return False
    return True


class Places:
    """Draws places that are clear: start, parts, tail."""

    def __init__(self, problem: Problem, fields: Fields, rng: np.random.Generator) -> None:
        self.problem, self.rng = problem, rng
        self.frame = held(fields.frame)
        self.engine = self.frame if fields.engine is fields.frame else held(fields.engine)
        self.freeing = next((k for k, p in enumerate(problem.parts) if p.frees), -1)

    def field_before(self, part: int):
        """Field of the pipe ahead of part number ``part``."""
        return self.engine if part <= self.freeing else self.frame

    def edge(self, F, a: np.ndarray, b: np.ndarray, skin: float) -> bool:
        return bool(clear_edge(F, a[0], a[1], a[2], b[0], b[1], b[2], skin))

    def start(self, skin: float) -> np.ndarray | None:
        run = self.problem.first_straight_mm + self.rng.uniform(20.0, 700.0)
        end = self.problem.outlet + run * self.problem.aim
        return end if self.edge(self.field_before(0), self.problem.outlet, end, skin) else None

    def part(self, k: int, skin: float, radius: float) -> tuple[np.ndarray, np.ndarray, float] | None:
        """Anchors ahead and behind of a clear place for part k, and its turn about the leg."""
        problem, rng = self.problem, self.rng
        part = problem.parts[k]
        low, high = problem.bounds if part.zone is None else part.zone
        middle = rng.uniform(low, high)
        yaw, pitch = rng.normal() * 0.45, rng.normal() * 0.12
        along = np.array((math.cos(yaw) * math.cos(pitch), math.sin(yaw) * math.cos(pitch), math.sin(pitch)))
        clock = float(rng.choice(part.clocks_rad))
        half = (part.width_mm - part.height_mm) / 2.0
        start = middle - along * part.length_mm / 2.0
        wide = wide_axis(along, clock)
        ahead_field, behind_field = self.field_before(k), self.field_before(k + 1)
        for F in {id(f): f for f in (ahead_field, behind_field)}.values():
            if not clear_slab(F, start, along, wide, part.length_mm, half, part.height_mm / 2.0):
                return None
        reach = part.length_mm / 2.0 + part.room_mm
        ahead = middle - along * (reach + rng.uniform(0.0, 0.8 * radius))
        behind = middle + along * (reach + rng.uniform(0.0, 0.8 * radius))
        if not (self.edge(ahead_field, ahead, start, skin) and self.edge(behind_field, middle, behind, skin)):
            return None
        return ahead, behind, clock

    def all_parts(self, skin: float, radius: float) -> list:
        """A place for every part; each but the first drawn up to 30 times until it lies ahead of the last."""
        found: list = []
        for k in range(len(self.problem.parts)):
            for _ in range(30):
                place = self.draw(self.part, k, skin, radius)
                if place is None or not found or (place[0] - found[-1][1]) @ (found[-1][1] - found[-1][0]) > 0.0:
                    break
            found.append(place)
            if place is None:
                break
        return found

    def tail(self, skin: float) -> tuple[np.ndarray, np.ndarray] | None:
        end, rng = self.problem.exit, self.rng
        tip = rng.uniform(end.low, end.high)
        aside = rng.normal(size=3) * math.tan(end.cone_rad) * 0.5
        along = end.aim + aside - (aside @ end.aim) * end.aim
        along /= np.linalg.norm(along)
        if along @ end.aim < math.cos(end.cone_rad):
            return None
        anchor = tip - along * (self.problem.least_straight_mm + rng.uniform(40.0, 620.0))
        F = self.field_before(len(self.problem.parts))
        return (anchor, tip) if self.edge(F, anchor, tip, skin) else None

    def draw(self, make: Callable, *arguments, tries: int = 20_000):
        for _ in range(tries):
            found = make(*arguments)
            if found is not None:
                return found
        return None


def plan_leg(problem: Problem, F, a: np.ndarray, b: np.ndarray, skin: float, seconds: float) -> list[np.ndarray]:
    """Paths from a to b, simplified in two ways; none when the time ran out."""
    from ompl import base, geometric

    space = base.RealVectorStateSpace(3)
    box = base.RealVectorBounds(3)
    for k in range(3):
        box.setLow(k, float(problem.bounds[0][k]) / UNIT_MM)
        box.setHigh(k, float(problem.bounds[1][k]) / UNIT_MM)
    space.setBounds(box)
    setup = geometric.SimpleSetup(space)
    info = setup.getSpaceInformation()

    class Edges(base.MotionValidator):
        def checkMotion(self, p, q, *_last):
            return bool(clear_edge(F, UNIT_MM * p[0], UNIT_MM * p[1], UNIT_MM * p[2], UNIT_MM * q[0],
                                   UNIT_MM * q[1], UNIT_MM * q[2], skin))

    setup.setStateValidityChecker(
        lambda s: bool(clear_point(F, UNIT_MM * s[0], UNIT_MM * s[1], UNIT_MM * s[2], skin)))
    edges = Edges(info)
    info.setMotionValidator(edges)
    info.setStateValidityCheckingResolution(10.0 / UNIT_MM / space.getMaximumExtent())
    start, goal = space.allocState(), space.allocState()
    for k in range(3):
        start[k], goal[k] = float(a[k]) / UNIT_MM, float(b[k]) / UNIT_MM
    setup.setStartAndGoalStates(start, goal)
    setup.setPlanner(geometric.RRTConnect(info))
    began = time.process_time()
    setup.solve(base.PlannerTerminationCondition(lambda: time.process_time() - began > seconds))
    if not setup.haveExactSolutionPath():
        return []
    found = [geometric.PathGeometric(setup.getSolutionPath()) for _ in range(2)]
    simplifier = geometric.PathSimplifier(info)
    began = time.process_time()
    simplifier.simplify(found[0], base.PlannerTerminationCondition(
        lambda: time.process_time() - began > SIMPLIFY_SECONDS))
    simplifier.ropeShortcutPath(found[1])
    simplifier.reduceVertices(found[1])
    simplifier.collapseCloseVertices(found[1])
    return [UNIT_MM * np.array([[s[0], s[1], s[2]] for s in path.getStates()]) for path in found]


def chained(problem: Problem, start: np.ndarray, parts: list, tail: tuple, legs: list[np.ndarray]
            ) -> tuple[np.ndarray, list[int]]:
    """Corners from the outlet to the tip, and for each part the leg it lies on; wobbles straightened out."""
    points, fixed, part_at = [problem.outlet, start], [False, False], []
    for k, path in enumerate(legs):
        points += list(path[1:-1])
        fixed += [False] * (len(path) - 2)
        if k < len(parts):
            points += [parts[k][0], parts[k][1]]
            fixed += [True, True]
            part_at.append(len(points) - 2)
    points += [tail[0], tail[1]]
    fixed += [False, False]
    kept = [0]
    for i in range(1, len(points) - 1):
        u, v = points[i] - points[kept[-1]], points[i + 1] - points[i]
        apart, ahead = float(np.linalg.norm(u)), float(np.linalg.norm(v))
        if not fixed[i] and kept != [0] and (apart < 5.0 or ahead < 5.0):
            continue
        turn = math.atan2(float(np.linalg.norm(np.cross(u, v))), float(u @ v))
        if turn >= STRAIGHT_RAD or (fixed[i] and kept != [0]) or kept == [0]:
            kept.append(i)
    kept.append(len(points) - 1)
    return np.array([points[i] for i in kept]), [kept.index(i) for i in part_at]


def rounded(problem: Problem, size: int, points: np.ndarray, legs: list[int], clocks: list[float], kind: int) -> Way:
    """The way with every corner rounded by one kind of bend, each part in the middle of what is left of its leg."""
    turns = turns_of(points)
    radius = problem.sizes[size].bends[kind].radius_mm
    cut = np.concatenate(([0.0], radius * np.tan(np.minimum(turns, 3.0) / 2.0), [0.0]))
    put = []
    for part, leg, clock in zip(problem.parts, legs, clocks, strict=True):
        run = float(np.linalg.norm(points[leg + 1] - points[leg]))
        spare = run - cut[leg] - cut[leg + 1] - part.length_mm - 2.0 * part.room_mm
        put.append(PartAt(leg, float(cut[leg] + part.room_mm + spare / 2.0), clock))
    return Way(size, points, (kind,) * len(turns), tuple(put), math.nan, (), math.nan, math.nan, 0, math.nan)


def packed_row(way: Way) -> np.ndarray:
    """A rough way as our descent takes it, each part in the middle of its leg."""
    n, row = len(way.points) - 2, np.zeros(pipe.WIDTH)
    row[0] = n
    row[pipe.AT_X] = np.linalg.norm(way.points[1] - way.points[0])
    row[pipe.AT_X + 1 : pipe.AT_X + 1 + 3 * n] = way.points[2:].ravel()
    row[pipe.AT_KIND : pipe.AT_KIND + n] = way.bends
    for k, put in enumerate(way.parts):
        row[pipe.AT_U + k], row[pipe.AT_LEG + k], row[pipe.AT_CLOCK + k] = 0.5, put.leg, put.clock_rad
    return row


def finished(problem: Problem, fields: Fields, rough: Way, left: Callable[[], bool]) -> Way | None:
    """The rough way after our descent and our dropping of corners, or None where neither makes it hold.

    Where the whole chain cannot be settled, corners forced by the anchors are dropped one by one, the smallest bend
    first, and what is left is settled again.
    """
    if not 1 <= len(rough.points) - 2 <= pipe.MOST_BENDS:
        return None
    par = packing.packed(problem, rough.size)
    waiting = [packed_row(rough)]
    while waiting and left():
        row = waiting.pop(0)
        held_rows = entries.work(entries.CHAIN, row[None], par, fields.frame, fields.engine, 0, 0, 0, problem.pad_mm,
                                 NO_LIMIT)
        if len(held_rows):
            best = held_rows[np.argmin(held_rows[:, 1])]
            return packing.way_of(problem, rough.size, best)
        n = int(row[0])
        if n < 2:
            return None
        points = packing.way_of(problem, rough.size, row).points
        smallest = 1 + int(np.argmin(turns_of(points)))
        waiting.append(_without(problem, par, row, smallest))
    return None


def _without(problem: Problem, par: tuple, row: np.ndarray, corner: int) -> np.ndarray:
    parts, n = len(problem.parts), int(row[0])
    x, n, kind, leg, clock = refine.unpack(row, parts)
    y, kind, leg = refine.without_corner(x, n, kind, leg, clock, corner, par[0], par[1], parts)
    less = np.zeros(pipe.WIDTH)
    refine.pack(y, n - 1, kind, leg, clock, np.zeros(8), less)
    return less


def contest(problem: Problem, seed: int, seconds: float, finish: bool) -> dict:
    """Restarts until the time is over. Making the field is left out of its time, which is in its favour."""
    fields = prepare(problem)
    rng = np.random.default_rng((seed, 77))
    from ompl import util

    util.setLogLevel(util.LOG_NONE)
    if hasattr(util.RNG, "setSeed"):
        util.RNG.setSeed(seed + 1)
    places = Places(problem, fields, rng)
    _warm(problem, fields, places, finish)
    story: list[tuple[float, float, int]] = []
    best, best_way, tries, whole = math.inf, None, 0, 0
    began = time.process_time()

    def left() -> bool:
        return time.process_time() - began < seconds

    while left():
        tries += 1
        size = int(rng.integers(len(problem.sizes)))
        skin = problem.sizes[size].diameter_mm / 2.0
        radius = max(b.radius_mm for b in problem.sizes[size].bends)
        start = places.draw(places.start, skin)
        parts = places.all_parts(skin, radius)
        tail = places.draw(places.tail, skin)
        if start is None or tail is None or any(p is None for p in parts) or not left():
            continue
        stations = [start, *(p for part in parts for p in part[:2]), tail[0]]
        legs: list[list[np.ndarray]] = []
        for k in range(len(parts) + 1):
            over = seconds - (time.process_time() - began)
            paths = plan_leg(problem, places.field_before(k), stations[2 * k], stations[2 * k + 1], skin,
                             max(0.005, min(LEG_SECONDS, over)))
            if not paths:
                break
            legs.append(paths)
        if len(legs) <= len(parts):
            continue
        whole += 1
        for variant in range(2):
            points, part_legs = chained(problem, start, parts, tail, [leg[variant] for leg in legs])
            roughs = [rounded(problem, size, points, part_legs, [p[2] for p in parts], kind)
                      for kind in range(len(problem.sizes[size].bends))]
            tried = [finished(problem, fields, rough, left) for rough in roughs] if finish else roughs
            for way in tried:
                if way is None:
                    continue
                found = judge(problem, fields, way)
                if not found.broken and found.cost < best:
                    best, best_way = found.cost, way
                    story.append((time.process_time() - began, found.cost, found.bends))
    return {"seed": seed, "seconds": seconds, "tries": tries, "whole": whole, "story": story,
            "points": None if best_way is None else best_way.points.tolist()}


def _warm(problem: Problem, fields: Fields, places: Places, finish: bool) -> None:
    """Compile everything before the clock starts."""
    low = problem.bounds[0]
    for F in (places.frame, places.engine):
        clear_point(F, 0.0, 0.0, 0.0, 1.0)
        clear_edge(F, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.0)
        clear_slab(F, low, problem.aim, problem.aim, 1.0, 1.0, 1.0)
    corner = problem.outlet + 300.0 * problem.aim
    points = np.array((problem.outlet, corner, (problem.exit.low + problem.exit.high) / 2.0))
    way = rounded(problem, 0, points, [1] * len(problem.parts), [p.clocks_rad[0] for p in problem.parts], 0)
    judge(problem, fields, way)
    if finish:
        finished(problem, fields, way, lambda: True)
        _without(problem, packing.packed(problem, 0), packed_row(way), 1)


def in_child(case: str, seed: int, seconds: float, finish: bool) -> dict | None:
    """One contest in a process of its own with a time limit; None when it hung or died, which the caller records."""
    command = [sys.executable, str(Path(__file__).resolve()), case, str(seed), str(seconds)]
    if finish:
        command.append("--finish")
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=8.0 * seconds + 240.0, check=False)
    except subprocess.TimeoutExpired:
        return None
    lines = [line for line in done.stdout.splitlines() if line.startswith("{")]
    if done.returncode != 0 or not lines:
        sys.stderr.write(done.stderr[-2000:])
        return None
    return json.loads(lines[-1])


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("case")
    ask.add_argument("seed", type=int)
    ask.add_argument("seconds", type=float)
    ask.add_argument("--finish", action="store_true", help="give its paths our descent and our dropping of corners")
    given = ask.parse_args()
    found = contest(cases()[given.case](), given.seed, given.seconds, given.finish)
    print(json.dumps({"case": given.case, **found}), flush=True)


if __name__ == "__main__":
    main()
