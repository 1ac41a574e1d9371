"""Where an axle meets its springs: pad on the tube, leaf spring."""

from trialfit.parts.kinds import Ask, PortKind

PORTS: tuple[PortKind, ...] = (
    PortKind("spring seat", "the pad on an axle tube that a leaf spring sits on", (
        Ask("tube diameter", "length", "outside of the axle tube, beside the pad", low=25.0, high=200.0),
        Ask("pad width", "length", "pad across the spring, edge to edge", low=20.0, high=200.0),
        Ask("pad height", "length", "from the tube's top to the face the spring sits on", low=0.0, high=150.0),
        Ask("pad radius", "length", "radius of the pad's saddle, or of a template that fits", low=10.0, high=110.0),
        Ask("pin hole", "length", "diameter of the hole for the centre pin's head", low=4.0, high=60.0),
        Ask("pin hole depth", "length", "from the pad's face down to whatever closes the hole", low=0.0, high=150.0),
        Ask("pad angle", "angle", "pad's face against the pinion's axis, nose-up positive", low=-0.6, high=0.6),
    )),
    PortKind("leaf spring", "the middle of a leaf spring, where it is clamped", (
        Ask("spring width", "length", "width of the main leaf", low=20.0, high=200.0),
        Ask("stack", "length", "all leaves at the centre pin, clamped", low=4.0, high=200.0),
        Ask("pin head", "length", "diameter of the centre pin's head", low=4.0, high=60.0),
        Ask("pin head height", "length", "how far the head stands out of the spring", low=1.0, high=60.0),
    )),
)  # fmt: skip
