"""The doubt of a gap against drawn hardpoints: another route to the answer."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from trialfit.buildfile import load
from trialfit.checks import ON_AXLE, centre_line_of, place, run
from trialfit.doubt import findings, for_people, weigh
from trialfit.findings import SURE, Verdict
from trialfit.geometry import PosePath, gap_at
from trialfit.motion import rock, solve_pose, wheel_centres
from trialfit.vehicle import Amount, LaidPart

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
DRAWS = 400


@pytest.fixture(scope="module", params=["estate", "flatbed"])
def whole(request):
    results = run(load(EXAMPLES / request.param / "build.yaml").build)
    return results, weigh(results)


def held(rotation, shift):
    return PosePath(np.concatenate((rotation.ravel(), shift)).reshape(1, 1, 1, 12), np.zeros(3), np.zeros(3))


def drawn_gap(results, answer, points, sizes):
    """The gap at the worst pose with everything placed and closed again on drawn hardpoints."""
    build, state = results.build, answer.pose
    axle = solve_pose(build.suspension, points, state.heave, state.roll, sizes, wheel_centres(build))
    rotation, shift = rock(points[build.mounts.axis_front], points[build.mounts.axis_rear], np.array([state.rock]))
    paths = dict.fromkeys(ON_AXLE, held(axle.rotation, axle.shift)) | {"engine": held(rotation[0], shift[0])}
    lines = {f"exhaust.{r.name}": centre_line_of(r, points, sizes) for r in build.routes}
    a, b = (place(t, build, points, sizes, paths, results.meshes, lines).mover for t in (answer.pair.a, answer.pair.b))
    found = gap_at(a, b, np.zeros(3))
    return 0.5 * (found.lower_mm + found.upper_mm)


def test_the_standard_deviation_is_that_of_drawn_vehicles(whole):
    results, weighed = whole
    survey = results.survey
    near = [w for w in weighed if w.sd_mm and 5.0 < w.answer.upper_mm < 150.0]
    mixed = [w for w in near if {w.answer.pair.a.kind, w.answer.pair.b.kind} & {"exhaust", "shaft", "axle"}][:8]
    assert len(mixed) >= 5
    random = np.random.default_rng(7)
    mean = np.concatenate((survey.xyz_mm.ravel(), [survey.sizes[s][0] for s in survey.size_names]))
    draws = random.multivariate_normal(mean, survey.covariance, size=DRAWS, method="eigh")
    n = len(survey.names)
    for w in mixed:
        values = []
        for draw in draws:
            points = dict(zip(survey.names, draw[: 3 * n].reshape(n, 3), strict=True))
            sizes = {s: (v, 0.0) for s, v in zip(survey.size_names, draw[3 * n:], strict=True)}
            values.append(drawn_gap(results, w.answer, points, sizes))
        # the spread of 400 draws is itself known to 3.5 %; a smallest gap bends a little over 3 mm of doubt
        assert w.sd_mm == pytest.approx(np.std(values), rel=0.15), w.answer.pair.name


def spread_of(results, weighed, draws):
    """Standard deviation of each weighed gap over drawn vehicles."""
    survey = results.survey
    mean = np.concatenate((survey.xyz_mm.ravel(), [survey.sizes[s][0] for s in survey.size_names]))
    drawn = np.random.default_rng(11).multivariate_normal(mean, survey.covariance, size=draws, method="eigh")
    n = len(survey.names)
    values = {w.answer.pair.name: [] for w in weighed}
    for draw in drawn:
        points = dict(zip(survey.names, draw[: 3 * n].reshape(n, 3), strict=True))
        sizes = {s: (v, 0.0) for s, v in zip(survey.size_names, draw[3 * n:], strict=True)}
        for w in weighed:
            values[w.answer.pair.name].append(drawn_gap(results, w.answer, points, sizes))
    return {name: float(np.std(v)) for name, v in values.items()}


def test_parts_and_pipe_before_the_bellows_carry_the_doubt_of_what_places_them():
    build = load(EXAMPLES / "estate" / "build.yaml").build
    parts = (LaidPart("flex", "bellows", 1, 220.0, Amount(120.0), Amount(90.0), Amount(90.0)),
             LaidPart("box", "muffler", 1, 900.0, Amount(400.0), Amount(0.0, 0.0, "tyre width"), Amount(90.0), 0.1))
    route = replace(build.routes[0], parts=parts, wish=None)
    results = run(replace(build, routes=(route,)))
    weighed = [w for w in weigh(results, advise=False) if w.sd_mm and w.answer.upper_mm < 150.0 and (
        {"exhaust.main box", "exhaust.main before the bellows"} & {w.answer.pair.a.name, w.answer.pair.b.name})]
    assert len(weighed) >= 3
    assert {n for w in weighed for n in (w.answer.pair.a.name, w.answer.pair.b.name)} >= {
        "exhaust.main box", "exhaust.main before the bellows"}
    spread = spread_of(results, weighed, DRAWS // 2)
    for w in weighed:
        # the spread of 200 draws is itself known to 5 %
        assert w.sd_mm == pytest.approx(spread[w.answer.pair.name], rel=0.2), w.answer.pair.name


def test_the_ground_lends_a_gap_no_doubt_of_its_own():
    build = load(EXAMPLES / "estate" / "build.yaml").build
    wish = build.routes[0].wish
    results = run(replace(build, routes=(replace(build.routes[0], parts=(), wish=replace(wish, ground_mm=90.0)),)))
    (w,) = [w for w in weigh(results, advise=False) if w.answer.pair.b.kind == "ground"]
    assert w.answer.pair.required_mm == 90.0
    # what is left is the doubt of the pipe: of its outlet's height at most, and of half its diameter
    outlet = results.survey.sd("outlet")[2]
    assert 0.0 < w.sd_mm <= 1.1 * outlet + 0.1
    assert w.answer.pose.heave > 0.0


def test_verdicts_follow_bounds_doubt_and_requirement(whole):
    _, weighed = whole
    for w in weighed:
        a = w.answer
        if w.sd_mm is None:
            continue
        if w.verdict is Verdict.FITS:
            assert a.lower_mm - SURE * w.sd_mm >= a.pair.required_mm
        elif w.verdict is Verdict.DOES_NOT_FIT:
            assert a.upper_mm + SURE * w.sd_mm < a.pair.required_mm


def test_the_advised_reading_shrinks_the_doubt_of_that_gap(whole):
    _, weighed = whole
    for w in weighed:
        for a in w.advice:
            assert a.after_mm < a.before_mm
            assert a.before_mm == pytest.approx(w.sd_mm, rel=1e-6)


def test_findings_have_stable_unique_names_and_say_what_to_do(whole):
    results, weighed = whole
    found = findings(results, weighed)
    names = [f.name for f in found]
    assert len(names) == len(set(names))
    for f in found:
        assert f.name == f.name.strip()
        assert " " not in f.name or f.name.startswith("survey.")
        if f.verdict is not Verdict.FITS:
            assert f.remedy or f.name == "exhaust.main.outlet-angle", f.name
    told = for_people(found)
    assert sum(f.name.startswith("survey.unchecked") for f in told) == 1


def test_a_tape_twice_as_rough_doubles_the_doubt():
    build = load(EXAMPLES / "estate" / "build.yaml").build
    once, twice = (
        replace(build, readings=tuple(replace(r, sd=k * r.instrument.sd(r.values[0])) for r in build.readings))
        for k in (1.0, 2.0))
    of = {w.answer.pair.name: w for w in weigh(run(once), advise=False)}
    compared = 0
    for w in weigh(run(twice), advise=False):
        one = of[w.answer.pair.name]
        if w.sd_mm and one.sd_mm and w.answer.upper_mm < 150.0:
            assert w.sd_mm == pytest.approx(2.0 * one.sd_mm, rel=0.05), w.answer.pair.name
            compared += 1
    assert compared > 10
