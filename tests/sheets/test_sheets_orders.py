"""Orders as text and as amounts: both systems, doubts, what is missing, and no message too long to send."""

import math
from dataclasses import replace

import pytest
from invented_orders import axle_answers, degrees, face_to_face, inner, shaft_answers, two_pieces
from invented_sheets import LETTER, META

from trialfit.driveline.order import differential_order, shaft_order
from trialfit.driveline.order_fields import SHOP, Given
from trialfit.sheets.axle_order import axle_order_leaves, axle_sketch
from trialfit.sheets.drawing import Words, bounds, overlap
from trialfit.sheets.order_text import MESSAGE_LIMIT, amount, order_messages, order_stop, order_text
from trialfit.sheets.ring_and_pinion_sheet import ring_and_pinion_leaves
from trialfit.sheets.shaft_order import shaft_order_leaves, shaft_sketch, tube_words

ORDERS = {
    "slip yoke": shaft_order(shaft_answers()),
    "two pieces": shaft_order(two_pieces()),
    "face to face": shaft_order(face_to_face()),
    "seal": shaft_order(shaft_answers(length_reference=Given("seal to joint centre"))),
    "length missing": shaft_order(shaft_answers(length_at_ride=None)),
    "nothing": shaft_order({}),
    "differential": differential_order(axle_answers()),
    "no axle": differential_order({}),
}
every = pytest.mark.parametrize("which", ORDERS)


def sketch_of(order, wide=186.0):
    return (axle_sketch if order.kind == "differential" else shaft_sketch)(order, wide)


@pytest.mark.parametrize("key, given, told", [
    ("length_at_ride", Given(1287.0, 1.4, "tape"), ("1287 ± 3 mm", "50 21/32 in +0.3 mm")),
    ("length_at_ride", Given(1320.8, 0.2, "rule"), ("1320.8 ± 0.4 mm", "52 in")),
    ("length_at_ride", Given(1320.8, None, "told"), ("1320.8 mm, doubt not known", "52 in")),
    ("rear_pilot_diameter", Given(60.0, 0.03, "calliper"), ("60.0 ± 0.1 mm", "2.362 in")),
    ("engine_torque", inner(350.0, "N*m", 10.0, "sheet"), ("350 ± 20 N·m", "258 ± 15 lbf·ft")),
    ("kerb_mass", Given(1540.0, 20.0, "scales"), ("1540 ± 40 kg", "3395 ± 87 lb")),
    ("top_speed", inner(180.0, "km/h", 3.0, "sum"), ("180 ± 6 km/h", "112 ± 4 mph")),
    ("pinion_side", degrees(-2.6), ("−2.6 ± 0.4°", "")),
    ("spline_count", Given(27.0), ("27", "")),
    ("paint", Given("black"), ("black", "")),
])
def test_an_amount_in_both_systems(key, given, told):
    """Expected by hand: 1287 mm are 50 21/32 in and 0.3 mm, 350 N*m 258.1 lbf*ft, 1540 kg 3395 lb, 180 km/h 112 mph;
    give or take is 1.96 times the standard deviation, rounded up."""
    assert amount(shaft_order(shaft_answers(**{key: given})).field(key)) == told


def test_a_question_mark_for_what_is_missing():
    assert amount(ORDERS["length missing"].field("length_at_ride")) == ("?", "")


@every
def test_no_message_is_too_long_and_every_part_says_whether_to_order(which):
    parts = order_messages(ORDERS[which], META)
    assert all(len(part) < MESSAGE_LIMIT == 4000 for part in parts)
    assert all(order_stop(ORDERS[which]).head in part.splitlines()[0] for part in parts)


@pytest.mark.parametrize("which", ["slip yoke", "face to face", "differential", "nothing", "no axle"])
def test_a_usual_order_is_one_message(which):
    assert len(order_messages(ORDERS[which], META)) == 1


@every
def test_every_answer_has_its_own_line_and_no_table(which):
    order = ORDERS[which]
    lines = order_text(order, META).splitlines()
    for field in order.fields:
        metric, other = amount(field)
        if field.value is not None:
            (line,) = [x for x in lines if x.startswith((f"{field.short}: ", f"{field.short}, {field.sentence}: "))
                       and x.split(": ", 1)[-1].endswith(f"({other})" if other else metric) and metric in x] or [None]
            assert line is not None, field.key
    assert not any(sign in line for line in lines for sign in ("\t", "|", "  "))


@every
def test_what_is_missing_stands_before_the_answers(which):
    order, text = ORDERS[which], order_text(ORDERS[which], META)
    missing = [f for f in order.missing if f.life_critical]
    assert ("STILL MISSING, no order without" in text) == bool(missing)
    if missing:
        line = next(x for x in text.splitlines() if x.startswith("STILL MISSING"))
        assert all(f.short in line for f in missing)
        assert text.index("STILL MISSING") < text.index("Please answer")
    assert all(f.name in text for f in order.fields if f.asked == SHOP)


def test_long_words_come_in_parts_and_nothing_is_lost():
    words = {f.key: Given(f"{f.key} " + "word " * 25) for f in ORDERS["slip yoke"].fields
             if f.kind == "word" and f.asked != SHOP}
    order = shaft_order(shaft_answers(**words))
    parts = order_messages(order, META)
    assert len(parts) > 1
    assert all(len(part) < 4000 for part in parts)
    assert [f"Part {k} of {len(parts)}." in p for k, p in enumerate(parts, 1)] == [True] * len(parts)
    assert all(any(f"{key} word" in p for p in parts) for key in words)


def test_the_reason_and_what_lifts_it_stand_in_the_message():
    order = shaft_order(shaft_answers(length_at_ride=Given(1287.0, 2.6, "tape, once")))
    text = order_text(order, META)
    assert "NOT TO BE ORDERED FROM YET" in text.splitlines()[0]
    assert "Length at ride height is known to 6 mm, and the shop needs 3 mm. Do: tape between" in text


@every
def test_numbers_in_the_sketch_are_the_order_s(which):
    order = ORDERS[which]
    words = [m.text for m in sketch_of(order).marks if isinstance(m, Words)]
    for key in order.sketch:
        if order.number(key) is None or key in ("tube_wall", "max_tube_diameter"):
            continue
        metric = amount(order.field(key))[0]
        assert any(metric in w for w in words), key


def check_paper(made, wide):
    words = [m for m in made.marks if isinstance(m, Words)]
    for k, a in enumerate(words):
        for b in words[k + 1:]:
            assert overlap(a.box(), b.box()) == 0.0, (a.text, b.text)
    box = bounds(made.marks)
    assert box[0] >= 0.0
    assert box[1] >= 0.0
    assert box[2] <= wide
    assert box[3] <= made.height_mm


@every
def test_no_word_of_a_sketch_lies_on_another_or_outside(which):
    for wide in (186.0, 191.9):
        check_paper(sketch_of(ORDERS[which], wide), wide)


@pytest.mark.parametrize("which, true", [("slip yoke", True), ("two pieces", True), ("face to face", True),
                                         ("seal", True), ("length missing", False), ("nothing", False),
                                         ("differential", True), ("no axle", False)])
def test_a_sketch_without_its_sizes_says_so(which, true):
    order = ORDERS[which]
    leaves = (axle_order_leaves if order.kind == "differential" else shaft_order_leaves)(order, META)
    text = " ".join(m.text for leaf in leaves for m in leaf.marks if isinstance(m, Words))
    assert (sketch_of(order).scale is not None) == true
    assert ("not to scale" in text) != true


def test_the_tube_is_the_one_wanted_or_the_thickest_that_clears():
    assert tube_words(ORDERS["slip yoke"]) == "Ø 76.2 mm × 2.1 mm"
    assert tube_words(shaft_order(shaft_answers(tube_diameter=None))) == "Ø at most 90 ± 3 mm"
    assert tube_words(ORDERS["nothing"]) == "Ø ?"


@pytest.mark.parametrize("length", [160.0, 400.0, 2500.0, 3900.0])
@pytest.mark.parametrize("make", [shaft_answers, face_to_face, two_pieces])
def test_short_and_long_shafts_keep_inside_their_paper(make, length):
    made = shaft_sketch(shaft_order(make(length_at_ride=Given(length, 1.0, "tape"))), 186.0)
    check_paper(made, 186.0)
    assert made.scale is not None


@pytest.mark.parametrize("meta", [META, LETTER])
def test_the_wrong_order_is_refused(meta):
    with pytest.raises(ValueError, match="the driveshaft sheet draws a driveshaft order"):
        shaft_order_leaves(ORDERS["differential"], meta)
    with pytest.raises(ValueError, match="the differential sheet draws a differential order"):
        axle_order_leaves(ORDERS["slip yoke"], meta)


def test_the_sheet_draws_the_order_and_nothing_else():
    order = ORDERS["slip yoke"]
    other = replace(order, fields=tuple(replace(f, value=1187.0) if f.key == "length_at_ride" else f
                                        for f in order.fields))
    words = [m.text for m in sketch_of(other).marks if isinstance(m, Words)]
    assert "1187 ± 3 mm" in words
    assert not any("1287" in w for w in words)


def test_a_shim_place_that_is_not_known_is_refused():
    from trialfit.driveline.ring_and_pinion import ring_and_pinion

    found = ring_and_pinion({}, "new", "crush sleeve")
    with pytest.raises(ValueError, match="no place of the pinion shim"):
        ring_and_pinion_leaves(found, META, "somewhere")
    assert math.isclose(found.settings[0].others[0].low, 0.13)
