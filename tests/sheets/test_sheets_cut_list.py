"""The cut list: what is drawn and printed is what the pieces say."""

import math
import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from invented_sheets import META, laid_cut_list
from measured_pages import pages

from trialfit.exhaust import Clocking, Kind, Way
from trialfit.sheets import Stop, cut_list_sheet
from trialfit.sheets.drawing import Stroke, Words, bounds
from trialfit.sheets.lengths import degrees, inch, minus
from trialfit.sheets.pieces import centre_line, clock_face, flat_run, true_shape, whole_run

STOP = Stop(True, "cut", "All findings this leans on fit.", "It stands on 62 readings.")


@cache
def cut_list():
    return laid_cut_list()[1]


@cache
def printed():
    return pages(cut_list_sheet(cut_list(), META, STOP, ("Who welds it",)))


def _bend_pieces():
    return [p for p in cut_list().pieces if p.kind is not Kind.STRAIGHT]


def test_run_in_space_hangs_together():
    """The centre line made for the drawing ends where the cut list says, and is as long as the piece."""
    for piece in cut_list().pieces:
        run = centre_line(piece)
        assert run[0] == pytest.approx(piece.start_xyz_mm, abs=1e-6)
        assert run[-1] == pytest.approx(piece.end_xyz_mm, abs=1e-6)
        long = np.linalg.norm(np.diff(run, axis=0), axis=1).sum()
        assert long == pytest.approx(piece.length_to_cut_mm, rel=2e-3)


def test_no_kink_where_pieces_meet():
    steps = np.diff(whole_run(cut_list()), axis=0)
    steps = steps[np.linalg.norm(steps, axis=1) > 1e-6]
    steps /= np.linalg.norm(steps, axis=1)[:, None]
    turn = np.degrees(np.arccos(np.clip((steps[:-1] * steps[1:]).sum(axis=1), -1.0, 1.0)))
    assert turn.max() < 10.2


@pytest.mark.parametrize("number", range(1, 10))
def test_true_shape_turns_by_the_bend_angle_and_is_to_scale(number):
    piece = cut_list().pieces[number - 1]
    run, _ = flat_run(piece)
    first, last = np.subtract(run[1], run[0]), np.subtract(run[-1], run[-2])
    turn = math.atan2(last[1], last[0]) - math.atan2(first[1], first[0])
    chords = 0.0 if piece.leg_after_mm > 1e-6 and piece.leg_before_mm > 1e-6 else 0.04
    assert turn == pytest.approx(piece.bend_angle_rad, abs=1e-9 + chords)
    shape = true_shape(piece, 63.5, 80.0, 60.0)
    outline = next(m for m in shape.marks if isinstance(m, Stroke) and m.closed)
    face = math.hypot(*np.subtract(outline.points[0], outline.points[-1]))
    assert face * shape.scale == pytest.approx(63.5, abs=1e-6)
    assert shape.width_mm <= 80.0
    assert shape.height_mm <= 60.0


def test_drawing_and_table_show_the_same_lengths():
    """Every length beside a drawing stands in the sheet's words too (read back from the PDF)."""
    text = "\n".join(p.text for p in printed())
    for piece in cut_list().pieces:
        drawn = [m.text for m in true_shape(piece, 63.5, 80.0, 60.0).marks if isinstance(m, Words)]
        for words in drawn:
            if re.fullmatch(r"[\d.]+", words) or words.startswith("R "):
                assert f"{words} mm" in text
            elif words.endswith("°"):
                assert words in text


def test_dimension_of_a_straight_is_as_long_as_it_says():
    for piece in cut_list().pieces:
        if piece.kind is Kind.STRAIGHT:
            shape = true_shape(piece, 63.5, 80.0, 60.0)
            outline = next(m for m in shape.marks if isinstance(m, Stroke) and m.closed)
            left, _, right, _ = bounds([outline])
            (said,) = [m.text for m in shape.marks if isinstance(m, Words) and m.text[0].isdigit()]
            assert (right - left) * shape.scale == pytest.approx(float(said), abs=0.06)


def test_both_systems_for_every_piece():
    text = "\n".join(p.text for p in printed())
    for piece in cut_list().pieces:
        assert minus(piece.length_to_cut_mm, 1) in text
        assert inch(piece.length_to_cut_mm, 32) in text
        assert f"from joint {piece.start} to joint {piece.end}" in text


def test_clocking_on_the_surface_with_way_and_side():
    text = " ".join(p.text for p in printed()).replace("\n", " ")
    for piece in cut_list().pieces:
        turn = piece.clocking
        if turn is not None:
            assert f"Turn to piece {turn.to_piece}: {degrees(turn.angle_rad)} {turn.way}" in text
            assert f"{minus(turn.arc_mm, 1)} mm" in text
            assert turn.arc_mm == pytest.approx(turn.angle_rad * 63.5 / 2.0)


def test_pie_cut_names_turn_and_saw_angle_apart():
    """Five pieces have four joints; the saw's angle from square is half of each joint's turn (geometry)."""
    (piece,) = [p for p in cut_list().pieces if p.pie is not None]
    text = " ".join(p.text for p in printed()).replace("\n", " ")
    each = math.degrees(piece.bend_angle_rad) / 4.0
    assert "at each of 4 joints (not the saw's angle)" in text
    assert f"{each:.2f}°" in text
    assert f"{each / 2.0:.2f}°" in text
    assert text.index("at each of 4 joints") < text.index("Cut-face angle")


def test_first_page_answers_before_anything_else():
    first = printed()[0]
    top = [w for w in first.words if w.box[3] > first.height * 2.0 / 3.0]
    shown = "\n".join(w.text for w in top)
    assert "READY TO BE CUT FROM" in shown
    assert "Still to fill in" in shown
    assert "Who welds it" in shown


@pytest.mark.parametrize("signed", [0.6, -0.6, 2.9, -2.9, 0.15])
def test_end_view_turns_the_way_it_says(signed):
    """Looking downstream, clockwise from the top goes to the right on paper."""
    way = Way.CLOCKWISE if signed > 0 else Way.ANTICLOCKWISE
    turn = Clocking(abs(signed), abs(signed) * 31.75, way, "looking downstream", "outside line of piece 2", 4)
    marks = clock_face(turn)
    number = next(m for m in marks if isinstance(m, Words) and m.text == "4")
    assert math.copysign(1.0, number.at[0]) == math.copysign(1.0, signed)
    tick = [m for m in marks if isinstance(m, Stroke) and len(m.points) == 2][1]
    x, y = tick.points[1]
    assert math.atan2(x, y) == pytest.approx(signed)


def test_one_straight_pipe_is_a_cut_list_too():
    whole = cut_list()
    piece = replace(whole.pieces[0], clocking=None)
    alone = replace(whole, pieces=(piece,), start=replace(whole.start, clocking=None), stock_to_buy=(),
                    straight_tube_mm=piece.length_to_cut_mm, total_length_mm=piece.length_to_cut_mm)
    text = "\n".join(p.text for p in pages(cut_list_sheet(alone, META, STOP)))
    assert "Piece 1: straight, from joint A to joint B" in text


def test_a_strange_name_cannot_break_the_sheet():
    odd = replace(cut_list(), route="主 → <b>&amp;</b>\x00\n" + "long " * 40)
    found = pages(cut_list_sheet(odd, replace(META, build="x" * 300, load_state="load " * 80), STOP))
    for page in found:
        assert all(w.box[0] > 0.0 and w.box[2] < page.width - 11.0 for w in page.words)
