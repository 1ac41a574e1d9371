"""Does the slip joint stay in at droop and clear at bump?"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from trialfit.driveline.plunge_range import PlungeRange
from trialfit.driveline.rule_answers import RuleAnswer, hold
from trialfit.findings import SURE, Verdict, verdict_on
from trialfit.standards import refuse_not_positive, refuse_outside, rule
from trialfit.sums import Ask, a_sum

_CAUTION = (
    "A slip joint that bottoms breaks the gearbox; one that pulls out lets the shaft fall. Check both at full bump and "
    "full droop on the vehicle, springs off, before it runs."
)


@dataclass(frozen=True, slots=True)
class SlipJoint:
    """A splined slip at ride height: spline diameter, length of spline engaged, and room before each thing that can
    bottom [mm] (barrel at the seal, yoke at the shaft's end): name to room. ``sd_mm`` is the standard deviation of
    where it stands at ride height, shared by engagement and room."""

    spline_mm: float
    engaged_mm: float
    rooms_mm: Mapping[str, float]
    sd_mm: float

    def __post_init__(self) -> None:
        refuse_not_positive(spline_diameter=(self.spline_mm, "mm"), engaged_length=(self.engaged_mm, "mm"))
        refuse_outside("doubt of the slip's place", self.sd_mm, 0.0, math.inf, "mm")
        if not self.rooms_mm:
            raise ValueError("measure at least one room before the slip bottoms: barrel to seal, or yoke to shaft end")
        for name, room in self.rooms_mm.items():
            refuse_outside(f"room to {name}", room, 0.0, math.inf, "mm")

    @property
    def first_stop(self) -> tuple[str, float]:
        """What bottoms first, and the room before it at ride height [mm]."""
        return min(self.rooms_mm.items(), key=lambda item: item[1])


@dataclass(frozen=True, slots=True)
class SlipAnswer:
    """What is left of a slip joint over the travel. ``engaged_mm`` and ``room_mm`` are bounds of what is left at the
    worst state. ``engagement`` and ``pull_back`` hold every version of the two rules, that in force first; ``bottoms``
    is the verdict on the room left at bump."""

    engaged_mm: tuple[float, float]
    room_mm: tuple[float, float]
    first_stop: str
    engagement: tuple[RuleAnswer, ...]
    pull_back: tuple[RuleAnswer, ...]
    bottoms: Verdict
    bottoms_reason: str
    bottoms_sd_mm: float


def slip_answer(
    joint: SlipJoint, travelled: PlungeRange, choices: Mapping[str, str] | None = None, plunge_sd_mm: float = 0.0
) -> SlipAnswer:
    """What engagement is left at droop and what room at bump, against every version of each rule.

    The travel brings in the arc of leaf springs, roll and engine rock; wind of the axle counts when ``travelled`` was
    worked with it. Give of mounts along the vehicle is left out (unsafe side).

    Parameters
    ----------
    joint : SlipJoint
        at ride height
    travelled : PlungeRange
        from :func:`plunge_range`
    choices : mapping
        rule name to the label of the version the builder puts in force
    plunge_sd_mm : float
        standard deviation of the movement itself from the hardpoints' doubt [mm]

    Raises
    ------
    ValueError
        for a choice that is no version of its rule

    Source: rules spline-engagement and slip-yoke-pull-back.
    """
    chosen = choices or {}
    stop, room = joint.first_stop
    sd = math.hypot(joint.sd_mm, plunge_sd_mm)
    engaged = joint.engaged_mm - travelled.out.upper, joint.engaged_mm - travelled.out.lower
    left = room - travelled.into.upper, room - travelled.into.lower
    engagement = hold(
        "spline still engaged at the furthest droop", engaged, sd,
        rule("spline-engagement", chosen.get("spline-engagement")), at_most=False, scale=joint.spline_mm,
    )  # fmt: skip
    pull_back = hold(
        f"room before {stop} bottoms at ride height", (room, room), joint.sd_mm,
        rule("slip-yoke-pull-back", chosen.get("slip-yoke-pull-back")), at_most=False,
    )  # fmt: skip
    verdict = verdict_on(left[0], left[1], 0.0, sd)
    heave = travelled.into.at.heave
    reason = (f"{left[0]:.1f} mm left before {stop} bottoms, give or take {SURE * sd:.1f} mm, at heave {heave:.0f} mm "
              f"and roll {math.degrees(travelled.into.at.roll):.1f} deg")  # fmt: skip
    return SlipAnswer(engaged, left, stop, engagement, pull_back, verdict, reason, sd)


@a_sum(
    "slip-engagement-left",
    title="Spline still engaged when the slip is pulled out",
    asks=(
        Ask("engaged", "length", "length of spline engaged at ride height"),
        Ask("out", "length", "how far the slip is pulled out at full droop"),
        Ask("spline", "length", "spline diameter"),
    ),
    gives="engagement left, in spline diameters",
    dimension="ratio",
    unit="",
    words="(engaged - out) / spline; at least 1 to 1.5 is asked for",
    source="geometry",
    caution=_CAUTION,
)
def slip_engagement_left(engaged: float, out: float, spline: float) -> float:
    """Engagement left [-] in spline diameters; wear and chamfers are left out (unsafe side).

    Source: geometry.

    >>> round(slip_engagement_left(60.0, 8.0, 30.0), 3)
    1.733
    """
    refuse_not_positive(engaged=(engaged, "mm"), spline=(spline, "mm"))
    refuse_outside("out", out, -500.0, 500.0, "mm")
    return (engaged - out) / spline


@a_sum(
    "slip-yoke-length",
    title="Length of a shaft with a slip yoke",
    asks=(
        Ask("bottomed", "length", "distance between the middles of the joints with the yoke pushed in to its stop"),
        Ask("pull_back", "length", "how far the yoke stands back from bottomed at ride height", 25.0),
    ),
    gives="length between the middles of the joints to order",
    dimension="length",
    unit="mm",
    words="bottomed - pull back: the yoke pulled out brings the front joint nearer to the axle",
    source="club forum account of a slip yoke; builder's account of shaft-shop steps",
    caution=_CAUTION + " Measure with the vehicle's weight on the axle.",
)
def slip_yoke_length(bottomed: float, pull_back: float) -> float:
    """Length [mm] of a shaft whose slip yoke stands back by ``pull_back`` at ride height.

    Source: club forum account of a slip yoke; builder's account of shaft-shop steps.
    """
    refuse_not_positive(bottomed=(bottomed, "mm"))
    refuse_outside("pull back", pull_back, 0.0, 200.0, "mm")
    return bottomed - pull_back
