"""The reading grammar: one text, one amount, or a refusal that says how to mend it.

    amount    = number unit | feet inches | degrees minutes [seconds] | ratio | number (when a unit is understood)
    number    = [sign] (whole | decimal | fraction | whole " " fraction | whole "-" fraction)
    feet      = whole ("'" | "ft"), then inches = number ('"' | "in")
    ratio     = number ":" number | whole "/" whole | number

Nothing is guessed silently: what is read but odd comes back with a suspicion, what has two readings is refused.
"""

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from trialfit.units.dimension import expected_text
from trialfit.units.error import UnitsError, cut_short
from trialfit.units.number import Number, number_at
from trialfit.units.suspicion import inches_over_a_foot, number_suspicions
from trialfit.units.unit import Unit, unit_called

LONGEST = 120
"""Longest text read as an amount [characters]."""

DOUBT_FACTOR = 1.96
"""A typed give-or-take is taken as the half width of a 95 % interval of a normal error: sd = amount / 1.96.
Source: GUM (JCGM 100:2008), table G.1, from memory."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """An amount as read: ``value`` in the internal unit of ``dimension``, ``unit`` as typed (in its canonical
    spelling), ``typed`` text, and the ``suspicions`` to say aloud."""

    value: float
    dimension: str
    unit: str
    typed: str
    suspicions: tuple[str, ...] = ()


_VULGAR = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5",
    "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10",
}
_LOOK_ALIKES = str.maketrans({
    **dict.fromkeys("\u00a0\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\t", " "),
    **dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\ufe63\uff0d", "-"),
    **dict.fromkeys("\u2032\u2018\u2019\u00b4", "'"), **dict.fromkeys("\u2033\u201c\u201d", '"'),
    **dict.fromkeys("\u00b7\u22c5\u2022\u00d7", "*"), **dict.fromkeys("\u00b5\u03bc", "u"),
    **dict.fromkeys("\u00ba\u02da", "°"), "\u2044": "/", "\u00b2": "2", "\u00b3": "3", "\u2074": "4",
    "\u2103": "°C", "\u2109": "°F",
})
_VULGAR_AFTER = re.compile(f"(?<=[0-9])[ -]?([{''.join(_VULGAR)}])")
_FEET = re.compile(r" ?(?:ft\.?|foot|feet|')(?:-| - | ?)(?=[0-9.])")
_INCHES = re.compile(r" ?(?:inch|inches|in\.?|\"|'')")
_DEGREES = re.compile(r" ?(?:degrees|degree|deg|°) ?(?=[0-9.])")
_MINUTES = re.compile(r" ?(?:arcmin|minutes|minute|min|') ?")
_SECONDS = re.compile(r" ?(?:arcsec|seconds|second|sec|s|\"|'') ?")
_GIVE_OR_TAKE = re.compile(r"\+ ?/? ?-|±|give or take|plus or minus")


def _tidy(text: str, expected: str) -> str:
    """The text in plain signs: Unicode primes, spaces, minus signs and ready-made fractions spelled out."""
    if not isinstance(text, str):
        raise UnitsError(f"{type(text).__name__} is no text", str(text), expected)
    if len(text) > LONGEST:
        raise UnitsError(f"longer than {LONGEST} characters", text, expected)
    plain = _VULGAR_AFTER.sub(lambda m: " " + _VULGAR[m[1]], text.translate(_LOOK_ALIKES))
    plain = re.sub(" +", " ", "".join(_VULGAR.get(c, c) for c in plain)).strip()
    if not plain:
        raise UnitsError("nothing typed", expected=expected)
    for c in plain:
        if c != "°" and not " " <= c <= "~":
            raise UnitsError(f"the character {c!a} is not read here", text, expected,
                             "write plain digits and letters")
    return plain


def parse(text: str, dimension: str | None = None, default_unit: str | None = None) -> Quantity:
    """Read one amount as a person writes it.

    Parameters
    ----------
    text : str
        ``3 1/2 in``, ``3-1/2"``, ``5' 3 7/16"``, ``67.1 mm``, ``35 ft-lb``, ``0 deg 54 min``, ``4.10:1`` ...
    dimension : str or None
        a name in ``DIMENSIONS``; None takes what the unit says (torque for ``ft-lb``, mass for ``lb``, time for
        ``min``, temperature for ``degC``)
    default_unit : str or None
        unit of a bare number; without it a bare number is refused, but for dimensions that have no unit

    Raises
    ------
    UnitsError
        when the text is no such amount; it names what was typed, what was expected and how to mend it

    >>> parse('3-1/2"')
    Quantity(value=88.9, dimension='length', unit='in', typed='3-1/2"', suspicions=())
    >>> parse("67,1 mm").suspicions
    ('the comma is read as a decimal point: 67.1',)
    """
    expected = expected_text(dimension)
    if dimension == "text":
        return _word(text, expected)
    plain = _tidy(text, expected)
    if dimension in (None, "ratio"):
        ratio = _ratio(plain, text, expected, bare=dimension == "ratio")
        if ratio is not None:
            return ratio
    if dimension in (None, "length"):
        both = _feet_and_inches(plain, text, expected)
        if both is not None:
            return both
    if dimension in (None, "angle"):
        turned = _degrees_and_minutes(plain, text, expected)
        if turned is not None:
            return turned
    number = number_at(plain, 0, text, expected)
    spelled = plain[number.end:].strip()
    if not spelled:
        unit = _understood_unit(text, dimension, default_unit, expected)
    else:
        unit = _typed_unit(spelled, dimension, text, expected)
    if number.denominator and not number.mixed and abs(number.value) >= 1 and unit.name:
        raise UnitsError("a fraction of one or more", text, expected, _mended_fraction(number, unit))
    return _quantity(number.value, unit, text, number_suspicions(number, unit.name))


def _word(text: str, expected: str) -> Quantity:
    word = text.strip()
    if not word or len(word) > LONGEST or not word.isprintable():
        raise UnitsError("not one short word", text, expected)
    return Quantity(math.nan, "text", "", word)


def _quantity(amount: Fraction, unit: Unit, typed: str, suspicions: list[str]) -> Quantity:
    value = (amount + unit.shift) * unit.factor
    if unit.dimension == "temperature" and value < 0:
        raise UnitsError("below the absolute zero of temperature", typed, "a temperature from -273.15 degC up")
    return Quantity(float(value), unit.dimension, unit.name, typed, tuple(suspicions))


def _understood_unit(typed: str, dimension: str | None, default_unit: str | None, expected: str) -> Unit:
    if default_unit is not None:
        return unit_called(default_unit, dimension)
    if dimension in ("number", "ratio"):
        return unit_called("", dimension)
    raise UnitsError("a number without a unit", typed, expected, "write the unit after the number")


def _typed_unit(spelled: str, dimension: str | None, typed: str, expected: str) -> Unit:
    if dimension in ("number", "ratio") and spelled not in ("%", "percent"):
        raise UnitsError(f"'{cut_short(spelled)}' follows the number", typed, expected, "write the number alone")
    if (spelled[0].isdigit() and not re.match("1 ?/", spelled)) or spelled[0] in "+-.,":
        raise UnitsError("two numbers where one should stand", typed, expected)
    return unit_called(spelled, dimension, typed)


def _mended_fraction(number: Number, unit: Unit) -> str:
    whole, rest = divmod(abs(number.value), 1)
    sign = "-" if number.value < 0 else ""
    return f"write {sign}{whole} {rest} {unit.name}" if rest else f"write {sign}{whole} {unit.name}"


def _ratio(plain: str, typed: str, expected: str, *, bare: bool) -> Quantity | None:
    """``4.10:1``; and ``41/10`` when a ratio is asked for."""
    if ":" not in plain:
        if not bare or not re.fullmatch(r"[0-9.]+ ?/ ?[0-9.]+", plain):
            return None
        first, second = re.split(r" ?/ ?", plain)
    else:
        first, _, second = (part.strip() for part in plain.partition(":"))
    top, bottom = (_whole_text(part, typed, expected) for part in (first, second))
    if top.value <= 0 or bottom.value <= 0:
        raise UnitsError("both sides of a ratio must be above nought", typed, expected)
    doubts = number_suspicions(top, "") + number_suspicions(bottom, "")
    return Quantity(float(top.value / bottom.value), "ratio", "", typed, tuple(doubts))


def _whole_text(text: str, typed: str, expected: str) -> Number:
    number = number_at(text, 0, typed, expected, signed=False)
    if number.end != len(text):
        raise UnitsError(f"'{cut_short(text[number.end:].strip())}' follows the number", typed, expected)
    return number


def _feet_and_inches(plain: str, typed: str, expected: str) -> Quantity | None:
    sign, unsigned = (-1, plain[1:].lstrip()) if plain[0] == "-" else (1, plain)
    if not unsigned or not (unsigned[0].isdigit() or unsigned[0] == "."):
        return None
    feet = number_at(unsigned, 0, typed, expected, signed=False)
    mark = _FEET.match(unsigned, feet.end)
    if mark is None:
        return None
    if not feet.is_whole:
        raise UnitsError("inches after a broken number of feet", typed, expected, "write whole feet, then inches")
    inches = number_at(unsigned, mark.end(), typed, expected, signed=False)
    tail = unsigned[inches.end:]
    if not _INCHES.fullmatch(tail):
        what = f"'{cut_short(tail.strip())}' where the inch mark should stand" if tail else "no inch mark at the end"
        raise UnitsError(what, typed, expected, "end it with \" or in")
    if inches.denominator and not inches.mixed and inches.value >= 1:
        raise UnitsError("a fraction of one or more", typed, expected, _mended_fraction(inches, unit_called("in")))
    doubts = number_suspicions(inches, "in")
    over = inches_over_a_foot(inches.value)
    if over:
        doubts.append(over)
    return _quantity(sign * (12 * feet.value + inches.value), unit_called("in", "length"), typed, doubts)


def _degrees_and_minutes(plain: str, typed: str, expected: str) -> Quantity | None:
    sign, unsigned = (-1, plain[1:].lstrip()) if plain[0] == "-" else (1, plain)
    if not unsigned or not (unsigned[0].isdigit() or unsigned[0] == "."):
        return None
    degrees = number_at(unsigned, 0, typed, expected, signed=False)
    mark = _DEGREES.match(unsigned, degrees.end)
    if mark is None:
        return None
    if not degrees.is_whole:
        raise UnitsError("minutes after a broken number of degrees", typed, expected,
                         "write whole degrees, then minutes")
    minutes = number_at(unsigned, mark.end(), typed, expected, signed=False)
    total, at = degrees.value + minutes.value / 60, minutes.end
    mark = _MINUTES.match(unsigned, at)
    parts = [minutes]
    if mark is not None and mark.end() < len(unsigned):
        if not minutes.is_whole:
            raise UnitsError("seconds after a broken number of minutes", typed, expected)
        seconds = number_at(unsigned, mark.end(), typed, expected, signed=False)
        total, at = total + seconds.value / 3600, seconds.end
        mark = _SECONDS.match(unsigned, at)
        parts.append(seconds)
    if mark is None or mark.end() != len(unsigned):
        raise UnitsError("degrees followed by something that is not minutes", typed, expected,
                         "write 0 deg 54 min, or the degrees alone")
    doubts = [d for part in parts for d in number_suspicions(part, "")]
    if any(part.value >= 60 for part in parts):
        doubts.append("degrees are followed by 60 or more minutes, or minutes by 60 or more seconds")
    return _quantity(sign * total, unit_called("deg", "angle"), typed, doubts)


def parse_with_doubt(
    text: str, dimension: str | None = None, default_unit: str | None = None
) -> tuple[Quantity, float | None]:
    """Read one amount and the give-or-take that may follow it, as a standard deviation in the internal unit.

    What follows ``+-``, ``±`` or ``give or take`` is the half width of a 95 % interval, so sd = amount / 1.96. It
    may be in another unit than the amount, or in per cent of it; a unit typed on one side only holds for both.

    Raises
    ------
    UnitsError
        as ``parse``; and when the give-or-take is nought or below, or stands twice

    >>> q, sd = parse_with_doubt("1230 mm +- 3 mm", "length")
    >>> q.value, round(sd, 4)
    (1230.0, 1.5306)
    """
    expected = expected_text(dimension)
    if not isinstance(text, str) or len(text) > LONGEST:
        return parse(text, dimension, default_unit), None
    marks = list(_GIVE_OR_TAKE.finditer(text.translate(_LOOK_ALIKES)))
    if not marks:
        return parse(text, dimension, default_unit), None
    if len(marks) > 1 or dimension == "text":
        raise UnitsError("more than one give-or-take" if dimension != "text" else "a word has no give-or-take",
                         text, expected)
    plain = text.translate(_LOOK_ALIKES)
    left, right = plain[: marks[0].start()].strip(), plain[marks[0].end():].strip()
    if not left or not right:
        raise UnitsError("a give-or-take with nothing on one side", text, expected, "write it as 1230 mm +- 3 mm")
    bare = r"[-+]?[0-9 ./,-]+"
    if default_unit is None and re.fullmatch(bare, left) and not right.endswith(("%", "percent")):
        default_unit = _unit_on_the_right(right, dimension)
    amount = parse(left, dimension, default_unit)
    share = right.endswith(("%", "percent")) and amount.dimension != "percent"
    step = "temperature-difference" if amount.dimension == "temperature" else amount.dimension
    doubt = parse(right, "percent") if share else parse(right, step, default_unit or amount.unit or None)
    half = abs(amount.value) * doubt.value if share else doubt.value
    if half <= 0.0:
        raise UnitsError("a give-or-take must be above nought", text, expected)
    suspicions = amount.suspicions + doubt.suspicions
    return Quantity(amount.value, amount.dimension, amount.unit, text, suspicions), half / DOUBT_FACTOR


def _unit_on_the_right(right: str, dimension: str | None) -> str | None:
    try:
        return parse(right, dimension).unit or None
    except UnitsError:
        return None
