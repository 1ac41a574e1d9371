"""How stiff the rubber of a hanger is: by its measured rate, by its shape and hardness, or the usual range when nobody
knows."""

from dataclasses import dataclass

from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.sums import Ask, a_sum

Range = tuple[float, float]

SHORE_GIVE = 5.0
"""Hardness within which a durometer reading holds, either way [Shore A]; common practice, no source."""
MODULUS_GIVE = (0.75, 1.15)
"""What the shear modulus of a compound may be of that by its hardness, least and most [-]; from memory: handbook tables
lie 5 to 22 % under the formula."""
DYNAMIC = (1.1, 1.8)
"""How much stiffer rubber is while it is shaken than while it is loaded slowly, least and most [-]; from memory."""
USUAL_UPRIGHT_N_MM = (4.0, 40.0)
"""Slow stiffness up and down of common exhaust isolators [N/mm]; common practice, no source."""
USUAL_LEVEL_N_MM = (1.0, 20.0)
"""Slow stiffness fore, aft and sideways of common exhaust isolators [N/mm]; common practice, no source."""

_SHORE = Ask("shore", "number", "hardness, Shore A, 20 to 80")
_CAUTION = (
    "A hanger that lets go drops a hot pipe on the road or against a fuel or brake line. Rubber softens and tears with "
    "heat and oil: keep it away from the hottest stretch, and look at it whenever the vehicle is up on stands."
)


@a_sum(
    "rubber-shear-modulus",
    title="Shear modulus of rubber by its hardness",
    asks=(_SHORE,),
    gives="shear modulus, slow load, small stretch",
    dimension="pressure",
    unit="MPa",
    words="E/3, E = 0.0981 * (56 + 7.62336 * shore) / (0.137505 * (254 - 2.54 * shore))",
    source="A. N. Gent, On the relation between indentation hardness and Young's modulus, 1958 (from memory)",
    caution=_CAUTION,
)
def rubber_shear_modulus(shore: float) -> float:
    """Shear modulus [MPa] of rubber from its hardness, rubber taken as keeping its volume.

    Fillers, heat, age and speed of loading are left out: a compound may be a quarter softer or a seventh stiffer, and
    is stiffer when shaken.

    Parameters
    ----------
    shore : float
        hardness Shore A, 20 to 80 [-]

    Raises
    ------
    ValueError
        for a hardness out of range

    Source: A. N. Gent, On the relation between indentation hardness and Young's modulus, 1958 (from memory).

    >>> round(rubber_shear_modulus(50.0), 3)
    0.819
    """
    refuse_outside("hardness", shore, 20.0, 80.0, "")
    return 0.0981 * (56.0 + 7.62336 * shore) / (0.137505 * (254.0 - 2.54 * shore)) / 3.0


@a_sum(
    "isolator-strand-stiffness",
    title="Stiffness of rubber strands pulled along",
    asks=(
        Ask("modulus", "pressure", "shear modulus of the rubber"),
        Ask("area", "area", "section of one strand"),
        Ask("length", "length", "free length of a strand, hole to hole less the rods' halves"),
        Ask("strands", "number", "strands side by side: two in a rubber with two holes", 2.0),
    ),
    gives="stiffness along the strands",
    dimension="stiffness",
    unit="N/mm",
    words="strands * 3 * shear modulus * area / length",
    source="elasticity of a material that keeps its volume (from memory)",
    caution=_CAUTION,
)
def strand_stiffness(modulus: float, area: float, length: float, strands: float) -> float:
    """Stiffness [N/mm] of rubber strands stretched a little, the rubber round the holes taken as stiff (errs stiff).

    Source: elasticity of a material that keeps its volume (from memory).

    >>> round(strand_stiffness(0.8, 150.0, 35.0, 2.0), 1)
    20.6
    """
    refuse_not_positive(modulus=(modulus, "MPa"), area=(area, "mm2"), length=(length, "mm"))
    refuse_outside("strands", strands, 1.0, 12.0, "")
    return strands * 3.0 * modulus * area / length


@a_sum(
    "isolator-shear-stiffness",
    title="Stiffness of a rubber pad in shear",
    asks=(
        Ask("modulus", "pressure", "shear modulus of the rubber"),
        Ask("area", "area", "area stuck to the plate"),
        Ask("thickness", "length", "thickness of the rubber"),
    ),
    gives="stiffness along the plates",
    dimension="stiffness",
    unit="N/mm",
    words="shear modulus * area / thickness",
    source="elasticity of a material that keeps its volume (from memory)",
    caution=_CAUTION,
)
def shear_stiffness(modulus: float, area: float, thickness: float) -> float:
    """Stiffness [N/mm] of a rubber pad whose plates slide past each other; bending of a thick pad is left out (errs
    stiff).

    Source: elasticity of a material that keeps its volume (from memory).
    """
    refuse_not_positive(modulus=(modulus, "MPa"), area=(area, "mm2"), thickness=(thickness, "mm"))
    return modulus * area / thickness


@dataclass(frozen=True, slots=True)
class Isolator:
    """The rubber between frame and rod: slow stiffness fore and aft (x), sideways (y), upright (z), each least and most
    [N/mm]; ``drop_mm`` from the hole at the frame down to the rod's hole; ``most_n`` the load it may carry all the time
    and ``most_mm`` how far it may be pulled from rest, None where nobody said. ``known`` is False for a usual range."""

    name: str
    x_n_mm: Range
    y_n_mm: Range
    z_n_mm: Range
    drop_mm: float
    most_n: float | None = None
    most_mm: float | None = None
    known: bool = True

    def __post_init__(self) -> None:
        for way in (self.x_n_mm, self.y_n_mm, self.z_n_mm):
            refuse_outside(f"stiffness of {self.name}", way[0], 0.01, 1e5, "N/mm")
            refuse_outside(f"stiffness of {self.name}", way[1], way[0], 1e5, "N/mm")
        refuse_outside(f"drop of {self.name}", self.drop_mm, 0.0, 300.0, "mm")

    def stiffness_n_mm(self, end: int) -> tuple[float, float, float]:
        """All three at the soft end (0) or the stiff end (1) [N/mm]."""
        return self.x_n_mm[end], self.y_n_mm[end], self.z_n_mm[end]

    def shaken_n_mm(self, end: int) -> tuple[float, float, float]:
        """All three while shaken, soft end (0) or stiff end (1) [N/mm]."""
        x, y, z = self.stiffness_n_mm(end)
        return x * DYNAMIC[end], y * DYNAMIC[end], z * DYNAMIC[end]


def shear_modulus_range_mpa(shore: float) -> Range:
    """Shear modulus [MPa] of a compound of this hardness, least and most.

    Parameters
    ----------
    shore : float
        as read, Shore A, 25 to 75 [-]

    Raises
    ------
    ValueError
        for a hardness out of range

    Source: A. N. Gent, On the relation between indentation hardness and Young's modulus, 1958 (from memory).

    >>> [round(g, 2) for g in shear_modulus_range_mpa(60.0)]
    [0.74, 1.7]
    """
    refuse_outside("hardness", shore, 20.0 + SHORE_GIVE, 80.0 - SHORE_GIVE, "")
    return (MODULUS_GIVE[0] * rubber_shear_modulus(shore - SHORE_GIVE),
            MODULUS_GIVE[1] * rubber_shear_modulus(shore + SHORE_GIVE))


def strand_isolator(
    name: str, shore: float, area: float, length: float, drop: float, strands: float = 2.0,
    most_n: float | None = None, most_mm: float | None = None,
) -> Isolator:
    """A rubber with holes, hung so that its strands stand upright, by hardness and the size of a strand.

    Level, a strand is a short beam held at both ends (stiff end) or hinged at one (soft end), with its shear; what the
    weight's pendulum adds is left out (errs soft).

    Parameters
    ----------
    shore : float
        hardness Shore A, 25 to 75 [-]
    area : float
        section of one strand, taken as square [mm2]
    length, drop : float
        free length of a strand; hole to hole [mm]
    strands : float
        side by side [-]

    Raises
    ------
    ValueError
        for an amount out of range

    Source: elasticity of a material that keeps its volume (from memory).

    >>> strand_isolator("two-hole", 60.0, 150.0, 35.0, 50.0).known
    True
    """
    low, high = shear_modulus_range_mpa(shore)
    up = (strand_stiffness(low, area, length, strands), strand_stiffness(high, area, length, strands))
    second = area**2 / 12.0
    level = []
    for g, held in ((low, 3.0), (high, 12.0)):
        give = length**3 / (held * 3.0 * g * second) + length / (g * area)
        level.append(strands / give)
    across = (level[0], level[1])
    return Isolator(name, across, across, up, drop, most_n, most_mm)


def pad_isolator(
    name: str, shore: float, area: float, thickness: float, drop: float, most_n: float | None = None,
    most_mm: float | None = None,
) -> Isolator:
    """A rubber pad between two upright plates that stand across the vehicle's y, by hardness: shear upright and fore
    and aft, pull and push sideways.

    Sideways the bulging of the free sides is counted for a square pad by its shape factor.

    Parameters
    ----------
    shore : float
        hardness Shore A, 25 to 75 [-]
    area : float
        stuck to each plate [mm2]
    thickness, drop : float
        of the rubber; from the frame's bolt down to the rod's [mm]

    Raises
    ------
    ValueError
        for an amount out of range

    Source: elasticity of a material that keeps its volume (from memory); P. B. Lindley, Engineering Design with Natural
    Rubber (from memory), E * (1 + 2 S^2) for pads.
    """
    low, high = shear_modulus_range_mpa(shore)
    shear = (shear_stiffness(low, area, thickness), shear_stiffness(high, area, thickness))
    shape = area / (4.0 * area**0.5 * thickness)
    across = (3.0 * shear[0], 3.0 * shear[1] * (1.0 + 2.0 * shape**2))
    return Isolator(name, shear, across, shear, drop, most_n, most_mm)


def unknown_isolator(drop: float, name: str = "isolator not measured") -> Isolator:
    """The usual range, for rubber that nobody measured: answers that depend on it become "cannot tell".

    Parameters
    ----------
    drop : float
        from the frame's hole down to the rod's [mm]

    Source: common practice, no source.
    """
    return Isolator(name, USUAL_LEVEL_N_MM, USUAL_LEVEL_N_MM, USUAL_UPRIGHT_N_MM, drop, known=False)
