"""Lengths and angles as they stand on paper: metric first, inches under it, and how far either can be trusted."""

import math

from trialfit.findings import SURE
from trialfit.units import inch_length_text


def give_or_take(sd: float) -> tuple[float, int]:
    """Half width of the 95 % interval, rounded up, and how many decimals go with it.

    >>> give_or_take(1.3)
    (3.0, 0)
    >>> give_or_take(0.1)
    (0.2, 1)
    """
    half = SURE * sd
    decimals = 0 if half > 0.95 else 1
    step = 10.0**decimals
    return math.ceil(half * step - 1e-9) / step, decimals


def with_doubt(mm: float, sd_mm: float | None, between: str = " \u00b1 ") -> str:
    """A length with its doubt [mm]; without a doubt (unknown, or a place that is wished for), to a tenth.

    >>> with_doubt(1287.34, 1.3)
    '1287 ± 3 mm'
    >>> with_doubt(412.34, 0.1)
    '412.3 ± 0.2 mm'
    >>> with_doubt(412.34, None)
    '412.3 mm'
    """
    if sd_mm is None:
        return f"{minus(mm, 1)} mm"
    half, decimals = give_or_take(sd_mm)
    if half < 0.05:
        return f"{minus(mm, 1)} mm"
    if "," in between:
        return f"{minus(mm, decimals)} mm{between}{half:.{decimals}f}"
    return f"{minus(mm, decimals)}{between}{half:.{decimals}f} mm"


def to_cut(mm: float, sd_mm: float | None) -> str:
    """A length to cut to [mm]: always to a tenth, as it stands in the drawing, with its doubt beside it.

    >>> to_cut(399.3, 2.0)
    '399.3 ± 4 mm'
    """
    doubt = with_doubt(mm, sd_mm).partition(" \u00b1 ")[2]
    return f"{minus(mm, 1)} \u00b1 {doubt}" if doubt else f"{minus(mm, 1)} mm"


def minus(value: float, decimals: int) -> str:
    """A number with a true minus sign, and never a nought with a sign."""
    text = f"{value:.{decimals}f}"
    if float(text) == 0.0:
        text = f"{0.0:.{decimals}f}"
    return text.replace("-", "\u2212")


def wall(mm: float) -> str:
    """Wall of a tube, the same on every paper.

    >>> wall(1.65), wall(1.5)
    ('1.65 mm', '1.50 mm')
    """
    return f"{minus(mm, 2)} mm"


def inch(mm: float, fraction: int = 32) -> str:
    """The same length in inches and fractions, with what is left over in mm."""
    return inch_length_text(mm, fraction).replace("-", "\u2212")


def pair(mm: float, sd_mm: float | None = None, fraction: int = 32) -> tuple[str, str]:
    """A length in both systems, metric with its doubt first."""
    return with_doubt(mm, sd_mm), inch(mm, fraction)


def degrees(angle_rad: float, decimals: int = 1) -> str:
    """An angle to a tenth of a degree, or as finely as asked.

    >>> degrees(math.pi / 4)
    '45.0\u00b0'
    """
    return f"{minus(math.degrees(angle_rad), decimals)}\u00b0"
