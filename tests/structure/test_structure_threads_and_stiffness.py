"""Stripping, stiffness, clamp and slip: how the sums hang together, and what is refused."""

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialfit.standards import stress_area_mm2, table, thread_called
from trialfit.standards.fastening import (
    clamped_material,
    embedding_mm,
    faces_friction,
    locking,
    one_time,
    thread_friction,
    thread_states,
    u_bolt_torque_nmm,
    wheel_nut_torque_nmm,
    wrench_scatter,
)
from trialfit.standards.grades import nut_grade_for, nut_proof_load_n
from trialfit.standards.thread_tolerances import class_limits, usual_class
from trialfit.structure import (
    ClampedLayer,
    clamp_from_torque,
    member_stiffness_n_mm,
    nut_factor,
    stripping,
    thread_engagement_mixed,
    torque_for_clamp,
    turns_engaged,
)
from trialfit.structure.clamped_stack import joint_frustum_stiffness
from trialfit.sums import find_sum, work

THREADS = [*table("threads_metric").keys(), *table("threads_unified").keys()]
TAN = math.tan(math.radians(30.0))


def worked(name, **values):
    return work(find_sum(name), values, {}).value


@pytest.mark.parametrize("thread", THREADS)
def test_limits_leave_an_engaged_thread(thread):
    screw = thread_called(thread)
    bolt, nut = (class_limits(thread, usual_class(screw, internal)) for internal in (False, True))
    assert nut.crest_high_mm < nut.pitch_high_mm < bolt.crest_low_mm < screw.diameter_mm
    per_mm = worked("nut-strip-area", thread=thread, length=1.0)
    # a thread that sheared along its whole crest would be pi * diameter
    assert 0.5 * math.pi * screw.diameter_mm < per_mm < math.pi * screw.diameter_mm


@given(st.sampled_from(["M6", "M8", "M10x1.25", "M12x1.5", "1/2-20", "3/8-16"]), st.floats(200.0, 1200.0),
       st.floats(150.0, 1200.0), st.floats(0.5, 0.6))
def test_at_the_length_told_the_bolt_breaks_as_the_thread_strips(thread, bolt, tapped, ratio):
    length = thread_engagement_mixed(thread, bolt, tapped, ratio)
    found = stripping(thread, length, bolt, tapped, ratio)
    assert found.factor == pytest.approx(1.0)
    assert stripping(thread, 1.01 * length, bolt, tapped, ratio).first == "the bolt breaks"
    assert "strips" in stripping(thread, 0.99 * length, bolt, tapped, ratio).first


def test_who_strips_follows_the_softer_metal():
    assert stripping("M10", 5.0, 800.0, 1200.0).first == "the bolt's thread strips"
    assert stripping("M10", 5.0, 800.0, 250.0).first == "the tapped part's thread strips"


def test_a_coarse_thread_holds_better_in_aluminium():
    # at the same pull, that of the coarse bolt's proof: the fine thread's own stress area is bigger
    coarse, fine = (stripping(t, 15.0, 800.0, 250.0).inside_strips_n for t in ("M12x1.75", "M12x1.25"))
    assert coarse > fine


def test_turns_counted_at_the_car():
    assert turns_engaged(thread_called("M12x1.5"), 18.0) == pytest.approx(12.0)


def test_frustum_by_summing_thin_slices():
    depths = (np.arange(200000) + 0.5) * 13.0 / 200000
    areas = math.pi / 4.0 * ((18.0 + 2.0 * depths * TAN) ** 2 - 12.0**2)
    by_slices = 207000.0 / np.sum(13.0 / 200000 / areas)
    assert joint_frustum_stiffness(207000.0, 12.0, 18.0, 13.0) == pytest.approx(by_slices, rel=1e-6)


def test_a_stack_cut_into_more_layers_is_as_stiff():
    whole = member_stiffness_n_mm([ClampedLayer("a", 25.0, 207e3)], 10.0, 15.0)
    cut = member_stiffness_n_mm([ClampedLayer("a", t, 207e3) for t in (3.0, 9.5, 0.5, 12.0)], 10.0, 15.0)
    assert cut == pytest.approx(whole)


def test_a_stack_is_as_stiff_from_either_end():
    layers = [ClampedLayer("a", 5.0, 207e3), ClampedLayer("b", 11.0, 71e3), ClampedLayer("c", 3.0, 100e3)]
    assert member_stiffness_n_mm(layers, 8.0, 12.0) == pytest.approx(member_stiffness_n_mm(layers[::-1], 8.0, 12.0))


def test_a_narrow_part_is_softer_down_to_a_plain_sleeve():
    layers = [ClampedLayer("a", 30.0, 207e3)]
    wide, narrow, sleeve = (member_stiffness_n_mm(layers, 10.0, 15.0, part) for part in (None, 20.0, 15.0))
    assert wide > narrow > sleeve
    assert sleeve == pytest.approx(207e3 * math.pi / 4.0 * (15.0**2 - 10.0**2) / 30.0)
    assert member_stiffness_n_mm(layers, 10.0, 15.0, 500.0) == pytest.approx(wide)


def test_two_plates_as_a_sum_and_as_a_stack():
    layers = [ClampedLayer("a", 6.0, 207e3), ClampedLayer("b", 15.0, 71e3)]
    told = worked("joint-member-stiffness", diameter=10.0, face=15.0, first=6.0, first_modulus=207e3, second=15.0,
                  second_modulus=71e3)
    assert told == pytest.approx(member_stiffness_n_mm(layers, 10.0, 15.0))


def test_a_bolt_of_thread_alone_and_of_shank_alone():
    area = stress_area_mm2(thread_called("M10"))
    alone = worked("bolt-stiffness", diameter=10.0, area=area, shank=0.0, threaded=20.0, modulus=207e3)
    assert alone == pytest.approx(area * 207e3 / 20.0)
    plain = worked("bolt-stiffness", diameter=10.0, area=area, shank=20.0, threaded=0.0, modulus=207e3)
    assert plain == pytest.approx(math.pi * 25.0 * 207e3 / 20.0)


@pytest.mark.parametrize("state", thread_states())
def test_torque_to_clamp_and_back(state):
    friction = thread_friction(state)
    torque = torque_for_clamp("M10", 20e3, friction)
    back = clamp_from_torque("M10", torque.nominal, torque.nominal, friction, "click wrench")
    assert back.nominal == pytest.approx(20e3)
    assert back.low <= 20e3 <= back.high
    assert torque.low <= torque.nominal <= torque.high


def test_nut_factor_from_friction_is_the_energy_balance():
    # one turn of the nut: work put in = pull lifted by the pitch + rubbing in thread and under head
    d2, mu, bearing, pull = 10.0 - 0.649519 * 1.5, 0.14, 13.0, 20e3
    work_in = pull * 1.5 + math.pi * d2 * mu * pull / math.cos(math.radians(30.0)) + math.pi * bearing * mu * pull
    told = worked("bolt-nut-factor", thread="M10", thread_friction=mu, head_friction=mu, bearing=bearing)
    assert told * 10.0 * pull * 2.0 * math.pi == pytest.approx(work_in, rel=1e-6)


def test_every_version_of_the_friction_is_in_order():
    rows = table("thread_friction").rows
    for row in rows:
        found = thread_friction(row["state"], row["label"])
        assert 0.0 < found.low <= found.nominal <= found.high < 0.6
    for state in thread_states():
        assert sum(row["in_force"] == "yes" for row in rows if row["state"] == state) == 1


def test_a_small_torque_is_less_sure_and_feel_is_worst():
    assert wrench_scatter("click wrench", 9e3) > wrench_scatter("click wrench", 11e3)
    assert wrench_scatter("by feel", 50e3) > 5.0 * wrench_scatter("bending-bar wrench", 50e3)


def test_least_and_most_clamp_as_sums():
    least, most = (worked(f"bolt-clamp-{w}", thread="M10", torque=50e3, state="dry", tool="click wrench")
                   for w in ("least", "most"))
    told = clamp_from_torque("M10", 50e3, 50e3, thread_friction("dry"), "click wrench")
    assert (least, most) == (told.low, told.high)


def test_slip_opening_embedding_and_pressure_hang_together():
    left = worked("joint-clamp-left", clamp=20e3, load=8e3, stiffness_constant=0.25)
    assert left == pytest.approx(14e3)
    slip = worked("joint-slip-load", clamp=left, friction=0.15, count=4.0, faces=2.0)
    assert worked("joint-slip-factor", clamp=left, friction=0.15, count=4.0, faces=2.0, load=slip) == pytest.approx(1.0)
    torque = worked("joint-slip-torque", clamp=left, friction=0.15, count=4.0, radius=60.0)
    assert torque == pytest.approx(slip / 2.0 * 60.0)
    # a rigid stack: all the settling is taken out of the bolt's stretch
    assert worked("joint-embedding-loss", settling=0.01, bolt=3e5, members=1e12) == pytest.approx(3e3, rel=1e-5)
    ring = math.pi / 4.0 * (15.0**2 - 11.0**2)
    assert worked("bolt-bearing-pressure", clamp=ring, face=15.0, hole=11.0) == pytest.approx(1.0)


def test_length_wanted_shows_what_was_asked():
    length = worked("bolt-length-wanted", grip=25.0, nut=8.4, pitch=1.5, showing=2.0)
    assert worked("bolt-threads-showing", length=length, grip=25.0, nut=8.4, pitch=1.5) == pytest.approx(2.0)


@pytest.mark.parametrize("bolt,nut", [
    ("4.6", "5"), ("8.8", "8"), ("9.8", "9"), ("10.9", "10"), ("12.9", "12"), ("1", "2"), ("5", "5"), ("8", "8"),
])  # fmt: skip
def test_nut_for_a_bolt(bolt, nut):
    assert nut_grade_for(bolt) == nut


@pytest.mark.parametrize("grade,bolt", [("8", "8.8"), ("10", "10.9"), ("12", "12.9")])
def test_a_nut_outlasts_the_proof_load_of_its_bolt(grade, bolt):
    for thread in ("M6", "M8", "M10", "M12", "M14", "M16"):
        proof = worked("bolt-proof-load", thread=thread, grade=bolt)
        assert nut_proof_load_n(grade, thread_called(thread)) > proof


@pytest.mark.parametrize("call,said", [
    (lambda: faces_friction("painted"), "has no faces 'painted'"),
    (lambda: clamped_material("alu"), "has no material 'alu'"),
    (lambda: embedding_mm("coarse", "pull", 1), "has no row 'coarse pull'"),
    (lambda: embedding_mm("fine", "pull", -1), "there must be 0 or more"),
    (lambda: one_time("rivet"), "has no fastener 'rivet'"),
    (lambda: locking("chewing gum"), "has no method 'chewing gum'"),
    (lambda: wheel_nut_torque_nmm("M11"), "has no stud 'M11'"),
    (lambda: u_bolt_torque_nmm("1/2-13", "5", plated=True), "has no row '1/2-13 5'"),
    (lambda: thread_friction("dry", "mine"), "has no version 'mine'; known: bolt supplier's range"),
    (lambda: nut_grade_for("9.9"), "no bolt grade is called '9.9'"),
    (lambda: nut_proof_load_n("8", thread_called("M12x1.5")), "the lists give no proof load of a M12x1.5 nut"),
    (lambda: nut_proof_load_n("9", thread_called("M12")), "the lists give no proof load of a M12x1.75 nut of grade 9"),
    (lambda: nut_proof_load_n("7", thread_called("M12")), "no metric nut is of grade '7'"),
    (lambda: stripping("M10", 0.0, 800.0, 800.0), "length is 0 mm"),
    (lambda: stripping("M10", 5.0, 800.0, 800.0, 0.9), "shear ratio is 0.9; it must lie between 0.4 and 0.75"),
    (lambda: member_stiffness_n_mm([], 10.0, 15.0), "nothing is clamped"),
    (lambda: member_stiffness_n_mm([ClampedLayer("a", 1.0, 1e5)], 10.0, 15.0, 14.0), "no smaller than the face"),
    (lambda: joint_frustum_stiffness(2e5, 10.0, 10.0, 5.0), "it must be bigger than the bolt, 10 mm"),
    (lambda: nut_factor("M10", thread_friction("anti-seize"), 9.0), "bearing is 9 mm; it must be bigger than the bolt"),
    (lambda: worked("joint-slip-load", clamp=1.0, friction=0.1, count=1.5, faces=1.0), "count is 1.5"),
    (lambda: worked("bolt-bearing-pressure", clamp=1.0, face=10.0, hole=11.0), "bigger than the hole, 11 mm"),
    (lambda: worked("bolt-clamp-from-torque", torque=1.0, diameter=10.0, factor=0.9), "factor is 0.9"),
])  # fmt: skip
def test_refused(call, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        call()
