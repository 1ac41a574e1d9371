"""How long a survey of 300 hardpoints and 2,000 readings takes, against a general least-squares library.

Both get the same invented readings in one run. The library gets the true places as its start, the exact derivatives
and nothing else to do; the survey finds its own start, looks for misreads, tests every reading and gives the
covariance.
Run: python benchmarks/survey.py
"""

import math
import os
import time

# more threads than free cores make small factorisations many times slower, so both sides get one
for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

import numpy as np  # noqa: E402
from scipy.optimize import least_squares  # noqa: E402

from trialfit.survey import advise, solve  # noqa: E402
from trialfit.survey.start import net_of  # noqa: E402
from trialfit.vehicle import DEFAULT_INSTRUMENTS, Build, Reading, ReadingKind, Settings  # noqa: E402
from trialfit.vehicle.reading import DEFAULT_FOR_KIND  # noqa: E402


def invented(points: int, count: int, seed: int) -> tuple[dict[str, np.ndarray], Build]:
    """A cloud of hardpoints with readings between near ones, their errors as the instruments promise."""
    random = np.random.default_rng(seed)
    places = {f"p{i}": random.uniform([0, -800, 150], [4000, 800, 1200]) for i in range(points)}
    names = list(places)
    wanted: dict[tuple[ReadingKind, tuple[str, ...]], float] = {}
    for i, name in enumerate(names):
        for axis, kind in enumerate((ReadingKind.STATION, ReadingKind.OFFSET, ReadingKind.HEIGHT)):
            if i < 6 or random.uniform() < 0.3:
                wanted[kind, (name,)] = float(places[name][axis])
    while len(wanted) < count:
        a, b = (names[k] for k in sorted(random.choice(points, 2, replace=False)))
        line = places[b] - places[a]
        length = float(np.linalg.norm(line))
        if length < 2500.0:
            if random.uniform() < 0.9:
                wanted[ReadingKind.TAPE, (a, b)] = length
            else:
                wanted[ReadingKind.ANGLE, (a, b)] = math.asin(line[2] / length)
    readings = []
    for (kind, ends), true in wanted.items():
        instrument = DEFAULT_INSTRUMENTS[DEFAULT_FOR_KIND[kind]]
        value = true + random.normal() * instrument.sd(true)
        readings.append(Reading(f"{kind} {'-'.join(ends)}", kind, ends, (float(value),), instrument))
    return places, Build("invented", "", Settings(), tuple(readings))


def main() -> None:
    """Time both and print the ratio."""
    for points, count in ((30, 200), (100, 700), (300, 2000)):
        places, build = invented(points, count, 3)
        begun = time.perf_counter()
        survey = solve(build)
        ours = time.perf_counter() - begun
        used = [c.observation for c in survey.readings
                if c.state == "used" and all(survey.has(p) for p in c.observation.points)]
        net = net_of(used, survey.names)
        start = np.array([places[n] for n in survey.names]).ravel()
        begun = time.perf_counter()
        other = least_squares(
            lambda x, e=net.eqs: (e.computed(x) - e.value) / e.sd, start,
            jac=lambda x, e=net.eqs: e.model(x)[1].toarray() / e.sd[:, None], method="trf", xtol=1e-12, ftol=1e-12,
        )
        theirs = time.perf_counter() - begun
        apart = float(np.abs(other.x - survey.xyz_mm.ravel()).max())
        begun = time.perf_counter()
        advise(survey)
        advised = time.perf_counter() - begun
        print(f"{points} hardpoints, {count} readings: survey {ours:.2f} s, library from true places {theirs:.2f} s")
        print(f"  ratio {ours / theirs:.2f}; apart {apart:.4f} mm at most; advice over every pair {advised:.2f} s")


if __name__ == "__main__":
    main()
