"""Axle tube on leaf spring: every question, known and unknown; the slots of a plate worked by hand."""

import math

import pytest

from trialfit.findings import Verdict
from trialfit.mates import Joint, Layer, worst
from trialfit.mates.holes import Face
from trialfit.mates.spring_plate import slots
from trialfit.mates.spring_seat import KINDS, judge
from trialfit.parts import Fact, Port
from trialfit.parts.axle_ports import PORTS

FITS, WORK, NOT, OPEN = Verdict.FITS, Verdict.FITS_AFTER_WORK, Verdict.DOES_NOT_FIT, Verdict.CANNOT_TELL
CALLIPER = 0.05


def mm(value: float, sd: float = CALLIPER) -> Fact:
    return Fact(value, sd, "calliper")


SEAT = {
    "tube diameter": mm(76.2), "pad width": mm(63.5), "pad height": mm(20.0), "pad radius": mm(38.1),
    "pin hole": mm(15.0, 0.02), "pin hole depth": mm(14.0), "pad angle": Fact(0.0, math.radians(0.1)),
}
SPRING = {"spring width": mm(63.5), "stack": mm(40.0), "pin head": mm(14.6, 0.02), "pin head height": mm(9.0)}
# a 1/2-20 rod: 12.7 mm; legs 76.2 + 12.7 = 88.9 mm apart; leg 76.2 + 20 + 40 + 8 + 3 + 16 + 3 * 1.27 = 167.0 mm
CLAMP = {
    "u-bolts go": "round the tube", "u-bolt thread": "1/2-20", "u-bolt grade": "5", "inside width": mm(76.8),
    "leg length": mm(175.0, 0.3), "thread length": mm(60.0, 0.3), "nut height": mm(16.0), "washer": mm(3.0),
    "u-bolts used": "new", "plate along": mm(89.5), "plate across": mm(76.5), "plate hole": mm(14.0),
    "plate thickness": mm(8.0), "plate length": mm(150.0), "plate width": mm(130.0),
    "pad angle wanted": Fact(0.0, math.radians(0.1)),
}  # fmt: skip


def joint(seat=None, spring=None, clamp=None, layers=(), choices=None) -> Joint:
    def with_(base, change):
        return {k: v for k, v in {**base, **(change or {})}.items() if v is not None}

    return Joint(
        with_(CLAMP, clamp), "left spring", "axle tube on spring", Port(with_(SEAT, seat), "spring seat", "left pad"),
        Port(with_(SPRING, spring), "leaf spring", "clamp"), "rear axle", "left spring", layers=layers,
        choices=choices or {},
    )  # fmt: skip


def asked(question: str, **changes):
    return next(answer for answer in judge(joint(**changes)) if answer.question == question)


def test_what_was_meant_to_meet_fits_everywhere():
    told = {a.question: a.verdict for a in judge(joint())}
    assert set(told.values()) == {FITS}, told
    assert len(told) == 10


def test_a_bare_joint_asks_for_everything_and_guesses_nothing():
    ports = Port({}, "spring seat", "pad"), Port({}, "leaf spring", "clamp")
    answers = judge(Joint({}, "x", "axle tube on spring", *ports, "axle", "spring"))
    assert {a.verdict for a in answers} == {OPEN}
    assert all(a.measure and "not known" in a.reason for a in answers)


@pytest.mark.parametrize("key", [*SEAT, *SPRING])
def test_every_size_of_a_port_is_asked_for_when_it_is_missing(key):
    where = "seat" if key in SEAT else "spring"
    assert worst(judge(joint(**{where: {key: None}}))) is OPEN


def test_every_field_is_one_of_its_kind():
    ports = {port.name: {ask.key for ask in port.asks} for port in PORTS}
    assert set(SEAT) == ports["spring seat"]
    assert set(SPRING) == ports["leaf spring"]
    assert set(CLAMP) <= {ask.key for ask in KINDS[0].asks}


@pytest.mark.parametrize("question,changes,verdict,words", [
    ("pad width", dict(spring={"spring width": mm(57.2)}), WORK, "stands out beside the spring by 6.30 mm"),
    ("pad width", dict(spring={"spring width": mm(76.2)}), WORK, "hangs over its pad by 12.70 mm"),
    ("pad width", dict(spring={"spring width": mm(66.4, 0.5)}), OPEN, "known only to"),
    ("centre pin height", dict(spring={"pin head height": mm(17.0)}), WORK,
     "would stand on its pin, 3.00 mm off the pad"),
    ("pad radius", dict(seat={"pad radius": mm(44.5)}), WORK, "touches along its middle and gapes at the edges"),
    ("pad radius", dict(seat={"pad radius": mm(35.0)}), WORK, "bears on its edges and gapes in the middle"),
    ("u-bolt width", dict(clamp={"inside width": mm(70.0)}), WORK, "must not be spread"),
    ("u-bolt width", dict(clamp={"inside width": mm(82.6)}), WORK, "the legs pull in and bend"),
    ("u-bolt length", dict(clamp={"leg length": mm(160.0)}), WORK, "7.0 mm short"),
    ("u-bolt length", dict(layers=(Layer("lowering block", mm(50.0)),)), WORK, "lowering block"),
    ("u-bolt length", dict(layers=(Layer("wedge", None),)), OPEN, "the thickness of wedge is not known"),
    ("u-bolt thread", dict(clamp={"leg length": mm(230.0), "thread length": mm(50.0)}), WORK, "runs out of thread"),
    ("u-bolts new", dict(clamp={"u-bolts used": "used"}), WORK, "tightened before"),
    ("pad angle", dict(seat={"pad angle": Fact(math.radians(3.0), math.radians(0.1))}), WORK, "3.0 deg off"),
    ("pad angle", dict(seat={"pad angle": Fact(math.radians(7.0), math.radians(0.1))}), NOT, "7.0 deg off"),
    ("pad angle", dict(seat={"pad angle": Fact(math.radians(0.6), math.radians(1.0))}), OPEN, "0.6 deg off"),
    ("plate holes", dict(clamp={"u-bolt thread": "5/8-18"}), NOT, "does not go through holes of 14.00 mm"),
])  # fmt: skip
def test_each_question_answers_for_its_own_reason(question, changes, verdict, words):
    answer = asked(question, **changes)
    assert answer.verdict is verdict, answer
    assert words in answer.reason
    assert bool(answer.works) == (verdict is WORK)
    assert bool(answer.measure) == (verdict is OPEN)


@pytest.mark.parametrize("head,hole,kind", [(16.0, 15.0, {"turn down", "open up"}), (12.7, 15.9, {"make a ring"})])
def test_a_centre_pin_is_made_to_fit_its_hole(head, hole, kind):
    answer = asked("centre pin", seat={"pin hole": mm(hole, 0.02)}, spring={"pin head": mm(head, 0.02)})
    assert answer.verdict is WORK
    assert {work.kind for work in answer.works} <= kind


def test_a_pin_play_nobody_gauged_well_enough_stays_open_and_says_which_gauge_would_settle_it():
    answer = asked("centre pin", seat={"pin hole": mm(15.5, 0.3)})
    assert answer.verdict is OPEN
    assert "it would be settled" in answer.measure


def test_the_torque_lists_and_every_version_of_the_second_tightening_are_told():
    reason = asked("u-bolts new").reason
    assert "71 to 95 N*m" in reason
    assert all(words in reason for words in ("800 km", "160 km", "80 km"))


def test_a_thicker_tube_asks_for_slots_outward_along_the_vehicle_alone():
    answer = asked("plate holes", seat={"tube diameter": mm(88.9)},
                   clamp={"inside width": mm(88.9), "plate along": mm(88.9)})  # fmt: skip
    assert answer.verdict is WORK, answer.reason
    # legs 88.9 + 12.7 = 101.6 mm apart where the holes are 88.9 mm apart: 12.7 mm too little, 6.35 mm a hole
    (work,) = answer.works
    new = [hole for hole in work.figure.holes if not hole.old]
    assert [hole.slot_mm for hole in new] == pytest.approx([6.35] * 4)
    assert sorted(hole.x_mm for hole in new) == pytest.approx([-47.625, -47.625, 47.625, 47.625])
    assert {abs(hole.y_mm) for hole in new} == {38.25}
    assert all(abs(math.sin(hole.slot_rad)) < 1e-12 for hole in new)
    assert "6.35 mm outward along the vehicle" in answer.reason
    # slot's end at 50.8 mm, plate's edge at 75 mm
    assert "24.20 mm is left from the slot's end to the edge" in work.words


def test_with_the_bolts_over_the_spring_a_bigger_tube_needs_room_only_and_the_spring_sets_the_legs():
    changes = dict(seat={"tube diameter": mm(88.9)}, clamp={
        "u-bolts go": "over the spring", "inside width": mm(64.0), "plate along": mm(88.9), "plate across": mm(76.7),
    })  # fmt: skip
    answer = asked("plate holes", **changes)
    assert answer.verdict is WORK
    assert "76.70 mm apart across the vehicle" in answer.reason
    assert "6.35 mm outward along the vehicle" in answer.reason
    wide = {**changes["clamp"], "plate along": mm(120.0)}
    assert asked("plate holes", **{**changes, "clamp": wide}).verdict is FITS


def test_a_smaller_tube_slots_inward():
    answer = asked("plate holes", seat={"tube diameter": mm(63.5)}, clamp={"inside width": mm(63.5)})
    assert answer.verdict is WORK
    # legs 76.2 mm apart, holes 89.5 mm: 6.65 mm a hole, inward
    assert "6.65 mm inward along the vehicle" in answer.reason
    xs = [hole.x_mm for hole in answer.works[0].figure.holes if not hole.old]
    assert max(xs) == pytest.approx(44.75 - 6.65 / 2.0)


def test_too_little_metal_at_the_edge_does_not_fit_and_names_the_new_plate():
    answer = asked("plate holes", seat={"tube diameter": mm(88.9)},
                   clamp={"inside width": mm(88.9), "plate along": mm(88.9), "plate length": mm(120.0)})  # fmt: skip
    assert answer.verdict is NOT
    # slot's end 50.8 mm from the middle, edge at 60 mm: 9.2 mm where 1.5 * 14 = 21 mm is asked
    assert "9.20 mm from the slot's end to the edge where 21.00 mm is asked" in answer.reason
    assert "101.6 mm apart along" in answer.remedy
    assert answer.works == ()


def test_the_builders_own_version_of_a_rule_changes_the_verdict():
    changes = dict(seat={"tube diameter": mm(88.9)},
                   clamp={"inside width": mm(88.9), "plate along": mm(88.9), "plate length": mm(136.0)})  # fmt: skip
    assert asked("plate holes", **changes).verdict is NOT
    looser = asked("plate holes", **changes, choices={"hole-edge-distance": "1.2 hole diameters, structural bolts"})
    assert looser.verdict is WORK


def test_a_plate_of_unknown_outline_cannot_be_told():
    answer = asked("plate holes", seat={"tube diameter": mm(88.9)},
                   clamp={"inside width": mm(88.9), "plate along": mm(88.9), "plate length": None})  # fmt: skip
    assert answer.verdict is OPEN
    assert "length along and width across" in answer.measure


def test_play_within_the_holes_needs_no_slot():
    assert asked("plate holes", clamp={"plate along": mm(90.5)}).verdict is FITS


def test_slots_mirror_and_keep_the_old_hole_in_them():
    plate = Face("plate", "", outline=((-70.0, -65.0), (70.0, -65.0), (70.0, 65.0), (-70.0, 65.0)))
    done = slots("p", 80.0, 70.0, 13.0, 3.0, -4.0, plate)
    new = [h for h in done.figure.holes if not h.old]
    old = [h for h in done.figure.holes if h.old]
    assert {h.slot_mm for h in new} == {5.0}
    for slot, hole in zip(new, old, strict=True):
        reach = 2.5 * math.cos(slot.slot_rad), 2.5 * math.sin(slot.slot_rad)
        ends = [(slot.x_mm + s * reach[0], slot.y_mm + s * reach[1]) for s in (1, -1)]
        assert min(math.dist(end, (hole.x_mm, hole.y_mm)) for end in ends) < 1e-9
    assert sum(h.x_mm for h in new) == pytest.approx(0.0)
    assert sum(h.y_mm for h in new) == pytest.approx(0.0)


def test_metal_left_round_slots_by_another_route():
    """Points all round each slot's edge, measured one by one to the plate's edge and to the next slot."""
    plate = Face("plate", "", outline=((-72.0, -60.0), (72.0, -60.0), (72.0, 60.0), (-72.0, 60.0)))
    done = slots("p", 86.0, 74.0, 13.5, 5.0, 3.0, plate)
    rims = []
    for h in (h for h in done.figure.holes if not h.old):
        rim = []
        for n in range(721):
            t = 2.0 * math.pi * n / 720
            side = 1.0 if math.cos(t - h.slot_rad) >= 0.0 else -1.0
            cx = h.x_mm + side * h.slot_mm / 2.0 * math.cos(h.slot_rad)
            cy = h.y_mm + side * h.slot_mm / 2.0 * math.sin(h.slot_rad)
            rim.append((cx + 6.75 * math.cos(t), cy + 6.75 * math.sin(t)))
        rims.append(rim)
    edge = min(min(72.0 - abs(x), 60.0 - abs(y)) for rim in rims for x, y in rim)
    assert done.left.edge_mm == pytest.approx(edge, abs=1e-3)
    between = min(math.dist(p, q) for i, a in enumerate(rims) for b in rims[i + 1 :] for p in a[::6] for q in b[::6])
    assert done.left.between_mm == pytest.approx(between, abs=0.05)


def test_the_grades_of_metric_u_bolts_can_be_told():
    grades = next(ask for ask in KINDS[0].asks if ask.key == "u-bolt grade").choices
    assert {"5", "8", "8.8", "10.9"} <= set(grades)
    metric = asked("u-bolts new", clamp={"u-bolt thread": "M14x1.5", "u-bolt grade": "8.8"})
    assert metric.verdict is FITS
    # no list found has a torque for it: the vehicle's own figure it is
    assert "N*m" not in metric.reason
    assert "the vehicle's own figure first" in metric.reason
