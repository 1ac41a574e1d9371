"""The reading grammar: what is read, what is suspected, what is refused and in which words."""

import math
import time
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trialfit.units import DIMENSIONS, UnitsError, parse, parse_with_doubt
from trialfit.units.suspicion import TAPE_DENOMINATORS

INCH = Fraction("25.4")

# Values by definition of the unit (exact inch, exact pound-force); the arithmetic is done here by hand.
READ = [
    ("3 1/2 in", "length", 88.9), ('3-1/2"', "length", 88.9), ("3½ in", "length", 88.9), ("3 ½ in", "length", 88.9),
    ('5\' 3 7/16"', "length", 1611.3125), ("5′ 3 7⁄16″", "length", 1611.3125), ("5 ft 3 in", "length", 1600.2),
    ('5\'-3 1/2"', "length", 1612.9), ("5'3''", "length", 1600.2), ('-5\' 3"', "length", -1600.2),
    ("67.1 mm", "length", 67.1), ("67.1mm", "length", 67.1), ("67.1\u00a0mm", "length", 67.1),
    ("67.1\u202fmm", "length", 67.1), ("\u22123 1/2 in", "length", -88.9), ("+3 mm", "length", 3.0),
    ('1/2"', "length", 12.7), (".5 in", "length", 12.7), ("3 in.", "length", 76.2), ("40 MM", "length", 40.0),
    ("1.5e3 mm", "length", 1500.0), ("0.6 m", "length", 600.0), ("3 thou", "length", 0.0762),
    ("35 lbf*ft", "torque", 47453.62819159901), ("35 ft-lb", "torque", 47453.62819159901),
    ("35 lb-ft", "torque", 47453.62819159901), ("35 ft lb", "torque", 47453.62819159901),
    ("35 lbf·ft", "torque", 47453.62819159901), ("90 Nm", "torque", 90000.0), ("90 N m", "torque", 90000.0),
    ("90 N.m", "torque", 90000.0), ("18 bar", "pressure", 1.8), ("20 psi", "pressure", 0.13789514586336724),
    ("207 GPa", "pressure", 207000.0), ("2.5 deg", "angle", math.radians(2.5)), ("2.5°", "angle", math.radians(2.5)),
    ("54 min", "angle", math.radians(0.9)), ("0 deg 54 min", "angle", math.radians(0.9)),
    ("12° 30' 36″", "angle", math.radians(12.51)), ("-1 deg 30 min", "angle", math.radians(-1.5)),
    ("300 kW", "power", 300000.0), ("-40 degF", "temperature", 233.15), ("-40 °F", "temperature", 233.15),
    ("700 degC", "temperature", 973.15), ("700 ℃", "temperature", 973.15), ("700 deg C", "temperature", 973.15),
    ("40 degC", "temperature-difference", 40.0), ("9 degF", "temperature-difference", 5.0),
    ("3000 rpm", "rotation", 100 * math.pi), ("3000 1/min", "rotation", 100 * math.pi), ("60 mph", "speed", 26822.4),
    ("100 km/h", "speed", 100000 / 3.6), ("12.2e-6 /K", "expansion", 12.2e-6), ("12.2e-6 1/K", "expansion", 12.2e-6),
    ("12.2 um/(m K)", "expansion", 12.2e-6), ("12.2 µm/m/K", "expansion", 12.2e-6), ("4.10:1", "ratio", 4.1),
    ("41/10", "ratio", 4.1), ("41:10", "ratio", 4.1), ("4.1", "ratio", 4.1), ("6", "number", 6.0),
    ("35 %", "percent", 0.35), ("35 lb", "force", 155.6877565341175), ("35 lb", "mass", 15.87573295),
    ("54 min", "time", 3240.0), ("2000 N/mm", "stiffness", 2000.0), ("7850 kg/m³", "density", 7.85e-6),
    ("7850 kg/m^3", "density", 7.85e-6), ("2.3 kg/m", "mass-per-length", 0.0023), ("40 l/min", "volume-flow", 4e7 / 60),
    ("2.5 sq in", "area", 1612.9), ("3.0 l", "volume", 3e6), ("1 g", "mass", 0.001), ("1 g", "acceleration", 9806.65),
]


@pytest.mark.parametrize("typed, dimension, value", READ)
def test_read_as_people_write_it(typed: str, dimension: str, value: float) -> None:
    got = parse(typed, dimension)
    assert got.value == pytest.approx(value, rel=4e-16)
    assert (got.dimension, got.typed, got.suspicions) == (dimension, typed, ())


@pytest.mark.parametrize("typed, dimension", [
    ("35 ft-lb", "torque"), ("35 lb", "mass"), ("54 min", "time"), ("5'", "length"), ('3"', "length"),
    ("700 degC", "temperature"), ("300 K", "temperature"), ("0 deg 54 min", "angle"), ("4.10:1", "ratio"),
    ("3 g", "mass"), ("35 %", "percent"), ("3000 1/min", "rotation"),
])
def test_without_a_dimension_the_unit_says_it(typed: str, dimension: str) -> None:
    assert parse(typed).dimension == dimension


def test_every_dimension_reads_its_own_example() -> None:
    for dimension in DIMENSIONS.values():
        for example in dimension.example.split(" or "):
            assert parse(example, dimension.name).dimension == dimension.name


def test_a_bare_number_takes_the_default_unit_only() -> None:
    assert parse("612", "length", "mm").value == 612.0
    assert parse("3 1/2", "length", "in").value == 88.9
    assert parse("3 in", "length", "mm").value == 76.2
    with pytest.raises(UnitsError, match="a number without a unit"):
        parse("612", "length")
    with pytest.raises(UnitsError, match="'mm' measures a length"):
        parse("612", "angle", "mm")


SUSPECTED = [
    ("67,1 mm", 67.1, "the comma is read as a decimal point: 67.1"),
    ("0,125 in", 3.175, "the comma is read as a decimal point: 0.125"),
    ("3.16 in", 80.264, "3.16 in is on no tape: is it 3 1/16 in?"),
    ("3.116 in", 79.1464, "3.116 in is on no tape: is it 3 1/16 in?"),
    ("3.38 in", 85.852, "3.38 in is on no tape: is it 3 3/8 in?"),
    ("0.516 in", 13.1064, "0.516 in is on no tape: is it 5/16 in?"),
    ('5\' 3.716"', 1618.3864, "3.716 in is on no tape: is it 3 7/16 in?"),
    ("3 1/3 in", 25.4 * 10 / 3, "no tape is divided into parts of 1/3 in"),
    ('5\' 13"', 1854.2, "feet are followed by 12 or more inches"),
    ("1 deg 75 min", math.radians(2.25),
     "degrees are followed by 60 or more minutes, or minutes by 60 or more seconds"),
]


@pytest.mark.parametrize("typed, value, sentence", SUSPECTED)
def test_read_but_suspected_aloud(typed: str, value: float, sentence: str) -> None:
    got = parse(typed)
    assert got.value == pytest.approx(value, rel=1e-15)
    assert got.suspicions == (sentence,)


@pytest.mark.parametrize("typed", ["3.125 in", "3.5 in", "3.0625 in", "3.16 mm", "3.000 in", "2.160 in", "3 5/64 in",
                                   "0.065 in", "67 1/3 mm"])
def test_not_suspected(typed: str) -> None:
    assert parse(typed).suspicions == ()


REFUSED = [
    ("", None, "nothing typed"), ("   ", None, "nothing typed"), ("in", None, "no number where one should stand"),
    ("3 1/0 in", None, "a fraction over nought"), ("1/0", "ratio", None),
    ("1/2/3 in", None, "no unit is called '/2/3 in'"), ("3 1/2 in in", None, "no unit is called 'in in'"),
    ("3 in in", None, "no unit is called 'in in'"), ("0x10 mm", None, "no unit is called 'x10 mm'"),
    ("1e999 mm", None, "a power of ten beyond 30"), ("1e-999999999 mm", None, "a power of ten beyond 30"),
    ("nan mm", None, "no number where one should stand"), ("inf", None, "no number where one should stand"),
    ("3 -1/2 in", None, "two numbers where one should stand"),
    ("3 - 1/2 in", None, "two numbers where one should stand"),
    ("--3 mm", None, "no number where one should stand"), ("- 3 mm", None, "no number where one should stand"),
    ("٣ mm", None, r"the character '\u0663' is not read here"), ("３ mm", None, None),
    ("1,230 mm", None, "1,230 can be read in two ways"), ("1,230.5 mm", None, "1,230.5 is not one number"),
    ("1.230,5 mm", None, "1.230,5 is not one number"), ("1 230 mm", None, "two numbers where one should stand"),
    ("1.2.3 mm", None, "1.2.3 is not one number"), ("612", None, "a number without a unit"),
    ("3 4/4 in", None, "4/4 is one or more, so it cannot follow a whole number"),
    ("3 0/4 in", None, "0/4 is no fraction"), ("7/2 in", None, "a fraction of one or more"),
    ("5' 5/4\"", None, "a fraction of one or more"), ("12 furlong", None, "no unit is called 'furlong'"),
    ("35 mm", "angle", "'mm' measures a length"), ("5 kg", "force", "'kg' measures a mass"),
    ("3 gal", None, "'gal' is not read"), ("5 mPa", "pressure", "'mPa' is not read"), ("5 Mm", "length", None),
    ("5' 3", None, "no inch mark at the end"), ("5' 3 mm", None, "'mm' where the inch mark should stand"),
    ("5.5' 3\"", None, "inches after a broken number of feet"), ("5' -3\"", None, None),
    ("-300 degC", None, "below the absolute zero of temperature"), ("1234567890123456789 mm", None,
                                                                   "more than 18 digits in a row"),
    ("3 mm\x00", None, r"the character '\x00' is not read here"), ("0/5", "ratio",
                                                                  "both sides of a ratio must be above nought"),
    ("4:1:2", "ratio", "':2' follows the number"), ("4.1 mm", "number", "'mm' follows the number"),
    ("1.5 deg 3 min", "angle", "minutes after a broken number of degrees"), ("20 psig", "pressure", None),
    ("12 mm + 3 mm", None, None), ("__import__('os')", None, "no number where one should stand"),
    ("3 ⅓⅓ in", None, None),
]


@pytest.mark.parametrize("typed, dimension, problem", REFUSED)
def test_refused_in_words(typed: str, dimension: str | None, problem: str | None) -> None:
    with pytest.raises(UnitsError) as caught:
        parse(typed, dimension)
    if problem is not None:
        assert caught.value.problem == problem
    assert caught.value.expected.startswith(("a ", "an "))
    assert " such as " in caught.value.expected or "-273.15" in caught.value.expected


def test_refusals_in_full() -> None:
    with pytest.raises(UnitsError) as caught:
        parse("1,230 mm", "length")
    assert str(caught.value) == (
        "'1,230 mm': 1,230 can be read in two ways; expected a length such as 67.1 mm or 3 1/2 in; "
        "write 1230 if the comma parts thousands, or 1.230 if it is a decimal comma"
    )
    with pytest.raises(UnitsError) as caught:
        parse("7/2 in", "length")
    assert caught.value.mend == "write 3 1/2 in"
    with pytest.raises(UnitsError) as caught:
        parse("12 millimetrs", "length")
    assert caught.value.mend == "nearest known: mm, km"
    with pytest.raises(UnitsError) as caught:
        parse("12 D", "length")
    assert caught.value.mend == "known: mm, cm, m, km, um, in, ft, yd, mile, thou"
    with pytest.raises(UnitsError) as caught:
        parse("5 kg", "force")
    assert caught.value.mend == "write kgf for a force"


@pytest.mark.parametrize("typed", ["1" * 10_000, "3 " * 5_000, "mm" * 5_000, "1/" * 5_000, "-" * 10_000, "9" * 119,
                                   "1 " * 59, "," * 120, "1," * 60, "5'" * 60, "° " * 60, "3 " + "a-" * 59])
def test_long_texts_are_refused_at_once(typed: str) -> None:
    began = time.perf_counter()
    for read in (parse, parse_with_doubt):
        with pytest.raises(UnitsError) as caught:
            read(typed)
        assert len(str(caught.value)) < 400
    assert time.perf_counter() - began < 0.25


def test_what_is_no_text_is_refused() -> None:
    with pytest.raises(UnitsError, match="int is no text"):
        parse(612, "length")  # type: ignore[arg-type]


def test_a_word_is_kept_as_typed() -> None:
    got = parse(" pinned ", "text")
    assert (got.typed, got.dimension) == ("pinned", "text")
    assert math.isnan(got.value)


def test_an_unknown_dimension_is_a_fault_of_the_program() -> None:
    with pytest.raises(KeyError, match="no dimension is called 'lenght'"):
        parse("3 mm", "lenght")


DOUBTED = [
    ("1230 mm +- 3 mm", 1230.0, 3.0), ("1230±3 mm", 1230.0, 3.0), ("1230 mm +/- 3", 1230.0, 3.0),
    ("1230 mm give or take 3 mm", 1230.0, 3.0), ("1230 mm +- 1/8 in", 1230.0, 3.175), ('3 1/2" ± 1/16"', 88.9, 1.5875),
    ("-3 mm +-1 mm", -3.0, 1.0), ("12 mm +- 5 %", 12.0, 0.6), ("20 degC +- 2 degC", 293.15, 2.0),
    ("68 degF +- 9 degF", 293.15, 5.0), ("4.1:1 +- 0.1", 4.1, 0.1), ("35 % +- 2 %", 0.35, 0.02),
]


@pytest.mark.parametrize("typed, value, half", DOUBTED)
def test_give_or_take_is_a_95_percent_half_width(typed: str, value: float, half: float) -> None:
    got, sd = parse_with_doubt(typed)
    assert got.value == pytest.approx(value, rel=1e-14)
    assert got.typed == typed
    assert sd == pytest.approx(half / 1.96, rel=1e-12)


def test_no_give_or_take_is_none_not_nought() -> None:
    assert parse_with_doubt("1230 mm", "length")[1] is None


@pytest.mark.parametrize("typed", ["12 mm +- 0 mm", "12 mm +- -3 mm", "+- 3 mm", "12 mm +-", "1 mm +- 2 mm +- 3 mm",
                                   "12 +- 3", "12 mm +- 3 deg", "4 deg +- 3 mm"])
def test_bad_give_or_take_is_refused(typed: str) -> None:
    with pytest.raises(UnitsError):
        parse_with_doubt(typed)


@given(st.integers(0, 400), st.sampled_from(TAPE_DENOMINATORS), st.data(), st.booleans())
def test_every_tape_mark_in_every_spelling(whole: int, bottom: int, data: st.DataObject, minus: bool) -> None:
    top = data.draw(st.integers(1, bottom - 1))
    sign = "-" if minus else ""
    value = float((whole + Fraction(top, bottom)) * INCH) * (-1 if minus else 1)
    for text in (f"{whole} {top}/{bottom} in", f'{whole}-{top}/{bottom}"', f"{whole}  {top} / {bottom} inches"):
        got = parse(sign + text, "length")
        assert (got.value, got.suspicions) == (value, ())
    feet, inches = divmod(whole, 12)
    assert parse(f"{sign}{feet}' {inches} {top}/{bottom}\"", "length").value == value


@given(st.decimals(-99999, 99999, places=3, allow_nan=False), st.sampled_from(["mm", "N", "kg", "K", "W"]))
def test_a_decimal_in_the_internal_unit_is_the_nearest_float(number: object, unit: str) -> None:
    if unit == "K":
        number = abs(float(str(number)))
    assert parse(f"{number} {unit}").value == float(str(number))


@settings(max_examples=400, deadline=None)
@given(st.one_of(st.text(max_size=30), st.text("0123456789 /.-,'\"inmftdegslb:+eE°½%±*()^kKN", max_size=24)))
def test_any_text_is_read_or_refused_never_worse(text: str) -> None:
    for dimension in (None, "length", "angle", "ratio", "temperature"):
        try:
            got, sd = parse_with_doubt(text, dimension)
        except UnitsError:
            continue
        assert math.isfinite(got.value)
        assert sd is None or (math.isfinite(sd) and sd > 0.0)
