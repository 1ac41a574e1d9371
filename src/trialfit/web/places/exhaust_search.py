"""A search for routes while the page goes on answering: begun, watched, stopped, and one of its routes laid."""

import contextlib
import os
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from trialfit.buildfile import EditError, scans, write_route
from trialfit.checks import Results, plan_of, run
from trialfit.checks.searching import Effort, found_words, seek
from trialfit.routing.problem import Problem, ProblemError
from trialfit.vehicle import Build, RoutePlan
from trialfit.web.desk import Desk

if TYPE_CHECKING:
    from trialfit.routing import Found

Xyz = tuple[float, float, float]

LENGTHS_S = (10, 30, 120)
"""How long a search may be asked to take [s]."""
COUNT = 5
"""Kinds of route that are shown side by side."""
_YIELDING = 10


@dataclass(frozen=True, slots=True, eq=False)
class Alternatives:
    """What one search came to. ``spared``: every gap asked for holds room for the doubt of the tape. ``left_out`` says
    in words what the routes do not keep clear of, ``kept`` whether the person stopped it before its time."""

    build: Build
    plan: RoutePlan
    problem: Problem
    found: "Found"
    left_out: tuple[str, ...]
    spared: bool
    stopped: bool
    through: Xyz | None

    def laid(self, number: int) -> RoutePlan:
        """One of the routes, from 0, as a laid plan with a word on where it is from; what it was asked to run through
        is left out of its wish, as the file does not hold it."""
        route = self.found.routes[number]
        plan = plan_of(self.problem, route.way, self.plan)
        return replace(plan, found=found_words(route, self.spared, "the page"))


class Search:
    """One search at a time for one build file, shared by its tabs.

    Attributes
    ----------
    running : bool
    route : str
        which exhaust is looked for, or was last
    said : tuple
        seconds since it began, cost of the best so far or None, words
    done : Alternatives or None
    reason : str
        why there is nothing, in words
    turn : int
        grows whenever anything of the above but ``said`` changed
    """

    def __init__(self) -> None:
        self.running = False
        self.route = ""
        self.seconds = 0
        self.said: tuple[float, float | None, str] = (0.0, None, "")
        self.done: Alternatives | None = None
        self.reason = ""
        self.turn = 0
        self._lock = threading.Lock()
        self._stop = threading.Event()
        self._drop = False
        self._before: Alternatives | None = None
        """what the search before this one found, for one that is stopped without keeping anything"""
        self._thread: threading.Thread | None = None

    def begin(self, desk: Desk, route: str, seconds: int, through: Xyz | None = None) -> str:
        """Begin; returns why not, or nothing. ``through`` is a place that a straight of the pipe must run through."""
        build = desk.build
        if build is None:
            return "the build file has lines that cannot be read: mend them first"
        if seconds not in LENGTHS_S:
            return f"a search takes {', '.join(map(str, LENGTHS_S))} s"
        with self._lock:
            if self.running:
                return f"a search for {self.route} is under way: stop it first"
            self._before = self.done if route == self.route else None
            self.running, self.route, self.seconds = True, route, seconds
            self.said, self.done, self.reason, self._drop = (0.0, None, "getting ready"), None, "", False
            self._stop.clear()
            self.turn += 1
        known = desk.results
        self._thread = threading.Thread(target=self._run, args=(desk, build, known, route, seconds, through),
                                        daemon=True, name="trialfit route")
        self._thread.start()
        return ""

    def stop(self, *, keep: bool) -> None:
        """Stop soon; keep the best so far, or keep nothing."""
        with self._lock:
            if self.running:
                self._drop = not keep
                self._stop.set()
                self.turn += 1

    @property
    def stopping(self) -> bool:
        """Whether it was told to stop and has not yet."""
        return self.running and self._stop.is_set()

    def forget(self) -> None:
        """Put the routes away."""
        with self._lock:
            if not self.running:
                self.done, self.reason = None, ""
                self.turn += 1

    def _run(self, desk: Desk, build: Build, known: Results | None, route: str, seconds: int,
             through: Xyz | None) -> None:  # fmt: skip
        if sys.platform == "linux":  # there it holds for this thread alone
            with contextlib.suppress(OSError):
                os.nice(_YIELDING)
        done: Alternatives | None = None
        reason = ""
        try:
            results = known if known is not None else run(build, scans(build, desk.folder), gaps=False)
            done = searched(build, results, route, float(seconds), through, self._told, self._stop.is_set)
            if not done.found.routes:
                reason = "Stopped before a route was found." if done.stopped else "No route was found."
        except ProblemError as error:
            reason = f"{error.where}: {error}" if error.where is not None else str(error)
        except Exception as fault:  # the page shall say so and go on
            reason = f"this is a fault of trialfit, not of your file: {type(fault).__name__}: {fault}"
        with self._lock:
            self.running = False
            if self._drop:
                done = self._before
                reason = "Stopped. Nothing was kept and nothing was changed." if done is None else ""
            self.done, self.reason, self._before = done, reason, None
            self.turn += 1

    def _told(self, seconds: float, cost: float | None, words: str) -> None:
        self.said = (seconds, cost, words)


def searched(build: Build, results: Results, route: str, seconds: float, through: Xyz | None,
             tell: Callable[[float, float | None, str], None], stop: Callable[[], bool]) -> Alternatives:  # fmt: skip
    """Look for one route, with room for the doubt of the tape; where there is none like that, without.

    Parameters
    ----------
    seconds : float
        for each of the two [s]
    through : tuple or None
        a place that a straight of the pipe must run through as well [mm]

    Raises
    ------
    ProblemError
        when no route can answer the question
    """
    plan = next((r for r in build.routes if r.name == route), None)
    if plan is None:
        raise ProblemError(f"the build has no exhaust of the name {route}")
    if plan.wish is not None and through is not None:
        plan = replace(plan, wish=replace(plan.wish, through=(*plan.wish.through, through)))
    sought = seek(build, plan, results, Effort(seconds, count=COUNT), time.perf_counter, tell, stop)
    return Alternatives(build, plan, sought.problem, sought.found, sought.left_out, sought.spared, stop(), through)


def put(desk: Desk, plan: RoutePlan) -> str:
    """Write a route into the build file; returns why it could not be, or nothing."""
    seen, text = desk.revision, desk.text
    try:
        made = write_route(text, plan.name, plan.corners, plan.end, plan.parts, diameter=plan.diameter, wall=plan.wall,
                           found=plan.found)
    except EditError as error:
        return f"the build file was left as it is: {error}"
    clash = desk.apply(made, seen=seen)
    return "" if clash is None else f"the build file was left as it is: {clash.reason}"


_SEARCHES: "WeakKeyDictionary[Desk, Search]" = WeakKeyDictionary()


def search_of(desk: Desk) -> Search:
    """The search of a build file."""
    return _SEARCHES.setdefault(desk, Search())


def same_question(now: Build | None, then: Build) -> bool:
    """Whether nothing but what is laid has changed since."""
    if now is None:
        return False
    bare = tuple((r.name, r.wish, r.outlet, r.outlet_aim) for r in now.routes)
    if bare != tuple((r.name, r.wish, r.outlet, r.outlet_aim) for r in then.routes):
        return False
    return replace(now, routes=(), digest="") == replace(then, routes=(), digest="")
