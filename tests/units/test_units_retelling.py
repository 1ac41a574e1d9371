"""Sentences told in the builder's own unit."""

import pytest

from trialfit.units import nominal, parse, retold


@pytest.mark.parametrize(
    "sentence, told",
    [
        ("31.75 mm clear", "1.250 in clear"),
        ("38.1 mm clear", "1 1/2 in clear"),
        ("0.40 to 0.05 mm of play", "0.016 to 0.002 in of play"),
        ("known to 0.6 mm where 2.54 to 0.80 mm is asked", "known to 0.02 in where 0.100 to 0.031 in is asked"),
        ("heave -88.9 to 76.2 mm", "heave -3 1/2 in to 3 in"),
        ("between 120.652 mm and 120.700 mm", "between 4.7501 in and 4.7520 in"),
        ("pitch 1.270 mm against 1.250 mm", "pitch 0.0500 in against 0.0492 in"),
        ("between 15.75 mm and 15.86 mm (15.75 mm H11)", "between 0.620 in and 0.624 in (15.75 mm H11)"),
        ("the holes of hub 2 to 12.5 mm", "the holes of hub 2 to 1/2 in -0.2 mm"),
        ("tube 60.3 x 2 mm", "tube 2.37 x 0.08 in"),
        ("M10 x 30 mm", "M10 x 1 3/16 in -0.2 mm"),
        ("0.00 mm past the nut", "0.000 in past the nut"),
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


def test_a_name_is_no_length():
    sentence = f"24 cone for {nominal('8 mm L')}, tube of 8 mm"
    assert retold(sentence, "inch") == "24 cone for 8 mm L, tube of 5/16 in +0.1 mm"
    assert retold(sentence, "metric") == "24 cone for 8 mm L, tube of 8 mm"
    assert retold(sentence, "metric", both=True) == "24 cone for 8 mm L, tube of 8 mm (5/16 in +0.1 mm)"


def test_paper_tells_both_ends_of_a_range_behind_it():
    assert retold("0.10 to 0.80 mm is asked", "metric", both=True) == "0.10 to 0.80 mm (0.004 to 0.031 in) is asked"


def test_paper_keeps_both():
    assert retold("1287 mm, give or take 5 mm", "metric", 32, both=True) == (
        "1287 mm (50 21/32 in +0.3 mm), give or take 5 mm (0.20 in)")


@pytest.mark.parametrize("mm", [6.0, 19.0, 25.4, 411.3, 1287.0])
def test_what_is_told_reads_back_as_the_same_length(mm):
    inches = retold(f"{mm} mm", "inch")
    fraction, _, rest = inches.partition(" in")
    remainder = float(rest.replace(" mm", "") or 0.0)
    assert parse(f"{fraction} in", "length").value + remainder == pytest.approx(mm, abs=0.051)
