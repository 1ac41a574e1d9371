"""Growth of hot pipe: scaling and refusals."""

import re

import pytest

from trialfit.exhaust.growth import growth_by_coefficient, thermal_growth
from trialfit.sums import find_sum, work


def test_heating_and_cooling_undo_one_another_and_lengths_add():
    assert growth_by_coefficient(3000.0, -200.0, 12e-6) == -growth_by_coefficient(3000.0, 200.0, 12e-6)
    whole = thermal_growth(3000.0, 400.0, "304-hot")
    assert thermal_growth(1000.0, 400.0, "304-hot") + thermal_growth(2000.0, 400.0, "304-hot") == pytest.approx(whole)


def test_the_hot_figure_of_a_grade_is_larger():
    assert thermal_growth(1000.0, 500.0, "304-hot") > thermal_growth(1000.0, 500.0, "304")


@pytest.mark.parametrize("name,values,said", [
    ("thermal-growth", {"length": 3000.0, "rise": 300.0, "metal": "309"}, "has no metal '309'; nearest:"),
    ("thermal-growth", {"length": 0.0, "rise": 300.0}, "length is 0 mm; it must be more than 0 mm"),
    ("thermal-growth", {"length": 1.0, "rise": 1300.0}, "rise is 1300 K; it must lie between -300 K and 1000 K"),
    ("thermal-growth-by-coefficient", {"length": 1.0, "rise": 1.0, "coefficient": 12.0}, "coefficient is 12 1/K"),
])  # fmt: skip
def test_refused(name, values, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        work(find_sum(name), values, {})
