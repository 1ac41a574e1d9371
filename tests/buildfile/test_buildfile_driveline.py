"""Shaft, power, orders and gear set as the reader makes them: amounts worked by hand, doubts kept or left open."""

import math
from pathlib import Path

import pytest

from trialfit.buildfile import load, read
from trialfit.buildfile.driveline_keys import ORDERS, order_example, typed_fields
from trialfit.vehicle import Amount, Build

HERE = Path(__file__).parent
HEAD = """trialfit: 1
readings:
  - tape box.back box.out 380 mm
  - tape box.out pinion 1250 mm
  - tape diff.front pinion 150 mm
bodies: {axle: [pinion, diff.front], engine: [box.out, box.back]}
"""


def built(text: str) -> Build:
    loaded = read(HEAD + text)
    assert [str(p) for p in loaded.problems] == []
    assert loaded.build is not None
    return loaded.build


@pytest.fixture(scope="module")
def everything() -> Build:
    found = load(HERE / "everything.yaml").build
    assert found is not None
    return found


def test_a_bare_shaft_is_read_as_before() -> None:
    shaft = built("shaft: {front: box.out, rear: pinion, diameter: 3 in}\n").shaft
    assert shaft is not None
    assert shaft.diameter == Amount(pytest.approx(76.2), 0.0)
    assert (shaft.told, shaft.slip, shaft.front_offset.mm) == (False, "slip-in-shaft", 0.0)
    assert shaft.points() == ("box.out", "pinion")


def test_every_part_of_a_shaft(everything: Build) -> None:
    shaft = everything.shaft
    assert shaft is not None
    assert shaft.centre is not None
    assert shaft.tube is not None
    assert shaft.spline is not None
    assert shaft.front_axis == ("outlet", "gearbox.out")
    assert (shaft.centre.point, shaft.centre.to_one_piece, shaft.centre.may_go) == (
        "eye.L", True, ("rail left", "floor"))
    assert [math.degrees(p.value) for p in shaft.phases] == pytest.approx([0.0, -90.0])
    assert shaft.phases[0].sd is None
    assert shaft.phases[1].sd == pytest.approx(math.radians(1.0) / 1.96)
    assert [math.degrees(w) for w in shaft.wrap_rad] == pytest.approx([-0.5, 3.0])
    # 1 1/4 in are 31.75 mm, 2 lb 0.90718474 kg
    assert shaft.spline.rooms[1] == ("yoke at the shaft end", Amount(pytest.approx(31.75)))
    assert shaft.tube.yokes_kg == pytest.approx((1.2, 0.90718474))
    assert [j.series for j in shaft.joints] == ["1310", "1330", ""]
    assert shaft.joints[2].caps[1] == Amount(pytest.approx(1.188 * 25.4))
    assert shaft.seat is not None
    assert (shaft.seat.over_axle, shaft.bearings_apart_mm) == (False, (180.0, 60.0))


def test_power_in_the_houses_units(everything: Build) -> None:
    power = everything.power
    assert power is not None
    assert power.torque is not None
    assert power.power is not None
    assert power.torque.most.value == pytest.approx(400e3)
    assert power.torque.most.sd == pytest.approx(20e3 / 1.96)
    assert power.torque.at_rad_s == pytest.approx(3500.0 * math.pi / 30.0)
    assert power.power.most.value == pytest.approx(270.0 * 745.6998715822702)
    assert power.gears == (3.1, 1.9, 1.3, 1.0, 0.75)
    assert power.axle.value == pytest.approx(41.0 / 11.0)
    assert power.tyre.rolled is not None
    assert power.tyre.rolled.value == pytest.approx((32.0 * 12.0 + 11.0) * 25.4)
    assert power.tyre.turns == 5.0
    assert power.mass is not None
    assert power.mass.sd == pytest.approx(0.02 * 1540.0 / 1.96)
    assert power.frontal_mm2 == pytest.approx(22.0 * 304.8**2)
    assert [u.kind for u in power.uses] == ["cruise", "launch", "crawl", "tow", "shaft"]
    assert power.uses[0].speed_mm_s == pytest.approx(70.0 * 1609344.0 / 3600.0)
    assert (power.uses[1].low, power.uses[1].high) == (9.0, None)
    assert (power.uses[3].grade, power.uses[3].trailer_kg) == (pytest.approx(0.06), 1500.0)


def test_a_curve_is_read_in_any_order() -> None:
    power = built("power: {curve: {6000 rpm: 300 N*m, 1000 rpm: 200 N*m}, to: 5500 rpm, gears: 3 1, box: manual, "
                  "axle: 4, rolled: 2.0 m in 1 turn}\n").power
    assert power is not None
    assert [round(w * 30.0 / math.pi) for w, _ in power.curve] == [1000, 6000]


def test_order_answers_keep_their_doubt_or_have_none(everything: Build) -> None:
    answers = {a.key: a for order in everything.orders for a in order.answers}
    assert answers["rear_yoke_width"].sd == pytest.approx(0.1 / 1.96)
    # a calliper's 0.05 mm and 0.1 mm for rust, half widths of even spreads
    assert answers["seal_surface_diameter"].sd == pytest.approx(math.hypot(0.05, 0.1) / math.sqrt(3.0))
    assert answers["kerb_mass"].sd is None
    assert answers["spline_major_diameter"].source == "size axle tube"
    assert answers["carrier_type"].value == "limited slip"


def test_a_gear_set_in_the_houses_units(everything: Build) -> None:
    gears = everything.gear_set
    assert gears is not None
    own = {name: (low, high) for name, low, high in gears.own}
    assert own["backlash"] == pytest.approx((0.15, 0.25))
    assert own["preload-used"] == pytest.approx((9.0 * 112.98482902, 14.0 * 112.98482902))
    assert gears.backlash[2].value == pytest.approx(0.2032)
    assert (gears.drive, gears.coast) == (("toe", "root"), ("heel", "top"))


@pytest.mark.parametrize("section", ORDERS)
def test_every_question_takes_its_own_example(section: str) -> None:
    lines = [f"  {name}: {order_example(asked)}" for name, asked in typed_fields(ORDERS[section]).items()]
    quoted = [line if "," not in line and ": " not in line.partition(": ")[2] else
              f"{line.partition(': ')[0]}: \"{line.partition(': ')[2]}\"" for line in lines]
    order = built(f"{section}:\n" + "\n".join(quoted) + "\n").orders[0]
    assert len(order.answers) == len(lines)
