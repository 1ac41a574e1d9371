"""Sentences told in the builder's own unit."""

import pytest

from trialfit.units import parse, retold


@pytest.mark.parametrize(
    "sentence, told",
    [
        ("31.75 mm clear", "1 1/4 in clear"),
        ("move them 7 mm further apart", "move them 1/4 in +0.7 mm further apart"),
        ("off by -12.7 mm", "off by -1/2 in"),
        ("2000 N/mm and 12 mm2 and 3 mm/s", "2000 N/mm and 12 mm2 and 3 mm/s"),
        ("at 76 mm bump, left wheel up 2.0 deg", "at 3 in -0.2 mm bump, left wheel up 2.0 deg"),
        ("nothing to tell", "nothing to tell"),
    ],
)
def test_lengths_become_inches_and_nothing_else_changes(sentence, told):
    assert retold(sentence, "inch") == told
    assert retold(sentence, "metric") == sentence


def test_paper_keeps_both():
    assert retold("1287 mm, give or take 5 mm", "metric", 32, both=True) == (
        "1287 mm (50 21/32 in +0.3 mm), give or take 5 mm (0.20 in)")


@pytest.mark.parametrize("mm", [6.0, 19.0, 25.4, 411.3, 1287.0])
def test_what_is_told_reads_back_as_the_same_length(mm):
    inches = retold(f"{mm} mm", "inch")
    fraction, _, rest = inches.partition(" in")
    remainder = float(rest.replace(" mm", "") or 0.0)
    assert parse(f"{fraction} in", "length").value + remainder == pytest.approx(mm, abs=0.051)
