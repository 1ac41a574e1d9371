"""Readings to hardpoints: known truth, properties, what is missing, what cannot be told."""

import math

import numpy as np
import pytest
from invented_vehicle import PLACES, K, build, notebook, reading, spoil
from scipy.optimize import least_squares

from trialfit.survey import plain, solve
from trialfit.survey.start import net_of


def test_exact_readings_give_the_very_places():
    survey = solve(build(notebook()))
    assert set(survey.names) == set(PLACES)
    assert not survey.suspects
    for name, place in PLACES.items():
        np.testing.assert_allclose(survey.point(name), place, atol=1e-4)


def test_errors_are_as_large_as_the_doubt_says():
    """Against theory: over many surveys the error over its covariance is chi-square."""
    errors, squares, freedom = [], [], 0
    for seed in range(12):
        survey = solve(build(notebook(seed=seed)))
        assert set(survey.names) == set(PLACES)
        off = (survey.xyz_mm - np.array([PLACES[n] for n in survey.names])).ravel()
        errors.append(float(off @ np.linalg.solve(survey.covariance, off)))
        squares.append(survey.test_all.squares)
        freedom = survey.test_all.freedom
    k = 3 * len(PLACES)
    assert np.mean(errors) == pytest.approx(k, abs=4.0 * math.sqrt(2.0 * k / 12))
    assert np.mean(squares) == pytest.approx(freedom, abs=4.0 * math.sqrt(2.0 * freedom / 12))


def test_second_opinion_of_a_general_library():
    readings = notebook(seed=3)
    survey = solve(build(readings))
    assert not survey.suspects
    net = net_of([c.observation for c in survey.readings], survey.names)
    start = np.array([PLACES[n] for n in net.names]).ravel()
    tight = dict(xtol=1e-15, ftol=1e-15, gtol=1e-15)
    other = least_squares(lambda x: (net.eqs.computed(x) - net.eqs.value) / net.eqs.sd, start, **tight)
    np.testing.assert_allclose(survey.xyz_mm.ravel(), other.x, atol=1e-3)
    np.testing.assert_allclose(survey.covariance, np.linalg.inv(other.jac.T @ other.jac), rtol=1e-3, atol=1e-4)


def test_derivatives_are_those_of_the_readings():
    survey = solve(build(notebook(seed=3)))
    net = net_of([c.observation for c in survey.readings], survey.names)
    x = survey.xyz_mm.ravel() + np.random.default_rng(1).normal(0.0, 20.0, survey.xyz_mm.size)
    rows = net.eqs.model(x)[1].toarray()
    for k in range(x.size):
        step = np.zeros(x.size)
        step[k] = 0.01
        slope = (net.eqs.computed(x + step) - net.eqs.computed(x - step)) / 0.02
        np.testing.assert_allclose(rows[:, k], slope, atol=1e-6)


def test_datum_shift_moves_everything_and_changes_nothing():
    shift = np.array([731.0, 0.0, 0.0])
    plain = solve(build(notebook(seed=5)))
    moved = [
        r if r.kind is not K.STATION else reading(K.STATION, r.points, r.values[0] + 731.0, sd=r.instrument.sd(0.0))
        for r in notebook(seed=5)
    ]
    firm = [
        r if r.kind is not K.STATION else reading(K.STATION, r.points, r.values[0], sd=r.instrument.sd(0.0))
        for r in notebook(seed=5)
    ]
    here, there = solve(build(firm)), solve(build(moved))
    np.testing.assert_allclose(there.xyz_mm - here.xyz_mm, np.tile(shift, (len(here.names), 1)), atol=1e-4)
    np.testing.assert_allclose(there.covariance, here.covariance, rtol=1e-4, atol=1e-5)
    assert plain.names == here.names


def test_mirrored_vehicle_gives_mirrored_places():
    flip = np.array([1.0, -1.0, 1.0])
    readings = notebook(seed=6)
    mirrored = [r if r.kind is not K.OFFSET else reading(K.OFFSET, r.points, -r.values[0]) for r in readings]
    here, there = solve(build(readings)), solve(build(mirrored))
    np.testing.assert_allclose(there.xyz_mm, here.xyz_mm * flip, atol=1e-4)
    signs = np.tile(flip, len(here.names))
    np.testing.assert_allclose(there.covariance, here.covariance * np.outer(signs, signs), rtol=1e-4, atol=1e-6)


def test_order_of_the_notebook_does_not_matter():
    readings = notebook(seed=7)
    here, there = solve(build(readings)), solve(build(readings[::-1]))
    for name in here.names:
        np.testing.assert_allclose(there.point(name), here.point(name), atol=1e-3)


@pytest.mark.parametrize("identity", ["tape nose-tail", "height eye.L", "station pad.R", "offset pinion"])
def test_a_reading_wrong_by_a_metre_does_not_carry_the_start_away(identity):
    survey = solve(build(spoil(notebook(seed=2), identity, by=1000.0)))
    assert survey.suspects[0].reading == identity
    assert survey.suspects[0].guess == "1000 mm too long"
    for name, place in PLACES.items():
        np.testing.assert_allclose(survey.point(name), place, atol=12.0)


def test_covariance_blocks_follow_the_names():
    survey = solve(build([*notebook(seed=1), reading(K.SIZE, (), 76.2, size="axle tube")]))
    block = survey.covariance_of(["pad.L", "axle tube", "nose"])
    assert block.shape == (7, 7)
    np.testing.assert_allclose(np.sqrt(np.diag(block))[:3], survey.sd("pad.L"))
    assert survey.size("axle tube")[0] == pytest.approx(76.2)
    assert math.sqrt(block[3, 3]) == pytest.approx(survey.size("axle tube")[1])
    assert survey.doubt_mm("pad.L") >= survey.sd("pad.L").max()


def test_point_with_too_few_readings_says_what_to_measure():
    readings = [*notebook(seed=1), reading(K.TAPE, ("nose", "tip"), 400.0)]
    survey = solve(build(readings))
    assert "tip" not in survey.names
    assert len(survey.names) == len(PLACES)
    (missing,) = survey.unsolved
    assert missing.point == "tip"
    assert missing.measure.startswith("tip: its height and its offset are missing; measure height tip and offset tip")
    assert "tapes to two of" in missing.measure
    with pytest.raises(KeyError, match="its height and its offset are missing"):
        survey.point("tip")


def test_what_hangs_on_an_unsolved_point_is_unsolved_too():
    readings = [
        *notebook(seed=1),
        reading(K.TAPE, ("nose", "tip"), 400.0),
        reading(K.HEIGHT, ("end",), 300.0),
        reading(K.TAPE, ("tip", "end"), 200.0),
        reading(K.TAPE, ("nose", "end"), 500.0),
    ]
    survey = solve(build(readings))
    assert {u.point for u in survey.unsolved} == {"tip", "end"}
    assert "also hangs on" in survey.why_not("end")


def test_the_advised_readings_do_solve_it():
    readings = [*notebook(seed=1), reading(K.TAPE, ("nose", "tip"), 400.0)]
    more = [reading(K.HEIGHT, ("tip",), 300.0), reading(K.OFFSET, ("tip",), 5.0)]
    survey = solve(build([*readings, *more], [("tip", "ahead", "nose")]))
    assert survey.has("tip")
    assert survey.point("tip")[0] < PLACES["nose"][0]


def test_tapes_alone_are_tied_to_nothing():
    survey = solve(build([r for r in notebook(seed=1) if r.kind is K.TAPE]))
    assert survey.names == ()
    (tie,) = survey.ties
    assert "the floor, the centre line and the datum" in tie
    assert tie.count("height") == 3
    assert tie.count("offset") + tie.count("station") == 3


def test_tapes_and_heights_lack_the_centre_line_and_the_datum():
    survey = solve(build([r for r in notebook(seed=1) if r.kind in (K.TAPE, K.HEIGHT)]))
    (tie,) = survey.ties
    assert "to the centre line and the datum" in tie
    assert "floor" not in tie


MIRROR = [
    reading(kind, (p,), PLACES[p][axis])
    for p in ("nose", "tail", "gearbox.out")
    for axis, kind in enumerate((K.STATION, K.OFFSET, K.HEIGHT))
]
MIRROR += [reading(K.HEIGHT, ("eye.L",), 364.0)]
MIRROR += [reading(K.TAPE, (p, "eye.L"), np.linalg.norm(PLACES[p] - PLACES["eye.L"])) for p in ("nose", "gearbox.out")]


def test_mirror_image_is_asked_about_not_chosen():
    survey = solve(build(MIRROR))
    assert "eye.L" not in survey.names
    (open_,) = survey.ambiguous
    assert open_.point == "eye.L"
    assert open_.question.startswith("is eye.L left or right of the centre line? add 'sides: eye.L: ")
    sides = sorted(place[1] for place in open_.places)
    assert sides[0] < 0.0 < sides[1]


@pytest.mark.parametrize("side, sign", [("left", -1.0), ("right", 1.0)])
def test_the_builders_sign_settles_it(side, sign):
    survey = solve(build(MIRROR, [("eye.L", side)]))
    assert not survey.ambiguous
    assert math.copysign(1.0, survey.point("eye.L")[1]) == sign


def test_sign_against_another_hardpoint_settles_it():
    survey = solve(build(MIRROR, [("nose", "right", "eye.L")]))
    assert survey.point("eye.L")[1] < 0.0


def test_a_later_reading_settles_it():
    survey = solve(
        build(
            [
                *MIRROR,
                *[
                    reading(k, ("eye.R",), PLACES["eye.R"][a])
                    for k, a in ((K.STATION, 0), (K.OFFSET, 1), (K.HEIGHT, 2))
                ],
                reading(K.TAPE, ("eye.L", "eye.R"), 920.0),
            ]
        )
    )
    assert not survey.ambiguous
    np.testing.assert_allclose(survey.point("eye.L"), PLACES["eye.L"], atol=5.0)


def test_a_sign_that_the_readings_deny_is_told():
    survey = solve(build(notebook(seed=1), [("pad.L", "right")]))
    (words,) = survey.broken_hints
    assert words == "pad.L is said to be right, the readings put it on the other side"


def test_axle_known_only_as_one_piece_is_fitted_in():
    axle = ("pinion", "pad.L", "pad.R", "ll.L", "ll.R")
    frame = [n for n in PLACES if n not in axle]
    pairs = [(a, b) for i, a in enumerate(axle) for b in axle[i + 1 :]]
    pairs += [
        ("pad.L", "eye.L"),
        ("pad.L", "rear.L"),
        ("pad.R", "eye.R"),
        ("pad.R", "rear.R"),
        ("pinion", "gearbox.out"),
        ("pinion", "eye.L"),
        ("ll.L", "eye.R"),
        ("ll.R", "tail"),
        ("pad.L", "tail"),
        ("ll.R", "rear.L"),
    ]
    readings = [
        reading(k, (n,), PLACES[n][a]) for n in frame for k, a in ((K.STATION, 0), (K.OFFSET, 1), (K.HEIGHT, 2))
    ]
    readings += [reading(K.TAPE, p, np.linalg.norm(PLACES[p[0]] - PLACES[p[1]])) for p in pairs]
    survey = solve(build(readings, [("pad.L", "left"), ("pinion", "below", "gearbox.out")]))
    assert not survey.ambiguous
    for name in axle:
        np.testing.assert_allclose(survey.point(name), PLACES[name], atol=1.0)


def test_inclination_and_tape_place_a_point():
    readings = [
        *notebook(seed=None),
        reading(K.TAPE, ("tail", "tip"), 500.0),
        reading(K.ANGLE, ("tail", "tip"), math.radians(10.0)),
        reading(K.OFFSET, ("tip",), -11.0),
    ]
    survey = solve(build(readings, [("tip", "behind", "tail")]))
    wanted = PLACES["tail"] + 500.0 * np.array([math.cos(math.radians(10.0)), 0.0, math.sin(math.radians(10.0))])
    np.testing.assert_allclose(survey.point("tip"), wanted, atol=0.5)


@pytest.mark.parametrize(
    "readings",
    [
        [],
        [reading(K.TAPE, ("a", "b"), 500.0)],
        [reading(K.HEIGHT, ("a",), 500.0)],
        [reading(K.SIZE, (), 50.0, size="t")],
        [reading(K.TAPE, ("a", "b"), math.nan)],
        [reading(K.TAPE, ("a", "b"), 0.0)],
        [reading(K.TAPE, ("a", "a"), 3.0)],
        [reading(K.TAPE, ("a",), 3.0)],
        [reading(K.ANGLE, ("a", "b"), 2.0)],
        [reading(K.TAPE, ("a", "b"))],
        [reading(K.HEIGHT, ("a",), math.inf)],
        [reading(K.TAPE, ("a", "b"), -5.0)],
        [reading(K.ANGLE, ("a", "b", "a", "b"), 0.1)],
    ],
)
def test_scraps_of_a_notebook_give_an_answer_not_a_fault(readings):
    survey = solve(build(readings))
    for name in {p for r in readings for p in r.points}:
        assert survey.why_not(name) or survey.has(name)
    if any(
        not r.values or not all(map(math.isfinite, r.values)) or (r.kind is K.TAPE and min(r.values) <= 0.0)
        for r in readings
    ):
        assert survey.problems
    assert plain(survey)["hardpoints"] == {}


def test_points_that_coincide_are_solved_side_by_side():
    twice = [
        reading(k, (n,), v) for n in ("a", "b") for k, v in ((K.STATION, 100.0), (K.OFFSET, 5.0), (K.HEIGHT, 30.0))
    ]
    survey = solve(build([*twice, reading(K.TAPE, ("a", "b"), 0.4)]))
    assert np.all(np.isfinite(survey.xyz_mm))
    assert np.linalg.norm(survey.point("a") - survey.point("b")) < 3.0


def test_unusable_readings_are_named_and_the_rest_is_solved():
    survey = solve(build([*notebook(seed=1), reading(K.TAPE, ("nose", "tail"), math.nan, number=2)]))
    assert len(survey.names) == len(PLACES)
    (problem,) = survey.problems
    assert problem.reading == "tape nose-tail #2"
    assert problem.reason == "its value is not a finite number"


def test_two_readings_of_one_name_both_count():
    readings = [*notebook(seed=1), reading(K.TAPE, ("nose", "tail"), np.linalg.norm(PLACES["nose"] - PLACES["tail"]))]
    survey = solve(build(readings))
    assert {"tape nose-tail", "tape nose-tail #2"} <= {c.observation.identity for c in survey.readings}
