"""The centre line of a pipe: straights and bends through given corners, and the capsules that stand for it.

A bend is an :class:`Arc`, or, pie cut, a :class:`Mitred` bend: the chain of straights that touches the same arc.
"""

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from trialfit.geometry.bend import U_TURN

Floats = NDArray[np.float64]

_NO_TURN = 1e-9
_SAME_POINT_MM = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Straight:
    """From ``start`` to ``end`` (3,) [mm]. ``leg`` counts the route's legs from 0: leg k runs up to corner k + 1."""

    start: Floats
    end: Floats
    leg: int = 0

    @property
    def length_mm(self) -> float:
        """Length [mm]."""
        return float(np.linalg.norm(self.end - self.start))

    def point_at(self, s_mm: float) -> Floats:
        """Point [mm] at ``s_mm`` from the start."""
        point: Floats = self.start + (s_mm / self.length_mm) * (self.end - self.start)
        return point

    def tangent_at(self, s_mm: float) -> Floats:
        """Unit direction; the same all along."""
        tangent: Floats = (self.end - self.start) / self.length_mm
        return tangent


@dataclass(frozen=True, slots=True, eq=False)
class Arc:
    """Bend at ``corner`` (counted from 1): from ``centre + radius * out`` turning by ``turn_rad`` from direction
    ``along``; ``out`` and ``along`` are unit and square to each other."""

    centre: Floats
    out: Floats
    along: Floats
    radius_mm: float
    turn_rad: float
    corner: int

    @property
    def length_mm(self) -> float:
        """Length along the centre line [mm]."""
        return self.radius_mm * self.turn_rad

    @property
    def normal(self) -> Floats:
        """Axis of the bend, right-handed about the turn."""
        return np.cross(self.out, self.along)

    @property
    def start(self) -> Floats:
        """Where the bend begins [mm]."""
        return self._at(0.0)

    @property
    def end(self) -> Floats:
        """Where the bend ends [mm]."""
        return self._at(self.turn_rad)

    def _at(self, angle: float, reach: float | None = None) -> Floats:
        r = self.radius_mm if reach is None else reach
        point: Floats = self.centre + r * (math.cos(angle) * self.out + math.sin(angle) * self.along)
        return point

    def direction(self, angle: float) -> Floats:
        """Unit direction of the pipe after turning ``angle`` [rad]."""
        direction: Floats = math.cos(angle) * self.along - math.sin(angle) * self.out
        return direction

    def point_at(self, s_mm: float) -> Floats:
        """Point [mm] at ``s_mm`` along the bend."""
        return self._at(s_mm / self.radius_mm)

    def tangent_at(self, s_mm: float) -> Floats:
        """Unit direction at ``s_mm`` along the bend."""
        return self.direction(s_mm / self.radius_mm)

    def chords(self, max_sagitta_mm: float) -> tuple[list[Floats], float]:
        """Points of a chain of chords that stays within ``max_sagitta_mm``, and the sagitta it has [mm]."""
        widest = 2.0 * math.acos(max(1.0 - max_sagitta_mm / self.radius_mm, 0.0))
        n = max(1, math.ceil(self.turn_rad / widest - 1e-12))
        sagitta = self.radius_mm * (1.0 - math.cos(0.5 * self.turn_rad / n))
        return [self._at(self.turn_rad * k / n) for k in range(n + 1)], sagitta


@dataclass(frozen=True, slots=True, eq=False)
class Mitred:
    """Pie-cut bend in place of ``arc``: ``joints`` mitres, the straights between them touching the arc."""

    arc: Arc
    joints: int

    @property
    def corner(self) -> int:
        """The corner this bend is at, counted from 1."""
        return self.arc.corner

    @property
    def turn_rad(self) -> float:
        """Turn of the whole bend [rad]."""
        return self.arc.turn_rad

    @property
    def radius_mm(self) -> float:
        """Radius of the arc the bend stands for [mm]."""
        return self.arc.radius_mm

    @property
    def normal(self) -> Floats:
        """Axis of the bend, right-handed about the turn."""
        return self.arc.normal

    @property
    def start(self) -> Floats:
        """Where the first half wedge begins [mm]."""
        return self.arc.start

    @property
    def end(self) -> Floats:
        """Where the last half wedge ends [mm]."""
        return self.arc.end

    @property
    def face_rad(self) -> float:
        """Cut-face angle, half the turn per joint [rad]."""
        return 0.5 * self.turn_rad / self.joints

    @property
    def half_mm(self) -> float:
        """Centre-line length of a half wedge [mm]."""
        return self.radius_mm * math.tan(self.face_rad)

    @property
    def length_mm(self) -> float:
        """Length along the centre line, wedge after wedge [mm]."""
        return 2.0 * self.joints * self.half_mm

    @property
    def vertices(self) -> list[Floats]:
        """Start, every mitre's centre, end."""
        reach = self.radius_mm / math.cos(self.face_rad)
        inner = [self.arc._at((2 * k + 1) * self.face_rad, reach) for k in range(self.joints)]
        return [self.start, *inner, self.end]

    def point_at(self, s_mm: float) -> Floats:
        """Point [mm] at ``s_mm`` along the wedges' axes."""
        k = self._wedge(s_mm)
        turned = 2 * k * self.face_rad
        beyond = s_mm - 2.0 * self.half_mm * k
        point: Floats = self.arc._at(turned) + beyond * self.arc.direction(turned)
        return point

    def tangent_at(self, s_mm: float) -> Floats:
        """Unit direction of the wedge at ``s_mm``."""
        return self.arc.direction(2 * self._wedge(s_mm) * self.face_rad)

    def _wedge(self, s_mm: float) -> int:
        return min(max(math.floor(s_mm / (2.0 * self.half_mm) + 0.5), 0), self.joints)


Bend = Arc | Mitred
Stretch = Straight | Arc | Mitred


class FaultKind(StrEnum):
    """Why no centre line goes through the corners."""

    SAME_POINT = "same point"
    U_TURN = "u-turn"
    TOO_SHORT = "too short"
    RADIUS = "radius"


@dataclass(frozen=True, slots=True)
class Fault:
    """One reason why the corners cannot be joined. ``leg`` counts from 0, ``corner`` from 1 (0: none in particular);
    ``missing_mm`` is how much straight is wanting."""

    kind: FaultKind
    words: str
    remedy: str
    leg: int = -1
    corner: int = 0
    missing_mm: float = 0.0


class CentrelineError(ValueError):
    """The corners cannot be joined; ``faults`` has every reason."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        super().__init__("; ".join(f.words for f in faults))
        self.faults = tuple(faults)


@dataclass(frozen=True, slots=True, eq=False)
class Centreline:
    """Stretches from the outlet to the end, each beginning where the last one ends and in its direction."""

    stretches: tuple[Stretch, ...]

    @property
    def length_mm(self) -> float:
        """Length of the whole centre line [mm]."""
        return math.fsum(p.length_mm for p in self.stretches)

    @property
    def bends(self) -> tuple[Bend, ...]:
        """The bends alone, in order."""
        return tuple(p for p in self.stretches if not isinstance(p, Straight))

    def point_at(self, s_mm: float) -> Floats:
        """Point (3,) [mm] at ``s_mm`` from the outlet.

        Raises
        ------
        ValueError
            when ``s_mm`` is outside 0 to the length
        """
        stretch, s = self._find(s_mm)
        return stretch.point_at(s)

    def tangent_at(self, s_mm: float) -> Floats:
        """Unit direction (3,) downstream at ``s_mm`` from the outlet.

        Raises
        ------
        ValueError
            when ``s_mm`` is outside 0 to the length
        """
        stretch, s = self._find(s_mm)
        return stretch.tangent_at(s)

    def _find(self, s_mm: float) -> tuple[Stretch, float]:
        total = self.length_mm
        if not -1e-9 <= s_mm <= total + 1e-9:
            raise ValueError(f"{s_mm:g} mm is outside the centre line, 0 to {total:g} mm")
        rest = min(max(s_mm, 0.0), total)
        for stretch in self.stretches[:-1]:
            if rest <= stretch.length_mm:
                return stretch, rest
            rest -= stretch.length_mm
        return self.stretches[-1], min(rest, self.stretches[-1].length_mm)

    def polyline(self, max_sagitta_mm: float = 0.1) -> Floats:
        """Points (n, 3) [mm] of a chain within ``max_sagitta_mm`` of the centre line, ends included."""
        points: list[Floats] = [self.stretches[0].start]
        for stretch in self.stretches:
            if isinstance(stretch, Straight):
                points.append(stretch.end)
            elif isinstance(stretch, Mitred):
                points.extend(stretch.vertices[1:])
            else:
                points.extend(stretch.chords(max_sagitta_mm)[0][1:])
        return np.array(points)


def turns_rad(points: ArrayLike) -> Floats:
    """Turn at every inner point of a chain of points (n, 3), (n - 2,) [rad].

    >>> turns_rad([(0, 0, 0), (1, 0, 0), (1, 1, 0)]).round(6).tolist()
    [1.570796]
    """
    p = np.asarray(points, dtype=np.float64)
    d = np.diff(p, axis=0)
    cross = np.linalg.norm(np.cross(d[:-1], d[1:]), axis=1)
    turns: Floats = np.arctan2(cross, np.einsum("ij,ij->i", d[:-1], d[1:]))
    return turns


def _end_name(index: int, count: int) -> str:
    if index == 0:
        return "the outlet"
    return "the end" if index == count - 1 else f"corner {index}"


def _leg_words(leg: int, count: int) -> str:
    first, second = _end_name(leg, count), _end_name(leg + 1, count)
    if first.startswith("corner") and second.startswith("corner"):
        return f"corner {leg} and {leg + 1}"
    return f"{first} and {second}"


@dataclass(frozen=True, slots=True, eq=False)
class Legs:
    """What the corners ask for: leg lengths (n - 1,) [mm], turns (n - 2,) [rad], set-backs (n - 2,) [mm], and the
    straight left on every leg (n - 1,) [mm], negative where the bends do not fit."""

    length_mm: Floats
    turn_rad: Floats
    set_back_mm: Floats
    straight_mm: Floats


def legs(points: ArrayLike, radii_mm: Sequence[float]) -> Legs:
    """Leg lengths, turns, set-backs and straights of a chain of corners, without asking whether they fit.

    A turn of 180 deg has no set-back; ``inf`` stands for it.

    Parameters
    ----------
    points : array
        outlet, corners, end, (n, 3) [mm]
    radii_mm : sequence
        centre-line radius at each corner, (n - 2,) [mm]

    Raises
    ------
    ValueError
        when there are fewer than two points, or the number of radii is not the number of corners
    """
    p = np.asarray(points, dtype=np.float64)
    if p.ndim != 2 or p.shape[0] < 2 or p.shape[1] != 3:
        raise ValueError(f"a centre line needs two or more points of three coordinates, got shape {p.shape}")
    if len(radii_mm) != p.shape[0] - 2:
        raise ValueError(f"{p.shape[0] - 2} corners need as many radii, got {len(radii_mm)}")
    if not np.all(np.isfinite(p)):
        raise ValueError("a point has a coordinate that is no finite number")
    length: Floats = np.linalg.norm(np.diff(p, axis=0), axis=1)
    turn = turns_rad(p) if p.shape[0] > 2 else np.zeros(0)
    radii = np.asarray(radii_mm, dtype=np.float64)
    with np.errstate(over="ignore"):
        back: Floats = np.where(turn > math.pi - 1e-9, math.inf, radii * np.tan(0.5 * turn))
    straight: Floats = length.copy()
    straight[:-1] -= back
    straight[1:] -= back
    return Legs(length, turn, back, straight)


def faults(points: ArrayLike, radii_mm: Sequence[float]) -> tuple[Fault, ...]:
    """Every reason why no centre line with these radii goes through these points; empty when one does.

    Parameters
    ----------
    points : array
        outlet, corners, end, (n, 3) [mm]
    radii_mm : sequence
        centre-line radius at each corner, (n - 2,) [mm]

    Raises
    ------
    ValueError
        as :func:`legs`

    >>> [f.words for f in faults([(0, 0, 0), (100, 0, 0), (100, 50, 0)], [60.0])]
    ['corner 1 and the end: the straight between them is 10.0 mm too short']
    """
    found: list[Fault] = []
    shape = legs(points, radii_mm)
    count = len(shape.length_mm) + 1
    for k, length in enumerate(shape.length_mm):
        if length < _SAME_POINT_MM:
            words = f"{_leg_words(k, count)} are the same point"
            found.append(Fault(FaultKind.SAME_POINT, words, "leave one of them out or move it", leg=k))
    for k, radius in enumerate(radii_mm):
        if not (radius > 0.0 and math.isfinite(radius)):
            words = f"corner {k + 1}: the radius {radius:g} mm must be more than 0"
            found.append(Fault(FaultKind.RADIUS, words, "give the bend's centre-line radius", corner=k + 1))
    if found:
        return tuple(found)
    for k, turn in enumerate(shape.turn_rad):
        if turn > U_TURN:
            words = f"corner {k + 1} turns {math.degrees(turn):.1f} deg, more than {math.degrees(U_TURN):g} deg"
            remedy = "make the U-turn of two corners, each turning half as far, twice the radius apart"
            found.append(Fault(FaultKind.U_TURN, words, remedy, corner=k + 1))
    bad = {f.corner for f in found}
    for k, straight in enumerate(shape.straight_mm):
        if straight < -1e-9 and not {k, k + 1} & bad:
            words = f"{_leg_words(k, count)}: the straight between them is {-straight:.1f} mm too short"
            remedy = "move one of them away, or take a smaller radius or turn"
            found.append(Fault(FaultKind.TOO_SHORT, words, remedy, leg=k, missing_mm=-float(straight)))
    return tuple(found)


def centreline(
    points: ArrayLike, radii_mm: Sequence[float], joints: Sequence[int] | None = None
) -> Centreline:
    """Straights through the points, rounded at the corners.

    A corner that does not turn has no bend.

    Parameters
    ----------
    points : array
        outlet, corners, end, (n, 3) [mm]
    radii_mm : sequence
        centre-line radius at each corner, (n - 2,) [mm]
    joints : sequence or None
        for each corner the number of mitres of a pie-cut bend, 0 for a bend in one arc [-]

    Raises
    ------
    CentrelineError
        with every :class:`Fault`: points that coincide, a turn beyond 170 deg, a leg too short for its bends
    ValueError
        as :func:`legs`

    >>> round(centreline([(0, 0, 0), (100, 0, 0), (100, 100, 0)], [20.0]).length_mm, 3)
    191.416
    """
    wrong = faults(points, radii_mm)
    if wrong:
        raise CentrelineError(wrong)
    p = np.asarray(points, dtype=np.float64)
    shape = legs(p, radii_mm)
    mitres = [0] * len(radii_mm) if joints is None else list(joints)
    if len(mitres) != len(radii_mm):
        raise ValueError(f"{len(radii_mm)} corners need as many numbers of joints, got {len(mitres)}")
    unit = np.diff(p, axis=0) / shape.length_mm[:, None]
    bends: list[Bend | None] = []
    for k, radius in enumerate(radii_mm):
        turn = float(shape.turn_rad[k])
        if turn <= _NO_TURN:
            bends.append(None)
            continue
        along = unit[k]
        inward = unit[k + 1] - (unit[k + 1] @ along) * along
        inward /= np.linalg.norm(inward)
        start = p[k + 1] - shape.set_back_mm[k] * along
        arc = Arc(start + radius * inward, -inward, along, float(radius), turn, k + 1)
        bends.append(Mitred(arc, mitres[k]) if mitres[k] else arc)
    out: list[Stretch] = []
    here = p[0]
    for k in range(len(p) - 1):
        bend = bends[k] if k < len(bends) else None
        there = p[k + 1] if bend is None else bend.start
        if (there - here) @ unit[k] > 1e-9:
            out.append(Straight(here, there, leg=k))
            here = there
        if bend is not None:
            out.append(bend)
            here = bend.end
    return Centreline(tuple(out))


def capsules(
    line: Centreline, radius_mm: float, max_sagitta_mm: float = 0.25
) -> list[tuple[Floats, Floats, float, float]]:
    """Round-ended sticks that together hold the pipe: ``(a, b, radius, slack)``.

    The pipe lies inside the sticks of ``radius + slack``; ``slack`` is the sagitta of an arc over its chord, or what
    the sharp outside of a mitre stands out. The round ends also cover up to one radius beyond the pipe's flat ends:
    a gap measured to them is never too large.

    Parameters
    ----------
    line : Centreline
        the pipe's centre line
    radius_mm : float
        half the outside diameter [mm]
    max_sagitta_mm : float
        largest slack allowed on an arc [mm]

    Raises
    ------
    ValueError
        when either length is not more than 0
    """
    if not (radius_mm > 0.0 and max_sagitta_mm > 0.0):
        raise ValueError(f"radius {radius_mm:g} mm and sagitta {max_sagitta_mm:g} mm must be more than 0")
    sticks: list[tuple[Floats, Floats, float, float]] = []
    for stretch in line.stretches:
        if isinstance(stretch, Straight):
            chain, slack = [stretch.start, stretch.end], 0.0
        elif isinstance(stretch, Mitred):
            chain, slack = stretch.vertices, radius_mm * (1.0 / math.cos(stretch.face_rad) - 1.0)
        else:
            chain, slack = stretch.chords(max_sagitta_mm)
        sticks.extend((a, b, radius_mm, slack) for a, b in itertools.pairwise(chain))
    return sticks
