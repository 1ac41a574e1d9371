"""Every key of a build file: what it says, and an example. The reader and the editor's schema both go by this table."""

from dataclasses import dataclass

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
    Key("shapes", "shapes", "what takes up room, each thing under its name",
        "axle tube: {tube: axle.L axle.R, diameter: 76 mm, kind: axle}"),
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

SHAFT = (
    Key("front", "point", "centre of the front joint, on the engine", "gearbox.out", must=True),
    Key("rear", "point", "centre of the rear joint, on the axle", "pinion", must=True),
    Key("diameter", "amount", "outside diameter of its tube", "76 mm", must=True),
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
    Key("end", "spot", "where it ends: station, offset, height; or a hardpoint", "[3600 mm, 420 mm right, 330 mm]",
        must=True),
    Key("least straight", "length", "shortest straight that may stand between two bends", "20 mm"),
    Key("stock", "stock", "bends that lie on the shelf", "- {name: U-bend, radius: 95 mm, angle: 180 deg, ...}"),
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
)

SUSPENSION_TYPES: dict[str, tuple[int, bool]] = {
    "four links and lateral rod": (4, True),
    "three links and lateral rod": (3, True),
    "triangulated four links": (4, False),
    "leaf springs": (0, False),
}
"""Each type with its number of links and whether a lateral rod belongs to it."""

SIDES = ("left", "right", "ahead", "behind", "above", "below")

MESH_ENDINGS = (".stl", ".obj", ".ply", ".glb")
