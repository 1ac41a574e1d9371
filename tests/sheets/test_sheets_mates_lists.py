"""Mates list, fittings bag list, torque sheet and hole templates: what stands on them, and in which order."""

import math
from dataclasses import replace

import pytest
from invented_mates import ADAPTER, BAG, DAMPER, FLANGE, TORQUES, TURN_DOWN, mate_lines
from invented_sheets import LETTER, META

from trialfit.findings import Verdict
from trialfit.mates import Answer, Hole, Joint, Plate
from trialfit.parts import Port
from trialfit.sheets.drawing import LineKind, Stroke, Words
from trialfit.sheets.fittings_bag import fittings_bag_leaves, to_buy
from trialfit.sheets.hole_template import air_note, hole_template_leaves, punched, spans, tiles
from trialfit.sheets.mates_list import MateLine, margin_words, mate_line, mates_list_leaves, measures
from trialfit.sheets.paper import PAPERS, Stop
from trialfit.sheets.torque_sheet import newton_metres, pound_feet, torque_leaves
from trialfit.sheets.wrap import OVERLAP_MM, printable_area

JOINT = Joint({}, "wheel on hub", "wheel on hub", Port({}, "hub", "hub"), Port({}, "wheel", "wheel"), "hub", "wheel")
READY = Stop(True, "drilled", "Every size is known.")


def words_of(leaves):
    return [m.text for leaf in leaves for m in leaf.marks if isinstance(m, Words)]


def boxes(leaves):
    """What can be ticked."""
    marks = [m for leaf in leaves for m in leaf.marks if isinstance(m, Stroke)]
    return [m for m in marks if m.closed and m.kind is LineKind.OUTLINE and len(m.points) == 4]


# -- mates ------------------------------------------------------------------------------------------------------


def test_a_line_bears_the_reasons_of_its_worst_answers():
    fits = Answer("stud length", Verdict.FITS, "long enough", 2.5, 0.2, "mm")
    work = Answer("register", Verdict.FITS_AFTER_WORK, "70.62 mm in 67.10 mm", works=(TURN_DOWN,))
    open_ = Answer(
        "nut seat", Verdict.CANNOT_TELL, "its angle is not known", measure="lay a 60 degree gauge in the seat"
    )
    line = mate_line(JOINT, (fits, work, open_), "rear left")
    assert line.verdict is Verdict.CANNOT_TELL
    assert line.reasons == ("nut seat: its angle is not known", "register: 70.62 mm in 67.10 mm")
    assert line.measure == "lay a 60 degree gauge in the seat"
    assert mate_line(JOINT, (fits, work)).remedy == TURN_DOWN.words
    done = mate_line(JOINT, (fits, replace(fits, question="bore", margin=0.1)))
    assert (done.verdict, done.reasons, done.margin) == (Verdict.FITS, (), "bore: 0.10 ± 0.39 mm to spare")


@pytest.mark.parametrize(
    "answer, words",
    [
        (Answer("bore", Verdict.FITS, "", 0.12, 0.02, "mm"), "bore: 0.12 ± 0.04 mm to spare"),
        (Answer("bore", Verdict.DOES_NOT_FIT, "", -1.5, 0.0, "mm"), "bore: 1.50 mm short"),
        (Answer("bore", Verdict.CANNOT_TELL, "", 0.3, None, "mm"), "bore: 0.30 mm to spare, doubt not known"),
        (Answer("angle", Verdict.FITS, "", math.radians(2.0), 0.0, "deg"), "angle: 2.00 deg to spare"),
        (Answer("count", Verdict.FITS, ""), ""),
    ],
)
def test_margins_in_words(answer, words):
    assert margin_words(answer) == words


def test_what_settles_most_joints_is_measured_first():
    asked = measures(mate_lines())
    assert asked[0][1] == ("rotor on hub, left", "rotor on hub, right")
    assert [len(joints) for _, joints in asked] == [2, 1]
    words = words_of(mates_list_leaves(mate_lines(), META))
    assert words.index("Measure this first") < words.index("Joints that need something, worst first")
    assert words.count("Measure: number 1 on the first page.") == 2


def test_all_four_marks_stand_at_the_top_with_their_counts():
    words = words_of(mates_list_leaves(mate_lines(), META))
    for verdict, count in (("Does not fit", "2"), ("Cannot tell", "3"), ("Fits after work", "2"), ("Fits", "34")):
        assert words[words.index(verdict) + 1] == count


def test_more_than_the_top_holds_stays_with_its_joint():
    lines = [
        MateLine("", f"joint {k}", "kind", Verdict.CANNOT_TELL, ("size: not known",), "", f"measure number {k}")
        for k in range(11)
    ]
    words = " ".join(words_of(mates_list_leaves(lines, LETTER)))
    assert "5 more to measure, with their joints on the next pages." in words
    assert "Measure: Measure number 9." in words


def test_a_fault_in_no_joint_is_said():
    assert any("No joint between two parts" in w for w in words_of(mates_list_leaves((), META)))
    with pytest.raises(ValueError):
        mate_line(JOINT, ())


# -- bags -------------------------------------------------------------------------------------------------------


def test_each_fitting_is_ticked_once_and_like_ones_are_bought_together():
    counts = to_buy(BAG)
    assert list(counts.values()) == [2]
    turned = [
        replace(i, line="B5", end=i.end.replace("in", "x").replace("out", "in").replace("x", "out")) for i in BAG[:2]
    ]
    assert list(to_buy((*BAG, *turned)).values()) == [3]
    other = [replace(i, line="B6", thread=i.thread.replace("M10x1", "M12x1")) for i in BAG[:2]]
    assert sorted(to_buy((*BAG, *other)).values()) == [1, 2]
    words = words_of(fittings_bag_leaves(BAG, META, {"B3": "rear axle, left (invented)"}))
    for text in ("B3", "B4", "3/8-24", "M10x1", "2 ×"):
        assert text in words
    assert "rear axle, left (invented)" in " ".join(words)


# -- torque -----------------------------------------------------------------------------------------------------


def test_torques_in_both_systems():
    """1 lbf ft is 1.355818 N m (NIST Special Publication 811): 50 N m are 36.9 lbf ft, 7 N m 5.2."""
    assert (newton_metres(50_000.0), pound_feet(50_000.0)) == ("50", "37")
    assert (newton_metres(7_000.0), pound_feet(7_000.0)) == ("7.0", "5.2")


def test_a_joint_that_is_held_back_has_no_figure_and_no_box():
    good = TORQUES[0]
    assert good.torque is not None
    never = replace(good, joint="bell bolts", held=("thread: 3/8-24 is no 3/8-16",), never=True)
    unknown = replace(good, joint="arm bolts", held=("thread: the thread of the nut is not known",))
    leaves = torque_leaves((good, never, unknown), META)
    told = " ".join(words_of(leaves))
    assert "2 OF 3 JOINTS HELD BACK" in told
    assert "Do not tighten: does not fit, see mates" in told
    assert "Not before it is known:" in told
    assert "3/8-24 is no 3/8-16" in told
    figure = f"{newton_metres(good.torque.nominal)} N\u00b7m"
    alone = " ".join(words_of(torque_leaves((good,), META)))
    assert told.count(figure) == alone.count(figure) == 1
    assert "HELD BACK" not in alone
    assert boxes(torque_leaves((good,), META))
    assert not boxes(torque_leaves((never, unknown), META))


def test_a_joint_without_a_torque_stands_first_with_a_box():
    words = words_of(torque_leaves(TORQUES, META))
    text = " ".join(words)
    assert text.index("bell housing") < text.index("axle flange")
    assert "?" in words
    for part in (
        "1 without a known torque",
        "50 N·m",
        "45 to 55 N·m",
        "37 lbf·ft",
        "18 to 29 kN",
        "oiled",
        "dry",
        "New each time",
        "Staked nut",
        "not again",
    ):
        assert part in text


# -- templates --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("wide, high", [(20.0, 20.0), (180.0, 200.0), (330.0, 300.0), (700.0, 100.0)])
def test_tiles_cover_the_whole_and_share_ten_millimetres(paper, wide, high):
    area = printable_area(PAPERS[paper])
    found = tiles((-wide / 2.0, -high / 2.0, wide / 2.0, high / 2.0), area)
    own = [tuple(v - s for v, s in zip(t.frame, (*t.shift, *t.shift), strict=True)) for t in found]
    assert min(b[0] for b in own) <= -wide / 2.0
    assert max(b[2] for b in own) >= wide / 2.0
    assert min(b[1] for b in own) <= -high / 2.0
    assert max(b[3] for b in own) >= high / 2.0
    for a, first in zip(own, found, strict=True):
        for b, second in zip(own, found, strict=True):
            if second.row == first.row and second.column == first.column + 1:
                assert a[2] - b[0] == pytest.approx(OVERLAP_MM)
    assert all(t.frame[0] >= area[0] and t.frame[2] <= area[2] + 1e-9 for t in found)


FREE = replace(FLANGE, holes=tuple(replace(hole, position_mm=None) for hole in FLANGE.holes))


def test_only_what_is_punched_is_measured_between():
    """What is bored by coordinates, is for the shop, or lies in air, has no mark."""
    assert spans(FLANGE) == []
    assert punched(replace(FREE, shop="a hub")) == []
    slot = Hole(20.0, 0.0, 10.0, slot_mm=8.0)
    plate = Plate("invented", "its middle", 5.0, (slot, Hole(-30.0, 0.0, 8.0), Hole(16.0, 0.0, 10.0, old=True)), 120.0)
    # one end of the slot is the old hole's middle; the other lies 8 mm from it, in metal
    assert [(name, at) for name, at in punched(plate)] == [("1b", (24.0, 0.0)), ("2", (-30.0, 0.0))]
    assert spans(plate) == [("1b", "2", 54.0)]
    assert air_note(plate) == "1: one end in an old hole: drill the other, file the web out to the line."
    short = replace(plate, holes=(replace(slot, x_mm=16.5, slot_mm=1.0), *plate.holes[1:]))
    assert [name for name, _ in punched(short)] == ["2"]
    assert "1: middle in an old hole, cannot be punched or drilled" in air_note(short)
    opened = replace(plate, holes=(Hole(16.0, 0.0, 12.0), plate.holes[2]))
    assert punched(opened) == []
    assert air_note(opened) == "1: opened up from the old hole, no punch mark."


def test_a_template_of_a_life_carrying_part_is_for_the_shop():
    told = " ".join(words_of(hole_template_leaves((replace(FREE, shop="a hub"),), META, READY)))
    assert "To be drilled by the shop: a hub." in told
    assert "Punch through" not in told
    assert "mark 1 to mark" not in told
    assert "NOT TO BE DRILLED FROM YET" in told
    free = " ".join(words_of(hole_template_leaves((FREE,), META, READY, {FREE: "2, left and right"})))
    assert "Punch through" in free
    assert "Quantity 2, left and right." in free


def test_spans_between_punch_marks():
    """Neighbours of five on 114.3 mm are 114.3 sin 36 deg apart, the farthest 114.3 sin 72 deg (geometry)."""
    found = spans(FREE)
    assert [mm for *_, mm in found[:4]] == pytest.approx([114.3 * math.sin(math.radians(36.0))] * 4)
    assert found[-1][2] == pytest.approx(114.3 * math.sin(math.radians(72.0)))


def test_holes_too_fine_for_paper_are_named():
    text = " ".join(words_of(hole_template_leaves((FLANGE, DAMPER), META, READY)))
    assert "Not from paper: holes 1, 2, 3, 4, 5" in text
    assert text.count("Not from paper") == 1
    assert text.count("This paper only shows which is which.") == 1
    # a stop that is lifted does not make paper finer
    assert text.count("NOT TO BE DRILLED FROM YET") == 1
    assert text.count("READY TO BE DRILLED FROM") >= 2


def test_a_plate_that_is_only_a_drawing_is_no_template():
    with pytest.raises(ValueError, match="1 at least"):
        hole_template_leaves((replace(ADAPTER, at_true_size=False),), META, READY)
