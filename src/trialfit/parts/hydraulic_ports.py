"""What can be known of a hydraulic, fuel or coolant line's end, a hose, a barb, a dipstick and its tube."""

import math

from trialfit.parts.kinds import Ask, PortKind

SEALS = (
    "inverted flare", "bubble", "metric double flare", "45 flare", "37 flare", "O-ring boss", "metric O-ring",
    "face seal", "flat seat", "parallel pipe", "24 cone", "NPT", "NPTF", "BSPT", "compression", "quick connect",
)
"""Families of ends by how they seal; the names of the packaged table."""
TUBE_MATERIALS = ("steel", "copper-nickel", "stainless", "copper", "aluminium", "nylon")
"""What a hydraulic or fuel tube is made of."""
HOSES = ("30R7", "30R9", "30R10", "30R14", "J188", "J189", "J1401", "J1532", "J20", "J1403")
"""Hose by its print; the names of the packaged table."""

PORTS: tuple[PortKind, ...] = (
    PortKind(
        "hydraulic end",
        "the end of a brake, clutch, fuel, steering or oil line, or the port it screws into",
        (
            Ask("seal", "text", "how it seals: the form of flare, seat or O-ring", SEALS),
            Ask("gender", "text", "male when its own thread is on the outside", ("male", "female")),
            Ask("thread", "thread", "its thread, such as 3/8-24, M10x1 or 1/8-27 NPT"),
            Ask("tube", "length", "outside diameter of the tube it is made for", low=2.5, high=60.0),
            Ask("spigot", "length", "diameter of a quick connector's spigot", low=4.0, high=40.0),
            Ask("flare", "text", "folded double or single", ("single", "double")),
            Ask("flare diameter", "length", "diameter across the finished flare", low=3.0, high=60.0),
            Ask("seat angle", "angle", "half the included angle of flare or seat", low=math.radians(8.0),
                high=math.radians(65.0)),
            Ask("wall", "length", "wall of the tube", low=0.3, high=5.0),
            Ask("tube material", "text", "what the tube is made of", TUBE_MATERIALS),
            Ask("thread depth", "length", "full thread in a port, from its face", low=3.0, high=60.0),
            Ask("face", "text", "face of a port round its thread", ("machined", "rough")),
        ),
    ),
    PortKind(
        "banjo eye",
        "the eye of a banjo fitting with its hollow bolt and washers",
        (
            Ask("thread", "thread", "thread of the hollow bolt, such as M10x1"),
            Ask("hole", "length", "hole of the eye", low=5.0, high=30.0),
            Ask("bolt", "length", "diameter of the bolt in the eye", low=5.0, high=30.0),
            Ask("thickness", "length", "thickness of the eye between its faces", low=3.0, high=30.0),
            Ask("bolt length", "length", "length of the bolt under its head", low=8.0, high=80.0),
            Ask("washers", "count", "how many washers there are", low=0.0, high=6.0),
            Ask("washer", "length", "thickness of one washer", low=0.3, high=4.0),
        ),
    ),
    PortKind(
        "hose",
        "the end of a plain hose",
        (
            Ask("print", "text", "standard printed on the hose", HOSES),
            Ask("bore", "length", "inside diameter, free", low=2.0, high=110.0),
            Ask("outside", "length", "outside diameter, free", low=4.0, high=150.0),
            Ask("working pressure", "pressure", "working pressure printed on the hose", low=0.05, high=70.0),
        ),
    ),
    PortKind(
        "barb",
        "a barbed or beaded tail, or a plain pipe, that a hose is pushed on",
        (
            Ask("form", "text", "barbed, beaded or plain", ("barbed", "beaded", "plain")),
            Ask("diameter", "length", "largest diameter of barb or bead", low=2.0, high=115.0),
            Ask("pipe", "length", "outside diameter of the pipe behind it, where the clamp sits", low=2.0, high=112.0),
            Ask("length", "length", "length that the hose can be pushed on", low=4.0, high=150.0),
        ),
    ),
    PortKind(
        "dipstick",
        "a dipstick, measured from the stop under its handle",
        (
            Ask("full", "length", "from the stop to the full mark", low=30.0, high=2000.0),
            Ask("add", "length", "from the stop to the add mark", low=30.0, high=2000.0),
            Ask("tip", "length", "from the stop to the tip", low=30.0, high=2000.0),
            Ask("width", "length", "greatest width of the blade or loop", low=1.0, high=30.0),
            Ask("plug", "length", "diameter of the seal or plug under the handle", low=4.0, high=60.0),
        ),
    ),
    PortKind(
        "dipstick tube",
        "the tube a dipstick goes in",
        (
            Ask("bore", "length", "inside diameter at its narrowest", low=2.0, high=60.0),
            Ask("mouth", "length", "inside diameter of the mouth that the handle seals in", low=4.0, high=60.0),
            Ask("level", "length", "from the mouth down the tube to the oil, rightly filled", low=30.0, high=2000.0),
            Ask("bottom", "length", "from the mouth down the tube to what lies under the tip", low=30.0, high=2000.0),
            Ask("outside", "length", "outside diameter at its lower end", low=4.0, high=60.0),
        ),
    ),
    PortKind(
        "dipstick hole",
        "the hole in the case that a dipstick's tube goes in",
        (
            Ask("diameter", "length", "its diameter", low=4.0, high=62.0),
            Ask("seal", "text", "how the tube is held tight", ("press", "O-ring")),
        ),
    ),
)
"""Kinds of port of lines for oil, fuel, coolant and brakes."""
