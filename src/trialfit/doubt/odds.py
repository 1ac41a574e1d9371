"""How often something comes out right: the probability behind a margin and its doubt, and the places a part may be."""

import math
from statistics import NormalDist

from trialfit.findings import SURE

_TWENTY = 20
_NORMAL = NormalDist()
ENOUGH = _NORMAL.cdf(SURE)
"""Odds from which a finding counts as settled: what lies beyond half of the 95 % interval on one side [-]."""


def odds_of(margin: float, sd: float) -> float:
    """Probability that a margin is not negative.

    The doubt is taken as normal; what no reading checks (a misread one) is not in it, which errs to too good odds.

    Parameters
    ----------
    margin : float
        room left beyond what is asked, in any one unit [-]
    sd : float
        its standard deviation, in the same unit [-]

    Returns
    -------
    float
        0 to 1 [-]

    Raises
    ------
    ValueError
        when ``sd`` is negative

    Source: GUM (JCGM 100:2008), normal distribution.

    >>> round(odds_of(1.96, 1.0), 3), odds_of(-1.0, 0.0)
    (0.975, 0.0)
    """
    if sd < 0.0:
        raise ValueError(f"a standard deviation cannot be negative: {sd}")
    if sd == 0.0:
        return 1.0 if margin >= 0.0 else 0.0
    return _NORMAL.cdf(margin / sd)


def of_twenty(odds: float) -> int:
    """Of 20 equally likely cases, how many come out right; never rounded up.

    Parameters
    ----------
    odds : float
        0 to 1 [-]

    Raises
    ------
    ValueError
        when ``odds`` is out of 0 to 1

    >>> of_twenty(0.949), of_twenty(0.95)
    (18, 19)
    """
    if not 0.0 <= odds <= 1.0:
        raise ValueError(f"odds lie between 0 and 1, not {odds}")
    return math.floor(odds * _TWENTY + 1e-9)


def odds_words(odds: float, bad: str = "goes wrong") -> str:
    """Odds as a count: of 20 where that can show it, else how rarely it fails.

    Parameters
    ----------
    odds : float
        0 to 1 [-]
    bad : str
        what the other case is called

    Raises
    ------
    ValueError
        when ``odds`` is out of 0 to 1

    >>> odds_words(0.8), odds_words(0.99), odds_words(1.0)
    ('16 of 20 it comes out right', '1 in 100 goes wrong', 'fewer than 1 in 10000 goes wrong')
    """
    right = of_twenty(odds)
    if odds < 0.95:
        return f"{right} of 20 it comes out right"
    if odds > 1.0 - 1e-4:
        return f"fewer than 1 in 10000 {bad}"
    rare = math.floor(1.0 / (1.0 - odds) + 1e-6)
    size = 10 ** max(len(str(rare)) - 2, 0)
    return f"1 in {rare // size * size} {bad}"


def places_mm(best_mm: float, sd_mm: float, count: int = _TWENTY) -> tuple[float, ...]:
    """Equally likely places of a face, in order.

    Parameters
    ----------
    best_mm : float
        best value [mm]
    sd_mm : float
        its standard deviation [mm]
    count : int
        how many [-]

    Returns
    -------
    tuple of float
        quantiles in the middle of ``count`` equal shares [mm]

    Raises
    ------
    ValueError
        when ``sd_mm`` is negative or ``count`` is below 1

    Source: GUM (JCGM 100:2008), normal distribution.

    >>> [round(p, 1) for p in places_mm(30.0, 6.0, 2)]
    [26.0, 34.0]
    """
    if sd_mm < 0.0 or count < 1:
        raise ValueError(f"a doubt of nought or more and at least 1 place, not {sd_mm} and {count}")
    return tuple(best_mm + sd_mm * _NORMAL.inv_cdf((k + 0.5) / count) for k in range(count))
