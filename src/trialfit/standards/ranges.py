"""The range a formula or table holds for, and the refusal that names it."""

import math

from trialfit.units import show


def refuse_outside(what: str, value: float, low: float, high: float, unit: str, *, open_low: bool = False) -> None:
    """Do nothing when ``value`` lies in ``[low, high]``; refuse it, with the range, when it does not.

    Parameters
    ----------
    what : str
        the amount as the builder knows it (``wall``)
    value, low, high : float
        in the internal unit of ``unit``
    unit : str
        the unit the message is written in
    open_low : bool
        True when ``low`` itself is out of range

    Raises
    ------
    ValueError
        when the value is outside, or not a finite number

    >>> refuse_outside("joint angle", 1.0, 0.0, 0.7, "deg")
    Traceback (most recent call last):
    ...
    ValueError: joint angle is 57.2958 deg; it must lie between 0 deg and 40.107 deg
    """
    if value <= high and (value > low if open_low else value >= low) and math.isfinite(value):
        return
    if not math.isfinite(value):
        raise ValueError(f"{what} is no finite number")
    if math.isinf(high):
        edge = "more than" if open_low else "at least"
        raise ValueError(f"{what} is {show(value, unit)}; it must be {edge} {show(low, unit)}")
    word = "be more than" if open_low else "lie between"
    join = "and at most" if open_low else "and"
    raise ValueError(f"{what} is {show(value, unit)}; it must {word} {show(low, unit)} {join} {show(high, unit)}")


def refuse_not_positive(**amounts: tuple[float, str]) -> None:
    """Refuse the first amount that is nought, negative or not finite; each is ``name=(value, unit)``.

    Raises
    ------
    ValueError
        naming the amount

    >>> refuse_not_positive(length=(3.0, "mm"), wall=(0.0, "mm"))
    Traceback (most recent call last):
    ...
    ValueError: wall is 0 mm; it must be more than 0 mm
    """
    for name, (value, unit) in amounts.items():
        refuse_outside(name.replace("_", " "), value, 0.0, math.inf, unit, open_low=True)
