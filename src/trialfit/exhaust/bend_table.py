"""The same pipe for a shop with a bender: feed, rotation and bend angle, and the points they come from.

A bender takes plain tube, so whatever sits in the pipe (muffler, bellows, joint) ends one run of tube and begins the
next: each run has a table of its own. The bender holds the pipe, feeds a straight length, rotates it about its own
axis, and bends. Springback is the shop's to add: it hangs on the machine and on the batch of tube.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

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


NEAR_MM = 1e-3
"""A run of tube shorter than this is none [mm]: two parts touch there."""


class InThePipe(Protocol):
    """What takes the place of tube: its name, and the middles of its two faces (3,) [mm]."""

    @property
    def name(self) -> str: ...
    @property
    def start(self) -> Floats: ...
    @property
    def end(self) -> Floats: ...


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """The plainest of them."""

    name: str
    start: Floats
    end: Floats


@dataclass(frozen=True, slots=True, eq=False)
class TubeRun:
    """A run of tube that can be bent in one go, from what ends it ahead to what ends it behind.

    ``before`` and ``after`` are the names of the parts there, ``outlet`` and ``tail`` at the ends of the pipe.
    ``table`` has no rows for a straight run. ``bends`` counts those ahead of the run, so that its first is known on the
    route as bend ``bends + 1``. ``from_last_rad`` is how far the outside of its first bend lies round from that of the
    last bend of the runs ahead, right-handed about the way downstream, None where there is none; ``start`` and ``way``
    (3,) are where it begins and the way downstream there, ``normal`` (3,) the axis of its first bend, None without
    one.
    """

    number: int
    before: str
    after: str
    table: BenderTable
    bends: int
    from_last_rad: float | None
    start: Floats
    way: Floats
    normal: Floats | None

    @property
    def closes_mm(self) -> float:
        """How far the rows' own points stray from the run's, at most [mm]."""
        made = points_of(self.table, self.start, self.way, self.way if self.normal is None else self.normal)
        return float(np.linalg.norm(made - self.table.points, axis=1).max())


def tube_runs(line: Centreline, parts: Sequence[InThePipe]) -> tuple[TubeRun, ...]:
    """The runs of tube between the parts of a pipe, outlet to tail, each with its own table.

    Parameters
    ----------
    line : Centreline
    parts : sequence
        what sits in the pipe, in order, each on a straight of the line

    Raises
    ------
    ValueError
        for a part that lies on no straight of the line, in the order given

    Source: geometry.
    """
    left = list(parts)
    found: list[TubeRun] = []
    before, start, way = "outlet", line.stretches[0].start, line.tangent_at(0.0)
    points, rows, feed = [start], list[BenderRow](), 0.0
    first: Floats | None = None
    last: Floats | None = None
    ahead, turned = 0, None

    def ends(after: str, end: Floats) -> None:
        tube = math.fsum(r.feed_mm + r.bend_rad * r.radius_mm for r in rows) + feed
        if tube > NEAR_MM:
            table = BenderTable(tuple(rows), feed, tube, np.array([*points, end]))
            found.append(TubeRun(len(found) + 1, before, after, table, ahead, turned, start, way, first))

    for stretch in line.stretches:
        if isinstance(stretch, Straight):
            at, along = stretch.start, stretch.tangent_at(0.0)
            while left and _lies_on(left[0], at, along, stretch.end):
                part = left.pop(0)
                feed += float((part.start - at) @ along)
                ends(part.name, part.start)
                before, start, way, at = part.name, part.end, along, part.end
                ahead, turned, first = ahead + len(rows), None, None
                points, rows, feed = [start], [], 0.0
            feed += float((stretch.end - at) @ along)
            continue
        arc = stretch.arc if isinstance(stretch, Mitred) else stretch
        turn = 0.0 if last is None else math.atan2(float(np.cross(last, arc.normal) @ arc.along),
                                                   float(last @ arc.normal))
        if first is None:
            first, turned, turn = arc.normal, None if last is None else turn, 0.0
        rows.append(BenderRow(len(rows) + 1, feed, turn, arc.turn_rad, arc.radius_mm))
        points.append(arc.start + arc.radius_mm * math.tan(0.5 * arc.turn_rad) * arc.along)
        last, feed = arc.normal, 0.0
    if left:
        raise ValueError(f"{left[0].name} lies on no straight of the pipe, so its tube cannot be told from the rest")
    ends("tail", line.stretches[-1].end)
    return tuple(found)


def on_a_straight(line: Centreline, part: InThePipe) -> bool:
    """Whether a part lies on one of the straights of a line."""
    return any(_lies_on(part, s.start, s.tangent_at(0.0), s.end) for s in line.stretches if isinstance(s, Straight))


def _lies_on(part: InThePipe, at: Floats, along: Floats, end: Floats) -> bool:
    """Whether both faces of a part lie on what is left of a straight."""
    for face in (part.start, part.end):
        off = face - at
        here = float(off @ along)
        if float(np.linalg.norm(off - here * along)) > NEAR_MM:
            return False
        if not -NEAR_MM <= here <= float((end - at) @ along) + NEAR_MM:
            return False
    return True


def all_tube_mm(runs: Sequence[TubeRun]) -> float:
    """Tube in all runs together, parts left out [mm]."""
    return math.fsum(r.table.tube_mm for r in runs)


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
