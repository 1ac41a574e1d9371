"""How large a deviation may be before chance no longer explains it."""

import math
from dataclasses import dataclass

LOCAL_LIMIT = 3.2905267314919255
"""Two-sided 0.1 % limit of a normal deviate [-]: a standardised residual beyond it is suspect (Baarda 1968)."""


def normal_limit(chance: float) -> float:
    """Two-sided limit that a normal deviate exceeds with ``chance``.

    Parameters
    ----------
    chance : float
        in (0, 1) [-]

    Raises
    ------
    ValueError
        outside (0, 1)

    Source: any table of the normal distribution.

    >>> round(normal_limit(0.05), 3), round(normal_limit(0.001), 3)
    (1.96, 3.291)
    """
    from scipy.special import ndtri

    _check_chance(chance)
    return float(-ndtri(0.5 * chance))


def tau_limit(freedom: int, chance: float = 0.05, of: int = 1) -> float:
    """Two-sided limit of a residual that was divided by the spread of the very same residuals (tau).

    Parameters
    ----------
    freedom : int
        readings less unknowns, at least 2 [-]
    chance : float
        in (0, 1), of any false alarm among all ``of`` residuals [-]
    of : int
        how many residuals are looked at; the chance is shared between them [-]

    Raises
    ------
    ValueError
        ``freedom`` below 2, ``of`` below 1 or ``chance`` outside (0, 1)

    Source: Pope 1976 (from memory).

    >>> round(tau_limit(5), 4)
    1.8143
    """
    from scipy.special import stdtrit

    _check_chance(chance)
    if freedom < 2:
        raise ValueError(f"tau needs at least 2 spare readings, not {freedom}")
    if of < 1:
        raise ValueError(f"at least 1 residual is looked at, not {of}")
    each = -math.expm1(math.log1p(-chance) / of)
    t = float(stdtrit(freedom - 1, 1.0 - 0.5 * each))
    return t * math.sqrt(freedom) / math.sqrt(freedom - 1 + t * t)


def left_out(studentised: float, freedom: int) -> float:
    """A studentised residual as it would be had its own reading been left out of the spread.

    Parameters
    ----------
    studentised : float
        residual over its own standard deviation, the spread taken from all residuals [-]
    freedom : int
        readings less unknowns, at least 2 [-]

    Raises
    ------
    ValueError
        ``freedom`` below 2, or ``studentised`` not below the square root of ``freedom``

    Source: R. D. Cook and S. Weisberg, Residuals and influence in regression, 1982, 2.2 (from memory).

    >>> round(left_out(-2.638, 17), 2)
    -3.33
    """
    rest = freedom - studentised * studentised
    if freedom < 2 or rest <= 0.0:
        raise ValueError(f"needs freedom >= 2 and |residual| < sqrt(freedom), not {studentised} with {freedom}")
    return studentised * math.sqrt((freedom - 1) / rest)


def smallest_showing(sd: float, redundancy: float, power: float = 0.8, chance: float = 0.001) -> float:
    """Smallest blunder in one reading that its residual shows with ``power`` (internal reliability).

    Parameters
    ----------
    sd : float
        of the reading, any unit [-]
    redundancy : float
        share of a blunder that stays in the residual, 0 to 1; at 0 the answer is infinite [-]
    power : float
        chance that the blunder is found, in (0, 1) [-]
    chance : float
        chance of a false alarm, in (0, 1) [-]

    Raises
    ------
    ValueError
        chance or power outside (0, 1)

    Source: Baarda 1968 (from memory): 4.13 for 0.1 % and 80 %.

    >>> round(smallest_showing(1.0, 1.0), 2)
    4.13
    """
    from scipy.special import ndtri

    _check_chance(power)
    if redundancy <= 1e-9:
        return math.inf
    return sd * (normal_limit(chance) + float(ndtri(power))) / math.sqrt(redundancy)


@dataclass(frozen=True, slots=True)
class GlobalTest:
    """Do all readings together deviate as their instruments say? ``squares`` is the weighted sum of squared
    residuals, to lie between ``low`` and ``high`` in 95 of 100 surveys. ``sigma0`` is the factor by which the
    readings deviate more (or less) than stated; None when nothing is spare."""

    squares: float
    freedom: int
    low: float
    high: float
    sigma0: float | None

    @property
    def too_wide(self) -> bool:
        """The readings disagree more than their instruments allow."""
        return self.freedom > 0 and self.squares > self.high

    @property
    def too_close(self) -> bool:
        """The readings agree better than their instruments promise."""
        return self.freedom > 0 and self.squares < self.low


def global_test(squares: float, freedom: int) -> GlobalTest:
    """Two-sided 95 % chi-square test of the weighted sum of squared residuals.

    Parameters
    ----------
    squares : float
        weighted sum of squared residuals, >= 0 [-]
    freedom : int
        readings less unknowns, >= 0 [-]

    Raises
    ------
    ValueError
        either is negative

    Source: any table of the chi-square distribution.

    >>> test = global_test(5.865, 5)
    >>> round(test.low, 3), round(test.high, 3), test.too_wide
    (0.831, 12.833, False)
    """
    from scipy.special import chdtri

    if squares < 0.0 or freedom < 0:
        raise ValueError(f"neither may be negative: {squares}, {freedom}")
    if freedom == 0:
        return GlobalTest(squares, 0, 0.0, 0.0, None)
    return GlobalTest(
        squares, freedom, float(chdtri(freedom, 0.975)), float(chdtri(freedom, 0.025)), math.sqrt(squares / freedom)
    )


def _check_chance(chance: float) -> None:
    if not 0.0 < chance < 1.0:
        raise ValueError(f"a chance lies between 0 and 1, not {chance}")
