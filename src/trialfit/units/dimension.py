"""The dimensions the house knows, each with its one internal unit and an example of how people write it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Dimension:
    """One kind of amount: ``noun`` as a message says it, ``internal`` unit, ``example`` as a person types it."""

    name: str
    noun: str
    internal: str
    example: str


DIMENSIONS: dict[str, Dimension] = {
    d.name: d
    for d in (
        Dimension("length", "a length", "mm", "67.1 mm or 3 1/2 in"),
        Dimension("angle", "an angle", "rad", "2.5 deg"),
        Dimension("mass", "a mass", "kg", "85 kg"),
        Dimension("force", "a force", "N", "250 lbf"),
        Dimension("torque", "a torque", "N*mm", "35 lbf*ft"),
        Dimension("pressure", "a pressure or stress", "MPa", "18 bar"),
        Dimension("power", "a power", "W", "300 kW"),
        Dimension("speed", "a road speed", "mm/s", "100 km/h"),
        Dimension("rotation", "a speed of rotation", "rad/s", "3000 rpm"),
        Dimension("frequency", "a frequency", "Hz", "42 Hz"),
        Dimension("acceleration", "an acceleration", "mm/s2", "9.81 m/s2"),
        Dimension("temperature", "a temperature", "K", "700 degC"),
        Dimension("temperature-difference", "a difference of temperature", "K", "40 K"),
        Dimension("time", "a time", "s", "54 min"),
        Dimension("area", "an area", "mm2", "12 cm2"),
        Dimension("volume", "a volume or section modulus", "mm3", "3.0 l"),
        Dimension("second-moment", "a second moment of area", "mm4", "41000 mm4"),
        Dimension("inertia", "a moment of inertia", "kg*mm2", "0.2 kg*m2"),
        Dimension("stiffness", "a stiffness", "N/mm", "2000 N/mm"),
        Dimension("torsional-stiffness", "a torsional stiffness", "N*mm/rad", "150 N*m/deg"),
        Dimension("density", "a density", "kg/mm3", "7850 kg/m3"),
        Dimension("mass-per-length", "a mass per length", "kg/mm", "2.3 kg/m"),
        Dimension("volume-flow", "a volume flow", "mm3/s", "40 l/min"),
        Dimension("mass-flow", "a mass flow", "kg/s", "0.12 kg/s"),
        Dimension("expansion", "an expansion coefficient", "1/K", "12.2e-6 /K"),
        Dimension("ratio", "a ratio", "", "4.10:1"),
        Dimension("percent", "a percentage", "", "35 %"),
        Dimension("number", "a plain number", "", "6"),
        Dimension("text", "a word", "", "pinned"),
    )
}
"""Every dimension by its name. Percentages and ratios are plain fractions inside (35 % is 0.35, 4.10:1 is 4.1)."""


def dimension_called(name: str) -> Dimension:
    """The dimension of that name.

    Raises
    ------
    KeyError
        when there is none; a fault of the program, not of what was typed
    """
    if name not in DIMENSIONS:
        raise KeyError(f"no dimension is called '{name}'; known: {', '.join(DIMENSIONS)}")
    return DIMENSIONS[name]


def expected_text(name: str | None) -> str:
    """What a message says was expected, with an example; ``None`` stands for any amount.

    >>> expected_text("angle")
    'an angle such as 2.5 deg'
    """
    if name is None:
        return "a number and its unit, such as 67.1 mm"
    d = dimension_called(name)
    return f"{d.noun} such as {d.example}"
