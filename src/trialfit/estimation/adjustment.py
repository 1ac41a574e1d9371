"""Weighted non-linear least squares, and what its residuals tell."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trialfit.estimation.significance import GlobalTest, global_test

Floats = NDArray[np.float64]
Model = Callable[[Floats], tuple[Floats, Any]]
"""Unknowns (n,) to computed readings (m,) and their derivatives (m, n), dense or scipy sparse."""

_TINY = 1e-11


class Underdetermined(ValueError):
    """Some unknowns are held by no reading; ``unknowns`` are their places (0-based)."""

    def __init__(self, unknowns: Sequence[int]) -> None:
        self.unknowns = tuple(unknowns)
        super().__init__(f"no reading holds unknown {', '.join(map(str, self.unknowns))}")


@dataclass(frozen=True, slots=True, eq=False)
class Adjustment:
    """Unknowns that fit the readings best, and the tests of every reading.

    ``residuals`` are reading less adjusted value: positive when the reading is too long. ``redundancy`` is the share
    of a blunder in a reading that stays in its residual, 0 (nothing checks it) to 1. ``w`` is the residual over its
    own standard deviation, the readings' stated doubt believed; ``studentised`` the same with the spread taken from
    the residuals themselves (None when fewer than 2 readings are spare). ``covariance`` is a priori: it believes the
    stated doubts, whatever ``test.sigma0`` says.
    """

    unknowns: Floats
    covariance: Floats
    residuals: Floats
    sd: Floats
    redundancy: Floats
    w: Floats
    studentised: Floats | None
    test: GlobalTest
    derivatives: Any
    """(m, n) at the solution"""
    steps: int
    converged: bool

    def blunder(self, reading: int) -> tuple[float, float]:
        """How far reading ``reading`` is off if it alone is wrong, and the standard deviation of that (to first
        order). Positive: it was read too long."""
        r = float(self.redundancy[reading])
        if r <= _TINY:
            return 0.0, float("inf")
        return float(self.residuals[reading]) / r, float(self.sd[reading]) / r**0.5

    def alike(self, first: int) -> Floats:
        """Correlation of the test statistic of reading ``first`` with that of every reading, (m,) [-]."""
        rows = _dense(self.derivatives)[first] if not hasattr(self.derivatives, "tocsr") else (
            self.derivatives[first].toarray()[0])
        shared = np.asarray(self.derivatives @ (self.covariance @ rows)) / (self.sd * self.sd[first])
        own = np.zeros_like(shared)
        own[first] = 1.0
        scale = np.sqrt(np.maximum(self.redundancy * self.redundancy[first], _TINY))
        answer: Floats = np.where(self.redundancy > 1e-6, (own - shared) / scale, 0.0)
        return answer


def descend(
    model: Model, observed: Floats, sd: Floats, start: Floats, *, most_steps: int = 100, tolerance: float = 1e-11,
    hold: float = 0.0, damping: float = 1e-4,
) -> tuple[Floats, int, bool]:
    """Unknowns of the (local) least weighted sum of squares, steps taken, and whether it settled.

    Damped Gauss-Newton on the normal equations, which are summed sparse and factored dense: a survey of a few hundred
    points has a normal matrix well under a thousand wide. Finds the valley that ``start`` lies in, no other.

    Parameters
    ----------
    model : Model
        unknowns to computed readings and derivatives
    observed, sd : array, shape (m,)
        readings and their standard deviations, any unit [-]
    start : array, shape (n,)
        starting unknowns [-]
    most_steps : int
        steps at most [-]
    tolerance : float
        settled when a step is smaller than this share of the unknowns [-]
    hold : float
        weight with which every unknown is tied to where it stands, so that loose ones stay put [-]
    damping : float
        caution of the first step, 0 for plain Gauss-Newton; large for a start that is far off [-]

    Raises
    ------
    ValueError
        when the model gives no finite numbers at ``start``

    Source: Madsen, Nielsen and Tingleff 2004, 3.2 (from memory).
    """
    from scipy.linalg import lapack

    x = np.array(start, dtype=float)
    computed, rows = model(x)
    deviations = (observed - computed) / sd
    cost = float(deviations @ deviations)
    if not np.isfinite(cost):
        raise ValueError("the model gives no finite numbers where the search starts")
    growth, settled, steps = 2.0, x.size == 0, 0
    while not settled and steps < most_steps:
        normal, pull = _normal(rows, sd, deviations)
        if hold:
            normal[np.diag_indices_from(normal)] += hold
        spread = np.maximum(np.diag(normal), 1e-12 * max(float(normal.max()), 1e-300))
        scale = 1.0 / np.sqrt(spread)
        scaled = normal * scale[:, None] * scale[None, :]
        while steps < most_steps:
            steps += 1
            damped = scaled.copy()
            damped[np.diag_indices_from(damped)] += damping
            factor, fault = lapack.dpotrf(damped, lower=1)
            if fault == 0:
                step = scale * lapack.dpotrs(factor, scale * pull, lower=1)[0]
                small = float(np.linalg.norm(step)) <= tolerance * (float(np.linalg.norm(x)) + tolerance)
                tried_computed, tried_rows = model(x + step)
                tried = (observed - tried_computed) / sd
                tried_cost = float(tried @ tried)
                promised = float(step @ (damping * spread * step + pull))
                if np.isfinite(tried_cost) and (tried_cost <= cost or small):
                    gain = (cost - tried_cost) / promised if promised > 0.0 else 0.0
                    if tried_cost <= cost:
                        x, rows, deviations, cost = x + step, tried_rows, tried, tried_cost
                    damping = max(damping * max(1.0 / 3.0, 1.0 - (2.0 * gain - 1.0) ** 3), 1e-15)
                    growth = 2.0
                    settled = small
                    break
            damping *= growth
            growth *= 2.0
            if damping > 1e15:
                # no way down from here at all: rounding is all that is left
                settled = True
                break
    return x, steps, settled


def adjust(
    model: Model, observed: Floats, sd: Floats, start: Floats, *, most_steps: int = 200, tolerance: float = 1e-11,
    damping: float = 10.0,
) -> Adjustment:
    """Best-fitting unknowns with covariance, redundancy, local tests and global test.

    Correlation between readings is left out (each is taken as independent): errs on the side of too little doubt
    where two readings share one fault, such as one tape read at one hook.

    Parameters
    ----------
    model : Model
        unknowns to computed readings and derivatives
    observed, sd : array, shape (m,)
        readings and their standard deviations, sd > 0, any unit [-]
    start : array, shape (n,)
        starting unknowns [-]
    most_steps : int
        steps at most [-]
    tolerance : float
        settled when a step is smaller than this share of the unknowns [-]
    damping : float
        caution of the first step: near 0 where the start is known to be near [-]

    Raises
    ------
    ValueError
        a reading is not finite, a standard deviation is not above 0, shapes differ, or no finite numbers at ``start``
    Underdetermined
        some unknowns are held by no reading

    Source: GUM (JCGM 100:2008) 5.2 for the covariance; Baarda 1968 and Pope 1976 (from memory) for the tests.

    >>> import numpy as np
    >>> slope = np.array([[1.0, 0.0], [1.0, 1.0], [1.0, 2.0]])
    >>> fit = adjust(lambda x: (slope @ x, slope), np.array([1.0, 2.0, 3.3]), np.full(3, 0.1), np.zeros(2))
    >>> [round(float(v), 3) for v in fit.unknowns], fit.test.freedom
    ([0.95, 1.15], 1)
    """
    observed, sd = np.asarray(observed, dtype=float), np.asarray(sd, dtype=float)
    if observed.shape != sd.shape or observed.ndim != 1:
        raise ValueError(f"as many readings as standard deviations, not {observed.shape} and {sd.shape}")
    if not np.all(np.isfinite(observed)):
        raise ValueError("a reading is not a finite number")
    if not np.all((sd > 0.0) & np.isfinite(sd)):
        raise ValueError("a standard deviation must be above 0")
    unknowns, steps, settled = descend(model, observed, sd, start, most_steps=most_steps, tolerance=tolerance,
                                       damping=damping)
    return assess(model, observed, sd, unknowns, steps=steps, converged=settled)


def assess(
    model: Model, observed: Floats, sd: Floats, unknowns: Floats, *, steps: int = 0, converged: bool = True
) -> Adjustment:
    """Covariance and tests at ``unknowns``, taken as they are.

    Parameters
    ----------
    model : Model
        unknowns to computed readings and derivatives
    observed, sd : array, shape (m,)
        readings and their standard deviations, any unit [-]
    unknowns : array, shape (n,)
        the solution [-]
    steps : int
        steps that led there, passed on [-]

    Raises
    ------
    Underdetermined
        some unknowns are held by no reading

    Source: GUM (JCGM 100:2008) 5.2; Baarda 1968 and Pope 1976 (from memory).
    """
    computed, rows = model(unknowns)
    residuals = observed - computed
    normal, _ = _normal(rows, sd, residuals / sd)
    covariance = _inverse(normal)
    carried = np.asarray(rows @ covariance)
    shares = rows.multiply(carried).sum(axis=1) if hasattr(rows, "multiply") else (rows * carried).sum(axis=1)
    redundancy = np.clip(1.0 - np.asarray(shares).ravel() / sd**2, 0.0, 1.0)
    shown = redundancy > 1e-6
    w = np.where(shown, residuals / (sd * np.sqrt(np.where(shown, redundancy, 1.0))), 0.0)
    freedom = max(observed.size - unknowns.size, 0)
    test = global_test(float(np.sum((residuals / sd) ** 2)), freedom)
    studentised = w / test.sigma0 if freedom >= 2 and test.sigma0 else None
    return Adjustment(unknowns, covariance, residuals, sd, redundancy, w, studentised, test, rows, steps, converged)


def _normal(rows: Any, sd: Floats, deviations: Floats) -> tuple[Floats, Floats]:
    if hasattr(rows, "multiply"):
        weighted = rows.multiply((1.0 / sd)[:, None]).tocsr()
        return (weighted.T @ weighted).toarray(), np.asarray(weighted.T @ deviations)
    weighted = rows / sd[:, None]
    return weighted.T @ weighted, weighted.T @ deviations


def _inverse(normal: Floats) -> Floats:
    """Inverse of the normal matrix; what has no inverse is told apart by its null space."""
    from scipy.linalg import eigh, lapack

    if normal.size == 0:
        return normal
    scale = 1.0 / np.sqrt(np.maximum(np.diag(normal), 1e-300))
    scaled = normal * scale[:, None] * scale[None, :]
    factor, fault = lapack.dpotrf(scaled, lower=1)
    if fault == 0:
        share, fault = lapack.dpocon(factor, np.abs(scaled).sum(axis=0).max(), uplo="L")
    if fault != 0 or share < 1e-13:
        values, vectors = eigh(scaled)
        null = vectors[:, values < 1e-12 * max(values[-1], 1e-300)]
        if null.shape[1]:
            raise Underdetermined([int(i) for i in np.flatnonzero(np.linalg.norm(null, axis=1) > 1e-4)])
        inverse: Floats = (vectors / values) @ vectors.T
    else:
        lower = lapack.dpotri(factor, lower=1)[0]
        inverse = np.tril(lower) + np.tril(lower, -1).T
    return inverse * scale[:, None] * scale[None, :]


def _dense(rows: Any) -> Floats:
    return np.asarray(rows.toarray() if hasattr(rows, "toarray") else rows)
