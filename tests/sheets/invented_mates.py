"""Invented parts, holes and work for the sheets of mates: no real vehicle has these numbers."""

import math

from trialfit.findings import Verdict
from trialfit.mates import Hole, Plate, Step, Target, Turned, Work
from trialfit.mates.chain import BagItem
from trialfit.parts import Fact
from trialfit.sheets.machine_order import PartToWork
from trialfit.sheets.mates_list import MateLine
from trialfit.structure.clamp import Spread
from trialfit.structure.torque_list import TorqueLine


def on_circle(count, circle_mm, turn_deg=0.0):
    """Middles on a circle, by the plain definition of sine and cosine."""
    angles = [math.radians(turn_deg + 360.0 * k / count) for k in range(count)]
    return [(circle_mm / 2.0 * math.cos(a), circle_mm / 2.0 * math.sin(a)) for a in angles]


FLANGE = Plate(
    "Axle flange, left: 5 holes on 114.3 mm (invented)",
    "middle of the register; x through the first old hole",
    12.0,
    (
        *(Hole(x, y, 13.0, "old", old=True) for x, y in on_circle(5, 120.65)),
        *(Hole(x, y, 13.0, "new", low_mm=13.0, high_mm=13.11, position_mm=0.2) for x, y in on_circle(5, 114.3, 36.0)),
    ),
    150.0,
    (),
    60.0,
    circles=((120.65, "old circle 120.65 mm"), (114.3, "new circle 114.30 mm")),
)

DAMPER = Plate(
    "Damper plate, spring left (invented)",
    "middle of the centre-pin hole; x rearward",
    9.5,
    (
        *(
            Hole(sx * 41.5, sy * 57.0, 14.5, "U-bolt", slot_mm=9.0, slot_rad=math.pi / 2)
            for sx in (-1, 1)
            for sy in (-1, 1)
        ),
        *(Hole(sx * 41.5, sy * 52.5, 14.5, "", old=True) for sx in (-1, 1) for sy in (-1, 1)),
        Hole(0.0, 0.0, 12.5, "centre pin", old=True),
    ),
    outline=((-60.0, -85.0), (60.0, -85.0), (60.0, 85.0), (-60.0, 85.0)),
)

ADAPTER = Plate(
    "Adapter plate (invented)",
    "middle of the spigot bore; x to the right, level",
    15.0,
    (
        *(
            Hole(x, y, 10.5, "bell", low_mm=10.5, high_mm=10.68, position_mm=0.2)
            for x, y in ((-140.0, 60.0), (-110.0, -90.0), (0.0, 130.0), (140.0, 60.0), (110.0, -90.0), (60.0, -120.0))
        ),
        *(Hole(x, 95.0, 12.0, "dowel", low_mm=12.0, high_mm=12.018, position_mm=0.05) for x in (-95.0, 95.0)),
        Hole(-60.0, -120.0, 11.0, "", old=True),
    ),
    outline=(
        (-165.0, -80.0),
        (-120.0, -125.0),
        (-60.0, -145.0),
        (60.0, -145.0),
        (120.0, -125.0),
        (165.0, -80.0),
        (165.0, 70.0),
        (120.0, 120.0),
        (30.0, 155.0),
        (-30.0, 155.0),
        (-120.0, 120.0),
        (-165.0, 70.0),
    ),
    bore_mm=125.0,
    bore_low_mm=125.0,
    bore_high_mm=125.04,
)

SMALL_RING = Plate(
    "Spacer (invented)", "its bore", None, tuple(Hole(x, y, 6.6) for x, y in on_circle(3, 50.0)), 64.0, bore_mm=30.0
)
PATTERN_ALONE = Plate(
    "Pattern of a bell housing (invented)",
    "first dowel; x to the second",
    None,
    tuple(Hole(x, y, 10.5) for x, y in on_circle(6, 380.0, 12.0)),
)

REGISTER = Turned(
    "Outer register turned down (invented)",
    "face that the wheel lies on",
    (
        Step(8.0, 150.0, 40.0, "150", "40"),
        Step(6.0, 71.5, 40.0, "71.5 must stay: the rotor's register", "", length_words="6 must stay"),
        Step(9.0, 67.08, 40.0, "67.1 g6 67.071 to 67.090 mm", "", "outer", "9 at least", 1.0),
    ),
)
RING = Turned(
    "Hub ring (invented)",
    "face that lies on the hub",
    (Step(8.0, 73.07, 67.115, "73.1 g6 73.061 to 73.080 mm", "67.1 H7 67.100 to 67.130 mm", "both", "8 -0.2", 0.5),),
)
GROOVED = Turned(
    "Grooved sleeve (invented)",
    "its left end",
    (
        Step(10.0, 60.0, 30.0, "60", "30", length_words="10"),
        Step(5.0, 50.0, 36.0, "50", "36", length_words="5"),
        Step(12.0, 60.0, 30.0, "60", "", length_words="12"),
    ),
)
PIN = Turned(
    "Pin (invented)",
    "its head",
    (
        Step(10.0, 20.0, 0.0, "20 h6", length_words="10"),
        Step(30.0, 12.0, 0.0, "12 g6 11.983 to 11.994 mm", "", "outer", "30"),
    ),
)

_AXLE = "rear axle flange, left (invented)"
TURN_DOWN = Work(
    _AXLE,
    "turn down",
    "outer register",
    "turn the outer register down to the wheel's bore; leave the inner one",
    Fact(70.62, 0.03, "calliper, two directions"),
    Target(67.1, 67.071, 67.09, "67.1 g6", "ISO 286-1"),
    "the bearing seats, on centres",
    0.05,
    ("welding on the axle shaft", "touching the inner register of 71.5 mm: it centres the rotor"),
    REGISTER,
)
REDRILL = Work(
    _AXLE,
    "redrill",
    "wheel face",
    "drill 5 holes of 13.00 mm on a circle of 114.30 mm",
    None,
    None,
    "the register, not the old holes",
    0.1,
    ("welding the old holes shut",),
    FLANGE,
)
MAKE_RING = Work(
    "hub ring, front (invented)",
    "make a ring",
    "ring between wheel and hub",
    "two rings",
    Fact(66.98, 0.03),
    Target(67.1, 67.1, 67.13, "67.1 H7", "ISO 286-1"),
    "its own bore",
    0.03,
    ("splitting it",),
    RING,
)
MAKE_PLATE = Work(
    "adapter plate (invented)",
    "make a plate",
    "between engine and gearbox",
    "both patterns",
    None,
    None,
    "the crankshaft",
    0.12,
    (),
    ADAPTER,
)
SLOT = Work(
    "damper plate, spring left (invented)",
    "slot",
    "U-bolt holes",
    "slot each hole outwards by 9.00 mm",
    forbidden=("flame cutting",),
    figure=DAMPER,
)

ANSWERS = {"contact": "A. Builder (invented), by telephone", "vehicle": "Estate of no make (invented)"}
AXLE = PartToWork(
    _AXLE,
    "rear wheel left on hub",
    (TURN_DOWN, REDRILL),
    "forged steel",
    ("wheel", "one stud and nut"),
    {
        "register_height": "9 mm at least",
        "register_side": "outer face",
        "face_thickness": "8 mm",
        "old_part_enclosed": "yes",
        "photographs": "yes",
    },
)
HUB_RING = PartToWork(
    "hub ring, front (invented)",
    "front wheels on hub",
    (MAKE_RING,),
    "aluminium",
    ("front wheel",),
    {"ring_material": "aluminium", "old_part_enclosed": "no", "photographs": "no"},
)
PLATE = PartToWork(
    "adapter plate (invented)",
    "gearbox to engine",
    (MAKE_PLATE,),
    "aluminium plate",
    ("bell housing",),
    {"old_part_enclosed": "no", "photographs": "yes"},
)
SLOTTED = PartToWork(
    "damper plate, spring left (invented)",
    "axle tube to spring",
    (SLOT,),
    "steel",
    ("one U-bolt",),
    {"old_part_enclosed": "yes", "photographs": "yes"},
)
PARTS = (AXLE, HUB_RING, PLATE, SLOTTED)


def mate_lines(fitting=34):
    """Forty joints and one, of every verdict."""
    register = "measure the hub's inner register with a calliper, in two directions, on clean metal"
    return [
        *(
            MateLine(
                "frame",
                f"bracket {k} on rail",
                "bolt through hole",
                Verdict.FITS,
                margin=f"hole: {0.3 + 0.05 * k:.2f} ± 0.08 mm to spare",
            )
            for k in range(fitting)
        ),
        MateLine(
            "rear left",
            "outer register",
            "wheel on hub",
            Verdict.FITS_AFTER_WORK,
            ("register: 70.62 mm in a bore of 67.10 mm",),
            "turn it down to 67.071 to 67.090 mm",
        ),
        MateLine(
            "axle",
            "damper plate left",
            "axle tube to spring",
            Verdict.FITS_AFTER_WORK,
            ("hole pitch: slots of 9.00 mm leave 11.25 mm of metal",),
            "slot four holes outwards",
        ),
        MateLine(
            "gearbox",
            "dowels",
            "gearbox to engine",
            Verdict.CANNOT_TELL,
            ("dowel depth: not known",),
            "",
            "measure how far each dowel stands out, depth gauge, from the engine's rear face",
        ),
        MateLine(
            "rear left",
            "rotor on hub, left",
            "rotor on hub",
            Verdict.CANNOT_TELL,
            ("register: known to 0.20 mm, the fit needs 0.03 mm",),
            "",
            register,
        ),
        MateLine(
            "rear right",
            "rotor on hub, right",
            "rotor on hub",
            Verdict.CANNOT_TELL,
            ("register: not measured",),
            "",
            register,
        ),
        MateLine(
            "rear left",
            "wheel on studs",
            "wheel on hub",
            Verdict.DOES_NOT_FIT,
            ("bolt circle: 120.00 mm on 120.65 mm: it starts on the studs and bends them",),
            "redrill the hub",
            cautions=("a wheel that hangs on bent studs comes off",),
        ),
        MateLine(
            "line B3",
            "flare in hose",
            "hydraulic end to end",
            Verdict.DOES_NOT_FIT,
            ("seat: a double flare in a bubble seat leaks",),
            "make the bubble flare",
        ),
    ]


BAG = tuple(
    BagItem(line, f"1 {side}", "adapter (invented)", thread, seat, tube)
    for line in ("B3", "B4")
    for side, thread, seat, tube in (
        ("in", "3/8-24", "inverted flare, 45 deg", "3/16 in"),
        ("out", "M10x1", "bubble", "4.75 mm"),
    )
)

TORQUES = (
    TorqueLine(
        "axle flange (invented)",
        "4 x M10x1.5",
        "M10x1.5",
        "8.8",
        "dry",
        Spread(45_000.0, 50_000.0, 55_000.0),
        "reckoned from grade 8.8",
        Spread(18_000.0, 23_000.0, 29_000.0),
        "after 800 km",
        "",
        "",
        ("the maker's own figure goes before it",),
    ),
    TorqueLine(
        "bell housing (invented)",
        "6 x M12x1.75",
        "M12x1.75",
        "",
        "dry",
        None,
        "",
        None,
        "after 800 km",
        "",
        "",
        ("no torque: find the maker's figure",),
    ),
    TorqueLine(
        "pinion nut (invented)",
        "1 x M22x1.5",
        "M22x1.5",
        "10",
        "oiled",
        Spread(6_500.0, 7_000.0, 7_500.0),
        "axle's manual (invented)",
        None,
        "not again: it is locked or crushed once it is right",
        "new each time: the collar is spoilt",
        "Staked nut: holds the nut",
        (),
    ),
)
