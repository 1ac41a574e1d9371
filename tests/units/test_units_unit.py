"""The table of units: against a general units library as a second opinion, and against itself for slips."""

from collections import Counter

import pint
import pytest

from trialfit.units import DIMENSIONS, in_unit, internal, known_units, parse
from trialfit.units.unit import UNITS, spelling_key, unit_called

# our spelling, dimension, the library's spelling of unit and of our internal unit. Left out: columns of water (the
# library takes a measured density), expansion in parts per million, and what it misreads (ft-lb, mixed fractions).
PINT = [
    ("mm", "length", "millimeter", "millimeter"), ("cm", "length", "centimeter", "millimeter"),
    ("m", "length", "meter", "millimeter"), ("km", "length", "kilometer", "millimeter"),
    ("um", "length", "micrometer", "millimeter"), ("in", "length", "inch", "millimeter"),
    ("ft", "length", "foot", "millimeter"), ("yd", "length", "yard", "millimeter"),
    ("mile", "length", "mile", "millimeter"), ("thou", "length", "thou", "millimeter"),
    ("deg", "angle", "degree", "radian"), ("arcmin", "angle", "arcminute", "radian"),
    ("arcsec", "angle", "arcsecond", "radian"), ("turn", "angle", "turn", "radian"),
    ("g", "mass", "gram", "kilogram"), ("t", "mass", "metric_ton", "kilogram"), ("lb", "mass", "pound", "kilogram"),
    ("oz", "mass", "ounce", "kilogram"), ("kN", "force", "kilonewton", "newton"),
    ("lbf", "force", "force_pound", "newton"), ("kgf", "force", "kilogram_force", "newton"),
    ("kip", "force", "kip", "newton"), ("N*m", "torque", "newton*meter", "newton*millimeter"),
    ("lbf*ft", "torque", "force_pound*foot", "newton*millimeter"),
    ("lbf*in", "torque", "force_pound*inch", "newton*millimeter"),
    ("kgf*m", "torque", "kilogram_force*meter", "newton*millimeter"), ("bar", "pressure", "bar", "megapascal"),
    ("mbar", "pressure", "millibar", "megapascal"), ("kPa", "pressure", "kilopascal", "megapascal"),
    ("GPa", "pressure", "gigapascal", "megapascal"), ("psi", "pressure", "psi", "megapascal"),
    ("ksi", "pressure", "ksi", "megapascal"), ("atm", "pressure", "atmosphere", "megapascal"),
    ("mmHg", "pressure", "millimeter_Hg", "megapascal"), ("inHg", "pressure", "inch_Hg", "megapascal"),
    ("kW", "power", "kilowatt", "watt"), ("hp", "power", "horsepower", "watt"),
    ("PS", "power", "metric_horsepower", "watt"), ("km/h", "speed", "kilometer/hour", "millimeter/second"),
    ("mph", "speed", "mile/hour", "millimeter/second"), ("ft/s", "speed", "foot/second", "millimeter/second"),
    ("rpm", "rotation", "revolutions_per_minute", "radian/second"), ("rps", "rotation", "turn/second", "radian/second"),
    ("deg/s", "rotation", "degree/second", "radian/second"), ("kHz", "frequency", "kilohertz", "hertz"),
    ("gn", "acceleration", "standard_gravity", "millimeter/second**2"), ("ms", "time", "millisecond", "second"),
    ("min", "time", "minute", "second"), ("h", "time", "hour", "second"),
    ("in2", "area", "inch**2", "millimeter**2"), ("ft2", "area", "foot**2", "millimeter**2"),
    ("cm2", "area", "centimeter**2", "millimeter**2"), ("in3", "volume", "inch**3", "millimeter**3"),
    ("ft3", "volume", "foot**3", "millimeter**3"), ("l", "volume", "liter", "millimeter**3"),
    ("cm3", "volume", "centimeter**3", "millimeter**3"), ("in4", "second-moment", "inch**4", "millimeter**4"),
    ("cm4", "second-moment", "centimeter**4", "millimeter**4"),
    ("kg*m2", "inertia", "kilogram*meter**2", "kilogram*millimeter**2"),
    ("lb*in2", "inertia", "pound*inch**2", "kilogram*millimeter**2"),
    ("lb*ft2", "inertia", "pound*foot**2", "kilogram*millimeter**2"),
    ("N/m", "stiffness", "newton/meter", "newton/millimeter"),
    ("lbf/in", "stiffness", "force_pound/inch", "newton/millimeter"),
    ("kgf/mm", "stiffness", "kilogram_force/millimeter", "newton/millimeter"),
    ("N*m/deg", "torsional-stiffness", "newton*meter/degree", "newton*millimeter/radian"),
    ("lbf*ft/deg", "torsional-stiffness", "force_pound*foot/degree", "newton*millimeter/radian"),
    ("lbf*in/deg", "torsional-stiffness", "force_pound*inch/degree", "newton*millimeter/radian"),
    ("kg/m3", "density", "kilogram/meter**3", "kilogram/millimeter**3"),
    ("g/cm3", "density", "gram/centimeter**3", "kilogram/millimeter**3"),
    ("lb/in3", "density", "pound/inch**3", "kilogram/millimeter**3"),
    ("lb/ft3", "density", "pound/foot**3", "kilogram/millimeter**3"),
    ("kg/m", "mass-per-length", "kilogram/meter", "kilogram/millimeter"),
    ("lb/ft", "mass-per-length", "pound/foot", "kilogram/millimeter"),
    ("lb/in", "mass-per-length", "pound/inch", "kilogram/millimeter"),
    ("l/min", "volume-flow", "liter/minute", "millimeter**3/second"),
    ("l/h", "volume-flow", "liter/hour", "millimeter**3/second"),
    ("m3/h", "volume-flow", "meter**3/hour", "millimeter**3/second"),
    ("ft3/min", "volume-flow", "foot**3/minute", "millimeter**3/second"),
    ("lb/h", "mass-flow", "pound/hour", "kilogram/second"), ("lb/min", "mass-flow", "pound/minute", "kilogram/second"),
    ("kg/h", "mass-flow", "kilogram/hour", "kilogram/second"),
    ("degF", "temperature-difference", "delta_degF", "kelvin"), ("1/degF", "expansion", "1/delta_degF", "1/kelvin"),
]


@pytest.fixture(scope="module")
def registry() -> "pint.UnitRegistry[float]":
    return pint.UnitRegistry()


def test_second_opinion_on_every_factor(registry: "pint.UnitRegistry[float]") -> None:
    for ours, dimension, theirs, base in PINT:
        wanted = registry.Quantity(1.0, theirs).to(base).magnitude
        # 1e-9: the library's column of mercury is carried to ten digits only
        assert internal(1.0, ours, dimension) == pytest.approx(wanted, rel=1e-9), ours


@pytest.mark.parametrize("typed, amount, unit", [("-40 degF", -40.0, "degF"), ("700 degC", 700.0, "degC"),
                                                 ("98.6 degF", 98.6, "degF")])
def test_second_opinion_on_thermometers(registry: "pint.UnitRegistry[float]", typed: str, amount: float,
                                        unit: str) -> None:
    assert parse(typed).value == pytest.approx(registry.Quantity(amount, unit).to("kelvin").magnitude, rel=1e-12)


def test_no_spelling_has_two_meanings_within_a_dimension() -> None:
    count = Counter((u.dimension, s) for u in UNITS for s in {u.name, *u.spellings})
    assert [k for k, n in count.items() if n > 1] == []


def test_the_internal_unit_stands_first_and_is_one() -> None:
    for dimension in DIMENSIONS.values():
        if dimension.internal:
            first = next(u for u in UNITS if u.dimension == dimension.name)
            assert (first.name, first.factor, first.shift) == (dimension.internal, 1, 0)
            assert known_units(dimension.name)[0] == dimension.internal


def test_every_spelling_is_read_as_its_own_unit() -> None:
    for unit in UNITS:
        for spelling in (unit.name, *unit.spellings):
            assert unit_called(spelling, unit.dimension).factor == unit.factor, spelling
            if spelling and unit.dimension not in ("ratio", "number"):
                got = parse(f"300 {spelling}", unit.dimension)
                wanted = float((300 + unit.shift) * unit.factor)
                assert (got.value, got.unit) == (wanted, unit.name), spelling
            assert spelling_key(spelling) == spelling


def test_there_and_back() -> None:
    for unit in UNITS:
        for amount in (-12.5, 0.0, 3.1, 88.9, 1e4):
            back = in_unit(internal(amount, unit.name, unit.dimension), unit.name, unit.dimension)
            assert back == pytest.approx(amount, rel=1e-12, abs=1e-9 if unit.shift else 0.0), unit.name
