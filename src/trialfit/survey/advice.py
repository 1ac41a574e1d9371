"""Which further reading shrinks the doubt most."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.survey.equations import AXIS
from trialfit.survey.result import Survey
from trialfit.vehicle import DEFAULT_INSTRUMENTS, Instrument, ReadingKind
from trialfit.vehicle.reading import DEFAULT_FOR_KIND

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_LEAST_LINE_MM = 50.0
"""Shortest line that a level or a gauge can be laid along [mm]."""
_STEEPEST = math.radians(80.0)


@dataclass(frozen=True, slots=True)
class Advice:
    """One further reading, in words, and what it would do: greatest standard deviation in any direction of the
    hardpoint (or the root mean square of that over all hardpoints) before and after [mm]. For a quantity that hangs
    on several hardpoints, its own standard deviation, in its own unit."""

    words: str
    kind: ReadingKind
    points: tuple[str, ...]
    before_mm: float
    after_mm: float
    size: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class _Offers:
    """Every reading that could be taken: kind, ends, direction of its derivative, and its variance."""

    kind: NDArray[np.int64]
    a: Ints
    b: Ints
    unit: Floats
    """(k, 3): derivative by the second end; by the first the negative (tape, inclination) or none (direct)"""
    variance: Floats


_TAPE, _SLOPE, _DIRECT, _SIZE = 0, 1, 2, 3
_DIRECT_KINDS = (ReadingKind.STATION, ReadingKind.OFFSET, ReadingKind.HEIGHT)


def advise(survey: Survey, point: str | None = None, most: int = 5) -> list[Advice]:
    """Further readings that would shrink the doubt of ``point`` (or of all hardpoints) most, best first.

    Every tape and every inclination between two solved hardpoints and every height, offset and station is tried by
    the exact update of the covariance with the default instrument; one that was read before is tried as one more
    repeat of it, which leaves its printed limit as it is. Whether the reading can be reached with a tape is left to
    the builder. For all hardpoints the order goes by the sum of variances.

    Parameters
    ----------
    survey : Survey
        as solved
    point : str or None
        hardpoint; all when None
    most : int
        answers at most [-]

    Raises
    ------
    KeyError
        ``point`` is not solved; the text says what is missing
    ValueError
        ``most`` below 1

    Source: GUM (JCGM 100:2008) 5.2; rank-one update of a covariance (from memory: Sherman and Morrison, 1950).
    """
    if most < 1:
        raise ValueError(f"at least 1 answer, not {most}")
    n = len(survey.names)
    if n == 0:
        return []
    offers = _offers(survey)
    covariance = survey.covariance[: 3 * n, : 3 * n]
    blocks = covariance.reshape(n, 3, n, 3).transpose(0, 2, 1, 3)
    own = _own_variance(blocks, offers) + offers.variance
    if point is not None:
        survey.point(point)
        i = survey.names.index(point)
        pull = _pull(blocks[i], offers)
        after = blocks[i, i][None] - pull[:, :, None] * pull[:, None, :] / own[:, None, None]
        doubt = np.sqrt(np.maximum(np.linalg.eigvalsh(after)[:, -1], 0.0))
        before = survey.doubt_mm(point)
        order = np.argsort(doubt, kind="stable")[:most]
        return [_advice(survey, offers, int(k), before, float(doubt[k])) for k in order]
    square = (covariance @ covariance).reshape(n, 3, n, 3).transpose(0, 2, 1, 3)
    gain = _own_variance(square, offers) / own
    order = np.argsort(-gain, kind="stable")[: max(40, most)]
    tops = np.array([blocks[i, i] for i in range(n)])
    before = float(np.sqrt(np.mean(np.linalg.eigvalsh(tops)[:, -1])))
    answers: list[Advice] = []
    for k in order[:most]:
        row = _row(offers, int(k), n)
        pull = (covariance @ row).reshape(n, 3)
        after = tops - pull[:, :, None] * pull[:, None, :] / own[k]
        doubt_after = float(np.sqrt(np.mean(np.linalg.eigvalsh(after)[:, -1])))
        answers.append(_advice(survey, offers, int(k), before, doubt_after))
    return answers


def advise_for(survey: Survey, gradient: Floats, most: int = 5) -> list[Advice]:
    """Further readings that would shrink the doubt of one quantity most, best first.

    As :func:`advise`, for any quantity that is a function of hardpoints and sizes, to first order; one more repeat of
    a size by calliper is tried too.

    Parameters
    ----------
    survey : Survey
        as solved
    gradient : array, shape (3n + m,)
        derivative of the quantity by every unknown, in the order of the covariance [-]
    most : int
        answers at most [-]

    Raises
    ------
    ValueError
        ``gradient`` has another length or ``most`` is below 1

    Source: as :func:`advise`.
    """
    g = np.asarray(gradient, dtype=float).ravel()
    if g.size != len(survey.covariance):
        raise ValueError(f"the gradient needs {len(survey.covariance)} entries, not {g.size}")
    if most < 1:
        raise ValueError(f"at least 1 answer, not {most}")
    n = len(survey.names)
    carried = survey.covariance @ g
    variance = float(g @ carried)
    before = math.sqrt(max(variance, 0.0))
    answers: list[Advice] = []
    if n:
        offers = _offers(survey)
        blocks = survey.covariance[: 3 * n, : 3 * n].reshape(n, 3, n, 3).transpose(0, 2, 1, 3)
        own = _own_variance(blocks, offers) + offers.variance
        parts = carried[: 3 * n].reshape(n, 3)
        direct = offers.kind == _DIRECT
        ends = parts[offers.b] - np.where(direct[:, None], 0.0, parts[np.where(direct, 0, offers.a)])
        left = variance - np.sum(ends * offers.unit, axis=1) ** 2 / own
        order = np.argsort(left, kind="stable")[:most]
        answers = [_advice(survey, offers, int(k), before, math.sqrt(max(float(left[k]), 0.0))) for k in order]
    for i, size in enumerate(survey.size_names):
        extra = _size_again(survey, size)
        left_now = variance - carried[3 * n + i] ** 2 / (survey.covariance[3 * n + i, 3 * n + i] + extra)
        answers.append(Advice(f"{size} once more by calliper", ReadingKind.SIZE, (), before,
                              math.sqrt(max(float(left_now), 0.0)), size))
    answers.sort(key=lambda a: a.after_mm)
    return answers[:most]


def _size_again(survey: Survey, size: str) -> float:
    """Variance of an independent reading that tells as much as one more repeat of a size."""
    gain = 0.0
    for c in survey.readings:
        if c.observation.size == size:
            gain = max(gain, c.observation.again_sd**-2 - c.observation.sd**-2)
    return 1.0 / gain if gain > 1e-12 else 1e12


def _default_sd(kind: ReadingKind, values: Floats) -> Floats:
    instrument: Instrument = DEFAULT_INSTRUMENTS[DEFAULT_FOR_KIND[kind]]
    if kind is ReadingKind.ANGLE:
        return np.full(values.shape, instrument.sd(0.0))
    metres = np.ceil(np.abs(values) / 1000.0)
    steps = {float(m): instrument.sd(1000.0 * float(m)) for m in np.unique(metres)}
    return np.array([steps[float(m)] for m in metres])


def _offers(survey: Survey) -> _Offers:
    n = len(survey.names)
    xyz = survey.xyz_mm
    a, b = np.triu_indices(n, 1)
    line = xyz[b] - xyz[a]
    length = np.linalg.norm(line, axis=1)
    taped = length > 1.0
    flat = np.hypot(line[:, 0], line[:, 1])
    sloped = (length > _LEAST_LINE_MM) & (np.abs(line[:, 2]) < math.tan(_STEEPEST) * np.maximum(flat, 1e-9))
    unit = line / np.maximum(length, 1e-9)[:, None]
    tilt = -unit * (line[:, 2] / np.maximum(length * flat, 1e-9))[:, None]
    tilt[:, 2] += 1.0 / np.maximum(flat, 1e-9)
    every = np.repeat(np.arange(n), 3)
    axis = np.tile(np.arange(3), n)
    direct_sd = np.empty(3 * n)
    for k, kind in enumerate(_DIRECT_KINDS):
        direct_sd[axis == k] = _default_sd(kind, xyz[:, k])
    offers = _Offers(
        np.concatenate([np.full(taped.sum(), _TAPE), np.full(sloped.sum(), _SLOPE), np.full(3 * n, _DIRECT)]),
        np.concatenate([a[taped], a[sloped], axis]), np.concatenate([b[taped], b[sloped], every]),
        np.concatenate([unit[taped], tilt[sloped], np.eye(3)[axis]]),
        np.concatenate([_default_sd(ReadingKind.TAPE, length[taped]) ** 2,
                        _default_sd(ReadingKind.ANGLE, length[sloped]) ** 2, direct_sd**2]),
    )
    _count_repeats(survey, offers)
    return offers


def _count_repeats(survey: Survey, offers: _Offers) -> None:
    """Give readings that exist already the variance of an independent one that tells as much as one more repeat."""
    at = {name: i for i, name in enumerate(survey.names)}
    offered = zip(offers.kind.tolist(), offers.a.tolist(), offers.b.tolist(), strict=True)
    place = {key: i for i, key in enumerate(offered)}
    for c in survey.readings:
        o = c.observation
        if any(p not in at for p in o.points) or not o.points or c.state != "used":
            continue
        if o.kind in AXIS:
            key = (_DIRECT, AXIS[o.kind], at[o.points[0]])
        elif len(o.points) == 2:
            first, second = sorted(at[p] for p in o.points)
            key = (_TAPE if o.kind is ReadingKind.TAPE else _SLOPE, first, second)
        else:
            continue
        gain = o.again_sd**-2 - o.sd**-2
        if key in place:
            offers.variance[place[key]] = 1.0 / gain if gain > 1e-12 else 1e12


def _own_variance(blocks: Floats, o: _Offers) -> Floats:
    """Variance of each offered reading from the hardpoints alone, (k,)."""
    both = blocks[o.b, o.b]
    pair = o.kind != _DIRECT
    first, second = o.a[pair], o.b[pair]
    both[pair] += blocks[first, first] - blocks[first, second] - blocks[second, first]
    answer: Floats = np.einsum("ki,kij,kj->k", o.unit, both, o.unit)
    return np.maximum(answer, 0.0)


def _pull(row: Floats, o: _Offers) -> Floats:
    """Covariance of one hardpoint (n, 3, 3) with each offered reading, (k, 3)."""
    direct = o.kind == _DIRECT
    ends = row[o.b] - np.where(direct[:, None, None], 0.0, row[np.where(direct, 0, o.a)])
    answer: Floats = np.einsum("kij,kj->ki", ends, o.unit)
    return answer


def _row(o: _Offers, k: int, n: int) -> Floats:
    row = np.zeros((n, 3))
    row[o.b[k]] += o.unit[k]
    if o.kind[k] != _DIRECT:
        row[o.a[k]] -= o.unit[k]
    return row.ravel()


def _advice(survey: Survey, o: _Offers, k: int, before: float, after: float) -> Advice:
    kind, b = int(o.kind[k]), survey.names[int(o.b[k])]
    if kind == _DIRECT:
        direct = _DIRECT_KINDS[int(o.a[k])]
        return Advice(f"{direct} of {b}", direct, (b,), before, after)
    a = survey.names[int(o.a[k])]
    if kind == _TAPE:
        return Advice(f"tape from {a} to {b}", ReadingKind.TAPE, (a, b), before, after)
    return Advice(f"inclination of the line from {a} to {b}", ReadingKind.ANGLE, (a, b), before, after)

