"""Threads by their designation: nominal diameter and pitch, metric and unified."""

import math
import re
from dataclasses import dataclass

from trialfit.standards.table import nearest, table
from trialfit.sums import Ask, a_sum

_METRIC = re.compile(r"M(\d+(?:\.\d+)?)(?:x(\d+(?:\.\d+)?))?", re.ASCII)
_UNIFIED = re.compile(r"#?(\d+-\d+/\d+|\d+(?:/\d+)?)-(\d+)(UNEF|UNC|UNF|UNS|UN)?", re.ASCII)
_SERIES = {"UNC": "coarse", "UNF": "fine", "UNEF": "extra fine", "UNS": "special", "UN": "special"}


@dataclass(frozen=True, slots=True)
class Thread:
    """A screw thread: designation with its pitch, ``system`` metric or unified, diameter and pitch in mm."""

    name: str
    system: str
    diameter_mm: float
    pitch_mm: float
    series: str


def thread_called(designation: str) -> Thread:
    """The thread of that designation; a metric one without pitch is the coarse one.

    Threads outside the two tables are refused even where the formula would hold, so that a slip of the pen is not
    worked. A matching diameter is not a matching thread: 3/8-24 starts in M10x1 and strips it; ``thread_pairs`` tells.

    Parameters
    ----------
    designation : str
        ``M10``, ``M10x1.25``, ``7/16-20``, ``1/2-20 UNF``

    Raises
    ------
    ValueError
        when it cannot be read or is in neither table, naming the nearest

    Source: ISO 261; ASME B1.1.

    >>> thread_called("M10").name, thread_called("M10 x 1.25").pitch_mm, thread_called("1/2-20 UNF").diameter_mm
    ('M10x1.5', 1.25, 12.7)
    """
    text = re.sub(r"\s+", "", designation).replace("×", "x").replace("X", "x")
    if text[:1] in "Mm" and (found := _METRIC.fullmatch("M" + text[1:])):
        return _metric(designation, found[1], found[2])
    if found := _UNIFIED.fullmatch(text.upper()):
        return _unified(designation, f"{found[1]}-{found[2]}", found[3] or "")
    raise ValueError(f"'{designation}' is no thread; write M10, M10x1.25 or 7/16-20")


def _metric(typed: str, diameter: str, pitch: str | None) -> Thread:
    rows = table("threads_metric").rows
    for row in rows:
        same = float(row["diameter_mm"]) == float(diameter)
        if same and (row["series"] == "coarse" if pitch is None else float(row["pitch_mm"]) == float(pitch)):
            return Thread(row["thread"], "metric", float(diameter), float(row["pitch_mm"]), row["series"])
    beside = [r["thread"] for r in rows if float(r["diameter_mm"]) == float(diameter)]
    hint = f"known: {', '.join(beside)}" if beside else nearest(f"M{diameter}", (r["thread"] for r in rows))
    raise ValueError(f"no metric thread '{typed}' is in the table; {hint}")


def _unified(typed: str, name: str, end: str) -> Thread:
    rows = {r["thread"]: r for r in table("threads_unified").rows}
    if name not in rows:
        size = name.split("-")[0] + "-"
        beside = [n for n in rows if n.startswith(size)]
        hint = f"known: {', '.join(beside)}" if beside else nearest(name, rows)
        raise ValueError(f"no unified thread '{typed}' is in the table; {hint}")
    row = rows[name]
    if end and _SERIES[end] != row["series"]:
        raise ValueError(f"'{typed}' is of the {row['series']} series, not {end}")
    return Thread(name, "unified", float(row["diameter_in"]) * 25.4, 25.4 / float(row["per_inch"]), row["series"])


def stress_area_mm2(thread_: Thread) -> float:
    """Tensile stress area of a thread [mm2], by the formula of its own system.

    Source: ISO 898-1, 9.1.6.1; ASME B1.1, appendix B.

    >>> round(stress_area_mm2(thread_called("M10")), 2)
    57.99
    """
    off = 0.9382 if thread_.system == "metric" else 0.9743
    return math.pi / 4.0 * (thread_.diameter_mm - off * thread_.pitch_mm) ** 2


@a_sum(
    "thread-stress-area",
    title="Tensile stress area of a thread",
    asks=(Ask("thread", "text", "thread, such as M10, M10x1.25 or 7/16-20"),),
    gives="area that the bolt's strength is reckoned on",
    dimension="area",
    unit="mm2",
    words="pi/4 * (diameter - 0.9382 * pitch)^2; for unified threads 0.9743 in place of 0.9382",
    source="ISO 898-1; ASME B1.1",
)
def thread_stress_area(thread: str) -> float:
    """Tensile stress area [mm2] of a thread given by its designation; see :func:`stress_area_mm2`.

    >>> round(thread_stress_area("1/2-20") / 25.4**2, 4)
    0.16
    """
    return stress_area_mm2(thread_called(thread))
