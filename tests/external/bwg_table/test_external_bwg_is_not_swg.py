"""The British standard wire gauge (16 = 0.064 in, 18 = 0.048 in, D04-31) is not the gauge of tube walls. Kind:
standard's table."""

import pytest


@pytest.mark.parametrize("gauge,wire_in", [("16", 0.064), ("18", 0.048)])
def test_tube_gauge_is_not_the_wire_gauge(shell, gauge, wire_in):
    assert shell("tube-wall-by-gauge", f"gauge={gauge}", "in") - wire_in == pytest.approx(0.001, abs=1e-9)
