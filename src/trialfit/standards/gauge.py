"""Tube wall by gauge number."""

from trialfit.standards.table import table
from trialfit.sums import Ask, a_sum


@a_sum(
    "tube-wall-by-gauge",
    title="Tube wall by gauge number",
    asks=(Ask("gauge", "text", "Birmingham gauge of the tube wall, such as 16"),),
    gives="wall thickness",
    dimension="length",
    unit="mm",
    words="looked up, never interpolated; tube walls go by the Birmingham gauge, not by the steel-wire gauge",
    source="Birmingham wire gauge, as listed in engineering tables",
)
def tube_wall_by_gauge(gauge: str) -> float:
    """Wall [mm] of a tube of Birmingham gauge ``gauge``. The mill's tolerance on the wall is left out.

    Raises
    ------
    ValueError
        for a gauge that the table does not hold, naming the nearest

    Source: Birmingham wire gauge, as listed in engineering tables.

    >>> round(tube_wall_by_gauge("16"), 3)
    1.651
    """
    return table("tube_gauge_bwg").number(gauge.strip(), "wall_in") * 25.4
