"""Making a laid exhaust, all of it together: what is asked is answered, and bad input is named with what works.

The vehicle is invented. Expected values are geometry, physics or another way to the answer, named beside each.
"""

import math
import re
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from trialfit.buildfile import load, read
from trialfit.checks import domain_of, run, with_making
from trialfit.checks.exhaust_room import others, surroundings
from trialfit.checks.hot_exhaust import scaled
from trialfit.checks.making import Making, makings
from trialfit.exhaust.nesting import BendStock
from trialfit.exhaust.pieces import Kind
from trialfit.exhaust.removal import Answer
from trialfit.findings import Finding, Verdict
from trialfit.geometry import Rigid, gap_at
from trialfit.geometry.solids import Capsule, cylinder

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SMALL = """trialfit: 1
readings:
{readings}
shapes:
  floor: {{plate: [f.1, f.2, f.3, f.4], thickness: 1.5 mm, kind: floor}}
  fuel line: {{tube: l.1 l.2, diameter: 10 mm, kind: fuel}}
exhaust:
  main:
    diameter: 60 mm
    wall: 1.5 mm
    outlet: outlet
    aim: aim
    corners:
      - {{at: [1600 mm, 200 mm right, 250 mm], radius: 90 mm}}
      - {{at: [2000 mm, 400 mm right, 250 mm], radius: 90 mm}}
    end: [3200 mm, 400 mm right, 250 mm]
    parts: [{parts}]
    stock: [{stock}]
    making:
{making}
"""
POINTS = {"outlet": (500, 200, 250), "aim": (900, 200, 250), "hook.1": (1000, 260, 420), "hook.2": (2500, 460, 420),
          "hook.3": (1800, 420, 430), "hook.4": (2900, 460, 420),
          "f.1": (400, 100, 450), "f.2": (3300, 100, 450), "f.3": (3300, 700, 450), "f.4": (400, 700, 450),
          "l.1": (600, 320, 330), "l.2": (1500, 320, 330)}
PARTS = ("{flex: {kind: bellows, leg: 1, from: 110 mm, length: 120 mm, diameter: 80 mm}}, "
         "{band: {kind: joint, leg: 1, from: 600 mm, length: 50 mm, diameter: 85 mm}}, "
         "{box: {kind: muffler, leg: 3, from: 200 mm, length: 400 mm, width: 180 mm, height: 110 mm}}")
STOCK = "{name: U-bend, radius: 90 mm, angle: 180 deg, legs: 100 mm, diameter: 60 mm, price: 18}"
WEIGHED = "parts: {flex: {mass: 0.8 kg, rate: 6 N/mm to 9 N/mm}, band: {mass: 0.3 kg}, box: {mass: 4.5 kg, loss: 2}}"
GAS = "gas: {power: 100 kW, fuel: petrol, at the outlet: 650 degC +- 50 degC}"
RUBBER = "rubber: {stiffness: 8 N/mm +- 1 N/mm, level: 2 N/mm to 4 N/mm, drop: 50 mm, most: 90 N, stretch: 15 mm}"
HANGERS = ("hangers: {points: [{at: hook.1, by: bolt}, {at: hook.2, by: bolt}, {at: hook.3, by: bolt}, "
           f"{{at: hook.4, by: bolt}}], reach: 300 mm, rod: 10 mm, {RUBBER}}}")


def text(making: str, parts: str = PARTS, stock: str = STOCK) -> str:
    lines = []
    for name, (x, y, z) in POINTS.items():
        lines += [f"  - station {name} {x} mm", f"  - offset {name} {y} mm right", f"  - height {name} {z} mm"]
    return SMALL.format(readings="\n".join(lines), parts=parts, stock=stock,
                        making="\n".join(f"      {line}" for line in making.splitlines()))


def made(making: str, parts: str = PARTS, stock: str = STOCK, *, full: bool = False, gaps: bool = False,
         floor_mm: int = 450) -> Making:
    loaded = read(text(making, parts, stock).replace("450 mm", f"{floor_mm} mm"))
    assert not loaded.problems, [str(p) for p in loaded.problems]
    results = run(loaded.build, gaps=gaps)
    (one,) = makings(results, domain_of(results.travel), full=full)
    return one


def told(one: Making, name: str) -> Finding:
    return next(f for f in one.findings if f.name == f"exhaust.main.{name}")


# -- what is not asked ----------------------------------------------------------------------------------------------


def test_without_making_nothing_is_said_and_the_pieces_are_there_all_the_same():
    loaded = read(text("kerf: 2 mm").replace("    making:\n      kerf: 2 mm\n", ""))
    results = run(loaded.build, gaps=False)
    (one,) = makings(results, domain_of(None))
    assert one.findings == ()
    assert one.chain.length_mm > 2000.0
    assert one.fit_up is not None
    assert one.hangers is one.flow is None
    # what is listed as stock is told of the pieces all the same, the sticks left open
    assert all((p.stock is not None) == (p.kind is Kind.BEND) for p in one.cuts.pieces)


def test_what_is_left_out_is_not_worked_out_and_has_no_finding():
    one = made("kerf: 3 mm")
    assert {f.name.split(".")[2] for f in one.findings} <= {"stock", "fit-up", "joint", "exchange"}
    assert one.kerf_mm == 3.0
    assert one.growth is one.sensor is None


# -- stock ----------------------------------------------------------------------------------------------------------


def test_every_piece_is_cut_once_and_no_two_cuts_share_metal():
    one = made("sticks: [{name: stick, length: 2 m, price: 22}]\non the shelf: {U-bend: 1}")
    pieces = sorted(c.piece for u in one.nest.units for c in u.cuts)
    wanted = sorted(p.number for p in one.cuts.pieces if p.part is None)
    assert pieces == wanted
    for unit in one.nest.units:
        arcs = sorted((c.from_rad, c.to_rad) for c in unit.cuts if c.to_rad > 0.0)
        for (_, end), (start, _) in pairwise(arcs):
            assert start - end >= one.kerf_mm / unit.stock.radius_mm - 1e-9
        if not isinstance(unit.stock, BendStock):
            assert sum(c.length_mm + one.kerf_mm for c in unit.cuts) <= unit.stock.length_mm + one.kerf_mm + 1e-6
    # the bend on the shelf goes first, for it costs nothing
    bends = [u for u in one.nest.units if isinstance(u.stock, BendStock)]
    assert bends[0].stock.price == 0.0
    assert told(one, "stock").verdict is Verdict.FITS_AFTER_WORK


def test_all_of_it_on_the_shelf_fits():
    one = made("sticks: [{name: stick, length: 2 m, price: 22}]\non the shelf: {U-bend: 2, stick: 3}")
    assert told(one, "stock").verdict is Verdict.FITS
    assert one.nest.cost == 0.0


def test_impossible_stock_is_named_with_what_would_do():
    one = made("sticks: [{name: short, length: 300 mm, price: 5}]")
    found = told(one, "stock")
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert "the longest straight in stock 300 mm: list a longer stick" in found.reason
    assert one.nest is None


def test_a_bend_larger_than_the_stock_is_named_with_what_would_do():
    small = "{name: elbow, radius: 90 mm, angle: 20 deg, legs: 100 mm, diameter: 60 mm, price: 9}"
    one = made("kerf: 2 mm", stock=small)
    found = told(one, "stock")
    assert found.verdict is Verdict.DOES_NOT_FIT
    # the corner turns atan(200/400): geometry
    assert f"turns {math.degrees(math.atan2(200, 400)):.1f} deg; elbow turns 20 deg: list a wider bend or weld two" in (
        found.reason)


def test_a_muffler_longer_than_its_straight_is_named_with_the_straight_that_holds_it():
    long = PARTS.replace("leg: 3, from: 200 mm, length: 400 mm", "leg: 2, from: 60 mm, length: 700 mm")
    one = made(f"{WEIGHED}\n{HANGERS}\nstands: {{lifted: 400 mm}}", parts=long, full=True)
    found = told(one, "making.box")
    assert found.verdict is Verdict.DOES_NOT_FIT
    # leg 3 is 1200 mm less one set-back, R tan(half the turn): geometry
    straight = 1200.0 - 90.0 * math.tan(math.atan2(200, 400) / 2.0)
    assert f"put it on leg 3, which has {straight:.0f} mm of straight" in found.remedy
    assert one.hangers is None
    assert one.removals == ()
    assert told(one, "making").verdict is Verdict.CANNOT_TELL


def test_a_muffler_that_no_straight_holds_is_told_the_longest():
    long = PARTS.replace("leg: 3, from: 200 mm, length: 400 mm", "leg: 3, from: 200 mm, length: 1500 mm")
    found = told(made("kerf: 2 mm", parts=long), "making.box")
    assert "no straight holds it: the longest is that of leg 3" in found.remedy


# -- fit-up ---------------------------------------------------------------------------------------------------------


def test_the_closed_loop_and_what_rounding_does_to_it():
    one = made("material: 409")
    assert one.lands_mm < 0.1
    assert math.degrees(one.lands_rad) < 0.05
    assert one.marked_mm > one.lands_mm
    assert told(one, "fit-up.lands").verdict is Verdict.FITS
    assert one.fit_up.practice.material == "stainless 409"


def test_galvanised_tube_is_refused_for_its_fumes():
    found = told(made("material: galvanised"), "weld")
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert "fume" in found.reason


# -- heat and growth ------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def hot() -> Making:
    return made(f"{GAS}\n{WEIGHED}", gaps=True)


def test_neighbours_are_as_near_as_geometry_says_and_wrap_cools_them(hot):
    near = {n.name: n for n in hot.neighbours}
    assert set(near) == {"floor", "fuel line"}
    # the line runs 120 mm beside and 80 mm over the pipe's middle: less half of it and of the band, the widest there
    assert near["fuel line"].distance_mm == pytest.approx(math.hypot(120, 80) - 42.5 - 5.0, abs=0.01)
    wrapped = made(f"{GAS}\n{WEIGHED}\ncovers: [wrapped: 0 mm to 2600 mm]")
    cooler = {n.name: n for n in wrapped.neighbours}
    assert cooler["fuel line"].surface_k[1] < near["fuel line"].surface_k[1]
    assert all(n.surface_k[0] <= n.surface_k[1] for n in (*near.values(), *cooler.values()))


def test_a_hot_neighbour_gets_a_verdict_with_shields(hot):
    for one in hot.neighbours:
        if one.surface_k[1] <= one.limit_k:
            assert one.verdict is Verdict.FITS
        else:
            low = one.surface_k[0] <= one.limit_k
            assert one.verdict is (Verdict.FITS_AFTER_WORK if one.shields else
                                   Verdict.CANNOT_TELL if low else Verdict.DOES_NOT_FIT)
            assert ("strip" in one.remedy) == low
    assert any(n.verdict is not Verdict.FITS for n in hot.neighbours)


def test_growth_is_length_by_rise_by_coefficient(hot):
    # physics, linear expansion; 12.2e-6 of mild steel to 100 degC, up to 15 % more when hot (table of coefficients)
    low, high = hot.run.mean_skin_k()
    assert hot.growth.share[0] == pytest.approx(12.2e-6 * (low - 293.15), rel=1e-9)
    assert hot.growth.share[1] == pytest.approx(1.15 * 12.2e-6 * (high - 293.15), rel=1e-9)


def test_a_hot_gap_is_that_of_the_pipe_grown_from_its_outlet():
    low = made(f"{GAS}\n{WEIGHED}", gaps=True, floor_mm=330)
    gap = next(g for g in low.hot_gaps if {g.a, g.b} == {"floor", "exhaust.main"})
    # 80 mm from the pipe's middle up to the floor, less half of its 1.5 mm and of the pipe: geometry
    assert gap.cold_mm == pytest.approx(80.0 - 0.75 - 30.0, abs=0.2)
    # it runs level at the outlet's height, so only its radius grows towards the floor
    assert gap.cold_mm - gap.hot_mm == pytest.approx(30.0 * low.growth.share[1], abs=0.1)


def test_scaling_moves_points_away_from_the_outlet_only():
    outlet = np.array([500.0, 200.0, 250.0])
    grown = scaled(Capsule(outlet, [1500.0, 200.0, 250.0], 30.0), outlet, 1.01)
    assert np.allclose(grown.start, outlet)
    assert np.allclose(grown.end, [1510.0, 200.0, 250.0])
    assert grown.radius_mm == pytest.approx(30.3)


def test_back_pressure_against_what_is_wanted():
    tight = made(f"{GAS[:-1]}, wanted: 0.1 kPa}}\n{WEIGHED}")
    found = told(tight, "back-pressure")
    assert found.verdict is Verdict.DOES_NOT_FIT
    free = made(f"{GAS[:-1]}, wanted: 90 kPa}}\n{WEIGHED}")
    assert told(free, "back-pressure").verdict is Verdict.FITS
    # a wider tube never takes more: Crane
    others_ = "compare: [{diameter: 70 mm, wall: 1.5 mm}, {diameter: 55 mm, wall: 1.5 mm}]"
    rows = made(f"{GAS}\n{WEIGHED}\n{others_}").sizes
    assert [r.choice.outside_mm for r in rows] == [55.0, 60.0, 70.0]
    assert rows[0].back_mpa[1] > rows[1].back_mpa[1] > rows[2].back_mpa[1]


def test_gas_without_power_or_flow_cannot_be_told():
    found = told(made("gas: {at the outlet: 650 degC}"), "heat")
    assert found.verdict is Verdict.CANNOT_TELL
    assert "neither power nor flow" in found.reason


# -- hangers --------------------------------------------------------------------------------------------------------


def test_hangers_carry_the_pipe_and_their_loads_and_the_outlets_add_up_to_its_weight():
    pytest.importorskip("Pynite")
    one = made(f"{GAS}\n{WEIGHED}\n{HANGERS}", full=True)
    assert one.hangers is not None
    assert {h.candidate.name for h in one.hangers.hangers} <= {"hook.1", "hook.2", "hook.3", "hook.4"}
    # statics: what hangs on rubber and outlet together is the weight
    low = sum(h.upright_n[0] for h in one.hangers.hangers) + one.hangers.outlet_n[0]
    high = sum(h.upright_n[1] for h in one.hangers.hangers) + one.hangers.outlet_n[1]
    assert low - 1e-6 <= one.chain.mass_kg * 9.80665 <= high + 1e-6
    assert told(one, "growth").verdict is Verdict.FITS


def test_hangers_decided_on_are_used_and_one_that_cannot_be_is_told():
    free = made(f"{GAS}\n{WEIGHED}\n{HANGERS}", full=True)
    names = [h.candidate.name for h in free.hangers.hangers]
    use = HANGERS[:-1] + f", use: [{', '.join(names)}]}}"
    assert [h.candidate.name for h in made(f"{GAS}\n{WEIGHED}\n{use}", full=True).hangers.hangers] == names
    one = made(f"{GAS}\n{WEIGHED}\n{HANGERS[:-1]}, use: [hook.4]}}", full=True)
    assert [h.candidate.name for h in one.hangers.hangers] == ["hook.4"]
    assert "you decided" in told(one, "hanger.choice").reason
    blocked = HANGERS.replace("{at: hook.1, by: bolt}", "{at: hook.1, by: bolt, not: filler}")
    none = made(f"{GAS}\n{WEIGHED}\n{blocked[:-1]}, use: [hook.1]}}", full=True)
    assert none.hangers is None
    assert told(none, "hanger.choice").verdict is Verdict.DOES_NOT_FIT
    assert "take use out" in told(none, "hanger.choice").remedy
    assert "hook.1, filler" in told(none, "hanger.choice").reason


@pytest.mark.parametrize("lines", ["stands: {lifted: 400 mm}", HANGERS, f"{HANGERS}\nstands: {{lifted: 400 mm}}", ""])
def test_in_two_steps_and_in_one_every_finding_comes_once(lines):
    results = run(read(text(f"{GAS}\n{WEIGHED}\n{lines}")).build)
    told_ = [f.name for f in with_making(results).findings]
    assert sorted(told_) == sorted(set(told_))
    assert "exhaust.main.growth" in told_
    assert sorted(told_) == sorted(f.name for f in run(results.build, making=True).findings)


def test_room_without_end_is_no_number():
    open_air = "dump: {at: 900 mm, clock: 180 deg, angle: 90 deg, diameter: 40 mm, wall: 1.5 mm, length: 150 mm}"
    one = made("branches: {" + open_air + "}\n" + HANGERS + f"\n{GAS}\n{WEIGHED}", full=True)
    assert all(f.margin is None or math.isfinite(f.margin) for f in one.findings)


def test_no_sheet_is_offered_where_none_has_room():
    from trialfit.checks.hot_exhaust import _neighbour

    one = made(f"{GAS}\n{WEIGHED}")
    near = {mm: _neighbour("line", "fuel", 333.0, [(900.0, mm)], one.chain, one.flow, one.run)
            for mm in (5.0, 25.0, 60.0)}
    assert near[5.0].verdict is Verdict.DOES_NOT_FIT
    assert "leave room for 0" in near[5.0].remedy
    assert near[25.0].shields in (None, 1)
    assert near[60.0].shields in (1, 2)
    assert near[60.0].verdict is Verdict.FITS_AFTER_WORK


def test_a_cone_into_the_ground_or_into_the_floor_holds_the_cut():
    wide = made("cones: {big: {at: tail, diameter: 900 mm, wall: 1.5 mm, length: 20 mm}}")
    assert told(wide, "cone.tail.room").verdict is Verdict.DOES_NOT_FIT
    fine = made("cones: {tip: {at: tail, diameter: 70 mm, wall: 1.5 mm, length: 60 mm}}")
    assert told(fine, "cone.tail.room").verdict is Verdict.FITS


def test_no_candidate_hangers_is_told_with_the_place_that_wants_one():
    pytest.importorskip("Pynite")
    one = made(f"{WEIGHED}\nhangers: {{{RUBBER}}}", full=True)
    found = told(one, "hanger.choice")
    assert found.verdict is Verdict.DOES_NOT_FIT
    assert "nothing to hang on" in found.reason
    assert "beside box" in found.reason
    assert re.search(r"within 350 mm of \d+ mm, 400 mm right, 250 mm", found.reason)


def test_hangers_out_of_reach_name_the_nearest():
    pytest.importorskip("Pynite")
    one = made(f"{WEIGHED}\nhangers: {{points: [{{at: f.1, by: bolt}}], reach: 60 mm, {RUBBER}}}", full=True)
    assert "the nearest now is f.1" in told(one, "hanger.choice").reason


def test_a_part_that_nobody_weighed_is_asked_for():
    pytest.importorskip("Pynite")
    one = made(HANGERS, full=True)
    found = told(one, "hanger.mass")
    assert found.verdict is Verdict.CANNOT_TELL
    assert all(name in found.reason for name in ("flex", "band", "box"))


def test_too_many_places_are_refused_with_the_limit():
    rail = "rails: [{from: f.1, to: f.2, every: 10 mm, by: weld}]"
    found = told(made(f"{WEIGHED}\nhangers: {{{rail}, {RUBBER}}}", full=True), "hanger.choice")
    assert "60 at most" in found.remedy


# -- joints, ways out, sensor, branches -----------------------------------------------------------------------------


def test_an_open_underside_lets_every_section_out():
    one = made(f"{WEIGHED}\njoints: {{band: V-band}}\nstands: {{lifted: 500 mm}}", full=True)
    assert [r.answer for r in one.removals] == [Answer.FREE, Answer.FREE]
    assert [r.section for r in one.removals] == [2, 1]
    assert told(one, "joint.band.straight").verdict is Verdict.FITS


def test_a_joint_that_nobody_speaks_of_cannot_be_told():
    assert told(made("kerf: 2 mm"), "joint.band.kind").verdict is Verdict.CANNOT_TELL


def test_the_sensor_keeps_off_the_line_and_to_its_side():
    one = made("sensor: {after: flex, before: band, harness: left, ports: 500 mm}")
    assert one.sensor.best_mm is not None
    # it lies behind the bellows, which ends 230 mm along, and before the band at 600 mm: the file
    assert 230.0 < one.sensor.best_mm < 600.0
    # left of the top is minus, seen against the flow
    assert one.sensor.best_clock_rad <= 1e-9


def test_a_branch_is_cut_and_one_off_the_pipe_is_refused():
    dump = "dump: {at: %d mm, clock: 180 deg, angle: 90 deg, diameter: 40 mm, wall: 1.5 mm, length: 150 mm}"
    one = made("branches: {" + dump % 900 + "}")
    # two cylinders square to each other: depth of the saddle is R - sqrt(R^2 - r^2), r the inside of the branch
    assert one.branches[0].depth_mm == pytest.approx(30.0 - math.sqrt(30.0**2 - 18.5**2), abs=1e-6)
    off = made("branches: {" + dump % 9000 + "}")
    assert off.branches == ()
    assert any(f.verdict is Verdict.DOES_NOT_FIT and "branch.dump" in f.name for f in off.findings)


def test_papers_of_branch_and_cone_are_printed_with_the_rest():
    dump = "dump: {at: 900 mm, clock: 180 deg, angle: 90 deg, diameter: 40 mm, wall: 1.5 mm, length: 150 mm}"
    cone = "wider: {at: tail, diameter: 76.2 mm, wall: 1.5 mm, length: 90 mm}"
    results = run(read(text("branches: {" + dump + "}\ncones: {" + cone + "}")).build)
    names = [w.name for w in results.wraps]
    assert {"main dump branch", "main dump hole", "main wider"} <= set(names)
    assert len(set(names)) == len(names)


def test_a_cone_has_the_angle_of_its_ends_and_one_of_no_step_is_refused():
    one = made("cones: {wider: {at: tail, diameter: 76.2 mm, wall: 1.5 mm, length: 40 mm}}")
    half = math.degrees(math.atan((76.2 - 60.0) / 2.0 / 40.0))
    assert math.degrees(one.cones[0].angle_rad) == pytest.approx(2.0 * half)
    assert told(one, "cone.tail").verdict is Verdict.FITS_AFTER_WORK
    same = made("cones: {same: {at: tail, diameter: 60 mm, wall: 1.5 mm}}")
    assert told(same, "cone.tail").verdict is Verdict.DOES_NOT_FIT
    assert same.cones == ()


def test_gas_that_joins_and_a_cone_change_the_back_pressure():
    plain = made(f"{GAS}\n{WEIGHED}").run.back_mpa
    second = ("branches: {in: {at: 900 mm, clock: 90 deg, angle: 150 deg, diameter: 60 mm, wall: 1.5 mm, "
              "length: 200 mm, brings: 50 %}}")
    # the merge speeds the gas up, and takes what that needs
    joined = made(f"{GAS}\n{WEIGHED}\n{second}").run
    assert next(loss for loss in joined.losses if loss.kind == "merge").pressure_mpa > 0.0
    # a diffuser at the tail gives back some of the speed that the gas leaves with; a nozzle costs
    wider = "cones: {c: {at: tail, diameter: 76.2 mm, wall: 1.5 mm, length: 200 mm}}"
    tighter = "cones: {c: {at: tail, diameter: 45 mm, wall: 1.5 mm, length: 90 mm}}"
    assert made(f"{GAS}\n{WEIGHED}\n{wider}").run.back_mpa < plain
    assert plain < made(f"{GAS}\n{WEIGHED}\n{tighter}").run.back_mpa


def test_room_is_that_to_the_nearest_of_all_things_one_by_one():
    results = run(read(text("kerf: 2 mm")).build, gaps=False)
    plan = results.routes[0].plan
    around = surroundings(results, plan)
    for place in ((900.0, 260.0, 300.0), (2500.0, 400.0, 420.0), (500.0, -900.0, 100.0)):
        probe = cylinder(np.array(place), np.array(place) + np.array([0.0, 0.0, 40.0]), 12.0)
        one_by_one = min(gap_at(Rigid((probe,)), p.mover, (0.0, 0.0, 0.0)).lower_mm for p in others(results, plan))
        assert around.room(probe) == pytest.approx(one_by_one, abs=1e-6)


# -- the demos ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["estate", "flatbed"])
def test_the_demo_carries_its_making(name):
    loaded = load(EXAMPLES / name / "build.yaml")
    assert loaded.build.routes[0].making is not None
    results = run(loaded.build, gaps=False)
    (one,) = makings(results, domain_of(results.travel), full=False)
    assert one.nest is not None
    assert one.nest.proven
    assert one.lands_mm < 0.1
    names = [f.name for f in one.findings]
    assert len(names) == len(set(names))
    assert all(n.startswith(("exhaust.main.", "order.exhaust-shop.main.")) for n in names)
