"""The words in which every room answers: a verdict, a margin, its doubt, a reason, a remedy, a source.

In: what a check worked out. Out: :class:`Finding` values, which any room above can sort, print or store.
Nothing here computes a fit; only :func:`verdict_on` turns an interval and its doubt into one of the words.
"""

from trialfit.findings.finding import RANK, SURE, Finding, Place, worst_first
from trialfit.findings.verdict import Verdict, verdict_on

__all__ = ["RANK", "SURE", "Finding", "Place", "Verdict", "verdict_on", "worst_first"]
