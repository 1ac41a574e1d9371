"""What a size on a drawing may be out by when it carries no tolerance of its own."""

import math

from trialfit.standards.ranges import refuse_outside
from trialfit.standards.table import table
from trialfit.sums import Ask, a_sum

SOURCE = "ISO 2768-1"
CLASSES = ("f", "m", "c")
"""Fine, medium, coarse."""
_CLASS = Ask("tolerance_class", "text", "f fine, m medium, c coarse", "m", CLASSES)


@a_sum(
    "general-tolerance",
    title="General tolerance of a length without its own",
    asks=(Ask("size", "length", "nominal size, 0.5 mm to 4 m"), _CLASS),
    gives="allowed either way",
    dimension="length",
    unit="mm",
    words="looked up by the step of the nominal size, never interpolated",
    source=SOURCE,
)
def general_tolerance(size: float, tolerance_class: str) -> float:
    """Deviation [mm] that a length may have either way when the drawing says ``ISO 2768-m`` or the like.

    Rounded corners and chamfers have a table of their own, which is left out.

    Parameters
    ----------
    size : float
        nominal size, 0.5 to 4000 [mm]
    tolerance_class : str
        f, m or c

    Raises
    ------
    ValueError
        for a size out of range, another class, or a step that the class does not have

    Source: ISO 2768-1.

    >>> general_tolerance(100.0, "m"), general_tolerance(120.0, "c"), general_tolerance(120.1, "f")
    (0.3, 0.8, 0.2)
    """
    refuse_outside("size", size, 0.5, 4000.0, "mm")
    _check(tolerance_class)
    for row in table("iso_2768_linear").rows:
        if float(row["over_mm"]) < size <= float(row["to_mm"]) or (size == 0.5 and row["over_mm"] == "0.5"):
            cell = row[f"{tolerance_class}_mm"]
            if cell == "":
                raise ValueError(f"class {tolerance_class} has no tolerance at {size:g} mm; it ends at 2000 mm")
            return float(cell)
    raise ValueError(f"the table has no step for {size:g} mm")


@a_sum(
    "general-tolerance-angle",
    title="General tolerance of an angle without its own",
    asks=(Ask("shorter_leg", "length", "length of the shorter leg of the angle"), _CLASS),
    gives="allowed either way",
    dimension="angle",
    unit="deg",
    words="looked up by the step of the shorter leg, never interpolated",
    source=SOURCE,
)
def general_tolerance_angle(shorter_leg: float, tolerance_class: str) -> float:
    """Deviation [rad] that an angle may have either way, by the length of its shorter leg [mm].

    Raises
    ------
    ValueError
        for a leg that is not positive, or another class

    Source: ISO 2768-1.

    >>> round(math.degrees(general_tolerance_angle(80.0, "m")) * 60.0, 3)
    20.0
    """
    refuse_outside("shorter leg", shorter_leg, 0.0, 1e6, "mm", open_low=True)
    _check(tolerance_class)
    for row in table("iso_2768_angular").rows:
        if float(row["over_mm"]) < shorter_leg <= float(row["to_mm"]):
            return math.radians(float(row[f"{tolerance_class}_arcmin"]) / 60.0)
    raise ValueError(f"the table has no step for {shorter_leg:g} mm")


def _check(tolerance_class: str) -> None:
    if tolerance_class not in CLASSES:
        raise ValueError(f"no general tolerance class is called '{tolerance_class}'; known: f, m, c")
