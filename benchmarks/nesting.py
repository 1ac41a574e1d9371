"""What the proved nest costs against the plain rule of the workshop, and how long it takes.

Random pipes of a home build, seeded: bends of 10 to 90 deg at one radius with legs kept or not, sticks between them,
out of U-bends, 90s and sticks at invented prices. Run from the top of the checkout: ``python benchmarks/nesting.py``.
"""

import math
import statistics
import time

import numpy as np

from trialfit.exhaust.nesting import BendStock, StickStock, Wanted, first_fit, nest

STOCK = (BendStock("U-bend", 63.5, 1.5, 95.25, math.pi, 100.0, 18.0),
         BendStock("90", 63.5, 1.5, 95.25, math.pi / 2.0, 100.0, 11.0), StickStock("stick", 63.5, 1.5, 2000.0, 22.0))
KERF_MM = 2.0
RUNS = 20


def pipe(rng: np.random.Generator, bends: int) -> tuple[Wanted, ...]:
    """A pipe of so many bends and as many sticks and one."""
    found = []
    for number in range(1, 2 * bends + 2):
        if number % 2:
            found.append(Wanted(number, f"stick {number}", float(rng.uniform(25.0, 700.0))))
            continue
        legs = [0.0, 0.0]
        if rng.random() < 0.5:
            legs[int(rng.integers(2))] = float(rng.uniform(20.0, 95.0))
        found.append(Wanted(number, f"bend {number}", 0.0, math.radians(float(rng.uniform(10.0, 90.0))), 95.25, *legs))
    return tuple(found)


def main() -> None:
    print("| bends | plain rule / proved cost, median | most | as cheap | proved | seconds, median | worst |")
    print("|---|---|---|---|---|---|---|")
    for bends in (3, 5, 7, 9):
        ratios, taken, proved = [], [], 0
        for seed in range(RUNS):
            wanted = pipe(np.random.default_rng([bends, seed]), bends)
            start = time.process_time()
            plan = nest(wanted, STOCK, KERF_MM, seconds=10.0)
            taken.append(time.process_time() - start)
            proved += plan.proven
            ratios.append(first_fit(wanted, STOCK, KERF_MM) / plan.cost)
        same = sum(r < 1.0 + 1e-9 for r in ratios)
        print(f"| {bends} | {statistics.median(ratios):.3f} | {max(ratios):.3f} | {same} of {RUNS} | "
              f"{proved} of {RUNS} | {statistics.median(taken):.2f} | {max(taken):.2f} |", flush=True)


if __name__ == "__main__":
    main()
