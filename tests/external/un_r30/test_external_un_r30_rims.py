"""UN Regulation No. 30: nominal rim diameters (from memory) against 25.4 mm for each inch of the code. Kind: another
route to the answer."""

import pytest

from trialfit.standards import table


@pytest.mark.parametrize("code", table("rim_codes_un_r30").keys())
def test_rim_is_the_code_in_inches_to_the_nearest_mm(code):
    assert abs(table("rim_codes_un_r30").number(code, "rim_mm") - 25.4 * float(code)) <= 0.5
