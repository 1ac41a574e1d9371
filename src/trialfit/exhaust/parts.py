"""Rigid parts on a laid route: where each sits, and whether the straight it sits on is long enough."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.findings import Finding, Verdict
from trialfit.geometry.centreline import Legs
from trialfit.vehicle import Amount, LaidPart, RoutePlan

Floats = NDArray[np.float64]
Sizes = Mapping[str, tuple[float, float]]

BELLOWS = "bellows"
"""The kind of part that frees what lies before it from what lies behind."""

ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class PartSpot:
    """A part on its leg: ``start`` (3,) [mm] is the middle of its near end, ``along`` (3,) the unit way downstream,
    ``wide`` (3,) the unit way of its width, which is never less than its height here. ``number`` counts the route's
    parts from 0, ``leg`` its legs from 0."""

    part: LaidPart
    number: int
    leg: int
    start: Floats
    along: Floats
    wide: Floats
    length_mm: float
    width_mm: float
    height_mm: float
    clock_rad: float
    """turn of its width from level, right-handed about the way downstream [rad]"""

    @property
    def end(self) -> Floats:
        """Middle of its far end (3,) [mm]."""
        far: Floats = self.start + self.length_mm * self.along
        return far

    @property
    def start_mm(self) -> float:
        """From the leg's first point to the part's near end [mm]."""
        return self.part.start_mm


def wide_way(along: Floats, clock_rad: float) -> Floats:
    """Unit way (3,) of a part's width: level and square to ``along``, then turned by ``clock_rad`` [rad] right-handed
    about it. On a leg that stands upright, level has no meaning: the vehicle's y is taken."""
    level = np.array([-along[1], along[0], 0.0])
    size = float(np.linalg.norm(level))
    level = np.array([0.0, 1.0, 0.0]) if size < 1e-9 else level / size
    way: Floats = math.cos(clock_rad) * level + math.sin(clock_rad) * np.cross(along, level)
    return way


def spots_of(route: RoutePlan, points: Floats, sizes: Sizes) -> tuple[list[PartSpot], list[Finding]]:
    """Every part of a route whose points (n, 3) [mm] are known, and a finding for each that cannot be put there."""
    spots: list[PartSpot] = []
    untold: list[Finding] = []
    for number, part in enumerate(route.parts):
        name = f"exhaust.{route.name}.part.{number + 1}"
        if not 1 <= part.leg < len(points):
            untold.append(Finding(
                name, Verdict.DOES_NOT_FIT,
                f"{part.name} sits on leg {part.leg}, but the route has legs 1 to {len(points) - 1}",
                "count the legs from 1 at the outlet", where=part.where or route.where))
            continue
        measures = [_known(a, sizes) for a in (part.length, part.width, part.height)]
        if any(m is None for m in measures):
            gone = [a.size for a, m in zip((part.length, part.width, part.height), measures, strict=True) if m is None]
            untold.append(Finding(
                name, Verdict.CANNOT_TELL, f"{part.name} has the size '{gone[0]}', which is not measured",
                f"add a reading: size {gone[0]} ...", where=part.where or route.where))
            continue
        length, width, height = (float(m) for m in measures if m is not None)
        if not min(length, width, height) > 0.0:
            untold.append(Finding(
                name, Verdict.CANNOT_TELL, f"{part.name} needs a length, width and height of more than 0 mm",
                "measure it with a tape", where=part.where or route.where))
            continue
        first, second = points[part.leg - 1], points[part.leg]
        along = (second - first) / np.linalg.norm(second - first)
        upright = height > width
        clock = part.clock_rad + (math.pi / 2.0 if upright else 0.0)
        spots.append(PartSpot(part, number, part.leg - 1, first + part.start_mm * along, along,
                              wide_way(along, clock), length, max(width, height), min(width, height), clock))
    return spots, untold


def _known(amount: Amount, sizes: Sizes) -> float | None:
    if not amount.size:
        return amount.mm
    return sizes[amount.size][0] if amount.size in sizes else None


def part_findings(route: RoutePlan, spots: Sequence[PartSpot], shape: Legs) -> list[Finding]:
    """Whether each part lies between the bends at its leg's ends, and clear of the part before it on the leg."""
    back = np.concatenate(([0.0], shape.set_back_mm, [0.0]))
    rooms = {p.name: p.room_mm for p in route.wish.parts} if route.wish is not None else {}
    found: list[Finding] = []
    for spot in spots:
        asked = rooms.get(spot.part.name, 0.0)
        here, there = spot.start_mm, spot.start_mm + spot.length_mm
        last = float(shape.length_mm[spot.leg]) - float(back[spot.leg + 1])
        # what lies right before it: the bend, or another part of the same leg
        ends = [s.start_mm + s.length_mm for s in spots
                if s.leg == spot.leg and (s.start_mm, s.number) < (here, spot.number)]
        first = max([float(back[spot.leg]), *ends])
        before, after = here - first, last - there
        room = min(before, after)
        margin = room - asked
        margin = 0.0 if abs(margin) < ROUNDING_MM else margin
        side = "before" if before <= after else "behind"
        words = (f"{spot.part.name} on leg {spot.leg + 1} has {room:.1f} mm of straight {side} it"
                 + (f", {asked:g} mm asked for" if asked else ""))
        fits = margin >= 0.0
        found.append(Finding(
            f"exhaust.{route.name}.part.{spot.number + 1}", Verdict.FITS if fits else Verdict.DOES_NOT_FIT, words,
            "" if fits else f"move it by {-margin:.1f} mm along its leg, or make the leg longer",
            margin=float(margin), unit="mm", source="geometry, from memory", where=spot.part.where or route.where))
    return found

