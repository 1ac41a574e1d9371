"""Ports of wheels and of the hubs they go on."""

from trialfit.parts.kinds import Ask, PortKind

SEATS = ("taper", "ball", "flat", "shank")
"""Forms of a wheel nut's seat: cone, part of a ball, flat face, flat face with a shank that stands in the wheel."""


def _circle(what: str) -> tuple[Ask, ...]:
    return (
        Ask("bolt circle", "length", f"circle through the middles of the {what}", low=80.0, high=230.0),
        Ask(
            "neighbour distance",
            "length",
            f"middle to middle of neighbouring {what}, when the circle is not known",
            low=25.0,
            high=170.0,
        ),
    )


WHEEL = PortKind(
    "road wheel",
    "the mounting pad of a wheel, or of a spacer that has studs of its own",
    (
        Ask("holes", "count", "number of stud holes", low=3, high=10),
        *_circle("holes"),
        Ask("bore", "length", "hole in the middle of the pad", low=35.0, high=180.0),
        Ask(
            "pad thickness",
            "length",
            "from the pad to the small end of the nut's seat, or to the face it bears on",
            low=3.0,
            high=60.0,
        ),
        Ask("stud hole", "length", "least diameter of a stud hole", low=8.0, high=32.0),
        Ask("seat", "text", "form of the nut's seat", SEATS),
        Ask("seat angle", "angle", "whole angle of a taper seat", low=0.5, high=2.2),
        Ask("seat radius", "length", "radius of a ball seat", low=8.0, high=20.0),
        Ask("well", "length", "inside diameter of the well that the nut sits in", low=17.0, high=70.0),
        Ask("rim width", "length", "nominal width between the bead seats", low=76.0, high=407.0),
        Ask("offset", "length", "pad to the rim's middle, positive when the pad lies outboard", low=-150.0, high=150.0),
        Ask("backspacing", "length", "straight edge across the inner lip, to the pad", low=20.0, high=330.0),
        Ask("overall width", "length", "width over both lips", low=90.0, high=460.0),
        Ask("barrel", "length", "inside diameter of the rim where the caliper passes", low=220.0, high=650.0),
        Ask(
            "spoke face",
            "length",
            "from the pad outboard to the inside of the spokes where the caliper passes",
            low=-60.0,
            high=250.0,
        ),
        Ask("outer face", "length", "of a spacer with own studs: from its pad to its outer face", low=5.0, high=150.0),
        Ask("load", "mass", "load that the wheel is marked for", low=100.0, high=4000.0),
        Ask("cap hole", "length", "hole in the outer side that the hub's cap stands through", low=20.0, high=180.0),
    ),
)

HUB = PortKind(
    "wheel hub",
    "the flange of a hub or axle shaft that rotor or drum and wheel go on, with its studs",
    (
        Ask("studs", "count", "number of studs, or of threaded holes", low=3, high=10),
        *_circle("studs"),
        Ask("wheel register", "length", "diameter that centres the wheel, the step farther out", low=35.0, high=180.0),
        Ask(
            "wheel register height",
            "length",
            "from the flange's face to the end of that register, chamfer not counted",
            low=0.0,
            high=80.0,
        ),
        Ask(
            "rotor register",
            "length",
            "diameter that centres rotor or drum, the step next to the flange",
            low=35.0,
            high=180.0,
        ),
        Ask("rotor register height", "length", "from the flange's face to the end of that step", low=0.0, high=60.0),
        Ask("hollow", "length", "hole inside the registers; 0 for a solid shaft", low=0.0, high=170.0),
        Ask("stud thread", "thread", "thread of the studs or threaded holes"),
        Ask("stud length", "length", "from the flange's face to the end of the thread", low=10.0, high=160.0),
        Ask("stud shoulder", "length", "plain part of the stud beyond the flange's face", low=0.0, high=60.0),
        Ask("thread depth", "length", "for wheel bolts: length of thread in the flange", low=5.0, high=60.0),
        Ask("stud hole", "length", "hole in the flange that the stud is pressed in", low=8.0, high=32.0),
        Ask("flange diameter", "length", "outside of the flange", low=90.0, high=300.0),
        Ask("flange thickness", "length", "thickness of the flange", low=3.0, high=40.0),
        Ask("cap diameter", "length", "outside of the cap or hub end", low=15.0, high=180.0),
        Ask("cap height", "length", "from the flange's face to the end of the cap", low=0.0, high=200.0),
    ),
)

PORTS: tuple[PortKind, ...] = (WHEEL, HUB)
