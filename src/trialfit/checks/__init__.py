"""Does it go together and stay apart? Runs every trade over one build and hands each what it needs of the others.

In: a ``vehicle.Build`` (and the bytes of its scans). Out: :class:`Results`: survey, travel, routes, cut lists, gaps,
findings. The doubt of the tape is not weighed here but one room up. Importing this room fills the register of sums.
"""

import trialfit.driveline
import trialfit.exhaust
import trialfit.geometry.bend
import trialfit.geometry.unroll
import trialfit.standards
import trialfit.structure  # noqa: F401
from trialfit.checks.pairs import ON_AXLE, Pair, Thing, left_out, pairs, slug, things
from trialfit.checks.placing import Placed, PlacingError, Points, Sizes, centre_line_of, place, span_ends
from trialfit.checks.results import GapAnswer, MeshFit, Results
from trialfit.checks.run import domain_of, run

__all__ = [
    "ON_AXLE", "GapAnswer", "MeshFit", "Pair", "Placed", "PlacingError", "Points", "Results", "Sizes", "Thing",
    "centre_line_of", "domain_of", "left_out", "pairs", "place", "run", "slug", "span_ends", "things",
]
