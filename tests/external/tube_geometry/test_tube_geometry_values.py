"""Tube and pattern geometry against values from outside the program; the raw values stand in values.csv.

Works: "Parallel Line Pattern Development", chapter Round Elbow, an open textbook of the sheet metal trade (D04-04);
a school page on the net of a frustum, diameters 8 and 5 in, height 4 in (D04-08); "Sheet Metal Drafting", p. 91,
lateral area as mean of circumferences times slant height (D04-10; the value is that rule worked out). The other rows
are from memory: plane and solid geometry, worked when the rows were collected, not by this program. E13 is a fact of
the trade: how far the sine that is handed on falls short.
"""

import csv
import math
from pathlib import Path

import numpy as np
import pytest

from trialfit.exhaust import cut_list, lay
from trialfit.geometry.bend import (
    bend_gain_mm,
    bend_length_mm,
    bend_set_back_mm,
    outer_wall_mm,
    pie_cut_piece_mm,
)
from trialfit.geometry.centreline import centreline
from trialfit.geometry.unroll import (
    circumference_mm,
    cone_angle_rad,
    cone_pattern,
    cone_radius_mm,
    mitre_height_mm,
    saddle_height_mm,
    tube_pattern,
)
from trialfit.vehicle import Amount, Corner, RoutePlan

IN = 25.4
ROWS = list(csv.DictReader((Path(__file__).parent / "values.csv").open(encoding="utf-8")))
CORNERS = [(0.0, 0.0, 0.0), (100.0, 0.0, 0.0), (100.0, 100.0, 0.0), (100.0, 100.0, 100.0)]


def _area(polygon):
    x, y = polygon.T
    return 0.5 * abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1)))


def _bends():
    corners = tuple(Corner(p, Amount(20.0)) for p in CORNERS[1:3])
    plan = RoutePlan("r", Amount(20.0), Amount(1.0), "o", "", corners, CORNERS[3])
    return [p for p in cut_list(lay(plan, {"o": CORNERS[0]}, {})).pieces if p.corner]


def _answer(row):
    key, part = row["row"], row["part"]
    deg = math.radians
    if key == "D04-04":
        # six half wedges make a four-piece elbow; the textbook's rise is rounded to 1/16 in and given
        if part == "width":
            return circumference_mm(6 * IN) / IN
        radius = 2.4375 * IN / math.tan(deg(15.0))
        middle = pie_cut_piece_mm(radius, 6 * IN, deg(90.0), 3, "middle")
        return 3 * middle / IN
    if key == "D04-06":
        cut = tube_pattern(63.5, 100.0, 0.0, deg(15.0)).upper[:, 1]
        return cut.max() - cut.min()
    if key == "D04-07":
        middle = 0.5 * pie_cut_piece_mm(95.25, 63.5, deg(30.0), 1, "middle")
        return middle - mitre_height_mm(63.5, deg(15.0), deg(float(part)))
    if key == "D04-08":
        if part == "angle":
            return math.degrees(cone_angle_rad(5 * IN, 8 * IN, 4 * IN))
        return cone_radius_mm(5 * IN, 8 * IN, 4 * IN, "small" if part.startswith("inner") else "large") / IN
    if key == "D04-10":
        return _area(cone_pattern(5 * IN, 8 * IN, 4 * IN).outline) / IN**2
    if key == "D04-11":
        return bend_length_mm(deg(90.0), 95.25)
    if key == "D04-12":
        return bend_set_back_mm(deg(45.0), 95.25)
    if key == "D04-13":
        return bend_gain_mm(deg(90.0), 95.25)
    if key == "D04-14":
        return centreline(CORNERS, [20.0, 20.0]).length_mm
    if key == "D04-15":
        first, second = _bends()
        return math.degrees(
            {"first bend": first.bend_angle_rad, "second bend": second.bend_angle_rad}.get(part)
            or first.clocking.angle_rad
        )
    if key == "D04-16":
        return saddle_height_mm(60.0, 40.0) - saddle_height_mm(60.0, 40.0, around=deg(90.0))
    if key == "D04-17":
        return saddle_height_mm(63.5, 63.5) - saddle_height_mm(63.5, 63.5, around=deg(90.0))
    if key == "D04-18":
        return saddle_height_mm(60.0, 40.0, deg(60.0), 0.0, deg(float(part)))
    if key == "D04-19":
        return saddle_height_mm(60.0, 30.0, deg(90.0), 10.0, deg(float(part)))
    if key == "D04-33":
        return outer_wall_mm(1.65, 95.25, 63.5)
    assert key == "E13"
    face = deg(float(row["inputs"].split()[1]))
    side = pie_cut_piece_mm(100.0, 60.0, 2 * face, 1)
    return 100.0 * (1.0 - 2.0 * 130.0 * math.sin(face) / side)


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['row']} {r['part']}")
def test_value(row):
    assert _answer(row) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))
