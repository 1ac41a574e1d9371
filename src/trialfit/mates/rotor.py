"""Rotor or drum on hub: circle, register, step, hat, wear; and the kinds of joint rotors and drums are part of."""

import math
from collections.abc import Iterator
from dataclasses import replace

from trialfit.mates.answer import Answer, Target, Work
from trialfit.mates.bolt_circle import known_circle
from trialfit.mates.drum_over_shoes import judge_drum_on_plate
from trialfit.mates.figure import Step, Turned
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.hub_centring import BRAKE_CAUTION, centred
from trialfit.mates.joint import Joint, MateKind
from trialfit.mates.pattern import circle_answer
from trialfit.mates.register import Register
from trialfit.mates.rotor_in_caliper import judge_rotor_in_caliper
from trialfit.mates.stud import thread_or_none
from trialfit.parts import Fact, Port
from trialfit.standards import Version, rule

_CP = "common practice, no source"
_GEOMETRY = "geometry"


def judge_rotor_on_hub(joint: Joint) -> tuple[Answer, ...]:
    """Every question about a rotor or drum on a hub: the first end is the rotor or drum, the second the hub."""
    rotor, hub = joint.a, joint.b
    answers = [
        _circle(joint, rotor, hub),
        _centring(joint, rotor, hub),
        *_step(joint, rotor, hub),
        *_over_flange(joint, rotor, hub),
        *_wear(rotor),
        *_proud(joint, rotor, hub),
    ]
    return tuple(replace(a, caution=a.caution or BRAKE_CAUTION) for a in answers)


def _of(joint: Joint, name: str) -> Version:
    return rule(name, joint.choices.get(name)).in_force


def _circle(joint: Joint, rotor: Port, hub: Port) -> Answer:
    """Plain holes over studs: the holes' play is what the circles may differ by."""
    holes, studs = rotor.count("holes"), hub.count("studs")
    have = known_circle(holes, rotor.size("bolt circle"), rotor.size("neighbour distance"))
    want = known_circle(studs, hub.size("bolt circle"), hub.size("neighbour distance"))
    hole, thread = rotor.size("stud hole"), thread_or_none(hub.word("stud thread"))
    if holes is not None and studs is not None and not holes % studs and (hole is None or thread is None):
        what = "the diameter of the stud holes" if hole is None else "the thread of the studs"
        return not_known("hole circle", what, "measure it with a calliper", source=_GEOMETRY)
    play = hole.value - thread.diameter_mm if hole is not None and thread is not None else 0.0
    who = joint.a_part
    if play < 0.0 and hole is not None and thread is not None:
        work = Work(
            who,
            "open up",
            "stud holes",
            f"drill the holes from {hole.value:.2f} mm to at least "
            f"{thread.diameter_mm + 0.5:.2f} mm on their own middles",
            found=hole,
        )
        return gauged(
            "hole circle",
            play,
            hole.sd,
            0.0,
            math.inf,
            good="",
            works=(work,),
            source=_GEOMETRY,
            bad=f"studs of {thread.diameter_mm:.2f} mm do not go through holes of {hole.value:.2f} mm",
            measure="measure the stud holes with a calliper",
        )
    return circle_answer(
        "hole circle",
        holes,
        have,
        studs,
        want,
        play,
        a_words=f"the holes of {who}",
        b_words="the hub's studs",
        off_words="so that it does not go over the studs, or hangs on one of them and stands crooked",
        source=_GEOMETRY,
    )


def _spigot(hub: Port) -> tuple[Fact | None, str]:
    """The register that centres a rotor: its own step, or the wheel's where the hub has but one."""
    own = hub.size("rotor register")
    return (
        (own, "rotor register, the step next to the flange")
        if own is not None
        else (hub.size("wheel register"), "register, one for rotor and wheel")
    )


def _centring(joint: Joint, rotor: Port, hub: Port) -> Answer:
    spigot, place = _spigot(hub)
    wheel, hat = hub.size("wheel register"), rotor.size("hat thickness")
    forbidden = ["the face that bears on the hub", "the rubbing faces"]
    if wheel is not None and hub.size("rotor register") is not None:
        forbidden.append(f"the wheel's register of {wheel.value:.2f} mm: it is the wheel's alone")
    return centred(
        Register(
            question="rotor register",
            bore=rotor.size("bore"),
            spigot=spigot,
            bore_part=joint.a_part,
            bore_place="centre hole",
            spigot_part=joint.b_part,
            spigot_place=place,
            hole_zone="H8",
            spigot_zone="h8",
            may_turn=False,
            may_open=True,
            may_ring=True,
            ring_height_mm=hat.value if hat is not None else None,
            height_mm=hat.value if hat is not None else None,
            true_to="the rubbing faces and the hub face of the hat",
            forbidden=tuple(forbidden),
        ),
        joint.choices,
    )


def _step(joint: Joint, rotor: Port, hub: Port) -> Iterator[Answer]:
    """The rotor's step must end inside the hat: a wheel of smaller bore would bear on it."""
    step, height, hat = hub.size("rotor register"), hub.size("rotor register height"), rotor.size("hat thickness")
    if hat is None:
        yield not_known("hat thickness", "the thickness of the hat", "measure it beside a stud hole with a calliper")
        return
    if step is None:
        return
    asked = _of(joint, "hub-register-height")
    if height is None:
        yield not_known(
            "step in the hat",
            "the height of the rotor's register",
            "measure from the flange's face to the end of the step with a calliper's depth rod",
        )
        return
    wheel = hub.size("wheel register")
    if wheel is not None and wheel.value < step.value:
        room, sd = added((1.0, hat), (-1.0, height))
        yield gauged(
            "step in the hat",
            room,
            sd,
            0.0,
            math.inf,
            source=_GEOMETRY,
            good=f"the step of {step.value:.2f} mm ends {room:.2f} mm inside a hat of {hat.value:.2f} mm",
            bad=f"the step of {step.value:.2f} mm stands {-room:.2f} mm out of a hat of {hat.value:.2f} mm: a wheel "
            "bored for "
            f"the outer register of {wheel.value:.2f} mm bears on the step, not on the hat",
            measure="measure hat and step with a calliper",
            works=(_shortened(joint, step, height, hat, wheel),),
        )
    yield gauged(
        "step height",
        height.value,
        height.sd,
        min(asked.value, hat.value),
        math.inf,
        rule="hub-register-height",
        source=asked.source,
        good=f"the step of {height.value:.2f} mm carries the rotor",
        bad=f"the step is only {height.value:.2f} mm high, {asked.value:.2f} mm are asked to centre the rotor",
        measure="measure the height of the step with a depth rod",
        remedy="a ring, or a hub with a higher step",
    )


def _shortened(joint: Joint, step: Fact, height: Fact, hat: Fact, wheel: Fact) -> Work:
    """The step faced back to inside the hat; what is left beyond it turned to the wheel's register."""
    to = hat.value - 0.5
    drawing = Turned(
        f"{joint.b_part}: step shortened",
        "the flange's face; true to the bearing journal",
        (
            Step(max(to, 0.1), step.value, 0.0, f"{step.value:.2f} mm stays", length_words=f"{to:.2f} mm +0/-0.2"),
            Step(height.value - to, wheel.value, 0.0, f"{wheel.value:.2f} mm, as the wheel's register", worked="outer"),
        ),
    )
    return Work(
        joint.b_part,
        "turn down",
        "end of the rotor's step",
        f"turn the step down to the wheel's register of {wheel.value:.2f} mm from {to:.2f} mm above the flange "
        "outwards; "
        f"the rest of it stays at {step.value:.2f} mm",
        found=height,
        target=Target(to, to - 0.2, to, "length", _CP),
        true_to="the bearing journal",
        runout_mm=0.05,
        forbidden=(f"the step of {step.value:.2f} mm inside the hat: it centres the rotor", "the flange's face"),
        figure=drawing,
    )


def _over_flange(joint: Joint, rotor: Port, hub: Port) -> Iterator[Answer]:
    inside, flange = rotor.size("hat inside"), hub.size("flange diameter")
    if inside is None or flange is None:
        yield not_known(
            "hat over flange",
            "the inside of the hat" if inside is None else "the outside of the flange",
            "measure it with a calliper or inside gauge",
        )
        return
    room, sd = added((0.5, inside), (-0.5, flange))
    more = 1.0 - room
    work = Work(
        joint.b_part,
        "turn down",
        "outside of the flange",
        f"turn the flange down by {2.0 * more:.2f} mm in diameter, if the metal round the studs allows it",
        found=flange,
        true_to="the bearing journal",
        forbidden=("the faces of the flange",),
    )
    yield gauged(
        "hat over flange",
        room,
        sd,
        1.0,
        math.inf,
        source=_CP,
        good=f"the hat of {inside.value:.2f} mm goes over the flange of {flange.value:.2f} mm",
        bad=f"the hat of {inside.value:.2f} mm has {room:.2f} mm of room all round a flange of {flange.value:.2f} "
        "mm; 1.00 mm is "
        "asked",
        measure="measure hat and flange with a calliper",
        works=(work,),
    )


def _wear(rotor: Port) -> Iterator[Answer]:
    if rotor.kind == "brake drum":
        now, most = rotor.size("inside diameter"), rotor.size("most diameter")
        if now is None or most is None:
            yield not_known(
                "drum wear",
                "the drum's inside diameter" if now is None else "the drum's greatest diameter",
                "measure it with a drum gauge, in four directions"
                if now is None
                else "read the figure cast or stamped on the drum",
            )
            return
        left, sd = added((1.0, most), (-1.0, now))
        yield gauged(
            "drum wear",
            left,
            sd,
            0.0,
            math.inf,
            source="figure on the part; " + _CP,
            remedy="another drum",
            good=f"{left:.2f} mm of wear are left in the drum",
            bad=f"the drum is {now.value:.2f} mm inside, more than the {most.value:.2f} mm on it",
            measure="measure it with a drum gauge, in four directions",
        )
        return
    thick, least = rotor.size("thickness"), rotor.size("least thickness")
    if thick is None or least is None:
        yield not_known(
            "rotor thickness",
            "the rotor's thickness" if thick is None else "the rotor's least thickness",
            "measure it with a micrometer at eight places"
            if thick is None
            else "read the figure cast or stamped on the rotor",
        )
        return
    left, sd = added((1.0, thick), (-1.0, least))
    yield gauged(
        "rotor thickness",
        left,
        sd,
        0.0,
        math.inf,
        source="figure on the part; " + _CP,
        remedy="another rotor",
        good=f"{left:.2f} mm of wear are left in the rotor",
        bad=f"the rotor is {thick.value:.2f} mm thick, less than the {least.value:.2f} mm on it",
        measure="measure it with a micrometer at eight places",
    )


def _proud(joint: Joint, rotor: Port, hub: Port) -> Iterator[Answer]:
    """Whether the wheel's register still stands out of the hat far enough to carry the wheel."""
    height, hat = hub.size("wheel register height"), rotor.size("hat thickness")
    asked = _of(joint, "hub-register-height")
    if hat is None:
        return
    if height is None:
        yield not_known(
            "wheel register out of the hat",
            "how far the wheel's register stands out of the flange",
            "measure from the flange's face to the end of the register with a depth rod",
            rule="hub-register-height",
            source=asked.source,
        )
        return
    left, sd = added((1.0, height), (-1.0, hat))
    yield gauged(
        "wheel register out of the hat",
        left,
        sd,
        asked.value,
        math.inf,
        rule="hub-register-height",
        source=asked.source,
        good=f"{left:.2f} mm of the wheel's register stand out of the hat",
        bad=f"a hat of {hat.value:.2f} mm leaves {max(left, 0.0):.2f} mm of the wheel's register; {asked.value:.2f} "
        "mm is asked",
        measure="measure register and hat with a calliper",
        remedy="a ring on the hub's end that carries the register on, or a wheel that its nuts centre",
    )


KINDS: tuple[MateKind, ...] = (
    MateKind(
        "rotor on hub",
        "a brake rotor or drum on the flange of a hub or axle shaft",
        ("brake rotor", "brake drum"),
        ("wheel hub",),
        judge_rotor_on_hub,
    ),
    MateKind(
        "rotor in caliper",
        "a rotor in the gap of its caliper",
        ("brake rotor",),
        ("brake caliper",),
        judge_rotor_in_caliper,
    ),
    MateKind(
        "drum over shoes",
        "a drum over the shoes and beside the backing plate",
        ("brake drum",),
        ("backing plate",),
        judge_drum_on_plate,
    ),
)
