"""Order sheets and the ring-and-pinion sheet as they come out on paper, read back with a general-purpose library."""

import re
from functools import cache

import pytest
from invented_orders import axle_answers, face_to_face, shaft_answers, two_pieces
from invented_sheets import LETTER, META
from measured_pages import keeps_the_rules, pages

from trialfit.driveline.order import differential_order, shaft_order
from trialfit.driveline.order_fields import Given
from trialfit.driveline.pattern import Along, Contact, Height, pattern_rows, read_pattern
from trialfit.driveline.ring_and_pinion import backlash_findings, ring_and_pinion
from trialfit.sheets.axle_order import axle_order_sheet
from trialfit.sheets.order_text import amount
from trialfit.sheets.ring_and_pinion_sheet import ring_and_pinion_sheet
from trialfit.sheets.shaft_order import shaft_order_sheet

METAS = {"A4": META, "Letter": LETTER}
LONG = "a very long answer of many words that must be broken where the line ends and must not run over its neighbour "
ORDERS = {
    "slip yoke": shaft_order(shaft_answers()),
    "seal": shaft_order(shaft_answers(length_reference=Given("seal to joint centre"))),
    "two pieces": shaft_order(two_pieces()),
    "face to face": shaft_order(face_to_face()),
    "doubtful": shaft_order(shaft_answers(length_at_ride=Given(1287.0, 2.6, "tape, once"), plunge_out=None,
                                          plunge_in=Given(30.0, 3.0, "guessed"))),
    "long words": shaft_order(shaft_answers(**{k: Given(LONG) for k in (
        "vehicle", "contact", "paint", "phasing", "yokes_by", "rear_joint_series", "rear_face", "use")})),
    "empty": shaft_order({}),
    "differential": differential_order(axle_answers()),
    "axle, long words": differential_order(axle_answers(yoke=Given(LONG), tag_numbers=Given("X" * 150),
                                                        left_shaft_length=Given(1400.0, 4.0, LONG))),
    "axle, empty": differential_order({}),
}
OWN = {"backlash": (0.15, 0.25, "axle's manual (invented)"),
       "preload-new": (1800.0, 2600.0, "gear set's sheet (invented)")}


def _ring(meta, own, place):
    found = ring_and_pinion(own, "new", "crush sleeve", "by the axle's sheet")
    toe = Contact(Along.TOE, Height.MIDDLE)
    read = read_pattern(toe, toe, "under the inner bearing", True).finding
    findings = (*backlash_findings(found, [Given(v, 0.005) for v in (0.19, 0.2, 0.21, 0.2)]), read)
    return ring_and_pinion_sheet(found, meta, place, findings)


def _order(which):
    sheet = axle_order_sheet if ORDERS[which].kind == "differential" else shaft_order_sheet
    return lambda meta: sheet(ORDERS[which], meta)


SHEETS = {**{which: _order(which) for which in ORDERS},
          "ring, own": lambda meta: _ring(meta, OWN, "under the pinion retainer"),
          "ring, none": lambda meta: _ring(meta, {}, "")}


@cache
def printed(sheet, paper):
    data = SHEETS[sheet](METAS[paper])
    return data, pages(data)


def text_of(sheet, paper="A4"):
    return re.sub(r"\s+", " ", " ".join(p.text for p in printed(sheet, paper)[1]))


both = pytest.mark.parametrize("paper", METAS)
every = pytest.mark.parametrize("sheet", SHEETS)


@both
@every
def test_the_rules_of_paper_and_the_last_line(sheet, paper):
    keeps_the_rules(*printed(sheet, paper))
    assert all("Local codes and licensed practice come first." in p.text for p in printed(sheet, paper)[1])


@every
def test_same_input_same_bytes(sheet):
    assert SHEETS[sheet](META) == printed(sheet, "A4")[0]


@both
@pytest.mark.parametrize("which", ORDERS)
def test_every_page_says_whether_it_may_be_ordered_from(which, paper):
    head = "READY TO BE ORDERED FROM" if ORDERS[which].may_order else "NOT TO BE ORDERED FROM YET"
    assert all(head in page.text for page in printed(which, paper)[1])


@pytest.mark.parametrize("which", ["doubtful", "empty", "axle, empty", "axle, long words"])
def test_the_stop_says_what_to_measure_in_the_top_third(which):
    reason, lift = ORDERS[which].stop_reason
    first = printed(which, "A4")[1][0]
    top = re.sub(r"\s+", " ", " ".join(w.text for w in first.words if w.box[1] > 297.0 * 2.0 / 3.0))
    assert reason in top
    assert lift in top


@both
@pytest.mark.parametrize("which", ORDERS)
def test_what_is_missing_has_a_box_to_write_in(which, paper):
    text = text_of(which, paper)
    assert all(f.name in text for f in ORDERS[which].missing)
    assert all(f.measure in text for f in ORDERS[which].missing if f.life_critical)
    assert ("Still to fill in" in text) == any(f.life_critical for f in ORDERS[which].missing)


# -- the sketch: dimensions equal the table, and are true to scale ------------------------------------------------

LABELS = {"length_seal": "ride height", "length_bump": "full bump", "length_droop": "full droop",
          "length_bottomed": "bottomed", "front_shaft_length": "A to C", "bearing_position": "bearing",
          "bottomed_position": "bottomed", "left_shaft_length": "left", "right_shaft_length": "right",
          "front_face_to_joint": "face to A", "rear_face_to_joint": "B to face"}
DRAWN = ("slip yoke", "seal", "two pieces", "face to face", "differential")


def built(order):
    return "shaft_length" if "shaft_length" in [f.key for f in order.fields] else "length_at_ride"


@both
@pytest.mark.parametrize("which", DRAWN)
def test_every_dimension_on_the_sketch_equals_the_number_in_the_table(which, paper):
    order = ORDERS[which]
    words = [w.text for p in printed(which, paper)[1] for w in p.words]
    for key in order.sketch:
        if key not in LABELS or order.number(key) is None:
            continue
        number = amount(order.field(key))[0]
        assert f"{LABELS[key]}: {number}" in words, key
        assert number in words, key
    if order.kind == "driveshaft":
        assert words.count(amount(order.field(built(order)))[0]) >= 2


def _lines(page):
    """Level lines: (left, right, height) [mm]."""
    found = []
    for path in page.paths:
        if len(path) == 2 and abs(path[0][1] - path[1][1]) < 0.01:
            found.append((min(p[0] for p in path), max(p[0] for p in path), path[0][1]))
    return found


@both
@pytest.mark.parametrize("which", DRAWN)
def test_dimension_lines_are_as_long_as_they_say(which, paper):
    order = ORDERS[which]
    long = {key for key in order.sketch if (order.number(key) or 0.0) >= 300.0}
    (page,) = [p for p in printed(which, paper)[1] if "scale 1 :" in p.text]
    scale = int(re.search(r"scale 1 : (\d+) along", page.text)[1])
    true = set()
    for key in long:
        label = amount(order.field(key))[0]
        wanted = label if key == built(order) else f"{LABELS[key]}: {label}"
        for word in (w for w in page.words if w.text == wanted):
            x, y = (word.box[0] + word.box[2]) / 2.0, (word.box[1] + word.box[3]) / 2.0
            level = [(low, high) for low, high, at in _lines(page) if abs(at - y) < 2.0]
            sizes = [high - low for low, high in level if low < x < high]
            # words that do not go between the arrows: the line then runs on by 6 and 4.5 mm beyond both ends
            sizes += [high - low - 10.5 for low, high in level if not low < x < high]
            if any(abs(size * scale - order.number(key)) < 0.02 * scale for size in sizes):
                true.add(key)
    assert len(long) >= 2
    assert true == long


@pytest.mark.parametrize("which", ["empty", "axle, empty"])
def test_without_sizes_it_says_not_to_scale_and_asks(which):
    text = text_of(which)
    assert "not to scale" in text
    assert "scale 1 :" not in text
    assert "?" in text


@both
@pytest.mark.parametrize("which", ORDERS)
def test_every_answer_is_on_the_sheet_in_both_systems(which, paper):
    text = text_of(which, paper).replace(" ", "")
    for field in ORDERS[which].fields:
        if field.value is not None:
            for shown in amount(field):
                assert shown.replace(" ", "") in text, field.key


def test_cautions_on_each_sheet():
    assert "pulls out at full droop" in text_of("slip yoke")
    assert "Never on a jack alone" in text_of("slip yoke")
    assert "belongs to a differential shop" in text_of("differential")
    assert "can seize at speed" in text_of("ring, own")
    assert "Never back the pinion nut off" in text_of("ring, own")


def test_doubts_are_told_with_what_to_do():
    text = text_of("doubtful")
    assert "STOPS THE ORDER: Length at ride height is known to 6 mm" in text
    assert "The slip bottoms" in text


# -- ring and pinion ----------------------------------------------------------------------------------------------


@both
def test_the_axle_s_own_figure_and_every_source_are_printed(paper):
    text = text_of("ring, own", paper)
    assert "READY TO BE SET UP FROM" in text
    assert "0.15 to 0.25 mm" in text
    assert "1.8 to 2.6 N·m" in text
    assert "axle's manual (invented)" in text
    assert "gear set's sheet (invented)" in text
    assert "truck service manuals, ring and pinion" in text
    assert "gear shop and magazine advice on break-in" in text


@both
def test_without_it_the_sheet_stops(paper):
    found = printed("ring, none", paper)[1]
    assert all("NOT TO BE SET UP FROM YET" in page.text for page in found)
    assert "look first, it decides which way" in text_of("ring, none", paper)


@pytest.mark.parametrize("sheet", ["ring, own", "ring, none"])
def test_every_row_of_the_decision_table_is_printed(sheet):
    text = text_of(sheet)
    for row in pattern_rows():
        assert row.words.partition(": ")[2] in text
        assert row.origin in text


def test_the_place_of_the_shim_turns_the_words_round():
    high = "the pinion is too far from the ring gear's axis"
    retainer, inner = text_of("ring, own"), re.sub(r"\s+", " ", " ".join(
        p.text for p in pages(_ring(META, OWN, "under the inner bearing"))))
    assert high in retainer
    assert "Pinion shim thinner by 0.1 mm first: the pinion moves closer" in retainer
    assert "Pinion shim thicker by 0.1 mm first: the pinion moves closer" in inner
