"""Does it go together and stay apart? Runs every trade over one build and hands each what it needs of the others.

In: a ``vehicle.Build`` (and the bytes of its scans). Out: :class:`Results`: survey, travel, routes, cut lists, gaps,
driveline, orders, findings. :func:`problem_of` puts what a route is looked for with into the router's words,
:func:`plan_of` turns what it found into a laid route. The doubt of the tape is not weighed here but one room up, save
for the driveline's, which needs no gap. Importing this room fills the register of sums.
"""

import trialfit.driveline
import trialfit.exhaust
import trialfit.geometry.bend
import trialfit.geometry.unroll
import trialfit.standards
import trialfit.structure  # noqa: F401
from trialfit.checks.asked import not_kept_clear, problem_of
from trialfit.checks.driveline_answers import (
    DrivelineAnswers,
    GearingAnswers,
    GearSetAnswers,
    ShaftAnswers,
)
from trialfit.checks.laid import plan_of
from trialfit.checks.orders import order_finding
from trialfit.checks.pairs import (
    GROUND,
    ON_AXLE,
    Pair,
    Share,
    Thing,
    left_out,
    pairs,
    route_name,
    slug,
    thing_sizes,
    things,
)
from trialfit.checks.placing import (
    Placed,
    PlacingError,
    Points,
    Sizes,
    axis_of,
    centre_line_of,
    joint_centre,
    place,
    span_ends,
)
from trialfit.checks.results import GapAnswer, MeshFit, Results
from trialfit.checks.run import domain_of, run, with_making

__all__ = [
    "DrivelineAnswers", "GROUND", "GapAnswer", "GearSetAnswers", "GearingAnswers", "MeshFit", "ON_AXLE", "Pair",
    "Placed", "PlacingError", "Points", "Results", "ShaftAnswers", "Share", "Sizes", "Thing", "axis_of",
    "centre_line_of", "domain_of", "joint_centre", "left_out", "not_kept_clear", "order_finding", "pairs", "place",
    "plan_of", "problem_of", "route_name", "run", "slug", "span_ends", "thing_sizes", "things", "with_making",
]
