"""Look-ups of tube, hose ends and pipe joints: what is known, what is refused, what must agree within the tables."""

import math

import pytest

from trialfit.standards.hose_ends import (
    THREADLESS,
    USES,
    End,
    end_families,
    end_family,
    ends_go_together,
    flare_limits,
    forbidden,
    hose_types,
    seats_go_together,
    standard_end,
    standard_ends,
    threads_agree,
    tube_of,
)
from trialfit.standards.pipe_joints import (
    banjo_engagement,
    barb_stretch,
    butt_gap_turn,
    hose_clamp_diameter,
    pipe_size_near,
    pipe_sizes,
    slip_joint_inside,
    transition_length,
    v_band_sizes,
)
from trialfit.standards.rules import ORIGINS
from trialfit.standards.table import table
from trialfit.standards.tube_sizes import (
    dash_size_bore,
    dash_size_tube,
    tube_burst,
    tube_called,
    tube_sizes,
    tubes_like,
)


def test_sixteenths_are_the_dash_numbers():
    for tube in tube_sizes():
        if tube.dash is not None:
            assert tube.outside_mm == pytest.approx(tube.dash / 16.0 * 25.4, abs=1e-9)


@pytest.mark.parametrize("call,words", [
    (lambda: tube_called("3/17 in"), "nearest"), (lambda: tube_called("-7.5"), "no tube"),
    (lambda: dash_size_tube("-9"), "dash number"), (lambda: dash_size_bore("-7"), "-7"),
    (lambda: dash_size_bore("-3", "by the tube"), "gives no"), (lambda: dash_size_bore("-4", "by luck"), "by its bore"),
    (lambda: tube_burst(4.76, 1.2, 310.0), "no thin tube"), (lambda: flare_limits("3/8 in", "double"), "3/8 in"),
    (lambda: flare_limits("3/16 in", "triple"), "single or double"), (lambda: end_family("bubbel"), "bubble"),
    (lambda: standard_end("bubble", "5 mm", "male"), "4.75 mm"),
    (lambda: standard_end("bubble", "6 mm", "it"), "male or"),
    (lambda: transition_length(76.2, 63.5, 0.2), "swap them"), (lambda: transition_length(50.0, 60.0, 0.01), "angle"),
    (lambda: hose_clamp_diameter(10.0, 9.0, 9.5), "smaller"),
    (lambda: banjo_engagement(20.0, 9.0, 1.5, 1), "at least 2"),
    (lambda: butt_gap_turn(20.0, 63.5), "gap"), (lambda: slip_joint_inside(63.5, 5.0), "clearance"),
    (lambda: barb_stretch(0.0, 9.5), "barb"),
])  # fmt: skip
def test_what_is_not_held_or_out_of_range_is_refused(call, words):
    with pytest.raises(ValueError, match=words):
        call()


def test_tube_by_calliper():
    assert [t.name for t in tubes_like(4.76, 0.05)] == ["3/16 in", "4.75 mm"]
    assert [t.name for t in tubes_like(7.96, 0.1)] == ["5/16 in", "8 mm"]
    assert tubes_like(5.5, 0.2) == ()


@pytest.mark.parametrize("measured,name", [(60.2, "2-3/8 in"), (63.4, "2-1/2 in"), (50.1, "50 mm"), (50.7, "2 in")])
def test_exhaust_pipe_by_calliper(measured, name):
    assert pipe_size_near(measured).name == name


def test_v_bands_are_kept_in_sizes_that_pipe_is_made_in():
    pipes = {p.outside_mm for p in pipe_sizes()}
    assert {v.outside_mm for v in v_band_sizes()} <= pipes


def test_every_end_is_of_a_known_family_and_stands_once():
    ends = standard_ends()
    assert {e.family for e in ends} <= set(end_families())
    keys = [(e.family, e.size, e.gender) for e in ends]
    assert len(set(keys)) == len(keys)
    assert not {e.family for e in ends} & set(THREADLESS)


def test_each_end_goes_with_its_twin_and_with_no_other_family():
    males = [e for e in standard_ends() if e.gender == "male"]
    females = [e for e in standard_ends() if e.gender == "female"]
    for male in males:
        partners = [f for f in females if ends_go_together(male, f)[0]]
        assert partners, male
        assert {f.family for f in partners} == {male.family}
        assert all((tube_of(f.size) is None) or abs(tube_of(f.size).outside_mm - tube_of(male.size).outside_mm) <= 0.05
                   for f in partners)  # fmt: skip


def test_going_together_does_not_depend_on_the_order():
    ends = standard_ends()[::5]
    for a in ends:
        for b in ends:
            assert ends_go_together(a, b)[0] is ends_go_together(b, a)[0]


def test_two_families_never_seal_in_one_another_and_say_why():
    for a in end_families():
        for b in end_families():
            same, reason = seats_go_together(a, b)
            assert same is (a == b)
            assert len(reason) > 10


def test_every_ban_names_its_kind_its_source_and_something_known():
    metals = {"copper", "aluminium", "nylon"}
    for row in table("forbidden_ends").rows:
        ban = forbidden(row["thing"], row["use"])
        assert ban.kind in ORIGINS
        assert ban.use in USES
        assert row["thing"] in {*end_families(), *metals}
        assert ban.source
    assert forbidden("inverted flare", "brake") is None
    assert forbidden("copper-nickel", "brake") is None


def test_unknown_threads_agree_only_by_name():
    assert threads_agree("1/2-24", "1/2-24")[0] is True
    assert threads_agree("99-3", "98-3")[0] is None
    assert threads_agree("M10x1", "M10x1.25")[0] is False


def test_an_unknown_size_is_taken_to_agree_and_an_unknown_thread_is_not():
    known = standard_end("37 flare", "1/4 in", "female")
    assert ends_go_together(End("37 flare", "", "male", "7/16-20"), known)[0]
    assert not ends_go_together(End("37 flare", "1/4 in", "male"), known)[0]


def test_hoses_carry_what_a_use_can_name():
    named = {*USES, "steering pressure", "in-tank fuel"}
    for hose in hose_types().values():
        assert set(hose.media) <= named, hose
        if not hose.clamped:
            assert hose.pressure_mpa is None


def test_a_cone_grows_with_the_step_and_shrinks_with_its_angle():
    steep, slow = (transition_length(50.0, 60.0, math.radians(a)) for a in (30.0, 7.0))
    assert slow > steep
    assert transition_length(50.0, 70.0, 0.2) == pytest.approx(2.0 * transition_length(50.0, 60.0, 0.2))
    # the wall of the cone, laid off by its slope, comes out at the large end again
    assert 50.0 + 2.0 * steep * math.tan(math.radians(15.0)) == pytest.approx(60.0)
