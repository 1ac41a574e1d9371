"""How far apart hangers may be: the choices that keep the rules of spacing, as paths from the outlet to the tail."""

import heapq
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from trialfit.exhaust.chain import BEND, PIE_CUT, Chain
from trialfit.exhaust.hanger_points import HEAVY_KINDS, Seat
from trialfit.exhaust.parts import BELLOWS
from trialfit.standards import Rule, rule

HEAVY_KG = 1.0
"""A part lighter than this needs no hanger of its own [kg]; our own choice."""
SHARP_RAD = math.radians(45.0)
"""Turn from which a bend counts as a change of direction [rad]; our own choice."""


@dataclass(frozen=True, slots=True)
class Window:
    """A stretch of the pipe that wants a hanger or the outlet in it: about a heavy part or a change of direction."""

    name: str
    what: str
    low_mm: float
    high_mm: float
    limit: Rule
    outlet_counts: bool

    def lies_before(self, hold: int, s_mm: float) -> bool:
        """Whether a hold (0 for the outlet) at a station is no help because it is too far upstream, or parted from it
        by a bellows."""
        return s_mm < self.low_mm or (hold == 0 and not self.outlet_counts)


@dataclass(frozen=True, slots=True)
class Ways:
    """Spacing as paths: ``at`` stations of outlet (first), seats and tail (last), ``after[j]`` what may follow j."""

    at: tuple[float, ...]
    after: tuple[tuple[int, ...], ...]
    spacing: float
    missed: tuple[Window, ...]


def windows_of(chain: Chain, versions: Mapping[str, str]) -> tuple[Window, ...]:
    """Where the rules want a hanger near. The outlet serves as one up to the first bellows."""
    found = []
    parted = min((e.from_mm for e in chain.elements if e.kind == BELLOWS), default=math.inf)
    for what, name in (("part", "hanger-near-heavy"), ("bend", "hanger-near-bend")):
        limit = rule(name, versions.get(name))
        for element in chain.elements:
            heavy = element.kind in HEAVY_KINDS and (element.mass_kg or HEAVY_KG) >= HEAVY_KG
            sharp = element.kind in (BEND, PIE_CUT) and element.turn_rad >= SHARP_RAD - 1e-6
            if heavy if what == "part" else sharp:
                found.append(Window(element.name, what, element.from_mm - limit.in_force.value,
                                    element.to_mm + limit.in_force.value, limit, element.from_mm < parted))
    return tuple(found)


def ways_of(chain: Chain, seats: Sequence[Seat], windows: Sequence[Window], spacing: float) -> Ways:
    """What may follow what.

    Where the candidates do not allow the spacing, the least one that they do allow stands in for it; a window in which
    there is no candidate is left out and named in ``missed``.

    Parameters
    ----------
    seats : sequence
        in order along the pipe
    spacing : float
        wanted at most, the outlet and the tail counted as ends [mm]
    """
    at = [0.0, *(s.at_mm for s in seats), chain.length_mm]
    holds = at[:-1]
    missed = tuple(w for w in windows
                   if not any(s <= w.high_mm and not w.lies_before(j, s) for j, s in enumerate(holds)))
    asked = [w for w in windows if w not in missed]

    def follows(j: int, k: int, most: float) -> bool:
        if at[k] - at[j] > most + 1e-6:
            return False
        tail = k == len(at) - 1
        # a window is missed when it lies wholly between two holds that follow each other
        return not any(w.lies_before(j, at[j]) and (tail or at[k] > w.high_mm) for w in asked)

    def reaches(most: float) -> bool:
        seen = {0}
        for j in range(len(at) - 1):
            if j in seen:
                seen |= {k for k in range(j + 1, len(at)) if follows(j, k, most)}
        return len(at) - 1 in seen

    most = spacing
    if not reaches(most):
        # the candidates do not allow it: the least spacing that they do allow stands in for it
        steps = sorted({at[k] - at[j] for j in range(len(at)) for k in range(j + 1, len(at))})
        most = next(s for s in steps if s > spacing and reaches(s))
    after = tuple(tuple(k for k in range(j + 1, len(at)) if follows(j, k, most)) for j in range(len(at) - 1))
    return Ways(tuple(at), after, most, missed)


def count_of(ways: Ways, most: int) -> int:
    """How many choices of at most ``most`` hangers keep the spacing."""
    last = len(ways.at) - 1
    so_far: list[dict[int, int]] = [{} for _ in range(last + 1)]
    so_far[0][0] = 1
    for j in range(last):
        for held, n in so_far[j].items():
            for k in ways.after[j]:
                more = held + (k != last)
                if more <= most:
                    so_far[k][more] = so_far[k].get(more, 0) + n
    return sum(n for held, n in so_far[last].items() if held)


def by_price(ways: Ways, prices: Sequence[float], most: int) -> Iterator[tuple[float, tuple[int, ...]]]:
    """Choices in order of price, each with its price: best first, by the least price that still reaches the tail."""
    last = len(ways.at) - 1
    togo = np.full((last + 1, most + 1), math.inf)
    togo[last, :] = 0.0
    for j in range(last - 1, -1, -1):
        for left in range(most + 1):
            for k in ways.after[j]:
                if k == last:
                    togo[j, left] = 0.0
                elif left:
                    togo[j, left] = min(togo[j, left], prices[k - 1] + togo[k, left - 1])
    heap: list[tuple[float, tuple[int, ...], float, int]] = [(float(togo[0, most]), (), 0.0, 0)]
    while heap:
        bound, held, paid, j = heapq.heappop(heap)
        if not math.isfinite(bound):
            return
        if j == last:
            if held:
                yield paid, held
            continue
        for k in ways.after[j]:
            if k == last:
                heapq.heappush(heap, (paid, held, paid, last))
            elif len(held) < most:
                least = paid + prices[k - 1] + float(togo[k, most - len(held) - 1])
                heapq.heappush(heap, (least, (*held, k - 1), paid + prices[k - 1], k))


def fewest(ways: Ways) -> float:
    """How few hangers keep the spacing; the outlet alone does not make an exhaust hang."""
    last = len(ways.at) - 1
    least = [math.inf] * (last + 1)
    least[0] = 0.0
    ends = math.inf
    for j in range(last):
        for k in ways.after[j]:
            if k == last:
                ends = min(ends, max(least[j], 1.0))
            else:
                least[k] = min(least[k], least[j] + 1.0)
    return ends
