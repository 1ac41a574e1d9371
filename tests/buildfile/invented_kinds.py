"""A few kinds of port and joint, invented for the tests of the build file: every dimension is in them once."""

from trialfit.buildfile.parts_said import Kinds
from trialfit.findings import Verdict
from trialfit.mates import Answer, Joint, MateKind
from trialfit.parts import Ask, PortKind

PORTS = (
    PortKind("hub face", "face that a wheel or a rotor lies on", (
        Ask("studs", "count", "how many studs stand in it", low=3, high=10),
        Ask("bolt circle", "length", "diameter of the circle through the studs", low=60.0, high=350.0),
        Ask("register", "length", "diameter that centres the wheel", low=10.0, high=200.0),
        Ask("stud", "thread", "thread of the studs"),
        Ask("stud length", "length", "from the face to the stud's end", low=5.0, high=150.0),
        Ask("steps", "lengths", "diameters of its registers, the inner one first", low=10.0, high=200.0))),
    PortKind("wheel centre", "middle of a wheel where it lies on the hub", (
        Ask("bore", "length", "diameter of its hole", low=10.0, high=250.0),
        Ask("nut seat", "text", "form that the nut sits in", choices=("taper 60", "ball", "flat")),
        Ask("stamped", "text", "what is stamped on it"),
        Ask("lean", "angle", "of its face from square", low=-0.1, high=0.1))),
    PortKind("spring seat", "place where a spring sits", (
        Ask("pad width", "length", "across the spring", low=20.0, high=200.0),
        Ask("holes", "points", "middles of its holes, from the centre pin", high=300.0))),
    PortKind("axle tube", "tube of an axle", (
        Ask("diameter", "length", "outside", low=30.0, high=200.0, must=True),
        Ask("load", "force", "that it carries"))),
    PortKind("tube end", "end of a pipe or hose", (
        Ask("thread", "thread", "thread of its nut"),
        Ask("material", "text", "of the tube", choices=("steel", "nylon", "rubber")),
        Ask("torque", "torque", "that its nut is done up to", low=1e3, high=200e3),
        Ask("sealed", "text", "whether it seals on its seat", choices=("yes", "no")))),
)


def _judge(joint: Joint) -> tuple[Answer, ...]:
    bore, register = joint.a.size("bore"), joint.b.size("register")
    if bore is None or register is None:
        return (Answer("register", Verdict.CANNOT_TELL, "the bore or the register is not known",
                       measure="measure the wheel's bore and the hub's register with a calliper"),)
    if bore.value > 220.0:
        raise ValueError(f"a bore of {bore.value:.0f} mm is beyond the 220 mm of the table")
    room = bore.value - register.value
    fits = Answer("register", Verdict.FITS if room >= 0.0 else Verdict.DOES_NOT_FIT, f"{room:.2f} mm of room", room,
                  bore.sd, "mm", caution="done up by hand first")
    thick = [layer.thickness for layer in joint.layers]
    told = sum(t.value for t in thick if t is not None)
    return fits, Answer("layers", Verdict.CANNOT_TELL if None in thick else Verdict.FITS, f"{told:.2f} mm between")


def _tilt(joint: Joint) -> tuple[Answer, ...]:
    return (Answer("tilt", Verdict.FITS, "it lies square", 0.017453292519943295, None, "deg"),) if joint.values else ()


MATES = (
    MateKind("wheel on hub", "a wheel bolted on a hub", ("wheel centre",), ("hub face",), _judge, (
        Ask("fit", "text", "fit wanted", choices=("snug", "loose")), Ask("load", "force", "on the wheel")), True),
    MateKind("spring on tube", "a spring clamped on the axle", ("axle tube",), ("spring seat", "hub face"), _tilt,
             (Ask("count", "count", "of its U-bolts", low=1, high=4),)),
    MateKind("end to end", "two ends screwed together", ("tube end",), ("tube end",), _tilt),
)
KINDS = Kinds(PORTS, MATES)
