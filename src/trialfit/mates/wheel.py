"""Wheel on hub: circle, register, studs, nuts, offset, cap and load; and the kinds of joint a wheel is part of."""

import math
from collections.abc import Iterator
from dataclasses import replace

from trialfit.findings import Verdict
from trialfit.mates.answer import Answer, Work
from trialfit.mates.bolt_circle import known_circle
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.hub_centring import WHEEL_CAUTION, between, centred
from trialfit.mates.joint import Joint, MateKind
from trialfit.mates.judging import within
from trialfit.mates.pattern import Face, Redrilled, circle_answer, redrill
from trialfit.mates.register import Register
from trialfit.mates.stud import engagement_answers
from trialfit.mates.wheel_nut import nut_answers
from trialfit.mates.wheel_over_brake import judge_wheel_over_brake
from trialfit.mates.wheel_place import wheel_offset_by_overall_width, wheel_offset_from_backspacing
from trialfit.parts import Ask, Fact, Port
from trialfit.parts.wheel_ports import SEATS
from trialfit.standards import Version, rule
from trialfit.standards.wheels import circles_near, seat_centres

_CP = "common practice, no source"


def judge_wheel_on_hub(joint: Joint) -> tuple[Answer, ...]:
    """Every question about a wheel on a hub: the first end is the wheel, the second the hub."""
    wheel, hub = joint.a, joint.b
    answers = [
        _circle(joint, wheel, hub),
        *_centring(joint, wheel, hub),
        *engagement_answers(joint, wheel.size("pad thickness"), hub),
        *nut_answers(joint, wheel, hub),
        *_offset(joint, wheel),
        *_spacer_face(joint, wheel, hub),
        *_cap(joint, wheel, hub),
        *_load(joint, wheel),
    ]
    return tuple(replace(a, caution=a.caution or WHEEL_CAUTION) for a in answers)


def _of(joint: Joint, name: str) -> Version:
    return rule(name, joint.choices.get(name)).in_force


def _circle(joint: Joint, wheel: Port, hub: Port) -> Answer:
    holes, studs = wheel.count("holes"), hub.count("studs")
    have = known_circle(holes, wheel.size("bolt circle"), wheel.size("neighbour distance"))
    want = known_circle(studs, hub.size("bolt circle"), hub.size("neighbour distance"))
    limit = _of(joint, "bolt-circle-difference")
    answer = circle_answer(
        "bolt circle",
        holes,
        have,
        studs,
        want,
        limit.value,
        a_words="the wheel's holes",
        b_words="the hub's studs",
        off_words="so that nuts start, seat on one side and bend the studs",
        remedy=_other_wheel(holes, have, studs, want),
        work=_redrilled(joint, hub, holes, have, studs, want),
        rule_name="bolt-circle-difference",
        source=limit.source,
    )
    hints = "".join(_may_be(who, count, size) for who, count, size in (("wheel", holes, have), ("hub", studs, want)))
    if answer.works:
        return replace(answer, remedy=f"{answer.remedy}; rotor or drum on this flange need the new circle as well")
    return replace(answer, reason=answer.reason + hints) if answer.verdict is Verdict.CANNOT_TELL else answer


def _other_wheel(holes: int | None, have: Fact | None, studs: int | None, want: Fact | None) -> str:
    def pattern(count: int | None, circle: Fact | None) -> str:
        return f"{count}" if circle is None else f"{count} on {circle.value:.2f} mm"

    alike = f"a wheel of {pattern(studs, want)} or a hub of {pattern(holes, have)}"
    return f"{alike}; no wobble bolts, no drawing it up by its nuts"


def _may_be(who: str, count: int | None, circle: Fact | None) -> str:
    if count is None or circle is None or not circle.sd:
        return ""
    near = circles_near(count, circle.value, circle.sd)
    if not near:
        return f". The {who}'s {circle.value:.2f} mm is none of the common circles: measure again"
    return f". The {who}'s {circle.value:.2f} mm may be {' or '.join(c.name for c in near)}"


def _redrilled(
    joint: Joint, hub: Port, holes: int | None, have: Fact | None, studs: int | None, want: Fact | None
) -> Redrilled | None:
    """The hub drilled to the wheel's circle, when the builder allows it and enough is known."""
    if joint.word("redrill") != "hub" or holes is None or studs is None or have is None or want is None:
        return None
    hole = hub.size("stud hole")
    if hole is None:
        return None
    out, thick = hub.size("flange diameter"), hub.size("flange thickness")
    steps = [f.value for f in (hub.size("rotor register"), hub.size("wheel register")) if f is not None]
    face = Face(
        joint.b_part,
        "flange",
        out.value if out else 0.0,
        (),
        max(steps, default=0.0),
        thick.value if thick else None,
        datum="axis of the bearing journal or register; x through the middle of one old hole",
        true_to="the bearing journal and the register, not the old holes",
        forbidden=(
            "welding old holes shut or welding on an axle shaft",
            "heating",
            "drilling through the wheel by hand",
        ),
        shop="a hub",
    )
    return redrill(
        face, studs, want.value, hole.value, holes, have.value, hole.value, hole_zone="H8", choices=joint.choices
    )


def _centring(joint: Joint, wheel: Port, hub: Port) -> Iterator[Answer]:
    bore, spigot = wheel.size("bore"), hub.size("wheel register")
    form = wheel.word("seat")
    by_nuts = joint.word("centring") == "nuts"
    if by_nuts and form and not seat_centres(form):
        yield Answer(
            "hub register",
            Verdict.DOES_NOT_FIT,
            f"a {form} seat does not centre a wheel: only the register can",
            remedy="centre the wheel on the hub's register",
            source=_CP,
        )
    elif by_nuts and bore is not None and spigot is not None:
        room, sd = added((1.0, bore), (-1.0, spigot))
        yield gauged(
            "hub register",
            room,
            sd,
            0.0,
            math.inf,
            source="owners' accounts of lug-centred wheels",
            good=f"the wheel's bore of {bore.value:.2f} mm goes over the register of {spigot.value:.2f} mm; the "
            f"{form or 'nut'} "
            "seats centre the wheel: tighten crosswise with the wheel off the ground",
            bad=f"the wheel's bore of {bore.value:.2f} mm does not go over the register of {spigot.value:.2f} mm",
            measure="measure bore and register with a calliper, in two directions, on clean metal",
            works=() if room >= 0.0 else centred(_register(joint, wheel, hub), joint.choices).works,
        )
    else:
        yield _or_nuts(centred(_register(joint, wheel, hub), joint.choices), bore, spigot, form)
    yield from _register_height(joint, wheel, hub)


def _or_nuts(answer: Answer, bore: Fact | None, spigot: Fact | None, form: str) -> Answer:
    """Tells that nuts may centre a wheel whose bore is too big, where their seat does so."""
    if bore is None or spigot is None or bore.value <= spigot.value or not form or not seat_centres(form):
        return answer
    if answer.verdict not in (Verdict.FITS_AFTER_WORK, Verdict.DOES_NOT_FIT):
        return answer
    other = f"or, where wheel and {form} nuts were made to centre without a register, say centring: nuts"
    return replace(answer, remedy=f"{answer.remedy}; {other}")


def _register(joint: Joint, wheel: Port, hub: Port) -> Register:
    step, step_height, height = (
        hub.size(k) for k in ("rotor register", "rotor register height", "wheel register height")
    )
    own = None
    if height is not None and (step is None or step_height is not None):
        own = height.value - (step_height.value if step_height is not None else 0.0)
    return Register(
        question="hub register",
        bore=wheel.size("bore"),
        spigot=hub.size("wheel register"),
        bore_part=joint.a_part,
        bore_place="bore",
        spigot_part=joint.b_part,
        spigot_place="wheel register (outer step)",
        hole_zone="H8",
        spigot_zone="h8",
        may_turn=True,
        may_open=True,
        may_ring=True,
        ring_height_mm=own if own and own > 0.0 else None,
        true_to="the bearing journal, or the rotor's register",
        forbidden=("the faces that rotor and wheel bear on",),
        hollow=hub.size("hollow"),
        keep=step,
        keep_place="rotor's register next to the flange",
        keep_height_mm=step_height.value if step_height is not None else None,
        height_mm=own if own and own > 0.0 else None,
    )


def _register_height(joint: Joint, wheel: Port, hub: Port) -> Iterator[Answer]:
    """Whether enough of the wheel's register stands out of hat and spacers, and its bigger neighbour stays below."""
    height, step, step_height = (
        hub.size(k) for k in ("wheel register height", "rotor register", "rotor register height")
    )
    layers, unknown = between(joint)
    asked = _of(joint, "hub-register-height")
    if layers is None:
        yield not_known(
            "register height",
            f"the thickness of {unknown}",
            f"measure {unknown} with a calliper",
            rule="hub-register-height",
            source=asked.source,
        )
        return
    if joint.word("centring") != "nuts":
        if height is None:
            yield not_known(
                "register height",
                "how far the wheel's register stands out of the flange",
                "measure from the flange's face to the end of the register with a calliper's depth rod",
                rule="hub-register-height",
                source=asked.source,
            )
        else:
            left, sd = added((1.0, height), (-1.0, layers))
            yield gauged(
                "register height",
                left,
                sd,
                asked.value,
                math.inf,
                rule="hub-register-height",
                source=asked.source,
                good=f"{left:.2f} mm of the register stand in the wheel's bore",
                bad=f"{layers.value:.2f} mm of hat and spacers leave {max(left, 0.0):.2f} mm of the register for the "
                "wheel; "
                f"{asked.value:.2f} mm is asked",
                measure="measure the register's height and every layer with a calliper",
                remedy="a spacer with a register of its own, or nuts that centre",
            )
    bore = wheel.size("bore")
    if step is not None and bore is not None and step.value > bore.value:
        if step_height is None:
            yield not_known(
                "rotor step below the wheel",
                "the height of the rotor's register",
                "measure from the flange's face to the end of the bigger step with a depth rod",
            )
            return
        below, sd = added((1.0, layers), (-1.0, step_height))
        yield gauged(
            "rotor step below the wheel",
            below,
            sd,
            0.0,
            math.inf,
            source="geometry",
            good=f"the rotor's step of {step.value:.2f} mm ends {below:.2f} mm below the wheel's pad",
            bad=f"the rotor's step of {step.value:.2f} mm stands {-below:.2f} mm beyond hat and spacers and is "
            "bigger than the "
            f"wheel's bore of {bore.value:.2f} mm: the pad would bear on the step, not on the hat",
            measure="measure the height of the step and the thickness of the hat with a calliper",
            remedy="a thicker hat or a spacer, or a chamfer in the wheel's bore that clears the step",
        )


def _offset(joint: Joint, wheel: Port) -> Iterator[Answer]:
    """Whether offset, backspacing and width agree: one of them is easily misread."""
    offset, back, over, width = (wheel.size(k) for k in ("offset", "backspacing", "overall width", "rim width"))
    how = "lay a straight edge across the inner lip and measure to the pad; measure the width over both lips"
    if offset is None and (back is None or (over is None and width is None)):
        yield not_known("offset", "the wheel's offset, and backspacing with width,", how)
        return
    if back is None or (over is None and width is None):
        assert offset is not None
        yield Answer(
            "offset",
            Verdict.FITS,
            f"offset {offset.value:.1f} mm as marked; not held against backspacing",
            source="geometry",
        )
        return
    lip, spread = _of(joint, "rim-lip"), _of(joint, "rim-lip-spread")
    across = over if over is not None else width
    assert across is not None
    try:
        if over is not None:
            by, most = wheel_offset_by_overall_width(back.value, across.value), 1.0
        else:
            by, most = wheel_offset_from_backspacing(back.value, across.value, lip.value), spread.value
    except ValueError as fault:
        yield Answer("offset", Verdict.CANNOT_TELL, f"these sizes cannot belong to one wheel: {fault}", measure=how)
        return
    _, sd = added((1.0, back), (-0.5, across))
    if offset is None:
        yield Answer(
            "offset",
            Verdict.FITS,
            f"offset {by:.1f} mm, worked out from the backspacing",
            sd=sd,
            unit="mm",
            source="geometry",
        )
        return
    doubt = None if sd is None or offset.sd is None else math.hypot(sd, offset.sd)
    off = offset.value - by
    yield gauged(
        "offset",
        off,
        doubt,
        -most,
        most,
        source="geometry",
        rule="" if over is not None else "rim-lip",
        good=f"offset {offset.value:.1f} mm agrees with the backspacing, which gives {by:.1f} mm",
        bad=f"offset is given as {offset.value:.1f} mm, but backspacing and width give {by:.1f} mm: one is misread, "
        "or the "
        "nominal width was taken for the overall one",
        measure=how,
    )


def _spacer_face(joint: Joint, wheel: Port, hub: Port) -> Iterator[Answer]:
    """For a spacer with studs of its own: the hub's studs must end below its outer face."""
    face, stud = wheel.size("outer face"), hub.size("stud length")
    if face is None:
        return
    layers, unknown = between(joint)
    if stud is None or layers is None:
        yield not_known(
            "studs below the outer face",
            "the length of the hub's studs" if stud is None else unknown,
            "measure with a calliper's depth rod",
        )
        return
    room, sd = added((1.0, face), (1.0, layers), (-1.0, stud))
    yield gauged(
        "studs below the outer face",
        room,
        sd,
        0.0,
        math.inf,
        source="geometry",
        good=f"the hub's studs end {room:.2f} mm below the spacer's outer face",
        bad=f"the hub's studs stand {-room:.2f} mm out of the spacer's outer face and hold the next wheel off",
        measure="measure stud and spacer with a calliper",
        works=(
            Work(
                joint.b_part,
                "shorten",
                "studs",
                f"shorten each stud by {-room + 0.5:.2f} mm, chase its thread; "
                "or a "
                f"thicker spacer, or a wheel with pockets there",
                forbidden=("cutting with a torch",),
            ),
        ),
    )


def _cap(joint: Joint, wheel: Port, hub: Port) -> Iterator[Answer]:
    cap, hole = hub.size("cap diameter"), wheel.size("cap hole")
    if cap is None:
        return
    if hole is None:
        yield not_known(
            "hub cap",
            "the hole in the wheel's middle that the hub's cap stands in",
            "measure it with a calliper, at the outer side of the wheel",
        )
        return
    room, sd = added((0.5, hole), (-0.5, cap))
    yield gauged(
        "hub cap",
        room,
        sd,
        0.0,
        math.inf,
        source="geometry",
        good=f"the cap of {cap.value:.2f} mm stands in a hole of {hole.value:.2f} mm",
        bad=f"the cap of {cap.value:.2f} mm does not go through the hole of {hole.value:.2f} mm: the wheel hangs on "
        "the cap "
        "before it reaches the flange",
        measure="measure cap and hole with a calliper",
        remedy="a smaller cap, or another wheel",
    )


def _load(joint: Joint, wheel: Port) -> Iterator[Answer]:
    marked, weight = wheel.size("load"), joint.size("wheel load")
    if marked is None and weight is None:
        return
    if marked is None or weight is None:
        yield not_known(
            "load",
            "the load the wheel is marked for" if marked is None else "the greatest load on this wheel",
            "read the mark on the back of the spokes" if marked is None else "weigh the laden vehicle, wheel by wheel",
        )
        return
    spare, sd = added((1.0, marked), (-1.0, weight))
    judged = within(spare, sd, 0.0, math.inf)
    yield Answer(
        "load",
        judged.verdict,
        f"the wheel is marked for {marked.value:.0f} kg and carries {weight.value:.0f} kg",
        margin=judged.margin,
        sd=sd,
        unit="kg",
        odds=judged.odds,
        source=_CP,
        measure="weigh the laden vehicle wheel by wheel" if judged.verdict is Verdict.CANNOT_TELL else "",
        remedy="another wheel" if judged.verdict is Verdict.DOES_NOT_FIT else "",
    )


_NUT = (
    Ask("held by", "text", "nuts on studs, or wheel bolts in the hub", ("nuts", "bolts")),
    Ask("nut thread", "thread", "thread of the nuts, or of the wheel bolts"),
    Ask("nut seat", "text", "form of the seat on nuts or bolts", SEATS),
    Ask("nut seat angle", "angle", "whole angle of a taper seat", low=0.5, high=2.2),
    Ask("nut seat radius", "length", "radius of a ball seat", low=8.0, high=20.0),
    Ask("nut material", "text", "what the nuts are of", ("steel", "aluminium")),
    Ask("nut end", "text", "whether the stud can come out of the nut", ("open", "closed")),
    Ask("nut thread length", "length", "full thread in the nut", low=5.0, high=80.0),
    Ask("nut depth", "length", "of a closed nut: from its inner end to the bottom", low=8.0, high=120.0),
    Ask("nut lead", "length", "from the nut's inner end to its first full thread", low=0.0, high=40.0),
    Ask("nut shank", "length", "length of the shank beyond the washer's face", low=0.0, high=60.0),
    Ask("nut shank diameter", "length", "diameter of the shank", low=10.0, high=32.0),
    Ask("bolt length", "length", "of a wheel bolt: from the small end of its seat to its end", low=10.0, high=120.0),
    Ask("socket", "length", "outside diameter of the socket used", low=17.0, high=60.0),
    Ask("centring", "text", "what centres the wheel", ("hub", "nuts")),
    Ask("redrill", "text", "whether the hub may be drilled to the wheel's circle", ("hub", "no")),
    Ask("wheel load", "mass", "greatest load on this wheel", low=30.0, high=4000.0),
    Ask("face at", "text", "hardpoint in the middle of the hub's face, to sweep the tyre through travel"),
    Ask("tyre", "text", "size code on the tyre's sidewall"),
    Ask("tyre width", "length", "width over the mounted tyre, where it was measured", low=100.0, high=450.0),
    Ask("tyre diameter", "length", "diameter of the mounted tyre, where it was measured", low=400.0, high=1200.0),
)

KINDS: tuple[MateKind, ...] = (
    MateKind(
        "wheel on hub",
        "a wheel, or a spacer with studs of its own, on a hub",
        ("road wheel",),
        ("wheel hub",),
        judge_wheel_on_hub,
        _NUT,
        layered=True,
    ),
    MateKind(
        "wheel over brake",
        "whether a wheel clears the brake that it goes over",
        ("road wheel",),
        ("brake caliper", "brake drum"),
        judge_wheel_over_brake,
        (),
        layered=True,
    ),
)
