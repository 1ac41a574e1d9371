"""Fits of a shaft in a hole: tolerance zones such as H7 and g6, their limits, and what two of them do together.

The printed table is the authority where its rounding differs from the formula; :func:`grade_by_formula_um` and
:func:`deviation_by_formula_um` work the standard's formulas, so that the two can be held against one another.
"""

import math
import re
from dataclasses import dataclass

from trialfit.standards.ranges import refuse_outside
from trialfit.standards.table import table
from trialfit.sums import Ask, a_sum

SOURCE = "ISO 286-1"
LEAST_MM, MOST_MM = 1.0, 500.0
SHAFTS = ("c", "d", "e", "f", "g", "h", "js", "k", "m", "n", "p", "r", "s", "t", "u")
"""Letters of the shaft zones that are held; the hole zones are the same letters in capitals."""
GRADES = tuple(range(3, 17))
"""Tolerance grades that are held."""
_ZONE = re.compile(r"([A-Za-z]{1,2})(\d{1,2})", re.ASCII)
_FACTORS = {5: 7, 6: 10, 7: 16, 8: 25, 9: 40, 10: 64, 11: 100, 12: 160, 13: 250, 14: 400, 15: 640, 16: 1000}


@dataclass(frozen=True, slots=True)
class Fit:
    """A hole and a shaft of one nominal size: the least and the greatest clearance [mm], negative where they
    interfere, and ``kind``: clearance, transition or interference."""

    nominal_mm: float
    hole: str
    shaft: str
    least_mm: float
    most_mm: float

    @property
    def kind(self) -> str:
        """The standard's word for it."""
        if self.least_mm >= 0.0:
            return "clearance"
        return "interference" if self.most_mm <= 0.0 else "transition"


def fit_limits(nominal_mm: float, zone: str) -> tuple[float, float]:
    """Lower and upper deviation of a tolerance zone from the nominal size.

    Form, roughness and the error of the gauge are left out: a hole that is not round can pass and still bind.

    Parameters
    ----------
    nominal_mm : float
        1 to 500 [mm]
    zone : str
        letters and grade, capital for a hole: H7, g6, js9, P7

    Returns
    -------
    tuple of float
        lower and upper deviation [mm]

    Raises
    ------
    ValueError
        for a size out of range, or a zone that is not held, naming those that are

    Source: ISO 286-1, as printed in Machine Drawing.

    >>> fit_limits(67.1, "H7"), fit_limits(67.1, "h6"), fit_limits(20.0, "P7")
    ((0.0, 0.03), (-0.019, 0.0), (-0.035, -0.014))
    """
    letter, grade = _zone(zone)
    refuse_outside("nominal size", nominal_mm, LEAST_MM, MOST_MM, "mm")
    width = tolerance_um(nominal_mm, grade)
    if letter.lower() == "js":
        return -width / 2000.0, width / 2000.0
    if letter.islower():
        start = shaft_deviation_um(nominal_mm, letter, grade)
        low, high = (start - width, start) if letter <= "h" else (start, start + width)
    else:
        start = _hole_deviation_um(nominal_mm, letter, grade, zone)
        low, high = (start, start + width) if letter <= "H" else (start - width, start)
    return round(low / 1000.0, 6) + 0.0, round(high / 1000.0, 6) + 0.0


def limits(nominal_mm: float, zone: str) -> tuple[float, float]:
    """Least and greatest size of a tolerance zone [mm]; see :func:`fit_limits`.

    >>> limits(67.1, "h6")
    (67.081, 67.1)
    """
    low, high = fit_limits(nominal_mm, zone)
    return round(nominal_mm + low, 6), round(nominal_mm + high, 6)


def fit(nominal_mm: float, hole: str, shaft: str) -> Fit:
    """What a hole and a shaft of one nominal size do together.

    Parameters
    ----------
    nominal_mm : float
        1 to 500 [mm]
    hole, shaft : str
        zones: H7, g6

    Raises
    ------
    ValueError
        as :func:`fit_limits`, and when the first is no hole or the second no shaft

    Source: ISO 286-1.

    >>> fit(67.1, "H7", "h6").kind, fit(67.1, "H7", "p6").most_mm, fit(67.1, "H7", "k6").kind
    ('clearance', -0.002, 'transition')
    """
    if not hole.strip()[:1].isupper() or not shaft.strip()[:1].islower():
        raise ValueError(f"'{hole}' and '{shaft}' are no hole and shaft; write the hole in capitals: H7 and g6")
    hole_low, hole_high = fit_limits(nominal_mm, hole)
    shaft_low, shaft_high = fit_limits(nominal_mm, shaft)
    least, most = hole_low - shaft_high, hole_high - shaft_low
    return Fit(nominal_mm, hole, shaft, round(least, 6) + 0.0, round(most, 6) + 0.0)


def zones_for_clearance(
    nominal_mm: float, least_mm: float, most_mm: float, hole: str = "H7", grades: tuple[int, ...] = (6, 7, 8, 9)
) -> tuple[str, ...]:
    """Shaft zones that give a clearance within two bounds in a given hole, the widest tolerance first.

    Parameters
    ----------
    nominal_mm : float
        1 to 500 [mm]
    least_mm, most_mm : float
        clearance wanted on the diameter; negative for interference [mm]
    hole : str
        zone of the hole
    grades : tuple of int
        grades of shaft that can be made

    Returns
    -------
    tuple of str
        () when no zone held here does it

    Raises
    ------
    ValueError
        when the bounds are crossed, or as :func:`fit`

    Source: ISO 286-1.

    >>> zones_for_clearance(67.1, 0.0, 0.08)
    ('h8', 'g7', 'h7', 'f6', 'g6', 'h6')
    """
    if least_mm > most_mm:
        raise ValueError(f"the least clearance {least_mm:g} mm lies above the greatest {most_mm:g} mm")
    found = []
    for grade in sorted(grades, reverse=True):
        for letter in SHAFTS:
            try:
                made = fit(nominal_mm, hole, f"{letter}{grade}")
            except ValueError:
                # t below 24 mm and the like: the standard has no such zone; the hole itself is checked below
                fit_limits(nominal_mm, hole)
                continue
            if made.least_mm >= least_mm - 1e-9 and made.most_mm <= most_mm + 1e-9:
                found.append(f"{letter}{grade}")
    return tuple(found)


def tolerance_um(nominal_mm: float, grade: int) -> float:
    """Width of a standard tolerance grade [um] as printed; ``nominal_mm`` 1 to 500 [mm], ``grade`` 3 to 16.

    Raises
    ------
    ValueError
        for a size or grade out of range

    Source: ISO 286-1, as printed in Machine Drawing.

    >>> tolerance_um(67.1, 7), tolerance_um(80.0, 6), tolerance_um(80.1, 6)
    (30.0, 19.0, 22.0)
    """
    if grade not in GRADES:
        raise ValueError(f"tolerance grade {grade} is not held; grades {GRADES[0]} to {GRADES[-1]} are")
    return float(_step("iso_286_grades", nominal_mm)[f"it{grade}_um"])


def grade_by_formula_um(nominal_mm: float, grade: int) -> float:
    """Width of a standard tolerance grade 5 to 16 [um] by the standard's formula and rounding.

    The printed table departs from it in the smallest steps; :func:`tolerance_um` gives what is printed.

    Raises
    ------
    ValueError
        for a size or grade out of range

    Source: ISO 286-1; rule of rounding from memory.

    >>> grade_by_formula_um(67.1, 7), grade_by_formula_um(60.0, 9)
    (30.0, 74.0)
    """
    if grade not in _FACTORS:
        raise ValueError(f"no formula is held for grade {grade}; grades 5 to 16 have one")
    if grade > 11:
        return 10.0 * grade_by_formula_um(nominal_mm, grade - 5)
    mean = _mean_mm("iso_286_grades", nominal_mm)
    unit = 0.45 * mean ** (1.0 / 3.0) + 0.001 * mean
    return _rounded(_FACTORS[grade] * unit, ((100.0, 1.0), (200.0, 5.0), (500.0, 10.0)))


def shaft_deviation_um(nominal_mm: float, letter: str, grade: int) -> float:
    """Fundamental deviation of a shaft zone [um] as printed: the upper one for c to h, the lower one for k to u.

    Raises
    ------
    ValueError
        for a letter that is not held, or that the standard leaves empty at this size

    Source: ISO 286-1, as printed in Machine Drawing.
    """
    if letter == "h":
        return 0.0
    if letter == "k" and not 4 <= grade <= 7:
        return 0.0
    cell = _step("iso_286_deviations", nominal_mm).get(f"{letter}_um")
    if cell is None or letter not in SHAFTS:
        raise ValueError(f"shaft zone {letter}{grade} is not held; letters held: {', '.join(SHAFTS)}")
    if cell == "":
        raise ValueError(f"the standard has no shaft {letter} at {nominal_mm:g} mm")
    return float(cell)


def deviation_by_formula_um(nominal_mm: float, letter: str) -> float:
    """Fundamental deviation of a shaft c to u [um], before rounding, by the standard's formula.

    p and s have no single formula up to 50 mm (IT7 plus 0 to 5, IT8 plus 1 to 4) and are refused there.

    Raises
    ------
    ValueError
        for a size out of range or a letter without a formula

    Source: ISO 286-1, as printed in Machine Drawing, table 15.4.

    >>> round(deviation_by_formula_um(67.1, "f"), 1), round(deviation_by_formula_um(67.1, "n"), 1)
    (-30.1, 20.5)
    """
    mean = _mean_mm("iso_286_deviations" if letter in "crstu" else "iso_286_grades", nominal_mm)
    it6, it7 = tolerance_um(nominal_mm, 6), tolerance_um(nominal_mm, 7)
    if letter == "c":
        return -52.0 * mean**0.2 if mean <= 40.0 else -(95.0 + 0.8 * mean)
    simple: dict[str, float] = {
        "d": -16.0 * mean**0.44, "e": -11.0 * mean**0.41, "f": -5.5 * mean**0.41, "g": -2.5 * mean**0.34, "h": 0.0,
        "k": 0.6 * mean ** (1.0 / 3.0), "m": it7 - it6, "n": 5.0 * mean**0.34, "t": it7 + 0.63 * mean, "u": it7 + mean,
    }  # fmt: skip
    if letter in simple:
        return simple[letter]
    if letter == "s" and mean > 50.0:
        return it7 + 0.4 * mean
    if letter == "r":
        p, s = (shaft_deviation_um(nominal_mm, beside, 6) for beside in "ps")
        return math.sqrt(p * s)
    raise ValueError(f"no single formula is held for shaft {letter} at {nominal_mm:g} mm")


def _hole_deviation_um(nominal_mm: float, letter: str, grade: int, zone: str) -> float:
    """Lower deviation for C to H, upper one for K to U; for the latter the special rule with delta."""
    mirrored = letter.lower()
    if mirrored <= "h":
        return 0.0 - shaft_deviation_um(nominal_mm, mirrored, grade)
    ground = shaft_deviation_um(nominal_mm, mirrored, 6)
    small = nominal_mm <= 3.0
    if mirrored == "k" and grade > 8 and not small:
        raise ValueError(f"the standard has no hole {zone} over 3 mm; K goes up to grade 8")
    if mirrored == "m" and grade == 6 and 250.0 < nominal_mm <= 315.0:
        return -9.0
    if mirrored == "n" and grade > 8 and not small:
        return 0.0
    ruled = grade <= 8 if mirrored in "kmn" else grade <= 7
    if small or not ruled:
        return -ground
    return -ground + tolerance_um(nominal_mm, grade) - tolerance_um(nominal_mm, grade - 1)


def _zone(zone: str) -> tuple[str, int]:
    found = _ZONE.fullmatch(zone.strip())
    if not found:
        raise ValueError(f"'{zone}' is no tolerance zone; write H7 for a hole, g6 for a shaft")
    letter, grade = found[1], int(found[2])
    letter = letter.upper() if letter in {"JS", "Js"} else letter
    if letter.lower() not in SHAFTS or letter not in {letter.lower(), letter.upper()}:
        raise ValueError(f"tolerance zone '{zone}' is not held; letters held: {', '.join(SHAFTS)}, and in capitals")
    if grade not in GRADES or (grade == GRADES[0] and letter.isupper() and letter > "H"):
        raise ValueError(f"tolerance zone '{zone}' is not held; grades {GRADES[0]} to {GRADES[-1]} are")
    return letter, grade


def _step(name: str, nominal_mm: float) -> "dict[str, str]":
    refuse_outside("nominal size", nominal_mm, LEAST_MM, MOST_MM, "mm")
    for row in table(name).rows:
        if float(row["over_mm"]) < nominal_mm <= float(row["to_mm"]):
            return dict(row)
    raise ValueError(f"{name} has no step for {nominal_mm:g} mm")


def _mean_mm(name: str, nominal_mm: float) -> float:
    row = _step(name, nominal_mm)
    return math.sqrt(max(float(row["over_mm"]), 1.0) * float(row["to_mm"]))


def _rounded(value: float, steps: tuple[tuple[float, float], ...]) -> float:
    step = next((step for to, step in steps if value <= to), steps[-1][1])
    return float(math.floor(value / step + 0.5)) * step


_NOMINAL = Ask("nominal", "length", "nominal diameter, 1 mm to 500 mm")
_HOLE = Ask("hole", "text", "tolerance zone of the hole, such as H7", "H7")
_SHAFT = Ask("shaft", "text", "tolerance zone of the shaft, such as g6, h6, p6")


@a_sum(
    "fit-least-clearance",
    title="Least clearance of a fit",
    asks=(_NOMINAL, _HOLE, _SHAFT),
    gives="least clearance on the diameter, negative when they interfere",
    dimension="length",
    unit="mm",
    words="least hole - greatest shaft",
    source=SOURCE,
)
def fit_least_clearance(nominal: float, hole: str, shaft: str) -> float:
    """Least clearance [mm] of a fit on the diameter, negative when they interfere.

    Source: ISO 286-1.

    >>> fit_least_clearance(60.0, "H7", "h6")
    0.0
    """
    return fit(nominal, hole, shaft).least_mm


@a_sum(
    "fit-greatest-clearance",
    title="Greatest clearance of a fit",
    asks=(_NOMINAL, _HOLE, _SHAFT),
    gives="greatest clearance on the diameter, negative when they interfere",
    dimension="length",
    unit="mm",
    words="greatest hole - least shaft",
    source=SOURCE,
)
def fit_greatest_clearance(nominal: float, hole: str, shaft: str) -> float:
    """Greatest clearance [mm] of a fit on the diameter, negative when they interfere.

    Source: ISO 286-1.

    >>> fit_greatest_clearance(60.0, "H7", "h6")
    0.049
    """
    return fit(nominal, hole, shaft).most_mm


def _deviation(nominal: float, zone: str, end: int) -> float:
    return fit_limits(nominal, zone)[end]


_ANY = Ask("zone", "text", "tolerance zone: H7 for a hole, h6 for a shaft")


@a_sum(
    "fit-lower-deviation",
    title="Lower deviation of a tolerance zone",
    asks=(_NOMINAL, _ANY),
    gives="least size less nominal size",
    dimension="length",
    unit="mm",
    words="fundamental deviation and tolerance grade of the nominal size's step, as printed",
    source=SOURCE,
)
def fit_lower_deviation(nominal: float, zone: str) -> float:
    """Lower deviation [mm] of a tolerance zone; see :func:`fit_limits`.

    Source: ISO 286-1.
    """
    return _deviation(nominal, zone, 0)


@a_sum(
    "fit-upper-deviation",
    title="Upper deviation of a tolerance zone",
    asks=(_NOMINAL, _ANY),
    gives="greatest size less nominal size",
    dimension="length",
    unit="mm",
    words="fundamental deviation and tolerance grade of the nominal size's step, as printed",
    source=SOURCE,
)
def fit_upper_deviation(nominal: float, zone: str) -> float:
    """Upper deviation [mm] of a tolerance zone; see :func:`fit_limits`.

    Source: ISO 286-1.
    """
    return _deviation(nominal, zone, 1)


_INNER = Ask("inner", "length", "inner diameter of the inner part, 0 when it is solid", 0.0)
_JOINT = Ask("joint", "length", "diameter where the two meet")
_OUTER = Ask("outer", "length", "outer diameter of the outer part")
_INTERFERENCE = Ask("interference", "length", "interference on the diameter")
_E_OUTER = Ask("e_outer", "pressure", "Young's modulus of the outer part", 207000.0)
_E_INNER = Ask("e_inner", "pressure", "Young's modulus of the inner part", 207000.0)
_NU_OUTER = Ask("nu_outer", "ratio", "Poisson's ratio of the outer part", 0.292)
_NU_INNER = Ask("nu_inner", "ratio", "Poisson's ratio of the inner part", 0.292)
_RING = (_INTERFERENCE, _JOINT, _OUTER, _INNER, _E_OUTER, _E_INNER, _NU_OUTER, _NU_INNER)
_LAME = "Shigley's Mechanical Engineering Design, 9th ed., eq. 3-56"


@a_sum(
    "press-fit-pressure",
    title="Pressure between two rings pressed together",
    asks=_RING,
    gives="pressure between the two",
    dimension="pressure",
    unit="MPa",
    words="interference / (joint * ((outer^2 + joint^2) / (outer^2 - joint^2) + nu_outer) / e_outer + joint * "
    "((joint^2 + inner^2) / (joint^2 - inner^2) - nu_inner) / e_inner)",
    source=_LAME,
    caution="Never press, shrink or heat a ring onto a wheel hub or an axle shaft to make good a worn or wrong fit.",
)
def press_fit_pressure(
    interference: float, joint: float, outer: float, inner: float,
    e_outer: float, e_inner: float, nu_outer: float, nu_inner: float,
) -> float:  # fmt: skip
    """Pressure [MPa] between two rings of equal length pressed together, both elastic.

    Roughness, which flattens and takes some of the interference, and the end effects of unequal length are left out:
    the pressure errs high in the middle and low at the ends.

    Raises
    ------
    ValueError
        for sizes that are not inner < joint < outer, or an interference over 1 % of the joint

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 3-56.

    >>> round(press_fit_pressure(0.04, 50.0, 80.0, 0.0, 207e3, 207e3, 0.3, 0.3), 1)
    50.5
    """
    refuse_outside("joint", joint, 0.0, math.inf, "mm", open_low=True)
    if not 0.0 <= inner < joint < outer:
        raise ValueError(
            f"inner {inner:g} mm, joint {joint:g} mm and outer {outer:g} mm must grow in this order, inner 0 if solid"
        )
    refuse_outside("interference", interference, 0.0, joint / 100.0, "mm")
    for name, value in (("e_outer", e_outer), ("e_inner", e_inner)):
        refuse_outside(name, value, 100.0, 1e6, "MPa")
    for name, value in (("nu_outer", nu_outer), ("nu_inner", nu_inner)):
        refuse_outside(name, value, 0.0, 0.5, "")
    give = ((outer**2 + joint**2) / (outer**2 - joint**2) + nu_outer) / e_outer
    give += ((joint**2 + inner**2) / (joint**2 - inner**2) - nu_inner) / e_inner
    return interference / (joint * give)


@a_sum(
    "press-fit-hoop-stress",
    title="Hoop stress at the bore of a ring pressed on",
    asks=_RING,
    gives="tension round the bore of the outer part",
    dimension="pressure",
    unit="MPa",
    words="pressure between the two * (outer^2 + joint^2) / (outer^2 - joint^2)",
    source=_LAME,
)
def press_fit_hoop_stress(
    interference: float, joint: float, outer: float, inner: float,
    e_outer: float, e_inner: float, nu_outer: float, nu_inner: float,
) -> float:  # fmt: skip
    """Tension [MPa] round the bore of the outer part; it must stay well below yield, or the ring opens and is loose.

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 3-56.
    """
    pressure = press_fit_pressure(interference, joint, outer, inner, e_outer, e_inner, nu_outer, nu_inner)
    return pressure * (outer**2 + joint**2) / (outer**2 - joint**2)
