"""The main job on three invented vehicles: readings to hardpoints, travel, gaps, driveline, cut list and paper."""

import json as _json
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from rich.console import Console

from trialfit import units
from trialfit.checks import Results
from trialfit.checks.searching import Effort
from trialfit.cli import route_show
from trialfit.cli.paper import written
from trialfit.cli.route import Answer, searched, stoppable, told
from trialfit.cli.work import opened, refuse, worked
from trialfit.doubt import Weighed, for_people
from trialfit.doubt.gates import leans_of_route
from trialfit.exhaust import Kind
from trialfit.findings import SURE, Finding, Verdict
from trialfit.geometry.centreline import centreline
from trialfit.routing.problem import ProblemError
from trialfit.survey import amount_words, solve
from trialfit.vehicle import Build

Floats = NDArray[np.float64]

EXAMPLES = ("estate", "flatbed", "van")
EFFORT = Effort(seconds=12.0, count=4)
"""How long the demo searches for a route of each vehicle."""


def _examples() -> Path | None:
    """The examples of this checkout; they are not part of the installed package."""
    for folder in (Path.cwd(), Path(__file__).resolve().parents[3]):
        if all((folder / "examples" / name / "build.yaml").is_file() for name in EXAMPLES):
            return folder / "examples"
    return None


def shown(out: Path, as_json: bool) -> int:
    """Work the example builds and their misread twins; returns 0 when all could be worked."""
    examples = _examples()
    if examples is None:
        return refuse("the examples folder was not found; run the demo from the checkout", as_json)
    console = Console(highlight=False, quiet=as_json)
    answers: list[dict[str, object]] = []
    first: list[str] = []
    for name in EXAMPLES:
        path = examples / name / "build.yaml"
        build = opened(path, as_json)
        if build is None:
            return 2
        searches, build, stopped = _routes(build)
        results, weighed, found = worked(build, path, making=True)
        results = replace(results, alternatives=_thin(searches))
        files = written(results, weighed, found, out / name, None)
        settings = build.settings
        said = partial(units.retold, system=settings.units, fraction=settings.fraction)
        misread = _misread(examples / name / "misread.yaml", as_json)
        survey = results.survey
        worst = max((survey.doubt_mm(n) for n in survey.names), default=0.0)
        console.rule(f"[bold]{build.name}[/bold]  (invented)", align="left")
        console.print(f"{len(survey.readings)} readings -> {len(survey.names)} hardpoints, the worst to within "
                      f"{said(f'{SURE * worst:.1f} mm')}; {len(weighed)} gaps held through the whole travel")
        for f in _headline(found, weighed):
            console.print(f"  [bold]{f.verdict.value}[/bold]  {said(f.reason)}")
            if f.remedy:
                console.print(f"      do: {said(f.remedy)}", markup=False)
            if f.caution:
                console.print(f"      caution: {said(f.caution)}", markup=False)
        for cut in results.cuts:
            length = said(f"{cut.total_length_mm:.0f} mm")
            bends = len({p.stock.number for p in cut.pieces if p.stock is not None and p.kind is Kind.BEND})
            console.print(f"  exhaust {cut.route}: {len(cut.pieces)} pieces, {length} along its centre, out of {bends} "
                          "bends")
            console.print(f"  exhaust {cut.route}: {said(_may_cut(cut.route, results, found))}", markup=False)
        for words in _driveline(results):
            console.print(f"  {said(words)}", markup=False)
        for search in searches:
            _tell_search(console, search)
        for words in stopped:
            console.print(f"  no route: {words}", markup=False)
        console.print(f"  {misread}", markup=False)
        for file, what in files:
            console.print(f"  {file}  {what}", markup=False)
        first += [f"{file} ({what})" for file, what in files if file.suffix == ".pdf" and "wrap" in file.name]
        answers.append({"build": build.name, "findings": len(found), "misread": misread,
                        "searches": [route_show.plain(s, None) for s in searches], "refused": stopped,
                        "files": [str(file) for file, _ in files]})
    console.print()
    console.print("Look first at the summary picture of each vehicle, then at the cut list, then print")
    for line in first:
        console.print(f"  {line}", markup=False)
    console.print("at full size and measure its check bar.")
    if as_json:
        print(_json.dumps({"builds": answers}, indent=2, ensure_ascii=False))
    return 0


def _may_cut(route: str, results: Results, found: list[Finding]) -> str:
    plan = next(r for r in results.build.routes if r.name == route)
    open_ = [f for f in leans_of_route(plan, results, found) if f.verdict is not Verdict.FITS]
    if not open_:
        return "you may cut: every gap and bend of this route fits"
    more = f", and {len(open_) - 1} more" if len(open_) > 1 else ""
    return f"do not cut yet: {open_[0].reason}{more}"


def _driveline(results: Results) -> list[str]:
    """What the demo says of the driveline, each in a line."""
    told = [f"shaft: {f.reason}" for f in results.findings
            if f.name in ("shaft.one-piece", "shaft.slip.bottoms", "shaft.whirl")]
    told += [f.reason for f in results.findings if f.name == "gearing.axle-ratio"]
    for order in results.orders:
        if order.may_order:
            told.append(f"{order.title.lower()}: ready to be ordered from")
        else:
            told.append(f"{order.title.lower()}: not to be ordered from yet. {order.stop_reason[0]}")
    return told


def _routes(build: Build) -> tuple[list[Answer], Build, list[str]]:
    """Search for every exhaust that asks for it, one after the other, each laid before the next; with the build that
    has the best of each, and why there is none."""
    searches: list[Answer] = []
    stopped: list[str] = []
    for plan in build.routes:
        if plan.wish is None:
            continue
        try:
            with told() as tell, stoppable() as stop:
                answer = searched(build, plan.name, {}, EFFORT, tell=tell, stop=stop)
        except ProblemError as error:
            stopped.append(f"{plan.name}: {error}")
            continue
        searches.append(answer)
        if answer.found.routes:
            best = answer.laid(answer.found.routes[0])
            build = replace(build, routes=tuple(best if r.name == plan.name else r for r in build.routes))
    return searches, build, stopped


def _thin(searches: list[Answer]) -> tuple[tuple[str, Floats], ...]:
    """The routes that were not taken, as lines for the picture."""
    lines = []
    for answer in searches:
        for number, route in enumerate(answer.found.routes[1:], 2):
            bends = answer.problem.sizes[route.way.size].bends
            radii = [bends[b].radius_mm for b in route.way.bends]
            lines.append((f"{answer.plan.name} {number}", centreline(route.way.points, radii).polyline(2.0)))
    return tuple(lines)


def _tell_search(console: Console, answer: Answer) -> None:
    found = answer.found
    console.print(f"  routes found for exhaust {answer.plan.name} in {found.seconds:.0f} s:")
    for number, route in enumerate(found.routes, 1):
        console.print(f"    {route_show.line(answer, route, number)}", markup=False)
    if found.routes:
        console.print(f"    {route_show.cheaper_words(found.routes[0].way.cost, found.bound)} than the first",
                      markup=False)
    for b in found.blocked:
        console.print(f"    blocked: {b.words}", markup=False)


def _misread(path: Path, as_json: bool) -> str:
    build = opened(path, as_json)
    if build is None:
        return f"{path} was refused"
    suspects = solve(build).suspects
    if not suspects:
        return f"{path.name}: no misread reading found"
    s = suspects[0]
    off = units.retold(amount_words(s.off, s.is_angle), build.settings.units, build.settings.fraction)
    return (f"{path.name}, one reading misread on purpose: found '{s.reading}', {off}"
            + (f"; {s.guess}" if s.guess else ""))


def _headline(found: list[Finding], weighed: tuple[Weighed, ...]) -> list[Finding]:
    """What is open, worst first, at most four; and the closest gap that fits."""
    open_ = [f for f in for_people(found) if f.verdict is not Verdict.FITS][:4]
    fits = [f for f in found if f.verdict is Verdict.FITS and f.name.startswith("gap.")][:1]
    return open_ + fits if weighed else open_
