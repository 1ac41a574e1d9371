"""What is read but doubted aloud: the slips that a notebook and a thumb keyboard make.

Every rule here is common practice, no source. A suspicion never changes the value that was read.
"""

from collections.abc import Sequence
from fractions import Fraction
from statistics import median

from trialfit.units.number import Number

TAPE_DENOMINATORS = (2, 4, 8, 16, 32, 64)
"""Fractions of an inch that are printed on tapes and rules."""

_INCH_LIKE = ("in", "ft")
_ON_NO_TAPE, _NO_TAPE = "is on no tape", "no tape is divided"


def _squashed_fractions() -> dict[str, str]:
    """``116`` to ``1/16`` and the like: a fraction whose bar was typed as nothing after a decimal point."""
    squashed = {f"{top}{bottom}": f"{top}/{bottom}" for bottom in TAPE_DENOMINATORS for top in range(1, bottom, 2)}
    # 3.16 and 3.32 for "3 and a sixteenth": only the bottom of the fraction made it to the paper
    for bottom in (16, 32, 64):
        squashed.setdefault(str(bottom), f"1/{bottom}")
    return squashed


_SQUASHED = _squashed_fractions()


def decimal_inch_suspicion(number: Number) -> str | None:
    """Doubt a decimal of inches whose digits spell a fraction and whose value no tape shows (3.16 for 3 1/16).

    >>> from trialfit.units.number import number_at
    >>> decimal_inch_suspicion(number_at("3.16", 0, "", ""))
    '3.16 in is on no tape: is it 3 1/16 in?'
    >>> decimal_inch_suspicion(number_at("3.125", 0, "", "")) is None
    True
    """
    meant = _SQUASHED.get(number.decimals)
    on_a_tape = (number.value * TAPE_DENOMINATORS[-1]).denominator == 1
    if meant is None or on_a_tape:
        return None
    whole = "" if int(number.whole) == 0 else f"{int(number.whole)} "
    return f"{number.whole}.{number.decimals} in {_ON_NO_TAPE}: is it {whole}{meant} in?"


def is_of_tapes(suspicion: str) -> bool:
    """Whether a suspicion only holds where a tape was read: a calliper shows any decimal.

    >>> is_of_tapes("1.18 in is on no tape: is it 1 1/8 in?"), is_of_tapes("the comma is read as a decimal point: 1.5")
    (True, False)
    """
    return _ON_NO_TAPE in suspicion or suspicion.startswith(_NO_TAPE)


def number_suspicions(number: Number, unit: str) -> list[str]:
    """What is odd about one typed number in one unit."""
    doubts = []
    if number.comma:
        doubts.append(f"the comma is read as a decimal point: {number.whole}.{number.decimals}")
    if unit == "in":
        squashed = decimal_inch_suspicion(number)
        if squashed:
            doubts.append(squashed)
    if unit in _INCH_LIKE and number.denominator and number.denominator not in TAPE_DENOMINATORS:
        doubts.append(f"{_NO_TAPE} into parts of 1/{number.denominator} in")
    return doubts


def neighbours_suspicion(value_mm: float, others_mm: Sequence[float]) -> str | None:
    """Doubt a length that stands alone among its like, and would join them if it were 25.4 or 10 times another size.

    ``others_mm`` are repeats of the same reading, or readings of things alike. Where they themselves range over more
    than a factor of 8 nothing is said, for then nothing stands out; nor where fewer than one is given. Errs towards
    silence: the survey's tests find what this lets pass.

    Parameters
    ----------
    value_mm : float
        the length looked at [mm]
    others_mm : sequence of float
        its neighbours, any signs [mm]

    Source: common practice, no source.

    >>> neighbours_suspicion(24.1, [612.0, 613.0])
    '24.1 mm is 25.4 times smaller than its neighbours (about 612.5 mm): were inches read as millimetres?'
    >>> neighbours_suspicion(611.0, [612.0, 613.0]) is None
    True
    """
    sizes = [abs(o) for o in others_mm if o != 0.0]
    size = abs(value_mm)
    if not sizes or size == 0.0:
        return None
    low, high, middle = min(sizes), max(sizes), median(sizes)
    if high > 8.0 * low or low / 4.0 < size < high * 4.0:
        return None
    guesses = (
        (25.4, "25.4 times smaller", "were inches read as millimetres?"),
        (1 / 25.4, "25.4 times larger", "were millimetres read as inches?"),
        (10.0, "10 times smaller", "is a digit missing, or were centimetres read as millimetres?"),
        (0.1, "10 times larger", "is there a digit too many?"),
    )
    slack = 1.25
    fitting = [g for g in guesses if low / slack <= size * g[0] <= high * slack]
    if not fitting:
        return None
    _, how, why = min(fitting, key=lambda g: abs(size * g[0] / middle - 1.0))
    return f"{_plain(value_mm)} mm is {how} than its neighbours (about {_plain(middle)} mm): {why}"


def inches_over_a_foot(inches: Fraction) -> str | None:
    """Doubt feet followed by twelve inches or more."""
    return None if abs(inches) < 12 else "feet are followed by 12 or more inches"


def _plain(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")
