"""Universal joint in yoke: caps, span, clips, series, and what holds them in."""

from functools import partial

from trialfit.findings import Verdict
from trialfit.mates.answer import Answer, Work
from trialfit.mates.gauged import added, gauged, not_known
from trialfit.mates.joint import Joint, MateKind
from trialfit.parts import Fact
from trialfit.standards import nearest, rule
from trialfit.standards.joint_series import Series, listed_series

_CAUTION = (
    "A joint that is loose in its yoke throws the shaft. Series are told from memory here: hold the joint against its "
    "maker's sheet before ordering, use new straps, bolts and clips, and have the shaft balanced."
)
_unknown = partial(not_known, caution=_CAUTION)
_gauged = partial(gauged, caution=_CAUTION)
_HELD = {
    "straps": "straps and their bolts are used once: order new ones of this series",
    "u-bolts": "U-bolts of the yoke are tightened evenly, a little at a time; new nuts and lock washers",
    "bearing plates": "bearing plates and their bolts: new lock tabs, threads clean",
    "full round": "caps are pressed into full round ears and held by clips: press them square, never hammer",
}


def judge(joint: Joint) -> tuple[Answer, ...]:
    """Every question about one pair of caps in one yoke.

    The torque that a series bears, and the angle at which it binds, are asked elsewhere.
    """
    return (_cap(joint), _span(joint), _clips(joint), _series(joint), _retention(joint))


def _cap(joint: Joint) -> Answer:
    question = "cap diameter"
    bore, cap = joint.a.size("cap bore"), joint.b.size("cap")
    if bore is None:
        return _unknown(
            question, "the bore of the yoke's ears",
            "measure the ears' bores or saddles with a calliper, in two directions, on clean metal",
        )  # fmt: skip
    if cap is None:
        return _unknown(question, "the diameter of the caps", "measure a cap with a calliper, in two directions")
    version = rule("joint-cap-difference", joint.choices.get("joint-cap-difference")).in_force
    off, sd = added((1.0, bore), (-1.0, cap))
    words = f"caps of {cap.value:.2f} mm in ears of {bore.value:.2f} mm"
    bad = (
        f"{words}: they do not go in"
        if off < 0.0
        else f"{words}: {off:.2f} mm loose, the caps turn and hammer the ears"
    )
    return _gauged(
        question, off, sd, -version.value, version.value, good=words, bad=bad, works=_combination(joint),
        measure="measure a cap with a micrometer and the ears with a calliper", rule="joint-cap-difference",
        source=version.source,
    )  # fmt: skip


def _span(joint: Joint) -> Answer:
    question = "span"
    width, span = joint.a.size("width"), joint.b.size("span")
    inside = "inside" in (joint.a.word("clips"), joint.b.word("clips"))
    if width is None:
        where = (
            "between the faces that the inside clips bear on"
            if inside
            else "between the tabs or the outer clip grooves"
        )
        return _unknown(question, "the width of the yoke", f"measure {where} with a calliper")
    if span is None:
        where = "between the two inside clip faces" if inside else "over the ends of two opposite caps"
        return _unknown(question, "the span of the joint", f"measure {where} with a calliper, caps pushed home")
    version = rule("joint-span-difference", joint.choices.get("joint-span-difference")).in_force
    play = rule("joint-cap-end-play", joint.choices.get("joint-cap-end-play")).in_force
    off, sd = added((1.0, width), (-1.0, span))
    words = f"span {span.value:.2f} mm in a yoke {width.value:.2f} mm wide"
    good = f"{words}; choose clips that leave no more than {play.value:.2f} mm of end play"
    bad = (
        f"{words}: the caps do not go between the tabs"
        if off < 0.0
        else f"{words}: the joint goes in and slides {off:.2f} mm endways, so the shaft runs off its middle"
    )
    return _gauged(
        question, off, sd, -version.value, version.value, good=good, bad=bad, works=_combination(joint),
        measure="measure joint and yoke with a calliper, caps pushed home", rule="joint-span-difference",
        source=version.source,
    )  # fmt: skip


def _clips(joint: Joint) -> Answer:
    question = "clips"
    ear, cap = joint.a.word("clips"), joint.b.word("clips")
    if not ear or not cap:
        who = "the yoke" if not ear else "the joint"
        return _unknown(
            question, f"where the clips of {who} sit",
            "look: outside clips lie over the cap ends, inside clips "
            "in a groove of the cap on the inner side of the ear",
        )  # fmt: skip
    if ear == cap:
        return Answer(
            question, Verdict.FITS, f"both for {ear} clips", source="common practice, no source", caution=_CAUTION
        )
    return Answer(
        question, Verdict.DOES_NOT_FIT,
        f"the yoke is for {ear} clips and the joint for {cap} clips: nothing would hold the caps endways",
        remedy=f"a joint with {ear} clips on this pair; combination joints are made with both",
        source="common practice, no source", caution=_CAUTION,
    )  # fmt: skip


def _name(said: str, cap: Fact | None, span: Fact | None, allowed: tuple[float, float]) -> tuple[str, str]:
    """The series of one side by its name and its sizes, and what contradicts."""
    known = {s.name: s for s in listed_series()}
    fits = [
        s.name
        for s in known.values()
        if cap is not None
        and span is not None
        and abs(cap.value - s.cap_mm) <= allowed[0] + 2.0 * (cap.sd or 0.0)
        and abs(span.value - s.span_mm) <= allowed[1] + 2.0 * (span.sd or 0.0)
    ]
    if said and said in known and cap is not None and span is not None and said not in fits:
        row = known[said]
        like = f"they are those of {' or '.join(fits)}" if fits else "they are those of no listed series"
        return "", (
            f"it is called {said}, whose caps are {row.cap_mm:.2f} mm and span {row.span_mm:.2f} mm, but it "
            f"measures {cap.value:.2f} mm and {span.value:.2f} mm: {like}"
        )
    if said:
        return said, ""
    return (fits[0], "") if len(fits) == 1 else ("", "")


def _both(joint: Joint) -> tuple[str, str, str]:
    choices = joint.choices
    allowed = (
        rule("joint-cap-difference", choices.get("joint-cap-difference")).in_force.value,
        rule("joint-span-difference", choices.get("joint-span-difference")).in_force.value,
    )
    listed = "inside" not in (joint.a.word("clips"), joint.b.word("clips"))
    sizes = ((joint.a.size("cap bore"), joint.a.size("width")), (joint.b.size("cap"), joint.b.size("span")))
    one, fault = _name(joint.a.word("series"), *(sizes[0] if listed else (None, None)), allowed)
    two, other = _name(joint.b.word("series"), *(sizes[1] if listed else (None, None)), allowed)
    told = [f"the {who}: {words}" for who, words in (("yoke", fault), ("joint", other)) if words]
    return one, two, "; ".join(told)


def _combination(joint: Joint) -> tuple[Work, ...]:
    """The joint to exchange for, where yoke and joint are of two listed series with clips of one kind."""
    yoke, cross, fault = _both(joint)
    known = {s.name: s for s in listed_series()}
    if fault or yoke == cross or yoke not in known or cross not in known:
        return ()
    clips = {joint.a.word("clips"), joint.b.word("clips")} - {""}
    if len(clips) > 1:
        return ()
    low, high = sorted((yoke, cross))
    return (
        Work(
            joint.b_part, "exchange", "universal joint",
            f"combination joint {low} / {high}: {yoke} caps for this yoke, "
            f"{cross} caps for the other; it bears what {low} bears",
            forbidden=("sleeves round the caps", "welding the caps"),
        ),
    )  # fmt: skip


def _series(joint: Joint) -> Answer:
    question = "series"
    yoke, cross, fault = _both(joint)
    known = {s.name: s for s in listed_series()}
    if fault:
        return Answer(
            question, Verdict.CANNOT_TELL, fault,
            measure="measure cap and span again with a calliper, caps pushed home, and look for a number on the yoke",
            source="common practice, no source", caution=_CAUTION,
        )  # fmt: skip
    if not yoke or not cross:
        who = "the yoke" if not yoke else "the joint"
        return _unknown(
            question, f"the series of {who}",
            "measure cap diameter and span with a calliper, or read the number cast into the part",
        )  # fmt: skip
    if yoke == cross:
        status = f"; sizes of this series are {known[yoke].status}" if yoke in known else ""
        return Answer(
            question, Verdict.FITS, f"both are {yoke}{status}", source="common practice, no source", caution=_CAUTION
        )
    missing = [name for name in (yoke, cross) if name not in known]
    if missing:
        return Answer(
            question, Verdict.CANNOT_TELL, f"series {missing[0]} is not in the table; {nearest(missing[0], known)}",
            measure="measure cap diameter and span of both with a calliper", source="common practice, no source",
            caution=_CAUTION,
        )  # fmt: skip
    a, b = known[yoke], known[cross]
    works = _combination(joint)
    return Answer(
        question, Verdict.FITS_AFTER_WORK if works else Verdict.DOES_NOT_FIT,
        f"the yoke is {yoke}, the joint {cross}: {_unlike(a, b)}", works=works,
        remedy="; ".join(w.words for w in works) or f"a joint of series {yoke}", source="common practice, no source",
        caution=_CAUTION,
    )  # fmt: skip


def _unlike(a: Series, b: Series) -> str:
    caps, spans = b.cap_mm - a.cap_mm, b.span_mm - a.span_mm
    if abs(caps) < 0.01:
        return (
            f"the caps are alike ({a.cap_mm:.2f} mm), so it starts, but the spans are {a.span_mm:.2f} mm and "
            f"{b.span_mm:.2f} mm"
        )
    if abs(spans) < 0.01:
        return (
            f"the spans are alike ({a.span_mm:.2f} mm), but the caps are {a.cap_mm:.2f} mm in the yoke and "
            f"{b.cap_mm:.2f} mm on the joint"
        )
    return f"caps {a.cap_mm:.2f} mm and {b.cap_mm:.2f} mm, spans {a.span_mm:.2f} mm and {b.span_mm:.2f} mm"


def _retention(joint: Joint) -> Answer:
    question = "retention"
    held = joint.a.word("retention")
    if not held:
        return _unknown(
            question, "what holds the caps in the yoke",
            "look: straps, U-bolts, bearing plates, or ears that go full round",
        )  # fmt: skip
    return Answer(question, Verdict.FITS, _HELD[held], source="common practice, no source", caution=_CAUTION)


KINDS: tuple[MateKind, ...] = (
    MateKind(
        "joint in yoke", "one pair of a universal joint's caps in the ears of a yoke", ("yoke",), ("joint caps",), judge
    ),
)
