"""Holes in a plane: evenly spaced on a circle, one pattern laid on another, and the metal left between them."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from trialfit.mates.figure import Hole
from trialfit.standards import refuse_not_positive

Floats: TypeAlias = npt.NDArray[np.float64]

_ALL_PAIRINGS = 50_000
"""Up to so many pairings every one is tried; beyond, the best assignment is sought from many turns."""
_TURNS = 720


@dataclass(frozen=True, slots=True)
class Match:
    """How a wanted pattern lies best on the holes that are there.

    The wanted points are turned by ``turn_rad`` about their own origin, then moved by ``shift_mm``; they then lie in
    the frame of the holes there. ``pairs`` are (hole there, point wanted); ``off_xy_mm`` how far and which way the
    wanted point lies from the middle of its hole, ``off_mm`` how far, ``off_rad`` which way from x. ``mirrored`` says
    that the wanted pattern was turned over first (x changed in sign), as when it was measured from the other face.
    """

    turn_rad: float
    shift_mm: tuple[float, float]
    pairs: tuple[tuple[int, int], ...]
    off_xy_mm: tuple[tuple[float, float], ...]
    mirrored: bool = False

    @property
    def off_mm(self) -> tuple[float, ...]:
        """Distance of each wanted point from the middle of its hole [mm]."""
        return tuple(math.hypot(x, y) for x, y in self.off_xy_mm)

    @property
    def off_rad(self) -> tuple[float, ...]:
        """Direction of each of those [rad] from x."""
        return tuple(math.atan2(y, x) for x, y in self.off_xy_mm)

    @property
    def worst_mm(self) -> float:
        """The greatest of those distances [mm]."""
        return max(self.off_mm)

    @property
    def rms_mm(self) -> float:
        """Root of their mean square [mm]."""
        return math.sqrt(sum(d * d for d in self.off_mm) / len(self.pairs))

    def placed(self, want: Floats) -> Floats:
        """Wanted points in the frame of the holes there [mm]."""
        flat = want * (-1.0, 1.0) if self.mirrored else want
        c, s = math.cos(self.turn_rad), math.sin(self.turn_rad)
        moved: Floats = flat @ np.array([[c, s], [-s, c]]) + np.array(self.shift_mm)
        return moved


def on_circle(count: int, circle_mm: float, turn_rad: float = 0.0) -> Floats:
    """Middles of holes evenly spaced on a circle about the origin, the first at ``turn_rad`` from x.

    Parameters
    ----------
    count : int
        number of holes [-]
    circle_mm : float
        diameter of the circle through their middles [mm]
    turn_rad : float
        where the first one stands [rad]

    Returns
    -------
    Floats
        shape (count, 2) [mm]

    Raises
    ------
    ValueError
        for no holes, or a circle that is not positive

    Source: geometry.

    >>> on_circle(4, 100.0).round(6).tolist()
    [[50.0, 0.0], [0.0, 50.0], [-50.0, 0.0], [-0.0, -50.0]]
    """
    if count < 1:
        raise ValueError(f"a pattern needs at least 1 hole, not {count}")
    refuse_not_positive(circle=(circle_mm, "mm"))
    at = turn_rad + 2.0 * math.pi / count * np.arange(count)
    points: Floats = circle_mm / 2.0 * np.column_stack((np.cos(at), np.sin(at)))
    return points


def match(have: Floats, want: Floats, *, mirrored: bool = False) -> Match:
    """Lay one pattern on another by the turn and shift that leave the least sum of squares, over all pairings.

    Up to 50,000 pairings every one is tried; of bigger patterns the best is sought from 720 turns, which can miss it
    when the two have little in common (safe side: the offsets are then told too great). With unlike counts each point
    of the smaller pattern gets a point of the bigger, and the rest stay without. Of
    patterns that fit equally well in several turns the least turn is taken. The greatest single offset may be a little
    less at another turn: least squares spreads the error, it does not make the worst least.

    Parameters
    ----------
    have : Floats
        middles of the holes that are there, shape (n, 2) [mm]
    want : Floats
        points to be laid on them, shape (m, 2) [mm]
    mirrored : bool
        turn the wanted pattern over first

    Returns
    -------
    Match

    Raises
    ------
    ValueError
        for fewer than 2 points in one of the two, more than 40, or a point that is no finite number

    Source: K. S. Arun, T. S. Huang, S. D. Blostein, in the plane; linear assignment by a general library.

    >>> found = match(on_circle(5, 120.65), on_circle(5, 120.0, 0.3))
    >>> round(found.turn_rad, 6), round(found.worst_mm, 6)
    (-0.3, 0.325)
    """
    a, b = _points(have, "holes there"), _points(want, "points wanted")
    if mirrored:
        b = -b.conjugate()
    pairing = _best_pairing(a, b)
    rows = np.array([i for i, _ in pairing])
    cols = np.array([j for _, j in pairing])
    turn, shift = _laid(a[rows], b[cols])
    off = b[cols] * np.exp(1j * turn) + shift - a[rows]
    return Match(
        turn,
        (float(shift.real), float(shift.imag)),
        tuple((int(i), int(j)) for i, j in pairing),
        tuple((float(z.real), float(z.imag)) for z in off),
        mirrored,
    )


def _points(given: Floats, what: str) -> npt.NDArray[np.complex128]:
    points = np.asarray(given, dtype=float)
    if points.ndim != 2 or points.shape[1] != 2 or not 2 <= len(points) <= 40:
        raise ValueError(f"the {what} must be 2 to 40 points with two coordinates each")
    if not np.isfinite(points).all():
        raise ValueError(f"one of the {what} is no finite number")
    return points[:, 0] + 1j * points[:, 1]


def _laid(a: npt.NDArray[np.complex128], b: npt.NDArray[np.complex128]) -> tuple[float, complex]:
    """Turn and shift of ``b`` that bring it nearest to ``a``, pair by pair."""
    mid_a, mid_b = a.mean(), b.mean()
    lever = np.sum((a - mid_a) * (b - mid_b).conjugate())
    turn = float(np.angle(lever)) if abs(lever) > 0.0 else 0.0
    return turn, complex(mid_a - mid_b * np.exp(1j * turn))


def _left(a: npt.NDArray[np.complex128], b: npt.NDArray[np.complex128]) -> npt.NDArray[np.float64]:
    """Least sum of squares of each row of pairs, over turn and shift."""
    u = a - a.mean(axis=-1, keepdims=True)
    v = b - b.mean(axis=-1, keepdims=True)
    size = np.sum(np.abs(u) ** 2, axis=-1) + np.sum(np.abs(v) ** 2, axis=-1)
    left: npt.NDArray[np.float64] = size - 2.0 * np.abs(np.sum(u * v.conjugate(), axis=-1))
    return left


def _best_pairing(a: npt.NDArray[np.complex128], b: npt.NDArray[np.complex128]) -> list[tuple[int, int]]:
    if len(a) > len(b):
        return sorted((i, j) for j, i in _best_pairing(b, a))
    if math.perm(len(b), len(a)) <= _ALL_PAIRINGS:
        tries = np.array(list(permutations(range(len(b)), len(a))))
    else:
        tries = _assigned(a, b)
    left = _left(np.broadcast_to(a, tries.shape), b[tries])
    scale = float(np.sum(np.abs(a - a.mean()) ** 2) + np.sum(np.abs(b - b.mean()) ** 2))
    equal = tries[left <= left.min() + 1e-9 * scale]
    turns = [round(abs(_laid(a, b[row])[0]), 9) for row in equal]
    best = equal[int(np.argmin(turns))]
    return [(i, int(j)) for i, j in enumerate(best)]


def _assigned(a: npt.NDArray[np.complex128], b: npt.NDArray[np.complex128]) -> npt.NDArray[np.int_]:
    """Pairings found by assignment: from evenly spread turns about the middles, each followed until it stands."""
    from scipy.optimize import linear_sum_assignment  # late: it takes longer to load than a sum to work

    found = set()
    for turn in 2.0 * math.pi / _TURNS * np.arange(_TURNS):
        shift = complex(a.mean() - b.mean() * np.exp(1j * turn))
        before: tuple[int, ...] = ()
        for _ in range(50):
            far = np.abs(a[:, None] - (b * np.exp(1j * turn) + shift)[None, :]) ** 2
            chosen = tuple(int(j) for j in linear_sum_assignment(far)[1])
            if chosen == before:
                break
            before = chosen
            turn, shift = _laid(a, b[list(chosen)])
        found.add(before)
    return np.array(sorted(found))


@dataclass(frozen=True, slots=True)
class Face:
    """The face that holes are worked in: of which part and where, its round or closed edge, its bore, its thickness
    [mm]; 0, () or None for what is unknown. ``shop`` says why only a machine shop works it, "" where anybody may."""

    part: str
    place: str
    round_mm: float = 0.0
    outline: tuple[tuple[float, float], ...] = ()
    bore_mm: float = 0.0
    thickness_mm: float | None = None
    datum: str = "middle of the face; x through the first old hole"
    true_to: str = "the register, not the old holes"
    forbidden: tuple[str, ...] = ("welding the old holes shut", "filing holes to fit on the vehicle")
    shop: str = ""


@dataclass(frozen=True, slots=True)
class Webs:
    """Metal left [mm]: ``between`` two holes, at the ``edge``, at the ``bore``; None where nothing bounds it or the
    edge is unknown. Negative when they run into each other."""

    between_mm: float | None
    edge_mm: float | None
    bore_mm: float | None


def webs(holes: Sequence[Hole], face: Face, among: Sequence[Hole] = ()) -> Webs:
    """Metal left round holes and slots: between each of ``holes`` and every other one or one of ``among``, to the edge
    and to the bore. Chamfers, fillets and counterbores are left out, which errs on the unsafe side.

    Source: geometry.

    >>> webs([Hole(50.0, 0.0, 10.0), Hole(-50.0, 0.0, 10.0)], Face("plate", "", round_mm=140.0, bore_mm=60.0))
    Webs(between_mm=90.0, edge_mm=15.0, bore_mm=15.0)
    """
    pairs = [(a, b) for n, a in enumerate(holes) for b in [*holes[n + 1 :], *among]]
    between = [_apart(_ends(a), _ends(b)) - (a.diameter_mm + b.diameter_mm) / 2.0 for a, b in pairs]
    edge = [left for hole in holes if (left := _to_edge(hole, face)) is not None]
    bore = []
    if face.bore_mm > 0.0:
        bore = [_apart(_ends(h), (0j, 0j)) - (h.diameter_mm + face.bore_mm) / 2.0 for h in holes]
    return Webs(*(float(min(them)) if them else None for them in (between, edge, bore)))


def _ends(hole: Hole) -> tuple[complex, complex]:
    """Middles of the two round ends of a slot; twice the middle of a round hole."""
    middle, half = complex(hole.x_mm, hole.y_mm), hole.slot_mm / 2.0 * np.exp(1j * hole.slot_rad)
    return middle - half, middle + half


def _apart(a: tuple[complex, complex], b: tuple[complex, complex]) -> float:
    """Distance of two straight pieces in the plane."""
    if _cross_each_other(a, b):
        return 0.0
    return min([_from_piece(p, b) for p in a] + [_from_piece(p, a) for p in b])


def _from_piece(point: complex, piece: tuple[complex, complex]) -> float:
    along = piece[1] - piece[0]
    if along == 0.0:
        return abs(point - piece[0])
    share = ((point - piece[0]) * along.conjugate()).real / abs(along) ** 2
    return abs(point - piece[0] - min(1.0, max(0.0, share)) * along)


def _cross_each_other(a: tuple[complex, complex], b: tuple[complex, complex]) -> bool:
    def side(piece: tuple[complex, complex], point: complex) -> float:
        return ((piece[1] - piece[0]).conjugate() * (point - piece[0])).imag

    return side(a, b[0]) * side(a, b[1]) < 0.0 and side(b, a[0]) * side(b, a[1]) < 0.0


def _to_edge(hole: Hole, face: Face) -> float | None:
    if face.outline:
        corners = [complex(*p) for p in face.outline]
        sides = list(zip(corners, corners[1:] + corners[:1], strict=True))
        far = min(_apart(_ends(hole), side) for side in sides)
        inside = all(_is_inside(end, corners) for end in _ends(hole))
        return (far if inside else -far) - hole.diameter_mm / 2.0
    if face.round_mm > 0.0:
        return (face.round_mm - hole.diameter_mm) / 2.0 - max(abs(end) for end in _ends(hole))
    return None


def _is_inside(point: complex, corners: Sequence[complex]) -> bool:
    inside = False
    for p, q in zip(corners, [*corners[1:], corners[0]], strict=True):
        if (p.imag > point.imag) != (q.imag > point.imag):
            across = p.real + (point.imag - p.imag) / (q.imag - p.imag) * (q.real - p.real)
            inside ^= point.real < across
    return inside
