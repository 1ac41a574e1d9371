"""Non-linear fits against certified values.

Work: NIST Statistical Reference Datasets (StRD), non-linear regression, files Misra1a, Chwirut2, DanWood, BoxBOD and
Rat42 beside this file, untouched. Kind: published data with certified values to 11 digits.
Tolerance: 1e-6 relative on parameters, their standard deviations and the residual sum of squares, from both of the
starting points that the files give.
"""

import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from trialfit.estimation import adjust

HERE = Path(__file__).parent


def _exponential_rise(x, b):
    e = np.exp(-b[1] * x)
    return b[0] * (1 - e), np.column_stack([1 - e, b[0] * x * e])


def _power(x, b):
    p = x ** b[1]
    return b[0] * p, np.column_stack([p, b[0] * p * np.log(x)])


def _sigmoid(x, b):
    e = np.exp(b[1] - b[2] * x)
    d = 1 + e
    return b[0] / d, np.column_stack([1 / d, -b[0] * e / d**2, b[0] * x * e / d**2])


def _decay_over_line(x, b):
    e, line = np.exp(-b[0] * x), b[1] + b[2] * x
    return e / line, np.column_stack([-x * e / line, -e / line**2, -x * e / line**2])


MODELS: dict[str, Callable] = {
    "Misra1a": _exponential_rise,
    "BoxBOD": _exponential_rise,
    "DanWood": _power,
    "Rat42": _sigmoid,
    "Chwirut2": _decay_over_line,
}


def read(name: str):
    """Starts, certified values, certified standard deviations, residual sum of squares and data of one file."""
    lines = (HERE / f"{name}.dat").read_text().splitlines()
    rows = [re.findall(r"[-+.\dE]+", line.split("=")[1]) for line in lines if re.match(r"\s*b\d\s*=\s", line)]
    table = np.array([[float(v) for v in row[:4]] for row in rows])
    squares = float(next(line for line in lines if line.startswith("Residual Sum of Squares")).split()[-1])
    data = np.array([[float(v) for v in line.split()] for line in lines[60:] if line.strip()])
    return table[:, 0], table[:, 1], table[:, 2], table[:, 3], squares, data


@pytest.mark.parametrize("start", [0, 1])
@pytest.mark.parametrize("name", sorted(MODELS))
def test_fit_reaches_the_certified_values(name, start):
    first, second, certified, certified_sd, squares, data = read(name)
    y, x = data.T
    with np.errstate(over="ignore", divide="ignore", invalid="ignore"):
        fit = adjust(lambda b: MODELS[name](x, b), y, np.ones(y.size), (first, second)[start])
    assert fit.converged
    np.testing.assert_allclose(fit.unknowns, certified, rtol=1e-6)
    np.testing.assert_allclose(fit.test.squares, squares, rtol=1e-6)
    np.testing.assert_allclose(fit.test.sigma0 * np.sqrt(np.diag(fit.covariance)), certified_sd, rtol=1e-6)
