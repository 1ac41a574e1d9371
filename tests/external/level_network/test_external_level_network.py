"""Least squares and residual tests against values from outside.

Work: sample output of GNU Gama for a one-dimensional network (8 levelled differences, point 1a fixed at 1000.000 m,
a priori standard deviation 5 mm); observations and printed values as CSV beside this file. Kind: published example.
Work: K. A. Brownlee, Statistical theory and methodology, 1965, p. 454: stack-loss data (table from memory); the
residuals of point 21 come from a run of the statsmodels library. Kind: reference library.
The rest say their kind at the check.
"""

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from trialfit.estimation import adjust, left_out, normal_limit, tau_limit
from trialfit.sums import Ask, Sum, work
from trialfit.survey import solve
from trialfit.vehicle import Build, Instrument, Reading, ReadingKind, Settings

HERE = Path(__file__).parent


def rows(name):
    with (HERE / name).open(newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def network():
    seen = rows("observations.csv")
    at = {"2": 0, "3": 1, "4": 2}
    slopes, values = np.zeros((len(seen), 3)), np.zeros(len(seen))
    for i, row in enumerate(seen):
        values[i] = 1000.0 * float(row["difference_m"])
        for name, sign in ((row["from"], -1.0), (row["to"], 1.0)):
            if name == "1a":
                values[i] -= sign * 1.0e6
            else:
                slopes[i, at[name]] = sign
    return adjust(lambda x: (slopes @ x, slopes), values, np.full(len(seen), 5.0), np.full(3, 999.0e3))


def test_level_network_as_printed(network):
    sd = np.sqrt(np.diag(network.covariance))
    worst = int(np.argmax(np.abs(network.w)))
    got = [
        *(network.unknowns / 1000.0),
        network.test.squares * 25.0,
        network.test.sigma0 * 5.0,
        abs(network.w[worst]),
        worst + 1,
        *sd,
    ]
    expected = rows("expected.csv")
    assert len(expected) == len(got)
    for row, value in zip(expected, got, strict=True):
        assert value == pytest.approx(float(row["expected"]), abs=float(row["tolerance"])), row


def test_level_network_same_in_the_survey():
    """Another route to the answer: the same network as heights of a survey, each difference an inclination of a line
    so short of rise that angle times run is the rise."""
    run, at = 2.0e5, {"1a": 0.0, "2": 1.0, "3": 2.0, "4": 3.0}
    firm = Instrument("firm", "length", limit=1e-4)
    level = Instrument("level", "angle", limit=5.0 / run * math.sqrt(3.0))
    readings = []
    for name, x in at.items():
        readings.append(Reading(f"station {name}", ReadingKind.STATION, (name,), (x * run,), firm))
        readings.append(Reading(f"offset {name}", ReadingKind.OFFSET, (name,), (0.0,), firm))
    readings.append(Reading("height 1a", ReadingKind.HEIGHT, ("1a",), (2000.0,), firm))
    for row in rows("observations.csv"):
        a, b = row["from"], row["to"]
        angle = math.atan(1000.0 * float(row["difference_m"]) / (abs(at[b] - at[a]) * run))
        wide = Instrument("level", "angle", limit=level.limit / abs(at[b] - at[a]))
        readings.append(Reading(f"angle {a}-{b}", ReadingKind.ANGLE, (a, b), (angle,), wide))
    survey = solve(Build("levels", "", Settings(), tuple(readings)))
    for name, height in (("2", 999.275), ("3", 997.933), ("4", 998.775)):
        assert survey.point(name)[2] == pytest.approx(2000.0 + (height - 1000.0) * 1000.0, abs=0.5)
    for name, sd in (("2", 3.1), ("3", 3.5), ("4", 3.1)):
        assert survey.sd(name)[2] == pytest.approx(sd, abs=0.05)
    worst = max(survey.readings, key=lambda c: abs(c.w))
    assert worst.observation.points == ("2", "3")
    assert abs(worst.w) == pytest.approx(1.68, abs=0.005)


def test_stack_loss_point_21():
    table = rows("stack_loss.csv")
    slopes = np.array([[1.0, float(r["air"]), float(r["water"]), float(r["acid"])] for r in table])
    loss = np.array([float(r["loss"]) for r in table])
    fit = adjust(lambda x: (slopes @ x, slopes), loss, np.ones(loss.size), np.zeros(4))
    assert fit.studentised[20] == pytest.approx(-2.638, abs=0.001)
    assert left_out(float(fit.studentised[20]), fit.test.freedom) == pytest.approx(-3.33, abs=0.001)
    assert 1.0 - fit.redundancy[20] == pytest.approx(0.2845, abs=0.0001)


def ranges(anchors):
    anchors = np.array(anchors)

    def model(x):
        line = x - anchors
        far = np.linalg.norm(line, axis=1)
        return far, line / far[:, None]

    return model


def test_place_from_three_tapes():
    """D09-17, exact by construction (from memory)."""
    fit = adjust(
        ranges([(0.0, 0.0), (10.0, 0.0), (0.0, 10.0)]),
        np.array([5.0, math.sqrt(65.0), math.sqrt(45.0)]),
        np.full(3, 0.02),
        np.array([1.0, 1.0]),
    )
    np.testing.assert_allclose(fit.unknowns, [3.0, 4.0], atol=1e-6)


def test_long_tape_found_with_the_runner_up_close():
    """D09-18, constructed case (from memory): largest w 6.45 on tape 3, tape 2 next at 6.08."""
    fit = adjust(
        ranges([(0.0, 0.0), (10.0, 0.0), (0.0, 10.0), (10.0, 10.0)]),
        np.array([5.02, 8.05, 6.90, 9.23]),
        np.full(4, 0.02),
        np.array([3.0, 4.0]),
    )
    order = np.argsort(-np.abs(fit.w))
    assert order[0] == 2
    assert order[1] == 1
    assert abs(fit.w[2]) == pytest.approx(6.45, abs=0.01)
    assert abs(fit.w[1]) == pytest.approx(6.08, abs=0.01)


def test_tau_limit():
    """D09-08, from memory: Pope 1976; the partner is the t distribution of a general library, found by bisection."""
    from scipy.stats import t

    assert tau_limit(5, 0.05) == pytest.approx(1.8143, abs=1e-4)
    # a residual at the limit, once its own reading is left out, is a t with one freedom less
    assert 2.0 * t.sf(left_out(tau_limit(5, 0.05), 5), 4) == pytest.approx(0.05, abs=1e-9)


@pytest.mark.parametrize("chance, limit", [(0.05, 1.96), (0.001, 3.29)])
def test_normal_limits(chance, limit):
    """D09-09: 1.96 printed in the sample output named above, 3.29 from memory (Baarda 1968)."""
    assert normal_limit(chance) == pytest.approx(limit, abs=0.005)


def test_difference_of_two_readings():
    """D09-23, 100 +- 1.0 less 50 +- 0.5, from memory: law of propagation."""
    less = Sum(
        "difference",
        "",
        (Ask("a", "length", ""), Ask("b", "length", "")),
        "",
        "length",
        "mm",
        "",
        "",
        "",
        lambda a, b: a - b,
    )
    assert work(less, {"a": 100.0, "b": 50.0}, {"a": 1.0, "b": 0.5}).sd == pytest.approx(1.118, abs=1e-4)
    fit = adjust(lambda x: (x, np.eye(2)), np.array([100.0, 50.0]), np.array([1.0, 0.5]), np.zeros(2))
    g = np.array([1.0, -1.0])
    assert math.sqrt(g @ fit.covariance @ g) == pytest.approx(1.118, abs=1e-4)
