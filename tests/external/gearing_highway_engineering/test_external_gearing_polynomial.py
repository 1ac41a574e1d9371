"""Top speed against the roots of the cubic in ft, lb and s. Kind: another route to the answer (numpy's roots)."""

import numpy as np
import pytest

from trialfit.driveline.road_load import top_speed_for_power

FT, LBF_FT_S = 304.8, 1.3558179483314004


@pytest.mark.parametrize("power_hp, weight_lb, cd, area_ft2, rolling, grade_force", [
    (50.0, 2500.0, 0.38, 20.0, 0.010, 0.0), (120.0, 3400.0, 0.28, 19.8, 0.012, 0.0),
    (7.476, 420.0, 1.08, 14.0, 0.068, 0.0), (250.0, 5200.0, 0.55, 32.0, 0.015, 0.0),
])  # fmt: skip
def test_top_speed_is_the_root_of_the_cubic(power_hp, weight_lb, cd, area_ft2, rolling, grade_force):
    rho = 0.002378  # slug/ft3
    roots = np.roots([0.5 * rho * cd * area_ft2, 0.0, rolling * weight_lb + grade_force, -550.0 * power_hp])
    feet = max(float(r.real) for r in roots if abs(r.imag) < 1e-9)
    slug_ft3 = 14.593902937206364 / FT**3
    ours = top_speed_for_power(
        550.0 * power_hp * LBF_FT_S, 0.45359237 * weight_lb, cd, area_ft2 * FT**2, rolling, 0.0, 0.0, rho * slug_ft3
    )
    assert ours / FT == pytest.approx(feet, rel=1e-6)
