"""The ground under the tyres, as it comes up against the frame when the axle goes into bump."""

import numpy as np
from numpy.typing import NDArray

from trialfit.geometry.paths import PathFit, PosePath, fit
from trialfit.vehicle import Travel

Floats = NDArray[np.float64]

REACH_MM = 7000.0
"""How far from the axle the ground is looked at [mm]: half its length and width, and some."""


def ground_path(moved: Travel) -> PosePath:
    """Path of the ground against the frame: up by the heave everywhere, tilted with the axle about its middle.

    The ground rises ahead of the axle as much as under it, though the front wheels hold the frame up there: that errs
    to a smaller gap. Give of the tyres, ruts and kerbs are left out, which errs to a larger one.

    Parameters
    ----------
    moved : Travel
        its box, and the axle's reference point

    Source: geometry.
    """
    return _fitted(moved).path


def _fitted(moved: Travel) -> PathFit:
    about = np.array(moved.reference, dtype=np.float64)

    def at(states: Floats) -> Floats:
        heave, roll = states[:, 0], states[:, 1]
        cos, sin, zero, one = np.cos(roll), np.sin(roll), np.zeros_like(roll), np.ones_like(roll)
        turned = np.stack((one, zero, zero, zero, cos, -sin, zero, sin, cos), axis=1)
        rotations = turned.reshape(-1, 3, 3)
        shifts = about - rotations @ about
        shifts[:, 2] += heave
        return np.concatenate((turned, shifts), axis=1)

    return fit(at, moved.lo, moved.hi, axes=(True, True, False), centre=about, reach_mm=REACH_MM, tolerance_mm=1e-5)
