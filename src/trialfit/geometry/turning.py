"""A vector turned about an axis."""

import math

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def turned_about(vector: Floats, axis: Floats, angle: float) -> Floats:
    """``vector`` (3,) turned right-handed about the unit ``axis`` (3,) by ``angle`` [rad].

    Source: Rodrigues' rotation formula (from memory).

    >>> turned_about(np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0]), math.pi / 2.0).round(9) + 0.0
    array([0., 1., 0.])
    """
    turned: Floats = (math.cos(angle) * vector + math.sin(angle) * np.cross(axis, vector)
                      + (1.0 - math.cos(angle)) * float(axis @ vector) * axis)
    return turned
