"""Several universal joints in a row, in any planes and with any phase of their yokes: what is left at the far end.

Count the turn of a joint's driving yoke from the plane of its two shafts and that of its driven yoke from square to
that plane. Then (cos, sin) of the driven turn is a multiple of (cos(angle) cos, sin) of the driving turn: a stretch of
the plane. Going from the front yoke of a shaft to its rear yoke, and from one joint's plane to the next, are turns of
the plane. A row of joints is therefore one 2 x 2 matrix ``M``; the speed ratio is ``det M / |M (cos, sin)|^2``,
greatest ``s1 / s2`` and least ``s2 / s1`` for its two singular values; and the row swings exactly like one joint whose
angle has the cosine ``s2 / s1``.

Play, friction and twist of the shafts are left out.

Source: kinematics of the Hooke joint; the matrix is derived above.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.driveline.joint import CAUTION
from trialfit.standards import refuse_outside
from trialfit.sums import Ask, a_sum

Floats = NDArray[np.float64]
_BEND_MOST = math.radians(80.0)
_STRAIGHT = 1e-12
"""sine of a joint angle below which the joint has no plane of its own; any plane gives the same answer"""


@dataclass(frozen=True, slots=True, eq=False)
class Swing:
    """What a row of joints does to an even turning, at each of n poses; accelerations at one speed, greatest in a turn.

    ``equivalent_rad`` (n,) is the angle of the one joint that swings like the whole row, ``ratio`` (n,) the greatest
    speed behind it over the speed before it; ``torsional_rad_s2`` (n,) the acceleration of what hangs behind the row
    (pinion). ``drive_rad_s2`` and ``coast_rad_s2`` (n, shafts) are those of each shaft between two joints, turned
    evenly from the front and from the rear: they work the shaft's own inertia even where the row as a whole is even.
    """

    equivalent_rad: Floats
    ratio: Floats
    torsional_rad_s2: Floats
    drive_rad_s2: Floats
    coast_rad_s2: Floats


def turn_map(axes: Floats, phases_rad: tuple[float, ...]) -> Floats:
    """The matrix of a row of joints, (n, 2, 2) [-]: see the head of this module.

    Parameters
    ----------
    axes : (n, m + 1, 3)
        directions of the m + 1 shafts, front to rear, all in one sense [-]
    phases_rad : m - 1 floats
        for each shaft between two joints the turn from its front yoke to its rear yoke; 0 with the yokes in line [rad]

    Raises
    ------
    ValueError
        for another number of phases, fewer than two shafts, or a joint bent by more than 80 deg
    """
    axes = np.asarray(axes, dtype=np.float64)
    if axes.ndim != 3 or axes.shape[2] != 3 or axes.shape[1] < 2:
        raise ValueError(f"directions must have the shape (poses, shafts, 3) with two shafts or more, not {axes.shape}")
    joints = axes.shape[1] - 1
    if len(phases_rad) != joints - 1:
        raise ValueError(f"{joints} joints have {joints - 1} shafts between them, so {joints - 1} phases are needed, "
                         f"not {len(phases_rad)}")  # fmt: skip
    axes = axes / np.linalg.norm(axes, axis=2, keepdims=True)
    normals, cosines = _planes(axes)
    whole = _stretch(cosines[:, 0])
    for j in range(1, joints):
        axis = axes[:, j]
        start = np.cross(normals[:, j], axis)
        across = np.sum(np.cross(start, normals[:, j - 1]) * axis, axis=1)
        along = np.sum(start * normals[:, j - 1], axis=1)
        turn = np.arctan2(across, along) + phases_rad[j - 1]
        whole = _stretch(cosines[:, j]) @ (_turned(turn) @ whole)
    return whole


def _planes(axes: Floats) -> tuple[Floats, Floats]:
    """Normals (n, m, 3) of the joints' planes and cosines (n, m) of their angles."""
    before, behind = axes[:, :-1], axes[:, 1:]
    cosines: Floats = np.sum(before * behind, axis=2)
    if bool(np.any(cosines < math.cos(_BEND_MOST))):
        most = math.degrees(math.acos(max(-1.0, float(np.min(cosines)))))
        raise ValueError(f"a joint is bent by {most:.4g} deg; it must lie between 0 deg and 80 deg")
    across = np.cross(before, behind)
    sines = np.linalg.norm(across, axis=2)
    # a straight joint has no plane: take any direction square to its shaft
    least = np.argmin(np.abs(before), axis=2)
    any_square = np.cross(before, np.eye(3)[least])
    straight = (sines < _STRAIGHT)[..., None]
    across = np.where(straight, any_square, across)
    normals: Floats = across / np.linalg.norm(across, axis=2, keepdims=True)
    return normals, cosines


def _stretch(cosine: Floats) -> Floats:
    matrix = np.zeros((len(cosine), 2, 2))
    matrix[:, 0, 0], matrix[:, 1, 1] = cosine, 1.0
    return matrix


def _turned(angle: Floats) -> Floats:
    c, s = np.cos(angle), np.sin(angle)
    return np.stack([np.stack([c, -s], axis=-1), np.stack([s, c], axis=-1)], axis=-2)


def equivalent_angle_rad(matrix: Floats) -> Floats:
    """Angle (n,) [rad] of the one joint that swings like a row with the matrix (n, 2, 2) of :func:`turn_map`."""
    a, b, c, d = matrix[..., 0, 0], matrix[..., 0, 1], matrix[..., 1, 0], matrix[..., 1, 1]
    # singular values are p + q and p - q; this form keeps its digits where they are nearly equal
    p, q = np.hypot(a + d, c - b), np.hypot(a - d, b + c)
    angle: Floats = 2.0 * np.arctan(np.sqrt(q / p))
    return angle


def acceleration_rad_s2(angle_rad: Floats, speed_rad_s: float) -> Floats:
    """Greatest angular acceleration over a turn behind one joint of each ``angle_rad`` (n,), at a steady speed before
    it: the sum ``joint-acceleration`` for many angles.

    Source: kinematics of the Hooke joint (from memory).
    """
    refuse_outside("speed", speed_rad_s, 0.0, 2000.0 * math.pi, "rpm")
    bent = np.sin(angle_rad) ** 2
    p, q = 1.0 - bent / 2.0, bent / 2.0
    twice = 4.0 * q / (p + np.sqrt(p * p + 8.0 * q * q))
    peak: Floats = speed_rad_s**2 * np.cos(angle_rad) * bent * np.sqrt(1.0 - twice**2) / (p - q * twice) ** 2
    return peak


def swing(axes: Floats, phases_rad: tuple[float, ...], speed_rad_s: float) -> Swing:
    """What a row of joints leaves at its far end and does to the shafts in it, at each pose.

    The accelerations take the end that drives as turning evenly; give of tyres, clutch and mounts, which takes some of
    it up, is left out and errs on the large side.

    Parameters
    ----------
    axes, phases_rad
        as for :func:`turn_map`
    speed_rad_s : float
        speed of the end that drives [rad/s]

    Raises
    ------
    ValueError
        as :func:`turn_map`, and for a speed outside 0 to 60000 rpm

    Source: kinematics of the Hooke joint; SAE AE-7, Universal Joint and Driveshaft Design Manual, for the three kinds
    of acceleration (from memory).
    """
    axes = np.asarray(axes, dtype=np.float64)
    angle = equivalent_angle_rad(turn_map(axes, phases_rad))
    joints = axes.shape[1] - 1
    drive, coast = np.zeros((len(axes), joints - 1)), np.zeros((len(axes), joints - 1))
    for j in range(1, joints):
        # a row swings alike from either end: the singular values of a matrix and of its inverse have one ratio
        ahead = turn_map(axes[:, : j + 1], phases_rad[: j - 1])
        behind = turn_map(axes[:, j:], phases_rad[j:])
        drive[:, j - 1] = acceleration_rad_s2(equivalent_angle_rad(ahead), speed_rad_s)
        coast[:, j - 1] = acceleration_rad_s2(equivalent_angle_rad(behind), speed_rad_s)
    return Swing(angle, 1.0 / np.cos(angle), acceleration_rad_s2(angle, speed_rad_s), drive, coast)


def turns_behind(axes: Floats, phases_rad: tuple[float, ...], turns_rad: Floats) -> tuple[Floats, Floats]:
    """Turn of the last shaft [rad] and its speed ratio [-] at each turn of the first, for one pose.

    Parameters
    ----------
    axes : (m + 1, 3)
        directions of the shafts [-]
    phases_rad
        as for :func:`turn_map` [rad]
    turns_rad : (k,)
        turn of the first yoke from the plane of the first two shafts, rising in steps below half a turn [rad]

    Returns turns counted on without a jump and ratios, (k,) each.

    Source: kinematics of the Hooke joint.
    """
    matrix = turn_map(np.asarray(axes, dtype=np.float64)[None], phases_rad)[0]
    way = np.stack([np.cos(turns_rad), np.sin(turns_rad)])
    there = matrix @ way
    ratio: Floats = np.linalg.det(matrix) / np.sum(there * there, axis=0)
    turned: Floats = np.unwrap(np.arctan2(there[1], there[0]))
    return turned, ratio


@a_sum(
    "joint-pair-in-space",
    title="Angle of the one joint that swings like two in different planes",
    asks=(
        Ask("first", "angle", "angle of the first joint"),
        Ask("second", "angle", "angle of the second joint"),
        Ask("planes", "angle", "turn about the shaft from the plane of the first joint to that of the second", 0.0),
        Ask("phase", "angle", "turn from the shaft's front yoke to its rear yoke; 0 in line", 0.0),
    ),
    gives="equivalent joint angle",
    dimension="angle",
    unit="deg",
    words="cos(equivalent) = least over greatest singular value of stretch(cos(second), 1) * turn(quarter turn + phase "
    "- planes) * stretch(cos(first), 1)",
    source="kinematics of the Hooke joint (derived in the program)",
    caution=CAUTION,
)
def joint_pair_in_space(first: float, second: float, planes: float, phase: float) -> float:
    """Angle [rad] of one joint that swings like two on one shaft, whatever their planes and the yokes' phase.

    Source: kinematics of the Hooke joint (derived in the program).

    >>> round(math.degrees(joint_pair_in_space(math.radians(4.0), math.radians(4.0), math.pi / 2, 0.0)), 4)
    5.6546
    """
    for name, angle in (("first", first), ("second", second)):
        refuse_outside(name, angle, -_BEND_MOST, _BEND_MOST, "deg")
    turn = np.array([math.pi / 2.0 + phase - planes])
    one, two = (_stretch(np.array([math.cos(a)])) for a in (first, second))
    return float(equivalent_angle_rad(two @ (_turned(turn) @ one))[0])


@a_sum(
    "joint-phase-for-planes",
    title="Phase of the yokes that suits two joints in different planes",
    asks=(Ask("planes", "angle", "turn about the shaft from the plane of the first joint to that of the second"),),
    gives="turn from the front yoke to the rear yoke, the same way round",
    dimension="angle",
    unit="deg",
    words="phase = planes, brought to within a quarter turn of in line",
    source="kinematics of the Hooke joint (derived in the program)",
    caution="Only a driveline shop can turn a welded yoke; a shaft phased for one vehicle is wrong in another. "
    + CAUTION,
)
def joint_phase_for_planes(planes: float) -> float:
    """Phase [rad] of the yokes that makes two joints whose planes differ cancel as well as they can.

    Equal joint angles then cancel wholly, unequal ones as far as in one plane.

    Source: kinematics of the Hooke joint (derived in the program).
    """
    return math.remainder(planes, math.pi)
