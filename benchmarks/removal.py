"""How long it takes to find a way out for every section of both demos' exhausts, by plain moves and by the planner.

Each exhaust is parted by one joint at the beginning of every stretch where a joint may sit, and asked about at ride
height and at droop, on stands that lift the vehicle by 400 mm. The planner is also asked where plain moves would do,
with several seeds: that is the ratio. Times are the processor's. Prints a table; nothing is judged.

Run: python removal.py [SEEDS]
"""

import sys
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.exhaust.chain import Chain, chain_of
from trialfit.exhaust.joints import joint_stretches, with_joint
from trialfit.exhaust.removal import Answer, Budget, Obstacle, Stand, posed, removable, remove

EXAMPLES = Path(__file__).parents[1] / "examples"
LIFT_MM = 400.0
STRAIGHT_MM, JOINT_MM, JOINT_WIDE_MM = 50.0, 50.0, 90.0
PLAIN, PLANNER = Budget(plain=400, planner=0, places=0), 1500


def cases() -> Iterator[tuple[str, Chain, int, list[Obstacle], Stand]]:
    """Demo, parted chain, section, obstacles, stand."""
    for demo in ("estate", "flatbed"):
        results = run(load(EXAMPLES / demo / "build.yaml").build, gaps=False)
        chain = chain_of(results.routes[0], results.cuts[0])
        stops = results.travel.stops
        for pose, heave in (("ride height", 0.0), ("droop", -stops.droop_mm)):
            things = [Obstacle(p.thing.name, posed(p.mover, (heave, 0.0, 0.0)), aside=p.thing.kind == "tyre")
                      for p in results.placed if p.thing.kind not in ("exhaust", "ground")]
            for stretch in joint_stretches(chain, JOINT_MM, STRAIGHT_MM):
                parted = with_joint(chain, "band", stretch.from_mm, JOINT_MM, JOINT_WIDE_MM)
                for number in range(len(removable(parted)), 0, -1):
                    name = f"{demo}, joint at {stretch.from_mm:.0f}, {pose}"
                    yield name, parted, number, things, Stand(pose, -LIFT_MM)


def timed(chain: Chain, number: int, things: list[Obstacle], stand: Stand, budget: Budget) -> tuple[str, int, float]:
    """Answer, moves certified, seconds of the processor."""
    began = time.process_time()
    found = remove(chain, number, things, stand, budget=budget)
    return found.answer.value, found.checks, time.process_time() - began


def main(seeds: int) -> None:
    """Print the table and the sums under it."""
    both: list[float] = []
    freed = {"plain": 0, "planner": 0}
    count = 0
    times: dict[str, list[float]] = {"plain": [], "planner": []}
    print(f"{'case':44} {'sect':>4} {'plain moves':>26} {'planner, median of seeds':>30} {'free':>6}")
    warm = next(cases())
    timed(*warm[1:], PLAIN)
    for name, chain, number, things, stand in cases():
        count += 1
        answer, checks, plain_s = timed(chain, number, things, stand, PLAIN)
        runs = [timed(chain, number, things, stand, Budget(0, PLANNER, 0, seed)) for seed in range(1, seeds + 1)]
        planned = median(r[2] for r in runs)
        good = sum(r[0] == Answer.FREE for r in runs)
        freed["plain"] += answer == Answer.FREE
        freed["planner"] += 2 * good > seeds
        if answer == Answer.FREE:
            times["plain"].append(plain_s)
            if good and checks > 1:
                both.append(planned / max(plain_s, 1e-3))
        times["planner"] += [r[2] for r in runs if r[0] == Answer.FREE]
        print(f"{name:44} {number:4} {answer[:9]:>10} {checks:6} {plain_s:7.2f} s {median(r[1] for r in runs):15.0f} "
              f"moves {planned:7.2f} s {good:3}/{seeds}", flush=True)
    print(f"\n{count} cases; freed by plain moves {freed['plain']}, by the planner alone {freed['planner']}")
    for name, seconds in times.items():
        if seconds:
            print(f"{name}: median {median(seconds):.3f} s where free, worst {max(seconds):.2f} s")
    if both:
        print(f"planner over plain moves, both free it and one drop does not: median {median(both):.1f} times the time")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
