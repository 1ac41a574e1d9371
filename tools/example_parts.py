"""What the example builds say of their parts, the joints between them and the fittings that are wanted. Nothing here
was measured, no such part exists, and no verdict stands in it: each follows from the sizes.
"""

HEAD = """
# Parts and joints: invented like the rest, as if read on the bench. "by calliper" and "by rule" say with what;
# "nominal" is printed or stamped. A size without either was told by somebody, and nobody knows how well.
"""

ESTATE_SIZES = ["size wheel bore 67.08 mm, 67.12 mm", "size front register 70.58 mm, 70.62 mm",
                "size pinion pilot 59.98 mm, 60.02 mm"]

ESTATE_PARTS = HEAD + """parts:
  # wheels and hubs: hubs of two cars, one set of wheels for both
  wheel:
    note: light alloy, a set of four
    kind: road wheel
    holes: 5
    bolt circle: 120 mm nominal
    bore: wheel bore
    pad thickness: 12.1 mm by calliper
    stud hole: 15.2 mm by calliper
    seat: taper
    seat angle: 60 deg +- 0.5 deg
    well: 32.4 mm by calliper
    rim width: 152.4 mm nominal
    offset: 38 mm nominal
    backspacing: 127 mm +- 0.3 mm
    overall width: 178 mm +- 0.3 mm
    barrel: 346 mm by rule
    spoke face: 33 mm by rule
    load: 560 kg +- 1 kg
    cap hole: 62 mm by calliper
  spare wheel:
    note: steel wheel from the shed
    kind: road wheel
    holes: 5
    bolt circle: 120 mm nominal
    bore: 70.75 mm by calliper
    pad thickness: 9.4 mm by calliper
    stud hole: 14.9 mm by calliper
    seat: ball
    seat radius: 12 mm nominal
    well: 34 mm by calliper
    offset: 42 mm nominal
    load: 560 kg +- 1 kg
    cap hole: 64 mm by calliper
  front hub:
    material: steel
    kind: wheel hub
    studs: 5
    bolt circle: 120 mm nominal
    rotor register: 79.02 mm +- 0.02 mm
    rotor register height: 6.2 mm by calliper
    wheel register: front register
    wheel register height: 16.5 mm by calliper
    stud thread: M12x1.5
    stud length: 46.2 mm by calliper
    stud shoulder: 3 mm by calliper
    stud hole: 14.3 mm by calliper
    flange diameter: 148 mm by calliper
    flange thickness: 11 mm by calliper
    cap diameter: 52 mm by calliper
    cap height: 31 mm by calliper
  rear hub:                     # of the axle that was bought
    material: steel
    kind: wheel hub
    studs: 5
    bolt circle: 120.65 mm +- 0.1 mm
    wheel register: 66.98 mm +- 0.02 mm
    wheel register height: 15.8 mm by calliper
    stud thread: 1/2-20
    stud length: 41.1 mm by calliper
    stud shoulder: 3.5 mm by calliper
    stud hole: 15.9 mm by calliper
    flange diameter: 150 mm by calliper
    flange thickness: 12 mm by calliper

  # brakes
  front disc: {kind: brake rotor, holes: 5, bolt circle: 120 mm nominal, bore: 79.16 mm +- 0.02 mm,
    stud hole: 13.4 mm by calliper, hat thickness: 7.0 mm by calliper, hat inside: 152 mm by calliper,
    offset: 31.4 mm by calliper, diameter: 280 mm by rule, thickness: 21.8 mm by calliper,
    least thickness: 20.4 mm nominal}
  rear disc: {kind: brake rotor, holes: 5, bolt circle: 120.65 mm nominal, bore: 70.1 mm by calliper,
    stud hole: 13.6 mm by calliper, hat thickness: 6.6 mm by calliper, hat inside: 158 mm by calliper,
    offset: 40.4 mm by calliper, diameter: 272 mm by rule, thickness: 9.9 mm by calliper,
    least thickness: 8.4 mm nominal}
  front caliper:
    ports:
      body: {kind: brake caliper, middle: 31.2 mm by calliper, gap: 23.0 mm by calliper, most rotor: 284 mm by rule,
        least rotor: 276 mm by rule, swept radius: 164 mm by rule, standout: 34 mm by rule}
      inlet: {kind: hydraulic end, seal: bubble, gender: female, thread: M10x1, tube: 4.75 mm nominal}
  rear caliper:
    material: aluminium
    ports:
      body: {kind: brake caliper, middle: 42.7 mm by calliper, gap: 11.6 mm by calliper, most rotor: 276 mm by rule,
        least rotor: 268 mm by rule, swept radius: 160 mm by rule, standout: 12 mm by rule}
      banjo port: {kind: hydraulic end, seal: flat seat, gender: female, thread: M10x1, thread depth: 14 mm by calliper,
        face: machined}
      ear: {kind: bolt hole, form: tapped through, thread: M12x1.5, thickness: 26 mm by calliper,
        edge distance: 19 mm by rule}
  rear bracket:
    material: steel
    ports:
      face: {kind: brake bracket, holes: 4, bolt circle: 104.0 mm +- 0.2 mm, hole: 10.5 mm by calliper,
        pilot bore: 78.12 mm +- 0.02 mm, thickness: 12.1 mm by calliper, middle: 23.5 mm by calliper,
        round: 142 mm by calliper}
  housing end: {kind: housing end, holes: 4, bolt circle: 106.4 mm +- 0.2 mm, bolt: 10 mm nominal,
    pilot: 77.98 mm +- 0.02 mm, pilot height: 12 mm by calliper, standout: 66.2 mm by calliper}
  ear bolt: {kind: bolt, thread: M12x1.5, length: 45 mm by calliper, shank length: 9 mm by calliper}
  housing flange: {kind: bolt hole, material: steel, form: plain, diameter: 10.6 mm by calliper,
    thickness: 12.2 mm by calliper, edge distance: 18 mm by rule}
  bracket bolt: {kind: bolt, thread: M10x1.25, length: 40 mm by calliper, shank length: 14 mm by calliper}

  # engine, gearbox, clutch
  engine:
    ports:
      rear:
        kind: engine rear face
        points: [[-140 mm +- 0.1 mm, -60 mm +- 0.1 mm], [140 mm +- 0.1 mm, -60 mm +- 0.1 mm],
                 [-110 mm +- 0.1 mm, 150 mm +- 0.1 mm], [110 mm +- 0.1 mm, 150 mm +- 0.1 mm]]
        thread: M10
        dowels: [[-150 mm +- 0.02 mm, 0 mm +- 0.02 mm], [150 mm +- 0.02 mm, 0 mm +- 0.02 mm]]
        dowel: 13.99 mm +- 0.004 mm
        dowel height: 11 mm by calliper
        bell run-out: 0.12 mm +- 0.01 mm
        pilot bearing: 15.06 mm +- 0.01 mm
        pilot bearing length: 16 mm by calliper
        pilot bearing face: -14 mm by calliper
        pilot bearing room: 34 mm by calliper
      drain: {kind: hydraulic end, seal: flat seat, gender: female, thread: M14x1.5, face: machined}
      stick hole: {kind: dipstick hole, diameter: 10.04 mm +- 0.004 mm, seal: O-ring}
      top water: {kind: barb, form: beaded, diameter: 36.4 mm by calliper, pipe: 34.0 mm by calliper,
        length: 32 mm by rule}
      bracket: {kind: bolt hole, form: tapped blind, thread: M10x1.5, thread depth: 26 mm by calliper,
        edge distance: 20 mm by rule}
    material: aluminium
  gearbox:
    ports:
      front:
        kind: gearbox front face
        points: [[-140.1 mm +- 0.1 mm, -60 mm +- 0.1 mm], [140 mm +- 0.1 mm, -60.1 mm +- 0.1 mm],
                 [-110 mm +- 0.1 mm, 150.1 mm +- 0.1 mm], [110 mm +- 0.1 mm, 150 mm +- 0.1 mm]]
        hole: 11.0 mm by calliper
        dowels: [[-150.01 mm +- 0.02 mm, 0 mm +- 0.02 mm], [150 mm +- 0.02 mm, 0 mm +- 0.02 mm]]
        dowel hole: 14.012 mm +- 0.004 mm
        dowel hole depth: 14 mm by calliper
        drive: clutch
        input tip: 26.0 mm by calliper
        input nose: 14.98 mm +- 0.01 mm
        nose length: 21 mm by calliper
        release bearing: -56.9 mm +- 0.2 mm
      input: {kind: external spline, teeth: 24, major: 24.95 mm +- 0.03 mm, minor: 22.9 mm by calliper,
        form: involute fillet root, pressure angle: 30 deg nominal, pitch: m1, length: 62 mm by calliper}
      output: {kind: external spline, teeth: 27, major: 29.6 mm by calliper, minor: 27.5 mm by calliper, pitch: 24/48,
        form: involute fillet root, pressure angle: 30 deg nominal, length: 92 mm by calliper}
      mount pad: {kind: mount bracket, spacing: 114 mm by rule, hole: 11 mm by calliper, slot: 0 mm,
        room: 64 mm by rule, offset: 0 mm by rule}
      slave pipe: {kind: hydraulic end, gender: female, thread: M10x1}
  clutch plate: {kind: internal spline, teeth: 24, major: 25.8 mm by calliper, minor: 23.2 mm by calliper,
    form: involute fillet root, pressure angle: 30 deg nominal, pitch: m1, length: 26 mm by calliper}
  engine mount: {kind: mount, bolts: 1, thread: M12, height: 58 mm +- 0.1 mm}
  engine arm: {kind: mount bracket, hole: 12.6 mm by calliper, room: 58.2 mm by calliper, offset: 1 mm by rule}
  gearbox mount: {kind: mount, bolts: 2, spacing: 110 mm by calliper, thread: M10, height: 55 mm +- 0.5 mm}
  arm bolt: {kind: bolt, thread: M10x1.25, length: 33 mm by calliper, shank length: 0 mm by calliper}

  # shaft and axle
  slip yoke:
    material: steel
    ports:
      bore: {kind: internal spline, teeth: 27, major: 30.6 mm by calliper, minor: 27.9 mm by calliper, pitch: 24/48,
        form: involute fillet root, pressure angle: 30 deg nominal, length: 98 mm by calliper}
      ears: {kind: yoke, series: "1310", cap bore: 26.98 mm by calliper, width: 81.8 mm by calliper, clips: outside,
        retention: full round}
  shaft:
    material: steel
    ports:
      front ears: {kind: yoke, series: "1310", cap bore: 26.97 mm by calliper, width: 81.8 mm by calliper,
        clips: outside, retention: full round}
      rear ears: {kind: yoke, series: "1310", cap bore: 26.98 mm by calliper, width: 81.8 mm by calliper,
        clips: outside, retention: full round}
  front joint: {ports: {
    front caps: {kind: joint caps, series: "1310", cap: cap, span: span, clips: outside},
    rear caps: {kind: joint caps, series: "1310", cap: cap, span: span, clips: outside}}}
  rear joint: {ports: {
    front caps: {kind: joint caps, series: "1310", cap: cap, span: span, clips: outside},
    rear caps: {kind: joint caps, series: "1310", cap: cap, span: span, clips: outside}}}
  flange yoke:                  # the donor's: as wide as the next series
    material: steel
    ports:
      ears: {kind: yoke, cap bore: 26.96 mm by calliper, width: 92.1 mm by calliper, clips: outside, retention: straps}
      face: {kind: flange, pilot: 63.5 mm by calliper, pilot form: female, pilot height: 3.1 mm by calliper, bolts: 4,
        bolt circle: 95 mm +- 0.1 mm, hole: 10.4 mm by calliper, face diameter: 128 mm by calliper,
        thickness: 9 mm by calliper}
  pinion flange: {kind: flange, material: steel, pilot: pinion pilot, pilot form: male,
    pilot height: 2.6 mm by calliper,
    bolts: 4, bolt circle: 95 mm +- 0.1 mm, hole: 10.2 mm by calliper, face diameter: 128 mm by calliper,
    thickness: 10 mm by calliper}
  axle shaft: {kind: external spline, material: steel, teeth: 28, major: 30.2 mm by calliper,
    minor: 28.4 mm by calliper, form: involute fillet root, pressure angle: 30 deg nominal, length: 40 mm by calliper}
  side gear: {kind: internal spline, teeth: 30, major: 32.6 mm by calliper,
    minor: 30.6 mm by calliper, form: involute fillet root, pressure angle: 30 deg nominal, length: 34 mm by calliper,
    note: of the limited-slip carrier}

  # links
  link bolt: {kind: bolt, thread: M12x1.75, length: 100 mm by calliper, shank length: 71 mm by calliper,
    shank diameter: 12 mm nominal}
  body ear: {kind: bolt hole, material: steel, form: plain, diameter: 12.6 mm by calliper,
    thickness: 4 mm by calliper}
  axle ear: {kind: bolt hole, material: steel, form: plain, diameter: 12.7 mm by calliper,
    thickness: 6.1 mm by calliper, edge distance: 16.5 mm by rule}
  upper ear: {kind: bolt hole, material: steel, form: plain, diameter: 11.4 mm by calliper,
    thickness: 5 mm by calliper, edge distance: 24 mm by rule}
  rod bolt: {kind: bolt, thread: M14x1.5, length: 90 mm by calliper, shank length: 61 mm by calliper}
  rod ear: {kind: bolt hole, material: steel, form: plain, diameter: 17.6 mm by calliper, thickness: 5 mm by calliper,
    edge distance: 28 mm by rule}

  # exhaust
  manifold: {kind: exhaust flange, bolts: 2, circle: 95 mm by rule, hole: 10.5 mm by calliper, bolt: 10 mm nominal,
    opening: 57 mm by calliper, face: cup, ball: 70.4 mm by calliper, material: cast iron}
  down pipe:
    ports:
      top: {kind: exhaust flange, bolts: 2, circle: 95 mm by rule, hole: 10.8 mm by calliper, bolt: 10 mm nominal,
        opening: 58 mm by calliper, face: ball, ball: 70.0 mm by calliper, material: mild steel}
      tail: {kind: pipe end, outside: pipe, wall: 1.5 mm by calliper, form: plain, straight: 95 mm by rule,
        material: aluminised steel}
      bung: {kind: sensor bung, thread: M18x1.5, seat: gasket, length: 9.0 mm by calliper,
        pipe bore: 60.5 mm by calliper, room: 80 mm by rule, tilt: 25 deg +- 2 deg}
  bellows: {ports: {
    front: {kind: pipe end, outside: 66.9 mm by calliper, bore: 63.62 mm +- 0.05 mm, wall: 1.5 mm by calliper,
      form: socket, depth: 55 mm by rule, straight: 60 mm by rule, material: stainless},
    rear: {kind: pipe end, outside: pipe, wall: 1.5 mm by calliper, form: plain, straight: 60 mm by rule,
      material: stainless}}}
  middle pipe: {ports: {
    front: {kind: pipe end, outside: pipe, wall: 1.5 mm by calliper, form: plain, straight: 200 mm by rule,
      material: aluminised steel},
    band: {kind: V-band half, tube: 63.5 mm by calliper, flange: 85.0 mm by calliper, face: male,
      bore: 60.4 mm by calliper, register: 68.0 mm by calliper, material: mild steel}}}
  tail pipe: {ports: {
    band: {kind: V-band half, tube: 63.5 mm by calliper, flange: 87.4 mm by calliper, face: female,
      bore: 60.5 mm by calliper, register: 68.3 mm by calliper, material: mild steel},
    rear: {kind: pipe end, outside: pipe, wall: 1.5 mm by calliper, form: plain, straight: 120 mm by rule,
      material: aluminised steel}}}
  rear box: {kind: pipe end, outside: 60.3 mm by calliper, wall: 1.6 mm by calliper, form: plain,
    straight: 60 mm by rule, material: galvanized steel}
  oxygen sensor: {kind: sensor, what: oxygen, thread: M18x1.5, seat: gasket, reach: 9.5 mm by calliper,
    tip: 28 mm by calliper, hex: 22 mm nominal}

  # lines
  front hose: {kind: hydraulic end, seal: bubble, gender: male, thread: M10x1, tube: 4.75 mm nominal}
  axle pipe:                    # on the axle when it was bought
    ports:
      left end: {kind: hydraulic end, seal: inverted flare, gender: male, thread: 3/8-24, tube: 4.75 mm by calliper,
        flare: double, flare diameter: 6.9 mm by calliper, tube material: steel}
      right end: {kind: hydraulic end, seal: inverted flare, gender: male, thread: M10x1, tube: 4.75 mm by calliper,
        flare: double, flare diameter: 6.9 mm by calliper, tube material: steel}
  axle tee: {ports: {
    left: {kind: hydraulic end, seal: inverted flare, gender: female, thread: M10x1, tube: 4.75 mm nominal},
    right: {kind: hydraulic end, seal: bubble, gender: female, thread: M10x1, tube: 4.75 mm nominal}}}
  rear banjo: {kind: banjo eye, thread: M10x1, hole: 10.1 mm by calliper, bolt: 9.9 mm by calliper,
    thickness: 9.6 mm by calliper, bolt length: 24 mm by calliper, washers: 2, washer: 1.0 mm by calliper}
  slave hose: {kind: hydraulic end, seal: bubble, gender: male, thread: M10x1, tube: 4.75 mm nominal}
  servo pipe: {kind: barb, form: barbed, diameter: 10.9 mm by calliper, length: 27 mm by rule}
  servo hose: {kind: hose, print: J1403, bore: 9.8 mm by calliper, outside: 17 mm by calliper}
  top hose: {kind: hose, print: J20, bore: 34.2 mm by calliper, outside: 43.2 mm by calliper}
  fuel rail pipe: {kind: barb, form: barbed, diameter: 8.8 mm by calliper, pipe: 8.0 mm by calliper,
    length: 28 mm by rule}
  fuel hose: {kind: hose, print: 30R7, bore: 7.9 mm by calliper, outside: 14 mm by calliper}
  fuel pipe: {ports: {
    front: {kind: hydraulic end, seal: quick connect, gender: male, spigot: 7.92 mm by calliper},
    rear: {kind: hydraulic end, seal: 24 cone, gender: male, thread: M14x1.5, tube: 8 mm nominal}}}
  fuel socket: {kind: hydraulic end, seal: quick connect, gender: female, spigot: 7.89 mm nominal}
  fuel pump: {kind: hydraulic end, seal: NPT, gender: female, thread: 1/4-18 NPT}
  tank outlet: {kind: hydraulic end, seal: inverted flare, gender: female, thread: 1/2-20, tube: 5/16 in nominal}
  dipstick: {kind: dipstick, full: 452 mm by rule, add: 470 mm by rule, tip: 482 mm by rule, width: 5.2 mm by calliper,
    plug: 12.6 mm by calliper}
  dipstick tube: {kind: dipstick tube, bore: 7.1 mm by calliper, mouth: 11.8 mm by calliper, level: 441 mm by rule,
    bottom: 503 mm by rule, outside: 10.0 mm +- 0.004 mm}

mates:
  - {wheel on hub: [wheel, front hub], name: front wheel, between: {disc hat: 7.0 mm by calliper},
     nut thread: M12x1.5, nut seat: taper, nut seat angle: 60 deg nominal, nut material: steel, nut end: open,
     nut thread length: 16 mm by calliper, nut lead: 2 mm by calliper, socket: 27 mm by calliper,
     wheel load: 420 kg +- 5 kg, bolts: 5, torque: 110 N*m,
     torque from: the car's sheet (invented), sides: left right}
  - {wheel on hub: [wheel, rear hub], name: rear wheel, between: {disc hat: 6.6 mm by calliper},
     nut thread: 1/2-20, nut seat: taper, nut seat angle: 60 deg nominal, nut material: steel, nut end: open,
     nut thread length: 16 mm by calliper, nut lead: 2 mm by calliper, socket: 27 mm by calliper,
     wheel load: 400 kg +- 5 kg, bolts: 5, torque: 120 N*m,
     torque from: the axle's sheet (invented), sides: left right}
  - {wheel on hub: [spare wheel, front hub], name: spare wheel in front, between: {disc hat: 7.0 mm by calliper},
     nut thread: M12x1.5, nut seat: taper, nut seat angle: 60 deg nominal, nut material: steel,
     nut end: open, nut thread length: 16 mm by calliper, socket: 27 mm by calliper, wheel load: 420 kg +- 5 kg}
  - {rotor on hub: [front disc, front hub], name: front disc, sides: left right}
  - {rotor on hub: [rear disc, rear hub], name: rear disc, sides: left right}
  - {rotor in caliper: [front disc, front caliper.body], name: front disc in caliper, sides: left right}
  - {rotor in caliper: [rear disc, rear caliper.body], name: rear disc in caliper, sides: left right}
  - {wheel over brake: [wheel, front caliper.body], name: front wheel over caliper,
     between: {disc hat: 7.0 mm by calliper}, sides: left right}
  - {wheel over brake: [wheel, rear caliper.body], name: rear wheel over caliper,
     between: {disc hat: 6.6 mm by calliper}, sides: left right}
  - {brake bracket on housing end: [rear bracket, housing end], name: rear brake bracket,
     rotor offset: 40.4 mm by calliper, carries: caliper, sides: left right}
  - {bolt through hole: [bracket bolt, housing flange], name: rear bracket bolts,
     between: {bracket: 12.1 mm by calliper}, nut thread: M10x1.25, nut height: 8 mm by calliper, bolts: 4,
     bolt grade: "10.9", nut grade: "10",
     locked by: all-metal lock nut, sides: left right}
  - {bolt through hole: [ear bolt, rear caliper.ear], name: rear caliper bolts, between: {bracket: 12.1 mm by calliper},
     bolts: 2, bolt grade: "10.9", threads are: thread locked, torque: 90 N*m,
     torque from: the caliper's sheet (invented), locked by: threadlocker, sides: left right}

  - {gearbox on engine: [engine.rear, gearbox.front], name: gearbox on engine, tried on dowels: goes on}
  - {spline in spline: [gearbox.input, clutch plate], name: clutch plate, slides: "no", engaged: 26 mm by calliper}
  - {mount on bracket: [engine mount, engine arm], name: engine mount, bolt thread: M10x1.5, bolts: 2,
     bolt grade: "8.8", sides: left right}
  - {mount on bracket: [gearbox mount, gearbox.mount pad], name: gearbox mount, bolt thread: M10x1.5, bolts: 2,
     bolt grade: "8.8", torque: 40 N*m, torque from: the gearbox's sheet (invented)}
  - {bolt through hole: [arm bolt, engine.bracket], name: engine arm bolts, between: {arm: 10 mm by calliper},
     bolts: 3, bolt grade: "8.8", torque: 45 N*m, torque from: the engine's sheet (invented), sides: left right}

  - {spline in spline: [gearbox.output, slip yoke.bore], name: slip yoke, slides: "yes", engaged: 72 mm +- 1.5 mm}
  - {joint in yoke: [front joint.front caps, slip yoke.ears], name: front joint in slip yoke}
  - {joint in yoke: [front joint.rear caps, shaft.front ears], name: front joint in shaft}
  - {joint in yoke: [rear joint.front caps, shaft.rear ears], name: rear joint in shaft}
  - {joint in yoke: [rear joint.rear caps, flange yoke.ears], name: rear joint in flange yoke}
  - {flange on flange: [flange yoke.face, pinion flange], name: flange yoke on pinion, bolt: M10x1.25,
     bolt length: 32 mm by calliper, bolts: 4, bolt grade: "10.9", nut grade: "10", locked by: all-metal lock nut}
  - {spline in spline: [axle shaft, side gear], name: axle shaft in carrier, slides: "no",
     engaged: 34 mm by rule, sides: left right}

  - {bolt through hole: [link bolt, body ear], name: lower link at the body, between: {link: 60 mm by calliper,
     near ear: 4 mm by calliper}, washers: 5 mm by calliper, nut thread: M12x1.75, nut height: 10.8 mm by calliper,
     bolt grade: "8.8", nut grade: "8", threads are: zinc plated, locked by: nylon insert nut,
     sides: left right}
  - {bolt through hole: [link bolt, axle ear], name: lower link at the axle, between: {link: 60 mm by calliper,
     near ear: 6.1 mm by calliper}, washers: 5 mm by calliper, nut thread: M12x1.75, nut height: 10.8 mm by calliper,
     bolt grade: "8.8", nut grade: "8", threads are: zinc plated, locked by: nylon insert nut,
     sides: left right}
  - {bolt through hole: [link bolt, upper ear], name: upper link at the axle, between: {link: 60 mm by calliper,
     near ear: 5 mm by calliper}, washers: 5 mm by calliper, nut thread: M12x1.75, nut height: 10.8 mm by calliper,
     bolt grade: "8.8", nut grade: "8", threads are: zinc plated, locked by: nylon insert nut,
     sides: left right}
  - {bolt through hole: [rod bolt, rod ear], name: lateral rod at the body, between: {rod: 50 mm by calliper,
     near ear: 5 mm by calliper}, washers: 5 mm by calliper, nut thread: M14x1.5, nut height: 12.8 mm by calliper,
     bolt grade: "10.9", nut grade: "10", torque: 160 N*m, torque from: the axle's sheet (invented)}

  - {exhaust flange to flange: [manifold, down pipe.top], name: down pipe on manifold}
  - {pipe to pipe: [down pipe.tail, bellows.front], name: bellows on down pipe, method: slip, welded: "no",
     overlap: 55 mm by rule}
  - {pipe to pipe: [bellows.rear, middle pipe.front], name: middle pipe on bellows, method: butt}
  - {V-band: [middle pipe.band, tail pipe.band], name: band before the axle, gasket: "no"}
  - {pipe to pipe: [tail pipe.rear, rear box], name: rear box on tail pipe, method: butt}
  - {sensor in bung: [oxygen sensor, down pipe.bung], name: oxygen sensor, use: exhaust}

  - {hydraulic end to end: [front hose, front caliper.inlet], name: front brake hose, use: brake, sides: left right}
  - {hydraulic end to end: [axle pipe.left end, axle tee.left], name: axle pipe in tee left, use: brake}
  - {hydraulic end to end: [axle pipe.right end, axle tee.right], name: axle pipe in tee right, use: brake}
  - {hydraulic end to end: [rear banjo, rear caliper.banjo port], name: rear banjo, use: brake, sides: left right}
  - {hydraulic end to end: [slave hose, gearbox.slave pipe], name: clutch slave, use: clutch}
  - {hydraulic end to end: [fuel pipe.front, fuel socket], name: fuel feed, use: fuel injection}
  - {hose on barb: [servo hose, servo pipe], name: servo hose, use: vacuum, pressure: 0 bar, clamp least: 13 mm nominal,
     clamp greatest: 23 mm nominal}
  - {hose on barb: [top hose, engine.top water], name: top hose, use: coolant, pressure: 1.2 bar,
     clamp least: 32 mm nominal, clamp greatest: 50 mm nominal}
  - {hose on barb: [fuel hose, fuel rail pipe], name: fuel hose at the rail, use: fuel injection, pressure: 3 bar,
     clamp least: 11 mm nominal, clamp greatest: 16 mm nominal}
  - {dipstick and tube: [dipstick, dipstick tube], name: dipstick}
  - {dipstick tube in case: [dipstick tube, engine.stick hole], name: dipstick tube in block}

chains:
  - {from: axle pipe.left end, to: axle tee.right, use: brake}
  - {from: axle pipe.left end, to: axle tee.left, use: brake}
  - {from: fuel pump, to: tank outlet, use: fuel, by: hose, length: 600 mm}
  - {from: fuel pipe.rear, to: tank outlet, use: fuel}
"""

FLATBED_SIZES = ["size pad pin hole 0.760 in, 0.758 in", "size plate pitch 3.74 in, 3.75 in"]

FLATBED_PARTS = HEAD + """parts:
  # wheels and hubs
  wheel:
    note: steel, a set of four off a heavier truck
    kind: road wheel
    holes: 8
    bolt circle: 6 1/2 in nominal
    bore: 4.770 in +- 0.001 in
    pad thickness: 0.472 in by calliper
    stud hole: 0.640 in by calliper
    seat: taper
    seat angle: 90 deg +- 0.5 deg
    rim width: 6 in nominal
    backspacing: 4 1/2 in +- 1/64 in
    overall width: 7.02 in +- 0.02 in
    barrel: 14 1/4 in by rule
    spoke face: 2 1/2 in by rule
    load: 2600 lb +- 5 lb
    cap hole: 4.5 in by calliper
  front hub:
    material: steel
    kind: wheel hub
    studs: 8
    bolt circle: 6 1/2 in nominal
    wheel register: 4.880 in +- 0.001 in
    wheel register height: 0.90 in by calliper
    stud thread: 9/16-18
    stud length: 2.06 in by calliper
    stud hole: 0.625 in by calliper
    flange diameter: 7 3/4 in by rule
    flange thickness: 0.62 in by calliper
    cap diameter: 3.1 in by calliper
    cap height: 2 in by calliper
  rear hub:                     # the donor's; its register is under rust and was not read
    material: steel
    kind: wheel hub
    studs: 8
    bolt circle: 6 1/2 in nominal
    wheel register height: 0.80 in by calliper
    stud thread: M14x1.5
    stud length: 2.05 in by calliper
    flange diameter: 7 3/4 in by rule
    flange thickness: 0.70 in by calliper

  # brakes
  front disc: {kind: brake rotor, holes: 8, bolt circle: 6 1/2 in nominal, bore: 4.887 in +- 0.001 in,
    stud hole: 0.640 in by calliper, hat thickness: 0.310 in by calliper, hat inside: 7.95 in by rule,
    offset: 1.90 in by calliper, diameter: 12 1/2 in by rule, thickness: 1.130 in by calliper,
    least thickness: 1.120 in nominal}
  front caliper: {ports: {
    body: {kind: brake caliper, middle: 1.895 in by calliper, gap: 1.25 in by calliper, most rotor: 12.7 in by rule,
      least rotor: 12.4 in by rule, swept radius: 6 3/4 in by rule, standout: 1 3/4 in by rule},
    inlet: {kind: hydraulic end, seal: flat seat, gender: female, thread: 7/16-20, thread depth: 0.55 in by calliper,
      face: machined}}}
  drum: {kind: brake drum, holes: 8, bolt circle: 6 1/2 in nominal, bore: 4.785 in +- 0.001 in,
    stud hole: 0.640 in by calliper, hat thickness: 0.30 in by calliper, hat inside: 8 1/4 in by rule,
    depth: 3.90 in by calliper, inside diameter: 12.04 in by calliper, most diameter: 12.06 in nominal,
    outside diameter: 13.2 in by rule}
  backing plate: {ports: {
    shoes: {kind: backing plate, shoe circle: 11.94 in by calliper, plate distance: 3.92 in by calliper,
      shoe distance: 0.9 in by calliper},
    face: {kind: brake bracket, holes: 4, bolt circle: 4.000 in +- 0.005 in, hole: 0.515 in by calliper,
      pilot bore: 3.160 in +- 0.001 in, thickness: 0.15 in by calliper, round: 6 in by rule}}}
  housing end: {kind: housing end, holes: 4, bolt circle: 4.002 in +- 0.005 in, bolt: 1/2 in nominal,
    pilot: 3.155 in +- 0.001 in, pilot height: 0.4 in by calliper, standout: 3.3 in by calliper}

  # axle on its springs
  spring pad: {kind: spring seat, material: steel, tube diameter: axle tube, pad width: 2.52 in by calliper,
    pad height: 0.5 in by calliper, pad radius: 1.75 in +- 1/64 in, pin hole: pad pin hole,
    pin hole depth: 0.45 in by calliper, pad angle: 3.2 deg +- 0.1 deg}
  spring: {kind: leaf spring, spring width: 2.49 in by calliper, stack: 1.55 in by calliper,
    pin head: 0.620 in by calliper, pin head height: 0.375 in by calliper}
  eye bolt: {kind: bolt, thread: 1/2-20, length: 4 1/2 in by rule, shank length: 3 1/4 in by rule}
  hanger ear: {kind: bolt hole, material: steel, form: plain, diameter: 0.53 in by calliper,
    thickness: 0.25 in by calliper, edge distance: 1 1/8 in by rule}
  shackle bolt: {kind: bolt, thread: 1/2-20, length: 4 in by rule, shank length: 3 in by rule}
  shackle plate: {kind: bolt hole, material: steel, form: plain, diameter: 0.53 in by calliper,
    thickness: 0.312 in by calliper, edge distance: 7/8 in by rule}
  damper stud: {kind: bolt, thread: 1/2-13, length: 2 1/4 in by calliper, shank length: 1.4 in by calliper}
  damper ear: {kind: bolt hole, material: steel, form: plain, diameter: 0.472 in by calliper,
    thickness: 0.25 in by calliper, edge distance: 1 in by rule}

  # engine and gearbox
  engine:
    ports:
      rear: {kind: engine rear face, housing: "3", bell run-out: 0.004 in +- 0.0005 in,
        crank flange: 0.40 in by calliper,
        crank pilot: 1.705 in +- 0.0005 in, crank pilot depth: 0.95 in by calliper, spacer: 0 in nominal,
        flex plate: 0.62 in by calliper, converter bolts: 6, converter circle: 11.5 in +- 0.003 in,
        converter hole: 0.450 in by calliper}
      drain: {kind: hydraulic end, seal: O-ring boss, gender: female, thread: 9/16-18}
      water: {kind: barb, form: beaded, diameter: 2.09 in by calliper, pipe: 2.0 in by calliper,
        length: 1 1/2 in by rule}
  gearbox:
    material: aluminium
    ports:
      front: {kind: gearbox front face, housing: "4", drive: converter, converter pads: 1.180 in by calliper,
        converter bolts: 6, converter circle: 11.5 in +- 0.003 in, converter thread: 7/16-20,
        converter nose: 1.703 in +- 0.0005 in, converter nose length: 0.85 in by calliper}
      mount pad: {kind: mount bracket, spacing: 4.5 in by rule, hole: 0.53 in by calliper, slot: 0.5 in by calliper,
        room: 3.3 in by rule, offset: 0 in by rule}
      cooler out: {kind: hydraulic end, seal: inverted flare, gender: female, thread: 1/2-20, tube: 5/16 in nominal}
      cooler back: {kind: hydraulic end, seal: NPT, gender: female, thread: 1/4-18 NPT}
      stick hole: {kind: dipstick hole, diameter: 0.632 in by calliper, seal: O-ring}
      flange: {kind: flange, pilot: 2.7502 in +- 0.0002 in, pilot form: female, pilot height: 0.13 in by calliper,
        bolts: 4, bolt circle: 4.75 in +- 0.002 in, hole: 0.385 in by calliper, face diameter: 6.2 in by calliper,
        thickness: 0.45 in by calliper}
      bolt boss: {kind: bolt hole, form: tapped blind, thread: 3/8-16, thread depth: 0.95 in by calliper,
        edge distance: 0.8 in by rule}
  engine mount: {kind: mount, bolts: 1, thread: 1/2-13, height: 2.20 in by calliper}
  engine arm: {kind: mount bracket, hole: 0.53 in by calliper, room: 2.30 in by calliper, offset: 1/32 in by rule}
  gearbox mount: {kind: mount, bolts: 2, spacing: 4.25 in by calliper, thread: 1/2-13}
  bell bolt: {kind: bolt, thread: 3/8-24, length: 0.95 in by calliper, shank length: 0 in by calliper}

  # shaft
  shaft flange: {ports: {
    face: {kind: flange, pilot: 2.7494 in +- 0.0002 in, pilot form: male, pilot height: 0.11 in by calliper, bolts: 4,
      bolt circle: 120 mm nominal, hole: 0.385 in by calliper, face diameter: 6.2 in by calliper,
      thickness: 0.40 in by calliper},
    ears: {kind: yoke, series: "1350", cap bore: 1.188 in by calliper, width: 3.625 in by calliper, clips: outside,
      retention: full round}}}
  shaft:
    material: steel
    ports:
      front ears: {kind: yoke, series: "1350", cap bore: 1.187 in by calliper, width: 3.626 in by calliper,
        clips: outside, retention: full round}
      sleeve: {kind: internal spline, teeth: 27, major: 1.80 in by calliper, minor: 1.640 in by calliper,
        pitch: 16/32, form: involute fillet root, pressure angle: 30 deg nominal, length: 6 in by rule}
      stub: {kind: external spline, teeth: 27, major: 1.748 in by calliper, minor: 1.60 in by calliper,
        pitch: 16/32, form: involute fillet root, pressure angle: 30 deg nominal, length: 7 in by rule}
      rear ears: {kind: yoke, series: "1330", cap bore: 1.062 in by calliper, width: 3.625 in by calliper,
        clips: outside, retention: full round}
  front joint: {ports: {
    front caps: {kind: joint caps, series: "1350", cap: 1.188 in by calliper, span: 3.625 in by calliper,
      clips: outside},
    rear caps: {kind: joint caps, series: "1350", cap: 1.188 in by calliper, span: 3.625 in by calliper,
      clips: outside}}}
  rear joint: {ports: {
    front caps: {kind: joint caps, cap: 1.062 in by calliper, span: 3.625 in by calliper, clips: outside},
    rear caps: {kind: joint caps, cap: 1.188 in by calliper, span: 3.625 in by calliper, clips: outside}}}
  pinion yoke: {kind: yoke, note: nobody has measured it yet}

  # exhaust
  turbine: {kind: V-band half, tube: 3 in nominal, flange: 3.66 in by calliper, face: male, bore: 2.9 in by calliper,
    register: 3.20 in by calliper, material: cast iron}
  down pipe: {ports: {
    top: {kind: V-band half, tube: 3 in nominal, flange: 3.655 in by calliper, face: female, bore: 2.87 in by calliper,
      register: 3.215 in by calliper, material: stainless},
    tail: {kind: pipe end, outside: pipe, wall: 0.065 in by calliper, form: plain, straight: 4 in by rule,
      material: stainless},
    bung: {kind: sensor bung, thread: Rc1/8, seat: thread, length: 0.5 in by calliper, pipe bore: 2.87 in by calliper,
      room: 2 1/2 in by rule}}}
  bellows: {ports: {
    front: {kind: pipe end, outside: pipe, wall: 0.065 in by calliper, form: plain, straight: 2 in by rule,
      material: stainless},
    rear: {kind: pipe end, outside: pipe, wall: 0.065 in by calliper, form: plain, straight: 2 in by rule,
      material: stainless}}}
  muffler: {ports: {
    front: {kind: pipe end, outside: pipe, wall: 0.065 in by calliper, form: plain, straight: 2 1/2 in by rule,
      material: stainless},
    rear: {kind: pipe end, outside: pipe, wall: 0.065 in by calliper, form: plain,
      straight: 2 1/2 in by rule, material: stainless}}}
  tail pipe: {kind: pipe end, outside: pipe, wall: 0.065 in by calliper, form: plain, straight: 6 in by rule,
    material: stainless}
  gas temperature sensor: {kind: sensor, what: temperature, thread: 1/8-27 NPT, seat: thread, reach: 0.5 in by calliper,
    tip: 1.6 in by calliper, hex: 1/2 in nominal}

  # lines
  front banjo: {kind: banjo eye, thread: 7/16-20, hole: 0.443 in by calliper, bolt: 0.435 in by calliper,
    thickness: 0.40 in by calliper, bolt length: 1.08 in by calliper, washers: 2, washer: 0.04 in by calliper}
  wheel cylinder: {kind: hydraulic end, seal: inverted flare, gender: female, thread: 3/8-24, tube: 3/16 in nominal}
  axle pipe: {ports: {
    outer: {kind: hydraulic end, seal: inverted flare, gender: male, thread: 3/8-24, tube: 3/16 in nominal,
      flare: double, flare diameter: 0.272 in by calliper, tube material: copper-nickel},
    inner: {kind: hydraulic end, seal: inverted flare, gender: male, thread: 3/8-24, tube: 3/16 in nominal,
      flare: single, tube material: copper}}}
  axle tee: {ports: {
    side: {kind: hydraulic end, seal: inverted flare, gender: female, thread: 3/8-24, tube: 3/16 in nominal},
    top: {kind: hydraulic end, seal: NPT, gender: female, thread: 1/8-27 NPT}}}
  rear hose: {kind: hydraulic end, seal: NPT, gender: male, thread: 1/8-27 NPT}
  steering pump: {ports: {
    pressure: {kind: hydraulic end, seal: 45 flare, gender: male, thread: 1/2-20, tube: 5/16 in nominal},
    back: {kind: barb, form: barbed, diameter: 0.43 in by calliper, length: 1 1/8 in by rule}}}
  steering hose: {kind: hydraulic end, seal: 37 flare, gender: female, thread: 1/2-20, tube: 5/16 in nominal}
  steering return: {kind: hose, print: J188, bore: 0.385 in by calliper, outside: 0.72 in by calliper}
  cooler pipe: {kind: hydraulic end, seal: inverted flare, gender: male, thread: 1/2-20, tube: 5/16 in nominal,
    flare: double, flare diameter: 0.417 in by calliper, tube material: steel}
  cooler: {ports: {
    in: {kind: hydraulic end, seal: 37 flare, gender: male, thread: 9/16-18, tube: 3/8 in nominal},
    tail: {kind: barb, form: barbed, diameter: 0.41 in by calliper, length: 1 1/4 in by rule}}}
  cooler hose end: {kind: hydraulic end, seal: parallel pipe, gender: male, thread: G 1/4}
  cooler hose: {kind: hose, print: J1532, bore: 0.375 in by calliper, outside: 0.66 in by calliper}
  bottom hose: {kind: hose, print: J20, bore: 2.0 in by calliper, outside: 2.36 in by calliper}
  fuel return: {kind: hose, print: 30R7, bore: 0.312 in by calliper, outside: 0.56 in by calliper}
  tank tail: {kind: barb, form: barbed, diameter: 0.343 in by calliper, pipe: 0.312 in by calliper,
    length: 1 1/8 in by rule}
  transfer pump: {kind: hydraulic end, seal: 24 cone, gender: male, thread: M14x1.5, tube: 8 mm nominal}
  fuel filter: {kind: hydraulic end, seal: 45 flare, gender: female, thread: 1/2-20, tube: 5/16 in nominal}
  dipstick: {kind: dipstick, full: 30 1/4 in by rule, add: 31 in by rule, tip: 31 1/2 in by rule,
    width: 0.20 in by calliper, plug: 0.62 in by calliper}
  dipstick tube: {kind: dipstick tube, bore: 0.28 in by calliper, mouth: 0.59 in by calliper, level: 30 3/16 in by rule,
    bottom: 32 1/4 in by rule, outside: 0.625 in by calliper}

mates:
  - {wheel on hub: [wheel, front hub], name: front wheel, between: {disc hat: 0.310 in by calliper},
     nut thread: 9/16-18, nut seat: taper, nut seat angle: 90 deg nominal, nut material: steel, nut end: open,
     nut thread length: 0.75 in by calliper, wheel load: 1350 lb +- 20 lb, bolts: 8, torque: 140 lbf*ft,
     torque from: the truck's sheet (invented), sides: left right}
  - {wheel on hub: [wheel, rear hub], name: rear wheel, between: {drum web: 0.30 in by calliper},
     nut thread: 9/16-18, nut seat: taper, nut seat angle: 90 deg nominal, nut material: steel, nut end: open,
     nut thread length: 0.75 in by calliper, wheel load: 2050 lb +- 20 lb, bolts: 8, torque: 140 lbf*ft,
     torque from: the truck's sheet (invented), sides: left right}
  - {rotor on hub: [front disc, front hub], name: front disc, sides: left right}
  - {rotor in caliper: [front disc, front caliper.body], name: front disc in caliper, sides: left right}
  - {wheel over brake: [wheel, front caliper.body], name: front wheel over caliper,
     between: {disc hat: 0.310 in by calliper}, sides: left right}
  - {rotor on hub: [drum, rear hub], name: rear drum, sides: left right}
  - {drum over shoes: [drum, backing plate.shoes], name: drum over shoes, sides: left right}
  - {wheel over brake: [wheel, drum], name: rear wheel over drum, sides: left right}
  - {brake bracket on housing end: [backing plate.face, housing end], name: backing plate, carries: shoes,
     sides: left right}
  - {axle tube on spring: [spring pad, spring], name: axle on spring, u-bolts go: round the tube,
     u-bolt thread: 9/16-18,
     u-bolt grade: "8", inside width: 3.53 in by calliper, leg length: 7 1/4 in by rule,
     thread length: 2 1/2 in by rule,
     nut height: 0.62 in by calliper, washer: 0.1 in by calliper, u-bolts used: new, plate along: plate pitch,
     plate across: 3.120 in by calliper, plate hole: 0.63 in by calliper, plate thickness: 0.375 in by calliper,
     plate length: 6 1/2 in by rule, plate width: 5 1/2 in by rule, plate bore: 0.75 in by calliper,
     pad angle wanted: 2.0 deg +- 0.1 deg, sides: left right}
  - {bolt through hole: [eye bolt, hanger ear], name: spring eye bolt, between: {eye bush: 3 in by rule,
     near ear: 0.25 in by calliper}, nut thread: 1/2-20, nut height: 0.44 in by calliper, bolt grade: "8",
     nut grade: "8", torque: 85 lbf*ft, torque from: the spring's sheet (invented), sides: left right}
  - {bolt through hole: [shackle bolt, shackle plate], name: shackle bolt, between: {bush: 2 1/2 in by rule,
     near plate: 0.312 in by calliper}, nut thread: M12x1.25, nut height: 10.8 mm by calliper, bolt grade: "8",
     sides: left right}
  - {bolt through hole: [damper stud, damper ear], name: damper at the axle, between: {eye: 1.3 in by calliper},
     nut thread: 1/2-13, nut height: 0.44 in by calliper, bolt grade: "5", nut grade: "5", threads are: zinc plated,
     locked by: all-metal lock nut, sides: left right}

  - {gearbox on engine: [engine.rear, gearbox.front], name: gearbox on engine}
  - {mount on bracket: [engine mount, engine arm], name: engine mount, bolt thread: 3/8-16, bolts: 2,
     bolt grade: "5", sides: left right}
  - {mount on bracket: [gearbox mount, gearbox.mount pad], name: gearbox mount, bolt thread: 1/2-13, bolts: 2,
     bolt grade: "5"}
  - {bolt through hole: [bell bolt, gearbox.bolt boss], name: bell bolts, between: {shield: 0.06 in by calliper},
     bolts: 6, bolt grade: "8", torque: 30 lbf*ft, torque from: the gearbox's sheet (invented)}

  - {flange on flange: [gearbox.flange, shaft flange.face], name: shaft flange on gearbox, bolt: 3/8-24,
     bolt length: 1 1/2 in by calliper, bolts: 4, bolt grade: "8", threads are: oiled}
  - {joint in yoke: [front joint.front caps, shaft flange.ears], name: front joint in flange}
  - {joint in yoke: [front joint.rear caps, shaft.front ears], name: front joint in shaft}
  - {spline in spline: [shaft.stub, shaft.sleeve], name: slip in the shaft, slides: "yes", engaged: 4 in +- 1/16 in}
  - {joint in yoke: [rear joint.front caps, shaft.rear ears], name: rear joint in shaft}
  - {joint in yoke: [rear joint.rear caps, pinion yoke], name: rear joint in pinion yoke}

  - {V-band: [turbine, down pipe.top], name: down pipe on turbine, gasket: "no"}
  - {pipe to pipe: [down pipe.tail, bellows.front], name: bellows on down pipe, method: butt}
  - {pipe to pipe: [bellows.rear, muffler.front], name: muffler on bellows, method: butt}
  - {pipe to pipe: [muffler.rear, tail pipe], name: tail pipe on muffler, method: butt}
  - {sensor in bung: [gas temperature sensor, down pipe.bung], name: gas temperature sensor, use: exhaust}

  - {hydraulic end to end: [front banjo, front caliper.inlet], name: front banjo, use: brake, sides: left right}
  - {hydraulic end to end: [axle pipe.outer, wheel cylinder], name: wheel cylinder, use: brake, sides: left right}
  - {hydraulic end to end: [axle pipe.inner, axle tee.side], name: axle pipe in tee, use: brake, sides: left right}
  - {hydraulic end to end: [rear hose, axle tee.top], name: rear hose in tee, use: brake}
  - {hydraulic end to end: [steering hose, steering pump.pressure], name: steering hose, use: steering}
  - {hydraulic end to end: [cooler pipe, gearbox.cooler out], name: cooler pipe, use: gearbox oil}
  - {hydraulic end to end: [cooler hose end, gearbox.cooler back], name: cooler return, use: gearbox oil}
  - {hose on barb: [steering return, steering pump.back], name: steering return, use: steering return, pressure: 60 psi,
     clamp least: 0.5 in nominal, clamp greatest: 0.9 in nominal}
  - {hose on barb: [cooler hose, cooler.tail], name: cooler hose, use: gearbox oil, pressure: 80 psi,
     clamp least: 0.5 in nominal, clamp greatest: 0.8 in nominal}
  - {hose on barb: [bottom hose, engine.water], name: bottom hose, use: coolant, pressure: 16 psi,
     clamp least: 1 9/16 in nominal, clamp greatest: 2 3/4 in nominal}
  - {hose on barb: [fuel return, tank tail], name: fuel return, use: fuel, pressure: 5 psi,
     clamp least: 0.43 in nominal, clamp greatest: 0.75 in nominal}
  - {dipstick and tube: [dipstick, dipstick tube], name: gearbox dipstick}
  - {dipstick tube in case: [dipstick tube, gearbox.stick hole], name: dipstick tube in gearbox}

chains:
  - {from: gearbox.cooler out, to: cooler.in, use: gearbox oil, by: hose}
  - {from: gearbox.cooler back, to: cooler.in, use: gearbox oil}
  - {from: transfer pump, to: fuel filter, use: fuel}
"""

VAN_PARTS = HEAD + """parts:
  wheel: {kind: road wheel, holes: 6, bolt circle: 180 mm nominal, bore: 138.9 mm by calliper,
    pad thickness: 12 mm by calliper, stud hole: 15.6 mm by calliper, seat: taper, seat angle: 60 deg +- 0.5 deg,
    offset: 109 mm nominal, load: 900 kg +- 1 kg}
  hub: {kind: wheel hub, material: steel, studs: 6, bolt circle: 180 mm nominal, wheel register: 138.74 mm +- 0.02 mm,
    wheel register height: 18 mm by calliper, stud thread: M14x1.5, stud length: 40 mm by calliper,
    stud shoulder: 4 mm by calliper, flange diameter: 215 mm by calliper}
  pad: {kind: spring seat, material: steel, tube diameter: 90 mm by calliper, pad width: 70 mm by calliper,
    pad height: 14 mm by calliper, pad radius: 45 mm +- 0.3 mm, pin hole: 16.3 mm by calliper,
    pin hole depth: 12 mm by calliper, pad angle: 1.0 deg +- 0.1 deg}
  spring: {kind: leaf spring, spring width: 69.8 mm by calliper, stack: 34 mm by calliper,
    pin head: 15.9 mm by calliper, pin head height: 9 mm by calliper}
  shaft: {ports: {
    front ears: {kind: yoke, series: "1330", cap bore: 26.98 mm by calliper, width: 92.1 mm by calliper, clips: outside,
      retention: full round},
    rear ears: {kind: yoke, series: "1330", cap bore: 26.97 mm by calliper, width: 92.0 mm by calliper, clips: outside,
      retention: full round}}}
  joint: {kind: joint caps, series: "1330", cap: 26.97 mm by calliper, span: 92.0 mm by calliper, clips: outside}
  pinion joint: {kind: joint caps, series: "1310", cap: 26.97 mm by calliper, span: 81.8 mm by calliper, clips: outside}
  hanger bolt: {kind: bolt, thread: M10x1.5, length: 45 mm by calliper, shank length: 20 mm by calliper}
  hanger ear: {kind: bolt hole, material: steel, form: plain, diameter: 10.9 mm by calliper,
    thickness: 5 mm by calliper, edge distance: 18 mm by rule}
  brake pipe: {kind: hydraulic end, seal: bubble, gender: male, thread: M10x1, tube: 4.75 mm nominal}
  load valve: {kind: hydraulic end, seal: bubble, gender: female, thread: M12x1, tube: 6 mm nominal}

mates:
  - {wheel on hub: [wheel, hub], name: rear wheel, between: {disc hat: 8 mm by calliper}, nut thread: M14x1.5,
     nut seat: taper, nut seat angle: 60 deg nominal, nut material: steel, nut end: open,
     nut thread length: 18 mm by calliper, wheel load: 730 kg +- 10 kg, sides: left right}
  - {axle tube on spring: [pad, spring], name: axle on spring, u-bolts go: round the tube, u-bolt thread: M14x1.5,
     inside width: 90.6 mm by calliper, leg length: 175 mm by rule, thread length: 60 mm by rule,
     nut height: 14 mm by calliper, washer: 2.5 mm by calliper, u-bolts used: used, plate along: 104.6 mm by calliper,
     plate across: 84.4 mm by calliper, plate hole: 16 mm by calliper, plate thickness: 10 mm by calliper,
     plate length: 150 mm by rule, plate width: 130 mm by rule, pad angle wanted: 1.1 deg +- 0.1 deg, sides: left right}
  - {joint in yoke: [joint, shaft.front ears], name: front joint in shaft}
  - {joint in yoke: [pinion joint, shaft.rear ears], name: pinion joint in shaft}
  - {bolt through hole: [hanger bolt, hanger ear], name: centre bearing bolts, between: {rubber: unknown},
     nut thread: M10x1.5, nut height: 8.4 mm by calliper, sides: left right}
  - {hydraulic end to end: [brake pipe, load valve], name: brake pipe in load valve, use: brake}

chains:
  - {from: brake pipe, to: load valve, use: brake}
"""
