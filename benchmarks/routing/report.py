"""The tables and plots of the router's benchmark, from what the runs wrote down.

Reads ``results.jsonl`` (run.py), ``growth.json`` (growth.py) and ``throughput.json`` (throughput.py); what is missing
is left out and said so. Writes ``results.md``, ``cost.svg`` and ``growth.svg`` beside them.

Run: python benchmarks/routing/report.py [--results results.jsonl] [--into FOLDER]
"""

import argparse
import json
import math
import statistics
from collections.abc import Callable, Iterable
from pathlib import Path

from chart import chart
from scenarios import DEMOS, KINDS, STUDY

HERE = Path(__file__).resolve().parent
ORDER = (*STUDY, *KINDS, *DEMOS)
TIMES = (1.0, 2.0, 5.0, 10.0)
Story = list[list[float]]
Records = list[dict]


# --- reading


def cost_at(story: Story, seconds: float) -> float:
    """Best cost met by then, infinite where there was none."""
    return min((step[1] for step in story if step[0] <= seconds), default=math.inf)


def of(records: Records, what: str, case: str, seconds: float | None = None) -> Records:
    return [r for r in records if r["what"] == what and r["case"] == case and seconds in (None, r["seconds"])]


def last_cost(record: dict) -> float:
    """Cost of what a run handed back: ours when proved, the planner's when every rule held at the samples."""
    if "fault" in record:
        return math.inf
    if record["what"] in ("planner", "finished"):
        return cost_at(record["story"], math.inf)
    return record["cost"] if record.get("lower_mm", -1.0) >= 0.0 and not record["broken"] else math.inf


def middle(values: Iterable[float]) -> float:
    """Median; infinite values count as such, and half of them make it so."""
    kept = list(values)
    return statistics.median(kept) if kept else math.inf


def best_known(records: Records, case: str) -> float:
    runs = [r for r in records if r["case"] == case and r["what"] not in ("bound", "memory")]
    return min(map(last_cost, runs), default=math.inf)


def number(value: float | None, form: str = ".2f") -> str:
    return "-" if value is None or not math.isfinite(value) else format(value, form)


def both(first: float, second: float, form: str = ".2f") -> str:
    """Two figures in one cell."""
    return f"{number(first, form)} / {number(second, form)}"


def per_cent(value: float, form: str = ".2f") -> str:
    return "-" if not math.isfinite(value) else f"{100.0 * value:{form}} %"


def table(head: list[str], rows: list[list[str]]) -> str:
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    return "\n".join(lines + ["| " + " | ".join(row) + " |" for row in rows]) + "\n"


# --- the tables


def router_table(records: Records, names: list[str], seconds: float) -> str:
    rows = []
    for case in names:
        runs = of(records, "router", case, seconds)
        if not runs:
            continue
        faults = sum("fault" in r for r in runs)
        stories = [r.get("story", []) for r in runs]
        firsts = [s[0][0] if s else math.inf for s in stories]
        lasts = [last_cost(r) for r in runs]
        known = best_known(records, case)
        bound = max((r["bound"] for r in of(records, "bound", case) if "bound" in r), default=math.nan)
        at = []
        for t in TIMES[:-1]:
            costs = [cost_at(s, t) for s in stories]
            at.append(f"{number(middle(costs))} ({sum(map(math.isfinite, costs))})")
        gap = middle(lasts) / known - 1.0
        worst = max(lasts) / known - 1.0
        rows.append([
            case, f"{len(runs)}" + (f" ({faults} faults)" if faults else ""), both(middle(firsts), max(firsts)), *at,
            f"{number(middle(lasts))} ({sum(map(math.isfinite, lasts))})", number(known),
            f"{per_cent(gap)} / {per_cent(worst)}",
            "-" if math.isnan(bound) else f"{bound:.2f} ({per_cent(known / bound - 1.0, '.0f')})" if bound > 0 else "0",
        ])
    head = ["case", "runs", "first s, median / worst", *(f"cost at {t:g} s" for t in TIMES[:-1]),
            f"proved at {seconds:g} s", "best known", "above it, median / worst", "no route below (gap)"]
    return table(head, rows)


def proof_table(records: Records, names: list[str], seconds: float) -> str:
    rows = []
    for case in names:
        runs = [r for r in of(records, "router", case, seconds) if "cost" in r]
        if not runs:
            continue
        coarse, fine = ([r[key] for r in runs if key in r] for key in ("proof_s", "fine_proof_s"))
        lowest = min(r["lower_mm"] for r in runs)
        apart = [abs(r["judged"] / r["cost"] - 1.0) for r in runs]
        rows.append([
            case, f"{sum(r['lower_mm'] >= 0.0 for r in runs)} of {len(runs)}", number(lowest, ".3f"),
            number(max((p[2] - p[1] for p in coarse), default=math.inf), ".3f"),
            *(both(1e3 * middle(p[0] for p in some), 1e3 * max((p[0] for p in some), default=math.inf), ".1f")
              for some in (coarse, fine)),
            f"{sum(r['unproved'] for r in runs)}", f"{sum(bool(r['broken']) for r in runs)}", f"{max(apart):.1e}",
            number(max((r.get("memory_mb", math.inf) for r in of(records, "memory", case)), default=math.nan), ".0f"),
            number(max((r.get("first_round_s", math.inf) for r in of(records, "memory", case)), default=math.nan),
                   ".2f"),
        ])
    return table(["case", "proved", "lowest bound mm", "widest mm", "proof ms at 0.1 mm, median / worst",
                  "at 0.01 mm", "kinds left unproved", "routes that the judge faults", "cost off the judge's",
                  "memory MB", "cold start: loading and first round s"], rows)


def contest_table(records: Records, names: list[str], seconds: float) -> str:
    rows = []
    for case in names:
        ours = [last_cost(r) for r in of(records, "router", case, seconds)]
        if not ours:
            continue
        row = [case, both(middle(ours), max(ours))]
        for what in ("planner", "finished"):
            theirs = [last_cost(r) for r in of(records, what, case, seconds)]
            if not theirs:
                row += ["not run", "-", "-"]
                continue
            found = [t for t in theirs if math.isfinite(t)]
            row += [f"{both(middle(theirs), max(theirs))} ({len(found)} of {len(theirs)})",
                    number(middle(ours) / middle(theirs), ".3f") if found else "none found",
                    "yes" if max(ours) < min(theirs) else "no"]
        rows.append(row)
    return table(["case", "ours, median / worst", "planner, median / worst (found)", "ours / planner",
                  "each of ours below each", "planner, finished by us", "ours / finished", "each of ours below each"],
                 rows)


def long_table(records: Records, names: list[str]) -> str:
    rows = []
    for case in names:
        runs = of(records, "router", case)
        early = [cost_at(r.get("story", []), 2.0) for r in runs]
        raw, done = ([last_cost(r) for r in of(records, w, case, 60.0)] for w in ("planner", "finished"))
        if not early or not (raw or done):
            continue
        rows.append([case, both(middle(early), max(early)), both(middle(raw), min(raw, default=math.inf)),
                     _below(early, raw), both(middle(done), min(done, default=math.inf)), _below(early, done)])
    return table(["case", "ours at 2 s, median / worst", "planner at 60 s, median / best", "ours below its best",
                  "finished at 60 s, median / best", "ours below its best"], rows)


def _below(ours: list[float], theirs: list[float]) -> str:
    return f"{sum(c < min(theirs) for c in ours)} of {len(ours)}" if theirs else "-"


def wall_table(records: Records, names: list[str]) -> str:
    rows = []
    for case in names:
        runs = of(records, "wall", case)
        if runs:
            stories, known = [r.get("story", []) for r in runs], best_known(records, case)
            firsts = sorted(s[0][0] if s else math.inf for s in stories)
            rows.append([case, ", ".join(number(f) for f in firsts), number(middle(cost_at(s, 2.0) for s in stories)),
                         number(middle(last_cost(r) for r in runs)),
                         per_cent(middle(last_cost(r) for r in runs) / known - 1.0)])
    return table(["case", "first s", "cost at 2 s", "proved at 5 s", "above best known"], rows)


# --- targets


def targets(records: Records, names: list[str], seconds: float, growth: dict, speed: dict) -> str:
    """What the study said could be signed, held against what was measured; each case counts."""
    rows: list[list[str]] = []

    def hold(what: str, wanted: str, per_case: Callable[[str], bool | None], whole: Iterable[str]) -> None:
        said = {c: per_case(c) for c in whole}
        tried = {c: s for c, s in said.items() if s is not None}
        missed = [c for c, s in tried.items() if not s]
        verdict = "not measured" if not tried else "met" if not missed else "missed: " + ", ".join(missed)
        rows.append([what, wanted, f"{len(tried) - len(missed)} of {len(tried)}", verdict])

    def runs(case: str) -> Records:
        return of(records, "router", case, seconds)

    def lasts(case: str) -> list[float]:
        return [last_cost(r) for r in runs(case)]

    def theirs(case: str, what: str, t: float = seconds) -> list[float]:
        return [last_cost(r) for r in of(records, what, case, t)]

    def firsts(case: str) -> list[float]:
        return [r["story"][0][0] if r.get("story") else math.inf for r in runs(case)]

    def ratio(case: str, what: str, most: dict[str, float]) -> bool | None:
        if not lasts(case) or not theirs(case, what):
            return None
        ours, other = middle(lasts(case)), middle(theirs(case, what))
        return math.isfinite(ours) and ours <= most.get(case, max(most.values())) * other

    hold("first route, median", "0.5 s", lambda c: middle(firsts(c)) <= 0.5 if runs(c) else None, names)
    hold("first route, worst", "2 s", lambda c: max(firsts(c)) <= 2.0 if runs(c) else None, names)
    hold("cost over planner's, medians", "0.78 easy, 0.82 over, 0.74 tight; 0.82 elsewhere",
         lambda c: ratio(c, "planner", {"easy": 0.78, "over": 0.82, "tight": 0.74}), names)
    hold("every seed of ours below every seed of the planner", "all",
         lambda c: max(lasts(c)) < min(theirs(c, "planner")) if lasts(c) and theirs(c, "planner") else None, names)
    hold("cost over planner finished by us, medians", "0.995 easy, 0.965 over, 0.94 tight; 0.995 elsewhere",
         lambda c: ratio(c, "finished", {"easy": 0.995, "over": 0.965, "tight": 0.94}), names)
    hold("worst seed over own median", "1.02", lambda c: max(lasts(c)) <= 1.02 * middle(lasts(c)) if lasts(c) else None,
         names)
    hold("ours at 2 s below planner at 60 s, every seed", "all", lambda c: max(
        cost_at(r.get("story", []), 2.0) for r in runs(c)) < min(theirs(c, "planner", 60.0))
        if runs(c) and theirs(c, "planner", 60.0) else None, names)
    hold("ours at 2 s below planner finished by us at 60 s, every seed", "all", lambda c: max(
        cost_at(r.get("story", []), 2.0) for r in runs(c)) < min(theirs(c, "finished", 60.0))
        if runs(c) and theirs(c, "finished", 60.0) else None, names)
    hold("above best known, median", "0.5 %",
         lambda c: middle(lasts(c)) <= 1.005 * best_known(records, c) if lasts(c) else None, names)
    hold("above best known, worst", "2 %",
         lambda c: max(lasts(c)) <= 1.02 * best_known(records, c) if lasts(c) else None, names)
    hold("routes proved", "every one",
         lambda c: all(r.get("lower_mm", -1.0) >= 0.0 for r in runs(c)) if runs(c) else None, names)
    hold("routes that the judge finds whole", "every one",
         lambda c: all("broken" in r and not r["broken"] for r in runs(c)) if runs(c) else None, names)

    def proofs(case: str, key: str) -> list[list[float]]:
        return [r[key] for r in runs(case) if key in r]

    hold("proof at 0.1 mm, median / worst", "10 / 50 ms", lambda c: (
        middle(p[0] for p in proofs(c, "proof_s")) <= 0.010 and max(p[0] for p in proofs(c, "proof_s")) <= 0.050)
        if proofs(c, "proof_s") else None, names)
    hold("width of the proof", "0.1 mm", lambda c: max(p[2] - p[1] for p in proofs(c, "proof_s")) <= 0.1 + 1e-9
         if proofs(c, "proof_s") else None, names)
    hold("proof at 0.01 mm, worst", "50 ms", lambda c: max(p[0] for p in proofs(c, "fine_proof_s")) <= 0.050
         if proofs(c, "fine_proof_s") else None, names)
    hold("memory", "250 MB", lambda c: all(r.get("memory_mb", math.inf) <= 250.0 for r in of(records, "memory", c))
         if of(records, "memory", c) else None, names)
    field, proof = speed.get("field"), speed.get("certificate")
    here = [speed.get("case", "over")]
    hold("points a second, field", "3 million", lambda _c: field["points_per_s"] >= 3e6 if field else None, here)
    hold("field over library's tree", "40 x", lambda _c: field["ratio"] >= 40.0 if field else None, here)
    hold("pairs a second over library's", "150 x", lambda _c: field["pairs_ratio"] >= 150.0 if field else None, here)
    hold("proof over dense sampling 1 mm x 69 x 33", "10 000 x",
         lambda _c: proof["proof_0.1"]["ratio_plain"] >= 1e4 if proof else None, here)
    at = next((r for r in growth.get("poses", []) if r["poses"] == 45), None)
    hold("field made ready, 45 poses", "0.15 s", lambda _c: at["prepare_s"] <= 0.15 if at else None, ["over"])
    big = next((r for r in growth.get("triangles", []) if r["triangles"] == 200_000), None)
    hold("scan of 200 000 triangles, tree", "0.5 s", lambda _c: big["tree_s"] <= 0.5 if big else None, ["over"])
    hold("scan of 200 000 triangles, proof of the whole route", "50 ms",
         lambda _c: big["proof_ms"] <= 50.0 if big else None, ["over"])
    return table(["target", "wanted", "cases", "verdict"], rows)


# --- growth and speed


def growth_tables(growth: dict) -> str:
    told = []
    heads = {"poses": "Poses", "obstacles": "Obstacles (posts added away from the route)",
             "triangles": "Triangles of one scan beside the route", "bends": "Bends of a candidate",
             "blocks": "Size of the field's blocks"}
    names = {"rows": "posed solids", "prepare_s": "prepare s", "mean_list": "mean list", "mb": "MB",
             "value_ns": "value ns", "evaluation_us": "candidate us", "proof_ms": "proof ms", "tree_s": "tree s",
             "block_mm": "block mm"}
    for kind, head in heads.items():
        rows = growth.get(kind)
        if rows:
            keys = list(rows[0])
            told.append(f"**{head}**\n\n" + table([names.get(k, k) for k in keys],
                                                  [[f"{row[k]:.4g}" for k in keys] for row in rows]))
    return "\n".join(told)


def speed_tables(speed: dict) -> str:
    told = []
    field = speed.get("field")
    if field:
        told.append(table(["what", "ours a second", "library a second", "ratio"], [
            [f"least over {field['rows']} posed solids, random points", f"{field['points_per_s']:.3g}",
             f"{field['library_points_per_s']:.3g}", f"{field['ratio']:.0f}"],
            ["point against one solid", f"{field['pairs_per_s']:.3g}", f"{field['library_pairs_per_s']:.3g}",
             f"{field['pairs_ratio']:.0f}"]]))
        told.append(f"Field and library agree to {field['agreement_mm']:.1e} mm at {field['agreement_points']} "
                    "points.\n")
    proof = speed.get("certificate")
    if proof:
        rows = []
        for key in sorted(k for k in proof if k.startswith("proof_")):
            p = proof[key]
            rows.append([key[6:], f"{p['lower_mm']:.4f} to {p['upper_mm']:.4f}", f"{1e3 * p['seconds']:.2f}",
                         f"{p['ratio_plain']:.3g}", f"{p['ratio_same_width']:.3g}",
                         "yes" if p["below_dense"] else "NO"])
        told.append(table(["width mm", "bounds mm", "ms", "dense sampling over it, x",
                           "same width by dense sampling, worked out, x", "lower bound below the dense least"], rows))
        told.append(f"Dense: {proof['dense_samples']} samples x {proof['dense_poses']} poses, "
                    f"{proof['dense_seconds']:.1f} s scaled up from 12 poses, least {proof['dense_min_mm']:.4f} mm.\n")
    return "\n".join(told)


# --- plots


def cost_chart(records: Records, names: list[str], seconds: float) -> str:
    lines = {}
    for case in names:
        stories = [r.get("story", []) for r in of(records, "router", case, seconds)]
        known = best_known(records, case)
        times = [0.1 * (seconds / 0.1) ** (k / 60.0) for k in range(61)]
        if stories and math.isfinite(known):
            lines[case] = [(t, 100.0 * (middle(cost_at(s, t) for s in stories) / known - 1.0)) for t in times]
    return chart("Cost above the best known, median of the seeds", "processor time [s]", "above best known [%]",
                 lines, False)


def growth_chart(growth: dict) -> str:
    lines = {}
    poses = growth.get("poses", [])
    shown = {"prepare_s": "prepare", "evaluation_us": "candidate", "value_ns": "value", "proof_ms": "proof"}
    for key, name in shown.items():
        if poses:
            lines[name] = [(r["rows"], r[key] / poses[0][key]) for r in poses]
    return chart("Work against posed solids, as multiples of one pose", "posed solids", "times that of one pose", lines,
                 True)


# --- all of it

PREFACE = """# The router's benchmark

Processor seconds of one thread, compiling left out; made by run.py, growth.py, throughput.py, put together by
report.py. All vehicles are invented (scenarios.py). `tight` is a rebuilt scenario and not the study's: no figure of
the study about it holds here. "Best known" is the cheapest that any run here found, no proven optimum. In
brackets behind a cost: how many runs had a route by then.
"""
CONTEST = """The planner is OMPL's RRT-Connect with its path simplifier, corners rounded; "finished": its paths given
our descent and our dropping of corners, the fair contest. Its time leaves out making the field, ours does not. Its
routes hold every rule at 5 mm samples and at the grid of poses, but are not proved.
"""


def report(records: Records, growth: dict, speed: dict) -> str:
    """The whole text of results.md."""
    names = [c for c in ORDER if any(r["case"] == c for r in records)]
    seconds = max((r["seconds"] for r in records if r["what"] == "router"), default=10.0)
    states = sorted({r["stamp"] for r in records})
    text = [PREFACE]
    if len(states) > 1:
        text.append(f"**These runs are of {len(states)} states of the router ({', '.join(states)}): figures may not "
                    "belong together.**\n")
    faults = [r for r in records if "fault" in r]
    if faults:
        text.append("Runs that failed: "
                    + "; ".join(f"{r['what']} {r['case']} {r['seed']}: {r['fault']}" for r in faults) + "\n")
    text += ["## Search\n", router_table(records, names, seconds), "## Proofs\n", proof_table(records, names, seconds),
             f"## Against a general planner, {seconds:g} s each\n",
             CONTEST,
             contest_table(records, names, seconds),
             "## Ours at 2 s, the planner at 60 s\n", long_table(records, names),
             "## Two workers, 5 s by the clock\n", wall_table(records, names),
             "## Targets\n", targets(records, names, seconds, growth, speed),
             "## Growth\n",
             growth_tables(growth) or "Not measured.\n", "## Speed\n", speed_tables(speed) or "Not measured.\n"]
    return "\n".join(text)


def _json(path: Path) -> dict:
    return json.loads(path.read_text()) if path.exists() else {}


def _lines(path: Path) -> Records:
    found = []
    for line in path.read_text().splitlines() if path.exists() else []:
        try:
            found.append(json.loads(line))
        except json.JSONDecodeError:
            print(f"{path.name}: a line cut short is left out")
    return found


def main() -> None:
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("--results", type=Path, default=HERE / "results.jsonl")
    ask.add_argument("--growth", type=Path, default=HERE / "growth.json")
    ask.add_argument("--speed", type=Path, default=HERE / "throughput.json")
    ask.add_argument("--into", type=Path, default=HERE)
    given = ask.parse_args()
    records, growth, speed = _lines(given.results), _json(given.growth), _json(given.speed)
    text = report(records, growth, speed)
    (given.into / "results.md").write_text(text)
    names = [c for c in ORDER if any(r["case"] == c for r in records)]
    seconds = max((r["seconds"] for r in records if r["what"] == "router"), default=10.0)
    for name, picture in (("cost", cost_chart(records, names, seconds)), ("growth", growth_chart(growth))):
        if picture:
            (given.into / f"{name}.svg").write_text(picture)
    print(text)


if __name__ == "__main__":
    main()
