"""How stiff a bolt is, and how stiff what it clamps: frusta of pressure through layers of differing metal."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.structure.bolt import CAUTION
from trialfit.sums import Ask, a_sum

_BOOK = "Shigley's Mechanical Engineering Design, 9th ed."
_TAN = math.tan(math.radians(30.0))
_MODULUS = Ask("modulus", "pressure", "Young's modulus")
_D = Ask("diameter", "length", "nominal diameter of the bolt")
_FACE = Ask("face", "length", "diameter of the face under head or nut; 1.5 diameters for a standard hexagon")


@dataclass(frozen=True, slots=True)
class ClampedLayer:
    """One thing between head and nut: plate, hat, spacer or washer. ``material`` is a row of the clamped materials or
    a word of the builder's; ``washer`` says it is a loose washer."""

    name: str
    thickness_mm: float
    modulus_mpa: float
    material: str = ""
    washer: bool = False


@a_sum(
    "joint-frustum-stiffness",
    title="Stiffness of one frustum of pressure under a bolt head",
    asks=(_MODULUS, _D, Ask("face", "length", "smaller diameter of the frustum"),
          Ask("thickness", "length", "thickness of the frustum")),
    gives="stiffness of the frustum",
    dimension="stiffness",
    unit="kN/mm",
    words="0.5774 pi E d / ln(((1.155 t + D - d)(D + d)) / ((1.155 t + D + d)(D - d))), half angle 30 degrees",
    source=f"{_BOOK}, eq. 8-20",
    caution=CAUTION,
)  # fmt: skip
def joint_frustum_stiffness(modulus: float, diameter: float, face: float, thickness: float) -> float:
    """Stiffness [N/mm] of a hollow cone of 30 degrees half angle, its bore taken as the bolt.

    A part smaller than the cone is softer than this (unsafe side for the bolt).

    Raises
    ------
    ValueError
        for an amount that is not positive, or a face no bigger than the bolt

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-20.

    >>> round(joint_frustum_stiffness(207000.0, 12.0, 18.0, 13.0) / 1000.0)
    5316
    """
    refuse_not_positive(
        modulus=(modulus, "MPa"), diameter=(diameter, "mm"), face=(face, "mm"), thickness=(thickness, "mm")
    )
    if face <= diameter:
        raise ValueError(f"the face is {face:g} mm; it must be bigger than the bolt, {diameter:g} mm")
    grown = 2.0 * thickness * _TAN
    inside = (grown + face - diameter) * (face + diameter) / ((grown + face + diameter) * (face - diameter))
    return math.pi * modulus * diameter * _TAN / math.log(inside)


def member_stiffness_n_mm(
    layers: Sequence[ClampedLayer], diameter_mm: float, face_mm: float, part_mm: float | None = None
) -> float:
    """Stiffness of a stack clamped between two like faces: two frusta that meet in the middle of the grip.

    Parameters
    ----------
    layers : sequence of ClampedLayer
        from the head to the nut, or to where a screw takes hold in a tapped part
    diameter_mm, face_mm : float
        bolt, and face under head and nut [mm]
    part_mm : float or None
        diameter of the parts round the bolt, where the cone may be cut short [mm]

    Returns
    -------
    float
        stiffness [N/mm]

    Raises
    ------
    ValueError
        without layers, or for an amount that is not positive

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-18, 8-20.

    >>> steel, iron = ClampedLayer("plate", 20.0, 207e3), ClampedLayer("block", 25.0, 100e3)
    >>> round(member_stiffness_n_mm((steel, iron), 12.0, 18.0) / 1000.0)
    1379
    """
    if not layers:
        raise ValueError("nothing is clamped; give the layers between head and nut")
    if part_mm is not None and part_mm < face_mm:
        raise ValueError(f"the part is {part_mm:g} mm across; it must be no smaller than the face, {face_mm:g} mm")
    grip = sum(layer.thickness_mm for layer in layers)
    give, start = 0.0, 0.0
    for layer in layers:
        refuse_not_positive(thickness=(layer.thickness_mm, "mm"))
        end = start + layer.thickness_mm
        for low, high in ((start, min(end, grip / 2.0)), (grip - end, min(grip - start, grip / 2.0))):
            # depth of the piece is counted from the nearer face
            if high - low > 1e-9 * grip:
                give += _piece(layer.modulus_mpa, diameter_mm, face_mm, low, high, part_mm)
        start = end
    return 1.0 / give


def _piece(modulus: float, diameter: float, face: float, low: float, high: float, part: float | None) -> float:
    full = math.inf if part is None else (part - face) / (2.0 * _TAN)
    give = 0.0
    if low < full:
        give += 1.0 / joint_frustum_stiffness(modulus, diameter, face + 2.0 * low * _TAN, min(high, full) - low)
    if high > full and part is not None:
        give += (high - max(low, full)) / (modulus * math.pi / 4.0 * (part**2 - diameter**2))
    return give


@a_sum(
    "joint-member-stiffness",
    title="Stiffness of two plates clamped by a bolt",
    asks=(
        _D, _FACE,
        Ask("first", "length", "thickness of the plate under the head"),
        Ask("first_modulus", "pressure", "its modulus"),
        Ask("second", "length", "thickness of the plate under the nut"),
        Ask("second_modulus", "pressure", "its modulus"),
    ),
    gives="stiffness of what is clamped",
    dimension="stiffness",
    unit="kN/mm",
    words="frusta of 30 degrees from head and nut meet in the middle of the grip; their pieces in series",
    source=f"{_BOOK}, eq. 8-18, 8-20",
    caution=CAUTION,
)  # fmt: skip
def joint_member_stiffness(
    diameter: float, face: float, first: float, first_modulus: float, second: float, second_modulus: float
) -> float:
    """Stiffness [N/mm] of two plates of differing metal and thickness.

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-18, 8-20.
    """
    layers = (ClampedLayer("first", first, first_modulus), ClampedLayer("second", second, second_modulus))
    return member_stiffness_n_mm(layers, diameter, face)


@a_sum(
    "bolt-stiffness",
    title="Stiffness of a bolt over its grip",
    asks=(
        _D,
        Ask("area", "area", "tensile stress area of the thread"),
        Ask("shank", "length", "length of plain shank within the grip"),
        Ask("threaded", "length", "length of thread within the grip"),
        _MODULUS,
    ),
    gives="stiffness of the bolt",
    dimension="stiffness",
    unit="kN/mm",
    words="Ad At E / (Ad lt + At ld)",
    source=f"{_BOOK}, eq. 8-17",
    caution=CAUTION,
)
def bolt_stiffness(diameter: float, area: float, shank: float, threaded: float, modulus: float) -> float:
    """Stiffness [N/mm] of a bolt: plain shank and thread within the grip, in series.

    Head, nut and the thread in the nut give a little too: left out, which puts more load on the bolt than it gets
    (safe side for the bolt).

    Raises
    ------
    ValueError
        for an amount that is not positive; shank or thread alone may be nought

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-17.

    >>> round(bolt_stiffness(12.0, 84.3, 30.0, 15.0, 207000.0) / 1000.0)
    467
    """
    refuse_not_positive(diameter=(diameter, "mm"), area=(area, "mm2"), modulus=(modulus, "MPa"))
    refuse_outside("shank", shank, 0.0, math.inf, "mm")
    refuse_outside("threaded", threaded, 0.0, math.inf, "mm")
    refuse_not_positive(grip=(shank + threaded, "mm"))
    plain = math.pi / 4.0 * diameter**2
    return plain * area * modulus / (plain * threaded + area * shank)


def standard_thread_length_mm(diameter_mm: float, length_mm: float, system: str) -> float:
    """Length of thread on a standard hexagon bolt [mm], no longer than the bolt.

    Parameters
    ----------
    diameter_mm, length_mm : float
        nominal diameter, and length under the head [mm]
    system : str
        ``metric`` or ``unified``

    Raises
    ------
    ValueError
        for an amount that is not positive

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-13, 8-14.

    >>> standard_thread_length_mm(12.0, 60.0, "metric"), standard_thread_length_mm(12.7, 44.45, "unified")
    (30.0, 31.75)
    """
    refuse_not_positive(diameter=(diameter_mm, "mm"), length=(length_mm, "mm"))
    if system == "metric":
        more = 6.0 if length_mm <= 125.0 else 12.0 if length_mm <= 200.0 else 25.0
    else:
        more = 6.35 if length_mm <= 152.4 else 12.7
    return min(2.0 * diameter_mm + more, length_mm)
