"""What nothing holds stands out, and the readings that would hold it are few."""

import numpy as np
import pytest
from scipy.sparse import csr_matrix

from trialfit.estimation import fixing_readings, held_covariance


def test_what_is_held_comes_out_as_without_the_prior():
    slopes, sd = np.array([[1.0, 1.0, 0.0], [1.0, -1.0, 0.0], [1.0, 0.0, 0.0]]), np.array([1.0, 2.0, 0.5])
    held = held_covariance(csr_matrix(slopes), sd, 1e5)
    weighted = slopes[:, :2] / sd[:, None]
    np.testing.assert_allclose(held[:2, :2], np.linalg.inv(weighted.T @ weighted), rtol=1e-4)
    assert np.sqrt(held[2, 2]) == pytest.approx(1e5)


def test_one_reading_fixes_two_that_hang_together():
    held = held_covariance(np.array([[1.0, -1.0]]), np.array([1.0]), 1e5)
    assert fixing_readings(held, [0, 1], 100.0) == [0]
    assert fixing_readings(held, [1, 0], 100.0) == [1]


def test_a_poor_reading_is_not_a_missing_one():
    assert fixing_readings(np.diag([25.0, 9.0]), [0, 1], 100.0) == []


def test_refuses_a_prior_of_nothing():
    with pytest.raises(ValueError, match="above 0"):
        held_covariance(np.eye(2), np.ones(2), 0.0)
