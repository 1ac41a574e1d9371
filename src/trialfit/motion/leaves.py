"""Leaf springs as links: where the seat goes, and how it winds.

**Arc.** Take the half of a leaf spring ahead of its clamp as a cantilever of free length ``a`` that bends to a circular
arc, as a spring of even stress does. Curving it by ``k`` moves its tip by ``d = k a^2 / 2`` across and draws it in by
``k^2 a^3 / 6 = (2/3) d^2 / a``. A rigid link of length ``r`` that swings its tip by ``d`` draws it in by
``d^2 / (2 r)``; so ``r = (3/4) a``. The seat therefore moves about the eye as if held by a link of 3/4 of the free
length, hinged at the eye and on the axle at 1/4 of it from the clamp. The rear half is a second such link, from the
axle to the rear eye, and the shackle closes the chain from there to the frame: the three-link equivalent.

**Seat wind.** Those links alone let the axle pitch. What stops it is that both halves leave the same stiff clamp: with
no torque on the axle the forces at the tips balance about the seat, ``P_f A = P_r B``, where ``A = a + clamp/2`` and
``B = b + clamp/2``. The tip of a cantilever under ``P`` moves by ``c P a^3`` (``c`` for the section they share), so the
tips move by ``d_f : d_r = a^3/A : b^3/B`` counted from ride height; without a clamp that is ``a^2 : b^2``. For a flat
spring and a rear eye that keeps its height, heave ``h`` and pitch ``p`` (nose up) give ``d_f = h + p A`` and
``d_r = h - p B``, hence ``p / h = (a^3/A - b^3/B) / (A b^3/B + B a^3/A)``: a short front half drops the nose in bump.
Here both deflections are taken on the moved axle, square to the line between the eyes at ride height, with the rear
eye on its shackle.

**Both sides.** Each front link is closed exactly in the upright plane of its spring, which gives the fore-aft place and
the yaw; the moments of both sides together vanish (least squares of the two winds, equal springs), which gives the
pitch; the mean of the two seats keeps its sideways place.

Left out: camber (the halves are straight at ride height; an arched spring moves fore and aft a little differently, on
either side), wind under brake or drive torque (errs to too little pitch), twist of the springs in roll, give of eye
bushes and shackles sideways.

Source: Spring Design Manual, SAE HS-788, leaf springs: 3/4 rule and three-link equivalent (from memory); derivation
above from beam theory.
"""

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from trialfit.motion.error import MotionError
from trialfit.sums import Ask, a_sum
from trialfit.vehicle import LeafSpring, LeafSprings

Floats = NDArray[np.float64]

LINK_SHARE = 0.75
"""length of the equivalent link as a share of the free cantilever; source: SAE HS-788 (from memory)"""


@a_sum(
    "leaf-path-radius",
    title="Radius of the axle's path about the eye of a leaf spring",
    asks=(Ask("free", "length", "free length of the half spring, eye to the near edge of the clamp"),),
    gives="radius of the path",
    dimension="length",
    unit="mm",
    words="3/4 * free",
    source="SAE HS-788, three-link equivalent (from memory)",
    caution="For a spring that is near flat at ride height.",
)
def seat_path_radius(free: float) -> float:
    """Radius [mm] of the path of the axle about the spring eye.

    The half spring is taken as a circular arc of even stress; a straight bar of even section would give 5/6.

    Parameters
    ----------
    free : float
        eye to the near edge of the clamp [mm]

    Raises
    ------
    MotionError
        when the length is not above 0 mm

    Source: SAE HS-788, three-link equivalent (from memory).

    >>> seat_path_radius(600.0)
    450.0
    """
    if not free > 0.0:
        raise MotionError(f"a half spring must be longer than 0 mm, not {free:.6g} mm")
    return LINK_SHARE * free


@a_sum(
    "leaf-arc-length",
    title="Length along a cambered leaf",
    asks=(
        Ask("chord", "length", "straight distance between the ends"),
        Ask("camber", "length", "height of the arc over the chord"),
    ),
    gives="length along the leaf",
    dimension="length",
    unit="mm",
    words="radius = (chord^2/4 + camber^2) / (2 camber); length = 2 radius * angle whose sine is chord / (2 radius)",
    source="circle geometry",
)
def leaf_arc_length(chord: float, camber: float) -> float:
    """Length [mm] along a leaf that is bent to a circular arc.

    Parameters
    ----------
    chord : float
        straight distance between the ends [mm]
    camber : float
        height of the arc over the chord [mm]

    Raises
    ------
    MotionError
        when the chord is not above 0 mm, or the camber not from 0 mm to half the chord

    Source: circle geometry.

    >>> round(leaf_arc_length(1200.0, 100.0), 1)
    1222.1
    """
    if not (chord > 0.0 and 0.0 <= camber <= chord / 2.0):
        raise MotionError(
            f"camber must be 0 to {chord / 2.0:.6g} mm (half the chord, itself above 0 mm), not {camber:.6g} mm"
        )
    # the half angle is twice that of the line from an end to the top; this form is sound for a flat leaf too
    half = 2.0 * math.atan2(2.0 * camber, chord)
    return chord * half / math.sin(half) if half > 0.0 else chord


def seat_wind_rate(front_free_mm: float, rear_free_mm: float, clamp_mm: float) -> float:
    """Pitch of the axle per heave at ride height [rad/mm], nose up and bump +, for a flat spring.

    The height of the rear eye is taken as fixed; a shackle that swings adds to it or takes from it.

    Parameters
    ----------
    front_free_mm, rear_free_mm : float
        eye to the near edge of the clamp [mm]
    clamp_mm : float
        whole length that the U-bolts hold stiff [mm]

    Raises
    ------
    MotionError
        when a length is not above 0 mm or the clamp is below 0 mm

    Source: beam theory, derivation in this module.

    >>> round(seat_wind_rate(500.0, 700.0, 100.0) * 1000.0, 4)
    -0.5452
    """
    if not (front_free_mm > 0.0 and rear_free_mm > 0.0 and clamp_mm >= 0.0):
        raise MotionError(
            f"half springs must be longer than 0 mm and the clamp at least 0 mm, not {front_free_mm:.6g}, "
            f"{rear_free_mm:.6g} and {clamp_mm:.6g} mm"
        )
    to_front, to_rear = front_free_mm + clamp_mm / 2.0, rear_free_mm + clamp_mm / 2.0
    front, rear = front_free_mm**3 / to_front, rear_free_mm**3 / to_rear
    return (front - rear) / (to_front * rear + to_rear * front)


def clamp_mm(spring: LeafSpring, sizes: Mapping[str, tuple[float, float]]) -> float:
    """Length [mm] that the U-bolts hold stiff, typed or by calliper.

    Raises
    ------
    MotionError
        when it names a size that is not there, or is below 0 mm
    """
    if spring.clamp.size and spring.clamp.size not in sizes:
        raise MotionError(f"leaf spring {spring.name}: no size is called '{spring.clamp.size}'")
    length = sizes[spring.clamp.size][0] if spring.clamp.size else spring.clamp.mm
    if not (length >= 0.0 and math.isfinite(length)):
        raise MotionError(f"leaf spring {spring.name}: the clamp must be at least 0 mm, not {length:.6g} mm")
    return length


def pack(
    springs: LeafSprings, place: Mapping[str, Floats], reference: Floats, sizes: Mapping[str, tuple[float, float]]
) -> Floats:
    """Both springs as rows for ``closing.equations``, (2, 28).

    A row holds: direction of the spring's plane, level, rearward (3); front eye and shackle in it (2 each); front
    link, rear link, shackle lengths; the side on which link and shackle meet; points on the axle from the reference:
    front link, rear link, seat, and the direction of the eyes (3 each); tips across the seat at ride height; moment
    about the seat per deflection, front and rear; one spare.

    Raises
    ------
    MotionError
        naming the spring, when it cannot work as one
    """
    pair = (springs.left, springs.right)
    return np.stack([_side(spring, place, reference, clamp_mm(spring, sizes)) for spring in pair])


def _side(spring: LeafSpring, place: Mapping[str, Floats], reference: Floats, clamp: float) -> Floats:
    eye, pad, rear, shackle = (place[n] for n in (spring.front_eye, spring.pad, spring.rear_eye, spring.shackle))
    eyes = rear - eye
    level = np.array([eyes[0], eyes[1], 0.0])
    if np.linalg.norm(level) < 1.0:
        raise MotionError(f"leaf spring {spring.name}: its two eyes stand above each other")
    plane = level / np.linalg.norm(level)
    chord = eyes / np.linalg.norm(eyes)

    def flat(p: Floats) -> Floats:
        return np.array([plane @ p, p[2]])

    free_front = float(np.linalg.norm(flat(pad) - flat(eye))) - clamp / 2.0
    free_rear = float(np.linalg.norm(flat(rear) - flat(pad))) - clamp / 2.0
    if not ((flat(pad) - flat(eye))[0] > 0.0 and (flat(rear) - flat(pad))[0] > 0.0):
        raise MotionError(f"leaf spring {spring.name}: its pad does not lie between its two eyes")
    for half, free in (("front", free_front), ("rear", free_rear)):
        if free < 50.0:
            raise MotionError(
                f"leaf spring {spring.name}: its {half} half has {free:.4g} mm free outside the clamp; at least 50 mm "
                "are needed"
            )
    front_link, rear_link = seat_path_radius(free_front), LINK_SHARE * free_rear
    drop = float(np.linalg.norm(flat(rear) - flat(shackle)))
    if drop < 10.0:
        raise MotionError(f"leaf spring {spring.name}: its shackle is {drop:.3g} mm long; at least 10 mm are needed")
    front_hinge = eye + (pad - eye) * (front_link / float(np.linalg.norm(flat(pad) - flat(eye))))
    rear_hinge = rear + (pad - rear) * (rear_link / float(np.linalg.norm(flat(pad) - flat(rear))))
    link, hanger = flat(rear) - flat(rear_hinge), flat(rear) - flat(shackle)
    lean = (link[0] * hanger[1] - link[1] * hanger[0]) / (rear_link * drop)
    if abs(lean) < 0.1:
        raise MotionError(
            f"leaf spring {spring.name}: its shackle lies in line with the spring at ride height "
            f"({math.degrees(math.asin(abs(lean))):.2g} deg off; at least 6 deg are needed)"
        )
    normal = np.array([-chord[2], float(plane @ chord)])
    base = flat(rear_hinge)
    across = flat(shackle) - base
    meets = math.copysign(1.0, float(across[0] * link[1] - across[1] * link[0]))
    # tip forces times their arms about the seat, scaled to the size of a deflection
    to_front, to_rear = free_front + clamp / 2.0, free_rear + clamp / 2.0
    scale = (free_front * free_rear) ** 1.5 / (to_front + to_rear)
    row = np.zeros(28)
    row[0:3] = plane
    row[3:5], row[5:7] = flat(eye), flat(shackle)
    row[7:11] = front_link, rear_link, drop, meets
    row[11:14], row[14:17], row[17:20] = front_hinge - reference, rear_hinge - reference, pad - reference
    row[20:23] = chord
    row[23], row[24] = (flat(eye) - flat(pad)) @ normal, (flat(rear) - flat(pad)) @ normal
    row[25], row[26] = scale * to_front / free_front**3, scale * to_rear / free_rear**3
    return row
