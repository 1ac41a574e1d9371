"""The machine-shop order: what stops it, what is asked, what is inspected, and that drawings show the part's own sizes.

Expected sizes follow from the invented parts by plane geometry, worked by hand beside each.
"""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from invented_mates import (
    ADAPTER,
    ANSWERS,
    AXLE,
    DAMPER,
    FLANGE,
    GROOVED,
    HUB_RING,
    MAKE_PLATE,
    PARTS,
    PATTERN_ALONE,
    PIN,
    PLATE,
    REDRILL,
    REGISTER,
    RING,
    SLOT,
    SMALL_RING,
    TURN_DOWN,
    on_circle,
)
from invented_sheets import LETTER, META

from trialfit.findings import Verdict
from trialfit.mates import Answer, Hole, Joint, Plate, Step, Turned, Work
from trialfit.mates.register import Register, register
from trialfit.parts import Fact, Port
from trialfit.sheets.drawing import Words, bounds, overlap
from trialfit.sheets.machine_order import (
    PartToWork,
    asked_fields,
    inspection_lines,
    machine_order_leaves,
    machine_stop,
    order_doubts,
    part_features,
    parts_to_work,
    plates_of,
    work_doubts,
)
from trialfit.sheets.plate_drawing import (
    both,
    handed,
    hole_outline,
    hole_rows,
    limits_words,
    metal_left,
    metal_left_words,
    numbered,
    plate_drawing,
)
from trialfit.sheets.turned_drawing import profile, turned_drawing
from trialfit.standards import table

PLATES = {
    "flange": FLANGE,
    "damper": DAMPER,
    "adapter": ADAPTER,
    "ring": SMALL_RING,
    "pattern": PATTERN_ALONE,
    "crowded": Plate(
        "sixteen (invented)",
        "its bore",
        11.7,
        tuple(Hole(x, y, 9.0) for x, y in on_circle(16, 160.0)),
        200.0,
        bore_mm=80.0,
    ),
}
TURNED = {"register": REGISTER, "ring": RING, "grooved": GROOVED, "pin": PIN}


def told(leaves):
    return " ".join(m.text for leaf in leaves for m in leaf.marks if isinstance(m, Words))


# -- whether it may be ordered from -----------------------------------------------------------------------------


def test_an_order_with_every_size_is_ready():
    stop = machine_stop(PARTS, ANSWERS)
    assert stop.ready
    assert stop.head == "READY TO BE ORDERED FROM"
    assert "NOT TO BE ORDERED" not in told(machine_order_leaves(PARTS, META, ANSWERS))


CANNOT = Answer(
    "register",
    Verdict.CANNOT_TELL,
    "the hub's register is not known",
    measure="measure the hub's register with a calliper, in two directions",
)
NEVER = Answer("bolt circle", Verdict.DOES_NOT_FIT, "4 holes never meet 5 studs", remedy="another wheel")
RUN_INTO = replace(
    REDRILL,
    figure=replace(
        FLANGE,
        holes=tuple(
            replace(h, x_mm=x, y_mm=y) if not h.old else h
            for h, (x, y) in zip(FLANGE.holes, [*on_circle(5, 120.65), *on_circle(5, 114.3)], strict=True)
        ),
    ),
)


@pytest.mark.parametrize(
    "part, reason, lift",
    [
        (
            replace(AXLE, works=(replace(TURN_DOWN, found=Fact(70.6)),)),
            "nobody said how well that is known",
            "write down with which gauge",
        ),
        (
            replace(AXLE, works=(replace(TURN_DOWN, target=None),)),
            "the size to work to is not known",
            "Measure the part that it has to fit",
        ),
        (
            replace(AXLE, works=(replace(TURN_DOWN, figure=None),)),
            "it has no drawing",
            "what the mates list asks for",
        ),
        (
            replace(PLATE, works=(replace(MAKE_PLATE, figure=replace(ADAPTER, thickness_mm=None)),)),
            "the thickness to make it to is not known",
            "Say how thick",
        ),
        (replace(AXLE, works=(RUN_INTO,)), "runs into another hole", "another part"),
        (
            replace(AXLE, open_answers=(("wheel on hub", CANNOT),)),
            "the hub's register is not known",
            "Measure the hub's register with a calliper",
        ),
        (replace(AXLE, open_answers=(("wheel on hub", NEVER),)), "4 holes never meet 5 studs", "Another wheel"),
        (replace(AXLE, material=""), "what it is made of, and how it was made is missing", "try a magnet"),
        (
            replace(AXLE, features=("stud",), said={**AXLE.said, "stud_thread": "M12x1.5"}),
            "diameter over the knurl is missing",
            "never pressed in",
        ),
    ],
)
def test_what_stops_an_order(part, reason, lift):
    stop = machine_stop((HUB_RING, part), ANSWERS)
    assert not stop.ready
    assert stop.head == "NOT TO BE ORDERED FROM YET"
    assert reason in stop.reason
    assert part.part in stop.reason
    assert lift in stop.lift
    text = told(machine_order_leaves((HUB_RING, part), META, ANSWERS))
    assert "NOT TO BE ORDERED FROM YET" in text
    assert "READY" not in text


def test_a_joint_that_never_fits_stops_before_a_size_that_is_only_unknown():
    part = replace(
        AXLE,
        works=(replace(TURN_DOWN, target=None),),
        material="",
        open_answers=(("rotor on hub", CANNOT), ("wheel on hub", NEVER)),
    )
    reasons = [reason for reason, _ in order_doubts((part,), ANSWERS)]
    order = [
        next(k for k, r in enumerate(reasons) if words in r)
        for words in ("4 holes", "size to work to", "register is not known", "made of")
    ]
    assert order == sorted(order)
    assert "more below" in machine_stop((part,), ANSWERS).lift


def test_a_size_of_standard_doubt_nought_is_no_doubt():
    assert work_doubts(replace(TURN_DOWN, found=Fact(70.6, 0.0, "nominal"))) == []
    assert work_doubts(Work("shim (invented)", "shim", "face", "0.5 mm")) == []


# -- what the shop asks -----------------------------------------------------------------------------------------


def test_the_shops_list_is_complete():
    """Topics that a machine shop asks for, as gathered from the trade (common practice, no source)."""
    topics = {
        "material": "Part",
        "hardness": "Part",
        "datum": "Drawing",
        "bolt_circle": "Bolt circle",
        "old_circle": "Bolt circle",
        "old_to_new": "Bolt circle",
        "metal_left": "Bolt circle",
        "register_size": "Register",
        "register_height": "Register",
        "register_chamfer": "Register",
        "register_side": "Register",
        "stud_thread": "Stud",
        "stud_knurl_diameter": "Stud",
        "stud_knurl_length": "Stud",
        "stud_hole": "Stud",
        "stud_shoulder_side": "Stud",
        "stud_seat_depth": "Stud",
        "face_thickness": "Faces",
        "face_flatness": "Faces",
        "face_runout": "Faces",
        "face_parallel": "Faces",
        "bore_old": "Bore",
        "bore_new": "Bore",
        "bore_chamfer": "Bore",
        "ring_material": "Bore",
        "ring_fit": "Bore",
        "rotor_hat_inside": "Rotor or drum",
        "rotor_hat_depth": "Rotor or drum",
        "rotor_least_thickness": "Rotor or drum",
        "rotor_offset": "Rotor or drum",
        "rotor_centring": "Rotor or drum",
        "forbidden": "Not allowed",
        "sent_along": "Sent along",
        "inspection": "Inspection",
    }
    rows = {row["key"]: row["group"] for row in table("order_fields_machine_shop").rows}
    assert topics.items() <= rows.items()


def test_only_what_a_part_has_is_asked():
    keys = {f.key for f in asked_fields(HUB_RING, ANSWERS)}
    assert {"ring_fit", "ring_material", "material"} <= keys
    assert not {"bolt_circle", "stud_thread", "rotor_offset", "register_size"} & keys
    assert part_features(AXLE) == {"register", "face", "holes"}
    assert part_features(replace(AXLE, features=("stud", "rotor"))) == {"register", "face", "holes", "stud", "rotor"}


def test_derived_answers_say_the_parts_own_sizes():
    answers = {f.key: f.answer for f in asked_fields(AXLE, ANSWERS)}
    assert answers["bolt_circle"] == "5 of Ø 13 mm on a circle of 114.30 mm"
    assert answers["old_circle"] == "5 there already, old circle 120.65 mm"
    assert answers["old_to_new"] == "36.0°, seen from the datum"
    assert answers["register_size"] == "outer register: 67.071 to 67.090 mm (67.1 g6)"
    assert answers["face_runout"].startswith("0.05 mm to the bearing seats")
    assert answers["contact"] == ANSWERS["contact"]


@pytest.mark.parametrize(
    "said, message",
    [
        ({"materail": "steel"}, "has no field 'materail'; nearest: material"),
        ({"bolt_circle": "5 on 114.3"}, r"\(bolt_circle\) cannot be given: it is worked out from the joints"),
        ({"price": "much"}, r"\(price\) cannot be given: the shop fills it in"),
        ({"photographs": "perhaps"}, r"\(photographs\) is 'perhaps'; one of: yes, no"),
    ],
)
def test_an_answer_the_list_cannot_take_is_refused(said, message):
    with pytest.raises(ValueError, match=message):
        asked_fields(replace(AXLE, said=said), ANSWERS)


def test_an_unknown_feature_and_an_empty_order_are_refused():
    with pytest.raises(ValueError, match="no feature of a part is called 'studs'; nearest: stud"):
        part_features(replace(AXLE, features=("studs",)))
    with pytest.raises(ValueError, match="1 at least"):
        machine_order_leaves((), META)


def test_what_is_missing_stands_before_the_parts():
    text = told(machine_order_leaves((replace(AXLE, features=("stud",)),), META, {}))
    places = [text.index(w) for w in ("Still to fill in", "Thread of the stud", "The parts", "Part 1 of 1")]
    assert places == sorted(places)
    assert text.index("Whom to ask, and how. Do:") < text.index("The parts")


# -- from joints to parts ---------------------------------------------------------------------------------------


def joint(name, a, b):
    port = Port({}, "face", "face")
    return Joint({}, name, "wheel on hub", port, port, a, b, "forged steel", "aluminium")


def test_works_of_one_part_come_together_from_all_its_joints():
    wheel, rotor = (
        joint("wheel on hub", AXLE.part, "wheel (invented)"),
        joint("rotor on hub", AXLE.part, "rotor (invented)"),
    )
    shim = Work(AXLE.part, "shim", "face", "a shim of 0.5 mm")
    judged = [
        (
            wheel,
            (
                Answer("register", Verdict.FITS_AFTER_WORK, "", works=(TURN_DOWN, shim)),
                Answer("circle", Verdict.FITS_AFTER_WORK, "", works=(REDRILL, TURN_DOWN)),
            ),
        ),
        (rotor, (CANNOT, Answer("hat", Verdict.FITS, ""))),
    ]
    (part,) = parts_to_work(judged, {AXLE.part: AXLE.said}, {AXLE.part: ("stud",)})
    assert part.works == (TURN_DOWN, REDRILL)
    assert part.sent_along == ("wheel (invented)",)
    assert part.material == "forged steel"
    assert part.open_answers == (("rotor on hub", CANNOT),)
    assert part.features == ("stud",)
    assert not machine_stop((part,), ANSWERS).ready


def judged_on(*names, work=TURN_DOWN):
    answers = (Answer("register", Verdict.FITS_AFTER_WORK, "", works=(work,)),)
    return [(joint(name, work.part, "wheel (invented)"), answers) for name in names]


@pytest.mark.parametrize("names, quantity, place", [
    (("front wheel left", "front wheel right"), "2, left and right", "front wheel left and right"),
    (("front wheel left",), "1, left", "front wheel left"),
    (("front wheel", "spare wheel"), "1", "front wheel; spare wheel"),
])  # fmt: skip
def test_an_order_says_how_many_and_which(names, quantity, place):
    (part,) = parts_to_work(judged_on(*names))
    assert part.works == (TURN_DOWN,)
    assert (part.quantity, part.place) == (quantity, place)
    said = told(machine_order_leaves((part,), META))
    assert f"Quantity {quantity}" in said
    assert f"Quantity: {quantity}." in said


def test_a_handed_part_is_ordered_with_its_mirror_image():
    ear = Plate("ear", "its hole", 5.0, (Hole(0.0, 0.0, 8.0), Hole(30.0, 0.0, 8.0), Hole(30.0, 10.0, 6.0)))
    (part,) = parts_to_work(judged_on("arm left", "arm right", work=replace(SLOT, figure=ear)))
    assert part.quantity == "2, left and right: drawn is the left one, the right one mirrored"
    (part,) = parts_to_work(judged_on("arm left", "arm right", work=SLOT))
    assert part.quantity == "2, left and right"


@pytest.mark.parametrize("plate", [FLANGE, DAMPER, ADAPTER])
def test_a_mirror_image_is_as_handed_as_the_plate(plate):
    """The flange and the damper plate have a line of symmetry; the adapter's hole at the foot has no fellow."""
    over = replace(plate, outline=tuple((-x, y) for x, y in plate.outline), holes=tuple(
        replace(h, x_mm=-h.x_mm, slot_rad=math.pi - h.slot_rad) for h in plate.holes))  # fmt: skip
    assert handed(plate) is handed(over) is (plate is ADAPTER)


def test_work_on_one_side_only_is_said_so():
    (part,) = parts_to_work([*judged_on("wheel left", "wheel right"), *judged_on("disc left", work=REDRILL)])
    assert part.only_on(TURN_DOWN) == ""
    assert part.only_on(REDRILL) == "the left one only"
    assert "On the left one only." in told(machine_order_leaves((part,), META))


def test_each_row_of_found_and_wanted_is_of_one_feature():
    """The ring's outside is made to the bore, its inside to the register: 0.05 to 0.15 mm shared by both."""
    answer = register(Register("bore", Fact(70.10, 0.01), Fact(66.98, 0.01), "disc", "hole", "hub", "register",
                               may_ring=True, clearance_mm=(0.05, 0.15), ring_height_mm=6.0))  # fmt: skip
    (ring,) = answer.works
    (inside,) = ring.sizes
    assert (ring.feature, ring.found.value) == ("outside, in the hole of disc", 70.10)
    assert (ring.target.low_mm, ring.target.high_mm) == pytest.approx((70.025, 70.075))
    assert (inside.feature, inside.found.value) == ("inside, on the register of hub", 66.98)
    assert (inside.target.low_mm, inside.target.high_mm) == pytest.approx((67.005, 67.055))
    assert ring.target.fit == inside.target.fit == "clearance 0.025 to 0.075 mm"
    assert "0.05 to 0.15 mm on both together" in ring.words
    part = PartToWork("disc", "rear disc left", (ring,))
    checked = [(what, limits) for what, limits, _ in inspection_lines(part)]
    assert ("inside, on the register of hub, diameter, in two directions", "67.005 to 67.055 mm") in checked
    assert checked[0] == ("outside, in the hole of disc, diameter, in two directions", "70.025 to 70.075 mm")
    doubtful = replace(ring, sizes=(replace(inside, found=Fact(66.98, None)),))
    assert any("inside, on the register of hub: found 66.98 mm" in reason for reason, _ in work_doubts(doubtful))


def test_a_part_made_new_takes_both_its_mates_along():
    made = replace(MAKE_PLATE, part="plate to be made (invented)")
    pair = joint("gearbox to engine", "engine (invented)", "gearbox (invented)")
    (part,) = parts_to_work([(pair, (Answer("pattern", Verdict.FITS_AFTER_WORK, "", works=(made,)),))])
    assert part.sent_along == ("engine (invented) and gearbox (invented)",)
    assert part.material == ""


def test_flat_figures_come_once_each_and_only_at_true_size():
    drawn = replace(MAKE_PLATE, figure=replace(ADAPTER, at_true_size=False))
    assert plates_of((*PARTS, AXLE, replace(PLATE, works=(drawn,)))) == (FLANGE, ADAPTER, DAMPER)


# -- what is inspected ------------------------------------------------------------------------------------------


def test_every_limit_is_inspected():
    lines = inspection_lines(AXLE)
    limits = [metric for _, metric, _ in lines]
    assert limits == ["67.071 to 67.090 mm", "0 to 0.05 mm", "0 to 0.10 mm", "13.000 to 13.110 mm", "0 to 0.100 mm"]
    assert any("holes 1, 2, 3, 4, 5" in what for what, _, _ in lines)
    slots = inspection_lines(PARTS[3])
    assert ("holes 1, 2, 3, 4: as drawn, within ISO 2768-1, medium", "slot 23.5 mm over all", "") in slots


@given(st.floats(3.0, 400.0), st.floats(0.0, 0.5))
def test_inch_limits_never_allow_what_millimetres_refuse(low, band):
    """25.4 mm to the inch; limits in inches are rounded inwards unless the band is finer than their last figure."""
    metric, inches = limits_words(low, low + band)
    a, b = (float(v) for v in inches.removesuffix(" in").split(" to "))
    if band > 0.003:
        assert low - 1e-6 <= a * 25.4
        assert b * 25.4 <= low + band + 1e-6
        assert a <= b
    assert metric == f"{low:.3f} to {low + band:.3f} mm"


@pytest.mark.parametrize(
    "text, told",
    [
        ("bored to 25.4 mm deep", "bored to 25.4 mm (1.000 in) deep"),
        ("a clearance of 0.05 to 0.15 mm", "a clearance of 0.05 to 0.15 mm (0.002 to 0.006 in)"),
        ("known to 76.20 ± 0.05 mm", "known to 76.20 ± 0.05 mm (3.000 ± 0.002 in)"),
        ("25.400 to 25.425 mm", "25.400 to 25.425 mm (1.0000 to 1.0009 in)"),
        ("M12x1.5 and 40 mm2", "M12x1.5 and 40 mm2"),
    ],
)
def test_inches_behind_every_length(text, told):
    """25.4 mm to the inch; 0.05 mm are 0.00197 in, 0.15 mm 0.0059 in, 25.425 mm 1.00098 in."""
    assert both(text) == told


def test_a_ring_is_inspected_inside_and_outside():
    inspected = [metric for _, metric, _ in inspection_lines(HUB_RING)]
    assert inspected == ["67.100 to 67.130 mm", "0 to 0.03 mm", "73.061 to 73.080 mm"]


def test_a_length_is_no_diameter():
    step = replace(TURN_DOWN, place="end of the step", target=replace(TURN_DOWN.target, fit="length"), figure=PIN)
    lines = inspection_lines(replace(AXLE, works=(step,)))
    assert lines[0][0] == "end of the step, length"
    assert ("Pin (invented), outside diameter, in two directions", *limits_words(11.983, 11.994)) in lines


def test_a_length_that_is_not_known_is_not_drawn_to_scale_nor_ordered():
    (step,) = RING.steps
    asked = replace(RING, steps=(replace(step, length_words="to be measured"),))
    assert turned_drawing(asked, 186.0).scale == "1 : 1 across, lengths not to scale"
    assert turned_drawing(RING, 186.0).scale == "1 : 1"
    part = replace(HUB_RING, works=(replace(HUB_RING.works[0], figure=asked),))
    assert "still to be measured" in machine_stop((part,), ANSWERS).reason
    found = replace(REGISTER, steps=(*REGISTER.steps[:2], replace(REGISTER.steps[2], length_words="as found")))
    text = " ".join(m.text for m in turned_drawing(found, 186.0).marks if isinstance(m, Words))
    assert "(23)" not in text
    assert work_doubts(replace(TURN_DOWN, figure=found)) == []


# -- drawings ---------------------------------------------------------------------------------------------------


def test_metal_left_round_the_flanges_holes():
    """Cosine rule between an old hole at 60.325 mm and a new one at 57.15 mm, 36 deg apart, less 13 mm; to the edge
    75 - 57.15 - 6.5, to the bore 57.15 - 30 - 6.5."""
    left = metal_left(FLANGE)
    assert left.between_mm == pytest.approx(
        math.sqrt(60.325**2 + 57.15**2 - 2 * 60.325 * 57.15 * math.cos(math.radians(36.0))) - 13.0
    )
    assert left.edge_mm == pytest.approx(11.35)
    assert left.bore_mm == pytest.approx(20.65)


def test_an_old_hole_within_its_slot_is_no_web():
    """The old hole lies at the slot's end; what counts is the way to the centre pin's hole and to the edge: from (41.5,
    52.5) to the middle less 7.25 and 6.25; 60 - 41.5 - 7.25."""
    left = metal_left(DAMPER)
    assert left.between_mm == pytest.approx(math.hypot(41.5, 52.5) - 7.25 - 6.25)
    assert left.edge_mm == pytest.approx(11.25)
    moved = replace(DAMPER, holes=tuple(replace(h, x_mm=h.x_mm + 1.0) if h.old else h for h in DAMPER.holes))
    assert metal_left(moved).between_mm < 0.0
    assert "run into each other" in metal_left_words(moved)


def test_an_edge_that_was_not_measured_is_said():
    assert "to the edge not known" in metal_left_words(PATTERN_ALONE)
    assert metal_left_words(replace(FLANGE, holes=FLANGE.holes[:5])) == ""


@pytest.mark.parametrize("slot, turn", [(0.0, 0.0), (9.0, 0.0), (9.0, 0.7), (30.0, 2.5)])
def test_a_hole_has_the_area_of_its_outline(slot, turn):
    """A slot is a rectangle and two half circles: pi r^2 + d s."""
    points = hole_outline(Hole(3.0, -4.0, 14.5, slot_mm=slot, slot_rad=turn), 0.05)
    area = 0.5 * sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(points, points[1:] + points[:1], strict=True))
    assert area == pytest.approx(math.pi * 7.25**2 + 14.5 * slot, rel=1e-4)


@pytest.mark.parametrize("which, chamfers", [("register", 1), ("ring", 4), ("grooved", 0), ("pin", 0)])
def test_a_section_has_the_area_of_its_steps(which, chamfers):
    """Length by wall of each step, less half a square for each chamfer of 1 and 0.5 mm."""
    part = TURNED[which]
    points = profile(part.steps)
    area = 0.5 * abs(
        sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(points, points[1:] + points[:1], strict=True))
    )
    cut = chamfers * 0.5 * max(s.chamfer_mm for s in part.steps) ** 2
    assert area == pytest.approx(sum(s.length_mm * (s.outer_mm - s.inner_mm) / 2.0 for s in part.steps) - cut)


@pytest.mark.parametrize(
    "step, words",
    [
        (Step(0.0, 50.0, 20.0), "step 1 of 'x' is 0 long"),
        (Step(5.0, 20.0, 20.0), "inside below outside"),
        (Step(5.0, 20.0, 30.0), "inside below outside"),
        (Step(2.0, 50.0, 48.0, worked="outer", chamfer_mm=1.0), "0 to 0.5 mm"),
    ],
)
def test_a_turned_part_that_cannot_be_is_refused(step, words):
    with pytest.raises(ValueError, match=words):
        turned_drawing(Turned("x", "", (step,)), 186.0)


def test_a_part_without_steps_or_edge_is_refused():
    with pytest.raises(ValueError, match="needs at least 1"):
        turned_drawing(Turned("x", "", ()), 186.0)
    with pytest.raises(ValueError, match="there is nothing to draw"):
        plate_drawing(Plate("x", "", None, ()), 186.0)


@pytest.mark.parametrize("wide", [186.0, 191.9])
@pytest.mark.parametrize("which", [*PLATES, *TURNED])
def test_no_word_of_a_drawing_lies_on_another_or_outside(which, wide):
    made = (
        plate_drawing(PLATES[which], wide)
        if which in PLATES and which != "ring"
        else turned_drawing(TURNED[which], wide)
    )
    words = [m for m in made.marks if isinstance(m, Words)]
    for k, a in enumerate(words):
        for b in words[k + 1 :]:
            assert overlap(a.box(), b.box()) == 0.0, (a.text, b.text)
    box = bounds(made.marks)
    assert box[0] >= 0.0
    assert box[1] >= 0.0
    assert box[2] <= wide
    assert box[3] <= made.height_mm


@pytest.mark.parametrize("which", PLATES)
def test_every_hole_is_named_on_the_drawing_and_in_the_table(which):
    plate = PLATES[which]
    drawn = [m.text for m in plate_drawing(plate, 186.0).marks if isinstance(m, Words)]
    rows = hole_rows(plate)
    names = [name for name, _ in numbered(plate)]
    assert len(rows) == len(plate.holes) == len(names)
    assert all(drawn.count(name) == 1 for name in names)
    for (name, hole), row in zip(numbered(plate), rows, strict=True):
        text = " ".join(run.text for cell in row for run in (cell if isinstance(cell, tuple) else (cell,)))
        assert text.startswith(name)
        assert f"{abs(hole.x_mm):.2f}" in text
        assert f"{abs(hole.y_mm):.2f}" in text


@pytest.mark.parametrize("which", TURNED)
def test_every_size_of_a_turned_part_is_written(which):
    part = TURNED[which]
    text = " ".join(m.text for m in turned_drawing(part, 186.0).marks if isinstance(m, Words))
    for step in part.steps:
        for words in (step.outer_words, step.inner_words if step.inner_mm else "", step.length_words):
            assert words.split(" ")[0] in text
    if any(s.chamfer_mm for s in part.steps):
        assert "× 45°" in text


@pytest.mark.parametrize("meta", [META, LETTER])
def test_what_is_forbidden_and_sent_along_is_on_the_sheet(meta):
    text = told(machine_order_leaves(PARTS, meta, ANSWERS))
    for words in (
        "Welding on the axle shaft.",
        "Welding the old holes shut.",
        "one stud and nut",
        "bell housing",
        "Third angle",
        "ISO 2768-1",
        "Local codes",
        "Eye protection",
        "A: middle of the register",
    ):
        assert words in text


def test_a_part_of_another_kind_keeps_its_own_answers():
    other = PartToWork("other (invented)", "", (REDRILL,), "cast iron")
    assert {f.key: f.answer for f in asked_fields(other, {})}["material"] == "cast iron"


def test_what_work_does_to_another_joint_stands_on_the_order():
    beware = "after this spare wheel needs a ring round the register"
    part = replace(AXLE, works=(replace(TURN_DOWN, others=(beware,)),))
    assert "After this spare wheel needs a ring" in told(machine_order_leaves((part,), META))
