"""Series of universal joints by their caps, as far as they are listed."""

from dataclasses import dataclass

from trialfit.standards.table import nearest, table

_LBF_FT = 1355.8179483314004


@dataclass(frozen=True, slots=True)
class Series:
    """One joint series: cap diameter, span over the two caps [mm], torque of a rarely met peak [N*mm] or None where the
    table gives none, where the clips sit, and how the row was known."""

    name: str
    cap_mm: float
    span_mm: float
    torque_nmm: float | None
    clip: str
    status: str


def listed_series() -> tuple[Series, ...]:
    """Every series of the packaged table, with its torque where that is known."""
    torques = {r["series"]: _LBF_FT * float(r["torque_lbf_ft"]) for r in table("joint_series_torque").rows}
    return tuple(
        Series(r["series"], 25.4 * float(r["cap_in"]), 25.4 * float(r["span_in"]), torques.get(r["series"]), r["clip"],
               r["status"])
        for r in table("joint_series").rows
    )  # fmt: skip


def series_called(name: str) -> Series:
    """The series of that name.

    Raises
    ------
    ValueError
        when the table holds none, naming the nearest
    """
    found = {s.name: s for s in listed_series()}
    if name not in found:
        raise ValueError(f"no joint series is called '{name}'; {nearest(name, found)}")
    return found[name]
