"""What the example builds say of their drivelines, and the third invented vehicle: a long van whose shaft is in two
pieces. Nothing here was measured, and no such vehicle exists.
"""

XYZ = tuple[float, float, float]

ESTATE_POINTS: dict[str, XYZ] = {"box.back": (803.0, 0.0, 352.0)}

ESTATE = """shaft:
  front: box.out                # face of the gearbox seal
  rear: pinion                  # face of the pinion flange
  diameter: shaft
  slip: slip-yoke
  front axis: box.back box.out
  rear axis: diff.front pinion
  front offset: 55 mm +- 1 mm
  rear offset: 48 mm +- 0.5 mm
  phase: 0 deg
  wrap: 0 deg to 1 deg          # stiff bushes
  spline:
    diameter: yoke spline
    engaged: 72 mm +- 1.5 mm
    room: {barrel at the seal: 29 mm +- 1 mm, yoke at the shaft end: 35 mm +- 2 mm}
  tube: {material: steel, wall: 2.1 mm, yokes: "1.3 kg, 0.9 kg", yoke length: 62 mm}
  joints:
    front: {cap: cap, span: span, second cap: cap, second span: span}
    rear: 1310
  bearings apart: {gearbox: 170 mm, pinion: 62 mm}

power:
  torque: 270 N*m +- 15 N*m at 3800 rpm
  power: 130 kW +- 6 kW at 5300 rpm
  from: 900 rpm
  to: 5800 rpm
  gears: 3.5 2.0 1.4 1.0
  box: manual
  axle: 3.31
  axle choices: 3.31 3.73 4.10
  tyre: 195/65R15
  rolled: 9.66 m +- 10 mm in 5 turns
  mass: 1540 kg +- 20 kg
  front axle mass: 820 kg +- 10 kg
  rear axle mass: 720 kg +- 10 kg
  drag: 0.36
  frontal area: 2.05 m2
  grip: 0.9 +- 0.1
  use: {cruise: 110 km/h at 2700 rpm to 3300 rpm, launch: 9 to 13, shaft: 170 km/h, tow: 80 km/h up 6 % with 1200 kg}
  turns: {shaft: 18.6, wheel: 10, other wheel: 0}       # the axle as it was bought
  speedometer: {tyre: 185/65R15, axle: 3.64, teeth: 19}

driveshaft order:               # what the program does not work out itself
  contact: A. Builder (invented), 000 000
  old part enclosed: no
  photographs: yes
  at ride height: yes
  axle loaded: yes
  use: street, some towing
  spline count: 27
  seal surface diameter: 38.1 mm +- 0.06 mm
  seal surface length: 85 mm +- 0.5 mm
  yoke barrel length: 110 mm +- 0.5 mm
  bottomed depth: 95 mm +- 1 mm
  bottoms first: barrel at the seal
  bottomed position: 26 mm +- 1.5 mm
  rear end type: flange
  rear pilot diameter: 60.0 mm +- 0.05 mm
  rear pilot gender: male
  rear bolt circle: 95 mm +- 0.3 mm
  rear hole size: 10.2 mm +- 0.1 mm
  rear bolt count: 4
  rear face: outer face of the pinion flange
  rear face to joint: 48 mm +- 0.5 mm
  front joint clips: outside
  front joint greaseable: no
  rear joint clips: outside
  rear joint greaseable: no
  paint: black
  yokes by: slip yoke by the builder, the rest by the shop

differential order:
  contact: A. Builder (invented), 000 000
  old part enclosed: yes
  photographs: yes
  ring gear diameter: 224 mm +- 1 mm
  housing style: rear cover
  tag numbers: invented 12-34
  ring teeth: 41
  pinion teeth: 11
  turns test: 3.72 +- 0.05
  carrier least: 2.8
  carrier most: 3.5
  thick gear: no
  ring bolts: M10 x 1
  ring bolts left: yes
  shaft splines: 28
  shaft spline diameter: 30.2 mm by calliper
  shaft retention: bolted flange
  left shaft length: 742 mm +- 2 mm
  right shaft length: 768 mm +- 2 mm
  carrier type: limited slip
  clutch additive: by the carrier's sheet
  yoke: flange, 4 holes on 95 mm
  yoke final: yes
  pinion splines: 29
  joint series: "1310"
  pinion nut: new, M20 x 1.5
  pinion seal: new
  bearing kit: all new
  use: street, some towing
  housing straight: yes
  housing welded: yes
  ends checked: yes

ring and pinion:
  bearings: new
  sleeve: crush sleeve
  backlash: 0.15 mm to 0.25 mm
  preload: 1.8 N*m to 2.6 N*m
  figures from: the axle's sheet, invented
  oil: by the axle's sheet, with additive
  shim: behind the inner cup
  backlash read: 0.18 mm +- 0.02 mm, 0.20 mm +- 0.02 mm, 0.19 mm +- 0.02 mm, 0.21 mm +- 0.02 mm
  drive: toe middle
  coast: toe middle
"""

FLATBED_POINTS: dict[str, XYZ] = {
    "box.back": (1112.0, 0.0, 552.0), "seat.f": (3140.0, 490.0, 456.0), "seat.r": (3262.0, 490.0, 455.0)}

FLATBED = """shaft:
  front: box.out                # face of the gearbox flange
  rear: pinion                  # face of the pinion yoke
  diameter: shaft
  slip: slip-in-shaft
  front axis: box.back box.out
  rear axis: diff.front pinion
  front offset: 2 1/8 in +- 1/32 in
  rear offset: 1 3/4 in +- 1/32 in
  phase: 0 deg
  wrap: 0 deg to 3 deg          # long soft springs
  spline: {diameter: 1 3/4 in, engaged: 4 in +- 1/16 in, room: {end of the spline: 1 1/8 in +- 1/16 in}}
  tube: {material: steel, wall: 0.083 in, yokes: "3 lb, 2.2 lb", yoke length: 2 5/8 in}
  joints:
    front: 1350
    rear: {cap: 1.062 in, span: 3.625 in, second cap: 1.188 in, second span: 3.625 in}
  spring seat: {from: seat.f, to: seat.r, length: 4 3/4 in, spring: over the axle}

power:
  torque: 370 lbf*ft +- 15 lbf*ft at 1800 rpm
  power: 180 hp at 3200 rpm
  from: 800 rpm
  to: 3600 rpm
  gears: 2.8 1.5 1.0 0.7
  box: automatic
  converter: {stall: 1900 rpm, ratio: 2.0, behind: 350 lbf*ft, locks: yes}
  axle: 4.10
  axle choices: 3.54 3.73 4.10 4.56
  tyre: 235/85R16
  mass: 5300 lb +- 60 lb
  rear axle mass: 3000 lb +- 40 lb
  drag: 0.55
  frontal area: 35 ft2
  factor: 1.2
  factor from: the builder's own, for loads on soft ground
  use: {tow: 45 mph up 8 % with 4400 lb, cruise: 60 mph at 1700 rpm to 2200 rpm, launch: 9 to 13}

driveshaft order:               # not finished: nobody has looked at the rear yoke yet
  contact: A. Builder (invented), 000 000
  at ride height: yes
  use: towing and farm tracks
  front end type: flange
  front pilot diameter: 2.75 in +- 0.003 in
  front pilot gender: female
  front bolt circle: 4.75 in +- 0.01 in
  front bolt count: 4
  rear end type: yoke

differential order:
  contact: A. Builder (invented), 000 000
  ring teeth: 41
  pinion teeth: 10
  carrier type: open
  use: towing and farm tracks
"""

VAN_POINTS: dict[str, XYZ] = {
    "eye.f.L": (3230.0, -560.0, 400.0), "eye.f.R": (3230.0, 560.0, 400.0),
    "pad.L": (3900.0, -560.0, 372.0), "pad.R": (3900.0, 560.0, 372.0),
    "eye.r.L": (4540.0, -560.0, 415.0), "eye.r.R": (4540.0, 560.0, 415.0),
    "shackle.L": (4515.0, -560.0, 510.0), "shackle.R": (4515.0, 560.0, 510.0),
    "tube.L": (3900.0, -700.0, 335.0), "tube.R": (3900.0, 700.0, 335.0),
    "wheel.L": (3900.0, -820.0, 335.0), "wheel.R": (3900.0, 820.0, 335.0),
    "diff": (3920.0, 0.0, 335.0), "diff.front": (3830.0, 0.0, 337.0), "pinion": (3610.0, 0.0, 342.8),
    "box.out": (1250.0, 0.0, 430.0), "box.back": (830.0, 0.0, 441.0),
    "box.a": (600.0, -170.0, 350.0), "box.b": (1210.0, 170.0, 560.0),
    "mount.F": (60.0, 0.0, 520.0), "mount.R": (1080.0, 0.0, 400.0),
    "hanger": (2450.0, 0.0, 398.6), "hanger.a": (2420.0, -90.0, 440.0), "hanger.b": (2480.0, 90.0, 520.0),
    "cross.a": (2700.0, -400.0, 245.0), "cross.b": (2760.0, 400.0, 290.0),
    "hoop.a": (2140.0, -400.0, 290.0), "hoop.b": (2200.0, 400.0, 338.0),
    "floor.1": (1300.0, -380.0, 545.0), "floor.2": (3300.0, -380.0, 545.0),
    "floor.3": (3300.0, 380.0, 545.0), "floor.4": (1300.0, 380.0, 545.0),
    "tank.a": (2500.0, 130.0, 280.0), "tank.b": (3300.0, 520.0, 480.0),
}

VAN = """bodies:
  axle: [pad.L, pad.R, tube.L, tube.R, diff, diff.front, pinion]
  wheel-left: [wheel.L]
  wheel-right: [wheel.R]
  engine: [box.out, box.back, box.a, box.b]

suspension:
  type: leaf springs
  left:  {front eye: eye.f.L, pad: pad.L, rear eye: eye.r.L, shackle: shackle.L, clamp: 110 mm}
  right: {front eye: eye.f.R, pad: pad.R, rear eye: eye.r.R, shackle: shackle.R, clamp: 110 mm}

stops: {bump: 90 mm, droop: 95 mm, apart: 1000 mm, roll: 4 deg}
engine mounts: {axis: mount.F mount.R, right up: 2 deg, right down: 3 deg}

shaft:
  front: box.out                # face of the gearbox flange
  rear: pinion                  # face of the pinion flange
  diameter: shaft
  slip: slip-in-shaft
  front axis: box.back box.out
  rear axis: diff.front pinion
  front offset: 50 mm +- 1 mm
  rear offset: 48 mm +- 0.5 mm
  centre bearing:
    at: hanger
    joint behind: 62 mm +- 1 mm
    stiffness: 350 N/mm
    to one piece: yes           # may it become one?
    may go: [hanger bracket, hoop]
  phase: 0 deg, 0 deg
  wrap: 0 deg to 2 deg
  spline: {diameter: 35 mm, engaged: 95 mm +- 2 mm, room: {end of the spline: 38 mm +- 2 mm}}
  tube: {material: steel, wall: 2.1 mm, yokes: "1.5 kg, 1.1 kg", yoke length: 65 mm}
  joints: {front: 1330, middle: 1330, rear: 1330}

power:
  curve: {1000 rpm: 240 N*m, 1800 rpm: 350 N*m, 2600 rpm: 345 N*m, 3600 rpm: 292 N*m, 4400 rpm: 190 N*m}
  to: 4200 rpm
  gears: 4.2 2.3 1.5 1.0 0.8
  box: manual
  axle: 3.9
  axle choices: 3.55 3.9 4.3
  tyre: 205/75R16
  mass: 2600 kg +- 30 kg
  front axle mass: 1150 kg +- 20 kg
  rear axle mass: 1450 kg +- 20 kg
  drag: 0.38
  frontal area: 4.1 m2
  use: {cruise: 105 km/h at 2300 rpm to 2600 rpm, launch: 12 to 18, shaft: 140 km/h}

driveshaft order:
  contact: A. Builder (invented), 000 000
  at ride height: yes
  axle loaded: yes
  use: street, loaded

shapes:
  axle tube:      {tube: tube.L tube.R, diameter: 90 mm, kind: axle, body: axle}
  differential:   {drum: diff, diameter: 250 mm, width: 200 mm, kind: axle, body: axle}
  nose:           {cone: diff.front pinion, diameters: 160 mm to 100 mm, kind: axle, body: axle}
  wheel left:     {drum: wheel.L, diameter: 700 mm, width: 210 mm, kind: tyre, body: wheel-left}
  wheel right:    {drum: wheel.R, diameter: 700 mm, width: 210 mm, kind: tyre, body: wheel-right}
  gearbox:        {box: box.a box.b, kind: gearbox, body: engine}
  hanger bracket: {box: hanger.a hanger.b, kind: frame}
  cross member:   {box: cross.a cross.b, kind: frame}
  hoop:           {box: hoop.a hoop.b, kind: frame}
  floor:          {plate: [floor.1, floor.2, floor.3, floor.4], thickness: 1.5 mm, kind: floor}
  tank:           {box: tank.a tank.b, kind: fuel}

gaps:                 # joined by design, so never asked
  - gearbox / shaft = joined
  - hanger bracket / shaft = joined
  - axle tube / differential = joined
"""
