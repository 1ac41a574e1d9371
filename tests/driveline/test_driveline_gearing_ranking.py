"""Axle ratios in order with their reasons; turns tests; what puts a speedometer right."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trialfit.driveline import (
    CruiseWish,
    EngineCurve,
    GearTrain,
    LaunchWish,
    RoadLoad,
    ShaftWish,
    TowWish,
    driven_gear,
    pulse_setting,
    rank_axle_ratios,
    speedometer_after_change,
    speedometer_check,
    trade_bands,
    turns_test,
    tyre_from_rollout,
)
from trialfit.findings import Verdict
from trialfit.sums import find_sum, work

RPM = math.pi / 30.0
KMH = 1e3 / 3.6
TYRE = tyre_from_rollout(20000.0, 10.0, 5.0)
TRAIN = GearTrain(EngineCurve(((100.0, 300e3), (600.0, 300e3))), (3.0, 2.0, 1.0), 4.0, TYRE, (0.9,))
LOAD = RoadLoad(1500.0, 0.4, 2.0e6)
# one turn is 2 m, so 90 km/h is 750 rpm of the wheel
CRUISE = CruiseWish(90 * KMH, 2300 * RPM, 2700 * RPM)


def places(ranked):
    return [r.axle for r in ranked]


def test_cruise_band_ranks_by_what_lies_within_then_by_its_middle():
    ranked = rank_axle_ratios(TRAIN, [2.5, 3.1, 3.3, 3.55, 4.5], [CRUISE])
    # 1875, 2325, 2475, 2662 and 3375 rpm
    assert places(ranked) == [3.3, 3.55, 3.1, 2.5, 4.5]
    assert [r.place for r in ranked] == [1, 2, 3, 4, 5]
    assert "nearest the middle" in ranked[0].reason
    assert "2475 rpm at 90 km/h in top gear, within 2300 to 2700 rpm" in ranked[0].reason
    assert ranked[3].reason.startswith("misses cruise: 1875 rpm at 90 km/h in top gear, under 2300 to 2700 rpm")
    assert ranked[4].score == pytest.approx(3375 / 2700 - 1, rel=1e-6)


def test_the_wish_named_first_weighs_most():
    launch = LaunchWish(13.0)
    assert rank_axle_ratios(TRAIN, [3.3, 4.4], [CRUISE, launch])[0].axle == 3.3
    assert rank_axle_ratios(TRAIN, [3.3, 4.4], [launch, CRUISE])[0].axle == 4.4


def test_a_shaft_that_turns_too_fast_stands_last_whatever_else():
    wishes = [CRUISE, ShaftWish(150 * KMH, 4100 * RPM)]
    ranked = rank_axle_ratios(TRAIN, [3.3, 2.0], wishes)
    # 1250 rpm of the wheel at 150 km/h
    assert places(ranked) == [2.0, 3.3]
    assert ranked[1].breaks_shaft
    assert ranked[1].reason.startswith("behind every ratio that keeps the shaft within its limit: shaft 4125 rpm")


def test_tow_takes_the_load_and_names_the_gear():
    ranked = rank_axle_ratios(TRAIN, [1.2, 4.0], [TowWish(80 * KMH, 0.10, 1500.0)], LOAD)
    assert places(ranked) == [4.0, 1.2]
    assert "in gear" in ranked[0].reason
    assert "80 km/h up 10 % takes" in ranked[1].reason
    assert ranked[1].score > 0.0
    with pytest.raises(ValueError, match="a tow wish needs the road load"):
        rank_axle_ratios(TRAIN, [4.0], [TowWish(80 * KMH, 0.10, 1500.0)])


def test_one_that_alone_meets_all_says_so():
    ranked = rank_axle_ratios(TRAIN, [3.3, 4.4], [CRUISE, LaunchWish(9.0, 11.0)])
    assert ranked[0].reason.startswith("the only one that meets every wish: 2475 rpm")
    assert ranked[1].reason.startswith("misses cruise, launch:")


@pytest.mark.parametrize("ratios, wishes, said", [
    ([], [CRUISE], "name at least one axle ratio"), ([3.3], [], "say what the axle is for"),
    ([3.3, 3.3], [CRUISE], "an axle ratio is named twice"), ([33.0], [CRUISE], "axle ratio is 33"),
])  # fmt: skip
def test_ranking_is_refused(ratios, wishes, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        rank_axle_ratios(TRAIN, ratios, wishes)


def test_wishes_out_of_range_are_refused():
    with pytest.raises(ValueError, match="high end of the band is 2000 rpm"):
        CruiseWish(90 * KMH, 2300 * RPM, 2000 * RPM)
    with pytest.raises(ValueError, match="most launch ratio 9 is under the least 11"):
        LaunchWish(11.0, 9.0)
    with pytest.raises(ValueError, match="no band is called 'warp'; known: cruise, launch, crawl"):
        trade_bands("warp")


def test_every_trade_band_names_its_source():
    for what in ("cruise", "launch", "crawl"):
        for band in trade_bands(what):
            assert band.low < band.high
            assert band.version.source


@given(st.lists(st.floats(2.0, 6.0), min_size=2, max_size=6, unique=True))
def test_order_of_the_list_does_not_matter(ratios):
    wishes = [CRUISE, LaunchWish(9.0, 11.0)]
    assert places(rank_axle_ratios(TRAIN, ratios, wishes)) == places(rank_axle_ratios(TRAIN, ratios[::-1], wishes))


# -- turns tests ------------------------------------------------------------------------------------------------------


def test_open_and_locked_give_one_ratio_from_half_and_all_the_turns():
    still, alike = turns_test(18.64, 10.0, 0.0), turns_test(37.27, 10.0, 10.0)
    assert (still.readings[0].differential, alike.readings[0].differential) == ("open", "locked")
    assert still.readings[0].ratio == pytest.approx(alike.readings[0].ratio, rel=1e-3)
    assert still.verdict is alike.verdict is Verdict.FITS
    assert "3.73 (41 by 11 teeth)" in still.reason


def test_a_wheel_that_drags_along_counts_as_far_as_it_turned():
    # the other wheel crept half a turn forward while this one made ten
    told = turns_test(3.727 * 5.25, 10.0, 0.5).readings[0]
    assert told.ratio == pytest.approx(3.727)
    assert told.differential == "open"


def test_unwatched_wheel_leaves_two_readings_or_the_one_that_is_an_axle():
    both = turns_test(7.46, 2.0, None)
    assert both.verdict is Verdict.CANNOT_TELL
    assert [round(r.ratio, 2) for r in both.readings] == [7.46, 3.73]
    assert "nobody watched the other wheel: 7.46 if the differential is open; 3.73 if" in both.reason
    one = turns_test(8.2, 5.0, None)
    # 1.64 is no axle ratio, so it must be an open one
    assert [r.differential for r in one.readings] == ["open"]


def test_more_turns_are_asked_for_where_they_would_part_two_ratios():
    near = turns_test(3.36, 1.0, 1.0)
    assert near.verdict is Verdict.CANNOT_TELL
    assert near.turns_needed
    n = near.turns_needed
    more = turns_test(3.3077 * n, float(n), float(n))
    assert [c.name for c in more.readings[0].likely] == ["3.31"]
    assert more.readings[0].sd < near.readings[0].sd


def test_two_ratios_that_turns_cannot_part_send_to_the_teeth():
    found = turns_test(4.105, 1.0, 1.0, shaft_sd=0.4)
    assert found.turns_needed is None
    assert "count the teeth" in found.remedy
    assert "4.11" in found.reason


def test_a_ratio_that_is_not_on_the_list_is_not_forced_onto_it():
    found = turns_test(29.0, 10.0, 10.0)
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert "no ratio of the shortlist, nearest 2.73" in found.reason


@pytest.mark.parametrize("shaft, wheel, other, said", [
    (0.1, 10.0, -10.0, "hold the other wheel still and turn this one again"),
    (100.0, 10.0, 10.0, "these turns give an axle ratio of 10.00; it must lie between 1.8 and 8"),
    (10.0, 0.1, 0.0, "wheel turns is 0.1"), (10.0, 2.0, 3.0, "turns of the other wheel is 3"),
])  # fmt: skip
def test_turns_are_refused(shaft, wheel, other, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        turns_test(shaft, wheel, other)


def test_doubt_of_the_turns_is_that_of_the_sum_worked_alone():
    told = turns_test(18.64, 10.0, 0.0, 0.05, 0.02).readings[0]
    alone = work(find_sum("axle-ratio-from-turns"), {"shaft": 18.64, "wheel": 10.0}, {"shaft": 0.05, "wheel": 0.02})
    assert told.sd == pytest.approx(alone.sd, rel=1e-4)


# -- speedometer ------------------------------------------------------------------------------------------------------


@given(st.integers(10, 45), st.floats(0.7, 1.4))
def test_teeth_beside_the_exact_one_read_high_and_low(teeth, wrong):
    gear = driven_gear(teeth, wrong * 20000.0, 20000.0)
    low, high = gear.beside
    assert low.teeth + 1 == high.teeth
    assert low.reads_high >= -1e-9
    assert high.reads_high < 0.0
    assert gear.chosen == low
    # what it would show with the chosen gear, worked from the driving side
    assert wrong * teeth / low.teeth - 1.0 == pytest.approx(low.reads_high)


def test_each_rounding_has_its_own_tooth():
    exact = {r: driven_gear(20, 58.5, 60.0, r).chosen.teeth for r in ("never-low", "manual", "nearest")}
    assert exact == {"never-low": 19, "manual": 19, "nearest": 20}
    with pytest.raises(ValueError, match="rounding is 'up'; write never-low, manual, nearest"):
        driven_gear(20, 58.0, 60.0, "up")


def test_tyre_and_axle_can_undo_one_another():
    shown = speedometer_after_change(100.0, 2000.0, 2200.0, 3.73, 4.103, 0.02)
    assert shown == pytest.approx(102.0)


def test_whole_pulses_go_down_so_that_it_reads_high():
    setting = pulse_setting(4.0, 1999.0, 3.73, 1e6)
    assert setting.pulses == math.floor(4.0 * 3.73 * 1e6 / 1999.0)
    assert 0.0 <= setting.reads_high < 1.0 / setting.pulses
    with pytest.raises(ValueError, match=r"pulses over the distance is 7\.46"):
        pulse_setting(4.0, 2000.0, 3.73, 1000.0)


def test_a_doubtful_reading_near_the_true_speed_cannot_be_told():
    assert speedometer_check(100.5 * KMH, 100 * KMH, 1.0 * KMH).low is Verdict.CANNOT_TELL
    assert speedometer_check(95 * KMH, 100 * KMH, 1.0 * KMH).verdict is Verdict.DOES_NOT_FIT
    assert speedometer_check(105 * KMH, 100 * KMH, 1.0 * KMH).verdict is Verdict.FITS


@pytest.mark.parametrize("name, values, said", [
    ("speedometer-gear", {"teeth": 18.5, "shown": 1.0, "true": 1.0}, "teeth are 18.5; count whole teeth"),
    ("speedometer-cable-gear", {"driving": 8.5, "axle": 4.0, "circumference": 2000.0, "cable": 1000.0},
     "driving teeth are 8.5; count whole teeth"),
    ("speedometer-after-change", {"true": 1.0, "old_circumference": 2000.0, "new_circumference": 200.0},
     "new circumference is 200 mm"),
    ("speedometer-pulses", {"per_turn": 0.0, "circumference": 2000.0}, "pulses a turn is 0"),
])  # fmt: skip
def test_sum_is_refused(name, values, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        work(find_sum(name), values, {})
