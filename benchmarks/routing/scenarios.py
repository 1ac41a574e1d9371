"""The questions that the router is timed on. All vehicles are invented.

Three scenarios of the study that came before the router: ``easy`` and ``over`` are its own numbers (``easy.json``,
``over.json``); ``tight`` is ours, rebuilt after its description alone, for its numbers were not kept, so no figure of
the study about its ``tight`` may be set beside ours. Six layouts of ``generated`` were written down before the router
was first run on them and not changed to suit it; ``seed`` shifts every part of a layout a little. The two
example builds ask what their files say.

Cost, the same everywhere: 0.01 for each mm of centre line, 0.03 for each degree of turning, 1.5 for each round weld.
"""

import json
import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import pairwise
from pathlib import Path

import numpy as np

from trialfit.geometry.gaps import Domain, Rigid, Span
from trialfit.geometry.paths import PosePath, fit
from trialfit.geometry.solids import Box, Capsule, Solid, cylinder
from trialfit.motion import reference_point, travel
from trialfit.routing.problem import Bend, Exit, LegPart, Obstacle, Problem, Size, Term
from trialfit.standards import required_gap
from trialfit.vehicle import (
    Amount,
    BodyName,
    Build,
    Drum,
    FourLinksRod,
    LeafSpring,
    LeafSprings,
    Link,
    Settings,
    Stops,
    Suspension,
    ThreeLinksRod,
    Travel,
    TriangulatedLinks,
)

HERE = Path(__file__).resolve().parent
PER_MM, PER_DEG, PER_WELD = 0.01, 0.03, 1.5
MOST_BEND_DEG = 120.0
STUDY = ("easy", "over", "tight")
DEMOS = ("estate", "flatbed")
KINDS = ("short", "low", "van", "pickup", "side", "saloon")
STUDY_KINDS = {
    "rail": "frame", "xm": "frame", "bumpstop": "rubber", "engine": "engine", "fuel": "fuel", "spare": "tyre",
    "floor": "floor", "ground": "other", "axle": "axle", "diff": "axle", "pinion": "axle", "propshaft": "shaft",
    "wheel": "tyre", "spring": "spring", "damper": "damper", "brake": "brake", "battery": "wiring", "skid": "frame",
    "hose": "brake-line", "tank": "fuel",
}
UNMARKED = frozenset({"floor", "body", "other", "brake-line", "rubber"})
"""kinds that no one would name a route after"""


def terms(bends: Iterable[Bend], part_welds: int) -> tuple[Term, ...]:
    """The cost of a route as its three shares, each already in cost [-]."""
    kinds = tuple(bends)
    none = (0.0,) * len(kinds)
    return (
        Term("length", "-", 1.0, PER_MM, none, none, 0.0),
        Term("turning", "-", 1.0, 0.0, (PER_DEG * 180.0 / math.pi,) * len(kinds), none, 0.0),
        Term("welds", "-", 1.0, 0.0, none, tuple(PER_WELD * b.welds for b in kinds), PER_WELD * part_welds),
    )


def size(diameter_mm: float, bends: tuple[Bend, ...], part_welds: int, wall_mm: float = 1.5) -> Size:
    return Size(f"{diameter_mm:g} mm", diameter_mm, wall_mm, bends, terms(bends, part_welds))


def mandrel(diameter_mm: float, ratio: float) -> Bend:
    """Bend of one sweep; ``ratio``: centre-line radius over outside diameter."""
    return Bend(f"{ratio:g} D", ratio * diameter_mm, math.radians(MOST_BEND_DEG))


def heave_and_roll(centre: np.ndarray, lo: np.ndarray, hi: np.ndarray) -> PosePath:
    """Straight up by the heave, turned by the roll about the line along the vehicle through ``centre``."""

    def moved(states: np.ndarray) -> np.ndarray:
        c, s = np.cos(states[:, 1]), np.sin(states[:, 1])
        zero, one = np.zeros(len(states)), np.ones(len(states))
        turn = np.stack((one, zero, zero, zero, c, -s, zero, s, c), axis=1)
        shift = centre - turn.reshape(-1, 3, 3) @ centre
        shift[:, 2] += states[:, 0]
        return np.hstack((turn, shift))

    found = fit(moved, lo, hi, axes=(True, True, False), centre=centre, reach_mm=6000.0, tolerance_mm=1e-9)
    if found.error_mm > 1e-6:
        raise ValueError(f"the path is off by {found.error_mm:.2g} mm")
    return found.path


# --- the scenarios of the study


def study(name: str) -> Problem:
    """``easy``, ``over`` or ``tight``."""
    if name in ("easy", "over"):
        return _from_study(json.loads((HERE / f"{name}.json").read_text()))
    if name != "tight":
        raise ValueError(f"no scenario is called {name!r}; known: {', '.join(STUDY)}")
    given = json.loads((HERE / "over.json").read_text())
    return _from_study(_tighter(given))


def _tighter(given: dict) -> dict:
    """Ours: thinner pipe with wider bends, way out rear left, the straight way there shut.

    What the study's report says of it is kept: bend of 1.5 D; tank on the left to x = 2080; spare drum so far left
    that 34.5 mm are left over beside the rail there; second tank rear right, battery tray, skid plate, hose bracket.
    """
    rest = [o for o in given["obstacles"] if o["name"] not in ("fuel_tank", "spare")]

    def box(name: str, low: tuple, high: tuple, req: float) -> dict:
        low_, high_ = np.array(low, float), np.array(high, float)
        return {"name": name, "type": "box", "c": list((low_ + high_) / 2), "h": list((high_ - low_) / 2),
                "req": req, "motion": "static"}

    beside = 34.5 + 25.0 + 15.0 + 63.5
    y = -400.0 + beside + 330.0
    rest += [
        box("fuel_tank", (1200, -390, 300), (2080, -90, 560), 50),
        box("tank_second", (3000, 475, 280), (3620, 760, 540), 50),
        box("battery_tray", (1000, 480, 330), (1420, 760, 600), 38),
        box("skid_plate", (640, -240, 280), (860, 240, 292), 15),
        box("hose_bracket", (2175, 120, 560), (2215, 170, 640), 38),
        {"name": "spare", "type": "cylinder", "a": [3260, y, 400], "b": [3260, y, 620], "r": 330, "req": 25,
         "motion": "static"},
    ]
    return {**given, "name": "tight", "pipe_D": 63.5, "bend_R": 1.5 * 63.5, "obstacles": rest,
            "end": {**given["end"], "box": [[3720, -600, 300], [3800, -230, 460]]}}


def _from_study(given: dict) -> Problem:
    lo = np.array((given["heave"][0], math.radians(given["roll_deg"][0]), 0.0))
    hi = np.array((given["heave"][1], math.radians(given["roll_deg"][1]), 0.0))
    axle = heave_and_roll(np.array(given["axle_center"], float), lo, hi)
    heaves, rolls = given["pose_grid"]
    heave, roll = np.linspace(lo[0], hi[0], heaves), np.linspace(lo[1], hi[1], rolls)
    states = np.array([(h, r, 0.0) for h in heave for r in roll])
    obstacles = []
    for o in given["obstacles"]:
        kind = STUDY_KINDS[o["name"].split("_")[0]]
        if o["motion"] == "link":
            body = Span(np.array(o["a"], float), None, np.array(o["b"], float), axle, float(o["r"]))
        else:
            body = Rigid((_solid(o),), axle if o["motion"] == "axle" else None)
        obstacles.append(Obstacle(o["name"], kind, body, float(o["req"]), "invented", kind not in UNMARKED))
    m, end, aim = given["muffler"], given["end"], np.array(given["start"]["d"], float)
    muffler = LegPart("muffler", "muffler", float(m["L"]), float(m["W"]), float(m["H"]),
                      np.array(m["zone"], float), (0.0,), float(given["min_straight"]), 2)
    d = float(given["pipe_D"])
    bend = Bend("the bend", float(given["bend_R"]), math.radians(MOST_BEND_DEG))
    return Problem(
        tuple(obstacles), np.array(given["start"]["p"], float), aim / np.linalg.norm(aim),
        _exit(*np.array(end["box"], float), end["d"], end["cone_deg"]), (size(d, (bend,), muffler.welds),),
        np.array(given["bounds"], float), Domain(lo, hi), states, (muffler,),
        least_straight_mm=float(given["min_straight"]),
    )


def _exit(low: np.ndarray, high: np.ndarray, aim: Iterable[float], cone_deg: float) -> Exit:
    along = np.array(tuple(aim), float)
    return Exit(np.array(low, float), np.array(high, float), along / np.linalg.norm(along), math.radians(cone_deg))


def _solid(o: dict) -> Solid:
    if o["type"] == "box":
        return Box(np.array(o["c"], float), np.array(o["h"], float), _square(np.array(o.get("R", np.eye(3)), float)))
    if o["type"] == "capsule":
        return Capsule(np.array(o["a"], float), np.array(o["b"], float), float(o["r"]))
    if o["type"] == "cylinder":
        return cylinder(o["a"], o["b"], float(o["r"]))
    # Half space n . p <= d as a box so wide that its edges are out of reach.
    normal, reach = np.array(o["n"], float), 20_000.0
    axis = int(np.argmax(np.abs(normal)))
    half = np.full(3, reach)
    half[axis] = 1000.0
    return Box(normal * (float(o["d"]) - 1000.0), half)


def _square(axes: np.ndarray) -> np.ndarray:
    """Axes printed to twelve digits, made square to rounding."""
    left, _, right = np.linalg.svd(axes)
    return left @ right


# --- invented layouts


@dataclass
class _Car:
    """What is known of a layout while it is put together; ``about`` shifts a number a little by the seed."""

    rng: np.random.Generator
    moved: Travel | None = None
    obstacles: list[Obstacle] = field(default_factory=list)

    def about(self, value: float, spread: float = 8.0) -> float:
        return float(value + self.rng.uniform(-spread, spread))

    @property
    def axle(self) -> PosePath:
        assert self.moved is not None
        return self.moved.paths[str(BodyName.AXLE)]

    def put(self, name: str, kind: str, body: Rigid | Span, required_mm: float | None = None) -> None:
        gap, why = required_gap("exhaust", kind)
        source = why.in_force.source
        if required_mm is not None:
            gap, source = required_mm, "common practice, no source"
        self.obstacles.append(Obstacle(name, kind, body, gap, source, kind not in UNMARKED))

    def fixed(self, name: str, kind: str, *solids: Solid) -> None:
        self.put(name, kind, Rigid(solids))

    def box(self, name: str, kind: str, x: tuple, y: tuple, z: tuple) -> None:
        low, high = np.array((x[0], y[0], z[0]), float), np.array((x[1], y[1], z[1]), float)
        self.fixed(name, kind, Box((low + high) / 2, (high - low) / 2))

    def line(self, name: str, kind: str, start: tuple, end: tuple, radius_mm: float) -> None:
        self.fixed(name, kind, Capsule(np.array(start, float), np.array(end, float), radius_mm))

    def on_axle(self, name: str, kind: str, *solids: Solid) -> None:
        self.put(name, kind, Rigid(solids, self.axle))

    def bar(self, name: str, kind: str, frame: Iterable[float], axle: Iterable[float], radius_mm: float) -> None:
        """Round bar from a point of the frame to a point of the axle."""
        self.put(name, kind, Span(np.array(tuple(frame), float), None, np.array(tuple(axle), float), self.axle,
                                  radius_mm))

    def rails(self, y: float, wide: float, high: float, line: tuple[tuple[float, float], ...]) -> None:
        """Both chassis rails along the polyline (x, z) of their middle; sections overlap by 15 mm."""
        for side, sign in (("left", -1.0), ("right", 1.0)):
            for n, ((xa, za), (xb, zb)) in enumerate(pairwise(line), 1):
                a, b = np.array((xa, sign * y, za)), np.array((xb, sign * y, zb))
                u = (b - a) / np.linalg.norm(b - a)
                v = np.array((0.0, 1.0, 0.0))
                half = np.array((np.linalg.norm(b - a) / 2 + 15.0, wide / 2, high / 2))
                self.fixed(f"rail {side} {n}", "frame", Box((a + b) / 2, half, np.array((u, v, np.cross(u, v)))))


@dataclass(frozen=True)
class _Running:
    """Axle, wheels and stops of a layout: half the track at the wheel's inner and outer face, and so on [mm]."""

    x: float
    z: float
    tyre_mm: float
    inner_mm: float
    outer_mm: float
    tube_mm: float
    diff_mm: float
    pinion_x: float
    pinion_z: float
    stops: Stops


def _pair(name: str, frame: tuple, axle: tuple, points: dict) -> tuple[Link, Link]:
    """A link on either side, given for the right one."""
    rods = []
    for side, sign in (("left", -1.0), ("right", 1.0)):
        for end, p in (("frame", frame), ("axle", axle)):
            points[f"{name} {side} {end}"] = np.array((p[0], sign * p[1], p[2]), float)
        rods.append(Link(f"{name} {side}", f"{name} {side} frame", f"{name} {side} axle"))
    return rods[0], rods[1]


def _one(name: str, frame: tuple, axle: tuple, points: dict) -> Link:
    points[f"{name} frame"], points[f"{name} axle"] = np.array(frame, float), np.array(axle, float)
    return Link(name, f"{name} frame", f"{name} axle")


def _leaves(y: float, eye: tuple, pad: tuple, rear: tuple, hanger: tuple, points: dict) -> LeafSprings:
    springs = []
    for side, sign in (("left", -1.0), ("right", 1.0)):
        for end, (x, z) in (("eye", eye), ("pad", pad), ("rear", rear), ("hanger", hanger)):
            points[f"{end} {side}"] = np.array((x, sign * y, z), float)
        springs.append(LeafSpring(f"spring {side}", f"eye {side}", f"pad {side}", f"rear {side}", f"hanger {side}",
                                  Amount(120.0)))
    return LeafSprings(springs[0], springs[1])


def _set_running(car: _Car, run: _Running, suspension: Suspension, points: dict, shaft_front: tuple,
                 ground_mm: float) -> None:
    """Travel from the hardpoints, then everything that rides on the axle or hangs between it and the frame."""
    middle = (run.inner_mm + run.outer_mm) / 2
    points["hub left"], points["hub right"] = np.array((run.x, -middle, run.z)), np.array((run.x, middle, run.z))
    wheels = tuple(
        Drum(name=f"wheel {s}", kind="tyre", body=body, centre=f"hub {s}", diameter=Amount(run.tyre_mm),
             width=Amount(run.outer_mm - run.inner_mm))
        for s, body in (("left", BodyName.WHEEL_LEFT), ("right", BodyName.WHEEL_RIGHT)))
    build = Build("invented", "", Settings(), (), suspension=suspension, stops=run.stops, shapes=wheels)
    car.moved = travel(build, points)
    about = reference_point(suspension, points, ("hub left", "hub right"))
    y = run.inner_mm - 40.0
    car.on_axle("axle tube", "axle", Capsule(np.array((run.x, -y, run.z)), np.array((run.x, y, run.z)), run.tube_mm))
    car.on_axle("diff", "axle", Capsule(np.array((run.x - 30, 0, run.z)), np.array((run.x + 50, 0, run.z)),
                                        run.diff_mm))
    nose = np.array((run.pinion_x, 0.0, run.pinion_z))
    car.on_axle("pinion nose", "axle", Capsule(np.array((run.x - 60, 0, run.z)), nose, 58.0))
    car.bar("shaft", "shaft", shaft_front, nose, 42.0)
    for side, sign in (("left", -1.0), ("right", 1.0)):
        car.on_axle(f"wheel {side}", "tyre", cylinder((run.x, sign * run.inner_mm, run.z),
                                                      (run.x, sign * run.outer_mm, run.z), run.tyre_mm / 2))
        car.on_axle(f"brake {side}", "brake", cylinder((run.x, sign * (run.inner_mm - 45), run.z),
                                                       (run.x, sign * (run.inner_mm + 20), run.z),
                                                       0.22 * run.tyre_mm))
    if isinstance(suspension, LeafSprings):
        # The shackle's swing is left out: the rear eye stays where it is at ride height.
        for s in (suspension.left, suspension.right):
            car.bar(f"{s.name} front", "spring", points[s.front_eye], points[s.pad], 32.0)
            car.bar(f"{s.name} rear", "spring", points[s.rear_eye], points[s.pad], 32.0)
    else:
        for link in suspension.links:
            car.bar(link.name, "link", points[link.frame], points[link.axle], 22.0)
        if not isinstance(suspension, TriangulatedLinks):
            car.bar(suspension.rod.name, "link", points[suspension.rod.frame], points[suspension.rod.axle], 16.0)
    # The road comes up with the axle. All of it, where a real car would pitch: errs to a smaller gap ahead.
    road = heave_and_roll(about, car.moved.lo, car.moved.hi)
    car.put("ground", "other", Rigid((Box(np.array((run.x - 1500.0, 0.0, -100.0)), np.array((6000.0, 3000.0, 100.0))),),
                                     road), ground_mm)


def _coils_and_dampers(car: _Car, run: _Running, coil_y: float, coil_top: float, damper: tuple, damper_top: tuple,
                       coil_mm: float = 58.0) -> None:
    for side, sign in (("left", -1.0), ("right", 1.0)):
        if coil_mm > 0.0:
            car.bar(f"coil {side}", "spring", (run.x, sign * coil_y, coil_top), (run.x, sign * coil_y, run.z + 95.0),
                    coil_mm)
        car.bar(f"damper {side}", "damper", (damper_top[0], sign * damper_top[1], damper_top[2]),
                (damper[0], sign * damper[1], damper[2]), 30.0)


def _ask(car: _Car, outlet: tuple, aim: tuple, end: Exit, sizes: tuple[Size, ...], parts: tuple[LegPart, ...],
         bounds: tuple, first_mm: float = 0.0) -> Problem:
    moved = car.moved
    assert moved is not None
    assert moved.stops is not None
    along = np.array(aim, float)
    return Problem(
        tuple(car.obstacles), np.array(outlet, float), along / np.linalg.norm(along), end, sizes,
        np.array(bounds, float),
        Domain(moved.lo, moved.hi, moved.stops.bump_mm, moved.stops.droop_mm, moved.stops.apart_mm,
               float(moved.hi[1])),
        np.array(moved.grid(9, 5), float), parts, first_straight_mm=first_mm, margin_mm=moved.fit_error_mm,
    )


def _box(low: tuple, high: tuple) -> np.ndarray:
    return np.array((low, high), float)


def _short(car: _Car) -> Problem:
    """Short wheelbase on a ladder frame, four links of which the upper pair is splayed; way out rear right."""
    a = car.about
    run = _Running(a(2000), a(370, 4), 740.0, 600.0, 820.0, 42.0, 120.0, 1750.0, a(385, 4),
                   Stops(a(88, 4), a(110, 4), 900.0, math.radians(7.0)))
    points: dict[str, np.ndarray] = {}
    links = TriangulatedLinks((
        *_pair("lower link", (a(1250), a(380), a(430)), (run.x - 30, a(430), run.z - 50), points),
        *_pair("upper link", (a(1430), a(330), a(560, 4)), (run.x - 20, a(110, 4), run.z + 140), points)))
    _set_running(car, run, links, points, (1010, 0, a(455)), 40.0)
    _coils_and_dampers(car, run, a(305, 5), 660.0, (run.x + 75, 400, run.z - 40), (run.x + 190, 310, 665))
    car.rails(420, 60, 120, ((-300, 520), (1450, 520), (1650, 640), (2350, 640), (2520, 580), (2950, 580)))
    z = a(610, 5)
    car.box("floor front", "floor", (480, 1500), (-700, 700), (z, z + 40))
    car.box("floor rear", "floor", (1500, 3000), (-540, 540), (740, 780))
    car.box("engine", "engine", (-300, 450), (-190, 190), (400, 780))
    car.box("gearbox", "gearbox", (450, 1000), (-130, 130), (360, 590))
    car.box("cross member gearbox", "frame", (870, 950), (-390, 390), (320, 360))
    car.box("cross member middle", "frame", (1330, 1390), (-390, 390), (520, 580))
    car.box("cross member over axle", "frame", (1800, 1850), (-390, 390), (655, 700))
    car.box("cross member rear", "frame", (2860, 2920), (-390, 390), (540, 620))
    car.box("tank", "fuel", (a(2380), a(2790)), (-340, a(100)), (380, 620))
    car.box("battery", "wiring", (1030, a(1205, 5)), (-385, a(-170)), (390, 590))
    for side, s in (("left", -1), ("right", 1)):
        car.fixed(f"bump stop {side}", "rubber", cylinder((run.x, s * 405, 520), (run.x, s * 405, 580), 28.0))
    muffler = LegPart("muffler", "muffler", 400.0, 180.0, 110.0, _box((1050, 60, 250), (1700, 390, 540)), (0.0,), 20.0)
    return _ask(car, (a(230), a(262, 5), a(470)), (0.5, 0.0, -0.866),
                _exit((2960, 180, 320), (3040, 620, 480), (1, 0, 0), 10.0), (size(57.0, (mandrel(57.0, 1.5),), 2),),
                (muffler,), ((-300, -950, 60), (3250, 950, 760)))


def _low(car: _Car) -> Problem:
    """Low two-seater with a tunnel, four links and a lateral rod; way out rear left, so the pipe must change sides.

    Two ways of turning: bent, or cut like a pie in four with five welds.
    """
    a = car.about
    run = _Running(a(2200), a(300, 4), 600.0, 560.0, 760.0, 38.0, 108.0, 1960.0, a(312, 4),
                   Stops(a(55, 3), a(60, 3), 950.0, math.radians(5.0)))
    points: dict[str, np.ndarray] = {}
    links = FourLinksRod((
        *_pair("lower link", (a(1620), a(395, 5), a(240, 4)), (run.x - 30, a(415, 5), run.z - 70), points),
        *_pair("upper link", (a(1760), a(400, 5), a(395, 4)), (run.x - 40, a(405, 5), run.z + 95), points)),
        _one("lateral rod", (run.x + 120, -420, a(350, 4)), (run.x + 120, 430, a(318, 4)), points))
    _set_running(car, run, links, points, (1060, 0, a(352, 4)), 40.0)
    _coils_and_dampers(car, run, a(330, 5), 495.0, (run.x + 75, 360, run.z - 60), (run.x + 115, 340, 515), 50.0)
    car.rails(465, 70, 100, ((-250, 262), (1750, 262), (1950, 465), (2450, 465), (2600, 405), (2980, 405)))
    z = a(325, 4)
    for side, y in (("left", (-740, -145)), ("right", (145, 740))):
        car.box(f"floor {side}", "floor", (520, 1820), y, (z, z + 30))
    car.box("tunnel", "floor", (520, 1900), (-145, 145), (485, 510))
    car.box("floor over axle", "floor", (1820, 2980), (-505, 505), (a(572, 4), 610))
    car.box("engine", "engine", (-250, 480), (-195, 195), (250, 620))
    car.box("gearbox", "gearbox", (480, 1050), (-118, 118), (228, 455))
    car.box("cross member gearbox", "frame", (960, 1020), (-200, 200), (195, 226))
    car.box("cross member over axle", "frame", (1930, 1970), (-450, 450), (530, 570))
    car.box("cross member rear", "frame", (2870, 2930), (-450, 450), (375, 440))
    car.box("tank", "fuel", (a(2440, 4), a(2790)), (a(-190), 330), (245, 480))
    car.box("battery", "wiring", (a(2560), 2780), (530, 730), (270, 460))
    car.line("handbrake cable", "brake", (1500, 0, 440), (1700, 0, 440), 15.0)
    for side, s in (("left", -1), ("right", 1)):
        car.fixed(f"bump stop {side}", "rubber", cylinder((run.x, s * 465, 404), (run.x, s * 465, 418), 24.0))
    d = 63.5
    bends = (mandrel(d, 1.5), Bend("pie cut in four", 0.9 * d, math.radians(90.0), 4))
    muffler = LegPart("muffler", "muffler", 380.0, 180.0, 96.0, _box((700, -460, 120), (2000, 460, 300)), (0.0,), 20.0)
    return _ask(car, (a(330), a(290, 5), a(375, 5)), (0.4, 0.0, -0.9165),
                _exit((2960, -560, 170), (3030, -220, 330), (1, 0, 0), 10.0), (size(d, bends, 2),), (muffler,),
                ((-250, -850, 50), (3200, 850, 620)))


def _van(car: _Car) -> Problem:
    """Long van on leaf springs with a one-piece shaft; round resonator, then muffler; way out rear right."""
    a = car.about
    run = _Running(a(3300), a(360, 4), 720.0, 640.0, 850.0, 45.0, 130.0, 3040.0, a(380, 4),
                   Stops(a(85, 4), a(100, 4), 1000.0, math.radians(6.0)))
    points: dict[str, np.ndarray] = {}
    z = run.z + 48.0
    springs = _leaves(a(535, 4), (run.x - 600, z + a(35, 4)), (run.x, z), (run.x + 660, z + a(45, 4)),
                      (run.x + 625, z + 150), points)
    _set_running(car, run, springs, points, (1260, 0, a(432)), 40.0)
    _coils_and_dampers(car, run, 0.0, 0.0, (run.x + 90, 355, run.z - 50), (run.x + 190, 340, 685), 0.0)
    car.rails(440, 70, 140, ((-300, 525), (2650, 525), (2850, 610), (3750, 610), (3950, 560), (4850, 560)))
    car.box("floor", "floor", (600, 4900), (-590, 590), (a(725, 4), 765))
    car.box("engine", "engine", (-300, 600), (-200, 200), (380, 760))
    car.box("gearbox", "gearbox", (600, 1250), (-140, 140), (350, 620))
    car.box("cross member gearbox", "frame", (1130, 1210), (-405, 405), (300, 345))
    car.box("cross member middle", "frame", (1950, 2020), (-405, 405), (520, 595))
    car.box("cross member ahead of axle", "frame", (2760, 2820), (-405, 405), (600, 675))
    car.box("cross member rear", "frame", (4720, 4790), (-405, 405), (520, 620))
    car.box("tank", "fuel", (a(1700), a(2520)), (-400, a(-105)), (330, 640))
    car.box("battery", "wiring", (a(1480), a(1880)), (495, 790), (330, 600))
    car.fixed("spare wheel", "tyre", cylinder((a(4330), a(-160, 6), 390), (4330, -160, 590), 335.0))
    car.line("heater hoses", "rubber", (1250, 170, 650), (2300, 170, 660), 20.0)
    car.line("brake pipe", "brake-line", (1300, -390, 640), (3100, -390, 690), 4.0)
    for side, s in (("left", -1), ("right", 1)):
        car.fixed(f"bump stop {side}", "rubber", cylinder((run.x, s * 440, 500), (run.x, s * 440, 540), 30.0))
    d = 70.0
    resonator = LegPart("resonator", "resonator", 350.0, 130.0, 130.0, _box((800, 60, 240), (2200, 390, 600)), (0.0,),
                        20.0)
    muffler = LegPart("muffler", "muffler", 550.0, 220.0, 140.0, _box((1300, 60, 220), (2800, 390, 600)), (0.0,), 20.0)
    return _ask(car, (a(330), a(282, 5), a(500)), (0.6, 0.0, -0.8), _exit((4860, 150, 300), (4950, 620, 480), (1, 0, 0),
                                                                       10.0),
                (size(d, (mandrel(d, 1.5),), 4),), (resonator, muffler), ((-300, -950, 80), (5150, 950, 780)))


def _pickup(car: _Car) -> Problem:
    """Pick-up on leaf springs, over the axle to the rear right; bends of two radii to be had."""
    a = car.about
    run = _Running(a(3050), a(380, 4), 760.0, 630.0, 860.0, 45.0, 135.0, 2790.0, a(398, 4),
                   Stops(a(95, 4), a(105, 4), 980.0, math.radians(7.0)))
    points: dict[str, np.ndarray] = {}
    z = run.z + 60.0
    springs = _leaves(a(525, 4), (run.x - 620, z + a(40, 4)), (run.x, z), (run.x + 680, z + a(55, 4)),
                      (run.x + 640, z + 165), points)
    _set_running(car, run, springs, points, (1310, 0, a(450)), 40.0)
    _coils_and_dampers(car, run, 0.0, 0.0, (run.x - 95, 350, run.z - 50), (run.x - 230, 335, 720), 0.0)
    car.rails(430, 62, 150, ((-350, 540), (2350, 540), (2600, 660), (3450, 660), (3650, 610), (4350, 610)))
    car.box("floor", "floor", (650, 2050), (-780, 780), (a(660, 4), 700))
    car.box("bed", "body", (2080, 4350), (-580, 580), (a(775, 4), 815))
    car.box("engine", "engine", (-350, 650), (-210, 210), (420, 820))
    car.box("gearbox", "gearbox", (650, 1300), (-145, 145), (370, 640))
    car.box("skid plate", "frame", (900, 1320), (-260, 260), (338, 346))
    car.box("cross member gearbox", "frame", (1180, 1260), (-400, 400), (348, 368))
    car.box("cross member middle", "frame", (1850, 1920), (-400, 400), (545, 620))
    car.box("cross member ahead of axle", "frame", (2560, 2620), (-400, 400), (680, 735))
    car.box("cross member rear", "frame", (4230, 4300), (-400, 400), (570, 665))
    car.box("tank", "fuel", (a(1550), a(2480)), (-390, a(-110)), (350, 640))
    car.box("battery", "wiring", (a(1500), a(1850)), (475, 740), (400, 630))
    car.fixed("spare wheel", "tyre", cylinder((a(3800), a(-150, 6), 420), (3800, -150, 630), 345.0))
    car.fixed("brake hose bracket", "brake-line", Box(np.array((2700.0, -120.0, 700.0)), np.array((25.0, 30.0, 40.0))))
    for side, s in (("left", -1), ("right", 1)):
        car.fixed(f"bump stop {side}", "rubber", cylinder((run.x, s * 430, 540), (run.x, s * 430, 584), 30.0))
    d = 76.2
    muffler = LegPart("muffler", "muffler", 500.0, 220.0, 130.0, _box((1400, 60, 240), (2600, 390, 580)), (0.0,), 20.0)
    return _ask(car, (a(300), a(300, 5), a(520)), (0.5, 0.0, -0.866),
                _exit((4330, 200, 330), (4420, 680, 520), (1, 0, 0), 10.0),
                (size(d, (mandrel(d, 1.5), mandrel(d, 1.0)), 2),), (muffler,), ((-350, -950, 80), (4600, 950, 820)))


def _side(car: _Car) -> Problem:
    """Three links and a lateral rod; way out at the right sill, before the rear wheel; pipe of two sizes to choose."""
    a = car.about
    run = _Running(a(2350), a(330, 4), 660.0, 610.0, 820.0, 40.0, 115.0, 2110.0, a(345, 4),
                   Stops(a(70, 4), a(75, 4), 900.0, math.radians(5.0)))
    points: dict[str, np.ndarray] = {}
    links = ThreeLinksRod((
        *_pair("lower link", (a(1800), a(425, 5), a(310, 4)), (run.x - 40, a(450, 5), run.z - 55), points),
        _one("upper link", (a(1860), 60, a(515, 4)), (run.x - 20, 70, run.z + 150), points)),
        _one("lateral rod", (run.x + 130, -430, a(385, 4)), (run.x + 130, 425, a(350, 4)), points))
    _set_running(car, run, links, points, (1000, 0, a(410)), 40.0)
    _coils_and_dampers(car, run, a(340, 5), 600.0, (run.x + 80, 420, run.z - 50), (run.x + 150, 330, 600), 55.0)
    car.rails(450, 80, 120, ((-300, 430), (1850, 430), (2050, 545), (2650, 545), (2800, 490), (3250, 490)))
    car.box("floor", "floor", (520, 1950), (-760, 760), (a(560, 4), 600))
    car.box("floor over axle", "floor", (1950, 3250), (-560, 560), (a(680, 4), 720))
    car.box("sill right", "body", (600, 1950), (700, 780), (a(385, 5), 560))
    car.box("sill left", "body", (600, 1950), (-780, -700), (385, 560))
    car.box("engine", "engine", (-300, 480), (-190, 190), (320, 700))
    car.box("gearbox", "gearbox", (480, 990), (-125, 125), (300, 540))
    car.box("cross member gearbox", "frame", (890, 960), (-410, 410), (262, 298))
    car.box("cross member middle", "frame", (1560, 1620), (-410, 410), (475, 530))
    car.box("cross member over axle", "frame", (2020, 2070), (-410, 410), (615, 670))
    car.box("cross member rear", "frame", (3150, 3210), (-410, 410), (455, 540))
    car.box("tank", "fuel", (a(2560), a(2950)), (-330, 330), (330, 580))
    car.box("battery", "wiring", (a(1120), 1420), (-405, a(-190)), (330, 540))
    car.line("brake pipe", "brake-line", (900, 395, 530), (1950, 395, 540), 4.0)
    for side, s in (("left", -1), ("right", 1)):
        car.fixed(f"bump stop {side}", "rubber", cylinder((run.x, s * 440, 455), (run.x, s * 440, 490), 28.0))
    muffler = LegPart("muffler", "muffler", 420.0, 200.0, 120.0, _box((700, 60, 180), (1500, 400, 520)), (0.0,), 20.0)
    sizes = tuple(size(d, (mandrel(d, 1.5),), 2) for d in (76.2, 63.5))
    return _ask(car, (a(260), a(275, 5), a(470)), (0.5, 0.0, -0.866),
                _exit((1420, 700, 185), (1700, 790, 320), (0.5, 0.866, 0), 12.0), sizes, (muffler,),
                ((-300, -900, 60), (3400, 950, 720)))


def _saloon(car: _Car) -> Problem:
    """Saloon with a tunnel and a tank on either side behind the axle; four links and a lateral rod; rear left."""
    a = car.about
    run = _Running(a(2600), a(312, 4), 624.0, 590.0, 800.0, 40.0, 115.0, 2360.0, a(326, 4),
                   Stops(a(70, 4), a(80, 4), 920.0, math.radians(5.0)))
    points: dict[str, np.ndarray] = {}
    links = FourLinksRod((
        *_pair("lower link", (a(2020), a(415, 5), a(275, 4)), (run.x - 35, a(430, 5), run.z - 60), points),
        *_pair("upper link", (a(2150), a(290, 5), a(430, 4)), (run.x - 45, a(300, 5), run.z + 110), points)),
        _one("lateral rod", (run.x + 115, -445, a(372, 4)), (run.x + 115, 440, a(340, 4)), points))
    _set_running(car, run, links, points, (1120, 0, a(385, 4)), 40.0)
    _coils_and_dampers(car, run, a(375, 5), 565.0, (run.x + 75, 425, run.z - 60), (run.x + 130, 380, 590), 55.0)
    car.rails(494, 75, 95, ((-300, 300), (2100, 300), (2300, 480), (2900, 480), (3050, 430), (3700, 430)))
    z = a(352, 4)
    for side, y in (("left", (-780, -155)), ("right", (155, 780))):
        car.box(f"floor {side}", "floor", (560, 2180), y, (z, z + 30))
    car.box("tunnel", "floor", (560, 2180), (-155, 155), (525, 550))
    car.box("floor over axle", "floor", (2180, 3700), (-540, 540), (a(640, 4), 680))
    car.box("engine", "engine", (-300, 520), (-195, 195), (290, 680))
    car.box("gearbox", "gearbox", (520, 1110), (-122, 122), (255, 490))
    car.box("cross member gearbox", "frame", (1010, 1075), (-230, 230), (220, 252))
    car.box("cross member over axle", "frame", (2290, 2340), (-480, 480), (575, 625))
    car.box("cross member rear", "frame", (3590, 3650), (-480, 480), (400, 470))
    car.box("tank left", "fuel", (a(2950), a(3330)), (-455, a(-150, 5)), (260, 530))
    car.box("tank right", "fuel", (2950, 3330), (a(150, 5), 455), (260, 530))
    car.fixed("spare wheel", "tyre", cylinder((3660, a(260), 300), (3660, 260, 480), 315.0))
    for side, s in (("left", -1), ("right", 1)):
        car.fixed(f"bump stop {side}", "rubber", cylinder((run.x, s * 495, 408), (run.x, s * 495, 430), 26.0))
    d = 60.3
    muffler = LegPart("muffler", "muffler", 450.0, 210.0, 105.0, _box((900, 60, 130), (2200, 470, 320)), (0.0,), 20.0)
    return _ask(car, (a(360), a(285, 5), a(410, 5)), (0.45, 0.0, -0.893),
                _exit((3680, -480, 190), (3760, -80, 360), (1, 0, 0), 10.0), (size(d, (mandrel(d, 1.5),), 2),),
                (muffler,), ((-300, -900, 50), (3950, 900, 700)))


_LAYOUTS: dict[str, Callable[[_Car], Problem]] = {
    "short": _short, "low": _low, "van": _van, "pickup": _pickup, "side": _side, "saloon": _saloon,
}


def generated(kind: str, seed: int) -> Problem:
    """One of six invented layouts, ``KINDS``, its parts shifted a little by ``seed``."""
    if kind not in _LAYOUTS:
        raise ValueError(f"no layout is called {kind!r}; known: {', '.join(KINDS)}")
    return _LAYOUTS[kind](_Car(np.random.default_rng((seed, KINDS.index(kind)))))


def demo(name: str) -> Problem:
    """What an example build asks of the router; its cost is the builder's own, in money and hours."""
    from trialfit.buildfile import load
    from trialfit.checks import problem_of, run

    if name not in DEMOS:
        raise ValueError(f"no example build is called {name!r}; known: {', '.join(DEMOS)}")
    build = load(HERE.parents[1] / "examples" / name / "build.yaml").build
    plan = next(p for p in build.routes if p.wish is not None)
    return problem_of(build, plan, run(build, gaps=False))


def cases() -> dict[str, Callable[[], Problem]]:
    """Every case by name, made when called."""
    found: dict[str, Callable[[], Problem]] = {name: partial(study, name) for name in STUDY}
    found.update({kind: partial(generated, kind, 0) for kind in KINDS})
    found.update({name: partial(demo, name) for name in DEMOS})
    return found


def with_states(problem: Problem, heaves: int, rolls: int) -> Problem:
    """The same question on another grid of poses, within the stops."""
    lo, hi = problem.domain.lo, problem.domain.hi
    grid = [(h, r, 0.0) for h in np.linspace(lo[0], hi[0], heaves) for r in np.linspace(lo[1], hi[1], rolls)]
    if heaves == rolls == 1:
        grid = [(0.0, 0.0, 0.0)]
    return replace(problem, states=np.array([s for s in grid if problem.domain.possible(s)]))
