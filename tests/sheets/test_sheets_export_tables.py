"""Tables for a spreadsheet, read back with the library's reader: units, sums, and where the numbers lead."""

import csv
import io
import itertools
import math

import numpy as np
import pytest
from invented_sheets import solved_survey
from laid_for_export import POINTS, laid_route

from trialfit.exhaust.welding import order_of_tack
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


def _runs(rows):
    """Rows of the bends, then the last straight and the tube, of each run; the last row of all is left out."""
    names = list(dict.fromkeys(r["run of tube"] for r in rows[:-1]))
    return {name: [r for r in rows[:-1] if r["run of tube"] == name] for name in names}


def test_a_bender_that_does_as_the_rows_say_comes_from_part_to_part(route):
    """Each row as a machine does it: feed, turn about the pipe, bend; matrices multiplied in order. Where the parts lie
    on their legs is worked out here by hand."""
    laid, _ = route
    _, rows = _read(bender_csv(laid))
    corner = np.array([1210.0, 265.0, 310.0])
    first_way = (corner - POINTS["outlet"]) / np.linalg.norm(corner - POINTS["outlet"])
    next_way = np.array([2480.0, 330.0, 300.0]) - corner
    next_way /= np.linalg.norm(next_way)
    starts = [POINTS["outlet"], POINTS["outlet"] + 230.0 * first_way, corner + 800.0 * next_way,
              corner + 990.0 * next_way]
    ends = [POINTS["outlet"] + 120.0 * first_way, corner + 400.0 * next_way, corner + 950.0 * next_way,
            np.array([3390.0, 520.0, 300.0])]
    ways = [first_way, first_way, next_way, next_way]

    def step(dx=0.0, dy=0.0, about=None, turn=0.0):
        move = np.eye(4)
        c, s = math.cos(turn), math.sin(turn)
        if about == "feed":
            move[1:3, 1:3] = [[c, -s], [s, c]]
        elif about == "bend":
            move[:2, :2] = [[c, -s], [s, c]]
        move[:2, 3] = dx, dy
        return move

    told = _runs(rows)
    assert list(told) == ["1: outlet to flex", "2: flex to box", "3: box to band", "4: band to tail"]
    bent = 0
    for mine, start, way, end in zip(told.values(), starts, ways, ends, strict=True):
        *bends, last, _tube = mine
        normal = laid.centreline.bends[bent].normal if bends else np.cross(way, [0.0, 1.0, 0.0])
        normal = normal / np.linalg.norm(normal)
        frame = np.eye(4)
        frame[:3, :3] = np.column_stack([way, np.cross(normal, way), normal])
        frame[:3, 3] = start
        for row in bends:
            turn, radius = math.radians(float(row["bend angle"])), float(row["radius"])
            frame = frame @ step(float(row["feed"])) @ step(about="feed", turn=math.radians(float(row["rotation"])))
            frame = frame @ step(radius * math.sin(turn), radius * (1.0 - math.cos(turn)), "bend", turn)
        frame = frame @ step(float(last["feed"]))
        assert last["bend"] == "last straight"
        assert frame[:3, 3] == pytest.approx(end, abs=0.05)
        bent += len(bends)
    assert bent == 4


def test_tube_in_all_is_the_runs_added_up_and_no_part_is_tube(route):
    laid, _ = route
    _, rows = _read(bender_csv(laid))
    total = 0.0
    for mine in _runs(rows).values():
        *bends, last, tube = mine
        arcs = sum(float(r["feed"]) + math.radians(float(r["bend angle"])) * float(r["radius"]) for r in bends)
        assert tube["bend"] == "tube of the run"
        assert float(tube["feed"]) == pytest.approx(arcs + float(last["feed"]), abs=0.02)
        total += float(tube["feed"])
    assert rows[-1]["bend"] == "tube in all"
    assert float(rows[-1]["feed"]) == pytest.approx(total, abs=0.02)
    # flex, box and band, and the chords of the pie cut are shorter than the arc they stand for
    parts = 110.0 + 400.0 + 40.0
    assert total == pytest.approx(laid.centreline.length_mm - parts, abs=3.0)


def test_doubt_of_the_first_straight_is_that_of_the_outlet_alone(route):
    """Only the outlet is doubtful, by 2 mm each way: moved along the first leg its length takes all of it, sideways
    none to first order; what the bend's set-back adds comes from turning the leg."""
    laid, cuts = route
    _, rows = _read(bender_csv(laid))
    reach = np.linalg.norm(np.array([1210.0, 265.0, 310.0]) - POINTS["outlet"])
    first = next(r for r in rows if r["bend"] == "1")
    swung = 2.0 / reach * 0.5 * 95.25 / math.cos(0.5 * math.radians(float(first["bend angle"]))) ** 2
    assert float(first["sd of feed"]) == pytest.approx(math.hypot(2.0, swung), abs=2e-3)
    assert float(first["sd of bend angle"]) == pytest.approx(math.degrees(2.0 / reach), abs=2e-4)
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


def test_the_turn_of_a_part_stands_in_the_order_of_tack(route):
    _, cuts = route
    steps = {s.joint: s.what for s in order_of_tack(cuts) if s.joint}
    by_name = {p.part.name: steps[p.start] for p in cuts.pieces if p.part is not None}
    # 180 x 110 mm, its wide side turned by 20 deg from level, right-handed about the way downstream
    assert "wide side 20.0 deg clockwise from level looking downstream" in by_name["box"]
    assert "round, so any turn fits" in by_name["flex"]
    assert not any("drawing" in w for w in steps.values())
    told = {s.joint: s.what for s in order_of_tack(cuts, turns={"band": "its nut to the right"}) if s.joint}
    band = next(p for p in cuts.pieces if p.part is not None and p.part.name == "band")
    assert "its nut to the right" in told[band.start]
