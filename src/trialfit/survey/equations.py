"""What each reading would be, were the hardpoints where they are supposed to be; with derivatives.

Unknowns stand in one row: x, y, z of each hardpoint, then the sizes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trialfit.survey.observations import Observation
from trialfit.vehicle import ReadingKind

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

AXIS = {ReadingKind.STATION: 0, ReadingKind.OFFSET: 1, ReadingKind.HEIGHT: 2}
_LEAST = 1e-6
"""Shortest line that still has a direction [mm]."""


@dataclass(frozen=True, slots=True, eq=False)
class Equations:
    """Readings sorted by kind, with the places of their unknowns."""

    width: int
    value: Floats
    sd: Floats
    direct: Ints
    """rows of readings of one unknown alone"""
    direct_at: Ints
    tape: Ints
    tape_at: Ints
    slope: Ints
    slope_at: Ints
    cross: Ints
    cross_at: Ints

    def model(self, unknowns: Floats) -> tuple[Floats, Any]:
        """Computed readings (m,) and their derivatives (m, width), sparse."""
        from scipy.sparse import csr_matrix

        computed, rows, columns, values = self._parts(unknowns)
        return computed, csr_matrix((values, (rows, columns)), shape=(self.value.size, self.width))

    def computed(self, unknowns: Floats) -> Floats:
        """Computed readings (m,) alone."""
        return self._parts(unknowns)[0]

    def _parts(self, unknowns: Floats) -> tuple[Floats, Ints, Ints, Floats]:
        computed = np.zeros(self.value.size)
        rows: list[Ints] = [self.direct]
        columns: list[Ints] = [self.direct_at]
        values: list[Floats] = [np.ones(self.direct.size)]
        computed[self.direct] = unknowns[self.direct_at]

        def put(which: Ints, first: Ints, gradient: Floats) -> None:
            rows.append(np.repeat(which, 3))
            columns.append((first[:, None] + np.arange(3)).ravel())
            values.append(gradient.ravel())

        if self.tape.size:
            a, b = self.tape_at.T
            line, length, unit = _line(unknowns, a, b)
            computed[self.tape] = length
            put(self.tape, a, -unit)
            put(self.tape, b, unit)
        if self.slope.size:
            a, b = self.slope_at.T
            line, length, unit = _line(unknowns, a, b)
            flat = np.maximum(np.hypot(line[:, 0], line[:, 1]), 1e-3)
            computed[self.slope] = np.arctan2(line[:, 2], flat)
            gradient = -unit * (line[:, 2] / (length * flat))[:, None]
            gradient[:, 2] += 1.0 / flat
            put(self.slope, a, -gradient)
            put(self.slope, b, gradient)
        if self.cross.size:
            a, b, c, d = self.cross_at.T
            _, first, u = _line(unknowns, a, b)
            _, second, v = _line(unknowns, c, d)
            cosine = np.sum(u * v, axis=1)
            sine = np.linalg.norm(np.cross(u, v), axis=1)
            between = np.arctan2(sine, cosine)
            # lines have no arrow: of the two angles they make, the one nearer the reading is meant
            seen = self.value[self.cross]
            turned = np.abs(seen - (np.pi - between)) < np.abs(seen - between)
            sign = np.where(turned, -1.0, 1.0)
            computed[self.cross] = np.where(turned, np.pi - between, between)
            slope = (-sign / np.maximum(sine, 1e-6))[:, None]
            by_u = slope * (v - cosine[:, None] * u) / first[:, None]
            by_v = slope * (u - cosine[:, None] * v) / second[:, None]
            for at, gradient in ((a, -by_u), (b, by_u), (c, -by_v), (d, by_v)):
                put(self.cross, at, gradient)
        return computed, np.concatenate(rows), np.concatenate(columns), np.concatenate(values)

    def only(self, keep: NDArray[np.bool_]) -> "Equations":
        """The same unknowns, with those readings alone that ``keep`` (m,) marks."""
        number = np.cumsum(keep) - 1

        def some(rows: Ints, at: Ints) -> tuple[Ints, Ints]:
            kept = keep[rows]
            return number[rows[kept]], at[kept]

        parts = [
            piece for rows, at in (
                (self.direct, self.direct_at), (self.tape, self.tape_at), (self.slope, self.slope_at),
                (self.cross, self.cross_at),
            ) for piece in some(rows, at)
        ]
        return Equations(self.width, self.value[keep], self.sd[keep], *parts)


def equations(observations: Sequence[Observation], names: Sequence[str], sizes: Sequence[str]) -> Equations:
    """Set up the equations of ``observations`` on hardpoints ``names`` and ``sizes``.

    Parameters
    ----------
    observations : sequence of Observation
        all their hardpoints and sizes must be among the names
    names, sizes : sequence of str
        order of the unknowns

    Raises
    ------
    KeyError
        an observation names something else
    """
    point = {name: 3 * i for i, name in enumerate(names)}
    size = {name: 3 * len(names) + i for i, name in enumerate(sizes)}
    rows: dict[str, list[int]] = {"direct": [], "tape": [], "slope": [], "cross": []}
    at: dict[str, list[Any]] = {"direct": [], "tape": [], "slope": [], "cross": []}
    for row, o in enumerate(observations):
        if o.kind is ReadingKind.SIZE:
            sort, place = "direct", size[o.size]
        elif o.kind in AXIS:
            sort, place = "direct", point[o.points[0]] + AXIS[o.kind]
        else:
            sort = "tape" if o.kind is ReadingKind.TAPE else "slope" if len(o.points) == 2 else "cross"
            place = [point[p] for p in o.points]  # type: ignore[assignment]
        rows[sort].append(row)
        at[sort].append(place)

    def whole(sort: str, across: int) -> tuple[Ints, Ints]:
        where = np.array(at[sort], dtype=np.int64)
        return np.array(rows[sort], dtype=np.int64), where.reshape(-1, across) if across > 1 else where

    return Equations(
        3 * len(names) + len(sizes), np.array([o.value for o in observations], dtype=float),
        np.array([o.sd for o in observations], dtype=float),
        *whole("direct", 1), *whole("tape", 2), *whole("slope", 2), *whole("cross", 4),
    )


def _line(unknowns: Floats, a: Ints, b: Ints) -> tuple[Floats, Floats, Floats]:
    """Line from point at ``a`` to point at ``b``: vector, length, direction."""
    across = np.arange(3)
    line = unknowns[b[:, None] + across] - unknowns[a[:, None] + across]
    length = np.maximum(np.linalg.norm(line, axis=1), _LEAST)
    return line, length, line / length[:, None]
