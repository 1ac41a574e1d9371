"""Wound carbon tube: how stiff it is along, round and in twist, from one ply and the angle of the winding.

A tube wound at +angle and -angle in equal parts is taken as a flat balanced laminate under forces in its plane
(classical laminate theory); a thin tube carries bending and torque in just that way. Waves of the winding, resin
pockets and the joint to the end fittings are left out: the true tube is softer.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.standards import refuse_not_positive, refuse_outside, table
from trialfit.sums import Ask, a_sum

Floats = NDArray[np.float64]
_THEORY = "classical laminate theory"


@dataclass(frozen=True, slots=True)
class Ply:
    """One layer: stiffness along (1) and across (2) the fibre and in shear [MPa], Poisson's ratio, density [kg/mm3]."""

    name: str
    e1_mpa: float
    e2_mpa: float
    g12_mpa: float
    nu12: float
    density_kg_mm3: float
    source: str = ""

    def __post_init__(self) -> None:
        refuse_not_positive(
            e1=(self.e1_mpa, "GPa"), e2=(self.e2_mpa, "GPa"), g12=(self.g12_mpa, "GPa"),
            density=(self.density_kg_mm3, "kg/m3"),
        )  # fmt: skip
        most = math.sqrt(self.e1_mpa / self.e2_mpa)
        if not abs(self.nu12) < most:
            raise ValueError(
                f"nu12 is {self.nu12:g}; for these stiffnesses it must lie between -{most:.4g} and {most:.4g}"
            )


@dataclass(frozen=True, slots=True)
class Wound:
    """Stiffness of a wound tube [MPa]: along its axis, round it, in twist; and Poisson's ratio of pulling along it."""

    along_mpa: float
    round_mpa: float
    twist_mpa: float
    nu: float


@dataclass(frozen=True, slots=True)
class WoundRange:
    """Least and most of each over plies and angles that the tube may be made of; density [kg/mm3] likewise."""

    along_mpa: tuple[float, float]
    round_mpa: tuple[float, float]
    twist_mpa: tuple[float, float]
    density_kg_mm3: tuple[float, float]


def listed_plies() -> tuple[Ply, ...]:
    """The plies of the packaged table, each with its source."""
    rows = table("plies").rows
    return tuple(
        Ply(r["ply"], 1e3 * float(r["e1_gpa"]), 1e3 * float(r["e2_gpa"]), 1e3 * float(r["g12_gpa"]), float(r["nu12"]),
            1e-9 * float(r["density_kg_m3"]), r["source"])
        for r in rows
    )  # fmt: skip


def ply_stiffness_mpa(ply: Ply, angle_rad: float) -> Floats:
    """Stiffness (3, 3) [MPa] of one ply in the tube's axes (along, round, engineering shear) when its fibres lie at
    ``angle_rad`` to the axis, in plane stress.

    Source: classical laminate theory.

    >>> ply = Ply("", 181e3, 10.3e3, 7.17e3, 0.28, 1.6e-6)
    >>> [round(float(v) / 1e3, 1) for v in ply_stiffness_mpa(ply, math.radians(60.0))[0]]
    [23.6, 32.5, 20.1]
    """
    share = 1.0 - ply.nu12**2 * ply.e2_mpa / ply.e1_mpa
    q = np.array([
        [ply.e1_mpa / share, ply.nu12 * ply.e2_mpa / share, 0.0],
        [ply.nu12 * ply.e2_mpa / share, ply.e2_mpa / share, 0.0],
        [0.0, 0.0, ply.g12_mpa],
    ])  # fmt: skip
    c, s = math.cos(angle_rad), math.sin(angle_rad)
    # strains of the tube's axes to strains of the fibre's axes; stress comes back through the transpose (same work)
    turn = np.array([[c * c, s * s, c * s], [s * s, c * c, -c * s], [-2.0 * c * s, 2.0 * c * s, c * c - s * s]])
    turned: Floats = turn.T @ q @ turn
    return turned


def laminate_stiffness(plies: tuple[tuple[Ply, float, float], ...]) -> Floats:
    """Stiffness (3, 3) of a stack against forces in its plane, per width [N/mm].

    Parameters
    ----------
    plies : tuples of ply, angle [rad] and thickness [mm]
        in any order: it does not matter for forces in the plane

    Raises
    ------
    ValueError
        for no ply, or one without thickness

    Source: classical laminate theory.
    """
    if not plies:
        raise ValueError("a laminate needs at least one ply")
    whole = np.zeros((3, 3))
    for ply, angle_rad, thickness_mm in plies:
        refuse_not_positive(thickness=(thickness_mm, "mm"))
        whole += ply_stiffness_mpa(ply, angle_rad) * thickness_mm
    return whole


def wound(ply: Ply, angle_rad: float) -> Wound:
    """Stiffness of a tube wound at plus and minus ``angle_rad`` in equal parts.

    Parameters
    ----------
    angle_rad : float
        between fibre and axis, 0 to 90 deg [rad]

    Raises
    ------
    ValueError
        for another angle

    Source: classical laminate theory.
    """
    refuse_outside("angle", angle_rad, 0.0, math.pi / 2.0, "deg")
    pair = laminate_stiffness(((ply, angle_rad, 0.5), (ply, -angle_rad, 0.5)))
    give = np.linalg.inv(pair)
    along, around, twist = (1.0 / float(give[i, i]) for i in range(3))
    return Wound(along, around, twist, -float(give[0, 1] / give[0, 0]))


def wound_range(plies: tuple[Ply, ...], angle_rad: float, angle_give_rad: float = 0.0) -> WoundRange:
    """What the stiffness may be over several plies and a winding angle that is only known to within a give or take.

    Parameters
    ----------
    angle_rad, angle_give_rad : float
        angle as ordered and how far the winder may be off it either way [rad]

    Raises
    ------
    ValueError
        for no ply, or angles outside 0 to 90 deg

    Source: classical laminate theory.
    """
    if not plies:
        raise ValueError("a range needs at least one ply")
    refuse_outside("give or take of the angle", angle_give_rad, 0.0, math.radians(15.0), "deg")
    low, high = max(0.0, angle_rad - angle_give_rad), min(math.pi / 2.0, angle_rad + angle_give_rad)
    # the shear stiffness is greatest at 45 deg, so an angle between the ends can matter
    angles = np.linspace(low, high, 9) if high > low else np.array([low])
    found = [wound(ply, float(a)) for ply in plies for a in angles]
    densities = [ply.density_kg_mm3 for ply in plies]

    def ends(values: list[float]) -> tuple[float, float]:
        return min(values), max(values)

    return WoundRange(
        ends([w.along_mpa for w in found]), ends([w.round_mpa for w in found]), ends([w.twist_mpa for w in found]),
        ends(densities),
    )  # fmt: skip


@a_sum(
    "wound-tube-modulus",
    title="Stiffness of a wound carbon tube",
    asks=(
        Ask("e1", "pressure", "stiffness of one ply along its fibres"),
        Ask("e2", "pressure", "stiffness of one ply across its fibres"),
        Ask("g12", "pressure", "shear stiffness of one ply"),
        Ask("nu12", "ratio", "Poisson's ratio of one ply, pulled along its fibres"),
        Ask("angle", "angle", "between the fibres and the tube's axis, wound both ways in equal parts"),
        Ask("which", "text", "along the tube, round it, or in twist", "along", ("along", "round", "twist")),
    ),
    gives="modulus of the tube",
    dimension="pressure",
    unit="GPa",
    words="stiffness of the ply turned to plus and minus the angle, averaged, inverted",
    source=_THEORY,
    caution="A wound shaft is the work of its maker: the end joints decide what torque it bears, heat from the exhaust "
    "softens it, and stones cut it. Take the maker's own figures where there are any.",
)
def wound_tube_modulus(e1: float, e2: float, g12: float, nu12: float, angle: float, which: str) -> float:
    """Modulus [MPa] of a tube wound at plus and minus one angle.

    Source: classical laminate theory.

    >>> round(wound_tube_modulus(103e3, 7.36e3, 4.04e3, 0.37, math.radians(15.0), "along") / 1e3, 1)
    83.5
    """
    tube = wound(Ply("", e1, e2, g12, nu12, 1e-6), angle)
    answers = {"along": tube.along_mpa, "round": tube.round_mpa, "twist": tube.twist_mpa}
    if which not in answers:
        raise ValueError(f"which is '{which}'; write along, round or twist")
    return answers[which]
