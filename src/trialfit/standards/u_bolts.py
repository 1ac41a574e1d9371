"""Spring U-bolts: torque by thread, how long the legs, how far apart."""

from dataclasses import dataclass

from trialfit.standards.ranges import refuse_not_positive, refuse_outside
from trialfit.standards.table import table
from trialfit.sums import Ask, a_sum

CAUTION = (
    "U-bolts hold the axle to the car. Use new ones of the grade the spring maker asks for with deep nuts and hard "
    "washers, tighten crosswise in steps with the weight on the springs, and tighten again after the first drive. "
    "Have the work looked over by someone licensed where the law asks for it."
)
_LBF_FT = 1355.8179483314004


@dataclass(frozen=True, slots=True)
class UBoltTorque:
    """What one page asks of a spring U-bolt's nuts: least and greatest torque [N*mm], for which grade and surface, and
    which page. The vehicle maker's figure goes before all of them."""

    low_nmm: float
    high_nmm: float
    words: str
    source: str


def u_bolt_torques(thread: str, grade: str = "") -> tuple[UBoltTorque, ...]:
    """Every torque found for the nuts of a spring U-bolt of that thread; () when no list has the thread.

    The spring shops' lists give a greatest torque, plated and bare: the band runs from one to the other, and oiled
    threads lie in it. The lists differ from the truck manual by a third, and both are told.

    Parameters
    ----------
    grade : str
        5 or 8; "" for every grade listed; a metric one (8.8, 10.9) stands in none of the lists

    Source: spring shop's U-bolt torque list; truck maintenance manual, spring U-bolts.

    >>> [(t.words, round(t.low_nmm / 1e3)) for t in u_bolt_torques("1/2-20", "5")]
    [('grade 5, plated to bare', 71)]
    """
    key = "".join(thread.split()).upper().removesuffix("UNF").replace("X", "x")
    shops, trucks = table("u_bolt_torque"), table("u_bolts")
    found = [
        UBoltTorque(_LBF_FT * float(r["plated_lbf_ft"]), _LBF_FT * float(r["bare_lbf_ft"]),
                    f"grade {r['grade']}, plated to bare", shops.source)
        for r in shops.rows
        if r["thread"] == key and grade in {"", r["grade"]}
    ]  # fmt: skip
    found += [
        UBoltTorque(_LBF_FT * float(r["low_lbf_ft"]), _LBF_FT * float(r["high_lbf_ft"]), "high nuts of a truck",
                    trucks.source)
        for r in trucks.rows
        if r["thread"] == key
    ]  # fmt: skip
    return tuple(found)


@a_sum(
    "u-bolt-leg-length",
    title="Leg length of a spring U-bolt",
    asks=(
        Ask("around", "length", "what it goes round: axle tube diameter, or leaf stack with its top plate"),
        Ask("pad", "length", "height of the spring pad, between tube and spring", 0.0),
        Ask("stack", "length", "leaf stack at the centre pin, when the bolt goes round the tube", 0.0),
        Ask("between", "length", "blocks, wedges and shims together", 0.0),
        Ask("plate", "length", "thickness of the plate under the nuts"),
        Ask("washer", "length", "thickness of the washer", 0.0),
        Ask("nut", "length", "height of the nut"),
        Ask("out", "length", "thread to stand out of the nut"),
    ),
    gives="leg length, from inside the bend to the end",
    dimension="length",
    unit="mm",
    words="around + pad + stack + between + plate + washer + nut + out",
    source="geometry",
    caution=CAUTION,
)
def u_bolt_leg_length(
    around: float, pad: float, stack: float, between: float, plate: float, washer: float, nut: float, out: float
) -> float:
    """Leg length [mm] of a U-bolt, from the inside of its bend to the end of the leg.

    The stack is taken as clamped; an arched spring is thicker before it is pulled flat (order on the long side).

    Raises
    ------
    ValueError
        for an amount that is negative, or no nut or no plate

    Source: geometry.

    >>> u_bolt_leg_length(76.2, 25.0, 45.0, 0.0, 8.0, 3.0, 16.0, 5.0)
    178.2
    """
    refuse_not_positive(around=(around, "mm"), plate=(plate, "mm"), nut=(nut, "mm"))
    for name, value in (("pad", pad), ("stack", stack), ("between", between), ("washer", washer), ("out", out)):
        refuse_outside(name, value, 0.0, 500.0, "mm")
    return around + pad + stack + between + plate + washer + nut + out


@a_sum(
    "u-bolt-leg-spacing",
    title="Distance between the middles of a U-bolt's legs",
    asks=(Ask("inside", "length", "inside width between the legs"), Ask("rod", "length", "diameter of the rod")),
    gives="hole pitch of the plate",
    dimension="length",
    unit="mm",
    words="inside + rod",
    source="geometry",
    caution=CAUTION,
)
def u_bolt_leg_spacing(inside: float, rod: float) -> float:
    """Distance [mm] between the middles of a U-bolt's legs, which is the plate's hole pitch.

    Source: geometry.
    """
    refuse_not_positive(inside=(inside, "mm"), rod=(rod, "mm"))
    return inside + rod


@a_sum(
    "slot-for-bigger-tube",
    title="How far each hole of a spring plate must be slotted for another tube",
    asks=(
        Ask("pitch", "length", "hole pitch of the plate across the tube"),
        Ask("inside", "length", "inside width of the U-bolt: the tube's diameter and its play"),
        Ask("rod", "length", "diameter of the rod"),
    ),
    gives="how far each hole is lengthened, outward when positive and inward when negative",
    dimension="length",
    unit="mm",
    words="(inside + rod - pitch) / 2",
    source="geometry",
    caution=CAUTION,
)
def slot_for_bigger_tube(pitch: float, inside: float, rod: float) -> float:
    """How far [mm] each hole is lengthened so that a leg stands in the end of its slot with the play it had.

    Positive outward. The play of the rod in the hole is kept, not used up: that leaves room for a bent leg.

    Source: geometry.

    >>> round(slot_for_bigger_tube(88.9, 88.9, 12.7), 2)
    6.35
    """
    refuse_not_positive(pitch=(pitch, "mm"))
    return 0.5 * (u_bolt_leg_spacing(inside, rod) - pitch)
