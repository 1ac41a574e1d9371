"""The main job on two invented vehicles: readings to hardpoints, travel, gaps, cut list and paper."""

import json as _json
from functools import partial
from pathlib import Path

from rich.console import Console

from trialfit import units
from trialfit.cli.paper import written
from trialfit.cli.work import opened, refuse, worked
from trialfit.doubt import Weighed, for_people
from trialfit.findings import SURE, Finding, Verdict
from trialfit.survey import amount_words, solve

EXAMPLES = ("estate", "flatbed")


def _examples() -> Path | None:
    """The examples of this checkout; they are not part of the installed package."""
    for folder in (Path.cwd(), Path(__file__).resolve().parents[3]):
        if all((folder / "examples" / name / "build.yaml").is_file() for name in EXAMPLES):
            return folder / "examples"
    return None


def shown(out: Path, as_json: bool) -> int:
    """Work both example builds and their misread twins; returns 0 when all could be worked."""
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
        results, weighed, found = worked(build, path)
        files = written(results, weighed, found, out / name, None)
        settings = build.settings
        told = partial(units.retold, system=settings.units, fraction=settings.fraction)
        misread = _misread(examples / name / "misread.yaml", as_json)
        survey = results.survey
        worst = max((survey.doubt_mm(n) for n in survey.names), default=0.0)
        console.rule(f"[bold]{build.name}[/bold]  (invented)", align="left")
        console.print(f"{len(survey.readings)} readings -> {len(survey.names)} hardpoints, the worst to within "
                      f"{told(f'{SURE * worst:.1f} mm')}; {len(weighed)} gaps held through the whole travel")
        for f in _headline(found, weighed):
            console.print(f"  [bold]{f.verdict.value}[/bold]  {told(f.reason)}")
            if f.remedy:
                console.print(f"      do: {told(f.remedy)}", markup=False)
        for cut in results.cuts:
            length = told(f"{cut.total_length_mm:.0f} mm")
            bends = sum(n for _, n in cut.stock_to_buy)
            console.print(f"  exhaust {cut.route}: {len(cut.pieces)} pieces, {length} along its centre, {bends} bends")
        console.print(f"  {misread}", markup=False)
        for file, what in files:
            console.print(f"  {file}  {what}", markup=False)
        first += [f"{file} ({what})" for file, what in files if file.suffix == ".pdf" and "wrap" in file.name]
        answers.append({"build": build.name, "findings": len(found), "misread": misread,
                        "files": [str(file) for file, _ in files]})
    console.print()
    console.print("Look first at the summary picture of each vehicle, then at the cut list, then print")
    for line in first:
        console.print(f"  {line}", markup=False)
    console.print("at full size and measure its check bar.")
    if as_json:
        print(_json.dumps({"builds": answers}, indent=2, ensure_ascii=False))
    return 0


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
