"""Numbers as people write them: whole, decimal, fraction, mixed fraction, with a comma by mistake."""

import re
from dataclasses import dataclass
from fractions import Fraction

from trialfit.units.error import UnitsError

MOST_EXPONENT = 30
"""Largest power of ten read; anything beyond is a slip."""

MOST_DIGITS = 18
"""Longest run of digits read; a double holds no more."""

# Order matters: a mixed fraction before a fraction before a decimal. [0-9] on purpose: \d takes other scripts' digits.
_NUMBER = re.compile(
    r"""(?P<sign>[+-]?)(?:
        (?P<whole>[0-9]+)(?P<join>\ +|-)(?P<num>[0-9]+)\ ?/\ ?(?P<den>[0-9]+)(?![0-9./,])
      | (?P<top>[0-9]+)\ ?/\ ?(?P<bottom>[0-9]+)(?![0-9./,])
      | (?P<decimal>(?:[0-9][0-9.,]*|\.[0-9]+))(?P<exponent>[eE][+-]?[0-9]+)?
    )""",
    re.VERBOSE,
)
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+")
_COMMA = re.compile(r"[0-9]+,[0-9]+")
_PLAIN = re.compile(r"[0-9]+(?:\.[0-9]*)?|\.[0-9]+")


@dataclass(frozen=True, slots=True)
class Number:
    """A number read from the front of a text. ``end`` is where it stops; ``decimals`` the digits typed after the
    point ("" without); ``denominator`` the bottom of a typed fraction (0 without)."""

    value: Fraction
    end: int
    whole: str
    decimals: str = ""
    denominator: int = 0
    mixed: bool = False
    comma: bool = False

    @property
    def is_whole(self) -> bool:
        """Typed as digits alone."""
        return not self.decimals and not self.denominator


def number_at(text: str, start: int, typed: str, expected: str, *, signed: bool = True) -> Number:
    """Read the number that begins at ``start`` of ``text``.

    Raises
    ------
    UnitsError
        no number there, an improper or endless fraction, an ambiguous comma, more than 18 digits, an exponent
        beyond +-30
    """
    found = _NUMBER.match(text, start)
    if found is None or (found["sign"] and not signed):
        raise UnitsError("no number where one should stand", typed, expected)
    if any(len(run) > MOST_DIGITS for run in re.findall(r"[0-9]+", found.group())):
        raise UnitsError(f"more than {MOST_DIGITS} digits in a row", typed, expected)
    sign = -1 if found["sign"] == "-" else 1
    if found["decimal"] is not None:
        return _decimal(found, sign, typed, expected)
    if found["num"] is not None:
        top, bottom = int(found["num"]), int(found["den"])
        _proper(top, bottom, typed, expected)
        value = int(found["whole"]) + Fraction(top, bottom)
        return Number(sign * value, found.end(), found["whole"], denominator=bottom, mixed=True)
    top, bottom = int(found["top"]), int(found["bottom"])
    if bottom == 0:
        raise UnitsError("a fraction over nought", typed, expected)
    return Number(sign * Fraction(top, bottom), found.end(), "0", denominator=bottom)


def _proper(top: int, bottom: int, typed: str, expected: str) -> None:
    if bottom == 0:
        raise UnitsError("a fraction over nought", typed, expected)
    if top >= bottom:
        raise UnitsError(f"{top}/{bottom} is one or more, so it cannot follow a whole number", typed, expected,
                         "write the whole number and a fraction below one")
    if top == 0:
        raise UnitsError(f"{top}/{bottom} is no fraction", typed, expected)


def _decimal(found: re.Match[str], sign: int, typed: str, expected: str) -> Number:
    digits, exponent = found["decimal"], found["exponent"] or ""
    comma = "," in digits
    if comma:
        if _THOUSANDS.fullmatch(digits):
            plain = digits.replace(",", "")
            mend = f"write {plain} if the comma parts thousands"
            if digits.count(",") == 1:
                mend += f", or {digits.replace(',', '.')} if it is a decimal comma"
            raise UnitsError(f"{digits} can be read in two ways", typed, expected, mend)
        if not _COMMA.fullmatch(digits):
            raise UnitsError(f"{digits} is not one number", typed, expected, "write a decimal point and no other mark")
        digits = digits.replace(",", ".")
    if not _PLAIN.fullmatch(digits):
        raise UnitsError(f"{digits} is not one number", typed, expected, "write one decimal point at most")
    if exponent and abs(int(exponent[1:])) > MOST_EXPONENT:
        raise UnitsError(f"a power of ten beyond {MOST_EXPONENT}", typed, expected)
    whole, _, decimals = digits.partition(".")
    return Number(sign * Fraction(digits + exponent), found.end(), whole or "0", decimals, comma=comma)
