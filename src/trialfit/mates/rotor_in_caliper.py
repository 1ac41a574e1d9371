"""Rotor in caliper: in the middle of its gap, within it, and under the bridge."""

import math
from collections.abc import Iterator
from dataclasses import replace

from trialfit.mates.answer import AGAIN, Answer, Work
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.hub_centring import BRAKE_CAUTION
from trialfit.mates.joint import Joint
from trialfit.parts import Port
from trialfit.standards import rule

_CP = "common practice, no source"
_GEOMETRY = "geometry"


def judge_rotor_in_caliper(joint: Joint) -> tuple[Answer, ...]:
    """Whether a rotor runs in the middle of a caliper: the first end is the rotor, the second the caliper."""
    rotor, caliper = joint.a, joint.b
    answers = [_middle(joint, rotor, caliper), _gap(rotor, caliper), *_reach(rotor, caliper)]
    return tuple(replace(a, caution=BRAKE_CAUTION) for a in answers)


def _middle(joint: Joint, rotor: Port, caliper: Port) -> Answer:
    at, want = rotor.size("offset"), caliper.size("middle")
    asked = rule("rotor-to-caliper-middle", joint.choices.get("rotor-to-caliper-middle")).in_force
    if at is None or want is None:
        return not_known(
            "rotor in the middle",
            "how far the middle of the disc lies from the hat's hub face"
            if at is None
            else "how far the middle of the caliper's gap lies from the hub's face",
            "lay a straight edge on the hub's face and measure to both sides of the disc, or of the gap, with a "
            "depth rod",
            rule="rotor-to-caliper-middle",
            source=asked.source,
        )
    off, sd = added((1.0, want), (-1.0, at))
    side = "inboard" if off > 0.0 else "outboard"
    move = "outboard" if off > 0.0 else "inboard"
    kind = "shim" if abs(off) <= 6.0 else "have made"
    words = (
        f"shim the caliper or its bracket {abs(off):.2f} mm {move}, the same at every bolt, with one hard flat shim "
        f"each{AGAIN}"
        if kind == "shim"
        else f"a bracket that holds the caliper {abs(off):.2f} mm farther {move}; so thick a pack "
        "of shims "
        "bends its bolts"
    )
    work = Work(
        joint.b_part,
        kind,
        "caliper on its bracket",
        words,
        forbidden=("washers of soft metal", "shims under one bolt"),
        moves=joint.b_part,
    )
    return gauged(
        "rotor in the middle",
        off,
        sd,
        -asked.value,
        asked.value,
        rule="rotor-to-caliper-middle",
        source=asked.source,
        good=f"the disc runs {abs(off):.2f} mm from the middle of the gap",
        bad=f"the middle of the gap lies {abs(off):.2f} mm {side} of the disc's; {asked.value:.2f} mm may be",
        measure="measure both from the hub's face with a depth rod",
        works=(work,),
    )


def _gap(rotor: Port, caliper: Port) -> Answer:
    thick, gap = rotor.size("thickness"), caliper.size("gap")
    if thick is None or gap is None:
        return not_known(
            "rotor in the gap",
            "the rotor's thickness" if thick is None else "the caliper's gap",
            "measure it with a micrometer" if thick is None else "push the pistons back and measure between new pads",
        )
    room, sd = added((1.0, gap), (-1.0, thick))
    return gauged(
        "rotor in the gap",
        room,
        sd,
        0.0,
        math.inf,
        source=_GEOMETRY,
        good=f"a rotor of {thick.value:.2f} mm goes in a gap of {gap.value:.2f} mm",
        bad=f"a rotor of {thick.value:.2f} mm does not go in a gap of {gap.value:.2f} mm",
        measure="measure rotor and gap with a calliper",
        remedy="the caliper's own rotor",
    )


def _reach(rotor: Port, caliper: Port) -> Iterator[Answer]:
    across, most, least = rotor.size("diameter"), caliper.size("most rotor"), caliper.size("least rotor")
    if across is None or most is None:
        yield not_known(
            "rotor under the caliper",
            "the rotor's diameter"
            if across is None
            else "the greatest rotor that turns in the caliper where it stands",
            "measure it with a calliper or tape, in two directions"
            if across is None
            else "measure from the hub's axis to the bridge of the caliper",
        )
        return
    room, sd = added((0.5, most), (-0.5, across))
    yield gauged(
        "rotor under the caliper",
        room,
        sd,
        1.0,
        math.inf,
        source=_CP,
        good=f"{room:.2f} mm between the rotor's edge and the caliper",
        bad=f"{room:.2f} mm between the rotor's edge and the caliper; 1.00 mm is asked",
        measure="measure rotor and caliper again",
        remedy="a smaller rotor, or a bracket that stands farther out",
    )
    if least is not None:
        over, sd = added((1.0, across), (-1.0, least))
        yield gauged(
            "pads on the rotor",
            over,
            sd,
            0.0,
            math.inf,
            source=_GEOMETRY,
            good=f"the pads stay on a rotor of {across.value:.2f} mm",
            bad=f"the pads hang {-over / 2.0:.2f} mm over the edge of a rotor of {across.value:.2f} mm and wear a lip",
            measure="measure rotor and pads again",
            remedy="a bigger rotor, or a bracket that stands nearer in",
        )
