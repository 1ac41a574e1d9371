"""Where every body is, at every state between the stops."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.geometry.paths import PosePath
from trialfit.vehicle.pose import IDENTITY, Pose, PosePoint
from trialfit.vehicle.suspension import Stops

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Travel:
    """The movement of all bodies over heave and roll of the axle and rock of the engine.

    The stops are taken to move straight up and down with the axle; the cosine of its pitch and yaw is left out,
    which ends the travel early by less than 0.4 % of the roll part at 5 deg of pitch.
    """

    paths: Mapping[str, PosePath]
    """body name to its path, for the bodies that move: axle, wheel-left, wheel-right, engine"""
    lo: Floats
    hi: Floats
    """box (3,) around the travel: heave [mm], roll [rad], rock [rad]"""
    stops: Stops | None
    """None when no axle moves"""
    fit_error_mm: float
    """greatest difference met between a path and the closed suspension, for points within 1.5 m of the axle [mm]"""
    reference: tuple[float, float, float] = (0.0, 0.0, 0.0)
    """point of the axle at ride height whose rise is the heave [mm]"""
    notes: tuple[str, ...] = ()
    """what the builder should know about the model, in words"""

    def pose(self, body: str, state: PosePoint) -> Pose:
        """Rigid motion of ``body`` from ride height; a body with no path stays where it is.

        Raises
        ------
        PathError
            when the state is outside ``lo``..``hi``, with the range
        """
        path = self.paths.get(body)
        return IDENTITY if path is None else Pose(*path.pose(*state))

    def poses(self, body: str, states: Floats) -> tuple[Floats, Floats]:
        """Rotations (n, 3, 3) [-] and shifts (n, 3) [mm] of ``body`` at ``states`` (n, 3); raises as :meth:`pose`."""
        path = self.paths.get(body)
        if path is not None:
            return path.poses(states)
        count = len(states)
        return np.broadcast_to(np.eye(3), (count, 3, 3)).copy(), np.zeros((count, 3))

    def feasible(self, state: PosePoint) -> bool:
        """Whether the stops, the roll limit and the engine's mounts allow this state."""
        return bool(self.feasible_states(np.array([state]))[0])

    def feasible_states(self, states: Floats) -> NDArray[np.bool_]:
        """:meth:`feasible` for ``states`` (n, 3), as (n,) bool."""
        slack = 1e-9 * np.maximum(self.hi - self.lo, 1e-6)
        inside: NDArray[np.bool_] = np.all((states >= self.lo - slack) & (states <= self.hi + slack), axis=1)
        if self.stops is not None:
            inside &= between_stops(self.stops, states[:, 0], states[:, 1])
        return inside

    def heave_range(self, roll: float) -> tuple[float, float]:
        """Lowest and highest heave [mm] that the stops leave at ``roll`` [rad].

        Raises
        ------
        ValueError
            when that roll is beyond the limit, with the limit
        """
        if self.stops is None:
            return 0.0, 0.0
        if abs(roll) > self.hi[1] + 1e-12:
            raise ValueError(f"roll {math.degrees(roll):.3g} deg is beyond the limit of {math.degrees(self.hi[1]):.3g}")
        half = abs(math.sin(roll)) * self.stops.apart_mm / 2.0
        low, high = half - self.stops.droop_mm, self.stops.bump_mm - half
        if low > high:  # only rounding brings it here, at the greatest roll
            low = high = 0.5 * (low + high)
        return low, high

    def grid(self, n_heave: int, n_roll: int, n_rock: int = 1) -> list[PosePoint]:
        """Feasible states: ``n_roll`` rolls, at each of them ``n_heave`` heaves from stop to stop; rock at 0, or at
        ``n_rock`` values from end to end. Ends and, for odd counts, the middle of each range are included.

        Raises
        ------
        ValueError
            for a count below 1
        """
        if min(n_heave, n_roll, n_rock) < 1:
            raise ValueError(f"a grid needs at least one state each way, not {n_heave}, {n_roll}, {n_rock}")
        rolls = [0.0] if n_roll == 1 else [float(r) for r in np.linspace(self.lo[1], self.hi[1], n_roll)]
        rocks = [0.0] if n_rock == 1 else [float(r) for r in np.linspace(self.lo[2], self.hi[2], n_rock)]
        states: list[PosePoint] = []
        for roll in rolls:
            low, high = self.heave_range(roll)
            heaves = [min(max(0.0, low), high)] if n_heave == 1 else [float(h) for h in np.linspace(low, high, n_heave)]
            states += [PosePoint(heave, roll, rock) for heave in heaves for rock in rocks]
        return list(dict.fromkeys(states))


def between_stops(stops: Stops, heave: Floats, roll: Floats) -> NDArray[np.bool_]:
    """Whether both sides stay between bump and droop, for heave (n,) [mm] and roll (n,) [rad], as (n,) bool."""
    half = np.abs(np.sin(roll)) * (stops.apart_mm / 2.0)
    slack = 1e-9 * (stops.bump_mm + stops.droop_mm) + 1e-9
    inside: NDArray[np.bool_] = (heave + half <= stops.bump_mm + slack) & (heave - half >= -stops.droop_mm - slack)
    if stops.roll_rad is not None:
        inside &= np.abs(roll) <= stops.roll_rad + 1e-12
    return inside
