"""Where a body is."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray


class PosePoint(NamedTuple):
    """One state of the vehicle: ``heave`` of the axle [mm, bump +], ``roll`` of the axle [rad, right wheel up +],
    ``rock`` of the engine on its mounts [rad, about the rock axis, right side up +]."""

    heave: float
    roll: float
    rock: float


@dataclass(frozen=True, slots=True, eq=False)
class Pose:
    """Rigid motion from ride height: ``p -> rotation @ p + shift``. ``rotation`` is (3, 3) [-], ``shift`` (3,) [mm]."""

    rotation: NDArray[np.float64]
    shift: NDArray[np.float64]

    def move(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Move points, shape (3,) or (n, 3) [mm]."""
        moved: NDArray[np.float64] = points @ self.rotation.T + self.shift
        return moved


IDENTITY = Pose(np.eye(3), np.zeros(3))
