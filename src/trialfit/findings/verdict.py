"""The four verdicts, and how a margin with doubt becomes one of them."""

from enum import StrEnum

SURE = 1.959963984540054
"""Half width of the 95 % interval of a normal error, in standard deviations [-]."""


class Verdict(StrEnum):
    """One of four words. There is no fifth, and no number stands in for one of them."""

    FITS = "fits"
    FITS_AFTER_WORK = "fits after work"
    DOES_NOT_FIT = "does not fit"
    CANNOT_TELL = "cannot tell"


def verdict_on(lower: float, upper: float, required: float, sd: float | None) -> Verdict:
    """Say whether a quantity known to lie in ``[lower, upper]``, give or take ``sd``, reaches ``required``.

    Errs on the side of "cannot tell": fits only when the lower bound less 95 % of the doubt reaches the
    requirement, does not fit only when the upper bound plus 95 % of the doubt stays short of it.

    Parameters
    ----------
    lower, upper : float
        bounds of the computed quantity, all four arguments in one unit [-]
    required : float
        what is asked for [-]
    sd : float or None
        standard deviation of the quantity from the readings; None when it is unknown [-]

    Raises
    ------
    ValueError
        when ``lower`` exceeds ``upper`` or ``sd`` is negative

    Source: GUM (JCGM 100:2008), expanded uncertainty at 95 %; rule of decision is our own.

    >>> str(verdict_on(31.0, 31.5, 25.0, 2.0))
    'fits'
    >>> str(verdict_on(26.0, 27.0, 25.0, 2.0))
    'cannot tell'
    """
    if lower > upper:
        raise ValueError(f"lower bound {lower} exceeds upper bound {upper}")
    if sd is None:
        return Verdict.DOES_NOT_FIT if upper < 0.0 and required >= 0.0 else Verdict.CANNOT_TELL
    if sd < 0.0:
        raise ValueError(f"a standard deviation cannot be negative: {sd}")
    if lower - SURE * sd >= required:
        return Verdict.FITS
    if upper + SURE * sd < required:
        return Verdict.DOES_NOT_FIT
    return Verdict.CANNOT_TELL
