"""Planted misreads are named, with the slip behind them; what cannot be told apart is said to be so."""

import math

import numpy as np
import pytest
from invented_vehicle import PLACES, K, build, notebook, reading, spoil

from trialfit.survey import solve


def near_truth(survey, within=8.0):
    for name in survey.names:
        np.testing.assert_allclose(survey.point(name), PLACES[name], atol=within)


@pytest.mark.parametrize(
    "identity, by, guess",
    [
        ("tape eye.L-pad.L", 304.8, "one foot too long"),
        ("tape eye.R-rear.R", -304.8, "one foot too short"),
        ("tape gearbox.out-eye.L", 100.0, "100 mm too long, as when measured from the 100 mm mark"),
        ("tape pad.L-pad.R", 25.4, "one inch too long"),
        ("height pinion", -1000.0, "1000 mm too short"),
        ("station eye.R", 100.0, "100 mm too long, as when measured from the 100 mm mark"),
    ],
)
@pytest.mark.parametrize("seed", [1, 2])
def test_one_planted_misread_is_named_with_its_slip(identity, by, guess, seed):
    survey = solve(build(spoil(notebook(seed=seed), identity, by=by, typed=f"{identity} -")))
    worst = survey.suspects[0]
    assert worst.reading == identity
    assert not worst.either_of
    assert worst.off == pytest.approx(by, abs=4.0 * worst.off_sd)
    assert guess in worst.guess
    near_truth(survey)
    assert not survey.test.too_wide
    assert survey.test_all.too_wide


def test_several_misreads_are_all_named_worst_first():
    planted = {"tape eye.L-pad.L": 304.8, "height pinion": -100.0, "offset tail": 50.0, "tape nose-tail": 1000.0}
    readings = notebook(seed=4)
    for identity, by in planted.items():
        readings = spoil(readings, identity, by=by)
    survey = solve(build(readings))
    assert [s.reading for s in survey.suspects] == sorted(planted, key=lambda i: -abs(planted[i]))
    for s in survey.suspects:
        assert s.off == pytest.approx(planted[s.reading], abs=4.0 * s.off_sd)
    near_truth(survey)


def test_angle_with_the_wrong_sign():
    readings = notebook(seed=3)
    angle = next(r for r in readings if r.identity == "angle nose-tail").values[0]
    survey = solve(build(spoil(readings, "angle nose-tail", to=-angle, typed="angle nose tail 6.0 deg")))
    (worst,) = survey.suspects
    assert worst.is_angle
    assert worst.guess == "the sign: up for down"


def test_offset_on_the_wrong_side():
    readings = notebook(seed=3)
    survey = solve(build(spoil(readings, "offset eye.L", to=462.0, typed="offset eye.L 462 mm right")))
    (worst,) = survey.suspects
    assert worst.reading == "offset eye.L"
    assert "the sign: left for right" in worst.guess


def test_tape_hooked_on_the_twin():
    places = {**PLACES, "ll.R": PLACES["ll.R"] + np.array([220.0, 0.0, 0.0])}
    readings = notebook(places, seed=3)
    wrong = float(np.linalg.norm(places["tail"] - places["ll.R"]))
    survey = solve(build(spoil(readings, "tape tail-ll.L", to=wrong, typed=f"tape tail ll.L {wrong:.0f} mm")))
    assert survey.suspects[0].reading == "tape tail-ll.L"
    assert "taken at ll.R instead of ll.L" in survey.suspects[0].guess


def test_swapped_digits():
    readings = notebook(seed=3)
    true = next(r for r in readings if r.identity == "tape nose-tail").values[0]
    text = f"{true:.0f}"
    swapped = text[1] + text[0] + text[2:]
    survey = solve(build(spoil(readings, "tape nose-tail", to=float(swapped), typed=f"tape nose tail {swapped} mm")))
    (worst,) = survey.suspects
    assert worst.guess == f"swapped digits ({swapped} for {text})"


def test_two_heights_that_contradict_are_both_named_and_owned_up_to():
    readings = [
        reading(K.STATION, ("a",), 1.0),
        reading(K.OFFSET, ("a",), 1.0),
        reading(K.HEIGHT, ("a",), 100.0),
        reading(K.HEIGHT, ("a",), 140.0, number=2),
    ]
    survey = solve(build(readings))
    assert not survey.ambiguous
    assert {s.reading for s in survey.suspects} == {"height a", "height a #2"}
    for s in survey.suspects:
        assert set(s.either_of) == {"height a", "height a #2"}
    # either may be right, so the doubt must reach from the middle to both
    assert survey.point("a")[2] == pytest.approx(120.0, abs=0.5)
    assert survey.sd("a")[2] >= 15.0


def test_one_spare_reading_cannot_tell_which():
    readings = [
        reading(k, (p,), PLACES[p][a])
        for p in ("nose", "eye.L", "eye.R")
        for k, a in ((K.STATION, 0), (K.OFFSET, 1), (K.HEIGHT, 2))
    ]
    firm = [reading(r.kind, r.points, r.values[0], sd=0.05) for r in readings]
    ends = [
        reading(K.TAPE, (p, "tail"), np.linalg.norm(PLACES[p] - PLACES["tail"])) for p in ("nose", "eye.L", "eye.R")
    ]
    survey = solve(build([*firm, *ends, reading(K.HEIGHT, ("tail",), 438.0 + 60.0)], [("tail", "above", "eye.L")]))
    named = {s.reading for s in survey.suspects}
    assert "height tail" in named
    assert len(named) > 1
    assert all(set(s.either_of) == named for s in survey.suspects)
    # the truth lies within the doubt that is owned up to
    off = survey.point("tail") - PLACES["tail"]
    assert off @ np.linalg.solve(survey.covariance_of(["tail"]), off) < 9.0


def test_clean_notebooks_raise_few_alarms():
    alarms = sum(bool(solve(build(notebook(seed=seed))).suspects) for seed in range(20, 32))
    # one in twenty by design: more than four in twelve would have a chance of 1 in 4,000
    assert alarms <= 4


def test_a_reading_nothing_checks_and_the_point_that_hangs_on_it():
    readings = [
        *notebook(seed=1),
        *[reading(k, ("tip",), v) for k, v in ((K.STATION, 700.0), (K.OFFSET, 0.0), (K.HEIGHT, 450.0))],
    ]
    survey = solve(build(readings))
    alone = {"station tip", "offset tip", "height tip"}
    assert alone <= set(survey.unchecked_readings)
    assert "tip" in survey.unchecked_points
    assert "nose" not in survey.unchecked_points
    without = solve(build(readings[:-3]))
    assert set(survey.unchecked_readings) - alone == set(without.unchecked_readings)
    checked = {c.observation.identity: c for c in survey.readings}
    assert checked["height tip"].shows_from == math.inf
    assert checked["tape nose-tail"].shows_from < 25.0


def test_size_read_twice_is_checked_by_itself():
    once = solve(build([reading(K.SIZE, (), 76.2, size="tube")]))
    twice = solve(build([reading(K.SIZE, (), 76.2, 76.3, size="tube")]))
    assert once.unchecked_readings == ("size tube",)
    assert twice.unchecked_readings == ()


def test_redundancy_adds_up():
    survey = solve(build(notebook(seed=1)))
    assert sum(c.redundancy for c in survey.readings) == pytest.approx(survey.test.freedom, abs=1e-6)
