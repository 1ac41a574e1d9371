"""Where the joint centres of the propeller shaft are, at every pose, and which way each piece turns.

A joint's centre sits on the turning axis of what carries it, some way out from the face that was measured: the flange
and yoke of gearbox or pinion. The shaft joins the two centres; its length changes with the travel and a slip takes
that up: a slip yoke on the gearbox's output (the front joint itself moves along the output's axis), or a spline in the
shaft.
A two-piece shaft has its middle joint behind a centre bearing, in line with the front piece. A double joint at the
front is two joints in a coupling yoke whose centring holds both at half the angle.

Source: geometry; common practice, no source, for the layouts.
"""

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from trialfit.standards import refuse_outside
from trialfit.vehicle import Travel

Floats = NDArray[np.float64]


class Slip(StrEnum):
    """What takes up the change of length."""

    YOKE = "slip-yoke"
    SHAFT = "slip-in-shaft"
    NONE = "none"


@dataclass(frozen=True, slots=True, eq=False)
class ShaftEnd:
    """One end that carries a joint: gearbox output or pinion.

    ``body`` it rides on; ``point_mm`` (3,) the marked face on its turning axis at ride height; ``outward`` (3,) the
    direction of that axis, out of the housing; ``offset_mm`` from the face out to the joint's centre, with its standard
    deviation. With a slip yoke the offset is that at ride height, from the seal's face.
    """

    body: str
    point_mm: Floats
    outward: Floats
    offset_mm: float = 0.0
    offset_sd_mm: float = 0.0

    @property
    def direction(self) -> Floats:
        """``outward`` brought to length 1."""
        return np.asarray(self.outward, dtype=np.float64) / float(np.linalg.norm(self.outward))

    @property
    def joint_mm(self) -> Floats:
        """Joint centre (3,) at ride height [mm]."""
        return np.asarray(self.point_mm, dtype=np.float64) + self.offset_mm * self.direction


@dataclass(frozen=True, slots=True, eq=False)
class CentreBearing:
    """Centre of the bearing (3,) [mm] on ``body``, and how far behind it the middle joint sits along the front piece
    [mm], with its standard deviation."""

    point_mm: Floats
    joint_behind_mm: float
    joint_behind_sd_mm: float = 0.0
    body: str = "frame"


@dataclass(frozen=True, slots=True, eq=False)
class ShaftLine:
    """A shaft from gearbox to axle: one piece, two pieces with a centre bearing, or with a double joint in front.

    ``double_mm`` is the distance between the two crosses of a double joint in front, None for a plain joint.
    ``phases_rad`` is, for each piece, the turn from its front yoke to its rear yoke; 0 in line.
    """

    front: ShaftEnd
    rear: ShaftEnd
    slip: Slip
    centre: CentreBearing | None = None
    double_mm: float | None = None
    phases_rad: tuple[float, ...] = (0.0,)

    def __post_init__(self) -> None:
        for name, end in (("front", self.front), ("rear", self.rear)):
            if np.shape(end.point_mm) != (3,) or np.shape(end.outward) != (3,):
                raise ValueError(f"the {name} end needs a point and a direction of three numbers each")
            if not float(np.linalg.norm(end.outward)) > 0.0:
                raise ValueError(f"the {name} end's axis has no direction: name two hardpoints apart on it")
        if self.double_mm is not None:
            refuse_outside("distance between the two crosses", self.double_mm, 20.0, 200.0, "mm")
            if self.centre is not None:
                raise ValueError("a double joint ahead of a centre bearing is not worked out; take one of the two out")
        if self.centre is not None:
            refuse_outside("middle joint behind the bearing", self.centre.joint_behind_mm, 0.0, 500.0, "mm")
            if self.slip is Slip.YOKE:
                raise ValueError(
                    "the centre bearing holds the front piece along the vehicle, so a slip yoke on the gearbox cannot "
                    "take up what the axle does; the rear piece needs a slip of its own (slip-in-shaft)"
                )
        if len(self.phases_rad) != self.pieces:
            raise ValueError(f"the shaft has {self.pieces} piece(s), so {self.pieces} phase(s) are needed, "
                             f"not {len(self.phases_rad)}")  # fmt: skip
        if self.slip is Slip.YOKE and self.double_mm is not None:
            raise ValueError("a double joint sits on a flange or fixed yoke; give the shaft behind it its own slip "
                             "(slip-in-shaft)")  # fmt: skip

    @property
    def pieces(self) -> int:
        """Number of pieces of the shaft, the coupling of a double joint not counted."""
        return 1 if self.centre is None else 2

    @property
    def chain_phases_rad(self) -> tuple[float, ...]:
        """Phase of everything that turns between two joints, front to rear: pieces, and the coupling's of 0 [rad]."""
        return (0.0, *self.phases_rad) if self.double_mm is not None else self.phases_rad


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """The shaft at n states: joint centres front to rear (n, m, 3) [mm]; directions of everything that turns, rearward
    (n, m + 1, 3) [-]; lengths of the pieces between joint centres (n, pieces) [mm]; and ``slip_mm`` (n,), how far the
    slip is pulled out beyond ride height (in is negative)."""

    joints_mm: Floats
    axes: Floats
    lengths_mm: Floats
    slip_mm: Floats

    @property
    def angles_rad(self) -> Floats:
        """Angle of every joint in space (n, m) [rad]."""
        return angle_between_rad(self.axes[:, :-1], self.axes[:, 1:])

    @property
    def side_rad(self) -> Floats:
        """The same seen from the side: difference of the two inclinations, (n, m); positive where the shaft behind
        climbs more towards the rear [rad]."""
        return np.diff(np.arctan2(self.axes[..., 2], self.axes[..., 0]), axis=1)

    @property
    def plan_rad(self) -> Floats:
        """The same seen from above, (n, m); positive where the shaft behind heads more to the right [rad]."""
        return np.diff(np.arctan2(self.axes[..., 1], self.axes[..., 0]), axis=1)


def angle_between_rad(first: Floats, second: Floats) -> Floats:
    """Angle between directions (..., 3) [rad], exact for small angles too."""
    across = np.linalg.norm(np.cross(first, second), axis=-1)
    angle: Floats = np.arctan2(across, np.sum(first * second, axis=-1))
    return angle


def _unit(vectors: Floats) -> Floats:
    made: Floats = vectors / np.linalg.norm(vectors, axis=-1, keepdims=True)
    return made


def end_at(end: ShaftEnd, travel: Travel | None, states: Floats, wrap: tuple[float | Floats, Floats] | None = None
           ) -> tuple[Floats, Floats]:  # fmt: skip
    """Joint centre (n, 3) [mm] and outward direction (n, 3) [-] of an end at ``states`` (n, 3).

    ``wrap`` turns an end that rides on the axle about the axle's cross axis through a point, nose up by so much [rad],
    one for all states or (n,), before the travel moves it.
    """
    point, direction = end.joint_mm, end.direction
    if wrap is not None:
        turn = nose_up(wrap[0])
        point, direction = turn @ (point - wrap[1]) + wrap[1], turn @ direction
    point, direction = (np.broadcast_to(v, (len(states), 3)) for v in (point, direction))
    if travel is None:
        return point.copy(), direction.copy()
    rotation, shift = travel.poses(end.body, states)
    moved: Floats = np.einsum("nij,nj->ni", rotation, point) + shift
    return moved, _unit(np.einsum("nij,nj->ni", rotation, direction))


def nose_up(angle_rad: float | Floats) -> Floats:
    """Rotation (..., 3, 3) that lifts the front of what it turns by ``angle_rad`` (...) about the vehicle's cross
    axis."""
    c, s = np.cos(angle_rad), np.sin(angle_rad)
    o, i = np.zeros_like(c), np.ones_like(c)
    return np.stack([np.stack([c, o, s], axis=-1), np.stack([o, i, o], axis=-1), np.stack([-s, o, c], axis=-1)],
                    axis=-2)


def places(line: ShaftLine, travel: Travel | None, states: Floats, wrap_rad: float | Floats = 0.0) -> Places:
    """Joint centres, directions, lengths and slip at states of the travel.

    The parts are rigid; a rubber-held centre bearing is taken where it is bolted. Wind of the axle under torque is
    ``wrap_rad``, about the travel's reference point on the axle.

    Parameters
    ----------
    travel : Travel or None
        None holds everything at ride height
    states : (n, 3)
        heave [mm], roll [rad], rock [rad]
    wrap_rad : float or (n,)
        wind of the axle, nose up + [rad]

    Raises
    ------
    ValueError
        where a slip yoke cannot reach the axle at a state, or a state lies outside the travel

    Source: geometry.
    """
    states = np.atleast_2d(np.asarray(states, dtype=np.float64))
    ride, ride_slip = _places(line, None, np.zeros((1, 3)), 0.0, None)
    if travel is None and not np.any(wrap_rad):
        found, slip = _places(line, None, states, 0.0, float(ride.lengths_mm[0, -1]))
    else:
        found, slip = _places(line, travel, states, wrap_rad, float(ride.lengths_mm[0, -1]))
    return Places(found.joints_mm, found.axes, found.lengths_mm, slip - ride_slip[0])


def _places(line: ShaftLine, travel: Travel | None, states: Floats, wrap_rad: float | Floats, ride_mm: float | None
            ) -> tuple[Places, Floats]:  # fmt: skip
    pivot = line.rear.joint_mm if travel is None else np.array(travel.reference)
    front, front_axis = end_at(line.front, travel, states)
    rear, outward = end_at(line.rear, travel, states, (wrap_rad, pivot))
    rear_axis = -outward
    if line.slip is Slip.YOKE and ride_mm is not None:
        front = front + yoke_slip_mm(front, front_axis, rear, ride_mm)[:, None] * front_axis
    out = np.zeros(len(states))
    if line.double_mm is not None:
        joints, axes = _double(front, front_axis, rear, line.double_mm)
    elif line.centre is not None:
        joints, axes = _two_piece(line.centre, travel, states, front, front_axis, rear)
    else:
        joints, axes = [front, rear], [front_axis, _unit(rear - front)]
    stacked = np.stack(joints, axis=1)
    lengths = np.linalg.norm(np.diff(stacked, axis=1), axis=2)
    if line.double_mm is not None:
        lengths = lengths[:, 1:]
    if line.slip is Slip.YOKE:
        start, axis = end_at(line.front, travel, states)
        out = np.sum((front - start) * axis, axis=1)
    else:
        out = lengths[:, -1]
    return Places(stacked, np.stack([*axes, rear_axis], axis=1), lengths, np.zeros(len(states))), out


def yoke_slip_mm(start: Floats, axis: Floats, rear: Floats, length_mm: float) -> Floats:
    """How far (n,) [mm] a slip yoke's joint stands beyond ``start`` (n, 3) along ``axis`` (n, 3) when a shaft of fixed
    length reaches ``rear`` (n, 3).

    Raises
    ------
    ValueError
        where the shaft is too short to reach sideways
    """
    apart = rear - start
    along = np.sum(apart * axis, axis=1)
    left = length_mm**2 - np.sum(apart * apart, axis=1) + along**2
    if bool(np.any(left <= 0.0)):
        raise ValueError(f"a shaft of {length_mm:.1f} mm does not reach the axle at every state: it hangs too far to "
                         "the side of the gearbox's axis")  # fmt: skip
    slip: Floats = along - np.sqrt(left)
    return slip


def _double(front: Floats, axis: Floats, rear: Floats, apart: float) -> tuple[list[Floats], list[Floats]]:
    first = front - 0.5 * apart * axis
    behind = _unit(rear - front)
    # the coupling halves the angle; its rear cross moves a little with it, so go round a few times (it shrinks 20-fold)
    for _ in range(12):
        coupling = _unit(axis + behind)
        second = first + apart * coupling
        behind = _unit(rear - second)
    return [first, second, rear], [axis, coupling, behind]


def _two_piece(centre: CentreBearing, travel: Travel | None, states: Floats, front: Floats, axis: Floats, rear: Floats
               ) -> tuple[list[Floats], list[Floats]]:  # fmt: skip
    bearing = np.broadcast_to(np.asarray(centre.point_mm, dtype=np.float64), front.shape)
    if travel is not None:
        rotation, shift = travel.poses(centre.body, states)
        bearing = np.einsum("nij,nj->ni", rotation, bearing) + shift
    first = _unit(bearing - front)
    middle = bearing + centre.joint_behind_mm * first
    return [front, middle, rear], [axis, first, _unit(rear - middle)]


@dataclass(frozen=True, slots=True, eq=False)
class Length:
    """Length of one piece between joint centres at ride height [mm] with its standard deviation (None without a
    covariance), and how it changes with each coordinate of the line's points: ``slope`` (k,) in the order front point,
    rear point, centre bearing (x, y, z each), front offset, rear offset, joint behind the bearing."""

    mm: float
    sd_mm: float | None
    slope: Floats


def ride_lengths(line: ShaftLine, covariance_mm2: Floats | None = None) -> tuple[Length, ...]:
    """Length of each piece joint centre to joint centre at ride height, with its doubt.

    Doubt of the axes' directions is left out: over the offset it turns the joint's centre sideways, which changes the
    length by less than a thousandth of the offset for a degree.

    Parameters
    ----------
    covariance_mm2 : (6, 6) or (9, 9) array, optional
        covariance of the front point, the rear point and the centre bearing [mm2]

    Raises
    ------
    ValueError
        for a covariance of another shape

    Source: GUM (JCGM 100:2008) 5.2.2; geometry.
    """

    def lengths(step: Floats) -> Floats:
        found: Floats = _places(_shifted(line, step), None, np.zeros((1, 3)), 0.0, None)[0].lengths_mm[0]
        return found

    middle = lengths(np.zeros(12))
    step_mm = 0.01
    # forward only: a middle joint cannot sit in front of its bearing, not even for a slope
    steps = step_mm * np.eye(12)
    ahead = [(-1.5 * middle + 2.0 * lengths(e) - 0.5 * lengths(2.0 * e)) / step_mm for e in steps]
    slopes = np.array(ahead).T
    variance = None
    if covariance_mm2 is not None:
        wanted = 9 if line.centre is not None else 6
        if np.shape(covariance_mm2) != (wanted, wanted):
            raise ValueError(f"the covariance must have the shape ({wanted}, {wanted}), not {np.shape(covariance_mm2)}")
        whole = np.zeros((12, 12))
        whole[:wanted, :wanted] = covariance_mm2
        behind_sd = 0.0 if line.centre is None else line.centre.joint_behind_sd_mm
        whole[[9, 10, 11], [9, 10, 11]] = [line.front.offset_sd_mm**2, line.rear.offset_sd_mm**2, behind_sd**2]
        variance = np.einsum("pi,ij,pj->p", slopes, whole, slopes)
    return tuple(
        Length(float(middle[n]), None if variance is None else math.sqrt(max(float(variance[n]), 0.0)), slopes[n])
        for n in range(line.pieces)
    )


def _shifted(line: ShaftLine, step: Floats) -> ShaftLine:
    def end(old: ShaftEnd, move: Floats, offset: float) -> ShaftEnd:
        return ShaftEnd(old.body, np.asarray(old.point_mm) + move, old.outward, old.offset_mm + float(offset))

    centre = line.centre
    if centre is not None:
        behind = centre.joint_behind_mm + float(step[11])
        centre = CentreBearing(np.asarray(centre.point_mm) + step[6:9], behind, 0.0, centre.body)
    return ShaftLine(end(line.front, step[0:3], step[9]), end(line.rear, step[3:6], step[10]), line.slip, centre,
                     line.double_mm, line.phases_rad)  # fmt: skip
