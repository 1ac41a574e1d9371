"""One search for an exhaust's way: with room for the doubt of the tape, and where there is none like that, without."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from trialfit.checks.asked import not_kept_clear, problem_of
from trialfit.checks.results import Results
from trialfit.routing.problem import Problem
from trialfit.vehicle import Build, RoutePlan

if TYPE_CHECKING:
    from trialfit.routing import Found, FoundRoute

Tell = Callable[[float, float | None, str], None]
Stop = Callable[[], bool]


@dataclass(frozen=True, slots=True)
class Effort:
    """How long and how wide to search. ``rounds`` fixes the work instead of the time, so that it repeats."""

    seconds: float = 10.0
    rounds: int | None = None
    workers: int = 1
    seed: int = 0
    count: int = 5


@dataclass(frozen=True, slots=True, eq=False)
class Sought:
    """What came of it. ``left_out`` says in words what the routes do not keep clear of; ``spared`` whether every gap
    asked for holds room for the doubt of the tape."""

    problem: Problem
    found: "Found"
    left_out: tuple[str, ...]
    spared: bool


def seek(build: Build, plan: RoutePlan, results: Results, effort: Effort, clock: Callable[[], float], tell: Tell,
         stop: Stop) -> Sought:
    """Look for one route.

    Parameters
    ----------
    plan : RoutePlan
        with a wish
    results : Results
        of the same build; its gaps are not needed
    clock : callable
        tells the time [s]
    tell, stop : callable
        told (seconds, best cost or None, words) as the search goes on; asked whether it is to end

    Raises
    ------
    trialfit.routing.ProblemError
        when no route can answer the question
    """
    from trialfit.routing import find

    for spared in (True, False):
        problem = problem_of(build, plan, results, spare=spared)
        found = find(problem, seed=effort.seed, seconds=None if effort.rounds else effort.seconds, rounds=effort.rounds,
                     clock=clock, workers=effort.workers, progress=tell, stop=stop, count=effort.count,
                     with_reasons=not spared and not stop())
        if found.routes or stop():
            break
    return Sought(problem, found, tuple(not_kept_clear(build, plan, results)), spared)


def found_words(route: "FoundRoute", spared: bool, by: str) -> str:
    """One line for the file: who found it, which route it is, and how certain."""
    c = route.certificate
    sure = f"at least {c.lower_mm:.1f} mm beyond every gap asked for" if c.clear else "NOT certain to clear"
    room = "with room for the tape's doubt" if spared else "points as measured"
    return f"by {by}, {route.name}; {room}: {sure}"
