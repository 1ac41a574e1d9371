"""Straight bars and tubes as beams: how they ring and when they buckle."""

import math

from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.structure.tube import tube_area, tube_mass_per_length, tube_second_moment
from trialfit.sums import Ask, a_sum

_LATERAL = {"pinned": math.pi, "built-in": 4.730040744862704, "built-in-pinned": 3.926602312047919,
            "free": 1.8751040687119611}  # fmt: skip
END_WORDS: tuple[str, ...] = tuple(_LATERAL)
"""How the two ends of a beam are held; ``free`` is built in at one end and free at the other."""

_N_PER_KG_MM_S2 = 1e-3


def end_number(ends: str) -> float:
    """Root [-] of the frequency equation of a uniform beam, first mode, for one of :data:`END_WORDS`.

    Raises
    ------
    ValueError
        for another word

    Source: Mechanical Engineer's Data Handbook, p. 45, gives the squares over 2 pi as 1.57, 3.57 and 0.56.

    >>> round(end_number("built-in") ** 2 / (2 * math.pi), 2)
    3.56
    """
    if ends not in _LATERAL:
        raise ValueError(f"ends are '{ends}'; write one of {', '.join(_LATERAL)}")
    return _LATERAL[ends]


def lateral_rate_rad_s(stiffness_n_mm2: float, mass_kg_mm: float, length_mm: float, ends: str) -> float:
    """First natural frequency in bending [rad/s] of a uniform beam, from its E*I [N*mm2] and mass per length [kg/mm].

    Shear, rotary inertia, added masses and give in the supports are left out: all of them lower the true value.

    Source: Mechanical Engineer's Data Handbook, p. 45.
    """
    refuse_not_positive(
        stiffness=(stiffness_n_mm2, ""), mass_for_each_length=(mass_kg_mm, "kg/m"), length=(length_mm, "mm")
    )
    force_rate = stiffness_n_mm2 / _N_PER_KG_MM_S2 / (mass_kg_mm * length_mm**4)
    return end_number(ends) ** 2 * math.sqrt(force_rate)


_TUBE = (
    Ask("diameter", "length", "outside diameter"),
    Ask("wall", "length", "wall thickness; half the diameter for a solid bar"),
)
_STEEL = (
    Ask("modulus", "pressure", "Young's modulus; steel when left out", 207000.0),
    Ask("density", "density", "density; steel when left out", 7850e-9),
)


@a_sum(
    "tube-span-frequency",
    title="First bending frequency of a tube between supports",
    asks=(
        *_TUBE,
        Ask("length", "length", "distance between the supports"),
        Ask("ends", "text", "how the ends are held; free means the far end only", "pinned", END_WORDS),
        *_STEEL,
    ),
    gives="first natural frequency in bending",
    dimension="frequency",
    unit="Hz",
    words="1.571 (pinned), 2.454 (built in and pinned), 3.561 (built in) or 0.560 (far end free) "
    "* sqrt(E * I / (mass per length * length^4))",
    source="Mechanical Engineer's Data Handbook, p. 45",
)
def tube_span_frequency(
    diameter: float, wall: float, length: float, ends: str, modulus: float, density: float
) -> float:
    """First bending frequency [Hz] of a tube or bar: an exhaust run between hangers, a strut, a shelf of pipe.

    Soft hangers, bends and hung-on weight are left out and lower the true value.

    Source: Mechanical Engineer's Data Handbook, p. 45.

    >>> round(tube_span_frequency(63.5, 1.5, 1200.0, "pinned", 190000.0, 7850e-9), 1)
    117.7
    """
    stiffness = modulus * tube_second_moment(diameter, wall)
    return lateral_rate_rad_s(stiffness, tube_mass_per_length(diameter, wall, density), length, ends) / (2.0 * math.pi)


@a_sum(
    "cantilever-tip-frequency",
    title="First frequency of a cantilever tube with a weight on its end",
    asks=(*_TUBE, Ask("length", "length", "free length"), Ask("tip_mass", "mass", "mass on the free end"), *_STEEL),
    gives="first natural frequency in bending",
    dimension="frequency",
    unit="Hz",
    words="sqrt(3 * E * I / (length^3 * (tip mass + 33/140 of the tube's mass))) / (2 * pi)",
    source="from memory (Rayleigh, 33/140 of the beam's mass)",
)
def cantilever_tip_frequency(
    diameter: float, wall: float, length: float, tip_mass: float, modulus: float, density: float
) -> float:
    """First frequency [Hz] of a bracket tube with a weight on its end; up to 1.5 % on the high side.

    Source: from memory (Rayleigh, 33/140 of the beam's mass).
    """
    refuse_not_positive(length=(length, "mm"), modulus=(modulus, "GPa"))
    refuse_outside("tip mass", tip_mass, 0.0, math.inf, "kg")
    own = tube_mass_per_length(diameter, wall, density) * length
    stiffness_n_mm = 3.0 * modulus * tube_second_moment(diameter, wall) / length**3
    return math.sqrt(stiffness_n_mm / _N_PER_KG_MM_S2 / (tip_mass + 33.0 / 140.0 * own)) / (2.0 * math.pi)


@a_sum(
    "tube-buckling-load",
    title="Load that buckles a strut",
    asks=(
        *_TUBE,
        Ask("length", "length", "length between the joints"),
        Ask("end_factor", "number", "end condition constant: 1 for pin joints at both ends", 1.0),
        _STEEL[0],
    ),
    gives="Euler load",
    dimension="force",
    unit="kN",
    words="end factor * pi^2 * E * I / length^2",
    source="Shigley's Mechanical Engineering Design, 9th ed., eq. 4-43",
    caution="A link that is not straight, is loaded off its axis or is short and thick fails well below this load. "
    "Suspension and steering links want the judgement of a licensed engineer where the law asks for it.",
)
def tube_buckling_load(diameter: float, wall: float, length: float, end_factor: float, modulus: float) -> float:
    """Euler load [N] of a straight, centrally loaded strut.

    Refused where the stress at that load passes 250 MPa: there yielding rules, not Euler, and the answer would err on
    the unsafe side.

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 4-43.
    """
    refuse_not_positive(length=(length, "mm"), modulus=(modulus, "GPa"))
    refuse_outside("end factor", end_factor, 0.25, 4.0, "")
    second = tube_second_moment(diameter, wall)
    load = end_factor * math.pi**2 * modulus * second / length**2
    stress = load / tube_area(diameter, wall)
    refuse_outside("stress at the Euler load (the strut is too short for the formula)", stress, 0.0, 250.0, "MPa")
    return load


@a_sum(
    "column-diameter",
    title="Diameter of a solid round strut",
    asks=(
        Ask("load", "force", "load along the strut that must not buckle it, safety factor included"),
        Ask("length", "length", "length between the joints"),
        Ask("end_factor", "number", "end condition constant: 1 for pin joints at both ends", 1.0),
        _STEEL[0],
    ),
    gives="least diameter of a solid bar",
    dimension="length",
    unit="mm",
    words="fourth root of 64 * load * length^2 / (pi^3 * end factor * E)",
    source="Shigley's Mechanical Engineering Design, 9th ed., eq. 4-43",
    caution="A link that is not straight, is loaded off its axis or is short and thick fails well below this load.",
)
def column_diameter(load: float, length: float, end_factor: float, modulus: float) -> float:
    """Least diameter [mm] of a straight solid bar that Euler's load does not buckle; yielding is a check of its own.

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 4-43.

    >>> round(column_diameter(88000.0, 1500.0, 1.0, 207000.0), 2)
    37.48
    """
    refuse_not_positive(load=(load, "N"), length=(length, "mm"), modulus=(modulus, "GPa"))
    refuse_outside("end factor", end_factor, 0.25, 4.0, "")
    return math.sqrt(math.sqrt(64.0 * load * length**2 / (math.pi**3 * end_factor * modulus)))
