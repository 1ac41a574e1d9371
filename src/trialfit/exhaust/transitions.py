"""A cone to pipe of another size, ahead of the outlet or behind the tail: its sheet, and whether the gas follows it.

Left out: collars for the weld, and the stretch that rolling gives the sheet.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from trialfit.exhaust.chain import Chain
from trialfit.exhaust.pieces import Wrap
from trialfit.exhaust.wraps import cone_wrap
from trialfit.findings import Finding, Place, Verdict
from trialfit.geometry.solids import Frustum, Solid
from trialfit.standards import Rule, refuse_not_positive
from trialfit.standards.pipe_joints import transition_length

SAME_MM = 0.5
"""Pipes that differ by no more than this are butted without a cone [mm]; common practice, no source."""


@dataclass(frozen=True, slots=True, eq=False)
class ConeCut:
    """A cone as it is cut: where (``outlet`` or ``tail``), outside diameters of its two ends and its length along the
    axis [mm], its included angle [rad], and its paper."""

    name: str
    at: str
    pipe_mm: float
    far_mm: float
    wall_mm: float
    length_mm: float
    angle_rad: float
    paper: Wrap


def cone_cut(route: str, name: str, at: str, pipe_mm: float, far_mm: float, wall_mm: float, length_mm: float | None,
             lap_mm: float, most: Rule) -> ConeCut:
    """The figures and the paper of a cone.

    Parameters
    ----------
    route, name, at : str
        at is outlet or tail
    pipe_mm, far_mm : float
        outside diameters of the laid pipe and of the far end [mm]
    wall_mm : float
        of the cone's sheet [mm]
    length_mm : float or None
        along the axis; None takes the length at which it has the rule's angle [mm]
    lap_mm : float
        for the seam; 0 for a butted one [mm]
    most : Rule
        included angle [deg]

    Raises
    ------
    ValueError
        for ends of one size, a wall as thick as the pipe is wide, or a lap below 0

    Source: geometry.
    """
    refuse_not_positive(pipe=(pipe_mm, "mm"), far=(far_mm, "mm"), wall=(wall_mm, "mm"))
    small, large = min(pipe_mm, far_mm), max(pipe_mm, far_mm)
    if large - small < SAME_MM:
        raise ValueError(f"{name} goes from {pipe_mm:.1f} mm to {far_mm:.1f} mm, which is one size: butt the pipes")
    length = transition_length(small, large, math.radians(most.in_force.value)) if length_mm is None else length_mm
    refuse_not_positive(length=(length, "mm"))
    paper = cone_wrap(small - wall_mm, large - wall_mm, length, f"{route} {name}", lap_mm)
    return ConeCut(name, at, pipe_mm, far_mm, wall_mm, length, 2.0 * math.atan2(0.5 * (large - small), length), paper)


def cone_solid(cone: ConeCut, chain: Chain) -> Frustum:
    """The cone where it stands: ahead of the outlet or behind the tail of the laid pipe."""
    if cone.at == "tail":
        last = chain.elements[-1]
        start, end = last.end, last.end + cone.length_mm * last.way_out
        return Frustum(start, end, 0.5 * cone.pipe_mm, 0.5 * cone.far_mm)
    first = chain.elements[0]
    return Frustum(first.start - cone.length_mm * first.way_in, first.start, 0.5 * cone.far_mm, 0.5 * cone.pipe_mm)


def cone_mass_kg(cone: ConeCut, density_kg_m3: float) -> float:
    """Mass of its sheet [kg]; density in kg/m3."""
    slant = math.hypot(cone.length_mm, 0.5 * (cone.far_mm - cone.pipe_mm))
    area = math.pi * 0.5 * (cone.pipe_mm + cone.far_mm - 2.0 * cone.wall_mm) * slant
    return area * cone.wall_mm * density_kg_m3 * 1e-9


def cone_room_finding(route: str, cone: ConeCut, solid: Frustum, room: Callable[[Solid], float], mass_kg: float,
                      where: Place | None = None) -> Finding:
    """Whether the cone has room through the travel and stays off the ground.

    The doubt of the places is left out, and what a rule asks beside it: 0 mm is asked for here.

    Parameters
    ----------
    room : callable
        from a solid to the smallest gap to anything else [mm]
    """
    gap = room(solid)
    low = min(float(solid.start[2]) - solid.radius_start_mm, float(solid.end[2]) - solid.radius_end_mm)
    least = min(gap, low)
    words = ("reaches down to the ground" if low <= 0.0 else f"meets something by {-gap:.0f} mm" if gap <= 0.0 else
             "has nothing near it" if math.isinf(gap) else f"is {gap:.0f} mm clear of everything else")
    return Finding(f"exhaust.{route}.cone.{cone.at}.room", Verdict.FITS if least > 0.0 else Verdict.DOES_NOT_FIT,
                   f"{cone.name} {words}; its {mass_kg:.1f} kg are not counted in what the hangers carry",
                   "" if least > 0.0 else "make it shorter or narrower, or lay the pipe farther off",
                   least if math.isfinite(least) else None, None, "mm", source="geometry", where=where)


def cone_finding(route: str, cone: ConeCut, most: Rule, where: Place | None = None) -> Finding:
    """Whether the gas follows the cone's wall: its angle against the rule. A steeper one leads the gas as a step does,
    which costs pressure and no more; it is work, and does not stop the cut."""
    degrees = math.degrees(cone.angle_rad)
    spare = most.in_force.value - degrees
    words = (f"{cone.name} goes from {cone.pipe_mm:.1f} mm to {cone.far_mm:.1f} mm outside over "
             f"{cone.length_mm:.1f} mm: {degrees:.1f} deg included")
    small, large = min(cone.pipe_mm, cone.far_mm), max(cone.pipe_mm, cone.far_mm)
    longer = transition_length(small, large, math.radians(most.in_force.value))
    good = spare >= -1e-6
    return Finding(f"exhaust.{route}.cone.{cone.at}", Verdict.FITS if good else Verdict.FITS_AFTER_WORK, words,
                   "" if good else
                   f"make it {math.ceil(longer)} mm long where there is room: the gas leaves a steeper wall",
                   spare, None, "deg", most.name, most.in_force.source, where)
