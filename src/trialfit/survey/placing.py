"""Where each hardpoint stands, roughly: one after the other, from those already placed.

A hardpoint is cut out by planes (its own station, offset or height, or a tape with an inclination) and spheres
(tapes to placed hardpoints). Several cuts are tried and the one most readings agree with is taken, so a single reading
that is wrong by a metre does not carry the start away. Two mirror images that agree equally well are both kept.
"""

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from trialfit.survey.equations import AXIS
from trialfit.survey.observations import Observation
from trialfit.vehicle import Hint, ReadingKind

Floats = NDArray[np.float64]

_FLOOR_MM = 4.0
"""Doubt of a placed hardpoint while placing goes on [mm]."""
_APART_MM = 8.0
"""Two places nearer than this are one [mm]."""
_ALIKE = 9.0
"""Two places whose misfits differ by less than this agree equally well [-]: three standard deviations."""
UNDER_FLOOR_MM = -50.0
"""No hardpoint of a vehicle on its wheels lies lower than this [mm]; a mirror image that does is no answer."""
_CUTS = 12
"""Cuts tried per sort [-]."""


@dataclass(slots=True)
class Ties:
    """What is known about one hardpoint."""

    planes: list[tuple[int, float, float]] = field(default_factory=list)
    """axis, value, standard deviation"""
    spheres: list[tuple[str, float, float]] = field(default_factory=list)
    """other hardpoint, distance, standard deviation"""
    slopes: list[tuple[str, float, float]] = field(default_factory=list)
    """other hardpoint, inclination from it to this one, standard deviation"""

    def neighbours(self) -> set[str]:
        return {t[0] for t in self.spheres} | {t[0] for t in self.slopes}


@dataclass(frozen=True, slots=True)
class Choice:
    """A hardpoint that was put in one of two places that agreed equally well when it was placed."""

    point: str
    place: Floats
    other: Floats


def tie_up(observations: Iterable[Observation]) -> dict[str, Ties]:
    """Sort readings by the hardpoints they tie."""
    ties: dict[str, Ties] = {}

    def of(point: str) -> Ties:
        return ties.setdefault(point, Ties())

    for o in observations:
        if o.kind in AXIS:
            of(o.points[0]).planes.append((AXIS[o.kind], o.value, o.sd))
        elif o.kind is ReadingKind.TAPE:
            a, b = o.points
            of(a).spheres.append((b, o.value, o.sd))
            of(b).spheres.append((a, o.value, o.sd))
        elif o.kind is ReadingKind.ANGLE and len(o.points) == 2:
            a, b = o.points
            of(b).slopes.append((a, o.value, o.sd))
            of(a).slopes.append((b, -o.value, o.sd))
        else:
            for point in o.points:
                of(point)
    return ties


def meets(hint: Hint, places: Mapping[str, Floats]) -> bool | None:
    """Whether a sign holds; None when one of its hardpoints is not placed.

    Parameters
    ----------
    hint : Hint
        the builder's sign
    places : mapping
        hardpoint to its place, shape (3,) [mm]

    Raises
    ------
    KeyError
        ``hint.side`` is none of left, right, ahead, behind, above, below
    """
    axis, sign = _SIDES[hint.side]
    if hint.point not in places or (hint.of and hint.of not in places):
        return None
    reference = float(places[hint.of][axis]) if hint.of else 0.0
    return sign * (float(places[hint.point][axis]) - reference) > 0.0


_SIDES = {"ahead": (0, -1.0), "behind": (0, 1.0), "left": (1, -1.0), "right": (1, 1.0), "below": (2, -1.0),
          "above": (2, 1.0)}


def misfit(place: Floats, ties: Ties, known: Mapping[str, Floats]) -> float:
    """How badly a place disagrees with the readings to placed hardpoints; gross misreads count little more than
    small ones."""
    return float(_misfits(place[None], _bound(ties, known))[0])


@dataclass(frozen=True, slots=True, eq=False)
class _Bound:
    """Ties to placed hardpoints, as arrays."""

    axis: NDArray[np.int64]
    level: Floats
    level_sd: Floats
    centre: Floats
    radius: Floats
    radius_sd: Floats
    foot: Floats
    incline: Floats
    incline_sd: Floats

    @property
    def count(self) -> int:
        return self.level.size + self.radius.size + self.incline.size


def _bound(ties: Ties, known: Mapping[str, Floats]) -> _Bound:
    spheres = [s for s in ties.spheres if s[0] in known]
    slopes = [s for s in ties.slopes if s[0] in known]
    return _Bound(
        np.array([p[0] for p in ties.planes], dtype=np.int64), np.array([p[1] for p in ties.planes]),
        np.array([p[2] for p in ties.planes]),
        np.array([known[s[0]] for s in spheres]).reshape(-1, 3), np.array([s[1] for s in spheres]),
        np.array([s[2] for s in spheres]),
        np.array([known[s[0]] for s in slopes]).reshape(-1, 3), np.array([s[1] for s in slopes]),
        np.array([s[2] for s in slopes]),
    )


def _misfits(places: Floats, b: _Bound) -> Floats:
    terms = [(places[:, b.axis] - b.level) / np.hypot(b.level_sd, _FLOOR_MM)]
    if b.radius.size:
        far = np.linalg.norm(places[:, None] - b.centre, axis=2)
        terms.append((far - b.radius) / np.hypot(b.radius_sd, _FLOOR_MM))
    if b.incline.size:
        line = places[:, None] - b.foot
        flat = np.hypot(line[..., 0], line[..., 1])
        far = np.maximum(np.linalg.norm(line, axis=2), 1.0)
        terms.append((np.arctan2(line[..., 2], flat) - b.incline) / np.hypot(b.incline_sd, _FLOOR_MM / far))
    t = np.concatenate(terms, axis=1)
    answer: Floats = np.sum(9.0 * np.log1p(t * t / 9.0), axis=1)
    return answer


def cuts(ties: Ties, known: Mapping[str, Floats]) -> Floats:
    """Places where three planes or spheres meet, shape (k, 3) [mm]; k may be 0."""
    levels: dict[int, list[float]] = {0: [], 1: [], 2: []}
    for axis, value, _ in ties.planes:
        if len(levels[axis]) < 2:
            levels[axis].append(value)
    spheres = [(known[q], d) for q, d, _ in ties.spheres if q in known]
    tape_to = {q: d for q, d, _ in ties.spheres}
    for q, incline, _ in ties.slopes:
        if q not in known or len(levels[2]) >= 3:
            continue
        if q in tape_to:
            levels[2].append(float(known[q][2]) + tape_to[q] * math.sin(incline))
        else:
            for x, y in itertools.product(levels[0][:1], levels[1][:1]):
                run = math.hypot(x - known[q][0], y - known[q][1])
                levels[2].append(float(known[q][2]) + run * math.tan(incline))
    found: list[Floats] = []
    for number in (3, 2, 1, 0):
        for axes in itertools.combinations((2, 1, 0), number):
            for values in itertools.product(*(levels[a] for a in axes)):
                held = dict(zip(axes, values, strict=True))
                for some in itertools.islice(itertools.combinations(spheres, 3 - number), _CUTS):
                    found.extend(_cut(held, some))
        if len(found) > 40:
            break
    return np.array(found).reshape(-1, 3)


def _cut(held: Mapping[int, float], spheres: Sequence[tuple[Floats, float]]) -> list[Floats]:
    """Where planes square to the axes and spheres meet; nearest place when they just miss."""
    if len(held) == 3:
        return [np.array([held[0], held[1], held[2]])]
    free = [a for a in range(3) if a not in held]
    centre, radius = spheres[0]
    squared = radius**2 - sum((value - centre[a]) ** 2 for a, value in held.items())
    base = np.array(centre, dtype=float)
    for a, value in held.items():
        base[a] = value
    if len(held) == 2:
        way = np.zeros(3)
        way[free[0]] = 1.0
        return _both(base, way, squared, radius)
    # a second (and third) sphere less the first is a plane; together with the held planes it leaves a line
    normals, offsets = [], []
    for other, other_radius in spheres[1:]:
        normals.append(2.0 * (other - centre))
        offsets.append(radius**2 - other_radius**2 + float(other @ other) - float(centre @ centre))
    rows = np.array(normals)[:, free]
    right = np.array(offsets) - np.array(normals)[:, list(held)] @ np.array(list(held.values()))
    gram = rows @ rows.T
    size = float(np.trace(gram))
    if size < 1.0 or np.linalg.det(gram) < 1e-5 * (size / len(gram)) ** len(gram):
        return []
    near = base[free] + rows.T @ np.linalg.solve(gram, right - rows @ base[free])
    point = base.copy()
    point[free] = near
    way = np.zeros(3)
    way[free] = np.cross(rows[0], rows[1]) if len(free) == 3 else np.array([-rows[0][1], rows[0][0]])
    way /= np.linalg.norm(way)
    squared = radius**2 - float(np.sum((point - centre) ** 2))
    return _both(point, way, squared, radius)


def _both(base: Floats, way: Floats, squared: float, radius: float) -> list[Floats]:
    if squared < -(0.15 * radius) ** 2 - 60.0**2:
        return []
    reach = math.sqrt(max(squared, 0.0))
    return [base + reach * way, base - reach * way] if reach > 0.5 * _APART_MM else [base]


def polish(place: Floats, ties: Ties, known: Mapping[str, Floats], rounds: int = 5) -> Floats:
    """Move a place to where its readings agree best, misreads counting little."""
    b = _bound(ties, known)
    x = np.array(place)
    for _ in range(rounds):
        line = x - b.centre
        far = np.maximum(np.linalg.norm(line, axis=1), 1.0)
        foot = x - b.foot
        flat = np.maximum(np.hypot(foot[:, 0], foot[:, 1]), 1.0)
        long = np.maximum(np.linalg.norm(foot, axis=1), 1.0)
        slope = -foot * (foot[:, 2] / (long**2 * flat))[:, None]
        slope[:, 2] += 1.0 / flat
        rows = np.concatenate([np.eye(3)[b.axis], line / far[:, None], slope])
        off = np.concatenate([b.level - x[b.axis], b.radius - far, b.incline - np.arctan2(foot[:, 2], flat)])
        sd = np.concatenate([np.hypot(b.level_sd, 1.0), np.hypot(b.radius_sd, 1.0), np.hypot(b.incline_sd, 1.0 / long)])
        t = off / sd
        weight = 1.0 / (sd**2 * (1.0 + t * t / 9.0))
        normal = (rows * weight[:, None]).T @ rows
        normal[np.diag_indices(3)] += 1e-6
        step = np.linalg.solve(normal, rows.T @ (weight * off))
        length = float(np.linalg.norm(step))
        x = x + step * min(1.0, 100.0 / max(length, 1e-9))
        if length < 0.05:
            break
    return x


@dataclass(frozen=True, slots=True)
class _Offer:
    """The best place for one hardpoint, the best other place, and what speaks for them."""

    place: Floats
    misfit: float
    other: Floats | None
    spare: int


def offer(
    point: str, ties: Ties, known: Mapping[str, Floats], hints: Sequence[Hint] = ()
) -> _Offer | None:
    """Best place for ``point`` among those already placed; None when its readings to them do not cut it out."""
    b = _bound(ties, known)
    if b.count < 3:
        return None
    places = cuts(ties, known)
    if not len(places):
        return None
    costs = _misfits(places, b)
    order = np.argsort(costs, kind="stable")
    tried: list[tuple[float, Floats]] = []
    for i in order[:24]:
        if all(np.linalg.norm(places[i] - p) > 3.0 * _APART_MM for _, p in tried):
            tried.append((float(costs[i]), places[i]))
        if len(tried) == 3:
            break
    polished: list[tuple[float, Floats]] = []
    for _, place in tried:
        better = polish(place, ties, known)
        if not np.all(np.isfinite(better)):
            continue
        if all(np.linalg.norm(better - p) > _APART_MM for _, p in polished):
            polished.append((float(_misfits(better[None], b)[0]), better))
    if not polished:
        return None
    polished.sort(key=lambda pair: pair[0])
    best = polished[0]
    rivals = [p for p in polished[1:] if p[0] - best[0] < _ALIKE]
    if rivals:
        allowed = [p for p in [best, *rivals] if _hints_allow(point, p[1], known, hints)]
        if len(allowed) == 1:
            return _Offer(allowed[0][1], allowed[0][0], None, b.count - 3)
    return _Offer(best[1], best[0], rivals[0][1] if rivals else None, b.count - 3)


def _hints_allow(point: str, place: Floats, known: Mapping[str, Floats], hints: Sequence[Hint]) -> bool:
    places = {**known, point: place}
    if place[2] < UNDER_FLOOR_MM:
        return False
    return all(meets(h, places) is not False for h in hints if point in (h.point, h.of))


def place_all(
    ties: Mapping[str, Ties], hints: Sequence[Hint] = (), known: Mapping[str, Floats] | None = None,
    only: Iterable[str] | None = None,
) -> tuple[dict[str, Floats], list[Choice]]:
    """Place hardpoints one after the other, the surest first.

    Parameters
    ----------
    ties : mapping
        hardpoint to its ties
    hints : sequence of Hint
        signs that tell mirror images apart
    known : mapping
        hardpoints already placed, left as they are [mm]
    only : iterable of str
        hardpoints to place; all others by default

    Returns
    -------
    tuple
        places of all that could be cut out (``known`` among them), and the choices made between mirror images
    """
    places = dict(known or {})
    waiting = [p for p in (ties if only is None else only) if p not in places]
    offers: dict[str, _Offer | None] = {}
    stale = set(waiting)
    choices: list[Choice] = []
    while waiting:
        for point in waiting:
            if point in stale:
                offers[point] = offer(point, ties[point], places, hints)
        stale.clear()
        ready = [(p, o) for p in waiting if (o := offers[p]) is not None]
        if not ready:
            break

        def rank(pair: tuple[str, _Offer]) -> tuple[bool, bool, int, float]:
            o = pair[1]
            return o.other is not None, o.misfit > 12.0 + 3.0 * o.spare, -min(o.spare, 3), o.misfit

        chosen, best = min(ready, key=rank)
        if best.other is not None:
            choices.append(Choice(chosen, best.place, best.other))
        places[chosen] = best.place
        waiting.remove(chosen)
        stale = {p for p in waiting if chosen in ties[p].neighbours() or any(
            chosen in (h.point, h.of) and p in (h.point, h.of) for h in hints)}
    return places, choices
