"""Poses of the axle per second: loops closed by the program, its series, and a plain loop over scipy.optimize.root.

All three in one run on the same 10,000 poses, so that the ratio holds on any machine. The vehicle is invented. Run it
from the top folder with the project's Python; ``--write`` puts the table into benchmarks/poses.md.
"""

import argparse
import os
import platform
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from scipy.optimize import root
from scipy.spatial.transform import Rotation

from trialfit.motion import axle_of, compile_all, joint_closure, reference_point, rods_of, solve, travel
from trialfit.vehicle import (
    Amount,
    Build,
    FourLinksRod,
    LeafSpring,
    LeafSprings,
    Link,
    Settings,
    Stops,
    Suspension,
    ThreeLinksRod,
    TriangulatedLinks,
)

PAIRS = {
    "lower.f": (1980, 440, 310), "lower.a": (2590, 470, 270), "upper.f": (2110, 310, 470), "upper.a": (2560, 330, 455),
    "splay.f": (2140, 410, 465), "splay.a": (2570, 130, 445),
    "eye": (1940, 510, 385), "pad": (2600, 510, 350), "rear": (3310, 510, 400), "hanger": (3285, 510, 505),
}
STOPS = Stops(80.0, 90.0, 900.0)
POSES = 10_000


def vehicle() -> tuple[dict[str, np.ndarray], dict[str, Suspension]]:
    """Hardpoints and the four suspensions on them."""
    points = {
        f"{n}.{s}": np.array([x, y * q, z], float) for n, (x, y, z) in PAIRS.items() for s, q in (("L", -1), ("R", 1))
    }
    points |= {"rod.f": np.array([2690.0, -470.0, 335.0]), "rod.a": np.array([2690.0, 465.0, 312.0]),
               "mid.f": np.array([2125.0, 0.0, 495.0]), "mid.a": np.array([2560.0, 0.0, 468.0])}

    def pair(stem: str) -> tuple[Link, Link]:
        left, right = (Link(f"{stem} {s}", f"{stem}.f.{s}", f"{stem}.a.{s}") for s in "LR")
        return left, right

    rod = Link("rod", "rod.f", "rod.a")
    left, right = (LeafSpring(s, f"eye.{s}", f"pad.{s}", f"rear.{s}", f"hanger.{s}", Amount(120.0)) for s in "LR")
    return points, {
        "three links and lateral rod": ThreeLinksRod((*pair("lower"), Link("upper", "mid.f", "mid.a")), rod),
        "triangulated four links": TriangulatedLinks((*pair("lower"), *pair("splay"))),
        "four links and lateral rod": FourLinksRod((*pair("lower"), *pair("upper")), rod),
        "leaf springs": LeafSprings(left, right),
    }


def root_loop(suspension: Suspension, points: dict[str, np.ndarray], states: np.ndarray) -> np.ndarray:
    """The same poses by scipy.optimize.root, one after another, from ride height; closed rods only."""
    reference = reference_point(suspension, points)
    rods = rods_of(suspension)
    frame, axle = (np.stack([points[getattr(r, end)] for r in rods]) for end in ("frame", "axle"))
    lengths, arms = np.linalg.norm(axle - frame, axis=1), axle - reference
    answers = np.empty((len(states), 4))
    for n, (heave, roll) in enumerate(states):

        def errors(q: np.ndarray, heave: float = heave, roll: float = roll) -> np.ndarray:
            turn = Rotation.from_euler("ZYX", [q[2], q[3], roll]).as_matrix()
            ends = reference + [q[0], q[1], heave] + arms @ turn.T
            return np.asarray(np.linalg.norm(ends - frame, axis=1) - lengths)

        answers[n] = root(errors, np.zeros(4), tol=1e-12).x
    return answers


def timed(call: Callable[[], object]) -> float:
    """Seconds of the best of three calls."""
    best = float("inf")
    for _ in range(3):
        start = time.perf_counter()
        call()
        best = min(best, time.perf_counter() - start)
    return best


def table() -> str:
    """Measure, and say it as a table."""
    compile_all()
    points, suspensions = vehicle()
    draw = np.random.default_rng(20)
    roll = draw.uniform(-0.08, 0.08, POSES)
    half = np.abs(np.sin(roll)) * STOPS.apart_mm / 2.0
    heave = half - STOPS.droop_mm + draw.uniform(0.0, 1.0, POSES) * (STOPS.bump_mm + STOPS.droop_mm - 2.0 * half)
    machine = f"{platform.system()} {platform.machine()}, {os.cpu_count()} processors"
    lines = [
        f"{POSES} poses between the stops, best of three.",
        f"{machine}, Python {platform.python_version()}, numpy {np.__version__}.",
        "",
        "| suspension | closed, poses/s | left open, mm | series, poses/s | series off by, mm | whole travel, s |",
        "|---|---|---|---|---|---|",
    ]
    for name, suspension in suspensions.items():
        axle = axle_of(suspension, points)
        seconds = timed(lambda axle=axle: solve(axle, heave, roll))  # type: ignore[misc]
        poses = solve(axle, heave, roll)
        opening = joint_closure(axle, heave, poses.rotation, poses.shift).max()
        build = Build("invented", "", Settings(), (), suspension=suspension, stops=STOPS)
        found = travel(build, points)
        whole = timed(lambda build=build: travel(build, points))  # type: ignore[misc]
        states = np.stack([heave, roll, np.zeros(POSES)], axis=1)
        series = timed(lambda found=found, states=states: found.poses("axle", states))  # type: ignore[misc]
        lines.append(
            f"| {name} | {POSES / seconds:,.0f} | {opening:.0e} | {POSES / series:,.0f} | {found.fit_error_mm:.0e} "
            f"| {whole:.2f} |"
        )
    name = "three links and lateral rod"
    axle = axle_of(suspensions[name], points)
    ours = timed(lambda: solve(axle, heave, roll))
    start = time.perf_counter()
    theirs = root_loop(suspensions[name], points, np.stack([heave, roll], axis=1))
    plain = time.perf_counter() - start
    poses = solve(axle, heave, roll)
    apart = np.abs(poses.walk_mm[:, :2] - theirs[:, :2]).max()
    lines += [
        "",
        f"Plain loop over scipy.optimize.root, {name}, the same poses, once: {POSES / plain:,.0f} poses/s.",
        f"The program closes {plain / ours:,.0f} times as many. Greatest difference in the walk: {apart:.0e} mm.",
    ]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--write", action="store_true", help="put the table into benchmarks/poses.md")
    told = table()
    print(told, end="")
    if parser.parse_args().write:
        head = "# Poses of the axle\n\nMeasured by `benchmarks/poses.py` on an invented vehicle.\n\n"
        (Path(__file__).parent / "poses.md").write_text(head + told, encoding="utf-8")
