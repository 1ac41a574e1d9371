"""Bolt grades: what proof, yield and tensile stress the mark on the head promises."""

from dataclasses import dataclass

from trialfit.standards.table import nearest, table
from trialfit.units import internal

_TABLES = (("bolt_grades_iso_898_1", "mm", "MPa"), ("bolt_grades_sae_j429", "in", "ksi"))


@dataclass(frozen=True, slots=True)
class Grade:
    """Strength of a bolt of one grade at one size: stresses in MPa, and the standard it comes from."""

    name: str
    system: str
    proof_mpa: float
    yield_mpa: float
    tensile_mpa: float
    source: str


def grade_names() -> tuple[str, ...]:
    """Every grade known: property classes of ISO 898-1, then grades of SAE J429."""
    return tuple(dict.fromkeys(row["grade"] for name, _, _ in _TABLES for row in table(name).rows))


def bolt_grade(name: str, diameter_mm: float) -> Grade:
    """Strength of a bolt of grade ``name`` (``8.8`` by ISO 898-1, ``5`` by SAE J429) at a nominal diameter.

    Stainless bolts and nuts are not in the tables: they are weaker than the like-numbered steel grade may suggest.

    Raises
    ------
    ValueError
        for an unknown grade, naming the known ones; or a diameter that the standard gives no strength for

    Source: ISO 898-1; SAE J429.

    >>> bolt_grade("8.8", 10.0).proof_mpa, round(bolt_grade("8", 12.7).proof_mpa, 1)
    (580.0, 827.4)
    """
    for title, length, stress in _TABLES:
        rows = [row for row in table(title).rows if row["grade"] == name]
        for row in rows:
            low = internal(float(row[f"over_{length}"]), length)
            high = internal(float(row[f"to_{length}"]), length)
            if low < diameter_mm <= high + 1e-9:
                proof, yield_, tensile = (
                    internal(float(row[f"{word}_{stress.lower()}"]), stress) for word in ("proof", "yield", "tensile")
                )
                system = "metric" if length == "mm" else "unified"
                return Grade(name, system, proof, yield_, tensile, f"{table(title).source}, {table(title).table}")
        if rows:
            most = internal(float(rows[-1][f"to_{length}"]), length)
            raise ValueError(f"grade {name} is given over 0 mm to {most:.4g} mm, not for {diameter_mm:.4g} mm")
    raise ValueError(f"no bolt grade is called '{name}'; {nearest(name, grade_names())}")


def torque_factor(finish: str) -> float:
    """Torque factor K [-] of a bolt's finish: ``plain-black``, ``zinc``, ``lubricated``, ``cadmium``.

    Raises
    ------
    ValueError
        for another finish, naming the known ones

    Source: Shigley's Mechanical Engineering Design, 9th ed., table 8-15.

    >>> torque_factor("lubricated")
    0.18
    """
    return table("torque_factors").number(finish, "factor")
