"""Compile the router's kernels once, by answering a question so small that nothing else takes time."""

import math
from collections.abc import Callable

import numpy as np

from trialfit.geometry.gaps import Domain, Rigid
from trialfit.geometry.solids import Capsule
from trialfit.routing import entries
from trialfit.routing.bound import lower_bound
from trialfit.routing.certificate import certify
from trialfit.routing.closed import why_closed
from trialfit.routing.field import prepare
from trialfit.routing.packing import packed, way_of
from trialfit.routing.pipe import WIDTH
from trialfit.routing.problem import Bend, Exit, Obstacle, Problem, Size, Term


def compile_all(progress: Callable[[int, int, str], None] | None = None) -> None:
    """Compile every kernel, or load it from the cache beside the code; later calls never wait for the compiler.

    ``progress(done, total, what)`` is told before each step and at the end.
    """
    tell = progress or (lambda done, total, what: None)
    bends = (Bend("bend", 90.0, math.radians(120.0)),)
    terms = (Term("length", "mm", 1.0, 0.01, (1.0,), (1.0,), 0.0),)
    nothing = np.zeros(3)
    post = Capsule(np.array([300.0, 60, -100]), np.array([300.0, 60, 100]), 20.0)
    problem = Problem(
        (Obstacle("post", "frame", Rigid((post,)), 10.0),),
        np.zeros(3), np.array([1.0, 0.0, 0.0]),
        Exit(np.array([550.0, -30, -30]), np.array([650.0, 30, 30]), np.array([1.0, 0.0, 0.0]), 0.2),
        (Size("pipe", 40.0, 1.5, bends, terms),), np.array([[-100.0, -200, -200], [700.0, 200, 200]]),
        Domain(nothing, nothing), np.zeros((1, 3)))
    steps = ("field", "search", "proof", "bound", "closed passages")
    tell(0, len(steps), steps[0])
    fields = prepare(problem)
    entries.field_values(fields.frame, np.zeros((1, 3)))
    tell(1, len(steps), steps[1])
    par = packed(problem, 0)
    row = entries.work(entries.STRAIGHT, np.zeros((0, WIDTH)), par, fields.frame, fields.engine, 0, 0, 0, 0.3, 1e17)
    tell(2, len(steps), steps[2])
    certify(problem, way_of(problem, 0, row[0]))
    tell(3, len(steps), steps[3])
    lower_bound(problem, fields)
    tell(4, len(steps), steps[4])
    why_closed(problem, fields)
    tell(len(steps), len(steps), "ready")
