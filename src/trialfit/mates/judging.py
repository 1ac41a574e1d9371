"""From a size with its doubt, and the limits a fit asks for, to one of the four words and the odds."""

import math
from dataclasses import dataclass

from trialfit.findings import SURE, Verdict
from trialfit.parts import Fact

LIKELY = 0.5 + 0.5 * math.erf(SURE / math.sqrt(2.0))
"""Odds from which a thing counts as so: one tail of the 95 % interval left out [-]."""


@dataclass(frozen=True, slots=True)
class Judged:
    """``margin`` is the room to the nearer limit, negative outside; ``odds`` the probability that the true amount lies
    within the limits, None when the doubt is unknown."""

    verdict: Verdict
    margin: float
    sd: float | None
    odds: float | None


def within(value: float, sd: float | None, low: float, high: float) -> Judged:
    """Whether an amount known to ``sd`` lies between two limits, its error taken as normal.

    Errs on the side of "cannot tell": fits only when it lies inside with 97.5 % probability, does not fit only when
    it lies outside with as much.

    Parameters
    ----------
    value, low, high : float
        in one unit; a limit may be infinite [-]
    sd : float or None
        standard deviation in the same unit; None when nobody said how well it is known [-]

    Returns
    -------
    Judged

    Raises
    ------
    ValueError
        when the limits are crossed, ``sd`` is negative, or the value is no finite number

    Source: GUM (JCGM 100:2008), expanded uncertainty at 95 %; rule of decision is our own.

    >>> within(0.15, 0.02, 0.0, 0.25).verdict.value
    'fits'
    >>> round(within(0.0, 0.02, 0.0, 0.25).odds, 3)
    0.5
    """
    if not low <= high:
        raise ValueError(f"the lower limit {low:g} lies above the upper limit {high:g}")
    if not math.isfinite(value):
        raise ValueError("the amount is no finite number")
    margin = min(value - low, high - value)
    if sd is None:
        return Judged(Verdict.CANNOT_TELL, margin, None, None)
    if sd < 0.0:
        raise ValueError(f"a standard deviation cannot be negative: {sd:g}")
    if sd == 0.0:
        odds = 1.0 if margin >= 0.0 else 0.0
    else:
        odds = _below((high - value) / sd) - _below((low - value) / sd)
    if odds >= LIKELY:
        verdict = Verdict.FITS
    elif odds <= 1.0 - LIKELY:
        verdict = Verdict.DOES_NOT_FIT
    else:
        verdict = Verdict.CANNOT_TELL
    return Judged(verdict, margin, sd, odds)


def _below(t: float) -> float:
    return 0.5 * math.erfc(-t / math.sqrt(2.0))


def apart(a: Fact, b: Fact) -> tuple[float, float | None]:
    """Difference of two sizes and its standard deviation, their errors taken as independent; None when one of the two
    is of unknown doubt.

    >>> apart(Fact(67.1, 0.03), Fact(67.0, 0.04))
    (0.09999999999999432, 0.05)
    """
    sd = None if a.sd is None or b.sd is None else math.hypot(a.sd, b.sd)
    return a.value - b.value, sd
