"""What the example builds say of making their exhausts: stock, gas, hangers, joints, stands. Invented like the rest; no
verdict stands in it, each follows from the sizes.
"""

ESTATE_MAKING = """\
    making:             # invented like the rest; the greatest power is that of the engine, under power
      material: aluminised steel
      kerf: 2 mm
      sticks: [{name: stick, length: 2 m, price: 22}, {name: short stick, length: 1 m, price: 13}]
      on the shelf: {U-bend: 1}
      parts: {flex: {rate: 6 N/mm to 9 N/mm}}
      gas: {fuel: petrol, mixture: 0.88, at the outlet: 680 degC +- 60 degC, air: 25 degC, wanted: 15 kPa}
      covers: [wrapped: 0 mm to 500 mm]
      compare:
        - {diameter: 57 mm, wall: 1.5 mm, price: 11 per m}
        - {diameter: pipe, wall: 1.5 mm, price: 14 per m}
        - {diameter: 70 mm, wall: 1.5 mm, price: 16 per m}
      hangers:
        rails:
          - {from: rail.R1, to: rail.R2, every: 150 mm, by: weld, price: 9}
          - {from: arch.R1, to: arch.R2, every: 150 mm, by: bolt, price: 7,
             bracket: {arm: 60 mm, breadth: 30 mm, depth: 6 mm}}
        at most: 5
        rubber: {stiffness: 6 N/mm +- 1 N/mm, level: 2 N/mm to 4 N/mm, drop: 50 mm, most: 90 N, stretch: 20 mm}
        rod: 12 mm
        reach: 450 mm
        idle: 700 rpm to 850 rpm
        cylinders: 6
        outlet: 60 N*m
      joints: {band: V-band}
      stands: {lifted: 450 mm, clear: 3 mm}
      sensor: {ports: 450 mm, harness: right}
      branches:
        dump: {at: 1200 mm, clock: 90 deg, angle: 40 deg, diameter: 50 mm, wall: 1.5 mm, length: 200 mm}
"""

FLATBED_MAKING = """\
    making:             # invented like the rest
      material: 409
      kerf: 1/16 in
      sticks: [{name: ten feet, length: 10 ft, price: 48}]
      on the shelf: {ten feet: 1}
      parts: {flex: {rate: 30 lbf/in to 60 lbf/in}}
      gas: {power: 180 hp, fuel: diesel, mixture: 1.4, at the outlet: 930 degF +- 90 degF, air: 80 degF, wanted: 3 psi}
      hangers:
        rails:
          - {from: rail.R1, to: rail.R2, every: 6 in, by: bolt, price: 12, bracket: {arm: 3 in, breadth: 1 1/4 in,
             depth: 1/4 in, bolts: 2, bolt radius: 3/4 in, thread: 5/16-18, grade: 5}}
        at most: 5
        rubber: {shore: 50, area: 0.25 in2, length: 1 1/2 in, drop: 2 in, most: 25 lbf, stretch: 3/4 in}
        rod: 1/2 in
        reach: 18 in
        idle: 750 rpm to 850 rpm
        cylinders: 6
        outlet: 60 lbf*ft
      joints: {band: clamp}
      stands: {lifted: 12 in, clear: 1/8 in}
      cones:
        tip: {at: tail, diameter: 3 1/2 in, wall: 0.065 in, length: 4 1/2 in, lap: 3/8 in}
"""

ESTATE_EXHAUST_ORDERS = """\
exhaust shop order:             # not finished: the tail and the zinc have not been looked at
  contact: A. Builder (invented), 000 000
  power: 130 kW
  cylinders: 6
  charging: none
  fuel: petrol
  material: aluminised steel
  sensors: yes
"""

FLATBED_PARTS_LAID = """\
    parts:              # where they lie on the pipe
      - flex: {kind: bellows, leg: 1, from: 5 in, length: 6 in, diameter: 4 in}
      - muffler: {kind: muffler, leg: 2, from: 24 in, length: 20 in, diameter: 7 in}
      - band: {kind: joint, leg: 4, from: 9 in, length: 2 1/2 in, diameter: 4 in}
"""

FLATBED_EXHAUST_ORDERS = """\
exhaust shop order:             # should a shop make it instead
  contact: A. Builder (invented), 000 000
  job number: none yet
  wanted by: any day
  displacement: 5.2 l
  power: 180 hp
  cylinders: 6
  charging: turbocharger
  fuel: diesel
  noise limit: local rule for light lorries, not looked up yet
  material: stainless 409
  zinc: no
  outlet flange: half of a V-band, 3.66 in across its flange, bore 2.9 in
  outlet gasket: flat, steel
  joint clocking: nuts to the right, reached from beside
  sensors: no
  part ends: muffler in the middle at both ends, arrow rearward
  hanger rubber: solid blocks, shore 50
  beyond cabin: yes
  finish: bare
  removal: the tail, for the axle
  purge: shop's own way
  fixed points: see the points and the smallest gaps

coating order:
  contact: A. Builder (invented), 000 000
  job number: none yet
  wanted by: after fit-up
  process: ceramic exhaust coating
  colour: dark grey, thickness as the maker says
  coating limit: 1300 degF
  cure temperature: 480 degF
  part: exhaust from outlet to tail
  material: stainless 409, bent tube and welds
  old finish: none, new tube
  blast: yes, with masks
  masks: faces of the outlet flange, band and its ends, the bellows
  remove before: rubbers, band, gaskets
  closed tubes: none
  signed off: no
  hardened: no
  brake parts: no
  wheels: no
"""
