"""At which speed a propeller shaft begins to bow, and how long it may be for the speed it must run."""

import math

from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.structure import END_WORDS, end_number, lateral_rate_rad_s, tube_mass_per_length, tube_second_moment
from trialfit.sums import Ask, a_sum

CAUTION = (
    "The formula gives the bare tube between stiff ends; joints, yokes, a slip spline and a soft gearbox tail lower "
    "the true whirling speed. Run well below it (three quarters is usual), and have the shaft made and balanced by a "
    "driveline shop: a shaft that whirls destroys itself in seconds."
)
_TUBE = (
    Ask("diameter", "length", "outside diameter of the tube"),
    Ask("wall", "length", "wall thickness; half the diameter for a solid bar"),
)
_ENDS = Ask("ends", "text", "how the ends are held: joints are pinned, free is one end only", "pinned", END_WORDS)
_STEEL = (
    Ask("modulus", "pressure", "Young's modulus; steel when left out", 207000.0),
    Ask("density", "density", "density; steel when left out", 7850e-9),
)


@a_sum(
    "tube-whirl",
    title="Whirling speed of a tube or bar",
    asks=(*_TUBE, Ask("length", "length", "distance between the middles of the joints"), _ENDS, *_STEEL),
    gives="first whirling speed",
    dimension="rotation",
    unit="rpm",
    words="turns per second = 1.571 (pinned), 2.454 (built in and pinned), 3.561 (built in) or 0.560 (far end free) "
    "* sqrt(E * I / (mass per length * length^4))",
    source="Mechanical Engineer's Data Handbook, p. 45",
    caution=CAUTION,
)
def tube_whirl(diameter: float, wall: float, length: float, ends: str, modulus: float, density: float) -> float:
    """First whirling speed [rad/s] of a uniform tube or solid bar.

    Joints, yokes, give of the supports, shear and rotary inertia are left out: the true speed is lower.

    Parameters
    ----------
    diameter, wall, length : float
        outside diameter, wall, and length between joint centres, at least 8 diameters [mm]
    ends : str
        ``pinned``, ``built-in``, ``built-in-pinned`` or ``free``
    modulus : float
        Young's modulus [MPa]
    density : float
        [kg/mm3]

    Raises
    ------
    ValueError
        for an amount out of range, or a shaft shorter than 8 diameters, where shear makes the formula err by
        more than 6 % on pinned ends

    Source: Mechanical Engineer's Data Handbook, p. 45.

    >>> round(tube_whirl(76.2, 2.108, 1400.0, "pinned", 207000.0, 7850e-9) * 30 / math.pi, -1)
    6470.0
    """
    refuse_outside("length", length, 8.0 * diameter, math.inf, "mm")
    refuse_not_positive(modulus=(modulus, "GPa"))
    stiffness = modulus * tube_second_moment(diameter, wall)
    return lateral_rate_rad_s(stiffness, tube_mass_per_length(diameter, wall, density), length, ends)


@a_sum(
    "tube-whirl-length",
    title="Longest shaft for a speed",
    asks=(
        *_TUBE,
        Ask("speed", "rotation", "greatest speed the shaft must run"),
        Ask("share", "ratio", "greatest running speed as a share of the whirling speed", 0.75),
        _ENDS,
        *_STEEL,
    ),
    gives="longest distance between the middles of the joints",
    dimension="length",
    unit="mm",
    words="length at which speed / share is the whirling speed of the tube",
    source="Mechanical Engineer's Data Handbook, p. 45; share from memory",
    caution=CAUTION,
)
def tube_whirl_length(
    diameter: float, wall: float, speed: float, share: float, ends: str, modulus: float, density: float
) -> float:
    """Longest shaft [mm] that runs at ``speed`` [rad/s] with the given share of its whirling speed; errs long as
    :func:`tube_whirl` errs fast.

    Source: Mechanical Engineer's Data Handbook, p. 45; share from memory.
    """
    refuse_not_positive(speed=(speed, "rpm"), modulus=(modulus, "GPa"))
    refuse_outside("share", share, 0.0, 1.0, "", open_low=True)
    mass = tube_mass_per_length(diameter, wall, density)
    at_one_mm = end_number(ends) ** 2 * math.sqrt(1000.0 * modulus * tube_second_moment(diameter, wall) / mass)
    length = math.sqrt(at_one_mm * share / speed)
    refuse_outside("longest length for that speed", length, 8.0 * diameter, math.inf, "mm")
    return length


@a_sum(
    "whirl-from-sag",
    title="Whirling speed of a shaft from its sag under a weight",
    asks=(Ask("sag", "length", "static deflection under the weight, at the weight"),),
    gives="first whirling speed",
    dimension="rotation",
    unit="rpm",
    words="sqrt(gravity / sag)",
    source="Rayleigh's method for one mass",
    caution=CAUTION,
)
def whirl_from_sag(sag: float) -> float:
    """First whirling speed [rad/s] of a light shaft with one heavy weight, from its static sag [mm].

    Source: Rayleigh's method for one mass.
    """
    refuse_not_positive(sag=(sag, "mm"))
    return math.sqrt(9806.65 / sag)


@a_sum(
    "shaft-speed-top",
    title="Greatest speed of the propeller shaft",
    asks=(
        Ask("engine", "rotation", "greatest engine speed"),
        Ask("gear", "ratio", "top gear; an overdrive is below 1 and turns the shaft faster than the engine"),
    ),
    gives="speed of the shaft",
    dimension="rotation",
    unit="rpm",
    words="engine / gear",
    source="kinematics",
    caution=CAUTION,
)
def shaft_speed_top(engine: float, gear: float) -> float:
    """Greatest speed [rad/s] of the shaft behind the gearbox, whether or not the car reaches the road speed for it.

    Source: kinematics.

    >>> round(shaft_speed_top(6000 * math.pi / 30, 0.75) * 30 / math.pi)
    8000
    """
    refuse_not_positive(engine=(engine, "rpm"))
    refuse_outside("gear", gear, 0.3, 6.0, "")
    return engine / gear


@a_sum(
    "shaft-speed-from-road",
    title="Speed of the propeller shaft at a road speed",
    asks=(
        Ask("speed", "speed", "road speed"),
        Ask("axle", "ratio", "axle ratio"),
        Ask("diameter", "length", "rolling diameter of the tyre: distance in one turn / pi"),
    ),
    gives="speed of the shaft",
    dimension="rotation",
    unit="rpm",
    words="speed * axle / (diameter / 2)",
    source="kinematics",
    caution=CAUTION + " A wheel that spins turns the shaft faster than the road does.",
)
def shaft_speed_from_road(speed: float, axle: float, diameter: float) -> float:
    """Speed [rad/s] of the shaft at a road speed; slip of the tyres is left out (the true speed is higher).

    Source: kinematics.
    """
    refuse_not_positive(speed=(speed, "km/h"), diameter=(diameter, "mm"))
    refuse_outside("axle", axle, 1.0, 20.0, "")
    return speed * axle / (diameter / 2.0)


@a_sum(
    "tube-torsion-buckling",
    title="Torque that buckles a thin tube",
    asks=(
        *_TUBE,
        Ask("length", "length", "length of the tube between its welds"),
        Ask("modulus", "pressure", "Young's modulus; steel when left out", 207000.0),
        Ask("poisson", "ratio", "Poisson's ratio; steel when left out", 0.292),
    ),
    gives="torque at which an even, round tube buckles while still elastic",
    dimension="torque",
    unit="N*m",
    words="long tube: stress = E / (3 * sqrt(2) * (1 - poisson^2)^0.75) * (wall / r)^1.5; "
    "torque = 2 * pi * r^2 * wall * stress, r to the middle of the wall",
    source="Theory of Elastic Stability, S. P. Timoshenko and J. M. Gere, 2nd ed. (from memory)",
    caution="Dents and tube out of round lower it a great deal, by half is not rare; thick tube yields long before it "
    "buckles. " + CAUTION,
)
def tube_torsion_buckling(diameter: float, wall: float, length: float, modulus: float, poisson: float) -> float:
    """Torque [N*mm] that buckles a long thin tube, elastic and without flaws: errs on the unsafe side.

    Long means ``wall * length^2 / (8 r^3 sqrt(1 - poisson^2))`` above 5.5; a shorter tube bears more and is refused,
    for the formula would be another one.

    Raises
    ------
    ValueError
        for a tube too short or too thick-walled (r / wall below 8) for the formula

    Source: Theory of Elastic Stability, S. P. Timoshenko and J. M. Gere, 2nd ed. (from memory).
    """
    refuse_not_positive(diameter=(diameter, "mm"), wall=(wall, "mm"), modulus=(modulus, "GPa"))
    refuse_outside("poisson", poisson, 0.0, 0.5, "")
    radius = 0.5 * (diameter - wall)
    refuse_outside("wall", wall, 0.0, radius / 8.0, "mm", open_low=True)
    least = math.sqrt(5.5 * 8.0 * radius**3 * math.sqrt(1.0 - poisson**2) / wall)
    refuse_outside("length", length, least, math.inf, "mm")
    stress = modulus / (3.0 * math.sqrt(2.0) * math.pow(1.0 - poisson**2, 0.75)) * math.pow(wall / radius, 1.5)
    return 2.0 * math.pi * radius**2 * wall * stress
