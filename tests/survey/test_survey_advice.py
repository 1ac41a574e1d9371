"""Advice against what really taking the reading does."""

import numpy as np
import pytest
from invented_vehicle import PLACES, K, build, notebook, reading, true_value

from trialfit.survey import advise, advise_for, solve


@pytest.fixture(scope="module")
def readings():
    skip = {(K.TAPE, ("pad.L", p)) for p in ("pad.R", "rear.L", "rear.R")} | {(K.STATION, ("pad.L",))}
    return [r for r in notebook(seed=None, skip=skip) if r.identity != "offset pad.L"]


def taken(survey, readings, advice):
    """The survey with the advised reading really taken, without error."""
    places = {n: survey.point(n) for n in survey.names}
    number = 1 + sum(r.kind is advice.kind and set(r.points) == set(advice.points) for r in readings)
    more = reading(advice.kind, advice.points, true_value(advice.kind, advice.points, places), number=number)
    return solve(build([*readings, more]))


@pytest.mark.parametrize("point", ["pad.L", "nose", "rear.R"])
def test_promise_for_one_hardpoint_is_kept(readings, point):
    survey = solve(build(readings))
    answers = advise(survey, point)
    assert len(answers) == 5
    assert [a.after_mm for a in answers] == sorted(a.after_mm for a in answers)
    fresh = next(a for a in answers if not any(r.kind is a.kind and set(r.points) == set(a.points) for r in readings))
    assert fresh.before_mm == pytest.approx(survey.doubt_mm(point))
    assert taken(survey, readings, fresh).doubt_mm(point) == pytest.approx(fresh.after_mm, rel=1e-3)


def test_no_other_reading_does_more(readings):
    """Another route to the answer: every possible tape and direct reading is really taken, one by one, on a part."""
    names = ("nose", "tail", "gearbox.out", "eye.L")
    some = [r for r in readings if set(r.points) <= set(names) and r.identity != "tape nose-eye.L"]
    survey = solve(build(some))
    best = advise(survey, "eye.L", 1)[0]
    fresh = [(K.TAPE, (a, b)) for i, a in enumerate(names) for b in names[i + 1 :]]
    fresh += [(K.ANGLE, (a, b)) for i, a in enumerate(names) for b in names[i + 1 :]]
    there = {(r.kind, frozenset(r.points)) for r in some}
    places = {n: survey.point(n) for n in names}
    for kind, points in fresh:
        if (kind, frozenset(points)) in there:
            continue
        after = solve(build([*some, reading(kind, points, true_value(kind, points, places))])).doubt_mm("eye.L")
        assert after >= best.after_mm - 1e-4


def test_promise_for_all_hardpoints_is_kept(readings):
    survey = solve(build(readings))

    def rms(s):
        return float(np.sqrt(np.mean([s.doubt_mm(n) ** 2 for n in s.names])))

    answers = advise(survey)
    assert answers[0].before_mm == pytest.approx(rms(survey))
    fresh = next(a for a in answers if not any(r.kind is a.kind and set(r.points) == set(a.points) for r in readings))
    assert rms(taken(survey, readings, fresh)) == pytest.approx(fresh.after_mm, rel=1e-3)
    assert fresh.after_mm < fresh.before_mm


def test_promise_for_a_distance_is_kept(readings):
    survey = solve(build([*readings, reading(K.SIZE, (), 76.2, size="tube")]))
    g = np.zeros(len(survey.covariance))
    line = survey.point("pad.L") - survey.point("nose")
    unit = line / np.linalg.norm(line)
    g[survey.columns(["pad.L"])], g[survey.columns(["nose"])], g[survey.columns(["tube"])] = unit, -unit, -0.5
    best = advise_for(survey, g)[0]
    assert best.before_mm == pytest.approx(float(np.sqrt(g @ survey.covariance @ g)))
    assert best.words == "tape from nose to pad.L"
    more = [
        *readings,
        reading(K.SIZE, (), 76.2, size="tube"),
        reading(K.TAPE, ("nose", "pad.L"), np.linalg.norm(PLACES["pad.L"] - PLACES["nose"])),
    ]
    after = solve(build(more))
    assert float(np.sqrt(g @ after.covariance @ g)) == pytest.approx(best.after_mm, rel=1e-3)


def test_quantity_that_is_a_size_asks_for_the_size():
    survey = solve(build([*notebook(), reading(K.SIZE, (), 76.2, size="tube")]))
    g = np.zeros(len(survey.covariance))
    g[survey.columns(["tube"])] = 1.0
    best = advise_for(survey, g, 1)[0]
    assert best.words == "tube once more by calliper"
    assert best.after_mm < best.before_mm


def test_repeating_a_reading_does_not_shrink_its_printed_limit():
    """A height read alone: no number of repeats may promise to go below the tape's own limit."""
    survey = solve(
        build([reading(K.STATION, ("a",), 1.0), reading(K.OFFSET, ("a",), 1.0), reading(K.HEIGHT, ("a",), 500.0)])
    )
    g = np.array([0.0, 0.0, 1.0])
    best = advise_for(survey, g, 1)[0]
    again = solve(
        build(
            [reading(K.STATION, ("a",), 1.0), reading(K.OFFSET, ("a",), 1.0)]
            + [reading(K.HEIGHT, ("a",), 500.0 - d, 500.0 + d) for d in (0.8165,)]
        )
    )
    assert best.words == "height of a"
    # two repeats whose spread is what the instrument promises: the mean is as good as was promised
    assert again.sd("a")[2] == pytest.approx(best.after_mm, rel=1e-3)
    assert best.after_mm > 0.7 / np.sqrt(3.0)


def test_nothing_solved_nothing_advised():
    assert advise(solve(build([]))) == []


def test_refusals(readings):
    survey = solve(build(readings))
    with pytest.raises(KeyError, match="no reading names it"):
        advise(survey, "nowhere")
    with pytest.raises(ValueError, match="at least 1"):
        advise(survey, most=0)
    with pytest.raises(ValueError, match="entries"):
        advise_for(survey, np.zeros(2))
