"""As large as is promised, as odd as notebooks get: it answers, and does not fault."""

import math

import numpy as np
import pytest
from invented_vehicle import K, build, reading, true_value

from trialfit.survey import advise, findings, solve

MM_PER_INCH = 25.4


def large(points, count, seed):
    """A made-up cloud of hardpoints with random readings between near ones."""
    random = np.random.default_rng(seed)
    places = {f"p{i}": random.uniform([0, -800, 150], [4000, 800, 1200]) for i in range(points)}
    names = list(places)
    wanted = {}
    for i, name in enumerate(names):
        for kind in (K.HEIGHT, K.OFFSET, K.STATION):
            if i < 6 or random.uniform() < 0.3:
                wanted[kind, (name,)] = None
    while len(wanted) < count:
        a, b = (names[k] for k in sorted(random.choice(points, 2, replace=False)))
        if np.linalg.norm(places[a] - places[b]) < 2500.0:
            wanted[K.TAPE if random.uniform() < 0.9 else K.ANGLE, (a, b)] = None
    out = []
    for kind, names_ in wanted:
        value = true_value(kind, names_, places)
        plain = reading(kind, names_, value)
        out.append(reading(kind, names_, value + random.normal() * plain.instrument.sd(value)))
    return places, out


@pytest.mark.slow
def test_three_hundred_hardpoints_two_thousand_readings():
    places, readings = large(300, 2000, 3)
    tapes = [i for i, r in enumerate(readings) if r.kind is K.TAPE]
    for i, by in ((tapes[700], 304.8), (tapes[900], 1000.0)):
        r = readings[i]
        readings[i] = reading(r.kind, r.points, r.values[0] + by)
    survey = solve(build(readings))
    assert {s.reading for s in survey.suspects[:2]} == {readings[tapes[700]].identity, readings[tapes[900]].identity}
    open_ = {u.point for u in survey.unsolved} | {p for a in survey.ambiguous for p in (a.point, *a.along_with)}
    assert set(survey.names) | open_ == set(places)
    assert len(survey.names) > 290
    off = (survey.xyz_mm - np.array([places[n] for n in survey.names])).ravel()
    k = off.size
    assert off @ np.linalg.solve(survey.covariance, off) == pytest.approx(k, abs=5.0 * math.sqrt(2.0 * k))
    assert len(advise(survey, survey.names[40])) == 5
    assert len(advise(survey)) == 5


@pytest.mark.parametrize("seed", range(25))
def test_whatever_is_scribbled_gets_an_answer(seed):
    """Random notebooks, most of them hopeless: contradictory, scant, out of reach."""
    random = np.random.default_rng(seed)
    names = [f"q{i}" for i in range(int(random.integers(1, 7)))]
    readings = []
    for _ in range(int(random.integers(0, 26))):
        kind = list(K)[int(random.integers(0, 6))]
        many = {K.TAPE: 2, K.ANGLE: int(random.choice([2, 4])), K.SIZE: 0}.get(kind, 1)
        if many > len(names):
            continue
        chosen = tuple(str(n) for n in random.choice(names, many, replace=False))
        value = float(random.uniform(-0.5, 1.5)) if kind is K.ANGLE else float(random.normal(300.0, 500.0))
        readings.append(reading(kind, chosen, value, size="thing" if kind is K.SIZE else ""))
    survey = solve(build(readings, [("q0", "left"), ("q1", "above", "q0")]))
    named = {p for r in readings for p in r.points}
    for name in named:
        assert survey.has(name) or survey.why_not(name)
    assert np.all(np.isfinite(survey.xyz_mm))
    assert np.all(np.isfinite(survey.covariance))
    assert np.all(np.linalg.eigvalsh(survey.covariance) > -1e-6) if survey.covariance.size else True
    told = [f.name for f in findings(survey)]
    assert len(told) == len(set(told))


def test_inch_and_metric_notebook_give_one_vehicle():
    """The same marks read with a metric tape (whole millimetres) and an inch tape (sixteenths)."""
    places, readings = large(14, 110, 2)
    step = {"mm": 1.0, "in": MM_PER_INCH / 16.0}

    def read_with(unit):
        return [
            r if r.kind is K.ANGLE else reading(r.kind, r.points, round(r.values[0] / step[unit]) * step[unit])
            for r in readings
        ]

    metric, inch = solve(build(read_with("mm"))), solve(build(read_with("in")))
    assert set(metric.names) == set(inch.names) == set(places)
    assert not metric.suspects
    assert not inch.suspects
    for name in places:
        # reading to a sixteenth errs by 0.46 mm, far inside the tape's own doubt
        assert np.all(np.abs(metric.point(name) - inch.point(name)) < metric.sd(name))
    np.testing.assert_allclose(metric.covariance, inch.covariance, rtol=0.05, atol=0.05)
