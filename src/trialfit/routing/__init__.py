"""Which way can the pipe take through everything that moves, and how sure is it that it clears?

In: a ``Problem`` (outlet, exit, pipes, bends, parts, obstacles that move, what each thing costs). Out: ``Found``, the
best route of every really different kind, each with a ``Certificate`` of its gaps over the continuous pipe and the
continuous travel, a bound under which no buildable route can cost, or the reasons why there is none.

How: ``field`` answers how near a point of the centre line comes to anything; ``roadmap`` draws first chains of
straights; ``refine`` settles them on the penalty measured in ``pipe``; ``finding`` keeps the best of every kind in
rounds; ``certificate`` proves; ``bound`` and ``closed`` say what cannot be. Sources stand in each module.
"""

from typing import TYPE_CHECKING, Any

from trialfit.routing.problem import (
    Bend,
    Certificate,
    Exit,
    LegPart,
    Obstacle,
    ObstacleGap,
    PartAt,
    Problem,
    ProblemError,
    Size,
    Term,
    Way,
)

if TYPE_CHECKING:
    from trialfit.routing.finding import Found, FoundRoute, find

_LATE = {"Found", "FoundRoute", "find"}
"""what needs the compiler, which takes a second to load: brought in when asked for"""


def __getattr__(name: str) -> Any:
    if name in _LATE:
        from trialfit.routing import finding

        return getattr(finding, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


__all__ = [
    "Bend", "Certificate", "Exit", "Found", "FoundRoute", "LegPart", "Obstacle", "ObstacleGap", "PartAt", "Problem",
    "ProblemError", "Size", "Term", "Way", "find",
]
