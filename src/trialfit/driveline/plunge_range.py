"""How far the slip moves over the whole travel, between bounds that are certain.

A body's path is a polynomial in heave, roll and rock, so the vector from front joint to rear joint is one too, and sums
of its Chebyshev coefficients bound its first and second derivatives everywhere. On a cell of the travel the slip is
then no more than its value in the middle, plus the slope there times the half widths, plus half the bound of the second
derivatives times their squares. Cells that could still hold the extreme are cut until the bounds meet (branch and
bound).

Source: geometry; J. P. Boyd, Chebyshev and Fourier Spectral Methods, 2nd ed. (from memory).
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

from trialfit.driveline.shaft_line import Places, ShaftLine, Slip, nose_up, places
from trialfit.geometry.paths import PosePath, still
from trialfit.vehicle import PosePoint, Travel

Floats = NDArray[np.float64]

TOLERANCE_MM = 0.05
"""width at which the bounds count as met"""
_MOST_CELLS = 400_000


@dataclass(frozen=True, slots=True)
class Bracket:
    """A number known to lie in ``lower``..``upper`` [mm], and the state where ``lower`` was met (for a greatest
    amount)."""

    lower: float
    upper: float
    at: PosePoint


@dataclass(frozen=True, slots=True)
class PlungeRange:
    """How far the slip is pulled out and pushed in from ride height at most [mm], each between bounds.

    ``settled`` is False when the search stopped at its limit of cells; the bounds hold all the same. ``wrap_rad`` is
    the range of wind of the axle that was counted in.
    """

    out: Bracket
    into: Bracket
    settled: bool
    wrap_rad: tuple[float, float]

    @property
    def whole_mm(self) -> float:
        """Upper bound of the slip's whole stroke [mm]."""
        return self.out.upper + self.into.upper


def plunge_range(line: ShaftLine, travel: Travel, wrap_rad: tuple[float, float] = (0.0, 0.0)) -> PlungeRange:
    """How far the slip moves between the stops, with roll, engine rock, the arc of the springs and wind of the axle.

    Give of bushes and of rubber mounts along the vehicle is left out and errs on the small side: a soft gearbox mount
    alone may add 5 mm.

    Parameters
    ----------
    line : ShaftLine
        its slip may also be missing: the answer is then by how much the shaft would have to stretch and shrink
    travel : Travel
        from ``motion``; its own fit error is counted in
    wrap_rad : two floats
        least and most wind of the axle under torque, nose up + [rad]

    Raises
    ------
    ValueError
        for a range of wind the wrong way round or beyond 15 deg, or a slip yoke that does not reach

    Source: see the head of this module.
    """
    low, high = wrap_rad
    if not -math.radians(15.0) <= low <= high <= math.radians(15.0):
        raise ValueError(f"wind of the axle is {math.degrees(low):.3g} to {math.degrees(high):.3g} deg; it must rise "
                         "and lie between -15 deg and 15 deg")  # fmt: skip
    winds = [0.0] if low == high == 0.0 else sorted({low, 0.5 * (low + high), high})
    found = [(_extreme(line, travel, wind, 1.0), _extreme(line, travel, wind, -1.0)) for wind in winds]
    # between two winds: the joint moves on a circle about the axle, so its second derivative is bounded by the lever
    lever = float(np.linalg.norm(line.rear.joint_mm - np.array(travel.reference)))
    steep = 1.0 / math.cos(_worst_angle(line, travel, winds))
    reach = float(np.linalg.norm(line.rear.joint_mm - line.front.joint_mm))
    bow = 0.0
    if len(winds) > 1:
        step = (high - low) / (len(winds) - 1)
        bow = step**2 / 8.0 * (lever + 4.0 * lever**2 / reach) * steep
    more = bow + travel.fit_error_mm * (1.0 + steep) + _double_slack(line, travel, winds)
    out = max((f[0] for f in found), key=lambda b: b[0])
    into = max((f[1] for f in found), key=lambda b: b[0])
    tops = [max(f[n][1] for f in found) + more for n in (0, 1)]
    settled = all(f[n][3] for f in found for n in (0, 1))
    return PlungeRange(Bracket(out[0], tops[0], out[2]), Bracket(into[0], tops[1], into[2]), settled, wrap_rad)


def _worst_angle(line: ShaftLine, travel: Travel, winds: list[float]) -> float:
    states = np.array(travel.grid(5, 5, 3))
    return max(float(np.max(places(line, travel, states, wind).angles_rad)) for wind in winds)


def _double_slack(line: ShaftLine, travel: Travel, winds: list[float]) -> float:
    """Greatest difference that taking a double joint as one joint in its middle makes to the slip [mm]."""
    if line.double_mm is None:
        return 0.0
    states = np.array(travel.grid(9, 9, 3))
    worst = max(float(np.max(places(line, travel, states, w).angles_rad[:, :2].sum(axis=1))) for w in winds)
    return line.double_mm * (1.0 / math.cos(worst / 2.0) - 1.0)


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """Vector from the front joint's place at ride height to the rear joint, as a series; ``axis`` is set where the
    front joint slides: the series is then told in the gearbox's own frame."""

    coefs: Floats
    lo: Floats
    hi: Floats
    axis: Floats | None
    ride_mm: float
    first: Floats
    second: Floats

    def at(self, states: Floats) -> Floats:
        return _evaluate(self.coefs, self.lo, self.hi, states)

    def slopes(self, states: Floats) -> Floats:
        lo, hi = self.lo, self.hi
        return np.stack([_evaluate(_derived(self.coefs, lo, hi, i), lo, hi, states) for i in range(3)])


def _point(path: PosePath | None, point: Floats, lo: Floats, hi: Floats) -> Floats:
    coefs = (still(lo, hi) if path is None else path).coefs
    moved: Floats = coefs[..., :9].reshape(*coefs.shape[:3], 3, 3) @ point + coefs[..., 9:]
    return moved


def _added(first: Floats, second: Floats) -> Floats:
    shape = tuple(max(a, b) for a, b in zip(first.shape[:3], second.shape[:3], strict=True))
    whole = np.zeros((*shape, 3))
    for part in (first, second):
        a, b, c = part.shape[:3]
        whole[:a, :b, :c] += part
    return whole


def _way(line: ShaftLine, travel: Travel, wind: float) -> _Way:
    lo, hi = np.asarray(travel.lo, dtype=np.float64), np.asarray(travel.hi, dtype=np.float64)
    reference = np.array(travel.reference)
    rear = nose_up(wind) @ (line.rear.joint_mm - reference) + reference
    behind = _point(travel.paths.get(line.rear.body), rear, lo, hi)
    axis = None
    if line.slip is Slip.YOKE:
        axis = line.front.direction
        coefs = _in_frame(travel.paths.get(line.front.body), behind, line.front.joint_mm, lo, hi)
        ride = float(np.linalg.norm(line.rear.joint_mm - line.front.joint_mm))
    elif line.centre is not None:
        middle = _middle(line, travel, lo, hi)
        coefs = _added(behind, -middle)
        ride = float(places(line, None, np.zeros((1, 3))).lengths_mm[0, -1])
    else:
        coefs = _added(behind, -_point(travel.paths.get(line.front.body), line.front.joint_mm, lo, hi))
        ride = float(np.linalg.norm(line.rear.joint_mm - line.front.joint_mm))
    first = np.array([_bound(_derived(coefs, lo, hi, i)) for i in range(3)])
    second = np.array([[_bound(_derived(_derived(coefs, lo, hi, i), lo, hi, j)) for j in range(3)] for i in range(3)])
    return _Way(coefs, lo, hi, axis, ride, first, second)


def _in_frame(path: PosePath | None, behind: Floats, front: Floats, lo: Floats, hi: Floats) -> Floats:
    """Series of ``rotation^T (behind - shift)`` less the front joint, for a body that moves with rock alone."""
    moves = still(lo, hi) if path is None else path
    if moves.coefs.shape[0] > 1 or moves.coefs.shape[1] > 1:
        raise ValueError("a slip yoke must ride on the engine or the frame, not on the axle")
    inner = moves.coefs[0, 0]
    turn, shift = inner[:, :9].reshape(-1, 3, 3), inner[:, 9:]
    size = len(inner)
    product = np.zeros((2 * size - 1, 3))
    for i in range(3):
        for j in range(3):
            part = chebyshev.chebmul(turn[:, j, i], shift[:, j])
            product[: len(part), i] += part
    if behind.shape[2] > 1:
        raise ValueError("the rear end of the shaft must ride on the axle or the frame, not on the engine")
    whole = np.zeros((behind.shape[0], behind.shape[1], len(product), 3))
    whole[:, :, :size] = np.einsum("kji,abj->abki", turn, behind[:, :, 0])
    whole[0, 0] -= product
    whole[0, 0, 0] -= front
    return whole


def _middle(line: ShaftLine, travel: Travel, lo: Floats, hi: Floats) -> Floats:
    """Series of the middle joint: it leans with the engine's rock alone, through the front piece."""
    count = 15
    if hi[2] <= lo[2]:
        spot = places(line, travel, np.array([[0.5 * (lo[0] + hi[0]), 0.0, lo[2]]])).joints_mm[0, 1]
        return np.asarray(spot, dtype=np.float64).reshape(1, 1, 1, 3)
    nodes = np.cos((np.arange(count) + 0.5) * np.pi / count)
    rocks = 0.5 * (lo[2] + hi[2]) + 0.5 * (hi[2] - lo[2]) * nodes
    states = np.stack([np.full(count, 0.5 * (lo[0] + hi[0])), np.zeros(count), rocks], axis=1)
    spots = places(line, travel, states).joints_mm[:, 1]
    series = np.linalg.solve(chebyshev.chebvander(nodes, count - 1), spots)
    return np.asarray(series, dtype=np.float64).reshape(1, 1, count, 3)


def _derived(coefs: Floats, lo: Floats, hi: Floats, axis: int) -> Floats:
    if coefs.shape[axis] == 1 or hi[axis] <= lo[axis]:
        return np.zeros((1, 1, 1, 3))
    made: Floats = chebyshev.chebder(coefs, axis=axis) * (2.0 / (hi[axis] - lo[axis]))
    return made


def _bound(coefs: Floats) -> float:
    return float(np.linalg.norm(np.sum(np.abs(coefs), axis=(0, 1, 2))))


def _evaluate(coefs: Floats, lo: Floats, hi: Floats, states: Floats) -> Floats:
    width = np.where(hi > lo, hi - lo, 1.0)
    unit = np.clip(np.where(hi > lo, (2.0 * states - lo - hi) / width, 0.0), -1.0, 1.0)
    nh, nr, nk, _ = coefs.shape
    in_heave = (chebyshev.chebvander(unit[:, 0], nh - 1) @ coefs.reshape(nh, -1)).reshape(-1, nr, nk, 3)
    in_roll = np.einsum("nj,njkc->nkc", chebyshev.chebvander(unit[:, 1], nr - 1), in_heave)
    values: Floats = np.einsum("nk,nkc->nc", chebyshev.chebvander(unit[:, 2], nk - 1), in_roll)
    return values


def _values(way: _Way, states: Floats) -> tuple[Floats, Floats]:
    """Slip beyond ride height (n,) and its slopes (3, n)."""
    vector, slopes = way.at(states), way.slopes(states)
    if way.axis is None:
        length = np.linalg.norm(vector, axis=1)
        return length - way.ride_mm, np.sum(slopes * vector, axis=2) / length
    along = vector @ way.axis
    left = way.ride_mm**2 - np.sum(vector * vector, axis=1) + along**2
    if bool(np.any(left <= 0.0)):
        raise ValueError("the shaft does not reach the axle at every state: it hangs too far to the side of the "
                         "gearbox's axis")  # fmt: skip
    run = np.sqrt(left)
    shaft = vector - (along - run)[:, None] * way.axis
    return along - run, np.sum(slopes * shaft, axis=2) / run


def _curvature(way: _Way, states: Floats) -> Floats:
    """Bounds (3, 3) of the second derivatives of the slip over the whole box."""
    vector = way.at(states)
    reach = way.first @ (way.hi - way.lo)
    if way.axis is None:
        short = float(np.min(np.linalg.norm(vector, axis=1))) - _between(way)
        if short <= 0.0:
            raise ValueError("the joints of the shaft come too near to one another to tell its travel")
        made: Floats = np.outer(way.first, way.first) / short + way.second
        return made
    side = vector - (vector @ way.axis)[:, None] * way.axis
    widest = float(np.max(np.linalg.norm(side, axis=1))) + min(_between(way), float(reach))
    if widest >= 0.9 * way.ride_mm:
        raise ValueError("the shaft hangs so far to the side of the gearbox's axis that its slip cannot be told")
    cosine = math.sqrt(1.0 - (widest / way.ride_mm) ** 2)
    swung = way.first * (1.0 + 1.0 / cosine)
    bounds: Floats = (np.outer(swung, swung) / way.ride_mm + way.second) / cosine
    return bounds


_GRID = (41, 21, 9)


def _nodes(way: _Way) -> Floats:
    ends = [np.linspace(low, high, count) if high > low else np.array([low])
            for low, high, count in zip(way.lo, way.hi, _GRID, strict=True)]  # fmt: skip
    return np.stack([g.ravel() for g in np.meshgrid(*ends, indexing="ij")], axis=1)


def _between(way: _Way) -> float:
    """How far the vector can stray from that at the nearest node [mm]."""
    half = (way.hi - way.lo) / (2.0 * (np.array(_GRID) - 1.0))
    return float(way.first @ half)


def _extreme(line: ShaftLine, travel: Travel, wind: float, sign: float) -> tuple[float, float, PosePoint, bool]:
    """Greatest ``sign * slip``: value met, upper bound, state where met, whether the two came together."""
    way = _way(line, travel, wind)
    bend = _curvature(way, _nodes(way))
    cells = _cells(way)
    seen = np.array(travel.grid(21, 11, 3 if way.hi[2] > way.lo[2] else 1))
    values = sign * _values(way, seen)[0]
    n = int(np.argmax(values))
    best, where = float(values[n]), seen[n]
    top = best
    for _ in range(80):
        cells = cells[_touches(travel, cells)]
        if not len(cells):
            return best, max(top, best), _state(where), True
        middle, half = 0.5 * (cells[:, 0] + cells[:, 1]), 0.5 * (cells[:, 1] - cells[:, 0])
        value, slope = _values(way, middle)
        share = np.abs(slope).T * half + 0.5 * (half @ bend) * half
        upper = sign * value + np.sum(share, axis=1)
        inside = _brought_in(travel, middle)
        met = sign * _values(way, inside)[0]
        n = int(np.argmax(met))
        if met[n] > best:
            best, where = float(met[n]), inside[n]
        keep = upper > best + TOLERANCE_MM
        dropped = upper[~keep]
        if len(dropped):
            top = max(top, float(np.max(dropped)))
        cells, upper, share = cells[keep], upper[keep], share[keep]
        if len(cells) > _MOST_CELLS:
            return best, max(top, float(np.max(upper))), _state(where), False
        cells = _cut(cells, np.argmax(share, axis=1))
    return best, max(top, float(np.max(upper, initial=best))), _state(where), False


def _state(where: Floats) -> PosePoint:
    return PosePoint(*(float(v) for v in where))


def _cells(way: _Way) -> Floats:
    counts = (16, 8, 4)
    edges = [np.linspace(way.lo[i], way.hi[i], counts[i] + 1) if way.hi[i] > way.lo[i]
             else np.array([way.lo[i], way.hi[i]]) for i in range(3)]  # fmt: skip
    low = np.stack([g.ravel() for g in np.meshgrid(*(e[:-1] for e in edges), indexing="ij")], axis=1)
    high = np.stack([g.ravel() for g in np.meshgrid(*(e[1:] for e in edges), indexing="ij")], axis=1)
    return np.stack([low, high], axis=1)


def _cut(cells: Floats, axis: NDArray[np.intp]) -> Floats:
    rows = np.arange(len(cells))
    middle = 0.5 * (cells[rows, 0, axis] + cells[rows, 1, axis])
    left, right = cells.copy(), cells.copy()
    left[rows, 1, axis] = middle
    right[rows, 0, axis] = middle
    return np.concatenate([left, right])


def _touches(travel: Travel, cells: Floats) -> NDArray[np.bool_]:
    """Cells that hold a state which the stops allow."""
    if travel.stops is None or not len(cells):
        return np.ones(len(cells), dtype=np.bool_)
    low, high = cells[:, 0, 1], cells[:, 1, 1]
    least = np.where((low <= 0.0) & (high >= 0.0), 0.0, np.minimum(np.abs(low), np.abs(high)))
    half = np.sin(least) * travel.stops.apart_mm / 2.0
    touches: NDArray[np.bool_] = (cells[:, 0, 0] + half <= travel.stops.bump_mm + 1e-9) & (
        cells[:, 1, 0] - half >= -travel.stops.droop_mm - 1e-9
    )
    return touches


def _brought_in(travel: Travel, states: Floats) -> Floats:
    """States moved in heave, and in roll where that is not enough, to where the stops allow them."""
    if travel.stops is None:
        return states
    stops, moved = travel.stops, states.copy()
    most = math.asin(min(1.0, (stops.bump_mm + stops.droop_mm) / stops.apart_mm))
    moved[:, 1] = np.clip(moved[:, 1], -most, most)
    half = np.abs(np.sin(moved[:, 1])) * stops.apart_mm / 2.0
    moved[:, 0] = np.clip(moved[:, 0], half - stops.droop_mm, np.maximum(stops.bump_mm - half, half - stops.droop_mm))
    return moved


def no_slip_reason(line: ShaftLine, travel: Travel) -> str:
    """Why a shaft that is fixed at both ends is refused, with the movement it would have to swallow; "" where the line
    has a slip.
    """
    if line.slip is not Slip.NONE:
        return ""
    swing = plunge_range(line, travel)
    return (f"the shaft is fixed at both ends, but the joints go {swing.out.lower:.1f} mm further apart and "
            f"{swing.into.lower:.1f} mm closer together over the travel: it would tear its mounts or push the gearbox "
            "in. Give it a slip yoke or a spline in the shaft")  # fmt: skip


def dense_places(line: ShaftLine, travel: Travel, wrap_rad: float = 0.0) -> tuple[Floats, Places]:
    """States (n, 3) of a grid over the whole travel, and the shaft at each of them."""
    states = np.array(travel.grid(31, 15, 3 if travel.hi[2] > travel.lo[2] else 1))
    return states, places(line, travel, states, wrap_rad)
