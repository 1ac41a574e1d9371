"""How near two things come over the whole of the suspension's travel, with bounds that are certain."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import ArrayLike, NDArray

from trialfit.geometry.paths import PosePath
from trialfit.geometry.solids import ROW_WIDTH, SPAN, Capsule, Convex, Floats, Solid, TriangleMesh, bounds, pack

MOST_CELLS = 200_000
FAR_MM = 100.0
RELATIVE = 0.05


class GapError(ValueError):
    """A gap was asked for that cannot be found; the message says why and what the range is."""


@dataclass(frozen=True, slots=True, eq=False)
class Rigid:
    """Solids that ride together on ``path``; None: fixed to the frame."""

    solids: tuple[Solid, ...]
    path: PosePath | None = None
    _packed: list[Any] = field(default_factory=list, init=False, repr=False)

    def __post_init__(self) -> None:
        if not self.solids:
            raise GapError("a body needs at least one solid")


@dataclass(frozen=True, slots=True, eq=False)
class Span:
    """Round bar with ball ends from ``a`` (3,) [mm] riding on ``path_a`` to ``b`` riding on ``path_b``, both given at
    ride height: link, rod, damper, shaft. A flat-ended bar is overstated by its radius past each end, which errs to a
    smaller gap."""

    a: Floats
    path_a: PosePath | None
    b: Floats
    path_b: PosePath | None
    radius_mm: float
    _packed: list[Any] = field(default_factory=list, init=False, repr=False)


Body = Rigid | Span


@dataclass(frozen=True, slots=True, eq=False)
class Domain:
    """Poses that can be: the box ``lo``..``hi`` (3,) of heave [mm], roll [rad], rock [rad], cut by the stops.

    A pose is possible when ``-droop <= heave +- sin(roll) * apart / 2 <= bump`` for both signs [mm] and
    ``|roll| <= roll_limit`` [rad]. Left at infinity they cut nothing off.
    """

    lo: Floats
    hi: Floats
    bump: float = np.inf
    droop: float = np.inf
    apart: float = 0.0
    roll_limit: float = np.pi / 2

    def __post_init__(self) -> None:
        lo, hi = np.array(self.lo, dtype=np.float64), np.array(self.hi, dtype=np.float64)
        if lo.shape != (3,) or hi.shape != (3,) or not np.all(np.isfinite((lo, hi))) or np.any(lo > hi):
            raise GapError("domain: lo and hi need three finite values each (heave, roll, rock), lo not above hi")
        if not 0.0 <= self.roll_limit <= np.pi / 2:
            raise GapError(f"domain: roll limit {self.roll_limit} rad is outside 0 to pi/2")
        if not 0.0 <= self.apart < np.inf:
            raise GapError(f"domain: the stops' distance apart {self.apart} mm must be 0 or more")
        object.__setattr__(self, "lo", lo)
        object.__setattr__(self, "hi", hi)

    def possible(self, pose: ArrayLike) -> bool:
        """Whether a pose (heave [mm], roll [rad], rock [rad]) lies within the stops (to 1e-9)."""
        at = np.asarray(pose, dtype=np.float64)
        rise = abs(float(np.sin(at[1]))) * self.apart / 2.0
        inside = bool(np.all(at >= self.lo - 1e-9) and np.all(at <= self.hi + 1e-9))
        in_roll = bool(abs(at[1]) <= self.roll_limit + 1e-9)
        return inside and in_roll and bool(-self.droop - 1e-9 <= at[0] - rise and at[0] + rise <= self.bump + 1e-9)


@dataclass(frozen=True, slots=True, eq=False)
class GapBound:
    """``lower_mm`` <= smallest signed gap over all possible poses <= ``upper_mm``; below 0 they overlap.

    ``pose`` (3,) and the points on each (3,) [mm, vehicle frame at that pose] are where ``upper_mm`` was met.
    ``settled``: the bounds closed to the tolerance, or the requirement is decided by them. ``cells``: boxes of poses
    looked at.
    """

    lower_mm: float
    upper_mm: float
    pose: Floats
    point_first: Floats
    point_second: Floats
    cells: int
    settled: bool


@dataclass(frozen=True, slots=True, eq=False)
class PoseGap:
    """Signed gap at one pose within ``lower_mm``..``upper_mm``, with the nearest points (3,) [mm] there."""

    lower_mm: float
    upper_mm: float
    point_first: Floats
    point_second: Floats


def certified_gap(
    first: Body,
    second: Body,
    domain: Domain,
    required_mm: float,
    tol_mm: float = 1.0,
    max_cells: int = MOST_CELLS,
    *,
    margin_mm: float = 0.0,
    exact: bool = False,
    settle: bool = False,
) -> GapBound:
    """Smallest gap of two bodies over continuous travel, with a bound below it that is certain.

    The bounds hold for the paths as given; how far a path may be off the true motion is ``margin_mm``, taken off below
    and added above. Bodies are rigid: what bends or wears errs to a larger gap. A scan has no inside
    (``TriangleMesh``).

    Parameters
    ----------
    first, second : Rigid or Span
        at most one of them a triangle mesh per pair of solids
    domain : Domain
        possible poses; must lie within the boxes of the paths
    required_mm : float
        gap wanted [mm]; far above it the lower bound is left loose (at least ``required_mm`` + 100) unless ``exact``
    tol_mm : float
        width at which the bounds have closed [mm], 5 % of the gap where that is more and ``exact`` is not asked;
        slack of the solids and the margin come on top
    max_cells : int
        boxes of poses to look at before giving up unsettled, with bounds that still hold [-]
    margin_mm : float
        error of the paths, first and second together [mm]
    settle : bool
        stop as soon as the requirement is decided; the bounds are then wider

    Raises
    ------
    GapError
        domain outside a path's box or without a possible pose; mesh against mesh; tolerance not above 0 mm

    Examples
    --------
    >>> from trialfit.geometry.solids import Capsule
    >>> post = Rigid((Capsule([0, 0, 0], [0, 0, 500], 20.0),))
    >>> bar = Rigid((Capsule([100, 0, 0], [100, 0, 500], 30.0),))
    >>> found = certified_gap(post, bar, Domain([0, 0, 0], [0, 0, 0]), required_mm=25.0)
    >>> round(found.lower_mm, 3), round(found.upper_mm, 3), found.settled
    (50.0, 50.0, True)
    """
    if not 0.0 < tol_mm < np.inf:
        raise GapError(f"tolerance {tol_mm} mm must be above 0")
    if not 0.0 <= margin_mm < np.inf or not np.isfinite(required_mm):
        raise GapError("the margin must be 0 mm or more and the required gap a finite number")
    relative, enough = (0.0, np.inf) if exact else (RELATIVE, required_mm + FAR_MM)
    # What is decided is decided with the margin in hand.
    wanted = required_mm + margin_mm + _margin()
    lim = np.array((wanted, tol_mm, relative, wanted if settle else enough + margin_mm, float(settle)))
    found = _search(first, second, domain, lim, max_cells)
    if not np.isfinite(found.upper):
        # Everything was far at a glance; one pose then gives the upper bound.
        middle = Domain(found.pose, found.pose)
        found.take_upper(_search(first, second, middle, np.array((0.0, 0.0, 0.0, np.inf, 0.0)), 1))
    lower = found.lower - margin_mm - _margin()
    upper = found.upper + margin_mm + _margin()
    settled = found.done or lower >= required_mm or upper < required_mm
    return GapBound(
        lower, max(upper, lower), found.pose, found.point_first, found.point_second, found.cells, settled
    )


def gap_at(first: Body, second: Body, pose: ArrayLike) -> PoseGap:
    """Signed gap of two bodies at one pose (heave [mm], roll [rad], rock [rad]), whether the stops allow it or not.

    Raises as :func:`certified_gap`.

    Examples
    --------
    >>> from trialfit.geometry.solids import Box, Capsule
    >>> crate = Rigid((Box([0, 0, 0], [10, 10, 10]),))
    >>> rod = Rigid((Capsule([25, -5, 0], [25, 5, 0], 4.0),))
    >>> found = gap_at(crate, rod, (0, 0, 0))
    >>> round(found.lower_mm, 4), round(found.upper_mm, 4)
    (11.0, 11.0)
    """
    at = np.asarray(pose, dtype=np.float64)
    found = _search(first, second, Domain(at, at, roll_limit=np.pi / 2), np.array((0.0, 0.0, 0.0, np.inf, 0.0)), 1)
    return PoseGap(found.lower - _margin(), found.upper + _margin(), found.point_first, found.point_second)


def compile_all(progress: Callable[[int, int, str], None] | None = None) -> None:
    """Compile every kernel, or load it from the cache beside the code; later calls never wait for the compiler.

    ``progress(done, total, what)`` is told before each step and at the end.
    """
    tell = progress or (lambda done, total, what: None)
    steps = ("scan tree", "sweep over travel")
    tell(0, len(steps), steps[0])
    from trialfit.geometry import sweep, triangles

    triangles.build.compile(_signature(np.zeros((3, 3))))
    tell(1, len(steps), steps[1])
    body = _Packed.of((Capsule(np.zeros(3), np.ones(3), 1.0),), None).arrays()
    call = _arguments(body, _NO_TREE, body, Domain(np.zeros(3), np.zeros(3)), np.zeros(5), 1)
    sweep.search.compile(_signature(*call))
    tell(len(steps), len(steps), "ready")


def _signature(*arguments: Any) -> tuple[Any, ...]:
    from numba import typeof

    return tuple(typeof(argument) for argument in arguments)  # type: ignore[no-untyped-call]


def _margin() -> float:
    from trialfit.geometry.distance import MARGIN_MM

    return MARGIN_MM


@dataclass(slots=True)
class _Found:
    lower: float
    upper: float
    pose: Floats
    point_first: Floats
    point_second: Floats
    cells: int
    done: bool

    def take_upper(self, other: "_Found") -> None:
        """Keep the nearer of two upper bounds with its place."""
        if other.upper < self.upper:
            self.upper, self.pose = other.upper, other.pose
            self.point_first, self.point_second = other.point_first, other.point_second


_NO_TREE = (np.zeros((0, 6)), np.zeros((0, 2), np.int64), np.zeros((1, 3)))
_STILL_BOX = np.zeros((2, 3))


def _still() -> Floats:
    coefs = np.zeros((1, 1, 1, 12))
    coefs[0, 0, 0, [0, 4, 8]] = 1.0
    return coefs


@dataclass(frozen=True, slots=True, eq=False)
class _Packed:
    """What the kernels take of one body, all convex, or one mesh with a stand-in row."""

    rows: Floats
    vertices: Floats
    coefs: Floats
    box: Floats
    coefs_b: Floats
    box_b: Floats
    bend: Floats
    """(n, 3) bounds of the pure second derivatives [mm per unit squared]"""
    corners: Floats
    """(8 n, 3) corners of the boxes round the solids, or the two ends of a span among them"""
    speed: Floats
    """(3,) bound of the first derivatives [mm per unit]"""
    used: NDArray[np.bool_]
    mesh: TriangleMesh | None

    @classmethod
    def of(cls, solids: tuple[Convex, ...], path: PosePath | None, mesh: TriangleMesh | None = None) -> "_Packed":
        boxes = [bounds(solid) for solid in (solids if mesh is None else (mesh,))]
        corners = np.vstack([_eight(low, high) for low, high in boxes])
        rows, vertices = pack(solids) if mesh is None else (np.zeros((1, ROW_WIDTH)), np.zeros((1, 3)))
        coefs, box = _series(path)
        bend, speed = _derivatives(coefs, box, corners, 8)
        return cls(rows, vertices, coefs, box, _still(), _STILL_BOX.copy(), bend, corners, speed.max(axis=0),
                   np.array(coefs.shape[:3]) > 1, mesh)

    @classmethod
    def of_span(cls, span: Span) -> "_Packed":
        # A capsule checks the numbers.
        ends = Capsule(span.a, span.b, span.radius_mm)
        rows, vertices = pack((ends,))
        rows[0, 0] = SPAN
        coefs, box = _series(span.path_a)
        coefs_b, box_b = _series(span.path_b)
        bend_a, speed_a = _derivatives(coefs, box, ends.start[None], 1)
        bend_b, speed_b = _derivatives(coefs_b, box_b, ends.end[None], 1)
        corners = np.zeros((8, 3))
        corners[0], corners[1] = ends.start, ends.end
        used = (np.array(coefs.shape[:3]) > 1) | (np.array(coefs_b.shape[:3]) > 1)
        return cls(rows, vertices, coefs, box, coefs_b, box_b, np.maximum(bend_a, bend_b), corners,
                   np.maximum(speed_a, speed_b)[0], used, None)

    def arrays(self) -> tuple[Floats, ...]:
        return (self.rows, self.vertices, self.coefs, self.box, self.coefs_b, self.box_b, self.bend, self.corners)


def _eight(low: Floats, high: Floats) -> Floats:
    picks = np.array([[(c >> k) & 1 for k in range(3)] for c in range(8)], dtype=bool)
    return np.where(picks, high, low)


def _series(path: PosePath | None) -> tuple[Floats, Floats]:
    """Coefficients and box of a path as fresh writable arrays: the kernels are compiled for those alone."""
    if path is None:
        return _still(), _STILL_BOX.copy()
    coefs = np.array(path.coefs, dtype=np.float64, order="C")
    box = np.array((path.lo, path.hi), dtype=np.float64)
    if coefs.ndim != 4 or coefs.shape[3] != 12:
        raise GapError(f"path: coefficients (nh, nr, nk, 12) expected, got {coefs.shape}")
    if not np.all(np.isfinite(coefs)):
        raise GapError("path: every coefficient must be finite")
    for k in range(3):
        if coefs.shape[k] > 1 and not box[1, k] > box[0, k]:
            # Every term of a series over no width is taken at one and the same pose, its middle.
            at_middle = chebyshev.chebvander(np.zeros(1), coefs.shape[k] - 1)[0]
            coefs = np.expand_dims(np.tensordot(coefs, at_middle, axes=(k, 0)), k)
    return np.ascontiguousarray(coefs), box


def _derivatives(coefs: Floats, box: Floats, points: Floats, group: int) -> tuple[Floats, Floats]:
    """Bounds (n, 3) of |d2p/dq_i2| and |dp/dq_i| over the path's whole box, each the most of a group of points.

    A point's derivative is a Chebyshev series too; each of its polynomials stays within +-1, so the sum of the lengths
    of its coefficients bounds it. The bound is convex in the point, hence a box's corners speak for all within.
    """
    bend = np.zeros((len(points) // group, 3))
    speed = np.zeros_like(bend)
    for k in range(3):
        if coefs.shape[k] < 2:
            continue
        half = (box[1, k] - box[0, k]) / 2.0
        for order, out in ((1, speed), (2, bend)):
            slopes = chebyshev.chebder(coefs, m=order, axis=k).reshape(-1, 12) / half**order
            moved = np.einsum("cij,pj->pci", slopes[:, :9].reshape(-1, 3, 3), points) + slopes[:, 9:]
            out[:, k] = np.linalg.norm(moved, axis=2).sum(axis=1).reshape(-1, group).max(axis=1)
    return bend, speed


def _packed(body: Body) -> list[_Packed]:
    if not body._packed:
        if isinstance(body, Span):
            body._packed.append(_Packed.of_span(body))
        else:
            convex = tuple(solid for solid in body.solids if not isinstance(solid, TriangleMesh))
            if convex:
                body._packed.append(_Packed.of(convex, body.path))
            for solid in body.solids:
                if isinstance(solid, TriangleMesh):
                    body._packed.append(_Packed.of((), body.path, solid))
    packed: list[_Packed] = body._packed
    return packed


def _arguments(
    first: tuple[Floats, ...], tree: tuple[Any, ...], second: tuple[Floats, ...], domain: Domain, lim: Floats,
    cells: int, used: NDArray[np.bool_] | None = None, speed: Floats | None = None,
) -> tuple[Any, ...]:
    far = 1e9  # stands for "no stop": infinity less infinity would be no number
    dom = np.array((min(domain.bump, far), min(domain.droop, far), domain.apart / 2.0, domain.roll_limit))
    active = np.zeros(3, np.int64) if used is None else (used & (domain.lo < domain.hi)).astype(np.int64)
    return (first, tree, second, domain.lo.copy(), domain.hi.copy(), active, dom,
            np.zeros(3) if speed is None else speed, lim, int(cells), np.zeros(16))


def _search(first: Body, second: Body, domain: Domain, lim: Floats, max_cells: int) -> _Found:
    from trialfit.geometry import sweep

    together = isinstance(first, Rigid) and isinstance(second, Rigid) and first.path is second.path
    best: _Found | None = None
    for one in _packed(first):
        for other in _packed(second):
            if one.mesh is not None and other.mesh is not None:
                raise GapError("a scan against a scan is not worked out: stand boxes or tubes in for one of the two")
            for part in (one, other):
                _within(part, domain)
            swapped = other.mesh is not None
            a, b = (other, one) if swapped else (one, other)
            tree = _NO_TREE
            if a.mesh is not None:
                grown = a.mesh.tree()
                tree = (grown.boxes, grown.kids, grown.corners)
            used = np.zeros(3, dtype=bool) if together else a.used | b.used
            call = _arguments(
                a.arrays(), tree, b.arrays(), domain, lim, max_cells, used, a.speed + b.speed
            )
            sweep.search(*call)
            state = call[-1]
            if state[13] < 0.0:
                raise GapError("the domain holds no possible pose: look at the stops and the roll limit")
            points = (state[6:9].copy(), state[9:12].copy())
            if swapped:
                points = points[::-1]
            found = _Found(
                float(state[2]), float(state[1]), state[3:6].copy(), *points, int(state[12]), bool(state[13] > 0.0)
            )
            if best is None:
                best = found
            else:
                best.lower = min(best.lower, found.lower)
                best.cells += found.cells
                best.done = best.done and found.done
                best.take_upper(found)
    assert best is not None
    return best


def _within(part: _Packed, domain: Domain) -> None:
    for coefs, box in ((part.coefs, part.box), (part.coefs_b, part.box_b)):
        for k, name in enumerate(("heave", "roll", "rock")):
            if coefs.shape[k] < 2:
                continue
            edge = 1e-9 * max(1.0, float(np.abs(box[:, k]).max()))
            if domain.lo[k] < box[0, k] - edge or domain.hi[k] > box[1, k] + edge:
                raise GapError(
                    f"{name} {domain.lo[k]:g} to {domain.hi[k]:g} goes past the path's {box[0, k]:g} to {box[1, k]:g}"
                )
