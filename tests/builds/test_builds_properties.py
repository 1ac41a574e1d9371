"""One vehicle told in other words stays the same vehicle: shifted datum, mirrored, inches for millimetres."""

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from trialfit.buildfile import load, read, starter
from trialfit.checks import run
from trialfit.survey import solve
from trialfit.vehicle import ReadingKind

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
K = ReadingKind


@pytest.fixture(scope="module", params=["estate", "flatbed"])
def build(request):
    return load(EXAMPLES / request.param / "build.yaml").build


def same_gaps(one, other):
    """Each search stops within 1 mm, or 5 % of a wide gap; far above what is wanted it stops at once."""
    a, b = ({x.pair.name: x for x in results.gaps} for results in (one, other))
    assert set(a) == set(b)
    closed = 0
    for name, x in a.items():
        assert min(x.upper_mm, b[name].upper_mm) >= max(x.lower_mm, b[name].lower_mm) - 0.01, name
        if x.upper_mm < x.pair.required_mm + 90.0:
            assert b[name].upper_mm == pytest.approx(x.upper_mm, abs=1.2 + 0.06 * abs(x.upper_mm)), name
            closed += 1
    assert closed >= 10


def at(corner, change):
    return corner if isinstance(corner, str) else change(corner)


def moved_routes(build, change):
    return tuple(
        replace(r, corners=tuple(replace(c, point=at(c.point, change)) for c in r.corners), end=at(r.end, change))
        for r in build.routes)


def test_a_shifted_datum_changes_no_gap(build):
    by = 700.0
    readings = tuple(
        replace(r, values=tuple(v + by for v in r.values), sd=r.instrument.sd(r.values[0]))
        if r.kind is K.STATION else r
        for r in build.readings)
    shifted = replace(build, readings=readings, routes=moved_routes(build, lambda p: (p[0] + by, p[1], p[2])))
    one, other = run(build), run(shifted)
    for name in one.survey.names:
        assert other.points[name] - one.points[name] == pytest.approx([by, 0.0, 0.0], abs=0.01)
    same_gaps(one, other)


def test_a_mirrored_vehicle_has_the_same_gaps(build):
    readings = tuple(
        replace(r, values=tuple(-v for v in r.values)) if r.kind is K.OFFSET else r for r in build.readings)
    hints = tuple(replace(h, side={"left": "right", "right": "left"}.get(h.side, h.side)) for h in build.hints)
    mounts = replace(build.mounts, right_up_rad=build.mounts.right_down_rad, right_down_rad=build.mounts.right_up_rad)
    mirrored = replace(build, readings=readings, hints=hints, mounts=mounts,
                       routes=moved_routes(build, lambda p: (p[0], -p[1], p[2])))
    one, other = run(build), run(mirrored)
    for name in one.survey.names:
        assert other.points[name] == pytest.approx(one.points[name] * [1.0, -1.0, 1.0], abs=0.01)
    same_gaps(one, other)
    assert other.story.lateral_mm.least == pytest.approx(-one.story.lateral_mm.most, abs=0.02)
    for a, b in zip(one.cuts[0].pieces, other.cuts[0].pieces, strict=True):
        assert b.length_to_cut_mm == pytest.approx(a.length_to_cut_mm, abs=0.01)
        if a.clocking and b.clocking:
            assert b.clocking.signed_rad == pytest.approx(-a.clocking.signed_rad, abs=1e-4) or (
                abs(a.clocking.angle_rad - np.pi) < 0.05)


def test_an_inch_file_of_a_metric_vehicle_is_the_same_vehicle():
    text = (EXAMPLES / "estate" / "build.yaml").read_text(encoding="utf-8")

    def inches(found):
        return f"{float(found.group(1)) / 25.4:.10f} in"

    told = read(re.sub(r"(\d+(?:\.\d+)?) mm", inches, text), "inch.yaml")
    assert not told.problems
    metric, inch = run(load(EXAMPLES / "estate" / "build.yaml").build), run(told.build)
    assert inch.survey.xyz_mm == pytest.approx(metric.survey.xyz_mm, abs=1e-4)
    assert inch.survey.covariance == pytest.approx(metric.survey.covariance, rel=1e-3, abs=1e-4)
    same_gaps(metric, inch)
    for a, b in zip(metric.cuts[0].pieces, inch.cuts[0].pieces, strict=True):
        assert b.length_to_cut_mm == pytest.approx(a.length_to_cut_mm, abs=1e-3)


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_the_starters_own_readings_agree_with_each_other(units):
    told = read(starter("invented", units), "mine.yaml")
    survey = solve(told.build)
    assert not survey.suspects
    assert not survey.test_all.too_wide
    assert len(survey.names) == 2
