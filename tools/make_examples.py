"""Write the example builds: three invented vehicles, read with an invented tape.

The vehicles exist nowhere. Each has true coordinates below; every reading is the true value plus an error drawn
from the instrument's own standard deviation (fixed seed), rounded as the tape is read. The misread variants change
one reading of the same notebook. Run from the top of the checkout: ``python tools/make_examples.py``.
"""

import math
import random
from dataclasses import dataclass, field
from pathlib import Path

from example_driveline import ESTATE, ESTATE_POINTS, FLATBED, FLATBED_POINTS, VAN, VAN_POINTS
from example_making import (
    ESTATE_EXHAUST_ORDERS,
    ESTATE_MAKING,
    FLATBED_EXHAUST_ORDERS,
    FLATBED_MAKING,
    FLATBED_PARTS_LAID,
)
from example_parts import ESTATE_PARTS, ESTATE_SIZES, FLATBED_PARTS, FLATBED_SIZES, VAN_PARTS
from trialfit.vehicle import DEFAULT_INSTRUMENTS

XYZ = tuple[float, float, float]
TOP = Path(__file__).resolve().parent.parent / "examples"


@dataclass
class Notebook:
    """Turns true coordinates into the lines a person would scribble."""

    points: dict[str, XYZ]
    inch: bool
    seed: int
    dice: random.Random = field(init=False)

    def __post_init__(self) -> None:
        self.dice = random.Random(self.seed)

    def _err(self, value: float, instrument: str) -> float:
        return value + self.dice.gauss(0.0, DEFAULT_INSTRUMENTS[instrument].sd(value))

    def length(self, mm: float) -> str:
        if not self.inch:
            return f"{round(mm)} mm"
        sixteenths = round(mm / 25.4 * 16)
        whole, part = divmod(sixteenths, 16)
        fraction = ""
        if part:
            shared = math.gcd(part, 16)
            fraction = f" {part // shared}/{16 // shared}"
        if whole >= 60 and self.dice.random() < 0.5:
            feet, inches = divmod(whole, 12)
            return f"{feet}' {inches}{fraction}\""
        return f"{whole}{fraction} in"

    def height(self, p: str) -> str:
        return f"height {p} {self.length(self._err(self.points[p][2], 'tape'))}"

    def offset(self, p: str) -> str:
        y = self._err(self.points[p][1], "plumb")
        if abs(y) < (0.8 if self.inch else 0.5):
            return f"offset {p} {'0 in' if self.inch else '0 mm'}"
        return f"offset {p} {self.length(abs(y))} {'right' if y > 0 else 'left'}"

    def station(self, p: str) -> str:
        x = self._err(self.points[p][0], "plumb")
        return f"station {p} {self.length(abs(x))}{' ahead' if x < 0 else ''}"

    def tape(self, p: str, q: str, times: int = 1, by: str = "tape") -> str:
        d = math.dist(self.points[p], self.points[q])
        values = ", ".join(self.length(self._err(d, by)) for _ in range(times))
        return f"tape {p} {q} {values}" + ("" if by == "tape" else f" by {by}")

    def angle(self, p: str, q: str, by: str = "digital") -> str:
        a, b = self.points[p], self.points[q]
        slope = math.degrees(math.asin((b[2] - a[2]) / math.dist(a, b)))
        slope += self.dice.gauss(0.0, math.degrees(DEFAULT_INSTRUMENTS[by].sd(0.0)))
        step = 0.1 if by == "digital" else 0.5
        slope = round(slope / step) * step
        return f"angle {p} {q} {abs(slope):.1f} deg {'up' if slope >= 0 else 'down'}" + (
            "" if by == "digital" else f" by {by}")

    def angles(self, p: str, q: str, times: int) -> str:
        """The same angle taken several times, the gauge turned about between them."""
        first, *others = (self.angle(p, q) for _ in range(times))
        head = f"angle {p} {q} "
        return ", ".join([first, *(o.removeprefix(head) for o in others)])

    def where(self, *names: str) -> list[str]:
        """Station, offset and height of each point, in the order in which one crawls."""
        lines: list[str] = []
        for name in names:
            lines += [self.station(name), self.offset(name), self.height(name)]
        return lines


def both_sides(name: str, x: float, y: float, z: float) -> dict[str, XYZ]:
    return {f"{name}.L": (x, -y, z), f"{name}.R": (x, y, z)}


def block(lines: list[str], indent: str = "  - ") -> str:
    return "".join(f"{indent}{line}\n" for line in lines)


def estate() -> str:
    points: dict[str, XYZ] = {
        **both_sides("lower.f", 2085.0, 506.0, 292.0), **both_sides("lower.a", 2602.0, 522.0, 262.0),
        **both_sides("upper.f", 2248.0, 316.0, 468.0), **both_sides("upper.a", 2631.0, 314.0, 421.0),
        "rod.f": (2832.0, 486.0, 402.0), "rod.a": (2832.0, -424.0, 338.0),
        **both_sides("tube", 2652.0, 640.0, 305.0), **both_sides("wheel", 2652.0, 735.0, 305.0),
        **both_sides("spring.t", 2655.0, 425.0, 548.0), **both_sides("spring.b", 2652.0, 426.0, 345.0),
        **both_sides("damper.t", 2532.0, 416.0, 612.0), **both_sides("damper.b", 2545.0, 436.0, 258.0),
        "diff": (2668.0, 4.0, 305.0), "pinion": (2432.0, 2.0, 318.0), "diff.front": (2585.0, 3.0, 308.0),
        "box.out": (1183.0, 0.0, 331.0), "box.a": (520.0, -150.0, 250.0), "box.b": (1150.0, 150.0, 470.0),
        "mount.F": (-60.0, 0.0, 420.0), "mount.R": (1010.0, 0.0, 300.0),
        "outlet": (566.0, 240.0, 250.0), "outlet.aim": (896.0, 235.5, 249.2),
        "rail.R1": (1400.0, 468.0, 352.0), "rail.R2": (2250.0, 468.0, 352.0),
        "arch.R1": (2300.0, 476.0, 545.0), "arch.R2": (3050.0, 476.0, 545.0),
        "rail.L1": (1400.0, -468.0, 352.0), "rail.L2": (2250.0, -468.0, 352.0),
        "arch.L1": (2300.0, -476.0, 545.0), "arch.L2": (3050.0, -476.0, 545.0),
        "tank.a": (2955.0, -420.0, 318.0), "tank.b": (3370.0, 128.0, 508.0),
        "floor.1": (700.0, 205.0, 338.0), "floor.2": (2180.0, 205.0, 338.0),
        "floor.3": (2180.0, 440.0, 338.0), "floor.4": (700.0, 440.0, 338.0),
        "boot.1": (2330.0, 110.0, 571.0), "boot.2": (3000.0, 110.0, 571.0),
        "boot.3": (3000.0, 340.0, 571.0), "boot.4": (2330.0, 340.0, 571.0),
        "fuel.1": (1300.0, -210.0, 322.0), "fuel.2": (2150.0, -212.0, 322.0),
    }
    n = Notebook(points, inch=False, seed=11)
    d = Notebook({**points, **ESTATE_POINTS}, inch=False, seed=211)
    parts = [
        ("Rear axle, car on its wheels, two in front, half a tank. Chalk line under the middle, x from the front hubs.",
         n.where("tube.L", "tube.R", "diff", "diff.front", "pinion", "wheel.L", "wheel.R")),
        ("Links and lateral rod, bolt centres.",
         n.where("lower.f.L", "lower.a.L", "lower.f.R", "lower.a.R", "upper.f.L", "upper.a.L", "upper.f.R",
                 "upper.a.R", "rod.f", "rod.a")),
        ("Same again with the tape straight across, to check.",
         [n.tape("lower.f.L", "lower.a.L"), n.tape("lower.f.R", "lower.a.R", 2), n.tape("upper.f.L", "upper.a.L"),
          n.tape("upper.f.R", "upper.a.R"), n.tape("rod.f", "rod.a", 3), n.tape("tube.L", "tube.R"),
          n.tape("lower.f.L", "tube.R", by="tape-blind"), n.tape("lower.f.R", "tube.L", by="tape-blind"),
          n.tape("pinion", "box.out", 2), n.angle("diff.front", "pinion"), n.angle("box.out", "pinion", by="dial")]),
        ("Springs and dampers.",
         n.where("spring.t.L", "spring.b.L", "spring.t.R", "spring.b.R", "damper.t.L", "damper.b.L", "damper.t.R",
                 "damper.b.R")
         + [n.tape("damper.t.R", "damper.b.R"), n.tape("spring.t.R", "spring.b.R"), n.tape("damper.t.L", "damper.b.L")]),
        ("Engine, straight six, and gearbox.", n.where("box.out", "box.a", "box.b", "mount.F", "mount.R")),
        ("Where the down pipe ends. Offset of the outlet cannot be plumbed, sump in the way: three tapes instead.",
         [n.station("outlet"), n.height("outlet"), n.tape("outlet", "box.out"), n.tape("outlet", "floor.1"),
          n.tape("outlet", "rail.R1")] + n.where("outlet.aim") + [n.tape("outlet", "outlet.aim")]),
        ("Rails, chalked middle of each.",
         n.where("rail.L1", "rail.L2", "rail.R1", "rail.R2", "arch.L1", "arch.L2", "arch.R1", "arch.R2")
         + [n.tape("rail.L1", "rail.R1"), n.tape("rail.L2", "rail.R2"), n.tape("rail.L1", "rail.R2"),
            n.tape("rail.R1", "rail.L2"), n.tape("arch.L1", "arch.R1"), n.tape("arch.L2", "arch.R2")]),
        ("Floor, boot floor, tank, fuel line.",
         n.where("floor.1", "floor.2", "floor.3", "floor.4", "boot.1", "boot.2", "boot.3", "boot.4", "tank.a", "tank.b",
                 "fuel.1", "fuel.2")
         + [n.tape("floor.1", "floor.3"), n.tape("floor.2", "floor.4"), n.tape("boot.1", "boot.3"),
            n.tape("boot.2", "boot.4"), n.tape("tank.a", "tank.b")]),
        ("Axes of gearbox and pinion, for the shaft's joints; box.back is the middle of the crank's nose bolt, on a bar.",
         [*d.where("box.back"), d.angles("box.out", "box.back", 3), d.angles("diff.front", "pinion", 3),
          d.tape("box.out", "pinion", 3), d.tape("box.back", "box.out", 2)]),
        ("Sizes.",
         ["size axle tube 76.2 mm, 76.3 mm", "size link 32.1 mm", "size shaft 76.2 mm", "size pipe 63.5 mm",
          "size tyre 634 mm by rule", "size tyre width 209 mm by rule", "size yoke spline 30.2 mm, 30.3 mm",
          "size cap 27.0 mm +- 0.08 mm",
          "size span 81.8 mm +- 0.15 mm", *ESTATE_SIZES]),
    ]
    readings = "".join(f"\n  # {title}\n{block(lines)}" for title, lines in parts)
    text = f"""# Estate car, rear axle of another car. INVENTED: no such vehicle exists, and no reading was taken.
trialfit: 1
name: Estate, axle swap
note: Invented vehicle. Petrol straight six, live axle on four links and a lateral rod, metric tape.
units: metric
paper: A4
load state: on its wheels, two people in front, half a tank

readings:{readings}
sides:
  outlet: right

bodies:
  axle: [lower.a.L, lower.a.R, upper.a.L, upper.a.R, rod.a, tube.L, tube.R, spring.b.L, spring.b.R,
         damper.b.L, damper.b.R, diff, diff.front, pinion]
  wheel-left: [wheel.L]
  wheel-right: [wheel.R]
  engine: [box.out, box.a, box.b, box.back]

suspension:
  type: four links and lateral rod
  links:
    - lower left: lower.f.L lower.a.L
    - lower right: lower.f.R lower.a.R
    - upper left: upper.f.L upper.a.L
    - upper right: upper.f.R upper.a.R
  rod: rod.f rod.a

stops: {{bump: 75 mm, droop: 85 mm, apart: 800 mm, roll: 4 deg}}
engine mounts: {{axis: mount.F mount.R, right up: 2 deg, right down: 3 deg}}
{ESTATE}
{ESTATE_EXHAUST_ORDERS}
shapes:
  axle tube:     {{tube: tube.L tube.R, diameter: axle tube, kind: axle, body: axle}}
  differential:  {{drum: diff, diameter: 232 mm, width: 190 mm, kind: axle, body: axle}}
  nose:          {{cone: diff.front pinion, diameters: 150 mm to 95 mm, kind: axle, body: axle}}
  wheel left:    {{drum: wheel.L, diameter: tyre, width: tyre width, kind: tyre, body: wheel-left}}
  wheel right:   {{drum: wheel.R, diameter: tyre, width: tyre width, kind: tyre, body: wheel-right}}
  lower link left:  {{tube: lower.f.L lower.a.L, diameter: link, kind: link}}
  lower link right: {{tube: lower.f.R lower.a.R, diameter: link, kind: link}}
  upper link left:  {{tube: upper.f.L upper.a.L, diameter: link, kind: link}}
  upper link right: {{tube: upper.f.R upper.a.R, diameter: link, kind: link}}
  lateral rod:   {{tube: rod.f rod.a, diameter: 28 mm, kind: link}}
  spring left:   {{tube: spring.t.L spring.b.L, diameter: 122 mm, kind: spring}}
  spring right:  {{tube: spring.t.R spring.b.R, diameter: 122 mm, kind: spring}}
  damper left:   {{tube: damper.t.L damper.b.L, diameter: 52 mm, kind: damper}}
  damper right:  {{tube: damper.t.R damper.b.R, diameter: 52 mm, kind: damper}}
  gearbox:       {{box: box.a box.b, kind: gearbox, body: engine}}
  rail left:     {{box: rail.L1 rail.L2, along y: 60 mm, along z: 80 mm, kind: frame}}
  rail right:    {{box: rail.R1 rail.R2, along y: 60 mm, along z: 80 mm, kind: frame}}
  arch rail left:  {{box: arch.L1 arch.L2, along y: 60 mm, along z: 70 mm, kind: frame}}
  arch rail right: {{box: arch.R1 arch.R2, along y: 60 mm, along z: 70 mm, kind: frame}}
  floor:         {{plate: [floor.1, floor.2, floor.3, floor.4], thickness: 1.5 mm, kind: floor}}
  boot floor:    {{plate: [boot.1, boot.2, boot.3, boot.4], thickness: 1.5 mm, kind: floor}}
  tank:          {{box: tank.a tank.b, kind: fuel}}
  fuel line:     {{tube: fuel.1 fuel.2, diameter: 10 mm, kind: fuel}}

exhaust:
  main:
    diameter: pipe
    wall: 1.5 mm
    outlet: outlet
    aim: outlet.aim
    corners:
      - {{at: [2180 mm, 218 mm right, 246 mm], radius: 1.5 D}}
      - {{at: [2450 mm, 218 mm right, 512 mm], radius: 1.5 D}}
      - {{at: [2830 mm, 222 mm right, 512 mm], radius: 1.5 D}}
      - {{at: [3010 mm, 300 mm right, 372 mm], radius: 1.5 D, pie cut: 4 pieces, kerf: 1.5 mm}}
    end: [3560 mm, 330 mm right, 352 mm]
    least straight: 20 mm
    stock:
      - {{name: U-bend, radius: 95.25 mm, angle: 180 deg, legs: 100 mm, diameter: 63.5 mm, price: 18}}
{ESTATE_MAKING}    find:               # over the axle to the rear; prices are invented
      exit: {{between: [[3520 mm, 250 mm right, 300 mm], [3600 mm, 430 mm right, 400 mm]], towards: rear, within: 10 deg}}
      pipes:
        - {{diameter: pipe, wall: 1.5 mm, price: 14 per m}}
        - {{diameter: 60 mm, wall: 1.5 mm, price: 12 per m}}
      bends:
        - {{radius: 1.5 D, to: 180 deg, price: 12}}
        - {{radius: 1 D, to: 90 deg, pie cut: 4 pieces, kerf: 1.5 mm}}
      parts:            # from the outlet on; between is where its middle may lie
        - flex:
            kind: bellows
            length: 120 mm
            diameter: 82 mm
            between: [[700 mm, 180 mm right, 210 mm], [1200 mm, 300 mm right, 280 mm]]
            room: 30 mm
            mass: 0.8 kg
            price: 35
            loss: 0.3
        - band:         # the tail comes off here
            kind: joint
            length: 50 mm
            diameter: 92 mm
            between: [[1500 mm, 150 mm right, 200 mm], [2050 mm, 320 mm right, 300 mm]]
            room: 60 mm
            mass: 0.3 kg
            price: 9
        - rear box:
            kind: muffler
            length: 400 mm
            width: 180 mm
            height: 110 mm
            between: [[3150 mm, 270 mm right, 330 mm], [3350 mm, 400 mm right, 430 mm]]
            turn: [0 deg, 90 deg]
            room: 30 mm
            mass: 4.5 kg
            price: 85
            hours: 0.5
            loss: 2
      keep out:
        tow eye: {{between: [[3380 mm, 60 mm right, 300 mm], [3480 mm, 160 mm right, 380 mm]], gap: 20 mm}}
      ground: 100 mm
      worth: {{hour: 30, kg: 2, kPa: 6, mm of gap: 1, wanted gap: 5 mm, hours for a weld: 15 min, hours for a bend: 15 min,
              gas: 0.15 kg/s, gas temperature: 850 K}}

gaps:                 # joined by design, so never asked
  - axle tube / spring left = joined
  - axle tube / spring right = joined
  - spring left / arch rail left = joined
  - spring right / arch rail right = joined
  - damper left / arch rail left = joined
  - damper right / arch rail right = joined
  - lower link left / rail left = joined
  - lower link left / axle tube = joined
  - lower link right / axle tube = joined
  - lower link right / rail right = joined
  - gearbox / shaft = joined
{ESTATE_PARTS}"""
    return text


def flatbed() -> str:
    points: dict[str, XYZ] = {
        **both_sides("eye.f", 2560.0, 490.0, 520.0), **both_sides("pad", 3200.0, 490.0, 462.0),
        **both_sides("eye.r", 3800.0, 490.0, 535.0), **both_sides("shackle", 3775.0, 490.0, 640.0),
        **both_sides("tube", 3200.0, 700.0, 410.0), **both_sides("wheel", 3200.0, 810.0, 410.0),
        **both_sides("damper.t", 3020.0, 304.0, 690.0), **both_sides("damper.b", 3095.0, 318.0, 372.0),
        "diff": (3222.0, 6.0, 410.0), "diff.front": (3110.0, 5.0, 414.0), "pinion": (2905.0, 2.0, 428.0),
        "box.out": (1490.0, 0.0, 520.0), "box.a": (650.0, -190.0, 430.0), "box.b": (1450.0, 190.0, 760.0),
        "mount.F": (120.0, 0.0, 640.0), "mount.R": (1240.0, 0.0, 500.0),
        "outlet": (640.0, 300.0, 520.0), "outlet.aim": (936.0, 291.0, 480.0),
        "rail.R1": (900.0, 400.0, 650.0), "rail.R2": (4300.0, 400.0, 650.0),
        "rail.L1": (900.0, -400.0, 650.0), "rail.L2": (4300.0, -400.0, 650.0),
        "cross.a": (2250.0, -395.0, 610.0), "cross.b": (2330.0, 395.0, 700.0),
        "bed.1": (2400.0, -700.0, 985.0), "bed.2": (4450.0, -700.0, 985.0),
        "bed.3": (4450.0, 700.0, 985.0), "bed.4": (2400.0, 700.0, 985.0),
        "tank.a": (1700.0, -640.0, 430.0), "tank.b": (2400.0, -480.0, 700.0),
        "brake.1": (1500.0, -360.0, 690.0), "brake.2": (2900.0, -358.0, 690.0),
    }
    n = Notebook(points, inch=True, seed=5)
    d = Notebook({**points, **FLATBED_POINTS}, inch=True, seed=205)
    parts = [
        ("Axle and springs, truck loaded with four sacks on the bed. Stations from the front spring hangers.",
         n.where("eye.f.L", "pad.L", "eye.r.L", "shackle.L", "eye.f.R", "pad.R", "eye.r.R", "shackle.R")),
        ("Across and along, to check the above.",
         [n.tape("eye.f.L", "pad.L"), n.tape("eye.f.R", "pad.R", 2), n.tape("pad.L", "eye.r.L"), n.tape("pad.R", "eye.r.R"),
          n.tape("eye.r.L", "shackle.L"), n.tape("eye.r.R", "shackle.R"), n.tape("eye.f.L", "pad.R", by="tape-blind"),
          n.tape("eye.f.R", "pad.L", by="tape-blind"), n.tape("eye.f.L", "eye.f.R"), n.tape("pad.L", "pad.R"),
          n.tape("tube.L", "tube.R")]),
        ("Axle tube ends, wheels, differential.",
         n.where("tube.L", "tube.R", "wheel.L", "wheel.R", "diff", "diff.front", "pinion")
         + [n.tape("pinion", "box.out", 3), n.angle("diff.front", "pinion"), n.angle("box.out", "pinion", by="dial")]),
        ("Dampers, bump stops.",
         n.where("damper.t.L", "damper.b.L", "damper.t.R", "damper.b.R")
         + [n.tape("damper.t.L", "damper.b.L"), n.tape("damper.t.R", "damper.b.R")]),
        ("Engine and gearbox.", n.where("box.out", "box.a", "box.b", "mount.F", "mount.R")),
        ("Turbine outlet. Its offset by three tapes, exhaust brake in the way of the plumb line.",
         [n.station("outlet"), n.height("outlet"), n.tape("outlet", "box.out"), n.tape("outlet", "rail.R1"),
          n.tape("outlet", "cross.b")] + n.where("outlet.aim") + [n.tape("outlet", "outlet.aim")]),
        ("Ladder frame, chalked middle of each rail; bed boards; tank; brake pipe.",
         n.where("rail.L1", "rail.L2", "rail.R1", "rail.R2", "cross.a", "cross.b", "bed.1", "bed.2", "bed.3", "bed.4",
                 "tank.a", "tank.b", "brake.1", "brake.2")
         + [n.tape("rail.L1", "rail.R1"), n.tape("rail.L2", "rail.R2"), n.tape("rail.L1", "rail.R2"),
            n.tape("rail.R1", "rail.L2"), n.tape("bed.1", "bed.3"), n.tape("bed.2", "bed.4")]),
        ("Axes of gearbox and pinion, for the shaft's joints; seat of the right spring.",
         [*d.where("box.back", "seat.f", "seat.r"), d.angles("box.out", "box.back", 3),
          d.angles("diff.front", "pinion", 3), d.angles("seat.r", "seat.f", 2), d.tape("box.out", "pinion", 2)]),
        ("Sizes.",
         ["size axle tube 3 1/2 in by rule", "size spring width 2 1/2 in by rule", "size shaft 3 1/2 in by rule",
          "size pipe 3 in by rule", "size tyre 32 1/4 in by rule", "size tyre width 9 in by rule", *FLATBED_SIZES]),
    ]
    readings = "".join(f"\n  # {title}\n{block(lines)}" for title, lines in parts)
    text = f"""# Small flat-bed, axle and springs of another truck. INVENTED: no such vehicle exists, and no reading was taken.
trialfit: 1
name: Flat-bed, spring swap
note: Invented vehicle. Turbo-diesel, live axle on leaf springs, inch tape with fractions.
units: inch
fraction: 16
paper: Letter
load state: on its wheels, four sacks on the bed, tank full

readings:{readings}
sides:
  outlet: right

bodies:
  axle: [pad.L, pad.R, tube.L, tube.R, damper.b.L, damper.b.R, diff, diff.front, pinion, seat.f, seat.r]
  wheel-left: [wheel.L]
  wheel-right: [wheel.R]
  engine: [box.out, box.a, box.b, box.back]

suspension:
  type: leaf springs
  left:  {{front eye: eye.f.L, pad: pad.L, rear eye: eye.r.L, shackle: shackle.L, clamp: 4 in}}
  right: {{front eye: eye.f.R, pad: pad.R, rear eye: eye.r.R, shackle: shackle.R, clamp: 4 in}}

stops: {{bump: 3 in, droop: 3 1/2 in, apart: 37 in, roll: 4 deg}}
engine mounts: {{axis: mount.F mount.R, right up: 1.5 deg, right down: 3 deg}}
{FLATBED}
{FLATBED_EXHAUST_ORDERS}
shapes:
  axle tube:     {{tube: tube.L tube.R, diameter: axle tube, kind: axle, body: axle}}
  differential:  {{drum: diff, diameter: 13 in, width: 9 in, kind: axle, body: axle}}
  nose:          {{cone: diff.front pinion, diameters: 7 in to 4 1/4 in, kind: axle, body: axle}}
  wheel left:    {{drum: wheel.L, diameter: tyre, width: tyre width, kind: tyre, body: wheel-left}}
  wheel right:   {{drum: wheel.R, diameter: tyre, width: tyre width, kind: tyre, body: wheel-right}}
  spring front left:  {{tube: eye.f.L pad.L, diameter: spring width, kind: spring}}
  spring front right: {{tube: eye.f.R pad.R, diameter: spring width, kind: spring}}
  damper left:   {{tube: damper.t.L damper.b.L, diameter: 2 1/4 in, kind: damper}}
  damper right:  {{tube: damper.t.R damper.b.R, diameter: 2 1/4 in, kind: damper}}
  gearbox:       {{box: box.a box.b, kind: gearbox, body: engine}}
  rail left:     {{box: rail.L1 rail.L2, along y: 2 1/2 in, along z: 6 in, kind: frame}}
  rail right:    {{box: rail.R1 rail.R2, along y: 2 1/2 in, along z: 6 in, kind: frame}}
  cross member:  {{box: cross.a cross.b, kind: frame}}
  bed:           {{plate: [bed.1, bed.2, bed.3, bed.4], thickness: 1 1/2 in, kind: body}}
  tank:          {{box: tank.a tank.b, kind: fuel}}
  brake pipe:    {{tube: brake.1 brake.2, diameter: 3/16 in, kind: brake-line}}

exhaust:
  main:
    diameter: pipe
    wall: 0.065 in
    outlet: outlet
    aim: outlet.aim
    corners:
      - {{at: [43 1/2 in, 11 1/4 in right, 18 in], radius: 1.5 D}}
      - {{at: [105 in, 8 1/4 in right, 18 in], radius: 1.5 D}}
      - {{at: [115 1/2 in, 8 1/4 in right, 25 in], radius: 1.5 D}}
      - {{at: [137 in, 8 1/4 in right, 25 in], radius: 1.5 D}}
      - {{at: [147 in, 10 1/2 in right, 19 in], radius: 1.5 D, pie cut: 4 pieces, kerf: 1/16 in}}
    end: [176 in, 11 in right, 18 1/2 in]
    least straight: 3/4 in
{FLATBED_PARTS_LAID}    stock:
      - {{name: U-bend, radius: 4 1/2 in, angle: 180 deg, legs: 4 in, diameter: 3 in, price: 26}}
{FLATBED_MAKING}    find:               # out behind the right wheel, half outward; prices are invented
      exit: {{between: [[158 in, 20 in right, 16 in], [172 in, 27 in right, 20 in]], towards: 45 deg right of rear, within: 15 deg}}
      pipes:
        - {{diameter: pipe, wall: 0.065 in, price: 5 per ft}}
        - {{diameter: 2 1/2 in, wall: 0.065 in, price: 4 per ft}}
      bends:
        - {{radius: 1.5 D, to: 180 deg, price: 22}}
        - {{radius: 1 D, to: 90 deg, pie cut: 4 pieces, kerf: 1/16 in}}
      end to end: yes
      parts:            # from the outlet on; between is where its middle may lie
        - flex:
            kind: bellows
            length: 6 in
            diameter: 4 in
            between: [[26 in, 9 in right, 14 in], [45 in, 14 in right, 22 in]]
            room: 1 in
            mass: 2.5 lb
            price: 40
            loss: 0.3
        - muffler:
            kind: muffler
            length: 20 in
            diameter: 7 in
            between: [[62 in, 7 1/2 in right, 15 in], [92 in, 13 in right, 19 in]]
            room: 1 in
            mass: 14 lb
            price: 110
            hours: 0.5
            loss: 1.5
        - band:         # the tail comes off here
            kind: joint
            length: 2 1/2 in
            diameter: 4 in
            room: 2 in
            mass: 1 lb
            price: 12
      keep out:
        spare wheel: {{between: [[150 in, 12 in left, 22 in], [178 in, 4 in right, 30 in]], gap: 1 in}}
      ground: 8 in
      worth: {{hour: 35, lb: 1, psi: 40, inch of gap: 25, wanted gap: 1/4 in, hours for a weld: 20 min,
              hours for a bend: 15 min, gas: 0.25 kg/s, gas temperature: 800 K}}

gaps:                 # joined by design, so never asked
  - axle tube / spring front left = joined
  - axle tube / spring front right = joined
  - gearbox / shaft = joined
{FLATBED_PARTS}"""
    return text


def van() -> str:
    n = Notebook(VAN_POINTS, inch=False, seed=23)
    parts = [
        ("Axle and springs, van loaded as it will be driven. Chalk line under the middle, x from the front hubs.",
         n.where("eye.f.L", "pad.L", "eye.r.L", "shackle.L", "eye.f.R", "pad.R", "eye.r.R", "shackle.R", "tube.L",
                 "tube.R", "wheel.L", "wheel.R", "diff", "diff.front", "pinion")),
        ("Across and along, to check the above.",
         [n.tape("eye.f.L", "pad.L"), n.tape("eye.f.R", "pad.R"), n.tape("pad.L", "eye.r.L"), n.tape("pad.R", "eye.r.R"),
          n.tape("eye.r.L", "shackle.L"), n.tape("eye.r.R", "shackle.R"), n.tape("eye.f.L", "pad.R", by="tape-blind"),
          n.tape("eye.f.R", "pad.L", by="tape-blind"), n.tape("eye.f.L", "eye.f.R"), n.tape("pad.L", "pad.R")]),
        ("Engine, gearbox, centre bearing with its bracket.",
         n.where("box.out", "box.back", "box.a", "box.b", "mount.F", "mount.R", "hanger", "hanger.a", "hanger.b")
         + [n.tape("box.out", "hanger", 3), n.tape("hanger", "pinion", 3), n.tape("box.out", "pinion", 2, by="tape-blind"),
            n.angles("box.out", "box.back", 3), n.angles("diff.front", "pinion", 3), n.angle("hanger", "box.out"),
            n.angle("pinion", "hanger")]),
        ("Cross member and hoop under the shaft, floor, tank.",
         n.where("cross.a", "cross.b", "hoop.a", "hoop.b", "floor.1", "floor.2", "floor.3", "floor.4", "tank.a", "tank.b")
         + [n.tape("floor.1", "floor.3"), n.tape("floor.2", "floor.4"), n.tape("tank.a", "tank.b")]),
        ("Sizes.", ["size shaft 76.2 mm"]),
    ]
    readings = "".join(f"\n  # {title}\n{block(lines)}" for title, lines in parts)
    return f"""# Long van, shaft in two pieces. INVENTED: no such vehicle exists, and no reading was taken.
trialfit: 1
name: Van, one shaft or two
note: Invented vehicle. Diesel, long wheelbase, leaf springs. May its two-piece shaft become one?
units: metric
paper: A4
load state: on its wheels, loaded as it will be driven

readings:{readings}
{VAN}{VAN_PARTS}"""


def plant(text: str, start: str, change: dict[str, str]) -> str:
    """Change one reading line; refuse if it does not stand in the text exactly once."""
    hits = [line for line in text.split("\n") if line.strip().startswith(f"- {start} ")]
    if len(hits) != 1:
        raise SystemExit(f"'{start}' stands {len(hits)} times")
    new = hits[0]
    for old, put in change.items():
        if old not in new:
            raise SystemExit(f"'{old}' is not in {hits[0]!r}")
        new = new.replace(old, put)
    head = text.replace("INVENTED:", "INVENTED, with one reading MISREAD on purpose:")
    return head.replace(hits[0], new)


def main() -> None:
    text = estate()
    (TOP / "estate" / "build.yaml").write_text(text, encoding="utf-8")
    # digits swapped on the way from the tape to the paper
    line = next(x for x in text.split("\n") if x.strip().startswith("- tape rail.L1 rail.R2 "))
    value = line.split()[4]
    swapped = value[0] + value[2] + value[1] + value[3:]
    (TOP / "estate" / "misread.yaml").write_text(
        plant(text, "tape rail.L1 rail.R2", {value: swapped}), encoding="utf-8")

    text = flatbed()
    (TOP / "flatbed" / "build.yaml").write_text(text, encoding="utf-8")
    line = next(x for x in text.split("\n") if x.strip().startswith("- tape pad.L eye.r.L "))
    value = line.split("eye.r.L ", 1)[1].split(" ", 1)[0]
    (TOP / "flatbed" / "misread.yaml").write_text(
        plant(text, "tape pad.L eye.r.L", {f" {value} ": f" {int(value) - 12} "}), encoding="utf-8")

    text = van()
    (TOP / "van" / "build.yaml").write_text(text, encoding="utf-8")
    line = next(x for x in text.split("\n") if x.strip().startswith("- tape floor.1 floor.3 "))
    value = line.split()[4]
    (TOP / "van" / "misread.yaml").write_text(
        plant(text, "tape floor.1 floor.3", {f" {value} ": f" {int(value) - 100} "}), encoding="utf-8")


if __name__ == "__main__":
    main()
