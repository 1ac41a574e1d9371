"""The story of the travel: lengths, walk and pinion angle, against the hardpoints moved by hand."""

import math
import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))
from invented_axles import FOUR, FOUR_PARALLEL, LEAVES, POINTS, THREE, TRIANGULATED, build

from trialfit.motion import MotionError, solve_pose, story, travel
from trialfit.vehicle import Amount, Mounts, Shaft, Tube

DAMPER = Tube("damper", "damper", "", start="damper.top", end="damper.low", diameter=Amount(50.0))
BODIES = (("axle", ("damper.low", "pinion")), ("engine", ("gearbox",)))
SHAFT = Shaft("gearbox", "pinion", Amount(76.0))
MOUNTS = Mounts("mount.F", "mount.R", math.radians(2.0), math.radians(3.0))


def _told(suspension, **more):
    made = build(suspension, shapes=(DAMPER,), bodies=BODIES, shaft=SHAFT, mounts=MOUNTS)
    return story(travel(made, POINTS), made, POINTS, **more)


def test_the_table_says_what_a_point_moved_by_hand_does():
    told = _told(THREE, heaves_mm=[-60.0, 0.0, 60.0], rolls_rad=[0.0, 0.02])
    assert [(r.heave_mm, round(r.roll_deg, 3)) for r in told.rows] == [
        (h, r) for r in (0.0, 1.146) for h in (-60.0, 0.0, 60.0)
    ]
    names = [s.name for s in told.spans]
    assert names == ["lower left", "lower right", "upper", "rod", "shaft", "damper"]
    for row in told.rows:
        pose = solve_pose(THREE, POINTS, row.heave_mm, math.radians(row.roll_deg))
        damper = np.linalg.norm(pose.move(POINTS["damper.low"]) - POINTS["damper.top"])
        shaft = np.linalg.norm(pose.move(POINTS["pinion"]) - POINTS["gearbox"])
        assert row.lengths_mm[names.index("damper")] == pytest.approx(damper, abs=1e-6)
        assert row.lengths_mm[names.index("shaft")] == pytest.approx(shaft, abs=1e-6)
        nose = pose.rotation @ np.array([-1.0, 0.0, 0.0])
        assert row.pinion_deg == pytest.approx(math.degrees(math.asin(nose[2])), abs=1e-6)


def test_extremes_hold_every_row_and_name_where():
    told = _told(TRIANGULATED)
    assert len(told.rows) == 11
    for n, span in enumerate(told.spans):
        lengths = [r.lengths_mm[n] for r in told.rows]
        assert span.length_mm.least - 1e-9 <= min(lengths)
        assert span.length_mm.most + 1e-9 >= max(lengths)
    damper = told.span("damper")
    assert damper.length_mm.least_at.heave > 0.0 > damper.length_mm.most_at.heave
    assert damper.shorter_mm > 40.0
    assert damper.longer_mm > 40.0
    with pytest.raises(KeyError, match="there are: lower left"):
        told.span("drag link")


def test_the_shaft_feels_the_engine_rock():
    made = build(TRIANGULATED, bodies=BODIES, shaft=SHAFT)
    still = story(travel(made, POINTS), made, POINTS).span("shaft")
    rocking = _told(TRIANGULATED).span("shaft")
    assert rocking.ride_mm == pytest.approx(still.ride_mm)
    assert rocking.length_mm.most - rocking.length_mm.least > still.length_mm.most - still.length_mm.least


def test_rods_give_only_where_they_fight():
    assert max(s.give_mm for s in _told(THREE).spans if s.kind == "link") < 1e-6
    fought = {s.name: s.give_mm for s in _told(FOUR).spans if s.kind == "link"}
    assert 0.05 < max(fought.values()) < 5.0
    heave_only = _told(FOUR_PARALLEL)
    assert all(
        heave_only.rows[n].lengths_mm[:5] == pytest.approx(heave_only.rows[0].lengths_mm[:5], abs=1e-6)
        for n in range(len(heave_only.rows))
    )


def test_the_wheelbase_change_is_the_walk_and_the_yaw():
    told = _told(LEAVES, heaves_mm=[0.0], rolls_rad=[0.05])
    row = told.rows[0]
    assert 0.5 * (row.wheelbase_left_mm + row.wheelbase_right_mm) == pytest.approx(row.fore_aft_mm, abs=0.05)
    assert abs(row.wheelbase_left_mm - row.wheelbase_right_mm) > 0.01
    assert math.copysign(1.0, row.wheelbase_left_mm - row.wheelbase_right_mm) == math.copysign(1.0, row.yaw_deg)
    assert told.lateral_mm.greatest in (told.lateral_mm.least, told.lateral_mm.most)


def test_states_the_stops_forbid_stand_in_no_row():
    told = _told(THREE, heaves_mm=[0.0, 79.0], rolls_rad=[0.0, 0.05])
    assert [(r.heave_mm, r.roll_deg > 0.0) for r in told.rows] == [(0.0, False), (79.0, False), (0.0, True)]


def test_no_axle_no_story():
    made = build(None, None, mounts=MOUNTS)
    with pytest.raises(MotionError, match="moves no axle"):
        story(travel(made, POINTS), made, POINTS)


def test_a_damper_without_a_place_is_named():
    made = build(THREE, shapes=(DAMPER,), bodies=BODIES)
    points = {n: p for n, p in POINTS.items() if n != "damper.top"}
    with pytest.raises(MotionError, match=r"^damper damper: hardpoint 'damper.top' has no place; measure it$"):
        story(travel(made, points), made, points)
