"""Tubes, joint series, torque, and the beam model's refusals."""

import importlib
import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialfit.driveline import whirl_model
from trialfit.driveline.joint_series import (
    Pair,
    join,
    joint_series_torque,
    listed_series,
    series_called,
    series_for,
    tell_cross,
    tell_pair,
)
from trialfit.driveline.laminate import Ply, laminate_stiffness, wound, wound_tube_modulus
from trialfit.driveline.torque_seen import (
    axle_load_n,
    shaft_torque,
    shaft_torque_low_gear,
    shaft_torque_wheel_slip,
    torque_seen,
)
from trialfit.driveline.tube_choice import Room, ShaftTube, TubeCase, choose_tubes, hold_tube, listed_tubes, one_piece
from trialfit.driveline.whirl import shaft_speed_from_road, shaft_speed_top, tube_torsion_buckling, tube_whirl
from trialfit.findings import Verdict
from trialfit.standards import rule

RPM = math.pi / 30.0
PLY = Ply("", 140e3, 9e3, 5e3, 0.3, 1.55e-6)
STEEL = {t.name: t for t in listed_tubes()}
THREE = STEEL["steel 3 x 0.083 in"]


def _case(length=1300.0, rpm=4500.0, torque=900e3, factor=1.5, rooms=(), sd=1.0) -> TubeCase:
    return TubeCase(length, sd, rpm * RPM, torque, factor, rooms)


# tubes


def test_a_tube_that_will_do_and_why():
    told = hold_tube(THREE, _case(rooms=(Room("tunnel", 70.0, 2.0, 19.0),)))
    assert told.verdict is Verdict.FITS
    assert told.whirl_rad_s[0] == told.whirl_rad_s[1] == pytest.approx(
        tube_whirl(76.2, 2.108, 1300.0, "pinned", 207e3, 7850e-9))  # fmt: skip
    assert told.gap_mm == pytest.approx(70.0 - 38.1 - 19.0)
    assert told.stress_mpa == pytest.approx(900e3 * 38.1 / (math.pi / 32.0 * (76.2**4 - 71.984**4)), rel=1e-6)
    assert len(told.why) == 3


@pytest.mark.parametrize("case,word", [
    (_case(rpm=8000.0), "whirls"), (_case(torque=9e6), "yields"),
    (_case(rooms=(Room("exhaust", 50.0, 1.0, 25.0),)), "exhaust"),
])  # fmt: skip
def test_what_fails_is_told_first(case, word):
    told = hold_tube(THREE, case)
    assert told.verdict is Verdict.DOES_NOT_FIT
    assert word in told.why[0]


def test_doubt_of_the_room_can_leave_it_open():
    told = hold_tube(THREE, _case(rooms=(Room("tunnel", 58.5, 2.0, 19.0),)))
    assert told.verdict is Verdict.CANNOT_TELL
    assert told.why[0] == "20 mm, give or take 4 to tunnel, 19 mm asked for"
    assert hold_tube(THREE, _case(rooms=(Room("tunnel", 90.0, None, 19.0),))).verdict is Verdict.CANNOT_TELL


def test_wound_carbon_is_a_range_and_its_torque_is_its_makers():
    told = hold_tube(STEEL["wound carbon 3-1/2 in at 15 deg"], _case())
    assert told.whirl_rad_s[1] > 1.2 * told.whirl_rad_s[0]
    assert told.mass_kg[1] > told.mass_kg[0]
    assert told.twist_rad[1] > told.twist_rad[0]
    assert told.stress_mpa is None
    assert told.buckling_nmm is not None
    assert told.verdict is Verdict.CANNOT_TELL
    assert told.why[0].startswith("only its maker can say")


def test_best_first_is_what_passes_then_the_lightest():
    told = choose_tubes(_case(rooms=(Room("tunnel", 80.0, 2.0, 19.0),)))
    assert len(told) == len(listed_tubes())
    order = [Verdict.FITS, Verdict.CANNOT_TELL, Verdict.DOES_NOT_FIT]
    assert [order.index(a.verdict) for a in told] == sorted(order.index(a.verdict) for a in told)
    passing = [a.mass_kg[1] for a in told if a.verdict is Verdict.FITS]
    assert len(passing) > 1
    assert passing == sorted(passing)


def test_a_tube_too_thick_for_its_length_is_not_worked_out():
    short = choose_tubes(_case(length=700.0), (STEEL["steel 4 x 0.083 in"],))
    assert short[0].verdict is Verdict.CANNOT_TELL
    assert short[0].why[0].startswith("not worked out: length is 700 mm; it must be at least 812.8 mm")


def test_two_pieces_into_one():
    clear, member = Room("tunnel", 80.0, 1.0, 19.0), Room("cross member", 50.0, 1.0, 19.0, True)
    asked = {"length": 1500.0, "rpm": 4500.0}
    yes = one_piece(_case(**asked, rooms=(clear,)), ("centre bearing", "its bracket"))
    assert yes.verdict is Verdict.FITS
    assert yes.freed == ("centre bearing", "its bracket")
    work = one_piece(_case(**asked, rooms=(clear, member)), ("centre bearing",))
    assert work.verdict is Verdict.FITS_AFTER_WORK
    assert work.to_cut == ("cross member",)
    assert "once room is made at cross member" in work.reason
    fixed = Room("cross member", 50.0, 1.0, 19.0)
    no = one_piece(_case(**asked, rooms=(clear, fixed)), ("centre bearing",))
    assert no.verdict is not Verdict.FITS
    assert no.to_cut == no.freed == ()
    long = one_piece(_case(length=2400.0, rpm=6000.0), ("centre bearing",))
    assert long.verdict is Verdict.DOES_NOT_FIT
    assert long.reason.startswith("keep two pieces")


def test_buckling_grows_as_the_wall_to_two_and_a_half():
    one, two = (tube_torsion_buckling(100.0 + w, w, 3000.0, 207e3, 0.3) for w in (1.0, 2.0))
    assert two / one == pytest.approx(2.0**2.5)
    assert tube_torsion_buckling(101.0, 1.0, 3000.0, 414e3, 0.3) == pytest.approx(2.0 * one)


def test_top_speed_counts_the_overdrive_and_the_road_gives_another():
    assert shaft_speed_top(6000.0 * RPM, 0.7) == pytest.approx(6000.0 / 0.7 * RPM)
    # 1 m of wheel travel a turn: 10 m/s are 10 turns a second at the wheel
    assert shaft_speed_from_road(10e3, 3.5, 1000.0 / math.pi) == pytest.approx(35.0 * math.tau)


# laminate


@given(st.floats(0.0, math.pi / 2.0))
def test_turning_a_winding_by_a_right_angle_swaps_along_and_round(angle):
    here, there = wound(PLY, angle), wound(PLY, math.pi / 2.0 - angle)
    assert here.along_mpa == pytest.approx(there.round_mpa, rel=1e-9)
    assert here.twist_mpa == pytest.approx(there.twist_mpa, rel=1e-9)
    assert PLY.e2_mpa * 0.99 <= here.along_mpa <= PLY.e1_mpa * 1.01
    assert PLY.g12_mpa * 0.99 <= here.twist_mpa <= wound(PLY, math.pi / 4.0).twist_mpa * (1.0 + 1e-9)


def test_an_isotropic_ply_does_not_care_for_the_angle():
    even = Ply("", 70e3, 70e3, 70e3 / 2.6, 0.3, 2.7e-6)
    for angle in (0.0, 0.4, 1.2):
        told = wound(even, angle)
        assert (told.along_mpa, told.round_mpa, told.nu) == pytest.approx((70e3, 70e3, 0.3))
        assert told.twist_mpa == pytest.approx(70e3 / 2.6)


# torque and series


def test_the_lower_of_gear_and_slip_governs():
    told = torque_seen(1000e3, 700e3, 1.5, "shop's own")
    assert (told.torque_nmm, told.governs, told.factor_origin) == (1050e3, "wheel slip", "shop's own")
    assert torque_seen(600e3, 700e3).governs == "low gear"
    assert axle_load_n(1000.0) == pytest.approx(9806.65)


@pytest.mark.parametrize("series", listed_series(), ids=lambda s: s.name)
def test_every_series_is_told_from_its_own_sizes(series):
    told = tell_pair(Pair(series.cap_mm + 0.03, series.span_mm - 0.05, 0.05, 0.1))
    assert [s.name for s in told.likely] == [series.name]
    assert told.verdict is Verdict.FITS


def test_a_rule_in_place_of_a_calliper_leaves_it_open():
    told = tell_pair(Pair(28.5, 92.0, 1.5, 0.5))
    assert {s.name for s in told.likely} == {"1330", "1350"}
    assert told.verdict is Verdict.CANNOT_TELL
    assert list(told.off_sd) == sorted(told.off_sd)
    assert "measure with a calliper" in told.reason


def test_a_joint_of_no_listed_series_is_not_forced_into_one():
    told = tell_pair(Pair(24.0, 61.0, 0.05, 0.1))
    assert told.verdict is Verdict.DOES_NOT_FIT
    assert told.likely == ()
    assert "no series of the table; nearest is 1310" in told.reason


def test_mixed_series_are_a_combination_joint():
    small, large = Pair(26.97, 81.76, 0.05, 0.1), Pair(26.97, 92.08, 0.05, 0.1)
    told = tell_cross(large, small)
    assert (told.name, told.combination) == ("combination joint 1310 / 1330", True)
    assert tell_cross(small, small).name == "1310"
    assert tell_cross(small, Pair(24.0, 61.0, 0.05, 0.1)).verdict is Verdict.DOES_NOT_FIT
    assert join("1310", "1350") == "combination joint 1310 / 1350"
    assert join("1350", "1350") == "1350"


def test_series_for_a_torque():
    told = {s.name: v for s, v, _ in series_for(1200e3, 10e3)}
    assert told["1310"] is Verdict.DOES_NOT_FIT
    assert told["1330"] is Verdict.CANNOT_TELL
    assert told["1350"] is Verdict.FITS
    # a series whose torque is not in the table is never called good
    assert told["1550"] is Verdict.CANNOT_TELL
    assert Verdict.FITS not in {v for _, v, _ in series_for(1200e3, None)}
    assert joint_series_torque("1310") == pytest.approx(800 * 1355.818, rel=1e-6)


# beam model


def test_without_the_library_the_answer_is_the_line_that_sets_it_up(monkeypatch):
    real = importlib.import_module

    def missing(name: str) -> object:
        if name == "skfem":
            raise ImportError(name)
        return real(name)

    monkeypatch.setattr(whirl_model.importlib, "import_module", missing)
    piece = whirl_model.tube_piece(76.2, 2.108, 1400.0, 207e3, 7850e-9)
    with pytest.raises(whirl_model.ExtraMissing, match=re.escape('pip install "trialfit[beams]"')):
        whirl_model.whirl((piece,))


def test_swapping_front_and_rear_changes_nothing_and_give_lowers_the_speed():
    pytest.importorskip("skfem")
    here = whirl_model.tube_piece(76.2, 2.1, 1400.0, 207e3, 7850e-9, yokes_kg=(1.0, 2.0), yoke_length_mm=60.0,
                                  ends_n_mm=(4e3, None))  # fmt: skip
    there = whirl_model.tube_piece(76.2, 2.1, 1400.0, 207e3, 7850e-9, yokes_kg=(2.0, 1.0), yoke_length_mm=60.0,
                                   ends_n_mm=(None, 4e3))  # fmt: skip
    one, two = (whirl_model.whirl((p,)) for p in (here, there))
    np.testing.assert_allclose(one.rates_rad_s, two.rates_rad_s, rtol=1e-9)
    np.testing.assert_allclose(np.abs(one.shape), np.abs(two.shape[::-1]), atol=1e-6)
    held = [whirl_model.tube_piece(76.2, 2.1, 1400.0, 207e3, 7850e-9, ends_n_mm=(k, k)) for k in (None, 1e5, 1e4, 1e3)]
    softer = [whirl_model.whirl((p,)).first_rad_s for p in held]
    assert softer == sorted(softer, reverse=True)


def test_margin_by_the_rule_in_force():
    whirl_share = rule("whirl-share")
    good, near, bad = (whirl_model.whirl_margin(s * RPM, 6000.0 * RPM, 60.0 * RPM, whirl_share)
                       for s in (4000.0, 4480.0, 5000.0))  # fmt: skip
    assert [m.verdict for m in (good, near, bad)] == [Verdict.FITS, Verdict.CANNOT_TELL, Verdict.DOES_NOT_FIT]
    assert good.reason == ("the shaft turns at up to 4000 rpm and whirls at 6000 rpm, give or take 118: 67 %, at most "
                           "75 % asked for")  # fmt: skip
    assert whirl_model.whirl_margin(1.0, 9.0, None, whirl_share).verdict is Verdict.CANNOT_TELL


_P = whirl_model.tube_piece(76.2, 2.108, 1400.0, 207e3, 7850e-9)


@pytest.mark.parametrize("made,said", [
    (lambda: whirl_model.whirl(()), "one piece or two, not 0"),
    (lambda: whirl_model.whirl((whirl_model.Piece(_P.stretches, (), (whirl_model.Support(0.0),)),)), "not held"),
    (lambda: whirl_model.whirl((whirl_model.Piece((), ()),)), "at least one stretch"),
    (lambda: whirl_model.whirl((whirl_model.Piece(_P.stretches, (whirl_model.Lump(1500.0, 1.0),)),)),
     "place of a weight on its piece is 1500 mm"),
    (lambda: whirl_model.tube_piece(76.2, 2.1, 1400.0, 207e3, 7850e-9, yokes_kg=(1.0, 0.0)), "give the yokes a length"),
    (lambda: whirl_model.tube_piece(76.2, 2.1, 1400.0, 207e3, 7850e-9, yoke_length_mm=700.0), "length of a yoke"),
    (lambda: TubeCase(1300.0, 1.0, 400.0, 900e3, 0.5), "torque factor is 0.5"),
    (lambda: hold_tube(ShaftTube("x", "brass", 76.0, 2.0, 100.0, None), _case()), "no stiffness is listed for brass"),
    (lambda: choose_tubes(_case(), ()), "there is no tube to choose from"),
    (lambda: series_called("1315"), "no joint series is called '1315'; nearest: 13"),
    (lambda: joint_series_torque("1550"), "gives no torque for series 1550"),
    (lambda: tell_pair(Pair(0.0, 80.0, 0.1, 0.1)), "cap is 0 mm"),
    (lambda: shaft_torque_low_gear(400e3, 30.0, 0.85, 1.0, 1.0, 1.0), "gear is 30"),
    (lambda: shaft_torque_wheel_slip(9000.0, 330.0, 3.73, 9.0, 0.95), "grip is 9"),
    (lambda: shaft_torque(1.0, 1.0, 0.5), "factor is 0.5"),
    (lambda: tube_torsion_buckling(76.2, 2.0, 300.0, 207e3, 0.3), "length is 300 mm; it must be at least"),
    (lambda: tube_torsion_buckling(76.2, 10.0, 3000.0, 207e3, 0.3), "wall is 10 mm"),
    (lambda: shaft_speed_top(600.0, 0.1), "gear is 0.1"),
    (lambda: wound_tube_modulus(140e3, 9e3, 5e3, 0.3, 2.0, "along"), "angle is 114.592 deg"),
    (lambda: wound_tube_modulus(140e3, 9e3, 5e3, 0.3, 1.0, "across"), "write along, round or twist"),
    (lambda: Ply("", 140e3, 9e3, 5e3, 5.0, 1e-6), "nu12 is 5; for these stiffnesses it must lie between"),
    (lambda: laminate_stiffness(()), "at least one ply"),
])  # fmt: skip
def test_refused(made, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        made()
