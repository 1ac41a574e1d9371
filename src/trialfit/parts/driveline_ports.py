"""Where a shaft meets gearbox and axle: yokes, joints, flanges, splines."""

from trialfit.parts.kinds import Ask, PortKind

_SERIES = Ask("series", "text", "joint series as the shop calls it, such as 1310")
_CLIPS = Ask("clips", "text", "where the clips sit", choices=("outside", "inside"))
_SPLINE = (
    Ask("teeth", "count", "teeth, counted once round", low=4.0, high=200.0),
    Ask("major", "length", "shaft: over the teeth; hub: at the bottom of the spaces", low=6.0, high=200.0),
    Ask("minor", "length", "shaft: at the bottom of the spaces; hub: between the teeth", low=5.0, high=200.0),
    Ask("pitch", "text", "pitch 24/48, module m2, or a whole name W30x2x14"),
    Ask("pressure angle", "angle", "pressure angle: 30, 37.5 or 45 deg", low=0.25, high=0.9),
    Ask("form", "text", "form of the teeth", choices=(
        "involute flat root", "involute fillet root", "major diameter fit", "straight sided", "serration",
    )),
    Ask("tooth width", "length", "straight-sided teeth only: a tooth of the shaft, a space of the hub", low=0.5,
        high=40.0),
    Ask("length", "length", "full teeth along the axis, run-out left off", low=5.0, high=400.0),
)  # fmt: skip

PORTS: tuple[PortKind, ...] = (
    PortKind("yoke", "the ears of a yoke that take one pair of a joint's caps", (
        _SERIES,
        Ask("cap bore", "length", "diameter of the ears' bores or saddles", low=10.0, high=80.0),
        Ask("width", "length", "what holds the caps endways: between tabs or clip faces", low=25.0, high=250.0),
        _CLIPS,
        Ask("retention", "text", "what holds the caps in",
            choices=("straps", "u-bolts", "bearing plates", "full round")),
    )),
    PortKind("joint caps", "one pair of caps of a universal joint", (
        _SERIES,
        Ask("cap", "length", "outside of a cap", low=10.0, high=80.0),
        Ask("span", "length", "outside clips: over the cap ends; inside clips: between the clip faces", low=25.0,
            high=250.0),
        _CLIPS,
    )),
    PortKind("flange", "the flange of a shaft, pinion, gearbox, hub or axle", (
        Ask("pilot", "length", "diameter of the pilot that centres it", low=10.0, high=400.0),
        Ask("pilot form", "text", "whether the pilot stands out or is a recess", choices=("male", "female", "none")),
        Ask("pilot height", "length", "how far it stands out, or how deep it is", low=0.3, high=60.0),
        Ask("bolts", "count", "number of bolt holes or studs", low=2.0, high=24.0),
        Ask("bolt circle", "length", "circle through the middles of the bolts", low=30.0, high=600.0),
        Ask("points", "points", "middles of the bolts across and up, looking at this face, off an even circle",
            low=-400.0, high=400.0),
        Ask("hole", "length", "diameter of plain bolt holes", low=4.0, high=40.0),
        Ask("thread", "thread", "thread of tapped holes or studs, such as 3/8-24 or M10x1"),
        Ask("face diameter", "length", "outside of the flange", low=40.0, high=700.0),
        Ask("thickness", "length", "thickness under the bolt heads", low=2.0, high=80.0),
    )),
    PortKind("external spline", "the splined end of a shaft", _SPLINE),
    PortKind("internal spline", "the splined bore of a hub, yoke, flange or clutch plate", _SPLINE),
)  # fmt: skip
