"""Round tube: what it weighs, how stiff its section is, what a torque does to it."""

import math

from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.sums import Ask, a_sum

_STEEL = 7850e-9
_DIAMETER = Ask("diameter", "length", "outside diameter")
_WALL = Ask("wall", "length", "wall thickness; half the diameter for a solid bar")
_DENSITY = Ask("density", "density", "density; steel when left out", _STEEL)


def tube_bore_mm(diameter: float, wall: float) -> float:
    """Inside diameter [mm]; refuses a wall that does not fit in the tube.

    Raises
    ------
    ValueError
        when ``diameter`` is not positive or ``wall`` is outside 0 (left out) to half the diameter
    """
    refuse_not_positive(diameter=(diameter, "mm"))
    # a doubt on a solid bar moves wall and diameter apart by a hair; the bore is nought there
    refuse_outside("wall", wall, 0.0, diameter / 2.0 * (1.0 + 1e-9), "mm", open_low=True)
    return max(diameter - 2.0 * wall, 0.0)


@a_sum(
    "tube-area",
    title="Metal area of a tube's section",
    asks=(_DIAMETER, _WALL),
    gives="area of metal",
    dimension="area",
    unit="mm2",
    words="pi/4 * (outside^2 - inside^2)",
    source="geometry",
)
def tube_area(diameter: float, wall: float) -> float:
    """Area of metal [mm2] of a round tube.

    >>> round(tube_area(76.2, 1.651), 1)
    386.7
    """
    return math.pi / 4.0 * (diameter**2 - tube_bore_mm(diameter, wall) ** 2)


@a_sum(
    "tube-second-moment",
    title="Second moment of area of a tube",
    asks=(_DIAMETER, _WALL),
    gives="second moment of area in bending; twice this in torsion",
    dimension="second-moment",
    unit="mm4",
    words="pi/64 * (outside^4 - inside^4)",
    source="geometry",
)
def tube_second_moment(diameter: float, wall: float) -> float:
    """Second moment of area in bending [mm4] of a round tube; twice this is the polar one.

    >>> round(tube_second_moment(20.0, 10.0), 1)
    7854.0
    """
    return math.pi / 64.0 * (diameter**4 - tube_bore_mm(diameter, wall) ** 4)


@a_sum(
    "tube-mass-per-length",
    title="Mass of tube for each length",
    asks=(_DIAMETER, _WALL, _DENSITY),
    gives="mass for each length",
    dimension="mass-per-length",
    unit="kg/m",
    words="density * pi * (diameter - wall) * wall",
    source="EN 10220",
)
def tube_mass_per_length(diameter: float, wall: float, density: float) -> float:
    """Mass for each length [kg/mm]. Weld bead and the mill's tolerance (up to 10 % on the wall) are left out.

    Source: EN 10220.

    >>> round(tube_mass_per_length(76.2, 1.651, 7850e-9) * 1000, 3)
    3.035
    """
    refuse_not_positive(density=(density, "kg/m3"))
    return density * tube_area(diameter, wall)


@a_sum(
    "tube-mass",
    title="Mass of a piece of tube",
    asks=(_DIAMETER, _WALL, Ask("length", "length", "length of the piece"), _DENSITY),
    gives="mass",
    dimension="mass",
    unit="kg",
    words="density * pi * (diameter - wall) * wall * length",
    source="EN 10220",
)
def tube_mass(diameter: float, wall: float, length: float, density: float) -> float:
    """Mass [kg] of a piece of tube with square ends. Weld bead and the mill's tolerance are left out.

    Source: EN 10220.

    >>> round(tube_mass(63.5, 1.5, 1000.0, 7850e-9), 3)
    2.294
    """
    refuse_not_positive(length=(length, "mm"))
    return tube_mass_per_length(diameter, wall, density) * length


@a_sum(
    "tube-torsional-stress",
    title="Shear stress of a tube under torque",
    asks=(Ask("torque", "torque", "torque in the tube"), _DIAMETER, _WALL),
    gives="greatest shear stress, at the outside",
    dimension="pressure",
    unit="MPa",
    words="16 * torque * outside / (pi * (outside^4 - inside^4))",
    source="mechanics of materials, torsion formula",
    caution="A propeller shaft that breaks can come through the floor or dig into the road: shock torque is several "
    "times the steady one, welds and yokes are often weaker than the tube. Have shafts made and balanced by a "
    "driveline shop, and fit a retainer loop where the rules ask for one.",
)
def tube_torsional_stress(torque: float, diameter: float, wall: float) -> float:
    """Greatest shear stress [MPa] of a round tube twisted by ``torque`` [N*mm].

    Shock, welds, notches and buckling of a thin wall are left out; all of them err on the unsafe side.

    Source: mechanics of materials, torsion formula.

    >>> round(tube_torsional_stress(1e6, 76.2, 1.651), 2)
    70.88
    """
    refuse_outside("torque", torque, 0.0, math.inf, "N*m")
    return torque * diameter / (4.0 * tube_second_moment(diameter, wall))


@a_sum(
    "tube-twist",
    title="Twist of a tube under torque",
    asks=(
        Ask("torque", "torque", "torque in the tube"),
        _DIAMETER,
        _WALL,
        Ask("length", "length", "length of the tube"),
        Ask("shear_modulus", "pressure", "shear modulus; steel when left out", 79300.0),
    ),
    gives="angle of twist",
    dimension="angle",
    unit="deg",
    words="torque * length / (shear modulus * polar second moment)",
    source="mechanics of materials, torsion formula",
)
def tube_twist(torque: float, diameter: float, wall: float, length: float, shear_modulus: float) -> float:
    """Angle of twist [rad] of a round tube; yokes, welds and splines are left out, which errs on the small side.

    Source: mechanics of materials, torsion formula.
    """
    refuse_outside("torque", torque, 0.0, math.inf, "N*m")
    refuse_not_positive(length=(length, "mm"), shear_modulus=(shear_modulus, "GPa"))
    return torque * length / (shear_modulus * 2.0 * tube_second_moment(diameter, wall))
