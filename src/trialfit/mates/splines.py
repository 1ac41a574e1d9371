"""Spline in spline: teeth, pitch, pressure angle, form, diameters, and how far they engage."""

import math
from functools import partial

from trialfit.findings import Verdict
from trialfit.mates.answer import Answer
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.joint import Joint, MateKind
from trialfit.parts import Ask, Fact, Port
from trialfit.standards import rule
from trialfit.standards.splines import (
    ReferenceSpline,
    SplinePitch,
    listed_pitches,
    pitches_of,
    reference_spline,
    spline_pitch,
)

_SOURCE = "ANSI B92.1, Involute Splines"
_CAUTION = (
    "A spline that is not its mate strips or lets the shaft fall out. Slide the two together by hand before anything "
    "is ordered: they must go the whole way without force. No grinding, hammering or filling."
)
_unknown = partial(not_known, caution=_CAUTION)
_gauged = partial(gauged, caution=_CAUTION)
_ENGAGED = {
    "yes": "spline-engagement", "clutch": "spline-engagement-clutch", "no": "spline-engagement-fixed",
}  # fmt: skip
"""Which rule says how far a spline must engage: by how it moves in use."""
_BORE_OFF = 0.06
"""how far a hub's bore may lie off the basic one, as a share, before its name is doubted; common practice, no source"""
_ANGLE_RAD = math.radians(1.0)
"""two pressure angles nearer than this count as one; the standard ones lie 7.5 deg apart"""


def judge(joint: Joint) -> tuple[Answer, ...]:
    """Every question about a splined shaft in a splined hub.

    Torque, wear and the tolerance class are left out; a class that is too tight shows when they are tried together.
    Nothing else is asked where the teeth are not as many: the part has to be another one.
    """
    teeth = _teeth(joint)
    if teeth.verdict is Verdict.DOES_NOT_FIT:
        return (teeth,)
    pitch = _tooth_width(joint) if _straight(joint) else _pitch(joint)
    return (teeth, _form(joint), _angle(joint), pitch, *_diameters(joint), _engaged(joint))


def _teeth(joint: Joint) -> Answer:
    question = "teeth"
    shaft, hub = joint.a.count("teeth"), joint.b.count("teeth")
    if shaft is None or hub is None:
        who = joint.a_part if shaft is None else joint.b_part
        return _unknown(question, f"how many teeth {who} has", f"mark one tooth of {who} and count round, twice")
    if shaft == hub:
        return Answer(question, Verdict.FITS, f"{shaft} teeth in both", source="count", caution=_CAUTION)
    words = f"{shaft} teeth on the shaft and {hub} in the hub"
    near = "; so near that a burred end may start, and it can never be driven on" if abs(shaft - hub) <= 2 else ""
    return Answer(
        question, Verdict.DOES_NOT_FIT, f"{words}: they do not mesh{near}",
        remedy=f"a hub of {shaft} teeth, or a shaft of {hub}", source="count", caution=_CAUTION,
    )  # fmt: skip


def _form(joint: Joint) -> Answer:
    question = "form"
    shaft, hub = joint.a.word("form"), joint.b.word("form")
    if not shaft or not hub:
        who = joint.a_part if not shaft else joint.b_part
        return _unknown(
            question, f"the form of the teeth of {who}",
            "look along the axis: involute teeth are curved and "
            "narrow to the tip, straight-sided ones are keys, serrations are fine vees",
        )  # fmt: skip
    if _family(shaft) != _family(hub):
        return Answer(
            question, Verdict.DOES_NOT_FIT,
            f"{shaft} teeth on the shaft, {hub} in the hub: the flanks have another shape",
            remedy="a hub and a shaft of one form", source=_SOURCE, caution=_CAUTION,
        )  # fmt: skip
    if hub == "major diameter fit" and shaft != hub:
        words = (
            "the hub centres on its major diameter and the shaft on its flanks: it may be tight or run off the middle"
        )
        return Answer(
            question, Verdict.CANNOT_TELL, words,
            measure="measure the hub's and the shaft's major diameter with a micrometer, and try them together",
            source=_SOURCE, caution=_CAUTION,
        )  # fmt: skip
    return Answer(
        question, Verdict.FITS, f"{shaft} in {hub}" if shaft != hub else f"both {shaft}", source=_SOURCE,
        caution=_CAUTION,
    )  # fmt: skip


def _family(form: str) -> str:
    return form if form in {"straight sided", "serration"} else "involute"


def _straight(joint: Joint) -> bool:
    return "straight sided" in (joint.a.word("form"), joint.b.word("form"))


def _angle(joint: Joint) -> Answer:
    question = "pressure angle"
    if _straight(joint):
        return Answer(question, Verdict.FITS, "straight-sided teeth have none", source=_SOURCE, caution=_CAUTION)
    shaft, hub = (
        joint.a.size("pressure angle") or _by_name(joint.a),
        joint.b.size("pressure angle") or _by_name(joint.b),
    )
    if shaft is None or hub is None:
        who = joint.a_part if shaft is None else joint.b_part
        return _unknown(
            question, f"the pressure angle of {who}",
            "look it up by the part's drawing, or roll the shaft on "
            "paper and compare: 30 deg teeth are as high as half their pitch allows, 45 deg ones are flat vees",
        )  # fmt: skip
    a, b = math.degrees(shaft.value), math.degrees(hub.value)
    if abs(shaft.value - hub.value) <= _ANGLE_RAD:
        return Answer(question, Verdict.FITS, f"{a:.1f} deg in both", source=_SOURCE, caution=_CAUTION)
    return Answer(
        question, Verdict.DOES_NOT_FIT,
        f"{a:.1f} deg on the shaft and {b:.1f} deg in the hub: with teeth and pitch "
        "alike it starts, and then bears on the tips and edges alone",
        remedy="a hub and a shaft of one pressure angle", source=_SOURCE, caution=_CAUTION,
    )  # fmt: skip


def _by_name(port: Port) -> Fact | None:
    """A spline by reference diameter has 30 deg."""
    return Fact(math.radians(30.0), 0.0, "by its name") if _reference(port.word("pitch")) is not None else None


def _reference(word: str) -> ReferenceSpline | None:
    try:
        return reference_spline(word)
    except ValueError:
        return None


def _pitch(joint: Joint) -> Answer:
    question = "pitch"
    one, two = _reference(joint.a.word("pitch")), _reference(joint.b.word("pitch"))
    if one is not None and two is not None:
        return _references(question, one, two)
    if (one is None) != (two is None):
        return _mixed(joint, question, one or two)
    shaft, shaft_how = _told(joint.a, shaft=True)
    hub, hub_how = _told(joint.b, shaft=False)
    for found, how, part in ((shaft, shaft_how, joint.a_part), (hub, hub_how, joint.b_part)):
        if len(found) != 1:
            how_to = (
                "measure over the shaft's teeth and between the hub's teeth with a calliper, count the teeth, and try "
                "a known mate"
            )
            reason = f"the pitch of {part} is not known{': ' + how if how else ''}"
            return Answer(
                question, Verdict.CANNOT_TELL, reason, measure=how_to, source=_SOURCE, caution=_CAUTION
            )  # fmt: skip
    a, b = shaft[0], hub[0]
    if a.name == b.name:
        return Answer(
            question, Verdict.FITS, f"{a.name} in both ({shaft_how}; {hub_how})", source=_SOURCE, caution=_CAUTION
        )
    step = math.pi * a.module_mm, math.pi * b.module_mm
    return Answer(
        question, Verdict.DOES_NOT_FIT,
        f"{a.name} on the shaft ({shaft_how}) and {b.name} in the hub ({hub_how}): "
        f"a tooth steps {step[0]:.2f} mm on the one and {step[1]:.2f} mm in the other",
        remedy=f"a hub of {a.name}", source=_SOURCE, caution=_CAUTION,
    )  # fmt: skip


def _tooth_width(joint: Joint) -> Answer:
    """Straight-sided teeth go by their count, their diameters and how wide they are; they have no pitch by name."""
    question = "tooth width"
    tooth, space = joint.a.size("tooth width"), joint.b.size("tooth width")
    for size, words in ((tooth, f"the width of a tooth of {joint.a_part}"),
                        (space, f"the width of a space of {joint.b_part}")):  # fmt: skip
        if size is None:
            return _unknown(question, words, f"measure {words} with a calliper, square across the flanks")
    if tooth is None or space is None:
        raise AssertionError(question)
    room, sd = added((1.0, space), (-1.0, tooth))
    words = f"teeth {tooth.value:.2f} mm wide in spaces of {space.value:.2f} mm"
    return _gauged(
        question, room, sd, 0.0, math.inf, good=f"{words}, {room:.2f} mm of play", bad=f"{words}: they do not enter",
        measure="measure tooth and space with a calliper, or try the two together by hand", source="geometry",
        remedy="a hub and a shaft of one width of tooth",
    )  # fmt: skip


def _references(question: str, one: ReferenceSpline, two: ReferenceSpline) -> Answer:
    if one.hub or not two.hub:
        who = "the shaft is named as a hub (N)" if one.hub else "the hub is named as a shaft (W)"
        return Answer(
            question, Verdict.CANNOT_TELL, f"{one.name} in {two.name}: {who}",
            measure="read the two names again: W is a shaft, N a hub", source="DIN 5480", caution=_CAUTION,
        )  # fmt: skip
    if one.name[1:] == two.name[1:]:
        return Answer(question, Verdict.FITS, f"{one.name} in {two.name}", source="DIN 5480", caution=_CAUTION)
    unlike = [
        words
        for words, same in (
            (
                f"reference diameter {one.reference_mm:g} and {two.reference_mm:g} mm",
                one.reference_mm == two.reference_mm,
            ),
            (f"module {one.module_mm:g} and {two.module_mm:g} mm", one.module_mm == two.module_mm),
            (f"{one.teeth} and {two.teeth} teeth", one.teeth == two.teeth),
        )
        if not same
    ]
    return Answer(
        question, Verdict.DOES_NOT_FIT, f"{one.name} in {two.name}: {', '.join(unlike)}",
        remedy=f"a hub N{one.name[1:]}", source="DIN 5480", caution=_CAUTION,
    )  # fmt: skip


def _mixed(joint: Joint, question: str, named: ReferenceSpline | None) -> Answer:
    other = joint.a if _reference(joint.a.word("pitch")) is None else joint.b
    part = joint.a_part if other is joint.a else joint.b_part
    if named is None or not other.word("pitch"):
        return _unknown(
            question, f"the pitch of {part}", "find its name, or measure it and try a known mate", source="DIN 5480"
        )
    return Answer(
        question, Verdict.DOES_NOT_FIT,
        f"{named.name} goes by its reference diameter and {part} ({other.word('pitch')}) by "
        "pitch: teeth and module may agree, but the teeth are shifted and of another thickness: it starts, and jams "
        "or rattles",
        remedy=f"a mate of {named.name}", source="DIN 5480", caution=_CAUTION,
    )  # fmt: skip


def _told(port: Port, *, shaft: bool) -> tuple[tuple[SplinePitch, ...], str]:
    """The pitches that a port can have, and how that is known or why not."""
    word, teeth = port.word("pitch"), port.count("teeth")
    size = port.size("major" if shaft else "minor")
    if word:
        try:
            named = spline_pitch(word)
        except ValueError as fault:
            return (), str(fault)
        if shaft and teeth is not None and size is not None:
            by_size = pitches_of(teeth, size.value, size.sd or 0.0)
            if named not in by_size and port.word("form") != "serration":
                basic = (teeth + 1) * named.module_mm
                return (), (
                    f"it is called {named.name}, so {teeth} teeth are {basic:.2f} mm outside, but it measures "
                    f"{size.value:.2f} mm"
                )
        if not shaft and teeth is not None and size is not None:
            bore = (teeth - 1) * named.module_mm
            if abs(size.value / bore - 1.0) > _BORE_OFF:
                return (), (
                    f"it is called {named.name}, so a hub of {teeth} teeth is about {bore:.2f} mm inside, but it "
                    f"measures {size.value:.2f} mm"
                )
        return (named,), "by its name"
    if teeth is None or size is None:
        return (), ""
    if size.sd is None:
        return (), "it is not known how well its diameter was measured"
    found = pitches_of(teeth, size.value, size.sd) if shaft else _by_bore(teeth, size)
    if len(found) == 1:
        return found, "by teeth and diameter"
    names = " or ".join(p.name for p in found)
    return found, f"by teeth and diameter it could be {names}" if names else "no listed pitch has that diameter"


def _by_bore(teeth: int, minor: Fact) -> tuple[SplinePitch, ...]:
    """Pitches whose hub of that many teeth has about that bore: from the basic one for 30 deg to 3 % over it."""
    doubt = 2.0 * (minor.sd or 0.0)
    return tuple(
        p
        for p in listed_pitches()
        if 0.997 * (teeth - 1) * p.module_mm - doubt <= minor.value <= 1.03 * (teeth - 1) * p.module_mm + doubt
    )


def _diameters(joint: Joint) -> tuple[Answer, ...]:
    return (
        _under(
            joint, "major diameter", joint.a.size("major"), joint.b.size("major"), "over the shaft's teeth",
            "at the bottom of the hub's spaces", "the shaft's teeth run into the bottom of the hub's spaces",
        ),
        _under(
            joint, "minor diameter", joint.a.size("minor"), joint.b.size("minor"),
            "at the bottom of the shaft's spaces", "between the hub's teeth",
            "the hub's teeth run into the bottom of the shaft's spaces",
        ),
        _overlap(joint),
    )  # fmt: skip


def _under(
    joint: Joint, question: str, inner: Fact | None, outer: Fact | None, inner_words: str, outer_words: str, clash: str
) -> Answer:
    if (inner is None or outer is None) and _same_name(joint):
        return Answer(
            question, Verdict.FITS, "by their names the standard keeps them clear of each other", source=_SOURCE,
            caution=_CAUTION,
        )  # fmt: skip
    for size, words in ((inner, inner_words), (outer, outer_words)):
        if size is None:
            return _unknown(
                question, f"the diameter {words}",
                f"measure {words} with a calliper, over opposite teeth; with an odd count use a ring or a plug",
                source=_SOURCE,
            )  # fmt: skip
    if inner is None or outer is None:
        raise AssertionError(question)
    room, sd = added((1.0, outer), (-1.0, inner))
    words = f"{inner.value:.2f} mm {inner_words}, {outer.value:.2f} mm {outer_words}"
    return _gauged(
        question, room, sd, 0.0, math.inf, good=words, bad=f"{words}: {clash}",
        measure="measure both with a calliper over opposite teeth, or try them together", source="geometry",
    )  # fmt: skip


def _same_name(joint: Joint) -> bool:
    """Whether teeth, pitch and form are alike by name, so that the standard answers for the diameters."""
    one, two = joint.a.word("pitch"), joint.b.word("pitch")
    if not one or not two or joint.a.count("teeth") != joint.b.count("teeth") or _straight(joint):
        return False
    return _pitch(joint).verdict is Verdict.FITS


def _overlap(joint: Joint) -> Answer:
    question = "depth of contact"
    tip, bore = joint.a.size("major"), joint.b.size("minor")
    if (tip is None or bore is None) and _same_name(joint):
        return Answer(
            question, Verdict.FITS, "by their names the teeth reach each other", source=_SOURCE, caution=_CAUTION
        )
    if tip is None or bore is None:
        words = "over the shaft's teeth" if tip is None else "between the hub's teeth"
        return _unknown(question, f"the diameter {words}", f"measure {words} with a calliper", source=_SOURCE)
    depth, sd = added((0.5, tip), (-0.5, bore))
    if _straight(joint):
        words = f"teeth overlap {depth:.2f} mm"
        return _gauged(
            question, depth, sd, 0.0, math.inf, good=words, bad=f"{words}: they do not reach each other",
            measure="measure over the shaft's and between the hub's teeth with a calliper", source="geometry",
        )  # fmt: skip
    module = _module(joint)
    if module is None:
        return _unknown(question, "the pitch", "settle the pitch first", source=_SOURCE)
    version = rule("spline-depth", joint.choices.get("spline-depth")).in_force
    asked = version.value * module
    words = f"teeth overlap {depth:.2f} mm of {module:.2f} mm; {asked:.2f} mm asked"
    return _gauged(
        question, depth - asked, sd, 0.0, math.inf, good=words,
        bad=f"{words}: they hold on their tips alone, and strip",
        measure="measure over the shaft's and between the hub's teeth with a calliper", rule="spline-depth",
        source=version.source,
    )  # fmt: skip


def _module(joint: Joint) -> float | None:
    for port, shaft in ((joint.a, True), (joint.b, False)):
        named = _reference(port.word("pitch"))
        if named is not None:
            return named.module_mm
        found, _ = _told(port, shaft=shaft)
        if len(found) == 1:
            return found[0].module_mm
    return None


def _engaged(joint: Joint) -> Answer:
    question = "engagement"
    slides = joint.word("slides")
    if not slides:
        return _unknown(question, "whether the spline slides",
                        "say yes for a slip yoke, clutch for a clutch plate on its input shaft, no when it is held "
                        "endways")  # fmt: skip
    name = _ENGAGED[slides]
    version = rule(name, joint.choices.get(name)).in_force
    size = joint.a.size("major")
    if size is None:
        return _unknown(
            question, "the diameter over the shaft's teeth", "measure over the shaft's teeth with a calliper", rule=name
        )
    lengths = [port.size("length") for port in (joint.a, joint.b)]
    engaged = joint.size("engaged")
    if engaged is None:
        known = [length.value for length in lengths if length is not None]
        most = f"; no more than {min(known):.1f} mm by the teeth there are" if known else ""
        return _unknown(
            question, f"how far the teeth engage{most}",
            "mark the shaft at the hub's mouth, pull apart, and measure from the mark to the last full tooth",
            rule=name,
        )  # fmt: skip
    for length, part in zip(lengths, (joint.a_part, joint.b_part), strict=True):
        if length is not None and engaged.value > length.value + 0.5:
            return Answer(
                question, Verdict.CANNOT_TELL,
                f"{engaged.value:.1f} mm of engagement is more than the {length.value:.1f} mm of teeth of {part}",
                measure="measure both again", rule=name, caution=_CAUTION,
            )  # fmt: skip
    room, sd = added((1.0, engaged), (-version.value, size))
    words = f"{engaged.value:.1f} mm engaged, {version.value * size.value:.1f} mm asked ({version.label})"
    drop = "; this is where it stands, and at droop it is less" if slides == "yes" else ""
    return _gauged(
        question, room, sd, 0.0, math.inf, good=f"{words}{drop}", bad=f"{words}{drop}",
        measure="mark the shaft at the hub's mouth and measure the teeth engaged with a calliper", rule=name,
        source=version.source,
    )  # fmt: skip


KINDS: tuple[MateKind, ...] = (
    MateKind(
        "spline in spline", "a splined shaft in a hub, slip yoke, flange, clutch plate or side gear",
        ("external spline",), ("internal spline",), judge,
        asks=(
            Ask("slides", "text", "whether it slides in use: yes for a slip yoke, clutch for a clutch plate",
                choices=tuple(_ENGAGED)),
            Ask("engaged", "length", "teeth engaged, as they stand", low=2.0, high=400.0),
        ),
    ),
)  # fmt: skip
