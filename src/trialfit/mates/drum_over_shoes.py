"""Drum over shoes: its diameter over the linings, and its lip beside the backing plate."""

import math
from dataclasses import replace

from trialfit.mates.answer import Answer, Target, Work
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.hub_centring import BRAKE_CAUTION
from trialfit.mates.joint import Joint
from trialfit.standards import rule

_CP = "common practice, no source"
_GEOMETRY = "geometry"


def judge_drum_on_plate(joint: Joint) -> tuple[Answer, ...]:
    """Whether a drum goes over its shoes and clears its plate: the first end is the drum, the second the plate."""
    drum, plate = joint.a, joint.b
    asked = rule("drum-lip-gap", joint.choices.get("drum-lip-gap")).in_force
    answers = []
    inside, shoes = drum.size("inside diameter"), plate.size("shoe circle")
    if inside is None or shoes is None:
        answers.append(
            not_known(
                "drum over shoes",
                "the drum's inside diameter" if inside is None else "the diameter over the linings",
                "measure it with a drum gauge, adjuster backed off",
            )
        )
    else:
        room, sd = added((1.0, inside), (-1.0, shoes))
        answers.append(
            gauged(
                "drum over shoes",
                room,
                sd,
                0.0,
                math.inf,
                source=_GEOMETRY,
                good=f"a drum of {inside.value:.2f} mm goes over shoes of {shoes.value:.2f} mm",
                bad=f"a drum of {inside.value:.2f} mm does not go over shoes of {shoes.value:.2f} mm",
                measure="measure drum and shoes with a drum gauge, adjuster backed off",
                remedy="shoes or drum of one set",
            )
        )
    depth, far = drum.size("depth"), plate.size("plate distance")
    if depth is None or far is None:
        answers.append(
            not_known(
                "drum lip",
                "the drum's depth" if depth is None else "how far the plate lies from the hub's face",
                "measure from a straight edge with a depth rod",
                rule="drum-lip-gap",
                source=asked.source,
            )
        )
    else:
        gap, sd = added((1.0, far), (-1.0, depth))
        more = asked.value - gap
        answers.append(
            gauged(
                "drum lip",
                gap,
                sd,
                asked.value,
                math.inf,
                rule="drum-lip-gap",
                source=asked.source,
                good=f"{gap:.2f} mm between the drum's lip and the plate",
                bad=f"{gap:.2f} mm between the drum's lip and the plate; {asked.value:.2f} mm is asked",
                measure="measure drum and plate from a straight edge with a depth rod",
                works=(
                    Work(
                        joint.a_part,
                        "turn down",
                        "lip of the drum",
                        f"face the lip back by {more:.2f} mm, outside the track of the linings",
                        found=depth,
                        target=Target(depth.value - more, depth.value - more - 0.2, depth.value - more, "length", _CP),
                        true_to="the hub face of the drum",
                        forbidden=("the track of the linings",),
                    ),
                ),
            )
        )
    return tuple(replace(a, caution=BRAKE_CAUTION) for a in answers)
