"""What stands under ``making`` of a route: read in the house's units, or refused with place and mend."""

import math
from pathlib import Path

import pytest

from trialfit.buildfile import keys, making_keys, read
from trialfit.standards import table
from trialfit.vehicle import MakingSaid

PAGE = (Path(__file__).parents[2] / "docs" / "build-file.md").read_text(encoding="utf-8")
HEAD = """trialfit: 1
readings: [tape a b 300 mm, tape a hook 900 mm, tape a rail.1 800 mm, tape a rail.2 1500 mm, size branch 50.2 mm]
exhaust:
  diameter: 63.5 mm
  wall: 1.5 mm
  outlet: a
  aim: b
  end: [2000 mm, 100 mm right, 300 mm]
  parts: [{band: {kind: joint, leg: 1, from: 300 mm, length: 50 mm, diameter: 90 mm}}]
  stock: [{name: U-bend, radius: 95 mm, angle: 180 deg, legs: 100 mm, diameter: 63.5 mm}]
  making:
"""


def said(lines: str) -> MakingSaid:
    loaded = read(HEAD + "".join(f"    {line}\n" for line in lines.splitlines()))
    assert not loaded.problems, [str(p) for p in loaded.problems]
    made = loaded.build.routes[0].making
    assert made is not None
    return made


def refused(lines: str) -> str:
    loaded = read(HEAD + "".join(f"    {line}\n" for line in lines.splitlines()))
    assert loaded.build is None
    return "\n".join(map(str, loaded.problems))


def test_a_route_without_it_has_none():
    loaded = read(HEAD.replace("  making:\n", ""))
    assert loaded.build.routes[0].making is None


def test_amounts_come_in_the_houses_units():
    made = said("gas: {power: 130 kW, fuel: diesel, at the outlet: 600 degC +- 50 degC, air: 68 degF, wanted: 2 psi}")
    gas = made.gas
    assert gas.power_w == pytest.approx(130e3)
    assert gas.fuel == "diesel"
    assert gas.outlet_k == pytest.approx(873.15)
    assert gas.outlet_give_k == pytest.approx(50.0, abs=0.01)
    assert gas.air_k == pytest.approx(293.15)
    assert gas.wanted_mpa == pytest.approx(2 * 6.894757e-3, rel=1e-6)


def test_hangers_in_full():
    made = said("""hangers:
  points: [{at: hook, by: bolt, price: 4, most: 150 N, not: fuel filler}]
  rails: [{from: rail.1, to: rail.2, every: 4 in, by: weld, bracket: {arm: 40 mm, breadth: 30 mm, depth: 5 mm}}]
  at most: 3
  rubber: {stiffness: 10 N/mm +- 2 N/mm, level: 3 N/mm to 8 N/mm, drop: 50 mm, most: 80 N, stretch: 12 mm}
  idle: 700 rpm to 900 rpm
  cylinders: 6
  outlet: 30 N*m""").hangers
    assert made.points[0].point == "hook"
    assert made.points[0].most_n == 150.0
    assert made.points[0].not_for == "fuel filler"
    assert made.rails[0].every_mm == pytest.approx(101.6)
    assert made.rails[0].bracket.arm_mm == 40.0
    assert made.at_most == 3
    assert made.rubber.stiffness_n_mm == pytest.approx((8.0, 12.0), abs=0.01)
    assert made.rubber.level_n_mm == (3.0, 8.0)
    assert made.idle_rpm == pytest.approx((700.0, 900.0))
    assert made.outlet_n_mm == pytest.approx(30e3)
    assert made.use == ()


def test_places_decided_on_are_points_or_so_far_along_a_rail():
    both = """hangers:
  points: [{at: hook, by: bolt}]
  rails: [{from: rail.1, to: rail.2, every: 4 in, by: weld}]
  use: %s"""
    use = said(both % "[hook, rail.1 to rail.2 at 6 in]").hangers.use
    first, second = ((u.start, u.end, u.along_mm) for u in use)
    assert (first, second) == (("hook", "", 0.0), ("rail.1", "rail.2", pytest.approx(152.4)))
    assert said(both % "[]").hangers.use == ()
    assert said(both % "[rail.1 to rail.2 at 0 mm]").hangers.use[0].along_mm == 0.0
    for wrong, words in (("[rail.1 to rail.2]", "how far along the rail"), ("[hook at 3 mm]", "a point with"),
                         ("[hok]", "did you mean hook?"), ("[hook, hook]", "it stands there twice"),
                         ("[rail.1 to rail.2 at 3]", "a number without a unit"), ("hook", "in place of a list"),
                         ("[rail.2 to rail.1 at 3 mm]", "count from the other end: rail.1 to rail.2"),
                         ("[rail.1 to rail.2 at 9 mm +- 1 mm]", "is a plain length"),
                         ("[hook, rail.1 to rail.2 at 0 mm, rail.1 to rail.2 at 9 mm]\n  at most: 2",
                          "3 places, and at most 2")):
        assert words in refused(both % wrong), wrong


def test_stock_covers_joints_sensor_stands_branches():
    made = said("""material: 409
kerf: 2 mm
sticks: [{name: stick, length: 2 m, price: 22}]
on the shelf: {U-bend: 2, stick: 0}
parts: {band: {mass: 1 lb}}
covers: [wrapped: 0 mm to 300 mm, wrapped: 500 mm to 600 mm]
joints: {band: slip joint 50 mm}
stands: {lifted: 400 mm}
sensor: {before: band, turbine: yes, harness: left}
branches: {dump: {at: 1200 mm, clock: -90 deg, angle: 30 deg, diameter: branch, wall: 1.5 mm, length: 250 mm}}""")
    assert made.material == "409"
    assert made.sticks[0].length_mm == 2000.0
    assert dict(made.shelf) == {"U-bend": 2, "stick": 0}
    assert made.carried[0].mass_kg == pytest.approx(0.45359237)
    assert [(c.kind, c.from_mm, c.to_mm) for c in made.covers] == [("wrapped", 0.0, 300.0), ("wrapped", 500.0, 600.0)]
    assert (made.parted[0].apart, made.parted[0].overlap.mm) == ("slip joint", 50.0)
    assert (made.stands.lifted_mm, made.stands.clear_mm) == (400.0, 3.0)
    assert (made.sensor.turbine, made.sensor.harness, made.sensor.ports_mm) == (True, "left", None)
    assert made.branches[0].diameter.size == "branch"
    assert made.branches[0].clock_rad == pytest.approx(-math.pi / 2)
    assert made.branches[0].brings == 0.0
    assert made.cones == ()


def test_cones_and_pipe_that_brings_gas():
    made = said("""branches:
  bank: {at: 1 m, clock: 90 deg, angle: 150 deg, diameter: 50 mm, wall: 2 mm, length: 1 ft, brings: 40 %}
cones: {wider: {at: tail, diameter: 3 in, wall: 1.5 mm, length: 90 mm, lap: 6 mm},
        narrower: {at: outlet, diameter: 55 mm, wall: 1.5 mm}}""")
    assert made.branches[0].brings == pytest.approx(0.4)
    wider, narrower = made.cones
    assert (wider.at, wider.diameter.mm, wider.length_mm, wider.lap_mm) == ("tail", pytest.approx(76.2), 90.0, 6.0)
    assert (narrower.at, narrower.length_mm, narrower.lap_mm) == ("outlet", None, 0.0)


@pytest.mark.parametrize(("lines", "words"), [
    ("material: 410", ["this word is not known here", "409"]),
    ("kerf: 40 mm", ["out of range", "0 mm to 19.9 mm"]),
    ("sticks: [{name: stick, length: 2}]", ["a number without a unit"]),
    ("on the shelf: {U-bnd: 1}", ["no bend of stock and no stick", "did you mean U-bend?"]),
    ("on the shelf: {U-bend: -1}", ["no whole number"]),
    ("parts: {bnd: {mass: 1 kg}}", ["no part of this route has this name", "did you mean band?"]),
    ("gas: {power: 130 kW}", ["gas without at the outlet"]),
    ("gas: {at the outlet: 680 degC, power: 130 kW, flow: 0.1 kg/s}", ["a power and a flow"]),
    ("gas: {at the outlet: 2000 degC}", ["out of range", "degC"]),
    ("gas: {at the outlet: 680 degC, fuel: patrol}", ["did you mean petrol?"]),
    ("covers: [wrapped: 900 mm to 0 mm]", ["the lower amount stands last"]),
    ("covers: [wrapped: 0 mm to 500 mm, coated: 400 mm to 600 mm]", ["it lies over the wrapped stretch"]),
    ("covers: {wraped: 0 mm to 500 mm}", ["did you mean wrapped?"]),
    ("compare: [{diameter: 50 mm, wall: 25 mm}]", ["this wall leaves no bore"]),
    ("hangers: {points: [{at: hok, by: bolt}]}", ["no reading names this hardpoint", "did you mean hook?"]),
    ("hangers: {points: [{at: hook, by: glue}]}", ["one of bolt, weld"]),
    ("hangers: {points: [{at: hook, by: bolt, price: 0}]}", ["a hanger that costs nothing"]),
    ("hangers: {points: [{at: hook, by: bolt}, {at: hook, by: weld}]}", ["hook stands among the points twice"]),
    ("hangers: {rails: [{from: rail.1, to: rail.1, every: 100 mm, by: weld}]}", ["the rail ends where it begins"]),
    ("hangers: {rails: [{from: rail.1, to: rail.2, every: 1 mm, by: weld}]}", ["out of range", "10 mm to 1000 mm"]),
    ("hangers: {idle: 700 rpm to 900 rpm}", ["idle without cylinders"]),
    ("hangers: {rubber: {drop: 50 mm, shore: 55}}", ["shore without area and length"]),
    ("hangers: {rubber: {drop: 50 mm, shore: 55, stiffness: 9 N/mm}}", ["a stiffness and a hardness"]),
    ("hangers: {rubber: {drop: 50 mm, stiffness: 9 N/mm +- 12 N/mm}}", ["its give or take reaches past"]),
    ("hangers: {points: [{at: hook, by: bolt, bracket: {arm: 4 mm, breadth: 3 mm, depth: 5 mm, thread: M8.3}}]}",
     ["M8.3"]),
    ("joints: {band: vband}", ["this word is not known here", "V-band"]),
    ("joints: {band: V-band 50 mm}", ["a V-band with a length"]),
    ("joints: {bend: clamp}", ["did you mean band?"]),
    ("stands: {clear: 3 mm}", ["stands without lifted"]),
    ("sensor: {after: flex}", ["no part of this route has this name"]),
    ("sensor: {lead: 500 mm}", ["lead without plug"]),
    ("sensor: {harness: up}", ["one of left, right"]),
    ("branches: {dump: {at: 1 m, clock: 0 deg, angle: 2 deg, diameter: 50 mm, wall: 1 mm, length: 9 mm}}",
     ["out of range", "5 deg to 175 deg"]),
    ("branches: {dump: {at: 1 m}}", ["a branch without clock"]),
    ("branches: {in: {at: 1 m, clock: 0 deg, angle: 45 deg, diameter: 50 mm, wall: 1 mm, length: 90 mm, brings: 40 %}}",
     ["gas that comes in comes from ahead", "90 deg to 165 deg"]),
    ("branches: {in: {at: 1 m, clock: 0 deg, angle: 99 deg, diameter: 50 mm, wall: 1 mm, length: 9 mm, brings: 140 %}}",
     ["out of range"]),
    ("cones: {a: {at: tail, diameter: 70 mm, wall: 35 mm}}", ["this wall leaves no bore"]),
    ("cones: {a: {at: muffler, diameter: 70 mm, wall: 1 mm}}", ["one of outlet, tail"]),
    ("cones: {a: {at: tail, diameter: 70 mm, wall: 1 mm}, b: {at: tail, diameter: 80 mm, wall: 1 mm}}",
     ["two cones at the tail", "make one of them"]),
    ("cones: {a: {at: tail, wall: 1 mm}}", ["a cone without diameter"]),
    ("stiks: []", ["did you mean sticks?"]),
    ("sticks: {}", ["a table of keys in place of a list"]),
    ("hangers: 4", ["in place of keys"]),
])
def test_what_is_wrong_is_told_with_place_and_mend(lines, words):
    told = refused(lines)
    assert "build.yaml:1" in told
    for word in words:
        assert word in told, told


def test_everything_wrong_is_told_at_once():
    told = refused("material: tin\nkerf: 99 mm\nstands: {lifted: 9 m}\njoints: {band: glue}")
    assert len(told.splitlines()) == 4


@pytest.mark.parametrize("name", [n for n, rows in vars(making_keys).items() if isinstance(rows, tuple)
                                  and rows and all(isinstance(r, keys.Key) for r in rows)])
def test_the_page_names_every_key(name):
    assert [k.name for k in getattr(making_keys, name) if f"`{k.name}`" not in PAGE and f"{k.name}:" not in PAGE] == []


def test_every_material_has_its_rows_elsewhere():
    rows = {"density": ("densities", "material"), "expansion": ("expansion", "metal"),
            "welding": ("weld_practice", "material"), "surface": ("surfaces_hot", "covering")}
    for row in table("exhaust_tubes").rows:
        for column, (other, key) in rows.items():
            assert row[column] in {r[key] for r in table(other).rows}, row["material"]


@pytest.mark.parametrize("lines", [
    "covers: [" + ", ".join(["wrapped: 0 mm to 1 mm"] * 5000) + "]",
    "sticks: [" + ", ".join(["{name: x, length: 1 m}"] * 900) + "]",
    "joints: {band: slip joint " + "9" * 1500 + " mm}",
    "hangers: {rubber: {drop: 50 mm, stiffness: 1 N/mm to 2 N/mm to 3 N/mm}}",
    "branches: [[[[[[]]]]]]",
    "on the shelf: {U-bend: 99999999999999999999}",
])
def test_hostile_input_is_refused_and_raises_nothing(lines):
    text = HEAD + "    " + lines + "\n"
    loaded = read(text)
    assert loaded.build is None
    assert loaded.problems
