"""Ports of rotors, drums, calipers, their brackets, and of the housing ends they go on."""

from trialfit.parts.kinds import Ask, PortKind

_CIRCLE = (
    Ask("holes", "count", "number of stud holes", low=3, high=10),
    Ask("bolt circle", "length", "circle through the middles of the holes", low=80.0, high=230.0),
    Ask(
        "neighbour distance",
        "length",
        "middle to middle of neighbouring holes, when the circle is not known",
        low=25.0,
        high=170.0,
    ),
    Ask("bore", "length", "hole in the middle", low=35.0, high=180.0),
    Ask("stud hole", "length", "diameter of the stud holes", low=8.0, high=32.0),
    Ask("hat thickness", "length", "thickness of the part that wheel and hub clamp", low=2.0, high=30.0),
)

ROTOR = PortKind(
    "brake rotor",
    "a rotor (disc) where it goes on the hub and runs in the caliper",
    (
        *_CIRCLE,
        Ask("hat inside", "length", "inside diameter of the hat, where it goes over the flange", low=90.0, high=300.0),
        Ask("offset", "length", "from the hat's hub face inboard to the middle of the disc", low=-60.0, high=120.0),
        Ask("diameter", "length", "outside diameter", low=150.0, high=480.0),
        Ask("thickness", "length", "thickness as it is", low=3.0, high=60.0),
        Ask("least thickness", "length", "least thickness, cast or stamped on it", low=3.0, high=60.0),
    ),
)

DRUM = PortKind(
    "brake drum",
    "a drum where it goes on the hub and over the shoes",
    (
        *_CIRCLE,
        Ask(
            "hat inside",
            "length",
            "inside diameter behind its web, where it goes over the flange",
            low=90.0,
            high=350.0,
        ),
        Ask("depth", "length", "from the hub face of its web to the lip at the open end", low=20.0, high=200.0),
        Ask("inside diameter", "length", "diameter that the shoes rub on", low=120.0, high=450.0),
        Ask("most diameter", "length", "greatest diameter, cast or stamped on it", low=120.0, high=450.0),
        Ask("outside diameter", "length", "outside diameter", low=130.0, high=500.0),
    ),
)

CALIPER = PortKind(
    "brake caliper",
    "a caliper on its bracket, as it stands over the rotor and under the wheel; heights from the hub's flange face",
    (
        Ask(
            "middle",
            "length",
            "from the hub's face inboard to the middle of the gap for the rotor",
            low=-60.0,
            high=120.0,
        ),
        Ask("gap", "length", "width of the gap for the rotor between new pads pushed back", low=3.0, high=80.0),
        Ask("most rotor", "length", "greatest rotor diameter that turns in it where it stands", low=150.0, high=480.0),
        Ask(
            "least rotor",
            "length",
            "least rotor diameter at which the pads do not hang over its edge",
            low=100.0,
            high=480.0,
        ),
        Ask(
            "swept radius",
            "length",
            "from the hub's axis to the outermost point of caliper and bracket",
            low=80.0,
            high=320.0,
        ),
        Ask(
            "standout",
            "length",
            "how far it stands outboard of the hub's face; minus when it stays inboard",
            low=-150.0,
            high=150.0,
        ),
    ),
)

BACKING_PLATE = PortKind(
    "backing plate",
    "a backing plate with its shoes, as it stands on the housing end",
    (
        Ask("shoe circle", "length", "diameter over the linings, adjuster backed off", low=110.0, high=450.0),
        Ask(
            "plate distance",
            "length",
            "from the hub's face inboard to the plate where the drum's lip runs",
            low=20.0,
            high=220.0,
        ),
        Ask(
            "shoe distance",
            "length",
            "from the hub's face inboard to the nearer edge of the linings",
            low=0.0,
            high=150.0,
        ),
    ),
)

_PATTERN = (
    Ask("holes", "count", "number of holes, when they stand evenly on a circle", low=2, high=12),
    Ask("bolt circle", "length", "circle through them, when they do", low=40.0, high=260.0),
    Ask("points", "points", "middles of the holes, across and up, seen from outboard"),
    Ask("hole", "length", "diameter of the holes", low=5.0, high=25.0),
)

BRACKET = PortKind(
    "brake bracket",
    "a caliper bracket or backing plate where it is bolted to the housing end",
    (
        *_PATTERN,
        Ask("pilot bore", "length", "hole in the middle that centres it", low=25.0, high=200.0),
        Ask("thickness", "length", "thickness where it is clamped", low=1.5, high=40.0),
        Ask("material", "text", "material of the plate", ("steel", "aluminium")),
        Ask(
            "middle",
            "length",
            "from its housing face outboard to the middle of the caliper's gap, caliper fitted",
            low=-80.0,
            high=120.0,
        ),
        Ask("round", "length", "outside diameter, when it is round", low=60.0, high=400.0),
        Ask("outline", "points", "corners of its edge, across and up, in the frame of the holes"),
    ),
)

HOUSING_END = PortKind(
    "housing end",
    "the flange at the end of an axle housing, or of a spindle, that carries the brake",
    (
        *_PATTERN,
        Ask("bolt", "length", "diameter of the bolts", low=5.0, high=20.0),
        Ask(
            "pilot",
            "length",
            "diameter that stands out and centres the bracket: bearing, retainer or step",
            low=25.0,
            high=200.0,
        ),
        Ask("pilot height", "length", "how far it stands out of the face", low=0.0, high=60.0),
        Ask(
            "standout",
            "length",
            "brake standout: from its face to the outer face of the axle flange",
            low=5.0,
            high=200.0,
        ),
    ),
)

PORTS: tuple[PortKind, ...] = (ROTOR, DRUM, CALIPER, BACKING_PLATE, BRACKET, HOUSING_END)
