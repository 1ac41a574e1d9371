"""Threads that strip: how much metal shears on bolt and nut, and how far to screw in so that the bolt breaks first."""

import math
from dataclasses import dataclass

from trialfit.standards import Thread, refuse_not_positive, refuse_outside, stress_area_mm2, thread_called
from trialfit.standards.thread_tolerances import ClassLimits, class_limits, usual_class
from trialfit.structure.bolt import CAUTION
from trialfit.sums import Ask, a_sum

_B1 = "ASME B1.1, appendix B, thread shear areas; FED-STD-H28"
_THREAD = Ask("thread", "text", "thread, such as M10, M10x1.25 or 7/16-20")
_LENGTH = Ask("length", "length", "length of full thread engaged, chamfers not counted")
_BOLT = Ask("bolt_tensile", "pressure", "tensile strength of the bolt")
_TAPPED = Ask("tapped_tensile", "pressure", "tensile strength of the nut or the tapped part")
_RATIO = Ask("shear_ratio", "ratio", "shear strength as a share of tensile strength", 0.5)


@dataclass(frozen=True, slots=True)
class Stripping:
    """Loads [N] at which an engaged thread gives way: the bolt breaks, its own thread strips, or that of the nut or
    tapped part does. ``first`` is the one that happens first, ``factor`` [-] how much later the threads strip than the
    bolt breaks, below 1 when they strip first."""

    breaks_n: float
    outside_strips_n: float
    inside_strips_n: float
    first: str
    factor: float


@a_sum(
    "bolt-strip-area",
    title="Metal that shears when a bolt's own thread strips",
    asks=(_THREAD, _LENGTH),
    gives="shear area of the external thread",
    dimension="area",
    unit="mm2",
    words="pi * length / pitch * D1max * (pitch / 2 + (d2min - D1max) / sqrt 3), limits by the thread's class",
    source=_B1,
    caution=CAUTION,
)
def bolt_strip_area(thread: str, length: float) -> float:
    """Least shear area [mm2] of the external thread over a length engaged.

    Every thread is taken as loaded alike: past about 1.5 diameters the far ones carry less (unsafe side).

    Raises
    ------
    ValueError
        for an unknown thread, or a length that is not positive

    Source: ASME B1.1, appendix B, thread shear areas; FED-STD-H28.

    >>> round(bolt_strip_area("M10", 10.0))
    156
    """
    refuse_not_positive(length=(length, "mm"))
    screw, bolt, nut = _limits(thread)
    pitch, bore = screw.pitch_mm, nut.crest_high_mm
    return math.pi * length / pitch * bore * (pitch / 2.0 + (bolt.pitch_low_mm - bore) / math.sqrt(3.0))


@a_sum(
    "nut-strip-area",
    title="Metal that shears when the thread of a nut or a tapped hole strips",
    asks=(_THREAD, _LENGTH),
    gives="shear area of the internal thread",
    dimension="area",
    unit="mm2",
    words="pi * length / pitch * dmin * (pitch / 2 + (dmin - D2max) / sqrt 3), limits by the thread's class",
    source=_B1,
    caution=CAUTION,
)
def nut_strip_area(thread: str, length: float) -> float:
    """Least shear area [mm2] of the internal thread over a length engaged.

    A thin nut opens under load and strips sooner: left out (unsafe side), see the proof load of the nut.

    Raises
    ------
    ValueError
        for an unknown thread, or a length that is not positive

    Source: ASME B1.1, appendix B, thread shear areas; FED-STD-H28.

    >>> round(nut_strip_area("M10", 10.0), 1)
    214.8
    """
    refuse_not_positive(length=(length, "mm"))
    screw, bolt, nut = _limits(thread)
    pitch, crest = screw.pitch_mm, bolt.crest_low_mm
    return math.pi * length / pitch * crest * (pitch / 2.0 + (crest - nut.pitch_high_mm) / math.sqrt(3.0))


def _limits(thread: str) -> tuple[Thread, ClassLimits, ClassLimits]:
    # bolt 6g in nut 6H, bolt 2A in nut 2B, as the trade's are made
    screw = thread_called(thread)
    bolt, nut = (class_limits(screw.name, usual_class(screw, internal)) for internal in (False, True))
    return screw, bolt, nut


def stripping(
    thread: str, length_mm: float, bolt_tensile_mpa: float, tapped_tensile_mpa: float, shear_ratio: float = 0.5
) -> Stripping:
    """What gives way first in an engaged thread of two metals.

    Both metals are taken at the same ratio of shear to tensile strength; cast iron is better than that (safe side).

    Parameters
    ----------
    thread : str
        designation
    length_mm : float
        full thread engaged [mm]
    bolt_tensile_mpa, tapped_tensile_mpa : float
        least tensile strength of bolt and of nut or tapped part [MPa]
    shear_ratio : float
        0.5 by the standard's factor of 2, up to 0.6 by handbooks [-]

    Returns
    -------
    Stripping

    Raises
    ------
    ValueError
        for an amount that is not positive, or a ratio outside 0.4 to 0.75

    Source: ASME B1.1, appendix B, thread shear areas; FED-STD-H28.

    >>> stripping("M10", 8.0, 800.0, 180.0).first
    "the tapped part's thread strips"
    """
    refuse_not_positive(bolt_tensile=(bolt_tensile_mpa, "MPa"), tapped_tensile=(tapped_tensile_mpa, "MPa"))
    refuse_outside("shear ratio", shear_ratio, 0.4, 0.75, "")
    breaks = stress_area_mm2(thread_called(thread)) * bolt_tensile_mpa
    outside = bolt_strip_area(thread, length_mm) * shear_ratio * bolt_tensile_mpa
    inside = nut_strip_area(thread, length_mm) * shear_ratio * tapped_tensile_mpa
    least = min(breaks, outside, inside)
    if least == breaks:
        first = "the bolt breaks"
    elif least == outside:
        first = "the bolt's thread strips"
    else:
        first = "the tapped part's thread strips"
    return Stripping(breaks, outside, inside, first, min(outside, inside) / breaks)


@a_sum(
    "bolt-stripping-factor",
    title="How much later the threads strip than the bolt breaks",
    asks=(_THREAD, _LENGTH, _BOLT, _TAPPED, _RATIO),
    gives="least load that strips a thread, over the load that breaks the bolt",
    dimension="ratio",
    unit="",
    words="shear ratio * the less of (bolt strip area * bolt tensile, nut strip area * tapped tensile) / "
    "(stress area * bolt tensile)",
    source=_B1,
    caution=CAUTION,
)
def bolt_stripping_factor(
    thread: str, length: float, bolt_tensile: float, tapped_tensile: float, shear_ratio: float
) -> float:
    """Factor [-] of the threads against the bolt; below 1 a thread strips before the bolt breaks.

    Source: ASME B1.1, appendix B, thread shear areas; FED-STD-H28.

    >>> round(bolt_stripping_factor("M10", 10.0, 800.0, 290.0, 0.5), 3)
    0.671
    """
    return stripping(thread, length, bolt_tensile, tapped_tensile, shear_ratio).factor


@a_sum(
    "thread-engagement-mixed",
    title="Least length engaged so that the bolt breaks before a thread strips, two metals",
    asks=(_THREAD, _BOLT, _TAPPED, _RATIO),
    gives="least length of full thread engaged",
    dimension="length",
    unit="mm",
    words="stress area * bolt tensile / (shear ratio * the lesser strip area per length * its tensile)",
    source=_B1,
    caution=CAUTION,
)
def thread_engagement_mixed(thread: str, bolt_tensile: float, tapped_tensile: float, shear_ratio: float) -> float:
    """Least length [mm] of full thread engaged so that the bolt breaks first, nut or tapped part of another metal.

    A length over 1.5 diameters is to be taken with care: the far threads carry less than reckoned (unsafe side).

    Raises
    ------
    ValueError
        for an unknown thread, an amount that is not positive, or a ratio outside 0.4 to 0.75

    Source: ASME B1.1, appendix B, thread shear areas; FED-STD-H28.

    >>> round(thread_engagement_mixed("M10", 800.0, 290.0, 0.5), 1)
    14.9
    """
    found = stripping(thread, 1.0, bolt_tensile, tapped_tensile, shear_ratio)
    return found.breaks_n / min(found.outside_strips_n, found.inside_strips_n)


def turns_engaged(thread: Thread, length_mm: float) -> float:
    """Turns [-] from the first bite to tight over a length engaged, as one counts them at the car.

    Raises
    ------
    ValueError
        for a negative length

    Source: ISO 261; ASME B1.1.

    >>> turns_engaged(thread_called("M12x1.5"), 12.0)
    8.0
    """
    refuse_outside("length", length_mm, 0.0, math.inf, "mm")
    return length_mm / thread.pitch_mm
