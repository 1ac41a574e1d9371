"""A sentence whose lengths stand in millimetres, told in the builder's own unit."""

import re

from trialfit.units.display import length_text

_LENGTH = re.compile(r"(?<![\w.,/])([-+]?)(\d+(?:\.\d+)?) mm(?![\w/²])")
_SMALL_MM = 6.0
"""Below this an inch fraction says less than a decimal."""
_TINY_MM = 0.5
"""Below this two decimals of an inch say next to nothing."""


def retold(text: str, system: str, fraction: int = 16, *, both: bool = False) -> str:
    """Every length "N mm" of a sentence in inches; a metric builder's sentence stays as it is.

    Small lengths, such as a doubt, become decimals of an inch; longer ones a fraction with what is left over in mm.

    Parameters
    ----------
    text : str
        a sentence of the program's own, never what somebody typed
    system : str
        ``metric`` or ``inch``
    fraction : int
        denominator of inch fractions, 16 or 32 [-]
    both : bool
        keep the millimetres and put the inches behind them in brackets, for paper

    >>> retold("25 mm, give or take 2 mm; wanted 38 mm", "inch")
    '1 in -0.4 mm, give or take 0.08 in; wanted 1 1/2 in -0.1 mm'
    >>> retold("known to 0.05 mm", "inch")
    'known to 0.002 in'
    >>> retold("wanted 25.4 mm", "metric", both=True)
    'wanted 25.4 mm (1 in)'
    """
    if system == "metric" and not both:
        return text

    def put(found: re.Match[str]) -> str:
        sign, number = found.groups()
        mm = float(number)
        places = 2 if mm == 0.0 or mm >= _TINY_MM else 3
        inches = f"{mm / 25.4:.{places}f} in" if mm < _SMALL_MM else length_text(mm, "inch", fraction)
        return f"{found.group()} ({sign}{inches})" if both else f"{sign}{inches}"

    return _LENGTH.sub(put, text)
