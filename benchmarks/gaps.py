"""Certified gaps against a general collision library at equal accuracy, as ratios within one run.

The library answers for one pose at a time. To give the same guarantee (least gap known to within the tolerance) it must
be asked on a grid so fine that no point moves more than the tolerance between a pose and the nearest one asked: half
width of a step in heave plus half a step of roll times the lever. The library's full grid takes too long for the finest
tolerance; a random part of it is timed and the time scaled up, which is said in the result.

Run: python benchmarks/gaps.py [--json]
"""

import json
import os
import platform
import sys
import time

import coal
import numpy as np
from numpy.polynomial import chebyshev

from trialfit.geometry import Domain, PosePath, Rigid, certified_gap, compile_all
from trialfit.geometry.solids import Box, Capsule, TriangleMesh, cylinder

LO, HI = np.array((-80.0, -0.07, 0.0)), np.array((80.0, 0.07, 0.0))
LEVER_MM = 700.0
TOLERANCES_MM = (5.0, 1.0, 0.2)
LIBRARY_POSES = 4000


def axle_path() -> PosePath:
    """Heave straight up, roll about a line along the car 250 mm above the datum."""
    nodes = chebyshev.chebpts1(9)
    inverse = np.linalg.inv(chebyshev.chebvander(nodes, 8))
    values = np.empty((9, 9, 1, 12))
    for i, x in enumerate(nodes):
        for j, y in enumerate(nodes):
            angle = y * HI[1]
            c, s = np.cos(angle), np.sin(angle)
            turn = np.array(((1, 0, 0), (0, c, -s), (0, s, c)))
            pivot = np.array((0.0, 0.0, 250.0))
            values[i, j, 0, :9] = turn.ravel()
            values[i, j, 0, 9:] = pivot - turn @ pivot + np.array((0.0, 0.0, x * HI[0]))
    coefs = np.einsum("ai,bj,ijkm->abkm", inverse, inverse, values)
    return PosePath(np.ascontiguousarray(coefs), LO, HI)


def scenes() -> dict[str, tuple[tuple, tuple]]:
    """name -> (solid here, shape and placing in the library), fixed and moving."""
    along_y = np.array(((1, 0, 0), (0, 0, 1), (0, -1, 0.0)))
    tube = cylinder((0, -600, 300), (0, 600, 300), 40.0), coal.Cylinder(40.0, 1200.0), (along_y, (0, 0, 300))
    wheel = cylinder((0, 600, 300), (0, 820, 300), 320.0), coal.Cylinder(320.0, 220.0), (along_y, (0, 710, 300))
    rail = Box(np.array((0, 450.0, 500)), np.array((800.0, 30, 50))), coal.Box(1600.0, 60.0, 100.0), (
        np.eye(3), (0, 450, 500))
    pipe = Capsule(np.array((-300.0, 150, 470)), np.array((300.0, 150, 470)), 32.0), coal.Capsule(32.0, 600.0), (
        np.array(((0, 0, 1), (0, 1, 0), (-1, 0, 0.0))), (0, 150, 470))
    return {"rail / axle tube": (rail, tube), "pipe / axle tube": (pipe, tube), "rail / wheel": (rail, wheel)}


def library_seconds(fixed: tuple, moving: tuple, path: PosePath, tol_mm: float) -> tuple[float, int, float]:
    """Seconds for the whole grid, its poses, and the least gap met in the part that was asked."""
    heaves = max(2, int(np.ceil((HI[0] - LO[0]) / tol_mm)) + 1)
    rolls = max(2, int(np.ceil((HI[1] - LO[1]) * LEVER_MM / tol_mm)) + 1)
    total = heaves * rolls
    rng = np.random.default_rng(1)
    asked = min(total, LIBRARY_POSES)
    poses = np.zeros((asked, 3))
    picks = rng.choice(total, asked, replace=False)
    poses[:, 0] = np.linspace(LO[0], HI[0], heaves)[picks // rolls]
    poses[:, 1] = np.linspace(LO[1], HI[1], rolls)[picks % rolls]
    rest_turn, rest_shift = (np.asarray(part, dtype=float) for part in moving[2])
    turns, shifts = path.poses(poses)
    turns, shifts = turns @ rest_turn, turns @ rest_shift + shifts
    here = coal.Transform3s(np.asarray(fixed[2][0], dtype=float), np.asarray(fixed[2][1], dtype=float))
    request, result = coal.DistanceRequest(), coal.DistanceResult()
    least = np.inf
    start = time.process_time()
    for turn, shift in zip(turns, shifts, strict=True):
        result.clear()
        least = min(least, coal.distance(fixed[1], here, moving[1], coal.Transform3s(turn, shift), request, result))
    return (time.process_time() - start) * total / asked, total, least


def scan_seconds(count: int) -> dict[str, float]:
    """A tunnel of ``count`` triangles over the axle tube: building its tree, and one certified gap to 1 mm."""
    side = int(np.sqrt(count / 2)) + 1
    u, v = np.meshgrid(np.linspace(-800, 800, side), np.linspace(-700, 700, side), indexing="ij")
    z = 520 + 60 * np.cos(v / 150) + 8 * np.sin(u / 40)
    vertices = np.stack((u, v, z), axis=2).reshape(-1, 3)
    first = (np.arange(side - 1)[:, None] * side + np.arange(side - 1)).ravel()
    triangles = np.vstack((
        np.stack((first, first + 1, first + side + 1), 1), np.stack((first, first + side + 1, first + side), 1)))
    mesh = TriangleMesh(vertices, triangles)
    start = time.process_time()
    mesh.tree()
    built = time.process_time()
    tube = Rigid((cylinder((0, -600, 300), (0, 600, 300), 40.0),), axle_path())
    found = certified_gap(Rigid((mesh,)), tube, Domain(LO, HI, 80.0, 80.0, 900.0), 20.0, exact=True)
    return {
        "triangles": len(triangles), "tree_s": built - start, "gap_s": time.process_time() - built,
        "lower_mm": found.lower_mm, "upper_mm": found.upper_mm, "cells": found.cells,
    }


def main() -> None:
    compile_all()
    path = axle_path()
    rows = []
    for name, (fixed, moving) in scenes().items():
        first, second = Rigid((fixed[0],)), Rigid((moving[0],), path)
        certified_gap(first, second, Domain(LO, HI), 20.0)
        for tol in TOLERANCES_MM:
            repeats = 20
            start = time.process_time()
            for _ in range(repeats):
                found = certified_gap(first, second, Domain(LO, HI), 20.0, tol, exact=True)
            ours = (time.process_time() - start) / repeats
            theirs, poses, least = library_seconds(fixed, moving, path, tol)
            if found.lower_mm > 0 and least < found.lower_mm - 1e-3:
                raise SystemExit(f"{name}: the library met {least} mm, below the certified {found.lower_mm} mm")
            rows.append({
                "pair": name, "tolerance_mm": tol, "lower_mm": round(found.lower_mm, 4),
                "upper_mm": round(found.upper_mm, 4), "cells": found.cells, "ours_ms": round(ours * 1e3, 3),
                "library_poses": poses, "library_ms": round(theirs * 1e3, 1), "ratio": round(theirs / ours, 1),
            })
    scans = [scan_seconds(count) for count in (20_000, 200_000)]
    machine = f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}"
    if "--json" in sys.argv:
        print(json.dumps({"machine": machine, "library": f"coal {coal.__version__}", "gaps": rows, "scans": scans}))
        return
    print(f"{machine}; library coal {coal.__version__}; CPU seconds, one thread")
    for row in rows:
        print(
            f"{row['pair']:18s} to {row['tolerance_mm']:4g} mm: [{row['lower_mm']:.3f}, {row['upper_mm']:.3f}] mm, "
            f"{row['cells']} cells, {row['ours_ms']:.3f} ms; library {row['library_poses']} poses "
            f"{row['library_ms']:.0f} ms; ratio {row['ratio']:.0f}"
        )
    for scan in scans:
        print(
            f"scan of {scan['triangles']} triangles: tree {scan['tree_s']:.3f} s, gap to 1 mm {scan['gap_s'] * 1e3:.1f}"
            f" ms in {scan['cells']} cells: [{scan['lower_mm']:.2f}, {scan['upper_mm']:.2f}] mm"
        )


if __name__ == "__main__":
    main()
