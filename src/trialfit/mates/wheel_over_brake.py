"""Wheel over brake: room between rim and caliper or drum, and between spokes and caliper."""

import math
from dataclasses import replace

from trialfit.mates.answer import Answer, Work
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.hub_centring import WHEEL_CAUTION, between
from trialfit.mates.joint import Joint
from trialfit.parts import Fact
from trialfit.standards import Version, rule


def judge_wheel_over_brake(joint: Joint) -> tuple[Answer, ...]:
    """Whether the wheel goes round caliper or drum: the first end is the wheel, the second the brake."""
    wheel, brake = joint.a, joint.b
    gap = rule("wheel-to-brake", joint.choices.get("wheel-to-brake")).in_force
    weight = rule("wheel-weight-room", joint.choices.get("wheel-weight-room")).in_force
    drum = brake.kind == "brake drum"
    radius = brake.size("swept radius")
    if drum:
        outside = brake.size("outside diameter")
        radius = None if outside is None else Fact(*added((0.5, outside)))
    answers = [_barrel(wheel.size("barrel"), radius, gap, weight, "the drum" if drum else "the caliper")]
    if not drum:
        answers.append(_spokes(joint, wheel.size("spoke face"), brake.size("standout"), gap))
    return tuple(replace(a, caution=WHEEL_CAUTION) for a in answers)


def _barrel(barrel: Fact | None, radius: Fact | None, gap: Version, weight: Version, who: str) -> Answer:
    if barrel is None or radius is None:
        return not_known(
            "barrel gap",
            "the inside of the rim" if barrel is None else f"how far {who} reaches from the hub's axis",
            "measure the rim's inside diameter where the caliper passes, with a rod and a tape"
            if barrel is None
            else f"turn a rod fixed to a stud round over {who} and measure its tip to the axis",
            rule="wheel-to-brake",
            source=gap.source,
        )
    room, sd = added((0.5, barrel), (-1.0, radius))
    room -= weight.value
    return gauged(
        "barrel gap",
        room,
        sd,
        gap.value,
        math.inf,
        rule="wheel-to-brake",
        source=gap.source,
        good=f"{room:.2f} mm between {who} and the rim, {weight.value:.1f} mm of weights taken off",
        bad=f"{room:.2f} mm between {who} and the rim, {weight.value:.1f} mm of weights taken off; {gap.value:.2f} "
        "mm is asked",
        measure=f"measure rim and {who} again, or hang a card template on the studs and turn the wheel over it",
        remedy="a wheel with a bigger rim, or a smaller brake; never grind a caliper",
    )


def _spokes(joint: Joint, spokes: Fact | None, standout: Fact | None, gap: Version) -> Answer:
    layers, unknown = between(joint)
    if spokes is None or standout is None or layers is None:
        what = (
            "the inside of the spokes"
            if spokes is None
            else "how far the caliper stands out"
            if standout is None
            else f"the thickness of {unknown}"
        )
        return not_known(
            "spoke gap",
            what,
            "measure from a straight edge across the pad, or the hub's face, with a depth rod",
            rule="wheel-to-brake",
            source=gap.source,
        )
    room, sd = added((1.0, spokes), (1.0, layers), (-1.0, standout))
    more = gap.value - room
    return gauged(
        "spoke gap",
        room,
        sd,
        gap.value,
        math.inf,
        rule="wheel-to-brake",
        source=gap.source,
        good=f"{room:.2f} mm between caliper and spokes",
        bad=f"{room:.2f} mm between caliper and spokes; {gap.value:.2f} mm is asked",
        measure="measure both again with a depth rod, or stick clay on the caliper and fit the wheel",
        works=(
            Work(
                joint.a_part,
                "make a spacer",
                "between hub and wheel",
                f"a spacer of at least {more:.2f} mm on the wheel's register; then judge studs, register, offset "
                "and arch "
                "again with it as a layer",
                forbidden=("stacking washers",),
            ),
        ),
    )
