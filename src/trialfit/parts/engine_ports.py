"""Where engine, gearbox and mounts meet: rear face of the engine, front face of the gearbox, mounts and brackets."""

from trialfit.parts.kinds import Ask, PortKind

_BOLTS = Ask("points", "points", "middles of the bolts across and up, looking at this face", low=-600.0, high=600.0)
_DOWELS = Ask("dowels", "points", "middles of the two dowels, in the same axes as the bolts", low=-600.0, high=600.0)
_HOUSING = Ask("housing", "text", "number of the standard bell housing, where it is one",
               choices=("00", "0", "1/2", "1", "2", "3", "4", "5", "6"))  # fmt: skip
_BEHIND = "behind the engine's rear face, minus when ahead of it"

PORTS: tuple[PortKind, ...] = (
    PortKind("engine rear face", "the rear of an engine, with crank, flex plate or clutch on it", (
        _HOUSING,
        _BOLTS,
        Ask("thread", "thread", "thread of its tapped holes, such as 3/8-16 or M10"),
        _DOWELS,
        Ask("dowel", "length", "diameter of the dowels", low=5.0, high=40.0),
        Ask("dowel height", "length", "how far the dowels stand out of the face", low=1.0, high=60.0),
        Ask("bell run-out", "length", "dial reading round the bell housing's bore, gauge on the crank", high=5.0),
        Ask("crank flange", "length", f"crank flange {_BEHIND}", low=-150.0, high=150.0),
        Ask("crank pilot", "length", "bore in the crank that takes a converter's nose", low=10.0, high=120.0),
        Ask("crank pilot depth", "length", "from the crank flange to the bottom of that bore", low=1.0, high=150.0),
        Ask("spacer", "length", "spacer between crank flange and flex plate, 0 for none", high=80.0),
        Ask("flex plate", "length", "from the flex plate's crank side to the face the converter meets", low=0.5,
            high=60.0),
        Ask("converter bolts", "count", "converter bolt holes in the flex plate", low=2.0, high=12.0),
        Ask("converter circle", "length", "circle through them", low=100.0, high=500.0),
        Ask("converter hole", "length", "diameter of those holes", low=5.0, high=25.0),
        Ask("pilot bearing", "length", "bore of the pilot bearing", low=8.0, high=60.0),
        Ask("pilot bearing length", "length", "length of the pilot bearing", low=4.0, high=60.0),
        Ask("pilot bearing face", "length", f"rear end of the pilot bearing {_BEHIND}", low=-150.0, high=150.0),
        Ask("pilot bearing room", "length", "from that end to the bottom of the crank's hole", low=5.0, high=200.0),
        Ask("clutch fingers", "length", f"tips of the clutch fingers {_BEHIND}", low=-50.0, high=250.0),
    )),
    PortKind("gearbox front face", "the front of a gearbox, with its own bell housing or none", (
        _HOUSING,
        _BOLTS,
        Ask("hole", "length", "diameter of its bolt holes", low=5.0, high=30.0),
        _DOWELS,
        Ask("dowel hole", "length", "diameter of the dowel holes", low=5.0, high=40.0),
        Ask("dowel hole depth", "length", "depth of the dowel holes", low=1.0, high=80.0),
        Ask("drive", "text", "what drives it", choices=("clutch", "converter")),
        Ask("input tip", "length", "tip of the input shaft ahead of the face, minus when behind it", low=-300.0,
            high=300.0),
        Ask("input nose", "length", "diameter of the input shaft's nose", low=8.0, high=60.0),
        Ask("nose length", "length", "from the tip to the shoulder behind the nose", low=4.0, high=150.0),
        Ask("release bearing", "length", "face of the release bearing, pushed right back, ahead of the gearbox's face, "
            "minus when behind it", low=-250.0, high=200.0),
        Ask("converter pads", "length", "how deep the converter's pads lie behind the face, converter right home",
            low=-50.0, high=150.0),
        Ask("converter bolts", "count", "pads or studs of the converter", low=2.0, high=12.0),
        Ask("converter circle", "length", "circle through them", low=100.0, high=500.0),
        Ask("converter thread", "thread", "thread of the pads or studs"),
        Ask("converter nose", "length", "diameter of the converter's nose", low=10.0, high=120.0),
        Ask("converter nose length", "length", "how far the nose stands ahead of the pads", low=1.0, high=120.0),
    )),
    PortKind("mount", "a rubber mount of an engine or gearbox", (
        Ask("bolts", "count", "bolts that hold it to its bracket", low=1.0, high=2.0),
        Ask("spacing", "length", "between its two studs or holes, middle to middle", low=10.0, high=400.0),
        Ask("thread", "thread", "thread of its studs or bolts"),
        Ask("height", "length", "from its base to the face that carries, under load", low=5.0, high=300.0),
    )),
    PortKind("mount bracket", "the bracket of an engine, gearbox or cross-member that takes a mount", (
        Ask("spacing", "length", "between its two holes, middle to middle", low=10.0, high=400.0),
        Ask("hole", "length", "width of its holes", low=4.0, high=40.0),
        Ask("slot", "length", "how much longer than wide they are along the line of the two, 0 for round", high=80.0),
        Ask("room", "length", "height between bracket and what the mount stands on, engine at its planned place",
            low=5.0, high=400.0),
        Ask("offset", "length", "sideways between the middles of mount and bracket, engine at its planned place",
            low=-200.0, high=200.0),
    )),
)  # fmt: skip
