"""Every key of a build file: what it says, and an example. The reader and the editor's schema both go by this table."""

from dataclasses import dataclass

from trialfit.standards.hose_ends import USES as LINE_USES

VERSION = 1
"""Newest version of the format that is read here."""


@dataclass(frozen=True, slots=True)
class Key:
    """One key: ``form`` is the name of what its value looks like (see ``editor_schema``), ``must`` says that its
    table is nothing without it."""

    name: str
    form: str
    about: str
    example: str
    must: bool = False


TOP = (
    Key("trialfit", "version", "version of the build file's format", "1"),
    Key("name", "text", "what the build is called", "Estate, axle swap"),
    Key("note", "block", "anything to remember about the vehicle", "Invented vehicle."),
    Key("units", "system", "system in which answers are shown: metric or inch", "metric"),
    Key("length unit", "length unit", "unit of a length typed without one; left out, such a number is refused", "mm"),
    Key("fraction", "fraction", "finest fraction of an inch shown: 16 or 32", "16"),
    Key("paper", "paper", "paper in the printer: A4 or Letter", "A4"),
    Key("load state", "block", "how the vehicle stood and what was in it while it was measured",
        "two people, half a tank, on its wheels"),
    Key("instruments", "instruments", "how far your own tapes and gauges err", "tape: {under car: 3 mm}"),
    Key("readings", "readings", "the notebook: one reading a line", "- tape eye.L pad.L 612 mm"),
    Key("sides", "sides", "on which side a hardpoint lies, where readings leave a mirror image open", "eye.L: left"),
    Key("bodies", "bodies", "hardpoints that do not ride on the frame", "axle: [pad.L, pad.R, pinion]"),
    Key("suspension", "suspension", "what holds the live rear axle", "type: leaf springs"),
    Key("stops", "stops", "how far the axle goes from ride height", "{bump: 80 mm, droop: 90 mm, apart: 900 mm}"),
    Key("engine mounts", "mounts", "how far the engine rocks on its mounts",
        "{axis: mount.F mount.R, right up: 2 deg, right down: 3 deg}"),
    Key("shaft", "shaft", "the shaft between gearbox and axle",
        "{front: gearbox.out, rear: pinion, diameter: 76 mm}"),
    Key("power", "power section", "engine, gearbox, axle ratio, tyre, and what they are for",
        "{torque: 400 N*m at 3500 rpm, gears: 3.1 1.9 1.3 1, box: manual, axle: 3.73, ...}"),
    Key("driveshaft order", "driveshaft order", "your answers to the driveshaft shop's questions",
        "{contact: A. Builder, axle loaded: yes}"),
    Key("differential order", "differential order", "your answers to the differential shop's questions",
        "{contact: A. Builder, carrier type: open}"),
    Key("machine shop order", "machine shop order", "your answers to the machine shop's questions, for all parts",
        "{contact: A. Builder, 000 000}"),
    Key("exhaust shop order", "exhaust shop order", "your answers to the exhaust shop's questions",
        "{contact: A. Builder, 000 000}"),
    Key("coating order", "coating order", "your answers to the coater's questions", "{contact: A. Builder, 000 000}"),
    Key("ring and pinion", "gear set", "what is known of ring and pinion, for their sheet",
        "{bearings: new, sleeve: crush sleeve}"),
    Key("shapes", "shapes", "what takes up room, each thing under its name",
        "axle tube: {tube: axle.L axle.R, diameter: 76 mm, kind: axle}"),
    Key("parts", "fitted parts", "parts that are to be joined, each under its name with its ports",
        "rear hub: {kind: wheel hub, ...}"),
    Key("mates", "mates", "joints between the ports of parts", "- wheel on hub: [wheel, rear hub.face]"),
    Key("chains", "chains", "pairs of ends for which a chain of standard fittings is looked for",
        "- {from: caliper.inlet, to: hard line.end, use: brake, by: hose, length: 300 mm}"),
    Key("exhaust", "exhaust", "one route, or several under their names", "main: {diameter: 63.5 mm, ...}"),
    Key("gaps", "gaps", "your own least gaps between two things or kinds of thing", "- exhaust.main / floor = 30 mm"),
    Key("rules", "rules", "which version of a rule is in force", "shaft-to-tunnel: shop rule"),
)

INSTRUMENT = (
    Key("measures", "measures", "length, angle or size", "length"),
    Key("limit", "length or angle", "how far it may be out, whatever it reads", "1 mm"),
    Key("per metre", "length", "how much further it may be out for each metre begun", "0.4 mm"),
    Key("hook", "length", "how far its end hook may be out", "0.5 mm"),
    Key("under car", "length or angle", "what crouching, sag and reaching round things add", "3 mm"),
    Key("source", "text", "where the figures are from", "maker's leaflet"),
)

LINK = (
    Key("from", "point", "hardpoint on the frame", "lower.f.L", must=True),
    Key("to", "point", "hardpoint on the axle", "lower.a.L", must=True),
    Key("stiffness", "stiffness", "of its bushes along the rod", "2000 N/mm"),
)

LINKS = (
    Key("type", "suspension type", "four links and lateral rod, three links and lateral rod, triangulated four links, "
        "or leaf springs", "four links and lateral rod", must=True),
    Key("links", "links", "each link's name with its hardpoint on the frame, then the one on the axle",
        "- lower left: lower.f.L lower.a.L", must=True),
    Key("rod", "link", "lateral rod: hardpoint on the frame, then the one on the axle", "rod.f rod.a"),
)

LEAVES = (
    Key("type", "suspension type", "leaf springs", "leaf springs", must=True),
    Key("left", "leaf", "the left spring", "{front eye: eye.L, pad: pad.L, ...}", must=True),
    Key("right", "leaf", "the right spring", "{front eye: eye.R, pad: pad.R, ...}", must=True),
)

LEAF = (
    Key("front eye", "point", "fixed eye, on the frame", "eye.L", must=True),
    Key("pad", "point", "spring seat, on the axle", "pad.L", must=True),
    Key("rear eye", "point", "end of the main leaf at ride height", "rear.L", must=True),
    Key("shackle", "point", "upper pivot of the shackle, on the frame", "shackle.L", must=True),
    Key("clamp", "amount", "length that the U-bolts hold stiff", "120 mm"),
)

STOPS = (
    Key("bump", "length", "from ride height up to the bump stops", "80 mm", must=True),
    Key("droop", "length", "from ride height down to the droop stops", "90 mm", must=True),
    Key("apart", "length", "between the left stop and the right one, across the vehicle", "900 mm", must=True),
    Key("roll", "angle", "most roll each way; left out, the stops alone limit it", "4 deg"),
)

MOUNTS = (
    Key("axis", "two points", "two hardpoints on the line about which the engine rocks, the front one first",
        "mount.F mount.R", must=True),
    Key("right up", "angle", "how far its right side comes up", "2 deg", must=True),
    Key("right down", "angle", "how far its right side goes down", "3 deg", must=True),
)

_KIND = Key("kind", "kind", "what it is to its neighbours: the gap rules go by it", "axle", must=True)
_BODY = Key("body", "body", "what it rides on; left out, what its hardpoints ride on", "axle")

SHAPES: dict[str, tuple[Key, ...]] = {
    "tube": (
        Key("tube", "two points", "the hardpoints in the middle of its two ends", "axle.L axle.R", must=True),
        Key("diameter", "amount", "outside diameter", "76 mm", must=True), _KIND, _BODY),
    "cone": (
        Key("cone", "two points", "the hardpoints in the middle of its two ends", "bell.f bell.r", must=True),
        Key("diameters", "two lengths", "at the first end and at the second", "380 mm to 180 mm", must=True),
        _KIND, _BODY),
    "drum": (
        Key("drum", "point", "the hardpoint in its middle", "wheel.L", must=True),
        Key("towards", "point", "a second hardpoint on its axis; left out, it lies across the vehicle", "hub.L"),
        Key("diameter", "amount", "outside diameter", "640 mm", must=True),
        Key("width", "amount", "along its axis", "215 mm", must=True), _KIND, _BODY),
    "box": (
        Key("box", "one or two points", "two opposite corners, or the middle", "tank.a tank.b", must=True),
        Key("along x", "amount", "length along the vehicle, where the corners do not give it", "260 mm"),
        Key("along y", "amount", "width across the vehicle, where the corners do not give it", "175 mm"),
        Key("along z", "amount", "height, where the corners do not give it", "200 mm"), _KIND, _BODY),
    "plate": (
        Key("plate", "points", "three or more hardpoints round its edge, in order", "[fl.1, fl.2, fl.3]", must=True),
        Key("thickness", "amount", "of the sheet", "2 mm", must=True), _KIND, _BODY),
    "mesh": (
        Key("mesh", "mesh file", "an STL, OBJ, PLY or GLB file beside the build file", "tunnel.stl", must=True),
        Key("scale", "scale", "length of one unit of the scan; find lets the ties find it", "1 mm"),
        Key("ties", "ties", "three or more hardpoints with their coordinates in the scan",
            "{fl.1: [12.0, 5.1, 330.2], ...}", must=True), _KIND, _BODY),
}

ROUTE = (
    Key("diameter", "amount", "outside diameter of the pipe", "63.5 mm", must=True),
    Key("wall", "amount", "thickness of its wall", "1.5 mm", must=True),
    Key("outlet", "point", "hardpoint where it begins", "outlet", must=True),
    Key("aim", "point", "second hardpoint on the outlet's axis, downstream", "outlet.aim"),
    Key("corners", "corners", "where two straight centre lines would meet, from the outlet on",
        "- {at: [1210 mm, 265 mm right, 310 mm], radius: 1.5 D}"),
    Key("end", "spot", "where it ends: station, offset, height; or a hardpoint", "[3600 mm, 420 mm right, 330 mm]"),
    Key("parts", "laid parts", "what sits on the straights of a laid pipe",
        "- rear box: {kind: muffler, leg: 3, from: 120 mm, length: 450 mm, ...}"),
    Key("least straight", "length", "shortest straight that may stand between two bends", "20 mm"),
    Key("stock", "stock", "bends that lie on the shelf", "- {name: U-bend, radius: 95 mm, angle: 180 deg, ...}"),
    Key("found", "text", "where corners, end and parts are from, if the program found them", "found by trialfit"),
    Key("find", "find", "what to look for, to have corners and end found",
        "{exit: {between: [...], towards: rear}, parts: [...]}"),
    Key("making", "making", "how it is made, hung and taken apart", "{material: 409, kerf: 2 mm, gas: {...}}"),
)

CORNER = (
    Key("at", "spot", "station, offset, height; or a hardpoint", "[1210 mm, 265 mm right, 310 mm]", must=True),
    Key("radius", "radius", "of the bend's centre line: a length, or so many diameters", "1.5 D", must=True),
    Key("pie cut", "pieces", "make the bend from straight tube, of so many pieces", "5 pieces"),
    Key("kerf", "length", "what the saw takes", "1.5 mm"),
)

STOCK = (
    Key("name", "text", "what it is called", "U-bend", must=True),
    Key("radius", "length", "of its centre line", "95.25 mm", must=True),
    Key("angle", "angle", "that it turns through", "180 deg", must=True),
    Key("legs", "length", "straight at either end", "100 mm", must=True),
    Key("diameter", "length", "outside diameter", "63.5 mm", must=True),
    Key("price", "money", "of one", "18"),
)

_SIZES = (
    Key("length", "amount", "along the pipe, from end to end", "450 mm", must=True),
    Key("width", "amount", "across the pipe, its wider side", "200 mm"),
    Key("height", "amount", "across the pipe, its flatter side", "120 mm"),
    Key("diameter", "amount", "of a round part, in place of width and height", "95 mm"),
)
_PART = Key("kind", "part kind", "muffler, catalyst, resonator, bellows or joint", "muffler", must=True)

LAID_PART = (
    _PART,
    Key("leg", "whole number", "straight it sits on: 1 is the one from the outlet, 2 the one after the first corner",
        "3", must=True),
    Key("from", "length", "from where that leg begins, at the outlet or the corner, to the part's near end", "120 mm",
        must=True),
    *_SIZES,
    Key("turn", "angle", "of its wide side from level; plus lifts its right edge where the pipe runs rearward",
        "90 deg"),
)

FIND = (
    Key("exit", "exit", "where the pipe may end, and which way it points there",
        "{between: [[3500 mm, 200 mm right, 250 mm], [3600 mm, 420 mm right, 420 mm]], towards: rear}", must=True),
    Key("pipes", "pipes", "pipes to consider; left out, the route's own", "- {diameter: 63.5 mm, wall: 1.5 mm}"),
    Key("bends", "bends", "bends that may be used; left out, those of stock", "- {radius: 1.5 D, to: 180 deg}"),
    Key("end to end", "yes or no", "whether bends may be welded together with no straight between", "yes"),
    Key("parts", "parts", "what must sit on the pipe, in order from the outlet on",
        "- rear box: {kind: muffler, length: 450 mm, width: 200 mm, height: 120 mm}"),
    Key("through", "through", "places that a straight of the pipe must run through",
        "[hanger, [1500 mm, 220 mm right, 250 mm]]"),
    Key("keep out", "keep out", "boxes that the pipe may not enter, each under its name",
        "{spare well: {between: [...], gap: 10 mm}}"),
    Key("ground", "length", "wanted under the pipe with the axle at bump", "60 mm"),
    Key("worth", "worth", "what things are worth to you: the finder looks for the cheapest pipe by these",
        "{hour: 30, kg: 2}"),
)

EXIT = (
    Key("between", "zone", "two opposite corners of the box that the pipe's end must lie in",
        "[[3500 mm, 200 mm right, 250 mm], [3600 mm, 420 mm right, 420 mm]]", must=True),
    Key("towards", "direction", "which way it points there: rear, front, right, left, down, up, so many degrees from "
        "one of these to another, or three numbers", "rear", must=True),
    Key("within", "angle", "how far it may point away from that, 10 deg if nothing is said", "10 deg"),
)

PIPE = (
    Key("diameter", "amount", "outside diameter", "63.5 mm", must=True),
    Key("wall", "amount", "thickness of its wall", "1.5 mm", must=True),
    Key("price", "price by length", "of a length, in your own money", "12 per m"),
)

BEND = (
    Key("radius", "radius", "of the bend's centre line: a length, or so many diameters", "1.5 D", must=True),
    Key("to", "angle", "the most it turns", "180 deg", must=True),
    Key("name", "text", "what it is called", "U-bend"),
    Key("diameter", "length", "of the pipe it is made for; left out, it is to be had for every pipe", "63.5 mm"),
    Key("pie cut", "pieces", "made from straight tube, of so many pieces", "4 pieces"),
    Key("kerf", "length", "what the saw takes", "1.5 mm"),
    Key("price", "money", "of one", "15"),
)

PART = (
    _PART,
    *_SIZES,
    Key("between", "zone", "two opposite corners of the box that its middle must lie in; left out, anywhere",
        "[[2900 mm, 150 mm right, 300 mm], [3300 mm, 450 mm right, 400 mm]]"),
    Key("turn", "turns", "allowed turns of its wide side from level; left out, level alone", "[0 deg, 90 deg]"),
    Key("room", "length", "straight pipe wanted at either end of it", "30 mm"),
    Key("mass", "mass", "of the part", "5 kg"),
    Key("price", "money", "of the part", "80"),
    Key("hours", "hours", "of work that it brings", "0.5"),
    Key("loss", "number", "of pressure, in velocity heads", "2"),
)

ZONE = (
    Key("between", "zone", "two opposite corners of the box",
        "[[3050 mm, 300 mm left, 200 mm], [3400 mm, 100 mm right, 500 mm]]", must=True),
    Key("gap", "length", "wanted round it", "10 mm"),
)

WORTH = (
    Key("hour", "money", "an hour of your work", "30"),
    Key("kg", "money", "a kilogram less on the vehicle", "2"),
    Key("lb", "money", "a pound less on the vehicle, in place of kg", "1"),
    Key("kPa", "money", "a kPa less of back pressure", "5"),
    Key("psi", "money", "a psi less of back pressure, in place of kPa", "35"),
    Key("mm of gap", "money", "each mm that the smallest gap falls short of the wanted gap", "1"),
    Key("inch of gap", "money", "each inch of it, in place of mm of gap", "25"),
    Key("wanted gap", "length", "over what is required, beyond which more gap is worth nothing", "5 mm"),
    Key("hours for a weld", "hours", "your own pace: a weld round the pipe", "0.25"),
    Key("hours for a bend", "hours", "your own pace: marking, cutting and fitting a bend", "0.25"),
    Key("gas", "mass flow", "exhaust gas at full power", "0.12 kg/s"),
    Key("gas temperature", "temperature", "of that gas", "800 K"),
)
"""What is worth what, in the builder's own money; a few stand in two units, of which one is given."""

FITTED_PART = (
    Key("material", "material", "what it is made of, where that matters", "steel"),
    Key("note", "block", "where it is from, or anything to remember", "off the old axle"),
    Key("ports", "ports", "where it meets other parts, each under its name", "{face: {kind: wheel hub, ...}}"),
)
"""Keys of a part beside those of its one port."""

PORT_KIND = Key("kind", "port kind", "what kind of port it is: the other keys go by it", "wheel hub", must=True)

JOINT_SAID = (
    Key("between", "layers", "what is clamped between the two, each with its thickness, or unknown",
        "{rotor hat: 7 mm +- 0.1 mm}"),
    Key("use", "joint use", f"what it serves: {', '.join(LINE_USES)} or exhaust", "brake"),
    Key("name", "text", "what it is called; left out, its kind and its two ends", "left front wheel"),
    Key("sides", "joint sides", "left right for two joints that are alike", "left right"),
)
"""Keys of a joint beside its kind, which stands with its two ends, and the kind's own."""

CHAIN = (
    Key("from", "port of a part", "one end: part and port, parted by a dot", "caliper.inlet", must=True),
    Key("to", "port of a part", "the other end", "hard line.end", must=True),
    Key("use", "joint use", f"what it serves: {', '.join(LINE_USES)} or exhaust", "brake"),
    Key("by", "chain run", "hose, pipe, or none for fittings alone, which it is if left out", "hose"),
    Key("length", "amount", "of the hose or pipe", "300 mm"),
)

USES = (*LINE_USES, "exhaust")
"""What a joint may serve: it forbids some ends."""

RUNS = ("hose", "pipe", "none")
"""What may run between the two ends of a chain."""

PART_KINDS = ("muffler", "catalyst", "resonator", "bellows", "joint")

ALSO_CALLED = {"silencer": "muffler", "box": "muffler", "rear box": "muffler", "back box": "muffler", "cat": "catalyst",
               "catalytic converter": "catalyst", "converter": "catalyst", "flex": "bellows", "flexible": "bellows",
               "flex pipe": "bellows", "clamp": "joint", "flange": "joint", "band": "joint", "coupling": "joint"}
"""Other words of the trade for the kinds of part, to the one that is written here."""

DIRECTIONS = {"rear": (1.0, 0.0, 0.0), "front": (-1.0, 0.0, 0.0), "right": (0.0, 1.0, 0.0), "left": (0.0, -1.0, 0.0),
              "up": (0.0, 0.0, 1.0), "down": (0.0, 0.0, -1.0)}
"""Words for a direction, with its x, y and z."""

SUSPENSION_TYPES: dict[str, tuple[int, bool]] = {
    "four links and lateral rod": (4, True),
    "three links and lateral rod": (3, True),
    "triangulated four links": (4, False),
    "leaf springs": (0, False),
}
"""Each type with its number of links and whether a lateral rod belongs to it."""

SIDES = ("left", "right", "ahead", "behind", "above", "below")

MESH_ENDINGS = (".stl", ".obj", ".ply", ".glb")
