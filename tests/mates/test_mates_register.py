"""A spigot in a bore: verdicts, the work with its limits, what must not be touched, and what is left."""

import dataclasses
import re

import pytest

from trialfit.findings import Verdict
from trialfit.mates import WORK_KINDS, Turned
from trialfit.mates.register import NEVER, Register, register
from trialfit.parts import Fact
from trialfit.standards.fits import limits

KEEP = Fact(71.5, 0.01)
HUB = Register(
    "wheel register", Fact(67.10, 0.005), Fact(70.50, 0.005), bore_part="wheel", bore_place="bore", spigot_part="hub",
    spigot_place="wheel register", may_turn=True, keep=KEEP, keep_place="rotor register", keep_height_mm=6.0,
    height_mm=9.0, true_to="the bearing seats", forbidden=("welding on the axle shaft",), hollow=Fact(40.0, 0.1),
    least_wall_mm=3.0,
)  # fmt: skip


def changed(**what) -> Register:
    return dataclasses.replace(HUB, **what)


def test_the_outer_register_is_turned_to_the_wheel_and_the_inner_one_stays():
    answer = register(HUB)
    assert answer.verdict is Verdict.FITS_AFTER_WORK
    (work,) = answer.works
    assert (work.part, work.kind, work.place) == ("hub", "turn down", "wheel register")
    # h6 over 50 to 80 mm is 0 to -19 um in the printed table
    assert (work.target.low_mm, work.target.high_mm) == pytest.approx((67.081, 67.1))
    assert work.target.fit == "67.10 h6"
    assert "which leaves a step of 2.20 mm to the rotor register" in work.words
    assert work.true_to == "the bearing seats"
    assert work.runout_mm == 0.05
    assert "touching the rotor register: it stays as it is" in work.forbidden
    assert "welding on the axle shaft" in work.forbidden
    assert set(NEVER) <= set(work.forbidden)
    stays, turned = work.figure.steps
    assert (stays.outer_mm, stays.worked, stays.length_mm) == (71.5, "", 6.0)
    assert "do not touch" in stays.outer_words
    assert (turned.outer_mm, turned.worked, turned.length_mm, turned.inner_mm) == (67.1, "outer", 9.0, 40.0)
    assert turned.outer_words == "67.081 to 67.100"
    assert answer.odds < 1e-9
    assert answer.margin == pytest.approx(-3.4)


def test_what_was_made_to_the_target_fits_at_both_its_limits():
    target = register(HUB).works[0].target
    for made in (target.low_mm, target.high_mm):
        assert register(changed(spigot=Fact(made, 0.0), bore=Fact(67.10, 0.0))).verdict is Verdict.FITS


def test_a_register_of_the_right_size_fits_and_says_the_clearance():
    answer = register(changed(spigot=Fact(67.0, 0.01), clearance_mm=(0.05, 0.15)))
    assert answer.verdict is Verdict.FITS
    assert answer.reason == "bore 67.10 mm on wheel register 67.00 mm: 0.10 mm clearance, 0.05 to 0.15 mm is wanted"


def test_a_calliper_cannot_settle_a_close_fit_and_the_answer_says_what_could():
    answer = register(changed(bore=Fact(67.10, 0.03), spigot=Fact(67.08, 0.03)))
    assert answer.verdict is Verdict.CANNOT_TELL
    assert "inside micrometer" in answer.measure
    assert "settle" in answer.measure


@pytest.mark.parametrize("missing,said", [("bore", "the bore of wheel"), ("spigot", "the wheel register of hub")])
def test_a_missing_size_is_asked_for_with_gauge_and_place(missing, said):
    answer = register(changed(**{missing: None}))
    assert answer.verdict is Verdict.CANNOT_TELL
    assert answer.reason == f"{said} is not known"
    assert "micrometer" in answer.measure
    assert "two directions" in answer.measure


def test_a_size_of_unknown_doubt_decides_nothing():
    assert register(changed(bore=Fact(67.10))).verdict is Verdict.CANNOT_TELL


def test_too_thin_a_wall_left_forbids_the_cut():
    answer = register(changed(hollow=Fact(63.0, 0.05)))
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert "2.04 mm of the wall of the spigot would be left, 3.00 mm at least is asked" in answer.reason
    assert answer.works == ()


def test_a_wall_that_nobody_measured_forbids_the_cut_until_it_is():
    answer = register(changed(hollow=None))
    assert answer.verdict is Verdict.CANNOT_TELL
    assert answer.measure.startswith("measure the hole inside the wheel register of hub")


def test_without_a_wall_asked_for_the_rule_asks_for_one():
    thin = register(changed(hollow=Fact(63.0, 0.05), least_wall_mm=None))
    assert thin.verdict is Verdict.DOES_NOT_FIT
    assert "3.00 mm at least is asked" in thin.reason
    unknown = register(changed(hollow=None, least_wall_mm=None))
    assert unknown.verdict is Verdict.FITS_AFTER_WORK
    assert "first measure the hole inside it: 3.0 mm of wall at least must be left" in unknown.works[0].words


def test_a_bore_opened_past_its_web_is_refused_even_when_no_web_was_asked_for():
    answer = register(changed(may_turn=False, may_open=True, web=Fact(1.0, 0.05), least_wall_mm=None))
    assert answer.verdict is Verdict.DOES_NOT_FIT


def test_a_coarse_bore_sends_the_mate_along_to_the_shop():
    answer = register(changed(bore=Fact(67.10, 0.03)))
    assert answer.verdict is Verdict.FITS_AFTER_WORK
    assert "take wheel along to the shop and work to its bore as measured there" in answer.works[0].words
    assert "along to the shop" not in register(HUB).works[0].words


def test_the_bore_is_opened_when_the_spigot_must_stay():
    answer = register(changed(may_turn=False, may_open=True, web=Fact(12.0, 0.2), keep=None))
    (work,) = answer.works
    assert (work.part, work.kind) == ("wheel", "open up")
    assert (work.target.low_mm, work.target.high_mm) == limits(70.5, "H7")
    assert work.figure.steps[0].worked == "inner"
    assert not any("rotor register" in never for never in work.forbidden)


def test_opening_into_the_stud_holes_is_refused():
    answer = register(changed(may_turn=False, may_open=True, web=Fact(4.0, 0.05)))
    assert answer.verdict is Verdict.DOES_NOT_FIT
    # 4 mm less half of what the bore grows, (70.53 - 67.10) / 2
    assert re.search(r"2\.2[89] mm of the web to the nearest hole would be left, 3\.00 mm at least", answer.reason)


def test_opening_with_an_unknown_web_cannot_be_told():
    answer = register(changed(may_turn=False, may_open=True))
    assert answer.verdict is Verdict.CANNOT_TELL
    assert "edge of the nearest hole" in answer.measure


def test_nothing_may_be_worked():
    answer = register(changed(may_turn=False))
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert answer.reason.endswith("neither may be worked")
    assert answer.remedy


RING = changed(bore=Fact(72.6, 0.005), spigot=Fact(67.1, 0.005), may_ring=True, ring_height_mm=8.0, least_wall_mm=None,
               clearance_mm=(0.05, 0.15))  # fmt: skip


def test_a_bore_too_big_gets_a_ring_with_a_fit_on_both_sides():
    answer = register(RING)
    assert answer.verdict is Verdict.FITS_AFTER_WORK
    (work,) = answer.works
    (step,) = work.figure.steps
    assert work.kind == "make a ring"
    assert step.worked == "both"
    assert step.length_mm == 8.0
    assert "wall 2.75 mm" in work.words
    # both sides together keep the clearance asked: worst to worst
    outside = [float(word) for word in step.outer_words.split(",")[0].split(" to ")]
    inside = [float(word) for word in step.inner_words.split(",")[0].split(" to ")]
    least = (72.6 - outside[1]) + (inside[0] - 67.1)
    most = (72.6 - outside[0]) + (inside[1] - 67.1)
    assert (least, most) == pytest.approx((0.05, 0.15), abs=0.0011)


def test_a_gap_too_thin_for_a_ring_is_said_so():
    answer = register(dataclasses.replace(RING, bore=Fact(68.1, 0.005)))
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert answer.reason.endswith("a ring would have 0.50 mm of wall, 1.50 mm at least is asked")


def test_a_loose_fit_that_may_not_be_ringed_does_not_fit():
    answer = register(dataclasses.replace(RING, may_ring=False))
    assert answer.verdict is Verdict.DOES_NOT_FIT
    assert answer.reason.endswith("nothing fills the gap here")


def test_a_ring_of_unknown_height_says_what_is_still_to_be_measured():
    work = register(dataclasses.replace(RING, ring_height_mm=None)).works[0]
    assert "its height is still to be measured" in work.words
    assert work.figure.steps[0].length_words == "to be measured"


def test_crossed_clearances_are_refused():
    with pytest.raises(ValueError, match=r"the least clearance 0\.2 mm lies above the greatest 0\.1 mm"):
        register(changed(clearance_mm=(0.2, 0.1)))


@pytest.mark.parametrize("case", [HUB, RING, changed(may_turn=False, may_open=True, web=Fact(12.0, 0.2))])
def test_every_work_can_be_drawn_and_ordered(case):
    for work in register(case).works:
        assert work.kind in WORK_KINDS
        assert isinstance(work.figure, Turned)
        assert work.target.low_mm < work.target.high_mm
        assert work.target.source
        assert work.found is not None
        assert work.true_to
        for step in work.figure.steps:
            assert step.outer_mm > step.inner_mm >= 0.0
            assert step.length_mm > 0.0
