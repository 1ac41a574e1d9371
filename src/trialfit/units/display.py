"""Amounts as text: in any unit, in the builder's system, or in both."""

from fractions import Fraction

from trialfit.units.suspicion import TAPE_DENOMINATORS
from trialfit.units.unit import Unit, unit_called

_INCH = Fraction("25.4")
_MIX = 0.05
"""Remainder [mm] below which an inch fraction is shown without one: it would print as 0.0."""


def _unit(unit: str, dimension: str | None) -> Unit:
    if unit in ("", "-"):  # a plain number, as tables of results mark it
        return unit_called("", "number")
    return unit_called(unit, dimension)


def _exact(value: float) -> Fraction:
    """The shortest decimal that names the float: 88.9 is meant, not the binary neighbour of 88.9."""
    return Fraction(repr(float(value)))


def internal(amount: float, unit: str, dimension: str | None = None) -> float:
    """An amount in ``unit`` as the house keeps it.

    ``dimension`` is needed only where one spelling serves several (``degC`` as a difference, ``min`` as an angle).

    >>> internal(35.0, "lbf*ft"), internal(18.0, "bar")
    (47453.62819159901, 1.8)
    """
    u = _unit(unit, dimension)
    return float((_exact(amount) + u.shift) * u.factor)


def in_unit(value: float, unit: str, dimension: str | None = None) -> float:
    """A value as the house keeps it, in ``unit``.

    >>> in_unit(88.9, "in"), in_unit(233.15, "degF")
    (3.5, -40.0)
    """
    u = _unit(unit, dimension)
    return float(_exact(value) / u.factor - u.shift)


def show(value: float, unit: str, digits: int | None = None, dimension: str | None = None) -> str:
    """Text of a value that the house keeps, in ``unit``.

    Parameters
    ----------
    value : float
        in the internal unit
    digits : int or None
        digits after the point; None gives up to six that count

    >>> show(88.9, "in"), show(0.0436332313, "deg", 2), show(4.1, ""), show(0.0000122, "1/K")
    ('3.5 in', '2.50 deg', '4.1', '1.22e-5 1/K')
    """
    amount = in_unit(value, unit, dimension)
    text = f"{amount:.6g}" if digits is None else f"{amount:.{digits}f}"
    if "e" in text:
        mantissa, _, power = text.partition("e")
        text = f"{mantissa}e{int(power)}"
    if float(text) == 0.0:
        text = text.lstrip("-")
    name = _unit(unit, dimension).name
    return f"{text} {name}" if name else text


def metric_length_text(mm: float) -> str:
    """A length to a tenth of a millimetre.

    >>> metric_length_text(67.12)
    '67.1 mm'
    """
    return show(mm, "mm", 1)


def inch_length_text(mm: float, fraction: int = 16) -> str:
    """A length in inches to the nearest tape mark, with the rest in millimetres: the sum of both is the length.

    Parameters
    ----------
    mm : float
        length, of any sign [mm]
    fraction : int
        finest fraction shown: 2, 4, 8, 16, 32 or 64 [-]

    Raises
    ------
    ValueError
        when ``fraction`` is none of 2, 4, 8, 16, 32, 64

    >>> inch_length_text(1287.0, 32), inch_length_text(-88.9)
    ('50 21/32 in +0.3 mm', '-3 1/2 in')
    """
    if fraction not in TAPE_DENOMINATORS:
        raise ValueError(f"inches are shown in 2, 4, 8, 16, 32 or 64 parts, not {fraction}")
    exact = _exact(mm)
    marks = round(abs(exact) / _INCH * fraction)
    shown = Fraction(marks, fraction)
    negative = mm < 0.0 and marks > 0
    rest = float(exact - (-shown if negative else shown) * _INCH)
    whole, part = divmod(shown, 1)
    if part:
        size = f"{whole} {part}" if whole else f"{part}"
    else:
        size = f"{whole}"
    text = f"{'-' if negative else ''}{size} in"
    return text if abs(rest) < _MIX else f"{text} {rest:+.1f} mm"


def length_text(mm: float, system: str, fraction: int = 16) -> str:
    """A length in the builder's system: ``metric`` or ``inch``.

    Raises
    ------
    ValueError
        when ``system`` is neither

    >>> length_text(88.9, "inch"), length_text(88.9, "metric")
    ('3 1/2 in', '88.9 mm')
    """
    if system == "metric":
        return metric_length_text(mm)
    if system == "inch":
        return inch_length_text(mm, fraction)
    raise ValueError(f"a system of lengths is metric or inch, not {system!r}")


def both_systems(mm: float, fraction: int = 16) -> tuple[str, str]:
    """A length in both systems, metric first: what every printed sheet shows.

    >>> both_systems(88.9)
    ('88.9 mm', '3 1/2 in')
    """
    return metric_length_text(mm), inch_length_text(mm, fraction)
