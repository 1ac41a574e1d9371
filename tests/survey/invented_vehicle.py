"""An invented vehicle and its notebook, for the tests of this room. No real vehicle is meant."""

import math
from dataclasses import replace

import numpy as np

from trialfit.vehicle import DEFAULT_INSTRUMENTS, Build, Hint, Reading, ReadingKind, Settings
from trialfit.vehicle.reading import DEFAULT_FOR_KIND

K = ReadingKind
PLACES = {
    name: np.array(place, dtype=float)
    for name, place in {
        "nose": (905, 4, 512),
        "tail": (1604, -11, 438),
        "gearbox.out": (1688, -8, 402),
        "pinion": (2871, 21, 371),
        "eye.L": (2110, -462, 364),
        "eye.R": (2112, 458, 361),
        "pad.L": (2815, -508, 318),
        "pad.R": (2818, 512, 315),
        "rear.L": (3390, -471, 402),
        "rear.R": (3388, 468, 405),
        "ll.L": (2280, -395, 290),
        "ll.R": (2283, 391, 288),
    }.items()
}


def reading(kind, points, *values, size="", typed="", sd=None, instrument=None, number=1):
    by = DEFAULT_INSTRUMENTS[instrument or DEFAULT_FOR_KIND[kind]]
    names = size or ("/".join(["-".join(points[:2]), "-".join(points[2:])]) if len(points) == 4 else "-".join(points))
    identity = f"{kind} {names}" + (f" #{number}" if number > 1 else "")
    return Reading(identity, kind, tuple(points), tuple(float(v) for v in values), by, size=size, typed=typed, sd=sd)


def true_value(kind, points, places):
    if kind is K.TAPE:
        return float(np.linalg.norm(places[points[0]] - places[points[1]]))
    if kind is K.ANGLE and len(points) == 2:
        line = places[points[1]] - places[points[0]]
        return math.asin(line[2] / np.linalg.norm(line))
    if kind is K.ANGLE:
        u, v = places[points[1]] - places[points[0]], places[points[3]] - places[points[2]]
        return math.acos(abs(u @ v) / np.linalg.norm(u) / np.linalg.norm(v))
    return float(places[points[0]][{K.STATION: 0, K.OFFSET: 1, K.HEIGHT: 2}[kind]])


def notebook(places=None, seed=None, skip=()):
    """Readings with plenty to spare: exact, or with the errors their instruments promise when ``seed`` is given."""
    places = places or PLACES
    random = np.random.default_rng(seed)
    wanted = [
        (kind, (p,))
        for p in places
        for kind in (K.HEIGHT, K.OFFSET, K.STATION)
        if not (p.startswith(("rear", "ll")) and kind is not K.HEIGHT)
    ]
    names = list(places)
    wanted += [
        (K.TAPE, (a, b))
        for i, a in enumerate(names)
        for b in names[i + 1 :]
        if np.linalg.norm(places[a] - places[b]) < 1400.0
    ]
    wanted += [
        (K.ANGLE, ("nose", "tail")),
        (K.ANGLE, ("gearbox.out", "pinion")),
        (K.ANGLE, ("nose", "tail", "gearbox.out", "pinion")),
    ]
    out = []
    for kind, points in wanted:
        if (kind, points) in skip:
            continue
        plain = reading(kind, points, 0.0)
        value = true_value(kind, points, places)
        error = random.normal() * plain.instrument.sd(value) if seed is not None else 0.0
        if kind is K.ANGLE and len(points) == 4:
            value = abs(value + error)
        else:
            value += error
        shown = f"{math.degrees(value):.1f} deg" if kind is K.ANGLE else f"{value:.0f} mm"
        out.append(replace(plain, values=(value,), typed=f"{kind} {' '.join(points)} {shown}"))
    return out


def build(readings, hints=()):
    return Build("invented", "", Settings(), tuple(readings), tuple(Hint(*h) for h in hints))


def spoil(readings, identity, by=None, to=None, typed=None):
    """The notebook with one reading changed by ``by`` or to ``to``."""
    changed = []
    for r in readings:
        if r.identity == identity:
            value = r.values[0] + by if by is not None else to
            r = replace(r, values=(float(value),), typed=typed if typed is not None else r.typed)
        changed.append(r)
    assert any(r.identity == identity for r in readings), identity
    return changed
