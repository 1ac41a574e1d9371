"""Tyres by the code on the sidewall."""

import math
import re
from dataclasses import dataclass

from trialfit.standards import refuse_not_positive, refuse_outside, table
from trialfit.sums import Ask, a_sum

CAUTION = (
    "A tyre's true size differs from its code by a few per cent with make, wear, pressure and load. Measure the "
    "mounted tyre for clearances, and never go below the load and speed marks the vehicle needs."
)
_METRIC = re.compile(
    r"(?P<use>P|LT|T)?(?P<width>\d{3})/(?P<aspect>\d{2,3})(?:[HSVYZ]?R|[DB]|-)(?P<rim>\d{2}(?:\.5)?)(?P<light>C|LT)?"
    r"(?P<service>\(?\d{2,3}(?:/\d{2,3})?[A-Z]\)?|\(\d{2,3}(?:/\d{2,3})?\)|\(?[VWYZ]\)?)?(?:XL|RF)?",
    re.ASCII,
)
_FLOTATION = re.compile(
    r"(?P<over>\d{2}(?:\.\d{1,2})?)X(?P<width>\d{1,2}\.\d{1,2}|\d{1,2})(?:R|-|B|D)(?P<rim>\d{2}(?:\.5)?)(?P<light>LT|C)?"
    r"(?P<service>\(?\d{2,3}(?:/\d{2,3})?[A-Z]\)?)?",
    re.ASCII,
)
_FORMS = "write it as on the sidewall: 225/45R17, P235/75R15 or 31x10.50R15"
_CODE = Ask("code", "text", "size code on the sidewall: 225/45R17, P235/75R15 or 31x10.50R15")
_LAYOUT = Ask("layout", "text", "radial, bias, or the bare circle", "radial", ("radial", "bias", "circle"))


@dataclass(frozen=True, slots=True)
class TyreSize:
    """What a size code says. ``aspect`` is None and ``overall_mm`` given for a code that starts with the diameter."""

    code: str
    width_mm: float
    aspect: int | None
    rim_code: float
    overall_mm: float | None


def tyre_size(code: str) -> TyreSize:
    """Read a size code; capitals, blanks, load index and speed letter do not matter.

    Parameters
    ----------
    code : str
        metric (width/aspect, rim) or flotation (diameter x width, rim, all in inches)

    Raises
    ------
    ValueError
        when it is neither, or a figure is outside what is made: width 125 to 395 mm, aspect 25 to 95, rim 10 to 26,
        flotation diameter 22 to 44 in and width 6 to 20 in

    Source: UN Regulation No. 30, for the metric code; from memory for the flotation code.

    >>> tyre_size("225/45 ZR17 94W").width_mm, tyre_size("31x10.50R15LT").overall_mm
    (225.0, 787.4)
    """
    text = re.sub(r"\s+", "", code).upper().replace("×", "X")
    if found := _METRIC.fullmatch(text):
        width, aspect = float(found["width"]), int(found["aspect"])
        refuse_outside(f"section width in '{code}'", width, 125.0, 395.0, "mm")
        if not 25 <= aspect <= 95:
            raise ValueError(f"aspect in '{code}' is {aspect}; it must lie between 25 and 95")
        return TyreSize(code, width, aspect, _rim(code, found["rim"]), None)
    if found := _FLOTATION.fullmatch(text):
        over, width = float(found["over"]) * 25.4, float(found["width"]) * 25.4
        rim = _rim(code, found["rim"])
        refuse_outside(f"diameter in '{code}'", over, 22.0 * 25.4, 44.0 * 25.4, "in")
        refuse_outside(f"width in '{code}'", width, 6.0 * 25.4, 20.0 * 25.4, "in")
        refuse_outside(f"diameter in '{code}'", over, rim * 25.4 + 50.0, math.inf, "in")
        return TyreSize(code, width, None, rim, over)
    raise ValueError(_why(code, text))


def _why(code: str, text: str) -> str:
    if re.fullmatch(r"(P|LT)?\d{3}(R|-)\d{2}C?", text):
        return f"tyre code '{code}' has no aspect ratio, so it does not tell the diameter; measure the tyre"
    if re.fullmatch(r"\d{1,2}\.\d{2}(R|-)\d{2}(\.5)?", text):
        return f"tyre code '{code}' has neither aspect ratio nor diameter; measure the tyre"
    if re.fullmatch(r"(P|LT|T)?\d{3}/\d{2,3}", text):
        return f"tyre code '{code}' has no rim diameter; {_FORMS}"
    return f"'{code}' is no tyre code; {_FORMS}"


def _rim(code: str, text: str) -> float:
    rim = float(text)
    if not 10.0 <= rim <= 26.0:
        raise ValueError(f"rim in '{code}' is {text}; it must lie between 10 and 26")
    return rim


@a_sum(
    "tyre-diameter",
    title="Outside diameter of a tyre from its size code",
    asks=(
        _CODE,
        Ask("rounding", "text", "none, or rounded as in UN R30's tables", "none", ("none", "un-r30")),
    ),
    gives="outside diameter, new and unloaded",
    dimension="length",
    unit="mm",
    words="rim code * 25.4 + 2 * width * aspect / 100; UN R30 rounds the section height and the rim to whole mm; "
    "a code such as 31x10.50R15 gives the diameter itself",
    source="UN Regulation No. 30, 6.1.2",
    caution=CAUTION,
)
def tyre_diameter(code: str, rounding: str) -> float:
    """Outside diameter [mm] of a tyre as its code says; make, wear, growth and load are left out (a few per cent).

    Parameters
    ----------
    code : str
        size code
    rounding : str
        ``none``, or ``un-r30`` for section height and nominal rim diameter in whole mm

    Raises
    ------
    ValueError
        for a code that cannot be read or does not tell the diameter; for UN R30, a rim code not in its table or a
        code that starts with the diameter

    Source: UN Regulation No. 30, 6.1.2.

    >>> round(tyre_diameter("225/45R17", "none"), 1), tyre_diameter("225/45R17", "un-r30")
    (634.3, 634.0)
    """
    size = tyre_size(code)
    if rounding not in {"none", "un-r30"}:
        raise ValueError(f"rounding is '{rounding}'; write none or un-r30")
    if size.aspect is None or size.overall_mm is not None:
        if rounding == "un-r30":
            raise ValueError(f"UN R30's rounding does not hold for '{code}', which starts with the diameter")
        return float(size.overall_mm or 0.0)
    if rounding == "un-r30":
        # whole numbers, so that a half goes up on every machine
        height = (round(size.width_mm) * size.aspect + 50) // 100
        return table("rim_codes_un_r30").number(f"{size.rim_code:g}", "rim_mm") + 2.0 * height
    return size.rim_code * 25.4 + 2.0 * size.width_mm * size.aspect / 100.0


@a_sum(
    "rolling-circumference",
    title="Distance a tyre rolls in one turn",
    asks=(Ask("diameter", "length", "outside diameter, new and unloaded"), _LAYOUT),
    gives="distance in one turn",
    dimension="length",
    unit="mm",
    words="3.05 * diameter for a radial tyre, 2.99 * diameter for a bias one, pi * diameter for the bare circle",
    source="ETRTO Standards Manual (from memory)",
    caution=CAUTION,
)
def rolling_circumference(diameter: float, layout: str) -> float:
    """Distance [mm] rolled in one turn at 60 km/h and rated load; within about 2 %, more on worn or soft tyres.

    Source: ETRTO Standards Manual (from memory).
    """
    refuse_outside("diameter", diameter, 300.0, 1500.0, "mm")
    factors = {"radial": 3.05, "bias": 2.99, "circle": math.pi}
    if layout not in factors:
        raise ValueError(f"layout is '{layout}'; write radial, bias or circle")
    return factors[layout] * diameter


@a_sum(
    "tyre-turns",
    title="Turns of a wheel for a distance",
    asks=(
        Ask("distance", "length", "distance driven"),
        Ask("circumference", "length", "distance rolled in one turn"),
    ),
    gives="turns",
    dimension="number",
    unit="",
    words="distance / circumference",
    source="geometry",
)
def tyre_turns(distance: float, circumference: float) -> float:
    """Turns [-] of a wheel over a distance, no slip."""
    refuse_not_positive(distance=(distance, "m"), circumference=(circumference, "mm"))
    return distance / circumference


@a_sum(
    "tyre-circumference-from-turns",
    title="Distance rolled in one turn from a count of turns",
    asks=(Ask("distance", "length", "distance driven"), Ask("turns", "number", "turns counted over it")),
    gives="distance in one turn",
    dimension="length",
    unit="mm",
    words="distance / turns",
    source="geometry",
)
def tyre_circumference_from_turns(distance: float, turns: float) -> float:
    """Distance [mm] in one turn, from turns counted over a measured distance: the honest way to know it."""
    refuse_not_positive(distance=(distance, "m"), turns=(turns, ""))
    return distance / turns


@a_sum(
    "section-width-on-rim",
    title="Section width of a tyre on another rim",
    asks=(
        Ask("width", "length", "section width on the measuring rim"),
        Ask("rim", "length", "width of the rim it goes on"),
        Ask("measuring_rim", "length", "width of the measuring rim of that size"),
    ),
    gives="section width",
    dimension="length",
    unit="mm",
    words="width + 0.4 * (rim - measuring rim)",
    source="UN Regulation No. 30, 6.1.1.1",
    caution=CAUTION,
)
def section_width_on_rim(width: float, rim: float, measuring_rim: float) -> float:
    """Section width [mm] on a rim wider or narrower than the measuring rim, up to 50 mm either way.

    Source: UN Regulation No. 30, 6.1.1.1.
    """
    refuse_not_positive(width=(width, "mm"), rim=(rim, "mm"), measuring_rim=(measuring_rim, "mm"))
    refuse_outside("rim less measuring rim", rim - measuring_rim, -50.0, 50.0, "mm")
    return width + 0.4 * (rim - measuring_rim)
