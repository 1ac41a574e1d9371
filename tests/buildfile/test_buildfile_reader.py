"""Every key of the format, from the text to the record, and what a reading's words are worth."""

import math
from pathlib import Path

import pytest

from trialfit.buildfile import Loaded, load, read
from trialfit.vehicle import (
    Amount,
    BendWish,
    Box,
    Build,
    Cone,
    Corner,
    Drum,
    FourLinksRod,
    GapWish,
    Hint,
    KeepOut,
    LaidPart,
    LeafSprings,
    Link,
    Mesh,
    MeshTie,
    PartWish,
    PieCutWish,
    PipeWish,
    Plate,
    Reading,
    RoutePlan,
    RuleChoice,
    Settings,
    ThreeLinksRod,
    TriangulatedLinks,
    Tube,
    Worth,
    ZoneWish,
)

ROOT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).parent


def built(text: str) -> Build:
    loaded = read(text)
    assert loaded.problems == ()
    assert loaded.build is not None
    return loaded.build


@pytest.fixture(scope="module")
def everything() -> Build:
    loaded = load(HERE / "everything.yaml")
    assert [str(p) for p in (*loaded.problems, *loaded.suspicions)] == []
    assert loaded.build is not None
    return loaded.build


def one(line: str) -> Reading:
    return built(f"readings:\n  - {line}\n").readings[0]


@pytest.mark.parametrize(
    "example", sorted((ROOT / "examples").glob("*/*.yaml")), ids=lambda p: f"{p.parent.name}-{p.stem}"
)
def test_the_examples_read_without_a_word(example: Path) -> None:
    loaded = load(example)
    assert [str(p) for p in (*loaded.problems, *loaded.suspicions)] == []
    assert loaded.build is not None
    assert len(loaded.build.readings) >= 60


@pytest.mark.parametrize(("line", "identity", "points", "values_mm"), [
    ("tape eye.L pad.L 612 mm", "tape eye.L-pad.L", ("eye.L", "pad.L"), (612.0,)),
    ("tape eye.L pad.L 612 mm, 613 mm,611 mm", "tape eye.L-pad.L", ("eye.L", "pad.L"), (612.0, 613.0, 611.0)),
    ("tape a b 61,2 cm, 613,5 mm", "tape a-b", ("a", "b"), (612.0, 613.5)),
    # 5 ft 3 7/16 in = 63.4375 in; 25.4 mm to the inch
    ("tape a b 5' 3 7/16\"", "tape a-b", ("a", "b"), (1611.3125,)),
    ("tape a b 5’ 3 7/16”,5' 3 1/2\"", "tape a-b", ("a", "b"), (1611.3125, 1612.9)),
    ("height a 14 3/8 in", "height a", ("a",), (365.125,)),
    ("height a 12 mm below", "height a", ("a",), (-12.0,)),
    ("offset a 462 mm left", "offset a", ("a",), (-462.0,)),
    ("offset a 462 mm right", "offset a", ("a",), (462.0,)),
    ("offset a 462 mm, 463 mm left", "offset a", ("a",), (-462.0, -463.0)),
    ("offset a 2 mm left, 1 mm right", "offset a", ("a",), (-2.0, 1.0)),
    ("offset a -462 mm", "offset a", ("a",), (-462.0,)),
    ("offset a 0 mm left", "offset a", ("a",), (0.0,)),
    ("offset a 18 3/16in Left", "offset a", ("a",), (-461.9625,)),
    ("station a 59 mm ahead", "station a", ("a",), (-59.0,)),
    ("station a 59 mm behind", "station a", ("a",), (59.0,)),
    ("size axle tube 3 in", "size axle tube", (), (76.2,)),
    ("size pipe2 .5 in", "size pipe2", (), (12.7,)),
    ("TAPE a b 612 MM", "tape a-b", ("a", "b"), (612.0,)),
])
def test_lengths_of_a_reading(line: str, identity: str, points: tuple[str, ...], values_mm: tuple[float, ...]) -> None:
    reading = one(line)
    assert (reading.identity, reading.points) == (identity, points)
    assert reading.values == pytest.approx(values_mm, abs=1e-9)
    assert reading.sd is None


@pytest.mark.parametrize(("line", "identity", "degrees"), [
    ("angle a b 3.5 deg up", "angle a-b", 3.5), ("angle a b 3.5 deg down", "angle a-b", -3.5),
    ("angle a b -3.5 deg", "angle a-b", -3.5), ("angle a b / c d 0 deg 54 min", "angle a-b/c-d", 0.9),
])
def test_angles_of_a_reading(line: str, identity: str, degrees: float) -> None:
    assert one(line).identity == identity
    assert one(line).values == pytest.approx((math.radians(degrees),), abs=1e-15)


@pytest.mark.parametrize(("line", "sd_mm"), [
    # 95 % of a normal error lies within 1.96 standard deviations (table of the normal distribution)
    ("tape a b 1605 mm +- 4 mm", 4.0 / 1.96), ("tape a b 1605 mm ± 0.4 cm", 4.0 / 1.96),
    ("tape a b 1605 mm +/- 4 mm by tape-blind", 4.0 / 1.96), ("tape a b 1605 mm by tape-blind +- 4 mm", 4.0 / 1.96),
    ("tape a b 1600 mm give or take 1 %", 16.0 / 1.96), ("tape a b 1605 mm, 1606 mm +- 1/8 in", 3.175 / 1.96),
    ("tape a b 1605 mm +- 0,5 mm", 0.5 / 1.96),
])
def test_give_or_take_is_the_half_width_of_95_per_cent(line: str, sd_mm: float) -> None:
    assert one(line).sd == pytest.approx(sd_mm, rel=1e-12)


def test_instruments_edited_and_added(everything: Build) -> None:
    by = {r.typed: r.instrument for r in everything.readings}
    tape = by["tape eye.L pad.L 612 mm"]
    assert (tape.name, tape.under_car, tape.limit_per_m, tape.hook) == ("tape", 3.0, 0.2, 0.2)
    assert tape.source.endswith("changed by the builder")
    gauge = by["angle nose tail 3.5 deg up by my-gauge"]
    assert (gauge.measures, gauge.limit, gauge.source) == ("angle", pytest.approx(math.radians(0.3)), "maker's leaflet")
    old = by["tape eye.R nose 1605 mm +- 4 mm by old-tape"]
    assert (old.limit, old.limit_per_m, old.hook, old.under_car) == (1.0, 0.4, 0.5, 2.0)
    assert by["size axle tube 76 mm, 77 mm"].name == "calliper"
    assert by["angle nose tail / eye.L pad.L 4 deg by dial"].name == "dial"


def test_identities_stay_apart_and_know_their_place(everything: Build) -> None:
    names = [r.identity for r in everything.readings]
    assert names[:2] == ["tape eye.L-pad.L", "tape eye.L-pad.L #2"]
    assert len(set(names)) == len(names)
    where = everything.readings[0].where
    assert where is not None
    assert str(where) == "everything.yaml:20:5"


def test_what_stands_at_the_top(everything: Build) -> None:
    assert everything.name == "Everything, once"
    assert everything.note == "Invented vehicle.\nTwo lines of note."
    assert everything.settings == Settings("inch", 32, "Letter", "two people, half a tank, on its wheels")


def test_sides(everything: Build) -> None:
    assert everything.hints == (Hint("eye.L", "left"), Hint("nose", "ahead", "pad.L"), Hint("tail", "behind"),
                                Hint("tail", "above", "nose"))


def test_bodies(everything: Build) -> None:
    assert everything.body_of("pinion") == "axle"
    assert everything.body_of("gearbox.out") == "engine"
    assert everything.body_of("eye.L") == "frame"


def test_running_gear(everything: Build) -> None:
    held = everything.suspension
    assert isinstance(held, FourLinksRod)
    assert held.links[0] == Link("lower left", "frame.ll", "axle.ll")
    assert held.links[1] == Link("lower right", "frame.lr", "axle.lr", 1500.0)
    assert held.rod == Link("lateral rod", "rod.frame", "rod.axle")
    assert everything.stops is not None
    assert (everything.stops.bump_mm, everything.stops.droop_mm, everything.stops.apart_mm) == (80.0, 90.0, 900.0)
    assert everything.stops.roll_rad == pytest.approx(math.radians(4))
    assert everything.mounts is not None
    assert (everything.mounts.axis_front, everything.mounts.axis_rear) == ("mount.F", "mount.R")
    assert (everything.mounts.right_up_rad, everything.mounts.right_down_rad) == pytest.approx(
        (math.radians(2), math.radians(3)))
    assert everything.shaft is not None
    assert (everything.shaft.front, everything.shaft.rear) == ("gearbox.out", "pinion")
    assert (everything.shaft.diameter.mm, everything.shaft.diameter.sd_mm) == pytest.approx((76.0, 1.0 / 1.96))


def test_shapes(everything: Build) -> None:
    shapes = {s.name: s for s in everything.shapes}
    tube = Amount(76.5, 0.0, "axle tube")  # mean of 76 and 77
    assert shapes["axle tube"] == Tube("axle tube", "axle", "axle", start="pad.L", end="pad.R", diameter=tube)
    assert shapes["rail left"] == Box("rail left", "frame", "frame", corner_a="eye.L", corner_b="tail",
                                      along_y=Amount(60.0), along_z=Amount(100.0))
    assert shapes["tank"] == Box("tank", "fuel", "frame", corner_a="nose", corner_b="tail")
    assert shapes["battery"] == Box("battery", "wiring", "frame", corner_a="bat.c", along_x=Amount(260.0),
                                    along_y=Amount(175.0), along_z=Amount(200.0))
    assert shapes["wheel left"] == Drum("wheel left", "tyre", "wheel-left", centre="wheel.L", diameter=Amount(640.0),
                                        width=Amount(215.0))
    assert shapes["floor"] == Plate("floor", "floor", "frame", corners=("fl.1", "fl.2", "fl.3", "fl.4"),
                                    thickness=Amount(2.0))
    assert shapes["bell"] == Cone("bell", "engine", "engine", start="outlet", end="gearbox.out",
                                  diameter_start=Amount(380.0), diameter_end=Amount(180.0))
    assert shapes["damper"].body == ""  # from the frame to the axle
    ties = (MeshTie("fl.1", (12.0, 5.1, 330.2)), MeshTie("fl.2", (-1.0, 0.5, 300.0)), MeshTie("fl.3", (1.0, 2.0, 3.0)))
    assert shapes["scan"] == Mesh("scan", "floor", "frame", file="tunnel.stl", ties=ties, scale=None)


def test_exhaust(everything: Build) -> None:
    route, _ = everything.routes
    assert isinstance(route, RoutePlan)
    assert (route.name, route.outlet, route.outlet_aim, route.least_straight_mm) == (
        "main",
        "outlet",
        "outlet.aim",
        20.0,
    )
    assert (route.diameter, route.wall) == (Amount(12.7, 0.0, "pipe"), Amount(1.5))
    assert route.corners == (
        Corner((1210.0, 265.0, 310.0), Amount(1.5 * 12.7, 0.0, "1.5 D")), Corner("tail", Amount(95.0)),
        Corner((2650.0, -300.0, -20.0), Amount(12.7, 0.0, "1 D"), PieCutWish(5, 1.5)))
    assert route.end == (3600.0, -420.0, 330.0)
    (bend,) = route.stock
    assert (bend.name, bend.radius_mm, bend.leg_mm, bend.diameter_mm) == ("U-bend", 95.25, 100.0, 63.5)
    assert bend.price == 18.0
    assert bend.angle_rad == pytest.approx(math.pi)
    assert route.laid
    assert route.found == "by hand"
    assert route.parts == (
        LaidPart("rear box", "muffler", 3, 120.0, Amount(450.0), Amount(200.0), Amount(76.5, 0.0, "axle tube"),
                 pytest.approx(-math.pi / 6)),
        LaidPart("clamp", "joint", 3, 609.6, Amount(40.0), Amount(95.0), Amount(95.0)))


def test_a_short_wish_takes_the_routes_own(everything: Build) -> None:
    route, _ = everything.routes
    wish = route.wish
    assert wish is not None
    assert wish.exit.zone == ZoneWish("eye.L", "tail")
    assert wish.exit.toward == pytest.approx((0.0, -0.6, 0.8))
    assert wish.exit.within_rad == pytest.approx(math.radians(10.0))
    assert wish.pipes == (PipeWish(route.diameter, route.wall),)
    assert wish.bends == (BendWish("U-bend", Amount(95.25), pytest.approx(math.pi), price=18.0, diameter_mm=63.5),)
    assert (wish.parts, wish.through, wish.keep_out, wish.ground_mm, wish.end_to_end, wish.worth) == (
        (), (), (), None, False, Worth())


def test_a_long_wish(everything: Build) -> None:
    _, route = everything.routes
    assert (route.name, route.laid, route.found) == ("side", False, "")
    assert (route.corners, route.end, route.parts) == ((), "", ())
    wish = route.wish
    assert wish is not None
    assert wish.exit.zone == ZoneWish((2400.0, 600.0, 250.0), (2500.0, 700.0, 350.0))
    assert wish.exit.toward == pytest.approx((0.0, math.cos(math.pi / 6), -0.5))
    assert wish.exit.within_rad == pytest.approx(math.radians(5.0))
    assert wish.pipes == (PipeWish(Amount(63.5), Amount(1.5), 12.0),
                          PipeWish(Amount(pytest.approx(50.8)), Amount(1.5), pytest.approx(6.0 / 0.3048)))
    assert wish.bends == (
        BendWish("1.5 D", Amount(95.25, 0.0, "1.5 D"), pytest.approx(math.pi), price=15.0, times=1.5),
        BendWish("tight one", Amount(70.0), pytest.approx(math.pi / 2), 4, 1.5, diameter_mm=63.5))
    assert wish.end_to_end
    flex, box = wish.parts
    assert flex == PartWish("flex", "bellows", Amount(150.0), Amount(82.0), Amount(82.0))
    assert box == PartWish("box", "muffler", Amount(450.0), Amount(200.0), Amount(120.0),
                           ZoneWish("eye.L", (2100.0, 300.0, 350.0)),
                           pytest.approx((0.0, math.pi / 2, -math.pi / 4)), 30.0, pytest.approx(11 * 0.45359237), 80.5,
                           0.5, 2.0)
    assert wish.through == ("tail", (1500.0, 220.0, 250.0))
    assert wish.keep_out == (KeepOut("spare well", ZoneWish("eye.L", "tail"), 10.0),
                             KeepOut("step", ZoneWish("nose", "pinion")))
    assert wish.ground_mm == 60.0
    # 1 lb is 0.45359237 kg and 1 psi is 6.894757 kPa: NIST Special Publication 811 (2008), appendix B
    assert wish.worth == Worth(30.0, pytest.approx(2.0 / 0.45359237), pytest.approx(35.0 / 6.894757), 1.0, 6.0, 0.25,
                               0.2, 0.1, pytest.approx(800.15))


def test_every_record_of_a_wish_knows_its_line(everything: Build) -> None:
    _, route = everything.routes
    wish = route.wish
    assert wish is not None
    assert wish.where is not None
    records = [wish.exit, wish.exit.zone, *wish.pipes, *wish.bends, *wish.parts, *wish.keep_out]
    lines = [record.where.line if record.where else 0 for record in records]
    assert lines == sorted(lines)
    assert lines[0] == wish.where.line + 1


@pytest.mark.parametrize(("said", "xyz"), [
    ("rear", (1, 0, 0)), ("Front", (-1, 0, 0)), ("right", (0, 1, 0)), ("left", (0, -1, 0)), ("up", (0, 0, 1)),
    ("down", (0, 0, -1)), ("90 deg left of rear", (0, -1, 0)), ("0 deg left of rear", (1, 0, 0)),
    ("45 deg down of left", (0, -(0.5**0.5), -(0.5**0.5))), ("[0, 0, -2.5]", (0, 0, -1)), ("[3, 4, 0]", (0.6, 0.8, 0)),
])
def test_directions(said: str, xyz: tuple[float, float, float]) -> None:
    made = built(WISH.replace("towards: rear", f"towards: {said}")).routes[0].wish
    assert made is not None
    assert made.exit.toward == pytest.approx(xyz)


@pytest.mark.parametrize(("said", "places"), [
    ("a", ("a",)), ("[a]", ("a",)), ("[a, b]", ("a", "b")), ("[1 mm, 2 mm right, 3 mm]", ((1.0, 2.0, 3.0),)),
    ("'1 mm, 2 mm left, 3 mm'", ((1.0, -2.0, 3.0),)), ("[[1 mm, 0 mm, 3 mm], a]", ((1.0, 0.0, 3.0), "a")),
])
def test_places_to_run_through(said: str, places: tuple[object, ...]) -> None:
    made = built(WISH + f"    through: {said}\n").routes[0].wish
    assert made is not None
    assert made.through == places


def test_a_flat_box_is_a_box_and_parts_may_stand_as_keys() -> None:
    text = WISH.replace("[[1 mm, 0 mm, 3 mm]", "[[2 mm, 0 mm, 3 mm]")
    made = built(text + "    parts: {cat: {kind: Catalyst, length: 200 mm, diameter: 110 mm}}\n").routes[0].wish
    assert made is not None
    assert made.exit.zone == ZoneWish((2.0, 0.0, 3.0), (2.0, 5.0, 6.0))
    assert [part.kind for part in made.parts] == ["catalyst"]


@pytest.mark.parametrize("ended", ["corners: []\n  end: b", "end: b\n  corners: []"])
def test_a_straight_pipe_is_laid_and_no_one_asks(ended: str) -> None:
    loaded = read(WISH.replace("  find:", f"  {ended}\n  find:"))
    assert loaded.build is not None
    assert loaded.suspicions == ()
    assert loaded.build.routes[0].laid


WISH = """trialfit: 1
readings: [tape a b 612 mm]
exhaust:
  diameter: 60 mm
  wall: 2 mm
  outlet: a
  find:
    exit: {between: [[1 mm, 0 mm, 3 mm], [2 mm, 5 mm right, 6 mm]], towards: rear}
    bends: [{radius: 1.5 D, to: 180 deg}]
"""


def test_radius_in_diameters_of_a_plain_length_is_a_plain_length() -> None:
    build = built(
        "trialfit: 1\nreadings:\n  - tape a b 612 mm\nexhaust:\n  diameter: 60 mm\n  wall: 2 mm\n  outlet: a\n"
        "  corners:\n    - {at: [1 mm, 2 mm left, 3 mm], radius: 1.5 D}\n  end: b\n"
    )
    assert build.routes[0].name == "main"
    assert build.routes[0].corners[0].radius == Amount(90.0)


def test_gaps_and_rules(everything: Build) -> None:
    assert everything.gaps == (GapWish("exhaust.main", "floor", 30.0), GapWish("wheel left", "rail left", 12.7),
                               GapWish("axle tube", "damper", None, True))
    assert everything.rules == (RuleChoice("exhaust-to-fuel", "38 mm in one state's inspection code"),)


LEAVES = """trialfit: 1
readings: [tape eye.L pad.L 3 mm, tape eye.R pad.R 3 mm, tape rear.L sh.L 3 mm, tape rear.R sh.R 3 mm]
bodies: {axle: [pad.L, pad.R]}
suspension:
  type: Leaf springs
  left:  {front eye: eye.L, pad: pad.L, rear eye: rear.L, shackle: sh.L, clamp: 120 mm}
  right: {front eye: eye.R, pad: pad.R, rear eye: rear.R, shackle: sh.R}
"""


def test_leaf_springs() -> None:
    held = built(LEAVES).suspension
    assert isinstance(held, LeafSprings)
    assert (held.left.front_eye, held.left.pad, held.left.rear_eye, held.left.shackle) == (
        "eye.L",
        "pad.L",
        "rear.L",
        "sh.L",
    )
    assert (held.left.clamp.mm, held.right.clamp.mm) == (120.0, 0.0)


@pytest.mark.parametrize(
    ("kind", "links", "rod", "record"),
    [
        ("three links and lateral rod", 3, "  rod: rf ra\n", ThreeLinksRod),
        ("triangulated four links", 4, "", TriangulatedLinks),
    ],
)
def test_other_links(kind: str, links: int, rod: str, record: type) -> None:
    names = [(f"f{n}", f"a{n}") for n in range(links)] + [("rf", "ra")]
    text = "trialfit: 1\nreadings:\n" + "".join(f"  - tape {f} {a} 3 mm\n" for f, a in names)
    text += f"bodies: {{axle: [{', '.join(a for _, a in names)}]}}\nsuspension:\n  type: {kind}\n  links:\n"
    text += "".join(f"    link {n}: f{n} a{n}\n" for n in range(links)) + rod
    held = built(text).suspension
    assert isinstance(held, record)
    assert len(held.links) == links


def test_a_file_of_readings_alone_is_good() -> None:
    loaded = read("readings:\n  - tape a b 612 mm\n", "mine.yaml")
    assert loaded.build is not None
    assert [str(s) for s in loaded.suspicions] == [
        "mine.yaml:1:1: no version of the format: read as version 1; write trialfit: 1 in the first line"]


def test_signs_of_a_written_file_do_not_matter(tmp_path: Path) -> None:
    text = (HERE / "everything.yaml").read_text(encoding="utf-8")
    path = tmp_path / "everything.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    plain, signed = load(HERE / "everything.yaml"), load(path)
    assert plain.build is not None
    assert signed.build is not None
    assert signed.build.readings == plain.build.readings
    assert [r.where for r in signed.build.readings] == [r.where for r in plain.build.readings]
    assert signed.digest != plain.digest
    assert signed.build.digest == signed.digest


def refused(loaded: Loaded) -> str:
    assert loaded.build is None
    assert len(loaded.problems) == 1
    return str(loaded.problems[0])


def test_what_cannot_be_opened(tmp_path: Path) -> None:
    (tmp_path / "utf16.yaml").write_bytes("name: x".encode("utf-16"))
    (tmp_path / "latin.yaml").write_bytes(b"trialfit: 1\nname: caf\xe9\n")
    assert "there is no such file" in refused(load(tmp_path / "none.yaml"))
    assert "this is a folder" in refused(load(tmp_path))
    assert "trialfit new makes a first one" in refused(load(tmp_path))
    (tmp_path / "build.yaml").write_text("trialfit: 1\n", encoding="utf-8")
    assert f"name the file in it: {tmp_path / 'build.yaml'}" in refused(load(tmp_path))
    assert "this cannot name a file" in refused(load("a\0b"))
    assert refused(load(tmp_path / "utf16.yaml")) == (
        "utf16.yaml:1:1: the file is saved as UTF-16; expected UTF-8 text; save it again as UTF-8 in the editor")
    assert refused(load(tmp_path / "latin.yaml")) == (
        'latin.yaml:2:10: "byte e9": not UTF-8 text; expected a text file in UTF-8; '
        "save it again as UTF-8 in the editor"
    )


def test_faults_of_structure_stand_first_and_the_list_ends() -> None:
    text = "trialfit: 1\nreadings:\n" + "  - tape a b 612\n" * 3 + "name: x\nname: y\n"
    lines = [p.place.line for p in read(text).problems]
    assert lines == [7, 3, 4, 5]
    many = read("trialfit: 1\nreadings:\n" + "  - tape a b 612\n" * 900).problems
    assert len(many) == 200
    assert many[-1].message == "there are more problems than these"


@pytest.mark.parametrize(("names", "slip"), [
    (["pinion"] * 3 + ["pinoin"], {"pinoin": "pinion"}), (["pinion"] * 3 + ["pinio"], {"pinio": "pinion"}),
    (["eye.L"] * 2 + ["eye.l"], {"eye.l": "eye.L"}), (["eye.L"] * 2 + ["eyeL"], {"eyeL": "eye.L"}),
    (["eye.L"] * 5 + ["eye.R"], {}), (["floor.1"] * 5 + ["floor.2"], {}), (["tank.a"] * 5 + ["tank.b"], {}),
    (["rail.L1"] * 4 + ["rail.L2", "rail.R1"], {}), (["damper.t.L"] * 4 + ["damper.b.L"], {}),
    (["wheel.L"] * 3 + ["whel.L"], {"whel.L": "wheel.L"}),
])
def test_names_that_look_like_a_slip(names: list[str], slip: dict[str, str]) -> None:
    from trialfit.buildfile.names import slips

    assert slips(names) == slip
