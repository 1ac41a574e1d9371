"""The summary picture: which way round it is, what is ghosted, and that SVG and PDF say the same."""

import math
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_sheets import META, box, picture
from measured_pages import pages

from trialfit.sheets import (
    At,
    Outline,
    Picture,
    book,
    outline_of_drum,
    outline_of_pipe,
    outline_of_points,
    pdf,
    summary_leaf,
    summary_leaves,
    summary_page,
    svg,
)
from trialfit.sheets.drawing import LineKind, Stroke, Words
from trialfit.sheets.picture import Band, Disc, Path, Polygon, hull, views

FRAME = (0.0, 0.0, 264.0, 170.0)


def _at(marks, text):
    return next(m for m in marks if isinstance(m, Words) and m.text == text).at


def _named(name, where):
    return outline_of_points(name, "frame", box(np.array(where) - 60.0, np.array(where) + 60.0), named=True)


def test_nose_left_roof_up_right_side_at_the_bottom():
    things = Picture("invented", (_named("nose", (100, 0, 300)), _named("tail", (3900, 0, 300)),
                                  _named("roof", (2000, 0, 1100)), _named("left", (2600, -700, 300)),
                                  _named("right", (2600, 700, 300))))
    marks = views(things, FRAME)
    split = next(m.at for m in marks if isinstance(m, Words) and m.text.startswith("From below"))[1]
    side = [m for m in marks if isinstance(m, Words) and m.at[1] > split + 3.0]
    plan = [m for m in marks if isinstance(m, Words) and m.at[1] < split - 1.0]
    assert _at(side, "nose")[0] < _at(side, "tail")[0]
    assert _at(side, "roof")[1] > _at(side, "nose")[1]
    assert _at(plan, "nose")[0] < _at(plan, "tail")[0]
    assert _at(plan, "left")[1] > _at(plan, "right")[1]


def test_both_views_share_one_scale_and_stand_under_each_other():
    block = outline_of_points("block", "frame", box((1000, -500, 200), (3000, 500, 900)))
    marks = views(Picture("invented", (block,)), FRAME)
    shapes = [m for m in marks if isinstance(m, Stroke) and m.closed and len(m.points) == 4 and m.kind is LineKind.THIN]
    widths = {tuple(round(v, 6) for v in (min(p[0] for p in m.points), max(p[0] for p in m.points))) for m in shapes
              if max(p[0] for p in m.points) - min(p[0] for p in m.points) > 60.0}
    assert len(widths) == 1
    (left, right), = widths
    head = next(m.text for m in marks if isinstance(m, Words) and m.text.startswith("From below"))
    assert right - left == pytest.approx(2000.0 / int(head.split(": ")[1]))


def test_stops_are_ghosts_and_said_so():
    leaf = summary_leaf(picture())
    ghosts = [m for m in leaf.marks if isinstance(m, Stroke) and m.kind is LineKind.GHOST]
    moved = [o for o in picture().outlines if o.at is not At.RIDE]
    assert len(ghosts) == sum(len(o.side) + len(o.plan) for o in moved)
    text = " ".join(m.text for m in leaf.marks if isinstance(m, Words))
    assert "bump stop and droop stop" in text
    still = replace(picture(), outlines=tuple(o for o in picture().outlines if o.at is At.RIDE))
    assert not any("Chain lines" in m.text for m in summary_leaf(still).marks if isinstance(m, Words))


def test_every_gap_stands_in_the_picture_with_word_and_figure():
    text = [m.text for m in summary_leaf(picture()).marks if isinstance(m, Words)]
    for number, gap in enumerate(picture().gaps, 1):
        assert f"{number}  {gap.words}" in text
        assert gap.between in text
        assert str(number) in text


def test_svg_is_well_formed_and_says_what_the_pdf_says():
    leaf = summary_leaf(picture())
    root = ElementTree.fromstring(svg(leaf, "invented & <odd>"))
    assert root.attrib["viewBox"] == "0 0 280 200"
    shown = sorted(e.text for e in root.iter() if e.tag.endswith("}text"))
    words = sorted(w.text for w in pages(pdf([leaf], "x"))[0].words)
    assert [" ".join(s.split()) for s in shown] == [" ".join(w.split()) for w in words]
    for e in root.iter():
        for key in ("cx", "x"):
            if key in e.attrib:
                assert 0.0 <= float(e.attrib[key]) <= 280.0


def test_svg_keeps_a_hostile_name_as_text():
    odd = replace(picture(), name="</text><script>alert(1)</script>", outlines=(
        *picture().outlines, _named("<img src=x>", (2000, 0, 600))))
    root = ElementTree.fromstring(svg(summary_leaf(odd), odd.name))
    tags = {e.tag.split("}")[1] for e in root.iter()}
    assert tags <= {"svg", "title", "rect", "polygon", "polyline", "circle", "text"}


def test_an_empty_picture_is_refused():
    with pytest.raises(ValueError, match="at least one outline"):
        summary_page(Picture("invented", ()), META)


@given(st.lists(st.tuples(st.integers(-50, 50), st.integers(-50, 50)), min_size=3, max_size=40))
@settings(max_examples=60, deadline=None)
def test_hull_holds_every_point_and_turns_one_way(points):
    around = hull([(float(a), float(b)) for a, b in points])
    if len(around) < 3:
        return
    for p, q in zip(around, around[1:] + around[:1], strict=True):
        for r in points:
            assert (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]) >= 0.0


def test_drum_is_a_circle_from_the_side_and_a_box_from_below():
    drum = outline_of_drum("wheel", "wheel-left", np.array([500.0, -700.0, 320.0]), np.array([0.0, 1.0, 0.0]), 640.0,
                           205.0)
    radii = [math.hypot(u - 500.0, v - 320.0) for u, v in drum.side[0].points]
    assert radii == pytest.approx([320.0] * len(radii))
    us, vs = zip(*drum.plan[0].points, strict=True)
    assert (max(us) - min(us), max(vs) - min(vs)) == pytest.approx((640.0, 205.0), abs=0.5)


def test_every_kind_of_outline_can_be_drawn():
    shapes = (Polygon(((0.0, 0.0), (400.0, 0.0), (200.0, 300.0))), Disc((900.0, 300.0), 200.0),
              Path(((0.0, 400.0), (900.0, 500.0))), Band(((0.0, 100.0), (600.0, 100.0), (900.0, 350.0)), 60.0))
    for at in At:
        things = Picture("invented", (Outline("all", "frame", shapes, shapes, at=at, named=True),))
        (page,) = pages(summary_page(things, META))
        assert len(page.paths) > 8


def test_a_pipe_seen_from_its_end_is_drawn_round():
    pipe = outline_of_pipe("axle tube", "axle", np.array([[100.0, -600.0, 300.0], [100.0, 600.0, 300.0]]), 80.0)
    assert pipe.side[0].points == ((100.0, 300.0), (100.0, 300.0))
    assert views(Picture("invented", (pipe,)), FRAME)


def test_book_counts_its_pages_and_an_empty_one_is_refused():
    once, twice = summary_leaves(picture(), META), summary_leaves(picture(), META)
    data = book([("Summary picture", once), ("Again", twice)], META)
    found = pages(data)
    assert len(found) == 3
    rows = {w.text: w.box[3] for w in found[0].words}
    assert rows["Summary picture"] == pytest.approx(rows["2"], abs=1.5)
    assert rows["Again"] == pytest.approx(rows["3"], abs=1.5)
    with pytest.raises(ValueError, match="at least one chapter"):
        book([], META)
