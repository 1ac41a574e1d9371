"""Which universal joint series is this, which one does the torque ask for, and can two be mixed?"""

import math
from dataclasses import dataclass

from trialfit.findings import SURE, Verdict, verdict_on
from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.standards.joint_series import Series, listed_series, series_called
from trialfit.sums import Ask, a_sum

_SPARE_MM = 0.15
"""standard deviation of a table figure: rounding of the inch sizes, paint and wear; common practice, no source"""
_CAUTION = "Series are told from memory: hold the joint against its maker's sheet before ordering a yoke or a shaft."


@dataclass(frozen=True, slots=True)
class Pair:
    """One pair of caps by calliper: diameter and span over them, each with its standard deviation [mm]."""

    cap_mm: float
    span_mm: float
    cap_sd_mm: float
    span_sd_mm: float


@dataclass(frozen=True, slots=True)
class Told:
    """What one pair of caps can be. ``likely`` holds every series that the sizes do not rule out at 95 %, nearest
    first; ``off_sd`` how many standard deviations each is away; ``verdict`` fits for just one, cannot tell for more,
    does not fit for none, and ``nearest`` is the nearest in any case."""

    likely: tuple[Series, ...]
    off_sd: tuple[float, ...]
    nearest: Series
    verdict: Verdict
    reason: str


@dataclass(frozen=True, slots=True)
class Cross:
    """One cross by its four sizes. ``name`` is the series, or ``combination joint 1310 / 1330`` for two of them."""

    first: Told
    second: Told
    name: str
    combination: bool
    verdict: Verdict
    reason: str


def tell_pair(pair: Pair) -> Told:
    """Which series one pair of caps belongs to.

    Both sizes must agree; a series is kept while their squared distances, in standard deviations, come to no more than
    5.99 (95 % of two normal errors). Series that are not in the table are left out: a joint near none of them is told
    as such and not forced into the nearest.

    Raises
    ------
    ValueError
        when a size or its doubt is not positive

    Source: GUM (JCGM 100:2008) for the doubt; the rule of decision is our own.

    >>> tell_pair(Pair(27.0, 81.8, 0.05, 0.1)).likely[0].name
    '1310'
    """
    refuse_not_positive(cap=(pair.cap_mm, "mm"), span=(pair.span_mm, "mm"), cap_doubt=(pair.cap_sd_mm, "mm"),
                        span_doubt=(pair.span_sd_mm, "mm"))  # fmt: skip
    cap_sd, span_sd = math.hypot(pair.cap_sd_mm, _SPARE_MM), math.hypot(pair.span_sd_mm, _SPARE_MM)

    def far(s: Series) -> float:
        return math.hypot((pair.cap_mm - s.cap_mm) / cap_sd, (pair.span_mm - s.span_mm) / span_sd)

    off = sorted(((far(s), s) for s in listed_series()), key=lambda row: row[0])
    kept = [(away, s) for away, s in off if away <= math.sqrt(5.991464547107979)]
    near = off[0][1]
    sizes = f"cap {pair.cap_mm:.2f} mm and span {pair.span_mm:.2f} mm"
    if not kept:
        return Told((), (), near, Verdict.DOES_NOT_FIT,
                    f"{sizes} are no series of the table; nearest is {near.name} ({near.cap_mm:.2f} and "
                    f"{near.span_mm:.2f} mm): ask a driveline shop with the joint in hand")  # fmt: skip
    names = ", ".join(s.name for _, s in kept)
    verdict = Verdict.FITS if len(kept) == 1 else Verdict.CANNOT_TELL
    reason = f"{sizes} are those of {names}" if len(kept) == 1 else f"{sizes} could be {names}: measure with a calliper"
    return Told(tuple(s for _, s in kept), tuple(away for away, _ in kept), near, verdict, reason)


def tell_cross(first: Pair, second: Pair) -> Cross:
    """Which joint a cross with these two pairs of caps is; two series in one cross are a combination joint."""
    one, two = tell_pair(first), tell_pair(second)
    worst = min((one.verdict, two.verdict), key=(Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL, Verdict.FITS).index)
    if worst is not Verdict.FITS:
        reason = "; ".join(t.reason for t in (one, two) if t.verdict is worst)
        return Cross(one, two, "", False, worst, reason)
    a, b = one.likely[0].name, two.likely[0].name
    if a == b:
        return Cross(one, two, a, False, worst, f"both pairs are {a}")
    low, high = sorted((a, b))
    return Cross(one, two, f"combination joint {low} / {high}", True, worst,
                 f"one pair is {a} and the other {b}: one cross holds both, and bears what {low} bears")  # fmt: skip


def join(yoke: str, shaft: str) -> str:
    """What joins a yoke of one series to a shaft of another: the series itself, or the combination joint to ask for.

    Raises
    ------
    ValueError
        for a series that is not in the table

    >>> join("1330", "1310")
    'combination joint 1310 / 1330'
    """
    low, high = sorted((series_called(yoke).name, series_called(shaft).name))
    return low if low == high else f"combination joint {low} / {high}"


def series_for(torque_nmm: float, torque_sd_nmm: float | None) -> tuple[tuple[Series, Verdict, str], ...]:
    """Each series of the table held against a torque, smallest first, with the reason.

    Fatigue, which rules at a steady high torque, is left out; a joint at more than 3 deg bears less for long.

    Parameters
    ----------
    torque_nmm, torque_sd_nmm : float
        torque that the shaft will see and its standard deviation, None when it is not known [N*mm]

    Raises
    ------
    ValueError
        when the torque is not positive

    Source: driveline installation service manual, driveshaft torque (maker withheld); ratings from memory.
    """
    refuse_not_positive(torque=(torque_nmm, "N*m"))
    told = []
    for series in sorted(listed_series(), key=lambda s: math.inf if s.torque_nmm is None else s.torque_nmm):
        if series.torque_nmm is None:
            told.append((series, Verdict.CANNOT_TELL, f"{series.name}: its torque is not in the table; ask its maker"))
            continue
        spare = series.torque_nmm - torque_nmm
        verdict = verdict_on(spare, spare, 0.0, torque_sd_nmm)
        reason = (f"{series.name} bears a peak of {series.torque_nmm / 1e3:.0f} N*m ({series.status}); the shaft sees "
                  f"{torque_nmm / 1e3:.0f} N*m")  # fmt: skip
        if torque_sd_nmm is not None:
            reason += f", give or take {SURE * torque_sd_nmm / 1e3:.0f} N*m"
        told.append((series, verdict, reason))
    return tuple(told)


@a_sum(
    "joint-series-torque",
    title="Peak torque of a joint series",
    asks=(Ask("series", "text", "joint series, such as 1310"),),
    gives="torque of a rarely met peak",
    dimension="torque",
    unit="N*m",
    words="looked up",
    source="common practice, no source",
    caution=_CAUTION,
)
def joint_series_torque(series: str) -> float:
    """Peak torque [N*mm] of a series as the trade quotes it, from memory.

    Raises
    ------
    ValueError
        for a series that is not in the table, or has no torque there

    Source: common practice, no source.
    """
    torque = series_called(series.strip()).torque_nmm
    if torque is None:
        raise ValueError(f"the table gives no torque for series {series.strip()}; take its maker's figure")
    return torque


@a_sum(
    "joint-angle-for-length",
    title="Largest joint angle by the shaft's length",
    asks=(
        Ask("length", "length", "distance between the middles of the joints"),
        Ask("layout", "text", "ends of the shaft parallel to one another, or meeting", "parallel",
            ("parallel", "intersecting")),
    ),
    gives="largest operating angle",
    dimension="angle",
    unit="deg",
    words="length in inches / 5 (parallel) or / 10 (intersecting), in degrees",
    source="shop article on driveline angles",
    caution="On a long shaft this allows more than the speed and the comfort limits do: the tightest of the three "
    "holds.",
)  # fmt: skip
def joint_angle_for_length(length: float, layout: str) -> float:
    """Largest joint angle [rad] that a shop's rule allows for a shaft's length.

    Source: shop article on driveline angles.

    >>> round(math.degrees(joint_angle_for_length(15 * 25.4, "parallel")), 6)
    3.0
    """
    refuse_outside("length", length, 100.0, 3000.0, "mm")
    if layout not in {"parallel", "intersecting"}:
        raise ValueError(f"layout is '{layout}'; write parallel or intersecting")
    return math.radians(length / 25.4 / (5.0 if layout == "parallel" else 10.0))
