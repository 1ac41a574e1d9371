"""One bolt: how hard to pull it, what torque does that, how far it must be screwed in."""

import math

from trialfit.standards import bolt_grade, refuse_not_positive, refuse_outside, stress_area_mm2, thread_called
from trialfit.sums import Ask, a_sum

CAUTION = (
    "Torque sets the pull of a bolt only roughly: it scatters by about 30 % with finish, oil and wear. On wheels, "
    "brakes, steering, suspension and the propeller shaft follow the maker's torque first, use new fasteners where he "
    "says so, and have the work looked over by someone licensed where the law asks for it."
)
_BOOK = "Shigley's Mechanical Engineering Design, 9th ed."
_THREAD = Ask("thread", "text", "thread, such as M10, M10x1.25 or 7/16-20")
_GRADE = Ask("grade", "text", "mark on the head: 8.8, 10.9, 12.9 (metric), 2, 5, 8 (inch)")
_SHARE = Ask("share", "ratio", "share of the proof load: 0.75 when it comes apart again, 0.9 when it stays", 0.75)
_FACTOR = Ask("factor", "ratio", "torque factor K: 0.30 black, 0.20 zinc, 0.18 lubricated, 0.16 cadmium", 0.2)


@a_sum(
    "bolt-preload-torque",
    title="Torque that pulls a bolt to a preload",
    asks=(Ask("preload", "force", "pull wanted in the bolt"), Ask("diameter", "length", "nominal diameter"), _FACTOR),
    gives="tightening torque",
    dimension="torque",
    unit="N*m",
    words="K * preload * diameter",
    source=f"{_BOOK}, eq. 8-27, table 8-15",
    caution=CAUTION,
)
def bolt_preload_torque(preload: float, diameter: float, factor: float) -> float:
    """Tightening torque [N*mm] for a preload [N]; prevailing torque of a locking nut comes on top.

    Raises
    ------
    ValueError
        for an amount that is not positive, or K outside 0.05 to 0.5

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-27, table 8-15.

    >>> round(bolt_preload_torque(25000.0, 10.0, 0.2) / 1000, 1)
    50.0
    """
    refuse_not_positive(preload=(preload, "N"), diameter=(diameter, "mm"))
    refuse_outside("factor", factor, 0.05, 0.5, "")
    return factor * preload * diameter


@a_sum(
    "bolt-preload",
    title="Preload from proof load",
    asks=(
        Ask("area", "area", "tensile stress area"),
        Ask("proof", "pressure", "proof stress of the grade"),
        _SHARE,
    ),
    gives="preload",
    dimension="force",
    unit="kN",
    words="share * stress area * proof stress",
    source=f"{_BOOK}, eq. 8-31",
    caution=CAUTION,
)
def bolt_preload(area: float, proof: float, share: float) -> float:
    """Preload [N] as a share of the proof load.

    Raises
    ------
    ValueError
        for an amount that is not positive, or a share over 1

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-31.
    """
    refuse_not_positive(area=(area, "mm2"), proof=(proof, "MPa"))
    refuse_outside("share", share, 0.0, 1.0, "", open_low=True)
    return share * area * proof


@a_sum(
    "bolt-proof-load",
    title="Proof load of a bolt",
    asks=(_THREAD, _GRADE),
    gives="proof load",
    dimension="force",
    unit="kN",
    words="stress area of the thread * proof stress of the grade",
    source="ISO 898-1; SAE J429",
    caution=CAUTION,
)
def bolt_proof_load(thread: str, grade: str) -> float:
    """Proof load [N] of a bolt: pulled that far it comes back to its length.

    Source: ISO 898-1; SAE J429.

    >>> round(bolt_proof_load("M10", "8.8"))
    33634
    """
    area, strength = _area_and_grade(thread, grade)
    return area * strength[0]


@a_sum(
    "bolt-breaking-load",
    title="Load that breaks a bolt",
    asks=(_THREAD, _GRADE),
    gives="least tensile load at breaking",
    dimension="force",
    unit="kN",
    words="stress area of the thread * tensile strength of the grade",
    source="ISO 898-1; SAE J429",
    caution=CAUTION,
)
def bolt_breaking_load(thread: str, grade: str) -> float:
    """Least tensile load [N] that breaks a bolt pulled straight; bending and shear are left out (unsafe side).

    Source: ISO 898-1; SAE J429.
    """
    area, strength = _area_and_grade(thread, grade)
    return area * strength[1]


@a_sum(
    "bolt-torque-for-grade",
    title="Tightening torque of a bolt by thread and grade",
    asks=(_THREAD, _GRADE, _SHARE, _FACTOR),
    gives="tightening torque",
    dimension="torque",
    unit="N*m",
    words="K * share * stress area * proof stress * nominal diameter",
    source=f"{_BOOK}, eq. 8-27, 8-31; ISO 898-1; SAE J429",
    caution=CAUTION,
)
def bolt_torque_for_grade(thread: str, grade: str, share: float, factor: float) -> float:
    """Tightening torque [N*mm] that pulls a bolt to a share of its proof load.

    Source: Shigley's Mechanical Engineering Design, 9th ed., eq. 8-27, 8-31; ISO 898-1; SAE J429.

    >>> round(bolt_torque_for_grade("M10", "8.8", 0.75, 0.18) / 1000, 1)
    45.4
    """
    area, strength = _area_and_grade(thread, grade)
    return bolt_preload_torque(bolt_preload(area, strength[0], share), thread_called(thread).diameter_mm, factor)


@a_sum(
    "thread-engagement",
    title="Least length of thread engaged",
    asks=(
        Ask("area", "area", "tensile stress area"),
        Ask("diameter", "length", "nominal diameter"),
        Ask("pitch", "length", "pitch"),
    ),
    gives="least length engaged, nut as strong as the bolt",
    dimension="length",
    unit="mm",
    words="2 * stress area / (0.5 * pi * (diameter - 0.64952 * pitch))",
    source="FED-STD-H28, thread engagement formula",
    caution=CAUTION,
)
def thread_engagement(area: float, diameter: float, pitch: float) -> float:
    """Least length [mm] of full thread engaged so that the bolt breaks before its thread strips.

    Holds for a nut or a tapped hole as strong as the bolt; in aluminium ask for more (1.5 diameters is usual), because
    the formula then errs on the unsafe side. Chamfers and incomplete threads do not count as engaged.

    Raises
    ------
    ValueError
        for an amount that is not positive, or a pitch over half the diameter

    Source: FED-STD-H28, thread engagement formula.
    """
    refuse_not_positive(area=(area, "mm2"), diameter=(diameter, "mm"))
    refuse_outside("pitch", pitch, 0.0, diameter / 2.0, "mm", open_low=True)
    return 2.0 * area / (0.5 * math.pi * (diameter - 0.64952 * pitch))


def _area_and_grade(thread: str, grade: str) -> tuple[float, tuple[float, float]]:
    screw = thread_called(thread)
    strength = bolt_grade(grade.strip(), screw.diameter_mm)
    if strength.system != screw.system:
        raise ValueError(f"grade {grade} is for {strength.system} bolts and {thread} is a {screw.system} thread")
    return stress_area_mm2(screw), (strength.proof_mpa, strength.tensile_mpa)
