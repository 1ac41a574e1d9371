"""Grades of bolts and nuts: what the mark on the head or on the nut promises."""

from dataclasses import dataclass

from trialfit.standards.table import nearest, table
from trialfit.standards.threads import Thread, stress_area_mm2
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


def nut_grade_for(bolt: str) -> str:
    """The least grade of nut that a bolt of that grade is paired with: ``8`` for 8.8, ``5`` for SAE grade 5.

    Raises
    ------
    ValueError
        for an unknown grade of bolt

    Source: ISO 898-2; SAE J995.

    >>> nut_grade_for("10.9"), nut_grade_for("5")
    ('10', '5')
    """
    if bolt not in grade_names():
        raise ValueError(f"no bolt grade is called '{bolt}'; {nearest(bolt, grade_names())}")
    inch = any(row["grade"] == bolt for row in table("bolt_grades_sae_j429").rows)
    whole = int(float(bolt))
    if inch:
        return {1: "2", 2: "2", 4: "5", 5: "5", 8: "8"}[whole]
    return str(max(whole, 5))


def nut_proof_load_n(grade: str, thread: Thread) -> float:
    """Load [N] that a regular hexagon nut holds without stripping on a hard bolt.

    Thin, slotted and worn nuts carry less, and a nut on a soft bolt strips the bolt first: both are left out (unsafe
    side).

    Parameters
    ----------
    grade : str
        class of ISO 898-2 (``8``, ``10``, ``12``) for a metric thread, grade of SAE J995 (``2``, ``5``, ``8``) for an
        inch thread

    Raises
    ------
    ValueError
        when the lists give no figure for that nut; metric fine threads are in neither

    Source: ISO 898-2; SAE J995.

    >>> from trialfit.standards import thread_called
    >>> nut_proof_load_n("8", thread_called("M10"))
    50500.0
    """
    if thread.system == "metric":
        rows = table("nut_proof_iso_898_2").rows
        for row in rows:
            if row["class"] == grade and row["thread"] == thread.name:
                return float(row["load_n"])
        # the standard has a class 9 too, but the lists seen give no loads of it
        known = tuple(sorted({"9", *(row["class"] for row in rows)}, key=int))
    else:
        rows = table("nut_proof_sae_j995").rows
        for row in rows:
            fits = row["grade"] == grade and row["series"] == thread.series
            inches = thread.diameter_mm / 25.4
            if fits and float(row["over_in"]) < inches <= float(row["to_in"]) + 1e-9:
                return internal(float(row["stress_ksi"]), "ksi") * stress_area_mm2(thread)
        known = tuple(dict.fromkeys(row["grade"] for row in rows))
    if grade not in known:
        raise ValueError(f"no {thread.system} nut is of grade '{grade}'; {nearest(grade, known)}")
    raise ValueError(f"the lists give no proof load of a {thread.name} nut of grade {grade}")
