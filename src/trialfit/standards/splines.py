"""Involute splines by their designation: pitch, diameters, and which pitch a measured shaft has."""

import re
from dataclasses import dataclass

from trialfit.standards.ranges import refuse_not_positive, refuse_outside
from trialfit.standards.table import nearest, table
from trialfit.sums import Ask, a_sum

_DIN = re.compile(r"([WN])\s*(\d+(?:\.\d+)?)\s*[x×]\s*(\d+(?:\.\d+)?)\s*[x×]\s*(\d+)", re.ASCII | re.IGNORECASE)
_LESS, _MORE = 0.03, 0.003
"""how far a real shaft lies under and over its basic major diameter, as a share [-]; common practice, no source"""
_LEAST_SHIFT, _MOST_SHIFT = -0.05, 0.45
_FORM = Ask("form", "text", "root and fit", "fillet root side fit", (
    "flat root side fit", "major diameter fit", "fillet root side fit", "fillet root 37.5 deg", "fillet root 45 deg",
))  # fmt: skip


@dataclass(frozen=True, slots=True)
class SplinePitch:
    """A pitch of a standard: its designation (``24/48``, ``m1.25``), ``system`` inch or metric, module [mm], and how
    its row is known."""

    name: str
    system: str
    module_mm: float
    status: str


@dataclass(frozen=True, slots=True)
class ReferenceSpline:
    """A spline named by its reference diameter (DIN 5480): shaft (``W``) or hub (``N``), sizes [mm], teeth, profile
    shift as a share of the module [-]. ``tip_mm`` is the shaft's major or the hub's minor diameter, ``root_mm`` the
    diameter at the bottom of its spaces."""

    name: str
    hub: bool
    reference_mm: float
    module_mm: float
    teeth: int
    shift: float
    tip_mm: float
    root_mm: float


def spline_pitch(designation: str) -> SplinePitch:
    """The pitch of that designation.

    Parameters
    ----------
    designation : str
        ``24/48`` (pitch over stub pitch, per inch) or ``m1.25`` (module in mm)

    Raises
    ------
    ValueError
        when it is no pitch of the two standards, naming the nearest

    Source: ANSI B92.1; ISO 4156.

    >>> spline_pitch("24 / 48").system, round(spline_pitch("24/48").module_mm, 4)
    ('inch', 1.0583)
    >>> spline_pitch("module 2").name
    'm2'
    """
    known = {p.name: p for p in listed_pitches()}
    text = re.sub(r"\s+", "", designation).lower().replace("module", "m")
    if re.fullmatch(r"m\d+(\.\d+)?", text, re.ASCII):
        text = f"m{float(text[1:]):g}"
    if text not in known:
        raise ValueError(f"'{designation}' is no spline pitch; write 24/48 or m1.25; {nearest(text, known)}")
    return known[text]


def listed_pitches() -> tuple[SplinePitch, ...]:
    """Every pitch of the packaged table."""
    rows = table("spline_pitches").rows
    return tuple(
        SplinePitch(r["pitch"], r["system"], 25.4 / float(r["per_inch"]) if r["per_inch"] else float(r["module_mm"]),
                    r["status"])
        for r in rows
    )  # fmt: skip


def reference_spline(designation: str) -> ReferenceSpline:
    """A spline of DIN 5480 from its designation.

    Tolerances are left out: a real shaft's tip is a little smaller, a real hub's bore a little bigger.

    Parameters
    ----------
    designation : str
        ``W30x2x14``: W shaft or N hub, reference diameter, module, teeth; a tolerance class after it is not read

    Raises
    ------
    ValueError
        when it cannot be read, or the three numbers do not belong together

    Source: DIN 5480; formulas from memory, one row of the standard's sheet seen.

    >>> s = reference_spline("DIN 5480 - W 30 x 2 x 14 x 8f")
    >>> s.tip_mm, s.root_mm, round(s.shift, 2)
    (29.6, 25.6, -0.05)
    """
    found = _DIN.search(designation)
    if found is None:
        raise ValueError(f"'{designation}' is no spline by reference diameter; write W30x2x14 or N30x2x14")
    hub, size, module, teeth = found[1].upper() == "N", float(found[2]), float(found[3]), int(found[4])
    shift = (size - 1.1 * module - module * teeth) / (2.0 * module)
    if not _LEAST_SHIFT - 1e-9 <= shift <= _MOST_SHIFT + 1e-9:
        raise ValueError(
            f"'{designation}': {size:g} mm, module {module:g} mm and {teeth} teeth do not belong together; "
            f"such a spline has {_teeth(size, module)} teeth"
        )
    tip, root = (size - 2.0 * module, size) if hub else (size - 0.2 * module, size - 2.2 * module)
    name = f"{'N' if hub else 'W'}{size:g}x{module:g}x{teeth}"
    return ReferenceSpline(name, hub, size, module, teeth, shift, tip, root)


def _teeth(size: float, module: float) -> str:
    span = size / module - 1.1
    fits = [z for z in range(1, 200) if _LEAST_SHIFT - 1e-9 <= (span - z) / 2.0 <= _MOST_SHIFT + 1e-9]
    return " or ".join(str(z) for z in fits) or "no whole number of"


def pitches_of(teeth: int, major_mm: float, sd_mm: float) -> tuple[SplinePitch, ...]:
    """Which pitches a shaft of that many teeth can have, by the diameter over its teeth, nearest first.

    A shaft is kept while it is at most 3 % under and 0.3 % over the basic major diameter (teeth + 1) * module, give or
    take twice the gauge's doubt. Splines by reference diameter (DIN 5480) are shifted and are not told by this.

    Parameters
    ----------
    major_mm, sd_mm : float
        diameter over the teeth and its standard deviation [mm]

    Raises
    ------
    ValueError
        for fewer than 4 teeth, or a size that is not positive

    Source: ANSI B92.1; the band is common practice, no source.

    >>> [p.name for p in pitches_of(31, 33.4, 0.05)]
    ['24/48']
    """
    refuse_outside("teeth", teeth, 4, 300, "")
    refuse_not_positive(major_diameter=(major_mm, "mm"))
    basic = [((teeth + 1) * p.module_mm, p) for p in listed_pitches()]
    kept = [
        (abs(major_mm / size - 1.0), p)
        for size, p in basic
        if (1.0 - _LESS) * size - 2.0 * sd_mm <= major_mm <= (1.0 + _MORE) * size + 2.0 * sd_mm
    ]
    return tuple(p for _, p in sorted(kept, key=lambda row: row[0]))


@a_sum(
    "spline-module",
    title="Module of a spline by its teeth and its outside",
    asks=(Ask("teeth", "number", "teeth, counted"), Ask("major", "length", "diameter over the shaft's teeth")),
    gives="module; 25.4 mm over it is the pitch per inch",
    dimension="length",
    unit="mm",
    words="major diameter / (teeth + 1)",
    source="ANSI B92.1, Involute Splines",
    caution="Holds for side-fit splines of 30 deg that were not cut down; a spline by reference diameter is shifted.",
)
def spline_module(teeth: float, major: float) -> float:
    """Module [mm] that a shaft's outside comes to; the nearest standard one is the shaft's, if it lies within 3 %.

    Source: ANSI B92.1, Involute Splines.

    >>> round(25.4 / spline_module(13, 22.225), 6)
    16.0
    """
    refuse_outside("teeth", teeth, 4, 300, "")
    refuse_not_positive(major_diameter=(major, "mm"))
    return major / (teeth + 1.0)


@a_sum(
    "spline-pitch-diameter",
    title="Pitch diameter of a spline",
    asks=(Ask("teeth", "number", "teeth, counted"), Ask("pitch", "text", "pitch such as 24/48, or module such as m2")),
    gives="pitch diameter",
    dimension="length",
    unit="mm",
    words="teeth / pitch, or teeth * module",
    source="ANSI B92.1, Involute Splines",
)
def spline_pitch_diameter(teeth: float, pitch: str) -> float:
    """Pitch diameter [mm] of a spline.

    Source: ANSI B92.1, Involute Splines.
    """
    refuse_outside("teeth", teeth, 4, 300, "")
    return teeth * spline_pitch(pitch).module_mm


@a_sum(
    "spline-shaft-major",
    title="Diameter over the teeth of a splined shaft",
    asks=(Ask("teeth", "number", "teeth, counted"), Ask("pitch", "text", "pitch such as 24/48"), _FORM),
    gives="basic major diameter of the shaft",
    dimension="length",
    unit="mm",
    words="(teeth + 1) / pitch",
    source="ANSI B92.1, Involute Splines",
)
def spline_shaft_major(teeth: float, pitch: str, form: str) -> float:
    """Basic diameter over a shaft's teeth [mm]; the fit and the maker take off up to 3 %.

    Source: ANSI B92.1, Involute Splines.
    """
    return _diameter(teeth, pitch, form, "major_shaft")


@a_sum(
    "spline-hub-minor",
    title="Bore between the teeth of a splined hub",
    asks=(Ask("teeth", "number", "teeth, counted"), Ask("pitch", "text", "pitch such as 24/48"), _FORM),
    gives="basic minor diameter of the hub",
    dimension="length",
    unit="mm",
    words="(teeth - 1) / pitch; (teeth - 0.8) / pitch for 37.5 and 45 deg",
    source="ANSI B92.1, Involute Splines",
)
def spline_hub_minor(teeth: float, pitch: str, form: str) -> float:
    """Basic bore between a hub's teeth [mm]; the bore tolerance comes on top.

    Source: ANSI B92.1, Involute Splines.

    >>> round(spline_hub_minor(13, "16/32", "fillet root side fit") / 25.4, 3)
    0.75
    """
    return _diameter(teeth, pitch, form, "minor_hub")


@a_sum(
    "spline-hub-major",
    title="Diameter at the bottom of a splined hub's spaces",
    asks=(Ask("teeth", "number", "teeth, counted"), Ask("pitch", "text", "pitch such as 24/48"), _FORM),
    gives="basic major diameter of the hub",
    dimension="length",
    unit="mm",
    words="(teeth + 1.35) / pitch flat root, (teeth + 1.8) / pitch fillet root",
    source="ANSI B92.1, Involute Splines",
)
def spline_hub_major(teeth: float, pitch: str, form: str) -> float:
    """Basic diameter at the bottom of a hub's spaces [mm].

    Source: ANSI B92.1, Involute Splines.
    """
    return _diameter(teeth, pitch, form, "major_hub")


def _diameter(teeth: float, pitch: str, form: str, column: str) -> float:
    refuse_outside("teeth", teeth, 4, 300, "")
    found, row = spline_pitch(pitch), table("splines_ansi_b92_1").row(form)
    if found.system != "inch":
        raise ValueError(f"{found.name} is a metric module; these diameters are those of the inch standard")
    per_inch = 25.4 / found.module_mm
    refuse_outside("pitch", per_inch, float(row["coarsest"]), float(row["finest"]), "")
    return (teeth + float(row[column])) * found.module_mm
