"""What is to be drawn: characters, hatching, scales, dimensions, labels."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trialfit.sheets.dimensions import aligned, arc, leader
from trialfit.sheets.drawing import (
    SMALL,
    TEXT,
    Stroke,
    Words,
    bounds,
    hatch,
    line,
    overlap,
    rectangle,
    scale_for,
)
from trialfit.sheets.faces import Face, printable
from trialfit.sheets.labels import Label, place, points_along


@pytest.mark.parametrize("face", Face)
def test_every_face_sets_the_trade_s_signs(face):
    signs = "± ° − × ½ ¼ ¾ Ø – … ’"
    assert printable(signs, face) == signs


@given(st.text(max_size=60))
@settings(max_examples=150, deadline=None)
def test_any_text_can_be_set(text):
    from trialfit.sheets.faces import _glyphs

    shown = printable(text)
    assert all(ord(c) in _glyphs(Face.WORDS) for c in shown)
    assert not any(ord(c) < 32 for c in shown)
    assert printable(shown) == shown


def test_hatching_stays_inside_a_crooked_outline():
    polygon = ((0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (10.0, 10.0), (10.0, 30.0), (0.0, 30.0))
    lines = hatch(polygon, 1.6)
    assert len(lines) > 10
    for stroke in lines:
        for t in (0.01, 0.5, 0.99):
            x = stroke.points[0][0] + t * (stroke.points[1][0] - stroke.points[0][0])
            y = stroke.points[0][1] + t * (stroke.points[1][1] - stroke.points[0][1])
            assert 0.0 <= x <= 30.0
            assert 0.0 <= y <= 30.0
            assert not (x > 10.0 + 1e-9 and y > 10.0 + 1e-9)


@pytest.mark.parametrize("size, room, scale", [((186.0, 100.0), (186.0, 100.0), 1), ((187.0, 100.0), (186.0, 100.0), 2),
                                               ((4500.0, 1500.0), (186.0, 100.0), 25)])
def test_scale_is_the_largest_that_fits(size, room, scale):
    assert scale_for(*size, *room) == scale


def test_a_thing_too_large_is_refused():
    with pytest.raises(ValueError, match="1 : 200"):
        scale_for(40001.0, 10.0, 200.0, 200.0)


def test_dimension_ends_stand_square_over_what_they_measure():
    marks = aligned((10.0, 10.0), (90.0, 40.0), 8.0, "85.4")
    ends = [m for m in marks if isinstance(m, Stroke) and m.kind is not None and len(m.points) == 2]
    along = np.array([80.0, 30.0]) / math.hypot(80.0, 30.0)
    for extension, real in zip(ends[:2], ((10.0, 10.0), (90.0, 40.0)), strict=True):
        for point in extension.points:
            assert abs((np.array(point) - real) @ along) < 1e-9
    dimension = ends[2]
    assert math.hypot(*np.subtract(*dimension.points)) == pytest.approx(math.hypot(80.0, 30.0))
    (words,) = [m for m in marks if isinstance(m, Words)]
    assert words.turn_deg == pytest.approx(math.degrees(math.atan2(30.0, 80.0)))


def test_a_short_dimension_puts_its_words_outside():
    marks = aligned((0.0, 0.0), (4.0, 0.0), 6.0, "63.5")
    (words,) = [m for m in marks if isinstance(m, Words)]
    assert words.box()[0] > 4.0


@pytest.mark.parametrize("turn", [0.0, 100.0, 179.0, 200.0, 280.0])
def test_words_of_a_dimension_never_stand_on_their_head(turn):
    end = (60.0 * math.cos(math.radians(turn)), 60.0 * math.sin(math.radians(turn)))
    (words,) = [m for m in aligned((0.0, 0.0), end, 6.0, "60.0") if isinstance(m, Words)]
    assert -90.0 < words.turn_deg <= 90.0 + 1e-6


def test_a_dimension_of_nothing_is_refused():
    with pytest.raises(ValueError, match="two different ends"):
        aligned((1.0, 1.0), (1.0, 1.0), 6.0, "0")


def test_leader_touches_its_tip_and_arc_its_circle():
    marks = leader((5.0, 5.0), (20.0, 12.0), "R 95.3")
    assert marks[0].points[0] == (5.0, 5.0)
    radii = [math.hypot(x - 3.0, y - 4.0) for x, y in arc((3.0, 4.0), 9.0, 0.2, 1.9)]
    assert radii == pytest.approx([9.0] * len(radii))


@given(st.lists(st.tuples(st.floats(10.0, 180.0), st.floats(10.0, 90.0)), min_size=1, max_size=12))
@settings(max_examples=25, deadline=None)
def test_labels_never_cover_each_other_nor_leave_the_frame(anchors):
    labels = [Label(a, ((f"thing {k}", SMALL), ("31 mm", TEXT))) for k, a in enumerate(anchors)]
    frame = (0.0, 0.0, 190.0, 100.0)
    placed = place(labels, frame, points_along([line((0.0, 50.0), (190.0, 50.0))]))
    assert len(placed.boxes) + len(placed.left_over) == len(labels)
    for k, a in enumerate(placed.boxes):
        assert a[0] >= 0.0
        assert a[1] >= 0.0
        assert a[2] <= 190.0
        assert a[3] <= 100.0
        assert all(overlap(a, b) == 0.0 for b in placed.boxes[k + 1:])


def test_a_label_keeps_off_what_is_drawn_when_there_is_room():
    block = rectangle(40.0, 40.0, 60.0, 60.0)
    placed = place([Label((50.0, 60.0), (("floor", SMALL),))], (0.0, 0.0, 100.0, 100.0), points_along([block]))
    assert overlap(placed.boxes[0], (40.0, 40.0, 60.0, 60.0)) == 0.0


def test_a_label_without_room_is_named():
    placed = place([Label((5.0, 5.0), (("a long word that cannot go here", SMALL),))], (0.0, 0.0, 10.0, 10.0),
                   np.empty((0, 2)))
    assert placed.left_over == (0,)
    assert placed.marks == ()


def test_box_of_turned_words_is_upright():
    words = Words((50.0, 50.0), "downstream", SMALL, turn_deg=90.0)
    box = words.box()
    assert box[3] - box[1] == pytest.approx(SMALL.width("downstream"))
    assert bounds([words]) == pytest.approx(box)
