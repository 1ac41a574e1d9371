"""Shapes that ride on a body or span two, placed on hardpoints."""

from dataclasses import dataclass, field
from enum import StrEnum

from trialfit.findings import Place


class BodyName(StrEnum):
    """What moves as one. Links, rods, dampers and springs are no bodies: they span two of these."""

    FRAME = "frame"
    ENGINE = "engine"
    AXLE = "axle"
    SHAFT = "shaft"
    WHEEL_LEFT = "wheel-left"
    WHEEL_RIGHT = "wheel-right"


@dataclass(frozen=True, slots=True)
class Amount:
    """A length [mm] with its standard deviation [mm], or the name of a SIZE reading that gives both."""

    mm: float
    sd_mm: float = 0.0
    size: str = ""


@dataclass(frozen=True, slots=True)
class Shape:
    """What every shape has. ``kind`` is what the thing is to its neighbours (``floor``, ``fuel-line``, ``tyre``,
    ``axle`` ...): the gap rules go by it. ``body`` is "" for a shape that spans the bodies its ends belong to."""

    name: str
    kind: str
    body: str
    where: Place | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Tube(Shape):
    """Round bar or tube with flat ends, axis from hardpoint ``start`` to hardpoint ``end``."""

    start: str = ""
    end: str = ""
    diameter: Amount = Amount(0.0)


@dataclass(frozen=True, slots=True)
class Cone(Shape):
    """Round taper from ``start`` (``diameter_start``) to ``end`` (``diameter_end``)."""

    start: str = ""
    end: str = ""
    diameter_start: Amount = Amount(0.0)
    diameter_end: Amount = Amount(0.0)


@dataclass(frozen=True, slots=True)
class Drum(Shape):
    """Short cylinder about ``centre``: wheel, brake drum, rotor. ``towards`` is a second hardpoint on its axis;
    "" means the axis lies along y of the vehicle at ride height. Its middle lies ``inboard`` of ``centre`` along the
    axis, towards the vehicle's middle plane; below 0 outboard."""

    centre: str = ""
    towards: str = ""
    diameter: Amount = Amount(0.0)
    width: Amount = Amount(0.0)
    inboard: Amount = Amount(0.0)


@dataclass(frozen=True, slots=True)
class Box(Shape):
    """Box square to the vehicle at ride height. Either two opposite corners, or a centre; sizes along x, y, z are
    needed where the corners do not give them. With ``corner_b`` "" the box is centred on ``corner_a``."""

    corner_a: str = ""
    corner_b: str = ""
    along_x: Amount | None = None
    along_y: Amount | None = None
    along_z: Amount | None = None


@dataclass(frozen=True, slots=True)
class Plate(Shape):
    """Flat convex sheet through three or more hardpoints in order, ``thickness`` split evenly both ways."""

    corners: tuple[str, ...] = ()
    thickness: Amount = Amount(0.0)


@dataclass(frozen=True, slots=True)
class MeshTie:
    """One point of the scan, in the file's own units and axes, that is hardpoint ``point``."""

    point: str
    xyz: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Mesh(Shape):
    """Triangle mesh from a file beside the build file, laid on three or more hardpoints. ``scale`` is mm per unit of
    the file; None lets the ties find it."""

    file: str = ""
    ties: tuple[MeshTie, ...] = ()
    scale: float | None = 1.0
