"""Lengths cut from bars of one length: the least number of bars, proved.

Every way of cutting one bar is listed, and the whole-number programme over them is solved; where there are too many
ways to list, it says so and nothing is answered.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.standards import refuse_not_positive, refuse_outside
from trialfit.sums import Ask, a_sum

Ints = NDArray[np.int64]
MOST_WAYS = 200_000
"""Ways of cutting a bar that are listed at most [-]."""
ROUNDING_MM = 1e-6


class TooManyWaysError(ValueError):
    """A bar can be cut in more ways than are listed."""


@dataclass(frozen=True, slots=True, eq=False)
class BarPlan:
    """``patterns`` (n, m): how many of each length one bar gives, ``times`` (n,) how many bars are cut so. ``least`` is
    the number of bars that no plan can go under; ``proven`` whether ``bars`` is that number."""

    patterns: Ints
    times: Ints
    bars: int
    least: int
    left_over_mm: float

    @property
    def proven(self) -> bool:
        """Whether no plan takes fewer bars."""
        return self.bars == self.least


def ways_to_cut(lengths_mm: Sequence[float], bar_mm: float, kerf_mm: float = 0.0, counts: Sequence[int] | None = None,
                most: int = MOST_WAYS) -> Ints:
    """Every non-empty way (n, m) of cutting one bar into some of the lengths.

    Parameters
    ----------
    lengths_mm : sequence of float
        wanted lengths, all different [mm]
    bar_mm, kerf_mm : float
        the bar, and what one cut takes [mm]; the last cut is saved where nothing is left over
    counts : sequence of int or None
        how many of each are wanted at most; None for no limit

    Raises
    ------
    ValueError
        when a length is longer than the bar
    TooManyWaysError
        when there are more than ``most`` ways

    >>> len(ways_to_cut([3.0, 4.0], 10.0))
    7
    """
    refuse_not_positive(bar=(bar_mm, "mm"), **{f"length_{k + 1}": (v, "mm") for k, v in enumerate(lengths_mm)})
    refuse_outside("kerf", kerf_mm, 0.0, bar_mm, "mm")
    for length in lengths_mm:
        if length > bar_mm + ROUNDING_MM:
            raise ValueError(f"a length of {length:g} mm is wanted, the bar has {bar_mm:g} mm")
    found: list[tuple[int, ...]] = []
    now = [0] * len(lengths_mm)

    def further(k: int, room: float) -> None:
        if k == len(lengths_mm):
            if any(now):
                found.append(tuple(now))
                if len(found) > most:
                    raise TooManyWaysError(f"there are more than {most} ways to cut a bar of {bar_mm:g} mm into "
                                           f"{len(lengths_mm)} lengths; take fewer lengths at a time")
            return
        take = int((room + ROUNDING_MM) // (lengths_mm[k] + kerf_mm))
        if counts is not None:
            take = min(take, counts[k])
        for n in range(take + 1):
            now[k] = n
            further(k + 1, room - n * (lengths_mm[k] + kerf_mm))
        now[k] = 0

    further(0, bar_mm + kerf_mm)
    return np.array(found, dtype=np.int64).reshape(-1, len(lengths_mm))


def fewest_bars(lengths_mm: Sequence[float], counts: Sequence[int], bar_mm: float, kerf_mm: float = 0.0,
                seconds: float = 30.0, most: int = MOST_WAYS) -> BarPlan:
    """The fewest bars that give so many of each length.

    Parameters
    ----------
    lengths_mm, counts : sequences
        wanted lengths [mm], all different, and how many of each
    bar_mm, kerf_mm : float
        the bar, and what one cut takes [mm]
    seconds : float
        the solver's own limit; past it the best plan so far is given, and ``proven`` is false
    most : int
        ways of cutting a bar that are listed at most

    Raises
    ------
    ValueError
        as :func:`ways_to_cut`, for counts below 1, and when the limit passed without any plan

    Source: whole-number programme over all cutting patterns (textbook form, from memory); solved by scipy's HiGHS.

    >>> fewest_bars([740.0], [17], 6000.0, 3.0).bars
    3
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    if len(lengths_mm) != len(counts) or len(set(lengths_mm)) != len(lengths_mm) or not lengths_mm:
        raise ValueError("name each length once, with how many are wanted")
    if any(c < 1 or c != round(c) for c in counts):
        raise ValueError("how many are wanted of each length must be a whole number of 1 or more")
    ways = ways_to_cut(lengths_mm, bar_mm, kerf_mm, counts, most)
    want = np.array(counts, dtype=float)
    done = milp(np.ones(len(ways)), constraints=LinearConstraint(ways.T.astype(float), lb=want),
                integrality=np.ones(len(ways)), bounds=Bounds(0.0, np.inf),
                options={"time_limit": seconds, "mip_rel_gap": 0.0})
    if done.x is None:
        raise ValueError(f"no plan was found in {seconds:g} s; allow more time or fewer lengths")
    times = np.rint(done.x).astype(np.int64)
    used = times > 0
    bars = int(times.sum())
    least = int(np.ceil(done.mip_dual_bound - 1e-6)) if done.mip_dual_bound is not None else bars
    rest = bars * bar_mm - float(np.dot(lengths_mm, counts))
    return BarPlan(ways[used], times[used], bars, min(least, bars), rest)


@a_sum(
    "pieces-from-a-bar",
    title="Pieces of one length from a bar, kerf counted",
    asks=(Ask("bar", "length", "length of the bar"), Ask("piece", "length", "length of one piece"),
          Ask("kerf", "length", "what one cut takes", 0.0)),
    gives="pieces that one bar gives",
    dimension="number",
    unit="",
    words="(bar + kerf) / (piece + kerf), rounded down; the last cut is saved where nothing is left over",
    source="arithmetic (from memory)",
)
def pieces_from_a_bar(bar: float, piece: float, kerf: float = 0.0) -> float:
    """Pieces [-] of one length from a bar.

    >>> pieces_from_a_bar(6000.0, 740.0, 3.0)
    8.0
    """
    refuse_not_positive(bar=(bar, "mm"), piece=(piece, "mm"))
    refuse_outside("kerf", kerf, 0.0, bar, "mm")
    return float((bar + kerf + ROUNDING_MM) // (piece + kerf))
