"""How the work grows: with poses, obstacles, triangles of a scan, bends of a route, and the size of the field's blocks.

Processor time, one thread, the least of three. A route of scenario ``over`` stands for what is measured; the obstacles
added are posts away from it, so that it stays clear and only their number tells.

Run: python benchmarks/routing/growth.py [--out growth.json] [--most-triangles 200000]
"""

import argparse
import json
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
from general_planner import packed_row
from scenarios import study, with_states

from trialfit.geometry.gaps import Rigid
from trialfit.geometry.solids import Capsule, TriangleMesh
from trialfit.routing import entries, find, packing, pipe
from trialfit.routing.certificate import certify
from trialfit.routing.field import AT_OFFSETS, BLOCK_MM, Fields, prepare
from trialfit.routing.pieces import pieces
from trialfit.routing.problem import Obstacle, Problem, Way

HERE = Path(__file__).resolve().parent
GRIDS = ((1, 1), (3, 3), (5, 3), (9, 5), (17, 9), (33, 17))
OBSTACLES = (0, 35, 105, 245, 525)
TRIANGLES = (2_000, 20_000, 200_000)
BENDS = (2, 4, 6, 8, 10)
BLOCKS_MM = (20.0, 30.0, 45.0, 60.0, 80.0)
SCAN_RADIUS_MM = 140.0


def least(work: Callable[[], object], times: int = 3) -> float:
    """Least processor time of some tries [s]."""
    taken = []
    for _ in range(times):
        began = time.process_time()
        work()
        taken.append(time.process_time() - began)
    return min(taken)


def along(problem: Problem, way: Way, step: float = 2.0) -> np.ndarray:
    """Points of a route's centre line (n, 3) [mm]."""
    found = []
    for row in pieces(problem, way):
        s = np.arange(0.0, row[11], step)
        a, b = (row[10] * np.sin(s / row[10]), row[10] * (1.0 - np.cos(s / row[10]))) if row[0] == 1.0 else (s, 0.0 * s)
        found.append(row[1:4] + a[:, None] * row[4:7] + b[:, None] * row[7:10])
    return np.vstack(found)


def megabytes(fields: Fields) -> float:
    return sum(a.nbytes for a in fields.frame) / 1e6


def evaluation_us(problem: Problem, fields: Fields, row: np.ndarray) -> float:
    """Measuring one candidate: geometry and every sample [us]."""
    par, rows = packing.packed(problem, 0), np.repeat(row[None], 200, axis=0)

    def work() -> None:
        entries.work(entries.LOOK, rows, par, fields.frame, fields.engine, 0, 0, 0, problem.pad_mm, 1e17)

    work()
    return least(work) / len(rows) * 1e6


def value_ns(fields: Fields, points: np.ndarray) -> float:
    """One value of the field on points that follow each other [ns]."""
    many = np.vstack([points] * max(1, 40_000 // len(points)))
    entries.field_values(fields.frame, many)
    return least(lambda: entries.field_values(fields.frame, many)) / len(many) * 1e9


def proof_ms(problem: Problem, way: Way) -> float:
    certify(problem, way)
    return least(lambda: certify(problem, way)) * 1e3


def described(problem: Problem, way: Way, block_mm: float = BLOCK_MM) -> dict:
    """What one problem costs: preparing, memory, a value, a candidate, a proof."""
    fields = prepare(problem, block_mm)
    numbers = fields.frame[1]
    blocks = int(numbers[:3].prod())
    filled = np.diff(numbers[numbers[AT_OFFSETS] : numbers[AT_OFFSETS] + blocks + 1])
    filled = filled[filled > 0]
    return {
        "rows": fields.rows, "prepare_s": least(lambda: prepare(problem, block_mm)),
        "mean_list": float(filled.mean()) if len(filled) else 0.0, "mb": megabytes(fields),
        "value_ns": value_ns(fields, along(problem, way)),
        "evaluation_us": evaluation_us(problem, fields, packed_row(way)), "proof_ms": proof_ms(problem, way),
    }


def with_posts(problem: Problem, way: Way, count: int) -> Problem:
    """So many upright posts more, each 90 mm and more from the route."""
    rng, line = np.random.default_rng(4), along(problem, way, 10.0)
    posts: list[Obstacle] = []
    while len(posts) < count:
        foot = rng.uniform(*problem.bounds)
        post = Capsule(foot, foot + np.array((0.0, 0.0, 60.0)), 12.0)
        if np.linalg.norm(line - foot, axis=1).min() > 90.0 + 60.0 + 12.0 + 100.0:
            posts.append(Obstacle(f"post {len(posts)}", "frame", Rigid((post,)), 15.0))
    return replace(problem, obstacles=(*problem.obstacles, *posts))


def scan(triangles: int, middle: np.ndarray) -> TriangleMesh:
    """A lumpy closed ball of about so many triangles, its skin off by up to 3 mm, as a phone's scan is."""
    around = max(8, int((triangles / 2) ** 0.5 * 1.4))
    up = max(4, triangles // (2 * around))
    a = np.linspace(0.0, 2.0 * np.pi, around, endpoint=False)
    b = np.linspace(0.02, np.pi - 0.02, up + 1)
    aa, bb = np.meshgrid(a, b)
    r = SCAN_RADIUS_MM + np.random.default_rng(6).uniform(-3.0, 3.0, aa.shape)
    ball = np.stack((r * np.sin(bb) * np.cos(aa), r * np.sin(bb) * np.sin(aa), r * np.cos(bb)), axis=-1)
    first = np.arange(up)[:, None] * around + np.arange(around)
    right = np.arange(up)[:, None] * around + (np.arange(around) + 1) % around
    quads = (first, right, first + around, right + around)
    faces = np.concatenate((np.stack(quads[:3], axis=-1).reshape(-1, 3),
                            np.stack((quads[1], quads[3], quads[2]), axis=-1).reshape(-1, 3)))
    return TriangleMesh(ball.reshape(-1, 3) + middle, faces)


def with_scan(problem: Problem, way: Way, triangles: int) -> tuple[Problem, float]:
    """A scan beside the middle of the route, 30 mm clear of what is asked; and the time to build its tree [s]."""
    line = along(problem, way, 10.0)
    here = line[len(line) // 3]
    skin = problem.sizes[way.size].diameter_mm / 2.0
    for k in range(400):
        turn = np.random.default_rng(k).normal(size=3)
        middle = here + turn / np.linalg.norm(turn) * (SCAN_RADIUS_MM + 130.0)
        widest = max(skin, *(p.width_mm / 2.0 for p in problem.parts)) if problem.parts else skin
        if np.linalg.norm(line - middle, axis=1).min() > SCAN_RADIUS_MM + 15.0 + widest + 5.0:
            break
    mesh = scan(triangles, middle)
    began = time.process_time()
    mesh.tree()
    built = time.process_time() - began
    return replace(problem, obstacles=(*problem.obstacles, Obstacle("scan", "engine", Rigid((mesh,)), 15.0))), built


def chain_of(problem: Problem, bends: int) -> np.ndarray:
    """A packed candidate of so many bends between outlet and exit, clear or not: a zigzag of like legs."""
    first = problem.outlet + 150.0 * problem.aim
    last = (problem.exit.low + problem.exit.high) / 2.0
    share = np.linspace(0.0, 1.0, bends + 1)[:, None]
    points = np.vstack((problem.outlet, first + share * (last - first)))
    points[2:-1, 2] += 30.0 * (-1.0) ** np.arange(bends - 1)
    row = np.zeros(pipe.WIDTH)
    row[0], row[pipe.AT_X] = bends, 150.0
    row[pipe.AT_X + 1 : pipe.AT_X + 1 + 3 * bends] = points[2:].ravel()
    for k in range(len(problem.parts)):
        row[pipe.AT_U + k], row[pipe.AT_LEG + k] = 0.5, min(1 + k, bends)
    return row


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("--out", type=Path, default=HERE / "growth.json")
    ask.add_argument("--most-triangles", type=int, default=TRIANGLES[-1])
    ask.add_argument("--quick", action="store_true", help="the two smallest of everything")
    given = ask.parse_args()
    cut = slice(0, 2 if given.quick else None)
    problem = study("over")
    prepare(problem)
    found = find(problem, seed=1, seconds=4.0, clock=time.process_time, with_bound=False)
    if not found.routes:
        raise SystemExit("no route found to measure with")
    way = found.routes[0].way
    told: dict = {"cost": way.cost, "poses": [], "obstacles": [], "triangles": [], "bends": [], "blocks": []}
    for heaves, rolls in GRIDS[cut]:
        told["poses"].append({"poses": heaves * rolls, **described(with_states(problem, heaves, rolls), way)})
    for more in OBSTACLES[cut]:
        told["obstacles"].append({"obstacles": len(problem.obstacles) + more,
                                  **described(with_posts(problem, way, more), way)})
    scan(200, np.zeros(3)).tree()
    for triangles in [t for t in TRIANGLES if t <= given.most_triangles][cut]:
        scanned, built = with_scan(problem, way, triangles)
        told["triangles"].append({"triangles": triangles, "tree_s": built, **described(scanned, way)})
    fields = prepare(problem)
    for bends in BENDS[cut]:
        one = evaluation_us(problem, fields, chain_of(problem, bends))
        told["bends"].append({"bends": bends, "evaluation_us": one})
    for block in BLOCKS_MM[cut]:
        told["blocks"].append({"block_mm": block, **described(problem, way, block)})
    given.out.write_text(json.dumps(told, indent=1) + "\n")
    for kind, rows in told.items():
        if isinstance(rows, list):
            for row in rows:
                print(kind, {k: float(f"{v:.4g}") for k, v in row.items()})


if __name__ == "__main__":
    main()
