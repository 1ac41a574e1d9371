"""Axle tube on leaf spring: pad, centre pin, U-bolts and the plate under their nuts."""

import math
from functools import partial

from trialfit.findings import Verdict
from trialfit.mates.answer import AGAIN, Answer, Work
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.joint import Joint, MateKind
from trialfit.mates.judging import within
from trialfit.mates.register import Register, register
from trialfit.mates.spring_clamp import CALLIPER, GEOMETRY, OVER, ROUND, asked, bolt_length, bolt_width, bolts_new
from trialfit.mates.spring_plate import plate_holes
from trialfit.parts import Ask
from trialfit.standards.u_bolts import CAUTION

_WELD = ("tack only, and weld with the weight on the springs and the pinion angle checked", "shafts and seals out")
_unknown = partial(not_known, caution=CAUTION)
_gauged = partial(gauged, caution=CAUTION)


def judge(joint: Joint) -> tuple[Answer, ...]:
    """Every question about an axle tube on its leaf spring.

    Strength of tube, pad and weld is left out, and so is what the spring does over its travel.
    """
    return (
        _pad_width(joint),
        _centre_pin(joint),
        _pin_depth(joint),
        _pad_radius(joint),
        _pad_angle(joint),
        bolt_width(joint),
        *bolt_length(joint),
        plate_holes(joint),
        bolts_new(joint),
    )


def _pad_width(joint: Joint) -> Answer:
    question = "pad width"
    pad, spring = joint.a.size("pad width"), joint.b.size("spring width")
    if pad is None:
        return _unknown(question, "the width of the pad", f"measure the pad across the spring {CALLIPER}, edge to edge")
    if spring is None:
        return _unknown(
            question, "the width of the spring", f"measure the main leaf across {CALLIPER}, beside the clamp"
        )
    version = asked(joint, "spring-pad-overhang")
    over, sd = added((1.0, pad), (-1.0, spring))
    which = "the spring hangs over its pad" if over < 0.0 else "the pad stands out beside the spring"
    words = f"pad {pad.value:.2f} mm, spring {spring.value:.2f} mm: {which} by {abs(over):.2f} mm"
    work = Work(
        joint.a_part, "exchange", "spring pad",
        f"pads of {spring.value:.1f} mm width in place of {pad.value:.1f} mm, for this tube", found=pad,
        forbidden=_WELD,
    )  # fmt: skip
    return _gauged(
        question, over, sd, -version.value, version.value, good=words, bad=f"{words}; {version.value:.1f} mm may be",
        measure=f"measure pad and main leaf across {CALLIPER}", works=(work,), rule="spring-pad-overhang",
        source=version.source,
    )  # fmt: skip


def _centre_pin(joint: Joint) -> Answer:
    question = "centre pin"
    version = asked(joint, "centre-pin-play")
    return register(
        Register(
            question, joint.a.size("pin hole"), joint.b.size("pin head"), bore_part=joint.a_part,
            bore_place="hole of the spring pad", spigot_part=joint.b_part, spigot_place="head of the centre pin",
            hole_zone="H11", spigot_zone="h11", clearance_mm=(0.0, version.value), may_turn=True, may_open=True,
            may_ring=True, ring_height_mm=_height(joint), true_to="middle of the pad",
            forbidden=("leaving the spring to be held fore and aft by the U-bolts alone",), source=version.source,
        )
    )  # fmt: skip


def _height(joint: Joint) -> float | None:
    depth = joint.a.size("pin hole depth")
    return None if depth is None or depth.value <= 0.0 else depth.value


def _pin_depth(joint: Joint) -> Answer:
    question = "centre pin height"
    depth, height = joint.a.size("pin hole depth"), joint.b.size("pin head height")
    if depth is None:
        return _unknown(
            question, "the depth of the pad's hole",
            "measure from the pad's face down the pin hole to the "
            "tube or whatever closes it, with the depth rod of a calliper",
        )  # fmt: skip
    if height is None:
        return _unknown(
            question, "the height of the pin's head",
            "measure how far the centre pin's head stands out of the spring, with the depth rod of a calliper",
        )  # fmt: skip
    room, sd = added((1.0, depth), (-1.0, height))
    words = f"head {height.value:.2f} mm high in a hole {depth.value:.2f} mm deep"
    work = Work(
        joint.b_part, "shorten", "head of the centre pin",
        f"take {-room + 1.0:.1f} mm off the head, and keep it flat", found=height,
        forbidden=("grinding under the head",),
    )  # fmt: skip
    return _gauged(
        question, room, sd, 0.0, math.inf, good=f"{words}: the spring sits on its pad",
        bad=f"{words}: the spring would stand on its pin, {-room:.2f} mm off the pad", works=(work,),
        measure="measure hole and head with the depth rod of a calliper", source=GEOMETRY,
    )  # fmt: skip


def _pad_radius(joint: Joint) -> Answer:
    question = "pad radius"
    radius, tube = joint.a.size("pad radius"), joint.a.size("tube diameter")
    if radius is None:
        return _unknown(
            question, "the radius of the pad's saddle",
            "hold card templates cut to known radii in the saddle, or measure its chord and height",
        )  # fmt: skip
    if tube is None:
        return _unknown(
            question, "the diameter of the tube", f"measure the axle tube {CALLIPER}, both ways, on clean metal"
        )
    version = asked(joint, "spring-pad-radius")
    over, sd = added((1.0, radius), (-0.5, tube))
    where = (
        "touches along its middle and gapes at the edges"
        if over > 0.0
        else "bears on its edges and gapes in the middle"
    )
    words = f"saddle {radius.value:.2f} mm radius on a tube of {0.5 * tube.value:.2f} mm radius"
    work = Work(
        joint.a_part, "exchange", "spring pad", f"pads cut for a tube of {tube.value:.1f} mm", found=radius,
        forbidden=(*_WELD, "filling the gap with weld"),
    )  # fmt: skip
    return _gauged(
        question, over, sd, -version.value, version.value, good=words, bad=f"{words}: it {where}",
        measure="hold card templates cut to known radii in the saddle, and measure the tube with a calliper",
        works=(work,), rule="spring-pad-radius", source=version.source,
    )  # fmt: skip


def _pad_angle(joint: Joint) -> Answer:
    question = "pad angle"
    angle, wanted = joint.a.size("pad angle"), joint.size("pad angle wanted")
    if angle is None or wanted is None:
        what = "the pad's angle against the pinion" if angle is None else "the pad angle that the pinion asks for"
        how = (
            "lay an angle gauge on the pad and on the pinion flange's face, and take the difference"
            if angle is None
            else "work out the pinion angle first, with the weight on the springs"
        )
        return _unknown(question, what, f"{how}; until then the pads are tacked and no more")
    version = asked(joint, "spring-pad-angle")
    wedge = asked(joint, "spring-wedge")
    off, sd = added((1.0, angle), (-1.0, wanted))
    judged = within(off, sd, -math.radians(version.value), math.radians(version.value))
    words = (
        f"pad {math.degrees(angle.value):.1f} deg to the pinion where {math.degrees(wanted.value):.1f} deg is wanted, "
        f"{abs(math.degrees(off)):.1f} deg off"
    )
    works: tuple[Work, ...] = ()
    verdict, measure, remedy = judged.verdict, "", ""
    if verdict is Verdict.CANNOT_TELL:
        measure = "lay a digital angle gauge on pad and pinion flange, three times, turned round each time"
    if verdict is Verdict.DOES_NOT_FIT and abs(math.degrees(off)) <= wedge.value:
        verdict = Verdict.FITS_AFTER_WORK
        remedy = f"a wedge of {abs(math.degrees(off)):.1f} deg between pad and spring, as wide as the spring, "
        remedy += f"pinned{AGAIN}"
        works = (Work(joint.a_part, "shim", "spring pad", remedy, forbidden=("wedges on top of each other",)),)
    elif verdict is Verdict.DOES_NOT_FIT:
        remedy = f"cut the pads off and set them again: a wedge of more than {wedge.value:.0f} deg walks out"
    return Answer(
        question, verdict, words, margin=judged.margin, sd=sd, unit="deg", odds=judged.odds, remedy=remedy,
        measure=measure, works=works, rule="spring-pad-angle", source=version.source, caution=CAUTION,
    )  # fmt: skip


KINDS: tuple[MateKind, ...] = (
    MateKind(
        "axle tube on spring", "an axle tube and its pad on a leaf spring, held by U-bolts and a plate",
        ("spring seat",), ("leaf spring",), judge, layered=True,
        asks=(
            Ask("u-bolts go", "text", "which way the U-bolts go", choices=(ROUND, OVER)),
            Ask("u-bolt thread", "thread", "thread of the U-bolts, such as 1/2-20"),
            Ask("u-bolt rod", "length", "rod diameter, where it is not that of the thread", low=6.0, high=40.0),
            Ask(
                "u-bolt grade", "text",
                "grade of the U-bolts: 5 or 8 with an inch thread, 8.8 or 10.9 with a metric one",
                choices=("5", "8", "8.8", "10.9"),
            ),
            Ask("inside width", "length", "between the legs of a U-bolt", low=20.0, high=220.0),
            Ask("leg length", "length", "from the inside of the bend to the end of a leg", low=40.0, high=600.0),
            Ask("thread length", "length", "thread on each leg", low=10.0, high=300.0),
            Ask("nut height", "length", "height of the nuts", low=4.0, high=60.0),
            Ask("washer", "length", "thickness of the washers", high=15.0),
            Ask("u-bolts used", "text", "whether the U-bolts have been tightened before", choices=("new", "used")),
            Ask("plate along", "length", "hole pitch of the spring plate along the vehicle", low=30.0, high=300.0),
            Ask("plate across", "length", "hole pitch of the spring plate across the vehicle", low=30.0, high=300.0),
            Ask("plate hole", "length", "diameter of the plate's holes", low=6.0, high=50.0),
            Ask("plate thickness", "length", "thickness of the plate under the nuts", low=2.0, high=40.0),
            Ask("plate length", "length", "plate along the vehicle", low=40.0, high=400.0),
            Ask("plate width", "length", "plate across the vehicle", low=40.0, high=400.0),
            Ask("plate bore", "length", "hole in the plate's middle, 0 for none", high=100.0),
            Ask(
                "pad angle wanted", "angle", "pad angle that the pinion angle asks for, nose-up positive", low=-0.6,
                high=0.6,
            ),
        ),
    ),
)  # fmt: skip
