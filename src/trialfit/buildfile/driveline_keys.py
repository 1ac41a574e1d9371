"""Keys of the sections about the driveline: shaft, power, the two orders, ring and pinion."""

from trialfit.buildfile.keys import Key
from trialfit.driveline.order_fields import BUILDER, IF_KNOWN, Asked, asked_fields

SHAFT = (
    Key("front", "point", "centre of the front joint, on the engine; with front offset the face that was measured",
        "gearbox.out", must=True),
    Key("rear", "point", "centre of the rear joint, on the axle; with rear offset the face that was measured", "pinion",
        must=True),
    Key("diameter", "amount", "outside diameter of its tube", "76 mm", must=True),
    Key("slip", "slip", "what takes up the change of length: slip-yoke, slip-in-shaft or none", "slip-yoke"),
    Key("front axis", "two points", "two hardpoints on the gearbox's output axis, the one in the housing first",
        "box.back box.out"),
    Key("rear axis", "two points", "two hardpoints on the pinion's axis, the one in the housing first",
        "diff.front pinion"),
    Key("front offset", "amount", "from the measured face out to the centre of the front joint", "55 mm"),
    Key("rear offset", "amount", "from the measured face out to the centre of the rear joint", "48 mm"),
    Key("centre bearing", "centre bearing", "of a shaft in two pieces", "{at: hanger, joint behind: 60 mm}"),
    Key("double joint", "amount", "in front: distance between its two crosses", "70 mm"),
    Key("phase", "phases", "turn from front yoke to rear yoke of each piece; 0 deg is in line", "0 deg"),
    Key("wrap", "two angles", "least and most wind of the axle under torque, nose up plus", "0 deg to 3 deg"),
    Key("spline", "spline", "the slip as it stands at ride height",
        "{diameter: 35 mm, engaged: 70 mm, room: {barrel at the seal: 25 mm}}"),
    Key("tube", "shaft tube", "what the tube is, and its yokes", "{material: steel, wall: 2.1 mm}"),
    Key("joints", "shaft joints", "series of each joint, or its sizes by calliper",
        "{front: 1310, rear: {cap: 27.0 mm, span: 81.8 mm}}"),
    Key("spring seat", "spring seat", "for the wedge that mends a welded axle",
        "{from: seat.f, to: seat.r, length: 120 mm, spring: over the axle}"),
    Key("bearings apart", "bearings apart", "distance of the two bearings of the gearbox's output, and of the pinion's",
        "{gearbox: 180 mm, pinion: 60 mm}"),
)

CENTRE = (
    Key("at", "point", "hardpoint in the middle of the bearing, on the frame", "hanger", must=True),
    Key("joint behind", "amount", "from the middle of the bearing back to the centre of the middle joint", "60 mm",
        must=True),
    Key("stiffness", "stiffness", "of its rubber, sideways; left out, it counts as stiff", "300 N/mm"),
    Key("to one piece", "yes or no", "asks whether the shaft may become one piece", "yes"),
    Key("may go", "names", "shapes that could be cut out if the shaft became one piece", "[hanger bracket]"),
)

SPLINE = (
    Key("diameter", "amount", "outer diameter of the spline", "35 mm", must=True),
    Key("engaged", "amount", "length of spline engaged at ride height", "70 mm", must=True),
    Key("room", "rooms", "room at ride height before each thing that can bottom, by its name",
        "{barrel at the seal: 25 mm}", must=True),
)

TUBE = (
    Key("material", "tube material", "steel, aluminium or wound carbon", "steel", must=True),
    Key("wall", "amount", "thickness of the wall", "2.1 mm", must=True),
    Key("yokes", "two masses", "what the front and the rear yoke weigh beyond the tube they stand for",
        "1.2 kg, 0.9 kg"),
    Key("yoke length", "length", "from the joint's centre to the weld", "60 mm"),
    Key("winding", "angle", "of wound carbon: between its fibres and the axis", "15 deg"),
    Key("strength", "number", "how many times the torque it sees it must bear before it yields; 1 if left out", "2"),
)

JOINT = (
    Key("series", "text", "name of the joint's series", "1310"),
    Key("cap", "amount", "diameter of a cap of the first pair", "27.0 mm"),
    Key("span", "amount", "width over the caps of the first pair", "81.8 mm"),
    Key("second cap", "amount", "diameter of a cap of the second pair", "27.0 mm"),
    Key("second span", "amount", "width over the caps of the second pair", "92.1 mm"),
)

JOINTS = tuple(Key(name, "shaft joint", f"the {name} joint: its series, or its sizes", example) for name, example in
               (("front", "1310"), ("middle", "1310"), ("rear", "{cap: 27.0 mm, span: 81.8 mm}")))

SEAT = (
    Key("from", "point", "front hardpoint along the spring seat, on the axle", "seat.f", must=True),
    Key("to", "point", "rear hardpoint along it", "seat.r", must=True),
    Key("length", "length", "of the pad along the vehicle", "120 mm", must=True),
    Key("spring", "spring place", "over the axle or under the axle", "over the axle", must=True),
)

APART = (
    Key("gearbox", "length", "of the output shaft", "180 mm", must=True),
    Key("pinion", "length", "of the pinion", "60 mm", must=True),
)

POWER = (
    Key("torque", "peak", "greatest torque of the engine and the speed where it is", "400 N*m at 3500 rpm"),
    Key("power", "peak", "greatest power of the engine and the speed where it is", "200 kW at 6000 rpm"),
    Key("curve", "curve", "points of the engine's full-throttle torque, in place of the two peaks",
        "{1500 rpm: 310 N*m, 3500 rpm: 400 N*m, 6000 rpm: 318 N*m}"),
    Key("from", "rotation", "slowest speed at which the engine pulls; the curve's first point if left out", "1000 rpm"),
    Key("to", "rotation", "fastest speed of the engine", "6400 rpm", must=True),
    Key("gears", "ratios", "ratios of the gearbox, first gear first", "3.1, 1.9, 1.3, 1, 0.75", must=True),
    Key("box", "box", "manual or automatic", "manual", must=True),
    Key("converter", "converter", "the torque converter of an automatic",
        "{stall: 2200 rpm, ratio: 2.1, behind: 350 N*m, locks: yes}"),
    Key("transfer", "ratio", "ratio of the transfer box on the road; left out, there is none", "1"),
    Key("low range", "ratio", "ratio of its low range", "2.6"),
    Key("axle", "ratio", "axle ratio that is in or wanted", "3.73", must=True),
    Key("axle choices", "ratios", "axle ratios on offer, to be ranked", "3.31, 3.73, 4.10"),
    Key("tyre", "tyre code", "size code on the sidewall", "225/70R15"),
    Key("rolled", "rollout", "how far the loaded tyre rolls in so many turns, in place of the code's rule",
        "10.04 m in 5 turns"),
    Key("mass", "mass", "of the vehicle as it runs", "1540 kg"),
    Key("front axle mass", "mass", "that the front axle carries", "800 kg"),
    Key("rear axle mass", "mass", "that the rear axle carries", "740 kg"),
    Key("drag", "number", "drag coefficient", "0.36"),
    Key("frontal area", "area", "about 0.85 of width times height", "2.1 m2"),
    Key("rolling resistance", "number", "over weight; 0.013 if left out", "0.013"),
    Key("grip", "number", "share of the axle's weight that the tyres hold", "0.9"),
    Key("factor", "number", "service factor on the torque that the shaft sees; 1 if left out", "1.5"),
    Key("factor from", "text", "where the service factor is from", "shop's own rule"),
    Key("use", "use", "what the gearing is for, the most wanted first",
        "{cruise: 110 km/h at 2300 rpm to 2600 rpm, launch: 9 to 12}"),
    Key("turns", "turns test", "turns counted under the vehicle, for a ratio that is not known",
        "{shaft: 18.6, wheel: 10, other wheel: 0}"),
    Key("speedometer", "speedometer", "what it was right for before", "{tyre: 205/65R15, axle: 3.9, teeth: 18}"),
)

CONVERTER = (
    Key("stall", "rotation", "stall speed", "2200 rpm", must=True),
    Key("ratio", "number", "torque out over torque in at stall", "2.1", must=True),
    Key("behind", "torque", "engine torque the stall speed holds for; this engine's greatest if left out", "350 N*m"),
    Key("locks", "yes or no", "whether a clutch locks it at a cruise", "yes"),
)

USE = (
    Key("cruise", "text", "road speed and the band of engine speeds wanted there in top gear",
        "110 km/h at 2300 rpm to 2600 rpm"),
    Key("launch", "text", "overall ratio in first gear: from, to; or at least", "9 to 12"),
    Key("crawl", "text", "overall ratio in first gear and low range", "40 to 60"),
    Key("tow", "text", "road speed to hold, the grade, and the trailer's mass", "80 km/h up 6 % with 1500 kg"),
    Key("shaft", "speed", "fastest road speed, at which the shaft must stay within its limit", "170 km/h"),
)

TURNS = (
    Key("shaft", "number", "turns of the propeller shaft", "18.6", must=True),
    Key("wheel", "number", "turns of the wheel that was turned", "10", must=True),
    Key("other wheel", "number", "turns of the other wheel, backward minus; left out, nobody watched it", "0"),
)

SPEEDOMETER = (
    Key("tyre", "tyre code", "size code of the tyre it was right for", "205/65R15", must=True),
    Key("axle", "number", "axle ratio it was right for", "3.9", must=True),
    Key("teeth", "whole number", "of its driven gear", "18"),
)

GEAR_SET = (
    Key("bearings", "bearings", "pinion bearings: new or used", "new", must=True),
    Key("sleeve", "sleeve", "crush sleeve or solid spacer", "crush sleeve", must=True),
    Key("backlash", "two lengths", "the axle's own figure", "0.15 mm to 0.25 mm"),
    Key("backlash variation", "length", "the axle's own figure: the most it may differ round the ring", "0.05 mm"),
    Key("preload", "two torques", "the axle's own figure, for the bearings named above", "1.8 N*m to 2.6 N*m"),
    Key("figures from", "text", "the sheet that these figures stand in", "axle's own manual"),
    Key("oil", "text", "by the axle's own sheet", "80W-90 with additive"),
    Key("shim", "shim place", "where the pinion's depth shim lies", "behind the inner cup"),
    Key("backlash read", "lengths", "backlash at three places or more round the ring gear",
        "0.18 mm, 0.20 mm, 0.17 mm"),
    Key("drive", "contact", "where the mark lies on the side that bulges: toe, centre or heel; top, middle or root",
        "centre middle"),
    Key("coast", "contact", "the same on the hollow side", "toe root"),
)

_UNITS = {"mm": "length", "deg": "angle", "N*m": "torque", "kg": "mass", "km/h": "speed", "rpm": "rotation",
          "kW": "power", "l": "volume", "degC": "temperature", "-": "ratio"}
ORDERS = {"driveshaft order": "driveshaft", "differential order": "differential",
          "machine shop order": "machine_shop", "exhaust shop order": "exhaust_shop", "coating order": "coater"}
"""Section of the file to the shop's list of fields."""


def typed_fields(kind: str) -> dict[str, Asked]:
    """The fields of a shop's list that a builder may answer, by the key they are typed under."""
    return {asked.key.replace("_", " "): asked for asked in asked_fields(kind)
            if asked.row["asked"] in (BUILDER, IF_KNOWN) or asked.key == "torque_drive"}


def dimension_of(asked: Asked) -> str:
    """Dimension of an amount of the list."""
    return _UNITS[asked.row["unit"]]


def order_example(asked: Asked) -> str:
    """What the answer may look like."""
    row = asked.row
    if row["kind"] == "choice":
        return asked.choices[0]
    if row["kind"] == "word":
        return row["measure"] if row["measure"].startswith("write") else "as on the old part"
    low, high = float(row["low"]), float(row["high"])
    middle = (low * high) ** 0.5 if low > 0.0 else 0.5 * (low + high)
    figure = f"{middle:.3g}" if row["kind"] == "number" else f"{middle:.0f}"
    unit = "" if row["unit"] == "-" else f" {row['unit']}"
    return f"{float(figure):g}{unit}"
