"""How sure is each gap, and which reading would settle it?

In: the ``checks.Results`` of one build, with the survey's covariance. Out: :class:`Weighed` gaps, each with the
standard deviation that the readings leave it and a verdict, and the findings of the whole build, worst first.
Source: GUM (JCGM 100:2008) 5.2.2, law of propagation of uncertainty, correlations kept.
"""

from trialfit.doubt.gaps import Weighed, weigh
from trialfit.doubt.hot import weigh_hot_gaps
from trialfit.doubt.orders import hold_orders, judged
from trialfit.doubt.verdicts import findings, for_people, gap_words, pose_words, remedy

__all__ = [
    "Weighed", "findings", "for_people", "gap_words", "hold_orders", "judged", "pose_words", "remedy", "weigh",
    "weigh_hot_gaps",
]
