"""Open a build file and have everything worked out, with a bar to watch when it takes longer than a second."""

import json as _json
import os
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from trialfit.buildfile import scans
from trialfit.checks import Results, run
from trialfit.doubt import Weighed, findings, judged, weigh
from trialfit.findings import Finding
from trialfit.vehicle import Build

Progress = Callable[[int, int, str], None]


def refuse(message: str, as_json: bool) -> int:
    """Say why the input was refused; returns the exit code for that."""
    if as_json:
        print(_json.dumps({"refused": [{"message": message}]}, indent=2, ensure_ascii=False))
    else:
        print(message, file=sys.stderr)
    return 2


def opened(path: Path, as_json: bool) -> Build | None:
    """Read a build file; None when it was refused, with every problem already printed."""
    from trialfit.buildfile import load

    loaded = load(path)
    if loaded.build is None or loaded.problems:
        if as_json:
            problems = [{"where": {"file": p.place.file, "line": p.place.line, "column": p.place.column},
                         "typed": p.typed, "expected": p.expected, "mend": p.mend, "message": str(p)}
                        for p in loaded.problems]
            print(_json.dumps({"refused": problems}, indent=2, ensure_ascii=False))
        else:
            for problem in loaded.problems:
                print(problem, file=sys.stderr)
            count = len(loaded.problems)
            print(f"{count} problem{'' if count == 1 else 's'}; nothing was changed", file=sys.stderr)
        return None
    for suspicion in loaded.suspicions:
        print(f"suspicious: {suspicion}", file=sys.stderr)
    return loaded.build


@contextmanager
def watched() -> Iterator[Progress]:
    """A progress bar on the error stream, shown after one second and only to a person."""
    if not sys.stderr.isatty():
        yield lambda _done, _of, _what: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    started = time.monotonic()
    bar = Progress(TextColumn("{task.description}"), BarColumn(), TextColumn("{task.completed}/{task.total}"),
                   console=Console(stderr=True), transient=True)
    task = bar.add_task("working")
    live = False

    def report(done: int, of: int, what: str) -> None:
        nonlocal live
        if not live and time.monotonic() - started > 1.0:
            bar.start()
            live = True
        bar.update(task, completed=done, total=of, description=what)

    try:
        yield report
    finally:
        if live:
            bar.stop()


@contextmanager
def only_answers_on_stdout() -> Iterator[None]:
    """While it lasts, what a solver writes to the output by itself goes to the error stream: the output is for answers,
    and a machine reads it."""
    try:
        sys.stdout.flush()
        kept = os.dup(1)
    except OSError:
        yield
        return
    try:
        os.dup2(2, 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)


def worked(build: Build, path: Path, *, making: bool = False) -> tuple[Results, tuple[Weighed, ...], list[Finding]]:
    """Everything about one build: results, gaps with their doubt, findings worst first; with ``making`` hangers and
    ways to take the exhaust out."""
    with watched() as progress, only_answers_on_stdout():
        results = run(build, scans(build, path.parent), making=making, progress=progress)
        weighed = weigh(results, progress=progress)
        results = judged(results, weighed)
    return results, weighed, findings(results, weighed)
