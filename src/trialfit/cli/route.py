"""``trialfit route``: ask the router for one exhaust, show what it found, and lay one of them into the file."""

import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trialfit.buildfile import scans
from trialfit.checks import Results, plan_of, run
from trialfit.checks.searching import Effort, found_words, seek
from trialfit.cli.work import opened, refuse
from trialfit.findings import Place
from trialfit.routing.problem import Problem, ProblemError
from trialfit.vehicle import Build, RoutePlan

if TYPE_CHECKING:
    from trialfit.routing import Found, FoundRoute

OK, TO_DO, REFUSED = 0, 1, 2


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """One search: what was asked of which route, and what came of it."""

    build: Build
    plan: RoutePlan
    results: Results
    problem: Problem
    found: "Found"
    left_out: tuple[str, ...]
    spared: bool = True
    """whether every gap asked for holds room for the doubt of the tape"""

    def laid(self, route: "FoundRoute") -> RoutePlan:
        """One of the routes as a laid plan."""
        return plan_of(self.problem, route.way, self.plan)


def chosen(build: Build, name: str | None) -> RoutePlan:
    """The route to look for: the one named, or the only one that asks for something.

    Raises
    ------
    ProblemError
        when there is none, or more than one
    """
    asking = [r for r in build.routes if r.wish is not None]
    if name is not None:
        for route in build.routes:
            if route.name == name:
                return route
        known = ", ".join(r.name for r in build.routes) or "none"
        raise ProblemError(f"the build has no exhaust of the name {name}; it has: {known}")
    if len(asking) == 1:
        return asking[0]
    if asking:
        open_ = [r for r in asking if not r.laid]
        if len(open_) == 1:
            return open_[0]
        raise ProblemError(f"several exhausts look for a route; choose one with --name: "
                           f"{', '.join(r.name for r in asking)}")
    where = build.routes[0].where if build.routes else None
    raise ProblemError("no exhaust of this build says what to look for; write find: under one, with exit, pipes and "
                       "bends (see docs/build-file.md)", where)


def searched(build: Build, name: str | None, files: dict[str, bytes], effort: Effort, *,
             tell: Callable[[float, float | None, str], None], stop: Callable[[], bool]) -> Answer:
    """Search for one route, with room for the doubt of the tape; where there is none like that, without.

    Raises
    ------
    ProblemError
        when no route can answer the question
    """
    plan = chosen(build, name)
    results = run(build, files, gaps=False)
    sought = seek(build, plan, results, effort, time.perf_counter, tell, stop)
    return Answer(build, plan, results, sought.problem, sought.found, sought.left_out, sought.spared)


@contextmanager
def stoppable() -> Iterator[Callable[[], bool]]:
    """While it lasts, Ctrl-C asks the search to stop and keep its best; a second one ends the program."""
    asked = threading.Event()
    if threading.current_thread() is not threading.main_thread():
        yield asked.is_set
        return

    def on_interrupt(_number: int, _frame: object) -> None:
        if asked.is_set():
            raise KeyboardInterrupt
        asked.set()
        print("\nstopping; the best so far is kept (again: stop at once)", file=sys.stderr, flush=True)

    before = signal.signal(signal.SIGINT, on_interrupt)
    try:
        yield asked.is_set
    finally:
        signal.signal(signal.SIGINT, before)


@contextmanager
def told() -> Iterator[Callable[[float, float | None, str], None]]:
    """A line on the error stream that says how the search goes; shown only to a person."""
    if not sys.stderr.isatty():
        yield lambda _seconds, _cost, _words: None
        return
    last = 0.0
    wide = 0

    def report(seconds: float, cost: float | None, words: str) -> None:
        nonlocal last, wide
        now = time.monotonic()
        if now - last < 0.1:
            return
        last = now
        best = "no route yet" if cost is None else f"best so far costs {cost:.1f}"
        text = f"{seconds:5.1f} s  {best}  {words}"[:110]
        print(f"\r{text:<{wide}}", end="", file=sys.stderr, flush=True)
        wide = max(wide, len(text))

    try:
        yield report
    finally:
        if wide:
            print(f"\r{'':<{wide}}\r", end="", file=sys.stderr, flush=True)


def routed(path: Path, name: str | None, effort: Effort, write: bool, pick: int, as_json: bool) -> int:
    """The command: search, show, and write where that was asked; returns the exit code."""
    import json

    from trialfit.cli import route_show

    wrong = _out_of_range(effort, pick)
    if wrong:
        return refuse(wrong, as_json)
    before = _digest(path)
    build = opened(path, as_json)
    if build is None:
        return REFUSED
    try:
        with told() as tell, stoppable() as stop:
            answer = searched(build, name, scans(build, path.parent), effort, tell=tell, stop=stop)
    except ProblemError as error:
        return refused(error, as_json)
    written: Path | None = None
    if write and answer.found.routes:
        if pick > len(answer.found.routes):
            return refuse(f"--pick {pick}: only {len(answer.found.routes)} routes were found", as_json)
        reason = _laid_into(path, before, answer, answer.found.routes[pick - 1])
        if reason:
            return refuse(reason, as_json)
        written = path
    if as_json:
        print(json.dumps(route_show.plain(answer, written), indent=2, ensure_ascii=False))
    else:
        route_show.table(answer, written, pick)
    # found, and the one that counts is certain to clear
    one = answer.found.routes[pick - 1:pick] or answer.found.routes[:1]
    return OK if one and one[0].certificate.clear else TO_DO


def _out_of_range(effort: Effort, pick: int) -> str:
    if not 0.0 < effort.seconds <= 86_400.0:
        return f"--seconds is {effort.seconds:g}; it must be more than 0 and at most 86400"
    if effort.rounds is not None and not 1 <= effort.rounds <= 1_000_000:
        return f"--rounds is {effort.rounds}; it must lie between 1 and 1000000"
    if not 1 <= effort.workers <= 256:
        return f"--workers is {effort.workers}; it must lie between 1 and 256"
    if not 1 <= effort.count <= 100:
        return f"--count is {effort.count}; it must lie between 1 and 100"
    if effort.seed < 0:
        return f"--seed is {effort.seed}; it must be 0 or more"
    return f"--pick is {pick}; the first route is 1" if pick < 1 else ""


def refused(error: ProblemError, as_json: bool) -> int:
    """Say why the question has no answer, at the line where it stands."""
    import json

    where: Place | None = error.where
    if as_json:
        entry: dict[str, Any] = {"message": str(error)}
        if where is not None:
            entry["where"] = {"file": where.file, "line": where.line, "column": where.column}
        print(json.dumps({"refused": [entry]}, indent=2, ensure_ascii=False))
    else:
        print(f"{where}: {error}" if where is not None else str(error), file=sys.stderr)
    return REFUSED


def _digest(path: Path) -> str:
    from trialfit.buildfile.reader import digest_of

    try:
        return digest_of(path.read_bytes())
    except OSError:
        return ""


def _laid_into(path: Path, digest: str, answer: Answer, route: "FoundRoute") -> str:
    """Lay a route into the file; returns why not, or nothing."""
    from trialfit.buildfile import EditError, save, write_route

    plan = replace(answer.laid(route), found=found_words(route, answer.spared, "trialfit route"))
    try:
        text = path.read_bytes().decode("utf-8")
        made = write_route(text, plan.name, plan.corners, plan.end, plan.parts, diameter=plan.diameter, wall=plan.wall,
                           found=plan.found)
    except (OSError, UnicodeDecodeError, EditError) as error:
        return f"{path} was left as it is: {error}"
    saved = save(path, made, digest)
    return "" if saved.done else saved.reason
