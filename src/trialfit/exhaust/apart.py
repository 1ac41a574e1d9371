"""The sections of an exhaust that come apart, and solids carried about: what a removal moves, and past what.

In: a chain; movers of the gap check with a pose of the axle. Out: convex solids in the vehicle's frame. Source:
geometry.
"""

import itertools
import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.chain import BEND, PIE_CUT, Element
from trialfit.geometry import Rigid, Span
from trialfit.geometry.solids import Box, Capsule, Frustum, Prism, Solid, TriangleMesh, cylinder
from trialfit.geometry.turning import turned_about

Floats = NDArray[np.float64]
Pose = tuple[Floats, Floats]
"""rotation (3, 3) and shift (3,) [mm] of a section from where it is fitted: ``p -> R p + t``"""

SAGITTA_MM = 1.0
"""How far a chord of a bend may leave its arc here [mm]; the sticks are made that much thicker."""
_CORNERS = 8


def section_solids(part: Sequence[Element], cut_start_mm: float = 0.0, cut_end_mm: float = 0.0) -> tuple[Solid, ...]:
    """A section as convex solids with flat ends: straights and parts as they are, bends as sticks.

    Sticks are as thick as the pipe and the sagitta of their chord, the edges of a flat muffler are drawn round from
    outside: both err to a smaller gap.

    Parameters
    ----------
    part : sequence of Element
    cut_start_mm, cut_end_mm : float
        taken off its ends, along the pipe [mm]

    Raises
    ------
    ValueError
        when nothing is left of it
    """
    solids: list[Solid] = []
    for k, element in enumerate(part):
        first, last = k == 0, k == len(part) - 1
        off_start, off_end = cut_start_mm if first else 0.0, cut_end_mm if last else 0.0
        if element.kind in (BEND, PIE_CUT):
            solids += _bend_solids(element, off_start, off_end, first, last)
            continue
        start = element.start + off_start * element.way_in
        end = element.end - off_end * element.way_out
        length = float((end - start) @ element.way_in)
        if length > 1e-3:
            solids.append(_straight_solid(element, start, end))
    if not solids:
        raise ValueError("nothing is left of a section once its ends are cut back")
    return tuple(solids)


def _straight_solid(element: Element, start: Floats, end: Floats) -> Solid:
    if not element.is_part or element.wide is None or element.width_mm <= element.height_mm:
        across = max(element.width_mm, element.height_mm) if element.is_part else element.outside_mm
        return cylinder(start, end, across / 2.0)
    up = np.cross(element.way_in, element.wide)
    radius, half = element.height_mm / 2.0, (element.width_mm - element.height_mm) / 2.0
    turn = (np.arange(_CORNERS) + 0.5) * (math.pi / _CORNERS) - math.pi / 2.0
    reach = radius / math.cos(math.pi / (2.0 * _CORNERS))
    side = half * element.wide + reach * (np.cos(turn)[:, None] * element.wide + np.sin(turn)[:, None] * up)
    middle = (start + end) / 2.0
    return Prism(np.vstack((middle + side, middle - side)), float(np.linalg.norm(end - start)))


def bend_points(element: Element) -> tuple[list[Floats], float]:
    """Points of a bend's chords, and by how much the pipe stands out of sticks of its own size [mm]."""
    axis = np.cross(element.way_in, element.way_out)
    size = float(np.linalg.norm(axis))
    if size < 1e-9:
        return [element.start, element.end], 0.0
    axis /= size
    radius, turn = element.radius_mm, element.turn_rad
    inward = np.cross(axis, element.way_in)
    centre = element.start + radius * inward
    widest = 2.0 * math.acos(max(1.0 - SAGITTA_MM / radius, 0.0))
    count = max(1, math.ceil(turn / widest))
    points = [centre + turned_about(element.start - centre, axis, turn * k / count) for k in range(count + 1)]
    off = radius * (1.0 - math.cos(turn / count / 2.0))
    if element.joints:
        # the mitres' corners stand outside the arc, by the axis and by the sharp outer edge
        grow = 1.0 / math.cos(turn / element.joints / 2.0) - 1.0
        off += (radius + element.outside_mm / 2.0) * grow
    return points, off


def _bend_solids(element: Element, off_start: float, off_end: float, first: bool, last: bool) -> list[Solid]:
    points, off = bend_points(element)
    thick = element.outside_mm / 2.0 + off
    sticks: list[Solid] = []
    pairs = list(itertools.pairwise(points))
    for k, (a, b) in enumerate(pairs):
        along = (b - a) / np.linalg.norm(b - a)
        at_start, at_end = first and k == 0, last and k == len(pairs) - 1
        a, b = a + (off_start if at_start else 0.0) * along, b - (off_end if at_end else 0.0) * along
        if float((b - a) @ along) <= 1e-3:
            continue
        # a ball end would stand out past the flat end of the section
        sticks.append(cylinder(a, b, thick) if at_start or at_end else Capsule(a, b, thick))
    return sticks


def posed(mover: Rigid | Span, pose: Sequence[float]) -> tuple[Solid, ...]:
    """Solids of a mover where they are at one pose (heave [mm], roll [rad], rock [rad]).

    Raises
    ------
    ValueError
        when the pose is outside the box of its path

    >>> posed(Rigid((Capsule([0, 0, 0], [0, 0, 5], 2.0),)), (0, 0, 0))[0].radius_mm
    2.0
    """
    at = (float(pose[0]), float(pose[1]), float(pose[2]))
    if isinstance(mover, Span):
        a = mover.a if mover.path_a is None else mover.path_a.move(mover.a, at)
        b = mover.b if mover.path_b is None else mover.path_b.move(mover.b, at)
        return (Capsule(a, b, mover.radius_mm),)
    if mover.path is None:
        return mover.solids
    turn, shift = mover.path.pose(*at)
    left, _, right = np.linalg.svd(turn)
    return tuple(moved(s, (left @ right, shift)) for s in mover.solids)


def moved(solid: Solid, pose: Pose) -> Solid:
    """A solid carried by a pose."""
    turn, shift = pose
    match solid:
        case Capsule():
            return Capsule(turn @ solid.start + shift, turn @ solid.end + shift, solid.radius_mm, solid.slack_mm)
        case Frustum():
            return Frustum(turn @ solid.start + shift, turn @ solid.end + shift, solid.radius_start_mm,
                           solid.radius_end_mm)
        case Box():
            return Box(turn @ solid.centre + shift, solid.half_mm, solid.axes @ turn.T)
        case Prism():
            return Prism(solid.corners @ turn.T + shift, solid.thickness_mm)
        case TriangleMesh():
            return TriangleMesh(solid.vertices @ turn.T + shift, solid.triangles)
