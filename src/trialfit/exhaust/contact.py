"""Whether a pipe comes back on to itself, or on to a part that it carries.

Two places of one pipe can meet only when it turns by half a circle or more between them: a curve that turns less runs
away from itself (Schur's comparison theorem). Pieces with less turn between them are neighbours and are left out, so
that a pipe does not "touch" its own next inch.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from trialfit.exhaust.parts import PartSpot
from trialfit.geometry.centreline import Arc, Centreline, Mitred, Straight

Floats = NDArray[np.float64]

_SAGITTA_MM = 0.25
_LINES = 33
"""Sticks side by side that stand for a part that is wider than high."""


@dataclass(frozen=True, slots=True)
class Contact:
    """The least room between two places of one route that are no neighbours [mm], below 0 where they overlap."""

    room_mm: float
    words: str


@dataclass(frozen=True, slots=True, eq=False)
class _Sticks:
    """Round sticks (n, 3) to (n, 3) [mm]; turn of the pipe from the outlet to either end [rad]; the leg or bend each
    stands for, in words."""

    start: Floats
    end: Floats
    radius_mm: float
    slack_mm: Floats
    turned_from: Floats
    turned_to: Floats
    names: list[str]


def contact_mm(line: Centreline, radius_mm: float, spots: Sequence[PartSpot] = ()) -> Contact | None:
    """Least room between places of one route that are no neighbours; None when it never turns far enough to meet itself
    and carries no two parts.

    Growth by heat, welds and flanges are left out; all err to too much room. Bends are reckoned as chords, which errs
    to up to 3 mm too little.

    Parameters
    ----------
    line : Centreline
        the pipe's centre line
    radius_mm : float
        half the outside diameter [mm]
    spots : sequence of PartSpot
        parts on it

    Source: Schur's comparison theorem (from memory); distance of two segments, geometry.
    """
    pipe = _pipe(line, radius_mm)
    turned_at_leg = _turned_at_legs(line)
    best: Contact | None = None

    def take(room: Floats, words: str, first: list[str], second: list[str]) -> None:
        nonlocal best
        least = np.unravel_index(int(np.argmin(room)), room.shape)
        if np.isfinite(room[least]) and (best is None or room[least] < best.room_mm):
            best = Contact(float(room[least]), words.format(first[least[0]], second[least[1]]))

    apart = _apart(pipe, pipe)
    far = pipe.turned_to[None, :] - pipe.turned_from[:, None] >= math.pi - 1e-9
    take(np.where(far, apart, np.inf), "{} and {} of one pipe", pipe.names, pipe.names)
    for k, spot in enumerate(spots):
        turned = turned_at_leg.get(spot.leg, 0.0)
        sticks = _part(spot, turned)
        # past a quarter turn from its end a pipe can be beside the part
        beside = (pipe.turned_to >= turned + math.pi / 2 - 1e-9) | (pipe.turned_from <= turned - math.pi / 2 + 1e-9)
        take(np.where(beside[None, :], _apart(sticks, pipe), np.inf), "{} and {} of its own pipe", sticks.names,
             pipe.names)
        for other in spots[k + 1:]:
            if other.leg != spot.leg:
                next_ = _part(other, turned_at_leg.get(other.leg, 0.0))
                take(_apart(sticks, next_), "{} and {}", sticks.names, next_.names)
    return best


def _turned_at_legs(line: Centreline) -> dict[int, float]:
    turned = 0.0
    found: dict[int, float] = {}
    for stretch in line.stretches:
        if isinstance(stretch, Straight):
            found[stretch.leg] = turned
        else:
            turned += stretch.turn_rad
    return found


def _pipe(line: Centreline, radius_mm: float) -> _Sticks:
    starts, ends, slacks, froms, tos, names = [], [], [], [], [], []
    turned = 0.0
    for stretch in line.stretches:
        if isinstance(stretch, Straight):
            chain, slack, steps, name = [stretch.start, stretch.end], 0.0, 1, f"leg {stretch.leg + 1}"
            turn = 0.0
        else:
            turn, name = stretch.turn_rad, f"the bend at corner {stretch.corner}"
            if isinstance(stretch, Mitred):
                chain, slack = stretch.vertices, radius_mm * (1.0 / math.cos(stretch.face_rad) - 1.0)
            else:
                assert isinstance(stretch, Arc)
                chain, slack = stretch.chords(_SAGITTA_MM)
            steps = len(chain) - 1
        for k in range(steps):
            starts.append(chain[k])
            ends.append(chain[k + 1])
            slacks.append(slack)
            froms.append(turned + turn * k / steps)
            tos.append(turned + turn * (k + 1) / steps)
            names.append(name)
        turned += turn
    return _Sticks(np.array(starts), np.array(ends), radius_mm, np.array(slacks), np.array(froms), np.array(tos), names)


def _part(spot: PartSpot, turned: float) -> _Sticks:
    """A part as sticks side by side, whose ball ends reach its faces."""
    radius = min(spot.height_mm, spot.length_mm) / 2.0
    half = (spot.width_mm - spot.height_mm) / 2.0
    aside = np.linspace(-half, half, _LINES if half > 0.0 else 1)[:, None] * spot.wide
    count = len(aside)
    return _Sticks(
        spot.start + radius * spot.along + aside, spot.end - radius * spot.along + aside, spot.height_mm / 2.0,
        np.zeros(count), np.full(count, turned), np.full(count, turned), [spot.part.name] * count)


def _apart(first: _Sticks, second: _Sticks) -> Floats:
    """Room between the skins of every stick of one (n) and of the other (m), (n, m) [mm]."""
    core = segment_distances_mm(first.start, first.end, second.start, second.end)
    slack = first.slack_mm[:, None] + second.slack_mm[None, :]
    room: Floats = core - first.radius_mm - second.radius_mm - slack
    return room


def segment_distances_mm(a: Floats, b: Floats, c: Floats, d: Floats) -> Floats:
    """Distances of every segment ``a``-``b`` (n, 3) from every segment ``c``-``d`` (m, 3), (n, m) [mm].

    >>> cross = segment_distances_mm(np.array([[0.0, 0, 0]]), np.array([[10.0, 0, 0]]),
    ...                              np.array([[5.0, -5, 3]]), np.array([[5.0, 5, 3]]))
    >>> cross.tolist()
    [[3.0]]
    """
    u, v = (b - a)[:, None, :], (d - c)[None, :, :]
    w = a[:, None, :] - c[None, :, :]
    uu, vv = np.sum(u * u, axis=2), np.sum(v * v, axis=2)
    uv, uw, vw = np.sum(u * v, axis=2), np.sum(u * w, axis=2), np.sum(v * w, axis=2)
    uu, vv = np.maximum(uu, 1e-30), np.maximum(vv, 1e-30)
    across = uu * vv - uv * uv
    s = np.where(across > 1e-12 * uu * vv, (uv * vw - vv * uw) / np.where(across > 0.0, across, 1.0), 0.0)
    s = np.clip(s, 0.0, 1.0)
    t = np.clip((vw + s * uv) / vv, 0.0, 1.0)
    s = np.clip((t * uv - uw) / uu, 0.0, 1.0)
    best = np.sum((w + s[..., None] * u - t[..., None] * v) ** 2, axis=2)
    for fixed_t in (0.0, 1.0):
        # ends of the second segment, for what the clipping above may have missed
        s = np.clip((fixed_t * uv - uw) / uu, 0.0, 1.0)
        best = np.minimum(best, np.sum((w + s[..., None] * u - fixed_t * v) ** 2, axis=2))
    for fixed_s in (0.0, 1.0):
        t = np.clip((vw + fixed_s * uv) / vv, 0.0, 1.0)
        best = np.minimum(best, np.sum((w + fixed_s * u - t[..., None] * v) ** 2, axis=2))
    distances: Floats = np.sqrt(best)
    return distances
