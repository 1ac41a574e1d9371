"""The field against a general collision library, and the certificate against dense sampling, as ratios of one run.

The library is called from Python, which costs it about a microsecond a call; a harness in C++ would narrow the ratio.
Dense sampling gives no bound of its own: to give the same width its steps must be so fine that no point of the pipe and
no point of an obstacle moves more than that between samples. Its rate is measured on part of the samples and scaled up.

Run: python benchmarks/routing/throughput.py [--case over] [--out throughput.json]
"""

import argparse
import json
import math
import time
from dataclasses import replace
from pathlib import Path

import coal
import numpy as np
from judge import least_margin
from numba import njit
from scenarios import cases, with_states

from trialfit.geometry.gaps import Rigid, Span
from trialfit.geometry.solids import Box, Capsule, Frustum
from trialfit.routing import entries, find
from trialfit.routing.certificate import certify
from trialfit.routing.field import N_REACH, prepare, row_gap
from trialfit.routing.pieces import pieces
from trialfit.routing.problem import Problem

HERE = Path(__file__).resolve().parent
DENSE = (69, 33)
WIDTHS_MM = (0.1, 0.01)
PROBE_MM = 1e-3


@njit(nogil=True)
def brute(F, rows, points):  # type: ignore[no-untyped-def]
    """Least gap over every posed solid at every point, one by one."""
    total = 0.0
    for k in range(points.shape[0]):
        least = 1e9
        for q in range(rows):
            least = min(least, row_gap(F, q, points[k, 0], points[k, 1], points[k, 2], 1e9))
        total += least
    return total


def rate(work, count: int, least_seconds: float = 0.5) -> float:
    """``count`` per second of processor time, repeated for at least so long."""
    work()
    began, times = time.process_time(), 0
    while time.process_time() - began < least_seconds:
        work()
        times += 1
    return count * times / (time.process_time() - began)


def _stand(along: np.ndarray) -> np.ndarray:
    """Rotation that turns z onto a unit vector."""
    other = np.array((1.0, 0.0, 0.0)) if abs(along[0]) < 0.9 else np.array((0.0, 1.0, 0.0))
    x = np.cross(other, along)
    x /= np.linalg.norm(x)
    return np.column_stack((x, np.cross(along, x), along))


def _bar(a: np.ndarray, b: np.ndarray, radius: float, flat: bool) -> tuple:
    run = float(np.linalg.norm(b - a))
    shape = coal.Cylinder(radius, run) if flat else coal.Capsule(radius, run)
    return shape, _stand((b - a) / run), (a + b) / 2


def library_objects(problem: Problem) -> tuple[list, np.ndarray]:
    """Every solid at every pose that matters to it, as the library's objects, with the gap required of each."""
    objects, gaps = [], []
    for o in problem.obstacles:
        body = o.body
        still = body.path is None if isinstance(body, Rigid) else body.path_a is None and body.path_b is None
        for state in problem.states[:1] if still else problem.states:
            made = []
            if isinstance(body, Span):
                a = body.a if body.path_a is None else body.path_a.move(body.a, tuple(state))
                b = body.b if body.path_b is None else body.path_b.move(body.b, tuple(state))
                made.append(_bar(a, b, body.radius_mm, False))
            else:
                turn, shift = (np.eye(3), np.zeros(3)) if body.path is None else body.path.pose(*state)
                for solid in body.solids:
                    if isinstance(solid, Box):
                        shape, own, at = coal.Box(*(2.0 * solid.half_mm)), solid.axes.T, solid.centre
                    elif isinstance(solid, Capsule):
                        shape, own, at = _bar(solid.start, solid.end, solid.radius_mm, False)
                    elif isinstance(solid, Frustum) and solid.radius_start_mm == solid.radius_end_mm:
                        shape, own, at = _bar(solid.start, solid.end, solid.radius_start_mm, True)
                    else:
                        raise TypeError(f"{o.name}: a {type(solid).__name__} is not put into the library here")
                    made.append((shape, turn @ own, turn @ at + shift))
            for shape, own, at in made:
                left, _, right = np.linalg.svd(own)
                objects.append(coal.CollisionObject(shape, coal.Transform3s(left @ right, at)))
                gaps.append(o.required_mm)
    return objects, np.array(gaps)


def field_against_library(problem: Problem, rng: np.random.Generator) -> dict:
    """Points a second of both, the same points, and their greatest difference where the field is exact."""
    fields = prepare(problem)
    points = rng.uniform(*problem.bounds, (200_000, 3))
    ours = rate(lambda: entries.field_values(fields.frame, points), len(points))
    objects, gaps = library_objects(problem)
    manager = coal.DynamicAABBTreeCollisionManager()
    for thing in objects:
        manager.registerObject(thing)
    manager.setup()
    few = points[:400]
    probe = coal.CollisionObject(coal.Sphere(PROBE_MM), coal.Transform3s.Identity())
    found = coal.DistanceCallBackDefault()

    def by_tree() -> None:
        for p in few:
            probe.setTranslation(p)
            probe.computeAABB()
            found.data.done = False
            found.data.result.clear()
            manager.distance(probe, found)

    theirs = rate(by_tree, len(few))
    # Agreement: the least of (distance - gap) over every object, one by one, outside all of them.
    request, result = coal.DistanceRequest(), coal.DistanceResult()
    values = entries.field_values(fields.frame, points[:3000])
    reach, worst, held = float(fields.frame[0][N_REACH]), 0.0, 0
    for p, value in zip(points[:3000], values, strict=True):
        if not -5.0 < value < reach - 1e-6:
            continue
        least = math.inf
        at = coal.Transform3s(np.eye(3), p)
        for thing, gap in zip(objects, gaps, strict=True):
            result.clear()
            apart = coal.distance(thing.collisionGeometry(), thing.getTransform(), probe.collisionGeometry(), at,
                                  request, result)
            least = min(least, apart + PROBE_MM - gap)
        worst, held = max(worst, abs(least - value - problem.margin_mm)), held + 1
    some = points[:2000]
    pairs = rate(lambda: brute(fields.frame, fields.rows, some), len(some) * fields.rows)
    one_by_one = objects[: min(len(objects), 200)]

    def by_pair() -> None:
        for thing in one_by_one:
            result.clear()
            coal.distance(thing.collisionGeometry(), thing.getTransform(), probe.collisionGeometry(),
                          probe.getTransform(), request, result)

    library_pairs = rate(by_pair, len(one_by_one))
    return {"rows": fields.rows, "points_per_s": ours, "library_points_per_s": theirs, "ratio": ours / theirs,
            "agreement_mm": worst, "agreement_points": held, "pairs_per_s": pairs,
            "library_pairs_per_s": library_pairs, "pairs_ratio": pairs / library_pairs}


def certificate_against_dense(problem: Problem) -> dict:
    """Processor time of the certificate and of dense sampling, plain and fine enough for the same width."""
    found = find(problem, seed=1, seconds=3.0, clock=time.process_time, with_bound=False)
    if not found.routes:
        raise SystemExit("no route found to prove")
    way = found.routes[0].way
    told: dict = {"cost": way.cost}
    for width in WIDTHS_MM:
        certify(problem, way, width_mm=width)
        began = time.process_time()
        proof = certify(problem, way, width_mm=width)
        told[f"proof_{width:g}"] = {"seconds": time.process_time() - began, "lower_mm": proof.lower_mm,
                                    "upper_mm": proof.upper_mm, "closed": proof.closed, "cells": proof.cells}
    # Dense: every mm, 69 x 33 poses, every obstacle. The minimum itself comes from the field, which skips; the time
    # of plain sampling from some of the poses.
    dense = with_states(problem, *DENSE)
    dense_fields = prepare(dense)
    told["dense_min_mm"] = float(least_margin(pieces(problem, way), dense_fields.frame, dense_fields.engine, 1.0))
    points = _samples(pieces(problem, way), 1.0)
    picks = np.random.default_rng(2).choice(len(dense.states), 12, replace=False)
    taken = evaluations = 0.0
    for state in dense.states[picks]:
        posed = prepare(replace(problem, states=state[None]))
        brute(posed.frame, posed.rows, points[:10])
        began = time.process_time()
        brute(posed.frame, posed.rows, points)
        taken += time.process_time() - began
        evaluations += len(points) * posed.rows
    whole = taken * len(dense.states) / len(picks)
    per_evaluation = taken / evaluations
    told |= {"dense_seconds": whole, "dense_samples": len(points), "dense_poses": len(dense.states)}
    lo, hi = problem.domain.lo, problem.domain.hi
    lever = _lever(problem)
    moving = sum(1 for o in problem.obstacles if not isinstance(o.body, Rigid) or o.body.path is not None)
    for width in WIDTHS_MM:
        # a third of the width each for the way along the pipe, heave and roll: half a step may go unseen
        step = 2.0 * width / 3.0
        along = len(points) * 1.0 / step
        poses = ((hi[0] - lo[0]) / step) * (math.ceil((hi[1] - lo[1]) * lever / step))
        seconds = along * poses * moving * per_evaluation
        proof = told[f"proof_{width:g}"]
        proof |= {"dense_same_width_seconds": seconds, "ratio_same_width": seconds / proof["seconds"],
                  "ratio_plain": whole / proof["seconds"],
                  "below_dense": proof["lower_mm"] <= told["dense_min_mm"]}
    return told


def _samples(rows: np.ndarray, step: float) -> np.ndarray:
    """Points of the centre line (and of the middle of each slab's lanes) every ``step`` mm."""
    found = []
    for row in rows:
        s = np.arange(0.0, row[11] + step, step)
        if row[0] == 1.0:
            a, b = row[10] * np.sin(s / row[10]), row[10] * (1.0 - np.cos(s / row[10]))
        else:
            a, b = s, np.zeros_like(s)
        line = row[1:4] + a[:, None] * row[4:7] + b[:, None] * row[7:10]
        lanes = np.linspace(-row[13], row[13], max(1, int(2.0 * row[13] / step))) if row[13] > 0 else [0.0]
        found += [line + o * row[14:17] for o in lanes]
    return np.vstack(found)


def _lever(problem: Problem) -> float:
    """How far the pipe may be from the roll axis [mm]: half the width of the bounds."""
    return float(np.abs(problem.bounds[:, 1]).max())


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("--case", default="over")
    ask.add_argument("--out", type=Path, default=HERE / "throughput.json")
    given = ask.parse_args()
    problem = cases()[given.case]()
    told = {"case": given.case, "field": field_against_library(problem, np.random.default_rng(1))}
    told["certificate"] = certificate_against_dense(problem)
    given.out.write_text(json.dumps(told, indent=1) + "\n")
    print(json.dumps(told, indent=1))


if __name__ == "__main__":
    main()
