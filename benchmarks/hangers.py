"""How long the best choice of hangers takes, against trying every choice by solving the whole pipe for each.

Both get the same invented exhaust, points, rubber and limits, and must come to the same choice. The long way puts every
hanger's springs into the frame's stiffness and solves all of it, for every choice of up to ``MOST`` points, soft and
stiff rubber and both growths; it skips the choices that break the rules of spacing, and of the natural frequencies it
asks only for choices of the least price. A library that builds and solves a model of its own for each choice is slower
still: its time for one choice is printed too.
Run: python benchmarks/hangers.py
"""

import itertools
import math
import os
import time

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

import numpy as np  # noqa: E402
from scipy.linalg import eigh  # noqa: E402

from trialfit.exhaust.chain import Chain, Element, Weld  # noqa: E402
from trialfit.exhaust.hanger_judging import Setting, mode_rank, setting_of, shaken_by  # noqa: E402
from trialfit.exhaust.hanger_points import Growth, HangerWish, Idle, Rail, seats_of  # noqa: E402
from trialfit.exhaust.hangers import hang  # noqa: E402
from trialfit.exhaust.hanging import frame_of, point_on  # noqa: E402
from trialfit.exhaust.isolators import Isolator  # noqa: E402

MOST = 4
D, T, GRAVITY = 63.5, 1.5, 9.80665
PER = 7850e-9 * math.pi * (D - T) * T


def invented() -> Chain:
    """An exhaust of 2.9 m: catalyst, up and over an axle, box, tail."""
    found: list[Element] = []
    at = [np.array([600.0, 250.0, 260.0]), np.array([1.0, 0.0, 0.0])]

    def add(kind: str, length: float, kg: float, wide: float = 0.0, high: float = 0.0) -> None:
        here, way = at
        begun = found[-1].to_mm if found else 0.0
        found.append(Element(f"{kind} {len(found)}", kind, begun, length, here, here + length * way, way, way, D, T, kg,
                             width_mm=wide, height_mm=high))
        at[0] = here + length * way

    def bend(turn: float, side: np.ndarray) -> None:
        here, way = at
        end = here + 95.25 * (math.sin(turn) * way + (1.0 - math.cos(turn)) * side)
        out = math.cos(turn) * way + math.sin(turn) * side
        found.append(Element(f"bend {len(found)}", "bend", found[-1].to_mm, 95.25 * turn, here, end, way, out, D, T,
                             PER * 95.25 * turn, radius_mm=95.25, turn_rad=turn))
        at[:] = [end, out]

    half = math.radians(45.0)
    add("straight", 700.0, PER * 700.0)
    add("catalyst", 300.0, 3.5, 110.0, 110.0)
    add("straight", 500.0, PER * 500.0)
    bend(half, np.array([0.0, 0.6, 0.8]))
    add("straight", 150.0, PER * 150.0)
    bend(half, np.array([math.sin(half), -0.6 * math.cos(half), -0.8 * math.cos(half)]))
    add("straight", 300.0, PER * 300.0)
    add("muffler", 450.0, 5.5, 220.0, 120.0)
    add("straight", 400.0, PER * 400.0)
    plain = Chain("main", tuple(found), ())
    welds = tuple(Weld(letter, e.to_mm, *point_on(plain, e.to_mm)) for letter, e in zip("ABCDEFGHIJ", found[:-1]))
    return Chain("main", tuple(found), welds)


def wish(step_mm: float) -> HangerWish:
    """One rail on which a hanger may sit every ``step_mm``."""
    rubber = Isolator("two-hole", (3.0, 5.0), (3.0, 5.0), (12.0, 18.0), 50.0, most_n=90.0, most_mm=20.0)
    rail = Rail("rail", (950.0, 420.0, 430.0), (3400.0, 420.0, 590.0), step_mm, "weld")
    return HangerWish((), {"": rubber}, (rail,), MOST, idle=Idle((750.0, 900.0), 4), growth=Growth((2e-3, 4e-3)),
                      outlet_most_n_mm=250e3)


class LongWay:
    """Every choice solved as a whole."""

    def __init__(self, chain: Chain, wanted: HangerWish) -> None:
        self.chain, self.wish = chain, wanted
        self.seats, _ = seats_of(chain, wanted)
        self.setting: Setting = setting_of(chain, wanted, self.seats)
        self.frame = frame_of(chain, [s.at_mm for s in self.seats])

    def system(self, choice: tuple[int, ...], springs: np.ndarray) -> tuple[np.ndarray, list[tuple[np.ndarray, ...]]]:
        """Stiffness with the hangers on, and each one's row and springs."""
        total = self.frame.stiffness.copy()
        rows = []
        for c in choice:
            grip = self.seats[c].grip
            node = self.frame.node_at(grip.at_mm)
            arm, at = grip.pin - self.frame.places[node], 6 * (node - self.frame.first)
            row = np.zeros((3, len(total)))
            row[:, at:at + 3] = np.eye(3)
            row[:, at + 3:at + 6] = np.array([np.cross(unit, arm) for unit in np.eye(3)]).T
            spring = np.linalg.inv(np.diag(1.0 / springs[c]) + grip.rod_give)
            total += row.T @ spring @ row
            rows.append((row, spring))
        return total, rows

    def use(self, choice: tuple[int, ...]) -> float:
        """Worst share of a limit in all corners."""
        s = self.setting
        shock = s.limit("hanger-shock")
        weight = self.frame.mass_kg * GRAVITY
        worst = 0.0
        for springs, grown in itertools.product(s.slow, s.grown):
            total, rows = self.system(choice, springs)
            push = sum(-row.T @ spring @ grown[c] for c, (row, spring) in zip(choice, rows))
            moved = np.linalg.solve(total, np.array([self.frame.pull, push]).T)
            worst = max(worst, float(-moved[2::6, 0].min()) / s.limit("hanger-sag"))
            cold = [-spring @ (row @ moved[:, 0]) for row, spring in rows]
            grew = [-spring @ (row @ moved[:, 1] + grown[c]) for c, (row, spring) in zip(choice, rows)]
            for c, a, b in zip(choice, cold, grew):
                worst = max(worst, np.linalg.norm(a) / s.most_n[c], np.linalg.norm(a + b) / s.most_n[c],
                            np.linalg.norm(a / springs[c]) / s.most_mm[c],
                            np.linalg.norm((a + b) / springs[c]) / s.most_mm[c])
                slack = -min(a[2], (a + b)[2])
                worst = max(worst, 1.0 + slack / weight if slack > 1e-6 * weight else 0.0)
                for hot in (0.0, 1.0):
                    bent = np.linalg.norm(np.cross(self.seats[c].rod.lever, shock * a + hot * b)) / s.rod_section_mm3
                    worst = max(worst, bent / s.limit("hanger-bracket-bending"))
            for s_mm in s.reaches[0].judged_mm:
                spot, way = point_on(self.chain, float(s_mm))
                beyond = self.frame.weight_at_mm > s_mm
                across = 0.0
                for hot in (0.0, 1.0):
                    moment = np.zeros(3)
                    for kg, place in zip(self.frame.weight_kg[beyond], self.frame.weight_places[beyond]):
                        moment += np.cross(place - spot, [0.0, 0.0, -shock * kg * GRAVITY])
                    for c, a, b in zip(choice, cold, grew):
                        if self.seats[c].at_mm > s_mm - 0.5:
                            moment += np.cross(self.seats[c].grip.pin - spot, shock * a + hot * b)
                    across = max(across, float(np.linalg.norm(moment - float(moment @ way) * way)))
                worst = max(worst, across / s.section_mm3 / s.limit("hanger-weld-bending"))
                if s_mm == 0.0:
                    worst = max(worst, across / self.wish.outlet_most_n_mm)
        return float(worst)

    def rank(self, choice: tuple[int, ...]) -> int:
        """How its natural frequencies stand, all of them worked."""
        ends = []
        for springs in self.setting.shaken:
            squares = eigh(self.frame.mass, self.system(choice, springs)[0], eigvals_only=True)[::-1][:10]
            ends.append(1.0 / np.sqrt(squares) / math.tau)
        return mode_rank(list(zip(*ends)), shaken_by(self.setting))

    def best(self) -> tuple[int, tuple[int, ...]]:
        """How many choices were solved, and the best one."""
        solved, good = 0, []
        for size in range(1, MOST + 1):
            for choice in itertools.combinations(range(len(self.seats)), size):
                if self.spaced(choice):
                    solved += 1
                    use = self.use(choice)
                    if use <= 1.0:
                        good.append((sum(self.seats[k].candidate.price for k in choice), use, choice))
        least = min(good)[0]
        return solved, min((self.rank(c), u, c) for p, u, c in good if p == least)[2]

    def spaced(self, choice: tuple[int, ...]) -> bool:
        """Whether it keeps the rules of spacing."""
        at = [0.0, *(self.seats[k].at_mm for k in choice), self.chain.length_mm]
        wanted = [e for e in self.chain.elements if e.kind in ("muffler", "catalyst", "bend")]
        return all(b - a <= 1200.0 for a, b in itertools.pairwise(at)) and all(
            any(e.from_mm - 300.0 <= s <= e.to_mm + 300.0 for s in at[:-1]) for e in wanted)


def library_time(chain: Chain, long: LongWay) -> float:
    """Seconds the library needs to build the frame and solve it once."""
    begun = time.perf_counter()
    frame = frame_of(chain, [s.at_mm for s in long.seats])
    np.linalg.solve(frame.stiffness, frame.pull)
    return time.perf_counter() - begun


def main() -> None:
    """Time both and print the ratio."""
    chain = invented()
    hang(chain, wish(600.0))
    for step in (300.0, 200.0):
        wanted = wish(step)
        begun = time.perf_counter()
        plan = hang(chain, wanted)
        ours = time.perf_counter() - begun
        begun = time.perf_counter()
        long = LongWay(chain, wanted)
        solved, choice = long.best()
        theirs = time.perf_counter() - begun
        told = [h.candidate.name for h in plan.hangers]
        same = told == [long.seats[k].candidate.name for k in choice]
        print(f"{len(long.seats)} places, up to {MOST}: {plan.tried.choices} choices keep the spacing, "
              f"{plan.tried.worked} worked in {ours:.2f} s; the long way solved {solved} in {theirs:.1f} s, "
              f"{theirs / ours:.0f} times as long; same choice: {'yes' if same else 'NO'}; "
              f"a model built anew for one choice: {1e3 * library_time(chain, long):.0f} ms")
        if not same:
            raise SystemExit(f"{told} against {[long.seats[k].candidate.name for k in choice]}")


if __name__ == "__main__":
    main()
