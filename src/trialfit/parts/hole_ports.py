"""Ports of bolts and of the holes they go through or into."""

from trialfit.parts.kinds import Ask, PortKind

FORMS = ("plain", "tapped through", "tapped blind")
"""Forms of a bolt hole: drilled through for a nut, tapped all the way through, tapped with a bottom."""

BOLT = PortKind(
    "bolt",
    "a bolt, screw or stud, from under its head to its end",
    (
        Ask("thread", "thread", "thread: M10x1.25, 7/16-20"),
        Ask("length", "length", "from under the head to the end", low=5.0, high=500.0),
        Ask("shank length", "length", "plain part without full thread under the head", low=0.0, high=450.0),
        Ask("shank diameter", "length", "diameter of the plain part", low=3.0, high=50.0),
        Ask("point", "length", "end that carries no full thread; one pitch when not said", low=0.0, high=20.0),
    ),
)  # fmt: skip

BOLT_HOLE = PortKind(
    "bolt hole",
    "the hole in a part that a bolt goes through or is screwed into",
    (
        Ask("form", "text", "how it is made", FORMS),
        Ask("diameter", "length", "of a plain hole: its least diameter", low=3.0, high=60.0),
        Ask("thread", "thread", "of a tapped hole: its thread"),
        Ask("thickness", "length", "of a hole all the way through: thickness of the part there", low=0.5, high=300.0),
        Ask("thread depth", "length", "of a blind hole: from the face to the last full thread", low=2.0, high=300.0),
        Ask("counterbore", "length", "depth at the mouth without thread; none when not said", low=0.0, high=100.0),
        Ask("edge distance", "length", "middle of the hole to the nearest edge", low=1.0, high=500.0),
    ),
)  # fmt: skip

PORTS: tuple[PortKind, ...] = (BOLT, BOLT_HOLE)
