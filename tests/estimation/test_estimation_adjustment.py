"""The adjustment: against a general library, against theory by simulation, and what it refuses."""

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.sparse import csr_matrix

from trialfit.estimation import Underdetermined, adjust, assess


def ranges(anchors):
    def model(x):
        line = x - anchors
        far = np.linalg.norm(line, axis=1)
        return far, line / far[:, None]

    return model


ANCHORS = np.array([[0.0, 0, 0], [1000, 0, 0], [0, 1000, 0], [0, 0, 1000], [900, 800, 700]])


def test_same_answer_as_a_general_library():
    random = np.random.default_rng(4)
    sd = np.array([1.0, 2.0, 1.5, 1.0, 3.0])
    read = ranges(ANCHORS)(np.array([300.0, 420.0, 250.0]))[0] + sd * random.normal(size=5)
    fit = adjust(ranges(ANCHORS), read, sd, np.array([100.0, 100.0, 100.0]))
    tight = dict(xtol=1e-15, ftol=1e-15, gtol=1e-15)
    other = least_squares(lambda x: (ranges(ANCHORS)(x)[0] - read) / sd, [100.0] * 3, **tight)
    np.testing.assert_allclose(fit.unknowns, other.x, atol=1e-6)
    np.testing.assert_allclose(fit.covariance, np.linalg.inv(other.jac.T @ other.jac), rtol=1e-6)


def test_sparse_and_dense_agree():
    read, sd = np.array([500.0, 900.0, 850.0, 880.0, 700.0]), np.full(5, 2.0)
    dense = adjust(ranges(ANCHORS), read, sd, np.full(3, 100.0))

    def sparse(x):
        far, rows = ranges(ANCHORS)(x)
        return far, csr_matrix(rows)

    thin = adjust(sparse, read, sd, np.full(3, 100.0))
    np.testing.assert_allclose(thin.unknowns, dense.unknowns, atol=1e-9)
    np.testing.assert_allclose(thin.redundancy, dense.redundancy, atol=1e-12)
    np.testing.assert_allclose(thin.alike(1), dense.alike(1), atol=1e-10)


def test_redundancy_adds_up_to_the_spare_readings():
    fit = adjust(ranges(ANCHORS), np.array([500.0, 900.0, 850.0, 880.0, 700.0]), np.full(5, 2.0), np.full(3, 100.0))
    assert fit.redundancy.sum() == pytest.approx(2.0)
    assert fit.test.freedom == 2


def test_doubt_is_what_repeated_surveys_show():
    """Against theory: the error over its covariance is chi-square with as many freedoms as unknowns."""
    random = np.random.default_rng(8)
    truth, sd = np.array([300.0, 420.0, 250.0]), np.array([1.0, 2.0, 1.5, 1.0, 3.0])
    exact = ranges(ANCHORS)(truth)[0]
    errors, squares, ws = [], [], []
    for _ in range(400):
        fit = adjust(ranges(ANCHORS), exact + sd * random.normal(size=5), sd, truth, damping=1e-4)
        off = fit.unknowns - truth
        errors.append(off @ np.linalg.solve(fit.covariance, off))
        squares.append(fit.test.squares)
        ws.extend(fit.w)
    # sd of the mean of 400 chi-squares of k freedoms: sqrt(2 k / 400)
    assert np.mean(errors) == pytest.approx(3.0, abs=4 * np.sqrt(6 / 400))
    assert np.mean(squares) == pytest.approx(2.0, abs=4 * np.sqrt(4 / 400))
    assert np.std(ws) == pytest.approx(1.0, abs=0.08)


def test_blunder_estimated_with_its_doubt():
    read = ranges(ANCHORS)(np.array([300.0, 420.0, 250.0]))[0]
    read[1] += 30.0
    fit = adjust(ranges(ANCHORS), read, np.full(5, 0.5), np.full(3, 100.0))
    off, off_sd = fit.blunder(1)
    assert off == pytest.approx(30.0, abs=2.0)
    without = adjust(ranges(ANCHORS[[0, 2, 3, 4]]), read[[0, 2, 3, 4]], np.full(4, 0.5), np.full(3, 100.0))
    row = ranges(ANCHORS)(without.unknowns)[1][1]
    assert off_sd == pytest.approx(np.sqrt(0.25 + row @ without.covariance @ row), rel=0.02)


def test_the_pair_that_cannot_be_told_apart_is_alike():
    fit = adjust(lambda x: (np.array([x[0], x[0]]), np.ones((2, 1))), np.array([1.0, 2.0]), np.ones(2), np.zeros(1))
    assert abs(fit.alike(0)[1]) == pytest.approx(1.0)


def test_unheld_unknowns_are_named():
    slopes = np.array([[1.0, 0, 0, 0], [0, 1.0, 1.0, 0], [0, 2.0, 2.0, 0], [1.0, 0, 0, 0]])
    with pytest.raises(Underdetermined) as fault:
        adjust(lambda x: (slopes @ x, slopes), np.ones(4), np.ones(4), np.zeros(4))
    assert fault.value.unknowns == (1, 2, 3)


def test_nothing_to_spare_leaves_no_test():
    fit = adjust(lambda x: (x, np.eye(2)), np.array([1.0, 2.0]), np.ones(2), np.zeros(2))
    assert fit.test.sigma0 is None
    assert fit.studentised is None
    np.testing.assert_allclose(fit.w, 0.0)
    assert fit.blunder(0)[1] == np.inf


@pytest.mark.parametrize(
    "read, sd",
    [
        ([1.0, np.nan], [1.0, 1.0]),
        ([1.0, 2.0], [1.0, 0.0]),
        ([1.0, 2.0], [1.0]),
        ([1.0, 2.0], [1.0, -1.0]),
        ([1.0, np.inf], [1.0, 1.0]),
    ],
)
def test_refuses_what_is_no_reading(read, sd):
    with pytest.raises(ValueError, match=r"finite|above 0|as many"):
        adjust(lambda x: (np.array([x[0], x[0]]), np.ones((2, 1))), np.array(read), np.array(sd), np.zeros(1))


def test_refuses_a_start_without_numbers():
    with pytest.raises(ValueError, match="no finite numbers"):
        adjust(lambda x: (x * np.nan, np.eye(1)), np.ones(1), np.ones(1), np.zeros(1))


def test_assess_takes_the_unknowns_as_they_are():
    fit = assess(lambda x: (np.array([x[0], x[0]]), np.ones((2, 1))), np.array([1.0, 2.0]), np.ones(2), np.array([5.0]))
    np.testing.assert_allclose(fit.residuals, [-4.0, -3.0])
