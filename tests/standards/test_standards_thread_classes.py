"""Classes of threads and general tolerances: formulas against what is printed, and refusals."""

import math
import re

import pytest

from trialfit.standards.clearance_holes import FITS, clearance_hole
from trialfit.standards.general_tolerances import general_tolerance, general_tolerance_angle
from trialfit.standards.table import table
from trialfit.standards.thread_tolerances import (
    class_limits,
    crest_tolerance_by_formula_um,
    pitch_tolerance_by_formula_um,
    thread_limit,
)
from trialfit.standards.threads import thread_called

R40 = (100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280, 300, 315, 335,
       355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750, 800, 850, 900, 950)  # fmt: skip


def step(value: float) -> int:
    """Place in the series R40."""
    decade = 10.0 ** (math.floor(math.log10(value)) - 2)
    return R40.index(round(value / decade)) + 40 * round(math.log10(decade))


def pairs(name: str, by_formula):
    for row in table(name).rows:
        for column, cell in row.items():
            found = re.fullmatch(r"(td2_|nut2_|td1_|td)(\d)_um", column)
            if found and cell:
                yield by_formula(row, found[1], int(found[2])), float(cell)


def test_printed_pitch_tolerances_lie_within_one_step_of_r40_of_the_formula():
    found = list(pairs("iso_965_pitch_diameters", lambda row, which, grade: pitch_tolerance_by_formula_um(
        float(row["to_mm"]), float(row["pitch_mm"]), grade, which == "nut2_")))  # fmt: skip
    assert len(found) == 205
    # three-place numbers such as 47.5 are no printed value: the standard prints 48
    near = [(round(a), b) for a, b in found]
    assert sum(a == b for a, b in near) >= 175
    assert all(abs(a - b) <= 0.075 * b for a, b in near)


def test_printed_crest_tolerances_lie_within_one_step_of_r40_of_the_formula():
    found = list(pairs("iso_965_crests", lambda row, which, grade: crest_tolerance_by_formula_um(
        float(row["pitch_mm"]), grade, which == "td1_")))  # fmt: skip
    assert len(found) == 94
    assert sum(a == b for a, b in found) == 79
    assert all(abs(step(a) - step(b)) <= 1 for a, b in found)


@pytest.mark.parametrize("thread", ["M6", "M8x1", "M10", "M10x1.25", "M12x1.5", "M14x1.5", "M16", "M24x2"])
def test_a_bolt_always_goes_into_its_nut(thread):
    bolt, nut = class_limits(thread, "6g"), class_limits(thread, "6H")
    assert bolt.pitch_high_mm < nut.pitch_low_mm
    assert bolt.pitch_low_mm < bolt.pitch_high_mm < nut.pitch_high_mm
    assert bolt.root_mm <= nut.crest_low_mm
    assert not bolt.internal
    assert nut.internal


@pytest.mark.parametrize("thread", [row["thread"] for row in table("threads_unified").rows])
def test_every_unified_thread_has_limits_that_go_together(thread):
    bolt, nut = class_limits(thread, "2A"), class_limits(thread, "2B")
    assert bolt.pitch_high_mm < nut.pitch_low_mm < nut.pitch_high_mm
    assert class_limits(thread, "3A").pitch_low_mm > bolt.pitch_low_mm
    assert nut.crest_high_mm < bolt.crest_low_mm


@pytest.mark.parametrize("thread", [row["thread"] for row in table("threads_metric").rows])
def test_every_metric_thread_has_limits(thread):
    bolt, nut = class_limits(thread, "6g"), class_limits(thread, "6H")
    assert bolt.pitch_low_mm < bolt.pitch_high_mm < nut.pitch_low_mm < nut.pitch_high_mm
    assert nut.crest_high_mm < bolt.crest_low_mm


@pytest.mark.parametrize("thread,wanted,said", [
    ("M10", "2A", "'2A' is no class of a metric thread; write 6g, 4h, 4g6g for a bolt, 6H for a nut"),
    ("M10", "6g6H", "'6g6H' is no class of a metric thread"),
    ("1/2-20", "6g", "'6g' is no class of a unified thread; known: 1A, 2A, 3A, 1B, 2B, 3B"),
    ("M10", "9g", "class 9g is not held for M10x1.5"),
])  # fmt: skip
def test_a_class_of_the_other_system_is_refused(thread, wanted, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        class_limits(thread, wanted)


def test_an_unknown_limit_is_refused():
    with pytest.raises(ValueError, match="no limit is called 'pitch'; known: crest low"):
        thread_limit("M10", "6g", "pitch")


def test_general_tolerances_refuse_outside_and_other_classes():
    assert general_tolerance(0.5, "m") == 0.1
    with pytest.raises(ValueError, match=r"size is 0\.4 mm; it must lie between 0\.5 mm and 4000 mm"):
        general_tolerance(0.4, "m")
    with pytest.raises(ValueError, match="class f has no tolerance at 3000 mm; it ends at 2000 mm"):
        general_tolerance(3000.0, "f")
    with pytest.raises(ValueError, match="no general tolerance class is called 'v'; known: f, m, c"):
        general_tolerance(10.0, "v")
    with pytest.raises(ValueError, match="shorter leg is 0 mm"):
        general_tolerance_angle(0.0, "m")


@pytest.mark.parametrize("thread", ["M6", "M10", "M12x1.25", "1/4-28", "3/8-24", "1/2-20", "5/8-18"])
def test_clearance_holes_grow_from_fine_to_coarse(thread):
    holes = [clearance_hole(thread_called(thread)).of(fit) for fit in FITS]
    assert thread_called(thread).diameter_mm < holes[0] < holes[1] < holes[2]


def test_a_thread_without_a_clearance_hole_and_another_fit_are_refused():
    with pytest.raises(ValueError, match="no clearance hole is held for 10-24"):
        clearance_hole(thread_called("10-24"))
    with pytest.raises(ValueError, match="no clearance hole is called 'close'; known: fine, medium, coarse"):
        clearance_hole(thread_called("M10")).of("close")
