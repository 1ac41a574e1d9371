"""Stiffness, weight and growth of metals, as tables give them."""

from trialfit.standards.table import table

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of gravity [m/s2]; exact by definition."""


def modulus_mpa(material: str) -> float:
    """Young's modulus [MPa] at room temperature; hot steel is softer (0.6 of it at 500 degC).

    Raises
    ------
    ValueError
        for a material that is not in the table, naming the nearest

    Source: Shigley's Mechanical Engineering Design, 9th ed., table A-5.

    >>> modulus_mpa("aluminium")
    71000.0
    """
    return table("materials").number(material, "e_gpa") * 1000.0


def shear_modulus_mpa(material: str) -> float:
    """Shear modulus [MPa] at room temperature.

    Raises
    ------
    ValueError
        for a material that is not in the table, naming the nearest

    Source: Shigley's Mechanical Engineering Design, 9th ed., table A-5.
    """
    return table("materials").number(material, "g_gpa") * 1000.0


def weighed_density_kg_mm3(material: str) -> float:
    """Density [kg/mm3] from the table's unit weight.

    Raises
    ------
    ValueError
        for a material that is not in the table, naming the nearest

    Source: Shigley's Mechanical Engineering Design, 9th ed., table A-5.

    >>> round(weighed_density_kg_mm3("stainless") * 1e9)
    7750
    """
    return table("materials").number(material, "unit_weight_kn_m3") / STANDARD_GRAVITY * 1e-6


def density_kg_mm3(material: str) -> float:
    """Density [kg/mm3] used for masses, of tube metals and of what parts are made of.

    Raises
    ------
    ValueError
        for a material that is not in the table, naming the nearest

    Source: EN 10220 for steel; from memory for the rest.
    """
    return table("densities").number(material, "density_kg_m3") * 1e-9


def expansion_per_k(metal: str) -> float:
    """Mean coefficient of linear expansion [1/K] of a grade, up to the temperature its row names.

    Raises
    ------
    ValueError
        for a grade that is not in the table, naming the nearest

    Source: table of linear expansion coefficients of steels; stainless data sheets (from memory).

    >>> round(expansion_per_k("304") * 1e6, 3)
    17.2
    """
    return table("expansion").number(metal, "expansion_um_m_k") * 1e-6
