"""The gaps of a hot exhaust judged by the doubt that the readings leave the same gap cold.

The pipe grows by millimetres, so the nearest points, the way between them and what the tape leaves open there stay as
they are to first order. Left out: the doubt of the growth itself, of which the most is taken.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from trialfit.checks import Results
from trialfit.checks.hot_exhaust import hot_gap_findings
from trialfit.doubt.gaps import Weighed
from trialfit.findings import Finding


def weigh_hot_gaps(results: Results, weighed: Iterable[Weighed]) -> Results:
    """The results with the doubt of every hot gap, and its finding, taken from the readings; a gap whose doubt cannot
    be carried through keeps the estimate that it has, which is larger.

    Parameters
    ----------
    weighed : iterable of Weighed
        the cold gaps
    """
    sds = {w.answer.pair.name: w.sd_mm for w in weighed}
    makings, new = [], {}
    for making in results.makings:
        gaps = tuple(g if (sd := sds.get(g.name)) is None else replace(g, sd_mm=sd) for g in making.hot_gaps)
        told = {f.name: f for f in hot_gap_findings(making.route, making.plan, gaps, results.gaps)}
        new.update(told)
        makings.append(replace(making, hot_gaps=gaps, findings=tuple(_anew(making.findings, told))))
    return replace(results, makings=tuple(makings), findings=tuple(_anew(results.findings, new)))


def _anew(findings: Sequence[Finding], told: dict[str, Finding]) -> list[Finding]:
    return [told.get(f.name, f) for f in findings]
