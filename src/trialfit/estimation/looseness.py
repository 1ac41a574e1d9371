"""Which unknowns no reading holds, and the fewest readings that would hold them."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def held_covariance(rows: Any, sd: Floats, prior_sd: float) -> Floats:
    """Covariance when every unknown is already known to ``prior_sd``, however poor the readings.

    What a reading holds comes out as without the prior; what none holds comes out near ``prior_sd``, so the loose
    ones stand out by orders of magnitude and the rest can still be used.

    Parameters
    ----------
    rows : array or sparse matrix, shape (m, n)
        derivatives of the readings [-]
    sd : array, shape (m,)
        their standard deviations [-]
    prior_sd : float
        far above any doubt that a reading leaves [-]

    Raises
    ------
    ValueError
        ``prior_sd`` not above 0

    Source: GUM (JCGM 100:2008) 5.2; the prior is our own device.

    >>> import numpy as np
    >>> loose = held_covariance(np.array([[1.0, 0.0]]), np.array([1.0]), 1e4)
    >>> [round(float(v)) for v in np.sqrt(np.diag(loose))]
    [1, 10000]
    """
    from scipy.linalg import eigh, lapack

    if not prior_sd > 0.0:
        raise ValueError(f"the prior standard deviation must be above 0, not {prior_sd}")
    if hasattr(rows, "multiply"):
        weighted = rows.multiply((1.0 / sd)[:, None]).tocsr()
        normal = (weighted.T @ weighted).toarray()
    else:
        weighted = np.asarray(rows) / sd[:, None]
        normal = weighted.T @ weighted
    if normal.size == 0:
        return np.asarray(normal, dtype=float)
    # factoring is several times quicker than the eigenvalues and as good while the prior stands clear of rounding
    normal[np.diag_indices_from(normal)] += prior_sd**-2
    factor, fault = lapack.dpotrf(normal, lower=1)
    if fault == 0:
        lower = lapack.dpotri(factor, lower=1)[0]
        quick: Floats = np.tril(lower) + np.tril(lower, -1).T
        return quick
    normal[np.diag_indices_from(normal)] -= prior_sd**-2
    values, vectors = eigh(normal)
    answer: Floats = (vectors / (np.maximum(values, 0.0) + prior_sd**-2)) @ vectors.T
    return answer


def fixing_readings(covariance: Floats, candidates: Sequence[int], limit: float, most: int = 12) -> list[int]:
    """Unknowns to read directly, one after the other, until no candidate's standard deviation exceeds ``limit``.

    Greedy: of those that are about as loose as the loosest, the first in the order given. Errs on the side of one
    reading too many, never too few.

    Parameters
    ----------
    covariance : array, shape (n, n)
        as from :func:`held_covariance` [-]
    candidates : sequence of int
        places of the unknowns that may be read directly and must come to hold [-]
    limit : float
        largest standard deviation that counts as held [-]
    most : int
        readings at most [-]

    Source: our own; the update is the rank-one form of GUM (JCGM 100:2008) 5.2.

    >>> import numpy as np
    >>> fixing_readings(np.diag([1.0, 1e8, 1e8]), [0, 1, 2], 100.0)
    [1, 2]
    """
    places = list(candidates)
    block = np.array(covariance[np.ix_(places, places)])
    chosen: list[int] = []
    while len(chosen) < most:
        variances = np.diag(block)
        if not len(places) or variances.max() <= limit * limit:
            break
        # rounding must not decide between equals, or the advice would change from machine to machine
        worst = int(np.flatnonzero(variances >= max(0.1 * variances.max(), limit * limit))[0])
        column = block[:, worst]
        block = block - np.outer(column, column) / (variances[worst] + 1.0)
        chosen.append(places[worst])
    return chosen
