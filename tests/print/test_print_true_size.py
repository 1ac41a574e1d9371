"""Measured back from the PDF to a tenth of a millimetre, as a rule laid on the paper would.

Expected values are no results of ours: 4 in = 101.6 mm (the inch is 25.4 mm by definition), a tube of 63.5 mm is
pi x 63.5 = 199.49 mm round (definition of pi), paper sizes from ISO 216 and ANSI/ASME Y14.1.
"""

import math
from functools import cache

import numpy as np
import pytest
from invented_sheets import LETTER, META, laid_cut_list
from measured_pages import extent, pages, print_scaling, title

from trialfit.exhaust import angle_cut_wrap, cone_wrap, saddle_wrap, wraps
from trialfit.sheets import Stop, wrap_leaves, wrap_sheets
from trialfit.sheets.wrap import clipped

STOP = Stop(False, "cut", "The gap at the axle is known to 6 mm.", "Measure pad.R to floor.4 once more.")
PAPER = {"A4": (META, 210.0, 297.0), "Letter": (LETTER, 215.9, 279.4)}


@cache
def printed(paper: str):
    """Templates of the invented route on one paper: bytes, and the pages as measured."""
    _, cut_list = laid_cut_list()
    data = wrap_sheets(wraps(cut_list), PAPER[paper][0], STOP)
    return data, pages(data)


def has_bars(page) -> bool:
    return any(w.text == "4 in" for w in page.words)


def templates(paper: str):
    return [p for p in printed(paper)[1] if has_bars(p)]


@pytest.mark.parametrize("paper", PAPER)
def test_paper_has_its_size(paper):
    for page in printed(paper)[1]:
        assert page.width == pytest.approx(PAPER[paper][1], abs=0.05)
        assert page.height == pytest.approx(PAPER[paper][2], abs=0.05)


@pytest.mark.parametrize("paper", PAPER)
def test_bars_on_every_template_page(paper):
    found = templates(paper)
    assert found
    for page in found:
        sizes = [extent(p) for p in page.paths]
        assert any(abs(w - 100.0) < 0.1 and h < 2.0 for w, h in sizes)
        assert any(abs(w - 101.6) < 0.1 and h < 2.0 for w, h in sizes)
        assert any(abs(h - 100.0) < 0.1 and w < 2.0 for w, h in sizes)
        assert "100 mm" in page.text
        assert "Measure these bars before you cut" in page.text


@pytest.mark.parametrize("paper", PAPER)
def test_every_page_but_the_first_leaves_says_the_bars(paper):
    with_bars = len(templates(paper))
    head = printed(paper)[1][: len(printed(paper)[1]) - with_bars]
    assert all("Wrap templates, full size" in p.text for p in head)


@pytest.mark.parametrize("paper", PAPER)
def test_template_goes_round_the_tube(paper):
    round_it = math.pi * 63.5
    widths = [max(extent(p)) for page in templates(paper) for p in page.paths if max(extent(p)) > 150.0]
    _, cut_list = laid_cut_list()
    edges = [w for w in widths if abs(w - round_it) < 0.1]
    assert len(edges) == len(wraps(cut_list))


@pytest.mark.parametrize("diameter", [38.0, 50.8, 57.0])
def test_angle_cut_has_the_height_of_its_slope(diameter):
    """A plane cut at angle f across a tube differs by diameter x tan f from long to short side (plane geometry)."""
    face = math.radians(22.5)
    data = wrap_sheets([angle_cut_wrap(diameter, face, "invented", margin_mm=30.0)], META, STOP)
    (page,) = [p for p in pages(data) if has_bars(p)]
    sizes = [sorted(extent(p)) for p in page.paths]
    tall = 30.0 + diameter * math.tan(face)
    assert any(abs(s[1] - max(tall, math.pi * diameter)) < 0.1 and abs(s[0] - min(tall, math.pi * diameter)) < 0.1
               for s in sizes)


@pytest.mark.parametrize("paper", PAPER)
def test_not_scaled_titled_and_the_same_again(paper):
    data, _ = printed(paper)
    _, cut_list = laid_cut_list()
    assert print_scaling(data) == "None"
    assert title(data) == f"{PAPER[paper][0].build}: wrap templates, full size"
    assert wrap_sheets(wraps(cut_list), PAPER[paper][0], STOP) == data


def large():
    return [cone_wrap(100.0, 300.0, 400.0, "large cone, invented", 10.0),
            *saddle_wrap(114.3, 63.5, math.radians(60.0), 5.0, 180.0, "branch, invented")]


@pytest.mark.parametrize("paper", PAPER)
def test_tiles_give_the_whole_template_back(paper):
    """Tiles laid together by their crosses hold every corner of the outline where it belongs."""
    wrap = large()[0]
    found = [p for p in pages(wrap_sheets([wrap], PAPER[paper][0], STOP)) if has_bars(p)]
    assert len(found) > 3
    crosses = []
    for page in found:
        there = {}
        for word in page.words:
            if word.text[:1] in "cr" and "." in word.text and len(word.text) < 7:
                there.setdefault(word.text, []).append((word.box[0], word.box[1]))
        crosses.append({k: sorted(v) for k, v in there.items()})
    shift = {0: np.zeros(2)}
    waiting = [0]
    while waiting:
        k = waiting.pop()
        for other in range(len(found)):
            common = sorted(set(crosses[k]) & set(crosses[other]))
            if other in shift or not common:
                continue
            shifts = [np.subtract(a, b) for name in common
                      for a, b in zip(crosses[k][name], crosses[other][name], strict=True)]
            assert np.ptp(np.array(shifts), axis=0).max() < 0.1
            shift[other] = shift[k] + np.mean(shifts, axis=0)
            waiting.append(other)
    assert len(shift) == len(found)
    drawn = np.vstack([np.array(path) + shift[k] for k, page in enumerate(found) for path in page.paths])
    edge = np.array(wrap.outline)
    for candidate in (edge, np.column_stack([-edge[:, 1], edge[:, 0]])):
        for anchor in drawn:
            laid = candidate - candidate[0] + anchor
            if np.abs(drawn - laid[len(laid) // 3]).max(axis=1).min() < 0.1:
                miss = max(np.abs(drawn - p).max(axis=1).min() for p in laid)
                if miss < 0.1:
                    return
    pytest.fail("no way of laying the tiles shows the whole outline")


def test_a_line_cut_at_the_tile_keeps_its_slope():
    from trialfit.sheets.drawing import Stroke

    (cut,) = clipped([Stroke(((-10.0, 0.0), (30.0, 20.0)))], (0.0, 0.0, 10.0, 100.0))
    assert cut.points == ((0.0, 5.0), (10.0, 10.0))


def test_page_numbers_in_the_table_are_those_of_the_foot():
    data = wrap_sheets(large(), META, STOP)
    found = pages(data)
    assert len(found) == len(wrap_leaves(large(), META, STOP))
    table = found[0].words
    for number in (1, 2, 3):
        (row,) = [w for w in table if w.text == str(number) and w.box[0] < 20.0]
        told = next(w.text for w in table if w.box[0] > 180.0 and abs(w.box[3] - row.box[3]) < 1.0)
        first = int(told.split(" ")[0])
        assert f"Template {number}" in found[first - 1].text or f"Templates {number}" in found[first - 1].text
        assert f"page {first} of {len(found)}" in found[first - 1].text


def test_no_template_is_refused():
    with pytest.raises(ValueError, match="1 at least"):
        wrap_sheets([], META, STOP)
