"""Tube and hose by its nominal size: outside diameters in inches and millimetres, dash numbers, bores of hose."""

import re
from dataclasses import dataclass

from trialfit.standards.ranges import refuse_not_positive
from trialfit.standards.table import nearest, table
from trialfit.sums import Ask, a_sum

INCH_MM = 25.4


@dataclass(frozen=True, slots=True)
class TubeSize:
    """A nominal size of hydraulic or fuel tube: ``name`` (``3/16 in``, ``4.75 mm``), its outside diameter, ``system``
    inch or metric, and the dash number that goes with it, None for a metric one."""

    name: str
    outside_mm: float
    system: str
    dash: int | None


def tube_sizes() -> tuple[TubeSize, ...]:
    """Every nominal size of tube that is held, inch first, small to large.

    >>> len(tube_sizes()) > 20
    True
    """
    return tuple(
        TubeSize(r["tube"], float(r["outside_mm"]), r["system"], int(r["dash"]) if r["dash"] else None)
        for r in table("tube_sizes").rows
    )


def tube_called(designation: str) -> TubeSize:
    """The tube of that name: ``3/16 in``, ``4.75 mm``, or a dash number ``-3``.

    Parameters
    ----------
    designation : str
        as it stands in the table, or a dash number

    Raises
    ------
    ValueError
        when no such size is held, naming the nearest

    Source: SAE J533; metric sizes from memory.

    >>> tube_called("-3").outside_mm, tube_called("4.75 mm").outside_mm
    (4.7625, 4.75)
    """
    text = " ".join(designation.split()).replace('"', " in").replace("  ", " ")
    sizes = tube_sizes()
    if found := re.fullmatch(r"-0?(\d+)", text):
        for size in sizes:
            if size.dash == int(found[1]):
                return size
        raise ValueError(f"no tube has dash number '{designation}'; {nearest(text, _dashes())}")
    for size in sizes:
        if size.name == text:
            return size
    raise ValueError(f"no tube is called '{designation}'; {nearest(text, (s.name for s in sizes))}")


def _dashes() -> tuple[str, ...]:
    return tuple(f"-{s.dash}" for s in tube_sizes() if s.dash is not None)


def tubes_like(outside_mm: float, reach_mm: float) -> tuple[TubeSize, ...]:
    """The nominal sizes whose outside diameter [mm] lies within ``reach_mm`` [mm] of the one measured, nearest first.

    >>> [t.name for t in tubes_like(4.76, 0.05)], tubes_like(5.5, 0.1)
    (['3/16 in', '4.75 mm'], ())
    """
    near = [s for s in tube_sizes() if abs(s.outside_mm - outside_mm) <= reach_mm]
    return tuple(sorted(near, key=lambda s: abs(s.outside_mm - outside_mm)))


@a_sum(
    "dash-size-tube",
    title="Outside diameter of tube by dash number",
    asks=(Ask("dash", "text", "dash number, such as -6"),),
    gives="outside diameter of the tube",
    dimension="length",
    unit="mm",
    words="dash number / 16 in; looked up, so that a size that is not made is refused",
    source="SAE J533",
)
def dash_size_tube(dash: str) -> float:
    """Outside diameter [mm] of the tube that a dash number stands for.

    Raises
    ------
    ValueError
        for a dash number that is not held, naming the nearest

    Source: SAE J533.

    >>> dash_size_tube("-6")
    9.525
    """
    text = dash.strip()
    return tube_called(text if text.startswith("-") else f"-{text}").outside_mm


@a_sum(
    "dash-size-bore",
    title="Bore of hose by dash number",
    asks=(
        Ask("dash", "text", "dash number printed on the hose, such as -6"),
        Ask("kind", "text", "how that kind of hose counts", "by its bore", ("by its bore", "by the tube")),
    ),
    gives="bore of the hose",
    dimension="length",
    unit="mm",
    words="looked up; most hose counts by its bore, hose of the 100R5 and J1402 kind by the tube of equal flow",
    source="hose supplier's selection page",
)
def dash_size_bore(dash: str, kind: str = "by its bore") -> float:
    """Bore [mm] of a hose of that dash number. A mill's tolerance on the bore is left out.

    Raises
    ------
    ValueError
        for a dash number that the table does not hold

    Source: hose supplier's selection page, table of bores.

    >>> round(dash_size_bore("-8"), 2), round(dash_size_bore("-8", "by the tube"), 2)
    (12.7, 10.32)
    """
    text = dash.strip()
    column = {"by its bore": "bore_in", "by the tube": "bore_tube_like_in"}.get(kind)
    if column is None:
        raise ValueError(f"a hose counts 'by its bore' or 'by the tube', not '{kind}'")
    return table("hose_bores").number(text if text.startswith("-") else f"-{text}", column) * INCH_MM


@a_sum(
    "tube-burst",
    title="Pressure that bursts a thin tube",
    asks=(
        Ask("outside", "length", "outside diameter of the tube"),
        Ask("wall", "length", "its wall"),
        Ask("strength", "pressure", "tensile strength of its metal"),
    ),
    gives="bursting pressure",
    dimension="pressure",
    unit="MPa",
    words="2 * tensile strength * wall / outside diameter",
    source="Barlow's formula",
    caution=(
        "A bursting pressure is no working pressure: brake, fuel and steering pipe is chosen by its standard and kept "
        "far below. Flares, bends, rust and rubbed places burst first. Have brake work checked by a qualified person."
    ),
)
def tube_burst(outside: float, wall: float, strength: float) -> float:
    """Pressure [MPa] at which a thin tube bursts. Thinning in bends, rust and the mill's tolerance are left out
    (unsafe side).

    Raises
    ------
    ValueError
        for an amount that is not positive, or a wall over a tenth of the outside diameter twice over (thick tube)

    Source: Barlow's formula, from memory.

    >>> round(tube_burst(4.76, 0.71, 310.0), 2)
    92.48
    """
    refuse_not_positive(outside=(outside, "mm"), wall=(wall, "mm"), strength=(strength, "MPa"))
    if wall > 0.2 * outside:
        raise ValueError(f"a wall of {wall:g} mm in {outside:g} mm is no thin tube; it must be at most a fifth of it")
    return 2.0 * strength * wall / outside
