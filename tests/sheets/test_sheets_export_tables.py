"""Tables for a spreadsheet, read back with the library's reader: units, sums, and where the numbers lead."""

import csv
import io
import itertools
import math

import numpy as np
import pytest
from invented_sheets import solved_survey
from laid_for_export import POINTS, laid_route

from trialfit.sheets.tables_csv import bender_csv, cut_list_csv, hardpoints_csv, points_csv


def _read(data):
    rows = list(csv.reader(io.StringIO(data.decode("utf-8"), newline="")))
    names, units, *rest = rows
    assert len(names) == len(set(names))
    assert all(len(row) == len(names) for row in rows)
    return dict(zip(names, units, strict=True)), [dict(zip(names, row, strict=True)) for row in rest]


@pytest.fixture(scope="module")
def route():
    return laid_route()


def test_every_column_has_its_unit(route):
    laid, cuts = route
    for data in (cut_list_csv(cuts), bender_csv(laid), points_csv(laid, cuts), hardpoints_csv(solved_survey())):
        units, rows = _read(data)
        assert set(units.values()) <= {"-", "mm", "deg", "kg"}
        for name, unit in units.items():
            if unit != "-":
                assert all(row[name] == "" or math.isfinite(float(row[name])) for row in rows), name


def test_the_pieces_add_up_to_the_way_from_outlet_to_end(route):
    laid, cuts = route
    _, rows = _read(cut_list_csv(cuts))
    total = sum(float(r["length to cut"]) for r in rows)
    assert total == pytest.approx(laid.centreline.length_mm, abs=0.02)
    assert [float(rows[0][f"{c} at start"]) for c in "xyz"] == pytest.approx(list(POINTS["outlet"]), abs=1e-3)
    assert [float(rows[-1][f"{c} at end"]) for c in "xyz"] == pytest.approx([3390.0, 520.0, 300.0], abs=2e-3)
    for before, after in itertools.pairwise(rows):
        assert before["to"] == after["from"]
        assert [before[f"{c} at end"] for c in "xyz"] == [after[f"{c} at start"] for c in "xyz"]


def test_the_mass_is_that_of_steel_tube(route):
    """EN 10220, clause on mass: (D - T) T times 0.0246615 kg/m."""
    _, cuts = route
    _, rows = _read(cut_list_csv(cuts))
    for row in rows:
        if row["kind"] == "part":
            assert row["mass"] == ""
        else:
            per_m = (63.5 - 1.5) * 1.5 * 0.0246615
            assert float(row["mass"]) == pytest.approx(per_m * float(row["length to cut"]) / 1000.0, abs=1e-4)


def test_whether_it_may_be_cut_stands_in_every_row(route):
    laid, cuts = route
    for data in (cut_list_csv(cuts, may_cut="NOT YET"), bender_csv(laid, "NOT YET")):
        _, rows = _read(data)
        assert {list(row.values())[-1] for row in rows} == {"NOT YET"}


def test_a_bender_that_does_as_the_rows_say_ends_at_the_end(route):
    """Each row as a machine does it: feed, turn about the pipe, bend; matrices multiplied in order."""
    laid, _ = route
    _, rows = _read(bender_csv(laid))
    first = laid.centreline.bends[0]
    along = laid.centreline.tangent_at(0.0)
    frame = np.eye(4)
    frame[:3, :3] = np.column_stack([along, np.cross(first.normal, along), first.normal])
    frame[:3, 3] = POINTS["outlet"]

    def step(dx=0.0, dy=0.0, about=None, turn=0.0):
        move = np.eye(4)
        c, s = math.cos(turn), math.sin(turn)
        if about == "feed":
            move[1:3, 1:3] = [[c, -s], [s, c]]
        elif about == "bend":
            move[:2, :2] = [[c, -s], [s, c]]
        move[:2, 3] = dx, dy
        return move

    for row in rows[:-2]:
        turn, radius = math.radians(float(row["bend angle"])), float(row["radius"])
        frame = frame @ step(float(row["feed"])) @ step(about="feed", turn=math.radians(float(row["rotation"])))
        frame = frame @ step(radius * math.sin(turn), radius * (1.0 - math.cos(turn)), "bend", turn)
    frame = frame @ step(float(rows[-2]["feed"]))
    assert rows[-2]["bend"] == "last straight"
    assert frame[:3, 3] == pytest.approx([3390.0, 520.0, 300.0], abs=0.05)


def test_tube_in_all_is_the_rows_added_up(route):
    laid, _ = route
    _, rows = _read(bender_csv(laid))
    bends = sum(float(r["feed"]) + math.radians(float(r["bend angle"])) * float(r["radius"]) for r in rows[:-2])
    assert rows[-1]["bend"] == "tube in all"
    assert float(rows[-1]["feed"]) == pytest.approx(bends + float(rows[-2]["feed"]), abs=0.02)


def test_doubt_of_the_first_straight_is_that_of_the_outlet_alone(route):
    """Only the outlet is doubtful, by 2 mm each way: moved along the first leg its length takes all of it, sideways
    none to first order; what the bend's set-back adds comes from turning the leg."""
    laid, cuts = route
    _, rows = _read(bender_csv(laid))
    reach = np.linalg.norm(np.array([1210.0, 265.0, 310.0]) - POINTS["outlet"])
    swung = 2.0 / reach * 0.5 * 95.25 / math.cos(0.5 * math.radians(float(rows[0]["bend angle"]))) ** 2
    assert float(rows[0]["sd of feed"]) == pytest.approx(math.hypot(2.0, swung), abs=2e-3)
    assert float(rows[0]["sd of bend angle"]) == pytest.approx(math.degrees(2.0 / reach), abs=2e-4)
    _, points = _read(points_csv(laid, cuts))
    named = {r["point"]: r for r in points}
    for what in ("outlet", "joint A"):
        assert [float(named[what][f"sd of {c}"]) for c in "xyz"] == pytest.approx([2.0] * 3, abs=1e-3)
    assert [float(named["joint P"][f"sd of {c}"]) for c in "xyz"] == pytest.approx([0.0] * 3, abs=1e-3)
    assert named["corner 2"]["sd of x"] == ""


def test_points_are_those_written_down_and_the_last_joint_is_the_end(route):
    laid, cuts = route
    _, rows = _read(points_csv(laid, cuts))
    place = {r["point"]: [float(r[c]) for c in ("x rearward", "y right", "z up")] for r in rows}
    assert place["corner 3"] == [2690.0, 380.0, 560.0]
    assert place["joint P"] == pytest.approx(place["end"], abs=2e-3)
    assert rows[0]["hardpoint"] == "outlet"


def test_hardpoints_stand_with_their_doubt_and_the_missing_ones_with_the_reason():
    survey = solved_survey()
    _, rows = _read(hardpoints_csv(survey))
    named = {r["name"]: r for r in rows}
    # invented places, each reading off by 1.2 mm at most
    assert float(named["pad.L"]["x rearward or size"]) == pytest.approx(1822.0, abs=3.0)
    assert float(named["tank.a"]["y right"]) == pytest.approx(-350.0, abs=3.0)
    # three single readings and nothing else: the largest doubt is the largest of the three
    alone = named["tank.a"]
    assert float(alone["largest sd"]) == pytest.approx(max(float(alone[f"sd of {c}"]) for c in ("x or size", "y", "z")),
                                                       abs=2e-3)
    assert named["axle tube"]["what"] == "size"
    assert float(named["axle tube"]["x rearward or size"]) == pytest.approx(76.2, abs=1e-3)
    assert named["bat.c"]["what"] == "not solved"
    assert named["bat.c"]["why"]
    assert named["bat.c"]["x rearward or size"] == ""


def test_the_same_build_gives_the_same_bytes(route):
    laid, cuts = route
    again, again_cuts = laid_route()
    assert cut_list_csv(cuts) == cut_list_csv(again_cuts)
    assert bender_csv(laid) == bender_csv(again)
    assert points_csv(laid, cuts) == points_csv(again, again_cuts)


def test_a_name_that_a_spreadsheet_would_work_out_is_kept_as_words():
    _laid, cuts = laid_route(name="=1+1")
    _, rows = _read(cut_list_csv(cuts, may_cut="=HYPERLINK()"))
    assert rows[0]["may be cut"] == "'=HYPERLINK()"
