"""The live rear axle on what holds it: one set of equations, and the pose that closes them."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from trialfit.motion.error import MotionError
from trialfit.motion.leaves import pack
from trialfit.vehicle import FourLinksRod, LeafSprings, Link, Pose, Suspension, ThreeLinksRod

Floats = NDArray[np.float64]
Sizes = Mapping[str, tuple[float, float]]

_ARM = 500.0
_LOOSE = 5e-3
"""smallest singular value of the equations below which the axle counts as locked or loose; healthy layouts have
0.05 and more; common practice, no source"""
_MOVES = ("fore and aft", "sideways", "in yaw", "in pitch")


@dataclass(frozen=True, slots=True, eq=False)
class Axle:
    """An axle and its equations at ride height.

    ``kind`` is 0 for rods and 1 for leaf springs; ``data`` the rows that ``closing`` reads; ``names`` one per rod, or
    one per spring; ``reference`` (3,) the point whose rise is the heave [mm]; ``exact`` says that the loops close,
    rather than that bushes give.
    """

    kind: int
    data: Floats
    names: tuple[str, ...]
    reference: Floats
    exact: bool


@dataclass(frozen=True, slots=True, eq=False)
class AxlePoses:
    """Solved poses: ``rotation`` (n, 3, 3) [-] and ``shift`` (n, 3) [mm] from ride height; ``yaw_rad`` and
    ``pitch_rad`` (n,), nose up +; ``walk_mm`` (n, 3) of the reference point; ``reached`` (n,), the share of the way
    from ride height that could be gone: below 1 the pose is where the axle stuck."""

    rotation: Floats
    shift: Floats
    yaw_rad: Floats
    pitch_rad: Floats
    walk_mm: Floats
    reached: Floats


def rods_of(suspension: Suspension) -> tuple[Link, ...]:
    """All rods of a suspension, the lateral rod last; none for leaf springs."""
    if isinstance(suspension, LeafSprings):
        return ()
    if isinstance(suspension, ThreeLinksRod | FourLinksRod):
        return (*suspension.links, suspension.rod)
    return suspension.links


def reference_point(
    suspension: Suspension, points: Mapping[str, Floats], wheels: tuple[str, str] | None = None
) -> Floats:
    """Point of the axle whose rise is the heave (3,) [mm].

    Midway between the wheel centres when they are named. Else, along and up, the mean of the axle's ends of the links
    (or of the spring pads), and sideways midway between the outermost of them: the lateral rod, which sits to one
    side, does not count.

    Raises
    ------
    MotionError
        when a hardpoint is missing
    """
    if wheels is not None:
        return 0.5 * (_at(points, wheels[0], "wheel") + _at(points, wheels[1], "wheel"))
    if isinstance(suspension, LeafSprings):
        held = [_at(points, s.pad, f"leaf spring {s.name}") for s in (suspension.left, suspension.right)]
    else:
        held = [_at(points, link.axle, f"link {link.name}") for link in suspension.links]
    stack = np.stack(held)
    point: Floats = stack.mean(axis=0)
    point[1] = 0.5 * (stack[:, 1].min() + stack[:, 1].max())
    return point


def axle_of(
    suspension: Suspension,
    points: Mapping[str, Floats],
    sizes: Sizes | None = None,
    wheels: tuple[str, str] | None = None,
) -> Axle:
    """Set up the equations of an axle at ride height and see that they hold it.

    Parameters
    ----------
    suspension : Suspension
        what holds the axle, by hardpoint name
    points : mapping
        hardpoint name to place (3,) [mm]
    sizes : mapping
        size name to (length, standard deviation) [mm]; needed when a clamp length names one
    wheels : two names
        wheel centres, left and right, if they are hardpoints

    Raises
    ------
    MotionError
        naming the part: hardpoint missing, rod shorter than 1 mm, springs that are none, or an axle that is locked
        or loose at ride height
    """
    reference = reference_point(suspension, points, wheels)
    if isinstance(suspension, LeafSprings):
        pair = (suspension.left, suspension.right)
        place = {
            n: _at(points, n, f"leaf spring {s.name}")
            for s in pair
            for n in (s.front_eye, s.pad, s.rear_eye, s.shackle)
        }
        axle = Axle(
            1, pack(suspension, place, reference, sizes or {}), tuple(s.name for s in pair), reference, exact=True
        )
    else:
        rods = rods_of(suspension)
        stiffest = max(rod.stiffness_n_per_mm for rod in rods)
        rows = [_rod(rod, points, reference, stiffest) for rod in rods]
        axle = Axle(0, np.stack(rows), tuple(r.name for r in rods), reference, exact=len(rods) == 4)
    _see_that_it_holds(axle, suspension)
    return axle


def solve(axle: Axle, heave_mm: Floats, roll_rad: Floats) -> AxlePoses:
    """Close the loops at many poses, each followed from ride height so that no other assembly is reached.

    Parameters
    ----------
    axle : Axle
        from :func:`axle_of`
    heave_mm : (n,)
        rise of the reference point, bump + [mm]
    roll_rad : (n,)
        roll of the axle, right wheel up + [rad]

    Returns poses; one that cannot be reached has ``reached`` below 1. Rods close to 1e-10 mm.

    Source: Newton's method with numerical continuation, see ``closing``.
    """
    from trialfit.motion.closing import ARM, follow

    states = np.stack(np.broadcast_arrays(np.asarray(heave_mm, float), np.asarray(roll_rad, float)), axis=-1)
    states = np.ascontiguousarray(states.reshape(-1, 2))
    unknowns, reached = np.empty((len(states), 4)), np.empty(len(states))
    follow(axle.kind, axle.data, axle.reference, states, unknowns, reached)
    yaw, pitch = unknowns[:, 2] / ARM, unknowns[:, 3] / ARM
    rotation = _rotations(yaw, pitch, reached * states[:, 1])
    walk = np.stack([unknowns[:, 0], unknowns[:, 1], reached * states[:, 0]], axis=1)
    shift = axle.reference + walk - rotation @ axle.reference
    return AxlePoses(rotation, shift, yaw, pitch, walk, reached)


def solve_pose(
    suspension: Suspension,
    points: Mapping[str, Floats],
    heave_mm: float,
    roll_rad: float,
    sizes: Sizes | None = None,
    wheels: tuple[str, str] | None = None,
) -> Pose:
    """Pose of the axle at one heave and roll, straight from the hardpoints: cheap enough to shift each of them.

    Parameters as :func:`axle_of` and :func:`solve`, heave [mm] and roll [rad].

    Raises
    ------
    MotionError
        as :func:`axle_of`; or when the axle sticks on the way, naming the part and the heave
    """
    return axle_pose(axle_of(suspension, points, sizes, wheels), heave_mm, roll_rad)


def axle_pose(axle: Axle, heave_mm: float, roll_rad: float) -> Pose:
    """Pose of an axle at one heave [mm] and roll [rad].

    Raises
    ------
    MotionError
        when the axle sticks on the way, naming the part and the heave
    """
    poses = solve(axle, np.array([heave_mm]), np.array([roll_rad]))
    if poses.reached[0] < 1.0:
        raise MotionError(why_stuck(axle, heave_mm, roll_rad, float(poses.reached[0])))
    return Pose(poses.rotation[0], poses.shift[0])


def give_mm(axle: Axle, rotation: Floats, shift: Floats) -> Floats:
    """Length of each rod less its length at ride height (n, rods) [mm] with the axle at ``rotation`` (n, 3, 3) and
    ``shift`` (n, 3): zero when the loops close, what the bushes give when rods fight each other.

    Raises
    ------
    MotionError
        for leaf springs, which have no rods
    """
    if axle.kind != 0:
        raise MotionError("leaf springs have no rods whose length could be held against another")
    ends = (axle.data[:, 0:3] + axle.reference) @ np.swapaxes(rotation, 1, 2) + shift[:, None, :]
    lengths: Floats = np.linalg.norm(ends - axle.data[:, 3:6], axis=2) - axle.data[:, 6]
    return lengths


def joint_closure(axle: Axle, heave_mm: Floats, rotation: Floats, shift: Floats) -> Floats:
    """How far the joints of an axle are apart (n,) [mm] at given poses: greatest left-over of its equations, and
    of the heave asked for. For an axle with bushes that fight, the greatest left-over after the pose of least energy.

    Parameters
    ----------
    axle : Axle
        from :func:`axle_of`
    heave_mm : (n,)
        heave that the poses should have [mm]
    rotation, shift : (n, 3, 3), (n, 3)
        poses from ride height [-], [mm]
    """
    from trialfit.motion.closing import ARM, equations

    apart = np.empty(len(shift))
    count = len(axle.data) if axle.kind == 0 else 4
    res, jac = np.empty(count), np.empty((count, 6))
    for n in range(len(shift)):
        turn = rotation[n]
        walk = turn @ axle.reference + shift[n] - axle.reference
        yaw, pitch = math.atan2(turn[1, 0], turn[0, 0]), -math.asin(min(1.0, max(-1.0, float(turn[2, 0]))))
        roll = math.atan2(turn[2, 1], turn[2, 2])
        q = np.array([walk[0], walk[1], ARM * yaw, ARM * pitch])
        closed = equations(axle.kind, axle.data, axle.reference, q, float(walk[2]), roll, res, jac)
        left = float(np.max(np.abs(res)))
        if not axle.exact:
            weighted = jac[:, :4].T @ (axle.data[:, 7] * res)
            metric = jac[:, :4].T @ (axle.data[:, 7, None] * jac[:, :4])
            left = float(np.linalg.norm(np.linalg.solve(metric, weighted)))
        apart[n] = max(left, abs(float(walk[2]) - float(heave_mm[n]))) if closed else math.inf
    return apart


def why_stuck(axle: Axle, heave_mm: float, roll_rad: float, reached: float) -> str:
    """Which part stops the axle on its way to a pose, and where, in words."""
    from trialfit.motion.closing import ARM, equations, follow

    states = np.array([[heave_mm * reached, roll_rad * reached]])
    unknowns, share = np.empty((1, 4)), np.empty(1)
    follow(axle.kind, axle.data, axle.reference, states, unknowns, share)
    count = len(axle.data) if axle.kind == 0 else 4
    res, jac = np.empty(count), np.empty((count, 6))
    equations(axle.kind, axle.data, axle.reference, unknowns[0], states[0, 0], states[0, 1], res, jac)
    heave, roll = round(states[0, 0], 1) + 0.0, round(math.degrees(states[0, 1]), 2) + 0.0  # no minus before zero
    where = f"at heave {heave:.1f} mm, roll {roll:.2f} deg"
    if axle.kind == 1:
        lean = _shackle_lean(axle, unknowns[0] / np.array([1.0, 1.0, ARM, ARM]), states[0, 0], states[0, 1])
        worst = int(np.argmin(lean))
        if lean[worst] < 0.05:
            return (
                f"leaf spring {axle.names[worst]}: its shackle comes into line with the spring {where} and would turn "
                "over; a longer shackle or another hanger is needed, or stops that end the travel before"
            )
    left, _, _ = np.linalg.svd(jac[:, :4])
    pull = np.abs(left[:, 3])
    if axle.kind == 1:
        blamed = [axle.names[i] for i in range(2) if pull[i] > 0.5 * pull[:2].max()]
        return f"leaf spring {' and '.join(blamed)} cannot follow the axle {where}"
    blamed = [n for n, p in zip(axle.names, pull, strict=True) if p > 0.7 * pull.max()]
    return f"{' and '.join(blamed)} cannot reach: the axle sticks {where}"


def compile_all() -> None:
    """Compile the loop closure, or load it from the cache beside the code; later calls never wait for the compiler."""
    from trialfit.motion.closing import equations, follow

    rods = np.zeros((4, 8))
    follow(0, rods, np.zeros(3), np.zeros((1, 2)), np.empty((1, 4)), np.empty(1))
    equations(0, rods, np.zeros(3), np.zeros(4), 0.0, 0.0, np.empty(4), np.empty((4, 6)))


def _at(points: Mapping[str, Floats], name: str, what: str) -> Floats:
    if name not in points:
        raise MotionError(f"{what}: hardpoint '{name}' has no place; measure it")
    place = np.asarray(points[name], dtype=np.float64)
    if place.shape != (3,) or not bool(np.all(np.isfinite(place))):
        raise MotionError(f"{what}: hardpoint '{name}' must be three numbers in mm")
    return place


def _rod(rod: Link, points: Mapping[str, Floats], reference: Floats, stiffest: float) -> Floats:
    frame, axle = _at(points, rod.frame, f"link {rod.name}"), _at(points, rod.axle, f"link {rod.name}")
    length = float(np.linalg.norm(axle - frame))
    if length < 1.0:
        raise MotionError(f"link {rod.name} is {length:.3g} mm long; at least 1 mm is needed")
    if not (rod.stiffness_n_per_mm > 0.0 and math.isfinite(stiffest)):
        raise MotionError(f"link {rod.name}: stiffness must be above 0 N/mm, not {rod.stiffness_n_per_mm:.6g} N/mm")
    return np.array([*(axle - reference), *frame, length, rod.stiffness_n_per_mm / stiffest])


def _rotations(yaw: Floats, pitch: Floats, roll: Floats) -> Floats:
    cy, sy, cp, sp, cr, sr = np.cos(yaw), np.sin(yaw), np.cos(pitch), np.sin(pitch), np.cos(roll), np.sin(roll)
    rows = [
        [cy * cp, cy * sp * sr - sy * cr, cy * sp * cr + sy * sr],
        [sy * cp, sy * sp * sr + cy * cr, sy * sp * cr - cy * sr],
        [-sp, cp * sr, cp * cr],
    ]
    return np.ascontiguousarray(np.moveaxis(np.array(rows), 2, 0))


def _see_that_it_holds(axle: Axle, suspension: Suspension) -> None:
    from trialfit.motion.closing import equations

    count = len(axle.data) if axle.kind == 0 else 4
    res, jac = np.empty(count), np.empty((count, 6))
    if not equations(axle.kind, axle.data, axle.reference, np.zeros(4), 0.0, 0.0, res, jac):
        raise MotionError(f"{' and '.join(axle.names)} cannot be put together at ride height")
    left, sizes, right = np.linalg.svd(jac[:, :4])
    if sizes[3] >= _LOOSE:
        return
    move = _MOVES[int(np.argmax(np.abs(right[3])))]
    if axle.kind == 1:
        raise MotionError(f"leaf springs {' and '.join(axle.names)} do not hold the axle {move}")
    if not isinstance(suspension, LeafSprings) and axle.data.shape[0] >= 4 and move == "sideways":
        upright = axle.data[-1, 0:3] + axle.reference - axle.data[-1, 3:6]
        rod = rods_of(suspension)[-1]
        if hasattr(suspension, "rod") and abs(upright[2]) > 0.9 * float(axle.data[-1, 6]):
            raise MotionError(
                f"{rod.name} stands upright: it locks the axle in heave and does not hold it sideways"
            )
    null = left[:, 3]
    state: Literal["locks", "is loose"] = "locks" if float(np.max(np.abs(null @ jac[:, 4:6]))) > 0.02 else "is loose"
    blamed = [n for n, p in zip(axle.names, np.abs(null), strict=True) if p > 0.5 * np.abs(null).max()]
    if count > 4:  # all rods together leave a movement free: the ones that see least of it are no help
        blamed, state = list(axle.names), "is loose"
    raise MotionError(f"the axle {state}: {', '.join(blamed)} do not hold it {move}")


def _shackle_lean(axle: Axle, q: Floats, heave: float, roll: float) -> Floats:
    turn = _rotations(q[2:3], q[3:4], np.array([roll]))[0]
    centre = axle.reference + np.array([q[0], q[1], heave])
    leans = np.zeros(2)
    for i, side in enumerate(axle.data):
        hinge = centre + turn @ side[14:17]
        apart = math.hypot(float(side[5] - side[0:3] @ hinge), float(side[6] - hinge[2]))
        foot = (side[8] ** 2 + side[9] ** 2 - apart**2) / (2.0 * side[8] * side[9])
        leans[i] = math.sqrt(max(0.0, 1.0 - min(1.0, abs(foot)) ** 2))
    return leans
