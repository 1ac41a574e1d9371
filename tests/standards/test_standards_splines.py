"""Splines and spring U-bolts by their designation, and what is refused."""

import pytest

from trialfit.standards import table
from trialfit.standards.splines import (
    listed_pitches,
    pitches_of,
    reference_spline,
    spline_hub_major,
    spline_hub_minor,
    spline_module,
    spline_pitch,
    spline_pitch_diameter,
    spline_shaft_major,
)
from trialfit.standards.u_bolts import (
    slot_for_bigger_tube,
    u_bolt_leg_length,
    u_bolt_leg_spacing,
    u_bolt_torques,
)


@pytest.mark.parametrize("typed,name", [
    ("24/48", "24/48"), (" 24 / 48 ", "24/48"), ("m2", "m2"), ("module 1.25", "m1.25"), ("M2.0", "m2"), ("2.5/5",
     "2.5/5"),
])  # fmt: skip
def test_a_pitch_is_read_as_it_is_written(typed, name):
    assert spline_pitch(typed).name == name


@pytest.mark.parametrize("typed", ["24/46", "24", "m1.3", "", "1/2-20"])
def test_what_is_no_pitch_is_refused_with_an_example(typed):
    with pytest.raises(ValueError, match=r"write 24/48 or m1\.25"):
        spline_pitch(typed)


def test_a_stub_pitch_is_twice_its_pitch_and_a_module_is_an_inch_over_it():
    for pitch in listed_pitches():
        if pitch.system == "inch":
            coarse, fine = (float(part) for part in pitch.name.split("/"))
            assert fine == 2.0 * coarse
            assert pitch.module_mm == pytest.approx(25.4 / coarse, rel=1e-12)
            assert float(table("spline_pitches").row(pitch.name)["module_mm"]) == pytest.approx(pitch.module_mm,
                abs=1e-6)


@pytest.mark.parametrize("typed,words", [
    ("30x2x14", "write W30x2x14"), ("W30x2", "write W30x2x14"), ("W30x2x20", "such a spline has 13 or 14 teeth"),
])  # fmt: skip
def test_a_reference_name_that_does_not_hold_together_is_refused(typed, words):
    with pytest.raises(ValueError, match=words):
        reference_spline(typed)


def test_shaft_and_hub_of_one_reference_name_clear_each_other():
    for name in ("30x2x14", "40x2x18", "25x1.25x18", "60x3x18"):
        shaft, hub = reference_spline(f"W{name}"), reference_spline(f"N{name}")
        assert shaft.tip_mm < hub.root_mm
        assert shaft.root_mm < hub.tip_mm < shaft.tip_mm


def test_diameters_of_one_spline_stand_in_order():
    for form in table("splines_ansi_b92_1").keys():  # noqa: SIM118
        args = (20.0, "16/32", form)
        minor, pitch, shaft, hub = spline_hub_minor(*args), spline_pitch_diameter(20.0,
            "16/32"), spline_shaft_major(*args), spline_hub_major(*args)
        assert minor < pitch < shaft <= hub
    assert spline_hub_major(20.0, "16/32", "major diameter fit") == spline_shaft_major(20.0, "16/32",
        "major diameter fit")


def test_a_form_is_refused_outside_its_pitches():
    with pytest.raises(ValueError, match="pitch"):
        spline_hub_major(20.0, "24/48", "major diameter fit")
    with pytest.raises(ValueError, match="metric module"):
        spline_hub_major(20.0, "m2", "flat root side fit")


def test_the_module_of_a_basic_shaft_comes_back():
    for name in ("8/16", "16/32", "24/48", "48/96"):
        assert spline_module(17.0, spline_shaft_major(17.0, name,
            "fillet root side fit")) == pytest.approx(spline_pitch(name).module_mm)


def test_a_shaft_between_two_pitches_is_told_as_neither():
    assert pitches_of(28, 33.0, 0.02) == ()


def test_a_coarse_gauge_leaves_two_pitches_open():
    # 28 teeth: 24/48 is 30.69 mm, m1 is 29.0 mm
    assert {p.name for p in pitches_of(28, 29.4, 0.3)} == {"24/48", "m1"}


@pytest.mark.parametrize("teeth,size", [(3, 20.0), (28, 0.0)])
def test_impossible_splines_are_refused(teeth, size):
    with pytest.raises(ValueError, match=r"teeth|diameter"):
        pitches_of(teeth, size, 0.1)


def test_torques_of_one_thread_come_from_every_list_that_has_it():
    told = u_bolt_torques("5/8-18")
    assert {t.words for t in told} == {"grade 5, plated to bare", "grade 8, plated to bare", "high nuts of a truck"}
    assert all(t.low_nmm < t.high_nmm for t in told)
    assert u_bolt_torques("M12x1.25") == ()


def test_legs_hold_what_they_go_round():
    assert u_bolt_leg_length(76.2, 20.0, 40.0, 0.0, 8.0, 3.0, 16.0, 3.81) == pytest.approx(167.01)
    assert u_bolt_leg_spacing(76.2, 12.7) == pytest.approx(88.9)
    assert slot_for_bigger_tube(88.9, 63.5, 12.7) == pytest.approx(-6.35)


def test_a_u_bolt_without_nut_or_with_a_negative_block_is_refused():
    with pytest.raises(ValueError, match="nut"):
        u_bolt_leg_length(76.2, 0.0, 40.0, 0.0, 8.0, 0.0, 0.0, 3.0)
    with pytest.raises(ValueError, match="between"):
        u_bolt_leg_length(76.2, 0.0, 40.0, -5.0, 8.0, 0.0, 16.0, 3.0)


@pytest.mark.parametrize("name", ["spring_pads", "centre_pins", "hanger_rod", "offset_dowels", "housings_sae_j617",
    "u_bolts"])
def test_small_tables_of_the_trade_hold_numbers(name):
    found = table(name)
    for row in found.rows:
        for column, unit in found.units.items():
            if unit in {"mm", "in", "lbf*ft"}:
                assert float(row[column]) > 0.0
