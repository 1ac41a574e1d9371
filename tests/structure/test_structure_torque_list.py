"""The torque list: whose figure goes first, what is done once only, when it is tightened again."""

import re

import pytest

from trialfit.structure import Fastening, TorqueFigure, torque_line, torque_list

OWN = TorqueFigure(95e3, 109e3, "truck shop manual, as quoted")


def test_the_parts_own_figure_goes_before_the_trade_and_the_sum():
    line = torque_line(Fastening("wheels", "1/2-20", "8", 5, use="wheel", torque=OWN))
    assert (line.torque.low, line.torque.high, line.torque_source) == (95e3, 109e3, OWN.source)
    assert not any("reckoned" in note or "until the vehicle" in note for note in line.notes)


def test_a_wheel_without_its_own_figure_has_the_trades_and_says_so():
    line = torque_line(Fastening("wheels", "M12x1.5", "", 5, use="wheel"))
    assert [round(t / 1355.8179483) for t in (line.torque.low, line.torque.high)] == [70, 80]
    assert "only until the vehicle's own figure is found" in line.notes[0]
    assert line.retorque == "after 50 km, and each time a wheel has been off"


@pytest.mark.parametrize("change,said", [
    ({"state": "anti-seize"}, "wheel torques hold for clean, dry threads and these are anti-seize"),
    ({"thread": "M18x1.5"}, "the wheel guides give no torque for this size"),
])  # fmt: skip
def test_a_wheel_is_never_given_a_torque_by_guess(change, said):
    line = torque_line(Fastening(**{"joint": "wheels", "thread": "M12x1.5", "grade": "10.9", "use": "wheel", **change}))
    assert line.torque is None
    assert line.clamp is None
    assert any(said in note for note in line.notes)


def test_u_bolts_are_new_each_time_and_tightened_again_with_the_axle_loaded():
    line = torque_line(Fastening("rear U-bolts", "1/2-20", "5", 8, use="u-bolt"))
    assert line.one_time.startswith("new each time")
    assert line.retorque == "after the first day and after 800 km, axle loaded"
    assert line.torque.nominal / 1355.8179483 == pytest.approx(70.0)
    plated = torque_line(Fastening("rear U-bolts", "1/2-20", "5", 8, state="zinc plated", use="u-bolt"))
    assert plated.torque.nominal / 1355.8179483 == pytest.approx(52.0)


def test_anti_seize_on_a_u_bolt_takes_the_lower_torque_and_says_why():
    line = torque_line(Fastening("rear U-bolts", "1/2-20", "5", 8, state="anti-seize", use="u-bolt"))
    assert line.torque.nominal / 1355.8179483 == pytest.approx(52.0)
    assert any("lie between plated and bare" in note for note in line.notes)


def test_a_u_bolt_outside_the_list_is_reckoned_and_says_so():
    line = torque_line(Fastening("U-bolts", "M14x1.5", "8.8", 4, use="u-bolt"))
    assert line.torque_source == "reckoned from grade 8.8, dry, 0.75 of the proof load"
    assert line.notes[0] == "the U-bolt list gives no torque for this size and grade"


def test_a_reckoned_torque_says_so_and_may_be_chosen_otherwise():
    line = torque_line(Fastening("bracket", "M10", "8.8"))
    harder = torque_line(Fastening("bracket", "M10", "8.8", choices={"preload-share": "0.90, stays together"}))
    assert harder.torque.nominal == pytest.approx(1.2 * line.torque.nominal)
    assert "reckoned: the maker's own figure goes before it" in line.notes
    assert line.size == "1 x M10x1.5"


def test_nothing_known_gives_no_torque_and_says_what_to_find():
    line = torque_line(Fastening("old bracket", "M10"))
    assert line.torque is None
    assert line.notes == ("no torque: find the maker's figure, or read the grade on the head",)


def test_drag_of_a_lock_nut_comes_on_top_and_gives_no_clamp():
    bare = torque_line(Fastening("arm", "M10", "8.8", locked_by="all-metal lock nut"))
    dragging = torque_line(Fastening("arm", "M10", "8.8", locked_by="all-metal lock nut", drag_nmm=8e3))
    assert dragging.torque.nominal - bare.torque.nominal == pytest.approx(8e3)
    assert dragging.clamp == bare.clamp


def test_oil_on_a_torque_meant_dry_is_told():
    dry = TorqueFigure(50e3, 50e3, "manual, dry")
    line = torque_line(Fastening("bracket", "M10", "8.8", state="oiled", torque=dry))
    assert any("passes the bolt's proof load, 33.6 kN" in note for note in line.notes)


@pytest.mark.parametrize("fastener,locked_by", [
    ("crush sleeve", "none"), ("staked nut", "staked nut"), ("stretch bolt", "none"), ("plain bolt", "threadlocker"),
])  # fmt: skip
def test_what_must_not_be_turned_again_is_not_sent_to_the_second_round(fastener, locked_by):
    line = torque_line(Fastening("pinion", "M22x1.5", torque=OWN, fastener=fastener, locked_by=locked_by))
    assert line.retorque.startswith("not again")


def test_figures_from_memory_are_told():
    item = Fastening("cover", "M8", "8.8", state="anti-seize", choices={"friction anti-seize": "copper paste"})
    assert "the friction of anti-seize threads is from memory" in torque_line(item).notes
    assert not any("memory" in note for note in torque_line(Fastening("cover", "M8", "8.8")).notes)


def test_a_spring_washer_is_not_counted_as_locking():
    line = torque_line(Fastening("cover", "M8", "8.8", locked_by="spring washer"))
    assert line.locking == "spring washer: holds nothing that counts"
    assert any("lies flat" in note for note in line.notes)


def test_the_list_keeps_the_order_and_has_an_empty_box_for_each():
    lines = torque_list(Fastening("b", "M10", "8.8"), Fastening("a", "M8", "8.8"))
    assert [(line.joint, line.tick) for line in lines] == [("b", ""), ("a", "")]
    assert all(line.caution for line in lines)


@pytest.mark.parametrize("items,said", [
    ((Fastening("a", "M8", "8.8"), Fastening("a", "M10", "8.8")), "two joints of the torque list are called a"),
    ((Fastening("a", "M8", "8.8", use="hub"),), "a: no use is called 'hub'; known: general, wheel, u-bolt"),
    ((Fastening("a", "M8", "8.8", count=0),), "a: the count must be 1 or more"),
    ((Fastening("a", "M8", "8.8", drag_nmm=-1.0),), "the drag 0 or more"),
    ((Fastening("a", "M8", "8.8", fastener="nail"),), "has no fastener 'nail'"),
    ((Fastening("a", "M8", "8.8", locked_by="tape"),), "has no method 'tape'"),
    ((Fastening("a", "M8", "5"),), "grade 5 is for unified bolts"),
])  # fmt: skip
def test_refused(items, said):
    with pytest.raises(ValueError, match=re.escape(said)):
        torque_list(*items)
