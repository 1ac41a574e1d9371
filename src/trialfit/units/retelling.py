"""A sentence whose lengths stand in millimetres, told in the builder's own unit."""

import re

from trialfit.units.display import length_text

_KEPT = "\u00a0"
"""Blank of a name: what stands before and behind it is never told in another unit."""
_NUMBER = r"\d+(?:\.\d+)?"
_ZONE = r"[DEFHKNPdefghkmnprs]{1,2}\d{1,2}"
"""A tolerance zone of ISO 286, such as H11."""
_LENGTH = re.compile(
    rf"(?<![\w.,/])([-+]?{_NUMBER})(?:( to | x )([-+]?{_NUMBER}))? mm(?![\w/²])(?! {_ZONE}\b)"
)
_SMALL_MM = 6.0
"""Below this an inch fraction says less than a decimal."""
_TINY_MM = 0.5
"""Below this two decimals of an inch say next to nothing."""
_BY_TAPE = 1
"""Decimals of a millimetre up to which a length may have come from a tape; more of them are a calliper's or a fit's."""


def nominal(name: str) -> str:
    """A name that holds a size, marked so that :func:`retold` leaves it as it is: ``8 mm L`` is no measured length.

    >>> retold(f"24 cone for {nominal('8 mm L')}, tube of 8 mm", "inch")
    '24 cone for 8 mm L, tube of 5/16 in +0.1 mm'
    """
    return name.replace(" ", _KEPT)


def unmarked(text: str) -> str:
    """A text with its names as anyone types them.

    >>> unmarked(nominal("4.75 mm")) == "4.75 mm"
    True
    """
    return text.replace(_KEPT, " ")


def retold(text: str, system: str, fraction: int = 16, *, both: bool = False) -> str:
    """Every length "N mm" of a sentence in inches; a metric builder's sentence stays as it is.

    Lengths to a tenth of a millimetre or coarser become a fraction with what is left over in mm, small ones such as a
    doubt decimals of an inch. What stands in two or three decimals is a size to work to: it becomes decimals too, one
    more of them, so that nothing of its tolerance is lost. Both ends of a range are told. A tolerance zone (``15.75 mm
    H11``) and a name marked by :func:`nominal` stay.

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
    >>> retold("0.10 to 0.80 mm is asked; turn to 120.652 mm", "inch")
    '0.004 to 0.031 in is asked; turn to 4.7501 in'
    >>> retold("wanted 25.4 mm", "metric", both=True)
    'wanted 25.4 mm (1 in)'
    """
    if system == "metric" and not both:
        return unmarked(text)

    def put(found: re.Match[str]) -> str:
        first, between, last = found.groups()
        if between is None:
            inches = _one(first, fraction)
        elif "." in last and "." not in first:  # a name that ends in a number: "the holes of hub 2 to 12.5 mm"
            return f"{first}{between}{put_one(last)}"
        else:
            inches = _range(first, between, last, fraction)
        return f"{found.group()} ({inches})" if both else inches

    def put_one(number: str) -> str:
        return f"{number} mm ({_one(number, fraction)})" if both else _one(number, fraction)

    return unmarked(_LENGTH.sub(put, text))


def _range(first: str, between: str, last: str, fraction: int) -> str:
    """Both ends in one form."""
    if _by_tape(first) and _by_tape(last):
        return f"{_one(first, fraction)}{between}{_one(last, fraction)}"
    places = max(_places(end) for end in (first, last) if float(end) or "." in end)
    start, end = (f"{float(number) / 25.4:.{places}f}" for number in (first, last))
    return f"{start}{between}{end} in"


def _by_tape(number: str) -> bool:
    return _decimals(number) <= _BY_TAPE and (float(number) == 0.0 or abs(float(number)) >= _SMALL_MM)


def _one(number: str, fraction: int) -> str:
    mm = float(number)
    if mm == 0.0 and "." not in number:
        inches = "0 in"
    elif mm and _by_tape(number):
        inches = length_text(mm, "inch", fraction)
    else:
        inches = f"{mm / 25.4:.{_places(number)}f} in"
    return f"+{inches}" if number.startswith("+") else inches


def _places(number: str) -> int:
    """Decimals of an inch that say as much as the millimetres did."""
    if _decimals(number) > _BY_TAPE:
        return _decimals(number) + 1
    return 2 if float(number) == 0.0 or abs(float(number)) >= _TINY_MM else 3


def _decimals(number: str) -> int:
    return len(number.partition(".")[2])
