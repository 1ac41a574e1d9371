"""A start for the adjustment: every hardpoint near its true place, whatever single readings say."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trialfit.estimation import descend, held_covariance
from trialfit.survey.clusters import lay_out, poses
from trialfit.survey.equations import Equations, equations
from trialfit.survey.observations import Observation
from trialfit.survey.placing import Choice, Ties, place_all, polish, tie_up
from trialfit.vehicle import Hint

Floats = NDArray[np.float64]

PRIOR_MM = 1e5
"""How well a hardpoint that nothing holds is known [mm]."""
_LOOSE_ANYWHERE_MM = 2000.0
LOOSE_MM = 250.0
"""A hardpoint with a greater standard deviation than this is not solved [mm]."""


@dataclass(frozen=True, slots=True, eq=False)
class Net:
    """Readings with the order of their unknowns."""

    observations: tuple[Observation, ...]
    names: tuple[str, ...]
    sizes: tuple[str, ...]
    eqs: Equations

    def without(self, points: set[str]) -> "Net":
        """The net less some hardpoints and every reading that names one."""
        return net_of([o for o in self.observations if not points.intersection(o.points)],
                      [n for n in self.names if n not in points])

    def places(self, unknowns: Floats) -> dict[str, Floats]:
        """Hardpoint to place (3,) [mm]."""
        return {n: unknowns[3 * i : 3 * i + 3] for i, n in enumerate(self.names)}


def net_of(observations: Sequence[Observation], names: Sequence[str]) -> Net:
    """Order the unknowns of ``observations`` on hardpoints ``names``."""
    sizes = tuple(dict.fromkeys(o.size for o in observations if o.size))
    return Net(tuple(observations), tuple(names), sizes, equations(observations, names, sizes))


def loose_by_kind(net: Net) -> tuple[set[str], Floats]:
    """Hardpoints that the readings cannot hold wherever things stand, and the covariance that shows it.

    Counted at two made-up layouts, since a real one is not known yet; a layout that happens to be bad cannot
    condemn a hardpoint alone.

    Source: rank at a generic place, as in the theory of rigid frameworks (from memory).
    """
    n = len(net.names)
    least: Floats | None = None
    for seed in (11, 23):
        unknowns = np.random.default_rng(seed).uniform(0.0, 1.0, net.eqs.width) * 1000.0
        unknowns[: 3 * n] *= np.tile([4.0, 1.6, 1.2], n)
        covariance = held_covariance(net.eqs.model(unknowns)[1], net.eqs.sd, PRIOR_MM)
        if least is None or np.trace(covariance) < np.trace(least):
            least = covariance
    assert least is not None
    return loose_points(net, least, _LOOSE_ANYWHERE_MM), least


def loose_points(net: Net, covariance: Floats, limit_mm: float) -> set[str]:
    """Hardpoints with a standard deviation above ``limit_mm`` along any axis."""
    spread = np.sqrt(np.maximum(np.diag(covariance), 0.0))[: 3 * len(net.names)].reshape(-1, 3).max(axis=1)
    return {name for name, s in zip(net.names, spread, strict=True) if s > limit_mm}


def deviations(net: Net, unknowns: Floats) -> Floats:
    """Reading less computed value, over its standard deviation, (m,) [-]."""
    answer: Floats = (net.eqs.value - net.eqs.computed(unknowns)) / net.eqs.sd
    return answer


def total_misfit(net: Net, unknowns: Floats) -> float:
    """Sum over the readings that lets one gross misread count little."""
    t = deviations(net, unknowns)
    return float(np.sum(9.0 * np.log1p(t * t / 9.0)))


def settle(net: Net, unknowns: Floats, rounds: int = 8) -> Floats:
    """Move all unknowns to where most readings agree, misreads counting less and less.

    Weights 1/t at first (least sum of absolute deviations), then falling as 1/t**2.

    Source: iteratively re-weighted least squares, P. J. Huber, Robust statistics, 1981, ch. 6 (from memory).
    """
    x = unknowns
    last = np.inf
    for turn in range(rounds):
        t = np.abs(deviations(net, x))
        stretch = _stretch(t, turn)
        x, _, _ = descend(net.eqs.model, net.eqs.value, net.eqs.sd * stretch, x, most_steps=12 if turn < 3 else 6,
                          tolerance=1e-7, hold=1e-8)
        now = total_misfit(net, x)
        if turn >= 4 and abs(last - now) < 1e-3 * (1.0 + now):
            break
        last = now
    return x


def _stretch(t: Floats, turn: int) -> Floats:
    """Factor on the doubt of readings that deviate by ``t`` standard deviations."""
    answer: Floats = np.sqrt(np.maximum(t / 2.0, 1.0)) if turn < 3 else np.sqrt(1.0 + t * t / 9.0)
    return answer


def find_start(net: Net, hints: Sequence[Hint]) -> tuple[Floats, list[Choice], list[tuple[Floats, Floats]]]:
    """Unknowns near their true places, the choices made between mirror images, and pairs of whole layouts that fit
    equally well."""
    ties = tie_up(net.observations)
    for name in net.names:
        ties.setdefault(name, Ties())
    places, choices = place_all(ties, hints)
    places = _look_again(ties, places)
    rivals: list[tuple[Floats, Floats]] = []
    left = [n for n in net.names if n not in places]
    if left:
        unknowns, other = _fit_in(net, ties, places, left, hints)
        if other is not None:
            rivals.append((unknowns, other))
    else:
        unknowns = _row(net, places)
    unknowns[3 * len(net.names):] = [
        float(np.median([o.value for o in net.observations if o.size == s])) for s in net.sizes]
    for pair in rivals:
        pair[1][3 * len(net.names):] = unknowns[3 * len(net.names):]
    return unknowns, choices, rivals


def _row(net: Net, places: Mapping[str, Floats]) -> Floats:
    unknowns = np.zeros(net.eqs.width)
    for i, name in enumerate(net.names):
        unknowns[3 * i : 3 * i + 3] = places.get(name, np.zeros(3))
    return unknowns


def _look_again(ties: Mapping[str, Ties], places: dict[str, Floats]) -> dict[str, Floats]:
    """Once all are placed, let each be judged by all its readings: one placed early by a misread moves."""
    for _ in range(2):
        for point in list(places):
            rest = {q: places[q] for q in ties[point].neighbours() if q in places}
            places[point] = polish(places[point], ties[point], rest, rounds=3)
    return places


def part_model(eqs: Equations, unknowns: Floats, columns: Floats) -> Any:
    """Model of the readings in which only the unknowns at ``columns`` move."""

    def model(part: Floats) -> tuple[Floats, Any]:
        full = unknowns.copy()
        full[columns] = part
        computed, rows = eqs.model(full)
        return computed, rows[:, columns]

    return model


def settle_part(net: Net, unknowns: Floats, points: Sequence[str], rounds: int = 6) -> tuple[Floats, float]:
    """Settle some hardpoints with all others held; the unknowns and the misfit of the readings that name them."""
    chosen = set(points)
    at = {n: i for i, n in enumerate(net.names)}
    columns: Any = np.array([3 * at[p] + a for p in points for a in range(3)], dtype=np.int64)
    keep = np.array([bool(chosen.intersection(o.points)) for o in net.observations])
    eqs = net.eqs.only(keep)
    x = unknowns.copy()
    for turn in range(rounds):
        t = np.abs(eqs.value - eqs.computed(x)) / eqs.sd
        stretch = _stretch(t, turn)
        x[columns], _, _ = descend(part_model(eqs, x, columns), eqs.value, eqs.sd * stretch, x[columns],
                                   most_steps=25 if turn == 0 else 8, tolerance=1e-6, hold=1e-8)
    t = (eqs.value - eqs.computed(x)) / eqs.sd
    return x, float(np.sum(9.0 * np.log1p(t * t / 9.0)))


def _fit_in(
    net: Net, ties: Mapping[str, Ties], places: Mapping[str, Floats], left: Sequence[str], hints: Sequence[Hint]
) -> tuple[Floats, Floats | None]:
    """Places for those that could not be placed one by one: as a rigid cluster in many poses, or scattered."""
    from trialfit.survey.placing import meets

    layout = lay_out(ties, left) if len(left) >= 3 else {}
    random = np.random.default_rng(5)
    known = np.array(list(places.values())).reshape(-1, 3)
    centre = np.array([1500.0, 0.0, 400.0]) if not len(known) else known.mean(axis=0)
    starts: list[Floats] = []
    scatter = max(300.0, float(np.median([s[1] for p in left for s in ties[p].spheres] or [600.0])))

    def rough(point: str) -> Floats:
        near = [places[q] for q in ties[point].neighbours() if q in places]
        place = (np.mean(near, axis=0) if near else centre) + random.normal(0.0, 0.6 * scatter, 3)
        for axis, value, _ in ties[point].planes:
            place[axis] = value
        return np.asarray(place)

    if len(layout) >= 3:
        inner = np.array(list(layout.values()))
        middle = inner.mean(axis=0)
        for turn, _ in poses():
            moved = {p: turn @ (v - middle) for p, v in layout.items()}
            shift = np.mean([rough(p) - moved[p] for p in moved], axis=0)
            laid = {p: v + shift for p, v in moved.items()}
            starts.append(_row(net, {**places, **{p: rough(p) for p in left}, **laid}))
    for _ in range(24 if len(left) <= 30 else 6):
        starts.append(_row(net, {**places, **{p: rough(p) for p in left}}))
    tried = [settle_part(net, s, left, rounds=3) for s in starts]
    tried.sort(key=lambda pair: pair[1])
    best = [settle_part(net, x, left) for x, _ in tried[:8]]
    best.sort(key=lambda pair: pair[1])

    def broken(x: Floats) -> int:
        return sum(meets(h, net.places(x)) is False for h in hints)

    alike = [x for x, cost in best if cost - best[0][1] < 9.0]
    alike.sort(key=broken)
    first = alike[0]
    for x in alike[1:]:
        if np.abs(x - first).max() > 20.0 and broken(x) == broken(first):
            return first, x
    return first, None
