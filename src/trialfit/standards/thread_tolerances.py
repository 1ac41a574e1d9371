"""Limits of a thread by its class: 6g and 6H, 2A and 2B.

Metric classes are looked up as printed, with the standard's formulas beside them as a check; unified ones are worked
by the standard's formulas, which is how that standard states them.
"""

import bisect
import math
import re
from dataclasses import dataclass

from trialfit.standards.table import table
from trialfit.standards.threads import Thread, thread_called
from trialfit.sums import Ask, a_sum

METRIC, UNIFIED = "ISO 965-1", "ASME B1.1"
UNIFIED_CLASSES = ("1A", "2A", "3A", "1B", "2B", "3B")
"""Classes of unified threads: A for the bolt, B for the nut."""
_CLASS = re.compile(r"(\d)([efghGH])(?:(\d)([efghGH]))?", re.ASCII)
_PITCH_SHARE = {3: 0.5, 4: 0.63, 5: 0.8, 6: 1.0, 7: 1.25, 8: 1.6}
_NUT_SHARE = {4: 0.85, 5: 1.06, 6: 1.32, 7: 1.7, 8: 2.12}
_CREST_SHARE = {4: 0.63, 5: 0.8, 6: 1.0, 7: 1.25, 8: 1.6}
_R40 = (
    1.0, 1.06, 1.12, 1.18, 1.25, 1.32, 1.4, 1.5, 1.6, 1.7, 1.8, 1.9, 2.0, 2.12, 2.24, 2.36, 2.5, 2.65, 2.8, 3.0,
    3.15, 3.35, 3.55, 3.75, 4.0, 4.25, 4.5, 4.75, 5.0, 5.3, 5.6, 6.0, 6.3, 6.7, 7.1, 7.5, 8.0, 8.5, 9.0, 9.5,
)  # fmt: skip
_RANGES = (0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45.0, 90.0, 180.0)


@dataclass(frozen=True, slots=True)
class ClassLimits:
    """Limits of one thread of one class [mm]; None where the standard sets none. Of a bolt the crest is the major
    diameter, of a nut the minor one; ``root_mm`` is the basic size of the other."""

    thread: str
    tolerance_class: str
    internal: bool
    crest_low_mm: float
    crest_high_mm: float
    pitch_low_mm: float
    pitch_high_mm: float
    root_mm: float
    source: str


def class_limits(designation: str, tolerance_class: str = "") -> ClassLimits:
    """Limits of a thread by its designation and class.

    Coatings, wear and errors of pitch and angle are left out; the standards take these into the pitch diameter's
    limits as a gauge sees them.

    Parameters
    ----------
    designation : str
        M10x1.25, 7/16-20
    tolerance_class : str
        6g, 4h, 4g6g, 6H, 2A, 3B; "" is the usual one of a bolt, 6g or 2A

    Raises
    ------
    ValueError
        for a thread or class that is not held, naming those that are

    Source: ISO 965-1; ASME B1.1.

    >>> bolt, nut = class_limits("M10", "6g"), class_limits("M10", "6H")
    >>> bolt.crest_low_mm, bolt.pitch_high_mm, bolt.pitch_low_mm, nut.pitch_high_mm
    (9.732, 8.994, 8.862, 9.206)
    >>> round(class_limits("1/2-20", "2B").pitch_high_mm / 25.4, 4)
    0.4731
    """
    thread = thread_called(designation)
    wanted = tolerance_class.strip() or ("6g" if thread.system == "metric" else "2A")
    return _metric(thread, wanted) if thread.system == "metric" else _unified(thread, wanted)


def usual_class(thread: Thread, internal: bool) -> str:
    """The class meant when nothing is said: 6g and 6H, 2A and 2B."""
    if thread.system == "metric":
        return "6H" if internal else "6g"
    return "2B" if internal else "2A"


def _metric(thread: Thread, wanted: str) -> ClassLimits:
    found = _CLASS.fullmatch(wanted)
    if not found or found[2].isupper() != (found[4] or found[2]).isupper():
        raise ValueError(f"'{wanted}' is no class of a metric thread; write 6g, 4h, 4g6g for a bolt, 6H for a nut")
    internal = found[2].isupper()
    pitch_grade, pitch_letter = int(found[1]), found[2]
    crest_grade, crest_letter = int(found[3] or found[1]), found[4] or found[2]
    crests = _crests(thread)
    diameters = _diameters(thread)
    width = _cell(diameters, f"{'nut2' if internal else 'td2'}_{pitch_grade}_um", wanted, thread)
    crest = _cell(crests, f"{'td1_' if internal else 'td'}{crest_grade}_um", wanted, thread)
    pitch_mm = thread.diameter_mm - 0.75 * math.sqrt(3.0) / 2.0 * thread.pitch_mm
    minor_mm = thread.diameter_mm - 1.25 * math.sqrt(3.0) / 2.0 * thread.pitch_mm
    at, crest_at = _deviation_um(crests, pitch_letter), _deviation_um(crests, crest_letter)
    # the standards print basic sizes to three places and add the deviations to these
    pitch_mm, minor_mm = round(pitch_mm, 3), round(minor_mm, 3)
    if internal:
        low, high = pitch_mm + at / 1e3, pitch_mm + (at + width) / 1e3
        crest_low, crest_high = minor_mm + crest_at / 1e3, minor_mm + (crest_at + crest) / 1e3
        root = thread.diameter_mm
    else:
        low, high = pitch_mm - (at + width) / 1e3, pitch_mm - at / 1e3
        crest_low, crest_high = thread.diameter_mm - (crest_at + crest) / 1e3, thread.diameter_mm - crest_at / 1e3
        root = minor_mm
    sizes = (crest_low, crest_high, low, high, root)
    return _limits(thread, wanted, internal, sizes, 3, METRIC)


def _limits(
    thread: Thread, wanted: str, internal: bool, sizes: tuple[float, ...], places: int, source: str
) -> ClassLimits:
    crest_low, crest_high, low, high, root = (round(size, places) for size in sizes)
    return ClassLimits(thread.name, wanted, internal, crest_low, crest_high, low, high, root, source)


def _deviation_um(crests: "dict[str, str]", letter: str) -> float:
    return 0.0 if letter in "hH" else float(crests[f"{letter.lower()}_um"])


def _cell(row: "dict[str, str]", column: str, wanted: str, thread: Thread) -> float:
    if row.get(column, "") == "":
        raise ValueError(f"class {wanted} is not held for {thread.name}; bolts have 4h, 6g and the like, nuts 6H")
    return float(row[column])


def _crests(thread: Thread) -> "dict[str, str]":
    for row in table("iso_965_crests").rows:
        if float(row["pitch_mm"]) == thread.pitch_mm:
            return dict(row)
    raise ValueError(f"no tolerances are held for a pitch of {thread.pitch_mm:g} mm ({thread.name})")


def _diameters(thread: Thread) -> "dict[str, str]":
    for row in table("iso_965_pitch_diameters").rows:
        inside = float(row["over_mm"]) < thread.diameter_mm <= float(row["to_mm"])
        if inside and float(row["pitch_mm"]) == thread.pitch_mm:
            return dict(row)
    raise ValueError(f"no tolerances are held for {thread.name}")


def pitch_tolerance_by_formula_um(diameter_mm: float, pitch_mm: float, grade: int, internal: bool) -> float:
    """Tolerance of the pitch diameter of a metric thread [um] by the standard's formula, to the nearest number of R40.

    A few printed values lie one step of R40 away; :func:`class_limits` goes by what is printed.

    Parameters
    ----------
    diameter_mm : float
        0.99 to 180 [mm]
    pitch_mm : float
        pitch [mm]
    grade : int
        3 to 8 for a bolt, 4 to 8 for a nut
    internal : bool
        a nut

    Raises
    ------
    ValueError
        for a diameter or grade out of range

    Source: ISO 965-1, annex with formulas, from memory.

    >>> pitch_tolerance_by_formula_um(10.0, 1.5, 6, False)
    132.0
    """
    shares = _NUT_SHARE if internal else _PITCH_SHARE
    if grade not in shares or not _RANGES[0] < diameter_mm <= _RANGES[-1]:
        raise ValueError("the formula holds for grades 3 to 8 (nuts 4 to 8) and 0.99 mm to 180 mm")
    at = bisect.bisect_left(_RANGES, diameter_mm)
    mean = math.sqrt(_RANGES[at - 1] * _RANGES[at])
    return _preferred(90.0 * pitch_mm**0.4 * mean**0.1 * shares[grade])


def crest_tolerance_by_formula_um(pitch_mm: float, grade: int, internal: bool) -> float:
    """Tolerance of the crest diameter of a metric thread [um] by the standard's formula, to the nearest of R40.

    Raises
    ------
    ValueError
        for a grade outside 4 to 8

    Source: ISO 965-1, annex with formulas, from memory.

    >>> crest_tolerance_by_formula_um(1.5, 6, False), crest_tolerance_by_formula_um(1.5, 6, True)
    (236.0, 300.0)
    """
    if grade not in _CREST_SHARE:
        raise ValueError("the formula holds for grades 4 to 8")
    if not internal:
        six = 180.0 * pitch_mm ** (2.0 / 3.0) - 3.15 / math.sqrt(pitch_mm)
    elif pitch_mm >= 1.0:
        six = 230.0 * pitch_mm**0.7
    else:
        six = 433.0 * pitch_mm - 190.0 * pitch_mm**1.22
    return _preferred(six * _CREST_SHARE[grade])


def _preferred(value: float) -> float:
    decade = 10.0 ** math.floor(math.log10(value))
    return round(min((*_R40, 10.0), key=lambda number: abs(number * decade - value)) * decade, 6)


def _unified(thread: Thread, wanted: str) -> ClassLimits:
    if wanted.upper() not in UNIFIED_CLASSES:
        raise ValueError(f"'{wanted}' is no class of a unified thread; known: {', '.join(UNIFIED_CLASSES)}")
    name = wanted.upper()
    d, p = thread.diameter_mm / 25.4, thread.pitch_mm / 25.4
    internal = name[1] == "B"
    base = _pitch_tolerance_in(thread)
    width = base * {"1A": 1.5, "2A": 1.0, "3A": 0.75, "1B": 1.95, "2B": 1.3, "3B": 0.975}[name]
    allowance = 0.3 * base if name in {"1A", "2A"} else 0.0
    pitch, minor = d - 0.64951905 * p, d - 1.08253175 * p
    if internal:
        low, high = pitch, pitch + width
        crest_low, crest_high, root = minor, minor + _nut_minor_tolerance_in(d, p, name), d
    else:
        low, high = pitch - allowance - width, pitch - allowance
        crest_high, root = d - allowance, minor
        crest_low = crest_high - (0.09 if name == "1A" else 0.06) * p ** (2.0 / 3.0)
    sizes = tuple(v * 25.4 for v in (crest_low, crest_high, low, high, root))
    return _limits(thread, name, internal, sizes, 4, UNIFIED)


def _pitch_tolerance_in(thread: Thread) -> float:
    """Class 2A; the length engaged is taken as the diameter for coarse and fine, nine pitches for the others."""
    d, p = thread.diameter_mm / 25.4, thread.pitch_mm / 25.4
    engaged = d if thread.series in {"coarse", "fine"} else 9.0 * p
    return float(0.0015 * d ** (1.0 / 3.0) + 0.0015 * math.sqrt(engaged) + 0.015 * p ** (2.0 / 3.0))


def _nut_minor_tolerance_in(d: float, p: float, name: str) -> float:
    small = 0.05 * math.pow(p, 2.0 / 3.0) + 0.03 * p / d - 0.002
    if name == "3B":
        least = 0.12 * p if p > 1.0 / 13.0 + 1e-9 else 0.23 * p - 1.5 * p * p
        return min(max(small, least), 0.394 * p)
    if d < 0.25 - 1e-9:
        return min(max(small, 0.25 * p - 0.4 * p * p), 0.394 * p)
    return 0.15 * p if p > 0.25 + 1e-9 else 0.25 * p - 0.4 * p * p


_WHICH = ("crest low", "crest high", "pitch low", "pitch high")


@a_sum(
    "thread-limit",
    title="Limit of a thread by its class",
    asks=(
        Ask("thread", "text", "thread, such as M10, M10x1.25 or 7/16-20"),
        Ask("tolerance_class", "text", "class, such as 6g, 6H, 2A, 2B"),
        Ask("limit", "text", "which limit; crest is a bolt's major, a nut's minor diameter", "pitch low", _WHICH),
    ),
    gives="limit",
    dimension="length",
    unit="mm",
    words="metric: basic size and deviation as printed; unified: pitch diameter tolerance 2A = 0.0015 d^(1/3) + "
    "0.0015 L^(1/2) + 0.015 p^(2/3) in inch, 3A 0.75 of it, 2B 1.3, 3B 0.975, allowance of 2A 0.3 of it",
    source="ISO 965-1; ASME B1.1",
)
def thread_limit(thread: str, tolerance_class: str, limit: str) -> float:
    """One limit [mm] of a thread; see :func:`class_limits`.

    Raises
    ------
    ValueError
        as :func:`class_limits`, and for another word for the limit

    Source: ISO 965-1; ASME B1.1.

    >>> thread_limit("M10", "6g", "pitch low")
    8.862
    """
    found = class_limits(thread, tolerance_class)
    sizes = dict(
        zip(_WHICH, (found.crest_low_mm, found.crest_high_mm, found.pitch_low_mm, found.pitch_high_mm), strict=True)
    )
    if limit not in sizes:
        raise ValueError(f"no limit is called '{limit}'; known: {', '.join(_WHICH)}")
    return sizes[limit]
