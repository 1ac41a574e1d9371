"""Runs of tube between the parts of a pipe: each closes on its own points, and what sits between is no tube."""

import math

import numpy as np
import pytest

from trialfit.exhaust.bend_table import Held, all_tube_mm, bender_table, points_of, tube_runs
from trialfit.geometry.centreline import centreline

LINE = centreline([(0, 0, 0), (1000, 0, 0), (1000, 800, 0), (1000, 800, 900)], [100.0, 100.0])
BOX = Held("box", np.array([300.0, 0.0, 0.0]), np.array([700.0, 0.0, 0.0]))
BAND = Held("band", np.array([1000.0, 300.0, 0.0]), np.array([1000.0, 350.0, 0.0]))


def test_a_part_ends_one_run_and_begins_the_next_by_hand():
    """Rearward, a bend to the right, a bend up. Looking downstream behind the first bend its outside is at three
    o'clock and that of the bend up at six: a quarter clockwise."""
    first, second, third = tube_runs(LINE, [BOX, BAND])
    assert [(r.before, r.after) for r in (first, second, third)] == [("outlet", "box"), ("box", "band"),
                                                                     ("band", "tail")]
    assert first.table.rows == ()
    assert first.table.tube_mm == pytest.approx(300.0)
    (bend,) = second.table.rows
    assert bend.feed_mm == pytest.approx(1000.0 - 700.0 - 100.0)
    assert second.table.last_mm == pytest.approx(300.0 - 100.0)
    assert second.table.tube_mm == pytest.approx(200.0 + 50.0 * math.pi + 200.0)
    (bend,) = third.table.rows
    assert bend.feed_mm == pytest.approx(800.0 - 350.0 - 100.0)
    assert bend.rotation_rad == 0.0
    assert third.bends == 1
    assert third.from_last_rad == pytest.approx(math.pi / 2.0)
    whole = bender_table(LINE).tube_mm
    assert all_tube_mm((first, second, third)) == pytest.approx(whole - 400.0 - 50.0)


def test_every_run_closes_on_its_own_points():
    for run in tube_runs(LINE, [BOX, BAND]):
        assert run.closes_mm < 1e-9
        normal = run.way if run.normal is None else run.normal
        assert points_of(run.table, run.start, run.way, normal)[-1] == pytest.approx(run.table.points[-1])
    ends = [r.table.points[-1] for r in tube_runs(LINE, [BOX, BAND])]
    assert ends == [pytest.approx(BOX.start), pytest.approx(BAND.start), pytest.approx([1000.0, 800.0, 900.0])]


def test_without_parts_there_is_one_run_and_it_is_the_whole_table():
    (run,) = tube_runs(LINE, [])
    assert run.table.rows == bender_table(LINE).rows
    assert run.table.tube_mm == pytest.approx(bender_table(LINE).tube_mm)


def test_parts_that_touch_leave_no_run_between_and_one_off_the_pipe_is_named():
    after = Held("flex", BOX.end, BOX.end + np.array([50.0, 0.0, 0.0]))
    assert [(r.before, r.after) for r in tube_runs(LINE, [BOX, after])] == [("outlet", "box"), ("flex", "tail")]
    with pytest.raises(ValueError, match="lost lies on no straight"):
        tube_runs(LINE, [Held("lost", BOX.start + np.array([0.0, 50.0, 0.0]), BOX.end)])
