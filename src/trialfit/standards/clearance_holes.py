"""The hole a bolt goes through: fine, medium or coarse."""

from dataclasses import dataclass

from trialfit.standards.table import nearest, table
from trialfit.standards.threads import Thread, thread_called
from trialfit.sums import Ask, a_sum

FITS = ("fine", "medium", "coarse")
"""Fits of a clearance hole, in the words of ISO 273; the inch standard says close, normal, loose."""
GRADE = {"fine": "H12", "medium": "H13", "coarse": "H14"}
"""Tolerance zone of a clearance hole of each fit."""


@dataclass(frozen=True, slots=True)
class ClearanceHole:
    """Hole for a bolt of one diameter [mm], by fit."""

    bolt: str
    fine_mm: float
    medium_mm: float
    coarse_mm: float
    source: str

    def of(self, fit: str) -> float:
        """The hole of that fit [mm].

        Raises
        ------
        ValueError
            for another word
        """
        if fit not in FITS:
            raise ValueError(f"no clearance hole is called '{fit}'; known: {', '.join(FITS)}")
        return {"fine": self.fine_mm, "medium": self.medium_mm, "coarse": self.coarse_mm}[fit]


def clearance_hole(thread: Thread) -> ClearanceHole:
    """The hole for a bolt of that thread.

    Raises
    ------
    ValueError
        for a diameter that the table does not hold, naming those it does

    Source: ISO 273; ASME B18.2.8, as printed in Machinery's Handbook.

    >>> clearance_hole(thread_called("M10")).of("medium"), round(clearance_hole(thread_called("1/2-20")).fine_mm, 2)
    (11.0, 13.49)
    """
    name, unit, scale = ("iso_273", "mm", 1.0) if thread.system == "metric" else ("asme_b18_2_8", "in", 25.4)
    found = table(name)
    for row in found.rows:
        if abs(float(row[f"diameter_{unit}"]) * scale - thread.diameter_mm) < 1e-6:
            fine, medium, coarse = (float(row[f"{fit}_{unit}"]) * scale for fit in FITS)
            return ClearanceHole(row["bolt"], fine, medium, coarse, found.source)
    raise ValueError(f"no clearance hole is held for {thread.name}; {nearest(thread.name, found.keys())}")


@a_sum(
    "clearance-hole",
    title="Hole for a bolt to go through",
    asks=(
        Ask("thread", "text", "thread, such as M10 or 7/16-20"),
        Ask("fit", "text", "fine, medium or coarse", "medium", FITS),
    ),
    gives="diameter of the hole",
    dimension="length",
    unit="mm",
    words="looked up by the bolt's nominal diameter",
    source="ISO 273; ASME B18.2.8, as printed in Machinery's Handbook",
)
def clearance_hole_diameter(thread: str, fit: str) -> float:
    """Diameter [mm] of the hole for a bolt to go through; see :func:`clearance_hole`.

    Source: ISO 273; ASME B18.2.8, as printed in Machinery's Handbook.

    >>> clearance_hole_diameter("M12", "fine")
    13.0
    """
    return clearance_hole(thread_called(thread)).of(fit)
