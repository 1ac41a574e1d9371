"""The router against a general motion planner: runs and writes one line of JSON for each run.

Every budget is in seconds of the processor, one thread, the compiler's time left out. A run that stands in the file is
not run again, so this can be stopped and taken up. Run from the top of the checkout, for example:

    python benchmarks/routing/run.py                         everything, some hours
    python benchmarks/routing/run.py --only router --cases easy over --seeds 5 --seconds 10
    python benchmarks/routing/report.py                      the tables and plots from the file

Kinds of run: ``router``: 10 s of our search. ``planner``: 10 s and 60 s of the general planner. ``finished``: the
same with our descent and dropping of corners. ``long``: 120 s of our search, for the best known cost. ``wall``: two
workers, 5 s by the clock. ``bound``: the cost that no route goes below. ``memory``: what a fresh process holds that
only loads the compiled router and searches for 3 s.
"""

import argparse
import json
import os
import platform
import subprocess
import sys
import time
import zlib
from collections.abc import Iterator
from pathlib import Path

for _name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "NUMBA_NUM_THREADS"):
    os.environ.setdefault(_name, "2" if _name.startswith("NUMBA") else "1")

import general_planner  # noqa: E402
from judge import judge  # noqa: E402
from scenarios import cases  # noqa: E402

import trialfit.routing  # noqa: E402
from trialfit.routing import find  # noqa: E402
from trialfit.routing.bound import lower_bound  # noqa: E402
from trialfit.routing.certificate import certify  # noqa: E402
from trialfit.routing.field import prepare  # noqa: E402
from trialfit.routing.problem import Problem, Way  # noqa: E402

HERE = Path(__file__).resolve().parent
OUT = HERE / "results.jsonl"
KINDS_OF_RUN = ("router", "planner", "finished", "long", "wall", "bound", "memory")
LONG_SECONDS, PLANNER_LONG_SECONDS, WALL_SECONDS, BOUND_SECONDS, MEMORY_SECONDS = 120.0, 60.0, 5.0, 60.0, 3.0
WARM_SEED = 990_000


def stamp() -> str:
    """Tells one state of the router's text from another."""
    folder = Path(trialfit.routing.__file__).parent
    return f"{zlib.crc32(b''.join(p.read_bytes() for p in sorted(folder.glob('*.py')))):08x}"


def lines(path: Path) -> list[dict]:
    """What stands in the file; a last line cut short by a stop is left out."""
    found = []
    for line in path.read_text().splitlines() if path.exists() else []:
        try:
            found.append(json.loads(line))
        except json.JSONDecodeError:
            continue
    return found


MEMORY = """
import sys, time
from pathlib import Path
sys.path.insert(0, {folder!r})
from scenarios import cases
from trialfit.routing import find
problem = cases()[{case!r}]()
began = time.process_time()
find(problem, seed=1, rounds=1, with_bound=False, with_reasons=False)
loaded = time.process_time() - began
find(problem, seed=1, seconds={seconds}, clock=time.process_time, with_bound=False, with_reasons=False)
# the high water mark of this process alone: what getrusage tells may be that of the one that started it
status = Path("/proc/self/status").read_text()
print(int(status.split("VmHWM:")[1].split()[0]) / 1024.0, loaded)
"""


def memory(case: str, seconds: float) -> dict:
    """Most memory of a fresh process [MB], and its first round with loading the compiled router [s]."""
    code = MEMORY.format(folder=str(HERE), case=case, seconds=seconds)
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        return {"fault": done.stderr.strip().splitlines()[-1]}
    held, loaded = (float(v) for v in done.stdout.split()[-2:])
    return {"memory_mb": held, "first_round_s": loaded}


def proof_seconds(problem: Problem, way: Way, width_mm: float) -> tuple[float, float, float, bool]:
    """Median processor time of three proofs, their bounds, and whether they closed."""
    taken, proof = [], None
    for _ in range(3):
        began = time.process_time()
        proof = certify(problem, way, width_mm=width_mm)
        taken.append(time.process_time() - began)
    assert proof is not None
    return sorted(taken)[1], proof.lower_mm, proof.upper_mm, proof.closed


def ours(problem: Problem, seed: int, seconds: float, workers: int = 1) -> dict:
    """One search of ours, its story, and its best route held against the judge."""
    story: list[tuple[float, float, int, float]] = []
    began = time.process_time()
    clock = time.process_time if workers == 1 else time.perf_counter
    found = find(problem, seed=seed, seconds=seconds, clock=clock, workers=workers, with_bound=False,
                 on_better=lambda way, t: story.append((t, way.cost, len(way.bends), way.margin_mm)))
    spent = time.process_time() - began
    record = {"story": story, "spent": spent, "rounds": found.rounds, "unproved": found.unproved,
              "kinds": len(found.routes)}
    if found.routes:
        best = found.routes[0]
        fields = prepare(problem)
        judged = judge(problem, fields, best.way)
        proof = best.certificate
        record |= {
            "cost": best.way.cost, "name": best.name, "bends": len(best.way.bends), "lower_mm": proof.lower_mm,
            "upper_mm": proof.upper_mm, "closed": proof.closed, "cells": proof.cells, "judged": judged.cost,
            "broken": judged.broken, "points": best.way.points.tolist(), "bend_kinds": best.way.bends,
            "size": best.way.size, "parts": [(p.leg, p.start_mm, p.clock_rad) for p in best.way.parts],
            "names": [r.name for r in found.routes], "costs": [r.way.cost for r in found.routes],
        }
        if workers == 1:
            record["proof_s"] = proof_seconds(problem, best.way, 0.1)
            record["fine_proof_s"] = proof_seconds(problem, best.way, 0.01)
    return record


def best_known(records: list[dict], case: str) -> float:
    """Lowest cost of any proved route of ours of that case."""
    costs = [r["cost"] for r in records if r["case"] == case and "cost" in r and r["lower_mm"] >= 0.0]
    return min(costs, default=float("inf"))


def wanted(given: argparse.Namespace) -> Iterator[tuple[str, str, int, float]]:
    """Kind of run, case, seed, seconds; the cheap and telling ones first."""
    names = given.cases or list(cases())
    for what in KINDS_OF_RUN:
        if what not in given.only:
            continue
        for case in names:
            if what == "router":
                yield from ((what, case, seed, given.seconds) for seed in range(given.seeds))
            elif what in ("planner", "finished"):
                yield from ((what, case, seed, given.seconds) for seed in range(given.planner_seeds))
                yield from ((what, case, seed, PLANNER_LONG_SECONDS) for seed in range(given.planner_long))
            elif what == "long":
                yield from ((what, case, 1000 + seed, LONG_SECONDS) for seed in range(given.long))
            elif what == "wall":
                yield from ((what, case, 500 + seed, WALL_SECONDS) for seed in range(3))
            elif what == "bound":
                yield what, case, 0, BOUND_SECONDS
            else:
                yield what, case, 0, MEMORY_SECONDS


def one(what: str, problem: Problem, case: str, seed: int, seconds: float, records: list[dict]) -> dict:
    """One run; a fault is written down as one, never left out."""
    if what in ("planner", "finished"):
        found = general_planner.in_child(case, seed, seconds, what == "finished")
        return {"fault": "the planner hung or died"} if found is None else found
    if what == "memory":
        return memory(case, seconds)
    try:
        if what == "bound":
            known = best_known(records, case)
            began = time.process_time()
            bound = lower_bound(problem, prepare(problem), known=known)
            return {"bound": bound.cost, "words": bound.words, "boxes": bound.boxes, "known": known,
                    "closed": bound.closed, "spent": time.process_time() - began}
        return ours(problem, seed, seconds, 2 if what == "wall" else 1)
    except Exception as error:
        return {"fault": f"{type(error).__name__}: {error}"}


def in_words(record: dict) -> str:
    """One run for the screen."""
    if "fault" in record:
        return record["fault"]
    for key, unit in (("bound", ""), ("memory_mb", " MB")):
        if key in record:
            return f"{record[key]:.4g}{unit}"
    story = record["story"]
    return f"first {story[0][0]:.2f} s, best {story[-1][1]:.3f}" if story else "no route"


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("--only", nargs="+", choices=KINDS_OF_RUN, default=list(KINDS_OF_RUN))
    ask.add_argument("--cases", nargs="+")
    ask.add_argument("--seeds", type=int, default=20)
    ask.add_argument("--planner-seeds", type=int, default=8)
    ask.add_argument("--planner-long", type=int, default=2, help="seeds of the planner at 60 s")
    ask.add_argument("--long", type=int, default=2, help="seeds of our search at 120 s")
    ask.add_argument("--seconds", type=float, default=10.0)
    ask.add_argument("--out", type=Path, default=OUT)
    given = ask.parse_args()
    known = cases()
    unknown = [c for c in given.cases or () if c not in known]
    if unknown:
        ask.error(f"no case is called {', '.join(unknown)}; known: {', '.join(known)}")
    records = lines(given.out)
    done = {(r["what"], r["case"], r["seed"], r["seconds"]) for r in records}
    mark, at = stamp(), {"python": platform.python_version(), "cores": os.cpu_count()}
    problems: dict[str, Problem | None] = {}
    warm: set[str] = set()
    with given.out.open("a") as out:
        for what, case, seed, seconds in wanted(given):
            if (what, case, seed, seconds) in done:
                continue
            if case not in problems:
                try:
                    problems[case] = known[case]()
                except (ValueError, StopIteration) as error:
                    print(f"{case}: cannot be asked: {error}", flush=True)
                    problems[case] = None
            problem = problems[case]
            if problem is None:
                continue
            if case not in warm and what not in ("planner", "finished", "memory"):
                # Whole rounds, not seconds: the compiler alone would use those up.
                find(problem, seed=WARM_SEED, rounds=2, with_bound=False)
                warm.add(case)
            record = {"what": what, "case": case, "seed": seed, "seconds": seconds, "stamp": mark, "machine": at}
            record |= one(what, problem, case, seed, seconds, records)
            records.append(record)
            out.write(json.dumps(record) + "\n")
            out.flush()
            print(f"{what} {case} {seed}: {in_words(record)}", flush=True)


if __name__ == "__main__":
    main()
