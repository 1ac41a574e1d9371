"""The same pipe for a shop with a bender: feed, rotation and bend angle, and the points they come from.

The bender holds the pipe, feeds a straight length, rotates it about its own axis, and bends. Springback is the shop's
to add: it hangs on the machine and on the batch of tube.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trialfit.geometry.centreline import Centreline, Mitred, Straight, centreline
from trialfit.geometry.turning import turned_about

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class BenderRow:
    """One bend: the straight fed before it, from tangent point to tangent point [mm]; the turn of the pipe about its
    own axis since the bend before, right-handed about the feed, -pi to pi (0 for the first); its angle [rad] and
    centre-line radius [mm]."""

    number: int
    feed_mm: float
    rotation_rad: float
    bend_rad: float
    radius_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class BenderTable:
    """Rows from the outlet on, the straight behind the last bend, the tube it takes, and the points (n, 3) [mm] where
    the straights meet, ends included."""

    rows: tuple[BenderRow, ...]
    last_mm: float
    tube_mm: float
    points: Floats


def bender_table(line: Centreline) -> BenderTable:
    """The table of a centre line; a pie-cut bend stands in it as the smooth bend in whose place it is.

    Raises
    ------
    ValueError
        for a line without any bend

    Source: geometry.
    """
    if not line.bends:
        raise ValueError("a straight pipe has no bends to put into a table")
    rows: list[BenderRow] = []
    feed = 0.0
    normal: Floats | None = None
    points = [line.stretches[0].start]
    for stretch in line.stretches:
        if isinstance(stretch, Straight):
            feed += stretch.length_mm
            continue
        arc = stretch.arc if isinstance(stretch, Mitred) else stretch
        turn = 0.0
        if normal is not None:
            along = arc.along
            turn = math.atan2(float(np.cross(normal, arc.normal) @ along), float(normal @ arc.normal))
        rows.append(BenderRow(len(rows) + 1, feed, turn, arc.turn_rad, arc.radius_mm))
        reach = arc.radius_mm * math.tan(0.5 * arc.turn_rad)
        points.append(arc.start + reach * arc.along)
        normal, feed = arc.normal, 0.0
    points.append(line.stretches[-1].end)
    tube = math.fsum(r.feed_mm + r.bend_rad * r.radius_mm for r in rows) + feed
    return BenderTable(tuple(rows), feed, tube, np.array(points))


def points_of(table: BenderTable, start: ArrayLike, way: ArrayLike, first_normal: ArrayLike) -> Floats:
    """The points (n, 3) [mm] that the rows lead to from an outlet: what a shop's machine would make of them.

    Parameters
    ----------
    start, way : array_like, shape (3,)
        outlet [mm] and the way downstream there
    first_normal : array_like, shape (3,)
        axis of the first bend, right-handed about its turn

    Source: geometry.
    """
    here = np.asarray(start, dtype=np.float64)
    along = np.asarray(way, dtype=np.float64) / np.linalg.norm(way)
    normal = np.asarray(first_normal, dtype=np.float64) / np.linalg.norm(first_normal)
    points = [here]
    for row in table.rows:
        normal = turned_about(normal, along, row.rotation_rad)
        reach = row.radius_mm * math.tan(0.5 * row.bend_rad)
        corner = here + (row.feed_mm + reach) * along
        points.append(corner)
        along = turned_about(along, normal, row.bend_rad)
        here = corner + reach * along
    points.append(here + table.last_mm * along)
    return np.array(points)


def closes_mm(table: BenderTable, line: Centreline) -> float:
    """How far the rows' own points stray from the line's, at most [mm]."""
    made = points_of(table, line.stretches[0].start, line.tangent_at(0.0), line.bends[0].normal)
    return float(np.linalg.norm(made - table.points, axis=1).max())



def from_points(points: Sequence[Sequence[float]], radii_mm: Sequence[float]) -> BenderTable:
    """The table of the corners a person measured: outlet, corners, end, and a radius for every corner.

    Raises
    ------
    trialfit.geometry.centreline.CentrelineError
        when the corners cannot be joined
    ValueError
        for fewer than three points
    """
    if len(points) < 3:
        raise ValueError("a bend needs three points: before, corner, after")
    return bender_table(centreline(points, radii_mm))
