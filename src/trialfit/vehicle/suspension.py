"""What holds the live rear axle, what stops it, and what the engine sits on.

Every field that names a point holds a hardpoint's name.
"""

from dataclasses import dataclass, field

from trialfit.findings import Place
from trialfit.vehicle.shape import Amount


@dataclass(frozen=True, slots=True)
class Link:
    """A rod of fixed length between ``frame`` (on the frame) and ``axle`` (on the axle).

    ``stiffness`` is that of its bushes along the rod [N/mm]; it counts only where rods fight each other.
    """

    name: str
    frame: str
    axle: str
    stiffness_n_per_mm: float = 2000.0


@dataclass(frozen=True, slots=True)
class LeafSpring:
    """One leaf spring: fixed eye at ``front_eye`` (on the frame), seat ``pad`` (on the axle), ``rear_eye`` (end of
    the main leaf at ride height), ``shackle`` (its upper pivot, on the frame). ``clamp`` is the length that the
    U-bolts hold stiff."""

    name: str
    front_eye: str
    pad: str
    rear_eye: str
    shackle: str
    clamp: Amount = Amount(0.0)


@dataclass(frozen=True, slots=True)
class FourLinksRod:
    """Four links along the vehicle and a lateral rod: over-constrained in roll, taken up by the bushes."""

    links: tuple[Link, Link, Link, Link]
    rod: Link
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class ThreeLinksRod:
    """Three links and a lateral rod."""

    links: tuple[Link, Link, Link]
    rod: Link
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class TriangulatedLinks:
    """Four links of which one pair is splayed in plan, no lateral rod."""

    links: tuple[Link, Link, Link, Link]
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class LeafSprings:
    """A leaf spring each side."""

    left: LeafSpring
    right: LeafSpring
    where: Place | None = field(default=None, compare=False)


Suspension = FourLinksRod | ThreeLinksRod | TriangulatedLinks | LeafSprings


def suspension_points(suspension: Suspension) -> tuple[str, ...]:
    """Every hardpoint that a suspension hangs on, each once."""
    if isinstance(suspension, LeafSprings):
        names = [n for s in (suspension.left, suspension.right) for n in (s.front_eye, s.pad, s.rear_eye, s.shackle)]
    else:
        rods = suspension.links if isinstance(suspension, TriangulatedLinks) else (*suspension.links, suspension.rod)
        names = [n for rod in rods for n in (rod.frame, rod.axle)]
    return tuple(dict.fromkeys(names))


@dataclass(frozen=True, slots=True)
class Stops:
    """How far the axle goes from ride height before the stops touch, both given positive, and the lateral distance
    between the left and the right stop. ``roll_rad`` limits roll each way; None lets the stops alone limit it."""

    bump_mm: float
    droop_mm: float
    apart_mm: float
    roll_rad: float | None = None
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Mounts:
    """The engine rocks on its mounts about the line from ``axis_front`` to ``axis_rear`` by ``right_up_rad`` and
    ``right_down_rad``, both given positive."""

    axis_front: str
    axis_rear: str
    right_up_rad: float
    right_down_rad: float
    where: Place | None = field(default=None, compare=False)
