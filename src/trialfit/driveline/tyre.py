"""Tyres by the code on the sidewall."""

import math
import re
from dataclasses import dataclass

from trialfit.standards import Rule, Version, nearest, refuse_not_positive, refuse_outside, table
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
_CODE = Ask("code", "text", "size code on the sidewall: 225/45R17, P235/75R15, 31x10.50R15 or 6.70-15")
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
    "a code such as 31x10.50R15 gives the diameter itself; one such as 6.70-15 or 165R13 is looked up",
    source="UN Regulation No. 30, 6.1.2",
    caution=CAUTION,
)
def tyre_diameter(code: str, rounding: str) -> float:
    """Outside diameter [mm] of a tyre as its code says; make, wear, growth and load are left out (a few per cent).

    Parameters
    ----------
    code : str
        size code; an old one without aspect ratio is looked up, see :func:`old_code_diameter_mm`
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
    if rounding not in {"none", "un-r30"}:
        raise ValueError(f"rounding is '{rounding}'; write none or un-r30")
    plain = re.sub(r"\s+", "", code).upper()
    if _OLD.fullmatch(plain) or _LETTER.fullmatch(plain):
        return old_code_diameter_mm(code)[0]
    size = tyre_size(code)
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


_OLD = re.compile(
    r"(?P<size>\d{1,2}\.\d{2}|\d{3})(?P<layout>[HSV]?R|-)(?P<rim>\d{2})(?:C|LT)?(?:\d{2,3}[A-Z])?", re.ASCII
)
_LETTER = re.compile(r"[A-N](R|B)?\d{2}(-|R)?\d{2}")
_ROLL_SHARE = 0.01
"""standard deviation of a rule's distance in one turn, as a share: make, pressure, load and wear (from memory: the
standard itself lets it lie 2.5 % under and 1.5 % over)"""


@dataclass(frozen=True, slots=True)
class Tyre:
    """A fitted tyre as the gearing sees it: ``circumference_mm`` rolled in one turn, its standard deviation, and where
    it comes from. ``diameter_mm`` is the new unloaded diameter, None when only the rollout was measured; ``versions``
    holds what every rolling rule gives, that in force first."""

    code: str
    diameter_mm: float | None
    circumference_mm: float
    sd_mm: float
    origin: str
    versions: tuple[tuple[str, float], ...] = ()

    @property
    def radius_mm(self) -> float:
        """Rolling radius [mm]: distance in one turn over two pi."""
        return self.circumference_mm / (2.0 * math.pi)


def old_code_diameter_mm(code: str) -> tuple[float, str]:
    """Diameter [mm] and layout (``bias``, ``radial``) of a tyre whose code has no aspect ratio: 6.70-15, 7.50R16,
    165R13.

    Such a code does not tell the diameter, so it is looked up and never worked out; makes differ by 2 %.

    Raises
    ------
    ValueError
        when it is no such code, or a size that the table does not hold, naming the nearest

    Source: UN Regulation No. 30, annex II (from memory); UN Regulation No. 54, annex V (from memory).

    >>> old_code_diameter_mm("7.60-15"), old_code_diameter_mm("165 SR 13")
    ((742.0, 'bias'), (596.0, 'radial'))
    """
    text = re.sub(r"\s+", "", code).upper()
    if _LETTER.fullmatch(text):
        raise ValueError(f"tyre code '{code}' begins with a letter for its load, which tells no width; measure how far "
                         "the tyre rolls in one turn")  # fmt: skip
    found = _OLD.fullmatch(text)
    if not found:
        raise ValueError(f"'{code}' is no old tyre code; write it as on the sidewall: 6.70-15, 7.50R16 or 165R13")
    key = f"{found['size']}{'-' if found['layout'] == '-' else 'R'}{found['rim']}"
    rows = table("tyres_old_codes")
    known = rows.keys()
    if key not in known:
        raise ValueError(f"the table of old tyre codes does not hold '{code}' ({nearest(key, known)}); measure how far "
                         "the tyre rolls in one turn")  # fmt: skip
    return rows.number(key, "diameter_mm"), rows.row(key)["layout"]


def tyre_layout(code: str) -> str:
    """``bias`` or ``radial`` as the code says: a dash, D or B is bias, R is radial.

    Raises
    ------
    ValueError
        for a code of no known form

    >>> tyre_layout("31x10.50-15LT"), tyre_layout("225/45ZR17")
    ('bias', 'radial')
    """
    text = re.sub(r"\s+", "", code).upper().replace("×", "X")
    if _OLD.fullmatch(text):
        return "radial" if "R" in text else "bias"
    size = tyre_size(code)
    between = re.search(rf"([A-Z]+|-){size.rim_code:g}", text.rpartition("/")[2].rpartition("X")[2])
    return "radial" if between and between[1].endswith("R") else "bias"


def rolling_rule(layout: str, choice: str | None = None) -> Rule:
    """Every version of the rule from diameter to the distance in one turn, with that for the layout in force.

    Parameters
    ----------
    layout : str
        ``radial``, ``bias`` or ``circle``
    choice : str or None
        label of a version that the builder puts in force instead

    Raises
    ------
    ValueError
        for another layout, or a label that no version has

    Source: ETRTO Standards Manual (from memory).

    >>> rolling_rule("bias").in_force.value
    2.99
    """
    rows = table("tyre_rolling").rows
    versions = tuple(Version(r["label"], float(r["factor"]), "-", r["kind"], r["source"]) for r in rows)
    default = [v for v, r in zip(versions, rows, strict=True) if r["in_force"] == layout]
    if not default:
        raise ValueError(f"layout is '{layout}'; write radial, bias or circle")
    chosen = default[0]
    if choice is not None:
        same = [v for v in versions if " ".join(v.label.split()).casefold() == " ".join(choice.split()).casefold()]
        if not same:
            labels = "; ".join(v.label for v in versions)
            raise ValueError(f"the rolling rule has no version '{choice}'; known: {labels}")
        chosen = same[0]
    return Rule("tyre-rolling", "distance rolled in one turn over the outside diameter", versions, chosen)


def tyre_from_code(code: str, choice: str | None = None) -> Tyre:
    """The tyre that a size code promises, with its distance in one turn by every rule.

    Make, pressure, load, wear and growth with speed are left out: 2 % either way, which the standard deviation carries.

    Parameters
    ----------
    code : str
        metric (225/45R17), flotation (31x10.50R15) or old (6.70-15, 7.50R16, 165R13)
    choice : str or None
        label of the rolling rule's version to put in force; by the code's layout when None

    Raises
    ------
    ValueError
        for a code that cannot be read or looked up, or an unknown version

    Source: UN Regulation No. 30, 6.1.2; ETRTO Standards Manual (from memory).

    >>> [round(tyre_from_code(code).circumference_mm, 1) for code in ("225/45R17", "6.70-15")]
    [1934.6, 2122.9]
    """
    rolling = rolling_rule(tyre_layout(code), choice)
    diameter = tyre_diameter(code, "none")
    shown = sorted(rolling.versions, key=lambda v: v != rolling.in_force)
    mm = diameter * rolling.in_force.value
    return Tyre(code, diameter, mm, _ROLL_SHARE * mm, f"size code, {rolling.in_force.label}",
                tuple((v.label, diameter * v.value) for v in shown))  # fmt: skip


def tyre_from_rollout(
    distance_mm: float, turns: float, distance_sd_mm: float, turns_sd: float = 0.01, code: str = ""
) -> Tyre:
    """The tyre as it rolls: a distance on the floor for a count of turns, the vehicle's weight on it.

    Growth with speed is left out (under 1 % for a radial tyre, 2 to 3 % for a bias one at motorway speed: it then rolls
    further than measured).

    Parameters
    ----------
    distance_mm : float
        distance between the two chalk marks [mm]
    turns : float
        turns of the wheel over it, 0.5 or more [-]
    distance_sd_mm : float
        standard deviation of the distance [mm]
    turns_sd : float
        standard deviation of the turns: 0.01 is 3.6 deg of the wheel [-]
    code : str
        size code, for the answer's name

    Raises
    ------
    ValueError
        for an amount out of range, or a distance in one turn outside 900 to 4700 mm

    Source: geometry; GUM (JCGM 100:2008) 5.1.2.

    >>> round(tyre_from_rollout(10040.0, 5.0, 5.0).circumference_mm, 1)
    2008.0
    """
    refuse_not_positive(distance=(distance_mm, "mm"))
    refuse_outside("turns", turns, 0.5, 10000.0, "")
    refuse_outside("doubt of the distance", distance_sd_mm, 0.0, math.inf, "mm")
    refuse_outside("doubt of the turns", turns_sd, 0.0, 0.25, "")
    mm = distance_mm / turns
    refuse_outside("distance in one turn", mm, 900.0, 4700.0, "mm")
    sd = mm * math.hypot(distance_sd_mm / distance_mm, turns_sd / turns)
    return Tyre(code or "measured", None, mm, sd, f"measured rollout, {turns:g} turns")
