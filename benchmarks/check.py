"""How long a whole ``check`` of both example builds takes, stage by stage, and against what bound.

The bound is a fresh process that only imports what the check needs: no check from the shell can be quicker. Run from
the top of the checkout: ``python benchmarks/check.py``. Ratios are of one run on one machine.
"""

import subprocess
import sys
import time
from pathlib import Path

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.doubt import findings, weigh
from trialfit.geometry import compile_all
from trialfit.survey import solve

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
BOUND = "import numpy, scipy.stats, scipy.sparse.linalg, numba, ruamel.yaml, rich.console, cyclopts"


def seconds(work, times=5):
    """Median wall time of ``work`` [s]."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return sorted(taken)[times // 2]


def process(*arguments):
    subprocess.run([sys.executable, *arguments], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)


def main() -> None:
    compile_all()
    bound = seconds(lambda: process("-c", BOUND), 3)
    print(f"bound: a process that only imports {bound:.2f} s")
    for name in ("estate", "flatbed"):
        path = EXAMPLES / name / "build.yaml"
        build = load(path).build
        results = run(build)
        weighed = weigh(results)
        stages = {
            "read": seconds(lambda path=path: load(path)),
            "survey": seconds(lambda build=build: solve(build)),
            "all but gaps": seconds(lambda build=build: run(build, gaps=False)),
            "with gaps": seconds(lambda build=build: run(build)),
            "doubt": seconds(lambda results=results: weigh(results)),
        }
        findings(results, weighed)
        whole = seconds(lambda path=path: process("-m", "trialfit", "check", str(path), "--json"), 3)
        gaps = stages["with gaps"] - stages["all but gaps"]
        print(f"{name}: " + ", ".join(f"{k} {v:.2f} s" for k, v in stages.items()))
        print(f"{name}: {len(results.gaps)} certified gaps in {gaps:.2f} s = {len(results.gaps) / gaps:.0f} gaps/s; "
              f"whole check {whole:.2f} s = {whole / bound:.2f} x the bound")


if __name__ == "__main__":
    main()
