"""The engine on its mounts."""

import numpy as np
from numpy.typing import NDArray

from trialfit.motion.error import MotionError

Floats = NDArray[np.float64]


def rock(axis_front: Floats, axis_rear: Floats, rock_rad: Floats) -> tuple[Floats, Floats]:
    """Rotations (n, 3, 3) [-] and shifts (n, 3) [mm] of the engine, turned about the line through its mounts.

    The give of the mounts up, down and sideways is left out, which errs to too little movement.

    Parameters
    ----------
    axis_front, axis_rear : (3,)
        two points on the axis, in either order [mm]
    rock_rad : (n,)
        right side up + [rad]

    Raises
    ------
    MotionError
        when the axis is shorter than 10 mm, or lies more than 60 deg off the vehicle's length, where "right side up"
        says nothing

    Source: rotation about an axis (Rodrigues), any textbook of mechanics (from memory).

    >>> turned, shifts = rock(np.zeros(3), np.array([800.0, 0.0, 0.0]), np.array([np.pi / 2]))
    >>> [int(v) for v in np.round(turned[0] @ [0.0, 1.0, 0.0])]
    [0, 0, 1]
    """
    along = np.asarray(axis_rear, dtype=np.float64) - axis_front
    length = float(np.linalg.norm(along))
    if not length >= 10.0:
        raise MotionError(f"engine mounts: the two points of the axis are {length:.3g} mm apart; at least 10 mm needed")
    along = along / length * (1.0 if along[0] >= 0.0 else -1.0)
    if along[0] < 0.5:
        raise MotionError("engine mounts: the axis lies more than 60 deg off the vehicle's length; at most 60 deg")
    cross = np.array([[0.0, -along[2], along[1]], [along[2], 0.0, -along[0]], [-along[1], along[0], 0.0]])
    angle = np.asarray(rock_rad, dtype=np.float64)[:, None, None]
    rotation = np.eye(3) + np.sin(angle) * cross + (1.0 - np.cos(angle)) * (cross @ cross)
    return rotation, axis_front - rotation @ axis_front
