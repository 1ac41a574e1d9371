"""Keys under ``making:`` of a route: what it is made of, hung on and taken apart at."""

from trialfit.buildfile.keys import Key

APART = ("clamp", "V-band", "slip joint", "flange")
"""How a joint may come apart."""

MAKING = (
    Key("material", "exhaust tube material", "what the tube is made of", "409"),
    Key("kerf", "length", "what the saw takes", "2 mm"),
    Key("sticks", "sticks", "straight lengths of the tube that can be bought",
        "- {name: stick, length: 2 m, price: 22}"),
    Key("on the shelf", "shelf", "how many of a bend of stock, or of a stick, are there already", "{U-bend: 1}"),
    Key("parts", "carried parts", "mass and loss of a part on the route, and rate of a bellows",
        "{rear box: {mass: 4.5 kg, loss: 2}}"),
    Key("gas", "gas", "the gas at full power", "{power: 130 kW, fuel: petrol, at the outlet: 680 degC +- 60 degC}"),
    Key("covers", "covers", "what is round the pipe, from and to along its middle, counted from the outlet",
        "- wrapped: 0 mm to 900 mm"),
    Key("compare", "tubes", "tubes to compare the laid one with; left out, those under find",
        "- {diameter: 63.5 mm, wall: 1.5 mm, price: 14 per m}"),
    Key("hangers", "hangers", "where it may hang and on what", "{points: [{at: hook.1, by: bolt}], rubber: {...}}"),
    Key("joints", "joints parted", "how each joint on the route comes apart: clamp, V-band, flange, or slip joint and "
        "how far it goes in", "{band: V-band, tail: slip joint 50 mm}"),
    Key("stands", "stands", "how the vehicle stands while the exhaust is taken out", "{lifted: 400 mm}"),
    Key("sensor", "oxygen sensor", "where an oxygen sensor is wanted", "{after: flex, harness: right}"),
    Key("branches", "branches", "dump pipes and other branches, each under its name",
        "dump: {at: 1200 mm, clock: 90 deg, angle: 30 deg, diameter: 50 mm, wall: 1.5 mm, length: 250 mm}"),
    Key("cones", "cones", "cones to pipe of another size ahead of the outlet or behind the tail, each under its name",
        "outlet cone: {at: outlet, diameter: 76.2 mm, wall: 1.5 mm}"),
)

STICK = (
    Key("name", "text", "what it is called", "stick", must=True),
    Key("length", "length", "of one", "2 m", must=True),
    Key("price", "money", "of one", "22"),
)

CARRIED = (
    Key("mass", "mass", "of the part", "4.5 kg"),
    Key("loss", "number", "of pressure, in velocity heads", "2"),
    Key("rate", "stiffness range", "of a bellows along its axis", "6 N/mm to 10 N/mm"),
)

GAS = (
    Key("at the outlet", "temperature with doubt", "temperature of the gas there", "680 degC +- 60 degC", must=True),
    Key("power", "power", "of the engine at the crank", "130 kW"),
    Key("fuel", "fuel", "what it burns", "petrol"),
    Key("mixture", "number", "air over what burns all the fuel; petrol at full power about 0.88", "0.88"),
    Key("flow", "mass flow", "of the gas, where it is known, in place of power", "0.15 kg/s"),
    Key("air", "temperature", "of the air about the pipe", "25 degC"),
    Key("wanted", "pressure", "back pressure that you want to stay under", "15 kPa"),
)

HANGERS = (
    Key("points", "hang points", "hardpoints that a hanger may use", "- {at: hook.1, by: bolt}"),
    Key("rails", "hang rails", "stretches between two hardpoints on which it may sit anywhere",
        "- {from: rail.R1, to: rail.R2, every: 100 mm, by: weld}"),
    Key("at most", "whole number", "hangers", "4"),
    Key("rubber", "hanger rubber", "what it hangs in", "{stiffness: 10 N/mm +- 2 N/mm, drop: 50 mm}"),
    Key("rod", "length", "diameter of the rod", "10 mm"),
    Key("rod bends", "length", "radius of its bends, of its middle", "20 mm"),
    Key("reach", "length", "farthest a rod may go", "350 mm"),
    Key("idle", "rotation range", "idle speed", "700 rpm to 900 rpm"),
    Key("cylinders", "whole number", "of the engine, four-stroke", "6"),
    Key("outlet", "torque", "most that the joint at the outlet may be bent by", "30 N*m"),
    Key("use", "hanger places", "places that you have decided on; left out, the least dear choice is looked for",
        "[hook.1, rail.R1 to rail.R2 at 400 mm]"),
)

_BY = Key("by", "bolt or weld", "how the hanger is fixed there", "bolt", must=True)
_PRICE = Key("price", "money", "of a hanger there, with its work", "6")
_BRACKET = Key("bracket", "bracket", "flat bar that holds the rubber", "{arm: 40 mm, breadth: 30 mm, depth: 5 mm}")

HANG_POINT = (
    Key("at", "point", "the hardpoint", "hook.1", must=True), _BY, _PRICE,
    Key("most", "force", "most that it may carry", "150 N"),
    Key("not", "text", "why it may not be used after all", "petrol filler above it"), _BRACKET,
)

HANG_RAIL = (
    Key("from", "point", "hardpoint at one end", "rail.R1", must=True),
    Key("to", "point", "hardpoint at the other end", "rail.R2", must=True),
    Key("every", "length", "from one place looked at to the next", "100 mm", must=True), _BY, _PRICE, _BRACKET,
)

BRACKET = (
    Key("arm", "length", "from the frame to where the rubber hangs", "40 mm", must=True),
    Key("breadth", "length", "of the bar across the load", "30 mm", must=True),
    Key("depth", "length", "of the bar along the load", "5 mm", must=True),
    Key("fillet", "length", "leg of its fillet welds", "3 mm"),
    Key("weld", "length", "length of each of its two fillets", "30 mm"),
    Key("bolts", "whole number", "that hold it", "2"),
    Key("bolt radius", "length", "from the middle of the bolts to each", "15 mm"),
    Key("thread", "text", "of its bolts", "M8"),
    Key("grade", "text", "of its bolts", "\"8.8\""),
)

RUBBER = (
    Key("drop", "length", "from the hole at the frame down to the rod's", "50 mm", must=True),
    Key("stiffness", "stiffness range", "upright, measured with a known weight", "10 N/mm +- 2 N/mm"),
    Key("level", "stiffness range", "fore, aft and sideways; left out, the usual range", "3 N/mm to 8 N/mm"),
    Key("shore", "number", "hardness, Shore A, where the stiffness is not measured", "55"),
    Key("area", "area", "section of one strand, beside shore", "150 mm2"),
    Key("length", "length", "free length of a strand, beside shore", "35 mm"),
    Key("strands", "whole number", "side by side", "2"),
    Key("most", "force", "that it may carry all the time", "80 N"),
    Key("stretch", "length", "most that it may be pulled from rest", "12 mm"),
)

STANDS = (
    Key("lifted", "length", "how far the stands lift the vehicle from where it stands on its wheels", "400 mm",
        must=True),
    Key("clear", "length", "gap wanted on the way", "3 mm"),
    Key("ease", "length", "how far an opened joint can be sprung apart", "5 mm"),
)

SENSOR = (
    Key("after", "text", "part of the route that it must lie behind", "flex"),
    Key("before", "text", "part of the route that it must lie ahead of", "front cat"),
    Key("turbine", "yes or no", "whether the outlet is a turbine's", "no"),
    Key("ports", "length", "length of pipe from the ports to the outlet", "450 mm"),
    Key("harness", "left or right", "side that its harness comes from", "right"),
    Key("length", "length", "how far it stands out of the pipe, bung and all", "80 mm"),
    Key("bung", "length", "outside diameter of its bung", "28 mm"),
    Key("lead", "length", "of its lead, beside plug", "500 mm"),
    Key("plug", "spot", "where its plug comes to", "[900 mm, 300 mm right, 500 mm]"),
)

BRANCH = (
    Key("at", "length", "where its middle meets the pipe's, along the pipe from the outlet", "1200 mm", must=True),
    Key("clock", "angle", "which way it goes off: 0 up, plus clockwise looking against the flow", "90 deg", must=True),
    Key("angle", "angle", "between it and the flow", "30 deg", must=True),
    Key("diameter", "amount", "outside diameter", "50 mm", must=True),
    Key("wall", "amount", "thickness of its wall", "1.5 mm", must=True),
    Key("length", "length", "from where the middles meet to its end", "250 mm", must=True),
    Key("offset", "length", "how far its middle passes beside the pipe's", "5 mm"),
    Key("brings", "share", "share of the gas behind it that comes in here; left out, it lets gas out", "50 %"),
)

CONE = (
    Key("at", "outlet or tail", "ahead of the outlet, or behind the tail", "outlet", must=True),
    Key("diameter", "amount", "outside diameter of its far end; its near end is the pipe's", "76.2 mm", must=True),
    Key("wall", "amount", "thickness of its sheet", "1.5 mm", must=True),
    Key("length", "length", "along its axis; left out, by the rule for its angle", "60 mm"),
    Key("lap", "length", "lap for its seam; left out, the seam is butted", "8 mm"),
)
