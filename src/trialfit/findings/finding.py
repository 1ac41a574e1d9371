"""One answer, with where it comes from in the build file."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from trialfit.findings.verdict import SURE, Verdict

__all__ = ["RANK", "SURE", "Finding", "Place", "worst_first"]


@dataclass(frozen=True, slots=True)
class Place:
    """Where something stands in a build file: file name, line and column, both counted from 1."""

    file: str
    line: int
    column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Finding:
    """One answer to one question.

    ``name`` is short, stable and unique in a build (``gap.exhaust.axle_tube``). ``margin`` is the room left
    beyond what is required, in ``unit``, positive when there is room; ``sd`` its standard deviation. Both are
    None when the question has no number. ``reason``, ``remedy``, ``rule`` and ``source`` are for a person; so is
    ``caution``, which stands with everything that is not settled: whoever shows several findings shows it once per
    text.
    """

    name: str
    verdict: Verdict
    reason: str
    remedy: str = ""
    margin: float | None = None
    sd: float | None = None
    unit: str = ""
    rule: str = ""
    source: str = ""
    where: Place | None = field(default=None, compare=False)
    caution: str = ""


RANK = {Verdict.DOES_NOT_FIT: 0, Verdict.CANNOT_TELL: 1, Verdict.FITS_AFTER_WORK: 2, Verdict.FITS: 3}
"""Verdicts worst first: the lower the rank, the worse."""


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """Sort findings: what does not fit, then what cannot be told, then work to do, then what fits.

    Within one verdict the smallest margin stands first; a finding without a number stands before numbers, but a chain
    of fittings, which is only a way to join two ends, behind everything else that has none.
    """

    def key(f: Finding) -> tuple[int, float, bool, str]:
        margin = float("-inf") if f.margin is None else f.margin
        return (RANK[f.verdict], margin, f.name.startswith("chain."), f.name)

    return sorted(findings, key=key)
