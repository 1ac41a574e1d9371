"""The way a rigid body takes through heave, roll and rock, as a Chebyshev series whose bounds can be read off.

A table of poses says nothing between its rows. A polynomial does: on the box its parameters run over, every Chebyshev
polynomial stays within [-1, 1], so sums of the absolute coefficients bound the movement and its derivatives.

Source: J. P. Boyd, Chebyshev and Fourier Spectral Methods, 2nd ed., ch. 2 and 4 (from memory); least squares on part
of a box: B. Adcock and D. Huybrechs, Frames and numerical approximation, SIAM Review 61 (2019) (from memory).
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.polynomial import chebyshev
from numpy.typing import NDArray

Floats = NDArray[np.float64]
PathFunction = Callable[[Floats], Floats]
"""(n, 3) parameters -> (n, 12) rotation row by row and shift; a row of NaN where the body cannot be placed"""
Wanted = Callable[[Floats], NDArray[np.bool_]]
"""(n, 3) parameters -> (n,) bool: whether a path is needed there"""

_AT_ONCE = 1024
"""Poses worked out together: what lies between heave and the other two takes some 10 kB of memory for each."""
_EDGE = 1e-9
"""slack at the ends of the box, as a share of its width: rounding, not extrapolation"""


_MOST_BY_SQUARES = 20
"""degree at which a fit by least squares gives up: its cost grows with the sixth power"""
_CALM = 2.0
"""price of a degree against the one below it, where a series is free"""


class PathError(ValueError):
    """A path cannot be evaluated or fitted there; the message says where and what the range is."""


@dataclass(frozen=True, slots=True, eq=False)
class PosePath:
    """Rigid motion ``p -> R p + t`` from ride height as a tensor Chebyshev series over the box ``lo``..``hi``.

    The rotation is a polynomial too, so it is orthogonal only to within the error of the fit.

    Parameters
    ----------
    coefs : (nh, nr, nk, 12)
        coefficients of degree 0, 1, ... in heave, roll, rock; nine of the rotation row by row [-], three of the
        shift [mm]; an axis on which nothing depends has size 1
    lo, hi : (3,)
        ends of the box: heave [mm], roll [rad], rock [rad]
    """

    coefs: Floats
    lo: Floats
    hi: Floats

    def __post_init__(self) -> None:
        if self.coefs.ndim != 4 or self.coefs.shape[3] != 12:
            raise PathError(f"coefficients must have shape (nh, nr, nk, 12), not {self.coefs.shape}")
        if self.lo.shape != (3,) or self.hi.shape != (3,) or bool(np.any(self.lo > self.hi)):
            raise PathError("a box needs three lower ends, none above its upper end")

    def poses(self, parameters: Floats) -> tuple[Floats, Floats]:
        """Rotations (n, 3, 3) [-] and shifts (n, 3) [mm] at ``parameters`` (n, 3): heave [mm], roll, rock [rad].

        Raises
        ------
        PathError
            outside the box, with the box; on an axis of size 1 any value is taken, for nothing depends on it
        """
        values = np.atleast_2d(np.asarray(parameters, dtype=np.float64))
        unit = _to_unit(values, self.lo, self.hi)
        used = np.array(self.coefs.shape[:3]) > 1
        outside = np.any(~(np.abs(unit) <= 1.0 + 2.0 * _EDGE) & used, axis=1)
        if bool(np.any(outside)):
            bad = values[int(np.argmax(outside))]
            raise PathError(
                f"pose (heave {bad[0]:.6g} mm, roll {bad[1]:.6g} rad, rock {bad[2]:.6g} rad) is outside the range "
                f"{self.lo[0]:.6g}..{self.hi[0]:.6g} mm, {self.lo[1]:.6g}..{self.hi[1]:.6g} rad, "
                f"{self.lo[2]:.6g}..{self.hi[2]:.6g} rad"
            )
        twelve = _series(self.coefs, unit)
        return twelve[:, :9].reshape(-1, 3, 3), twelve[:, 9:]

    def pose(self, heave: float, roll: float, rock: float) -> tuple[Floats, Floats]:
        """Rotation (3, 3) [-] and shift (3,) [mm] at one state; raises as :meth:`poses`."""
        rotations, shifts = self.poses(np.array([[heave, roll, rock]]))
        return rotations[0], shifts[0]

    def move(self, points: Floats, parameters: tuple[float, float, float]) -> Floats:
        """Points (3,) or (m, 3) [mm] moved from ride height to one state; raises as :meth:`poses`."""
        rotation, shift = self.pose(*parameters)
        moved: Floats = np.asarray(points, dtype=np.float64) @ rotation.T + shift
        return moved


@dataclass(frozen=True, slots=True, eq=False)
class PathFit:
    """A fitted path with ``error_mm``, the greatest difference met at poses between the nodes, for any point within
    the given reach; ``checked`` counts those poses; ``whole_box`` is False when only the wanted part was fitted."""

    path: PosePath
    error_mm: float
    checked: int
    whole_box: bool


def still(lo: Floats, hi: Floats) -> PosePath:
    """Path of a body that stays at ride height."""
    coefs = np.zeros((1, 1, 1, 12))
    coefs[0, 0, 0, [0, 4, 8]] = 1.0
    return PosePath(coefs, lo, hi)


def fit(
    function: PathFunction,
    lo: Floats,
    hi: Floats,
    *,
    axes: tuple[bool, bool, bool] = (True, True, True),
    centre: Floats | None = None,
    reach_mm: float = 1500.0,
    tolerance_mm: float = 1e-6,
    most_degree: int = 26,
    wanted: Wanted | None = None,
) -> PathFit:
    """Fit a path, raising its degree until it agrees with ``function`` between the nodes.

    The difference is measured at poses denser than the nodes, the corners of the box included. That it is no larger
    elsewhere is a judgement, not a proof. When ``function`` gives NaN somewhere in the box but nowhere where
    ``wanted`` holds, the series is fitted by least squares to the wanted part alone and holds only there.

    Parameters
    ----------
    function : callable
        (n, 3) parameters -> (n, 12) rotation row by row [-] and shift [mm]
    lo, hi : (3,)
        box of heave [mm], roll [rad], rock [rad]
    axes : three bool
        which parameters the path depends on; the others get size 1
    centre : (3,)
        point that ``reach_mm`` is counted from [mm]; the origin when None
    reach_mm : float
        how far from ``centre`` a point of the body may be [mm]
    tolerance_mm : float
        difference at which raising the degree stops [mm]; the fit goes on to a tenth of it where that is cheap
    most_degree : int
        degree at which it gives up on an axis [-]
    wanted : callable
        (n, 3) parameters -> (n,) bool, the part of the box that is needed; all of it when None

    Raises
    ------
    PathError
        when ``function`` has no value at a wanted pose
    """
    middle = np.zeros(3) if centre is None else np.asarray(centre, dtype=np.float64)
    free = tuple(bool(asked) and bool(low < high) for asked, low, high in zip(axes, lo, hi, strict=True))
    degrees = [4 if f else 0 for f in free]
    whole = True
    while True:
        path = _through_nodes(function, lo, hi, degrees) if whole else None
        if path is None:
            # poses that cannot be reached cost most: from here on only the wanted part is asked for
            whole, path = False, _by_least_squares(function, lo, hi, degrees, wanted)
        error, checked, everywhere = _difference(function, path, degrees, middle, reach_mm, wanted, whole)
        whole = whole and everywhere
        most = most_degree if whole else min(most_degree, _MOST_BY_SQUARES)
        open_axes = [f and d < most for f, d in zip(free, degrees, strict=True)]
        if error <= 0.1 * tolerance_mm or not any(open_axes):
            break
        tails = [_tail(path.coefs, axis) if may else -1.0 for axis, may in enumerate(open_axes)]
        if error <= tolerance_mm and max(tails) < 0.01 * tolerance_mm:
            break
        for axis in range(3):
            if tails[axis] >= 0.0 and tails[axis] >= 0.03 * max(tails):
                degrees[axis] = min(degrees[axis] + (2 if whole else 4), most)
    return PathFit(path, error, checked, whole)


def _to_unit(values: Floats, lo: Floats, hi: Floats) -> Floats:
    width = hi - lo
    safe = np.where(width > 0.0, width, 1.0)
    unit: Floats = np.where(width > 0.0, (2.0 * values - lo - hi) / safe, 0.0)
    return unit


def _from_unit(unit: Floats, lo: Floats, hi: Floats) -> Floats:
    values: Floats = 0.5 * (lo + hi) + 0.5 * (hi - lo) * unit
    return values


def _basis(unit: Floats, shape: tuple[int, ...]) -> tuple[Floats, Floats, Floats]:
    inside = np.clip(unit, -1.0, 1.0)
    first: Floats = np.asarray(chebyshev.chebvander(inside[:, 0], shape[0] - 1), dtype=np.float64)
    second: Floats = np.asarray(chebyshev.chebvander(inside[:, 1], shape[1] - 1), dtype=np.float64)
    third: Floats = np.asarray(chebyshev.chebvander(inside[:, 2], shape[2] - 1), dtype=np.float64)
    return first, second, third


def _series(coefs: Floats, unit: Floats) -> Floats:
    if len(unit) > _AT_ONCE:
        return np.concatenate([_series(coefs, unit[k : k + _AT_ONCE]) for k in range(0, len(unit), _AT_ONCE)])
    first, second, third = _basis(unit, coefs.shape)
    nh, nr, nk, _ = coefs.shape
    in_heave = (first @ coefs.reshape(nh, -1)).reshape(-1, nr, nk, 12)
    in_roll = np.einsum("nj,njkc->nkc", second, in_heave)
    values: Floats = np.einsum("nk,nkc->nc", third, in_roll)
    return values


def _nodes(count: int) -> Floats:
    angles = (np.arange(count) + 0.5) * (np.pi / count)
    nodes: Floats = np.cos(angles)
    return nodes


def _mesh(columns: list[Floats]) -> Floats:
    grids = np.meshgrid(*columns, indexing="ij")
    mesh: Floats = np.stack([g.ravel() for g in grids], axis=1)
    return mesh


def _through_nodes(function: PathFunction, lo: Floats, hi: Floats, degrees: list[int]) -> PosePath | None:
    """Series through the nodes of the whole box; None when the body cannot be placed at one of them."""
    counts = [d + 1 for d in degrees]
    values = function(_from_unit(_mesh([_nodes(c) for c in counts]), lo, hi))
    if bool(np.any(np.isnan(values))):
        return None
    coefs = values.reshape(*counts, 12)
    for axis, count in enumerate(counts):
        # discrete orthogonality of T_k at the roots of T_count
        analysis = chebyshev.chebvander(_nodes(count), count - 1).T * (2.0 / count)
        analysis[0] *= 0.5
        coefs = np.moveaxis(np.tensordot(analysis, coefs, axes=(1, axis)), 0, axis)
    return PosePath(np.ascontiguousarray(coefs), lo, hi)


def _by_least_squares(
    function: PathFunction, lo: Floats, hi: Floats, degrees: list[int], wanted: Wanted | None
) -> PosePath:
    """Series that fits the wanted part, ends included: more samples than unknowns, for it is smaller than the box."""
    counts = [d + 1 for d in degrees]
    dense = _mesh([np.cos(np.linspace(0.0, np.pi, 2 * c + 3)) if c > 1 else np.zeros(1) for c in counts])
    parameters = _from_unit(dense, lo, hi)
    if wanted is not None:
        keep = wanted(parameters)
        dense, parameters = dense[keep], parameters[keep]
    values = function(parameters)
    _refuse_gaps(parameters, values)
    first, second, third = _basis(dense, tuple(counts))
    matrix = np.einsum("ni,nj,nk->nijk", first, second, third).reshape(len(dense), -1)
    # outside the wanted part many series fit as well: high degrees are made dear, so that a calm one is taken
    total = np.add.outer(np.add.outer(np.arange(counts[0]), np.arange(counts[1])), np.arange(counts[2])).ravel()
    price = _CALM ** total.astype(np.float64)
    solution, *_ = np.linalg.lstsq(matrix / price, values, rcond=1e-13)
    return PosePath(np.ascontiguousarray((solution / price[:, None]).reshape(*counts, 12)), lo, hi)


def _refuse_gaps(parameters: Floats, values: Floats) -> None:
    gone = np.any(np.isnan(values), axis=1)
    if bool(np.any(gone)):
        heave, roll, rock = parameters[int(np.argmax(gone))]
        raise PathError(f"the body cannot be placed at heave {heave:.6g} mm, roll {roll:.6g} rad, rock {rock:.6g} rad")


def _difference(
    function: PathFunction,
    path: PosePath,
    degrees: list[int],
    centre: Floats,
    reach_mm: float,
    wanted: Wanted | None,
    whole: bool,
) -> tuple[float, int, bool]:
    """Greatest difference between nodes, poses compared, and whether all of the box could be; outside the wanted part
    only while ``whole`` holds."""
    columns = [np.cos(np.linspace(0.0, np.pi, 2 * d + 4)) if d else np.zeros(1) for d in degrees]
    parameters = _from_unit(_mesh(columns), path.lo, path.hi)
    if not whole and wanted is not None:
        parameters = parameters[wanted(parameters)]
    values = function(parameters)
    everywhere = not bool(np.any(np.isnan(values)))
    if not everywhere:
        if wanted is not None:
            held = wanted(parameters)
            parameters, values = parameters[held], values[held]
        _refuse_gaps(parameters, values)
    return pose_difference_mm(path, parameters, values, centre, reach_mm), len(parameters), everywhere


def pose_difference_mm(path: PosePath, parameters: Floats, values: Floats, centre: Floats, reach_mm: float) -> float:
    """Greatest distance [mm] between where ``path`` puts a point and where ``values`` (n, 12) put it, over the given
    parameters (n, 3), for any point within ``reach_mm`` of ``centre`` (an upper bound, by the triangle inequality)."""
    rotations, shifts = path.poses(parameters)
    turned = rotations - values[:, :9].reshape(-1, 3, 3)
    moved = np.linalg.norm(turned @ centre + shifts - values[:, 9:], axis=1)
    return float(np.max(moved + reach_mm * np.linalg.norm(turned, axis=(1, 2)), initial=0.0))


def _tail(coefs: Floats, axis: int) -> float:
    size = coefs.shape[axis]
    last = np.take(coefs, range(max(size - 2, 0), size), axis=axis)
    scale = np.ones(12)
    scale[:9] = 1500.0
    return float(np.max(np.abs(last) * scale))
