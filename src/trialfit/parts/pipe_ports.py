"""What can be known of an exhaust pipe's end, a V-band half, an exhaust flange, a sensor and its bung."""

import math

from trialfit.parts.kinds import Ask, PortKind

PIPE_MATERIALS = (
    "mild steel", "aluminised steel", "galvanized steel", "stainless", "cast iron", "aluminium", "titanium",
)
"""Metals an exhaust is made of, as far as welding asks."""
_MATERIAL = Ask("material", "text", "metal of the pipe", PIPE_MATERIALS)

PORTS: tuple[PortKind, ...] = (
    PortKind(
        "pipe end",
        "the end of an exhaust or other thin pipe, to be butted, slipped or joined by a cone",
        (
            Ask("outside", "length", "outside diameter at the end, calliper in two directions", low=10.0, high=250.0),
            Ask("wall", "length", "wall at the end", low=0.4, high=10.0),
            Ask("bore", "length", "inside diameter at the end", low=8.0, high=248.0),
            Ask("form", "text", "plain, or widened to go over another pipe", ("plain", "socket")),
            Ask("depth", "length", "how deep a pipe goes into the socket", low=5.0, high=300.0),
            Ask("slots", "count", "number of slots sawn in the socket, 0 for none", low=0.0, high=12.0),
            Ask("slot length", "length", "length of a slot from the end", low=0.0, high=200.0),
            Ask("straight", "length", "straight pipe next to the end, before a bend or bead", low=0.0, high=5000.0),
            _MATERIAL,
        ),
    ),
    PortKind(
        "V-band half",
        "one flange of a V-band joint",
        (
            Ask("tube", "length", "outside diameter of the tube it is welded to", low=20.0, high=160.0),
            Ask("flange", "length", "outside diameter of the flange, by calliper", low=25.0, high=220.0),
            Ask("face", "text", "step out, step in, or flat", ("male", "female", "flat")),
            Ask("bore", "length", "inside diameter of the flange", low=15.0, high=158.0),
            Ask("register", "length", "diameter of the step that centres the halves", low=15.0, high=170.0),
            _MATERIAL,
        ),
    ),
    PortKind(
        "exhaust flange",
        "a bolted flange of an exhaust",
        (
            Ask("bolts", "count", "number of bolt holes", low=2.0, high=12.0),
            Ask("circle", "length", "diameter of the bolt circle; of two holes, their distance", low=30.0, high=250.0),
            Ask("hole", "length", "diameter of its bolt holes", low=5.0, high=25.0),
            Ask("bolt", "length", "diameter of the bolts or studs used", low=5.0, high=20.0),
            Ask("opening", "length", "inside diameter of the gas opening", low=15.0, high=160.0),
            Ask("face", "text", "flat with a gasket, or a ball and cup", ("flat", "ball", "cup")),
            Ask("ball", "length", "outside diameter of the ball, or of the mouth of the cup", low=20.0, high=170.0),
            _MATERIAL,
        ),
    ),
    PortKind(
        "sensor",
        "a sensor that is screwed into a pipe",
        (
            Ask("what", "text", "what it measures", ("oxygen", "temperature", "pressure")),
            Ask("thread", "thread", "its thread, such as M18x1.5"),
            Ask("seat", "text", "how it seals", ("gasket", "taper", "thread")),
            Ask("reach", "length", "from its seat to the end of its thread", low=3.0, high=60.0),
            Ask("tip", "length", "from its seat to its tip", low=5.0, high=300.0),
            Ask("hex", "length", "width of its hexagon across flats", low=8.0, high=40.0),
        ),
    ),
    PortKind(
        "sensor bung",
        "a threaded boss in a pipe",
        (
            Ask("thread", "thread", "its thread, such as M18x1.5"),
            Ask("seat", "text", "form of its outer face", ("gasket", "taper", "thread")),
            Ask("length", "length", "from its seat to the inside of the pipe", low=3.0, high=60.0),
            Ask("pipe bore", "length", "inside diameter of the pipe", low=15.0, high=200.0),
            Ask("room", "length", "diameter that is free round it for a spanner or socket", low=10.0, high=500.0),
            Ask("tilt", "angle", "tilt of its axis above the horizontal", low=-math.pi / 2.0, high=math.pi / 2.0),
        ),
    ),
)
"""Kinds of port of exhausts and of sensors in pipes."""
