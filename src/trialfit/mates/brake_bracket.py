"""Caliper bracket or backing plate on the flange of a housing end."""

import math
from collections.abc import Iterator
from dataclasses import replace

from trialfit.findings import Verdict
from trialfit.mates.answer import AGAIN, Answer, Work
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.hub_centring import BRAKE_CAUTION, centred
from trialfit.mates.joint import Joint, MateKind
from trialfit.mates.pattern import Face, Points, on_circle, pattern_answer
from trialfit.mates.register import Register
from trialfit.parts import Ask, Fact, Port
from trialfit.standards import rule

_DEPTH = "from a straight edge across the face with a depth rod"


def judge_bracket_on_housing_end(joint: Joint) -> tuple[Answer, ...]:
    """Every question about a bracket on a housing end: the first end is the bracket, the second the housing end."""
    bracket, end = joint.a, joint.b
    answers = [
        *_pattern(joint, bracket, end),
        *_pilot(joint, bracket, end),
        *(() if joint.word("carries") == "shoes" else (_plane(joint, bracket, end),)),
        _plate(joint, bracket),
    ]
    return tuple(replace(a, caution=f"{a.caution} {BRAKE_CAUTION}".strip()) for a in answers)


def _points(port: Port) -> Points:
    """The middles of a port's holes: as measured, or evenly spaced on their circle."""
    if points := port.points("points"):
        return points
    count, circle = port.count("holes"), port.size("bolt circle")
    if count is None or circle is None:
        return ()
    sd = None if circle.sd is None else circle.sd / 2.0
    return tuple((Fact(float(x), sd), Fact(float(y), sd)) for x, y in on_circle(count, circle.value))


def _pattern(joint: Joint, bracket: Port, end: Port) -> Iterator[Answer]:
    round_, thick, bore = bracket.size("round"), bracket.size("thickness"), bracket.size("pilot bore")
    centred_ = bool(bracket.points("points"))
    face = Face(
        joint.a_part,
        "face to the housing",
        round_.value if round_ is not None and not centred_ else 0.0,
        tuple((x.value, y.value) for x, y in bracket.points("outline")),
        bore.value if bore is not None and not centred_ else 0.0,
        thick.value if thick is not None else None,
        datum="as the holes were measured" if centred_ else "middle of the pilot; x through the first hole",
        true_to="the pilot bore",
        forbidden=("slots in a plate with no pilot to centre it", "welding on the ears"),
        shop="a brake part",
    )
    may = joint.word("slot") != "no" and (bracket.size("pilot bore") is not None)
    yield pattern_answer(
        "bracket pattern",
        _points(bracket),
        bracket.size("hole"),
        _points(end),
        end.size("bolt"),
        face,
        may_slot=may,
        want_words="the housing's bolts",
        choices=joint.choices,
        source="geometry",
    )


def _pilot(joint: Joint, bracket: Port, end: Port) -> Iterator[Answer]:
    bore, thick = bracket.size("pilot bore"), bracket.size("thickness")
    pilot, height = end.size("pilot"), end.size("pilot height")
    if bore is None and pilot is None:
        yield not_known(
            "bracket pilot",
            "the pilot of the housing end and the hole of the bracket",
            "measure both with a calliper in two directions: a caliper bracket is centred by its pilot, "
            "not by its bolts",
        )
        return
    yield centred(
        Register(
            question="bracket pilot",
            bore=bore,
            spigot=pilot,
            bore_part=joint.a_part,
            bore_place="pilot bore",
            spigot_part=joint.b_part,
            spigot_place="pilot",
            hole_zone="H8",
            spigot_zone="h8",
            may_turn=False,
            may_open=True,
            may_ring=True,
            ring_height_mm=thick.value if thick is not None else None,
            height_mm=thick.value if thick is not None else None,
            true_to="the face to the housing",
            forbidden=("the seat of bearing and seal in the housing",),
        ),
        joint.choices,
    )
    if height is not None and height.value < 2.0:
        yield gauged(
            "pilot height",
            height.value,
            height.sd,
            2.0,
            math.inf,
            good="",
            bad=f"the pilot stands only {height.value:.2f} mm out of the face; 2.00 mm are asked to centre a bracket",
            measure=f"measure it {_DEPTH}",
            source="common practice, no source",
            remedy="dowels in the housing flange, set with the bracket centred on the axle",
        )


def _plane(joint: Joint, bracket: Port, end: Port) -> Answer:
    """Whether the caliper's gap comes to stand over the disc: housing face to axle flange, back to the disc, against
    housing face to the caliper's middle."""
    standout, offset, middle = end.size("standout"), joint.size("rotor offset"), bracket.size("middle")
    asked = rule("rotor-to-caliper-middle", joint.choices.get("rotor-to-caliper-middle")).in_force
    missing = [
        words
        for words, size in (
            ("the brake standout, housing face to the outer face of the axle flange,", standout),
            ("the rotor's offset, hub face to the middle of the disc,", offset),
            ("the distance from the bracket's housing face to the middle of the caliper's gap", middle),
        )
        if size is None
    ]
    if standout is None or offset is None or middle is None:
        return not_known(
            "caliper over the disc",
            missing[0].rstrip(","),
            f"measure it {_DEPTH}, axle pulled out to its stop",
            rule="rotor-to-caliper-middle",
            source=asked.source,
        )
    off, sd = added((1.0, standout), (-1.0, offset), (-1.0, middle))
    side = "outboard" if off > 0.0 else "inboard"
    if off > 0.0:
        kind = "shim" if off <= 6.0 else "make a spacer"
        what = "shims" if kind == "shim" else "a spacer plate"
        words = f"{what} of {off:.2f} mm between housing and bracket, with longer bolts{AGAIN}"
    else:
        kind = "have made"
        words = f"a bracket {-off:.2f} mm flatter, or the caliper's ears moved to its other face"
    work = Work(
        joint.a_part,
        kind,
        "between housing end and caliper",
        words,
        forbidden=("bending the bracket", "grinding the caliper's ears"),
        moves=joint.a_part,
    )
    return gauged(
        "caliper over the disc",
        off,
        sd,
        -asked.value,
        asked.value,
        rule="rotor-to-caliper-middle",
        source=asked.source,
        good=f"the disc runs {abs(off):.2f} mm from the middle of the caliper's gap",
        bad=f"the disc runs {abs(off):.2f} mm {side} of the middle of the caliper's gap; {asked.value:.2f} mm may be",
        measure=f"measure standout, offset and bracket {_DEPTH}, axle pulled out to its stop",
        works=(work,),
    )


def _plate(joint: Joint, bracket: Port) -> Answer:
    if joint.word("carries") == "shoes":
        return Answer(
            "plate thickness",
            Verdict.FITS,
            "a pressed backing plate is not asked for thickness here",
            source="common practice, no source",
        )
    thick, metal = bracket.size("thickness"), bracket.word("material") or joint.a_material
    if thick is None or metal not in ("steel", "aluminium"):
        return not_known(
            "plate thickness",
            "the bracket's thickness" if thick is None else "whether it is steel or aluminium",
            "measure the plate with a calliper" if thick is None else "try a magnet on it",
        )
    name = f"brake-bracket-thickness-{metal}"
    asked = rule(name, joint.choices.get(name)).in_force
    work = Work(
        joint.a_part,
        "have made",
        "bracket",
        f"a bracket of {metal} at least {asked.value:.2f} mm thick, worked out and signed off by someone qualified",
        found=thick,
    )
    return gauged(
        "plate thickness",
        thick.value,
        thick.sd,
        asked.value,
        math.inf,
        rule=name,
        source=asked.source,
        works=(work,),
        good=f"a bracket of {metal} {thick.value:.2f} mm thick",
        bad=f"a bracket of {metal} only {thick.value:.2f} mm thick; {asked.value:.2f} mm is asked",
        measure="measure the plate with a calliper",
    )


KINDS: tuple[MateKind, ...] = (
    MateKind(
        "brake bracket on housing end",
        "a caliper bracket or backing plate on the flange of an axle housing",
        ("brake bracket",),
        ("housing end",),
        judge_bracket_on_housing_end,
        (
            Ask("rotor offset", "length", "rotor's hub face inboard to the middle of its disc", low=-60.0, high=120.0),
            Ask("slot", "text", "whether the bracket's holes may be slotted", ("yes", "no")),
            Ask("carries", "text", "what the bracket carries", ("caliper", "shoes")),
        ),
    ),
)
