"""Threads, grades, materials, gauges and tapes: what is read and what is refused."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialfit.standards import (
    bolt_grade,
    density_kg_mm3,
    refuse_not_positive,
    refuse_outside,
    stress_area_mm2,
    table,
    tape_error,
    thread_called,
    torque_factor,
    tube_wall_by_gauge,
    weighed_density_kg_mm3,
)


@pytest.mark.parametrize("typed,name,diameter,pitch", [
    ("M10", "M10x1.5", 10.0, 1.5), ("m8", "M8x1.25", 8.0, 1.25), ("M 12 x 1.5", "M12x1.5", 12.0, 1.5),
    ("M10X1.0", "M10x1", 10.0, 1.0), ("7/16-20", "7/16-20", 11.1125, 1.27), ("1/2-20 UNF", "1/2-20", 12.7, 1.27),
    ("1-8 unc", "1-8", 25.4, 3.175),
])  # fmt: skip
def test_thread_is_read(typed, name, diameter, pitch):
    found = thread_called(typed)
    assert found.name == name
    assert (found.diameter_mm, found.pitch_mm) == pytest.approx((diameter, pitch))


@pytest.mark.parametrize("typed,said", [
    ("M10x1.3", "no metric thread 'M10x1.3' is in the table; known: M10x1, M10x1.25, M10x1.5"),
    ("M11", "no metric thread 'M11' is in the table; nearest: M"),
    ("7/16-22", "no unified thread '7/16-22' is in the table; known: 7/16-14, 7/16-20, 7/16-24, 7/16-28"),
    ("1/2-20 UNC", "'1/2-20 UNC' is of the fine series, not UNC"),
    ("bolt", "'bolt' is no thread; write M10, M10x1.25 or 7/16-20"),
    ("", "'' is no thread"),
    ("M10-20", "'M10-20' is no thread"),
    ("3/0-20", "no unified thread '3/0-20' is in the table"),
])  # fmt: skip
def test_thread_is_refused(typed, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        thread_called(typed)


def test_a_thread_that_starts_in_another_is_another_thread():
    # D08-08: M10x1 starts in a 3/8-24 port and strips it
    metric, inch = thread_called("M10x1"), thread_called("3/8-24")
    assert inch.diameter_mm == pytest.approx(9.525)
    assert inch.pitch_mm == pytest.approx(1.0583, abs=1e-4)
    assert metric != inch


@pytest.mark.parametrize("name", [*table("threads_metric").keys(), *table("threads_unified").keys()])
def test_stress_area_lies_between_root_and_nominal(name):
    found = thread_called(name)
    root = found.diameter_mm - 1.23 * found.pitch_mm
    assert 0.785 * root**2 < stress_area_mm2(found) < 0.786 * found.diameter_mm**2


@pytest.mark.parametrize("name,diameter,said", [
    ("8.9", 10.0, "no bolt grade is called '8.9'; nearest: 8.8"),
    ("8.8", 45.0, "grade 8.8 is given over 0 mm to 39 mm, not for 45 mm"),
    ("8", 40.0, "grade 8 is given over 0 mm to 38.1 mm, not for 40 mm"),
    ("8.8", 0.0, "not for 0 mm"),
])  # fmt: skip
def test_grade_is_refused(name, diameter, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        bolt_grade(name, diameter)


@pytest.mark.parametrize("row", [*table("bolt_grades_iso_898_1").rows, *table("bolt_grades_sae_j429").rows], ids=str)
def test_proof_is_below_yield_is_below_tensile(row):
    stress = [float(v) for k, v in row.items() if k.startswith(("proof", "yield", "tensile"))]
    assert stress == sorted(stress)
    assert stress[0] < stress[1] < stress[2]


def test_density_by_weight_and_by_table_tell_the_same_metal():
    for weighed, dense in (("carbon-steel", "steel"), ("aluminium", "aluminium"), ("stainless", "stainless")):
        assert weighed_density_kg_mm3(weighed) == pytest.approx(density_kg_mm3(dense), rel=0.03)


def test_unknown_finish_and_gauge():
    with pytest.raises(ValueError, match="has no finish 'zink'; nearest: zinc"):
        torque_factor("zink")
    with pytest.raises(ValueError, match="has no gauge '15'"):
        tube_wall_by_gauge("15")


@given(st.floats(1.0, 49999.0), st.sampled_from(["I", "II", "III"]))
def test_tape_error_grows_with_length_and_class(length, word):
    here = tape_error(length, word, "no", 0.0)
    assert tape_error(min(length + 1000.0, 50000.0), word, "no", 0.0) >= here
    assert tape_error(length, word, "yes", 0.0) > here
    assert tape_error(length, word, "no", 2.0) == pytest.approx(here + 2.0)
    assert tape_error(length, "I", "no", 0.0) <= here <= tape_error(length, "III", "no", 0.0)


def test_whole_metres_are_not_charged_for_the_next():
    assert tape_error(3000.0, "II", "no", 0.0) == pytest.approx(0.9)
    # three metres from inches, a hair over in the last bit
    assert tape_error(3000.0000000001, "II", "no", 0.0) == pytest.approx(0.9)
    assert tape_error(3000.1, "II", "no", 0.0) == pytest.approx(1.1)


@pytest.mark.parametrize("args,said", [
    ((0.0, "II", "no", 0.0), "length is 0 mm; it must be more than 0 mm and at most 50000 mm"),
    ((1000.0, "IV", "no", 0.0), "has no class 'IV'; nearest"),
    ((1000.0, "II", "maybe", 0.0), "hook is 'maybe'; write yes or no"),
    ((1000.0, "II", "no", -1.0), "under car is -1 mm; it must lie between 0 mm and 100 mm"),
])  # fmt: skip
def test_tape_error_is_refused(args, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        tape_error(*args)


@pytest.mark.parametrize("value,said", [
    (-0.1, "wall is -0.1 mm; it must lie between 0 mm and 5 mm"),
    (5.1, "wall is 5.1 mm; it must lie between 0 mm and 5 mm"),
    (float("nan"), "wall is no finite number"),
    (float("inf"), "wall is no finite number"),
])  # fmt: skip
def test_range_refuses_what_is_no_number_too(value, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        refuse_outside("wall", value, 0.0, 5.0, "mm")
    with pytest.raises(ValueError, match="wall is"):
        refuse_not_positive(wall=(-abs(value), "mm"))


def test_range_lets_its_ends_in():
    refuse_outside("wall", 0.0, 0.0, 5.0, "mm")
    refuse_outside("wall", 5.0, 0.0, 5.0, "mm")
    refuse_not_positive(length=(1e-9, "mm"))
    with pytest.raises(ValueError, match="rim width is -1 mm; it must be more than 0 mm"):
        refuse_not_positive(rim_width=(-1.0, "mm"))
    with pytest.raises(ValueError, match="torque is -1 N\\*m; it must be at least 0 N\\*m"):
        refuse_outside("torque", -1000.0, 0.0, float("inf"), "N*m")
