"""How much longer a pipe gets when it is hot."""

from trialfit.standards import expansion_per_k, refuse_not_positive, refuse_outside, table
from trialfit.sums import Ask, a_sum

_CAUTION = (
    "A hot exhaust grows, droops and moves with the engine: leave room past the worst point of travel, let the hangers "
    "follow, and keep it clear of fuel, brake pipes and wiring. A leak can kill: carbon monoxide has no smell."
)
_LENGTH = Ask("length", "length", "length between the fixed point and the end looked at")
_RISE = Ask("rise", "temperature-difference", "rise of the mean temperature of the metal")


@a_sum(
    "thermal-growth",
    title="Growth of a hot pipe",
    asks=(
        _LENGTH,
        _RISE,
        Ask("metal", "text", "grade of the pipe; the hot rows hold up to 538 degC", "1010", table("expansion").keys()),
    ),
    gives="growth in length",
    dimension="length",
    unit="mm",
    words="length * rise * mean coefficient of expansion of the grade",
    source="table of linear expansion coefficients of steels; stainless data sheets (from memory)",
    caution=_CAUTION,
)
def thermal_growth(length: float, rise: float, metal: str) -> float:
    """Free growth [mm] of a straight pipe of a known grade.

    The coefficient up to 100 degC falls short by 5 to 15 % on a hot pipe: take the hot row where there is one. Bowing
    from one side hotter than the other is left out.

    Parameters
    ----------
    length : float
        [mm]
    rise : float
        mean of the metal along the pipe, up to 1000; negative while cooling [K]
    metal : str
        grade, a row of the expansion table

    Raises
    ------
    ValueError
        for an amount out of range or a grade that is not in the table

    Source: table of linear expansion coefficients of steels; stainless data sheets (from memory).

    >>> round(thermal_growth(3000.0, 300.0, "304"), 1)
    15.5
    """
    return growth_by_coefficient(length, rise, expansion_per_k(metal))


@a_sum(
    "thermal-growth-by-coefficient",
    title="Growth of a hot pipe of known expansion coefficient",
    asks=(_LENGTH, _RISE, Ask("coefficient", "expansion", "mean coefficient of expansion over the rise")),
    gives="growth in length",
    dimension="length",
    unit="mm",
    words="length * rise * mean coefficient of expansion",
    source="physics, linear expansion",
    caution=_CAUTION,
)
def growth_by_coefficient(length: float, rise: float, coefficient: float) -> float:
    """Free growth [mm] of a straight pipe from its mean coefficient of expansion [1/K].

    Raises
    ------
    ValueError
        for a length that is not positive, a rise outside -300 to 1000 K, or a coefficient outside 0 to 30e-6 1/K

    Source: physics, linear expansion.

    >>> round(growth_by_coefficient(3000.0, 300.0, 12e-6), 1)
    10.8
    """
    refuse_not_positive(length=(length, "mm"))
    refuse_outside("rise", rise, -300.0, 1000.0, "K")
    refuse_outside("coefficient", coefficient, 0.0, 30e-6, "1/K", open_low=True)
    return length * rise * coefficient
