"""Turns and ways in words, as papers of the exhaust tell them: looking downstream, and by sides of the vehicle."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

_LEANS = math.sin(math.radians(22.5))
_UPRIGHT = 1e-6


def pointing(way: Sequence[float] | NDArray[np.float64]) -> str:
    """Unit way as sides of the vehicle, the strongest first; a side that it leans to by less than 22.5 deg is left out.

    >>> pointing((0.0, 1.0, 0.0)), pointing((0.0, -0.6, 0.8))
    ('right', 'up and left')
    """
    sides = (("rearward", "forward"), ("right", "left"), ("up", "down"))
    leaning = sorted((-abs(float(c)), pair[float(c) < 0.0]) for c, pair in zip(way, sides, strict=True)
                     if abs(float(c)) > _LEANS)
    return " and ".join(name for _, name in leaning)


def clock_words(clock_rad: float, way: Sequence[float] | NDArray[np.float64]) -> str:
    """A clock angle of the build file (0 up, plus clockwise looking against the flow) [rad] as papers tell it, on a
    pipe that runs along the unit way; 0 is the front where it stands upright
    (:func:`trialfit.exhaust.joints.clock_way`).

    >>> clock_words(math.pi / 2.0, (1.0, 0.0, 0.0))
    '90.0 deg anticlockwise from the top, looking downstream'
    """
    upright = math.hypot(float(way[0]), float(way[1])) < _UPRIGHT
    first, last = ("front", "back") if upright else ("top", "bottom")
    turn = math.degrees(math.remainder(clock_rad, math.tau))
    if abs(turn) < 0.05:
        return f"at the {first}"
    if abs(turn) > 179.95:
        return f"at the {last}"
    return f"{abs(turn):.1f} deg {'anticlockwise' if turn > 0.0 else 'clockwise'} from the {first}, looking downstream"
