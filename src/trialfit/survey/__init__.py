"""Where is every hardpoint, how sure is that, and which reading does not belong?

In: a :class:`~trialfit.vehicle.Build`, of which only readings and hints are looked at. Out: :class:`Survey` from
:func:`solve`: hardpoints and sizes with one covariance, suspects, unchecked, unsolved and ambiguous ones; what to read
next from :func:`advise`; the same as findings from :func:`findings`. No text is read and nothing is printed here.

Sources: GUM (JCGM 100:2008) for doubt; Baarda 1968 and Pope 1976 (from memory) for the tests, by way of ``estimation``.
"""

from trialfit.survey.advice import Advice, advise, advise_for
from trialfit.survey.observations import Observation, Problem, observe, reading_sd
from trialfit.survey.result import Ambiguous, Checked, Survey, Suspect, Unsolved, amount_words
from trialfit.survey.solving import solve
from trialfit.survey.telling import findings, plain

__all__ = [
    "Advice", "Ambiguous", "Checked", "Observation", "Problem", "Survey", "Suspect", "Unsolved", "advise",
    "advise_for", "amount_words", "findings", "observe", "plain", "reading_sd", "solve",
]
