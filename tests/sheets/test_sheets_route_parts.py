"""Parts on the exhaust in cut list and picture, and the routes that were not taken."""

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from invented_sheets import META, laid_cut_list
from measured_pages import pages

from trialfit.buildfile import load
from trialfit.checks import run
from trialfit.exhaust import Kind, cut_list, lay
from trialfit.sheets import Stop, cut_list_sheet, summary_leaf
from trialfit.sheets.drawing import LineKind, Stroke, Words, bounds
from trialfit.sheets.picture import ALTERNATIVE, Band, Polygon
from trialfit.sheets.picture import Path as OpenLine
from trialfit.sheets.pieces import true_shape
from trialfit.sheets.vehicle_views import picture_of
from trialfit.vehicle import Amount, LaidPart

ESTATE = Path(__file__).resolve().parents[2] / "examples" / "estate" / "build.yaml"
STOP = Stop(True, "cut", "All findings this leans on fit.", "It stands on 62 readings.")
BOX = LaidPart("rear box", "muffler", 2, 300.0, Amount(400.0), Amount(180.0), Amount(110.0), math.radians(-15.0))
FLEX = LaidPart("flex", "bellows", 1, 90.0, Amount(120.0), Amount(82.0), Amount(82.0))


@cache
def with_parts():
    laid = laid_cut_list()[0]
    return cut_list(lay(replace(laid.plan, parts=(FLEX, BOX)), laid.points, {}))


def test_a_part_is_a_piece_with_its_size_and_the_turn_of_its_wide_side():
    text = " ".join(p.text.replace("\n", " ") for p in pages(cut_list_sheet(with_parts(), META, STOP)))
    for words in ("rear box (muffler)", "flex (bellows)", "15.0° anticlockwise from level", "Bought or made as one",
                  "Diameter it was reckoned with", "Welds"):
        assert words in text, words


def test_what_it_takes_counts_parts_and_welds():
    text = pages(cut_list_sheet(with_parts(), META, STOP))[0].text.replace("\n", " ")
    joints = len(with_parts().pieces) - 1 + 4  # five pie-cut pieces meet in four joints
    assert with_parts().welds == joints
    assert f"not counted {joints}" in text
    assert "rear box muffler 1" in text


def test_a_part_is_drawn_as_wide_as_it_is_and_to_scale():
    piece = next(p for p in with_parts().pieces if p.kind is Kind.PART and p.part.name == "rear box")
    shape = true_shape(piece, 63.5, 80.0, 60.0)
    body = next(m for m in shape.marks if isinstance(m, Stroke) and m.closed)
    left, low, right, high = bounds([body])
    assert (right - left) * shape.scale == pytest.approx(400.0)
    assert (high - low) * shape.scale == pytest.approx(180.0)


@pytest.fixture(scope="module")
def results():
    build = load(ESTATE).build
    box = replace(BOX, leg=1, start_mm=900.0)
    flex = replace(FLEX, start_mm=250.0)
    route = replace(build.routes[0], parts=(flex, box))
    return run(replace(build, routes=(route,)), gaps=False)


def test_the_picture_draws_each_share_of_a_route_but_not_the_ground(results):
    outlines = {o.name: o for o in picture_of(results, ()).outlines if o.body == "exhaust"}
    assert set(outlines) == {"exhaust.main", "exhaust.main before the bellows", "exhaust.main rear box"}
    assert {o.name for o in picture_of(results, ()).outlines} & {"ground"} == set()
    box = outlines["exhaust.main rear box"].side[0]
    assert isinstance(box, Polygon)
    xs = [p[0] for p in box.points]
    assert max(xs) - min(xs) == pytest.approx(400.0, abs=6.0)
    front = outlines["exhaust.main before the bellows"]
    assert [type(f) for f in front.side] == [Band, Polygon], "pipe, and the first half of the bellows"


def test_routes_not_taken_are_dashed_lines_and_said_so(results):
    line = np.array([[600.0, 240.0, 250.0], [2000.0, 300.0, 260.0], [3500.0, 330.0, 350.0]])
    other = picture_of(replace(results, alternatives=(("main 2", line),)), ())
    (thin,) = [o for o in other.outlines if o.body == ALTERNATIVE]
    assert isinstance(thin.side[0], OpenLine)
    assert thin.plan[0].points[1] == (2000.0, 300.0)
    leaf = summary_leaf(other)
    dashed = [m for m in leaf.marks if isinstance(m, Stroke) and m.kind is LineKind.HIDDEN]
    assert len(dashed) == 2, "once in either view"
    assert any("other routes that were found" in m.text for m in leaf.marks if isinstance(m, Words))
    plain = summary_leaf(picture_of(results, ()))
    assert not any("other routes" in m.text for m in plain.marks if isinstance(m, Words))
