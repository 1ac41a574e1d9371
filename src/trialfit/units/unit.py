"""The table of units: factor to the house's internal unit, exact where the definition is, and every spelling read.

Source: NIST Special Publication 811 (2008), appendix B, for the definitions (inch, pound, standard gravity and what
follows from them are exact; columns of mercury and water are its conventional values); factors here are built from
the definitions. Rational arithmetic keeps `3 1/2 in` at 88.9 mm to the last bit.
"""

import difflib
import math
import re
from dataclasses import dataclass
from fractions import Fraction

from trialfit.units.dimension import DIMENSIONS, dimension_called, expected_text
from trialfit.units.error import UnitsError, cut_short


@dataclass(frozen=True, slots=True)
class Unit:
    """``internal = (amount + shift) * factor``. ``shift`` is nought but for thermometer scales."""

    name: str
    dimension: str
    factor: Fraction
    spellings: tuple[str, ...] = ()
    shift: Fraction = Fraction(0)


def _f(text: str) -> Fraction:
    return Fraction(text)


_IN = _f("25.4")
_FT = 12 * _IN
_LB = _f("0.45359237")
_GN = _f("9.80665")
_LBF = _LB * _GN
_PSI = _LBF / (_IN * _IN)
_PI = Fraction(math.pi)
_DEG = _PI / 180
_TURN = 2 * _PI
_LITRE = Fraction(10**6)
_ZERO_C = _f("273.15")
_ZERO_F = _f("459.67")
_F_STEP = Fraction(5, 9)


def _units() -> tuple[Unit, ...]:
    def of(dimension: str, *rows: tuple[str, Fraction | int, str]) -> list[Unit]:
        return [Unit(name, dimension, Fraction(factor), tuple(more.split())) for name, factor, more in rows]

    # within one dimension the internal unit stands first; where one spelling serves two dimensions, the dimension
    # that stands higher in this list is taken when none is asked for
    return (
        *of("length",
            ("mm", 1, "millimetre millimetres millimeter millimeters"),
            ("cm", 10, "centimetre centimetres centimeter centimeters"),
            ("m", 1000, "metre metres meter meters"), ("km", 10**6, "kilometre kilometres kilometer kilometers"),
            ("um", _f("0.001"), "micron microns micrometre micrometres micrometer micrometers"),
            ("in", _IN, "inch inches \""), ("ft", _FT, "foot feet '"), ("yd", 3 * _FT, "yard yards"),
            ("mile", 5280 * _FT, "miles"), ("thou", _IN / 1000, "")),
        *of("time", ("s", 1, "sec second seconds"), ("ms", _f("0.001"), "millisecond milliseconds"),
            ("min", 60, "minute minutes"), ("h", 3600, "hr hrs hour hours")),
        *of("angle", ("rad", 1, "radian radians"), ("mrad", _f("0.001"), ""), ("deg", _DEG, "degree degrees"),
            ("arcmin", _DEG / 60, "min minute minutes '"), ("arcsec", _DEG / 3600, "sec second seconds s \""),
            ("turn", _TURN, "turns rev revs")),
        *of("mass", ("kg", 1, "kilogram kilograms kilo kilos"), ("g", _f("0.001"), "gram grams gramme grammes"),
            ("t", 1000, "tonne tonnes"), ("lb", _LB, "lbs pound pounds lbm"), ("oz", _LB / 16, "ounce ounces")),
        *of("force", ("N", 1, "newton newtons"), ("kN", 1000, ""), ("daN", 10, ""),
            ("lbf", _LBF, "lb lbs pound pounds"), ("kgf", _GN, "kp"), ("kip", 1000 * _LBF, "kips")),
        *of("torque", ("N*mm", 1, "Nmm"), ("N*m", 1000, "Nm"), ("kN*m", 10**6, "kNm"),
            ("lbf*ft", _LBF * _FT, "ft*lbf ft*lb lb*ft ft*lbs lbs*ft foot*pounds foot*pound pound*feet pound*foot"),
            ("lbf*in", _LBF * _IN, "in*lbf in*lb lb*in in*lbs lbs*in inch*pounds inch*pound pound*inches pound*inch"),
            ("kgf*m", 1000 * _GN, "kp*m m*kgf"), ("kgf*cm", 10 * _GN, "kp*cm")),
        *of("pressure", ("MPa", 1, "N/mm2"), ("Pa", _f("1e-6"), "N/m2"), ("kPa", _f("0.001"), ""), ("GPa", 1000, ""),
            ("bar", _f("0.1"), ""), ("mbar", _f("1e-4"), "hPa"), ("psi", _PSI, "lbf/in2 lb/in2 lb/sq*in lbf/sq*in"),
            ("ksi", 1000 * _PSI, ""), ("atm", _f("0.101325"), ""), ("kgf/cm2", _GN / 100, "kp/cm2"),
            ("mmHg", _f("133.322387415e-6"), ""), ("inHg", _f("133.322387415e-6") * _IN, ""),
            ("mmH2O", _f("9.80665e-6"), ""), ("inH2O", _f("9.80665e-6") * _IN, "")),
        *of("power", ("W", 1, "watt watts"), ("kW", 1000, "kilowatt kilowatts"),
            ("hp", 550 * _LBF * _FT / 1000, "bhp horsepower"), ("PS", 75 * _GN, "metric*hp metric*horsepower")),
        *of("speed", ("mm/s", 1, ""), ("m/s", 1000, ""), ("km/h", Fraction(10**6, 3600), "kph kmh km/hr"),
            ("mph", 5280 * _FT / 3600, "mi/h miles/h mile/h"), ("ft/s", _FT, "fps")),
        *of("rotation", ("rad/s", 1, ""), ("rpm", _TURN / 60, "r/min rev/min revs/min 1/min min-1"),
            ("rps", _TURN, "rev/s r/s"), ("deg/s", _DEG, "")),
        *of("frequency", ("Hz", 1, "1/s s-1"), ("kHz", 1000, ""), ("1/min", Fraction(1, 60), "min-1")),
        *of("acceleration", ("mm/s2", 1, ""), ("m/s2", 1000, ""), ("ft/s2", _FT, ""), ("gn", 1000 * _GN, "g")),
        Unit("K", "temperature", Fraction(1), ("kelvin",)),
        Unit("degC", "temperature", Fraction(1), ("C", "deg*C", "celsius"), _ZERO_C),
        Unit("degF", "temperature", _F_STEP, ("F", "deg*F", "fahrenheit"), _ZERO_F),
        *of("temperature-difference", ("K", 1, "kelvin"), ("degC", 1, "C deg*C celsius"),
            ("degF", _F_STEP, "F deg*F fahrenheit")),
        *of("area", ("mm2", 1, "sq*mm"), ("cm2", 100, "sq*cm"), ("m2", 10**6, "sq*m"), ("in2", _IN**2, "sq*in"),
            ("ft2", _FT**2, "sq*ft")),
        *of("volume", ("mm3", 1, ""), ("cm3", 1000, "cc ccm ml"), ("l", _LITRE, "L litre litres liter liters"),
            ("m3", 10**9, ""), ("in3", _IN**3, "cu*in cuin"), ("ft3", _FT**3, "cu*ft")),
        *of("second-moment", ("mm4", 1, ""), ("cm4", 10**4, ""), ("in4", _IN**4, "")),
        *of("inertia", ("kg*mm2", 1, ""), ("kg*m2", 10**6, ""), ("lb*in2", _LB * _IN**2, ""),
            ("lb*ft2", _LB * _FT**2, "")),
        *of("stiffness", ("N/mm", 1, ""), ("N/m", _f("0.001"), ""), ("kN/m", 1, ""), ("kN/mm", 1000, ""),
            ("lbf/in", _LBF / _IN, "lb/in lbs/in"), ("lbf/ft", _LBF / _FT, ""), ("kgf/mm", _GN, "kp/mm")),
        *of("torsional-stiffness", ("N*mm/rad", 1, ""), ("N*m/rad", 1000, "Nm/rad"), ("N*m/deg", 1000 / _DEG, "Nm/deg"),
            ("lbf*ft/deg", _LBF * _FT / _DEG, "ft*lb/deg lb*ft/deg"),
            ("lbf*in/deg", _LBF * _IN / _DEG, "in*lb/deg lb*in/deg")),
        *of("density", ("kg/mm3", 1, ""), ("kg/m3", _f("1e-9"), ""), ("g/cm3", _f("1e-6"), "g/cc kg/dm3 kg/l"),
            ("lb/in3", _LB / _IN**3, "lb/cu*in"), ("lb/ft3", _LB / _FT**3, "lb/cu*ft")),
        *of("mass-per-length", ("kg/mm", 1, ""), ("kg/m", _f("0.001"), ""), ("g/mm", _f("0.001"), ""),
            ("lb/ft", _LB / _FT, "lbs/ft"), ("lb/in", _LB / _IN, "lbs/in")),
        *of("volume-flow", ("mm3/s", 1, ""), ("cm3/s", 1000, "cc/s ml/s"), ("l/s", _LITRE, "L/s"),
            ("l/min", _LITRE / 60, "L/min lpm"), ("l/h", _LITRE / 3600, "L/h"), ("m3/s", 10**9, ""),
            ("m3/h", Fraction(10**9, 3600), ""), ("ft3/min", _FT**3 / 60, "cfm cu*ft/min"), ("ft3/s", _FT**3, "")),
        *of("mass-flow", ("kg/s", 1, ""), ("g/s", _f("0.001"), ""), ("kg/h", Fraction(1, 3600), "kg/hr"),
            ("lb/min", _LB / 60, ""), ("lb/h", _LB / 3600, "lb/hr")),
        *of("expansion", ("1/K", 1, "K-1 1/degC 1/C mm/mm/K m/m/K"),
            ("um/m/K", _f("1e-6"), "um/(m*K) um/m/degC ppm/K ppm/degC"),
            ("1/degF", 1 / _F_STEP, "1/F in/in/degF in/in/F"), ("um/m/degF", _f("1e-6") / _F_STEP, "ppm/degF ppm/F")),
        *of("percent", ("%", Fraction(1, 100), "percent")),
        *of("ratio", ("", 1, ""), ("%", Fraction(1, 100), "percent")),
        *of("number", ("", 1, "")),
    )


UNITS: tuple[Unit, ...] = _units()

TWO_MEANINGS: dict[str, str] = {
    "mil": "a mil is 0.001 in to some and 1 mm to others: write thou or mm",
    "gal": "a gallon is not the same everywhere: write l",
    "gallon": "a gallon is not the same everywhere: write l",
    "gallons": "a gallon is not the same everywhere: write l",
    "ton": "a ton is not the same everywhere: write t (1000 kg), kg or lb",
    "tons": "a ton is not the same everywhere: write t (1000 kg), kg or lb",
    "cv": "write kW, hp or PS",
    "psig": "pressures here are differences from the air outside: write psi",
    "psia": "pressures here are differences from the air outside: take off 14.7 and write psi",
    "mPa": "mPa is a thousandth of a pascal: write MPa for a million",
}
"""Spellings refused although people use them, with the sentence that says what to write."""

_BY_SPELLING: dict[str, list[Unit]] = {}
_BY_FOLDED: dict[str, list[str]] = {}
for _unit in UNITS:
    for _spelling in (_unit.name, *_unit.spellings):
        _BY_SPELLING.setdefault(_spelling, []).append(_unit)
for _spelling in _BY_SPELLING:
    _BY_FOLDED.setdefault(_spelling.lower(), []).append(_spelling)

_AROUND = re.compile(r"\s*([*/^()])\s*")
_BETWEEN_LETTERS = re.compile(r"(?<=[A-Za-z0-9)])(?:\s*-\s*|\.|\s+)(?=[A-Za-z(])")


def spelling_key(text: str) -> str:
    """A unit's text with its signs made alike: ``ft-lb``, ``ft lb``, ``ft.lb`` all become ``ft*lb``.

    >>> spelling_key("kg / m^3"), spelling_key("lb-ft"), spelling_key("/K"), spelling_key("°C")
    ('kg/m3', 'lb*ft', '1/K', 'degC')
    """
    key = text.strip().replace("°", "deg").replace("**", "^")
    key = _AROUND.sub(r"\1", key).replace("^", "").rstrip(".")
    key = _BETWEEN_LETTERS.sub("*", key)
    return "1" + key if key.startswith("/") else key


def _candidates(key: str) -> list[Unit]:
    if key in _BY_SPELLING:
        return _BY_SPELLING[key]
    # Capitals slip in (MM, Psi, KPH); but one letter alone, or a changed first letter in mixed case (Mm, mPa), may be
    # another unit and is not guessed.
    known = _BY_FOLDED.get(key.lower(), [])
    if len(known) != 1 or len(key) < 2:
        return []
    alike = key[0] == known[0][0] or key.isupper() or key.islower()
    return _BY_SPELLING[known[0]] if alike and key not in TWO_MEANINGS else []


def nearest_units(key: str, dimension: str | None) -> list[str]:
    """Up to three known units whose spelling is nearest to ``key``, of one dimension when it is given."""
    pool = {s: u.name for s, units in _BY_SPELLING.items() for u in units if dimension in (None, u.dimension) and s}
    close = difflib.get_close_matches(key[:24], list(pool), n=6, cutoff=0.6)
    return list(dict.fromkeys(pool[s] for s in close))[:3]


def unit_called(text: str, dimension: str | None = None, typed: str = "") -> Unit:
    """The unit that ``text`` spells, of ``dimension`` when that is given.

    Raises
    ------
    UnitsError
        unknown spelling (with the nearest known), or a unit of another dimension
    """
    typed = typed or text
    key = spelling_key(text)
    expected = expected_text(dimension)
    units = _candidates(key)
    for unit in units:
        if dimension in (None, unit.dimension):
            return unit
    if units:
        noun = DIMENSIONS[units[0].dimension].noun
        more = ""
        if dimension == "force" and units[0].dimension == "mass":
            more = f"write {'kgf' if units[0].name == 'kg' else 'N or lbf'} for a force"
        raise UnitsError(f"'{cut_short(text.strip())}' measures {noun}", typed, expected, more)
    if key in TWO_MEANINGS:
        raise UnitsError(f"'{cut_short(text.strip())}' is not read", typed, expected, TWO_MEANINGS[key])
    near = nearest_units(key, dimension) or nearest_units(key, None)
    mend = f"nearest known: {', '.join(near)}" if near else ""
    if dimension is not None and not near:
        mend = f"known: {', '.join(known_units(dimension))}"
    raise UnitsError(f"no unit is called '{cut_short(text.strip())}'", typed, expected, mend)


def known_units(dimension: str) -> tuple[str, ...]:
    """Names of the units of one dimension, the internal one first.

    >>> known_units("angle")
    ('rad', 'mrad', 'deg', 'arcmin', 'arcsec', 'turn')
    """
    dimension_called(dimension)
    return tuple(u.name for u in UNITS if u.dimension == dimension and u.name)
